# SPDX-License-Identifier: Apache-2.0
"""The evidence: tested installations of three invented makers, and how they are written to evidence files.

Each entry also says what the schedule states where a penetration is designed to it (`gap`, `mechanism`, `access`):
values in the middle of what was tested. Nothing here is a product of anybody.
"""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["DOCUMENTS", "MAKERS", "TESTED", "TestedWay", "evidence_text"]

SCOPE_NOTE = "Invented for a demonstration: no such maker, product, test or document exists."


@dataclass(frozen=True)
class Paper:
    """A document of a maker."""

    id: str
    reference: str
    issued: str
    level: str = "declaration and instructions"
    revision: str = "3"
    standard: str = "EN 15650"
    edition: str = "2010"
    more: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True)
class TestedWay:
    """One tested installation. Windows are (least, most); lengths in millimetres.

    `s_least` is the smallest size cold-tested for S, `gap` the gap a side that the
    schedule states, from `gap_from`, `beyond` how far the casing stands out over
    the duct on each side. `fixings` and
    `seal_parts` are empty where the document says nothing of them.
    """

    id: str
    maker: str
    product: str
    document: str
    class_text: str
    actuation: tuple[str, ...]
    construction: dict[str, object]
    sizes: dict[str, tuple[float, float]]
    fixing: str
    seal: tuple[str, ...]
    seal_faces: int
    seal_depth: float
    gaps: tuple[float, float]
    gap: float
    gap_from: str
    beyond: float
    access: str
    orientation: str = "wall"
    opening_shape: str = "rectangular"
    support: str = "barrier"
    joints: tuple[str, ...] = ("breakaway fixings",)
    mechanism: tuple[int, ...] = (0, 180)
    separations: tuple[tuple[str, float], ...] = (("damper", 200), ("floor", 75), ("wall", 75))
    kind: str = "fire damper"
    s_least: tuple[float, ...] = ()
    seal_layers: int = 1
    fixings: tuple[tuple[str, object], ...] = ()
    seal_parts: tuple[str, ...] = ()

    @property
    def gap_to_duct(self) -> float:
        """The designed gap a side from the duct."""
        return self.gap + (self.beyond if self.gap_from == "casing" else 0)


MAKERS = {"OR": "Orlebek", "TV": "Tamsin Vane Works", "QM": "Quillmere"}

_BLOCK = {"kind": "rigid wall", "least_thickness_mm": 100, "least_density_kg_m3": 850}
_STUD = {
    "kind": "flexible wall",
    "least_thickness_mm": 125,
    "board_type": "type F",
    "board_thickness_mm": 12.5,
    "board_layers": [2, 2],
    "stud_size_mm": 70,
    "most_stud_spacing_mm": 600,
    "cavity_fill": "40 mm rock wool, 40 kg/m³",
    "opening_framing": "studs and tracks all round",
    "lining_mm": 25,
}
_SHAFT = {
    "kind": "shaft wall",
    "least_thickness_mm": 96,
    "board_type": "type F",
    "board_thickness_mm": 12.5,
    "board_layers": [0, 2],
    "stud_size_mm": 70,
    "most_stud_spacing_mm": 600,
    "cavity_fill": "none",
    "opening_framing": "shaft studs and tracks all round",
    "lining_mm": 25,
}
_SLAB = {"kind": "rigid floor", "least_thickness_mm": 150, "least_density_kg_m3": 2000}

_HEAT, _BOTH = ("thermal",), ("thermal", "smoke detection")
_CURTAIN_SIZES = {"width_mm": (150.0, 1000.0), "height_mm": (150.0, 800.0)}
_BLADE_SIZES = {"width_mm": (200.0, 800.0), "height_mm": (150.0, 600.0)}
_S = (200.0, 150.0)

_SCREWS = (
    ("kind", "self-drilling screws (invented)"),
    ("size", "4.8 × 25 mm"),
    ("along", "casing"),
    ("most_apart_mm", 150),
    ("most_from_corner_mm", 60),
    ("least_a_side", 2),
    ("rows", 2),
)
_RING = (
    ("kind", "self-drilling screws (invented)"),
    ("size", "4.2 × 19 mm"),
    ("along", "casing"),
    ("most_apart_mm", 120),
    ("least_a_side", 4),
    ("rows", 2),
)
_DOWELS = (
    ("kind", "steel frame dowels (invented)"),
    ("size", "8 × 80 mm"),
    ("along", "finished clear opening"),
    ("most_apart_mm", 250),
    ("most_from_corner_mm", 100),
    ("rows", 1),
)
_NO_CORNER = (
    ("kind", "self-drilling screws (invented)"),
    ("size", "4.8 × 38 mm"),
    ("along", "casing"),
    ("most_apart_mm", 150),
    ("rows", 1),
)
"""The document says nothing of the corners, so that their number stays to be settled."""

_WAYS = (
    TestedWay(
        "OR-RW",
        "OR",
        "Orlebek C4",
        "OR-1",
        "E 120 (ve i↔o)",
        _HEAT,
        _BLOCK,
        _CURTAIN_SIZES,
        "built in with cleats",
        ("Orlebek M6 mortar",),
        2,
        100,
        (20, 50),
        35,
        "duct",
        25,
        "either side",
    ),
    TestedWay(
        "OR-FW",
        "OR",
        "Orlebek C4",
        "OR-1",
        "E 60 (ve i↔o)",
        _HEAT,
        _STUD,
        _CURTAIN_SIZES,
        "screwed to lined opening",
        ("Orlebek S1 sealant", "Orlebek W2 wool"),
        2,
        100,
        (10, 40),
        30,
        "duct",
        5,
        "either side",
        seal_parts=("Orlebek S1 sealant: 20 mm", "Orlebek W2 wool: 80 mm"),
    ),
    TestedWay(
        "OR-RF",
        "OR",
        "Orlebek C4",
        "OR-1",
        "E 120 (ho i↔o)",
        _HEAT,
        _SLAB,
        _CURTAIN_SIZES,
        "cast in or curb",
        ("Orlebek M6 mortar",),
        2,
        100,
        (20, 50),
        35,
        "duct",
        25,
        "from below",
        orientation="floor",
        mechanism=(0,),
    ),
    TestedWay(
        "TV-RW",
        "TV",
        "Vane 60M",
        "TV-1",
        "EI 60 (ve i↔o) S",
        _BOTH,
        _BLOCK,
        _BLADE_SIZES,
        "frame in formed opening",
        ("Vane grout 2",),
        2,
        100,
        (15, 40),
        25,
        "casing",
        10,
        "either side",
        s_least=_S,
        fixings=_DOWELS,
    ),
    TestedWay(
        "TV-FW",
        "TV",
        "Vane 60M",
        "TV-1",
        "EI 60 (ve i↔o) S",
        _BOTH,
        _STUD,
        _BLADE_SIZES,
        "installation frame",
        ("Vane board 25", "Vane sealant F"),
        2,
        100,
        (15, 40),
        25,
        "casing",
        10,
        "either side",
        s_least=_S,
        fixings=_SCREWS,
        seal_parts=("Vane board 25: 75 mm", "Vane sealant F: 25 mm"),
    ),
    TestedWay(
        "TV-FB",
        "TV",
        "Vane 60M",
        "TV-1",
        "EI 60 (ve i↔o) S",
        _BOTH,
        {**_STUD, "lining_mm": 12.5},
        _BLADE_SIZES,
        "drop rods and batt seal",
        ("Vane batt 50", "Vane sealant F"),
        2,
        100,
        (40, 120),
        60,
        "casing",
        10,
        "either side",
        seal_layers=2,
        support="drop rods",
        s_least=_S,
        seal_parts=("Vane batt 50: 95 %", "Vane sealant F: 5 %"),
    ),
    TestedWay(
        "TV-SW",
        "TV",
        "Vane 60M",
        "TV-2",
        "EI 60 (ve i↔o) S",
        _BOTH,
        _SHAFT,
        _BLADE_SIZES,
        "shaft wall, one-sided",
        ("Vane board 25", "Vane sealant F"),
        1,
        50,
        (15, 40),
        25,
        "casing",
        10,
        "outside the shaft",
        mechanism=(0,),
        s_least=_S,
        fixings=_NO_CORNER,
    ),
    TestedWay(
        "TV-FWR",
        "TV",
        "Vane 60R",
        "TV-3",
        "EI 60 (ve i↔o) S",
        _BOTH,
        _STUD,
        {"diameter_mm": (100.0, 315.0)},
        "sleeve and angles",
        ("Vane sealant F", "Vane wool 40"),
        2,
        100,
        (10, 30),
        15,
        "casing",
        10,
        "either side",
        opening_shape="round",
        s_least=(100.0,),
        fixings=_RING,
        seal_parts=("Vane sealant F: 20 mm", "Vane wool 40: 80 mm"),
    ),
    TestedWay(
        "QM-RF",
        "QM",
        "Quill Q90",
        "QM-1",
        "EI 90 (ho i↔o) S",
        _HEAT,
        _SLAB,
        {"width_mm": (200.0, 1200.0), "height_mm": (200.0, 800.0)},
        "cast in or curb",
        ("Quill concrete infill Q",),
        2,
        150,
        (25, 75),
        50,
        "duct",
        15,
        "from below",
        orientation="floor",
        mechanism=(0, 90, 180, 270),
        s_least=(200.0, 200.0),
    ),
    TestedWay(
        "QM-RFR",
        "QM",
        "Quill Q90R",
        "QM-1",
        "EI 90 (ho i↔o) S",
        _HEAT,
        _SLAB,
        {"diameter_mm": (100.0, 400.0)},
        "cast in or curb",
        ("Quill concrete infill Q",),
        2,
        150,
        (25, 75),
        50,
        "duct",
        15,
        "from below",
        orientation="floor",
        opening_shape="round",
        mechanism=(0, 90, 180, 270),
        s_least=(100.0,),
    ),
    TestedWay(
        "QM-CW",
        "QM",
        "Quill Q120",
        "QM-2",
        "EI 120 (ve i↔o) S",
        _HEAT,
        {
            "kind": "rigid wall",
            "least_thickness_mm": 100,
            "least_density_kg_m3": 2000,
            "material": "reinforced concrete",
        },
        {"width_mm": (200.0, 1200.0), "height_mm": (200.0, 800.0)},
        "frame in formed opening",
        ("Quill mortar T",),
        2,
        125,
        (20, 60),
        35,
        "duct",
        15,
        "either side",
        s_least=(200.0, 200.0),
        fixings=_DOWELS,
    ),
    TestedWay(
        "QM-FW",
        "QM",
        "Quill Q60",
        "QM-3",
        "EI 60 (ve i↔o) S",
        _BOTH,
        _STUD,
        {"width_mm": (200.0, 1000.0), "height_mm": (200.0, 800.0)},
        "installation frame",
        ("Quill frame seal 3",),
        2,
        100,
        (15, 40),
        25,
        "casing",
        10,
        "either side",
        s_least=(200.0, 200.0),
    ),
    TestedWay(
        "QM-FV",
        "QM",
        "Quill V60",
        "QM-1",
        "EI 60 (ve i↔o) S",
        _BOTH,
        _STUD,
        {"width_mm": (200.0, 1000.0), "height_mm": (200.0, 800.0)},
        "installation frame",
        ("Quill frame seal 4",),
        2,
        100,
        (15, 40),
        25,
        "casing",
        10,
        "outside the shaft",
        s_least=(200.0, 200.0),
    ),
)

TESTED: dict[str, TestedWay] = {way.id: way for way in _WAYS}

DOCUMENTS: dict[str, tuple[Paper, ...]] = {
    "OR": (Paper("OR-1", "DoP OR-C4-01 (invented)", "2023-05-10", more=(("certificate", "OR-CCP-101"),)),),
    "TV": (
        Paper("TV-1", "DoP TV-60M-02 (invented)", "2024-02-20", more=(("certificate", "TV-CCP-220"),)),
        Paper("TV-2", "DoP TV-60M-03, shaft walls (invented)", "2024-09-02", more=(("certificate", "TV-CCP-220"),)),
        Paper("TV-3", "DoP TV-60R-01 (invented)", "2024-02-20", more=(("certificate", "TV-CCP-221"),)),
    ),
    "QM": (
        Paper("QM-1", "DoP QM-90-01 (invented)", "2024-06-01", more=(("certificate", "QM-CCP-31"),)),
        Paper("QM-2", "DoP QM-120-01 (invented)", "2024-06-01", more=(("certificate", "QM-CCP-32"),)),
        Paper(
            "QM-3",
            "DoP QM-60-01 (invented)",
            "2021-01-15",
            more=(("certificate", "QM-CCP-30"), ("withdrawn_on", "2025-03-31")),
        ),
    ),
}


# writing ----------------------------------------------------------------------------------------------------------


def _value(value: object) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, list | tuple):
        return f"[{', '.join(_value(item) for item in value)}]"
    if isinstance(value, int | float):
        return f"{value:g}"
    return f'"{value}"'


def _window(window: tuple[float, float]) -> str:
    return f"{{ least = {window[0]:g}, most = {window[1]:g} }}"


def _document_lines(paper: Paper) -> list[str]:
    lines = [
        "",
        "[[document]]",
        f'id = "{paper.id}"',
        f'level = "{paper.level}"',
        f'reference = "{paper.reference}"',
        f'revision = "{paper.revision}"',
        f"issued = {paper.issued}",
        f'standard = "{paper.standard}"',
        f'edition = "{paper.edition}"',
        'marking = ["CE", "UKCA"]',
        f'instructions = "Installation instructions {paper.id}, issue 4 (invented)"',
    ]
    for key, value in paper.more:
        lines.append(f"{key} = {value}" if key.endswith("_on") or key.startswith("valid") else f'{key} = "{value}"')
    return lines


def _way_lines(way: TestedWay) -> list[str]:
    lines = [
        "",
        "[[installation]]",
        f'id = "{way.id}"',
        f'document = "{way.document}"',
        f'product = "{way.product}"',
        f'kind = "{way.kind}"',
        f'class = "{way.class_text}"',
        f'orientation = "{way.orientation}"',
        'position = "in the barrier"',
        f'opening_shape = "{way.opening_shape}"',
        f'fixing = "{way.fixing}"',
        f"actuation = {_value(way.actuation)}",
        f"mechanism_deg = {_value(way.mechanism)}",
        f'support = "{way.support}"',
        f"joints = {_value(way.joints)}",
        f"access_sides = {_value((way.access,))}",
        "most_blade_offset_mm = 15",
        "insulation_through = false",
        "deflection_head = false",
        "other_services = false",
        'ducts = ["both sides"]',
        "",
        "[installation.sizes]",
        *(f"{key} = {_window(window)}" for key, window in way.sizes.items()),
    ]
    names = ("s_least_width_mm", "s_least_height_mm") if len(way.s_least) == 2 else ("s_least_diameter_mm",)
    lines += [f"{name} = {value:g}" for name, value in zip(names, way.s_least, strict=False)]
    lines += [
        "",
        "[installation.construction]",
        *(f"{key} = {_value(value)}" for key, value in way.construction.items()),
    ]
    lines += [
        "",
        "[installation.seal]",
        f"products = {_value(way.seal)}",
        *([f"parts = {_value(way.seal_parts)}"] if way.seal_parts else []),
        f"layers = {way.seal_layers}",
        f"faces = {way.seal_faces}",
        f"depth_mm = {{ least = {way.seal_depth:g} }}",
        f"gap_mm = {{ all = {_window(way.gaps)} }}",
        f'gap_from = "{way.gap_from}"',
        "",
        "[installation.casing_beyond_mm]",
        f"all = {way.beyond:g}",
    ]
    if way.fixings:
        lines += ["", "[installation.fixings]", *(f"{key} = {_value(value)}" for key, value in way.fixings)]
    for to, least_mm in way.separations:
        to_surface = "casing" if to == "damper" else "face of the construction"
        lines += [
            "",
            "[[installation.separation]]",
            f'to = "{to}"',
            f"least_mm = {least_mm:g}",
            'from_surface = "casing"',
            f'to_surface = "{to_surface}"',
        ]
    return lines


def evidence_text(maker: str) -> str:
    """The evidence file of one maker, by its short name."""
    lines = [f"# {SCOPE_NOTE}", "schema = 1", f'maker = "{MAKERS[maker]}"', "invented = true"]
    for paper in DOCUMENTS[maker]:
        lines += _document_lines(paper)
    for way in TESTED.values():
        if way.maker == maker:
            lines += _way_lines(way)
    return "\n".join(lines) + "\n"
