# SPDX-License-Identifier: Apache-2.0
"""The installation sheet: one penetration on one sheet of paper, composed from its installation detail alone.

The first sheet has what is built by: the views, the edge enlarged, every step and hold point, and as many numbers as
there is room for beside them. Upright paper has section, face and steps first, then the edge and the access. Sheets
after those say where every number comes from.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from brattice.building.north import NO_NORTH
from brattice.building.plan import StoreyPlan
from brattice.details.detail import InstallationDetail, Standing
from brattice.drawing.primitives import Box, Group, Item, Layer
from brattice.drawing.sheet import TITLE_HEIGHT_MM, TITLE_WIDTH_MM, TitleBlock, areas_of, columns, sheet_frame
from brattice.drawing.views import A3, A4, Paper, Sheet, View
from brattice.errors import Fault, InputError
from brattice.findings import Known
from brattice.quantities import number_text
from brattice.sketch.arrange import Band, band_height, joined, place_access, place_band, place_edge
from brattice.sketch.flow import Block, Flowed, flow
from brattice.sketch.margin import cautions, cautions_height, key_plan, legend, scale_bars
from brattice.sketch.shape import Shape, is_floor, shape_of, size_figure
from brattice.sketch.tables import evidence_block, numbers_block, settle_block, steps_block, trace_block
from brattice.sketch.texts import dimension_text, drawable
from brattice.sketch.viewing import cloud

__all__ = ["PAPERS", "TitleFacts", "block_of", "installation_sheet", "installation_sheets", "sheet_number"]

PAPERS = {"A3": A3, "A4": A4}
"""The papers a sheet can be had on, by name."""

_CONSTRUCTION = "for construction"
_NOT_YET = "to be settled – not for construction"
_NOT_ISSUED = "not issued – not for construction"
_NOTE_STRIP = 6.0
_GUTTER = 5.0
_CALLOUT = 46.0
_EDGE_CALLOUT = 35.0
_EDGE_WIDTH = 122.0
_BANDS = (128.0, 118.0, 106.0, 92.0)
"""How high the band of views may be [mm], the next where steps would have no room else."""
_UPRIGHT_BANDS = (104.0, 92.0, 80.0, 70.0)
_UPRIGHT_CALLOUT = 36.0
_UPRIGHT_NOTES = 4
_LEAST_TABLE = 17.0


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


def sheet_number(title: TitleFacts, detail: InstallationDetail) -> str:
    """The number of a penetration's sheet: the job's short name and the permanent id."""
    return f"{title.short}-{detail.id}" if title.short else detail.id


@dataclass(frozen=True)
class _Page:
    """What stands on one sheet: views, all else, where figures stand, and the blocks that found no room."""

    views: tuple[View, ...]
    items: tuple[Item, ...]
    marks: tuple[tuple[str, Box], ...]
    rest: tuple[Block, ...]
    is_whole: bool = True
    """Whether every step and hold point stands on it."""


def _above_title(paper: Paper) -> float:
    return areas_of(paper).frame.bottom + TITLE_HEIGHT_MM + _NOTE_STRIP + 3.0


def _texts(detail: InstallationDetail, width: float, words: Sequence[str]) -> tuple[Block, list[Block], Block]:
    """Evidence, what is to be settled (none or one), the steps, all for a column of this width [mm]."""
    settle = [settle_block(detail, width)] if detail.to_settle or detail.problems else []
    return evidence_block(detail, width, words), settle, steps_block(detail.steps, width)


def _wide_page(
    detail: InstallationDetail, shape: Shape, title: TitleFacts, plan: StoreyPlan | None, changed: frozenset[str]
) -> _Page:
    """The first sheet on its long side: the band of views, below it the edge enlarged and the words."""
    for most, last in (*((most, False) for most in _BANDS), (_BANDS[0], True)):
        band = Band.fitted(detail, shape, _top_of(A3, most), _CALLOUT, with_access=True)
        if band is not None:
            page = _wide_page_of(detail, shape, title, plan, changed, band, most)
            if page.is_whole or last:
                return page
    raise ValueError("no scale shows this installation")  # the scales go on to 1 : 10000


def _top_of(paper: Paper, height: float) -> Box:
    """The upper part of a sheet, so high [mm]."""
    inner = areas_of(paper).frame.grown(-3.0)
    return replace(inner, bottom=inner.top - height)


def _wide_page_of(
    detail: InstallationDetail,
    shape: Shape,
    title: TitleFacts,
    plan: StoreyPlan | None,
    changed: frozenset[str],
    band: Band,
    most: float,
) -> _Page:
    frame = areas_of(A3).frame
    inner, above = frame.grown(-3.0), _above_title(A3)
    high = _top_of(A3, band_height(band, detail, shape, most))
    views = place_band(band, detail, shape, high, changed)
    top = high.bottom - 3.0
    right = frame.right - TITLE_WIDTH_MM - _GUTTER + 4.0
    edge_box = Box(inner.left, above + 1.0, inner.left + _EDGE_WIDTH, top)
    edge = place_edge(detail, shape, edge_box, _EDGE_CALLOUT, changed)
    second = Box(edge_box.right + _GUTTER, above + 1.0, right, top)
    third, fourth = columns(Box(right + _GUTTER, above, inner.right, top), (1, 1), _GUTTER)
    below = Box(edge_box.left, edge_box.bottom, edge_box.right, edge.bottom - 4.0)
    width = min(second.width, third.width)
    told, spare = _told(detail, width, (*views.words, *edge.words), below, (second, third, fourth))
    is_whole = not any(block.title.startswith("Steps") for part in told for block in part.rest)
    flowed = [*told, *_numbers(detail, spare)]
    foot = Box(inner.left, inner.bottom, frame.right - TITLE_WIDTH_MM - 4.0, above - 2.0)
    drawn = joined((views, edge))
    items = [*drawn.items, *(item for part in flowed for item in part.items)]
    items += _foot(detail, title, plan, drawn.views, columns(foot, (42, 38, 38, 74), _GUTTER))
    marks = tuple(mark for part in flowed for mark in part.marks)
    rest = tuple(block for part in told for block in part.rest)
    return _Page(drawn.views, tuple(items), marks, rest, is_whole)


def _told(
    detail: InstallationDetail, width: float, words: Sequence[str], below: Box, three: tuple[Box, Box, Box]
) -> tuple[list[Flowed], list[Box]]:
    """The words in their columns, steps in the last two where they have room there; and what room is left over.

    Where not all of it has room the steps go first, and what is asked and shown goes on to the next sheet.
    """
    evidence, settle, steps = _texts(detail, width, words)
    second, third, fourth = three
    first, then = flow([evidence, *settle], [second]), flow([steps], [third, fourth])
    if not first.rest and not then.rest:
        return [first, then], [below, _left_of(second, first.bottoms[-1]), _left_of(fourth, then.bottoms[-1])]
    every = flow([evidence, *settle, steps], three)
    if not every.rest:
        return [every], [below, _left_of(fourth, every.bottoms[-1])]
    first, then = flow([evidence], [below]), flow([*settle, steps], three)
    if not first.rest and not then.rest:
        return [first, then], [_left_of(fourth, then.bottoms[-1])]
    every = flow([steps, *settle, evidence], (*three, below))
    return [every], []


def _left_of(column: Box, bottom: float) -> Box:
    """What is left of a column below what stands in it."""
    return replace(column, top=bottom - (3.4 if bottom < column.top else 0.0))


def _numbers(detail: InstallationDetail, spare: Sequence[Box]) -> Iterator[Flowed]:
    """As many numbers as the room that is left over has room for: all of them stand on the sheets after."""
    done = 0
    for box in spare:
        if box.height < _LEAST_TABLE:
            continue
        block = numbers_block(detail, box.width)
        if done:
            block = Block(f"{block.title}, continued", block.rows[done:])
        part = flow([block], [box])
        yield part
        if not part.rest:
            return
        done += len(block.rows) - len(part.rest[0].rows)


def _foot(
    detail: InstallationDetail,
    title: TitleFacts,
    plan: StoreyPlan | None,
    views: Sequence[View],
    boxes: Sequence[Box],
) -> list[Item]:
    """Key plan, legend, scale bars, and the cautions where they have a box."""
    items = [*key_plan(detail.penetration, plan, boxes[0])]
    items += legend([item for view in views for item in view.items], boxes[1])
    north = NO_NORTH if plan is None else plan.north
    items += scale_bars([view.denominator for view in views], boxes[2], north)
    if len(boxes) > 3:
        items += cautions(title.cautions, boxes[3])
    return items


def _upright_pages(
    detail: InstallationDetail, shape: Shape, title: TitleFacts, plan: StoreyPlan | None, changed: frozenset[str]
) -> tuple[_Page, _Page]:
    """The first two sheets of upright paper: section, face and steps; the edge, the access and the rest."""
    inner, above = areas_of(A4).frame.grown(-3.0), _above_title(A4)
    strip = cautions_height(title.cautions, inner.width)
    made: _Page | None = None
    words: tuple[str, ...] = ()
    scale = 1.0
    for most in _UPRIGHT_BANDS:
        box = _top_of(A4, most)
        band = Band.fitted(detail, shape, box, _UPRIGHT_CALLOUT, with_access=False, most_notes=_UPRIGHT_NOTES)
        if band is None:
            break
        high = _top_of(A4, band_height(band, detail, shape, most))
        views = place_band(band, detail, shape, high, changed)
        two = columns(Box(inner.left, above + strip + 3.0, inner.right, high.bottom - 3.0), (1, 1), _GUTTER)
        _, settle, steps = _texts(detail, two[0].width, ())
        told = flow([*settle, steps], two)
        if told.rest:
            told = flow([steps, *settle], two)
        warn = cautions(title.cautions, Box(inner.left, above, inner.right, above + strip))
        is_whole = not any(block.title == steps.title for block in told.rest)
        words, scale = views.words, band.scale
        made = _Page(views.views, (*views.items, *told.items, *warn), told.marks, told.rest, is_whole)
        if is_whole:
            break
    if made is None:
        raise ValueError("no scale shows this installation")  # the scales go on to 1 : 10000
    second = _second_page(detail, shape, title, plan, changed, made, words, scale)
    return replace(made, rest=()), second


def _second_page(
    detail: InstallationDetail,
    shape: Shape,
    title: TitleFacts,
    plan: StoreyPlan | None,
    changed: frozenset[str],
    first: _Page,
    words: Sequence[str],
    scale: float,
) -> _Page:
    inner, above = areas_of(A4).frame.grown(-3.0), _above_title(A4)
    edge_box = Box(inner.left, inner.top - 90.0, inner.right, inner.top)
    edge = place_edge(detail, shape, edge_box, _CALLOUT, changed)
    access_box = Box(inner.left, edge.bottom - 96.0, inner.right, edge.bottom - 4.0)
    access = place_access(detail, shape, access_box, _CALLOUT, changed, min(scale, 10.0))
    drawn = joined((edge, access))
    steps = [block for block in first.rest if block.title.startswith("Steps")]
    left, right = columns(Box(inner.left, above, inner.right, drawn.bottom - 4.0), (1, 1), _GUTTER)
    evidence, _, _ = _texts(detail, _half(A4), (*words, *drawn.words))
    told = flow([*steps, *(block for block in first.rest if block not in steps), evidence], [left])
    halves = columns(right, (1, 1), 4.0)
    lower = min(halves[0].height * 0.5, 26.0)
    plan_box = replace(halves[0], bottom=halves[0].bottom + lower)
    bars_box = replace(halves[0], top=halves[0].bottom + lower - 2.0)
    foot = _foot(detail, title, plan, drawn.views, (plan_box, halves[1], bars_box))
    return _Page(drawn.views, (*drawn.items, *told.items, *foot), told.marks, told.rest)


def _status(detail: InstallationDetail, title: TitleFacts) -> str:
    """Only what may be built, and was issued, is for construction."""
    if detail.standing is not Standing.TO_BUILD:
        return _NOT_YET
    return _CONSTRUCTION if title.issued else _NOT_ISSUED


def block_of(detail: InstallationDetail, title: TitleFacts, number: int, count: int, scale: str) -> TitleBlock:
    """The title block of one sheet of a detail: sheet `number` of `count`, its scales in words ("" for none)."""
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
    """The sheets of a penetration: what is built by first, then where every number comes from and what found no room.

    On upright paper the first two are what is built by. `changed` are the keys of figures that differ from the
    revision before: each has a cloud. `plan` is the plan of the storey for the key plan.

    Raises
    ------
    InputError : the detail is not drawn; its problems say why
    """
    if detail.standing is Standing.NOT_DRAWN:
        why = "; ".join(detail.problems) or detail.why or "no detail"
        raise InputError([Fault(detail.id, "", why, "a detail that can be built")])
    size, shape = PAPERS[paper], shape_of(detail)
    if size.width > size.height:
        pages: tuple[_Page, ...] = (_wide_page(detail, shape, title, plan, changed),)
        left = list(pages[-1].rest)
    else:
        pages = _upright_pages(detail, shape, title, plan, changed)
        left = [*pages[-1].rest, numbers_block(detail, _half(size))]
    further = _further(detail, title, size, left, changed)
    count = len(pages) + len(further)
    sheets = []
    for number, page in enumerate(pages, start=1):
        scale = ", ".join(dict.fromkeys(f"1:{number_text(view.denominator)}" for view in page.views))
        block = block_of(detail, title, number, count, scale)
        words = f"{block.number}: {block.title}. {block.status}. {detail.why}"
        body = (*page.items, *_clouds(page.marks, changed))
        drawn = Group("", body, layer=Layer.TEXT)
        frame = sheet_frame(size, block)
        sheets.append(Sheet(block.number, block.title, size, frame, page.views, (drawn,), words, title.revision))
    for number, sheet in enumerate(further, start=len(pages) + 1):
        sheets.append(replace(sheet, frame=sheet_frame(size, block_of(detail, title, number, count, ""))))
    return tuple(sheets)


def _half(paper: Paper) -> float:
    """How wide one of two columns is [mm]."""
    return (areas_of(paper).frame.width - 6.0 - _GUTTER) / 2


def _further(
    detail: InstallationDetail, title: TitleFacts, paper: Paper, left: Sequence[Block], changed: frozenset[str]
) -> list[Sheet]:
    """The sheets after those with views: what found no room on them, then where every number comes from."""
    inner, above = areas_of(paper).frame.grown(-3.0), _above_title(paper)
    box = Box(inner.left, above, inner.right, inner.top)
    # rows are as wide as their column was: on a sheet of words there may be more columns of that width
    beside = columns(box, (1,) * (3 if paper.width > paper.height else 2), _GUTTER)
    sheets: list[Sheet] = []
    for blocks, boxes in ((list(left), beside), ([trace_block(detail, inner.width)], [box])):
        waiting = blocks
        while waiting:
            part = flow(waiting, boxes)
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
    block = block_of(detail, title, 0, 0, "")
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
