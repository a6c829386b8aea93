# SPDX-License-Identifier: Apache-2.0
"""A small writer of IFC4: products with a placement and one extrusion, types, property sets, relations.

Two runs give the same bytes: GlobalIds are made from names, the header's time is an argument, entities are written in
the order in which they are asked for.
"""

from __future__ import annotations

import uuid
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import ifcopenshell
import ifcopenshell.guid

__all__ = ["NORTH", "IfcFile", "global_id"]

NORTH = (0.5, 0.8660254037844386)
"""True north in the plane of the building: 30° clockwise from its y axis."""

_SPACE = uuid.UUID("7c1d6c0e-6a1f-5d0a-9d57-2f5c0b1f9b10")


def global_id(*name: str) -> str:
    """The GlobalId that belongs to a name, always the same."""
    return str(ifcopenshell.guid.compress(uuid.uuid5(_SPACE, "/".join(name)).hex))


class IfcFile:
    """One model file being written. `per_mm` is the file's length unit: 1 for millimetres, 0.001 for metres."""

    def __init__(self, title: str, prefix: str, storeys: Sequence[tuple[str, float]], building: str, when: str) -> None:
        self.title = title
        self.per_mm = 1.0 if prefix else 0.001
        self.file: Any = ifcopenshell.file(schema="IFC4")
        header = self.file.header.file_name
        header.name, header.time_stamp = f"{title}.ifc", when
        header.author, header.organization = ("invented",), ("invented",)
        header.preprocessor_version = header.originating_system = "demo generator"
        header.authorization = "none"
        make = self.file.create_entity
        self._origin = make("IfcCartesianPoint", (0.0, 0.0, 0.0))
        world = make("IfcAxis2Placement3D", self._origin)
        north = make("IfcDirection", NORTH)
        self._context = make("IfcGeometricRepresentationContext", None, "Model", 3, 1e-5, world, north)
        self._body = make(
            "IfcGeometricRepresentationSubContext",
            "Body",
            "Model",
            None,
            None,
            None,
            None,
            self._context,
            None,
            "MODEL_VIEW",
        )
        units = make(
            "IfcUnitAssignment",
            (
                make("IfcSIUnit", None, "LENGTHUNIT", prefix or None, "METRE"),
                make("IfcSIUnit", None, "AREAUNIT", None, "SQUARE_METRE"),
                make("IfcSIUnit", None, "VOLUMEUNIT", None, "CUBIC_METRE"),
                make("IfcSIUnit", None, "PLANEANGLEUNIT", None, "RADIAN"),
            ),
        )
        self._directions: dict[tuple[float, float, float], Any] = {}
        self._contained: dict[int, list[Any]] = {}
        self._typed: dict[Any, list[Any]] = {}
        self._types: dict[str, Any] = {}
        self._systems: dict[str, tuple[Any, list[Any]]] = {}
        project = make(
            "IfcProject",
            self._id("project"),
            None,
            f"{building} (invented)",
            None,
            None,
            None,
            None,
            (self._context,),
            units,
        )
        site = self._spatial("IfcSite", "Site", None, project)
        house = self._spatial("IfcBuilding", building, site.ObjectPlacement, site)
        self._levels = [(elevation, self._storey(name, elevation, house)) for name, elevation in storeys]
        self._aggregate(house, [storey for _, storey in self._levels])

    # ids, numbers, placements ------------------------------------------------------------------------------------

    def _id(self, *name: str) -> str:
        return global_id(self.title, *name)

    def _n(self, *values: float) -> tuple[float, ...]:
        return tuple(round(value * self.per_mm, 9) for value in values)

    def _direction(self, x: float, y: float, z: float) -> Any:
        key = (float(x), float(y), float(z))
        if key not in self._directions:
            self._directions[key] = self.file.create_entity("IfcDirection", key)
        return self._directions[key]

    def _placement(
        self,
        parent: Any,
        point: tuple[float, float, float],
        axis: tuple[float, float, float] | None = None,
        side: tuple[float, float, float] | None = None,
    ) -> Any:
        make = self.file.create_entity
        place = make(
            "IfcAxis2Placement3D",
            make("IfcCartesianPoint", self._n(*point)),
            self._direction(*axis) if axis else None,
            self._direction(*side) if side else None,
        )
        return make("IfcLocalPlacement", parent, place)

    def _spatial(self, kind: str, name: str, parent: Any, whole: Any) -> Any:
        made = self.file.create_entity(kind, self._id(kind, name), None, name)
        made.ObjectPlacement = self._placement(parent, (0.0, 0.0, 0.0))
        made.CompositionType = "ELEMENT"
        self._aggregate(whole, [made])
        return made

    def _storey(self, name: str, elevation: float, house: Any) -> Any:
        made = self.file.create_entity("IfcBuildingStorey", self._id("storey", name), None, name)
        made.ObjectPlacement = self._placement(house.ObjectPlacement, (0.0, 0.0, elevation))
        made.CompositionType = "ELEMENT"
        (made.Elevation,) = self._n(elevation)
        return made

    def _aggregate(self, whole: Any, parts: list[Any]) -> None:
        self.file.create_entity(
            "IfcRelAggregates",
            self._id("aggregates", whole.GlobalId, parts[0].GlobalId),
            None,
            None,
            None,
            whole,
            parts,
        )

    # shapes ----------------------------------------------------------------------------------------------------------

    def rectangle(self, width: float, height: float) -> Any:
        """A rectangular outline about its own centre."""
        return self.file.create_entity("IfcRectangleProfileDef", "AREA", None, None, *self._n(width, height))

    def circle(self, diameter: float) -> Any:
        """A round outline about its own centre."""
        return self.file.create_entity("IfcCircleProfileDef", "AREA", None, None, *self._n(diameter / 2))

    def plate(
        self, corners: tuple[float, float, float, float], voids: Sequence[tuple[float, float, float, float]] = ()
    ) -> Any:
        """A rectangle from corner to corner with rectangular holes."""
        make = self.file.create_entity

        def ring(x0: float, y0: float, x1: float, y1: float) -> Any:
            points = [make("IfcCartesianPoint", self._n(x, y)) for x, y in ((x0, y0), (x1, y0), (x1, y1), (x0, y1))]
            return make("IfcPolyline", (*points, points[0]))

        if not voids:
            return make("IfcArbitraryClosedProfileDef", "AREA", None, ring(*corners))
        return make(
            "IfcArbitraryProfileDefWithVoids", "AREA", None, ring(*corners), tuple(ring(*hole) for hole in voids)
        )

    def _extrusion(self, profile: Any, depth: float) -> Any:
        make = self.file.create_entity
        solid = make("IfcExtrudedAreaSolid", profile, None, self._direction(0, 0, 1), *self._n(depth))
        shape = make("IfcShapeRepresentation", self._body, "Body", "SweptSolid", (solid,))
        return make("IfcProductDefinitionShape", None, None, (shape,))

    # products ------------------------------------------------------------------------------------------------------

    def element(
        self,
        kind: str,
        name: str,
        level: int,
        point: tuple[float, float, float],
        profile: Any,
        depth: float,
        axis: tuple[float, float, float] | None = None,
        side: tuple[float, float, float] | None = None,
    ) -> Any:
        """A product of a storey: `profile` at a point of the building (z over its zero), extruded along `axis`."""
        elevation, storey = self._levels[level]
        made = self.file.create_entity(kind, self._id(kind, name), None, name)
        local = (point[0], point[1], point[2] - elevation)
        made.ObjectPlacement = self._placement(storey.ObjectPlacement, local, axis, side)
        made.Representation = self._extrusion(profile, depth)
        self._contained.setdefault(level, []).append(made)
        return made

    def opening(
        self,
        name: str,
        host: Any,
        level: int,
        point: tuple[float, float, float],
        profile: Any,
        depth: float,
        axis: tuple[float, float, float],
        side: tuple[float, float, float],
    ) -> Any:
        """An opening element that voids its host."""
        elevation, storey = self._levels[level]
        make = self.file.create_entity
        made = make("IfcOpeningElement", self._id("opening", name), None, name, PredefinedType="OPENING")
        local = (point[0], point[1], point[2] - elevation)
        made.ObjectPlacement = self._placement(storey.ObjectPlacement, local, axis, side)
        made.Representation = self._extrusion(profile, depth)
        make("IfcRelVoidsElement", self._id("voids", name), None, None, None, host, made)
        return made

    def fills(self, opening: Any, filling: Any) -> None:
        """Say that an element fills an opening."""
        self.file.create_entity(
            "IfcRelFillsElement", self._id("fills", filling.GlobalId), None, None, None, opening, filling
        )

    def of_type(self, product: Any, kind: str, name: str, predefined: str, properties: Sequence[Any] = ()) -> Any:
        """Give a product its type, made when it is first asked for."""
        if name not in self._types:
            made = self.file.create_entity(kind, self._id(kind, name), None, name)
            made.PredefinedType = predefined
            if properties:
                made.HasPropertySets = tuple(properties)
            self._types[name] = made
        self._typed.setdefault(self._types[name], []).append(product)
        return self._types[name]

    def has_type(self, name: str) -> bool:
        """Whether a type of that name was made."""
        return name in self._types

    def property_set(self, owner: str, name: str, **values: object) -> Any:
        """A property set for a type; texts become labels, true and false booleans."""
        make = self.file.create_entity
        rows = []
        for key, value in values.items():
            wrapped = make("IfcBoolean", value) if isinstance(value, bool) else make("IfcLabel", str(value))
            rows.append(make("IfcPropertySingleValue", key, None, wrapped))
        return make("IfcPropertySet", self._id("set", owner, name), None, name, None, tuple(rows))

    def layers(self, owner: Any, name: str, layers: Sequence[tuple[str, float]], direction: str) -> None:
        """Give a type its layers of material."""
        make = self.file.create_entity
        parts = tuple(
            make("IfcMaterialLayer", make("IfcMaterial", material), *self._n(thickness))
            for material, thickness in layers
        )
        whole = make("IfcMaterialLayerSet", parts, name)
        make("IfcRelAssociatesMaterial", self._id("material", name), None, None, direction, (owner,), whole)

    def in_system(self, product: Any, name: str, kind: str) -> None:
        """Put a product into a distribution system, made when it is first asked for."""
        if name not in self._systems:
            made = self.file.create_entity("IfcDistributionSystem", self._id("system", name), None, name)
            made.PredefinedType = kind
            self._systems[name] = (made, [])
        self._systems[name][1].append(product)

    def port(
        self,
        product: Any,
        name: str,
        level: int,
        point: tuple[float, float, float],
        kind: str,
        flow: str = "SOURCEANDSINK",
    ) -> Any:
        """A port of a product at a point of the building; `flow` says whether air comes in or leaves there."""
        elevation, storey = self._levels[level]
        make = self.file.create_entity
        made = make("IfcDistributionPort", self._id("port", product.GlobalId, name), None, name)
        made.ObjectPlacement = self._placement(storey.ObjectPlacement, (point[0], point[1], point[2] - elevation))
        made.FlowDirection, made.PredefinedType = flow, kind
        make("IfcRelNests", self._id("nests", made.GlobalId), None, None, None, product, (made,))
        return made

    def connect(self, one: Any, other: Any) -> None:
        """Join two ports."""
        self.file.create_entity(
            "IfcRelConnectsPorts", self._id("connects", one.GlobalId, other.GlobalId), None, None, None, one, other
        )

    def write(self, path: Path) -> None:
        """Write the relations that were collected, and the file."""
        make = self.file.create_entity
        for level, products in sorted(self._contained.items()):
            storey = self._levels[level][1]
            make(
                "IfcRelContainedInSpatialStructure",
                self._id("contained", storey.Name),
                None,
                None,
                None,
                products,
                storey,
            )
        for kind, products in self._typed.items():
            make("IfcRelDefinesByType", self._id("typed", kind.Name), None, None, None, products, kind)
        for name, (system, products) in self._systems.items():
            make("IfcRelAssignsToGroup", self._id("group", name), None, None, None, products, None, system)
        path.parent.mkdir(parents=True, exist_ok=True)
        self.file.write(str(path))
