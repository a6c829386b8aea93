# SPDX-License-Identifier: Apache-2.0
"""Drop rods in fire: thread areas, stress, the limits of two worlds, and the unprotected length.

The tested support is the answer. A calculation here can only fail a support or leave it unknown: no function of this
module answers *pass*. European limits go with the tensile stress area, British ones of the BS 476-24 days with the
root area; a limit and its area come together and are never mixed (trade handbook 6.1 to 6.8).
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from brattice.calc.exact import as_stated
from brattice.errors import OwnFault
from brattice.findings import Verdict
from brattice.quantities import mm_text, number_text
from brattice.rows import RowBook

__all__ = [
    "HangerBasis",
    "HangerRules",
    "LeastThread",
    "RodCheck",
    "StressLimit",
    "Thread",
    "check_rod_length",
    "check_rod_stress",
    "hanger_rules",
    "least_thread",
    "most_mass_kg",
    "rod_stress_n_mm2",
    "root_area_mm2",
    "tensile_stress_area_mm2",
]


class HangerBasis(StrEnum):
    """Whose limits: European tests, or assessments of the BS 476-24 days. There is no mixture."""

    EN = "EN"
    UK = "UK legacy"


@dataclass(frozen=True)
class Thread:
    """A metric thread: nominal diameter and pitch [mm], nominal tensile stress area and root area [mm²]."""

    name: str
    diameter_mm: float
    pitch_mm: float
    stress_area_mm2: float
    root_area_mm2: float


@dataclass(frozen=True)
class StressLimit:
    """Most tensile stress [N/mm²] for fire resistance up to and including `until_min` [min], and its row."""

    until_min: float
    most_n_mm2: float
    row: str


@dataclass(frozen=True)
class HangerRules:
    """Threads from the smallest to the largest, limits by basis in rising time, and what else the rows say."""

    threads: tuple[Thread, ...]
    limits: Mapping[HangerBasis, tuple[StressLimit, ...]]
    area_words: Mapping[HangerBasis, str]
    gravity_m_s2: float
    most_unprotected_mm: float
    default_basis: HangerBasis

    def thread(self, name: str) -> Thread | None:
        """The thread of a name ("M10", capitals and blanks aside); None where the rows have none of that name."""
        wanted = "".join(name.split()).upper()
        return next((item for item in self.threads if item.name == wanted), None)

    def limit(self, basis: HangerBasis, minutes: float) -> StressLimit | None:
        """The limit for a time of fire resistance [min]; None beyond the last one that is given, or for no time."""
        if not minutes > 0:
            return None
        return next((item for item in self.limits[basis] if minutes <= item.until_min), None)

    def area_mm2(self, basis: HangerBasis, thread: Thread) -> float:
        """The area [mm²] that goes with the limits of a basis."""
        return thread.stress_area_mm2 if basis is HangerBasis.EN else thread.root_area_mm2

    def area_row(self, basis: HangerBasis) -> str:
        """The row that says which area goes with the limits of a basis."""
        return f"support.area.{_ROW_WORD[basis]}"

    def thread_rows(self, basis: HangerBasis, thread: Thread) -> tuple[str, ...]:
        """The rows that the area of a thread rests on under a basis."""
        stem = f"support.thread.{thread.name.lower()}"
        if basis is HangerBasis.EN:
            return (f"{stem}.stress-area",)
        return (f"{stem}.diameter-and-pitch", "support.thread.root.coefficient")


@dataclass(frozen=True)
class RodCheck:
    """What a calculation says of rods: `verdict` is FAIL or UNKNOWN, never PASS; the tested support decides.

    `have` and `most` are in the unit of the check (stress [N/mm²] or length [mm]), None where they can't be told.
    """

    verdict: Verdict
    text: str
    have: float | None
    most: float | None
    rows: tuple[str, ...]


@dataclass(frozen=True)
class LeastThread:
    """The smallest thread of the rows that the limit does not fail; None with the reason in `why`."""

    thread: Thread | None
    why: str
    rows: tuple[str, ...]


_ROW_WORD = {HangerBasis.EN: "en", HangerBasis.UK: "uk"}
_AREA_WORDS = {HangerBasis.EN: "stress area", HangerBasis.UK: "root area"}


def tensile_stress_area_mm2(diameter_mm: float, pitch_mm: float, coefficient: float) -> float:
    """A_s = π/4·(D − k·P)² [mm²] with the nominal diameter D and the pitch P [mm] (ISO 898-1; k from its row).

    Raises ValueError where the circle has no diameter left.
    """
    return _circle_mm2(diameter_mm - coefficient * pitch_mm)


def root_area_mm2(diameter_mm: float, pitch_mm: float, coefficient: float) -> float:
    """The area [mm²] of the root circle d3 = D − k·P [mm] of an external metric thread (ISO 724; k from its row).

    Raises ValueError where the circle has no diameter left.
    """
    return _circle_mm2(diameter_mm - coefficient * pitch_mm)


def _circle_mm2(diameter_mm: float) -> float:
    if not diameter_mm > 0:
        raise ValueError(f"a thread leaves a core of some diameter, not {diameter_mm} mm")
    return math.pi / 4 * diameter_mm**2


def hanger_rules(book: RowBook) -> HangerRules:
    """The rules of the rows under `support.`; a basis whose row names another area is our own fault (`OwnFault`)."""
    return book.once(("hanger-rules",), lambda: _rules_of(book))


def _rules_of(book: RowBook) -> HangerRules:
    root = book.number("support.thread.root.coefficient")
    names = book.need("support.thread.sizes").value
    if not isinstance(names, tuple):
        raise OwnFault("row 'support.thread.sizes' holds no names")
    threads = []
    for name in names:
        stem = f"support.thread.{str(name).lower()}"
        diameter, pitch = book.numbers(f"{stem}.diameter-and-pitch")
        area = book.number(f"{stem}.stress-area")
        threads.append(Thread(str(name), diameter, pitch, area, root_area_mm2(diameter, pitch, root)))
    limits = {}
    for basis, word in _ROW_WORD.items():
        found = []
        for row in book.under(f"support.stress.{word}."):
            until, most = book.numbers(row.id)
            found.append(StressLimit(until, most, row.id))
        limits[basis] = tuple(sorted(found, key=lambda item: item.until_min))
        if book.need(f"support.area.{word}").value != _AREA_WORDS[basis]:
            raise OwnFault(f"row 'support.area.{word}' names another area than the code takes")
    default = str(book.need("support.basis").value)
    return HangerRules(
        tuple(threads),
        limits,
        _AREA_WORDS,
        book.number("support.gravity"),
        book.number("support.length.unprotected"),
        next(basis for basis, word in _ROW_WORD.items() if word == default),
    )


def rod_stress_n_mm2(mass_kg: float, rods: int, area_mm2: float, gravity_m_s2: float) -> float:
    """σ = m·g / (n·A) [N/mm²]: a mass [kg] on n rods of an area [mm²] that carry equal shares.

    Raises ValueError for a negative or endless mass, no rod or no area.
    """
    if not (mass_kg >= 0 and math.isfinite(mass_kg)):
        raise ValueError(f"a mass is zero or more, not {mass_kg} kg")
    if rods < 1:
        raise ValueError(f"at least one rod carries a mass, not {rods}")
    if not area_mm2 > 0:
        raise ValueError(f"a rod has an area, not {area_mm2} mm²")
    return mass_kg * gravity_m_s2 / (rods * area_mm2)


def _exceeds(mass_kg: float, rods: int, area_mm2: float, gravity_m_s2: float, most_n_mm2: float) -> bool:
    """Whether the stress is more than the limit, in the decimals as stated: at the limit it is not."""
    load = as_stated(mass_kg) * as_stated(gravity_m_s2)
    return load > as_stated(most_n_mm2) * rods * as_stated(area_mm2)


def most_mass_kg(rules: HangerRules, basis: HangerBasis, thread: Thread, rods: int, minutes: float) -> float | None:
    """The most mass [kg] that the limit does not fail on n equal rods for a time [min]; None where no limit is given.

    Raises ValueError for no rod. A figure to fail heavier ones by, no permission for lighter ones.
    """
    if rods < 1:
        raise ValueError(f"at least one rod carries a mass, not {rods}")
    limit = rules.limit(basis, minutes)
    if limit is None:
        return None
    return limit.most_n_mm2 * rods * rules.area_mm2(basis, thread) / rules.gravity_m_s2


def least_thread(rules: HangerRules, basis: HangerBasis, mass_kg: float, rods: int, minutes: float) -> LeastThread:
    """The smallest thread that the limit does not fail under a mass [kg] on n equal rods for a time [min].

    Raises ValueError as `rod_stress_n_mm2` does. What was tested decides; a thinner tested rod is not made wrong by
    this, and a thicker one is not made right.
    """
    limit = rules.limit(basis, minutes)
    if limit is None:
        return LeastThread(None, _no_limit_text(rules, basis, minutes), (rules.area_row(basis),))
    rows = (limit.row, rules.area_row(basis), "support.gravity")
    for thread in rules.threads:
        area = rules.area_mm2(basis, thread)
        rod_stress_n_mm2(mass_kg, rods, area, rules.gravity_m_s2)  # refuses what is no load
        if not _exceeds(mass_kg, rods, area, rules.gravity_m_s2, limit.most_n_mm2):
            return LeastThread(thread, f"up to {number_text(limit.most_n_mm2)} N/mm² on the {_AREA_WORDS[basis]}", rows)
    largest = rules.threads[-1].name
    return LeastThread(None, f"{rods} rods of {largest} are not enough; more rods or another support", rows)


def _no_limit_text(rules: HangerRules, basis: HangerBasis, minutes: float) -> str:
    last = rules.limits[basis][-1].until_min
    return (
        f"The {basis} limits give no stress for {number_text(minutes)} min (they end at {number_text(last)} min); "
        "only the tested support tells."
    )


def check_rod_stress(
    rules: HangerRules, basis: HangerBasis, thread: Thread, rods: int, mass_kg: float, minutes: float
) -> RodCheck:
    """The stress [N/mm²] of n equal rods under a mass [kg] against the limit for a time [min]: FAIL or UNKNOWN.

    Never PASS: a stress within the limit leaves the support to what was tested. Compared exactly, before anything is
    rounded: 6.031 is more than 6 (trade handbook C29). Raises ValueError as `rod_stress_n_mm2` does.
    """
    area = rules.area_mm2(basis, thread)
    stress = rod_stress_n_mm2(mass_kg, rods, area, rules.gravity_m_s2)
    limit = rules.limit(basis, minutes)
    rows: tuple[str, ...] = (rules.area_row(basis), "support.gravity")
    if limit is None:
        return RodCheck(Verdict.UNKNOWN, _no_limit_text(rules, basis, minutes), stress, None, rows)
    rows = (limit.row, *rows, *rules.thread_rows(basis, thread))
    at = f"({basis}, {number_text(minutes)} min)"
    if _exceeds(mass_kg, rods, area, rules.gravity_m_s2, limit.most_n_mm2):
        text = (
            f"{rods} × {thread.name} under {number_text(mass_kg)} kg: {number_text(stress, 3)} N/mm² on the "
            f"{_AREA_WORDS[basis]}, more than {number_text(limit.most_n_mm2)} N/mm² {at}."
        )
        return RodCheck(Verdict.FAIL, text, stress, limit.most_n_mm2, rows)
    text = (
        f"{number_text(stress, 3)} N/mm² on the {_AREA_WORDS[basis]} is not over {number_text(limit.most_n_mm2)} N/mm² "
        f"{at}; whether the support holds is for the test to say."
    )
    return RodCheck(Verdict.UNKNOWN, text, stress, limit.most_n_mm2, rows)


def check_rod_length(rules: HangerRules, length_mm: float, is_protected: bool | None) -> RodCheck:
    """A rod's length [mm] against the most that may hang unprotected: FAIL or UNKNOWN, never PASS.

    `is_protected` None: not stated. Raises ValueError for a length below zero.
    """
    if not length_mm >= 0:
        raise ValueError(f"a rod's length is zero or more, not {length_mm} mm")
    rows, most = ("support.length.unprotected",), rules.most_unprotected_mm
    if length_mm <= most:
        text = f"Not longer than {mm_text(most)}; whether the support holds is for the test to say."
        return RodCheck(Verdict.UNKNOWN, text, length_mm, most, rows)
    long = f"Rods of {mm_text(length_mm)} are longer than {mm_text(most)} and need protection against fire"
    if is_protected is None:
        return RodCheck(Verdict.UNKNOWN, f"{long}; it is not stated whether they have it.", length_mm, most, rows)
    if is_protected:
        return RodCheck(Verdict.UNKNOWN, f"{long}; the protection has to be a tested one.", length_mm, most, rows)
    return RodCheck(Verdict.FAIL, f"{long}; they have none.", length_mm, most, rows)
