# SPDX-License-Identifier: Apache-2.0
import itertools

from brattice.evidence.judgment import Change, Judgment, Scope
from brattice.findings import Missing, Party, Reason, Verdict
from brattice.selection import Choice, choose

MAKERS = {"A-1": "Alder Mill", "B-1": "Birch Row", "B-2": "Birch Row", "C-1": "Cold Ash"}
FAIL = Reason("size", Verdict.FAIL, "too wide")


def judged(
    name: str, scope: Scope, *, weight: int = 0, fails: int = 0, missing: int = 0, same: bool = True
) -> Judgment:
    return Judgment(
        "P-0001",
        name,
        scope,
        tuple(Reason(f"check-{n}", Verdict.FAIL, "") for n in range(fails)),
        (Change("gap", weight, "form it again", "", ""),) if weight else (),
        tuple(Missing(f"k/{n}", "", Party.CLIENT) for n in range(missing)),
        same,
    )


def test_the_first_within_scope_by_maker_order_then_id_is_chosen() -> None:
    items = [judged(name, Scope.WITHIN) for name in ("B-2", "A-1", "B-1")]
    assert _id(choose(items, makers=MAKERS, maker_order=["Birch Row", "Alder Mill"])) == "B-1"
    assert _id(choose(items, makers=MAKERS)) == "A-1"


def test_the_order_of_the_judgments_does_not_matter() -> None:
    items = [
        judged("A-1", Scope.OUTSIDE, fails=1),
        judged("B-1", Scope.WITHIN_IF, weight=3),
        judged("B-2", Scope.WITHIN_IF, weight=2),
        judged("C-1", Scope.NOT_ENOUGH_KNOWN, missing=1),
    ]
    chosen = {_id(choose(order, makers=MAKERS)) for order in itertools.permutations(items)}
    assert chosen == {"B-2"}


def test_the_best_scope_comes_before_the_least_change_and_what_fails_least_stands_for_the_rest() -> None:
    unknown, outside = judged("A-1", Scope.NOT_ENOUGH_KNOWN, missing=4), judged("B-1", Scope.OUTSIDE, fails=1)
    assert _id(choose([outside, unknown], makers=MAKERS)) == "A-1"
    assert (
        _id(choose([judged("B-1", Scope.OUTSIDE, fails=3), judged("C-1", Scope.OUTSIDE, fails=2)], makers={})) == "C-1"
    )


def test_only_the_scheduled_product_is_chosen_and_others_are_shown_as_alternatives() -> None:
    own, other = judged("A-1", Scope.OUTSIDE, fails=2), judged("B-1", Scope.WITHIN, same=False)
    choice = choose([other, own], makers=MAKERS)
    assert _id(choice) == "A-1"
    assert [item.installation_id for item in choice.alternatives] == ["B-1"]


def test_without_evidence_for_the_scheduled_product_nothing_is_chosen() -> None:
    choice = choose([judged("B-1", Scope.WITHIN, same=False)], makers=MAKERS)
    assert choice.judgment is None
    assert "No tested installation is loaded for the scheduled product" in choice.why


def test_a_pin_comes_first_even_where_it_does_not_hold_and_one_that_is_not_there_chooses_nothing() -> None:
    items = [judged("A-1", Scope.WITHIN), judged("B-1", Scope.OUTSIDE, fails=1)]
    assert _id(choose(items, makers=MAKERS, pin="B-1")) == "B-1"
    missing = choose(items, makers=MAKERS, pin="Z-9")
    assert missing.judgment is None
    assert "Z-9" in missing.why


def _id(choice: Choice) -> str:
    assert choice.judgment is not None
    return choice.judgment.installation_id
