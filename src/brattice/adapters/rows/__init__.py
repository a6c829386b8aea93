# SPDX-License-Identifier: Apache-2.0
"""The shipped data rows, read and handed to the core."""
