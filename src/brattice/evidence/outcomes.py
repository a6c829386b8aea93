# SPDX-License-Identifier: Apache-2.0
"""The outcome of checks as one whole number that adds up: how many fail, how many are not known, what changes weigh.

Twenty bits each: the weight of changes lowest, then the number of checks not known, then that of failures that no
change cures. So the sum over all checks says everything that the scope and the order of choice need.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import numpy as np

from brattice.evidence.checking import Checked
from brattice.findings import Verdict

__all__ = ["FAIL", "NOTHING", "UNKNOWN", "Outcomes", "fails", "outcome_of", "unknowns", "weights"]

Outcomes = np.ndarray[Any, np.dtype[np.int64]]

_BITS = 20
_MASK = (1 << _BITS) - 1

NOTHING = 0
"""Passed, or not applicable."""

UNKNOWN = 1 << _BITS
"""One check that is not known."""

FAIL = 1 << 2 * _BITS
"""One check that fails and can't be cured."""


def outcome_of(answers: Iterable[Checked]) -> int:
    """The outcome of the answers of one check."""
    total = NOTHING
    for item in answers:
        if item.change is not None:
            total += item.change.weight
        elif item.reason.verdict is Verdict.FAIL:
            total += FAIL
        elif item.reason.verdict is Verdict.UNKNOWN:
            total += UNKNOWN
    return total


def weights(outcomes: Outcomes) -> Outcomes:
    """What the changes weigh together."""
    return outcomes & _MASK


def unknowns(outcomes: Outcomes) -> Outcomes:
    """How many checks are not known."""
    return (outcomes >> _BITS) & _MASK


def fails(outcomes: Outcomes) -> Outcomes:
    """How many checks fail beyond cure."""
    return outcomes >> 2 * _BITS
