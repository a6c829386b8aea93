# SPDX-License-Identifier: Apache-2.0
"""One penetration against one tested installation: every check made, every reason kept. The oracle of `screen`."""

from __future__ import annotations

from collections.abc import Iterable

from brattice.building.penetration import Penetration
from brattice.building.words import plain
from brattice.classes import ClassSteps
from brattice.evidence.checking import Basis, Checked
from brattice.evidence.checks import CHECKS
from brattice.evidence.checks_document import edition_note
from brattice.evidence.checks_product import achieved_class
from brattice.evidence.dates import KeyDates
from brattice.evidence.installation import TestedInstallation
from brattice.evidence.judgment import Change, Judgment, Scope
from brattice.findings import Known, Missing, Reason, Verdict
from brattice.requirements.requirement import Requirement
from brattice.rows import RowBook

__all__ = ["all_checks", "is_same_product", "judge", "judge_on", "scope_of"]


def is_same_product(penetration: Penetration, installation: TestedInstallation) -> bool:
    """False where the schedule names another product, or the same one of another maker."""
    maker, product = penetration.damper.maker, penetration.damper.product
    if isinstance(product, Known) and plain(product.value) != plain(installation.product):
        return False
    return not (isinstance(maker, Known) and plain(maker.value) != plain(installation.maker))


def all_checks(
    penetration: Penetration, requirement: Requirement, installation: TestedInstallation, basis: Basis
) -> tuple[Checked, ...]:
    """Every check, made whatever the others came to, in the order of the table of codes."""
    return tuple(answer for check in CHECKS for answer in check.run(penetration, requirement, installation, basis))


def scope_of(found: Iterable[Checked]) -> Scope:
    """The scope that checks add up to: what can't be cured first, then what is not known, then what can be cured."""
    answers = tuple(found)
    if any(item.reason.verdict is Verdict.FAIL and item.change is None for item in answers):
        return Scope.OUTSIDE
    if any(item.reason.verdict is Verdict.UNKNOWN for item in answers):
        return Scope.NOT_ENOUGH_KNOWN
    return Scope.WITHIN_IF if any(item.change is not None for item in answers) else Scope.WITHIN


def _changes(found: tuple[Checked, ...]) -> tuple[Change, ...]:
    """The changes that cure all failures of their code; where one of them can't be cured, a change is no help."""
    beyond = {item.reason.code for item in found if item.reason.verdict is Verdict.FAIL and item.change is None}
    return tuple(sorted({item.change for item in found if item.change is not None and item.change.code not in beyond}))


def _notes(
    requirement: Requirement, installation: TestedInstallation, achieved: str, scope: Scope, basis: Basis
) -> tuple[str, ...]:
    edition = edition_note(installation, basis)
    notes = [*installation.notes, *([edition] if edition else [])]
    asked = requirement.class_texts
    if scope in {Scope.WITHIN, Scope.WITHIN_IF} and isinstance(asked, Known):
        if not achieved:
            notes.append("No class is held here.")
        no_more = "Once changed, no more" if scope is Scope.WITHIN_IF else "No more"
        notes.append(
            f"{no_more} is held here than the barrier's class, whatever the damper is classed "
            f"({installation.class_text})."
        )
    return tuple(notes)


def judge_on(
    penetration: Penetration, requirement: Requirement, installation: TestedInstallation, basis: Basis
) -> Judgment:
    """`judge` with dates, rows, steps and jurisdiction in one."""
    found = all_checks(penetration, requirement, installation, basis)
    scope = scope_of(found)
    reasons: tuple[Reason, ...] = tuple(item.reason for item in found)
    missing: set[Missing] = {item for reason in reasons for item in reason.missing}
    holds = scope in {Scope.WITHIN, Scope.WITHIN_IF}
    achieved = achieved_class(penetration, installation, basis) if holds else ""
    return Judgment(
        penetration_id=penetration.id,
        installation_id=installation.id,
        scope=scope,
        reasons=reasons,
        changes=_changes(found),
        missing=tuple(sorted(missing)),
        same_product=is_same_product(penetration, installation),
        achieved_class=achieved,
        notes=_notes(requirement, installation, achieved, scope, basis),
    )


def judge(
    penetration: Penetration,
    requirement: Requirement,
    installation: TestedInstallation,
    dates: KeyDates,
    book: RowBook,
    steps: ClassSteps,
    *,
    jurisdiction: str = "England",
) -> Judgment:
    """How one tested installation holds for one penetration, with the reason of every check.

    An installation tells by itself what other revisions of its document are loaded (`revisions.with_revisions`).
    `dates` are those on which the document must stand, `book` holds the rows, `steps` the classes that exist. A row
    that is not there is our own fault (`OwnFault`).
    """
    return judge_on(penetration, requirement, installation, Basis.of(dates, book, steps, jurisdiction))
