# SPDX-License-Identifier: Apache-2.0
"""`brattice what-if`: which answers of a job would change, before anything is changed."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator, Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from brattice.cli.clock import the_date
from brattice.cli.data_out import print_data, refuse_input, write_data
from brattice.cli.exits import ExitCode, plain
from brattice.errors import InputError, UsageError

if TYPE_CHECKING:
    from brattice.usecases.what_if import AnswerChanged, WhatIf

__all__ = ["summary_lines", "what_if", "what_if_of"]

_SHOWN = 3
_IDS_SHOWN = 10


def what_if_of(
    job: Path, changes: Sequence[str], say: Callable[[str], None], workers: int = 2, as_of: date | None = None
) -> WhatIf:
    """What would change in a job folder, from changes as somebody writes them. Nothing is printed or written.

    Raises `UsageError` with every fault of every change, `InputError` where the job can't be read.
    """
    from brattice import __version__
    from brattice.adapters.queries import read_changes
    from brattice.cli.gather import standards_for
    from brattice.cli.run import judge_folder
    from brattice.usecases.what_if import what_if as judged_again

    try:
        wanted = read_changes(changes)
    except InputError as error:
        raise UsageError(_faults_text(error)) from error
    judged = judge_folder(job, say, workers=workers, as_of=as_of)
    try:
        return judged_again(
            judged.material,
            standards_for(judged.material.job),
            wanted,
            as_of=judged.on,
            version=__version__,
            before=judged.report,
        )
    except InputError as error:
        raise UsageError(_faults_text(error)) from error


def _faults_text(error: InputError) -> str:
    head = "this change means nothing:" if len(error.faults) == 1 else f"{len(error.faults)} faults in the changes:"
    lines = [f"  --set {fault.place!r}: found {fault.found}; expected {fault.expected}" for fault in error.faults]
    return "\n".join([head, *lines])


def _ids(ids: Sequence[str]) -> str:
    more = f" and {len(ids) - _IDS_SHOWN} more" if len(ids) > _IDS_SHOWN else ""
    return ", ".join(ids[:_IDS_SHOWN]) + more


def _some(texts: Sequence[str]) -> Iterator[str]:
    yield from texts[:_SHOWN]
    if len(texts) > _SHOWN:
        yield f"and {len(texts) - _SHOWN} more"


def _answer_lines(item: AnswerChanged) -> Iterator[str]:
    """What is told of one answer, without the penetration's own name."""
    if item.state_before is item.state_after:
        yield f"{item.state_after}, as before"
    else:
        yield f"{item.state_before} -> {item.state_after}"
        yield f"      {item.why_after}"
    for text in item.contradicts:
        yield f"      another source says otherwise, so the change alone gives no answer: {text}"
    for aspect in item.aspects:
        yield f"      {aspect.about}: {aspect.before or 'nothing'} -> {aspect.after or 'nothing'}"
    gone = [f"no more {finding.code}: {finding.text}" for finding in item.gone if finding.open]
    new = [f"new {finding.code}: {finding.text}" for finding in item.new if finding.open]
    asked = [f"to ask the {missing.ask}: {missing.text}" for missing in item.asked]
    settled = [f"no more to ask: {missing.text}" for missing in item.settled]
    for texts in (new, gone, asked, settled):
        yield from (f"      {text}" for text in _some(texts))


def _together(answers: Sequence[AnswerChanged]) -> Iterator[str]:
    """The answers, those of which the same is told as one."""
    groups: dict[tuple[str, ...], list[str]] = {}
    for item in answers:
        name = f"{item.id} ({item.reference})" if item.reference else item.id
        groups.setdefault(tuple(_answer_lines(item)), []).append(name)
    for (first, *lines), names in groups.items():
        yield f"  {_ids(names)}: {first}"
        yield from lines


def summary_lines(result: WhatIf) -> Iterator[str]:
    """The whole result as lines for people."""
    yield f"{result.before.job_name}, judged for {result.before.as_of.isoformat()}; nothing is written"
    cells: dict[tuple[str, str, str], list[str]] = {}
    for cell in result.changed:
        cells.setdefault((cell.field, cell.now, cell.was), []).append(cell.subject)
    for (field, now, was), subjects in cells.items():
        yield f"  what if {field} were {now} (now {was}) at {_ids(subjects)}"
    if not result.changed:
        yield "  the sheets say all of that already"
    yield "  before  after"
    for state, before, after in result.counts():
        if before or after:
            yield f"  {before:6} {after:6}  {state}"
    yield from _together(result.answers)
    for finding in result.job_gone:
        yield f"  the job as a whole: no more {finding.code}: {finding.text}"
    for finding in result.job_new:
        yield f"  the job as a whole: new {finding.code}: {finding.text}"
    if result.idle:
        yield f"  the change reaches these too, and their answers stay: {_ids(result.idle)}"
    if result.nothing_changes:
        yield f"  no answer changes; {result.unchanged} stay as they are"
    else:
        yield f"  nothing else changes; {result.unchanged} answers stay as they are"
    yield "  An aid to competent people: the maker's tested instructions and the fire strategy come before it."


def what_if(
    job: Annotated[Path, typer.Argument(help="The job folder.")],
    changes: Annotated[
        list[str],
        typer.Option(
            "--set",
            metavar="'PLACE NAME=VALUE'",
            help="A change, such as 'P-0007 duct-size=600x400'; may be given many times.",
        ),
    ],
    csv: Annotated[
        str,
        typer.Option(
            "--csv",
            help="Write every difference to FILE; - writes it to stdout, which then carries data alone.",
            metavar="FILE|-",
        ),
    ] = "",
    as_of: Annotated[
        str | None, typer.Option("--as-of", help="The date that is judged for (else that of the job, else today).")
    ] = None,
    workers: Annotated[int, typer.Option("--workers", help="How many models are read at once.", min=1, max=64)] = 2,
) -> ExitCode:
    """Judge a job again with changes in it and tell which answers change. Nothing in the job is written.

    PLACE is a permanent id, a reference or an alias (several separated by ;), 'in-wall-type CODE', 'with-product
    NAME', 'everywhere', or 'wall-type CODE' for a row of the wall-type sheet. Ends with 0 when nothing would be open
    then, 1 when something would, 3 when an input can't be read, 64 when a change means nothing.
    """
    from brattice.adapters.report.what_if_csv import what_if_csv

    def say(text: str) -> None:
        print(plain(text), file=sys.stderr, flush=True)

    result = what_if_of(job, changes, say, workers, None if as_of is None else the_date(as_of))
    if csv not in {"", "-"}:
        refuse_input(csv, [job / item.path for item in result.before.inputs], "job's own files")
    if csv == "-":
        print_data(what_if_csv(result))
    else:
        if csv:
            write_data(Path(csv), what_if_csv(result))
        for line in summary_lines(result):
            print(plain(line))
    return ExitCode.OPEN if result.something_open else ExitCode.DONE
