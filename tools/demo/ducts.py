# SPDX-License-Identifier: Apache-2.0
"""Ductwork as straight runs along an axis, cut into pieces where a damper sits. Millimetres.

A run names the penetrations on its way. From the positions of pieces and barriers the truth follows by arithmetic:
which pieces stand within which barrier, and where its middle is.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

__all__ = ["Box", "Gaps", "Piece", "Planned", "Run", "Section", "Stray", "pieces_of"]

AXES = "xyz"
SHORTEST = 1.0
"""A piece shorter than this is not worth making."""


@dataclass(frozen=True)
class Section:
    """Width and height of a duct's casing; a round one has its diameter as width and no height.

    Width is horizontal across the run; in a floor it runs along x.
    """

    width: float
    height: float | None = None

    @property
    def depth(self) -> float:
        """The height, or the diameter of a round one."""
        return self.width if self.height is None else self.height


@dataclass(frozen=True)
class Gaps:
    """Clear gap a side between duct and hole, seen along +x or +y; in a floor left to right is +x, bottom to top +y."""

    left: float
    right: float
    top: float
    bottom: float


@dataclass(frozen=True)
class Planned:
    """One penetration by construction: where it is, what passes, how it is meant to be installed.

    `tested` names the tested installation that it is designed to ("" for none). `stated` overrides cells of its
    schedule row, by column; `hole` overrides the gaps of the hole in the model (None: as designed).
    `opening_of` names another penetration whose hole this one shares. `shifted` is how far the damper's middle stands off
    the barrier's along the axis.
    """

    ref: str
    level: int
    barrier: str
    axis: str
    at: tuple[float, float, float]
    thickness: float
    section: Section
    system: str
    run: str
    words: str
    role: str
    spaces: tuple[str, str]
    method: str = "1 fire damper"
    tested: str = ""
    casing: float = 0
    shifted: float = 0
    has_hole: bool = True
    hole: Gaps | None = None
    round_hole: bool | None = None
    opening_of: str = ""
    stated: dict[str, object] = field(default_factory=dict)

    @property
    def has_damper(self) -> bool:
        """Whether the model has a damper here."""
        return self.casing > 0

    def state(self, **cells: object) -> Planned:
        """The same with cells of its schedule row overridden."""
        return replace(self, stated={**self.stated, **cells})


@dataclass(frozen=True)
class Stray:
    """A place that only needs settling: a duct that ends in a barrier, or passes above one that stops short.

    `at` is about where it is; `run` names the duct.
    """

    ref: str
    level: int
    barrier: str
    run: str
    reason: str
    at: tuple[float, float, float]


@dataclass(frozen=True)
class Run:
    """A straight duct, pipe or tray along `axis`; `at` are the other two coordinates in the order of x, y, z.

    `passes` are the references of the penetrations on its way. `flow` is 1 where the model says that the air flows with
    the axis, -1 where against it, 0 where it says nothing.
    """

    name: str
    system: str
    axis: str
    at: tuple[float, float]
    start: float
    end: float
    section: Section
    service: str = "duct"
    passes: tuple[str, ...] = ()
    ends_with: str = ""
    starts_with: str = ""
    level: int = 0
    flow: int = 0

    def point(self, along: float) -> tuple[float, float, float]:
        """The point of its axis at a coordinate."""
        a, b = self.at
        return {"x": (along, a, b), "y": (a, along, b), "z": (a, b, along)}[self.axis]


@dataclass(frozen=True)
class Piece:
    """One element of a run: from `start` to `end` along its axis."""

    name: str
    part: str
    run: Run
    start: float
    end: float
    section: Section
    tested: str = ""

    @property
    def origin(self) -> tuple[float, float, float]:
        """Where it begins."""
        return self.run.point(self.start)

    def meets(self, low: float, high: float) -> bool:
        """Whether it fills a part of the way between two coordinates along the axis."""
        return min(self.end, high) - max(self.start, low) > SHORTEST


@dataclass(frozen=True)
class Box:
    """Something that is only a box: an air handling unit, a hood."""

    name: str
    part: str
    system: str
    level: int
    low: tuple[float, float, float]
    high: tuple[float, float, float]


def pieces_of(run: Run, planned: Mapping[str, Planned]) -> list[Piece]:
    """The run cut at its dampers, with a terminal at the ends that ask for one; `planned` is by reference."""
    axis = AXES.index(run.axis)
    low, high = sorted((run.start, run.end))
    cuts: list[tuple[float, float, Planned]] = sorted(
        (
            (one.at[axis] + one.shifted - one.casing / 2, one.at[axis] + one.shifted + one.casing / 2, one)
            for one in (planned[ref] for ref in run.passes)
            if one.has_damper
        ),
        key=lambda cut: cut[0],
    )
    out: list[Piece] = []
    at = low
    for start, end, one in cuts:
        if start - at > SHORTEST:
            out.append(Piece(f"{run.name} part {len(out) + 1}", "segment", run, at, start, run.section))
        out.append(Piece(f"Damper {one.ref}", "damper", run, start, end, run.section, one.tested))
        at = end
    if high - at > SHORTEST:
        out.append(Piece(f"{run.name} part {len(out) + 1}", "segment", run, at, high, run.section))
    if run.ends_with:
        a, b = (high, high + 120) if run.end > run.start else (low - 120, low)
        out.append(Piece(f"{run.name} {run.ends_with}", "terminal", run, a, b, run.section))
    if run.starts_with:
        a, b = (low - 120, low) if run.end > run.start else (high, high + 120)
        out.append(Piece(f"{run.name} {run.starts_with} at the start", "terminal", run, a, b, run.section))
    return sorted(out, key=lambda piece: piece.start)
