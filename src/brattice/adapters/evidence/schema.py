# SPDX-License-Identifier: Apache-2.0
"""What an evidence file may say: strict models of its parts, and their faults in words.

The models check one value at a time; what has to fit together is checked in `assemble`. Lengths in millimetres.
"""

from __future__ import annotations

import difflib
import re
import unicodedata
from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from enum import StrEnum
from typing import Annotated, Any, TypeVar, get_args

from pydantic import AfterValidator, BaseModel, BeforeValidator, ConfigDict, Field, ValidationError
from pydantic_core import ErrorDetails, PydanticCustomError

from brattice.building.words import (
    Actuation,
    DuctedSides,
    FixingFamily,
    Joint,
    MountingPosition,
    OpeningShape,
    Orientation,
    SupportingConstruction,
    SupportKind,
    Surface,
)
from brattice.errors import Fault
from brattice.evidence.installation import DamperKind, DocumentLevel

__all__ = [
    "MARKINGS",
    "MOST_MM",
    "DocumentModel",
    "EvidenceFile",
    "FixingsModel",
    "InstallationModel",
    "Length",
    "SealModel",
    "Some",
    "Strict",
    "Text",
    "Thickness",
    "WindowModel",
    "did_you_mean",
    "model_faults",
    "once",
    "word_of",
]

MARKINGS = ("CE", "UKCA")
"""The conformity markings that a product can carry (trade handbook rows 3.18-3.22)."""

MOST_MM = 20_000
"""No length of a damper, wall or gap is longer [mm]; a longer one is a slip of the unit."""

_SHOWN = 60
_Word = TypeVar("_Word", bound=StrEnum)


def did_you_mean(given: str, known: Iterable[str]) -> str:
    """`"; did you mean 'x'?"` when one of the known words is near, else ""."""
    near = difflib.get_close_matches(given, list(known), n=1, cutoff=0.6)
    return f"; did you mean {near[0]!r}?" if near else ""


def _fault(expected: str) -> PydanticCustomError:
    return PydanticCustomError("expected", "{expected}", {"expected": expected})


def word_of(kind: type[_Word]) -> BeforeValidator:
    """Reads a word of a closed list, capitals and outer blanks aside."""
    words = {item.value.casefold(): item for item in kind}
    listed = ", ".join(item.value for item in kind)

    def read(value: object) -> _Word:
        if isinstance(value, kind):
            return value
        found = words.get(" ".join(value.split()).casefold()) if isinstance(value, str) else None
        if found is None:
            hint = did_you_mean(value.casefold(), words) if isinstance(value, str) else ""
            raise _fault(f"one of: {listed}{hint}")
        return found

    return BeforeValidator(read)


_NO_TEXT = frozenset(
    {
        "?",
        "-",
        "–",
        "—",
        "x",
        "xx",
        "xxx",
        "n/a",
        "na",
        "n/k",
        "nil",
        "tba",
        "tbc",
        "tbd",
        "todo",
        "unknown",
        "pending",
        "various",
        "as tested",
        "by others",
        "not known",
        "not stated",
        "to be confirmed",
        "to be advised",
        "to follow",
    }
)
"""What people type where they have nothing to say; compared with itself it would pass."""


def _plain(value: str) -> str:
    text = " ".join(value.split())
    if not text or text.casefold().rstrip(".") in _NO_TEXT:
        raise _fault("a text that says something; leave it out where it is not stated")
    if any(unicodedata.category(sign) in {"Cc", "Cf", "Cs", "Co", "Cn"} for sign in text):
        raise _fault("a text without control characters")
    return text


def _one_of(value: Surface, allowed: tuple[Surface, ...]) -> Surface:
    if value not in allowed:
        raise _fault(f"one of: {', '.join(allowed)}")
    return value


def _marking(value: str) -> str:
    if value not in MARKINGS:
        raise _fault(f"one of: {', '.join(MARKINGS)}")
    return value


def once(values: list[Any]) -> list[Any]:
    """The list, when no value stands in it twice; for models."""
    if len(set(values)) != len(values):
        raise _fault("each value once")
    return values


_COUNT_AT = re.compile(r"(?:Ø ?[1-9]\d{0,4}|[1-9]\d{0,4} ?[×x] ?[1-9]\d{0,4}) ?: ?[1-9]\d{0,3}")


_PART_OF = re.compile(r"(.*\S) ?: ?(\d{1,5}(?:\.\d{1,3})?) ?(mm|%)")


def _part_of_seal(value: str) -> str:
    found = _PART_OF.fullmatch(" ".join(value.split()))
    if found is None or float(found.group(2)) <= 0:
        raise _fault("a product with its depth or share above 0, like Board B 25: 75 mm or Sealant S: 20 %")
    return found.group(0)


def _size_and_count(value: str) -> str:
    found = _COUNT_AT.fullmatch(" ".join(value.split()))
    if found is None:
        raise _fault("sizes each with the number of fixings, like 600 × 400: 12 or Ø 250: 8")
    return found.group(0)


Text = Annotated[str, Field(max_length=500), AfterValidator(_plain)]
Identifier = Annotated[str, Field(pattern=r"^[A-Za-z0-9][A-Za-z0-9 ._/+\-]*$", max_length=80)]
Length = Annotated[float, Field(ge=0, le=MOST_MM, allow_inf_nan=False)]
Thickness = Annotated[float, Field(gt=0, le=MOST_MM, allow_inf_nan=False)]
Density = Annotated[float, Field(gt=0, le=20_000, allow_inf_nan=False)]
Angle = Annotated[float, Field(ge=0, lt=360, allow_inf_nan=False)]
Some = Annotated[list[Text], Field(min_length=1), AfterValidator(once)]

_Actuation = Annotated[Actuation, word_of(Actuation)]
_Ducts = Annotated[DuctedSides, word_of(DuctedSides)]
_Fixing = Annotated[FixingFamily, word_of(FixingFamily)]
_Joint = Annotated[Joint, word_of(Joint)]
_Position = Annotated[MountingPosition, word_of(MountingPosition)]
_Shape = Annotated[OpeningShape, word_of(OpeningShape)]
_Orientation = Annotated[Orientation, word_of(Orientation)]
_Construction = Annotated[SupportingConstruction, word_of(SupportingConstruction)]
_Support = Annotated[SupportKind, word_of(SupportKind)]
_Surface = Annotated[Surface, word_of(Surface)]
_Along = Annotated[
    Surface,
    word_of(Surface),
    AfterValidator(lambda value: _one_of(value, (Surface.CASING, Surface.FINISHED_OPENING, Surface.FRAMED_OPENING))),
]
_Kind = Annotated[DamperKind, word_of(DamperKind)]
_Level = Annotated[DocumentLevel, word_of(DocumentLevel)]


class Strict(BaseModel):
    """A table of an evidence file: no key of its own, no value of another kind."""

    model_config = ConfigDict(strict=True, extra="forbid", frozen=True, populate_by_name=True)


class WindowModel(Strict):
    """From least to most, both within; a missing end is no end, both missing is nothing said."""

    least: Length | None = None
    most: Length | None = None


class GapsModel(Strict):
    """The gap window of all sides, or of each."""

    all: WindowModel | None = None
    left: WindowModel | None = None
    right: WindowModel | None = None
    top: WindowModel | None = None
    bottom: WindowModel | None = None


class BeyondModel(Strict):
    """One length for all sides, or one a side."""

    all: Length | None = None
    left: Length | None = None
    right: Length | None = None
    top: Length | None = None
    bottom: Length | None = None


class SizesModel(Strict):
    """The sizes tested: a width and a height window, or a diameter window for round dampers."""

    width_mm: WindowModel | None = None
    height_mm: WindowModel | None = None
    diameter_mm: WindowModel | None = None
    s_least_width_mm: Thickness | None = None
    s_least_height_mm: Thickness | None = None
    s_least_diameter_mm: Thickness | None = None


class ConstructionModel(Strict):
    """The supporting construction of the test."""

    kind: _Construction
    least_thickness_mm: Thickness
    least_density_kg_m3: Density | None = None
    most_density_kg_m3: Density | None = None
    material: Text | None = None
    board_type: Text | None = None
    board_thickness_mm: Thickness | None = None
    board_layers: Annotated[list[Annotated[int, Field(ge=0, le=10)]], Field(min_length=2, max_length=2)] | None = None
    stud_size_mm: Thickness | None = None
    most_stud_spacing_mm: Thickness | None = None
    cavity_fill: Text | None = None
    opening_framing: Text | None = None
    lining_mm: Length | None = None
    shown_in_rigid: bool = False


class SealModel(Strict):
    """The penetration seal as tested."""

    products: Some
    layers: Annotated[int, Field(ge=1, le=10)] | None = None
    faces: Annotated[int, Field(ge=1, le=2)] | None = None
    depth_mm: WindowModel | None = None
    gap_mm: GapsModel
    gap_from: _Surface
    parts: Annotated[list[Annotated[str, AfterValidator(_part_of_seal)]], Field(min_length=1)] | None = None


MOST_APART_MM = 1_000
"""A least distance to a neighbour above this is refused [mm]: models are looked through for neighbours within 1500 mm
of a duct, and the dampers of both may stand out by 250. Our own policy."""


class SeparationModel(Strict):
    """A least distance tested, and between which surfaces."""

    to: Text
    least_mm: Annotated[float, Field(ge=0, le=MOST_APART_MM, allow_inf_nan=False)]
    from_surface: _Surface | None = None
    to_surface: _Surface | None = None


class FixingsModel(Strict):
    """The fixings of the test; `counts` are texts of a size and a number, like `"600 × 400: 12"`."""

    kind: Text | None = None
    size: Text | None = None
    along: _Along | None = None
    most_apart_mm: Thickness | None = None
    most_from_corner_mm: Length | None = None
    least_a_side: Annotated[int, Field(ge=1, le=100)] | None = None
    rows: Annotated[int, Field(ge=1, le=4)] | None = None
    counts: Annotated[list[Annotated[str, AfterValidator(_size_and_count)]], Field(min_length=1)] | None = None


class DocumentModel(Strict):
    """A document and its standing."""

    id: Identifier
    level: _Level
    reference: Text
    revision: Text
    issued: date
    standard: Text
    edition: Text
    valid_from: date | None = None
    valid_to: date | None = None
    withdrawn_on: date | None = None
    certificate: Text | None = None
    third_party: Text | None = None
    marking: Annotated[list[Annotated[str, AfterValidator(_marking)]], AfterValidator(once)] | None = None
    instructions: Text | None = None
    extended: bool | None = None


class InstallationModel(Strict):
    """One tested installation of one damper family."""

    id: Identifier
    document: Identifier
    maker: Text | None = None
    product: Text
    kind: _Kind
    class_text: Annotated[Text, Field(alias="class")]
    orientation: _Orientation
    position: _Position
    opening_shape: _Shape
    fixing: _Fixing
    actuation: Annotated[list[_Actuation], AfterValidator(once)]
    mechanism_deg: Annotated[list[Angle], Field(min_length=1), AfterValidator(once)] | None = None
    support: _Support | None = None
    joints: Annotated[list[_Joint], AfterValidator(once)] | None = None
    access_sides: Some | None = None
    most_blade_offset_mm: Length | None = None
    insulation_through: bool | None = None
    deflection_head: bool | None = None
    other_services: bool | None = None
    ducted_sides: Annotated[int, Field(ge=0, le=2)] | None = None
    ducts: Annotated[list[_Ducts], Field(min_length=1), AfterValidator(once)] | None = None
    battery: bool = False
    shared_opening: bool = False
    notes: list[Text] = []
    sizes: SizesModel
    construction: ConstructionModel
    seal: SealModel
    fixings: FixingsModel | None = None
    casing_beyond_mm: BeyondModel | None = None
    separation: list[SeparationModel] = []


class EvidenceFile(Strict):
    """A TOML file of evidence: documents, and the installations that rest on them."""

    schema_version: Annotated[int, Field(alias="schema", ge=1, le=1)]
    maker: Text | None = None
    invented: bool = False
    document: Annotated[list[DocumentModel], Field(min_length=1)]
    installation: Annotated[list[InstallationModel], Field(min_length=1)]


def _models_in(annotation: object) -> Iterable[type[BaseModel]]:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        yield annotation
    for part in get_args(annotation):
        yield from _models_in(part)


def _keys_at(model: type[BaseModel], path: Sequence[int | str]) -> tuple[str, ...]:
    """The keys that the table at a path may have."""
    at = model
    for part in path:
        if isinstance(part, int):
            continue
        field = next((item for name, item in at.model_fields.items() if part in {name, item.alias}), None)
        inner = next(iter(_models_in(field.annotation)), None) if field is not None else None
        if inner is None:
            return ()
        at = inner
    return tuple(item.alias or name for name, item in at.model_fields.items())


def _shown(value: object) -> str:
    text = value.isoformat() if isinstance(value, date) else repr(value)
    return text if len(text) <= _SHOWN else text[: _SHOWN - 1] + "…"


_CALLED_BY = {"product": "product", "seal": "name", "actuator": "code", "table": "quantity"}
"""The key that names an item of a list, where it is another than its id."""


def _named(path: Sequence[int | str], data: Mapping[str, Any]) -> str:
    """A path in words: items of lists by their id where they have one, else counted from 1."""
    words: list[str] = []
    at: Any = data
    for part in path:
        if isinstance(part, int):
            item = at[part] if isinstance(at, list) and part < len(at) else None
            name = item.get(_CALLED_BY.get(words[-1] if words else "", "id")) if isinstance(item, dict) else None
            words.append(_shown(name)[1:-1] if isinstance(name, str) and name.strip() else str(part + 1))
            at = item
        else:
            words.append(part)
            at = at.get(part) if isinstance(at, dict) else None
    listed = len(path) > 1 and isinstance(path[1], int)
    return _place(words) if listed else ".".join(words)


def _place(words: Sequence[str]) -> str:
    """`installation HV-1, seal.gap_mm.left` for a path of words."""
    if len(words) >= 2 and words[0] in {"installation", "document", "product", "seal"}:
        head = f"{words[0]} {words[1]}"
        return f"{head}, {'.'.join(words[2:])}" if len(words) > 2 else head
    return ".".join(words)


_EXPECTED = {
    "bool_type": "true or false",
    "int_type": "a whole number",
    "float_type": "a number, without its unit",
    "string_type": "a text in quotes",
    "list_type": "a list in [ ]",
    "date_type": "a date like 2024-03-01, without quotes",
    "date_from_datetime_inexact": "a date like 2024-03-01, without a time",
    "model_type": "a table",
    "dict_type": "a table",
    "finite_number": "a finite number",
}


def _expected(error: ErrorDetails) -> str:
    kind, context = error["type"], error.get("ctx", {})
    if kind in _EXPECTED:
        return _EXPECTED[kind]
    limits = {
        "greater_than": "a number above {gt:g}",
        "greater_than_equal": "a number of at least {ge:g}",
        "less_than": "a number below {lt:g}",
        "less_than_equal": "a number of at most {le:g}",
        "too_short": "a list of at least {min_length}",
        "too_long": "a list of at most {max_length}",
        "string_too_long": "at most {max_length} characters",
        "string_pattern_mismatch": "letters, digits and ._/+- with blanks between, a letter or digit first",
    }
    if kind in limits:
        return limits[kind].format(**context)
    return error["msg"]


def model_faults(error: ValidationError, model: type[BaseModel], data: Mapping[str, Any], file: str) -> list[Fault]:
    """The faults of a model in words: where, what was found, what was expected."""
    faults = []
    for item in error.errors(include_url=False):
        path = tuple(item["loc"])
        if item["type"] == "extra_forbidden":
            key = str(path[-1])
            known = _keys_at(model, path[:-1])
            found = f"the unknown key {_shown(key)}"
            hint = did_you_mean(key, known)
            faults.append(Fault(file, _named(path[:-1], data), found, f"one of: {', '.join(known)}{hint}"))
        elif item["type"] == "missing":
            faults.append(Fault(file, _named(path, data), "nothing", "a value; this key is needed"))
        else:
            faults.append(Fault(file, _named(path, data), _shown(item["input"]), _expected(item)))
    return faults
