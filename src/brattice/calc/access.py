# SPDX-License-Identifier: Apache-2.0
"""Reach for life: whether a door in the duct lets a hand and a tool get to blade and mechanism.

What the maker states is a limit. What common practice says is not: below it somebody has to be asked, above it nothing
is proven (trade handbook 5.25 to 5.28).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from brattice.findings import Verdict
from brattice.quantities import mm_text, size_text
from brattice.rows import RowBook

__all__ = [
    "AccessCheck",
    "ReachRules",
    "check_door_distance",
    "check_door_size",
    "check_hatch_size",
    "reach_rules",
]


@dataclass(frozen=True)
class ReachRules:
    """Common practice [mm]: the least side of a door and of a ceiling hatch, and how far an arm with a tool reaches."""

    least_side_mm: float
    least_hatch_side_mm: float
    reach_mm: float


@dataclass(frozen=True)
class AccessCheck:
    """PASS and FAIL only against what the maker states; against common practice UNKNOWN (ask) or NOT APPLICABLE.

    `limit` is what it was held against, in words; `rows` are empty where the maker's statement decided.
    """

    verdict: Verdict
    text: str
    limit: str
    rows: tuple[str, ...]


def reach_rules(book: RowBook) -> ReachRules:
    """The rules of the rows under `access.`."""
    return ReachRules(book.number("access.door.least"), book.number("access.hatch.least"), book.number("access.reach"))


def _length(value: float | None, what: str) -> None:
    if value is not None and not 0 <= value < math.inf:
        raise ValueError(f"{what} is zero or more, not {value} mm")


def check_door_size(
    width_mm: float, height_mm: float, maker_least_mm: tuple[float, float] | None, rules: ReachRules
) -> AccessCheck:
    """A door's sides [mm] against the least that the maker states (None: nothing), else against common practice.

    A door may lie either way, so that the shorter side is held against the shorter. Raises ValueError for a side below
    zero.
    """
    for side in (width_mm, height_mm, *(maker_least_mm or ())):
        _length(side, "a side of a door")
    short, long = sorted((width_mm, height_mm))
    have = f"Door {size_text(width_mm, height_mm)}"
    if maker_least_mm is not None:
        least_short, least_long = sorted(maker_least_mm)
        limit = f"at least {size_text(*maker_least_mm)}, by the maker"
        if short >= least_short and long >= least_long:
            return AccessCheck(Verdict.PASS, f"{have} is as large as the maker asks.", limit, ())
        return AccessCheck(Verdict.FAIL, f"{have} is smaller than the maker asks.", limit, ())
    rows = ("access.door.least",)
    limit = f"{mm_text(rules.least_side_mm)} a side by common practice, no limit"
    if short < rules.least_side_mm:
        text = (
            f"{have}: its shorter side is below {mm_text(rules.least_side_mm)}, which common practice takes for a hand "
            "and a mirror; ask who will test it whether blade and mechanism can be reached."
        )
        return AccessCheck(Verdict.UNKNOWN, text, limit, rows)
    text = f"{have} is not below common practice; the maker states no least door."
    return AccessCheck(Verdict.NOT_APPLICABLE, text, limit, rows)


def check_hatch_size(width_mm: float, height_mm: float, rules: ReachRules) -> AccessCheck:
    """The sides of a hatch in a fixed ceiling [mm] against common practice; no maker states one.

    Raises ValueError for a side below zero.
    """
    for side in (width_mm, height_mm):
        _length(side, "a side of a hatch")
    least, rows = rules.least_hatch_side_mm, ("access.hatch.least",)
    have, limit = f"Hatch {size_text(width_mm, height_mm)}", f"{mm_text(least)} a side by common practice, no limit"
    if min(width_mm, height_mm) < least:
        text = (
            f"{have}: its shorter side is below {mm_text(least)}, which common practice takes for head and shoulders; "
            "ask who will test it whether the damper can be reached."
        )
        return AccessCheck(Verdict.UNKNOWN, text, limit, rows)
    return AccessCheck(Verdict.NOT_APPLICABLE, f"{have} is not below common practice.", limit, rows)


def check_door_distance(distance_mm: float, maker_most_mm: float | None, rules: ReachRules) -> AccessCheck:
    """The distance from a door's edge to the blade [mm] against the maker's most (None: nothing), else common practice.

    Raises ValueError for a distance below zero.
    """
    for value in (distance_mm, maker_most_mm):
        _length(value, "a distance")
    have = f"{mm_text(distance_mm)} from the door's edge to the blade"
    if maker_most_mm is not None:
        limit = f"at most {mm_text(maker_most_mm)}, by the maker"
        if distance_mm <= maker_most_mm:
            return AccessCheck(Verdict.PASS, f"{have} are within what the maker asks.", limit, ())
        return AccessCheck(Verdict.FAIL, f"{have} are more than the maker asks.", limit, ())
    rows = ("access.reach",)
    limit = f"about {mm_text(rules.reach_mm)} by common practice, no limit"
    if distance_mm > rules.reach_mm:
        text = (
            f"{have}: more than the {mm_text(rules.reach_mm)} that an arm with a tool usually reaches; ask who will "
            "test it whether blade and mechanism can be reached."
        )
        return AccessCheck(Verdict.UNKNOWN, text, limit, rows)
    text = f"{have} are not beyond common practice; the maker states no distance."
    return AccessCheck(Verdict.NOT_APPLICABLE, text, limit, rows)
