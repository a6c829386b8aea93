# SPDX-License-Identifier: Apache-2.0
import pytest
from hypothesis import given
from hypothesis import strategies as st

from brattice.building.ledger import FoundPlace, LedgerEntry, LedgerResult, assign_ids, id_number, schedule_key
from brattice.building.penetration import Size
from brattice.errors import OwnFault
from brattice.quantities import Mm

NEAR = Mm(250)
BIG, ROUND = Size(Mm(600), Mm(400)), Size(Mm(315))


def place(key: str, x: float | None = 0.0, storey: str = "L1", size: Size | None = BIG, ref: str = "") -> FoundPlace:
    return FoundPlace(key, storey, None if x is None else (x, 2.0, 3.0), size, ("w",), ref)


def run(ledger: tuple[LedgerEntry, ...], *found: FoundPlace) -> LedgerResult:
    return assign_ids(ledger, found, match_within_mm=NEAR)


def test_first_ids_go_by_storey_place_and_key() -> None:
    got = run((), place("b", 1.0), place("a", 2.0), place("c", 0.0, "L0"), place("d", None, "L1"))
    assert got.ids == {"c": "P-0001", "b": "P-0002", "a": "P-0003", "d": "P-0004"}
    assert got.notes == ()


def test_a_known_key_keeps_its_id_and_takes_its_new_place() -> None:
    first = run((), place("a"), place("b", 5.0))
    moved = run(first.entries, place("a", 40.0, "L9", ROUND), place("b", 5.0))
    assert moved.ids == first.ids
    assert moved.notes == ()
    assert moved.entries[0].place.centre_m == (40.0, 2.0, 3.0)


def test_a_lost_key_is_retired_and_its_id_is_never_given_again() -> None:
    first = run((), place("a"), place("b", 5.0))
    second = run(first.entries, place("a"), place("c", 9.0))
    assert second.ids == {"a": "P-0001", "c": "P-0003"}
    assert second.notes == ("P-0002 is not found any more: retired. Its id is never used again.",)
    assert [(entry.id, entry.retired) for entry in second.entries] == [
        ("P-0001", False),
        ("P-0002", True),
        ("P-0003", False),
    ]
    assert run(second.entries, place("a"), place("c", 9.0)) == LedgerResult(second.entries, second.ids, ())


def test_a_retired_id_comes_back_with_its_own_key_alone() -> None:
    gone = run(run((), place("a")).entries)
    same_place = run(gone.entries, place("other"))
    assert same_place.ids == {"other": "P-0002"}
    back = run(same_place.entries, place("a"), place("other"))
    assert back.ids == {"a": "P-0001", "other": "P-0002"}
    assert back.notes == ("P-0001 was retired and is found again under its own key.",)


@pytest.mark.parametrize(
    ("moved_m", "storey", "size", "same"),
    [
        (0.0, "L1", BIG, True),
        (0.25, "L1", BIG, True),
        (0.251, "L1", BIG, False),
        (0.1, "L2", BIG, False),
        (0.1, "L1", ROUND, False),
        (0.1, "L1", Size(Mm(400), Mm(600)), False),
        (0.1, "L1", None, False),
        (None, "L1", BIG, False),
    ],
)
def test_a_lost_key_is_matched_by_place_and_shape_up_to_the_bound(
    moved_m: float | None, storey: str, size: Size | None, same: bool
) -> None:
    first = run((), place("old", 10.0))
    x = None if moved_m is None else 10.0 + moved_m
    got = run(first.entries, place("new", x, storey, size))
    assert (got.ids["new"] == "P-0001") is same
    if same:
        assert got.notes[0].startswith("P-0001: its key was lost and it was found again by place and size")


def test_only_one_to_one_fits_are_taken_and_the_rest_is_said() -> None:
    first = run((), place("old", 10.0))
    got = run(first.entries, place("n1", 10.1), place("n2", 9.9))
    assert got.ids == {"n2": "P-0002", "n1": "P-0003"}
    assert got.notes == (
        "P-0001 is not found any more: retired. Its id is never used again.",
        "P-0002 is new; it may be one of P-0001, but which can't be told by place and size.",
        "P-0003 is new; it may be one of P-0001, but which can't be told by place and size.",
    )
    two = run((), place("o1", 10.0), place("o2", 10.1))
    assert run(two.entries, place("n", 10.05)).ids == {"n": "P-0003"}


def test_a_schedule_row_that_the_model_shows_later_keeps_its_id_by_reference() -> None:
    first = run((), FoundPlace(schedule_key("FD-1"), reference="FD-1"))
    got = run(first.entries, place("wall/duct/1", ref="FD-1"))
    assert got.ids == {"wall/duct/1": "P-0001"}
    assert got.notes == ("P-0001: its key was lost and it was found again by its reference 'FD-1'.",)
    again = run(got.entries, FoundPlace(schedule_key("FD-1"), reference="FD-1"))
    assert again.ids == {schedule_key("FD-1"): "P-0001"}


def test_numbers_grow_beyond_four_digits_and_sort_as_numbers() -> None:
    entry = LedgerEntry("P-9999", place("a"))
    got = run((entry,), place("a"), place("b", 8.0), place("c", 9.0))
    assert [item.id for item in got.entries] == ["P-9999", "P-10000", "P-10001"]


def test_broken_ledgers_are_our_own_fault() -> None:
    with pytest.raises(OwnFault, match="two places"):
        run((), place("a"), place("a", 7.0))
    entry = LedgerEntry("P-0001", place("a"))
    with pytest.raises(OwnFault, match="twice"):
        run((entry, entry))
    with pytest.raises(ValueError, match="not a permanent id"):
        id_number("P-1")


keys = st.sampled_from([f"k{n}" for n in range(8)])
places = st.builds(
    place,
    keys,
    st.none() | st.integers(0, 6).map(lambda n: n / 8),
    st.sampled_from(["L0", "L1"]),
    st.sampled_from([BIG, ROUND, None]),
    st.sampled_from(["", "", "FD-1", "FD-2"]),
)
founds = st.lists(places, max_size=7, unique_by=lambda item: item.key)
histories = st.lists(founds, min_size=1, max_size=5)


@given(histories)
def test_ids_are_never_reused_and_retired_ids_stay(history: list[list[FoundPlace]]) -> None:
    ledger: tuple[LedgerEntry, ...] = ()
    seen: set[str] = set()
    for found in history:
        got = run(ledger, *found)
        assert set(got.ids) == {item.key for item in found}
        assert len(set(got.ids.values())) == len(found)
        ids = {entry.id for entry in got.entries}
        assert seen <= ids
        newest = max((id_number(entry.id) for entry in ledger), default=0)
        assert all(id_number(name) > newest for name in ids - seen)
        was_retired = {entry.id: entry.key for entry in ledger if entry.retired}
        for entry in got.entries:
            if entry.id in was_retired:
                assert entry.key == was_retired[entry.id]
        seen, ledger = ids, got.entries


@given(histories)
def test_running_twice_changes_nothing_and_says_nothing(history: list[list[FoundPlace]]) -> None:
    ledger: tuple[LedgerEntry, ...] = ()
    for found in history:
        got = run(ledger, *found)
        assert run(got.entries, *found) == LedgerResult(got.entries, got.ids, ())
        ledger = got.entries


@given(founds, st.data())
def test_the_order_of_places_and_entries_does_not_matter(found: list[FoundPlace], data: st.DataObject) -> None:
    before = run((), *data.draw(founds)).entries
    shuffled = data.draw(st.permutations(found))
    assert run(before, *found) == run(tuple(data.draw(st.permutations(before))), *shuffled)
