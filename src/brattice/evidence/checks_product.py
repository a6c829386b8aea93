# SPDX-License-Identifier: Apache-2.0
"""Checks of the product itself: its kind, class, size and actuation."""

from __future__ import annotations

from dataclasses import replace

from brattice.building.penetration import Penetration, Size
from brattice.building.words import FixingFamily, Orientation
from brattice.classes import (
    ClassAnswer,
    DamperClass,
    Declaration,
    Family,
    FireClass,
    FireSide,
    Mounting,
    Outcome,
    SmokeDamperClass,
    asking,
    capped_by_barrier,
    family_of,
    satisfies,
)
from brattice.evidence.checking import (
    Basis,
    Checked,
    declaration,
    evidence_missing,
    failed,
    listed,
    not_applicable,
    passed,
    unknown,
    window_text,
)
from brattice.evidence.codes import ACTUATION, BARRIER_RATING, BATTERY, CLASS, DAMPER_KIND, SIZE
from brattice.evidence.installation import DamperKind, SizeWindow, TestedInstallation, Window
from brattice.findings import Known, Missing, Party, Unknown, Verdict
from brattice.quantities import size_text
from brattice.requirements.requirement import Requirement

__all__ = [
    "achieved_class",
    "check_actuation",
    "check_barrier_rating",
    "check_battery",
    "check_class",
    "check_damper_kind",
    "check_size",
    "leakage_held",
    "size_is_round",
    "within",
]

FAMILIES = {
    DamperKind.FIRE_DAMPER: Family.FIRE_DAMPER,
    DamperKind.SMOKE_CONTROL_DAMPER: Family.SMOKE_CONTROL_DAMPER,
}

_MOUNTINGS = {Orientation.WALL: frozenset({Mounting.VE}), Orientation.FLOOR: frozenset({Mounting.HO})}


def _asked_family(text: str) -> Family:
    """The family that a required class text is about; one that tells none is a fire damper's."""
    return family_of(text) or Family.FIRE_DAMPER


def check_damper_kind(
    penetration: Penetration, requirement: Requirement, installation: TestedInstallation, basis: Basis
) -> Checked:
    """A smoke control damper is no fire damper, nor the other way round (trade handbook row 1.44)."""
    del penetration, basis
    rows = ("product.kinds-apart",)
    asked = requirement.class_texts
    have = installation.kind.value
    if isinstance(asked, Unknown):
        return unknown(
            DAMPER_KIND, "Which kind of damper is asked can't be told without the class.", (asked,), have, "", rows
        )
    if not asked.value:
        return not_applicable(DAMPER_KIND, "No damper will do here.", have)
    families = {_asked_family(text) for text in asked.value}
    need = listed(sorted(family.value for family in families))
    if FAMILIES[installation.kind] in families:
        return passed(DAMPER_KIND, "The damper is of the kind that is asked.", have, need, rows)
    return failed(DAMPER_KIND, f"A {need} is asked; a {have} is none.", have, need, rows)


def within(value: float, window: Window) -> bool:
    """Whether a value lies in a window, both ends included."""
    return (window.least is None or value >= window.least) and (window.most is None or value <= window.most)


def size_is_round(sizes: SizeWindow) -> bool:
    """Whether the window is of round dampers."""
    return sizes.height is None


def _sizes_text(sizes: SizeWindow) -> str:
    if sizes.height is None:
        return f"Ø {window_text(sizes.width)}"
    return f"width {window_text(sizes.width)}, height {window_text(sizes.height)}"


def _leakage_text(sizes: SizeWindow) -> str:
    """For which sizes S was tested: from the smallest cold-tested to the largest tested one."""
    least_height = None if sizes.height is None else sizes.s_least_height_mm
    if sizes.s_least_width_mm is None or (sizes.height is not None and least_height is None):
        return "the smallest size tested for S is not stated"
    least = f"S tested from {size_text(sizes.s_least_width_mm, least_height)}"
    most_height = None if sizes.height is None else sizes.height.most
    if sizes.width.most is None or (sizes.height is not None and most_height is None):
        return f"{least} mm; the largest is not stated"
    return f"{least} to {size_text(sizes.width.most, most_height)} mm"


def _size_need(installation: TestedInstallation, basis: Basis) -> str:
    need = _sizes_text(installation.sizes)
    declared = declaration(installation.class_text, FAMILIES[installation.kind], basis)
    if declared is None or _stripped(declared) == declared:
        return need
    return f"{need}; {_leakage_text(installation.sizes)}"


def leakage_held(size: Size, sizes: SizeWindow) -> bool | None:
    """Whether S holds at a size: between the smallest cold-tested and the largest tested one; None if not stated."""
    if size.is_round != size_is_round(sizes):
        return False
    pairs = [(size.width_mm, sizes.s_least_width_mm, sizes.width.most)]
    if size.height_mm is not None and sizes.height is not None:
        pairs.append((size.height_mm, sizes.s_least_height_mm, sizes.height.most))
    if any(value > most for value, _, most in pairs if most is not None):
        return False
    if any(value < least for value, least, _ in pairs if least is not None):
        return False
    return None if any(least is None for _, least, _ in pairs) else True


def check_size(
    penetration: Penetration, requirement: Requirement, installation: TestedInstallation, basis: Basis
) -> Checked:
    """Width and height each within the sizes tested, never swapped (trade handbook row 2.36, field case 15)."""
    del requirement
    rows = ("scope.size",)
    fact, sizes = penetration.damper.size, installation.sizes
    need = _size_need(installation, basis)
    if isinstance(fact, Unknown):
        return unknown(SIZE, "The size of the damper is not known.", (fact,), "", need, rows)
    size = fact.value
    have = size_text(size.width_mm, size.height_mm)
    if size.is_round != size_is_round(sizes):
        shape = "round" if size.is_round else "rectangular"
        other = "rectangular" if size.is_round else "round"
        return failed(SIZE, f"The damper is {shape}; {other} ones were tested.", have, need, rows, (fact,))
    off = []
    if not within(size.width_mm, sizes.width):
        off.append("diameter" if size.is_round else "width")
    if size.height_mm is not None and sizes.height is not None and not within(size.height_mm, sizes.height):
        off.append("height")
    if off:
        text = f"The {' and the '.join(off)} lie outside the sizes tested." if len(off) > 1 else ""
        text = text or f"The {off[0]} lies outside the sizes tested."
        return failed(SIZE, text, have, need, rows, (fact,))
    return passed(SIZE, "The size lies within the sizes tested.", have, need, rows, (fact,))


def _without_leakage(item: FireClass) -> FireClass:
    return replace(item, smoke=False) if isinstance(item, DamperClass | SmokeDamperClass) else item


def _stripped(declared: Declaration) -> Declaration:
    """The same classes without S."""
    return Declaration(declared.family, tuple(map(_without_leakage, declared.classes)), declared.notes)


def _best_answer(
    declared: Declaration, texts: tuple[str, ...], orientation: Orientation, basis: Basis
) -> tuple[Outcome, tuple[tuple[str, ClassAnswer], ...]]:
    """How the classes stand to the alternatives asked: the best of them, and each with its answer."""
    answers = []
    for text in texts:
        required = declaration(text, _asked_family(text), basis)
        if required is None:
            continue
        required = asking(required, _MOUNTINGS[orientation], frozenset(FireSide))
        answers.append((str(required), satisfies(declared, required)))
    order = (Outcome.SATISFIED, Outcome.NEEDS_EVIDENCE, Outcome.NOT_SATISFIED)
    outcomes = {answer.outcome for _, answer in answers}
    return next((item for item in order if item in outcomes), Outcome.NEEDS_EVIDENCE), tuple(answers)


def check_class(
    penetration: Penetration, requirement: Requirement, installation: TestedInstallation, basis: Basis
) -> Checked:
    """The declared class, in this orientation and at this size, satisfies one of the classes that will do."""
    asked, standing, size = requirement.class_texts, penetration.barrier.orientation, penetration.damper.size
    have = installation.class_text
    if isinstance(asked, Unknown):
        return unknown(CLASS, "The class that is asked is not known.", (asked,), have)
    if not asked.value:
        return failed(CLASS, "No damper class will do here; another method has to protect.", have, "", (), (asked,))
    need = listed(asked.value)
    declared = declaration(installation.class_text, FAMILIES[installation.kind], basis)
    if declared is None:
        missing = evidence_missing(installation, "class", "the class, in a form that can be read")
        return unknown(CLASS, f"The class {have!r} can't be read.", (missing,), have, need)
    unread = [text for text in asked.value if declaration(text, _asked_family(text), basis) is None]
    if len(unread) == len(asked.value):
        missing = Missing(f"class/{unread[0]}", f"What the required class {unread[0]!r} means", Party.FIRE_ENGINEER)
        return unknown(CLASS, "The class that is asked can't be read.", (missing,), have, need)
    if isinstance(standing, Unknown):
        return unknown(CLASS, "Whether a wall or a floor is passed is not known.", (standing,), have, need)
    facts = (asked, standing, installation)
    bare = _stripped(declared)
    if bare == declared:
        return _class_answer(declared, asked.value, standing.value, basis, have, need, facts, installation)
    with_s = _best_answer(declared, asked.value, standing.value, basis)[0]
    without = _best_answer(bare, asked.value, standing.value, basis)[0]
    if with_s is without:
        return _class_answer(declared, asked.value, standing.value, basis, have, need, facts, installation)
    held = leakage_held(size.value, installation.sizes) if isinstance(size, Known) else None
    if held is True:
        return _class_answer(declared, asked.value, standing.value, basis, have, need, (*facts, size), installation)
    rows, need = ("scope.size.leakage",), f"{need}; {_leakage_text(installation.sizes)}"
    if held is False and isinstance(size, Known):
        text = f"S was not tested at {size_text(size.value.width_mm, size.value.height_mm)}; without it the class is "
        return failed(CLASS, f"{text}{bare}.", str(bare), need, rows, (*facts, size))
    text = "Whether S holds at this size is not known; without it the class is not enough."
    if isinstance(size, Unknown):
        return unknown(CLASS, text, (size,), have, need, rows)
    missing = evidence_missing(installation, "sizes.s_least", "the smallest size tested cold for S")
    return unknown(CLASS, text, (missing,), have, need, rows, (*facts, size))


def _class_answer(
    declared: Declaration,
    texts: tuple[str, ...],
    orientation: Orientation,
    basis: Basis,
    have: str,
    need: str,
    facts: tuple[object, ...],
    installation: TestedInstallation,
) -> Checked:
    outcome, answers = _best_answer(declared, texts, orientation, basis)
    best = [answer for _, answer in answers if answer.outcome is outcome]
    rows = tuple(sorted({row for answer in best for row in answer.rows}))
    if outcome is Outcome.SATISFIED:
        return passed(CLASS, "The class declared satisfies the class that is asked.", have, need, rows, facts)
    why = "; ".join(dict.fromkeys(str(item) for answer in best for item in answer.shortfalls))
    if outcome is Outcome.NOT_SATISFIED:
        return failed(
            CLASS, f"The class declared does not satisfy the class that is asked: {why}.", have, need, rows, facts
        )
    missing = evidence_missing(installation, "class", "what its class text leaves open")
    return unknown(CLASS, f"The class text leaves open: {why}.", (missing,), have, need, rows, facts)


def check_barrier_rating(
    penetration: Penetration, requirement: Requirement, installation: TestedInstallation, basis: Basis
) -> Checked:
    """The class achieved never exceeds that of the barrier (trade handbook, field case 30)."""
    del installation, basis
    rating = penetration.barrier.rating
    if isinstance(rating, Unknown):
        return unknown(BARRIER_RATING, "Without the barrier's rating it can't be told what is achieved.", (rating,))
    if rating.value.is_unrated:
        if requirement.needed is Verdict.PASS:
            text = "The barrier is stated to have no fire resistance; nothing built in it achieves a class."
            return failed(BARRIER_RATING, text, rating.value.text, "a rated barrier", (), (rating,))
        return not_applicable(BARRIER_RATING, "The barrier is stated to have no fire resistance.", rating.value.text)
    text = "The barrier is rated; what is built in it achieves no more than it does."
    return passed(BARRIER_RATING, text, rating.value.text, "a rating", (), (rating,))


def achieved_class(penetration: Penetration, installation: TestedInstallation, basis: Basis) -> str:
    """The class that is held here: the declared one, without S where that was not tested, cut down to the barrier's.

    "" where the class, the rating or the size is not known, or nothing is left.
    """
    rating, size = penetration.barrier.rating, penetration.damper.size
    declared = declaration(installation.class_text, FAMILIES[installation.kind], basis)
    if declared is None or isinstance(rating, Unknown) or isinstance(size, Unknown):
        return ""
    if leakage_held(size.value, installation.sizes) is not True:
        declared = _stripped(declared)
    left = capped_by_barrier(declared, rating.value.integrity_min, rating.value.insulation_min, basis.steps)
    return "" if left is None else str(left)


def check_actuation(
    penetration: Penetration, requirement: Requirement, installation: TestedInstallation, basis: Basis
) -> Checked:
    """The product can be had with all the actuation that is asked; apart from its class (row 4.12a)."""
    del penetration, basis
    asked = requirement.actuation
    have = _actuation_text(installation.actuation)
    if isinstance(asked, Unknown):
        return unknown(ACTUATION, "What has to make the damper close is not known.", (asked,), have)
    need = _actuation_text(asked.value)
    if asked.value <= installation.actuation:
        return passed(
            ACTUATION, "The product can be had with the actuation that is asked.", have, need, (), (installation,)
        )
    text = f"The product can't be had with {_actuation_text(asked.value - installation.actuation)}."
    return failed(ACTUATION, text, have, need, (), (installation,))


def _actuation_text(words: frozenset[str]) -> str:
    return " and ".join(sorted(words)) or "none"


def check_battery(
    penetration: Penetration, requirement: Requirement, installation: TestedInstallation, basis: Basis
) -> Checked:
    """Several dampers as one battery need the test of that battery (trade handbook row 2.35, field case 18)."""
    del requirement, basis
    rows = ("scope.battery",)
    fixing = penetration.installation.fixing
    have = "" if isinstance(fixing, Unknown) else fixing.value.value
    need = "a battery" if installation.battery else "a single damper"
    if isinstance(fixing, Unknown):
        return unknown(BATTERY, "Whether a battery of dampers stands here is not known.", (fixing,), "", need, rows)
    is_battery = fixing.value is FixingFamily.BATTERY
    if not is_battery and not installation.battery:
        return not_applicable(BATTERY, "A single damper, and tested as one.", have, (fixing,))
    if is_battery and installation.battery:
        return passed(BATTERY, "The battery was tested as one.", have, need, rows, (fixing,))
    text = (
        "Several dampers as a battery need a test of the battery."
        if is_battery
        else "The test of a battery does not hold for a single damper."
    )
    return failed(BATTERY, text, have, need, rows, (fixing,))
