# SPDX-License-Identifier: Apache-2.0
"""Exit codes and messages that all commands share."""

import io
import subprocess
import sys
from pathlib import Path

import pytest

from brattice.cli.exits import ExitCode, code_of, guarded, message_of, plain
from brattice.cli.main import app, main
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
    assert plain("a\x1b[31m\u202eb\x00\nØ 315 ↔\u2028") == "a\\x1b[31m\\u202eb\\x00\\nØ 315 ↔\\u2028"


HOSTILE = "job\nbrattice: all is well\x1b[31m\u202e\r"


def _arguments(command: str, name: str) -> list[list[str]]:
    """Ways to call a command with a name from outside, as its first argument and as an option's value."""
    own = {
        "class": [[name, "--for", "E 60"], ["E 60", "--for", name]],
        "template": [["schedule", name], ["schedule", f"{name}.xlsx"], [name, "a.xlsx"]],
        "answers": [[name, "a.xlsx"], ["job", name]],
        "new": [[name], [name, "--as-of", name]],
    }
    return own.get(command, [[name], [name, "--as-of", name], [name, f"--{name}"]])


COMMANDS = sorted(item.name or getattr(item.callback, "__name__", "") for item in app.registered_commands)


@pytest.mark.parametrize("command", COMMANDS)
def test_a_name_from_outside_is_text_in_every_message(
    command: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    for arguments in _arguments(command, HOSTILE):
        main([command, *arguments])
        caught = capfd.readouterr()
        told = caught.out + caught.err
        assert told, arguments
        assert not set(told) & set("\x1b\u202e\r"), arguments
        assert "\nbrattice: all is well" not in told, arguments


def test_a_job_of_a_hostile_name_is_checked_with_its_name_as_text(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1780000000")
    for command in ("new", "check"):
        assert main([command, HOSTILE]) in {0, 1}, command
    caught = capfd.readouterr()
    told = caught.out + caught.err
    assert told.count("job\\nbrattice: all is well\\x1b[31m\\u202e\\r") >= 3
    assert not set(told) & set("\x1b\u202e\r")
    assert "\nbrattice: all is well" not in told


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
