# SPDX-License-Identifier: Apache-2.0
"""`plans/plans.toml`: which drawing lies under which level, and its grid reference."""

from __future__ import annotations

import difflib
import tomllib
from dataclasses import dataclass
from pathlib import Path

from pydantic import BaseModel, ConfigDict, Field, ValidationError
from pydantic_core import ErrorDetails

from brattice.adapters.text import one_line
from brattice.errors import Fault, InputError
from brattice.geometry.similarity import Similarity, fit_similarity

__all__ = ["PLANS_FILE", "PLANS_FOLDER", "PlanFile", "read_plan_files"]

PLANS_FOLDER = "plans"
"""Where the drawings of others lie, inside the job folder."""
PLANS_FILE = "plans/plans.toml"

_ENDINGS = (".pdf", ".png", ".jpg", ".jpeg")
_MOST_BYTES = 1_000_000


class _Point(BaseModel):
    model_config = ConfigDict(extra="forbid", strict=True, allow_inf_nan=False)

    sheet: tuple[float, float] = Field(strict=False)
    metres: tuple[float, float] = Field(strict=False)


class _Plan(BaseModel):
    model_config = ConfigDict(extra="forbid", strict=True, allow_inf_nan=False)

    file: str = Field(min_length=1)
    level: str = Field(min_length=1)
    page: int = Field(default=1, ge=1, le=10_000)
    point: list[_Point] = Field(min_length=2, max_length=100)


class _Plans(BaseModel):
    model_config = ConfigDict(extra="forbid", strict=True, allow_inf_nan=False)

    schema_: int = Field(alias="schema", ge=1, le=1)
    plan: list[_Plan] = Field(default_factory=list, max_length=1000)


@dataclass(frozen=True)
class PlanFile:
    """A drawing under a level: its file in `plans/`, page from 1, and how its points lie in the building.

    `to_building` takes a point of the sheet (x to the right, y up from its top: the y of the file with the other sign)
    to metres. `rest_m` is how far it leaves each control point [m]; `points_m` are those points in the building.
    """

    file: str
    level: str
    page: int
    to_building: Similarity
    rest_m: tuple[float, ...]
    points_m: tuple[tuple[float, float], ...]

    @property
    def is_pdf(self) -> bool:
        """Whether it is a page of a PDF (its unit is the millimetre; else the pixel)."""
        return self.file.lower().endswith(".pdf")

    def place_m(self, x: float, y: float) -> tuple[float, float]:
        """The place [m] of a point of the sheet, counted to the right and down from its left top corner."""
        return self.to_building.apply((x, -y))


_EXPECTED = {
    "schema": "1",
    "plan": "tables that begin with [[plan]]",
    "file": "the name of a PDF, PNG or JPG in plans/",
    "level": "the name of a level, as the job has it",
    "page": "the number of a page, from 1",
    "point": "two tables [[plan.point]] or more",
    "sheet": "two numbers, like [62.0, 40.0]",
    "metres": "two numbers, like [0.0, 24.0]",
}
_KEYS = (("schema", "plan"), ("file", "level", "page", "point"), ("sheet", "metres"))
"""The keys of the file, of a plan, of a point."""


def _fault(item: ErrorDetails) -> Fault:
    """What one key has that it may not have, where it stands, and what may stand there."""
    place = ", ".join(f"no. {part + 1}" if isinstance(part, int) else str(part) for part in item["loc"])
    names = [part for part in item["loc"] if isinstance(part, str)]
    if item["type"] == "missing":
        return Fault(PLANS_FILE, place, "nothing", f"this key: {_EXPECTED[names[-1]]}")
    if item["type"] == "extra_forbidden":
        known = _KEYS[min(len(names), len(_KEYS)) - 1]
        near = difflib.get_close_matches(names[-1], known, n=1, cutoff=0.6)
        hint = f"; did you mean {near[0]!r}?" if near else ""
        return Fault(PLANS_FILE, place, "an unknown key", f"one of: {', '.join(known)}{hint}")
    named = next((name for name in reversed(names) if name in _EXPECTED), "")
    given = item["input"]
    found = f"{len(given)} of them" if isinstance(given, list) and named == "point" else repr(given)
    return Fault(PLANS_FILE, place, one_line(found, 80), _EXPECTED.get(named, "a table as docs/print.md has it"))


def read_plan_files(folder: Path) -> tuple[PlanFile, ...]:
    """The drawings that a job's `plans/plans.toml` names; none without that file.

    Raises
    ------
    InputError : with every fault of the file, by plan and key; a drawing that is not there is one
    """
    path = folder / PLANS_FILE
    if not path.exists():
        return ()
    try:
        if path.stat().st_size > _MOST_BYTES:
            raise InputError(Fault(PLANS_FILE, "", "a file of more than 1 MB", "a small one"))
        table = _Plans.model_validate(tomllib.loads(path.read_text("utf-8-sig")))
    except (OSError, UnicodeDecodeError) as error:
        raise InputError(Fault(PLANS_FILE, "", f"a file that can't be read ({error})", "text in UTF-8")) from error
    except (tomllib.TOMLDecodeError, RecursionError) as error:
        raise InputError(Fault(PLANS_FILE, "", one_line(str(error), 200), "TOML as docs/print.md has it")) from error
    except ValidationError as error:
        raise InputError(_fault(item) for item in error.errors(include_url=False)) from error
    faults: list[Fault] = []
    found = []
    seen: set[str] = set()
    for number, plan in enumerate(table.plan, start=1):
        where = f"plan no. {number}"
        if Path(plan.file).name != plan.file or "\\" in plan.file or not plan.file.lower().endswith(_ENDINGS):
            faults.append(
                Fault(PLANS_FILE, f"{where}, file", repr(one_line(plan.file, 80)), "a PDF, PNG or JPG in plans/")
            )
            continue
        if not (folder / PLANS_FOLDER / plan.file).is_file():
            faults.append(Fault(PLANS_FILE, f"{where}, file", f"{plan.file!r}, which is not in plans/", "a file there"))
            continue
        for name, text in (("file", plan.file), ("level", plan.level)):
            if f"{name} {text.casefold()}" in seen:
                faults.append(Fault(PLANS_FILE, f"{where}, {name}", f"{one_line(text, 60)!r} again", "each once"))
            seen.add(f"{name} {text.casefold()}")
        sheet = [(point.sheet[0], -point.sheet[1]) for point in plan.point]
        metres = [point.metres for point in plan.point]
        try:
            fitted, rest = fit_similarity(sheet, metres)
        except ValueError:
            faults.append(
                Fault(
                    PLANS_FILE,
                    f"{where}, point",
                    "points that lie in one place",
                    "points well apart, on sheet and site",
                )
            )
            continue
        found.append(PlanFile(plan.file, plan.level, plan.page, fitted, rest, tuple(metres)))
    if faults:
        raise InputError(faults)
    return tuple(found)
