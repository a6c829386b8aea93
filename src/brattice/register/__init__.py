# SPDX-License-Identifier: Apache-2.0
"""The record's own rules: the stages of the job at each penetration, and what they are held against."""

from brattice.register.checks import check_stages
from brattice.register.codes import CODES
from brattice.register.stages import STAGES, Remark, Stage, StageEvent, StageStanding, StageStep, Track, tracks_of

__all__ = [
    "CODES",
    "STAGES",
    "Remark",
    "Stage",
    "StageEvent",
    "StageStanding",
    "StageStep",
    "Track",
    "check_stages",
    "tracks_of",
]
