# SPDX-License-Identifier: Apache-2.0
"""How far a penetration is from its neighbours: what its row, other rows and the models say of each, held together.

A row states the nearest neighbour of a kind. That covers the distance to this one alone: every other neighbour that
the models show, or that another row tells of, is judged as well. What one row says of the distance between two holds
for both of them.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import combinations

from brattice.building.penetration import Separation
from brattice.building.schedule import ScheduleRow, StatedDistance
from brattice.building.words import Orientation, SeparationFill, Surface
from brattice.evidence.checks_separation import CONSTRUCTION, lies_within
from brattice.findings import Fact, Known, Missing, Party, Reason, Unknown, Verdict
from brattice.quantities import mm_text
from brattice.usecases.combine import AGREE_MM, Merging

__all__ = ["Told", "separations_of", "told_distances"]


@dataclass(frozen=True)
class Told:
    """The distances to neighbours that rows tell of one penetration.

    `own` are those of its own row, `by_others` those that other rows state to it, turned round. `ids` gives the
    permanent id of every name that the job uses for a penetration; neighbours are called by it where there is one.
    """

    own: tuple[StatedDistance, ...] = ()
    by_others: tuple[StatedDistance, ...] = ()
    ids: Mapping[str, str] | None = None

    def called(self, name: str) -> str:
        """The permanent id of a neighbour that is called so, else the name itself."""
        return (self.ids or {}).get(name, name)

    def is_known(self, name: str) -> bool:
        """Whether this names a penetration of the job."""
        return name in (self.ids or {})


def told_distances(rows: Iterable[tuple[str, ScheduleRow | None]], ids: Mapping[str, str]) -> dict[str, Told]:
    """What the rows of a job tell of each penetration, by permanent id.

    Parameters
    ----------
    rows : the permanent id of each penetration, with its row
    ids : the permanent id of every name that the job uses for a penetration
    """
    own: dict[str, tuple[StatedDistance, ...]] = {}
    others: dict[str, list[StatedDistance]] = {}
    for mine, row in rows:
        own[mine] = tuple(
            item if item.to in CONSTRUCTION else replace(item, to=ids.get(item.to, item.to))
            for item in (row.distances if row is not None else ())
        )
        for item in own[mine]:
            if item.to in ids and item.to not in (*CONSTRUCTION, mine):
                turned = replace(item, to=mine, from_surface=item.to_surface, to_surface=item.from_surface)
                others.setdefault(item.to, []).append(turned)
    return {
        mine: Told(stated, tuple(sorted(others.get(mine, ()), key=lambda item: item.to)), ids)
        for mine, stated in own.items()
    }


def _kind(to: str) -> str:
    return to if to in CONSTRUCTION else "damper"


def _not_told(merging: Merging, told: set[str], orientation: Fact[Orientation]) -> Iterator[Separation]:
    """Distances that nobody states, as questions: no word about a neighbour doesn't say that there is none."""
    in_floor = isinstance(orientation, Known) and orientation.value is Orientation.FLOOR
    for kind in ("damper", "wall") if in_floor else ("damper", "wall", "floor"):
        if kind in told:
            continue
        missing = Missing(
            f"penetration/{merging.id}/distance-to-{kind}",
            f"How far {merging.id} is from the nearest {'other damper' if kind == 'damper' else kind}",
            Party.SERVICES_DESIGNER,
        )
        other = kind == "damper"
        to_surface = Surface.CASING if other else Surface.FACE
        name = "another damper" if other else kind
        yield Separation(name, Unknown(missing), Surface.CASING, to_surface, Unknown(missing))


def _names_itself(merging: Merging, item: StatedDistance) -> Reason:
    missing = Missing(
        f"penetration/{merging.id}/distance-to-damper",
        f"How far {merging.id} is from the nearest other damper",
        Party.SERVICES_DESIGNER,
    )
    return Reason(
        "sources",
        Verdict.UNKNOWN,
        "The row names its own penetration as the nearest damper.",
        mm_text(item.distance_mm.value),
        "the nearest other damper",
        (),
        (missing,),
        (item.distance_mm.origin,),
    )


def _nearest_fill(merging: Merging, of: str) -> tuple[str, Known[SeparationFill] | None]:
    """The key under which a penetration's row is asked what lies before its nearest neighbour, and its answer."""
    key = f"penetration/{of}/separation-fill"
    return key, merging.answered.get(key)


@dataclass(frozen=True)
class _Said:
    """A distance to another penetration as one source says it; `answer` is what was answered of its nearest."""

    separation: Separation
    is_stated: bool
    answer: Known[SeparationFill] | None = None


def _stated(merging: Merging, item: StatedDistance, of: str) -> _Said:
    """A distance that the row of `of` states."""
    key, answer = _nearest_fill(merging, of)
    text = f"What lies between {of} and its nearest neighbour: wall or batt"
    fill: Fact[SeparationFill] = item.fill or answer or Unknown(Missing(key, text, Party.FIRESTOPPER))
    return _Said(Separation(item.to, item.distance_mm, item.from_surface, item.to_surface, fill), True, answer)


def _clash(one: _Said, other: _Said) -> bool:
    """Whether two distances to one neighbour can't both be true: between surfaces farther out there is less.

    A model may draw a damper before its product is chosen, with a casing no wider than the duct: a row that states
    less between the same casings knows better, and the less is what is judged.
    """
    for inner, outer in ((one, other), (other, one)):
        inside, outside = inner.separation, outer.separation
        if not isinstance(inside.distance_mm, Known) or not isinstance(outside.distance_mm, Known):
            continue
        ends = (outside.from_surface, outside.to_surface)
        if (inside.from_surface, inside.to_surface) == ends and not outer.is_stated and Surface.CASING in ends:
            continue
        both_inside = lies_within(inside.from_surface, ends[0]) and lies_within(inside.to_surface, ends[1])
        if both_inside and outside.distance_mm.value > inside.distance_mm.value + AGREE_MM:
            return True
    return False


def _seen_from(first: str, mine: str, item: Separation) -> str:
    """A distance in words, always seen from the same of the two, so that both ask one question."""
    if not isinstance(item.distance_mm, Known):
        return "not known"
    ends = (item.from_surface, item.to_surface) if first == mine else (item.to_surface, item.from_surface)
    return f"{mm_text(item.distance_mm.value)} {ends[0]} to {ends[1]} ({item.distance_mm.origin})"


def _which_distance(merging: Merging, one: Separation, other: Separation) -> Missing:
    """The question which of two distances to one neighbour is right; the reason for it is kept."""
    first, second = sorted((merging.id, one.to))
    texts = sorted(_seen_from(first, merging.id, item) for item in (one, other))
    missing = Missing(
        f"penetration/{first} and {second}/distance/sources",
        f"Which clear distance between {first} and {second} is right: {texts[0]} or {texts[1]}",
        Party.SERVICES_DESIGNER,
    )
    origins = sorted(fact.origin for fact in (one.distance_mm, other.distance_mm) if isinstance(fact, Known))
    merging.reasons.append(
        Reason(
            "sources",
            Verdict.UNKNOWN,
            f"Two sources contradict each other about the distance to {one.to}.",
            " and ".join(texts),
            "one distance",
            (),
            (missing,),
            tuple(origins),
        )
    )
    return missing


def _fill(merging: Merging, said: Sequence[_Said]) -> Fact[SeparationFill]:
    """What lies between the two, by every source that says it; where they differ, one question for both."""
    one, other = sorted((merging.id, said[0].separation.to))
    key = f"penetration/{one} and {other}/separation-fill"
    facts: list[Fact[SeparationFill] | None] = [item.separation.fill for item in said]
    facts += [merging.answered.get(key), *(item.answer for item in said)]
    known = [fact for fact in facts if isinstance(fact, Known)]
    if not known:
        return Unknown(Missing(key, f"What lies between {one} and {other}: wall or batt", Party.FIRESTOPPER))
    differing = next((fact for fact in known if fact.value is not known[0].value), None)
    if differing is None:
        return known[0]
    texts = sorted(f"{fact.value} ({fact.origin})" for fact in (known[0], differing))
    text = f"Which lies between {one} and {other}: {texts[0]} or {texts[1]}"
    return Unknown(Missing(f"{key}/sources", text, Party.FIRESTOPPER))


def _one_neighbour(merging: Merging, said: Sequence[_Said]) -> tuple[Separation, ...]:
    """All that is said of the distance to one neighbour as what is to be judged: it counts once.

    A distance that a row states goes before the modelled one, which stays as a check. Where they contradict each
    other, neither is taken.
    """
    fill = _fill(merging, said)
    clash = next(((a.separation, b.separation) for a, b in combinations(said, 2) if _clash(a, b)), None)
    side = next((item.separation.side for item in said if item.separation.side), "")
    first = replace(said[0].separation, fill=fill, side=side)
    if clash is not None:
        return (replace(first, distance_mm=Unknown(_which_distance(merging, *clash))),)
    judged = {(first.from_surface, first.to_surface): first}
    for item in said[1:]:
        if item.is_stated:
            other = item.separation
            judged.setdefault((other.from_surface, other.to_surface), replace(other, fill=fill, side=side))
    return tuple(judged.values())


def _same_side(stated: Separation, modelled: Sequence[Separation]) -> str:
    """The side of a wall or floor whose distance a row states: that of the modelled one, where both are the same."""
    for item in modelled:
        if not isinstance(stated.distance_mm, Known) or not isinstance(item.distance_mm, Known):
            continue
        ends = (item.from_surface, item.to_surface) == (stated.from_surface, stated.to_surface)
        if ends and abs(item.distance_mm.value - stated.distance_mm.value) <= AGREE_MM:
            return item.side
    return ""


def _check_nearest(merging: Merging, kind: str, own: Sequence[Separation], others: Sequence[Separation]) -> None:
    """Ask where a row calls one neighbour the nearest and another source has a nearer one."""
    nearer = [
        (mine.distance_mm, other.distance_mm)
        for mine in own
        for other in others
        if isinstance(mine.distance_mm, Known)
        and isinstance(other.distance_mm, Known)
        and lies_within(other.from_surface, mine.from_surface)
        and lies_within(other.to_surface, mine.to_surface)
        and other.distance_mm.value + AGREE_MM < mine.distance_mm.value
    ]
    if nearer:
        stated, least = min(nearer, key=lambda pair: (pair[1].value, pair[1].origin, pair[0].value))
        merging.fact(f"distance_to_{kind}_mm", (stated, least), Party.SERVICES_DESIGNER)


def _dampers(merging: Merging, told: Told, modelled: Sequence[Separation]) -> tuple[list[Separation], bool]:
    """The other penetrations near by, each once, and whether the row tells of the nearest."""
    own: list[_Said] = []
    unnamed: list[_Said] = []
    for item in told.own:
        if _kind(item.to) != "damper":
            continue
        if item.to == merging.id:
            merging.reasons.append(_names_itself(merging, item))
        else:
            (own if told.is_known(item.to) else unnamed).append(_stated(merging, item, merging.id))
    by_neighbour: dict[str, list[_Said]] = {}
    said = [*own, *(_stated(merging, item, item.to) for item in told.by_others)]
    for entry in (*said, *(_Said(item, False) for item in modelled)):
        by_neighbour.setdefault(entry.separation.to, []).append(entry)
    known = [item for together in by_neighbour.values() for item in _one_neighbour(merging, together)]
    mine = [entry.separation for entry in (*own, *unnamed)]
    named = {item.to for item in mine}
    _check_nearest(merging, "damper", mine, [item for item in known if item.to not in named])
    return [entry.separation for entry in unnamed] + known, bool(mine)


def separations_of(
    merging: Merging, told: Told, modelled: Sequence[Separation] | None, orientation: Fact[Orientation]
) -> tuple[Separation, ...]:
    """Every distance that is to be judged, each neighbour once; what nobody states is asked.

    A neighbour that a row and the models both know counts once. Where it can't be told whether the one that a row
    names is one that the models show, both are kept. Distances to walls and floors are to the nearest of the kind,
    whichever that is, so that there a row's word goes before the models'.

    Parameters
    ----------
    merging : collects contradictions and knows the answers
    told : what rows say
    modelled : what the models say, neighbours by the key of their place; None where no model knows this penetration
    orientation : whether the barrier is a wall or a floor
    """
    of_models = [replace(item, to=told.called(item.to)) for item in modelled or ()]
    dampers, tells_nearest = _dampers(merging, told, [item for item in of_models if _kind(item.to) == "damper"])
    found = dampers
    kinds = {"damper"} if tells_nearest else set()
    for kind in CONSTRUCTION:
        own = [_stated(merging, item, merging.id).separation for item in told.own if item.to == kind]
        others = [item for item in of_models if item.to == kind]
        _check_nearest(merging, kind, own, others)
        found += [replace(item, side=_same_side(item, others)) for item in own] or others
        kinds |= {kind} if own else set()
    if modelled is None:
        found += _not_told(merging, kinds, orientation)
    return tuple(found)
