# SPDX-License-Identifier: Apache-2.0
"""The words of a job file that only the rooms know: class texts, check codes, ids of rows and installations."""

from __future__ import annotations

import difflib
from collections.abc import Collection, Iterable

from brattice.adapters.project import JOB_FILE
from brattice.classes import ClassSteps, Family, read_class
from brattice.details.codes import CODES as DETAILS
from brattice.errors import ClassTextError, Fault
from brattice.evidence.codes import CODES as EVIDENCE
from brattice.register.codes import CODES as REGISTER
from brattice.requirements.codes import CODES as REQUIREMENTS
from brattice.rows import RowBook
from brattice.usecases.codes import CODES as USECASES
from brattice.usecases.codes import Outcome, finding_code
from brattice.usecases.job import Job

__all__ = ["ALL_CODES", "faults_of_words"]

ALL_CODES = (*REQUIREMENTS, *EVIDENCE, *DETAILS, *REGISTER, *USECASES)
"""Every check of every room."""


def _near(word: str, known: Collection[str]) -> str:
    near = difflib.get_close_matches(word, list(known), n=1, cutoff=0.5)
    return f"; did you mean {near[0]!r}?" if near else ""


def _class_faults(where: str, text: str, steps: ClassSteps) -> Iterable[Fault]:
    if text.strip():
        try:
            read_class(text, Family.FIRE_DAMPER, steps)
        except ClassTextError as error:
            yield Fault(JOB_FILE, f"{where}, class", f"{text!r}, character {error.position + 1}", error.expected)


def faults_of_words(job: Job, book: RowBook, steps: ClassSteps) -> tuple[Fault, ...]:
    """What a job file says in words that no room knows; each with the key it stands under."""
    faults: list[Fault] = []
    for number, demand in enumerate(job.rules.demands):
        faults += _class_faults(f"demand no. {number + 1}", demand.class_text, steps)
    for number, lowered in enumerate(job.rules.lowered):
        faults += _class_faults(f"lowered no. {number + 1}", lowered.class_text, steps)
    acceptable = {finding_code(spec.code, outcome) for spec in ALL_CODES for outcome in (Outcome.FAILS, Outcome.CHANGE)}
    for number, deviation in enumerate(job.deviations):
        for code in deviation.codes:
            if code.endswith(f"-{Outcome.UNKNOWN}"):
                expected = "a finding that fails; what nobody knows can't be accepted"
                faults.append(Fault(JOB_FILE, f"deviation no. {number + 1}, codes", repr(code), expected))
            elif code not in acceptable:
                expected = f"a finding code of docs/findings.md that ends in -fails or -change{_near(code, acceptable)}"
                faults.append(Fault(JOB_FILE, f"deviation no. {number + 1}, codes", repr(code), expected))
    for number, item in enumerate(job.confirmations):
        if item.row_id not in book.rows:
            expected = f"the id of a row{_near(item.row_id, book.rows)}"
            faults.append(Fault(JOB_FILE, f"confirmation no. {number + 1}, row", repr(item.row_id), expected))
    return tuple(faults)
