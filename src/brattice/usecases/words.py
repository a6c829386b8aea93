# SPDX-License-Identifier: Apache-2.0
"""Short texts that several outputs print alike: facts, lists of ids, rows and documents in words."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence

from brattice.building.penetration import Penetration, Size
from brattice.building.words import Actuation, Orientation, product_words
from brattice.evidence.codes import SIZE
from brattice.evidence.installation import Document, TestedInstallation, Window
from brattice.evidence.judgment import Scope
from brattice.findings import Fact, Query, Unknown, Verdict
from brattice.quantities import mm_text, number_text, size_text
from brattice.requirements.requirement import Requirement
from brattice.rows import HowKnown, Row
from brattice.usecases.facts import value_text
from brattice.usecases.report_model import PenetrationReport, QueryStanding

__all__ = [
    "NOT_KNOWN",
    "NOT_TESTED",
    "actuation_asked",
    "class_asked",
    "code_words",
    "count_words",
    "document_words",
    "fact_words",
    "how_known_words",
    "id_runs",
    "installation_words",
    "needed_caution",
    "needed_words",
    "opening_words",
    "query_words",
    "row_value_words",
    "sides_words",
    "size_words",
    "standing_words",
    "window_words",
]

NOT_KNOWN = "not known"
NOT_TESTED = "not given: the size scheduled was not tested"
_NUMBERED = re.compile(r"(.*?)(\d{1,9})\Z", re.DOTALL)
_OUTCOMES = {"fails": "fails", "change": "to be changed", "unknown": "not known", "note": "note"}
_LEAST_RUN = 3


def fact_words(fact: Fact[object], field_name: str = "") -> str:
    """The value of a fact as people read it; "not known" where it is not."""
    return NOT_KNOWN if isinstance(fact, Unknown) else value_text(fact.value, field_name)


def size_words(size: Size | None) -> str:
    """Width × height [mm] or a diameter; "" without a size."""
    return "" if size is None else f"{size_text(size.width_mm, size.height_mm)} mm"


def opening_words(least: Size | None, most: Size | None) -> str:
    """The sizes between which a framed or a finished clear opening may lie; "" where it can't be told."""
    if least is None:
        return ""
    if most is None:
        return f"at least {size_words(least)}"
    if least == most:
        return size_words(least)
    return f"{size_text(least.width_mm, least.height_mm)} to {size_words(most)}"


def needed_caution(item: PenetrationReport) -> str:
    """What has to be said beside the openings that the chosen installation needs; "" where it is not outside scope."""
    chosen = item.chosen
    if chosen is None or chosen.scope is not Scope.OUTSIDE:
        return ""
    if any(reason.code == SIZE and reason.verdict is Verdict.FAIL for reason in chosen.reasons):
        return NOT_TESTED
    return f"only where {chosen.installation_id} holds, which is outside scope here"


def needed_words(item: PenetrationReport, *, framed: bool) -> str:
    """The framed or the finished clear opening that the chosen installation needs, with what to say beside it."""
    need, caution = item.opening.need if item.opening is not None else None, needed_caution(item)
    if caution == NOT_TESTED:
        return caution
    if need is None:
        return ""
    least, most = (need.least_framed, need.most_framed) if framed else (need.least_finished, need.most_finished)
    words = opening_words(least, most)
    return f"{words} ({caution})" if words and caution else words


def window_words(window: Window) -> str:
    """A tested window [mm] in words."""
    if window.least is not None and window.most is not None:
        if window.least == window.most:
            return mm_text(window.least)
        return f"{number_text(window.least)} to {mm_text(window.most)}"
    if window.least is not None:
        return f"at least {mm_text(window.least)}"
    return f"at most {mm_text(window.most)}" if window.most is not None else "not stated"


def sides_words(penetration: Penetration) -> str:
    """From where the left, right, top and bottom of the gaps are seen; a model has no side that the duct comes from."""
    gaps, standing = penetration.opening.gaps, penetration.barrier.orientation
    if isinstance(standing, Unknown):
        return "Whether this is a wall or a floor is not known, and so neither is what left, right, top and bottom are."
    if standing.value is Orientation.FLOOR:
        return "Seen from above: left to right is along model x, bottom to top along model y."
    top = "Top is up."
    if isinstance(gaps, Unknown):
        return f"Left and right of the tested gaps are as their document has them. {top}"
    if gaps.origin.place.startswith("GlobalId "):
        return (
            "Left and right, taken from the model, are seen by somebody who looks along the model's x axis, towards "
            f"larger x (where the wall's face looks along y: towards larger y). {top}"
        )
    return f"Left and right, as scheduled, are seen from the side that the duct comes from. {top}"


def class_asked(requirement: Requirement) -> str:
    """The fire classes that will do, any one of them."""
    if isinstance(requirement.class_texts, Unknown):
        return NOT_KNOWN
    return " or ".join(requirement.class_texts.value) or "none asked"


def actuation_asked(requirement: Requirement) -> str:
    """What has to make the damper close."""
    fact: Fact[frozenset[Actuation]] = requirement.actuation
    if isinstance(fact, Unknown):
        return NOT_KNOWN
    return value_text(fact.value) or "none asked"


def standing_words(standing: QueryStanding | None) -> str:
    """A query's state with its due date: `"overdue, due 2026-03-01"`; "" without a number."""
    if standing is None:
        return ""
    return standing.state if standing.due is None else f"{standing.state}, due {standing.due.isoformat()}"


def query_words(query: Query, standing: QueryStanding | None) -> str:
    """A query on one line: number and state where it has one, the party, the question."""
    head = "" if standing is None else f"{standing.number} ({standing_words(standing)}) "
    return f"{head}{query.missing.ask}: {query.missing.text}"


def code_words(code: str) -> str:
    """A finding code in words: `"seal-fails"` is `"Seal: fails"`."""
    check, _, outcome = code.rpartition("-")
    if outcome not in _OUTCOMES or not check:
        check, outcome = code, ""
    name = check.replace("-", " ").capitalize()
    return f"{name}: {_OUTCOMES[outcome]}" if outcome else name


def count_words(number: int, one: str, many: str = "") -> str:
    """A number with its noun: `"1 penetration"`, `"3 penetrations"`."""
    return f"{number:,} {one if number == 1 else many or f'{one}s'}"


def how_known_words(row: Row, confirmed: bool) -> str:
    """How the value of a row is known, as a passport says it."""
    words = {
        HowKnown.READ: "read in the source",
        HowKnown.SECONDARY: "from a secondary source",
        HowKnown.MEMORY: f"from memory, {row.confidence or 'no'} confidence",
    }[row.how_known]
    if row.how_known is HowKnown.READ:
        return words
    return f"{words}; confirmed by the project" if confirmed else f"{words}; not confirmed"


def row_value_words(row: Row) -> str:
    """The value of a row with its unit."""
    value = row.value
    if isinstance(value, tuple):
        text = ", ".join(number_text(item, 3) if isinstance(item, int | float) else item for item in value)
    elif isinstance(value, bool):
        text = "yes" if value else "no"
    elif isinstance(value, int | float):
        text = number_text(value, 3)
    else:
        text = value
    return f"{text} {row.unit}".strip()


def document_words(document: Document) -> str:
    """The document a tested installation rests on: what it is, reference, revision, date, standard."""
    revision = f" rev. {document.revision}" if document.revision else ""
    standard = f"{document.standard}:{document.edition}" if document.edition else document.standard
    return f"{document.reference}{revision} ({document.level}, {document.issued.isoformat()}; {standard})"


def installation_words(installations: Mapping[str, TestedInstallation], installation_id: str) -> str:
    """An installation's id with maker and product, where the evidence that was loaded holds it."""
    tested = installations.get(installation_id)
    return installation_id if tested is None else f"{installation_id} ({product_words(tested.maker, tested.product)})"


def id_runs(ids: Iterable[str]) -> tuple[tuple[str, str], ...]:
    """Ids as runs of first and last: three or more that follow each other are one run; the order is that given."""
    runs: list[tuple[str, str]] = []
    group: list[str] = []
    for name in ids:
        if group and not _follows(group[-1], name):
            runs += _as_runs(group)
            group = []
        group.append(name)
    return tuple(runs + _as_runs(group))


def _as_runs(group: Sequence[str]) -> list[tuple[str, str]]:
    return [(group[0], group[-1])] if len(group) >= _LEAST_RUN else [(name, name) for name in group]


def _follows(one: str, other: str) -> bool:
    a, b = _NUMBERED.match(one), _NUMBERED.match(other)
    if a is None or b is None or a[1] != b[1] or len(a[2]) != len(b[2]):
        return False
    return int(b[2]) == int(a[2]) + 1
