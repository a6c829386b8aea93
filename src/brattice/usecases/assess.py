# SPDX-License-Identifier: Apache-2.0
"""From one penetration, its requirement and its judgments to its state, findings and queries."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from brattice.building.penetration import Penetration
from brattice.building.schedule import ScheduleRow
from brattice.building.words import PROTECTED_BY_RUN
from brattice.details.opening import OpeningDetail
from brattice.evidence.judgment import Judgment, Scope
from brattice.findings import Finding, Known, Missing, Party, Query, Reason, Verdict
from brattice.quantities import size_text
from brattice.requirements.requirement import Requirement
from brattice.selection.choice import Choice
from brattice.usecases.accepting import accepted
from brattice.usecases.claims import SCHEDULE_ROW
from brattice.usecases.codes import CELL, Outcome, finding_code
from brattice.usecases.facts import facts_of
from brattice.usecases.job import DeviationAccepted
from brattice.usecases.report_model import PenetrationReport, RowAt
from brattice.usecases.states import PenetrationState

__all__ = ["Answers", "assess", "queries_of", "queries_together"]


EVIDENCE_LOADED = "evidence-loaded"
NO_EVIDENCE = "No tested installation is loaded for this product."


@dataclass(frozen=True)
class Answers:
    """All that the rooms said about one penetration.

    `scheduled` are the reasons of the scheduled facts held against the requirement, `merged` those of merging model
    and schedule. `choice` is None where no damper is judged (nothing needed, a protected run, not settled). `pin` is
    the installation that the project pins here. `row` is the schedule's row, where there is one.
    """

    penetration: Penetration
    requirement: Requirement
    scheduled: tuple[Reason, ...]
    merged: tuple[Reason, ...]
    choice: Choice | None
    opening: OpeningDetail | None
    judged: tuple[tuple[str, int], ...]
    pin: str = ""
    row: ScheduleRow | None = None


def _finding(subject: str, reason: Reason, outcome: Outcome) -> Finding:
    return Finding(
        subject,
        finding_code(reason.code, outcome),
        outcome is not Outcome.NOTE,
        reason.text,
        reason.have,
        reason.need,
        reason.rows,
        reason.origins,
    )


def _findings(subject: str, reasons: Iterable[Reason], cured: frozenset[str] = frozenset()) -> list[Finding]:
    found = []
    asked: set[Missing] = set()
    for reason in reasons:
        of_cell = reason.code == CELL  # each cell that was not read is named, whatever else asks for its fact
        if reason.verdict is Verdict.UNKNOWN and reason.missing and asked.issuperset(reason.missing) and not of_cell:
            continue  # the same missing fact again: one finding says it, the judgment still shows every check
        if reason.verdict is Verdict.FAIL:
            found.append(_finding(subject, reason, Outcome.CHANGE if reason.code in cured else Outcome.FAILS))
        elif reason.verdict is Verdict.UNKNOWN:
            asked.update(() if of_cell else reason.missing)
            found.append(_finding(subject, reason, Outcome.UNKNOWN))
        elif reason.code.endswith("-note"):
            found.append(
                Finding(subject, reason.code, False, reason.text, reason.have, reason.need, reason.rows, reason.origins)
            )
    return found


def _nothing_chosen(penetration: Penetration, choice: Choice, pin: str) -> Reason:
    if pin:
        missing = Missing(f"pin/{pin}", f"Which installation is meant where the project pins {pin}", Party.CLIENT)
        need = "a tested installation of the scheduled product"
        return Reason("pin", Verdict.UNKNOWN, choice.why, pin, need, (), (missing,))
    product = penetration.damper.product
    name = product.value if isinstance(product, Known) else ""
    missing = Missing(
        f"evidence/{name or 'any'}",
        f"The tested installations of {name}" if name else "Any tested installation",
        Party.DAMPER_SUPPLIER,
    )
    have = f"scheduled: {name}" if name else "no product scheduled"
    text = NO_EVIDENCE if name else "No tested installation is loaded, and no product is scheduled."
    size = penetration.damper.size
    if isinstance(size, Known):
        shown = size_text(size.value.width_mm, size.value.height_mm)
        have, text = f"{have}, {shown}", f"{text} Whether the damper is made in {shown} is not known either."
    return Reason(EVIDENCE_LOADED, Verdict.UNKNOWN, text, have, "its tested installations", (), (missing,))


def _reasons(answers: Answers) -> tuple[tuple[Reason, ...], Judgment | None]:
    """Every reason that the state rests on, and the judgment among them."""
    penetration, requirement, choice = answers.penetration, answers.requirement, answers.choice
    reasons = [*answers.merged]
    if requirement.needed is Verdict.NOT_APPLICABLE:
        return tuple(reasons), None
    reasons += [
        Reason(
            "requirement",
            Verdict.UNKNOWN,
            f"What the code asks here waits for an answer: {missing.text}.",
            "",
            "",
            (),
            (missing,),
        )
        for missing in requirement.missing
    ]
    reasons += answers.scheduled
    if choice is None:
        return tuple(reasons), None
    if choice.judgment is None:
        return (*reasons, _nothing_chosen(penetration, choice, answers.pin)), None
    reasons += choice.judgment.reasons
    if answers.opening is not None:
        reasons += answers.opening.reasons
    return tuple(reasons), choice.judgment


def _state(answers: Answers, reasons: Sequence[Reason], judgment: Judgment | None) -> tuple[PenetrationState, str]:
    """The state by the table, worst first, and the rule that gave it."""
    if answers.penetration.to_be_settled:
        return PenetrationState.TO_BE_SETTLED, "The model leaves open whether a duct passes the barrier here."
    cured = _cured(judgment)
    failing = [item for item in reasons if item.verdict is Verdict.FAIL and item.code not in cured]
    unknown = [item for item in reasons if item.verdict is Verdict.UNKNOWN]
    if failing:
        return PenetrationState.OUTSIDE_SCOPE, f"{_count(failing, 'check')} failed and no change named here cures it."
    if unknown and all(item.code == EVIDENCE_LOADED for item in unknown):
        return PenetrationState.NOT_ENOUGH_KNOWN, NO_EVIDENCE
    if unknown:
        return PenetrationState.NOT_ENOUGH_KNOWN, f"{_count(unknown, 'check')} lacked a fact; none is known to fail."
    if answers.requirement.needed is Verdict.NOT_APPLICABLE:
        return PenetrationState.NO_PROTECTION_NEEDED, "The barrier is stated not to be fire-separating or rated."
    method = answers.penetration.protection.method
    if answers.choice is None and isinstance(method, Known) and method.value in PROTECTED_BY_RUN:
        return PenetrationState.PROTECTED_RUN_PROVEN, "The whole protected run is stated proven on a document."
    if judgment is None or answers.requirement.needed is not Verdict.PASS:
        return PenetrationState.NOT_ENOUGH_KNOWN, "No tested installation was judged here."
    if judgment.scope is Scope.WITHIN:
        return PenetrationState.WITHIN_SCOPE, f"{judgment.installation_id} holds in every check that was made."
    if judgment.scope is Scope.WITHIN_IF:
        number = _count(judgment.changes, "change")
        return PenetrationState.WITHIN_SCOPE_IF, f"{judgment.installation_id} holds after {number}."
    if judgment.scope is Scope.NOT_ENOUGH_KNOWN:
        return PenetrationState.NOT_ENOUGH_KNOWN, f"Facts are missing for {judgment.installation_id}."
    return PenetrationState.OUTSIDE_SCOPE, f"{judgment.installation_id} does not hold."


def _count(items: Sequence[object], word: str) -> str:
    return f"{len(items)} {word}" if len(items) == 1 else f"{len(items)} {word}s"


def _cured(judgment: Judgment | None) -> frozenset[str]:
    return frozenset(change.code for change in judgment.changes) if judgment is not None else frozenset()


def _accept(
    findings: Sequence[Finding], deviations: Sequence[DeviationAccepted], subject: str
) -> tuple[list[Finding], DeviationAccepted | None, bool]:
    """Findings with those taken up by an accepted deviation closed; the deviation; whether anything stays open."""
    taken = [accepted(item, deviations) for item in findings]
    after = [finding for finding, _ in taken]
    used = list(dict.fromkeys(item for _, item in taken if item is not None))
    still_open = any(item.open for item in after)
    after += [
        Finding(subject, finding_code("deviation", Outcome.NOTE), False, item.text, ", ".join(item.codes))
        for item in used
    ]
    return after, (used[0] if used else None), still_open


def _asked(reasons: Iterable[Reason], subject: str) -> list[Reason]:
    """The reasons whose missing facts are asked for, each with those alone.

    Where no schedule has a row, the row is asked for and not each value that it would state: one question to one
    party, in place of one for each column. Contradictions between sources are asked all the same.
    """
    reasons = list(reasons)
    if not any(item.code == SCHEDULE_ROW for item in reasons):
        return reasons
    own = f"penetration/{subject}/"
    row = f"{own}{SCHEDULE_ROW}"

    def is_of_row(missing: Missing) -> bool:
        return missing.key.startswith(own) and missing.key != row and not missing.key.endswith("/sources")

    return [replace(item, missing=tuple(m for m in item.missing if not is_of_row(m))) for item in reasons]


def queries_of(findings_of: Iterable[tuple[str, Iterable[Reason]]]) -> tuple[Query, ...]:
    """One query a missing fact, over pairs of subject and reasons, with all that it holds up."""
    return queries_together(
        Query(missing, (subject,), (reason.code,))
        for subject, reasons in findings_of
        for reason in reasons
        for missing in reason.missing
    )


def queries_together(queries: Iterable[Query]) -> tuple[Query, ...]:
    """Queries with those after the same missing fact as one, over all that it holds up and all checks that ask it."""
    held: dict[Missing, set[str]] = {}
    checks: dict[Missing, set[str]] = {}
    for query in queries:
        held.setdefault(query.missing, set()).update(query.holds_up)
        checks.setdefault(query.missing, set()).update(query.checks)
    return tuple(
        sorted(Query(missing, tuple(sorted(ids)), tuple(sorted(checks[missing]))) for missing, ids in held.items())
    )


def assess(answers: Answers, deviations: Sequence[DeviationAccepted] = ()) -> PenetrationReport:
    """The state of one penetration with everything that led to it. Nothing unknown ever passes."""
    penetration = answers.penetration
    reasons, judgment = _reasons(answers)
    if penetration.to_be_settled:
        reasons, judgment = answers.merged, None
    state, why = _state(answers, reasons, judgment)
    findings = _findings(penetration.id, reasons, _cured(judgment))
    lowered = answers.requirement.lowered_by
    if lowered is not None:
        findings.append(
            Finding(
                penetration.id,
                finding_code("requirement-lowered", Outcome.NOTE),
                False,
                f"What is asked here was lowered by {lowered.person}, {lowered.role}, on {lowered.document} revision "
                f"{lowered.revision}, {lowered.on.isoformat()}: {lowered.why}",
            )
        )
    findings, deviation, still_open = _accept(findings, deviations, penetration.id)
    if deviation is not None and not still_open:
        state = PenetrationState.DEVIATION_ACCEPTED
        why = f"Everything open was accepted by {deviation.person} on {deviation.document}."
    open_reasons = [item for item in reasons if finding_code(item.code, Outcome.UNKNOWN) in _open_codes(findings)]
    return PenetrationReport(
        penetration=penetration,
        state=state,
        state_why=why,
        requirement=answers.requirement,
        chosen=judgment,
        chosen_why=answers.choice.why if answers.choice is not None else "",
        others=answers.choice.others if answers.choice is not None else (),
        alternatives=answers.choice.alternatives if answers.choice is not None else (),
        judged=answers.judged,
        opening=answers.opening,
        findings=tuple(sorted(set(findings))),
        queries=queries_of([(penetration.id, _asked(open_reasons, penetration.id))]),
        facts=facts_of(penetration),
        deviation=deviation,
        row=RowAt(row.origin.file, row.sheet, row.number) if (row := answers.row) is not None else None,
        unread=answers.row.unread if answers.row is not None else (),
    )


def _open_codes(findings: Sequence[Finding]) -> frozenset[str]:
    return frozenset(item.code for item in findings if item.open)
