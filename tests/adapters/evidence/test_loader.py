# SPDX-License-Identifier: Apache-2.0
from __future__ import annotations

from pathlib import Path

import pytest

from brattice.adapters.evidence import load_evidence
from brattice.adapters.evidence.loader import LARGEST_TOML
from brattice.errors import InputError
from tests.adapters.evidence.test_xlsx_reader import EXAMPLE, filled, rows
from tests.helpers.judging import STEPS

OTHER = EXAMPLE.replace("HV-10 RW mortar", "HV-11 RW mortar").replace("HV-10 FW batt", "HV-11 FW batt")


def faults(root: Path, *entries: str) -> list[str]:
    with pytest.raises(InputError) as caught:
        load_evidence(root, entries, STEPS)
    return [str(fault) for fault in caught.value.faults]


def test_all_files_of_folders_are_read_in_any_order(tmp_path: Path) -> None:
    (tmp_path / "evidence" / "foss").mkdir(parents=True)
    (tmp_path / "evidence" / "foss" / "b.toml").write_text(OTHER, "utf-8")
    filled(tmp_path / "evidence" / "a.xlsx", *rows())
    (tmp_path / "evidence" / "DoP.pdf").write_bytes(b"%PDF")
    (tmp_path / "evidence" / "~$a.xlsx").write_bytes(b"lock file of a spreadsheet program")
    (tmp_path / "evidence" / ".b.toml.swp.toml").write_text("x", "utf-8")
    found, files = load_evidence(tmp_path, ["evidence"], STEPS)
    assert [item.id for item in found] == ["HV-10 FW batt", "HV-10 RW mortar", "HV-11 FW batt", "HV-11 RW mortar"]
    assert files == ("evidence/a.xlsx", "evidence/foss/b.toml")
    assert {item.origin.file for item in found} == set(files)
    again = load_evidence(tmp_path, ["evidence/foss/b.toml", "evidence", "evidence/foss"], STEPS)
    assert again == (found, files)


def test_nothing_named_is_no_evidence(tmp_path: Path) -> None:
    assert load_evidence(tmp_path, [], STEPS) == ((), ())


def test_an_id_stands_once_in_all_files(tmp_path: Path) -> None:
    (tmp_path / "a.toml").write_text(EXAMPLE, "utf-8")
    (tmp_path / "b.toml").write_text(EXAMPLE.replace("HV-10 FW batt", "HV-11 FW batt"), "utf-8")
    assert faults(tmp_path, "a.toml", "b.toml") == [
        (
            "b.toml: installation HV-10 RW mortar: found 'HV-10 RW mortar' again (first in a.toml, installation HV-10 "
            "RW mortar); expected each installation once in all evidence"
        )
    ]


def test_every_fault_of_every_file_comes_at_once(tmp_path: Path) -> None:
    (tmp_path / "evidence").mkdir()
    (tmp_path / "empty").mkdir()
    (tmp_path / "evidence" / "a.toml").write_text("schema = 2", "utf-8")
    (tmp_path / "evidence" / "b.toml").write_bytes(b"schema = \xff")
    (tmp_path / "evidence" / "c.xlsx").write_bytes(b"no workbook")
    (tmp_path / "note.txt").write_text("x", "utf-8")
    found = faults(tmp_path, "evidence", "empty", "missing", "note.txt")
    assert {fault.partition(":")[0] for fault in found} == {
        "evidence/a.toml", "evidence/b.toml", "evidence/c.xlsx", "missing", "note.txt",
    }  # fmt: skip
    assert "evidence/b.toml: line 1: found bytes that are no UTF-8; expected a text in UTF-8" in found
    assert "missing: found no such file or folder; expected a folder of evidence, or one file of it" in found
    assert "note.txt: found a file that ends in '.txt'; expected a .toml or .xlsx file" in found


def test_a_file_that_is_too_large_is_refused(tmp_path: Path) -> None:
    (tmp_path / "a.toml").write_bytes(b"#" * (LARGEST_TOML + 1))
    assert faults(tmp_path, "a.toml") == ["a.toml: found a file of more than 20 MiB; expected a smaller one"]
