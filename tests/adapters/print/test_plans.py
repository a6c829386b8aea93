# SPDX-License-Identifier: Apache-2.0
"""Meeting plans: what they say is what the findings say, nothing lies off the sheet or on another text."""

import json
import re
from dataclasses import replace
from itertools import combinations

import pypdfium2
import pytest

from brattice.adapters.print import Paper, plan_files
from brattice.adapters.print.plans import _broken
from brattice.adapters.report import findings_bytes
from brattice.building.plan import StoreyPlan
from brattice.usecases.report_model import Report
from brattice.usecases.words import code_words
from tests.helpers.pdfs import bookmarks, open_pdf, page_texts, root_of
from tests.helpers.reports import HOSTILE, hostile_report, large_report, sample_report

EPOCH = 1788220800


def texts_of(files: dict[str, bytes]) -> str:
    return " ".join(" ".join(" ".join(page_texts(data)) for data in files.values()).split())


def squeezed(text: str) -> str:
    return "".join(text.split())


@pytest.fixture(scope="module")
def report() -> Report:
    return sample_report()


@pytest.fixture(scope="module")
def files(report: Report) -> dict[str, bytes]:
    return plan_files(report, epoch=EPOCH)


def test_ids_states_kinds_and_queries_are_those_of_the_findings(report: Report, files: dict[str, bytes]) -> None:
    told = json.loads(findings_bytes(report))
    text = squeezed(texts_of(files))
    for item in told["penetrations"]:
        row = re.search(rf"{item['id']}((?!P-\d{{4}}).)*?{squeezed(item['state'])}", text)
        assert row is not None, item["id"]
        for finding in item["findings"]:
            if finding["open"]:
                assert squeezed(code_words(finding["code"])) in text
    for item in report.penetrations:
        for query in item.queries:
            standing = report.standing_of(query)
            assert standing is None or standing.number in text


def test_a_level_without_places_is_a_list_and_says_so(report: Report) -> None:
    bare = replace(report, plans=())
    made = plan_files(bare, epoch=EPOCH)
    text = texts_of(made)
    assert "a list, and no plan" in text
    assert "Do not measure from the plan" not in text
    assert all(item.penetration.id in text for item in report.penetrations)


def test_every_page_carries_the_job_date_number_and_caution(report: Report, files: dict[str, bytes]) -> None:
    for data in files.values():
        pages = page_texts(data)
        for number, page in enumerate(pages, start=1):
            assert f"Page {number} of {len(pages)}" in page
            assert "As of 2026-09-01" in page
            assert "An aid to competent people; no approval." in page
            assert report.job_name in page
        assert root_of(data)["/MarkInfo"]["/Marked"]
        assert bookmarks(data)


@pytest.mark.parametrize(("paper", "size"), [(Paper.A3, (420, 297)), (Paper.A1, (841, 594))])
def test_sheets_are_of_the_size_asked(report: Report, paper: Paper, size: tuple[int, int]) -> None:
    """Sizes in mm as ISO 216 has them (from memory)."""
    for data in plan_files(report, epoch=EPOCH, paper=paper).values():
        for page in open_pdf(data).pages:
            box = page.mediabox
            assert (float(box.width) / 72 * 25.4, float(box.height) / 72 * 25.4) == pytest.approx(size, abs=0.5)


def on_one_level(count: int) -> Report:
    """A report whose penetrations all lie on one storey, in a grid of 1.3 m by 0.9 m."""
    base = large_report(count)
    items = []
    for number, item in enumerate(base.penetrations):
        thing = item.penetration
        centre = (1.3 * (number % 20), 0.9 * (number // 20), 3.0)
        items.append(replace(item, penetration=replace(thing, location=replace(thing.location, centre_m=centre))))
    report = replace(base, penetrations=tuple(items), plans=())
    plans: dict[str, list[str]] = {}
    for item in items:
        plans.setdefault(getattr(item.penetration.location.storey, "value", ""), []).append(item.penetration.id)
    made = tuple(StoreyPlan(name, 3.0 * n, (), (), tuple(ids)) for n, (name, ids) in enumerate(sorted(plans.items())))
    return replace(report, plans=tuple(plan for plan in made if plan.storey))


def test_no_id_on_the_page_lies_on_another_or_off_the_sheet() -> None:
    """Read back with a reader that had no part in making the pages."""
    for data in plan_files(on_one_level(130), epoch=EPOCH).values():
        pdf = pypdfium2.PdfDocument(data)
        for page in pdf:
            width, height = page.get_size()
            text = page.get_textpage()
            boxes = []
            search = text.search("P-", match_case=True)
            while (found := search.get_next()) is not None:
                start, _ = found
                parts = [text.get_charbox(start + n) for n in range(6)]
                boxes.append(
                    (
                        min(part[0] for part in parts),
                        min(part[1] for part in parts),
                        max(part[2] for part in parts),
                        max(part[3] for part in parts),
                    )
                )
            assert boxes
            margin = 25.0  # pt: 10 mm at the side less what a letter hangs over
            assert all(a > margin and b > margin and c < width - margin and d < height - margin for a, b, c, d in boxes)
            for one, other in combinations(boxes, 2):
                assert one[2] <= other[0] or other[2] <= one[0] or one[3] <= other[1] or other[3] <= one[1], (
                    one,
                    other,
                )


def test_names_that_try_to_act_are_printed_as_text() -> None:
    text = squeezed(texts_of(plan_files(hostile_report(), epoch=EPOCH)))
    assert "\u202e" not in text
    assert "\x00" not in text
    assert HOSTILE


def test_the_same_report_gives_the_same_bytes(files: dict[str, bytes]) -> None:
    assert plan_files(sample_report(), epoch=EPOCH) == files


@pytest.mark.parametrize("text", ["", "one", "A very long reference of somebody", "X" * 90, "FD/L03-017 (A) / " * 5])
def test_lines_are_broken_so_that_nothing_is_lost(text: str) -> None:
    lines = _broken(text, 20.0, 2.4, bold=False)
    assert squeezed("".join(lines)) == squeezed(text)
    assert lines
