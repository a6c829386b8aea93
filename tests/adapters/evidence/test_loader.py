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


NEWER = EXAMPLE.replace("HV-10 RW mortar", "HV-10 RW mortar D").replace("HV-10 FW batt", "HV-10 FW batt D")
NEWER = NEWER.replace('revision = "C"\nissued = 2024-03-01', 'revision = "D"\nissued = 2025-03-01')


def others(root: Path) -> dict[str, list[str]]:
    found, _ = load_evidence(root, ["."], STEPS)
    return {item.id: [document.revision for document in item.other_revisions] for item in found}


def test_a_newer_revision_in_another_file_is_known_of(tmp_path: Path) -> None:
    (tmp_path / "a.toml").write_text(EXAMPLE, "utf-8")
    (tmp_path / "b.toml").write_text(NEWER, "utf-8")
    assert others(tmp_path) == {
        "HV-10 FW batt": ["D"],
        "HV-10 FW batt D": ["C"],
        "HV-10 RW mortar": ["D"],
        "HV-10 RW mortar D": ["C"],
    }


@pytest.mark.parametrize("elsewhere", [False, True])
def test_a_newer_revision_that_no_installation_rests_on_is_known_of(tmp_path: Path, elsewhere: bool) -> None:
    start = NEWER.index("[[document]]")
    newer = NEWER[start : NEWER.index("[[installation]]")].replace("hv10-dop", "hv10-dop-d")
    if elsewhere:
        (tmp_path / "a.toml").write_text(EXAMPLE, "utf-8")
        other = OTHER.replace("DoP HV-10/07", "DoP HV-11/01")
        (tmp_path / "b.toml").write_text(other.replace("[[installation]]", newer + "\n[[installation]]", 1), "utf-8")
    else:
        text = EXAMPLE.replace("[[installation]]", newer + "\n[[installation]]", 1)
        (tmp_path / "a.toml").write_text(text, "utf-8")
    found = others(tmp_path)
    assert found["HV-10 FW batt"] == found["HV-10 RW mortar"] == ["D"]
    if elsewhere:
        assert found["HV-11 FW batt"] == found["HV-11 RW mortar"] == []
