# SPDX-License-Identifier: Apache-2.0
"""What the detail of one penetration is made from, as judged: its parts, the class time that is asked."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from brattice.building.penetration import Penetration
from brattice.building.words import plain
from brattice.classes import ClassSteps, Family, family_of, read_class
from brattice.details.given import Given
from brattice.errors import ClassTextError
from brattice.evidence.installation import TestedInstallation
from brattice.evidence.judgment import Judgment
from brattice.evidence.product import ProductFacts, SealFacts, product_of
from brattice.findings import Known
from brattice.requirements.requirement import Requirement
from brattice.rows import RowBook

__all__ = ["MakerFacts", "class_minutes", "given_of"]


class MakerFacts:
    """What makers state beside their tests, found by name without searching each time."""

    def __init__(self, products: Iterable[ProductFacts], seals: Iterable[SealFacts]) -> None:
        self._products = tuple(products)
        self._found: dict[tuple[str, str], ProductFacts | None] = {}
        self.seals: Mapping[str, SealFacts] = {plain(item.name): item for item in seals}

    def product(self, maker: str, product: str) -> ProductFacts | None:
        """The facts of a product; None where none are loaded."""
        key = (maker, product)
        if key not in self._found:
            self._found[key] = product_of(self._products, maker, product)
        return self._found[key]


def class_minutes(texts: Iterable[str], book: RowBook) -> int | None:
    """The longest time that any of several class texts asks [min]; None where there is none or one can't be read."""
    found = [_minutes(text, book) for text in texts]
    known = [minutes for minutes in found if minutes is not None]
    return max(known, default=None) if len(known) == len(found) else None


def _minutes(text: str, book: RowBook) -> int | None:
    def read() -> int | None:
        steps = book.once(("class-steps",), lambda: ClassSteps.from_book(book))
        try:
            declaration = read_class(text, family_of(text) or Family.FIRE_DAMPER, steps)
        except ClassTextError:
            return None
        return max(item.minutes for item in declaration.classes)

    return book.once(("class-minutes", text), read)


def given_of(
    penetration: Penetration,
    requirement: Requirement,
    judgment: Judgment | None,
    tested: TestedInstallation | None,
    makers: MakerFacts,
    book: RowBook,
) -> Given:
    """What the detail is made from; the product is the tested installation's, else the scheduled one."""
    product = None
    if tested is not None:
        product = makers.product(tested.maker, tested.product)
    elif isinstance(penetration.damper.maker, Known) and isinstance(penetration.damper.product, Known):
        product = makers.product(penetration.damper.maker.value, penetration.damper.product.value)
    texts = requirement.class_texts.value if isinstance(requirement.class_texts, Known) else ()
    return Given(penetration, book, tested, judgment, product, makers.seals, class_minutes(texts, book))
