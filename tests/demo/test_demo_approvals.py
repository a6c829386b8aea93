# SPDX-License-Identifier: Apache-2.0
"""The approvals of the demo are of what is submitted, but for the one that was planted to be of something older."""

from __future__ import annotations

from pathlib import Path

from brattice.cli.detailed import detail_job
from brattice.cli.run import judge_folder


def test_each_approval_is_of_the_content_that_is_submitted_but_the_planted_one(demo_job: Path) -> None:
    schedules = detail_job(judge_folder(demo_job, lambda _: None), lambda _: None).schedules
    decided = {(item.product, item.wall_type): item for item in schedules.submittals.items if item.decision is not None}
    void = {key: f"state content {item.content} in tools/demo/job.py" for key, item in decided.items() if item.void}
    assert set(void) == {("Quill Q90", "C250")}, void
    assert {key: item.in_force for key, item in decided.items()} == {
        ("Vane 60M", "F60"): "A",
        ("Vane 60M", "B140"): "A",
        ("Vane 60M", "S60"): "B",
        ("Vane 60R", "F60"): "B",
        ("Orlebek C4", "B140"): "C",
        ("Quill Q90", "C250"): "",
    }
    assert schedules.orders.lines
    held = [
        text
        for item in schedules.orders.held
        if item.product == "Quill Q90"
        for text in (reason.text for reason in item.reasons)
    ]
    assert any("not approved any more" in text and "given for content 51d0-9c3e" in text for text in held)
