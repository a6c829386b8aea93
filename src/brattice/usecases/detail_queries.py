# SPDX-License-Identifier: Apache-2.0
"""What sheets leave to be settled, as queries: one question a fact and party, however many penetrations wait for it.

A detail fact that is missing is no finding of a check; it is asked when somebody decides to ask it. Nothing is asked of
an installation that is not drawn: there the damper itself has to be settled first.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Any

from brattice.building.detail_facts import DETAIL_FIELDS, DetailFacts, detail_field, missing_detail
from brattice.building.penetration import Penetration
from brattice.building.queries import Asked, QueryRecord, QueryState, detail_query_key, field_of_key, is_detail_key
from brattice.details.detail import InstallationDetail, Standing
from brattice.findings import Known, Missing, Party, Query
from brattice.usecases.facts import value_text

__all__ = ["details_asked", "still_asked", "with_answered_details"]

_MAKERS = ("product", "seal", "evidence")
"""Heads of keys that are settled in what makers state: there an answer is a note."""

ASKED_BY = ("installation-details",)
"""What stands where a check's query names the checks that ask."""


def with_answered_details(penetration_id: str, stated: DetailFacts, answered: Mapping[str, Known[Any]]) -> DetailFacts:
    """What a row states with what answers state; where both state and differ, nobody is believed and None stands."""
    if not answered:
        return stated
    changed: dict[str, Any] = {}
    for field in DETAIL_FIELDS:
        answer = answered.get(missing_detail(penetration_id, field).key)
        if answer is None:
            continue
        said: Known[Any] | None = getattr(stated, field)
        if said is None:
            changed[field] = answer
        elif not _same(said.value, answer.value):
            changed[field] = None
    return replace(stated, **changed) if changed else stated


def _same(one: object, other: object) -> bool:
    if type(one) is str and type(other) is str:
        return one.casefold().split() == other.casefold().split()
    return one == other


def _differ(penetration_id: str, field: str, row: DetailFacts | None, answered: Mapping[str, Known[Any]]) -> str:
    """What the row and the answer say where they differ, in words; "" where they don't."""
    said: Known[Any] | None = None if row is None else getattr(row, field)
    answer = answered.get(missing_detail(penetration_id, field).key)
    if said is None or answer is None or _same(said.value, answer.value):
        return ""
    return (
        f"at {penetration_id} {value_text(said.value, field)} ({said.origin}) and {value_text(answer.value, field)} "
        f"({answer.origin}) differ: the one that is wrong has to be corrected"
    )


def details_asked(
    details: Iterable[InstallationDetail],
    queries: Iterable[Query] = (),
    rows: Mapping[str, DetailFacts] | None = None,
    answered: Mapping[str, Known[Any]] | None = None,
) -> tuple[Asked, ...]:
    """What the details leave to be settled and no check asks, grouped by party and fact, in the order of their keys.

    Parameters
    ----------
    details : those of a job
    queries : what the checks ask already
    rows : what the row of each penetration states, by permanent id
    answered : what answers state, by the key of the missing fact
    """
    known = {query.missing.key for query in queries}
    facts: dict[tuple[Party, str], set[str]] = {}
    makers: dict[tuple[Party, str], tuple[Missing, set[str]]] = {}
    for detail in details:
        if detail.standing is Standing.NOT_DRAWN:
            continue
        for missing in detail.to_settle:
            head, _, rest = missing.key.partition("/")
            tail = rest.rpartition("/")[2]
            if head == "penetration" and detail_field(tail):
                facts.setdefault((missing.ask, tail), set()).add(detail.id)
            elif head in _MAKERS and missing.key not in known:
                makers.setdefault((missing.ask, missing.key), (missing, set()))[1].add(detail.id)
    found = []
    for (party, tail), ids in facts.items():
        field = detail_field(tail)
        waiting = tuple(sorted(ids))
        differ = [_differ(name, field, (rows or {}).get(name), answered or {}) for name in waiting]
        text = "; ".join([DETAIL_FIELDS[field][0], *(words for words in differ if words)])
        found.append(Asked(detail_query_key(party, tail), text, party, ASKED_BY, waiting))
    for (party, _), (missing, ids) in makers.items():
        found.append(Asked(detail_query_key(party, missing.key), missing.text, party, ASKED_BY, tuple(sorted(ids))))
    return tuple(sorted(found, key=lambda item: item.key))


def still_asked(records: Iterable[QueryRecord], penetrations: Iterable[Penetration]) -> tuple[Asked, ...]:
    """The questions of details that were asked before and that a check leaves open: those whose fact is still missing.

    A note to what a maker states stays as it is: no check says whether it was settled.
    """
    stated = {item.id: item.detail for item in penetrations}
    found = []
    for record in records:
        if not is_detail_key(record.key) or record.state is QueryState.WITHDRAWN:
            continue
        named = field_of_key(record.key)
        if named is None:
            if record.state is QueryState.OPEN:
                found.append(record.asked)
            continue
        left = tuple(
            name for name in record.asked.holds_up if name in stated and getattr(stated[name], named.name) is None
        )
        if left:
            found.append(replace(record.asked, holds_up=left))
    return tuple(found)
