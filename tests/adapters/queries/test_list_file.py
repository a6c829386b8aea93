# SPDX-License-Identifier: Apache-2.0
"""The list's file gives back what was written, whatever the texts hold, and a spoilt one is refused with its place."""

from datetime import date
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from brattice.adapters.queries import QUERIES_COLUMNS, queries_text, read_queries, save_queries
from brattice.adapters.queries.list_file import holds_up_text
from brattice.building.queries import Answer, Asked, QueryEvent, QueryStep
from brattice.errors import InputError
from brattice.findings import Party

DAY = date(2026, 11, 2)
texts = st.text(st.characters(codec="utf-8"), min_size=1, max_size=20)


def two(key: str, text: str, answer: str, ids: tuple[str, ...] = ("P-0001",)) -> tuple[QueryEvent, ...]:
    asked = Asked(key, text, Party.DRY_LINER, ("gap", "seal"), ids)
    given = Answer(answer, answer, answer, DAY)
    return (
        QueryEvent("Q-0001", key, QueryStep.ASKED, DAY, asked),
        QueryEvent("Q-0001", key, QueryStep.ISSUED, DAY, due=DAY),
        QueryEvent("Q-0001", key, QueryStep.ANSWERED, DAY, answer=given),
    )


@given(texts, texts, texts)
def test_any_text_comes_back_and_none_acts_in_a_sheet(key: str, text: str, answer: str) -> None:
    from tempfile import TemporaryDirectory

    events = two(key, text, answer)
    with TemporaryDirectory() as folder:
        path = Path(folder) / "queries.csv"
        assert save_queries(path, events)
        assert not save_queries(path, events)
        assert read_queries(path) == events


@given(st.sets(st.integers(1, 60)))
def test_ids_come_back_from_their_runs(tmp_path_factory: pytest.TempPathFactory, numbers: set[int]) -> None:
    ids = tuple(f"P-{number:04d}" for number in sorted(numbers))
    path = tmp_path_factory.mktemp("list") / "queries.csv"
    save_queries(path, two("a/b", "What?", "x", ids))
    asked = read_queries(path)[0].asked
    assert asked is not None
    assert asked.holds_up == ids


def test_three_in_a_row_are_a_run_and_two_are_not() -> None:
    assert holds_up_text(["P-0003", "P-0001", "P-0002", "P-0007", "P-0006"]) == "P-0001..P-0003 P-0006 P-0007"


@pytest.mark.parametrize(
    ("old", "new", "place"),
    [
        ("Q-0001", "Q-1", "column 'number'"),
        (",asked,", ",wondered,", "column 'step'"),
        ("2026-11-02", "yesterday", "column 'on'"),
        ("dry-liner or builder", "nobody", "column 'ask'"),
        ("P-0001", "P-0009..P-0001", "column 'holds_up'"),
        (",asked,", ",withdrawn,", "before it was asked"),
        ("number,key", "key,number", "row 1"),
    ],
)
def test_a_spoilt_list_is_refused_with_its_place(tmp_path: Path, old: str, new: str, place: str) -> None:
    path = tmp_path / "queries.csv"
    path.write_text(queries_text(two("a/b", "What?", "x")).replace(old, new, 1), "utf-8")
    with pytest.raises(InputError, match=place):
        read_queries(path)


def test_no_file_is_an_empty_list_and_an_empty_list_is_no_file(tmp_path: Path) -> None:
    assert read_queries(tmp_path / "queries.csv") == ()
    assert not save_queries(tmp_path / "queries.csv", ())
    assert queries_text(()) == ",".join(QUERIES_COLUMNS) + "\n"
