# SPDX-License-Identifier: Apache-2.0
"""`brattice penetrations`: every place in the models where a service passes a barrier, or may."""

from __future__ import annotations

import sys
from collections import Counter
from pathlib import Path
from typing import Annotated

import typer

from brattice.cli.data_out import print_data, refuse_input, write_data
from brattice.cli.exits import ExitCode, plain

__all__ = ["penetrations"]


def penetrations(
    models: Annotated[
        list[str], typer.Argument(help="Model files (IFC, ifcZIP, .ifc.gz) of one building.", metavar="MODEL…")
    ],
    csv: Annotated[
        str,
        typer.Option(
            "--csv",
            help="Write the table to FILE; - writes it to stdout, which then carries data alone.",
            metavar="FILE|-",
        ),
    ] = "",
    workers: Annotated[int, typer.Option("--workers", help="How many files are read at once.", min=1, max=64)] = 2,
    seconds: Annotated[float, typer.Option("--seconds", help="How long one file may take.", min=1.0)] = 300.0,
    memory: Annotated[float, typer.Option("--memory", help="How much memory one file may take [GiB].", min=0.5)] = 4.0,
) -> int:
    """Find where ducts (and other services) pass walls, floors and roofs.

    One row a place. What is not certain is listed as a query with its reason, never dropped. Ends with 0 when
    nothing is open, 1 when there are queries, 3 when a file can't be read.
    """
    from brattice.adapters.child import Limits
    from brattice.adapters.ifc import IfcModels
    from brattice.adapters.report.penetrations_csv import places_csv
    from brattice.adapters.rows import shipped_book
    from brattice.building.place import PlaceKind
    from brattice.classes import ClassSteps
    from brattice.usecases.find_places import find_places

    def say(text: str) -> None:
        print(plain(text), file=sys.stderr)

    if csv not in {"", "-"}:
        refuse_input(csv, models, "models")
    limits = Limits(memory_bytes=int(memory * 1024**3), seconds=seconds)
    model = find_places(models, IfcModels(say, workers, limits), ClassSteps.from_book(shipped_book()), say)
    for warning in (*model.warnings, *model.lacks):
        say(f"warning: {warning}")
    table = places_csv(model)
    if csv == "-":
        print_data(table)
    elif csv:
        write_data(Path(csv), table)
    kinds = Counter(place.kind for place in model.places)
    open_ones = sum(place.is_open for place in model.places)
    say(
        f"penetrations: {kinds[PlaceKind.PENETRATION]}, places to be settled: {kinds[PlaceKind.QUERY]}, "
        f"of other services: {kinds[PlaceKind.OTHER_SERVICE]}; with something open: {open_ones}"
    )
    return int(ExitCode.OPEN if model.is_open else ExitCode.DONE)
