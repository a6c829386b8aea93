# SPDX-License-Identifier: Apache-2.0
"""The tracker: what people say of each penetration beside what is judged of it, and where the two contradict.

A stage that contradicts a judgment changes neither: the judgment stays, the stage stays, and the finding is open.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Any

from brattice.building.ledger import LedgerEntry, id_number
from brattice.building.penetration import Penetration
from brattice.findings import Fact, Finding, Known, Reason, Verdict
from brattice.register.checks import StageDoubt, check_stages, said_words, standing_told
from brattice.register.stages import RestsOn, Stage, StageEvent, Track, tracks_of
from brattice.usecases.accepting import accepted
from brattice.usecases.codes import Outcome, finding_code
from brattice.usecases.facts import value_text
from brattice.usecases.job import DeviationAccepted
from brattice.usecases.report_model import PenetrationReport, Report, RetiredTrack, Tracked
from brattice.usecases.stages_taken import Shown, shown_remark, shown_stage
from brattice.usecases.states import PenetrationState

__all__ = [
    "CONTRADICTS",
    "STAGE_CHECK",
    "StageCell",
    "TrackerRow",
    "facts_rested_on",
    "is_of_stages",
    "retired_rows",
    "retired_words",
    "said_lines",
    "tracker_rows",
    "with_tracker",
    "zone_stated",
]

STAGE_CHECK = "stage-"
"""How the codes of all findings of the tracker begin."""

_GOES_ON = tuple(stage for stage in Stage if stage is not Stage.OPENING_CHECKED)
_HIDES = (Stage.SEALED, Stage.INSPECTED, Stage.TESTED, Stage.HANDED_OVER)

CONTRADICTS: Mapping[PenetrationState, tuple[Stage, ...]] = {
    PenetrationState.OUTSIDE_SCOPE: _GOES_ON,
    PenetrationState.NOT_ENOUGH_KNOWN: _GOES_ON,
    PenetrationState.TO_BE_SETTLED: _GOES_ON,
    PenetrationState.WITHIN_SCOPE_IF: _HIDES,
    PenetrationState.DEVIATION_ACCEPTED: (),
    PenetrationState.PROTECTED_RUN_PROVEN: (),
    PenetrationState.WITHIN_SCOPE: (),
    PenetrationState.NO_PROTECTION_NEEDED: (),
}
"""The stages that contradict each state. Measuring an opening goes on with nothing; changes that are named can still be
made until the seal is in."""

_ZONE = re.compile(r"\s*zone\s*:\s*(.*\S)\s*\Z", re.IGNORECASE | re.DOTALL)


def _text(fact: Fact[Any], name: str = "") -> str:
    return value_text(fact.value, name) if isinstance(fact, Known) else ""


def facts_rested_on(penetration: Penetration) -> tuple[tuple[str, str], ...]:
    """What stages rest on, as it is now: (name of `RestsOn`, value), in their order; "" where it is not known."""
    damper, barrier, opening = penetration.damper, penetration.barrier, penetration.opening
    found = {
        RestsOn.MAKER: _text(damper.maker),
        RestsOn.PRODUCT: _text(damper.product),
        RestsOn.DAMPER_SIZE: _text(damper.size),
        RestsOn.DUCT_SIZE: _text(penetration.duct.size),
        RestsOn.CLASS: _text(damper.class_text),
        RestsOn.ACTUATION: _text(damper.actuation),
        RestsOn.WALL_TYPE: _text(barrier.wall_type_code),
        RestsOn.THICKNESS: _text(barrier.thickness_mm, "thickness_mm"),
        RestsOn.RATING: _text(barrier.rating),
        RestsOn.FRAMED: _text(opening.framed),
        RestsOn.FINISHED: _text(opening.finished),
        RestsOn.FIXING: _text(penetration.installation.fixing),
        RestsOn.SEAL: _text(penetration.installation.seal_products),
    }
    return tuple((name.value, found[name]) for name in RestsOn)


def zone_stated(penetration: Penetration) -> str:
    """The zone that the schedule states, in a column or remark "Zone: …"; "" for none."""
    found = (_ZONE.match(text) for text in penetration.remarks)
    return next((match.group(1) for match in found if match is not None), "")


def is_of_stages(finding: Finding) -> bool:
    """Whether a finding is about what people say in the tracker."""
    return finding.code.startswith(STAGE_CHECK)


def _judged(track: Track, item: PenetrationReport) -> StageDoubt | None:
    """What people went on with although the judgment does not hold."""
    stages = tuple(stage for stage in CONTRADICTS[item.state] if track.standing(stage).said)
    if not stages:
        return None
    words = said_words(track, stages)
    text = f"{words[:1].upper()}{words[1:]}, but the judgment is: {item.state}. {item.state_why}"
    need = "a judgment that holds, or the stage taken back"
    return StageDoubt(Reason("stage-judgment", Verdict.FAIL, text, str(item.state), need), stages)


def _finding(subject: str, reason: Reason, deviations: Iterable[DeviationAccepted]) -> Finding:
    """The finding of a reason; closed where a named person accepted it."""
    code = finding_code(reason.code, Outcome.FAILS)
    finding, taken = accepted(
        Finding(subject, code, True, reason.text, reason.have, reason.need, reason.rows, reason.origins), deviations
    )
    return finding if taken is None else replace(finding, text=f"{finding.text} {taken.text}")


def _retired(tracks: Iterable[Track], ledger: Iterable[LedgerEntry]) -> tuple[RetiredTrack, ...]:
    entries = {entry.id: entry for entry in ledger}
    found = []
    for track in tracks:
        entry = entries.get(track.penetration)
        place = entry.place if entry is not None else None
        found.append(RetiredTrack(track, place.reference if place else "", place.storey if place else ""))
    return tuple(sorted(found, key=lambda item: id_number(item.id)))


def retired_words(item: RetiredTrack) -> str:
    """What was said of a penetration that no source has any more, in words."""
    names = ", ".join(text for text in (item.reference, item.storey) if text)
    told = [f"{standing.about} {standing_told(standing)}" for standing in item.track.stages if standing.said]
    told += [f"{kept.about}: {shown_remark(kept)}" for kept in (item.track.zone, item.track.note) if kept.said]
    return f"{names}: {'; '.join(told)}" if names else "; ".join(told)


def _of_retired(item: RetiredTrack) -> Finding:
    names = ", ".join(text for text in (item.reference, item.storey) if text)
    called = f"{item.id} ({names})" if names else item.id
    return Finding(
        item.id,
        finding_code("stage-retired", Outcome.FAILS),
        True,
        f"No source has {called} any more, but people said: {said_words(item.track, Stage)}. Nothing of it is lost.",
        "",
        "the penetration back in its source, or its stages taken back once it is known what became of it",
    )


def with_tracker(report: Report, events: Iterable[StageEvent], ledger: Iterable[LedgerEntry]) -> Report:
    """The report with what people say at each penetration, and a finding for whatever contradicts. States stay.

    Parameters
    ----------
    report : the report as it was judged
    events : the entries of the tracker
    ledger : all permanent ids, retired ones too
    """
    tracks = tracks_of(events)
    if not tracks:
        return report
    items = []
    for item in report.penetrations:
        track = tracks.pop(item.penetration.id, None)
        if track is None:
            items.append(item)
            continue
        facts = dict(facts_rested_on(item.penetration))
        judged = _judged(track, item)
        doubts = (
            *(() if judged is None else (judged,)),
            *check_stages(track, facts=facts, fixing=item.penetration.installation.fixing, on=report.as_of),
        )
        found = [(_finding(item.penetration.id, doubt.reason, report.deviations), doubt.stages) for doubt in doubts]
        doubtful = {stage for finding, stages in found if finding.open for stage in stages}
        tracked = Tracked(track, tuple(stage for stage in Stage if stage in doubtful))
        together = {*item.findings, *(finding for finding, _ in found)}
        items.append(replace(item, tracked=tracked, findings=tuple(sorted(together))))
    retired = _retired(tracks.values(), ledger)
    findings = [_of_retired(item) for item in retired if item.track.is_said]
    return replace(
        report,
        penetrations=tuple(items),
        job_findings=tuple(sorted((*report.job_findings, *findings))),
        retired=retired,
    )


def said_lines(item: PenetrationReport) -> tuple[tuple[str, str], ...]:
    """What people say of a penetration, as (stage, zone or note; words), in the order of the job; none where nobody."""
    if item.tracked is None:
        return ()
    track = item.tracked.track
    lines = [(str(standing.about), standing_told(standing)) for standing in track.stages if standing.standing]
    lines += [(str(kept.about), shown_remark(kept)) for kept in (track.zone, track.note)]
    return tuple((name, words) for name, words in lines if words)


@dataclass(frozen=True)
class StageCell:
    """One stage of one row: what is shown, the document or note of it, and the entries that it was written with."""

    stage: Stage
    shown: Shown
    text: str
    entries: tuple[str, ...]
    doubtful: bool = False


@dataclass(frozen=True)
class TrackerRow:
    """One penetration of the tracker. `state` is its word, or "retired"; `facts` are what stages rest on.

    `zone` and `note` are as shown; `zone_given` is the zone of the schedule. `findings` are those of the tracker.
    """

    id: str
    references: tuple[str, ...]
    level: str
    zone: str
    zone_given: str
    zone_entries: tuple[str, ...]
    place: str
    wall_type: str
    size: str
    state: str
    stages: tuple[StageCell, ...]
    note: str
    note_entries: tuple[str, ...]
    facts: tuple[tuple[str, str], ...]
    findings: tuple[Finding, ...] = ()


def _cells(track: Track, doubtful: Iterable[Stage]) -> tuple[StageCell, ...]:
    marked = set(doubtful)
    cells = []
    for standing in track.stages:
        stage = Stage(standing.about)
        text = standing.single.text if standing.single is not None else ""
        cells.append(StageCell(stage, shown_stage(standing), text, standing.entries, stage in marked))
    return tuple(cells)


def _level(penetration: Penetration) -> str:
    storey = penetration.location.storey
    return storey.value if isinstance(storey, Known) else ""


def _size(penetration: Penetration) -> str:
    return _text(penetration.damper.size) or _text(penetration.duct.size)


def tracker_rows(report: Report) -> tuple[TrackerRow, ...]:
    """One row a penetration of a report that `with_tracker` made, by id."""
    rows = []
    empty = tracks_of((), (item.penetration.id for item in report.penetrations))
    for item in report.penetrations:
        thing = item.penetration
        tracked = item.tracked or Tracked(empty[thing.id])
        track = tracked.track
        findings = tuple(finding for finding in item.findings if is_of_stages(finding))
        given = zone_stated(thing)
        rows.append(
            TrackerRow(
                id=thing.id,
                references=tuple(dict.fromkeys(text for kind, text in thing.aliases if kind != "GlobalId")),
                level=_level(thing),
                zone=shown_remark(track.zone, given),
                zone_given=given,
                zone_entries=track.zone.entries,
                place=thing.location.words,
                wall_type=_text(thing.barrier.wall_type_code),
                size=_size(thing),
                state=str(item.state),
                stages=_cells(track, tracked.doubtful),
                note=shown_remark(track.note),
                note_entries=track.note.entries,
                facts=facts_rested_on(thing),
                findings=findings,
            )
        )
    return tuple(rows)


def retired_rows(report: Report) -> tuple[TrackerRow, ...]:
    """One row for each penetration that no source has any more and of which somebody said something."""
    rows = []
    for item in report.retired:
        findings = tuple(finding for finding in report.job_findings if finding.subject == item.id)
        rows.append(
            TrackerRow(
                id=item.id,
                references=(item.reference,) if item.reference else (),
                level=item.storey,
                zone=shown_remark(item.track.zone),
                zone_given="",
                zone_entries=item.track.zone.entries,
                place="",
                wall_type="",
                size="",
                state="retired",
                stages=_cells(item.track, Stage),
                note=shown_remark(item.track.note),
                note_entries=item.track.note.entries,
                facts=(),
                findings=findings,
            )
        )
    return tuple(rows)
