# SPDX-License-Identifier: Apache-2.0
"""Where north is, as models state it.

Source: IFC4, IfcGeometricRepresentationContext.TrueNorth (a direction in the xy plane of the project) and
IfcMapConversion (XAxisAbscissa, XAxisOrdinate: how the x axis lies on the map; it goes before true north). Angles are
those of triangles that are known by hand: (1, √3) lies 30° clockwise from y.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from brattice.building.north import NO_NORTH, NorthSaid, north_of
from tests.helpers.ifc_maker import Maker
from tests.helpers.places import building


def maker(true_north: tuple[float, ...] | None = None, axis: tuple[float | None, float | None] | None = None) -> Maker:
    made = Maker("IFC4", "mm")
    made.storey("Level 1", 0.0)
    made.wall("wall", (0.0, 0.0, 0.0), (6000.0, 100.0, 3000.0), "Level 1")
    (context,) = made.file.by_type("IfcGeometricRepresentationContext")
    if true_north is not None:
        context.TrueNorth = made.file.create_entity("IfcDirection", true_north)
    if axis is not None:
        target = made.file.create_entity("IfcProjectedCRS", Name="invented grid")
        made.file.create_entity("IfcMapConversion", context, target, 1000.0, 2000.0, 0.0, axis[0], axis[1])
    return made


def angle(made: Maker, tmp_path: Path) -> float | None:
    return building(made.save(tmp_path / "m.ifc")).north.angle_deg


@pytest.mark.parametrize(
    ("direction", "degrees"),
    [
        ((0.0, 1.0), 0.0),
        ((1.0, 3**0.5), 30.0),
        ((1.0, 0.0), 90.0),
        ((0.0, -2.0), 180.0),
        ((-1.0, 1.0, 0.0), 315.0),
    ],
)
def test_true_north_is_read_clockwise_from_y(tmp_path: Path, direction: tuple[float, ...], degrees: float) -> None:
    assert angle(maker(direction), tmp_path) == pytest.approx(degrees, abs=0.01)


def test_nothing_said_is_not_known_and_neither_is_a_direction_without_length(tmp_path: Path) -> None:
    assert building(maker().save(tmp_path / "m.ifc")).north == NO_NORTH
    assert angle(maker((0.0, 0.0)), tmp_path) is None


@pytest.mark.parametrize(
    ("axis", "degrees"),
    [
        ((1.0, 0.0), 0.0),
        ((3**0.5, 1.0), 30.0),  # x lies 30° north of east, so that north lies 30° to the x side of y
        ((0.0, 1.0), 90.0),  # x lies along north
        ((-1.0, 0.0), 180.0),
    ],
)
def test_a_map_conversion_goes_before_true_north(tmp_path: Path, axis: tuple[float, float], degrees: float) -> None:
    made = building(maker((1.0, 1.0), axis).save(tmp_path / "m.ifc")).north
    assert made.angle_deg == pytest.approx(degrees, abs=0.01)
    assert "map conversion" in made.text


@pytest.mark.parametrize("axis", [(None, None), (0.0, 0.0), (1.0, None)])
def test_a_map_conversion_without_an_axis_says_nothing(tmp_path: Path, axis: tuple[Any, Any]) -> None:
    assert angle(maker((1.0, 0.0), axis), tmp_path) == pytest.approx(90.0)
    assert angle(maker(None, axis), tmp_path) is None


def said(file: str, x: float, y: float) -> NorthSaid:
    return NorthSaid(file, x, y, "true north")


def test_models_that_disagree_say_nothing_and_are_named() -> None:
    found = north_of([said("a.ifc", 0.0, 1.0), said("b.ifc", 1.0, 0.0)])
    assert found.angle_deg is None
    assert "disagree (a.ifc 0°; b.ifc 90° clockwise from model y)" in found.text


def test_a_degree_is_no_disagreement_and_more_is() -> None:
    """tan 1° = 0.017455: just within; 0.0182 is 1.04°. Across zero as well: 359.5° and 0.4° lie 0.9° apart."""
    assert north_of([said("a.ifc", 0.0, 1.0), said("b.ifc", 0.01745, 1.0)]).angle_deg == 0.0
    assert north_of([said("a.ifc", 0.0, 1.0), said("b.ifc", 0.0182, 1.0)]).angle_deg is None
    assert north_of([said("a.ifc", -0.00873, 1.0), said("b.ifc", 0.00698, 1.0)]).angle_deg is not None


def test_the_order_of_files_changes_nothing() -> None:
    one, other = said("a.ifc", 0.5, 1.0), said("b.ifc", 0.5001, 1.0)
    assert north_of([one, other]) == north_of([other, one])
