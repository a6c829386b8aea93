# SPDX-License-Identifier: Apache-2.0
"""What is drawn of a penetration: the numbers are the facts', what is not known is dashed and has "?"."""

from itertools import combinations
from typing import Any

import pytest

from brattice.building.penetration import Penetration, Sides, Size
from brattice.building.words import MountingPosition, OpeningShape, SupportingConstruction, SupportKind, Surface
from brattice.drawing.primitives import Circle, Drawing, Fill, Pen, Polygon, Polyline, Text, box_of, flat
from brattice.evidence.installation import TestedInstallation
from brattice.quantities import Mm
from brattice.sketch.barrier import barrier_cut
from brattice.sketch.outlines import outlines_of
from brattice.sketch.penetration import Sketch, sketch_of
from tests.helpers.installations import installation
from tests.helpers.penetrations import penetration, unknown, wall_type, with_facts, without
from tests.helpers.reports import sample_report

TESTED = installation()


def texts(drawing: Drawing) -> list[str]:
    return [item.text for item in flat(drawing.items) if isinstance(item, Text)]


def pens(drawing: Drawing) -> set[Pen | None]:
    return {item.pen for item in flat(drawing.items) if isinstance(item, Polyline | Polygon | Circle)}


def fills(drawing: Drawing) -> set[Fill]:
    return {item.fill for item in flat(drawing.items) if isinstance(item, Polygon | Circle)}


def sketch(tested: TestedInstallation | None = TESTED, **facts: Any) -> Sketch:
    return sketch_of(penetration(**facts), tested)


def every_sketch() -> list[tuple[str, Sketch]]:
    report = sample_report()
    by_id = {item.id: item for item in report.installations}
    return [
        (
            item.penetration.id,
            sketch_of(item.penetration, by_id.get(item.chosen.installation_id if item.chosen else "")),
        )
        for item in report.penetrations
    ]


@pytest.mark.parametrize(("name", "made"), every_sketch())
def test_frames_hold_all_and_no_text_lies_on_another(name: str, made: Sketch) -> None:
    for drawing in (made.section, made.elevation):
        assert drawing.frame.holds(box_of(drawing.items)), name
        boxes = [(item.text, box_of([item])) for item in flat(drawing.items) if isinstance(item, Text)]
        for (one, box), (other, second) in combinations(boxes, 2):
            assert not box.meets(second), (name, one, other)


def test_gaps_sizes_and_openings_are_printed_as_stated() -> None:
    made = sketch(
        opening__gaps=Sides(Mm(42.5), Mm(57.5), Mm(31), Mm(59)),
        opening__finished=Size(Mm(700), Mm(490)),
        opening__framed=Size(Mm(760), Mm(550)),
    )
    face, cut = texts(made.elevation), texts(made.section)
    assert {"42.5", "57.5", "31", "59", "600", "400", "finished 700", "framed 760", "490", "550"} == set(face)
    assert {"31", "59", "400", "150", "finished 490", "framed 550"} <= set(cut)
    assert Pen.UNKNOWN not in pens(made.elevation)


def test_a_gap_outside_the_tested_window_stands_out_on_its_side_and_names_the_window() -> None:
    # tested: 30 to 60 mm from the duct
    made = sketch(opening__gaps=Sides(Mm(0), Mm(100), Mm(30), Mm(60)))
    face = texts(made.elevation)
    assert "0 [30–60]" in face
    assert "100 [30–60]" in face
    assert {"30", "60"} <= set(face)
    assert Pen.WRONG in pens(made.elevation)
    assert Pen.WRONG not in pens(made.section)


def test_gaps_from_the_casing_start_at_the_casing() -> None:
    # by hand: casing 10 beyond the duct on each side, gap 40 from it: finished clear opening 600 + 2 x 50
    thing = penetration(opening__gaps=Sides(Mm(40), Mm(40), Mm(40), Mm(40)), opening__gaps_from=Surface.CASING)
    finished = outlines_of(thing, TESTED).finished
    assert (finished.left, finished.right, finished.bottom, finished.top) == (-350, 350, -250, 250)
    assert finished.known
    assert not outlines_of(thing, installation(casing_beyond_mm=None)).finished.known


UNKNOWN_PARTS = {
    "barrier__thickness_mm": "thickness of the barrier is not known",
    "opening__framed": "framed opening is not known",
    "opening__gaps": "Where the finished clear opening sits",
    "installation__seal_depth_mm": "depth of the seal is not known",
    "installation__position": "position of the damper to the barrier is not known",
    "damper__blade_offset_mm": "Where the closed blade stands",
}


@pytest.mark.parametrize(("fact", "note"), UNKNOWN_PARTS.items())
def test_what_is_not_known_is_dashed_and_said_so(fact: str, note: str) -> None:
    thing = without(penetration(), fact)
    if fact == "barrier__thickness_mm":
        thing = with_facts(thing, barrier__wall_type=without_thickness())
    made = sketch_of(thing, TESTED)
    assert any(note in text for text in made.notes)
    assert Pen.UNKNOWN in pens(made.section) | pens(made.elevation)
    assert any("?" in text for text in texts(made.section) + texts(made.elevation))


def without_thickness() -> Any:
    return with_facts(wall_type(), thickness_mm=unknown("wall-type/W1/thickness"))


def test_a_damper_that_is_known_is_drawn_without_a_doubt() -> None:
    made = sketch()
    assert Pen.UNKNOWN not in pens(made.section)
    assert "?" not in "".join(texts(made.section))
    assert made.notes == ("How long the casing is, is not stated: its ends are drawn without measure.",)


def test_nothing_known_gives_no_number_at_all() -> None:
    thing: Penetration = penetration(barrier__wall_type=None)
    for fact in (
        "barrier__thickness_mm", "barrier__wall_type_code", "duct__size", "damper__size", "damper__present",
        "damper__product", "damper__blade_offset_mm", "opening__framed", "opening__finished", "opening__gaps",
        "opening__gaps_from", "opening__shape", "installation__seal_products", "installation__seal_depth_mm",
        "installation__seal_faces", "installation__position", "barrier__orientation", "installation__support",
    ):  # fmt: skip
        thing = without(thing, fact)
    made = sketch_of(thing, None)
    for text in texts(made.section) + texts(made.elevation):
        assert not any(sign.isdigit() for sign in text), text


def test_a_wall_is_cut_upright_and_a_floor_level() -> None:
    report = {item.penetration.id: item for item in sample_report().penetrations}
    floor = sketch_of(report["P-0012"].penetration, None)
    assert "42.5" in texts(floor.section)
    assert "250" in texts(floor.section)
    assert "from above" in floor.elevation.words
    assert any(isinstance(item, Circle) and item.fill is Fill.DUCT for item in flat(floor.elevation.items))


@pytest.mark.parametrize(
    ("kind", "material", "hatch"),
    [
        (SupportingConstruction.RIGID_WALL, "dense concrete blockwork", Fill.MASONRY),
        (SupportingConstruction.RIGID_WALL, "in-situ concrete", Fill.CONCRETE),
        (SupportingConstruction.RIGID_FLOOR, "concrete", Fill.CONCRETE),
        (SupportingConstruction.TIMBER_WALL, "solid timber", Fill.TIMBER),
        (SupportingConstruction.PANEL_WALL, "steel-faced panel", Fill.OTHER),
    ],
)
def test_hatches_follow_the_kind_of_construction(kind: SupportingConstruction, material: str, hatch: Fill) -> None:
    thing = penetration(barrier__wall_type__kind=kind, barrier__wall_type__material=material)
    assert barrier_cut(thing).layers[0].fill is hatch
    assert hatch in fills(sketch_of(thing, TESTED).section)


def flexible(**facts: Any) -> Penetration:
    wall = with_facts(
        wall_type("W2"),
        kind=SupportingConstruction.FLEXIBLE_WALL,
        board_type="type F",
        board_thickness_mm=Mm(12.5),
        board_layers=(2, 1),
        stud_size_mm=Mm(70),
        cavity_fill="mineral wool",
    )
    return penetration(**{"barrier__wall_type": wall, "barrier__thickness_mm": Mm(107.5), **facts})


def test_a_flexible_wall_shows_its_boards_and_what_is_left_is_cavity() -> None:
    # by hand: 2 x 12.5 on side A, 1 x 12.5 on side B, 107.5 in all: 70 of cavity
    layers = barrier_cut(flexible()).layers
    boards = [layer for layer in layers if layer.fill is Fill.BOARD]
    (cavity,) = [layer for layer in layers if layer.fill is Fill.WOOL]
    assert [layer.words for layer in boards] == ["2 × 12.5 board, type F"] * 2 + ["1 × 12.5 board, type F"]
    assert cavity.end - cavity.start == pytest.approx(70)
    assert cavity.start == pytest.approx(-53.75 + 25)
    assert min(layer.start for layer in layers) == pytest.approx(-53.75)
    assert max(layer.end for layer in layers) == pytest.approx(53.75)


def test_boards_that_do_not_fit_or_are_not_known_are_not_drawn() -> None:
    for thing in (
        flexible(barrier__thickness_mm=Mm(30)),
        flexible(barrier__wall_type__board_layers=unknown("wall-type/W2/board-layers")),
    ):
        cut = barrier_cut(thing)
        assert [layer.fill for layer in cut.layers] == [Fill.NONE]
        assert any("boards" in note for note in cut.notes)


def test_a_contradiction_between_gaps_and_opening_is_said() -> None:
    made = sketch(opening__finished=Size(Mm(800), Mm(500)))
    assert any("700 × 500 mm, which is not the size stated" in note for note in made.notes)


def test_other_positions_rods_and_no_damper() -> None:
    remote = sketch(installation__position=MountingPosition.REMOTE)
    assert any("How far from the barrier" in note for note in remote.notes)
    face = sketch(installation__position=MountingPosition.ON_FACE)
    assert any("On which face the damper sits" in note for note in face.notes)
    rods = sketch(installation__support=SupportKind.DROP_RODS)
    assert "drop rods, drawn without measure" in " ".join(texts(rods.section))
    none = sketch(damper__present=False)
    assert "no damper: the duct passes through" in " ".join(texts(none.section))
    assert Pen.AXIS not in pens(none.section)


def test_a_round_opening_is_round() -> None:
    made = sketch(
        duct__size=Size(Mm(315)),
        damper__size=Size(Mm(315)),
        opening__shape=OpeningShape.ROUND,
        opening__finished=Size(Mm(415)),
        opening__framed=Size(Mm(415)),
    )
    assert sum(isinstance(item, Circle) for item in made.elevation.items) >= 3
    assert "finished 415" in texts(made.elevation)
