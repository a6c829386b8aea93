# SPDX-License-Identifier: Apache-2.0
"""A whole report of an invented job: every state, every kind of reason, unknown facts, round and floor.

The judgments are written by hand (the evidence room is not asked), the states come from `assess`. All names are
invented. `PLANTED` says what stands where, so that tests have something to hold an output against.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import date
from typing import Any

from brattice.building.penetration import Penetration, Sides, Size
from brattice.building.plan import PlanBarrier, StoreyPlan
from brattice.building.wall_type import WallType
from brattice.building.words import (
    Actuation,
    BarrierRole,
    FixingFamily,
    MountingPosition,
    OpeningShape,
    Orientation,
    ProtectionMethod,
    SupportingConstruction,
    SystemUse,
)
from brattice.details.opening import detail_opening
from brattice.evidence.installation import SizeWindow, TestedInstallation, Window
from brattice.evidence.judgment import Change, Judgment, Scope
from brattice.findings import Fact, Finding, Known, Missing, Origin, Party, Reason, Unknown, Verdict
from brattice.quantities import KgPerM3, Mm
from brattice.requirements.requirement import LoweredRequirement, MethodAnswer, Requirement, RequirementPart
from brattice.rows import Clause, HowKnown, Row
from brattice.selection.choice import Choice
from brattice.usecases.assess import Answers, assess, queries_of
from brattice.usecases.job import AcceptedValue, DeviationAccepted
from brattice.usecases.report_model import InputUsed, OtherService, PenetrationReport, Report, RowUsed
from brattice.usecases.settle import rank_missing
from brattice.usecases.states import PenetrationState
from tests.helpers.installations import gaps, installation
from tests.helpers.penetrations import known, penetration, rating, unknown, wall_type, with_facts

__all__ = ["AS_OF", "HOSTILE", "PLANTED", "hostile_report", "large_report", "sample_report"]

AS_OF = date(2026, 9, 1)

PLANTED: dict[str, PenetrationState] = {
    "P-0001": PenetrationState.WITHIN_SCOPE,
    "P-0002": PenetrationState.OUTSIDE_SCOPE,
    "P-0003": PenetrationState.NOT_ENOUGH_KNOWN,
    "P-0004": PenetrationState.NOT_ENOUGH_KNOWN,
    "P-0005": PenetrationState.NOT_ENOUGH_KNOWN,
    "P-0006": PenetrationState.WITHIN_SCOPE_IF,
    "P-0007": PenetrationState.WITHIN_SCOPE,
    "P-0008": PenetrationState.DEVIATION_ACCEPTED,
    "P-0009": PenetrationState.PROTECTED_RUN_PROVEN,
    "P-0010": PenetrationState.NO_PROTECTION_NEEDED,
    "P-0011": PenetrationState.TO_BE_SETTLED,
    "P-0012": PenetrationState.OUTSIDE_SCOPE,
    "P-0013": PenetrationState.NOT_ENOUGH_KNOWN,
    "P-0014": PenetrationState.WITHIN_SCOPE,
    "P-0015": PenetrationState.OUTSIDE_SCOPE,
}

ROWS = (
    Row(
        "eng.class.period",
        1,
        60,
        "min",
        Clause("Approved Document B volume 2", "10.11", "2019"),
        HowKnown.READ,
        "A fire damper has E for the period of the barrier, at least 60 minutes.",
        handbook=("4.2",),
    ),
    Row(
        "eng.actuation.escape",
        1,
        "smoke detection",
        "",
        Clause("Approved Document B volume 2", "10.16", "2019"),
        HowKnown.MEMORY,
        "Where ducts serve sleeping areas or pass the enclosure of an escape route, smoke detection closes the damper.",
        confidence="high",
        jurisdiction="England",
        handbook=("4.5",),
    ),
    Row(
        "en.1366-2.separation",
        1,
        200,
        "mm",
        Clause("EN 1366-2", "13", "2015"),
        HowKnown.SECONDARY,
        "Between two dampers at least 200 mm of supporting construction, unless tested nearer.",
        handbook=("2.30",),
    ),
    Row(
        "eng.method.kitchen",
        2,
        False,
        "",
        Clause("Approved Document B volume 2", "10.14", "2019"),
        HowKnown.MEMORY,
        "Extract of a commercial kitchen is not protected by fire dampers.",
        confidence="medium",
        jurisdiction="England",
        handbook=("4.8",),
    ),
    Row(
        "scope.fixing",
        1,
        True,
        "",
        Clause("common practice", "tested installation", ""),
        HowKnown.READ,
        "A way of fixing, with its support and its seal, is used as that damper's own report shows it.",
        handbook=("5.4",),
    ),
)

LOWERED = LoweredRequirement(
    ("P-0014",),
    "E 60 (ve i↔o)",
    None,
    "R. Sandling",
    "fire engineer",
    "FS-014 Fire strategy note",
    "C",
    date(2026, 6, 12),
    "The store behind is sprinklered and holds no combustibles.",
)

DEVIATION = DeviationAccepted(
    ("P-0008",),
    ("separation-fails",),
    "M. Oakhanger",
    "building control officer",
    "BC-221 Letter of acceptance",
    "A",
    date(2026, 7, 3),
    "Both dampers are tested on completion in the presence of the fire engineer.",
    (AcceptedValue("separation-fails", "150 mm from casing to casing", "200 mm of supporting construction"),),
)


def _pass(code: str, text: str, have: str = "", need: str = "", *rows: str) -> Reason:
    return Reason(code, Verdict.PASS, text, have, need, rows)


def _fail(code: str, text: str, have: str = "", need: str = "", *rows: str) -> Reason:
    return Reason(code, Verdict.FAIL, text, have, need, rows, (), (Origin("schedule/schedule.xlsx", "row 7"),))


def _lacks(code: str, text: str, missing: Missing, need: str = "") -> Reason:
    return Reason(code, Verdict.UNKNOWN, text, "not stated", need, (), (missing,))


GOOD = (
    _pass("class", "The class declared meets the class asked.", "EI 60 (ve i↔o) S", "E 60", "eng.class.period"),
    _pass("size", "The size lies in the tested window.", "600 × 400", "200 to 1200 × 200 to 800"),
    _pass("supporting-construction", "The wall is of the tested kind.", "rigid wall, 150 mm", "rigid wall, 100 mm"),
    _pass("seal", "The seal is the tested one.", "Cinderlock M5 mortar", "Cinderlock M5 mortar"),
    _pass("gap", "Every side keeps the tested window.", "50 mm each side", "30 to 60 mm from the duct"),
)


def _requirement(
    thing: Penetration,
    *,
    smoke: bool = False,
    needed: Verdict = Verdict.PASS,
    texts: Fact[tuple[str, ...]] | None = None,
    lowered: LoweredRequirement | None = None,
    missing: tuple[Missing, ...] = (),
    kitchen: bool = False,
) -> Requirement:
    asked = frozenset({Actuation.SMOKE_DETECTION}) if smoke else frozenset({Actuation.THERMAL})
    one = Verdict.FAIL if kitchen else Verdict.PASS
    why = (
        _fail("method", "Extract of a commercial kitchen takes no fire damper.", "", "", "eng.method.kitchen")
        if kitchen
        else _pass("method", "A fire damper may protect here.")
    )
    parts = [RequirementPart("class", "E for 60 minutes at least", ("eng.class.period",))]
    if smoke:
        parts.append(
            RequirementPart(
                "actuation", "closed by smoke detection", ("eng.actuation.escape",), ("FS-001 Fire strategy rev. B",)
            )
        )
    return Requirement(
        thing.id,
        needed,
        (
            MethodAnswer(ProtectionMethod.FIRE_DAMPER, one, (why,)),
            MethodAnswer(
                ProtectionMethod.FIRE_RESISTING_DUCT,
                Verdict.UNKNOWN,
                (_lacks("run", "The whole run is not stated proven.", Missing("run", "The run", Party.FIRE_ENGINEER)),),
            ),
        ),
        texts if texts is not None else known(("E 60 (ve i↔o)", "ES 60 (ve i↔o)")),
        known(asked),
        tuple(parts) if needed is Verdict.PASS else (),
        missing,
        lowered,
    )


def _judgment(
    thing: Penetration,
    scope: Scope = Scope.WITHIN,
    *reasons: Reason,
    changes: tuple[Change, ...] = (),
    of: str = "HV-10-RW-1",
) -> Judgment:
    codes = {item.code for item in reasons}
    kept = tuple(item for item in GOOD if item.code not in codes)
    missing = tuple(sorted({m for item in reasons for m in item.missing}))
    held = "EI 60 (ve i↔o) S" if scope in {Scope.WITHIN, Scope.WITHIN_IF} else ""
    return Judgment(thing.id, of, scope, (*reasons, *kept), changes, missing, achieved_class=held)


def _assessed(
    thing: Penetration,
    requirement: Requirement | None = None,
    judgment: Judgment | None = None,
    tested: TestedInstallation | None = None,
    *,
    scheduled: Sequence[Reason] = (),
    merged: Sequence[Reason] = (),
    chosen: bool = True,
    others: tuple[Judgment, ...] = (),
    alternatives: tuple[Judgment, ...] = (),
    deviations: Iterable[DeviationAccepted] = (),
) -> PenetrationReport:
    judged = judgment if judgment is not None else _judgment(thing)
    choice = Choice(judged, "The first within scope by maker order and id.", others, alternatives) if chosen else None
    return assess(
        Answers(
            thing,
            requirement if requirement is not None else _requirement(thing),
            tuple(scheduled),
            tuple(merged),
            choice,
            detail_opening(thing, tested or installation()) if chosen else None,
            (("within scope", 1), ("outside scope", 4)) if chosen else (),
        ),
        tuple(deviations),
    )


def _flexible() -> WallType:
    return with_facts(
        wall_type("W2"),
        kind=SupportingConstruction.FLEXIBLE_WALL,
        thickness_mm=Mm(130),
        density_kg_m3=KgPerM3(0),
        material="steel studs and plasterboard",
        board_type="type F",
        board_thickness_mm=Mm(15),
        board_layers=(2, 2),
        stud_size_mm=Mm(70),
        stud_spacing_mm=Mm(600),
        cavity_fill="mineral wool",
        opening_framing="studs and noggings all round",
        lining_mm=Mm(30),
    )


def _wall_without_rating() -> WallType:
    missing = Missing("wall-type/W3/rating", "Wall type W3: the fire resistance", Party.FIRE_ENGINEER)
    return with_facts(wall_type("W3"), rating=Unknown(missing), thickness_mm=Mm(140))


FLEXIBLE = installation(
    id="HV-10-FW-2",
    construction__kind=SupportingConstruction.FLEXIBLE_WALL,
    construction__least_thickness_mm=Mm(100),
    construction__lining_mm=Mm(30),
    fixing=FixingFamily.LINED_OPENING,
    seal__products=("Emberfold B2 board",),
)

ROUND = installation(
    id="TX-R-RF-1",
    maker="Tallis Exe",
    product="TX-R",
    sizes=SizeWindow(OpeningShape.ROUND, Window(100, 800), None),
    class_text="EI 120 (ho i↔o) S",
    construction__kind=SupportingConstruction.RIGID_FLOOR,
    construction__least_thickness_mm=Mm(150),
    orientation=Orientation.FLOOR,
    opening_shape=OpeningShape.ROUND,
    seal__gaps=gaps(20, 50),
    document__reference="DoP TX-R",
    origin=Origin("evidence/tallis.toml", "installation TX-R-RF-1"),
)


def _at(number: int, x: float, y: float, storey: str = "Level 1", **facts: Any) -> Penetration:
    name = f"P-{number:04d}"
    thing = penetration(
        id=name,
        key=f"wall-{number}/duct-{number}/1",
        aliases=(("designer's reference", f"FD/{number:02d}"), ("GlobalId", f"2O2Fr$t4X7Zf8NOew3F{number:03d}")),
        location__centre_m=(x, y, 3.4),
        location__storey=storey,
        location__words=f"grid {'ABCDEFGH'[int(x) // 6 % 8]}/{int(y) // 6 + 1}",
    )
    return with_facts(thing, **facts)


def _penetrations() -> tuple[PenetrationReport, ...]:
    w3: dict[str, Any] = {
        "barrier__wall_type_code": "W3",
        "barrier__wall_type": _wall_without_rating(),
        "barrier__rating": _wall_without_rating().rating,
        "barrier__thickness_mm": Mm(140),
    }
    no_rating = _wall_without_rating().rating
    assert isinstance(no_rating, Unknown)
    ask_rating = _lacks(
        "class", "Without the fire resistance of wall type W3 no class can be asked.", no_rating.missing, "a class"
    )
    w2: dict[str, Any] = {
        "barrier__wall_type_code": "W2",
        "barrier__wall_type": _flexible(),
        "barrier__thickness_mm": Mm(130),
    }

    p1 = _at(1, 3.0, 6.0)
    p2 = _at(2, 6.0, 6.0, installation__seal_products=("Emberfold B2 board",))
    p6 = _at(6, 9.0, 6.0, opening__gaps=Sides(Mm(20), Mm(80), Mm(50), Mm(50)))
    p7 = _at(
        7,
        12.0,
        6.0,
        **w2,
        opening__framed=Size(Mm(760), Mm(560)),
        installation__fixing=FixingFamily.LINED_OPENING,
        installation__seal_products=("Emberfold B2 board",),
    )
    p8 = _at(8, 12.2, 6.0)
    p9 = _at(
        9,
        18.0,
        9.0,
        protection__method=ProtectionMethod.FIRE_RESISTING_DUCT,
        protection__run_proven=True,
        damper__present=False,
    )
    p10 = _at(10, 21.0, 3.0, barrier__role=BarrierRole.NOT_SEPARATING, barrier__rating=rating(0, text="unrated"))
    p11 = _at(11, 18.0, 3.0, to_be_settled=True, model_queries=("ends-inside",))
    p12 = _at(
        12,
        6.0,
        9.0,
        "Level 2",
        barrier__orientation=Orientation.FLOOR,
        barrier__role=BarrierRole.COMPARTMENT_FLOOR,
        barrier__wall_type_code="F1",
        barrier__wall_type=with_facts(
            wall_type("F1"), kind=SupportingConstruction.RIGID_FLOOR, thickness_mm=Mm(250), material="concrete"
        ),
        barrier__thickness_mm=Mm(250),
        duct__size=Size(Mm(315)),
        damper__size=Size(Mm(315)),
        damper__product="TX-R",
        damper__maker="Tallis Exe",
        opening__framed=Size(Mm(400), Mm(400)),
        opening__finished=Size(Mm(400), Mm(400)),
        opening__gaps=Sides(Mm(42.5), Mm(42.5), Mm(42.5), Mm(42.5)),
    )
    p13 = _at(13, 12.0, 12.0, "Level 2")
    for name in (
        "barrier__thickness_mm",
        "opening__framed",
        "opening__finished",
        "opening__gaps",
        "installation__seal_products",
        "installation__seal_depth_mm",
        "damper__blade_offset_mm",
        "damper__size",
        "installation__position",
    ):
        key = f"penetration/P-0013/{name.split('__')[1].removesuffix('_mm').replace('_', '-')}"
        p13 = with_facts(p13, **{name: unknown(key)})
    p13 = with_facts(p13, barrier__wall_type=None, barrier__wall_type_code=unknown("penetration/P-0013/wall-type"))
    seal = Missing("penetration/P-0013/seal-products", "P-0013: the named products of the seal", Party.FIRESTOPPER)
    thick = Missing("penetration/P-0013/thickness", "P-0013: the thickness of the barrier", Party.ARCHITECT)
    p14 = _at(14, 18.0, 6.0, "Level 2")
    p15 = _at(
        15, 3.0, 12.0, "Level 2", duct__system=SystemUse.KITCHEN_EXTRACT, installation__position=MountingPosition.REMOTE
    )

    smoke = _fail(
        "actuation",
        "The damper closes by heat alone; here smoke detection has to close it.",
        "thermal",
        "smoke detection",
        "eng.actuation.escape",
    )
    other_seal = _fail(
        "seal",
        "The seal scheduled is not the tested one.",
        "Emberfold B2 board",
        "Cinderlock M5 mortar",
    )
    gap = _fail("gap", "The gap on the left is too small and on the right too wide.", "20 / 80", "30 to 60 mm")
    apart = _fail(
        "separation",
        "Too near to P-0007.",
        "150 mm from casing to casing",
        "200 mm of supporting construction",
        "en.1366-2.separation",
    )
    nearer = Change("gap", 2, "Move the opening 30 mm to the left of where it is drawn.", "20 / 80", "50 / 50")
    shape = _fail("opening-shape", "A round damper in a rectangular opening was not tested.", "rectangular", "round")
    flexible = replace(_judgment(p7, of="HV-10-FW-2"), achieved_class="EI 60 (ve i↔o) S")
    return (
        _assessed(p1),
        _assessed(
            p2,
            _requirement(p2, smoke=True),
            _judgment(p2, Scope.OUTSIDE, other_seal),
            scheduled=(smoke,),
            others=(_judgment(p2, Scope.OUTSIDE, other_seal, _fail("fixing", "Another fixing."), of="HV-10-RW-2"),),
            alternatives=(replace(_judgment(p2, of="TX-40-RW-1"), same_product=False),),
        ),
        *(
            _assessed(
                _at(n, 3.0 * n, 3.0, **w3),
                _requirement(p1, texts=no_rating, missing=(no_rating.missing,)),
                _judgment(_at(n, 3.0 * n, 3.0), Scope.NOT_ENOUGH_KNOWN, ask_rating),
            )
            for n in (3, 4, 5)
        ),
        _assessed(p6, None, _judgment(p6, Scope.WITHIN_IF, gap, changes=(nearer,))),
        _assessed(p7, None, flexible, FLEXIBLE),
        _assessed(p8, None, _judgment(p8, Scope.OUTSIDE, apart), deviations=(DEVIATION,)),
        _assessed(p9, chosen=False),
        _assessed(p10, _requirement(p10, needed=Verdict.NOT_APPLICABLE), chosen=False),
        _assessed(
            p11,
            merged=(
                _lacks(
                    "place",
                    "The duct ends inside the wall; the model does not show whether it passes.",
                    Missing("penetration/P-0011/place", "P-0011: does a duct pass here?", Party.SERVICES_DESIGNER),
                ),
            ),
            chosen=False,
        ),
        _assessed(p12, None, _judgment(p12, Scope.OUTSIDE, shape, of="TX-R-RF-1"), ROUND),
        _assessed(
            p13,
            None,
            _judgment(
                p13,
                Scope.NOT_ENOUGH_KNOWN,
                _lacks("seal", "The seal is not named.", seal, "Cinderlock M5 mortar"),
                _lacks("supporting-construction", "The thickness is not stated.", thick, "at least 100 mm"),
            ),
        ),
        _assessed(p14, _requirement(p14, lowered=LOWERED)),
        _assessed(
            p15,
            _requirement(p15, kitchen=True),
            scheduled=(
                _fail(
                    "method",
                    "Extract of a commercial kitchen takes no fire damper.",
                    "1 fire damper",
                    "a fire-resisting enclosure or duct",
                    "eng.method.kitchen",
                ),
            ),
            chosen=False,
        ),
    )


def _box(x: float, y: float, width: float, depth: float) -> tuple[tuple[float, float], ...]:
    return ((x, y), (x + width, y), (x + width, y + depth), (x, y + depth))


def _plans(ids: dict[str, list[str]]) -> tuple[StoreyPlan, ...]:
    def wall(guid: str, minutes: int | None, text: str, *outlines: tuple[tuple[float, float], ...]) -> PlanBarrier:
        return PlanBarrier(guid, f"Wall {guid}", text, minutes, False, outlines)

    return (
        StoreyPlan(
            "Level 1",
            0.0,
            (
                wall("w-1", 60, "EI 60", _box(0, 5.925, 24, 0.15)),
                wall("w-2", None, "", _box(0, 2.93, 16, 0.14)),
                wall("w-3", 120, "EI 120", _box(17.9, 0, 0.2, 12)),
                wall("w-4", 0, "unrated", _box(20.95, 0, 0.1, 5.9)),
            ),
            (_box(2.7, 1.0, 0.6, 10), _box(5.7, 4.0, 0.6, 6), _box(8.7, 1, 0.6, 8), _box(11.7, 1, 0.6, 8)),
            tuple(ids["Level 1"]),
        ),
        StoreyPlan(
            "Level 2",
            3.6,
            (
                PlanBarrier("f-1", "Floor", "REI 60", 60, True, (_box(0, 0, 24, 14),)),
                wall("w-5", 60, "EI 60", _box(0, 11.925, 24, 0.15)),
                wall("w-6", 60, "EI 60", _box(17.925, 0, 0.15, 12)),
            ),
            (_box(2.7, 8, 0.6, 5), _box(11.7, 9, 0.6, 5)),
            tuple(ids["Level 2"]),
        ),
    )


def _report(items: tuple[PenetrationReport, ...], plans: tuple[StoreyPlan, ...] | None = None) -> Report:
    ids: dict[str, list[str]] = {"Level 1": [], "Level 2": []}
    for item in items:
        storey = item.penetration.location.storey
        assert isinstance(storey, Known)
        ids.setdefault(storey.value, []).append(item.penetration.id)
    used = {row: sum(row in item.rests_on for item in items) for row in (row.id for row in ROWS)}
    unread = Finding(
        "models/annexe.ifc",
        "input-unknown",
        True,
        "The file is cut off: the closing line is missing. Nothing of it was read.",
        "no END-ISO-10303-21",
        "a whole file; export it again",
    )
    reasons = [
        (
            item.penetration.id,
            [Reason("any", Verdict.UNKNOWN, "", missing=tuple(query.missing for query in item.queries))],
        )
        for item in items
    ]
    return Report(
        job_name="Larkmoor Court (invented)",
        invented=True,
        as_of=AS_OF,
        version="0.1.0",
        jurisdiction="England",
        edition="2019",
        purpose="non-residential",
        inputs=tuple(
            InputUsed(path, role, hashlib.sha256(path.encode()).hexdigest(), notes)
            for path, role, notes in (
                ("brattice.toml", "job", ()),
                ("evidence/harrow.toml", "evidence", ()),
                ("models/annexe.ifc", "services", ("could not be read",)),
                ("models/building.ifc", "architecture", ()),
                ("schedule/schedule.xlsx", "schedule", ()),
            )
        ),
        penetrations=items,
        job_findings=(unread,),
        queries=queries_of(reasons),
        settle_first=rank_missing(items),
        other_services=(OtherService("wall-1/pipe-1/1", "Level 1", "pipe", ("pipe-1",), ("wall-1",), "Ø 110"),),
        plans=_plans(ids) if plans is None else plans,
        installations=(installation(), FLEXIBLE, ROUND),
        rows=tuple(RowUsed(row, row.how_known is HowKnown.READ, used[row.id]) for row in ROWS),
        lowered=(LOWERED,),
        deviations=(DEVIATION,),
        ledger_notes=("P-0004 was found again by its place and shape: the duct has a new GlobalId.",),
    )


def sample_report() -> Report:
    """Fifteen penetrations of an invented building, in every state (see `PLANTED`)."""
    return _report(_penetrations())


def large_report(count: int) -> Report:
    """The sample's penetrations over and over until there are `count`, each with an id of its own, on one storey."""
    base = [item for item in _penetrations() if item.penetration.id != "P-0012"]
    made = []
    for number in range(1, count + 1):
        item = base[number % len(base)]
        name = f"P-{number:04d}"
        place = (1.5 * (number % 40), 2.0 * (number // 40), 3.4)
        thing = with_facts(item.penetration, id=name, location__centre_m=place, location__storey="Level 1")
        made.append(
            replace(
                item,
                penetration=thing,
                requirement=replace(item.requirement, penetration_id=name),
                findings=tuple(replace(finding, subject=name) for finding in item.findings),
            )
        )
    walls = tuple(
        PlanBarrier(f"w-{n}", f"Wall {n}", "EI 60", 60, False, (_box(0, 2.0 * n - 0.1, 61, 0.2),))
        for n in range(count // 40 + 1)
    )
    plan = StoreyPlan("Level 1", 0.0, walls, (), tuple(item.penetration.id for item in made))
    return _report(tuple(made), (plan,))


HOSTILE = (
    '=HYPERLINK("x","y")',
    "+1+1",
    "-2+3",
    "@SUM(A1)",
    "</script><img src=x onerror=alert(1)>",
    "\"><svg onload=alert(1)>' onmouseover='alert(1)",
    "{{7*7}}{% for x in y %}",
    "#set text(size: 99pt)",
    r"\write18{touch x}",
    "a\u202eb\x00c\x07d",
    "]]><!-- --><style>*{display:none}</style>",
    "\ud800 lone",
)


def hostile_report() -> Report:
    """The sample with names from outside that try to act: every free text carries one of `HOSTILE`."""
    report = sample_report()
    texts = iter(HOSTILE * 400)

    def spoil_reason(reason: Reason) -> Reason:
        missing = tuple(replace(item, text=next(texts)) for item in reason.missing)
        origins = tuple(Origin(next(texts), next(texts)) for _ in reason.origins)
        return replace(reason, text=next(texts), have=next(texts), need=next(texts), missing=missing, origins=origins)

    def spoil_judgment(judgment: Judgment) -> Judgment:
        return replace(
            judgment,
            reasons=tuple(spoil_reason(item) for item in judgment.reasons),
            changes=tuple(replace(item, text=next(texts), have=next(texts)) for item in judgment.changes),
            notes=(next(texts),),
        )

    def spoil(item: PenetrationReport) -> PenetrationReport:
        wall = item.penetration.barrier.wall_type
        thing = with_facts(
            item.penetration,
            key=next(texts),
            location__words=next(texts),
            location__storey=next(texts),
            barrier__wall_type_code=next(texts),
            barrier__guids=(next(texts),),
            duct__guids=(next(texts),),
            damper__maker=next(texts),
            damper__product=next(texts),
            damper__class_text=next(texts),
            installation__seal_products=(next(texts), next(texts)),
            aliases=((next(texts), next(texts)),),
            remarks=(next(texts),),
        )
        if wall is not None:
            thing = with_facts(thing, barrier__wall_type=with_facts(wall, code=next(texts), material=next(texts)))
        return replace(
            item,
            penetration=thing,
            state_why=next(texts),
            chosen_why=next(texts),
            chosen=spoil_judgment(item.chosen) if item.chosen else None,
            others=tuple(spoil_judgment(other) for other in item.others),
            alternatives=tuple(spoil_judgment(other) for other in item.alternatives),
            findings=tuple(
                replace(finding, text=next(texts), have=next(texts), need=next(texts), origins=(Origin(next(texts)),))
                for finding in item.findings
            ),
            queries=tuple(replace(q, missing=replace(q.missing, text=next(texts))) for q in item.queries),
            facts=tuple((next(texts), next(texts), next(texts)) for _ in item.facts),
        )

    def spoil_plan(plan: StoreyPlan) -> StoreyPlan:
        barriers = tuple(replace(b, name=next(texts), rating_text=next(texts), guid=next(texts)) for b in plan.barriers)
        return replace(plan, storey=next(texts), barriers=barriers)

    return replace(
        report,
        job_name="".join(HOSTILE),
        jurisdiction=next(texts),
        inputs=tuple(replace(item, path=next(texts), role=next(texts), notes=(next(texts),)) for item in report.inputs),
        penetrations=tuple(spoil(item) for item in report.penetrations),
        job_findings=tuple(replace(f, subject=next(texts), text=next(texts)) for f in report.job_findings),
        queries=tuple(replace(q, missing=replace(q.missing, text=next(texts))) for q in report.queries),
        settle_first=tuple(replace(item, text=next(texts), ask=next(texts)) for item in report.settle_first),
        other_services=tuple(
            replace(item, key=next(texts), storey=next(texts), size=next(texts), guids=(next(texts),))
            for item in report.other_services
        ),
        plans=tuple(spoil_plan(plan) for plan in report.plans),
        installations=tuple(
            replace(item, maker=next(texts), product=next(texts), notes=(next(texts),)) for item in report.installations
        ),
        lowered=tuple(replace(item, person=next(texts), why=next(texts)) for item in report.lowered),
        deviations=tuple(replace(item, person=next(texts), conditions=next(texts)) for item in report.deviations),
        ledger_notes=(next(texts),),
    )
