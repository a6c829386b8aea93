# SPDX-License-Identifier: Apache-2.0
"""The parts of a requirement in words, each with the rows and documents that ask it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from brattice.building.penetration import Penetration
from brattice.building.words import Actuation, BarrierRole, ProtectionMethod, SystemUse
from brattice.findings import Known, Unknown, Verdict
from brattice.requirements.codes import METHOD, SCHEDULED_ACTUATION, SCHEDULED_CLASS
from brattice.requirements.demands import Demanded, document_name
from brattice.requirements.facts import candidate
from brattice.requirements.predicates import ALL_AT_ONCE, BY_COMPARTMENT, is_healthcare, is_sleeping
from brattice.requirements.requirement import Demand, MethodAnswer, Requirement, RequirementPart, Rules
from brattice.requirements.ruleset import Facts, RuleSet, applies
from brattice.requirements.standing import later_editions
from brattice.rows import Row, RowBook

__all__ = ["parts_of"]

_NOT_KNOWN = "not known"
_EI_STEPS = "class.fire-damper.ei-steps"
_CLASS_ROWS = ("class.fire-damper.e-steps", "england.class.barrier-integrity", "england.class.insulation")


def _row(rules: Rules, book: RowBook, row_id: str) -> Row:
    return book.need(row_id, rules.on, rules.jurisdiction)


def _plain(rules: Rules, book: RowBook, about: str, row_id: str) -> RequirementPart:
    row = _row(rules, book, row_id)
    return RequirementPart(about, row.paraphrase, (row.id,))


def _rows_of(check: str, ruleset: RuleSet, facts: Facts, methods: tuple[ProtectionMethod, ...]) -> tuple[str, ...]:
    """The rules of a check that apply, or may apply, to any of the methods."""
    found = {
        rule.id
        for method in methods
        for rule in ruleset.check(check)
        if applies(rule, {**facts, "method": candidate(method)}).verdict is not Verdict.FAIL
    }
    return tuple(sorted(found))


def _method_part(requirement: Requirement) -> RequirementPart:
    allowed = [str(item.method) for item in requirement.methods if item.verdict is Verdict.PASS]
    open_ = [str(item.method) for item in requirement.methods if item.verdict is Verdict.UNKNOWN]
    asks = f"one of: {', '.join(allowed)}" if allowed else "none that is known to be allowed"
    if open_:
        asks += f"; not enough known for: {', '.join(open_)}"
    rows = {row for item in requirement.methods for reason in item.reasons for row in reason.rows}
    return RequirementPart(METHOD, asks, tuple(sorted(rows)))


def _class_rows(texts: tuple[str, ...], rows: tuple[str, ...]) -> tuple[str, ...]:
    """The rules' rows with those that the class they ask rests on."""
    if not rows:
        return ()
    by_insulation = (_EI_STEPS,) if any("EI " in text for text in texts) else ()
    return tuple(sorted({*rows, *_CLASS_ROWS, *by_insulation}))


def _documents(demands: Iterable[Demand]) -> tuple[str, ...]:
    return tuple(sorted({document_name(item.document, item.revision) for item in demands}))


def _damper_parts(
    penetration: Penetration,
    requirement: Requirement,
    asked: Sequence[MethodAnswer],
    demanded: Demanded,
    ruleset: RuleSet,
    facts: Facts,
    book: RowBook,
    rules: Rules,
) -> Iterator[RequirementPart]:
    """What is asked of a damper, where the method asks for one."""
    if not asked:
        return
    methods = tuple(item.method for item in asked)
    by_class = _documents(item for item in demanded.certain if item.class_text.strip())
    by_actuation = _documents(item for item in demanded.certain if item.actuation)
    lowered = requirement.lowered_by
    instead = (document_name(lowered.document, lowered.revision),) if lowered is not None else ()
    classes, actuation = requirement.class_texts, requirement.actuation
    known = classes.value if isinstance(classes, Known) else ()
    text = " or ".join(known) if isinstance(classes, Known) else _NOT_KNOWN
    if lowered is not None and lowered.class_text.strip():
        yield RequirementPart("class", text, (), instead)
    else:
        rows = _class_rows(known, _rows_of(SCHEDULED_CLASS, ruleset, facts, methods))
        yield RequirementPart("class", text, rows, by_class)
    text = " and ".join(sorted(actuation.value)) if isinstance(actuation, Known) else _NOT_KNOWN
    if lowered is not None and lowered.actuation is not None:
        yield RequirementPart("actuation", text or "nothing", (), instead)
    else:
        yield RequirementPart("actuation", text, _rows_of(SCHEDULED_ACTUATION, ruleset, facts, methods), by_actuation)
    if isinstance(actuation, Unknown) or Actuation.SMOKE_DETECTION in actuation.value:
        row = _row(rules, book, "england.smoke-detectors")
        words = row.value if isinstance(row.value, tuple) else (row.value,)
        standards = ", ".join(str(item) for item in words)
        yield RequirementPart("smoke detectors", f"{standards}: {row.paraphrase}", (row.id,))
    yield _plain(rules, book, "placing", "england.placing")
    healthcare = is_healthcare(penetration.spaces)
    if isinstance(healthcare, Known) and healthcare.value:
        yield _plain(rules, book, "fixing, in healthcare", "england.healthcare.fixing")
    yield _plain(rules, book, "access", "england.access")


def _sleeping_part(penetration: Penetration, rules: Rules, book: RowBook) -> Iterator[RequirementPart]:
    sleeping = is_sleeping(penetration.spaces)
    if not isinstance(sleeping, Known) or not sleeping.value:
        return
    rows = ("england.sleeping.exception.all-at-once", "england.sleeping.exception.by-compartment")
    if rules.alarm_l1 is True and rules.evacuation in {ALL_AT_ONCE, BY_COMPARTMENT}:
        row = _row(rules, book, rows[0] if rules.evacuation == ALL_AT_ONCE else rows[1])
        yield RequirementPart("sleeping, exception stated", row.paraphrase, (row.id,))
        return
    yield RequirementPart(
        "sleeping",
        "Smoke detection and thermal release are asked; an exception for unaided escape with category L1 alarm exists, "
        "and holds only once the project states it.",
        ("england.actuation.sleeping", *rows),
    )


def _system_parts(penetration: Penetration, rules: Rules, book: RowBook) -> Iterator[RequirementPart]:
    system, spaces = penetration.duct.system, penetration.spaces
    if not isinstance(system, Known):
        return
    if system.value is SystemUse.EXTRACT:
        yield _plain(rules, book, "recirculation, where the system recirculates", "england.recirculation")
    if system.value is SystemUse.APPLIANCE:
        yield _plain(rules, book, "walls of the duct", "england.appliance.duct-walls")
    row = _row(rules, book, "england.separate-extract.spaces")
    listed = row.value if isinstance(row.value, tuple) else (row.value,)
    beside = isinstance(spaces, Known) and any(str(item) in listed for item in spaces.value)
    if system.value is SystemUse.KITCHEN_EXTRACT or (system.value is SystemUse.EXTRACT and beside):
        yield RequirementPart("separate extract", row.paraphrase, (row.id,))


def _dwelling_parts(penetration: Penetration, rules: Rules, book: RowBook) -> Iterator[RequirementPart]:
    role = penetration.barrier.role
    if isinstance(role, Known) and role.value is BarrierRole.PROTECTED_STAIR:
        yield _plain(rules, book, "stair", "england.stair.own-duct")
        yield _plain(rules, book, "duct through a stair enclosure of a house", "england.stair.duct-through")
    if isinstance(role, Known) and role.value is BarrierRole.PROTECTED_SHAFT:
        yield _plain(rules, book, "smoke shaft of flats", "england.smoke-shaft.vents")
    if isinstance(role, Known) and role.value is BarrierRole.FIREFIGHTING_SHAFT:
        yield _plain(rules, book, "firefighting shaft", "england.firefighting-shaft.full")


def _document_parts(requirement: Requirement, demanded: Demanded) -> Iterator[RequirementPart]:
    for demand in demanded.certain:
        asks = [demand.class_text.strip(), " and ".join(sorted(demand.actuation or ()))]
        name = document_name(demand.document, demand.revision)
        yield RequirementPart(
            "demand of the fire strategy", ", ".join(item for item in asks if item), (), (name,) if name else ()
        )
    for demand, missing in demanded.possible:
        name = document_name(demand.document, demand.revision)
        yield RequirementPart(
            "demand of the fire strategy, perhaps", f"depends on: {missing.text}", (), (name,) if name else ()
        )
    lowered = requirement.lowered_by
    if lowered is not None:
        asks = [lowered.class_text.strip(), " and ".join(sorted(lowered.actuation or ()))]
        yield RequirementPart(
            "lowered requirement",
            f"{', '.join(item for item in asks if item)}; {lowered.person}, {lowered.role}, {lowered.on.isoformat()}"
            f"{': ' + lowered.why if lowered.why else ''}",
            (),
            (document_name(lowered.document, lowered.revision),),
        )


def parts_of(
    penetration: Penetration,
    requirement: Requirement,
    asked: Sequence[MethodAnswer],
    demanded: Demanded,
    book: RowBook,
    facts: Facts,
) -> tuple[RequirementPart, ...]:
    """Everything that is asked at a penetration, one part a line, in a fixed order.

    `asked` are the methods by damper that hold here (none where no damper is asked).
    """
    rules = requirement.rules
    if rules is None:
        return ()
    parts = [_method_part(requirement)]
    if rules.purpose == "residential":
        parts += _dwelling_parts(penetration, rules, book)
    else:
        ruleset = RuleSet.of(book, rules)
        parts += _damper_parts(penetration, requirement, asked, demanded, ruleset, facts, book, rules)
        parts += _sleeping_part(penetration, rules, book)
        parts += _system_parts(penetration, rules, book)
        if _by_ductwork(penetration, asked):
            parts.append(_plain(rules, book, "fire-resisting ductwork", "england.method-3.duct"))
    parts += _document_parts(requirement, demanded)
    later = later_editions(rules, book)
    if later:
        transition = _row(rules, book, "england.transition.months")
        names = ", ".join(str(row.value) for row in later)
        text = f"{names} came into force after {rules.edition}. {transition.paraphrase}"
        parts.append(RequirementPart("edition", text, (*sorted(row.id for row in later), transition.id)))
    return tuple(parts)


def _by_ductwork(penetration: Penetration, asked: Sequence[MethodAnswer]) -> bool:
    """Whether fire-resisting ductwork is the method, or may be because no damper is."""
    chosen = penetration.protection.method
    if isinstance(chosen, Known) and chosen.value is ProtectionMethod.ENCLOSURE:
        return False
    return not asked
