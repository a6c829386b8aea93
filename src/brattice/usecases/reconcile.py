# SPDX-License-Identifier: Apache-2.0
"""Schedule against models and the dampers modelled: every row, place and damper once, matched or alone.

Nothing of the job is changed by it, and nothing is judged: findings are the business of `check_job`.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from brattice.building.penetration import Size
from brattice.building.schedule import ScheduleRow
from brattice.building.wall_type import Rating, WallType
from brattice.building.words import PROTECTED_BY_RUN, plain
from brattice.classes import ClassSteps, Family, read_class
from brattice.errors import ClassTextError
from brattice.findings import Known, Verdict
from brattice.quantities import number_text, size_text
from brattice.usecases.check import Material
from brattice.usecases.combine import agree
from brattice.usecases.facts import value_text
from brattice.usecases.likeness import FACTS, Described, described_place, described_row, likeness
from brattice.usecases.merge import ModelFacts
from brattice.usecases.modelled_dampers import ModelledDamper
from brattice.usecases.pairing import Best, Tie, best_likes, mutual, pairs_by_centre, pairs_by_names
from brattice.usecases.reconciled import (
    About,
    Alone,
    By,
    DamperStanding,
    DamperTold,
    Difference,
    Entry,
    Group,
    Pair,
    Reconciliation,
    Sides,
)
from brattice.usecases.tie import Tied, is_not_modelled

__all__ = ["EXCHANGED", "like_words", "listed", "reconcile_models", "row_entry", "same_class", "turned"]

EXCHANGED = "width and height are exchanged"
_SHOWN = 5
_STOREY = next(fact for fact in FACTS if fact.name == "storey")


def listed(names: Iterable[str]) -> str:
    """The first few names, and how many more there are."""
    every = list(names)
    more = f" and {len(every) - _SHOWN} more" if len(every) > _SHOWN else ""
    return ", ".join(every[:_SHOWN]) + more


def turned(one: Size, other: Size) -> bool:
    """Whether two sizes differ in nothing but that width and height are exchanged."""
    if one.height_mm is None or agree(one, other) is Verdict.PASS:
        return False
    return agree(Size(one.height_mm, one.width_mm), other) is Verdict.PASS


def same_class(one: str, other: str, steps: ClassSteps) -> bool:
    """Whether two texts say one fire class: the same words, or the same class by the table of classes."""
    if agree(one, other) is Verdict.PASS:
        return True
    for family in (Family.FIRE_DAMPER, Family.SMOKE_CONTROL_DAMPER):
        try:
            return read_class(one, family, steps).classes == read_class(other, family, steps).classes
        except ClassTextError:
            continue
    return False


def _value(fact: object) -> Any:
    return fact.value if isinstance(fact, Known) else None


def _size(size: Size | None) -> str:
    return "" if size is None else size_text(size.width_mm, size.height_mm)


def _centre(centre: tuple[float, float, float] | None) -> str:
    if centre is None:
        return ""
    return ", ".join(f"{axis} {number_text(value, 2)}" for axis, value in zip("xyz", centre, strict=True)) + " m"


def row_entry(row: ScheduleRow, reference: str = "") -> Entry:
    """A row as it is listed."""
    wall = [_value(row.wall_type_code) or "", value_text(row.rating.value) if row.rating else ""]
    present = _value(row.damper_present)
    return Entry(
        row.reference,
        str(row.origin),
        _value(row.storey) or "",
        row.words or _centre(_value(row.centre_m)),
        _size(_value(row.duct_size or row.damper_size)),
        ", ".join(filter(None, [*wall, " ".join(row.barrier_guids)])),
        _value(row.class_text) or "",
        "none scheduled" if present is False else " ".join(row.damper_guids),
        reference or row.reference,
    )


def _place_entry(place: ModelFacts, name: str) -> Entry:
    rating = value_text(place.rating.value) if place.rating else _value(place.rating_unread) or ""
    wall = [_value(place.wall_type_code) or place.type_name, rating, " ".join(place.barrier_guids)]
    files = sorted({fact.origin.file for fact in (place.size, place.thickness_mm, place.storey) if fact is not None})
    guids = " ".join(place.duct_guids or place.damper_guids)
    return Entry(
        name,
        f"{', '.join(files) or 'models'}: {guids}" if guids else ", ".join(files) or "models",
        _value(place.storey) or "",
        _centre(place.centre_m),
        _size(_value(place.size)),
        ", ".join(filter(None, wall)),
        "",
        " ".join(place.damper_guids),
        name,
    )


def like_words(best: Best, names: Sequence[str], taken: bool) -> str:
    """What an entry without a match is most like, in words; "" where it is like nothing."""
    if not best.number:
        return ""
    score = number_text(best.score, 2)
    named = listed([*(names[at] for at in best.first), *[""] * (best.number - len(best.first))])
    if best.number > 1:
        return f"It is equally like {named} (likeness {score}); nothing tells which of them it is."
    return f"It is most like {named} (likeness {score}), which " + (
        "is more like another or equally like others." if not taken else "is matched with another."
    )


@dataclass
class _Sides:
    """Rows and places while they are matched: what is still free, and what was said of it."""

    rows: Sequence[ScheduleRow]
    places: Sequence[ModelFacts]
    names: Sequence[str]
    found: dict[int, tuple[int, By, str]] = field(default_factory=dict)
    held: dict[int, str] = field(default_factory=dict)
    held_places: dict[int, str] = field(default_factory=dict)
    said: dict[int, str] = field(default_factory=dict)
    said_places: dict[int, str] = field(default_factory=dict)

    def free_rows(self) -> list[int]:
        return [at for at, row in enumerate(self.rows) if not self._is_done(at, row)]

    def _is_done(self, at: int, row: ScheduleRow) -> bool:
        return at in self.found or at in self.held or is_not_modelled(row)

    def free_places(self) -> list[int]:
        taken = {place for place, _, _ in self.found.values()}
        return [at for at in range(len(self.places)) if at not in taken and at not in self.held_places]

    def take(self, pairs: Iterable[tuple[int, int]], by: By, how: str) -> None:
        for row, place in pairs:
            self.found[row] = (place, by, how)

    def hold(self, tie: Tie, by: str) -> None:
        """Things that a name joins and nothing tells apart: they are matched with nothing any more."""
        rows = listed(self.rows[at].reference for at in tie.ones)
        places = listed(self.names[at] for at in tie.others)
        text = f"Rows {rows} and places {places} are joined by {by}, and nothing tells which is which."
        self.held.update(dict.fromkeys(tie.ones, text))
        self.held_places.update(dict.fromkeys(tie.others, text))


def _by_ids(sides: _Sides, tied: Sequence[Tied], ids: Mapping[str, str]) -> None:
    """What a check ties by key, permanent id or GlobalId; then what shares a GlobalId of a duct or a damper."""
    row_numbers = {id(row): at for at, row in enumerate(sides.rows)}
    place_numbers = {place.key: at for at, place in enumerate(sides.places)}
    for item in tied:
        if item.row is None or item.place is None:
            continue
        by, how = By.GLOBAL_ID, "the row names it by GlobalId"
        if item.row.key and item.row.key == item.place.key:
            by, how = By.KEY, f"the row names its key {item.row.key}"
        if item.row.permanent_id:
            by, how = By.PERMANENT_ID, f"the row names {item.row.permanent_id}"
        sides.take([(row_numbers[id(item.row)], place_numbers[item.place.key])], by, how)
    rows = {at: [f"g {guid}" for guid in _guids(sides.rows[at])] for at in sides.free_rows()}
    for at in sides.free_rows():
        row = sides.rows[at]
        rows[at] += [f"i {row.permanent_id}"] if row.permanent_id else []
        rows[at] += [f"k {row.key}"] if row.key else []
    places = {
        at: [
            *(f"g {guid}" for guid in (*sides.places[at].duct_guids, *sides.places[at].damper_guids)),
            f"i {ids.get(sides.places[at].key, '')}",
            f"k {sides.places[at].key}",
        ]
        for at in sides.free_places()
    }
    pairs, ties = pairs_by_names(rows, places)
    sides.take(pairs, By.GLOBAL_ID, "both name a GlobalId of the same duct or damper")
    for tie in ties:
        sides.hold(tie, "permanent id, key or GlobalId")


def _guids(row: ScheduleRow) -> tuple[str, ...]:
    return (*row.damper_guids, *row.duct_guids)


def _row_names(row: ScheduleRow) -> set[str]:
    return {plain(name) for name in (row.reference, *(text for _, text in row.aliases)) if name.strip()}


def _by_alias(sides: _Sides, dampers: Mapping[str, ModelledDamper]) -> None:
    """A damper of the models that is called like a row."""
    rows = {at: _row_names(sides.rows[at]) for at in sides.free_rows()}
    places = {
        at: {plain(dampers[guid].name) for guid in sides.places[at].damper_guids if guid in dampers} - {""}
        for at in sides.free_places()
    }
    pairs, ties = pairs_by_names(rows, places)
    sides.take(pairs, By.ALIAS, "the damper modelled there is called like the row")
    for tie in ties:
        text = f"Rows {listed(sides.rows[at].reference for at in tie.ones)} and the dampers modelled at "
        text += f"{listed(sides.names[at] for at in tie.others)} share a name."
        sides.said.update(dict.fromkeys(tie.ones, text))
        sides.said_places.update(dict.fromkeys(tie.others, text))


def _elsewhere(one: Described, other: Described, storeys: frozenset[str]) -> bool:
    return _STOREY.compare(one.storey, other.storey, storeys) is Verdict.FAIL


def _by_place(
    sides: _Sides, of_rows: Sequence[Described], of_places: Sequence[Described], storeys: frozenset[str]
) -> None:
    """Stated coordinates; the models have no places in words."""
    rows = {at: centre for at in sides.free_rows() if (centre := of_rows[at].centre_m) is not None}
    places = {at: centre for at in sides.free_places() if (centre := of_places[at].centre_m) is not None}
    near = pairs_by_centre(rows, places)
    sides.take(
        ((row, place) for row, place in near if not _elsewhere(of_rows[row], of_places[place], storeys)),
        By.PLACE,
        "the only ones whose stated centres are within a metre of each other",
    )


def _by_likeness(
    sides: _Sides, of_rows: Sequence[Described], of_places: Sequence[Described], storeys: Sequence[str]
) -> None:
    rows, places = sides.free_rows(), sides.free_places()
    mine, theirs = [of_rows[at] for at in rows], [of_places[at] for at in places]
    best, best_places = best_likes(mine, theirs, storeys), best_likes(theirs, mine, storeys)
    pairs = mutual(best, best_places)
    taken, taken_places = {row for row, _ in pairs}, {place for _, place in pairs}
    sides.take(
        ((rows[row], places[place]) for row, place in pairs), By.LIKENESS, "each is the one that the other is most like"
    )
    references, names = (
        [item.reference for item in map(sides.rows.__getitem__, rows)],
        [sides.names[at] for at in places],
    )
    for at, number in enumerate(rows):
        words = like_words(best[at], names, bool(taken_places & set(best[at].first)))
        sides.said[number] = " ".join(filter(None, [sides.said.get(number, ""), words]))
    for at, number in enumerate(places):
        words = like_words(best_places[at], references, bool(taken & set(best_places[at].first)))
        sides.said_places[number] = " ".join(filter(None, [sides.said_places.get(number, ""), words]))


@dataclass(frozen=True)
class _Compare:
    """Holds a row against the place that it is matched with."""

    wall_types: Mapping[str, WallType]
    dampers: Mapping[str, ModelledDamper]
    at: Mapping[str, tuple[str, ...]]
    storeys: frozenset[str]
    steps: ClassSteps

    def differences(self, row: ScheduleRow, place: ModelFacts) -> Iterator[Difference]:
        dampers = [self.dampers[guid] for guid in place.damper_guids if guid in self.dampers]
        yield from self._sizes(row, place, dampers)
        for damper in dampers:
            if (
                row.class_text
                and damper.class_text
                and not same_class(row.class_text.value, damper.class_text, self.steps)
            ):
                yield Difference(About.CLASS, "class_text", "damper class", row.class_text.value, damper.class_text)
        yield from self._wall(row, place)
        if row.storey and place.storey:
            verdict = _STOREY.compare(row.storey.value, place.storey.value, self.storeys)
            if verdict is not Verdict.PASS:
                doubt = verdict is Verdict.UNKNOWN
                note = "two names that may be of one level" if doubt else ""
                names = row.storey.value, place.storey.value
                yield Difference(About.LEVEL, "storey", "level", *names, note, doubt)
        if row.orientation and place.orientation and row.orientation.value is not place.orientation.value:
            texts = value_text(row.orientation.value), value_text(place.orientation.value)
            yield Difference(About.ORIENTATION, "orientation", "wall or floor", *texts)
        centre = _value(row.centre_m)
        if centre is not None and place.centre_m is not None and not pairs_by_centre({0: centre}, {0: place.centre_m}):
            note = "more than a metre apart"
            yield Difference(About.PLACE, "centre_m", "centre", _centre(centre), _centre(place.centre_m), note)
        yield from self._damper(row, place, dampers)

    def _sizes(self, row: ScheduleRow, place: ModelFacts, dampers: Sequence[ModelledDamper]) -> Iterator[Difference]:
        duct, modelled = _value(row.duct_size), _value(place.size)
        stated = next((damper.size for damper in dampers if damper.size is not None), None)
        size = _value(row.damper_size)
        compared = [("duct_size", "duct size", duct, modelled), ("damper_size", "damper size", size, stated)]
        if duct is None and stated is None:
            compared.append(("damper_size", "damper size against the duct modelled", size, modelled))
        for name, label, one, other in compared:
            if one is not None and other is not None and agree(one, other) is not Verdict.PASS:
                yield Difference(
                    About.SIZE, name, label, _size(one), _size(other), EXCHANGED if turned(one, other) else ""
                )

    def _wall(self, row: ScheduleRow, place: ModelFacts) -> Iterator[Difference]:
        codes = _value(row.wall_type_code), _value(place.wall_type_code)
        if codes[0] and codes[1] and agree(*codes) is not Verdict.PASS:
            yield Difference(About.WALL, "wall_type_code", "wall type", codes[0], codes[1])
        mine, theirs = described_row(row, self.wall_types), described_place(place, "", self.wall_types)
        if mine.rating is not None and theirs.rating is not None and agree(mine.rating, theirs.rating) is Verdict.FAIL:
            yield Difference(About.WALL, "rating", "rating", mine.rating.text, theirs.rating.text)
        elif mine.rating is not None and theirs.rating is None and place.rating_unread is not None:
            note = "the models' text is not read for certain"
            yield Difference(About.WALL, "rating", "rating", mine.rating.text, place.rating_unread.value, note, True)
        thick = mine.thickness_mm, theirs.thickness_mm
        if thick[0] is not None and thick[1] is not None and agree(*thick) is not Verdict.PASS:
            one, other = (value_text(value, "thickness_mm") for value in thick)
            yield Difference(About.WALL, "thickness_mm", "wall thickness", one, other)
        if row.barrier_guids and not set(row.barrier_guids) & set(place.barrier_guids):
            guids = " ".join(row.barrier_guids), " ".join(place.barrier_guids) or "none"
            yield Difference(About.WALL, "barrier_guids", "wall by GlobalId", *guids, "the damper is in another wall")

    def _damper(self, row: ScheduleRow, place: ModelFacts, dampers: Sequence[ModelledDamper]) -> Iterator[Difference]:
        there = " ".join(place.damper_guids)
        wanted = _wants_damper(row)
        named = [guid for guid in row.damper_guids if guid not in place.damper_guids]
        if named:
            where = "; ".join(f"{guid} {self.where(guid)}" for guid in named)
            yield Difference(
                About.DAMPER,
                "damper_guids",
                "damper by GlobalId",
                " ".join(named),
                there or "none modelled here",
                where,
            )
        elif wanted and not place.damper_guids:
            yield Difference(About.DAMPER, "damper_present", "damper", "scheduled", "none modelled here")
        elif not wanted and place.damper_guids:
            yield Difference(About.DAMPER, "damper_present", "damper", "none scheduled", there)
        if wanted:
            for damper in dampers:
                if damper.is_of_other_kind:
                    note = "the model says that it is none against fire or smoke"
                    yield Difference(About.DAMPER, "damper", "kind of damper", "scheduled", damper.predefined, note)

    def where(self, guid: str) -> str:
        if self.at.get(guid):
            return f"stands at {listed(self.at[guid])}"
        return "stands at no penetration" if guid in self.dampers else "is in no model"


def _wants_damper(row: ScheduleRow) -> bool:
    """A row of a damper schedule wants one, unless it says that there is none or that a run protects the place."""
    return _value(row.damper_present) is not False and _value(row.method) not in PROTECTED_BY_RUN


def _group(place: ModelFacts, wall_types: Mapping[str, WallType]) -> Group:
    if place.damper_guids:
        return Group.WITH_DAMPER
    ratings: list[Rating] = [item.value for item in (place.rating, *place.other_ratings) if item is not None]
    of_type = described_place(place, "", wall_types).rating
    ratings += [of_type] if of_type is not None else []
    if any(item.integrity_min > 0 for item in ratings) or place.rating_unread or place.other_ratings_unread:
        return Group.RATED
    return Group.STATED_UNRATED if ratings else Group.RATING_NOT_STATED


def _told_dampers(
    dampers: Mapping[str, ModelledDamper],
    at: Mapping[str, tuple[str, ...]],
    by_place: Mapping[str, tuple[Pair, ScheduleRow]],
    rows: Sequence[ScheduleRow],
) -> Iterator[DamperTold]:
    named: dict[str, set[str]] = {}
    called: dict[str, set[str]] = {}
    for row in rows:
        for guid in row.damper_guids:
            named.setdefault(guid, set()).add(row.reference)
        for name in _row_names(row):
            called.setdefault(name, set()).add(row.reference)
    for guid, damper in sorted(dampers.items()):
        places = at.get(guid, ())
        pairs = [by_place[name] for name in places if name in by_place]
        sure = [item for item in pairs if not item[0].is_proposal]
        naming = named.get(guid, set()) | (called.get(plain(damper.name), set()) if damper.name else set())
        about = sorted(naming | {row.reference for _, row in pairs})
        text = ""
        if not places:
            standing = DamperStanding.ALONE_WITH_ROW if naming else DamperStanding.ALONE
            if damper.is_of_other_kind and not naming:
                standing = DamperStanding.OTHER_KIND
        elif any(_is_other_wall(item[0]) for item in sure):
            standing = DamperStanding.OTHER_WALL
            texts = [f"{diff.one} in the row, {diff.other} in the models" for item in sure for diff in _walls(item[0])]
            text = "; ".join(texts)
        elif named.get(guid, set()) - {row.reference for _, row in pairs}:
            standing = DamperStanding.OTHER_WALL
            others = sorted(named[guid] - {row.reference for _, row in pairs})
            text = f"row {listed(others)} names this damper and is not matched with where it stands"
        elif sure:
            standing = DamperStanding.WITH_ROW
        else:
            standing = DamperStanding.PROPOSED if pairs else DamperStanding.NO_ROW
        yield DamperTold(
            guid, damper.name, damper.storey, _size(damper.size), damper.predefined or damper.type_name, damper.file,
            standing, places, tuple(about), text,
        )  # fmt: skip


def _walls(pair: Pair) -> list[Difference]:
    return [item for item in pair.differences if item.field in {"barrier_guids", "damper_guids"}]


def _is_other_wall(pair: Pair) -> bool:
    return any(item.field == "barrier_guids" for item in pair.differences)


def reconcile_models(material: Material, steps: ClassSteps) -> Reconciliation:
    """Every row of the job's schedules, every place that the models show and every damper modelled, each once.

    The order of rows, places and dampers changes nothing.

    Parameters
    ----------
    material : what was read of the job; it stays as it is
    steps : the fire class steps that exist, by which class texts are compared
    """
    ids = material.identified.ledger.ids
    tied = material.identified.tied
    rows = sorted((item.row for item in tied if item.row is not None), key=lambda row: (row.reference, row.origin))
    places = sorted((item.place for item in tied if item.place is not None), key=lambda place: ids[place.key])
    names = [ids[place.key] for place in places]
    dampers = {item.guid: item for item in material.dampers}
    at: dict[str, tuple[str, ...]] = {}
    for place, name in zip(places, names, strict=True):
        for guid in place.damper_guids:
            dampers.setdefault(guid, ModelledDamper(guid))
        for guid in (*place.damper_guids, *place.duct_guids):
            if guid in dampers:
                at[guid] = (*at.get(guid, ()), name)
    storeys = tuple(sorted({plan.storey for plan in material.plans}))
    known = frozenset(map(plain, storeys))
    sides = _Sides(rows, places, names)
    of_rows = [described_row(row, material.wall_types) for row in rows]
    of_places = [described_place(place, "", material.wall_types) for place in places]
    _by_ids(sides, tied, ids)
    _by_alias(sides, dampers)
    _by_place(sides, of_rows, of_places, known)
    _by_likeness(sides, of_rows, of_places, storeys)
    compare = _Compare(material.wall_types, dampers, at, known, steps)
    pairs: list[Pair] = []
    by_place: dict[str, tuple[Pair, ScheduleRow]] = {}
    for number, (place_at, by, how) in sorted(sides.found.items()):
        row, place = rows[number], places[place_at]
        like = likeness(of_rows[number], of_places[place_at], storeys)
        pair = Pair(
            row_entry(row), _place_entry(place, names[place_at]), by, how, like.score, like.agreeing,
            tuple(compare.differences(row, place)),
        )  # fmt: skip
        pairs.append(pair)
        by_place[names[place_at]] = (pair, row)
    return Reconciliation(
        Sides.MODELS,
        material.job.name,
        material.job.invented,
        "the schedule",
        "the models",
        tuple((item.role, item.path) for item in sorted(material.inputs) if _is_side(item.role)),
        tuple(pairs),
        tuple(_rows_alone(sides, compare)),
        tuple(_places_alone(sides, material.wall_types)),
        tuple(_told_dampers(dampers, at, by_place, rows)),
        () if material.job.models else ("The job has no models: there is nothing that its schedule is held against.",),
    )


def _is_side(role: str) -> bool:
    return role.startswith("model") or role == "schedule"


def _rows_alone(sides: _Sides, compare: _Compare) -> Iterator[Alone]:
    for number, row in enumerate(sides.rows):
        if number in sides.found:
            continue
        if is_not_modelled(row):
            yield Alone(row_entry(row), Group.STATED_NOT_MODELLED, f"key {row.key}")
            continue
        held = sides.held.get(number, "")
        told = [held or sides.said.get(number, "")]
        told += [f"Its damper {guid} {compare.where(guid)}." for guid in row.damper_guids]
        yield Alone(row_entry(row), Group.NOT_TOLD_APART if held else Group.NO_PLACE, " ".join(filter(None, told)))


def _places_alone(sides: _Sides, wall_types: Mapping[str, WallType]) -> Iterator[Alone]:
    taken = {place for place, _, _ in sides.found.values()}
    for number, place in enumerate(sides.places):
        if number in taken:
            continue
        entry = _place_entry(place, sides.names[number])
        told = [sides.held_places.get(number, "") or sides.said_places.get(number, "")]
        told += [query.shows for query in place.queries]
        group = Group.NOT_TOLD_APART if number in sides.held_places else _group(place, wall_types)
        yield Alone(entry, group, " ".join(filter(None, told)))
