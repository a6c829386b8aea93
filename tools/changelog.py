# SPDX-License-Identifier: Apache-2.0
"""Joins the fragments of changelog.d into CHANGELOG.md under a version and a date, and removes them."""

import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
KINDS = ("none", "stricter", "looser")


def fragments(folder: Path) -> list[tuple[str, str, str]]:
    """(name, whose judgments change, prose) of each fragment, sorted; a fragment without that line is refused."""
    found = []
    for path in sorted(folder.glob("*.md")):
        head, _, prose = path.read_text("utf-8").partition("\n")
        kind, _, whose = head.removeprefix("judgments:").strip().partition(" ")
        if not head.startswith("judgments:") or kind.rstrip(",") not in KINDS or not prose.strip():
            raise SystemExit(f"{path.name}: first line must be 'judgments: none|stricter|looser, whose', then prose")
        found.append((path.stem, f"{kind} {whose}".strip(), prose.strip()))
    return found


def main(version: str, on: str) -> None:
    """Write the new section on top of the changelog."""
    folder = ROOT / "changelog.d"
    items = fragments(folder)
    if not items:
        raise SystemExit("no fragments in changelog.d")
    section = "\n\n".join(f"### {name}\n\nJudgments: {whose}\n\n{prose}" for name, whose, prose in items)
    changelog = ROOT / "CHANGELOG.md"
    head, _, rest = changelog.read_text("utf-8").partition("\n## ")
    changelog.write_text(f"{head.rstrip()}\n\n## {version} ({on})\n\n{section}\n" + (f"\n## {rest}" if rest else ""))
    for path in folder.glob("*.md"):
        path.unlink()


if __name__ == "__main__":
    main(*sys.argv[1:3])
