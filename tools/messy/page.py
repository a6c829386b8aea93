# SPDX-License-Identifier: Apache-2.0
"""The page on the second demo in the docs, made from the same parameters as the job."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from tools.messy.faults import EVERYWHERE, Schedule
from tools.messy.job import SETTLED
from tools.messy.revision import revision_b
from tools.messy.rows import BUILDING
from tools.messy.sheet import COLUMNS, FILE

__all__ = ["page"]

_HEAD = f"""\
# The second demo: a schedule and nothing else

Made by `python -m tools.messy --page docs/demo-messy.md`; a test holds this page against it.

`make demo` writes it to `build/messy` and checks it, after the first. **Everything in it is invented**: building, makers,
products, people and documents. The schedule of {BUILDING} is somebody else's workbook, as they come: a title, two rows
of headings with merged groups, units in the headings, notes and levels between the rows, headings printed again, hidden
rows and a hidden column, totals, formulas, levels merged downwards, and sizes, ratings and words in every spelling of
the trade. No model, no evidence, no sheet of wall types.

```
build/messy/job/           the job: brattice.toml, schedule/{FILE} and its mapping
build/messy/revision-b/    the same schedule, one revision later
build/messy/truth/         what each row means, what a check has to find, what revision B changes
```

`python -m tools.messy --returned JOB PARTY FILE` fills in the sheet of queries of a party (`services-designer`) as the
dampers were designed, to be taken by `brattice answers`.
"""


def _table(headings: tuple[str, ...], rows: Sequence[tuple[str, ...]]) -> list[str]:
    lines = [headings, tuple("---" for _ in headings), *rows]
    return [f"| {' | '.join(row)} |" for row in lines]


def page(plan: Schedule) -> str:
    """The page as markdown."""
    names = {at: row.facts["reference"] or "(none)" for at, row in plan.rows.items()}
    faults = [
        (
            str(number),
            fault.title,
            fault.source,
            ", ".join(names[at] for at in fault.at),
            ", ".join(f"`{code}`" for code in sorted(fault.codes)) or "nothing open for it",
        )
        for number, fault in enumerate(plan.faults, 1)
    ]
    columns = [
        (column.joined, f"`{column.key}`" if column.key else "kept as text", "yes" if column.joined in SETTLED else "")
        for column in COLUMNS
    ]
    changes = Counter(one.what for one in revision_b(plan).changes)
    lines = [
        _HEAD,
        "## The columns",
        "",
        *_table(("heading", "read as", "settled by hand"), columns),
        "",
        f"## The {len(plan.rows)} rows and their {len(plan.faults)} planted faults",
        "",
        "Every damper has " + " and ".join(f"`{code}`" for code in EVERYWHERE) + ": nothing is loaded to judge it by.",
        "Beside these, a check finds what stands here, no more and no less. The numbers are those of the trade handbook",
        "that the project was built from.",
        "",
        *_table(("no.", "what was planted", "handbook row or field case", "where", "what has to be found"), faults),
        "",
        "## Revision B",
        "",
        ", ".join(f"{count} {what}" for what, count in sorted(changes.items()))
        + "; `truth/revision-b.csv` lists them. The same mapping reads it.",
    ]
    return "\n".join(lines) + "\n"
