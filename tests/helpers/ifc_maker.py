# SPDX-License-Identifier: Apache-2.0
"""Small IFC buildings made for tests: walls, slabs, ducts, dampers, openings at places that are known by hand.

All lengths are given in millimetres in the building's own axes; the maker writes them in the file's unit and puts
the whole site where the test wants it (shifted, turned). GlobalIds are made from names, so a test can name them.
"""

from __future__ import annotations

import hashlib
import math
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import ifcopenshell
import ifcopenshell.guid

Vec = tuple[float, float, float]

UNITS = {"mm": 0.001, "m": 1.0, "inch": 0.0254, "foot": 0.3048}


def guid(name: str) -> str:
    """The GlobalId that the maker gives to a name."""
    return str(ifcopenshell.guid.compress(hashlib.sha256(name.encode("utf-8", "replace")).hexdigest()[:32]))


class Maker:
    """Makes one model file."""

    def __init__(
        self, schema: str = "IFC4", unit: str = "mm", shift_m: Vec = (0.0, 0.0, 0.0), turn_deg: float = 0.0
    ) -> None:
        self.file: Any = ifcopenshell.file(schema=schema)
        self.schema = schema
        self._scale = 0.001 / UNITS[unit]
        self._storeys: dict[str, Any] = {}
        self._inside: dict[str, list[Any]] = {}
        context = self._make(
            "IfcGeometricRepresentationContext",
            ContextType="Model",
            CoordinateSpaceDimension=3,
            Precision=1e-6,
            WorldCoordinateSystem=self._axes((0.0, 0.0, 0.0)),
        )
        self._body = context
        self.project = self._make(
            "IfcProject",
            GlobalId=guid("project"),
            Name="Invented building",
            RepresentationContexts=[context],
            UnitsInContext=self._units(unit),
        )
        turn = math.radians(turn_deg)
        place = self._placement(tuple(1000.0 * part for part in shift_m), x=(math.cos(turn), math.sin(turn), 0.0))
        self.site = self._make("IfcSite", GlobalId=guid("site"), Name="Site", ObjectPlacement=place)
        self.building = self._make(
            "IfcBuilding", GlobalId=guid("building"), Name="Building", ObjectPlacement=self._placement((0, 0, 0), place)
        )
        self._aggregate(self.project, [self.site])
        self._aggregate(self.site, [self.building])

    # -- things ------------------------------------------------------------------------------------------------

    def storey(self, name: str, level_mm: float) -> Any:
        """A storey at a level."""
        storey = self._make(
            "IfcBuildingStorey",
            GlobalId=guid(f"storey {name}"),
            Name=name,
            Elevation=level_mm * self._scale,
            ObjectPlacement=self._placement((0.0, 0.0, level_mm), self.building.ObjectPlacement),
        )
        self._storeys[name] = storey
        self._inside[name] = []
        self._aggregate(self.building, [storey])
        return storey

    def box(self, cls: str, name: str, low: Vec, high: Vec, storey: str = "", **attributes: Any) -> Any:
        """A box of any class between two corners."""
        solid = self._extruded(
            self._rectangle(high[0] - low[0], high[1] - low[1]),
            ((low[0] + high[0]) / 2.0, (low[1] + high[1]) / 2.0, low[2]),
            (0.0, 0.0, 1.0),
            (1.0, 0.0, 0.0),
            high[2] - low[2],
        )
        return self._product(cls, name, [solid], storey, attributes)

    def wall(self, name: str, low: Vec, high: Vec, storey: str = "", rating: str | None = None, **more: Any) -> Any:
        """A wall as a box."""
        wall = self.box("IfcWall", name, low, high, storey, **more)
        if rating is not None:
            self.property(wall, "Pset_WallCommon", "FireRating", "IfcLabel", rating)
        return wall

    def slab(self, name: str, low: Vec, high: Vec, storey: str = "", rating: str | None = None) -> Any:
        """A floor slab as a box."""
        slab = self.box("IfcSlab", name, low, high, storey, PredefinedType="FLOOR")
        if rating is not None:
            self.property(slab, "Pset_SlabCommon", "FireRating", "IfcLabel", rating)
        return slab

    def sheet(
        self,
        cls: str,
        name: str,
        outline: Sequence[tuple[float, float]],
        holes: Sequence[Sequence[tuple[float, float]]],
        y_low: float,
        y_high: float,
        **attributes: Any,
    ) -> Any:  # fmt: skip - one glance
        """A wall by its elevation: an outline in (x, z) with holes, extruded along y."""
        curve = self._polyline([*outline, outline[0]])
        inner = [self._polyline([*hole, hole[0]]) for hole in holes]
        kind = "IfcArbitraryProfileDefWithVoids" if inner else "IfcArbitraryClosedProfileDef"
        extra = {"InnerCurves": inner} if inner else {}
        profile = self._make(kind, ProfileType="AREA", OuterCurve=curve, **extra)
        solid = self._extruded(profile, (0.0, y_high, 0.0), (0.0, -1.0, 0.0), (1.0, 0.0, 0.0), y_high - y_low)
        return self._product(cls, name, [solid], "", attributes)

    def duct(
        self,
        name: str,
        start: Vec,
        end: Vec,
        size: tuple[float, ...],
        storey: str = "",
        cls: str = "IfcDuctSegment",
        up: Vec = (0.0, 0.0, 1.0),
        ports: bool = True,
        upwards: bool = False,
        flows: bool = False,
        **attributes: Any,
    ) -> Any:
        """A straight duct: `size` is (diameter,) or (width, height), the height along `up`.

        With `flows` its ports say that the air flows from start to end. With `upwards` a level rectangular one is drawn
        as its plan extruded upwards, as some programs do.
        """
        along = tuple(b - a for a, b in zip(start, end, strict=True))
        length = math.sqrt(sum(part * part for part in along))
        direction = tuple(part / length for part in along)
        if upwards:
            low = tuple(
                min(a, b) - (0.0 if abs(d) > 0.5 else size[0] / 2.0)
                for a, b, d in zip(start, end, direction, strict=True)
            )
            high = tuple(
                max(a, b) + (0.0 if abs(d) > 0.5 else size[0] / 2.0)
                for a, b, d in zip(start, end, direction, strict=True)
            )
            z = start[2]
            solid = self._extruded(
                self._rectangle(high[0] - low[0], high[1] - low[1]),
                ((low[0] + high[0]) / 2.0, (low[1] + high[1]) / 2.0, z - size[1] / 2.0),
                (0.0, 0.0, 1.0), (1.0, 0.0, 0.0), size[1],
            )  # fmt: skip
        else:
            x = _cross(up, direction)
            norm = math.sqrt(sum(part * part for part in x))
            x = (1.0, 0.0, 0.0) if norm < 1e-9 else tuple(part / norm for part in x)
            if len(size) == 1:
                profile = self._make("IfcCircleProfileDef", ProfileType="AREA", Radius=size[0] / 2.0 * self._scale)
                if self.schema == "IFC2X3":
                    profile.Position = self._make(
                        "IfcAxis2Placement2D", Location=self._make("IfcCartesianPoint", Coordinates=(0.0, 0.0))
                    )
            else:
                profile = self._rectangle(size[0], size[1])
            solid = self._extruded(profile, start, direction, x, length)
        element = self._product(cls, name, [solid], storey, attributes)
        if ports:
            inlet, outlet = self.port(f"{name} start", element, start), self.port(f"{name} end", element, end)
            if flows:
                inlet.FlowDirection, outlet.FlowDirection = "SINK", "SOURCE"
        return element

    def port(self, name: str, element: Any, place: Vec) -> Any:
        """A port of an element at a place."""
        port = self._make(
            "IfcDistributionPort",
            GlobalId=guid(f"port {name}"),
            Name=name,
            ObjectPlacement=self._placement(place, self.building.ObjectPlacement),
        )
        if self.schema == "IFC2X3":
            self._make(
                "IfcRelConnectsPortToElement",
                GlobalId=guid(f"port of {name}"),
                RelatingPort=port,
                RelatedElement=element,
            )
        else:
            self._make("IfcRelNests", GlobalId=guid(f"nest {name}"), RelatingObject=element, RelatedObjects=[port])
        return port

    def join(self, one: str, other: str) -> None:
        """Connect two ports by their names ("duct a end", "duct b start")."""
        ports = {port.Name: port for port in self.file.by_type("IfcDistributionPort")}
        self._make(
            "IfcRelConnectsPorts",
            GlobalId=guid(f"join {one} {other}"),
            RelatingPort=ports[one],
            RelatedPort=ports[other],
        )

    def opening(self, name: str, host: Any, low: Vec, high: Vec) -> Any:
        """A box-shaped opening in a wall or slab."""
        opening = self.box("IfcOpeningElement", name, low, high)
        self._make(
            "IfcRelVoidsElement",
            GlobalId=guid(f"void {name}"),
            RelatingBuildingElement=host,
            RelatedOpeningElement=opening,
        )
        return opening

    def fill(self, opening: Any, element: Any) -> None:
        """Say that an element fills an opening."""
        self._make(
            "IfcRelFillsElement",
            GlobalId=guid(f"fill {element.Name}"),
            RelatingOpeningElement=opening,
            RelatedBuildingElement=element,
        )

    def typed(self, cls: str, name: str, elements: Sequence[Any], **attributes: Any) -> Any:
        """Give elements a type of a class."""
        kind = self._make(cls, GlobalId=guid(f"type {name}"), Name=name, **attributes)
        self._make(
            "IfcRelDefinesByType",
            GlobalId=guid(f"typed {name}"),
            RelatedObjects=list(elements),
            RelatingType=kind,
        )
        return kind

    def property(self, element: Any, pset: str, name: str, measure: str, value: Any) -> None:
        """Give an element (or a type) one property."""
        if measure in {"IfcLengthMeasure", "IfcPositiveLengthMeasure"}:
            value = value * self._scale
        single = self._make("IfcPropertySingleValue", Name=name, NominalValue=self.file.create_entity(measure, value))
        held = self._make(
            "IfcPropertySet",
            GlobalId=guid(f"{element.GlobalId} {pset} {name} {value}"),
            Name=pset,
            HasProperties=[single],
        )
        if element.is_a("IfcTypeObject"):
            element.HasPropertySets = [*(element.HasPropertySets or ()), held]
        else:
            self._make(
                "IfcRelDefinesByProperties",
                GlobalId=guid(f"has {element.GlobalId} {pset} {name} {value}"),
                RelatedObjects=[element],
                RelatingPropertyDefinition=held,
            )

    def system(self, name: str, elements: Sequence[Any]) -> None:
        """Put elements into a system."""
        system = self._make("IfcSystem", GlobalId=guid(f"system {name}"), Name=name)
        self._make(
            "IfcRelAssignsToGroup",
            GlobalId=guid(f"in system {name}"),
            RelatedObjects=list(elements),
            RelatingGroup=system,
        )

    def layers(self, element: Any, layers: Sequence[tuple[str, float]], axis: str = "AXIS2") -> None:
        """Give an element a layered build-up."""
        made = [
            self._make(
                "IfcMaterialLayer",
                Material=self._make("IfcMaterial", Name=material),
                LayerThickness=thickness * self._scale,
            )
            for material, thickness in layers
        ]
        usage = self._make(
            "IfcMaterialLayerSetUsage",
            ForLayerSet=self._make("IfcMaterialLayerSet", MaterialLayers=made),
            LayerSetDirection=axis,
            DirectionSense="POSITIVE",
            OffsetFromReferenceLine=0.0,
        )
        self._make(
            "IfcRelAssociatesMaterial",
            GlobalId=guid(f"material {element.GlobalId}"),
            RelatedObjects=[element],
            RelatingMaterial=usage,
        )

    def save(self, path: Path) -> str:
        """Write the file; gives its path as text."""
        for name, elements in self._inside.items():
            if elements:
                self._make(
                    "IfcRelContainedInSpatialStructure",
                    GlobalId=guid(f"inside {name}"),
                    RelatedElements=elements,
                    RelatingStructure=self._storeys[name],
                )
        self.file.write(str(path))
        return str(path)

    # -- parts -------------------------------------------------------------------------------------------------

    def _make(self, cls: str, **attributes: Any) -> Any:
        if self.schema == "IFC2X3" and "GlobalId" in attributes:
            attributes.setdefault("OwnerHistory", self._owner())
        return self.file.create_entity(cls, **attributes)

    def _owner(self) -> Any:
        found = self.file.by_type("IfcOwnerHistory")
        if found:
            return found[0]
        person = self.file.create_entity("IfcPerson", FamilyName="Invented")
        organization = self.file.create_entity("IfcOrganization", Name="Invented")
        both = self.file.create_entity("IfcPersonAndOrganization", person, organization)
        program = self.file.create_entity("IfcApplication", organization, "1", "Tests", "tests")
        return self.file.create_entity("IfcOwnerHistory", both, program, None, "ADDED", None, None, None, 0)

    def _units(self, unit: str) -> Any:
        angle = self.file.create_entity("IfcSIUnit", None, "PLANEANGLEUNIT", None, "RADIAN")
        metre = self.file.create_entity("IfcSIUnit", None, "LENGTHUNIT", "MILLI" if unit == "mm" else None, "METRE")
        length = metre
        if unit in {"inch", "foot"}:
            factor = self.file.create_entity(
                "IfcMeasureWithUnit", self.file.create_entity("IfcLengthMeasure", UNITS[unit]), metre
            )
            powers = self.file.create_entity("IfcDimensionalExponents", 1, 0, 0, 0, 0, 0, 0)
            length = self.file.create_entity("IfcConversionBasedUnit", powers, "LENGTHUNIT", unit.upper(), factor)
        return self.file.create_entity("IfcUnitAssignment", [length, angle])

    def _point(self, place: Sequence[float]) -> Any:
        return self.file.create_entity("IfcCartesianPoint", tuple(float(part) * self._scale for part in place))

    def _direction(self, parts: Sequence[float]) -> Any:
        return self.file.create_entity("IfcDirection", tuple(float(part) for part in parts))

    def _axes(self, place: Sequence[float], z: Vec = (0.0, 0.0, 1.0), x: Sequence[float] = (1.0, 0.0, 0.0)) -> Any:
        return self.file.create_entity(
            "IfcAxis2Placement3D", self._point(place), self._direction(z), self._direction(x)
        )

    def _placement(self, place: Sequence[float], above: Any = None, x: Sequence[float] = (1.0, 0.0, 0.0)) -> Any:
        return self.file.create_entity("IfcLocalPlacement", above, self._axes(place, x=x))

    def _rectangle(self, width: float, depth: float) -> Any:
        flat = self.file.create_entity("IfcAxis2Placement2D", self.file.create_entity("IfcCartesianPoint", (0.0, 0.0)))
        return self.file.create_entity(
            "IfcRectangleProfileDef", "AREA", None, flat, width * self._scale, depth * self._scale
        )

    def _polyline(self, points: Sequence[tuple[float, float]]) -> Any:
        return self.file.create_entity("IfcPolyline", [self._point(point) for point in points])

    def _extruded(self, profile: Any, place: Sequence[float], z: Any, x: Any, depth: float) -> Any:
        return self.file.create_entity(
            "IfcExtrudedAreaSolid",
            profile,
            self._axes(place, z, x),
            self._direction((0.0, 0.0, 1.0)),
            depth * self._scale,
        )

    def _product(self, cls: str, name: str, solids: list[Any], storey: str, attributes: dict[str, Any]) -> Any:
        shape = None
        if solids:
            shape = self.file.create_entity(
                "IfcProductDefinitionShape",
                None,
                None,
                [self.file.create_entity("IfcShapeRepresentation", self._body, "Body", "SweptSolid", solids)],
            )
        attributes.setdefault("GlobalId", guid(name))
        product = self._make(
            cls,
            Name=name,
            ObjectPlacement=self._placement((0.0, 0.0, 0.0), self.building.ObjectPlacement),
            Representation=shape,
            **attributes,
        )
        if storey:
            self._inside[storey].append(product)
        return product

    def without_shape(self, cls: str, name: str, storey: str = "") -> Any:
        """A product that has no shape at all."""
        return self._product(cls, name, [], storey, {})

    def _aggregate(self, whole: Any, parts: list[Any]) -> None:
        self._make(
            "IfcRelAggregates",
            GlobalId=guid(f"whole {whole.GlobalId} {parts[0].GlobalId}"),
            RelatingObject=whole,
            RelatedObjects=parts,
        )


def _cross(a: Sequence[float], b: Sequence[float]) -> tuple[float, ...]:
    return (a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0])
