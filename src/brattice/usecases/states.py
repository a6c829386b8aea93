# SPDX-License-Identifier: Apache-2.0
"""The closed list of states of a penetration: one table, used by every output and printed in the docs."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

__all__ = ["STATES", "PenetrationState", "StateSpec"]


class PenetrationState(StrEnum):
    """How a penetration stands; exactly one at a time."""

    WITHIN_SCOPE = "within scope"
    WITHIN_SCOPE_IF = "within scope if"
    OUTSIDE_SCOPE = "outside scope"
    NOT_ENOUGH_KNOWN = "not enough known"
    DEVIATION_ACCEPTED = "deviation accepted"
    PROTECTED_RUN_PROVEN = "protected run proven"
    NO_PROTECTION_NEEDED = "no protection needed"
    TO_BE_SETTLED = "to be settled"


@dataclass(frozen=True)
class StateSpec:
    """One line of the table of states: its meaning, whether something is open, and the mark that plans draw."""

    state: PenetrationState
    meaning: str
    open: bool
    mark: str


STATES: tuple[StateSpec, ...] = (
    StateSpec(
        PenetrationState.OUTSIDE_SCOPE,
        "The requirement is not met, or no tested installation of the scheduled product holds here; something has "
        "to be chosen, built or agreed otherwise.",
        True,
        "cross",
    ),
    StateSpec(
        PenetrationState.NOT_ENOUGH_KNOWN,
        "A fact is missing; nothing is known to be wrong, and nothing is passed.",
        True,
        "question",
    ),
    StateSpec(
        PenetrationState.WITHIN_SCOPE_IF,
        "A tested installation holds once the named changes are made; until then it does not.",
        True,
        "triangle",
    ),
    StateSpec(
        PenetrationState.TO_BE_SETTLED,
        "The model does not show for certain whether a duct passes the barrier here; somebody has to look.",
        True,
        "diamond",
    ),
    StateSpec(
        PenetrationState.DEVIATION_ACCEPTED,
        "Outside the tested scope or the requirement, accepted by a named person on a document; never counted as "
        "within scope.",
        False,
        "hexagon",
    ),
    StateSpec(
        PenetrationState.PROTECTED_RUN_PROVEN,
        "Protected by a fire-resisting enclosure or duct whose whole run is stated proven on a document.",
        False,
        "square",
    ),
    StateSpec(
        PenetrationState.WITHIN_SCOPE,
        "A tested installation holds in every check that was made; the maker's instructions and competent people "
        "still decide on site.",
        False,
        "circle",
    ),
    StateSpec(
        PenetrationState.NO_PROTECTION_NEEDED,
        "The barrier is stated not to be fire-separating, or to have no fire resistance.",
        False,
        "dot",
    ),
)
"""In the order in which they need attention."""
