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
    ("" where it is a fact itself), the rows that it always rests on, what it says, and patterns of the rows that it
    rests on where they apply.
    """

    key: str
    name: str
    unit: str = ""
    decimals: int = 1
    formula: str = ""
    rows: tuple[str, ...] = ()
    says: str = ""
    more_rows: tuple[str, ...] = ()


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
    FigureSpec(
        "casing-beyond", "Casing beyond the duct", "mm", says="Left, right, top, bottom; unequal: off the duct's axis."
    ),
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
        "Room left on a side in the worst case of site tolerances",
        "mm",
        formula="least of (g − tested least, tested most − g) − (size tolerances / 2 + place tolerances)",
        says="For choosing a size, never for accepting a made opening. Below zero it can't be built for sure.",
        more_rows=("tolerance.*",),
    ),
    FigureSpec(
        "opening-outside-share",
        "Share of such openings expected outside the tested window",
        "%",
        2,
        says="For choosing a size, never for accepting a made opening.",
        more_rows=("tolerance.*",),
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
    FigureSpec("fixing-kind", "Kind of fixing", says="Another than the tested one is asked after."),
    FigureSpec("fixing-spacing", "Fixings apart at most", "mm", says="Farther apart than tested fails."),
    FigureSpec("fixing-corner", "Outer fixings from the corner at most", "mm"),
    FigureSpec("fixing-rows", "Rows of fixings", "", 0, says="One on each face, flange or frame that is fixed."),
    FigureSpec("fixings-wide", "Fixings on each side along the width", "", 0, "⌈(side − 2·corner) / apart⌉ + 1"),
    FigureSpec("fixings-high", "Fixings on each side along the height", "", 0, "⌈(side − 2·corner) / apart⌉ + 1"),
    FigureSpec("fixings-round", "Fixings in each ring", "", 0, "⌈π·d / apart⌉"),
    FigureSpec(
        "fixings-all",
        "Fixings of the damper",
        "",
        0,
        "2·(wide + high)·rows; round: ring·rows",
        says="Where the document counts them for the size: as it counts.",
    ),
    FigureSpec("support", "Support", says="The tested support is the answer."),
    FigureSpec("joint-a", "Joint on side A", rows=("scope.joint",)),
    FigureSpec("joint-b", "Joint on side B", rows=("scope.joint",)),
)

_SUPPORT = (
    FigureSpec(
        "damper-weight",
        "Weight of the damper",
        "kg",
        says="As stated for it, else the maker's by size; of both the heavier.",
    ),
    FigureSpec("rod-size", "Thread of the drop rods", says="Held against the rods of the test."),
    FigureSpec("rod-count", "Number of drop rods", "", 0, says="Held against the rods of the test."),
    FigureSpec("rod-length", "Length of the drop rods", "mm", rows=("support.length.unprotected",)),
    FigureSpec(
        "rod-stress",
        "Stress in the drop rods",
        "N/mm²",
        3,
        "m·g / (n·A)",
        says="A is the stress area with European limits, the root area with those of the BS 476-24 days. It can fail "
        "a support or leave it to the test, never pass it.",
        more_rows=("support.stress.*", "support.area.*", "support.gravity", "support.thread.*"),
    ),
    FigureSpec(
        "rod-least",
        "Least thread that the stress does not rule out",
        more_rows=("support.stress.*", "support.area.*", "support.gravity"),
    ),
    FigureSpec(
        "rod-elongation",
        "Growth of the drop rods in the fire",
        "mm",
        1,
        "length · Δl/l(θ)",
        more_rows=("expansion.steel.*", "expansion.steel-as-hot-as-gas", "fire-curve.*"),
    ),
    FigureSpec("rods-protected", "Fire protection of the drop rods", more_rows=("support.length.unprotected",)),
    FigureSpec("slab", "Drop rods hang from"),
    FigureSpec("anchor", "Anchor of the drop rods", says="Its evidence has to name the kind of slab."),
)

_EXPANSION = (
    FigureSpec(
        "steel-temperature",
        "Temperature of the steel at the class time",
        "°C",
        1,
        "start + factor·log10(rate·t + 1)",
        ("fire-curve.standard", "expansion.steel-as-hot-as-gas"),
        "Unprotected steel is taken to be as hot as the furnace.",
        more_rows=("fire-curve.*",),
    ),
    FigureSpec(
        "expansion",
        "Growth of the duct between fixed points",
        "mm",
        1,
        "length · Δl/l(θ)",
        more_rows=("expansion.steel.*", "expansion.steel-as-hot-as-gas", "fire-curve.*"),
    ),
    FigureSpec(
        "joint-travel",
        "Travel of the joint",
        "mm",
        says="Less than the growth fails.",
        more_rows=("expansion.steel.*", "expansion.steel-as-hot-as-gas", "fire-curve.*"),
    ),
)

_AIR = (
    FigureSpec("air-flow", "Design air flow", "l/s"),
    FigureSpec("velocity", "Velocity in the duct", "m/s", 2, "q / A"),
    FigureSpec("free-area", "Free area of the open damper", "m²", 4),
    FigureSpec(
        "pressure-loss",
        "Pressure loss of the open damper",
        "Pa",
        1,
        "C·½·ρ·v²",
        ("air.density", "air.loss.half"),
        "By the maker's coefficient alone; where none is stated, a note says about how much to reckon with.",
        more_rows=("air.loss.*", "air.blockage.*", "air.viscosity"),
    ),
    FigureSpec(
        "closing-velocity",
        "Velocity under which it has to close",
        "m/s",
        2,
        "q / A",
        says="A is the smaller of duct and damper.",
    ),
    FigureSpec("closing-pressure", "Pressure under which it has to close", "Pa"),
    FigureSpec(
        "leakage-e",
        "Most leakage for E at this size",
        "m³/h",
        1,
        "q_E · A",
        ("leak.limit.e", "leak.area"),
        more_rows=("leak.limit.*",),
    ),
    FigureSpec(
        "leakage-s",
        "Most leakage for S at this size",
        "m³/h",
        1,
        "q_S · A",
        ("leak.limit.s", "leak.area"),
        more_rows=("leak.limit.*",),
    ),
    FigureSpec(
        "blade-leakage",
        "Leakage of the closed blade by its class",
        "l/s",
        2,
        "q_class·(Δp/Δp₀)^n · A",
        says="A leakage class proves neither E nor S.",
        more_rows=("leak.blade.*", "leak.limit.*"),
    ),
    FigureSpec(
        "casing-leakage",
        "Leakage of the casing by its class",
        "l/s",
        3,
        "f·p^n · perimeter · length",
        more_rows=("leak.casing.*",),
    ),
)

_ACCESS = (
    FigureSpec("door-width", "Access door, width", "mm", more_rows=("access.door.*",)),
    FigureSpec("door-height", "Access door, height", "mm", more_rows=("access.door.*",)),
    FigureSpec("door-distance", "Access door to blade", "mm", more_rows=("access.reach",)),
    FigureSpec("access-side", "Access from"),
    FigureSpec("zone-width", "Clear working zone, width", "mm"),
    FigureSpec("zone-depth", "Clear working zone, depth", "mm"),
    FigureSpec("zone-clear", "In the working zone", says="What the models show there; a model clears no zone."),
    FigureSpec("ceiling", "Ceiling below"),
    FigureSpec(
        "hatch-width", "Ceiling hatch, width", "mm", says="0 says that there is none.", more_rows=("access.hatch.*",)
    ),
    FigureSpec(
        "hatch-height", "Ceiling hatch, length", "mm", says="0 says that there is none.", more_rows=("access.hatch.*",)
    ),
)

_QUANTITIES = (
    FigureSpec(
        "seal-volume",
        "Seal, with waste",
        "l",
        1,
        "(A_opening − A_casing)·depth·(1 + waste)",
        ("quantities.waste.seal",),
    ),
    FigureSpec(
        "seal-parts",
        "Parts of the seal, with waste",
        formula="volume · depth of the product / depth; or volume · share",
        rows=("quantities.waste.seal",),
        says="Of a seal of several products.",
    ),
    FigureSpec(
        "seal-units",
        "Seal as sold",
        "",
        0,
        "⌈volume / unit⌉",
        ("quantities.waste.seal",),
        "Of several products each by itself.",
    ),
    FigureSpec(
        "board-area",
        "Lining board, with waste",
        "m²",
        2,
        "perimeter · thickness · layers · (1 + waste)",
        ("quantities.waste.board",),
    ),
    FigureSpec(
        "angle-length",
        "Angle, with waste",
        "m",
        2,
        "(perimeter + 8·leg)·faces·(1 + waste)",
        ("quantities.waste.angle",),
    ),
    FigureSpec("rod-total", "Threaded rod, with waste", "m", 2, "n·length·(1 + waste)", ("quantities.waste.rod",)),
    FigureSpec(
        "fixings", "Fixings, with waste", "", 0, "⌈number · (1 + waste)⌉", more_rows=("quantities.waste.fixings",)
    ),
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
    FigureSpec("detector", "Detector"),
    FigureSpec("fail-position", "Position when power or signal is lost"),
    FigureSpec("fan-in-fire", "Fan in a fire"),
    FigureSpec("panel-address", "Address on the panel"),
)

FIGURES: Mapping[str, FigureSpec] = {
    spec.key: spec
    for spec in (
        *_BARRIER,
        *_OPENING,
        *_SEAL,
        *_SUPPORT,
        *_EXPANSION,
        *_AIR,
        *_ACCESS,
        *_QUANTITIES,
        *_ORDER,
        *_CONTROLS,
    )
}
"""All figures by key, in the order in which people read them."""
