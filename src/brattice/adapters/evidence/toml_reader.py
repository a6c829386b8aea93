# SPDX-License-Identifier: Apache-2.0
"""Reads tested installations from TOML: strict, every fault at once, with file and key."""

from __future__ import annotations

import tomllib
from dataclasses import replace
from typing import TypeVar

from pydantic import BaseModel, ValidationError

from brattice.adapters.evidence.assemble import EvidenceRead, assemble
from brattice.adapters.evidence.classes import class_check
from brattice.adapters.evidence.product_models import (
    ProductModel,
    ProductsFile,
    SealFactsModel,
    WholeFile,
    products_of,
    seals_of,
)
from brattice.adapters.evidence.schema import DocumentModel, InstallationModel, model_faults
from brattice.classes import ClassSteps
from brattice.errors import Fault, InputError
from brattice.evidence.installation import TestedInstallation

__all__ = ["evidence_of_toml", "read_evidence_toml"]

_Model = TypeVar("_Model", bound=BaseModel)


def _place(subject: str, key: str) -> str:
    return f"{subject}, {key}" if key else subject


def _sound(items: object, kind: type[_Model]) -> tuple[list[_Model], frozenset[str]]:
    """The items of a list that are models without a fault, and the ids of those with one."""
    sound: list[_Model] = []
    unread: set[str] = set()
    for item in items if isinstance(items, list) else ():
        try:
            sound.append(kind.model_validate(item))
        except ValidationError:
            if isinstance(item, dict) and isinstance(item.get("id"), str):
                unread.add(item["id"])
    return sound, frozenset(unread)


def evidence_of_toml(text: str, name: str, steps: ClassSteps) -> EvidenceRead:
    """What one TOML text states, installations by id; `name` is what faults and origins call the file, `steps` are
    the classes that exist.

    Raises `InputError` with all faults: keys that don't exist, values of the wrong kind, windows whose least is above
    their most, classes that can't be, ids used twice, dates in the wrong order.
    """
    try:
        data = tomllib.loads(text)
    except ValueError as error:  # TOMLDecodeError, and what Python says of a number of thousands of digits
        raise InputError(Fault(name, "", f"broken TOML: {error}", "a TOML file")) from error
    except RecursionError as error:
        raise InputError(Fault(name, "", "tables or lists nested too deep", "a TOML file")) from error
    faults: list[Fault] = []
    beside_alone = not {"document", "installation"} & set(data) and bool({"product", "seal"} & set(data))
    kind: type[BaseModel] = ProductsFile if beside_alone else WholeFile
    try:
        kind.model_validate(data)
    except ValidationError as error:
        faults += model_faults(error, kind, data, name)
    documents, unread = _sound(data.get("document"), DocumentModel)
    installations, _ = _sound(data.get("installation"), InstallationModel)
    given = data.get("maker")
    maker = " ".join(given.split()) if isinstance(given, str) and given.strip() else None
    products, _ = _sound(data.get("product"), ProductModel)
    seals, _ = _sound(data.get("seal"), SealFactsModel)
    made, more = assemble(
        [(f"document {item.id}", item) for item in documents],
        [(f"installation {item.id}", item) for item in installations],
        file=name,
        maker=maker,
        place=_place,
        check_class=class_check(steps),
        unread=unread,
    )
    beside = products_of([(f"product {item.product}", item) for item in products], name, maker, _place, faults)
    if faults or more:
        raise InputError([*faults, *more])
    return replace(
        made,
        installations=tuple(sorted(made.installations, key=lambda item: item.id)),
        products=beside,
        seals=seals_of([(f"seal {item.name}", item) for item in seals], name),
    )


def read_evidence_toml(text: str, name: str, steps: ClassSteps) -> tuple[TestedInstallation, ...]:
    """The tested installations of one TOML text, as `evidence_of_toml`."""
    return evidence_of_toml(text, name, steps).installations
