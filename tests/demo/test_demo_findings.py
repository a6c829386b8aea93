# SPDX-License-Identifier: Apache-2.0
"""`brattice check` on the demo: the findings are those that were planted, no more and no fewer.

What has to be found is written down in `tools.demo.faults` from the trade handbook's rules; states follow from it by
the table of states.
"""

import csv
import html
import json
import re
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from tools.demo.faults import Scenario
from tools.demo.truth import permanent_ids, places

Json = dict[str, Any]


@pytest.fixture(scope="module")
def checked(demo_job: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo's job folder after a check."""
    folder = tmp_path_factory.mktemp("checked") / "job"
    shutil.copytree(demo_job, folder)
    done = subprocess.run(
        [str(Path(sys.executable).with_name("brattice")), "check", str(folder)],
        capture_output=True,
        text=True,
        timeout=240,
        check=False,
    )
    assert done.returncode == 1, done.stderr  # done, and something is open
    return folder


@pytest.fixture(scope="module")
def found(checked: Path) -> dict[str, Json]:
    """Each penetration of findings.json, by permanent id."""
    data = json.loads((checked / "out" / "findings.json").read_text("utf-8"))
    return {item["id"]: item for item in data["penetrations"]}


def test_the_ledger_gives_the_ids_that_its_law_says(scene: Scenario, checked: Path) -> None:
    with (checked / "penetrations.csv").open(encoding="utf-8", newline="") as stream:
        ledger = {row["id"]: row for row in csv.DictReader(stream)}
    ids = permanent_ids(scene)
    assert set(ids.values()) == set(ledger)
    for place in places(scene):
        entry = ledger[ids[place.ref]]
        assert entry["barrier_guids"] == place.barrier, place
        assert entry["reference"] == (place.ref if place.kind == "penetration" else ""), place


def test_the_findings_are_the_planted_ones(scene: Scenario, found: dict[str, Json]) -> None:
    names = {permanent: ref for ref, permanent in permanent_ids(scene).items()}
    listed = [
        (names[permanent], finding["code"], finding["open"])
        for permanent, item in found.items()
        for finding in item["findings"]
    ]
    assert set(listed) == {(one.ref, one.code, one.open) for one in scene.expected}
    assert len(listed) == len(set(listed))


def state_by_the_table(scene: Scenario, ref: str) -> str:
    """The state that a penetration must have: the worst that was planted there, else what its method gives."""
    codes = {one.code for one in scene.expected if one.ref == ref}
    if ref in {stray.ref for stray in scene.strays}:
        return "to be settled"
    if ref in scene.deviation_refs:
        return "deviation accepted"
    for ending, state in (
        ("-fails", "outside scope"),
        ("-unknown", "not enough known"),
        ("-change", "within scope if"),
    ):
        if any(code.endswith(ending) for code in codes):
            return state
    one = scene.layout.planned[ref]
    if one.role == "not fire-separating":
        return "no protection needed"
    return "within scope" if one.tested else "protected run proven"


def test_every_penetration_has_the_state_that_follows(scene: Scenario, found: dict[str, Json]) -> None:
    ids = permanent_ids(scene)
    assert {ref: found[ids[ref]]["state"] for ref in ids} == {ref: state_by_the_table(scene, ref) for ref in ids}


def test_within_scope_rests_on_the_installation_that_was_designed(scene: Scenario, found: dict[str, Json]) -> None:
    ids = permanent_ids(scene)
    designed = {
        ref: one.tested for ref, one in scene.layout.planned.items() if state_by_the_table(scene, ref) == "within scope"
    }
    assert len(designed) > 60
    assert {ref: found[ids[ref]]["chosen"]["installation"] for ref in designed} == designed


def test_every_kind_of_fault_is_there(scene: Scenario) -> None:
    """At least 25 kinds, told apart by what they must lead to and where they come from."""
    kinds = {(fault.source, fault.codes) for fault in scene.faults}
    assert len(kinds) >= 25
    assert len({fault.title for fault in scene.faults}) == len(scene.faults)


def test_what_calculation_rules_out_is_among_the_faults(scene: Scenario) -> None:
    """Rods, growth, closing under flow, reach and shapes that can't be; each is held by the equality above."""
    codes = {one.code for one in scene.expected}
    checks = ("support-in-fire", "expansion-travel", "closing-under-flow", "access-reach", "geometry")
    assert {f"{check}-fails" for check in checks} <= codes


DIMENSION = re.compile(r"\d ?mm\b|\d × \d")
BARE = re.compile(r"(?<!framed )(?<!finished clear )(?<!framed and )\bopenings?\b(?! framing)", re.IGNORECASE)


def texts_of(value: Any) -> Iterator[str]:
    if isinstance(value, dict):
        value = list(value.values())
    if isinstance(value, list):
        for item in value:
            yield from texts_of(item)
    elif isinstance(value, str):
        yield value


def test_no_dimension_is_of_a_bare_opening(checked: Path) -> None:
    """Framed opening or finished clear opening: 25 to 60 mm lie between the two (field case 29)."""
    out = checked / "out"
    page = re.sub(r"<(script|style)\b.*?</\1>", "", (out / "report.html").read_text("utf-8"), flags=re.DOTALL)
    texts = [html.unescape(part) for part in re.split(r"<[^>]*>", page)]
    texts += texts_of(json.loads((out / "findings.json").read_text("utf-8")))
    with (out / "register.csv").open(encoding="utf-8-sig", newline="") as stream:
        texts += [cell for row in csv.reader(stream) for cell in row]
    sentences = {one for text in texts for one in re.split(r"(?<=[.;?!])\s+|\n", text)}
    told = [one for one in sentences if DIMENSION.search(one) and "opening" in one.lower()]
    assert len(told) > 20
    assert [one for one in told if BARE.search(one)] == []
