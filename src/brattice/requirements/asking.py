# SPDX-License-Identifier: Apache-2.0
"""What the code asks at one penetration: whether protection is needed, by which methods, which class and actuation.

Three things hold everywhere in this module. What is not known stays *not enough known* with the fact that is missing;
a demand of the fire strategy can only raise; an override that lowers is taken only when complete and is carried along.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from brattice.building.penetration import Penetration
from brattice.building.words import Actuation, BarrierRole, ProtectionMethod
from brattice.classes import ClassSteps
from brattice.findings import Fact, Known, Missing, Origin, Party, Reason, Unknown, Verdict, all_of
from brattice.requirements.asked_class import AskedClass, joined, least_class
from brattice.requirements.codes import METHOD, SCHEDULED_ACTUATION, SCHEDULED_CLASS
from brattice.requirements.demands import Demanded, Lowering, demands_at, lowering_at
from brattice.requirements.facts import candidate, facts_at
from brattice.requirements.parts import parts_of
from brattice.requirements.predicates import is_dwelling
from brattice.requirements.requirement import Demand, MethodAnswer, Requirement, Rules
from brattice.requirements.ruleset import Facts, RuleSet, answer, applies
from brattice.requirements.standing import rules_missing
from brattice.rows import RowBook

__all__ = ["damper_methods", "require"]

ClassFact = Fact[tuple[str, ...]]
ActuationFact = Fact[frozenset[Actuation]]

_BY_DAMPER = (ProtectionMethod.FIRE_DAMPER, ProtectionMethod.FIRE_AND_SMOKE_DAMPER)

_DWELLINGS = Missing(
    "rules/dwellings",
    "What the guidance asks of ducts in dwellings (rows are held for stairs, firefighting shafts and smoke shafts "
    "alone)",
    Party.FIRE_ENGINEER,
)


@dataclass(frozen=True)
class _Place:
    """One penetration with all that is asked of it."""

    penetration: Penetration
    rules: Rules
    book: RowBook
    steps: ClassSteps
    ruleset: RuleSet
    facts: Facts
    held: tuple[Missing, ...]
    demanded: Demanded
    lowering: Lowering


# --- whether protection is needed ------------------------------------------------------------------------------------


def _demanded_by_name(penetration: Penetration, rules: Rules) -> tuple[Missing, ...]:
    """What is to be settled where nothing seems needed and the fire strategy demands something by name."""
    found = demands_at(penetration, rules)
    demands = (*found.certain, *(item for item, _ in found.possible))
    named = [item for item in demands if penetration.id in item.penetrations]
    key = f"penetration/{penetration.id}/role-and-demand"
    text = f"Which is right at {penetration.id}: that nothing is needed, or what {{}} demands there by name"
    return tuple(Missing(key, text.format(item.document), Party.FIRE_ENGINEER) for item in named[:1])


def _needed(penetration: Penetration, rules: Rules) -> tuple[Verdict, tuple[Missing, ...]]:
    """Whether the barrier needs protecting, and what is missing where that can't be told."""
    role, rating = penetration.barrier.role, penetration.barrier.rating
    if isinstance(role, Known) and role.value is BarrierRole.NOT_SEPARATING:
        demanded = _demanded_by_name(penetration, rules)
        return (Verdict.UNKNOWN if demanded else Verdict.NOT_APPLICABLE), demanded
    if isinstance(role, Known) and role.value is BarrierRole.CAVITY_BARRIER:
        key = f"penetration/{penetration.id}/cavity-barrier"
        return Verdict.UNKNOWN, (Missing(key, "What protects a duct through this cavity barrier", Party.FIRE_ENGINEER),)
    if isinstance(rating, Known) and rating.value.is_unrated:
        if not isinstance(role, Known):
            demanded = _demanded_by_name(penetration, rules)
            return (Verdict.UNKNOWN if demanded else Verdict.NOT_APPLICABLE), demanded
        key = f"penetration/{penetration.id}/role-and-rating"
        text = f"Which is right: this barrier is stated to be a {role.value}, and to have no fire resistance"
        return Verdict.UNKNOWN, (Missing(key, text, Party.FIRE_ENGINEER),)
    missing = tuple(fact.missing for fact in (role, rating) if isinstance(fact, Unknown))
    return (Verdict.UNKNOWN, missing) if missing else (Verdict.PASS, ())


def _dwelling_missing(penetration: Penetration, rules: Rules) -> tuple[Missing, ...]:
    """What keeps rules for other buildings from being enough: a dwelling beside the barrier, or spaces not known."""
    if rules.purpose == "residential":
        return (_DWELLINGS,)
    dwelling = is_dwelling(penetration.spaces)
    if isinstance(dwelling, Unknown):
        return (dwelling.missing,)
    return (_DWELLINGS,) if dwelling.value else ()


# --- class and actuation of one method ------------------------------------------------------------------------------


def _with_demands(base: AskedClass, demands: Sequence[Demand], place: _Place) -> AskedClass | Missing:
    """The class that meets `base` and every demand, or the missing thing where a demand can't be read."""
    asked = base
    for demand in demands:
        if not demand.class_text.strip():
            continue
        result = joined(asked, demand.class_text, place.steps)
        if isinstance(result, str):
            key = f"demand/{demand.document or 'fire strategy'}/class"
            return Missing(key, f"The class that {demand.document or 'a demand'} asks: {result}", Party.FIRE_ENGINEER)
        asked = result
    return asked


def _class_of(method: ProtectionMethod, place: _Place) -> ClassFact:
    """The classes asked of a damper of a method, canonical; none where no class that exists is enough."""
    override = place.lowering.override
    barrier = place.penetration.barrier
    if not isinstance(barrier.orientation, Known):
        return barrier.orientation
    orientation = barrier.orientation.value
    if override is not None and override.class_text.strip():
        lowered = joined(AskedClass(orientation), override.class_text, place.steps)
        if isinstance(lowered, str):
            key = f"lowered/{override.document}/class"
            return Unknown(
                Missing(key, f"The class that {override.document} lowers to: {lowered}", Party.FIRE_ENGINEER)
            )
        return Known(lowered.texts(), Origin(override.document, override.revision))
    if place.held:
        return Unknown(place.held[0])
    if not isinstance(barrier.rating, Known):
        return barrier.rating
    base = AskedClass(orientation)
    facts = _for_method(method, place.facts)
    minutes, doubtful = barrier.rating.value.integrity_min, []
    for rule in place.ruleset.check(SCHEDULED_CLASS):
        where = applies(rule, facts)
        if where.verdict is Verdict.PASS:
            base = least_class(base, str(rule.asks.value), minutes, place.steps)
        elif where.verdict is Verdict.UNKNOWN:
            doubtful.append((str(rule.asks.value), where.missing[0]))
    for text, missing in doubtful:  # a rule that may apply and would ask more leaves the class open
        if least_class(base, text, minutes, place.steps).texts() != base.texts():
            return Unknown(missing)
    certain = _with_demands(base, place.demanded.certain, place)
    if isinstance(certain, Missing):
        return Unknown(certain)
    known = Known(certain.texts(), barrier.rating.origin)
    for demand, missing in place.demanded.possible:
        more = _with_demands(certain, (demand,), place)
        if isinstance(more, Missing) or more.texts() != known.value:
            return Unknown(missing)
    return known


def _actuation_of(method: ProtectionMethod, place: _Place) -> ActuationFact:
    """What must close a damper of a method: all that any rule or demand that applies asks."""
    override = place.lowering.override
    if override is not None and override.actuation is not None:
        return Known(override.actuation, Origin(override.document, override.revision))
    if place.held:
        return Unknown(place.held[0])
    facts = _for_method(method, place.facts)
    asked: set[Actuation] = set()
    possible: list[tuple[frozenset[Actuation], Missing]] = []
    for rule in place.ruleset.check(SCHEDULED_ACTUATION):
        words = frozenset(Actuation(str(item)) for item in _words(rule.asks.value))
        where = applies(rule, facts)
        if where.verdict is Verdict.PASS:
            asked |= words
        elif where.verdict is Verdict.UNKNOWN:
            possible.append((words, where.missing[0]))
    for demand in place.demanded.certain:
        asked |= demand.actuation or frozenset()
    possible += [(demand.actuation or frozenset(), missing) for demand, missing in place.demanded.possible]
    undecided = sorted(missing for words, missing in possible if not words <= asked)
    return Unknown(undecided[0]) if undecided else Known(frozenset(asked), Origin("rules"))


def _words(value: object) -> tuple[object, ...]:
    return value if isinstance(value, tuple) else (value,)


def _for_method(method: ProtectionMethod, facts: Facts) -> Facts:
    return {**facts, "method": candidate(method)}


# --- one method ------------------------------------------------------------------------------------------------------


def _method_answer(method: ProtectionMethod, place: _Place) -> MethodAnswer:
    """Whether a method may be used, with every reason that had a say; a note decides nothing."""
    methods = place.book.need("england.methods", place.rules.on, place.rules.jurisdiction)
    reasons = [Reason(METHOD, Verdict.PASS, methods.paraphrase, str(method), "", (methods.id,))]
    facts = _for_method(method, place.facts)
    said = (answer(rule, facts, place.penetration.id) for rule in place.ruleset.check(METHOD))
    reasons += [item for item in said if item.verdict is not Verdict.NOT_APPLICABLE or item.code != METHOD]
    if place.held:
        text = "What the guidance asks here can't be told yet."
        reasons.append(Reason(METHOD, Verdict.UNKNOWN, text, str(method), "", (), place.held))
    if method not in _BY_DAMPER:
        return MethodAnswer(method, all_of(item.verdict for item in reasons), tuple(reasons))
    class_texts = _class_of(method, place)
    if isinstance(class_texts, Known) and not class_texts.value:
        reasons.append(
            Reason(
                METHOD,
                Verdict.FAIL,
                "No fire damper class exists for a time that long: an enclosure or fire-resisting ductwork is left.",
                str(method),
                "",
                ("class.fire-damper.e-steps", "class.fire-damper.ei-steps", "england.class.barrier-integrity"),
            )
        )
    return MethodAnswer(
        method,
        all_of(item.verdict for item in reasons),
        tuple(reasons),
        class_texts,
        _actuation_of(method, place),
    )


# --- all together ----------------------------------------------------------------------------------------------------


def damper_methods(
    chosen: Fact[ProtectionMethod], answers: Mapping[ProtectionMethod, MethodAnswer]
) -> tuple[MethodAnswer, ...]:
    """The methods by damper that what is scheduled has to be held against; none where no damper is asked.

    The chosen one where it may be used. Where it may not, those that may. Where that can't be told, the chosen one and
    those that ask for more. Without a choice, all that are not excluded.
    """
    left = tuple(item for method, item in answers.items() if method in _BY_DAMPER and item.verdict is not Verdict.FAIL)
    if not isinstance(chosen, Known):
        return left
    mine = answers.get(chosen.value)
    if mine is None or chosen.value not in _BY_DAMPER:
        return ()
    if mine.verdict is Verdict.PASS:
        return (mine,)
    if mine.verdict is Verdict.FAIL or chosen.value is ProtectionMethod.FIRE_DAMPER:
        return left
    return (mine,)


def _one_class(place: _Place, asked: Sequence[MethodAnswer]) -> ClassFact:
    """The classes of which any one will do, or what has to be known first."""
    facts = [item.class_texts for item in asked if item.class_texts is not None]
    for fact in facts:
        if isinstance(fact, Unknown):
            return fact
    texts = [fact.value for fact in facts if isinstance(fact, Known)]
    if not texts:
        return Known((), Origin("rules"))
    undecided = _undecided(asked)
    if undecided is not None and any(item != texts[0] for item in texts):
        return Unknown(undecided)
    first = next(fact for fact in facts if isinstance(fact, Known))
    return Known(tuple(dict.fromkeys(text for item in texts for text in item)), first.origin)


def _undecided(asked: Iterable[MethodAnswer]) -> Missing | None:
    """What keeps it open whether one of several methods may be used."""
    missing = {gap for item in asked if item.verdict is Verdict.UNKNOWN for r in item.reasons for gap in r.missing}
    return min(missing, default=None)


def _one_actuation(chosen: Fact[ProtectionMethod], asked: Sequence[MethodAnswer]) -> ActuationFact:
    facts = [item.actuation for item in asked if item.actuation is not None]
    for fact in facts:
        if isinstance(fact, Unknown):
            return fact
    known = [fact for fact in facts if isinstance(fact, Known)]
    if not known:
        return Known(frozenset(), Origin("rules"))
    if any(fact.value != known[0].value for fact in known):
        undecided = _undecided(asked)
        if undecided is None and isinstance(chosen, Unknown):
            undecided = chosen.missing
        if undecided is not None:
            return Unknown(undecided)
    return known[0]


def _missing(place: _Place, requirement: Requirement) -> tuple[Missing, ...]:
    """Every fact that holds up an answer to what is asked here, each once."""
    found = {*place.held, *place.lowering.missing}
    chosen = place.penetration.protection.method
    if isinstance(chosen, Unknown):
        found.add(chosen.missing)
    for item in requirement.methods:
        if not isinstance(chosen, Known) or item.method is chosen.value:
            found |= {gap for reason in item.reasons for gap in reason.missing}
    for fact in (requirement.class_texts, requirement.actuation):
        if isinstance(fact, Unknown):
            found.add(fact.missing)
    return tuple(sorted(found))


def _nothing_asked(penetration: Penetration, methods: Sequence[ProtectionMethod], rules: Rules) -> Requirement:
    text = "The barrier is stated not to be fire-separating, or to have no fire resistance."
    return Requirement(
        penetration.id,
        Verdict.NOT_APPLICABLE,
        tuple(
            MethodAnswer(method, Verdict.NOT_APPLICABLE, (Reason(METHOD, Verdict.NOT_APPLICABLE, text),))
            for method in methods
        ),
        Known((), Origin("rules")),
        Known(frozenset(), Origin("rules")),
        (),
        (),
        lowering_at(penetration, rules).override,
        rules,
    )


def _no_rules(penetration: Penetration, rules: Rules, missing: Missing) -> Requirement:
    text = "No rules are held for this jurisdiction, edition, date or purpose; another's are never taken instead."
    reason = Reason(METHOD, Verdict.UNKNOWN, text, "", "", (), (missing,))
    lowering = lowering_at(penetration, rules)
    return Requirement(
        penetration.id,
        Verdict.UNKNOWN,
        tuple(
            MethodAnswer(method, Verdict.UNKNOWN, (reason,), Unknown(missing), Unknown(missing))
            if method in _BY_DAMPER
            else MethodAnswer(method, Verdict.UNKNOWN, (reason,))
            for method in ProtectionMethod
        ),
        Unknown(missing),
        Unknown(missing),
        (),
        tuple(sorted({missing, *lowering.missing})),
        lowering.override,
        rules,
    )


def require(penetration: Penetration, rules: Rules, book: RowBook, steps: ClassSteps) -> Requirement:
    """What the code asks at a penetration under the job's rules, with the book's rows and the class steps that exist.

    Where the book holds no rules for the jurisdiction, edition, date and purpose, everything is unknown.
    """
    missing = rules_missing(rules, book)
    if missing is not None:
        return _no_rules(penetration, rules, missing)
    needed, needed_missing = _needed(penetration, rules)
    methods = [
        ProtectionMethod(str(item)) for item in _words(book.need("england.methods", rules.on, rules.jurisdiction).value)
    ]
    if needed is Verdict.NOT_APPLICABLE:
        return _nothing_asked(penetration, methods, rules)
    place = _Place(
        penetration=penetration,
        rules=rules,
        book=book,
        steps=steps,
        ruleset=RuleSet.of(book, rules),
        facts=facts_at(penetration, rules, book),
        held=tuple(sorted({*needed_missing, *_dwelling_missing(penetration, rules)})),
        demanded=demands_at(penetration, rules),
        lowering=lowering_at(penetration, rules),
    )
    answers = {method: _method_answer(method, place) for method in methods}
    chosen = penetration.protection.method
    asked = damper_methods(chosen, answers)
    requirement = Requirement(
        penetration_id=penetration.id,
        needed=needed,
        methods=tuple(answers.values()),
        class_texts=_one_class(place, asked),
        actuation=_one_actuation(chosen, asked),
        parts=(),
        lowered_by=place.lowering.override,
        rules=rules,
    )
    requirement = replace(requirement, missing=_missing(place, requirement))
    return replace(requirement, parts=parts_of(penetration, requirement, asked, place.demanded, book, place.facts))
