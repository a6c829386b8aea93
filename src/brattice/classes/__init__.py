# SPDX-License-Identifier: Apache-2.0
"""Fire classes as values: read, print, compare; the steps that exist come in as rows."""
