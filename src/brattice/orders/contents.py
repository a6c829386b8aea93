# SPDX-License-Identifier: Apache-2.0
"""What each schedule says as pairs of key and text, so that two issues can be compared and the older one kept.

The pairs of an order schedule can be turned back into lines: an issue that was made long ago is compared by them.
"""

from __future__ import annotations

import re
from collections import Counter, defaultdict
from collections.abc import Iterable

from brattice.orders.builders_work import BUILDERS_FIELDS, BuildersWork
from brattice.orders.cause_effect import CAUSE_FIELDS, CauseEffect
from brattice.orders.orders import ORDER_FIELDS, OrderLine, OrderSchedule
from brattice.orders.overlay import Overlay, OverlayOpening
from brattice.orders.submittal import Submittal
from brattice.orders.too_near import TOO_NEAR_FIELDS
from brattice.quantities import number_text

__all__ = ["Pairs", "builders_pairs", "cause_pairs", "lines_from", "order_pairs", "submittal_pairs"]

Pairs = tuple[tuple[str, str], ...]

_ORDERED = "ordered"
_QUANTITY = "quantity"
_NOBODY = "nobody has to be asked"
_COUNT = re.compile(r"[1-9][0-9]{0,5}")


def order_pairs(orders: OrderSchedule) -> Pairs:
    """What an order schedule says, penetration by penetration: `("ordered/P-0001/size", "600 × 400 mm")`."""
    found: list[tuple[str, str]] = []
    for name, line in sorted(orders.by_penetration.items()):
        found += [(f"{_ORDERED}/{name}/{key}", line.texts[key]) for key, _ in ORDER_FIELDS]
        count = line.quantities[line.penetrations.index(name)]
        found.append((f"{_ORDERED}/{name}/{_QUANTITY}", number_text(count)))
    for held in orders.held:
        for reason in held.reasons:
            found.append((f"held/{held.id}/{reason.kind}: {reason.text}", reason.ask_text or _NOBODY))
    return _each_once(found)


def lines_from(pairs: Iterable[tuple[str, str]]) -> tuple[OrderLine, ...]:
    """The lines of an order schedule from its pairs, one a penetration; what else stands in the pairs is passed over.

    A field that the older issue did not have is ""; a quantity that is no number counts as none of that damper.
    """
    found: dict[str, dict[str, str]] = defaultdict(dict)
    for key, text in pairs:
        head, _, rest = key.partition("/")
        name, _, field = rest.rpartition("/")
        if head == _ORDERED and name:
            found[name][field] = text
    lines = []
    for number, (name, texts) in enumerate(sorted(found.items()), start=1):
        said = texts.get(_QUANTITY, "")
        quantity = int(said) if _COUNT.fullmatch(said) else 0
        lines.append(OrderLine(number, {key: texts.get(key, "") for key, _ in ORDER_FIELDS}, (name,), (quantity,)))
    return tuple(lines)


def builders_pairs(work: BuildersWork, plans: Iterable[Overlay] = ()) -> Pairs:
    """What a builders' work schedule says, opening by opening, and what is too near; `plans` are its overlays.

    In plan an opening is said to a millimetre: below that nobody builds, and models differ by noise.
    """
    found: list[tuple[str, str]] = []
    for row in work.rows:
        found += [(f"{row.id}/{key}", row.texts[key]) for key, _ in BUILDERS_FIELDS]
        found += [(f"{row.id}/state", str(row.state)), (f"{row.id}/to-settle", row.settle_text)]
        found.append((f"{row.id}/reference", row.reference))
    for plan in plans:
        found += [(f"{item.id}/in-plan", _in_plan(item)) for item in plan.openings]
        found += [(f"{name}/in-plan", why) for name, why in plan.not_placed]
    for group in work.too_near:
        texts = group.texts
        found += [(f"too-near/{'+'.join(group.penetrations)}/{key}", texts[key]) for key, _ in TOO_NEAR_FIELDS]
    return tuple(found)


def _in_plan(opening: OverlayOpening) -> str:
    """Where an opening lies in plan, its centre first, then its corners or its radius."""
    points = " ".join(
        f"({number_text(x, 0)}, {number_text(y, 0)})" for x, y in (opening.centre_mm, *opening.outline_mm)
    )
    return points if opening.radius_mm is None else f"{points} radius {number_text(opening.radius_mm)}"


def cause_pairs(causes: CauseEffect) -> Pairs:
    """What cause and effect say, damper by damper, and its points."""
    found: list[tuple[str, str]] = []
    for row in causes.rows:
        found += [(f"{row.id}/{key}", row.texts[key]) for key, _ in CAUSE_FIELDS]
        found += [(f"{row.id}/reference", row.reference), (f"{row.id}/to-settle", row.settle_text)]
    for point in causes.points:
        what, _, which = point.signal.partition(", ")
        said = (which, point.count_text, point.address)
        found.append((f"{point.id}/point/{point.trade}, {point.way}: {what}", ", ".join(text for text in said if text)))
    return _each_once(found)


def submittal_pairs(item: Submittal) -> Pairs:
    """What a technical submittal says, its status included.

    A line is named by what it says and holds its penetrations, so that one that comes in between changes no other.
    """
    found: list[tuple[str, str]] = [("status", item.status_text), ("content", item.content)]
    if item.decision is not None:
        found.append(("comments", item.decision.comments))
    found += [(f"wall/{name}", text) for name, text in item.wall_text]
    for line in item.compliance:
        asked = f"asked {line.class_asked}, {line.actuation_asked}, by {', '.join(line.sources) or 'nobody'}"
        held = f"held {line.class_held}, {line.actuation_held}: {line.state}"
        found.append((f"compliance/{asked}; {held}", "; ".join((*line.sizes, *line.penetrations))))
    for part in item.asked:
        key = f"asked/{part.about}: {part.asks}, by {', '.join(part.sources) or 'nobody'}"
        found.append((key, "; ".join(part.penetrations)))
    for used in item.installations:
        said_here = (used.class_text, used.construction, used.fixing, used.seal, *used.penetrations)
        found.append((f"installation/{used.id}", "; ".join(said_here)))
        found += [(f"installation/{used.id}/{name}", text) for name, text in used.documents]
    for kind, pairs in (
        ("deviation", item.deviations),
        ("outside", item.outside),
        ("change", item.changes),
        ("unknown", item.unknowns),
    ):
        found += [(f"{kind}/{text}", "; ".join(ids)) for text, ids in pairs]
    return _each_once(found)


def _each_once(pairs: Iterable[tuple[str, str]]) -> Pairs:
    """The pairs with keys that stand once: what is said again under a key has its number there behind it."""
    count: Counter[str] = Counter()
    found = []
    for key, text in pairs:
        count[key] += 1
        found.append((key if count[key] == 1 else f"{key} ({count[key]})", text))
    return tuple(found)
