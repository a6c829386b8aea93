# SPDX-License-Identifier: Apache-2.0
"""One tested installation for every penetration, chosen by rule, the reason kept.

The rule: the pin of the project where there is one; else, among the installations of the scheduled product (of all
products where none is scheduled), the best scope, then the least change, then the project's order of makers, then
the id. What can't be *within scope* is still ordered, so that the nearest installation says what is wrong.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from brattice.evidence.judgment import Judgment, Scope
from brattice.findings import Verdict

__all__ = ["Choice", "choose"]

_ORDER = {Scope.WITHIN: 0, Scope.WITHIN_IF: 1, Scope.NOT_ENOUGH_KNOWN: 2, Scope.OUTSIDE: 3}
_SHOWN = 3


@dataclass(frozen=True)
class Choice:
    """The judgment that was chosen and by which rule; the next best, and those of other products that would hold."""

    judgment: Judgment | None
    why: str
    others: tuple[Judgment, ...]
    alternatives: tuple[Judgment, ...]


def choose(
    judgments: Sequence[Judgment],
    *,
    makers: Mapping[str, str],
    maker_order: Sequence[str] = (),
    pin: str = "",
) -> Choice:
    """The choice among the judgments of one penetration.

    `makers` maps installation ids to makers. The order of `judgments` does not matter. A pin that names none of them,
    or an installation of another product than the schedule's, leaves nothing chosen, and the reason says so.
    """
    places = {maker: place for place, maker in enumerate(maker_order)}

    def rank(item: Judgment) -> tuple[int, int, int, int, int, str]:
        fails = sum(reason.verdict is Verdict.FAIL for reason in item.reasons)
        weight = sum(change.weight for change in item.changes)
        return (
            _ORDER[item.scope],
            fails if item.scope is Scope.OUTSIDE else 0,
            weight,
            len(item.missing),
            places.get(makers.get(item.installation_id, ""), len(places)),
            item.installation_id,
        )

    ordered = sorted(judgments, key=rank)
    alternatives = tuple(
        item for item in ordered if not item.same_product and item.scope in {Scope.WITHIN, Scope.WITHIN_IF}
    )[:_SHOWN]
    if pin:
        pinned = next((item for item in ordered if item.installation_id == pin), None)
        if pinned is None:
            return Choice(None, f"The project pins {pin}, which is not among the evidence loaded.", (), alternatives)
        if not pinned.same_product:
            why = f"The project pins {pin}, which is of another product than the schedule names."
            return Choice(None, why, tuple(item for item in ordered if item.same_product)[:_SHOWN], alternatives)
        others = tuple(item for item in ordered if item is not pinned and item.same_product)[:_SHOWN]
        return Choice(pinned, "Pinned in the job file.", others, alternatives)
    own = [item for item in ordered if item.same_product]
    if not own:
        return Choice(None, "No tested installation is loaded for the scheduled product.", (), alternatives)
    first = own[0]
    why = {
        Scope.WITHIN: "The first within scope by maker order and id.",
        Scope.WITHIN_IF: "None is within scope as it stands; this one needs the least change.",
        Scope.NOT_ENOUGH_KNOWN: "None is within scope; for this one the fewest facts are missing.",
        Scope.OUTSIDE: "All are outside scope; this one fails the fewest checks.",
    }[first.scope]
    return Choice(first, why, tuple(own[1 : 1 + _SHOWN]), alternatives)
