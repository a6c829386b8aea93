# SPDX-License-Identifier: Apache-2.0
"""Entries of a tracker for tests, said in few words."""

from __future__ import annotations

from datetime import date

from brattice.register.stages import About, Stage, StageEvent, StageStep, Track, tracks_of

__all__ = ["ID", "TAKEN", "back", "day", "said", "track"]

ID = "P-0001"
TAKEN = date(2026, 9, 1)


def day(number: int) -> date:
    """A day of March 2026."""
    return date(2026, 3, number)


def said(
    about: About,
    on: date | None,
    who: str = "A. Fitter (invented)",
    *,
    text: str = "",
    facts: dict[str, str] | None = None,
    over: tuple[StageEvent, ...] = (),
    name: str = ID,
) -> StageEvent:
    """An entry that says a stage (or a zone or note); it takes the place of those it is typed `over`."""
    replaces = tuple(sorted(event.entry for event in over))
    by = who if isinstance(about, Stage) else ""
    return StageEvent(name, about, StageStep.SAID, TAKEN, on, by, text, tuple(sorted((facts or {}).items())), replaces)


def back(event: StageEvent, who: str = "B. Clerk (invented)") -> StageEvent:
    """An entry that takes another back."""
    return StageEvent(event.penetration, event.about, StageStep.TAKEN_BACK, TAKEN, who=who, replaces=(event.entry,))


def track(*events: StageEvent) -> Track:
    """The track of the one penetration."""
    return tracks_of(events, [ID])[ID]
