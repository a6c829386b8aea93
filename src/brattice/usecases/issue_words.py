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
    "neighbour": "neighbour {}",
    "problem": "problem {}",
    "change": "change {}",
    "wall-type": "wall type: {}",
    "wall": "wall: {}",
    "compliance": "compliance {}",
    "asked": "question {}",
    "installation": "tested installation {}",
    "deviation": "deviation {}",
    "outside": "outside the test {}",
    "unknown": "not known {}",
}


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
        return form.format(rest if head in {"installation", "neighbour"} else _words(rest))
    if head in {"ordered", "held"}:  # of an order schedule: the penetration and its field
        name, _, field = rest.rpartition("/")
        return f"{name}, held ({field})" if head == "held" else f"{name}: {_words(field)}"
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
