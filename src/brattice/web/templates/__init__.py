# SPDX-License-Identifier: Apache-2.0
"""The templates of the pages; every text that they print is escaped."""
