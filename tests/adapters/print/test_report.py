# SPDX-License-Identifier: Apache-2.0
"""The printed report: what it says, what kind of file it is, and that names in it stay names."""

import json
import re

import pytest

from brattice.adapters.print import REPORT_FILE, report_files
from brattice.adapters.report import findings_bytes
from brattice.usecases.report_model import Report
from tests.helpers.outputs import from_json, from_model
from tests.helpers.pdfs import bookmarks, fonts, from_pdf, open_pdf, page_texts, root_of, structure
from tests.helpers.reports import HOSTILE, PLANTED, hostile_report, sample_report

EPOCH = 1788220800


@pytest.fixture(scope="module")
def report() -> Report:
    return sample_report()


@pytest.fixture(scope="module")
def pages(report: Report) -> bytes:
    return report_files(report, epoch=EPOCH)[REPORT_FILE]


@pytest.fixture(scope="module")
def hostile() -> bytes:
    return report_files(hostile_report(), epoch=EPOCH)[REPORT_FILE]


def test_ids_states_and_codes_are_those_of_the_findings(report: Report, pages: bytes) -> None:
    told = from_pdf(pages)
    assert told.states == {name: str(state) for name, state in PLANTED.items()}
    assert told == from_model(report)
    assert told == from_json(findings_bytes(report))


def test_the_register_tells_the_same_states(pages: bytes) -> None:
    text = " ".join(" ".join(page_texts(pages)).split())
    register = text[text.index("Register 15 penetrations by id") : text.index("Penetrations one by one Numbers")]
    for name, state in PLANTED.items():
        assert re.search(rf"{name} FD/\d\d {state} ", register), name


def test_every_query_settles_and_decision_is_printed(report: Report, pages: bytes) -> None:
    text = " ".join(" ".join(page_texts(pages)).split())
    for query in report.queries:
        assert " ".join(query.missing.text.split()) in text
    for line in report.settle_first:
        assert line.text in text
    for caution in report.cautions:
        assert caution in text
    assert "M. Oakhanger, building control officer" in text
    assert "R. Sandling, fire engineer" in text
    assert "Invented data" in page_texts(pages)[0]
    assert all("Invented data" in page and "As of 2026-09-01" in page for page in page_texts(pages))


def test_a_job_that_is_not_invented_does_not_say_so(report: Report) -> None:
    from dataclasses import replace

    text = " ".join(page_texts(report_files(replace(report, invented=False), epoch=EPOCH)[REPORT_FILE]))
    assert "Invented data" not in text


def test_the_file_is_what_it_claims(pages: bytes) -> None:
    """PDF/A-2a and PDF/UA-1 as ISO 19005-2, 6.6.4 and ISO 14289-1, 5 identify them (from memory)."""
    root = root_of(pages)
    xmp = root["/Metadata"].get_data().decode("utf-8")
    assert re.search(r"pdfaid:part>2<", xmp)
    assert re.search(r"pdfaid:conformance>A<", xmp)
    assert re.search(r"pdfuaid:part>1<", xmp)
    assert root["/MarkInfo"]["/Marked"]
    assert root["/Lang"] == "en-GB"
    assert root["/OutputIntents"][0]["/S"] == "/GTS_PDFA1"
    assert "Larkmoor Court" in str(open_pdf(pages).metadata)
    embedded = fonts(pages)
    assert any("Lato" in name for name in embedded)
    assert all(embedded.values()), embedded


def test_headings_tables_and_pictures_are_tagged(report: Report, pages: bytes) -> None:
    elements = structure(pages)
    kinds = [str(item["/S"]) for item in elements]
    assert kinds.count("/H2") >= len(report.penetrations)
    assert kinds.count("/TH") > 20
    figures = [item for item in elements if str(item["/S"]) == "/Figure"]
    assert len(figures) == 2 * len(report.penetrations)  # marks stand beside their word and are no pictures
    assert all(str(item.get("/Alt", "")).strip() for item in figures)


def test_bookmarks_lead_to_parts_and_penetrations(pages: bytes) -> None:
    titles = bookmarks(pages)
    assert {"At a glance", "What to settle first", "Register", "Queries", "Sources"} <= set(titles)
    for name, state in PLANTED.items():
        assert any(name in title and str(state) in title for title in titles), name


def test_pages_are_numbered(pages: bytes) -> None:
    texts = page_texts(pages)
    assert [f"Page {number} of {len(texts)}" in text for number, text in enumerate(texts, start=1)] == [True] * len(
        texts
    )


def test_the_same_report_gives_the_same_bytes(report: Report, pages: bytes) -> None:
    assert report_files(sample_report(), epoch=EPOCH)[REPORT_FILE] == pages
    assert report_files(report, epoch=EPOCH + 86400)[REPORT_FILE] != pages


def test_names_that_try_to_act_are_printed_as_text(hostile: bytes) -> None:
    text = "".join("".join(page_texts(hostile)).split())
    for name in HOSTILE:
        shown = name
        for char in "\u202e\x00\x07\ud800":
            shown = shown.replace(char, f"⟨U+{ord(char):04X}⟩")
        assert "".join(shown.split()) in text, name
    assert "\u202e" not in text


def test_names_change_neither_type_nor_actions(hostile: bytes) -> None:
    pdf = open_pdf(hostile)
    sizes: set[float] = set()

    def seen(text: str, _: object, matrix: list[float], __: object, size: float) -> None:
        sizes.add(size * abs(matrix[3] or matrix[1]))

    for page in pdf.pages:
        page.extract_text(visitor_text=seen)
        for note in page.get("/Annots", ()):
            action = note.get_object().get("/A", {})
            assert "/URI" not in action
            assert "/JS" not in action
    assert 0 < max(sizes) < 30  # #set text(size: 99pt)
    root = root_of(hostile)
    assert not {"/OpenAction", "/AA", "/AcroForm"} & set(root)
    assert "/JavaScript" not in json.dumps(sorted(map(str, root.get("/Names", {}))))
