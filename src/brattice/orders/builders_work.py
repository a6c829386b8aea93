# SPDX-License-Identifier: Apache-2.0
"""The builders' work schedule: every opening to be formed for a damper, by storey, wall and grid.

Framed opening is what the builder forms, finished clear opening what is left once it is lined; a row never says a bare
"opening" beside a number (trade handbook, field case 29).
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

from brattice.building.detail_facts import MODEL_LEVEL
from brattice.building.words import Orientation, plain
from brattice.details.detail import InstallationDetail, Standing
from brattice.details.figures import TO_BE_SETTLED
from brattice.findings import Known, Verdict
from brattice.orders.too_near import TooNearGroup
from brattice.orders.words import (
    has_no_damper,
    missing_words,
    natural,
    reference_of,
    settled_text,
    size_of,
    storey_of,
    wall_words,
)

__all__ = ["BUILDERS_FIELDS", "BuildersWork", "BuildersWorkRow", "OpeningState", "builders_work"]

BUILDERS_FIELDS: tuple[tuple[str, str], ...] = (
    ("storey", "Storey"),
    ("wall", "Wall or floor type"),
    ("role", "Role"),
    ("grid", "Grid"),
    ("framed", "Framed opening, width × height"),
    ("finished", "Finished clear opening, width × height"),
    ("centre", "Centre above structural floor"),
    ("sill", "Sill of the finished clear opening"),
    ("head", "Head of the finished clear opening"),
    ("heights-from", "Heights counted from"),
    ("lining", "Lining on each reveal"),
    ("lintel", "Lintel or trimmer"),
    ("by", "Formed by"),
    ("when", "When"),
    ("off", "Opening as scheduled or made"),
)
"""What each row says beside its ids and its state: key and heading, in the order in which they are printed."""

_FIGURES = {
    "grid": "grid",
    "centre": "centre-height",
    "sill": "sill-height",
    "head": "head-height",
    "lining": "lining",
    "lintel": "lintel",
    "by": "opening-by",
    "when": "opening-when",
}
_NEEDS = ("centre", "lining", "lintel", "grid")
_HEIGHTS = ("centre", "sill", "head", "heights-from")
_PARTS = ("framed", "finished")
_HEADINGS = dict(BUILDERS_FIELDS)
_NO_LINING = "none"
_IN_FLOOR = "in the floor"
_FROM_STRUCTURE = "the structural floor"
_FROM_MODEL = "the model's level, which may be the finished floor"


class OpeningState(StrEnum):
    """What the builder does with an opening."""

    FORM = "form"
    FORM_AGAIN = "re-form"
    AS_BUILT = "as built"
    HELD = "held"


@dataclass(frozen=True)
class BuildersWorkRow:
    """One opening: `texts` by the keys of `BUILDERS_FIELDS`, its state, and what is to be settled in words."""

    id: str
    reference: str
    texts: Mapping[str, str]
    state: OpeningState
    why: str
    to_settle: tuple[str, ...]
    is_floor: bool

    @property
    def settle_text(self) -> str:
        """What is to be settled, one thing a line."""
        return "\n".join(self.to_settle)


@dataclass(frozen=True)
class BuildersWork:
    """The rows in their order, the penetrations that have no damper and so no row here, and what is too near."""

    rows: tuple[BuildersWorkRow, ...]
    without_damper: tuple[str, ...]
    too_near: tuple[TooNearGroup, ...] = ()

    @property
    def counts(self) -> tuple[tuple[str, int], ...]:
        """How many openings are in each state; zeros included."""
        states = [row.state for row in self.rows]
        return tuple((str(state), states.count(state)) for state in OpeningState)


def _is_stated(detail: InstallationDetail) -> bool:
    opening = detail.penetration.opening
    return isinstance(opening.finished, Known) or isinstance(opening.framed, Known)


def _is_floor(detail: InstallationDetail) -> bool:
    orientation = detail.penetration.barrier.orientation
    return isinstance(orientation, Known) and orientation.value is Orientation.FLOOR


def _lacking(detail: InstallationDetail) -> list[str]:
    """The headings of what the builder needs and nobody has settled. An opening in a floor has no height."""
    lacks = [part for part in _PARTS if size_of(detail, part) == TO_BE_SETTLED]
    for key in _NEEDS:
        figure = detail.figure(_FIGURES[key])
        is_due = key == "centre" and not _is_floor(detail)
        if (is_due and figure is None) or (figure is not None and not figure.is_settled):
            lacks.append(key)
    return [_HEADINGS[key].partition(",")[0] for key in lacks]


def _state(detail: InstallationDetail, opening_only: Collection[str]) -> tuple[OpeningState, str]:
    """The state of an opening, and why it is held."""
    if detail.standing is Standing.NOT_DRAWN:
        return OpeningState.HELD, detail.why
    lacking = _lacking(detail)
    if lacking:
        return OpeningState.HELD, f"To be settled first: {'; '.join(lacking)}."
    if detail.standing is Standing.TO_BE_SETTLED and detail.id not in opening_only:
        return OpeningState.HELD, detail.why
    off, formed = detail.figure("existing-off"), detail.penetration.opening.formed
    if not isinstance(formed, Known) or not formed.value:
        return OpeningState.FORM, ""
    if not _is_stated(detail):
        return OpeningState.HELD, "The opening is formed, and nobody says of what size."
    if off is not None and off.verdict is Verdict.PASS:
        return OpeningState.AS_BUILT, ""
    return OpeningState.FORM_AGAIN, ""


def _to_settle(detail: InstallationDetail, state: OpeningState, why: str) -> Iterator[str]:
    if why:
        yield why
    if state is OpeningState.HELD:
        yield from detail.problems
        yield from detail.changes
    keys = [*_FIGURES.values(), *(f"{part}-{side}" for part in _PARTS for side in ("width", "height", "diameter"))]
    for key in keys:
        figure = detail.figure(key)
        if figure is not None and not figure.is_settled:
            yield from (missing_words(item) for item in figure.missing)
    if state is OpeningState.FORM and not isinstance(detail.penetration.opening.formed, Known):
        yield "Whether it is formed already is not stated: look before you form it."


def _heights_from(detail: InstallationDetail) -> str:
    """What the heights of an opening count from: a model's level need not be the structural floor."""
    fact = detail.penetration.detail.centre_above_floor_mm
    if settled_text(detail.figure(_FIGURES["centre"])) == TO_BE_SETTLED:
        return TO_BE_SETTLED
    return _FROM_MODEL if fact is not None and MODEL_LEVEL in fact.origin.place else _FROM_STRUCTURE


def _texts(detail: InstallationDetail) -> dict[str, str]:
    wall, role = wall_words(detail.penetration)
    texts = {key: settled_text(detail.figure(figure)) for key, figure in _FIGURES.items()}
    if detail.figure("lining") is None and detail.standing is not Standing.NOT_DRAWN:
        texts["lining"] = _NO_LINING
    off = detail.figure("existing-off")
    texts |= {
        "storey": storey_of(detail.penetration),
        "wall": wall,
        "role": role,
        "heights-from": _heights_from(detail),
        "framed": size_of(detail, "framed"),
        "finished": size_of(detail, "finished"),
        "off": "" if off is None else off.text,
    }
    if _is_floor(detail):
        texts |= dict.fromkeys(_HEIGHTS, _IN_FLOOR)
    return texts


def builders_work(
    details: Mapping[str, InstallationDetail],
    *,
    opening_only: Collection[str] = (),
    storeys: Sequence[str] = (),
    without: Collection[str] = (),
    too_near: Sequence[TooNearGroup] = (),
) -> BuildersWork:
    """The builders' work schedule of a job, from the details of its penetrations by permanent id.

    `opening_only` are the penetrations where forming the opening as given here is all that is missing to be within the
    tested scope; every other one that is not to be built is held. `storeys` give the order of the storeys from below;
    others come after them by name. `without` are the penetrations that need no damper, `too_near` what is too near.
    """
    places = {plain(name): number for number, name in enumerate(storeys)}
    rows, none = [], []
    for _, detail in sorted(details.items()):
        if has_no_damper(detail, without):
            none.append(detail.id)
            continue
        state, why = _state(detail, opening_only)
        rows.append(
            BuildersWorkRow(
                id=detail.id,
                reference=reference_of(detail.penetration),
                texts=_texts(detail),
                state=state,
                why=why,
                to_settle=tuple(dict.fromkeys(_to_settle(detail, state, why))),
                is_floor=_is_floor(detail),
            )
        )

    def order(row: BuildersWorkRow) -> tuple[int, object]:
        texts = row.texts
        place = places.get(plain(texts["storey"]), len(places))
        return place, natural((plain(texts["storey"]), texts["wall"], texts["grid"], row.id))

    return BuildersWork(tuple(sorted(rows, key=order)), tuple(none), tuple(too_near))
