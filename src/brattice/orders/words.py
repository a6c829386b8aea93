# SPDX-License-Identifier: Apache-2.0
"""Short texts that orders, builders' work and controls share, each made from the texts of figures and of facts."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable

from brattice.building.penetration import Penetration
from brattice.building.words import plain
from brattice.details.detail import InstallationDetail
from brattice.details.figures import TO_BE_SETTLED, Figure
from brattice.findings import Known, Missing

__all__ = [
    "closes_by",
    "has_no_damper",
    "is_nothing",
    "missing_words",
    "natural",
    "place_words",
    "reference_of",
    "settled_text",
    "size_of",
    "storey_of",
    "wall_words",
    "without_id",
]

_MM = " mm"
_NOT_KNOWN = "not known"
_NUMBERS = re.compile(r"(\d+)")
_LONGEST = 18
_NOTHING = frozenset({"none", "no", "-", "–", "0"})


def settled_text(figure: Figure | None) -> str:
    """The text of a figure that may be ordered or built by; *to be settled* for one that is not known or unsure."""
    return figure.text if figure is not None and figure.is_settled else TO_BE_SETTLED


def size_of(detail: InstallationDetail, part: str) -> str:
    """The size of a part ("damper", "framed", "finished") from its figures: width × height, or Ø where it is round.

    *To be settled* as soon as one side is.
    """
    diameter = detail.figure(f"{part}-diameter")
    if diameter is not None:
        text = settled_text(diameter)
        return TO_BE_SETTLED if text == TO_BE_SETTLED else f"Ø {text}"
    width, height = (settled_text(detail.figure(f"{part}-{side}")) for side in ("width", "height"))
    if TO_BE_SETTLED in (width, height):
        return TO_BE_SETTLED
    return f"{width.removesuffix(_MM) if height.endswith(_MM) else width} × {height}"


def is_nothing(text: str) -> bool:
    """Whether a word of an order says that there is none of a thing."""
    return plain(text) in _NOTHING


def closes_by(detail: InstallationDetail) -> str:
    """What makes a damper close: the figure, else what is stated of the damper, else *to be settled*."""
    figure, fact = detail.figure("actuation"), detail.penetration.damper.actuation
    if figure is not None:
        return settled_text(figure)
    return " and ".join(sorted(fact.value)) if isinstance(fact, Known) and fact.value else TO_BE_SETTLED


def natural(texts: Iterable[str]) -> tuple[tuple[tuple[int, str], ...], ...]:
    """A key that sorts texts as people do: 200 × 200 before 1000 × 400, Level 2 before Level 10."""
    return tuple(
        tuple(
            (int(part), "") if part.isdecimal() and len(part) < _LONGEST else (-1, part)
            for part in _NUMBERS.split(text.casefold())
        )
        for text in texts
    )


def has_no_damper(detail: InstallationDetail, without: Collection[str]) -> bool:
    """Whether nothing is to be ordered, formed or wired for a damper: none is scheduled, or it stands in `without`."""
    present = detail.penetration.damper.present
    return detail.id in without or (isinstance(present, Known) and not present.value)


def storey_of(penetration: Penetration) -> str:
    """The storey of a penetration; "not known" where nobody says."""
    storey = penetration.location.storey
    return storey.value if isinstance(storey, Known) else _NOT_KNOWN


def reference_of(penetration: Penetration) -> str:
    """The first name that people gave it; "" where only models name it."""
    return next((text for kind, text in penetration.aliases if kind != "GlobalId"), "")


def place_words(penetration: Penetration) -> str:
    """Storey and the schedule's own words for the place."""
    return ", ".join(text for text in (storey_of(penetration), penetration.location.words) if text)


def wall_words(penetration: Penetration) -> tuple[str, str]:
    """The wall type and the role of the barrier; "not known" where nobody says."""
    code, role = penetration.barrier.wall_type_code, penetration.barrier.role
    return (
        code.value if isinstance(code, Known) else _NOT_KNOWN,
        str(role.value) if isinstance(role, Known) else _NOT_KNOWN,
    )


def without_id(text: str, name: str) -> str:
    """What is missing, without the penetration that ends the question: its id stands beside it."""
    return text.removesuffix(f": {name}").removesuffix(f" at {name}")


def missing_words(missing: Missing) -> str:
    """A missing fact with whom it is asked of."""
    return f"{missing.text} (ask the {missing.ask})"
