# SPDX-License-Identifier: Apache-2.0
"""One formula family a module; floats in, floats out, units in the names; coefficients and limits come from rows.

`docs/calculations.md` lists every formula with its letters, units, source, validity and oracle. Where a formula does
not hold, the answer is None, never a number.
"""
