# SPDX-License-Identifier: Apache-2.0
"""Which tested installations are judged in full at a penetration, and how all of them stand."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from brattice.building.penetration import Penetration
from brattice.evidence.checking import Basis
from brattice.evidence.installation import TestedInstallation
from brattice.evidence.judge import judge_on
from brattice.evidence.judgment import Judgment, Scope
from brattice.requirements.requirement import Requirement

__all__ = ["Judging"]


@dataclass(frozen=True)
class Judging:
    """Judges penetrations against all installations of a job."""

    installations: tuple[TestedInstallation, ...]
    basis: Basis

    def at(
        self, penetration: Penetration, requirement: Requirement
    ) -> tuple[Sequence[Judgment], tuple[tuple[str, int], ...]]:
        """The judgments at a penetration, and how many of them have each scope, in the order of `Scope`."""
        judgments = [judge_on(penetration, requirement, item, self.basis) for item in self.installations]
        counts = Counter(item.scope for item in judgments)
        return judgments, tuple((str(scope), counts[scope]) for scope in Scope)
