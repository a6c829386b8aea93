# SPDX-License-Identifier: Apache-2.0
"""How finding codes are made from checks, and the checks of this room.

A finding code is the check that came out so, and how: `<check>-fails` (nothing named here cures it),
`<check>-change` (a named change cures it), `<check>-unknown` (a fact is missing), `<check>-note` (to be shown; nothing
is open). The table of checks is the sum of the tables of the rooms.
"""

from __future__ import annotations

from enum import StrEnum

from brattice.findings import CodeSpec, Party

__all__ = ["CELL", "CODES", "PRODUCT_FACTS", "Outcome", "finding_code"]

CELL = "cell"
"""The check that each cell of a row of a schedule was read."""

PRODUCT_FACTS = "product-facts"
"""The check that a product of which facts are stated is one that was tested."""


class Outcome(StrEnum):
    """The second half of a finding code."""

    FAILS = "fails"
    CHANGE = "change"
    UNKNOWN = "unknown"
    NOTE = "note"


def finding_code(check: str, outcome: Outcome) -> str:
    """The code of a finding: `finding_code("seal", Outcome.FAILS)` is `"seal-fails"`."""
    return f"{check}-{outcome}"


CODES: tuple[CodeSpec, ...] = (
    CodeSpec("requirement", "What the code asks here can be told from the facts.", Party.FIRE_ENGINEER),
    CodeSpec(
        "evidence-loaded",
        "A tested installation is loaded for the product that is scheduled.",
        Party.DAMPER_SUPPLIER,
    ),
    CodeSpec("schedule-row", "A schedule has a row for what the models show.", Party.SERVICES_DESIGNER),
    CodeSpec("wall-type-row", "The wall type that is named has a row in a wall-type sheet.", Party.ARCHITECT),
    CodeSpec("place", "The model shows for certain whether a duct passes the barrier here.", Party.SERVICES_DESIGNER),
    CodeSpec(
        "surveyed-place",
        "A mark on a plan says the same place as the other sources do.",
        Party.SERVICES_DESIGNER,
    ),
    CodeSpec("plan-reference", "The grid reference of a plan under a level fits its points.", Party.SERVICES_DESIGNER),
    CodeSpec("sources", "Model and schedule say the same.", Party.SERVICES_DESIGNER),
    CodeSpec(
        "damper-size",
        "The damper has the width and the height of its duct; one that is turned is rejected.",
        Party.SERVICES_DESIGNER,
    ),
    CodeSpec(
        "claimed-class",
        "The class that the schedule claims is no higher than the document declares for this installation.",
        Party.DAMPER_SUPPLIER,
    ),
    CodeSpec(
        "one-place",
        "No other row states the same storey, place, duct and barrier; asked where no model and no coordinates tell "
        "them apart.",
        Party.SERVICES_DESIGNER,
    ),
    CodeSpec(
        "opening-size",
        "Each framed or finished clear opening that is stated is larger than duct and damper.",
        Party.DRY_LINER,
    ),
    CodeSpec(
        "order-facts",
        "All that an order of the damper has to say is stated; else its line is held.",
        Party.SERVICES_DESIGNER,
    ),
    CodeSpec("model", "A model could be read without anything to say about it.", Party.SERVICES_DESIGNER),
    CodeSpec(
        "modelled-opening",
        "Where the models cut an opening for the duct, they cut it through every layer of the barrier.",
        Party.ARCHITECT,
    ),
    CodeSpec(
        "gap-sides",
        "Where the test tells left from right, it is known which of two uneven gaps is which.",
        Party.DUCTWORK_CONTRACTOR,
    ),
    CodeSpec("storey", "The storey by height is the storey that the model files the element under.", Party.ARCHITECT),
    CodeSpec(
        CELL,
        "Each cell of the schedule's row that is mapped was read for certain, or an answer states its fact.",
        Party.SERVICES_DESIGNER,
    ),
    CodeSpec("row", "Each row of a schedule is taken for a penetration; a note says of which it is not.", Party.CLIENT),
    CodeSpec("tie", "The schedule's row is tied to one place of the model, and the place to one row.", Party.CLIENT),
    CodeSpec("deviation", "A deviation was accepted by a named person on a document.", Party.BUILDING_CONTROL),
    CodeSpec("requirement-lowered", "An override lowers what is asked here.", Party.FIRE_ENGINEER),
    CodeSpec(
        "party-rule", "Each fact that the job file asks of a party of its own is one that is missing.", Party.CLIENT
    ),
    CodeSpec("job-name", "Each penetration, storey and wall type that the job file names is one of it.", Party.CLIENT),
    CodeSpec(
        "pin",
        "The installation that the project pins is among the evidence loaded, and of the product that is scheduled.",
        Party.DAMPER_SUPPLIER,
    ),
    CodeSpec(
        PRODUCT_FACTS,
        "Each product of which a maker states facts is named by a tested installation.",
        Party.DAMPER_SUPPLIER,
    ),
    CodeSpec(
        "product",
        "Maker and product of the damper are scheduled, or the project pins an installation.",
        Party.SERVICES_DESIGNER,
    ),
)
