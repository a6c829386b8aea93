# SPDX-License-Identifier: Apache-2.0
"""What one installation takes, with waste: seal, lining board, angles, rods (fixings: `details.fixings`)."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from brattice.building.words import FixingFamily, plain
from brattice.calc.exact import as_stated
from brattice.calc.quantities import (
    WithWaste,
    angle_length_m,
    board_area_m2,
    rods_length_m,
    seal_volume_l,
    units_needed,
    with_waste,
)
from brattice.details.figures import Figure, Used
from brattice.details.given import Given, used
from brattice.details.openings import OpeningPlan
from brattice.details.support import has_rods
from brattice.evidence.installation import SealPart
from brattice.evidence.product import SealFacts
from brattice.findings import Known, Missing, Party
from brattice.quantities import LITRES_A_CUBIC_METRE, mm_text, number_text

__all__ = ["casing_outline", "quantity_figures", "waste_note"]

_PER_CENT = 100
_WASTE = {
    "seal": "quantities.waste.seal",
    "board": "quantities.waste.board",
    "angle": "quantities.waste.angle",
    "rod": "quantities.waste.rod",
}


def waste_note(share: float, row: str, more: str = "") -> str:
    """How a quantity says its waste, from which row."""
    return f"With {number_text(100 * share)} % waste (row {row}, common practice).{f' {more}' if more else ''}"


def casing_outline(given: Given) -> tuple[float, float | None] | None:
    """The outline that the seal goes round: the casing where the document places it, else the nominal size."""
    size, tested = given.size, given.tested
    if size is None:
        return None
    beyond = (0.0, 0.0, 0.0, 0.0) if tested is None or tested.casing_beyond_mm is None else tested.casing_beyond_mm
    width = size.value.width_mm + beyond[0] + beyond[1]
    return (width, None) if size.value.height_mm is None else (width, size.value.height_mm + beyond[2] + beyond[3])


def quantity_figures(given: Given, plan: OpeningPlan, depth: Figure) -> tuple[Figure, ...]:
    """All quantities that this installation has; `depth` is the figure of the seal's depth."""
    if given.tested is None:
        return ()
    return (
        *_seal(given, plan, depth),
        *_board(given, plan),
        *_angle(given, plan),
        *_rods(given),
    )


def _seal(given: Given, plan: OpeningPlan, depth: Figure) -> Iterable[Figure]:
    casing, uses = casing_outline(given), depth.uses
    opening = None if plan.finished is None else (float(plan.finished.width_mm), plan.finished.height_mm)
    finished = [item for item in plan.figures if item.key.startswith("finished-")]
    missing = {item for figure in (*finished, depth) for item in figure.missing}
    volume = None
    if opening is not None and casing is not None and depth.value is not None:
        try:
            volume = seal_volume_l(opening, casing, depth.value, 1, 1)
        except ValueError:  # the casing fills the opening: said where the openings are
            volume = None
    if volume is None or depth.value is None:
        yield given.lacking("seal-volume", missing, uses=uses)
        if given.tested is not None and len(given.tested.seal.products) > 1:
            yield given.lacking("seal-parts", missing, uses=uses)
        yield given.lacking("seal-units", missing, uses=uses)
        return
    gross = with_waste(volume, "seal", given.book)
    more = "The depth is that of the whole seal along the duct, all faces and layers together."
    opening_text = Used("finished clear opening", plan.words)
    note = waste_note(gross.share, gross.row, more)
    yield given.figure("seal-volume", gross.gross, uses=(opening_text, *uses), note=note)
    yield from _of_products(given, gross, depth.value)


def _unit_litres(facts: SealFacts) -> float | None:
    """What one unit as sold fills [l]."""
    if facts.unit_litres is not None:
        return facts.unit_litres
    if facts.unit_kg is None or not facts.density_kg_m3:
        return None
    return facts.unit_kg / facts.density_kg_m3 * LITRES_A_CUBIC_METRE


def _parts(given: Given, litres: float, depth_mm: float) -> dict[str, float] | Missing:
    """How much of the volume [l] each product fills, or what has to be asked: the parts have to make up the whole."""
    seal = given.tested.seal if given.tested is not None else None
    if seal is None or not seal.parts:
        return given.evidence_lacks("seal.shares", "How much of the seal each of its products fills")
    found: dict[str, float] = {}
    together = sum(as_stated(part.depth_mm) for part in seal.parts if part.depth_mm is not None)
    by_depth = all(part.depth_mm is not None for part in seal.parts)
    if by_depth and together != as_stated(depth_mm):
        words = f"Which product fills how much of a seal {mm_text(depth_mm)} deep, where {mm_text(float(together))}"
        return given.evidence_lacks("seal.shares", f"{words} are told product by product")
    for part in seal.parts:
        if part.depth_mm is not None and together:
            found[part.product] = float(as_stated(litres) * as_stated(part.depth_mm) / together)
        elif part.share_percent is not None:
            found[part.product] = float(as_stated(litres) * as_stated(part.share_percent) / _PER_CENT)
    return found


def _of_products(given: Given, gross: WithWaste, depth_mm: float) -> Iterable[Figure]:
    """What the seal takes of each product: litres of several, and units as sold."""
    products = given.tested.seal.products if given.tested is not None else ()
    note = waste_note(gross.share, gross.row)
    if len(products) == 1:
        yield _units(given, {products[0]: gross.gross}, note)
        return
    parts = _parts(given, gross.gross, depth_mm)
    if isinstance(parts, Missing):
        yield given.lacking("seal-parts", (parts,))
        yield given.lacking("seal-units", (parts,))
        return
    text = "; ".join(f"{name}: {number_text(value)} l" for name, value in parts.items())
    stated = given.tested.seal.parts if given.tested is not None else ()
    uses = tuple(given.of_test(f"part of {part.product}", _part_words(part)) for part in stated)
    yield given.figure("seal-parts", text=text, uses=uses, note=note)
    yield _units(given, parts, note)


def _part_words(part: SealPart) -> str:
    if part.depth_mm is not None:
        return mm_text(part.depth_mm)
    return f"{number_text(part.share_percent or 0.0)} %"


def _units(given: Given, parts: Mapping[str, float], note: str) -> Figure:
    """How many units as sold, product by product; to be settled as soon as nobody says what a unit of one fills."""
    texts, uses, missing, count = [], [], [], 0
    for name, litres in parts.items():
        facts = given.seals.get(plain(name))
        holds = None if facts is None else _unit_litres(facts)
        if facts is None or not holds:
            missing.append(Missing(f"seal/{name}/unit", f"How much a unit of {name} fills as sold", Party.FIRESTOPPER))
            continue
        count = units_needed(litres, holds)
        words = facts.unit_words or "unit"
        uses.append(Used(f"{name} as sold", f"{words}, {number_text(holds, 2)} l", facts.origin))
        texts.append(f"{count} × {words}" if len(parts) == 1 else f"{name}: {count} × {words}")
    if missing:
        return given.lacking("seal-units", missing, uses=tuple(uses))
    value = float(count) if len(parts) == 1 else None
    return given.figure("seal-units", value, text="; ".join(texts), uses=tuple(uses), note=note)


def _board(given: Given, plan: OpeningPlan) -> Iterable[Figure]:
    """The lining board; () where the opening is unlined."""
    thickness, wall = given.penetration.barrier.thickness_mm, given.penetration.barrier.wall_type
    if plan.lining_mm is not None and not plan.lining_mm:
        return
    if plan.lining_mm is None or plan.framed is None or not isinstance(thickness, Known):
        waiting = [item for item in plan.figures if item.key == "lining" or item.key.startswith("framed-")]
        missing = {item for figure in waiting for item in figure.missing}
        if not isinstance(thickness, Known):
            missing.add(thickness.missing)
        yield given.lacking("board-area", missing)
        return
    layers, uses, more = 1, used("barrier thickness", thickness, "mm"), f"One layer of {mm_text(plan.lining_mm)}."
    board = None if wall is None else wall.board_thickness_mm
    if isinstance(board, Known) and board.value > 0 and plan.lining_mm % board.value == 0:
        layers = int(plan.lining_mm // board.value)
        uses += used("board", board, "mm")
        more = f"{layers} × board of {mm_text(board.value)}."
    framed = (float(plan.framed.width_mm), plan.framed.height_mm)
    gross = with_waste(board_area_m2(framed, thickness.value, layers), "board", given.book)
    yield given.figure("board-area", gross.gross, uses=uses, note=waste_note(gross.share, gross.row, more))


def _angle(given: Given, plan: OpeningPlan) -> Iterable[Figure]:
    """Angles round the sleeve on both faces; their leg spans the widest gap at least."""
    tested = given.tested
    if tested is None or tested.fixing is not FixingFamily.SLEEVE_AND_ANGLES:
        return
    casing = casing_outline(given)
    if casing is None or plan.gaps is None:
        missing = {item for figure in plan.figures for item in figure.missing}
        yield given.lacking("angle-length", missing)
        return
    leg = max(plan.gaps)
    gross = with_waste(angle_length_m(casing, leg, 2), "angle", given.book)
    more = f"Both faces; the corners for a leg of {mm_text(leg)}, as wide as the widest gap: the tested angle decides."
    uses = (Used("casing", " × ".join(number_text(side) for side in casing if side is not None) + " mm"),)
    yield given.figure("angle-length", gross.gross, uses=uses, note=waste_note(gross.share, gross.row, more))


def _rods(given: Given) -> Iterable[Figure]:
    if not has_rods(given):
        return
    count, length = given.penetration.detail.rod_count, given.penetration.detail.rod_length_mm
    if not isinstance(count, Known) or not isinstance(length, Known):
        missing = []
        if not isinstance(count, Known):
            missing.append(given.missing(count, "rod_count"))
        if not isinstance(length, Known):
            missing.append(given.missing(length, "rod_length_mm"))
        yield given.lacking("rod-total", missing)
        return
    gross = with_waste(rods_length_m(count.value, length.value), "rod", given.book)
    uses = (*used("number of rods", count), *used("length of the rods", length, "mm"))
    yield given.figure("rod-total", gross.gross, uses=uses, note=waste_note(gross.share, gross.row))
