# SPDX-License-Identifier: Apache-2.0
"""What changed in a document since it was issued last, in words: what is meant, what stood there, what stands there."""

from __future__ import annotations

from dataclasses import dataclass

from brattice.usecases.issuing import Revised

__all__ = ["Change", "changes_told"]

_STATUS = "status"
_OF_FIGURE = {
    "figure": "{}",
    "limit": "what {} is held against",
    "verdict": "verdict on {}",
    "note": "note on {}",
    "trace": "where {} comes from",
}
_NUMBERED = {
    "step": "step {}",
    "problem": "problem {}",
    "change": "change {}",
    "wall-type": "wall type: {}",
    "wall": "wall: {}",
}
_SAYING = {
    "compliance": "compliance, {}",
    "asked": "asked of {}",
    "installation": "tested installation {}",
    "deviation": "deviation: {}",
    "outside": "outside the test: {}",
    "unknown": "not known: {}",
    "neighbour": "neighbour {}",
    "used": "where it is used: {}",
}
"""Keys that are made of what people read themselves."""


@dataclass(frozen=True)
class Change:
    """One text of a document that differs: what it is in words, before and now; both "" where only its source differs.

    "" alone in `before` is a text that is new, in `now` one that is gone.
    """

    what: str
    before: str = ""
    now: str = ""


def _words(key: str) -> str:
    return key.replace("-", " ").replace("_", " ")


def _what(key: str) -> str:
    """A key of a text in words: `"limit/gap-left"` is what the gap is held against."""
    head, _, rest = key.partition("/")
    if not rest:
        return _words(key)
    if head == "settle":  # what it is about may stand before: a product, a penetration
        return f"{_words(rest.rpartition('/')[2])}, to be settled"
    form = _OF_FIGURE.get(head) or _NUMBERED.get(head)
    if form is not None:
        return form.format(_words(rest))
    if head in _SAYING:
        return _SAYING[head].format(rest)
    if head == "held":  # of an order schedule: the penetration and why
        name, _, why = rest.partition("/")
        return f"{name}, held: {why}"
    if head == "ordered":
        name, _, field = rest.rpartition("/")
        return f"{name}: {_words(field)}"
    if rest.startswith("point/"):  # of cause and effect
        return f"{head}: point, {rest.removeprefix('point/')}"
    return f"{head}: {_words(rest.replace('/', ' '))}"


def changes_told(revised: Revised) -> tuple[Change, ...]:
    """What differs from the revision before, in the document's own order, its status first; () for a new document.

    A figure that changed is told once: its note and trace, which change with it, are left out.
    """
    past = revised.replaces
    if past is None or past.withdrawn:
        return ()
    before, now = dict(past.content.texts), dict(revised.content.texts)
    told: list[Change] = []
    for what, old, new in (
        ("title", past.content.title, revised.content.title),
        (_STATUS, past.content.status, revised.content.status),
    ):
        told += [Change(what, old, new)] if old != new else []
    changed = set(revised.changed)
    for key in revised.changed:
        head, _, rest = key.partition("/")
        if key == _STATUS and (key not in now or past.content.status != revised.content.status):
            continue  # the status of the document itself, told already
        if head in {"trace", "note"} and f"figure/{rest}" in changed:
            continue
        told.append(
            Change(_what(key)) if head == "trace" else Change(_what(key), before.get(key, ""), now.get(key, ""))
        )
    return tuple(told)
