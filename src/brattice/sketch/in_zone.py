# SPDX-License-Identifier: Apache-2.0
"""What the models show in the clear working zone, drawn into the view of the access with its distance in words.

Drawn only where the place of the zone is certain: a thing in the wrong place would be worse than none.
"""

from __future__ import annotations

from brattice.details.detail import InstallationDetail
from brattice.drawing.primitives import Fill, Layer, Pen
from brattice.sketch.shape import Shape
from brattice.sketch.viewing import Canvas, ink_of

__all__ = ["draw_in_zone"]

_DRAWN = 4
_NAMED = 2


def draw_in_zone(canvas: Canvas, detail: InstallationDetail, shape: Shape, edge: float, out: int) -> None:
    """Draw the boxes round what stands in the zone; further ones than four are in the numbers alone.

    `edge` [mm] is the edge of the duct that door and mechanism are on; `out` is 1 where the zone lies towards larger
    values, -1 where towards smaller ones.
    """
    door = shape.door
    if door is None or door.zone is None or not (door.is_known and door.zone_known) or shape.side is None:
        return
    for number, thing in enumerate(detail.in_zone[:_DRAWN]):
        ends = sorted((edge + out * thing.out[0], edge + out * thing.out[1]))
        canvas.area(Layer.ACCESS, thing.along, (ends[0], ends[1]), Fill.OTHER, Pen.EDGE)
        if number < _NAMED:
            canvas.call(
                sum(thing.along) / 2,
                sum(ends) / 2,
                f"in the models: {thing.text}",
                ("zone-clear",),
                rank=1,
                ink=ink_of(detail, "zone-clear"),
            )
