# SPDX-License-Identifier: Apache-2.0
"""Penetrations in the plane of their barrier, and the least distances between them measured as tested.

An outline is the damper's casing where the tested installation says how far it stands beyond the duct, else the duct.
A distance that is stated or modelled goes before what the outlines give: what it lacks is added to what they have.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace

from brattice.building.penetration import Separation, Size
from brattice.building.words import Orientation, SeparationFill, Surface
from brattice.details.detail import InstallationDetail
from brattice.details.separations import Body, EdgeRule, EdgeSide, PairRule, clear_distance_mm
from brattice.evidence.checking import Basis
from brattice.evidence.checks_separation import (
    CONSTRUCTION,
    Apart,
    Bounds,
    apart,
    distance_bounds,
    is_too_near,
)
from brattice.evidence.installation import TestedInstallation
from brattice.findings import Known, Origin
from brattice.quantities import Mm, mm_text, settled_mm
from brattice.usecases.combine import AGREE_MM

__all__ = [
    "MOST_SHIFT_MM",
    "EdgesFound",
    "PairFound",
    "Placed",
    "Plane",
    "edge_rules",
    "pair_rule",
    "place_all",
    "plane_of",
]

MOST_SHIFT_MM = 1000.0
"""No opening is shifted farther than this along or up the barrier [mm]: beyond it the layout is another. Our own
policy."""

_SAME_DIRECTION = 0.9998
"""Directions whose cosine is at least this (about one degree) are of one plane. Our own policy."""

_OUTLINES = Origin("models", "outlines in the plane of the barrier")
_SOLID = Known(SeparationFill.SUPPORTING_CONSTRUCTION, _OUTLINES)

_LEVEL = 0.02
"""Below this a part of a unit vector counts as none: about one degree. Our own policy."""

Vector = tuple[float, float, float]


def _dot(one: Vector, other: Vector) -> float:
    return math.fsum(a * b for a, b in zip(one, other, strict=True))


@dataclass(frozen=True)
class Placed:
    """One penetration with its outline: a `body` in a plane, the surface that it shows, distances to edges by side.

    `to_edges_mm` are from the centre. Before it is seen in a plane the body stands at zero.
    """

    detail: InstallationDetail
    body: Body
    surface: Surface
    centre_m: Vector
    right: Vector
    up: Vector
    to_edges_mm: tuple[tuple[EdgeSide, float], ...]

    @property
    def tested(self) -> TestedInstallation | None:
        """The chosen tested installation."""
        return self.detail.tested

    @property
    def reach_mm(self) -> float:
        """How far the outline reaches from its centre in any direction, at most [mm]."""
        return math.hypot(self.body.width_mm, self.body.height_mm or 0.0) / 2

    def to(self, name: str) -> list[Separation]:
        """The distances to a neighbour that are known."""
        items = self.detail.penetration.separations
        return [item for item in items if item.to == name and isinstance(item.distance_mm, Known)]


def _size(detail: InstallationDetail) -> Size | None:
    for fact in (detail.penetration.duct.size, detail.penetration.damper.size):
        if isinstance(fact, Known):
            return fact.value
    return None


def _placed(detail: InstallationDetail) -> Placed | None:
    location, size = detail.penetration.location, _size(detail)
    plane = location.plane
    if location.centre_m is None or plane is None or size is None:
        return None
    beyond = None if detail.tested is None else detail.tested.casing_beyond_mm
    more = 0.0 if beyond is None else 2 * max(beyond)
    height = None if size.height_mm is None else size.height_mm + more
    formed = detail.penetration.opening.formed
    stays = (isinstance(formed, Known) and formed.value) or detail.penetration.to_be_settled
    body = Body(detail.id, 0.0, 0.0, size.width_mm + more, height, not stays, MOST_SHIFT_MM)
    sides = plane.to_edges_mm
    edges: tuple[tuple[EdgeSide, float], ...] = ()
    if sides is not None:
        edges = (
            (EdgeSide.LEFT, sides.left_mm),
            (EdgeSide.RIGHT, sides.right_mm),
            (EdgeSide.BELOW, sides.bottom_mm),
            (EdgeSide.ABOVE, sides.top_mm),
        )
    surface = Surface.DUCT if beyond is None else Surface.CASING
    return Placed(detail, body, surface, location.centre_m, plane.right, plane.up, edges)


def place_all(details: Iterable[InstallationDetail]) -> dict[str, Placed]:
    """Every penetration whose centre, size and plane are known, by its id."""
    found = ((detail.id, _placed(detail)) for detail in details)
    return {name: item for name, item in found if item is not None}


@dataclass(frozen=True)
class Plane:
    """The plane of a barrier: a point in it [m], unit vectors to the right and up; the right is the way of growing x
    (of growing y where the barrier runs along y).
    """

    origin_m: Vector
    right: Vector
    up: Vector

    def seen(self, item: Placed) -> Placed | None:
        """A penetration in this plane; None where its own plane has another direction."""
        along = _dot(item.right, self.right)
        if abs(along) < _SAME_DIRECTION or _dot(item.up, self.up) < _SAME_DIRECTION:
            return None
        x, y, z = (here - there for here, there in zip(item.centre_m, self.origin_m, strict=True))
        places = (settled_mm(_dot((x, y, z), way) * 1000.0) for way in (self.right, self.up))
        swap = {EdgeSide.LEFT: EdgeSide.RIGHT, EdgeSide.RIGHT: EdgeSide.LEFT} if along < 0 else {}
        across, upwards = places
        return replace(
            item,
            body=replace(item.body, x_mm=across, y_mm=upwards),
            to_edges_mm=tuple((swap.get(side, side), far) for side, far in item.to_edges_mm),
        )

    def turned(self, other: Plane, dx_mm: float, dy_mm: float) -> tuple[float, float]:
        """A shift in the directions of another plane as one in the directions of this [mm]."""
        return (settled_mm(dx_mm * (1 if _dot(self.right, other.right) > 0 else -1)), dy_mm)

    @property
    def is_plan(self) -> bool:
        """Whether it lies level, as a floor does."""
        return abs(self.up[2]) < _LEVEL

    @property
    def seen_text(self) -> str:
        """How one has to look for left and right, in words."""
        if self.is_plan:
            return "In plan, in the directions of the models."
        x, y, _ = self.right
        if self.up[2] < _SAME_DIRECTION:
            return f"Along the slope: up is up the slope, right is towards {self._towards}."
        if abs(x) > _SAME_DIRECTION:
            return "Seen looking towards +y of the models: +x to the right."
        if abs(y) > _SAME_DIRECTION:
            return "Seen looking towards -x of the models: +y to the right."
        return f"Seen so that the wall runs to the right towards {self._towards}."

    @property
    def _towards(self) -> str:
        """Where the right lies in the models."""
        parts = zip("xy", self.right, strict=False)
        return (
            " and ".join(f"{'+' if part > 0 else '-'}{name}" for name, part in parts if abs(part) > _LEVEL)
            + " of the models"
        )

    def words(self, name: str, dx_mm: float, dy_mm: float) -> str:
        """A shift in words: `"P-0012: 40 mm to the right, 15 mm up"`."""
        ways = (
            ("towards +x", "towards -x", "towards +y", "towards -y")
            if self.is_plan
            else (
                "to the right",
                "to the left",
                "up",
                "down",
            )
        )
        said = []
        for shift, plus, minus in ((dx_mm, *ways[:2]), (dy_mm, *ways[2:])):
            if shift:
                said.append(f"{mm_text(abs(shift))} {plus if shift > 0 else minus}")
        return f"{name}: {', '.join(said)}"


def plane_of(items: Iterable[Placed]) -> Plane | None:
    """The plane of the first of these by name; None for none."""
    first = min(items, key=lambda item: item.detail.id, default=None)
    if first is None:
        return None
    x, y, z = first.right
    leading = x if abs(x) > _LEVEL else y
    turn = -1.0 if leading < 0 else 1.0
    return Plane(first.centre_m, (turn * x + 0.0, turn * y + 0.0, turn * z + 0.0), first.up)


@dataclass(frozen=True)
class PairFound:
    """The least distance between two outlines; and why it can't be told for certain.

    `contradicts` says that the places can't be right ("" where they can): then there is nothing to solve.
    """

    rule: PairRule
    unsure: tuple[str, ...] = ()
    contradicts: str = ""


def _is_sure(bounds: Bounds, basis: Basis) -> bool:
    """Whether the surfaces are known so far that the distance as tested is: not where anything may stand out."""
    return bounds.high - bounds.low < basis.reach_mm


def _lacks(limit: Apart, bounds: Bounds, measured_mm: float, *, sure: bool) -> float:
    """How much is lacking at the surfaces that were measured [mm]: for certain, or at the least."""
    return limit.least_mm - measured_mm - (bounds.low if sure else bounds.high)


def _down(value: float) -> float:
    """A little less, on the grid of settled lengths: what is so far apart now is never too near by rounding."""
    return max(0.0, math.floor(value * 100) / 100)


def _up(value: float) -> float:
    return max(0.0, math.ceil(value * 1000 - 1e-6) / 1000)


def _between_outlines(mine: Placed, other: str, theirs: Surface, distance: float) -> Separation:
    return Separation(other, Known(Mm(distance), _OUTLINES), mine.surface, theirs, _SOLID)


def _outlines_agree(mine: Placed, item: Separation, theirs: Surface, clear: float, basis: Basis) -> bool:
    """Whether a known distance is that of the outlines, as far as can be told."""
    if mine.tested is None or not isinstance(item.distance_mm, Known):
        return False
    bounds = distance_bounds(item, mine.tested, Apart(0.0, mine.surface, theirs, False), basis)
    return item.distance_mm.value + bounds.low - AGREE_MM <= clear <= item.distance_mm.value + bounds.high + AGREE_MM


def pair_rule(one: Placed, other: Placed, basis: Basis) -> PairFound:
    """The least distance between two outlines that lets both be as far apart as tested.

    A pair that is not too near may stay as it is, and comes no nearer than is certain to do.
    """
    clear = clear_distance_mm(one.body, other.body)
    names = (one.detail.id, other.detail.id)
    asked, stays, failing = 0.0, 0.0, False
    unsure: list[str] = []
    for mine, its in ((one, other), (other, one)):
        if mine.tested is None:
            stays = max(stays, basis.damper_apart_mm)
            continue
        limit = apart(mine.tested, "damper", basis)
        outlines = distance_bounds(
            _between_outlines(mine, its.detail.id, its.surface, clear), mine.tested, limit, basis
        )
        sure = _is_sure(outlines, basis)
        stays = max(stays, limit.least_mm - outlines.low)
        asked = max(asked, limit.least_mm - (outlines.low if sure else outlines.high))
        for item in mine.to(its.detail.id):
            assert isinstance(item.distance_mm, Known)
            measured = item.distance_mm.value
            bounds = distance_bounds(item, mine.tested, limit, basis)
            if not is_too_near(measured, bounds, limit):
                continue
            failing = True
            exact = _is_sure(bounds, basis)
            asked = max(asked, clear + _lacks(limit, bounds, measured, sure=exact))
            if not (sure and exact):
                unsure.append(
                    f"Between which surfaces {mine.detail.id} was tested to another damper, or how far the casings of "
                    f"{names[0]} and {names[1]} stand out, is not known: measure between the tested surfaces."
                )
            if abs(clear - measured) > 2 * basis.reach_mm + AGREE_MM:
                text = (
                    f"{mm_text(measured)} is stated between {names[0]} and {names[1]}, where the models have "
                    f"{mm_text(clear)}: which is right is to be settled first."
                )
                return PairFound(PairRule(*names, 0.0), contradicts=text)
            if not _outlines_agree(mine, item, its.surface, clear, basis):
                unsure.append(
                    f"{mm_text(measured)} {item.from_surface} to {item.to_surface} between {mine.detail.id} and "
                    f"{its.detail.id} is not what the models show with their outlines ({mm_text(clear)}); what lacks "
                    "is taken from the distance stated."
                )
    if failing:
        return PairFound(PairRule(*names, _up(asked)), tuple(dict.fromkeys(unsure)))
    return PairFound(PairRule(*names, min(_down(clear), _up(stays))))


@dataclass(frozen=True)
class EdgesFound:
    """The least distances of one penetration to the edges of its barrier, and what can't be told."""

    rules: tuple[EdgeRule, ...] = ()
    unsure: tuple[str, ...] = ()
    unknown: tuple[str, ...] = ()


def _kind(side: EdgeSide, placed: Placed) -> str:
    orientation = placed.detail.penetration.barrier.orientation
    in_floor = isinstance(orientation, Known) and orientation.value is Orientation.FLOOR
    return "wall" if in_floor or side in (EdgeSide.LEFT, EdgeSide.RIGHT) else "floor"


def _half(body: Body, side: EdgeSide) -> float:
    return body.reach_mm(1.0, 0.0) if side in (EdgeSide.LEFT, EdgeSide.RIGHT) else body.reach_mm(0.0, 1.0)


def edge_rules(placed: Placed, basis: Basis) -> EdgesFound:
    """The least distances to the walls and floors at the edges of the barrier.

    A damper that is too near to a wall or floor whose side no model tells can't be solved. One that is not too near
    stays as it is, and comes no nearer than is certain to do.
    """
    rules, unsure, unknown = [], [], []
    body, tested, name = placed.body, placed.tested, placed.detail.id
    clears = {side: settled_mm(far - _half(body, side)) for side, far in placed.to_edges_mm}
    for kind in CONSTRUCTION:
        sides = [side for side in clears if _kind(side, placed) == kind]
        least = dict.fromkeys(sides, basis.construction_apart_mm)
        if tested is not None:
            limit = apart(tested, kind, basis)
            outlines = distance_bounds(_between_outlines(placed, kind, Surface.FACE, 0.0), tested, limit, basis)
            least = dict.fromkeys(sides, limit.least_mm - outlines.low)
            for item in placed.to(kind):
                assert isinstance(item.distance_mm, Known)
                measured = item.distance_mm.value
                bounds = distance_bounds(item, tested, limit, basis)
                if not is_too_near(measured, bounds, limit):
                    continue
                nearest = min(sides, key=lambda side: (clears[side], side), default=None)
                if nearest is None or not _outlines_agree(placed, item, Surface.FACE, clears[nearest], basis):
                    unknown.append(
                        f"{name}: on which side the {kind} lies that is {mm_text(measured)} away, no model tells by "
                        "the edges of the barrier."
                    )
                    continue
                sure = _is_sure(bounds, basis) and _is_sure(outlines, basis)
                asked = clears[nearest] + _lacks(limit, bounds, measured, sure=_is_sure(bounds, basis))
                rules.append(_edge(placed, kind, nearest, clears[nearest], _up(asked)))
                del least[nearest]
                sides.remove(nearest)
                if not sure:
                    unsure.append(f"{name}: between which surfaces it was tested to a {kind} is not known.")
        for side in sides:
            now = clears[side]
            if now >= 0:
                rules.append(_edge(placed, kind, side, now, min(_down(now), _up(least[side]))))
    return EdgesFound(tuple(rules), tuple(unsure), tuple(unknown))


def _edge(placed: Placed, kind: str, side: EdgeSide, clear_mm: float, least_mm: float) -> EdgeRule:
    body = placed.body
    away = clear_mm + _half(body, side)
    at = {
        EdgeSide.LEFT: body.x_mm - away,
        EdgeSide.RIGHT: body.x_mm + away,
        EdgeSide.BELOW: body.y_mm - away,
        EdgeSide.ABOVE: body.y_mm + away,
    }[side]
    words = {
        EdgeSide.LEFT: "on the left",
        EdgeSide.RIGHT: "on the right",
        EdgeSide.BELOW: "below",
        EdgeSide.ABOVE: "above",
    }
    return EdgeRule(body.name, f"{kind} {words[side]}", side, settled_mm(at), least_mm)
