# SPDX-License-Identifier: Apache-2.0
"""Loads all evidence of a job: every TOML file and workbook of its folders, every fault of all of them at once."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from brattice.adapters.evidence.assemble import EvidenceRead
from brattice.adapters.evidence.product_models import twice
from brattice.adapters.evidence.toml_reader import evidence_of_toml
from brattice.adapters.evidence.xlsx_reader import evidence_of_xlsx
from brattice.classes import ClassSteps
from brattice.errors import Fault, InputError
from brattice.evidence.installation import Document, TestedInstallation
from brattice.evidence.product import ProductFacts, SealFacts
from brattice.evidence.revisions import with_revisions

__all__ = ["LARGEST_TOML", "EvidenceLoaded", "load_all_evidence", "load_evidence"]

LARGEST_TOML = 20 * 1024 * 1024
"""A larger TOML file is refused [bytes]."""

_TOML, _XLSX = {".toml"}, {".xlsx", ".xlsm"}


def _files(root: Path, name: str) -> list[str]:
    """The evidence files that one entry of a job names, relative to it; raises `InputError`.

    A folder without any is no fault: nothing is loaded yet, and the answers say so.
    """
    path = root / name
    if path.is_file():
        if path.suffix.lower() not in _TOML | _XLSX:
            raise InputError(Fault(name, "", f"a file that ends in {path.suffix!r}", "a .toml or .xlsx file"))
        return [name]
    if not path.is_dir():
        raise InputError(Fault(name, "", "no such file or folder", "a folder of evidence, or one file of it"))
    return sorted(
        item.relative_to(root).as_posix()
        for item in path.rglob("*")
        if item.is_file()
        and item.suffix.lower() in _TOML | _XLSX
        and not any(part.startswith((".", "~$")) for part in item.relative_to(path).parts)
    )


def _read(root: Path, name: str, steps: ClassSteps) -> EvidenceRead:
    path = root / name
    if not path.resolve().is_relative_to(root.resolve()):
        raise InputError(Fault(name, "", "a link that leads out of the job folder", "a file in the job folder"))
    data = b""
    if path.suffix.lower() in _XLSX:
        return evidence_of_xlsx(path, steps, file=name)
    try:
        with path.open("rb") as stream:
            data = stream.read(LARGEST_TOML + 1)
        if len(data) > LARGEST_TOML:
            raise InputError(Fault(name, "", "a file of more than 20 MiB", "a smaller one"))
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        raise InputError(Fault(name, f"line {line}", "bytes that are no UTF-8", "a text in UTF-8")) from error
    except OSError as error:
        raise InputError(Fault(name, "", error.strerror or "an unreadable file", "a file that can be read")) from error
    return evidence_of_toml(text, name, steps)


@dataclass(frozen=True)
class EvidenceLoaded:
    """All that the evidence of a job states: tested installations by id, the files, products and seals by name."""

    installations: tuple[TestedInstallation, ...]
    files: tuple[str, ...]
    products: tuple[ProductFacts, ...] = ()
    seals: tuple[SealFacts, ...] = ()


def load_evidence(
    root: str | Path, entries: Iterable[str], steps: ClassSteps
) -> tuple[tuple[TestedInstallation, ...], tuple[str, ...]]:
    """The tested installations of a job, by id, and the files they stand in, as `load_all_evidence`."""
    loaded = load_all_evidence(root, entries, steps)
    return loaded.installations, loaded.files


def load_all_evidence(root: str | Path, entries: Iterable[str], steps: ClassSteps) -> EvidenceLoaded:
    """All that the evidence of a job states.

    Each knows of the other revisions of its document, also of those that no installation rests on.

    `entries` are folders or files, relative to `root`; faults and origins name files relative to it. Raises
    `InputError` with every fault of every file, and with ids, products and seals that stand in two files.
    """
    base = Path(root)
    faults: list[Fault] = []
    names: set[str] = set()
    for entry in entries:
        try:
            names.update(_files(base, entry))
        except InputError as error:
            faults += error.faults
    found: list[TestedInstallation] = []
    documents: list[tuple[str, Document]] = []
    products: list[ProductFacts] = []
    seals: list[SealFacts] = []
    for name in sorted(names):
        try:
            read = _read(base, name, steps)
            found += read.installations
            documents += read.documents
            products += read.products
            seals += read.seals
        except InputError as error:
            faults += error.faults
    first: dict[str, TestedInstallation] = {}
    for item in found:
        earlier = first.setdefault(item.id, item)
        if earlier is not item:
            where = f"{item.id!r} again (first in {earlier.origin})"
            faults.append(Fault(item.origin.file, item.origin.place, where, "each installation once in all evidence"))
    faults += twice(products, seals)
    if faults:
        raise InputError(faults)
    return EvidenceLoaded(
        with_revisions(sorted(found, key=lambda item: item.id), documents),
        tuple(sorted(names)),
        tuple(sorted(products, key=lambda item: (item.maker, item.product))),
        tuple(sorted(seals, key=lambda item: item.name)),
    )
