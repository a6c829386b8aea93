# SPDX-License-Identifier: Apache-2.0
"""Rods in fire. Oracles: the nominal areas of ISO 898-1 and the worked loads of the trade handbook (6.2, C27 to
C32)."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from brattice.adapters.rows import shipped_book
from brattice.calc.hangers import (
    HangerBasis,
    StressLimit,
    Thread,
    check_rod_length,
    check_rod_stress,
    hanger_rules,
    least_thread,
    most_mass_kg,
    rod_stress_n_mm2,
    root_area_mm2,
    tensile_stress_area_mm2,
)
from brattice.findings import Verdict

BOOK = shipped_book()
RULES = hanger_rules(BOOK)
EN, UK = HangerBasis.EN, HangerBasis.UK


def thread(name: str) -> Thread:
    found = RULES.thread(name)
    assert found is not None
    return found


# ISO 898-1, nominal tensile stress areas of coarse threads, as the trade handbook 6.2 restates them.
NOMINAL = [("M6", 20.1), ("M8", 36.6), ("M10", 58.0), ("M12", 84.3), ("M16", 157.0)]


@pytest.mark.parametrize(("name", "area"), NOMINAL)
def test_the_formula_of_the_stress_area_gives_the_printed_table_back(name: str, area: float) -> None:
    known = thread(name)
    assert known.stress_area_mm2 == area
    coefficient = BOOK.number("support.thread.stress-area.coefficient")
    # The table rounds to three figures.
    assert tensile_stress_area_mm2(known.diameter_mm, known.pitch_mm, coefficient) == pytest.approx(area, rel=0.0025)


@pytest.mark.parametrize(
    ("name", "area"), [("M6", 17.89), ("M8", 32.84), ("M10", 52.29), ("M12", 76.25), ("M16", 144.1)]
)
def test_root_areas_are_those_of_the_handbook(name: str, area: float) -> None:
    assert thread(name).root_area_mm2 == pytest.approx(area, rel=0.0004)  # trade handbook 6.2, derived there


@pytest.mark.parametrize("name", [name for name, _ in NOMINAL])
def test_the_root_is_smaller_than_the_stress_area(name: str) -> None:
    assert thread(name).root_area_mm2 < thread(name).stress_area_mm2


# Trade handbook 6.2: most mass on a pair of rods [kg]; the M8 loads of the UK rows are a published table's (6.7).
MOST_ON_A_PAIR = [
    (EN, 60, (36.9, 67.2, 106.4, 154.7, 288.1)),
    (EN, 120, (24.6, 44.8, 70.9, 103.1, 192.0)),
    (UK, 60, (54.7, 100.4, 159.9, 233.2, 440.7)),
    (UK, 120, (36.5, 67.0, 106.6, 155.4, 293.8)),
    (UK, 240, (21.9, 40.2, 64.0, 93.3, 176.3)),
]


@pytest.mark.parametrize(("basis", "minutes", "loads"), MOST_ON_A_PAIR)
def test_the_most_mass_on_a_pair(basis: HangerBasis, minutes: int, loads: tuple[float, ...]) -> None:
    given_loads = [most_mass_kg(RULES, basis, item, 2, minutes) for item in RULES.threads]
    assert given_loads == pytest.approx(loads, abs=0.06)


def test_published_load_of_one_m8_rod() -> None:
    """36.6 × 6 = 219.6 N for M8, a European document's own arithmetic (trade handbook 6.6)."""
    most = most_mass_kg(RULES, EN, thread("M8"), 1, 90)
    assert most is not None
    assert most * RULES.gravity_m_s2 == pytest.approx(219.6)


def test_45_kg_on_two_m10() -> None:
    """Trade handbook C27."""
    for minutes in (60, 120):
        check = check_rod_stress(RULES, EN, thread("M10"), 2, 45, minutes)
        assert check.have == pytest.approx(3.81, abs=0.005)
        assert check.verdict is Verdict.UNKNOWN


@pytest.mark.parametrize(
    ("basis", "minutes", "name", "stress", "verdict"),
    [
        (EN, 60, "M6", 10.98, Verdict.FAIL),  # C28
        (EN, 60, "M8", 6.03, Verdict.UNKNOWN),  # C28
        (EN, 120, "M8", 6.031, Verdict.FAIL),  # C29: only just over 6
        (EN, 120, "M10", 3.806, Verdict.UNKNOWN),  # C29
        (UK, 120, "M8", 6.72, Verdict.UNKNOWN),  # C30: root area, other limit
    ],
)
def test_45_kg_on_two_rods(basis: HangerBasis, minutes: int, name: str, stress: float, verdict: Verdict) -> None:
    check = check_rod_stress(RULES, basis, thread(name), 2, 45, minutes)
    assert check.have == pytest.approx(stress, abs=0.006)
    assert check.verdict is verdict


@pytest.mark.parametrize(("basis", "minutes", "name"), [(EN, 60, "M8"), (EN, 120, "M10"), (UK, 120, "M8")])
def test_the_least_rod_for_45_kg(basis: HangerBasis, minutes: int, name: str) -> None:
    found = least_thread(RULES, basis, 45, 2, minutes)  # C28, C29, C30
    assert found.thread is not None
    assert found.thread.name == name


@pytest.mark.parametrize(("minutes", "most"), [(1, 9), (60, 9), (60.001, 6), (61, 6), (120, 6)])
def test_the_european_limit_by_time(minutes: float, most: float) -> None:
    limit = RULES.limit(EN, minutes)
    assert limit is not None
    assert limit.most_n_mm2 == most


@pytest.mark.parametrize(("minutes", "most"), [(60, 15), (90, 10), (120, 10), (180, 6), (240, 6)])
def test_the_british_limit_by_time(minutes: float, most: float) -> None:
    limit = RULES.limit(UK, minutes)
    assert limit is not None
    assert limit.most_n_mm2 == most


@pytest.mark.parametrize(("basis", "minutes"), [(EN, 121), (EN, 240), (UK, 241), (EN, 0)])
def test_without_a_limit_nothing_is_told(basis: HangerBasis, minutes: float) -> None:
    assert RULES.limit(basis, minutes) is None
    assert most_mass_kg(RULES, basis, thread("M16"), 2, minutes) is None
    assert least_thread(RULES, basis, 45, 2, minutes).thread is None
    check = check_rod_stress(RULES, basis, thread("M16"), 8, 1, minutes)
    assert (check.verdict, check.most) == (Verdict.UNKNOWN, None)
    assert "only the tested support tells" in check.text


def test_at_the_limit_as_stated_it_is_not_over() -> None:
    """30.6 kg × 9.81 = 300.186 N = 9 N/mm² × 2 × 16.677 mm², by hand; binary fractions make the left side larger."""
    assert 30.6 * 9.81 > 9 * 2 * 16.677
    own = Thread("M6", 6.0, 1.0, 16.677, 16.0)
    assert check_rod_stress(RULES, EN, own, 2, 30.6, 60).verdict is Verdict.UNKNOWN
    assert check_rod_stress(RULES, EN, own, 2, 30.6001, 60).verdict is Verdict.FAIL


def test_area_and_limit_come_together() -> None:
    """The same rods under the same limit differ by the area alone."""
    same = replace(RULES, limits={basis: (StressLimit(60, 9, "x"),) for basis in HangerBasis})
    european = check_rod_stress(same, EN, thread("M8"), 2, 60, 60)
    british = check_rod_stress(same, UK, thread("M8"), 2, 60, 60)
    assert european.have is not None
    assert british.have is not None
    assert european.have * 36.6 == pytest.approx(british.have * 32.84, rel=1e-4)
    assert "stress area" in european.text
    assert "root area" in british.text
    assert "support.area.en" in european.rows
    assert "support.area.uk" in british.rows


def test_each_row_named_is_in_the_book() -> None:
    for basis in HangerBasis:
        for minutes in (60, 240):
            check = check_rod_stress(RULES, basis, thread("M8"), 2, 45, minutes)
            assert [row for row in check.rows if BOOK.find(row) is None] == []


def test_nothing_is_enough_for_a_very_heavy_damper() -> None:
    found = least_thread(RULES, EN, 5000, 2, 60)
    assert found.thread is None
    assert "more rods or another support" in found.why


@pytest.mark.parametrize(
    ("length", "protected", "verdict", "words"),
    [
        (1800, False, Verdict.FAIL, "they have none"),  # C32
        (1800, None, Verdict.UNKNOWN, "not stated"),
        (1800, True, Verdict.UNKNOWN, "a tested one"),
        (1500, False, Verdict.UNKNOWN, "Not longer"),  # exactly at the limit
        (1500.1, False, Verdict.FAIL, "they have none"),
        (0, None, Verdict.UNKNOWN, "Not longer"),
    ],
)
def test_long_rods(length: float, protected: bool | None, verdict: Verdict, words: str) -> None:
    check = check_rod_length(RULES, length, protected)
    assert check.verdict is verdict
    assert words in check.text


def test_bad_input_is_refused_in_words() -> None:
    with pytest.raises(ValueError, match="at least one rod carries a mass, not 0"):
        rod_stress_n_mm2(45, 0, 36.6, 9.81)
    with pytest.raises(ValueError, match="a mass is zero or more, not -1 kg"):
        check_rod_stress(RULES, EN, thread("M8"), 2, -1, 60)
    with pytest.raises(ValueError, match="a mass is zero or more, not nan kg"):
        check_rod_stress(RULES, EN, thread("M8"), 2, float("nan"), 60)
    with pytest.raises(ValueError, match="a rod has an area, not 0 mm²"):
        rod_stress_n_mm2(45, 2, 0, 9.81)
    with pytest.raises(ValueError, match="at least one rod"):
        most_mass_kg(RULES, EN, thread("M8"), 0, 60)
    with pytest.raises(ValueError, match="a core of some diameter"):
        root_area_mm2(1, 1, 1.22687)
    with pytest.raises(ValueError, match="zero or more, not -5 mm"):
        check_rod_length(RULES, -5, None)


def test_names_of_threads_are_read_as_people_write_them() -> None:
    assert RULES.thread(" m 10 ") == thread("M10")
    assert RULES.thread("M7") is None


loads = st.floats(0, 2000, allow_nan=False)
times = st.integers(1, 400)


@given(st.sampled_from(list(HangerBasis)), st.sampled_from(RULES.threads), st.integers(1, 12), loads, times)
def test_no_calculation_ever_passes_a_support(
    basis: HangerBasis, rod: Thread, rods: int, mass: float, minutes: int
) -> None:
    check = check_rod_stress(RULES, basis, rod, rods, mass, minutes)
    assert check.verdict in {Verdict.FAIL, Verdict.UNKNOWN}
    assert check_rod_length(RULES, mass, True).verdict in {Verdict.FAIL, Verdict.UNKNOWN}


@given(st.sampled_from(list(HangerBasis)), st.sampled_from(RULES.threads), st.integers(1, 8), loads, st.floats(1, 2))
def test_more_mass_never_cures_and_more_rods_never_harm(
    basis: HangerBasis, rod: Thread, rods: int, mass: float, more: float
) -> None:
    here = check_rod_stress(RULES, basis, rod, rods, mass, 60).verdict
    heavier = check_rod_stress(RULES, basis, rod, rods, mass * more, 60).verdict
    stronger = check_rod_stress(RULES, basis, rod, rods + 1, mass, 60).verdict
    if here is Verdict.FAIL:
        assert heavier is Verdict.FAIL
    if here is Verdict.UNKNOWN:
        assert stronger is Verdict.UNKNOWN


@given(st.sampled_from(RULES.threads), st.integers(1, 12), loads, times)
def test_least_thread_and_check_agree(rod: Thread, rods: int, mass: float, minutes: int) -> None:
    found = least_thread(RULES, EN, mass, rods, minutes).thread
    if found is not None:
        fails = check_rod_stress(RULES, EN, rod, rods, mass, minutes).verdict is Verdict.FAIL
        assert fails == (rod.diameter_mm < found.diameter_mm)
