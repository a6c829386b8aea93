# SPDX-License-Identifier: Apache-2.0
"""Sheets as DXF: every view at true size in model space with real dimensions, the sheet itself in a paper layout.

Real lengths are millimetres. The paper layout has the frame, the title block and the notes, and a window onto each view
at its scale. A dimension is a DIMENSION entity whose measurement is the value that the core states; one whose value is
not known, or that is not drawn to scale, is lines and a text, since its measurement would say something else.
"""

from __future__ import annotations

import io
import math
import threading
from collections.abc import Callable, Iterable, Sequence
from typing import TYPE_CHECKING

import ezdxf
from ezdxf import filemanagement, units
from ezdxf._options import options  # the package hands on the same object, but not to a strict checker
from ezdxf.enums import TextEntityAlignment
from ezdxf.lldxf import const

from brattice.adapters.drawing.dxf_words import HATCHES, LAYERS, VIEWPORTS, dimension_text, plain_text
from brattice.drawing.pens import PEN_LINES, PEN_WIDTHS_MM, LineKind
from brattice.drawing.primitives import (
    Anchor,
    Box,
    Circle,
    Dimension,
    Drawing,
    Fill,
    Group,
    Ink,
    Item,
    Layer,
    Pen,
    Point,
    Polygon,
    Text,
    box_of,
)
from brattice.drawing.sheet_font import SHEET_FONT
from brattice.drawing.views import Paper, Sheet, View
from brattice.errors import OwnFault

if TYPE_CHECKING:
    from ezdxf.document import Drawing as Document
    from ezdxf.layouts.base import BaseLayout

__all__ = ["drawing_dxf", "dxf_bytes", "new_document", "sheet_dxf"]

_VERSION = "R2010"
_PLAIN, _BOLD = "SHEET", "SHEET-BOLD"
_CAP = SHEET_FONT.cap_height / 1000
_VIEWS_APART_MM = 1000.0
_DRAWN_TRUE_MM = 0.5
"""How far the drawn length of a dimension may be off its value [mm] before it is no longer drawn to scale."""

_FIXED = threading.Lock()


def new_document() -> Document:
    """An empty document in millimetres with our layers, lines and text styles."""
    with _FIXED:
        document = filemanagement.new(_VERSION, setup=False, units=units.MM)
    document.header["$MEASUREMENT"] = 1
    document.header["$LTSCALE"] = 1.0
    document.header["$PSLTSCALE"] = 0
    for kind in LineKind:
        if kind.pattern_mm:
            signed = [length if n % 2 == 0 else -length for n, length in enumerate(kind.pattern_mm)]
            document.linetypes.add(str(kind), pattern=[sum(kind.pattern_mm), *signed])
    for row in LAYERS.values():
        document.layers.add(row.name, color=row.colour, lineweight=_weight(row.width_mm))
    document.layers.add(VIEWPORTS, color=8).dxf.plot = 0
    document.styles.add(_PLAIN, font="arial.ttf")
    document.styles.add(_BOLD, font="arialbd.ttf")
    return document


def dxf_bytes(document: Document) -> bytes:
    """The document as the bytes of a file, the same for the same document: its dates and identifiers are fixed.

    Raises
    ------
    OwnFault : the library finds errors in the document
    """
    auditor = document.audit()
    if auditor.has_errors or auditor.has_fixes:
        wrong = [str(item.message) for item in (*auditor.errors, *auditor.fixes)]
        raise OwnFault(f"a DXF file with errors: {'; '.join(wrong[:5])}")
    classes = document.classes  # the library walks a set: without an order of ours they stand as the hash seed has it
    classes.add_required_classes(document.dxfversion)
    classes.classes = dict(sorted(classes.classes.items()))
    stream = io.StringIO()
    with _FIXED:
        before = options.write_fixed_meta_data_for_testing
        options.write_fixed_meta_data_for_testing = True
        try:
            for marker in ("CREATED_BY_EZDXF", "WRITTEN_BY_EZDXF"):
                document.ezdxf_metadata()[marker] = "fixed"
            document.write(stream)
        finally:
            options.write_fixed_meta_data_for_testing = before
    return stream.getvalue().encode("utf-8", "surrogateescape")


def drawing_dxf(drawing: Drawing) -> bytes:
    """One drawing at true size in model space, its left bottom corner at the origin."""
    document = new_document()
    view = View(drawing.title, drawing.frame, drawing.denominator, drawing.items, drawing.words)
    _model(document, view, (0.0, 0.0))
    return dxf_bytes(document)


def sheet_dxf(sheet: Sheet) -> bytes:
    """A sheet as a DXF file.

    Parameters
    ----------
    sheet : its views stand side by side in model space, from left to right in their order

    Raises
    ------
    OwnFault : the library finds errors in what was made
    """
    document = new_document()
    layout = document.layouts.get("Layout1")
    document.layouts.rename("Layout1", "SHEET")
    _set_up(layout, sheet.paper)
    left = 0.0
    for view in sheet.views:
        _model(document, view, (left, 0.0))
        _window(layout, view, (left, 0.0))
        left += view.box.width * view.denominator + _VIEWS_APART_MM
    paper = _Writer(document, layout, lambda point: point, 1.0)
    paper.write(sheet.frame, Layer.FRAME)
    paper.write(sheet.items, Layer.NONE)
    return dxf_bytes(document)


def _weight(width_mm: float) -> int:
    return round(width_mm * 100)


def _set_up(layout: BaseLayout, paper: Paper) -> None:
    layout.page_setup(size=(paper.width, paper.height), margins=(0, 0, 0, 0), units="mm")  # type: ignore[attr-defined]
    for port in list(layout.viewports()):  # type: ignore[attr-defined]
        if port.dxf.id != 1:
            layout.delete_entity(port)


def _window(layout: BaseLayout, view: View, corner: Point) -> None:
    """The window from the sheet onto a view: as large as its box, at its scale."""
    box, scale = view.box, view.denominator
    middle = ((box.left + box.right) / 2, (box.bottom + box.top) / 2)
    port = layout.add_viewport(  # type: ignore[attr-defined]
        center=middle,
        size=(box.width, box.height),
        view_center_point=(corner[0] + box.width * scale / 2, corner[1] + box.height * scale / 2),
        view_height=box.height * scale,
    )
    port.dxf.layer = VIEWPORTS
    port.dxf.flags |= 0x4000  # its scale is locked


def _model(document: Document, view: View, corner: Point) -> None:
    def real(point: Point) -> Point:
        x, y = view.real(point)
        return corner[0] + x, corner[1] + y

    _Writer(document, document.modelspace(), real, view.denominator).write(view.items, Layer.NONE)


class _Writer:
    """Writes items into one space; `scale` is how many of its millimetres a millimetre of paper is."""

    def __init__(self, document: Document, space: BaseLayout, real: Callable[[Point], Point], scale: float) -> None:
        self._document, self._space, self._real, self._scale = document, space, real, scale

    def write(self, items: Iterable[Item], layer: Layer) -> None:
        for item in items:
            if isinstance(item, Group):
                self.write(item.items, item.layer if item.layer is not Layer.NONE else layer)
            elif isinstance(item, Dimension):
                if not self._dimension(item):
                    self.write(item.items, Layer.DIMENSION)
            elif isinstance(item, Text):
                self._text(item, layer)
            elif isinstance(item, Circle):
                self._circle(item, layer)
            elif isinstance(item, Polygon):
                self._polygon(item, layer)
            else:
                self._line(item.points, item.pen, layer, is_closed=False)

    def _look(self, layer: Layer, pen: Pen) -> dict[str, object]:
        kind = PEN_LINES[pen]
        look: dict[str, object] = {"layer": LAYERS[layer].name, "lineweight": _weight(PEN_WIDTHS_MM[pen])}
        if kind is not LineKind.CONTINUOUS:
            look |= {"linetype": str(kind), "ltscale": self._scale}
        return look

    def _line(self, points: Sequence[Point], pen: Pen, layer: Layer, *, is_closed: bool) -> None:
        spots = [self._real(point) for point in points]
        if len(spots) < 2 or len(set(spots)) < 2:
            return
        look = self._look(layer, pen)
        if len(spots) == 2 and not is_closed:
            self._space.add_line(spots[0], spots[1], dxfattribs=look)
        else:
            self._space.add_lwpolyline(spots, close=is_closed, dxfattribs=look)

    def _polygon(self, item: Polygon, layer: Layer) -> None:
        rings = [ring for ring in item.rings if len(set(ring)) > 2]
        hatch = self._hatch(item.fill, layer)
        if hatch is not None:
            for number, ring in enumerate(rings):
                flags = const.BOUNDARY_PATH_EXTERNAL if number == 0 else const.BOUNDARY_PATH_OUTERMOST
                hatch.paths.add_polyline_path([self._real(point) for point in ring], is_closed=True, flags=flags)
            if not rings:
                self._space.delete_entity(hatch)
        if item.pen is not None:
            for ring in rings:
                self._line(ring, item.pen, layer, is_closed=True)

    def _circle(self, item: Circle, layer: Layer) -> None:
        centre, radius = self._real(item.centre), item.radius * self._scale
        if radius <= 0:
            return
        hatch = self._hatch(item.fill, layer)
        if hatch is not None:
            hatch.paths.add_edge_path().add_ellipse(centre, (radius, 0), 1.0, 0, 360)
        if item.pen is not None:
            self._space.add_circle(centre, radius, dxfattribs=self._look(layer, item.pen))

    def _hatch(self, fill: Fill, layer: Layer) -> ezdxf.entities.Hatch | None:
        """An empty hatch of a fill; None for fills that are no hatch."""
        row = HATCHES.get(fill)
        if row is None:
            return None
        name, scale, turn, colour = row
        hatch = self._space.add_hatch(
            color=256 if colour is None else colour, dxfattribs={"layer": LAYERS[layer].name, "lineweight": 13}
        )
        if name != "SOLID":
            hatch.set_pattern_fill(name, scale=scale * self._scale, angle=turn, color=hatch.dxf.color)
        return hatch

    def _text(self, item: Text, layer: Layer) -> None:
        line = plain_text(item.text)
        if not line:
            return
        is_strong = item.ink in {Ink.STRONG, Ink.WRONG}
        where = {
            Anchor.START: TextEntityAlignment.LEFT,
            Anchor.MIDDLE: TextEntityAlignment.CENTER,
            Anchor.END: TextEntityAlignment.RIGHT,
        }[item.anchor]
        text = self._space.add_text(
            line,
            height=item.size * _CAP * self._scale,
            rotation=90.0 if item.turned else 0.0,
            dxfattribs={
                "layer": LAYERS[layer if layer is not Layer.NONE else Layer.TEXT].name,
                "style": _BOLD if is_strong else _PLAIN,
            },
        )
        text.set_placement(self._real(item.at), align=where)

    def _dimension(self, item: Dimension) -> bool:
        """The dimension as an entity of its own; False where it can't be one."""
        shown = next((part for part in item.items if isinstance(part, Text)), None)
        stated = dimension_text(item.text)
        if item.value_mm is None or item.value_mm <= 0 or shown is None or stated is None:
            return False
        first, second = self._real(item.first), self._real(item.second)
        axis = 1 if item.upright else 0
        drawn = second[axis] - first[axis]
        if item.is_broken:  # model space has true lengths: the far end goes where it is
            exact = second[axis] - math.copysign(item.value_mm, drawn)
            first = (first[0], exact) if item.upright else (exact, first[1])
        elif abs(abs(drawn) - item.value_mm) > _DRAWN_TRUE_MM:
            return False
        else:
            exact = first[axis] + math.copysign(item.value_mm, drawn)
            second = (second[0], exact) if item.upright else (exact, second[1])
        base = self._real((item.line, item.first[1]) if item.upright else (item.first[0], item.line))
        made = self._space.add_linear_dim(
            base=base,
            p1=first,
            p2=second,
            angle=90.0 if item.upright else 0.0,
            text="<>" if _as_measured(item.value_mm) == item.text else stated,
            dimstyle=self._style(shown.size),
            text_rotation=90.0 if shown.turned else 0.0,
            dxfattribs={"layer": LAYERS[Layer.DIMENSION].name},
        )
        box = box_of([shown], SHEET_FONT)
        made.set_location(self._real(_middle_of(box, shown)))
        made.render()
        return True

    def _style(self, size: float) -> str:
        """The style of dimensions of a text size at this scale."""
        name = f"SHEET-{size:g}-{self._scale:g}".replace(".", "_")
        if name in self._document.dimstyles:
            return name
        style = self._document.dimstyles.add(name)
        scale = self._scale
        style.dxf.dimtxsty = _PLAIN
        lengths = {
            "dimtxt": size * _CAP,
            "dimtsz": 0.8,
            "dimexe": 1.0,
            "dimexo": 1.0,
            "dimgap": 0.6,
            "dimasz": 1.6,
        }
        for key, length in lengths.items():
            style.set_dxf_attrib(key, length * scale)
        kinds = {
            "dimscale": 1.0, "dimlfac": 1.0, "dimtad": 1, "dimtih": 0, "dimtoh": 0, "dimtix": 1, "dimtofl": 1,
            "dimtmove": 2, "dimdec": 1, "dimzin": 8, "dimlunit": 2, "dimdsep": ord("."),
            "dimlwd": 18, "dimlwe": 18,
        }  # fmt: skip
        for key, value in kinds.items():
            style.set_dxf_attrib(key, value)
        return name


def _middle_of(box: Box, shown: Text) -> Point:
    """The middle of a text between its base line and the height of its capitals."""
    half = shown.size * _CAP / 2
    if shown.turned:
        return shown.at[0] - half, (box.bottom + box.top) / 2
    return (box.left + box.right) / 2, shown.at[1] + half


def _as_measured(value_mm: float) -> str:
    """What a reader of DXF prints for a measured length in our style: one decimal, without a zero at its end."""
    text = f"{value_mm:.1f}"
    return text.removesuffix(".0")
