# SPDX-License-Identifier: Apache-2.0
"""Files written whole or not at all, and one run at a time in a job folder."""

from __future__ import annotations

import hashlib
import os
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from brattice.errors import Fault, InputError

__all__ = ["only_run_in", "sha256_of", "write_file"]

_CHUNK = 1 << 20


def sha256_of(path: str | Path) -> str:
    """The SHA-256 of a file's bytes, read in parts."""
    digest = hashlib.sha256()
    with Path(path).open("rb") as stream:
        while chunk := stream.read(_CHUNK):
            digest.update(chunk)
    return digest.hexdigest()


def write_file(path: str | Path, data: bytes) -> None:
    """Write a file whole or not at all: beside it first, then moved into place.

    A link is followed, and what is no file (a device, a pipe) is written into and never replaced by a file.
    """
    target = Path(path)
    if target.is_symlink():
        target = target.resolve()
    if target.exists() and not target.is_file() and not target.is_dir():
        with target.open("wb", buffering=0) as stream:
            stream.write(data)
        return
    handle, name = tempfile.mkstemp(prefix=f".{target.name}.", dir=target.parent)
    try:
        with os.fdopen(handle, "wb") as stream:
            stream.write(data)
            stream.flush()
            os.fsync(stream.fileno())
        Path(name).chmod(0o644)
        Path(name).replace(target)
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise


@contextmanager
def only_run_in(folder: str | Path) -> Iterator[None]:
    """Hold a job folder for one run; another run in it is told to wait. Nothing is left behind, however a run ends.

    Raises `InputError` when another run holds the folder. Where the platform knows no such lock, nothing is held; a
    folder that is not there is left to whoever reads it.
    """
    handle = _lock(folder)
    try:
        yield
    finally:
        if handle is not None:
            os.close(handle)


def _lock(folder: str | Path) -> int | None:
    """A handle that holds the lock of a folder until it is closed; None where none can be held."""
    try:
        import fcntl
    except ImportError:
        return _lock_beside(folder)
    try:
        handle = os.open(folder, os.O_RDONLY)
    except OSError:
        return None
    try:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        os.close(handle)
        raise InputError(_held(folder)) from None
    except OSError:
        pass  # a file system without locks
    return handle


def _lock_beside(folder: str | Path) -> int | None:
    """The same on Windows, where a folder can't be locked: a file of its own in the folder for temporary files."""
    try:
        import msvcrt
    except ImportError:
        return None
    lock: Any = getattr(msvcrt, "locking", None)
    name = hashlib.sha256(str(Path(folder).resolve()).casefold().encode("utf-8", "backslashreplace")).hexdigest()[:16]
    try:
        handle = os.open(Path(tempfile.gettempdir()) / f"brattice-{name}.lock", os.O_RDWR | os.O_CREAT, 0o600)
    except OSError:
        return None
    try:
        lock(handle, getattr(msvcrt, "LK_NBLCK", 2), 1)
    except OSError:
        os.close(handle)
        raise InputError(_held(folder)) from None
    return handle


def _held(folder: str | Path) -> Fault:
    return Fault(str(folder), "", "a job that another run works on at this moment", "to wait until it has ended")
