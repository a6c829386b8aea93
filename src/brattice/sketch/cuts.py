# SPDX-License-Identifier: Apache-2.0
"""The cuts of an installation sheet: the section along the duct, and the view that shows how it is reached.

Walls are cut upright with side A to the left; floors are cut along model x with side A below. What is drawn without
measure (legs of angles, screws, the mechanism's length) takes its size from the paper.
"""

from __future__ import annotations

from dataclasses import dataclass

from brattice.building.words import FixingFamily, Handing, Joint, MountingPosition, plain
from brattice.details.detail import InstallationDetail
from brattice.details.figures import TO_BE_SETTLED
from brattice.drawing.primitives import Circle, Fill, Ink, Layer, Pen
from brattice.findings import Known
from brattice.sketch.shape import Shape, size_figure
from brattice.sketch.texts import dimension_text
from brattice.sketch.viewing import Canvas, Span

__all__ = ["access_size", "access_words_on_left", "draw_access", "draw_section", "section_size"]


@dataclass(frozen=True)
class _Across:
    """An outline across the duct in a cut [mm]."""

    low: float
    high: float
    known: bool


@dataclass(frozen=True)
class _Lines:
    """All outlines of a shape in one cut; `upright` is across = up, else across = right."""

    duct: _Across
    casing: _Across
    finished: _Across
    framed: _Across
    upright: bool

    @classmethod
    def of(cls, shape: Shape, *, upright: bool) -> _Lines:
        """The outlines across the duct: up and down, or left and right."""

        def across(edges: object) -> _Across:
            low, high = ("bottom", "top") if upright else ("left", "right")
            return _Across(getattr(edges, low), getattr(edges, high), bool(getattr(edges, "known", False)))

        return cls(across(shape.duct), across(shape.casing), across(shape.finished), across(shape.framed), upright)

    @property
    def low(self) -> float:
        """The lowest edge."""
        return min(self.duct.low, self.casing.low, self.finished.low, self.framed.low)

    @property
    def high(self) -> float:
        """The highest edge."""
        return max(self.duct.high, self.casing.high, self.finished.high, self.framed.high)


def _margin(lines: _Lines) -> float:
    """How much barrier is drawn beyond the outermost outline [mm]."""
    return min(max(70.0, 0.2 * (lines.high - lines.low)), 180.0)


def _stub(lines: _Lines) -> float:
    """How much duct is drawn beyond casing and barrier [mm]."""
    return min(max(90.0, 0.2 * (lines.high - lines.low)), 200.0)


def _limits(shape: Shape, lines: _Lines) -> tuple[float, float]:
    stub = _stub(lines)
    swing = shape.open_blade or (0.0, 0.0)
    return (
        min(shape.casing_start, -shape.half, swing[0] + 0.4 * stub) - stub,
        max(shape.casing_end, shape.half, swing[1] - 0.4 * stub) + stub,
    )


def _rod_room(shape: Shape, lines: _Lines) -> float:
    """How much is drawn above the casing for the rods [mm]."""
    return 0.0 if not shape.rods else max(1.3 * _margin(lines), 0.3 * (lines.high - lines.low), 160.0)


def _section_lines(shape: Shape) -> _Lines:
    return _Lines.of(shape, upright=not shape.is_floor)


def section_size(shape: Shape) -> tuple[float, float]:
    """Width and height of the section [mm], dimensions and words aside."""
    lines = _section_lines(shape)
    low, high = _limits(shape, lines)
    across = lines.high - lines.low + 2 * _margin(lines) + max(0.0, _rod_room(shape, lines) - _margin(lines))
    return (across, high - low) if shape.is_floor else (high - low, across)


def _is_upright_access(shape: Shape) -> bool:
    """Whether mechanism and door are above or below: the view of the access is then seen from the side."""
    return shape.drawn_side in {Handing.TOP, Handing.BOTTOM}


def _access_reach(shape: Shape, lines: _Lines) -> tuple[float, float, float, float]:
    """From, to along the duct; low, high across [mm] of the view of the access."""
    start, end = _limits(shape, lines)
    depth = max(shape.beyond or 0.0, 120.0)
    if shape.door is not None:
        end = max(end, shape.door.end + 60.0)
        if shape.door.zone is not None:
            middle = (shape.door.start + shape.door.end) / 2
            end = max(end, middle + shape.door.zone[0] / 2 + 40.0)
            depth = max(depth, shape.door.zone[1] + 30.0)
    margin = _margin(lines)
    if shape.drawn_side in {Handing.LEFT, Handing.BOTTOM}:
        return start, end, min(lines.low - margin, lines.casing.low - depth), lines.high + margin
    return start, end, lines.low - margin, max(lines.high + margin, lines.casing.high + depth)


def access_size(shape: Shape) -> tuple[float, float]:
    """Width and height of the view of the access [mm], dimensions and words aside."""
    lines = _Lines.of(shape, upright=_is_upright_access(shape))
    start, end, low, high = _access_reach(shape, lines)
    return (high - low, end - start) if shape.is_floor else (end - start, high - low)


def _wave(canvas: Canvas, layer: Layer, along: tuple[float, float], across: tuple[float, float]) -> None:
    """The thin line with a kink where something drawn goes on; one of the two ranges has no length."""
    step = 0.9 * canvas.scale
    if along[0] == along[1]:
        middle = sum(across) / 2
        if abs(across[1] - across[0]) < 4 * step:
            canvas.line(layer, Pen.THIN, (along[0], across[0]), (along[0], across[1]))
            return
        canvas.line(
            layer,
            Pen.THIN,
            (along[0], across[0]),
            (along[0], middle - step),
            (along[0] + step * 0.8, middle - step / 3),
            (along[0] - step * 0.8, middle + step / 3),
            (along[0], middle + step),
            (along[0], across[1]),
        )
        return
    middle, beyond = sum(along) / 2, 1.2 * canvas.scale
    canvas.line(
        layer,
        Pen.THIN,
        (along[0] - beyond, across[0]),
        (middle - step, across[0]),
        (middle - step / 3, across[0] + step * 0.8),
        (middle + step / 3, across[0] - step * 0.8),
        (middle + step, across[0]),
        (along[1] + beyond, across[0]),
    )


def _draw_barrier(canvas: Canvas, shape: Shape, lines: _Lines, low: float, high: float) -> None:
    half, barrier = shape.half, shape.barrier
    factor = 2 * half / barrier.drawn
    pen = Pen.CUT if shape.thickness_known else Pen.UNKNOWN
    for far, edge in ((low, lines.framed.low), (high, lines.framed.high)):
        for layer in barrier.layers:
            canvas.area(Layer.BARRIER, (layer.start * factor, layer.end * factor), (far, edge), layer.fill, Pen.THIN)
        canvas.line(Layer.BARRIER, pen, (-half, far), (-half, edge))
        canvas.line(Layer.BARRIER, pen, (half, far), (half, edge))
        canvas.line(Layer.BARRIER, pen if lines.framed.known else Pen.UNKNOWN, (-half, edge), (half, edge))
        if barrier.is_framed and len(barrier.layers) > 1:
            cavity = barrier.layers[-1]
            inner = edge + (0.8 if far > edge else -0.8) * canvas.scale
            a, b = cavity.start * factor, cavity.end * factor
            canvas.area(Layer.BARRIER, (a, b), (edge, inner), Fill.METAL, Pen.EDGE)
        _wave(canvas, Layer.BARRIER, (-half, half), (far, far))
    pen = Pen.EDGE if lines.framed.known and lines.finished.known else Pen.UNKNOWN
    for a, b in ((lines.framed.low, lines.finished.low), (lines.finished.high, lines.framed.high)):
        if b - a > 0.01:
            canvas.area(Layer.LINING, (-half, half), (a, b), Fill.BOARD, pen)


def _joint(detail: InstallationDetail, side: str) -> Joint | None:
    said = plain(detail.text(f"joint-{side}"))
    return next((item for item in Joint if plain(str(item)) == said), None)


def _draw_duct(
    canvas: Canvas, detail: InstallationDetail, shape: Shape, lines: _Lines, limits: tuple[float, float]
) -> None:
    """The duct on both sides of the casing with its joints; none on a side that has none."""
    pen = Pen.EDGE if lines.duct.known else Pen.UNKNOWN
    for side, end, limit, sign in (("a", shape.casing_start, limits[0], -1), ("b", shape.casing_end, limits[1], 1)):
        joint = _joint(detail, side)
        if joint is Joint.NO_DUCT:
            continue
        gap = {Joint.FLEXIBLE_CONNECTION: 2.6, Joint.SLIP_JOINT: 0.0}.get(joint or Joint.STEEL_SCREWS, 0.5)
        start = end + sign * min(gap * canvas.scale, abs(limit - end) * 0.6)
        canvas.area(
            Layer.DUCT, (min(start, limit), max(start, limit)), (lines.duct.low, lines.duct.high), Fill.DUCT, None
        )
        for edge, out in ((lines.duct.low, -1), (lines.duct.high, 1)):
            canvas.line(Layer.DUCT, pen, (start, edge), (limit, edge))
            if joint is Joint.FLEXIBLE_CONNECTION:
                steps = [
                    (end + (start - end) * n / 6, edge + (out * 0.55 * canvas.scale if n % 2 else 0.0))
                    for n in range(7)
                ]
                canvas.line(Layer.DUCT, Pen.EDGE, *steps)
            elif joint is Joint.SLIP_JOINT:
                canvas.line(
                    Layer.DUCT,
                    Pen.EDGE,
                    (end - sign * 1.6 * canvas.scale, edge + out * 0.5 * canvas.scale),
                    (end + sign * 1.2 * canvas.scale, edge + out * 0.5 * canvas.scale),
                )
            else:
                tall = out * 1.1 * canvas.scale
                for at in (end, start):
                    canvas.line(Layer.DUCT, Pen.EDGE, (at, edge), (at, edge + tall))
                if joint is Joint.BREAKAWAY_FIXINGS:
                    middle = (end + start) / 2
                    canvas.line(
                        Layer.DUCT,
                        Pen.THIN,
                        (middle - 0.8 * canvas.scale, edge + tall * 0.55),
                        (middle + 0.8 * canvas.scale, edge + tall * 0.55),
                    )
        _wave(canvas, Layer.DUCT, (limit, limit), (lines.duct.low, lines.duct.high))


def _draw_seal(canvas: Canvas, shape: Shape, lines: _Lines) -> None:
    """The seal in the gap; about the duct where the damper stands outside of the barrier."""
    outside = shape.position in {MountingPosition.ON_FACE, MountingPosition.REMOTE}
    inner = lines.duct if outside else lines.casing
    known = shape.seal_known and lines.finished.known and inner.known
    for a, b in ((lines.finished.low, inner.low), (inner.high, lines.finished.high)):
        if b - a <= 0.01:
            continue
        for part in shape.seal:
            canvas.area(
                Layer.SEAL,
                part,
                (a, b),
                Fill.SEAL if shape.seal_known else Fill.NONE,
                Pen.THIN if known else Pen.UNKNOWN,
            )


def _draw_damper(canvas: Canvas, shape: Shape, lines: _Lines) -> None:
    known = lines.casing.known and shape.casing_known
    start, end = shape.casing_start, shape.casing_end
    pen = Pen.CUT if known else Pen.UNKNOWN
    canvas.area(Layer.DAMPER, (start, end), (lines.casing.low, lines.casing.high), Fill.PAPER, None)
    for edge, inner in ((lines.casing.low, lines.duct.low), (lines.casing.high, lines.duct.high)):
        canvas.line(Layer.DAMPER, pen, (start, edge), (end, edge))
        for at in (start, end):
            if abs(edge - inner) > 0.01:
                canvas.line(Layer.DAMPER, pen, (at, edge), (at, inner))
    if shape.open_blade is not None:
        thick = 0.35 * canvas.scale
        middle = (lines.casing.low + lines.casing.high) / 2
        canvas.area(Layer.DAMPER, shape.open_blade, (middle - thick, middle + thick), Fill.PAPER, Pen.FAINT)
    thick = 0.3 * canvas.scale
    blade = (shape.blade - thick, shape.blade + thick)
    canvas.area(Layer.DAMPER, blade, (lines.duct.low, lines.duct.high), Fill.METAL, Pen.THIN)
    beyond = 1.6 * canvas.scale
    canvas.line(
        Layer.DAMPER,
        Pen.AXIS if shape.blade_known else Pen.UNKNOWN,
        (shape.blade, lines.casing.low - beyond),
        (shape.blade, lines.casing.high + beyond),
    )


def _draw_fixing(canvas: Canvas, shape: Shape, lines: _Lines) -> float | None:
    """What holds the damper, by its family; where along the duct a leader finds it."""
    family, half = shape.fixing, shape.half
    if family is None:
        return None
    thin, leg = 0.45 * canvas.scale, 2.6 * canvas.scale
    found: float | None = None
    for sign in (-1, 1):
        casing = lines.casing.low if sign < 0 else lines.casing.high
        finished = lines.finished.low if sign < 0 else lines.finished.high
        framed = lines.framed.low if sign < 0 else lines.framed.high
        if family is FixingFamily.SLEEVE_AND_ANGLES:
            canvas.area(Layer.FIXING, (-half - leg, half + leg), (casing, casing + sign * thin), Fill.METAL, Pen.THIN)
            for face in (-1, 1):
                a, b = face * half, face * (half + thin)
                canvas.area(Layer.FIXING, (min(a, b), max(a, b)), (casing, framed + sign * leg), Fill.METAL, Pen.EDGE)
                b = face * (half + leg)
                canvas.area(Layer.FIXING, (min(a, b), max(a, b)), (casing, casing + sign * thin), Fill.METAL, Pen.EDGE)
                _screw(
                    canvas,
                    (a + face * 1.2 * thin, framed + sign * leg * 0.6),
                    (a - face * leg, framed + sign * leg * 0.6),
                )
            found = half
        elif family in {FixingFamily.FRAME_IN_OPENING, FixingFamily.INSTALLATION_FRAME, FixingFamily.SHAFT_WALL_FIXING}:
            face = -1 if family is FixingFamily.SHAFT_WALL_FIXING else 1
            canvas.area(Layer.FIXING, (-half, half), (finished - sign * thin, finished), Fill.METAL, Pen.EDGE)
            a, b = face * half, face * (half + thin)
            canvas.area(
                Layer.FIXING,
                (min(a, b), max(a, b)),
                (finished - sign * thin, framed + sign * leg),
                Fill.METAL,
                Pen.EDGE,
            )
            _screw(
                canvas, (a + face * 1.2 * thin, framed + sign * leg * 0.6), (a - face * leg, framed + sign * leg * 0.6)
            )
            found = face * half
        elif family is FixingFamily.LINED_OPENING:
            for at in (-half * 0.45, half * 0.45):
                _screw(canvas, (at, casing - sign * 0.2 * thin), (at, framed + sign * leg * 0.4))
            found = half * 0.45
        elif family in {FixingFamily.BUILT_IN, FixingFamily.CAST_IN}:
            reach = casing + (finished - casing) * 0.7
            for at in (-half * 0.4, half * 0.4):
                canvas.line(Layer.FIXING, Pen.EDGE, (at, casing), (at, reach), (at + 0.9 * canvas.scale, reach))
            found = half * 0.4
        elif family is FixingFamily.FACE_FIXED:
            canvas.area(Layer.FIXING, (half, half + thin), (casing, framed + sign * 1.6 * leg), Fill.METAL, Pen.EDGE)
            _screw(canvas, (half + 1.2 * thin, framed + sign * leg), (half - leg, framed + sign * leg))
            found = half
        elif family is FixingFamily.REMOTE_SUPPORTED and shape.casing_start > half:
            edge = lines.duct.low if sign < 0 else lines.duct.high
            canvas.area(
                Layer.FIXING, (half, shape.casing_start), (edge, edge + sign * 2.0 * canvas.scale), Fill.WOOL, Pen.EDGE
            )
            found = (half + shape.casing_start) / 2
    return found


def _screw(canvas: Canvas, head: tuple[float, float], tip: tuple[float, float]) -> None:
    canvas.line(Layer.FIXING, Pen.EDGE, head, tip)
    size = 0.55 * canvas.scale
    if head[0] == tip[0]:
        canvas.line(Layer.FIXING, Pen.EDGE, (head[0] - size, head[1]), (head[0] + size, head[1]))
    else:
        canvas.line(Layer.FIXING, Pen.EDGE, (head[0], head[1] - size), (head[0], head[1] + size))


def _draw_mechanism(canvas: Canvas, shape: Shape, lines: _Lines, *, profile: bool) -> tuple[float, float] | None:
    """The mechanism beside or on the casing; where a leader finds it."""
    start = max(shape.half + 0.4 * canvas.scale, shape.casing_end - 0.45 * (shape.casing_end - shape.casing_start))
    if shape.position is not MountingPosition.IN_BARRIER:
        start = shape.casing_start + 0.3 * (shape.casing_end - shape.casing_start)
    end = max(shape.casing_end - 0.3 * canvas.scale, start + 2.2 * canvas.scale)
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
    return end, (edge + far) / 2


def _draw_rods(canvas: Canvas, detail: InstallationDetail, shape: Shape, lines: _Lines, roof: float) -> None:
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
        ink=_ink(detail, "rod-count", "rod-size"),
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


def _ink(detail: InstallationDetail, *keys: str) -> Ink:
    figures = [detail.figure(key) for key in keys]
    return Ink.STRONG if any(item is not None and not item.is_settled for item in figures) else Ink.PLAIN


def _call_barrier(
    canvas: Canvas, detail: InstallationDetail, shape: Shape, lines: _Lines, low: float, high: float
) -> None:
    """The layers of the barrier, the lining, the seal: what stands round the damper."""
    factor = 2 * shape.half / shape.barrier.drawn
    top = not shape.is_floor
    base, far = (lines.framed.high, high) if top else (lines.framed.low, low)
    by_words = {layer.words: layer for layer in sorted(shape.barrier.layers, key=lambda item: -item.start)}
    layers = sorted(by_words.values(), key=lambda item: item.start)
    for number, layer in enumerate(layers):
        share = (number + 1) / (len(layers) + 1)
        canvas.call(
            (layer.start + layer.end) / 2 * factor,
            base + (far - base) * (0.92 - 0.75 * (1 - share)),
            layer.words,
            rank=3,
        )
    if detail.figure("lining") is not None and lines.framed.low < lines.finished.low:
        canvas.call(
            -shape.half * 0.55,
            (lines.framed.low + lines.finished.low) / 2,
            f"lining of the reveals: {detail.text('lining')}",
            ("lining",),
            rank=2,
            ink=_ink(detail, "lining"),
        )
    outside = shape.position in {MountingPosition.ON_FACE, MountingPosition.REMOTE}
    inner = lines.duct if outside else lines.casing
    words = [detail.text("seal-product")]
    if detail.figure("seal-depth") is not None:
        words.append(f"depth {detail.text('seal-depth')}")
    if detail.figure("seal-faces") is not None:
        words.append(f"faces: {detail.text('seal-faces')}")
    if detail.figure("seal-layers") is not None:
        words.append(f"layers on each face: {detail.text('seal-layers')}")
    edge = (inner.low + lines.finished.low) / 2
    keys = ("seal-product", "seal-depth", "seal-faces", "seal-layers")
    canvas.call(
        (shape.seal[0][0] + min(shape.seal[0][1], 0.4 * shape.half)) / 2,
        edge,
        "seal: " + ", ".join(words),
        keys,
        rank=0,
        ink=_ink(detail, *keys),
    )


def draw_section(detail: InstallationDetail, shape: Shape, scale: float) -> Canvas:
    """The section along the duct at 1 : `scale`, with dimensions and the words that name its parts."""
    canvas = Canvas(scale, 1 if shape.is_floor else 0)
    lines = _section_lines(shape)
    margin, limits = _margin(lines), _limits(shape, lines)
    low, high = lines.low - margin, lines.high + margin
    roof = lines.casing.high + _rod_room(shape, lines)
    _draw_barrier(canvas, shape, lines, low, high)
    _draw_duct(canvas, detail, shape, lines, limits)
    _draw_seal(canvas, shape, lines)
    _draw_damper(canvas, shape, lines)
    fixed_at = _draw_fixing(canvas, shape, lines)
    _draw_mechanism(canvas, shape, lines, profile=_is_upright_access(shape) != shape.is_floor) if (
        _is_upright_access(shape) == lines.upright
    ) else None
    _draw_rods(canvas, detail, shape, lines, max(roof, high + 3.2 * canvas.scale))
    _call_barrier(canvas, detail, shape, lines, low, high)
    if detail.figure("fixing") is not None:
        at = fixed_at if fixed_at is not None else shape.half * 0.5
        canvas.call(
            at,
            (lines.casing.low + lines.finished.low) / 2 if fixed_at is not None else lines.casing.low,
            f"fixing: {detail.text('fixing')}",
            ("fixing",),
            rank=1,
            ink=_ink(detail, "fixing"),
        )
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
        ink=_ink(detail, "blade-offset"),
    )
    if shape.open_blade is not None:
        canvas.call(shape.open_blade[0], (lines.casing.low + lines.casing.high) / 2, "open blade", rank=6)
    for side, at in (("a", shape.casing_start), ("b", shape.casing_end)):
        if detail.figure(f"joint-{side}") is not None:
            edge = lines.duct.low if side == "a" else lines.duct.high
            canvas.call(
                at,
                edge,
                f"joint, side {side.upper()}: {detail.text(f'joint-{side}')}",
                (f"joint-{side}",),
                rank=2,
                ink=_ink(detail, f"joint-{side}"),
            )
    _section_chains(canvas, detail, shape, lines)
    return canvas


def _section_chains(canvas: Canvas, detail: InstallationDetail, shape: Shape, lines: _Lines) -> None:
    along_sides = ("right", "right") if shape.is_floor else ("top", "bottom")
    across_side = "top" if shape.is_floor else "right"
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
    gaps_across(canvas, detail, lines, across_side)


def gaps_across(canvas: Canvas, detail: InstallationDetail, lines: _Lines, side: str) -> None:
    """The chain of gap, damper, gap across the duct."""
    low_key, high_key = ("gap-bottom", "gap-top") if lines.upright else ("gap-left", "gap-right")
    from_casing = plain(detail.text("gap-from")) == "casing"
    base = lines.casing if from_casing else lines.duct
    size = size_figure(detail, "duct", height=lines.upright) or size_figure(detail, "damper", height=lines.upright)
    is_own = abs((base.high - base.low) - (lines.duct.high - lines.duct.low)) < 0.01
    spans = []
    for key, (a, b) in ((low_key, (lines.finished.low, base.low)), (high_key, (base.high, lines.finished.high))):
        if detail.figure(key) is not None:
            spans.append(Span(min(a, b), max(a, b), detail.figure(key), is_known=lines.finished.known))
    spans.insert(1 if spans else 0, Span(base.low, base.high, size if is_own else None, "" if is_own else "casing"))
    canvas.chain(side, spans)
    if not is_own and size is not None:
        canvas.chain(side, [Span(lines.duct.low, lines.duct.high, size)])


def draw_access(detail: InstallationDetail, shape: Shape, scale: float) -> Canvas:
    """How mechanism and blade are reached: door, clear working zone, mechanism; from above in a wall (from the side
    where they are above or below the duct), upright in a floor.
    """
    upright = _is_upright_access(shape)
    lines = _Lines.of(shape, upright=upright)
    canvas = Canvas(scale, 1 if shape.is_floor else 0 if upright else -1)
    start, end, low, high = _access_reach(shape, lines)
    margin = _margin(lines)
    _draw_zone(canvas, detail, shape, lines)
    _draw_barrier(canvas, shape, lines, min(lines.low - margin, low), max(lines.high + margin, high))
    _draw_duct(canvas, detail, shape, lines, (start, end))
    _draw_seal(canvas, shape, lines)
    _draw_damper(canvas, shape, lines)
    at = _draw_mechanism(canvas, shape, lines, profile=True)
    if at is not None and detail.figure("handing") is not None:
        words = f"mechanism: {detail.text('handing')}, looking along the airflow"
        if detail.figure("mechanism-beyond") is not None:
            words += f"; beyond the casing {detail.text('mechanism-beyond')}"
        canvas.call(
            *at, words, ("handing", "mechanism-beyond"), rank=1, ink=_ink(detail, "handing", "mechanism-beyond")
        )
    _draw_door(canvas, detail, shape, lines)
    return canvas


def _side_edges(shape: Shape, lines: _Lines) -> tuple[float, int]:
    """The edge of the duct that door and mechanism are on, and which way is out."""
    is_low = shape.drawn_side in {Handing.LEFT, Handing.BOTTOM}
    return (lines.duct.low, -1) if is_low else (lines.duct.high, 1)


def _draw_zone(canvas: Canvas, detail: InstallationDetail, shape: Shape, lines: _Lines) -> None:
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
        ink=_ink(detail, "zone-width", "zone-depth"),
    )


def _draw_door(canvas: Canvas, detail: InstallationDetail, shape: Shape, lines: _Lines) -> None:
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
    pen = Pen.CUT if door.is_known else Pen.UNKNOWN
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
        ink=_ink(detail, "door-width", "door-height", "access-side"),
    )
    if detail.figure("ceiling") is not None:
        hatch = [detail.text(key) for key in ("hatch-width", "hatch-height") if detail.figure(key) is not None]
        canvas.call(
            door.end,
            edge,
            f"ceiling below: {detail.text('ceiling')}" + (f"; hatch {' × '.join(hatch)}" if hatch else ""),
            ("ceiling", "hatch-width", "hatch-height"),
            rank=4,
            ink=_ink(detail, "ceiling", "hatch-width", "hatch-height"),
        )
    # in a wall the door is measured on the side away from the zone, in a floor all on the side of the zone
    chain = [
        Span(shape.blade, door.start, detail.figure("door-distance"), is_known=door.is_known),
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
        canvas.chain("top" if shape.is_floor else "left", [Span(a, b, depth, is_known=door.zone_known)])


def _zone_side(canvas: Canvas, shape: Shape, out: int) -> str:
    """The side of the paper that the working zone is on."""
    if shape.is_floor:
        return "right" if out > 0 else "left"
    return "top" if (out > 0) == (canvas.turned != -1) else "bottom"


def access_words_on_left(shape: Shape) -> bool:
    """Whether the words of the view of the access stand left of it: away from the dimensions of the zone."""
    return shape.is_floor and shape.drawn_side not in {Handing.LEFT, Handing.BOTTOM}
