# SPDX-License-Identifier: Apache-2.0
"""Write the tables of columns into docs/schedule.md from the lists that templates and reading use."""

from __future__ import annotations

import re
from pathlib import Path

from brattice.adapters.sheets import SCHEDULE, WALL_TYPES
from brattice.adapters.workbook.table import columns_markdown

PAGE = Path(__file__).parents[1] / "docs" / "schedule.md"


def with_tables(text: str) -> str:
    """The page with both tables as they are now."""
    for name, spec in (("schedule", SCHEDULE), ("wall types", WALL_TYPES)):
        head = f"<!-- columns: {name} -->\n"
        pattern = re.compile(re.escape(head) + r".*?<!-- end -->", re.S)
        text = pattern.sub(lambda _, h=head, s=spec: f"{h}\n{columns_markdown(s)}\n<!-- end -->", text)
    return text


if __name__ == "__main__":
    PAGE.write_text(with_tables(PAGE.read_text("utf-8")), encoding="utf-8")
