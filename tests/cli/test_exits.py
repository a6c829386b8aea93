# SPDX-License-Identifier: Apache-2.0
"""Exit codes and messages that all commands share."""

import io
import subprocess
import sys

import pytest

from brattice.cli.exits import ExitCode, code_of, guarded, message_of, plain
from brattice.cli.main import main
from brattice.errors import ClassTextError, Fault, InputError, OwnFault, UsageError

FAULT = Fault("a.xlsx", "Sheet1!B3", "'abc'", "a number")


@pytest.mark.parametrize(
    ("error", "code"),
    [
        (InputError(FAULT), 3),
        (ClassTextError("EI 60 X", 6, "S"), 3),
        (UsageError("two models of one role"), 64),
        (OwnFault("a law is broken"), 4),
        (ZeroDivisionError("division by zero"), 4),
        (OSError("disk"), 4),
    ],
)
def test_every_error_has_its_code(error: Exception, code: int) -> None:
    def work() -> None:
        raise error

    assert code_of(error) == code
    assert guarded(work, io.StringIO()) == code


def test_a_command_that_returns_nothing_is_done_and_a_returned_code_is_kept() -> None:
    assert guarded(lambda: None) == 0
    assert guarded(lambda: ExitCode.OPEN) == 1
    assert guarded(lambda: ExitCode.NEEDS_EVIDENCE) == 2


def test_an_unexpected_error_is_told_without_a_traceback(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("BRATTICE_DEBUG", raising=False)
    err = io.StringIO()
    assert guarded(lambda: 1 // 0, err) == 4
    assert "our own fault" in err.getvalue()
    assert "Traceback" not in err.getvalue()


def test_debugging_shows_the_traceback(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("BRATTICE_DEBUG", "1")
    err = io.StringIO()
    assert guarded(lambda: 1 // 0, err) == 4
    assert "Traceback" in err.getvalue()


def test_stopping_the_program_gives_the_shells_own_code() -> None:
    def work() -> None:
        raise KeyboardInterrupt

    assert guarded(work, io.StringIO()) == 130


def test_every_fault_is_told_with_its_place() -> None:
    other = Fault("b.csv", "row 7", "nothing", "an id")
    assert message_of(InputError([other, FAULT])) == (
        "2 faults in the input:\n"
        "  a.xlsx: Sheet1!B3: found 'abc'; expected a number\n"
        "  b.csv: row 7: found nothing; expected an id"
    )


def test_an_unreadable_class_text_has_a_caret_under_the_place() -> None:
    assert message_of(ClassTextError("EI 60 X", 6, "S")) == (
        "this class text can't be read:\n  EI 60 X\n        ^\nexpected S"
    )


def test_the_caret_stands_under_the_place_of_long_wide_and_hostile_texts() -> None:
    for text, position in [("A" * 200 + "!" + "B" * 99, 200), ("防火 60", 3), ("E\u0301I\x1b[2J", 3), ("EI", 2)]:
        shown, caret = message_of(ClassTextError(text, position, "S")).split("\n")[1:3]
        assert "\x1b" not in shown
        assert set(caret) == {" ", "^"}
    shown, caret = message_of(ClassTextError("A" * 200 + "!" + "B" * 99, 200, "S")).split("\n")[1:3]
    assert shown[caret.index("^")] == "!"


def test_what_does_not_print_is_escaped_before_it_reaches_a_terminal() -> None:
    assert plain("a\x1b[31m\u202eb\x00\nØ 315 ↔") == "a\\x1b[31m\\u202eb\\x00\nØ 315 ↔"


@pytest.mark.parametrize("arguments", [[], ["no-such-command"], ["--no-such-option"]])
def test_a_wrong_call_ends_with_64(arguments: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    assert main(arguments) == 64
    caught = capsys.readouterr()
    assert caught.out == ""
    assert "Usage: brattice" in caught.err


@pytest.mark.parametrize("arguments", [["--help"], ["-h"], ["--version"]])
def test_asking_for_help_or_version_is_done(arguments: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    assert main(arguments) == 0
    assert "brattice" in capsys.readouterr().out


def test_a_reader_who_goes_away_is_neither_a_pass_nor_a_fault() -> None:
    code = (
        "import sys\n"
        "from brattice.cli.main import app, main\n"
        "@app.command('flood')\n"
        "def flood() -> None:\n"
        "    for _ in range(200000): print('x' * 80)\n"
        "sys.exit(main(['flood']))\n"
    )
    child = subprocess.Popen([sys.executable, "-c", code], stdout=subprocess.PIPE, stderr=subprocess.PIPE)
    assert child.stdout is not None
    assert child.stderr is not None
    child.stdout.readline()
    child.stdout.close()
    assert child.wait(60) == 141
    assert child.stderr.read() == b""
    child.stderr.close()
