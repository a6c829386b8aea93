# SPDX-License-Identifier: Apache-2.0
"""What an IFC file says about one product: type, properties, rating texts, layers, systems, storey, ports."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from brattice.adapters.ifc.placement import LengthUnit

__all__ = [
    "TEXT_LENGTH",
    "insulation_mm",
    "layer_set",
    "ports_of",
    "properties",
    "ratings",
    "stated_size",
    "storey_of",
    "systems_of",
    "text",
    "type_of",
]

TEXT_LENGTH = 1000
"""How long a text from a file may be [characters]; the rest is cut off."""

_RATING_NAMES = frozenset({"firerating", "fireresistance", "fireresistancerating"})
_INSULATION_NAMES = frozenset({"insulationthickness", "thicknessofinsulation"})
_LENGTH_MEASURES = frozenset({"IfcLengthMeasure", "IfcPositiveLengthMeasure", "IfcNonNegativeLengthMeasure"})


def text(value: Any) -> str:
    """A text from a file, bounded; "" for nothing."""
    if value is None:
        return ""
    return str(value)[:TEXT_LENGTH]


def type_of(product: Any) -> Any | None:
    """The type object of a product, or None."""
    for relation in getattr(product, "IsTypedBy", None) or ():
        return relation.RelatingType
    for relation in getattr(product, "IsDefinedBy", None) or ():
        if relation.is_a("IfcRelDefinesByType"):
            return relation.RelatingType
    return None


def _sets(product: Any, kind_type: Any | None) -> Iterator[tuple[str, Any]]:
    """The property sets on the occurrence, then those on the type, with the words for where they stand."""
    for relation in getattr(product, "IsDefinedBy", None) or ():
        if relation.is_a("IfcRelDefinesByProperties"):
            definition = relation.RelatingPropertyDefinition
            if definition is not None and definition.is_a("IfcPropertySet"):
                yield f"{text(definition.Name)}", definition
    for definition in (getattr(kind_type, "HasPropertySets", None) or ()) if kind_type is not None else ():
        if definition is not None and definition.is_a("IfcPropertySet"):
            yield f"{text(definition.Name)} on the type", definition


def properties(product: Any, kind_type: Any | None) -> list[tuple[str, str, Any, str]]:
    """All single values: (where, name, value, measure); sets that the file repeats are all there, in a fixed order."""
    out: list[tuple[str, str, Any, str]] = []
    for where, definition in _sets(product, kind_type):
        for prop in definition.HasProperties or ():
            if prop.is_a("IfcPropertySingleValue"):
                value = prop.NominalValue
                if value is not None:
                    out.append((where, text(prop.Name), value.wrappedValue, value.is_a()))
            elif prop.is_a("IfcPropertyEnumeratedValue"):
                values = [text(one.wrappedValue) for one in prop.EnumerationValues or ()]
                out.append((where, text(prop.Name), ", ".join(values), "IfcLabel"))
    return sorted(out, key=lambda row: (row[0].endswith("on the type"), row[0], row[1], str(row[2]), row[3]))


def _plain(name: str) -> str:
    return "".join(char for char in name.lower() if char.isalnum())


def ratings(rows: list[tuple[str, str, Any, str]]) -> list[tuple[str, str]]:
    """The fire rating texts among the properties: (text, where); blank ones say nothing and are left out."""
    found: list[tuple[str, str]] = []
    for where, name, value, _ in rows:
        said = text(value)
        if _plain(name) in _RATING_NAMES and said.strip():
            found.append((said, f"{where}, {name}"))
    own = [row for row in found if " on the type, " not in row[1]]
    return own or found


def stated_size(rows: list[tuple[str, str, Any, str]], unit: LengthUnit) -> tuple[float, ...]:
    """The size of a section that the properties state: (diameter,) or (width, height) [mm]; () for none."""
    lengths: dict[str, float] = {}
    for _, name, value, measure in rows:
        if measure in _LENGTH_MEASURES and isinstance(value, float | int) and float(value) > 0.0:
            lengths.setdefault(_plain(name), round(float(value) * unit.metres * 1000.0, 3))
    for names in (("diameter",), ("nominaldiameter",), ("width", "height"), ("nominalwidth", "nominalheight")):
        if all(name in lengths for name in names):
            return tuple(lengths[name] for name in names)
    return ()


def insulation_mm(rows: list[tuple[str, str, Any, str]], unit: LengthUnit) -> float | None:
    """The insulation thickness that the properties state [mm], or None."""
    for _, name, value, measure in rows:
        if _plain(name) in _INSULATION_NAMES and measure in _LENGTH_MEASURES and isinstance(value, float | int):
            return round(float(value) * unit.metres * 1000.0, 3)
    return None


def layer_set(product: Any, kind_type: Any | None, unit: LengthUnit) -> tuple[list[tuple[str, float]], str]:
    """The layers of the build-up ((material, thickness [mm]) …) and the axis they are stacked along."""
    for one in (product, kind_type):
        for relation in (getattr(one, "HasAssociations", None) or ()) if one is not None else ():
            if not relation.is_a("IfcRelAssociatesMaterial"):
                continue
            material = relation.RelatingMaterial
            axis = ""
            if material is not None and material.is_a("IfcMaterialLayerSetUsage"):
                axis = text(material.LayerSetDirection)
                material = material.ForLayerSet
            if material is not None and material.is_a("IfcMaterialLayerSet"):
                layers = []
                for layer in material.MaterialLayers or ():
                    name = text(layer.Material.Name) if layer.Material is not None else ""
                    layers.append((name, round(float(layer.LayerThickness) * unit.metres * 1000.0, 3)))
                return layers, axis
    return [], ""


def systems_of(product: Any) -> list[str]:
    """The names of the systems that a product is assigned to, sorted."""
    names = set()
    for relation in getattr(product, "HasAssignments", None) or ():
        if relation.is_a("IfcRelAssignsToGroup"):
            group = relation.RelatingGroup
            if group is not None and group.is_a("IfcSystem"):
                names.add(text(group.LongName if getattr(group, "LongName", None) and not group.Name else group.Name))
    return sorted(name for name in names if name)


def storey_of(product: Any) -> str:
    """The GlobalId of the storey that contains a product or the whole that it is a part of; "" for none."""
    step, seen = product, set()
    while step is not None and step.id() not in seen:
        seen.add(step.id())
        for relation in getattr(step, "ContainedInStructure", None) or ():
            place = relation.RelatingStructure
            inner: set[int] = set()
            while place is not None and place.id() not in inner:
                inner.add(place.id())
                if place.is_a("IfcBuildingStorey"):
                    return text(place.GlobalId)
                place = _whole(place)
        step = _whole(step)
    return ""


def _whole(part: Any) -> Any | None:
    for relation in getattr(part, "Decomposes", None) or ():
        return relation.RelatingObject
    return None


def ports_of(product: Any) -> list[Any]:
    """The ports of a product: nested in it, or connected to it in the older way; by number."""
    ports: dict[int, Any] = {}
    for relation in getattr(product, "IsNestedBy", None) or ():
        for part in relation.RelatedObjects:
            if part.is_a("IfcPort"):
                ports[part.id()] = part
    for relation in getattr(product, "HasPorts", None) or ():
        ports[relation.RelatingPort.id()] = relation.RelatingPort
    return [ports[number] for number in sorted(ports)]
