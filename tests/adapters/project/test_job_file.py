# SPDX-License-Identifier: Apache-2.0
import re
from datetime import date
from pathlib import Path

import pytest

from brattice.adapters.project import create_job, job_template, read_job
from brattice.adapters.project.places import line_of, path_text
from brattice.building.wall_type import Rating
from brattice.building.words import Actuation, SupportingConstruction
from brattice.calc.tolerance import StatedTolerances
from brattice.errors import InputError
from brattice.findings import Known, Origin, Unknown
from brattice.orders.decisions import OrderOverride, SubmittalDecision, SubmittalStatus
from brattice.requirements.requirement import Demand, LoweredRequirement
from brattice.rows import Confirmation
from brattice.usecases.job import AcceptedValue, DeviationAccepted, Job, KeyDates, ModelRef, Pin, TitleNames

HEAD = """schema = 1
name = "Invented House"
jurisdiction = "England"
edition = "E1"
as_of = 2026-03-01
purpose = "non-residential"
"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    job = tmp_path / "job"
    for name in ("models", "schedule", "evidence", "out"):
        (job / name).mkdir(parents=True)
    for name in ("models/a.ifc", "schedule/schedule.xlsx", "schedule/wall-types.xlsx", "evidence/one.toml"):
        (job / name).write_text("x")
    (tmp_path / "secret.ifc").write_text("x")
    return job


def job_of(folder: Path, text: str) -> Job:
    (folder / "brattice.toml").write_text(text, encoding="utf-8")
    return read_job(folder).job


def faults(folder: Path, text: str) -> list[str]:
    with pytest.raises(InputError) as caught:
        job_of(folder, text)
    return [str(fault).removeprefix("brattice.toml: ") for fault in caught.value.faults]


def test_site_tolerances_are_read_and_what_is_not_stated_stays_with_common_practice(folder: Path) -> None:
    job = job_of(folder, f"{HEAD}\n[site_tolerances]\nopening_mm = 0\nplumb_mm = 200\n")
    assert job.site_tolerances == StatedTolerances(opening_mm=0.0, plumb_mm=200.0)
    assert job_of(folder, HEAD).site_tolerances == StatedTolerances()


def test_standard_details_are_asked_for_and_else_each_penetration_has_its_own_sheet(folder: Path) -> None:
    assert job_of(folder, f"{HEAD}\n[sketches]\nstandard_details = true\n").standard_details is True
    assert job_of(folder, f"{HEAD}\n[sketches]\n").standard_details is False
    assert job_of(folder, HEAD).standard_details is False


def test_the_least_job(folder: Path) -> None:
    job = job_of(folder, HEAD)
    assert (job.name, job.rules.jurisdiction, job.rules.edition) == ("Invented House", "England", "E1")
    assert (job.rules.on, job.rules.purpose, job.invented) == (date(2026, 3, 1), "non-residential", False)
    assert (job.models, job.schedules, job.rules.evacuation, job.rules.alarm_l1) == ((), (), "", None)


def test_every_key(folder: Path) -> None:
    text = job_template("A job", "E1", date(2026, 3, 1)).replace("#: ", "")
    text = text.replace("models/architecture.ifc", "models/a.ifc").replace("invented = false", "invented = true")
    job = job_of(folder, text)
    thermal = frozenset({Actuation.SMOKE_DETECTION})
    assert job.models == (ModelRef("models/a.ifc", "architecture"),)
    assert job.schedules == ("schedule/schedule.xlsx",)
    assert job.wall_type_sheets == ("schedule/wall-types.xlsx",)
    assert job.evidence == ("evidence",)
    assert job.ratings == (("1HR", Rating(60, 60, "EI 60")),)
    assert job.model_wall_types == (("Interior partition 123", "W3"),)
    assert job.rules.evacuation == "unaided, all at once"
    assert job.rules.alarm_l1 is True
    assert job.rules.demands == (
        Demand("Fire strategy", "C02", roles=("protected corridor",), class_text="EI 60 S", actuation=thermal),
    )
    day = date(2026, 3, 1)
    assert job.rules.lowered == (
        LoweredRequirement(
            ("P-0012",), "E 60", None, "Full name", "fire engineer", "Letter 14", "A", day, "the reason in one sentence"
        ),
    )
    assert job.deviations == (
        DeviationAccepted(
            ("P-0013",),
            ("gap-fails",),
            "Full name",
            "fire engineer",
            "Note 3",
            "A",
            day,
            "",
            (
                AcceptedValue(
                    "gap-fails",
                    "left 28 mm from the duct",
                    "30 to 60 mm on every side, from the duct",
                ),
            ),
        ),
    )
    assert job.submittals == (
        SubmittalDecision(
            "the maker as its evidence names it",
            "the product as its evidence names it",
            "W3",
            SubmittalStatus.WITH_COMMENTS,
            "Full name",
            "architect",
            "Submittal return 7, revision A",
            day,
            "what has to be done",
            "3f2a-91c0",
        ),
    )
    assert job.order_overrides == (
        OrderOverride(
            ("P-0015",),
            "Full name",
            "project manager",
            "Letter 15",
            day,
            "the reason in one sentence",
            "the product as its evidence names it",
        ),
    )
    assert job.pins == (Pin("P-0014", "the id of a tested installation", "the reason in one sentence"),)
    assert job.dates == KeyDates(date(2026, 4, 1), date(2026, 5, 1), date(2026, 6, 1), date(2026, 12, 1))
    assert job.confirmations == (Confirmation("the id of the row", 1, "Full name", day, "which copy of the document"),)
    assert job.title == TitleNames("the firm that draws", "1234", "Ductwork", "Full name", "Full name", "Full name")
    assert job.invented
    (wall,) = job.wall_types
    origin = Origin("brattice.toml", "wall_type W3, board_layers")
    assert wall.board_layers == Known((2, 2), origin)
    assert wall.kind == Known(SupportingConstruction.FLEXIBLE_WALL, Origin("brattice.toml", "wall_type W3, kind"))
    assert wall.rating == Known(Rating(60, 60, "EI 60"), Origin("brattice.toml", "wall_type W3, rating"))
    assert isinstance(wall.lining_mm, Unknown)
    assert wall.lining_mm.missing.key == "wall-type/W3/lining"


def test_examples_in_the_template_use_every_key_there_is() -> None:
    from brattice.adapters.project import schema

    text = job_template("A job", "E1", date(2026, 3, 1))
    used = set(re.findall(r"^(?:#: )?\[*([a-z_0-9]+)\]* ?(?==|$)", text, re.M))
    assert set(re.findall(r"^(?:#: )\[+([a-z_]+)\]+$", text, re.M)) <= used
    top = {item.alias or name for name, item in schema.JobTable.model_fields.items()}
    assert top <= used


@pytest.mark.parametrize(
    ("line", "fault"),
    [
        ('nam = "x"', "line 7, nam: found an unknown key; expected a key of the job file; did you mean 'name'?"),
        ('zzz = "x"', "line 7, zzz: found an unknown key; expected one of: schema, name, jurisdiction"),
        (
            '[title_block]\ndrwn = "x"',
            "line 8, title_block, drwn: found an unknown key; expected a key of the job file; did you",
        ),
        ('[title_block]\ndrawn = " "', "line 8, title_block, drawn: found ' '; expected a text that is not empty"),
        ("invented = 1", "line 7, invented: found 1; expected true or false"),
        ("schedules = 'x'", "line 7, schedules: found 'x'; expected a list in [ ]"),
        (
            '[[model]]\npath = "models/a.ifc"\nrole = "x"\nrol = "x"',
            "line 10, model no. 1, rol: found an unknown key; expected a key of the job file; did you mean 'role'?",
        ),
        ('[[model]]\npath = "models/a.ifc"', "line 7, model no. 1, role: found nothing; expected this key"),
        (
            '[[model]]\npath = "models/b.ifc"\nrole = "x"',
            "line 8, model no. 1, path: found 'models/b.ifc', which is not",
        ),
        ('[[model]]\npath = "models"\nrole = "x"', "line 8, model no. 1, path: found 'models', which is no file"),
        (
            '[[pin]]\npenetration = " "\ninstallation = "x"\nwhy = "y"',
            "line 8, pin no. 1, penetration: found ' '; exp",
        ),
        (
            '[[rating]]\ntext = "x"\nminutes = 60\ncriteria = "I"',
            "line 10, rating no. 1, criteria: found 'I'; expected",
        ),
        ('[[rating]]\ntext = "x"\nminutes = 0\ncriteria = "EI"', "line 9, rating no. 1, minutes: found 0 with EI"),
        (
            '[[rating]]\ntext = "x"\nminutes = 60\ncriteria = "EI"\ninsulation_minutes = 90',
            "line 11, rating no. 1, insulation_minutes: found 90 of 60; expected at most the minutes",
        ),
        (
            '[[rating]]\ntext = "x"\nminutes = 60\ncriteria = "E"\ninsulation_minutes = 30',
            "line 11, rating no. 1, insulation_minutes: found it with E; expected criteria EI or REI beside it",
        ),
        (
            "[dates]\nordr = 2026-01-01",
            "line 8, dates, ordr: found an unknown key; expected a key of the job file; did you mean 'order'?",
        ),
        (
            "[dates]\norder = 2026-05-01\nplaced_on_market = 2026-04-30",
            (
                "line 9, dates, placed_on_market: found 2026-04-30, before order on 2026-05-01; expected order, "
                "placed_on_market, installation and handover in this order (the same day will do)"
            ),
        ),
        (
            "[dates]\nplaced_on_market = 2026-05-01\ninstallation = 2026-06-01\nhandover = 2026-05-31",
            "line 10, dates, handover: found 2026-05-31, before installation on 2026-06-01; expected order",
        ),
        (
            "[dates]\norder = 2026-06-01\nhandover = 2026-05-31",
            "line 9, dates, handover: found 2026-05-31, before order on 2026-06-01; expected order",
        ),
        (
            "[site_tolerances]\nopening_m = 10",
            "line 8, site_tolerances, opening_m: found an unknown key; expected a key of the job file; did you mean ",
        ),
        ("[sketches]\nstandard_details = 1", "line 8, sketches, standard_details: found 1; expected "),
        ('[sketches]\nstandard_details = "yes"', "line 8, sketches, standard_details: found 'yes'; expected "),
        ("[sketches]\nstandard_detail = true", "line 8, sketches, standard_detail: found an unknown key; expected "),
        ("[site_tolerances]\nplumb_mm = -1", "line 8, site_tolerances, plumb_mm: found -1; expected "),
        ("[site_tolerances]\nplumb_mm = 200.5", "line 8, site_tolerances, plumb_mm: found 200.5; expected "),
        (
            (
                '[[deviation]]\npenetrations = ["P-1"]\ncodes = ["gap-fails"]\nperson = "A"\nrole = "b"\n'
                'document = "c"\n'
                'revision = "1"\ndate = 2026-03-01\nconditions = ""\n'
                'accepted = [{ code = "gap-change", have = "28 mm", need = "" }]'
            ),
            "line 16, deviation no. 1, accepted no. 1, code: found 'gap-change'; expected one of its codes: gap-fails",
        ),
        (
            (
                '[[submittal]]\nmaker = "A"\nproduct = "b"\nwall_type = "W"\nstatus = "A"\ncontent = "3F2A-91C"\n'
                'person = "A"\nrole = "b"\ndocument = "c"\ndate = 2026-03-01'
            ),
            "line 12, submittal no. 1, content: found '3F2A-91C'; expected the mark that the submittal shows, like",
        ),
        ('[dates]\norder = "2026"', "line 8, dates, order: found '2026'; expected a date like 2026-03-01"),
        (
            '[[demand]]\ndocument = "a"\nrevision = "b"',
            "line 7, demand no. 1: found neither class nor actuation; expected what is demanded",
        ),
        (
            '[[demand]]\ndocument = "a"\nrevision = "b"\nroles = ["lobby"]\nclass = "E 60"',
            "line 10, demand no. 1, roles no. 1: found 'lobby'; expected 'compartment wall', 'compartment floor'",
        ),
        (
            '[[wall_type]]\ncode = "W1"\nrating = "FFL"',
            "line 9, wall_type no. 1, rating: found 'FFL'; expected minutes (60)",
        ),
        (
            '[[wall_type]]\ncode = "W1"\n[[wall_type]]\ncode = "w1"',
            "line 10, wall_type no. 2, code: found 'w1' again; expected each once",
        ),
        ('[escape]\nevacuation = "all"', "line 8, escape, evacuation: found 'all'; expected 'unaided, all at once' or"),
        (
            'schedules = ["schedule/schedule.xlsx", "./schedule/schedule.xlsx"]',
            "line 7, schedules no. 2: found './sched",
        ),
    ],
)
def test_each_fault_with_its_line_and_key(folder: Path, line: str, fault: str) -> None:
    (only,) = faults(folder, HEAD + line + "\n")
    assert only.startswith(fault)


@pytest.mark.parametrize(
    ("path", "expected"),
    [
        ("../secret.ifc", "a path inside the job folder, without .."),
        ("models/../../secret.ifc", "a path inside the job folder, without .."),
        ("/etc/passwd", "a path relative to the job folder"),
        ("~/x.ifc", "a path relative to the job folder"),
        ("C:/x.ifc", "a relative path with / between its parts"),
        ("models\\\\a.ifc", "a relative path with / between its parts"),
        ("models/a\\u0000.ifc", "a relative path with / between its parts"),
        ("models/out.ifc", "a path inside the job folder, links followed"),
        ("away/secret.ifc", "a path inside the job folder, links followed"),
    ],
)
def test_paths_stay_inside_the_job_folder(folder: Path, path: str, expected: str) -> None:
    (folder / "models" / "out.ifc").symlink_to(folder.parent / "secret.ifc")
    (folder / "away").symlink_to(folder.parent)
    (only,) = faults(folder, f'{HEAD}[[model]]\npath = "{path}"\nrole = "x"\n')
    assert only.endswith(f"expected {expected}")


def test_a_link_that_stays_inside_is_taken(folder: Path) -> None:
    (folder / "models" / "b.ifc").symlink_to(folder / "models" / "a.ifc")
    assert job_of(folder, HEAD + '[[model]]\npath = "models/b.ifc"\nrole = "x"\n').models[0].path == "models/b.ifc"


@pytest.mark.parametrize("lacking", ["person", "role", "document", "revision", "date", "penetrations", "why"])
def test_an_override_needs_somebody_who_answers_for_it(folder: Path, lacking: str) -> None:
    lines = {
        "penetrations": '["P-0001"]',
        "class": '"E 60"',
        "person": '"Full name"',
        "role": '"fire engineer"',
        "document": '"L"',
        "revision": '"A"',
        "date": "2026-03-01",
        "why": '"because"',
    }
    kept = "\n".join(f"{key} = {value}" for key, value in lines.items() if key != lacking)
    assert faults(folder, f"{HEAD}[[lowered]]\n{kept}\n") == [
        f"line 7, lowered no. 1, {lacking}: found nothing; expected this key"
    ]
    blank = '[" "]' if lacking == "penetrations" else '" "'
    both = "\n".join(f"{key} = {blank if key == lacking else value}" for key, value in lines.items())
    assert len(faults(folder, f"{HEAD}[[lowered]]\n{both}\n")) == 1


SUBMITTAL = {
    "maker": '"M"',
    "product": '"P"',
    "wall_type": '"W1"',
    "status": '"B"',
    "person": '"Full name"',
    "role": '"architect"',
    "document": '"Return 1"',
    "date": "2026-03-01",
    "comments": '"as marked"',
}
OVERRIDE = {
    "penetrations": '["P-0001"]',
    "person": '"Full name"',
    "role": '"project manager"',
    "document": '"Letter 1"',
    "date": "2026-03-01",
    "why": '"because"',
}


def table(name: str, lines: dict[str, str], **changes: str | None) -> str:
    kept = {**lines, **changes}
    body = "".join(f"{key} = {value}\n" for key, value in kept.items() if value is not None)
    return f"[[{name}]]\n{body}"


@pytest.mark.parametrize("lacking", ["maker", "product", "wall_type", "status", "person", "role", "document", "date"])
def test_a_submittal_needs_somebody_who_decided_it(folder: Path, lacking: str) -> None:
    assert len(job_of(folder, HEAD + table("submittal", SUBMITTAL)).submittals) == 1
    assert faults(folder, HEAD + table("submittal", SUBMITTAL, **{lacking: None})) == [
        f"line 7, submittal no. 1, {lacking}: found nothing; expected this key"
    ]
    assert len(faults(folder, HEAD + table("submittal", SUBMITTAL, **{lacking: '" "'}))) == 1


@pytest.mark.parametrize("lacking", list(OVERRIDE))
def test_an_order_override_needs_somebody_who_answers_for_it(folder: Path, lacking: str) -> None:
    assert len(job_of(folder, HEAD + table("order_override", OVERRIDE)).order_overrides) == 1
    assert faults(folder, HEAD + table("order_override", OVERRIDE, **{lacking: None})) == [
        f"line 7, order_override no. 1, {lacking}: found nothing; expected this key"
    ]
    blank = '[" "]' if lacking == "penetrations" else '" "'
    assert len(faults(folder, HEAD + table("order_override", OVERRIDE, **{lacking: blank}))) == 1


def test_a_submittal_with_comments_says_them_and_a_day_holds_one_decision(folder: Path) -> None:
    for status in ("B", "C"):
        text = table("submittal", SUBMITTAL, status=f'"{status}"', comments=None)
        assert faults(folder, HEAD + text) == [
            (
                f"line 7, submittal no. 1, comments: found nothing with status {status}; expected the comments that it "
                "came back with"
            )
        ]
    assert job_of(folder, HEAD + table("submittal", SUBMITTAL, status='"A"', comments=None)).submittals
    (fault,) = faults(folder, HEAD + table("submittal", SUBMITTAL, status='"D"'))
    assert fault == "line 11, submittal no. 1, status: found 'D'; expected 'A', 'B' or 'C'"
    twice = table("submittal", SUBMITTAL) + table("submittal", SUBMITTAL, product='" p "', status='"A"')
    assert faults(folder, HEAD + twice) == [
        (
            "line 17, submittal no. 2: found 'p' in 'W1' again on 2026-03-01; "
            "expected one decision a day for a product in a wall type"
        )
    ]
    next_day = table("submittal", SUBMITTAL) + table("submittal", SUBMITTAL, date="2026-03-02")
    assert len(job_of(folder, HEAD + next_day).submittals) == 2


def test_all_faults_come_at_once(folder: Path) -> None:
    text = HEAD.replace("schema = 1", "schema = 2") + 'schedules = ["no.xlsx"]\nfoo = 1\n[[model]]\npath = "../x"\n'
    assert [fault.split(":")[0] for fault in faults(folder, text)] == [
        "line 1, schema",
        "line 10, model no. 1, path",
        "line 7, schedules no. 1",
        "line 8, foo",
        "line 9, model no. 1, role",
    ]


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"name = ", "broken TOML"),
        (b"a = 1\na = 2\n", "broken TOML: Cannot overwrite a value (at line 2, column 6)"),
        (b"\xff\xfe", "text that is not UTF-8"),
        (b"#" * (4 * 1024 * 1024 + 1), "a file of more than 4 MiB"),
        (b"a=" + b"[" * 100_000, "broken TOML"),
    ],
)
def test_what_is_no_job_file(folder: Path, data: bytes, words: str) -> None:
    (folder / "brattice.toml").write_bytes(data)
    with pytest.raises(InputError) as caught:
        read_job(folder)
    assert words in str(caught.value)


def test_a_folder_without_a_job_says_how_to_make_one(tmp_path: Path) -> None:
    for path, words in ((tmp_path, "no brattice.toml in it"), (tmp_path / "none", "no such folder")):
        with pytest.raises(InputError, match=re.escape(f"found {words}; expected a job folder; `brattice new`")):
            read_job(path)


def test_windows_line_ends_and_byte_order_mark(folder: Path) -> None:
    (folder / "brattice.toml").write_bytes(b"\xef\xbb\xbf" + HEAD.replace("\n", "\r\n").encode())
    assert read_job(folder).job.name == "Invented House"


def test_lines_of_keys() -> None:
    text = 'a = 1\nb = """\n[[t]]\nc = 2\n"""\n[[t]]\n\n"c d" = 1\n[[ t ]] # two\nc = 3\n[u]\nc = 4\n'
    assert line_of(text, ("a",)) == 1
    assert line_of(text, ("t", 0, "c d")) == 8
    assert line_of(text, ("t", 1, "c")) == 10
    assert line_of(text, ("t", 1, "missing")) == 9
    assert line_of(text, ("u", "c")) == 12
    assert line_of(text, ("missing",)) == 0
    assert path_text(("t", 1, "c", 0)) == "t no. 2, c no. 1"


def test_a_new_job_is_made_whole_and_reads(tmp_path: Path) -> None:
    files = {"schedule/schedule.xlsx": b"x", "schedule/wall-types.xlsx": b"y"}
    name = 'He said "no"\\ \u202e\0 [x]'
    made = create_job(tmp_path / "deep" / "job", job_template(name, "E1", date(2026, 3, 1)), files)
    assert sorted(item.name for item in made.iterdir()) == ["brattice.toml", "evidence", "models", "out", "schedule"]
    read = read_job(made)
    assert read.job.name == 'He said "no"\\ ⟨U+202E⟩␀ [x]'
    assert [item.name for item in made.parent.iterdir()] == ["job"]


def test_a_new_job_overwrites_nothing(tmp_path: Path) -> None:
    (tmp_path / "full").mkdir()
    (tmp_path / "full" / "mine").write_text("stay")
    (tmp_path / "file").write_text("stay")
    (tmp_path / "link").symlink_to(tmp_path / "nowhere")
    (tmp_path / "empty").mkdir()
    for name in ("full", "file", "link", "file/below"):
        with pytest.raises(InputError):
            create_job(tmp_path / name, "x", {})
    assert create_job(tmp_path / "empty", "x", {}).is_dir()
    assert sorted(item.name for item in tmp_path.iterdir()) == ["empty", "file", "full", "link"]
    with pytest.raises(FileNotFoundError):
        create_job(tmp_path / "half", "x", {"no/such": b""})
    assert not (tmp_path / "half").exists()
