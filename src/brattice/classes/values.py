# SPDX-License-Identifier: Apache-2.0
"""Fire classes as frozen values, and their one canonical text.

A facet that a text does not state is an empty set or None: as a declaration it tells nothing, as a requirement it
asks nothing. A class has no order operators, since most pairs can't be compared; see `order.satisfies`.

`minutes` is what counts. Where a text states a time outside the class table (E 180 of a fire damper), `minutes`
holds what is credited and `stated_minutes` what the text says.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from functools import cached_property
from typing import ClassVar, Final, Literal

from brattice.errors import OwnFault

__all__ = [
    "MODULATING",
    "Activation",
    "BarrierClass",
    "ClassNote",
    "Compartments",
    "Cycles",
    "DamperClass",
    "Declaration",
    "DuctClass",
    "Family",
    "FireClass",
    "FireSide",
    "Heat",
    "Mounting",
    "Pressure",
    "SmokeDamperClass",
    "canonical",
]

MODULATING: Final = "mod"
"""The cycle class of smoke control dampers that modulate (Cmod)."""

Cycles = int | Literal["mod"]


class Family(StrEnum):
    """What a class is about. Families can't be compared with one another."""

    FIRE_DAMPER = "fire damper"
    SMOKE_CONTROL_DAMPER = "smoke control damper"
    DUCT = "duct"
    BARRIER = "barrier"


class Mounting(StrEnum):
    """Orientation, and for smoke control dampers where they are mounted.

    For dampers "ve" and "ho" tell how the separating element stands (ve: in a wall, ho: in a floor), for ducts how
    the duct runs (ho: a horizontal duct). "d" is mounted on a duct, "w" on a wall; without either the place of
    mounting is not stated.
    """

    VE = "ve"
    VE_ON_DUCT = "ved"
    VE_ON_WALL = "vew"
    HO = "ho"
    HO_ON_DUCT = "hod"
    HO_ON_WALL = "how"

    @property
    def plain(self) -> Mounting:
        """The orientation alone."""
        return Mounting(self.value[:2])

    @property
    def is_plain(self) -> bool:
        """Whether no place of mounting is stated."""
        return len(self.value) == 2


class FireSide(StrEnum):
    """From which side the fire was: from inside the duct or, in a single direction, from the inner side outwards."""

    IN_TO_OUT = "i→o"
    OUT_TO_IN = "o→i"


class Compartments(StrEnum):
    """Whether a smoke control damper serves one compartment or several."""

    SINGLE = "single"
    MULTI = "multi"


class Activation(StrEnum):
    """How a smoke control damper is set going: automatically, or also by hand after a time of heating."""

    AUTOMATIC = "AA"
    MANUAL = "MA"


class Heat(StrEnum):
    """What a barrier holds beside integrity against the heat on its other side; each holds the ones before it."""

    NONE = ""
    RADIATION = "W"
    INSULATION = "I"

    @property
    def rank(self) -> int:
        """0, 1, 2 in the order of strength."""
        return tuple(Heat).index(self)


@dataclass(frozen=True)
class Pressure:
    """The under-pressure a class stands for [Pa]; the basic level is the one that no text needs to state."""

    pa: int
    is_basic: bool


@dataclass(frozen=True)
class DamperClass:
    """One class of a fire damper (EN 13501-3): E or EI, a time, and what the text adds."""

    insulated: bool
    minutes: int
    pressure: Pressure
    smoke: bool = False
    mountings: frozenset[Mounting] = frozenset()
    sides: frozenset[FireSide] = frozenset()
    cycles: int | None = None
    stated_minutes: int | None = None

    family: ClassVar[Family] = Family.FIRE_DAMPER

    def __str__(self) -> str:
        return self._text

    @property
    def asked_minutes(self) -> int:
        """The time that the text says, which is what it asks when it is a requirement [min]."""
        return self.minutes if self.stated_minutes is None else self.stated_minutes

    @cached_property
    def _text(self) -> str:
        parts = [_head(self.insulated, self.asked_minutes), *_bracket(self.mountings, self.sides)]
        parts += ["S"] if self.smoke else []
        text = " ".join(parts)
        if self.cycles is not None:
            text += f", {_grouped(self.cycles)}"
        return text if self.pressure.is_basic else f"{text} ({self.pressure.pa} Pa)"


@dataclass(frozen=True)
class DuctClass:
    """One class of a fire-resisting ventilation duct (EN 13501-3): E or EI, a time, and what the text adds."""

    insulated: bool
    minutes: int
    pressure: Pressure
    smoke: bool = False
    mountings: frozenset[Mounting] = frozenset()
    sides: frozenset[FireSide] = frozenset()

    family: ClassVar[Family] = Family.DUCT

    def __str__(self) -> str:
        return self._text

    @property
    def asked_minutes(self) -> int:
        """The time it asks when it is a requirement [min]."""
        return self.minutes

    @cached_property
    def _text(self) -> str:
        parts = [_head(self.insulated, self.minutes), *_bracket(self.mountings, self.sides)]
        parts += ["S"] if self.smoke else []
        parts += [] if self.pressure.is_basic else [f"({self.pressure.pa} Pa)"]
        return " ".join(parts)


@dataclass(frozen=True)
class SmokeDamperClass:
    """One class of a smoke control damper (EN 13501-4).

    `temperature_c` is that of an E300 or E600 class; None is the standard curve. `hot` is the mark HOT as
    temperature and time; `hot_credited` is False where it stands beside a class that it does not go with.
    """

    insulated: bool
    minutes: int
    temperature_c: int | None = None
    smoke: bool = False
    mountings: frozenset[Mounting] = frozenset()
    sides: frozenset[FireSide] = frozenset()
    pressure_pa: int | None = None
    cycles: Cycles | None = None
    hot: tuple[int, int] | None = None
    activations: frozenset[Activation] = frozenset()
    compartments: Compartments | None = None
    hot_credited: bool = True

    family: ClassVar[Family] = Family.SMOKE_CONTROL_DAMPER

    def __str__(self) -> str:
        return self._text

    def __post_init__(self) -> None:
        if any(not item.is_plain and item.plain in self.mountings for item in self.mountings):
            raise OwnFault("a class states an orientation both with and without the place of mounting")

    @property
    def asked_minutes(self) -> int:
        """The time it asks when it is a requirement [min]."""
        return self.minutes

    @cached_property
    def _text(self) -> str:
        subscript = "" if self.temperature_c is None else str(self.temperature_c)
        parts = [_head(self.insulated, self.minutes, subscript), *_bracket(self.mountings, self.sides)]
        parts += ["S"] if self.smoke else []
        parts += [] if self.pressure_pa is None else [str(self.pressure_pa)]
        parts += [] if self.cycles is None else [f"C{self.cycles}"]
        parts += [] if self.hot is None else [f"HOT {self.hot[0]}/{self.hot[1]}"]
        parts += [item.value for item in Activation if item in self.activations]
        parts += [] if self.compartments is None else [self.compartments.value]
        return " ".join(parts)


@dataclass(frozen=True)
class BarrierClass:
    """One class of a wall, partition or floor (EN 13501-2) that separates: E, EW, EI, with R and M where held."""

    loadbearing: bool
    heat: Heat
    minutes: int
    impact: bool = False
    sides: frozenset[FireSide] = frozenset()

    family: ClassVar[Family] = Family.BARRIER

    def __str__(self) -> str:
        return self._text

    def __post_init__(self) -> None:
        if self.impact and self.heat is not Heat.INSULATION:
            raise OwnFault("M stands with EI and REI alone")

    @property
    def insulated(self) -> bool:
        """Whether it holds insulation."""
        return self.heat is Heat.INSULATION

    @property
    def mountings(self) -> frozenset[Mounting]:
        """A barrier's class states no orientation: the barrier itself stands as it stands."""
        return frozenset()

    @property
    def asked_minutes(self) -> int:
        """The time it asks when it is a requirement [min]."""
        return self.minutes

    @cached_property
    def _text(self) -> str:
        letters = ("R" if self.loadbearing else "") + "E" + self.heat.value + ("-M" if self.impact else "")
        return " ".join([f"{letters} {self.minutes}", *_bracket(frozenset(), self.sides)])


FireClass = DamperClass | DuctClass | SmokeDamperClass | BarrierClass


@dataclass(frozen=True, order=True)
class ClassNote:
    """Something to be shown beside a class that could be read: its code and text."""

    code: str
    text: str


@dataclass(frozen=True)
class Declaration:
    """A set of classes of one family, every one of which holds (or, as a requirement, is asked).

    `classes` are distinct and sorted; equality is that of the stated classes, not of what they are worth.
    """

    family: Family
    classes: tuple[FireClass, ...]
    notes: tuple[ClassNote, ...] = ()

    def __str__(self) -> str:
        return self._text

    def __post_init__(self) -> None:
        if not self.classes:
            raise OwnFault("a declaration without a class")
        if any(item.family is not self.family for item in self.classes):
            raise OwnFault("a declaration of two families")
        kept = {str(item): item for item in self.classes}
        ordered = sorted(kept.values(), key=lambda item: (-item.insulated, -item.asked_minutes, str(item)))
        object.__setattr__(self, "classes", tuple(ordered))

    @cached_property
    def _text(self) -> str:
        return " / ".join(str(item) for item in self.classes)


def canonical(declared: Declaration | FireClass) -> str:
    """The one text that stands for a class or a set of classes; reading it again gives an equal value."""
    return str(declared)


def _head(insulated: bool, minutes: int, subscript: str = "") -> str:
    return f"{'EI' if insulated else 'E'}{subscript} {minutes}"


def _bracket(mountings: frozenset[Mounting], sides: frozenset[FireSide]) -> list[str]:
    words = []
    for plain in (Mounting.VE, Mounting.HO):
        places = "".join(item.value[2:] for item in Mounting if item.plain is plain and item in mountings)
        if any(item.plain is plain for item in mountings):
            words.append(plain.value + places)
    if sides:
        words.append("i↔o" if len(sides) == len(FireSide) else next(iter(sides)).value)
    return [f"({' '.join(words)})"] if words else []


def _grouped(number: int) -> str:
    return f"{number:,}".replace(",", " ")
