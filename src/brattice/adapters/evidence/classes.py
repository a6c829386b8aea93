# SPDX-License-Identifier: Apache-2.0
"""Whether the class text of an installation can be a class at all."""

from __future__ import annotations

from brattice.adapters.evidence.assemble import ClassCheck
from brattice.adapters.evidence.schema import InstallationModel
from brattice.building.words import Orientation
from brattice.classes import ClassSteps, Family, Mounting, read_class
from brattice.errors import ClassTextError
from brattice.evidence.installation import DamperKind

__all__ = ["class_check"]

_FAMILIES = {
    DamperKind.FIRE_DAMPER: Family.FIRE_DAMPER,
    DamperKind.SMOKE_CONTROL_DAMPER: Family.SMOKE_CONTROL_DAMPER,
}
_MOUNTINGS = {Orientation.WALL: Mounting.VE, Orientation.FLOOR: Mounting.HO}


def class_check(steps: ClassSteps) -> ClassCheck:
    """A check that a class can be read for its kind of damper, and holds for the orientation of the test."""

    def check(model: InstallationModel) -> tuple[str, str] | None:
        try:
            declared = read_class(model.class_text, _FAMILIES[model.kind], steps)
        except ClassTextError as error:
            at = f" at character {error.position + 1}"
            return repr(model.class_text), f"a class of a {model.kind}; {error.expected}{at}"
        stated = {mounting.plain for item in declared.classes for mounting in item.mountings}
        needed = _MOUNTINGS[model.orientation]
        if stated and needed not in stated:
            return repr(model.class_text), f"a class that holds in a {model.orientation} ({needed})"
        return None

    return check
