# SPDX-License-Identifier: Apache-2.0
"""The geometry room against shapes whose every answer is known by hand, and against brute force."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import Polygon

from brattice.geometry.flat import edge_distances, hole_around, margins, shadow, silhouette
from brattice.geometry.mesh import Box, Mesh, near_pairs
from brattice.geometry.section import CutShape, cut, plan_outline, section_across, section_of
from brattice.geometry.solid import Solid
from brattice.geometry.tube import HowFound, tube_of
from brattice.geometry.vectors import (
    angle_between_lines_deg,
    canonical,
    perpendicular_frame,
    segment_gap,
    unit,
    vector,
)
from tests.geometry.shapes import (
    box,
    circle,
    cylinder,
    pipe_along,
    prism,
    rotation,
    together,
    turned,
    with_flipped,
)

ANGLE = st.floats(-180.0, 180.0)
TURN = st.tuples(ANGLE, ANGLE, ANGLE)
SHIFT = st.tuples(*[st.floats(-50_000.0, 50_000.0)] * 3)
PART = st.floats(-1.0, 1.0)
DIRECTION = st.tuples(PART, PART, PART).filter(lambda v: math.hypot(*v) > 0.01).map(lambda v: unit(np.array(v)))


# -- vectors -----------------------------------------------------------------------------------------------------


@given(DIRECTION)
def test_canonical_names_a_line(direction: np.ndarray) -> None:
    one, other = canonical(direction), canonical(-direction)
    assert np.allclose(one, other)
    assert abs(abs(float(one @ direction)) - 1.0) < 1e-12


@given(DIRECTION)
def test_frames_are_as_the_trade_reads_them(direction: np.ndarray) -> None:
    frame = perpendicular_frame(direction)
    axes = np.array([frame.right, frame.up, frame.normal])
    assert np.allclose(axes @ axes.T, np.eye(3), atol=1e-9)
    assert np.allclose(np.cross(frame.right, frame.up), -frame.normal, atol=1e-9)
    assert angle_between_lines_deg(frame.normal, direction) < 1e-6
    if abs(direction[2]) < 0.99:
        assert abs(float(frame.right[2])) < 1e-9
        assert float(frame.up[2]) >= -1e-9


def test_a_level_frame_has_model_x_on_the_right() -> None:
    frame = perpendicular_frame(vector(0.0, 0.0, -1.0))
    assert np.allclose(frame.right, (1, 0, 0))
    assert np.allclose(frame.up, (0, 1, 0))


@pytest.mark.parametrize(
    ("a", "b", "gap"),
    [
        (((0, 0, 0), (10, 0, 0)), ((5, 3, -5), (5, 3, 5)), 3.0),
        (((0, 0, 0), (10, 0, 0)), ((20, 0, 0), (30, 0, 0)), 10.0),
        (((0, 0, 0), (10, 0, 0)), ((0, 4, 0), (10, 4, 0)), 4.0),
        (((0, 0, 0), (10, 0, 0)), ((13, 4, 0), (13, 9, 0)), 5.0),
    ],
)
def test_gap_of_segments(a: tuple[tuple[int, ...], ...], b: tuple[tuple[int, ...], ...], gap: float) -> None:
    points = [np.array(p, dtype=float) for p in (*a, *b)]
    assert segment_gap(*points) == pytest.approx(gap)


# -- boxes -------------------------------------------------------------------------------------------------------

BOX = st.tuples(*[st.integers(0, 40)] * 3, *[st.integers(0, 8)] * 3).map(
    lambda v: Box(np.array(v[:3], float), np.array(v[:3], float) + np.array(v[3:], float))
)


@given(st.lists(BOX, max_size=12), st.lists(BOX, max_size=12), st.sampled_from([0.0, 1.0, 5.0]))
def test_near_pairs_are_those_of_brute_force(first: list[Box], second: list[Box], margin: float) -> None:
    slow = [(i, j) for i, a in enumerate(first) for j, b in enumerate(second) if a.grown(margin).meets(b)]
    assert near_pairs(first, second, margin) == slow


# -- solids ------------------------------------------------------------------------------------------------------


@given(TURN, SHIFT)
def test_a_line_through_a_box(angles: tuple[float, float, float], shift: tuple[float, float, float]) -> None:
    """200 through, wherever the box lies and however its triangles are wound."""
    mesh = with_flipped(turned(box((0, -100, 0), (6000, 100, 3000)), angles, shift), 3)
    matrix = rotation(angles)
    start, direction = matrix @ vector(2000, -1000, 1500) + np.array(shift), matrix @ vector(0, 1, 0)
    (inside,) = Solid.of(mesh).inside(start, direction)
    assert (inside.start, inside.end) == pytest.approx((900.0, 1100.0), abs=0.01)
    assert inside.is_across
    assert inside.thickness_mm(direction) == pytest.approx(200.0, abs=0.01)


@given(st.floats(-1000, 7000), st.floats(-1000, 4000), DIRECTION)
def test_a_line_is_inside_as_long_as_clipping_says(x: float, z: float, direction: np.ndarray) -> None:
    """Against the plain clipping of a line by six planes; within the jitter at an edge."""
    low, high = vector(0, -100, 0), vector(6000, 100, 3000)
    start = vector(x, -500, z)
    near, far = -math.inf, math.inf
    for axis in range(3):
        if abs(direction[axis]) < 1e-4:
            if not low[axis] + 0.5 < start[axis] < high[axis] - 0.5:
                near, far = 0.0, 0.0
            continue
        ends = sorted(((low[axis] - start[axis]) / direction[axis], (high[axis] - start[axis]) / direction[axis]))
        near, far = max(near, ends[0]), min(far, ends[1])
    clipped = max(0.0, far - near)
    ours: float = sum(part.end - part.start for part in Solid.of(box(tuple(low), tuple(high))).inside(start, direction))
    if 5.0 < clipped < 1e5:
        assert ours == pytest.approx(clipped, abs=1.0 + 1e-3 * clipped)


def test_coplanar_triangles_are_one_face() -> None:
    solid = Solid.of(box((0, 0, 0), (100, 200, 300)))
    assert sorted(round(face.outline.area) for face in solid.faces) == [20000, 20000, 30000, 30000, 60000, 60000]


def test_a_hole_in_the_mesh_is_filled_and_marked() -> None:
    plate = prism(
        [(0, 0), (3000, 0), (3000, 2000), (0, 2000)], 0.0, 200.0, [[(500, 500), (900, 500), (900, 900), (500, 900)]]
    )
    solid = Solid.of(plate)
    up = vector(0, 0, 1)
    assert solid.inside(vector(700, 700, -50), up) == []
    (baked,) = solid.inside_or_filled(vector(700, 700, -50), up)
    assert (baked.start, baked.end, baked.baked) == pytest.approx((50.0, 250.0, True))
    (real,) = solid.inside_or_filled(vector(1500, 1000, -50), up)
    assert (real.start, real.end, real.baked) == pytest.approx((50.0, 250.0, False))
    frame = baked.entry.frame
    hole = hole_around(solid, baked.entry, vector(700, 700, 0), frame)
    assert hole is not None
    assert hole.area == pytest.approx(160_000.0)


def test_bodies_that_touch_or_overlap_are_one_way() -> None:
    both = together(
        box((0, 0, 0), (1000, 100, 1000)), box((0, 100, 0), (1000, 250, 1000)), box((0, 200, 0), (1000, 300, 1000))
    )
    (inside,) = Solid.of(both).inside(vector(500, -50, 500), vector(0, 1, 0))
    assert (inside.start, inside.end) == pytest.approx((50.0, 350.0))


def test_a_mesh_that_does_not_close_is_taken_from_first_to_last_face() -> None:
    whole = box((0, 0, 0), (1000, 200, 1000))
    corners = whole.points[whole.triangles]
    keep = [k for k in range(len(corners)) if not np.all(corners[k][:, 0] == 1000)]
    leaky = Mesh(whole.points, whole.triangles[keep], whole.bodies[keep])
    (inside,) = Solid.of(leaky).inside(vector(500, -100, 500), vector(0, 1, 0))
    assert (inside.start, inside.end) == pytest.approx((100.0, 300.0))


def test_a_line_in_a_face_or_edge_is_settled_by_a_hair() -> None:
    """A line that lies in the top face is inside or outside of it, but never half."""
    solid = Solid.of(box((0, -100, 0), (6000, 100, 3000)))
    found = solid.inside(vector(2000, -500, 3000), vector(0, 1, 0))
    assert [round(part.end - part.start, 2) for part in found] in ([], [200.0])


# -- sections ----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("sides", [16, 24, 36])
def test_a_fine_circle_has_its_diameter(sides: int) -> None:
    section = section_across(cylinder(80.0, 0.0, 1000.0, sides), vector(0, 0, 437.0), vector(0, 0, 1))
    assert section is not None
    assert section.shape is CutShape.ROUND
    assert section.sides == pytest.approx((160.0, 160.0), abs=1e-4)
    assert section.over_corners is None


def test_a_coarse_circle_has_what_is_drawn_and_says_so() -> None:
    """Twelve sides on a circle of 200: 200 cos 15 deg = 193.185 over the flats."""
    section = section_across(cylinder(100.0, 0.0, 1000.0, 12), vector(0, 0, 500), vector(0, 0, 1))
    assert section is not None
    assert section.sides == pytest.approx((200.0 * math.cos(math.radians(15.0)),) * 2)
    assert section.over_corners == pytest.approx(200.0)


@given(TURN, SHIFT, st.floats(10.0, 2000.0), st.floats(10.0, 2000.0))
def test_a_rectangle_keeps_its_sides(
    angles: tuple[float, float, float], shift: tuple[float, float, float], width: float, height: float
) -> None:
    mesh = turned(box((-width / 2, -height / 2, 0), (width / 2, height / 2, 3000)), angles, shift)
    matrix = rotation(angles)
    section = section_across(mesh, matrix @ vector(0, 0, 1111) + np.array(shift), matrix @ vector(0, 0, 1))
    assert section is not None
    assert section.shape is CutShape.RECTANGULAR
    assert sorted(section.sides) == pytest.approx(sorted((width, height)), abs=0.01)


def test_a_flat_oval() -> None:
    ends = [(300 + 100 * math.cos(a), 100 * math.sin(a)) for a in np.linspace(-math.pi / 2, math.pi / 2, 20)]
    ends += [(-300 + 100 * math.cos(a), 100 * math.sin(a)) for a in np.linspace(math.pi / 2, 3 * math.pi / 2, 20)]
    section = section_of(Polygon(ends), perpendicular_frame(vector(0, 0, 1)), 0.0)
    assert section.shape is CutShape.OVAL
    assert sorted(section.sides) == pytest.approx([200.0, 800.0], abs=1.0)


def test_an_odd_shape_is_other() -> None:
    shape = Polygon([(0, 0), (300, 0), (300, 100), (100, 100), (100, 300), (0, 300)])
    assert section_of(shape, perpendicular_frame(vector(0, 0, 1)), 0.0).shape is CutShape.OTHER


def test_a_hollow_duct_counts_by_its_outside() -> None:
    tube = prism(circle(100.0, 24), 0.0, 2000.0, [circle(95.0, 24)])
    section = section_across(tube, vector(0, 0, 1000), vector(0, 0, 1))
    assert section is not None
    assert section.sides == pytest.approx((200.0, 200.0), abs=1e-4)


def test_a_cut_keeps_holes() -> None:
    plate = prism([(0, 0), (100, 0), (100, 100), (0, 100)], 0.0, 50.0, [[(20, 20), (40, 20), (40, 40), (20, 40)]])
    _, _, area = cut(with_flipped(plate, 2), vector(0, 0, 25), vector(0, 0, 1))
    assert area.area == pytest.approx(10_000.0 - 400.0)


def test_plan_outline_by_cut_or_by_footprint() -> None:
    step = together(box((0, 0, 0), (1000, 200, 2000)), box((0, 0, 2000), (500, 200, 3000)))
    whole = ((0.0, 0.0), (1000.0, 0.0), (1000.0, 200.0), (0.0, 200.0), (0.0, 0.0))
    half = ((0.0, 0.0), (500.0, 0.0), (500.0, 200.0), (0.0, 200.0), (0.0, 0.0))
    assert plan_outline(step, 1200.0) == (whole,)
    assert plan_outline(step, 2500.0) == (half,)
    assert plan_outline(step, -1.0) == (whole,)


# -- outlines ----------------------------------------------------------------------------------------------------


def test_margins_and_edges() -> None:
    duct = Polygon([(100, 100), (300, 100), (300, 200), (100, 200)])
    opening = Polygon([(90, 80), (340, 80), (340, 195), (90, 195)])
    sides = margins(duct, opening)
    assert (sides.left, sides.right, sides.top, sides.bottom) == (10.0, 40.0, -5.0, 20.0)
    wall = Polygon([(0, 0), (1000, 0), (1000, 500), (400, 500), (400, 400), (0, 400)])
    edges = edge_distances(duct, wall, np.array([200.0, 150.0]))
    assert edges is not None
    assert (edges.left, edges.right, edges.top, edges.bottom) == (100.0, 700.0, 200.0, 100.0)
    assert edge_distances(duct, wall, np.array([200.0, 450.0])) is None


def test_the_shadow_of_a_slanting_duct_is_longer() -> None:
    """A round duct of 200 at 60 degrees to the normal: 200 high, 400 long."""
    axis = vector(math.sin(math.radians(60)), math.cos(math.radians(60)), 0.0)
    mesh = pipe_along([tuple(-2000 * axis), tuple(2000 * axis)], 100.0, 64)
    section = section_across(mesh, vector(0, 0, 0), axis)
    assert section is not None
    left, bottom, right, top = shadow(section, axis, perpendicular_frame(vector(0, 1, 0)), 0.0).bounds
    assert (right - left, top - bottom) == pytest.approx((400.0, 200.0), rel=0.003)


def test_silhouette() -> None:
    outline = silhouette(box((0, 0, 0), (300, 100, 200)), perpendicular_frame(vector(0, 1, 0)))
    assert outline.bounds == (0.0, 0.0, 300.0, 200.0)
    assert outline.area == pytest.approx(60_000.0)


# -- centrelines -------------------------------------------------------------------------------------------------


@given(TURN, SHIFT)
def test_a_round_duct_runs_from_cap_to_cap(
    angles: tuple[float, float, float], shift: tuple[float, float, float]
) -> None:
    tube = tube_of(turned(cylinder(80.0, 0.0, 1500.0), angles, shift))
    assert tube is not None
    assert tube.how is HowFound.PRISM
    (leg,) = tube.legs
    matrix = rotation(angles)
    expected = [matrix @ vector(0, 0, z) + np.array(shift) for z in (0.0, 1500.0)]
    assert any(
        np.allclose(leg.start, a, atol=0.01) and np.allclose(leg.end, b, atol=0.01)
        for a, b in (expected, expected[::-1])
    )


def test_a_box_runs_by_its_ports_then_its_size_then_its_longest_side() -> None:
    mesh = box((0, 0, 0), (800, 300, 200))
    by_port = tube_of(mesh, (vector(400, 0, 100), vector(400, 300, 100)))
    by_size = tube_of(mesh, stated=(800.0, 200.0))
    longest = tube_of(mesh)
    by_neighbour = tube_of(mesh, towards=(vector(0, 1, 0),))
    for tube, how, axis in (
        (by_port, HowFound.PORTS, 1),
        (by_size, HowFound.SIZE, 1),
        (by_neighbour, HowFound.PORTS, 1),
        (longest, HowFound.LONGEST, 0),
    ):
        assert tube is not None
        assert tube.how is how
        assert abs(float(tube.legs[0].direction[axis])) == pytest.approx(1.0)


def test_a_cube_is_unsure() -> None:
    tube = tube_of(box((0, 0, 0), (400, 400, 400)))
    assert tube is not None
    assert tube.how is HowFound.UNSURE


def test_ports_that_lie_nowhere_near_are_not_believed() -> None:
    tube = tube_of(cylinder(80.0, 0.0, 1500.0), (vector(90_000, 0, 0), vector(0, 90_000, 0)))
    assert tube is not None
    assert tube.how is HowFound.PRISM


def test_a_flexible_duct_follows_its_rings() -> None:
    path = [(0, 0, 0), (500, 0, 0), (900, 200, 0), (1500, 200, 100), (2000, 200, 100)]
    tube = tube_of(pipe_along(path, 80.0))
    assert tube is not None
    found = [tube.legs[0].start, *(leg.end for leg in tube.legs)]
    if not np.allclose(found[0], path[0]):
        found.reverse()
    assert np.allclose(found, path, atol=0.01)
    assert len(tube.ends) == 2


def test_an_elbow_turns_at_its_corner() -> None:
    """An L seen from above, drawn upwards: its ports say where it ends, its ends where it turns."""
    shape = [(0, 0), (1000, 0), (1000, 300), (300, 300), (300, 1000), (0, 1000)]
    tube = tube_of(prism(shape, 0.0, 200.0), (vector(1000, 150, 100), vector(150, 1000, 100)))
    assert tube is not None
    assert tube.how is HowFound.PORTS
    corners = [tube.legs[0].start, *(leg.end for leg in tube.legs)]
    assert np.allclose(sorted(map(tuple, corners)), sorted([(1000, 150, 100), (150, 150, 100), (150, 1000, 100)]))


def test_an_elbow_drawn_upwards_without_ports_is_unsure() -> None:
    """Its flat top and bottom bound a prism, but they are no ends of a duct."""
    shape = [(0, 0), (1000, 0), (1000, 300), (300, 300), (300, 1000), (0, 1000)]
    tube = tube_of(prism(shape, 0.0, 200.0))
    assert tube is not None
    assert tube.how is HowFound.UNSURE


def test_a_tee_has_a_run_and_a_branch() -> None:
    shape = [(0, 0), (1000, 0), (1000, 300), (600, 300), (600, 700), (400, 700), (400, 300), (0, 300)]
    ports = (vector(0, 150, 100), vector(1000, 150, 100), vector(500, 700, 100))
    tube = tube_of(prism(shape, 0.0, 200.0), ports)
    assert tube is not None
    legs = sorted(tube.legs, key=lambda leg: -leg.length)
    assert [leg.length for leg in legs] == pytest.approx([1000.0, 550.0])
    assert len(tube.ends) == 3


def test_a_u_with_both_ends_in_one_plane_follows_its_corners() -> None:
    """Both ends lie in one plane and are still two ends."""
    shape = [(0, 0), (200, 0), (200, 800), (800, 800), (800, 0), (1000, 0), (1000, 1000), (0, 1000)]
    tube = tube_of(prism(shape, 0.0, 200.0), (vector(100, 0, 100), vector(900, 0, 100)))
    assert tube is not None
    corners = [tuple(point) for point in (tube.legs[0].start, *(leg.end for leg in tube.legs))]
    expected = [(100, 0, 100), (100, 900, 100), (900, 900, 100), (900, 0, 100)]
    assert np.allclose(corners, expected) or np.allclose(corners, expected[::-1])
