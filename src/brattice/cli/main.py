# SPDX-License-Identifier: Apache-2.0
"""The program `brattice`: its commands, one line each.

A command is a function in its own module here. It imports what is heavy inside its body, so that `brattice class`
starts fast; it returns an `ExitCode` (nothing means 0) and raises what `exits` turns into a message and a code.
"""

from __future__ import annotations

import io
import sys
from collections.abc import Sequence
from typing import Annotated

import typer

from brattice import __version__
from brattice.cli.answers import answers
from brattice.cli.check import check
from brattice.cli.class_ import compare
from brattice.cli.exits import ExitCode, end_tidily, guarded, plain
from brattice.cli.issue import issue
from brattice.cli.mapping import mapping
from brattice.cli.mark import mark
from brattice.cli.new import new
from brattice.cli.penetrations import penetrations
from brattice.cli.print_ import print_job
from brattice.cli.queries import queries
from brattice.cli.reconcile import reconcile
from brattice.cli.serve import serve
from brattice.cli.template import template
from brattice.cli.tracker import tracker
from brattice.cli.what_if import what_if

__all__ = ["app", "main", "run"]

app = typer.Typer(
    name="brattice",
    no_args_is_help=False,
    add_completion=False,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100},
)


def _print_version(asked: bool) -> None:
    if asked:
        print(f"brattice {__version__}")
        raise typer.Exit(ExitCode.DONE)


@app.callback()
def _brattice(
    version: Annotated[bool, typer.Option("--version", help="Say the version.", callback=_print_version)] = False,
) -> None:
    """Every fire and smoke damper of a building, held against what was tested."""


app.command("class")(compare)
app.command()(new)
app.command()(template)
app.command()(mapping)
app.command(name="penetrations")(penetrations)
app.command()(check)
app.command("print")(print_job)
app.command()(issue)
app.command()(queries)
app.command()(answers)
app.command()(reconcile)
app.command()(serve)
app.command()(mark)
app.command()(tracker)
app.command("what-if")(what_if)


def main(arguments: Sequence[str]) -> int:
    """Run one command with its arguments; gives the exit code."""
    return guarded(lambda: _called(list(arguments)))


def run() -> None:
    """The entry point of the installed program."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="backslashreplace")
    end_tidily()
    sys.exit(main(sys.argv[1:]))


def _called(arguments: list[str]) -> object:
    """The command's own answer; what the command line does not take ends with 64."""
    try:
        return app(args=arguments, prog_name="brattice", standalone_mode=False)
    except typer.TyperException as error:
        error.message = plain(error.message)
        show = getattr(error, "show", None)
        if show is not None:
            show()
        else:
            print(f"Error: {error.format_message()}", file=sys.stderr)
        return ExitCode.WRONG_USAGE
    except typer.Abort as stop:
        raise KeyboardInterrupt from stop
    except SystemExit as stop:
        if isinstance(stop.__context__, BrokenPipeError):
            raise stop.__context__ from None
        raise
