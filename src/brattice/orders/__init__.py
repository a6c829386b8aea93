# SPDX-License-Identifier: Apache-2.0
"""What leaves for others: order schedule, builders' work, technical submittals, cause and effect."""

from brattice.orders.builders_work import BuildersWork, BuildersWorkRow, OpeningState, builders_work
from brattice.orders.cause_effect import CauseEffect, CauseEffectRow, Point, PointTrade, cause_and_effect
from brattice.orders.compare import ChangeKind, OrderChange, compare_orders, mark_of
from brattice.orders.decisions import OrderOverride, SubmittalDecision, SubmittalStatus
from brattice.orders.orders import Held, HeldKind, HeldReason, OrderLine, OrderSchedule, order_schedule
from brattice.orders.overlay import Overlay, OverlayOpening, overlays
from brattice.orders.submittal import AskedHere, Submittal, Submittals, submittals
from brattice.orders.too_near import ShiftStanding, TooNearGroup

__all__ = [
    "AskedHere",
    "BuildersWork",
    "BuildersWorkRow",
    "CauseEffect",
    "CauseEffectRow",
    "ChangeKind",
    "Held",
    "HeldKind",
    "HeldReason",
    "OpeningState",
    "OrderChange",
    "OrderLine",
    "OrderOverride",
    "OrderSchedule",
    "Overlay",
    "OverlayOpening",
    "Point",
    "PointTrade",
    "ShiftStanding",
    "Submittal",
    "SubmittalDecision",
    "SubmittalStatus",
    "Submittals",
    "TooNearGroup",
    "builders_work",
    "cause_and_effect",
    "compare_orders",
    "mark_of",
    "order_schedule",
    "overlays",
    "submittals",
]
