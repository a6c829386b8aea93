# SPDX-License-Identifier: Apache-2.0
"""The clear working zone before the access door, and what the models show standing in it.

The zone is the box that the sheet draws: before the door, as wide and deep as stated, as high as the duct's side (or
the door where that is higher), on the door's side of the barrier. A model never clears a zone: it may lack what is
hung there. What it shows in the zone that the maker asks for fails; what it shows in the rest of it is asked about.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from brattice.building.surroundings import Standing, Surroundings
from brattice.building.words import Handing, MountingPosition, plain
from brattice.details.figures import TO_BE_SETTLED, Figure, Used
from brattice.details.given import Given, used
from brattice.findings import Known, Missing, Origin, Party, Verdict
from brattice.quantities import mm_text

__all__ = ["InZone", "door_along", "in_zone", "zone_clear"]

_STAND_IN_DOOR_MM = 250.0
_STAND_IN_START_MM = 80.0
_NAME_LENGTH = 40
_NAMED = 3
_AXES = ("x", "y")
_LOOK = "Models do not show everything that will hang there: look on site."
_BOTH_WAYS = "The models do not say which way the air flows, so that both sides of the barrier were looked at."

Point = tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class InZone:
    """One thing in the working zone, in the frame of the sheet [mm].

    `along` is from and to along the duct (side A negative), `out` from and to beyond the duct's edge on the side of the
    mechanism. `side` is "A" or "B". `text` names it with its clear distance from the duct.
    """

    along: tuple[float, float]
    out: tuple[float, float]
    side: str
    text: str


@dataclass(frozen=True)
class _Box:
    """A zone in the frame of the surroundings, and how to read what was found in it."""

    low: Point
    high: Point
    axis: int
    sign: int
    edge: float
    side: str

    def clear(self, thing: Standing) -> tuple[float, float]:
        """From and to beyond the duct's edge [mm]."""
        ends = sorted((self.sign * thing.low[self.axis], self.sign * thing.high[self.axis]))
        return ends[0] - self.edge, ends[1] - self.edge


@dataclass(frozen=True)
class _Found:
    """One thing in one zone: its clear distance from the duct, how far it stands into the zone [mm]."""

    thing: Standing
    box: _Box
    clear: float
    into: float

    @property
    def words(self) -> str:
        name = " ".join(self.thing.name.split())
        short = name if len(name) <= _NAME_LENGTH else f"{name[: _NAME_LENGTH - 1]}…"
        return f"{self.thing.what} '{short}'" if short else f"{self.thing.what} without a name"

    @property
    def text(self) -> str:
        return f"{self.words}, {mm_text(self.into)} into it, side {self.box.side}"

    @property
    def distance(self) -> str:
        return f"{self.words}: {mm_text(self.clear)} from the duct"


@dataclass(frozen=True)
class _Look:
    """One place where the zone may be: which way the air would flow, what stands there, and in the maker's own zone."""

    flow: int
    found: tuple[_Found, ...]
    in_makers: tuple[_Found, ...]


@dataclass(frozen=True)
class _Looked:
    """All places where the zone may be; `is_certain` that sizes and sides are stated, the flow aside."""

    looks: tuple[_Look, ...]
    is_certain: bool
    around: Surroundings

    @property
    def fails(self) -> bool:
        """Whether something stands in the maker's own zone wherever the zone may be."""
        return self.is_certain and all(any(item.thing.is_certain for item in look.in_makers) for look in self.looks)

    @property
    def found(self) -> tuple[_Found, ...]:
        """What counts: where the maker's zone fails, what stands in that; else all that stands in the stated one."""
        own = tuple(dict.fromkeys(item for look in self.looks for item in look.in_makers))
        if self.fails:
            return tuple(item for item in own if item.thing.is_certain)
        return tuple(dict.fromkeys(item for look in self.looks for item in look.found)) or own


def door_along(given: Given) -> tuple[float, float, float, bool]:
    """The access door along the duct and the closed blade, from the barrier's centre plane [mm].

    Gives start and end of the door, the blade, and whether all of it is stated; what is not stands where the sheet
    draws it. Side B is positive.
    """
    penetration, product, detail = given.penetration, given.product, given.penetration.detail
    thickness = penetration.barrier.thickness_mm
    half = _half(given)
    length = None if product is None else product.casing_length_mm
    casing = float(length) if length is not None and length > 0 else 2 * half + 160.0
    from_end = None if product is None else product.blade_from_end_mm
    inward = float(from_end) if from_end is not None and 0 < from_end < casing else casing / 2
    position = None if given.tested is None else given.tested.position
    offset = penetration.damper.blade_offset_mm
    known = isinstance(thickness, Known) and length is not None
    if position is MountingPosition.ON_FACE:
        start = half
    elif position is MountingPosition.REMOTE:
        start = half + max(0.8 * casing, 150.0)
        known = False  # nobody states how far from the barrier
    else:
        start = (float(offset.value) if isinstance(offset, Known) else 0.0) - (casing - inward)
        known = known and isinstance(offset, Known)
    end, blade = start + casing, start + casing - inward
    width, distance = detail.door_width_mm, detail.door_distance_mm
    if isinstance(distance, Known):
        near = max(blade + distance.value, end)
    else:
        near, known = end + _STAND_IN_START_MM, False
    known = known and isinstance(width, Known) and isinstance(detail.door_height_mm, Known)
    long = float(width.value) if isinstance(width, Known) and width.value > 0 else _STAND_IN_DOOR_MM
    return near, near + long, blade, known


def _half(given: Given) -> float:
    thickness, around = given.penetration.barrier.thickness_mm, given.penetration.around
    if isinstance(thickness, Known):
        return float(thickness.value) / 2
    return 0.0 if around is None else around.half_mm


def _sides(handing: Handing | None, flow: int, *, is_floor: bool) -> Iterable[tuple[int, int]]:
    """The axis of the frame (1 to the right, 2 up) and its sign on which the mechanism may sit.

    Left and right are seen along the airflow; up in a wall is up whichever way the air flows.
    """
    sides = {
        Handing.LEFT: (1, -flow),
        Handing.RIGHT: (1, flow),
        Handing.TOP: (2, 1),
        Handing.BOTTOM: (2, -1),
    }
    if handing is None:
        return tuple(dict.fromkeys(sides.values()))
    axis, sign = sides[handing]
    if is_floor and axis == 2:
        return ((axis, 1), (axis, -1))  # no convention says which way up is in a floor
    return ((axis, sign),)


def _door_sides(given: Given, *, is_floor: bool) -> tuple[tuple[str, ...], ...]:
    """On which sides of the barrier the door may be, each possibility by itself: as the words of the access name them.

    Words that name neither leave both open. Either side is enough: then it is where the sheet draws it, on side B.
    """
    both = given.penetration.detail.reach_both_sides
    if isinstance(both, Known) and both.value:
        return (("B", "A"),)
    fact = given.penetration.damper.access_side
    said = f" {plain(fact.value)} " if isinstance(fact, Known) else ""
    names_a, names_b = " side a " in said, " side b " in said
    if is_floor:
        names_a, names_b = names_a or " below " in said, names_b or " above " in said
    if names_a != names_b:
        return (("A",),) if names_a else (("B",),)
    if names_a or " either side " in said or " both sides " in said:
        return (("B",),)
    return ("B",), ("A",)


def _boxes(
    given: Given, turn: int, axis: int, sign: int, sides_of_door: tuple[str, ...]
) -> tuple[tuple[_Box, ...], tuple[_Box, ...]]:
    """The stated zone and the maker's own, one box a side that has to be reached; none where it is not stated."""
    detail, size, product = given.penetration.detail, given.size, given.product
    width, depth = detail.zone_width_mm, detail.zone_depth_mm
    if size is None or not isinstance(width, Known) or not isinstance(depth, Known):
        return (), ()
    lengths = (float(size.value.width_mm), float(size.value.height_mm or size.value.width_mm))
    edge, other = (lengths[0] / 2, lengths[1]) if axis == 1 else (lengths[1] / 2, lengths[0])
    start, end, blade, _ = door_along(given)
    door = detail.door_height_mm
    tall = float(door.value) if isinstance(door, Known) else 0.0
    half, middle = _half(given), (start + end) / 2

    def made(low: float, high: float, deep: float, across: float) -> tuple[_Box, ...]:
        if middle > half:
            low = max(low, half)
        ends = {"B": (low, high), "A": (min(2 * blade - high, -half), min(2 * blade - low, -half))}
        return tuple(
            _box(ends[side], (edge, edge + deep), across, turn=turn, axis=axis, sign=sign, side=side)
            for side in sides_of_door
            if ends[side][1] > ends[side][0]
        )

    stated = made(middle - width.value / 2, middle + width.value / 2, float(depth.value), max(other, tall))
    makers = None if product is None else product.zone_depth_mm
    own = () if makers is None or not tall else made(start, end, float(makers), min(other, tall))
    return stated, own


def _box(
    along: tuple[float, float],
    out: tuple[float, float],
    across: float,
    *,
    turn: int,
    axis: int,
    sign: int,
    side: str,
) -> _Box:
    a, b = sorted(turn * part for part in along)
    c, d = sorted(sign * part for part in out)
    half = across / 2
    if axis == 1:
        return _Box((a, c, -half), (b, d, half), axis, sign, out[0], side)
    return _Box((a, -half, c), (b, half, d), axis, sign, out[0], side)


def _look(given: Given) -> _Looked | None:
    """Look into every place where the zone may be; None where it is not stated or no model shows the place."""
    around, detail = given.penetration.around, given.penetration.detail
    if around is None or given.size is None:
        return None
    if not isinstance(detail.zone_width_mm, Known) or not isinstance(detail.zone_depth_mm, Known):
        return None
    handing = detail.handing.value if isinstance(detail.handing, Known) else None
    looks = []
    for flow in (around.flow,) if around.flow else (1, -1):
        turn = flow  # side B is where the air goes; of a floor it is above
        if around.is_floor:
            turn = 1 if float(around.along[2]) > 0 else -1
        for axis, sign in _sides(handing, flow, is_floor=around.is_floor):
            for sides in _door_sides(given, is_floor=around.is_floor):
                stated, makers = _boxes(given, turn, axis, sign, sides)
                looks.append(_Look(flow, _found(given, stated, around), _found(given, makers, around)))
    certain = handing is not None and door_along(given)[3] and isinstance(given.penetration.duct.size, Known)
    return _Looked(tuple(looks), certain, around)


def _found(given: Given, boxes: Sequence[_Box], around: Surroundings) -> tuple[_Found, ...]:
    ceiling_told = isinstance(given.penetration.detail.ceiling, Known)  # judged by its own figures
    found = []
    for box in boxes:
        deep = box.high[box.axis] - box.low[box.axis]
        for thing in around.standing_in(box.low, box.high):
            if not (thing.is_ceiling and ceiling_told):
                near, _ = box.clear(thing)
                found.append(_Found(thing, box, near, deep - near))
    return tuple(sorted(found, key=lambda item: (item.clear, item.words, item.thing.guid, item.box.side)))


def zone_clear(given: Given) -> Figure | None:
    """What stands in the working zone, as far as models and schedule say; None where no zone is stated."""
    detail, product = given.penetration.detail, given.product
    if not isinstance(detail.zone_width_mm, Known) or not isinstance(detail.zone_depth_mm, Known):
        return None
    makers = None if product is None else product.zone_depth_mm
    limit = "free, as scheduled" if makers is None else f"free for {mm_text(makers)} before the door, by the maker"
    seen = detail.zone_clear
    looked = _look(given)
    where = _where(looked)
    found = () if looked is None else looked.found
    uses = (*(_used(item) for item in _once(found)), *used("working zone seen clear", seen))
    if makers is not None and found:
        uses = (*uses, given.of_maker("working zone", makers, "mm"))
    says_clear = isinstance(seen, Known) and seen.value
    if looked is not None and looked.fails:
        if says_clear:
            about = f"Which is right: the working zone is stated to be clear, and in the models {_list(found)} in it"
            return _asked(given, found, limit, uses, about, f"Stated to be clear; the models say otherwise. {where}")
        note = (
            f"In the models {_list(found)} in the working zone that the maker asks for. Move what stands there, or "
            f"choose another place for door and mechanism. {where}"
        )
        text = _text(found)
        return given.figure("zone-clear", text=text, limit=limit, verdict=Verdict.FAIL, uses=uses, note=note)
    if says_clear:
        shown = f"The models show that {_list(found)} in it. " if found else ""
        note = f"Somebody saw that nothing stands in it; look again once all services are in. {shown}{where}"
        return given.figure("zone-clear", text="seen to be clear", limit=limit, uses=uses, note=note)
    if isinstance(seen, Known):
        about = "What stands in the working zone, which is stated not to be clear, and who moves it"
        return _asked(given, found, limit, uses, about, f"Stated not to be clear. {where}")
    if found and looked is not None:
        about = f"Whether {_list(found)} in the working zone, and who moves what"
        return _asked(given, found, limit, uses, about, f"{_why(looked)} {where}")
    text = "look on site" if looked is None else "nothing in the models; look on site"
    return given.figure("zone-clear", text=text, limit=limit, note=where)


def _where(looked: _Looked | None) -> str:
    """What was looked at, and what that leaves open."""
    if looked is None:
        return "No model that was read shows this place: what stands in the zone is for the site to see."
    where = f"Looked at: {', '.join(looked.around.files)}. {_LOOK}"
    return where if looked.around.flow else f"{_BOTH_WAYS} {where}"


def _text(found: Sequence[_Found]) -> str:
    once = _once(found)
    return once[0].text if len(once) == 1 else f"{once[0].text}; and {len(once) - 1} more"


def _asked(given: Given, found: Sequence[_Found], limit: str, uses: tuple[Used, ...], about: str, note: str) -> Figure:
    name = given.penetration.id
    ask = Missing(f"penetration/{name}/zone-clear", f"{about}: {name}", Party.SERVICES_DESIGNER)
    return given.figure(
        "zone-clear",
        text=_text(found) if found else "not clear",
        limit=limit,
        verdict=Verdict.UNKNOWN,
        uses=uses,
        missing=(ask,),
        note=note,
    )


def _once(found: Sequence[_Found]) -> tuple[_Found, ...]:
    """Each thing once, where it comes nearest."""
    first: dict[tuple[str, str], _Found] = {}
    for item in found:
        first.setdefault((item.thing.file, item.thing.guid), item)
    return tuple(first.values())


def _used(item: _Found) -> Used:
    origin = Origin(item.thing.file, f"GlobalId {item.thing.guid}")
    return Used(f"in the models: {item.words}", f"{mm_text(item.clear)} from the duct", origin)


def _list(found: Sequence[_Found]) -> str:
    once = _once(found)
    names = [f"{item.words} ({mm_text(item.clear)} from the duct)" for item in once[:_NAMED]]
    if len(once) > _NAMED:
        names.append(f"{len(once) - _NAMED} more")
    return f"{' and '.join(names)} {'stands' if len(once) == 1 else 'stand'}"


def _why(looked: _Looked) -> str:
    """Why what was found does not fail the zone but has to be asked about."""
    if len(looked.looks) > 1 and len({bool(look.found) for look in looked.looks}) > 1:
        said = [f"{_way(looked.around, look.flow)}: {_names(look)}" for look in looked.looks if look.found]
        if len(looked.looks) == 2 and len({look.flow for look in looked.looks}) == 1:
            return (
                f"It depends on the side of the barrier that it is reached from. {'; '.join(said)}; the other nothing."
            )
        if len(looked.looks) == 2:
            return f"It depends on which way the air flows. {'; '.join(said)}; the other way nothing."
        said = [item for number, item in enumerate(said) if item not in said[:number]]
        return f"It depends on the side of the mechanism, of the barrier and the airflow. {'; '.join(said)}."
    if any(look.in_makers for look in looked.looks) and not looked.is_certain:
        return "The place of the zone is not certain while door, blade or side of the mechanism are not stated."
    return "It stands in the zone that is scheduled, which no maker's statement asks for there."


def _names(look: _Look) -> str:
    return ", ".join(item.words for item in _once(look.found)[:_NAMED])


def _way(around: Surroundings, flow: int) -> str:
    along = flow * around.along
    largest = int(np.argmax(np.abs(along)))
    if largest == 2:
        return "upwards" if along[2] > 0 else "downwards"
    return f"towards {'larger' if along[largest] > 0 else 'smaller'} {_AXES[largest]}"


def in_zone(given: Given, figure: Figure | None) -> tuple[InZone, ...]:
    """What is drawn of the things in the zone: only where one place of the zone is certain."""
    if figure is None or figure.verdict is Verdict.NOT_APPLICABLE or figure.text == TO_BE_SETTLED:
        return ()
    looked = _look(given)
    if looked is None or not looked.is_certain or len(looked.looks) != 1 or looked.around.is_floor:
        return ()
    drawn = []
    for item in looked.looks[0].found:
        a, b = sorted(looked.looks[0].flow * part for part in (item.thing.low[0], item.thing.high[0]))
        drawn.append(InZone((a, b), item.box.clear(item.thing), item.box.side, item.distance))
    return tuple(drawn)
