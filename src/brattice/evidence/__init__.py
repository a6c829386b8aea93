# SPDX-License-Identifier: Apache-2.0
"""Tested installations, their documents, and whether one of them holds for a penetration."""
