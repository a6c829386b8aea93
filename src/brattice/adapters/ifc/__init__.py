# SPDX-License-Identifier: Apache-2.0
"""Building models, read in a child process."""
