# SPDX-License-Identifier: Apache-2.0
"""The laws of the record of stages: only added to, no order, nothing undone by what did not know of it."""

import itertools
from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from brattice.register.stages import (
    ENTRY_FORM,
    STAGES,
    About,
    Remark,
    Stage,
    StageEvent,
    StageStep,
    spec_of,
    standing_entries,
    tracks_of,
)
from tests.register.said import ID, TAKEN, back, day, said, track

FIXED = said(Stage.FIXED, day(3))


def test_the_stages_are_the_closed_list_of_the_job_in_its_order() -> None:
    assert [*Stage] == [
        "approved",
        "ordered",
        "delivered",
        "framed opening checked",
        "fixed",
        "sealed",
        "inspected",
        "tested",
        "handed over",
    ]
    assert [spec.stage for spec in STAGES] == [*Stage]


def test_what_goes_before_a_stage_stands_before_it_in_the_list() -> None:
    order = [*Stage]
    for spec in STAGES:
        for before in (*spec.not_before, *spec.needs):
            assert order.index(before) < order.index(spec.stage)
        assert set(spec.needs) <= {*Stage} - {spec.stage}
        assert spec.rests_on
        assert spec.meaning.endswith(".")
        assert spec_of(spec.stage) is spec


def test_a_stage_that_is_said_stands_until_another_entry_takes_its_place() -> None:
    corrected = said(Stage.FIXED, day(4), over=(FIXED,))
    assert track(FIXED).standing(Stage.FIXED).single == FIXED
    assert track(FIXED, corrected).standing(Stage.FIXED).single == corrected
    assert track(FIXED, back(FIXED)).standing(Stage.FIXED).said == ()
    assert track(FIXED, back(FIXED)).standing(Stage.FIXED).single is None
    assert not track(FIXED, back(FIXED)).is_said
    again = said(Stage.FIXED, day(3), over=(back(FIXED),))
    assert track(FIXED, back(FIXED), again).standing(Stage.FIXED).single == again


def test_two_who_know_nothing_of_each_other_both_stand() -> None:
    other = said(Stage.FIXED, day(5), "C. Other (invented)")
    standing = track(FIXED, other).standing(Stage.FIXED)
    assert standing.said == (FIXED, other)
    assert standing.differs
    assert standing.single is None
    settled = said(Stage.FIXED, day(5), "C. Other (invented)", over=(FIXED, other))
    assert track(FIXED, other, settled).standing(Stage.FIXED).single == settled


def test_one_who_takes_back_what_another_corrects_differs_from_him() -> None:
    standing = track(FIXED, back(FIXED), said(Stage.FIXED, day(9), over=(FIXED,))).standing(Stage.FIXED)
    assert standing.differs
    assert standing.said[0].on == day(9)


def test_the_same_said_on_two_ways_is_no_difference() -> None:
    wrong = said(Stage.FIXED, day(9))
    standing = track(FIXED, wrong, said(Stage.FIXED, day(3), over=(wrong,))).standing(Stage.FIXED)
    assert len(standing.standing) == 2
    assert not standing.differs
    assert standing.single is not None
    assert standing.single.on == day(3)


@pytest.mark.parametrize(
    "change",
    [
        {"penetration": "P-0002"},
        {"about": Stage.SEALED},
        {"step": StageStep.TAKEN_BACK},
        {"on": day(4)},
        {"who": "B"},
        {"text": "photo 3"},
        {"rests_on": (("wall type", "W1"),)},
        {"replaces": ("E-000000000000",)},
    ],
)
def test_the_code_of_an_entry_is_made_from_all_that_it_says(change: dict[str, object]) -> None:
    assert ENTRY_FORM.match(FIXED.entry)
    assert replace(FIXED, **change).entry != FIXED.entry  # type: ignore[arg-type]
    assert replace(FIXED, taken=date(2030, 1, 1)).entry == FIXED.entry  # when it was taken is not said


def test_a_lone_surrogate_and_any_character_can_be_said() -> None:
    assert ENTRY_FORM.match(said(Stage.FIXED, day(3), "\ud800 \x00 \u202e ×").entry)


@pytest.mark.parametrize(
    ("events", "why"),
    [
        ([FIXED, FIXED], "twice"),
        ([back(FIXED)], "not there"),
        ([FIXED, replace(back(FIXED), about=Stage.SEALED)], "something else"),
        ([FIXED, replace(back(FIXED), penetration="P-0002")], "something else"),
        ([replace(FIXED, penetration="seven")], "permanent id"),
    ],
)
def test_a_record_that_can_not_be_says_why(events: list[StageEvent], why: str) -> None:
    with pytest.raises(ValueError, match=why):
        standing_entries(events)


def test_a_track_is_there_for_each_id_that_is_asked_for() -> None:
    tracks = tracks_of([FIXED], ["P-0002"])
    assert list(tracks) == ["P-0001", "P-0002"]
    assert tracks["P-0001"].is_said
    assert not tracks["P-0002"].is_said
    assert [item.about for item in tracks["P-0002"].stages] == [*Stage]
    assert tracks["P-0002"].standing(Remark.NOTE).standing == ()


ABOUT: tuple[About, ...] = (Stage.FIXED, Stage.SEALED, Remark.ZONE)


@st.composite
def records(draw: st.DrawFn) -> list[StageEvent]:
    """Entries as people make them: each typed over some that stood, or over none."""
    events: list[StageEvent] = []
    for _ in range(draw(st.integers(0, 6))):
        about: About = draw(st.sampled_from(ABOUT))
        before = [event for event in events if event.about is about]
        over: tuple[StageEvent, ...] = ()
        if before:
            over = tuple(draw(st.lists(st.sampled_from(before), unique=True, max_size=2)))
        takes_back: bool = draw(st.booleans())
        if over and takes_back:
            made = StageEvent(ID, about, StageStep.TAKEN_BACK, TAKEN, replaces=tuple(sorted(e.entry for e in over)))
        elif isinstance(about, Stage):
            made = said(about, day(draw(st.integers(1, 4))), draw(st.sampled_from(["A", "B"])), over=over)
        else:
            made = said(about, None, text=draw(st.sampled_from(["Z1", "Z2"])), over=over)
        if made.entry not in {event.entry for event in events}:
            events.append(made)
    return events


@given(records(), st.randoms(use_true_random=False))
def test_the_order_of_entries_changes_nothing(events: list[StageEvent], shuffle: object) -> None:
    mixed = list(events)
    shuffle.shuffle(mixed)  # type: ignore[attr-defined]
    assert tracks_of(mixed) == tracks_of(events)


@given(records())
def test_what_stands_is_what_nothing_takes_the_place_of(events: list[StageEvent]) -> None:
    """Against the plain words: an entry stands unless another names it."""
    named = set(itertools.chain.from_iterable(event.replaces for event in events))
    expected = {event.entry for event in events} - named
    assert {event.entry for group in standing_entries(events).values() for event in group} == expected
