# SPDX-License-Identifier: Apache-2.0
"""Whether rules are held at all for a job, and how a wall's evidence and an edition stand on the job's date."""

from __future__ import annotations

from datetime import date

from brattice.building.wall_type import Rating
from brattice.findings import Fact, Known, Missing, Party, Reason, Verdict
from brattice.requirements.codes import WALL_EVIDENCE
from brattice.requirements.requirement import Rules
from brattice.rows import Row, RowBook

__all__ = ["PURPOSES", "editions", "later_editions", "rules_missing", "wall_evidence"]

PURPOSES = ("non-residential", "residential")
_EDITION = "england.edition."
_BS_476_ENDS = "england.bs476.fire-resistance-ends"
_TRANSITION = "england.transition.months"


def editions(book: RowBook) -> tuple[Row, ...]:
    """The rows of the editions that rules are held for, the earliest first."""
    return tuple(sorted(book.under(_EDITION), key=lambda row: (row.in_force_from or date.min, row.id)))


def _named(row: Row, edition: str) -> bool:
    return str(row.value).casefold().split() == edition.casefold().split()


def later_editions(rules: Rules, book: RowBook) -> tuple[Row, ...]:
    """Editions in force on the job's date that came after the one the job states."""
    held = [row for row in editions(book) if row.holds(rules.on, rules.jurisdiction)]
    mine = [place for place, row in enumerate(held) if _named(row, rules.edition)]
    return tuple(held[mine[0] + 1 :]) if mine else ()


def rules_missing(rules: Rules, book: RowBook) -> Missing | None:
    """None where rules are held for the job's jurisdiction, edition, date and purpose; else what is missing."""
    if book.find("england.methods", rules.on, rules.jurisdiction) is None or not rules.jurisdiction:
        name = rules.jurisdiction or "a jurisdiction that is not stated"
        return Missing("rules/jurisdiction", f"What is asked in {name}: no rules are held for it", Party.FIRE_ENGINEER)
    named = [row for row in editions(book) if _named(row, rules.edition)]
    if not named:
        held = "; ".join(str(row.value) for row in editions(book))
        text = f"What {rules.edition or 'an edition that is not stated'} asks: rules are held for {held}"
        return Missing("rules/edition", text, Party.FIRE_ENGINEER)
    if not any(row.holds(rules.on, rules.jurisdiction) for row in named):
        text = f"What is asked on {rules.on.isoformat()}: {rules.edition} is not in force on that date"
        return Missing("rules/date", text, Party.FIRE_ENGINEER)
    if rules.purpose not in PURPOSES:
        text = f"What the building is for: {rules.purpose or 'nothing'} is stated, {' or '.join(PURPOSES)} is needed"
        return Missing("rules/purpose", text, Party.FIRE_ENGINEER)
    return None


def wall_evidence(rating: Fact[Rating], rules: Rules, book: RowBook) -> Reason | None:
    """How a rating by BS 476 stands on the job's date: a note before it ends, to be asked after; None for others.

    The damper's own class was European all along; this is about the barrier it stands in (trade handbook row 4.36).
    """
    if not isinstance(rating, Known) or "BS476" not in rating.value.text.upper().replace(" ", ""):
        return None
    ends_row = book.need(_BS_476_ENDS, rules.on, rules.jurisdiction)
    transition = book.need(_TRANSITION, rules.on, rules.jurisdiction)
    ends = date.fromisoformat(str(ends_row.value))
    rows = (ends_row.id, transition.id)
    have, need = rating.value.text, f"taken until {ends.isoformat()}, not from that day on"
    if rules.on < ends:
        text = f"{ends_row.paraphrase} Before that date it stands; work that starts late should not count on it."
        return Reason(f"{WALL_EVIDENCE}-note", Verdict.NOT_APPLICABLE, text, have, need, rows, (), (rating.origin,))
    missing = Missing(
        "rules/transition",
        f"Whether notice or full plans were given before {ends.isoformat()} and the work sufficiently progressed "
        f"(within {transition.value} {transition.unit}), so that BS 476 evidence still stands",
        Party.BUILDING_CONTROL,
    )
    return Reason(WALL_EVIDENCE, Verdict.UNKNOWN, ends_row.paraphrase, have, need, rows, (missing,), (rating.origin,))
