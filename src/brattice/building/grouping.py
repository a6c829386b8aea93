# SPDX-License-Identifier: Apache-2.0
"""From pieces to places: segments, elbow, tee, damper and duplicates within one barrier are one crossing, and
crossings of barriers that lie on each other are one place with layers."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from brattice.building.model import Part
from brattice.building.pieces import Manner, Piece
from brattice.building.runs import Runs
from brattice.building.words import Service
from brattice.geometry.mesh import Floats
from brattice.geometry.vectors import angle_between_lines_deg

__all__ = ["LYING_ON_EACH_OTHER_MM", "Assembly", "Crossing", "assemblies_of", "crossings_of"]

LYING_ON_EACH_OTHER_MM = 5.0
"""Barriers whose faces come nearer than this where a duct passes lie on each other [mm]."""

_WHOLE = 0.97
_COAXIAL_MM = 5.0
_LIKE_DEG = 15.0


@dataclass(frozen=True, eq=False)
class Crossing:
    """The pieces of one run at one barrier, sorted along the barrier's normal."""

    barrier: int
    pieces: tuple[Piece, ...]

    @cached_property
    def across(self) -> tuple[Piece, ...]:
        """The pieces that fill a part of the way from face to face."""
        return tuple(piece for piece in self.pieces if piece.manner is Manner.ACROSS)

    @cached_property
    def is_through(self) -> bool:
        """Whether the pieces together fill the whole way from one face to the other."""
        return bool(self.across) and self.filled_share >= _WHOLE

    @cached_property
    def filled_share(self) -> float:
        """How much of the way from face to face is filled, 0 to 1."""
        filled = end = 0.0
        for piece in sorted(self.across, key=lambda one: one.from_share):
            start = max(end, piece.from_share)
            if piece.to_share > start:
                filled += piece.to_share - start
                end = piece.to_share
        return filled

    @cached_property
    def faces(self) -> tuple[Floats, Floats]:
        """Where the run comes in and goes out, in the order of the barrier's normal."""
        pieces = self.across or self.pieces
        first = min(pieces, key=lambda one: (round(one.from_share, 3), one.element.index))
        last = max(pieces, key=lambda one: (round(one.to_share, 3), -one.element.index))
        return first.face_points[0], last.face_points[1]

    @cached_property
    def centre(self) -> Floats:
        """The middle between where it comes in and where it goes out; for one that does not pass, of what is inside."""
        if self.across or all(piece.manner is Manner.SHORT for piece in self.pieces):
            return np.asarray((self.faces[0] + self.faces[1]) / 2.0)
        return np.asarray(np.mean([piece.filled_centre for piece in self.pieces], axis=0))

    @cached_property
    def thickness_mm(self) -> float:
        """The barrier's thickness here, square to its faces."""
        first, last = self.faces
        if self.across:
            return abs(float((last - first) @ self.pieces[0].frame.normal))
        return self.pieces[0].thickness_mm

    @cached_property
    def main(self) -> Piece:
        """The piece that gives the size: a plain duct if there is one, then the longest inside, then the largest."""

        def rank(piece: Piece) -> tuple[bool, bool, bool, float, float, int]:
            section = piece.section()
            area = 0.0 if section is None else section.sides[0] * section.sides[1]
            filled = round(piece.to_share - piece.from_share, 3)
            service = piece.element.service
            is_unknown = service.service is Service.UNKNOWN
            is_no_duct = service.part not in {Part.SEGMENT, Part.FLEXIBLE}
            return (service.is_damper, is_unknown, is_no_duct, -filled, -round(area), piece.element.index)

        return min(self.across or self.pieces, key=rank)

    @property
    def service(self) -> Service:
        """What runs through: the service that its elements agree on, unknown ones aside."""
        services = {piece.element.service.service for piece in self.pieces} - {Service.UNKNOWN}
        return min(services, key=lambda one: (one is not Service.DUCT, one.value)) if services else Service.UNKNOWN


@dataclass(frozen=True, eq=False)
class Assembly:
    """Crossings of barriers that lie on each other, in order along the normal: one place."""

    crossings: tuple[Crossing, ...]

    @cached_property
    def thickest(self) -> Crossing:
        """The crossing of the thickest layer."""
        return max(self.crossings, key=lambda one: (round(one.thickness_mm, 3), -one.barrier))

    @property
    def thickness_mm(self) -> float:
        """The thickness of all layers together."""
        return sum(crossing.thickness_mm for crossing in self.crossings)

    @cached_property
    def ends(self) -> tuple[Floats, Floats]:
        """Where the run comes in at the first layer and goes out at the last."""
        return self.crossings[0].faces[0], self.crossings[-1].faces[1]

    @property
    def service(self) -> Service:
        """What runs through."""
        services = {crossing.service for crossing in self.crossings} - {Service.UNKNOWN}
        return min(services, key=lambda one: (one is not Service.DUCT, one.value)) if services else Service.UNKNOWN


def crossings_of(pieces: Sequence[Piece], runs: Runs) -> list[Crossing]:
    """The pieces at one barrier, put together to crossings."""
    groups = _united(
        len(pieces),
        [(i, j) for i, j in itertools.combinations(range(len(pieces)), 2) if _belong(pieces[i], pieces[j], runs)],
    )
    out = []
    for group in groups:
        chosen = sorted(
            (pieces[i] for i in group), key=lambda one: (round(one.from_share + one.to_share, 6), one.element.index)
        )
        out.append(Crossing(chosen[0].barrier, tuple(chosen)))
    return out


def assemblies_of(crossings: Sequence[Crossing]) -> list[Assembly]:
    """Through crossings, put together where their barriers lie on each other."""
    pairs = [(i, j) for i, j in itertools.combinations(range(len(crossings)), 2) if _lie_on(crossings[i], crossings[j])]
    out = []
    for group in _united(len(crossings), pairs):
        normal = crossings[group[0]].pieces[0].frame.normal
        ordered = sorted(
            (crossings[i] for i in group), key=lambda one: (round(float(one.centre @ normal), 3), one.barrier)
        )
        out.append(Assembly(tuple(ordered)))
    return out


def _lie_on(one: Crossing, other: Crossing) -> bool:
    if one.barrier == other.barrier:
        return False
    if (one.service is Service.DUCT) != (other.service is Service.DUCT) and Service.UNKNOWN not in {
        one.service,
        other.service,
    }:
        return False
    if angle_between_lines_deg(one.pieces[0].frame.normal, other.pieces[0].frame.normal) > _LIKE_DEG:
        return False
    return any(float(np.linalg.norm(a - b)) <= LYING_ON_EACH_OTHER_MM for a in one.faces for b in other.faces)


def _belong(one: Piece, other: Piece, runs: Runs) -> bool:
    """Whether two pieces at one barrier are of one run at one place."""
    a, b = one.element, other.element
    services = {a.service.service, b.service.service} - {Service.UNKNOWN}
    if len(services) > 1:
        return False
    if a.index == b.index:
        return abs(one.leg_number - other.leg_number) == 1 and _near(one, other, 1.0)
    if runs.are_joined(a.index, b.index) and _near(one, other, 50.0):
        return True
    if Manner.CORNER in {one.manner, other.manner} or Manner.ALONG in {one.manner, other.manner}:
        return False
    if angle_between_lines_deg(one.leg.direction, other.leg.direction) > _LIKE_DEG:
        return False
    offset = one.centre - other.centre
    offset = offset - float(offset @ one.frame.normal) * one.frame.normal
    return float(np.linalg.norm(offset)) <= _COAXIAL_MM


def _size(piece: Piece) -> float:
    section = piece.section()
    return section.smallest_side if section is not None else float(np.sort(piece.element.box.size)[1])


def _near(one: Piece, other: Piece, within_mm: float) -> bool:
    ends = [(p, q) for p in (one.low, one.high) for q in (other.low, other.high)]
    return any(float(np.linalg.norm(one.leg.at(p) - other.leg.at(q))) <= within_mm + _bend(one, other) for p, q in ends)


def _bend(one: Piece, other: Piece) -> float:
    """Room for a fitting that turns or branches: its legs end at its middle, not at its side."""
    return max((_size(piece) for piece in (one, other) if piece.element.service.part is Part.FITTING), default=0.0)


def _united(count: int, pairs: list[tuple[int, int]]) -> list[list[int]]:
    """Groups of indices that the pairs tie together; groups and indices ascend."""
    parent = list(range(count))

    def root(i: int) -> int:
        while parent[i] != i:
            parent[i] = parent[parent[i]]
            i = parent[i]
        return i

    for i, j in pairs:
        a, b = root(i), root(j)
        if a != b:
            parent[max(a, b)] = min(a, b)
    groups: dict[int, list[int]] = {}
    for i in range(count):
        groups.setdefault(root(i), []).append(i)
    return [groups[key] for key in sorted(groups)]
