# SPDX-License-Identifier: Apache-2.0
"""The class that is asked of a fire damper: made from a rule, a barrier and demands, and held against what is claimed.

What is asked is a set of classes all of which must hold. It is asked for the orientation of the barrier and, unless a
text says one side alone, for fire from both sides. Joining two never asks for less than either.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache

from brattice.building.words import Orientation
from brattice.classes import (
    ClassSteps,
    DamperClass,
    Declaration,
    Family,
    FireSide,
    Mounting,
    family_of,
    read_class,
    satisfies,
)
from brattice.errors import ClassTextError, OwnFault
from brattice.findings import Missing, Party, Verdict

__all__ = ["AskedClass", "ClassHeld", "asks_insulation", "held_against", "joined", "least_class", "unreadable"]

_MOUNTING = {Orientation.WALL: Mounting.VE, Orientation.FLOOR: Mounting.HO}
_BOTH_SIDES = frozenset(FireSide)


@dataclass(frozen=True)
class AskedClass:
    """The classes that are asked, all of them, of a damper in a barrier of one orientation.

    `exists` is False where a time is asked for which there is no class.
    """

    orientation: Orientation
    classes: tuple[DamperClass, ...] = ()
    exists: bool = True

    def texts(self) -> tuple[str, ...]:
        """The alternatives as canonical texts: the one that asks all of it, or none where no such class exists."""
        return _texts(self)


@lru_cache(maxsize=1024)
def _texts(asked: AskedClass) -> tuple[str, ...]:
    """The same few classes are asked all over a job."""
    if not asked.exists or not asked.classes:
        return ()
    return (str(Declaration(Family.FIRE_DAMPER, asked.classes)),)


@dataclass(frozen=True)
class ClassHeld:
    """How a claimed class stands to the asked one: the verdict, why in words, the rows of the comparison."""

    verdict: Verdict
    text: str
    rows: tuple[str, ...]
    left_open: tuple[str, ...]

    def missing(self, subject: str) -> tuple[Missing, ...]:
        """What the text of the class leaves open, as facts to ask for."""
        return tuple(
            Missing(f"penetration/{subject}/class-{facet.replace(' ', '-')}", f"The {facet} of the class claimed", _ASK)
            for facet in self.left_open
        )


_ASK = Party.DAMPER_SUPPLIER


@lru_cache(maxsize=4096)
def _read(text: str, steps: ClassSteps) -> Declaration:
    """A class text as the product it tells of; as a fire damper's where its words leave that open."""
    return read_class(text, family_of(text) or Family.FIRE_DAMPER, steps)


def _dampers(declared: Declaration) -> tuple[DamperClass, ...]:
    return tuple(item for item in declared.classes if isinstance(item, DamperClass))


def _placed(item: DamperClass, orientation: Orientation) -> DamperClass:
    """A class asked in an orientation; fire from both sides where the text names none."""
    return replace(item, mountings=frozenset({_MOUNTING[orientation]}), sides=item.sides or _BOTH_SIDES)


@lru_cache(maxsize=4096)
def _satisfied_by(one: DamperClass, other: DamperClass) -> bool:
    """Whether `other`, declared, is enough where `one` is asked."""
    asked, held = Declaration(Family.FIRE_DAMPER, (one,)), Declaration(Family.FIRE_DAMPER, (other,))
    return satisfies(held, asked).verdict is Verdict.PASS


def _least(classes: tuple[DamperClass, ...]) -> tuple[DamperClass, ...]:
    """The classes without those that another of them already gives."""
    if len(classes) < 2:
        return classes
    ordered = tuple({str(item): item for item in sorted(classes, key=str)}.values())
    # Two classes with different texts never give each other (the order of classes is antisymmetric), so one stays.
    return tuple(item for item in ordered if not any(_satisfied_by(item, other) for other in ordered if other != item))


def least_class(asked: AskedClass, text: str, integrity_min: int, steps: ClassSteps) -> AskedClass:
    """`asked` joined with the class of a rule's `text`, raised to the barrier's integrity [min].

    A time for which no class exists is raised to the next that does; where E has none (it stops early), to EI.
    """
    classes = list(asked.classes)
    exists = asked.exists
    for item in _dampers(_read(text, steps)):
        need = max(item.asked_minutes, integrity_min)
        for insulated in (item.insulated, True):
            step = min((time for time in steps.times(Family.FIRE_DAMPER, insulated) if time >= need), default=None)
            if step is not None:
                made = replace(item, insulated=insulated, minutes=step, stated_minutes=None)
                classes.append(_placed(made, asked.orientation))
                break
        else:
            exists = False
    return AskedClass(asked.orientation, _least(tuple(classes)), exists)


def joined(asked: AskedClass, text: str, steps: ClassSteps) -> AskedClass | str:
    """`asked` and the class of `text` together, or why that text can't be taken (in words)."""
    try:
        declared = _read(text, steps)
    except ClassTextError as error:
        return str(error)
    if declared.family is not Family.FIRE_DAMPER:
        return f"{text!r} is the class of a {declared.family}, not of a fire damper"
    more = tuple(_placed(item, asked.orientation) for item in _dampers(declared))
    return AskedClass(asked.orientation, _least((*asked.classes, *more)), asked.exists)


def asks_insulation(text: str, steps: ClassSteps) -> bool:
    """Whether a class text asks insulation of a damper; one that can't be read asks nothing here."""
    try:
        return any(item.insulated for item in _dampers(_read(text, steps)))
    except ClassTextError:
        return False


def unreadable(text: str, steps: ClassSteps) -> str:
    """Why a claimed class text can't be read, with the place ("" when it can)."""
    try:
        _read(text, steps)
    except ClassTextError as error:
        return str(error)
    return ""


def held_against(declared: str, required: tuple[str, ...], steps: ClassSteps) -> ClassHeld:
    """How a claimed class text stands to alternatives of which any one will do; both texts must be readable."""
    if not required:
        raise OwnFault("a class was held against no class")
    claimed = _read(declared, steps)
    answers = [satisfies(claimed, _read(text, steps)) for text in required]
    order = (Verdict.PASS, Verdict.UNKNOWN, Verdict.FAIL)
    best = min(answers, key=lambda item: order.index(item.verdict))
    if best.verdict is Verdict.PASS:
        return ClassHeld(Verdict.PASS, "The class text satisfies what is asked.", best.rows, ())
    text = "; ".join(str(item) for item in best.shortfalls)
    left_open = tuple(sorted({item.facet.value for item in best.shortfalls})) if best.verdict is Verdict.UNKNOWN else ()
    return ClassHeld(best.verdict, text, best.rows, left_open)
