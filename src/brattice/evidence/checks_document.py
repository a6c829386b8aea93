# SPDX-License-Identifier: Apache-2.0
"""Checks of the document: its level, standard and standing on the dates of the job; marking and certificate."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

from brattice.building.penetration import Penetration
from brattice.evidence.checking import (
    Basis,
    Checked,
    Missed,
    evidence_missing,
    failed,
    listed,
    not_applicable,
    passed,
    unknown,
)
from brattice.evidence.codes import (
    CERTIFICATE,
    DOCUMENT_LEVEL,
    DOCUMENT_REVISION,
    DOCUMENT_STANDARD,
    EXTENDED_APPLICATION,
    MARKING,
    STANDING_AT_HANDOVER,
    STANDING_AT_INSTALLATION,
    STANDING_AT_ORDER,
    STANDING_AT_PLACING,
)
from brattice.evidence.dates import KeyDates
from brattice.evidence.installation import DamperKind, Document, DocumentLevel, TestedInstallation
from brattice.evidence.revisions import RevisionOrder, contradictions, order_of
from brattice.evidence.standards import is_of, named_by, year_of
from brattice.findings import Missing, Party
from brattice.requirements.requirement import Requirement

__all__ = [
    "check_certificate",
    "check_document_level",
    "check_document_revision",
    "check_document_standard",
    "check_extended_application",
    "check_marking",
    "check_standing_at_handover",
    "check_standing_at_installation",
    "check_standing_at_order",
    "check_standing_at_placing",
    "edition_note",
]

_KIND_ROWS = {DamperKind.FIRE_DAMPER: "fire-damper", DamperKind.SMOKE_CONTROL_DAMPER: "smoke-control-damper"}
_DATES: dict[str, tuple[Callable[[KeyDates], date | None], str, Party]] = {
    STANDING_AT_ORDER: (lambda dates: dates.order, "order", Party.DUCTWORK_CONTRACTOR),
    STANDING_AT_PLACING: (lambda dates: dates.placed_on_market, "placed_on_market", Party.DAMPER_SUPPLIER),
    STANDING_AT_INSTALLATION: (lambda dates: dates.installation, "installation", Party.PRINCIPAL_CONTRACTOR),
    STANDING_AT_HANDOVER: (lambda dates: dates.handover, "handover", Party.PRINCIPAL_CONTRACTOR),
}
_WORDS = {
    STANDING_AT_ORDER: "the order",
    STANDING_AT_PLACING: "the placing on the market",
    STANDING_AT_INSTALLATION: "the installation",
    STANDING_AT_HANDOVER: "the handover",
}


def _date_missing(code: str) -> Missing:
    _, name, ask = _DATES[code]
    return Missing(f"job/dates/{name}", f"The date of {_WORDS[code]}", ask)


def edition_note(installation: TestedInstallation, basis: Basis) -> str:
    """What to know of an edition that a newer one has superseded; "" for others (trade handbook rows 1.24, 2.24)."""
    document = installation.document
    named = named_by(document)
    editions = basis.editions.get(named.standard)
    newer = editions.after(named.edition) if editions is not None and editions.row(named.edition) else None
    if newer is None:
        return ""
    says = basis.stands(named.standard, named.edition)
    text = f"{_name(document)} follows {named.standard}:{named.edition}, which edition {newer.value} has superseded."
    return f"{text} {says.paraphrase if says is not None else 'See what that changed.'}"


def _name(document: Document) -> str:
    return f"{document.reference}, revision {document.revision}"


def check_document_level(
    penetration: Penetration, requirement: Requirement, installation: TestedInstallation, basis: Basis
) -> Checked:
    """A site needs the declaration with its instructions; a test report alone gives no class (row 3.16)."""
    del penetration, requirement, basis
    document, rows = installation.document, ("product.declaration",)
    need = DocumentLevel.DECLARATION.value
    have = f"{document.level}: {_name(document)}"
    if document.level is DocumentLevel.TEST_REPORT:
        text = (
            "A test report alone declares no class and instructs nobody; the declaration has to show this installation."
        )
        return failed(DOCUMENT_LEVEL, text, have, need, rows, (installation,))
    if document.level is DocumentLevel.CLASSIFICATION_REPORT:
        missing = evidence_missing(
            installation, "document.declaration", "its declaration and installation instructions"
        )
        text = "A classification report is not what a site builds by: the declaration and instructions are needed."
        return unknown(DOCUMENT_LEVEL, text, (missing,), have, need, rows, (installation,))
    if document.instructions is None:
        missing = evidence_missing(installation, "document.instructions", "its installation instructions and revision")
        text = "The installation instructions of the declaration are not named."
        return unknown(DOCUMENT_LEVEL, text, (missing,), have, need, rows, (installation,))
    have = f"{have}; {document.instructions}"
    return passed(DOCUMENT_LEVEL, "Declaration and instructions are named.", have, need, rows, (installation,))


def check_document_standard(
    penetration: Penetration, requirement: Requirement, installation: TestedInstallation, basis: Basis
) -> Checked:
    """A known edition of a European standard of this kind of damper (rows 1.24, 1.50, 2.24, 2.66, 3.1).

    A national test never stands in for it (rows 4.24, 4.25); a standard or edition that nobody knows is asked after,
    and so is one that was superseded before the document was issued, unless it is known to stand.
    """
    del penetration, requirement
    row = f"product.standards.{_KIND_ROWS[installation.kind]}"
    known = basis.words(row)
    document, named = installation.document, named_by(installation.document)
    have = f"{document.standard}:{document.edition}"
    rows: tuple[str, ...] = (row, "product.no-national-test")
    if named.standard not in known:
        if named.standard in basis.standards_of_others or is_of(document.standard, basis.national_standards):
            text = f"The document follows no European standard of a {installation.kind}."
            return failed(DOCUMENT_STANDARD, text, have, listed(known), rows, (installation,))
        missing = evidence_missing(
            installation, "document.standard", "to which standard, of which edition, it was tested"
        )
        text = "The standard that the document follows is none that is known: which standard was it tested to?"
        return unknown(DOCUMENT_STANDARD, text, (missing,), have, listed(known), rows, (installation,))
    editions = basis.editions[named.standard]
    need = f"{named.standard}, edition {listed(editions.texts)}"
    found, doubt = editions.row(named.edition), ""
    if found is None:
        doubt = f"No such edition of {named.standard} is known: which standard was it tested to?"
    elif not named.agree:
        doubt = "The standard's text names another edition than the document's."
    elif year_of(named.edition) > document.issued.year:
        doubt = f"The document was issued in {document.issued.year}, before that edition came out."
    else:
        rows = (row, found.id)
        newer, says = editions.after(named.edition), basis.stands(named.standard, named.edition)
        if says is not None:
            rows = (*rows, says.id)
        elif newer is not None and document.issued.year > year_of(str(newer.value)):
            rows = (*rows, newer.id)
            doubt = f"Edition {newer.value} had superseded it when the document was issued, in {document.issued.year}."
    if doubt:
        missing = evidence_missing(
            installation, "document.edition", f"to which edition of {named.standard} it was tested"
        )
        return unknown(DOCUMENT_STANDARD, doubt, (missing,), have, need, rows, (installation,))
    text = f"The document follows a known standard of a {installation.kind}."
    return passed(DOCUMENT_STANDARD, text, have, need, rows, (installation,))


def check_extended_application(
    penetration: Penetration, requirement: Requirement, installation: TestedInstallation, basis: Basis
) -> Checked:
    """A class that rests on extended application needs a paper that allows it (trade handbook rows 1.25, 2.60-2.66)."""
    del penetration, requirement
    document, named = installation.document, named_by(installation.document)
    extension = basis.words("exap.standard")[0]
    is_extension = named.standard == extension
    rests = True if is_extension else document.extended
    have = "" if rests is None else "extended" if rests else "as tested"
    classified = basis.book.need("exap.none-before")
    too_old = (named.standard, named.edition) == (classified.clause.standard, classified.value)
    facts, need = (installation,), "a class as tested"
    if rests is False or (rests is None and not too_old):
        text = "No extended application is stated." if rests is None else "The class rests on no extended application."
        return not_applicable(EXTENDED_APPLICATION, text, have, facts)
    if rests and installation.kind is DamperKind.SMOKE_CONTROL_DAMPER:
        text = "The extended application of fire dampers leaves smoke control dampers out."
        return failed(EXTENDED_APPLICATION, text, have, need, ("exap.no-smoke-control",), facts)
    if too_old and rests:
        text = f"{named.standard}:{named.edition} gave no class from extended application."
        return failed(EXTENDED_APPLICATION, text, have, need, (classified.id,), facts)
    if too_old:
        missing = evidence_missing(installation, "document.extended", "whether its class rests on extended application")
        text = (
            f"{named.standard}:{named.edition} gave no class from extended application; whether one is stated is open."
        )
        return unknown(EXTENDED_APPLICATION, text, (missing,), have, need, (classified.id,), facts)
    need, rows = "a classification or declaration of the extended class", ("exap.standard", "exap.over-run")
    if is_extension:
        missing = evidence_missing(installation, "document.standard", f"{need}; a report of extension states none")
        text = f"A report to {extension} gives no class by itself."
        return unknown(EXTENDED_APPLICATION, text, (missing,), have, need, rows, facts)
    text = (
        "The class is extended, in a paper that may state such a class; the over-run of the test stands in its report."
    )
    return passed(EXTENDED_APPLICATION, text, have, need, rows, facts)


def check_document_revision(
    penetration: Penetration, requirement: Requirement, installation: TestedInstallation, basis: Basis
) -> Checked:
    """No newer revision of the maker's document, loaded beside it, stands on a date of the job (row 3.16).

    Where it can't be told which of two revisions is the newer, or one revision is stated in two ways, it is asked.
    """
    del penetration, requirement
    document, rows = installation.document, ("product.revision",)
    facts = (installation,)
    have, need = f"{_name(document)}, issued {document.issued.isoformat()}", "the newest revision that stands"
    if not installation.other_revisions:
        return not_applicable(DOCUMENT_REVISION, "No other revision of the document is loaded.", have)
    ordered = [(item, order_of(document, item)) for item in installation.other_revisions]
    newer = sorted(
        (item for item, order in ordered if order is RevisionOrder.OLDER), key=lambda item: (item.begins, item.revision)
    )
    days = [(code, when(basis.dates)) for code, (when, _, _) in _DATES.items()]
    late = [code for code, day in days if newer and day is not None and day >= newer[0].begins]
    if late:
        text = (
            f"Superseded by revision {newer[0].revision}, which stands from {newer[0].begins.isoformat()}, by "
            f"{_WORDS[late[0]]}."
        )
        return failed(DOCUMENT_REVISION, text, have, need, rows, facts)
    untold = sorted({item.revision for item, order in ordered if order is RevisionOrder.NOT_TOLD})
    if untold:
        words = f"which of its revisions is the newest: {', '.join(sorted({document.revision, *untold}))}"
        text = f"Which revision is the newer can't be told: {document.revision} or {' or '.join(untold)}."
        missing = evidence_missing(installation, "document.revision", words)
        return unknown(DOCUMENT_REVISION, text, (missing,), have, need, rows, facts)
    same = [item for item, order in ordered if order is RevisionOrder.SAME]
    differ = sorted({words for item in same for words in contradictions(document, item)})
    if differ:
        what = " and ".join(differ)
        text = f"Revision {document.revision} is stated twice in the evidence, with another {what}."
        missing = evidence_missing(installation, "document.revision/sources", f"the right {what} of this revision")
        return unknown(DOCUMENT_REVISION, text, (missing,), have, need, rows, facts)
    if not newer:
        text = "It is the newest revision of the document that is loaded."
        return passed(DOCUMENT_REVISION, text, have, need, rows, facts)
    if any(day is None for _, day in days):
        text = f"Whether revision {newer[0].revision} of {newer[0].begins.isoformat()} came in time is not known."
        return unknown(
            DOCUMENT_REVISION, text, [_date_missing(code) for code, day in days if day is None], have, need, rows, facts
        )
    text = f"Revision {newer[0].revision} came after all dates of the job; see what it changed."
    return passed(DOCUMENT_REVISION, text, have, need, rows, facts)


def _standing(code: str, installation: TestedInstallation, basis: Basis) -> Checked:
    document, day = installation.document, _DATES[code][0](basis.dates)
    begins = document.begins
    ends = [item for item in (document.valid_to,) if item is not None]
    need = f"in force on {day.isoformat()}" if day is not None else f"in force at {_WORDS[code]}"
    until = f" to {ends[0].isoformat()}" if ends else ""
    withdrawn = f", withdrawn {document.withdrawn_on.isoformat()}" if document.withdrawn_on is not None else ""
    have = f"{_name(document)}, from {begins.isoformat()}{until}{withdrawn}"
    if day is None:
        return unknown(code, f"The date of {_WORDS[code]} is not known.", (_date_missing(code),), have, need)
    if day < begins:
        text = f"The document did not stand yet at {_WORDS[code]}."
    elif ends and day > ends[0]:
        text = f"The document's validity had ended at {_WORDS[code]}."
    elif document.withdrawn_on is not None and day >= document.withdrawn_on:
        text = f"The document was withdrawn by {_WORDS[code]}."
    else:
        return passed(code, f"The document stands at {_WORDS[code]}.", have, need, (), (installation,))
    return failed(code, text, have, need, (), (installation,))


def check_standing_at_order(
    penetration: Penetration, requirement: Requirement, installation: TestedInstallation, basis: Basis
) -> Checked:
    """The document stood at the order: issued, valid, not withdrawn; the last day of validity is within."""
    del penetration, requirement
    return _standing(STANDING_AT_ORDER, installation, basis)


def check_standing_at_placing(
    penetration: Penetration, requirement: Requirement, installation: TestedInstallation, basis: Basis
) -> Checked:
    """The document stood when the product was placed on the market."""
    del penetration, requirement
    return _standing(STANDING_AT_PLACING, installation, basis)


def check_standing_at_installation(
    penetration: Penetration, requirement: Requirement, installation: TestedInstallation, basis: Basis
) -> Checked:
    """The document stands at the installation."""
    del penetration, requirement
    return _standing(STANDING_AT_INSTALLATION, installation, basis)


def check_standing_at_handover(
    penetration: Penetration, requirement: Requirement, installation: TestedInstallation, basis: Basis
) -> Checked:
    """The document stands at the handover."""
    del penetration, requirement
    return _standing(STANDING_AT_HANDOVER, installation, basis)


def check_marking(
    penetration: Penetration, requirement: Requirement, installation: TestedInstallation, basis: Basis
) -> Checked:
    """Marked as was due when placed on the market; between two conflicting dates it is asked (rows 3.18-3.22)."""
    del penetration, requirement
    due_row = f"marking.due.{_KIND_ROWS[installation.kind]}"
    if not basis.holds("marking.due.law"):
        where = basis.jurisdiction or "the jurisdiction of the job"
        asked = Missing("rules/marking", f"Which marking {where} asks of a damper; no rows are held", Party.CLIENT)
        return unknown(MARKING, f"No rows are held for marking in {where}.", (asked,))
    due, law = basis.day(due_row), basis.day("marking.due.law")
    first, last = min(due, law), max(due, law)
    day, marking = basis.dates.placed_on_market, installation.document.marking
    have = "" if marking is None else listed(sorted(marking))
    rows: tuple[str, ...] = (due_row, "marking.due.law")
    missing: list[Missed] = []
    if day is None:
        missing.append(_date_missing(STANDING_AT_PLACING))
    if marking is None:
        missing.append(evidence_missing(installation, "document.marking", "the marking that the product carries"))
    if day is not None and day < first:
        return not_applicable(MARKING, f"Placed on the market before marking was due ({first.isoformat()}).", have)
    if day is None or marking is None:
        text = "The marking, or the date of placing on the market, is not known."
        return unknown(MARKING, text, missing, have, "", rows)
    accepted = basis.words("marking.accepted", day)
    rows = (*rows, "marking.accepted")
    need = f"{listed(accepted)}, placed on the market on {day.isoformat()}"
    if marking & frozenset(accepted):
        return passed(MARKING, "The product carries a marking that is accepted.", have, need, rows, (installation,))
    if day < last:
        missing = [evidence_missing(installation, "document.marking", f"whether marking was due on {day.isoformat()}")]
        text = f"Sources differ whether marking was due between {first.isoformat()} and {last.isoformat()}."
        return unknown(MARKING, text, missing, have, need, rows, (installation,))
    text = "The product does not carry a marking that is accepted."
    return failed(MARKING, text, have, need, rows, (installation,))


def check_certificate(
    penetration: Penetration, requirement: Requirement, installation: TestedInstallation, basis: Basis
) -> Checked:
    """The certificate of constancy of performance; voluntary certification never stands in for it (rows 3.4, 3.16)."""
    del penetration, requirement, basis
    document, rows = installation.document, ("product.certificate",)
    need = "a certificate of constancy of performance"
    if document.certificate is not None:
        text = "The certificate of constancy of performance is named."
        return passed(CERTIFICATE, text, document.certificate, need, rows, (installation,))
    missing = evidence_missing(installation, "document.certificate", need)
    have = f"voluntary certification {document.third_party}" if document.third_party is not None else ""
    text = "No certificate of constancy of performance is named."
    return unknown(CERTIFICATE, text, (missing,), have, need, rows, (installation,))
