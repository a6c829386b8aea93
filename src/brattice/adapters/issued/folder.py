# SPDX-License-Identifier: Apache-2.0
"""The folders of what was issued: `JOB/issued/01`, `02` …, each whole or not there, none ever changed again.

A folder's `manifest.json` lists every file in it with its SHA-256 and names the SHA-256 of the manifest before; its
`content.json` holds what every document said, so that the next issue revises only what changed.
"""

from __future__ import annotations

import json
import os
import re
import shutil
import tempfile
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path, PurePosixPath
from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field, ValidationError

from brattice.adapters.files import sha256_of
from brattice.adapters.text import one_line
from brattice.drawing.lettering import LETTERS
from brattice.errors import Fault, InputError, OwnFault
from brattice.usecases.issuing import Content, DocumentKind, Issue, IssuedDocument, next_number

__all__ = ["CONTENT", "ISSUED", "MANIFEST", "IssueFolder", "IssueRead", "issue_folder", "read_issues"]

ISSUED = "issued"
"""Where the issues go, inside the job folder."""

MANIFEST, CONTENT = "manifest.json", "content.json"
_MOST_MANIFEST, _MOST_CONTENT = 64 * 1024**2, 512 * 1024**2
_UNFINISHED = re.compile(r"[0-9]{2,6}\.building-[a-z0-9_]{8}")
_HEX = Annotated[str, Field(pattern=r"^[0-9a-f]{64}$")]
_NUMBER = Annotated[str, Field(pattern=r"^[0-9]{2,6}$")]
_REVISION = Annotated[str, Field(pattern=rf"^[{LETTERS}]{{1,4}}$")]


class _Strict(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)


class _File(_Strict):
    path: str
    sha256: _HEX
    bytes: Annotated[int, Field(ge=0)]


class _Previous(_Strict):
    number: _NUMBER
    manifest_sha256: _HEX


class _Input(_Strict):
    path: str
    role: str
    sha256: _HEX


class _Document(_Strict):
    number: str
    kind: DocumentKind
    title: str
    status: str
    revision: _REVISION
    issue: _NUMBER
    on: date
    withdrawn: bool
    content_sha256: _HEX


class _Manifest(_Strict):
    schema_: Annotated[Literal[1], Field(alias="schema")]
    made_by: str
    job: str
    number: _NUMBER
    on: date
    previous: _Previous | None
    inputs: list[_Input]
    documents: list[_Document]
    files: list[_File]


class _Texts(_Strict):
    number: str
    texts: list[tuple[str, str]]


class _Content(_Strict):
    schema_: Annotated[Literal[1], Field(alias="schema")]
    documents: list[_Texts]


@dataclass(frozen=True)
class IssueRead:
    """An issue as its folder holds it: what stood after it, its files with their SHA-256, the hash of its manifest."""

    issue: Issue
    files: tuple[tuple[str, str], ...]
    manifest_sha256: str


@dataclass
class IssueFolder:
    """A folder of an issue while it is built; it is in its place once the block ended without an error."""

    path: Path
    names: list[str] = field(default_factory=list)

    def write(self, name: str, data: bytes) -> None:
        """Write one file by its relative name (with / between its parts); each name once."""
        parts = PurePosixPath(name).parts
        if not parts or name.startswith("/") or ".." in parts or "\\" in name or name in {MANIFEST, CONTENT}:
            raise OwnFault(f"not a name for an issued file: {name!r}")
        target = self.path / name
        if target.exists():
            raise OwnFault(f"the issued file {name!r} is written twice")
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_bytes(data)
        self.names.append(name)


def _json(value: Mapping[str, Any]) -> bytes:
    return (json.dumps(value, ensure_ascii=True, indent=1) + "\n").encode("ascii")


def _load(path: Path, where: str, most: int) -> Any:
    try:
        if path.is_symlink() or path.stat().st_size > most:
            raise InputError(Fault(where, "", "a link, or a file that is too large", "the file as it was issued"))
        return json.loads(path.read_text("utf-8"))
    except OSError as error:
        why = error.strerror or "an unreadable file"
        raise InputError(Fault(where, "", why, "the file as it was issued; put it back from a copy")) from error
    except (ValueError, RecursionError) as error:
        raise InputError(Fault(where, "", "a file that is no JSON", "the file as it was issued")) from error


def _model(kind: type[_Manifest] | type[_Content], value: Any, where: str) -> Any:
    try:
        return kind.model_validate(value)
    except ValidationError as error:
        raise InputError(
            Fault(
                where,
                ".".join(map(str, item["loc"])),
                one_line(repr(item.get("input")), 60),
                "the file as it was issued; put it back from a copy",
            )
            for item in error.errors()[:20]
        ) from error


def _files_in(folder: Path) -> list[str]:
    names = []
    for root, folders, files in os.walk(folder):
        links = [name for name in folders if Path(root, name).is_symlink()]
        names += [Path(root, name).relative_to(folder).as_posix() for name in (*files, *links)]
    return sorted(names)


def _checked_files(folder: Path, where: str, manifest: _Manifest) -> list[Fault]:
    """A fault for each file that is not what the manifest says, and for each that it does not know."""
    listed = {item.path: item.sha256 for item in manifest.files}
    faults = []
    there = set(_files_in(folder)) - {MANIFEST}
    for name in sorted(there | set(listed)):
        path = folder / name
        if name not in there:
            found = "a file that is gone"
        elif name not in listed:
            found = "a file that was not issued"
        elif path.is_symlink() or not path.is_file() or sha256_of(path) != listed[name]:
            found = "a file that was changed after it was issued"
        else:
            continue
        faults.append(Fault(f"{where}/{name}", "", found, "what was issued stays as it was; put it back, or move it"))
    return faults


def _read(folder: Path, where: str, previous: IssueRead | None) -> IssueRead:
    manifest: _Manifest = _model(_Manifest, _load(folder / MANIFEST, f"{where}/{MANIFEST}", _MOST_MANIFEST), where)
    faults = _checked_files(folder, where, manifest)
    before = None if previous is None else (previous.issue.number, previous.manifest_sha256)
    stated = None if manifest.previous is None else (manifest.previous.number, manifest.previous.manifest_sha256)
    if before != stated:
        told = "no issue before it" if stated is None else f"issue {stated[0]} with another manifest"
        faults.append(Fault(f"{where}/{MANIFEST}", "previous", told, "the issue before it as it was issued"))
    if manifest.number != folder.name:
        faults.append(Fault(f"{where}/{MANIFEST}", "number", manifest.number, folder.name))
    if faults:
        raise InputError(faults)
    texts: _Content = _model(_Content, _load(folder / CONTENT, f"{where}/{CONTENT}", _MOST_CONTENT), where)
    said = {item.number: tuple(item.texts) for item in texts.documents}
    documents = []
    for item in manifest.documents:
        content = Content(item.number, item.kind, item.title, item.status, said.get(item.number, ()))
        if content.sha256 != item.content_sha256:
            raise InputError(
                Fault(f"{where}/{CONTENT}", item.number, "other texts than were issued", "the file as it was issued")
            )
        documents.append(IssuedDocument(content, item.revision, item.issue, item.on, item.withdrawn))
    files = tuple(sorted((item.path, item.sha256) for item in manifest.files))
    return IssueRead(Issue(manifest.number, manifest.on, tuple(documents)), files, sha256_of(folder / MANIFEST))


def read_issues(job: str | Path) -> tuple[IssueRead, ...]:
    """All issues of a job folder in their order, each held against its manifest and the one before; () for none.

    Raises
    ------
    InputError : a file was changed, is gone or was added since it was issued; numbers have a gap; the chain is broken
    """
    folder = Path(job) / ISSUED
    if not folder.exists():
        return ()
    if folder.is_symlink() or not folder.is_dir():
        raise InputError(Fault(ISSUED, "", "a link or a file", "the folder of what was issued"))
    names = sorted(
        (item.name for item in folder.iterdir() if item.name.isascii() and item.name.isdigit()),
        key=lambda name: (len(name), name),
    )
    read: list[IssueRead] = []
    for name in names:
        expected = next_number(read[-1].issue.number if read else None)
        if name != expected:
            raise InputError(Fault(f"{ISSUED}/{name}", "", "a gap in the numbers", f"{ISSUED}/{expected} before it"))
        if (folder / name).is_symlink():
            raise InputError(Fault(f"{ISSUED}/{name}", "", "a link", "the folder as it was issued"))
        read.append(_read(folder / name, f"{ISSUED}/{name}", read[-1] if read else None))
    return tuple(read)


def _manifest(
    issue: Issue, folder: Path, job_name: str, made_by: str, previous: IssueRead | None, inputs: Iterable[Any]
) -> bytes:
    files = [
        {"path": name, "sha256": sha256_of(folder / name), "bytes": (folder / name).stat().st_size}
        for name in _files_in(folder)
    ]
    return _json(
        {
            "schema": 1,
            "made_by": made_by,
            "job": job_name,
            "number": issue.number,
            "on": issue.on.isoformat(),
            "previous": None
            if previous is None
            else {"number": previous.issue.number, "manifest_sha256": previous.manifest_sha256},
            "inputs": [{"path": item.path, "role": item.role, "sha256": item.sha256} for item in inputs],
            "documents": [
                {
                    "number": item.content.number,
                    "kind": str(item.content.kind),
                    "title": item.content.title,
                    "status": item.content.status,
                    "revision": item.revision,
                    "issue": item.issue,
                    "on": item.on.isoformat(),
                    "withdrawn": item.withdrawn,
                    "content_sha256": item.content.sha256,
                }
                for item in issue.documents
            ],
            "files": files,
        }
    )


def _clear_unfinished(place: Path) -> None:
    """Take away what runs left that were stopped hard: half an issue beside whole ones is taken for one."""
    for item in place.iterdir():
        if _UNFINISHED.fullmatch(item.name) and item.is_dir() and not item.is_symlink():
            shutil.rmtree(item, ignore_errors=True)


@contextmanager
def issue_folder(
    job: str | Path,
    issue: Issue,
    *,
    job_name: str,
    made_by: str,
    previous: IssueRead | None,
    inputs: Iterable[Any] = (),
) -> Iterator[IssueFolder]:
    """Build the folder of an issue; it takes its place, with its manifest, when the block ends without an error.

    Whoever calls holds the job (`only_run_in`): what an earlier run left unfinished is taken away. `inputs` have path,
    role and sha256. Raises `InputError` when the place can't be written or is taken.
    """
    place = Path(job) / ISSUED
    where = f"{ISSUED}/{issue.number}"
    if place.is_symlink() or (place.exists() and not place.is_dir()):
        raise InputError(Fault(ISSUED, "", "a link or a file", "the folder of what was issued"))
    try:
        place.mkdir(exist_ok=True)
        _clear_unfinished(place)
        building = IssueFolder(Path(tempfile.mkdtemp(prefix=f"{issue.number}.building-", dir=place)))
        building.path.chmod(0o755)
    except OSError as error:
        why = f"a place that can't be written ({error.strerror})"
        raise InputError(Fault(where, "", why, "a folder that can be written")) from error
    try:
        yield building
        texts = [
            {"number": item.content.number, "texts": [list(pair) for pair in item.content.texts]}
            for item in issue.documents
        ]
        (building.path / CONTENT).write_bytes(_json({"schema": 1, "documents": texts}))
        (building.path / MANIFEST).write_bytes(
            _manifest(issue, building.path, job_name, made_by, previous, tuple(inputs))
        )
        if (place / issue.number).exists():
            raise InputError(Fault(where, "", "an issue of that number", "none; start again"))
        building.path.rename(place / issue.number)
    except BaseException:
        shutil.rmtree(building.path, ignore_errors=True)  # ours alone: made a moment ago, under a name of its own
        raise
    building.path = place / issue.number
