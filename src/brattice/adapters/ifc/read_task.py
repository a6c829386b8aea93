# SPDX-License-Identifier: Apache-2.0
"""The child task `ifc.read`: everything we need of one model, as plain data and gross meshes in millimetres."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from brattice.adapters.child.registry import Say
from brattice.adapters.child.wire import Json, Reply
from brattice.adapters.ifc import facts
from brattice.adapters.ifc.direction import north_said
from brattice.adapters.ifc.opening import Opened, SortedProduct, open_model
from brattice.adapters.ifc.shapes import far_offset_m, shapes_of
from brattice.building.model import Part

__all__ = ["read_model"]

_PROPERTIES_KEPT = 60

_FLOWS = {"SINK": "in", "SOURCE": "out"}
"""What the open model standard's direction at a port says (IfcFlowDirectionEnum): into the element, or out of it."""


def read_model(request: Json, folder: Path, say: Say) -> Reply:
    """Read the model at `request["file"]`: the value is a JSON object (see `source`), the arrays are the meshes."""
    name = str(request["file"])
    say("opening")
    opened = open_model(name, folder)
    offset = far_offset_m(_places(opened))
    records = _records(opened, offset)
    wanted = opened.with_shape()
    say(f"{len(wanted)} shapes")
    arrays, sizes = _meshes(opened, wanted, offset, say)
    found = {entry[0] for entry in sizes}
    no_shape = [
        [one.product.id(), _why_no_shape(one)]
        for one in opened.products
        if one.product.id() not in found and (one.kind.service is not None or one.kind.barrier is not None)
        if not _has_shaped_parts(one.product)
    ]
    value = {
        "schema": str(opened.file.schema_identifier),
        "sha256": opened.envelope.sha256,
        "unit": opened.unit.name,
        "origin_m": list(offset),
        "north": north_said(opened.file),
        "warnings": opened.warnings,
        "doubts": opened.doubts,
        "no_shape": no_shape,
        "meshes": sizes,
        **records,
    }
    return Reply(value, arrays)


def _places(opened: Opened) -> list[NDArray[np.float64]]:
    places = []
    for one in opened.products:
        if one.kind.barrier is None and one.kind.service is None:
            continue
        matrix = opened.placements.of(one.product)
        if matrix is not None:
            places.append(matrix[:3, 3])
    return places


def _why_no_shape(one: SortedProduct) -> str:
    if one.circular:
        return "its placement leads back to itself"
    if one.product.Representation is None:
        return "the model gives it no shape"
    return "the geometry kernel makes no shape of it"


def _has_shaped_parts(product: Any) -> bool:
    """Whether a whole without a body is made of parts that have one (a roof made of slabs)."""
    return product.Representation is None and any(
        getattr(part, "Representation", None) is not None
        for relation in getattr(product, "IsDecomposedBy", None) or ()
        for part in relation.RelatedObjects
    )


def _meshes(
    opened: Opened, wanted: list[Any], offset: tuple[float, float, float], say: Say
) -> tuple[dict[str, NDArray[Any]], list[list[int]]]:
    """All meshes in three long arrays; `sizes` has a row a mesh: number of its element, points, triangles.

    The parts that a wall or slab without a body of its own is made of count as its bodies.
    """
    wholes = _wholes(opened)
    points: list[NDArray[np.float64]] = []
    triangles: list[NDArray[np.int64]] = []
    items: list[NDArray[np.int64]] = []
    sizes: list[list[int]] = []
    for step, verts, faces, item in shapes_of(opened.file, wanted, offset, say):
        if len(faces) == 0 or not np.all(np.isfinite(verts)):
            continue
        points.append(verts * 1000.0)
        triangles.append(faces)
        items.append(item)
        sizes.append([wholes.get(step, step), len(verts), len(faces)])
    arrays: dict[str, NDArray[Any]] = {
        "points": np.concatenate(points) if points else np.zeros((0, 3)),
        "triangles": np.concatenate(triangles) if triangles else np.zeros((0, 3), dtype=np.int64),
        "items": np.concatenate(items) if items else np.zeros(0, dtype=np.int64),
    }
    return arrays, sizes


def _wholes(opened: Opened) -> dict[int, int]:
    """Number of a building element part → number of the barrier that it is a part of."""
    barriers = {one.product.id() for one in opened.products if one.kind.barrier is not None}
    wholes: dict[int, int] = {}
    for one in opened.products:
        if not one.product.is_a("IfcBuildingElementPart"):
            continue
        for relation in getattr(one.product, "Decomposes", None) or ():
            whole = relation.RelatingObject
            if whole.id() in barriers and whole.Representation is None:
                wholes[one.product.id()] = whole.id()
    return wholes


def _records(opened: Opened, offset: tuple[float, float, float]) -> dict[str, Json]:
    storeys, barriers, services, openings, obstacles = [], [], [], [], []
    port_ids: set[int] = set()
    for one in opened.products:
        product = one.product
        if product.is_a("IfcBuildingStorey"):
            storeys.append(_storey(opened, product))
        elif one.kind.barrier is not None:
            barriers.append(_barrier(opened, one))
        elif one.kind.service is not None:
            record = _service(opened, one, offset)
            port_ids.update(port[0] for port in record["ports"])
            services.append(record)
        elif one.kind.is_opening:
            opening = _opening(product)
            if opening is not None:
                openings.append(opening)
        elif one.kind.is_obstacle:
            storey = facts.storey_of(product)
            obstacles.append({**_head(product), "storey": storey, "predefined": _predefined(one)})
    joined = sorted(
        [relation.RelatingPort.id(), relation.RelatedPort.id()]
        for relation in opened.file.by_type("IfcRelConnectsPorts")
        if relation.RelatingPort is not None and relation.RelatedPort is not None
    )
    return {
        "storeys": storeys,
        "barriers": barriers,
        "services": services,
        "openings": openings,
        "obstacles": obstacles,
        "joined": [pair for pair in joined if pair[0] in port_ids and pair[1] in port_ids],
    }


def _head(product: Any) -> dict[str, Json]:
    return {
        "step": product.id(),
        "guid": facts.text(product.GlobalId),
        "class": product.is_a(),
        "name": facts.text(product.Name),
    }


def _storey(opened: Opened, product: Any) -> dict[str, Json]:
    matrix = opened.placements.of(product)
    elevation = float(matrix[2, 3]) if matrix is not None and product.ObjectPlacement is not None else None
    if elevation is None:
        elevation = float(product.Elevation or 0.0) * opened.unit.metres
    name = facts.text(product.Name) or facts.text(product.LongName)
    return {"guid": facts.text(product.GlobalId), "name": name, "elevation_m": elevation}


def _type_name(one: SortedProduct) -> str:
    named = facts.text(one.kind_type.Name) if one.kind_type is not None else ""
    return named or facts.text(one.product.ObjectType)


def _predefined(one: SortedProduct) -> str:
    said = [
        facts.text(getattr(thing, "PredefinedType", None))
        for thing in (one.product, one.kind_type)
        if thing is not None
    ]
    return next((word for word in said if word and word != "NOTDEFINED"), "")


def _barrier(opened: Opened, one: SortedProduct) -> dict[str, Json]:
    rows = facts.properties(one.product, one.kind_type)
    layers, axis = facts.layer_set(one.product, one.kind_type, opened.unit)
    assert one.kind.barrier is not None
    return {
        **_head(one.product),
        "kind": one.kind.barrier.value,
        "type_name": _type_name(one),
        "ratings": [list(pair) for pair in facts.ratings(rows)],
        "layers": [list(layer) for layer in layers],
        "layer_axis": axis,
        "storey": facts.storey_of(one.product),
    }


def _service(opened: Opened, one: SortedProduct, offset: tuple[float, float, float]) -> dict[str, Json]:
    assert one.kind.service is not None
    service, part = one.kind.service
    rows = facts.properties(one.product, one.kind_type)
    kept = rows[:_PROPERTIES_KEPT] if part is Part.DAMPER else []
    ports = []
    for port in facts.ports_of(one.product):
        matrix = opened.placements.of(port)
        if matrix is not None and port.ObjectPlacement is not None:
            place = (matrix[:3, 3] - np.array(offset)) * 1000.0
            flow = _FLOWS.get(str(getattr(port, "FlowDirection", "")), "")
            ports.append([port.id(), *(float(value) for value in place), flow])
    return {
        **_head(one.product),
        "service": service.value,
        "part": part.value,
        "type_name": _type_name(one),
        "predefined": _predefined(one),
        "untyped": service.value == "unknown" and part is not Part.PROXY,
        "systems": facts.systems_of(one.product),
        "ports": ports,
        "stated_size": list(facts.stated_size(rows, opened.unit)),
        "insulation_mm": facts.insulation_mm(rows, opened.unit),
        "properties": [[where, name, facts.text(value)] for where, name, value, _ in kept],
        "storey": facts.storey_of(one.product),
    }


def _opening(product: Any) -> dict[str, Json] | None:
    hosts = [relation.RelatingBuildingElement for relation in getattr(product, "VoidsElements", None) or ()]
    if not hosts:
        return None
    fillings = sorted(
        (relation.RelatedBuildingElement for relation in getattr(product, "HasFillings", None) or ()),
        key=lambda element: str(element.GlobalId),
    )
    return {
        **_head(product),
        "host": hosts[0].id(),
        "filled_by": facts.text(fillings[0].GlobalId) if fillings else "",
        "filled_class": fillings[0].is_a() if fillings else "",
    }
