# SPDX-License-Identifier: Apache-2.0
"""Tested installations, their documents, and whether one of them holds for a penetration."""

from brattice.evidence.candidates import Judge
from brattice.evidence.codes import CHANGE_WEIGHTS, CODES
from brattice.evidence.dates import KeyDates
from brattice.evidence.judge import judge
from brattice.evidence.judgment import Change, Judgment, Scope
from brattice.evidence.revisions import with_revisions
from brattice.evidence.screen import JudgmentTable, judge_all

__all__ = [
    "CHANGE_WEIGHTS",
    "CODES",
    "Change",
    "Judge",
    "Judgment",
    "JudgmentTable",
    "KeyDates",
    "Scope",
    "judge",
    "judge_all",
    "with_revisions",
]
