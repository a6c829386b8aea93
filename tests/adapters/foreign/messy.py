# SPDX-License-Identifier: Apache-2.0
"""A seeded maker of messy schedules that knows the truth: what each row says, whatever the sheet looks like."""

from __future__ import annotations

import random
from dataclasses import dataclass, field
from typing import Any

from brattice.adapters.workbook import Cell, CellKind, MergedRange, Sheet, Workbook

__all__ = ["Messy", "messy"]

SIDES = (150, 200, 250, 300, 400, 500, 600, 750, 900)
ROUND = (100, 125, 160, 200, 250, 315, 400)
THICKNESSES = (100, 120, 150, 200, 300)


@dataclass
class Truth:
    """What one row states, and the text that stands in the sheet for it (None for none), both by key."""

    reference: str
    facts: dict[str, Any]
    texts: dict[str, Any] = field(default_factory=dict)


@dataclass
class Messy:
    """A sheet, what its rows say, and how many rows were left without their name."""

    book: Workbook
    rows: list[Truth]
    nameless: int
    keys: list[str]


def _size(rng: random.Random, size: tuple[float, float | None], unit: str, swapped: bool) -> str:
    """A size in one of the spellings of the trade; in a column of millimetres any unit may be spelled out."""
    scale = {"mm": 1, "cm": 10, "m": 1000}
    spelled = rng.choice(["", "", "", "mm", "cm", "m"])
    by = scale[spelled or unit]
    mark = spelled if spelled or rng.random() < 0.7 else unit
    first, second = size
    if second is None:
        figure = f"{first / by:g}"
        return rng.choice([f"Ø{figure}{mark}", f"{figure}{mark} dia", f"{figure}{mark}ø", f"DIA {figure}{mark}"])
    a, b = f"{first / by:g}", f"{second / by:g}"
    if rng.random() < 0.25:
        letters = [f"W{a}{mark} H{b}{mark}", f"{a}{mark}W x {b}{mark}H", f"H{b}{mark} x W{a}{mark}"]
        return rng.choice(letters)
    if swapped:
        a, b = b, a
    return rng.choice([f"{a}{mark}x{b}{mark}", f"{a}{mark} × {b}{mark}", f"{a}{mark}*{b}{mark}"])


def _stray(size: tuple[float, float | None]) -> str:
    """A size in centimetres that nobody says are centimetres: no size of the range stays one of it."""
    first, second = size
    return f"Ø{first / 10:g}" if second is None else f"{first / 10:g}x{second / 10:g}"


def _truth(rng: random.Random, number: int) -> Truth:
    def size() -> tuple[float, float | None]:
        return (rng.choice(ROUND), None) if rng.random() < 0.3 else (rng.choice(SIDES), rng.choice(SIDES))

    duct = size()
    return Truth(
        f"FD-{number:02}",
        {
            "storey": f"L{number // 5:02}",
            "duct_size": duct,
            "damper_size": duct if rng.random() < 0.8 else size(),
            "thickness_mm": rng.choice(THICKNESSES),
            "rating": rng.choice([30, 60, 90, 120]),
            "class_text": rng.choice(["EI 60 S", "E 120", "EI 120 (ve i↔o) S", None]),
            "actuation": rng.choice([("thermal",), ("smoke detection",), ("smoke detection", "thermal"), None]),
            "access_door": rng.choice([True, False, None]),
        },
    )


HEADINGS = {
    "reference": ["Damper Ref", "Reference", "FD No.", "Tag", "Damper ref."],
    "storey": ["Level", "Storey", "Floor level"],
    "duct_size": ["Duct size", "Ductwork size", "Size of duct"],
    "damper_size": ["Damper size", "FD size", "Damper dims"],
    "thickness_mm": ["Wall thickness", "Wall thk", "Barrier thickness"],
    "rating": ["Wall fire rating", "Compartment rating", "Wall rating"],
    "class_text": ["Damper class", "Damper rating", "Classification"],
    "actuation": ["Actuation", "Release mechanism"],
    "access_door": ["Access door", "Access panel (Y/N)"],
    "qty": ["Qty"],
    "doubtful": ["Type", "Fire rating", "Size"],
}
GROUPS = {
    "duct_size": ("Duct", "Size"),
    "damper_size": ("Damper", "Size"),
    "thickness_mm": ("Wall", "Thickness"),
    "rating": ("Wall", "Rating"),
}


def _texts(rng: random.Random, row: Truth, unit: str, swapped: bool) -> dict[str, Any]:
    facts = row.facts
    rating = facts["rating"]
    hours = f"{rating / 60:g}"
    thick = facts["thickness_mm"]
    texts: dict[str, Any] = {
        "reference": row.reference,
        "storey": facts["storey"],
        "thickness_mm": rng.choice([thick / {"mm": 1, "cm": 10, "m": 1000}[unit], f"{thick}mm", f"{thick / 10:g} cm"]),
        "rating": rng.choice([f"{hours}hr", f"{hours} HR", f"{rating} mins", f"{rating} min", f"E {rating}"]),
        "class_text": facts["class_text"],
        "actuation": {
            ("thermal",): rng.choice(["fusible link", "Thermal", "72°C fusible link"]),
            ("smoke detection",): rng.choice(["smoke detector", "Smoke detection"]),
            ("smoke detection", "thermal"): rng.choice(["fusible link + smoke detector", "thermal; smoke detection"]),
            None: rng.choice([None, "motorised 24V", "tbc"]),
        }[facts["actuation"]],
        "access_door": {True: "Y", False: "no", None: rng.choice([None, "?", "x"])}[facts["access_door"]],
        "qty": 1,
        "doubtful": rng.choice(["A", "2hr", "600x400"]),
    }
    for key in ("duct_size", "damper_size"):
        texts[key] = _size(rng, facts[key], unit, swapped)
        if rng.random() < 0.05:
            texts[key] = _stray(facts[key]) if unit == "mm" else rng.choice(["600", "see drawing", "600 400"])
    if rng.random() < 0.05:
        texts["rating"] = rng.choice(["-/60/60", "FD60", "?", "see strategy", 2 if rating == 120 else "1/2/3"])
    if rng.random() < 0.05:
        texts["class_text"] = rng.choice(["2 HR", "-/60/60", "120"])
        facts["class_text"] = None
    if rng.random() < 0.05:
        texts["thickness_mm"] = rng.choice(["varies", "150/200", *([0.15, 15] if unit == "mm" else [])])
    return texts


def messy(seed: int) -> Messy:
    """The messy sheet of a seed: headings moved, joined and renamed, units mixed, rows cut, cells merged."""
    rng = random.Random(seed)
    unit = rng.choice(["mm", "mm", "mm", "cm", "m"])
    swapped = rng.random() < 0.3
    grouped = rng.random() < 0.5
    keys = list(HEADINGS)
    rng.shuffle(keys)
    if rng.random() < 0.3:
        keys.remove(rng.choice([key for key in keys if key != "reference"]))
    cells: dict[tuple[int, int], Any] = {}
    merged: list[MergedRange] = []
    row = 1
    for _ in range(rng.randrange(4)):
        cells[row, 1] = rng.choice(["Invented Tower", "Fire damper schedule", "Issued for tender", "Revision P02"])
        if rng.random() < 0.5:
            merged.append(MergedRange(row, 1, row, len(keys)))
        row += rng.randrange(1, 3)
    top = row
    row += 1 if grouped else 0
    tail = f" ({unit})" if unit != "mm" or rng.random() < 0.5 else ""
    order = rng.choice([" HxW", " (H x W)"]) if swapped else rng.choice(["", " (WxH)", " W x H"])
    for at, key in enumerate(keys, start=1):
        heading = rng.choice(HEADINGS[key])
        if grouped and key in GROUPS:
            cells[top, at], heading = GROUPS[key]
        elif grouped and rng.random() < 0.5:
            merged.append(MergedRange(top, at, row, at))
            cells[top, at], heading = heading, ""
            if key == "thickness_mm":
                cells[top, at] += tail
        if key in {"duct_size", "damper_size"}:
            heading += order + tail
        elif key == "thickness_mm" and heading:
            heading += tail
        if heading:
            cells[row, at] = heading.upper() if rng.random() < 0.2 else heading
    truths = [_truth(rng, number) for number in range(1, rng.randrange(6, 20))]
    if rng.random() < 0.5:
        rng.shuffle(truths)
    hidden: list[int] = []
    placed: list[tuple[int, Truth]] = []
    for truth in truths:
        row += 1
        if rng.random() < 0.1:
            cells[row, rng.randrange(1, len(keys) + 1)] = rng.choice(["Level 4", "NOTE: all sizes nominal", "Block B"])
            row += 1
        if rng.random() < 0.1:
            row += rng.randrange(1, 3)
        if rng.random() < 0.05:
            cells.update(
                {
                    (row, at): cells[row_of, at]
                    for at in range(1, len(keys) + 1)
                    for row_of in [top + (1 if grouped else 0)]
                    if (row_of, at) in cells
                }
            )
            row += 1
        truth.texts = _texts(rng, truth, unit, swapped)
        for at, key in enumerate(keys, start=1):
            if truth.texts[key] is not None:
                cells[row, at] = truth.texts[key]
        if rng.random() < 0.08:
            hidden.append(row)
        if rng.random() < 0.08:
            for at in range(rng.randrange(2, len(keys) + 1), len(keys) + 1):
                if keys[at - 1] != "reference":
                    cells.pop((row, at), None)
                    truth.texts[keys[at - 1]] = None
        placed.append((row, truth))
    if rng.random() < 0.5:
        cells[row + 1, 1], cells[row + 1, 2] = "Total", len(truths)
    _merge(rng, cells, merged, placed, keys)
    nameless = 0
    if rng.random() < 0.2:
        at, truth = placed[rng.randrange(len(placed))]
        if sum((at, column) in cells for column in range(1, len(keys) + 1)) > 3:
            cells.pop((at, keys.index("reference") + 1), None)
            nameless += 1
    sheet = Sheet(
        "Dampers",
        tuple(
            Cell(r, c, CellKind.NUMBER if isinstance(value, int | float) else CellKind.TEXT, value)
            for (r, c), value in sorted(cells.items())
        ),
        tuple(sorted(merged)),
        tuple(hidden),
    )
    return Messy(Workbook("messy.xlsx", "0" * 64, (sheet,)), truths, nameless, keys)


def _merge(
    rng: random.Random,
    cells: dict[tuple[int, int], Any],
    merged: list[MergedRange],
    placed: list[tuple[int, Truth]],
    keys: list[str],
) -> None:
    """Merge some cells as a spreadsheet program does: the first stays, and says its value for all of them."""
    for at, key in enumerate(keys, start=1):
        if key in {"reference", "qty", "doubtful"} or rng.random() < 0.6:
            continue
        start = rng.randrange(len(placed) - 1)
        (first, one), (second, other) = placed[start], placed[start + 1]
        if second != first + 1:
            continue
        if rng.random() < 0.2 and at < len(keys) and keys[at] not in {"reference"}:
            merged.append(MergedRange(first, at, first, at + 1))
            cells.pop((first, at + 1), None)
            one.facts[keys[at]] = one.texts[keys[at]] = None
            return
        merged.append(MergedRange(first, at, second, at))
        cells.pop((second, at), None)
        other.facts[key] = one.facts[key]
        other.texts[key] = one.texts[key] if (first, at) in cells else None
