# SPDX-License-Identifier: Apache-2.0
"""Sheets as DXF are read back by the library's reader, which checks them, and set against what the sheet says."""

import io
from pathlib import Path
from typing import Any

import ezdxf.filemanagement
import pytest
from ezdxf._options import options
from ezdxf.document import Drawing as Document
from hypothesis import given, settings
from hypothesis import strategies as st

from brattice.adapters.drawing.dxf import drawing_dxf, sheet_dxf
from brattice.adapters.drawing.dxf_words import HATCHES, LAYERS, VIEWPORTS, dimension_text, plain_text
from brattice.drawing.dimensions import Span, dimension_chain
from brattice.drawing.pens import PEN_WIDTHS_MM
from brattice.drawing.primitives import (
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
    Polygon,
    Polyline,
    Text,
    rectangle,
)
from brattice.drawing.sheet import TitleBlock, sheet_frame
from brattice.drawing.views import A3, A4, Paper, Sheet, View


def opened(data: bytes) -> Document:
    document = ezdxf.filemanagement.read(io.StringIO(data.decode("utf-8")))
    audit = document.audit()
    assert not audit.errors
    assert not audit.fixes
    return document


def view(*items: Item, denominator: float = 10, title: str = "Section") -> View:
    return View(title, Box(30, 60, 190, 260), denominator, items)


def sheet(*views: View, items: tuple[Item, ...] = (), paper: Paper = A3) -> Sheet:
    block = TitleBlock("A job", "JOB-0012", "Fire damper")
    return Sheet("JOB-0012", "Fire damper", paper, sheet_frame(paper, block), views, items, "words")


def texts(space: Any) -> list[str]:
    return [item.plain_text() for item in space.query("TEXT")]


def found_in(space: Any, kind: str) -> list[Any]:
    return list(space.query(kind))


def shown(dimension: Any) -> str:
    (text,) = dimension.get_geometry_block().query("MTEXT")
    return str(text.plain_text())


def test_dimensions_measure_the_value_and_show_the_text_of_the_sheet() -> None:
    # by hand: 60 mm of paper at 1:10 are 600 mm
    spans = (
        Span(50, 51.2, "12", value_mm=12),
        Span(51.2, 111.2, "600", value_mm=600),
        Span(111.2, 112.45, "12.5 (10 to 25)", value_mm=12.5),
        Span(112.45, 122.5, "100.5", value_mm=100.5),
    )
    level = dimension_chain(spans, 70, upright=False, size=2.5, reach_from=80)
    upright = dimension_chain([Span(100, 130, "300", value_mm=300)], 40, upright=True, size=2.5)
    document = opened(sheet_dxf(sheet(view(*level, *upright))))
    found = {(shown(item), item.get_measurement()) for item in found_in(document.modelspace(), "DIMENSION")}
    expected = {("12", 12), ("600", 600), ("12.5 (10 to 25)", 12.5), ("100.5", 100.5), ("300", 300)}
    assert {text for text, _ in found} == {text for text, _ in expected}
    assert sorted(value for _, value in found) == pytest.approx(sorted(value for _, value in expected), abs=1e-9)


@given(
    st.lists(st.tuples(st.floats(2, 40), st.sampled_from(["", " (tested 10 to 40)", " mm"])), min_size=1, max_size=4)
)
@settings(max_examples=25, deadline=None)
def test_law_value_and_text_of_every_dimension_come_back(lengths: list[tuple[float, str]]) -> None:
    spans, start = [], 40.0
    for length, more in lengths:
        value = round(length * 20, 1)
        spans.append(Span(start, start + value / 20, f"{value:g}{more}", value_mm=value))
        start += value / 20
    document = opened(sheet_dxf(sheet(view(*dimension_chain(spans, 70, upright=False, size=2.5), denominator=20))))
    found = found_in(document.modelspace(), "DIMENSION")
    assert [shown(item) for item in found] == [span.text for span in spans]
    assert [item.get_measurement() for item in found] == pytest.approx([span.value_mm for span in spans])


@pytest.mark.parametrize(
    "span",
    [
        Span(50, 90, "?", Ink.WRONG, Pen.UNKNOWN),
        Span(50, 90, "620", value_mm=620),
        Span(50, 90, "<> 400", value_mm=400),
        Span(50, 90, "0", value_mm=0),
    ],
)
def test_what_would_measure_something_else_is_lines_and_a_text(span: Span) -> None:
    document = opened(sheet_dxf(sheet(view(*dimension_chain([span], 70, upright=False, size=2.5)))))
    space = document.modelspace()
    assert not list(space.query("DIMENSION"))
    assert texts(space) == [span.text]
    assert list(space.query("LINE"))


@pytest.mark.parametrize(("off", "is_dimension"), [(0.5, True), (0.51, False)])
def test_a_value_that_is_drawn_nearly_true_is_measured_exactly(off: float, is_dimension: bool) -> None:
    # at the limit of half a millimetre; 40 mm of paper at 1:10 are 400 mm
    (chain,) = dimension_chain([Span(50, 90, "wide", value_mm=400 + off)], 70, upright=False, size=2.5)
    found = list(found_in(opened(sheet_dxf(sheet(view(chain)))).modelspace(), "DIMENSION"))
    assert [item.get_measurement() for item in found] == pytest.approx([400 + off] if is_dimension else [])


def test_views_stand_at_true_size_with_a_window_from_the_sheet() -> None:
    # by hand: the box is 160 by 200 mm of paper, at 1:10 1600 by 2000 mm; the second stands a metre beside the first
    square = Polygon((rectangle(30, 60, 40, 70),), Fill.NONE, Pen.CUT)
    document = opened(sheet_dxf(sheet(view(square), view(square, denominator=5, title="Face"))))
    first, second = found_in(document.modelspace(), "LWPOLYLINE")
    assert [point[:2] for point in first.get_points()] == [(0, 0), (100, 0), (100, 100), (0, 100)]
    assert [point[:2] for point in second.get_points()] == [(2600, 0), (2650, 0), (2650, 50), (2600, 50)]
    layout = document.layouts.get("SHEET")
    windows = [item for item in found_in(layout, "VIEWPORT") if item.dxf.id > 1]
    assert {item.dxf.layer for item in windows} == {VIEWPORTS}
    assert [item.get_scale() for item in windows] == pytest.approx([1 / 10, 1 / 5])
    assert [(item.dxf.width, item.dxf.height) for item in windows] == [(160, 200)] * 2
    assert tuple(windows[0].dxf.center.vec2) == pytest.approx((110, 160))
    assert tuple(windows[0].dxf.view_center_point)[:2] == pytest.approx((800, 1000))


@pytest.mark.parametrize("paper", [A3, A4])
def test_frame_notes_and_title_block_lie_on_the_paper_layout(paper: Paper) -> None:
    document = opened(sheet_dxf(sheet(items=(Text((60, 80), "A note", 3),), paper=paper)))
    layout = document.layouts.get("SHEET")
    assert {"A note", "JOB-0012", "A job", "Title"} <= set(texts(layout))
    assert not list(document.modelspace())
    assert (layout.dxf.paper_width, layout.dxf.paper_height) == (paper.width, paper.height)


def test_every_layer_is_there_and_things_are_on_theirs() -> None:
    names = [layer for layer in Layer if layer not in {Layer.NONE, Layer.DIMENSION}]
    groups = [
        Group(
            "",
            (Group("", (Circle((50, 90), 4, Fill.INK, Pen.EDGE),)), Polyline(((40, 70), (60, 80)), Pen.CUT)),
            layer=name,
        )
        for name in names
    ]
    document = opened(sheet_dxf(sheet(view(*groups))))
    assert {row.name for row in LAYERS.values()} | {VIEWPORTS} <= {layer.dxf.name for layer in document.layers}
    for name in names:
        kinds = sorted(item.dxftype() for item in document.modelspace().query(f'*[layer=="{LAYERS[name].name}"]'))
        assert kinds == ["CIRCLE", "HATCH", "LINE"]
    assert document.layers.get(VIEWPORTS).dxf.plot == 0
    assert set(LAYERS) == set(Layer)


@pytest.mark.parametrize("pen", list(Pen))
def test_lines_have_the_width_of_their_pen(pen: Pen) -> None:
    document = opened(sheet_dxf(sheet(view(Polyline(((40, 70), (60, 80)), pen)))))
    (line,) = found_in(document.modelspace(), "LINE")
    assert line.dxf.lineweight == round(PEN_WIDTHS_MM[pen] * 100)
    assert (line.dxf.linetype in {"DASHED", "CHAIN"}) == (pen in {Pen.AXIS, Pen.UNKNOWN})


@pytest.mark.parametrize("fill", [fill for fill in Fill if fill not in {Fill.NONE, Fill.PAPER, Fill.RATING_NONE}])
def test_surfaces_are_real_hatches_with_their_holes(fill: Fill) -> None:
    surface = Polygon((rectangle(40, 70, 90, 120), rectangle(50, 80, 80, 110)), fill, Pen.CUT)
    document = opened(sheet_dxf(sheet(view(surface))))
    (hatch,) = found_in(document.modelspace(), "HATCH")
    assert len(hatch.paths) == 2
    assert hatch.dxf.pattern_name == HATCHES[fill][0]
    assert len(found_in(document.modelspace(), "LWPOLYLINE")) == 2


@pytest.mark.parametrize("fill", [Fill.NONE, Fill.PAPER, Fill.RATING_NONE])
def test_what_is_no_surface_is_no_hatch(fill: Fill) -> None:
    document = opened(sheet_dxf(sheet(view(Polygon((rectangle(40, 70, 90, 120),), fill, Pen.CUT)))))
    assert not (found_in(document.modelspace(), "HATCH"))


def test_things_without_size_are_left_out() -> None:
    nothing: tuple[Item, ...] = (
        Polyline(((40, 70), (40, 70)), Pen.CUT),
        Polygon((((40, 70), (50, 70), (40, 70)),), Fill.INK, Pen.CUT),
        Circle((40, 70), 0, Fill.INK, Pen.CUT),
        Text((40, 70), "  ", 3),
    )
    assert not list(opened(sheet_dxf(sheet(view(*nothing)))).modelspace())


HOSTILE = ["%%d", "%%u50%% ^J", "\\U+0041 \\P {a}", "a\nb\x00\u202e", "10 % <>", "2^3 ^", "\\M+1ABCD", "ünï ≤ Ø"]


@pytest.mark.parametrize("name", HOSTILE)
def test_texts_from_outside_stay_texts(name: str) -> None:
    document = opened(sheet_dxf(sheet(view(Text((40, 70), name, 3)))))
    expected = {
        "a\nb\x00\u202e": "a b␀⟨U+202E⟩",
        "\\U+0041 \\P {a}": "⧵U+0041 \\P {a}",
        "\\M+1ABCD": "⧵M+1ABCD",
        "2^3 ^": "2^3 ˆ",
    }
    assert texts(document.modelspace()) == [expected.get(name, name)]


@given(st.text(max_size=30))
def test_law_no_text_acts_or_breaks_the_file(name: str) -> None:
    for made in (plain_text(name), dimension_text(name) or ""):
        assert made.isprintable() or not any(ord(sign) < 32 or 0x7F <= ord(sign) < 0xA0 for sign in made)
        assert "%%" not in made.replace("%%%", "")
        assert "\\U+" not in made


@pytest.mark.parametrize("name", [name for name in HOSTILE if "<>" not in name])
def test_texts_of_dimensions_stay_texts(name: str) -> None:
    (chain,) = dimension_chain([Span(50, 90, name, value_mm=400)], 70, upright=False, size=2.5)
    (found,) = found_in(opened(sheet_dxf(sheet(view(chain)))).modelspace(), "DIMENSION")
    assert found.get_measurement() == pytest.approx(400)
    assert "\n" not in shown(found)
    if name not in {"2^3 ^", "a\nb\x00\u202e", "\\U+0041 \\P {a}", "\\M+1ABCD"}:
        assert shown(found) == name


def test_the_same_sheet_gives_the_same_bytes() -> None:
    chain = dimension_chain([Span(50, 90, "400", value_mm=400)], 70, upright=False, size=2.5)
    one = sheet_dxf(sheet(view(*chain, Circle((60, 90), 4, Fill.SEAL, Pen.EDGE))))
    assert one == sheet_dxf(sheet(view(*chain, Circle((60, 90), 4, Fill.SEAL, Pen.EDGE))))
    assert not options.write_fixed_meta_data_for_testing


def test_a_drawing_alone_stands_at_true_size() -> None:
    drawing = Drawing("Plan", "", Box(-10, -20, 90, 30), (Polyline(((-10, -20), (0, -20)), Pen.CUT),), 100)
    (line,) = opened(drawing_dxf(drawing)).modelspace().query("LINE")
    assert (line.dxf.start.vec2, line.dxf.end.vec2) == ((0, 0), (1000, 0))


def test_a_dimension_that_has_no_text_of_its_own_is_its_items() -> None:
    bare = Dimension((50, 70), (90, 70), 75, upright=False, text="400", value_mm=400, items=())
    assert not list(opened(sheet_dxf(sheet(view(bare)))).modelspace())


def test_the_documented_layers_are_those_of_the_files() -> None:
    docs = (Path(__file__).parents[3] / "docs" / "drawings.md").read_text("utf-8")
    rows = [tuple(cell.strip() for cell in line.strip("|").split("|")) for line in docs.splitlines() if "|" in line]
    listed = {row for row in rows if row[0].isupper() and len(row) == 4}
    expected = {(row.name, str(row.colour), f"{row.width_mm:g}", row.holds) for row in LAYERS.values()}
    assert expected <= listed
    assert {row[0] for row in listed} == {row[0] for row in expected} | {VIEWPORTS}


def test_a_broken_dimension_measures_its_value_from_the_end_that_lies_true() -> None:
    text = Text((40, 150), "sill 2655", 3, ink=Ink.PLAIN)
    broken = Dimension((50, 100), (80, 150), 45, True, "sill 2655", 2655.0, (text,), is_broken=True)
    (made,) = found_in(opened(sheet_dxf(sheet(view(broken)))).modelspace(), "DIMENSION")
    assert made.get_measurement() == pytest.approx(2655.0)
    assert made.dxf.text == "sill 2655"
    # by hand: the second point lies 90 mm of paper above the corner of the view, at 1:10
    assert max(made.dxf.defpoint2.y, made.dxf.defpoint3.y) == pytest.approx(900.0)
