# SPDX-License-Identifier: Apache-2.0
"""The stages of the job at a penetration: what people say was done, when and by whom, and all they ever said.

What people say is a set of entries that only grows. An entry says one stage (or takes it back) and names the entries
that it takes the place of, as its writer saw them; where a stage stands is read from the entries that no other takes
the place of. So it makes no difference in which order sheets come in, and a sheet that is out of date can add what is
typed in it but never undo what was said since: then two entries stand beside each other, and that is shown.

The order of the stages follows the sequences of the installation families (trade handbook row 5.2, common practice).
"""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from functools import cached_property

from brattice.building.ledger import id_number

__all__ = [
    "ENTRY_FORM",
    "STAGES",
    "About",
    "Remark",
    "RestsOn",
    "Stage",
    "StageEvent",
    "StageSpec",
    "StageStanding",
    "StageStep",
    "Track",
    "spec_of",
    "standing_entries",
    "tracks_of",
]

ENTRY_FORM = re.compile(r"E-[0-9a-f]{12}\Z", re.ASCII)
"""How the code of an entry is written."""


class Stage(StrEnum):
    """The stages of the job at one penetration, in the order of the job."""

    APPROVED = "approved"
    ORDERED = "ordered"
    DELIVERED = "delivered"
    OPENING_CHECKED = "framed opening checked"
    FIXED = "fixed"
    SEALED = "sealed"
    INSPECTED = "inspected"
    TESTED = "tested"
    HANDED_OVER = "handed over"


class Remark(StrEnum):
    """What else people type about a penetration."""

    ZONE = "zone"
    NOTE = "note"


About = Stage | Remark
"""What an entry is about."""


class StageStep(StrEnum):
    """What an entry does."""

    SAID = "said"
    TAKEN_BACK = "taken back"


class RestsOn(StrEnum):
    """The facts that a stage rests on: where one changes afterwards, the stage has to be looked at again."""

    MAKER = "maker"
    PRODUCT = "product"
    DAMPER_SIZE = "damper size"
    DUCT_SIZE = "duct size"
    CLASS = "class scheduled"
    ACTUATION = "actuation"
    WALL_TYPE = "wall type"
    THICKNESS = "barrier thickness"
    RATING = "barrier rating"
    FRAMED = "framed opening"
    FINISHED = "finished clear opening"
    FIXING = "fixing"
    SEAL = "seal products"


@dataclass(frozen=True)
class StageSpec:
    """One stage: what it says, which stages it is never dated before, which must be said with it, what it rests on."""

    stage: Stage
    meaning: str
    not_before: tuple[Stage, ...]
    needs: tuple[Stage, ...]
    rests_on: tuple[RestsOn, ...]


_BOUGHT = (
    RestsOn.MAKER,
    RestsOn.PRODUCT,
    RestsOn.DAMPER_SIZE,
    RestsOn.DUCT_SIZE,
    RestsOn.CLASS,
    RestsOn.ACTUATION,
    RestsOn.WALL_TYPE,
    RestsOn.THICKNESS,
    RestsOn.RATING,
)
_FORMED = (
    RestsOn.DAMPER_SIZE,
    RestsOn.DUCT_SIZE,
    RestsOn.WALL_TYPE,
    RestsOn.THICKNESS,
    RestsOn.FRAMED,
    RestsOn.FINISHED,
)
_BUILT = (*_BOUGHT, RestsOn.FRAMED, RestsOn.FINISHED, RestsOn.FIXING)

STAGES: tuple[StageSpec, ...] = (
    StageSpec(Stage.APPROVED, "The technical submittal for this penetration is approved.", (), (), _BOUGHT),
    StageSpec(Stage.ORDERED, "The damper is ordered.", (Stage.APPROVED,), (Stage.APPROVED,), _BOUGHT),
    StageSpec(Stage.DELIVERED, "The damper is on site and is the one that was ordered.", (Stage.ORDERED,), (), _BOUGHT),
    StageSpec(
        Stage.OPENING_CHECKED,
        "The framed opening, and the finished clear opening where it is lined, was measured on site before the damper "
        "went in.",
        (),
        (),
        _FORMED,
    ),
    StageSpec(
        Stage.FIXED,
        "The damper is fixed as its maker's tested instructions say.",
        (Stage.DELIVERED, Stage.OPENING_CHECKED),
        (),
        _BUILT,
    ),
    StageSpec(
        Stage.SEALED,
        "The penetration seal is in.",
        (Stage.FIXED,),
        (Stage.FIXED,),
        (*_BUILT, RestsOn.SEAL),
    ),
    StageSpec(
        Stage.INSPECTED,
        "Fixing and seal were inspected and signed off before they were hidden.",
        (Stage.FIXED, Stage.SEALED),
        (Stage.FIXED, Stage.SEALED),
        (*_BUILT, RestsOn.SEAL),
    ),
    StageSpec(
        Stage.TESTED,
        "The completion test was passed: the damper closed, and was set open again.",
        (Stage.FIXED,),
        (Stage.FIXED,),
        _BUILT,
    ),
    StageSpec(
        Stage.HANDED_OVER,
        "The record of this penetration was handed over.",
        (Stage.INSPECTED, Stage.TESTED),
        (Stage.INSPECTED, Stage.TESTED),
        (*_BUILT, RestsOn.SEAL),
    ),
)
"""In the order of the job. Same day is never "before"."""

_SPECS = {spec.stage: spec for spec in STAGES}


def spec_of(stage: Stage) -> StageSpec:
    """The line of a stage in the table."""
    return _SPECS[stage]


@dataclass(frozen=True)
class StageEvent:
    """One entry. `on` is the date of a stage that is said; `text` its document or note, or the zone or note itself.

    `who` did it (or takes it back). `rests_on` are the facts as (name, value) that stood on the sheet when it was
    typed. `replaces` are the entries that it takes the place of. `taken` is the day on which it was taken on; it is no
    part of what is said.
    """

    penetration: str
    about: About
    step: StageStep
    taken: date
    on: date | None = None
    who: str = ""
    text: str = ""
    rests_on: tuple[tuple[str, str], ...] = ()
    replaces: tuple[str, ...] = ()

    @cached_property
    def entry(self) -> str:
        """The code of the entry, made from all that it says: the same said twice is one entry."""
        said = [
            self.penetration,
            self.about.value,
            self.step.value,
            self.on.isoformat() if self.on else "",
            self.who,
            self.text,
            sorted(list(pair) for pair in self.rests_on),
            sorted(self.replaces),
        ]
        return f"E-{hashlib.sha256(json.dumps(said).encode('ascii')).hexdigest()[:12]}"


@dataclass(frozen=True)
class StageStanding:
    """Where one stage (or zone, or note) of a penetration stands: the entries that no other takes the place of."""

    about: About
    standing: tuple[StageEvent, ...]

    @cached_property
    def entries(self) -> tuple[str, ...]:
        """The codes of the entries that stand, sorted."""
        return tuple(sorted(event.entry for event in self.standing))

    @cached_property
    def said(self) -> tuple[StageEvent, ...]:
        """The entries that say it, each date and person once, by date; none where it is not said."""
        found = {
            (event.on or date.min, event.who, event.text): event
            for event in sorted(self.standing, key=lambda item: item.entry, reverse=True)
            if event.step is StageStep.SAID
        }
        return tuple(found[key] for key in sorted(found))

    @cached_property
    def differs(self) -> bool:
        """Whether people say it otherwise than each other: another date, person or text, or somebody takes it back."""
        steps = {event.step for event in self.standing}
        return len(self.said) > 1 or len(steps) > 1

    @property
    def single(self) -> StageEvent | None:
        """The one entry that says it; None where none does or where people differ."""
        return self.said[0] if self.said and not self.differs else None


@dataclass(frozen=True)
class Track:
    """All that people said of one penetration. `stages` are all of `Stage`, in order, said or not."""

    penetration: str
    stages: tuple[StageStanding, ...]
    zone: StageStanding
    note: StageStanding

    def standing(self, about: About) -> StageStanding:
        """Where a stage, the zone or the note stands."""
        return next(item for item in (*self.stages, self.zone, self.note) if item.about is about)

    @property
    def is_said(self) -> bool:
        """Whether any stage is said."""
        return any(item.said for item in self.stages)


def standing_entries(events: Iterable[StageEvent]) -> dict[tuple[str, About], tuple[StageEvent, ...]]:
    """The entries that no other takes the place of, by penetration and what they are about.

    The order in which entries were made does not matter. Entries that can't be (one twice, one that takes the place of
    an entry that is not there or is about something else) are a `ValueError` that says which.
    """
    by_code: dict[str, StageEvent] = {}
    for event in events:
        id_number(event.penetration)
        if event.entry in by_code:
            raise ValueError(f"{event.entry} stands twice")
        by_code[event.entry] = event
    replaced: set[str] = set()
    for event in by_code.values():
        for code in event.replaces:
            before = by_code.get(code)
            if before is None:
                raise ValueError(f"{event.entry} takes the place of {code}, which is not there")
            if (before.penetration, before.about) != (event.penetration, event.about):
                raise ValueError(f"{event.entry} takes the place of {code}, which is about something else")
            replaced.add(code)
    found: dict[tuple[str, About], list[StageEvent]] = {}
    for code in sorted(by_code.keys() - replaced):
        event = by_code[code]
        found.setdefault((event.penetration, event.about), []).append(event)
    return {key: tuple(group) for key, group in found.items()}


def tracks_of(events: Iterable[StageEvent], ids: Iterable[str] = ()) -> dict[str, Track]:
    """The track of each penetration that entries name, and of each of `ids`, by permanent id."""
    standing: Mapping[tuple[str, About], tuple[StageEvent, ...]] = standing_entries(events)
    names = {name for name, _ in standing} | set(ids)

    def of(name: str, about: About) -> StageStanding:
        return StageStanding(about, standing.get((name, about), ()))

    return {
        name: Track(name, tuple(of(name, stage) for stage in Stage), of(name, Remark.ZONE), of(name, Remark.NOTE))
        for name in sorted(names, key=id_number)
    }
