# SPDX-License-Identifier: Apache-2.0
"""Technical submittals: what is asked, what is held, on which document, where; all expected lines written by hand."""

from dataclasses import replace
from datetime import date, timedelta
from typing import Any

from brattice.details import InstallationDetail, Standing
from brattice.findings import Missing, Party
from brattice.orders import AskedHere, Submittal, SubmittalDecision, Submittals, SubmittalStatus, submittals
from brattice.requirements.requirement import LoweredRequirement, RequirementPart
from tests.helpers.details import detail_of, figure
from tests.helpers.judging import requirement
from tests.helpers.ordered import ON, approved, to_order
from tests.helpers.penetrations import with_facts, without

CLAUSES = {"row.a": "Guide 1:2019, 9.2 (read in the source)", "row.b": "Guide 1:2019, 9.3 (from memory)"}
PARTS = (
    RequirementPart("class", "E 60", ("row.a",), ("Fire strategy rev. C02",)),
    RequirementPart("actuation", "thermal", ("row.b",)),
    RequirementPart("access", "can be reached", ("row.b", "row.not-known")),
)


def asked(state: str = "within scope", why: str = "It holds.", **changes: Any) -> AskedHere:
    return AskedHere(replace(requirement(parts=PARTS), **changes), state, why)


def made(
    *details: InstallationDetail,
    here: AskedHere | None = None,
    decisions: tuple[SubmittalDecision, ...] = (),
    on: date = ON,
) -> Submittals:
    by_id = {item.id: item for item in details}
    return submittals(by_id, {name: here or asked() for name in by_id}, CLAUSES, decisions, on=on)


def only(*details: InstallationDetail, **given: Any) -> Submittal:
    (item,) = made(*details, **given).items
    return item


def test_one_submittal_for_each_product_in_each_wall_type() -> None:
    answer = made(to_order("P-2"), to_order("P-1"), to_order("P-3", "round in block wall"), to_order("P-4", "floor"))
    assert [
        (item.number, item.product, item.wall_type, item.penetrations, item.file_stem) for item in answer.items
    ] == [
        (1, "HV-10", "F1", ("P-4",), "01-hv-10-f1"),
        (2, "HV-10", "W1", ("P-3",), "02-hv-10-w1"),
        (3, "HV-10", "W2", ("P-1", "P-2"), "03-hv-10-w2"),
    ]


def test_what_holds_everywhere_says_so_and_what_leaves_one_out_names_each() -> None:
    item = only(*(to_order(f"P-{n}") for n in range(1, 8)))
    assert item.where_text(item.penetrations) == "all 7"
    assert item.where_text(item.penetrations[:6]) == "P-1, P-2, P-3, P-4, P-5, P-6"
    six = only(*(to_order(f"P-{n}") for n in range(1, 7)))
    assert six.where_text(six.penetrations) == "P-1, P-2, P-3, P-4, P-5, P-6"


def test_a_product_that_two_rows_write_in_two_ways_is_one_submittal_whichever_comes_first() -> None:
    def scheduled(name: str, product: str) -> InstallationDetail:
        detail = to_order(name, tested=None)
        facts = {"damper__maker": "Harrow & Vale", "damper__product": product}
        return replace(detail, penetration=with_facts(detail.penetration, **facts))

    for names in (("P-1", "P-2"), ("P-2", "P-1")):
        item = only(*(scheduled(name, product) for name, product in zip(names, ("hv-10", "HV-10"), strict=True)))
        assert (item.product, item.penetrations) == ("HV-10", ("P-1", "P-2"))


def test_the_compliance_statement_names_what_is_asked_what_is_held_and_who_asks() -> None:
    (line,) = only(to_order("P-1"), to_order("P-2")).compliance
    assert (line.class_asked, line.class_held, line.state) == ("EI 60 (ve i↔o) S", "EI 60 (ve i↔o) S", "within scope")
    assert (line.actuation_asked, line.actuation_held) == ("thermal", "thermal")
    assert line.sources == (*CLAUSES.values(), "Fire strategy rev. C02")
    assert (line.penetrations, line.sizes) == (("P-1", "P-2"), ("600 × 400 mm",))


def test_what_holds_nothing_reads_so() -> None:
    here = asked("outside scope", "The seal was never tested.")
    item = only(to_order(class_held="", standing=Standing.TO_BE_SETTLED), here=here)
    assert [(line.class_held, line.state) for line in item.compliance] == [("not shown", "outside scope")]
    assert item.outside == (("The seal was never tested.", ("P-0001",)),)
    assert only(to_order(class_asked="")).compliance[0].class_asked == "to be settled"


def test_what_nobody_knows_to_close_it_is_not_held() -> None:
    unsure = figure("actuation", "Closes by", None, "", "smoke detection", verdict="unknown")
    (line,) = only(to_order(figures={"actuation": unsure})).compliance
    assert line.actuation_held == "to be settled"


def test_a_penetration_that_nobody_judged_is_not_passed() -> None:
    answer = submittals({"P-0001": to_order()}, {}, CLAUSES, on=ON)
    assert answer.items[0].compliance[0].state == "not judged"


def test_other_demands_stand_with_their_clauses() -> None:
    (part,) = only(to_order("P-1"), to_order("P-2")).asked
    assert (part.about, part.asks, part.penetrations) == ("access", "can be reached", ("P-1", "P-2"))
    assert part.sources == ("Guide 1:2019, 9.3 (from memory)", "row.not-known")


def test_the_tested_installation_with_its_documents_and_where_it_is_used() -> None:
    item = only(to_order("P-1"), to_order("P-2"))
    (used,) = item.installations
    assert (used.id, used.class_text, used.penetrations) == ("HV-10-FW-1", "EI 60 (ve i↔o) S", ("P-1", "P-2"))
    assert used.documents == (
        ("declaration and instructions", "DoP HV-10 revision 3, 2024-05-01"),
        ("standard", "EN 15650:2010"),
        ("certificate of constancy of performance", "C-1"),
        ("marking", "UKCA"),
        ("instructions", "HV-10 instructions, revision 3"),
        ("third-party certification", "not stated"),
    )
    assert (used.construction, used.fixing) == (
        "flexible wall, at least 100 mm thick, type F",
        "screwed to lined opening",
    )
    assert used.seal == "Cinderlock A2 sealant, stone wool 50 mm"
    assert item.product_documents == ("HV-10 product sheet, revision 3",)
    assert item.wall_text == (
        ("role", "compartment wall"),
        ("rating", "EI 60"),
        ("construction", "flexible wall"),
        ("thickness", "125 mm"),
        ("revision", "P01"),
    )


def test_deviations_changes_and_unknowns_each_with_their_places() -> None:
    missing = {name: Missing(f"k/{name}", f"The seal: {name}", Party.FIRESTOPPER) for name in ("P-1", "P-2")}
    low = LoweredRequirement(("P-1",), "E 30", None, "Ida Invented", "fire engineer", "L 4", "B", ON, "sprinklers")
    details = [
        to_order(
            name, changes=("Gap 45 mm.",), to_settle=(missing[name],), deviation="Deviation accepted by Ida Invented."
        )
        for name in ("P-1", "P-2")
    ]
    details += [to_order(name, changes=("Gap 45 mm.",)) for name in ("P-3", "P-4", "P-5")]
    by_id = {item.id: item for item in details}
    here = {
        "P-1": asked("deviation accepted", lowered_by=low),
        "P-2": asked("deviation accepted"),
        "P-3": asked("within scope if"),
        "P-4": asked("within scope if"),
        "P-5": asked("outside scope", "Never tested."),
    }
    (item,) = submittals(by_id, here, CLAUSES, on=ON).items
    assert item.changes == (("Gap 45 mm.", ("P-3", "P-4")),), "of the others no change brings one within scope"
    assert item.unknowns == (("The seal (ask the firestopper)", ("P-1", "P-2")),)
    assert item.deviations == (
        ("Deviation accepted by Ida Invented. Accepted in place of: Gap 45 mm.", ("P-1", "P-2")),
        (
            "The requirement was lowered by Ida Invented, fire engineer, on L 4 revision B, 2026-11-02: sprinklers",
            ("P-1",),
        ),
    )
    assert item.outside == (("Never tested.", ("P-5",)),)


def test_a_status_is_that_of_its_decision_on_the_day() -> None:
    given = approved(status=SubmittalStatus.WITH_COMMENTS, comments="Send the drawing.")
    item = only(to_order(), decisions=(given,))
    assert item.decision == given
    assert item.status_text == "B (approved with comments), 2026-11-02, Ida Invented, architect, Return 1 revision A"
    before = only(to_order(), decisions=(given,), on=ON - timedelta(days=1))
    assert before.decision is None
    assert before.status_text == "not decided; nothing is ordered before A or B"


def test_what_has_no_product_or_no_wall_type_stands_in_no_submittal_and_is_named() -> None:
    nameless = detail_of("not drawn", id="P-1", tested=None)
    nameless = replace(nameless, penetration=without(nameless.penetration, "damper__maker"))
    wall = to_order("P-2")
    wall = replace(wall, penetration=without(wall.penetration, "barrier__wall_type_code"))
    none = to_order("P-3")
    none = replace(none, penetration=with_facts(none.penetration, damper__present=False))
    assert submittals({"P-5": to_order("P-5")}, {}, CLAUSES, on=ON, without={"P-5"}) == Submittals((), ())
    answer = made(nameless, wall, none, to_order("P-4"))
    assert answer.without == ("P-1", "P-2")
    assert [item.penetrations for item in answer.items] == [("P-4",)]


def test_a_file_name_is_made_of_plain_letters() -> None:
    detail = to_order()
    place = with_facts(detail.penetration, barrier__wall_type_code="../W 2\\x <b>\u202e")
    assert only(replace(detail, penetration=place)).file_stem == "01-hv-10-w-2-x-b"
