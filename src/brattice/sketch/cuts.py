# SPDX-License-Identifier: Apache-2.0
"""The cuts of an installation sheet: the section along the duct, and the view that shows how it is reached.

Walls are cut upright with side A to the left; floors are cut along model x with side A below. What is drawn without
measure (legs of angles, screws, the mechanism's length) takes its size from the paper.
"""

from __future__ import annotations

from brattice.building.words import Handing, MountingPosition
from brattice.details.detail import InstallationDetail
from brattice.details.figures import TO_BE_SETTLED
from brattice.drawing.primitives import Circle, Fill, Layer, Pen, Polygon
from brattice.findings import Known
from brattice.sketch.edge import mark_edge
from brattice.sketch.in_zone import draw_in_zone
from brattice.sketch.parts import (
    Lines,
    barrier_part,
    damper_part,
    duct_part,
    fixing_part,
    margin_of,
    seal_part,
    stub_of,
)
from brattice.sketch.shape import Shape, size_figure
from brattice.sketch.texts import dimension_text, drawable
from brattice.sketch.viewing import Canvas, Span, ink_of

__all__ = ["access_notes", "access_size", "access_words_on_left", "draw_access", "draw_section", "section_size"]


def _limits(shape: Shape, lines: Lines) -> tuple[float, float]:
    stub = stub_of(lines)
    swing = shape.open_blade or (0.0, 0.0)
    return (
        min(shape.casing_start, -shape.half, swing[0] + 0.4 * stub) - stub,
        max(shape.casing_end, shape.half, swing[1] - 0.4 * stub) + stub,
    )


def _rod_room(shape: Shape, lines: Lines) -> float:
    """How much is drawn above the casing for the rods [mm]."""
    return 0.0 if not shape.rods else max(1.3 * margin_of(lines), 0.3 * (lines.high - lines.low), 160.0)


def _section_lines(shape: Shape) -> Lines:
    return Lines.of(shape, upright=not shape.is_floor)


def section_size(shape: Shape) -> tuple[float, float]:
    """Width and height of the section [mm], dimensions and words aside."""
    lines = _section_lines(shape)
    low, high = _limits(shape, lines)
    across = lines.high - lines.low + 2 * margin_of(lines) + max(0.0, _rod_room(shape, lines) - margin_of(lines))
    return (across, high - low) if shape.is_floor else (high - low, across)


def _is_upright_access(shape: Shape) -> bool:
    """Whether mechanism and door are above or below: the view of the access is then seen from the side."""
    return shape.drawn_side in {Handing.TOP, Handing.BOTTOM}


def _access_reach(shape: Shape, lines: Lines) -> tuple[float, float, float, float]:
    """From, to along the duct; low, high across [mm] of the view of the access."""
    start, end = _limits(shape, lines)
    depth = max(shape.beyond or 0.0, 120.0)
    if shape.door is not None:
        start, end = min(start, shape.door.start - 60.0), max(end, shape.door.end + 60.0)
        if shape.door.zone is not None:
            middle = (shape.door.start + shape.door.end) / 2
            reach = shape.door.zone[0] / 2 + 40.0
            start, end = min(start, middle - reach), max(end, middle + reach)
            depth = max(depth, shape.door.zone[1] + 30.0)
    margin = margin_of(lines)
    if shape.drawn_side in {Handing.LEFT, Handing.BOTTOM}:
        return start, end, min(lines.low - margin, lines.casing.low - depth), lines.high + margin
    return start, end, lines.low - margin, max(lines.high + margin, lines.casing.high + depth)


def access_size(shape: Shape) -> tuple[float, float]:
    """Width and height of the view of the access [mm], dimensions and words aside."""
    lines = Lines.of(shape, upright=_is_upright_access(shape))
    start, end, low, high = _access_reach(shape, lines)
    return (high - low, end - start) if shape.is_floor else (end - start, high - low)


def _draw_mechanism(canvas: Canvas, shape: Shape, lines: Lines, *, profile: bool) -> tuple[float, float] | None:
    """The mechanism beside or on the casing; where a leader finds it."""
    start = max(shape.half + 0.4 * canvas.scale, shape.casing_end - 0.45 * (shape.casing_end - shape.casing_start))
    if shape.position is not MountingPosition.IN_BARRIER:
        start = shape.casing_start + 0.3 * (shape.casing_end - shape.casing_start)
    end = max(shape.casing_end - 0.3 * canvas.scale, start + 2.2 * canvas.scale)
    if shape.reached_from_a:  # the end with the mechanism is that on side A
        first = min(
            -shape.half - 0.4 * canvas.scale, shape.casing_start + 0.45 * (shape.casing_end - shape.casing_start)
        )
        start, end = min(shape.casing_start + 0.3 * canvas.scale, first - 2.2 * canvas.scale), first
    known = shape.side is not None and shape.beyond is not None
    pen = Pen.EDGE if known else Pen.UNKNOWN
    if not profile:
        middle = (lines.casing.low + lines.casing.high) / 2
        tall = 0.18 * (lines.casing.high - lines.casing.low)
        canvas.area(Layer.DAMPER, (start, end), (middle - tall, middle + tall), Fill.PAPER, pen)
        return (start + end) / 2, middle
    out = shape.beyond if shape.beyond is not None else 3.0 * canvas.scale
    is_low = shape.drawn_side in {Handing.LEFT, Handing.BOTTOM}
    edge = lines.casing.low if is_low else lines.casing.high
    far = edge - out if is_low else edge + out
    canvas.area(Layer.DAMPER, (start, end), (min(edge, far), max(edge, far)), Fill.METAL, pen)
    return start if shape.reached_from_a else end, (edge + far) / 2


def _draw_rods(canvas: Canvas, detail: InstallationDetail, shape: Shape, lines: Lines, roof: float) -> None:
    """Drop rods from the casing to what they hang from, with their length and words."""
    if not shape.rods:
        return
    inset = min(0.14 * (shape.casing_end - shape.casing_start), 40.0)
    places = (shape.casing_start + inset, shape.casing_end - inset)
    if shape.position is MountingPosition.IN_BARRIER:  # rods stand clear of the barrier
        places = (min(places[0], -shape.half - 1.5 * canvas.scale), max(places[1], shape.half + 1.5 * canvas.scale))
    size, count = detail.figure("rod-size"), detail.figure("rod-count")
    known = size is not None and size.is_settled and count is not None and count.is_settled
    pen = Pen.EDGE if known else Pen.UNKNOWN
    slab = roof + 3.2 * canvas.scale
    canvas.area(
        Layer.SUPPORT,
        (places[0] - 3 * canvas.scale, places[1] + 3 * canvas.scale),
        (roof, slab),
        Fill.CONCRETE if detail.figure("slab") is not None else Fill.NONE,
        None,
    )
    canvas.line(Layer.SUPPORT, Pen.CUT, (places[0] - 3 * canvas.scale, roof), (places[1] + 3 * canvas.scale, roof))
    middle = (lines.casing.high + roof) / 2
    kink = 0.7 * canvas.scale
    for at in places:
        bearer = lines.casing.high
        canvas.line(Layer.SUPPORT, pen, (at, bearer), (at, middle - kink))
        canvas.line(Layer.SUPPORT, pen, (at, middle + kink), (at, slab - 1.2 * canvas.scale))
        for y in (middle - kink, middle + kink):
            canvas.line(Layer.SUPPORT, Pen.THIN, (at - kink, y - kink / 2), (at + kink, y + kink / 2))
        canvas.line(Layer.SUPPORT, Pen.EDGE, (at - 0.9 * canvas.scale, bearer), (at + 0.9 * canvas.scale, bearer))
    said = [detail.text(key) for key in ("rod-count", "rod-size")]
    words = [TO_BE_SETTLED if TO_BE_SETTLED in said else " × ".join(said) + ("" if known else f" ({TO_BE_SETTLED})")]
    if detail.figure("rods-protected") is not None:
        words.append(f"protected: {detail.text('rods-protected')}")
    length = detail.figure("rod-length")
    if length is not None:
        words.append(f"length {length.text}")
    canvas.call(
        places[0],
        roof - 0.35 * (roof - lines.casing.high),
        "drop rods: " + ", ".join(words),
        ("rod-count", "rod-size", "rod-length", "rods-protected"),
        rank=2,
        ink=ink_of(detail, "rod-count", "rod-size"),
    )
    hung = [detail.text(key) for key in ("slab", "anchor") if detail.figure(key) is not None]
    if hung:
        canvas.call(
            places[0] - 1.5 * canvas.scale,
            roof + 1.4 * canvas.scale,
            "hung from: " + "; ".join(hung),
            ("slab", "anchor"),
            rank=4,
        )


def draw_section(detail: InstallationDetail, shape: Shape, scale: float) -> Canvas:
    """The section along the duct at 1 : `scale`, with dimensions and the words that name its parts."""
    canvas = Canvas(scale, 1 if shape.is_floor else 0)
    lines = _section_lines(shape)
    margin, limits = margin_of(lines), _limits(shape, lines)
    low, high = lines.low - margin, lines.high + margin
    roof = lines.casing.high + _rod_room(shape, lines)
    barrier_part(canvas, shape, lines, low, high)
    duct_part(canvas, detail, shape, lines, limits)
    seal_part(canvas, shape, lines)
    damper_part(canvas, shape, lines)
    fixing_part(canvas, shape, lines)
    _draw_mechanism(canvas, shape, lines, profile=_is_upright_access(shape) != shape.is_floor) if (
        _is_upright_access(shape) == lines.upright
    ) else None
    _draw_rods(canvas, detail, shape, lines, max(roof, high + 3.2 * canvas.scale))
    base, far = (lines.framed.high, high) if not shape.is_floor else (lines.framed.low, low)
    canvas.call(0.0, base + (far - base) * 0.7, shape.barrier.title, rank=3)
    size = [size_figure(detail, "damper", height=height) for height in (False, True)]
    product = detail.tested.product if detail.tested is not None else TO_BE_SETTLED
    third = lines.casing.high - lines.casing.low
    sizes = [dimension_text(item) for item in size if item is not None]
    if shape.duct.is_round:
        sizes = sizes[:1]
    canvas.call(
        shape.casing_start + 0.12 * (shape.casing_end - shape.casing_start),
        lines.casing.high - 0.28 * third,
        f"damper {product}, {'Ø ' if shape.duct.is_round else ''}{' × '.join(sizes)}",
        tuple(item.key for item in size if item is not None),
        rank=1,
    )
    canvas.call(
        shape.blade,
        lines.casing.low + 0.52 * third,
        f"closed blade, off the middle of the barrier: {detail.text('blade-offset')}",
        ("blade-offset",),
        rank=1,
        ink=ink_of(detail, "blade-offset"),
    )
    if shape.open_blade is not None:
        canvas.call(
            (max(shape.open_blade[0], shape.casing_start) + shape.blade) / 2,
            (lines.casing.low + lines.casing.high) / 2,
            "open blade",
            rank=6,
        )
    for side, at in (("a", shape.casing_start), ("b", shape.casing_end)):
        if detail.figure(f"joint-{side}") is not None:
            edge = lines.duct.low if side == "a" else lines.duct.high
            canvas.call(
                at,
                edge,
                f"joint, side {side.upper()}: {detail.text(f'joint-{side}')}",
                (f"joint-{side}",),
                rank=2,
                ink=ink_of(detail, f"joint-{side}"),
            )
    mark_edge(canvas, shape)
    _draw_airflow(canvas, detail, shape, _letter_sides(canvas, shape, *limits))
    _section_chains(canvas, detail, shape)
    return canvas


def _section_chains(canvas: Canvas, detail: InstallationDetail, shape: Shape) -> None:
    """Barrier, casing and blade along the duct; across it the face and the edge have every dimension."""
    along_sides = ("right", "right") if shape.is_floor else ("top", "bottom")
    half = shape.half
    thickness = detail.figure("barrier-thickness")
    canvas.chain(along_sides[0], [Span(-half, half, thickness, is_known=shape.thickness_known)])
    length = detail.figure("casing-length")
    below = []
    if length is not None:
        below.append(Span(shape.casing_start, shape.casing_end, length, "casing", is_known=shape.casing_known))
    canvas.chain(along_sides[1], below)
    offset = detail.figure("blade-offset")
    if offset is not None and offset.value and abs(shape.blade) > 0.5:
        canvas.chain(along_sides[1], [Span(min(0.0, shape.blade), max(0.0, shape.blade), offset, "blade")])


def draw_access(detail: InstallationDetail, shape: Shape, scale: float) -> Canvas:
    """How mechanism and blade are reached: door, clear working zone, mechanism; from above in a wall (from the side
    where they are above or below the duct), upright in a floor.
    """
    upright = _is_upright_access(shape)
    lines = Lines.of(shape, upright=upright)
    canvas = Canvas(scale, 1 if shape.is_floor else 0 if upright else -1)
    start, end, low, high = _access_reach(shape, lines)
    margin = margin_of(lines)
    _draw_zone(canvas, detail, shape, lines)
    draw_in_zone(canvas, detail, shape, *_side_edges(shape, lines))
    barrier_part(canvas, shape, lines, min(lines.low - margin, low), max(lines.high + margin, high))
    duct_part(canvas, detail, shape, lines, (start, end))
    seal_part(canvas, shape, lines)
    damper_part(canvas, shape, lines)
    at = _draw_mechanism(canvas, shape, lines, profile=True)
    if at is not None and detail.figure("handing") is not None:
        words = f"mechanism: {detail.text('handing')}, looking along the airflow"
        if detail.figure("mechanism-beyond") is not None:
            words += f"; beyond the casing {detail.text('mechanism-beyond')}"
        canvas.call(
            *at, words, ("handing", "mechanism-beyond"), rank=1, ink=ink_of(detail, "handing", "mechanism-beyond")
        )
    _letter_sides(canvas, shape, start, end)
    _draw_door(canvas, detail, shape, lines)
    return canvas


def _letter_sides(canvas: Canvas, shape: Shape, start: float, end: float) -> float:
    """The letters of the sides of the barrier, at both ends of the duct; where what is drawn ends on side B [mm]."""
    off = 3.6 * canvas.scale
    middle = (shape.duct.bottom + shape.duct.top) / 2
    if end - start < 5 * off:  # no room within: beyond the ends
        off, middle = -off, middle + (-3.0 if shape.is_floor else 3.0) * canvas.scale
    canvas.letter(start + off, middle, "A")
    canvas.letter(end - off, middle, "B")
    return end if off > 0 else end - 1.7 * off


def _draw_airflow(canvas: Canvas, detail: InstallationDetail, shape: Shape, end: float) -> None:
    """The way of the air, beyond the duct on side B: side A is where the duct comes from."""
    flow = detail.figure("air-flow")
    if flow is None or not flow.is_settled:
        return
    s = canvas.scale
    start, tip, wide = end + 1.6 * s, end + 8.0 * s, 1.0 * s
    canvas.line(Layer.DUCT, Pen.EDGE, (start, 0.0), (tip, 0.0))
    head = ((tip, 0.0), (tip - 2.6 * s, wide), (tip - 2.6 * s, -wide))
    canvas.add(Layer.DUCT, Polygon((tuple(canvas.point(*point) for point in head),), Fill.INK, Pen.THIN))


def _side_edges(shape: Shape, lines: Lines) -> tuple[float, int]:
    """The edge of the duct that door and mechanism are on, and which way is out."""
    is_low = shape.drawn_side in {Handing.LEFT, Handing.BOTTOM}
    return (lines.duct.low, -1) if is_low else (lines.duct.high, 1)


def _draw_zone(canvas: Canvas, detail: InstallationDetail, shape: Shape, lines: Lines) -> None:
    door = shape.door
    if door is None or door.zone is None:
        return
    edge, out = _side_edges(shape, lines)
    middle = (door.start + door.end) / 2
    a, b = middle - door.zone[0] / 2, middle + door.zone[0] / 2
    far = edge + out * door.zone[1]
    pen = Pen.FAINT if door.zone_known and shape.side is not None else Pen.UNKNOWN
    canvas.area(Layer.ACCESS, (a, b), (min(edge, far), max(edge, far)), Fill.PAPER, pen)
    canvas.line(Layer.ACCESS, Pen.FAINT, (a, edge), (b, far))
    canvas.line(Layer.ACCESS, Pen.FAINT, (a, far), (b, edge))
    canvas.call(
        b - 0.12 * (b - a),
        edge + out * 0.88 * door.zone[1],
        "clear working zone: keep free of services",
        ("zone-width", "zone-depth"),
        rank=2,
        ink=ink_of(detail, "zone-width", "zone-depth"),
    )


def _draw_door(canvas: Canvas, detail: InstallationDetail, shape: Shape, lines: Lines) -> None:
    door = shape.door
    if door is None:
        canvas.chain(
            "left" if shape.is_floor else "top",
            [Span(shape.casing_start, shape.casing_end, detail.figure("casing-length"), "casing")]
            if detail.figure("casing-length") is not None
            else [],
        )
        return
    edge, out = _side_edges(shape, lines)
    thick = 0.7 * canvas.scale
    stated = detail.penetration.detail.reach_both_sides
    both = isinstance(stated, Known) and stated.value
    pen = Pen.CUT if door.is_known and door.side_known else Pen.UNKNOWN
    spots = [(door.start, door.end)]
    if both:
        spots.append((2 * shape.blade - door.end, 2 * shape.blade - door.start))
    for a, b in spots:
        canvas.area(
            Layer.ACCESS, (a, b), (min(edge, edge + out * thick), max(edge, edge + out * thick)), Fill.PAPER, pen
        )
        x, y = canvas.point((a + b) / 2, edge + out * 1.4 * thick)
        canvas.add(Layer.ACCESS, Circle((x, y), 0.45, Fill.INK))
    words = [f"{detail.text('door-width')} × {detail.text('door-height')}"]
    if detail.figure("access-side") is not None:
        words.append(f"reached from: {detail.text('access-side')}")
    canvas.call(
        (door.start + door.end) / 2,
        edge + out * thick * 0.5,
        "access door " + ", ".join(words),
        ("door-width", "door-height", "access-side"),
        rank=0,
        ink=ink_of(detail, "door-width", "door-height", "access-side"),
    )
    if detail.figure("ceiling") is not None:
        hatch = [detail.text(key) for key in ("hatch-width", "hatch-height") if detail.figure(key) is not None]
        canvas.call(
            door.start if door.on_a else door.end,
            edge,
            f"ceiling below: {detail.text('ceiling')}" + (f"; hatch {' × '.join(hatch)}" if hatch else ""),
            ("ceiling", "hatch-width", "hatch-height"),
            rank=4,
            ink=ink_of(detail, "ceiling", "hatch-width", "hatch-height"),
        )
    # in a wall the door is measured on the side away from the zone, in a floor all on the side of the zone
    away = (door.end, shape.blade) if door.on_a else (shape.blade, door.start)
    chain = [
        Span(*away, detail.figure("door-distance"), is_known=door.is_known),
        Span(door.start, door.end, detail.figure("door-width"), is_known=door.is_known),
    ]
    flipped = -1.0 if canvas.turned == -1 else 1.0
    zone_side = _zone_side(canvas, shape, out)
    door_side = zone_side if shape.is_floor else {"top": "bottom", "bottom": "top"}[zone_side]
    chain = [span for span in chain if span.figure is not None and span.end > span.start]
    canvas.chain(door_side, chain, None if shape.is_floor else flipped * edge)
    if door.zone is None:
        return
    middle, far = (door.start + door.end) / 2, edge + out * door.zone[1]
    half = door.zone[0] / 2
    zone = detail.figure("zone-width")
    if zone is not None:
        canvas.chain(zone_side, [Span(middle - half, middle + half, zone, is_known=door.zone_known)])
    depth = detail.figure("zone-depth")
    if depth is not None:
        a, b = sorted((flipped * edge, flipped * far))
        beside = ("bottom" if door.on_a else "top") if shape.is_floor else "right" if door.on_a else "left"
        canvas.chain(beside, [Span(a, b, depth, is_known=door.zone_known)])


def _zone_side(canvas: Canvas, shape: Shape, out: int) -> str:
    """The side of the paper that the working zone is on."""
    if shape.is_floor:
        return "right" if out > 0 else "left"
    return "top" if (out > 0) == (canvas.turned != -1) else "bottom"


def access_notes(detail: InstallationDetail, shape: Shape) -> tuple[str, ...]:
    """What is said below the view of the access: from where it is seen, and what is drawn by convention alone."""
    notes = []
    if shape.is_floor:
        notes.append("Upright; side A below.")
    else:
        side = "from the side" if _is_upright_access(shape) else "from above"
        notes.append(f"Seen {side}; side A on the left.")
    if shape.door is not None and not shape.door.side_known:
        said = detail.figure("access-side")
        notes.append(
            "Drawn on side B: from which side it is reached is to be settled."
            if said is None or not said.is_settled
            else f"Drawn on side B: “{drawable(said.text)}” names neither side A nor B."
        )
    if shape.side is None:
        notes.append("Drawn on the right: the mechanism's side is to be settled.")
    return tuple(notes)


def access_words_on_left(shape: Shape) -> bool:
    """Whether the words of the view of the access stand left of it: away from the dimensions of the zone."""
    return shape.is_floor and shape.drawn_side not in {Handing.LEFT, Handing.BOTTOM}
