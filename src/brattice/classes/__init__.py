# SPDX-License-Identifier: Apache-2.0
"""Fire classes as values: read, print, compare; the steps that exist come in as rows."""

from brattice.classes.barriers import insulation_minutes, integrity_minutes, read_barrier_class
from brattice.classes.meet import asking, capped_by_barrier, meet
from brattice.classes.order import ClassAnswer, Facet, Outcome, Shortfall, ShortfallKind, satisfies, why_not
from brattice.classes.reading import HOT_BESIDE_E300, OUTSIDE_TABLE, family_of, read_class
from brattice.classes.steps import ClassSteps
from brattice.classes.values import (
    MODULATING,
    Activation,
    BarrierClass,
    ClassNote,
    Compartments,
    DamperClass,
    Declaration,
    DuctClass,
    Family,
    FireClass,
    FireSide,
    Heat,
    Mounting,
    Pressure,
    SmokeDamperClass,
    canonical,
)

__all__ = [
    "HOT_BESIDE_E300",
    "MODULATING",
    "OUTSIDE_TABLE",
    "Activation",
    "BarrierClass",
    "ClassAnswer",
    "ClassNote",
    "ClassSteps",
    "Compartments",
    "DamperClass",
    "Declaration",
    "DuctClass",
    "Facet",
    "Family",
    "FireClass",
    "FireSide",
    "Heat",
    "Mounting",
    "Outcome",
    "Pressure",
    "Shortfall",
    "ShortfallKind",
    "SmokeDamperClass",
    "asking",
    "canonical",
    "capped_by_barrier",
    "family_of",
    "insulation_minutes",
    "integrity_minutes",
    "meet",
    "read_barrier_class",
    "read_class",
    "satisfies",
    "why_not",
]
