# SPDX-License-Identifier: Apache-2.0
"""Which documents a new issue revises, which stand, which are withdrawn."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from brattice.building.words import FixingFamily
from brattice.details import InstallationDetail, Standing
from brattice.drawing.primitives import Text, flat
from brattice.findings import Origin
from brattice.sketch.installation import TitleFacts, installation_sheets
from brattice.usecases.issuing import (
    Content,
    DocumentKind,
    Issue,
    content_of_detail,
    figures_changed,
    next_number,
    next_revision,
    plan_issue,
)
from brattice.usecases.report_model import CAUTIONS
from tests.helpers.details import detail_of, figure
from tests.helpers.penetrations import with_facts

DAY = date(2026, 3, 2)
LATER = date(2026, 4, 2)


def sketch(number: str, *, status: str = "to build", **figures: str) -> Content:
    texts = tuple((f"figure/{key.replace('_', '-')}", text) for key, text in figures.items())
    return Content(number, DocumentKind.SKETCH, f"Installation of {number}", status, texts)


def first(*contents: Content) -> Issue:
    return plan_issue(contents, None, DAY).issue()


def test_the_first_issue_holds_everything_in_its_first_revision() -> None:
    plan = plan_issue([sketch("P-0002"), sketch("P-0001")], None, DAY)
    assert plan.number == "01"
    assert [(item.content.number, item.revision, item.changed) for item in plan.revised] == [
        ("P-0001", "A", ()),
        ("P-0002", "A", ()),
    ]


def test_only_what_says_something_else_is_revised_and_says_which_numbers() -> None:
    past = first(sketch("P-0001", gap_left="30 mm", gap_top="40 mm"), sketch("P-0002", gap_left="30 mm"))
    now = [sketch("P-0001", gap_left="35 mm", gap_top="40 mm"), sketch("P-0002", gap_left="30 mm")]
    plan = plan_issue(now, past, LATER)
    assert plan.number == "02"
    assert [(item.content.number, item.revision) for item in plan.revised] == [("P-0001", "B")]
    assert figures_changed(plan.revised[0]) == {"gap-left"}
    assert [(item.content.number, item.revision, item.issue) for item in plan.standing] == [("P-0002", "A", "01")]


def test_a_number_that_is_no_longer_there_is_a_change() -> None:
    past = first(sketch("P-0001", gap_left="30 mm", rod_size="M8"))
    plan = plan_issue([sketch("P-0001", gap_left="30 mm")], past, LATER)
    assert figures_changed(plan.revised[0]) == {"rod-size"}


def test_another_status_alone_revises_a_document() -> None:
    past = first(sketch("P-0001", gap_left="30 mm"))
    plan = plan_issue([sketch("P-0001", status="to be settled", gap_left="30 mm")], past, LATER)
    assert [item.changed for item in plan.revised] == [("status",)]
    assert figures_changed(plan.revised[0]) == frozenset()


def test_nothing_changed_is_no_issue() -> None:
    past = first(sketch("P-0001", gap_left="30 mm"))
    plan = plan_issue([sketch("P-0001", gap_left="30 mm")], past, LATER)
    assert plan.is_empty
    assert plan.revised == ()


def test_a_document_that_went_is_withdrawn_once_and_stays_in_the_list() -> None:
    past = first(sketch("P-0001"), sketch("P-0002"))
    plan = plan_issue([sketch("P-0001")], past, LATER)
    assert not plan.is_empty
    assert [(item.content.number, item.withdrawn, item.issue) for item in plan.withdrawn] == [("P-0002", True, "02")]
    again = plan_issue([sketch("P-0001")], plan.issue(), LATER)
    assert again.is_empty
    assert [item.content.number for item in again.issue().documents] == ["P-0001", "P-0002"]


def test_a_document_that_comes_back_has_the_next_revision_and_no_changes_to_compare() -> None:
    gone = plan_issue([sketch("P-0001")], first(sketch("P-0001"), sketch("P-0002", gap_left="30 mm")), LATER).issue()
    plan = plan_issue([sketch("P-0001"), sketch("P-0002", gap_left="31 mm")], gone, LATER)
    assert [(item.content.number, item.revision, item.changed) for item in plan.revised] == [("P-0002", "B", ())]


def test_two_documents_of_one_number_are_refused() -> None:
    with pytest.raises(ValueError, match="two documents"):
        plan_issue([sketch("P-0001"), sketch("P-0001")], None, DAY)


@pytest.mark.parametrize(("past", "then"), [(None, "A"), ("A", "B"), ("H", "J"), ("N", "P"), ("Z", "AA"), ("AZ", "BA")])
def test_revision_indices_leave_out_i_and_o(past: str | None, then: str) -> None:
    assert next_revision(past) == then


def test_revision_indices_never_repeat() -> None:
    seen, index = set(), None
    for _ in range(2000):
        index = next_revision(index)
        assert index not in seen
        assert not set(index) & set("IO")
        seen.add(index)


@pytest.mark.parametrize("text", ["", "I", "a", "1"])
def test_what_is_no_revision_index_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match="revision index"):
        next_revision(text)


@pytest.mark.parametrize(("past", "then"), [(None, "01"), ("01", "02"), ("09", "10"), ("99", "100")])
def test_numbers_of_issues(past: str | None, then: str) -> None:
    assert next_number(past) == then


def test_what_is_no_number_of_an_issue_is_refused() -> None:
    with pytest.raises(ValueError, match="number of an issue"):
        next_number("draft")


documents = st.dictionaries(st.sampled_from(["P-0001", "P-0002", "P-0003", "orders"]), st.sampled_from("abc"))


@given(st.lists(documents, min_size=1, max_size=6))
def test_whatever_happens_the_list_says_what_each_document_says_now(history: list[dict[str, str]]) -> None:
    past: Issue | None = None
    for state in history:
        plan = plan_issue([sketch(number, gap_left=text) for number, text in state.items()], past, DAY)
        if past is not None and plan.is_empty:
            continue
        issue = plan.issue()
        standing = {item.content.number: item for item in issue.documents if not item.withdrawn}
        assert {number: dict(item.content.texts)["figure/gap-left"] for number, item in standing.items()} == state
        if past is not None:  # nothing is forgotten, and a revision never goes back
            before = {item.content.number: item for item in past.documents}
            after = {item.content.number: item for item in issue.documents}
            assert set(before) <= set(after)
            assert all(
                (len(before[key].revision), before[key].revision) <= (len(after[key].revision), after[key].revision)
                for key in before
            )
        past = issue


TITLE = TitleFacts("Invented job", "INV", CAUTIONS, "B", "2026-11-28")


def printed(detail: InstallationDetail) -> list[str]:
    sheets = installation_sheets(detail, TITLE, paper="A3")
    return [item.text for sheet in sheets for item in flat(sheet.drawing().items) if isinstance(item, Text)]


def at_place(**changes: Any) -> InstallationDetail:
    detail = detail_of()
    return replace(detail, penetration=with_facts(detail.penetration, **changes))


def with_tested(**changes: Any) -> InstallationDetail:
    detail = detail_of()
    assert detail.tested is not None
    document = {
        key.removeprefix("document__"): changes.pop(key) for key in list(changes) if key.startswith("document__")
    }
    tested = replace(detail.tested, **changes, document=replace(detail.tested.document, **document))
    return replace(detail, tested=tested)


@pytest.mark.parametrize(
    "other",
    [
        at_place(location__storey="Level 7"),
        at_place(location__words="grid Q/9"),
        at_place(aliases=(("contractor's reference", "FD-77"),)),
        at_place(barrier__wall_type_code="W9"),
        with_tested(document__reference="DoP 9"),
        with_tested(document__revision="9"),
        with_tested(document__edition="2031"),
        with_tested(document__instructions="Instructions I-9"),
        with_tested(fixing=FixingFamily.CAST_IN),
        with_tested(product="HV-99"),
        detail_of(steps=tuple(replace(step, why="letter 9") for step in detail_of().steps)),
    ],
)
def test_a_sheet_that_prints_something_else_is_a_revision(other: InstallationDetail) -> None:
    """What the sheet prints is the oracle: two sheets that differ are never one revision."""
    assert printed(other) != printed(detail_of())
    assert content_of_detail(other, "T").sha256 != content_of_detail(detail_of(), "T").sha256


def test_a_number_that_no_longer_holds_is_a_revision_though_it_reads_the_same() -> None:
    """The sheet marks a number outside its limit; a limit that moved may be all that changed."""
    said = {verdict: figure("gap-left", "Gap left", 45, "mm", verdict=verdict) for verdict in ("pass", "fail")}
    one, other = (content_of_detail(detail_of(figures={"gap-left": said[verdict]}), "T") for verdict in said)
    assert one.sha256 != other.sha256
    (revised,) = plan_issue([other], first(one), LATER).revised
    assert revised.changed == ("verdict/gap-left",)


def test_what_may_no_longer_be_built_is_a_revision_though_every_number_stays() -> None:
    built, waits = (
        content_of_detail(replace(detail_of(), standing=standing), "T")
        for standing in (Standing.TO_BUILD, Standing.TO_BE_SETTLED)
    )
    assert built.texts == waits.texts
    (revised,) = plan_issue([waits], first(built), LATER).revised
    assert (revised.content.status, revised.changed) == ("to be settled", ("status",))


def test_another_title_alone_revises_a_document_and_says_so() -> None:
    past = first(sketch("P-0001", gap_left="30 mm"))
    (revised,) = plan_issue([replace(past.documents[0].content, title="Another")], past, LATER).revised
    assert (revised.revision, revised.changed) == ("B", ("status",))


def test_where_a_fact_stands_in_its_file_revises_nothing() -> None:
    elsewhere = Origin("another.xlsx", "row 99")
    moved = detail_of(
        figures={
            item.key: replace(item, uses=tuple(replace(use, origin=elsewhere) for use in item.uses))
            for item in detail_of().figures
        }
    )
    assert content_of_detail(moved, "T") == content_of_detail(detail_of(), "T")
