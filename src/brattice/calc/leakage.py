# SPDX-License-Identifier: Apache-2.0
"""Leakage of blades and casings: the limits of E and S for a size, and the classes of EN 1751.

Leakage classes and E or S are different systems: a class is shown beside a limit and never proves it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from brattice.calc.exact import as_stated
from brattice.findings import Verdict
from brattice.quantities import LITRES_A_CUBIC_METRE, SECONDS_AN_HOUR, number_text
from brattice.rows import RowBook

__all__ = [
    "NO_LIMIT_CLASS",
    "BesideLimit",
    "BladeLimit",
    "LeakageLimit",
    "LeakageRules",
    "beside_limit",
    "blade_leakage",
    "casing_leakage_l_s_m2",
    "check_measured",
    "leakage_limit_m3_h",
    "leakage_rules",
    "per_second",
    "pressures_of_class",
]

NO_LIMIT_CLASS = 0
"""The blade class that sets no limit (row `leak.blade.1`)."""


@dataclass(frozen=True)
class LeakageRules:
    """What the rows say: limits of E and S [m³/(h·m²)] and their pressure [Pa]; classes [l/(s·m²)] and their laws.

    `blades` are the limits at `blade_pressure_pa`, `printed_otherwise` another figure for a class that a copy prints;
    `casings` are the factors of classes A to D. `least_pa` to `most_pa` is where the classes are given.
    """

    e_m3_h_m2: float
    s_m3_h_m2: float
    limit_pressure_pa: float
    blades: Mapping[int, float]
    printed_otherwise: Mapping[int, float]
    blade_pressure_pa: float
    blade_exponent: float
    casings: Mapping[str, float]
    casing_exponent: float
    least_pa: float
    most_pa: float


@dataclass(frozen=True)
class LeakageLimit:
    """The most leakage of one size for E or S [m³/h, l/s] at a pressure [Pa], with its rows."""

    letter: str
    m3_h: float
    l_s: float
    pressure_pa: float
    rows: tuple[str, ...]


@dataclass(frozen=True)
class BladeLimit:
    """What a blade class allows at a pressure [l/(s·m²)]; `otherwise` is what a copy prints in conflict, else None."""

    l_s_m2: float
    otherwise_l_s_m2: float | None
    rows: tuple[str, ...]
    note: str


@dataclass(frozen=True)
class BesideLimit:
    """A blade class beside the limit of E or S at the limit's pressure [l/(s·m²)]; it never passes.

    `is_within` says only whether the class allows no more than the limit, cold. `verdict` is UNKNOWN always: E and S
    come from the test of the damper, in fire too.
    """

    letter: str
    class_l_s_m2: float | None
    limit_l_s_m2: float
    is_within: bool
    verdict: Verdict
    text: str
    rows: tuple[str, ...]


def leakage_rules(book: RowBook) -> LeakageRules:
    """The rules of the rows under `leak.`."""
    return book.once(("leakage-rules",), lambda: _rules_of(book))


def _rules_of(book: RowBook) -> LeakageRules:
    least, most = book.numbers("leak.pressure.range")
    blades: dict[int, float] = {}
    otherwise: dict[int, float] = {}
    for row in book.under("leak.blade."):
        number, _, rest = row.id.removeprefix("leak.blade.").partition(".")
        if number.isdecimal():
            (otherwise if rest else blades)[int(number)] = book.number(row.id)
    return LeakageRules(
        book.number("leak.limit.e"),
        book.number("leak.limit.s"),
        book.number("leak.limit.pressure"),
        blades,
        otherwise,
        book.number("leak.blade.pressure"),
        book.number("leak.blade.exponent"),
        {letter: book.number(f"leak.casing.{letter.lower()}") for letter in "ABCD"},
        book.number("leak.casing.exponent"),
        least,
        most,
    )


def per_second(m3_h: float) -> float:
    """A flow [m³/h] in l/s."""
    return m3_h * LITRES_A_CUBIC_METRE / SECONDS_AN_HOUR


def _limit_of(letter: str, rules: LeakageRules) -> float:
    limits = {"E": rules.e_m3_h_m2, "S": rules.s_m3_h_m2}
    if letter not in limits:
        raise ValueError(f"a leakage limit is of E or S, not of {letter!r}")
    return limits[letter]


def leakage_limit_m3_h(letter: str, area_m2: float, rules: LeakageRules) -> LeakageLimit:
    """The most leakage of a nominal cross-section [m²] for `letter` "E" or "S".

    Raises ValueError for another letter or no area.
    """
    if not area_m2 > 0:
        raise ValueError(f"an area is above zero, not {area_m2} m²")
    most = _limit_of(letter, rules) * area_m2
    rows = (f"leak.limit.{letter.lower()}", "leak.limit.pressure", "leak.area")
    return LeakageLimit(letter, most, per_second(most), rules.limit_pressure_pa, rows)


def check_measured(letter: str, leakage_m3_h: float, area_m2: float, rules: LeakageRules) -> Verdict:
    """A leakage [m³/h] as measured, at the limit's pressure and 20 °C, against E or S of an area [m²]: PASS or FAIL.

    PASS says that this measurement keeps this limit, not that the damper has the class. Compared in the decimals as
    stated. Raises ValueError as `leakage_limit_m3_h` does, and for a leakage below zero.
    """
    if not leakage_m3_h >= 0:
        raise ValueError(f"a leakage is zero or more, not {leakage_m3_h} m³/h")
    leakage_limit_m3_h(letter, area_m2, rules)
    most = as_stated(_limit_of(letter, rules)) * as_stated(area_m2)
    return Verdict.PASS if as_stated(leakage_m3_h) <= most else Verdict.FAIL


def blade_leakage(blade_class: int, pressure_pa: float, rules: LeakageRules) -> BladeLimit | None:
    """What a closed blade of a class may leak at a pressure [Pa]: q·(Δp/Δp₀)^n (EN 1751, Annex C).

    None for class 0 (no limit), a class that the rows don't have, or a pressure outside their range.
    """
    if blade_class == NO_LIMIT_CLASS or blade_class not in rules.blades:
        return None
    if not rules.least_pa < pressure_pa <= rules.most_pa:
        return None
    scale: float = (pressure_pa / rules.blade_pressure_pa) ** rules.blade_exponent
    other = rules.printed_otherwise.get(blade_class)
    rows = [f"leak.blade.{blade_class}", "leak.blade.pressure", "leak.blade.exponent"]
    note = ""
    if other is not None:
        rows.append(f"leak.blade.{blade_class}.printed-otherwise")
        note = (
            f"Sources disagree on class {blade_class}: {number_text(rules.blades[blade_class])} or "
            f"{number_text(other)} l/(s·m²) at {number_text(rules.blade_pressure_pa)} Pa; read it in the standard."
        )
    otherwise = None if other is None else other * scale
    return BladeLimit(rules.blades[blade_class] * scale, otherwise, tuple(rows), note)


def casing_leakage_l_s_m2(casing_class: str, pressure_pa: float, rules: LeakageRules) -> float | None:
    """What a duct or casing of a class A to D may leak per square metre of its surface [l/(s·m²)]: f·p^n.

    The sign of a pressure [Pa] does not matter. None for another class or a pressure outside the range of the rows.
    """
    factor = rules.casings.get(casing_class.strip().upper())
    pressure = abs(pressure_pa)
    if factor is None or not rules.least_pa < pressure <= rules.most_pa:
        return None
    answer: float = factor * pressure**rules.casing_exponent
    return answer


def pressures_of_class(casing_class: str, book: RowBook) -> tuple[float, float] | None:
    """The static pressures [Pa] for which ducts of a class are built by practice; None where no row gives them.

    From the row `leak.casing.*.pressures`: negative and positive pressure. Shown beside a leakage, no limit of it.
    """
    row = f"leak.casing.{casing_class.strip().lower()}.pressures"
    if book.find(row) is None:
        return None
    least, most = book.numbers(row)
    return least, most


def beside_limit(letter: str, blade_class: int, rules: LeakageRules) -> BesideLimit:
    """A blade class of EN 1751 beside the limit of `letter` "E" or "S": shown, never proven by it.

    Raises ValueError for another letter.
    """
    limit = per_second(_limit_of(letter, rules))
    allowed = blade_leakage(blade_class, rules.limit_pressure_pa, rules)
    rows = (f"leak.limit.{letter.lower()}", "leak.limit.pressure")
    tested = f"{letter} comes from the damper's own test."
    if allowed is None:
        text = f"Blade class {blade_class} sets no limit; {tested}"
        return BesideLimit(letter, None, limit, False, Verdict.UNKNOWN, text, rows)
    worst = max(allowed.l_s_m2, allowed.otherwise_l_s_m2 or 0.0)
    is_within = worst <= limit
    text = (
        f"Blade class {blade_class} allows {number_text(worst)} l/(s·m²) at {number_text(rules.limit_pressure_pa)} Pa, "
        f"{'not more' if is_within else 'more'} than the {number_text(limit)} of {letter}; {tested}"
    )
    return BesideLimit(letter, worst, limit, is_within, Verdict.UNKNOWN, text, (*rows, *allowed.rows))
