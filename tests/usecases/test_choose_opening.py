# SPDX-License-Identifier: Apache-2.0
"""Choosing a nominal opening: numbers by hand, what is prefilled for a penetration, bad numbers all at once."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest

from brattice.building.words import Surface
from brattice.calc.tolerance import NONE_STATED, NOT_FOR_ACCEPTING, Buildable, StatedTolerances
from brattice.errors import InputError
from brattice.quantities import Mm
from brattice.usecases.choose_opening import OPENING_FIELDS, choose_opening, draft_of
from tests.helpers.details import detail_of
from tests.helpers.installations import gaps
from tests.helpers.judging import BOOK

SIDES = ("left", "right", "top", "bottom")


def asked(least: float | None = 40, most: float | None = 50, **changes: float | None) -> dict[str, float | None]:
    """600 × 400, ±4 mm on the opening alone."""
    values: dict[str, float | None] = {"width": 600, "height": 400, "sigmas": 2, "step": 0}
    values |= dict.fromkeys((f"beyond-{side}" for side in SIDES), 0.0)
    values |= dict.fromkeys((f"least-{side}" for side in SIDES), least)
    values |= dict.fromkeys((f"most-{side}" for side in SIDES), most)
    values |= {"opening": 4, "damper": 0, "position": 0, "centring": 0, "plumb": 0}
    return values | {name.replace("_", "-"): value for name, value in changes.items()}


def test_the_answer_by_hand() -> None:
    """Middle of 40 to 50 on every side: 690 × 490; 5 mm to each end, half of 4 mm taken off: 3 mm left."""
    found = choose_opening(asked())
    assert (found.size_text, found.margin_text) == ("690 × 490 mm", "3 mm left")
    assert found.buildable is Buildable.SURE
    assert [(axis.name, axis.gaps_text) for axis in found.axes] == [
        ("width", "45 mm left, 45 mm right"),
        ("height", "45 mm top, 45 mm bottom"),
    ]
    assert found.caution == NOT_FOR_ACCEPTING


def test_exactly_at_the_limit_it_can_be_built_and_beyond_it_not() -> None:
    assert choose_opening(asked(opening=10)).margin_text == "0 mm left"
    assert choose_opening(asked(opening=10)).buildable is Buildable.SURE
    beyond = choose_opening(asked(opening=10.2))
    assert (beyond.margin_text, beyond.buildable) == ("0.1 mm too much", Buildable.NOT_SURE)


def test_the_share_of_both_directions_together() -> None:
    """One direction misses when its gaps, both 45 ± 5 with σ = 2.5 (half of 10 mm / 2), leave: 2·Φ(-2) = 4.55 %.

    Both: 1 - (1 - 0.0455)² = 8.893 %. The normal table is that of any textbook.
    """
    found = choose_opening(asked(opening=10))
    assert [axis.share_text for axis in found.axes] == ["4.55 %", "4.55 %"]
    assert found.share_text == "8.89 %"


def test_the_casing_beyond_belongs_to_what_goes_through() -> None:
    found = choose_opening(asked(beyond_left=10, beyond_right=10, beyond_top=10, beyond_bottom=10))
    assert found.size_text == "710 × 510 mm"


def test_a_round_damper_keeps_the_gap_that_every_side_allows() -> None:
    """Ø 315 in 40 to 50 on three sides and 44 to 60 on one: 44 to 50 all round, the middle 47: Ø 409."""
    found = choose_opening(asked(width=315, height=None, least_top=44, most_top=60))
    assert (found.size_text, found.axes[0].gaps_text) == ("Ø 409 mm", "47 mm all round")
    with pytest.raises(InputError, match="every side of a round hole"):
        choose_opening(asked(width=315, height=None, least_top=51, most_top=60))


def test_without_a_tested_gap_nothing_is_chosen() -> None:
    found = choose_opening(asked(None, None))
    assert (found.buildable, found.size_text, found.share_text) == (Buildable.NOT_KNOWN, "", "")
    one = choose_opening(asked(least_top=None, most_top=None))
    assert (one.buildable, one.size_text) == (Buildable.NOT_KNOWN, "")


def test_steps_that_would_leave_the_gap_by_themselves_are_not_taken() -> None:
    """Gaps of 41 to 42 mm round 600: 682 to 684; in steps of 5 it would be 680 or 685, both outside."""
    found = choose_opening(asked(41, 42, step=5))
    assert found.axes[0].nominal_text == "683 mm"
    assert found.step_text.startswith("Steps of 5 mm would leave the tested gap")
    assert choose_opening(asked(step=5)).step_text == ""


def test_the_sizes_around_the_best_one_have_less_room_on_both_sides() -> None:
    """Room falls off by half a millimetre for each millimetre of size: an opening shares an error of size."""
    axis = choose_opening(asked()).axes[0]
    at = next(number for number, point in enumerate(axis.points) if point.nominal_text == "690 mm")
    assert 0 < at < len(axis.points) - 1
    for before, after in pairwise(axis.points):
        slope = (after.margin_mm - before.margin_mm) / (after.nominal_mm - before.nominal_mm)
        assert slope == pytest.approx(0.5 if after.nominal_mm <= 690 else -0.5)
    assert axis.points[0].margin_mm < 0 < axis.points[at].margin_mm


def test_every_bad_number_is_named_at_once() -> None:
    bad = asked(width=None, height=-1, least_left=60, opening=float("inf"), sigmas=0)
    with pytest.raises(InputError) as caught:
        choose_opening(bad)
    assert {fault.place for fault in caught.value.faults} == {
        "Damper, width or diameter",
        "Damper, height (empty: round)",
        "Size of the opening, ±",
        "Standard deviations in a tolerance",
        "Gap left",
    }


def test_a_draft_in_general_has_the_tolerances_of_common_practice_and_no_damper() -> None:
    draft = draft_of(None, BOOK, NONE_STATED)
    assert (draft.of, draft.lacks) == ("", ())
    assert draft.values["width"] is None
    assert draft.values["opening"] == BOOK.number("tolerance.opening.rigid")
    assert set(draft.values) == {field.name for field in OPENING_FIELDS}
    assert "tolerance.plumb" in draft.rows


def test_a_draft_of_a_penetration_has_its_damper_its_tested_gaps_and_its_casing() -> None:
    detail = detail_of("flexible wall")
    draft = draft_of(detail, BOOK, NONE_STATED)
    assert (draft.values["width"], draft.values["height"], draft.lacks) == (600, 400, ())
    assert [draft.values[f"{end}-{side}"] for side in SIDES for end in ("least", "most")] == [40, 50] * 4
    assert draft.values["opening"] == BOOK.number("tolerance.opening.flexible")
    assert detail.tested is not None
    seal = replace(detail.tested.seal, gap_from=Surface.CASING, gaps=gaps(20, 30))
    cased = replace(detail.tested, seal=seal, casing_beyond_mm=(Mm(10), Mm(12), Mm(14), Mm(16)))
    values = draft_of(replace(detail, tested=cased), BOOK, NONE_STATED).values
    assert [values[f"beyond-{side}"] for side in SIDES] == [10, 12, 14, 16]
    unknown = replace(detail, tested=replace(cased, casing_beyond_mm=None))
    assert "how far it stands beyond is not stated" in draft_of(unknown, BOOK, NONE_STATED).lacks[0]


def test_what_the_job_states_of_its_site_stands_in_the_draft() -> None:
    draft = draft_of(detail_of(), BOOK, StatedTolerances(plumb_mm=7))
    assert draft.values["plumb"] == 7
    assert "tolerance.plumb" not in draft.rows


def test_a_draft_without_a_chosen_installation_says_what_it_lacks() -> None:
    draft = draft_of(detail_of(tested=None), BOOK, NONE_STATED)
    assert draft.lacks == ("No tested installation is chosen here: no gap was tested.",)
    assert draft.values["least-left"] is None
