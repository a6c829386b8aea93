# SPDX-License-Identifier: Apache-2.0
"""The columns of the damper schedule: the one list behind template, reading and docs."""

from __future__ import annotations

from enum import StrEnum

from brattice.adapters.workbook.table import FieldKind, TableColumn, TableSpec
from brattice.building.ratings import RATING_FORMS
from brattice.building.words import (
    Actuation,
    BarrierRole,
    CeilingKind,
    FailPosition,
    FanInFire,
    FixingFamily,
    Handing,
    Joint,
    MountingPosition,
    OpeningShape,
    Orientation,
    ProtectionMethod,
    SeparationFill,
    SlabKind,
    SpaceUse,
    SupportKind,
    Surface,
    SystemUse,
)

__all__ = ["ALIAS_KINDS", "SCHEDULE", "SCHEDULE_INSTRUCTIONS"]

ALIAS_KINDS = {
    "designers_reference": "designer's reference",
    "contractors_reference": "contractor's reference",
    "asset_tag": "asset tag",
    "firestoppers_label": "firestopper's label",
    "alarm_address": "alarm address",
}
"""The alias columns and the kind of alias that each holds."""

_MOST_MM = 20_000
_MOST_M = 10_000_000
_OWN_SURFACES = tuple(surface for surface in Surface if surface is not Surface.FACE)


def _words(kind: type[StrEnum]) -> tuple[str, ...]:
    return tuple(item.value for item in kind)


def _text(key: str, heading: str, note: str, width: float = 18.0) -> TableColumn:
    return TableColumn(key, heading, FieldKind.TEXT, note, width=width)


def _size(key: str, heading: str, note: str) -> TableColumn:
    return TableColumn(key, f"{heading} [mm]", FieldKind.NUMBER, note, least=0, most=_MOST_MM, above=True)


def _gap(key: str, heading: str, note: str) -> TableColumn:
    return TableColumn(key, f"{heading} [mm]", FieldKind.NUMBER, note, least=0, most=_MOST_MM)


def _number(key: str, heading: str, note: str, most: float) -> TableColumn:
    return TableColumn(key, heading, FieldKind.NUMBER, note, least=0, most=most, above=True)


def _whole(key: str, heading: str, note: str, least: int, most: int) -> TableColumn:
    return TableColumn(key, heading, FieldKind.WHOLE, note, least=least, most=most)


def _word(key: str, heading: str, note: str, words: tuple[str, ...]) -> TableColumn:
    return TableColumn(key, heading, FieldKind.WORD, note, words=words, width=20.0)


def _list(key: str, heading: str, note: str, words: tuple[str, ...]) -> TableColumn:
    return TableColumn(key, heading, FieldKind.WORDS, note, words=words, width=22.0)


def _names(key: str, heading: str, note: str, width: float = 26.0) -> TableColumn:
    return TableColumn(key, heading, FieldKind.NAMES, note, width=width)


def _yes_no(key: str, heading: str, note: str) -> TableColumn:
    return TableColumn(key, heading, FieldKind.YES_NO, note, width=12.0)


def _metres(key: str, axis: str) -> TableColumn:
    note = f"{axis} of the centre in the models' world coordinates; all three or none."
    return TableColumn(key, f"{axis} [m]", FieldKind.NUMBER, note, least=-_MOST_M, most=_MOST_M)


_SURFACES = tuple(surface.value for surface in _OWN_SURFACES)

_GROUPS: tuple[tuple[str, tuple[TableColumn, ...]], ...] = (
    (
        "What it is",
        (
            TableColumn(
                "reference",
                "Reference",
                FieldKind.TEXT,
                "The schedule's own name of this penetration, once in all schedules of the job.",
                needed=True,
                filled=True,
                width=16.0,
            ),
            _text("permanent_id", "Permanent id", "The id that the ledger gave (like P-0012), when there is one."),
            _text("designers_reference", "Designer's reference", "How the services designer names it."),
            _text("contractors_reference", "Contractor's reference", "How the ductwork contractor names it."),
            _text("asset_tag", "Asset tag", "The tag it is to have in the asset register."),
            _text("firestoppers_label", "Firestopper's label", "The number on the firestopper's label."),
            _text("alarm_address", "Alarm address", "Its address on the fire alarm panel."),
            _text(
                "key",
                "Key",
                "The key that `brattice penetrations` lists for it; schedule:REFERENCE where no model shows it.",
            ),
            _names("duct_guids", "Duct GlobalIds", "GlobalIds of the duct elements in the model."),
            _names("damper_guids", "Damper GlobalIds", "GlobalIds of the damper elements in the model."),
            _names("barrier_guids", "Barrier GlobalIds", "GlobalIds of the wall or floor elements in the model."),
        ),
    ),
    (
        "Place",
        (
            _text("storey", "Storey", "The storey, named as in the model."),
            _text("words", "Place in words", "Grid, room or zone.", 24.0),
            _metres("x_m", "x"),
            _metres("y_m", "y"),
            _metres("z_m", "z"),
        ),
    ),
    (
        "Barrier",
        (
            _word("orientation", "Orientation", "Whether a wall or a floor is passed.", _words(Orientation)),
            _word("role", "Barrier role", "What the fire strategy makes of the barrier.", _words(BarrierRole)),
            _text("wall_type_code", "Wall type", "The code of the wall type or floor type in the wall-type sheet."),
            _size("thickness_mm", "Barrier thickness", "Perpendicular to the barrier, all layers that it consists of."),
            _text(
                "rating",
                "Barrier rating",
                f"Fire resistance of the barrier: {RATING_FORMS}. Minutes alone claim integrity and no insulation.",
            ),
            _list("space_a", "Space use side A", "Use of the space on one side.", _words(SpaceUse)),
            _list("space_b", "Space use side B", "Use of the space on the other side.", _words(SpaceUse)),
        ),
    ),
    (
        "Duct",
        (
            _word("system", "System", "What the duct system does.", _words(SystemUse)),
            _size("duct_width_mm", "Duct width", "Casing without insulation, horizontal in the plane of the wall."),
            _size("duct_height_mm", "Duct height", "Casing without insulation; empty for a round duct."),
            _size("duct_diameter_mm", "Duct diameter", "Of a round duct, in place of width and height."),
            TableColumn(
                "angle_deg",
                "Duct angle [deg]",
                FieldKind.NUMBER,
                "Between the axis of the duct and the normal of the barrier; 0 passes it squarely.",
                least=0,
                most=90,
            ),
            _yes_no("insulation_through", "Insulation runs through", "Whether duct insulation runs through the hole."),
        ),
    ),
    (
        "Damper",
        (
            _yes_no("damper_present", "Damper", "Whether a damper is to be here. Empty beside a product: yes."),
            _text("maker", "Damper maker", "Who makes the damper."),
            _text("product", "Damper product", "The family as its maker names it."),
            _size("damper_width_mm", "Damper width", "Nominal width as ordered; never turned."),
            _size("damper_height_mm", "Damper height", "Nominal height as ordered; empty for a round damper."),
            _size("damper_diameter_mm", "Damper diameter", "Of a round damper, in place of width and height."),
            _text("class_text", "Damper class", "The class that is claimed for it, as written by its maker.", 26.0),
            _list("actuation", "Actuation", "What makes it close.", _words(Actuation)),
            TableColumn(
                "mechanism_deg",
                "Mechanism rotation [deg]",
                FieldKind.NUMBER,
                "Rotation of the mechanism side about the duct axis, as the maker counts it.",
                least=0,
                most=359,
            ),
            _text("access_side", "Access side", "The side from which mechanism and blade are reached, as text."),
            TableColumn(
                "blade_offset_mm",
                "Blade offset [mm]",
                FieldKind.NUMBER,
                "Distance of the closed blade from the barrier's centre plane; the sign is the maker's.",
                least=-2_000,
                most=2_000,
            ),
        ),
    ),
    (
        "Opening",
        (
            _word("opening_shape", "Shape of the hole", "The shape of the hole in the barrier.", _words(OpeningShape)),
            _size("framed_width_mm", "Framed opening width", "Structural, before any lining."),
            _size("framed_height_mm", "Framed opening height", "Structural, before any lining."),
            _size("framed_diameter_mm", "Framed opening diameter", "Of a round hole, in place of width and height."),
            _size("finished_width_mm", "Finished clear opening width", "Clear, after lining."),
            _size("finished_height_mm", "Finished clear opening height", "Clear, after lining."),
            _size("finished_diameter_mm", "Finished clear opening diameter", "Of a round hole, after lining."),
            _gap(
                "gap_left_mm",
                "Gap left",
                "Clear gap to the edge of the finished clear opening; all four or none. In a wall left and right are "
                "seen from the side that the duct comes from (those of a model by one who looks towards larger model "
                "x, else y); in a floor all are seen from above, left to right along model x.",
            ),
            _gap("gap_right_mm", "Gap right", "As for the left."),
            _gap("gap_top_mm", "Gap top", "As for the left."),
            _gap("gap_bottom_mm", "Gap bottom", "As for the left."),
            _word("gaps_from", "Gaps measured from", "The surface from which the gaps are measured.", _SURFACES),
            _yes_no("formed", "Hole formed", "Whether the hole exists on site."),
            _names("shared_with", "Hole shared with", "References of other penetrations in the same hole."),
        ),
    ),
    (
        "Installation",
        (
            _word("position", "Position", "Where the damper sits to the barrier.", _words(MountingPosition)),
            _word("fixing", "Fixing", "The family of fixing.", _words(FixingFamily)),
            _names("seal_products", "Seal products", "Each product of the penetration seal by its full name.", 30.0),
            _size("seal_depth_mm", "Seal depth", "Depth of the seal along the duct."),
            _whole("seal_faces", "Seal faces", "On how many faces of the barrier the seal is made.", 1, 2),
            _whole(
                "seal_layers",
                "Seal layers",
                "Layers of the seal on each face that is sealed; 1 for a mortar that fills the depth.",
                1,
                10,
            ),
            _word("support", "Support", "What carries the damper.", _words(SupportKind)),
            _word(
                "joint",
                "Duct joint",
                "How the duct meets the damper casing on both sides (no duct: on neither); a side that differs has a "
                "column of its own.",
                _words(Joint),
            ),
            _word(
                "joint_a",
                "Duct joint side A",
                "Where side A differs, as with an open end: how the duct meets the casing there. Sides as those of the "
                "space uses.",
                _words(Joint),
            ),
            _word("joint_b", "Duct joint side B", "As for side A.", _words(Joint)),
            _yes_no("deflection_head_above", "Deflection head above", "Whether the wall head above can move."),
            _yes_no("other_services", "Other services in the seal", "Whether anything else passes the same seal."),
            _yes_no("access_door", "Access door", "Whether an access door or panel is provided."),
        ),
    ),
    (
        "Neighbours",
        (
            _text(
                "near_damper",
                "Nearest damper",
                "Reference of the nearest other penetration; where none is near: none, with a distance clear of any.",
            ),
            _gap("near_damper_mm", "Distance to nearest damper", "Clear distance between the two surfaces named."),
            _word("near_damper_from", "Distance measured from", "The surface here.", _SURFACES),
            _word("near_damper_to", "Distance measured to", "The surface there.", _SURFACES),
            _word("near_damper_fill", "Between them", "What lies between the two.", _words(SeparationFill)),
            _gap(
                "near_wall_mm",
                "Distance to nearest wall",
                "Clear distance to the face of an adjoining wall; where none is near, one clear of any.",
            ),
            _word("near_wall_from", "Distance to wall from", "The surface here.", _SURFACES),
            _gap(
                "near_floor_mm",
                "Distance to nearest floor",
                "Clear distance to a floor or soffit; where none is near, one clear of any.",
            ),
            _word("near_floor_from", "Distance to floor from", "The surface here.", _SURFACES),
        ),
    ),
    (
        "Protection",
        (
            _word("method", "Protection method", "How the fire strategy protects the duct.", _words(ProtectionMethod)),
            _yes_no("run_proven", "Protected run proven", "For methods 2 and 3: whether the whole run is proven."),
            _text("run_document", "Document of the run", "The document that says so; needed beside a yes.", 24.0),
        ),
    ),
    (
        "Order",
        (
            _text("phase", "Phase", "The phase or delivery that the damper belongs to."),
            _word(
                "handing",
                "Handing",
                "On which side the mechanism sits, looking along the airflow; the maker's drawing decides.",
                _words(Handing),
            ),
            _text("actuator", "Actuator", "The actuator or release by the code that its maker gives it."),
            _text("voltage", "Voltage", "Supply of the actuator with its unit, as its maker writes it (24 V AC/DC)."),
            _yes_no("end_switches", "End switches", "Whether the damper has switches that tell open and closed."),
            _text("finish", "Finish", "Material and finish of the casing, as the maker writes it."),
            _names("accessories", "Accessories", "Each accessory that goes with the order; none where there is none."),
        ),
    ),
    (
        "Support in fire",
        (
            _number(
                "weight_kg",
                "Damper weight [kg]",
                "Of the damper with mechanism and frame; empty: as the maker's product facts say.",
                2_000,
            ),
            _text("fixing_kind", "Kind of damper fixings", "Kind and size of the fixings that hold the damper.", 26.0),
            _size("fixing_spacing_mm", "Damper fixings apart", "From one fixing of the damper to the next, at most."),
            _text("rod_size", "Drop rod thread", "The metric thread of the drop rods, like M10."),
            _whole("rod_count", "Drop rods", "How many drop rods carry the damper.", 1, 16),
            _size("rod_length_mm", "Drop rod length", "From the damper to the underside of what the rods hang from."),
            _yes_no("rods_protected", "Drop rods protected", "Whether the rods are protected against fire."),
            _word("slab", "Drop rods hang from", "What the anchors of the rods sit in.", _words(SlabKind)),
            _text("anchor", "Anchor", "The anchor of the rods, with the document of its fire resistance.", 26.0),
            _size(
                "run_between_fixed_mm",
                "Duct between fixed points",
                "Length of straight duct between two fixed points that the joints here have to take up.",
            ),
            _gap("joint_travel_mm", "Joint travel", "How far the joint can travel; 0 for a rigid one."),
        ),
    ),
    (
        "Access",
        (
            _size("door_width_mm", "Access door width", "Clear width of the door in the duct, along the duct."),
            _size("door_height_mm", "Access door height", "The other clear side of the door in the duct."),
            _gap("door_distance_mm", "Access door to blade", "From the nearer edge of the door to the closed blade."),
            _size("zone_width_mm", "Working zone width", "Clear width before the access door or mechanism."),
            _size("zone_depth_mm", "Working zone depth", "Clear depth before the access door or mechanism."),
            _yes_no("reach_both_sides", "Reached from both sides", "Whether both sides of the barrier need access."),
            _yes_no(
                "zone_clear",
                "Working zone seen clear",
                "Whether somebody saw, on coordinated drawings or on site, that nothing stands in the working zone.",
            ),
            _word("ceiling", "Ceiling below", "What ceiling is below the damper.", _words(CeilingKind)),
            _gap(
                "hatch_width_mm",
                "Ceiling hatch width",
                "Clear width of the hatch below the damper; 0 where there is none.",
            ),
            _gap(
                "hatch_height_mm", "Ceiling hatch length", "The other clear side of the hatch; 0 where there is none."
            ),
        ),
    ),
    (
        "Air",
        (
            _number("air_l_s", "Air flow [l/s]", "Design air flow through the damper.", 100_000),
            TableColumn(
                "system_pressure_pa",
                "System pressure [Pa]",
                FieldKind.NUMBER,
                "Static pressure that the closed blade holds; its amount, without a sign for suction.",
                least=0,
                most=10_000,
            ),
        ),
    ),
    (
        "Alarm and controls",
        (
            _word("fan_in_fire", "Fan in fire", "What the fan does once fire is detected.", _words(FanInFire)),
            _text("detector_zone", "Detector zone", "The detector zone that closes the damper."),
            _text(
                "detector",
                "Detector",
                "The mark or address of the detector that closes the damper, of each where there are several.",
            ),
            _word(
                "fail_position", "Fail position", "Where it goes when power or signal is lost.", _words(FailPosition)
            ),
            _text(
                "panel_address",
                "Panel address",
                "Its address on the panel that drives and watches it; empty: the alarm address is it.",
            ),
        ),
    ),
    (
        "Builders' work",
        (
            _text("grid", "Grid lines", "The grid lines that it lies on or between, like C/4."),
            _gap(
                "centre_above_floor_mm",
                "Centre above floor",
                "From the structural floor of the storey to the centre of the duct.",
            ),
            _text("lintel", "Lintel or trimmer", "What carries the barrier over the hole; none where none is.", 24.0),
            _text("opening_by", "Opening formed by", "Who forms the framed opening."),
            _text("when", "Opening formed when", "The date or stage at which the framed opening is formed."),
        ),
    ),
    ("Remarks", (_text("remarks", "Remarks", "Anything else; printed, never judged.", 40.0),)),
)


def _grouped(column: TableColumn, group: str) -> TableColumn:
    values = {name: getattr(column, name) for name in column.__dataclass_fields__}
    return TableColumn(**{**values, "group": group})


SCHEDULE = TableSpec(
    "Schedule", tuple(_grouped(column, group) for group, columns in _GROUPS for column in columns), "reference"
)
"""The damper schedule: one row a penetration."""

SCHEDULE_INSTRUCTIONS = (
    "Damper schedule: one row for each place where one duct passes one fire-separating barrier.",
    "An empty cell says that the value is not stated: it becomes a query, never a pass. So do: ? unknown tbc tba n/a -",
    "Type values, not formulas; numbers in number cells without their unit; don't merge cells.",
    "The unit stands in the heading. Width is horizontal in the plane of the wall (in floors: along x of the model).",
    "Framed opening is the structural hole; finished clear opening is what is left after lining. They differ.",
    "Columns may be left out or moved; a column of your own needs a heading that begins with #.",
    "Several values in one cell are separated by a semicolon.",
)
"""What stands above the list of columns on the instruction sheet."""
