# SPDX-License-Identifier: Apache-2.0
"""What an order of the damper says beside its size and class: each choice held against what the maker offers.

What the maker does not state is unknown and holds the line; what the maker does not offer fails.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from brattice.building.words import Actuation, plain
from brattice.details.figures import Figure
from brattice.details.given import Given, said, used
from brattice.details.table import FIGURES
from brattice.evidence.product import Actuator
from brattice.findings import Fact, Known, Verdict

__all__ = ["actuator_of", "order_figures"]


def actuator_of(given: Given) -> Actuator | None:
    """The actuator that is stated, as the maker describes it; None where either is not known."""
    fact = given.penetration.detail.actuator
    if given.product is None or not isinstance(fact, Known):
        return None
    return given.product.actuator(fact.value)


def _offered(
    given: Given, key: str, fact: Fact[object] | None, field_name: str, offered: Sequence[object] | None, words: str
) -> Figure:
    """A stated choice against the list of the maker; None or an empty list says that the maker states nothing."""
    stated = given.stated(key, fact, field_name)
    if not isinstance(fact, Known):
        return stated
    if not offered:
        missing = (given.maker_lacks(field_name, words),)
        return given.figure(key, text=stated.text, verdict=Verdict.UNKNOWN, uses=stated.uses, missing=missing)
    names = [said(item) for item in offered]
    wanted = fact.value if isinstance(fact.value, tuple) else (fact.value,)
    absent = [said(item) for item in wanted if plain(said(item)) not in {plain(name) for name in names}]
    limit = f"offered: {', '.join(names)}"
    uses = (*stated.uses, given.of_maker(FIGURES[key].name.casefold(), tuple(names)))
    if absent:
        note = f"The maker does not offer {', '.join(absent)}."
        return given.figure(key, text=stated.text, limit=limit, verdict=Verdict.FAIL, uses=uses, note=note)
    return given.figure(key, text=stated.text, limit=limit, verdict=Verdict.PASS, uses=uses)


def _actuator_figures(given: Given) -> Iterable[Figure]:
    detail, product = given.penetration.detail, given.product
    choices = () if product is None else tuple(item.code for item in product.actuators)
    actuator = actuator_of(given)
    figure = _offered(given, "actuator", detail.actuator, "actuator", choices, "The actuators it can be had with")
    closes = given.penetration.damper.actuation
    if actuator is not None:
        text = f"{actuator.code}: {actuator.words}" if actuator.words else actuator.code
        verdict, missing, note = figure.verdict, figure.missing, ""
        if isinstance(closes, Known) and Actuation.SMOKE_DETECTION in closes.value and actuator.voltages == ():
            words = f"How smoke detection releases {actuator.code}, which takes no voltage"
            verdict, missing = Verdict.UNKNOWN, (given.maker_lacks("released-by-detection", words),)
            note = "Smoke detection has to close the damper, and nothing says how it releases this one."
        uses = (*figure.uses, *used("closes by", closes))
        yield given.figure(
            "actuator", text=text, limit=figure.limit, verdict=verdict, uses=uses, missing=missing, note=note
        )
    else:
        yield figure
    if actuator is not None and actuator.voltages == ():
        use = (given.of_maker(f"voltages of {actuator.code}", "none"),)
        if isinstance(detail.voltage, Known) and plain(detail.voltage.value) not in {"none", "0", "-", "–"}:
            note = f"{actuator.code} takes no voltage."
            uses = (*use, *used("voltage", detail.voltage))
            yield given.figure("voltage", text=detail.voltage.value, verdict=Verdict.FAIL, uses=uses, note=note)
        else:
            yield given.figure("voltage", text="none", uses=use, note=f"{actuator.code} takes no voltage.")
    else:
        voltages = () if actuator is None else actuator.voltages or ()
        yield _offered(given, "voltage", detail.voltage, "voltage", voltages, "The voltages of its actuators")
    switches = detail.end_switches
    stated = given.stated("end-switches", switches, "end_switches")
    has = None if actuator is None else actuator.end_switches
    if not isinstance(switches, Known) or not switches.value or has is True:
        yield stated
    elif has is None:
        missing = (given.maker_lacks("end_switches", "Whether its actuator has end switches"),)
        yield given.figure("end-switches", text="yes", verdict=Verdict.UNKNOWN, uses=stated.uses, missing=missing)
    else:
        note = "The actuator that is stated has no end switches."
        yield given.figure("end-switches", text="yes", verdict=Verdict.FAIL, uses=stated.uses, note=note)


def order_figures(given: Given) -> tuple[Figure, ...]:
    """Handing, actuator, voltage, end switches, finish, accessories, phase, quantity and delivery."""
    detail, product = given.penetration.detail, given.product
    handings = None if product is None else product.handings
    finishes = None if product is None else product.finishes
    accessories = None if product is None else product.accessories
    figures = [
        _offered(given, "handing", detail.handing, "handing", handings, "The sides its mechanism can sit on"),
        *_actuator_figures(given),
        _offered(given, "finish", detail.finish, "finish", finishes, "The finishes it can be had in"),
    ]
    if isinstance(detail.accessories, Known) and not detail.accessories.value:
        figures.append(given.stated("accessories", detail.accessories))
    else:
        words = "The accessories it can be had with"
        figures.append(_offered(given, "accessories", detail.accessories, "accessories", accessories, words))
    figures.append(given.stated("phase", detail.phase, "phase"))
    figures.append(given.figure("quantity", 1.0, note="One damper at one penetration."))
    weeks = None if product is None else product.delivery_weeks
    if weeks is None:
        figures.append(given.lacking("delivery", (given.maker_lacks("delivery_weeks", "The delivery time"),)))
    else:
        figures.append(given.figure("delivery", weeks, uses=(given.of_maker("delivery", weeks, "weeks"),)))
    return tuple(figures)
