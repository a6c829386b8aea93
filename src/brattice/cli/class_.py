# SPDX-License-Identifier: Apache-2.0
"""`brattice class`: whether a declared class satisfies a required one, by the class texts alone."""

from __future__ import annotations

import sys
from enum import StrEnum
from typing import TYPE_CHECKING, Annotated

import typer

from brattice.cli.exits import ExitCode, plain
from brattice.errors import UsageError

if TYPE_CHECKING:
    from brattice.classes import Declaration
    from brattice.rows import RowBook

__all__ = ["CLASS_TEXT_ALONE", "compare"]

CLASS_TEXT_ALONE = "This is the class text alone: it tells nothing about wall, size, seal, position or actuation."
"""The second line of every answer."""


class About(StrEnum):
    """What a class text is about."""

    DAMPER = "damper"
    SMOKE_DAMPER = "smoke-damper"
    DUCT = "duct"
    BARRIER = "barrier"


def compare(
    declared: Annotated[str, typer.Argument(help="The declared class or classes, as in 'EI 60 S / E 120'.")],
    required: Annotated[str | None, typer.Option("--for", help="The class that is required.")] = None,
    about: Annotated[
        About | None,
        typer.Option("--as", help="What a text is about that does not tell by its own words [default: damper]."),
    ] = None,
    canonical: Annotated[bool, typer.Option("--canonical", help="Print the one text of the declared class.")] = False,
) -> ExitCode:
    """Say whether a declared fire class satisfies a required one, and why not.

    Ends with 0 (satisfied), 1 (not satisfied), 2 (needs evidence) or 3 (a text can't be read).
    """
    from brattice.adapters.rows import shipped_book
    from brattice.classes import ClassSteps, Family, Outcome, family_of, read_class, satisfies

    if canonical == (required is not None):
        raise UsageError("say either --for REQUIRED or --canonical")
    book = shipped_book()
    steps = ClassSteps.from_book(book)
    families = {
        About.DAMPER: Family.FIRE_DAMPER,
        About.SMOKE_DAMPER: Family.SMOKE_CONTROL_DAMPER,
        About.DUCT: Family.DUCT,
        About.BARRIER: Family.BARRIER,
    }

    def read(text: str) -> Declaration:
        return read_class(text, family_of(text) or families[about or About.DAMPER], steps)

    held = read(declared)
    if required is None:
        print(held)
        for note in held.notes:
            print(f"note: {note.text}", file=sys.stderr)
        return ExitCode.DONE
    asked = read(required)
    answer = satisfies(held, asked)
    print(answer.outcome.value)
    print(CLASS_TEXT_ALONE)
    print(f"declared: {held.family.value}, {held}")
    print(f"required: {asked.family.value}, {asked}")
    for shortfall in answer.shortfalls:
        print(f"- {plain(str(shortfall))}")
    for note in answer.notes:
        print(f"note: {note.text}")
    for line in _cautions(asked, answer.rows, book):
        print(f"note: {line}")
    return {
        Outcome.SATISFIED: ExitCode.DONE,
        Outcome.NOT_SATISFIED: ExitCode.OPEN,
        Outcome.NEEDS_EVIDENCE: ExitCode.NEEDS_EVIDENCE,
    }[answer.outcome]


def _cautions(asked: Declaration, rows: tuple[str, ...], book: RowBook) -> list[str]:
    """What a reader should know about an answer: what was never asked, and which rows nobody has confirmed."""
    from brattice.classes import Family

    lines = []
    if asked.family is not Family.BARRIER:
        unasked = [
            name
            for name, stated in (
                ("orientation", all(item.mountings for item in asked.classes)),
                ("fire side", all(item.sides for item in asked.classes)),
            )
            if not stated
        ]
        if unasked:
            lines.append(f"the requirement leaves {' and '.join(unasked)} unasked, so nothing was compared there")
    open_rows = [row for row in rows if not book.is_confirmed(book.need(row))]
    if open_rows:
        lines.append(f"rests on rows not confirmed against the standard: {', '.join(open_rows)}")
    return lines
