# SPDX-License-Identifier: Apache-2.0
"""The builders' work overlay, read back by the DXF library and held against numbers worked out by hand."""

import io
from dataclasses import replace
from typing import Any

import pytest
from ezdxf import filemanagement

from brattice.adapters.orders.overlay import overlay_files
from brattice.building.plan import PlanBarrier, StoreyPlan
from brattice.details import Standing
from brattice.orders.overlay import OVERLAY_LAYERS
from brattice.usecases.ordering import Schedules
from tests.helpers.details import detail_of
from tests.helpers.ordered import HEAD, schedules
from tests.helpers.penetrations import with_facts
from tests.helpers.reports import HOSTILE

WALL = PlanBarrier("wall-1", "W", "EI 60", 60, False, (((5.0, 7.9375), (20.0, 7.9375), (20.0, 8.0625), (5.0, 8.0625)),))
PLANS = [StoreyPlan("Level 1", 3.0, (WALL,), (), ())]


def read(data: bytes) -> Any:
    document = filemanagement.read(io.StringIO(data.decode("utf-8")))
    audit = document.audit()
    assert not audit.has_errors
    assert not audit.has_fixes
    return document


def made() -> Schedules:
    round_ = detail_of("floor", id="P-0002", figures={f.key: f for f in detail_of("round in block wall").figures})
    held = detail_of(id="P-0003", standing=Standing.TO_BE_SETTLED, why="Not yet.")
    held = replace(held, penetration=with_facts(held.penetration, location__centre_m=(15.0, 8.0, 3.0)))
    away = detail_of(id="P-0004")
    away = replace(away, penetration=with_facts(away.penetration, location__centre_m=None))
    return schedules(detail_of(), round_, held, away, plans=PLANS)


@pytest.fixture(scope="module")
def document() -> Any:
    files = overlay_files(made(), HEAD)
    assert list(files) == ["builders-work/01-Level-1.dxf"]
    return read(files["builders-work/01-Level-1.dxf"])


def test_it_is_in_millimetres(document: Any) -> None:
    """Code 4 of $INSUNITS is millimetres (DXF reference of the format, from memory; ezdxf names it MM)."""
    assert document.header["$INSUNITS"] == 4


def test_openings_stand_in_the_coordinates_of_the_models(document: Any) -> None:
    (form,) = document.modelspace().query("LWPOLYLINE[layer=='BUILDERS-WORK-FORM']")
    assert form.closed
    corners = sorted((round(x, 3), round(y, 3)) for x, y in form.get_points("xy"))
    assert corners == [(11642.5, 7937.5), (11642.5, 8062.5), (12357.5, 7937.5), (12357.5, 8062.5)]
    (held,) = document.modelspace().query("LWPOLYLINE[layer=='BUILDERS-WORK-HELD']")
    assert round(min(x for x, _ in held.get_points("xy")), 3) == 14642.5
    (circle,) = document.modelspace().query("CIRCLE")
    assert (circle.dxf.center.x, circle.dxf.center.y, circle.dxf.radius) == (12000, 8000, 207.5)
    (wall,) = document.modelspace().query("LWPOLYLINE[layer=='BUILDERS-WORK-BARRIERS']")
    assert sorted(wall.get_points("xy"))[0] == (5000, 7937.5)


def test_id_size_and_height_stand_beside_each_opening_as_its_row_has_them(document: Any) -> None:
    texts = [text.dxf.text for text in document.modelspace().query("TEXT")]
    for row in made().builders_work.rows:
        if row.id != "P-0004":
            assert row.id in texts
            assert f"framed {row.texts['framed']}" in texts
            assert row.is_floor or f"centre {row.texts['centre']}" in texts
    assert "P-0004: No model says where it is." in texts


def test_cautions_revision_and_invented_data_are_written_in_it(document: Any) -> None:
    texts = [text.dxf.text for text in document.modelspace().query("TEXT")]
    assert set(HEAD.cautions) <= set(texts)
    assert "All names and data here are invented." in texts
    assert any("Revision: P02" in text for text in texts)


def test_every_state_has_its_layer(document: Any) -> None:
    assert set(OVERLAY_LAYERS.values()) <= {layer.dxf.name for layer in document.layers}


def test_the_same_schedules_give_the_same_bytes() -> None:
    assert overlay_files(made(), HEAD) == overlay_files(made(), HEAD)


def test_nothing_to_place_is_still_a_sound_file() -> None:
    away = detail_of()
    away = replace(away, penetration=with_facts(away.penetration, location__centre_m=None))
    (data,) = overlay_files(schedules(away), HEAD).values()
    assert [*read(data).modelspace().query("LWPOLYLINE CIRCLE")] == []
    assert overlay_files(schedules(), HEAD) == {}


def test_names_that_try_to_act_are_texts() -> None:
    name = "".join((*HOSTILE, "%%c ^J {\\U+0041} \n0\nEOF\n"))
    detail = detail_of()
    place = with_facts(detail.penetration, location__storey=name)
    ((path, data),) = overlay_files(schedules(replace(detail, penetration=place)), replace(HEAD, job=name)).items()
    assert path.startswith("builders-work/01-")
    assert len([*read(data).modelspace().query("TEXT")]) >= 5


def test_texts_of_near_openings_stand_on_no_other_texts() -> None:
    """Ten openings half a metre apart; a letter is taken as wide as three quarters of its height."""
    near = []
    for number in range(10):
        detail = detail_of(id=f"P-00{number:02d}")
        place = with_facts(detail.penetration, location__centre_m=(8.0 + number / 2, 8.0, 3.0))
        near.append(replace(detail, penetration=place))
    (data,) = overlay_files(schedules(*near, plans=PLANS), HEAD).values()
    boxes = []
    for text in read(data).modelspace().query("TEXT[layer=='BUILDERS-WORK-FORM']"):
        x, y = text.dxf.align_point.x, text.dxf.align_point.y
        boxes.append((x, y - text.dxf.height, x + len(text.dxf.text) * 0.75 * text.dxf.height, y))
    assert len(boxes) == 40
    for number, (x0, y0, x1, y1) in enumerate(boxes):
        for a0, b0, a1, b1 in boxes[number + 1 :]:
            assert x1 <= a0 or a1 <= x0 or y1 <= b0 or b1 <= y0
