# SPDX-License-Identifier: Apache-2.0
"""Air through the open damper, closing under flow, and leakage of blade and casing.

Whether a damper has to close against a running fan is a fact of the job (trade handbook 8.11, field case 25).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from brattice.building.penetration import Size
from brattice.building.words import FanInFire
from brattice.calc.exact import as_stated
from brattice.calc.leakage import (
    NO_LIMIT_CLASS,
    beside_limit,
    blade_leakage,
    casing_leakage_l_s_m2,
    leakage_limit_m3_h,
    leakage_rules,
    pressures_of_class,
)
from brattice.calc.pressure import (
    BLOCKAGE_ROWS,
    COMMON_LOSS_ROWS,
    AirLaw,
    air_law,
    blockage_coefficient,
    common_losses,
    cross_section_m2,
    hydraulic_diameter_m,
    is_blockage_formula_valid,
    pressure_loss_pa,
    velocity_m_s,
)
from brattice.calc.quantities import perimeter_mm
from brattice.details.figures import Figure, Used
from brattice.details.given import Given, sentence, used
from brattice.evidence.product import by_size
from brattice.findings import Known, Missing, Verdict
from brattice.quantities import LITRES_A_CUBIC_METRE, MM2_A_SQUARE_METRE, number_text

__all__ = ["air_figures"]

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
    if size is None:
        return given.lacking("free-area", (given.missing(given.penetration.damper.size),))
    found = by_size(table, size.value)
    if found.value is None:
        lacks = given.maker_lacks("free_area", "The free area at this size")
        return given.lacking("free-area", (lacks,), note=sentence(found.why_not))
    uses = (*used("nominal size", size, "mm"), given.of_maker(f"free area, {found.how}", found.value, "m²"))
    return given.figure("free-area", found.value, uses=uses)


def _loss(given: Given, velocity: Figure, free: Figure) -> Figure:
    product, size = given.product, given.size
    table = None if product is None else product.loss
    found = None if size is None else by_size(table, size.value)
    coefficient = None if found is None else found.value
    missing = [*velocity.missing]
    if coefficient is None:
        missing.append(given.maker_lacks("loss", "The loss coefficient at this size"))
    speed, flow, uses = velocity.value, given.penetration.detail.air_l_s, velocity.uses
    if product is not None and product.loss_on_free_area:
        missing += free.missing
        uses = (*uses, *free.uses)
        known = free.value is not None and isinstance(flow, Known)
        speed = velocity_m_s(flow.value, free.value) if known and isinstance(flow, Known) and free.value else None
    law = given.book.once(("air-law",), lambda: air_law(given.book))
    if coefficient is None or speed is None or found is None:
        if coefficient is None and velocity.value is not None:
            return _loss_to_be_stated(given, missing, (*velocity.uses, *free.uses), velocity.value, free.value, law)
        return given.lacking("pressure-loss", missing, uses=uses)
    on = "free area" if product is not None and product.loss_on_free_area else "duct"
    uses = (*uses, given.of_maker(f"loss coefficient on the velocity in the {on}, {found.how}", coefficient))
    return given.figure("pressure-loss", pressure_loss_pa(coefficient, speed, law), uses=uses)


def _loss_to_be_stated(
    given: Given,
    missing: Sequence[Missing],
    uses: tuple[Used, ...],
    speed: float,
    free_m2: float | None,
    law: AirLaw,
) -> Figure:
    """No loss, but about how much to reckon with until the maker states one (trade handbook 7.11 to 7.16)."""
    losses = [pressure_loss_pa(item, speed, law) for item in common_losses(given.book)]
    note = (
        f"Open dampers of common tables would lose {number_text(min(losses))} to {number_text(max(losses))} Pa at this "
        "velocity; the maker's own coefficient decides."
    )
    rows: tuple[str, ...] = COMMON_LOSS_ROWS
    duct = given.penetration.duct.size
    if free_m2 is not None and isinstance(duct, Known):
        size, share = duct.value, free_m2 / _area(duct.value)
        coefficient = blockage_coefficient(share, law)
        diameter = hydraulic_diameter_m(size.width_mm, size.height_mm)
        if coefficient is not None and is_blockage_formula_valid(share, speed, diameter, law):
            loss = number_text(pressure_loss_pa(coefficient, speed, law))
            note = f"A sharp-edged blockage that leaves the free area would lose {loss} Pa. {note}"
            rows = (*BLOCKAGE_ROWS, *rows)
    return given.figure(
        "pressure-loss", rows=rows, verdict=Verdict.UNKNOWN, uses=uses, missing=tuple(sorted(set(missing))), note=note
    )


def _exceeds_velocity(flow: float, size: Size, most: float) -> bool:
    """Whether q / A is more than a limit, in the decimals as stated; round ducts as near as π is known."""
    if size.height_mm is None:
        return velocity_m_s(flow, _area(size)) > most
    mm2 = as_stated(size.width_mm) * as_stated(size.height_mm)
    return as_stated(flow) / as_stated(LITRES_A_CUBIC_METRE) > as_stated(most) * mm2 / as_stated(MM2_A_SQUARE_METRE)


def _closing(given: Given, velocity: Figure) -> Iterable[Figure]:
    """A fan that stops asks nothing; one that runs asks what the maker states; an unknown one leaves it unknown.

    The velocity is that in the narrower of duct and damper: a damper smaller than its duct closes against faster air.
    """
    detail, product = given.penetration.detail, given.product
    duct, damper = given.penetration.duct.size, given.penetration.damper.size
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
    over, speed, uses = None, velocity.value, (*velocity.uses, *of_fan)
    if isinstance(flow, Known) and isinstance(duct, Known):
        passed = [duct.value]
        if isinstance(damper, Known) and damper.value != duct.value:
            passed.append(damper.value)
            uses = (*velocity.uses, *used("damper", damper, "mm"), *of_fan)
        speed = max(velocity_m_s(flow.value, _area(size)) for size in passed)
        over = None if most is None else any(_exceeds_velocity(flow.value, size, most) for size in passed)
    words = "The air velocity under which it was shown to close"
    yield _against_maker(given, keys[0], speed, most, over, velocity.missing, uses, words)
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
    size, tested = given.size, given.tested
    rules = leakage_rules(given.book)
    letters = ["E"]
    if tested is None or "S" in tested.class_text:
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
    yield _blade(given, at, from_where, letters[-1])
    yield _casing(given, at, from_where)


def _blade(given: Given, at: float, from_where: tuple[Used, ...], letter: str) -> Figure:
    """The leakage that the blade's class allows, beside the limit of S (or E) that it never proves."""
    size, blade = given.size, None if given.product is None else given.product.blade_class
    if size is None or blade is None:
        lacks = [] if size is not None else [given.missing(given.penetration.damper.size)]
        if blade is None:
            lacks.append(given.maker_lacks("blade_class", "The leakage class of the closed blade"))
        return given.lacking("blade-leakage", lacks)
    rules = leakage_rules(given.book)
    found, beside = blade_leakage(blade, at, rules), beside_limit(letter, blade, rules)
    uses = (*from_where, given.of_maker("blade class", blade))
    if found is None:
        why = "no limit" if blade == NO_LIMIT_CLASS else f"not given at {number_text(at)} Pa"
        return given.figure("blade-leakage", text=f"class {blade}: {why}", uses=uses, note=beside.text)
    value = found.l_s_m2 * _area(size.value)
    text = f"class {blade}: at most {number_text(value, 2)} l/s at {number_text(at)} Pa"
    note = f"{found.note} {beside.text}".strip()
    rows = tuple(dict.fromkeys((*found.rows, *beside.rows)))
    return given.figure(
        "blade-leakage", value, text=text, rows=rows, uses=(*used("nominal size", size, "mm"), *uses), note=note
    )


def _casing(given: Given, at: float, from_where: tuple[Used, ...]) -> Figure:
    size, product = given.size, given.product
    letter = None if product is None else product.casing_class
    length = None if product is None else product.casing_length_mm
    if size is None or letter is None or length is None:
        lacks = [] if size is not None else [given.missing(given.penetration.damper.size)]
        if letter is None:
            lacks.append(given.maker_lacks("casing_class", "The leakage class of the casing"))
        if length is None:
            lacks.append(given.maker_lacks("casing_length_mm", "The length of the casing along the duct"))
        return given.lacking("casing-leakage", lacks)
    by_area = casing_leakage_l_s_m2(letter, at, leakage_rules(given.book))
    if by_area is None:
        text = f"class {letter}: not given at {number_text(at)} Pa"
        return given.figure("casing-leakage", text=text, uses=from_where)
    surface = perimeter_mm(size.value.width_mm, size.value.height_mm) * length / MM2_A_SQUARE_METRE
    value = by_area * surface
    text = f"class {letter}: at most {number_text(value, 3)} l/s at {number_text(at)} Pa"
    uses = (
        *used("nominal size", size, "mm"),
        given.of_maker("casing length", length, "mm"),
        given.of_maker("casing class", letter),
        *from_where,
    )
    rows: tuple[str, ...] = (f"leak.casing.{letter.strip().casefold()}", "leak.casing.exponent")
    note, built_for = "", pressures_of_class(letter, given.book)
    if built_for is not None and at > min(abs(end) for end in built_for):
        low, high = (number_text(end) for end in built_for)
        note = f"By practice ducts of class {letter} are built for {low} to {high} Pa."
        rows = (*rows, f"leak.casing.{letter.strip().casefold()}.pressures")
    return given.figure("casing-leakage", value, text=text, rows=rows, uses=uses, note=note)
