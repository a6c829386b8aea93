# SPDX-License-Identifier: Apache-2.0
import copy
import json
from dataclasses import replace
from typing import Any

import jsonschema
import pytest

from brattice.adapters.report import findings_bytes, findings_schema
from brattice.findings import Reason, Verdict
from brattice.usecases.states import PenetrationState
from tests.helpers.reports import hostile_report, large_report, sample_report

VALIDATOR = jsonschema.Draft202012Validator(findings_schema())


@pytest.fixture(scope="module")
def found() -> dict[str, Any]:
    made: dict[str, Any] = json.loads(findings_bytes(sample_report()))
    return made


def test_the_schema_is_itself_valid() -> None:
    jsonschema.Draft202012Validator.check_schema(findings_schema())


@pytest.mark.parametrize("report", [sample_report(), hostile_report(), large_report(40)])
def test_what_is_written_keeps_the_schema(report: Any) -> None:
    errors = [error.message for error in VALIDATOR.iter_errors(json.loads(findings_bytes(report)))]
    assert errors == []


def test_every_object_of_the_schema_is_closed_and_says_which_keys_it_needs() -> None:
    def walk(node: Any) -> None:
        if isinstance(node, dict):
            if node.get("type") == "object":
                assert node["additionalProperties"] is False
                assert sorted(node["required"]) == sorted(node["properties"])
            for item in node.values():
                walk(item)
        elif isinstance(node, list):
            for item in node:
                walk(item)

    walk(findings_schema())


def test_the_states_of_the_schema_are_the_table_of_states() -> None:
    schema = findings_schema()
    states = sorted(map(str, PenetrationState))
    assert sorted(schema["$defs"]["penetration"]["properties"]["state"]["enum"]) == states
    assert sorted(schema["properties"]["counts"]["required"]) == states


@pytest.mark.parametrize(
    ("path", "value"),
    [
        (("penetrations", 0, "state"), "pass"),
        (("penetrations", 0, "findings"), None),
        (("counts", "within scope"), -1),
        (("inputs", 0, "sha256"), "abc"),
        (("cautions",), []),
        (("job", "as_of"), "1.9.2026"),
        (("surprise",), 1),
    ],
)
def test_the_schema_refuses_what_is_wrong(found: dict[str, Any], path: tuple[str | int, ...], value: object) -> None:
    wrong: Any = copy.deepcopy(found)
    target = wrong
    for step in path[:-1]:
        target = target[step]
    target[path[-1]] = value
    assert list(VALIDATOR.iter_errors(wrong))


def test_unknown_is_null_and_never_a_number(found: dict[str, Any]) -> None:
    rows = {row["id"]: row for row in found["penetrations"]}
    assert rows["P-0013"]["opening"]["stated"]["gaps"] is None
    assert rows["P-0003"]["requirement"]["any_class_of"] is None
    assert rows["P-0001"]["opening"]["stated"]["gaps"] == {
        "left_mm": 50,
        "right_mm": 50,
        "top_mm": 50,
        "bottom_mm": 50,
    }


def test_openings_needed_are_those_of_the_tested_gap_window(found: dict[str, Any]) -> None:
    # by hand: damper 600 x 400, gap 30 to 60 mm from the duct on each side, lining 30 mm on each reveal
    rows = {row["id"]: row for row in found["penetrations"]}
    need = rows["P-0007"]["opening"]["needed"]
    assert need["finished_clear_opening"] == {
        "least": {"width_mm": 660, "height_mm": 460},
        "most": {"width_mm": 720, "height_mm": 520},
    }
    assert need["framed_opening_text"] == "720 × 520 to 780 × 580 mm"


def test_rows_used_are_all_in_the_list_of_rows(found: dict[str, Any]) -> None:
    listed = {row["id"] for row in found["rows_used"]}
    used = {row for item in found["penetrations"] for row in item["rests_on"]}
    assert used
    assert used <= listed


def test_openings_of_an_installation_that_does_not_hold_say_so_beside_the_figures(found: dict[str, Any]) -> None:
    rows = {row["id"]: row for row in found["penetrations"]}
    need = rows["P-0002"]["opening"]["needed"]
    caution = "only where HV-10-RW-1 holds, which is outside scope here"
    assert need["caution"] == caution
    for part in ("finished_clear_opening", "framed_opening"):
        assert need[part]["least"] is not None
        assert need[f"{part}_text"].endswith(f" mm ({caution})")
    assert rows["P-0007"]["opening"]["needed"]["caution"] == ""


def test_no_openings_are_given_for_a_size_that_was_never_tested() -> None:
    first = sample_report()
    one = next(item for item in first.penetrations if item.penetration.id == "P-0002")
    assert one.chosen is not None
    size = Reason("size", Verdict.FAIL, "The width lies outside the sizes tested.")
    chosen = replace(one.chosen, reasons=(*one.chosen.reasons, size))
    report = replace(first, penetrations=(replace(one, chosen=chosen),))
    need = json.loads(findings_bytes(report))["penetrations"][0]["opening"]["needed"]
    for part in ("finished_clear_opening", "framed_opening"):
        assert need[part] == {"least": None, "most": None}
        assert need[f"{part}_text"] == need["caution"] == "not given: the size scheduled was not tested"
