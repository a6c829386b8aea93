# SPDX-License-Identifier: Apache-2.0
"""Air through the open damper, closing under flow, and leakage of blade and casing.

Whether a damper has to close against a running fan is a fact of the job (trade handbook 8.11, field case 25).
"""

from __future__ import annotations

import re
from collections.abc import Iterable

from brattice.building.penetration import Size
from brattice.building.words import FanInFire
from brattice.calc.exact import as_stated
from brattice.calc.leakage import blade_leakage, casing_leakage_l_s_m2, leakage_limit_m3_h, leakage_rules
from brattice.calc.pressure import air_law, cross_section_m2, pressure_loss_pa, velocity_m_s
from brattice.calc.quantities import perimeter_mm
from brattice.details.by_size import value_at
from brattice.details.figures import Figure, Used
from brattice.details.given import Given, used
from brattice.findings import Known, Missing, Verdict
from brattice.quantities import number_text

__all__ = ["air_figures"]

_MM_A_METRE = 1000.0
_STOPS = "not asked: the fan stops"


def _area(size: Size) -> float:
    return cross_section_m2(size.width_mm, size.height_mm)


def air_figures(given: Given) -> tuple[Figure, ...]:
    """Flow, velocity, free area, loss, closing under flow, leakage limits and classes."""
    flow, duct = given.penetration.detail.air_l_s, given.penetration.duct.size
    figures = [given.stated("air-flow", flow, "air_l_s")]
    if isinstance(flow, Known) and isinstance(duct, Known):
        speed = velocity_m_s(flow.value, _area(duct.value))
        uses = (*used("air flow", flow, "l/s"), *used("duct", duct, "mm"))
        figures.append(given.figure("velocity", speed, uses=uses))
    else:
        missing = [*figures[0].missing, *(() if isinstance(duct, Known) else (duct.missing,))]
        figures.append(given.lacking("velocity", missing))
    velocity = figures[-1]
    free = _free_area(given)
    figures += [free, _loss(given, velocity, free), *_closing(given, velocity), *_leakage(given)]
    return tuple(figures)


def _free_area(given: Given) -> Figure:
    table, size = (None if given.product is None else given.product.free_area), given.size
    value = None if size is None else value_at(table, size.value)
    if value is None or table is None or size is None:
        return given.lacking("free-area", (given.maker_lacks("free_area", "The free area at this size"),))
    uses = (*used("nominal size", size, "mm"), given.of_maker(f"free area, {table.source}", value, "m²"))
    return given.figure("free-area", value, uses=uses)


def _loss(given: Given, velocity: Figure, free: Figure) -> Figure:
    product, size = given.product, given.size
    table = None if product is None else product.loss
    coefficient = None if size is None else value_at(table, size.value)
    missing = [*velocity.missing]
    if coefficient is None:
        missing.append(given.maker_lacks("loss", "The loss coefficient at this size"))
    speed, flow, uses = velocity.value, given.penetration.detail.air_l_s, velocity.uses
    if product is not None and product.loss_on_free_area:
        missing += free.missing
        uses = (*uses, *free.uses)
        known = free.value is not None and isinstance(flow, Known)
        speed = velocity_m_s(flow.value, free.value) if known and isinstance(flow, Known) and free.value else None
    if coefficient is None or speed is None or table is None:
        return given.lacking("pressure-loss", missing, uses=uses)
    on = "free area" if product is not None and product.loss_on_free_area else "duct"
    uses = (*uses, given.of_maker(f"loss coefficient on the velocity in the {on}, {table.source}", coefficient))
    law = given.book.once(("air-law",), lambda: air_law(given.book))
    return given.figure("pressure-loss", pressure_loss_pa(coefficient, speed, law), uses=uses)


def _exceeds_velocity(flow: float, size: Size, most: float) -> bool:
    """Whether q / A is more than a limit, in the decimals as stated; round ducts as near as π is known."""
    if size.height_mm is None:
        return velocity_m_s(flow, _area(size)) > most
    # q [l/s] / (w·h [mm²]) = q·1000 / (w·h) m/s
    return as_stated(flow) * 1000 > as_stated(most) * as_stated(size.width_mm) * as_stated(size.height_mm)


def _closing(given: Given, velocity: Figure) -> Iterable[Figure]:
    """A fan that stops asks nothing; one that runs asks what the maker states; an unknown one leaves it unknown."""
    detail, product, duct = given.penetration.detail, given.product, given.penetration.duct.size
    fan, pressure, flow = detail.fan_in_fire, detail.system_pressure_pa, detail.air_l_s
    keys = ("closing-velocity", "closing-pressure")
    if not isinstance(fan, Known):
        for key in keys:
            yield given.lacking(key, (given.missing(fan, "fan_in_fire"),))
        return
    of_fan = used("fan in a fire", fan)
    if fan.value is FanInFire.STOPS:
        for key in keys:
            yield given.figure(key, text=_STOPS, uses=of_fan)
        return
    most = None if product is None else product.most_closing_velocity_m_s
    over = None
    if most is not None and isinstance(flow, Known) and isinstance(duct, Known):
        over = _exceeds_velocity(flow.value, duct.value, most)
    words = "The air velocity under which it was shown to close"
    yield _against_maker(given, keys[0], velocity.value, most, over, velocity.missing, (*velocity.uses, *of_fan), words)
    most = None if product is None else product.most_closing_pressure_pa
    value: float | None = None
    missing: tuple[Missing, ...] = (given.missing(pressure, "system_pressure_pa"),)
    if isinstance(pressure, Known):
        value, missing = float(pressure.value), ()
    over = None if most is None or value is None else value > most
    words = "The pressure under which it was shown to close"
    uses = (*used("system pressure", pressure, "Pa"), *of_fan)
    yield _against_maker(given, keys[1], value, most, over, missing, uses, words)


def _against_maker(
    given: Given,
    key: str,
    value: float | None,
    most: float | None,
    over: bool | None,
    missing: tuple[Missing, ...],
    uses: tuple[Used, ...],
    words: str,
) -> Figure:
    unit = "m/s" if key == "closing-velocity" else "Pa"
    if most is not None:
        uses = (*uses, given.of_maker("most for closing", most, unit))
    limit = "" if most is None else f"at most {number_text(most, 2)} {unit}, by the maker"
    if value is None:
        return given.lacking(key, missing, uses=uses, limit=limit)
    if most is None or over is None:
        lacks = given.maker_lacks(key, words)
        return given.figure(key, value, verdict=Verdict.UNKNOWN, uses=uses, missing=(lacks,))
    if over:
        note = "The fan runs in a fire, and the damper was not shown to close under this."
        return given.figure(key, value, limit=limit, verdict=Verdict.FAIL, uses=uses, note=note)
    return given.figure(key, value, limit=limit, verdict=Verdict.PASS, uses=uses)


def _leakage(given: Given) -> Iterable[Figure]:
    size, tested, product = given.size, given.tested, given.product
    rules = leakage_rules(given.book)
    letters = ["E"]
    if tested is None or re.search(r"S", tested.class_text):
        letters.append("S")
    for letter in letters:
        key = f"leakage-{letter.casefold()}"
        if size is None:
            yield given.lacking(key, (given.missing(given.penetration.damper.size),))
            continue
        limit = leakage_limit_m3_h(letter, _area(size.value), rules)
        note = f"At {number_text(limit.pressure_pa)} Pa and 20 °C; from the test, never from a leakage class."
        uses = used("nominal size", size, "mm")
        yield given.figure(key, limit.m3_h, rows=limit.rows, uses=uses, note=note)
    pressure = given.penetration.detail.system_pressure_pa
    at = float(pressure.value) if isinstance(pressure, Known) else rules.limit_pressure_pa
    from_where = used("system pressure", pressure, "Pa") or (Used("pressure of the limits", f"{number_text(at)} Pa"),)
    blade = None if product is None else product.blade_class
    found = None if blade is None else blade_leakage(blade, at, rules)
    if blade is None or found is None or size is None:
        lacks = given.maker_lacks("blade_class", "The leakage class of the closed blade")
        if blade is not None and size is not None:
            note = f"Class {blade} gives no limit at {number_text(at)} Pa."
            yield given.figure("blade-leakage", text=f"class {blade}: no limit", uses=from_where, note=note)
        else:
            yield given.lacking("blade-leakage", (lacks,))
    else:
        value = found.l_s_m2 * _area(size.value)
        text = f"class {blade}: at most {number_text(value, 2)} l/s at {number_text(at)} Pa"
        uses = (*used("nominal size", size, "mm"), *from_where, given.of_maker("blade class", blade))
        yield given.figure("blade-leakage", value, text=text, rows=found.rows, uses=uses, note=found.note)
    yield _casing(given, at, from_where)


def _casing(given: Given, at: float, from_where: tuple[Used, ...]) -> Figure:
    size, product = given.size, given.product
    letter = None if product is None else product.casing_class
    length = None if product is None else product.casing_length_mm
    if size is None or letter is None or length is None:
        lacks = [given.maker_lacks("casing_class", "The leakage class of the casing")] if letter is None else []
        if length is None:
            lacks.append(given.maker_lacks("casing_length_mm", "The length of the casing along the duct"))
        return given.lacking("casing-leakage", lacks)
    by_area = casing_leakage_l_s_m2(letter, at, leakage_rules(given.book))
    if by_area is None:
        text = f"class {letter}: not given at {number_text(at)} Pa"
        return given.figure("casing-leakage", text=text, uses=from_where)
    surface = perimeter_mm(size.value.width_mm, size.value.height_mm) / _MM_A_METRE * length / _MM_A_METRE
    value = by_area * surface
    text = f"class {letter}: at most {number_text(value, 3)} l/s at {number_text(at)} Pa"
    uses = (
        *used("nominal size", size, "mm"),
        given.of_maker("casing length", length, "mm"),
        given.of_maker("casing class", letter),
        *from_where,
    )
    rows = (f"leak.casing.{letter.strip().casefold()}", "leak.casing.exponent")
    return given.figure("casing-leakage", value, text=text, rows=rows, uses=uses)
