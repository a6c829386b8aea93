# SPDX-License-Identifier: Apache-2.0
"""Standard details: penetrations that are alike in every number that is built, and in every step, share one sheet.

Two are alike when nothing is left that differs once what says where they are is taken away: place, heights, names,
neighbours with their clear distances, addresses, who forms the opening and when. All of that stands in the table of
where the detail is used. What is drawn is made of what is left alone, so that no sheet can show a number that is false
for one of its penetrations.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, fields, is_dataclass, replace
from typing import Any

from brattice.building.detail_facts import NOTHING_STATED
from brattice.building.penetration import Location, Penetration
from brattice.details.detail import InstallationDetail, Neighbour, Standing, Step
from brattice.details.figures import Figure
from brattice.details.steps import where_words
from brattice.findings import Known, Missing, Origin, Party, Unknown, Verdict
from brattice.sketch.margin import USED_AT_SEVERAL

__all__ = [
    "OF_THE_PLACE",
    "SEE_TABLE",
    "StandardDetail",
    "UsedAt",
    "alike",
    "standard_detail",
]

OF_THE_PLACE = (
    "grid",
    "centre-height",
    "sill-height",
    "head-height",
    "opening-by",
    "opening-when",
    "phase",
    "detector-zone",
    "detector",
    "panel-address",
)
"""The figures that say where and when, not what is built; where they differ they stand in the table alone."""

SEE_TABLE = "see table"
"""Stands on a shared drawing in place of what the table of where it is used says for each penetration."""

_AT_ITS_PLACE = " at its place and height (see table)"
_NEAR = "near"
_NOT_STATED = Unknown(Missing("not-compared", "Not part of a standard detail", Party.CLIENT))
_ANYWHERE = Origin("")
_NO_GRID = "–"


@dataclass(frozen=True)
class UsedAt:
    """Where a standard detail is used: the permanent id, what people call it, storey, place, and what holds there.

    `texts` are those of the columns of `StandardDetail.columns`, in their order.
    """

    id: str
    reference: str
    storey: str
    place: str
    texts: tuple[str, ...]

    @property
    def text(self) -> str:
        """All of it as one text, to compare issues by."""
        return "; ".join((self.reference, self.storey, self.place, *self.texts))


@dataclass(frozen=True)
class StandardDetail:
    """Penetrations that share a drawing: its number, the detail that is drawn, what holds where it is used.

    `shown` has the number as its id and knows no place. `columns` are pairs of key and heading of what differs.
    """

    number: str
    shown: InstallationDetail
    columns: tuple[tuple[str, str], ...]
    used: tuple[UsedAt, ...]

    @property
    def ids(self) -> tuple[str, ...]:
        """The permanent ids of the penetrations that it holds for."""
        return tuple(item.id for item in self.used)


def _without_sources(value: Any) -> Any:
    """A value of a penetration without where its facts come from and without what exactly is not known."""
    if isinstance(value, Known):
        return Known(_without_sources(value.value), _ANYWHERE)
    if isinstance(value, Unknown):
        return _NOT_STATED
    if isinstance(value, tuple):
        return tuple(map(_without_sources, value))
    if is_dataclass(value) and not isinstance(value, type):
        return replace(value, **{item.name: _without_sources(getattr(value, item.name)) for item in fields(value)})
    return value


def _without_place(penetration: Penetration) -> Penetration:
    """A penetration without id, names, place and what is near; everything else of it stays and is compared.

    What somebody adds to a penetration later is compared as well: it keeps apart what it makes differ.
    """
    return replace(
        penetration,
        id="",
        key="",
        aliases=(),
        location=Location(USED_AT_SEVERAL),
        separations=(),
        model_queries=(),
        remarks=(),
        spaces=_NOT_STATED,
        barrier=_without_sources(replace(penetration.barrier, guids=())),
        duct=_without_sources(replace(penetration.duct, guids=())),
        damper=_without_sources(replace(penetration.damper, guids=())),
        opening=_without_sources(replace(penetration.opening, guid="")),
        installation=_without_sources(penetration.installation),
        protection=_without_sources(penetration.protection),
        detail=replace(NOTHING_STATED, reach_both_sides=_without_sources(penetration.detail.reach_both_sides)),
    )


def _of_nobody(missing: Iterable[Missing], name: str) -> tuple[Missing, ...]:
    """What is open without the penetration that it is asked of, where that ends the question."""
    return tuple(
        Missing(item.key.replace(f"/{name}/", "//"), item.text.removesuffix(f": {name}"), item.ask) for item in missing
    )


def _anonymous(figure: Figure, name: str) -> Figure:
    """A figure of a penetration without its id and without the places of the facts that it was made from."""
    uses = tuple(replace(item, origin=None) for item in figure.uses)
    return replace(figure, uses=uses, missing=_of_nobody(figure.missing, name))


def _near(detail: InstallationDetail) -> tuple[Neighbour, ...]:
    """What is near, without names, in an order that does not depend on them."""
    found = []
    for item in detail.neighbours:
        clear = replace(item.clear, name=f"Clear to a {item.kind}", uses=(), missing=())
        found.append(Neighbour(item.kind, item.kind, item.side, clear))
    return tuple(sorted(found, key=lambda item: (item.kind, item.side, item.clear.text, item.clear.limit)))


def _steps(detail: InstallationDetail) -> tuple[Step, ...]:
    where = where_words({item.key: item for item in detail.figures})
    if not where:
        return detail.steps
    return tuple(replace(step, text=step.text.replace(where, _AT_ITS_PLACE)) for step in detail.steps)


def _bare(detail: InstallationDetail) -> InstallationDetail:
    """What is left of a detail without its place: two that share a sheet have to be equal in it."""
    return replace(
        detail,
        penetration=_without_place(detail.penetration),
        figures=tuple(_anonymous(item, detail.id) for item in detail.figures if item.key not in OF_THE_PLACE),
        steps=_steps(detail),
        neighbours=(),
        to_settle=_of_nobody(detail.to_settle, detail.id),
    )


def _may_share(detail: InstallationDetail) -> bool:
    """Only what may be built as it stands shares a sheet, and never what was accepted for one place."""
    if detail.standing is not Standing.TO_BUILD or detail.deviation or detail.changes or detail.problems:
        return False
    own = [item for item in detail.figures if item.key in OF_THE_PLACE] + [item.clear for item in detail.neighbours]
    return all(item.verdict is not Verdict.FAIL for item in own)


def alike(details: Iterable[InstallationDetail]) -> tuple[tuple[InstallationDetail, ...], ...]:
    """The groups of two or more that may share a sheet, each in the order of ids; what is like no other is in none.

    The groups are in the order of their first ids; neither depends on the order of `details`.
    """
    found: dict[tuple[object, ...], list[tuple[InstallationDetail, list[InstallationDetail]]]] = {}
    groups = []
    for detail in sorted(filter(_may_share, details), key=lambda item: item.id):
        bare = _bare(detail)
        rough = (detail.class_asked, *((item.key, item.text) for item in bare.figures))
        for other, group in found.setdefault(rough, []):
            if bare == other:
                group.append(detail)
                break
        else:
            group = [detail]
            found[rough].append((bare, group))
            groups.append(group)
    return tuple(tuple(group) for group in groups if len(group) > 1)


def _shared(group: Sequence[InstallationDetail], key: str) -> bool:
    """Whether a figure says the same at every place."""
    every = [(item.id, item.figure(key)) for item in group]
    bare = [None if figure is None else _anonymous(figure, name) for name, figure in every]
    return all(item == bare[0] for item in bare)


def _figures(group: Sequence[InstallationDetail], bare: InstallationDetail) -> Iterator[Figure]:
    """The figures that are drawn, in the order of the details; those of the place say the table where they differ."""
    left = {item.key: item for item in bare.figures}
    order = list(dict.fromkeys(item.key for detail in group for item in detail.figures))
    for key in order:
        if key in left:
            yield left[key]
            continue
        name, one = next((item.id, figure) for item in group if (figure := item.figure(key)) is not None)
        yield _anonymous(one, name) if _shared(group, key) else Figure(key, one.name, None, one.unit, SEE_TABLE)


def _near_text(detail: InstallationDetail) -> str:
    """What is near one penetration, with its clear distance and what that is held against."""
    parts = []
    for item in detail.neighbours:
        name = item.name if item.name.casefold() == item.kind else f"{item.kind} {item.name}"
        limit = f" ({item.clear.limit})" if item.clear.limit else ""
        parts.append(f"{name}{f', {item.side}' if item.side else ''}: {item.clear.text}{limit}")
    return "; ".join(parts) or "nothing that is known"


def _columns(group: Sequence[InstallationDetail]) -> Iterator[tuple[str, str]]:
    """What differs from place to place, and always the grid: pairs of key and heading."""
    for key in OF_THE_PLACE:
        one = next((figure for item in group if (figure := item.figure(key)) is not None), None)
        if one is not None and (key == "grid" or not _shared(group, key)):
            yield key, one.name
    if any(detail.neighbours for detail in group):
        yield _NEAR, "Near, clear distance"


def _used_at(detail: InstallationDetail, columns: Sequence[tuple[str, str]]) -> UsedAt:
    penetration = detail.penetration
    storey = penetration.location.storey
    reference = next((text for kind, text in penetration.aliases if kind != "GlobalId"), "")
    texts = []
    for key, _ in columns:
        if key == _NEAR:
            texts.append(_near_text(detail))
        else:
            texts.append(_NO_GRID if detail.figure(key) is None else detail.text(key))
    said = storey.value if isinstance(storey, Known) else "not known"
    return UsedAt(detail.id, reference, said, penetration.location.words, tuple(texts))


def _table_words(group: Sequence[InstallationDetail]) -> str:
    ids = ", ".join(item.id for item in group)
    return f"{len(group)} places; the table says where, and what differs there: {ids}"


def standard_detail(number: str, group: Sequence[InstallationDetail]) -> StandardDetail:
    """The standard detail of a group that `alike` gave, under a number.

    Raises `ValueError` for penetrations that are not alike.
    """
    bare = _bare(group[0])
    if any(_bare(detail) != bare for detail in group[1:]) or not all(map(_may_share, group)):
        raise ValueError("a standard detail of penetrations that are not alike")
    steps = group[0].steps if all(item.steps == group[0].steps for item in group) else bare.steps
    near = _near(group[0])
    shown = replace(
        bare,
        penetration=replace(bare.penetration, id=number, location=Location(USED_AT_SEVERAL, _table_words(group))),
        figures=tuple(_figures(group, bare)),
        steps=steps,
        neighbours=near if all(_near(item) == near for item in group) else (),
    )
    columns = tuple(_columns(group))
    return StandardDetail(number, shown, columns, tuple(_used_at(item, columns) for item in group))
