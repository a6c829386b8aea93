# SPDX-License-Identifier: Apache-2.0
"""A reconciliation as a workbook to read and print, and as CSV: one row a pair, a difference, an entry, a damper."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator
from datetime import datetime

from brattice.adapters.text import csv_text, one_line
from brattice.adapters.workbook import OutColumn, OutSheet, workbook_bytes
from brattice.quantities import number_text
from brattice.usecases.reconciled import (
    CAUTIONS_OF_MATCHING,
    Alone,
    DamperStanding,
    Difference,
    Entry,
    Group,
    Pair,
    Reconciliation,
    Sides,
)
from brattice.usecases.report_model import CAUTIONS

__all__ = ["RECONCILED_COLUMNS", "reconciled_bytes", "reconciled_csv"]

RECONCILED_COLUMNS = ("kind", "by", "score", "one", "other", "about", "one_says", "other_says", "text")
"""`kind` is matched, proposed, difference, only-one, only-other, damper, note or caution."""

_GROUPS, _STANDINGS = list(Group), list(DamperStanding)
_Cells = tuple[str | float | int | None, ...]


def _words(width: float, heading: str) -> OutColumn:
    return OutColumn(heading, width, wrap=True)


def _agreeing(pair: Pair) -> str:
    return ", ".join(f"{item.fact} {item.one}" for item in pair.agreeing) or "nothing that both state"


def _both(one: str, other: str) -> str:
    return one if one == other else " / ".join([one or "not stated", other or "not stated"])


def _pair_row(pair: Pair) -> _Cells:
    fields = ("level", "size", "wall", "class_text")
    texts = [_both(getattr(pair.one, name), getattr(pair.other, name)) for name in fields]
    differs = "; ".join(dict.fromkeys(item.label for item in pair.differences)) or "nothing"
    return (pair.one.name, pair.other.name, str(pair.by), pair.score, *texts, differs)


_ENTRY = (
    _words(14, "Name"),
    _words(10, "Level"),
    _words(16, "Place"),
    _words(11, "Size [mm]"),
    _words(26, "Wall"),
    _words(13, "Class"),
    _words(16, "Damper"),
)


def _entry(entry: Entry) -> _Cells:
    return entry.name, entry.level, entry.place, entry.size, entry.wall, entry.class_text, entry.damper


def _alone(name: str, alone: tuple[Alone, ...]) -> OutSheet:
    columns = (_words(18, "Why it is listed"), *_ENTRY, _words(30, "What is to be said"), _words(22, "Read where"))
    order = sorted(alone, key=lambda item: (_GROUPS.index(item.group), item.entry))
    rows = [(str(item.group), *_entry(item.entry), item.why, item.entry.where) for item in order]
    return OutSheet(name, columns, rows, frozen_columns=2, fit_rows=True)


def _pairs(name: str, ones: str, others: str, pairs: tuple[Pair, ...]) -> OutSheet:
    columns = (
        _words(18, ones),
        _words(18, others),
        _words(14, "Matched by"),
        OutColumn("Score", 8, number_format="0.00", note="The share of what either states that both say alike."),
        _words(16, "Level"),
        _words(18, "Size [mm]"),
        _words(34, "Wall"),
        _words(18, "Class"),
        _words(22, "Differs in"),
    )
    return OutSheet(name, columns, [_pair_row(pair) for pair in pairs], frozen_columns=2, fit_rows=True)


def _heads(result: Reconciliation) -> tuple[str, str]:
    return ("Schedule row", "Penetration") if result.sides is Sides.MODELS else ("Before", "Now")


def _differs(result: Reconciliation) -> OutSheet:
    one, other = _heads(result)
    says = ("The schedule says", "The models say") if result.sides is Sides.MODELS else ("Before", "Now")
    columns = (
        _words(18, one),
        _words(18, other if result.sides is Sides.MODELS else "Now called"),
        _words(12, "About"),
        _words(22, "What"),
        _words(34, says[0] if result.sides is Sides.MODELS else "It said"),
        _words(34, says[1] if result.sides is Sides.MODELS else "It says now"),
        _words(30, "Note"),
        _words(13, "Matched by"),
    )
    rows = [
        (
            pair.one.name,
            pair.other.name,
            str(item.about),
            item.label,
            item.one or "nothing",
            item.other or "nothing",
            "; ".join(filter(None, ["in doubt" if item.is_doubt else "", item.note, *_kinds(pair)])),
            str(pair.by),
        )
        for pair, item in _in_order(result)
    ]
    return OutSheet("Differs", columns, rows, frozen_columns=2, fit_rows=True)


def _in_order(result: Reconciliation) -> list[tuple[Pair, Difference]]:
    """Every difference with its pair; what is about a column that is kept as text comes last."""
    found = [(pair, item) for pair in result.matched for item in pair.differences]
    return sorted(found, key=lambda both: both[1].is_kept_text)


def _kinds(pair: Pair) -> Iterator[str]:
    return (kind for kind in pair.kinds if kind in {"renamed", "moved"})


def _how(result: Reconciliation) -> OutSheet:
    one, other = _heads(result)
    columns = (
        _words(18, one),
        _words(18, other),
        _words(14, "Matched by"),
        OutColumn("Score", 8, number_format="0.00"),
        _words(44, "How"),
        _words(60, "What agrees"),
    )
    rows = [
        (item.one.name, item.other.name, str(item.by), item.score, item.how, _agreeing(item))
        for item in (*result.proposed, *result.matched)
    ]
    return OutSheet("How it was matched", columns, rows, frozen_columns=2, fit_rows=True)


def _dampers(result: Reconciliation) -> OutSheet:
    columns = (
        _words(26, "Where it stands"),
        _words(25, "GlobalId"),
        _words(16, "Name"),
        _words(10, "Level"),
        _words(11, "Size [mm]"),
        _words(18, "Kind"),
        _words(12, "Penetration"),
        _words(14, "Row"),
        _words(26, "What is to be said"),
        _words(16, "File"),
    )
    order = sorted(result.dampers, key=lambda item: (-_STANDINGS.index(item.standing), item.guid))
    rows = [
        (
            str(item.standing),
            item.guid,
            item.name,
            item.level,
            item.size,
            item.kind,
            ", ".join(item.at),
            ", ".join(item.rows),
            item.text,
            item.file,
        )
        for item in sorted(order, key=lambda item: not item.standing.differs)
    ]
    return OutSheet("Dampers", columns, rows, frozen_columns=2, fit_rows=True)


def _summary(result: Reconciliation) -> OutSheet:
    columns = (_words(64, "What"), OutColumn("How many", 12), _words(60, "Note"))
    invented = "Names and data of this job are invented." if result.invented else ""
    rows: list[_Cells] = [(result.job_name, None, invented)]
    rows += [(f"{role}: {path}", None, "read") for role, path in result.files]
    rows += [(text, number, "") for text, number in result.counts()]
    rows += [("note", None, text) for text in result.notes]
    rows += [("caution", None, text) for text in (*CAUTIONS_OF_MATCHING, *CAUTIONS)]
    return OutSheet("Summary", columns, rows, fit_rows=True, filter=False)


def _sheets(result: Reconciliation) -> Iterator[OutSheet]:
    yield _summary(result)
    yield _differs(result)
    yield _pairs("Proposed", *_heads(result), result.proposed)
    models = result.sides is Sides.MODELS
    yield _alone("Only in schedule" if models else "Only before", result.only_one)
    yield _alone("Only in model" if models else "Only now", result.only_other)
    if models:
        yield _dampers(result)
    yield _pairs("Matched", *_heads(result), result.matched)
    yield _how(result)


def reconciled_bytes(result: Reconciliation, *, stamp: datetime) -> bytes:
    """The workbook of a reconciliation as the bytes of an XLSX file; the same result gives the same bytes.

    Parameters
    ----------
    result : what was found
    stamp : the one time in the file
    """
    title = f"{result.job_name}: {result.sides}"
    return workbook_bytes(_sheets(result), stamp=stamp, title=title)


def _entry_words(entry: Entry) -> str:
    texts = (entry.level, entry.place, entry.size, entry.wall, entry.class_text, entry.damper, entry.where)
    return "; ".join(filter(None, texts))


def _csv_rows(result: Reconciliation) -> Iterator[tuple[str, ...]]:
    for pair in (*result.matched, *result.proposed):
        kind = "proposed" if pair.is_proposal else "matched"
        head = str(pair.by), number_text(pair.score, 3), pair.one.name, pair.other.name
        yield kind, *head, ", ".join(pair.kinds), "", "", f"{pair.how}; alike: {_agreeing(pair)}"
        for item in pair.differences:
            note = "; ".join(filter(None, ["in doubt" if item.is_doubt else "", item.note]))
            yield "difference", *head, item.field, item.one, item.other, note
    for kind, alone in (("only-one", result.only_one), ("only-other", result.only_other)):
        for entry in alone:
            names = (entry.entry.name, "") if kind == "only-one" else ("", entry.entry.name)
            text = "; ".join(filter(None, [entry.why, _entry_words(entry.entry)]))
            yield kind, "", "", *names, str(entry.group), "", "", text
    for damper in result.dampers:
        text = "; ".join(filter(None, [damper.text, damper.name, damper.kind, damper.level, damper.size, damper.file]))
        about = str(damper.standing)
        yield "damper", "", "", ", ".join(damper.rows), ", ".join(damper.at), about, "", damper.guid, text
    for note in result.notes:
        yield "note", "", "", "", "", "", "", "", note
    for caution in (*CAUTIONS_OF_MATCHING, *CAUTIONS):
        yield "caution", "", "", "", "", "", "", "", caution


def reconciled_csv(result: Reconciliation) -> str:
    """The whole table as text, lines ended by "\\n"; the same result gives the same text.

    Parameters
    ----------
    result : what was found
    """
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(RECONCILED_COLUMNS)
    for row in _csv_rows(result):
        writer.writerow([csv_text(one_line(cell)) for cell in row])
    return out.getvalue()
