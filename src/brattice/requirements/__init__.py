# SPDX-License-Identifier: Apache-2.0
"""What the code asks at a penetration, by jurisdiction, edition and date; every part with its rows."""

from brattice.requirements.asking import require
from brattice.requirements.codes import CODES
from brattice.requirements.requirement import (
    Demand,
    LoweredRequirement,
    MethodAnswer,
    Requirement,
    RequirementPart,
    Rules,
)
from brattice.requirements.scheduled import check_scheduled
from brattice.requirements.standing import editions

__all__ = [
    "CODES",
    "Demand",
    "LoweredRequirement",
    "MethodAnswer",
    "Requirement",
    "RequirementPart",
    "Rules",
    "check_scheduled",
    "editions",
    "require",
]
