# SPDX-License-Identifier: Apache-2.0
"""How drawings look on paper: black and white alone, in the fonts of the pages."""

from __future__ import annotations

from brattice.adapters.drawing import black_look
from brattice.adapters.print.fonts import FONT, FONT_FALLBACK, printable_line

__all__ = ["PRINT"]

PRINT = black_look(f'"{FONT}","{FONT_FALLBACK}"', printable_line)
"""The look of drawings on paper."""
