# SPDX-License-Identifier: Apache-2.0
"""Places that people marked on a plan: they place what nothing else places, and never override a model in silence."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from brattice.building.north import NO_NORTH
from brattice.building.penetration import Penetration
from brattice.building.plan import StoreyPlan, SurveyedPlace, Underlay
from brattice.building.words import plain
from brattice.findings import Finding, Known, Missing, Party, Reason, Unknown, Verdict
from brattice.quantities import mm_text
from brattice.rows import RowBook
from brattice.usecases.codes import Outcome, finding_code

__all__ = ["marked_places", "reference_findings", "with_survey", "with_underlays"]

_APART, _REST = "plans.mark-apart", "plans.reference-rest"


def marked_places(
    marks: Sequence[tuple[str, Known[SurveyedPlace]]], names: Mapping[str, str]
) -> tuple[dict[str, Known[SurveyedPlace]], tuple[Finding, ...]]:
    """The last mark of each penetration by permanent id, and a finding for each name that this job has not."""
    found: dict[str, Known[SurveyedPlace]] = {}
    findings = []
    for name, place in marks:
        if name in names:
            found[names[name]] = place
        else:
            findings.append(
                Finding(
                    place.origin.file,
                    finding_code("job-name", Outcome.FAILS),
                    True,
                    f"A mark ({place.origin}) names {name!r}, which is no penetration of this job, or several.",
                    name,
                    "an id or a reference that one penetration of the job has",
                )
            )
    return found, tuple(findings)


def with_survey(
    penetration: Penetration, place: Known[SurveyedPlace] | None, book: RowBook
) -> tuple[Penetration, tuple[Reason, ...]]:
    """The penetration with the place that a mark states, or the question that the mark raises.

    A mark on the plan of another level, or where the level is not known, is asked about and places nothing. One that
    lies far from where the models or the schedule say is asked about, and they keep their say.
    """
    if place is None:
        return penetration, ()
    location, mark = penetration.location, place.value
    storey = location.storey
    if isinstance(storey, Unknown) or plain(storey.value) != plain(mark.level):
        said = "not known" if isinstance(storey, Unknown) else storey.value
        text = f"On which level {penetration.id} is: {place.origin} marks it on {mark.level}; its level is {said}"
        return penetration, (_asked(penetration, place, text, said, mark.level, ()),)
    location = replace(location, surveyed=place)
    penetration = replace(penetration, location=location)
    if location.centre_m is None:
        return penetration, ()
    apart = math.dist(location.centre_m[:2], (mark.x_m, mark.y_m)) * 1000
    most = book.number(_APART)
    if apart <= most:
        return penetration, ()
    text = (
        f"Where {penetration.id} is: {place.origin} marks it {mm_text(apart)} in plan from where the models or the "
        "schedule say"
    )
    return penetration, (
        _asked(penetration, place, text, f"{mm_text(apart)} apart", f"within {mm_text(most)}", (_APART,)),
    )


def _asked(
    penetration: Penetration, place: Known[SurveyedPlace], text: str, have: str, need: str, rows: tuple[str, ...]
) -> Reason:
    missing = Missing(f"penetration/{penetration.id}/surveyed", text, Party.SERVICES_DESIGNER)
    said = "The mark on the plan says another place than the other sources."
    return Reason("surveyed-place", Verdict.UNKNOWN, said, have, need, rows, (missing,), (place.origin,))


def reference_findings(underlays: Iterable[Underlay], book: RowBook) -> tuple[Finding, ...]:
    """What each grid reference leaves at its points: a note, or open where it is more than it should be."""
    most = book.number(_REST)
    findings = []
    for item in underlays:
        worst = max(item.rest_mm)
        wrong = worst > most
        told = (
            "two points are always met, and nothing checks them"
            if len(item.rest_mm) == 2
            else f"it leaves at most {mm_text(worst)} at {len(item.rest_mm)} points"
        )
        findings.append(
            Finding(
                item.file,
                finding_code("plan-reference", Outcome.FAILS if wrong else Outcome.NOTE),
                wrong,
                f"The grid reference of the plan under {item.level}: {told}.",
                mm_text(worst),
                f"at most {mm_text(most)}",
                (_REST,),
            )
        )
    return tuple(findings)


def with_underlays(plans: Sequence[StoreyPlan], underlays: Sequence[Underlay]) -> tuple[StoreyPlan, ...]:
    """The storeys with what lies under them; a level that no model has gets a plan of its own, after the others."""
    under = {plain(item.level): item for item in underlays}
    known = {plain(plan.storey) for plan in plans}
    north = next((plan.north for plan in plans), NO_NORTH)
    more = [
        StoreyPlan(item.level, 0.0, (), (), (), item, north) for key, item in sorted(under.items()) if key not in known
    ]
    return (*(replace(plan, underlay=under.get(plain(plan.storey))) for plan in plans), *more)
