# SPDX-License-Identifier: Apache-2.0
"""`brattice serve`: the pages of a job, or of all jobs of a folder, for a browser on this machine alone."""

from __future__ import annotations

import contextlib
import os
import socket
import sys
import threading
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from brattice.cli.clock import the_date
from brattice.cli.exits import ExitCode, plain
from brattice.errors import Fault, InputError

if TYPE_CHECKING:
    from brattice.cli.office import LocalOffice
    from brattice.web import Access

__all__ = ["JOBS_FOLDER", "PORT", "LoopbackHost", "serve"]

PORT = 8437
"""The port, where nobody names one; the next free one where it is taken."""

JOBS_FOLDER = Path("brattice-jobs")
"""Where jobs are made, where nobody names a folder."""

_TRIES = 20


class LoopbackHost(StrEnum):
    """The addresses that the pages may be asked at: this machine's own."""

    V4 = "127.0.0.1"
    V6 = "::1"


def _socket(host: LoopbackHost, port: int) -> socket.socket:
    family = socket.AF_INET6 if host is LoopbackHost.V6 else socket.AF_INET
    listener = socket.socket(family, socket.SOCK_STREAM)
    try:
        if hasattr(socket, "SO_EXCLUSIVEADDRUSE"):  # Windows lets two programs share a port otherwise
            listener.setsockopt(socket.SOL_SOCKET, socket.SO_EXCLUSIVEADDRUSE, 1)
        elif os.name == "posix":
            listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        listener.bind((str(host), port))
        listener.listen(128)
    except OSError:
        listener.close()
        raise
    return listener


def _listen(host: LoopbackHost, port: int | None) -> socket.socket:
    """A socket on the port that was named, else on the first free one from `PORT`. Raises `InputError`."""
    wanted = [port] if port is not None else [*range(PORT, PORT + _TRIES), 0]
    why = ""
    for number in wanted:
        try:
            return _socket(host, number)
        except OSError as error:
            why = error.strerror or str(error)
    raise InputError(Fault(f"port {wanted[0]}", "", f"a port that can't be used ({why})", "another, with --port"))


def _open_browser(link: str) -> None:
    """Open the user's browser beside us; a browser that would run in this terminal is not opened."""
    import webbrowser

    if sys.platform.startswith("linux") and not (os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY")):
        return
    threading.Thread(target=webbrowser.open, args=(link,), name="browser", daemon=True).start()


def _run(office: LocalOffice, access: Access, listener: socket.socket) -> None:
    """Serve until the user ends it."""
    import uvicorn

    from brattice.web import create_app

    def broke(error: Exception) -> None:
        print(f"brattice: our own fault: {type(error).__name__}: {plain(str(error))}", file=sys.stderr)

    config = uvicorn.Config(
        create_app(office, access, broke),
        log_level="critical",
        access_log=False,
        server_header=False,
        proxy_headers=False,
        lifespan="off",
        ws="none",
        timeout_graceful_shutdown=2,
    )
    try:
        with contextlib.suppress(KeyboardInterrupt):
            uvicorn.Server(config).run(sockets=[listener])
    finally:
        office.close()
        listener.close()


def serve(
    job: Annotated[Path | None, typer.Argument(help="The job folder; without one, the jobs of --folder.")] = None,
    folder: Annotated[
        Path, typer.Option("--folder", help="Where jobs are, and where new ones are made.")
    ] = JOBS_FOLDER,
    host: Annotated[LoopbackHost, typer.Option("--host", help="This machine's own address.")] = LoopbackHost.V4,
    port: Annotated[
        int | None, typer.Option("--port", help=f"The port (else {PORT} or the next free one).", min=1, max=65535)
    ] = None,
    no_browser: Annotated[bool, typer.Option("--no-browser", help="Print the link and open nothing.")] = False,
    as_of: Annotated[
        str | None, typer.Option("--as-of", help="The date that is judged for (else that of the job, else today).")
    ] = None,
    workers: Annotated[int, typer.Option("--workers", help="How many models are read at once.", min=1, max=64)] = 2,
) -> ExitCode:
    """Show a job in the browser of this machine: front page, register, plans, penetrations; Ctrl+C ends it.

    The job is checked first, as `brattice check` does. Nothing is reachable from any other machine.
    """
    from brattice.adapters.project import JOB_FILE
    from brattice.cli.office import LocalOffice
    from brattice.web.access import new_access

    on = None if as_of is None else the_date(as_of)
    if job is not None and not (job / JOB_FILE).is_file():
        raise InputError(Fault(str(job), "", f"no {JOB_FILE}", "a job folder, or none to begin with a schedule"))
    listener = _listen(host, port)
    number = listener.getsockname()[1]
    shown = f"[{host}]" if host is LoopbackHost.V6 else str(host)
    access = new_access(number, (shown, "localhost"))
    office = LocalOffice(job=job, folder=None if job is not None else folder, workers=workers, as_of=on)
    if job is not None:
        for card in office.jobs():
            desk = office.desk(card.key)
            if desk is not None:
                desk.check()
    link = f"http://{shown}:{number}/enter?token={access.token}"
    print(f"open this link in a browser on this machine (Ctrl+C ends the program):\n  {link}", flush=True)
    if not no_browser:
        _open_browser(link)
    _run(office, access, listener)
    return ExitCode.DONE
