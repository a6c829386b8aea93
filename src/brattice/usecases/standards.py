# SPDX-License-Identifier: Apache-2.0
"""Standard details over the issues of a job: which number each has, what its sheets say, which drawing applies where.

A group keeps its number while it lives; a number that was ever issued is never given to another group.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from brattice.details.detail import InstallationDetail, Standing
from brattice.findings import Known
from brattice.orders.words import size_of
from brattice.sketch.standard import StandardDetail, alike, standard_detail
from brattice.sketch.standard_sheets import used_key
from brattice.usecases.issuing import (
    Content,
    DocumentKind,
    Issue,
    IssuedDocument,
    IssuePlan,
    Revised,
    content_of_detail,
)

__all__ = [
    "NOT_DRAWN",
    "changes_of_use",
    "content_of_standard",
    "drawings_before",
    "drawings_of",
    "lines_changed",
    "members_of",
    "standards_of",
    "superseded_by",
]

NOT_DRAWN = "none"
"""The drawing of a penetration that is not drawn."""

_USED = used_key("")
_NUMBER = re.compile(r"S-([0-9]{2,6})")
_PLACE = frozenset({"storey", "place", "names"})
"""What a sketch says of its place; a standard detail says it in its lines."""


def _number(text: str) -> int:
    found = _NUMBER.fullmatch(text)
    return int(found[1]) if found else 0


def members_of(content: Content) -> tuple[str, ...]:
    """The permanent ids of the penetrations that a standard detail was issued for; () for any other document."""
    if content.kind is not DocumentKind.STANDARD:
        return ()
    return tuple(key.removeprefix(_USED) for key, _ in content.texts if key.startswith(_USED))


def _drawn(content: Content) -> dict[str, str]:
    """What a standard detail draws, whoever uses it."""
    return {key: text for key, text in content.texts if not key.startswith(_USED)}


def content_of_standard(standard: StandardDetail) -> Content:
    """Everything that the sheets of a standard detail say: what is drawn, and each line of where it is used."""
    code = standard.shown.penetration.barrier.wall_type_code
    wall = f" in {code.value}" if isinstance(code, Known) else ""
    content = content_of_detail(standard.shown, f"Standard detail, damper {size_of(standard.shown, 'damper')}{wall}")
    texts = [pair for pair in content.texts if pair[0] not in _PLACE]
    heads = "; ".join(heading for _, heading in standard.columns)
    texts.append(("columns", heads))
    texts += [(used_key(item.id), item.text) for item in standard.used]
    return replace(content, kind=DocumentKind.STANDARD, texts=tuple(texts))


def standards_of(details: Iterable[InstallationDetail], past: Issue | None) -> tuple[StandardDetail, ...]:
    """The standard details of a job with their numbers, by number, after the issue `past`.

    A number stays with the group that is still drawn as it was issued, else with the one that most of those came from
    whom it was issued for; every other group gets the next number that was never issued.
    """
    groups = alike(details)
    issued = [] if past is None else [item for item in past.documents if item.content.kind is DocumentKind.STANDARD]
    living = {item.content.number: item.content for item in issued if not item.withdrawn}
    pairs = []
    for place, group in enumerate(groups):
        ids = {item.id for item in group}
        said = _drawn(content_of_standard(standard_detail("", group)))
        for number, content in living.items():
            shared = len(ids & set(members_of(content)))
            if shared:
                pairs.append((said != _drawn(content), -shared, _number(number), place, number))
    numbers: dict[int, str] = {}
    for _, _, _, place, number in sorted(pairs):
        if place not in numbers and number not in numbers.values():
            numbers[place] = number
    last = max((_number(item.content.number) for item in issued), default=0)
    for place in range(len(groups)):
        if place not in numbers:
            last += 1
            numbers[place] = f"S-{last:02d}"
    made = (standard_detail(numbers[place], group) for place, group in enumerate(groups))
    return tuple(sorted(made, key=lambda item: _number(item.number)))


def drawings_of(details: Mapping[str, InstallationDetail], standards: Sequence[StandardDetail]) -> dict[str, str]:
    """The number of the drawing that applies to each penetration: its standard detail's, else its own; *none* where it
    is not drawn.
    """
    shared = {name: item.number for item in standards for name in item.ids}
    return {
        name: NOT_DRAWN if detail.standing is Standing.NOT_DRAWN else shared.get(name, name)
        for name, detail in details.items()
    }


def superseded_by(document: IssuedDocument, drawings: Mapping[str, str]) -> str:
    """The standard detail by which a sketch that was withdrawn is built now; "" where there is none."""
    number = document.content.number
    applies = drawings.get(number, NOT_DRAWN)
    is_own = document.content.kind is DocumentKind.SKETCH
    return applies if document.withdrawn and is_own and applies not in {NOT_DRAWN, number} else ""


def drawings_before(plan: IssuePlan) -> dict[str, str]:
    """The number of the drawing that applied to each penetration before an issue; those without one are left out."""
    past = [item.replaces for item in plan.revised if item.replaces is not None and not item.replaces.withdrawn]
    past += [*plan.standing, *(item for item in plan.withdrawn if item.issue == plan.number)]
    found: dict[str, str] = {}
    for item in past:
        content = item.content
        names = (content.number,) if content.kind is DocumentKind.SKETCH else members_of(content)
        found |= dict.fromkeys(names, content.number)
    return found


def lines_changed(revised: Revised) -> frozenset[str]:
    """The keys of lines of the table of where a standard detail is used that are new or say something else."""
    now = {key for key, _ in revised.content.texts}
    return frozenset(key for key in revised.changed if key.startswith(_USED) and key in now)


def changes_of_use(revised: Revised, drawings: Mapping[str, str], before: Mapping[str, str]) -> tuple[str, ...]:
    """Who joined a standard detail since its revision before, and who left and by which drawing that is built now."""
    past, number = revised.replaces, revised.content.number
    is_new = past is None or past.withdrawn
    was = () if past is None or is_new else members_of(past.content)
    now = members_of(revised.content)
    told = []
    for name in (item for item in now if item not in was):
        old = before.get(name, number)
        over = "" if old == number else "its own sheet" if old == name else old
        if over or not is_new:
            told.append(f"{name} joined{f'; {over} is superseded for it' if over else ''}.")
    for name in (item for item in was if item not in now):
        applies = drawings.get(name, NOT_DRAWN)
        where = {NOT_DRAWN: "it is not drawn now", name: "it has its own sheet now"}.get(applies)
        told.append(f"{name} left: {where or f'it is built by {applies} now'}.")
    return tuple(told)
