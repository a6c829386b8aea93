# SPDX-License-Identifier: Apache-2.0
"""The walls that the import linter can't see: no files, clock, environment or chance in the core; small files."""

import ast
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
SOURCE = ROOT / "src" / "brattice"
OUTSIDE = {"adapters", "storage", "web", "cli"}
BANNED_NAMES = {"open", "print", "input", "exec", "eval"}
BANNED_MODULES = {"os", "time", "random", "pathlib", "io", "subprocess", "socket", "tempfile", "shutil", "sys"}
BANNED_ATTRIBUTES = {"today", "now", "utcnow", "read_text", "write_text", "read_bytes", "write_bytes"}

CORE = sorted(
    path for path in SOURCE.rglob("*.py") if path.relative_to(SOURCE).parts[0] not in OUTSIDE
)  # usecases and everything below


def offences(path: Path) -> list[str]:
    found = []
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.Import):
            found += [alias.name for alias in node.names if alias.name.split(".")[0] in BANNED_MODULES]
        elif isinstance(node, ast.ImportFrom) and (node.module or "").split(".")[0] in BANNED_MODULES:
            found.append(node.module or "")
        elif isinstance(node, ast.Call):
            if isinstance(node.func, ast.Name) and node.func.id in BANNED_NAMES:
                found.append(node.func.id)
            elif isinstance(node.func, ast.Attribute) and node.func.attr in BANNED_ATTRIBUTES:
                found.append(node.func.attr)
    return found


@pytest.mark.parametrize("path", CORE, ids=lambda path: str(path.relative_to(SOURCE)))
def test_the_core_touches_nothing_ambient(path: Path) -> None:
    assert offences(path) == []


def test_the_check_itself_sees_an_offence(tmp_path: Path) -> None:
    bad = tmp_path / "bad.py"
    bad.write_text("import os\nfrom datetime import date\nopen('x')\ndate.today()\n")
    assert offences(bad) == ["os", "open", "today"]


@pytest.mark.parametrize("path", sorted(SOURCE.rglob("*.py")), ids=lambda path: str(path.relative_to(SOURCE)))
def test_source_files_stay_small_and_carry_the_licence(path: Path) -> None:
    lines = path.read_text("utf-8").splitlines()
    assert len(lines) <= 800
    assert lines[0] == "# SPDX-License-Identifier: Apache-2.0"


def test_no_judging_function_answers_with_a_bare_true_or_false() -> None:
    """What judges (check_…, judge…, require…, choose…, detail…) answers with verdicts and reasons, never a bool."""
    judging: list[str] = []
    offenders: list[str] = []
    for room in ("requirements", "evidence", "details", "selection", "usecases"):
        for path in (SOURCE / room).rglob("*.py"):
            for node in ast.walk(ast.parse(path.read_text("utf-8"))):
                if isinstance(node, ast.FunctionDef) and node.name.startswith(
                    ("check", "judge", "require", "choose", "detail", "assess")
                ):
                    judging.append(node.name)
                    if isinstance(node.returns, ast.Name) and node.returns.id == "bool":
                        offenders.append(f"{path.name}:{node.name}")
    assert len(judging) > 20
    assert offenders == []
