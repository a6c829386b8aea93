# SPDX-License-Identifier: Apache-2.0
"""Air through an open damper: velocity, dynamic pressure, loss by a coefficient or by the free area."""

from __future__ import annotations

import math
from dataclasses import dataclass

from brattice.quantities import LITRES_A_CUBIC_METRE, MM_A_METRE
from brattice.rows import RowBook

__all__ = [
    "BLOCKAGE_ROWS",
    "COMMON_LOSS_ROWS",
    "AirLaw",
    "air_law",
    "blockage_coefficient",
    "common_losses",
    "cross_section_m2",
    "dynamic_pressure_pa",
    "hydraulic_diameter_m",
    "is_blockage_formula_valid",
    "on_duct_velocity",
    "pressure_loss_pa",
    "reynolds_number",
    "velocity_m_s",
]

COMMON_LOSS_ROWS = ("air.loss.curtain-out-of-stream", "air.loss.curtain-round", "air.loss.multi-blade")
"""Loss coefficients of open dampers in common tables, on the duct's velocity."""

BLOCKAGE_ROWS = ("air.blockage.coefficient", "air.blockage.range", "air.blockage.reynolds", "air.viscosity")
"""The rows that the loss of a sharp-edged blockage rests on."""


@dataclass(frozen=True)
class AirLaw:
    """Density [kg/m³], kinematic viscosity [m²/s], and the constants of dynamic pressure and of a sharp blockage.

    The blockage formula is given for free shares above `least_share` up to `most_share`, from `least_reynolds`.
    """

    density_kg_m3: float
    viscosity_m2_s: float
    half: float
    blockage: float
    least_share: float
    most_share: float
    least_reynolds: float


def air_law(book: RowBook) -> AirLaw:
    """The law of the rows under `air.`."""
    least, most = book.numbers("air.blockage.range")
    return AirLaw(
        book.number("air.density"),
        book.number("air.viscosity"),
        book.number("air.loss.half"),
        book.number("air.blockage.coefficient"),
        least,
        most,
        book.number("air.blockage.reynolds"),
    )


def common_losses(book: RowBook) -> tuple[float, ...]:
    """The loss coefficients of `COMMON_LOSS_ROWS`: what an open damper may have whose maker states none."""
    return tuple(book.number(row) for row in COMMON_LOSS_ROWS)


def cross_section_m2(width_mm: float, height_mm: float | None) -> float:
    """The area [m²] of a nominal size: width × height, or the circle of a diameter where `height_mm` is None.

    Raises ValueError for a side that is not above zero.
    """
    for side in (width_mm, height_mm):
        if side is not None and not side > 0:
            raise ValueError(f"a size is above zero, not {side} mm")
    width = width_mm / MM_A_METRE
    return math.pi / 4 * width**2 if height_mm is None else width * height_mm / MM_A_METRE


def hydraulic_diameter_m(width_mm: float, height_mm: float | None) -> float:
    """Four times the area by the perimeter [m]; of a circle its diameter."""
    area = cross_section_m2(width_mm, height_mm)
    if height_mm is None:
        return width_mm / MM_A_METRE
    return 4 * area / (2 * (width_mm + height_mm) / MM_A_METRE)


def velocity_m_s(flow_l_s: float, area_m2: float) -> float:
    """v = q / A [m/s] of a flow [l/s] through an area [m²].

    Raises ValueError for a flow below zero or no area.
    """
    if not flow_l_s >= 0:
        raise ValueError(f"a flow is zero or more, not {flow_l_s} l/s")
    if not area_m2 > 0:
        raise ValueError(f"an area is above zero, not {area_m2} m²")
    return flow_l_s / LITRES_A_CUBIC_METRE / area_m2


def dynamic_pressure_pa(velocity_m_s: float, law: AirLaw) -> float:
    """½·ρ·v² [Pa] of a velocity [m/s]."""
    return law.half * law.density_kg_m3 * velocity_m_s**2


def pressure_loss_pa(coefficient: float, velocity_m_s: float, law: AirLaw) -> float:
    """Δp = C·½·ρ·v² [Pa]; the coefficient holds for the velocity [m/s] that it was stated on (duct or free area).

    Raises ValueError for a coefficient below zero.
    """
    if not coefficient >= 0:
        raise ValueError(f"a loss coefficient is zero or more, not {coefficient}")
    return coefficient * dynamic_pressure_pa(velocity_m_s, law)


def on_duct_velocity(coefficient: float, free_share: float) -> float:
    """A coefficient stated on the velocity in the free area, turned to the duct's velocity: C / f².

    Raises ValueError for a free share that is not above 0 and at most 1.
    """
    if not 0 < free_share <= 1:
        raise ValueError(f"a free share is above 0 and at most 1, not {free_share}")
    return coefficient / free_share**2


def blockage_coefficient(free_share: float, law: AirLaw) -> float | None:
    """ζ = (k·√(1 − f) + 1 − f)² / f² on the duct's velocity, of a sharp-edged blockage that leaves the share f free.

    Idelchik's thin orifice in a straight pipe. None outside the shares for which the formula is given; see also
    `is_blockage_formula_valid`.
    """
    if not law.least_share < free_share <= law.most_share:
        return None
    taken = 1 - free_share
    return (law.blockage * math.sqrt(taken) + taken) ** 2 / free_share**2


def reynolds_number(velocity_m_s: float, diameter_m: float, law: AirLaw) -> float:
    """Re = v·d / ν of a velocity [m/s] in a duct of a hydraulic diameter [m]."""
    return velocity_m_s * diameter_m / law.viscosity_m2_s


def is_blockage_formula_valid(free_share: float, velocity_m_s: float, diameter_m: float, law: AirLaw) -> bool:
    """Whether the formula of the sharp blockage is given for a free share and the duct's flow."""
    fast_enough = reynolds_number(velocity_m_s, diameter_m, law) >= law.least_reynolds
    return fast_enough and law.least_share < free_share <= law.most_share
