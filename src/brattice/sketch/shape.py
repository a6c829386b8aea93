# SPDX-License-Identifier: Apache-2.0
"""What an installation sheet draws, in millimetres about the duct's centre and the barrier's centre plane.

Everything comes from the figures of one installation detail. What is not known or not settled still has to be drawn
somewhere: it is then a stand-in, marked as not known and drawn dashed. No number is ever taken from a shape.
"""

from __future__ import annotations

from dataclasses import dataclass

from brattice.building.words import FixingFamily, Handing, MountingPosition, Orientation, SupportKind, plain
from brattice.details.detail import InstallationDetail
from brattice.details.figures import Figure
from brattice.findings import Known
from brattice.sketch.barrier import BarrierCut, barrier_cut
from brattice.sketch.outlines import Edges

__all__ = ["Door", "Shape", "is_floor", "shape_of", "size_figure"]

_STAND_IN_WIDTH, _STAND_IN_HEIGHT = 400.0, 300.0
_STAND_IN_DOOR = 250.0


@dataclass(frozen=True)
class Door:
    """The access door along the duct [mm], its height across, and the clear working zone before it [mm].

    `is_known` and `zone_known` say whether the numbers are settled; `zone` is (along, depth), None where none is asked.
    `on_a` says that it is on side A; `side_known` that the words of the access name a side of the barrier.
    """

    start: float
    end: float
    height: float
    is_known: bool
    zone: tuple[float, float] | None
    zone_known: bool
    on_a: bool
    side_known: bool


@dataclass(frozen=True)
class Shape:
    """All that is drawn of one installation. Along the duct side A is negative; sections draw side A to the left.

    `side` is where the mechanism sits, None where it is not known (then drawn on the right, dashed).
    """

    is_floor: bool
    duct: Edges
    casing: Edges
    finished: Edges
    framed: Edges
    barrier: BarrierCut
    half: float
    thickness_known: bool
    casing_start: float
    casing_end: float
    casing_known: bool
    blade: float
    blade_known: bool
    open_blade: tuple[float, float] | None
    seal: tuple[tuple[float, float], ...]
    seal_known: bool
    side: Handing | None
    beyond: float | None
    fixing: FixingFamily | None
    position: MountingPosition | None
    rods: int
    rod_length: float | None
    door: Door | None
    reached_from_a: bool
    sections: tuple[int, int]

    @property
    def drawn_side(self) -> Handing:
        """The side that mechanism and door are drawn on."""
        return self.side or Handing.RIGHT


def is_floor(detail: InstallationDetail) -> bool:
    """Whether the barrier is a floor."""
    orientation = detail.penetration.barrier.orientation
    return isinstance(orientation, Known) and orientation.value is Orientation.FLOOR


def size_figure(detail: InstallationDetail, what: str, *, height: bool) -> Figure | None:
    """The figure of a width or height ("finished", "duct" …), of the diameter for both where it is round."""
    own = detail.figure(f"{what}-{'height' if height else 'width'}")
    return own if own is not None else detail.figure(f"{what}-diameter")


def _size(detail: InstallationDetail, what: str) -> tuple[float, float] | None:
    across = size_figure(detail, what, height=False)
    up = size_figure(detail, what, height=True)
    if across is None or up is None:
        return None
    width, height = detail.value(across.key), detail.value(up.key)
    return None if width is None or height is None or min(width, height) <= 0 else (width, height)


def _about(size: tuple[float, float], *, known: bool, is_round: bool) -> Edges:
    return Edges(-size[0] / 2, size[0] / 2, -size[1] / 2, size[1] / 2, known, is_round)


def _openings(detail: InstallationDetail, duct: Edges, casing: Edges) -> tuple[Edges, Edges]:
    """The finished clear and the framed opening."""
    is_round = detail.figure("finished-diameter") is not None
    gaps = [detail.value(f"gap-{side}") for side in ("left", "right", "top", "bottom")]
    base = {"duct": duct, "casing": casing}.get(plain(detail.text("gap-from")))
    size = _size(detail, "finished")
    if base is not None and base.known and None not in gaps and _sane(base, gaps):
        left, right, top, bottom = (gap or 0.0 for gap in gaps)
        finished = base.grown((left, right, top, bottom), known=size is not None, is_round=is_round)
    elif size is not None:
        finished = _about(size, known=False, is_round=is_round)
    else:
        by = 0.12 * min(casing.right - casing.left, casing.top - casing.bottom)
        finished = casing.grown((by, by, by, by), known=False, is_round=is_round)
    framed_size = _size(detail, "framed")
    is_round = detail.figure("framed-diameter") is not None
    if framed_size is None:
        return finished, finished.grown((0, 0, 0, 0), known=False, is_round=is_round)
    across = max(0.0, (framed_size[0] - (finished.right - finished.left)) / 2)
    up = max(0.0, (framed_size[1] - (finished.top - finished.bottom)) / 2)
    return finished, finished.grown((across, across, up, up), known=finished.known, is_round=is_round)


def _sane(base: Edges, gaps: list[float | None]) -> bool:
    """Whether gaps leave an opening at all: negative ones may take no more than the duct has."""
    left, right, top, bottom = (gap or 0.0 for gap in gaps)
    return left + right > -(base.right - base.left) and top + bottom > -(base.top - base.bottom)


def _casing(detail: InstallationDetail, duct: Edges) -> Edges:
    beyond = None if detail.tested is None else detail.tested.casing_beyond_mm
    size = _size(detail, "damper")
    base = duct if size is None else _about(size, known=duct.known, is_round=duct.is_round)
    if beyond is None:
        return base
    left, right, top, bottom = beyond
    return base.grown((left, right, top, bottom), known=base.known)


def _reached(detail: InstallationDetail, position: MountingPosition | None) -> tuple[bool, bool]:
    """Whether the damper is reached from side A, and whether the words of the access name a side of the barrier.

    Of a floor side A is below. Where they name none (or the damper stands on side B) it is drawn on side B.
    """
    said = f" {plain(detail.text('access-side'))} "
    names_a, names_b = " side a " in said, " side b " in said
    if is_floor(detail):
        names_a, names_b = names_a or " below " in said, names_b or " above " in said
    if names_a or names_b:
        return names_a and not names_b and position in {None, MountingPosition.IN_BARRIER}, True
    return False, any(word in said for word in (" either side ", " both sides "))


def _along(
    detail: InstallationDetail, position: MountingPosition | None, half: float, *, on_a: bool
) -> tuple[float, float, float, bool]:
    """Start, end and blade of the casing along the duct [mm], and whether its length is known.

    The end with the mechanism is on the side that it is reached from.
    """
    length = detail.value("casing-length")
    drawn = length if length is not None and length > 0 else 2 * half + 160.0
    from_end = None if detail.product is None else detail.product.blade_from_end_mm
    inward = from_end if from_end is not None and 0 < from_end < drawn else drawn / 2
    offset = detail.value("blade-offset")
    if position is MountingPosition.ON_FACE:
        start = half
    elif position is MountingPosition.REMOTE:
        start = half + max(0.8 * drawn, 150.0)
    elif on_a:
        start = (offset or 0.0) - inward
        return start, start + drawn, start + inward, length is not None and length > 0
    else:
        start = (offset or 0.0) - (drawn - inward)
    return start, start + drawn, start + drawn - inward, length is not None and length > 0


def _seal(detail: InstallationDetail, half: float, *, on_a: bool) -> tuple[tuple[tuple[float, float], ...], bool]:
    """Where the seal sits along the duct [mm], and whether depth and faces are settled.

    A seal of one face is drawn at the face that the damper is reached from.
    """
    depth, faces = detail.value("seal-depth"), detail.value("seal-faces")
    product = detail.figure("seal-product")
    known = product is not None and product.is_settled
    if depth is None or depth <= 0:
        return ((-half, half),), False
    if depth >= 2 * half:
        return ((-half, half),), known
    if faces == 2:  # the depth is that of the whole seal: one half of it at each face
        return ((-half, depth / 2 - half), (half - depth / 2, half)), known
    one = (-half, depth - half) if on_a else (half - depth, half)
    return (one,), known and faces is not None


def _door(
    detail: InstallationDetail, casing: tuple[float, float], blade: float, reached: tuple[bool, bool]
) -> Door | None:
    keys = ("door-width", "door-height", "door-distance")
    if all(detail.figure(key) is None for key in keys):
        return None
    width, height, distance = (detail.value(key) for key in keys)
    known = None not in (width, height, distance)
    on_a, side_known = reached
    length = width if width is not None and width > 0 else _STAND_IN_DOOR
    zone_width, zone_depth = detail.value("zone-width"), detail.value("zone-depth")
    zone = None
    if detail.figure("zone-depth") is not None or detail.figure("zone-width") is not None:
        zone = (zone_width or 2 * length, zone_depth or 2 * length)
    if on_a:
        end = min(blade - distance, casing[0]) if distance is not None else casing[0] - 80.0
        start = end - length
    else:
        start = max(blade + distance, casing[1]) if distance is not None else casing[1] + 80.0
    tall = height if height is not None and height > 0 else _STAND_IN_DOOR
    zone_known = None not in (zone_width, zone_depth)
    return Door(start, start + length, tall, known, zone, zone_known, on_a, side_known)


def _rods(detail: InstallationDetail) -> int:
    """How many drop rods are drawn in an elevation: none, or the two sides of the pairs."""
    said = plain(detail.text("support"))
    kinds = {plain(str(kind)) for kind in (SupportKind.DROP_RODS, SupportKind.BOTH)}
    tested = None if detail.tested is None else detail.tested.support
    return 2 if said in kinds or (tested is not None and plain(str(tested)) in kinds) else 0


def _sections(detail: InstallationDetail, casing: Edges) -> tuple[int, int]:
    """Into how many sections a unit is divided across and up: by the largest section that its maker states."""
    product = detail.product
    widths = () if product is None else product.section_widths_mm
    heights = () if product is None else product.section_heights_mm
    across = -int(-(casing.right - casing.left) // max(widths)) if widths and max(widths) > 0 else 1
    up = -int(-(casing.top - casing.bottom) // max(heights)) if heights and max(heights) > 0 else 1
    return min(max(across, 1), 6), min(max(up, 1), 6)


def shape_of(detail: InstallationDetail) -> Shape:
    """What is drawn of an installation detail."""
    penetration, tested = detail.penetration, detail.tested
    size = _size(detail, "duct") or _size(detail, "damper")
    is_round = detail.figure("duct-diameter") is not None or detail.figure("damper-diameter") is not None
    duct = _about(size or (_STAND_IN_WIDTH, _STAND_IN_HEIGHT), known=size is not None, is_round=is_round)
    casing = _casing(detail, duct)
    finished, framed = _openings(detail, duct, casing)
    cut = barrier_cut(penetration)
    thickness = detail.value("barrier-thickness")
    half = (thickness if thickness is not None and thickness > 0 else cut.drawn) / 2
    position = None if tested is None else tested.position
    reached = _reached(detail, position)
    start, end, blade, casing_known = _along(detail, position, half, on_a=reached[0])
    seal, seal_known = _seal(detail, half, on_a=reached[0])
    swings = None if detail.product is None else detail.product.blade_swings_mm
    handing = detail.text("handing")
    side = next((item for item in Handing if plain(str(item)) == plain(handing)), None)
    offset = detail.figure("blade-offset")
    return Shape(
        is_floor=is_floor(detail),
        duct=duct,
        casing=casing,
        finished=finished,
        framed=framed,
        barrier=cut,
        half=half,
        thickness_known=thickness is not None,
        casing_start=start,
        casing_end=end,
        casing_known=casing_known,
        blade=blade,
        blade_known=offset is None or detail.value("blade-offset") is not None,
        open_blade=None if swings is None else (start - swings, end + swings),
        seal=seal,
        seal_known=seal_known,
        side=side,
        beyond=detail.value("mechanism-beyond"),
        fixing=None if tested is None else tested.fixing,
        position=position,
        rods=0 if is_floor(detail) else _rods(detail),
        rod_length=detail.value("rod-length"),
        door=_door(detail, (start, end), blade, reached),
        reached_from_a=reached[0],
        sections=_sections(detail, casing),
    )
