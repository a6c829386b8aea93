# SPDX-License-Identifier: Apache-2.0
"""The builder of details gives what it says."""

from __future__ import annotations

import pytest

from brattice.details import Standing
from brattice.details.figures import TO_BE_SETTLED
from tests.helpers.details import KINDS, detail_of, figure


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_is_made_with_any_id(kind: str) -> None:
    assert detail_of(kind, id="P-0042").id == "P-0042"


def test_the_kinds_stand_as_they_say() -> None:
    assert [detail_of(kind).standing for kind in KINDS] == [
        Standing.TO_BUILD,
        Standing.TO_BUILD,
        Standing.TO_BUILD,
        Standing.TO_BE_SETTLED,
        Standing.NOT_DRAWN,
    ]
    assert detail_of("missing facts").to_settle
    assert detail_of("missing facts").text("handing") == TO_BE_SETTLED
    assert detail_of("not drawn").problems


def test_a_round_damper_has_diameters_and_no_sides() -> None:
    thing = detail_of("round in block wall")
    assert thing.value("finished-diameter") == 315 + 2 * 50
    assert thing.figure("finished-width") is None


def test_figures_go_out_and_in() -> None:
    thing = detail_of(figures={"rod-count": None, "grid": figure("grid", "Grid", None, "", "C/4")})
    assert thing.figure("rod-count") is None
    assert thing.text("grid") == "C/4"


def test_an_unknown_kind_is_told() -> None:
    with pytest.raises(ValueError, match="there are flexible wall"):
        detail_of("roof")
