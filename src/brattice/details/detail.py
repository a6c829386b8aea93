# SPDX-License-Identifier: Apache-2.0
"""One installation in numbers and steps: what the sketch draws, the order orders and the builder builds.

Sketch, orders, builders' work and submittal read this object alone; each prints the text of a figure and makes none.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum

from brattice.building.penetration import Penetration
from brattice.details.figures import TO_BE_SETTLED, Figure
from brattice.details.zone import InZone
from brattice.evidence.installation import TestedInstallation
from brattice.evidence.product import ProductFacts
from brattice.findings import Missing, Party, Verdict

__all__ = ["HoldPoint", "InstallationDetail", "Neighbour", "Standing", "Step"]


class Standing(StrEnum):
    """What may be done with a detail."""

    TO_BUILD = "to build"
    """Within tested scope (or a deviation was accepted) and every number that the builder needs is settled."""
    TO_BE_SETTLED = "to be settled"
    """Something is missing or has to change first; the sheet says what and is no order to build."""
    NOT_DRAWN = "not drawn"
    """No damper, no chosen installation, or a geometry that can't be: no sheet; the register says why."""


class HoldPoint(StrEnum):
    """Where work stops until somebody signs (handbook 5.4 and 8.11)."""

    OPENING = "opening before damper"
    FIXING = "damper and fixing before seal"
    SEAL = "seal before hidden"
    ACCESS = "access before the ceiling"
    ACCESS_AGAIN = "access again after all services"


@dataclass(frozen=True, slots=True)
class Step:
    """One step of the work, by one trade; `hold` is the hold point that has to be signed off after it.

    `why` says what it rests on: the evidence, a row, or common practice.
    """

    number: int
    trade: Party
    text: str
    hold: HoldPoint | None = None
    why: str = ""


@dataclass(frozen=True, slots=True)
class Neighbour:
    """Something near: its name, the clear distance as a figure, and the least distance as a figure's limit.

    `side` is "left", "right", "above" or "below" where the models say it for certain (else ""; see
    `Separation`); `kind` is "damper", "wall", "floor".
    """

    name: str
    kind: str
    side: str
    clear: Figure


@dataclass(frozen=True)
class InstallationDetail:
    """Everything that is to be built at one penetration.

    `figures` hold every number once, by key. `to_settle` are the facts that are missing, sorted. `problems` are
    numbers or shapes that can't be built as they stand, in words. `class_asked` is the requirement's class as text,
    `class_held` the class that the installation holds here. `in_zone` is what the models show in the working zone
    where its place is certain.
    """

    penetration: Penetration
    standing: Standing
    why: str
    tested: TestedInstallation | None
    product: ProductFacts | None
    figures: tuple[Figure, ...] = ()
    steps: tuple[Step, ...] = ()
    neighbours: tuple[Neighbour, ...] = ()
    to_settle: tuple[Missing, ...] = ()
    problems: tuple[str, ...] = ()
    class_asked: str = ""
    class_held: str = ""
    actuation_asked: str = ""
    changes: tuple[str, ...] = ()
    deviation: str = ""
    in_zone: tuple[InZone, ...] = ()
    _by_key: Mapping[str, Figure] = field(default_factory=dict, init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        by_key = {figure.key: figure for figure in self.figures}
        if len(by_key) != len(self.figures):
            raise ValueError("two figures of one key")
        object.__setattr__(self, "_by_key", by_key)

    @property
    def id(self) -> str:
        """The permanent id of the penetration."""
        return self.penetration.id

    def figure(self, key: str) -> Figure | None:
        """The figure of a key, None where this installation has no such number."""
        return self._by_key.get(key)

    def text(self, key: str) -> str:
        """The text of a figure; *to be settled* where it has none."""
        figure = self._by_key.get(key)
        return TO_BE_SETTLED if figure is None else figure.text

    def value(self, key: str) -> float | None:
        """The value of a figure in its unit, None where it is not known or not settled."""
        figure = self._by_key.get(key)
        return None if figure is None or figure.verdict is Verdict.UNKNOWN else figure.value
