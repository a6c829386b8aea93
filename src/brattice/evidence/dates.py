# SPDX-License-Identifier: Apache-2.0
"""The dates of a job on which the documents of its dampers must stand."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

__all__ = ["NO_DATES", "KeyDates"]


@dataclass(frozen=True)
class KeyDates:
    """The dates on which documents must stand; None where the job does not say."""

    order: date | None = None
    placed_on_market: date | None = None
    installation: date | None = None
    handover: date | None = None


NO_DATES = KeyDates()
"""A job that states no date."""
