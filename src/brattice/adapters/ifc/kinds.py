# SPDX-License-Identifier: Apache-2.0
"""What an IFC product is to us: a barrier, a part of a service, an opening, an obstacle, or none of these.

IFC2X3 has no class for a duct segment's occurrence: there the class of its type says it.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from brattice.building.model import BarrierKind, Part
from brattice.building.words import Service

__all__ = ["Kind", "kind_of"]


@dataclass(frozen=True)
class Kind:
    """What a product is to us: exactly one of the four."""

    barrier: BarrierKind | None = None
    service: tuple[Service, Part] | None = None
    is_opening: bool = False
    is_obstacle: bool = False


_SERVICES: dict[str, tuple[Service, Part]] = {
    "IfcDuctSegment": (Service.DUCT, Part.SEGMENT),
    "IfcDuctFitting": (Service.DUCT, Part.FITTING),
    "IfcDuctSilencer": (Service.DUCT, Part.SEGMENT),
    "IfcDamper": (Service.DUCT, Part.DAMPER),
    "IfcAirTerminal": (Service.DUCT, Part.TERMINAL),
    "IfcAirTerminalBox": (Service.DUCT, Part.EQUIPMENT),
    "IfcFan": (Service.DUCT, Part.EQUIPMENT),
    "IfcAirToAirHeatRecovery": (Service.DUCT, Part.EQUIPMENT),
    "IfcUnitaryEquipment": (Service.DUCT, Part.EQUIPMENT),
    "IfcPipeSegment": (Service.PIPE, Part.SEGMENT),
    "IfcPipeFitting": (Service.PIPE, Part.FITTING),
    "IfcValve": (Service.PIPE, Part.FITTING),
    "IfcCableSegment": (Service.CABLE, Part.SEGMENT),
    "IfcCableFitting": (Service.CABLE, Part.FITTING),
    "IfcCableCarrierSegment": (Service.CABLE, Part.SEGMENT),
    "IfcCableCarrierFitting": (Service.CABLE, Part.FITTING),
}

_GENERIC_PARTS: dict[str, Part] = {
    "IfcFlowSegment": Part.SEGMENT,
    "IfcFlowFitting": Part.FITTING,
    "IfcFlowController": Part.FITTING,
    "IfcFlowTerminal": Part.TERMINAL,
    "IfcFlowTreatmentDevice": Part.EQUIPMENT,
    "IfcFlowMovingDevice": Part.EQUIPMENT,
    "IfcDistributionFlowElement": Part.SEGMENT,
    "IfcDistributionElement": Part.SEGMENT,
}

_NOT_THERE = (
    "IfcSpatialElement",
    "IfcSpatialStructureElement",
    "IfcPort",
    "IfcAnnotation",
    "IfcGrid",
    "IfcVirtualElement",
    "IfcFeatureElement",
    "IfcStructuralItem",
    "IfcStructuralActivity",
    "IfcPositioningElement",
    "IfcProxy",
)  # fmt: skip - names of one standard, one glance


def kind_of(product: Any, kind_type: Any | None) -> Kind:
    """What a product is to us, by its class and its type's class."""
    if _is(product, "IfcOpeningElement"):
        return Kind(is_opening=True)
    barrier = _barrier(product, kind_type)
    if barrier is not None:
        return Kind(barrier=barrier)
    service = _service(product, kind_type)
    if service is not None:
        return Kind(service=service)
    if product.is_a() == "IfcBuildingElementProxy":
        return Kind(service=(Service.UNKNOWN, Part.PROXY))
    if any(_is(product, name) for name in _NOT_THERE):
        return Kind()
    return Kind(is_obstacle=True)


def _is(product: Any, name: str) -> bool:
    return bool(product.is_a(name))


def _barrier(product: Any, kind_type: Any | None) -> BarrierKind | None:
    if _is(product, "IfcWall"):
        return BarrierKind.WALL
    if _is(product, "IfcRoof"):
        return BarrierKind.ROOF
    if _is(product, "IfcSlab"):
        said = {str(getattr(one, "PredefinedType", "") or "") for one in (product, kind_type) if one is not None}
        return BarrierKind.ROOF if "ROOF" in said else BarrierKind.FLOOR
    return None


def _service(product: Any, kind_type: Any | None) -> tuple[Service, Part] | None:
    named = product.is_a()
    if named not in _SERVICES and kind_type is not None:
        named = kind_type.is_a().removesuffix("Type")
    if named in _SERVICES:
        service, part = _SERVICES[named]
        said = {str(getattr(one, "PredefinedType", "") or "") for one in (product, kind_type) if one is not None}
        if part is Part.SEGMENT and "FLEXIBLESEGMENT" in said:
            part = Part.FLEXIBLE
        return service, part
    if product.is_a() in _GENERIC_PARTS and (kind_type is None or kind_type.is_a() in _untyped_types()):
        return Service.UNKNOWN, _GENERIC_PARTS[product.is_a()]
    return None


def _untyped_types() -> frozenset[str]:
    return frozenset({f"{name}Type" for name in _GENERIC_PARTS} | {"IfcTypeProduct", "IfcTypeObject"})
