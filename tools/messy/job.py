# SPDX-License-Identifier: Apache-2.0
"""The job folder: the contractor's schedule, its mapping as proposed and settled by hand, and `brattice.toml`."""

from __future__ import annotations

from pathlib import Path

from brattice.adapters.foreign import propose
from brattice.adapters.rows import shipped_book
from brattice.adapters.workbook import read_table_file
from brattice.classes import ClassSteps
from tools.messy.faults import Schedule
from tools.messy.rows import BUILDING
from tools.messy.sheet import FILE, Placed, workbook

__all__ = ["SETTLED", "settled", "write_job"]

SETTLED: dict[str, tuple[str, ...]] = {
    "Side 1": ('key = "space_a"',),
    "Side 2": ('key = "space_b"',),
    "Opening (WxH) mm": ('key = "framed_size"', 'unit = "mm"', 'order = "width-height"'),
    "Hangers / No. of rods": ('key = "rod_count"',),
    "Hangers / Rod length (m)": ('key = "rod_length_mm"', 'unit = "m"'),
    "Controls / Voltage": ('key = "voltage"',),
    "Controls / Fail position": ('key = "fail_position"',),
}
"""What a person settles in the mapping: heading to the lines of its table."""

_TOML = """\
# The second demo: a schedule of somebody else and nothing more. The building, its people, makers, products and
# documents are invented.
schema = 1
name = "{building}"
jurisdiction = "England"
edition = "ADB 2019 with amendments to 2025"
as_of = 2026-03-02
purpose = "non-residential"
invented = true

schedules = ["schedule/{file}"]
"""


def settled(proposal: str) -> str:
    """A proposed mapping with what a person has to say; a heading that is no longer left open is our own fault."""
    text = proposal
    for heading, lines in SETTLED.items():
        kept = f'  "{heading}",\n'
        if kept not in text:
            raise AssertionError(f"{heading!r} is not left to settle")
        text = text.replace(kept, "")
        text += "\n".join(["", "# settled by hand", "[[column]]", f'heading = "{heading}"', *lines, ""])
    return text


def write_job(plan: Schedule, folder: Path) -> tuple[Placed, ...]:
    """Write the whole job folder; where each row stands in the sheet."""
    (folder / "schedule").mkdir(parents=True, exist_ok=True)
    data, placed = workbook(list(plan.rows.values()), "A")
    path = folder / "schedule" / FILE
    path.write_bytes(data)
    (folder / "brattice.toml").write_text(_TOML.format(building=BUILDING, file=FILE), encoding="utf-8", newline="\n")
    proposal = propose(read_table_file(path, file=FILE), ClassSteps.from_book(shipped_book()))
    mapping = path.with_suffix(".mapping.toml")
    mapping.write_text(settled(proposal.text()), encoding="utf-8", newline="\n")
    return placed
