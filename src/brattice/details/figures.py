# SPDX-License-Identifier: Apache-2.0
"""A number of an installation with everything it can be traced to: formula, source rows, facts; never a bare float."""

from __future__ import annotations

from dataclasses import dataclass

from brattice.findings import Missing, Origin, Verdict

__all__ = ["TO_BE_SETTLED", "Figure", "Used"]

TO_BE_SETTLED = "to be settled"
"""Stands wherever a number can't be told."""


@dataclass(frozen=True, slots=True)
class Used:
    """A fact that a number was made from: its name and value as people read them, and where it comes from."""

    name: str
    text: str
    origin: Origin | None = None


@dataclass(frozen=True, slots=True)
class Figure:
    """One number (or word) of an installation detail.

    `key` names it in the whole project ("finished-width", "rod-stress"). `text` is the one string that every output
    prints, with its unit; `TO_BE_SETTLED` where `value` is None and no word is stated. `formula` is the formula in
    letters, "" where the value is a fact itself. `limit` is what it is held against, "" for none; `verdict` is PASS
    only where a limit or a tested statement is met. `note` says for people what the number can't say.
    """

    key: str
    name: str
    value: float | None
    unit: str
    text: str
    formula: str = ""
    limit: str = ""
    verdict: Verdict = Verdict.NOT_APPLICABLE
    rows: tuple[str, ...] = ()
    uses: tuple[Used, ...] = ()
    missing: tuple[Missing, ...] = ()
    note: str = ""

    @property
    def is_settled(self) -> bool:
        """Whether the figure says something that may be built or ordered by."""
        return self.text != TO_BE_SETTLED and self.verdict is not Verdict.UNKNOWN
