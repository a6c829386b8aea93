# SPDX-License-Identifier: Apache-2.0
"""Which row of a schedule speaks of which place of the models: by permanent id, key or GlobalId, never by guess."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from brattice.building.ledger import schedule_key
from brattice.building.schedule import ScheduleRow
from brattice.findings import Missing, Party, Reason, Verdict
from brattice.usecases.merge import ModelFacts

__all__ = ["Tied", "is_not_modelled", "tie_missing", "tie_rows"]


@dataclass(frozen=True)
class Tied:
    """One penetration to be: a row, a place, or both; `reasons` say what was not certain in tying them."""

    row: ScheduleRow | None
    place: ModelFacts | None
    reasons: tuple[Reason, ...] = ()

    @property
    def key(self) -> str:
        """The key that the ledger knows it by: the place's, else one made from the row's reference."""
        if self.place is not None:
            return self.place.key
        return schedule_key(self.row.reference) if self.row is not None else ""


def _candidates(
    row: ScheduleRow, by_guid: Mapping[str, Sequence[int]], places: Sequence[ModelFacts], ids: Mapping[str, str]
) -> tuple[int, ...]:
    """The places that everything means which the row names: key, permanent id and GlobalIds have to agree."""
    means: list[set[int]] = []
    if row.key:
        means.append({n for n, place in enumerate(places) if place.key == row.key})
    if row.permanent_id:
        means.append({n for n, place in enumerate(places) if ids.get(place.key) == row.permanent_id})
    by_guids = _by_guids(row, by_guid, places)
    if by_guids or not means:  # GlobalIds that no model has any more take nothing from a key or a permanent id
        means.append(by_guids)
    return tuple(sorted(set.intersection(*means)))


def _by_guids(row: ScheduleRow, by_guid: Mapping[str, Sequence[int]], places: Sequence[ModelFacts]) -> set[int]:
    found = {n for guid in (*row.damper_guids, *row.duct_guids) for n in by_guid.get(guid, ())}
    if row.barrier_guids:
        wanted = set(row.barrier_guids)
        if not (row.damper_guids or row.duct_guids):
            found = {n for n, place in enumerate(places) if wanted & set(place.barrier_guids)}
        found = {n for n in found if wanted & set(places[n].barrier_guids)}
    return found


def tie_missing(row: ScheduleRow) -> Missing:
    """The question which place of the models a row means."""
    return Missing(
        f"schedule/{row.reference}/tie", f"Which place of the models row {row.reference} means", Party.SERVICES_DESIGNER
    )


def is_not_modelled(row: ScheduleRow) -> bool:
    """Whether a row states that no model shows it: its key is that of one which the schedule alone knows."""
    return row.key == schedule_key(row.reference)


def _untied(row: ScheduleRow, text: str, have: str) -> Reason:
    need = "one place of the models"
    return Reason("tie", Verdict.UNKNOWN, text, have, need, (), (tie_missing(row),), (row.origin,))


def _not_modelled(row: ScheduleRow) -> Reason:
    text = "The schedule states that no model shows this penetration; it stands on what the schedule says alone."
    return Reason("tie-note", Verdict.NOT_APPLICABLE, text, row.key, "", (), (), (row.origin,))


def tie_rows(rows: Sequence[ScheduleRow], places: Sequence[ModelFacts], ids: Mapping[str, str]) -> tuple[Tied, ...]:
    """Rows and places together, sorted by key; `ids` maps keys of the ledger to permanent ids.

    A row that names nothing of a model stands alone without a word. One that names something is tied to it when that
    is exactly one place; otherwise it stands alone and says so. Two rows that mean the same place both stand alone.
    One whose key is `schedule:` and its own reference stands alone by its own word.
    """
    by_guid: dict[str, list[int]] = {}
    for number, place in enumerate(places):
        for guid in {*place.duct_guids, *place.damper_guids}:
            by_guid.setdefault(guid, []).append(number)
    alone: list[Tied] = []
    claims: dict[int, list[ScheduleRow]] = {}
    for row in rows:
        if is_not_modelled(row):
            alone.append(Tied(row, None, (_not_modelled(row),) if places else ()))
            continue
        names_model = bool(row.key or row.permanent_id or row.duct_guids or row.damper_guids or row.barrier_guids)
        found = _candidates(row, by_guid, places, ids)
        if len(found) == 1:
            claims.setdefault(found[0], []).append(row)
        elif not names_model or (row.permanent_id and not places):
            alone.append(Tied(row, None))
        elif found:
            keys = ", ".join(places[n].key for n in found)
            alone.append(
                Tied(row, None, (_untied(row, "The row names what several places of the models share.", keys),))
            )
        else:
            named = row.key or row.permanent_id or " ".join((*row.damper_guids, *row.duct_guids, *row.barrier_guids))
            alone.append(Tied(row, None, (_untied(row, "No place of the models has what the row names.", named),)))
    together: list[Tied] = []
    for number, place in enumerate(places):
        claiming = claims.get(number, [])
        if len(claiming) == 1:
            together.append(Tied(claiming[0], place))
            continue
        together.append(Tied(None, place))
        references = ", ".join(sorted(row.reference for row in claiming))
        alone += [
            Tied(row, None, (_untied(row, "Several rows mean the same place of the models.", references),))
            for row in claiming
        ]
    return tuple(sorted((*together, *alone), key=lambda item: (item.key, item.row.reference if item.row else "")))
