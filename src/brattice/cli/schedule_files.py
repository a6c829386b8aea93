# SPDX-License-Identifier: Apache-2.0
"""The files of orders, builders' work, cause and effect and submittals: as an issue holds them, and as they stand.

Both are made by the same adapters. One that is no part of an issue says so in its name and inside.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from datetime import datetime

from brattice.building.file_names import file_part, files_told_apart
from brattice.orders.contents import lines_from
from brattice.orders.orders import OrderLine
from brattice.orders.submittal import Submittals
from brattice.usecases.issuing import DocumentKind, Issue
from brattice.usecases.ordering import ScheduleHead, Schedules

__all__ = [
    "BUILDERS_WORK",
    "CAUSE_EFFECT",
    "NOT_ISSUED",
    "ORDERS",
    "FileMaker",
    "flat_name",
    "lines_before",
    "makers_as_they_stand",
    "makers_of",
    "submittal_numbers",
]

ORDERS, BUILDERS_WORK, CAUSE_EFFECT = "orders", "builders-work", "cause-and-effect"
"""The numbers of the documents that a job has once."""

NOT_ISSUED = "not-issued"
"""What stands in a file's name where an issue has the revision."""


@dataclass(frozen=True)
class FileMaker:
    """A file that can be made: its name with folders, what it is in words, and the making, which gives its bytes.

    `make` raises `InputError` where the pages need more memory or time than they may.
    """

    name: str
    words: str
    make: Callable[[], bytes]


def submittal_numbers(schedules: Schedules) -> dict[str, int]:
    """The number of the document of each submittal: its own for good, whatever others come before it."""
    names = [(item.maker, item.product, item.wall_type) for item in schedules.submittals.items]
    return {f"submittal-{part}": place for place, part in enumerate(files_told_apart(names))}


def flat_name(name: str) -> str:
    """The name of a file that is handed out alone: without the folder of submittals, other folders kept as words."""
    return name.removeprefix("submittals/").replace("/", "-")


def lines_before(last: Issue | None) -> tuple[OrderLine, ...] | None:
    """The order lines of the last issue; None where there was none, nothing where it held no order schedule."""
    if last is None:
        return None
    orders = next((item for item in last.documents if item.content.number == ORDERS), None)
    return () if orders is None else lines_from(orders.content.texts)


def makers_of(
    number: str, schedules: Schedules, head: ScheduleHead, stamp: datetime, submittal: int | None = None
) -> tuple[FileMaker, ...]:
    """The files of a document by its number; `submittal` is the place of the one that it is.

    The head's revision stands in their names. A number that is none of these has no files.
    """
    name = f"{number}-{head.revision or NOT_ISSUED}"
    epoch = int(stamp.timestamp())

    def orders_book() -> bytes:
        from brattice.adapters.orders import orders_bytes

        return orders_bytes(schedules, head, stamp=stamp)

    def orders_pages() -> bytes:
        from brattice.adapters.print import order_pages

        (data,) = order_pages(schedules, head, epoch=epoch).values()
        return data

    def builders_book() -> bytes:
        from brattice.adapters.orders import builders_work_bytes

        return builders_work_bytes(schedules, head, stamp=stamp)

    def overlay(place: int) -> Callable[[], bytes]:
        def made() -> bytes:
            from brattice.adapters.orders.overlay import overlay_bytes

            return overlay_bytes(schedules.overlays[place], head)

        return made

    def causes_book() -> bytes:
        from brattice.adapters.orders import cause_effect_bytes

        return cause_effect_bytes(schedules, head, stamp=stamp)

    def submittal_page(place: int) -> bytes:
        from brattice.adapters.print import submittal_pages

        one = Submittals((schedules.submittals.items[place],), ())
        (data,) = submittal_pages(replace(schedules, submittals=one), head, epoch=epoch).values()
        return data

    if number == ORDERS:
        return (
            FileMaker(f"{name}.xlsx", "the order schedule", orders_book),
            FileMaker(f"{name}.pdf", "the order schedule", orders_pages),
        )
    if number == BUILDERS_WORK:
        return (
            FileMaker(f"{name}.xlsx", "the builders\u2019 work schedule, and what is too near", builders_book),
            *(
                FileMaker(
                    f"{name}/{place + 1:02d}-{file_part(item.storey, 'storey')}.dxf",
                    f"the openings of {item.storey}, to lay over its plan",
                    overlay(place),
                )
                for place, item in enumerate(schedules.overlays)
            ),
        )
    if number == CAUSE_EFFECT:
        return (FileMaker(f"{name}.xlsx", "cause and effect, with the points of each trade", causes_book),)
    if submittal is not None:
        item = schedules.submittals.items[submittal]
        words = f"{item.product_text} in wall type {item.wall_type}"
        return (FileMaker(f"submittals/{name}.pdf", words, lambda: submittal_page(submittal)),)
    return ()


def makers_as_they_stand(
    kind: DocumentKind, schedules: Schedules, head: ScheduleHead, stamp: datetime
) -> Iterator[FileMaker]:
    """The files of a kind of document as they stand now, not issued; none for sketches, which have their own."""
    numbers = {
        DocumentKind.ORDERS: ORDERS,
        DocumentKind.BUILDERS_WORK: BUILDERS_WORK,
        DocumentKind.CAUSE_EFFECT: CAUSE_EFFECT,
    }
    if kind in numbers:
        yield from makers_of(numbers[kind], schedules, head, stamp)
    elif kind is DocumentKind.SUBMITTAL:
        for number, place in submittal_numbers(schedules).items():
            yield from makers_of(number, schedules, head, stamp, place)
