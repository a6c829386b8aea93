# SPDX-License-Identifier: Apache-2.0
"""Service elements as runs: their centrelines, and which are joined to which."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property

import numpy as np

from brattice.building.model import Ref, ServiceElement
from brattice.building.site import Site
from brattice.geometry.mesh import Box, Floats, Mesh, near_pairs
from brattice.geometry.section import Section, section_across
from brattice.geometry.tube import HowFound, Leg, Tube, tube_of
from brattice.geometry.vectors import angle_between_lines_deg, closest_on_segment, vector

__all__ = ["TOUCHING_ENDS_MM", "Element", "Runs", "runs_of"]

TOUCHING_ENDS_MM = 5.0
"""Ends that come nearer than this are joined, whether or not the model says so [mm]."""


@dataclass(eq=False)
class Element:
    """A service element with its mesh and centreline. `index` is its place in the building's fixed order."""

    index: int
    service: ServiceElement
    mesh: Mesh
    tube: Tube | None
    _sections: dict[tuple[int, int], Section | None] = field(default_factory=dict, repr=False)

    @cached_property
    def box(self) -> Box:
        """The box around its mesh."""
        return self.mesh.box

    def section(self, leg: int, along_mm: float) -> Section | None:
        """The section square to a leg, at a distance along it (kept off the ends, where a cut says nothing)."""
        assert self.tube is not None
        one = self.tube.legs[leg]
        margin = min(1.0, 0.1 * one.length)
        at = min(max(along_mm, margin), one.length - margin)
        key = (leg, round(at * 10))
        if key not in self._sections:
            self._sections[key] = section_across(self.mesh, one.at(at), one.direction)
        return self._sections[key]


@dataclass(frozen=True, eq=False)
class Runs:
    """All service elements that have a shape, who is joined to whom, and which ends are free.

    `free_ends` holds (index of element, leg, True for the leg's start).
    """

    elements: tuple[Element, ...]
    joined: frozenset[tuple[int, int]]
    free_ends: frozenset[tuple[int, int, bool]]

    def are_joined(self, one: int, other: int) -> bool:
        """Whether two elements are joined end to end or end to side."""
        return (min(one, other), max(one, other)) in self.joined

    @cached_property
    def neighbours(self) -> dict[int, tuple[int, ...]]:
        """Index of an element → indices of those joined to it."""
        out: dict[int, list[int]] = {}
        for one, other in sorted(self.joined):
            out.setdefault(one, []).append(other)
            out.setdefault(other, []).append(one)
        return {key: tuple(sorted(found)) for key, found in out.items()}


def runs_of(site: Site) -> Runs:
    """The centreline of every service element, and how they are joined."""
    shaped = [service for service in site.services if service.ref in site.meshes]
    port_owner: dict[Ref, int] = {}
    for i, service in enumerate(shaped):
        for port in service.ports:
            port_owner[Ref(service.ref.file, port.step)] = i
    by_port: set[tuple[int, int]] = set()
    used_ports: set[Ref] = set()
    for a, b in site.joined:
        if a in port_owner and b in port_owner and port_owner[a] != port_owner[b]:
            one, other = sorted((port_owner[a], port_owner[b]))
            by_port.add((one, other))
            used_ports |= {a, b}
    elements = [_element(i, service, site) for i, service in enumerate(shaped)]
    boxes = [element.box for element in elements]
    _ask_neighbours(elements, boxes)
    touching = _touching(elements, near_pairs(boxes, boxes, TOUCHING_ENDS_MM))
    joined = frozenset(by_port | touching)
    free = _free_ends(elements, boxes, used_ports)
    return Runs(tuple(elements), joined, free)


def _element(index: int, service: ServiceElement, site: Site) -> Element:
    mesh = site.meshes[service.ref]
    return Element(index, service, mesh, tube_of(mesh, _ports(service), service.stated_size))


def _ports(service: ServiceElement) -> tuple[Floats, ...]:
    return tuple(vector(port.x, port.y, port.z) for port in service.ports)


def _ask_neighbours(elements: list[Element], boxes: list[Box]) -> None:
    """For elements whose own shape leaves open which way they run: the ends of what they are joined to say it."""
    open_ones = [
        element.index
        for element in elements
        if element.tube is None or element.tube.how in {HowFound.UNSURE, HowFound.LONGEST}
    ]
    near = near_pairs([boxes[i] for i in open_ones], boxes, TOUCHING_ENDS_MM)
    found: dict[int, Tube | None] = {}
    for at, j in near:
        i = open_ones[at]
        if i == j or not is_sure(elements[j]):
            continue
        found.setdefault(i, None)
    for i in found:
        element = elements[i]
        grown = element.box.grown(TOUCHING_ENDS_MM)
        ends = [
            (point, direction)
            for at, j in near
            if open_ones[at] == i and j != i and is_sure(elements[j])
            for point, direction in _tube(elements[j]).ends
            if grown.holds(point)
        ]
        if ends:
            points = _ports(element.service) + tuple(point for point, _ in ends)
            towards = tuple(direction for _, direction in ends)
            found[i] = tube_of(element.mesh, points, element.service.stated_size, towards)
    for i, tube in found.items():
        if tube is not None:
            elements[i].tube = tube


def _tube(element: Element) -> Tube:
    assert element.tube is not None
    return element.tube


def _touching(elements: list[Element], pairs: list[tuple[int, int]]) -> set[tuple[int, int]]:
    """Pairs whose ends meet, or of which one ends on the other's side."""
    found: set[tuple[int, int]] = set()
    for i, j in pairs:
        if i >= j or elements[i].tube is None or elements[j].tube is None:
            continue
        one, other = elements[i].tube, elements[j].tube
        assert one is not None
        assert other is not None
        ends = [(a, b) for a, _ in one.ends for b, _ in other.ends]
        if (
            any(float(np.linalg.norm(a - b)) <= TOUCHING_ENDS_MM for a, b in ends)
            or _ends_on(one, elements[j])
            or _ends_on(other, elements[i])
        ):
            found.add((i, j))
    return found


def _ends_on(tube: Tube, other: Element) -> bool:
    """Whether an end of a tube lies on or in another element: on its side, or on its own axis.

    Two ducts that overlap side by side are not joined.
    """
    grown = other.box.grown(2.0)
    for point, direction in tube.ends:
        if not grown.holds(point):
            continue
        nearest = min(_tube(other).legs, key=lambda leg: _beside(leg, point), default=None)
        if nearest is None:
            continue
        if angle_between_lines_deg(direction, nearest.direction) > 15.0:
            return True
        off = point - nearest.start
        if float(np.linalg.norm(off - float(off @ nearest.direction) * nearest.direction)) <= TOUCHING_ENDS_MM:
            return True
    return False


def _beside(leg: Leg, point: Floats) -> float:
    return float(np.linalg.norm(closest_on_segment(point, leg.start, leg.end) - point))


def _free_ends(elements: list[Element], boxes: list[Box], used_ports: set[Ref]) -> frozenset[tuple[int, int, bool]]:
    """Ends that are joined to nothing: no connected port there, no other element at the end."""
    free: set[tuple[int, int, bool]] = set()
    if not elements:
        return frozenset()
    low = np.array([box.low for box in boxes]) - TOUCHING_ENDS_MM
    high = np.array([box.high for box in boxes]) + TOUCHING_ENDS_MM
    for element in elements:
        if element.tube is None:
            continue
        taken = [
            vector(port.x, port.y, port.z)
            for port in element.service.ports
            if Ref(element.service.ref.file, port.step) in used_ports
        ]
        for at, leg in enumerate(element.tube.legs):
            for is_start, is_open, point in ((True, leg.start_open, leg.start), (False, leg.end_open, leg.end)):
                if not is_open or any(float(np.linalg.norm(point - port)) <= 10.0 for port in taken):
                    continue
                holds = np.all(low <= point, axis=1) & np.all(point <= high, axis=1)
                holds[element.index] = False
                if not any(_is_another(element, elements[int(k)]) for k in np.flatnonzero(holds)):
                    free.add((element.index, at, is_start))
    return frozenset(free)


def _is_another(one: Element, other: Element) -> bool:
    """Whether `other` can close an end of `one`: not when it is a copy of it in the same place."""
    same_place = np.allclose(one.box.low, other.box.low, atol=1.0) and np.allclose(
        one.box.high, other.box.high, atol=1.0
    )
    return not same_place


def is_sure(element: Element) -> bool:
    """Whether the way in which an element runs is sure."""
    return element.tube is not None and element.tube.how is not HowFound.UNSURE
