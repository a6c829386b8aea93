# SPDX-License-Identifier: Apache-2.0
"""Drawings as SVG: lean, with one table of styles, every text escaped, no script, no request."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from html import escape
from itertools import pairwise

from brattice.adapters.text import one_line
from brattice.drawing.metrics import FontMetrics
from brattice.drawing.primitives import (
    Anchor,
    Circle,
    Dimension,
    Drawing,
    Fill,
    Group,
    Ink,
    Item,
    Pen,
    Point,
    Polygon,
    Polyline,
    Text,
)

__all__ = ["SCREEN", "SVG_CSS", "SVG_HATCHES", "Look", "svg_document", "svg_element"]

_USUAL_SIZE = 2.9
_HALO = "paint-order:stroke;stroke:#fff;stroke-width:.7;stroke-linejoin:round"
_FONT = '"Liberation Sans", Arial, Helvetica, sans-serif'

_PENS: dict[Pen, str] = {
    Pen.FRAME: "stroke:#1a1f24;stroke-width:.7",
    Pen.CUT: "stroke:#1a1f24;stroke-width:.5",
    Pen.EDGE: "stroke:#1a1f24;stroke-width:.3",
    Pen.THIN: "stroke:#3d464e;stroke-width:.15",
    Pen.FAINT: "stroke:#9aa3ab;stroke-width:.15",
    Pen.AXIS: "stroke:#1a1f24;stroke-width:.35;stroke-dasharray:3 .8 .6 .8",
    Pen.UNKNOWN: "stroke:#8a5a00;stroke-width:.3;stroke-dasharray:1.4 .9",
    Pen.WRONG: "stroke:#a3180f;stroke-width:.45",
}

_FILLS: dict[Fill, str] = {
    Fill.NONE: "none",
    Fill.PAPER: "#fff",
    Fill.METAL: "#c9d0d6",
    Fill.CONCRETE: "url(#hatch-concrete)",
    Fill.MASONRY: "url(#hatch-masonry)",
    Fill.BOARD: "#eceae3",
    Fill.WOOL: "url(#hatch-wool)",
    Fill.TIMBER: "url(#hatch-timber)",
    Fill.OTHER: "#f4f4f2",
    Fill.SEAL: "url(#hatch-seal)",
    Fill.DUCT: "#eef1f3",
    Fill.RATING_UNKNOWN: "url(#hatch-unknown)",
    Fill.RATING_NONE: "#fff",
    Fill.RATING_LOW: "#c3c8cc",
    Fill.RATING_MID: "#7d868e",
    Fill.RATING_HIGH: "#2b3238",
    Fill.RED: "#d9534a",
    Fill.AMBER: "#f2b84b",
    Fill.YELLOW: "#f5e663",
    Fill.VIOLET: "#b79ad6",
    Fill.BLUE: "#7fa8d9",
    Fill.TEAL: "#6fbfb0",
    Fill.GREEN: "#7cc07a",
    Fill.GREY: "#c9c9c6",
    Fill.INK: "#1a1f24",
}

_INKS: dict[Ink, str] = {
    Ink.PLAIN: "fill:#1a1f24",
    Ink.QUIET: "fill:#5a646d",
    Ink.STRONG: "fill:#1a1f24;font-weight:bold",
    Ink.WRONG: "fill:#a3180f;font-weight:bold",
}

SVG_CSS = "\n".join(
    [
        f".dw text{{font-family:{_FONT};fill:#1a1f24;{_HALO}}}",
        ".dw path,.dw circle{fill:none}",
        *(f".dw .p-{pen}{{{style}}}" for pen, style in _PENS.items()),
        *(f".dw .f-{fill}{{fill:{paint}}}" for fill, paint in _FILLS.items()),
        *(f".dw .i-{ink}{{{style}}}" for ink, style in _INKS.items()),
    ]
)
"""The styles of all drawings; a page that holds drawings as elements needs them once."""


def _pattern(name: str, width: float, height: float, body: str, turn: int = 0) -> str:
    turned = f' patternTransform="rotate({turn})"' if turn else ""
    return (
        f'<pattern id="hatch-{name}" width="{width}" height="{height}" patternUnits="userSpaceOnUse"{turned}>'
        f'<rect width="{width}" height="{height}" fill="#fff"/>{body}</pattern>'
    )


def _stroke(path: str, width: float, colour: str = "#59636b") -> str:
    return f'<path d="{path}" stroke="{colour}" stroke-width="{width}" fill="none"/>'


SVG_HATCHES = "".join(
    (
        "<defs>",
        _pattern("masonry", 1.6, 1.6, _stroke("M0 0V1.6", 0.25), 45),
        _pattern(
            "concrete",
            5,
            5,
            _stroke("M1 1.2l.5-.8.5.8zM3.4 3.7l.5-.8.5.8z", 0.15)
            + '<circle cx="3.2" cy="1.1" r=".16" fill="#59636b"/><circle cx="1.2" cy="3.3" r=".16" fill="#59636b"/>'
            '<circle cx="4.4" cy="1.9" r=".13" fill="#59636b"/><circle cx="2.4" cy="4.4" r=".13" fill="#59636b"/>',
        ),
        _pattern("wool", 2, 3, _stroke("M0 .5Q1 .5 1 1.5T2 2.5M0 2.5Q1 2.5 1 1.5T2 .5", 0.12, "#8b949b")),
        _pattern("timber", 3, 1.2, _stroke("M0 .6Q.75 .2 1.5 .6T3 .6", 0.15)),
        _pattern("seal", 1.2, 1.2, _stroke("M0 0L1.2 1.2M1.2 0L0 1.2", 0.14, "#7a4d2b")),
        _pattern("unknown", 2.4, 2.4, _stroke("M0 0V2.4", 0.35, "#b98a3a"), -45),
        "</defs>",
    )
)
"""The hatches that fills refer to; they have to stand once in the same document."""


@dataclass(frozen=True)
class Look:
    """How a file of its own shows a drawing: the styles of its pens, fills and inks (classes as in `SVG_CSS`), the
    hatches that they refer to, and how a text becomes one that may stand in the file.

    With `lengths` each text is drawn as long as these metrics say, whatever font the screen has: closer or wider by a
    little, so that it never meets what it was laid out beside.
    """

    css: str
    hatches: str
    text: Callable[[str], str] = one_line
    lengths: FontMetrics | None = None


SCREEN = Look(SVG_CSS, SVG_HATCHES)
"""How drawings look in pages."""


def _number(value: float) -> str:
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text in {"-0", ""} else text.replace("0.", ".", 1) if text.startswith(("0.", "-0.")) else text


class _Writer:
    """Writes items in the paper's own axes: y down, origin at the top left of the frame."""

    def __init__(
        self,
        drawing: Drawing,
        href: Callable[[str], str],
        plain: Callable[[str], str] = one_line,
        lengths: FontMetrics | None = None,
    ) -> None:
        self._left = drawing.frame.left
        self._top = drawing.frame.top
        self._href = href
        self._plain = plain
        self._lengths = lengths
        self.out: list[str] = []
        self._stroke: Pen | None = None
        self._path: list[str] = []

    def _xy(self, point: Point) -> str:
        return f"{_number(point[0] - self._left)} {_number(self._top - point[1])}"

    def _ring(self, points: Sequence[Point], end: str) -> str:
        """The outline as path data; level and upright lines need but one number."""
        spots = [self._xy(point).split() for point in points]
        steps = [f"M{spots[0][0]} {spots[0][1]}"]
        for (x, y), (after_x, after_y) in pairwise(spots):
            if y == after_y:
                steps.append(f"H{after_x}")
            elif x == after_x:
                steps.append(f"V{after_y}")
            else:
                steps.append(f"L{after_x} {after_y}")
        return "".join(steps) + end

    def _flush(self) -> None:
        if self._path and self._stroke is not None:
            self.out.append(f'<path class="p-{self._stroke}" d="{"".join(self._path)}"/>')
        self._stroke, self._path = None, []

    def _class(self, fill: Fill, pen: Pen | None) -> str:
        return " ".join(([f"f-{fill}"] if fill is not Fill.NONE else []) + ([f"p-{pen}"] if pen else []))

    def write(self, items: Iterable[Item]) -> None:
        for item in items:
            if isinstance(item, Polyline):
                if self._stroke is not item.pen:
                    self._flush()
                    self._stroke = item.pen
                self._path.append(self._ring(item.points, ""))
                continue
            self._flush()
            if isinstance(item, Polygon):
                path = "".join(self._ring(ring, "z") for ring in item.rings)
                rule = ' fill-rule="evenodd"' if len(item.rings) > 1 else ""
                self.out.append(f'<path class="{self._class(item.fill, item.pen)}"{rule} d="{path}"/>')
            elif isinstance(item, Circle):
                x, y = self._xy(item.centre).split()
                shape = f'cx="{x}" cy="{y}" r="{_number(item.radius)}"'
                self.out.append(f'<circle class="{self._class(item.fill, item.pen)}" {shape}/>')
            elif isinstance(item, Text):
                self._text(item)
            elif isinstance(item, Dimension):
                self.write(item.items)
            else:
                self._group(item)
        self._flush()

    def _text(self, item: Text) -> None:
        if not item.text:
            return
        x, y = self._xy(item.at).split()
        anchor = "" if item.anchor is Anchor.START else f' text-anchor="{item.anchor}"'
        ink = "" if item.ink is Ink.PLAIN else f' class="i-{item.ink}"'
        size = "" if item.size == _USUAL_SIZE else f' font-size="{_number(item.size)}"'
        turn = f' transform="rotate(-90 {x} {y})"' if item.turned else ""
        plain = self._plain(item.text)
        length = ""
        if self._lengths is not None:
            width = _number(replace(item, text=plain).width(self._lengths))
            length = f' textLength="{width}" lengthAdjust="spacingAndGlyphs"'
        self.out.append(f'<text{ink} x="{x}" y="{y}"{size}{anchor}{length}{turn}>{escape(plain)}</text>')

    def _group(self, item: Group) -> None:
        label = escape(self._plain(item.label))
        target = self._href(item.link) if item.link else ""
        if target:
            self.out.append(f'<a href="{escape(target)}" aria-label="{label}"><title>{label}</title>')
            self.write(item.items)
            self.out.append("</a>")
        else:
            self.out.append(f"<g><title>{label}</title>" if label else "<g>")
            self.write(item.items)
            self.out.append("</g>")


def _open_tag(
    drawing: Drawing,
    *,
    is_image: bool,
    namespace: str = "",
    magnify: float = 1.0,
    plain: Callable[[str], str] = one_line,
) -> str:
    box = f"{_number(drawing.frame.width)} {_number(drawing.frame.height)}"
    width, height = _number(drawing.frame.width * magnify), _number(drawing.frame.height * magnify)
    role = "img" if is_image else "group"
    label = escape(plain(f"{drawing.title}. {drawing.words}"))
    return (
        f'<svg{namespace} class="dw" viewBox="0 0 {box}" width="{width}mm" height="{height}mm" '
        f'font-size="{_USUAL_SIZE}" '
        f'role="{role}" aria-label="{label}">'
    )


def svg_element(
    drawing: Drawing,
    href: Callable[[str], str] = lambda _: "",
    magnify: float = 1.0,
    lengths: FontMetrics | None = None,
) -> str:
    """The drawing as an `svg` element for a page that holds `SVG_CSS` and `SVG_HATCHES` once.

    `href` turns the link of a group into an address; groups with an address become links, and the drawing is then
    no mere image to a screen reader. It is shown `magnify` times its size on paper; `lengths` as in `Look`.
    """
    writer = _Writer(drawing, href, one_line, lengths)
    writer.write(drawing.items)
    has_links = any('<a href="' in part for part in writer.out)
    return _open_tag(drawing, is_image=not has_links, magnify=magnify) + "".join(writer.out) + "</svg>"


def svg_document(drawing: Drawing, look: Look = SCREEN) -> str:
    """The drawing as an SVG file of its own, in the look given."""
    writer = _Writer(drawing, lambda _: "", look.text, look.lengths)
    writer.write(drawing.items)
    head = _open_tag(drawing, is_image=True, namespace=' xmlns="http://www.w3.org/2000/svg"', plain=look.text)
    title = escape(look.text(drawing.title))
    return f"{head}<title>{title}</title><style>{look.css}</style>{look.hatches}{''.join(writer.out)}</svg>\n"
