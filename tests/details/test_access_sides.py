# SPDX-License-Identifier: Apache-2.0
"""From which sides a damper is reached: the evidence names those that are enough, a schedule may say that one will do.

That nobody says anything is no word for one side (trade handbook 5.25).
"""

from __future__ import annotations

from typing import Any

from brattice.details.access import access_figures
from brattice.details.figures import Figure
from brattice.findings import Verdict
from tests.details.making import by_key, detail_facts, given
from tests.helpers.installations import installation


def test_one_side_is_enough_only_where_somebody_says_so() -> None:
    tested = installation(access_sides=frozenset({"Corridor  side"}))
    silent = detail_facts(reach_both_sides=None)

    def side(**changes: Any) -> Figure:
        return by_key(access_figures(given(**changes)))["access-side"]

    assert side(tested=tested, facts=silent).is_settled
    for other in (installation(access_sides=frozenset({"room side"})), installation(access_sides=None)):
        asked = side(tested=other, facts=silent)
        assert (asked.verdict, asked.is_settled) == (Verdict.UNKNOWN, False)
        assert [item.key for item in asked.missing] == ["penetration/P-0001/reach-both-sides"]
        assert side(tested=other, facts=detail_facts(reach_both_sides=False)).is_settled
