# SPDX-License-Identifier: Apache-2.0
"""How far carbon steel grows in a fire (EN 1993-1-2): ducts between fixed points, and rods.

Not linear: a curve, a plateau while the steel changes its structure, a line. Outside 20 to 1200 °C there is no answer.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction

from brattice.calc.exact import as_stated
from brattice.findings import Verdict
from brattice.quantities import mm_text
from brattice.rows import RowBook

__all__ = [
    "EXPANSION_ROWS",
    "JointCheck",
    "SteelLaw",
    "check_joint",
    "elongation_mm",
    "relative_elongation",
    "steel_law",
]

EXPANSION_ROWS = (
    "expansion.steel.ranges",
    "expansion.steel.curve",
    "expansion.steel.plateau",
    "expansion.steel.line",
)
"""The rows that the law rests on."""


@dataclass(frozen=True)
class SteelLaw:
    """The coefficients of thermal elongation by ranges [°C]: curve (constant, θ, θ²), plateau, line (constant, θ)."""

    least_c: float
    plateau_from_c: float
    plateau_to_c: float
    most_c: float
    curve: tuple[float, float, float]
    plateau: float
    line: tuple[float, float]


@dataclass(frozen=True)
class JointCheck:
    """Growth [mm] against a joint's travel [mm]: FAIL or UNKNOWN, never PASS; the tested joint decides.

    `growth_mm` is None where the temperature is outside the law.
    """

    verdict: Verdict
    text: str
    growth_mm: float | None
    travel_mm: float | None
    rows: tuple[str, ...] = EXPANSION_ROWS


def steel_law(book: RowBook) -> SteelLaw:
    """The law of the rows under `expansion.steel.`."""
    least, first, last, most = book.numbers("expansion.steel.ranges")
    constant, factor, square = book.numbers("expansion.steel.curve")
    rest, slope = book.numbers("expansion.steel.line")
    plateau = book.number("expansion.steel.plateau")
    return SteelLaw(least, first, last, most, (constant, factor, square), plateau, (rest, slope))


def _exact_elongation(temperature_c: float, law: SteelLaw) -> Fraction | None:
    if not law.least_c <= temperature_c <= law.most_c:
        return None
    degrees = as_stated(temperature_c)
    if temperature_c < law.plateau_from_c:
        constant, factor, square = (as_stated(item) for item in law.curve)
        return constant + factor * degrees + square * degrees**2
    if temperature_c <= law.plateau_to_c:
        return as_stated(law.plateau)
    rest, slope = (as_stated(item) for item in law.line)
    return rest + slope * degrees


def relative_elongation(temperature_c: float, law: SteelLaw) -> float | None:
    """Δl/l of carbon steel from 20 °C to a temperature [°C]; None outside the law (EN 1993-1-2, thermal elongation)."""
    relative = _exact_elongation(temperature_c, law)
    return None if relative is None else float(relative)


def elongation_mm(length_mm: float, temperature_c: float, law: SteelLaw) -> float | None:
    """Δl [mm] of a length [mm] of duct or rod from 20 °C to a temperature [°C]; None outside the law.

    Raises ValueError for a length below zero or without end.
    """
    growth = _exact_growth(length_mm, temperature_c, law)
    return None if growth is None else float(growth)


def _exact_growth(length_mm: float, temperature_c: float, law: SteelLaw) -> Fraction | None:
    if not 0 <= length_mm < math.inf:
        raise ValueError(f"a length is zero or more, not {length_mm} mm")
    relative = _exact_elongation(temperature_c, law)
    return None if relative is None else relative * as_stated(length_mm)


def check_joint(length_mm: float, temperature_c: float, travel_mm: float | None, law: SteelLaw) -> JointCheck:
    """The growth [mm] of duct between two fixed points against what its joint can travel [mm]: FAIL or UNKNOWN.

    `travel_mm` None: not stated; with several joints it is the sum of theirs. Never PASS: travel enough leaves the
    joint to what was tested. Raises ValueError for a length or travel below zero.
    """
    if travel_mm is not None and not 0 <= travel_mm < math.inf:
        raise ValueError(f"a joint's travel is zero or more, not {travel_mm} mm")
    exact = _exact_growth(length_mm, temperature_c, law)
    if exact is None:
        text = f"The growth of steel is not given outside {law.least_c:g} to {law.most_c:g} °C."
        return JointCheck(Verdict.UNKNOWN, text, None, travel_mm)
    growth = float(exact)
    grows = f"{mm_text(length_mm)} of steel grow by {mm_text(growth)}"
    if travel_mm is None:
        return JointCheck(Verdict.UNKNOWN, f"{grows}; the travel of the joint is not stated.", growth, None)
    if exact > as_stated(travel_mm):
        return JointCheck(Verdict.FAIL, f"{grows}; the joint travels {mm_text(travel_mm)}.", growth, travel_mm)
    text = f"{grows}, not more than the joint's {mm_text(travel_mm)}; whether the joint holds is for the test to say."
    return JointCheck(Verdict.UNKNOWN, text, growth, travel_mm)
