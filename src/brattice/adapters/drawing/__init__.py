# SPDX-License-Identifier: Apache-2.0
"""Writers of neutral drawings: SVG."""

from brattice.adapters.drawing.svg import SVG_CSS, SVG_HATCHES, svg_document, svg_element

__all__ = ["SVG_CSS", "SVG_HATCHES", "svg_document", "svg_element"]
