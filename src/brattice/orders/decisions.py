# SPDX-License-Identifier: Apache-2.0
"""What people decided about technical submittals, and orders that somebody lets go out before.

A technical submittal says what is to be built of which product in which wall type; whoever answers for the design
sends it back with a status. The three letters are general construction practice, not of this project.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from brattice.building.words import plain

__all__ = ["OrderOverride", "SubmittalDecision", "SubmittalStatus", "decision_of", "override_of", "standing_on"]


class SubmittalStatus(StrEnum):
    """What a submittal came back with (common practice)."""

    APPROVED = "A"
    WITH_COMMENTS = "B"
    REJECTED = "C"

    @property
    def words(self) -> str:
        """The letter with what it means."""
        meaning = {"A": "approved", "B": "approved with comments", "C": "rejected, to be submitted again"}
        return f"{self.value} ({meaning[self.value]})"

    @property
    def may_order(self) -> bool:
        """Whether what it is about may be ordered."""
        return self is not SubmittalStatus.REJECTED


@dataclass(frozen=True)
class SubmittalDecision:
    """What a named person decided of the submittal of one product in one wall type, on a document and a date.

    `content` is the mark of the content that was decided on (`orders.approval`), "" where nobody says.
    """

    maker: str
    product: str
    wall_type: str
    status: SubmittalStatus
    person: str
    role: str
    document: str
    on: date
    comments: str = ""
    content: str = ""

    @property
    def text(self) -> str:
        """The decision on one line: status, date, person and role, document."""
        return f"{self.status.words}, {self.on.isoformat()}, {self.person}, {self.role}, {self.document}"


@dataclass(frozen=True)
class OrderOverride:
    """A named person lets the dampers of named penetrations be ordered before their submittal is approved.

    With a `product` it is about that one alone: where another is chosen later, nobody has let it go out.
    """

    penetrations: tuple[str, ...]
    person: str
    role: str
    document: str
    on: date
    why: str
    product: str = ""

    @property
    def text(self) -> str:
        """Who lets it go out, on what, when and why; it is printed on every line of an order that rests on it."""
        about = f", for {self.product}" if self.product else ""
        return f"{self.person}, {self.role}, {self.document}, {self.on.isoformat()}{about}: {self.why}"


def standing_on(
    decisions: Iterable[SubmittalDecision], overrides: Iterable[OrderOverride], on: date
) -> tuple[tuple[SubmittalDecision, ...], tuple[OrderOverride, ...]]:
    """The decisions and overrides that stood on a date: one that came later decides nothing yet."""
    return tuple(item for item in decisions if item.on <= on), tuple(item for item in overrides if item.on <= on)


def decision_of(
    decisions: Iterable[SubmittalDecision], maker: str, product: str, wall_type: str
) -> SubmittalDecision | None:
    """The last decision about a product in a wall type, capitals and blanks aside; None where there is none.

    Of two on one day the worse one stands.
    """
    wanted = (plain(maker), plain(product), plain(wall_type))
    mine = [item for item in decisions if (plain(item.maker), plain(item.product), plain(item.wall_type)) == wanted]
    return max(mine, key=lambda item: (item.on, item.status.value, item.person, item.document), default=None)


def override_of(overrides: Iterable[OrderOverride], penetration_id: str, product: str) -> OrderOverride | None:
    """The last override that names a penetration and is about its product; None where there is none."""
    mine = [
        item
        for item in overrides
        if penetration_id in item.penetrations and (not item.product or plain(item.product) == plain(product))
    ]
    return max(mine, key=lambda item: (item.on, item.document, item.person), default=None)
