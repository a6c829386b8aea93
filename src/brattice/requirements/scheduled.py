# SPDX-License-Identifier: Apache-2.0
"""What is scheduled at one penetration, held against what is asked there: one reason a check.

A rule that is known to be broken fails whatever else is missing; a pass needs everything that it rests on.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass

from brattice.building.penetration import Penetration
from brattice.building.words import PROTECTED_BY_RUN, Actuation, ProtectionMethod
from brattice.classes import ClassSteps
from brattice.findings import Fact, Known, Missing, Party, Reason, Unknown, Verdict
from brattice.requirements.asked_class import asks_insulation, held_against, unreadable
from brattice.requirements.asking import damper_methods
from brattice.requirements.codes import (
    ACCESS_DOOR,
    BARRIER_INSULATION,
    DAMPER,
    DAMPER_EXCLUDED,
    DAMPER_IN_RUN,
    FIREFIGHTING_SHAFT,
    METHOD,
    PLACING,
    PROTECTED_RUN,
    SCHEDULED_ACTUATION,
    SCHEDULED_CLASS,
    TRANSFER_GRILLE,
)
from brattice.requirements.demands import demands_at, document_name
from brattice.requirements.facts import candidate, facts_at
from brattice.requirements.requirement import MethodAnswer, Requirement
from brattice.requirements.ruleset import Facts, RuleSet, answer, applies
from brattice.requirements.standing import rules_missing, wall_evidence
from brattice.rows import RowBook

__all__ = ["check_scheduled"]

_BY_RULES_ALONE = (PROTECTED_RUN, DAMPER, DAMPER_EXCLUDED, PLACING, ACCESS_DOOR, TRANSFER_GRILLE, FIREFIGHTING_SHAFT)


@dataclass(frozen=True)
class _Held:
    """How what is scheduled stands to what one method asks."""

    verdict: Verdict
    text: str
    need: str
    rows: tuple[str, ...] = ()
    missing: tuple[Missing, ...] = ()


def _decides(reason: Reason) -> bool:
    return reason.verdict is not Verdict.NOT_APPLICABLE or reason.code.endswith("-note")


def _unknowns_together(reasons: Iterable[Reason]) -> list[Reason]:
    """The reasons of one check, those that lack a fact as one: a missing fact is one question, not one a rule."""
    given = list(reasons)
    unknown = [item for item in given if item.verdict is Verdict.UNKNOWN]
    if len(unknown) < 2:
        return given
    together = Reason(
        unknown[0].code,
        Verdict.UNKNOWN,
        "Several rules may speak here, and what decides it is not known.",
        unknown[0].have,
        "",
        tuple(sorted({row for item in unknown for row in item.rows})),
        tuple(sorted({missing for item in unknown for missing in item.missing})),
        tuple(sorted({origin for item in unknown for origin in item.origins})),
    )
    return [*(item for item in given if item.verdict is not Verdict.UNKNOWN), together]


def _method(penetration: Penetration, requirement: Requirement) -> Iterator[Reason]:
    """The chosen method against the methods that may be used."""
    chosen = penetration.protection.method
    allowed = ", ".join(str(item.method) for item in requirement.methods if item.verdict is Verdict.PASS)
    need = f"one of: {allowed}" if allowed else ""
    if isinstance(chosen, Unknown):
        text = "The protection method is not stated."
        yield Reason(METHOD, Verdict.UNKNOWN, text, "not known", need, ("england.methods",), (chosen.missing,))
        return
    mine = next(item for item in requirement.methods if item.method is chosen.value)
    if mine.verdict is Verdict.PASS:
        rows = tuple(sorted({row for item in mine.reasons for row in item.rows}))
        yield Reason(
            METHOD,
            Verdict.PASS,
            "The method may be used here.",
            str(chosen.value),
            need,
            rows,
            (),
            (chosen.origin,),
        )
    for item in _unknowns_together(mine.reasons):
        if item.verdict in {Verdict.FAIL, Verdict.UNKNOWN} or item.code.endswith("-note"):
            yield Reason(
                item.code,
                item.verdict,
                item.text,
                str(chosen.value),
                need or item.need,
                item.rows,
                item.missing,
                tuple(sorted({chosen.origin, *item.origins})),
            )


def _together(code: str, held: Sequence[_Held], have: str, undecided: Iterable[Missing]) -> Reason:
    """One reason from how each method that may hold here takes it; they disagree: it depends on the method."""
    verdicts = {item.verdict for item in held}
    rows = tuple(sorted({row for item in held for row in item.rows}))
    need = " or ".join(dict.fromkeys(item.need for item in held if item.need))
    if len(verdicts) == 1:
        missing = tuple(sorted({gap for item in held for gap in item.missing}))
        text = " ".join(dict.fromkeys(item.text for item in held))
        return Reason(code, held[0].verdict, text, have, need, rows, missing)
    missing = tuple(sorted({*undecided, *(gap for item in held for gap in item.missing)}))
    return Reason(
        code, Verdict.UNKNOWN, "It depends on the protection method, which is not settled.", have, need, rows, missing
    )


@dataclass(frozen=True)
class _Case:
    penetration: Penetration
    requirement: Requirement
    ruleset: RuleSet
    facts: Facts
    steps: ClassSteps
    asked: tuple[MethodAnswer, ...]

    def undecided(self) -> tuple[Missing, ...]:
        """What keeps open which method holds."""
        chosen = self.penetration.protection.method
        gaps = {gap for item in self.asked for reason in item.reasons for gap in reason.missing}
        return tuple(sorted(gaps | ({chosen.missing} if isinstance(chosen, Unknown) else set())))


def _applying(check: str, method: ProtectionMethod, case: _Case) -> tuple[str, ...]:
    """The ids of the rules of a check that apply, or may apply, to a method."""
    facts = {**case.facts, "method": candidate(method)}
    return tuple(rule.id for rule in case.ruleset.check(check) if applies(rule, facts).verdict is not Verdict.FAIL)


def _failing(check: str, method: ProtectionMethod, case: _Case) -> list[Reason]:
    """What the rules of a check say is broken for a method, whatever else is missing."""

    def satisfies(declared: str, required: str) -> Verdict:
        return held_against(declared, (required,), case.steps).verdict

    facts = {**case.facts, "method": candidate(method)}
    said = (answer(rule, facts, case.penetration.id, satisfies) for rule in case.ruleset.check(check))
    return [item for item in said if item.verdict is Verdict.FAIL]


def _no_damper(penetration: Penetration, asked: Sequence[MethodAnswer]) -> str:
    """Why nothing is asked of a damper ("" where something is)."""
    present = penetration.damper.present
    if isinstance(present, Known) and not present.value:
        return "No damper is scheduled."
    if not asked:
        return "No damper is asked for by the protection method."
    return ""


def _gap(fact: Fact[object] | None) -> tuple[Missing, ...]:
    return (fact.missing,) if isinstance(fact, Unknown) else ()


def _class_under(case: _Case, item: MethodAnswer, declared: str) -> _Held:
    rows = _applying(SCHEDULED_CLASS, item.method, case)
    lowered = case.requirement.lowered_by
    is_lowered = lowered is not None and bool(lowered.class_text.strip())
    if not isinstance(item.class_texts, Known):
        failing = [] if is_lowered else _failing(SCHEDULED_CLASS, item.method, case)
        if failing:
            return _Held(Verdict.FAIL, failing[0].text, failing[0].need, rows)
        return _Held(Verdict.UNKNOWN, "The class that is asked is not known.", "", rows, _gap(item.class_texts))
    answered = held_against(declared, item.class_texts.value, case.steps)
    asks = {row for part in case.requirement.parts if part.about == "class" for row in part.rows}
    cited = tuple(sorted({*asks, *answered.rows}))
    need = " or ".join(item.class_texts.value)
    return _Held(answered.verdict, answered.text, need, cited, answered.missing(case.penetration.id))


def _class(case: _Case) -> Reason:
    """The class text alone: nothing about wall, size, seal, position or actuation."""
    none = _no_damper(case.penetration, case.asked)
    if none:
        return Reason(SCHEDULED_CLASS, Verdict.NOT_APPLICABLE, none)
    declared = case.penetration.damper.class_text
    if isinstance(declared, Unknown):
        need = " or ".join(
            text for item in case.asked if isinstance(item.class_texts, Known) for text in item.class_texts.value
        )
        text = "The class of the scheduled damper is not known."
        return Reason(SCHEDULED_CLASS, Verdict.UNKNOWN, text, "not known", need, (), (declared.missing,))
    fault = unreadable(declared.value, case.steps)
    if fault:
        text = f"The class that the schedule claims can't be read: {fault}"
        return Reason(
            SCHEDULED_CLASS, Verdict.FAIL, text, declared.value, "a fire damper class", (), (), (declared.origin,)
        )
    held = [_class_under(case, item, declared.value) for item in case.asked]
    reason = _together(SCHEDULED_CLASS, held, declared.value, case.undecided())
    return _with_origin(reason, declared)


def _actuation_under(case: _Case, item: MethodAnswer, given: frozenset[Actuation]) -> _Held:
    rows = _applying(SCHEDULED_ACTUATION, item.method, case)
    failing = _failing(SCHEDULED_ACTUATION, item.method, case)
    lowered = case.requirement.lowered_by
    need = " and ".join(sorted(item.actuation.value)) if isinstance(item.actuation, Known) else ""
    if failing and not (lowered is not None and lowered.actuation is not None):
        text = " ".join(dict.fromkeys(reason.text for reason in failing))
        return _Held(Verdict.FAIL, text, need or failing[0].need, rows)
    if not isinstance(item.actuation, Known):
        return _Held(Verdict.UNKNOWN, "What must close the damper is not known.", "", rows, _gap(item.actuation))
    if item.actuation.value <= given:
        return _Held(Verdict.PASS, "All that must close the damper does.", need, rows)
    lacking = " and ".join(sorted(item.actuation.value - given))
    return _Held(Verdict.FAIL, f"Nothing is scheduled that closes the damper by {lacking}.", need, rows)


def _actuation(case: _Case) -> Reason:
    """What closes the damper, apart from its class (trade handbook row 4.12a)."""
    none = _no_damper(case.penetration, case.asked)
    if none:
        return Reason(SCHEDULED_ACTUATION, Verdict.NOT_APPLICABLE, none)
    given = case.penetration.damper.actuation
    if isinstance(given, Unknown):
        text = "What makes the scheduled damper close is not known."
        need = " and ".join(
            sorted(
                {str(word) for item in case.asked if isinstance(item.actuation, Known) for word in item.actuation.value}
            )
        )
        return Reason(SCHEDULED_ACTUATION, Verdict.UNKNOWN, text, "not known", need, (), (given.missing,))
    held = [_actuation_under(case, item, given.value) for item in case.asked]
    have = " and ".join(sorted(given.value)) or "nothing"
    return _with_origin(_together(SCHEDULED_ACTUATION, held, have, case.undecided()), given)


def _barrier_insulation(case: _Case) -> Reason:
    """Insulation that is demanded of a damper is worth nothing in a barrier that holds none (field case 30).

    The guidance itself asks none (trade handbook row 4.11); a time alone does not say that insulation is held.
    """
    code, rating, rules = BARRIER_INSULATION, case.penetration.barrier.rating, case.requirement.rules
    none = _no_damper(case.penetration, case.asked)
    lowered = case.requirement.lowered_by
    if none or rules is None or (lowered is not None and lowered.class_text.strip()):
        return Reason(code, Verdict.NOT_APPLICABLE, none or "What is asked of the damper was lowered.")
    certain = demands_at(case.penetration, rules).certain
    demand = next((item for item in certain if asks_insulation(item.class_text, case.steps)), None)
    if demand is None:
        return Reason(code, Verdict.NOT_APPLICABLE, "Nobody demands insulation of a damper here.")
    need = f"insulation, as {document_name(demand.document, demand.revision)} demands {demand.class_text}"
    if isinstance(rating, Unknown):
        text = "Whether the barrier holds insulation is not known."
        return Reason(code, Verdict.UNKNOWN, text, "not known", need, (), (rating.missing,))
    have, origins = rating.value.text, (rating.origin,)
    if rating.value.insulation_min:
        return Reason(code, Verdict.PASS, "The barrier holds insulation.", have, need, (), (), origins)
    if rating.value.names_criteria:
        text = "Insulation is demanded of a damper in a barrier that holds none; what is achieved never exceeds it."
        return Reason(code, Verdict.FAIL, text, have, need, (), (), origins)
    missing = Missing(
        f"penetration/{case.penetration.id}/barrier-insulation",
        f"Whether the barrier at {case.penetration.id}, rated {have!r}, holds insulation for that time",
        Party.FIRE_ENGINEER,
    )
    text = "The barrier's rating is a time alone; whether it holds insulation is not known."
    return Reason(code, Verdict.UNKNOWN, text, have, need, (), (missing,), origins)


def _damper_in_run(penetration: Penetration) -> Reason:
    """A damper in a protected run: nobody judges it as a damper, and its joint has to be tested (field case 7)."""
    code, present, method = DAMPER_IN_RUN, penetration.damper.present, penetration.protection.method
    if not isinstance(method, Known) or method.value not in PROTECTED_BY_RUN:
        return Reason(code, Verdict.NOT_APPLICABLE, "No enclosure or fire-resisting ductwork protects here.")
    need = "no damper, or an answer for it"
    if isinstance(present, Unknown):
        text = "Whether a damper stands in the protected run is not known."
        return Reason(code, Verdict.UNKNOWN, text, "not known", need, (), (present.missing,))
    if not present.value:
        text = "No damper stands in the protected run."
        return Reason(code, Verdict.PASS, text, "no damper", need, (), (), (present.origin,))
    missing = Missing(
        f"penetration/{penetration.id}/damper-in-run",
        f"What the damper at {penetration.id} does in a run protected otherwise, and what proves its joint to the run",
        Party.FIRE_ENGINEER,
    )
    text = "A damper stands in a run that is protected without one; the document of the run does not judge it."
    return Reason(code, Verdict.UNKNOWN, text, "a damper", need, (), (missing,), (present.origin,))


def _with_origin(reason: Reason, fact: Known[object]) -> Reason:
    return Reason(
        reason.code,
        reason.verdict,
        reason.text,
        reason.have,
        reason.need,
        reason.rows,
        reason.missing,
        (fact.origin,),
    )


def check_scheduled(
    penetration: Penetration, requirement: Requirement, book: RowBook, steps: ClassSteps
) -> tuple[Reason, ...]:
    """Every check of what is scheduled against the requirement that `require` gave, in a fixed order.

    A code ending in "-note" is to be shown and decides nothing. Nothing is checked where no protection is needed.
    """
    rules = requirement.rules
    if requirement.needed is Verdict.NOT_APPLICABLE or rules is None:
        return ()
    reasons = list(_method(penetration, requirement))
    held = rules_missing(rules, book) is None
    ruleset = RuleSet.of(book, rules) if held else RuleSet(())
    facts = facts_at(penetration, rules, book) if held else {}
    for check in _BY_RULES_ALONE:
        said = [answer(rule, facts, penetration.id) for rule in ruleset.check(check)]
        reasons += [item for item in _unknowns_together(said) if _decides(item)]
    by_method = {item.method: item for item in requirement.methods}
    asked = damper_methods(penetration.protection.method, by_method)
    case = _Case(penetration, requirement, ruleset, facts, steps, asked)
    checks: tuple[Callable[[_Case], Reason], ...] = (_class, _actuation)
    reasons += [check(case) for check in checks]
    if held:
        further = (_barrier_insulation(case), _damper_in_run(penetration))
        reasons += [item for item in further if _decides(item)]
    if held:
        evidence = wall_evidence(penetration.barrier.rating, rules, book)
        reasons += [evidence] if evidence is not None else []
    return tuple(reasons)
