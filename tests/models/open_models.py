# SPDX-License-Identifier: Apache-2.0
"""The folder of open building models with known crossings, and what the program finds in each of them.

The folder lies beside the project (`../shared/models`) or where BRATTICE_MODELS says.
"""

from __future__ import annotations

import csv
import functools
import io
import os
import subprocess
import sys
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
FOLDER = Path(os.environ.get("BRATTICE_MODELS", ROOT.parent / "shared" / "models"))

needs_models = pytest.mark.skipif(not FOLDER.is_dir(), reason=f"no folder of open building models at {FOLDER}")


@dataclass(frozen=True)
class ModelSet:
    """One building: its truth table and its files, relative to the folder."""

    truth: str
    files: tuple[str, ...]


SETS: Mapping[str, ModelSet] = {
    "revit_small": ModelSet("revit_small/truth.csv", ("revit_small/web-ifc-viewer_test.ifc",)),
    "pcert_ifc4": ModelSet(
        "pcert_ifc4/truth.csv",
        tuple(f"pcert_ifc4/Building-{part}.ifc" for part in ("Architecture", "Structural", "Hvac")),
    ),
    "duplex": ModelSet(
        "duplex/truth_original_arch.csv", ("duplex/Duplex_A_20110907.ifc", "duplex/Duplex_HVAC_authored.ifc")
    ),
    "duplex_derived": ModelSet(
        "duplex/truth_derived_arch.csv", ("duplex/Duplex_A_derived.ifc", "duplex/Duplex_HVAC_authored.ifc")
    ),
    "largebuilding": ModelSet(
        "largebuilding/truth.csv",
        ("largebuilding/LargeBuilding.ifc", "largebuilding/LargeBuilding_HVAC_authored_ifc4x3.ifc"),
    ),
}


@dataclass(frozen=True)
class Run:
    """What one call of the program gave."""

    code: int
    out: str
    err: str

    @property
    def rows(self) -> list[dict[str, str]]:
        """The table on stdout."""
        return list(csv.DictReader(io.StringIO(self.out)))


def run(*arguments: str, timeout: float = 120.0) -> Run:
    """Call `brattice penetrations` as its user would."""
    program = Path(sys.executable).with_name("brattice")
    done = subprocess.run(
        [str(program), "penetrations", *arguments], capture_output=True, timeout=timeout, check=False, cwd=ROOT
    )
    return Run(done.returncode, done.stdout.decode("utf-8"), done.stderr.decode("utf-8"))


@functools.cache
def found_in(name: str) -> Run:
    """What the program finds in one of the sets."""
    return run(*(str(FOLDER / file) for file in SETS[name].files), "--csv", "-")


@functools.cache
def truth_of(name: str) -> tuple[dict[str, str], ...]:
    """The truth table of a set."""
    with (FOLDER / SETS[name].truth).open(encoding="utf-8") as stream:
        return tuple(csv.DictReader(stream))
