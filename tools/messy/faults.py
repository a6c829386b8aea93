# SPDX-License-Identifier: Apache-2.0
"""The planted faults: what each changes in the schedule, and what a check has to find without any evidence.

The findings are written down from the trade handbook's rules, never from what the tool prints. A cell that can't be
read for certain is a finding of its own, beside the check that lacks what it says.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import Any

from tools.messy.rows import Meant, Pair, designed

__all__ = ["EVERYWHERE", "Expected", "Fault", "Schedule", "build"]

EVERYWHERE = ("evidence-loaded-unknown", "wall-type-row-unknown")
"""What every damper has that is scheduled without evidence and without a sheet of wall types."""

_NO_DAMPER: dict[str, Any] = {
    "damper_present": False,
    "maker": None,
    "product": None,
    "damper_size": None,
    "class_text": None,
    "actuation": None,
    "access_side": None,
    "position": None,
    "fixing": None,
    "weight_kg": None,
    "rod_count": None,
    "rod_length_mm": None,
    "voltage": None,
    "fail_position": None,
}


@dataclass(frozen=True, order=True)
class Expected:
    """One finding that a check has to make, at a row by its place in the building (level, slot)."""

    at: tuple[int, int]
    code: str
    open: bool


@dataclass(frozen=True)
class Fault:
    """A planted fault: what it is, the handbook's row or field case, the rows that have it, the codes it gives."""

    title: str
    source: str
    at: tuple[tuple[int, int], ...]
    codes: tuple[str, ...]


@dataclass
class Schedule:
    """The rows with their faults, and the findings they must give."""

    rows: dict[tuple[int, int], Meant] = field(
        default_factory=lambda: {(row.level, row.slot): row for row in designed()}
    )
    faults: list[Fault] = field(default_factory=list)
    expected: set[Expected] = field(default_factory=set)
    _taken: set[tuple[int, int]] = field(default_factory=set)

    def pick(self, kind: str, count: int = 1, rectangular: bool = False) -> list[Meant]:
        """The next rows of a kind that no fault has; rectangular ones with unlike sides, where that is asked."""
        found = []
        for at, row in self.rows.items():
            _, up = row.facts["duct_size"]
            if row.kind == kind and at not in self._taken and (up is not None or not rectangular):
                self._taken.add(at)
                found.append(row)
                if len(found) == count:
                    return found
        raise AssertionError(f"too few rows of the kind {kind!r}")

    def plant(
        self,
        title: str,
        source: str,
        rows: Sequence[Meant],
        codes: tuple[str, ...],
        *,
        without: tuple[str, ...] = (),
        notes: tuple[str, ...] = (),
    ) -> None:
        """Put changed rows in and write down what has to be found; `without` are findings of every row they lack.

        `notes` are findings that leave nothing open: nothing that is judged lacks what the cell says.
        """
        for row in rows:
            self.rows[row.level, row.slot] = row
        places = tuple((row.level, row.slot) for row in rows)
        self.faults.append(Fault(title, source, places, codes + notes))
        self.expected |= {Expected(at, code, False) for at in places for code in notes}
        self.expected |= {Expected(at, code, True) for at in places for code in codes}
        self.expected -= {Expected(at, code, True) for at in places for code in without}


def _sides(row: Meant) -> Pair:
    size: Pair = row.facts["duct_size"]
    return size


def _turned(size: Pair) -> Pair:
    across, up = size
    assert up is not None
    return up, across


# what the code asks ---------------------------------------------------------------------------------------------------


def _heat_alone_on_an_escape_route(plan: Schedule) -> None:
    rows = [row.means(actuation=frozenset({"thermal"})) for row in plan.pick("corridor", 2)]
    plan.plant(
        "A fusible link alone in the wall of an escape corridor", "4.3, 4.12a", rows, ("scheduled-actuation-fails",)
    )


def _heat_alone_and_no_method(plan: Schedule) -> None:
    rows = [row.means(actuation=frozenset({"thermal"}), method=None) for row in plan.pick("corridor")]
    codes = ("scheduled-actuation-fails", "requirement-unknown")
    plan.plant("The same, and nobody says how the duct is to be protected", "4.3, 4.12a", rows, codes)


def _fire_damper_on_an_escape_route(plan: Schedule) -> None:
    change: dict[str, Any] = {
        "method": "1 fire damper",
        "class_text": "E 120 (ve i↔o)",
        "actuation": frozenset({"thermal"}),
    }
    codes = ("method-fails", "scheduled-actuation-fails", "scheduled-class-fails")
    rows = [row.means(**change) for row in plan.pick("corridor")]
    plan.plant("A thermally actuated fire damper (method 1) on an escape route", "4.3", rows, codes)


def _no_heat_where_people_sleep(plan: Schedule) -> None:
    rows = [row.means(actuation=frozenset({"smoke detection"})) for row in plan.pick("bedroom")]
    plan.plant(
        "Smoke detection closes a damper of a bedroom, heat does not", "4.5", rows, ("scheduled-actuation-fails",)
    )


def _heat_alone_where_people_sleep(plan: Schedule) -> None:
    rows = [row.means(actuation=frozenset({"thermal"})) for row in plan.pick("bedroom")]
    plan.plant("A fusible link alone where people sleep", "4.5", rows, ("scheduled-actuation-fails",))


def _damper_in_kitchen_extract(plan: Schedule) -> None:
    rows = [row.means(system="commercial kitchen extract") for row in plan.pick("kitchen supply")]
    codes = ("method-fails", "damper-excluded-fails")
    plan.plant("A damper in the extract of a commercial kitchen", "4.4", rows, codes)


def _damper_in_smoke_extract(plan: Schedule) -> None:
    rows = [row.means(system="smoke extract") for row in plan.pick("compartment")]
    codes = ("method-fails", "damper-excluded-fails")
    plan.plant("A thermally released damper in smoke extract", "4.18, 4.3", rows, codes)


def _too_low_a_class(plan: Schedule) -> None:
    rows = [row.means(class_text="E 60 (ve i↔o)") for row in plan.pick("compartment", 2)]
    plan.plant("A 60-minute damper in a 120-minute wall", "4.7", rows, ("scheduled-class-fails",))


def _no_smoke_leakage(plan: Schedule) -> None:
    rows = [row.means(class_text="EI 60 (ve i↔o)") for row in plan.pick("corridor")]
    plan.plant("A class without S on an escape route", "4.8", rows, ("scheduled-class-fails",))


def _wall_class_in_a_floor(plan: Schedule) -> None:
    rows = [row.means(class_text="EI 90 (ve i↔o) S") for row in plan.pick("floor")]
    plan.plant("A class for walls (ve) in a floor", "1.10, 2.45", rows, ("scheduled-class-fails",))


def _class_of_no_table(plan: Schedule) -> None:
    texts = ("EI 75 (ve i↔o) S", "E 45 (ve i↔o)")
    rows = [row.means(class_text=text) for row, text in zip(plan.pick("compartment", 2), texts, strict=True)]
    plan.plant("A class outside the class tables", "1.4, 1.5", rows, ("scheduled-class-fails",))


def _class_not_said(plan: Schedule) -> None:
    for text, title, codes in (
        ("tbc", "The class is to be confirmed", ("scheduled-class-unknown",)),
        ("2 HR", "Hours in the column of the class", ("cell-unknown", "scheduled-class-unknown")),
    ):
        rows = [row.means(class_text=None).shows(class_text=text) for row in plan.pick("compartment")]
        plan.plant(title, "1.1", rows, codes)


def _wall_without_rating(plan: Schedule) -> None:
    rows = [
        row.means(rating=None).shows(rating=text)
        for row, text in zip(plan.pick("compartment", 2), ("tbc", None), strict=True)
    ]
    plan.plant("A wall without a rating", "common practice: missing is not unrated", rows, ("requirement-unknown",))


def _rating_of_another_kind(plan: Schedule) -> None:
    rows = [
        row.means(rating=None).shows(rating=text)
        for row, text in zip(plan.pick("corridor", 2), ("-/60/60", "FD60"), strict=True)
    ]
    plan.plant("A rating that does not say which criteria hold", "4.25", rows, ("cell-unknown", "requirement-unknown"))


def _unrated_compartment_wall(plan: Schedule) -> None:
    rows = [row.means(rating=(0, None)) for row in plan.pick("compartment")]
    plan.plant(
        "A compartment wall that is stated to be unrated",
        "common practice: a contradiction is asked",
        rows,
        ("requirement-unknown",),
    )


def _not_separating(plan: Schedule) -> None:
    rows = [row.means(role="not fire-separating") for row in plan.pick("compartment")]
    plan.plant(
        "A wall that separates nothing: no protection is needed", "4.1", rows, (), without=("evidence-loaded-unknown",)
    )


def _role_not_said(plan: Schedule) -> None:
    rows = [row.means(role=None).shows(role="see fire strategy") for row in plan.pick("compartment")]
    plan.plant(
        "Nobody says what the wall is in the fire strategy", "4.3", rows, ("cell-unknown", "requirement-unknown")
    )


def _space_not_said(plan: Schedule) -> None:
    rows = [row.means(space_a=None).shows(space_a="Corridor") for row in plan.pick("compartment")]
    plan.plant("A corridor that may be an escape route or not", "4.3", rows, ("cell-unknown", "requirement-unknown"))


def _kitchen_extract_of_which_kind(plan: Schedule) -> None:
    rows = [row.means(system=None).shows(system="Kitchen extract") for row in plan.pick("compartment")]
    plan.plant("Kitchen extract, commercial or of a dwelling", "4.4", rows, ("cell-unknown", "requirement-unknown"))


def _no_damper(plan: Schedule) -> None:
    rows = [row.means(**_NO_DAMPER) for row in plan.pick("compartment")]
    plan.plant(
        "No damper where a damper is to protect", "4.1", rows, ("damper-fails",), without=("evidence-loaded-unknown",)
    )


def _run_not_proven(plan: Schedule) -> None:
    rows = [row.means(**_NO_DAMPER, method="3 fire-resisting ductwork") for row in plan.pick("shaft")]
    plan.plant(
        "Fire-resisting ductwork whose run nobody proves",
        "4.26, 13 case 6",
        rows,
        ("protected-run-unknown",),
        without=("evidence-loaded-unknown",),
    )


def _no_access(plan: Schedule) -> None:
    rows = [row.means(access_door=False) for row in plan.pick("shaft", 2)]
    plan.plant("No access panel", "4.12, 5.25", rows, ("access-door-fails",))


def _motor_and_no_word_what_closes_it(plan: Schedule) -> None:
    rows = [
        row.means(actuation=None).shows(actuation=text)
        for row, text in zip(plan.pick("shaft", 2), ("Motorised 24V", "spring return"), strict=True)
    ]
    plan.plant(
        "What drives the blade, and not what makes it close",
        "4.12a",
        rows,
        ("cell-unknown", "scheduled-actuation-unknown"),
    )


# sizes ----------------------------------------------------------------------------------------------------------------


def _turned_damper(plan: Schedule) -> None:
    rows = [
        row.means(damper_size=_turned(_sides(row)), framed_size=(900, 900))
        for row in plan.pick("compartment", 2, rectangular=True)
    ]
    plan.plant("Width and height of the damper exchanged against its duct", "13 case 15", rows, ("damper-size-fails",))


def _other_size(plan: Schedule) -> None:
    rows = [
        row.means(damper_size=(row.facts["duct_size"][0] - 50, row.facts["duct_size"][1]))
        for row in plan.pick("shaft", rectangular=True)
    ]
    plan.plant("A damper of another size than its duct", "13 case 15", rows, ("damper-size-unknown",))


def _opening_smaller_than_the_duct(plan: Schedule) -> None:
    rows = [row.means(framed_size=(row.facts["duct_size"][0] - 50, 800)) for row in plan.pick("corridor")]
    plan.plant("A structural opening narrower than the duct", "common practice", rows, ("opening-size-fails",))


def _opening_turned(plan: Schedule) -> None:
    rows = [
        row.means(duct_size=(700, 300), damper_size=(700, 300), framed_size=(400, 800)) for row in plan.pick("corridor")
    ]
    plan.plant("Width and height of the opening exchanged", "13 case 15", rows, ("opening-size-fails",))


def _opening_of_the_very_size(plan: Schedule) -> None:
    rows = [row.means(framed_size=_sides(row)) for row in plan.pick("corridor", rectangular=True)]
    plan.plant(
        "An opening of the very size of the duct: no casing, no seal", "13 case 12", rows, ("opening-size-fails",)
    )


def _damper_larger_than_the_opening(plan: Schedule) -> None:
    rows = [
        row.means(damper_size=(row.facts["duct_size"][0] + 200, row.facts["duct_size"][1]))
        for row in plan.pick("shaft", rectangular=True)
    ]
    plan.plant(
        "A damper wider than its opening, and than its duct",
        "common practice",
        rows,
        ("opening-size-fails", "damper-size-unknown"),
    )


def _size_that_is_not_certain(plan: Schedule) -> None:
    for text, title in (
        ("60x40", "Centimetres, perhaps, in a column of millimetres"),
        ("400", "One figure in the column of a size"),
        ("see drawing", "A size that stands on a drawing"),
        ("=300+100", "A formula in place of the size, which nobody typed"),
    ):
        rows = [row.means(damper_size=None).shows(damper_size=text) for row in plan.pick("corridor")]
        plan.plant(title, "common practice", rows, ("cell-unknown", "damper-size-unknown"))


# rows -----------------------------------------------------------------------------------------------------------------


def _reference_twice(plan: Schedule) -> None:
    one, other = plan.pick("corridor", 2)
    rows = [one, other.means(reference=one.reference)]
    plan.plant("One reference in two rows", "common practice", rows, ("cell-unknown",))


def _no_reference(plan: Schedule) -> None:
    rows = [row.means(reference=None) for row in plan.pick("corridor")]
    plan.plant("A row without a reference", "common practice", rows, ("cell-unknown",))


_OF_PLACE = ("storey", "words", "system", "duct_size", "damper_size", "framed_size")


def _one_place_twice(plan: Schedule) -> None:
    one, other = plan.pick("bedroom", 2)
    rows = [one, other.means(**{key: one.facts[key] for key in _OF_PLACE})]
    plan.plant("Two rows for one place", "common practice", rows, ("one-place-unknown",))


def _turned_against_another_row(plan: Schedule) -> None:
    one, other = plan.pick("corridor", 2, rectangular=True)
    changed = {key: one.facts[key] for key in _OF_PLACE}
    turned = {key: _turned(one.facts[key]) for key in ("duct_size", "damper_size", "framed_size")}
    rows = [one, other.means(**{**changed, **turned})]
    plan.plant("Two rows for one place, width and height exchanged", "13 case 15", rows, ("one-place-unknown",))


# orders ---------------------------------------------------------------------------------------------------------------


def _no_product(plan: Schedule) -> None:
    rows = [row.means(product=None) for row in plan.pick("shaft", 2)]
    plan.plant("Nobody says which product", "3.16", rows, ("product-unknown",))


def _no_side_or_fixing(plan: Schedule) -> None:
    for key, title in (
        ("access_side", "Nobody says from which side the damper is reached"),
        ("fixing", "Nobody says how it is fixed"),
    ):
        rows = [row.means(**{key: None}) for row in plan.pick("floor")]
        plan.plant(f"{title}: the order line is held", "5.5, 13 cases 8 and 16", rows, ("order-facts-unknown",))


# what is beyond the judgment --------------------------------------------------------------------------------------------


def _cells_of_the_order_that_are_not_certain(plan: Schedule) -> None:
    for key, text, title in (
        ("air_l_s", "1080 m3/h", "Cubic metres an hour in a column of litres a second"),
        ("weight_kg", "18,5", "A comma in a weight: a point, or thousands"),
        ("rod_length_mm", "750", "Millimetres, perhaps, in a column of metres"),
        ("fail_position", "last position", "A fail position that is none of the two"),
        ("rod_count", "2 x 2", "A product in place of the number of rods"),
        ("rod_count", "4 no.", "A word behind the number of rods"),
    ):
        rows = [row.means(**{key: None}).shows(**{key: text}) for row in plan.pick("corridor")]
        plan.plant(title, "common practice: not certain is not read", rows, (), notes=("cell-note",))


def _order_not_said_yet(plan: Schedule) -> None:
    texts = ("tbc", "N/A", "TBA")
    rows = [
        row.means(voltage=None, phase=None).shows(voltage=text, phase=text)
        for row, text in zip(plan.pick("corridor", 3), texts, strict=True)
    ]
    plan.plant("Voltage and phase are not said yet, or do not apply", "5.5", rows, ())


def build() -> Schedule:
    """The schedule as it is to be checked."""
    plan = Schedule()
    plan.expected |= {Expected(at, code, True) for at in plan.rows for code in EVERYWHERE}
    for plant in _PLANTERS:
        plant(plan)
    return plan


_PLANTERS: tuple[Callable[[Schedule], None], ...] = (
    _heat_alone_on_an_escape_route,
    _heat_alone_and_no_method,
    _fire_damper_on_an_escape_route,
    _no_heat_where_people_sleep,
    _heat_alone_where_people_sleep,
    _damper_in_kitchen_extract,
    _damper_in_smoke_extract,
    _too_low_a_class,
    _no_smoke_leakage,
    _wall_class_in_a_floor,
    _class_of_no_table,
    _class_not_said,
    _wall_without_rating,
    _rating_of_another_kind,
    _unrated_compartment_wall,
    _not_separating,
    _role_not_said,
    _space_not_said,
    _kitchen_extract_of_which_kind,
    _no_damper,
    _run_not_proven,
    _no_access,
    _motor_and_no_word_what_closes_it,
    _turned_damper,
    _other_size,
    _opening_smaller_than_the_duct,
    _opening_turned,
    _opening_of_the_very_size,
    _damper_larger_than_the_opening,
    _size_that_is_not_certain,
    _reference_twice,
    _no_reference,
    _one_place_twice,
    _turned_against_another_row,
    _no_product,
    _no_side_or_fixing,
    _cells_of_the_order_that_are_not_certain,
    _order_not_said_yet,
)
