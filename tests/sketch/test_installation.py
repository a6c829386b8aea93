# SPDX-License-Identifier: Apache-2.0
"""Installation sheets: every word and number is the detail's, nothing collides, nothing leaves the sheet."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import replace
from itertools import combinations, pairwise

import pytest
import shapely

from brattice.building.north import NO_NORTH, North
from brattice.building.plan import PlanBarrier, StoreyPlan
from brattice.building.words import FixingFamily, MountingPosition
from brattice.details import InstallationDetail, Neighbour, Standing
from brattice.details.zone import InZone
from brattice.drawing.collide import HEAVY, sheet_collisions
from brattice.drawing.metrics import text_width
from brattice.drawing.primitives import (
    Circle,
    Dimension,
    Fill,
    Group,
    Ink,
    Item,
    Layer,
    Pen,
    Polygon,
    Polyline,
    Text,
    box_of,
    flat,
)
from brattice.drawing.sheet import areas_of
from brattice.drawing.sheet_font import SHEET_FONT
from brattice.drawing.views import Sheet
from brattice.errors import InputError
from brattice.findings import Party
from brattice.sketch.installation import TitleFacts, installation_sheet, installation_sheets, sheet_number
from brattice.sketch.shape import shape_of
from brattice.sketch.texts import dimension_text, drawable, folded
from brattice.usecases.report_model import CAUTIONS
from tests.helpers.details import KINDS, detail_of, figure, product_facts
from tests.sketch.random_details import HOSTILE, random_detail

TITLE = TitleFacts("Invented job", "INV", CAUTIONS, "B", "2026-11-28", drawn="A. Drawer", note="Invented data")
DRAWN = tuple(kind for kind in KINDS if kind != "not drawn")


def texts(sheet: Sheet) -> list[str]:
    return [item.text for item in flat(sheet.drawing().items) if isinstance(item, Text)]


def said(sheet: Sheet) -> str:
    """All words of a sheet, lines that were folded joined again."""
    return " ".join(texts(sheet))


def dimensions(items: tuple[Item, ...]) -> list[Dimension]:
    found: list[Dimension] = []
    for item in items:
        if isinstance(item, Dimension):
            found.append(item)
        elif isinstance(item, Group):
            found += dimensions(item.items)
    return found


def clouds(sheet: Sheet) -> int:
    def count(items: tuple[Item, ...]) -> int:
        return sum((item.label.startswith("changed")) + count(item.items) for item in items if isinstance(item, Group))

    return count(sheet.drawing().items)


@pytest.mark.parametrize("paper", ["A3", "A4"])
@pytest.mark.parametrize("kind", DRAWN)
def test_no_text_collides_or_leaves_the_sheet(kind: str, paper: str) -> None:
    for sheet in installation_sheets(detail_of(kind), TITLE, paper=paper):
        assert [str(found) for found in sheet_collisions(sheet)] == []
        assert areas_of(sheet.paper).frame.holds(box_of(sheet.items, SHEET_FONT))
        for view in sheet.views:
            assert areas_of(sheet.paper).frame.holds(box_of(view.items, SHEET_FONT))


def _faults(paper: str, seeds: range) -> list[str]:
    found = []
    for seed in seeds:
        changed = frozenset({"gap-left", "finished-width", "seal-product", "door-width"} if seed % 5 == 0 else ())
        sheets = installation_sheets(random_detail(seed), TITLE, paper=paper, changed=changed)
        for sheet in sheets if seed % 20 == 0 else sheets[:1]:
            found += [f"seed {seed}: {fault}" for fault in sheet_collisions(sheet)]
            drawn = [*sheet.items, *(item for view in sheet.views for item in view.items)]
            if not areas_of(sheet.paper).frame.holds(box_of(drawn, SHEET_FONT)):
                found.append(f"seed {seed}: something leaves the frame")
    return found


@pytest.mark.slow
@pytest.mark.parametrize("chunk", range(4))
def test_law_no_text_collides_or_leaves_a_sheet_of_any_size_shape_and_name(chunk: int) -> None:
    assert _faults("A3", range(chunk * 400, chunk * 400 + 400)) == []


@pytest.mark.slow
def test_law_the_same_on_upright_paper() -> None:
    assert _faults("A4", range(1600, 2000)) == []


def _faults_of_steps(seeds: range) -> tuple[list[str], int]:
    """Of details whose steps are about as long as real ones: those with a step that is not on the first sheet."""
    found, tried = [], 0
    for seed in seeds:
        detail = random_detail(seed)
        lengths = [len(step.text) + len(step.why) for step in detail.steps]
        if not lengths or len(lengths) > 8 or max(lengths) > 260:
            continue
        tried += 1
        for paper in ("A3", "A4"):
            shown = texts(installation_sheet(detail, TITLE, paper=paper))
            wanted = Counter(f"HOLD: {step.hold}" for step in detail.steps if step.hold is not None)
            if Counter(text for text in shown if text.startswith("HOLD: ")) != wanted:
                found.append(f"seed {seed}, {paper}: a hold point is missing")
            if not {str(step.number) for step in detail.steps} <= set(shown):
                found.append(f"seed {seed}, {paper}: a step is missing")
    return found, tried


@pytest.mark.slow
def test_law_every_step_and_hold_point_stands_on_the_first_sheet() -> None:
    found, tried = _faults_of_steps(range(2000, 2400))
    assert found == []
    assert tried >= 60


@pytest.mark.parametrize("paper", ["A3", "A4"])
@pytest.mark.parametrize("kind", DRAWN)
def test_whatever_is_read_on_site_is_large_enough(kind: str, paper: str) -> None:
    """Capitals of at least 1.8 mm: the smallest usual size of lettering (ISO 3098, from memory).

    Capitals of the font that pages are printed in are 0.717 of its size (`CapHeight` 1433 of 2000 in its file).
    """
    for sheet in installation_sheets(detail_of(kind), TITLE, paper=paper):
        sizes = {item.size for item in flat(sheet.drawing().items) if isinstance(item, Text)}
        assert min(sizes) * 1433 / 2000 >= 1.8


def test_same_detail_same_sheets() -> None:
    assert installation_sheets(random_detail(7), TITLE) == installation_sheets(random_detail(7), TITLE)


@pytest.mark.parametrize("kind", DRAWN)
def test_every_dimension_says_the_text_of_a_figure_and_measures_its_value(kind: str) -> None:
    detail = detail_of(kind)
    by_text = {dimension_text(item): item for item in detail.figures}
    seen = 0
    for view in installation_sheet(detail, TITLE).views:
        for item in dimensions(view.items):
            words = item.text.split(" ")[-1] if "settled" not in item.text else "to be settled"
            if item.text == "casing":
                continue
            assert words in by_text, item.text
            if item.value_mm is None or item.is_broken:
                continue
            # what is drawn is as long as it says (0.01 mm of paper), measured in the view at its scale
            first, second = (point[1] if item.upright else point[0] for point in (item.first, item.second))
            assert abs(abs(second - first) * view.denominator - abs(item.value_mm)) < 0.01 * view.denominator
            assert any(other.value == item.value_mm for other in detail.figures if dimension_text(other) == words)
            seen += 1
    assert seen >= 8


@pytest.mark.parametrize(
    "key",
    ["framed-width", "framed-height", "finished-width", "finished-height", "gap-left", "gap-right", "gap-top",
     "gap-bottom", "barrier-thickness", "casing-length", "door-distance", "door-width", "zone-width", "zone-depth"],
)  # fmt: skip
def test_each_of_these_numbers_is_a_dimension_of_the_drawing(key: str) -> None:
    detail = detail_of(figures={key: figure(key, key, 123.4, "mm", "123.4 mm")})
    shown = [item.text for view in installation_sheet(detail, TITLE).views for item in dimensions(view.items)]
    assert any(text.endswith("123.4") for text in shown)


def test_heights_stand_above_a_floor_line_below_a_break() -> None:
    """By hand: what lies between sill, centre and head is drawn true, what lies below the sill is broken."""
    detail = detail_of()
    face = next(view for view in installation_sheet(detail, TITLE).views if view.title.startswith("Face"))
    broken = [item for item in dimensions(face.items) if item.is_broken]
    assert [item.text for item in broken] == [
        f"{words} {dimension_text(detail.figure(f'{words}-height'))}" for words in ("sill", "centre", "head")
    ]
    assert [item.value_mm for item in broken] == [detail.value(f"{word}-height") for word in ("sill", "centre", "head")]
    for one, other in pairwise(broken):
        assert one.value_mm is not None
        assert other.value_mm is not None
        drawn = (other.second[1] - one.second[1]) * face.denominator
        assert drawn == pytest.approx(other.value_mm - one.value_mm, abs=0.01 * face.denominator)
    lowest = broken[0]
    assert (lowest.second[1] - lowest.first[1]) * face.denominator < 0.5 * (lowest.value_mm or 0)
    assert "structural floor" in [item.text for item in flat(face.items) if isinstance(item, Text)]
    assert not any(item.is_broken for view in installation_sheet(detail_of("floor"), TITLE).views
                   for item in dimensions(view.items))  # fmt: skip


@pytest.mark.parametrize(
    ("kind", "said", "on_a", "told"),
    [
        ("floor", "from below", True, ""),
        ("floor", "from above", False, ""),
        ("flexible wall", "side A", True, ""),
        ("flexible wall", "either side", False, ""),
        ("flexible wall", "outside the shaft", False, "“outside the shaft” names neither side A nor B"),
    ],
)
def test_the_door_is_drawn_on_the_side_that_it_is_reached_from(kind: str, said: str, on_a: bool, told: str) -> None:
    """Side A of a floor is below. Where the words name no side the door is dashed, and the sheet says so."""
    words = figure("access-side", "Access from", None, "", said, verdict="pass")
    detail = detail_of(kind, figures={"access-side": words})
    door = shape_of(detail).door
    assert door is not None
    assert door.on_a is on_a
    assert (door.end < 0) is on_a
    view = next(view for view in installation_sheet(detail, TITLE).views if view.title.startswith("Access"))
    assert (told in view.words) if told else "names neither" not in view.words
    assert door.side_known is not bool(told)


@pytest.mark.parametrize(
    ("said", "faces", "depth", "wanted"),
    [
        # by hand, in a wall of 125 mm: faces at -62.5 and 62.5 from its middle
        ("side B", 1, 50, [(12.5, 62.5)]),
        ("side A", 1, 50, [(-62.5, -12.5)]),
        ("either side", 2, 100, [(-62.5, -12.5), (12.5, 62.5)]),
        ("either side", 2, 124, [(-62.5, -0.5), (0.5, 62.5)]),
        ("either side", 2, 125, [(-62.5, 62.5)]),
        ("either side", 1, 140, [(-62.5, 62.5)]),
    ],
)
def test_a_seal_lies_at_the_faces_that_are_sealed(
    said: str, faces: int, depth: float, wanted: list[tuple[float, float]]
) -> None:
    """The depth is that of the whole seal along the duct; one face alone is that which the damper is reached from."""
    figures = {
        "access-side": figure("access-side", "Access from", None, "", said, verdict="pass"),
        "seal-faces": figure("seal-faces", "Faces sealed", faces, "", verdict="pass"),
        "seal-depth": figure("seal-depth", "Depth of the seal", depth, "mm", verdict="pass"),
    }
    shape = shape_of(detail_of("flexible wall", figures=figures))
    assert shape.half == 62.5
    assert list(shape.seal) == wanted


def test_fixings_whose_number_is_settled_are_drawn_in_equal_parts_and_named() -> None:
    """By hand: 3 on each of two sides and 2 on each of the others are 10; what is to be settled has no dot."""
    base = detail_of()
    assert base.tested is not None
    tested = replace(base.tested, fixing=FixingFamily.INSTALLATION_FRAME)

    def dots(**texts: str | None) -> tuple[int, str]:
        figures = {}
        for name, text in texts.items():
            key, value = name.replace("_", "-"), None if text is None else float(text.split(" ")[0])
            figures[key] = (
                figure(key, key, value, "", text) if text else figure(key, key, None, "", ask=Party.DAMPER_SUPPLIER)
            )
        sheet = installation_sheet(detail_of(tested=tested, figures=figures), TITLE)
        face = next(view for view in sheet.views if view.title.startswith("Face"))
        fixing = [item for group in face.items if isinstance(group, Group) and group.layer is Layer.FIXING
                  for item in flat(group.items)]  # fmt: skip
        return sum(isinstance(item, Circle) and item.fill is Fill.INK for item in fixing), said(sheet)

    assert dots()[0] == 0
    count, words = dots(fixings_wide="3", fixings_high="2", fixing_corner="50 mm", fixing_spacing="200 mm")
    assert count == 10
    assert "apart at most 200 mm" in " ".join(words.split())
    assert dots(fixings_wide="3", fixings_high=None)[0] == 6


def test_sides_and_the_way_of_the_air_are_shown_in_section_and_access() -> None:
    sheet = installation_sheet(detail_of(), TITLE)
    for name in ("Section", "Access"):
        view = next(view for view in sheet.views if view.title.startswith(name))
        assert {"A", "B"} <= {item.text for item in flat(view.items) if isinstance(item, Text)}
    still = figure("air-flow", "Design air flow", None, "l/s", ask=Party.SERVICES_DESIGNER)
    sections = [
        installation_sheet(one, TITLE).views[0] for one in (detail_of(), detail_of(figures={"air-flow": still}))
    ]
    arrows = [
        sum(isinstance(item, Polygon) and item.fill is Fill.INK for item in flat(section.items)) for section in sections
    ]
    assert arrows == [1, 0]


@pytest.mark.parametrize("paper", ["A3", "A4"])
@pytest.mark.parametrize("kind", DRAWN)
def test_no_leader_and_no_dimension_line_crosses_a_text(kind: str, paper: str) -> None:
    every = HEAVY | {Pen.THIN, Pen.UNKNOWN, Pen.AXIS}
    for sheet in installation_sheets(detail_of(kind), TITLE, paper=paper):
        assert [str(found) for found in sheet_collisions(sheet, heavy=every)] == []


def _leaders(sheet: Sheet) -> Iterator[list[Polyline]]:
    """The leaders of each view: lines of three points that end in a dot."""
    for view in sheet.views:
        dots = {item.centre for item in flat(view.items) if isinstance(item, Circle) and item.fill is Fill.INK}
        lines = [item for item in flat(view.items) if isinstance(item, Polyline) and item.pen is Pen.THIN]
        yield [item for item in lines if len(item.points) == 3 and item.points[0] in dots]


@pytest.mark.parametrize("paper", ["A3", "A4"])
@pytest.mark.parametrize("kind", DRAWN)
def test_no_two_leaders_cross(kind: str, paper: str) -> None:
    for sheet in installation_sheets(detail_of(kind), TITLE, paper=paper):
        for leaders in _leaders(sheet):
            lines = [shapely.LineString(item.points) for item in leaders]
            assert [(one.wkt, other.wkt) for one, other in combinations(lines, 2) if one.crosses(other)] == []


def test_every_figure_stands_on_the_sheets_with_its_source() -> None:
    detail = detail_of()
    sheets = installation_sheets(detail, TITLE)
    words = " ".join(said(sheet) for sheet in sheets[1:])
    for item in detail.figures:
        assert item.name.split(" ")[0] in words
        assert item.text in words or all(part in words for part in item.text.split(" "))
        assert all(row in words for row in item.rows)
        assert all(used.origin is None or used.origin.file in words for used in item.uses)


def test_steps_and_hold_points_stand_in_their_order_with_boxes_to_sign() -> None:
    detail = detail_of()
    sheet = installation_sheet(detail, TITLE)
    shown = texts(sheet)
    holds = [text for text in shown if text.startswith("HOLD: ")]
    assert holds == [f"HOLD: {step.hold}" for step in detail.steps if step.hold is not None]
    assert shown.count("name, signature") == len(holds)
    assert [text for text in shown if text in {step.text for step in detail.steps}] == [s.text for s in detail.steps]


def test_what_is_missing_stands_in_its_place_and_in_the_list_with_whom_to_ask() -> None:
    detail = detail_of("missing facts")
    sheets = installation_sheets(detail, TITLE)
    words = " ".join(map(said, sheets))
    assert "to be settled – not for construction" in texts(sheets[0])
    for missing in detail.to_settle:
        assert missing.text.removesuffix(f": {detail.id}") in words
        assert f"Ask the {missing.ask}" in words

    def strong(items: Iterable[Item]) -> int:
        said = (item for item in flat(items) if isinstance(item, Text) and item.ink is Ink.STRONG)
        return sum("to be settled" in item.text for item in said)

    assert sum(strong(view.items) for view in sheets[0].views) >= 1
    assert sum(strong(sheet.drawing().items) for sheet in sheets) >= 12


@pytest.mark.parametrize("standing", [Standing.TO_BUILD, Standing.TO_BE_SETTLED])
def test_only_what_may_be_built_is_for_construction(standing: Standing) -> None:
    shown = texts(installation_sheet(detail_of(standing=standing), TITLE))
    assert ("for construction" in shown) is (standing is Standing.TO_BUILD)


def test_a_sheet_that_is_not_issued_is_not_for_construction() -> None:
    shown = texts(installation_sheet(detail_of(), replace(TITLE, revision="", issued="")))
    assert "for construction" not in shown
    assert "not issued – not for construction" in shown


def test_what_cannot_be_has_no_sheet_and_says_why() -> None:
    with pytest.raises(InputError, match="smaller than the damper"):
        installation_sheet(detail_of("not drawn"), TITLE)


def test_a_number_that_changed_has_a_cloud_wherever_it_stands() -> None:
    detail = detail_of()
    assert clouds(installation_sheet(detail, TITLE)) == 0
    # in the face and in the table; that of the lower gap in the enlarged edge too
    assert clouds(installation_sheet(detail, TITLE, changed=frozenset({"gap-top"}))) >= 2
    assert clouds(installation_sheet(detail, TITLE, changed=frozenset({"gap-bottom"}))) >= 3
    assert clouds(installation_sheet(detail, TITLE, changed=frozenset({"velocity"}))) <= 1
    further = installation_sheets(detail, TITLE, changed=frozenset({"velocity"}))[1:]
    assert sum(map(clouds, further)) == 1


def test_the_title_block_says_number_revision_status_and_names() -> None:
    detail = detail_of(id="P-0042")
    sheets = installation_sheets(detail, TITLE)
    shown = texts(sheets[0])
    assert sheet_number(TITLE, detail) == "INV-P-0042"
    assert {"INV-P-0042", "B", "2026-11-28", "A. Drawer", "Invented job", f"1 of {len(sheets)}"} <= set(shown)
    assert sheets[0].number == "INV-P-0042"
    assert sheets[0].revision == "B"
    assert [f"{n} of {len(sheets)}" in texts(sheet) for n, sheet in enumerate(sheets, 1)] == [True] * len(sheets)


def test_evidence_class_and_cautions_stand_on_the_sheet() -> None:
    detail = detail_of()
    assert detail.tested is not None
    words = said(installation_sheet(detail, TITLE))
    for wanted in (detail.class_asked, detail.tested.id, detail.tested.document.reference, "screwed to lined opening"):
        assert wanted in words
    for caution in CAUTIONS:
        assert caution in words


def fills(sheet: Sheet) -> set[Fill]:
    return {item.fill for view in sheet.views for item in flat(view.items) if isinstance(item, Polygon)}


def layers(sheet: Sheet) -> set[Layer]:
    return {item.layer for view in sheet.views for item in view.items if isinstance(item, Group)}


def test_barriers_are_hatched_by_their_material_and_the_legend_names_the_hatches() -> None:
    wall, floor = (installation_sheet(detail_of(kind), TITLE) for kind in ("flexible wall", "floor"))
    assert {Fill.BOARD, Fill.WOOL} <= fills(wall)
    assert Fill.CONCRETE in fills(floor)
    assert Fill.WOOL not in fills(floor)
    assert "mineral wool" in texts(wall)
    assert "mineral wool" not in texts(floor)
    assert {Layer.BARRIER, Layer.LINING, Layer.DUCT, Layer.DAMPER, Layer.SEAL, Layer.ACCESS, Layer.DIMENSION} <= layers(
        wall
    )


def test_the_legend_leaves_out_no_hatch_and_no_line_however_many_are_drawn() -> None:
    """A neighbouring wall, a slab and a lined reveal together use nearly all that a legend can hold."""
    for seed in range(80):
        sheet = installation_sheet(random_detail(seed), TITLE)
        drawn = [item for view in sheet.views for item in flat(view.items)]
        pens = {item.pen for item in drawn if isinstance(item, Polyline | Polygon)}
        for pen, words in ((Pen.FAINT, "working zone, open blade"), (Pen.UNKNOWN, "hidden, or not settled")):
            assert (words in texts(sheet)) is (pen in pens), seed


@pytest.mark.parametrize("family", list(FixingFamily))
def test_every_family_of_fixing_is_drawn_or_is_all_of_it_seal_and_rods(family: FixingFamily) -> None:
    detail = detail_of()
    assert detail.tested is not None
    position = MountingPosition.REMOTE if family is FixingFamily.REMOTE_SUPPORTED else MountingPosition.IN_BARRIER
    sheet = installation_sheet(replace(detail, tested=replace(detail.tested, fixing=family, position=position)), TITLE)
    nothing_of_metal = {FixingFamily.BATT_WITH_RODS, FixingFamily.BATTERY}
    assert (Layer.FIXING in layers(sheet)) is (family not in nothing_of_metal)


def test_rods_are_drawn_where_rods_carry_the_damper_alone() -> None:
    rods = figure("support", "Support", None, "", "drop rods", verdict="pass")
    hung, held = (installation_sheet(detail_of(figures=f), TITLE) for f in ({"support": rods}, {}))
    assert Layer.SUPPORT in layers(hung)
    assert Layer.SUPPORT not in layers(held)
    assert any(text.startswith("drop rods: 2 × M10") for text in texts(hung))


def test_neighbours_are_lettered_drawn_and_named_with_their_clear_distance() -> None:
    detail = detail_of()
    sheet = installation_sheet(detail, TITLE)
    shown = texts(sheet)
    assert {"N1", "N2"} <= set(shown)
    assert "N1 damper P-0002, right: clear 340 mm (at least 200 mm)" in " ".join(said(sheet).split())
    # far more of them than there is room for: none is lost
    many = tuple(Neighbour(f"N-{n:02}", "damper", "", figure("clear", "Clear", 200 + n, "mm")) for n in range(20))
    words = " ".join(map(said, installation_sheets(replace(detail, neighbours=many), TITLE)))
    assert all(f"N-{n:02}" in words for n in range(20))


def test_a_unit_of_several_sections_shows_where_they_meet() -> None:
    def lines(widths: tuple[float, ...]) -> int:
        detail = detail_of(product=product_facts(section_widths_mm=widths))
        face = installation_sheet(detail, TITLE).views[1]
        return sum(isinstance(item, Polyline) and item.pen is Pen.EDGE for item in flat(face.items))

    # 620 mm of casing: three of at most 300 mm meet twice
    assert lines((300.0,)) == lines(()) + 2


def test_the_key_plan_marks_the_place_or_says_that_there_is_none() -> None:
    detail = detail_of()
    wall = PlanBarrier("g", "wall", "EI 60", 60, False, (((0.0, 0.0), (9.0, 0.0), (9.0, 0.2), (0.0, 0.2)),))
    plan = StoreyPlan("Level 1", 0.0, (wall,), (), (detail.id,))
    location = replace(detail.penetration.location, centre_m=(4.0, 0.1, 2.9))
    placed = replace(detail, penetration=replace(detail.penetration, location=location))
    assert "Key plan, Level 1" in texts(installation_sheet(placed, TITLE, plan=plan))
    assert any("no plan of the storey" in text for text in texts(installation_sheet(placed, TITLE)))
    unplaced = replace(detail, penetration=replace(detail.penetration, location=replace(location, centre_m=None)))
    assert any("place on the" in text for text in texts(installation_sheet(unplaced, TITLE, plan=plan)))


@pytest.mark.parametrize("paper", ["A3", "A4"])
def test_the_key_plan_shows_north_and_the_sheet_says_where_it_comes_from(paper: str) -> None:
    detail = detail_of()
    wall = PlanBarrier("g", "wall", "EI 60", 60, False, (((0.0, 0.0), (9.0, 0.0), (9.0, 4.2), (0.0, 4.2)),))
    location = replace(detail.penetration.location, centre_m=(4.0, 0.1, 2.9))
    placed = replace(detail, penetration=replace(detail.penetration, location=location))
    plan = StoreyPlan("Level 1", 0.0, (wall,), (), (detail.id,))

    def sheets(north: North) -> tuple[list[str], str]:
        made = installation_sheets(placed, TITLE, plan=replace(plan, north=north), paper=paper)
        assert [str(found) for sheet in made for found in sheet_collisions(sheet)] == []
        return [text for sheet in made for text in texts(sheet)], " ".join(said(sheet) for sheet in made)

    for angle in (0.0, 30.0, 90.0, 225.0):
        north = North(angle, f"North: {angle:g}° clockwise from model y, by true north of the models.")
        single, words = sheets(north)
        assert "N" in single
        assert paper == "A4" or f"North: {angle:g}° clockwise" in words  # upright paper has room for the arrow alone
    single, words = sheets(NO_NORTH)
    assert "N" not in single
    assert paper == "A4" or NO_NORTH.text in words


def test_what_the_models_show_in_the_zone_is_drawn_and_named_with_its_distance() -> None:
    def drawn(detail: InstallationDetail) -> list[Polygon]:
        view = next(view for view in installation_sheet(detail, TITLE).views if view.title.startswith("Access"))
        return [item for item in flat(view.items) if isinstance(item, Polygon) and item.fill is Fill.OTHER]

    detail = detail_of()
    start = shape_of(detail).door
    assert start is not None
    thing = InZone((start.start, start.start + 100.0), (225.0, 375.0), "B", "pipe 'HW-1': 225 mm from the duct")
    assert drawn(detail) == []
    (box,) = drawn(replace(detail, in_zone=(thing,)))
    across = [y for _, y in box.rings[0]]
    view = next(view for view in installation_sheet(detail, TITLE).views if view.title.startswith("Access"))
    assert max(across) - min(across) == pytest.approx(150.0 / view.denominator)  # 375 - 225
    assert "pipe 'HW-1': 225 mm" in said(installation_sheet(replace(detail, in_zone=(thing,)), TITLE))
    unsettled = {"handing": figure("handing", "Side of the mechanism", None, "")}
    assert drawn(replace(detail_of(figures=unsettled), in_zone=(thing,))) == []


def test_round_dampers_have_diameters() -> None:
    shown = texts(installation_sheet(detail_of("round in block wall"), TITLE))
    assert any(text.startswith("finished Ø") for text in shown)
    assert any(text.startswith("Damper Ø 315") for text in shown)


@pytest.mark.parametrize("text", HOSTILE)
def test_folded_texts_are_narrow_enough_and_lose_nothing(text: str) -> None:
    rows = folded(text, 40, 2.8)
    assert all(text_width(row, 2.8, SHEET_FONT) <= 40 for row in rows)
    assert "".join(rows).replace(" ", "") == drawable(text).replace(" ", "")
    assert len(folded(text, 40, 2.8, 2)) <= 2


def test_what_has_no_width_that_is_known_shows_its_number() -> None:
    assert drawable("a\u202eb\tc") == "a⟨U+202E⟩b c"
    assert drawable("EI 60 (ve i↔o) S, Ø 315, – 12 m²") == "EI 60 (ve i↔o) S, Ø 315, – 12 m²"


def test_a_length_loses_its_unit_in_a_dimension_and_no_other_text_does() -> None:
    assert dimension_text(figure("gap-left", "Gap", 45, "mm", "45 mm")) == "45"
    assert dimension_text(figure("seal-product", "Seal", None, "", "wool 50 mm")) == "wool 50 mm"
    assert dimension_text(figure("gap-left", "Gap", None, "mm", ask=Party.DRY_LINER)) == "to be settled"
    assert dimension_text(None) == "to be settled"


@pytest.mark.parametrize(("kind", "told"), [("flexible wall", True), ("floor", False)])
def test_a_wall_says_from_where_the_sides_of_neighbours_are_seen(kind: str, told: bool) -> None:
    """No model says from where a duct comes; floors are seen from above (the law of sides in `Separation`)."""
    for detail, has in ((detail_of(kind), told), (detail_of(kind, neighbours=()), False)):
        assert ("the model seen towards larger x, else y" in said(installation_sheet(detail, TITLE))) is has
