# SPDX-License-Identifier: Apache-2.0
"""Quantities of one installation, net and with waste: seal, lining board, angles, rods, fixings.

Net quantities follow from geometry. Waste is a share from a row of common practice (`quantities.waste.*`), marked as
advice: a builder who knows his own puts it in its place.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from brattice.calc.exact import as_stated
from brattice.quantities import MM2_A_SQUARE_METRE, MM3_A_LITRE, MM_A_METRE
from brattice.rows import RowBook

__all__ = [
    "WASTE_KINDS",
    "WithWaste",
    "angle_length_m",
    "area_mm2",
    "board_area_m2",
    "fixings_along",
    "fixings_round",
    "perimeter_mm",
    "rods_length_m",
    "seal_volume_l",
    "units_needed",
    "waste_share",
    "with_waste",
]

WASTE_KINDS = ("seal", "board", "angle", "rod", "fixings")
"""What a waste row is there for."""


@dataclass(frozen=True)
class WithWaste:
    """A net quantity and the same with waste, in one unit; `share` is the waste and `row` says where it comes from."""

    net: float
    gross: float
    share: float
    row: str


def _refuse(**values: float) -> None:
    for name, value in values.items():
        if not 0 <= value < math.inf:
            raise ValueError(f"{name.replace('_', ' ')} is zero or more, not {value}")


def area_mm2(width_mm: float, height_mm: float | None) -> float:
    """Width × height, or the circle of a diameter where `height_mm` is None [mm²].

    Raises ValueError for a side below zero.
    """
    _refuse(width=width_mm, height=height_mm or 0.0)
    return math.pi / 4 * width_mm**2 if height_mm is None else width_mm * height_mm


def perimeter_mm(width_mm: float, height_mm: float | None) -> float:
    """Twice width and height, or the circumference of a diameter where `height_mm` is None [mm].

    Raises ValueError for a side below zero.
    """
    _refuse(width=width_mm, height=height_mm or 0.0)
    return math.pi * width_mm if height_mm is None else 2 * (width_mm + height_mm)


def seal_volume_l(
    opening: tuple[float, float | None], casing: tuple[float, float | None], depth_mm: float, faces: int, layers: int
) -> float:
    """V = (A_opening − A_casing)·depth·faces·layers, net [l].

    `opening` and `casing` are width and height, or a diameter and None [mm]; the depth [mm] is of one layer on one
    face. Raises ValueError where the casing is larger than the opening, or a number is below zero.
    """
    _refuse(depth=depth_mm, faces=faces, layers=layers)
    ring = area_mm2(*opening) - area_mm2(*casing)
    if ring < 0:
        raise ValueError(f"an opening is larger than the casing in it: {opening} against {casing} mm")
    return ring * depth_mm * faces * layers / MM3_A_LITRE


def board_area_m2(framed: tuple[float, float | None], barrier_mm: float, layers: int) -> float:
    """A = perimeter of the framed opening · thickness of the barrier · layers of lining, net [m²].

    `framed` is width and height, or a diameter and None [mm]. The lining lies inside the framed opening, so that its
    perimeter is the longest it can have. Raises ValueError for a number below zero.
    """
    _refuse(barrier=barrier_mm, layers=layers)
    return perimeter_mm(*framed) * barrier_mm * layers / MM2_A_SQUARE_METRE


def angle_length_m(casing: tuple[float, float | None], leg_mm: float, faces: int) -> float:
    """The length of angle round a casing on each face, its corners taken in full: (perimeter + 8·leg)·faces, net [m].

    `casing` is width and height [mm]; a ring round a diameter (height None) has no corners. Raises ValueError for a
    number below zero.
    """
    _refuse(leg=leg_mm, faces=faces)
    corners = 0.0 if casing[1] is None else 8 * leg_mm  # both ends of four pieces reach past the corner by a leg
    return (perimeter_mm(*casing) + corners) * faces / MM_A_METRE


def rods_length_m(rods: int, length_mm: float) -> float:
    """The length of all rods together, net [m]. Raises ValueError for a number below zero."""
    _refuse(rods=rods, length=length_mm)
    return rods * length_mm / MM_A_METRE


def fixings_along(length_mm: float, most_apart_mm: float, from_end_mm: float) -> int:
    """How many fixings a straight side needs: the outer two this far from its ends, none farther apart than allowed.

    ⌈(length − 2·from_end) / most_apart⌉ + 1, one where the side is not longer than twice the end distance [all mm].
    Raises ValueError for a number below zero or no spacing.
    """
    _refuse(length=length_mm, from_end=from_end_mm)
    _spacing(most_apart_mm)
    inner = as_stated(length_mm) - 2 * as_stated(from_end_mm)
    return 1 if inner <= 0 else math.ceil(inner / as_stated(most_apart_mm)) + 1


def fixings_round(casing: tuple[float, float | None], most_apart_mm: float, from_end_mm: float, faces: int) -> int:
    """How many fixings all sides of a casing [mm] need on all faces; round a diameter ⌈π·d / most_apart⌉.

    Raises ValueError as `fixings_along` does.
    """
    _refuse(faces=faces)
    width, height = casing
    if height is None:
        _spacing(most_apart_mm)
        return math.ceil(perimeter_mm(width, None) / most_apart_mm) * faces
    sides = [fixings_along(side, most_apart_mm, from_end_mm) for side in (width, height)]
    return 2 * sum(sides) * faces


def _spacing(most_apart_mm: float) -> None:
    if not 0 < most_apart_mm < math.inf:
        raise ValueError(f"a spacing is above zero, not {most_apart_mm} mm")


def waste_share(book: RowBook, kind: str) -> tuple[float, str]:
    """The share that is added for waste of a kind of `WASTE_KINDS`, and the row that it comes from.

    Raises ValueError for another kind.
    """
    if kind not in WASTE_KINDS:
        raise ValueError(f"waste is of {', '.join(WASTE_KINDS)}, not of {kind!r}")
    row = f"quantities.waste.{kind}"
    return book.number(row), row


def with_waste(net: float, kind: str, book: RowBook) -> WithWaste:
    """A net quantity with the waste of its kind. Raises ValueError for a quantity below zero or another kind."""
    _refuse(quantity=net)
    share, row = waste_share(book, kind)
    return WithWaste(net, float(as_stated(net) * (1 + as_stated(share))), share, row)


def units_needed(quantity: float, unit_holds: float) -> int:
    """How many whole units (bags, boards, cartridges) hold a quantity; exact at a full unit.

    Raises ValueError for a quantity below zero or a unit that holds nothing.
    """
    _refuse(quantity=quantity)
    if not 0 < unit_holds < math.inf:
        raise ValueError(f"a unit holds something, not {unit_holds}")
    return math.ceil(as_stated(quantity) / as_stated(unit_holds))
