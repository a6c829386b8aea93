# SPDX-License-Identifier: Apache-2.0
"""The checks of this room."""

from __future__ import annotations

from brattice.findings import CodeSpec, Party

__all__ = ["CODES"]

CODES: tuple[CodeSpec, ...] = (
    CodeSpec(
        "stage-date",
        "No stage is dated after the date that is judged for.",
        Party.PRINCIPAL_CONTRACTOR,
    ),
    CodeSpec(
        "stage-facts",
        "What a stage rests on (size, class, product, wall, framed opening, seal) is still what it was then.",
        Party.SERVICES_DESIGNER,
    ),
    CodeSpec(
        "stage-framed-opening",
        "The framed opening was checked before the damper was fixed, where the damper is not built in with the "
        "barrier.",
        Party.DUCTWORK_CONTRACTOR,
    ),
    CodeSpec(
        "stage-judgment",
        "Nobody goes on with the job where the judgment does not hold.",
        Party.PRINCIPAL_CONTRACTOR,
    ),
    CodeSpec(
        "stage-order",
        "Each stage comes after those that go before it, and none of those is missing.",
        Party.PRINCIPAL_CONTRACTOR,
    ),
    CodeSpec(
        "stage-retired",
        "Each stage that is said belongs to a penetration that the sources still have.",
        Party.SERVICES_DESIGNER,
    ),
    CodeSpec("stage-twice", "Nobody says a stage otherwise than somebody else does.", Party.PRINCIPAL_CONTRACTOR),
    CodeSpec("stage-who", "Each stage that is said names who did it.", Party.PRINCIPAL_CONTRACTOR),
)
