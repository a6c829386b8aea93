# SPDX-License-Identifier: Apache-2.0
"""What the models leave open, as questions that people can answer: one for each reason of the closed list."""

from __future__ import annotations

from collections.abc import Mapping

from brattice.building.place import PlaceQuery, QueryReason
from brattice.findings import Party
from brattice.usecases.merge import ModelQuery

__all__ = ["QUESTIONS", "question_of"]

QUESTIONS: Mapping[QueryReason, tuple[str, Party]] = {
    QueryReason.ENDS_INSIDE: ("Does the duct go on through the barrier?", Party.SERVICES_DESIGNER),
    QueryReason.CLIPS_EDGE: ("Does the duct pass through the barrier or past its edge?", Party.SERVICES_DESIGNER),
    QueryReason.ALONG: ("Is the duct meant to run in or along the barrier?", Party.SERVICES_DESIGNER),
    QueryReason.THROUGH_FILLED_OPENING: (
        "Is the duct really to pass where a door or window stands?",
        Party.SERVICES_DESIGNER,
    ),
    QueryReason.GAP_AT_WALL: ("Does the duct go on through the barrier?", Party.SERVICES_DESIGNER),
    QueryReason.UNTYPED: ("Is this element a duct?", Party.SERVICES_DESIGNER),
    QueryReason.PROXY: ("Is this element a duct?", Party.SERVICES_DESIGNER),
    QueryReason.NO_GEOMETRY: ("Where is this element, and what passes what there?", Party.SERVICES_DESIGNER),
    QueryReason.HOLE_IN_MESH: ("Is this hole the opening for the duct?", Party.ARCHITECT),
    QueryReason.NO_SLAB_MODELLED: ("Is there a floor where the duct passes?", Party.ARCHITECT),
    QueryReason.PASSES_OVER_OR_BESIDE: ("Does this rated wall run on to structure?", Party.ARCHITECT),
}
"""The question that settles each reason, and whom it goes to; the contract decides (trade handbook 5.4)."""


def question_of(query: PlaceQuery) -> ModelQuery:
    """The question, and what the model shows as a sentence."""
    question, ask = QUESTIONS[query.reason]
    shows = query.text[:1].upper() + query.text[1:]
    return ModelQuery(str(query.reason), question, shows if shows.endswith(".") else f"{shows}.", ask)
