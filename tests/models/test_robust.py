# SPDX-License-Identifier: Apache-2.0
"""Each file of the folder of damaged and odd models gives what the folder's own list of expectations asks.

The list is in words; the codes, counts and words here are how we read it. A file that the list has and this table
has not is a failure.
"""

from __future__ import annotations

import json
from dataclasses import dataclass

import pytest

from tests.models.open_models import FOLDER, needs_models, run

pytestmark = [pytest.mark.models, needs_models]

WALL, DUCT = "2fzW3AAnz5D93seFjtvDnX", "2fzW3AAnz5D93seFjtvD_N"


@dataclass(frozen=True)
class Expected:
    """Exit code, words on stderr, number of penetrations (None: no table at all), size of the duct [mm]."""

    code: int
    words: tuple[str, ...] = ()
    penetrations: int | None = None
    width_mm: float = 304.8
    thickness_mm: float = 200.0


EXPECTED = {
    "r01_truncated.ifc": Expected(3, ("cut off",)),
    "r02_git_lfs_pointer.ifc": Expected(3, ("Git LFS pointer",)),
    "r03_empty.ifc": Expected(3, ("empty file",)),
    "r04_header_only.ifc": Expected(3, ("no building element",)),
    "r05_not_ifc.ifc": Expected(3, ("no IFC file",)),
    "r06_duplicate_guid.ifc": Expected(0, ("used 2 times",), 1),
    "r08_no_units.ifc": Expected(1, ("no length unit",), 1, 304_800.0, 200_000.0),
    "r09_inches.ifc": Expected(0, (), 1, 7741.9, 5080.0),
    "r10_latin1_bytes.ifc": Expected(0, (), 1),
    "r11_utf16.ifc": Expected(3, ("UTF-16",)),
    "r12_bom_crlf.ifc": Expected(0, ("byte order mark",), 1),
    "r14_unknown_entity.ifc": Expected(1, ("unknown entity IFCDUCTWIDGET",), 1),
    "r18_cyclic_placement.ifc": Expected(1, ("leads back to itself",), 0),
    "r19_valid.ifczip": Expected(0, (), 1),
    "r20_valid.ifc.gz": Expected(0, (), 1),
}


def test_the_table_is_complete() -> None:
    """Every file of the folder's list is in the table."""
    listed = json.loads((FOLDER / "robust" / "expected.json").read_text(encoding="utf-8"))
    assert set(listed) == set(EXPECTED)


@pytest.mark.parametrize("name", EXPECTED)
def test_damaged_and_odd_files(name: str) -> None:
    expected = EXPECTED[name]
    done = run(str(FOLDER / "robust" / name), "--csv", "-")
    assert done.code == expected.code
    assert all(word in done.err for word in expected.words)
    assert "Traceback" not in done.err
    if expected.penetrations is None:
        assert done.out == ""
        assert name in done.err
        return
    found = [row for row in done.rows if row["kind"] == "penetration"]
    assert len(found) == expected.penetrations
    for row in found:
        assert row["barrier_guids"] == WALL
        assert float(row["width_mm"]) == pytest.approx(expected.width_mm, abs=0.05)
        assert float(row["thickness_mm"]) == expected.thickness_mm


def test_a_duct_whose_placement_is_a_circle_is_still_listed() -> None:
    done = run(str(FOLDER / "robust" / "r18_cyclic_placement.ifc"), "--csv", "-")
    assert [row["element_guids"] for row in done.rows if row["queries"] == "no-geometry"] == [DUCT]
