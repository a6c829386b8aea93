# SPDX-License-Identifier: Apache-2.0
"""The printed order schedule and submittals, read back by a reader that had no part in making them."""

import re
from dataclasses import replace
from datetime import timedelta

import pytest

from brattice.adapters.print import ORDERS_PDF, order_pages, submittal_pages
from brattice.orders import SubmittalStatus
from brattice.orders.orders import ORDER_FIELDS
from brattice.usecases.ordering import Schedules
from tests.helpers.details import detail_of
from tests.helpers.ordered import HEAD, ON, approved, override, powered, schedules, smoke, to_order, word
from tests.helpers.pdfs import bookmarks, fonts, page_texts, root_of, structure
from tests.helpers.penetrations import with_facts
from tests.helpers.reports import HOSTILE

EPOCH = 1788220800


def flat(data: bytes) -> str:
    return " ".join(" ".join(page_texts(data)).split())


def made() -> Schedules:
    comments = approved("W1", status=SubmittalStatus.WITH_COMMENTS, comments="Send the rod drawing first.")
    return schedules(
        to_order(),
        to_order("P-0002"),
        smoke(powered("P-0003")),
        to_order("P-0004", "round in block wall"),
        detail_of("missing facts", id="P-0005"),
        to_order("P-0006", deviation="Deviation accepted by Ida Invented, fire engineer, on Note 3."),
        before=(to_order(), to_order("P-0009")),
        decisions=[approved(), comments],
    )


@pytest.fixture(scope="module")
def order() -> bytes:
    return order_pages(made(), HEAD, epoch=EPOCH)[ORDERS_PDF]


@pytest.fixture(scope="module")
def papers() -> dict[str, bytes]:
    return submittal_pages(made(), HEAD, epoch=EPOCH)


def test_every_text_of_every_line_is_printed(order: bytes) -> None:
    text = flat(order)
    given = made().orders
    assert given.lines
    for line in given.lines:
        for key, _ in ORDER_FIELDS:
            assert " ".join(line.texts[key].split()) in text, key
        assert line.penetrations_text in text
    for held in given.held:
        assert held.in_short
        for kind, what, ask in held.in_short:
            assert " ".join(f"{kind} {what} {ask}".split()) in text
    assert "5 dampers" in text
    assert "1 penetration" in text


def test_every_page_says_its_revision(order: bytes, papers: dict[str, bytes]) -> None:
    """A page of an order that lies alone on a desk has to say which revision it is of."""
    for data in (order, *papers.values()):
        for page in page_texts(data):
            assert "Revision P02 · As of 2026-11-02" in page


def test_what_changed_is_printed(order: bytes) -> None:
    text = flat(order)
    assert "Penetrations that changed since the issue before: added 4, changed 0, removed 1." in text
    assert re.search(r"removed P-0009 Damper Harrow & Vale, HV-10, 600 × 400 mm", text)


def test_an_override_is_printed_on_its_line() -> None:
    from brattice.orders import order_schedule

    given = replace(made(), orders=order_schedule({"P-0001": to_order()}, [], [override("P-0001")], on=ON), changes=())
    text = flat(order_pages(given, HEAD, epoch=EPOCH)[ORDERS_PDF])
    assert ("Ordered before approval: Otto Invented, project manager, Letter 3, 2026-11-02: the programme") in text


def test_a_submittal_a_product_and_wall_type(papers: dict[str, bytes]) -> None:
    assert list(papers) == ["submittals/01-hv-10-w1.pdf", "submittals/02-hv-10-w2.pdf"]
    text = flat(papers["submittals/01-hv-10-w1.pdf"])
    assert "Status: B (approved with comments), 2026-11-02, Ida Invented, architect, Return 1 revision A" in text
    assert "Comments: Send the rod drawing first." in text


def test_a_submittal_has_no_number_that_another_one_may_get(papers: dict[str, bytes]) -> None:
    """Its place in a list changes with every other submittal; what names it is maker, product and wall type."""
    alone = submittal_pages(schedules(to_order()), HEAD, epoch=EPOCH)["submittals/01-hv-10-w2.pdf"]
    for data in (alone, papers["submittals/02-hv-10-w2.pdf"]):
        assert "Technical submittal Harrow & Vale HV-10 in W2" in flat(data)


def test_a_submittal_says_what_the_core_says(papers: dict[str, bytes]) -> None:
    item = made().submittals.items[1]
    text = flat(papers["submittals/02-hv-10-w2.pdf"])
    for line in item.compliance:
        assert line.class_asked in text
        assert f"closing: {line.actuation_held}" in text
        assert f"Asked by: {'; '.join(line.sources)}" in text
    for used in item.installations:
        assert f"Used at: {', '.join(used.penetrations)}" in text
        for name, value in used.documents:
            assert f"{name} {value}" in text
    for told, ids in (*item.deviations, *item.unknowns):
        assert f"{told} ({', '.join(ids)})" in text
    assert "Outside the tested scope None." in text


def test_a_submittal_that_nobody_decided_has_empty_boxes_and_no_status() -> None:
    later = approved(on=ON + timedelta(days=1))
    data = submittal_pages(schedules(to_order(), decisions=[later]), HEAD, epoch=EPOCH)
    text = flat(data["submittals/01-hv-10-w2.pdf"])
    assert "Status: not decided; nothing is ordered before A or B" in text
    assert "Ida Invented" not in text


def test_cautions_and_that_data_are_invented_stand_on_every_file(order: bytes, papers: dict[str, bytes]) -> None:
    for data in (order, *papers.values()):
        assert all("Invented data" in page and "As of 2026-11-02" in page for page in page_texts(data))
        for caution in HEAD.cautions:
            assert caution in flat(data)
        assert "P02" in flat(data)
    real = order_pages(made(), replace(HEAD, invented=False, revision=""), epoch=EPOCH)[ORDERS_PDF]
    assert "Invented data" not in flat(real)
    assert "not issued" in flat(real)


def test_the_files_are_what_they_claim(order: bytes, papers: dict[str, bytes]) -> None:
    """PDF/A-2a and PDF/UA-1 as ISO 19005-2, 6.6.4 and ISO 14289-1, 5 identify them (from memory)."""
    for data in (order, *papers.values()):
        root = root_of(data)
        xmp = root["/Metadata"].get_data().decode("utf-8")
        assert re.search(r"pdfaid:part>2<", xmp)
        assert re.search(r"pdfuaid:part>1<", xmp)
        assert root["/MarkInfo"]["/Marked"]
        assert all(fonts(data).values())
        kinds = [str(item["/S"]) for item in structure(data)]
        assert kinds.count("/TH") > 10
    assert {"Lines of the order", "Totals by maker and phase", "Held: not ordered"} <= set(bookmarks(order))


def test_the_same_schedules_give_the_same_bytes(order: bytes, papers: dict[str, bytes]) -> None:
    assert order_pages(made(), HEAD, epoch=EPOCH)[ORDERS_PDF] == order
    assert submittal_pages(made(), HEAD, epoch=EPOCH) == papers


def test_nothing_to_order_is_said() -> None:
    text = flat(order_pages(schedules(), HEAD, epoch=EPOCH)[ORDERS_PDF])
    assert "Nothing is ordered." in text
    assert "Nothing is held." in text
    assert "There is no issue before this one to compare with." in text
    assert submittal_pages(schedules(), HEAD, epoch=EPOCH) == {}


def test_names_that_try_to_act_are_printed_as_text() -> None:
    name = "".join(HOSTILE)
    detail = to_order(figures={"phase": word("phase", name)}, why=name)
    place = with_facts(detail.penetration, location__storey=name, barrier__role=detail.penetration.barrier.role)
    given = schedules(
        replace(detail, penetration=place, changes=(name,)),
        detail_of("missing facts", id="P-2", why=name),
        decisions=[approved(person=name, comments=name, status=SubmittalStatus.WITH_COMMENTS)],
    )
    head = replace(HEAD, job=name)
    files = {**order_pages(given, head, epoch=EPOCH), **submittal_pages(given, head, epoch=EPOCH)}
    assert len(files) == 2
    shown = name
    for char in "\u202e\x00\x07\ud800":
        shown = shown.replace(char, f"⟨U+{ord(char):04X}⟩")
    for data in files.values():
        assert "".join(shown.split()) in "".join("".join(page_texts(data)).split())
