# SPDX-License-Identifier: Apache-2.0
"""`brattice class` from the outside."""

import os
import subprocess
import sys

import pytest

from brattice.cli.main import main

SECOND_LINE = "This is the class text alone: it tells nothing about wall, size, seal, position or actuation."


@pytest.mark.parametrize(
    ("arguments", "code", "first"),
    [
        (["EI 90 (ve i↔o) S", "--for", "E 60 (ve i→o)"], 0, "satisfied"),
        (["E 120 (ve ho i↔o) S", "--for", "EI 30 (ve i→o)"], 1, "not satisfied"),
        (["E 60", "--for", "E 60 (ve i→o)"], 2, "needs evidence"),
        (["E 90 S 1000 C10000 HOT 400/30 AA multi", "--for", "E 60 S", "--as", "damper"], 1, "not satisfied"),
        (["EI 120 multi", "--for", "E600 60 single", "--as", "smoke-damper"], 0, "satisfied"),
        (["EI 60 C10000", "--for", "E 60 C300"], 2, "needs evidence"),
        (["EI 60 (ho i↔o)", "--for", "E 60 (ho)", "--as", "duct"], 0, "satisfied"),
        (["REI 60", "--for", "EI 60", "--as", "barrier"], 0, "satisfied"),
        (["EI 60", "--for", "REI 60", "--as", "barrier"], 1, "not satisfied"),
        (["REI 60", "--for", "E 60"], 1, "not satisfied"),
    ],
)
def test_the_answer_comes_first_and_its_limits_second(
    arguments: list[str], code: int, first: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["class", *arguments]) == code
    caught = capsys.readouterr()
    lines = caught.out.splitlines()
    assert lines[:2] == [first, SECOND_LINE]
    assert caught.err == ""
    assert any(line.startswith("- ") for line in lines) == (code != 0)


def test_an_answer_shows_how_both_texts_were_read_and_every_reason(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["class", "EI60S/E120", "--for", "ES120 (ve i<->o)"]) == 1
    assert capsys.readouterr().out.splitlines()[2:8] == [
        "declared: fire damper, EI 60 S / E 120",
        "required: fire damper, E 120 (ve i↔o) S",
        "- E 120: leakage (S): have no S with this class, need S for 120 min",
        "- EI 60 S: integrity (E): have 60 min, need 120 min",
        "- E 120: fire side: not stated, need i→o",
        "- E 120: fire side: not stated, need o→i",
    ]


def test_notes_and_unconfirmed_rows_are_told(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["class", "E 180", "--for", "E 60"]) == 0
    notes = [line for line in capsys.readouterr().out.splitlines() if line.startswith("note: ")]
    assert "outside the class table" in notes[0]
    assert "orientation and fire side unasked" in notes[1]
    assert "class.fire-damper.e-outside-steps" in notes[2]


def test_canonical_prints_the_text_alone(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["class", "E240S", "--canonical"]) == 0
    caught = capsys.readouterr()
    assert caught.out == "E 240 S\n"
    assert "outside the class table" in caught.err
    assert main(["class", "REI120", "--canonical"]) == 0
    assert capsys.readouterr().out == "REI 120\n"


@pytest.mark.parametrize(
    ("arguments", "caret", "words"),
    [
        (["EI 60 X", "--for", "E 60"], "  EI 60 X\n        ^\n", "ve, ho, a fire side"),
        (["EI 60", "--for", "60/60/60"], "  60/60/60\n  ^\n", "older kind of rating"),
        (["E 90", "--for", "E 60", "--as", "duct"], "  E 90\n    ^\n", "30, 60"),
        (["", "--canonical"], "  \n  ^\n", "a class, for example"),
        (["EI 60 \x1b[2J", "--canonical"], "  EI 60 \\x1b[2J\n        ^\n", "ve, ho"),
        (["A" * 5000, "--canonical"], "^\n", "at most"),
    ],
)
def test_an_unreadable_text_ends_with_3_and_a_caret_under_the_place(
    arguments: list[str], caret: str, words: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["class", *arguments]) == 3
    caught = capsys.readouterr()
    assert caught.out == ""
    assert caret in caught.err
    assert words in caught.err
    assert "Traceback" not in caught.err


@pytest.mark.parametrize(
    "arguments",
    [
        [],
        ["E 60"],
        ["E 60", "--for"],
        ["E 60", "--for", "E 30", "--as", "door"],
        ["E 60", "--for", "E 30", "--canonical"],
        ["E 60", "E 30"],
    ],
)
def test_a_wrong_call_ends_with_64(arguments: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["class", *arguments]) == 64
    caught = capsys.readouterr()
    assert caught.out == ""
    assert caught.err


def test_help_is_done(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["class", "--help"]) == 0
    assert "--canonical" in capsys.readouterr().out


def test_the_command_starts_without_the_heavy_parts() -> None:
    code = (
        "import sys\n"
        "from brattice.cli.main import main\n"
        "main(['class', 'E 60', '--canonical'])\n"
        "heavy = {'ifcopenshell', 'openpyxl', 'shapely', 'jinja2', 'jsonschema'} & set(sys.modules)\n"
        "assert not heavy, heavy\n"
    )
    environment = {**os.environ, "PYTHONIOENCODING": "utf-8"}
    subprocess.run([sys.executable, "-c", code], check=True, env=environment, stdout=subprocess.DEVNULL)


def test_a_terminal_that_knows_no_arrows_still_gets_an_answer() -> None:
    program = [sys.executable, "-c", "from brattice.cli.main import run; run()"]
    environment = {**os.environ, "PYTHONIOENCODING": "ascii"}
    done = subprocess.run(
        [*program, "class", "E 60 (ve i↔o)", "--for", "E 60 (ve)"], env=environment, capture_output=True, check=False
    )
    assert done.returncode == 0
    assert done.stdout.startswith(b"satisfied\n")
    assert b"i\\u2194o" in done.stdout
