# SPDX-License-Identifier: Apache-2.0
"""The order schedule: what is ordered of whom, and each damper that is held with what it waits for.

A line says everything or it is no line: a penetration with a fact missing, with a change still to be made, or whose
submittal is not approved is held (trade handbook rows 3.16 and 5.5, field cases 8, 15 and 16; common practice).
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from brattice.building.detail_facts import missing_detail
from brattice.building.words import plain, product_words
from brattice.details.assemble import BUILDER_NEEDS
from brattice.details.detail import InstallationDetail, Standing
from brattice.details.figures import TO_BE_SETTLED, Figure
from brattice.evidence.product import Actuator, ProductFacts
from brattice.findings import Known, Missing, Party, Verdict
from brattice.orders.approval import contents, void_because
from brattice.orders.decisions import OrderOverride, SubmittalDecision, decision_of, override_of, standing_on
from brattice.orders.words import (
    closes_by,
    has_no_damper,
    is_nothing,
    natural,
    place_words,
    reference_of,
    settled_text,
    size_of,
    wall_words,
    without_id,
)
from brattice.quantities import number_text

__all__ = [
    "ORDER_FIELDS",
    "Held",
    "HeldKind",
    "HeldReason",
    "OrderLine",
    "OrderSchedule",
    "OrderTotal",
    "order_schedule",
    "rejection_of",
]

ORDER_FIELDS: tuple[tuple[str, str], ...] = (
    ("maker", "Maker"),
    ("product", "Product"),
    ("size", "Size, width × height"),
    ("handing", "Side of the mechanism"),
    ("class", "Class"),
    ("actuation", "Closes by"),
    ("actuator", "Actuator or release"),
    ("voltage", "Voltage"),
    ("end-switches", "End switches"),
    ("accessories", "Accessories"),
    ("access-side", "Access from"),
    ("finish", "Finish"),
    ("phase", "Phase"),
    ("delivery", "Delivery"),
    ("submittal", "Technical submittal"),
    ("comments", "Comments of the submittal"),
    ("override", "Ordered before approval"),
)
"""What each line says beside quantity and penetrations: key and heading, in the order in which they are printed."""

_NEEDED = (
    ("handing", "handing"),
    ("actuator", "actuator"),
    ("voltage", "voltage"),
    ("end-switches", "end_switches"),
    ("accessories", "accessories"),
    ("finish", "finish"),
    ("phase", "phase"),
)
"""Keys of figures that a line needs, with the field that a question names where the figure is absent."""


class HeldKind(StrEnum):
    """Why something is not ordered."""

    NO_DAMPER = "no damper"
    NOT_SETTLED = "not settled"
    CHANGE_FIRST = "change first"
    FAILS = "does not hold"
    FACT_MISSING = "fact missing"
    NOT_OFFERED = "not offered"
    SUBMITTAL = "submittal"


@dataclass(frozen=True, order=True, slots=True)
class HeldReason:
    """One thing that a held damper waits for: its kind, what in words, whom to ask (None: the answer is known)."""

    kind: HeldKind
    text: str
    ask: Party | None = None

    @property
    def ask_text(self) -> str:
        """Whom to ask; "" where nobody has to be asked."""
        return "" if self.ask is None else str(self.ask)


@dataclass(frozen=True)
class Held:
    """A penetration that nothing is ordered for, with every reason."""

    id: str
    reference: str
    place: str
    maker: str
    product: str
    size: str
    reasons: tuple[HeldReason, ...]

    @property
    def damper(self) -> str:
        """Maker and product on one line; *to be settled* once where both are, "" where there is no damper."""
        return product_words(self.maker, self.product)

    @property
    def in_short(self) -> tuple[tuple[str, str, str], ...]:
        """The reasons with those of one kind to one party together: kind, what, whom to ask; the id is left out."""
        found: dict[tuple[str, str], list[str]] = {}
        for reason in self.reasons:
            text = without_id(reason.text, self.id).removesuffix(".")
            found.setdefault((str(reason.kind), reason.ask_text), []).append(text)
        return tuple((kind, "; ".join(texts), ask) for (kind, ask), texts in found.items())


@dataclass(frozen=True)
class OrderLine:
    """Dampers that are alike in everything: `texts` by the keys of `ORDER_FIELDS`, for which penetrations, and how many
    each of them has.
    """

    number: int
    texts: Mapping[str, str]
    penetrations: tuple[str, ...]
    quantities: tuple[int, ...]

    @property
    def quantity(self) -> int:
        """How many dampers the line orders."""
        return sum(self.quantities)

    @property
    def quantity_text(self) -> str:
        """The quantity as it is printed."""
        return number_text(self.quantity)

    @property
    def penetrations_text(self) -> str:
        """The ids, each by itself: a line is checked against the sheets one by one."""
        return ", ".join(self.penetrations)


@dataclass(frozen=True, order=True, slots=True)
class OrderTotal:
    """How many dampers of a maker come in a phase, on how many lines."""

    maker: str
    phase: str
    quantity: int
    lines: int


@dataclass(frozen=True)
class OrderSchedule:
    """The lines that may be ordered, and what is held; each penetration stands in one of the two, once."""

    on: date
    lines: tuple[OrderLine, ...]
    held: tuple[Held, ...]
    totals: tuple[OrderTotal, ...]

    @property
    def quantity(self) -> int:
        """How many dampers are ordered."""
        return sum(line.quantity for line in self.lines)

    @property
    def by_penetration(self) -> dict[str, OrderLine]:
        """The line of each penetration that is ordered."""
        return {name: line for line in self.lines for name in line.penetrations}


def _named(detail: InstallationDetail) -> tuple[str, str]:
    """Maker and product: those of the installation that is chosen, else those scheduled, else *to be settled*."""
    if detail.tested is not None:
        return detail.tested.maker, detail.tested.product
    damper = detail.penetration.damper
    maker, product = (
        fact.value if isinstance(fact, Known) else TO_BE_SETTLED for fact in (damper.maker, damper.product)
    )
    return maker, product


def _fact(detail: InstallationDetail, name: str, words: str, ask: Party) -> HeldReason:
    missing = Missing(f"penetration/{detail.id}/{name}", f"{words}: {detail.id}", ask)
    return _missing(missing)


def _missing(missing: Missing) -> HeldReason:
    return HeldReason(HeldKind.FACT_MISSING, missing.text, missing.ask)


def _standing_reasons(detail: InstallationDetail) -> Iterator[HeldReason]:
    """What stands in the way of building it at all; what only another trade waits for holds no order."""
    if detail.standing is not Standing.TO_BUILD:
        yield HeldReason(HeldKind.NOT_SETTLED, detail.why)
        yield from (HeldReason(HeldKind.CHANGE_FIRST, text) for text in detail.changes)
        asked = {item for figure in detail.figures for item in figure.missing}
        needed = {item for figure in detail.figures if figure.key in BUILDER_NEEDS for item in figure.missing}
        yield from (_missing(item) for item in detail.to_settle if item in needed or item not in asked)
    yield from (HeldReason(HeldKind.FAILS, text) for text in detail.problems)
    if detail.standing is not Standing.NOT_DRAWN and not detail.deviation:
        yield from (_failing(item) for item in detail.figures if item.verdict is Verdict.FAIL)


def _failing(figure: Figure) -> HeldReason:
    against = f", {figure.limit}" if figure.limit else ""
    note = f" {figure.note}" if figure.note else ""
    return HeldReason(HeldKind.FAILS, f"{figure.name}: {figure.text}{against}.{note}".replace("..", "."))


def _figure_reasons(detail: InstallationDetail, key: str, field: str) -> Iterator[HeldReason]:
    """What a figure lacks that a line needs."""
    figure = detail.figure(key)
    if figure is None:
        yield _missing(missing_detail(detail.id, field))
    elif figure.verdict is Verdict.FAIL:
        yield _failing(figure)
    elif not figure.is_settled:
        if figure.missing:
            yield from (_missing(item) for item in figure.missing)
        else:
            yield _missing(missing_detail(detail.id, field))


def _access(detail: InstallationDetail) -> str:
    """From where it is reached: the figure, else what is stated of the damper."""
    figure, fact = detail.figure("access-side"), detail.penetration.damper.access_side
    if figure is not None:
        return settled_text(figure)
    return fact.value if isinstance(fact, Known) else TO_BE_SETTLED


def _order_reasons(detail: InstallationDetail) -> Iterator[HeldReason]:
    """What the line itself lacks."""
    if detail.tested is None:
        yield _fact(detail, "tested-installation", "Which tested installation it is built by", Party.DAMPER_SUPPLIER)
    if size_of(detail, "damper") == TO_BE_SETTLED:
        keys = ("damper-width", "damper-height", "damper-diameter")
        lacking = {item for key in keys if (figure := detail.figure(key)) is not None for item in figure.missing}
        if lacking:
            yield from (_missing(item) for item in sorted(lacking))
        else:
            yield _fact(detail, "damper-size", "The size of the damper, width × height", Party.SERVICES_DESIGNER)
    if detail.standing is Standing.TO_BUILD and not _class(detail):  # else the register says why none is held
        yield _fact(detail, "class", "The class that it holds here", Party.DAMPER_SUPPLIER)
    for key, field in _NEEDED:
        yield from _figure_reasons(detail, key, field)
    if detail.figure("fail-position") is not None:  # a link alone has none
        yield from _figure_reasons(detail, "fail-position", "fail_position")
    if _access(detail) == TO_BE_SETTLED:
        yield _fact(detail, "access-side", "The side from which the damper is reached", Party.SERVICES_DESIGNER)
    if closes_by(detail) == TO_BE_SETTLED:
        yield _fact(detail, "actuation", "What makes the damper close", Party.SERVICES_DESIGNER)
    if _quantity(detail) is None:
        yield _fact(detail, "quantity", "How many dampers there are", Party.SERVICES_DESIGNER)
    delivery = detail.figure("delivery")
    if delivery is None or not delivery.is_settled:
        name = " ".join(_named(detail))
        lacking = set(delivery.missing if delivery is not None else ())
        default = Missing(f"product/{name}/delivery-weeks", f"The delivery time, of {name}", Party.DAMPER_SUPPLIER)
        yield from (_missing(item) for item in sorted(lacking or {default}))


def _class(detail: InstallationDetail) -> str:
    """The class held here; with an accepted deviation the class declared, said as such; "" where none is known."""
    if detail.class_held or not detail.deviation or detail.tested is None:
        return detail.class_held
    return f"{detail.tested.class_text} as declared; deviation accepted"


def _quantity(detail: InstallationDetail) -> int | None:
    figure = detail.figure("quantity")
    if figure is None or figure.value is None or not figure.is_settled or figure.value < 1:
        return None
    return int(figure.value) if figure.value == int(figure.value) else None


def _maker_lacks(detail: InstallationDetail, words: str) -> HeldReason:
    name = " ".join(_named(detail))
    return HeldReason(HeldKind.FACT_MISSING, f"{words}, of {name}", Party.DAMPER_SUPPLIER)


def _unheld(detail: InstallationDetail, key: str) -> str:
    """The text of a figure that nobody has held against the maker's statements yet; "" for all others."""
    figure = detail.figure(key)
    if figure is None or not figure.is_settled or figure.verdict is not Verdict.NOT_APPLICABLE:
        return ""
    return figure.text


def _offered(detail: InstallationDetail, key: str, offered: Iterable[str], words: str) -> Iterator[HeldReason]:
    """A word of the order against the list of what the product can be had with."""
    text, known, figure = _unheld(detail, key), tuple(offered), detail.figure(key)
    if not text or figure is None:
        return
    if not known:
        yield _maker_lacks(detail, words)
        return
    wanted = [text] if plain(text) in {plain(item) for item in known} else text.split(", ")
    for item in wanted:
        if plain(item) not in {plain(name) for name in known}:
            yield HeldReason(HeldKind.NOT_OFFERED, f"{figure.name}: {item}; the maker offers {', '.join(known)}.")


def _actuator_of(product: ProductFacts, text: str) -> Actuator | None:
    wanted = plain(text)
    for item in product.actuators:
        if wanted in {plain(item.code), plain(item.words), plain(f"{item.code}: {item.words}")}:
            return item
    return None


def _offer_reasons(detail: InstallationDetail) -> Iterator[HeldReason]:
    """What is ordered, held against what the maker states that the product can be had with."""
    product = detail.product
    if product is None:
        yield _maker_lacks(detail, "What the product can be had with (actuators, handing, finishes, accessories)")
        return
    yield from _offered(detail, "handing", map(str, product.handings), "The sides its mechanism can sit on")
    yield from _offered(detail, "finish", product.finishes, "The finishes it can be had in")
    if not is_nothing(detail.text("accessories")):
        yield from _offered(detail, "accessories", product.accessories, "The accessories it can be had with")
    text = _unheld(detail, "actuator")
    actuator = _actuator_of(product, text or detail.text("actuator"))
    if text and not product.actuators:
        yield _maker_lacks(detail, "The actuators it can be had with")
    elif text and actuator is None:
        codes = ", ".join(item.code for item in product.actuators)
        yield HeldReason(HeldKind.NOT_OFFERED, f"Actuator or release: {text}; the maker offers {codes}.")
    if actuator is not None:
        yield from _with_actuator(detail, actuator, product)


def _with_actuator(detail: InstallationDetail, actuator: Actuator, product: ProductFacts) -> Iterator[HeldReason]:
    voltage = _unheld(detail, "voltage")
    if actuator.voltages:
        yield from _offered(detail, "voltage", actuator.voltages, "The voltages of its actuators")
    elif actuator.voltages is None:
        yield _maker_lacks(detail, f"Which voltages {actuator.code} takes, or that it takes none")
    elif voltage and not is_nothing(voltage):
        yield HeldReason(HeldKind.NOT_OFFERED, f"Voltage: {voltage}; {actuator.code} takes none.")
    switches = _unheld(detail, "end-switches")
    apart = any("end switch" in plain(item) for item in product.accessories)
    if switches and not is_nothing(switches) and actuator.end_switches is not True and not apart:
        if actuator.end_switches is None:
            yield _maker_lacks(detail, f"Whether {actuator.code} has end switches")
        else:
            yield HeldReason(HeldKind.NOT_OFFERED, f"End switches: {switches}; {actuator.code} has none.")


def _decided(
    detail: InstallationDetail, decisions: Iterable[SubmittalDecision], overrides: Iterable[OrderOverride]
) -> tuple[SubmittalDecision | None, OrderOverride | None]:
    """What was decided of the submittal of a damper, and who lets it go out before."""
    wall = detail.penetration.barrier.wall_type_code
    decision = decision_of(decisions, *_named(detail), wall.value) if isinstance(wall, Known) else None
    return decision, override_of(overrides, detail.id, _named(detail)[1])


def _what_is_submitted(detail: InstallationDetail) -> str:
    return f"The technical submittal of {product_words(*_named(detail))} in {wall_words(detail.penetration)[0]}"


def _rejection(detail: InstallationDetail, decision: SubmittalDecision | None, override: OrderOverride | None) -> str:
    if decision is None or decision.status.may_order or (override is not None and override.on > decision.on):
        return ""  # somebody who knew of the rejection lets it go out all the same
    comments = f" Comments: {decision.comments}" if decision.comments else ""
    return f"{_what_is_submitted(detail)} is {decision.text}.{comments}"


def rejection_of(
    detail: InstallationDetail,
    decisions: Iterable[SubmittalDecision],
    overrides: Iterable[OrderOverride],
    on: date,
) -> str:
    """That the submittal of a damper stood rejected on a date, in words; "" where it did not, or was overridden later.

    Another damper may come then, and with it another opening: what was rejected is neither ordered nor built.
    """
    return _rejection(detail, *_decided(detail, *standing_on(decisions, overrides, on)))


def _submittal_reasons(
    detail: InstallationDetail,
    decision: SubmittalDecision | None,
    void: str,
    override: OrderOverride | None,
    ask: Party,
) -> Iterator[HeldReason]:
    """Why the submittal holds an order; `void` says why an approval does not count, `ask` whom to ask for one."""
    rejected = _rejection(detail, decision, override)
    if rejected:
        yield HeldReason(HeldKind.SUBMITTAL, rejected)
    elif decision is None and override is None:
        text = f"{_what_is_submitted(detail)} is not approved yet; nothing is ordered before A or B."
        yield HeldReason(HeldKind.SUBMITTAL, text, ask)
    elif decision is not None and void and (override is None or override.on <= decision.on):
        text = f"{_what_is_submitted(detail)} is not approved any more ({decision.text}). {void}"
        yield HeldReason(HeldKind.SUBMITTAL, text, ask)


def _texts(
    detail: InstallationDetail, decision: SubmittalDecision | None, void: str, override: OrderOverride | None
) -> dict[str, str]:
    maker, product = _named(detail)
    approved = decision is not None and decision.status.may_order and not void
    submitted = "not decided" if decision is None else f"{decision.text}; {void}" if void else decision.text
    texts = {
        "maker": maker,
        "product": product,
        "size": size_of(detail, "damper"),
        "class": _class(detail),
        "actuation": closes_by(detail),
        "access-side": _access(detail),
        "submittal": submitted,
        "comments": decision.comments if decision is not None else "",
        "override": override.text if override is not None and not approved else "",
    }
    return {key: texts[key] if key in texts else detail.text(key) for key, _ in ORDER_FIELDS}


def _held(detail: InstallationDetail, reasons: Sequence[HeldReason]) -> Held:
    maker, product = _named(detail)
    place = detail.penetration
    unique = tuple(dict.fromkeys(reasons))
    if any(reason.kind is HeldKind.NO_DAMPER for reason in unique):
        maker = product = size = ""
    else:
        size = size_of(detail, "damper")
    return Held(detail.id, reference_of(place), place_words(place), maker, product, size, unique)


def _lines(groups: Mapping[tuple[str, ...], Sequence[InstallationDetail]]) -> Iterator[OrderLine]:
    keys = [key for key, _ in ORDER_FIELDS]
    for number, (values, details) in enumerate(sorted(groups.items(), key=lambda item: natural(item[0])), start=1):
        counted = sorted((item.id, _quantity(item) or 0) for item in details)
        ids, quantities = tuple(name for name, _ in counted), tuple(count for _, count in counted)
        yield OrderLine(number, dict(zip(keys, values, strict=True)), ids, quantities)


def _totals(lines: Iterable[OrderLine]) -> tuple[OrderTotal, ...]:
    found: dict[tuple[str, str], list[OrderLine]] = defaultdict(list)
    for line in lines:
        found[line.texts["maker"], line.texts["phase"]].append(line)
    return tuple(
        OrderTotal(maker, phase, sum(line.quantity for line in mine), len(mine))
        for (maker, phase), mine in sorted(found.items(), key=lambda item: natural(item[0]))
    )


def order_schedule(
    details: Mapping[str, InstallationDetail],
    decisions: Iterable[SubmittalDecision] = (),
    overrides: Iterable[OrderOverride] = (),
    *,
    on: date,
    without: Collection[str] = (),
    ask_submittal: Party = Party.PRINCIPAL_DESIGNER,
) -> OrderSchedule:
    """The order schedule of a job on a date, from the details of its penetrations by permanent id.

    Decisions and overrides that are dated later don't count, nor does an approval of another content than the
    submittal has now; `ask_submittal` is who is asked to approve. `without` are the penetrations that need no damper.
    The order of what is given changes nothing.
    """
    standing, before = standing_on(decisions, overrides, on)
    groups: dict[tuple[str, ...], list[InstallationDetail]] = defaultdict(list)
    held = []
    marks = {key: content for key, (content, _) in contents(details, without).items()}
    for _, detail in sorted(details.items()):
        decision, override = _decided(detail, standing, before)
        named = tuple(map(plain, (*_named(detail), wall_words(detail.penetration)[0])))
        void = void_because(decision, marks.get(named, ""))
        if has_no_damper(detail, without):
            held.append(_held(detail, [HeldReason(HeldKind.NO_DAMPER, detail.why)]))
            continue
        reasons = [*_standing_reasons(detail)]
        if detail.standing is not Standing.NOT_DRAWN:
            submitted = [*_submittal_reasons(detail, decision, void, override, ask_submittal)]
            said = {reason.text for reason in submitted}
            reasons = [reason for reason in reasons if reason.text not in said]
            reasons += [*_order_reasons(detail), *_offer_reasons(detail), *submitted]
        if reasons:
            held.append(_held(detail, reasons))
        else:
            texts = _texts(detail, decision, void, override)
            groups[tuple(texts[key] for key, _ in ORDER_FIELDS)].append(detail)
    lines = tuple(_lines(groups))
    return OrderSchedule(on, lines, tuple(held), _totals(lines))
