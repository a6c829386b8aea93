# SPDX-License-Identifier: Apache-2.0
"""Read a job folder: `brattice.toml`, strictly, every fault at once with its line and key."""

from __future__ import annotations

import difflib
import hashlib
import re
import tomllib
import types
import typing
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path, PurePosixPath, PureWindowsPath
from typing import Any

from pydantic import BaseModel, ValidationError

from brattice.adapters.project.places import line_of, path_text
from brattice.adapters.project.schema import SCHEMA_VERSION, JobTable, RatingTable, WallTypeTable
from brattice.adapters.text import one_line
from brattice.building.ratings import RATING_FORMS, rating_from_text
from brattice.building.wall_type import Rating, WallType
from brattice.building.wall_types import WALL_TYPE_FIELDS, wall_type_of
from brattice.building.words import plain
from brattice.calc.tolerance import StatedTolerances
from brattice.errors import Fault, InputError
from brattice.findings import Known, Origin
from brattice.orders.decisions import OrderOverride, SubmittalDecision, SubmittalStatus
from brattice.requirements.requirement import Demand, LoweredRequirement, Rules
from brattice.rows import Confirmation
from brattice.usecases.job import AcceptedValue, DeviationAccepted, Job, KeyDates, ModelRef, PartyRule, Pin, TitleNames

__all__ = ["JOB_FILE", "JobRead", "job_path", "read_job", "read_job_text"]

JOB_FILE = "brattice.toml"
_MOST_BYTES = 4 * 1024 * 1024
_SHOWN = 60
_Path = tuple[str | int, ...]


@dataclass(frozen=True)
class JobRead:
    """A job as its folder states it: the folder, and the SHA-256 of the bytes of its `brattice.toml`."""

    job: Job
    folder: Path
    sha256: str


_CONTENT = re.compile("[0-9a-f]{4}-[0-9a-f]{4}")


@dataclass
class _Reading:
    """The text of a job file, and the faults found in it."""

    text: str
    faults: list[Fault]

    def fault(self, path: Sequence[str | int], found: str, expected: str) -> None:
        line = line_of(self.text, path)
        place = f"line {line}, {path_text(path)}" if line else path_text(path)
        self.faults.append(Fault(JOB_FILE, one_line(place, 200), found, expected))


def _shown(value: object) -> str:
    return one_line(repr(value) if isinstance(value, str) else str(value), _SHOWN)


def _keys_at(path: Sequence[str | int]) -> list[str]:
    """The keys that the schema knows where a key path stands."""
    model: type[BaseModel] = JobTable
    for part in path[:-1]:
        if isinstance(part, int):
            continue
        field = next((item for name, item in model.model_fields.items() if (item.alias or name) == part), None)
        found = _model_in(field.annotation) if field is not None else None
        if found is None:
            return []
        model = found
    return [item.alias or name for name, item in model.model_fields.items()]


def _model_in(annotation: object) -> type[BaseModel] | None:
    if isinstance(annotation, type) and not isinstance(annotation, types.GenericAlias):
        return annotation if issubclass(annotation, BaseModel) else None
    return next((model for item in typing.get_args(annotation) if (model := _model_in(item)) is not None), None)


def _schema_faults(reading: _Reading, error: ValidationError) -> None:
    for item in error.errors():
        path = item["loc"]
        if item["type"] == "extra_forbidden":
            known = _keys_at(path)
            near = difflib.get_close_matches(str(path[-1]), known, n=1, cutoff=0.6)
            hint = f"a key of the job file; did you mean {near[0]!r}?" if near else f"one of: {', '.join(known)}"
            reading.fault(path, "an unknown key", hint)
        elif item["type"] == "missing":
            reading.fault(path, "nothing", "this key")
        else:
            expected = item["msg"].removeprefix("Value error, ")
            expected = re.sub(r"\AInput should be (a valid )?", "", expected)
            if path == ("schema",):
                expected = f"{SCHEMA_VERSION}, the version of this program"
            reading.fault(path, _shown(item["input"]), _spoken(expected))


def _spoken(expected: str) -> str:
    """pydantic's words for kinds in those of TOML."""
    return {"integer": "a whole number", "string": "a text in quotes", "date": "a date like 2026-03-01"}.get(
        expected, {"boolean": "true or false", "list": "a list in [ ]", "number": "a number"}.get(expected, expected)
    )


def job_path(folder: Path, text: str) -> Path | str:
    """The file that a relative path of the job names, or what is wrong with the path.

    It must stay inside the job folder, also after links are followed.
    """
    if "\\" in text or "\0" in text or PureWindowsPath(text).drive:
        return "a relative path with / between its parts"
    if PurePosixPath(text).is_absolute() or text.startswith("~"):
        return "a path relative to the job folder"
    if ".." in PurePosixPath(text).parts:
        return "a path inside the job folder, without .."
    try:
        whole = (folder / text).resolve()
    except (OSError, RuntimeError):
        return "a path that leads somewhere"
    return whole if whole.is_relative_to(folder.resolve()) else "a path inside the job folder, links followed"


def _named_paths(data: dict[str, Any]) -> Iterable[tuple[_Path, object, bool]]:
    """The paths that a job file names, also one that the schema refuses: key path, path, may it be a folder."""
    models = data.get("model")
    for number, item in enumerate(models if isinstance(models, list) else ()):
        if isinstance(item, dict):
            yield ("model", number, "path"), item.get("path", ""), False
    for key in ("schedules", "wall_type_sheets", "evidence"):
        paths = data.get(key)
        for number, text in enumerate(paths if isinstance(paths, list) else ()):
            yield (key, number), text, key == "evidence"


def _check_paths(reading: _Reading, folder: Path, data: dict[str, Any]) -> None:
    seen: dict[Path, _Path] = {}
    for path, text, may_be_folder in _named_paths(data):
        if not isinstance(text, str) or not text.strip():
            continue
        whole = job_path(folder, text.strip())
        if isinstance(whole, str):
            reading.fault(path, _shown(text), whole)
        elif whole in seen:
            reading.fault(path, f"{_shown(text)} again (first at {path_text(seen[whole])})", "each file once")
        elif not whole.exists():
            reading.fault(path, f"{_shown(text)}, which is not there", "a file in the job folder")
        elif not (whole.is_file() or (may_be_folder and whole.is_dir())):
            reading.fault(path, f"{_shown(text)}, which is no file", "a file")
        else:
            seen[whole] = path


def _rating_words(item: RatingTable) -> str:
    """The rating that a text is mapped to, as a class is written."""
    if item.criteria == "unrated":
        return "unrated"
    if item.insulation_minutes is not None and item.insulation_minutes != item.minutes:
        bare = item.criteria.removesuffix("I")
        return f"{bare} {item.minutes} / {item.criteria} {item.insulation_minutes}"
    return f"{item.criteria} {item.minutes}"


def _ratings(reading: _Reading, table: JobTable) -> tuple[tuple[str, Rating], ...]:
    found: dict[str, Rating] = {}
    seen: set[str] = set()
    for number, item in enumerate(table.rating):
        at = ("rating", number)
        plain = item.text.strip().casefold()  # as texts of the models are held against it
        if plain in seen:
            reading.fault((*at, "text"), f"{_shown(item.text)} again", "each text once; case makes no difference")
        seen.add(plain)
        unrated = item.criteria == "unrated"
        if unrated != (item.minutes == 0):
            reading.fault((*at, "minutes"), f"{item.minutes} with {item.criteria}", "0 with unrated, only there")
        insulated = item.criteria.endswith("I")
        if item.insulation_minutes is not None and not insulated:
            reading.fault((*at, "insulation_minutes"), f"it with {item.criteria}", "criteria EI or REI beside it")
        insulation = item.insulation_minutes if item.insulation_minutes is not None else item.minutes
        if insulated and insulation > item.minutes:
            reading.fault((*at, "insulation_minutes"), f"{insulation} of {item.minutes}", "at most the minutes")
        found[item.text] = Rating(item.minutes, insulation if insulated else None, _rating_words(item))
    return tuple(sorted(found.items()))


def _wall_type(reading: _Reading, number: int, item: WallTypeTable) -> WallType:
    stated: dict[str, Known[Any]] = {}
    for name in WALL_TYPE_FIELDS:
        value: Any = getattr(item, name)
        if value is None:
            continue
        if name == "board_layers":
            value = tuple(value)
        elif name.endswith(("_mm", "_m3")):
            value = float(value)
        elif name == "rating":
            value = rating_from_text(item.rating or "")
            if value is None:
                reading.fault(("wall_type", number, "rating"), _shown(item.rating), RATING_FORMS)
                continue
        stated[name] = Known(value, Origin(JOB_FILE, f"wall_type {item.code}, {name}"))
    return wall_type_of(item.code, stated)


def _once(reading: _Reading, named: Iterable[tuple[_Path, str]]) -> None:
    seen: set[str] = set()
    for path, name in named:
        if name.casefold() in seen:
            reading.fault(path, f"{_shown(name)} again", "each once")
        seen.add(name.casefold())


def _asks_nothing(class_text: str | None, actuation: object) -> bool:
    return not (class_text or "").strip() and actuation is None


def _rules(reading: _Reading, table: JobTable) -> Rules:
    for number, demand in enumerate(table.demand):
        if _asks_nothing(demand.class_text, demand.actuation):
            reading.fault(("demand", number), "neither class nor actuation", "what is demanded")
    for number, lowered in enumerate(table.lowered):
        if _asks_nothing(lowered.class_text, lowered.actuation):
            reading.fault(("lowered", number), "neither class nor actuation", "what it is lowered to")
    return Rules(
        jurisdiction=table.jurisdiction,
        edition=table.edition,
        on=table.as_of,
        purpose=table.purpose,
        demands=tuple(
            Demand(
                document=item.document,
                revision=item.revision,
                storeys=tuple(item.storeys),
                roles=tuple(role.value for role in item.roles),
                wall_types=tuple(item.wall_types),
                penetrations=tuple(item.penetrations),
                class_text=(item.class_text or "").strip(),
                actuation=None if item.actuation is None else frozenset(item.actuation),
            )
            for item in table.demand
        ),
        lowered=tuple(
            LoweredRequirement(
                penetrations=tuple(item.penetrations),
                class_text=(item.class_text or "").strip(),
                actuation=None if item.actuation is None else frozenset(item.actuation),
                person=item.person,
                role=item.role,
                document=item.document,
                revision=item.revision,
                on=item.on,
                why=item.why,
            )
            for item in table.lowered
        ),
        evacuation=table.escape.evacuation or "",
        alarm_l1=table.escape.alarm_l1,
    )


_DATES = ("order", "placed_on_market", "installation", "handover")
"""The key dates in the order in which the trade has them; on one day they may all fall."""


def _dates(reading: _Reading, table: JobTable) -> KeyDates:
    """The key dates; one that comes before another that it follows is a slip of the pen, and is told as such."""
    stated = [(name, day) for name in _DATES if (day := getattr(table.dates, name)) is not None]
    for number, (name, day) in enumerate(stated):
        before, latest = max(stated[:number], key=lambda item: item[1], default=(name, day))
        if day < latest:
            found = f"{day.isoformat()}, before {before} on {latest.isoformat()}"
            expected = "order, placed_on_market, installation and handover in this order (the same day will do)"
            reading.fault(("dates", name), found, expected)
    return KeyDates(table.dates.order, table.dates.placed_on_market, table.dates.installation, table.dates.handover)


def _deviations(reading: _Reading, table: JobTable) -> tuple[DeviationAccepted, ...]:
    """The deviations accepted; each value that one accepts is of a code that it names."""
    found = []
    for number, item in enumerate(table.deviation):
        for place, value in enumerate(item.accepted):
            if value.code not in item.codes:
                key = ("deviation", number, "accepted", place, "code")
                reading.fault(key, repr(value.code), f"one of its codes: {', '.join(item.codes)}")
        found.append(
            DeviationAccepted(
                penetrations=tuple(item.penetrations),
                codes=tuple(item.codes),
                person=item.person,
                role=item.role,
                document=item.document,
                revision=item.revision,
                on=item.on,
                conditions=item.conditions,
                accepted=tuple(AcceptedValue(value.code, value.have, value.need) for value in item.accepted),
            )
        )
    return tuple(found)


def _submittals(reading: _Reading, table: JobTable) -> tuple[SubmittalDecision, ...]:
    """The decisions about submittals: one a day for each product in a wall type; B and C with their comments."""
    seen: set[tuple[object, ...]] = set()
    decisions = []
    for number, item in enumerate(table.submittal):
        if item.status is not SubmittalStatus.APPROVED and not item.comments.strip():
            found = f"nothing with status {item.status.value}"
            reading.fault(("submittal", number, "comments"), found, "the comments that it came back with")
        if item.content and not _CONTENT.fullmatch(item.content):
            expected = "the mark that the submittal shows, like 3f2a-91c0"
            reading.fault(("submittal", number, "content"), _shown(item.content), expected)
        what = (plain(item.maker), plain(item.product), plain(item.wall_type), item.on)
        if what in seen:
            found = f"{_shown(item.product)} in {_shown(item.wall_type)} again on {item.on.isoformat()}"
            reading.fault(("submittal", number), found, "one decision a day for a product in a wall type")
        seen.add(what)
        decisions.append(
            SubmittalDecision(
                maker=item.maker,
                product=item.product,
                wall_type=item.wall_type,
                status=item.status,
                person=item.person,
                role=item.role,
                document=item.document,
                on=item.on,
                comments=item.comments.strip(),
                content=item.content,
            )
        )
    return tuple(decisions)


def _job(reading: _Reading, table: JobTable) -> Job:
    _once(reading, ((("wall_type", n, "code"), item.code) for n, item in enumerate(table.wall_type)))
    _once(reading, ((("pin", n, "penetration"), item.penetration) for n, item in enumerate(table.pin)))
    _once(reading, ((("maker_order", n), name) for n, name in enumerate(table.maker_order)))
    _once(reading, ((("confirmation", n, "row"), item.row) for n, item in enumerate(table.confirmation)))
    return Job(
        name=table.name,
        rules=_rules(reading, table),
        models=tuple(ModelRef(item.path, item.role) for item in table.model),
        schedules=tuple(table.schedules),
        evidence=tuple(table.evidence),
        ratings=_ratings(reading, table),
        model_wall_types=tuple(sorted(table.model_wall_types.items())),
        maker_order=tuple(table.maker_order),
        parties=tuple(PartyRule(tuple(item.facts), item.ask) for item in table.party),
        pins=tuple(Pin(item.penetration, item.installation, item.why) for item in table.pin),
        deviations=_deviations(reading, table),
        dates=_dates(reading, table),
        title=TitleNames(**{name: text for name, text in table.title_block if text is not None}),
        site_tolerances=StatedTolerances(**dict(table.site_tolerances)),
        standard_details=table.sketches.standard_details,
        confirmations=tuple(
            Confirmation(item.row, item.version, item.who, item.when, item.copy_) for item in table.confirmation
        ),
        invented=table.invented,
        wall_types=tuple(_wall_type(reading, number, item) for number, item in enumerate(table.wall_type)),
        wall_type_sheets=tuple(table.wall_type_sheets),
        submittals=_submittals(reading, table),
        order_overrides=tuple(
            OrderOverride(
                penetrations=tuple(item.penetrations),
                person=item.person,
                role=item.role,
                document=item.document,
                on=item.on,
                why=item.why,
                product=item.product or "",
            )
            for item in table.order_override
        ),
    )


def read_job_text(text: str, folder: Path) -> Job:
    """The job that a TOML text states; its paths are looked up in `folder`. Raises `InputError` with all faults."""
    try:
        data = tomllib.loads(text)
    except (ValueError, RecursionError) as error:  # a number of thousands of digits is a plain ValueError
        raise InputError(Fault(JOB_FILE, "", f"broken TOML: {one_line(str(error), 200)}", "a TOML file")) from error
    reading = _Reading(text, [])
    _check_paths(reading, folder, data)
    try:
        table = JobTable.model_validate(data)
    except ValidationError as error:
        _schema_faults(reading, error)
        raise InputError(reading.faults) from error
    job = _job(reading, table)
    if reading.faults:
        raise InputError(reading.faults)
    return job


def read_job(folder: str | Path) -> JobRead:
    """The job of a folder. Raises `InputError` with every fault of its `brattice.toml`, its paths included."""
    root = Path(folder)
    path = root / JOB_FILE
    if not path.is_file():
        what = "no such folder" if not root.is_dir() else f"no {JOB_FILE} in it"
        raise InputError(Fault(str(folder), "", what, "a job folder; `brattice new` makes one"))
    try:
        with path.open("rb") as stream:
            data = stream.read(_MOST_BYTES + 1)
    except OSError as error:
        raise InputError(Fault(JOB_FILE, "", f"a file that can't be opened ({error.strerror})", "a file")) from error
    if len(data) > _MOST_BYTES:
        raise InputError(Fault(JOB_FILE, "", "a file of more than 4 MiB", "a job file"))
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        raise InputError(Fault(JOB_FILE, f"line {line}", "text that is not UTF-8", "UTF-8")) from error
    return JobRead(read_job_text(text.replace("\r\n", "\n"), root), root, hashlib.sha256(data).hexdigest())
