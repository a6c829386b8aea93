# SPDX-License-Identifier: Apache-2.0
"""What each schedule says as pairs of key and text, so that two issues can be compared and the older one kept.

The pairs of an order schedule can be turned back into lines: an issue that was made long ago is compared by them.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable

from brattice.orders.builders_work import BUILDERS_FIELDS, BuildersWork
from brattice.orders.cause_effect import CAUSE_FIELDS, CauseEffect
from brattice.orders.orders import ORDER_FIELDS, OrderLine, OrderSchedule
from brattice.orders.submittal import Submittal
from brattice.orders.too_near import TOO_NEAR_FIELDS
from brattice.quantities import number_text

__all__ = ["Pairs", "builders_pairs", "cause_pairs", "lines_from", "order_pairs", "submittal_pairs"]

Pairs = tuple[tuple[str, str], ...]

_ORDERED = "ordered"
_QUANTITY = "quantity"
_COUNT = re.compile(r"[1-9][0-9]{0,5}")


def order_pairs(orders: OrderSchedule) -> Pairs:
    """What an order schedule says, penetration by penetration: `("ordered/P-0001/size", "600 × 400 mm")`."""
    found: list[tuple[str, str]] = []
    for name, line in sorted(orders.by_penetration.items()):
        found += [(f"{_ORDERED}/{name}/{key}", line.texts[key]) for key, _ in ORDER_FIELDS]
        count = line.quantities[line.penetrations.index(name)]
        found.append((f"{_ORDERED}/{name}/{_QUANTITY}", number_text(count)))
    for held in orders.held:
        found += [
            (f"held/{held.id}/{number}", f"{reason.kind}: {reason.text} {reason.ask_text}".strip())
            for number, reason in enumerate(held.reasons, start=1)
        ]
    return tuple(found)


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


def builders_pairs(work: BuildersWork) -> Pairs:
    """What a builders' work schedule says, opening by opening, and what is too near."""
    found: list[tuple[str, str]] = []
    for row in work.rows:
        found += [(f"{row.id}/{key}", row.texts[key]) for key, _ in BUILDERS_FIELDS]
        found += [(f"{row.id}/state", str(row.state)), (f"{row.id}/to-settle", row.settle_text)]
    for group in work.too_near:
        texts = group.texts
        found += [(f"too-near/{'+'.join(group.penetrations)}/{key}", texts[key]) for key, _ in TOO_NEAR_FIELDS]
    return tuple(found)


def cause_pairs(causes: CauseEffect) -> Pairs:
    """What cause and effect say, damper by damper, and its points."""
    found: list[tuple[str, str]] = []
    for row in causes.rows:
        found += [(f"{row.id}/{key}", row.texts[key]) for key, _ in CAUSE_FIELDS]
        found.append((f"{row.id}/to-settle", row.settle_text))
    for number, point in enumerate(causes.points, start=1):
        text = f"{point.trade}, {point.way}: {point.signal}, {point.count_text}, {point.address}"
        found.append((f"{point.id}/point/{number}", text))
    return tuple(found)


def submittal_pairs(item: Submittal) -> Pairs:
    """What a technical submittal says, its status included."""
    found: list[tuple[str, str]] = [("status", item.status_text)]
    if item.decision is not None:
        found.append(("comments", item.decision.comments))
    found += [(f"wall/{name}", text) for name, text in item.wall_text]
    for number, line in enumerate(item.compliance, start=1):
        said = (line.class_asked, line.actuation_asked, line.class_held, line.actuation_held, line.state)
        where = (*line.sizes, *line.sources, *line.penetrations)
        found.append((f"compliance/{number}", "; ".join((*said, *where))))
    for number, part in enumerate(item.asked, start=1):
        found.append((f"asked/{number}", "; ".join((part.about, part.asks, *part.sources, *part.penetrations))))
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
        found += [(f"{kind}/{number}", "; ".join((text, *ids))) for number, (text, ids) in enumerate(pairs, start=1)]
    return tuple(found)
