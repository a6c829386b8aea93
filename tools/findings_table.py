# SPDX-License-Identifier: Apache-2.0
"""Writes docs/findings.md from the tables of checks that the rooms keep; a test compares the two."""

from pathlib import Path

from brattice.details.codes import CODES as DETAILS
from brattice.evidence.codes import CODES as EVIDENCE
from brattice.register.codes import CODES as REGISTER
from brattice.requirements.codes import CODES as REQUIREMENTS
from brattice.usecases.codes import CODES as USECASES

ROOT = Path(__file__).resolve().parents[1]

HEAD = """# Findings

A finding code says which check came out so, and how. Nothing has to be learnt by heart: `seal-fails` is the check of the seal, failed.

| ending | meaning | open |
| --- | --- | --- |
| `-fails` | the check failed, and no change named in the report cures it within the same product, barrier and duct | yes |
| `-change` | the check failed, and a named change cures it | yes |
| `-unknown` | a fact is missing; each has a query with an addressee | yes |
| `-note` | to be shown; nothing is open | no |

A finding that an accepted deviation takes up stays in the list and is no longer open. A missing fact can't be accepted as a deviation.

The checks, by the room that makes them, and whom a question goes to first (the contract decides):
"""


def text() -> str:
    """The whole page."""
    parts = [HEAD]
    rooms = (
        ("What the code asks", REQUIREMENTS),
        ("What was tested", EVIDENCE),
        ("Openings", DETAILS),
        ("What people say in the tracker", REGISTER),
        ("Sources and decisions", USECASES),
    )
    for title, codes in rooms:
        lines = [f"| `{item.code}` | {item.meaning} | {item.ask} |" for item in sorted(codes)]
        parts.append(
            f"\n## {title}\n\n| check | passes when | asked of |\n| --- | --- | --- |\n" + "\n".join(lines) + "\n"
        )
    return "".join(parts)


if __name__ == "__main__":
    (ROOT / "docs" / "findings.md").write_text(text(), "utf-8")
