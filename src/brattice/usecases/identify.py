# SPDX-License-Identifier: Apache-2.0
"""Which penetrations a job has, each with its permanent id; and the job's own words turned into those ids."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from brattice.building.ledger import FoundPlace, LedgerEntry, LedgerResult, assign_ids
from brattice.building.schedule import ScheduleRow
from brattice.findings import Finding, Known
from brattice.usecases.codes import Outcome, finding_code
from brattice.usecases.job import Job
from brattice.usecases.merge import ModelFacts
from brattice.usecases.tie import Tied, tie_rows

__all__ = ["Identified", "identify", "with_ids"]


@dataclass(frozen=True)
class Identified:
    """The penetrations to be, by key, and the ledger that gives each its id."""

    tied: tuple[Tied, ...]
    ledger: LedgerResult

    def names(self) -> dict[str, str]:
        """Every name that a job may use for a penetration, and the permanent id that it means.

        References of the schedule, aliases and keys; a name that two penetrations share means neither.
        """
        found: dict[str, set[str]] = {}
        for item in self.tied:
            permanent_id = self.ledger.ids[item.key]
            row = item.row
            aliases = [] if row is None else [row.reference, *(text for _, text in row.aliases)]
            for name in (item.key, permanent_id, *aliases):
                found.setdefault(name, set()).add(permanent_id)
        return {name: min(ids) for name, ids in found.items() if len(ids) == 1}


def _found(item: Tied) -> FoundPlace:
    row, place = item.row, item.place
    storeys = [source.storey for source in (place, row) if source is not None and source.storey is not None]
    centre = place.centre_m if place else row.centre_m.value if row and row.centre_m else None
    size = place.size if place else row.duct_size if row else None
    return FoundPlace(
        item.key,
        storeys[0].value if storeys else "",
        centre,
        size.value if isinstance(size, Known) else None,
        place.barrier_guids if place else (),
        row.reference if row else "",
    )


def identify(
    rows: Sequence[ScheduleRow],
    places: Sequence[ModelFacts],
    ledger: Iterable[LedgerEntry],
    *,
    match_within_mm: float,
) -> Identified:
    """Tie rows to places and give each penetration its permanent id.

    Places come first, so that a row which names a permanent id finds its place also where the place's key was lost.
    """
    before = tuple(ledger)
    known = {entry.key: entry.id for entry in before if not entry.retired}
    alone = [_found(Tied(None, place)) for place in places]
    ids = {**known, **assign_ids(before, alone, match_within_mm=match_within_mm).ids} if places else known
    tied = tie_rows(rows, places, ids)
    result = assign_ids(before, [_found(item) for item in tied], match_within_mm=match_within_mm)
    return Identified(tied, result)


def with_ids(job: Job, names: Mapping[str, str], file: str) -> tuple[Job, tuple[Finding, ...]]:
    """The job with every penetration that it names called by its permanent id, and a finding for each unknown name."""
    unknown: set[tuple[str, str]] = set()

    def ids(given: Iterable[str], where: str) -> tuple[str, ...]:
        listed = tuple(given)
        unknown.update((name, where) for name in listed if name not in names)
        return tuple(names.get(name, name) for name in listed)

    rules = replace(
        job.rules,
        demands=tuple(replace(item, penetrations=ids(item.penetrations, "a demand")) for item in job.rules.demands),
        lowered=tuple(replace(item, penetrations=ids(item.penetrations, "an override")) for item in job.rules.lowered),
    )
    changed = replace(
        job,
        rules=rules,
        pins=tuple(replace(item, penetration=ids([item.penetration], "a pin")[0]) for item in job.pins),
        deviations=tuple(replace(item, penetrations=ids(item.penetrations, "a deviation")) for item in job.deviations),
        order_overrides=tuple(
            replace(item, penetrations=ids(item.penetrations, "an override of an order"))
            for item in job.order_overrides
        ),
    )
    findings = tuple(
        Finding(
            file,
            finding_code("job-name", Outcome.FAILS),
            True,
            f"{where[0].upper()}{where[1:]} names {name!r}, which no penetration of this job is called.",
            name,
            "a permanent id, a reference of the schedule or an alias",
        )
        for name, where in sorted(unknown)
    )
    return changed, findings
