# SPDX-License-Identifier: Apache-2.0
"""The record's file: what is written is read again, and whatever somebody changed by hand is refused with its place."""

import csv
import io
import json
import tempfile
from datetime import date
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from brattice.adapters.tracker import TRACKER_COLUMNS, read_tracker, save_tracker, tracker_text
from brattice.errors import InputError
from brattice.register.stages import Remark, Stage, StageEvent, StageStep, spec_of
from tests.register.said import back, day, said

FIRST = said(Stage.ORDERED, day(9), "B. Buyer (invented)", facts={"damper size": "600 × 400"})
EVENTS = (FIRST, said(Remark.ZONE, None, text="East core"), back(FIRST))


def written(folder: Path, events: tuple[StageEvent, ...] = EVENTS) -> Path:
    path = folder / "tracker.csv"
    assert save_tracker(path, events)
    return path


def changed(path: Path, row: int, column: str, value: str) -> Path:
    """The file with one cell changed; row 1 holds the headings."""
    rows = list(csv.reader(io.StringIO(path.read_text("utf-8"))))
    rows[row - 1][TRACKER_COLUMNS.index(column)] = value
    out = io.StringIO(newline="")
    csv.writer(out, lineterminator="\n").writerows(rows)
    path.write_text(out.getvalue(), "utf-8")
    return path


def test_what_is_written_is_read_again(tmp_path: Path) -> None:
    path = written(tmp_path)
    assert read_tracker(path) == EVENTS
    assert not save_tracker(path, EVENTS)  # nothing changed, nothing written
    assert read_tracker(tmp_path / "none.csv") == ()
    assert not save_tracker(tmp_path / "none.csv", ())
    assert not (tmp_path / "none.csv").exists()


texts = st.text(max_size=20)
names = st.sampled_from(["damper size", "wall type", "duct size", "barrier thickness"])


@given(st.sampled_from([*Stage]), st.dates(), texts, texts, st.dictionaries(names, texts.filter(bool)))
def test_any_text_comes_back_as_it_was(stage: Stage, on: date, who: str, text: str, facts: dict[str, str]) -> None:
    named = {name.value for name in spec_of(stage).rests_on}
    rested = tuple(sorted((name, value) for name, value in facts.items() if name in named))
    event = StageEvent("P-0001", stage, StageStep.SAID, day(1), on, who, text, rested)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "tracker.csv"
        save_tracker(path, [event])
        assert read_tracker(path) == (event,)


@pytest.mark.parametrize(
    ("row", "column", "value", "expected"),
    [
        (2, "id", "7", "an id like P-0012"),
        (2, "about", "painted", "one of: approved, ordered"),
        (2, "step", "gone", "one of: said, taken back"),
        (2, "on", "9.3.2026", "a date like 2026-03-01"),
        (2, "taken", "", "a date like 2026-03-01"),
        (2, "replaces", "E-12", "codes of entries"),
        (2, "rests_on", "{", "facts by name"),
        (2, "rests_on", json.dumps({"colour": "red"}), "facts by name"),
        (2, "rests_on", json.dumps({"damper size": 600}), "facts by name"),
        (2, "rests_on", json.dumps({"damper size": "600"}), "the code of what this row says"),
        (2, "on", "2026-03-10", "the code of what this row says"),
        (2, "who", "C. Other", "the code of what this row says"),
        (2, "entry", "E-000000000000", "the code of what this row says"),
        (3, "text", "", "a text"),
        (3, "who", "C. Other", "nothing here"),
        (3, "on", "2026-03-10", "nothing here"),
        (4, "on", "2026-03-10", "nothing here"),
    ],
)
def test_a_cell_that_somebody_changed_is_refused_with_its_place(
    tmp_path: Path, row: int, column: str, value: str, expected: str
) -> None:
    path = changed(written(tmp_path), row, column, value)
    with pytest.raises(InputError) as caught:
        read_tracker(path)
    faults = [fault for fault in caught.value.faults if f"row {row}" in fault.place]
    assert any(expected in fault.expected for fault in faults)
    assert all("column" in fault.place for fault in faults)


def test_rows_twice_or_gone_and_foreign_headings_are_refused(tmp_path: Path) -> None:
    lines = tracker_text(EVENTS).splitlines()
    spoilt = {
        "one twice": [*lines, lines[1]],
        "one that takes the place of what is gone": [lines[0], lines[3]],
        "foreign headings": ["entry,id", *lines[1:]],
        "more cells than headings": [lines[0], f"{lines[1]},more"],
    }
    for number, text in enumerate(spoilt.values()):
        path = tmp_path / f"{number}.csv"
        path.write_text("\n".join(text) + "\n", "utf-8")
        with pytest.raises(InputError):
            read_tracker(path)


def test_faults_of_several_rows_come_at_once(tmp_path: Path) -> None:
    path = changed(changed(written(tmp_path), 2, "who", "x"), 3, "id", "x")
    with pytest.raises(InputError) as caught:
        read_tracker(path)
    assert {fault.place for fault in caught.value.faults} == {"row 2, column 'entry'", "row 3, column 'id'"}
