# SPDX-License-Identifier: Apache-2.0
from typing import Any

import pytest

from brattice.building.penetration import Sides
from brattice.evidence.installation import SideWindows, Window
from brattice.findings import Known, Origin, Verdict
from brattice.quantities import Mm
from brattice.usecases.gap_sides import check_gap_sides
from tests.helpers.installations import gaps, installation
from tests.helpers.penetrations import penetration, unknown

MODEL, SHEET = Origin("models/a.ifc", "GlobalId 3x"), Origin("schedule/s.xlsx", "sheet 'Schedule', row 2")
UNEVEN = SideWindows(Window(10, 20), Window(30, 40), Window(10, 40), Window(10, 40))


def sides(left: float, right: float, origin: Origin) -> Known[Sides]:
    return Known(Sides(Mm(left), Mm(right), Mm(30), Mm(30)), origin)


@pytest.mark.parametrize(
    ("stated", "changes", "verdict"),
    [
        (sides(15, 35, MODEL), {"seal__gaps": UNEVEN}, Verdict.UNKNOWN),
        (sides(15, 35, SHEET), {"seal__gaps": UNEVEN}, Verdict.NOT_APPLICABLE),
        (sides(35, 35, MODEL), {"seal__gaps": UNEVEN}, Verdict.PASS),
        (sides(34, 35, MODEL), {"seal__gaps": UNEVEN}, Verdict.PASS),  # exactly at the limit of what sheets round
        (sides(33.9, 35, MODEL), {"seal__gaps": UNEVEN}, Verdict.UNKNOWN),
        (sides(15, 35, MODEL), {"seal__gaps": gaps(10, 40)}, Verdict.PASS),
        (
            sides(15, 35, MODEL),
            {"seal__gaps": gaps(10, 40), "casing_beyond_mm": (Mm(5), Mm(40), Mm(5), Mm(5))},
            Verdict.UNKNOWN,
        ),
        (unknown(), {"seal__gaps": UNEVEN}, Verdict.NOT_APPLICABLE),
    ],
)
def test_uneven_modelled_gaps_are_asked_about_where_the_test_is_uneven(
    stated: Any, changes: dict[str, Any], verdict: Verdict
) -> None:
    reason = check_gap_sides(penetration(opening__gaps=stated), installation(**{"casing_beyond_mm": None, **changes}))
    assert reason.verdict is verdict
