# SPDX-License-Identifier: Apache-2.0
"""What is in the building by construction: places by arithmetic, permanent ids by their law, findings by the plan."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable
from dataclasses import dataclass

from tools.demo.ducts import AXES, Planned, Run, Stray, pieces_of
from tools.demo.faults import Scenario
from tools.demo.models import barrier_id, element_id
from tools.demo.plan import STOREYS

__all__ = ["TrueOther", "TruePlace", "expected_csv", "others", "permanent_ids", "places", "places_csv"]


@dataclass(frozen=True)
class TruePlace:
    """One place by construction: kind and reason, barrier, elements along the axis, size and centre [mm]."""

    ref: str
    kind: str
    reason: str
    storey: str
    barrier: str
    elements: tuple[str, ...]
    damper: str
    width: float | None
    height: float | None
    at: tuple[float, float, float]
    thickness: float | None


@dataclass(frozen=True)
class TrueOther:
    """A pipe or tray through a barrier: service, element, barrier."""

    service: str
    element: str
    barrier: str


def _of_planned(one: Planned, run: Run, planned: dict[str, Planned]) -> TruePlace:
    at = one.at[AXES.index(one.axis)]
    low, high = at - one.thickness / 2, at + one.thickness / 2
    inside = [piece for piece in pieces_of(run, planned) if piece.meets(low, high)]
    damper = next((element_id(piece) for piece in inside if piece.part == "damper"), "")
    return TruePlace(
        one.ref,
        "penetration",
        "",
        STOREYS[one.level],
        barrier_id(one.barrier),
        tuple(element_id(piece) for piece in inside),
        damper,
        one.section.width,
        one.section.height,
        one.at,
        one.thickness,
    )


def _of_stray(stray: Stray, run: Run) -> TruePlace:
    (piece,) = (piece for piece in pieces_of(run, {}) if piece.part == "segment")
    return TruePlace(
        stray.ref,
        "query",
        stray.reason,
        STOREYS[stray.level],
        barrier_id(stray.barrier),
        (element_id(piece),),
        "",
        run.section.width,
        run.section.height,
        stray.at,
        None,
    )


def places(scene: Scenario) -> tuple[TruePlace, ...]:
    """Every place where a duct passes a barrier, and every one that is to be settled, by reference."""
    planned = scene.layout.planned
    by_ref = {ref: run for run in scene.layout.runs for ref in run.passes}
    by_name = {run.name: run for run in scene.layout.runs}
    found = [_of_planned(one, by_ref[ref], planned) for ref, one in planned.items()]
    found += [_of_stray(stray, by_name[stray.run]) for stray in scene.strays]
    return tuple(sorted(found, key=lambda place: place.ref))


_WALLS_PASSED = {
    "Cable tray level 0": ("0-X30-C",),
    "Cable tray level 1": ("1-X30-C",),
    "Cable tray level 2": ("2-X30-C",),
    "Heating flow": ("0-COR-S2",),
    "Heating return": ("0-COR-S2",),
    "Soil stack": ("Slab level 1", "Slab level 2", "Slab roof"),
    "Heating branch 1.S5": ("1-COR-S2",),
}


def others(scene: Scenario) -> tuple[TrueOther, ...]:
    """Pipes and trays through barriers."""
    found = []
    for run in scene.layout.runs:
        if run.service != "duct":
            (piece,) = pieces_of(run, {})
            service = "cable" if run.service == "tray" else "pipe"
            found += [
                TrueOther(service, element_id(piece), barrier_id(name)) for name in _WALLS_PASSED.get(run.name, ())
            ]
    return tuple(found)


def permanent_ids(scene: Scenario) -> dict[str, str]:
    """The id that the ledger of a first check gives to each reference: counted up by storey, then by place."""

    def order(place: TruePlace) -> tuple[str, tuple[float, ...]]:
        return place.storey, tuple(round(part / 1000, 3) for part in place.at)

    return {place.ref: f"P-{number:04d}" for number, place in enumerate(sorted(places(scene), key=order), 1)}


def _text(value: float | None) -> str:
    return "" if value is None else f"{value:g}"


def _csv(headings: tuple[str, ...], rows: Iterable[tuple[str, ...]]) -> str:
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(headings)
    writer.writerows(rows)
    return out.getvalue()


def places_csv(scene: Scenario) -> str:
    """The places as a table; lengths in millimetres."""
    return _csv(
        (
            "ref",
            "kind",
            "reason",
            "storey",
            "barrier_guid",
            "element_guids",
            "damper_guid",
            "width_mm",
            "height_mm",
            "x_mm",
            "y_mm",
            "z_mm",
            "thickness_mm",
        ),
        (
            (
                place.ref,
                place.kind,
                place.reason,
                place.storey,
                place.barrier,
                " ".join(place.elements),
                place.damper,
                _text(place.width),
                _text(place.height),
                *(_text(part) for part in place.at),
                _text(place.thickness),
            )
            for place in places(scene)
        ),
    )


def expected_csv(scene: Scenario) -> str:
    """The findings that a check has to make, as a table."""
    return _csv(
        ("ref", "code", "open"), ((one.ref, one.code, "yes" if one.open else "no") for one in sorted(scene.expected))
    )
