# SPDX-License-Identifier: Apache-2.0
"""What people typed in a tracker, held against what it showed them, becomes entries of the record.

Each cell is compared with what stood in it when the sheet was written, never with what is known now: so only what
somebody typed becomes an entry, in whichever order sheets come back, and a sheet that is out of date undoes nothing.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from brattice.errors import Fault
from brattice.register.checks import event_words
from brattice.register.stages import About, Remark, Stage, StageEvent, StageStanding, StageStep, spec_of, tracks_of

__all__ = [
    "CONFIRMED",
    "SAID_TWICE",
    "TAKEN_BACK",
    "Shown",
    "StagesTaken",
    "Typed",
    "shown_remark",
    "shown_stage",
    "take_stages",
]

TAKEN_BACK = "taken back"
"""Typed in place of a date (or of a zone or note): the entry does not hold."""

CONFIRMED = "confirmed"
"""Typed in place of a date: the entry holds, also for the facts as they are now."""

SAID_TWICE = "said twice"
"""Shown in place of a date where people differ."""

_LONGEST_NAME, _LONGEST_TEXT = 200, 2_000


@dataclass(frozen=True)
class Shown:
    """What a sheet or a page shows of one stage: the date, or `SAID_TWICE`, or None; and who."""

    on: date | str | None = None
    who: str = ""


@dataclass(frozen=True)
class Typed:
    """What stands in one place of a sheet or page that came back.

    `base` are the entries that it was written with, `facts` the facts that it showed, by the names of `RestsOn`. For a
    stage `on` is a date or a word of this module; `who` is the name, `text` the document or note. For a zone or note
    `text` is all; `given` is what the sheet showed there where no entry stood (a zone of the schedule).
    """

    file: str
    place: str
    penetration: str
    about: About
    base: tuple[str, ...] = ()
    on: date | str | None = None
    who: str = ""
    text: str = ""
    given: str = ""
    facts: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True)
class StagesTaken:
    """What taking gives: the entries to add, every fault (then nothing is to be added), and notes.

    `asks` are notes that somebody has to answer: a cell that was cleared, people who differ.
    """

    events: tuple[StageEvent, ...]
    faults: tuple[Fault, ...]
    asks: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()


def shown_stage(standing: StageStanding) -> Shown:
    """What a sheet shows of a stage: date and name, or `SAID_TWICE` and all that is said."""
    if standing.differs:
        told = ["taken back"] if any(item.step is StageStep.TAKEN_BACK for item in standing.standing) else []
        told += [f"{event.on.isoformat() if event.on else ''} {event.who}".strip() for event in standing.said]
        return Shown(SAID_TWICE, "; ".join(dict.fromkeys(told)))
    event = standing.single
    return Shown() if event is None else Shown(event.on, event.who)


def shown_remark(standing: StageStanding, given: str = "") -> str:
    """What a sheet shows as zone or note: all that people typed, else what is given."""
    texts = [event.text for event in standing.said]
    return " | ".join(dict.fromkeys(texts)) if texts else given


class _Cell:
    """One cell while it is taken."""

    def __init__(self, typed: Typed, base: StageStanding, received: date) -> None:
        self.typed, self.base, self.received = typed, base, received
        self.faults: list[Fault] = []
        self.cleared = False
        self.name = f"{typed.penetration} {typed.about}"

    def fault(self, found: str, expected: str) -> None:
        self.faults.append(Fault(self.typed.file, self.typed.place, f"{found} ({self.name})", expected))

    def event(self) -> StageEvent | None:
        """The entry that was typed; None where nothing was, or where something is wrong."""
        for text, most in ((self.typed.who, _LONGEST_NAME), (self.typed.text, _LONGEST_TEXT)):
            if len(text) > most and text not in {shown_stage(self.base).who, shown_remark(self.base)}:
                self.fault(f"a text of {len(text)} characters", f"at most {most}")
                return None
        return self._remark() if isinstance(self.typed.about, Remark) else self._stage(self.typed.about)

    def _made(
        self, step: StageStep, on: date | None, who: str, text: str, facts: tuple[tuple[str, str], ...] = ()
    ) -> StageEvent:
        typed = self.typed
        return StageEvent(
            typed.penetration, typed.about, step, self.received, on, who, text, facts, tuple(sorted(typed.base))
        )

    def _remark(self) -> StageEvent | None:
        typed, shown = self.typed, shown_remark(self.base, self.typed.given)
        if typed.text == shown:
            return None
        if not typed.text:
            self.cleared = bool(self.base.said)
            return None
        if typed.text.casefold() == TAKEN_BACK:
            if not self.base.said:
                self.fault(f"{TAKEN_BACK!r} where nothing stood", "it only where something is to be taken back")
                return None
            return self._made(StageStep.TAKEN_BACK, None, "", "")
        return self._made(StageStep.SAID, None, "", typed.text)

    def _stage(self, stage: Stage) -> StageEvent | None:
        typed, shown = self.typed, shown_stage(self.base)
        single = self.base.single
        text = typed.text or (single.text if single is not None else "")
        before = len(self.faults)
        same_name = typed.who == shown.who
        if typed.on == shown.on and same_name and (single is None or text == single.text):
            return None
        if typed.on is None:
            self._without_date(shown, same_name=same_name)
            return None
        if isinstance(typed.on, str):
            return self._word(typed.on, single, shown, stage)
        if typed.on > self.received:
            self.fault(
                f"the date {typed.on.isoformat()}, after {self.received.isoformat()}, the date on which it is taken",
                "the date on which it was done, not one that is planned (`--as-of` says another date to take it on)",
            )
        if self.base.differs and same_name:
            self.fault("a date beside the names of all who differ", "the one name that belongs to the date")
        if len(self.faults) > before:
            return None
        return self._made(StageStep.SAID, typed.on, typed.who, text, self._facts(stage))

    def _without_date(self, shown: Shown, *, same_name: bool) -> None:
        if shown.on is None or not (same_name or not self.typed.who):
            self.fault(f"the name {self.typed.who!r} without a date", f"the date of it, or {TAKEN_BACK!r} in its place")
        else:
            self.cleared = True

    def _word(self, word: str, single: StageEvent | None, shown: Shown, stage: Stage) -> StageEvent | None:
        who = self.typed.who
        if word == TAKEN_BACK:
            if not self.base.said:
                self.fault(f"{TAKEN_BACK!r} where nothing stood", "it only where something is to be taken back")
                return None
            return self._made(StageStep.TAKEN_BACK, None, "" if who == shown.who else who, self.typed.text)
        if word == CONFIRMED:
            if single is None:
                self.fault(f"{CONFIRMED!r} where no one date stood", "a date")
                return None
            return self._made(StageStep.SAID, single.on, who, self.typed.text or single.text, self._facts(stage))
        self.fault(f"{word!r}", f"a date, or {TAKEN_BACK!r}, or {CONFIRMED!r}")
        return None

    def _facts(self, stage: Stage) -> tuple[tuple[str, str], ...]:
        rests_on = {name.value for name in spec_of(stage).rests_on}
        return tuple(sorted((name, value) for name, value in self.typed.facts if name in rests_on and value))


def _lost(typed: Typed, by_code: Mapping[str, StageEvent], known: Collection[str]) -> Iterator[Fault]:
    """What shows that a sheet is not one of this job and its record."""
    where = (typed.file, typed.place)
    if typed.penetration not in known:
        yield Fault(*where, f"the id {typed.penetration!r}", "a permanent id of this job")
    for code in typed.base:
        event = by_code.get(code)
        if event is None or (event.penetration, event.about) != (typed.penetration, typed.about):
            yield Fault(
                *where,
                f"{typed.about} of {typed.penetration} written with the entry {code!r}, which tracker.csv has not",
                "a sheet that was written for this job; put tracker.csv back as it was",
            )


def take_stages(
    events: Sequence[StageEvent], typed: Iterable[Typed], received: date, known: Collection[str]
) -> StagesTaken:
    """Hold what came back against the record. The order of files, rows and runs does not matter; twice adds nothing.

    Parameters
    ----------
    events : the entries so far
    typed : what stands in the cells of all files, or the one thing that was typed on a page
    received : the day on which it is taken; no date may be after it
    known : all permanent ids of the job, retired ones too
    """
    by_code = {event.entry: event for event in events}
    now = tracks_of(events)
    added: dict[str, StageEvent] = {}
    faults: list[Fault] = []
    cleared: dict[str, str] = {}
    for item in sorted(typed, key=lambda one: (one.file, one.place, one.penetration, one.about.value)):
        lost = list(_lost(item, by_code, known))
        if lost:
            faults += lost
            continue
        base = StageStanding(item.about, tuple(by_code[code] for code in item.base))
        cell = _Cell(item, base, received)
        event = cell.event()
        faults += cell.faults
        if event is not None and event.entry not in by_code:
            added.setdefault(event.entry, event)
        track = now.get(item.penetration)
        if cell.cleared and track is not None and track.standing(item.about).said:
            cleared[f"{item.penetration} {item.about}"] = (
                f"{cell.name} was cleared and stays as it was; to take it back, write '{TAKEN_BACK}' in its place "
                f"({item.file}, {item.place})"
            )
    if faults:
        return StagesTaken((), tuple(sorted(set(faults))))
    new = tuple(sorted(added.values(), key=lambda event: (event.penetration, _order(event.about), event.entry)))
    after = tracks_of((*events, *new))
    differ: list[str] = []
    notes: list[str] = []
    for event in new:
        standing = after[event.penetration].standing(event.about)
        words = event_words(event) if isinstance(event.about, Stage) else f"{event.about}: {event.text or TAKEN_BACK}"
        if standing.differs and event.about is not Remark.NOTE:
            told = shown_stage(standing).who if isinstance(event.about, Stage) else shown_remark(standing)
            differ.append(f"{event.penetration} {event.about} is said twice: {told}; type the right one")
        if event.replaces:
            notes.append(f"{event.penetration}: {words}; takes the place of what stood there")
    return StagesTaken(new, (), (*cleared.values(), *dict.fromkeys(differ)), tuple(notes))


def _order(about: About) -> int:
    return [*Stage, *Remark].index(about)
