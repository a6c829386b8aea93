# SPDX-License-Identifier: Apache-2.0
"""Neutral drawing primitives in millimetres, dimension chains and layout."""
