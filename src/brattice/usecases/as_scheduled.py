# SPDX-License-Identifier: Apache-2.0
"""What a schedule shows by itself, before any evidence is loaded: rows that are one place, holes that hold nothing,
orders that can't be placed. Nothing here is ever a pass for the damper itself.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from brattice.building.penetration import Penetration, Size
from brattice.building.words import plain
from brattice.errors import OwnFault
from brattice.evidence.codes import GAP
from brattice.evidence.installation import TestedInstallation
from brattice.findings import Fact, Known, Missing, Party, Reason, Unknown, Verdict
from brattice.quantities import size_text
from brattice.rows import RowBook
from brattice.usecases.combine import agree

__all__ = [
    "ONE_PLACE",
    "OPENING_SIZE",
    "ORDER_FACTS",
    "ORDER_ROW",
    "PlacesStated",
    "beside_the_gap",
    "check_one_place",
    "check_opening_size",
    "check_order_facts",
]

ONE_PLACE = "one-place"
OPENING_SIZE = "opening-size"
ORDER_FACTS = "order-facts"
ORDER_ROW = "order.facts"
"""The row that lists what an order of a damper says."""

_SHOWN = 6


# --- two rows for one place -----------------------------------------------------------------------------------------

_Place = tuple[object, ...]


def _value(fact: Fact[object]) -> object:
    value = fact.value if isinstance(fact, Known) else None
    return plain(value) if type(value) is str else value


def _stated_place(penetration: Penetration) -> _Place | None:
    """All that words say of a place, but which side of the duct is its width; None where that is too little.

    A place with coordinates is told from all others by these.
    """
    location, duct, barrier = penetration.location, penetration.duct, penetration.barrier
    words = plain(location.words)
    if location.centre_m is not None or not words or isinstance(duct.size, Unknown):
        return None
    if isinstance(location.storey, Unknown):
        return None
    size = duct.size.value
    sides = (size.width_mm,) if size.height_mm is None else tuple(sorted((size.width_mm, size.height_mm)))
    facts = (location.storey, duct.system, barrier.orientation, barrier.role, barrier.wall_type_code)
    return (words, sides, *map(_value, facts))


def _neighbours(penetration: Penetration) -> frozenset[tuple[object, ...]]:
    return frozenset(
        (near.to, near.distance_mm.value, near.from_surface, near.to_surface)
        for near in penetration.separations
        if isinstance(near.distance_mm, Known)
    )


def _say_they_are_two(one: Penetration, other: Penetration) -> bool:
    """Whether either row names the other, as its neighbour or in the same hole, or they state unlike neighbours."""
    if _neighbours(one) != _neighbours(other):
        return True
    pairs = ((one, other.id), (other, one.id))
    return any(
        name in item.opening.shared_with or any(near.to == name for near in item.separations) for item, name in pairs
    )


@dataclass(frozen=True)
class PlacesStated:
    """The penetrations of a job by all that words say of their places."""

    by_place: Mapping[_Place, tuple[Penetration, ...]]

    @classmethod
    def of(cls, penetrations: Iterable[Penetration]) -> PlacesStated:
        """Those of some penetrations, in the order of their ids."""
        found: dict[_Place, list[Penetration]] = {}
        for item in sorted(penetrations, key=lambda item: item.id):
            place = _stated_place(item)
            if place is not None:
                found.setdefault(place, []).append(item)
        return cls({place: tuple(items) for place, items in found.items()})


def check_one_place(penetration: Penetration, places: PlacesStated) -> Reason:
    """Nothing but its reference tells the row from another: either the place is stated too coarsely, or it stands
    twice; with width and height exchanged, one of the two is wrong (common practice; trade handbook, field case 15).

    Rows that name each other as neighbours, or in one hole, say themselves that they are two; so do rows that state
    other distances.
    """
    place = _stated_place(penetration)
    if place is None:
        text = "Storey, place in words and size are not all stated, or the place has coordinates."
        return Reason(ONE_PLACE, Verdict.NOT_APPLICABLE, text)
    together = [
        item
        for item in places.by_place.get(place, ())
        if item.id != penetration.id and not _say_they_are_two(item, penetration)
    ]
    need = "a place of its own: grid, room or side in words, or the neighbour named"
    if not together:
        return Reason(ONE_PLACE, Verdict.PASS, "No other row states the same place.", penetration.location.words, need)
    ids = sorted([penetration.id, *(item.id for item in together)])
    named = ", ".join(ids[:_SHOWN]) + (f" and {len(ids) - _SHOWN} more" if len(ids) > _SHOWN else "")
    turned = any(_turned(item, penetration) for item in together)
    text = "Storey, place, duct and barrier are those of another row; it may be the same penetration twice."
    if turned:
        text = "Another row states the same place with width and height exchanged; one of the two is wrong."
    asked = "one penetration or several" + (", and which size is width × height" if turned else "")
    missing = Missing(f"penetration/{ids[0]}/{ONE_PLACE}", f"Whether {named} are {asked}", Party.SERVICES_DESIGNER)
    origins = tuple(
        sorted({item.duct.size.origin for item in (penetration, *together) if isinstance(item.duct.size, Known)})
    )
    return Reason(ONE_PLACE, Verdict.UNKNOWN, text, named, need, (), (missing,), origins)


def _turned(one: Penetration, other: Penetration) -> bool:
    if isinstance(one.duct.size, Unknown) or isinstance(other.duct.size, Unknown):
        return False
    return agree(one.duct.size.value, other.duct.size.value) is not Verdict.PASS


# --- holes that hold nothing ----------------------------------------------------------------------------------------


def _goes_in(size: Size, hole: Size) -> bool:
    """Whether a duct or damper of a size goes through a hole with anything left round it. Compared before rounding."""
    if hole.height_mm is None:
        across = size.width_mm if size.height_mm is None else math.hypot(size.width_mm, size.height_mm)
        return across < hole.width_mm
    height = size.width_mm if size.height_mm is None else size.height_mm
    return size.width_mm < hole.width_mm and height < hole.height_mm


def _is_turned(damper: Fact[Size], duct: Fact[Size]) -> bool:
    """Whether a damper has the size of its duct with width and height exchanged."""
    if isinstance(damper, Unknown) or isinstance(duct, Unknown) or damper.value.height_mm is None:
        return False
    turned = Size(damper.value.height_mm, damper.value.width_mm)
    fits = agree(damper.value, duct.value) is Verdict.PASS
    return not fits and agree(turned, duct.value) is Verdict.PASS


def check_opening_size(penetration: Penetration) -> Reason:
    """Each opening that is stated is larger than duct and damper; no size of seal, and no tested gap, is asked here.

    A casing encloses its duct, so an opening of the very size holds neither casing nor seal (common practice; trade
    handbook, field cases 12 and 29: say which opening is meant). A damper that is turned against its duct is rejected
    for that, and never measured by the opening.
    """
    opening, damper = penetration.opening, penetration.damper
    absent = isinstance(damper.present, Known) and not damper.present.value
    turned = _is_turned(damper.size, penetration.duct.size)
    holes = [("framed opening", opening.framed), ("finished clear opening", opening.finished)]
    stated = [(name, hole) for name, hole in holes if isinstance(hole, Known)]
    if not stated:
        return Reason(OPENING_SIZE, Verdict.NOT_APPLICABLE, "No framed or finished clear opening is stated.")
    asked = [("duct", penetration.duct.size), *(() if absent or turned else (("damper", damper.size),))]
    inside = [(name, size) for name, size in asked if isinstance(size, Known)]
    have = ", ".join(f"{name} {size_text(hole.value.width_mm, hole.value.height_mm)}" for name, hole in stated)
    need = ", ".join(f"{name} {size_text(size.value.width_mm, size.value.height_mm)}" for name, size in inside)
    origins = tuple(sorted({fact.origin for _, fact in (*stated, *inside)}))
    tight = [
        (what, where, hole) for where, hole in stated for what, size in inside if not _goes_in(size.value, hole.value)
    ]
    if tight:
        text = f"The {tight[0][1]} leaves no room for the {tight[0][0]} and a seal round it."
        if all(
            hole.value.height_mm is not None
            and all(_goes_in(size.value, Size(hole.value.height_mm, hole.value.width_mm)) for _, size in inside)
            for _, _, hole in tight
        ):
            text += " With width and height exchanged it would: one of the two is turned."
        return Reason(OPENING_SIZE, Verdict.FAIL, text, have, f"more than {need}", (), (), origins)
    missing = tuple(sorted({size.missing for _, size in asked if isinstance(size, Unknown)}))
    if missing:
        text = "Whether the opening holds duct and damper can't be told."
        return Reason(OPENING_SIZE, Verdict.UNKNOWN, text, have, "the sizes of duct and damper", (), missing, origins)
    text = "Each opening that is stated is larger than duct and damper; which gap is needed, the test says."
    return Reason(OPENING_SIZE, Verdict.PASS, text, have, f"more than {need}", (), (), origins)


def beside_the_gap(hole: Reason, judged: Iterable[Reason]) -> Reason:
    """What `check_opening_size` says beside the checks of a tested installation.

    Where these say that a gap is outside the tested window, they say by how much each side is off and what would cure
    it: an opening that holds nothing is then the same fault in other words.
    """
    said = any(reason.code == GAP and reason.verdict is Verdict.FAIL for reason in judged)
    if hole.verdict is not Verdict.FAIL or not said:
        return hole
    return replace(hole, verdict=Verdict.NOT_APPLICABLE, text="The gap of each side says it.")


# --- orders ---------------------------------------------------------------------------------------------------------


def _order_fact(penetration: Penetration, name: str, pinned: TestedInstallation | None) -> Fact[object]:
    damper = penetration.damper
    facts: dict[str, Fact[object]] = {
        "maker": damper.maker if pinned is None else Known(pinned.maker, pinned.origin),
        "product": damper.product if pinned is None else Known(pinned.product, pinned.origin),
        "damper size": damper.size,
        "damper class": damper.class_text,
        "actuation": damper.actuation,
        "access side": damper.access_side,
        "fixing": penetration.installation.fixing,
    }
    if name not in facts:
        raise OwnFault(f"the row {ORDER_ROW} names {name!r}, which no penetration has")
    return facts[name]


def check_order_facts(penetration: Penetration, book: RowBook, pinned: TestedInstallation | None = None) -> Reason:
    """All that an order of this damper has to say is stated; a line that lacks something is held, and says what.

    Maker and product may be those of the installation that the project pins. The list is a row (common practice;
    trade handbook rows 3.16 and 5.5, field cases 8, 15 and 16).
    """
    present = penetration.damper.present
    if isinstance(present, Known) and not present.value:
        return Reason(ORDER_FACTS, Verdict.NOT_APPLICABLE, "No damper is scheduled or modelled here.")
    if isinstance(present, Unknown):
        text = "Whether a damper is to be ordered is not known."
        return Reason(ORDER_FACTS, Verdict.UNKNOWN, text, missing=(present.missing,))
    names = book.need(ORDER_ROW).value
    if not isinstance(names, tuple):
        raise OwnFault(f"the row {ORDER_ROW} is no list")
    facts = [(str(name), _order_fact(penetration, str(name), pinned)) for name in names]
    lacking = [(name, fact.missing) for name, fact in facts if isinstance(fact, Unknown)]
    need = ", ".join(name for name, _ in facts)
    if not lacking:
        return Reason(ORDER_FACTS, Verdict.PASS, "All that an order has to say is stated.", "", need, (ORDER_ROW,))
    text = f"Hold the order line: {', '.join(name for name, _ in lacking)} not stated."
    missing = tuple(sorted({item for _, item in lacking}))
    have = ", ".join(name for name, fact in facts if isinstance(fact, Known)) or "nothing"
    return Reason(ORDER_FACTS, Verdict.UNKNOWN, text, have, need, (ORDER_ROW,), missing)
