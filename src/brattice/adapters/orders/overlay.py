# SPDX-License-Identifier: Apache-2.0
"""The builders' work overlays as DXF: a file a storey, in millimetres of the models' world coordinates.

Whoever draws the storey lays the file over the plan without moving it. Each opening has its outline and its texts on
the layer of its state; walls of the models lie on a layer of their own, to see that both fit.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ezdxf.enums import TextEntityAlignment

from brattice.adapters.drawing.dxf import dxf_bytes, new_document
from brattice.adapters.drawing.dxf_words import plain_text
from brattice.building.file_names import file_part
from brattice.drawing.primitives import Box, Point
from brattice.orders.builders_work import OpeningState
from brattice.orders.overlay import OVERLAY_LAYERS, Overlay, OverlayOpening
from brattice.usecases.ordering import ScheduleHead, Schedules

__all__ = ["OVERLAY_FOLDER", "WALLS_LAYER", "overlay_bytes", "overlay_files"]

OVERLAY_FOLDER = "builders-work"
WALLS_LAYER = "BUILDERS-WORK-BARRIERS"
NOTES_LAYER = "BUILDERS-WORK-NOTES"

_COLOURS = {OpeningState.FORM: 1, OpeningState.FORM_AGAIN: 6, OpeningState.AS_BUILT: 3, OpeningState.HELD: 8}
_TEXT_MM = 125.0
"""Height of texts in the building [mm]: 2.5 mm on paper at 1:50."""
_PITCH = 1.5
_WIDEST = 0.75
"""How wide a letter is of its height at most, over the words of these texts in common fonts."""
_AWAY_MM = 150.0
_RINGS = 24
_STYLE = "SHEET"


def _box(opening: OverlayOpening) -> Box:
    """The box round an opening in plan."""
    if opening.radius_mm is not None:
        (x, y), r = opening.centre_mm, opening.radius_mm
        return Box(x - r, y - r, x + r, y + r)
    xs, ys = [x for x, _ in opening.outline_mm], [y for _, y in opening.outline_mm]
    return Box(min(xs), min(ys), max(xs), max(ys))


def _apart(one: Box, other: Box) -> bool:
    return one.right <= other.left or other.right <= one.left or one.top <= other.bottom or other.top <= one.bottom


def _beside(box: Box, width: float, height: float) -> Iterator[Box]:
    """Where the texts of an opening may stand: round it, nearest first, ever farther away."""
    for ring in range(_RINGS):
        away = _AWAY_MM + ring * height / 2
        right, left, mid = box.right + away, box.left - away - width, (box.left + box.right - width) / 2
        above, below = box.top + away, box.bottom - away - height
        for x, y in ((right, above), (left, above), (right, below), (left, below), (mid, above), (mid, below)):
            yield Box(x, y, x + width, y + height)


def _placed_texts(openings: Sequence[OverlayOpening]) -> list[Box]:
    """The box of each opening's texts, on no other's and on no opening where there is room."""
    taken = [_box(item) for item in openings]
    found = []
    for item in openings:
        width = max(len(text) for text in item.texts) * _TEXT_MM * _WIDEST
        height = len(item.texts) * _TEXT_MM * _PITCH
        places = list(_beside(_box(item), width, height))
        free = (place for place in places if all(_apart(place, box) for box in taken))
        chosen = next(free, places[0])
        taken.append(chosen)
        found.append(chosen)
    return found


def _nearest(box: Box, to: Box) -> tuple[Point, Point]:
    """The two points of a leader: on the box of an opening and on that of its texts, each nearest to the other."""

    def clamped(x: float, y: float, inside: Box) -> Point:
        return min(max(x, inside.left), inside.right), min(max(y, inside.bottom), inside.top)

    start = clamped((to.left + to.right) / 2, (to.bottom + to.top) / 2, box)
    end = clamped(*start, to)
    return clamped(*end, box), end


def _notes(overlay: Overlay, head: ScheduleHead) -> list[str]:
    lines = [
        f"Builders' work overlay, {overlay.storey}: {head.job}",
        f"As of {head.as_of.isoformat()}. Revision: {head.revision_text}. Made by Brattice {head.version}.",
        *(["All names and data here are invented."] if head.invented else []),
        "Millimetres, world coordinates of the models. Outlines are framed openings in plan. Do not form what is held.",
        "What the heights of centres count from stands in the builders' work schedule.",
        *head.cautions,
    ]
    if overlay.not_placed:
        lines.append("Not placed:")
        lines += [f"{name}: {why}" for name, why in overlay.not_placed]
    return lines


def _left_bottom(overlay: Overlay) -> tuple[float, float]:
    """Below and left of everything: the notes stand there."""
    points = [point for outline in overlay.barriers_mm for point in outline]
    points += [point for item in overlay.openings for point in (*item.outline_mm, item.centre_mm)]
    if not points:
        return 0.0, 0.0
    return min(x for x, _ in points), min(y for _, y in points)


def overlay_bytes(overlay: Overlay, head: ScheduleHead) -> bytes:
    """The overlay of a storey as the bytes of a DXF file; the same input gives the same bytes."""
    document = new_document()
    for state, name in OVERLAY_LAYERS.items():
        document.layers.add(name, color=_COLOURS[state], lineweight=50)
    document.layers.add(WALLS_LAYER, color=8, lineweight=18)
    document.layers.add(NOTES_LAYER, color=7, lineweight=18)
    space = document.modelspace()

    def write(lines: Sequence[str], at: tuple[float, float], layer: str) -> None:
        x, y = at
        for number, line in enumerate(lines):
            text = space.add_text(plain_text(line), height=_TEXT_MM, dxfattribs={"layer": layer, "style": _STYLE})
            text.set_placement((x, y - number * _TEXT_MM * _PITCH), align=TextEntityAlignment.TOP_LEFT)

    for outline in overlay.barriers_mm:
        space.add_lwpolyline(outline, close=True, dxfattribs={"layer": WALLS_LAYER})
    for item, place in zip(overlay.openings, _placed_texts(overlay.openings), strict=True):
        look = {"layer": item.layer}
        if item.radius_mm is not None:
            space.add_circle(item.centre_mm, item.radius_mm, dxfattribs=look)
        else:
            space.add_lwpolyline(item.outline_mm, close=True, dxfattribs=look)
        start, end = _nearest(_box(item), place)
        space.add_line(start, end, dxfattribs=look)
        write(item.texts, (place.left, place.top), item.layer)
    left, bottom = _left_bottom(overlay)
    write(_notes(overlay, head), (left, bottom - 1000.0), NOTES_LAYER)
    return dxf_bytes(document)


def overlay_files(schedules: Schedules, head: ScheduleHead) -> dict[str, bytes]:
    """The overlays of a job by name, a file a storey that has an opening to place or to list."""
    return {
        f"{OVERLAY_FOLDER}/{number:02d}-{file_part(overlay.storey, 'storey')}.dxf": overlay_bytes(overlay, head)
        for number, overlay in enumerate(schedules.overlays, start=1)
    }
