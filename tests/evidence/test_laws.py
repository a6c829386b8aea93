# SPDX-License-Identifier: Apache-2.0
"""Laws of judging, over ordinary and random pairs: unknown is never a pass, better evidence never makes it worse."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import fields, is_dataclass, replace
from pathlib import Path
from typing import Any

import pytest

from bench.pairs import Mix, installations, penetrations, requirements
from brattice.building.penetration import Penetration
from brattice.building.words import DuctedSides, Joint
from brattice.evidence import CODES, Judgment, KeyDates, Scope
from brattice.evidence.checks import CHECKS
from brattice.evidence.codes import CHANGE_WEIGHTS
from brattice.evidence.installation import SideWindows, TestedInstallation, Window
from brattice.evidence.judge import judge_on
from brattice.findings import Known, Missing, Party, Unknown, Verdict
from brattice.quantities import Degrees, Mm
from brattice.requirements import Requirement
from tests.helpers.installations import installation
from tests.helpers.judging import BASIS, BOOK, DATES, judged, requirement
from tests.helpers.penetrations import ORDINARY, penetration

RANK = {Scope.OUTSIDE: 0, Scope.NOT_ENOUGH_KNOWN: 1, Scope.WITHIN_IF: 2, Scope.WITHIN: 3}
TAME = Mix(unknown=0.0, any=0.004)
MIXED = Mix(unknown=0.02, any=0.05)
NOBODY = Unknown(Missing("law/fact", "a fact taken away", Party.CLIENT))


def pairs(mix: Mix, seed: int, count: int = 25) -> Iterator[tuple[Penetration, Requirement, TestedInstallation]]:
    """Random pairs, and the ordinary one first."""
    some = penetrations(count, seed, mix)
    asked = requirements(some, seed, mix)
    yield ORDINARY, requirement(), installation()
    tested = installations(count, seed, mix)
    for site, need in zip(some, asked, strict=True):
        for item in tested[:: max(1, count // 8)]:
            yield site, need, item


def with_one_less(thing: Any, path: str = "") -> Iterator[tuple[str, Any]]:
    """The same record with one known fact not known, for each of them."""
    for item in fields(thing):
        value = getattr(thing, item.name)
        if isinstance(value, Known):
            yield f"{path}{item.name}", replace(thing, **{item.name: NOBODY})
        elif isinstance(value, tuple) and any(is_dataclass(part) for part in value):
            for place, part in enumerate(value):
                for name, less in with_one_less(part, f"{path}{item.name}.{place}."):
                    yield name, replace(thing, **{item.name: (*value[:place], less, *value[place + 1 :])})
        elif is_dataclass(value) and not isinstance(value, type):
            for name, less in with_one_less(value, f"{path}{item.name}."):
                yield name, replace(thing, **{item.name: less})


def with_less_said(thing: Any, path: str = "") -> Iterator[tuple[str, Any]]:
    """The same installation with one thing that its document says left out, for each that may be left out."""
    for item in fields(thing):
        value = getattr(thing, item.name)
        if value is not None and "None" in str(item.type) and item.name not in MORE_FREEDOM:
            yield f"{path}{item.name}", replace(thing, **{item.name: None})
        if is_dataclass(value) and not isinstance(value, type | Window) and item.name != "origin":
            for name, less in with_less_said(value, f"{path}{item.name}."):
                yield name, replace(thing, **{item.name: less})


MORE_FREEDOM = frozenset({"most_density_kg_m3", "valid_to", "withdrawn_on", "valid_from", "height", "third_party"})
"""Where None says that the document sets no bound, which is no missing fact."""


def judge_it(site: Penetration, need: Requirement, item: TestedInstallation) -> Judgment:
    return judge_on(site, need, item, BASIS)


@pytest.mark.parametrize(("mix", "seed"), [(TAME, 11), (MIXED, 12)])
def test_a_fact_taken_away_never_makes_anything_within_scope(mix: Mix, seed: int) -> None:
    tried = 0
    for site, need, item in pairs(mix, seed, count=8):
        before = judge_it(site, need, item)
        for name, less in with_one_less(site):
            after = judge_it(less, need, item)
            assert after.scope is not Scope.WITHIN or before.scope is Scope.WITHIN, (name, site.id, item.id)
            tried += 1
        for name, asked in with_one_less(need):
            after = judge_it(site, asked, item)
            assert after.scope is not Scope.WITHIN or before.scope is Scope.WITHIN, (name, site.id, item.id)
    assert tried > 1000


@pytest.mark.parametrize(("mix", "seed"), [(TAME, 13), (MIXED, 14)])
def test_what_a_document_no_longer_says_never_makes_anything_within_scope(mix: Mix, seed: int) -> None:
    tried = 0
    for site, need, item in pairs(mix, seed, count=8):
        before = judge_it(site, need, item)
        for name, less in with_less_said(item):
            after = judge_it(site, need, less)
            assert after.scope is not Scope.WITHIN or before.scope is Scope.WITHIN, (name, site.id, item.id)
            tried += 1
    assert tried > 500


READ = {
    "barrier.orientation", "barrier.role", "barrier.thickness_mm", "barrier.rating", "barrier.wall_type.kind",
    "barrier.wall_type.density_kg_m3", "duct.system", "duct.angle_deg", "duct.insulation_through", "damper.size",
    "damper.mechanism_deg", "damper.access_side", "damper.blade_offset_mm", "opening.shape", "opening.gaps",
    "opening.gaps_from", "installation.position", "installation.fixing", "installation.seal_products",
    "installation.seal_depth_mm", "installation.seal_faces", "installation.seal_layers", "installation.support",
    "installation.joint", "installation.deflection_head_above", "installation.other_services",
}  # fmt: skip
"""What the ordinary pair rests on."""


def test_the_ordinary_pair_is_not_enough_known_without_any_one_fact_that_it_rests_on() -> None:
    for name, less in with_one_less(ORDINARY):
        scope = judged(less).scope
        assert scope is (Scope.NOT_ENOUGH_KNOWN if name in READ else Scope.WITHIN), name


def wider(item: TestedInstallation) -> Iterator[TestedInstallation]:
    """Better evidence: each holds for all that the first holds for, and more."""

    def open_window(window: Window, by: float) -> Window:
        return Window(
            None if window.least is None else max(0.0, window.least - by),
            None if window.most is None else window.most + by,
        )

    gaps = item.seal.gaps
    wide = SideWindows(*(open_window(w, 5) for w in (gaps.left, gaps.right, gaps.top, gaps.bottom)))
    yield replace(item, seal=replace(item.seal, gaps=wide))
    sizes = item.sizes
    yield replace(
        item,
        sizes=replace(
            sizes,
            width=open_window(sizes.width, 100),
            height=None if sizes.height is None else open_window(sizes.height, 100),
        ),
    )
    thin = Mm(item.construction.least_thickness_mm / 2)
    yield replace(item, construction=replace(item.construction, least_thickness_mm=thin))
    if item.joints is not None:
        yield replace(item, joints=frozenset(Joint))
    if item.mechanism_deg is not None:
        yield replace(item, mechanism_deg=tuple(Degrees(angle) for angle in (0, 90, 180, 270)))
    if item.access_sides is not None:
        yield replace(item, access_sides=item.access_sides | {"room side", "corridor side", "either side"})
    if item.most_blade_offset_mm is not None:
        yield replace(item, most_blade_offset_mm=Mm(item.most_blade_offset_mm + 100))
    for name in ("insulation_through", "deflection_head", "other_services"):
        allowed: dict[str, Any] = {name: True}
        if getattr(item, name) is not None:
            yield replace(item, **allowed)
    yield replace(item, shared_opening=True)
    if item.ducts is not None:
        yield replace(item, ducts=frozenset(DuctedSides))
    yield replace(item, separations=tuple(replace(one, least_mm=Mm(one.least_mm / 2)) for one in item.separations))
    if item.construction.kind.value == "flexible wall":
        yield replace(item, construction=replace(item.construction, shown_in_rigid=True))


@pytest.mark.parametrize(("mix", "seed"), [(TAME, 15), (MIXED, 16)])
def test_better_evidence_never_makes_it_worse(mix: Mix, seed: int) -> None:
    better = 0
    for site, need, item in pairs(mix, seed, count=40):
        before = judge_it(site, need, item)
        for other in wider(item):
            after = judge_it(site, need, other)
            assert RANK[after.scope] >= RANK[before.scope], (site.id, item.id, before.scope, after.scope)
            better += RANK[after.scope] > RANK[before.scope]
    assert better > 0


WEAKER = (
    ("EI 60 (ve i↔o) S", "EI 60 (ve i↔o)", "E 60 (ve i↔o)"),
    ("E 120 (ve i↔o) S", "E 90 (ve i↔o) S", "E 60 (ve i↔o)"),
)


@pytest.mark.parametrize("chain", WEAKER)
def test_a_weaker_requirement_never_makes_it_worse(chain: tuple[str, ...]) -> None:
    for site, _, item in pairs(MIXED, 17, count=40):
        ranks = [RANK[judge_it(site, requirement(text), item).scope] for text in chain]
        assert ranks == sorted(ranks), (site.id, item.id)


def test_a_longer_list_of_classes_that_will_do_never_makes_it_worse() -> None:
    for site, _, item in pairs(MIXED, 18, count=40):
        one = judge_it(site, requirement("EI 120 (ve i↔o)"), item)
        more = judge_it(site, requirement(("EI 120 (ve i↔o)", "E 60 (ve i↔o)")), item)
        assert RANK[more.scope] >= RANK[one.scope]


def test_judging_twice_says_the_same() -> None:
    for site, need, item in pairs(MIXED, 19, count=8):
        assert judge_it(site, need, item) == judge_it(site, need, item)


def test_nothing_that_is_missing_is_within_scope_and_everything_missing_is_named() -> None:
    for site, need, item in pairs(MIXED, 20, count=20):
        judgment = judge_it(site, need, item)
        open_reasons = [reason for reason in judgment.reasons if reason.verdict is Verdict.UNKNOWN]
        assert {missing for reason in open_reasons for missing in reason.missing} == set(judgment.missing)
        assert all(reason.missing for reason in open_reasons), judgment
        assert not (judgment.missing and judgment.scope in {Scope.WITHIN, Scope.WITHIN_IF})
        assert (judgment.scope is Scope.NOT_ENOUGH_KNOWN) <= bool(judgment.missing)


def test_every_code_stands_in_the_table_and_every_change_has_a_weight() -> None:
    codes = [spec.code for spec in CODES]
    assert [check.code for check in CHECKS] == codes
    assert len(set(codes)) == len(codes)
    assert set(CHANGE_WEIGHTS) <= set(codes)
    assert all(weight >= 1 for weight in CHANGE_WEIGHTS.values())
    changes: set[str] = set()
    for site, need, item in pairs(Mix(unknown=0.0, any=0.3), 21, count=150):
        judgment = judge_it(site, need, item)
        assert {reason.code for reason in judgment.reasons} == set(codes)
        assert {change.code: change.weight for change in judgment.changes}.items() <= CHANGE_WEIGHTS.items()
        changes |= {change.code for change in judgment.changes}
    assert changes == set(CHANGE_WEIGHTS)


def test_every_row_that_a_reason_names_stands_in_the_book() -> None:
    named = {
        row
        for site, need, item in pairs(Mix(unknown=0.05, any=0.3), 22, count=30)
        for reason in judge_it(site, need, item).reasons
        for row in reason.rows
    }
    assert len(named) > 30
    for row in named:
        assert BOOK.find(row) is not None or BOOK.find(row, DATES.placed_on_market, "England") is not None, row


def test_dates_that_are_not_stated_are_never_a_pass() -> None:
    for name in ("order", "placed_on_market", "installation", "handover"):
        judgment = judged(dates=replace(DATES, **{name: None}))
        assert judgment.scope is Scope.NOT_ENOUGH_KNOWN
        assert f"job/dates/{name}" in {missing.key for missing in judgment.missing}
    assert judged(penetration(), dates=KeyDates()).scope is Scope.NOT_ENOUGH_KNOWN


def test_the_weights_of_changes_stand_in_the_docs() -> None:
    page = (Path(__file__).parents[2] / "docs" / "evidence.md").read_text("utf-8")
    told = dict(re.findall(r"^\| `([a-z-]+)` \| (\d+) \|$", page, re.MULTILINE))
    assert {code: int(weight) for code, weight in told.items()} == dict(CHANGE_WEIGHTS)
