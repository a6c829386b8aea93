# SPDX-License-Identifier: Apache-2.0
"""What to settle first: missing facts of one kind together, ranked by how many penetrations get an answer."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from brattice.findings import Missing
from brattice.usecases.combine import SOURCES
from brattice.usecases.facts import label_of
from brattice.usecases.report_model import PenetrationReport, SettleFirst
from brattice.usecases.states import PenetrationState

__all__ = ["rank_missing"]

_NAMED = 8
_OF_MODELS = {
    "model-rating": "What {} rating texts of the models mean, in minutes and criteria",
    "model-wall-type": "Which wall types of the sheet {} type names of the models are",
}
"""Keys that name a text of a model: one answer in the job file settles every place where the models say it."""


def _kind(missing: Missing) -> tuple[str, str, str]:
    """What makes two missing facts one question: the same field of the same kind of thing, asked of the same party."""
    head, *_, tail = missing.key.removesuffix(SOURCES).split("/")
    if head in _OF_MODELS:  # what follows is a text of a model, which may hold anything
        return head, "", str(missing.ask)
    if missing.key.endswith(SOURCES):
        tail = f"right {tail}"
    return head, tail if head != tail else "", str(missing.ask)


def _subject(missing: Missing) -> str:
    head, _, rest = missing.key.partition("/")
    if head in _OF_MODELS:
        return rest
    parts = missing.key.removesuffix(SOURCES).split("/")
    return "/".join(parts[1:-1]) if len(parts) > 2 else parts[-1]


def _text(group: Sequence[Missing]) -> str:
    if len(group) == 1:
        return group[0].text
    head, tail, _ = _kind(group[0])
    names = sorted({_subject(item) for item in group})
    shown = ", ".join(names[:_NAMED]) + (f" and {len(names) - _NAMED} more" if len(names) > _NAMED else "")
    if head == "place":
        question = group[0].text.partition("?")[0]
        return f"{question}? ({len(group)} places)"
    if head in _OF_MODELS:
        return f"{_OF_MODELS[head].format(len(names))}: {shown}"
    if (head, tail) == ("schedule", "tie"):
        return f"Which places of the models {len(names)} rows of the schedules mean: {shown}"
    things = {"wall-type": "wall types", "penetration": "penetrations"}
    kind = things.get(head, f"{head.replace('-', ' ')}s")
    asked = {item.text.replace(_subject(item), "{}", 1) for item in group}
    if len(asked) == 1 and (question := asked.pop()).endswith(" at {}"):
        return f"{question.removesuffix('{}')}{len(names)} {kind}: {shown}"
    if tail == "separation-fill":
        return f"What lies between {len(names)} pairs of penetrations, wall or batt: {shown}"
    return f"The {label_of(tail.replace('-', '_')) or 'facts'} of {len(names)} {kind}: {shown}"


def rank_missing(reports: Iterable[PenetrationReport]) -> tuple[SettleFirst, ...]:
    """Missing facts grouped by kind, the one that gives most penetrations an answer first.

    A group unlocks a penetration when nothing outside the group is missing there and nothing there is known to fail.
    """
    held: dict[tuple[str, str, str], dict[Missing, set[str]]] = {}
    missing_of: dict[str, set[tuple[str, str, str]]] = {}
    waiting: set[str] = set()
    for report in reports:
        name = report.penetration.id
        if report.state is PenetrationState.NOT_ENOUGH_KNOWN:
            waiting.add(name)
        for query in report.queries:
            kind = _kind(query.missing)
            held.setdefault(kind, {}).setdefault(query.missing, set()).add(name)
            missing_of.setdefault(name, set()).add(kind)
    lines = []
    for kind, group in held.items():
        ids = set().union(*group.values())
        unlocks = sorted(name for name in ids & waiting if missing_of[name] == {kind})
        facts = sorted(group)
        lines.append(
            SettleFirst(
                _text(facts), str(facts[0].ask), tuple(f.key for f in facts), tuple(unlocks), tuple(sorted(ids))
            )
        )
    return tuple(sorted(lines, key=lambda line: (-len(line.unlocks), -len(line.holds_up), line.text, line.keys)))
