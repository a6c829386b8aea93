# SPDX-License-Identifier: Apache-2.0
"""Tested installations, their documents, and whether one of them holds for a penetration."""

from brattice.evidence.codes import CHANGE_WEIGHTS, CODES
from brattice.evidence.dates import KeyDates
from brattice.evidence.judge import judge
from brattice.evidence.judgment import Change, Judgment, Scope

__all__ = ["CHANGE_WEIGHTS", "CODES", "Change", "Judgment", "KeyDates", "Scope", "judge"]
