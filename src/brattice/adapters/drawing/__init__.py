# SPDX-License-Identifier: Apache-2.0
"""Writers of neutral drawings: SVG."""

from brattice.adapters.drawing.svg import SCREEN, SVG_CSS, SVG_HATCHES, Look, svg_document, svg_element

__all__ = ["SCREEN", "SVG_CSS", "SVG_HATCHES", "Look", "svg_document", "svg_element"]
