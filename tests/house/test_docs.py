# SPDX-License-Identifier: Apache-2.0
"""The docs are held against the program: commands, finding codes, states, links."""

import re
from pathlib import Path

import pytest
import typer.main

from brattice.cli.job_words import ALL_CODES
from brattice.cli.main import app
from brattice.register.codes import CODES as REGISTER
from brattice.register.stages import STAGES as STAGES_OF_THE_JOB
from brattice.usecases.states import STATES
from tools.findings_table import text as findings_page

ROOT = Path(__file__).resolve().parents[2]
PAGES = sorted([*ROOT.glob("*.md"), *ROOT.glob("docs/**/*.md")])


def commands() -> dict[str, str]:
    group = typer.main.get_command(app)
    return {name: (item.help or "") for name, item in group.commands.items()}  # type: ignore[attr-defined]


def test_every_command_is_in_the_readme_and_says_what_it_does() -> None:
    readme = (ROOT / "README.md").read_text("utf-8")
    assert set(commands()) == set(re.findall(r"`brattice ([a-z-]+)", readme))
    assert [name for name, text in commands().items() if not text.strip()] == []


def test_the_page_of_findings_is_what_the_rooms_say() -> None:
    assert (ROOT / "docs" / "findings.md").read_text("utf-8") == findings_page()


def test_a_check_has_one_meaning() -> None:
    names = [spec.code for spec in ALL_CODES]
    assert sorted(set(names)) == sorted(names)
    assert [name for name in names if not re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", name)] == []


def test_every_state_is_explained_in_the_docs() -> None:
    page = (ROOT / "docs" / "states.md").read_text("utf-8")
    for spec in STATES:
        assert f"{spec.state}" in page


def test_every_stage_and_what_is_shown_of_it_stand_on_the_trackers_page() -> None:
    page = (ROOT / "docs" / "tracker.md").read_text("utf-8")
    rows = re.findall(r"^\| ([a-z ]+) \| ([A-Z].*) \|$", page, re.M)
    assert rows == [(str(item.stage), item.meaning) for item in STAGES_OF_THE_JOB]
    assert set(re.findall(r"^\| `(stage-[a-z-]+)-fails`", page, re.M)) == {spec.code for spec in REGISTER}


@pytest.mark.parametrize("page", PAGES, ids=lambda page: str(page.relative_to(ROOT)))
def test_links_between_pages_lead_somewhere(page: Path) -> None:
    text = page.read_text("utf-8")
    broken = [
        target
        for target in re.findall(r"\]\(([^)#]+)(?:#[^)]*)?\)", text)
        if not target.startswith("mailto:") and not (page.parent / target).exists()
    ]
    assert broken == []


def test_the_job_stands_at_the_top_of_the_readme_in_one_paragraph() -> None:
    readme = (ROOT / "README.md").read_text("utf-8")
    first = readme.split("\n\n")[1]
    assert "\n" not in first
    assert "damper" in first
