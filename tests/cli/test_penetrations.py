# SPDX-License-Identifier: Apache-2.0
"""`brattice penetrations` as its user meets it: streams, exit codes, bytes, and names that mean harm."""

from __future__ import annotations

import csv
import io
import random
import re
import subprocess
import sys
from pathlib import Path

import pytest

from brattice.adapters.report.penetrations_csv import COLUMNS
from tests.helpers.ifc_maker import Maker, guid

FORMULA = "=cmd|' /C calc'!A0"
SCRIPT = "</script><img src=x onerror=alert(1)>"
OVERRIDE = "abc\u202egpj.exe"
NUL = "a\x00b"
TEMPLATE = '{{ 7*7 }} #import "/etc/passwd" \\input{x}'


def _run(*arguments: str, seed: str = "0") -> subprocess.CompletedProcess[bytes]:
    program = Path(sys.executable).with_name("brattice")
    return subprocess.run(
        [str(program), "penetrations", *arguments],
        capture_output=True,
        timeout=120,
        check=False,
        env={"PATH": "/usr/bin:/bin", "PYTHONHASHSEED": seed, "LANG": "C"},
    )


def _rows(text: bytes) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text.decode("utf-8"))))


def _simple(path: Path, **attributes: str) -> str:
    maker = Maker()
    maker.storey("Level 1", 0.0)
    maker.wall("wall", (0.0, -100.0, 0.0), (6000.0, 100.0, 3000.0), "Level 1", attributes.get("rating"))
    maker.duct("duct", (2000.0, -1000.0, 2500.0), (2000.0, 1000.0, 2500.0), (400.0, 200.0), "Level 1")
    return maker.save(path)


def test_stdout_carries_the_table_alone(tmp_path: Path) -> None:
    done = _run(_simple(tmp_path / "a.ifc"), "--csv", "-")
    assert done.returncode == 0
    lines = done.stdout.decode("utf-8").split("\n")
    assert lines[0] == ",".join(COLUMNS)
    assert len(lines) == 3
    assert lines[2] == ""
    (row,) = _rows(done.stdout)
    assert (row["kind"], row["service"], row["shape"], row["width_mm"], row["height_mm"]) == (
        "penetration",
        "duct",
        "rectangular",
        "400",
        "200",
    )
    assert row["layers"] == f"{guid('wall')}:200:2:0:2.5"
    assert row["queries"] == ""
    assert b"penetrations: 1, places to be settled: 0" in done.stderr


def test_without_csv_only_the_summary(tmp_path: Path) -> None:
    done = _run(_simple(tmp_path / "a.ifc"))
    assert (done.returncode, done.stdout) == (0, b"")


def test_a_file_is_written_whole(tmp_path: Path) -> None:
    target = tmp_path / "out.csv"
    done = _run(_simple(tmp_path / "a.ifc"), "--csv", str(target))
    assert (done.returncode, done.stdout) == (0, b"")
    assert len(_rows(target.read_bytes())) == 1
    assert [path.name for path in tmp_path.iterdir() if path.name.endswith(".part")] == []


def test_a_place_that_can_not_be_written(tmp_path: Path) -> None:
    done = _run(_simple(tmp_path / "a.ifc"), "--csv", str(tmp_path / "no" / "where.csv"))
    assert done.returncode == 3
    assert b"can't be written" in done.stderr
    assert b"Traceback" not in done.stderr


def test_something_open_ends_with_1(tmp_path: Path) -> None:
    maker = Maker()
    maker.wall("wall", (0.0, -100.0, 0.0), (6000.0, 100.0, 3000.0))
    maker.duct("duct", (2000.0, -1000.0, 2500.0), (2000.0, 0.0, 2500.0), (400.0, 200.0))
    done = _run(maker.save(tmp_path / "open.ifc"), "--csv", "-")
    assert done.returncode == 1
    assert [row["queries"] for row in _rows(done.stdout)] == ["ends-inside"]


def test_a_storey_mismatch_is_open(tmp_path: Path) -> None:
    maker = Maker()
    maker.storey("Level 1", 0.0)
    maker.storey("Level 2", 3500.0)
    maker.storey("Level 3", 7000.0)
    maker.wall("wall", (0.0, -100.0, 0.0), (6000.0, 100.0, 3000.0), "Level 1")
    maker.duct("duct", (2000.0, -1000.0, 2500.0), (2000.0, 1000.0, 2500.0), (400.0, 200.0), "Level 3")
    done = _run(maker.save(tmp_path / "storey.ifc"), "--csv", "-")
    assert done.returncode == 1
    assert [(row["kind"], row["queries"]) for row in _rows(done.stdout)] == [("penetration", "storey-mismatch")]


def test_wrong_usage(tmp_path: Path) -> None:
    assert _run().returncode == 64
    assert _run("--nonsense", str(tmp_path)).returncode == 64


def test_one_bad_file_writes_nothing(tmp_path: Path) -> None:
    good = _simple(tmp_path / "a.ifc")
    (tmp_path / "bad.ifc").write_bytes(b"")
    target = tmp_path / "out.csv"
    done = _run(good, str(tmp_path / "bad.ifc"), "--csv", str(target))
    assert done.returncode == 3
    assert b"bad.ifc" in done.stderr
    assert not target.exists()


def _two_files(folder: Path) -> tuple[str, str]:
    walls, ducts = Maker(), Maker()
    for maker in (walls, ducts):
        maker.storey("Level 1", 0.0)
        maker.storey("Level 2", 3000.0)
    for k in range(3):
        walls.wall(f"wall {k}", (0.0, 2000.0 * k - 100.0, 0.0), (9000.0, 2000.0 * k + 100.0, 2900.0), "Level 1")
    for k in range(6):
        x = 500.0 + 1300.0 * k
        ducts.duct(
            f"duct {k}", (x, -1000.0, 2500.0), (x, 900.0 * k + 40.0, 2500.0), (300.0 + 50.0 * k, 200.0), "Level 1"
        )
    return walls.save(folder / "walls.ifc"), ducts.save(folder / "ducts.ifc")


def _shuffled(path: str, target: Path, seed: int) -> str:
    """The same model with the lines of its DATA section in another order."""
    head, rest = Path(path).read_text(encoding="ascii").split("DATA;\n")
    data, tail = rest.split("ENDSEC;", 1)
    lines = data.strip().split("\n")
    random.Random(seed).shuffle(lines)
    target.write_text(head + "DATA;\n" + "\n".join(lines) + "\nENDSEC;" + tail, encoding="ascii")
    return str(target)


def _renumbered(path: str, target: Path, seed: int) -> str:
    """The same model with every entity under another number."""
    text = Path(path).read_text(encoding="ascii")
    numbers = sorted({int(found) for found in re.findall(r"#(\d+)", text)})
    others = [number + 5000 for number in numbers]
    random.Random(seed).shuffle(others)
    of = dict(zip(numbers, others, strict=True))
    target.write_text(re.sub(r"#(\d+)", lambda found: f"#{of[int(found[1])]}", text), encoding="ascii")
    return str(target)


def test_no_order_changes_a_byte(tmp_path: Path) -> None:
    """Files or elements in another order, elements under other numbers, one worker or two, another hash seed."""
    walls, ducts = _two_files(tmp_path)
    first = _run(walls, ducts, "--csv", "-", "--workers", "1")
    assert len(_rows(first.stdout)) >= 9
    for others in (
        (ducts, walls),
        (_shuffled(walls, tmp_path / "w1.ifc", 1), _shuffled(ducts, tmp_path / "d1.ifc", 2)),
        (_renumbered(ducts, tmp_path / "d2.ifc", 3), _renumbered(walls, tmp_path / "w2.ifc", 4)),
    ):
        assert _run(*others, "--csv", "-", "--workers", "2", seed="12345").stdout == first.stdout


def test_keys_stay_when_something_else_is_added(tmp_path: Path) -> None:
    """A key hangs on the GlobalIds of its own barrier and elements alone."""
    before = _simple(tmp_path / "before.ifc")
    maker = Maker()
    maker.storey("Level 1", 0.0)
    maker.wall("another", (0.0, 900.0, 0.0), (6000.0, 1100.0, 3000.0), "Level 1")
    maker.wall("wall", (0.0, -100.0, 0.0), (6000.0, 100.0, 3000.0), "Level 1")
    maker.duct("more", (500.0, -1000.0, 2500.0), (500.0, 2000.0, 2500.0), (400.0, 200.0), "Level 1")
    maker.duct("duct", (2000.0, -1000.0, 2500.0), (2000.0, 500.0, 2500.0), (400.0, 200.0), "Level 1")
    after = maker.save(tmp_path / "after.ifc")
    (old,) = _rows(_run(before, "--csv", "-").stdout)
    assert old["key"] in {row["key"] for row in _rows(_run(after, "--csv", "-").stdout)}


def test_one_duct_twice_through_one_wall_has_two_keys(tmp_path: Path) -> None:
    """A U of one body: told apart by where they lie, whichever way the file draws it."""
    maker = Maker()
    maker.wall("wall", (0.0, -100.0, 0.0), (6000.0, 100.0, 3000.0))
    shape = [
        (1000.0, -1000.0),
        (1200.0, -1000.0),
        (1200.0, 800.0),
        (2800.0, 800.0),
        (2800.0, -1000.0),
        (3000.0, -1000.0),
        (3000.0, 1000.0),
        (1000.0, 1000.0),
    ]
    profile = maker.file.create_entity(
        "IfcArbitraryClosedProfileDef", "AREA", None, maker._polyline([*shape, shape[0]])
    )
    solid = maker._extruded(profile, (0.0, 0.0, 2000.0), (0.0, 0.0, 1.0), (1.0, 0.0, 0.0), 200.0)
    element = maker._product("IfcDuctSegment", "u", [solid], "", {})
    maker.port("one", element, (1100.0, -1000.0, 2100.0))
    maker.port("two", element, (2900.0, -1000.0, 2100.0))
    rows = _rows(_run(maker.save(tmp_path / "u.ifc"), "--csv", "-").stdout)
    assert len({row["key"] for row in rows}) == len(rows) == 2
    assert {row["element_guids"] for row in rows} == {guid("u")}


@pytest.mark.parametrize("name", [FORMULA, "+1+1", "-2+3", "@SUM(A1)", SCRIPT, OVERRIDE, NUL, TEMPLATE, 'a,b"c\r\nd'])
def test_names_that_mean_harm_are_text(tmp_path: Path, name: str) -> None:
    """As storey name, wall name, rating text and duct name: no cell acts, no control character gets through."""
    maker = Maker()
    maker.storey(name, 0.0)
    wall = maker.wall("wall", (0.0, -100.0, 0.0), (6000.0, 100.0, 3000.0), name, rating=name)
    wall.Name = name
    duct = maker.duct("duct", (2000.0, -1000.0, 2500.0), (2000.0, 1000.0, 2500.0), (400.0, 200.0), name)
    duct.Name = name
    maker.system(name, [duct])
    done = _run(maker.save(tmp_path / "harm.ifc"), "--csv", "-")
    assert done.returncode == 0, done.stderr
    (row,) = _rows(done.stdout)
    assert row["kind"] == "penetration"
    for key, cell in row.items():
        if key not in {"barrier_guids", "element_guids", "layers", "x_m", "y_m", "z_m"}:
            assert not cell.startswith(("=", "+", "-", "@", "\t", "\r")), (key, cell)
    for text in (done.stdout.decode("utf-8"), done.stderr.decode("utf-8")):
        assert not re.search(r"[\x00-\x08\x0b-\x1f\x7f\u202a-\u202e\u2066-\u2069]", text)
    assert row["barrier_guids"] == guid("wall")


def test_a_globalid_that_means_harm(tmp_path: Path) -> None:
    """A GlobalId is 22 characters of letters, digits, _ and $; anything else is text and stays one word."""
    maker = Maker()
    wall = maker.wall("wall", (0.0, -100.0, 0.0), (6000.0, 100.0, 3000.0))
    wall.GlobalId = "=A1;B2 C3:D4"
    maker.duct("duct", (2000.0, -1000.0, 2500.0), (2000.0, 1000.0, 2500.0), (400.0, 200.0))
    (row,) = _rows(_run(maker.save(tmp_path / "guid.ifc"), "--csv", "-").stdout)
    assert row["barrier_guids"] == "'=A1_B2_C3_D4"
    assert row["layers"].count(":") == 4
