# SPDX-License-Identifier: Apache-2.0
"""The job folder: `brattice.toml`, models, schedule, wall types and evidence."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

from brattice.adapters.sheets import schedule_bytes, wall_types_bytes
from tools.demo.faults import Scenario
from tools.demo.models import barrier_id, write_models
from tools.demo.plan import BUILDING, FLOOR_TYPES, WALL_TYPES
from tools.demo.products import products_text
from tools.demo.schedule import schedule_row, wall_type_rows
from tools.demo.tested import MAKERS, evidence_text
from tools.demo.truth import permanent_ids, places

__all__ = ["write_job"]

_WHEN = datetime(2026, 3, 2, 9, 0, 0)  # noqa: DTZ001 - a sheet's time has no zone
_TOML = """\
# The demo job. The building, its people, makers, products and documents are invented.
schema = 1
name = "{building}"
jurisdiction = "England"
edition = "ADB 2019 with amendments to 2025"
as_of = 2026-03-02
purpose = "non-residential"
invented = true

schedules = ["schedule/schedule.xlsx"]
wall_type_sheets = ["schedule/wall-types.xlsx"]
evidence = ["evidence"]
maker_order = ["Tamsin Vane Works", "Quillmere", "Orlebek"]

[[model]]
path = "models/architecture.ifc"
role = "architecture"

[[model]]
path = "models/services.ifc"
role = "services"

[[rating]]
text = "60 minutes (EI)"
minutes = 60
criteria = "EI"

[model_wall_types]
{wall_types}

[[demand]]
document = "Fire strategy FS-01 (invented)"
revision = "P4"
roles = ["protected shaft"]
class = "EI 60 S"

[[lowered]]
penetrations = [{lowered}]
actuation = ["thermal"]
person = "A. Pellworth (invented)"
role = "fire engineer"
document = "Letter 14"
revision = "A"
date = 2026-02-10
why = "the office is closed off from the corridor by a lobby with its own detection"

[[deviation]]
penetrations = [{deviation}]
codes = ["gap-change"]
accepted = [
  {{ code = "gap-change", have = "left 45, right 45, top 25, bottom 25 mm from the casing", need = "15 to 40 mm on every side, from the casing" }},
]
person = "A. Pellworth (invented)"
role = "fire engineer"
document = "Deviation note 3"
revision = "B"
date = 2026-02-20
conditions = "the maker's letter of 12 February is kept with the record"
{submittals}
[[order_override]]
penetrations = [{before_approval}]
product = "Orlebek C4"
person = "R. Thornmere (invented)"
role = "project manager"
document = "Letter 21"
date = 2026-02-27
why = "the plant room is closed in before the submittal comes back; the risk is taken by the ductwork contractor"

[dates]
order = 2026-04-01
placed_on_market = 2026-05-04
installation = 2026-06-15
handover = 2026-11-30
"""


_SUBMITTALS = (
    ("Tamsin Vane Works", "Vane 60M", "F60", "A", "49c7-d009", "2026-02-16", ""),
    ("Tamsin Vane Works", "Vane 60M", "B140", "A", "5fde-ed03", "2026-02-16", ""),
    (
        "Tamsin Vane Works", "Vane 60M", "S60", "B", "2238-8d53", "2026-02-18",
        "show the lining of the shaft wall on the sheets",
    ),
    (
        "Tamsin Vane Works", "Vane 60R", "F60", "B", "82d6-6b1a", "2026-02-18",
        "send the drawing of the round lining first",
    ),
    ("Orlebek", "Orlebek C4", "B140", "C", "", "2026-02-18", "the joint on the plant side is not shown"),
    ("Quillmere", "Quill Q90", "C250", "A", "51d0-9c3e", "2026-02-23", ""),
)  # fmt: skip
"""What came back of the technical submittals, with the content that each shows; those of the other products and walls
are still out. What was approved of Quill Q90 is not what is submitted now (planted). `tests/demo` says which mark has
to stand here once walls, tests or documents of the demo change.
"""


_BEFORE_APPROVAL = ("FD-0-26",)
"""The damper that a named person lets be ordered before its submittal is approved."""


def _submittal(number: int, given: tuple[str, ...]) -> str:
    maker, product, wall, status, content, day, comments = given
    stated = f'content = "{content}"\n' if content else ""
    return f"""
[[submittal]]
maker = "{maker}"
product = "{product}"
wall_type = "{wall}"
status = "{status}"
{stated}person = "J. Hallowby (invented)"
role = "architect"
document = "Submittal return {number}, revision A"
date = {day}
comments = "{comments}"
"""


def _list(ids: list[str]) -> str:
    return ", ".join(f'"{one}"' for one in ids)


def _toml(scene: Scenario) -> str:
    ids = permanent_ids(scene)
    kinds = (*WALL_TYPES.values(), *FLOOR_TYPES.values())
    return _TOML.format(
        building=BUILDING,
        wall_types="\n".join(f'"{one.code} {one.title}" = "{one.code}"' for one in kinds),
        lowered=_list([ids[ref] for ref in scene.lowered_refs]),
        deviation=_list([ids[ref] for ref in (*scene.deviation_refs, *scene.outgrown_refs)]),
        submittals="".join(_submittal(number, given) for number, given in enumerate(_SUBMITTALS, start=1)),
        before_approval=_list([ids[ref] for ref in _BEFORE_APPROVAL]),
    )


def write_job(scene: Scenario, folder: Path) -> None:
    """Write the whole job folder."""
    for name in ("models", "schedule", "evidence"):
        (folder / name).mkdir(parents=True, exist_ok=True)
    write_models(scene.layout, folder / "models", _WHEN.isoformat())
    (folder / "brattice.toml").write_text(_toml(scene), encoding="utf-8", newline="\n")
    tied = {place.ref: place for place in places(scene)}
    rows = []
    for ref, one in sorted(scene.layout.planned.items()):
        place = tied[ref]
        row = schedule_row(one, scene.layout.planned.values(), place.elements, (place.damper,) if place.damper else ())
        row["barrier_guids"] = (barrier_id(one.barrier),)
        rows.append(row)
    (folder / "schedule" / "schedule.xlsx").write_bytes(schedule_bytes(rows, stamp=_WHEN))
    (folder / "schedule" / "wall-types.xlsx").write_bytes(wall_types_bytes(wall_type_rows(), stamp=_WHEN))
    for short, maker in MAKERS.items():
        name = maker.lower().replace(" ", "-")
        (folder / "evidence" / f"{name}.toml").write_text(evidence_text(short), encoding="utf-8", newline="\n")
        beside = folder / "evidence" / f"{name}-products.toml"
        beside.write_text(products_text(short), encoding="utf-8", newline="\n")
