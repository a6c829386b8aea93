# SPDX-License-Identifier: Apache-2.0
"""What carries the damper, and the joints to the duct. The tested support is the answer.

A calculation can fail a support or leave it to the test; it never passes one (trade handbook, section 6).
"""

from __future__ import annotations

import re
from collections.abc import Iterable

from brattice.building.words import Joint, SlabKind, SupportKind, plain
from brattice.calc.expansion import elongation_mm, steel_law
from brattice.calc.hangers import (
    HangerBasis,
    HangerRules,
    Thread,
    check_rod_length,
    check_rod_stress,
    hanger_rules,
    least_thread,
)
from brattice.details.expansion import GROWTH_ROWS, steel_temperature
from brattice.details.figures import Figure, Used
from brattice.details.given import Given, said, used
from brattice.evidence.product import by_size
from brattice.findings import Fact, Known, Missing, Party, Verdict
from brattice.quantities import mm_text, number_text

__all__ = ["has_rods", "rod_figures", "support_figures", "weight_figure"]

_NAMED = frozenset(
    {SlabKind.HOLLOW_CORE, SlabKind.POST_TENSIONED, SlabKind.COMPOSITE_DECK, SlabKind.RIBBED, SlabKind.TIMBER}
)
"""An anchor holds in these only where its evidence names them (trade handbook 6, field case 21)."""

_DENIES = re.compile(r"\b(no(?!\s*\d)|not|never|none|nor|except|excluding|excluded|without|other than|but)\b")
"""Words that may turn what an anchor's evidence names into its opposite: then somebody has to look."""

_SHARES = re.compile(r"\b(each|every|per|pair|pairs|side|sides|end|ends|corner|corners)\b")
"""Words that say that a count is of a part of the rods: how many there are in all is not told plainly."""

_TEST_DECIDES = "Not ruled out by calculation; whether the support holds is for the test to say."


def _against_test(
    given: Given, key: str, fact: Fact[object], tested: object, missing: Missing, *, holds: bool, as_tested: str
) -> Figure:
    """A word of the schedule against the test's; where the schedule is silent it is to be settled."""
    if tested is None:
        word = said(fact.value) if isinstance(fact, Known) else ""
        if not word:
            return given.lacking(key, (missing,))
        uses = used("as stated", fact)
        return given.figure(key, text=word, verdict=Verdict.UNKNOWN, uses=uses, missing=(missing,))
    uses = (*used("as stated", fact), given.of_test(key, as_tested))
    limit = f"as tested: {as_tested}"
    if not isinstance(fact, Known):
        return given.lacking(key, (fact.missing,), uses=uses, limit=limit)
    verdict = Verdict.PASS if holds else Verdict.FAIL
    return given.figure(key, text=said(fact.value), limit=limit, verdict=verdict, uses=uses)


def support_figures(given: Given) -> tuple[Figure, ...]:
    """What carries the damper and how the duct is joined on each side, as tested."""
    tested, installation = given.tested, given.penetration.installation
    if tested is None:
        return ()
    fact = installation.support
    lacking = given.evidence_lacks("support", "What carried the damper")
    same = isinstance(fact, Known) and fact.value is tested.support
    words = said(tested.support or "")
    figures = [_against_test(given, "support", fact, tested.support, lacking, holds=same, as_tested=words)]
    joints = tested.joints
    words = "" if joints is None else " or ".join(sorted(said(item) for item in joints))
    for key, side in zip(("joint-a", "joint-b"), installation.joints, strict=True):
        if isinstance(side, Known) and side.value is Joint.NO_DUCT:
            figures.append(given.stated(key, side))
            continue
        lacking = given.evidence_lacks("joints", "The joints to the duct")
        held = isinstance(side, Known) and joints is not None and side.value in joints
        figures.append(_against_test(given, key, side, joints, lacking, holds=held, as_tested=words))
    return tuple(figures)


def weight_figure(given: Given) -> Figure:
    """The weight as stated for this damper, else as the maker states it for its size; of both the heavier one."""
    stated, product, size = given.penetration.detail.weight_kg, given.product, given.size
    table = None if product is None else product.weight
    found = None if size is None else by_size(table, size.value)
    value = None if found is None else found.value
    if isinstance(stated, Known) and (value is None or value <= stated.value):
        return given.stated("damper-weight", stated)
    if table is None or found is None or value is None or size is None:
        return given.stated("damper-weight", None, "weight_kg")
    uses = (*used("nominal size", size, "mm"), given.of_maker(f"weight, {found.how}", value, "kg"))
    formula = f"{number_text(table.a or 0)} + {number_text(table.b or 0)}·A" if table.kind == "affine in area" else ""
    note = ""
    if isinstance(stated, Known):
        uses = (*uses, *used("weight as stated", stated, "kg"))
        note = f"Heavier than the {number_text(stated.value)} kg that are stated for it; the heavier one counts."
    return given.figure("damper-weight", value, uses=uses, formula=formula, note=note)


def has_rods(given: Given) -> bool:
    """Whether drop rods carry the damper here, or did in the test."""
    stated = given.penetration.installation.support
    kinds = {SupportKind.DROP_RODS, SupportKind.BOTH}
    by_test = given.tested is not None and given.tested.support in kinds
    detail = given.penetration.detail
    return by_test or (isinstance(stated, Known) and stated.value in kinds) or detail.rod_size is not None


def _tested_rods(given: Given, rules: HangerRules) -> tuple[int, Thread] | None:
    """Number and thread of the rods of the test, where the maker's words give them plainly ("2 × M10")."""
    words = "" if given.product is None else given.product.rods_tested or ""
    found = re.findall(r"(\d+)\s*[×xX]\s*(M\s*\d+)", words)
    plainly = len(found) == 1 and not _SHARES.search(plain(words))
    thread = rules.thread(found[0][1]) if plainly else None
    return None if thread is None else (int(found[0][0]), thread)


def _like_test(given: Given, key: str, fact: Fact[object] | None, have: float | None, tested: float | None) -> Figure:
    """Thread or number of rods against the test's: less fails, more is not what was tested either."""
    figure = given.stated(key, fact, key.replace("-", "_"))
    words = None if given.product is None else given.product.rods_tested
    if not isinstance(fact, Known):
        limit = "" if words is None else f"as tested: {words}"
        return given.lacking(key, figure.missing, limit=limit)
    if words is None:
        missing = (given.maker_lacks("rods_tested", "The drop rods of the test"),)
        return given.figure(
            key, figure.value, text=figure.text, verdict=Verdict.UNKNOWN, uses=figure.uses, missing=missing
        )
    limit, uses = f"as tested: {words}", (*figure.uses, given.of_maker("tested rods", words))
    if have is not None and tested is not None and have == tested:
        return given.figure(key, figure.value, text=figure.text, limit=limit, verdict=Verdict.PASS, uses=uses)
    if have is not None and tested is not None and have < tested:
        note = "Less than the rods of the test."
        return given.figure(
            key, figure.value, text=figure.text, limit=limit, verdict=Verdict.FAIL, uses=uses, note=note
        )
    missing = (given.maker_lacks("rods-other-than-tested", "Whether rods other than the tested ones may carry it"),)
    return given.figure(
        key, figure.value, text=figure.text, limit=limit, verdict=Verdict.UNKNOWN, uses=uses, missing=missing
    )


def _basis(given: Given, rules: HangerRules) -> HangerBasis:
    """European limits; those of the BS 476-24 days only where the evidence itself is of that standard."""
    standard = "" if given.tested is None else plain(given.tested.document.standard)
    return HangerBasis.UK if re.match(r"bs[\s-]*476", standard) else rules.default_basis


def rod_figures(given: Given) -> tuple[Figure, ...]:
    """The drop rods against the test, and what calculation says against them; () where no rods carry the damper."""
    if not has_rods(given):
        return ()
    rules, detail = hanger_rules(given.book), given.penetration.detail
    thread = rules.thread(detail.rod_size.value) if isinstance(detail.rod_size, Known) else None
    count = detail.rod_count.value if isinstance(detail.rod_count, Known) else None
    tested = _tested_rods(given, rules)
    have = None if thread is None else thread.stress_area_mm2
    most = None if tested is None else tested[1].stress_area_mm2
    return (
        _like_test(given, "rod-size", detail.rod_size, have, most),
        _like_test(given, "rod-count", detail.rod_count, count, None if tested is None else tested[0]),
        _length(given, rules),
        *_stress(given, rules, thread, count),
        _elongation(given),
        _protection(given, rules),
        *_hung_from(given),
    )


def _length(given: Given, rules: HangerRules) -> Figure:
    detail = given.penetration.detail
    fact, protected = detail.rod_length_mm, detail.rods_protected
    limit = f"at most {mm_text(rules.most_unprotected_mm)} unprotected"
    if not isinstance(fact, Known):
        return given.lacking("rod-length", (given.missing(fact, "rod_length_mm"),), limit=limit)
    check = check_rod_length(rules, fact.value, protected.value if isinstance(protected, Known) else None)
    uses = (*used("length of the rods", fact, "mm"), *used("rods protected", protected))
    is_long = fact.value > rules.most_unprotected_mm
    if check.verdict is Verdict.FAIL or not is_long:
        verdict = check.verdict if is_long else Verdict.NOT_APPLICABLE
        note = check.text if is_long else ""
        return given.figure(
            "rod-length", fact.value, limit=limit, verdict=verdict, rows=check.rows, uses=uses, note=note
        )
    missing = given.missing(protected if not isinstance(protected, Known) else None, "rods_protected")
    if isinstance(protected, Known):
        words = f"The tested protection of the drop rods at {given.penetration.id}"
        missing = Missing(f"penetration/{given.penetration.id}/rod-protection", words, Party.DUCTWORK_CONTRACTOR)
    return given.figure(
        "rod-length",
        fact.value,
        limit=limit,
        verdict=Verdict.UNKNOWN,
        rows=check.rows,
        uses=uses,
        missing=(missing,),
        note=check.text,
    )


def _stress(given: Given, rules: HangerRules, thread: Thread | None, count: int | None) -> Iterable[Figure]:
    """Stress and least thread; exactly compared, so that 6.031 is more than 6 (trade handbook C29)."""
    detail, weight, basis = given.penetration.detail, weight_figure(given), _basis(given, rules)
    missing = list(weight.missing)
    if given.minutes is None:
        missing.append(given.no_time)
    if count is None:
        missing.append(given.missing(detail.rod_count, "rod_count"))
    uses = (*weight.uses, *used("number of rods", detail.rod_count), *used("thread", detail.rod_size))
    if given.minutes is None or count is None or weight.value is None or count < 1:
        yield given.lacking("rod-stress", missing, uses=uses)
        yield given.lacking("rod-least", missing, uses=uses)
        return
    time = Used("class time", f"{given.minutes} min")
    if thread is None:
        asked = given.missing(detail.rod_size if not isinstance(detail.rod_size, Known) else None, "rod_size")
        yield given.lacking("rod-stress", (asked,), uses=uses)
    else:
        check = check_rod_stress(rules, basis, thread, count, weight.value, given.minutes)
        limit = "" if check.most is None else f"at most {number_text(check.most)} N/mm² ({basis}, {given.minutes} min)"
        verdict, note = check.verdict, check.text
        if verdict is Verdict.UNKNOWN and check.most is not None:
            verdict, note = Verdict.NOT_APPLICABLE, _TEST_DECIDES
        lacks: tuple[Missing, ...] = ()
        if verdict is Verdict.UNKNOWN:
            lacks = (given.evidence_lacks("support.minutes", f"A support tested for {given.minutes} min"),)
        yield given.figure(
            "rod-stress",
            check.have,
            limit=limit,
            verdict=verdict,
            rows=check.rows,
            uses=(*uses, time),
            missing=lacks,
            note=note,
        )
    least = least_thread(rules, basis, weight.value, count, given.minutes)
    words = least.thread.name if least.thread is not None else least.why
    note = "No permission: a thinner tested rod is not made wrong by it, a thicker one is not made right."
    yield given.figure("rod-least", text=words, rows=least.rows, uses=(*uses, time), note=note)


def _elongation(given: Given) -> Figure:
    fact, temperature = given.penetration.detail.rod_length_mm, steel_temperature(given)
    missing = [] if isinstance(fact, Known) else [given.missing(fact, "rod_length_mm")]
    if temperature is None:
        missing.append(given.no_time)
    uses = used("length of the rods", fact, "mm")
    if given.minutes is not None:
        uses = (*uses, Used("class time", f"{given.minutes} min"))
    growth = None
    if isinstance(fact, Known) and temperature is not None:
        growth = elongation_mm(fact.value, temperature, steel_law(given.book))
    if growth is None:
        return given.lacking("rod-elongation", missing, uses=uses)
    note = "Of unprotected rods: the damper comes down by this unless it is held."
    return given.figure("rod-elongation", growth, rows=GROWTH_ROWS, uses=uses, note=note)


def _protection(given: Given, rules: HangerRules) -> Figure:
    fact, length = given.penetration.detail.rods_protected, given.penetration.detail.rod_length_mm
    if not isinstance(fact, Known) and isinstance(length, Known) and length.value <= rules.most_unprotected_mm:
        text = f"none asked up to {mm_text(rules.most_unprotected_mm)}"
        rows = ("support.length.unprotected",)
        return given.figure("rods-protected", text=text, rows=rows, uses=used("length of the rods", length, "mm"))
    return given.stated("rods-protected", fact, "rods_protected")


def _hung_from(given: Given) -> Iterable[Figure]:
    """Slab and anchor: hollow-core, post-tensioned, composite deck and ribbed slabs need an anchor shown in them."""
    slab, anchor = given.penetration.detail.slab, given.penetration.detail.anchor
    yield given.stated("slab", slab, "slab")
    stated = given.stated("anchor", anchor, "anchor")
    if isinstance(anchor, Known) and isinstance(slab, Known) and slab.value in _NAMED:
        words = re.sub(r"[\W_]+", " ", plain(anchor.value))
        if re.sub(r"[\W_]+", " ", plain(slab.value)) not in words or _DENIES.search(words):
            text = f"The fire evidence of the anchor at {given.penetration.id} for a {slab.value} slab"
            missing = Missing(f"penetration/{given.penetration.id}/anchor", text, Party.DUCTWORK_CONTRACTOR)
            limit = f"evidence that names {slab.value}"
            uses = (*stated.uses, *used("slab", slab))
            yield given.figure(
                "anchor", text=anchor.value, limit=limit, verdict=Verdict.UNKNOWN, uses=uses, missing=(missing,)
            )
            return
    yield stated
