# SPDX-License-Identifier: Apache-2.0
"""The second demo: a schedule alone, in somebody else's form, with 150 rows of mess and its list of planted faults.

Building, makers, products, people and documents are invented.
"""
