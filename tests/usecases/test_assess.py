# SPDX-License-Identifier: Apache-2.0
"""The table of states, a case a line; and the laws: unknown is never a pass, an accepted deviation is no pass."""

import tomllib
from dataclasses import replace
from datetime import date
from typing import Any

import pytest

from brattice.building.words import Actuation, ProtectionMethod
from brattice.evidence.judgment import Change, Judgment, Scope
from brattice.findings import Known, Missing, Origin, Party, Reason, Verdict
from brattice.requirements.requirement import LoweredRequirement, Requirement
from brattice.selection.choice import Choice
from brattice.usecases.assess import Answers, assess
from brattice.usecases.claims import check_schedule_row
from brattice.usecases.job import AcceptedValue, DeviationAccepted
from brattice.usecases.settle import rank_missing
from brattice.usecases.states import STATES, PenetrationState
from tests.helpers.penetrations import known, penetration

ASKED = Known(("E 60 (ve i↔o)",), Origin("rules"))
THERMAL = Known(frozenset({Actuation.THERMAL}), Origin("rules"))
PASSED = Reason("size", Verdict.PASS, "within the tested sizes")
FAILED = Reason("size", Verdict.FAIL, "too wide", "1300", "at most 1200")
GAP = Reason("gap", Verdict.FAIL, "left too small", "0 mm", "30 to 60 mm")
SEAL = Missing("penetration/P-0001/seal-products", "The seal's products", Party.FIRESTOPPER)
UNNAMED = Reason("seal", Verdict.UNKNOWN, "the seal is not named", "", "", (), (SEAL,))


def asked(needed: Verdict = Verdict.PASS, *, missing: tuple[Missing, ...] = ()) -> Requirement:
    return Requirement("P-0001", needed, (), ASKED, THERMAL, (), missing)


def chosen(scope: Scope, *reasons: Reason, changes: tuple[Change, ...] = ()) -> Choice:
    missing = tuple(item for reason in reasons for item in reason.missing)
    return Choice(Judgment("P-0001", "HV-10-RW-1", scope, reasons, changes, missing), "by rule", (), ())


def answers(
    choice: Choice | None,
    *scheduled: Reason,
    requirement: Requirement | None = None,
    merged: tuple[Reason, ...] = (),
    **changes: Any,
) -> Answers:
    return Answers(penetration(**changes), requirement or asked(), scheduled, merged, choice, None, ())


WITHIN = chosen(Scope.WITHIN, PASSED)
CURE = (Change("gap", 2, "form the framed opening again", "0 mm", "30 to 60 mm"),)
RUN: dict[str, Any] = {"protection__method": ProtectionMethod.FIRE_RESISTING_DUCT}


@pytest.mark.parametrize(
    ("given", "state"),
    [
        (answers(WITHIN), PenetrationState.WITHIN_SCOPE),
        (answers(chosen(Scope.WITHIN_IF, GAP, changes=CURE)), PenetrationState.WITHIN_SCOPE_IF),
        (answers(chosen(Scope.OUTSIDE, FAILED)), PenetrationState.OUTSIDE_SCOPE),
        (answers(chosen(Scope.NOT_ENOUGH_KNOWN, UNNAMED)), PenetrationState.NOT_ENOUGH_KNOWN),
        # the schedule fails the requirement although the installation holds
        (answers(WITHIN, Reason("actuation", Verdict.FAIL, "thermal only")), PenetrationState.OUTSIDE_SCOPE),
        # a fact missing on the requirement's side is never passed over
        (answers(WITHIN, Reason("actuation", Verdict.UNKNOWN, "not stated")), PenetrationState.NOT_ENOUGH_KNOWN),
        (answers(WITHIN, requirement=asked(Verdict.UNKNOWN, missing=(SEAL,))), PenetrationState.NOT_ENOUGH_KNOWN),
        (answers(WITHIN, requirement=asked(Verdict.UNKNOWN)), PenetrationState.NOT_ENOUGH_KNOWN),
        (answers(WITHIN, merged=(Reason("sources", Verdict.UNKNOWN, "two sizes"),)), PenetrationState.NOT_ENOUGH_KNOWN),
        (answers(None, requirement=asked(Verdict.NOT_APPLICABLE)), PenetrationState.NO_PROTECTION_NEEDED),
        (answers(None, PASSED, **RUN), PenetrationState.PROTECTED_RUN_PROVEN),
        (answers(None, Reason("run", Verdict.FAIL, "a branch is plain"), **RUN), PenetrationState.OUTSIDE_SCOPE),
        (answers(None, Reason("run", Verdict.UNKNOWN, "not stated"), **RUN), PenetrationState.NOT_ENOUGH_KNOWN),
        # no damper was judged and no run is stated: nothing to pass on
        (answers(None, PASSED), PenetrationState.NOT_ENOUGH_KNOWN),
        (answers(Choice(None, "No tested installation is loaded.", (), ())), PenetrationState.NOT_ENOUGH_KNOWN),
        (answers(WITHIN, to_be_settled=True), PenetrationState.TO_BE_SETTLED),
    ],
)
def test_the_state_follows_from_the_answers(given: Answers, state: PenetrationState) -> None:
    assert assess(given).state is state


def test_finding_codes_say_the_check_and_how_it_came_out() -> None:
    report = assess(answers(chosen(Scope.OUTSIDE, FAILED, GAP, UNNAMED, PASSED, changes=CURE)))
    assert {(item.code, item.open) for item in report.findings} == {
        ("size-fails", True),
        ("gap-change", True),
        ("seal-unknown", True),
    }


def test_a_missing_fact_becomes_one_query_with_whom_to_ask() -> None:
    report = assess(answers(chosen(Scope.NOT_ENOUGH_KNOWN, UNNAMED)))
    assert [(query.missing, query.holds_up) for query in report.queries] == [(SEAL, ("P-0001",))]


def deviation(code: str, have: str = "1300", need: str = "at most 1200") -> DeviationAccepted:
    return DeviationAccepted(
        ("P-0001",), (code,), "A. Person", "fire engineer", "FE-07", "2", date(2026, 5, 1), "as drawn",
        (AcceptedValue(code, have, need),),
    )  # fmt: skip


def test_an_accepted_deviation_is_a_state_of_its_own_and_closes_only_what_it_names() -> None:
    report = assess(answers(chosen(Scope.OUTSIDE, FAILED)), [deviation("size-fails")])
    assert report.state is PenetrationState.DEVIATION_ACCEPTED
    assert {(item.code, item.open) for item in report.findings} == {("size-fails", False), ("deviation-note", False)}
    both = assess(answers(chosen(Scope.OUTSIDE, FAILED, GAP)), [deviation("size-fails")])
    assert both.state is PenetrationState.OUTSIDE_SCOPE
    assert ("gap-fails", True) in {(item.code, item.open) for item in both.findings}


def test_nobody_can_accept_what_nobody_knows() -> None:
    report = assess(answers(chosen(Scope.NOT_ENOUGH_KNOWN, UNNAMED)), [deviation("seal-unknown")])
    assert report.state is PenetrationState.NOT_ENOUGH_KNOWN
    assert {(item.code, item.open) for item in report.findings} == {("seal-unknown", True)}


@pytest.mark.parametrize(
    ("have", "need", "closed"),
    [
        ("1300", "at most 1200", True),
        (" 1300 ", "At most  1200", True),
        ("1299", "at most 1200", False),
        ("1301", "at most 1200", False),
        ("1300", "at most 1250", False),
        ("1300", "", False),
    ],
)
def test_a_deviation_holds_for_its_value_and_limit_and_no_other(have: str, need: str, closed: bool) -> None:
    report = assess(answers(chosen(Scope.OUTSIDE, FAILED)), [deviation("size-fails", have, need)])
    (size,) = [item for item in report.findings if item.code == "size-fails"]
    assert size.open is not closed
    assert (report.state is PenetrationState.DEVIATION_ACCEPTED) is closed
    assert (report.deviation is not None) is closed


def test_a_finding_that_changed_since_says_what_was_accepted_when() -> None:
    report = assess(answers(chosen(Scope.OUTSIDE, FAILED)), [deviation("size-fails", "1250")])
    (size,) = report.findings
    assert size.text == (
        "too wide Accepted on 2026-05-01 on FE-07 revision 2 for 1250 (needed: at most 1200); now 1300 (needed: at "
        "most 1200): open again."
    )
    later = replace(deviation("size-fails"), document="FE-11", on=date(2026, 6, 1))
    both = assess(answers(chosen(Scope.OUTSIDE, FAILED)), [deviation("size-fails", "1250"), later])
    assert both.deviation == later


def test_a_deviation_without_a_value_accepts_nothing_and_says_how_it_would() -> None:
    unbound = replace(deviation("size-fails"), accepted=())
    report = assess(answers(chosen(Scope.OUTSIDE, FAILED)), [unbound])
    (size,) = report.findings
    assert (size.open, report.state, report.deviation) == (True, PenetrationState.OUTSIDE_SCOPE, None)
    stated = tomllib.loads(size.text[size.text.index("accepted = [") :].rstrip("."))["accepted"]
    assert stated == [{"code": "size-fails", "have": "1300", "need": "at most 1200"}]
    bound = replace(unbound, accepted=tuple(AcceptedValue(**item) for item in stated))
    assert assess(answers(chosen(Scope.OUTSIDE, FAILED)), [bound]).state is PenetrationState.DEVIATION_ACCEPTED


def test_a_finding_without_a_value_is_accepted_by_its_text() -> None:
    bare = Reason("geometry", Verdict.FAIL, "The lining fills its opening.")
    found = assess(answers(chosen(Scope.OUTSIDE, bare)), [deviation("geometry-fails", bare.text, "")])
    assert found.state is PenetrationState.DEVIATION_ACCEPTED
    other = assess(answers(chosen(Scope.OUTSIDE, bare)), [deviation("geometry-fails", "Another text.", "")])
    assert other.state is PenetrationState.OUTSIDE_SCOPE


def test_of_two_findings_of_one_code_only_the_accepted_one_is_closed() -> None:
    second = Reason("size", Verdict.FAIL, "too high", "900", "at most 800")
    report = assess(answers(chosen(Scope.OUTSIDE, FAILED, second)), [deviation("size-fails")])
    assert {item.have: item.open for item in report.findings if item.code == "size-fails"} == {
        "1300": False, "900": True,
    }  # fmt: skip
    assert report.state is PenetrationState.OUTSIDE_SCOPE


def test_a_deviation_that_finds_nothing_to_accept_changes_nothing() -> None:
    report = assess(answers(WITHIN), [deviation("size-fails")])
    assert report.state is PenetrationState.WITHIN_SCOPE
    assert report.findings == ()


def test_a_lowered_requirement_is_shown() -> None:
    lowered = LoweredRequirement(
        ("P-0001",), "E 30", None, "B. Person", "fire engineer", "FE-09", "1", date(2026, 4, 1), "sprinklers"
    )
    requirement = Requirement("P-0001", Verdict.PASS, (), ASKED, THERMAL, (), (), lowered)
    report = assess(answers(WITHIN, requirement=requirement))
    assert [(item.code, item.open) for item in report.findings] == [("requirement-lowered-note", False)]
    assert "FE-09" in report.findings[0].text


def test_the_table_of_states_names_each_state_once_with_a_mark_of_its_own() -> None:
    assert {spec.state for spec in STATES} == set(PenetrationState)
    assert len({spec.mark for spec in STATES}) == len(STATES)


def test_what_unlocks_most_comes_first() -> None:
    rating = Missing("wall-type/W3/rating", "The rating of wall type W3", Party.FIRE_ENGINEER)
    other = Missing("wall-type/W4/rating", "The rating of wall type W4", Party.FIRE_ENGINEER)

    def waits(name: str, *missing: Missing) -> Answers:
        reasons = tuple(Reason(f"c{n}", Verdict.UNKNOWN, "", "", "", (), (m,)) for n, m in enumerate(missing))
        return answers(chosen(Scope.NOT_ENOUGH_KNOWN, *reasons), id=name)

    reports = [
        assess(item)
        for item in (waits("P-1", rating), waits("P-2", other), waits("P-3", rating, SEAL), waits("P-4", SEAL))
    ]
    first, second = rank_missing(reports)
    assert first.unlocks == ("P-1", "P-2")
    assert first.holds_up == ("P-1", "P-2", "P-3")
    assert first.text == "The rating of 2 wall types: W3, W4"
    assert (second.unlocks, second.holds_up) == (("P-4",), ("P-3", "P-4"))
    assert rank_missing(reversed(reports)) == rank_missing(reports)


def test_questions_of_one_kind_to_the_models_are_one_line() -> None:
    question = "Does this rated wall run on to structure?"
    reports = []
    for name in ("P-1", "P-2"):
        shows = f"The duct passes over the rated wall. ({name})"
        missing = Missing(f"place/k-{name}/passes-over-or-beside", f"{question} {shows}", Party.ARCHITECT)
        reason = Reason("place", Verdict.UNKNOWN, "", "", "", (), (missing,))
        reports.append(assess(answers(chosen(Scope.NOT_ENOUGH_KNOWN, reason), id=name)))
    (line,) = rank_missing(reports)
    assert line.text == f"{question} (2 places)"


def test_texts_of_the_models_are_settled_together_whatever_they_hold() -> None:
    texts = ("F90", "REI 60/EI 60?", "60")
    missing = [Missing(f"model-rating/{text}", f"What {text!r} means", Party.FIRE_ENGINEER) for text in texts]
    reports = [
        assess(
            answers(chosen(Scope.NOT_ENOUGH_KNOWN, Reason("c", Verdict.UNKNOWN, "", "", "", (), (item,))), id=f"P-{n}")
        )
        for n, item in enumerate(missing)
    ]
    (line,) = rank_missing(reports)
    assert line.text == "What 3 rating texts of the models mean, in minutes and criteria: 60, F90, REI 60/EI 60?"
    assert line.unlocks == ("P-0", "P-1", "P-2")


def test_facts_are_told_with_unit_and_origin() -> None:
    facts = {name: (value, origin) for name, value, origin in assess(answers(WITHIN)).facts}
    assert facts["barrier: thickness"][0] == "150 mm"
    assert facts["duct: size"][0] == "600 × 400"
    assert facts["opening: gaps"][0] == "left 50, right 50, top 50, bottom 50 mm"
    assert "row 2" in facts["barrier: thickness"][1]
    assert known(1).origin.file in facts["duct: size"][1]


def only_modelled(name: str) -> Answers:
    """A penetration that the models show alone: its row is missing, and with it all that the row would state."""
    named = penetration(id=name, aliases=())
    row = check_schedule_row(named)
    seal = Missing(f"penetration/{name}/seal-products", f"The names of the seal products at {name}", Party.FIRESTOPPER)
    rating = Missing("wall-type/W3/rating", "The rating of wall type W3", Party.FIRE_ENGINEER)
    which = Missing(f"penetration/{name}/rating/sources", "Which rating is right", Party.FIRE_ENGINEER)
    reasons = tuple(
        Reason(code, Verdict.UNKNOWN, code, "", "", (), (missing,))
        for code, missing in (("seal", seal), ("rated", rating), ("sources", which))
    )
    return Answers(named, asked(), (row,), (), chosen(Scope.NOT_ENOUGH_KNOWN, *reasons), None, ())


def test_what_no_schedule_has_is_one_question_and_what_a_row_would_not_settle_is_asked_beside_it() -> None:
    report = assess(only_modelled("P-0007"))
    assert {item.missing.key for item in report.queries} == {
        "penetration/P-0007/schedule-row",
        "penetration/P-0007/rating/sources",
        "wall-type/W3/rating",
    }
    # nothing is taken away from what is known of it: each check that lacked a fact is a finding still
    assert {item.code for item in report.findings} >= {"schedule-row-unknown", "seal-unknown", "rated-unknown"}
    assert report.state is PenetrationState.NOT_ENOUGH_KNOWN


def test_penetrations_that_no_schedule_has_are_one_line_of_what_to_settle_first() -> None:
    lines = rank_missing([assess(only_modelled(name)) for name in ("P-0007", "P-0011")])
    texts = [line.text for line in lines]
    assert "The schedule's row for what the models show at 2 penetrations: P-0007, P-0011" in texts


@pytest.mark.parametrize(
    ("keys", "text"),
    [
        (
            ("penetration/P-1/thickness-mm/sources", "penetration/P-2/thickness-mm/sources"),
            "The right thickness of 2 penetrations: P-1, P-2",
        ),
        (
            ("penetration/P-1 and P-3/separation-fill", "penetration/P-2 and P-4/separation-fill"),
            "What lies between 2 pairs of penetrations, wall or batt: P-1 and P-3, P-2 and P-4",
        ),
    ],
)
def test_a_group_is_named_in_words_and_without_units(keys: tuple[str, str], text: str) -> None:
    missing = [Missing(key, f"asked of {key}", Party.ARCHITECT) for key in keys]
    reasons = [Reason("c", Verdict.UNKNOWN, "", "", "", (), (item,)) for item in missing]
    reports = [assess(answers(chosen(Scope.NOT_ENOUGH_KNOWN, reason), id=f"P-{n}")) for n, reason in enumerate(reasons)]
    assert [line.text for line in rank_missing(reports)] == [text]
