# SPDX-License-Identifier: Apache-2.0
"""What one installation detail is made from, and how a figure is made of it: by the table, with its trace."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from enum import Enum

from brattice.building.detail_facts import missing_detail
from brattice.building.penetration import Penetration, Size
from brattice.calc.tolerance import NONE_STATED, SiteTolerances, StatedTolerances
from brattice.details.figures import TO_BE_SETTLED, Figure, Used
from brattice.details.table import FIGURES
from brattice.evidence.checking import window_text
from brattice.evidence.installation import TestedInstallation, Window
from brattice.evidence.judgment import Judgment
from brattice.evidence.product import ProductFacts, SealFacts
from brattice.findings import Fact, Known, Missing, Origin, Party, Unknown, Verdict
from brattice.quantities import number_text, size_text
from brattice.rows import RowBook

__all__ = ["Given", "said", "sentence", "used", "window_words"]


def said(value: object, unit: str = "", decimals: int = 1) -> str:
    """A value as a sheet prints it: yes and no, words as they are, numbers with their unit."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, Enum):
        return str(value.value)
    if isinstance(value, Size):
        return size_text(value.width_mm, value.height_mm)
    if isinstance(value, frozenset):
        return " and ".join(sorted(said(item) for item in value))
    if isinstance(value, tuple):
        return ", ".join(said(item) for item in value) or "none"
    if isinstance(value, int | float):
        return f"{number_text(value, decimals)} {unit}".strip()
    return str(value)


def used(name: str, fact: Fact[object] | None, unit: str = "") -> tuple[Used, ...]:
    """A stated fact as something that a figure used; nothing where it is not known."""
    return (Used(name, said(fact.value, unit), fact.origin),) if isinstance(fact, Known) else ()


def sentence(words: str) -> str:
    """Words that another room says in the middle of a sentence, as one of their own."""
    return f"{words[:1].upper()}{words[1:]}." if words else ""


def window_words(window: Window) -> str:
    """A tested window of lengths in words; "" where it has no end."""
    return "" if window.least is None and window.most is None else window_text(window)


@dataclass(frozen=True)
class Given:
    """Everything that one detail is made from.

    `tested` and `judgment` are of the chosen installation (None where nothing is chosen), `product` and `seals` what
    makers state beside their tests (`seals` by plain name). `minutes` is the longest class time that is asked [min],
    None where it can't be told. `tolerances` are those that the job states, None for those of common practice
    with `stated_tolerances` in their place.
    """

    penetration: Penetration
    book: RowBook
    tested: TestedInstallation | None = None
    judgment: Judgment | None = None
    product: ProductFacts | None = None
    seals: Mapping[str, SealFacts] = field(default_factory=dict)
    minutes: int | None = None
    tolerances: SiteTolerances | None = None
    stated_tolerances: StatedTolerances = NONE_STATED

    @property
    def size(self) -> Known[Size] | None:
        """The nominal size that the installation is made for: the damper's, else the duct's."""
        for fact in (self.penetration.damper.size, self.penetration.duct.size):
            if isinstance(fact, Known):
                return fact
        return None

    def figure(
        self,
        key: str,
        value: float | None = None,
        *,
        text: str = "",
        limit: str = "",
        verdict: Verdict = Verdict.NOT_APPLICABLE,
        rows: tuple[str, ...] = (),
        uses: tuple[Used, ...] = (),
        missing: tuple[Missing, ...] = (),
        note: str = "",
        formula: str | None = None,
    ) -> Figure:
        """A figure of the table with a value or a word; `rows` come beside those of the table."""
        spec = FIGURES[key]
        if not text:
            text = TO_BE_SETTLED if value is None else said(value, spec.unit, spec.decimals)
        together = tuple(dict.fromkeys((*spec.rows, *rows)))
        formula = spec.formula if formula is None else formula
        return Figure(key, spec.name, value, spec.unit, text, formula, limit, verdict, together, uses, missing, note)

    def lacking(
        self, key: str, missing: Iterable[Missing], *, uses: tuple[Used, ...] = (), limit: str = "", note: str = ""
    ) -> Figure:
        """A figure that is to be settled, with the facts that it waits for."""
        wanted = tuple(missing)
        if len(wanted) > 1:
            wanted = tuple(sorted(set(wanted)))
        return self.figure(key, limit=limit, verdict=Verdict.UNKNOWN, uses=uses, missing=wanted, note=note)

    def stated(self, key: str, fact: Fact[object] | None, field_name: str = "", *, limit: str = "") -> Figure:
        """A figure that is a fact itself; `field_name` names the field of `DetailFacts` where that can hold it."""
        if isinstance(fact, Known):
            spec = FIGURES[key]
            value = fact.value
            number = float(value) if isinstance(value, int | float) and not isinstance(value, bool) else None
            text = said(value, spec.unit, spec.decimals)
            return self.figure(key, number, text=text, limit=limit, uses=used(spec.name, fact))
        return self.lacking(key, (self.missing(fact, field_name),), limit=limit)

    def missing(self, fact: Fact[object] | None, field_name: str = "") -> Missing:
        """What has to be asked where a fact is not known."""
        if isinstance(fact, Unknown):
            return fact.missing
        return missing_detail(self.penetration.id, field_name)

    def evidence_lacks(self, about: str, words: str) -> Missing:
        """What the tested installation, as entered, does not say."""
        name = self.tested.id if self.tested is not None else "none"
        return Missing(f"evidence/{name}/{about}", f"{words}, of {name}", Party.DAMPER_SUPPLIER)

    def maker_lacks(self, about: str, words: str) -> Missing:
        """What the maker of the product, as loaded, does not state beside the tests."""
        name = self.product_name
        return Missing(f"product/{name}/{about}", f"{words}, of {name}", Party.DAMPER_SUPPLIER)

    @property
    def no_time(self) -> Missing:
        """That it is not known for how long the class is asked."""
        name = self.penetration.id
        return Missing(
            f"penetration/{name}/class-time", f"For how long a class is asked at {name}", Party.FIRE_ENGINEER
        )

    @property
    def product_name(self) -> str:
        """Maker and product in words."""
        if self.tested is not None:
            return f"{self.tested.maker} {self.tested.product}"
        parts = (self.penetration.damper.maker, self.penetration.damper.product)
        return " ".join(part.value for part in parts if isinstance(part, Known)) or "the damper"

    @property
    def tested_origin(self) -> Origin | None:
        """Where the tested installation stands."""
        return None if self.tested is None else self.tested.origin

    def of_test(self, name: str, value: object, unit: str = "") -> Used:
        """Something that the tested installation states, as something that a figure used."""
        return Used(f"tested {name}", said(value, unit), self.tested_origin)

    def of_maker(self, name: str, value: object, unit: str = "") -> Used:
        """Something that the maker states beside the tests, as something that a figure used."""
        origin = None if self.product is None else self.product.origin
        return Used(f"maker's {name}", said(value, unit), origin)
