# SPDX-License-Identifier: Apache-2.0
"""What is true of the schedule by construction: values, findings and changes, as tables."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence
from typing import Any

from tools.messy.faults import Schedule
from tools.messy.revision import Change
from tools.messy.rows import Meant
from tools.messy.sheet import COLUMNS, Placed

__all__ = ["changes_csv", "findings_csv", "value_words", "values_csv"]

KEYS = tuple(column.key for column in COLUMNS if column.key)


def value_words(key: str, value: Any) -> str:
    """A meaning as text; "" where nothing is stated."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if key == "rating":
        integrity, insulation = value
        return f"integrity {integrity}, insulation {insulation or 0}"
    if key.endswith("_size"):
        across, up = value
        return f"diameter {across:g}" if up is None else f"{across:g} x {up:g}"
    if isinstance(value, frozenset | tuple):
        return "; ".join(sorted(value))
    return f"{value:g}" if isinstance(value, float) else str(value)


def _csv(headings: tuple[str, ...], rows: Iterable[tuple[str, ...]]) -> str:
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(headings)
    writer.writerows(rows)
    return out.getvalue()


def values_csv(placed: Sequence[Placed]) -> str:
    """What each row means, one column a key; an empty cell says that the row states nothing for certain."""
    return _csv(
        ("sheet row", *KEYS),
        ((str(item.number), *(value_words(key, item.row.facts.get(key)) for key in KEYS)) for item in placed),
    )


def findings_csv(plan: Schedule, placed: Sequence[Placed]) -> str:
    """The findings that a check has to make."""
    at: dict[tuple[int, int], tuple[int, Meant]] = {
        (item.row.level, item.row.slot): (item.number, item.row) for item in placed
    }
    rows = [
        (number, row.facts["reference"] or "", one.code, "yes" if one.open else "no")
        for one in plan.expected
        for number, row in [at[one.at]]
    ]
    return _csv(("sheet row", "reference", "code", "open"), ((str(number), *rest) for number, *rest in sorted(rows)))


def changes_csv(changes: Sequence[Change]) -> str:
    """What revision B changes."""
    return _csv(
        ("what", "reference in A", "reference in B", "key", "value in A", "value in B"),
        (
            (one.what, one.before, one.after, one.key, value_words(one.key, one.old), value_words(one.key, one.new))
            for one in changes
        ),
    )
