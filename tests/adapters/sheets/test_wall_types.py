# SPDX-License-Identifier: Apache-2.0
from pathlib import Path
from typing import Any

import pytest

from brattice.adapters.sheets import WALL_TYPES, read_wall_types, wall_types_bytes
from brattice.building.wall_type import Rating, WallType
from brattice.building.wall_types import WALL_TYPE_FIELDS
from brattice.building.words import SupportingConstruction
from brattice.errors import InputError
from brattice.findings import Known, Origin, Party, Unknown
from tests.adapters.sheets.rows import STAMP, as_csv, filled

FULL: dict[str, Any] = {
    "code": "W3",
    "kind": "flexible wall",
    "thickness_mm": 125,
    "density_kg_m3": 640.5,
    "material": "plasterboard on studs",
    "board_type": "Invented board F",
    "board_thickness_mm": 12.5,
    "board_layers_a": 2,
    "board_layers_b": 2,
    "stud_size_mm": 70,
    "stud_spacing_mm": 600,
    "cavity_fill": "50 mm mineral wool",
    "opening_framing": "studs and tracks all round",
    "lining_mm": 12.5,
    "rating": "EI 60",
    "revision": "P02",
}


def put(path: Path, *rows: dict[str, Any]) -> Path:
    return filled(path, rows, WALL_TYPES, wall_types_bytes(stamp=STAMP))


def faults(*files: Path) -> list[str]:
    with pytest.raises(InputError) as caught:
        read_wall_types([(path, path.name) for path in files])
    return [str(fault) for fault in caught.value.faults]


@pytest.mark.parametrize("how", [put, lambda path, row: as_csv(path.with_suffix(".csv"), [row], WALL_TYPES)])
def test_every_field_is_read(tmp_path: Path, how: Any) -> None:
    path = how(tmp_path / "w.xlsx", FULL)
    (wall,) = read_wall_types([(path, "w")]).wall_types
    values = {name: getattr(wall, name).value for name in WALL_TYPE_FIELDS}
    assert wall.code == "W3"
    assert values == {
        **{key: FULL[key] for key in WALL_TYPE_FIELDS if key in FULL},
        "kind": SupportingConstruction.FLEXIBLE_WALL,
        "board_layers": (2, 2),
        "rating": Rating(60, 60, "EI 60"),
    }


def test_origin_and_missing_facts(tmp_path: Path) -> None:
    path = put(tmp_path / "w.xlsx", {"code": "W3", "thickness_mm": 125})
    (wall,) = read_wall_types([(path, "w.xlsx")]).wall_types
    assert wall.thickness_mm == Known(125.0, Origin("w.xlsx", "sheet 'Wall types', row 2, column 'Thickness [mm]'"))
    assert isinstance(wall.rating, Unknown)
    assert wall.rating.missing.key == "wall-type/W3/rating"
    assert wall.rating.missing.ask is Party.FIRE_ENGINEER
    assert isinstance(wall.density_kg_m3, Unknown)
    assert wall.density_kg_m3.missing.key == "wall-type/W3/density"


def test_the_list_of_fields_is_that_of_the_wall_type() -> None:
    assert ["code", *WALL_TYPE_FIELDS] == list(WallType.__dataclass_fields__)


def test_a_code_twice_names_both_revisions_across_files(tmp_path: Path) -> None:
    one = put(tmp_path / "a.xlsx", FULL, {**FULL, "revision": "P03"})
    two = put(tmp_path / "b.xlsx", {"code": "w3"})
    assert faults(one, two) == [
        (
            "a.xlsx: sheet 'Wall types', row 3, column 'Code': found 'W3' again (revision P03; first in a.xlsx, "
            "sheet 'Wall types', row 2, revision P02); expected the one row that holds now"
        ),
        (
            "b.xlsx: sheet 'Wall types', row 2, column 'Code': found 'w3' again (revision not stated; first in a.xlsx, "
            "sheet 'Wall types', row 2, revision P02); expected the one row that holds now"
        ),
    ]


@pytest.mark.parametrize(
    ("changed", "fault"),
    [
        ({"board_layers_b": None}, "'Board layers side B': found nothing beside the other side"),
        ({"board_layers_a": 1.5}, "'Board layers side A': found 1.5; expected a whole number, at least 0, at most 10"),
        ({"rating": "one hour"}, "'Rating': found 'one hour'; expected minutes (60)"),
        ({"kind": "stud wall"}, "'Kind': found 'stud wall'; expected one of: rigid wall"),
        ({"thickness_mm": 0}, "'Thickness [mm]': found 0; expected a number in mm, above 0, at most 5000"),
        ({"code": None}, "'Code': found nothing; expected text"),
    ],
)
def test_faults(tmp_path: Path, changed: dict[str, Any], fault: str) -> None:
    (only,) = faults(put(tmp_path / "w.xlsx", {**FULL, **changed}))
    assert only.startswith(f"w.xlsx: sheet 'Wall types', row 2, column {fault}")
