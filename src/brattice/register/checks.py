# SPDX-License-Identifier: Apache-2.0
"""What people say of a penetration, held against itself: order, dates, names, and the facts that it rests on.

What is said is never refused here and never changed: each check gives a reason that is shown.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date

from brattice.building.words import FixingFamily
from brattice.findings import Fact, Reason, Unknown, Verdict
from brattice.register.stages import Stage, StageEvent, StageStanding, StageStep, Track, spec_of

__all__ = ["BUILT_WITH_BARRIER", "StageDoubt", "check_stages", "event_words", "said_words", "standing_told"]

BUILT_WITH_BARRIER = (FixingFamily.BUILT_IN, FixingFamily.CAST_IN)
"""Families in which the barrier is built round the damper: there is no opening to check before (handbook 5.2)."""


@dataclass(frozen=True)
class StageDoubt:
    """One reason why what is said has to be looked at, and the stages that it is about."""

    reason: Reason
    stages: tuple[Stage, ...]


def _doubt(code: str, stages: Iterable[Stage], text: str, have: str, need: str) -> StageDoubt:
    named = set(stages)
    reason = Reason(code, Verdict.FAIL, text, have, need)
    return StageDoubt(reason, tuple(stage for stage in Stage if stage in named))


def event_words(event: StageEvent) -> str:
    """An entry in words: `"fixed on 2026-03-01 by A. Person"`."""
    if event.step is StageStep.TAKEN_BACK:
        return f"{event.about} taken back" + (f" by {event.who}" if event.who else "")
    on = f" on {event.on.isoformat()}" if event.on else ""
    return f"{event.about}{on}" + (f" by {event.who}" if event.who else "")


def said_words(track: Track, stages: Iterable[Stage]) -> str:
    """All that is said of some stages, in words, in the order of the job."""
    wanted = set(stages)
    return ", ".join(
        event_words(event) for standing in track.stages if standing.about in wanted for event in standing.said
    )


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _days(track: Track, stage: Stage) -> list[date]:
    return [event.on for event in track.standing(stage).said if event.on is not None]


def _order(track: Track) -> StageDoubt | None:
    """Each stage is held against those that go before it; where people differ, against all that they say."""
    wrong: list[str] = []
    missing: list[Stage] = []
    about: set[Stage] = set()
    for standing in track.stages:
        if not standing.said:
            continue
        stage = Stage(standing.about)
        spec, days = spec_of(stage), _days(track, stage)
        for before in spec.not_before:
            earlier = _days(track, before)
            if days and earlier and min(days) < max(earlier):
                wrong.append(f"{stage} on {min(days).isoformat()}, before {before} on {max(earlier).isoformat()}")
                about |= {stage, before}
        lacking = [before for before in spec.needs if not track.standing(before).said]
        if lacking:
            wrong.append(f"{stage} is said, but not {' nor '.join(lacking)}")
            missing += lacking
            about.add(stage)
    if not wrong:
        return None
    asked = [stage for stage in Stage if stage in missing]
    need = f"date and name of: {', '.join(asked)}" if asked else "the stages in the order of the job"
    return _doubt("stage-order", about, f"{_capital('; '.join(wrong))}.", said_words(track, Stage), need)


def _framed_opening(track: Track, fixing: Fact[FixingFamily]) -> StageDoubt | None:
    fixed, checked = track.standing(Stage.FIXED), track.standing(Stage.OPENING_CHECKED)
    if not fixed.said or checked.said:
        return None
    if not isinstance(fixing, Unknown) and fixing.value in BUILT_WITH_BARRIER:
        return None
    text = f"{_capital(said_words(track, [Stage.FIXED]))}, but nobody says that the framed opening was checked before."
    need = "date and name of who measured the framed opening"
    return _doubt("stage-framed-opening", [Stage.FIXED], text, "", need)


def _who(track: Track) -> StageDoubt | None:
    nameless = [Stage(item.about) for item in track.stages if any(not event.who for event in item.said)]
    if not nameless:
        return None
    text = f"Nobody is named for: {', '.join(nameless)}."
    return _doubt("stage-who", nameless, text, said_words(track, nameless), "a name")


def _twice(track: Track) -> StageDoubt | None:
    differing = [standing for standing in (*track.stages, track.zone) if standing.differs]
    if not differing:
        return None
    told = [f"{item.about}: {' or '.join(_told(event) for event in _each(item.standing))}" for item in differing]
    stages = [standing.about for standing in differing if isinstance(standing.about, Stage)]
    text = f"Said otherwise by different people. {_capital('; '.join(told))}."
    return _doubt("stage-twice", stages, text, "", "the right one typed in the tracker; it takes the place of all")


def _each(events: Iterable[StageEvent]) -> list[StageEvent]:
    """The entries by what they say, each once."""
    found = {(event.on or date.min, event.step, event.who, event.text): event for event in events}
    return [found[key] for key in sorted(found)]


def standing_told(standing: StageStanding) -> str:
    """Where a stage stands, in words: `"2026-03-01 by A. Person"`, or all that people say; "" where it is not said."""
    if not standing.said:
        return ""
    return " or ".join(_told(event) for event in _each(standing.standing))


def _told(event: StageEvent) -> str:
    if event.step is StageStep.TAKEN_BACK:
        return "taken back" + (f" by {event.who}" if event.who else "")
    if event.on is None:
        return event.text
    words = event.on.isoformat() + (f" by {event.who}" if event.who else "")
    return f"{words} ({event.text})" if event.text else words


def _late(track: Track, on: date) -> StageDoubt | None:
    late = [event for standing in track.stages for event in standing.said if event.on is not None and event.on > on]
    if not late:
        return None
    text = f"{_capital(', '.join(map(event_words, late)))}: after {on.isoformat()}, the date that is judged for."
    stages = [Stage(event.about) for event in late]
    return _doubt("stage-date", stages, text, "", f"a date of {on.isoformat()} or before")


def _changes(event: StageEvent, now: Mapping[str, str]) -> tuple[str, ...]:
    """What a stage rests on and is otherwise now; what was not known then is no change."""
    return tuple(
        f"the {name} was {value}, now it is {now.get(name) or 'not known'}"
        for name, value in event.rests_on
        if value and value != now.get(name, "")
    )


def _facts(track: Track, now: Mapping[str, str]) -> list[StageDoubt]:
    """One reason for all stages that the same changes meet."""
    met: dict[tuple[str, ...], dict[str, Stage]] = {}
    for standing in track.stages:
        for event in sorted(standing.standing, key=lambda item: (item.on or date.min, item.entry)):
            changes = _changes(event, now)
            if event.step is StageStep.SAID and changes:
                met.setdefault(changes, {})[event_words(event)] = Stage(standing.about)
    need = "whoever said it to look again, and to say it anew, confirm it or take it back"
    return [
        _doubt(
            "stage-facts", words.values(), f"{_capital(', '.join(words))}. Since then: {'; '.join(changes)}.", "", need
        )
        for changes, words in met.items()
    ]


def check_stages(
    track: Track, *, facts: Mapping[str, str], fixing: Fact[FixingFamily], on: date
) -> tuple[StageDoubt, ...]:
    """Every reason why what is said of a penetration has to be looked at.

    Parameters
    ----------
    track : what people say
    facts : what stages rest on, as it is now, by the names of `RestsOn`; "" or no entry where it is not known
    fixing : the fixing family
    on : the date that is judged for
    """
    found = [_late(track, on), _framed_opening(track, fixing), _order(track), _twice(track), _who(track)]
    return (*(doubt for doubt in found if doubt is not None), *_facts(track, facts))
