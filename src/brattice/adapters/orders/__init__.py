# SPDX-License-Identifier: Apache-2.0
"""Orders, builders' work, and cause and effect as workbooks: the texts that the core made, none formatted here.

The overlay in plan as DXF is in its own module, since its library takes a while to load.
"""

from brattice.adapters.orders.books import (
    BUILDERS_WORK_FILE,
    CAUSE_EFFECT_FILE,
    ORDERS_FILE,
    builders_work_bytes,
    cause_effect_bytes,
    orders_bytes,
    schedule_books,
)

__all__ = [
    "BUILDERS_WORK_FILE",
    "CAUSE_EFFECT_FILE",
    "ORDERS_FILE",
    "builders_work_bytes",
    "cause_effect_bytes",
    "orders_bytes",
    "schedule_books",
]
