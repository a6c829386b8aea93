# SPDX-License-Identifier: Apache-2.0
"""How wide the letters of a sheet can be: the widest that any font has in which a sheet may be set.

A sheet is laid out once and then set in the printed font (Lato) or in the plain sans-serif of a screen; each width
here is that of the wider, rounded up to ten thousandths of the font size, so that what fits by these fits in both.
Kerning makes texts narrower, hardly ever wider. A test measures both fonts anew.
"""

from __future__ import annotations

from brattice.drawing.metrics import FontMetrics

__all__ = ["SHEET_FONT"]

_PLAIN: tuple[tuple[int, str], ...] = (
    (230, "'"),
    (260, "ijl"),
    (280, " ,.:;·ìíîï"),
    (300, "[]|¦"),
    (310, "IÌÍÎÏ"),
    (340, "()`f{}¨¯²³´¸¹"),
    (350, "!-¡"),
    (370, "ª"),
    (380, "/\\t"),
    (390, "º"),
    (400, '"*°'),
    (410, "r"),
    (500, "Jcszç"),
    (510, "x"),
    (520, "vyýÿ"),
    (530, "k"),
    (560, "?L_abdeghnopqu§«µ»àáâãäåèéêëðñòóôõöùúûüþ–"),
    (580, "#$0123456789^¢£¤¥•≤≥"),
    (590, "+<=>~¬±×÷"),
    (620, "FT¿ßø"),
    (630, "Z"),
    (670, "BEPSXY¶ÈÉÊËÝÞ"),
    (680, "AVÀÁÂÃÄÅ"),
    (690, "K"),
    (710, "&"),
    (730, "CRUÇÙÚÛÜ"),
    (760, "DHNÑ"),
    (770, "w"),
    (780, "G"),
    (790, "Ð"),
    (800, "OQ©®ÒÓÔÕÖØ"),
    (840, "m¼½¾"),
    (890, "%æ"),
    (920, "M"),
    (1000, "Æ—…"),
    (1020, "@W"),
)

_BOLD: tuple[tuple[int, str], ...] = (
    (240, "'"),
    (280, " ,.ijl·ìíîï"),
    (300, "|¦"),
    (320, "IÌÍÎÏ"),
    (340, "():;[]`¨¯²³´¸¹"),
    (360, "-f"),
    (370, "!¡ª"),
    (390, "/t{}º"),
    (400, "*\\"),
    (410, "r°"),
    (480, '"'),
    (500, "z"),
    (560, "J_aceksvxy§«»àáâãäåçèéêëýÿ"),
    (570, "–"),
    (580, "#$0123456789¢£¤¥•≤≥"),
    (590, "+<=>^~¬±×÷"),
    (620, "?FLTZbdghnopquµ¿ðñòóôõöøùúûüþ"),
    (640, "ß"),
    (670, "EPSYÈÉÊËÝÞ"),
    (680, "X"),
    (710, "V¶"),
    (730, "&ABCKRUÀÁÂÃÄÅÇÙÚÛÜ"),
    (750, "D"),
    (760, "HNÑ"),
    (780, "G"),
    (800, "OQw©®ÐÒÓÔÕÖØ"),
    (840, "¼½¾"),
    (890, "%mæ"),
    (930, "M"),
    (980, "@"),
    (1000, "Æ—…"),
    (1050, "W"),
)

SHEET_FONT = FontMetrics(
    name="the widest of the fonts that a sheet may be set in",
    advances={sign: width for width, signs in _PLAIN for sign in signs},
    other=1050,
    cap_height=740,
    depth=220,
    bold_factor=1.15,
    bold_advances={sign: width for width, signs in _BOLD for sign in signs},
)
"""Widths for layout and for the check of collisions; `bold_factor` is only for letters that the tables lack."""
