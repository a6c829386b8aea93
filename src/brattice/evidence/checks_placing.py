# SPDX-License-Identifier: Apache-2.0
"""Checks of how the damper sits, is fixed, carried, joined and reached."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from brattice.building.penetration import Penetration
from brattice.building.words import DuctedSides, Joint, SystemUse, plain
from brattice.evidence.checking import (
    Basis,
    Checked,
    Missed,
    cured,
    evidence_missing,
    failed,
    listed,
    not_applicable,
    passed,
    unknown,
)
from brattice.evidence.codes import (
    ACCESS_SIDE,
    ANGLE,
    BLADE_POSITION,
    DEFLECTION_HEAD,
    DUCTED_SIDES,
    FIXING,
    INSULATION_THROUGH,
    JOINT,
    MECHANISM,
    ORIENTATION,
    OTHER_SERVICES,
    POSITION,
    SHARED_OPENING,
    SUPPORT,
)
from brattice.evidence.installation import TestedInstallation
from brattice.findings import Fact, Known, Missing, Party, Unknown
from brattice.quantities import mm_text, number_text
from brattice.requirements.requirement import Requirement

__all__ = [
    "check_access_side",
    "check_angle",
    "check_blade_position",
    "check_deflection_head",
    "check_ducted_sides",
    "check_fixing",
    "check_insulation_through",
    "check_joint",
    "check_mechanism",
    "check_orientation",
    "check_other_services",
    "check_position",
    "check_shared_opening",
    "check_support",
    "ducted_sides_asked",
]

_FIXING_ROWS = ("scope.fixing",)
_UNBREAKABLE = (Joint.STEEL_SCREWS, Joint.RIGID_FLANGE)


def check_orientation(
    penetration: Penetration, requirement: Requirement, installation: TestedInstallation, basis: Basis
) -> Checked:
    """Wall results for walls, floor results for floors (trade handbook row 2.45)."""
    del requirement, basis
    fact, need, rows = penetration.barrier.orientation, installation.orientation.value, ("scope.orientation",)
    if isinstance(fact, Unknown):
        return unknown(ORIENTATION, "Whether a wall or a floor is passed is not known.", (fact,), "", need, rows)
    have = fact.value.value
    if fact.value is installation.orientation:
        return passed(ORIENTATION, f"Tested in a {need}, as here.", have, need, rows, (fact,))
    text = f"Tested in a {need}; that does not stand for a {have}."
    return failed(ORIENTATION, text, have, need, rows, (fact,))


def check_position(
    penetration: Penetration, requirement: Requirement, installation: TestedInstallation, basis: Basis
) -> Checked:
    """In the barrier, on its face and remote are tested apart (trade handbook row 2.21)."""
    del requirement, basis
    fact, need, rows = penetration.installation.position, installation.position.value, ("scope.position",)
    if isinstance(fact, Unknown):
        return unknown(POSITION, "Where the damper sits to the barrier is not known.", (fact,), "", need, rows)
    have = fact.value.value
    if fact.value is installation.position:
        return passed(POSITION, "The damper sits to the barrier as tested.", have, need, rows, (fact,))
    return failed(POSITION, "The damper does not sit to the barrier as tested.", have, need, rows, (fact,))


def check_angle(
    penetration: Penetration, requirement: Requirement, installation: TestedInstallation, basis: Basis
) -> Checked:
    """The duct passes the barrier squarely, as in every test; the limit is common practice."""
    del requirement, installation
    fact, rows = penetration.duct.angle_deg, ("scope.angle",)
    need = f"at most {number_text(basis.most_angle_deg)}° off square"
    if isinstance(fact, Unknown):
        return unknown(ANGLE, "Whether the duct passes the barrier squarely is not known.", (fact,), "", need, rows)
    have = f"{number_text(fact.value)}° off square"
    if abs(fact.value) <= basis.most_angle_deg:
        return passed(ANGLE, "The duct passes the barrier squarely.", have, need, rows, (fact,))
    return failed(
        ANGLE, "The duct passes the barrier askew; dampers are tested square to it.", have, need, rows, (fact,)
    )


def check_mechanism(
    penetration: Penetration, requirement: Requirement, installation: TestedInstallation, basis: Basis
) -> Checked:
    """The mechanism turned as declared (trade handbook row 2.46, field case 16)."""
    del requirement, basis
    fact, declared, rows = penetration.damper.mechanism_deg, installation.mechanism_deg, ("scope.mechanism",)
    missing: list[Missed] = [fact] if isinstance(fact, Unknown) else []
    have = "" if isinstance(fact, Unknown) else f"{number_text(fact.value)}°"
    if declared is None:
        missing.append(evidence_missing(installation, "mechanism_deg", "the rotations of the mechanism"))
        return unknown(MECHANISM, "The rotations declared are not known.", missing, have, "", rows)
    need = listed([f"{number_text(angle)}°" for angle in sorted(declared)])
    if isinstance(fact, Unknown):
        return unknown(MECHANISM, "How the mechanism is turned is not known.", missing, have, need, rows)
    if fact.value % 360 in {angle % 360 for angle in declared}:
        return passed(MECHANISM, "The mechanism is turned as declared.", have, need, rows, (fact, installation))
    text = "The mechanism is turned in a way that is not declared."
    return cured(MECHANISM, text, f"Turn the mechanism to {need}, where access allows.", have, need, rows, (fact,))


def check_blade_position(
    penetration: Penetration, requirement: Requirement, installation: TestedInstallation, basis: Basis
) -> Checked:
    """The closed blade no farther from the barrier's centre than tested (trade handbook row 2.47)."""
    del requirement, basis
    fact, most, rows = penetration.damper.blade_offset_mm, installation.most_blade_offset_mm, ("scope.blade",)
    missing: list[Missed] = [fact] if isinstance(fact, Unknown) else []
    have = "" if isinstance(fact, Unknown) else f"{mm_text(abs(fact.value))} off centre"
    if most is None:
        missing.append(evidence_missing(installation, "most_blade_offset_mm", "how far off centre the blade may stand"))
        return unknown(BLADE_POSITION, "Where the blade may stand is not known.", missing, have, "", rows)
    need = f"at most {mm_text(most)} off centre"
    if isinstance(fact, Unknown):
        return unknown(BLADE_POSITION, "Where the closed blade stands is not known.", missing, have, need, rows)
    if abs(fact.value) <= most:
        return passed(BLADE_POSITION, "The closed blade stands within the tested place.", have, need, rows, (fact,))
    text = "The closed blade stands farther from the barrier's centre than tested."
    change = f"Move the damper along the duct by {mm_text(abs(fact.value) - most)} or more towards the centre."
    return cured(BLADE_POSITION, text, change, have, need, rows, (fact, installation))


def check_fixing(
    penetration: Penetration, requirement: Requirement, installation: TestedInstallation, basis: Basis
) -> Checked:
    """The family of fixing of the test (trade handbook 5.2)."""
    del requirement, basis
    fact, need = penetration.installation.fixing, installation.fixing.value
    if isinstance(fact, Unknown):
        return unknown(FIXING, "How the damper is fixed is not known.", (fact,), "", need, _FIXING_ROWS)
    have = fact.value.value
    if fact.value is installation.fixing:
        return passed(FIXING, "The damper is fixed as tested.", have, need, _FIXING_ROWS, (fact,))
    change = f"Fix the damper as tested: {need}."
    return cured(FIXING, "The damper is not fixed as tested.", change, have, need, _FIXING_ROWS, (fact,))


def check_support(
    penetration: Penetration, requirement: Requirement, installation: TestedInstallation, basis: Basis
) -> Checked:
    """Carried as tested; rods and barrier together only where tested together (field case 10)."""
    del requirement, basis
    fact, tested = penetration.installation.support, installation.support
    missing: list[Missed] = [fact] if isinstance(fact, Unknown) else []
    have = "" if isinstance(fact, Unknown) else fact.value.value
    if tested is None:
        missing.append(evidence_missing(installation, "support", "what carried the damper"))
        return unknown(SUPPORT, "What carried the damper in the test is not known.", missing, have, "", _FIXING_ROWS)
    if isinstance(fact, Unknown):
        return unknown(SUPPORT, "What carries the damper is not known.", missing, have, tested.value, _FIXING_ROWS)
    if fact.value is tested:
        return passed(SUPPORT, "The damper is carried as tested.", have, tested.value, _FIXING_ROWS, (fact,))
    change = f"Carry the damper as tested: {tested}."
    return cured(SUPPORT, "The damper is not carried as tested.", change, have, tested.value, _FIXING_ROWS, (fact,))


def _sides_text(words: Sequence[str]) -> str:
    """What both sides have: `"slip joint"`, or `"side A slip joint, side B no duct"`."""
    if not any(words):
        return ""
    first, second = (item or "not known" for item in words)
    return first if first == second else f"side A {first}, side B {second}"


def check_joint(
    penetration: Penetration, requirement: Requirement, installation: TestedInstallation, basis: Basis
) -> Checked:
    """The joint to the duct as tested, on each side that has one (rows 5.8, 5.22, C64).

    Steel screws and rigid flanges fail unless tested.
    """
    del requirement, basis
    sides, tested, rows = penetration.installation.joints, installation.joints, ("scope.joint",)
    need = "" if tested is None else listed(sorted(tested))
    have = _sides_text([side.value.value if isinstance(side, Known) else "" for side in sides])
    gap = evidence_missing(installation, "joints", "the joints to the duct")
    here = {side.value for side in sides if isinstance(side, Known)} - {Joint.NO_DUCT}
    wrong = sorted(joint for joint in here if (joint in _UNBREAKABLE if tested is None else joint not in tested))
    if wrong:
        text = f"The duct meets the damper by {' and '.join(wrong)}, which was not tested."
        if any(joint in _UNBREAKABLE for joint in wrong):
            text += " A collapsing duct can drag the damper out."
        change = f"Join the duct as tested: {need or 'a joint that breaks away, as the instructions show'}."
        return cured(JOINT, text, change, have, need, rows, (*sides, installation))
    missing: list[Missed] = [side for side in sides if isinstance(side, Unknown)]
    if tested is None and (missing or here):
        missing.append(gap)
    if any(isinstance(side, Unknown) for side in sides):
        return unknown(JOINT, "How the duct meets the damper is not known.", missing, have, need, rows)
    if missing:
        return unknown(JOINT, "Which joints were tested is not known.", missing, have, need, rows, sides)
    if not here:
        return not_applicable(JOINT, "No duct meets the damper here.", have, sides)
    return passed(JOINT, "The duct meets the damper as tested.", have, need, rows, (*sides, installation))


_COUNT = {DuctedSides.NEITHER: 0, DuctedSides.ONE: 1, DuctedSides.BOTH: 2}
_COUNTED = {count: sides.value for sides, count in _COUNT.items()}


def ducted_sides_asked(penetration: Penetration) -> frozenset[int]:
    """On how many sides a duct can be: by the joints of both, none for air transfer or where the system is open."""
    system, sides = penetration.duct.system, penetration.installation.joints
    known = [side.value for side in sides if isinstance(side, Known)]
    bare = known.count(Joint.NO_DUCT)
    counts = set(range(len(known) - bare, 2 - bare + 1))
    if isinstance(system, Unknown) or system.value is SystemUse.TRANSFER:
        counts.add(0)
    return frozenset(counts)


def _ducts_text(counts: Iterable[int]) -> str:
    return f"a duct on {' or '.join(_COUNTED[count] for count in sorted(counts, reverse=True))}"


def check_ducted_sides(
    penetration: Penetration, requirement: Requirement, installation: TestedInstallation, basis: Basis
) -> Checked:
    """A duct on as many sides as tested: evidence for a ducted damper does not hold for an unducted one, nor for one
    with an open end on a side (trade handbook row 2.49, field case 2).
    """
    del requirement, basis
    rows, tested = ("scope.unducted",), installation.ducts
    system, sides = penetration.duct.system, penetration.installation.joints
    asked = ducted_sides_asked(penetration)
    have, site = _ducts_text(asked), (system, *sides)
    missing: list[Missed] = [fact for fact in site if isinstance(fact, Unknown)] if len(asked) > 1 else []
    if tested is None:
        missing.append(evidence_missing(installation, "ducts", "on which sides the tested damper had a duct"))
        text = "On which sides the tested damper had a duct is not known."
        return unknown(DUCTED_SIDES, text, missing, have, "", rows, site)
    counts = {_COUNT[item] for item in tested}
    need, facts = _ducts_text(counts), (*site, installation)
    is_transfer = isinstance(system, Known) and system.value is SystemUse.TRANSFER
    if not asked & counts or (is_transfer and 0 not in counts):
        text = "A duct on other sides than tested: evidence for a ducted damper does not hold for an unducted one."
        return failed(DUCTED_SIDES, text, have, need, rows, facts)
    if asked <= counts:
        return passed(DUCTED_SIDES, "Tested with a duct on as many sides.", have, need, rows, facts)
    if not missing:
        words = f"Whether ducts meet the damper at {penetration.id}: its system is air transfer, its joints say they do"
        missing.append(Missing(f"penetration/{penetration.id}/joint-and-system", words, Party.SERVICES_DESIGNER))
    text = "On which sides the damper has a duct is not known."
    return unknown(DUCTED_SIDES, text, missing, have, need, rows, facts)


def check_access_side(
    penetration: Penetration, requirement: Requirement, installation: TestedInstallation, basis: Basis
) -> Checked:
    """Access from a side that the document allows."""
    del requirement, basis
    fact, allowed = penetration.damper.access_side, installation.access_sides
    missing: list[Missed] = [fact] if isinstance(fact, Unknown) else []
    have = "" if isinstance(fact, Unknown) else fact.value
    if allowed is None:
        missing.append(evidence_missing(installation, "access_sides", "the sides from which access is enough"))
        return unknown(
            ACCESS_SIDE, "The sides that the document allows are not known.", missing, have, "", _FIXING_ROWS
        )
    need = listed(sorted(allowed))
    if isinstance(fact, Unknown):
        return unknown(ACCESS_SIDE, "From which side there is access is not known.", missing, have, need, _FIXING_ROWS)
    if plain(fact.value) in {plain(side) for side in allowed}:
        return passed(ACCESS_SIDE, "Access is from a side that is allowed.", have, need, _FIXING_ROWS, (fact,))
    text = "Access is from a side that the document does not allow."
    return cured(ACCESS_SIDE, text, f"Give access from: {need}.", have, need, _FIXING_ROWS, (fact, installation))


def _allowed(
    code: str, fact: Fact[bool], tested: bool | None, installation: TestedInstallation, field: str, words: str
) -> Checked:
    """A thing that is allowed only where the document allows it; not curable as it stands."""
    if isinstance(fact, Known) and not fact.value:
        return not_applicable(code, f"{words}: none here.", "no", (fact,))
    have = "yes" if isinstance(fact, Known) else ""
    need = "" if tested is None else "allowed" if tested else "none"
    if tested is True:
        return passed(code, f"{words}: allowed by the document.", have, need, _FIXING_ROWS, (fact, installation))
    missing: list[Missed] = [fact] if isinstance(fact, Unknown) else []
    if tested is None:
        missing.append(evidence_missing(installation, field, words.lower()))
    if missing:
        return unknown(code, f"{words}: not known.", missing, have, need, _FIXING_ROWS, (fact,))
    return failed(code, f"{words}: not tested.", have, need, _FIXING_ROWS, (fact, installation))


def check_insulation_through(
    penetration: Penetration, requirement: Requirement, installation: TestedInstallation, basis: Basis
) -> Checked:
    """Duct insulation through the hole only as tested; else it stops at the casing (field case 19)."""
    del requirement, basis
    fact = penetration.duct.insulation_through
    found = _allowed(
        INSULATION_THROUGH,
        fact,
        installation.insulation_through,
        installation,
        "insulation_through",
        "Duct insulation running through the hole",
    )
    if found.reason.verdict != "fail":
        return found
    reason = found.reason
    change = "Stop the duct insulation at the casing."
    return cured(INSULATION_THROUGH, reason.text, change, reason.have, reason.need, reason.rows, (fact, installation))


def check_deflection_head(
    penetration: Penetration, requirement: Requirement, installation: TestedInstallation, basis: Basis
) -> Checked:
    """A deflection head over a damper only where its document allows it (field case 10)."""
    del requirement, basis
    return _allowed(
        DEFLECTION_HEAD,
        penetration.installation.deflection_head_above,
        installation.deflection_head,
        installation,
        "deflection_head",
        "A deflection head above the damper",
    )


def check_other_services(
    penetration: Penetration, requirement: Requirement, installation: TestedInstallation, basis: Basis
) -> Checked:
    """A pipe, tray or cable in the damper's seal only where tested together (field case 27)."""
    del requirement, basis
    return _allowed(
        OTHER_SERVICES,
        penetration.installation.other_services,
        installation.other_services,
        installation,
        "other_services",
        "Other services in the damper's seal",
    )


def check_shared_opening(
    penetration: Penetration, requirement: Requirement, installation: TestedInstallation, basis: Basis
) -> Checked:
    """Two ducts in one hole need a combined test (field case 13)."""
    del requirement, basis
    rows, shared = ("scope.shared-opening",), penetration.opening.shared_with
    if not shared:
        return not_applicable(SHARED_OPENING, "No other duct is stated to share the hole.")
    have = f"shared with {', '.join(sorted(shared))}"
    need = "tested together" if installation.shared_opening else "a hole of its own"
    if installation.shared_opening:
        return passed(
            SHARED_OPENING, "Several ducts in one hole were tested together.", have, need, rows, (installation,)
        )
    text = "Several ducts share the hole; that needs a combined test, or a hole for each with construction between."
    return failed(SHARED_OPENING, text, have, need, rows, (installation,))
