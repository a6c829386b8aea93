# SPDX-License-Identifier: Apache-2.0
"""Revision B of the schedule: rows added, removed, renamed, resized and moved, and the list of the changes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

from tools.messy.faults import Schedule
from tools.messy.rows import Meant

__all__ = ["Change", "Revision", "revision_b"]


@dataclass(frozen=True, order=True)
class Change:
    """One change: what it is, the reference before and after ("" for none), and for a changed value its key."""

    what: str
    before: str
    after: str
    key: str = ""
    old: Any = None
    new: Any = None


@dataclass(frozen=True)
class Revision:
    """The rows of a revision, and how they differ from the one before."""

    rows: tuple[Meant, ...]
    changes: tuple[Change, ...]


def _sound(plan: Schedule, kind: str) -> list[Meant]:
    faulty = {at for fault in plan.faults for at in fault.at}
    return [row for at, row in plan.rows.items() if at not in faulty and row.kind == kind]


def revision_b(plan: Schedule) -> Revision:
    """The next revision of a schedule. What is changed is sound in revision A."""
    rows = dict(plan.rows)
    changes: list[Change] = []

    def put(row: Meant, key: str, value: Any) -> None:
        rows[row.level, row.slot] = row.means(**{key: value})
        what = {"duct_size": "resized", "reference": "renamed"}.get(key, "changed")
        after = value if key == "reference" else row.reference
        changes.append(Change(what, row.reference, after, key, row.facts[key], value))

    corridors = _sound(plan, "corridor")
    for row in corridors[-2:]:
        del rows[row.level, row.slot]
        changes.append(Change("removed", row.reference, ""))
    for row in corridors[2:5]:
        put(row, "duct_size", (800, 400))
    shafts = _sound(plan, "shaft")
    put(shafts[0], "reference", "FD-R1-01")
    put(shafts[1], "reference", "FD-R1-02")
    compartments = _sound(plan, "compartment")
    put(compartments[0], "wall_type_code", "F60")
    put(compartments[1], "class_text", "E 60 (ve i↔o)")
    for number, like in enumerate(_sound(plan, "floor")[:3]):
        slot = 25 + number
        reference = f"FD-{like.level}-{slot + 1}"
        added = replace(like.means(reference=reference, words=f"G/{slot + 1}"), slot=slot)
        rows[added.level, slot] = added
        changes.append(Change("added", "", reference))
    ordered: Sequence[Meant] = [rows[at] for at in sorted(rows)]
    return Revision(tuple(ordered), tuple(sorted(changes, key=lambda one: (one.what, one.before, one.after))))
