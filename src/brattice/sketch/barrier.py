# SPDX-License-Identifier: Apache-2.0
"""What a barrier looks like where it is cut: layers across its thickness, each with its hatch and its words."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeVar

from brattice.building.penetration import Penetration
from brattice.building.wall_type import WallType
from brattice.building.words import SupportingConstruction
from brattice.drawing.primitives import Fill
from brattice.findings import Fact, Known
from brattice.quantities import number_text

__all__ = ["BarrierCut", "Layer", "barrier_cut"]

T = TypeVar("T")

_FRAMED_KINDS = frozenset(
    {
        SupportingConstruction.FLEXIBLE_WALL,
        SupportingConstruction.SHAFT_WALL,
        SupportingConstruction.DOUBLE_STUD_WALL,
    }
)
_PLAIN_HATCH = {
    SupportingConstruction.RIGID_WALL: Fill.MASONRY,
    SupportingConstruction.RIGID_FLOOR: Fill.CONCRETE,
    SupportingConstruction.COMPOSITE_DECK: Fill.CONCRETE,
    SupportingConstruction.TIMBER_WALL: Fill.TIMBER,
    SupportingConstruction.TIMBER_FLOOR: Fill.TIMBER,
}
_NO_FILL = frozenset({"none", "no", "empty", "air", "0", "-"})
_DRAWN_MM = 150.0


@dataclass(frozen=True)
class Layer:
    """One layer [mm] from the barrier's centre plane, side A negative."""

    start: float
    end: float
    fill: Fill
    words: str


@dataclass(frozen=True)
class BarrierCut:
    """A barrier as it is cut. `thickness` is None where it is not known: `drawn` is then a stand-in."""

    title: str
    thickness: float | None
    drawn: float
    layers: tuple[Layer, ...]
    is_framed: bool
    notes: tuple[str, ...]


def _value(fact: Fact[T]) -> T | None:
    return fact.value if isinstance(fact, Known) else None


def _boards(wall: WallType, drawn: float) -> tuple[Layer, ...] | None:
    """Boards on both sides and the cavity between them; None where the boards are not known or do not fit."""
    board, layers = _value(wall.board_thickness_mm), _value(wall.board_layers)
    if board is None or layers is None:
        return None
    side_a, side_b = board * layers[0], board * layers[1]
    if side_a + side_b <= 0 or side_a + side_b >= drawn:
        return None
    kind = _value(wall.board_type)
    half = drawn / 2

    def words(count: int) -> str:
        named = f" board, {kind}" if kind else " board, type not stated"
        return f"{count} × {number_text(board)}{named}"

    sheets = []
    for count, outer, inward in ((layers[0], -half, board), (layers[1], half, -board)):
        for number in range(count):
            a, b = outer + number * inward, outer + (number + 1) * inward
            sheets.append(Layer(min(a, b), max(a, b), Fill.BOARD, words(count)))
    return (*sheets, Layer(-half + side_a, half - side_b, _cavity_hatch(wall), _cavity_words(wall)))


def _cavity_hatch(wall: WallType) -> Fill:
    fill = _value(wall.cavity_fill)
    return Fill.WOOL if fill is not None and fill.strip().casefold() not in _NO_FILL else Fill.PAPER


def _cavity_words(wall: WallType) -> str:
    stud, spacing, fill = _value(wall.stud_size_mm), _value(wall.stud_spacing_mm), _value(wall.cavity_fill)
    studs = f"studs {number_text(stud)}" if stud else "studs, size not stated"
    if spacing:
        studs += f" at {number_text(spacing)}"
    if fill is None:
        return f"cavity: {studs}; fill not stated"
    return f"cavity: {studs}; {fill if fill.strip().casefold() not in _NO_FILL else 'no fill'}"


def _plain_words(wall: WallType) -> str:
    material, density = _value(wall.material), _value(wall.density_kg_m3)
    words = material or "material not stated"
    return f"{words}, {number_text(density)} kg/m³" if density else words


def _plain_hatch(kind: SupportingConstruction, material: str | None) -> Fill:
    plain = (material or "").casefold()
    if kind is SupportingConstruction.RIGID_WALL and "concrete" in plain and "block" not in plain:
        return Fill.CONCRETE
    return _PLAIN_HATCH.get(kind, Fill.OTHER)


def barrier_cut(penetration: Penetration) -> BarrierCut:
    """How the barrier of a penetration is cut, from what is stated of its wall type and thickness."""
    facts = penetration.barrier
    wall = facts.wall_type
    code = _value(facts.wall_type_code)
    thickness = _value(facts.thickness_mm)
    if thickness is None and wall is not None:
        thickness = _value(wall.thickness_mm)
    notes = []
    if thickness is None:
        notes.append("The thickness of the barrier is not known: drawn dashed, in no proportion.")
    drawn = _DRAWN_MM if thickness is None else max(thickness, 1.0)
    kind = None if wall is None else _value(wall.kind)
    title = ": ".join(text for text in (code or "wall type not known", str(kind) if kind else "") if text)
    if wall is None or kind is None:
        notes.append("The build-up of the barrier is not known: no layers are drawn.")
        layer = Layer(-drawn / 2, drawn / 2, Fill.NONE, "build-up not known")
        return BarrierCut(title, thickness, drawn, (layer,), False, tuple(notes))
    if kind in _FRAMED_KINDS:
        layers = _boards(wall, drawn) if thickness is not None else None
        if layers is None:
            notes.append("The boards of the barrier are not known, or do not fit its thickness: no layers are drawn.")
            layers = (Layer(-drawn / 2, drawn / 2, Fill.NONE, "boards not known"),)
        return BarrierCut(title, thickness, drawn, layers, True, tuple(notes))
    layer = Layer(-drawn / 2, drawn / 2, _plain_hatch(kind, _value(wall.material)), _plain_words(wall))
    return BarrierCut(title, thickness, drawn, (layer,), False, tuple(notes))
