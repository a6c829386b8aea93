# SPDX-License-Identifier: Apache-2.0
"""The page on the demo in the docs, made from the same parameters as the job."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from tools.demo.faults import Scenario
from tools.demo.layout import Layout
from tools.demo.plan import BUILDING, FLOOR_TYPES, WALL_TYPES, slabs, walls
from tools.demo.tested import MAKERS, TESTED

__all__ = ["page"]

_HEAD = f"""\
# The demo job

Made by `python -m tools.demo --page docs/demo.md`; a test holds this page against it.

`make demo` generates a job in `build/demo/job`, checks it, issues its sketches, orders and schedules into `build/demo/job/issued/01` ([issue](issue.md)) and says where to look. **Everything in it is
invented**: the building, its people, makers, products, tests, certificates and documents. Nothing stands for a real
one, and no value of a tested installation in it may be used for anything else. Then it does the same with
[the second demo](demo-messy.md): the schedule of somebody else, and nothing more.

## The building

{BUILDING}: three storeys, 48 m by 16 m, non-residential with a floor of hotel bedrooms, in England. A corridor that
serves as escape route runs between two stairs; kitchens, offices and the plant room lie on level 0, classrooms on level
1, bedrooms on level 2. Riser R1 is one continuous shaft: no damper at its floors, one at every exit. Riser R2 is sealed
at each floor: a damper in each floor, and its wall is judged by itself. The kitchen's extract runs in fire-resisting
ductwork from the hood to the roof.

The architecture is one IFC4 file in metres, the services another in millimetres. The schedule adds what no model holds:
products, seals, fixings, gaps, actuation. `build/demo/truth` says where each penetration is and what has to be found,
both from the generator's own parameters and never from what the program prints; tests hold the program against it.
"""


def _table(headings: tuple[str, ...], rows: Sequence[tuple[str, ...]]) -> list[str]:
    return [
        f"| {' | '.join(headings)} |",
        f"| {' | '.join('---' for _ in headings)} |",
        *(f"| {' | '.join(row)} |" for row in rows),
    ]


def _barriers(layout: Layout) -> list[str]:
    kinds = {wall.name: wall.kind for wall in walls()} | {slab.name: slab.kind for slab in slabs()}
    count = Counter(kinds[one.barrier] for one in layout.planned.values())
    rows = [
        (one.code, one.title, one.kind, one.rating or "not stated", one.model_rating or "nothing", str(count[one.code]))
        for one in (*WALL_TYPES.values(), *FLOOR_TYPES.values())
    ]
    return _table(("type", "what it is", "kind", "rating in the sheet", "rating in the model", "penetrations"), rows)


def _makers(layout: Layout) -> list[str]:
    count = Counter(one.tested for one in layout.planned.values())
    rows = [
        (
            way.id,
            MAKERS[way.maker],
            way.product,
            way.class_text,
            str(way.construction["kind"]),
            way.fixing,
            str(count[way.id]),
        )
        for way in TESTED.values()
    ]
    headings = ("installation", "maker", "product", "class", "tested in", "fixing", "scheduled at")
    return _table(headings, rows)


def _faults(scene: Scenario) -> list[str]:
    rows = []
    for number, fault in enumerate(scene.faults, 1):
        codes = sorted({one.code for one in scene.expected if one.ref in fault.refs})
        openness = {one.open for one in scene.expected if one.ref in fault.refs}
        shown = "open" if openness == {True} else "not open"
        rows.append(
            (
                str(number),
                fault.title,
                fault.source,
                ", ".join(fault.refs),
                ", ".join(f"`{code}`" for code in codes),
                shown,
            )
        )
    return _table(("no.", "what was planted", "handbook row or field case", "where", "what has to be found", ""), rows)


def page(scene: Scenario) -> str:
    """The page as markdown."""
    number = len(scene.layout.planned)
    lines = [
        _HEAD,
        f"## Barriers and the {number} penetrations",
        "",
        *_barriers(scene.layout),
        "",
        "## Tested installations of three invented makers",
        "",
        *_makers(scene.layout),
        "",
        f"## The {len(scene.faults)} planted faults",
        "",
        'The numbers in "handbook row or field case" are those of the trade handbook that the project was built from.',
        "All other penetrations are within scope, in a proven run, or need no protection.",
        "",
        *_faults(scene),
    ]
    return "\n".join(lines) + "\n"
