# SPDX-License-Identifier: Apache-2.0
"""The tested installations that are worth a whole judgment at one penetration, found by the table of all pairs."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from brattice.building.penetration import Penetration
from brattice.classes import ClassSteps
from brattice.evidence.checking import Basis
from brattice.evidence.dates import KeyDates
from brattice.evidence.installation import TestedInstallation
from brattice.evidence.judgment import Judgment, Scope
from brattice.evidence.outcomes import fails, unknowns, weights
from brattice.evidence.screen import SCOPES, Screen, scope_codes
from brattice.requirements.requirement import Requirement
from brattice.rows import RowBook

__all__ = ["Judge"]

_OWN = 24
_OTHERS = 6


class Judge:
    """Judges penetrations against all tested installations of a job, with reasons for those that matter.

    `maker_order` is the project's; it ranks what is otherwise equal.
    """

    def __init__(
        self,
        installations: Iterable[TestedInstallation],
        dates: KeyDates,
        book: RowBook,
        steps: ClassSteps,
        *,
        jurisdiction: str = "England",
        maker_order: Sequence[str] = (),
    ) -> None:
        self.screen = Screen(installations, Basis.of(dates, book, steps, jurisdiction))
        places: Mapping[str, int] = {maker: place for place, maker in enumerate(maker_order)}
        self._makers = [places.get(item.maker, len(places)) for item in self.screen.installations]

    def judge(self, penetration: Penetration, requirement: Requirement, installation_id: str) -> Judgment:
        """The whole judgment of one pair."""
        return self.screen.judgment(penetration, requirement, installation_id)

    def candidates(
        self, penetration: Penetration, requirement: Requirement, pin: str = ""
    ) -> tuple[tuple[Judgment, ...], tuple[tuple[str, int], ...]]:
        """The judgments worth showing, and how many installations came to each scope.

        Judged in full are the pinned installation, the best of the scheduled product (of all products, where none is
        scheduled) by scope, failures, change and maker, and the best of other products that would hold.
        """
        if not self.screen.installations:
            return (), tuple((scope.value, 0) for scope in SCOPES)
        outcomes = self.screen.outcomes([penetration], [requirement])[0]
        codes = scope_codes(outcomes)
        failed, open_checks, change = fails(outcomes), unknowns(outcomes), weights(outcomes)
        outside = SCOPES.index(Scope.OUTSIDE)

        def rank(place: int) -> tuple[int, int, int, int, int, int]:
            code = int(codes[place])
            worst = int(failed[place]) if code == outside else 0
            return code, worst, int(change[place]), int(open_checks[place]), self._makers[place], place

        own = self.screen.same_product(penetration)
        ranked = sorted(range(len(self.screen.installations)), key=rank)
        chosen = [place for place in ranked if own[place]][:_OWN]
        chosen += [place for place in ranked if not own[place] and codes[place] <= 1][:_OTHERS]
        pinned = self.screen.places.get(pin)
        if pinned is not None and pinned not in chosen:
            chosen.append(pinned)
        ids = self.screen.installations
        judgments = tuple(self.judge(penetration, requirement, ids[place].id) for place in sorted(chosen))
        counts = tuple((scope.value, int((codes == code).sum())) for code, scope in enumerate(SCOPES))
        return judgments, counts
