# SPDX-License-Identifier: Apache-2.0
"""`brattice template`: write an empty sheet to fill in."""

from __future__ import annotations

import sys
from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

from brattice.cli.clock import stamp_of, the_date
from brattice.cli.exits import ExitCode, plain
from brattice.errors import Fault, InputError

__all__ = ["TemplateKind", "template", "template_bytes"]


class TemplateKind(StrEnum):
    """The sheets that a template can be written of."""

    SCHEDULE = "schedule"
    WALL_TYPES = "wall-types"
    EVIDENCE = "evidence"
    PRODUCTS = "products"


def template_bytes(kind: TemplateKind, as_of: str | None) -> bytes:
    """The bytes of an empty sheet, with the one time that `--as-of` or SOURCE_DATE_EPOCH gives."""
    from brattice.adapters.evidence import evidence_template_bytes, products_template_bytes
    from brattice.adapters.sheets import schedule_bytes, wall_types_bytes

    stamp = stamp_of(None if as_of is None else the_date(as_of))
    if kind is TemplateKind.EVIDENCE:
        return evidence_template_bytes(stamp=stamp)
    if kind is TemplateKind.PRODUCTS:
        return products_template_bytes(stamp=stamp)
    return schedule_bytes(stamp=stamp) if kind is TemplateKind.SCHEDULE else wall_types_bytes(stamp=stamp)


def template(
    kind: Annotated[TemplateKind, typer.Argument(help="Which sheet.")],
    path: Annotated[Path, typer.Argument(help="The file to write (.xlsx); it must not be there yet.")],
    as_of: Annotated[str | None, typer.Option("--as-of", help="A date that freezes the time in the file.")] = None,
) -> ExitCode:
    """Write an empty schedule, wall-type sheet, sheet of tested installations or sheet of products."""
    from brattice.adapters.workbook import write_file

    if path.suffix.lower() != ".xlsx":
        raise InputError(Fault(str(path), "", f"the ending {path.suffix!r}", "a name that ends in .xlsx"))
    if path.exists() or path.is_symlink():
        raise InputError(Fault(str(path), "", "something that is already there", "a new name"))
    data = template_bytes(kind, as_of)
    try:
        write_file(path, data)
    except OSError as error:
        raise InputError(
            Fault(str(path), "", f"a place that can't be written ({error.strerror})", "another")
        ) from error
    print(plain(f"{path} written"), file=sys.stderr)
    return ExitCode.DONE
