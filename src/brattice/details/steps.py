# SPDX-License-Identifier: Apache-2.0
"""The steps of one installation, trade by trade, with the hold points between them.

The order follows from the family of fixing (trade handbook 5.2) and from what was tested; hold points are common
practice (handbook 5.4): opening before damper, damper and fixing before seal, seal before hidden, access before the
ceiling and again after all services.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from brattice.building.words import CeilingKind, FixingFamily, Joint, Orientation
from brattice.details.detail import HoldPoint, Step
from brattice.details.figures import TO_BE_SETTLED, Figure
from brattice.details.fixings import fixing_words
from brattice.details.given import Given
from brattice.details.openings import OpeningPlan
from brattice.details.support import has_rods
from brattice.findings import Known, Party

__all__ = ["steps_of", "where_words"]

_PRACTICE = "common practice"

_SETTING: Mapping[FixingFamily, str] = {
    FixingFamily.BUILT_IN: "Set {damper} on props at its place; bend out the cleats and build them into the joints "
    "as the barrier rises round it.",
    FixingFamily.FRAME_IN_OPENING: "Set {damper} in its frame and fix the frame to the barrier.",
    FixingFamily.LINED_OPENING: "Set {damper} in the lined opening and screw it to the framing through the lining.",
    FixingFamily.SLEEVE_AND_ANGLES: "Set {damper} in its sleeve; fix the angles on {faces} to the sleeve as tested.",
    FixingFamily.INSTALLATION_FRAME: "Set the installation frame and fix its ties; set {damper} free to grow in it.",
    FixingFamily.BATT_WITH_RODS: "Hang {damper} from the drop rods; the batt carries nothing.",
    FixingFamily.CAST_IN: "Set {damper} in the formed opening or on its curb; the slab carries it.",
    FixingFamily.FACE_FIXED: "Fix {damper} to the face of the barrier with its plate and collar.",
    FixingFamily.REMOTE_SUPPORTED: "Hang {damper} and the protected duct by their own supports, for the whole time.",
    FixingFamily.BATTERY: "Join the sections as tested and set {damper} as one unit with its mullions.",
    FixingFamily.SHAFT_WALL_FIXING: "Set {damper} from the one side that can be reached, as tested.",
}


@dataclass
class _Steps:
    """Collects steps and numbers them."""

    by_evidence: str
    found: list[Step] = field(default_factory=list)

    def add(self, trade: Party, text: str, hold: HoldPoint | None = None, *, tested: bool = False) -> None:
        """One more step; `tested` says that it rests on the evidence and not on common practice."""
        why = self.by_evidence if tested else _PRACTICE
        self.found.append(Step(len(self.found) + 1, trade, text, hold, why))


def steps_of(given: Given, plan: OpeningPlan, figures: Mapping[str, Figure]) -> tuple[Step, ...]:
    """The steps in order; () where nothing is chosen. `figures` are those of the detail by key."""
    tested = given.tested
    if tested is None:
        return ()
    document = tested.document
    steps = _Steps(document.instructions or f"{document.reference}, revision {document.revision}")
    family = tested.fixing
    if family is FixingFamily.REMOTE_SUPPORTED:
        _opening(steps, given, plan, figures)
        _seal(steps, given, figures)
        _setting(steps, given, figures, family)
    else:
        if family is FixingFamily.BUILT_IN:
            text = f"Set out {_the_opening(plan)}{where_words(figures)}, so that each gap is left as given."
            steps.add(Party.DRY_LINER, text, HoldPoint.OPENING)
        else:
            _opening(steps, given, plan, figures)
        _setting(steps, given, figures, family)
        if family is not FixingFamily.FACE_FIXED or tested.seal.products:
            _seal(steps, given, figures)
        if family in {FixingFamily.LINED_OPENING, FixingFamily.SLEEVE_AND_ANGLES}:
            steps.add(Party.DRY_LINER, "Close the boarding up to the seal; leave damper and angles as they are.")
    _duct(steps, given, figures)
    _access(steps, given, figures)
    return tuple(steps.found)


def _said(figures: Mapping[str, Figure], key: str) -> str:
    figure = figures.get(key)
    return TO_BE_SETTLED if figure is None else figure.text


def _settled(figures: Mapping[str, Figure], key: str) -> str:
    """The text of a figure that says something, else ""."""
    figure = figures.get(key)
    return "" if figure is None or figure.text == TO_BE_SETTLED else figure.text


def _the_opening(plan: OpeningPlan) -> str:
    return f"the opening {plan.words}" if plan.words else f"the opening ({TO_BE_SETTLED})"


def where_words(figures: Mapping[str, Figure]) -> str:
    """The words of a step that say where the opening is, from grid and sill; "" where neither is settled.

    They stand in a step as they are, so that a sheet for several places can leave them out.
    """
    grid, sill = _settled(figures, "grid"), _settled(figures, "sill-height")
    parts = [f"at {grid}" if grid else "", f"sill {sill} above the structural floor" if sill else ""]
    text = ", ".join(part for part in parts if part)
    return f" {text}" if text else ""


def _opening(steps: _Steps, given: Given, plan: OpeningPlan, figures: Mapping[str, Figure]) -> None:
    orientation = given.penetration.barrier.orientation
    in_floor = isinstance(orientation, Known) and orientation.value is Orientation.FLOOR
    formed = given.penetration.opening.formed
    lintel = _settled(figures, "lintel")
    text = f"Form {_the_opening(plan)}{where_words(figures)}"
    if isinstance(formed, Known) and formed.value:
        text = f"Measure the opening that is there; it has to be {plan.words or TO_BE_SETTLED}. If not, form it again"
    if lintel and lintel.casefold() != "none":
        text += f"; {'trimmers' if in_floor else 'lintel or framing'}: {lintel}"
    if plan.lining_mm:
        text += f"; line each reveal {_said(figures, 'lining')}"
    steps.add(Party.DRY_LINER, f"{text}.", HoldPoint.OPENING)


def _damper(figures: Mapping[str, Figure]) -> str:
    if "damper-diameter" in figures:
        return f"the damper Ø {_said(figures, 'damper-diameter')}"
    width, height = _said(figures, "damper-width"), _said(figures, "damper-height")
    return f"the damper {width.removesuffix(' mm')} × {height}"


def _setting(steps: _Steps, given: Given, figures: Mapping[str, Figure], family: FixingFamily) -> None:
    if has_rods(given):
        count, size = _said(figures, "rod-count"), _said(figures, "rod-size")
        slab, anchor = _said(figures, "slab"), _said(figures, "anchor")
        text = f"Fix {count} × {size} drop rods, {_said(figures, 'rod-length')} long, to the {slab}; anchor: {anchor}."
        steps.add(Party.DUCTWORK_CONTRACTOR, text, tested=True)
    faces = {"1": "one face", "2": "both faces"}.get(_said(figures, "seal-faces"), "the faces")
    text = _SETTING[family].format(damper=_damper(figures), faces=faces)
    fixings = fixing_words(figures.values())
    text += f" Fixings: {fixings}." if fixings else ""
    handing = _settled(figures, "handing")
    offset = _settled(figures, "blade-offset")
    if offset and family not in {FixingFamily.REMOTE_SUPPORTED, FixingFamily.FACE_FIXED}:
        middle = "in the middle" if figures["blade-offset"].value == 0 else f"{offset} off the middle"
        text += f" Closed blade {middle} of the barrier"
        text += f", mechanism {handing}." if handing else "."
    gaps = [_said(figures, f"gap-{side}") for side in ("left", "right", "top", "bottom")]
    if TO_BE_SETTLED not in gaps:
        if len(set(gaps)) == 1:
            text += f" Leave a gap of {gaps[0]} all round"
        else:
            numbers = [gap.removesuffix(" mm") for gap in gaps]
            text += " Leave gaps of {} left, {} right, {} top, {} bottom (mm)".format(*numbers)
        text += f", from the {_said(figures, 'gap-from')}."
    steps.add(Party.DUCTWORK_CONTRACTOR, text, HoldPoint.FIXING, tested=True)


def _seal(steps: _Steps, given: Given, figures: Mapping[str, Figure]) -> None:
    access = given.tested.access_sides if given.tested is not None else None
    one_sided = access is not None and len(access) == 1 and given.tested is not None
    family = None if given.tested is None else given.tested.fixing
    text = f"Seal with {_said(figures, 'seal-product')}, {_said(figures, 'seal-depth')} deep"
    faces = {"1": "from one face", "2": "from both faces"}.get(_settled(figures, "seal-faces"), "")
    if family is FixingFamily.SHAFT_WALL_FIXING and one_sided and access is not None:
        faces = f"all from the one side that can be reached ({next(iter(access))})"
    layers = figures.get("seal-layers")
    if layers is not None and layers.value is not None and layers.value > 1:
        text += f", {layers.text} layers"
    text += f", {faces}." if faces else "."
    steps.add(Party.FIRESTOPPER, text, tested=True)
    cure = figures.get("seal-cure")
    if cure is not None and cure.value == 0:
        steps.add(Party.FIRESTOPPER, "Take pictures of the seal on each face.", HoldPoint.SEAL)
        return
    text = f"Leave the seal to cure: {_said(figures, 'seal-cure')}. Take pictures of it on each face."
    steps.add(Party.FIRESTOPPER, text, HoldPoint.SEAL)


def _duct(steps: _Steps, given: Given, figures: Mapping[str, Figure]) -> None:
    sides = given.penetration.installation.joints
    if all(isinstance(side, Known) and side.value is Joint.NO_DUCT for side in sides):
        return
    first, second = _said(figures, "joint-a"), _said(figures, "joint-b")
    joints = f"{first} on both sides" if first == second else f"{first} on side A, {second} on side B"
    text = f"Hang the duct by its own supports and join it to the damper: {joints}. No load of the duct on the damper."
    steps.add(Party.DUCTWORK_CONTRACTOR, text, tested=True)


def _access(steps: _Steps, given: Given, figures: Mapping[str, Figure]) -> None:
    detail = given.penetration.detail
    both = isinstance(detail.reach_both_sides, Known) and detail.reach_both_sides.value
    width, height = _said(figures, "door-width").removesuffix(" mm"), _said(figures, "door-height")
    door = f"{width} × {height}" if TO_BE_SETTLED not in (width, height) else f"({TO_BE_SETTLED})"
    doors = "an access door" if not both else "an access door on each side,"
    side, distance = _said(figures, "access-side"), _settled(figures, "door-distance")
    away = f"{distance} from the blade" if distance else f"its distance from the blade {TO_BE_SETTLED}"
    text = f"Fit {doors} {door}, {away}, reached from: {side}. Open and close the damper through it."
    steps.add(Party.DUCTWORK_CONTRACTOR, text, HoldPoint.ACCESS)
    ceiling = detail.ceiling
    if isinstance(ceiling, Known) and ceiling.value is CeilingKind.FIXED:
        width, length = (_said(figures, key) for key in ("hatch-width", "hatch-height"))
        size = TO_BE_SETTLED if TO_BE_SETTLED in (width, length) else f"{width.removesuffix(' mm')} × {length}"
        steps.add(Party.DRY_LINER, f"Close the ceiling with its hatch below the damper: {size}.")
    zone = _settled(figures, "zone-depth")
    clear = f"the working zone is clear {zone} deep" if zone else "the working zone is clear"
    text = f"Once all services are in: see that {clear} and that door and mechanism are still reached."
    steps.add(Party.PRINCIPAL_CONTRACTOR, text, HoldPoint.ACCESS_AGAIN)
