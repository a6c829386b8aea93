# SPDX-License-Identifier: Apache-2.0
"""The planted faults: what each one changes in the building or its papers, and what a check has to find.

The findings are written down here from the trade handbook's rules, never from what the tool prints. A code is
(check)-fails, -change, -unknown or -note; the last two columns say on which penetrations and whether it is open.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace

from tools.demo.ducts import Gaps, Planned, Run, Section, Stray
from tools.demo.layout import SUPPLY_Z, Layout, designed, with_casing
from tools.demo.plan import HEIGHT, SOFFIT
from tools.demo.schedule import build_up_of, designed_hole
from tools.demo.tested import TESTED

__all__ = ["Expected", "Fault", "Scenario", "build"]


@dataclass(frozen=True, order=True)
class Expected:
    """One finding that a check has to make."""

    ref: str
    code: str
    open: bool


@dataclass(frozen=True)
class Fault:
    """A planted fault: what it is, the handbook's row or field case, the penetrations that have it."""

    title: str
    source: str
    refs: tuple[str, ...]
    codes: tuple[str, ...]


@dataclass
class Scenario:
    """The building with its faults, and the findings they must give."""

    layout: Layout = field(default_factory=designed)
    strays: list[Stray] = field(default_factory=list)
    faults: list[Fault] = field(default_factory=list)
    expected: set[Expected] = field(default_factory=set)
    deviation_refs: list[str] = field(default_factory=list)
    outgrown_refs: list[str] = field(default_factory=list)
    lowered_refs: list[str] = field(default_factory=list)

    def pick(self, words: str, run: str, nth: int = 0) -> Planned:
        """The penetration between two rooms on a system: the nth where there are several."""
        found = [one for one in self.layout.planned.values() if one.words == words and one.run == run]
        return found[nth]

    def put(self, planned: Planned) -> None:
        """Put a changed penetration in the place of the old one."""
        self.layout.planned[planned.ref] = planned

    def redesign(self, planned: Planned, tested: str, **facts: object) -> Planned:
        """The same place designed to another tested installation, hole and casing included."""
        made = replace(planned, tested=tested, **facts)  # type: ignore[arg-type]
        return with_casing(replace(made, hole=None))

    def move(self, planned: Planned, dx: float = 0, dz: float = 0) -> Planned:
        """Move a branch along the corridor wall, its run with it."""
        x, y, z = planned.at
        for index, run in enumerate(self.layout.runs):
            if planned.ref in run.passes:
                self.layout.runs[index] = replace(run, at=(run.at[0] + dx, run.at[1] + dz))
        return replace(planned, at=(x + dx, y, z + dz))

    def plant(
        self,
        title: str,
        source: str,
        planned: tuple[Planned, ...],
        codes: tuple[str, ...],
        closed: tuple[str, ...] = (),
    ) -> None:
        """Put the changed penetrations in and write down what has to be found; `closed` codes are shown, not open."""
        for one in planned:
            self.put(one)
        refs = tuple(one.ref for one in planned)
        self.faults.append(Fault(title, source, refs, codes + closed))
        self.expected |= {Expected(ref, code, True) for ref in refs for code in codes}
        self.expected |= {Expected(ref, code, False) for ref in refs for code in closed}


def build() -> Scenario:
    """The building as it is to be checked: designed, faults planted, the holes of the model made to fit."""
    scene = Scenario()
    for plant in _PLANTERS:
        plant(scene)
    for ref, one in scene.layout.planned.items():
        if one.hole is None:
            scene.layout.planned[ref] = replace(one, hole=designed_hole(one))
    return scene


# what the code asks -----------------------------------------------------------------------------------------------


def _thermal_only_on_an_escape_route(scene: Scenario) -> None:
    one = scene.pick("corridor / classroom 1.N1", "SA1")
    scene.plant(
        "A damper of the right class that only heat closes, in the wall of an escape corridor",
        "4.3, 4.12a",
        (one.state(actuation=("thermal",)),),
        ("scheduled-actuation-fails",),
    )


def _fire_damper_on_an_escape_route(scene: Scenario) -> None:
    one = scene.redesign(scene.pick("corridor / classroom 1.N1", "EA1"), "OR-FW", method="1 fire damper")
    scene.plant(
        "A thermally actuated fire damper (method 1) in the wall of an escape corridor",
        "4.3",
        (one,),
        ("method-fails", "scheduled-class-fails", "scheduled-actuation-fails", "class-fails", "actuation-fails"),
    )


def _no_heat_where_people_sleep(scene: Scenario) -> None:
    one = scene.pick("corridor / bedroom 2.N1", "SA1")
    scene.plant(
        "A damper of a bedroom that smoke detection closes, but heat does not",
        "4.5",
        (one.state(actuation=("smoke detection",)),),
        ("scheduled-actuation-fails",),
    )


def _heat_only_where_people_sleep(scene: Scenario) -> None:
    one = scene.pick("corridor / bedroom 2.N1", "EA1")
    scene.plant(
        "A damper of a bedroom without smoke detection",
        "4.5, C49",
        (one.state(actuation=("thermal",)),),
        ("scheduled-actuation-fails",),
    )


def _damper_in_a_kitchen_extract(scene: Scenario) -> None:
    one = scene.redesign(scene.pick("dining room / pot wash", "KE3"), "OR-RW", method="1 fire damper")
    scene.plant(
        "A damper in the extract of a commercial kitchen",
        "4.4",
        (one,),
        ("method-fails", "damper-excluded-fails", "class-fails"),
    )


def _run_not_proven(scene: Scenario) -> None:
    one = scene.pick("teaching kitchen / plant room", "KE2")
    scene.plant(
        "Kitchen extract in fire-resisting ductwork whose run is not proven as a whole",
        "4.26, 13 case 6",
        (one.state(run_proven=False, run_document=None),),
        ("protected-run-fails",),
    )


def _damper_missing(scene: Scenario) -> None:
    one = scene.pick("classroom / classroom", "EA1", 0)
    scene.plant(
        "No damper where a duct passes a compartment wall",
        "4.1",
        (
            replace(
                one,
                tested="",
                casing=0,
                hole=Gaps(35, 35, 35, 35),
                stated={"method": "1 fire damper", "run_proven": None, "run_document": None},
            ),
        ),
        ("damper-fails",),
    )


def _class_too_low(scene: Scenario) -> None:
    one = scene.redesign(scene.pick("IT room / plant room", "SA1"), "TV-RW")
    scene.plant("A 60-minute damper in a 120-minute wall", "4.7", (one,), ("scheduled-class-fails", "class-fails"))


def _no_access_door(scene: Scenario) -> None:
    one = scene.pick("corridor / classroom 1.S1", "SA1")
    scene.plant("No access door to a damper", "4.12, 5.25", (one.state(access_door=False),), ("access-door-fails",))


# what was tested: construction ------------------------------------------------------------------------------------


def _shaft_wall_with_wall_evidence(scene: Scenario) -> None:
    one = scene.redesign(scene.pick("riser R1 / corridor", "SA1", 2), "QM-FV")
    scene.plant(
        "A shaft wall, and evidence for the standard flexible wall only",
        "2.44, 13 case 9",
        (one,),
        ("supporting-construction-fails", "thickness-fails"),
    )


def _concrete_evidence_in_a_stud_wall(scene: Scenario) -> None:
    one = scene.redesign(scene.pick("office 0.N2 / dining room", "SA1"), "QM-CW")
    scene.plant(
        "A damper tested in concrete, scheduled in a stud wall", "2.43", (one,), ("supporting-construction-fails",)
    )


def _wall_swapped(scene: Scenario) -> None:
    one = scene.pick("office 0.N2 / dining room", "EA1")
    built_in = TESTED["OR-RW"]
    scene.plant(
        "Blockwork became a stud wall after the order: fixing and seal are still those for blockwork",
        "13 case 8",
        (one.state(fixing=built_in.fixing, seal_products=built_in.seal),),
        ("fixing-change", "seal-products-change"),
    )


def _wall_type_without_rating(scene: Scenario) -> None:
    pair = (scene.pick("corridor / classroom 1.N6", "SA1"), scene.pick("corridor / classroom 1.N6", "EA1"))
    scene.plant(
        "A new wall type whose rating is a placeholder in the model and empty in the sheet",
        "common practice: missing is not unrated",
        pair,
        # Whether anything is asked of a barrier depends on its rating; all that waits for it is one finding.
        ("requirement-unknown",),
    )


def _deflection_head(scene: Scenario) -> None:
    one = scene.pick("corridor / classroom 1.S1", "EA1")
    scene.plant(
        "A deflection head over the damper",
        "13 case 10",
        (one.state(deflection_head_above=True),),
        ("deflection-head-fails",),
    )


# what was tested: sizes, class, documents -------------------------------------------------------------------------


def _turned_damper(scene: Scenario) -> None:
    one = scene.pick("classroom / classroom", "SA1", 0)
    scene.plant(
        "A 300 × 400 damper for a 400 × 300 duct",
        "13 case 15",
        (one.state(damper_width_mm=300, damper_height_mm=400),),
        ("damper-size-fails",),
    )


def _too_large(scene: Scenario) -> None:
    one = scene.pick("riser R1 / corridor", "SA1", 0)
    section = Section(900, 300)
    scene.layout.runs = [replace(run, section=section) if one.ref in run.passes else run for run in scene.layout.runs]
    scene.plant(
        "A duct larger than the largest section tested",
        "2.36 (S only up to the largest size), 13 case 18",
        (replace(one, section=section),),
        ("size-fails", "class-fails"),
    )


def _class_claimed_too_high(scene: Scenario) -> None:
    one = scene.pick("corridor / classroom 1.S2", "SA1")
    scene.plant(
        "The schedule claims a higher class than the evidence gives",
        "1.13, 3.16",
        (one.state(class_text="EI 120 (ve i↔o) S"),),
        ("claimed-class-fails",),
    )


def _document_withdrawn(scene: Scenario) -> None:
    one = scene.redesign(scene.pick("corridor / classroom 1.S2", "EA1"), "QM-FW")
    scene.plant(
        "The declaration was withdrawn before the order",
        "3.16",
        (one,),
        (
            "standing-at-order-fails",
            "standing-at-placing-on-market-fails",
            "standing-at-installation-fails",
            "standing-at-handover-fails",
        ),
    )


# what was tested: opening, seal, neighbours -----------------------------------------------------------------------


def _gap_cells(planned: Planned, gaps: Gaps) -> Planned:
    """Another gap a side (from the surface that the test measured from): schedule, openings and model agree on it."""
    way = TESTED[planned.tested]
    lining = build_up_of(planned).lining_mm
    more = (way.beyond if way.gap_from == "casing" else 0) + lining
    wide, deep = gaps.left + gaps.right, gaps.top + gaps.bottom
    beyond = 2 * (way.beyond if way.gap_from == "casing" else 0)
    finished = (planned.section.width + beyond + wide, planned.section.depth + beyond + deep)
    return replace(
        planned,
        hole=Gaps(gaps.left + more, gaps.right + more, gaps.top + more, gaps.bottom + more),
        stated={
            **planned.stated,
            "gap_left_mm": gaps.left,
            "gap_right_mm": gaps.right,
            "gap_top_mm": gaps.top,
            "gap_bottom_mm": gaps.bottom,
            "finished_width_mm": finished[0],
            "finished_height_mm": finished[1],
            "framed_width_mm": finished[0] + 2 * lining,
            "framed_height_mm": finished[1] + 2 * lining,
        },
    )


def _opening_too_wide(scene: Scenario) -> None:
    one = scene.pick("corridor / classroom 1.S3", "SA1")
    scene.plant(
        "A framed opening far wider than tested",
        "13 case 11",
        (_gap_cells(one, Gaps(90, 90, 25, 25)),),
        ("gap-change",),
    )


def _one_side_zero(scene: Scenario) -> None:
    one = scene.pick("corridor / classroom 1.S3", "EA1")
    scene.plant(
        "Total gap right, one side zero", "13 case 12", (_gap_cells(one, Gaps(0, 50, 25, 25)),), ("gap-change",)
    )


def _beside(scene: Scenario, one: Planned, ref: str, dx: float) -> Planned:
    """A second supply branch beside one, the same size and design."""
    run = next(run for run in scene.layout.runs if one.ref in run.passes)
    x, y, z = one.at
    twin = replace(one, ref=ref, at=(x + dx, y, z))
    scene.layout.planned[ref] = twin
    scene.layout.runs.append(
        replace(run, name=f"{run.system} branch {ref}", at=(run.at[0] + dx, run.at[1]), passes=(ref,))
    )
    return twin


def _two_in_one_hole(scene: Scenario) -> None:
    one = scene.pick("corridor / classroom 1.N3", "SA1")
    apart = one.section.width + 100
    other = _beside(scene, one, scene.layout.ref(1), apart)
    gap = designed_hole(one).left
    hole = Gaps(gap, apart + gap, gap, gap)
    cells = {
        "near_damper_mm": 80,
        "near_damper_from": "casing",
        "near_damper_to": "casing",
        "near_damper_fill": "batt",
        "finished_width_mm": one.section.width + 2 * TESTED[one.tested].gap_to_duct + apart,
        "framed_width_mm": one.section.width + 2 * gap + apart,
    }
    first = replace(one, hole=hole).state(**cells, near_damper=other.ref, shared_with=(other.ref,), gap_right_mm=80)
    second = replace(other, opening_of=one.ref).state(
        **cells, near_damper=one.ref, shared_with=(one.ref,), gap_left_mm=80
    )
    scene.plant(
        "Two ducts in one hole with batt between them",
        "13 case 13, 2.32",
        (first, second),
        ("shared-opening-fails", "separation-fails", "gap-change"),
    )


def _too_near_each_other(scene: Scenario) -> None:
    one = scene.pick("corridor / classroom 1.N4", "SA1")
    other = _beside(scene, one, scene.layout.ref(1), one.section.width + 200)
    cells = {
        "near_damper_mm": 180,
        "near_damper_from": "casing",
        "near_damper_to": "casing",
        "near_damper_fill": "supporting construction",
    }
    first = one.state(**cells, near_damper=other.ref)
    second = other.state(**cells, near_damper=one.ref)
    scene.plant(
        "180 mm between two dampers; their ducts are 200 mm apart in the model",
        "2.30, 13 case 23",
        (first, second),
        ("separation-change",),
    )


def _too_near_the_soffit(scene: Scenario) -> None:
    one = scene.pick("corridor / classroom 1.N5", "SA1")
    up = SOFFIT - 70 - one.section.depth / 2 - SUPPLY_Z
    moved = scene.move(one, dz=up)
    index = next(at for at, run in enumerate(scene.layout.runs) if one.ref in run.passes)
    run = scene.layout.runs[index]
    scene.layout.runs[index] = replace(run, start=run.start - 300)
    scene.plant(
        "60 mm from the casing to the soffit",
        "2.31",
        (moved.state(near_floor_mm=60, near_floor_from="casing"),),
        ("separation-change",),
    )


def _steel_screws(scene: Scenario) -> None:
    one = scene.pick("corridor / classroom 1.S4", "SA1")
    scene.plant(
        "Duct joined to the damper with steel screws", "5.8, C64", (one.state(joint="steel screws"),), ("joint-change",)
    )


def _foreign_seal(scene: Scenario) -> None:
    one = scene.pick("corridor / classroom 1.S4", "EA1")
    scene.plant(
        "Another firestopper's batt in place of the tested seal",
        "13 case 28",
        (one.state(seal_products=("Brackwell batt 50",)),),
        ("seal-products-change",),
    )


def _unnamed_seal(scene: Scenario) -> None:
    one = scene.pick("corridor / classroom 1.S5", "SA1")
    scene.plant(
        "A seal without a product's name", "13 case 28", (one.state(seal_products=None),), ("seal-products-unknown",)
    )


def _pipe_in_the_seal(scene: Scenario) -> None:
    one = scene.pick("corridor / classroom 1.S5", "EA1")
    x, _, z = one.at
    scene.layout.runs.append(
        Run(
            "Heating branch 1.S5",
            "LTHW",
            "y",
            (x + one.section.width / 2 + 20, z),
            6_200,
            7_700,
            Section(20),
            "pipe",
            level=1,
        )
    )
    scene.plant(
        "A pipe through the damper's seal",
        "13 case 27",
        (one.state(other_services=True),),
        ("other-services-fails",),
    )


def _insulation_through(scene: Scenario) -> None:
    one = scene.pick("corridor / classroom 1.N2", "SA1")
    scene.plant(
        "Duct insulation run through the hole",
        "13 case 19",
        (one.state(insulation_through=True),),
        ("insulation-through-change",),
    )


def _mechanism_turned(scene: Scenario) -> None:
    one = scene.pick("corridor / classroom 1.N2", "EA1")
    scene.plant(
        "Mechanism turned to an angle that is not declared",
        "2.46, 13 case 16",
        (one.state(mechanism_deg=90),),
        ("mechanism-change",),
    )


def _round_in_square(scene: Scenario) -> None:
    one = scene.pick("corridor / bedroom 2.S1", "EA1")
    gap = TESTED[one.tested].gap_to_duct
    side = one.section.width + 2 * gap
    lined = side + 2 * build_up_of(one).lining_mm
    scene.plant(
        "A round damper in a square hole",
        "13 case 14",
        (
            replace(one, round_hole=False).state(
                opening_shape="rectangular",
                finished_diameter_mm=None,
                finished_width_mm=side,
                finished_height_mm=side,
                framed_diameter_mm=None,
                framed_width_mm=lined,
                framed_height_mm=lined,
            ),
        ),
        ("opening-shape-change",),
    )


def _blade_off_centre(scene: Scenario) -> None:
    one = scene.pick("corridor / classroom 1.S6", "SA1")
    scene.plant(
        "Closed blade farther from the wall's centre than tested",
        "2.47, 13 case 22",
        (replace(one, shifted=40).state(blade_offset_mm=40),),
        ("blade-position-change",),
    )


def _access_from_inside_the_shaft(scene: Scenario) -> None:
    one = scene.pick("riser R1 / corridor", "EA1", 1)
    scene.plant(
        "Access planned from inside the shaft, tested from outside",
        "13 case 9",
        (one.state(access_side="inside the shaft"),),
        ("access-side-change",),
    )


def _batt_without_rods(scene: Scenario) -> None:
    one = scene.pick("corridor / dining room", "EA1", 1)
    scene.plant(
        "A batt seal without drop rods: batt carries nothing",
        "5.2 family E",
        (one.state(support="barrier"),),
        ("support-change",),
    )


def _transfer_without_ducts(scene: Scenario) -> None:
    one = scene.pick("corridor / IT room", "EA1")
    for index, run in enumerate(scene.layout.runs):
        if one.ref in run.passes:
            wall = one.at[1]
            scene.layout.runs[index] = replace(
                run, name="Transfer grille IT room", start=wall + 140, end=wall - 140, starts_with="grille"
            )
    scene.plant(
        "A transfer grille with evidence for ducted dampers only",
        "2.49, 13 case 2",
        (one.state(system="air transfer", joint="no duct"),),
        ("ducted-sides-fails",),
    )


# what calculation rules out -----------------------------------------------------------------------------------------


def _rods_too_long(scene: Scenario) -> None:
    one = scene.pick("corridor / dining room", "SA1", 0)
    scene.plant(
        "Unprotected drop rods of 1.8 m",
        "6.5, C32",
        (one.state(rod_length_mm=1800, rods_protected=False),),
        ("support-in-fire-fails",),
    )


def _rods_too_thin(scene: Scenario) -> None:
    one = scene.pick("corridor / dining room", "EA1", 0)
    scene.plant(
        "Drop rods thinner than those of the test",
        "the tested support is the answer (common practice)",
        (one.state(rod_size="M8"),),
        ("support-in-fire-fails",),
    )


def _fixings_too_far_apart(scene: Scenario) -> None:
    one = scene.pick("corridor / classroom 1.S6", "EA1")
    scene.plant(
        "Screws 300 mm apart where 150 mm at most were tested",
        "fixed as tested (common practice)",
        (one.state(fixing_spacing_mm=300),),
        ("fixing-spacing-fails",),
    )


def _duct_too_long_for_its_joint(scene: Scenario) -> None:
    one = scene.pick("corridor / classroom 1.N4", "EA1")
    scene.plant(
        "9 m of duct between fixed points: about 114 mm of growth at 60 minutes, a joint that travels 60 mm",
        "6.22, 6.23, C35",  # 12.7 mm a metre at 945 °C
        (one.state(run_between_fixed_mm=9000),),
        ("expansion-travel-fails",),
    )


def _fan_runs_on(scene: Scenario) -> None:
    one = scene.pick("corridor / classroom 1.N5", "EA1")
    scene.plant(
        "A fan that runs on at 700 Pa, a damper shown to close under 500 Pa",
        "8.11, 13 case 25",
        (one.state(fan_in_fire="runs", system_pressure_pa=700),),
        ("closing-under-flow-fails",),
    )


def _ceiling_without_a_hatch(scene: Scenario) -> None:
    one = scene.pick("corridor / classroom 1.N3", "EA1")
    scene.plant(
        "A fixed ceiling without a hatch below a damper",
        "5.25, 5.28",
        (one.state(ceiling="fixed ceiling", hatch_width_mm=0, hatch_height_mm=0),),
        ("access-reach-fails",),
    )


def _tray_in_the_working_zone(scene: Scenario) -> None:
    """The branch's ports say that the air flows into the room, so that the door is there and right is a known side."""
    one = scene.pick("corridor / bedroom 2.S4", "SA1")
    at = next(index for index, run in enumerate(scene.layout.runs) if one.ref in run.passes)
    scene.layout.runs[at] = replace(scene.layout.runs[at], flow=-1)  # south, into the room
    x, y, z = one.at
    beside = x - one.section.width / 2 - 300  # right is west for who looks south; the maker asks for 600 mm
    tray = Run("Cable tray bedroom 2.S4", "CT", "y", (beside, z), y - 2_400, y - 300, Section(150, 60), "tray", level=2)
    scene.layout.runs.append(tray)
    scene.plant(
        "A cable tray in the working zone that the maker asks for",
        "5.25, 5.26",
        (one.state(handing="right", door_distance_mm=300, zone_clear=None),),
        ("access-reach-fails",),
    )


def _blade_outside_its_casing(scene: Scenario) -> None:
    """In the product sheet of Quill Q60 (`tools.demo.products`), which one damper is of; that one is withdrawn too."""
    one = scene.pick("corridor / classroom 1.S2", "EA1")
    scene.plant(
        "A product sheet that puts the closed blade outside its own casing",
        "a shape that can't be",
        (one,),
        ("geometry-fails",),
    )


# what the model leaves open ---------------------------------------------------------------------------------------


def _ends_inside(scene: Scenario) -> None:
    y, z = 1_200, HEIGHT + 3_300
    name = "EA1 blind end level 1"
    scene.layout.straight(
        name, "EA1", "x", (y, z), (28_400, 30_000), Section(300, 200), ends_with="", starts_with="grille", level=1
    )
    stray = Stray("Q-1-01", 1, "1-X30-S", name, "ends-inside", (29_965, y, z))
    scene.strays.append(stray)
    scene.faults.append(
        Fault("A duct that ends inside a compartment wall", "13 case 1", (stray.ref,), ("place-unknown",))
    )
    scene.expected.add(Expected(stray.ref, "place-unknown", True))


def _above_the_ceiling(scene: Scenario) -> None:
    y, z = 4_000, 3_300
    name = "SA1 transfer level 0"
    scene.layout.straight(
        name, "SA1", "x", (y, z), (10_600, 13_400), Section(300, 200), ends_with="grille", starts_with="grille"
    )
    stray = Stray("Q-0-01", 0, "0-X12-S", name, "passes-over-or-beside", (12_000, y, z))
    scene.strays.append(stray)
    scene.faults.append(
        Fault(
            "A rated wall modelled up to the ceiling, a duct above it", "13 case 26", (stray.ref,), ("place-unknown",)
        )
    )
    scene.expected.add(Expected(stray.ref, "place-unknown", True))


# decisions by named people ----------------------------------------------------------------------------------------


def _deviation_accepted(scene: Scenario) -> None:
    one = _gap_cells(scene.pick("corridor / bedroom 2.S3", "SA1"), Gaps(45, 45, 25, 25))
    scene.plant(
        "Gap 5 mm over the tested window on two sides, accepted by a named person",
        "a state of its own, never within scope",
        (one,),
        (),
        ("gap-change", "deviation-note"),
    )
    scene.deviation_refs.append(one.ref)


def _deviation_outgrown(scene: Scenario) -> None:
    one = _gap_cells(scene.pick("corridor / bedroom 2.S4", "SA1"), Gaps(50, 50, 25, 25))
    scene.plant(
        "A gap accepted at 45 mm by a named person, made wider since: open again",
        "an acceptance holds for what was accepted",
        (one,),
        ("gap-change",),
    )
    scene.outgrown_refs.append(one.ref)


def _requirement_lowered(scene: Scenario) -> None:
    one = scene.pick("corridor / office 0.N1", "EA1").state(actuation=("thermal",))
    scene.plant(
        "Smoke detection not asked at one office, by an override of the fire engineer",
        "an override, shown on every output",
        (one,),
        (),
        ("requirement-lowered-note",),
    )
    scene.lowered_refs.append(one.ref)


_PLANTERS: tuple[Callable[[Scenario], None], ...] = (
    _thermal_only_on_an_escape_route,
    _fire_damper_on_an_escape_route,
    _no_heat_where_people_sleep,
    _heat_only_where_people_sleep,
    _damper_in_a_kitchen_extract,
    _run_not_proven,
    _damper_missing,
    _class_too_low,
    _no_access_door,
    _shaft_wall_with_wall_evidence,
    _concrete_evidence_in_a_stud_wall,
    _wall_swapped,
    _wall_type_without_rating,
    _deflection_head,
    _turned_damper,
    _too_large,
    _class_claimed_too_high,
    _document_withdrawn,
    _opening_too_wide,
    _one_side_zero,
    _two_in_one_hole,
    _too_near_each_other,
    _too_near_the_soffit,
    _steel_screws,
    _foreign_seal,
    _unnamed_seal,
    _pipe_in_the_seal,
    _insulation_through,
    _mechanism_turned,
    _round_in_square,
    _blade_off_centre,
    _access_from_inside_the_shaft,
    _batt_without_rods,
    _transfer_without_ducts,
    _rods_too_long,
    _rods_too_thin,
    _fixings_too_far_apart,
    _duct_too_long_for_its_joint,
    _fan_runs_on,
    _ceiling_without_a_hatch,
    _tray_in_the_working_zone,
    _blade_outside_its_casing,
    _ends_inside,
    _above_the_ceiling,
    _deviation_accepted,
    _deviation_outgrown,
    _requirement_lowered,
)
