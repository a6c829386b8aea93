# SPDX-License-Identifier: Apache-2.0
"""Pages of installations and schedules: every text is the core's own, what is missing is shown with whom to ask."""

import html
import re
from dataclasses import replace
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from brattice.cli.office import LocalOffice
from brattice.details import HoldPoint, Used
from brattice.findings import Missing, Origin, Party
from brattice.orders.decisions import SubmittalStatus
from tests.helpers.details import detail_of, figure
from tests.helpers.jobs import small_job
from tests.helpers.ordered import approved, powered, to_order
from tests.helpers.pages import client_of, detailed_of, office_with
from tests.helpers.reports import HOSTILE, large_report, sample_report

SCHEDULES = ("orders", "builders-work", "cause-and-effect", "submittals")
SHEET = "penetrations/P-0001/sketch"


@pytest.fixture
def detailed(tmp_path: Path) -> TestClient:
    """The sample report with some penetrations that can be built and ordered, and one with facts missing."""
    report = sample_report()
    given = (to_order("P-0001"), to_order("P-0007"), powered("P-0004"), detail_of("missing facts", id="P-0003"))
    made = detailed_of(report, *given, detail_of("not drawn", id="P-0014"), decisions=[approved(on=report.as_of)])
    return client_of(office_with(tmp_path / "job", report, made))


def words(client: TestClient, path: str) -> str:
    """What a page says, its markup left out."""
    answer = client.get(f"/jobs/job/{path}")
    assert answer.status_code == 200
    return " ".join(html.unescape(re.sub(r"<[^>]*>", " ", answer.text)).split())


def installation(client: TestClient, name: str) -> str:
    """The section of the installation, as words."""
    return (
        words(client, f"places/{name}").split("Installation in numbers and steps", 1)[1].split(" Installation ", 1)[1]
    )


def test_every_figure_stands_with_its_text_limit_and_formula(detailed: TestClient) -> None:
    text = installation(detailed, "P-0001")
    for one in to_order("P-0001").figures:
        assert f"{one.name} {one.text} {one.limit or '–'}" in text, one.key
        assert one.formula in text, one.key


def test_a_figure_is_traced_to_its_facts_and_rows(detailed: TestClient) -> None:
    """The fixture's figures name their origin; the row of gaps is shipped with its clause and how it is known."""
    text = installation(detailed, "P-0001")
    gap = next(one for one in to_order("P-0001").figures if one.key == "gap-left")
    assert gap.uses[0].origin is not None
    assert f"{gap.name}: {gap.text} {gap.uses[0].origin}" in text
    assert "(scope.gap)" in text


def test_steps_stand_in_their_order_with_hold_points(detailed: TestClient) -> None:
    text = installation(detailed, "P-0001")
    at = [text.index(step.text) for step in to_order("P-0001").steps]
    assert at == sorted(at)
    for hold in HoldPoint:
        assert f"Hold point: {hold}." in text


def test_missing_facts_are_shown_with_whom_to_ask_and_never_as_a_number(detailed: TestClient) -> None:
    text = installation(detailed, "P-0003")
    detail = detail_of("missing facts", id="P-0003")
    assert "To be settled, and whom to ask" in text
    for item in detail.to_settle:
        assert str(item.ask) in text
        assert item.text.removesuffix(": P-0001") in text
    lacking = [one for one in detail.figures if one.missing]
    assert lacking
    for one in lacking:
        assert f"{one.name} to be settled" in text


def test_what_cannot_be_built_says_why_and_what_needs_no_damper_shows_no_numbers(detailed: TestClient) -> None:
    text = installation(detailed, "P-0014")
    assert "not drawn The geometry can't be." in text
    assert "smaller than the damper of 600 × 400 mm" in text
    none = installation(detailed, "P-0010")
    assert "No damper: no protection is needed here." in none
    assert "Finished clear opening" not in none
    assert "to be settled" not in none.casefold()


def test_a_figure_that_fails_says_so(tmp_path: Path) -> None:
    short = figure("rod-length", "Length of the drop rods", 1800, "mm", limit="at most 1500 mm", verdict="fail")
    report = sample_report()
    made = detailed_of(report, detail_of(id="P-0001", figures={"rod-length": short}))
    text = installation(client_of(office_with(tmp_path / "job", report, made)), "P-0001")
    assert "Length of the drop rods 1800 mm at most 1500 mm does not hold" in text


def test_orders_stand_by_maker_and_phase_with_totals_and_every_held_one(detailed: TestClient) -> None:
    """P-0001 and P-0007 are alike: one line of two; P-0004 has a motor: a line of its own. Counted by hand."""
    text = words(detailed, "orders")
    assert "May be ordered: 3 dampers" in text
    assert "Harrow & Vale, phase 2 3 dampers" in text
    assert "2 × HV-10, 600 × 400 mm" in text
    assert "For P-0001 , P-0007" in text
    assert "M24: motor 24 V with spring return" in text
    held = text.split("Held: 12 penetrations", 1)[1]
    for number in (2, 3, 5, 6, 8, 9, 10, 11, 12, 13, 14, 15):
        assert f"P-{number:04d}" in held
    assert "ask the ductwork contractor" in held
    assert "no damper No damper: no protection is needed here" in held


def test_nothing_is_ordered_without_an_approved_submittal(tmp_path: Path) -> None:
    report = sample_report()
    refused = approved(on=report.as_of, status=SubmittalStatus.REJECTED)
    for number, decisions in enumerate(([], [refused])):
        made = detailed_of(report, to_order("P-0001"), decisions=decisions)
        text = words(client_of(office_with(tmp_path / str(number) / "job", report, made)), "orders")
        assert "Nothing may be ordered yet." in text
        assert "The technical submittal of Harrow & Vale HV-10 in W2" in text


def test_builders_work_says_framed_and_finished_and_holds_what_is_not_settled(detailed: TestClient) -> None:
    text = words(detailed, "builders-work")
    assert "Framed opening, width × height" in text
    assert "Finished clear opening, width × height" in text
    row = text.split("P-0001", 1)[1].split("P-0", 1)[0]
    assert "form Level 1 W2 compartment wall B/3 715 × 515 mm 690 × 490 mm 2900 mm" in row
    assert "held" in text.split("P-0003", 1)[1][:40]
    assert "No damper, so no opening here: P-0009 , P-0010" in text


def test_cause_and_effect_counts_what_is_not_known_as_to_be_settled(detailed: TestClient) -> None:
    text = words(detailed, "cause-and-effect")
    assert "smoke detection and thermal" in text.split("P-0004", 1)[1].split("P-0005", 1)[0]
    assert "to be settled" in text.split("P-0012", 1)[1]
    assert "To be settled at" in text


def test_submittals_say_their_status_and_decide_nothing(detailed: TestClient) -> None:
    text = words(detailed, "submittals")
    mine = text.split("Harrow & Vale HV-10 in wall type W2", 1)[1]
    assert mine.startswith(" A (approved), 2026-09-01, Ida Invented, architect, Return 1 revision A")
    other = text.split("Harrow & Vale HV-10 in wall type W1", 1)[1]
    assert other.startswith(" not decided; nothing is ordered before A or B")


def test_long_schedules_are_turned_page_by_page(tmp_path: Path) -> None:
    report = large_report(250)
    client = client_of(office_with(tmp_path / "job", report))
    for path in ("orders", "builders-work", "cause-and-effect"):
        seen: list[str] = []
        text = ""
        for page in ("1", "2", "3"):
            text = client.get(f"/jobs/job/{path}", params={"page": page}).text
            seen += re.findall(r'<tr><th scope="row"><a href="[^"]*/places/([^"#]+)#installation">', text)
        assert len(seen) == len(set(seen)), path
        assert len(seen) > 100, path
        assert f"Page 2 of {-(-len(seen) // 100)}" in client.get(f"/jobs/job/{path}", params={"page": "2"}).text
        assert client.get(f"/jobs/job/{path}", params={"page": "999"}).text == text


@pytest.mark.parametrize("page", ["0", "-1", "x", "²", "9" * 400])
def test_a_page_that_means_nothing_still_gives_one(detailed: TestClient, page: str) -> None:
    assert detailed.get("/jobs/job/orders", params={"page": page}).status_code == 200


def test_names_from_outside_are_text_in_installations_and_schedules(tmp_path: Path) -> None:
    """Every free text of a detail carries one of the hostile names."""
    texts = iter(HOSTILE * 400)
    report = sample_report()
    base = to_order("P-0001")
    spoiled = replace(
        base,
        why=next(texts),
        deviation=next(texts),
        changes=(next(texts),),
        problems=(next(texts),),
        figures=tuple(
            replace(
                one,
                name=next(texts),
                text=next(texts),
                note=next(texts),
                limit=next(texts),
                formula=next(texts),
                rows=(next(texts),),
                uses=(Used(next(texts), next(texts), Origin(next(texts), next(texts))),),
            )
            for one in base.figures
        ),
        steps=tuple(replace(step, text=next(texts), why=next(texts)) for step in base.steps),
        neighbours=tuple(replace(item, name=next(texts), side=next(texts)) for item in base.neighbours),
        to_settle=(Missing("x", next(texts), Party.DRY_LINER),),
    )
    odd = approved(on=report.as_of, comments=HOSTILE[4], person=HOSTILE[5], document=HOSTILE[4])
    made = detailed_of(report, spoiled, to_order("P-0007"), decisions=[odd])
    client = client_of(office_with(tmp_path / "job", report, made))
    for path in ("places/P-0001", SHEET, *SCHEDULES):
        text = client.get(f"/jobs/job/{path}").text
        assert "<img" not in text, path
        assert "<svg onload" not in text, path
        assert "<style>" not in text, path
        assert "\u202e" not in text, path
        assert "\x00" not in text, path
    assert "&lt;img src=x" in client.get("/jobs/job/places/P-0001").text


def test_before_the_first_check_there_is_nothing_to_show(tmp_path: Path) -> None:
    client = client_of(office_with(tmp_path / "job"))
    for path in SCHEDULES:
        assert client.get(f"/jobs/job/{path}").headers["location"] == "/jobs/job"


def test_a_check_from_its_page_details_the_job_too(tmp_path: Path) -> None:
    office = LocalOffice(job=small_job(tmp_path / "job"))
    client = client_of(office)
    desk = office.desk("job")
    assert desk is not None
    desk.check()
    desk.wait()
    assert "detailing 1 penetrations" in desk.run().lines
    assert "P-0001" in words(client, "orders")
    assert "Installation" in words(client, "places/P-0001")
