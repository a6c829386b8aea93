# SPDX-License-Identifier: Apache-2.0
"""A row that names nothing of a model beside the place it may mean: both ask, with one query, and nothing is tied."""

from __future__ import annotations

import itertools
import random
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from brattice.building.penetration import Size
from brattice.building.schedule import ScheduleRow
from brattice.findings import Known, Reason, Verdict
from brattice.quantities import Mm
from brattice.usecases.likeness import described_place, described_row, likeness
from brattice.usecases.merge import ModelFacts
from brattice.usecases.states import PenetrationState
from brattice.usecases.tie import tie_rows
from brattice.usecases.untied import with_likely_ties
from tests.helpers.facts import RIGID, model_of, report_of
from tests.helpers.sources import MODEL, place, row

SIZE = Size(Mm(600), Mm(400))
LEVEL = Known("Level 1", MODEL)


def asked(
    rows: Sequence[ScheduleRow], places: Sequence[ModelFacts], storeys: Sequence[str] = ()
) -> dict[str, tuple[Reason, ...]]:
    """The reasons of tying, by the row's reference or the place's id (P- and the end of its key)."""
    ids = {item.key: f"P-{item.key[-1]}" for item in places}
    tied = with_likely_ties(tie_rows(rows, places, {}), ids, {}, storeys)
    return {item.row.reference if item.row else ids[item.key]: item.reasons for item in tied}


def alike(reference: str = "FD-01", **changes: Any) -> ScheduleRow:
    """A row that describes the ordinary place and names nothing of it."""
    return row(reference, **{"storey": "Level 1", "duct_size": SIZE, **changes})


def test_a_row_and_the_place_it_may_be_ask_one_question() -> None:
    found = asked([alike()], [place()])
    ((of_row,), (of_place,)) = found["FD-01"], found["P-1"]
    assert {item.code for item in (of_row, of_place)} == {"tie"}
    assert {item.verdict for item in (of_row, of_place)} == {Verdict.UNKNOWN}
    assert of_row.missing == of_place.missing
    assert of_row.missing[0].key == "schedule/FD-01/tie"
    for words in ("P-1", "size 600 × 400", "storey Level 1", "Only P-1 agrees", "no other row"):
        assert words in of_row.text
    assert "FD-01" in of_place.text


def test_a_row_without_any_model_is_asked_nothing() -> None:
    assert asked([alike()], []) == {"FD-01": ()}


def test_rows_and_places_that_are_tied_are_asked_nothing() -> None:
    found = asked([alike(key="k-1"), alike("FD-02", storey="Level 2")], [place()])
    assert found == {"FD-01": (), "FD-02": ()}


@pytest.mark.parametrize(
    "changes",
    [{"storey": "Level 2"}, {"centre_m": (1.0, 2.0, 9.0)}, {"duct_size": Size(Mm(200)), "thickness_mm": Mm(100)}],
)
def test_a_row_of_another_place_is_asked_nothing(changes: dict[str, Any]) -> None:
    assert asked([alike(**changes)], [place()]) == {"FD-01": (), "P-1": ()}


def test_a_fact_that_differs_is_named_on_both_sides() -> None:
    found = asked([alike(thickness_mm=Mm(100))], [place()])
    assert "thickness 150 mm there and 100 mm here" in found["FD-01"][0].text
    assert "thickness 100 mm there and 150 mm here" in found["P-1"][0].text
    assert "agrees in everything" not in found["FD-01"][0].text


def test_the_most_like_come_first_and_the_rest_are_counted() -> None:
    places = [place(f"k-{number}") for number in range(1, 9)]
    places[7] = place("k-8", thickness_mm=Known(Mm(215), MODEL))
    found = asked([alike(thickness_mm=Mm(215))], places)
    (of_row,) = found["FD-01"]
    assert of_row.text.index("P-8") < of_row.text.index("P-1")
    assert "and 3 more places" in of_row.text
    assert "Only P-8 agrees in everything that both state, and no other row does with it." in of_row.text
    assert all(reasons for reasons in found.values())


def test_two_rows_that_are_like_one_place_are_both_asked_and_the_place_names_both() -> None:
    found = asked([alike("FD-01"), alike("FD-02")], [place()])
    (of_place,) = found["P-1"]
    assert [item.key for item in of_place.missing] == ["schedule/FD-01/tie", "schedule/FD-02/tie"]
    assert "but other rows do with it too" in found["FD-01"][0].text


def test_a_row_that_states_nothing_of_where_it_is_may_be_any_place_and_places_are_not_asked() -> None:
    found = asked([row("FD-01")], [place("k-1"), place("k-2")])
    assert [item.code for item in found["FD-01"]] == ["tie"]
    assert (found["P-1"], found["P-2"]) == ((), ())


def test_a_row_that_names_what_no_model_has_is_told_what_it_may_be_in_the_same_finding() -> None:
    (reason,) = asked([alike(duct_guids=("gone",))], [place()])["FD-01"]
    assert reason.text.startswith("No place of the models has what the row names. This row may be")
    assert reason.have.startswith("gone; P-1")


def test_a_row_can_say_that_no_model_shows_it() -> None:
    found = asked([alike(key="schedule:FD-01")], [place()])
    assert [(item.code, item.verdict) for item in found["FD-01"]] == [("tie-note", Verdict.NOT_APPLICABLE)]
    assert found["P-1"] == ()
    # another row's key says nothing of this one
    assert [item.verdict for item in asked([alike(key="schedule:FD-09")], [place()])["FD-01"]] == [Verdict.UNKNOWN]


def test_a_stated_centre_finds_its_place_among_many_that_are_alike() -> None:
    places = [place(f"k-{number}", centre_m=(3.0 * number, 2.0, 3.0)) for number in range(1, 6)]
    found = asked([alike(centre_m=(9.4, 2.0, 3.0))], places)
    assert "Only P-3 agrees" in found["FD-01"][0].text
    assert sorted(name for name, reasons in found.items() if reasons) == ["FD-01", "P-3"]
    # a place without a centre may be anywhere
    found = asked([alike(centre_m=(9.4, 2.0, 3.0))], [*places, place("k-6", centre_m=None)])
    assert sorted(name for name, reasons in found.items() if reasons) == ["FD-01", "P-3", "P-6"]


def test_storeys_that_the_models_name_are_told_apart() -> None:
    given = ([alike(storey="Roof")], [place(storey=Known("Ground", MODEL))])
    assert asked(*given)["FD-01"] != ()
    assert asked(*given, ["Ground", "Roof"])["FD-01"] == ()


def test_the_order_of_rows_and_places_changes_nothing() -> None:
    rows = [alike("FD-01"), alike("FD-02", thickness_mm=Mm(150)), alike("FD-03", centre_m=(1.0, 2.0, 3.1))]
    places = [place("k-1"), place("k-2"), place("k-3", size=Known(Size(Mm(200)), MODEL))]
    first = asked(rows, places)
    for some, others in itertools.product(itertools.permutations(rows), itertools.permutations(places)):
        assert asked(some, others) == first


# --- whole jobs ------------------------------------------------------------------------------------------------------


def test_a_row_within_scope_by_its_own_word_is_no_pass_beside_the_place_it_may_be(tmp_path: Path) -> None:
    report = report_of(replace(RIGID, places=(model_of(),)), tmp_path)
    assert {item.state for item in report.penetrations} == {PenetrationState.NOT_ENOUGH_KNOWN}
    for item in report.penetrations:
        assert "tie-unknown" in {finding.code for finding in item.findings if finding.open}
    (query,) = [query for query in report.queries if query.missing.key == "schedule/FD-01/tie"]
    assert query.holds_up == tuple(sorted(item.penetration.id for item in report.penetrations))


@pytest.mark.parametrize("cells", [{"key": "schedule:FD-01"}, {"storey": "Level 7"}])
def test_a_row_that_is_none_of_the_places_stands_on_its_own_word(cells: dict[str, Any], tmp_path: Path) -> None:
    report = report_of(replace(RIGID, places=(model_of(),)).with_row(**cells), tmp_path)
    (alone,) = [item for item in report.penetrations if item.penetration.aliases]
    assert alone.state is PenetrationState.WITHIN_SCOPE


def test_the_ones_named_are_those_that_comparing_each_with_each_gives() -> None:
    """The same by a second method: every row held against every place, one by one."""
    seeded = random.Random(7)
    sizes = [Size(Mm(200)), Size(Mm(600), Mm(400)), Size(Mm(400), Mm(600))]

    def facts() -> dict[str, Any]:
        given = {"storey": seeded.choice(["Level 1", "L2"]), "thickness_mm": Mm(seeded.choice([100, 150]))}
        return {name: value for name, value in given.items() if seeded.random() < 0.8}

    rows = [
        row(
            f"FD-{number:02}",
            duct_size=seeded.choice(sizes),
            **facts(),
            **({"centre_m": (0.4, 0, 0)} if number % 9 == 0 else {}),
        )
        for number in range(40)
    ]
    places = [
        place(
            f"k-{number:02}",
            size=Known(seeded.choice(sizes), MODEL),
            centre_m=(float(number % 4), 0.0, 0.0),
            **{"storey": None, **{name: Known(value, MODEL) for name, value in facts().items()}},
        )
        for number in range(40)
    ]
    ids = {item.key: f"P-{item.key[-2:]}" for item in places}
    tied = {item.row.reference: item for item in with_likely_ties(tie_rows(rows, places, {}), ids, {}) if item.row}
    for one in rows:
        likes = [(likeness(described_row(one, {}), described_place(it, ids[it.key], {})), ids[it.key]) for it in places]
        possible = [
            (-like.score, not like.is_whole, name) for like, name in likes if like.is_possible and like.agreeing
        ]
        (reason,) = tied[one.reference].reasons
        named = [text.partition(" ")[0] for text in reason.have.split(", ")]
        assert named == [name for _, _, name in sorted(possible)[:5]]
        assert (f"and {len(possible) - 5} more places" in reason.text) is (len(possible) > 5)
