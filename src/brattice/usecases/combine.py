# SPDX-License-Identifier: Apache-2.0
"""One fact from several sources: they agree, one of them speaks, none does, or they contradict each other.

A contradiction is never settled by taking one of the two: the fact becomes unknown, and the question names both.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any, TypeVar

from brattice.building.penetration import Sides, Size
from brattice.building.wall_type import Rating
from brattice.findings import Fact, Known, Missing, Party, Reason, Unknown, Verdict
from brattice.usecases.fact_questions import fact_question
from brattice.usecases.facts import label_of, value_text

__all__ = ["AGREE_MM", "SOURCES", "Merging", "agree"]

T = TypeVar("T")

SOURCES = "/sources"
"""The end of the key of a contradiction between sources."""

AGREE_MM = 1.0
"""Two sources that give a length within this of each other [mm] say the same (our own policy: sheets round)."""


def agree(one: object, other: object) -> Verdict:
    """PASS where two values say the same: lengths within `AGREE_MM`, words without regard to case; else FAIL."""
    if isinstance(one, Size) and isinstance(other, Size):
        same = agree(one.width_mm, other.width_mm) is Verdict.PASS and one.is_round == other.is_round
        heights = one.height_mm, other.height_mm
        if heights[0] is not None and heights[1] is not None:
            same = same and agree(heights[0], heights[1]) is Verdict.PASS
        return Verdict.PASS if same else Verdict.FAIL
    if isinstance(one, Sides) and isinstance(other, Sides):
        pairs = zip(_sides(one), _sides(other), strict=True)
        return Verdict.PASS if all(agree(a, b) is Verdict.PASS for a, b in pairs) else Verdict.FAIL
    if isinstance(one, Rating) and isinstance(other, Rating):
        same = one.integrity_min == other.integrity_min and one.insulation_min == other.insulation_min
        return Verdict.PASS if same else Verdict.FAIL
    if isinstance(one, float | int) and isinstance(other, float | int) and not isinstance(one, bool):
        return Verdict.PASS if abs(one - other) <= AGREE_MM else Verdict.FAIL
    if type(one) is str and type(other) is str:
        return Verdict.PASS if one.casefold().split() == other.casefold().split() else Verdict.FAIL
    return Verdict.PASS if one == other else Verdict.FAIL


def _sides(sides: Sides) -> tuple[float, float, float, float]:
    return sides.left_mm, sides.right_mm, sides.top_mm, sides.bottom_mm


@dataclass
class Merging:
    """Collects what merging one penetration's sources found; `id` names the penetration in keys and texts.

    `answered` are facts from answers to queries by the key of the missing fact; each is one more source, the last.
    """

    id: str
    reasons: list[Reason] = field(default_factory=list)
    answered: Mapping[str, Known[Any]] = field(default_factory=dict)

    def fact(
        self,
        name: str,
        sources: Iterable[Fact[T] | None],
        ask: Party,
        *,
        key: str = "",
        text: str = "",
        same: Callable[[Any, Any], Verdict] = agree,
    ) -> Fact[T]:
        """The fact that the sources give together; the first source that knows it gives value and origin.

        `name` is the field's name; `key` and `text` name the missing fact where it isn't the penetration's own.
        """
        own = f"penetration/{self.id}/{name.replace('_', '-')}"
        given = (*sources, self.answered.get(own))
        for item in given:
            if isinstance(item, Unknown) and item.missing.key.endswith(SOURCES):
                return item  # one source contradicts itself already: no other settles that
        known = [item for item in given if isinstance(item, Known)]
        key = key or own
        label = label_of(name)
        if not known:
            return Unknown(Missing(key, text or fact_question(name, self.id), ask))
        first = known[0]
        other = next((item for item in known[1:] if same(first.value, item.value) is not Verdict.PASS), None)
        if other is None:
            return first
        missing = Missing(
            f"{own}{SOURCES}",  # another question than what the value is: it is settled in a source, not by a value
            f"Which {label} of {self.id} is right: {value_text(first.value, name)} ({first.origin}) or "
            f"{value_text(other.value, name)} ({other.origin})",
            ask,
        )
        self.reasons.append(
            Reason(
                "sources",
                Verdict.UNKNOWN,
                f"Two sources contradict each other about the {label}.",
                f"{value_text(first.value, name)} and {value_text(other.value, name)}",
                "one value",
                (),
                (missing,),
                (first.origin, other.origin),
            )
        )
        return Unknown(missing)
