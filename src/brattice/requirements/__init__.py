# SPDX-License-Identifier: Apache-2.0
"""What the code asks at a penetration, by jurisdiction, edition and date; every part with its rows."""
