# SPDX-License-Identifier: Apache-2.0
"""How each missing fact of a penetration is asked, so that whoever gets the query knows what is wanted."""

from __future__ import annotations

from collections.abc import Mapping

from brattice.usecases.facts import label_of

__all__ = ["QUESTIONS", "fact_question"]

QUESTIONS: Mapping[str, str] = {
    "storey": "The storey",
    "orientation": "Whether a wall or a floor is passed",
    "barrier_role": "What the fire strategy makes of the barrier",
    "wall_type": "Which wall type of the wall-type sheet the barrier is",
    "thickness_mm": "The thickness of the barrier",
    "rating": "The fire rating of the barrier",
    "spaces": "The uses of the spaces on both sides",
    "system": "Which system the duct belongs to (supply, extract, kitchen extract …)",
    "duct_size": "The size of the duct",
    "angle_deg": "The angle between duct and barrier",
    "insulation_through": "Whether the duct's insulation runs on through the barrier",
    "damper_present": "Whether a damper is to stand",
    "maker": "The damper's maker",
    "product": "The damper's product",
    "damper_size": "The nominal size of the damper",
    "class_text": "The class that is declared for the damper",
    "actuation": "How the damper is actuated (thermal, smoke detection or both)",
    "mechanism_deg": "How far the mechanism side is turned about the duct's axis, as the maker counts it",
    "access_side": "From which side the mechanism is reached",
    "blade_offset_mm": "How far the closed blade stands from the barrier's centre plane",
    "opening_shape": "The shape of the hole in the barrier (rectangular, round)",
    "framed_opening": "The size of the framed opening",
    "finished_clear_opening": "The size of the finished clear opening",
    "gaps": "The gap on each side between the damper and the finished clear opening",
    "gaps_from": "From which surface (duct or casing) the gaps are measured",
    "formed": "Whether the framed opening is formed already",
    "position": "Where the damper stands (in the barrier, on the face, remote)",
    "fixing": "How the damper is fixed to the barrier or its support",
    "seal_products": "The names of the products that seal the gap",
    "seal_depth_mm": "The depth of the seal",
    "seal_faces": "On how many faces of the barrier the gap is sealed",
    "seal_layers": "How many layers the seal has on each face",
    "support": "What carries the damper (barrier, drop rods, both)",
    "joint": "How the ducts join the damper (breakaway fixings, flexible connection, rigid flange …)",
    "joint_a": "How the duct joins the damper on side A, or that no duct does",
    "joint_b": "How the duct joins the damper on side B, or that no duct does",
    "deflection_head_above": "Whether the head of the wall above can move",
    "other_services": "Whether anything else passes the same seal",
    "access_door": "Whether an access door or panel is provided",
    "protection_method": "Which method protects the duct where it passes (damper, enclosure, fire-resisting duct …)",
    "run_proven": "The document that proves the whole protected run",
}
"""By the field's name. Each is followed by "at P-0007", or by the penetrations of a group."""


def fact_question(name: str, at: str) -> str:
    """What is asked about a field of a penetration, such as "The damper's maker at P-0007"."""
    return f"{QUESTIONS.get(name, f'The {label_of(name)}')} at {at}"
