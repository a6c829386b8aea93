# SPDX-License-Identifier: Apache-2.0
"""The table of figures: every number and word of an installation detail with its name, unit and formula.

One table for code and docs (`docs/details.md`); a figure that is not in it can't be made.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

__all__ = ["FIGURES", "SIDES", "FigureSpec"]

SIDES = ("left", "right", "top", "bottom")


@dataclass(frozen=True, slots=True)
class FigureSpec:
    """One line: key, name for people, unit ("" for words), how many decimals are printed, formula in letters
    ("" where it is a fact itself), the rows that it always rests on, what it says.
    """

    key: str
    name: str
    unit: str = ""
    decimals: int = 1
    formula: str = ""
    rows: tuple[str, ...] = ()
    says: str = ""


_BARRIER = (
    FigureSpec("barrier-thickness", "Thickness of the barrier", "mm"),
    FigureSpec("lining", "Lining on each reveal", "mm", says="As built where it is at least the tested one."),
    FigureSpec("duct-width", "Duct, width", "mm"),
    FigureSpec("duct-height", "Duct, height", "mm"),
    FigureSpec("duct-diameter", "Duct, diameter", "mm"),
    FigureSpec("damper-width", "Damper, width", "mm"),
    FigureSpec("damper-height", "Damper, height", "mm"),
    FigureSpec("damper-diameter", "Damper, diameter", "mm"),
    FigureSpec("casing-length", "Casing along the duct", "mm"),
    FigureSpec("blade-offset", "Closed blade from the middle of the barrier", "mm", rows=("scope.blade",)),
    FigureSpec("mechanism-beyond", "Mechanism beyond the casing", "mm"),
)

_OPENING = (
    FigureSpec(
        "finished-width",
        "Finished clear opening, width",
        "mm",
        formula="W + c_left + c_right + g_left + g_right",
        says="Duct W, casing beyond it c where the gap g was tested from the casing.",
    ),
    FigureSpec(
        "finished-height", "Finished clear opening, height", "mm", formula="H + c_top + c_bottom + g_top + g_bottom"
    ),
    FigureSpec("finished-diameter", "Finished clear opening, diameter", "mm", formula="D + 2·c + 2·g"),
    FigureSpec("framed-width", "Framed opening, width", "mm", formula="finished width + 2·lining"),
    FigureSpec("framed-height", "Framed opening, height", "mm", formula="finished height + 2·lining"),
    FigureSpec("framed-diameter", "Framed opening, diameter", "mm", formula="finished diameter + 2·lining"),
    *(
        FigureSpec(f"gap-{side}", f"Gap {side}", "mm", rows=("scope.gap",), says="Held against the tested window.")
        for side in SIDES
    ),
    FigureSpec("gap-from", "Gap measured from", says="The surface that the test measured from."),
    FigureSpec(
        "opening-tolerance",
        "Room for site tolerances on a side",
        "mm",
        formula="least of (g − tested least) and (tested most − g) over all sides",
        says="For choosing a size, never for accepting a made opening.",
    ),
    FigureSpec(
        "opening-outside-share",
        "Share of such openings expected outside the tested window",
        "%",
        2,
        says="For choosing a size, never for accepting a made opening.",
    ),
    FigureSpec("existing-off", "Opening as scheduled or made", says="How far it is off and what cures it."),
    FigureSpec("centre-height", "Centre above the structural floor", "mm"),
    FigureSpec(
        "sill-height",
        "Sill of the finished clear opening above the structural floor",
        "mm",
        formula="centre − H/2 − c_bottom − g_bottom",
    ),
    FigureSpec(
        "head-height",
        "Head of the finished clear opening above the structural floor",
        "mm",
        formula="centre + H/2 + c_top + g_top",
    ),
    FigureSpec("grid", "Grid"),
    FigureSpec("lintel", "Lintel or trimmer"),
    FigureSpec("opening-by", "Opening formed by"),
    FigureSpec("opening-when", "Opening formed"),
)

_SEAL = (
    FigureSpec("seal-product", "Penetration seal", says="The products of the test, and no other."),
    FigureSpec("seal-depth", "Depth of the seal", "mm"),
    FigureSpec("seal-faces", "Faces sealed", "", 0),
    FigureSpec("seal-layers", "Layers on each face", "", 0),
    FigureSpec("seal-cure", "Curing time of the seal", "h", says="The longest of its products."),
    FigureSpec("fixing", "Fixing", rows=("scope.fixing",)),
    FigureSpec("support", "Support", says="The tested support is the answer."),
    FigureSpec("joint-a", "Joint on side A", rows=("scope.joint",)),
    FigureSpec("joint-b", "Joint on side B", rows=("scope.joint",)),
)

_ORDER = (
    FigureSpec("handing", "Side of the mechanism"),
    FigureSpec("actuator", "Actuator or release"),
    FigureSpec("voltage", "Voltage"),
    FigureSpec("end-switches", "End switches"),
    FigureSpec("finish", "Finish"),
    FigureSpec("accessories", "Accessories"),
    FigureSpec("phase", "Phase"),
    FigureSpec("quantity", "Quantity", "", 0),
    FigureSpec("delivery", "Delivery", "weeks"),
)

_CONTROLS = (
    FigureSpec("actuation", "Closes by"),
    FigureSpec("detector-zone", "Detector zone"),
    FigureSpec("fail-position", "Position when power or signal is lost"),
    FigureSpec("fan-in-fire", "Fan in a fire"),
    FigureSpec("panel-address", "Address on the panel"),
)

FIGURES: Mapping[str, FigureSpec] = {spec.key: spec for spec in (*_BARRIER, *_OPENING, *_SEAL, *_ORDER, *_CONTROLS)}
"""All figures by key, in the order in which people read them."""
