# SPDX-License-Identifier: Apache-2.0
"""What a schedule claims of a damper, held against the duct that it stands in and the document it rests on."""

from __future__ import annotations

from brattice.building.penetration import Penetration, Size
from brattice.classes import ClassSteps, Declaration, Family, Outcome, read_class, satisfies
from brattice.errors import ClassTextError
from brattice.evidence.installation import DamperKind, TestedInstallation
from brattice.findings import Known, Missing, Party, Reason, Unknown, Verdict
from brattice.quantities import size_text
from brattice.usecases.combine import agree

__all__ = [
    "CLAIMED_CLASS",
    "DAMPER_SIZE",
    "PRODUCT",
    "SCHEDULE_ROW",
    "check_claimed_class",
    "check_damper_size",
    "check_product",
    "check_schedule_row",
]

DAMPER_SIZE = "damper-size"
CLAIMED_CLASS = "claimed-class"
PRODUCT = "product"
SCHEDULE_ROW = "schedule-row"

_FAMILIES = {
    DamperKind.FIRE_DAMPER: Family.FIRE_DAMPER,
    DamperKind.SMOKE_CONTROL_DAMPER: Family.SMOKE_CONTROL_DAMPER,
}


def check_schedule_row(penetration: Penetration) -> Reason:
    """A schedule has a row for the penetration: what only models show is a damper that nobody has asked for yet.

    All that a row would say is one question then, to whoever writes the schedule (common practice).
    """
    name = next((text for kind, text in penetration.aliases if kind == "schedule"), "")
    need = "a row in a schedule"
    if name:
        return Reason(SCHEDULE_ROW, Verdict.PASS, "A schedule has a row for it.", name, need)
    size = penetration.duct.size
    duct = f", duct {size_text(size.value.width_mm, size.value.height_mm)}" if isinstance(size, Known) else ""
    missing = Missing(
        f"penetration/{penetration.id}/{SCHEDULE_ROW}",
        f"The schedule's row for what the models show at {penetration.id}",
        Party.SERVICES_DESIGNER,
    )
    text = "The models show it; no schedule has a row for it."
    return Reason(SCHEDULE_ROW, Verdict.UNKNOWN, text, f"in the models alone{duct}", need, missing=(missing,))


def check_product(penetration: Penetration, chosen: TestedInstallation | None, *, is_pinned: bool) -> Reason:
    """Maker and product are scheduled, or the project pins an installation: what the tool picks is only a proposal.

    A declaration holds for one type of one maker (trade handbook row 3.16); the same name may stand at two makers.
    """
    damper = penetration.damper
    have = " ".join(fact.value for fact in (damper.maker, damper.product) if isinstance(fact, Known))
    need = "maker and product, or a pin of the project"
    missing = tuple(fact.missing for fact in (damper.maker, damper.product) if isinstance(fact, Unknown))
    if not missing or is_pinned:
        return Reason(PRODUCT, Verdict.PASS, "Which damper is meant is stated.", have, need)
    text = "Which damper is meant is not stated whole."
    if chosen is not None:
        text += f" {chosen.id} of {chosen.maker} is only the nearest of the evidence loaded."
    return Reason(PRODUCT, Verdict.UNKNOWN, text, have, need, missing=missing)


def _turned(size: Size) -> Size:
    return size if size.height_mm is None else Size(size.height_mm, size.width_mm)


def check_damper_size(penetration: Penetration) -> Reason:
    """The damper has the size of its duct; one that is turned fails, any other difference is a question.

    Width and height are never exchanged: a damper of 400 × 600 in a duct of 600 × 400 is rejected, not turned (trade
    handbook, field case 15). Another size may be right where a piece of duct between them changes it.
    """
    damper, duct, present = penetration.damper.size, penetration.duct.size, penetration.damper.present
    if isinstance(present, Known) and not present.value:
        return Reason(DAMPER_SIZE, Verdict.NOT_APPLICABLE, "No damper is scheduled or modelled here.")
    missing = tuple(fact.missing for fact in (damper, duct) if isinstance(fact, Unknown))
    if isinstance(damper, Unknown) or isinstance(duct, Unknown):
        text = "Whether the damper has the size of its duct can't be told."
        return Reason(DAMPER_SIZE, Verdict.UNKNOWN, text, missing=missing)
    have = f"damper {size_text(damper.value.width_mm, damper.value.height_mm)}"
    need = f"duct {size_text(duct.value.width_mm, duct.value.height_mm)}"
    origins = (damper.origin, duct.origin)
    if agree(damper.value, duct.value) is Verdict.PASS:
        return Reason(DAMPER_SIZE, Verdict.PASS, "The damper has the size of its duct.", have, need, origins=origins)
    if agree(_turned(damper.value), duct.value) is Verdict.PASS:
        text = "Width and height of the damper are exchanged. Reject it; a damper is never turned to fit."
        return Reason(DAMPER_SIZE, Verdict.FAIL, text, have, need, origins=origins)
    question = Missing(
        f"penetration/{penetration.id}/damper-on-duct",
        f"Which size is right at {penetration.id}, {have} ({damper.origin}) or {need} ({duct.origin}), or what piece "
        "joins them",
        Party.SERVICES_DESIGNER,
    )
    text = "Damper and duct have different sizes; a piece that joins them is not known."
    return Reason(DAMPER_SIZE, Verdict.UNKNOWN, text, have, need, missing=(question,), origins=origins)


def _read(text: str, family: Family, steps: ClassSteps) -> Declaration | None:
    try:
        return read_class(text, family, steps)
    except ClassTextError:
        return None


def check_claimed_class(penetration: Penetration, installation: TestedInstallation, steps: ClassSteps) -> Reason:
    """The class that is claimed is no higher than the one that the document declares for this installation.

    A higher class of the same damper in another construction is no evidence here (trade handbook 1.4, last line). A
    class that is not claimed, or can't be read, is a matter of the class that is asked and not of this check.
    """
    claimed = penetration.damper.class_text
    if isinstance(claimed, Unknown):
        return Reason(CLAIMED_CLASS, Verdict.NOT_APPLICABLE, "No class is claimed for the damper.")
    family = _FAMILIES[installation.kind]
    required, declared = (_read(text, family, steps) for text in (claimed.value, installation.class_text))
    have, need = claimed.value, f"no more than {installation.class_text} ({installation.document.reference})"
    origins = (claimed.origin, installation.origin)
    if required is None or declared is None:
        text = "The class that is claimed or declared can't be read."
        return Reason(CLAIMED_CLASS, Verdict.NOT_APPLICABLE, text, have, need, origins=origins)
    answer = satisfies(declared, required)
    if answer.outcome is Outcome.SATISFIED:
        text = "The document declares the class that is claimed."
        return Reason(CLAIMED_CLASS, Verdict.PASS, text, have, need, answer.rows, origins=origins)
    why = "; ".join(dict.fromkeys(str(item) for item in answer.shortfalls))
    text = f"The schedule claims a class that the document does not declare for this installation: {why}."
    return Reason(CLAIMED_CLASS, Verdict.FAIL, text, have, need, answer.rows, origins=origins)
