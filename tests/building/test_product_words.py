# SPDX-License-Identifier: Apache-2.0
"""Maker and product on one line; names are invented."""

import pytest

from brattice.building.words import product_words


@pytest.mark.parametrize(
    ("maker", "product", "said"),
    [
        ("Orlebek", "Orlebek C4", "Orlebek C4"),
        ("orlebek", "ORLEBEK  C4", "ORLEBEK  C4"),
        ("Orlebek", "Orlebek", "Orlebek"),
        ("Orlebek", "Orlebekan 7", "Orlebek Orlebekan 7"),
        ("Orlebek", "C4", "Orlebek C4"),
        ("Orlebek", "", "Orlebek"),
        ("", "C4", "C4"),
        ("", "", ""),
        ("to be settled", "to be settled", "to be settled"),
    ],
)
def test_a_maker_is_said_once_where_the_product_begins_with_it(maker: str, product: str, said: str) -> None:
    assert product_words(maker, product) == said
