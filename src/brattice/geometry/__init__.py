# SPDX-License-Identifier: Apache-2.0
"""Plain shapes: boxes, prisms, polygons, crossings, clear distances; no trade words, no files."""
