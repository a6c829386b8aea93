# SPDX-License-Identifier: Apache-2.0
import json
import os
import subprocess
import sys
from hashlib import sha256
from pathlib import Path

import pytest

from brattice.adapters.project import MANIFEST, output_folder, read_manifest
from brattice.errors import InputError, OwnFault


def build(out: Path, **files: str) -> list[str]:
    with output_folder(out, version="1") as folder:
        for name, text in files.items():
            folder.write(name.replace("__", "/") + ".txt", text.encode())
    return folder.notes


def content(out: Path) -> dict[str, str]:
    return {
        path.relative_to(out).as_posix(): path.read_text()
        for path in sorted(out.rglob("*"))
        if path.is_file() and path.name != MANIFEST
    }


def beside(out: Path) -> list[str]:
    return sorted(item.name for item in out.parent.iterdir())


def test_a_folder_is_made_with_a_manifest_of_its_files(tmp_path: Path) -> None:
    out = tmp_path / "out"
    assert build(out, a="1", sub__b="2") == []
    assert content(out) == {"a.txt": "1", "sub/b.txt": "2"}
    assert json.loads((out / MANIFEST).read_text()) == {
        "schema": 1,
        "made_by": "Brattice 1",
        "files": [
            {"path": "a.txt", "sha256": sha256(b"1").hexdigest()},
            {"path": "sub/b.txt", "sha256": sha256(b"2").hexdigest()},
        ],
    }
    assert beside(out) == ["out"]


def test_old_outputs_go_and_everything_else_stays(tmp_path: Path) -> None:
    out = tmp_path / "out"
    build(out, a="1", old="x", sub__b="2")
    (out / "mine.txt").write_text("my own")
    (out / "sub" / "mine.txt").write_text("my own too")
    (out / "link").symlink_to(tmp_path)
    assert build(out, a="3") == []
    assert content(out) == {"a.txt": "3", "mine.txt": "my own", "sub/mine.txt": "my own too"}
    assert (out / "link").is_symlink()
    assert set(read_manifest(out)) == {"a.txt"}
    assert beside(out) == ["out"]


def test_an_output_that_somebody_edited_is_kept_under_another_name(tmp_path: Path) -> None:
    out = tmp_path / "out"
    build(out, a="1")
    (out / "a.txt").write_text("with remarks")
    assert build(out, a="2") == ["out/a.txt was changed by somebody; it is kept as out/a (kept).txt"]
    (out / "a.txt").write_text("more remarks")
    build(out, a="3")
    assert content(out) == {"a.txt": "3", "a (kept).txt": "with remarks", "a (kept 2).txt": "more remarks"}


def test_a_folder_without_a_manifest_of_ours_is_all_foreign(tmp_path: Path) -> None:
    out = tmp_path / "out"
    out.mkdir()
    (out / "a.txt").write_text("foreign")
    (out / MANIFEST).write_text('{"schema": 1, "made_by": "somebody", "files": [{"path": "a.txt", "sha256": ""}]}')
    notes = build(out, a="1", b="2")
    assert content(out) == {
        "a.txt": "1",
        "b.txt": "2",
        "a (kept).txt": "foreign",
        "manifest (kept).json": notes
        and '{"schema": 1, "made_by": "somebody", "files": [{"path": "a.txt", "sha256": ""}]}',
    }
    assert len(notes) == 2


@pytest.mark.parametrize("name", ["../victim.txt", "/etc/victim.txt", "sub/../../victim.txt", "a\\b"])
def test_a_manifest_that_points_outside_is_not_believed(tmp_path: Path, name: str) -> None:
    out = tmp_path / "out"
    out.mkdir()
    victim = tmp_path / "victim.txt"
    victim.write_text("stay")
    listed = [{"path": name, "sha256": sha256(b"stay").hexdigest()}]
    (out / MANIFEST).write_text(json.dumps({"schema": 1, "made_by": "Brattice 1", "files": listed}))
    assert read_manifest(out) == {}
    build(out, a="1")
    assert victim.read_text() == "stay"


def test_an_error_halfway_leaves_the_old_folder_whole(tmp_path: Path) -> None:
    out = tmp_path / "out"
    build(out, a="1")
    before = {path.name: path.read_bytes() for path in out.iterdir()}

    def halfway() -> None:
        with output_folder(out, version="1") as folder:
            folder.write("a.txt", b"half")
            raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        halfway()
    assert {path.name: path.read_bytes() for path in out.iterdir()} == before
    assert beside(out) == ["out"]


def test_a_killed_run_leaves_the_old_folder_whole_and_is_said(tmp_path: Path) -> None:
    out = tmp_path / "out"
    build(out, a="1")
    script = (
        "import os, sys\nfrom brattice.adapters.project import output_folder\n"
        "with output_folder(sys.argv[1], version='1') as folder:\n"
        "    folder.write('a.txt', b'half')\n    os._exit(9)\n"
    )
    assert subprocess.run([sys.executable, "-c", script, str(out)], check=False).returncode == 9
    assert content(out) == {"a.txt": "1"}
    (note,) = build(out, a="2")
    assert note.startswith("out.building-")
    assert note.endswith("was left by a run that did not end; it can be deleted")
    assert content(out) == {"a.txt": "2"}


def test_a_swap_that_fails_puts_the_old_folder_back(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    out = tmp_path / "out"
    build(out, a="1")
    real = Path.rename

    def stubborn(self: Path, target: Path) -> Path:
        if ".building-" in self.name:
            raise OSError("no")
        return real(self, target)

    monkeypatch.setattr(Path, "rename", stubborn)
    with pytest.raises(OSError, match="no"):
        build(out, a="2")
    monkeypatch.undo()
    assert content(out) == {"a.txt": "1"}
    assert beside(out) == ["out"]


@pytest.mark.parametrize("swapped", [False, True])
def test_a_run_cut_off_in_the_swap_is_taken_up_by_the_next(tmp_path: Path, swapped: bool) -> None:
    out = tmp_path / "out"
    build(out, a="1")
    (out / "mine.txt").write_text("my own")
    out.rename(tmp_path / "out.previous-x")
    if swapped:
        build(tmp_path / "other", a="2")
        (tmp_path / "other").rename(out)
    assert build(out, a="3") == ["a run before this one was cut off; out was put right"]
    assert content(out) == {"a.txt": "3", "mine.txt": "my own"}
    assert beside(out) == ["out"]


def test_a_link_or_a_file_in_its_place_is_refused(tmp_path: Path) -> None:
    (tmp_path / "real").mkdir()
    (tmp_path / "link").symlink_to(tmp_path / "real")
    (tmp_path / "file").write_text("x")
    for name in ("link", "file", "file/out"):
        with pytest.raises(InputError):
            build(tmp_path / name, a="1")
    assert list((tmp_path / "real").iterdir()) == []


def test_equal_outputs_give_equal_manifests_in_two_folders(tmp_path: Path) -> None:
    build(tmp_path / "x" / "out", b="2", a="1")
    build(tmp_path / "y" / "out", a="1", b="2")
    assert (tmp_path / "x/out" / MANIFEST).read_bytes() == (tmp_path / "y/out" / MANIFEST).read_bytes()


@pytest.mark.parametrize("name", ["../x", "/x", "", MANIFEST, "a/../../x"])
def test_outputs_have_plain_names(tmp_path: Path, name: str) -> None:
    with pytest.raises(OwnFault), output_folder(tmp_path / "out", version="1") as folder:
        folder.write(name, b"")
    assert os.listdir(tmp_path) == []


def test_a_kept_name_gives_way_to_folders_too(tmp_path: Path) -> None:
    out = tmp_path / "out"
    out.mkdir()
    (out / "a.txt").mkdir()
    (out / "a.txt" / "mine").write_text("my own")
    build(out, a="1")
    assert sorted(content(out).values()) == ["1", "my own"]
