# SPDX-License-Identifier: Apache-2.0
"""Reads tested installations from a workbook and writes its template; faults name sheet, row and column."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from typing import Any, TypeVar

from pydantic import BaseModel, ValidationError

from brattice.adapters.evidence.assemble import EvidenceRead, assemble
from brattice.adapters.evidence.classes import class_check
from brattice.adapters.evidence.columns import DOCUMENTS, EVIDENCE_INSTRUCTIONS, INSTALLATIONS, NO_MARKING
from brattice.adapters.evidence.product_sheets import product_facts_of_workbook
from brattice.adapters.evidence.schema import DocumentModel, InstallationModel, model_faults
from brattice.adapters.workbook import OutSheet, OutValue, Workbook, read_workbook, workbook_bytes, write_file
from brattice.adapters.workbook.table import TableRow, TableSpec, read_table, template_sheets
from brattice.classes import ClassSteps
from brattice.errors import Fault, InputError
from brattice.evidence.installation import TestedInstallation

__all__ = [
    "evidence_of_xlsx",
    "evidence_template_bytes",
    "read_evidence_workbook",
    "read_evidence_xlsx",
    "write_evidence_template",
]

_Model = TypeVar("_Model", bound=BaseModel)
_Rows = Iterable[Mapping[str, OutValue | tuple[str, ...]]]


def _rows(book: Workbook, spec: TableSpec, faults: list[Fault]) -> Sequence[TableRow]:
    sheet = book.sheet((spec.sheet,))
    if sheet is None:
        names = ", ".join(item.name for item in book.sheets) or "none"
        faults.append(Fault(book.file, "", f"sheets {names}", f"a sheet {spec.sheet!r}, as in the template"))
        return ()
    table = read_table(book, sheet, spec)
    faults.extend(table.faults)
    return table.rows


def _put(data: dict[str, Any], path: Sequence[str], value: Any) -> None:
    for part in path[:-1]:
        data = data.setdefault(part, {})
    data[path[-1]] = value


def _angles(values: tuple[str, ...]) -> list[Any]:
    """The numbers that texts hold; a text that holds none stays, to be refused as one."""
    found: list[Any] = []
    for text in values:
        try:
            found.append(float(text.strip().rstrip("°").strip()))
        except ValueError:
            found.append(text)
    return found


def _nested(row: TableRow) -> dict[str, Any]:
    """The values of a row in the shape of a model."""
    data: dict[str, Any] = {}
    for key, value in row.values.items():
        if key == "mechanism_deg" and isinstance(value, tuple):
            _put(data, [key], _angles(value))
        else:
            _put(data, key.split("."), list(value) if isinstance(value, tuple) else value)
    construction = data.get("construction", {})
    layers = construction.get("board_layers")
    if layers is not None:
        construction["board_layers"] = [layers[side] for side in ("a", "b") if side in layers]
    if "separation" in data:
        data["separation"] = [{"to": to, **values} for to, values in data["separation"].items()]
    if "marking" in data:
        data["marking"] = [word for word in data["marking"] if word != NO_MARKING]
    return data


def _column(row: TableRow, spec: TableSpec, path: Sequence[str]) -> str:
    """The place of the column that holds the value of a path, or of the first below it."""
    key = ".".join(path)
    keys = [column.key for column in spec.columns]
    found = next((item for item in keys if item == key), None)
    found = found or next((item for item in keys if item.startswith(f"{key}.")), None)
    while found is None and path:
        path = path[:-1]
        key = ".".join(path)
        found = next((item for item in keys if path and (item == key or item.startswith(f"{key}."))), None)
    return row.place(found) if found else row.place()


def _keyed(path: Sequence[str], data: Mapping[str, Any]) -> list[str]:
    """A path as columns have it: a neighbour by its name, other items of lists by their list."""
    if path[0] == "separation" and len(path) > 1:
        return ["separation", str(data["separation"][int(path[1]) - 1]["to"]), *path[2:]]
    return [part for part in path if not part.isdigit()]


def _models(
    rows: Iterable[TableRow], spec: TableSpec, kind: type[_Model], file: str, faults: list[Fault]
) -> list[tuple[TableRow, _Model]]:
    sound: list[tuple[TableRow, _Model]] = []
    for row in rows:
        data = _nested(row)
        try:
            sound.append((row, kind.model_validate(data)))
        except ValidationError as error:
            told = {fault.place for fault in faults}
            for fault in model_faults(error, kind, data, file):
                path = _keyed(fault.place.split("."), data)
                place = _column(row, spec, path)
                if place not in told:
                    faults.append(replace(fault, place=place))
    return sound


def _evidence_of_workbook(book: Workbook, steps: ClassSteps) -> EvidenceRead:
    faults: list[Fault] = []
    beside = product_facts_of_workbook(book, faults)
    tested = book.sheet((DOCUMENTS.sheet,)) is not None or book.sheet((INSTALLATIONS.sheet,)) is not None
    if beside is not None and not tested:
        if faults:
            raise InputError(faults)
        return EvidenceRead((), (), *beside)
    document_rows = _rows(book, DOCUMENTS, faults)
    installation_rows = _rows(book, INSTALLATIONS, faults)
    documents = _models(document_rows, DOCUMENTS, DocumentModel, book.file, faults)
    installations = _models(installation_rows, INSTALLATIONS, InstallationModel, book.file, faults)
    specs = {row.place(): (row, DOCUMENTS) for row, _ in documents}
    specs |= {row.place(): (row, INSTALLATIONS) for row, _ in installations}

    def place(subject: str, key: str) -> str:
        row, spec = specs[subject]
        return _column(row, spec, [part for part in key.split(".") if part and not part.isdigit()])

    read_ids = {item.id for _, item in documents}
    unread = {name for row in document_rows if (name := row.text("id")) is not None and name not in read_ids}
    made, more = assemble(
        [(row.place(), item) for row, item in documents],
        [(row.place(), item) for row, item in installations],
        file=book.file,
        maker=None,
        place=place,
        check_class=class_check(steps),
        unread=unread,
    )
    told = {fault.place for fault in faults}
    faults += [fault for fault in more if fault.place not in told]
    if not faults and not made.installations:
        faults.append(Fault(book.file, f"sheet {INSTALLATIONS.sheet!r}", "no row", "at least one tested installation"))
    if faults:
        raise InputError(faults)
    ordered = tuple(sorted(made.installations, key=lambda item: item.id))
    return EvidenceRead(ordered, made.documents, *(beside or ((), ())))


def read_evidence_workbook(book: Workbook, steps: ClassSteps) -> tuple[TestedInstallation, ...]:
    """The tested installations of a workbook that was read; raises `InputError` with all faults."""
    return _evidence_of_workbook(book, steps).installations


def evidence_of_xlsx(path: str | Path, steps: ClassSteps, *, file: str = "") -> EvidenceRead:
    """What a workbook at a path states, installations by id, read bounded in a child process; `file` names it in
    faults.

    Raises `InputError` with all faults.
    """
    return _evidence_of_workbook(read_workbook(path, file=file or str(path)), steps)


def read_evidence_xlsx(path: str | Path, steps: ClassSteps, *, file: str = "") -> tuple[TestedInstallation, ...]:
    """The tested installations of a workbook at a path, as `evidence_of_xlsx`."""
    return evidence_of_xlsx(path, steps, file=file).installations


def evidence_template_bytes(installations: _Rows = (), documents: _Rows = (), *, stamp: datetime) -> bytes:
    """The evidence template as XLSX, filled with rows (values by column key) when some are given."""
    table, about = template_sheets(INSTALLATIONS, EVIDENCE_INSTRUCTIONS, installations)
    documents_table, about_documents = template_sheets(DOCUMENTS, (), documents)
    sheets: list[OutSheet] = [
        table,
        documents_table,
        about,
        replace(about_documents, name="Instructions, documents"),
    ]
    return workbook_bytes(sheets, stamp=stamp, title="Tested installations")


def write_evidence_template(path: str | Path, *, stamp: datetime) -> None:
    """The evidence template into a file, whole or not at all."""
    write_file(path, evidence_template_bytes(stamp=stamp))
