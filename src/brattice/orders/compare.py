# SPDX-License-Identifier: Apache-2.0
"""What changed between two issues of an order schedule: penetration by penetration, never line by line.

Lines are merged from penetrations that are alike, so that a line has no life of its own: one damper that changes may
leave its line for another. What counts is what is ordered for each penetration.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from brattice.orders.orders import ORDER_FIELDS, OrderLine, OrderSchedule
from brattice.orders.words import natural
from brattice.quantities import number_text

__all__ = ["ChangeKind", "OrderChange", "compare_orders", "mark_of"]


class ChangeKind(StrEnum):
    """What happened to something that is ordered."""

    ADDED = "added"
    CHANGED = "changed"
    REMOVED = "removed"


@dataclass(frozen=True)
class OrderChange:
    """One change for all penetrations that it happened to alike; `before` and `after` are "" where there is none.

    `what` is the heading of the field, or what the damper is where it was added or removed.
    """

    kind: ChangeKind
    penetrations: tuple[str, ...]
    what: str
    before: str = ""
    after: str = ""

    @property
    def penetrations_text(self) -> str:
        """The ids, each by itself."""
        return ", ".join(self.penetrations)


def _damper(line: OrderLine) -> str:
    return ", ".join(line.texts[key] for key in ("maker", "product", "size", "class"))


def _count(line: OrderLine, name: str) -> str:
    """How many dampers a line has for one of its penetrations."""
    return number_text(line.quantities[line.penetrations.index(name)])


def compare_orders(now: OrderSchedule, before: Sequence[OrderLine]) -> tuple[OrderChange, ...]:
    """What is added, changed and removed since the lines of the issue before; nothing where all is as it was.

    A damper that was ordered and is held now is removed, with the first reason for which it is held.
    """
    new, old = now.by_penetration, {name: line for line in before for name in line.penetrations}
    held = {item.id: item for item in now.held}
    found: dict[tuple[ChangeKind, str, str, str], list[str]] = defaultdict(list)
    for name in sorted({*new, *old}):
        mine, theirs = new.get(name), old.get(name)
        if theirs is None and mine is not None:
            found[ChangeKind.ADDED, "Damper", "", _damper(mine)].append(name)
        elif mine is None and theirs is not None:
            why = "no such penetration any more"
            if name in held:
                why = f"held: {held[name].reasons[0].text}"
            found[ChangeKind.REMOVED, "Damper", _damper(theirs), why].append(name)
        elif mine is not None and theirs is not None:
            for key, heading in ORDER_FIELDS:
                was, is_now = theirs.texts.get(key, ""), mine.texts[key]
                if was != is_now:
                    found[ChangeKind.CHANGED, heading, was, is_now].append(name)
            if _count(mine, name) != _count(theirs, name):
                found[ChangeKind.CHANGED, "Quantity", _count(theirs, name), _count(mine, name)].append(name)
    order = {kind: number for number, kind in enumerate(ChangeKind)}
    changes = [OrderChange(kind, tuple(ids), what, was, new_) for (kind, what, was, new_), ids in found.items()]
    return tuple(
        sorted(changes, key=lambda item: (order[item.kind], natural((item.what, *item.penetrations, item.before))))
    )


def mark_of(line: OrderLine, changes: Sequence[OrderChange]) -> str:
    """What changed on a line since the issue before: "added", "changed", both, or "" for nothing."""
    kinds = {item.kind for item in changes if not set(item.penetrations).isdisjoint(line.penetrations)}
    return " and ".join(kind for kind in ChangeKind if kind in kinds)
