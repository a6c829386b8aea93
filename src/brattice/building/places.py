# SPDX-License-Identifier: Apache-2.0
"""From what was found to places: size, layers, opening, damper, edges, storey, rating and the queries of each."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from brattice.building.finding_places import Found
from brattice.building.grouping import Assembly, Crossing
from brattice.building.measuring import (
    Sized,
    adjoining_of,
    bare_duct_outline,
    damper_of,
    duct_outline,
    edges_of,
    opening_of,
    size_of,
    size_of_element,
)
from brattice.building.model import Barrier, BarrierKind, OpeningElement, Part, Ref, ServiceElement
from brattice.building.model_rating import RatingReading
from brattice.building.pieces import Contact, Manner, Piece
from brattice.building.place import (
    Layer,
    Neighbour,
    OpeningAt,
    Place,
    PlaceKind,
    PlaceQuery,
    QueryReason,
    SizeFrom,
)
from brattice.building.runs import Element
from brattice.building.site import Site
from brattice.building.storeys import said_storey, storey_at
from brattice.building.words import Service
from brattice.geometry.flat import Outline, clear_between, corners_of, hole_around, margins, shadow
from brattice.geometry.mesh import Floats
from brattice.geometry.vectors import PlaneFrame, angle_between_lines_deg
from brattice.quantities import number_text, settled_mm

__all__ = ["NEIGHBOUR_REACH_MM", "Draft", "draft_of_query", "finished", "places_of"]

NEIGHBOUR_REACH_MM = 1500.0
"""How far a neighbour may be to be listed [mm]; the tests know no separation that is larger."""

HOLE_ROOM_MM = 1000.0
"""A baked hole that leaves more room than this on a side (a stair, an atrium) is not a hole for this duct [mm]."""

_PARTLY = 0.01
_WHOLLY = 0.97
_FILLINGS = ("IfcDoor", "IfcWindow")


@dataclass(frozen=True, eq=False)
class Draft:
    """A place before it has its key and neighbours: with its outline in each barrier's plane, for distances."""

    place: Place
    outlines: tuple[tuple[int, PlaneFrame, Outline], ...] = ()


def places_of(found: Found) -> list[Draft]:
    """A draft for everything that was found at a barrier, in no particular order."""
    openings = _openings_by_host(found.site)
    drafts = [_of_assembly(assembly, found, openings) for assembly in found.assemblies]
    drafts.extend(_of_crossing(crossing, reason, found, openings) for crossing, reason in found.unsettled)
    drafts.extend(_of_contact(contact, found) for contact in found.contacts)
    drafts.extend(_without_shape(found))
    return drafts


def finished(drafts: Sequence[Draft], site: Site) -> tuple[Place, ...]:
    """The drafts with keys and neighbours, sorted by storey, then key."""
    ordered = sorted(drafts, key=lambda draft: _identity(draft.place))
    seen: dict[tuple[tuple[str, ...], tuple[str, ...]], int] = {}
    keyed: list[Draft] = []
    for draft in ordered:
        place = draft.place
        names = (
            tuple(sorted(layer.barrier_guid for layer in place.layers)),
            tuple(sorted(place.element_guids)),
        )
        ordinal = seen[names] = seen.get(names, -1) + 1
        keyed.append(replace(draft, place=replace(place, key=_key(*names, ordinal))))
    neighbours = _neighbours(keyed)
    levels = {storey.key: storey.elevation_m for storey in site.storeys}
    done = [replace(draft.place, neighbours=neighbours.get(at, ())) for at, draft in enumerate(keyed)]
    return tuple(
        sorted(done, key=lambda place: (levels.get(place.storey_key, float("inf")), place.storey_key, place.key))
    )


def _identity(place: Place) -> tuple[object, ...]:
    return (
        tuple(sorted(layer.barrier_guid for layer in place.layers)),
        tuple(sorted(place.element_guids)),
        place.centre_m or (),
        place.kind.value,
        place.queries,
    )


def _key(barriers: tuple[str, ...], elements: tuple[str, ...], ordinal: int) -> str:
    """A short stable name: the same GlobalIds and ordinal give the same key in any run and any order of files."""
    text = "\n".join(["barriers", *barriers, "elements", *elements, "ordinal", str(ordinal)])
    return "k-" + hashlib.sha256(text.encode("utf-8", "backslashreplace")).hexdigest()[:12]


def _openings_by_host(site: Site) -> dict[Ref, list[OpeningElement]]:
    out: dict[Ref, list[OpeningElement]] = {}
    for opening in site.openings:
        if opening.ref in site.meshes:
            out.setdefault(opening.host, []).append(opening)
    return out


def _of_assembly(assembly: Assembly, found: Found, openings: dict[Ref, list[OpeningElement]]) -> Draft:
    thickest = assembly.thickest
    frame = thickest.pieces[0].frame
    queries: list[PlaceQuery] = []
    layers, outlines = [], []
    certain_layers = 0
    own = frozenset(crossing.barrier for crossing in assembly.crossings)
    for crossing in assembly.crossings:
        layer, outline, said, certain = _layer(crossing, found, openings, own)
        layers.append(layer)
        outlines.append((crossing.barrier, crossing.pieces[0].frame, outline))
        queries.extend(said)
        certain_layers += certain
    pieces = [piece for crossing in assembly.crossings for piece in crossing.pieces]
    service = assembly.service
    sized = size_of(_main(assembly), frame, found.runs)
    queries.extend(_what_it_is(pieces, service))
    if service in {Service.PIPE, Service.CABLE}:
        kind, queries = PlaceKind.OTHER_SERVICE, []
    elif service is Service.UNKNOWN or certain_layers == 0:
        kind = PlaceKind.QUERY
    else:
        kind = PlaceKind.PENETRATION
    first, last = assembly.ends
    damper = damper_of(pieces, found.runs, frame, (first + last) / 2.0, sized) if service is Service.DUCT else None
    place = _place(
        found,
        kind,
        service,
        tuple(layers),
        pieces,
        sized,
        frame,
        thickest.centre,
        (first, last),
        tuple(queries),
    )
    place = replace(place, damper=damper, outline_m=_in_metres(outlines, thickest.barrier))
    return Draft(place, tuple(outlines))


def _main(assembly: Assembly) -> Piece:
    """The piece that gives the size of the whole assembly: no damper if any layer can help it."""
    mains = [crossing.main for crossing in assembly.crossings]
    ducts = [piece for piece in mains if not piece.element.service.is_damper]
    return assembly.thickest.main if assembly.thickest.main in ducts or not ducts else ducts[0]


def _layer(
    crossing: Crossing, found: Found, openings: dict[Ref, list[OpeningElement]], own: frozenset[int]
) -> tuple[Layer, Outline, list[PlaceQuery], bool]:
    """One layer with its opening and edges, the duct's outline there, its queries, whether it is surely passed.

    `own` are the barriers of the same place, which lie on each other and adjoin nothing.
    """
    barrier = found.walls.barriers[crossing.barrier]
    frame = crossing.pieces[0].frame
    outline = duct_outline(crossing, frame)
    duct = bare_duct_outline(crossing, frame, found.runs)
    opening = opening_of(crossing, openings.get(barrier.ref, []), found.site.meshes, frame, outline, duct)
    edges, nearest = edges_of(crossing, frame, outline)
    others = [
        (other, mesh)
        for at, (other, mesh) in enumerate(zip(found.walls.barriers, found.walls.meshes, strict=True))
        if at not in own
    ]
    queries: list[PlaceQuery] = []
    certain = True
    if opening is not None and opening.filled_class.startswith(_FILLINGS) and opening.share_inside > _PARTLY:
        certain = opening.share_inside < _WHOLLY
        queries.append(PlaceQuery(QueryReason.THROUGH_FILLED_OPENING, _filled_text(opening), (barrier.guid,)))
    baked = [piece for piece in crossing.across if piece.inside.baked]
    if baked:
        text, fits = _hole_text(baked[0], found, frame)
        certain = certain and fits
        queries.append(PlaceQuery(QueryReason.HOLE_IN_MESH, text, (barrier.guid,)))
    if edges is not None and edges.least < -1.0 and not baked:
        text = f"the duct stands out over the barrier's edge by {number_text(-edges.least)} mm"
        queries.append(PlaceQuery(QueryReason.CLIPS_EDGE, text, (barrier.guid,)))
    layer = Layer(
        barrier_guid=barrier.guid,
        kind=barrier.kind,
        ifc_class=barrier.ifc_class,
        name=barrier.name,
        type_name=barrier.type_name,
        thickness_mm=settled_mm(crossing.thickness_mm),
        centre_m=found.site.world_m(_point(crossing.centre)),
        material_layers=barrier.material_layers,
        ratings=barrier.ratings,
        reading=found.ratings[barrier.ref],
        edges=edges,
        nearest_edge_mm=nearest,
        opening=opening,
        adjoining=adjoining_of(crossing, frame, outline, others),
    )
    return layer, outline, queries, certain


def _filled_text(opening: OpeningAt) -> str:
    thing = "a door" if opening.filled_class.startswith("IfcDoor") else "a window"
    if opening.share_inside >= _WHOLLY:
        return f"the duct passes an opening that is filled by {thing} ({opening.filled_by})"
    share = number_text(100.0 * opening.share_inside, 0)
    return f"{share} % of the duct's outline lies in an opening that is filled by {thing} ({opening.filled_by})"


def _hole_text(piece: Piece, found: Found, frame: PlaneFrame) -> tuple[str, bool]:
    """What to say of a hole that is baked into the barrier's mesh, and whether it can be this duct's own hole."""
    solid = found.walls.solid(piece.barrier)
    section = piece.section()
    if section is None:
        return "the duct passes where the barrier's own mesh has a hole that no opening element explains", False
    for face, point in (
        (piece.inside.entry, piece.leg.at(piece.inside.start)),
        (piece.inside.leave, piece.leg.at(piece.inside.end)),
    ):
        hole = hole_around(solid, face, point, frame)
        if hole is not None:
            room = margins(shadow(section, piece.axis, frame, float(point @ frame.normal)), hole)
            sides = (room.left, room.right, room.top, room.bottom)
            text = "the duct passes a hole in the barrier's own mesh that no opening element explains; room a side "
            text += ", ".join(
                f"{word} {number_text(side)}"
                for word, side in zip(("left", "right", "top", "bottom"), sides, strict=True)
            )
            return f"{text} mm", max(sides) <= HOLE_ROOM_MM
    return "the duct passes where the barrier's own mesh has a hole that no opening element explains", True


def _what_it_is(pieces: Sequence[Piece], service: Service) -> list[PlaceQuery]:
    """Queries about elements of which the model does not say what they are."""
    out = []
    elements = {piece.element.index: piece.element.service for piece in pieces}
    known = service is not Service.UNKNOWN
    for _, element in sorted(elements.items()):
        if element.part is Part.PROXY and not known:
            out.append(PlaceQuery(QueryReason.PROXY, f"{element.guid} is a proxy"))
        elif element.untyped and not known:
            out.append(PlaceQuery(QueryReason.UNTYPED, f"{element.guid} ({element.ifc_class}) has no type"))
    return out


def _of_crossing(
    crossing: Crossing, reason: QueryReason, found: Found, openings: dict[Ref, list[OpeningElement]]
) -> Draft:
    barrier = found.walls.barriers[crossing.barrier]
    frame = crossing.pieces[0].frame
    sized = size_of(crossing.main, frame, found.runs)
    queries = [PlaceQuery(reason, _reason_text(reason, crossing), (barrier.guid,))]
    queries.extend(_what_it_is(crossing.pieces, crossing.service))
    outlines: tuple[tuple[int, PlaneFrame, Outline], ...] = ()
    if crossing.across or reason is QueryReason.GAP_AT_WALL:
        layer, outline, _, _ = _layer(crossing, found, openings, frozenset({crossing.barrier}))
        outlines = ((crossing.barrier, frame, outline),)
    else:
        layer = _plain_layer(barrier, found, settled_mm(crossing.thickness_mm), crossing.centre)
    centre = crossing.centre
    if reason is QueryReason.ENDS_INSIDE:
        centre = np.asarray(np.mean([piece.filled_centre for piece in crossing.across], axis=0))
    place = _place(
        found,
        PlaceKind.QUERY,
        crossing.service,
        (layer,),
        list(crossing.pieces),
        sized,
        frame,
        centre,
        crossing.faces,
        tuple(queries),
    )
    return Draft(replace(place, outline_m=_in_metres(list(outlines), crossing.barrier)), outlines)


def _reason_text(reason: QueryReason, crossing: Crossing) -> str:
    if reason is QueryReason.GAP_AT_WALL:
        gap = max(piece.gap_mm for piece in crossing.pieces)
        ends = "both sides" if len({piece.from_share > 0.5 for piece in crossing.pieces}) > 1 else "one side"
        where = "at the face" if gap <= 0.5 else f"{number_text(gap)} mm before the face"
        return f"a duct ends free {where}, on {ends}"
    if reason is QueryReason.ENDS_INSIDE:
        share = number_text(100.0 * crossing.filled_share, 0)
        return f"the duct fills {share} % of the way from face to face and ends inside"
    if reason is QueryReason.ALONG:
        return "the duct runs along inside the barrier"
    return "the duct cuts a corner or an edge of the barrier"


def _of_contact(contact: Contact, found: Found) -> Draft:
    barrier = found.walls.barriers[contact.barrier]
    element = contact.element
    reason = QueryReason.ALONG if contact.along else QueryReason.CLIPS_EDGE
    depth = number_text(contact.depth_mm)
    text = f"the duct's body reaches {depth} mm into the barrier while its centreline stays outside"
    queries = (PlaceQuery(reason, text, (barrier.guid,)), *_unknown_element(element))
    layer = _plain_layer(barrier, found, settled_mm(contact.thickness_mm), contact.centre)
    place = _place(
        found,
        PlaceKind.QUERY,
        element.service.service,
        (layer,),
        [],
        size_of_element(element, contact.frame),
        contact.frame,
        contact.centre,
        (contact.centre, contact.centre),
        queries,
        alone=[element.service],
    )
    return Draft(place)


def _unknown_element(element: Element) -> tuple[PlaceQuery, ...]:
    service = element.service
    if service.untyped:
        return (PlaceQuery(QueryReason.UNTYPED, f"{service.guid} ({service.ifc_class}) has no type"),)
    return ()


def _plain_layer(barrier: Barrier, found: Found, thickness: float, centre: Floats) -> Layer:
    return Layer(
        barrier_guid=barrier.guid,
        kind=barrier.kind,
        ifc_class=barrier.ifc_class,
        name=barrier.name,
        type_name=barrier.type_name,
        thickness_mm=thickness,
        centre_m=found.site.world_m(_point(centre)),
        material_layers=barrier.material_layers,
        ratings=barrier.ratings,
        reading=found.ratings[barrier.ref],
        edges=None,
        nearest_edge_mm=None,
        opening=None,
    )


def _place(
    found: Found,
    kind: PlaceKind,
    service: Service,
    layers: tuple[Layer, ...],
    pieces: list[Piece],
    sized: Sized,
    frame: PlaneFrame,
    centre: Floats,
    ends: tuple[Floats, Floats],
    queries: tuple[PlaceQuery, ...],
    *,
    alone: Sequence[ServiceElement] = (),
) -> Place:
    site = found.site
    elements = list(alone) or _along_axis(pieces, frame)
    axis = _axis(pieces, frame, ends)
    thickness = settled_mm(sum(layer.thickness_mm for layer in layers))
    thickest = max(layers, key=lambda layer: (layer.thickness_mm, layer.barrier_guid), default=None)
    orientation = BarrierKind.FLOOR if thickest is None else thickest.kind
    storey = storey_at(site, float(centre[2]), orientation, thickness)
    real = [piece for piece in pieces if piece.manner is Manner.ACROSS]
    main = max(real, key=lambda piece: (piece.to_share - piece.from_share, -piece.element.index), default=None)
    reading = _assembly_rating(layers)
    insulation = [element.insulation_mm for element in elements if element.insulation_mm is not None]
    return Place(
        key="",
        kind=kind,
        service=service,
        orientation=orientation,
        storey="" if storey is None else storey.name,
        storey_key="" if storey is None else storey.key,
        storey_said=said_storey(site, elements, storey),
        layers=layers,
        element_guids=tuple(dict.fromkeys(element.guid for element in elements)),
        main_guid=sized.element.guid,
        shape=sized.shape,
        width_mm=sized.width_mm,
        height_mm=sized.height_mm,
        size_from=sized.size_from,
        size_note=sized.note,
        angle_deg=None if main is None else round(main.angle_deg, 3) + 0.0,
        thickness_mm=thickness,
        centre_m=site.world_m(_point(centre)),
        middle_m=site.world_m(_point((ends[0] + ends[1]) / 2.0)),
        axis=_rounded(axis),
        normal=_rounded(frame.normal),
        right=_rounded(frame.right),
        up=_rounded(frame.up),
        outline_m=(),
        neighbours=(),
        damper=None,
        systems=tuple(sorted({system for element in elements for system in element.systems})),
        insulation_mm=max(insulation, default=None),
        rating_text=reading.text,
        rating_min=reading.minutes,
        queries=tuple(sorted(set(queries))),
        names=tuple(dict.fromkeys(element.name for element in elements)),
    )


def draft_of_query(
    found: Found,
    elements: Sequence[Element],
    sized: Sized,
    frame: PlaneFrame,
    point: Floats,
    queries: tuple[PlaceQuery, ...],
    barrier: Barrier | None,
    thickness_mm: float,
) -> Draft:
    """A query about elements at a point where they pass no solid: beside `barrier`, or where none is modelled."""
    layers = () if barrier is None else (_plain_layer(barrier, found, settled_mm(thickness_mm), point),)
    services = [element.service for element in elements]
    place = _place(
        found,
        PlaceKind.QUERY,
        services[0].service,
        layers,
        [],
        sized,
        frame,
        point,
        (point, point),
        queries,
        alone=services,
    )
    return Draft(place)


def _along_axis(pieces: Sequence[Piece], frame: PlaneFrame) -> list[ServiceElement]:
    """The elements in the order in which they come along the barrier's normal."""
    at: dict[int, list[float]] = {}
    by_index = {}
    for piece in pieces:
        at.setdefault(piece.element.index, []).append(float(piece.filled_centre @ frame.normal))
        by_index[piece.element.index] = piece.element.service
    order = sorted(at, key=lambda index: (round(sum(at[index]) / len(at[index]), 3), index))
    return [by_index[index] for index in order]


def _axis(pieces: Sequence[Piece], frame: PlaneFrame, ends: tuple[Floats, Floats]) -> Floats:
    along = ends[1] - ends[0]
    length = float(np.linalg.norm(along))
    if length > 1e-6:
        axis = along / length
        return axis if float(axis @ frame.normal) >= 0.0 else -axis
    return pieces[0].axis if pieces else frame.normal


def _assembly_rating(layers: Sequence[Layer]) -> RatingReading:
    """The rating of all layers: the texts in order; minutes only where every layer that says something agrees."""
    said = [layer.reading for layer in layers if layer.reading.text.strip()]
    text = "; ".join(dict.fromkeys(reading.text for reading in said))
    minutes = {reading.minutes for reading in said}
    if len(minutes) == 1 and None not in minutes:
        criteria = {reading.criteria for reading in said}
        insulation = {reading.insulation_min for reading in said}
        return RatingReading(
            text,
            minutes.pop(),
            insulation.pop() if len(insulation) == 1 else None,
            criteria.pop() if len(criteria) == 1 else "",
        )
    return RatingReading(text)


def _without_shape(found: Found) -> list[Draft]:
    """Elements that have no shape at all can't be placed: each is a query of its own."""
    site, drafts = found.site, []
    for service in site.services:
        if (
            service.ref not in site.no_shape
            or service.service in {Service.PIPE, Service.CABLE}
            or service.part is Part.PROXY
        ):
            continue
        text = f"{service.guid} ({service.ifc_class}): {site.no_shape[service.ref]}"
        drafts.append(Draft(_placeless(found, service.service, (), service, text)))
    for barrier in site.barriers:
        if barrier.ref in site.no_shape:
            text = f"{barrier.guid} ({barrier.ifc_class}): {site.no_shape[barrier.ref]}"
            drafts.append(Draft(_placeless(found, Service.UNKNOWN, (barrier,), None, text)))
    return drafts


def _placeless(
    found: Found, service: Service, barriers: tuple[Barrier, ...], element: ServiceElement | None, text: str
) -> Place:
    site = found.site
    said = element.storey if element is not None else barriers[0].storey
    storey = site.storey_of_guid.get(said)
    layers = tuple(replace(_plain_layer(barrier, found, 0.0, np.zeros(3)), centre_m=None) for barrier in barriers)
    return Place(
        key="",
        kind=PlaceKind.QUERY,
        service=service,
        orientation=barriers[0].kind if barriers else None,
        storey="" if storey is None else storey.name,
        storey_key="" if storey is None else storey.key,
        storey_said="",
        layers=layers,
        element_guids=() if element is None else (element.guid,),
        main_guid="" if element is None else element.guid,
        shape=None,
        width_mm=None,
        height_mm=None,
        size_from=SizeFrom.DUCT,
        size_note="",
        angle_deg=None,
        thickness_mm=0.0,
        centre_m=None,
        middle_m=None,
        axis=None,
        normal=None,
        right=None,
        up=None,
        outline_m=(),
        neighbours=(),
        damper=None,
        systems=() if element is None else element.systems,
        insulation_mm=None if element is None else element.insulation_mm,
        rating_text="",
        rating_min=None,
        queries=(PlaceQuery(QueryReason.NO_GEOMETRY, text, tuple(barrier.guid for barrier in barriers)),),
        names=() if element is None else (element.name,),
    )


def _neighbours(drafts: Sequence[Draft]) -> dict[int, tuple[Neighbour, ...]]:
    """For each draft what else passes one of its barriers near by; the nearest over all common barriers counts."""
    at_barrier: dict[int, list[tuple[int, PlaneFrame, Outline]]] = {}
    for at, draft in enumerate(drafts):
        for barrier, frame, outline in draft.outlines:
            at_barrier.setdefault(barrier, []).append((at, frame, outline))
    nearest: dict[int, dict[int, float]] = {}
    for barrier in sorted(at_barrier):
        entries = at_barrier[barrier]
        for i, (one, frame, outline) in enumerate(entries):
            for other, other_frame, other_outline in entries[i + 1 :]:
                if one == other or angle_between_lines_deg(frame.normal, other_frame.normal) > 1.0:
                    continue
                clear = settled_mm(clear_between(outline, other_outline))
                if clear <= NEIGHBOUR_REACH_MM:
                    for a, b in ((one, other), (other, one)):
                        known = nearest.setdefault(a, {})
                        known[b] = min(known.get(b, clear), clear)
    return {
        at: tuple(
            sorted(
                Neighbour(clear, drafts[b].place.key, drafts[b].place.service, drafts[b].place.element_guids)
                for b, clear in known.items()
            )
        )
        for at, known in nearest.items()
    }


def _in_metres(outlines: Sequence[tuple[int, PlaneFrame, Outline]], barrier: int) -> tuple[tuple[float, float], ...]:
    for at, _, outline in outlines:
        if at == barrier and not outline.is_empty:
            return tuple((round(x / 1000.0, 6) + 0.0, round(y / 1000.0, 6) + 0.0) for x, y in corners_of(outline))
    return ()


def _point(value: Floats) -> tuple[float, float, float]:
    return (float(value[0]), float(value[1]), float(value[2]))


def _rounded(value: Floats) -> tuple[float, float, float]:
    x, y, z = (round(float(part), 9) + 0.0 for part in value)
    return (x, y, z)
