# SPDX-License-Identifier: Apache-2.0
"""Every penetration against every tested installation at once: the scope of each pair, its reasons on demand.

`judge` stays the oracle. A check that reads words and switches is made by that very code, once for each different
reading of site and test, and the outcome is spread over all pairs that share the reading. Only comparisons of numbers
are written anew, as arrays (`screen_numbers`); a test holds the whole table against `judge`, pair by pair.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from operator import attrgetter
from typing import Any

import numpy as np

from brattice.building.penetration import Penetration
from brattice.classes import ClassSteps
from brattice.errors import OwnFault
from brattice.evidence.checking import Basis
from brattice.evidence.checks import CHECKS, Check
from brattice.evidence.dates import KeyDates
from brattice.evidence.installation import TestedInstallation
from brattice.evidence.judge import is_same_product, judge_on
from brattice.evidence.judgment import Judgment, Scope
from brattice.evidence.outcomes import Outcomes, fails, outcome_of, unknowns, weights
from brattice.evidence.revisions import with_revisions
from brattice.evidence.screen_numbers import NUMBERS, NumberScreen
from brattice.findings import Known, Unknown
from brattice.requirements.requirement import Requirement
from brattice.rows import RowBook

__all__ = ["SCOPES", "JudgmentTable", "Screen", "judge_all"]

SCOPES = (Scope.WITHIN, Scope.WITHIN_IF, Scope.NOT_ENOUGH_KNOWN, Scope.OUTSIDE)
"""From the best to the worst; a scope code is the place in this list."""

_CHUNK = 1024
_UNKNOWN = "not known"


@dataclass(frozen=True)
class _Site:
    """One penetration and what is asked of it."""

    penetration: Penetration
    requirement: Requirement

    def read(self, path: str) -> Hashable:
        """What stands at a path, origins and the names of missing facts left out."""
        if path == "opening.is_shared":
            return bool(self.penetration.opening.shared_with)
        at: Any = self.requirement if path.startswith("requirement.") else self.penetration
        for name in path.removeprefix("requirement.").split("."):
            if at is None:
                return None
            at = getattr(at, name)
        if isinstance(at, Known):
            value: Hashable = at.value
            return value
        return _UNKNOWN if isinstance(at, Unknown) else at


class _WordScreen:
    """One check of words and switches: made once for each different reading of site and test."""

    def __init__(self, check: Check, installations: Sequence[TestedInstallation], basis: Basis) -> None:
        self.check, self.basis = check, basis
        readers = [attrgetter(path) for path in check.tested]
        places: dict[Hashable, int] = {}
        self.examples: list[TestedInstallation] = []
        index = []
        for item in installations:
            key = tuple(reader(item) for reader in readers)
            if key not in places:
                places[key] = len(self.examples)
                self.examples.append(item)
            index.append(places[key])
        self.index = np.array(index, dtype=np.intp)
        self.rows: dict[Hashable, Outcomes] = {}

    def row(self, site: _Site) -> Outcomes:
        """The outcome against every installation."""
        key = tuple(site.read(path) for path in self.check.site)
        found = self.rows.get(key)
        if found is None:
            each = [
                outcome_of(self.check.run(site.penetration, site.requirement, item, self.basis))
                for item in self.examples
            ]
            found = np.array(each, dtype=np.int64)[self.index]
            self.rows[key] = found
        return found

    def add(self, sites: Sequence[_Site], total: Outcomes) -> None:
        """Adds the outcomes of these sites to a total, a row a site."""
        places: dict[int, int] = {}
        stack: list[Outcomes] = []
        index = np.empty(len(sites), dtype=np.intp)
        for number, site in enumerate(sites):
            row = self.row(site)
            if id(row) not in places:
                places[id(row)] = len(stack)
                stack.append(row)
            index[number] = places[id(row)]
        if len(stack) == 1:
            total += stack[0]
        else:
            total += np.stack(stack)[index]


class Screen:
    """All tested installations, made ready to be held against penetrations. Dates, rows and steps are its own.

    `installations` are those given, by id, each knowing of the other revisions of its document among them.
    """

    def __init__(self, installations: Iterable[TestedInstallation], basis: Basis) -> None:
        self.installations = with_revisions(sorted(installations, key=lambda item: item.id))
        self.basis = basis
        ids = [item.id for item in self.installations]
        if len(set(ids)) != len(ids):
            raise OwnFault("two tested installations with the same id")
        self.places: Mapping[str, int] = {name: place for place, name in enumerate(ids)}
        self._words = [_WordScreen(check, self.installations, basis) for check in CHECKS if not check.numeric]
        self._numbers: list[NumberScreen] = [
            NUMBERS[check.code](check, self.installations, basis) for check in CHECKS if check.numeric
        ]
        self._products: dict[Hashable, np.ndarray[Any, np.dtype[np.bool_]]] = {}

    def outcomes(self, penetrations: Sequence[Penetration], requirements: Sequence[Requirement]) -> Outcomes:
        """The summed outcome of all checks, a row a penetration, a column an installation (by id)."""
        total = np.zeros((len(penetrations), len(self.installations)), dtype=np.int64)
        if not self.installations:
            return total
        for first in range(0, len(penetrations), _CHUNK):
            part = slice(first, first + _CHUNK)
            some, asked = penetrations[part], requirements[part]
            sites = [_Site(item, need) for item, need in zip(some, asked, strict=True)]
            for words in self._words:
                words.add(sites, total[part])
            for numbers in self._numbers:
                numbers.add(some, asked, total[part])
        return total

    def same_product(self, penetration: Penetration) -> np.ndarray[Any, np.dtype[np.bool_]]:
        """For each installation whether it is of the scheduled product (of any, where none is scheduled)."""
        maker, product = penetration.damper.maker, penetration.damper.product
        key = tuple(fact.value if isinstance(fact, Known) else None for fact in (maker, product))
        found = self._products.get(key)
        if found is None:
            found = np.array([is_same_product(penetration, item) for item in self.installations], dtype=np.bool_)
            self._products[key] = found
        return found

    def judgment(self, penetration: Penetration, requirement: Requirement, installation_id: str) -> Judgment:
        """The whole judgment of one pair, with its reasons."""
        installation = self.installations[self.places[installation_id]]
        return judge_on(penetration, requirement, installation, self.basis)


def scope_codes(outcomes: Outcomes) -> np.ndarray[Any, np.dtype[np.uint8]]:
    """The places in `SCOPES` of summed outcomes."""
    codes = (weights(outcomes) > 0).astype(np.uint8)
    codes[unknowns(outcomes) > 0] = 2
    codes[fails(outcomes) > 0] = 3
    return codes


@dataclass(frozen=True)
class JudgmentTable:
    """The answer for every pair: codes at once, a pair's reasons when they are asked for.

    Rows stand in the order of the penetrations given, columns in the order of installation ids. `outcomes` are the
    summed outcomes (see `outcomes`).
    """

    screen: Screen
    penetrations: tuple[Penetration, ...]
    requirements: tuple[Requirement, ...]
    outcomes: Outcomes

    @property
    def installation_ids(self) -> tuple[str, ...]:
        """The ids of the columns."""
        return tuple(self.screen.places)

    def codes(self) -> np.ndarray[Any, np.dtype[np.uint8]]:
        """The scope of every pair as its place in `SCOPES`."""
        return scope_codes(self.outcomes)

    def scope(self, row: int, installation_id: str) -> Scope:
        """The scope of one pair."""
        place = self.screen.places[installation_id]
        return SCOPES[int(scope_codes(self.outcomes[row : row + 1, place])[0])]

    def weight(self, row: int, installation_id: str) -> int:
        """What the changes of one pair weigh together (meant where the scope is *within scope if*)."""
        return int(weights(self.outcomes[row, self.screen.places[installation_id]]))

    def counts(self, row: int) -> tuple[tuple[Scope, int], ...]:
        """How many installations came to each scope at one penetration."""
        found = np.bincount(scope_codes(self.outcomes[row]), minlength=len(SCOPES))
        return tuple((scope, int(count)) for scope, count in zip(SCOPES, found, strict=True))

    def judgment(self, row: int, installation_id: str) -> Judgment:
        """The whole judgment of one pair, made now."""
        return self.screen.judgment(self.penetrations[row], self.requirements[row], installation_id)

    def judgments(self, row: int) -> Iterator[Judgment]:
        """The judgments of one penetration, one after the other."""
        return (self.judgment(row, name) for name in self.installation_ids)


def judge_all(
    penetrations: Iterable[Penetration],
    requirements: Iterable[Requirement],
    installations: Iterable[TestedInstallation],
    dates: KeyDates,
    book: RowBook,
    steps: ClassSteps,
    *,
    jurisdiction: str = "England",
) -> JudgmentTable:
    """Every penetration (with what is asked of it, in the same order) against every tested installation.

    The table says what `judge` says of each pair. Time and memory grow with the number of pairs.
    """
    some, asked = tuple(penetrations), tuple(requirements)
    if len(some) != len(asked):
        raise OwnFault(f"{len(some)} penetrations and {len(asked)} requirements")
    screen = Screen(installations, Basis.of(dates, book, steps, jurisdiction))
    return JudgmentTable(screen, some, asked, screen.outcomes(some, asked))
