# SPDX-License-Identifier: Apache-2.0
"""Installation details for tests: five of them, and any change to one. All names and values are invented.

detail_of()                                    600 × 400 in a lined flexible wall, everything known, to build
detail_of("round in block wall")               Ø 315 in blockwork
detail_of("floor")                             800 × 500 in a concrete floor, hung on nothing, one-sided ceiling
detail_of("missing facts")                     the first one without its support, air and order facts
detail_of("not drawn")                         nothing chosen, an opening smaller than the damper
detail_of("floor", id="P-0042")                another permanent id
detail_of(figures={"rod-count": None, "grid": figure("grid", "Grid", None, "", "C/4")})   figures out and in
detail_of(standing=Standing.TO_BE_SETTLED)     any field of `InstallationDetail`
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from brattice.building.penetration import Penetration, Size
from brattice.building.words import (
    FixingFamily,
    MountingPosition,
    OpeningShape,
    Orientation,
    SupportingConstruction,
)
from brattice.details import Figure, HoldPoint, InstallationDetail, Neighbour, Standing, Step, Used
from brattice.details.figures import TO_BE_SETTLED
from brattice.evidence.installation import ConstructionTested, TestedInstallation, Window
from brattice.evidence.product import Actuator, LossTable, ProductFacts
from brattice.findings import Missing, Party, Verdict
from brattice.quantities import KgPerM3, Mm
from tests.helpers.installations import gaps, installation
from tests.helpers.penetrations import ORIGIN, penetration

__all__ = ["KINDS", "detail_of", "figure", "product_facts"]

KINDS = ("flexible wall", "round in block wall", "floor", "missing facts", "not drawn")

_APPLIES = {"pass": Verdict.PASS, "fail": Verdict.FAIL, "unknown": Verdict.UNKNOWN, "": Verdict.NOT_APPLICABLE}


def figure(
    key: str,
    name: str,
    value: float | None,
    unit: str,
    text: str = "",
    *,
    formula: str = "",
    limit: str = "",
    verdict: str = "",
    rows: tuple[str, ...] = (),
    note: str = "",
    ask: Party | None = None,
) -> Figure:
    """A figure; its text is made from value and unit unless given. With `ask` it is missing and to be settled."""
    if ask is not None:
        missing = (Missing(f"penetration/P-0001/{key}", f"{name}: P-0001", ask),)
        return Figure(key, name, None, unit, TO_BE_SETTLED, formula, limit, Verdict.UNKNOWN, rows, (), missing, note)
    said = text or (f"{value:g} {unit}".strip() if value is not None else TO_BE_SETTLED)
    used = (Used(name, said, ORIGIN),)
    return Figure(key, name, value, unit, said, formula, limit, _APPLIES[verdict], rows, used, (), note)


def product_facts(**changes: Any) -> ProductFacts:
    """What the invented maker states of HV-10 beside its tests."""
    thing = ProductFacts(
        maker="Harrow & Vale",
        product="HV-10",
        origin=ORIGIN,
        document="HV-10 product sheet, revision 3",
        actuators=(Actuator("T72", "thermal link 72 °C with spring", (), False, None),),
        accessories=("end switches",),
        weight=LossTable("affine in area", "HV-10 product sheet, table 4", a=12.0, b=60.0),
        casing_length_mm=Mm(300),
        blade_from_end_mm=Mm(150),
        mechanism_beyond_mm=Mm(90),
        rods_tested="2 × M10, unprotected up to 1.5 m",
        least_door_mm=Size(Mm(300), Mm(300)),
        door_within_mm=Mm(500),
        zone_depth_mm=Mm(600),
        delivery_weeks=6,
    )
    return replace(thing, **changes)


def _wall() -> tuple[Penetration, TestedInstallation]:
    wall: dict[str, Any] = {
        "barrier__wall_type__code": "W2",
        "barrier__wall_type__kind": SupportingConstruction.FLEXIBLE_WALL,
        "barrier__wall_type__thickness_mm": Mm(125),
        "barrier__wall_type__material": "plasterboard on steel studs",
        "barrier__wall_type__board_type": "type F",
        "barrier__wall_type__board_thickness_mm": Mm(12.5),
        "barrier__wall_type__board_layers": (2, 2),
        "barrier__wall_type__stud_size_mm": Mm(75),
        "barrier__wall_type__stud_spacing_mm": Mm(600),
        "barrier__wall_type__cavity_fill": "stone wool 50 mm",
        "barrier__wall_type__opening_framing": "studs and track round the opening",
        "barrier__wall_type__lining_mm": Mm(12.5),
    }
    place = penetration(
        **wall,
        barrier__wall_type_code="W2",
        barrier__thickness_mm=Mm(125),
        opening__framed=Size(Mm(715), Mm(515)),
        opening__finished=Size(Mm(690), Mm(490)),
        installation__fixing=FixingFamily.LINED_OPENING,
        installation__seal_products=("Cinderlock A2 sealant", "stone wool 50 mm"),
        installation__seal_depth_mm=Mm(100),
    )
    tested = installation(
        id="HV-10-FW-1",
        construction=ConstructionTested(
            SupportingConstruction.FLEXIBLE_WALL,
            Mm(100),
            board_type="type F",
            board_thickness_mm=Mm(12.5),
            board_layers=(2, 2),
            lining_mm=Mm(12.5),
            opening_framing="studs and track round the opening",
        ),
        fixing=FixingFamily.LINED_OPENING,
        seal__products=("Cinderlock A2 sealant", "stone wool 50 mm"),
        seal__gaps=gaps(40, 50),
    )
    return place, tested


def _round() -> tuple[Penetration, TestedInstallation]:
    place = penetration(
        duct__size=Size(Mm(315)),
        damper__size=Size(Mm(315)),
        opening__shape=OpeningShape.ROUND,
        opening__framed=Size(Mm(415)),
        opening__finished=Size(Mm(415)),
    )
    tested = installation(
        id="HV-10-RW-2", opening_shape=OpeningShape.ROUND, sizes=replace(installation().sizes, height=None)
    )
    return place, replace(tested, sizes=replace(tested.sizes, shape=OpeningShape.ROUND, width=Window(100, 800)))


def _floor() -> tuple[Penetration, TestedInstallation]:
    place = penetration(
        barrier__orientation=Orientation.FLOOR,
        barrier__wall_type_code="F1",
        barrier__wall_type__code="F1",
        barrier__wall_type__kind=SupportingConstruction.RIGID_FLOOR,
        barrier__wall_type__thickness_mm=Mm(200),
        barrier__wall_type__density_kg_m3=KgPerM3(2400),
        barrier__wall_type__material="reinforced concrete",
        barrier__thickness_mm=Mm(200),
        duct__size=Size(Mm(800), Mm(500)),
        damper__size=Size(Mm(800), Mm(500)),
        opening__framed=Size(Mm(900), Mm(600)),
        opening__finished=Size(Mm(900), Mm(600)),
        installation__position=MountingPosition.IN_BARRIER,
    )
    tested = installation(
        id="HV-10-RF-1",
        orientation=Orientation.FLOOR,
        construction=ConstructionTested(SupportingConstruction.RIGID_FLOOR, Mm(150), KgPerM3(2000)),
    )
    return place, tested


def _size_figures(size: Size, thickness: float, gap: float, lining: float) -> list[Figure]:
    round_ = size.height_mm is None
    beyond = 10
    sizes: list[Figure] = [figure("barrier-thickness", "Barrier thickness", thickness, "mm")]
    if lining:
        sizes.append(figure("lining", "Lining on each reveal", lining, "mm"))
    names = (("diameter", size.width_mm),) if round_ else (("width", size.width_mm), ("height", size.height_mm or 0))
    for what, side in names:
        finished = side + 2 * gap
        sizes += [
            figure(f"duct-{what}", f"Duct {what}", side, "mm"),
            figure(f"damper-{what}", f"Damper {what}", side, "mm"),
            figure(f"finished-{what}", f"Finished clear opening, {what}", finished, "mm", formula="B + gap + gap"),
            figure(f"framed-{what}", f"Framed opening, {what}", finished + 2 * lining, "mm", formula="F + 2 · t"),
        ]
    for side_name in ("left", "right", "top", "bottom"):
        sizes.append(
            figure(
                f"gap-{side_name}",
                f"Gap {side_name}",
                gap,
                "mm",
                limit=f"{gap - 5:g} to {gap + 5:g} mm",
                verdict="pass",
                rows=("scope.gap",),
            )
        )
    return [
        *sizes,
        figure("gap-from", "Gap measured from", None, "", "duct"),
        figure("casing-length", "Casing length", 300, "mm"),
        figure("blade-offset", "Blade off the middle of the barrier", 0, "mm", limit="at most 0 mm", verdict="pass"),
        figure("mechanism-beyond", "Mechanism beyond the casing", 90, "mm"),
        figure("casing-beyond", "Casing beyond the duct", beyond, "mm"),
    ]


def _common(size: Size) -> list[Figure]:
    tall = size.height_mm or size.width_mm
    return [
        figure("centre-height", "Centre above the structural floor", 2900, "mm"),
        figure("sill-height", "Sill of the finished clear opening", 2900 - tall / 2 - 45, "mm"),
        figure("head-height", "Head of the finished clear opening", 2900 + tall / 2 + 45, "mm"),
        figure("grid", "Grid", None, "", "B/3"),
        figure("lintel", "Lintel or trimmer", None, "", "head track, doubled"),
        figure("opening-by", "Opening formed by", None, "", "dry-liner"),
        figure("opening-when", "Opening formed", None, "", "week 14"),
        figure("opening-tolerance", "Room for site tolerances, a side", 5, "mm", rows=("tolerance.opening",)),
        figure("existing-off", "Scheduled opening", None, "", "as to be formed"),
        figure("seal-product", "Seal", None, "", "Cinderlock A2 sealant over stone wool 50 mm"),
        figure("seal-depth", "Seal depth", 100, "mm", limit="at least 100 mm", verdict="pass"),
        figure("seal-faces", "Faces sealed", 2, "", "both faces"),
        figure("seal-layers", "Layers on each face", 1, "", "1"),
        figure("seal-cure", "Curing", 24, "h"),
        figure("fixing", "Fixing", None, "", "screwed to lined opening"),
        figure("support", "Support", None, "", "barrier", verdict="pass"),
        figure("joint-a", "Joint on side A", None, "", "breakaway fixings", verdict="pass"),
        figure("joint-b", "Joint on side B", None, "", "breakaway fixings", verdict="pass"),
        figure("damper-weight", "Damper weight", 26.4, "kg", formula="a + b · A"),
        figure("rod-size", "Drop rods", None, "", "M10"),
        figure("rod-count", "Drop rods", 2, "", "2"),
        figure("rod-length", "Length of the drop rods", 900, "mm", limit="at most 1500 mm unprotected", verdict="pass"),
        figure(
            "rod-stress",
            "Stress in the drop rods",
            2.23,
            "N/mm²",
            formula="m · g / (n · A_s)",
            limit="at most 9 N/mm² at 60 min",
            note="The calculation alone is no pass: the tested support is the answer.",
        ),
        figure("slab", "Hung from", None, "", "solid concrete"),
        figure("steel-temperature", "Steel temperature assumed at 60 min", 945, "°C"),
        figure("expansion", "Expansion between fixed points", 38.1, "mm"),
        figure("joint-travel", "Travel of the joint", 50, "mm", limit="at least 38.1 mm", verdict="pass"),
        figure("air-flow", "Air flow", 900, "l/s"),
        figure("velocity", "Velocity in the duct", 3.75, "m/s"),
        figure("pressure-loss", "Pressure loss", 4.2, "Pa"),
        figure("leakage-e", "Leakage limit of E", 86.4, "m³/h"),
        figure("leakage-s", "Leakage limit of S", 48, "m³/h"),
        figure("door-width", "Access door, width", 300, "mm", limit="at least 300 mm", verdict="pass"),
        figure("door-height", "Access door, height", 300, "mm", limit="at least 300 mm", verdict="pass"),
        figure("door-distance", "Door to blade", 350, "mm", limit="at most 500 mm", verdict="pass"),
        figure("access-side", "Access from", None, "", "corridor side"),
        figure("zone-width", "Working zone, width", 700, "mm"),
        figure("zone-depth", "Working zone, depth", 700, "mm", limit="at least 600 mm", verdict="pass"),
        figure("ceiling", "Ceiling below", None, "", "lift-out tiles"),
        figure("seal-volume", "Seal, with waste", 11.9, "l"),
        figure("seal-units", "Seal as sold", 40, "", "40 cartridges of 310 ml"),
        figure("board-area", "Lining board, with waste", 0.33, "m²"),
        figure("angle-length", "Angle, with waste", 4.4, "m"),
        figure("rod-total", "Threaded rod, with waste", 2, "m"),
        figure("fixings", "Fixings, with waste", 18, "", "18"),
        figure("handing", "Mechanism", None, "", "right"),
        figure("actuator", "Actuator", None, "", "T72: thermal link 72 °C with spring"),
        figure("voltage", "Voltage", None, "", "none"),
        figure("end-switches", "End switches", None, "", "no"),
        figure("finish", "Finish", None, "", "galvanised"),
        figure("accessories", "Accessories", None, "", "none"),
        figure("phase", "Phase", None, "", "2"),
        figure("quantity", "Quantity", 1, "", "1"),
        figure("delivery", "Delivery", 6, "weeks"),
        figure("detector-zone", "Detector zone", None, "", "L1-03"),
        figure("detector", "Detector", None, "", "SD-14"),
        figure("fail-position", "Position when power or signal is lost", None, "", "closed"),
        figure("fan-in-fire", "Fan in fire", None, "", "stops"),
        figure("panel-address", "Panel address", None, "", "L1/023"),
        figure("actuation", "Closes by", None, "", "thermal"),
    ]


def _steps(opening: str) -> tuple[Step, ...]:
    lines: tuple[tuple[Party, str, HoldPoint | None], ...] = (
        (Party.DRY_LINER, f"Form the opening {opening}.", HoldPoint.OPENING),
        (Party.DUCTWORK_CONTRACTOR, "Set the damper, blade in the middle of the wall; fix it.", HoldPoint.FIXING),
        (Party.FIRESTOPPER, "Seal 100 mm deep from both faces; leave to cure for 24 h.", HoldPoint.SEAL),
        (Party.DUCTWORK_CONTRACTOR, "Join the duct with breakaway fixings on both sides.", None),
        (Party.DUCTWORK_CONTRACTOR, "Fit the access door 300 × 300 mm, 350 mm from the blade.", HoldPoint.ACCESS),
        (Party.PRINCIPAL_CONTRACTOR, "Look at the access again once all services are in.", HoldPoint.ACCESS_AGAIN),
    )
    return tuple(
        Step(number, trade, text, hold, "HV-10 instructions, revision 3" if hold is None else "common practice")
        for number, (trade, text, hold) in enumerate(lines, start=1)
    )


_NEIGHBOURS = (
    Neighbour(
        "P-0002", "damper", "right", figure("clear", "P-0002", 340, "mm", limit="at least 200 mm", verdict="pass")
    ),
    Neighbour("floor", "floor", "above", figure("clear", "Soffit", 180, "mm", limit="at least 75 mm", verdict="pass")),
)

_HELD_BACK = (
    ("rod-count", Party.DUCTWORK_CONTRACTOR),
    ("rod-length", Party.DUCTWORK_CONTRACTOR),
    ("rod-stress", Party.DUCTWORK_CONTRACTOR),
    ("damper-weight", Party.DAMPER_SUPPLIER),
    ("air-flow", Party.SERVICES_DESIGNER),
    ("velocity", Party.SERVICES_DESIGNER),
    ("pressure-loss", Party.SERVICES_DESIGNER),
    ("seal-cure", Party.FIRESTOPPER),
    ("handing", Party.SERVICES_DESIGNER),
    ("grid", Party.ARCHITECT),
    ("sill-height", Party.SERVICES_DESIGNER),
    ("centre-height", Party.SERVICES_DESIGNER),
    ("head-height", Party.SERVICES_DESIGNER),
)


def _built(place: Penetration, tested: TestedInstallation, gap: float, lining: float) -> InstallationDetail:
    size, thickness = place.damper.size, place.barrier.thickness_mm
    opening = "as drawn"
    figures: list[Figure] = []
    if hasattr(size, "value") and hasattr(thickness, "value"):
        figures = _size_figures(size.value, thickness.value, gap, lining) + _common(size.value)
        finished = [item.value for item in figures if item.key.startswith("finished-")]
        opening = " × ".join(f"{value:g}" for value in finished) + " mm finished clear"
    return InstallationDetail(
        penetration=place,
        standing=Standing.TO_BUILD,
        why="Within the tested scope, every number settled.",
        tested=tested,
        product=product_facts(),
        figures=tuple(figures),
        steps=_steps(opening),
        neighbours=_NEIGHBOURS,
        class_asked="EI 60 (ve i↔o) S",
        class_held="EI 60 (ve i↔o) S",
        actuation_asked="thermal",
    )


def _made(kind: str) -> InstallationDetail:
    if kind == "flexible wall":
        return _built(*_wall(), 45, 12.5)
    if kind == "round in block wall":
        return _built(*_round(), 50, 0)
    if kind == "floor":
        return _built(*_floor(), 50, 0)
    if kind == "missing facts":
        whole = _made("flexible wall")
        gone = {
            key: figure(key, have.name, None, have.unit, limit=have.limit, ask=ask)
            for key, ask in _HELD_BACK
            if (have := whole.figure(key)) is not None
        }
        figures = tuple(gone.get(item.key, item) for item in whole.figures)
        to_settle = tuple(sorted({missing for item in gone.values() for missing in item.missing}))
        return replace(
            whole,
            standing=Standing.TO_BE_SETTLED,
            why="Facts are missing.",
            figures=figures,
            to_settle=to_settle,
        )
    if kind == "not drawn":
        whole = _made("flexible wall")
        return replace(
            whole,
            standing=Standing.NOT_DRAWN,
            why="The geometry can't be.",
            figures=(),
            steps=(),
            neighbours=(),
            problems=("The finished clear opening of 590 × 390 mm is smaller than the damper of 600 × 400 mm.",),
        )
    raise ValueError(f"no detail {kind!r}; there are {', '.join(KINDS)}")


def detail_of(
    kind: str = "flexible wall",
    *,
    figures: Mapping[str, Figure | None] | None = None,
    **changes: Any,
) -> InstallationDetail:
    """One of `KINDS` with changes: figures by key (None takes one out), `id`, any field of `InstallationDetail`."""
    thing = _made(kind)
    if "id" in changes:
        changes.setdefault("penetration", replace(thing.penetration, id=changes.pop("id")))
    thing = replace(thing, **changes)
    if figures is None:
        return thing
    kept = [item for item in thing.figures if item.key not in figures]
    return replace(thing, figures=(*kept, *(item for item in figures.values() if item is not None)))
