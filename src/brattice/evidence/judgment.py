# SPDX-License-Identifier: Apache-2.0
"""The answer for one penetration and one tested installation: four outcomes, every reason, never a bare yes."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from brattice.findings import Missing, Reason

__all__ = ["Change", "Judgment", "Scope"]


class Scope(StrEnum):
    """How a penetration stands to the tested scope of one installation."""

    WITHIN = "within scope"
    WITHIN_IF = "within scope if"
    OUTSIDE = "outside scope"
    NOT_ENOUGH_KNOWN = "not enough known"


@dataclass(frozen=True, order=True)
class Change:
    """One thing to do so that the tested scope holds: the check it settles, what to do, how much it weighs."""

    code: str
    weight: int
    text: str
    have: str
    need: str


@dataclass(frozen=True)
class Judgment:
    """How one tested installation holds for one penetration.

    `scope` is OUTSIDE as soon as one check fails that no change within the same product, barrier and duct can cure;
    else NOT_ENOUGH_KNOWN when a fact is missing; else WITHIN_IF when changes would bring it in; else WITHIN.
    `same_product` is False where the penetration's schedule names another product. `achieved_class` is the class
    held here, never above that of the barrier ("" unless WITHIN or WITHIN_IF).
    """

    penetration_id: str
    installation_id: str
    scope: Scope
    reasons: tuple[Reason, ...]
    changes: tuple[Change, ...] = ()
    missing: tuple[Missing, ...] = ()
    same_product: bool = True
    achieved_class: str = ""
    notes: tuple[str, ...] = ()
