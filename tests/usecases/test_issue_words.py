# SPDX-License-Identifier: Apache-2.0
"""What changed in a document, in words."""

from __future__ import annotations

from datetime import date

import pytest

from brattice.usecases.issue_words import Change, changes_told
from brattice.usecases.issuing import Content, DocumentKind, Revised, plan_issue

DAY = date(2026, 3, 2)


def content(texts: dict[str, str], *, status: str = "to build", title: str = "One") -> Content:
    return Content("P-0001", DocumentKind.SKETCH, title, status, tuple(texts.items()))


def revised(before: Content, now: Content) -> Revised:
    plan = plan_issue([now], plan_issue([before], None, DAY).issue(), DAY)
    (found,) = plan.revised
    return found


def told(before: dict[str, str], now: dict[str, str]) -> tuple[Change, ...]:
    return changes_told(revised(content(before), content(now)))


@pytest.mark.parametrize(
    ("key", "what"),
    [
        ("figure/gap-left", "gap left"),
        ("limit/gap-left", "what gap left is held against"),
        ("verdict/gap-left", "verdict on gap left"),
        ("step/3", "step 3"),
        ("settle/product/Made-up 10/actuator", "actuator, to be settled"),
        ("wall-type/thickness_mm", "wall type: thickness mm"),
        ("ordered/P-0001/size", "P-0001: size"),
        ("held/P-0001/not settled: w/h of the opening", "P-0001, held: not settled: w/h of the opening"),
        ("compliance/asked EI 60 S, thermal", "compliance, asked EI 60 S, thermal"),
        ("unknown/Slab of P-0001 (ask the engineer)", "not known: Slab of P-0001 (ask the engineer)"),
        ("P-0001/point/alarm, output: close", "P-0001: point, alarm, output: close"),
        ("change/2", "change 2"),
        ("P-0001/framed-width", "P-0001: framed width"),
        ("installation/HV-10-a", "tested installation HV-10-a"),
        ("why", "why"),
    ],
)
def test_a_text_is_named_in_words_with_what_stood_there(key: str, what: str) -> None:
    assert told({key: "30 mm"}, {key: "35 mm"}) == (Change(what, "30 mm", "35 mm"),)


def test_what_is_new_or_gone_has_one_side_alone() -> None:
    assert told({"step/1": "Measure."}, {"step/2": "Sign."}) == (
        Change("step 2", "", "Sign."),
        Change("step 1", "Measure.", ""),
    )


def test_a_figure_is_told_once_and_a_trace_alone_as_such() -> None:
    before = {"figure/a": "1 mm", "note/a": "so", "trace/a": "x", "trace/b": "y"}
    now = {"figure/a": "2 mm", "note/a": "thus", "trace/a": "z", "trace/b": "z"}
    assert told(before, now) == (Change("a", "1 mm", "2 mm"), Change("where b comes from"))


def test_a_note_alone_is_told() -> None:
    texts = {"figure/a": "1 mm", "note/a": "so"}
    assert told(texts, texts | {"note/a": "thus"}) == (Change("note on a", "so", "thus"),)


def test_title_and_status_are_told_first_and_once() -> None:
    before = content({"why": "x"}, status="to be settled")
    now = content({"why": "y"}, title="Two")
    assert changes_told(revised(before, now)) == (
        Change("title", "One", "Two"),
        Change("status", "to be settled", "to build"),
        Change("why", "x", "y"),
    )


def test_a_status_among_the_texts_is_not_told_twice() -> None:
    before, now = content({"status": "A"}, status="A"), content({"status": "B"}, status="B")
    assert changes_told(revised(before, now)) == (Change("status", "A", "B"),)


def test_a_document_that_is_new_or_comes_back_has_no_changes() -> None:
    one = content({"why": "x"})
    first = plan_issue([one], None, DAY)
    assert changes_told(first.revised[0]) == ()
    gone = plan_issue([], first.issue(), DAY)
    back = plan_issue([content({"why": "y"})], gone.issue(), DAY)
    assert changes_told(back.revised[0]) == ()
