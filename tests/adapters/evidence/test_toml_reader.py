# SPDX-License-Identifier: Apache-2.0
from __future__ import annotations

import copy
import tomllib
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from pydantic import BaseModel

from brattice.adapters.evidence import read_evidence_toml
from brattice.adapters.evidence.schema import EvidenceFile, _models_in
from brattice.building.words import Actuation, DuctedSides, Joint, OpeningShape, SupportingConstruction, Surface
from brattice.errors import InputError
from brattice.evidence.installation import DocumentLevel, FixingCount, FixingsTested, SealPart, SeparationTested, Window
from brattice.findings import Origin
from brattice.quantities import Mm
from tests.adapters.evidence.toml_text import toml_text
from tests.helpers.judging import STEPS

DOCS = Path(__file__).parents[3] / "docs"
EXAMPLE = (DOCS / "example-evidence.toml").read_text("utf-8")


def changed(changes: dict[str, Any], drop: tuple[str, ...] = ()) -> str:
    """The example with values set at dotted paths of its first installation (or document), or keys dropped."""
    data = copy.deepcopy(tomllib.loads(EXAMPLE))
    data["installation"] = data["installation"][:1]
    for path in (*changes, *drop):
        head, *rest = path.split(".")
        at = data["document"][0] if head == "document" else data["installation"][0] if head == "installation" else data
        for part in rest[:-1] if rest else ():
            at = at.setdefault(part, {})
        key = rest[-1] if rest else head
        if path in drop:
            del at[key]
        else:
            at[key] = changes[path]
    return toml_text(data)


def faults(text: str) -> list[str]:
    with pytest.raises(InputError) as caught:
        read_evidence_toml(text, "e.toml", STEPS)
    return [str(fault) for fault in caught.value.faults]


def test_the_documented_example_reads_as_it_stands() -> None:
    flexible, rigid = read_evidence_toml(EXAMPLE, "e.toml", STEPS)
    assert (rigid.id, rigid.maker, rigid.product) == ("HV-10 RW mortar", "Harrow & Vale (invented)", "HV-10")
    assert (rigid.sizes.width, rigid.sizes.height) == (Window(200, 1200), Window(200, 800))
    assert rigid.seal.gaps.left == rigid.seal.gaps.bottom == Window(20, 50)
    assert rigid.seal.depth_mm == Window(100, None)
    assert rigid.casing_beyond_mm == (Mm(10), Mm(10), Mm(10), Mm(10))
    assert rigid.joints == frozenset({Joint.BREAKAWAY_FIXINGS, Joint.FLEXIBLE_CONNECTION})
    assert rigid.actuation == set(Actuation)
    assert rigid.fixings == FixingsTested(
        "self-drilling screws", "4.8 × 19 mm", Surface.CASING, Mm(150), Mm(60), 2, 2,
        (FixingCount(Mm(600), Mm(400), 32), FixingCount(Mm(1200), Mm(800), 60)),
    )  # fmt: skip
    assert rigid.separations[0] == SeparationTested("damper", Mm(60), Surface.CASING, Surface.CASING)
    assert rigid.separations[1] == SeparationTested("floor", Mm(40), Surface.CASING, None)
    assert rigid.document.level is DocumentLevel.DECLARATION
    assert rigid.document.issued == date(2024, 3, 1)
    assert rigid.origin == Origin("e.toml", "installation HV-10 RW mortar")
    assert flexible.construction.kind is SupportingConstruction.FLEXIBLE_WALL
    assert flexible.construction.board_layers == (2, 2)
    assert flexible.seal.gaps.top == Window(30, 120)
    assert flexible.separations == ()


def test_what_is_not_stated_stays_not_stated() -> None:
    optional = [
        "mechanism_deg", "support", "joints", "access_sides", "most_blade_offset_mm", "insulation_through",
        "deflection_head", "other_services", "ducts", "fixings", "casing_beyond_mm", "separation",
    ]  # fmt: skip
    dropped = [f"installation.{key}" for key in optional]
    text = changed({}, (*dropped, "document.marking", "document.certificate"))
    (only,) = read_evidence_toml(text, "e.toml", STEPS)
    for key in optional[:-2]:
        assert getattr(only, key) is None, key
    assert only.casing_beyond_mm is None
    assert only.separations == ()
    assert (only.document.marking, only.document.certificate) == (None, None)


def test_a_round_damper_has_a_diameter_and_no_height() -> None:
    sizes = {"diameter_mm": {"least": 100, "most": 315}, "s_least_diameter_mm": 125}
    text = changed({"installation.sizes": sizes, "installation.fixings": {"rows": 1, "counts": ["Ø 250: 6"]}})
    (only,) = read_evidence_toml(text, "e.toml", STEPS)
    assert only.fixings == FixingsTested(rows=1, counts=(FixingCount(Mm(250), None, 6),))
    assert only.sizes.shape is OpeningShape.ROUND
    assert (only.sizes.width, only.sizes.height, only.sizes.s_least_width_mm) == (Window(100, 315), None, Mm(125))


HEAD = "e.toml: installation HV-10 RW mortar"
SEAL = tomllib.loads(EXAMPLE)["installation"][0]["seal"]


def test_parts_of_a_seal_are_read_by_depth_or_by_share() -> None:
    batt, _ = read_evidence_toml(EXAMPLE, "e.toml", STEPS)
    assert batt.seal.parts == (SealPart("Emberhold 50 batt", None, 95), SealPart("Emberhold S sealant", None, 5))
    for parts in (["A: 33.3 %", "b: 33.3 %", "C : 33.4 %"], ["A: 50 mm", "B: 25.5 mm", "C: 24.5 mm"]):
        text = changed({"installation.seal": {**SEAL, "products": ["A", "B", "C"], "parts": parts}})
        (only,) = read_evidence_toml(text, "e.toml", STEPS)
        assert [part.product for part in only.seal.parts] == ["A", "B", "C"]


@pytest.mark.parametrize(
    ("changes", "fault"),
    [
        ({"installation.colour": "red"}, f"{HEAD}: found the unknown key 'colour'; expected one of: id, document"),
        ({"installation.seal.gap_form": "duct"}, "did you mean 'gap_from'?"),
        ({"installation.seal.gap_from": "casng"}, "framed opening, finished clear opening, face of the construction"),
        ({"installation.seal.gap_from": "casng"}, "did you mean 'casing'?"),
        ({"installation.kind": "Fire dampr"}, "did you mean 'fire damper'?"),
        ({"installation.sizes.width_mm": {"least": 900, "most": 800}}, f"{HEAD}, sizes.width_mm: found least 900 ab"),
        ({"installation.sizes.width_mm": {}}, "sizes.width_mm.most: found nothing; expected the most that was tested"),
        ({"installation.sizes.width_mm": {"least": 1}}, "sizes.width_mm.most: found nothing; expected the most"),
        ({"installation.seal.gap_mm": {"all": {"most": 9}}}, "gap_mm.all.least: found nothing; expected the least"),
        ({"installation.seal.gap_mm": {"all": {"least": 9}}}, "gap_mm.all.most: found nothing; expected the most"),
        ({"installation.seal.depth_mm": {"most": 9}}, "seal.depth_mm.least: found nothing; expected the least"),
        ({"installation.sizes.width_mm.most": "1200"}, "sizes.width_mm.most: found '1200'; expected a number, without"),
        ({"installation.sizes.width_mm.most": float("inf")}, "expected a finite number"),
        ({"installation.sizes.width_mm.most": 20_001}, "found 20001; expected a number of at most 20000"),
        ({"installation.separation": [{"to": "wall", "least_mm": 1001}]}, "found 1001; expected a number of at most"),
        ({"installation.sizes.width_mm.most": True}, "found True; expected a number, without its unit"),
        ({"installation.sizes.diameter_mm": {"most": 315}}, f"{HEAD}, sizes: found a diameter beside a width"),
        ({"installation.sizes.s_least_width_mm": 1201}, "sizes.s_least_width_mm: found 1201; expected no more than"),
        ({"installation.sizes.s_least_diameter_mm": 100}, "found a diameter for a rectangular damper"),
        ({"installation.construction.kind": "rigid floor"}, "found 'rigid floor'; expected a construction of a wall"),
        ({"installation.construction.most_density_kg_m3": 599}, "found least density 600 above most density 599"),
        ({"installation.construction.shown_in_rigid": True}, "expected true for flexible walls only"),
        ({"installation.construction.board_layers": [2]}, "board_layers: found [2]; expected a list of at least 2"),
        ({"installation.seal.products": []}, "seal.products: found []; expected a list of at least 1"),
        ({"installation.seal.products": ["A", "A"]}, "expected each value once"),
        ({"installation.seal.gap_mm.left": {"least": 5}}, "seal.gap_mm: found all and left; expected either all, or"),
        ({"installation.seal.gap_mm": {"left": {"least": 5}}}, "seal.gap_mm: found left; expected either all, or left"),
        ({"installation.seal.depth_mm": {"least": 90, "most": 80}}, "seal.depth_mm: found least 90 above most 80"),
        ({"installation.casing_beyond_mm": {"left": 1}}, "casing_beyond_mm: found left; expected either all, or left"),
        ({"installation.separation": [{"to": "dampr", "least_mm": 1}]}, "separation.1.to: found 'dampr'; expected one"),
        (
            {"installation.separation": [{"to": "wall", "least_mm": 1}, {"to": "wall", "least_mm": 2}]},
            "separation.2.to: found 'wall' again; expected each kind of neighbour once",
        ),
        ({"installation.seal.parts": ["Cinderlock M5 mortar"]}, "seal.parts.1: found 'Cinderlock M5 mortar'; expected"),
        ({"installation.seal.parts": ["Cinderlock M5 mortar: 0 mm"]}, "expected a product with its depth or share abo"),
        ({"installation.seal.parts": ["Cinderlok M5 mortar: 100 mm"]}, "did you mean 'Cinderlock M5 mortar'?"),
        ({"installation.seal.parts": ["Cinderlock M5 mortar: 99 %"]}, "seal.parts: found 99 % together; expected 100"),
        ({"installation.seal.parts": ["Cinderlock M5 mortar: 99.9 mm"]}, "found 99.9 mm together; expected the tested"),
        (
            {"installation.seal": {**SEAL, "products": ["A", "B"], "parts": ["A: 50 mm", "A: 50 mm"]}},
            "seal.parts: found A, A; expected each product once: A, B",
        ),
        (
            {"installation.seal": {**SEAL, "products": ["A", "B"], "parts": ["A: 50 mm", "B: 50 %"]}},
            "seal.parts: found depths beside shares; expected all of them in mm, or all in %",
        ),
        ({"installation.fixings": {}}, f"{HEAD}, fixings: found nothing; expected at least one value"),
        ({"installation.fixings.along": "duct"}, "fixings.along: found 'duct'; expected one of: casing, finished"),
        ({"installation.fixings": {"most_apart_mm": 9}}, "fixings.along: found nothing beside a spacing; expected"),
        ({"installation.fixings": {"rows": 1, "least_a_side": 2}}, "fixings.least_a_side: found a value without a"),
        ({"installation.fixings.most_apart_mm": 0}, "fixings.most_apart_mm: found 0; expected a number above 0"),
        ({"installation.fixings.rows": 5}, "fixings.rows: found 5; expected a number of at most 4"),
        ({"installation.fixings.kind": "tbc"}, "fixings.kind: found 'tbc'; expected a text that says something"),
        ({"installation.fixings.counts": ["600: 4"]}, "fixings.counts.1: found '600: 4'; expected sizes each with the"),
        ({"installation.fixings.counts": ["600 × 0: 4"]}, "found '600 × 0: 4'; expected sizes each with the number"),
        ({"installation.fixings.counts": ["600 × 4: 0"]}, "found '600 × 4: 0'; expected sizes each with the number"),
        ({"installation.fixings.counts": ["Ø 250: 6"]}, "fixings.counts: found a size of another shape than the dam"),
        ({"installation.fixings.counts": ["6 × 4: 6", "6 x 4: 8"]}, "fixings.counts: found a size twice; expected"),
        (
            {"installation.sizes": {"diameter_mm": {"most": 315}}, "installation.fixings.counts": ["Ø 250: 6"]},
            "fixings.most_from_corner_mm: found a distance from corners; expected nothing; a round",
        ),
        ({"installation.mechanism_deg": [360]}, "found 360; expected a number below 360"),
        ({"installation.document": "hv10-dpo"}, "found 'hv10-dpo'; expected the id of a document"),
        ({"installation.product": " "}, "product: found ' '; expected a text that says something"),
        ({"document.certificate": "TBC"}, "certificate: found 'TBC'; expected a text that says something"),
        ({"installation.seal.products": ["as tested"]}, "found 'as tested'; expected a text that says something"),
        ({"installation.product": "a\u202eb"}, "expected a text without control characters"),
        ({"installation.ducted_sides": 3}, "expected a number of at most 2"),
        ({"installation.ducted_sides": 2}, "ducts: found ducts and ducted_sides; expected one of them"),
        ({"installation.ducts": ["two"]}, "expected one of: both sides, one side, neither side"),
        ({"installation.ducts": []}, "expected a list of at least 1"),
        ({"document.valid_to": date(2024, 2, 29)}, "document hv10-dop, valid_to: found 2024-02-29; expected"),
        ({"document.valid_from": date(2026, 1, 2), "document.valid_to": date(2026, 1, 1)}, "earlier than 2026-01-02"),
        ({"document.withdrawn_on": date(2024, 2, 29)}, "withdrawn_on: found 2024-02-29; expected no earlier than 2024"),
        ({"document.issued": "2024-03-01"}, "found '2024-03-01'; expected a date like 2024-03-01, without quotes"),
        ({"document.marking": ["XX"]}, "expected one of: CE, UKCA"),
        (
            {"installation.class": "EI 61 (ve i↔o) S"},
            f"{HEAD}, class: found 'EI 61 (ve i↔o) S'; expected a class of a fire damper; ",
        ),
        ({"installation.class": "E 90 (ved i↔o) S 500 AA multi"}, "expected a class of a fire damper; "),
        ({"installation.class": "EI 60 (ho i↔o)"}, "expected a class that holds in a wall (ve)"),
        ({"schema": 2}, "e.toml: schema: found 2; expected a number of at most 1"),
    ],
)  # fmt: skip
def test_each_fault_says_where_what_and_what_was_expected(changes: dict[str, Any], fault: str) -> None:
    found = faults(changed(changes))
    assert len(found) == 1, found
    assert fault in found[0]


def test_exactly_at_an_end_is_no_fault() -> None:
    text = changed(
        {
            "installation.sizes.width_mm": {"least": 200, "most": 200},
            "installation.sizes.s_least_width_mm": 200,
            "installation.sizes.height_mm.most": 20_000,
            "document.valid_to": date(2024, 3, 1),
            "document.withdrawn_on": date(2024, 3, 1),
        }
    )
    assert len(read_evidence_toml(text, "e.toml", STEPS)) == 1


def test_all_faults_come_at_once() -> None:
    text = changed(
        {
            "document.colour": "red",
            "installation.sizes.width_mm": {"least": 902, "most": 901},
            "installation.sizes.height_mm": {"least": 902, "most": 901},
        },
    )
    second = toml_text({"installation": tomllib.loads(text)["installation"]}).replace("fire damper", "damper")
    found = faults(text + second)
    assert [one.partition(";")[0] for one in found] == [
        "e.toml: document hv10-dop: found the unknown key 'colour'",
        f"{HEAD}, kind: found 'damper'",
        f"{HEAD}, sizes.height_mm: found least 902 above most 901",
        f"{HEAD}, sizes.width_mm: found least 902 above most 901",
    ]


def test_ids_stand_once() -> None:
    data = tomllib.loads(EXAMPLE)
    data["installation"].append(data["installation"][0])
    data["document"].append(data["document"][0])
    assert faults(toml_text(data)) == [
        "e.toml: document hv10-dop, id: found 'hv10-dop' again; expected each document once",
        f"{HEAD}, id: found 'HV-10 RW mortar' again; expected each installation once",
    ]


def test_a_maker_is_named_once_or_in_each_installation() -> None:
    assert faults(changed({}, ("maker",))) == [
        f"{HEAD}, maker: found nothing; expected a maker here, or one for the whole file"
    ]
    (only,) = read_evidence_toml(changed({"installation.maker": "Foss (invented)"}, ("maker",)), "e.toml", STEPS)
    assert only.maker == "Foss (invented)"


@pytest.mark.parametrize("key", ["id", "product", "class", "seal", "sizes", "construction", "actuation", "fixing"])
def test_what_is_needed_must_be_there(key: str) -> None:
    assert faults(changed({}, (f"installation.{key}",)))[0].endswith(
        f"{key}: found nothing; expected a value; this key is needed"
    )


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("", "e.toml: document: found nothing; expected a value; this key is needed"),
        ("a = ", "e.toml: found broken TOML: Invalid value"),
        ("schema = 1\nschema = 1", "expected a TOML file"),
        ("a = " + "[" * 3000, "expected a TOML file"),
        ("a = " + "9" * 5000, "expected a TOML file"),
        (EXAMPLE.replace("most = 1200", "most = " + "9" * 400), "most: found 9999"),
        (EXAMPLE.replace("= 2024-03-01", "= 2024-02-30"), "expected a TOML file"),
        (EXAMPLE.replace("= 2024-03-01", "= 2024-03-01T10:00:00"), "found 2024-03-01T10:00:00; expected a date like"),
        (EXAMPLE.replace("EI 60 (ve i↔o) S", "E" * 100_000), "class: found 'EEEE"),
        ("document = 3\ninstallation = [4]\nschema = 1", "document: found 3; expected a list in [ ]"),
    ],
)
def test_what_is_no_evidence_file_is_refused(text: str, fault: str) -> None:
    assert any(fault in one for one in faults(text))


def test_every_key_stands_in_the_docs() -> None:
    page = (DOCS / "evidence.md").read_text("utf-8")
    todo: list[type[BaseModel]] = [EvidenceFile]
    seen: set[type[BaseModel]] = set()
    while todo:
        model = todo.pop()
        seen.add(model)
        for name, field in model.model_fields.items():
            assert f"`{field.alias or name}" in page or f"[{field.alias or name}" in page or f".{name}]" in page, name
            todo += [inner for inner in _models_in(field.annotation) if inner not in seen]
    assert len(seen) >= 9


@pytest.mark.parametrize(
    ("fewest", "ways"), [(2, {"both sides"}), (1, {"both sides", "one side"}), (0, set(DuctedSides))]
)
def test_the_fewest_ducted_sides_of_older_files_are_read(fewest: int, ways: set[str]) -> None:
    (only,) = read_evidence_toml(changed({"installation.ducted_sides": fewest}, ("installation.ducts",)), "e", STEPS)
    assert sorted(only.ducts or ()) == sorted(ways)
