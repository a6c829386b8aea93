# SPDX-License-Identifier: Apache-2.0
"""The ledger of permanent ids: which key has which id, through every change of models and schedules.

An id is given once. A penetration that is found under its key keeps its id. A key that is lost is looked for again:
first under the schedule's reference, then by place and shape; only where exactly one lost penetration and exactly
one new place fit each other is the id carried over, and that is said. What stays lost is retired: its id remains in
the ledger and is never given to anything else. It comes back only with its own key.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from brattice.building.penetration import Size
from brattice.errors import OwnFault
from brattice.quantities import Mm, mm_text, settled_mm

__all__ = ["FoundPlace", "LedgerEntry", "LedgerResult", "assign_ids", "id_number", "schedule_key"]

_ID = re.compile(r"P-(\d{4,})\Z", re.ASCII)
_DIGITS = 4


@dataclass(frozen=True)
class FoundPlace:
    """A penetration as this run found it. `centre_m` is in metres, `size` the duct's [mm]; None where not known.

    `reference` is that of the schedule row that is tied to it, "" for none.
    """

    key: str
    storey: str = ""
    centre_m: tuple[float, float, float] | None = None
    size: Size | None = None
    barrier_guids: tuple[str, ...] = ()
    reference: str = ""


@dataclass(frozen=True)
class LedgerEntry:
    """One line of the ledger: a permanent id and the place that has it, as it was last found."""

    id: str
    place: FoundPlace
    retired: bool = False

    @property
    def key(self) -> str:
        """The key of the place."""
        return self.place.key


@dataclass(frozen=True)
class LedgerResult:
    """The new ledger (by id), the id of each key that was found, and what there is to say about changes."""

    entries: tuple[LedgerEntry, ...]
    ids: Mapping[str, str]
    notes: tuple[str, ...]


def schedule_key(reference: str) -> str:
    """The key of a penetration that the schedule alone knows."""
    return f"schedule:{reference}"


def id_number(permanent_id: str) -> int:
    """The number in a permanent id; a text of another form is a `ValueError`."""
    match = _ID.match(permanent_id)
    if match is None:
        raise ValueError(f"not a permanent id: {permanent_id!r}")
    return int(match.group(1))


def _settled(place: FoundPlace) -> FoundPlace:
    """The place on the grid of a thousandth of a millimetre for sizes and a millimetre for the centre."""
    centre = place.centre_m
    size = place.size
    return replace(
        place,
        centre_m=None if centre is None else (_metre(centre[0]), _metre(centre[1]), _metre(centre[2])),
        size=None
        if size is None
        else Size(settled_mm(size.width_mm), None if size.height_mm is None else settled_mm(size.height_mm)),
    )


def _metre(value: float) -> float:
    return round(value, 3) + 0.0


def _order(place: FoundPlace) -> tuple[str, bool, tuple[float, ...], str]:
    return place.storey, place.centre_m is None, place.centre_m or (), place.key


def _distance_mm(one: FoundPlace, other: FoundPlace) -> float | None:
    if one.centre_m is None or other.centre_m is None:
        return None
    squares = sum((a - b) ** 2 for a, b in zip(one.centre_m, other.centre_m, strict=True))
    return settled_mm(float(squares**0.5) * 1000)


_Pair = tuple[LedgerEntry, FoundPlace]


def _only_pairs(
    lost: Sequence[LedgerEntry],
    new: Sequence[FoundPlace],
    bucket_lost: Callable[[LedgerEntry], Hashable | None],
    bucket_new: Callable[[FoundPlace], Hashable | None],
    fits: Callable[[LedgerEntry, FoundPlace], bool],
) -> tuple[list[_Pair], list[tuple[FoundPlace, list[LedgerEntry]]]]:
    """Pairs that fit each other and nothing else; and the new places that fit, but not so plainly.

    Only things in the same bucket are compared; None is in no bucket.
    """
    buckets: dict[Hashable, list[LedgerEntry]] = {}
    for entry in lost:
        bucket = bucket_lost(entry)
        if bucket is not None:
            buckets.setdefault(bucket, []).append(entry)
    fitting: list[tuple[FoundPlace, list[LedgerEntry]]] = []
    wanted_by: dict[str, int] = {}
    for place in new:
        bucket = bucket_new(place)
        candidates = [entry for entry in buckets.get(bucket, ()) if fits(entry, place)] if bucket is not None else []
        if candidates:
            fitting.append((place, candidates))
        for entry in candidates:
            wanted_by[entry.id] = wanted_by.get(entry.id, 0) + 1
    pairs = [(found[0], place) for place, found in fitting if len(found) == 1 and wanted_by[found[0].id] == 1]
    paired = {place.key for _, place in pairs}
    return pairs, [(place, candidates) for place, candidates in fitting if place.key not in paired]


def _shape(place: FoundPlace) -> Hashable | None:
    return None if place.size is None or place.centre_m is None else (place.storey, place.size)


def assign_ids(
    ledger: Iterable[LedgerEntry], found: Iterable[FoundPlace], *, match_within_mm: Mm | float
) -> LedgerResult:
    """Give each found place its permanent id. The order of the places does not matter; twice changes nothing.

    Parameters
    ----------
    ledger : the entries so far, retired ones included
    found : what this run found, each key once
    match_within_mm : how far [mm] a centre may have moved for a lost key to be matched again by place and shape
    """
    places = sorted(map(_settled, found), key=_order)
    by_key = {place.key: place for place in places}
    if len(by_key) != len(places):
        raise OwnFault("two places with one key")
    before = sorted(ledger, key=lambda entry: id_number(entry.id))
    if len({entry.id for entry in before}) != len(before) or len({entry.key for entry in before}) != len(before):
        raise OwnFault("a ledger with an id or a key twice")
    entries: dict[str, LedgerEntry] = {}
    notes: list[str] = []
    known_keys: set[str] = set()
    for entry in before:
        place = by_key.get(entry.key)
        if place is None:
            continue
        known_keys.add(entry.key)
        entries[entry.id] = LedgerEntry(entry.id, place)
        if entry.retired:
            notes.append(f"{entry.id} was retired and is found again under its own key.")
    lost = [entry for entry in before if entry.id not in entries and not entry.retired]
    new = [place for place in places if place.key not in known_keys]

    def by_reference(entry: LedgerEntry, place: FoundPlace) -> bool:
        return entry.place.reference == place.reference

    pairs, _ = _only_pairs(
        lost, new, lambda entry: entry.place.reference or None, lambda place: place.reference or None, by_reference
    )
    for entry, place in pairs:
        entries[entry.id] = LedgerEntry(entry.id, place)
        notes.append(f"{entry.id}: its key was lost and it was found again by its reference {place.reference!r}.")

    def near(entry: LedgerEntry, place: FoundPlace) -> bool:
        distance = _distance_mm(entry.place, place)
        return distance is not None and distance <= match_within_mm

    lost = [entry for entry in lost if entry.id not in entries]
    taken = {place.key for _, place in pairs}
    new = [place for place in new if place.key not in taken]
    pairs, unclear = _only_pairs(lost, new, lambda entry: _shape(entry.place), _shape, near)
    for entry, place in pairs:
        entries[entry.id] = LedgerEntry(entry.id, place)
        moved = mm_text(_distance_mm(entry.place, place) or 0.0)
        notes.append(
            f"{entry.id}: its key was lost and it was found again by place and size, {moved} from where it was."
        )
    taken = {place.key for _, place in pairs}
    maybe = {place.key: candidates for place, candidates in unclear}
    for entry in before:
        if entry.id not in entries:
            entries[entry.id] = replace(entry, retired=True)
            if not entry.retired:
                notes.append(f"{entry.id} is not found any more: retired. Its id is never used again.")
    number = max((id_number(entry.id) for entry in before), default=0)
    for place in new:
        if place.key in taken:
            continue
        number += 1
        permanent_id = f"P-{number:0{_DIGITS}d}"
        entries[permanent_id] = LedgerEntry(permanent_id, place)
        if place.key in maybe:
            others = ", ".join(entry.id for entry in maybe[place.key])
            notes.append(
                f"{permanent_id} is new; it may be one of {others}, but which can't be told by place and size."
            )
    ordered = tuple(entries[key] for key in sorted(entries, key=id_number))
    ids = {entry.key: entry.id for entry in ordered if not entry.retired}
    return LedgerResult(ordered, ids, tuple(notes))
