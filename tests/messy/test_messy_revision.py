# SPDX-License-Identifier: Apache-2.0
"""Revision B of the second demo against revision A: the changes that its maker lists, no more and no fewer."""

import shutil
from pathlib import Path

from brattice.cli.reconcile import reconcile_of
from tests.messy.conftest import MessyJob
from tools.messy.revision import revision_b
from tools.messy.sheet import FILE, workbook


def quiet(_text: str) -> None:
    return None


def test_what_revision_b_changes_is_found_exactly(messy_job: MessyJob, tmp_path: Path) -> None:
    later = revision_b(messy_job.plan)
    job, earlier = tmp_path / "job", tmp_path / FILE
    shutil.copytree(messy_job.folder, job)
    shutil.copy(job / "schedule" / FILE, earlier)
    (job / "schedule" / FILE).write_bytes(workbook(later.rows, "B")[0])
    result = reconcile_of(job, quiet, before=earlier)

    found = {("removed", item.entry.name, "", "") for item in result.only_one}
    found |= {("added", "", item.entry.name, "") for item in result.only_other}
    for pair in result.matched:
        for item in pair.facts:
            what = {"reference": "renamed", "duct_size": "resized"}.get(item.field, "changed")
            found.add((what, pair.one.reference, pair.other.reference, item.field))
    assert found == {(item.what, item.before, item.after, item.key) for item in later.changes}
    assert result.proposed == ()
    # by construction a running number and what hangs on it is another in rows after the first that was added
    kept = {item.field for pair in result.matched for item in pair.differences if item.is_kept_text}
    assert kept == {"column No.", "column Date req'd", "column Rate"}


def test_revision_a_against_itself_differs_in_nothing(messy_job: MessyJob) -> None:
    result = reconcile_of(messy_job.folder, quiet, before=messy_job.folder / "schedule" / FILE)
    assert not result.something_differs
    assert len(result.matched) == len(messy_job.plan.rows)


def test_without_a_model_every_row_stands_alone_and_that_is_said(messy_job: MessyJob) -> None:
    result = reconcile_of(messy_job.folder, quiet)
    assert len(result.only_one) == len(messy_job.plan.rows)
    assert "no models" in result.notes[0]
