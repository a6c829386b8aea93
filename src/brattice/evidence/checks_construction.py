# SPDX-License-Identifier: Apache-2.0
"""Checks of the supporting construction: kind, thickness, density, boards, studs, filling, framing and lining."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from brattice.building.penetration import Penetration
from brattice.building.words import BarrierRole, SupportingConstruction, plain
from brattice.evidence.checking import (
    DENSE_KINDS,
    FRAMED_KINDS,
    NAMED_KINDS,
    Basis,
    Checked,
    Missed,
    cured,
    evidence_missing,
    failed,
    not_applicable,
    passed,
    unknown,
    wall_fact,
    window_text,
)
from brattice.evidence.codes import (
    BOARDS,
    CAVITY_FILL,
    DENSITY,
    LINING,
    MATERIAL,
    OPENING_FRAMING,
    STUDS,
    SUPPORTING_CONSTRUCTION,
    THICKNESS,
)
from brattice.evidence.installation import TestedInstallation, Window
from brattice.findings import Known, Unknown
from brattice.quantities import mm_text, number_text
from brattice.requirements.requirement import Requirement

__all__ = [
    "check_boards",
    "check_cavity_fill",
    "check_density",
    "check_lining",
    "check_material",
    "check_opening_framing",
    "check_studs",
    "check_supporting_construction",
    "check_thickness",
    "lining_holds",
]

_RIGID, _FLEXIBLE = SupportingConstruction.RIGID_WALL, SupportingConstruction.FLEXIBLE_WALL
_BARRIER = SupportingConstruction.CAVITY_BARRIER
_SAME = ("scope.construction.same-kind",)
_BOARDED = ("scope.construction.flexible-standard", "scope.construction.same-kind")


def _kind_verdict(
    code: str, site: SupportingConstruction, installation: TestedInstallation, facts: tuple[Any, ...]
) -> Checked:
    tested = installation.construction.kind
    have, need = site.value, tested.value
    if site is tested:
        return passed(code, "The barrier is the kind of construction that was tested.", have, need, _SAME, facts)
    if site is _RIGID and tested is _FLEXIBLE:
        rows = ("scope.construction.flexible-in-rigid",)
        if installation.construction.shown_in_rigid:
            text = "Tested in a flexible wall; the instructions show this fixing and seal in rigid walls too."
            return passed(code, text, have, need, rows, facts)
        text = "Tested in a flexible wall; it holds in a rigid one only where the instructions show it there."
        return failed(code, text, have, need, rows, facts)
    if site is _FLEXIBLE and tested is _RIGID:
        text = "Tested in a rigid wall; that does not hold in a flexible one."
        return failed(code, text, have, need, ("scope.construction.rigid-in-flexible",), facts)
    text = f"Tested in a {tested}; a {site} needs evidence of its own."
    return failed(code, text, have, need, ("scope.construction.own-evidence",), facts)


def check_supporting_construction(
    penetration: Penetration, requirement: Requirement, installation: TestedInstallation, basis: Basis
) -> Checked:
    """The kind of construction of the test, or one that the test holds for (trade handbook rows 2.41-2.44a, C25, C26).

    A cavity barrier is no supporting construction, whatever stands in the wall-type sheet (field case 3).
    """
    del requirement, basis
    code, role = SUPPORTING_CONSTRUCTION, penetration.barrier.role
    kind = wall_fact(penetration, "kind")
    tested = installation.construction.kind
    need = tested.value
    is_cavity_barrier = isinstance(role, Known) and role.value is BarrierRole.CAVITY_BARRIER
    if is_cavity_barrier and tested is not _BARRIER:
        text = "A cavity barrier is no supporting construction for a damper; ask the fire engineer."
        return failed(code, text, "cavity barrier", need, ("scope.construction.cavity-barrier",), (role,))
    found = None if isinstance(kind, Unknown) else _kind_verdict(code, kind.value, installation, (kind, installation))
    if found is not None and found.reason.verdict == "fail":
        return found
    missing: list[Missed] = [fact for fact in (kind, role) if isinstance(fact, Unknown)]
    if tested is _BARRIER and isinstance(role, Unknown):
        missing.remove(role)
    if missing or found is None:
        have = "" if isinstance(kind, Unknown) else kind.value.value
        text = "What the barrier is made of is not known." if isinstance(kind, Unknown) else ""
        text = text or "Whether the barrier is a cavity barrier is not known."
        return unknown(code, text, missing, have, need, _SAME)
    return found


def check_thickness(
    penetration: Penetration, requirement: Requirement, installation: TestedInstallation, basis: Basis
) -> Checked:
    """At least as thick as tested (trade handbook row 2.41); ribbed decks at the thinnest place (field case 21)."""
    del requirement, basis
    fact, least = penetration.barrier.thickness_mm, installation.construction.least_thickness_mm
    need = f"at least {mm_text(least)}"
    if isinstance(fact, Unknown):
        return unknown(THICKNESS, "The thickness of the barrier is not known.", (fact,), "", need, _SAME)
    have = mm_text(fact.value)
    if fact.value >= least:
        return passed(THICKNESS, "The barrier is as thick as tested or thicker.", have, need, _SAME, (fact,))
    return failed(THICKNESS, "The barrier is thinner than tested.", have, need, _SAME, (fact,))


def check_density(
    penetration: Penetration, requirement: Requirement, installation: TestedInstallation, basis: Basis
) -> Checked:
    """At least as dense as tested (trade handbook row 2.41, C25); no denser only where the document sets a most."""
    del requirement, basis
    tested = installation.construction
    least, most = tested.least_density_kg_m3, tested.most_density_kg_m3
    if least is None and most is None and tested.kind not in DENSE_KINDS:
        return not_applicable(DENSITY, "The document sets no density for this kind of construction.")
    kind = wall_fact(penetration, "kind")
    if tested.kind in DENSE_KINDS and isinstance(kind, Known) and kind.value is not tested.kind:
        # The kind fails already; nobody is to be asked for the density of a stud wall.
        return not_applicable(DENSITY, f"The barrier is no {tested.kind}; see its kind.", kind.value.value, (kind,))
    fact = wall_fact(penetration, "density_kg_m3")
    need = window_text(Window(least, most), "kg/m³")
    have = "" if isinstance(fact, Unknown) else f"{number_text(fact.value)} kg/m³"
    if isinstance(fact, Known):
        if least is not None and fact.value < least:
            return failed(DENSITY, "The barrier is less dense than tested.", have, need, _SAME, (fact,))
        if most is not None and fact.value > most:
            return failed(DENSITY, "The barrier is denser than the document allows.", have, need, _SAME, (fact,))
    missing: list[Missed] = [fact] if isinstance(fact, Unknown) else []
    if least is None and tested.kind in DENSE_KINDS:
        missing.append(evidence_missing(installation, "construction.least_density_kg_m3", "the density of the test"))
    if missing:
        return unknown(DENSITY, "The density of barrier or test is not known.", missing, have, need, _SAME, (fact,))
    return passed(DENSITY, "The barrier is as dense as tested or denser.", have, need, _SAME, (fact,))


def _other_kind(
    code: str, penetration: Penetration, installation: TestedInstallation, kinds: frozenset[SupportingConstruction]
) -> Checked | None:
    """Why a check of how a barrier is made does not apply or can't be made; None when it applies."""
    tested = installation.construction.kind
    if tested not in kinds:
        return not_applicable(code, f"Not asked of a {tested}.")
    kind = wall_fact(penetration, "kind")
    if isinstance(kind, Unknown):
        return unknown(code, "What the barrier is made of is not known.", (kind,))
    if kind.value is not tested:
        return not_applicable(code, f"The barrier is no {tested}; see its kind.", kind.value.value, (kind,))
    return None


class _Parts:
    """Collects the parts of one check: what fails, what is missing, what is there and what is needed."""

    def __init__(self, penetration: Penetration, installation: TestedInstallation) -> None:
        self.penetration = penetration
        self.installation = installation
        self.off: list[str] = []
        self.missing: list[Missed] = []
        self.have: list[str] = []
        self.need: list[str] = []
        self.facts: list[object] = [installation]

    def hold(
        self,
        words: str,
        name: str,
        field: str,
        tested: Any,
        good: Callable[[Any, Any], bool],
        show: Callable[[Any], str],
        bound: str = "",
    ) -> None:
        fact = wall_fact(self.penetration, name)
        if isinstance(fact, Known):
            self.have.append(_named(words, show(fact.value)))
            self.facts.append(fact)
        else:
            self.missing.append(fact)
        if tested is None:
            self.missing.append(
                evidence_missing(self.installation, f"construction.{field}", f"the {words} of the test")
            )
        else:
            self.need.append(_named(words, f"{bound}{show(tested)}"))
        if isinstance(fact, Known) and tested is not None and not good(fact.value, tested):
            self.off.append(words)

    def verdict(self, code: str, subject: str) -> Checked:
        have, need = ", ".join(self.have), ", ".join(self.need)
        if self.off:
            text = f"{subject}: {', '.join(self.off)} not as tested."
            return failed(code, text, have, need, _BOARDED, self.facts)
        if self.missing:
            text = (
                f"{subject}: not enough is known to hold the wall against the test; its thickness alone tells nothing."
            )
            return unknown(code, text, self.missing, have, need, _BOARDED, self.facts)
        return passed(code, f"{subject}: as tested or better.", have, need, _BOARDED, self.facts)


def _named(words: str, value: str) -> str:
    """A value behind its name; a value that begins with the last word of the name does not say it twice."""
    last = words.split()[-1]
    first, _, rest = value.partition(" ")
    return f"{words} {rest}" if rest and plain(first) == plain(last) else f"{words} {value}"


def _same_words(site: str, tested: str) -> bool:
    return plain(site) == plain(tested)


def _layers_hold(site: tuple[int, int], tested: tuple[int, int]) -> bool:
    """Each side has at least the layers tested; which side is called A decides nothing."""
    return all(have >= need for have, need in zip(sorted(site), sorted(tested), strict=True))


def _layers_text(layers: tuple[int, int]) -> str:
    return f"{layers[0]} + {layers[1]}"


def check_boards(
    penetration: Penetration, requirement: Requirement, installation: TestedInstallation, basis: Basis
) -> Checked:
    """Board type the same, thickness and layers on each side at least as tested (trade handbook row 2.40)."""
    del requirement, basis
    other = _other_kind(BOARDS, penetration, installation, FRAMED_KINDS)
    if other is not None:
        return other
    tested, parts = installation.construction, _Parts(penetration, installation)
    parts.hold("board type", "board_type", "board_type", tested.board_type, _same_words, str)
    parts.hold(
        "board thickness",
        "board_thickness_mm",
        "board_thickness_mm",
        tested.board_thickness_mm,
        lambda a, b: bool(a >= b),
        mm_text,
        "at least ",
    )
    parts.hold("layers", "board_layers", "board_layers", tested.board_layers, _layers_hold, _layers_text, "at least ")
    return parts.verdict(BOARDS, "Boards")


def check_studs(
    penetration: Penetration, requirement: Requirement, installation: TestedInstallation, basis: Basis
) -> Checked:
    """Studs at least as big and no farther apart than tested."""
    del requirement, basis
    other = _other_kind(STUDS, penetration, installation, FRAMED_KINDS)
    if other is not None:
        return other
    tested, parts = installation.construction, _Parts(penetration, installation)
    parts.hold(
        "stud size",
        "stud_size_mm",
        "stud_size_mm",
        tested.stud_size_mm,
        lambda a, b: bool(a >= b),
        mm_text,
        "at least ",
    )
    parts.hold(
        "stud spacing",
        "stud_spacing_mm",
        "most_stud_spacing_mm",
        tested.most_stud_spacing_mm,
        lambda a, b: bool(a <= b),
        mm_text,
        "at most ",
    )
    return parts.verdict(STUDS, "Studs")


def check_cavity_fill(
    penetration: Penetration, requirement: Requirement, installation: TestedInstallation, basis: Basis
) -> Checked:
    """The cavity filled as tested: the same words in wall type and document."""
    del requirement, basis
    other = _other_kind(CAVITY_FILL, penetration, installation, FRAMED_KINDS)
    if other is not None:
        return other
    parts = _Parts(penetration, installation)
    parts.hold("fill", "cavity_fill", "cavity_fill", installation.construction.cavity_fill, _same_words, str)
    return parts.verdict(CAVITY_FILL, "Cavity")


def check_material(
    penetration: Penetration, requirement: Requirement, installation: TestedInstallation, basis: Basis
) -> Checked:
    """Panels, decks, timber floors, cavity barriers and other construction: the very material tested (row 2.44)."""
    del requirement, basis
    other = _other_kind(MATERIAL, penetration, installation, NAMED_KINDS)
    if other is not None:
        return other
    parts = _Parts(penetration, installation)
    parts.hold("material", "material", "material", installation.construction.material, _same_words, str)
    return parts.verdict(MATERIAL, "Construction")


def _formed(penetration: Penetration) -> bool:
    formed = penetration.opening.formed
    return isinstance(formed, Known) and formed.value


def check_opening_framing(
    penetration: Penetration, requirement: Requirement, installation: TestedInstallation, basis: Basis
) -> Checked:
    """The opening framed as tested; a change as long as the opening is not formed."""
    del requirement, basis
    code = OPENING_FRAMING
    other = _other_kind(code, penetration, installation, FRAMED_KINDS)
    if other is not None:
        return other
    fact, tested = wall_fact(penetration, "opening_framing"), installation.construction.opening_framing
    missing: list[Missed] = [fact] if isinstance(fact, Unknown) else []
    if tested is None:
        missing.append(evidence_missing(installation, "construction.opening_framing", "how the opening was framed"))
    have, need = "" if isinstance(fact, Unknown) else fact.value, tested or ""
    if missing or tested is None:
        return unknown(code, "How the opening is framed is not known.", missing, have, need, _BOARDED, (fact,))
    facts = (fact, installation)
    if _same_words(have, tested):
        return passed(code, "The opening is framed as tested.", have, need, _BOARDED, facts)
    text = "The opening is not framed as tested."
    if _formed(penetration):
        return failed(code, f"{text} It is formed already: form it again.", have, need, _BOARDED, facts)
    return cured(code, text, f"Frame the opening as tested: {tested}.", have, need, _BOARDED, facts)


def lining_holds(site_mm: float, tested_mm: float) -> bool:
    """Unlined where tested unlined, else at least as thick."""
    return site_mm == 0 if tested_mm == 0 else site_mm >= tested_mm


def _lining_text(value: float) -> str:
    return "unlined" if value == 0 else f"{mm_text(value)} on each reveal"


def check_lining(
    penetration: Penetration, requirement: Requirement, installation: TestedInstallation, basis: Basis
) -> Checked:
    """Reveals lined as tested or thicker, unlined where tested unlined; a change until the opening is formed."""
    del requirement, basis
    other = _other_kind(LINING, penetration, installation, FRAMED_KINDS)
    if other is not None:
        return other
    fact, tested = wall_fact(penetration, "lining_mm"), installation.construction.lining_mm
    missing: list[Missed] = [fact] if isinstance(fact, Unknown) else []
    if tested is None:
        missing.append(evidence_missing(installation, "construction.lining_mm", "how the reveals were lined"))
    have = "" if isinstance(fact, Unknown) else _lining_text(fact.value)
    need = "" if tested is None else _lining_text(tested)
    if isinstance(fact, Unknown) or tested is None:
        return unknown(LINING, "How the reveals are lined is not known.", missing, have, need, _BOARDED, (fact,))
    facts = (fact, installation)
    if lining_holds(fact.value, tested):
        return passed(LINING, "The reveals are lined as tested.", have, need, _BOARDED, facts)
    text = "The reveals are not lined as tested."
    if _formed(penetration):
        return failed(LINING, f"{text} The opening is formed already: form it again.", have, need, _BOARDED, facts)
    return cured(LINING, text, f"Line the reveals as tested: {need}.", have, need, _BOARDED, facts)
