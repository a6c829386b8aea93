# SPDX-License-Identifier: Apache-2.0
"""Reach for life: the door in the duct, the clear working zone before it, ceiling and hatch.

What the maker states is a limit; common practice only raises a question (trade handbook 5.25 to 5.28).
"""

from __future__ import annotations

from collections.abc import Iterable

from brattice.building.words import CeilingKind, plain
from brattice.calc.access import AccessCheck, check_door_distance, check_door_size, check_hatch_size, reach_rules
from brattice.details.figures import Figure, Used
from brattice.details.given import Given, said, used
from brattice.details.zone import zone_clear
from brattice.findings import Known, Missing, Party, Verdict
from brattice.quantities import mm_text

__all__ = ["access_figures"]


def _asked(given: Given, about: str, words: str) -> Missing:
    name = given.penetration.id
    return Missing(f"penetration/{name}/{about}", f"{words}: {name}", Party.COMMISSIONING)


def _checked(given: Given, key: str, value: float, check: AccessCheck, uses: tuple[Used, ...], ask: Missing) -> Figure:
    missing = (ask,) if check.verdict is Verdict.UNKNOWN else ()
    note = "" if check.verdict is Verdict.PASS else check.text
    return given.figure(
        key,
        value,
        limit=check.limit,
        verdict=check.verdict,
        rows=check.rows,
        uses=uses,
        missing=missing,
        note=note,
    )


def access_figures(given: Given) -> tuple[Figure, ...]:
    """Door, its distance from the blade, side, working zone, ceiling and hatch."""
    return (*_door(given), _side(given), *_zone(given), *_ceiling(given))


def _door(given: Given) -> Iterable[Figure]:
    detail, product = given.penetration.detail, given.product
    rules = given.book.once(("reach-rules",), lambda: reach_rules(given.book))
    least = None if product is None else product.least_door_mm
    pair = None
    if least is not None:
        pair = (float(least.width_mm), float(least.width_mm if least.height_mm is None else least.height_mm))
    ask = _asked(given, "reach", "Whether blade and mechanism can be reached through the door")
    width, height = detail.door_width_mm, detail.door_height_mm
    by_maker = () if least is None else (given.of_maker("least door", least, "mm"),)
    if isinstance(width, Known) and isinstance(height, Known):
        check = check_door_size(width.value, height.value, pair, rules)
        for key, fact in (("door-width", width), ("door-height", height)):
            yield _checked(given, key, fact.value, check, (*used("access door", fact, "mm"), *by_maker), ask)
    else:
        yield given.stated("door-width", width, "door_width_mm")
        yield given.stated("door-height", height, "door_height_mm")
    distance, most = detail.door_distance_mm, None if product is None else product.door_within_mm
    if not isinstance(distance, Known):
        yield given.stated("door-distance", distance, "door_distance_mm")
        return
    check = check_door_distance(distance.value, most, rules)
    by_maker = () if most is None else (given.of_maker("door within", most, "mm"),)
    yield _checked(given, "door-distance", distance.value, check, (*used("distance", distance, "mm"), *by_maker), ask)


def _side(given: Given) -> Figure:
    fact, both = given.penetration.damper.access_side, given.penetration.detail.reach_both_sides
    if not isinstance(fact, Known):
        return given.stated("access-side", fact)
    uses = (*used("access side", fact), *used("both sides to be reached", both))
    tested = None if given.tested is None else given.tested.access_sides
    limit = "" if tested is None else f"as tested: {said(tested)}"
    enough = tested is not None and plain(fact.value) in {plain(side) for side in tested}
    if not isinstance(both, Known) and not enough:
        note = "Whether it has to be reached from the other side as well is not known."
        missing = (given.missing(both, "reach_both_sides"),)
        verdict = Verdict.UNKNOWN
        return given.figure(
            "access-side", text=fact.value, limit=limit, verdict=verdict, uses=uses, missing=missing, note=note
        )
    needs_both = isinstance(both, Known) and both.value
    note = (
        "Mechanism and blade have to be reached from both sides: a door and a clear zone on each." if needs_both else ""
    )
    if not isinstance(both, Known):
        note = "The tested installation says that access from this side is enough; nobody asks for both."
    text = f"{fact.value}, and from the other side" if needs_both else fact.value
    return given.figure("access-side", text=text, limit=limit, uses=uses, note=note)


def _zone(given: Given) -> Iterable[Figure]:
    yield given.stated("zone-width", given.penetration.detail.zone_width_mm, "zone_width_mm")
    yield _depth(given)
    clear = zone_clear(given)
    if clear is not None:
        yield clear


def _depth(given: Given) -> Figure:
    detail, product = given.penetration.detail, given.product
    depth, least = detail.zone_depth_mm, None if product is None else product.zone_depth_mm
    limit = "" if least is None else f"at least {mm_text(least)}, by the maker"
    if not isinstance(depth, Known):
        return given.lacking("zone-depth", (given.missing(depth, "zone_depth_mm"),), limit=limit)
    uses = used("working zone", depth, "mm")
    if least is not None:
        uses = (*uses, given.of_maker("working zone", least, "mm"))
    if least is not None and depth.value < least:
        note = "The working zone is less deep than the maker asks."
        return given.figure("zone-depth", depth.value, limit=limit, verdict=Verdict.FAIL, uses=uses, note=note)
    return given.figure("zone-depth", depth.value, limit=limit, uses=uses)


def _ceiling(given: Given) -> Iterable[Figure]:
    """A lift-out ceiling needs no hatch; under a fixed one without a hatch nothing can be reached."""
    detail = given.penetration.detail
    ceiling = detail.ceiling
    yield given.stated("ceiling", ceiling, "ceiling")
    hatch = (("hatch-width", detail.hatch_width_mm), ("hatch-height", detail.hatch_height_mm))
    if isinstance(ceiling, Known) and ceiling.value is not CeilingKind.FIXED:
        for key, fact in hatch:
            if fact is not None:
                yield given.stated(key, fact)
        return
    if not isinstance(ceiling, Known):
        return
    uses = used("ceiling", ceiling)
    sizes = [fact.value for _, fact in hatch if isinstance(fact, Known)]
    if any(size <= 0 for size in sizes):
        note = "A fixed ceiling without a hatch: the damper can't be reached."
        for key, fact in hatch:
            uses_both = (*uses, *used("ceiling hatch", fact, "mm"))
            yield given.figure(key, 0.0, text="none", verdict=Verdict.FAIL, uses=uses_both, note=note)
        return
    if len(sizes) < 2:
        for key, fact in hatch:
            field_name = key.replace("-", "_") + "_mm"
            limit = "a hatch under a fixed ceiling"
            if isinstance(fact, Known):
                yield given.figure(key, float(fact.value), limit=limit, uses=used("ceiling hatch", fact, "mm"))
            else:
                yield given.lacking(key, (given.missing(fact, field_name),), uses=uses, limit=limit)
        return
    rules = given.book.once(("reach-rules",), lambda: reach_rules(given.book))
    check = check_hatch_size(sizes[0], sizes[1], rules)
    ask = _asked(given, "hatch", "Whether the damper can be reached through the ceiling hatch")
    for key, fact in hatch:
        if isinstance(fact, Known):
            missing = (ask,) if check.verdict is Verdict.UNKNOWN else ()
            note = check.text if check.verdict is Verdict.UNKNOWN else ""
            yield given.figure(
                key,
                float(fact.value),
                verdict=check.verdict,
                rows=check.rows,
                uses=(*uses, *used("ceiling hatch", fact, "mm")),
                missing=missing,
                note=note,
            )
