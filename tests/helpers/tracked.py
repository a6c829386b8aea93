# SPDX-License-Identifier: Apache-2.0
"""The sample report with a tracker: what people say of it, and which findings follow by docs/tracker.md."""

from __future__ import annotations

from datetime import date

from brattice.building.ledger import FoundPlace, LedgerEntry
from brattice.register.stages import Remark, Stage, StageEvent, StageStep
from brattice.usecases.report_model import Report
from brattice.usecases.tracking import facts_rested_on, with_tracker
from tests.helpers.reports import sample_report

__all__ = ["EVENTS", "EXPECTED", "RETIRED", "tracked_report"]

TAKEN = date(2026, 8, 1)
RETIRED = "P-0040"


def _said(name: str, about: Stage, on: date, who: str, facts: tuple[tuple[str, str], ...] = ()) -> StageEvent:
    return StageEvent(name, about, StageStep.SAID, TAKEN, on, who, "", facts)


def _kept(name: str, about: Remark, text: str) -> StageEvent:
    return StageEvent(name, about, StageStep.SAID, TAKEN, text=text)


_BUYER, _FITTER = "B. Buyer (invented)", "F. Fitter (invented)"

EVENTS: tuple[StageEvent, ...] = (
    # Within scope, and done in order but for the name of who ordered.
    _said("P-0001", Stage.APPROVED, date(2026, 3, 2), "R. Engineer (invented)"),
    _said("P-0001", Stage.ORDERED, date(2026, 3, 9), ""),
    _kept("P-0001", Remark.ZONE, "East core"),
    # Outside scope, and ordered.
    _said("P-0002", Stage.APPROVED, date(2026, 3, 2), "R. Engineer (invented)"),
    _said("P-0002", Stage.ORDERED, date(2026, 3, 9), _BUYER),
    # Not enough known: delivered, by two people on two days.
    _said("P-0003", Stage.DELIVERED, date(2026, 4, 20), _BUYER),
    _said("P-0003", Stage.DELIVERED, date(2026, 4, 21), _FITTER),
    # Within scope if: sealed before it was fixed, and the changes are still to be made. It is built in with cleats, so
    # no framed opening is asked for.
    _said("P-0006", Stage.FIXED, date(2026, 5, 6), _FITTER),
    _said("P-0006", Stage.SEALED, date(2026, 5, 4), _FITTER),
    _kept("P-0006", Remark.NOTE, "crane by the stair"),
    # Within scope, approved when the damper was another size.
    _said("P-0007", Stage.APPROVED, date(2026, 3, 2), "R. Engineer (invented)", (("damper size", "650 × 450"),)),
    # No source has it any more.
    _said(RETIRED, Stage.APPROVED, date(2026, 3, 2), "R. Engineer (invented)"),
)

EXPECTED: dict[str, set[str]] = {
    "P-0001": {"stage-who-fails"},
    "P-0002": {"stage-judgment-fails"},
    "P-0003": {"stage-judgment-fails", "stage-twice-fails"},
    "P-0006": {"stage-judgment-fails", "stage-order-fails"},
    "P-0007": {"stage-facts-fails"},
    RETIRED: {"stage-retired-fails"},
}
"""The codes that follow from the table of docs/tracker.md."""


def tracked_report() -> Report:
    """The sample with its tracker."""
    retired = LedgerEntry(RETIRED, FoundPlace("schedule:FD/40", "Level 1", reference="FD/40"), retired=True)
    report = sample_report()
    size = dict(facts_rested_on(report.penetrations[6].penetration))["damper size"]
    assert size != "650 × 450"
    return with_tracker(report, EVENTS, [retired])
