# SPDX-License-Identifier: Apache-2.0
"""The installation at a penetration: what may be done with it, its numbers with their trace, steps, what to settle."""

from __future__ import annotations

from dataclasses import dataclass

from brattice.details.detail import InstallationDetail, Standing
from brattice.details.figures import Figure
from brattice.findings import Missing, Party, Verdict
from brattice.orders.words import without_id
from brattice.sketch.tables import numbered
from brattice.web.office import Detailed, RowPassport

__all__ = ["AskedOf", "FigureGroup", "FigureLine", "InstallationPart", "installation_of"]

_OPEN = 2
_HOLDS = {
    Verdict.PASS: "holds",
    Verdict.FAIL: "does not hold",
    Verdict.UNKNOWN: "not known",
    Verdict.NOT_APPLICABLE: "",
}


@dataclass(frozen=True)
class FigureLine:
    """A figure with its number on the sheet (0: none), how it stands against its limit in a word, and the values that
    it rests on.
    """

    number: int
    figure: Figure
    holds: str
    rows: tuple[RowPassport, ...]

    @property
    def is_bare(self) -> bool:
        """Whether nothing is told of where it comes from."""
        of = self.figure
        return not (of.formula or of.uses or of.missing or of.note or self.rows)


@dataclass(frozen=True)
class FigureGroup:
    """Figures that are read together; `is_open` shows them without being asked."""

    words: str
    lines: tuple[FigureLine, ...]
    to_settle: int
    is_open: bool


@dataclass(frozen=True)
class AskedOf:
    """What is missing and asked of one party, in words without the id of the penetration."""

    party: Party
    texts: tuple[str, ...]


@dataclass(frozen=True)
class InstallationPart:
    """The section of one installation; `sketch` is the address of its sheet, "" where it is not drawn.

    `is_needed` is false where no damper belongs: then nothing of it is shown but why.
    """

    detail: InstallationDetail
    is_needed: bool
    groups: tuple[FigureGroup, ...]
    neighbours: tuple[tuple[str, FigureLine], ...]
    asked: tuple[AskedOf, ...]
    sketch: str
    best_opening: str


def _line(number: int, figure: Figure, detailed: Detailed) -> FigureLine:
    holds = _HOLDS[figure.verdict] if figure.limit or figure.verdict is Verdict.FAIL else ""
    return FigureLine(number, figure, holds, tuple(detailed.passport(row) for row in figure.rows))


def _groups(detail: InstallationDetail, detailed: Detailed) -> tuple[FigureGroup, ...]:
    found: dict[str, list[FigureLine]] = {}
    for item in numbered(detail):
        found.setdefault(item.group, []).append(_line(item.number, item.figure, detailed))
    return tuple(
        FigureGroup(
            words,
            tuple(lines),
            sum(not line.figure.is_settled for line in lines),
            number < _OPEN or any(line.figure.verdict is Verdict.FAIL for line in lines),
        )
        for number, (words, lines) in enumerate(found.items())
    )


def asked_of(missing: tuple[Missing, ...], name: str) -> tuple[AskedOf, ...]:
    """What is missing, by the party that is asked."""
    found: dict[Party, list[str]] = {}
    for item in missing:
        found.setdefault(item.ask, []).append(without_id(item.text, name))
    return tuple(AskedOf(party, tuple(dict.fromkeys(texts))) for party, texts in sorted(found.items()))


def installation_of(detailed: Detailed, name: str, sketch: str, best_opening: str) -> InstallationPart:
    """The section of the installation at a penetration; `sketch` and `best_opening` are addresses."""
    detail = detailed.detail(name)
    needed = name not in detailed.schedules.builders_work.without_damper
    return InstallationPart(
        detail=detail,
        is_needed=needed,
        groups=_groups(detail, detailed) if needed else (),
        neighbours=tuple(
            (", ".join(text for text in (item.kind, item.side) if text), _line(0, item.clear, detailed))
            for item in detail.neighbours
        ),
        asked=asked_of(detail.to_settle, name) if needed else (),
        sketch="" if detail.standing is Standing.NOT_DRAWN else sketch,
        best_opening=best_opening if detail.tested is not None and needed else "",
    )
