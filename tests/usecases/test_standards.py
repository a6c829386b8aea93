# SPDX-License-Identifier: Apache-2.0
"""Numbers of standard details over issues: a group keeps its own, no other group ever gets it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import date

from hypothesis import given
from hypothesis import strategies as st

from brattice.details import InstallationDetail, Standing
from brattice.usecases.issuing import Content, DocumentKind, Issue, IssuePlan, content_of_detail, plan_issue
from brattice.usecases.standards import (
    NOT_DRAWN,
    changes_of_use,
    content_of_standard,
    drawings_before,
    drawings_of,
    lines_changed,
    members_of,
    standards_of,
    superseded_by,
)
from tests.helpers.details import detail_of

DAY = date(2026, 3, 2)

Kinds = Mapping[str, str]
"""What is built at each penetration, as a word; those with one word are alike. "-" is not drawn."""


def details(kinds: Kinds, sills: Mapping[str, str] | None = None) -> dict[str, InstallationDetail]:
    found = {}
    for name, kind in kinds.items():
        texts = {"gap-left": kind, "sill-height": (sills or {}).get(name, "2600 mm")}
        detail = detail_of(id=name, standing=Standing.NOT_DRAWN if kind == "-" else Standing.TO_BUILD)
        figures = tuple(replace(item, text=texts.get(item.key, item.text)) for item in detail.figures)
        found[name] = replace(detail, figures=figures)
    return found


def planned(kinds: Kinds, past: Issue | None = None, sills: Mapping[str, str] | None = None) -> IssuePlan:
    here = details(kinds, sills)
    standards = standards_of(here.values(), past)
    shared = {name for item in standards for name in item.ids}
    contents: list[Content] = [content_of_standard(item) for item in standards]
    contents += [
        content_of_detail(item, f"Installation of {name}")
        for name, item in here.items()
        if name not in shared and item.standing is not Standing.NOT_DRAWN
    ]
    return plan_issue(contents, past, DAY)


def numbers(issue: Issue) -> dict[str, tuple[str, ...]]:
    return {item.content.number: members_of(item.content) for item in issue.documents
            if item.content.kind is DocumentKind.STANDARD and not item.withdrawn}  # fmt: skip


FIRST: Kinds = {"P-0001": "a", "P-0002": "b", "P-0003": "a", "P-0004": "b", "P-0005": "c"}


def test_groups_are_numbered_in_the_order_of_their_first_penetrations() -> None:
    issue = planned(FIRST).issue()
    assert numbers(issue) == {"S-01": ("P-0001", "P-0003"), "S-02": ("P-0002", "P-0004")}
    assert [item.content.number for item in issue.documents] == ["P-0005", "S-01", "S-02"]


def test_one_that_joins_or_leaves_revises_the_standard_detail_and_nothing_else() -> None:
    first = planned(FIRST).issue()
    joined = planned({**FIRST, "P-0006": "b"}, first)
    assert [(item.content.number, item.revision) for item in joined.revised] == [("S-02", "B")]
    assert numbers(joined.issue())["S-02"] == ("P-0002", "P-0004", "P-0006")
    left = planned({**FIRST, "P-0006": "d"}, joined.issue())
    assert [(item.content.number, item.revision) for item in left.revised] == [("P-0006", "A"), ("S-02", "C")]
    assert left.withdrawn == ()


def test_a_group_that_changes_as_a_whole_keeps_its_number() -> None:
    first = planned(FIRST).issue()
    plan = planned({**FIRST, "P-0001": "z", "P-0003": "z"}, first)
    assert numbers(plan.issue()) == {"S-01": ("P-0001", "P-0003"), "S-02": ("P-0002", "P-0004")}
    assert [(item.content.number, item.revision) for item in plan.revised] == [("S-01", "B")]


def test_of_two_parts_the_one_that_is_still_drawn_as_issued_keeps_the_number_else_the_larger() -> None:
    whole = planned({f"P-{n:04}": "a" for n in range(1, 6)}).issue()
    few_stay = {"P-0001": "z", "P-0002": "z", "P-0003": "z", "P-0004": "a", "P-0005": "a"}
    assert numbers(planned(few_stay, whole).issue()) == {
        "S-01": ("P-0004", "P-0005"),
        "S-02": ("P-0001", "P-0002", "P-0003"),
    }
    both_change = {name: {"a": "y"}.get(kind, kind) for name, kind in few_stay.items()}
    assert numbers(planned(both_change, whole).issue()) == {
        "S-01": ("P-0001", "P-0002", "P-0003"),
        "S-02": ("P-0004", "P-0005"),
    }


def test_a_number_that_went_is_never_given_again() -> None:
    first = planned(FIRST).issue()
    gone = planned({**FIRST, "P-0002": "d"}, first)
    assert [item.content.number for item in gone.withdrawn] == ["S-02"]
    again = planned(FIRST, gone.issue()).issue()
    assert numbers(again) == {"S-01": ("P-0001", "P-0003"), "S-03": ("P-0002", "P-0004")}
    others = planned({"P-0007": "q", "P-0008": "q"}, again).issue()
    assert numbers(others) == {"S-04": ("P-0007", "P-0008")}


def test_another_height_of_one_revises_its_line_and_is_a_change_of_that_line() -> None:
    first = planned(FIRST).issue()
    plan = planned({**FIRST, "P-0009": "a"}, first, {"P-0009": "2700 mm"})
    (revised,) = plan.revised
    assert revised.content.number == "S-01"
    assert "figure/sill-height" in revised.changed, "the drawing says the table now"
    assert lines_changed(revised) >= {"used/P-0009"}
    later = planned({**FIRST, "P-0009": "a"}, plan.issue(), {"P-0009": "2800 mm"})
    (revised,) = later.revised
    assert revised.changed == ("used/P-0009",)
    assert lines_changed(revised) == {"used/P-0009"}


def test_which_drawing_applies_to_each_penetration() -> None:
    here = details({**FIRST, "P-0006": "-"})
    assert drawings_of(here, standards_of(here.values(), None)) == {
        "P-0001": "S-01", "P-0002": "S-02", "P-0003": "S-01", "P-0004": "S-02", "P-0005": "P-0005", "P-0006": NOT_DRAWN,
    }  # fmt: skip
    assert drawings_of(here, ())["P-0001"] == "P-0001"


def test_an_own_sheet_that_was_issued_is_superseded_by_the_standard_detail_it_joined() -> None:
    first = planned(FIRST).issue()
    plan = planned({**FIRST, "P-0005": "a"}, first)
    here = details({**FIRST, "P-0005": "a"})
    drawings = drawings_of(here, standards_of(here.values(), first))
    (old,) = plan.withdrawn
    assert (old.content.number, superseded_by(old, drawings)) == ("P-0005", "S-01")
    assert superseded_by(old, {**drawings, "P-0005": NOT_DRAWN}) == ""
    assert drawings_before(plan)["P-0005"] == "P-0005"
    (revised,) = plan.revised
    assert changes_of_use(revised, drawings, drawings_before(plan)) == (
        "P-0005 joined; its own sheet is superseded for it.",
    )


def test_what_left_is_told_with_the_drawing_it_is_built_by_now() -> None:
    first = planned({f"P-{n:04}": "a" for n in range(1, 6)}).issue()
    now: Kinds = {
        "P-0001": "a",
        "P-0002": "a",
        "P-0003": "z",
        "P-0004": "-",
        "P-0006": "y",
        "P-0007": "y",
        "P-0005": "y",
    }
    plan = planned(now, first)
    here = details(now)
    drawings = drawings_of(here, standards_of(here.values(), first))
    revised = next(item for item in plan.revised if item.content.number == "S-01")
    assert changes_of_use(revised, drawings, drawings_before(plan)) == (
        "P-0003 left: it has its own sheet now.",
        "P-0004 left: it is not drawn now.",
        "P-0005 left: it is built by S-02 now.",
    )
    new = next(item for item in plan.revised if item.content.number == "S-02")
    assert changes_of_use(new, drawings, drawings_before(plan)) == ("P-0005 joined; S-01 is superseded for it.",)


worlds = st.dictionaries(st.sampled_from([f"P-{n:04}" for n in range(1, 9)]), st.sampled_from("abc-"), min_size=1)


@given(st.lists(worlds, min_size=1, max_size=5))
def test_over_any_history_no_number_is_used_for_a_group_that_shares_nobody_with_the_one_before(
    history: list[dict[str, str]],
) -> None:
    past: Issue | None = None
    held: dict[str, set[str]] = {}
    gone: set[str] = set()
    for kinds in history:
        plan = planned(kinds, past)
        if past is not None and plan.is_empty:
            continue
        past = plan.issue()
        now = {number: set(members) for number, members in numbers(past).items()}
        assert not now.keys() & gone
        assert all(members & held[number] for number, members in now.items() if number in held)
        gone |= held.keys() - now.keys()
        held = now
        drawn = [name for item in past.documents if not item.withdrawn
                 for name in (members_of(item.content) or (item.content.number,))]  # fmt: skip
        assert sorted(drawn) == sorted(name for name, kind in kinds.items() if kind != "-"), "each is drawn once"
