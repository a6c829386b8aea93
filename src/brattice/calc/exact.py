# SPDX-License-Identifier: Apache-2.0
"""Comparisons in the decimals that people stated: the noise of binary fractions never decides at a limit."""

from __future__ import annotations

from fractions import Fraction

__all__ = ["as_stated"]


def as_stated(value: float) -> Fraction:
    """A number as it is written: 9.81 is 981/100, not the nearest binary fraction."""
    return Fraction(repr(float(value)))
