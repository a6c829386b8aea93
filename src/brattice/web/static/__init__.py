# SPDX-License-Identifier: Apache-2.0
"""Styles and scripts of the pages; the closed list of what is served stands in `brattice.web.assets`."""
