# SPDX-License-Identifier: Apache-2.0
"""What if: the same job judged again with changes in it, and which answers would be others. Nothing is written.

Both answers come from `check_job` on the same material, so that a change which is really made in the sheets afterwards
gives what was told here.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from brattice.details.opening import OpeningDetail
from brattice.findings import Finding, Missing
from brattice.quantities import mm_text
from brattice.usecases.changes import WHAT_IF, Change, Changed, apply_changes
from brattice.usecases.check import Material, Standards, check_job
from brattice.usecases.codes import Outcome, finding_code
from brattice.usecases.combine import SOURCES
from brattice.usecases.report_model import PenetrationReport, Report
from brattice.usecases.states import STATES, PenetrationState
from brattice.usecases.words import actuation_asked, class_asked, opening_words

__all__ = ["AnswerChanged", "Aspect", "WhatIf", "what_if"]

_CONTRADICTED = finding_code("sources", Outcome.UNKNOWN)


@dataclass(frozen=True)
class Aspect:
    """One side of an answer that would be another: what it is about, before and after as text ("" for nothing)."""

    about: str
    before: str
    after: str


@dataclass(frozen=True)
class AnswerChanged:
    """One penetration whose answer would be another. `reference` is the schedule's own name, "" for none.

    `aspects` are installation, class and actuation asked and the openings needed, where they differ. `gone` and `new`
    are findings, `settled` and `asked` missing facts. `contradicts` says which changed values another source of the job
    contradicts; there the change alone gives no answer.
    """

    id: str
    reference: str
    state_before: PenetrationState
    state_after: PenetrationState
    why_before: str
    why_after: str
    aspects: tuple[Aspect, ...]
    gone: tuple[Finding, ...]
    new: tuple[Finding, ...]
    settled: tuple[Missing, ...]
    asked: tuple[Missing, ...]
    contradicts: tuple[str, ...] = ()


@dataclass(frozen=True)
class WhatIf:
    """What would change. `unchanged` counts the penetrations whose answer stays; `idle` are those that a change
    reaches and whose answer stays all the same.

    `job_gone` and `job_new` are findings about the job as a whole.
    """

    changed: tuple[Changed, ...]
    answers: tuple[AnswerChanged, ...]
    unchanged: int
    idle: tuple[str, ...]
    job_gone: tuple[Finding, ...]
    job_new: tuple[Finding, ...]
    before: Report
    after: Report

    def counts(self) -> tuple[tuple[PenetrationState, int, int], ...]:
        """How many penetrations are in each state before and after, in the order of the table of states."""
        before = [item.state for item in self.before.penetrations]
        after = [item.state for item in self.after.penetrations]
        return tuple((spec.state, before.count(spec.state), after.count(spec.state)) for spec in STATES)

    @property
    def contradictions(self) -> tuple[str, ...]:
        """The penetrations where another source of the job contradicts a changed value."""
        return tuple(item.id for item in self.answers if item.contradicts)

    @property
    def nothing_changes(self) -> bool:
        """Whether every answer would be the same."""
        return not (self.answers or self.job_gone or self.job_new)

    @property
    def something_open(self) -> bool:
        """Whether anything is left open with the changes made."""
        return self.after.something_open


def _said(finding: Finding) -> tuple[str, bool, str, str, str]:
    """What a finding says, wherever it was read: two that differ in their origins alone are one."""
    return finding.code, finding.open, finding.text, finding.have, finding.need


def _less(these: Iterable[Finding], those: Iterable[Finding]) -> tuple[Finding, ...]:
    known = {_said(item) for item in those}
    return tuple(item for item in these if _said(item) not in known)


def _framed(detail: OpeningDetail | None) -> str:
    need = None if detail is None else detail.need
    return "" if need is None else opening_words(need.least_framed, need.most_framed)


def _finished(detail: OpeningDetail | None) -> str:
    need = None if detail is None else detail.need
    return "" if need is None else opening_words(need.least_finished, need.most_finished)


def _lining(detail: OpeningDetail | None) -> str:
    lining = None if detail is None or detail.need is None else detail.need.lining_mm
    return "" if lining is None else mm_text(lining)


def _installation(item: PenetrationReport) -> str:
    return "" if item.chosen is None else item.chosen.installation_id


def _to_do(item: PenetrationReport) -> str:
    return "" if item.chosen is None else "; ".join(change.text for change in item.chosen.changes)


_ASPECTS = (
    ("tested installation", _installation),
    ("changes it needs", _to_do),
    ("class asked", lambda item: class_asked(item.requirement)),
    ("actuation asked", lambda item: actuation_asked(item.requirement)),
    ("framed opening needed", lambda item: _framed(item.opening)),
    ("finished clear opening needed", lambda item: _finished(item.opening)),
    ("lining a reveal", lambda item: _lining(item.opening)),
    ("what is wrong with the opening there", lambda item: "; ".join(item.opening.texts) if item.opening else ""),
)


def _aspects(before: PenetrationReport, after: PenetrationReport) -> tuple[Aspect, ...]:
    pairs = ((about, text(before), text(after)) for about, text in _ASPECTS)
    return tuple(Aspect(about, one, other) for about, one, other in pairs if one != other)


def _missing(item: PenetrationReport) -> tuple[Missing, ...]:
    return tuple(sorted({query.missing for query in item.queries}))


def _contradicts(new: Sequence[Finding], asked: Sequence[Missing]) -> tuple[str, ...]:
    """What another source says against a changed value, from the findings and questions that come about."""
    found = [
        f"{item.text} {item.have}"
        for item in new
        if item.code == _CONTRADICTED and any(origin.file == WHAT_IF for origin in item.origins)
    ]
    if not found:  # two sources of a wall type ask without a finding of their own
        found = [item.text for item in asked if item.key.endswith(SOURCES) and f"({WHAT_IF}, " in item.text]
    return tuple(sorted(found))


def _compared(before: PenetrationReport, after: PenetrationReport, reference: str) -> AnswerChanged | None:
    aspects = _aspects(before, after)
    gone, new = _less(before.findings, after.findings), _less(after.findings, before.findings)
    old_asked, new_asked = _missing(before), _missing(after)
    settled = tuple(item for item in old_asked if item not in new_asked)
    asked = tuple(item for item in new_asked if item not in old_asked)
    if before.state is after.state and not (aspects or gone or new or settled or asked):
        return None
    return AnswerChanged(
        before.penetration.id,
        reference,
        before.state,
        after.state,
        before.state_why,
        after.state_why,
        aspects,
        gone,
        new,
        settled,
        asked,
        _contradicts(new, asked),
    )


def what_if(
    material: Material,
    standards: Standards,
    changes: Sequence[Change],
    *,
    as_of: date,
    version: str,
    before: Report | None = None,
) -> WhatIf:
    """Judge the material again with changes in it, and compare. The order of the changes does not matter.

    Parameters
    ----------
    material : what was read of the job; it stays as it is
    standards : what is judged by
    changes : what is to be changed
    as_of : the date that is judged for
    version : the program's own
    before : the report on the material, where it was made already for the same date

    Raises
    ------
    InputError : a change that means nothing in this job; every fault at once
    """
    if before is None:
        before = check_job(material, standards, as_of=as_of, version=version)
    applied = apply_changes(material, before, changes)
    after = check_job(applied.material, standards, as_of=as_of, version=version) if applied.changed else before
    references = {
        material.identified.ledger.ids[item.key]: item.row.reference
        for item in material.identified.tied
        if item.row is not None
    }
    pairs = zip(before.penetrations, after.penetrations, strict=True)
    compared = [_compared(old, new, references.get(old.penetration.id, "")) for old, new in pairs]
    answers = tuple(item for item in compared if item is not None)
    reached = {one for item in applied.changed for one in item.reaches}
    return WhatIf(
        changed=applied.changed,
        answers=answers,
        unchanged=len(compared) - len(answers),
        idle=tuple(sorted(reached - {item.id for item in answers})),
        job_gone=_less(before.job_findings, after.job_findings),
        job_new=_less(after.job_findings, before.job_findings),
        before=before,
        after=after,
    )
