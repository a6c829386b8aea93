# SPDX-License-Identifier: Apache-2.0
"""Each fragment of the changelog says whose judgments change, so that the tool can join them into a version."""

from pathlib import Path

import pytest

from tools.changelog import fragments

FOLDER = Path(__file__).resolve().parents[2] / "changelog.d"


def test_each_fragment_can_be_joined() -> None:
    """Right after a version there may be none; then there is nothing to join."""
    names = [path.stem for path in sorted(FOLDER.glob("*.md"))]
    assert [name for name, _, _ in fragments(FOLDER)] == names


@pytest.mark.parametrize("text", ["", "Prose alone.\n", "judgments: some change\n\nProse.\n", "judgments: none\n\n"])
def test_a_fragment_that_does_not_say_is_refused(tmp_path: Path, text: str) -> None:
    (tmp_path / "thing.md").write_text(text, encoding="utf-8")
    with pytest.raises(SystemExit, match=r"thing\.md: first line must be"):
        fragments(tmp_path)
