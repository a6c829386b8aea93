# SPDX-License-Identifier: Apache-2.0
"""Write the tables of columns into the docs from the lists that templates and reading use."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from brattice.adapters.evidence import PRODUCT_SHEETS
from brattice.adapters.sheets import SCHEDULE, WALL_TYPES
from brattice.adapters.workbook.table import TableSpec, columns_markdown

DOCS = Path(__file__).parents[1] / "docs"
PAGES: dict[str, tuple[tuple[str, TableSpec], ...]] = {
    "schedule.md": (("schedule", SCHEDULE), ("wall types", WALL_TYPES)),
    "evidence.md": tuple((f"{spec.sheet}", spec) for spec in PRODUCT_SHEETS),
}
"""The pages with tables, and the name under which each table stands in its page."""


def with_tables(text: str, specs: Iterable[tuple[str, TableSpec]]) -> str:
    """The page with its tables as they are now."""
    for name, spec in specs:
        head = f"<!-- columns: {name} -->\n"
        made = f"{head}\n{columns_markdown(spec)}\n<!-- end -->"
        before, _, rest = text.partition(head)
        text = before + made + rest.partition("<!-- end -->")[2]
    return text


if __name__ == "__main__":
    for page, specs in PAGES.items():
        (DOCS / page).write_text(with_tables((DOCS / page).read_text("utf-8"), specs), encoding="utf-8")
