# SPDX-License-Identifier: Apache-2.0
"""Without any evidence a check of the second demo finds what was planted, no more and no less.

What has to be found is written down in `tools.messy.faults` from the trade handbook's rules.
"""

import hashlib
import json
import re
import shutil
from pathlib import Path
from typing import Any

import pytest

from brattice.cli.main import main
from tests.messy.conftest import MessyJob
from tools.messy.__main__ import main as make
from tools.messy.faults import EVERYWHERE
from tools.messy.page import page
from tools.messy.returned import write_returned

ROOT = Path(__file__).resolve().parents[2]
Found = set[tuple[int, str, bool]]


def findings_of(folder: Path) -> dict[int, dict[str, Any]]:
    """Each penetration of a checked job by the number of its row in the sheet."""
    data = json.loads((folder / "out" / "findings.json").read_text("utf-8"))
    found = {}
    for item in data["penetrations"]:
        origins = [fact["origin"] for fact in item["facts"] if not fact["origin"].startswith("query ")]
        rows = {int(number) for origin in origins for number in re.findall(r"row (\d+)", origin)}
        (number,) = rows
        found[number] = item
    return found


@pytest.fixture(scope="module")
def checked(messy_job: MessyJob, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The job's folder after a check."""
    folder = tmp_path_factory.mktemp("checked") / "job"
    shutil.copytree(messy_job.folder, folder)
    assert main(["check", str(folder)]) == 1  # done, and something is open
    return folder


def planted(messy_job: MessyJob) -> Found:
    at = {(item.row.level, item.row.slot): item.number for item in messy_job.placed}
    return {(at[one.at], one.code, one.open) for one in messy_job.plan.expected}


def test_the_findings_of_the_planted_kinds_are_the_planted_ones(messy_job: MessyJob, checked: Path) -> None:
    expected = planted(messy_job)
    kinds = {code for _, code, _ in expected}
    listed = [
        (number, finding["code"], finding["open"])
        for number, item in findings_of(checked).items()
        for finding in item["findings"]
        if finding["code"] in kinds
    ]
    assert set(listed) == expected


def test_nothing_passes_and_all_else_says_that_no_evidence_is_loaded(messy_job: MessyJob, checked: Path) -> None:
    expected = planted(messy_job)
    for number, item in findings_of(checked).items():
        codes = {code for row, code, _ in expected if row == number}
        assert item["state"] in {"outside scope", "not enough known"}, number
        assert (item["state"] == "outside scope") is any(code.endswith("-fails") for code in codes), number
        if "evidence-loaded-unknown" in codes:
            text = next(one["text"] for one in item["findings"] if one["code"] == "evidence-loaded-unknown")
            assert text.startswith("No tested installation is loaded"), number


def test_every_kind_of_answer_without_evidence_is_planted(messy_job: MessyJob) -> None:
    kinds = {code for fault in messy_job.plan.faults for code in fault.codes}
    assert kinds >= {
        "damper-size-fails",
        "one-place-unknown",
        "cell-unknown",
        "scheduled-class-unknown",
        "scheduled-class-fails",
        "scheduled-actuation-fails",
        "damper-excluded-fails",
        "requirement-unknown",
        "opening-size-fails",
        "order-facts-unknown",
    }
    assert not kinds & set(EVERYWHERE)
    assert len({fault.title for fault in messy_job.plan.faults}) == len(messy_job.plan.faults) >= 35


def test_a_party_answers_and_the_answers_settle(messy_job: MessyJob, checked: Path, tmp_path: Path) -> None:
    folder = tmp_path / "job"
    shutil.copytree(checked, folder)
    assert main(["queries", str(folder)]) in {0, 1}
    back = tmp_path / "back.xlsx"
    assert write_returned(folder, "services-designer", back, most=6) == 6
    assert main(["answers", str(folder), str(back)]) in {0, 1}
    assert main(["check", str(folder)]) == 1
    before, after = findings_of(checked), findings_of(folder)
    codes = [
        {(number, one["code"]) for number, item in found.items() for one in item["findings"]}
        for found in (before, after)
    ]
    gone = codes[0] - codes[1]
    assert {code for _, code in gone} & {"scheduled-actuation-unknown", "damper-size-unknown"}
    assert len(gone) >= 5
    assert not {item["state"] for item in after.values()} - {"outside scope", "not enough known"}


def digests(folder: Path) -> dict[str, str]:
    return {
        str(path.relative_to(folder)): hashlib.sha256(path.read_bytes()).hexdigest()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def test_it_is_the_same_each_time_and_says_that_it_is_invented(tmp_path: Path) -> None:
    for name in ("one", "two"):
        make([str(tmp_path / name)])
    assert digests(tmp_path / "one") == digests(tmp_path / "two")
    assert len(digests(tmp_path / "one")) == 7
    assert "invented = true" in (tmp_path / "one" / "job" / "brattice.toml").read_text("utf-8")


def test_the_page_of_the_docs_is_up_to_date(messy_job: MessyJob) -> None:
    assert (ROOT / "docs" / "demo-messy.md").read_text("utf-8") == page(messy_job.plan), (
        "make it: python -m tools.messy --page docs/demo-messy.md"
    )
