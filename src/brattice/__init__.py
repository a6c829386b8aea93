# SPDX-License-Identifier: Apache-2.0
"""Brattice: every fire and smoke damper of a building project, held against what was tested."""

__all__ = ["__version__"]

__version__ = "0.1.0"
