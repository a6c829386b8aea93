# SPDX-License-Identifier: Apache-2.0
"""How far the duct grows between fixed points in the fire, and whether the joint can take it."""

from __future__ import annotations

from brattice.building.words import Joint
from brattice.calc.expansion import EXPANSION_ROWS, check_joint, elongation_mm, steel_law
from brattice.calc.fire_curve import FIRE_CURVE_ROWS, fire_curve, furnace_temperature_c
from brattice.details.figures import Figure, Used
from brattice.details.given import Given, used
from brattice.findings import Known, Verdict
from brattice.quantities import mm_text

__all__ = ["GROWTH_ROWS", "expansion_figures", "steel_temperature"]

GROWTH_ROWS = (*EXPANSION_ROWS, *FIRE_CURVE_ROWS, "expansion.steel-as-hot-as-gas")
"""The rows that a growth at a class time rests on: the law of steel, the fire curve, steel as hot as the furnace."""

_HOT = "Unprotected steel is taken to be as hot as the furnace."


def steel_temperature(given: Given) -> float | None:
    """The temperature of unprotected steel at the class time [°C]; None without a time or outside the curve."""
    if given.minutes is None:
        return None
    minutes = given.minutes
    curve = given.book.once(("fire-curve",), lambda: fire_curve(given.book))
    return furnace_temperature_c(minutes, curve)


def expansion_figures(given: Given) -> tuple[Figure, ...]:
    """Temperature, growth and travel of the joint; () where no duct meets the damper on either side.

    A joint that does not break away at all (steel screws, a rigid flange) fails with the joints, not here.
    """
    joints = given.penetration.installation.joints
    if all(isinstance(side, Known) and side.value is Joint.NO_DUCT for side in joints):
        return ()
    detail, product = given.penetration.detail, given.product
    temperature = steel_temperature(given)
    if temperature is None:
        heat = given.lacking("steel-temperature", (given.no_time,))
    else:
        time = (Used("class time", f"{given.minutes} min"),)
        heat = given.figure("steel-temperature", temperature, rows=FIRE_CURVE_ROWS, uses=time, note=_HOT)
    run, travel = detail.run_between_fixed_mm, detail.joint_travel_mm
    uses = used("length between fixed points", run, "mm")
    law = given.book.once(("steel-law",), lambda: steel_law(given.book))
    growth = None
    if isinstance(run, Known) and temperature is not None:
        growth = elongation_mm(run.value, temperature, law)
    if growth is None:
        missing = list(heat.missing)
        if not isinstance(run, Known):
            missing.append(given.missing(run, "run_between_fixed_mm"))
        grows = given.lacking("expansion", missing, uses=uses)
    else:
        grows = given.figure("expansion", growth, rows=GROWTH_ROWS, uses=(*uses, *heat.uses), note=_HOT)
    by_maker = None if product is None else product.joint_travel_mm
    if isinstance(travel, Known):
        can, from_where = float(travel.value), used("travel of the joint", travel, "mm")
    elif by_maker is not None:
        can, from_where = float(by_maker), (given.of_maker("travel of the joint", by_maker, "mm"),)
    else:
        limit = "" if growth is None else f"at least {mm_text(growth)}"
        return heat, grows, given.lacking("joint-travel", (given.missing(travel, "joint_travel_mm"),), limit=limit)
    if growth is None or not isinstance(run, Known) or temperature is None:
        return (
            heat,
            grows,
            given.figure("joint-travel", can, verdict=Verdict.UNKNOWN, uses=from_where, missing=grows.missing),
        )
    check = check_joint(run.value, temperature, can, law)
    failing = check.verdict is Verdict.FAIL
    return (
        heat,
        grows,
        given.figure(
            "joint-travel",
            can,
            limit=f"at least {mm_text(growth)}",
            verdict=Verdict.FAIL if failing else Verdict.NOT_APPLICABLE,
            rows=GROWTH_ROWS,
            uses=(*from_where, *uses, *heat.uses),
            note=check.text,
        ),
    )
