# SPDX-License-Identifier: Apache-2.0
"""What stands round a place in the models: kept as bodies, so that any zone about the duct can be looked into.

A zone is a box in the duct's own frame: along the duct (with the place's axis), to the right, up.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np

from brattice.geometry.mesh import Box, Floats, Mesh
from brattice.geometry.within import extent_within
from brattice.quantities import settled_mm

__all__ = ["Near", "Standing", "Surroundings"]

_EXACT_MM = 5.0
"""A part of the duct's own run that reaches no farther into a zone (a flange, a seam) does not stand in it: within what
a model is exact to [mm]. Our own policy, as for bodies that graze a barrier."""


@dataclass(frozen=True, eq=False)
class Near:
    """One thing near a place. `what` is its kind in plain words, `is_certain` that the model says what it is.

    `is_own_run` marks a part of the duct's own run: it stands in a zone only where it reaches in by more than what a
    model is exact to.
    """

    what: str
    name: str
    guid: str
    file: str
    is_certain: bool
    is_ceiling: bool
    is_own_run: bool
    mesh: Mesh


@dataclass(frozen=True)
class Standing:
    """What stands in a zone, and the box round its part inside: low and high, along, to the right, up [mm]."""

    what: str
    name: str
    guid: str
    file: str
    is_certain: bool
    is_ceiling: bool
    low: tuple[float, float, float]
    high: tuple[float, float, float]


@dataclass(frozen=True, eq=False)
class Surroundings:
    """The frame of a place and what is near it.

    `centre` is the place's [mm from the common origin], `along`, `right` and `up` are unit vectors square to each
    other. `flow` is 1 where the models say that the air flows with `along`, -1 where against it, 0 where they do not
    say or contradict each other. `half_mm` is half of the barrier along the duct, `files` are the models that were
    looked at. Lengths of a zone are true to `centre`.
    """

    centre: Floats
    along: Floats
    right: Floats
    up: Floats
    flow: int
    half_mm: float
    is_floor: bool
    files: tuple[str, ...]
    things: tuple[Near, ...]
    _seen: dict[tuple[float, ...], tuple[Standing, ...]] = field(default_factory=dict, repr=False)

    @cached_property
    def _frame(self) -> Floats:
        return np.stack([self.along, self.right, self.up], axis=1)

    @cached_property
    def _boxes(self) -> tuple[Floats, Floats]:
        boxes = [thing.mesh.box for thing in self.things]
        lows, highs = (np.array([box.low for box in boxes]), np.array([box.high for box in boxes]))
        return lows.reshape(-1, 3), highs.reshape(-1, 3)

    def standing_in(self, low: tuple[float, float, float], high: tuple[float, float, float]) -> tuple[Standing, ...]:
        """What stands in a zone, by name; what only touches it does not.

        Parameters
        ----------
        low, high : the corners of the zone: along, to the right, up [mm from the centre]
        """
        key = (*low, *high)
        if key not in self._seen:
            zone = Box(np.array(low), np.array(high))
            self._seen[key] = tuple(sorted(self._looked(zone), key=lambda item: (item.what, item.name, item.guid)))
        return self._seen[key]

    def _looked(self, zone: Box) -> Iterator[Standing]:
        middle = self.centre + self._frame @ ((zone.low + zone.high) / 2.0)
        half = np.abs(self._frame) @ (zone.size / 2.0)
        lows, highs = self._boxes
        for at in np.flatnonzero(np.all(lows < middle + half, axis=1) & np.all(highs > middle - half, axis=1)):
            thing = self.things[int(at)]
            corners = (thing.mesh.corners - self.centre) @ self._frame
            found = extent_within(corners, thing.mesh.bodies, zone)
            if found is None or (thing.is_own_run and float(found.size.min()) <= _EXACT_MM):
                continue
            yield Standing(
                thing.what,
                thing.name,
                thing.guid,
                thing.file,
                thing.is_certain,
                thing.is_ceiling,
                _settled(found.low),
                _settled(found.high),
            )


def _settled(point: Floats) -> tuple[float, float, float]:
    x, y, z = (settled_mm(float(part)) for part in point)
    return (x, y, z)
