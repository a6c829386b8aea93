# SPDX-License-Identifier: Apache-2.0
"""Placements of an IFC file as matrices, with the length unit, safe against a placement that refers to itself."""

from __future__ import annotations

from typing import Any

import ifcopenshell.util.placement
import numpy as np
from numpy.typing import NDArray

__all__ = ["LengthUnit", "Placements", "length_unit"]

_PREFIXES = {
    "EXA": 1e18,
    "PETA": 1e15,
    "TERA": 1e12,
    "GIGA": 1e9,
    "MEGA": 1e6,
    "KILO": 1e3,
    "HECTO": 1e2,
    "DECA": 1e1,
    "DECI": 1e-1,
    "CENTI": 1e-2,
    "MILLI": 1e-3,
    "MICRO": 1e-6,
    "NANO": 1e-9,
    "PICO": 1e-12,
    "FEMTO": 1e-15,
    "ATTO": 1e-18,
}  # fmt: skip - ISO 10303-41 prefixes, one glance


class LengthUnit:
    """The length unit of a file: how many metres one is, its name, and whether the file states it."""

    def __init__(self, metres: float, name: str, stated: bool) -> None:
        self.metres = metres
        self.name = name
        self.stated = stated


def length_unit(file: Any) -> LengthUnit:
    """The length unit that the project states; metres, marked as not stated, when it states none."""
    for project in file.by_type("IfcProject"):
        assignment = project.UnitsInContext
        for entry in assignment.Units if assignment is not None else ():
            if not hasattr(entry, "UnitType") or entry.UnitType != "LENGTHUNIT":
                continue
            return LengthUnit(_metres(entry), _name(entry), stated=True)
    return LengthUnit(1.0, "none stated", stated=False)


def _metres(unit: Any) -> float:
    if unit.is_a("IfcConversionBasedUnit"):
        factor = unit.ConversionFactor
        return float(factor.ValueComponent.wrappedValue) * _metres(factor.UnitComponent)
    return _PREFIXES.get(unit.Prefix or "", 1.0)


def _name(unit: Any) -> str:
    if unit.is_a("IfcConversionBasedUnit"):
        return str(unit.Name).lower()
    return f"{(unit.Prefix or '').lower()}{str(unit.Name).lower()}"


class Placements:
    """World matrices of placements [m], remembered; a placement in a circle has none."""

    def __init__(self, unit: LengthUnit) -> None:
        self._metres = unit.metres
        self._known: dict[int, NDArray[np.float64] | None] = {}

    def of(self, product: Any) -> NDArray[np.float64] | None:
        """The world matrix of a product [m]; None when its placement refers to itself or can't be read."""
        placement = product.ObjectPlacement
        if placement is None:
            return np.eye(4)
        chain: list[Any] = []
        visited: set[int] = set()
        step = placement
        while step is not None and step.id() not in self._known:
            if step.id() in visited:
                for one in chain:
                    self._known[one.id()] = None
                return None
            visited.add(step.id())
            chain.append(step)
            step = getattr(step, "PlacementRelTo", None)
        above = np.eye(4) if step is None else self._known[step.id()]
        for one in reversed(chain):
            above = None if above is None else self._below(above, one)
            self._known[one.id()] = above
        return above

    def _below(self, above: NDArray[np.float64], placement: Any) -> NDArray[np.float64] | None:
        if not placement.is_a("IfcLocalPlacement"):
            return None
        try:
            own = np.array(
                ifcopenshell.util.placement.get_axis2placement(placement.RelativePlacement), dtype=np.float64
            )
        except (AttributeError, TypeError, ValueError, RuntimeError):
            return None
        own[:3, 3] *= self._metres
        return np.asarray(above @ own)

    def is_circular(self, product: Any) -> bool:
        """Whether the placement of a product leads back to itself."""
        visited: set[int] = set()
        step = product.ObjectPlacement
        while step is not None:
            if step.id() in visited:
                return True
            visited.add(step.id())
            step = getattr(step, "PlacementRelTo", None)
        return False
