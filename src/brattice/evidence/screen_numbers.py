# SPDX-License-Identifier: Apache-2.0
"""The checks of numbers, over many penetrations and all installations at once.

Each class here says with arrays what a check says of one pair; what a surface or a class means is asked of the check's
own functions, once for each different reading. NaN stands for what is not known, infinity for an end that is not set.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Hashable, Mapping, Sequence
from dataclasses import replace
from types import MappingProxyType
from typing import Any, Protocol

import numpy as np

from brattice.building.penetration import Penetration, Separation, Size
from brattice.building.words import OpeningShape, SeparationFill, SupportingConstruction, Surface
from brattice.evidence import codes
from brattice.evidence.checking import DENSE_KINDS, Basis, wall_fact
from brattice.evidence.checks import Check
from brattice.evidence.checks_product import size_is_round
from brattice.evidence.checks_seal import axis_totals, gap_shift, side_limits
from brattice.evidence.checks_separation import apart, distance_bounds, neighbour_kind
from brattice.evidence.codes import CHANGE_WEIGHTS
from brattice.evidence.installation import SizeWindow, TestedInstallation, Window
from brattice.evidence.outcomes import FAIL, NOTHING, UNKNOWN, Outcomes, outcome_of
from brattice.findings import Fact, Known, Origin, Unknown
from brattice.quantities import Mm
from brattice.requirements.requirement import Requirement

__all__ = ["NUMBERS", "NumberScreen"]

Floats = np.ndarray[Any, np.dtype[np.float64]]
Bools = np.ndarray[Any, np.dtype[np.bool_]]

_HERE = Origin("screen")
_KINDS = tuple(SupportingConstruction)


class NumberScreen(Protocol):
    """One check of numbers, made ready for all installations."""

    def add(self, penetrations: Sequence[Penetration], requirements: Sequence[Requirement], total: Outcomes) -> None:
        """Adds the outcomes of these penetrations to a total, a row each."""


def _value(fact: Fact[Any]) -> float:
    return float(fact.value) if isinstance(fact, Known) else math.nan


def _array(values: Sequence[float | None]) -> Floats:
    return np.array([math.nan if value is None else value for value in values], dtype=np.float64)


def _ends(windows: Sequence[Window | None]) -> tuple[Floats, Floats]:
    """Least and most of windows; an end that is not set is infinite."""
    least = [-math.inf if item is None or item.least is None else item.least for item in windows]
    most = [math.inf if item is None or item.most is None else item.most for item in windows]
    return np.array(least), np.array(most)


def _formed(penetrations: Sequence[Penetration]) -> Bools:
    facts = [item.opening.formed for item in penetrations]
    return np.array([isinstance(fact, Known) and fact.value for fact in facts], dtype=np.bool_)


def _sizes(penetrations: Sequence[Penetration]) -> tuple[Floats, Floats, Bools, Bools]:
    """Width, height (0 when round), whether round, whether known."""
    sizes = [item.damper.size.value if isinstance(item.damper.size, Known) else None for item in penetrations]
    width = np.array([0.0 if size is None else size.width_mm for size in sizes])
    height = np.array([0.0 if size is None or size.height_mm is None else size.height_mm for size in sizes])
    is_round = np.array([size is not None and size.is_round for size in sizes], dtype=np.bool_)
    known = np.array([size is not None for size in sizes], dtype=np.bool_)
    return width, height, is_round, known


class _Thickness:
    def __init__(self, check: Check, installations: Sequence[TestedInstallation], basis: Basis) -> None:
        del check, basis
        self.least = _array([item.construction.least_thickness_mm for item in installations])

    def add(self, penetrations: Sequence[Penetration], requirements: Sequence[Requirement], total: Outcomes) -> None:
        del requirements
        here = np.array([_value(item.barrier.thickness_mm) for item in penetrations])
        total += np.where(here[:, None] < self.least, FAIL, NOTHING)
        total[np.isnan(here)] += UNKNOWN


class _Density:
    def __init__(self, check: Check, installations: Sequence[TestedInstallation], basis: Basis) -> None:
        del check, basis
        tested = [item.construction for item in installations]
        windows = [Window(item.least_density_kg_m3, item.most_density_kg_m3) for item in tested]
        self.least, self.most = _ends(windows)
        dense = np.array([item.kind in DENSE_KINDS for item in tested], dtype=np.bool_)
        silent = np.array([window.least is None for window in windows], dtype=np.bool_)
        self.asked = dense | ~silent | np.array([window.most is not None for window in windows], dtype=np.bool_)
        self.lacking = dense & silent
        self.dense = dense
        self.kinds = np.array([_KINDS.index(item.kind) for item in tested], dtype=np.intp)

    def add(self, penetrations: Sequence[Penetration], requirements: Sequence[Requirement], total: Outcomes) -> None:
        del requirements
        here = np.array([_value(wall_fact(item, "density_kg_m3")) for item in penetrations])[:, None]
        off = (here < self.least) | (here > self.most)
        left_open = np.isnan(here) | self.lacking
        kinds = [wall_fact(item, "kind") for item in penetrations]
        kind = np.array([_KINDS.index(fact.value) if isinstance(fact, Known) else -1 for fact in kinds])[:, None]
        asked = self.asked & ~(self.dense & (kind >= 0) & (kind != self.kinds))
        total += np.where(asked, np.where(off, FAIL, np.where(left_open, UNKNOWN, NOTHING)), NOTHING)


class _BladePosition:
    def __init__(self, check: Check, installations: Sequence[TestedInstallation], basis: Basis) -> None:
        del basis
        self.weight = CHANGE_WEIGHTS[check.code]
        self.most = _array([item.most_blade_offset_mm for item in installations])

    def add(self, penetrations: Sequence[Penetration], requirements: Sequence[Requirement], total: Outcomes) -> None:
        del requirements
        here = np.abs([_value(item.damper.blade_offset_mm) for item in penetrations])[:, None]
        total += np.where(here > self.most, self.weight, NOTHING)
        total += np.where(np.isnan(here) | np.isnan(self.most), UNKNOWN, NOTHING)


class _SealDepth:
    def __init__(self, check: Check, installations: Sequence[TestedInstallation], basis: Basis) -> None:
        del basis
        self.weight = CHANGE_WEIGHTS[check.code]
        windows = [item.seal.depth_mm for item in installations]
        self.least, self.most = _ends(windows)
        self.silent = np.array([window is None for window in windows], dtype=np.bool_)

    def add(self, penetrations: Sequence[Penetration], requirements: Sequence[Requirement], total: Outcomes) -> None:
        del requirements
        here = np.array([_value(item.installation.seal_depth_mm) for item in penetrations])[:, None]
        total += np.where((here < self.least) | (here > self.most), self.weight, NOTHING)
        total += np.where(np.isnan(here) | self.silent, UNKNOWN, NOTHING)


class _SizeArrays:
    """The size windows of all installations."""

    def __init__(self, installations: Sequence[TestedInstallation]) -> None:
        sizes = [item.sizes for item in installations]
        self.is_round = np.array([size_is_round(item) for item in sizes], dtype=np.bool_)
        self.least_width, self.most_width = _ends([item.width for item in sizes])
        self.least_height, self.most_height = _ends([item.height for item in sizes])
        self.s_width = _array([item.s_least_width_mm for item in sizes])
        self.s_height = _array([item.s_least_height_mm for item in sizes])


class _Size:
    def __init__(self, check: Check, installations: Sequence[TestedInstallation], basis: Basis) -> None:
        del check, basis
        self.tested = _SizeArrays(installations)

    def add(self, penetrations: Sequence[Penetration], requirements: Sequence[Requirement], total: Outcomes) -> None:
        del requirements
        tested = self.tested
        width, height, is_round, known = _sizes(penetrations)
        w, h, r = width[:, None], height[:, None], is_round[:, None]
        off = (r != tested.is_round) | (w < tested.least_width) | (w > tested.most_width)
        off |= ~r & ((h < tested.least_height) | (h > tested.most_height))
        total += np.where(off & known[:, None], FAIL, NOTHING)
        total[~known] += UNKNOWN


_NOT_HELD, _HELD, _NOT_TOLD = 0, 1, 2
_ANY = Window(None, None)
_LEAKAGE = (
    SizeWindow(OpeningShape.RECTANGULAR, _ANY, _ANY, Mm(2), Mm(2)),
    SizeWindow(OpeningShape.RECTANGULAR, _ANY, _ANY, Mm(1), Mm(1)),
    SizeWindow(OpeningShape.RECTANGULAR, _ANY, _ANY, None, None),
)
"""Windows in which S is not held, held, and not told at 1 × 1."""

_SMALL: Known[Size] = Known(Size(Mm(1), Mm(1)), _HERE)


class _Class:
    """The class check depends on the size by S alone: it is made for S held, not held and not told."""

    def __init__(self, check: Check, installations: Sequence[TestedInstallation], basis: Basis) -> None:
        self.check, self.basis = check, basis
        self.tested = _SizeArrays(installations)
        places: dict[Hashable, int] = {}
        self.examples: list[TestedInstallation] = []
        index = []
        for item in installations:
            key = (item.class_text, item.kind)
            if key not in places:
                places[key] = len(self.examples)
                self.examples.append(item)
            index.append(places[key])
        self.index = np.array(index, dtype=np.intp)
        self.rows: dict[Hashable, Outcomes] = {}

    def _row(self, penetration: Penetration, requirement: Requirement) -> Outcomes:
        asked, standing = requirement.class_texts, penetration.barrier.orientation
        key = (
            asked.value if isinstance(asked, Known) else None,
            standing.value if isinstance(standing, Known) else None,
        )
        found = self.rows.get(key)
        if found is None:
            small = replace(penetration, damper=replace(penetration.damper, size=_SMALL))
            found = np.array(
                [
                    [
                        outcome_of(self.check.run(small, requirement, replace(item, sizes=sizes), self.basis))
                        for item in self.examples
                    ]
                    for sizes in _LEAKAGE
                ],
                dtype=np.int64,
            )[:, self.index]
            self.rows[key] = found
        return found

    def add(self, penetrations: Sequence[Penetration], requirements: Sequence[Requirement], total: Outcomes) -> None:
        tested = self.tested
        width, height, is_round, known = _sizes(penetrations)
        w, h, r = width[:, None], height[:, None], is_round[:, None]
        off = (r != tested.is_round) | (w > tested.most_width) | (w < tested.s_width)
        off |= ~r & ((h > tested.most_height) | (h < tested.s_height))
        silent = np.isnan(tested.s_width) | (~r & np.isnan(tested.s_height))
        held = np.where(off, _NOT_HELD, np.where(silent, _NOT_TOLD, _HELD))
        held[~known] = _NOT_TOLD
        rows = [self._row(item, need) for item, need in zip(penetrations, requirements, strict=True)]
        distinct = {id(row): row for row in rows}
        places = {name: place for place, name in enumerate(distinct)}
        stack = np.stack(list(distinct.values()))
        index = np.array([places[id(row)] for row in rows], dtype=np.intp)
        columns = np.arange(len(self.index))
        total += stack[index[:, None], held, columns]


class _Gap:
    def __init__(self, check: Check, installations: Sequence[TestedInstallation], basis: Basis) -> None:
        del basis
        self.weight = CHANGE_WEIGHTS[check.code]
        limits = np.array([side_limits(item) for item in installations], dtype=np.float64).reshape(-1, 4, 2)
        self.least, self.most = limits[:, :, 0], limits[:, :, 1]
        beyond = [item.casing_beyond_mm or (0.0, 0.0, 0.0, 0.0) for item in installations]
        self.beyond = np.array(beyond, dtype=np.float64).reshape(-1, 4)
        groups: dict[tuple[Surface, bool], list[int]] = {}
        for place, item in enumerate(installations):
            groups.setdefault((item.seal.gap_from, item.casing_beyond_mm is not None), []).append(place)
        self.groups = {key: np.array(places, dtype=np.intp) for key, places in groups.items()}

    def _bounds(self, values: Floats, surface: Surface | None, key: tuple[Surface, bool], beyond: Floats) -> Any:
        """From where to where gaps (a row a site) lie from the tested surface (a column an installation)."""
        shift = gap_shift(surface, *key)
        exact = values[:, None] + shift.sign * beyond[None, :]
        low = np.full_like(exact, -math.inf) if shift.no_more else exact
        high = np.full_like(exact, math.inf) if shift.no_less else exact
        return low, high

    def add(self, penetrations: Sequence[Penetration], requirements: Sequence[Requirement], total: Outcomes) -> None:
        del requirements
        cost = np.where(_formed(penetrations), FAIL, self.weight)
        measured: dict[Surface | None, list[int]] = {}
        unmeasured: list[int] = []
        for row, item in enumerate(penetrations):
            opening = item.opening
            if isinstance(opening.gaps, Unknown):
                unmeasured.append(row)
            else:
                start = opening.gaps_from.value if isinstance(opening.gaps_from, Known) else None
                measured.setdefault(start, []).append(row)
        for surface, rows in measured.items():
            gaps = [penetrations[row].opening.gaps for row in rows]
            values = np.array(
                [
                    (fact.value.left_mm, fact.value.right_mm, fact.value.top_mm, fact.value.bottom_mm)
                    for fact in gaps
                    if isinstance(fact, Known)
                ]
            )
            self._add_measured(values, surface, np.array(rows, dtype=np.intp), cost, total)
        if unmeasured:
            self._add_unmeasured(penetrations, np.array(unmeasured, dtype=np.intp), cost, total)

    def _add_measured(
        self,
        values: Floats,
        surface: Surface | None,
        rows: np.ndarray[Any, np.dtype[np.intp]],
        cost: Outcomes,
        total: Outcomes,
    ) -> None:
        for key, columns in self.groups.items():
            off = np.zeros((len(rows), len(columns)), dtype=np.bool_)
            left_open = np.zeros_like(off)
            for side in range(4):
                low, high = self._bounds(values[:, side], surface, key, self.beyond[columns, side])
                least, most = self.least[columns, side], self.most[columns, side]
                off |= (high < least) | (low > most)
                left_open |= (low < least) | (high > most)
            found = np.where(off, cost[rows][:, None], np.where(left_open, UNKNOWN, NOTHING))
            total[np.ix_(rows, columns)] += found

    def _add_unmeasured(
        self,
        penetrations: Sequence[Penetration],
        rows: np.ndarray[Any, np.dtype[np.intp]],
        cost: Outcomes,
        total: Outcomes,
    ) -> None:
        totals = np.full((len(rows), 2), math.nan)
        for number, row in enumerate(rows):
            opening, size = penetrations[row].opening, penetrations[row].damper.size
            if isinstance(opening.finished, Known) and isinstance(size, Known):
                found = axis_totals(size.value, opening.finished.value)
                if found is not None:
                    totals[number] = found
        for key, columns in self.groups.items():
            off = np.zeros((len(rows), len(columns)), dtype=np.bool_)
            for axis, first in ((0, 0), (1, 2)):
                pair = [first, first + 1]
                beyond = self.beyond[columns][:, pair].sum(axis=1)
                low, high = self._bounds(totals[:, axis], Surface.DUCT, key, beyond)
                least = self.least[columns][:, pair].sum(axis=1)
                most = self.most[columns][:, pair].sum(axis=1)
                off |= ((high < least) | (low > most)) & ~np.isnan(totals[:, axis])[:, None]
            total[np.ix_(rows, columns)] += np.where(off, cost[rows][:, None], UNKNOWN)


class _Separations:
    def __init__(self, check: Check, installations: Sequence[TestedInstallation], basis: Basis) -> None:
        self.weight = CHANGE_WEIGHTS[check.code]
        self.installations, self.basis = installations, basis
        self.limits: dict[Hashable, tuple[Floats, Floats, Floats]] = {}

    def _limits(self, kind: str, example: Separation) -> tuple[Floats, Floats, Floats]:
        """For each installation: the least distance, and the bounds of the tested distance about the measured one."""
        key = (kind, example.from_surface, example.to_surface)
        found = self.limits.get(key)
        if found is None:
            held = [apart(item, kind, self.basis) for item in self.installations]
            bounds = [
                distance_bounds(example, item, limit, self.basis)
                for item, limit in zip(self.installations, held, strict=True)
            ]
            found = (
                _array([limit.least_mm for limit in held]),
                _array([item.low for item in bounds]),
                _array([item.high for item in bounds]),
            )
            self.limits[key] = found
        return found

    def add(self, penetrations: Sequence[Penetration], requirements: Sequence[Requirement], total: Outcomes) -> None:
        del requirements
        cost = np.where(_formed(penetrations), FAIL, self.weight)
        groups: dict[Hashable, list[tuple[int, Separation]]] = {}
        for row, item in enumerate(penetrations):
            for separation in item.separations:
                kind = neighbour_kind(separation)
                key = (kind, separation.from_surface, separation.to_surface)
                groups.setdefault(key, []).append((row, separation))
        for found in groups.values():
            kind = neighbour_kind(found[0][1])
            rows = np.array([row for row, _ in found], dtype=np.intp)
            outcomes = self._outcomes(kind, [item for _, item in found], cost[rows])
            places, first = np.unique(rows, return_index=True)
            total[places] += np.add.reduceat(outcomes, first, axis=0)

    def _outcomes(self, kind: str, separations: Sequence[Separation], cost: Outcomes) -> Outcomes:
        least, low, high = self._limits(kind, separations[0])
        distance = np.array([_value(item.distance_mm) for item in separations])[:, None]
        dampers = kind == "damper"
        fills = [item.fill.value if isinstance(item.fill, Known) else None for item in separations]
        batt = np.array([dampers and fill is SeparationFill.BATT for fill in fills], dtype=np.bool_)[:, None]
        untold = np.array([dampers and fill is None for fill in fills], dtype=np.bool_)[:, None]
        beyond = distance >= least + (2 if dampers else 1) * self.basis.reach_mm
        near = distance + high < least
        short = distance + low < least
        nothing_told = np.isnan(distance)
        open_still = np.where(nothing_told | untold | short, UNKNOWN, NOTHING)
        answer = np.where(near, cost[:, None], open_still)
        answer = np.where(beyond, NOTHING, answer)
        return np.where(batt & ~nothing_told, FAIL, answer)


NUMBERS: Mapping[str, Callable[[Check, Sequence[TestedInstallation], Basis], NumberScreen]] = MappingProxyType(
    {
        codes.CLASS: _Class,
        codes.SIZE: _Size,
        codes.THICKNESS: _Thickness,
        codes.DENSITY: _Density,
        codes.BLADE_POSITION: _BladePosition,
        codes.SEAL_DEPTH: _SealDepth,
        codes.GAP: _Gap,
        codes.SEPARATION: _Separations,
    }
)
"""How each check of numbers is made over many pairs."""
