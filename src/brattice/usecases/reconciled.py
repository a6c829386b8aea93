# SPDX-License-Identifier: Apache-2.0
"""What a reconciliation says: pairs with what differs in them, what one side alone has, and the dampers modelled."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from brattice.usecases.likeness import Compared

__all__ = [
    "CAUTIONS_OF_MATCHING",
    "About",
    "Alone",
    "By",
    "DamperStanding",
    "DamperTold",
    "Difference",
    "Entry",
    "Group",
    "Pair",
    "Reconciliation",
    "Sides",
]


class By(StrEnum):
    """By what two entries were matched, the surest first. Likeness is a proposal and nothing more."""

    PERMANENT_ID = "permanent id"
    KEY = "key"
    GLOBAL_ID = "GlobalId"
    REFERENCE = "reference"
    ALIAS = "alias"
    PLACE = "place"
    LIKENESS = "likeness"


class About(StrEnum):
    """What a difference is about."""

    SIZE = "size"
    CLASS = "class"
    WALL = "wall"
    LEVEL = "level"
    PLACE = "place"
    ORIENTATION = "orientation"
    DAMPER = "damper"
    NAME = "name"
    OTHER = "other"


class Group(StrEnum):
    """Why an entry of one side stands alone; the value is what people read."""

    NO_PLACE = "no place of the models found"
    STATED_NOT_MODELLED = "the schedule states that no model shows it"
    NOT_TOLD_APART = "can't be told apart"
    WITH_DAMPER = "a damper is modelled, no row"
    RATED = "in a rated barrier, no row"
    RATING_NOT_STATED = "in a barrier without any rating, no row"
    STATED_UNRATED = "in a barrier stated as unrated, no row"
    REMOVED = "removed"
    ADDED = "added"

    @property
    def differs(self) -> bool:
        """Whether such an entry is a difference; the others stand as stated."""
        return self not in {Group.STATED_NOT_MODELLED, Group.STATED_UNRATED}


class DamperStanding(StrEnum):
    """Where a modelled damper stands, as far as rows and places tell."""

    WITH_ROW = "at a penetration with its row"
    OTHER_WALL = "in a wall that is not the row's"
    PROPOSED = "at a penetration that a row is only like"
    NO_ROW = "at a penetration without a row"
    ALONE_WITH_ROW = "at no penetration; a row names it"
    ALONE = "at no penetration"
    OTHER_KIND = "at no penetration; the model says that it is none against fire or smoke"

    @property
    def differs(self) -> bool:
        """Whether such a damper is to be looked at."""
        return self not in {DamperStanding.WITH_ROW, DamperStanding.OTHER_KIND}


@dataclass(frozen=True, order=True)
class Entry:
    """One row or one place as it is listed: its name, where it was read, and what it states as text ("" for nothing).

    `reference` is the name without the mark of a row whose reference stands more than once.
    """

    name: str
    where: str
    level: str = ""
    place: str = ""
    size: str = ""
    wall: str = ""
    class_text: str = ""
    damper: str = ""
    reference: str = ""


@dataclass(frozen=True)
class Difference:
    """One thing that two entries state differently. `is_doubt` where two wordings may mean the same.

    `field` is the schedule's own key of it ("column X" for a column kept as text), `label` the same for people.
    """

    about: About
    field: str
    label: str
    one: str
    other: str
    note: str = ""
    is_doubt: bool = False

    @property
    def is_kept_text(self) -> bool:
        """Whether it is about a column that the mapping keeps as text, and about no fact that is judged."""
        return self.field.startswith("column ") or self.field == "remarks"


@dataclass(frozen=True)
class Pair:
    """Two entries that are matched: by what, how like they are (0 … 1) and in what, and what differs."""

    one: Entry
    other: Entry
    by: By
    how: str
    score: float
    agreeing: tuple[Compared, ...]
    differences: tuple[Difference, ...]
    kinds: tuple[str, ...] = ()

    @property
    def facts(self) -> tuple[Difference, ...]:
        """The differences but those in columns that are kept as text."""
        return tuple(item for item in self.differences if not item.is_kept_text)

    @property
    def is_proposal(self) -> bool:
        """Whether a person has to say first that both are one."""
        return self.by is By.LIKENESS


@dataclass(frozen=True)
class Alone:
    """An entry that nothing of the other side was matched with: the group it stands in and why, in words."""

    entry: Entry
    group: Group
    why: str = ""


@dataclass(frozen=True)
class DamperTold:
    """A modelled damper: where it stands, the penetrations it stands at, the rows that are about it, and in words."""

    guid: str
    name: str
    level: str
    size: str
    kind: str
    file: str
    standing: DamperStanding
    at: tuple[str, ...] = ()
    rows: tuple[str, ...] = ()
    text: str = ""


class Sides(StrEnum):
    """What was held against what."""

    MODELS = "schedule against models"
    REVISIONS = "revision against revision"


@dataclass(frozen=True)
class Reconciliation:
    """Everything of both sides, each entry once: in a pair, or alone. Every modelled damper once besides.

    `one` and `other` say in words what the sides are; `files` what was read for each.
    """

    sides: Sides
    job_name: str
    invented: bool
    one: str
    other: str
    files: tuple[tuple[str, str], ...]
    pairs: tuple[Pair, ...]
    only_one: tuple[Alone, ...]
    only_other: tuple[Alone, ...]
    dampers: tuple[DamperTold, ...] = ()
    notes: tuple[str, ...] = ()

    @property
    def matched(self) -> tuple[Pair, ...]:
        """The pairs that names or a place tell for certain."""
        return tuple(item for item in self.pairs if not item.is_proposal)

    @property
    def proposed(self) -> tuple[Pair, ...]:
        """The pairs that likeness proposes, the most like first."""
        return tuple(
            sorted((item for item in self.pairs if item.is_proposal), key=lambda item: (-item.score, item.one))
        )

    @property
    def differing(self) -> tuple[Pair, ...]:
        """The matched pairs in which something differs or may, those where that is a kept text alone included."""
        return tuple(item for item in self.matched if item.differences)

    @property
    def texts_alone(self) -> tuple[Pair, ...]:
        """The matched pairs that differ in nothing but columns that are kept as text."""
        return tuple(item for item in self.differing if not item.facts)

    @property
    def something_differs(self) -> bool:
        """Whether anything differs, is only proposed, or is on one side alone where it should be on both."""
        alone = any(item.group.differs for item in (*self.only_one, *self.only_other))
        return bool(self.differing or self.proposed or alone or any(item.standing.differs for item in self.dampers))

    def counts(self) -> tuple[tuple[str, int], ...]:
        """What was found, in words, with how many; what is not there is left out but for pairs and differences."""
        found = [
            ("matched, nothing differs", len(self.matched) - len(self.differing)),
            ("matched, something differs", len(self.differing) - len(self.texts_alone)),
            ("proposed by likeness, to be confirmed", len(self.proposed)),
        ]
        if self.texts_alone:
            found.insert(2, ("matched, columns kept as text differ and nothing else", len(self.texts_alone)))
        found += [(f"only in {self.one}: {group}", number) for group, number in _by_group(self.only_one).items()]
        found += [(f"only in {self.other}: {group}", number) for group, number in _by_group(self.only_other).items()]
        standing = Counter(item.standing for item in self.dampers)
        found += [(f"dampers modelled {item}", standing[item]) for item in DamperStanding if standing[item]]
        return tuple(found)


def _by_group(alone: tuple[Alone, ...]) -> Mapping[Group, int]:
    count = Counter(item.group for item in alone)
    return {group: count[group] for group in Group if count[group]}


CAUTIONS_OF_MATCHING: tuple[str, ...] = (
    (
        "Matching is made in this order: permanent id, key and GlobalId; reference and alias; place (level with the "
        "place in words, or coordinates); then likeness. What an earlier step matched, a later one leaves alone."
    ),
    (
        "A match by likeness is a proposal: nothing was joined by it, here or in the job. Somebody who knows the "
        "place confirms it by writing the permanent id or the GlobalId into the row."
    ),
    "The score is the share, by weight, of what either of the two states that both say alike. It is no probability.",
    "Where several are equally like, nothing is matched; they are named.",
    "What only one side states was not compared: that is neither a difference nor an agreement.",
    "A barrier for which no rating is stated may still be a fire barrier: its places are listed apart, not left out.",
)
"""What has to be said beside every reconciliation."""
