# SPDX-License-Identifier: Apache-2.0
"""From checked models to tested installations, with the faults of what does not fit together.

Both file kinds come through here; `Places` says how each of them names the place of a value.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass

from brattice.adapters.evidence.schema import (
    BeyondModel,
    DocumentModel,
    FixingsModel,
    GapsModel,
    InstallationModel,
    SealModel,
    SizesModel,
    WindowModel,
    did_you_mean,
)
from brattice.building.words import DuctedSides, OpeningShape, Orientation, SupportingConstruction, plain
from brattice.calc.exact import as_stated
from brattice.errors import Fault
from brattice.evidence.installation import (
    ConstructionTested,
    Document,
    FixingCount,
    FixingsTested,
    SealPart,
    SealTested,
    SeparationTested,
    SideWindows,
    SizeWindow,
    TestedInstallation,
    Window,
)
from brattice.evidence.product import ProductFacts, SealFacts
from brattice.evidence.revisions import with_revisions
from brattice.findings import Origin
from brattice.quantities import Degrees, KgPerM3, Mm, number_text

__all__ = ["ClassCheck", "EvidenceRead", "Places", "assemble"]

ClassCheck = Callable[[InstallationModel], tuple[str, str] | None]
"""Reads the class of an installation; (found, expected) when it can't be one."""

Places = Callable[[str, str], str]
"""The place of a value in words: ("installation HV-1", "seal.gap_mm") for a file kind."""


@dataclass(frozen=True)
class EvidenceRead:
    """What one file states: its tested installations, and its documents each with its maker.

    A document that no installation of the file rests on is of every maker of the file. `products` and `seals` are what
    makers state beside their tests.
    """

    installations: tuple[TestedInstallation, ...]
    documents: tuple[tuple[str, Document], ...]
    products: tuple[ProductFacts, ...] = ()
    seals: tuple[SealFacts, ...] = ()


_SIDES = ("left", "right", "top", "bottom")

_WALLS = frozenset(
    {
        SupportingConstruction.RIGID_WALL,
        SupportingConstruction.FLEXIBLE_WALL,
        SupportingConstruction.SHAFT_WALL,
        SupportingConstruction.TIMBER_WALL,
        SupportingConstruction.PANEL_WALL,
        SupportingConstruction.DOUBLE_STUD_WALL,
    }
)
_FLOORS = frozenset(
    {
        SupportingConstruction.RIGID_FLOOR,
        SupportingConstruction.COMPOSITE_DECK,
        SupportingConstruction.TIMBER_FLOOR,
    }
)
_WHOLE = 100
"""All of a seal [%]."""

_NEIGHBOURS = ("damper", "wall", "floor")


@dataclass
class _Assembly:
    """Collects the faults of one installation or document while it is put together."""

    file: str
    subject: str
    place: Places
    faults: list[Fault]

    def fault(self, key: str, found: str, expected: str) -> None:
        self.faults.append(Fault(self.file, self.place(self.subject, key), found, expected))

    def window(self, model: WindowModel, key: str, *ends: str) -> Window:
        """A window; the ends that are named have to be stated, for a test had them."""
        for end in ends:
            if getattr(model, end) is None:
                self.fault(f"{key}.{end}", "nothing", f"the {end} that was tested")
        if model.least is None and model.most is None and not ends:
            self.fault(key, "neither a least nor a most", "at least one of them")
        if model.least is not None and model.most is not None and model.least > model.most:
            self.fault(
                key,
                f"least {number_text(model.least, 3)} above most {number_text(model.most, 3)}",
                "least no greater than most",
            )
        return Window(model.least, model.most)

    def sides(self, model: GapsModel | BeyondModel, key: str) -> dict[str, str] | None:
        """Which field holds each side: `all` for all of them, or each its own."""
        own = [side for side in _SIDES if getattr(model, side) is not None]
        if model.all is not None and own:
            self.fault(key, f"all and {', '.join(own)}", "either all, or left, right, top and bottom")
        elif model.all is not None:
            return dict.fromkeys(_SIDES, "all")
        elif len(own) == len(_SIDES):
            return dict(zip(_SIDES, _SIDES, strict=True))
        else:
            self.fault(key, ", ".join(own) or "nothing", "either all, or left, right, top and bottom")
        return None


def _sizes(model: SizesModel, work: _Assembly) -> SizeWindow:
    rectangular = model.width_mm is not None or model.height_mm is not None
    s_rectangular = model.s_least_width_mm is not None or model.s_least_height_mm is not None
    if model.diameter_mm is not None and (rectangular or s_rectangular):
        work.fault("sizes", "a diameter beside a width or height", "a diameter alone for round, else width and height")
    if model.diameter_mm is not None:
        window = work.window(model.diameter_mm, "sizes.diameter_mm", "most")
        _s_least(model.s_least_diameter_mm, window, "sizes.s_least_diameter_mm", work)
        return SizeWindow(OpeningShape.ROUND, window, None, _mm(model.s_least_diameter_mm))
    if model.s_least_diameter_mm is not None:
        work.fault("sizes.s_least_diameter_mm", "a diameter for a rectangular damper", "a least width and height")
    if model.width_mm is None or model.height_mm is None:
        given = "width" if model.width_mm is not None else "height" if model.height_mm is not None else "neither"
        work.fault("sizes", f"{given} of width and height", "width_mm and height_mm, or diameter_mm")
    width = work.window(model.width_mm, "sizes.width_mm", "most") if model.width_mm is not None else Window(None, None)
    height = (
        work.window(model.height_mm, "sizes.height_mm", "most") if model.height_mm is not None else Window(None, None)
    )
    if (model.s_least_width_mm is None) != (model.s_least_height_mm is None):
        work.fault("sizes", "one of s_least_width_mm and s_least_height_mm", "both, or neither")
    _s_least(model.s_least_width_mm, width, "sizes.s_least_width_mm", work)
    _s_least(model.s_least_height_mm, height, "sizes.s_least_height_mm", work)
    return SizeWindow(
        OpeningShape.RECTANGULAR, width, height, _mm(model.s_least_width_mm), _mm(model.s_least_height_mm)
    )


def _s_least(value: float | None, window: Window, key: str, work: _Assembly) -> None:
    if value is not None and window.most is not None and value > window.most:
        work.fault(key, number_text(value, 3), f"no more than the greatest size, {number_text(window.most, 3)}")


def _mm(value: float | None) -> Mm | None:
    return None if value is None else Mm(value)


def _construction(model: InstallationModel, work: _Assembly) -> ConstructionTested:
    given = model.construction
    low, high = given.least_density_kg_m3, given.most_density_kg_m3
    if low is not None and high is not None and low > high:
        work.fault(
            "construction",
            f"least density {number_text(low)} above most density {number_text(high)}",
            "least no greater than most",
        )
    wrong = {Orientation.WALL: _FLOORS, Orientation.FLOOR: _WALLS}[model.orientation]
    if given.kind in wrong:
        work.fault("construction.kind", repr(given.kind.value), f"a construction of a {model.orientation}")
    if given.shown_in_rigid and given.kind is not SupportingConstruction.FLEXIBLE_WALL:
        work.fault("construction.shown_in_rigid", "true", "true for flexible walls only")
    layers = None if given.board_layers is None else (given.board_layers[0], given.board_layers[1])
    return ConstructionTested(
        kind=given.kind,
        least_thickness_mm=Mm(given.least_thickness_mm),
        least_density_kg_m3=None if low is None else KgPerM3(low),
        most_density_kg_m3=None if high is None else KgPerM3(high),
        material=given.material,
        board_type=given.board_type,
        board_thickness_mm=_mm(given.board_thickness_mm),
        board_layers=layers,
        stud_size_mm=_mm(given.stud_size_mm),
        most_stud_spacing_mm=_mm(given.most_stud_spacing_mm),
        cavity_fill=given.cavity_fill,
        opening_framing=given.opening_framing,
        lining_mm=_mm(given.lining_mm),
        shown_in_rigid=given.shown_in_rigid,
    )


def _parts(model: SealModel, depth: Window | None, work: _Assembly) -> tuple[SealPart, ...]:
    """How much of the seal each product fills: each product once, all by depth or all by share, and together whole."""
    if model.parts is None:
        return ()
    found = []
    for text in model.parts:
        name, _, amount = text.rpartition(":")
        number = float(amount.rstrip("m% "))
        known = {plain(product): product for product in model.products}
        product = known.get(plain(name))
        if product is None:
            hint = did_you_mean(name.strip(), model.products)
            work.fault("seal.parts", repr(name.strip()), f"one of its products: {', '.join(model.products)}{hint}")
            return ()
        by_share = amount.endswith("%")
        found.append(SealPart(product, None if by_share else Mm(number), number if by_share else None))
    names = [part.product for part in found]
    if sorted(names) != sorted(model.products):
        work.fault("seal.parts", ", ".join(names), f"each product once: {', '.join(model.products)}")
        return ()
    shares = [part.share_percent for part in found if part.share_percent is not None]
    depths = [part.depth_mm for part in found if part.depth_mm is not None]
    if shares and depths:
        work.fault("seal.parts", "depths beside shares", "all of them in mm, or all in %")
    elif shares and sum(map(as_stated, shares)) != _WHOLE:
        work.fault("seal.parts", f"{number_text(float(sum(map(as_stated, shares))), 3)} % together", "100 % together")
    elif depths and depth is not None:
        together = float(sum(map(as_stated, depths)))
        low, high = depth.least or 0.0, depth.most
        if together < low or (high is not None and together > high):
            tested = number_text(low, 3) if high is None else f"{number_text(low, 3)} to {number_text(high, 3)}"
            found_text = f"{number_text(together, 3)} mm together"
            work.fault("seal.parts", found_text, f"the tested depth, {tested} mm{'' if high else ' or more'}")
    return tuple(found)


def _seal(model: SealModel, work: _Assembly) -> SealTested | None:
    depth = work.window(model.depth_mm, "seal.depth_mm", "least") if model.depth_mm is not None else None
    fields = work.sides(model.gap_mm, "seal.gap_mm")
    if fields is None:
        return None
    read: dict[str, Window] = {}
    for field in dict.fromkeys(fields.values()):
        window = getattr(model.gap_mm, field)
        read[field] = work.window(window, f"seal.gap_mm.{field}", "least", "most")
    left, right, top, bottom = (read[fields[side]] for side in _SIDES)
    return SealTested(
        tuple(model.products),
        model.layers,
        model.faces,
        depth,
        SideWindows(left, right, top, bottom),
        model.gap_from,
        _parts(model, depth, work),
    )


def _beyond(model: BeyondModel | None, work: _Assembly) -> tuple[Mm, Mm, Mm, Mm] | None:
    fields = None if model is None else work.sides(model, "casing_beyond_mm")
    if fields is None:
        return None
    left, right, top, bottom = (Mm(getattr(model, fields[side])) for side in _SIDES)
    return left, right, top, bottom


_FEWEST = {
    0: frozenset(DuctedSides),
    1: frozenset({DuctedSides.ONE, DuctedSides.BOTH}),
    2: frozenset({DuctedSides.BOTH}),
}


def _ducts(model: InstallationModel, work: _Assembly) -> frozenset[DuctedSides] | None:
    """The sides that had a duct: as named, or from the fewest sides, as older files have it, up to both."""
    if model.ducts is not None and model.ducted_sides is not None:
        work.fault("ducts", "ducts and ducted_sides", "one of them")
    if model.ducts is not None:
        return frozenset(model.ducts)
    return None if model.ducted_sides is None else _FEWEST[model.ducted_sides]


def _count_at(text: str) -> FixingCount:
    """A size with its number of fixings, from a text that the schema let through."""
    size, _, count = text.partition(":")
    sides = [Mm(float(side)) for side in re.findall(r"\d+", size)]
    return FixingCount(sides[0], sides[1] if len(sides) > 1 else None, int(count))


def _fixings(model: FixingsModel | None, is_round: bool | None, work: _Assembly) -> FixingsTested | None:
    """The fixings of the test; a spacing without what it runs along, or a corner of a ring, does not fit together.

    `is_round` is None where the shape of the damper can't be told.
    """
    if model is None:
        return None
    if all(getattr(model, name) is None for name in type(model).model_fields):
        work.fault("fixings", "nothing", "at least one value")
    spaced = model.most_apart_mm is not None
    if spaced and model.along is None:
        work.fault("fixings.along", "nothing beside a spacing", "the outline that the fixings stand along")
    for key in ("along", "most_from_corner_mm", "least_a_side"):
        if getattr(model, key) is not None and not spaced:
            work.fault(f"fixings.{key}", "a value without a spacing", "most_apart_mm beside it")
    if is_round and model.most_from_corner_mm is not None:
        work.fault("fixings.most_from_corner_mm", "a distance from corners", "nothing; a round damper has no corner")
    counts = tuple(_count_at(text) for text in model.counts or ())
    if len({(item.width_mm, item.height_mm) for item in counts}) < len(counts):
        work.fault("fixings.counts", "a size twice", "each size once")
    if is_round is not None and any((item.height_mm is None) != is_round for item in counts):
        shape = "round" if is_round else "rectangular"
        work.fault("fixings.counts", "a size of another shape than the damper's", f"{shape} sizes")
    return FixingsTested(
        kind=model.kind,
        size=model.size,
        along=model.along,
        most_apart_mm=_mm(model.most_apart_mm),
        most_from_corner_mm=_mm(model.most_from_corner_mm),
        least_a_side=model.least_a_side,
        rows=model.rows,
        counts=counts,
    )


def _separations(model: InstallationModel, work: _Assembly) -> tuple[SeparationTested, ...]:
    seen: set[str] = set()
    for number, item in enumerate(model.separation, start=1):
        key = f"separation.{number}"
        if item.to not in _NEIGHBOURS:
            hint = did_you_mean(item.to, _NEIGHBOURS)
            work.fault(f"{key}.to", repr(item.to), f"one of: {', '.join(_NEIGHBOURS)}{hint}")
        elif item.to in seen:
            work.fault(f"{key}.to", f"{item.to!r} again", "each kind of neighbour once")
        seen.add(item.to)
    return tuple(
        SeparationTested(item.to, Mm(item.least_mm), item.from_surface, item.to_surface)
        for item in sorted(model.separation, key=lambda item: item.to)
    )


def _document(model: DocumentModel, work: _Assembly) -> Document:
    begins = model.valid_from if model.valid_from is not None else model.issued
    if model.valid_to is not None and model.valid_to < begins:
        work.fault("valid_to", model.valid_to.isoformat(), f"no earlier than {begins.isoformat()}")
    if model.withdrawn_on is not None and model.withdrawn_on < model.issued:
        work.fault("withdrawn_on", model.withdrawn_on.isoformat(), f"no earlier than {model.issued.isoformat()}")
    return Document(
        level=model.level,
        reference=model.reference,
        revision=model.revision,
        issued=model.issued,
        standard=model.standard,
        edition=model.edition,
        valid_from=model.valid_from,
        valid_to=model.valid_to,
        withdrawn_on=model.withdrawn_on,
        certificate=model.certificate,
        third_party=model.third_party,
        marking=None if model.marking is None else frozenset(model.marking),
        instructions=model.instructions,
        extended=model.extended,
    )


def _installation(
    model: InstallationModel, maker: str, document: Document | None, work: _Assembly, check_class: ClassCheck
) -> TestedInstallation | None:
    before = len(work.faults)
    sizes = _sizes(model.sizes, work)
    is_round = sizes.shape is OpeningShape.ROUND if len(work.faults) == before else None
    construction = _construction(model, work)
    seal = _seal(model.seal, work)
    casing = _beyond(model.casing_beyond_mm, work)
    separations = _separations(model, work)
    ducts = _ducts(model, work)
    fixings = _fixings(model.fixings, is_round, work)
    wrong = check_class(model)
    if wrong is not None:
        work.fault("class", *wrong)
    if document is None or seal is None or len(work.faults) > before:
        return None
    return TestedInstallation(
        id=model.id,
        maker=maker,
        product=model.product,
        kind=model.kind,
        sizes=sizes,
        class_text=model.class_text,
        construction=construction,
        orientation=model.orientation,
        position=model.position,
        mechanism_deg=None
        if model.mechanism_deg is None
        else tuple(Degrees(angle) for angle in sorted(model.mechanism_deg)),
        opening_shape=model.opening_shape,
        fixing=model.fixing,
        seal=seal,
        casing_beyond_mm=casing,
        separations=separations,
        support=model.support,
        joints=None if model.joints is None else frozenset(model.joints),
        access_sides=None if model.access_sides is None else frozenset(model.access_sides),
        actuation=frozenset(model.actuation),
        document=document,
        origin=Origin(work.file, work.place(work.subject, "")),
        most_blade_offset_mm=_mm(model.most_blade_offset_mm),
        insulation_through=model.insulation_through,
        deflection_head=model.deflection_head,
        other_services=model.other_services,
        ducts=ducts,
        battery=model.battery,
        shared_opening=model.shared_opening,
        fixings=fixings,
        notes=tuple(model.notes),
    )


def assemble(
    documents: Sequence[tuple[str, DocumentModel]],
    installations: Sequence[tuple[str, InstallationModel]],
    *,
    file: str,
    maker: str | None,
    place: Places,
    check_class: ClassCheck,
    unread: Collection[str] = (),
) -> tuple[EvidenceRead, tuple[Fault, ...]]:
    """The tested installations and documents of one file, and every fault in how its parts fit together.

    Models come with the subject that faults call them by ("installation HV-1"). An installation with a fault of its
    own or of its document is left out; `unread` are ids of documents that have a fault already.
    """
    faults: list[Fault] = []
    known: dict[str, Document] = {}
    seen: set[str] = set()
    for subject, item in documents:
        work = _Assembly(file, subject, place, faults)
        if item.id in seen:
            work.fault("id", f"{item.id!r} again", "each document once")
        seen.add(item.id)
        known[item.id] = _document(item, work)
    made = []
    names: set[str] = set()
    makers = {maker} if maker is not None else set()
    resting: set[tuple[str, str]] = set()
    for subject, model in installations:
        work = _Assembly(file, subject, place, faults)
        if model.id in names:
            work.fault("id", f"{model.id!r} again", "each installation once")
        names.add(model.id)
        document = known.get(model.document)
        if document is None and model.document not in unread:
            hint = did_you_mean(model.document, known)
            work.fault("document", repr(model.document), f"the id of a document of this file{hint}")
        name = model.maker or maker
        if name is None:
            work.fault("maker", "nothing", "a maker here, or one for the whole file")
        else:
            makers.add(name)
            resting.add((name, model.document))
        item_made = _installation(model, name or "", document, work, check_class)
        if item_made is not None:
            made.append(item_made)
    rested_on = {document for _, document in resting}
    resting |= {(name, document) for name in makers for document in known if document not in rested_on}
    stated = tuple((name, known[document]) for name, document in sorted(resting) if document in known)
    return EvidenceRead(with_revisions(made, stated), stated), tuple(faults)
