# SPDX-License-Identifier: Apache-2.0
"""Whether what a named person accepted is what is found now.

A deviation is accepted for values: so far off, against this limit. When either has changed since, nobody has accepted
what is there now, and the finding is open again. A deviation that does not say which values it accepts counts for none.
"""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import replace

from brattice.building.words import plain
from brattice.findings import Finding
from brattice.usecases.codes import Outcome
from brattice.usecases.job import AcceptedValue, DeviationAccepted

__all__ = ["accepted", "value_of"]


def value_of(finding: Finding) -> AcceptedValue:
    """What has to be stated to accept a finding: its code, what is there and what is needed.

    A finding that tells no value apart from its text is accepted by that text.
    """
    return AcceptedValue(finding.code, " ".join((finding.have or finding.text).split()), " ".join(finding.need.split()))


def _same(one: AcceptedValue, other: AcceptedValue) -> bool:
    return (one.code, plain(one.have), plain(one.need)) == (other.code, plain(other.have), plain(other.need))


def _stated(value: AcceptedValue) -> str:
    """The value as the job file states it."""
    pairs = ", ".join(
        f"{key} = {json.dumps(text, ensure_ascii=False)}"
        for key, text in (("code", value.code), ("have", value.have), ("need", value.need))
    )
    return f"{{ {pairs} }}"


def _limit(need: str) -> str:
    return f" (needed: {need})" if need else ""


def _why_not(item: DeviationAccepted, now: AcceptedValue) -> str:
    """Why a deviation that names the code of a finding does not take it up."""
    mine = [value for value in item.accepted if value.code == now.code]
    if not mine:
        return (
            f"The deviation on {item.document} revision {item.revision}, {item.on.isoformat()}, does not say which "
            f"value it accepts and counts for nothing. Who accepted what is there now states in it: "
            f"accepted = [{_stated(now)}]."
        )
    then = "; or ".join(f"{value.have}{_limit(value.need)}" for value in mine)
    return (
        f"Accepted on {item.on.isoformat()} on {item.document} revision {item.revision} for {then}; now "
        f"{now.have}{_limit(now.need)}: open again."
    )


def accepted(finding: Finding, deviations: Iterable[DeviationAccepted]) -> tuple[Finding, DeviationAccepted | None]:
    """The finding, closed where a deviation accepts its very value, with that deviation.

    Where deviations name its code for its penetration and accept other values, or none, it stays open and says so. A
    missing fact is never accepted: nobody can accept what nobody knows.
    """
    mine = [item for item in deviations if finding.subject in item.penetrations and finding.code in item.codes]
    if not finding.open or not mine or finding.code.endswith(f"-{Outcome.UNKNOWN}"):
        return finding, None
    now = value_of(finding)
    for item in mine:
        if any(_same(value, now) for value in item.accepted):
            return replace(finding, open=False), item
    told = " ".join(dict.fromkeys(_why_not(item, now) for item in mine))
    return replace(finding, text=f"{finding.text} {told}"), None
