# SPDX-License-Identifier: Apache-2.0
"""One tested installation for every penetration, with the reason kept."""

from brattice.selection.choice import Choice, choose

__all__ = ["Choice", "choose"]
