# SPDX-License-Identifier: Apache-2.0
"""What is ordered and what is held. A line that leaves something to guess is a damper of the wrong hand on site (trade
handbook rows 3.16 and 5.5, field cases 8, 15 and 16); the expected lines are written by hand from the details."""

from dataclasses import replace
from datetime import date, timedelta
from itertools import permutations
from typing import Any

import pytest

from brattice.building.words import Handing
from brattice.details import Standing
from brattice.evidence.product import Actuator
from brattice.findings import Missing, Party, Verdict
from brattice.orders import HeldKind, HeldReason, OrderSchedule, SubmittalStatus, order_schedule
from brattice.orders.approval import content_of
from brattice.orders.orders import ORDER_FIELDS
from tests.helpers.details import KINDS, detail_of, figure
from tests.helpers.ordered import ON, approved, offered, override, powered, to_order, word
from tests.helpers.penetrations import with_facts, without


def schedule(*details: Any, decisions: Any = None, overrides: Any = (), on: date = ON) -> OrderSchedule:
    given = [approved(), approved("W1"), approved("F1")] if decisions is None else decisions
    return order_schedule({item.id: item for item in details}, given, overrides, on=on)


def reasons(answer: OrderSchedule) -> list[tuple[HeldKind, str, str]]:
    (held,) = answer.held
    return [(item.kind, item.text, item.ask_text) for item in held.reasons]


def test_one_damper_says_everything() -> None:
    (line,) = schedule(to_order()).lines
    assert line.texts == {
        "maker": "Harrow & Vale",
        "product": "HV-10",
        "size": "600 × 400 mm",
        "handing": "right",
        "class": "EI 60 (ve i↔o) S",
        "actuation": "thermal",
        "actuator": "T72: thermal link 72 °C with spring",
        "voltage": "none",
        "end-switches": "no",
        "accessories": "none",
        "access-side": "corridor side",
        "finish": "galvanised",
        "phase": "2",
        "delivery": "6 weeks",
        "submittal": "A (approved), 2026-11-02, Ida Invented, architect, Return 1 revision A",
        "comments": "",
        "override": "",
    }
    assert (line.number, line.quantity, line.penetrations) == (1, 1, ("P-0001",))


def test_dampers_alike_are_one_line_and_others_are_not() -> None:
    alike = [to_order(f"P-000{n}") for n in (3, 1, 2)]
    left = to_order("P-0004", figures={"handing": word("handing", "left")})
    pair = to_order("P-0005", figures={"quantity": figure("quantity", "Quantity", 2, "", "2")})
    answer = schedule(*alike, left, pair)
    assert [(line.texts["handing"], line.quantity, line.penetrations) for line in answer.lines] == [
        ("left", 1, ("P-0004",)),
        ("right", 5, ("P-0001", "P-0002", "P-0003", "P-0005")),
    ]
    assert answer.quantity == 6
    assert [line.number for line in answer.lines] == [1, 2]


@pytest.mark.parametrize("key", [key for key, _ in ORDER_FIELDS if key in {"handing", "actuator", "finish", "phase"}])
def test_one_word_that_differs_parts_two_lines(key: str) -> None:
    other = {"handing": "left", "actuator": "M24", "finish": "stainless steel", "phase": "3"}[key]
    figures = {key: word(key, other)}
    if key == "actuator":
        figures["voltage"] = word("voltage", "24 V AC/DC")
    answer = schedule(to_order(), to_order("P-0002", figures=figures))
    assert len(answer.lines) == 2
    assert answer.held == ()


def test_width_and_height_are_never_exchanged_and_round_is_a_diameter() -> None:
    turned = {
        "damper-width": figure("damper-width", "Damper width", 400, "mm"),
        "damper-height": figure("damper-height", "Damper height", 600, "mm"),
    }
    answer = schedule(to_order(), to_order("P-0002", figures=turned), to_order("P-0003", "round in block wall"))
    assert [line.texts["size"] for line in answer.lines] == ["400 × 600 mm", "600 × 400 mm", "Ø 315 mm"]
    assert answer.held == ()


@pytest.mark.parametrize("count", [0.0, -1.0, 0.5, 2.5])
def test_no_part_of_a_damper_is_ordered(count: float) -> None:
    """A count that is no count of things is not known; it is never rounded to one that is."""
    answer = schedule(to_order(figures={"quantity": figure("quantity", "Quantity", count, "")}))
    assert answer.lines == ()
    assert reasons(answer) == [
        (HeldKind.FACT_MISSING, "How many dampers there are: P-0001", str(Party.SERVICES_DESIGNER))
    ]


def test_sizes_stand_in_the_order_of_their_numbers() -> None:
    def wide(name: str, width: float) -> Any:
        return to_order(name, figures={"damper-width": figure("damper-width", "Damper width", width, "mm")})

    answer = schedule(wide("P-0001", 1000), wide("P-0002", 200), wide("P-0003", 600))
    assert [line.texts["size"] for line in answer.lines] == ["200 × 400 mm", "600 × 400 mm", "1000 × 400 mm"]


def test_the_order_of_what_is_given_changes_nothing() -> None:
    details = [to_order("P-0001"), powered("P-0002"), to_order("P-0003", "floor"), detail_of("missing facts", id="P-4")]
    answers = [schedule(*given) for given in permutations(details)]
    assert all(answer == answers[0] for answer in answers)


def test_every_penetration_stands_in_the_lines_or_is_held_and_never_both() -> None:
    details = [detail_of(kind, id=f"P-{n}") for n, kind in enumerate(KINDS)]
    details += [to_order(f"P-1{n}") for n in range(3)]
    answer = schedule(*details)
    ordered = [name for line in answer.lines for name in line.penetrations]
    assert sorted([*ordered, *(item.id for item in answer.held)]) == sorted(item.id for item in details)
    assert all(item.reasons for item in answer.held)


@pytest.mark.parametrize(
    ("key", "text", "ask"),
    [
        ("handing", "On which side the mechanism sits, looking along the airflow", Party.SERVICES_DESIGNER),
        ("actuator", "Which actuator or release the damper has", Party.SERVICES_DESIGNER),
        ("voltage", "The voltage of the actuator", Party.SERVICES_DESIGNER),
        ("end-switches", "Whether the damper has end switches", Party.SERVICES_DESIGNER),
        ("accessories", "The accessories of the damper", Party.SERVICES_DESIGNER),
        ("finish", "The finish of the damper", Party.SERVICES_DESIGNER),
        ("phase", "The phase in which it is delivered", Party.DUCTWORK_CONTRACTOR),
        ("quantity", "How many dampers there are", Party.SERVICES_DESIGNER),
    ],
)
def test_a_line_that_lacks_a_fact_is_held_and_says_whom_to_ask(key: str, text: str, ask: Party) -> None:
    answer = schedule(to_order(figures={key: None}))
    assert answer.lines == ()
    assert reasons(answer) == [(HeldKind.FACT_MISSING, f"{text}: P-0001", str(ask))]
    missing = figure(key, "Something", None, "", ask=Party.CLIENT)
    assert (HeldKind.FACT_MISSING, "Something: P-0001", "client") in reasons(
        schedule(to_order(figures={key: missing}))
    ) or key == "quantity"


def test_what_stands_unsure_is_no_fact() -> None:
    unsure = replace(word("finish", "galvanised"), verdict=Verdict.UNKNOWN)
    assert schedule(to_order(figures={"finish": unsure})).lines == ()


def test_no_size_no_class_no_delivery() -> None:
    nothing = {"damper-width": None, "damper-height": None, "delivery": None}
    assert [text for _, text, _ in reasons(schedule(to_order(figures=nothing, class_held="")))] == [
        "The size of the damper, width × height: P-0001",
        "The class that it holds here: P-0001",
        "The delivery time, of Harrow & Vale HV-10",
    ]
    one_side = schedule(to_order(figures={"damper-height": figure("damper-height", "H", None, "mm", ask=Party.CLIENT)}))
    assert reasons(one_side) == [(HeldKind.FACT_MISSING, "H: P-0001", "client")]


def test_the_side_of_access_is_asked_where_neither_figure_nor_fact_says_it() -> None:
    detail = to_order(figures={"access-side": None})
    assert schedule(detail).lines[0].texts["access-side"] == "corridor side"  # as stated of the damper
    place = with_facts(detail.penetration, damper__access_side=figure_unknown())
    answer = schedule(replace(detail, penetration=place))
    assert reasons(answer) == [
        (
            HeldKind.FACT_MISSING,
            "The side from which the damper is reached: P-0001",
            "services designer",
        )
    ]


def figure_unknown() -> Any:
    from brattice.findings import Unknown

    return Unknown(Missing("penetration/P-0001/access-side", "From where it is reached: P-0001", Party.CLIENT))


@pytest.mark.parametrize(
    ("product", "figures", "text"),
    [
        ({"handings": (Handing.LEFT,)}, {}, "Handing: right; the maker offers left."),
        ({"finishes": ("stainless steel",)}, {}, "Finish: galvanised; the maker offers stainless steel."),
        (
            {},
            {"accessories": word("accessories", "installation frame, flying leads")},
            "Accessories: flying leads; the maker offers end switches, installation frame.",
        ),
        (
            {},
            {"actuator": word("actuator", "M230: motor")},
            "Actuator or release: M230: motor; the maker offers T72, M24.",
        ),
        ({}, {"voltage": word("voltage", "24 V")}, "Voltage: 24 V; T72 takes none."),
        (
            {},
            {"actuator": word("actuator", "M24"), "voltage": word("voltage", "230 V AC")},
            "Voltage: 230 V AC; the maker offers 24 V AC/DC.",
        ),
        ({"accessories": ()}, {"end-switches": word("end-switches", "yes")}, "End switches: yes; T72 has none."),
    ],
)
def test_what_the_maker_does_not_offer_is_not_ordered(
    product: dict[str, Any], figures: dict[str, Any], text: str
) -> None:
    figures.setdefault("handing", word("handing", "right"))
    answer = schedule(to_order(product=offered(**product), figures=figures))
    assert reasons(answer) == [(HeldKind.NOT_OFFERED, text, "")]


@pytest.mark.parametrize(
    ("product", "figures", "text"),
    [
        ({"handings": ()}, {}, "The sides its mechanism can sit on, of Harrow & Vale HV-10"),
        ({"finishes": ()}, {}, "The finishes it can be had in, of Harrow & Vale HV-10"),
        (
            {"accessories": ()},
            {"accessories": word("accessories", "installation frame")},
            "The accessories it can be had with, of Harrow & Vale HV-10",
        ),
        ({"actuators": ()}, {}, "The actuators it can be had with, of Harrow & Vale HV-10"),
        (
            {"actuators": (Actuator("T72", "link", (), None, None),), "accessories": ()},
            {"actuator": word("actuator", "T72"), "end-switches": word("end-switches", "yes")},
            "Whether T72 has end switches, of Harrow & Vale HV-10",
        ),
    ],
)
def test_what_the_maker_does_not_state_holds_the_line(
    product: dict[str, Any], figures: dict[str, Any], text: str
) -> None:
    answer = schedule(to_order(product=offered(**product), figures=figures))
    assert reasons(answer) == [(HeldKind.FACT_MISSING, text, "damper supplier")]


def test_end_switches_that_come_as_an_accessory_are_offered() -> None:
    assert len(schedule(to_order(figures={"end-switches": word("end-switches", "yes")})).lines) == 1


def test_without_product_facts_nothing_can_be_held_against_the_maker() -> None:
    bare = to_order(product=None)
    ((kind, text, ask),) = reasons(schedule(bare, decisions=[approved(content=content_of([bare]))]))
    assert (kind, ask) == (HeldKind.FACT_MISSING, "damper supplier")
    assert text.startswith("What the product can be had with")


def test_a_figure_that_was_held_against_the_maker_already_is_taken_at_its_word() -> None:
    passed = replace(word("finish", "galvanised"), verdict=Verdict.PASS)
    assert len(schedule(to_order(product=offered(finishes=()), figures={"finish": passed})).lines) == 1
    failed = replace(word("finish", "gold"), verdict=Verdict.FAIL, limit="offered: galvanised", note="Not offered.")
    ((kind, text, _),) = reasons(schedule(to_order(figures={"finish": failed})))
    assert (kind, text) == (HeldKind.FAILS, "Finish: gold, offered: galvanised. Not offered.")


# --- what is not to be built is not ordered ---------------------------------------------------------------------------


def test_a_change_that_is_still_to_be_made_holds_the_order() -> None:
    detail = to_order(
        standing=Standing.TO_BE_SETTLED, why="Within scope if something changes.", changes=("Make the gap 45 mm.",)
    )
    assert reasons(schedule(detail)) == [
        (HeldKind.NOT_SETTLED, "Within scope if something changes.", ""),
        (HeldKind.CHANGE_FIRST, "Make the gap 45 mm.", ""),
    ]


def test_facts_that_only_other_trades_wait_for_are_not_asked_for_an_order() -> None:
    detail = detail_of("missing facts", product=offered())
    asked = {text for _, text, _ in reasons(schedule(detail))}
    assert "Mechanism: P-0001" in asked  # the handing
    assert "Centre above the structural floor: P-0001" in asked  # nothing is ordered that can't be built
    assert not {"Air flow: P-0001", "Velocity in the duct: P-0001"} & asked


def test_reasons_of_one_kind_to_one_party_stand_together_on_paper() -> None:
    (held,) = schedule(to_order(figures={"handing": None, "finish": None, "phase": None}), decisions=[]).held
    assert held.in_short == (
        (
            "fact missing",
            "On which side the mechanism sits, looking along the airflow; The finish of the damper",
            "services designer",
        ),
        ("fact missing", "The phase in which it is delivered", "ductwork contractor"),
        (
            "submittal",
            (
                "The technical submittal of Harrow & Vale HV-10 in W2 is not approved yet; nothing is ordered before A "
                "or B"
            ),
            "principal designer",
        ),
    )


def test_what_can_not_be_is_held_with_why() -> None:
    detail = detail_of("not drawn")
    assert reasons(schedule(detail)) == [
        (HeldKind.NOT_SETTLED, "The geometry can't be.", ""),
        (HeldKind.FAILS, detail.problems[0], ""),
    ]


def test_a_damper_of_which_neither_maker_nor_product_is_known_is_to_be_settled_once() -> None:
    detail = detail_of("not drawn", tested=None)
    nameless = replace(detail, penetration=without(detail.penetration, "damper__maker", "damper__product"))
    assert [item.damper for item in schedule(nameless).held] == ["to be settled"]
    assert [item.damper for item in schedule(detail_of("missing facts")).held] == ["Harrow & Vale HV-10"]


def test_a_figure_that_fails_holds_the_order_unless_its_deviation_was_accepted() -> None:
    wrong = figure("gap-left", "Gap left", 70, "mm", limit="40 to 50 mm", verdict="fail")
    answer = schedule(to_order(figures={"gap-left": wrong}))
    assert reasons(answer) == [(HeldKind.FAILS, "Gap left: 70 mm, 40 to 50 mm.", "")]
    accepted = to_order(figures={"gap-left": wrong}, deviation="Deviation accepted by Ida Invented.", class_held="")
    (line,) = schedule(accepted).lines
    assert line.texts["class"] == "EI 60 (ve i↔o) S as declared; deviation accepted"


def test_a_deviation_does_not_make_a_maker_offer_what_he_does_not() -> None:
    wrong = figure("finish", "Finish", None, "", "gold", limit="offered: galvanised", verdict="fail")
    answer = schedule(to_order(figures={"finish": wrong}, deviation="Deviation accepted by Ida Invented."))
    assert reasons(answer) == [(HeldKind.FAILS, "Finish: gold, offered: galvanised.", "")]


def test_where_no_damper_is_scheduled_none_is_ordered() -> None:
    detail = detail_of("not drawn", why="No damper is scheduled here.")
    place = with_facts(detail.penetration, damper__present=False)
    answer = schedule(replace(detail, penetration=place))
    (held,) = answer.held
    assert held.reasons[0] == HeldReason(HeldKind.NO_DAMPER, "No damper is scheduled here.")
    assert (held.maker, held.product, held.size) == ("", "", "")
    needless = order_schedule(
        {"P-0001": to_order(why="No protection is needed.")}, [approved()], on=ON, without={"P-0001"}
    )
    assert reasons(needless) == [(HeldKind.NO_DAMPER, "No protection is needed.", "")]


# --- no order before A or B -------------------------------------------------------------------------------------------


def test_nothing_is_ordered_before_its_submittal_is_approved() -> None:
    text = "The technical submittal of Harrow & Vale HV-10 in W2 is not approved yet; nothing is ordered before A or B."
    for decisions in ([], [approved("W1")], [approved(product="HV-11")], [approved(on=ON + timedelta(days=1))]):
        answer = schedule(to_order(), decisions=decisions)
        assert reasons(answer) == [(HeldKind.SUBMITTAL, text, "principal designer")]
    rejected = approved(status=SubmittalStatus.REJECTED, comments="No evidence for the lining.")
    ((kind, why, _),) = reasons(schedule(to_order(), decisions=[rejected]))
    assert kind is HeldKind.SUBMITTAL
    assert "is C (rejected, to be submitted again), 2026-11-02, Ida Invented" in why
    assert why.endswith("Comments: No evidence for the lining.")


def test_comments_go_out_with_the_order() -> None:
    given = approved(status=SubmittalStatus.WITH_COMMENTS, comments="Send the rod drawing first.")
    (line,) = schedule(to_order(), decisions=[given]).lines
    assert line.texts["submittal"].startswith("B (approved with comments)")
    assert line.texts["comments"] == "Send the rod drawing first."


def test_a_submittal_that_was_approved_and_then_rejected_holds() -> None:
    later = approved(status=SubmittalStatus.REJECTED, comments="Withdrawn.")
    earlier = approved(on=ON - timedelta(days=5))
    assert schedule(to_order(), decisions=[earlier, later]).lines == ()
    assert len(schedule(to_order(), decisions=[earlier, later], on=ON - timedelta(days=1)).lines) == 1


def test_a_rejection_that_the_detail_says_already_is_one_reason() -> None:
    back = approved(status=SubmittalStatus.REJECTED, comments="Another seal.")
    (first,) = schedule(to_order(), decisions=[back]).held
    (only,) = first.reasons
    waiting = to_order(standing=Standing.TO_BE_SETTLED, why=only.text)
    (held,) = schedule(waiting, decisions=[back]).held
    assert held.reasons == (only,)
    assert only.kind is HeldKind.SUBMITTAL


def test_an_override_of_another_product_lets_nothing_out() -> None:
    other = replace(override("P-0001"), product="HV-11")
    assert schedule(to_order(), decisions=[], overrides=[other]).lines == ()
    (line,) = schedule(to_order(), decisions=[], overrides=[replace(other, product="HV-10")]).lines
    assert line.texts["override"].endswith(", 2026-11-02, for HV-10: the programme")


def test_an_override_stands_on_the_line_of_its_damper_alone() -> None:
    answer = schedule(to_order(), to_order("P-0002"), decisions=[], overrides=[override("P-0001")])
    (line,) = answer.lines
    assert line.penetrations == ("P-0001",)
    assert line.texts["override"] == ("Otto Invented, project manager, Letter 3, 2026-11-02: the programme")
    assert line.texts["submittal"] == "not decided"
    assert [item.id for item in answer.held] == ["P-0002"]
    late = schedule(to_order(), decisions=[], overrides=[override("P-0001", on=ON + timedelta(days=1))])
    assert late.lines == ()
    approved_since = schedule(to_order(), overrides=[override("P-0001")])
    assert approved_since.lines[0].texts["override"] == ""


@pytest.mark.parametrize(("days", "is_ordered"), [(-1, False), (0, False), (1, True)])
def test_a_rejection_undoes_an_override_that_was_given_before_it(days: int, is_ordered: bool) -> None:
    """Who lets a damper go out before approval does not know of a later C; of two on one day the worse one stands."""
    rejected = approved(status=SubmittalStatus.REJECTED, on=ON - timedelta(days=2))
    let_out = override("P-0001", on=rejected.on + timedelta(days=days))
    answer = schedule(to_order(), decisions=[rejected], overrides=[let_out])
    assert bool(answer.lines) is is_ordered
    if not is_ordered:
        assert [reason.kind for reason in answer.held[0].reasons] == [HeldKind.SUBMITTAL]


@pytest.mark.parametrize(
    ("statuses", "is_ordered"),
    [("AC", False), ("CA", True), ("BC", False), ("CB", True), ("ABC", False)],
)
def test_the_last_status_stands_whatever_was_decided_before(statuses: str, is_ordered: bool) -> None:
    decided = [
        approved(status=SubmittalStatus(letter), on=ON - timedelta(days=len(statuses) - 1 - number))
        for number, letter in enumerate(statuses)
    ]
    assert bool(schedule(to_order(), decisions=decided[::-1]).lines) is is_ordered


def test_a_submittal_of_another_maker_with_a_product_of_that_name_approves_nothing() -> None:
    assert schedule(to_order(), decisions=[approved(maker="Harrow")]).lines == ()
    assert schedule(to_order(), decisions=[approved(maker="harrow  &  VALE", product=" hv-10 ")]).lines


def test_no_decision_is_about_a_wall_type_that_nobody_knows() -> None:
    """Whatever somebody calls a wall type: a decision for "not known" is none for walls whose type is not known."""
    detail = to_order()
    nowhere = replace(detail, penetration=without(detail.penetration, "barrier__wall_type_code"))
    answer = schedule(nowhere, decisions=[approved("not known")])
    assert answer.lines == ()
    assert (HeldKind.SUBMITTAL, str(Party.PRINCIPAL_DESIGNER)) in [(kind, ask) for kind, _, ask in reasons(answer)]


def test_an_approval_of_another_content_holds_and_says_so() -> None:
    text = (
        "The technical submittal of Harrow & Vale HV-10 in W2 is not approved any more (A (approved), 2026-11-02, Ida "
    )
    ((kind, why, ask),) = reasons(schedule(to_order(), decisions=[approved(content="0000-0000")]))
    assert (kind, ask) == (HeldKind.SUBMITTAL, "principal designer")
    assert why.startswith(text)
    assert "It was given for content 0000-0000; since then" in why
    ((_, why, _),) = reasons(schedule(to_order(), decisions=[approved(content="")]))
    assert "It does not say which content was approved; the content is " in why


def test_the_comments_of_an_approval_that_holds_no_longer_let_nothing_out() -> None:
    old = approved(status=SubmittalStatus.WITH_COMMENTS, comments="Send the drawing.", content="0000-0000")
    assert schedule(to_order(), decisions=[old]).lines == ()
    later = override("P-0001", on=ON + timedelta(days=1))
    (line,) = schedule(to_order(), decisions=[old], overrides=[later], on=later.on).lines
    assert "It was given for content 0000-0000" in line.texts["submittal"]
    assert line.texts["override"]
    assert schedule(to_order(), decisions=[old], overrides=[override("P-0001")]).lines == ()  # knew of no change


def test_an_actuator_of_which_no_voltage_is_stated_is_not_taken_for_one_that_needs_none() -> None:
    silent = offered(actuators=(Actuator("T72", "thermal link 72 °C with spring", None, False, None),))
    detail = to_order(product=silent)
    text = "Which voltages T72 takes, or that it takes none"
    found = reasons(schedule(detail, decisions=[approved(content=content_of([detail]))]))
    assert [(kind, why.startswith(text), ask) for kind, why, ask in found] == [
        (HeldKind.FACT_MISSING, True, "damper supplier")
    ]


def test_the_job_says_who_is_asked_to_approve() -> None:
    answer = order_schedule({"P-0001": to_order()}, [], on=ON, ask_submittal=Party.ARCHITECT)
    assert [reason.ask_text for reason in answer.held[0].reasons] == ["architect"]


def test_a_fail_position_that_is_not_known_holds_the_order() -> None:
    asked = figure("fail-position", "Position without power", None, "", ask=Party.SERVICES_DESIGNER)
    answer = schedule(powered(figures={"fail-position": asked}))
    assert answer.lines == ()
    assert [reason.kind for reason in answer.held[0].reasons] == [HeldKind.FACT_MISSING]


def test_an_override_lets_nothing_out_that_lacks_a_fact() -> None:
    assert schedule(to_order(figures={"handing": None}), decisions=[], overrides=[override("P-0001")]).lines == ()


def test_totals_by_maker_and_phase() -> None:
    second = to_order("P-0002", figures={"phase": word("phase", "10")})
    third = to_order("P-0003", figures={"handing": word("handing", "left")})
    totals = schedule(to_order(), second, third).totals
    assert [(item.maker, item.phase, item.quantity, item.lines) for item in totals] == [
        ("Harrow & Vale", "2", 2, 2),
        ("Harrow & Vale", "10", 1, 1),
    ]


def test_a_size_is_that_of_the_damper_and_not_of_its_duct() -> None:
    detail = to_order(figures={"duct-width": figure("duct-width", "Duct width", 650, "mm")})
    assert schedule(detail).lines[0].texts["size"] == "600 × 400 mm"
