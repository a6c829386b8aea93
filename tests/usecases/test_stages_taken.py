# SPDX-License-Identifier: Apache-2.0
"""What is typed becomes entries: whichever the order of files and runs, nothing undone, nothing twice."""

import itertools
from datetime import date
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from brattice.register.stages import About, Remark, Stage, StageEvent, tracks_of
from brattice.usecases.stages_taken import (
    CONFIRMED,
    SAID_TWICE,
    TAKEN_BACK,
    Shown,
    StagesTaken,
    Typed,
    shown_remark,
    shown_stage,
    take_stages,
)

ID = "P-0001"
KNOWN = {ID, "P-0002"}
DAY = date(2026, 9, 1)
FACTS = (("damper size", "600 × 400"), ("framed opening", "700 × 500"), ("maker", ""))


Cells = dict[About, Any]
"""What is typed: (date or word, name) for a stage, a text for zone and note."""


def sheet(events: tuple[StageEvent, ...], cells: Cells, file: str = "a") -> list[Typed]:
    """A sheet written with these events in which some cells were typed; all others come back as they were."""
    track = tracks_of(events, [ID])[ID]
    typed = []
    for standing in (*track.stages, track.zone, track.note):
        about, place, base = standing.about, f"{standing.about}", standing.entries
        if isinstance(about, Stage):
            shown = shown_stage(standing)
            on, who = cells.get(about, (shown.on, shown.who))
            typed.append(Typed(file, place, ID, about, base, on, who, facts=FACTS))
        else:
            typed.append(Typed(file, place, ID, about, base, text=cells.get(about, shown_remark(standing))))
    return typed


def take(events: tuple[StageEvent, ...], *sheets: list[Typed], on: date = DAY) -> StagesTaken:
    return take_stages(events, itertools.chain.from_iterable(sheets), on, KNOWN)


def taken(events: tuple[StageEvent, ...], *sheets: list[Typed]) -> tuple[StageEvent, ...]:
    answer = take(events, *sheets)
    assert answer.faults == ()
    return (*events, *answer.events)


ORDERED: Cells = {Stage.ORDERED: (date(2026, 3, 9), "B")}


def test_a_sheet_as_it_was_written_says_nothing() -> None:
    events = taken((), sheet((), ORDERED))
    assert take((), sheet((), {})).events == ()
    assert take(events, sheet(events, {})) == StagesTaken((), ())


def test_an_entry_rests_on_the_facts_that_its_stage_rests_on() -> None:
    (event,) = taken((), sheet((), ORDERED))
    assert event.rests_on == (("damper size", "600 × 400"),)  # an order does not rest on the framed opening
    (event,) = taken((), sheet((), {Stage.OPENING_CHECKED: (DAY, "B")}))
    assert event.rests_on == (("damper size", "600 × 400"), ("framed opening", "700 × 500"))


@pytest.mark.parametrize(
    ("cells", "found"),
    [
        ({Stage.ORDERED: (date(2026, 9, 2), "B")}, "after 2026-09-01"),
        ({Stage.ORDERED: (None, "B")}, "without a date"),
        ({Stage.ORDERED: (TAKEN_BACK, "B")}, "where nothing stood"),
        ({Stage.ORDERED: (CONFIRMED, "B")}, "where no one date stood"),
        ({Stage.ORDERED: (SAID_TWICE, "B")}, SAID_TWICE),
        ({Remark.ZONE: TAKEN_BACK}, "where nothing stood"),
        ({Remark.NOTE: "x" * 2001}, "2001 characters"),
        ({Stage.ORDERED: (DAY, "x" * 201)}, "201 characters"),
    ],
)
def test_what_says_nothing_that_could_be_is_a_fault_and_nothing_is_taken(cells: Cells, found: str) -> None:
    good = sheet((), {Stage.APPROVED: (DAY, "R")}, "b")
    answer = take((), sheet((), cells), good)
    assert answer.events == ()
    (fault,) = answer.faults
    assert found in fault.found
    assert fault.file == "a"


@pytest.mark.parametrize("cells", [{Stage.ORDERED: (DAY, "B")}, {Stage.ORDERED: (DAY, "")}, {Remark.NOTE: "x" * 2000}])
def test_exactly_at_the_limit_it_is_taken(cells: Cells) -> None:
    assert len(take((), sheet((), cells)).events) == 1


def test_an_id_or_an_entry_that_this_job_has_not() -> None:
    other = Typed("a", "row 2", "P-0099", Stage.FIXED, (), DAY, "B")
    lost = Typed("a", "row 3", ID, Stage.FIXED, ("E-000000000000",), DAY, "B")
    (event,) = taken((), sheet((), ORDERED))
    moved = Typed("a", "row 4", ID, Stage.FIXED, (event.entry,), DAY, "B")
    faults = take((event,), [other, lost, moved]).faults
    assert [fault.place for fault in faults] == ["row 2", "row 3", "row 4"]


def test_what_two_say_otherwise_stands_beside_each_other_and_is_asked() -> None:
    one, other = sheet((), ORDERED, "a"), sheet((), {Stage.ORDERED: (date(2026, 3, 10), "C")}, "b")
    answer = take((), one, other)
    assert len(answer.events) == 2
    (ask,) = answer.asks
    assert "P-0001 ordered is said twice: 2026-03-09 B; 2026-03-10 C" in ask
    events = answer.events
    standing = tracks_of(events)[ID].standing(Stage.ORDERED)
    assert shown_stage(standing) == Shown(SAID_TWICE, "2026-03-09 B; 2026-03-10 C")
    unsettled = take(events, sheet(events, {Stage.ORDERED: (date(2026, 3, 9), "2026-03-09 B; 2026-03-10 C")}))
    assert "the names of all who differ" in unsettled.faults[0].found
    settled = taken(events, sheet(events, ORDERED))
    assert shown_stage(tracks_of(settled)[ID].standing(Stage.ORDERED)) == Shown(date(2026, 3, 9), "B")


def test_taken_back_keeps_who_takes_it_back_and_not_who_said_it() -> None:
    events = taken((), sheet((), ORDERED))
    for who, kept in (("B", ""), ("C", "C")):
        (event,) = take(events, sheet(events, {Stage.ORDERED: (TAKEN_BACK, who)})).events
        assert event.who == kept
        assert event.replaces == (events[0].entry,)


def test_a_zone_of_the_schedule_is_no_entry_until_somebody_types_another() -> None:
    given_zone = [Typed("a", "row 2", ID, Remark.ZONE, (), text="Z1", given="Z1")]
    assert take((), given_zone).events == ()
    assert take((), [Typed("a", "row 2", ID, Remark.ZONE, (), text="", given="Z1")]) == StagesTaken((), ())
    (event,) = take((), [Typed("a", "row 2", ID, Remark.ZONE, (), text="Z2", given="Z1")]).events
    assert event.text == "Z2"


def test_a_cell_that_was_cleared_long_after_it_was_taken_back_asks_nothing() -> None:
    events = taken((), sheet((), ORDERED))
    old = sheet(events, {Stage.ORDERED: (None, "")})
    assert "was cleared" in take(events, old).asks[0]
    events = taken(events, sheet(events, {Stage.ORDERED: (TAKEN_BACK, "")}))
    assert take(events, old).asks == ()


typed_cells = st.dictionaries(
    st.sampled_from([Stage.ORDERED, Stage.FIXED]),
    st.tuples(st.sampled_from([date(2026, 3, 1), date(2026, 3, 2), None]), st.sampled_from(["A", "B", ""])),
    max_size=2,
)


def _valid(cells: dict[Stage, tuple[date | None, str]]) -> Cells:
    """What a careful person types: never a name without a date, nor all who differ beside a date."""
    return {
        stage: (on, who if on is not None else "") for stage, (on, who) in cells.items() if on is not None or not who
    }


@given(st.lists(st.tuples(st.integers(0, 3), typed_cells), max_size=5), st.randoms(use_true_random=False))
def test_any_order_of_files_and_runs_gives_the_same_record(
    written: list[tuple[int, dict[Stage, tuple[date | None, str]]]], shuffle: object
) -> None:
    """Sheets are written at different times, typed in, and come back in any order, together or one by one."""
    history: list[tuple[StageEvent, ...]] = [()]
    sheets: list[list[Typed]] = []
    for back, cells in written:
        base = history[max(0, len(history) - 1 - back)]
        made = sheet(base, _valid(cells), f"f{len(sheets)}")
        sheets.append(made)
        history.append(taken(history[-1], made))
    in_turn = history[-1]
    for made in sheets:
        assert take(in_turn, made).events == ()  # twice adds nothing, however old the sheet is
    for events in history:
        assert in_turn[: len(events)] == events  # rows are only ever added
    mixed = list(sheets)
    shuffle.shuffle(mixed)  # type: ignore[attr-defined]
    waiting = mixed
    other: tuple[StageEvent, ...] = ()
    while waiting:  # a sheet can come back once the entries that it was written with are there
        ready = [made for made in waiting if {c for t in made for c in t.base} <= {e.entry for e in other}]
        assert ready
        other = taken(other, ready[0])
        waiting = [made for made in waiting if made is not ready[0]]
    assert tracks_of(other) == tracks_of(in_turn)
    assert {event.entry for event in other} == {event.entry for event in in_turn}
