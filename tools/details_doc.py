# SPDX-License-Identifier: Apache-2.0
"""Writes the table of figures in docs/details.md from the table that the code makes them by; a test compares the two.

python -m tools.details_doc
"""

from __future__ import annotations

from pathlib import Path

from brattice.details.table import FIGURES

ROOT = Path(__file__).resolve().parents[1]
PAGE = ROOT / "docs" / "details.md"
MARK = "<!-- the table of figures; made by python -m tools.details_doc -->\n"


def table() -> str:
    """The table of figures as Markdown."""
    lines = ["| key | name | unit | formula | source rows | says |", "| --- | --- | --- | --- | --- | --- |"]
    for spec in FIGURES.values():
        rows = ", ".join(f"`{row}`" for row in (*spec.rows, *spec.more_rows))
        unit = spec.unit or "–"
        lines.append(f"| `{spec.key}` | {spec.name} | {unit} | {spec.formula} | {rows} | {spec.says} |")
    return "\n".join(lines) + "\n"


def with_table(page: str) -> str:
    """The page with its table made anew; raises ValueError where the page has no place for it."""
    head, mark, _ = page.partition(MARK)
    if not mark:
        raise ValueError(f"{PAGE} has no line {MARK!r}")
    return head + mark + table()


if __name__ == "__main__":
    PAGE.write_text(with_table(PAGE.read_text("utf-8")), "utf-8")
