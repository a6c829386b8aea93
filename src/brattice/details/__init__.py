# SPDX-License-Identifier: Apache-2.0
"""One installation in numbers: openings, gaps and what is wrong with an opening that exists."""
