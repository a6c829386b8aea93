# SPDX-License-Identifier: Apache-2.0
"""The output folder: built beside, swapped in at the end, and nobody else's file is ever lost.

A new output folder is built beside the old one. Only when everything is written, the old folder is put aside, the
new one takes its place, and what is in the old one is dealt with: files that its own manifest lists, unchanged since,
are removed; all others (put there by somebody, or edited) move into the new folder, under a name of their own where
theirs is taken. If the program ends halfway the old folder is whole, and the next run puts things right.
"""

from __future__ import annotations

import json
import os
import shutil
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path, PurePosixPath
from typing import Any

from brattice.adapters.files import sha256_of
from brattice.errors import Fault, InputError, OwnFault

__all__ = ["MANIFEST", "OutputFolder", "output_folder", "read_manifest"]

MANIFEST = "manifest.json"
_SCHEMA = 1


def _plain_name(name: str) -> bool:
    """Whether a name is relative, plain and stays inside the folder."""
    parts = PurePosixPath(name).parts
    return bool(parts) and not name.startswith("/") and "\\" not in name and "\0" not in name and ".." not in parts


@dataclass
class OutputFolder:
    """The folder while it is built. After the swap `notes` say what was kept and `files` what was written."""

    path: Path
    files: dict[str, str] = field(default_factory=dict)
    notes: list[str] = field(default_factory=list)

    def write(self, name: str, data: bytes) -> Path:
        """Write one file by its relative name (with / between its parts); each name once."""
        if not _plain_name(name) or name == MANIFEST:
            raise OwnFault(f"not a name for an output: {name!r}")
        target = self.path / name
        if target.exists():
            raise OwnFault(f"the output {name!r} is written twice")
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_bytes(data)
        return target


def _entries(folder: Path) -> list[str]:
    """Every file (and link) in a folder, by relative name, sorted; links are not followed."""
    names: list[str] = []
    for root, folders, files in os.walk(folder):
        links = [name for name in folders if Path(root, name).is_symlink()]
        names += [Path(root, name).relative_to(folder).as_posix() for name in (*files, *links)]
    return sorted(names)


def read_manifest(folder: Path) -> dict[str, str]:
    """The files that a folder's own manifest lists, with their SHA-256; empty when it has none that is ours."""
    try:
        data: Any = json.loads((folder / MANIFEST).read_text("utf-8"))
        files = {str(item["path"]): str(item["sha256"]) for item in data["files"]}
        ours = data["schema"] == _SCHEMA and data["made_by"].startswith("Brattice ")
    except (OSError, ValueError, KeyError, TypeError, AttributeError, RecursionError):
        return {}
    return files if ours and all(_plain_name(name) for name in files) else {}


def _write_manifest(folder: Path, version: str) -> dict[str, str]:
    files = {name: sha256_of(folder / name) for name in _entries(folder)}
    listed = [{"path": name, "sha256": digest} for name, digest in files.items()]
    body = {"schema": _SCHEMA, "made_by": f"Brattice {version}", "files": listed}
    text = json.dumps(body, indent=1, ensure_ascii=True) + "\n"
    (folder / MANIFEST).write_bytes(text.encode("utf-8"))  # the same bytes on every platform
    return files


def _is_own(folder: Path, name: str, listed: dict[str, str]) -> bool:
    """Whether a file is what the manifest says it is: listed, no link, and unchanged."""
    path = folder / name
    if path.is_symlink() or not path.is_file():
        return False
    if name == MANIFEST:
        return bool(listed)
    return name in listed and sha256_of(path) == listed[name]


def _free_name(folder: Path, name: str) -> str:
    """The name, or the first of "name (kept)", "name (kept 2)" … that nothing has in the folder."""
    path = PurePosixPath(name)
    count, answer = 1, name
    while os.path.lexists(folder / answer) or any((folder / part).is_file() for part in _parents(answer)):
        mark = " (kept)" if count == 1 else f" (kept {count})"
        answer = (path.parent / f"{path.stem}{mark}{path.suffix}").as_posix()
        if any((folder / part).is_file() for part in _parents(answer)):
            answer = f"{path.as_posix().replace('/', '_')}{mark}"
        count += 1
    return answer


def _parents(name: str) -> list[str]:
    return [part.as_posix() for part in PurePosixPath(name).parents if part.as_posix() != "."]


def _settle(previous: Path, out: Path, notes: list[str]) -> None:
    """Deal with a folder that was put aside: remove what is its own, move everything else into `out`."""
    listed = read_manifest(previous)
    names = _entries(previous)
    kept = [name for name in names if not _is_own(previous, name, listed)]
    for name in kept:
        target = _free_name(out, name)
        (out / target).parent.mkdir(parents=True, exist_ok=True)
        (previous / name).rename(out / target)
        if target != name:
            why = "was changed by somebody" if name in listed or name == MANIFEST else "was not ours"
            notes.append(f"{out.name}/{name} {why}; it is kept as {out.name}/{target}")
    for name in names:
        if name not in kept and name != MANIFEST:
            (previous / name).unlink()
    if MANIFEST not in kept:  # the last to go: while it is there, a run that is cut off here can be taken up
        (previous / MANIFEST).unlink(missing_ok=True)
    for root, _, _ in os.walk(previous, topdown=False):
        Path(root).rmdir()


def _recover(out: Path, notes: list[str]) -> None:
    """Put right what a run that was cut off left beside the folder."""
    for previous in sorted(out.parent.glob(f"{out.name}.previous-*")):
        if not previous.is_dir() or previous.is_symlink():
            continue
        if os.path.lexists(out):
            _settle(previous, out, notes)
        else:
            previous.rename(out)
        notes.append(f"a run before this one was cut off; {out.name} was put right")
    notes += [
        f"{left.name} was left by a run that did not end; it can be deleted"
        for left in sorted(out.parent.glob(f"{out.name}.building-*"))
    ]


@contextmanager
def output_folder(out: str | Path, *, version: str) -> Iterator[OutputFolder]:
    """Build a new output folder; it takes the place of the old one when the block ends without an error.

    Everything written into `OutputFolder.path` in the block is an output and is listed in the manifest. Raises
    `InputError` when the place of the folder is a link or a file, or can't be written.
    """
    target = Path(out)
    if target.is_symlink() or (target.exists() and not target.is_dir()):
        raise InputError(Fault(str(out), "", "a link or a file", "a folder, or nothing"))
    building = OutputFolder(Path())
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        _recover(target, building.notes)
        building.path = Path(tempfile.mkdtemp(prefix=f"{target.name}.building-", dir=target.parent))
        building.path.chmod(0o755)
    except OSError as error:
        raise InputError(Fault(str(out), "", f"a place that can't be written ({error.strerror})", "another")) from error
    try:
        yield building
        building.files = _write_manifest(building.path, version)
        previous = _swap(building.path, target)
    except BaseException:
        shutil.rmtree(building.path, ignore_errors=True)  # ours alone: made a moment ago, under a name of its own
        raise
    if previous is not None:
        _settle(previous, target, building.notes)
    building.path = target


def _swap(new: Path, target: Path) -> Path | None:
    """Put the new folder where the old one is; the answer is where the old one went. On failure all is as before."""
    if not target.exists():
        new.rename(target)
        return None
    previous = Path(tempfile.mkdtemp(prefix=f"{target.name}.previous-", dir=target.parent))
    previous.rmdir()  # its name alone was wanted
    target.rename(previous)
    try:
        new.rename(target)
    except OSError:
        previous.rename(target)
        raise
    return previous
