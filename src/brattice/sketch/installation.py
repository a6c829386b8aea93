# SPDX-License-Identifier: Apache-2.0
"""The installation sheet: one penetration on one sheet of paper, composed from its installation detail alone.

Views stand in a band above, words below in columns; what the columns have no room for goes on to further sheets.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from brattice.building.plan import StoreyPlan
from brattice.details.detail import InstallationDetail, Standing
from brattice.drawing.primitives import Box, Group, Ink, Item, Layer, Text
from brattice.drawing.sheet import TITLE_HEIGHT_MM, TitleBlock, areas_of, columns, sheet_frame
from brattice.drawing.views import A3, A4, Paper, Sheet, View
from brattice.errors import Fault, InputError
from brattice.findings import Known
from brattice.quantities import number_text
from brattice.sketch.cuts import access_size, access_words_on_left, draw_access, draw_section, section_size
from brattice.sketch.face import draw_face, face_notes, face_size
from brattice.sketch.flow import Block, Flowed, flow
from brattice.sketch.margin import cautions, key_plan, legend, scale_bars
from brattice.sketch.shape import Shape, is_floor, shape_of, size_figure
from brattice.sketch.tables import evidence_block, numbers_block, settle_block, steps_block, trace_block
from brattice.sketch.texts import dimension_text, drawable, folded
from brattice.sketch.viewing import Canvas, cloud, column_height, column_needed, text_items

__all__ = ["PAPERS", "TitleFacts", "installation_sheet", "installation_sheets", "sheet_number"]

PAPERS = {"A3": A3, "A4": A4}
"""The papers a sheet can be had on, by name."""

_SCALES = (2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1000.0, 2000.0, 5000.0, 10000.0)
_HALF_STEPS = (15.0, 25.0)
_CONSTRUCTION = "for construction"
_NOT_YET = "to be settled – not for construction"
_NOT_ISSUED = "not issued – not for construction"
_TITLE = 3.4
_QUIET = 2.3
_NOTE_STRIP = 6.0
_LEADERS = 5.0
_NOTES_UPRIGHT = 3
_SMALL_ENOUGH = 50.0
_BAND = 121.0
_LEAST_BAND = 80.0
_TWO_LINES = 12.5
_LEAST_GAP = 3.0
_LEAST_FACE = 46.0


@dataclass(frozen=True)
class TitleFacts:
    """What a title block says that no detail knows, all final texts; "" leaves a field open for a hand.

    `short` begins the number of every sheet of the job. `cautions` stand on every sheet. `note` stands over the title
    block (that the data are invented, say).
    """

    job: str
    short: str
    cautions: tuple[str, ...]
    revision: str = ""
    issued: str = ""
    department: str = ""
    reference: str = ""
    drawn: str = ""
    checked: str = ""
    approved: str = ""
    note: str = ""


@dataclass(frozen=True)
class _Layout:
    """The areas of a first sheet: views, their columns of words, and the columns of words below."""

    band: Box
    callout: float
    access_below: bool
    upper: Box
    lower: Box
    words: tuple[Box, ...]
    numbers: tuple[Box, ...]
    foot: tuple[Box, Box, Box, Box]


def sheet_number(title: TitleFacts, detail: InstallationDetail) -> str:
    """The number of a penetration's sheet: the job's short name and the permanent id."""
    return f"{title.short}-{detail.id}" if title.short else detail.id


def _layout(paper: Paper, band_height: float = _BAND) -> _Layout:
    frame = areas_of(paper).frame
    inner = frame.grown(-3.0)
    above_title = frame.bottom + TITLE_HEIGHT_MM + _NOTE_STRIP + 3.0
    if paper.width > paper.height:
        cut = inner.top - band_height - 3.0
        four = columns(Box(inner.left, inner.bottom, inner.right, cut), (1, 1, 1, 1), 5.0)
        foot = Box(inner.left, inner.bottom, frame.right - 180.0 - 4.0, above_title - 2.0)
        band = Box(inner.left, cut + 3.0, inner.right, inner.top)
        return _Layout(
            band,
            46.0,
            False,
            band,
            band,
            (_above(four[2], above_title), _above(four[3], above_title)),
            (_above(four[0], above_title + 1.0), _above(four[1], above_title + 1.0)),
            _four(columns(foot, (44, 38, 44, 66), 5.0)),
        )
    cut = inner.top - 142.0
    foot_top = above_title + 36.0
    band = Box(inner.left, cut + 3.0, inner.right, inner.top)
    middle = band.bottom + 0.43 * band.height
    return _Layout(
        band,
        36.0,
        True,
        Box(band.left, middle + 1.5, band.right, band.top),
        Box(band.left, band.bottom, band.right, middle - 1.5),
        columns(Box(inner.left, foot_top + 3.0, inner.right, cut), (1, 1), 5.0),
        (),
        _four(columns(Box(inner.left, above_title, inner.right, foot_top), (34, 36, 40, 60), 4.0)),
    )


def _above(box: Box, bottom: float) -> Box:
    return Box(box.left, bottom, box.right, box.top)


def _four(boxes: Sequence[Box]) -> tuple[Box, Box, Box, Box]:
    a, b, c, d = boxes
    return a, b, c, d


def _scales_from(size: float) -> tuple[float, ...]:
    """Usual scales (ISO 5455, from memory, with two between) from one at which a size [mm of paper at 1:1] may fit."""
    return tuple(scale for scale in sorted((*_SCALES, *_HALF_STEPS)) if scale >= size)


@dataclass(frozen=True)
class _Views:
    """The three views at their scales."""

    section: Canvas
    face: Canvas
    access: Canvas
    notes: tuple[str, ...]
    more: tuple[str, ...]


def _title_room(notes: Sequence[str], width: float) -> float:
    """How high title and notes below a view are [mm]."""
    rows = [row for note in notes for row in folded(note, width, _QUIET, 2)]
    return _TITLE * 1.7 + column_height(len(rows), _QUIET) + 1.0


def _views(detail: InstallationDetail, shape: Shape, layout: _Layout) -> _Views | None:
    """The views at the largest usual scales at which they fit: side by side, or the access below (upright paper)."""
    band, words = layout.band, layout.callout + _LEADERS
    notes, more = face_notes(detail, shape)
    if layout.access_below:  # an upright sheet has no room for all of them under the face
        notes, more = notes[:_NOTES_UPRIGHT], (*notes[_NOTES_UPRIGHT:], *more)
    wide = band.width - words - (0.0 if layout.access_below else words)
    height = layout.upper.height
    ratio = max(
        (section_size(shape)[0] + face_size(detail, shape)[0]) / wide,
        max(section_size(shape)[1], face_size(detail, shape)[1]) / height,
    )
    best: _Views | None = None
    for scale in _scales_from(ratio):
        section, face = draw_section(detail, shape, scale), draw_face(detail, shape, scale)
        one, other = section.footprint(), face.footprint()
        across = one.width + max(other.width, _LEAST_FACE) + 2 * _LEAST_GAP
        below = max(_title_room(notes, max(other.width, _LEAST_FACE)), _TWO_LINES)
        up = (
            max(one.top, other.top) - min(one.bottom, other.bottom)
            if not shape.is_floor
            else max(one.height, other.height)
        )
        if up + below > height or across > wide:
            continue
        room = (wide - across - _LEAST_GAP, height)
        if layout.access_below:
            room = (band.width - words, layout.lower.height)
        access = _access(detail, shape, scale, room)
        if access is None:
            continue
        views = _Views(section, face, access, notes, more)
        if layout.access_below or access.scale <= 2.5 * scale:
            return views
        best = best or views
    return best


def _chosen(detail: InstallationDetail, shape: Shape, layout: _Layout) -> tuple[_Views, _Layout]:
    """The views and the layout they stand in: without columns of words where that is what it takes to see anything."""
    made = _views(detail, shape, layout)
    if made is not None and made.section.scale <= _SMALL_ENOUGH:
        return made, layout
    wordless = replace(layout, callout=0.0)
    larger = _views(detail, shape, wordless)
    if larger is not None and (made is None or larger.section.scale < made.section.scale):
        return larger, wordless
    if made is None:
        raise ValueError("no scale shows this installation")  # the scales go on to 1 : 10000
    return made, layout


def _access(detail: InstallationDetail, shape: Shape, least: float, room: tuple[float, float]) -> Canvas | None:
    """The view of the access at the largest scale, no larger than 1 : `least`, at which it fits a room [mm]."""
    if room[0] < 25:
        return None
    size = access_size(shape)
    for scale in _scales_from(max(least, size[0] / room[0], size[1] / room[1])):
        access = draw_access(detail, shape, scale)
        box = access.footprint()
        if (
            box.width <= room[0]
            and box.height + _title_room((_access_words(shape),), max(box.width, _LEAST_FACE)) <= room[1]
        ):
            return access
    return None


def _put(
    canvas: Canvas,
    name: str,
    words: Sequence[str],
    at: tuple[float, float],
    bottom: float,
    changed: frozenset[str],
    column: Box | None,
    *,
    on_left: bool = True,
    width: float = 0.0,
) -> tuple[View, list[Item], list[str]]:
    """A view with its origin at a point, its title below it, and the words that found no room in its column."""
    title = f"{name}  1:{number_text(canvas.scale)}"
    room = column if column is not None and column.width > 0 else None
    view, rest = canvas.view(title, " ".join((name, *words)), at, changed, column=room, column_left=on_left)
    box = canvas.footprint()
    left = at[0] + box.left
    top = bottom - 2.0
    head = Text((left, top - _TITLE * 0.8), title, _TITLE, ink=Ink.STRONG)
    rows = [row for text in words if text for row in folded(text, width or max(box.width, _LEAST_FACE), _QUIET, 2)]
    below = text_items(rows, (left, top - _TITLE * 1.25), _QUIET, Ink.QUIET)
    return view, [head, *below], [item.text for item in rest]


def _band_height(made: _Views, layout: _Layout, shape: Shape) -> float:
    """How high the band of a sheet on its long side has to be for its views and their columns of words [mm]."""
    one, other, third = made.section.footprint(), made.face.footprint(), made.access.footprint()
    up = max(one.height, other.height)
    if not shape.is_floor:
        up = max(one.top, other.top) - min(one.bottom, other.bottom)
    below = max(_title_room(made.notes, max(other.width, _LEAST_FACE)), _TWO_LINES)
    access = third.height + _title_room((_access_words(shape),), max(third.width, _LEAST_FACE))
    words = [0.0]
    if layout.callout > 0:
        words = [column_needed(canvas.callouts, layout.callout) for canvas in (made.section, made.access)]
    return min(max(up + below + 2.0, access + 2.0, words[0] + 2.0, words[-1] + _TWO_LINES, _LEAST_BAND), _BAND)


def _placed(
    detail: InstallationDetail, shape: Shape, made: _Views, layout: _Layout, changed: frozenset[str]
) -> tuple[tuple[View, ...], list[Item], list[str]]:
    """The views at their places, their titles, and the words without room."""
    band, upper, words = layout.band, layout.upper, layout.callout + _LEADERS
    one, other, third = made.section.footprint(), made.face.footprint(), made.access.footprint()
    face_width = max(other.width, _LEAST_FACE)
    used = words + one.width + face_width
    if not layout.access_below:
        used += third.width + words
    gap = min((band.width - used) / (4 if not layout.access_below else 3), 14.0)
    x = band.left + words + gap
    section_x = x - one.left
    x += one.width + gap
    face_x = x - other.left
    x += face_width + gap
    cut = "Upright along model x; side A below." if shape.is_floor else "Upright; side A on the left."
    below = max(_title_room(made.notes, face_width), _title_room((cut,), one.width + max(gap, 0.0) - 1.0))
    section_y = face_y = upper.top - other.top
    if shape.is_floor:
        tall = max(one.height, other.height)
        roof = upper.top - (upper.height - below - tall) / 2
        section_y, face_y = roof - (tall - one.height) / 2 - one.top, roof - (tall - other.height) / 2 - other.top
        floor = roof - tall
    else:  # section and face of a wall stand level with each other
        high, low = max(one.top, other.top), min(one.bottom, other.bottom)
        section_y = face_y = upper.top - (upper.height - below - (high - low)) / 2 - high
        floor = section_y + low
    seen = "from above, model x to the right" if shape.is_floor else "from the side the duct comes from"
    column = Box(band.left, upper.bottom, band.left + layout.callout, upper.top)
    section = _put(
        made.section,
        "Section",
        (cut,),
        (section_x, section_y),
        floor,
        changed,
        column,
        width=one.width + max(gap, 0.0) - 1.0,
    )
    about = (f"Seen {seen}.", *made.notes)
    face = _put(made.face, "Face", about, (face_x, face_y), floor, changed, None)
    on_left = access_words_on_left(shape) and not layout.access_below
    room = layout.lower if layout.access_below else Box(x, band.bottom, band.right, band.top)
    if on_left:
        column = Box(room.left + 2.0, room.bottom, room.left + 2.0 + layout.callout, room.top)
        left = column.right + _LEADERS + max(0.0, min(gap, room.right - column.right - _LEADERS - third.width))
    else:
        spare = room.width - layout.callout - _LEADERS - third.width
        left = room.left + (spare / 2 if layout.access_below else max(0.0, min(spare, gap)))
        near = min(room.right - layout.callout, left + third.width + _LEADERS + 6.0)
        column = Box(near, room.bottom, near + layout.callout, room.top)
    origin_y = section_y
    head = _title_room((_access_words(shape),), max(third.width, _LEAST_FACE))
    if origin_y + third.top > room.top or origin_y + third.bottom < room.bottom + head or layout.access_below:
        origin_y = room.top - (room.height - head - third.height) / 2 - third.top
    origin = (left - third.left, origin_y)
    bottom = origin_y + third.bottom
    if not layout.access_below and floor - room.bottom >= head:
        bottom = min(bottom, floor)
    column = Box(column.left, max(column.bottom, bottom - 1.0), column.right, column.top)
    access = _put(made.access, "Access", (_access_words(shape),), origin, bottom, changed, column, on_left=on_left)
    every = (section, face, access)
    return (
        tuple(view for view, _, _ in every),
        [item for _, items, _ in every for item in items],
        [*made.more, *(text for _, _, lost in every for text in lost)],
    )


def _access_words(shape: Shape) -> str:
    known = "" if shape.side is not None else " Drawn on the right: the mechanism's side is to be settled."
    if shape.is_floor:
        return f"Upright; side A below.{known}"
    side = "from the side" if shape.drawn_side.value in {"top", "bottom"} else "from above"
    return f"Seen {side}; side A on the left.{known}"


def _status(detail: InstallationDetail, title: TitleFacts) -> str:
    """Only what may be built, and was issued, is for construction."""
    if detail.standing is not Standing.TO_BUILD:
        return _NOT_YET
    return _CONSTRUCTION if title.issued else _NOT_ISSUED


def _block_of(detail: InstallationDetail, title: TitleFacts, number: int, count: int, scale: str) -> TitleBlock:
    penetration = detail.penetration
    width, height = (size_figure(detail, "damper", height=up) for up in (False, True))
    round_one = width is not None and width is height
    size = dimension_text(width) if width is not None else ""
    if width is not None and height is not None and not round_one:
        size = f"{size} × {dimension_text(height)}"
    code = penetration.barrier.wall_type_code
    barrier = "floor" if is_floor(detail) else "wall"
    named = f"{barrier} {code.value}" if isinstance(code, Known) else barrier
    storey = penetration.location.storey
    place = [storey.value if isinstance(storey, Known) else "storey not known", penetration.location.words]
    also = [f"{kind}: {text}" for kind, text in penetration.aliases[:3]]
    return TitleBlock(
        owner=drawable(title.job),
        number=drawable(sheet_number(title, detail)),
        title=drawable(f"Damper {'Ø ' if round_one else ''}{size} in {named}"),
        supplementary=drawable("; ".join([*(text for text in place if text), *also])),
        revision=drawable(title.revision),
        issued=drawable(title.issued),
        sheet=f"{number} of {count}",
        kind="Installation sheet",
        status=_status(detail, title),
        department=drawable(title.department),
        reference=drawable(title.reference),
        drawn=drawable(title.drawn),
        checked=drawable(title.checked),
        approved=drawable(title.approved),
        scale=scale,
        note=drawable(title.note),
    )


def installation_sheets(
    detail: InstallationDetail,
    title: TitleFacts,
    *,
    paper: str = "A3",
    plan: StoreyPlan | None = None,
    changed: frozenset[str] = frozenset(),
) -> tuple[Sheet, ...]:
    """The sheets of a penetration: the drawing first, then where every number comes from and what found no room.

    `changed` are the keys of figures that differ from the revision before: each has a cloud. `plan` is the plan of the
    storey for the key plan.

    Raises
    ------
    InputError : the detail is not drawn; its problems say why
    """
    if detail.standing is Standing.NOT_DRAWN:
        raise InputError(
            [
                Fault(
                    detail.id, "", "; ".join(detail.problems) or detail.why or "no detail", "a detail that can be built"
                )
            ]
        )
    size = PAPERS[paper]
    layout = _layout(size)
    shape = shape_of(detail)
    made, layout = _chosen(detail, shape, layout)
    if not layout.access_below:
        layout = replace(_layout(size, _band_height(made, layout, shape)), callout=layout.callout)
    views, items, rest = _placed(detail, shape, made, layout, changed)
    marks: list[tuple[str, Box]] = []
    column_width = layout.words[0].width
    blocks: list[Block] = [evidence_block(detail, column_width, rest)]
    if detail.to_settle or detail.problems:
        blocks.append(settle_block(detail, column_width))
    blocks.append(steps_block(detail.steps, column_width))
    told = flow(blocks, layout.words)
    left = list(told.rest)
    flowed: list[Flowed] = [told]
    if layout.numbers:
        last = layout.words[-1]
        spare = Box(last.left, last.bottom, last.right, told.bottoms[-1] - 3.4)
        room = (*layout.numbers, spare) if spare.height > 20 and not told.rest else layout.numbers
        numbers = flow([numbers_block(detail, layout.numbers[0].width)], room)
        flowed.append(numbers)
        left += numbers.rest
    else:
        left.append(numbers_block(detail, column_width))
    key, hatch, bars, warn = layout.foot
    foot: list[Item] = [*key_plan(detail.penetration, plan, key)]
    foot += legend([item for view in views for item in view.items], hatch)
    foot += scale_bars([view.denominator for view in views], bars)
    foot += cautions(title.cautions, warn)
    body: list[Item] = [*items, *foot]
    for part in flowed:
        body += part.items
        marks += part.marks
    body += _clouds(marks, changed)
    further = _further(detail, title, size, left, changed)
    count = 1 + len(further)
    scale = ", ".join(dict.fromkeys(f"1:{number_text(view.denominator)}" for view in views))
    block = _block_of(detail, title, 1, count, scale)
    words = f"{block.number}: {block.title}. {block.status}. {detail.why}"
    first = Sheet(
        block.number,
        block.title,
        size,
        sheet_frame(size, block),
        views,
        (Group("", tuple(body), layer=Layer.TEXT),),
        words,
        title.revision,
    )
    return (
        first,
        *(
            replace(sheet, frame=sheet_frame(size, _block_of(detail, title, number, count, "")))
            for number, sheet in enumerate(further, start=2)
        ),
    )


def _further(
    detail: InstallationDetail, title: TitleFacts, paper: Paper, left: Sequence[Block], changed: frozenset[str]
) -> list[Sheet]:
    """The sheets after the first: what found no room on it, then where every number comes from."""
    areas = areas_of(paper)
    inner = areas.frame.grown(-3.0)
    above = areas.title.top + _NOTE_STRIP + 3.0
    sheets: list[Sheet] = []
    waiting: list[Block] = list(left)
    narrow = _layout(paper).words[0].width
    box = Box(inner.left, above, inner.right, inner.top)
    while waiting:
        count = max(1, int((box.width + 5.0) // (narrow + 5.0)))
        part = flow(
            waiting,
            [
                Box(inner.left + n * (narrow + 5.0), above, inner.left + n * (narrow + 5.0) + narrow, inner.top)
                for n in range(count)
            ],
        )
        waiting = _rest_of(part, waiting)
        sheets.append(_plain_sheet(detail, title, paper, part, changed))
    waiting = [trace_block(detail, inner.width)]
    while waiting:
        part = flow(waiting, [box])
        waiting = _rest_of(part, waiting)
        sheets.append(_plain_sheet(detail, title, paper, part, changed))
    return sheets


def _clouds(marks: Sequence[tuple[str, Box]], changed: frozenset[str]) -> list[Item]:
    """A cloud about each line of a table whose figure changed; flat enough to stay off the lines beside it."""
    return [cloud(box, 0.0, 0.3) for box in dict.fromkeys(box for key, box in marks if key in changed)]


def _rest_of(part: Flowed, before: Sequence[Block]) -> list[Block]:
    """What is left over; an empty sheet would go on for ever."""
    if not part.items and before:
        raise ValueError("a row that is higher than a whole sheet")
    return list(part.rest)


def _plain_sheet(
    detail: InstallationDetail, title: TitleFacts, paper: Paper, part: Flowed, changed: frozenset[str]
) -> Sheet:
    clouds = _clouds(part.marks, changed)
    block = _block_of(detail, title, 0, 0, "")
    return Sheet(
        block.number,
        f"{block.title}: where the numbers come from",
        paper,
        (),
        (),
        (Group("", (*part.items, *clouds), layer=Layer.TEXT),),
        "",
        title.revision,
    )


def installation_sheet(
    detail: InstallationDetail,
    title: TitleFacts,
    *,
    paper: str = "A3",
    plan: StoreyPlan | None = None,
    changed: frozenset[str] = frozenset(),
) -> Sheet:
    """The first of `installation_sheets`: the drawing.

    Raises
    ------
    InputError : the detail is not drawn; its problems say why
    """
    return installation_sheets(detail, title, paper=paper, plan=plan, changed=changed)[0]
