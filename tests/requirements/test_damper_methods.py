# SPDX-License-Identifier: Apache-2.0
"""Which damper methods the schedule is held against: the whole table of choice and verdicts, by hand.

Method 1 asks for less than method 4, and neither 2 nor 3 asks for a damper.
"""

import pytest

from brattice.building.words import ProtectionMethod
from brattice.findings import Fact, Verdict
from brattice.requirements.asking import damper_methods
from brattice.requirements.requirement import MethodAnswer
from tests.helpers.penetrations import known, unknown
from tests.requirements.asked import FAIL, METHOD_1, METHOD_3, METHOD_4, PASS, UNKNOWN


@pytest.mark.parametrize(
    ("chosen", "method_1", "method_4", "expected"),
    [
        (METHOD_1, PASS, PASS, [METHOD_1]),
        (METHOD_4, PASS, PASS, [METHOD_4]),
        (METHOD_3, PASS, PASS, []),
        (None, PASS, PASS, [METHOD_1, METHOD_4]),
        # the chosen one may not be used: what may
        (METHOD_1, FAIL, PASS, [METHOD_4]),
        (METHOD_1, FAIL, UNKNOWN, [METHOD_4]),
        (METHOD_4, PASS, FAIL, [METHOD_1]),
        (METHOD_4, FAIL, FAIL, []),
        (None, FAIL, PASS, [METHOD_4]),
        (None, FAIL, FAIL, []),
        # it can't be told: the chosen one, and what asks for more
        (METHOD_1, UNKNOWN, PASS, [METHOD_1, METHOD_4]),
        (METHOD_1, UNKNOWN, UNKNOWN, [METHOD_1, METHOD_4]),
        (METHOD_1, UNKNOWN, FAIL, [METHOD_1]),
        (METHOD_4, PASS, UNKNOWN, [METHOD_4]),
        (METHOD_4, UNKNOWN, UNKNOWN, [METHOD_4]),
        (None, UNKNOWN, UNKNOWN, [METHOD_1, METHOD_4]),
    ],
)
def test_the_methods_that_what_is_scheduled_is_held_against(
    chosen: ProtectionMethod | None, method_1: Verdict, method_4: Verdict, expected: list[ProtectionMethod]
) -> None:
    verdicts = {METHOD_1: method_1, METHOD_3: PASS, METHOD_4: method_4}
    answers = {method: MethodAnswer(method, verdict, ()) for method, verdict in verdicts.items()}
    fact: Fact[ProtectionMethod] = unknown("method") if chosen is None else known(chosen)
    assert [item.method for item in damper_methods(fact, answers)] == expected
