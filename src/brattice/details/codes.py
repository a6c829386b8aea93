# SPDX-License-Identifier: Apache-2.0
"""The checks of this room."""

from __future__ import annotations

from brattice.findings import CodeSpec, Party

__all__ = ["CODES"]

CODES: tuple[CodeSpec, ...] = (
    CodeSpec(
        "framed-and-finished",
        "The framed opening less twice the lining is the finished clear opening.",
        Party.DRY_LINER,
    ),
    CodeSpec(
        "gap-and-opening",
        "The finished clear opening leaves the gaps that are stated round the damper.",
        Party.DRY_LINER,
    ),
    CodeSpec(
        "masonry-lining",
        "An opening in masonry or concrete has the lining of the test, and none where none was tested.",
        Party.DRY_LINER,
    ),
    CodeSpec("opening-shape-and-size", "A round hole has a diameter, a rectangular one two sides.", Party.DRY_LINER),
)
