# SPDX-License-Identifier: Apache-2.0
"""The parts of a cut along the duct: barrier, duct, seal, damper, what fixes it; of sections, access and edge details.

What is drawn without measure (legs of angles, screws) is as large as its paper needs, and no smaller than it would be
built.
"""

from __future__ import annotations

from dataclasses import dataclass

from brattice.building.words import FixingFamily, Joint, MountingPosition, plain
from brattice.details.detail import InstallationDetail
from brattice.drawing.primitives import Fill, Layer, Pen
from brattice.sketch.shape import Shape
from brattice.sketch.viewing import Canvas

__all__ = [
    "Across",
    "Lines",
    "barrier_part",
    "damper_part",
    "duct_part",
    "fixing_part",
    "joint_of",
    "leg_of",
    "margin_of",
    "seal_part",
    "stub_of",
    "wave",
]


_LEG, _THIN = 25.0, 2.0
"""How an angle is drawn where the paper has room for it [mm, real]: a stand-in, no number of anybody's."""


@dataclass(frozen=True)
class Across:
    """An outline across the duct in a cut [mm]."""

    low: float
    high: float
    known: bool


@dataclass(frozen=True)
class Lines:
    """All outlines of a shape in one cut; `upright` is across = up, else across = right."""

    duct: Across
    casing: Across
    finished: Across
    framed: Across
    upright: bool

    @classmethod
    def of(cls, shape: Shape, *, upright: bool) -> Lines:
        """The outlines across the duct: up and down, or left and right."""

        def across(edges: object) -> Across:
            low, high = ("bottom", "top") if upright else ("left", "right")
            return Across(getattr(edges, low), getattr(edges, high), bool(getattr(edges, "known", False)))

        return cls(across(shape.duct), across(shape.casing), across(shape.finished), across(shape.framed), upright)

    @property
    def low(self) -> float:
        """The lowest edge."""
        return min(self.duct.low, self.casing.low, self.finished.low, self.framed.low)

    @property
    def high(self) -> float:
        """The highest edge."""
        return max(self.duct.high, self.casing.high, self.finished.high, self.framed.high)


def margin_of(lines: Lines) -> float:
    """How much barrier is drawn beyond the outermost outline [mm]."""
    return min(max(70.0, 0.2 * (lines.high - lines.low)), 180.0)


def stub_of(lines: Lines) -> float:
    """How much duct is drawn beyond casing and barrier [mm]."""
    return min(max(90.0, 0.2 * (lines.high - lines.low)), 200.0)


def wave(canvas: Canvas, layer: Layer, along: tuple[float, float], across: tuple[float, float]) -> None:
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


def barrier_part(canvas: Canvas, shape: Shape, lines: Lines, low: float, high: float) -> None:
    """The barrier with its layers, framing and linings on both sides of the opening, from `low` to `high` [mm]."""
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
        wave(canvas, Layer.BARRIER, (-half, half), (far, far))
    pen = Pen.EDGE if lines.framed.known and lines.finished.known else Pen.UNKNOWN
    for a, b in ((lines.framed.low, lines.finished.low), (lines.finished.high, lines.framed.high)):
        if b - a > 0.01:
            canvas.area(Layer.LINING, (-half, half), (a, b), Fill.BOARD, pen)


def joint_of(detail: InstallationDetail, side: str) -> Joint | None:
    """How the duct joins the damper on side "a" or "b"; None where that is not settled."""
    said = plain(detail.text(f"joint-{side}"))
    return next((item for item in Joint if plain(str(item)) == said), None)


def duct_part(
    canvas: Canvas, detail: InstallationDetail, shape: Shape, lines: Lines, limits: tuple[float, float]
) -> None:
    """The duct on both sides of the casing with its joints; none on a side that has none."""
    pen = Pen.EDGE if lines.duct.known else Pen.UNKNOWN
    for side, end, limit, sign in (("a", shape.casing_start, limits[0], -1), ("b", shape.casing_end, limits[1], 1)):
        joint = joint_of(detail, side)
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
        wave(canvas, Layer.DUCT, (limit, limit), (lines.duct.low, lines.duct.high))


def seal_part(canvas: Canvas, shape: Shape, lines: Lines) -> None:
    """The seal in the gap, one half of its depth at each face where both are sealed.

    About the duct where the damper stands outside of the barrier.
    """
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


def damper_part(canvas: Canvas, shape: Shape, lines: Lines, *, with_blade: bool = True) -> None:
    """Casing, and (unless not asked for) closed blade with its line, open blade where it is known how far it swings."""
    known = lines.casing.known and shape.casing_known
    start, end = shape.casing_start, shape.casing_end
    pen = Pen.CUT if known else Pen.UNKNOWN
    canvas.area(Layer.DAMPER, (start, end), (lines.casing.low, lines.casing.high), Fill.PAPER, None)
    for edge, inner in ((lines.casing.low, lines.duct.low), (lines.casing.high, lines.duct.high)):
        canvas.line(Layer.DAMPER, pen, (start, edge), (end, edge))
        for at in (start, end):
            if abs(edge - inner) > 0.01:
                canvas.line(Layer.DAMPER, pen, (at, edge), (at, inner))
    if not with_blade:
        return
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


def leg_of(scale: float) -> float:
    """How long the leg of an angle or frame is drawn [mm]: without measure, and never as a speck."""
    return max(2.6 * scale, _LEG)


def frame_face(shape: Shape) -> int:
    """The face that the leg of a frame lies on, -1 for side A: of a one-sided fixing that which it is reached from."""
    return -1 if shape.fixing is FixingFamily.SHAFT_WALL_FIXING and shape.reached_from_a else 1


def fixing_part(canvas: Canvas, shape: Shape, lines: Lines) -> float | None:
    """What holds the damper, by its family; where along the duct a leader finds it."""
    family, half = shape.fixing, shape.half
    if family is None:
        return None
    thin, leg = max(0.45 * canvas.scale, _THIN), leg_of(canvas.scale)
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
            face = frame_face(shape)
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
