# SPDX-License-Identifier: Apache-2.0
"""The words of an installation sheet: numbers with their marks, steps with hold points, what is to be settled."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from brattice.details.detail import InstallationDetail, Standing, Step
from brattice.details.figures import Figure
from brattice.drawing.metrics import text_width
from brattice.drawing.primitives import Anchor, Box, Fill, Ink, Item, Pen, Polygon, Polyline, Text, rectangle
from brattice.evidence.installation import Document
from brattice.findings import Verdict
from brattice.sketch.flow import Block, Row
from brattice.sketch.texts import SHEET, dimension_text, drawable, folded
from brattice.sketch.viewing import column_height, text_items

__all__ = ["evidence_block", "numbered", "numbers_block", "settle_block", "steps_block", "trace_block"]

_SIZE = 2.6
_SMALL = 2.55
_ROW = 2.55
_PAD = 0.9
_BESIDE = 4.0
_MOST_LINES = 20
"""A text that takes more lines than that is cut with "…": what stands in a sheet of others can be of any length."""

_GROUPS: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("Openings", (
        "framed-width", "framed-height", "framed-diameter", "finished-width", "finished-height", "finished-diameter",
        "gap-left", "gap-right", "gap-top", "gap-bottom", "gap-from", "lining", "barrier-thickness",
        "opening-tolerance", "opening-outside-share", "existing-off", "sill-height", "centre-height", "head-height",
        "grid", "lintel", "opening-by", "opening-when",
    )),
    ("Damper", (
        "duct-width", "duct-height", "duct-diameter", "damper-width", "damper-height", "damper-diameter",
        "casing-length", "blade-offset", "handing", "mechanism-beyond", "damper-weight",
    )),
    ("Seal and fixing", (
        "seal-product", "seal-depth", "seal-faces", "seal-layers", "seal-cure", "fixing",
        "fixing-kind", "fixing-spacing", "fixing-corner", "fixing-rows", "fixings-wide", "fixings-high",
        "fixings-round", "fixings-all",
    )),
    ("Support and joints", (
        "support", "rod-count", "rod-size", "rod-length", "rod-stress", "rod-least", "rod-elongation",
        "rods-protected", "slab", "anchor", "joint-a", "joint-b", "steel-temperature", "expansion", "joint-travel",
    )),
    ("Access", (
        "access-side", "door-width", "door-height", "door-distance", "zone-width", "zone-depth", "zone-clear",
        "ceiling", "hatch-width", "hatch-height",
    )),
    ("Controls", (
        "actuation", "actuator", "voltage", "end-switches", "fail-position", "detector-zone", "detector",
        "fan-in-fire", "panel-address",
    )),
    ("Air", (
        "air-flow", "velocity", "free-area", "pressure-loss", "closing-velocity", "closing-pressure", "leakage-e",
        "leakage-s", "blade-leakage", "casing-leakage",
    )),
)  # fmt: skip
_LAST = "Order and quantities"
_NOT_BUILT_BY = frozenset(
    {"opening-tolerance", "opening-outside-share", "rod-stress", "rod-least", "rod-elongation", "steel-temperature",
     "expansion"}
)  # fmt: skip
"""Figures that nobody builds from: they stand on the sheets that say where every number comes from."""
_GROUPS_BUILT_BY = frozenset({"Openings", "Damper", "Seal and fixing", "Support and joints", "Access"})
_HEIGHTS = ("sill-height", "centre-height", "head-height")
_GAPS = ("gap-left", "gap-right", "gap-top", "gap-bottom")


@dataclass(frozen=True)
class Numbered:
    """A figure with the number by which a sheet refers to it, and the group that it stands in."""

    number: int
    group: str
    figure: Figure


def numbered(detail: InstallationDetail) -> tuple[Numbered, ...]:
    """Every figure in the order of the sheets, those that no group names last."""
    known = {
        key: (group, place)
        for place, (group, key) in enumerate((group, key) for group, keys in _GROUPS for key in keys)
    }
    ordered = sorted(detail.figures, key=lambda item: known.get(item.key, ("", len(known)))[1])
    return tuple(
        Numbered(number, known.get(item.key, (_LAST, 0))[0], item) for number, item in enumerate(ordered, start=1)
    )


def _cells(cells: Sequence[tuple[float, float, str, Ink]], size: float, lines: int | None) -> tuple[float, list[Item]]:
    """Texts side by side, each (left, width, text, ink) folded; the height of the highest."""
    items: list[Item] = []
    highest = 0
    for left, width, text, ink in cells:
        if not text:
            continue
        # bold letters are wider: folded as if the room were less
        rows = folded(text, width * (0.92 if ink in {Ink.STRONG, Ink.WRONG} else 1.0), size, lines)
        items += text_items(rows, (left, -_PAD * 0.5), size, ink)
        highest = max(highest, len(rows))
    return column_height(highest, size) + _PAD, items


def _ink(figure: Figure) -> Ink:
    if figure.verdict is Verdict.FAIL:
        return Ink.WRONG
    return Ink.PLAIN if figure.is_settled or figure.text != "to be settled" else Ink.STRONG


def _sub(words: str, width: float) -> Row:
    """A line that names the rows below it."""
    band = Polygon((rectangle(0, -_SIZE * 1.45, width, 0),), Fill.OTHER)
    return Row(_SIZE * 1.6, (band, Text((0.6, -_SIZE * 1.05), words, _SIZE, ink=Ink.STRONG)), opens=True)


_PAIRS = {
    "framed-width": ("framed-height", "Framed opening"),
    "finished-width": ("finished-height", "Finished clear opening"),
    "duct-width": ("duct-height", "Duct"),
    "damper-width": ("damper-height", "Damper"),
    "door-width": ("door-height", "Access door"),
    "zone-width": ("zone-depth", "Clear working zone"),
    "hatch-width": ("hatch-height", "Ceiling hatch"),
}
"""Two figures that stand in one line, width first, and what they are together."""


@dataclass(frozen=True)
class _Line:
    """One line of the table: its name, what it says, what that is held against, and its figures."""

    name: str
    text: str
    limit: str
    parts: tuple[Numbered, ...]

    @property
    def marks(self) -> str:
        """The numbers of its figures."""
        first, last = self.parts[0].number, self.parts[-1].number
        return f"{first}" if first == last else f"{first}–{last}"


def _lines(every: Sequence[Numbered]) -> Iterator[_Line]:
    """The lines of the table: width and height side by side, gaps that say the same together."""
    gaps = tuple(item for item in every if item.figure.key in _GAPS)
    alike = len(gaps) == len(_GAPS) and len({(g.figure.text, g.figure.limit, g.figure.verdict) for g in gaps}) == 1
    by_key = {item.figure.key: item for item in every}
    done: set[str] = set()
    for item in every:
        figure = item.figure
        if item.group not in _GROUPS_BUILT_BY or figure.key in done or figure.key in _NOT_BUILT_BY:
            continue
        pair = by_key.get(_PAIRS.get(figure.key, ("", ""))[0])
        if alike and item in gaps:
            done |= {gap.figure.key for gap in gaps}
            yield _Line("Gap on each side", figure.text, _held(figure), gaps)
        elif figure.key in _HEIGHTS and (heights := tuple(by_key[key] for key in _HEIGHTS if key in by_key))[1:]:
            done |= {one.figure.key for one in heights}
            texts = [dimension_text(one.figure) for one in heights[:-1]]
            name = f"Above the floor: {', '.join(one.figure.key.removesuffix('-height') for one in heights)}"
            yield _Line(name, ", ".join((*texts, heights[-1].figure.text)), "", heights)
        elif pair is not None and pair.number == item.number + 1:
            done.add(pair.figure.key)
            held = tuple(dict.fromkeys(text for text in (_held(figure), _held(pair.figure)) if text))
            text = f"{dimension_text(figure)} × {pair.figure.text}"
            if not figure.is_settled and not pair.figure.is_settled and figure.text == pair.figure.text:
                text = figure.text
            yield _Line(_PAIRS[figure.key][1], text, "; ".join(held), (item, pair))
        else:
            yield _Line(figure.name, figure.text, _held(figure), (item,))


def _held(figure: Figure) -> str:
    if figure.verdict is Verdict.FAIL:
        return f"outside: {figure.limit}" if figure.limit else "outside"
    return figure.limit


def numbers_block(detail: InstallationDetail, width: float) -> Block:
    """The numbers that are built by, each with what it is held against and the mark that leads to where it is from."""
    mark, name, value = 9.0, width * 0.395, width * 0.265
    limit = width - mark - name - value
    words = "The mark at the end of a line leads to where its number comes from: the last sheets, with all numbers."
    note = folded(words, width - 1.0, _SMALL, 2)
    said = tuple(text_items(note, (0.6, 0.6), _SMALL, Ink.QUIET))
    rows = [Row(column_height(len(note), _SMALL) + 0.6, said, opens=True)]
    group = ""
    for line in _lines(numbered(detail)):
        if line.parts[0].group != group:
            group = line.parts[0].group
            rows.append(_sub(group, width))
        inks = {_ink(item.figure) for item in line.parts}
        ink = next((one for one in (Ink.WRONG, Ink.STRONG) if one in inks), Ink.PLAIN)
        # a limit stands beside its number where one line has room for it, else below
        beside = bool(line.limit) and text_width(line.limit, _ROW, SHEET) <= limit - 1.4
        wide = value if beside else value + limit
        texts = [(0.6, name - 1.6, line.name, Ink.PLAIN), (name, wide - 1.4, line.text, ink)]
        if beside:
            texts.append((name + value, limit - 1.4, line.limit, Ink.QUIET))
        height, items = _cells(texts, _ROW, 4)
        if line.limit and not beside:
            own = len(folded(line.text, (wide - 1.4) * (1.0 if ink is Ink.PLAIN else 0.92), _ROW, 4))
            below = folded(line.limit, wide - 1.4, _ROW, 3)
            items += text_items(below, (name, -_PAD * 0.5 - own * _ROW * 1.22), _ROW, Ink.QUIET)
            height = max(height, column_height(own + len(below), _ROW) + _PAD)
        items.append(Text((width - 0.4, -_PAD * 0.5 - _ROW * 0.78), line.marks, _SMALL, Anchor.END, Ink.QUIET))
        items.append(Polyline(((0, -height), (width, -height)), Pen.FAINT))
        box = Box(name - 0.6, -height + 0.35, width - mark - 0.2, -0.35)
        rows.append(Row(height + 0.1, tuple(items), tuple((item.figure.key, box) for item in line.parts)))
    return Block("Numbers and their marks", tuple(rows))


def steps_block(steps: Sequence[Step], width: float) -> Block:
    """The steps in their order: trade, what is done, and where work stops until somebody signs."""
    rows: list[Row] = []
    for step in steps:
        indent = 6.0
        height, items = _cells(((indent, width - indent, str(step.trade).capitalize(), Ink.STRONG),), _SIZE, 2)
        items.append(Text((0.4, -_PAD * 0.5 - _SIZE * 0.78), str(step.number), _SIZE + 0.4, ink=Ink.STRONG))
        body = folded(step.text, width - indent, _SIZE, _MOST_LINES)
        items += text_items(body, (indent, -height + _PAD * 0.4), _SIZE)
        height += column_height(len(body), _SIZE)
        if step.why and not _fits_beside(str(step.trade), step.why, width - indent):
            why = folded(step.why, width - indent, _SMALL, 3)
            items += text_items(why, (indent, -height + 0.3), _SMALL, Ink.QUIET)
            height += column_height(len(why), _SMALL)
        elif step.why:
            items.append(Text((width, -_PAD * 0.5 - _SIZE * 0.78), step.why, _SMALL, Anchor.END, Ink.QUIET))
        rows.append(Row(height + 0.4, tuple(items), opens=step.hold is not None))
        if step.hold is not None:
            rows.append(_hold(str(step.hold), width, indent))
    return Block("Steps and hold points", tuple(rows))


def _fits_beside(trade: str, why: str, width: float) -> bool:
    """Whether what a step rests on has room on the line of its trade."""
    plain = drawable(why)
    taken = Text((0.0, 0.0), trade.capitalize(), _SIZE, ink=Ink.STRONG).width(SHEET)
    return plain == why and taken + _BESIDE + Text((0.0, 0.0), why, _SMALL).width(SHEET) <= width


def _hold(words: str, width: float, indent: float) -> Row:
    """The box in which a hold point is signed off."""
    low = -8.2
    half = indent + (width - indent) * 0.62
    return Row(
        9.6,
        (
            Polygon((rectangle(indent, low, width, -0.2),), Fill.PAPER, Pen.EDGE),
            Polyline(((half, low), (half, low + 4.0)), Pen.THIN),
            Polyline(((indent, low + 4.0), (width, low + 4.0)), Pen.THIN),
            Text((indent + 1.0, -3.0), f"HOLD: {words}", _SIZE, ink=Ink.STRONG),
            Text((indent + 1.0, low + 1.2), "name, signature", _SMALL, ink=Ink.QUIET),
            Text((half + 1.0, low + 1.2), "date", _SMALL, ink=Ink.QUIET),
        ),
    )


def settle_block(detail: InstallationDetail, width: float) -> Block:
    """What is to be settled and whom to ask; what can't be built as it stands first."""
    rows = []
    for problem in detail.problems:
        height, items = _cells(((5.0, width - 5.0, problem, Ink.STRONG),), _SIZE, _MOST_LINES)
        items.append(Text((1.2, -_PAD * 0.5 - _SIZE * 0.85), "!", _SIZE + 0.6, ink=Ink.WRONG))
        rows.append(Row(height, tuple(items)))
    ending = f": {detail.id}"
    by_party: dict[str, list[str]] = {}
    for missing in detail.to_settle:
        by_party.setdefault(str(missing.ask), []).append(missing.text.removesuffix(ending))
    for party in sorted(by_party):
        height, items = _cells(((0.4, width - 0.4, f"Ask the {party}", Ink.STRONG),), _SIZE, 2)
        rows.append(Row(height, tuple(items), opens=True))
        for text in by_party[party]:
            height, items = _cells(((5.0, width - 5.0, text, Ink.PLAIN),), _SIZE, _MOST_LINES)
            items.append(Polygon((rectangle(1.2, -3.0, 3.4, -0.8),), Fill.PAPER, Pen.EDGE))
            rows.append(Row(max(height, 3.5), tuple(items)))
    title = "Open, not for the installer to settle" if detail.standing is Standing.TO_BUILD else "To be settled first"
    return Block(title, tuple(rows))


def _document(document: Document) -> str:
    edition = f"{document.standard} ({document.edition})" if document.edition else document.standard
    return f"{document.reference}, revision {document.revision}, {document.issued.isoformat()}; {edition}"


def evidence_block(detail: InstallationDetail, width: float, also: Sequence[str] = ()) -> Block:
    """What is asked, what is held, and by which evidence; `also` are words that found no room in the drawing."""
    said: list[tuple[str, str, Ink]] = [
        ("Class asked", detail.class_asked or "to be settled", Ink.PLAIN if detail.class_asked else Ink.STRONG),
        ("Class held here", detail.class_held or "to be settled", Ink.PLAIN if detail.class_held else Ink.STRONG),
        ("Closes by, asked", detail.actuation_asked or "to be settled", Ink.PLAIN),
    ]
    if detail.tested is not None:
        tested = detail.tested
        said += [
            ("Damper", f"{tested.product}, {tested.maker}", Ink.PLAIN),
            ("Tested installation", f"{tested.id}: {tested.construction.kind}, {tested.fixing}", Ink.PLAIN),
            ("Evidence", f"{tested.document.level}: {_document(tested.document)}", Ink.PLAIN),
        ]
        if tested.document.instructions:
            said.append(("Instructions", tested.document.instructions, Ink.PLAIN))
    else:
        said.append(("Tested installation", "to be settled", Ink.STRONG))
    said.append(("Standing", f"{detail.standing}: {detail.why}" if detail.why else str(detail.standing), Ink.STRONG))
    said += [("Has to change", change, Ink.STRONG) for change in detail.changes]
    if detail.deviation:
        said.append(("Deviation accepted", detail.deviation, Ink.STRONG))
    said += [("Beside the views", words, Ink.PLAIN) for words in also]
    rows = []
    label = 27.0
    for name, text, ink in said:
        height, items = _cells(
            ((0.4, label - 1, name, Ink.QUIET), (label, width - label, text, ink)), _SIZE, _MOST_LINES
        )
        rows.append(Row(height, tuple(items)))
    return Block("Asked, held, and shown by", tuple(rows))


def trace_block(detail: InstallationDetail, width: float) -> Block:
    """Where every number comes from: formula, what it is held against, rows, facts with their place, notes."""
    parts = (0.04, 0.2, 0.2, 0.2, 0.36)
    lefts = [sum(parts[:n]) * width for n in range(len(parts))]
    widths = [part * width - 1.4 for part in parts]
    rows: list[Row] = []
    heads = ("", "Number", "Says", "Formula; held against", "From rows, facts and their place; notes")
    _, items = _cells(
        [(left, w, text, Ink.QUIET) for left, w, text in zip(lefts, widths, heads, strict=True)], _SMALL, 2
    )
    rows.append(Row(5.0, tuple(items), opens=True))
    group = ""
    for item in numbered(detail):
        if item.group != group:
            group = item.group
            rows.append(_sub(group, width))
        figure = item.figure
        held = "; ".join(text for text in (figure.formula, figure.limit) if text)
        came = [*(f"row {row}" for row in figure.rows)]
        came += [
            f"{used.name} {used.text}" + (f" ({used.origin})" if used.origin is not None else "")
            for used in figure.uses
        ]
        came += [f"to be asked: {missing.ask}" for missing in figure.missing]
        came += [figure.note] if figure.note else []
        texts = (str(item.number), figure.name, figure.text, held, "; ".join(came))
        inks = (Ink.QUIET, Ink.PLAIN, _ink(figure), Ink.PLAIN, Ink.PLAIN)
        cells = [(left, w, text, ink) for left, w, text, ink in zip(lefts, widths, texts, inks, strict=True)]
        height, items = _cells(cells, _SMALL, 24)
        items.append(Polyline(((0, -height), (width, -height)), Pen.FAINT))
        box = Box(lefts[2] - 0.6, -height + 0.35, lefts[3] - 1.2, -0.35)
        rows.append(Row(height + 0.2, tuple(items), ((figure.key, box),)))
    return Block("Where the numbers come from", tuple(rows))
