# SPDX-License-Identifier: Apache-2.0
"""The dampers that the models hold, wherever they stand: also those that no place of a duct through a barrier has."""

from __future__ import annotations

from dataclasses import dataclass

from brattice.building.model import Part, ServiceElement
from brattice.building.penetration import Size
from brattice.building.place import BuildingModel
from brattice.quantities import Mm

__all__ = ["ModelledDamper", "modelled_dampers"]

_CLASS_NAMES = frozenset({"fireresistancerating", "firerating"})
_FOR_FIRE = frozenset({"FIREDAMPER", "FIRESMOKEDAMPER", "SMOKEDAMPER"})
_FOR_OTHER = frozenset(
    {
        "BACKDRAFTDAMPER",
        "BALANCINGDAMPER",
        "BLASTDAMPER",
        "CONTROLDAMPER",
        "FUMEHOODEXHAUST",
        "GRAVITYDAMPER",
        "GRAVITYRELIEFDAMPER",
        "RELIEFDAMPER",
    }
)
"""The kinds of damper of the open model standard (IfcDamperTypeEnum) that are none against fire or smoke."""


@dataclass(frozen=True, order=True)
class ModelledDamper:
    """One damper of a model: GlobalId, file, name, type, predefined kind, storey it is filed under; "" for nothing.

    `size` is what its properties state [mm], `class_text` their text of its fire class.
    """

    guid: str
    file: str = "models"
    name: str = ""
    type_name: str = ""
    predefined: str = ""
    storey: str = ""
    size: Size | None = None
    class_text: str = ""

    @property
    def is_of_other_kind(self) -> bool:
        """Whether the model says for certain that it is no damper against fire or smoke."""
        return self.predefined.upper() in _FOR_OTHER

    @property
    def is_for_fire(self) -> bool:
        """Whether the model says that it is a damper against fire or smoke."""
        return self.predefined.upper() in _FOR_FIRE


def _size(stated: tuple[float, ...]) -> Size | None:
    if not stated:
        return None
    return Size(Mm(stated[0]), Mm(stated[1]) if len(stated) > 1 else None)


def _class_text(damper: ServiceElement) -> str:
    found = (
        item.text.strip()
        for item in damper.properties
        if "".join(filter(str.isalnum, item.name)).casefold() in _CLASS_NAMES
    )
    return next(filter(None, found), "")


def modelled_dampers(model: BuildingModel) -> tuple[ModelledDamper, ...]:
    """Every damper of the models, by GlobalId; the order of files and elements changes nothing."""
    storeys = {guid: storey.name for storey in model.storeys for guid in storey.guids}
    found = (
        ModelledDamper(
            item.guid,
            item.ref.file,
            item.name,
            item.type_name,
            item.predefined,
            storeys.get(item.storey, ""),
            _size(item.stated_size),
            _class_text(item),
        )
        for item in model.services
        if item.part is Part.DAMPER
    )
    return tuple(sorted(found, key=lambda item: (item.guid, item.file)))
