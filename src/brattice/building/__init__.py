# SPDX-License-Identifier: Apache-2.0
"""What stands on the site, frozen: storeys, barriers, wall types, ducts, openings, dampers, penetrations."""
