# SPDX-License-Identifier: Apache-2.0
"""What the fire strategy adds to the code, and overrides that lower what is asked, at one penetration."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from brattice.building.penetration import Penetration
from brattice.building.words import plain
from brattice.findings import Fact, Known, Missing, Party
from brattice.requirements.requirement import Demand, LoweredRequirement, Rules

__all__ = ["Demanded", "Lowering", "demands_at", "document_name", "lowering_at"]


@dataclass(frozen=True)
class Demanded:
    """The demands that hold at a penetration, and those of which it can't be told, each with what is missing."""

    certain: tuple[Demand, ...]
    possible: tuple[tuple[Demand, Missing], ...]


@dataclass(frozen=True)
class Lowering:
    """The override that holds at a penetration (None: none does), and what is missing of those that do not hold."""

    override: LoweredRequirement | None
    missing: tuple[Missing, ...]


def document_name(document: str, revision: str) -> str:
    """A document with its revision as people write it."""
    return f"{document} revision {revision}" if revision else document


def _names(fact: Fact[str], names: Sequence[str]) -> bool | Missing:
    if not names:
        return True
    # Sheets and strategy write "Level 1" and "LEVEL 1" for one storey; a demand is never lost by its capitals.
    return plain(fact.value) in map(plain, names) if isinstance(fact, Known) else fact.missing


def _holds(demand: Demand, penetration: Penetration) -> bool | Missing:
    """Whether a demand speaks of a penetration, or the fact that would tell."""
    if demand.penetrations and penetration.id not in demand.penetrations:
        return False
    answers = (
        _names(penetration.location.storey, demand.storeys),
        _names(penetration.barrier.role, demand.roles),
        _names(penetration.barrier.wall_type_code, demand.wall_types),
    )
    if any(item is False for item in answers):
        return False
    return min((item for item in answers if isinstance(item, Missing)), default=True)


def demands_at(penetration: Penetration, rules: Rules) -> Demanded:
    """The job's demands that hold, or may hold, at a penetration; their order never matters."""
    ordered = sorted(rules.demands, key=lambda item: (item.document, item.revision, repr(item)))
    answers = [(item, _holds(item, penetration)) for item in ordered]
    return Demanded(
        tuple(item for item, answer in answers if answer is True),
        tuple((item, answer) for item, answer in answers if isinstance(answer, Missing)),
    )


def _incomplete(override: LoweredRequirement) -> Iterable[Missing]:
    name = override.document.strip() or "an override without a document"
    for field in ("person", "role", "document", "revision"):
        if not getattr(override, field).strip():
            yield Missing(
                f"lowered/{name}/{field}",
                f"The {field} behind the lowering of what is asked ({name}), which is not taken without it",
                Party.FIRE_ENGINEER,
            )
    if not override.class_text.strip() and override.actuation is None:
        yield Missing(
            f"lowered/{name}/class",
            f"What the override ({name}) lowers: it states neither class nor actuation",
            Party.FIRE_ENGINEER,
        )


def lowering_at(penetration: Penetration, rules: Rules) -> Lowering:
    """The one complete override that names a penetration; an incomplete one, or two that differ, lower nothing."""
    named = [item for item in rules.lowered if penetration.id in item.penetrations]
    missing = tuple(sorted({gap for item in named for gap in _incomplete(item)}))
    complete = {item for item in named if not tuple(_incomplete(item))}
    if len(complete) > 1:
        names = ", ".join(sorted(document_name(item.document, item.revision) for item in complete))
        which = Missing(
            f"penetration/{penetration.id}/lowered",
            f"Which of several overrides holds ({names}); none is taken until one is left",
            Party.FIRE_ENGINEER,
        )
        return Lowering(None, (*missing, which))
    return Lowering(next(iter(complete), None), missing)
