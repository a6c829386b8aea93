# SPDX-License-Identifier: Apache-2.0
"""The checks of this room."""

from __future__ import annotations

from brattice.findings import CodeSpec, Party

__all__ = ["CODES"]

CODES: tuple[CodeSpec, ...] = (
    CodeSpec(
        "framed-and-finished",
        "The framed opening less twice the lining is the finished clear opening.",
        Party.DRY_LINER,
    ),
    CodeSpec(
        "gap-and-opening",
        "The finished clear opening leaves the gaps that are stated round the damper.",
        Party.DRY_LINER,
    ),
    CodeSpec(
        "masonry-lining",
        "An opening in masonry or concrete has the lining of the test, and none where none was tested.",
        Party.DRY_LINER,
    ),
    CodeSpec(
        "geometry",
        "The shapes that are stated can be: no lining fills its opening, no gap is below nothing, no blade stands "
        "outside its casing.",
        Party.SERVICES_DESIGNER,
    ),
    CodeSpec(
        "support-in-fire",
        "The drop rods are no weaker than those of the test, and no calculation of stress or length rules them out.",
        Party.DUCTWORK_CONTRACTOR,
    ),
    CodeSpec(
        "fixing-spacing",
        "The fixings of the damper are no farther apart than those of the test.",
        Party.DUCTWORK_CONTRACTOR,
    ),
    CodeSpec(
        "expansion-travel",
        "The joint travels as far as the duct between its fixed points grows in the fire.",
        Party.DUCTWORK_CONTRACTOR,
    ),
    CodeSpec(
        "closing-under-flow",
        "Where the fan runs in a fire, the damper was shown to close under the velocity and pressure that it meets.",
        Party.SERVICES_DESIGNER,
    ),
    CodeSpec(
        "access-reach",
        "Door, working zone and hatch are as the maker asks, and no model shows anything in the zone that he asks for; "
        "a fixed ceiling has a hatch.",
        Party.DUCTWORK_CONTRACTOR,
    ),
    CodeSpec("opening-shape-and-size", "A round hole has a diameter, a rectangular one two sides.", Party.DRY_LINER),
)
