# SPDX-License-Identifier: Apache-2.0
"""Writers of neutral drawings: SVG here, DXF in its own module (its library takes a while to load)."""

from brattice.adapters.drawing.svg import SCREEN, SVG_CSS, SVG_HATCHES, Look, svg_document, svg_element

__all__ = ["SCREEN", "SVG_CSS", "SVG_HATCHES", "Look", "svg_document", "svg_element"]
