# SPDX-License-Identifier: Apache-2.0
"""Answers as one more source: every key settles its own fact, and nothing is settled against another source."""

from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from datetime import date
from typing import Any

import pytest

from brattice.adapters.queries import choices_of, read_answer
from brattice.building.queries import PENETRATION_FIELDS, Answer, Asked, QueryEvent, QueryStep, update_events
from brattice.building.wall_type import Rating
from brattice.building.wall_types import WALL_TYPE_FIELDS, wall_type_of
from brattice.building.words import Joint, SpaceUse
from brattice.errors import Fault
from brattice.findings import Known, Origin, Party, Unknown
from brattice.quantities import Mm
from brattice.usecases.answers import Returned, answered_facts, take_answers, with_answers
from brattice.usecases.merge import merge_penetration
from tests.helpers.penetrations import wall_type
from tests.helpers.sources import MODEL, place, row, said

DAY = date(2026, 11, 2)
TEXTS = {
    "duct-size": "600 x 400",
    "damper-size": "600 x 400",
    "framed-opening": "700 x 500",
    "finished-clear-opening": "diameter 500",
    "gaps": "left 30, right 30, top 30, bottom 30",
    "spaces": "general; sleeping",
    "actuation": "thermal",
    "rating": "EI 60",
    "board_layers": "2; 2",
}


def text_for(key: str, name: str) -> str:
    """An answer that the reader of this key takes."""
    numbers = ("2", "150", "Some words")
    tries = [TEXTS[name]] if name in TEXTS else [*choices_of(key)[:1], *numbers]
    return next(text for text in tries if not isinstance(read_answer(key, text), Fault))


def answered(key: str, text: str) -> dict[str, Known[Any]]:
    """What the list states once this key was asked and answered so."""
    events = update_events((), [Asked(key, "What?", Party.CLIENT)], DAY)
    return answered_facts((*events, answer_event("Q-0001", key, text)), read_answer)


def answer_event(number: str, key: str, text: str) -> QueryEvent:
    return QueryEvent(number, key, QueryStep.ANSWERED, DAY, answer=Answer(text, "A. Person", "Doc 1", DAY))


def facts(thing: Any) -> Iterator[Any]:
    for item in fields(thing):
        value = getattr(thing, item.name)
        if isinstance(value, Known | Unknown):
            yield value
        elif is_dataclass(value):
            yield from facts(value)


BY_QUERY = Origin("query Q-0001", "answered by A. Person on Doc 1, 2026-11-02")


OWN_TESTS = {"separation-fill", "joint-a", "joint-b"}


@pytest.mark.parametrize("name", [name for name in PENETRATION_FIELDS if name not in OWN_TESTS])
@pytest.mark.parametrize("given", [row(), None], ids=["row", "no row"])
def test_every_key_of_a_penetration_settles_the_fact_that_asks_it(name: str, given: Any) -> None:
    key = f"penetration/P-0001/{name}"
    model = None if given else place(storey=None, orientation=None, thickness_mm=None, size=None, angle_deg=None)
    if model is not None and name in {"opening-shape", "framed-opening"}:
        pytest.skip("the model of the helper states it")
    before, _ = merge_penetration("P-0001", given, model, {})
    asked = [fact for fact in facts(before) if isinstance(fact, Unknown) and fact.missing.key == key]
    assert len(asked) == 1
    after, reasons = merge_penetration("P-0001", given, model, {}, answered(key, text_for(key, name)))
    assert not any(isinstance(fact, Unknown) and fact.missing.key == key for fact in facts(after))
    assert any(isinstance(fact, Known) and fact.origin == BY_QUERY for fact in facts(after))
    assert {reason.code for reason in reasons} <= {"wall-type-row"}


@pytest.mark.parametrize(("stated", "asked"), [("a", "b"), ("b", "a")])
def test_the_joint_of_one_side_is_asked_where_the_other_alone_is_stated(stated: str, asked: str) -> None:
    given = row(**{f"joint_{stated}": Joint.NO_DUCT})
    key = f"penetration/P-0001/joint-{asked}"
    before, _ = merge_penetration("P-0001", given, None, {})
    left_open = getattr(before.installation, f"joint_{asked}")
    assert isinstance(left_open, Unknown)
    assert left_open.missing.key == key
    after, _ = merge_penetration("P-0001", given, None, {}, answered(key, "slip joint"))
    settled = getattr(after.installation, f"joint_{asked}")
    assert settled == Known(Joint.SLIP_JOINT, BY_QUERY)
    assert {fact.value for fact in after.installation.joints if isinstance(fact, Known)} == {
        Joint.NO_DUCT,
        Joint.SLIP_JOINT,
    }


def test_an_answer_that_another_source_contradicts_leaves_the_fact_unknown() -> None:
    found = answered("penetration/P-0001/seal-depth-mm", "150")
    same, _ = merge_penetration("P-0001", row(seal_depth_mm=Mm(150)), None, {}, found)
    assert same.installation.seal_depth_mm == said(Mm(150))
    other, reasons = merge_penetration("P-0001", row(seal_depth_mm=Mm(100)), None, {}, found)
    assert isinstance(other.installation.seal_depth_mm, Unknown)
    assert other.installation.seal_depth_mm.missing.key == "penetration/P-0001/seal-depth-mm/sources"
    assert "query Q-0001" in other.installation.seal_depth_mm.missing.text
    assert [reason.code for reason in reasons] == ["sources"]
    _, by_model = merge_penetration("P-0001", None, place(), {}, answered("penetration/P-0001/duct-size", "500 x 400"))
    assert [reason.code for reason in by_model] == ["sources"]


def test_an_answer_never_takes_away_what_the_row_says_of_one_side() -> None:
    found = answered("penetration/P-0001/spaces", "general")
    given = row(space_a=frozenset({SpaceUse.SLEEPING}))
    penetration, _ = merge_penetration("P-0001", given, None, {}, found)
    assert isinstance(penetration.spaces, Known)
    assert penetration.spaces.value == {SpaceUse.SLEEPING, SpaceUse.GENERAL}


def test_the_meaning_of_a_rating_text_is_a_source_and_no_more() -> None:
    unread = place(rating_unread=Known("2 HR?", MODEL))
    found = answered("model-rating/2 HR?", "EI 120")
    alone, _ = merge_penetration("P-0001", None, unread, {}, found)
    assert isinstance(alone.barrier.rating, Known)
    assert (alone.barrier.rating.value.integrity_min, alone.barrier.rating.origin) == (120, BY_QUERY)
    lower, reasons = merge_penetration("P-0001", row(wall_type_code="W1"), unread, {"W1": wall_type("W1")}, found)
    assert isinstance(lower.barrier.rating, Unknown)  # the wall type says 60
    assert [reason.code for reason in reasons] == ["sources"]
    layer = place(rating=Known(Rating(60, 60, "EI 60"), MODEL), other_ratings_unread=(Known("2 HR?", MODEL),))
    of_layer, reasons = merge_penetration("P-0001", None, layer, {}, found)
    assert isinstance(of_layer.barrier.rating, Unknown)  # another layer is rated higher
    assert [reason.code for reason in reasons] == ["sources"]


@pytest.mark.parametrize("name", WALL_TYPE_FIELDS)
def test_every_field_of_a_wall_type_is_settled_under_the_key_that_asks_it(name: str) -> None:
    bare = wall_type_of("W/1", {})
    key = getattr(bare, name).missing.key
    found = answered(key, text_for(key, name))
    settled = with_answers({"W/1": bare}, found)["W/1"]
    fact = getattr(settled, name)
    assert isinstance(fact, Known)
    assert fact.origin == BY_QUERY
    others = [item for item in WALL_TYPE_FIELDS if item != name]
    assert all(getattr(settled, item) == getattr(bare, item) for item in others)
    again = with_answers({"W/1": settled}, found)["W/1"]
    assert again == settled


def test_a_wall_type_that_its_sheet_states_otherwise_becomes_unknown() -> None:
    types = {"W1": wall_type_of("W1", {"thickness_mm": said(Mm(100))})}
    fact = with_answers(types, answered("wall-type/W1/thickness", "150"))["W1"].thickness_mm
    assert isinstance(fact, Unknown)
    assert fact.missing.key == "wall-type/W1/thickness/sources"
    assert with_answers(types, answered("wall-type/W1/thickness", "100"))["W1"].thickness_mm == said(Mm(100))
    assert with_answers(types, answered("wall-type/W2/thickness", "150")) == types


@pytest.mark.parametrize(
    "key", ["penetration/P-0001/duct-size/sources", "wall-type/W1/row", "place/k/shape", "rules/edition"]
)
def test_an_answer_to_what_no_value_settles_states_nothing(key: str) -> None:
    assert answered(key, "600 x 400") == {}


def returned(number: str, text: str, file: str = "a.xlsx", place: str = "row 2") -> Returned:
    return Returned(file, place, number, "What?", text, "A. Person", "Doc 1", DAY)


def test_the_order_of_files_does_not_matter_and_the_last_answer_counts() -> None:
    key, note = "penetration/P-0001/seal-depth-mm", "rules/edition"
    events = update_events((), [Asked(key, "What?", Party.CLIENT), Asked(note, "What?", Party.CLIENT)], DAY)
    rows = [returned("Q-0001", "150"), returned("Q-0002", "ADB", "b.xlsx")]
    taken = take_answers(events, rows, read_answer, DAY)
    assert taken.faults == ()
    assert taken == take_answers(events, list(reversed(rows)), read_answer, DAY)
    assert any("Q-0002: answer noted; the source has to be corrected" in text for text in taken.notes)
    events = (*events, *taken.events)
    assert take_answers(events, rows, read_answer, DAY).events == ()
    corrected = take_answers(events, [returned("Q-0001", "100")], read_answer, DAY)
    assert any("takes the place" in text for text in corrected.notes)
    events = (*events, *corrected.events)
    assert answered_facts(events, read_answer)[key].value == 100
    assert take_answers(events, rows, read_answer, DAY).events == ()  # an old file brings nothing back


def test_all_faults_come_at_once_and_nothing_is_taken() -> None:
    events = update_events((), [Asked("penetration/P-0001/seal-faces", "What?", Party.CLIENT)], DAY)
    bad = Returned("b.xlsx", "row 3", "Q-0001", "What?", "3", "", "", None)
    taken = take_answers(events, [returned("Q-0009", "2"), bad, returned("Q-0001", "2", "c.xlsx")], read_answer, DAY)
    assert taken.events == ()
    text = "\n".join(map(str, taken.faults))
    for part in ("Q-0009", "who answered", "the document", "its date", "at most 2"):
        assert part in text
