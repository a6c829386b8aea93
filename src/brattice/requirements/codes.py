# SPDX-License-Identifier: Apache-2.0
"""The checks of this room: what is scheduled, held against what is asked."""

from __future__ import annotations

from brattice.findings import CodeSpec, Party

__all__ = [
    "ACCESS_DOOR",
    "BARRIER_INSULATION",
    "CODES",
    "DAMPER",
    "DAMPER_EXCLUDED",
    "DAMPER_IN_RUN",
    "FIREFIGHTING_SHAFT",
    "METHOD",
    "PLACING",
    "PROTECTED_RUN",
    "SCHEDULED_ACTUATION",
    "SCHEDULED_CLASS",
    "TRANSFER_GRILLE",
    "WALL_EVIDENCE",
]

METHOD = "method"
PROTECTED_RUN = "protected-run"
DAMPER = "damper"
DAMPER_EXCLUDED = "damper-excluded"
SCHEDULED_CLASS = "scheduled-class"
SCHEDULED_ACTUATION = "scheduled-actuation"
PLACING = "placing"
ACCESS_DOOR = "access-door"
TRANSFER_GRILLE = "transfer-grille"
FIREFIGHTING_SHAFT = "firefighting-shaft"
WALL_EVIDENCE = "wall-evidence"
BARRIER_INSULATION = "barrier-insulation"
DAMPER_IN_RUN = "damper-in-run"

CODES: tuple[CodeSpec, ...] = (
    CodeSpec(METHOD, "The protection method that is chosen may be used here.", Party.SERVICES_DESIGNER),
    CodeSpec(
        PROTECTED_RUN,
        "Where an enclosure or fire-resisting ductwork protects, the whole run is stated proven on a document.",
        Party.FIRE_ENGINEER,
    ),
    CodeSpec(DAMPER, "Where a damper protects, there is one.", Party.SERVICES_DESIGNER),
    CodeSpec(DAMPER_EXCLUDED, "Where no such damper may stand, there is none.", Party.SERVICES_DESIGNER),
    CodeSpec(
        SCHEDULED_CLASS,
        "The class that the schedule claims for the damper satisfies the class that is asked; the text alone, "
        "whatever the damper stands in.",
        Party.SERVICES_DESIGNER,
    ),
    CodeSpec(
        SCHEDULED_ACTUATION,
        "What makes the scheduled damper close is all that is asked; a test of its own, apart from the class.",
        Party.SERVICES_DESIGNER,
    ),
    CodeSpec(PLACING, "The damper is to sit within the thickness of the barrier.", Party.SERVICES_DESIGNER),
    CodeSpec(ACCESS_DOOR, "There is an access door to inspect, test and maintain the damper.", Party.SERVICES_DESIGNER),
    CodeSpec(TRANSFER_GRILLE, "No transfer grille stands in a stair enclosure that takes none.", Party.ARCHITECT),
    CodeSpec(FIREFIGHTING_SHAFT, "The firefighting shaft is rated as one.", Party.FIRE_ENGINEER),
    CodeSpec(
        BARRIER_INSULATION,
        "Where the fire strategy demands insulation of a damper, the barrier holds insulation too.",
        Party.FIRE_ENGINEER,
    ),
    CodeSpec(
        DAMPER_IN_RUN,
        "Where an enclosure or fire-resisting ductwork protects, no damper stands in the run that nobody judges.",
        Party.FIRE_ENGINEER,
    ),
    CodeSpec(WALL_EVIDENCE, "The barrier's rating rests on a standard that the guidance takes.", Party.FIRE_ENGINEER),
)
