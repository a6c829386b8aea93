# SPDX-License-Identifier: Apache-2.0
"""Reads class texts in the spellings of the trade; what can't be read is refused with its place.

The grammar, loosely: a class is a head (`E`, `EI`, `ES 60`, `REI-M 90`, `E₃₀₀ 60` …) and then, in any order,
orientation, fire side, `S`, pressure, cycles and the marks of smoke control dampers. Blanks, commas, dashes,
underscores and round brackets part the words. A further class stands after `/`, `;`, `+`, `&`, "and" or a new line.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from functools import lru_cache

from brattice.classes.steps import ClassSteps, step_down
from brattice.classes.values import (
    MODULATING,
    Activation,
    BarrierClass,
    ClassNote,
    Compartments,
    Cycles,
    DamperClass,
    Declaration,
    DuctClass,
    Family,
    FireClass,
    FireSide,
    Heat,
    Mounting,
    Pressure,
    SmokeDamperClass,
)
from brattice.errors import ClassTextError

__all__ = ["HOT_BESIDE_E300", "LONGEST_TEXT", "OUTSIDE_TABLE", "family_of", "read_class"]

LONGEST_TEXT = 400
"""No class text is longer [characters]."""

OUTSIDE_TABLE = "outside-class-table"
"""Code of the note on a time for which no class exists."""

HOT_BESIDE_E300 = "hot-beside-other-class"
"""Code of the note on the mark HOT beside a class that it does not go with."""

_BLANK = "[ \\t_\u00a0\u2000-\u200a\u202f\u205f\u3000]"
_DASH = "[-\u2010\u2011\u2012\u2013\u2014\u2212]"
_GAP = f"(?:{_BLANK}|{_DASH})*"
_FLAGS = re.ASCII | re.IGNORECASE
_EXAMPLES = {
    Family.FIRE_DAMPER: "EI 60 (ve ho i↔o) S",
    Family.SMOKE_CONTROL_DAMPER: "EI 120 (vedw hodw i↔o) S 1000 C10000 AA multi",
    Family.DUCT: "EI 60 (ve ho i↔o) S",
    Family.BARRIER: "REI 60",
}


def _pattern(text: str) -> re.Pattern[str]:
    return re.compile(text, _FLAGS)


_MARGIN = _pattern(f"(?:{_BLANK}|[\\r\\n])+")
_SKIP = _pattern(f"(?:{_BLANK}|{_DASH}|,)+")
_GAPS = _pattern(_GAP)
_BLANKS = _pattern(f"{_BLANK}*")
_BEGUN = _pattern(f"(?:R{_GAP})?E(?:{_GAP}[ISWM](?![a-z]))*{_BLANK}*")
_IMPACT = _pattern("M(?![a-z])")
_LETTERS = _pattern(
    f"(?P<r>R{_GAP})?(?P<e>E)(?P<i>{_GAP}I)?(?P<w>{_GAP}W)?(?P<s>{_GAP}S)?(?P<m>{_GAP}M)?(?={_GAP}[0-9\u2080-\u2089])"
)
_HEAD_AHEAD = _pattern(f"(?:R{_GAP})?E(?:{_GAP}[ISWM])*{_GAP}[0-9\u2080-\u2089]")
_SUBSCRIPT = _pattern(f"{_GAP}(?P<value>[\u2080-\u2089]+)")
_TEMPERATURE = _pattern(f"{_GAP}(?P<value>[0-9]{{3}})(?={_GAP}[0-9])")
_PLAIN_FIGURES = {0x2080 + figure: str(figure) for figure in range(10)}
_TIME = _pattern(f"{_GAP}(?P<value>[0-9]+)(?:{_BLANK}*(?:minutes|minute|mins|min|['\u2032]))?")
_AND = _pattern(r"(?:and|und|et)(?![a-z0-9])")
_SMOKE = _pattern(r"S(?![a-z\u2080-\u2089])")
_MOUNTING = _pattern(f"(?:(?P<ve>v{_BLANK}*e)|(?P<ho>h{_BLANK}*o))(?:{_BLANK}*(?P<place>d/?w|d|w))?(?![a-gj-np-uw-z])")
_SIDE = _pattern(f"(?P<first>[io]){_BLANK}*(?P<arrow>[^a-z0-9(), \\t]+(?:{_BLANK}*>)?){_BLANK}*(?P<last>[io])(?![a-z])")
_SIDE_START = _pattern(r"[io](?![a-z])")
_BOTH_WAYS = _pattern(f"[↔⟷⇔⇄⇆]|[<‹«]{_DASH[:-1]}=]*[>›»]|←{_BLANK}*→")
_OUTWARDS = _pattern(f"[→⟶⇒]|{_DASH[:-1]}=]*[>›»]")
_INWARDS = _pattern(f"[←⟵⇐]|[<‹«]{_DASH[:-1]}=]*")
_VARIATION = "\ufe0e\ufe0f"
_PRESSURE = _pattern(f"(?P<value>[0-9]{{1,3}}(?:[ .,'’\u00a0\u202f][0-9]{{3}})+|[0-9]+){_BLANK}*Pa(?![a-z])")
_ACTIVATION = _pattern(r"(?P<value>AA|MA)(?![a-z])")
_COMPARTMENTS = _pattern(f"(?P<value>multi|single)(?:{_GAP}compartments?)?(?![a-z])")
_HOT = _pattern(f"HOT{_BLANK}*(?P<celsius>[0-9]+){_BLANK}*/{_BLANK}*(?P<minutes>[0-9]+)")
_MODULATING = _pattern(f"C{_GAP}mod(?![a-z])")

_OLDER_FIGURE = f"(?:[0-9]+|{_DASH})"
_STROKE = f"{_BLANK}*/{_BLANK}*"
_FOREIGN: tuple[tuple[re.Pattern[str], str], ...] = tuple(
    (_pattern(pattern), expected)
    for pattern, expected in {
        f"{_OLDER_FIGURE}{_STROKE}{_OLDER_FIGURE}{_STROKE}{_OLDER_FIGURE}": (
            "a class with letters; three figures with strokes are an older kind of rating, which is not converted: "
            "ask which criteria (E, EI, REI) hold and under which standard"
        ),
        "FDS?[ ]*[0-9]": (
            "a class with the letters E, EI or REI; FD is an older rating of a door, not of a damper, duct or wall"
        ),
        "[0-9]+(?:[.,][0-9]+|[ ]*½)?[ -]*(?:hours?|hrs?|h)(?![a-z])": (
            "a class with letters and minutes; hours alone don't say which criteria (E, EI, REI) hold"
        ),
        "[0-9]+[ ]*(?:minutes?|mins?|')?[ ]*$": (
            "a class with letters; minutes alone don't say which criteria (E, EI, REI) hold"
        ),
        "FRL?(?![a-z])|(?:[FKLGTW])[ ]*-?[0-9]": (
            "a class with the letters E, EI or REI; other ratings are not converted: ask for the class of EN 13501"
        ),
        f"R{_GAP}[0-9]": "a class with E; R alone is loadbearing and separates nothing",
        f"E{_GAP}I{_GAP}(?:[12](?:{_BLANK}|{_DASH})+|[\u2081\u2082]{_GAP})[0-9]": (
            "EI without 1 or 2; EI1 and EI2 are classes of doors"
        ),
    }.items()
)

_SMOKE_WORDS = _pattern(
    r"(?<![a-z])(?:multi|single|AA|MA|HOT|C[ _-]*mod)(?![a-z])|(?<![a-z])HOT[ ]*[0-9]|(?<![a-z])C[ _-]*[0-9]"
    rf"|(?<![a-z])(?:v{_BLANK}*e|h{_BLANK}*o){_BLANK}*(?:d/?w|d|w)(?![a-z])"
    rf"|(?<![a-z])E(?:{_GAP}S)?{_GAP}(?:300|600){_GAP}[0-9]|(?<![a-z])E{_GAP}[\u2080-\u2089]"
)
_BARRIER_WORDS = _pattern(f"(?<![a-z])(?:R{_GAP}E|E(?:{_GAP}I)?{_GAP}[WM](?={_GAP}[0-9]))|(?<=[0-9]){_GAP}M(?![a-z])")


def family_of(text: str) -> Family | None:
    """The family that a class text tells by its own words; None where it could stand in several."""
    if len(text) > LONGEST_TEXT:
        return None
    if _SMOKE_WORDS.search(text):
        return Family.SMOKE_CONTROL_DAMPER
    if _BARRIER_WORDS.search(text):
        return Family.BARRIER
    return None


def read_class(text: str, family: Family, steps: ClassSteps) -> Declaration:
    """The classes that a text states for a family; raises `ClassTextError` with the place of what can't be read.

    Times outside the class table that declarations are known to state are read, credited up to the longest step
    that exists, and noted.
    """
    if len(text) > LONGEST_TEXT:
        raise ClassTextError(text, LONGEST_TEXT, f"a class text of at most {LONGEST_TEXT} characters")
    return _Reader(text, family, steps).declaration()


@lru_cache(maxsize=16)
def _bare_numbers(family: Family, steps: ClassSteps) -> tuple[tuple[int, re.Pattern[str]], ...]:
    """The numbers without a unit that a family's texts hold, each with its spellings."""
    numbers = {Family.FIRE_DAMPER: steps.damper_cycles, Family.SMOKE_CONTROL_DAMPER: steps.smoke_pressures}
    return tuple((value, _pattern(_grouped_pattern(value))) for value in numbers.get(family, ()))


@lru_cache(maxsize=16)
def _cycle_marks(steps: ClassSteps) -> tuple[tuple[Cycles, re.Pattern[str]], ...]:
    """The cycle marks of smoke control dampers, each with its spellings."""
    counted = ((value, _pattern(f"C{_GAP}{_grouped_pattern(value)}")) for value in steps.smoke_cycles)
    return (*counted, (MODULATING, _MODULATING))


@dataclass
class _Parts:
    """What one class states, as it is read; places are where a fault would be shown."""

    insulated: bool
    loadbearing: bool
    heat: Heat
    impact: bool
    smoke: bool
    minutes: int
    time_place: int
    temperature_c: int | None = None
    mountings: set[Mounting] = field(default_factory=set)
    sides: set[FireSide] = field(default_factory=set)
    runs: list[str] = field(default_factory=list)
    pressure_pa: int | None = None
    cycles: Cycles | None = None
    hot: tuple[int, int] | None = None
    activations: set[Activation] = field(default_factory=set)
    compartments: Compartments | None = None
    compartments_place: int = 0


class _Reader:
    """One pass over one text."""

    def __init__(self, text: str, family: Family, steps: ClassSteps) -> None:
        self._text = text
        self._family = family
        self._steps = steps
        self._at = 0
        self._open: list[int] = []
        self._notes: list[ClassNote] = []
        self._times = steps.all_times(family)
        self._bare = _bare_numbers(family, steps)
        self._cycles = _cycle_marks(steps)

    def declaration(self) -> Declaration:
        classes: list[FireClass] = []
        self._take(_MARGIN)
        self._refuse_foreign()
        while True:
            classes.append(self._class())
            if self._at == len(self._text):
                return Declaration(self._family, tuple(classes), tuple(sorted(set(self._notes))))

    def _fail(self, expected: str, at: int | None = None) -> ClassTextError:
        return ClassTextError(self._text, self._at if at is None else at, expected)

    def _take(self, pattern: re.Pattern[str]) -> re.Match[str] | None:
        found = pattern.match(self._text, self._at)
        if found is not None:
            self._at = found.end()
        return found

    def _skip(self, also: str = "") -> bool:
        """Pass over what parts words; whether anything more than blanks was passed."""
        start = self._at
        while self._at < len(self._text):
            if self._text[self._at] in also:
                self._at += 1
            elif self._take(_SKIP) is None:
                break
        return _BLANKS.fullmatch(self._text, start, self._at) is None

    def _refuse_foreign(self) -> None:
        for pattern, expected in _FOREIGN:
            if pattern.match(self._text, self._at):
                raise self._fail(expected)

    def _class(self) -> FireClass:
        parts = self._head()
        while True:
            parted = self._skip()
            if self._at == len(self._text):
                break
            char = self._text[self._at]
            if char in "/;+&\r\n" or _AND.match(self._text, self._at):
                self._next_class()
                break
            if char == "(":
                self._open.append(self._at)
                self._at += 1
            elif char == ")":
                if not self._open:
                    raise self._fail("no closing bracket, since none is open")
                self._open.pop()
                self._at += 1
            elif _HEAD_AHEAD.match(self._text, self._at):
                if not parted:
                    raise self._fail("'/' before a second class")
                break
            elif not self._piece(parts):
                raise self._fail(self._expected())
        if self._open:
            raise self._fail("a closing bracket before the class ends", self._open[-1])
        return self._built(parts)

    def _next_class(self) -> None:
        """Pass over what parts two classes; trailing line ends part nothing."""
        sign = self._take(_AND) is not None
        if not sign:
            sign = self._text[self._at] not in "\r\n"
            self._at += 1
        self._skip(" \r\n\t")
        if not sign and self._at < len(self._text) and self._text[self._at] in "/;+&":
            self._at += 1
            self._skip(" \r\n\t")
            sign = True
        if self._at == len(self._text) and not sign:
            return
        if not _HEAD_AHEAD.match(self._text, self._at):
            self._refuse_foreign()
            raise self._fail(f"a further class, for example {_EXAMPLES[self._family]}")

    def _head(self) -> _Parts:
        start = self._at
        found = self._take(_LETTERS)
        if found is None:
            raise self._fail(f"a class, for example {_EXAMPLES[self._family]}", self._first_fault(start))
        barrier = self._family is Family.BARRIER
        for name, letter, fits in (
            ("r", "R", barrier),
            ("w", "W", barrier),
            ("m", "M", barrier),
            ("s", "S", not barrier),
        ):
            if found.group(name) and not fits:
                where = "walls and floors" if letter in "RWM" else "dampers and ducts"
                raise self._fail(
                    f"no {letter} in the class of a {self._family.value}; it stands in classes of {where}",
                    found.start(name) if letter == "R" else found.end(name) - 1,
                )
        insulated = found.group("i") is not None
        heat = Heat.INSULATION if insulated else Heat.RADIATION if found.group("w") else Heat.NONE
        if found.group("i") and found.group("w"):
            raise self._fail("I or W, not both: I holds W", found.end("w") - 1)
        temperature = self._temperature()
        time_place = self._place_of_number()
        time = self._take(_TIME)
        if time is None:
            raise self._fail("a time in minutes")
        if _number(time.group("value")) not in self._times:
            raise self._fail(_one_of(self._times, "the times [min] that class tables hold"), time_place)
        return _Parts(
            insulated=insulated,
            loadbearing=found.group("r") is not None,
            heat=heat,
            impact=found.group("m") is not None,
            smoke=found.group("s") is not None,
            minutes=_number(time.group("value")),
            time_place=time_place,
            temperature_c=temperature,
        )

    def _first_fault(self, start: int) -> int:
        """Where a head stops being one: after its letters when it begins as one, else at its start."""
        begun = _BEGUN.match(self._text, start)
        return start if begun is None else begun.end()

    def _place_of_number(self) -> int:
        gap = _GAPS.match(self._text, self._at)
        return self._at if gap is None else gap.end()

    def _temperature(self) -> int | None:
        """The temperature of an E300 or E600 head: a number of that value before the time, or any subscript."""
        place = self._place_of_number()
        subscript = self._take(_SUBSCRIPT)
        if subscript is not None:
            if self._family is not Family.SMOKE_CONTROL_DAMPER:
                raise self._fail("a time; a temperature stands in classes of smoke control dampers", place)
            value = _number(subscript.group("value").translate(_PLAIN_FIGURES))
            if value not in self._steps.smoke_single_temperatures:
                raise self._fail(_one_of(self._steps.smoke_single_temperatures, "the temperatures of E"), place)
            return value
        ahead = _TEMPERATURE.match(self._text, self._at)
        if self._family is not Family.SMOKE_CONTROL_DAMPER or ahead is None:
            return None
        value = _number(ahead.group("value"))
        if value not in self._steps.smoke_single_temperatures:
            return None
        self._at = ahead.end()
        return value

    def _piece(self, parts: _Parts) -> bool:
        """Read one piece of a class; False when none stands here."""
        if self._family is Family.BARRIER:
            return self._side(parts) or self._impact(parts)
        if self._side(parts) or self._mounting(parts):
            return True
        if self._take(_SMOKE):
            parts.smoke = True
            return True
        place = self._at
        pressure = self._take(_PRESSURE)
        if pressure is not None:
            self._pressure(parts, _number(re.sub("[^0-9]", "", pressure.group("value"))), place)
            return True
        for value, pattern in self._bare:
            if self._take(pattern):
                if self._family is Family.FIRE_DAMPER:
                    self._once(parts.cycles, value, "cycles", place)
                    parts.cycles = value
                else:
                    self._pressure(parts, value, place)
                return True
        return self._smoke_control_piece(parts)

    def _smoke_control_piece(self, parts: _Parts) -> bool:
        start = self._at
        activation = self._take(_ACTIVATION)
        if activation is not None:
            parts.activations.add(Activation(activation.group("value").upper()))
        compartments = self._take(_COMPARTMENTS)
        if compartments is not None:
            value = Compartments(compartments.group("value").lower())
            self._once(parts.compartments, value, "compartment kind", start)
            parts.compartments, parts.compartments_place = value, start
        hot = self._take(_HOT)
        if hot is not None:
            stated = (_number(hot.group("celsius")), _number(hot.group("minutes")))
            if stated != self._steps.hot:
                raise self._fail(f"HOT {self._steps.hot[0]}/{self._steps.hot[1]}, the one that exists", start)
            parts.hot = stated
        for cycles, pattern in self._cycles:
            if self._take(pattern):
                self._once(parts.cycles, cycles, "cycle class", start)
                parts.cycles = cycles
                break
        if self._at == start:
            return False
        if self._family is not Family.SMOKE_CONTROL_DAMPER:
            raise self._fail(
                f"no {self._text[start : self._at]!r} in the class of a {self._family.value}; "
                "it stands in classes of smoke control dampers",
                start,
            )
        return True

    def _once(self, before: object, now: object, what: str, place: int) -> None:
        if before is not None and before != now:
            raise self._fail(f"one {what} in a class; the text states {before} before", place)

    def _pressure(self, parts: _Parts, value: int, place: int) -> None:
        smoke_control = self._family is Family.SMOKE_CONTROL_DAMPER
        if smoke_control and value not in self._steps.smoke_pressures:
            raise self._fail(_one_of(self._steps.smoke_pressures, "the pressures [Pa]"), place)
        if not smoke_control and value < self._steps.basic_pressure_pa:
            raise self._fail(f"a class pressure of at least {self._steps.basic_pressure_pa} Pa", place)
        if not smoke_control and value >= 10_000:
            raise self._fail("a class pressure of at most four figures [Pa]", place)
        self._once(parts.pressure_pa, value, "pressure", place)
        parts.pressure_pa = value

    def _impact(self, parts: _Parts) -> bool:
        place = self._at
        if not self._take(_IMPACT):
            return False
        if parts.heat is not Heat.INSULATION:
            raise self._fail("M with EI or REI alone", place)
        parts.impact = True
        return True

    def _mounting(self, parts: _Parts) -> bool:
        place = self._at
        found = self._take(_MOUNTING)
        if found is None:
            return False
        plain = "ve" if found.group("ve") else "ho"
        places = (found.group("place") or "").lower().replace("/", "")
        if places and self._family is not Family.SMOKE_CONTROL_DAMPER:
            raise self._fail(
                f"{plain} without d or w, which stand in classes of smoke control dampers", found.start("place")
            )
        self._run(parts, "orientation", place)
        parts.mountings |= {Mounting(plain + letter) for letter in places} or {Mounting(plain)}
        return True

    def _side(self, parts: _Parts) -> bool:
        place = self._at
        if not _SIDE_START.match(self._text, place):
            return False
        found = self._take(_SIDE)
        arrow = "" if found is None else "".join(c for c in found.group("arrow") if c not in _VARIATION)
        arrow = re.sub(f"^{_BLANK}+|{_BLANK}+$", "", arrow)
        first = "" if found is None else found.group("first").lower()
        if found is None or first == found.group("last").lower():
            raise self._fail("a fire side: i→o, o→i or i↔o", place)
        if _BOTH_WAYS.fullmatch(arrow):
            sides = set(FireSide)
        elif _OUTWARDS.fullmatch(arrow):
            sides = {FireSide.IN_TO_OUT if first == "i" else FireSide.OUT_TO_IN}
        elif _INWARDS.fullmatch(arrow):
            sides = {FireSide.OUT_TO_IN if first == "i" else FireSide.IN_TO_OUT}
        else:
            raise self._fail("an arrow between i and o: →, ← or ↔", found.start("arrow"))
        self._run(parts, "fire side", place)
        parts.sides |= sides
        return True

    def _run(self, parts: _Parts, what: str, place: int) -> None:
        """Orientation and fire side stand each in one place: "ve i↔o, ho o→i" is two classes."""
        if not parts.runs or parts.runs[-1] != what:
            if what in parts.runs:
                raise self._fail(
                    f"{what} in one place of a class; where they differ, write two classes with '/' between", place
                )
            parts.runs.append(what)

    def _expected(self) -> str:
        words = {
            Family.FIRE_DAMPER: (
                f"ve, ho, a fire side (i→o, o→i, i↔o), S, a pressure as in {self._steps.basic_pressure_pa} Pa, "
                f"or cycles ({', '.join(str(item) for item in self._steps.damper_cycles)})"
            ),
            Family.DUCT: (
                f"ve, ho, a fire side (i→o, o→i, i↔o), S or a pressure as in {self._steps.basic_pressure_pa} Pa"
            ),
            Family.SMOKE_CONTROL_DAMPER: (
                "ve or ho with d, w or dw, a fire side (i→o, o→i, i↔o), S, "
                f"{', '.join(str(item) for item in self._steps.smoke_pressures)}, "
                f"{', '.join(f'C{item}' for item in self._steps.smoke_cycles)}, Cmod, "
                f"HOT {self._steps.hot[0]}/{self._steps.hot[1]}, AA, MA, single or multi"
            ),
            Family.BARRIER: "M or a fire side (i→o, o→i, i↔o)",
        }
        return f"{words[self._family]}; or '/' and a further class"

    def _built(self, parts: _Parts) -> FireClass:
        if self._family is Family.FIRE_DAMPER:
            return self._damper(parts)
        if self._family is Family.DUCT:
            self._need_step(parts, self._steps.times(Family.DUCT, parts.insulated), "of a duct")
            return DuctClass(
                insulated=parts.insulated,
                minutes=parts.minutes,
                pressure=self._class_pressure(parts),
                smoke=parts.smoke,
                mountings=frozenset(parts.mountings),
                sides=frozenset(parts.sides),
            )
        if self._family is Family.BARRIER:
            times = self._steps.barrier_times(parts.loadbearing, parts.heat, parts.impact)
            self._need_step(parts, times, "of a wall or floor")
            return BarrierClass(parts.loadbearing, parts.heat, parts.minutes, parts.impact, frozenset(parts.sides))
        return self._smoke_damper(parts)

    def _class_pressure(self, parts: _Parts) -> Pressure:
        basic = self._steps.basic_pressure_pa
        value = basic if parts.pressure_pa is None else parts.pressure_pa
        return Pressure(value, value == basic)

    def _damper(self, parts: _Parts) -> DamperClass:
        times = self._steps.times(Family.FIRE_DAMPER, parts.insulated)
        minutes, stated = parts.minutes, None
        if not parts.insulated and minutes in self._steps.damper_e_outside:
            credited = step_down(minutes, times)
            if credited is not None:
                minutes, stated = credited, minutes
                self._notes.append(
                    ClassNote(
                        OUTSIDE_TABLE,
                        f"E {stated} stands outside the class table of fire dampers: credited as E {credited} at most; "
                        "ask for the classification report",
                    )
                )
        if stated is None:
            self._need_step(parts, times, "of a fire damper")
        return DamperClass(
            insulated=parts.insulated,
            minutes=minutes,
            pressure=self._class_pressure(parts),
            smoke=parts.smoke,
            mountings=frozenset(parts.mountings),
            sides=frozenset(parts.sides),
            cycles=None if parts.cycles is None else int(parts.cycles),
            stated_minutes=stated,
        )

    def _smoke_damper(self, parts: _Parts) -> SmokeDamperClass:
        if parts.temperature_c is not None and (parts.insulated or parts.compartments is Compartments.MULTI):
            raise self._fail(
                f"no temperature here: E{parts.temperature_c} is a class for a single compartment without I",
                parts.compartments_place if parts.compartments is Compartments.MULTI else parts.time_place,
            )
        if parts.temperature_c is None and parts.compartments is Compartments.SINGLE:
            names = " or ".join(f"E{item}" for item in self._steps.smoke_single_temperatures)
            raise self._fail(f"{names} with 'single'", parts.compartments_place)
        single = parts.temperature_c is not None
        times = self._steps.smoke_single if single else self._steps.smoke_multi
        self._need_step(parts, times, "of a smoke control damper")
        credited = parts.temperature_c in {None, self._steps.hot_temperature}
        if parts.hot is not None and not credited:
            mark = f"HOT {parts.hot[0]}/{parts.hot[1]}"
            self._notes.append(
                ClassNote(
                    HOT_BESIDE_E300,
                    f"{mark} goes only with E{self._steps.hot_temperature}, the text states it with "
                    f"E{parts.temperature_c}: it is not credited; ask for the classification report",
                )
            )
        places = {item.plain for item in parts.mountings if not item.is_plain}
        return SmokeDamperClass(
            insulated=parts.insulated,
            minutes=parts.minutes,
            temperature_c=parts.temperature_c,
            smoke=parts.smoke,
            mountings=frozenset(parts.mountings - places),
            sides=frozenset(parts.sides),
            pressure_pa=parts.pressure_pa,
            cycles=parts.cycles,
            hot=parts.hot,
            activations=frozenset(parts.activations),
            compartments=parts.compartments,
            hot_credited=parts.hot is None or credited,
        )

    def _need_step(self, parts: _Parts, times: tuple[int, ...], whose: str) -> None:
        if parts.minutes not in times:
            letters = "E" + (parts.heat.value if self._family is Family.BARRIER else "I" if parts.insulated else "")
            name = ("R" if parts.loadbearing else "") + letters + ("-M" if parts.impact else "")
            raise self._fail(_one_of(times, f"the times that exist for {name} {whose}"), parts.time_place)


def _number(digits: str) -> int:
    """A whole number; figures too many to be one in a class count as one that is no step."""
    return int(digits) if len(digits) < 10 else -1


def _one_of(values: tuple[int, ...], what: str) -> str:
    return f"one of {what}: {', '.join(str(item) for item in values)}"


def _grouped_pattern(value: int) -> str:
    """A number with or without a mark between its thousands, not followed by a further figure or a slash."""
    text = f"{value:,}".replace(",", "[ .,'’\u00a0\u202f]?")
    return f"{text}(?![0-9])"
