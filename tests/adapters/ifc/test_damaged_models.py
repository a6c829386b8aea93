# SPDX-License-Identifier: Apache-2.0
"""Models with faults inside: each is read as far as it is certain, and what is not is said."""

from __future__ import annotations

from pathlib import Path

import pytest

from brattice.adapters.child import Limits
from brattice.adapters.ifc import IfcModels
from brattice.building.place import BuildingModel, PlaceKind
from brattice.errors import InputError
from brattice.usecases.find_places import find_places
from tests.helpers.ifc_maker import Maker, guid
from tests.helpers.places import class_steps, penetrations, reasons

LIMITS = Limits(memory_bytes=3 * 1024**3, seconds=60.0)


@pytest.fixture
def whole(tmp_path: Path) -> str:
    """The text of a model with one duct through one wall."""
    maker = Maker()
    maker.storey("Level 1", 0.0)
    maker.wall("wall", (0.0, -100.0, 0.0), (6000.0, 100.0, 3000.0), "Level 1", "EI 60")
    maker.duct("duct", (2000.0, -1000.0, 2500.0), (2000.0, 1000.0, 2500.0), (400.0, 200.0), "Level 1")
    return Path(maker.save(tmp_path / "whole.ifc")).read_text(encoding="ascii")


def _read(tmp_path: Path, text: str | bytes) -> BuildingModel:
    path = tmp_path / "damaged.ifc"
    path.write_bytes(text if isinstance(text, bytes) else text.encode("ascii"))
    return find_places([str(path)], IfcModels(limits=LIMITS), class_steps())


def _line(text: str, start: str) -> str:
    return next(line for line in text.splitlines() if f"={start}(" in line)


def test_the_whole_one(tmp_path: Path, whole: str) -> None:
    model = _read(tmp_path, whole)
    assert [place.kind for place in model.places] == [PlaceKind.PENETRATION]
    assert (model.warnings, model.lacks, model.is_open) == ((), (), False)


def test_a_placement_that_leads_back_to_itself(tmp_path: Path, whole: str) -> None:
    line = _line(whole, "IFCDUCTSEGMENT")
    placement = line.split(",")[5]
    own = next(one for one in whole.splitlines() if one.startswith(f"{placement}="))
    above = own.split("(")[1].split(",")[0]
    model = _read(tmp_path, whole.replace(own, own.replace(f"({above},", f"({placement},")))
    assert [reasons(place) for place in model.places] == [["no-geometry"]]
    assert "leads back to itself" in model.warnings[0]


def test_placements_that_lead_to_each_other(tmp_path: Path, whole: str) -> None:
    """The duct's placement hangs on one that hangs on the duct's."""
    line = _line(whole, "IFCDUCTSEGMENT")
    placement = line.split(",")[5]
    own = next(one for one in whole.splitlines() if one.startswith(f"{placement}="))
    above, rest = own.split("(")[1].split(",", 1)
    other = f"#999999=IFCLOCALPLACEMENT({placement},{rest}"
    mended = whole.replace(own, own.replace(f"({above},", "(#999999,") + "\n" + other)
    model = _read(tmp_path, mended)
    assert [reasons(place) for place in model.places] == [["no-geometry"]]


def test_no_length_unit_is_said_and_leaves_it_open(tmp_path: Path, whole: str) -> None:
    line = _line(whole, "IFCPROJECT")
    units = line.rsplit(",", 1)[1]
    model = _read(tmp_path, whole.replace(line, line.replace(f",{units}", ",$);")))
    assert "no length unit" in model.lacks[0]
    assert model.is_open
    assert len(penetrations(model)) == 1


def test_an_unknown_entity_is_said_and_leaves_it_open(tmp_path: Path, whole: str) -> None:
    model = _read(tmp_path, whole.replace("DATA;\n", "DATA;\n#99999=IFCDUCTWIDGET('a',$,$);\n"))
    assert model.lacks == (f"{tmp_path / 'damaged.ifc'}: unknown entity IFCDUCTWIDGET: left out",)
    assert model.is_open
    assert len(penetrations(model)) == 1


def test_one_globalid_for_two_elements(tmp_path: Path, whole: str) -> None:
    model = _read(tmp_path, whole.replace(guid("duct"), guid("wall")))
    (place,) = penetrations(model)
    assert place.element_guids == (guid("wall"),)
    assert [layer.barrier_guid for layer in place.layers] == [guid("wall")]
    assert "used 2 times" in model.warnings[0]


def test_a_missing_globalid_gets_a_stand_in(tmp_path: Path, whole: str) -> None:
    model = _read(tmp_path, whole.replace(f"'{guid('duct')}'", "$"))
    (place,) = penetrations(model)
    assert len(place.element_guids[0]) == 22
    assert "has no GlobalId" in model.warnings[0]
    assert penetrations(_read(tmp_path, whole.replace(f"'{guid('duct')}'", "$")))[0].key == place.key


def test_eight_bit_characters_in_a_name(tmp_path: Path, whole: str) -> None:
    """Not allowed in ISO 10303-21, met all the same."""
    assert len(penetrations(_read(tmp_path, whole.replace("'duct'", "'L\xfcftung'").encode("latin-1")))) == 1


def test_a_reference_that_leads_nowhere(tmp_path: Path, whole: str) -> None:
    line = _line(whole, "IFCDUCTSEGMENT")
    shape = line.split(",")[6]
    model = _read(tmp_path, whole.replace(line, line.replace(shape, "#888888")))
    assert any("888888" in text for text in model.lacks)
    assert model.is_open


def test_no_elements(tmp_path: Path, whole: str) -> None:
    head = whole.split("DATA;")[0]
    with pytest.raises(InputError, match="no building element"):
        _read(tmp_path, head + "DATA;\nENDSEC;\nEND-ISO-10303-21;\n")


@pytest.mark.parametrize("schema", ["IFC2X2_FINAL", "IFC99", "AP214", ""])
def test_a_schema_that_we_do_not_read(tmp_path: Path, whole: str, schema: str) -> None:
    with pytest.raises(InputError):
        _read(tmp_path, whole.replace("FILE_SCHEMA(('IFC4'))", f"FILE_SCHEMA(('{schema}'))"))


def test_faults_of_all_files_come_together(tmp_path: Path, whole: str) -> None:
    (tmp_path / "empty.ifc").write_bytes(b"")
    (tmp_path / "cut.ifc").write_text(whole[:-40], encoding="ascii")
    files = [str(tmp_path / name) for name in ("empty.ifc", "whole.ifc", "cut.ifc", "missing.ifc")]
    with pytest.raises(InputError) as caught:
        IfcModels(limits=LIMITS).read(files)
    assert [Path(fault.file).name for fault in caught.value.faults] == ["cut.ifc", "empty.ifc", "missing.ifc"]


def test_the_same_file_twice_is_read_once(tmp_path: Path, whole: str) -> None:
    for name in ("a.ifc", "b.ifc"):
        (tmp_path / name).write_text(whole, encoding="ascii")
    model = find_places([str(tmp_path / "a.ifc"), str(tmp_path / "b.ifc")], IfcModels(limits=LIMITS), class_steps())
    assert len(penetrations(model)) == 1
    assert "read once" in model.warnings[0]


def test_files_that_do_not_lie_in_one_place(tmp_path: Path) -> None:
    near, far = Maker(), Maker(shift_m=(500_000.0, 200_000.0, 0.0))
    near.wall("wall", (0.0, -100.0, 0.0), (6000.0, 100.0, 3000.0))
    far.duct("duct", (2000.0, -1000.0, 2500.0), (2000.0, 1000.0, 2500.0), (400.0, 200.0))
    files = [near.save(tmp_path / "near.ifc"), far.save(tmp_path / "far.ifc")]
    model = find_places(files, IfcModels(limits=LIMITS), class_steps())
    assert any("apart" in text for text in model.lacks)
    assert model.is_open


def test_the_time_limit_names_the_file(tmp_path: Path, whole: str) -> None:
    path = tmp_path / "slow.ifc"
    path.write_text(whole, encoding="ascii")
    with pytest.raises(InputError, match=r"took longer than 0\.01 s"):
        IfcModels(limits=Limits(seconds=0.01)).read([str(path)])
