# SPDX-License-Identifier: Apache-2.0
"""What carries the damper, and the joints to the duct. The tested support is the answer."""

from __future__ import annotations

from brattice.details.figures import Figure
from brattice.details.given import Given, said, used
from brattice.findings import Fact, Known, Missing, Verdict

__all__ = ["support_figures"]


def _against_test(
    given: Given, key: str, fact: Fact[object], tested: object, missing: Missing, *, holds: bool, as_tested: str
) -> Figure:
    """A word of the schedule against the test's; where the schedule is silent the tested one is to be built."""
    if tested is None:
        word = said(fact.value) if isinstance(fact, Known) else ""
        if not word:
            return given.lacking(key, (missing,))
        uses = used("as stated", fact)
        return given.figure(key, text=word, verdict=Verdict.UNKNOWN, uses=uses, missing=(missing,))
    uses = (*used("as stated", fact), given.of_test(key, tested))
    limit = f"as tested: {as_tested}"
    if not isinstance(fact, Known):
        return given.lacking(key, (fact.missing,), uses=uses, limit=limit)
    verdict = Verdict.PASS if holds else Verdict.FAIL
    return given.figure(key, text=said(fact.value), limit=limit, verdict=verdict, uses=uses)


def support_figures(given: Given) -> tuple[Figure, ...]:
    """What carries the damper and how the duct is joined on each side, as tested."""
    tested, installation = given.tested, given.penetration.installation
    if tested is None:
        return ()
    fact = installation.support
    lacking = given.evidence_lacks("support", "What carried the damper")
    same = isinstance(fact, Known) and fact.value is tested.support
    figures = [
        _against_test(given, "support", fact, tested.support, lacking, holds=same, as_tested=said(tested.support or ""))
    ]
    joints = tested.joints
    words = "" if joints is None else " or ".join(sorted(said(item) for item in joints))
    for key, side in zip(("joint-a", "joint-b"), installation.joints, strict=True):
        lacking = given.evidence_lacks("joints", "The joints to the duct")
        held = isinstance(side, Known) and joints is not None and side.value in joints
        figures.append(_against_test(given, key, side, joints, lacking, holds=held, as_tested=words))
    return tuple(figures)
