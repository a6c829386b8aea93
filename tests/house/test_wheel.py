# SPDX-License-Identifier: Apache-2.0
"""The built wheel, with what users install and nothing that only developers have, does its job."""

import shutil
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
UV = Path(sys.executable).parent / "uv"


def run(*words: str | Path, cwd: Path) -> subprocess.CompletedProcess[str]:
    return subprocess.run([str(word) for word in words], cwd=cwd, capture_output=True, text=True, check=False)


@pytest.fixture(scope="module")
def installed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A fresh environment with the locked run-time packages and the wheel; its brattice command."""
    place = tmp_path_factory.mktemp("wheel")
    source = place / "source"
    source.mkdir()
    shutil.copytree(ROOT / "src", source / "src", ignore=shutil.ignore_patterns("__pycache__", "*.egg-info"))
    for name in ("pyproject.toml", "README.md", "LICENSE"):
        shutil.copy(ROOT / name, source / name)
    steps = (
        (sys.executable, "-m", "pip", "wheel", "-q", "--no-deps", "--no-build-isolation", "-w", place, source),
        (sys.executable, "-m", "venv", "--without-pip", place / "env"),
        (UV, "pip", "install", "-q", "--require-hashes", "--python", place / "env", "-r", ROOT / "lock-run.txt"),
    )
    for step in steps:
        done = run(*step, cwd=place)
        assert done.returncode == 0, done.stderr
    wheel = next(place.glob("brattice-*.whl"))
    done = run(UV, "pip", "install", "-q", "--no-deps", "--python", place / "env", wheel, cwd=place)
    assert done.returncode == 0, done.stderr
    return place / "env" / "bin" / "brattice"


@pytest.mark.slow
def test_the_wheel_compares_classes(installed: Path, tmp_path: Path) -> None:
    done = run(installed, "class", "EI 90 (ve i↔o) S", "--for", "E 60 (ve i→o)", cwd=tmp_path)
    assert done.stdout.splitlines()[0] == "satisfied"  # trade handbook C08
    assert done.returncode == 0


@pytest.mark.slow
def test_the_wheel_checks_the_demo_job(installed: Path, tmp_path: Path) -> None:
    made = run(sys.executable, "-m", "tools.demo", tmp_path / "demo", cwd=ROOT)
    assert made.returncode == 0, made.stderr
    done = run(installed, "check", tmp_path / "demo" / "job", cwd=tmp_path)
    assert done.returncode == 1, done.stderr  # the demo has planted faults
    assert {path.name for path in (tmp_path / "demo" / "job" / "out").iterdir()} >= {
        "findings.json",
        "register.csv",
        "register.xlsx",
        "report.html",
    }
