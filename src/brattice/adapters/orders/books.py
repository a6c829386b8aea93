# SPDX-License-Identifier: Apache-2.0
"""The workbooks of a job's schedules: equal bytes for equal input, every text a text and never a formula."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from brattice.adapters.text import one_line
from brattice.adapters.workbook import OutCell, OutColumn, OutSheet, OutValue, workbook_bytes
from brattice.orders.builders_work import BUILDERS_FIELDS, OpeningState
from brattice.orders.cause_effect import CAUSE_FIELDS
from brattice.orders.compare import mark_of
from brattice.orders.orders import ORDER_FIELDS
from brattice.orders.too_near import SHIFT_ADVICE, TOO_NEAR_FIELDS
from brattice.usecases.ordering import ScheduleHead, Schedules

__all__ = [
    "BUILDERS_WORK_FILE",
    "CAUSE_EFFECT_FILE",
    "ORDERS_FILE",
    "builders_work_bytes",
    "cause_effect_bytes",
    "orders_bytes",
    "schedule_books",
]

ORDERS_FILE = "orders.xlsx"
BUILDERS_WORK_FILE = "builders-work.xlsx"
CAUSE_EFFECT_FILE = "cause-and-effect.xlsx"

_WIDTHS = {
    "maker": 18.0,
    "product": 16.0,
    "size": 16.0,
    "handing": 12.0,
    "class": 22.0,
    "actuation": 18.0,
    "actuator": 30.0,
    "end-switches": 10.0,
    "accessories": 20.0,
    "access-side": 16.0,
    "finish": 18.0,
    "phase": 11.0,
    "delivery": 11.0,
    "submittal": 44.0,
    "comments": 34.0,
    "override": 44.0,
    "framed": 18.0,
    "finished": 18.0,
    "role": 20.0,
    "heights-from": 24.0,
    "lintel": 22.0,
    "by": 22.0,
    "when": 22.0,
    "off": 48.0,
    "place": 26.0,
    "zone": 16.0,
    "effect": 10.0,
    "penetrations": 16.0,
    "near": 64.0,
    "standing": 24.0,
    "shift": 44.0,
    "seen": 30.0,
    "look": 60.0,
    "fail-position": 16.0,
}
_WIDTH = 14.0
_IDS = 30.0
_LONG = 60.0
_HELD_FILL = "F1F1F1"

Row = list[OutValue | OutCell]


def _column(heading: str, width: float = _WIDTH) -> OutColumn:
    """A column of texts: wrapped, since a text that runs out of its cell is cut off by the next."""
    return OutColumn(heading, width, wrap=True)


def _fields(fields: Sequence[tuple[str, str]]) -> tuple[OutColumn, ...]:
    return tuple(_column(heading, _WIDTHS.get(key, _WIDTH)) for key, heading in fields)


def _sheet(name: str, columns: Sequence[OutColumn], rows: Sequence[Row], frozen: int = 1) -> OutSheet:
    return OutSheet(name, tuple(columns), rows, frozen_columns=frozen, fit_rows=True)


def _footer(head: ScheduleHead, title: str) -> str:
    """The foot of a printed page: it may lie alone on a desk."""
    return f"{title}, revision {head.revision_text}, as of {head.as_of.isoformat()}: {one_line(head.job, 60)}"


def _about(head: ScheduleHead, title: str, lines: Sequence[str]) -> OutSheet:
    """The sheet that says what the book is, of which job, and how far it may be trusted."""
    texts = [
        f"{title}: {one_line(head.job, 200)}",
        f"As of {head.as_of.isoformat()}. Revision: {head.revision_text}. Made by Brattice {head.version}.",
        *(["All names and data here are invented."] if head.invented else []),
        *lines,
        *head.cautions,
    ]
    return OutSheet("About", (_column("", 120.0),), [[text] for text in texts], headings=False)


def orders_bytes(schedules: Schedules, head: ScheduleHead, *, stamp: datetime) -> bytes:
    """The order schedule as XLSX: Orders, Held, Changes, Totals, About."""
    orders, changes = schedules.orders, schedules.changes
    lines: list[Row] = [
        [
            line.number,
            line.quantity,
            *(line.texts[key] for key, _ in ORDER_FIELDS),
            line.penetrations_text,
            *([schedules.drawings_text(line.penetrations)] if schedules.drawings else []),
            mark_of(line, changes),
        ]
        for line in orders.lines
    ]
    held: list[Row] = [
        [
            item.id,
            item.reference,
            item.place,
            item.maker,
            item.product,
            item.size,
            str(reason.kind),
            reason.text,
            reason.ask_text,
        ]
        for item in orders.held
        for reason in item.reasons
    ]
    changed: list[Row] = [
        [str(item.kind), item.penetrations_text, item.what, item.before, item.after] for item in changes
    ]
    totals: list[Row] = [[item.maker, item.phase, item.quantity, item.lines] for item in orders.totals]
    about = (
        "Orders: what may be ordered. Held: what may not, why, and whom to ask; one line a reason.",
        schedules.changes_text,
        "A damper of a kind, size or hand that is not on a line is not ordered. Width and height are never exchanged.",
    )
    title = "Order schedule"
    return workbook_bytes(
        [
            _sheet(
                "Orders",
                (
                    OutColumn("Line", 7.0),
                    OutColumn("Quantity", 9.0),
                    *_fields(ORDER_FIELDS),
                    _column("Penetrations", _IDS),
                    *([_column("Drawings", 16.0)] if schedules.drawings else []),
                    _column("Since the issue before"),
                ),
                lines,
                2,
            ),
            _sheet(
                "Held",
                (
                    _column("Id", 10.0),
                    _column("Reference"),
                    _column("Place", 26.0),
                    _column("Maker", 18.0),
                    _column("Product"),
                    _column("Size, width × height", 16.0),
                    _column("Kind"),
                    _column("What it waits for", _LONG),
                    _column("Whom to ask", 22.0),
                ),
                held,
            ),
            _sheet(
                "Changes",
                (
                    _column("Change", 10.0),
                    _column("Penetrations", _IDS),
                    _column("What", 24.0),
                    _column("Before", 44.0),
                    _column("Now", 44.0),
                ),
                changed,
            ),
            _sheet(
                "Totals",
                (
                    _column("Maker", 24.0),
                    _column("Phase"),
                    OutColumn("Quantity", 9.0),
                    OutColumn("Lines", 9.0),
                ),
                totals,
            ),
            _about(head, title, about),
        ],
        stamp=stamp,
        title=title,
        footer=_footer(head, title),
    )


def builders_work_bytes(schedules: Schedules, head: ScheduleHead, *, stamp: datetime) -> bytes:
    """The builders' work schedule as XLSX: the openings, what is too near, what the overlay could not place, About."""
    work = schedules.builders_work
    rows: list[Row] = []
    for row in work.rows:
        fill = _HELD_FILL if row.state is OpeningState.HELD else ""
        texts = [row.id, row.reference, str(row.state), *(row.texts[key] for key, _ in BUILDERS_FIELDS)]
        texts += [schedules.drawings_text([row.id])] if schedules.drawings else []
        rows.append([OutCell(text, fill) for text in (*texts, row.settle_text)])
    away: list[Row] = [[plan.storey, name, why] for plan in schedules.overlays for name, why in plan.not_placed]
    near: list[Row] = [[item.texts[key] for key, _ in TOO_NEAR_FIELDS] for item in work.too_near]
    counts = ", ".join(f"{state}: {count}" for state, count in work.counts)
    about = [
        f"Openings by state: {counts}.",
        "Form no opening whose state is held.",
        "The framed opening is what is formed; the finished clear opening is what is left once it is lined.",
        "Heights are above the structural floor of the storey; a model's level may be the finished floor, and is said.",
        "Too near: dampers nearer to each other, a wall or a floor than tested, and the shift that would cure it.",
        *SHIFT_ADVICE,
    ]
    if work.without_damper:
        about.append(f"Without a damper and so without a row: {', '.join(work.without_damper)}.")
    title = "Builders' work schedule"
    return workbook_bytes(
        [
            _sheet(
                "Builders' work",
                (
                    _column("Id", 10.0),
                    _column("Reference"),
                    _column("State", 10.0),
                    *_fields(BUILDERS_FIELDS),
                    *([_column("Drawing", 10.0)] if schedules.drawings else []),
                    _column("To be settled", _LONG),
                ),
                rows,
                3,
            ),
            _sheet("Too near", _fields(TOO_NEAR_FIELDS), near),
            _sheet(
                "Not on the overlay", (_column("Storey", 18.0), _column("Id", 10.0), _column("Why", _LONG)), away, 2
            ),
            _about(head, title, about),
        ],
        stamp=stamp,
        title=title,
        footer=_footer(head, title),
    )


def cause_effect_bytes(schedules: Schedules, head: ScheduleHead, *, stamp: datetime) -> bytes:
    """Cause and effect as XLSX: the dampers, the points, totals by trade, About."""
    causes = schedules.cause_effect
    rows: list[Row] = [
        [row.id, row.reference, *(row.texts[key] for key, _ in CAUSE_FIELDS), row.settle_text] for row in causes.rows
    ]
    points: list[Row] = [
        [point.id, str(point.trade), point.way, point.signal, point.address, point.count or point.count_text, point.why]
        for point in causes.points
    ]
    totals: list[Row] = [
        [str(item.trade), item.way, item.signal, item.count, item.to_be_settled] for item in causes.totals
    ]
    about = [
        "What stands as to be settled is not known and is never a pass.",
        "Which trade provides a point is common practice; the contract decides.",
    ]
    if causes.without_damper:
        about.append(f"Without a damper and so without a row: {', '.join(causes.without_damper)}.")
    title = "Cause and effect"
    return workbook_bytes(
        [
            _sheet(
                "Cause and effect",
                (
                    _column("Id", 10.0),
                    _column("Reference"),
                    *_fields(CAUSE_FIELDS),
                    _column("To be settled", _LONG),
                ),
                rows,
                2,
            ),
            _sheet(
                "Points",
                (
                    _column("Id", 10.0),
                    _column("Trade"),
                    _column("Way", 10.0),
                    _column("Signal", 36.0),
                    _column("Address on the panel", 22.0),
                    _column("Points", 13.0),
                    _column("Why to be settled", 44.0),
                ),
                points,
            ),
            _sheet(
                "Totals",
                (
                    _column("Trade"),
                    _column("Way", 10.0),
                    _column("Signal", 24.0),
                    OutColumn("Points", 9.0),
                    OutColumn("To be settled", 14.0),
                ),
                totals,
            ),
            _about(head, title, about),
        ],
        stamp=stamp,
        title=title,
        footer=_footer(head, title),
    )


def schedule_books(schedules: Schedules, head: ScheduleHead, *, stamp: datetime) -> dict[str, bytes]:
    """All workbooks of a job's schedules by file name."""
    return {
        ORDERS_FILE: orders_bytes(schedules, head, stamp=stamp),
        BUILDERS_WORK_FILE: builders_work_bytes(schedules, head, stamp=stamp),
        CAUSE_EFFECT_FILE: cause_effect_bytes(schedules, head, stamp=stamp),
    }
