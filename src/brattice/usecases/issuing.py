# SPDX-License-Identifier: Apache-2.0
"""Numbered issues of a job: which documents are revised, which stand as they were issued, which are withdrawn.

A document is compared by what it says (`Content.texts`), never by its bytes: its revision, date and names, another
layout or another version of this program revise nothing. Everything that was issued is kept.
"""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from typing import Any

from brattice.building.wall_types import WALL_TYPE_FIELDS
from brattice.details.detail import InstallationDetail
from brattice.drawing.lettering import LETTERS
from brattice.findings import Fact, Known
from brattice.orders.words import storey_of
from brattice.usecases.facts import value_text

__all__ = [
    "Content",
    "DocumentKind",
    "Issue",
    "IssuePlan",
    "IssuedDocument",
    "Revised",
    "content_of_detail",
    "figures_changed",
    "next_number",
    "next_revision",
    "plan_issue",
]

_FIGURE = "figure/"


class DocumentKind(StrEnum):
    """The kinds of document that a job issues."""

    SKETCH = "installation sketch"
    STANDARD = "standard detail"
    ORDERS = "order schedule"
    BUILDERS_WORK = "builders' work schedule"
    SUBMITTAL = "technical submittal"
    CAUSE_EFFECT = "cause and effect"


@dataclass(frozen=True)
class Content:
    """What one document says, apart from its revision, date and names.

    `number` names it once in the job (for a sketch the permanent id, for a standard detail a number of its series).
    `texts` are (key, text) of everything it prints; keys are unique. `status` says what it may be used for.
    """

    number: str
    kind: DocumentKind
    title: str
    status: str
    texts: tuple[tuple[str, str], ...]

    @property
    def sha256(self) -> str:
        """The hash of what the document says."""
        said = [self.number, str(self.kind), self.title, self.status, [list(pair) for pair in self.texts]]
        return hashlib.sha256(json.dumps(said, ensure_ascii=True).encode("ascii")).hexdigest()


@dataclass(frozen=True)
class IssuedDocument:
    """A document as it stands after an issue: its revision, the issue that brought it, and what it says.

    `withdrawn` says that the issue named took it back; it has no files there.
    """

    content: Content
    revision: str
    issue: str
    on: date
    withdrawn: bool = False


@dataclass(frozen=True)
class Issue:
    """One issue of the job: number, date, and every document that stood after it, withdrawn ones too, by number."""

    number: str
    on: date
    documents: tuple[IssuedDocument, ...]


@dataclass(frozen=True)
class Revised:
    """A document of the new issue: its content and revision, what it replaces, and the keys of texts that differ."""

    content: Content
    revision: str
    replaces: IssuedDocument | None
    changed: tuple[str, ...]


@dataclass(frozen=True)
class IssuePlan:
    """What a new issue holds. `standing` are documents that stand as they were issued before."""

    number: str
    on: date
    revised: tuple[Revised, ...]
    standing: tuple[IssuedDocument, ...]
    withdrawn: tuple[IssuedDocument, ...]

    @property
    def is_empty(self) -> bool:
        """Whether nothing changed: then nothing is issued."""
        return not self.revised and not any(item.issue == self.number for item in self.withdrawn)

    def issue(self) -> Issue:
        """The issue once it is made."""
        new = tuple(IssuedDocument(item.content, item.revision, self.number, self.on) for item in self.revised)
        documents = sorted((*new, *self.standing, *self.withdrawn), key=lambda item: item.content.number)
        return Issue(self.number, self.on, tuple(documents))


def next_number(past: str | None) -> str:
    """The number of the next issue: "01" first, two digits at least. Raises `ValueError` for what is no number."""
    if past is None:
        return "01"
    if not re.fullmatch(r"[0-9]{2,}", past):
        raise ValueError(f"not the number of an issue: {past!r}")
    return f"{int(past) + 1:02d}"


def next_revision(past: str | None) -> str:
    """The next revision index: "A" first, "Z" is followed by "AA"; I and O are left out.

    Raises `ValueError` for what is no index.
    """
    if past is None:
        return LETTERS[0]
    if not past or any(sign not in LETTERS for sign in past):
        raise ValueError(f"not a revision index: {past!r}")
    number = 0
    for sign in past:
        number = number * len(LETTERS) + LETTERS.index(sign) + 1
    number += 1
    text = ""
    while number:
        number, rest = divmod(number - 1, len(LETTERS))
        text = LETTERS[rest] + text
    return text


def _changed(content: Content, past: IssuedDocument | None) -> tuple[str, ...]:
    if past is None or past.withdrawn:
        return ()
    before, now = dict(past.content.texts), dict(content.texts)
    keys = [key for key, text in content.texts if before.get(key) != text]
    keys += [key for key, _ in past.content.texts if key not in now]
    if (past.content.title, past.content.status) != (content.title, content.status):
        keys.append("status")
    return tuple(dict.fromkeys(keys))


def plan_issue(contents: Iterable[Content], past: Issue | None, on: date) -> IssuePlan:
    """What the next issue holds, from what every document says now and the issue before.

    A document that says the same stands; one that says something else, is new, or comes back after it was withdrawn is
    revised; one that is no longer there is withdrawn. Raises `ValueError` when two documents have one number.
    """
    ordered = sorted(contents, key=lambda item: item.number)
    numbers = [item.number for item in ordered]
    if len(set(numbers)) != len(numbers):
        raise ValueError("two documents of one number")
    before: Mapping[str, IssuedDocument] = {} if past is None else {d.content.number: d for d in past.documents}
    number = next_number(None if past is None else past.number)
    revised, standing = [], []
    for content in ordered:
        old = before.get(content.number)
        if old is not None and not old.withdrawn and old.content.sha256 == content.sha256:
            standing.append(old)
        else:
            revision = next_revision(None if old is None else old.revision)
            revised.append(Revised(content, revision, old, _changed(content, old)))
    gone = [item for key, item in sorted(before.items()) if key not in set(numbers)]
    withdrawn = tuple(
        item if item.withdrawn else IssuedDocument(item.content, item.revision, number, on, withdrawn=True)
        for item in gone
    )
    return IssuePlan(number, on, tuple(revised), tuple(standing), withdrawn)


def figures_changed(revised: Revised) -> frozenset[str]:
    """The keys of the figures whose text differs from the revision before; none in a first revision."""
    return frozenset(key.removeprefix(_FIGURE) for key in revised.changed if key.startswith(_FIGURE))


def _said(fact: Fact[Any]) -> str:
    return value_text(fact.value) if isinstance(fact, Known) else ""


def content_of_detail(detail: InstallationDetail, title: str) -> Content:
    """Everything that the sketch of an installation says: figures, steps, neighbours, evidence, what is to be settled.

    Where a fact stands in its file is no part of it: a row that moved in a schedule revises nothing.
    """
    place = detail.penetration
    texts: list[tuple[str, str]] = []
    for figure in detail.figures:
        texts.append((f"{_FIGURE}{figure.key}", figure.text))
        texts += [(f"limit/{figure.key}", figure.limit)] if figure.limit else []
        texts += [(f"verdict/{figure.key}", str(figure.verdict)), (f"note/{figure.key}", figure.note)]
        used = "; ".join(f"{item.name} {item.text}" for item in figure.uses)
        texts.append((f"trace/{figure.key}", " | ".join((figure.formula, ", ".join(figure.rows), used))))
    for step in detail.steps:
        hold = f" [{step.hold}]" if step.hold else ""
        because = f" ({step.why})" if step.why else ""
        texts.append((f"step/{step.number}", f"{step.trade}: {step.text}{hold}{because}"))
    for number, near in enumerate(detail.neighbours, start=1):
        told = f"{near.kind} {near.name} {near.side}: {near.clear.text}; {near.clear.limit}"
        texts.append((f"neighbour/{number}", told))
    texts += [(f"settle/{item.key}", f"{item.text} ({item.ask})") for item in detail.to_settle]
    texts += [(f"problem/{number}", text) for number, text in enumerate(detail.problems, start=1)]
    texts += [(f"change/{number}", text) for number, text in enumerate(detail.changes, start=1)]
    tested = detail.tested
    if tested is not None:
        document = tested.document
        named = f"{document.level} {document.reference} {document.revision} {document.issued}"
        texts.append(("evidence", f"{tested.id}: {named}; {document.standard}:{document.edition}"))
        texts.append(("instructions", document.instructions or ""))
        texts.append(("tested-in", f"{tested.construction.kind}, {tested.fixing}, {tested.support}"))
        texts.append(("tested-class", tested.class_text))
        texts.append(("product", f"{tested.maker} {tested.product}"))
    texts += [
        ("class-asked", detail.class_asked),
        ("class-held", detail.class_held),
        ("actuation", detail.actuation_asked),
        ("deviation", detail.deviation),
        ("why", detail.why),
        ("storey", storey_of(place)),
        ("place", place.location.words),
        ("names", "; ".join(f"{kind}: {text}" for kind, text in place.aliases[:3])),
        ("barrier", ", ".join((_said(place.barrier.orientation), _said(place.barrier.wall_type_code)))),
    ]
    wall = place.barrier.wall_type
    if wall is not None:
        texts.append(("wall-type", wall.code))
        for name in WALL_TYPE_FIELDS:
            texts.append((f"wall-type/{name}", _said(getattr(wall, name))))
    return Content(detail.id, DocumentKind.SKETCH, title, str(detail.standing), tuple(texts))
