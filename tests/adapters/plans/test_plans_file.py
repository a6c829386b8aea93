# SPDX-License-Identifier: Apache-2.0
"""`plans/plans.toml`: every fault says where it is, what stands there and what may."""

from pathlib import Path

import pytest

from brattice.adapters.plans import read_plan_files
from brattice.errors import InputError

GOOD = """schema = 1
[[plan]]
file = "l1.png"
level = "Level 1"
[[plan.point]]
sheet = [0, 0]
metres = [0, 0]
[[plan.point]]
sheet = [100, 0]
metres = [10, 0]
"""


def read(folder: Path, text: str) -> None:
    (folder / "plans").mkdir()
    (folder / "plans" / "l1.png").write_bytes(b"\x89PNG")
    (folder / "plans" / "plans.toml").write_text(text, "utf-8")
    read_plan_files(folder)


def test_the_file_of_these_tests_is_read(tmp_path: Path) -> None:
    read(tmp_path, GOOD)


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ("schema = 1\n", "", "plans/plans.toml: schema: found nothing; expected this key: 1"),
        ("schema = 1", "schema = 2", "plans/plans.toml: schema: found 2; expected 1"),
        ("level", "levle", "plan, no. 1, level: found nothing; expected this key: the name of a level"),
        ("level", "levle", "plan, no. 1, levle: found an unknown key; expected one of: file, level, page, point; did"),
        ("[100, 0]", '"a"', "plan, no. 1, point, no. 2, sheet: found 'a'; expected two numbers"),
        (
            "metres = [10, 0]",
            "metres = [10, 0]\nzoom = 2",
            "zoom: found an unknown key; expected one of: sheet, metres",
        ),
        ('"Level 1"', '"Level 1"\npage = 0', "plan, no. 1, page: found 0; expected the number of a page, from 1"),
        ("l1.png", "l9.png", "plan no. 1, file: found 'l9.png', which is not in plans/; expected a file there"),
        ("l1.png", "../l1.dxf", "expected a PDF, PNG or JPG in plans/"),
    ],
)
def test_a_fault_says_where_what_and_what_to_do(tmp_path: Path, old: str, new: str, told: str) -> None:
    with pytest.raises(InputError) as caught:
        read(tmp_path, GOOD.replace(old, new, 1))
    assert any(told in str(fault) for fault in caught.value.faults), [str(fault) for fault in caught.value.faults]


def test_one_control_point_is_too_few(tmp_path: Path) -> None:
    with pytest.raises(InputError, match=r"point: found 1 of them; expected two tables"):
        read(tmp_path, GOOD.rpartition("[[plan.point]]")[0])
