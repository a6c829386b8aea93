# SPDX-License-Identifier: Apache-2.0
"""The folders of what was issued: written whole, chained, and held against their manifests."""

from __future__ import annotations

import hashlib
import json
from datetime import date
from pathlib import Path

import pytest

from brattice.adapters.issued import ISSUED, IssueRead, issue_folder, read_issues
from brattice.errors import InputError, OwnFault
from brattice.usecases.issuing import Content, DocumentKind, plan_issue

DAY = date(2026, 3, 2)


def content(number: str, text: str) -> Content:
    return Content(number, DocumentKind.SKETCH, number, "to build", (("figure/gap-left", text),))


def made(job: Path, *texts: str) -> IssueRead:
    """One more issue in the folder: a document for each text."""
    past = read_issues(job)
    last = past[-1] if past else None
    contents = [content(f"P-{number:04d}", text) for number, text in enumerate(texts, start=1)]
    issue = plan_issue(contents, None if last is None else last.issue, DAY).issue()
    with issue_folder(job, issue, job_name="A job", made_by="Brattice 0", previous=last) as folder:
        for item in issue.documents:
            if item.issue == issue.number and not item.withdrawn:
                folder.write(f"sketches/{item.content.number}.txt", item.content.texts[0][1].encode())
    return read_issues(job)[-1]


def test_what_was_issued_is_read_back(tmp_path: Path) -> None:
    made(tmp_path, "30 mm", "40 mm")
    made(tmp_path, "35 mm", "40 mm")
    one, two = read_issues(tmp_path)
    assert [item.content.texts for item in one.issue.documents] == [
        (("figure/gap-left", "30 mm"),),
        (("figure/gap-left", "40 mm"),),
    ]
    assert [(item.content.number, item.revision, item.issue) for item in two.issue.documents] == [
        ("P-0001", "B", "02"),
        ("P-0002", "A", "01"),
    ]
    assert (tmp_path / ISSUED / "01" / "sketches" / "P-0001.txt").read_text() == "30 mm"
    assert not (tmp_path / ISSUED / "02" / "sketches" / "P-0002.txt").exists()


def test_the_manifest_lists_every_file_by_its_hash_and_the_manifest_before(tmp_path: Path) -> None:
    made(tmp_path, "30 mm")
    made(tmp_path, "31 mm")
    folder = tmp_path / ISSUED / "02"
    manifest = json.loads((folder / "manifest.json").read_text())
    there = {path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_file()}
    assert {item["path"] for item in manifest["files"]} | {"manifest.json"} == there
    for item in manifest["files"]:
        data = (folder / item["path"]).read_bytes()
        assert item["sha256"] == hashlib.sha256(data).hexdigest()
        assert item["bytes"] == len(data)
    before = hashlib.sha256((tmp_path / ISSUED / "01" / "manifest.json").read_bytes()).hexdigest()
    assert manifest["previous"] == {"number": "01", "manifest_sha256": before}


def test_the_same_issue_has_the_same_bytes(tmp_path: Path) -> None:
    for name in ("a", "b"):
        (tmp_path / name).mkdir()
        made(tmp_path / name, "30 mm")
    one, other = ((tmp_path / name / ISSUED / "01" / "manifest.json").read_bytes() for name in ("a", "b"))
    assert one == other


def spoil_change(folder: Path) -> None:
    (folder / "sketches" / "P-0001.txt").write_text("29 mm")


def spoil_remove(folder: Path) -> None:
    (folder / "sketches" / "P-0001.txt").unlink()


def spoil_add(folder: Path) -> None:
    (folder / "sketches" / "P-0009.txt").write_text("mine")


def spoil_content(folder: Path) -> None:
    path = folder / "content.json"
    path.write_text(path.read_text().replace("30 mm", "29 mm"))


def spoil_link(folder: Path) -> None:
    path = folder / "sketches" / "P-0001.txt"
    aside = folder.parent.parent / "aside.txt"
    path.rename(aside)
    path.symlink_to(aside)


@pytest.mark.parametrize(
    ("spoil", "where", "found"),
    [
        (spoil_change, "issued/01/sketches/P-0001.txt", "changed after it was issued"),
        (spoil_remove, "issued/01/sketches/P-0001.txt", "a file that is gone"),
        (spoil_add, "issued/01/sketches/P-0009.txt", "a file that was not issued"),
        (spoil_content, "issued/01/content.json", "changed after it was issued"),
        (spoil_link, "issued/01/sketches/P-0001.txt", "changed after it was issued"),
    ],
)
def test_what_is_not_as_it_was_issued_is_found(tmp_path: Path, spoil, where: str, found: str) -> None:  # type: ignore[no-untyped-def]
    made(tmp_path, "30 mm")
    spoil(tmp_path / ISSUED / "01")
    with pytest.raises(InputError) as caught:
        read_issues(tmp_path)
    assert [(fault.file, found in fault.found) for fault in caught.value.faults] == [(where, True)]


def test_a_manifest_that_was_rewritten_breaks_the_chain(tmp_path: Path) -> None:
    made(tmp_path, "30 mm")
    made(tmp_path, "31 mm")
    path = tmp_path / ISSUED / "01" / "manifest.json"
    path.write_text(path.read_text().replace('"job": "A job"', '"job": "Another"'))
    with pytest.raises(InputError) as caught:
        read_issues(tmp_path)
    (fault,) = caught.value.faults
    assert fault.file == "issued/02/manifest.json"
    assert "issue 01 with another manifest" in fault.found


def test_a_gap_in_the_numbers_is_found(tmp_path: Path) -> None:
    made(tmp_path, "30 mm")
    made(tmp_path, "31 mm")
    (tmp_path / ISSUED / "01").rename(tmp_path / "aside")
    with pytest.raises(InputError, match="a gap in the numbers"):
        read_issues(tmp_path)


@pytest.mark.parametrize("text", ["", "{}", "[", '{"schema": 2}', "[" * 5000])
def test_a_manifest_that_says_nothing_sensible_is_a_fault_of_the_file(tmp_path: Path, text: str) -> None:
    made(tmp_path, "30 mm")
    (tmp_path / ISSUED / "01" / "manifest.json").write_text(text)
    with pytest.raises(InputError) as caught:
        read_issues(tmp_path)
    assert all(fault.file.startswith("issued/01") for fault in caught.value.faults)


def broken_off(job: Path) -> None:
    issue = plan_issue([content("P-0001", "30 mm")], None, DAY).issue()
    with issue_folder(job, issue, job_name="A job", made_by="Brattice 0", previous=None) as folder:
        folder.write("a.txt", b"a")
        raise RuntimeError("stop")


def test_nothing_half_written_stays_when_writing_fails(tmp_path: Path) -> None:
    with pytest.raises(RuntimeError, match="stop"):
        broken_off(tmp_path)
    assert list((tmp_path / ISSUED).iterdir()) == []
    assert read_issues(tmp_path) == ()


def test_an_issue_never_takes_the_place_of_another(tmp_path: Path) -> None:
    made(tmp_path, "30 mm")
    issue = plan_issue([content("P-0001", "31 mm")], None, DAY).issue()
    with (
        pytest.raises(InputError, match="an issue of that number"),
        issue_folder(tmp_path, issue, job_name="A job", made_by="Brattice 0", previous=None),
    ):
        pass
    assert (tmp_path / ISSUED / "01" / "sketches" / "P-0001.txt").read_text() == "30 mm"


@pytest.mark.parametrize("name", ["../a", "/a", "manifest.json", "content.json", "a\\b", ""])
def test_names_that_lead_elsewhere_are_refused(tmp_path: Path, name: str) -> None:
    issue = plan_issue([content("P-0001", "30 mm")], None, DAY).issue()
    with (
        pytest.raises(OwnFault),
        issue_folder(tmp_path, issue, job_name="A job", made_by="Brattice 0", previous=None) as folder,
    ):
        folder.write(name, b"")


def test_an_issue_that_is_a_link_is_refused(tmp_path: Path) -> None:
    (tmp_path / "job").mkdir()
    made(tmp_path / "job", "30 mm")
    (tmp_path / "job" / ISSUED / "01").rename(tmp_path / "elsewhere")
    (tmp_path / "job" / ISSUED / "01").symlink_to(tmp_path / "elsewhere")
    with pytest.raises(InputError) as told:
        read_issues(tmp_path / "job")
    assert [(fault.file, fault.found) for fault in told.value.faults] == [("issued/01", "a link")]


def test_what_a_run_left_that_was_stopped_hard_is_taken_away_and_nothing_else(tmp_path: Path) -> None:
    """A kill leaves no time to tidy; the next issue does, and half an issue never stands beside whole ones."""
    first = made(tmp_path, "30 mm")
    place = tmp_path / ISSUED
    left = place / "02.building-k3_a9xzq"
    (left / "sketches").mkdir(parents=True)
    (left / "sketches" / "P-0001-B.svg").write_text("half")
    theirs = [place / "02.building-notes by hand", place / "letters"]
    for folder in theirs:
        folder.mkdir()
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    link = place / "02.building-aaaaaaaa"
    link.symlink_to(elsewhere)
    assert read_issues(tmp_path) == (first,)
    made(tmp_path, "31 mm")
    assert not left.exists()
    assert all(folder.is_dir() for folder in (*theirs, elsewhere, link))
