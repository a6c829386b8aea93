# SPDX-License-Identifier: Apache-2.0
"""The page of the best opening and the sheet of an installation: what they say, what they hand out, bad input."""

import html
import io
import re
from pathlib import Path

import pypdfium2
import pytest
from ezdxf import filemanagement
from starlette.testclient import TestClient

from brattice.calc.tolerance import NOT_FOR_ACCEPTING
from tests.helpers.details import detail_of
from tests.helpers.ordered import to_order
from tests.helpers.pages import client_of, detailed_of, office_with
from tests.helpers.reports import HOSTILE, sample_report

SIDES = ("left", "right", "top", "bottom")
NUMBERS = {
    "width": "600",
    "height": "400",
    "sigmas": "2",
    "step": "5",
    "opening": "4",
    **dict.fromkeys(("damper", "position", "centring", "plumb"), "0"),
    **{f"beyond-{side}": "0" for side in SIDES},
    **{f"least-{side}": "40" for side in SIDES},
    **{f"most-{side}": "50" for side in SIDES},
}


@pytest.fixture
def detailed(tmp_path: Path) -> TestClient:
    """A penetration that can be built, one with facts missing, one that is not drawn."""
    report = sample_report()
    given = (to_order("P-0001"), detail_of("missing facts", id="P-0003"), detail_of("not drawn", id="P-0014"))
    return client_of(office_with(tmp_path / "job", report, detailed_of(report, *given)))


def words(text: str) -> str:
    """What a page says, its markup left out."""
    return " ".join(html.unescape(re.sub(r"<[^>]*>", " ", text)).split())


def test_the_best_size_by_hand_and_what_it_is_for(detailed: TestClient) -> None:
    """The middle of 40 to 50 mm round 600 × 400; of 5 mm to each end half of ±4 mm is taken off."""
    text = words(detailed.get("/jobs/job/best-opening", params=NUMBERS).text)
    assert "Nominal 690 × 490 mm finished clear can be built for sure within these tolerances" in text
    assert "to the nearest end of a tested gap 3 mm left" in text
    assert "690 mm: 45 mm left, 45 mm right" in text
    assert NOT_FOR_ACCEPTING in text
    assert "never for accepting an opening that was made" in text


def test_what_cannot_be_built_for_sure_is_said_plainly(detailed: TestClient) -> None:
    text = words(detailed.get("/jobs/job/best-opening", params=NUMBERS | {"opening": "20"}).text)
    assert "can't be built for sure within these tolerances" in text
    assert "5 mm too much" in text


def test_the_drawing_has_every_size_as_a_table_too(detailed: TestClient) -> None:
    text = detailed.get("/jobs/job/best-opening", params=NUMBERS).text
    assert text.count('<svg class="chart"') == 2
    assert text.count('<tr class="chosen">') == 2
    line = re.findall(r'<polyline class="room" points="([^"]*)"', text)[0].split()
    points = [tuple(map(float, point.split(","))) for point in line]
    best = re.findall(r'<circle class="best" cx="([^"]*)" cy="([^"]*)"', text)[0]
    assert tuple(map(float, best)) == min(points, key=lambda point: point[1])  # on paper up is less
    assert len(points) == len(re.findall(r'<tr[^>]*><th scope="row">[0-9.]* mm</th>', text)) / 2


def test_a_penetration_fills_in_its_damper_and_its_tested_gaps(detailed: TestClient) -> None:
    answer = detailed.get("/jobs/job/best-opening", params={"of": "P-0001"})
    for name, value in (("width", "600"), ("height", "400"), ("least-left", "40"), ("most-bottom", "50")):
        assert f'name="{name}" value="{value}"' in answer.text
    assert "Nominal 690 × 490 mm finished clear" in words(answer.text)
    link = re.search(
        r'href="(/jobs/job/best-opening[^"]*)"', detailed.get("/jobs/job/places/P-0001").text.split("<main")[1]
    )
    assert link is not None
    assert detailed.get(html.unescape(link.group(1))).text == answer.text


def test_a_penetration_without_a_chosen_installation_says_what_it_lacks(detailed: TestClient) -> None:
    text = words(detailed.get("/jobs/job/best-opening", params={"of": "P-0015"}).text)
    assert "no gap was tested" in text
    assert "Nominal" not in text.split("Best opening", 2)[2].split("Of a penetration")[0]


def test_an_empty_form_shows_the_tolerances_of_common_practice_with_their_rows(detailed: TestClient) -> None:
    text = words(detailed.get("/jobs/job/best-opening").text)
    assert "(tolerance.plumb)" in text
    assert "finished clear can" not in text


def test_bad_numbers_are_all_named_and_stay_in_the_form(detailed: TestClient) -> None:
    given = NUMBERS | {"width": "six", "opening": "-1", "least-left": "60", "height": "1e3"}
    answer = detailed.get("/jobs/job/best-opening", params=given)
    assert answer.status_code == 422
    assert 'name="width" value="six"' in answer.text
    text = words(answer.text)
    assert "Damper, width or diameter six a number like 12.5" in text
    assert "1e3 a number like 12.5" in text
    answer = detailed.get("/jobs/job/best-opening", params=NUMBERS | {"opening": "-1", "least-left": "60"})
    text = words(answer.text)
    assert "Size of the opening, ± -1 0 to 500" in text
    assert "Gap left from 60 to 50 mm a most gap that is not below the least" in text


@pytest.mark.parametrize("text", [*HOSTILE, "nan", "inf", "9" * 400, "1_000", "١"])
def test_what_is_no_number_is_text(detailed: TestClient, text: str) -> None:
    given = {name: text.encode("utf-8", "replace").decode() for name in ("width", "of")}
    answer = detailed.get("/jobs/job/best-opening", params=NUMBERS | given)
    assert answer.status_code == 422
    assert "<img" not in answer.text
    assert "<svg onload" not in answer.text
    assert "\u202e" not in answer.text


def test_the_sheet_stands_on_its_page_for_wide_and_for_narrow_windows(detailed: TestClient) -> None:
    text = detailed.get("/jobs/job/penetrations/P-0001/sketch").text
    assert 'viewBox="0 0 420 297"' in text
    assert 'viewBox="0 0 210 297"' in text
    said = words(text)
    for one in ("finished-width", "gap-left", "seal-depth"):
        figure = to_order("P-0001").figure(one)
        assert figure is not None
        assert figure.text.removesuffix(" mm") in said
    assert "not issued – not for construction" in said
    assert 'href="/jobs/job/penetrations/P-0001/sketch"' in detailed.get("/jobs/job/places/P-0001").text


def test_the_sheet_of_missing_facts_says_what_is_to_be_settled(detailed: TestClient) -> None:
    text = words(detailed.get("/jobs/job/penetrations/P-0003/sketch").text)
    assert "to be settled – not for construction" in text


@pytest.mark.parametrize("paper", ["A3", "A4"])
def test_the_files_of_a_sheet_open_and_say_that_they_are_not_issued(detailed: TestClient, paper: str) -> None:
    """Read back by other libraries than those that wrote them: a PDF reader, a DXF audit."""
    base = "/jobs/job/penetrations/P-0001/sketch"
    svg = detailed.get(f"{base}.svg", params={"paper": paper})
    assert svg.headers["content-disposition"].startswith(f'attachment; filename="P-0001-{paper}-not-issued.svg"')
    assert "not issued – not for construction" in svg.text
    document = filemanagement.read(io.StringIO(detailed.get(f"{base}.dxf", params={"paper": paper}).content.decode()))
    assert not document.audit().has_errors
    pages = pypdfium2.PdfDocument(detailed.get(f"{base}.pdf", params={"paper": paper}).content)
    width, height = pages[0].get_size()
    assert round(width * 25.4 / 72) == {"A3": 420, "A4": 210}[paper]
    assert round(height * 25.4 / 72) == 297
    assert "Not issued" in pages[0].get_textpage().get_text_range()


@pytest.mark.parametrize("end", [".exe", ".svg?paper=A0", ".pdf/x", "/../x"])
def test_no_other_kind_nor_paper_is_handed_out(detailed: TestClient, end: str) -> None:
    assert detailed.get(f"/jobs/job/penetrations/P-0001/sketch{end}").status_code == 404
    assert detailed.get("/jobs/job/penetrations/P-9999/sketch").status_code == 404
    assert detailed.get("/jobs/job/penetrations/P-9999/sketch.svg").status_code == 404


def test_what_is_not_drawn_says_why_instead_of_a_sheet(detailed: TestClient) -> None:
    answer = detailed.get("/jobs/job/penetrations/P-0014/sketch")
    assert answer.status_code == 422
    assert "smaller than the damper of 600 × 400 mm" in words(answer.text)
    assert detailed.get("/jobs/job/penetrations/P-0014/sketch.pdf").status_code == 422
    assert "P-0014/sketch" not in detailed.get("/jobs/job/places/P-0014").text
