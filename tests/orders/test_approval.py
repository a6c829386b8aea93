# SPDX-License-Identifier: Apache-2.0
"""What an approval holds for: any change of what is to be built voids it, and nothing else does (common practice)."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Any

import pytest

from brattice.details import InstallationDetail
from brattice.findings import Known, Missing, Origin, Party, Unknown
from brattice.orders.approval import content_of, contents, void_because
from brattice.orders.decisions import SubmittalStatus
from brattice.quantities import Mm
from tests.helpers.installations import gaps
from tests.helpers.ordered import approved, to_order
from tests.helpers.penetrations import with_facts

ONE = to_order("P-0001")
NOW = content_of([ONE])


def of_test(**changes: Any) -> InstallationDetail:
    assert ONE.tested is not None
    tested = ONE.tested
    for name, value in changes.items():
        head, _, rest = name.partition("__")
        tested = replace(tested, **{head: replace(getattr(tested, head), **{rest: value}) if rest else value})
    return replace(ONE, tested=tested)


def of_wall(**facts: Any) -> InstallationDetail:
    changes = {f"barrier__wall_type__{name}": value for name, value in facts.items()}
    return replace(ONE, penetration=with_facts(ONE.penetration, **changes))


def test_the_mark_can_be_copied_by_hand() -> None:
    assert re.fullmatch("[0-9a-f]{4}-[0-9a-f]{4}", NOW)


@pytest.mark.parametrize(
    "changed",
    [
        of_wall(lining_mm=Mm(31)),
        of_wall(board_layers=(1, 2)),
        of_wall(cavity_fill="none"),
        of_wall(revision="P02"),
        of_test(document__revision="4"),
        of_test(document__reference="DoP HV-11"),
        of_test(class_text="EI 30 (ve i↔o) S"),
        of_test(seal__gaps=gaps(30, 61)),
        of_test(seal__products=("Another sealant",)),
        of_test(construction__least_thickness_mm=Mm(101)),
        of_test(most_blade_offset_mm=None),
        of_test(id="HV-10-FW-2"),
    ],
)
def test_another_wall_test_or_document_is_another_content(changed: InstallationDetail) -> None:
    assert content_of([changed]) != NOW


def test_a_fact_of_the_wall_that_is_no_longer_known_is_another_content() -> None:
    wall = ONE.penetration.barrier.wall_type
    assert wall is not None
    open_again = replace(wall, lining_mm=Unknown(Missing("wall-type/W2/lining", "The lining", Party.ARCHITECT)))
    barrier = replace(ONE.penetration.barrier, wall_type=open_again)
    assert content_of([replace(ONE, penetration=replace(ONE.penetration, barrier=barrier))]) != NOW


def test_one_more_tested_installation_is_another_content_and_one_more_place_is_none() -> None:
    assert content_of([ONE, of_test(id="HV-10-FW-2")]) != NOW
    assert content_of([ONE, to_order("P-0002")]) == content_of([to_order("P-0002"), ONE]) == NOW


def test_where_a_value_stands_and_how_it_is_spaced_changes_nothing() -> None:
    assert content_of([of_test(origin=Origin("other.toml", "installation 9"))]) == NOW
    assert content_of([of_test(class_text="EI 60  (ve i↔o) S ")]) == NOW
    assert content_of([of_test(casing_beyond_mm=ONE.tested and ONE.tested.casing_beyond_mm)]) == NOW


def test_each_submittal_has_its_own_mark() -> None:
    found = contents({"P-0001": ONE, "P-0002": to_order("P-0002", "floor"), "P-0003": to_order("P-0003")}, {"P-0003"})
    assert {key: [item.id for item in details] for key, (_, details) in found.items()} == {
        ("harrow & vale", "hv-10", "w2"): ["P-0001"],
        ("harrow & vale", "hv-10", "f1"): ["P-0002"],
    }
    assert len({mark for mark, _ in found.values()}) == 2


@pytest.mark.parametrize(
    ("status", "content", "says"),
    [
        ("A", NOW, ""),
        ("B", NOW, ""),
        ("A", "0000-0000", "It was given for content 0000-0000"),
        ("B", "", "It does not say which content was approved"),
        ("C", "", ""),
        ("C", "0000-0000", ""),
    ],
)
def test_only_an_approval_of_this_very_content_holds(status: str, content: str, says: str) -> None:
    found = void_because(approved(status=SubmittalStatus(status), content=content), NOW)
    assert found.startswith(says)
    assert bool(found) is bool(says)


def test_without_a_decision_nothing_is_void() -> None:
    assert void_because(None, NOW) == ""


def test_every_field_of_a_test_and_a_wall_can_be_told() -> None:
    assert isinstance(ONE.penetration.barrier.wall_type_code, Known)
    with pytest.raises(TypeError, match="no content can be told of object"):
        content_of([of_test(notes=(object(),))])
