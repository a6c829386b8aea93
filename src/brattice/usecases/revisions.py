# SPDX-License-Identifier: Apache-2.0
"""A revision of a schedule against an earlier one: removed, added, renamed, moved, and every column that differs."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, fields

from brattice.building.detail_facts import DETAIL_FIELDS
from brattice.building.penetration import Size
from brattice.building.schedule import ScheduleRow, StatedDistance
from brattice.building.wall_type import Rating
from brattice.building.words import plain
from brattice.classes import ClassSteps
from brattice.findings import Known, Verdict
from brattice.usecases.combine import agree
from brattice.usecases.facts import label_of, value_text
from brattice.usecases.likeness import Likeness, described_row, likeness
from brattice.usecases.pairing import Best, Tie, best_likes, mutual, pairs_by_centre, pairs_by_names, place_name
from brattice.usecases.reconcile import EXCHANGED, like_words, listed, row_entry, same_class, turned
from brattice.usecases.reconciled import About, Alone, By, Difference, Group, Pair, Reconciliation, Sides

__all__ = ["reconcile_revisions", "stated_columns"]

_MARKED = re.compile(r"(.*) \([0-9a-f]{6}(?:, \d+)?\)\Z", re.DOTALL)
_NOT_COLUMNS = {"origin", "reference", "sheet", "number", "unread", "remarks", "detail"}
_ABOUT = {
    **dict.fromkeys(("duct_size", "damper_size", "framed", "finished"), About.SIZE),
    "class_text": About.CLASS,
    **dict.fromkeys(("wall_type_code", "thickness_mm", "rating", "role", "barrier_guids"), About.WALL),
    "storey": About.LEVEL,
    **dict.fromkeys(("words", "centre_m"), About.PLACE),
    "orientation": About.ORIENTATION,
    **dict.fromkeys(("damper_present", "damper_guids", "maker", "product", "actuation"), About.DAMPER),
    **dict.fromkeys(("permanent_id", "key", "aliases"), About.NAME),
}
_SIZE_ENDS = ("_width_mm", "_height_mm", "_diameter_mm", "_size")


def _reference(row: ScheduleRow) -> str:
    """The reference as the sheet has it; "" for a row that has none. One that stands twice was read with a mark."""
    marked = _MARKED.fullmatch(row.reference) if any(cell.key == "reference" for cell in row.unread) else None
    if marked is None:
        return row.reference
    return "" if marked[1] == "no reference" else marked[1]


def _distance(item: StatedDistance) -> str:
    fill = f", {value_text(item.fill.value)} between" if item.fill is not None else ""
    length = value_text(item.distance_mm.value, "distance_mm")
    return f"{item.to} {length} ({value_text(item.from_surface)} to {value_text(item.to_surface)}{fill})"


def _text(name: str, value: object) -> str:
    if isinstance(value, Known):
        return value_text(value.value, name)
    if name == "aliases" and isinstance(value, tuple):
        return "; ".join(f"{kind}: {text}" for kind, text in value)
    if name == "distances" and isinstance(value, tuple):
        return "; ".join(map(_distance, value))
    return "" if value is None else value_text(value, name)


def stated_columns(row: ScheduleRow) -> dict[str, str]:
    """What a row states, as text by the schedule's key of it; a column kept as text is "column HEADING".

    A cell that was not read has the text that stands in it, and says so.
    """
    found: dict[str, list[str]] = {}
    for item in fields(row):
        if item.name not in _NOT_COLUMNS and (text := _text(item.name, getattr(row, item.name))):
            found.setdefault(item.name, []).append(text)
    aliases = {text for _, text in row.aliases}
    for name in DETAIL_FIELDS:
        text = _text(name, getattr(row.detail, name))
        if text and not (name == "panel_address" and text in aliases):  # else one change would be told twice
            found.setdefault(name, []).append(text)
    for remark in row.remarks:
        heading, _, text = remark.partition(": ")
        name = f"column {heading}" if text else "remarks"
        found.setdefault(name, []).append(text or remark)
    for cell in row.unread:
        if cell.key != "reference":
            found.setdefault(cell.key or "row", []).append(f"{cell.found} (not read)")
    return {name: " ".join("; ".join(texts).split()) for name, texts in found.items()}


def _about(name: str) -> About:
    if name in _ABOUT:
        return _ABOUT[name]
    return About.SIZE if name.endswith(_SIZE_ENDS) else About.OTHER


def _is_other_spelling(name: str, old: object, new: object, steps: ClassSteps) -> bool:
    """Whether two texts of a rating or a class mean the same: "EI60" and "EI 60"."""
    if isinstance(old, Rating) and isinstance(new, Rating):
        return agree(old, new) is Verdict.PASS
    return name == "class_text" and isinstance(old, str) and isinstance(new, str) and same_class(old, new, steps)


def _differences(before: ScheduleRow, now: ScheduleRow, steps: ClassSteps) -> Iterator[Difference]:
    one, other = stated_columns(before), stated_columns(now)
    for name in dict.fromkeys([*one, *other]):
        was, became = one.get(name, ""), other.get(name, "")
        old, new = (getattr(getattr(row, name, None), "value", None) for row in (before, now))
        if was == became or _is_other_spelling(name, old, new, steps):
            continue
        note = ""
        if isinstance(old, Size) and isinstance(new, Size) and turned(old, new):
            note = EXCHANGED
        yield Difference(_about(name), name, label_of(name), was, became, note)


@dataclass
class _Matching:
    """The rows of both revisions while they are matched."""

    before: Sequence[ScheduleRow]
    now: Sequence[ScheduleRow]

    def __post_init__(self) -> None:
        self.found: dict[int, tuple[int, By, str]] = {}
        self.held: tuple[dict[int, str], dict[int, str]] = ({}, {})
        self.said: tuple[dict[int, str], dict[int, str]] = ({}, {})

    def free(self) -> tuple[list[int], list[int]]:
        """The numbers of the rows that nothing is matched with so far, of both revisions."""
        taken = {now for now, _, _ in self.found.values()}
        mine = [at for at in range(len(self.before)) if at not in self.found and at not in self.held[0]]
        return mine, [at for at in range(len(self.now)) if at not in taken and at not in self.held[1]]

    def take(self, pairs: Iterable[tuple[int, int]], by: By, how: str) -> None:
        for before, now in pairs:
            self.found[before] = (now, by, how)

    def by_names(
        self, names: Mapping[int, Iterable[str]], others: Mapping[int, Iterable[str]], by: By, how: str
    ) -> None:
        """Match what shares a name. What ids leave open is matched with nothing; other names only say so."""
        pairs, ties = pairs_by_names(names, others)
        self.take(pairs, by, how)
        where = self.held if by in {By.PERMANENT_ID, By.KEY, By.GLOBAL_ID} else self.said
        for tie in ties:
            text = self._tied(tie, by)
            where[0].update(dict.fromkeys(tie.ones, text))
            where[1].update(dict.fromkeys(tie.others, text))

    def _tied(self, tie: Tie, by: By) -> str:
        before = listed(self.before[at].reference for at in tie.ones)
        now = listed(self.now[at].reference for at in tie.others)
        return f"Rows {before} before and {now} now are joined by {by}, and nothing tells which is which."

    def by_place(self) -> None:
        mine, theirs = self.free()
        named = [
            {at: {place_name(_storey(side[at]), side[at].words)} - {""} for at in free}
            for side, free in ((self.before, mine), (self.now, theirs))
        ]
        pairs, _ = pairs_by_names(named[0], named[1])
        possible = [(one, other) for one, other in pairs if self._likeness(one, other).is_possible]
        self.take(possible, By.PLACE, "the only rows with this level and place in words")
        mine, theirs = self.free()
        centres = [
            {at: fact.value for at in free if (fact := side[at].centre_m) is not None}
            for side, free in ((self.before, mine), (self.now, theirs))
        ]
        pairs = pairs_by_centre(centres[0], centres[1])
        possible = [(one, other) for one, other in pairs if self._likeness(one, other).is_possible]
        self.take(possible, By.PLACE, "the only rows whose stated centres are within a metre of each other")

    def _likeness(self, one: int, other: int) -> Likeness:
        return likeness(described_row(self.before[one], {}), described_row(self.now[other], {}))

    def by_likeness(self) -> None:
        mine, theirs = self.free()
        ones, others = (
            [described_row(self.before[at], {}) for at in mine],
            [described_row(self.now[at], {}) for at in theirs],
        )
        best = best_likes(ones, others), best_likes(others, ones)
        pairs = mutual(*best)
        self.take(
            ((mine[one], theirs[other]) for one, other in pairs),
            By.LIKENESS,
            "each is the row that the other is most like",
        )
        names = [item.name for item in ones], [item.name for item in others]
        self._say(0, mine, best[0], names[1], {other for _, other in pairs})
        self._say(1, theirs, best[1], names[0], {one for one, _ in pairs})

    def _say(
        self, side: int, numbers: Sequence[int], best: Sequence[Best], names: Sequence[str], taken: set[int]
    ) -> None:
        for at, number in enumerate(numbers):
            words = like_words(best[at], names, bool(taken & set(best[at].first)))
            self.said[side][number] = " ".join(filter(None, [self.said[side].get(number, ""), words]))


def _storey(row: ScheduleRow) -> str:
    return "" if row.storey is None else row.storey.value


def _ids(row: ScheduleRow) -> list[str]:
    found = [f"g {guid}" for guid in (*row.damper_guids,)]
    return [*found, *([f"k {row.key}"] if row.key else [])]


def _match(matching: _Matching) -> None:
    before, now = matching.before, matching.now

    def of(names: Callable[[ScheduleRow], Iterable[str]]) -> tuple[dict[int, Iterable[str]], dict[int, Iterable[str]]]:
        mine, theirs = matching.free()
        return {at: names(before[at]) for at in mine}, {at: names(now[at]) for at in theirs}

    matching.by_names(
        *of(lambda row: [row.permanent_id] if row.permanent_id else []), By.PERMANENT_ID, "both name the permanent id"
    )
    matching.by_names(*of(_ids), By.GLOBAL_ID, "both name a GlobalId of the same damper, or its key")
    matching.by_names(
        *of(lambda row: [plain(row.reference)] if _reference(row) else []), By.REFERENCE, "both have this reference"
    )
    matching.by_names(
        *of(lambda row: [plain(_reference(row))] if _reference(row) else []),
        By.REFERENCE,
        "both have this reference, which stands more than once in a schedule",
    )
    matching.by_names(
        *of(lambda row: {plain(text) for text in (_reference(row), *(text for _, text in row.aliases))} - {""}),
        By.ALIAS,
        "a reference or an alias of the one is one of the other",
    )
    matching.by_place()
    matching.by_likeness()


def _kinds(before: ScheduleRow, now: ScheduleRow, differences: Sequence[Difference]) -> tuple[str, ...]:
    abouts = {item.about for item in differences if not item.is_kept_text}
    found = ["renamed"] if plain(_reference(before)) != plain(_reference(now)) else []
    found += ["moved"] if abouts & {About.LEVEL, About.PLACE} else []
    found += ["resized"] if About.SIZE in abouts else []
    left = abouts - {About.LEVEL, About.PLACE, About.SIZE}
    found += ["changed"] if left else []
    return (*found, "kept text") if any(item.is_kept_text for item in differences) else tuple(found)


def reconcile_revisions(
    before: Sequence[ScheduleRow],
    now: Sequence[ScheduleRow],
    steps: ClassSteps,
    *,
    job_name: str,
    invented: bool,
    files: tuple[str, str],
) -> Reconciliation:
    """Every row of two revisions of one schedule, once each. The order of the rows changes nothing.

    Parameters
    ----------
    before : the rows of the earlier revision
    now : the rows of the schedule in the job
    steps : the fire class steps that exist, by which class texts are compared
    job_name : the name of the job
    invented : whether its names and data are invented
    files : what the earlier and the present file are called
    """
    ordered = [sorted(rows, key=lambda row: (row.reference, row.origin)) for rows in (before, now)]
    matching = _Matching(*ordered)
    _match(matching)
    pairs: list[Pair] = []
    for one, (other, by, how) in sorted(matching.found.items()):
        old, new = ordered[0][one], ordered[1][other]
        differences = list(_differences(old, new, steps))
        kinds = _kinds(old, new, differences)
        if "renamed" in kinds:
            names = _reference(old) or "none", _reference(new) or "none"
            differences.insert(0, Difference(About.NAME, "reference", "reference", *names))
        like = likeness(described_row(old, {}), described_row(new, {}))
        entries = row_entry(old, _reference(old)), row_entry(new, _reference(new))
        pairs.append(Pair(*entries, by, how, like.score, like.agreeing, tuple(differences), kinds))
    taken = {other for other, _, _ in matching.found.values()}
    alone: list[tuple[Alone, ...]] = []
    for side, rows, done, group in (
        (0, ordered[0], set(matching.found), Group.REMOVED),
        (1, ordered[1], taken, Group.ADDED),
    ):
        alone.append(
            tuple(
                Alone(
                    row_entry(row, _reference(row)),
                    Group.NOT_TOLD_APART if at in matching.held[side] else group,
                    matching.held[side].get(at, "") or matching.said[side].get(at, ""),
                )
                for at, row in enumerate(rows)
                if at not in done
            )
        )
    return Reconciliation(
        Sides.REVISIONS,
        job_name,
        invented,
        "the revision before",
        "the revision now",
        (("before", files[0]), ("now", files[1])),
        tuple(pairs),
        alone[0],
        alone[1],
    )
