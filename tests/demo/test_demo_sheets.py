# SPDX-License-Identifier: Apache-2.0
"""Every installation sheet of the demo, on both papers: nothing collides, and what is built by stands first."""

from collections import Counter
from pathlib import Path

import pytest

from brattice.cli.gather import standards_for
from brattice.cli.run import judge_folder
from brattice.details import InstallationDetail, Standing
from brattice.drawing.collide import HEAVY, sheet_collisions
from brattice.drawing.primitives import Pen, Text, flat
from brattice.sketch.installation import TitleFacts, installation_sheets
from brattice.usecases.detailing import details_of
from brattice.usecases.report_model import CAUTIONS

TITLE = TitleFacts("Invented job", "INV", CAUTIONS, "A", "2026-03-02", note="Invented data")
EVERY_LINE = HEAVY | {Pen.THIN, Pen.UNKNOWN, Pen.AXIS}


@pytest.fixture(scope="module")
def details(demo_job: Path) -> list[InstallationDetail]:
    judged = judge_folder(demo_job, lambda _: None)
    found = details_of(judged.report, judged.material, standards_for(judged.read.job).book)
    return [detail for detail in found.values() if detail.standing is not Standing.NOT_DRAWN]


@pytest.mark.slow
@pytest.mark.parametrize("paper", ["A3", "A4"])
def test_no_text_collides_and_every_step_and_hold_point_stands_on_the_first_sheet(
    details: list[InstallationDetail], paper: str
) -> None:
    found = []
    for detail in details:
        sheets = installation_sheets(detail, TITLE, paper=paper)
        for sheet in sheets:
            lines = EVERY_LINE if sheet.views else HEAVY
            found += [f"{detail.id}: {fault}" for fault in sheet_collisions(sheet, heavy=lines)]
        shown = [item.text for item in flat(sheets[0].drawing().items) if isinstance(item, Text)]
        wanted = Counter(f"HOLD: {step.hold}" for step in detail.steps if step.hold is not None)
        if Counter(text for text in shown if text.startswith("HOLD: ")) != wanted:
            found.append(f"{detail.id}: a hold point is not on the first sheet")
        if not {str(step.number) for step in detail.steps} <= set(shown):
            found.append(f"{detail.id}: a step is not on the first sheet")
    assert found == []
    assert len(details) >= 100
