# SPDX-License-Identifier: Apache-2.0
"""The one place that reads the clock: below the commands time is an argument.

SOURCE_DATE_EPOCH and `--as-of` freeze it.
"""

from __future__ import annotations

import os
from datetime import UTC, date, datetime

from brattice.errors import UsageError

__all__ = ["now", "stamp_of", "the_date"]


def now() -> datetime:
    """The time in UTC: that of SOURCE_DATE_EPOCH where it is set, else the clock's. Raises `UsageError`."""
    text = os.environ.get("SOURCE_DATE_EPOCH", "").strip()
    if not text:
        return datetime.now(UTC)
    try:
        return datetime.fromtimestamp(int(text), UTC)
    except (ValueError, OverflowError, OSError) as error:
        raise UsageError(f"SOURCE_DATE_EPOCH is {text!r}; expected a whole number of seconds") from error


def the_date(as_of: str | None) -> date:
    """The date that `--as-of` says, else today's by `now`. Raises `UsageError`."""
    if as_of is None:
        return now().date()
    try:
        return date.fromisoformat(as_of)
    except ValueError as error:
        raise UsageError(f"--as-of is {as_of!r}; expected a date like 2026-03-01") from error


def stamp_of(as_of: date | None) -> datetime:
    """The one time that goes into a file: midnight of the as-of date where one is given, else `now`."""
    return now() if as_of is None else datetime(as_of.year, as_of.month, as_of.day, tzinfo=UTC)
