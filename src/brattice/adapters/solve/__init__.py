# SPDX-License-Identifier: Apache-2.0
"""Solvers behind ports: the core states a problem and checks the answer, what is here only finds one."""

from brattice.adapters.solve.separations import ShiftSolver

__all__ = ["ShiftSolver"]
