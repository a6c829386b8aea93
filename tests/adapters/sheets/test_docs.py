# SPDX-License-Identifier: Apache-2.0
import re
from pathlib import Path

from pydantic import BaseModel

from brattice.adapters.evidence import PRODUCT_SHEETS
from brattice.adapters.project import schema
from brattice.adapters.rows import shipped_book
from brattice.adapters.sheets import SCHEDULE, WALL_TYPES
from brattice.adapters.workbook import Limits
from brattice.adapters.workbook.table import HEADING_ROWS, NOT_STATED, columns_markdown

DOCS = Path(__file__).parents[3] / "docs"


def test_the_tables_of_columns_are_those_of_the_program() -> None:
    page = (DOCS / "schedule.md").read_text("utf-8")
    evidence = (DOCS / "evidence.md").read_text("utf-8")
    for spec in PRODUCT_SHEETS:
        assert f"<!-- columns: {spec.sheet} -->\n\n{columns_markdown(spec)}" in evidence, "run tools/columns_doc.py"
    for name, spec in (("schedule", SCHEDULE), ("wall types", WALL_TYPES)):
        match = re.search(rf"<!-- columns: {name} -->\n(.*?)<!-- end -->", page, re.S)
        assert match is not None
        assert match.group(1).strip() == columns_markdown(spec).strip(), "run tools/columns_doc.py"
        assert page.count("| column | what goes in | expected |") > 2


def test_words_and_bounds_in_the_page_are_those_of_the_program() -> None:
    page = (DOCS / "schedule.md").read_text("utf-8")
    assert all(f"`{word}`" in page for word in NOT_STATED)
    limits = Limits()
    assert f"the top {HEADING_ROWS} rows" in page
    flat = " ".join(page.split())
    mebi = 1024 * 1024
    assert f"at most {limits.file_bytes // mebi} MiB, {limits.members:,} members" in flat
    assert f"{limits.inflated_bytes // mebi} MiB when unpacked" in flat
    assert f"a million cells, {limits.rows:,} rows" in flat
    assert limits.cells == 1_000_000


def test_every_key_of_the_job_file_is_in_its_page() -> None:
    page = (DOCS / "job-folder.md").read_text("utf-8")
    named = {text.strip("[]") for text in re.findall(r"`(\[*[a-z_0-9]+\]*)`", page)}
    for table in vars(schema).values():
        if isinstance(table, type) and issubclass(table, BaseModel):
            keys = {field.alias or name for name, field in table.model_fields.items()}
            assert keys <= named, (table.__name__, keys - named)


def test_the_bound_of_matching_in_the_page_is_that_of_the_row() -> None:
    page = " ".join((DOCS / "job-folder.md").read_text("utf-8").split())
    assert f"at most {shipped_book().number('ledger.match-within'):g} mm from where it was" in page
