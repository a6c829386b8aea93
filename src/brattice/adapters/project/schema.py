# SPDX-License-Identifier: Apache-2.0
"""The strict schema of `brattice.toml`, version 1. Every key is named here; an unknown key is an error."""

from __future__ import annotations

from datetime import date
from typing import Annotated, Literal

from pydantic import AfterValidator, BaseModel, ConfigDict, Field

from brattice.building.words import Actuation, BarrierRole, SupportingConstruction
from brattice.findings import Party
from brattice.orders.decisions import SubmittalStatus

__all__ = ["SCHEMA_VERSION", "JobTable", "WallTypeTable"]

SCHEMA_VERSION = 1


def _stated(text: str) -> str:
    """A text that says something: blanks at the ends don't count."""
    plain = text.strip()
    if not plain:
        raise ValueError("a text that is not empty")
    return plain


Text = Annotated[str, AfterValidator(_stated)]
PenetrationId = Text  # a permanent id, or a name that the schedule gives; `usecases.identify` looks it up
Word = Field(strict=False)
Layers = Annotated[int, Field(ge=0, le=10)]


class _Strict(BaseModel):
    model_config = ConfigDict(strict=True, extra="forbid", frozen=True)


class ModelTable(_Strict):
    """A model file and what it models."""

    path: Text
    role: Text


class RatingTable(_Strict):
    """What a rating text of the models means."""

    text: Annotated[str, Field(min_length=1)]
    minutes: Annotated[int, Field(ge=0, le=360)]
    criteria: Literal["E", "EI", "RE", "REI", "unrated"]
    insulation_minutes: Annotated[int, Field(ge=1, le=360)] | None = None


class WallTypeTable(_Strict):
    """A wall type stated in the job file itself; lengths in millimetres."""

    code: Text
    kind: Annotated[SupportingConstruction, Word] | None = None
    thickness_mm: Annotated[float, Field(gt=0, le=5_000)] | None = None
    density_kg_m3: Annotated[float, Field(gt=0, le=10_000)] | None = None
    material: Text | None = None
    board_type: Text | None = None
    board_thickness_mm: Annotated[float, Field(ge=0, le=200)] | None = None
    board_layers: Annotated[list[Layers], Field(min_length=2, max_length=2)] | None = None
    stud_size_mm: Annotated[float, Field(ge=0, le=1_000)] | None = None
    stud_spacing_mm: Annotated[float, Field(ge=0, le=5_000)] | None = None
    cavity_fill: Text | None = None
    opening_framing: Text | None = None
    lining_mm: Annotated[float, Field(ge=0, le=500)] | None = None
    rating: Text | None = None
    revision: Text | None = None


class DemandTable(_Strict):
    """A demand of the fire strategy above the code's."""

    document: Text
    revision: Text
    storeys: list[Text] = []
    roles: list[Annotated[BarrierRole, Word]] = []
    wall_types: list[Text] = []
    penetrations: list[PenetrationId] = []
    class_text: Annotated[str | None, Field(alias="class")] = None
    actuation: Annotated[list[Annotated[Actuation, Word]], Field(min_length=1)] | None = None


class LoweredTable(_Strict):
    """An override that lowers a requirement; every key of its answerability is needed."""

    penetrations: Annotated[list[PenetrationId], Field(min_length=1)]
    person: Text
    role: Text
    document: Text
    revision: Text
    on: Annotated[date, Field(alias="date")]
    why: Text
    class_text: Annotated[str | None, Field(alias="class")] = None
    actuation: Annotated[list[Annotated[Actuation, Word]], Field(min_length=1)] | None = None


class AcceptedTable(_Strict):
    """A value that a deviation accepts: what a finding has and needs, in its own words."""

    code: Text
    have: Text
    need: str


class DeviationTable(_Strict):
    """A deviation that a named person accepted; what `accepted` does not state is not accepted."""

    penetrations: Annotated[list[PenetrationId], Field(min_length=1)]
    codes: Annotated[list[Text], Field(min_length=1)]
    accepted: list[AcceptedTable] = []
    person: Text
    role: Text
    document: Text
    revision: Text
    on: Annotated[date, Field(alias="date")]
    conditions: str


class SubmittalTable(_Strict):
    """What a technical submittal came back with."""

    maker: Text
    product: Text
    wall_type: Text
    status: Annotated[SubmittalStatus, Word]
    content: str = ""
    person: Text
    role: Text
    document: Text
    on: Annotated[date, Field(alias="date")]
    comments: str = ""


class OrderOverrideTable(_Strict):
    """Dampers that a named person lets be ordered before their submittal is approved."""

    penetrations: Annotated[list[PenetrationId], Field(min_length=1)]
    person: Text
    role: Text
    document: Text
    on: Annotated[date, Field(alias="date")]
    why: Text
    product: Text | None = None


class PinTable(_Strict):
    """A choice made by hand."""

    penetration: PenetrationId
    installation: Text
    why: Text


class PartyTable(_Strict):
    """Facts that this job asks of another party than the usual one."""

    facts: Annotated[list[Text], Field(min_length=1)]
    ask: Annotated[Party, Word]


class ConfirmationTable(_Strict):
    """Somebody compared a data row with the document itself."""

    row: Text
    version: Annotated[int, Field(ge=1)]
    who: Text
    when: date
    copy_: Annotated[Text, Field(alias="copy")]


class DatesTable(_Strict):
    """The dates on which documents must stand."""

    order: date | None = None
    placed_on_market: date | None = None
    installation: date | None = None
    handover: date | None = None


class EscapeTable(_Strict):
    """What the fire strategy says of evacuation and alarm."""

    evacuation: Literal["unaided, all at once", "unaided, by compartment"] | None = None
    alarm_l1: bool | None = None


class TitleTable(_Strict):
    """What the title blocks of issued sheets say."""

    owner: Text | None = None
    project: Text | None = None
    department: Text | None = None
    drawn: Text | None = None
    checked: Text | None = None
    approved: Text | None = None


Tolerance = Annotated[float, Field(ge=0, le=200, allow_inf_nan=False)]


class TolerancesTable(_Strict):
    """How far things on this site may come out, each ± in millimetres."""

    opening_mm: Tolerance | None = None
    damper_mm: Tolerance | None = None
    position_mm: Tolerance | None = None
    centring_mm: Tolerance | None = None
    plumb_mm: Tolerance | None = None


class SketchesTable(_Strict):
    """How installation sheets are issued."""

    standard_details: bool = False


class JobTable(_Strict):
    """The whole of `brattice.toml`."""

    schema_: Annotated[Literal[1], Field(alias="schema")]
    name: Text
    jurisdiction: Text
    edition: Text
    as_of: date
    purpose: Literal["non-residential", "residential"]
    invented: bool = False
    schedules: list[Text] = []
    wall_type_sheets: list[Text] = []
    evidence: list[Text] = []
    maker_order: list[Text] = []
    model: list[ModelTable] = []
    rating: list[RatingTable] = []
    model_wall_types: dict[str, Text] = {}
    wall_type: list[WallTypeTable] = []
    escape: EscapeTable = EscapeTable()
    demand: list[DemandTable] = []
    lowered: list[LoweredTable] = []
    deviation: list[DeviationTable] = []
    pin: list[PinTable] = []
    party: list[PartyTable] = []
    submittal: list[SubmittalTable] = []
    order_override: list[OrderOverrideTable] = []
    dates: DatesTable = DatesTable()
    confirmation: list[ConfirmationTable] = []
    title_block: TitleTable = TitleTable()
    site_tolerances: TolerancesTable = TolerancesTable()
    sketches: SketchesTable = SketchesTable()
