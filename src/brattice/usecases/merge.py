# SPDX-License-Identifier: Apache-2.0
"""Model and schedule become one penetration: each value from the source that states it, contradictions as questions."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from brattice.building.detail_facts import NOTHING_STATED, DetailFacts
from brattice.building.penetration import (
    BarrierFacts,
    BarrierPlane,
    DamperFacts,
    DuctFacts,
    InstallationFacts,
    Location,
    OpeningFacts,
    Penetration,
    ProtectionFacts,
    Separation,
    Sides,
    Size,
)
from brattice.building.schedule import ScheduleRow
from brattice.building.surroundings import Surroundings
from brattice.building.wall_type import Rating, WallType
from brattice.building.words import (
    Joint,
    MountingPosition,
    OpeningShape,
    Orientation,
    Service,
    SpaceUse,
    SupportingConstruction,
    Surface,
)
from brattice.evidence.checks_separation import lies_within
from brattice.findings import Fact, Known, Missing, Origin, Party, Reason, Unknown, Verdict
from brattice.quantities import Degrees, Mm, mm_text
from brattice.usecases.combine import AGREE_MM, Merging
from brattice.usecases.detail_queries import with_answered_details
from brattice.usecases.separations import Told, separations_of

__all__ = ["SAME_PLACE_MM", "ModelFacts", "ModelQuery", "merge_penetration"]

SAME_PLACE_MM = 1000.0
"""Two stated centres within this of each other [mm] may be of one place: one of them may be the damper's, the other the
middle of the wall. Our own policy."""

_UNLINED = (SupportingConstruction.RIGID_WALL, SupportingConstruction.RIGID_FLOOR)


@dataclass(frozen=True, order=True)
class ModelQuery:
    """What the models leave open at a place: the reason's word, a plain question, what the model shows, whom to ask."""

    reason: str
    question: str
    shows: str
    ask: Party


@dataclass(frozen=True)
class ModelFacts:
    """What the models say about one place, every value with its origin; None where they don't say.

    `framed` and `framed_gaps` (from the duct) are of the modelled opening: what a model cuts is the builder's hole.
    `rating` and `rating_unread` are of the thickest layer, `other_ratings` and `other_ratings_unread` of the layers
    that lie on it; unread is a rating text that holds a figure but can't be read for certain. `queries` are the
    reasons for which the place is to be settled, `to_be_settled` says that it may be no penetration at all.
    `type_name` is the models' name for the type of the thickest layer. `opening_doubt` says in words why the modelled
    opening is none through the whole barrier ("" where it is). `nearest_other_mm` is the clear distance to the nearest
    other service than a duct through the same barrier. `centre_above_floor_mm` counts from the model's storey level.
    `around` is what stands round the place, None where nobody asked.
    """

    key: str
    storey: Known[str] | None
    centre_m: tuple[float, float, float] | None
    orientation: Known[Orientation] | None
    wall_type_code: Known[str] | None
    thickness_mm: Known[Mm] | None
    rating: Known[Rating] | None
    rating_unread: Known[str] | None
    service: Service
    size: Known[Size] | None
    angle_deg: Known[Degrees] | None
    damper_present: Known[bool] | None
    blade_offset_mm: Known[Mm] | None
    position: Known[MountingPosition] | None
    opening_shape: Known[OpeningShape] | None
    framed: Known[Size] | None
    framed_gaps: Known[Sides] | None
    other_services: Known[bool] | None
    separations: tuple[Separation, ...]
    barrier_guids: tuple[str, ...]
    duct_guids: tuple[str, ...]
    damper_guids: tuple[str, ...]
    opening_guid: str
    queries: tuple[ModelQuery, ...]
    to_be_settled: bool
    storey_mismatch: str = ""
    other_ratings: tuple[Known[Rating], ...] = ()
    other_ratings_unread: tuple[Known[str], ...] = ()
    opening_doubt: str = ""
    type_name: str = ""
    nearest_other_mm: Known[Mm] | None = None
    centre_above_floor_mm: Known[Mm] | None = None
    plane: BarrierPlane | None = None
    around: Surroundings | None = field(default=None, compare=False, repr=False)


def _wall_type(
    code: Fact[str], wall_types: Mapping[str, WallType], merging: Merging
) -> tuple[WallType | None, Reason | None]:
    if not isinstance(code, Known):
        return None, None
    found = wall_types.get(code.value)
    if found is not None:
        return found, None
    missing = Missing(
        f"wall-type/{code.value}/row", f"The row of wall type {code.value} in the wall-type sheet", Party.ARCHITECT
    )
    return None, Reason(
        "wall-type-row",
        Verdict.UNKNOWN,
        f"Wall type {code.value} is named, but no wall-type sheet has a row for it.",
        code.value,
        "its row in a wall-type sheet",
        (),
        (missing,),
        (code.origin,),
    )


def _rating(
    merging: Merging, row: ScheduleRow | None, model: ModelFacts | None, wall: WallType | None, code: Fact[str]
) -> Fact[Rating]:
    sheet = row.rating if row is not None else None
    of_wall: Fact[Rating] | None = wall.rating if wall is not None else None
    if wall is None and isinstance(code, Known):
        of_wall = merging.answered.get(f"wall-type/{code.value}/rating")
    of_model, others, unread = _model_ratings(merging, model)
    if unread is not None:  # the models do say something of this very wall: that is asked first
        key = f"model-rating/{unread.value}"
        text = f"What the rating text {unread.value!r} of the models means, in minutes and criteria"
    elif isinstance(code, Known):
        key, text = f"wall-type/{code.value}/rating", f"The fire rating of wall type {code.value}"
    else:
        key, text = f"penetration/{merging.id}/rating", f"The fire rating of the barrier at {merging.id}"
    rating = merging.fact("rating", (sheet, of_wall, of_model), Party.FIRE_ENGINEER, key=key, text=text)
    if isinstance(rating, Known) and unread is not None:
        missing = Missing(
            f"model-rating/{unread.value}",
            f"What the rating text {unread.value!r} of the models means, in minutes and criteria",
            Party.FIRE_ENGINEER,
        )
        merging.reasons.append(
            Reason(
                "sources",
                Verdict.UNKNOWN,
                "The model gives a rating text that can't be read for certain beside the rating stated.",
                f"{rating.value.text} and {unread.value!r}",
                "one rating; map the text in the job file",
                (),
                (missing,),
                (rating.origin, unread.origin),
            )
        )
        return Unknown(missing)
    return _held_by_layers(merging, rating, others)


def _model_ratings(
    merging: Merging, model: ModelFacts | None
) -> tuple[Known[Rating] | None, tuple[Known[Rating], ...], Known[str] | None]:
    """The model's rating, those of other layers, and the first text that neither model nor answer makes certain."""
    if model is None:
        return None, (), None
    unread = (model.rating_unread, *model.other_ratings_unread)
    meant = [merging.answered.get(f"model-rating/{text.value}") if text is not None else None for text in unread]
    others = model.other_ratings + tuple(fact for fact in meant[1:] if fact is not None)
    left = [text for text, fact in zip(unread, meant, strict=True) if text is not None and fact is None]
    return model.rating or meant[0], others, next(iter(left), None)


def _held_by_layers(merging: Merging, rating: Fact[Rating], others: Sequence[Known[Rating]]) -> Fact[Rating]:
    """The rating, unless another layer of the same barrier is rated higher: then somebody has to say which holds.

    A lower one is no contradiction: the whole is at least as good as its best layer, and the code asks by the whole.
    """
    if not isinstance(rating, Known):
        return rating
    for other in others:
        more = other.value.integrity_min > rating.value.integrity_min
        if more or (other.value.insulation_min or 0) > (rating.value.insulation_min or 0):
            return merging.fact("rating", (rating, other), Party.FIRE_ENGINEER)
    return rating


def _barrier(
    merging: Merging, row: ScheduleRow | None, model: ModelFacts | None, wall_types: Mapping[str, WallType]
) -> BarrierFacts:
    type_name = model.type_name if model else ""
    code = merging.fact(
        "wall_type",
        (
            row.wall_type_code if row else None,
            model.wall_type_code if model else None,
            merging.answered.get(f"model-wall-type/{type_name}") if type_name else None,
        ),
        Party.ARCHITECT,
        key=f"model-wall-type/{type_name}" if type_name else "",
        text=f"Which wall type of the sheet the models' type {type_name!r} is" if type_name else "",
    )
    wall, no_row = _wall_type(code, wall_types, merging)
    if no_row is not None:
        merging.reasons.append(no_row)
    thickness_key = f"wall-type/{code.value}/thickness" if isinstance(code, Known) else ""
    return BarrierFacts(
        orientation=merging.fact(
            "orientation",
            (row.orientation if row else None, model.orientation if model else None),
            Party.SERVICES_DESIGNER,
        ),
        role=merging.fact(
            "barrier_role",
            (row.role if row else None,),
            Party.FIRE_ENGINEER,
        ),
        wall_type_code=code,
        wall_type=wall,
        thickness_mm=merging.fact(
            "thickness_mm",
            (
                row.thickness_mm if row else None,
                wall.thickness_mm if wall else merging.answered.get(thickness_key),
                model.thickness_mm if model else None,
            ),
            Party.ARCHITECT,
            key=thickness_key,
        ),
        rating=_rating(merging, row, model, wall, code),
        guids=model.barrier_guids if model else row.barrier_guids if row else (),
    )


def _damper(merging: Merging, row: ScheduleRow | None, model: ModelFacts | None) -> DamperFacts:
    supplier = Party.DAMPER_SUPPLIER
    return DamperFacts(
        present=merging.fact(
            "damper_present",
            (row.damper_present if row else None, model.damper_present if model else None),
            Party.SERVICES_DESIGNER,
        ),
        maker=merging.fact("maker", (row.maker if row else None,), supplier),
        product=merging.fact("product", (row.product if row else None,), supplier),
        size=merging.fact("damper_size", (row.damper_size if row else None,), Party.SERVICES_DESIGNER),
        class_text=merging.fact("class_text", (row.class_text if row else None,), supplier),
        actuation=merging.fact("actuation", (row.actuation if row else None,), Party.SERVICES_DESIGNER),
        mechanism_deg=merging.fact("mechanism_deg", (row.mechanism_deg if row else None,), Party.DUCTWORK_CONTRACTOR),
        access_side=merging.fact("access_side", (row.access_side if row else None,), Party.SERVICES_DESIGNER),
        blade_offset_mm=merging.fact(
            "blade_offset_mm",
            (row.blade_offset_mm if row else None, model.blade_offset_mm if model else None),
            Party.DUCTWORK_CONTRACTOR,
        ),
        guids=model.damper_guids if model else row.damper_guids if row else (),
    )


def _lining(wall: WallType | None) -> Known[Mm] | None:
    """The lining of openings on each reveal; rigid construction without a word about it is unlined."""
    if wall is None:
        return None
    if isinstance(wall.lining_mm, Known):
        return wall.lining_mm
    if isinstance(wall.kind, Known) and wall.kind.value in _UNLINED:
        return Known(Mm(0), wall.kind.origin)
    return None


def _less(size: Size, lining: Mm) -> Size:
    height = None if size.height_mm is None else Mm(size.height_mm - 2 * lining)
    return Size(Mm(size.width_mm - 2 * lining), height)


def _leaves_room(stated: Sides, widest: Sides) -> Verdict:
    """Whether gaps from something that encloses the duct fit in those from the duct, whichever side is called left."""
    across, room = (stated.left_mm, stated.right_mm), (widest.left_mm, widest.right_mm)
    upwards = (stated.top_mm - widest.top_mm, stated.bottom_mm - widest.bottom_mm)
    sides = (
        max(across[0] - room[0], across[1] - room[1]),
        max(across[0] - room[1], across[1] - room[0]),
    )
    return Verdict.PASS if max(*upwards, min(sides)) <= AGREE_MM else Verdict.FAIL


def _opening(
    merging: Merging, row: ScheduleRow | None, model: ModelFacts | None, wall: WallType | None
) -> OpeningFacts:
    builder = Party.DRY_LINER
    framed_model = model.framed if model else None
    gaps_model: Known[Sides] | None = None
    finished_model: Known[Size] | None = None
    lining = _lining(wall)
    if model and model.framed_gaps is not None and lining is not None:
        gap, off = model.framed_gaps.value, lining.value
        gaps_model = Known(
            Sides(Mm(gap.left_mm - off), Mm(gap.right_mm - off), Mm(gap.top_mm - off), Mm(gap.bottom_mm - off)),
            model.framed_gaps.origin,
        )
    if framed_model is not None and lining is not None:
        finished_model = Known(_less(framed_model.value, lining.value), framed_model.origin)
    gaps_row = row.gaps if row else None
    from_row = row.gaps_from if row else None
    if gaps_row is not None:
        # What encloses the duct leaves no wider a gap than the duct does; from the duct both have to say the same.
        measured = from_row.value if from_row is not None else None
        if measured is Surface.DUCT:
            gaps = merging.fact("gaps", (gaps_row, gaps_model), builder)
        else:
            widest = gaps_model or (model.framed_gaps if model else None)
            beyond_duct = measured is not None and lies_within(Surface.DUCT, measured)
            gaps = merging.fact("gaps", (gaps_row, widest if beyond_duct else None), builder, same=_leaves_room)
        gaps_from = merging.fact("gaps_from", (from_row,), builder)
    else:
        gaps = merging.fact("gaps", (gaps_model,), builder)
        surface = Known(Surface.DUCT, gaps_model.origin) if gaps_model is not None else from_row
        gaps_from = merging.fact("gaps_from", (surface,), builder)
    return OpeningFacts(
        shape=merging.fact(
            "opening_shape",
            (row.opening_shape if row else None, model.opening_shape if model else None),
            builder,
        ),
        framed=merging.fact("framed_opening", (row.framed if row else None, framed_model), builder),
        finished=merging.fact("finished_clear_opening", (row.finished if row else None, finished_model), builder),
        gaps=gaps,
        gaps_from=gaps_from,
        formed=merging.fact("formed", (row.formed if row else None,), builder),
        shared_with=row.shared_with if row else (),
        guid=model.opening_guid if model else "",
    )


def _others_in_seal(model: ModelFacts | None, opening: OpeningFacts) -> Known[bool] | None:
    """Whether the models show another service within the seal: in the modelled opening, else within the widest gap."""
    if model is None or model.other_services is not None or model.nearest_other_mm is None:
        return model.other_services if model else None
    if not isinstance(opening.gaps, Known):
        return None
    gaps = opening.gaps.value
    within = model.nearest_other_mm.value < max(gaps.left_mm, gaps.right_mm, gaps.top_mm, gaps.bottom_mm)
    return Known(True, model.nearest_other_mm.origin) if within else None


def _installation(
    merging: Merging, row: ScheduleRow | None, model: ModelFacts | None, opening: OpeningFacts
) -> InstallationFacts:
    ductwork, stopper = Party.DUCTWORK_CONTRACTOR, Party.FIRESTOPPER
    fact = merging.fact

    def joint_of(side: str, stated: Known[Joint] | None, other: Known[Joint] | None) -> Fact[Joint] | None:
        """The joint of a side by itself; asked for by itself where the other side alone is stated."""
        own = stated is not None or f"penetration/{merging.id}/joint-{side}" in merging.answered
        both = row is not None and row.joint is not None
        return fact(f"joint_{side}", (stated,), ductwork) if own or (other is not None and not both) else None

    joint_a, joint_b = (row.joint_a, row.joint_b) if row else (None, None)
    return InstallationFacts(
        position=fact("position", (row.position if row else None, model.position if model else None), ductwork),
        fixing=fact("fixing", (row.fixing if row else None,), ductwork),
        seal_products=fact("seal_products", (row.seal_products if row else None,), stopper),
        seal_depth_mm=fact("seal_depth_mm", (row.seal_depth_mm if row else None,), stopper),
        seal_faces=fact("seal_faces", (row.seal_faces if row else None,), stopper),
        support=fact("support", (row.support if row else None,), ductwork),
        joint=fact("joint", (row.joint if row else None,), ductwork),
        joint_a=joint_of("a", joint_a, joint_b),
        joint_b=joint_of("b", joint_b, joint_a),
        deflection_head_above=fact(
            "deflection_head_above", (row.deflection_head_above if row else None,), Party.DRY_LINER
        ),
        other_services=fact(
            "other_services", (row.other_services if row else None, _others_in_seal(model, opening)), stopper
        ),
        seal_layers=fact("seal_layers", (row.seal_layers if row else None,), stopper),
        access_door=fact("access_door", (row.access_door if row else None,), ductwork),
    )


def _protection(merging: Merging, row: ScheduleRow | None) -> ProtectionFacts:
    """A run is proven by a document: the word alone, without one, stays unknown."""
    proven = row.run_proven if row else None
    document = row.run_document if row else None
    if proven is not None and proven.value:
        named = f"{proven.origin.place}, by {document.value}" if document is not None else ""
        proven = Known(proven.value, Origin(proven.origin.file, named)) if named else None
    return ProtectionFacts(
        method=merging.fact("protection_method", (row.method if row else None,), Party.FIRE_ENGINEER),
        run_proven=merging.fact(
            "run_proven",
            (proven,),
            Party.DUCTWORK_CONTRACTOR,
        ),
    )


def _spaces(merging: Merging, row: ScheduleRow | None) -> Fact[frozenset[SpaceUse]]:
    """The uses of the spaces on both sides; an answer never takes away what the row says of one side."""
    answered = merging.answered.get(f"penetration/{merging.id}/spaces")
    stated = row.spaces if row else None
    if row is not None and stated is None and answered is not None:
        uses = [side.value for side in (row.space_a, row.space_b) if side is not None]
        return Known(answered.value.union(*uses), answered.origin)
    return merging.fact("spaces", (stated,), Party.FIRE_ENGINEER)


def _model_reasons(merging: Merging, model: ModelFacts) -> Sequence[Reason]:
    reasons = []
    for query in model.queries:
        text = f"{query.question} {query.shows}"
        missing = Missing(f"place/{model.key}/{query.reason}", f"{text} ({merging.id})", query.ask)
        reasons.append(
            Reason("place", Verdict.UNKNOWN, text, query.reason, "a look at the model or the site", (), (missing,))
        )
    if model.storey_mismatch:
        text = f"Which storey is right? {model.storey_mismatch}"
        missing = Missing(f"place/{model.key}/storey", f"{text} ({merging.id})", Party.ARCHITECT)
        reasons.append(Reason("storey", Verdict.UNKNOWN, text, "", "one storey", (), (missing,)))
    if model.opening_doubt:
        text = f"Is the opening to go through the whole barrier? {model.opening_doubt}"
        missing = Missing(f"place/{model.key}/modelled-opening", f"{text} ({merging.id})", Party.ARCHITECT)
        reasons.append(
            Reason("modelled-opening", Verdict.UNKNOWN, text, "", "one opening through every layer", (), (missing,))
        )
    return reasons


def _check_centre(merging: Merging, row: ScheduleRow, model: ModelFacts) -> None:
    """Ask where a row states a place that is not the one it is tied to: then it may name another's GlobalId."""
    if row.centre_m is None or model.centre_m is None:
        return
    apart_mm = math.dist(row.centre_m.value, model.centre_m) * 1000
    if apart_mm <= SAME_PLACE_MM:
        return
    missing = Missing(
        f"penetration/{merging.id}/centre/sources",
        f"Where {merging.id} is: its row ({row.centre_m.origin}) states a place {mm_text(apart_mm)} from the one that "
        "it names in the models",
        Party.SERVICES_DESIGNER,
    )
    text = "The row states another place than the one of the models that it names."
    have, need = f"{mm_text(apart_mm)} apart", f"within {mm_text(SAME_PLACE_MM)}"
    merging.reasons.append(Reason("sources", Verdict.UNKNOWN, text, have, need, (), (missing,), (row.centre_m.origin,)))


def _detail(row: ScheduleRow | None, model: ModelFacts | None) -> DetailFacts:
    """What is stated beyond what is judged; the model gives the height of the centre where no row states it."""
    stated = row.detail if row is not None else NOTHING_STATED
    if stated.centre_above_floor_mm is None and model is not None and model.centre_above_floor_mm is not None:
        return replace(stated, centre_above_floor_mm=model.centre_above_floor_mm)
    return stated


def merge_penetration(
    permanent_id: str,
    row: ScheduleRow | None,
    model: ModelFacts | None,
    wall_types: Mapping[str, WallType],
    answered: Mapping[str, Known[Any]] | None = None,
    told: Told | None = None,
) -> tuple[Penetration, tuple[Reason, ...]]:
    """The penetration that a row, a place of the models, or both together state, and what merging found.

    At least one of the two is given. The schedule's value comes first where both say the same. `answered` are the
    facts that answers to queries state, by the key of the missing fact: one more source, which comes last. `told` are
    the distances that rows state, this one's and others'; without it the row's own.
    """
    merging = Merging(permanent_id, answered=answered or {})
    if model is not None:
        merging.reasons += _model_reasons(merging, model)
        if row is not None:
            _check_centre(merging, row, model)
    barrier = _barrier(merging, row, model, wall_types)
    size = merging.fact(
        "duct_size", (row.duct_size if row else None, model.size if model else None), Party.SERVICES_DESIGNER
    )
    opening = _opening(merging, row, model, barrier.wall_type)
    aliases = [("schedule", row.reference), *row.aliases] if row is not None else []
    penetration = Penetration(
        id=permanent_id,
        key=model.key if model else row.key or row.reference if row else "",
        location=Location(
            merging.fact("storey", (row.storey if row else None, model.storey if model else None), Party.ARCHITECT),
            row.words if row else "",
            model.centre_m if model else row.centre_m.value if row and row.centre_m else None,
            plane=model.plane if model else None,
        ),
        barrier=barrier,
        duct=DuctFacts(
            service=model.service if model else Service.DUCT,
            size=size,
            system=merging.fact("system", (row.system if row else None,), Party.SERVICES_DESIGNER),
            angle_deg=merging.fact(
                "angle_deg",
                (row.angle_deg if row else None, model.angle_deg if model else None),
                Party.SERVICES_DESIGNER,
            ),
            insulation_through=merging.fact(
                "insulation_through", (row.insulation_through if row else None,), Party.DUCTWORK_CONTRACTOR
            ),
            guids=model.duct_guids if model else row.duct_guids if row else (),
        ),
        damper=_damper(merging, row, model),
        opening=opening,
        installation=_installation(merging, row, model, opening),
        protection=_protection(merging, row),
        spaces=_spaces(merging, row),
        separations=separations_of(
            merging,
            told or Told(row.distances if row is not None else ()),
            model.separations if model is not None else None,
            barrier.orientation,
        ),
        aliases=tuple(aliases),
        to_be_settled=model.to_be_settled if model else False,
        model_queries=tuple(f"{query.reason}: {query.shows}" for query in model.queries) if model else (),
        remarks=row.remarks if row else (),
        detail=with_answered_details(permanent_id, _detail(row, model), answered or {}),
        around=model.around if model else None,
    )
    return penetration, tuple(merging.reasons)
