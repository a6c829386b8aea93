# SPDX-License-Identifier: Apache-2.0
"""Spellings of class texts (trade handbook section 1.4 and rows 1.15, 1.16, 1.30-1.40), and what is refused."""

import string

import pytest
from hypothesis import given
from hypothesis import strategies as st

from brattice.adapters.rows import shipped_book
from brattice.classes import ClassSteps, Declaration, Family, canonical, family_of, read_class
from brattice.classes.reading import LONGEST_TEXT
from brattice.errors import ClassTextError

DAMPER, SMOKE, DUCT, BARRIER = Family
STEPS = ClassSteps.from_book(shipped_book())


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        *((text, "E 60 S") for text in ("ES 60", "E60S", "E 60 S", "E S 60", "E-S 60", "es60", "E 60S", "E 60 min S")),
        *(
            (text, "EI 60 S")
            for text in ("EI 60 S", "EIS 60", "EI60S", "EI-60-S", "EI 60, S", "EIS60", "EI\u00a060\u202fS")
        ),
        *(
            (text, "EI 60 (ve ho i↔o) S")
            for text in (
                "EI60 (ve-ho i<->o) S",
                "EI 60 (ve ho i↔o) S",
                "EI 60 (v e h o i <-> o) S",
                "EI 60 (v_e-h_o i‹—›o) S",
                "EI 60 (ve – ho i<>o) S",
                "EI 60 (Ve ho, i ↔ o) S",
                "EI 60 (ho ve o↔i) S",
                "EI 60 (i↔o ve ho) S",
                "EI 60 S (ve ho i↔o)",
                "EI 60 (ve) (ho) (i ⇔ o) S",
                "EI 60 ve ho i<-->o S",
                "EI 60 (ve ho i→o o→i) S",
                "EI 60 (ve ho i↔\ufe0fo) S",
                "EI 60 (vehoi↔o) S",
                "EI 60 (ve ho i ← → o) S".replace("← →", "←→"),
                "  EI 60 (ve ho i↔o) S \n",
            )
        ),
        *(
            (text, "E 60 (ve o→i)")
            for text in (
                "E 60 (ve o→i)",
                "E 60 (ve i ← o)",
                "E 60 (ve i<-o)",
                "E 60 (ve o->i)",
                "E 60 (ve o > i)",
                "E 60 (ve i<o)",
            )
        ),
        *(
            (text, "E 60 (ve i→o)")
            for text in ("E 60 (ve i→o)", "E 60 (ve i -> o)", "E 60 (ve o ← i)", "E 60 (ve i=>o)", "E 60 (ve i—›o)")
        ),
        *(
            (text, "EI 90 (ve ho i↔o) S, 10 000")
            for text in (
                "EI 90 (ve ho i↔o) S, 10 000 (300 Pa)",
                "EI 90 (ve ho i↔o) S, 10,000 (300Pa)",
                "EI 90 (ve ho i↔o) S 10000",
                "EI 90 (ve ho i↔o) S, 10.000 (300 Pa)",
                "EI 90 (ve ho i↔o) S, 10\u202f000, 300 Pa",
            )
        ),
        *((text, "E 60 (500 Pa)") for text in ("E 60 (500 Pa)", "E 60 500Pa", "E60(-500 Pa)", "E 60 (500 PA)")),
        ("E 60 (1 500 Pa)", "E 60 (1500 Pa)"),
        ("E 60 (300 Pa)", "E 60"),
        *(
            (text, "EI 60 S / E 120")
            for text in (
                "EI 60 S / E 120",
                "E 120 / EI 60 S",
                "EI60S/E120",
                "EI 60 S; E 120",
                "EI 60 S, E 120",
                "EI 60 S + E 120",
                "EI 60 S & E 120",
                "EI 60 S and E 120",
                "EI 60 S\nE 120",
                "EI 60 S\r\n/ E 120\r\n",
                "EI 60 S – E 120",
                "EI 60 S / E 120 / E 120",
            )
        ),
    ],
)
def test_every_spelling_of_a_fire_damper_class_has_one_canonical_text(text: str, expected: str) -> None:
    declared = read_class(text, DAMPER, STEPS)
    assert canonical(declared) == expected
    assert read_class(expected, DAMPER, STEPS) == declared


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        (
            "E 90 (ved hod i↔o) S 1000 C10000 HOT 400/30 AA multi",
            "E 90 (ved hod i↔o) S 1000 C10000 HOT 400/30 AA multi",
        ),
        (
            "E₆₀₀ 120 (V_edw, h_od, i → o) S 1 000 C_mod HOT400/30 MA single",
            "E600 120 (vedw hod i→o) S 1000 Cmod HOT 400/30 MA single",
        ),
        ("E 300 60 (Ve dw) single", "E300 60 (vedw) single"),
        ("ES600 60", "E600 60 S"),
        ("EI 120 (ved-how-i↔o) S1500 C300 MA multi", "EI 120 (ved how i↔o) S 1500 C300 MA multi"),
        ("EI 60 (ve d/w) C 10 000 multi-compartment", "EI 60 (vedw) C10000 multi"),
        ("EI 60 S 500 Pa AA", "EI 60 S 500 AA"),
        ("EI 60 (ve ved)", "EI 60 (ved)"),
        ("EI 120 500", "EI 120 500"),
        ("EI 60 (ve)", "EI 60 (ve)"),
        ("EI 60 (ved vew ho) MA AA", "EI 60 (vedw ho) AA MA"),
        ("E 60 multi / E 60 AA multi", "E 60 AA multi / E 60 multi"),
    ],
)
def test_every_spelling_of_a_smoke_control_damper_class_has_one_canonical_text(text: str, expected: str) -> None:
    declared = read_class(text, SMOKE, STEPS)
    assert canonical(declared) == expected
    assert read_class(expected, SMOKE, STEPS) == declared


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("REI 120", "REI 120"),
        ("REI120", "REI 120"),
        ("R E I 60", "REI 60"),
        ("EI 60", "EI 60"),
        ("E 30", "E 30"),
        ("RE 240", "RE 240"),
        ("REI 360", "REI 360"),
        ("EW 30", "EW 30"),
        ("REW-60", "REW 60"),
        *((text, "REI-M 90") for text in ("REI-M 90", "REI M 90", "REI 90-M", "REI90M", "REIM 90")),
        ("EI 60 (o→i)", "EI 60 (o→i)"),
        ("E 120 / EI 60", "EI 60 / E 120"),
    ],
)
def test_every_spelling_of_a_barrier_class_has_one_canonical_text(text: str, expected: str) -> None:
    declared = read_class(text, BARRIER, STEPS)
    assert canonical(declared) == expected
    assert read_class(expected, BARRIER, STEPS) == declared


@pytest.mark.parametrize(
    ("text", "family", "position", "expected"),
    [
        # other kinds of rating are not converted
        ("60/60/60", DAMPER, 0, "older kind of rating"),
        ("-/60/60", BARRIER, 0, "older kind of rating"),
        ("FD60", BARRIER, 0, "rating of a door"),
        ("FD 30", DAMPER, 0, "rating of a door"),
        ("2 hr", BARRIER, 0, "hours alone"),
        ("2 hour", DAMPER, 0, "hours alone"),
        ("1.5h", DAMPER, 0, "hours alone"),
        ("1½ h", DAMPER, 0, "hours alone"),
        ("60 min", BARRIER, 0, "minutes alone"),
        ("  60", BARRIER, 2, "minutes alone"),
        ("FR 60", BARRIER, 0, "not converted"),
        ("F90", BARRIER, 0, "not converted"),
        ("K 90", DAMPER, 0, "not converted"),
        ("R 60", BARRIER, 0, "R alone"),
        ("EI2 30", BARRIER, 0, "classes of doors"),
        ("EI₁ 60", BARRIER, 0, "classes of doors"),
        # steps that don't exist
        ("E 45", DAMPER, 2, "30, 60, 90, 120"),
        ("E 15", DAMPER, 2, "30, 60, 90, 120"),
        ("EI 75", DAMPER, 3, "15, 20, 30, 45, 60, 90, 120, 180, 240"),
        ("E 360", DAMPER, 2, "15, 20, 30, 45, 60, 90, 120, 180, 240"),
        ("EI 45", SMOKE, 3, "30, 60, 90, 120"),
        ("E 180 multi", SMOKE, 2, "30, 60, 90, 120"),
        ("E 180", BARRIER, 2, "20, 30, 60, 90, 120"),
        ("EI-M 45", BARRIER, 5, "EI-M of a wall"),
        ("EI 360", BARRIER, 3, "EI of a wall"),
        ("EI 99999999999999999999", DAMPER, 3, "class tables"),
        ("E400 60", SMOKE, 1, "class tables"),
        ("E₄₀₀ 60", SMOKE, 1, "300, 600"),
        # words of another family
        ("EI 60 AA", DAMPER, 6, "smoke control dampers"),
        ("EI 60 multi", DUCT, 6, "smoke control dampers"),
        ("EI 60 C10000", DAMPER, 6, "smoke control dampers"),
        ("EI 60 (ved)", DAMPER, 9, "smoke control dampers"),
        ("E₃₀₀ 60", DAMPER, 1, "smoke control dampers"),
        ("REI 60", DAMPER, 0, "walls and floors"),
        ("EW 60", DUCT, 1, "walls and floors"),
        ("EI 60 M", DAMPER, 6, "ve, ho"),
        ("ES 60", BARRIER, 1, "dampers and ducts"),
        ("EI 60 S", BARRIER, 6, "M or a fire side"),
        ("EI 60 (ve)", BARRIER, 7, "M or a fire side"),
        ("EIW 60", BARRIER, 2, "not both"),
        ("EW 60 M", BARRIER, 6, "EI or REI alone"),
        # contradictions
        ("E600 60 multi", SMOKE, 8, "single compartment"),
        ("EI600 60", SMOKE, 6, "single compartment"),
        ("EI 60 single", SMOKE, 6, "E300 or E600"),
        ("EI 60 multi single", SMOKE, 12, "one compartment kind"),
        ("EI 60 C300 Cmod", SMOKE, 11, "one cycle class"),
        ("EI 60 (300 Pa) (500 Pa)", DAMPER, 16, "one pressure"),
        ("E 60 HOT 300/60", SMOKE, 5, "HOT 400/30"),
        ("E 60 S 700 Pa", SMOKE, 7, "500, 1000, 1500"),
        ("EI 60 (200 Pa)", DAMPER, 7, "at least 300 Pa"),
        ("EI 60 (30000 Pa)", DAMPER, 7, "four figures"),
        ("EI 60 (ve i↔o, ho o→i)", DAMPER, 15, "two classes"),
        ("EI 60 (i→o ve o→i)", DAMPER, 14, "two classes"),
        # a bare number that could be a pressure or cycles
        ("EI 60 S 300", DAMPER, 8, "a pressure as in 300 Pa"),
        ("EI 60 S 120", DAMPER, 8, "a pressure as in 300 Pa"),
        ("E 60 S 10000", DUCT, 7, "a pressure as in 300 Pa"),
        # broken texts
        ("", DAMPER, 0, "a class, for example EI 60 (ve ho i↔o) S"),
        ("   ", DAMPER, 3, "a class"),
        ("hello", DAMPER, 0, "a class"),
        ("EI", DAMPER, 2, "a class"),
        ("EI S", DAMPER, 4, "a class"),
        ("EI 6O", DAMPER, 3, "class tables"),
        ("EI 60 X", DAMPER, 6, "ve, ho, a fire side"),
        ("EI 60 Sa", DAMPER, 6, "ve, ho, a fire side"),
        ("EI 60 S200", DAMPER, 7, "ve, ho, a fire side"),
        ("EI 60 (ve", DAMPER, 6, "closing bracket"),
        ("EI 60 (ve / E 120)", DAMPER, 6, "closing bracket"),
        ("EI 60 ve)", DAMPER, 8, "no closing bracket"),
        ("EI 60 S /", DAMPER, 9, "a further class"),
        ("EI 60 S / X", DAMPER, 10, "a further class"),
        ("EI 60 / 60 / 60", DAMPER, 8, "a further class"),
        ("EI 60 S and", DAMPER, 11, "a further class"),
        ("EI 60 E 120", DAMPER, 6, "'/' before a second class"),
        ("EI 60 or E 120", DAMPER, 6, "ve, ho, a fire side"),
        ("EI 60 (i-o)", DAMPER, 8, "an arrow"),
        ("EI 60 (i→i)", DAMPER, 7, "i→o, o→i or i↔o"),
        ("EI 60 (i o)", DAMPER, 7, "i→o, o→i or i↔o"),
        ("EI 60\u200b S", DAMPER, 5, "ve, ho, a fire side"),
        ("EI 60\x00", DAMPER, 5, "ve, ho, a fire side"),
        ("E 60" + " " * LONGEST_TEXT, DAMPER, LONGEST_TEXT, "at most"),
    ],
)
def test_what_cant_be_read_is_refused_with_its_place(text: str, family: Family, position: int, expected: str) -> None:
    with pytest.raises(ClassTextError) as caught:
        read_class(text, family, STEPS)
    assert expected in caught.value.expected
    assert caught.value.position == position
    assert caught.value.text == text


def test_two_classes_that_differ_only_in_spelling_are_one() -> None:
    assert read_class("E60S / ES 60 / E 60 S (300 Pa)", DAMPER, STEPS) == read_class("E 60 S", DAMPER, STEPS)


def test_the_order_of_classes_and_facets_does_not_matter() -> None:
    one = read_class("E 120 (i↔o ve ho) / EI 60 S", DAMPER, STEPS)
    other = read_class("EI 60 S / E 120 (ho ve o↔i)", DAMPER, STEPS)
    assert one == other
    assert hash(one) == hash(other)


WORDS = st.sampled_from(
    [
        *("E", "EI", "R", "S", "M", "W", "60", "30", "300", "10 000", "10000", " ", "(", ")", "/", ",", ";", "-", "–"),
        *("ve", "ho", "v_e", "ved", "hodw", "i", "o", "i→o", "i<->o", "↔", "→", "<", ">", "Pa", "500 Pa", "\n", "and"),
        *(
            "AA",
            "MA",
            "HOT 400/30",
            "C",
            "C300",
            "mod",
            "multi",
            "single",
            "₃₀₀",
            "₁",
            "½",
            "h",
            "FD",
            "\u202e",
            "\x00",
        ),
    ]
)
JUNK = st.one_of(
    st.text(max_size=40),
    st.text(alphabet=string.printable + "↔→←₀₉ſK", max_size=40),
    st.lists(WORDS, max_size=12).map("".join),
    st.lists(WORDS, max_size=12).map(" ".join),
    st.lists(WORDS, max_size=8).map(lambda words: "EI 60 " + " ".join(words)),
    st.lists(WORDS, max_size=8).map(lambda words: "E600 60 " + " ".join(words)),
)


def outcome(text: str, family: Family) -> Declaration | ClassTextError:
    try:
        return read_class(text, family, STEPS)
    except ClassTextError as error:
        return error


@given(JUNK, st.sampled_from(list(Family)))
def test_any_text_is_read_or_refused_with_a_place_in_it(text: str, family: Family) -> None:
    told = family_of(text)
    assert told is None or told in Family
    found = outcome(text, family)
    if isinstance(found, ClassTextError):
        assert 0 <= found.position <= len(text)
        assert found.expected
    else:
        assert read_class(canonical(found), family, STEPS) == found


@given(st.text(min_size=LONGEST_TEXT, max_size=LONGEST_TEXT * 3), st.sampled_from(list(Family)))
def test_a_long_text_is_read_or_refused_just_as_well(text: str, family: Family) -> None:
    with pytest.raises(ClassTextError):
        read_class("EI 60 " + text, family, STEPS)
