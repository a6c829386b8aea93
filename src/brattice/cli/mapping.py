# SPDX-License-Identifier: Apache-2.0
"""`brattice mapping`: propose how a schedule of somebody else is read."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Annotated

import typer

from brattice.cli.exits import ExitCode, plain
from brattice.errors import Fault, InputError

__all__ = ["mapping"]


def mapping(
    schedule: Annotated[Path, typer.Argument(metavar="SHEET", help="A schedule of others, XLSX or CSV.")],
    sheet: Annotated[str, typer.Option("--sheet", help="The sheet's name; else the one that holds most.")] = "",
    output: Annotated[
        Path | None, typer.Option("-o", "--output", help="The file to write; it must not be there yet.")
    ] = None,
) -> ExitCode:
    """Propose the mapping of a schedule of others, to stdout or a file; beside the schedule `check` reads it.

    Ends with 0 when every column that may matter is mapped, 1 when a person has to settle some.
    """
    from brattice.adapters.foreign import mapping_beside, propose
    from brattice.adapters.rows import shipped_book
    from brattice.adapters.workbook import read_table_file, write_file
    from brattice.classes import ClassSteps

    if output is not None and (output.exists() or output.is_symlink()):
        raise InputError(Fault(str(output), "", "something that is already there", "a new name"))
    proposal = propose(read_table_file(schedule), ClassSteps.from_book(shipped_book()), sheet)
    text = proposal.text()
    if output is None:
        print(text, end="")
    else:
        try:
            write_file(output, text.encode("utf-8"))
        except OSError as error:
            what = f"a place that can't be written ({error.strerror})"
            raise InputError(Fault(str(output), "", what, "another")) from error
        print(plain(f"{output} written"), file=sys.stderr)
    mapped = [column for column in proposal.columns if column.key]
    left = [column for column in proposal.columns if column.is_open]
    last = f" to {proposal.headings.last}" if proposal.headings.count > 1 else ""
    print(
        f"headings in row {proposal.headings.first}{last}; {len(mapped)} of {len(proposal.columns)} mapped",
        file=sys.stderr,
    )
    for column in left:
        print(plain(f"  to settle: {column.heading!r}: {column.why}"), file=sys.stderr)
    if all(column.key != "reference" for column in proposal.columns):
        print("  to settle: which column names each penetration (key reference)", file=sys.stderr)
    print(f"`brattice check` uses it as {plain(mapping_beside(schedule).name)} beside the schedule", file=sys.stderr)
    return ExitCode.OPEN if proposal.is_open else ExitCode.DONE
