# SPDX-License-Identifier: Apache-2.0
"""What the invented makers state of their dampers and seals beside the tests. Every number here is invented.

Some facts are left out on purpose: what needs them stays to be settled, and order lines are held.
"""

from __future__ import annotations

from dataclasses import dataclass

from tools.demo.tested import MAKERS, SCOPE_NOTE, TESTED

__all__ = ["FAMILIES", "Drive", "Family", "products_text"]


@dataclass(frozen=True)
class Drive:
    """An actuator or release: its code, words, voltages, whether it has end switches, fail position, power, time."""

    code: str
    words: str
    voltages: tuple[str, ...] = ()
    switches: bool = False
    power_va: float | None = None
    close_s: float | None = None


@dataclass(frozen=True)
class Family:
    """One damper family. `weight` [kg] and `area` [m²] are a + b·A, `loss` is one coefficient; None: not stated."""

    maker: str
    product: str
    drives: tuple[Drive, ...]
    weight: tuple[float, float] | None
    area: tuple[float, float] | None
    loss: float | None
    lengths: tuple[float, float, float, float]
    weeks: float | None
    more: tuple[tuple[str, str], ...] = ()


_LINK = Drive("L72", "fusible link 72 °C (invented)", close_s=3)
_LINK_SWITCHED = Drive("L72-S", "fusible link 72 °C with end switches (invented)", ("24 V DC",), True, close_s=3)
_MOTOR_24 = Drive("VM-24", "spring-return actuator with thermal release (invented)", ("24 V AC/DC",), True, 7.5, 20)
_MOTOR_230 = Drive("VM-230", "spring-return actuator with thermal release (invented)", ("230 V AC",), True, 9, 20)
_QUILL = Drive("QA", "spring-return actuator with thermal release (invented)", ("24 V AC/DC", "230 V AC"), True, 8, 18)

_SHUTS = (
    ("blade_class", "3"),
    ("casing_class", '"C"'),
    ("most_closing_velocity_m_s", "12"),
    ("most_closing_pressure_pa", "500"),
)
_REACH = (
    ("least_door_width_mm", "250"),
    ("least_door_height_mm", "200"),
    ("door_within_mm", "450"),
    ("zone_depth_mm", "600"),
)

FAMILIES = (
    Family("OR", "Orlebek C4", (_LINK, _LINK_SWITCHED), (4.5, 42), (-0.003, 0.82), 0.42, (300, 150, 60, 0), 4,
           (*_SHUTS, *_REACH, ("joint_travel_mm", "60"))),
    Family("TV", "Vane 60M", (_MOTOR_24, _MOTOR_230), (7, 48), (-0.004, 0.86), 0.35, (350, 190, 95, 120), 6,
           (*_SHUTS, *_REACH, ("joint_travel_mm", "60"), ("rods_tested", '"2 × M10 at the casing, in fire from below (invented)"'))),
    Family("TV", "Vane 60R", (_MOTOR_24, _MOTOR_230), (3, 40), (-0.001, 0.8), 0.5, (330, 170, 95, 0), 5, (*_SHUTS, *_REACH, ("joint_travel_mm", "60"))),
    Family("QM", "Quill Q90", (_LINK,), (6, 52), (-0.003, 0.84), 0.4, (320, 160, 70, 0), 5, (*_SHUTS, *_REACH, ("joint_travel_mm", "60"))),
    Family("QM", "Quill Q90R", (_LINK,), (4, 46), (-0.001, 0.8), 0.45, (320, 160, 70, 0), 5, (*_SHUTS, *_REACH, ("joint_travel_mm", "60"))),
    Family("QM", "Quill Q120", (_LINK, _LINK_SWITCHED), (8, 60), (-0.003, 0.83), 0.44, (340, 170, 70, 0), None, _SHUTS),
    Family("QM", "Quill Q60", (_QUILL,), (6, 45), (-0.003, 0.85), 0.38, (330, 365, 90, 60), 6, (*_SHUTS, *_REACH, ("joint_travel_mm", "60"))),
    Family("QM", "Quill V60", (_QUILL,), None, None, None, (330, 165, 90, 60), 8, _REACH),
)  # fmt: skip
"""All families; the blade of Quill Q60 stands outside its casing (a planted fault); Quill Q120 states no delivery time and no access, Quill V60 no weight, free area or loss."""

_SEALS: dict[str, tuple[tuple[str, float, float, str, float], ...]] = {
    "OR": (
        ("Orlebek M6 mortar", 24, 1400, "bag", 20),
        ("Orlebek S1 sealant", 48, 1600, "cartridge", 0.5),
        ("Orlebek W2 wool", 0, 60, "pack", 12),
    ),
    "TV": (
        ("Vane grout 2", 24, 1900, "bag", 25),
        ("Vane board 25", 0, 850, "board", 25.5),
        ("Vane sealant F", 24, 1550, "cartridge", 0.48),
        ("Vane batt 50", 0, 160, "batt", 5.8),
        ("Vane wool 40", 0, 40, "pack", 10),
    ),
    "QM": (
        ("Quill concrete infill Q", 72, 2300, "bag", 25),
        ("Quill mortar T", 24, 1500, "bag", 20),
        ("Quill frame seal 3", 24, 1450, "cartridge", 0.45),
    ),
}
"""Name, curing time [h], density [kg/m³], unit as sold, its mass [kg]. Nothing is stated of Quill frame seal 4."""


def _bounds(family: Family) -> list[str]:
    """The sizes that formulas hold for: those that the family was tested in."""
    sizes = next(way.sizes for way in TESTED.values() if (way.maker, way.product) == (family.maker, family.product))
    if "diameter_mm" in sizes:
        low, high = sizes["diameter_mm"]
        return [f"least_width_mm = {low:g}", f"most_width_mm = {high:g}"]
    (low, high), (low_h, high_h) = sizes["width_mm"], sizes["height_mm"]
    least = [f"least_width_mm = {low:g}", f"least_height_mm = {low_h:g}"]
    return [*least, f"most_width_mm = {high:g}", f"most_height_mm = {high_h:g}"]


def _table(family: Family, quantity: str, a: float, b: float | None) -> list[str]:
    kind = "constant" if b is None else "affine in area"
    lines = ["", "[[product.table]]", f'quantity = "{quantity}"', f'kind = "{kind}"', f"a = {a:g}"]
    lines += [] if b is None else [f"b = {b:g}"]
    return [*lines, f'source = "{family.product} data sheet, issue 2 (invented)"', *_bounds(family)]


def _drive(drive: Drive) -> list[str]:
    voltages = ", ".join(f'"{item}"' for item in drive.voltages)
    lines = [
        "",
        "[[product.actuator]]",
        f'code = "{drive.code}"',
        f'words = "{drive.words}"',
        f"voltages = [{voltages}]",
    ]
    lines += [f"end_switches = {str(drive.switches).lower()}", 'fail_position = "closed"']
    lines += [
        f"{key} = {value:g}" for key, value in (("power_va", drive.power_va), ("close_s", drive.close_s)) if value
    ]
    return lines


def _family(family: Family) -> list[str]:
    casing, blade, mechanism, swings = family.lengths
    lines = [
        "",
        "[[product]]",
        f'product = "{family.product}"',
        f'document = "{family.product} data sheet, issue 2 (invented)"',
        'handings = ["left", "right"]',
        'finishes = ["galvanised steel", "stainless steel"]',
        'accessories = ["test switch", "inspection cover"]',
        f"casing_length_mm = {casing:g}",
        f"blade_from_end_mm = {blade:g}",
        f"mechanism_beyond_mm = {mechanism:g}",
        f"blade_swings_mm = {swings:g}",
        *(f"{key} = {value}" for key, value in family.more),
    ]
    lines += [] if family.weeks is None else [f"delivery_weeks = {family.weeks:g}"]
    for drive in family.drives:
        lines += _drive(drive)
    if family.weight is not None:
        lines += _table(family, "weight", *family.weight)
    if family.area is not None:
        lines += _table(family, "free area", *family.area)
    if family.loss is not None:
        lines += _table(family, "loss", family.loss, None)
    return lines


def products_text(maker: str) -> str:
    """The file of product facts of one maker, by its short name."""
    lines = [f"# {SCOPE_NOTE} All numbers are invented.", "schema = 1", f'maker = "{MAKERS[maker]}"', "invented = true"]
    for family in FAMILIES:
        if family.maker == maker:
            lines += _family(family)
    for name, cure, density, unit, unit_kg in _SEALS[maker]:
        lines += ["", "[[seal]]", f'name = "{name}"', f"cure_h = {cure:g}", f"density_kg_m3 = {density:g}"]
        lines += [f'unit_words = "{unit}"', f"unit_kg = {unit_kg:g}"]
    return "\n".join(lines) + "\n"
