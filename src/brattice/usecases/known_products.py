# SPDX-License-Identifier: Apache-2.0
"""Products that a maker states facts of, held against the tested installations that are loaded."""

from __future__ import annotations

from collections.abc import Iterable

from brattice.building.words import plain
from brattice.evidence.installation import TestedInstallation
from brattice.evidence.product import ProductFacts
from brattice.findings import Finding
from brattice.usecases.codes import PRODUCT_FACTS, Outcome, finding_code

__all__ = ["unnamed_products"]


def _name(maker: str, product: str) -> tuple[str, str]:
    return plain(maker), plain(product)


def unnamed_products(
    products: Iterable[ProductFacts], installations: Iterable[TestedInstallation]
) -> tuple[Finding, ...]:
    """A note for each product with facts that no tested installation names: a name written otherwise, or no test."""
    tested = {_name(item.maker, item.product) for item in installations}
    return tuple(
        Finding(
            item.origin.file,
            finding_code(PRODUCT_FACTS, Outcome.NOTE),
            False,
            f"Facts are stated of {item.maker} {item.product}, but no tested installation that is loaded names it.",
            f"{item.maker} {item.product}",
            "the maker and product of a tested installation",
            (),
            (item.origin,),
        )
        for item in products
        if _name(item.maker, item.product) not in tested
    )
