# SPDX-License-Identifier: Apache-2.0
"""Open a model in the child: whole, of a schema we read, with a GlobalId on everything, and sort its products."""

from __future__ import annotations

import hashlib
import re
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import ifcopenshell
import ifcopenshell.guid

from brattice.adapters.ifc.envelope import Envelope, open_envelope
from brattice.adapters.ifc.facts import type_of
from brattice.adapters.ifc.kinds import Kind, kind_of
from brattice.adapters.ifc.placement import LengthUnit, Placements, length_unit
from brattice.errors import Fault, InputError

__all__ = ["Opened", "SortedProduct", "open_model"]

_SCHEMAS = ("IFC2X3", "IFC4", "IFC4X3")
_WARNINGS_SHOWN = 20


@dataclass(frozen=True)
class SortedProduct:
    """A product, its type, what it is to us, and whether its placement goes in a circle."""

    product: Any
    kind_type: Any | None
    kind: Kind
    circular: bool


@dataclass(frozen=True)
class Opened:
    """An open model: the file, its envelope, unit, placements, products by number, warnings.

    `doubts` are the warnings that leave the content in doubt: parts that could not be read, no length unit.
    """

    file: Any
    envelope: Envelope
    unit: LengthUnit
    placements: Placements
    products: tuple[SortedProduct, ...]
    warnings: list[str] = field(default_factory=list)
    doubts: list[str] = field(default_factory=list)

    def with_shape(self) -> list[Any]:
        """The products whose shapes are asked of the kernel: barriers and their parts, services, openings."""
        return [
            one.product
            for one in self.products
            if one.product.Representation is not None
            and not one.circular
            and (
                one.kind.barrier is not None
                or one.kind.service is not None
                or one.kind.is_opening
                or one.product.is_a("IfcBuildingElementPart")
            )
        ]


def open_model(name: str, folder: Path) -> Opened:
    """Open a model file and sort its products.

    Raises
    ------
    InputError : the file can't be used; the fault says why
    """
    envelope = open_envelope(name, folder)
    file = _parse(name, envelope.path)
    warnings = [*envelope.warnings]
    doubts = _log_warnings()
    schema = str(file.schema)
    if schema not in _SCHEMAS:
        raise InputError(Fault(name, "FILE_SCHEMA", schema, "IFC2X3, IFC4 or IFC4X3"))
    products = sorted(file.by_type("IfcProduct"), key=lambda one: int(one.id()))
    if not products:
        raise InputError(Fault(name, "DATA", "no building element at all", "a model with walls, slabs or ducts"))
    unit = length_unit(file)
    if not unit.stated:
        doubts.append(
            "the project states no length unit: IFC has no default, so every length is uncertain; the numbers are "
            "taken as metres, check the sizes or export the file again with its unit"
        )
    placements = Placements(unit)
    _give_guids(products, envelope.sha256, warnings)
    _look_for_duplicates(products, warnings)
    sorted_products = []
    for product in products:
        kind_type = type_of(product)
        sorted_products.append(
            SortedProduct(product, kind_type, kind_of(product, kind_type), placements.is_circular(product))
        )
    circular = [
        one.product
        for one in sorted_products
        if one.circular and (one.kind.barrier is not None or one.kind.service is not None)
    ]
    warnings.extend(
        f"#{product.id()} {product.is_a()} {product.GlobalId}: its placement leads back to itself; it has no place "
        "in the building and is listed as without geometry"
        for product in circular[:_WARNINGS_SHOWN]
    )
    return Opened(file, envelope, unit, placements, tuple(sorted_products), warnings, doubts)


def _parse(name: str, path: Path) -> Any:
    ifcopenshell.get_log()
    try:
        file = ifcopenshell.open(str(path))
    except (ifcopenshell.Error, ifcopenshell.SchemaError, RuntimeError, OSError, ValueError) as error:
        said = str(error).strip().splitlines()
        why = said[0][:200] if said else "no reason given"
        raise InputError(
            Fault(name, "", f"a file that the IFC reader refuses ({why})", "an IFC file that follows ISO 10303-21")
        ) from None
    if not isinstance(file, ifcopenshell.file):
        raise InputError(Fault(name, "", "a file that is no IFC model", "an IFC file in STEP form"))
    return file


def _log_warnings() -> list[str]:
    """What the parser complained about, in short: unknown entities, references that lead nowhere."""
    seen: list[str] = []
    for line in ifcopenshell.get_log().splitlines():
        if not line.startswith("[error]"):
            continue
        said = re.sub(r"^\[error\]\s*(\[[^\]]*\]\s*)*", "", line).strip()
        unknown = re.match(r"Entity with name '([A-Z0-9_]+)' not found", said)
        note = f"unknown entity {unknown.group(1)}: left out" if unknown else said[:200]
        if note not in seen:
            seen.append(note)
    if len(seen) > _WARNINGS_SHOWN:
        seen = [*seen[:_WARNINGS_SHOWN], f"and {len(seen) - _WARNINGS_SHOWN} more of this kind"]
    return seen


def _give_guids(products: list[Any], digest: str, warnings: list[str]) -> None:
    """A stand-in for every missing GlobalId, made from the file's digest: the kernel can't do without one."""
    without = [one for one in products if not one.GlobalId]
    for product in without:
        stand_in = hashlib.sha256(f"{digest}#{product.id()}".encode()).hexdigest()[:32]
        product.GlobalId = ifcopenshell.guid.compress(stand_in)
        warnings.append(
            f"#{product.id()} {product.is_a()} has no GlobalId: named {product.GlobalId} here, and a changed file "
            "will name it anew"
        )


def _look_for_duplicates(products: list[Any], warnings: list[str]) -> None:
    by_guid: dict[str, list[Any]] = {}
    for product in products:
        by_guid.setdefault(str(product.GlobalId), []).append(product)
    for guid, group in sorted(by_guid.items()):
        if len(group) > 1:
            named = ", ".join(f"#{one.id()} {one.is_a()}" for one in group)
            warnings.append(f"GlobalId {guid} is used {len(group)} times ({named}); each is read as its own element")
