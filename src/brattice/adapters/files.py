# SPDX-License-Identifier: Apache-2.0
"""Files written whole or not at all, and one run at a time in a job folder."""

from __future__ import annotations

import hashlib
import os
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

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
    try:
        import fcntl
    except ImportError:
        yield
        return
    try:
        handle = os.open(folder, os.O_RDONLY)
    except OSError:
        yield
        return
    try:
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            raise InputError(
                Fault(str(folder), "", "a job that another run works on at this moment", "to wait until it has ended")
            ) from None
        except OSError:
            pass  # a file system without locks
        yield
    finally:
        os.close(handle)
