# SPDX-License-Identifier: Apache-2.0
"""Standard details: alike in every number that is built, or not shared; what is drawn is true of each penetration."""

from __future__ import annotations

import random
from dataclasses import fields, replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from brattice.building.penetration import Location
from brattice.building.words import BarrierRole
from brattice.details import Figure, InstallationDetail, Neighbour, Standing, Used
from brattice.details.steps import where_words
from brattice.drawing.collide import sheet_collisions
from brattice.drawing.primitives import Box, Text, box_of, flat
from brattice.drawing.sheet_font import SHEET_FONT
from brattice.drawing.views import Sheet
from brattice.findings import Known, Missing, Origin, Party, Verdict
from brattice.quantities import Mm
from brattice.sketch.installation import TitleFacts
from brattice.sketch.standard import OF_THE_PLACE, SEE_TABLE, alike, standard_detail
from brattice.sketch.standard_sheets import is_where_used, standard_sheets, used_key, where_used_block
from brattice.usecases.report_model import CAUTIONS
from tests.helpers.details import detail_of, figure
from tests.helpers.penetrations import ORIGIN, with_facts
from tests.sketch.random_details import HOSTILE, random_detail

TITLE = TitleFacts("Invented job", "INV", CAUTIONS, "B", "2026-11-28", note="Invented data")
WALL = detail_of()


def groups(*details: InstallationDetail) -> list[tuple[str, ...]]:
    return [tuple(item.id for item in group) for group in alike(details)]


def are_alike(one: InstallationDetail, other: InstallationDetail) -> bool:
    return bool(alike([one, other]))


def texts(sheet: Sheet) -> list[str]:
    return [item.text for item in flat(sheet.drawing().items) if isinstance(item, Text)]


def said(*sheets: Sheet) -> str:
    return " ".join(text for sheet in sheets for text in texts(sheet))


def with_figure(detail: InstallationDetail, key: str, **changes: Any) -> InstallationDetail:
    changed = tuple(replace(item, **changes) if item.key == key else item for item in detail.figures)
    return replace(detail, figures=changed)


def at(name: str, **place: Any) -> InstallationDetail:
    """The wall's detail at another place: storey, words, alias, any figures by key (underscores for hyphens)."""
    detail = detail_of(id=name)
    location = Location(Known(place.pop("storey", "Level 1"), ORIGIN), place.pop("words", f"room of {name}"))
    aliases = (("schedule", place.pop("alias", f"FD of {name}")),)
    for key, text in place.items():
        detail = with_figure(detail, key.replace("_", "-"), text=text, value=None)
    return replace(detail, penetration=replace(detail.penetration, location=location, aliases=aliases))


def test_penetrations_alike_share_a_detail_and_others_do_not() -> None:
    names = ("P-0003", "P-0001", "P-0002")
    assert groups(*(detail_of(id=name) for name in names), detail_of("floor", id="P-0004")) == [
        ("P-0001", "P-0002", "P-0003")
    ]


@pytest.mark.parametrize("key", [item.key for item in WALL.figures])
@pytest.mark.parametrize(
    "change",
    [{"text": "another"}, {"limit": "at least 1 mm"}, {"note": "another"}, {"formula": "a + b"}, {"rows": ("a.row",)},
     {"uses": (Used("a fact", "7 mm"),)}, {"value": 1234.5}],
)  # fmt: skip
def test_one_other_number_ends_the_likeness_unless_it_says_where_it_is(key: str, change: dict[str, Any]) -> None:
    """Text, value, limit, formula, rows, facts and notes all stand on the sheets."""
    assert are_alike(detail_of(id="P-0001"), with_figure(detail_of(id="P-0002"), key, **change)) is (
        key in OF_THE_PLACE
    )


@pytest.mark.parametrize("key", [item.key for item in WALL.figures if item.key not in OF_THE_PLACE])
def test_a_number_that_one_of_them_lacks_ends_the_likeness(key: str) -> None:
    assert not are_alike(detail_of(id="P-0001"), detail_of(id="P-0002", figures={key: None}))


def test_where_a_fact_stands_in_its_file_does_not() -> None:
    elsewhere = Used("Grid", "B/3", Origin("another.xlsx", "row 7"))
    gap = next(item for item in WALL.figures if item.key == "gap-left")
    moved = tuple(replace(item, origin=elsewhere.origin) for item in gap.uses)
    assert are_alike(detail_of(id="P-0001"), with_figure(detail_of(id="P-0002"), "gap-left", uses=moved))


@pytest.mark.parametrize(
    "change",
    [
        {"class_asked": "EI 120 (ve i↔o) S"},
        {"class_held": "E 60"},
        {"actuation_asked": "smoke detection"},
        {"why": "Another reason."},
        {"steps": WALL.steps[:-1]},
        {"steps": (*WALL.steps[:-1], replace(WALL.steps[-1], text="Another step."))},
        {"to_settle": (Missing("evidence/X/fixings", "How many fixings", Party.DAMPER_SUPPLIER),)},
    ],
)
def test_another_step_class_or_open_question_ends_the_likeness(change: dict[str, Any]) -> None:
    assert not are_alike(detail_of(id="P-0001"), detail_of(id="P-0002", **change))


def test_a_question_that_is_open_at_each_is_shared_without_the_name_of_one() -> None:
    def asked(name: str) -> InstallationDetail:
        missing = Missing(f"penetration/{name}/air-l-s", f"The design air flow: {name}", Party.SERVICES_DESIGNER)
        detail = detail_of(id=name, to_settle=(missing,))
        return with_figure(detail, "air-flow", missing=(missing,))

    (group,) = alike([asked("P-0001"), asked("P-0002")])
    shown = standard_detail("S-01", group).shown
    assert [item.text for item in shown.to_settle] == ["The design air flow"]


@pytest.mark.parametrize(
    "facts",
    [
        {"barrier__thickness_mm": Mm(126)},
        {"barrier__wall_type_code": "W9"},
        {"barrier__role": BarrierRole.FIREFIGHTING_SHAFT},
        {"barrier__wall_type__board_type": "type X"},
        {"installation__seal_depth_mm": Mm(99)},
        {"damper__product": "HV-11"},
    ],
)
def test_another_fact_of_barrier_damper_or_installation_ends_the_likeness(facts: dict[str, Any]) -> None:
    """The sheet draws some of them beside the figures: the layers of a wall, its code."""
    one, two = detail_of(id="P-0001"), detail_of(id="P-0002")
    other = with_facts(two.penetration, **facts)
    assert other != two.penetration
    assert not are_alike(one, replace(two, penetration=other))


def test_a_field_that_is_added_to_a_detail_is_compared() -> None:
    """Whatever stands in a detail beside these is compared as it is: nothing new can be shared by oversight."""
    left_out = {"penetration", "figures", "neighbours", "steps", "to_settle"}
    mine = {item.name for item in fields(InstallationDetail) if item.compare} - left_out
    one = detail_of(id="P-0001")
    changed: dict[str, Any] = {
        "standing": Standing.TO_BE_SETTLED, "why": "x", "tested": None, "product": None, "problems": ("x",),
        "class_asked": "x", "class_held": "x", "actuation_asked": "x", "changes": ("x",), "deviation": "x",
        "in_zone": ("x",),
    }  # fmt: skip
    for name in mine:
        assert not are_alike(one, detail_of(id="P-0002", **{name: changed[name]})), name


@pytest.mark.parametrize("standing", [Standing.TO_BE_SETTLED, Standing.NOT_DRAWN])
def test_what_is_not_settled_shares_nothing(standing: Standing) -> None:
    assert groups(*(detail_of(id=name, standing=standing) for name in ("P-0001", "P-0002"))) == []
    mixed = [detail_of(id="P-0001"), detail_of(id="P-0002"), detail_of(id="P-0003", standing=standing)]
    assert groups(*mixed) == [("P-0001", "P-0002")]


@pytest.mark.parametrize("change", [{"changes": ("Change it.",)}, {"problems": ("Can't be.",)}])
def test_what_has_to_change_first_shares_nothing(change: dict[str, Any]) -> None:
    assert groups(*(detail_of(id=name, **change) for name in ("P-0001", "P-0002"))) == []


def test_what_was_accepted_for_one_place_is_never_shared() -> None:
    words = "Deviation accepted by B. Imaginary, fire engineer, on D-1 revision A."
    assert groups(*(detail_of(id=name, deviation=words) for name in ("P-0001", "P-0002"))) == []


def test_a_height_that_fails_or_a_neighbour_too_near_keeps_its_own_sheet() -> None:
    low = with_figure(detail_of(id="P-0002"), "sill-height", verdict=Verdict.FAIL)
    assert groups(detail_of(id="P-0001"), low) == []
    near = WALL.neighbours[0]
    close = replace(near, clear=replace(near.clear, verdict=Verdict.FAIL))
    assert groups(detail_of(id="P-0001"), detail_of(id="P-0002", neighbours=(close,))) == []


@given(st.permutations(range(12)), st.lists(st.integers(0, 3), min_size=12, max_size=12))
def test_groups_depend_on_no_order_and_are_what_the_numbers_say(order: list[int], kinds: list[int]) -> None:
    """Held against a plain grouping by the number that was changed."""
    details = [with_figure(detail_of(id=f"P-{n:04}"), "gap-left", text=f"{kind} mm") for n, kind in enumerate(kinds)]
    by_kind = [tuple(f"P-{n:04}" for n, one in enumerate(kinds) if one == kind) for kind in set(kinds)]
    expected = sorted(group for group in by_kind if len(group) > 1)
    assert groups(*(details[n] for n in order)) == expected


def test_details_that_are_not_alike_are_refused() -> None:
    with pytest.raises(ValueError, match="not alike"):
        standard_detail("S-01", [detail_of(id="P-0001"), detail_of("floor", id="P-0002")])


PLACES = (
    at("P-0001", storey="Storey Uno", words="room Uno", alias="FD-UNO", grid="U/1", sill_height="1111 mm",
       opening_by="builder Uno", opening_when="week 11", phase="phase 11", detector_zone="Z-11", detector="D-11",
       panel_address="A/11",
       centre_height="1112 mm", head_height="1113 mm"),
    at("P-0002", storey="Storey Due", words="room Due", alias="FD-DUE", grid="D/2", sill_height="2222 mm",
       opening_by="builder Due", opening_when="week 22", phase="phase 22", detector_zone="Z-22", detector="D-22",
       panel_address="A/22",
       centre_height="2223 mm", head_height="2224 mm"),
)  # fmt: skip


def marks_of(detail: InstallationDetail) -> list[str]:
    """What is true of one place alone."""
    place = detail.penetration
    storey = place.location.storey
    assert isinstance(storey, Known)
    return [storey.value, place.location.words, place.aliases[0][1], *(detail.text(key) for key in OF_THE_PLACE)]


@pytest.mark.parametrize("paper", ["A3", "A4"])
def test_what_is_true_of_one_place_alone_stands_in_its_line_and_nowhere_else(paper: str) -> None:
    """Grid and heights, who and when, addresses; also where a step says them."""
    places = []
    for item in PLACES:
        where = where_words({one.key: one for one in item.figures})
        assert where
        first = replace(item.steps[0], text=f"Form the opening{where}; line it.")
        places.append(replace(item, steps=(first, *item.steps[1:])))
    standard = standard_detail("S-07", alike(places)[0])
    sheets = standard_sheets(standard, TITLE, paper=paper)
    table = [sheet for sheet in sheets if is_where_used(sheet)]
    rest = [sheet for sheet in sheets if not is_where_used(sheet)]
    assert len(table) == 1
    for detail in places:
        for mark in marks_of(detail):
            assert mark not in said(*rest), mark
            assert mark in said(*table).replace("- ", "-"), mark
    assert SEE_TABLE in said(*rest)
    lines = {item.id: (item.reference, item.storey, item.place, *item.texts) for item in standard.used}
    for detail in places:
        assert set(marks_of(detail)) <= set(lines[detail.id])
        assert not set(marks_of(detail)) & set(lines[next(name for name in lines if name != detail.id)])


def test_what_is_the_same_everywhere_stays_on_the_drawing() -> None:
    places = [at(name, grid=grid) for name, grid in (("P-0001", "B/3"), ("P-0002", "C/9"))]
    standard = standard_detail("S-01", places)
    assert dict(standard.columns).keys() == {"grid", "near"}
    sheets = standard_sheets(standard, TITLE)
    sill = WALL.text("sill-height").removesuffix(" mm")
    assert sill in said(sheets[0])


def test_neighbours_are_drawn_where_they_are_the_same_and_else_stand_in_the_table_with_their_names() -> None:
    def near(name: str, other: str, clear: str) -> InstallationDetail:
        gap = figure("clear", f"Clear to {other}", 340, "mm", clear, limit="at least 200 mm", verdict="pass")
        return detail_of(id=name, neighbours=(Neighbour(other, "damper", "right", gap),))

    same = standard_detail("S-01", [near("P-0001", "P-0008", "340 mm"), near("P-0002", "P-0009", "340 mm")])
    assert [item.clear.text for item in same.shown.neighbours] == ["340 mm"]
    other = standard_detail("S-01", [near("P-0001", "P-0008", "340 mm"), near("P-0002", "P-0009", "410 mm")])
    assert other.shown.neighbours == ()
    for standard, clears in ((same, ("340 mm", "340 mm")), (other, ("340 mm", "410 mm"))):
        sheets = standard_sheets(standard, TITLE)
        drawn = said(*(sheet for sheet in sheets if not is_where_used(sheet)))
        assert "P-0008" not in drawn
        assert "410 mm" not in drawn
        for item, name, clear in zip(standard.used, ("P-0008", "P-0009"), clears, strict=True):
            assert item.texts[-1] == f"damper {name}, right: {clear} (at least 200 mm)"


def test_the_sheets_have_the_number_of_the_standard_detail_and_count_on() -> None:
    sheets = standard_sheets(standard_detail("S-07", list(PLACES)), TITLE)
    for number, sheet in enumerate(sheets, start=1):
        assert sheet.number == "INV-S-07"
        words = texts(sheet)
        assert {"Standard detail", "INV-S-07", f"{number} of {len(sheets)}", "for construction"} <= set(words)
        assert "For 2 penetrations, see the table: P-0001, P-0002" in said(sheet)
    assert is_where_used(sheets[1])
    assert all(caution.split(".")[0] in said(sheets[1]) for caution in CAUTIONS)
    not_issued = standard_sheets(standard_detail("S-07", list(PLACES)), replace(TITLE, issued=""))
    assert "for construction" not in texts(not_issued[0])


def test_a_long_table_runs_on_and_every_line_stands_once() -> None:
    names = [f"P-{number:04}" for number in range(1, 121)]
    places = [at(name, grid=f"G/{number}") for number, name in enumerate(names)]
    for paper in ("A3", "A4"):
        sheets = standard_sheets(standard_detail("S-01", places), TITLE, paper=paper)
        table = [sheet for sheet in sheets if is_where_used(sheet)]
        assert len(table) > 1
        words = [text for sheet in table for text in texts(sheet)]
        assert all(words.count(name) == 1 for name in names[6:])  # the first few stand in the title block too
        assert not [found for sheet in sheets for found in sheet_collisions(sheet)]


def test_a_line_that_changed_has_a_cloud_and_what_left_is_named() -> None:
    standard = standard_detail("S-01", list(PLACES))
    before = standard_sheets(standard, TITLE)
    after = standard_sheets(
        standard, TITLE, changed=frozenset({used_key("P-0002")}), changes=("P-0009 left: it has its own sheet now.",)
    )
    assert "P-0009 left: it has its own sheet now." in said(after[1])
    assert len(list(flat(after[1].drawing().items))) > len(list(flat(before[1].drawing().items)))
    (block,) = (where_used_block(standard, 380.0),)
    assert [key for row in block.rows for key, _ in row.marks] == [used_key("P-0001"), used_key("P-0002")]


def inside(sheet: Sheet) -> bool:
    paper = sheet.paper
    box = box_of(sheet.drawing().items, SHEET_FONT)
    whole = Box(-0.01, -0.01, paper.width + 0.01, paper.height + 0.01)
    return whole.holds(box)


@pytest.mark.parametrize("seed", range(60))
def test_whatever_names_and_numbers_come_no_text_collides_or_leaves_the_sheet(seed: int) -> None:
    chance = random.Random(seed)
    base = replace(random_detail(seed), standing=Standing.TO_BUILD, deviation="", changes=(), problems=())
    settled: list[Figure] = [
        replace(item, missing=(), verdict=Verdict.PASS if item.verdict is Verdict.FAIL else item.verdict)
        for item in base.figures
    ]
    near = tuple(replace(item, clear=replace(item.clear, verdict=Verdict.PASS)) for item in base.neighbours)
    places = []
    for number in range(1, chance.randint(3, 9)):
        other = replace(
            base.penetration,
            id=f"P-{number:04}",
            aliases=(("schedule", chance.choice(HOSTILE)),),
            location=Location(Known(chance.choice(HOSTILE), ORIGIN), chance.choice(HOSTILE)),
        )
        own = [replace(item, text=chance.choice(HOSTILE)) if item.key in OF_THE_PLACE else item for item in settled]
        places.append(replace(base, penetration=other, figures=tuple(own), neighbours=near, to_settle=()))
    (group,) = alike(places)
    for paper in ("A3", "A4"):
        for sheet in standard_sheets(standard_detail("S-99", group), TITLE, paper=paper):
            assert not sheet_collisions(sheet)
            assert inside(sheet)
