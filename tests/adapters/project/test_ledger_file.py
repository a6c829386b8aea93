# SPDX-License-Identifier: Apache-2.0
import tempfile
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from brattice.adapters.project import LEDGER_COLUMNS, ledger_text, read_ledger, save_ledger
from brattice.adapters.rows import shipped_book
from brattice.building.ledger import FoundPlace, LedgerEntry, assign_ids
from brattice.building.penetration import Size
from brattice.errors import InputError
from brattice.quantities import Mm

HEAD = ",".join(LEDGER_COLUMNS) + "\n"
ENTRY = LedgerEntry(
    "P-0001", FoundPlace("w/d/1", "Level 1", (12.5, -3.0, 0.001), Size(Mm(600), Mm(400)), ("w", "v"), "FD-1")
)


def test_one_line_an_entry() -> None:
    retired = LedgerEntry("P-0002", FoundPlace("schedule:FD-2", size=Size(Mm(315.5))), retired=True)
    assert ledger_text([retired, ENTRY]) == (
        HEAD
        + "P-0001,w/d/1,Level 1,12.5,-3,0.001,600,400,w v,FD-1,current\n"
        + "P-0002,schedule:FD-2,,,,,315.5,,,,retired\n"
    )


def test_no_file_is_an_empty_ledger(tmp_path: Path) -> None:
    assert read_ledger(tmp_path / "penetrations.csv") == ()


def test_it_is_written_only_when_it_changed_and_leaves_nothing_beside(tmp_path: Path) -> None:
    path = tmp_path / "penetrations.csv"
    assert save_ledger(path, [ENTRY])
    before = path.stat()
    assert not save_ledger(path, [ENTRY])
    assert path.stat().st_mtime_ns == before.st_mtime_ns
    assert path.stat().st_ino == before.st_ino
    assert save_ledger(path, [])
    assert [item.name for item in tmp_path.iterdir()] == ["penetrations.csv"]


anything = st.text(st.characters(codec="utf-8"), max_size=12)
numbers = st.floats(-1e6, 1e6).map(lambda value: round(value, 3) + 0.0)
entries = st.builds(
    LedgerEntry,
    st.integers(1, 99_999).map("P-{:04d}".format),
    st.builds(
        FoundPlace,
        anything.filter(bool),
        anything,
        st.none() | st.tuples(numbers, numbers, numbers),
        st.none() | st.builds(Size, numbers.map(Mm), st.none() | numbers.map(Mm)),
        st.lists(anything.filter(bool), max_size=3).map(tuple),
        anything,
    ),
    st.booleans(),
)


@given(st.lists(entries, max_size=4, unique_by=(lambda item: item.id, lambda item: item.key)))
def test_whatever_is_written_is_read_back_and_no_cell_acts(items: list[LedgerEntry]) -> None:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder, "penetrations.csv")
        save_ledger(path, items)
        assert set(read_ledger(path)) == set(items)
        text = path.read_text("utf-8")
    assert all(char.isprintable() or char == "\n" for char in text)
    assert not any(line.startswith(("=", "+", "@", "\t")) for line in text.splitlines())


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("", "penetrations.csv: found an empty file"),
        ("id,key\n", "penetrations.csv: row 1: found 'id,key'; expected the headings id,key,storey"),
        (HEAD + "P-1,k,,,,,,,,,current\n", "penetrations.csv: row 2, column 'id': found 'P-1'; expected an id like"),
        (HEAD + "P-0001,,,,,,,,,,current\n", "row 2, column 'key': found nothing; expected the key of the place"),
        (HEAD + "P-0001,k,,,,,,,,,gone\n", "row 2, column 'standing': found 'gone'; expected current or retired"),
        (HEAD + "P-0001,k,,x,1,1,,,,,current\n", "row 2, column 'x_m': found 'x'; expected a number"),
        (HEAD + "P-0001,k,,nan,1,1,,,,,current\n", "row 2, column 'x_m': found 'nan'; expected a number"),
    ],
)
def test_a_spoilt_ledger_is_refused_with_the_place(tmp_path: Path, text: str, fault: str) -> None:
    path = tmp_path / "penetrations.csv"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(InputError) as caught:
        read_ledger(path)
    assert fault in str(caught.value)


def test_ids_and_keys_stand_once_each_and_all_faults_come_together(tmp_path: Path) -> None:
    path = tmp_path / "penetrations.csv"
    row = "P-0001,k,,,,,,,,,current\n"
    path.write_text(HEAD + row + row + "P-x,j,,,,,,,,,current\n", encoding="utf-8")
    with pytest.raises(InputError) as caught:
        read_ledger(path)
    assert [fault.place for fault in caught.value.faults] == [
        "row 3, column 'id'",
        "row 3, column 'key'",
        "row 4, column 'id'",
    ]


def test_the_bound_of_matching_is_a_row_marked_as_common_practice() -> None:
    row = shipped_book().need("ledger.match-within")
    assert (row.unit, row.clause.standard, row.how_known.value) == ("mm", "common practice", "memory")
    bound = shipped_book().number("ledger.match-within")
    assert assign_ids([ENTRY], [ENTRY.place], match_within_mm=bound).ids == {"w/d/1": "P-0001"}
