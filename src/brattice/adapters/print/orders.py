# SPDX-License-Identifier: Apache-2.0
"""The order schedule and the technical submittals as PDF. Every text is the core's; pages arrange and format none."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import groupby
from typing import Any

from brattice.adapters.print.typeset import typeset
from brattice.orders.compare import mark_of
from brattice.orders.orders import ORDER_FIELDS, Held, OrderLine
from brattice.orders.submittal import Submittal
from brattice.usecases.ordering import ScheduleHead, Schedules
from brattice.usecases.words import count_words

__all__ = ["ORDERS_PDF", "SUBMITTALS_FOLDER", "order_pages", "submittal_pages"]

ORDERS_PDF = "orders.pdf"
SUBMITTALS_FOLDER = "submittals"

_COLUMNS = (
    ("product", 5.0),
    ("size", 5.0),
    ("handing", 4.0),
    ("class", 7.0),
    ("actuation", 5.0),
    ("actuator", 8.0),
    ("voltage", 4.5),
    ("end-switches", 4.0),
    ("accessories", 7.0),
    ("access-side", 5.0),
    ("finish", 5.0),
    ("phase", 3.5),
    ("delivery", 4.0),
)
_NOTES = ("submittal", "comments", "override")
_HEADINGS = dict(ORDER_FIELDS)


def _head(head: ScheduleHead) -> dict[str, Any]:
    return {
        "job": head.job,
        "as_of": head.as_of.isoformat(),
        "version": head.version,
        "invented": head.invented,
        "cautions": head.cautions,
        "revision": head.revision_text,
    }


def _line(line: OrderLine, mark: str, drawings: str) -> dict[str, Any]:
    notes = [[_HEADINGS[key], line.texts[key]] for key in _NOTES if line.texts[key]]
    notes.append(["Penetrations", line.penetrations_text])
    if drawings:
        notes.append(["Drawings", drawings])
    if mark:
        notes.append(["Since the issue before", mark])
    cells = [str(line.number), line.quantity_text, *(line.texts[key] for key, _ in _COLUMNS)]
    return {"cells": cells, "notes": notes}


def _groups(schedules: Schedules) -> list[dict[str, Any]]:
    """The lines by maker; they are sorted by maker first."""
    groups = []
    for maker, lines in groupby(schedules.orders.lines, key=lambda line: line.texts["maker"]):
        groups.append(
            {
                "maker": maker,
                "heads": ["Line", "Qty", *(_HEADINGS[key] for key, _ in _COLUMNS)],
                "columns": [2.6, 2.6, *(width for _, width in _COLUMNS)],
                "lines": [
                    _line(line, mark_of(line, schedules.changes), schedules.drawings_text(line.penetrations))
                    for line in lines
                ],
            }
        )
    return groups


def _held(item: Held) -> Iterator[dict[str, str]]:
    """A row for each kind and party; the first says where and what, the others the id alone."""
    for number, (kind, text, ask) in enumerate(item.in_short):
        first = number == 0
        yield {
            "id": item.id,
            "reference": item.reference if first else "",
            "place": item.place if first else "",
            "damper": item.damper if first else "",
            "size": item.size if first else "",
            "kind": kind,
            "text": text,
            "ask": ask,
        }


def order_pages(schedules: Schedules, head: ScheduleHead, *, epoch: int) -> dict[str, bytes]:
    """The order schedule as one PDF, by name.

    Raises
    ------
    InputError : the pages need more memory or time than they may
    """
    orders = schedules.orders
    data = {
        **_head(head),
        "count": count_words(orders.quantity, "damper"),
        "held_count": count_words(len(orders.held), "penetration"),
        "changes_text": schedules.changes_text,
        "totals": [
            {"maker": item.maker, "phase": item.phase, "quantity": str(item.quantity), "lines": str(item.lines)}
            for item in orders.totals
        ],
        "groups": _groups(schedules),
        "held": [line for item in orders.held for line in _held(item)],
        "changes": [
            {
                "kind": str(item.kind),
                "ids": item.penetrations_text,
                "what": item.what,
                "before": item.before,
                "after": item.after,
            }
            for item in schedules.changes
        ],
    }
    return {ORDERS_PDF: typeset("orders", data, epoch=epoch, subject=ORDERS_PDF)}


def _said(item: Submittal, pairs: Sequence[tuple[str, tuple[str, ...]]]) -> list[dict[str, str]]:
    return [{"text": text, "ids": item.where_text(ids)} for text, ids in pairs]


def _submittal(item: Submittal, head: ScheduleHead) -> Mapping[str, Any]:
    decided = item.decision
    decision = (
        ["", "", "", ""]
        if decided is None
        else [
            f"{decided.status.words}; no longer holds" if item.void else decided.status.words,
            f"{decided.person}, {decided.role}",
            decided.document,
            decided.on.isoformat(),
        ]
    )
    return {
        **_head(head),
        "kind": f"Technical submittal: {item.product_text} in {item.wall_type}",
        "maker": item.maker,
        "product": item.product,
        "wall_type": item.wall_type,
        "count": str(len(item.penetrations)),
        "status": item.status_text,
        "content": item.content,
        "comments": decided.comments if decided is not None else "",
        "decision": decision,
        "wall": [[name, text] for name, text in item.wall_text],
        "compliance": [
            {
                "class_asked": line.class_asked,
                "actuation_asked": line.actuation_asked,
                "class_held": line.class_held,
                "actuation_held": line.actuation_held,
                "state": line.state,
                "sizes": ", ".join(line.sizes),
                "ids": ", ".join(line.penetrations),
                "sources": "; ".join(line.sources) or "nobody that is known",
            }
            for line in item.compliance
        ],
        "asked": [
            {
                "about": part.about,
                "asks": part.asks,
                "sources": "; ".join(part.sources),
                "ids": item.where_text(part.penetrations),
            }
            for part in item.asked
        ],
        "installations": [
            {
                "id": used.id,
                "ids": item.where_text(used.penetrations),
                "lines": [
                    ["class declared", used.class_text],
                    ["tested in", used.construction],
                    ["fixing", used.fixing],
                    ["seal", used.seal],
                    *([name, text] for name, text in used.documents),
                ],
            }
            for used in item.installations
        ],
        "product_documents": item.product_documents,
        "deviations": _said(item, item.deviations),
        "outside": _said(item, item.outside),
        "changes": _said(item, item.changes),
        "unknowns": _said(item, item.unknowns),
    }


def submittal_pages(schedules: Schedules, head: ScheduleHead, *, epoch: int) -> dict[str, bytes]:
    """The technical submittals by name: one PDF for each product in each wall type.

    Raises
    ------
    InputError : the pages need more memory or time than they may
    """
    files = {}
    for item in schedules.submittals.items:
        name = f"{SUBMITTALS_FOLDER}/{item.file_stem}.pdf"
        files[name] = typeset("submittal", _submittal(item, head), epoch=epoch, subject=name)
    return files
