# SPDX-License-Identifier: Apache-2.0
"""The mapping of a foreign sheet as a file of the job: strictly read, every fault at once."""

from __future__ import annotations

import hashlib
import re
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field, ValidationError

from brattice.adapters.foreign.headings import MOST_ROWS, heading_key, stated_order, stated_unit
from brattice.adapters.foreign.values import needs_unit
from brattice.adapters.foreign.words import COMPOUND
from brattice.adapters.sheets import SCHEDULE
from brattice.adapters.text import one_line
from brattice.errors import Fault, InputError

__all__ = ["MAPPING_KEYS", "ColumnTable", "Mapping", "MappingTable", "mapping_beside", "mapping_of", "read_mapping"]

MAPPING_KEYS = (*(column.key for column in SCHEDULE.columns), *COMPOUND)
"""What a heading may be mapped to: the keys of the schedule, and a whole size in one cell."""

_MOST_BYTES = 1024 * 1024
_TIMES = ("min", "h")
_OTHER_UNITS = {
    "air_l_s": re.compile(r"m\s*(?:3|³|\^3)|\bcfm\b|\bcmh\b|\bl/h\b"),
    "weight_kg": re.compile(r"\blbs?\b|\btonnes?\b|\bn\b|\bkn\b"),
    "system_pressure_pa": re.compile(r"kpa|bar\b|\bw\.?g\b|\bpsi\b"),
}
"""Headings that state another unit than the one in which the figures of a key are read."""
_CLASHES = {stem: {f"{stem}_width_mm", f"{stem}_height_mm", f"{stem}_diameter_mm"} for stem in COMPOUND.values()}


class _Strict(BaseModel):
    model_config = ConfigDict(strict=True, extra="forbid", frozen=True)


Heading = Annotated[str, Field(min_length=1, max_length=200_000)]


class ColumnTable(_Strict):
    """A heading of theirs, the key of ours, the unit of figures without one, and which figure of a size is first."""

    heading: Heading
    key: str
    unit: Literal["", "mm", "cm", "m", "in", "min", "h", "in cells"] = ""
    order: Literal["", "width-height", "height-width"] = ""


class SkipTable(_Strict):
    """Which rows are no penetrations; each that is passed over is said."""

    totals: bool = True
    notes: bool = True
    repeated_headings: bool = True


class MappingTable(_Strict):
    """The whole of a mapping file."""

    schema_: Annotated[Literal[1], Field(alias="schema")]
    sheets: list[str] = []
    heading_rows: Annotated[int, Field(ge=1, le=MOST_ROWS)]
    hidden_rows: Literal["read", "skip"]
    merged_cells: Literal["fill down", "not read"]
    formulas: Literal["as last shown", "not read"]
    skip: SkipTable = SkipTable()
    column: Annotated[list[ColumnTable], Field(min_length=1)]
    kept_as_text: list[Heading] = []


@dataclass(frozen=True)
class Mapping:
    """A mapping file: its path as given, the SHA-256 of its bytes, and what it says."""

    file: str
    sha256: str
    table: MappingTable


def mapping_beside(path: Path) -> Path:
    """Where the mapping of a schedule stands: `schedule/fire.xlsx` has `schedule/fire.mapping.toml`."""
    return path.with_suffix(".mapping.toml")


def _faults(table: MappingTable) -> Iterator[tuple[str, str, str]]:
    """What contradicts itself in a mapping: place, found, expected."""
    headings: set[str] = set()
    keys: set[str] = set()
    for number, column in enumerate(table.column, start=1):
        place = f"column no. {number} ({one_line(column.heading, 60)!r})"
        if column.key not in MAPPING_KEYS:
            yield f"{place}, key", repr(one_line(column.key, 60)), f"one of: {', '.join(MAPPING_KEYS)}"
            continue
        if heading_key(column.heading) in headings:
            yield f"{place}, heading", "this heading again", "each once"
        if column.key in keys and column.key != "remarks":
            yield f"{place}, key", f"{column.key!r} again", "one heading for each key"
        headings.add(heading_key(column.heading))
        keys.add(column.key)
        time = column.unit in _TIMES
        if needs_unit(column.key) and (not column.unit or time):
            yield f"{place}, unit", repr(column.unit), 'mm, cm, m, in, or "in cells" where each cell has its own'
        elif column.unit and not needs_unit(column.key) and not (column.key == "rating" and time):
            yield f"{place}, unit", repr(column.unit), "no unit here"
        stated = stated_unit(column.heading)
        if stated and column.unit not in {"", stated} and (needs_unit(column.key) or column.key == "rating"):
            yield f"{place}, unit", repr(column.unit), f"{stated!r}, the unit in the heading"
        other = _OTHER_UNITS.get(column.key)
        if other is not None and (match := other.search(column.heading.casefold())):
            unit = SCHEDULE.column(column.key).unit
            yield (
                f"{place}, key",
                f"a heading in another unit ({match.group()!r})",
                f"figures in {unit}",
            )
        if column.order and column.key not in COMPOUND:
            yield f"{place}, order", repr(column.order), "an order with a whole size only"
        if column.order and stated_order(column.heading) not in {"", column.order}:
            yield f"{place}, order", repr(column.order), "the order in the heading"
    if "reference" not in keys:
        yield "column", "no heading for 'reference'", "the column that names each penetration"
    for key, stem in COMPOUND.items():
        both = sorted(keys & _CLASHES[stem])
        if key in keys and both:
            yield "column", f"{key!r} beside {both[0]!r}", "the whole size in one column, or its figures"
    twice = {heading_key(item) for item in table.kept_as_text} & headings
    for item in sorted(twice):
        yield "kept_as_text", f"{one_line(item, 60)!r}, which is mapped too", "the one or the other"


def read_mapping(path: Path, file: str = "") -> Mapping:
    """The mapping in a file; `file` is what faults call it. Raises `InputError` with every fault."""
    name = file or str(path)
    try:
        data = path.read_bytes() if path.stat().st_size <= _MOST_BYTES else None
    except OSError as error:
        raise InputError(Fault(name, "", f"a file that can't be read ({error.strerror})", "a mapping")) from error
    if data is None:
        raise InputError(Fault(name, "", "a file over 1 MiB", "a mapping, which is small"))
    return mapping_of(data, name)


def mapping_of(data: bytes, name: str) -> Mapping:
    """The mapping that the bytes of a file say; `name` is what faults call it. Raises `InputError` with every fault."""
    try:
        table = MappingTable.model_validate(tomllib.loads(data.decode("utf-8-sig")))
    except UnicodeDecodeError as error:
        raise InputError(Fault(name, f"byte {error.start}", "text that is not UTF-8", "a TOML file")) from error
    except (tomllib.TOMLDecodeError, RecursionError) as error:
        raise InputError(Fault(name, "", one_line(str(error), 200), "a TOML file")) from error
    except ValidationError as error:
        raise InputError(
            Fault(
                name,
                one_line(".".join(str(part) for part in item["loc"]), 200),
                one_line(repr(item["input"]), 60),
                one_line(item["msg"], 200),
            )
            for item in error.errors()
        ) from error
    faults = [Fault(name, *found) for found in _faults(table)]
    if faults:
        raise InputError(faults)
    return Mapping(name, hashlib.sha256(data).hexdigest(), table)
