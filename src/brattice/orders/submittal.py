# SPDX-License-Identifier: Apache-2.0
"""The technical submittal of one product in one wall type: what is asked, what is held, by which document, where.

A submittal is sent for somebody's decision; it decides nothing itself. Each line says the state of its penetrations in
the words of the register, so that nothing here can read better than there.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from brattice.building.file_names import file_part
from brattice.building.penetration import Penetration
from brattice.building.words import product_words
from brattice.details.detail import InstallationDetail
from brattice.details.figures import TO_BE_SETTLED
from brattice.evidence.installation import Document, TestedInstallation
from brattice.findings import Known
from brattice.orders.approval import contents, submittal_key, void_because
from brattice.orders.decisions import SubmittalDecision, decision_of, standing_on
from brattice.orders.words import closes_by, has_no_damper, natural, size_of, wall_words, without_id
from brattice.quantities import mm_text
from brattice.requirements.requirement import Requirement

__all__ = [
    "AskedHere",
    "AskedPart",
    "ComplianceLine",
    "InstallationUsed",
    "Submittal",
    "Submittals",
    "document_lines",
    "submittals",
]

_CLASS_PARTS = ("class", "actuation")
_NOT_STATED = "not stated"
_LISTED = 6  # as many ids as are read at a glance
_OUTSIDE, _ONLY_IF = "outside scope", "within scope if"
"""States of the register, in its words."""


@dataclass(frozen=True)
class AskedHere:
    """What the register says of one penetration: what is asked, its state in words, and why."""

    requirement: Requirement
    state: str
    why: str


@dataclass(frozen=True)
class ComplianceLine:
    """Penetrations that are asked the same and answer the same.

    `sources` are the clauses and documents that ask class and actuation; `state` is the state of the register.
    """

    class_asked: str
    actuation_asked: str
    class_held: str
    actuation_held: str
    state: str
    sources: tuple[str, ...]
    penetrations: tuple[str, ...]
    sizes: tuple[str, ...]


@dataclass(frozen=True)
class AskedPart:
    """One thing that is asked beside class and actuation: what in words, who asks it, at which penetrations."""

    about: str
    asks: str
    sources: tuple[str, ...]
    penetrations: tuple[str, ...]


@dataclass(frozen=True)
class InstallationUsed:
    """A tested installation that is used: what it is, its documents, and where it is used."""

    id: str
    class_text: str
    construction: str
    fixing: str
    seal: str
    documents: tuple[tuple[str, str], ...]
    penetrations: tuple[str, ...]


@dataclass(frozen=True)
class Submittal:
    """The submittal of one product in one wall type. `decision` is None while nobody decided it.

    `content` is the mark of what it submits; a decision on another content is void (see `void`).

    `deviations` (accepted, and requirements lowered), `outside` (outside the tested scope), `changes` (within scope if)
    and `unknowns` are pairs of a text and the penetrations that it is about.
    """

    number: int
    maker: str
    product: str
    wall_type: str
    wall_text: tuple[tuple[str, str], ...]
    content: str
    decision: SubmittalDecision | None
    penetrations: tuple[str, ...]
    compliance: tuple[ComplianceLine, ...]
    asked: tuple[AskedPart, ...]
    installations: tuple[InstallationUsed, ...]
    product_documents: tuple[str, ...]
    deviations: tuple[tuple[str, tuple[str, ...]], ...]
    outside: tuple[tuple[str, tuple[str, ...]], ...]
    changes: tuple[tuple[str, tuple[str, ...]], ...]
    unknowns: tuple[tuple[str, tuple[str, ...]], ...]

    @property
    def product_text(self) -> str:
        """Maker and product on one line."""
        return product_words(self.maker, self.product)

    @property
    def status_text(self) -> str:
        """The status with who decided it and when, and why it holds no longer; that nobody decided where nobody did."""
        if self.decision is None:
            return "not decided; nothing is ordered before A or B"
        return f"{self.decision.text}. No approval any more: {self.void}" if self.void else self.decision.text

    def where_text(self, ids: tuple[str, ...]) -> str:
        """Where something holds: each id, or "all N" where that is longer and leaves none of the submittal out.

        Each penetration stands by its id in the compliance statement.
        """
        everywhere = len(ids) > _LISTED and set(ids) == set(self.penetrations)
        return f"all {len(self.penetrations)}" if everywhere else ", ".join(ids)

    @property
    def void(self) -> str:
        """Why its approval does not hold; "" where it does, or there is none."""
        return void_because(self.decision, self.content)

    @property
    def in_force(self) -> str:
        """The letter of the decision that is in force; "" where none is."""
        return "" if self.decision is None or self.void else self.decision.status.value

    @property
    def file_stem(self) -> str:
        """A name for its file: number, product and wall type in plain letters."""
        parts = [f"{self.number:02d}", file_part(self.product, ""), file_part(self.wall_type, "")]
        return "-".join(part for part in parts if part).casefold()


@dataclass(frozen=True)
class Submittals:
    """The submittals of a job, and the penetrations that stand in none because product or wall type is not known."""

    items: tuple[Submittal, ...]
    without: tuple[str, ...]


def document_lines(document: Document) -> tuple[tuple[str, str], ...]:
    """A document line by line: pairs of what and how; what it does not state is said so."""
    standard = f"{document.standard}:{document.edition}" if document.edition else document.standard
    return (
        (str(document.level), f"{document.reference} revision {document.revision}, {document.issued.isoformat()}"),
        ("standard", standard),
        ("certificate of constancy of performance", document.certificate or _NOT_STATED),
        ("marking", " and ".join(sorted(document.marking)) if document.marking else _NOT_STATED),
        ("instructions", document.instructions or _NOT_STATED),
        ("third-party certification", document.third_party or _NOT_STATED),
    )


def _construction(tested: TestedInstallation) -> str:
    of = tested.construction
    parts = [str(of.kind), f"at least {mm_text(of.least_thickness_mm)} thick"]
    parts += [text for text in (of.material, of.board_type) if text]
    return ", ".join(parts)


def _used(tested: TestedInstallation, ids: Iterable[str]) -> InstallationUsed:
    return InstallationUsed(
        id=tested.id,
        class_text=tested.class_text,
        construction=_construction(tested),
        fixing=str(tested.fixing),
        seal=", ".join(tested.seal.products) or _NOT_STATED,
        documents=document_lines(tested.document),
        penetrations=tuple(ids),
    )


def _wall_text(penetration: Penetration) -> tuple[tuple[str, str], ...]:
    wall = penetration.barrier.wall_type
    _, role = wall_words(penetration)
    lines = [("role", role)]
    rating = penetration.barrier.rating
    lines.append(("rating", rating.value.text if isinstance(rating, Known) else TO_BE_SETTLED))
    if wall is not None:
        kind, revision = wall.kind, wall.revision
        lines.append(("construction", str(kind.value) if isinstance(kind, Known) else TO_BE_SETTLED))
        thick = penetration.barrier.thickness_mm
        lines.append(("thickness", mm_text(thick.value) if isinstance(thick, Known) else TO_BE_SETTLED))
        lines.append(("revision", revision.value if isinstance(revision, Known) else TO_BE_SETTLED))
    return tuple(lines)


def _sources(rows: Iterable[str], documents: Iterable[str], clauses: Mapping[str, str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys((*(clauses.get(row, row) for row in rows), *documents)))


def _compliance(
    details: Sequence[InstallationDetail], asked: Mapping[str, AskedHere], clauses: Mapping[str, str]
) -> Iterator[ComplianceLine]:
    found: dict[tuple[str, str, str, str, str, tuple[str, ...]], list[InstallationDetail]] = defaultdict(list)
    for detail in details:
        here = asked.get(detail.id)
        parts = [part for part in here.requirement.parts if part.about in _CLASS_PARTS] if here is not None else []
        sources = _sources(
            (row for part in parts for row in part.rows), (text for part in parts for text in part.documents), clauses
        )
        key = (
            detail.class_asked or TO_BE_SETTLED,
            detail.actuation_asked or TO_BE_SETTLED,
            detail.class_held or "not shown",
            closes_by(detail),
            here.state if here is not None else "not judged",
            sources,
        )
        found[key].append(detail)
    for key, mine in sorted(found.items()):
        sizes = sorted({size_of(item, "damper") for item in mine}, key=lambda text: natural((text,)))
        yield ComplianceLine(*key, tuple(item.id for item in mine), tuple(sizes))


def _asked_parts(
    details: Sequence[InstallationDetail], asked: Mapping[str, AskedHere], clauses: Mapping[str, str]
) -> Iterator[AskedPart]:
    found: dict[tuple[str, str, tuple[str, ...]], list[str]] = defaultdict(list)
    for detail in details:
        here = asked.get(detail.id)
        for part in here.requirement.parts if here is not None else ():
            if part.about not in _CLASS_PARTS:
                found[part.about, part.asks, _sources(part.rows, part.documents, clauses)].append(detail.id)
    for (about, asks, sources), ids in found.items():
        yield AskedPart(about, asks, sources, tuple(dict.fromkeys(ids)))


def _together(pairs: Iterable[tuple[str, str]]) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """Pairs of text and penetration, each text once with all its penetrations."""
    found: dict[str, list[str]] = defaultdict(list)
    for text, name in pairs:
        if name not in found[text]:
            found[text].append(name)
    return tuple((text, tuple(ids)) for text, ids in sorted(found.items()))


def _deviations(detail: InstallationDetail, asked: Mapping[str, AskedHere]) -> Iterator[str]:
    if detail.deviation:
        instead = f" Accepted in place of: {' '.join(detail.changes)}" if detail.changes else ""
        yield f"{detail.deviation}{instead}"
    here = asked.get(detail.id)
    low = here.requirement.lowered_by if here is not None else None
    if low is not None:
        yield (
            f"The requirement was lowered by {low.person}, {low.role}, on {low.document} revision {low.revision}, "
            f"{low.on.isoformat()}: {low.why}"
        )


def _submittal(
    number: int,
    key: tuple[str, str, str],
    details: Sequence[InstallationDetail],
    asked: Mapping[str, AskedHere],
    clauses: Mapping[str, str],
    decision: SubmittalDecision | None,
    content: str,
) -> Submittal:
    maker, product, wall = key
    installations: dict[str, tuple[TestedInstallation, list[str]]] = {}
    for detail in details:
        if detail.tested is not None:
            installations.setdefault(detail.tested.id, (detail.tested, []))[1].append(detail.id)
    documents = {
        detail.product.document for detail in details if detail.product is not None and detail.product.document
    }
    states = {name: here.state for name, here in asked.items()}
    outside = [(asked[item.id].why, item.id) for item in details if states.get(item.id) == _OUTSIDE]
    return Submittal(
        number=number,
        maker=maker,
        product=product,
        wall_type=wall,
        wall_text=_wall_text(details[0].penetration),
        content=content,
        decision=decision,
        penetrations=tuple(item.id for item in details),
        compliance=tuple(_compliance(details, asked, clauses)),
        asked=tuple(_asked_parts(details, asked, clauses)),
        installations=tuple(_used(tested, ids) for _, (tested, ids) in sorted(installations.items())),
        product_documents=tuple(sorted(documents)),
        deviations=_together((text, item.id) for item in details for text in _deviations(item, asked)),
        outside=_together(outside),
        changes=_together(
            (text, item.id) for item in details if states.get(item.id) == _ONLY_IF for text in item.changes
        ),
        unknowns=_together(
            (f"{without_id(missing.text, item.id)} (ask the {missing.ask})", item.id)
            for item in details
            for missing in item.to_settle
        ),
    )


def submittals(
    details: Mapping[str, InstallationDetail],
    asked: Mapping[str, AskedHere],
    clauses: Mapping[str, str],
    decisions: Iterable[SubmittalDecision] = (),
    *,
    on: date,
    without: Collection[str] = (),
) -> Submittals:
    """The submittals of a job on a date: one for each product in each wall type, numbered in their order.

    `details` and `asked` are by permanent id, `clauses` say the clause of a row by its id, with how it is known. A
    decision that is dated later does not count. Penetrations without a damper, and those in `without` that need none,
    stand in no submittal.
    """
    standing, _ = standing_on(decisions, (), on)
    nameless = tuple(
        name
        for name, detail in sorted(details.items())
        if not has_no_damper(detail, without) and submittal_key(detail) is None
    )
    items = []
    groups = sorted(contents(details, without).items(), key=lambda item: natural(item[0]))
    for number, (_, (content, mine)) in enumerate(groups, start=1):
        key = min(found for item in mine if (found := submittal_key(item)) is not None)
        decision = decision_of(standing, *key)
        items.append(_submittal(number, key, mine, asked, clauses, decision, content))
    return Submittals(tuple(items), nameless)
