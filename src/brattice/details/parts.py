# SPDX-License-Identifier: Apache-2.0
"""Barrier, duct, damper and seal in figures: what stands there, and what the test says it has to be."""

from __future__ import annotations

from collections.abc import Collection, Iterable

from brattice.building.penetration import Size
from brattice.building.words import plain
from brattice.details.figures import Figure, Used
from brattice.details.given import Given, said, used, window_words
from brattice.findings import Fact, Known, Missing, Party, Verdict
from brattice.quantities import mm_text

__all__ = ["barrier_figures", "damper_figures", "geometry_problems", "seal_figures"]


def barrier_figures(given: Given) -> tuple[Figure, ...]:
    """The barrier's thickness, against the least that was tested."""
    thickness = given.penetration.barrier.thickness_mm
    tested = given.tested
    limit = "" if tested is None else f"at least {mm_text(tested.construction.least_thickness_mm)}"
    figure = given.stated("barrier-thickness", thickness, limit=limit)
    if tested is None or not isinstance(thickness, Known):
        return (figure,)
    holds = thickness.value >= tested.construction.least_thickness_mm
    verdict = Verdict.PASS if holds else Verdict.FAIL
    uses = (*figure.uses, given.of_test("least thickness", tested.construction.least_thickness_mm, "mm"))
    return (given.figure("barrier-thickness", thickness.value, limit=limit, verdict=verdict, uses=uses),)


def _size_figures(
    given: Given, what: str, fact: Fact[Size], note: str = "", unmade: Collection[str] = ()
) -> Iterable[Figure]:
    """The sides of a size; those in `unmade` can't be told to be made at all."""
    if not isinstance(fact, Known):
        known = given.size
        names = ("diameter",) if known is not None and known.value.is_round else ("width", "height")
        yield from (given.lacking(f"{what}-{name}", (fact.missing,)) for name in names)
        return
    size, uses = fact.value, used(f"{what} size", fact, "mm")
    if size.height_mm is None:
        yield given.figure(f"{what}-diameter", size.width_mm, uses=uses, note=note)
        return
    for side, value, words in (("width", size.width_mm, note), ("height", size.height_mm, "")):
        if side not in unmade:
            yield given.figure(f"{what}-{side}", value, uses=uses, note=words)
            continue
        lacks = given.maker_lacks(f"sections-{side}", f"Of which sections a {what} of this {side} is made")
        yield given.figure(f"{what}-{side}", value, verdict=Verdict.UNKNOWN, uses=uses, missing=(lacks,), note=words)


def _of_sections(side: float, sections: Iterable[float]) -> tuple[float, ...]:
    """The fewest sections, largest first, that make up a side exactly; () where none do."""
    found: dict[float, tuple[float, ...]] = {0.0: ()}
    choices = sorted(set(sections), reverse=True)
    frontier = [0.0]
    while frontier:
        reached = []
        for total in frontier:
            for section in choices:
                more = total + section
                if section > 0 and more <= side and more not in found:
                    found[more] = (*found[total], section)
                    reached.append(more)
        if side in found:
            return tuple(sorted(found[side], reverse=True))
        frontier = reached
    return ()


def _sections(given: Given) -> tuple[str, tuple[str, ...]]:
    """Of which sections a unit is made that is larger than the largest section (field case 18), and the sides that no
    sections of the maker make up.
    """
    product, size = given.product, given.penetration.damper.size
    if product is None or not isinstance(size, Known) or size.value.height_mm is None:
        return "", ()
    parts, unmade, is_multi = [], [], False
    sides = (
        ("wide", "width", size.value.width_mm, product.section_widths_mm),
        ("high", "height", size.value.height_mm, product.section_heights_mm),
    )
    for word, name, side, sections in sides:
        if not sections or side <= max(sections):
            continue
        is_multi = True
        made = _of_sections(side, sections)
        unmade += [] if made else [name]
        text = " + ".join(said(part) for part in made) if made else "no sections of the maker make up this side"
        parts.append(f"{word}: {text}")
    return f"Multi-section unit, {'; '.join(parts)}." if is_multi else "", tuple(unmade)


def damper_figures(given: Given) -> tuple[Figure, ...]:
    """Duct and damper sizes, casing, blade and mechanism."""
    penetration, product, tested = given.penetration, given.product, given.tested
    figures = [*_size_figures(given, "duct", penetration.duct.size)]
    figures += _size_figures(given, "damper", penetration.damper.size, *_sections(given))
    casing = None if product is None else product.casing_length_mm
    if casing is None:
        lacking = given.maker_lacks("casing_length_mm", "The length of the casing along the duct")
        figures.append(given.lacking("casing-length", (lacking,)))
    else:
        figures.append(given.figure("casing-length", casing, uses=(given.of_maker("casing length", casing, "mm"),)))
    figures.append(_casing_beyond(given))
    offset, most = penetration.damper.blade_offset_mm, None if tested is None else tested.most_blade_offset_mm
    limit = "" if most is None else f"at most {mm_text(most)}"
    if isinstance(offset, Known) and most is not None:
        verdict = Verdict.PASS if abs(offset.value) <= most else Verdict.FAIL
        uses = (*used("blade offset", offset, "mm"), given.of_test("most blade offset", most, "mm"))
        figures.append(given.figure("blade-offset", offset.value, limit=limit, verdict=verdict, uses=uses))
    elif isinstance(offset, Known):
        lacking = given.evidence_lacks("most_blade_offset_mm", "How far the blade may stand off the middle")
        uses = used("blade offset", offset, "mm")
        figures.append(
            given.figure("blade-offset", offset.value, verdict=Verdict.UNKNOWN, uses=uses, missing=(lacking,))
        )
    else:
        figures.append(given.stated("blade-offset", offset, limit=limit))
    beyond = None if product is None else product.mechanism_beyond_mm
    if beyond is None:
        lacking = given.maker_lacks("mechanism_beyond_mm", "How far the mechanism stands out beyond the casing")
        figures.append(given.lacking("mechanism-beyond", (lacking,)))
    else:
        uses = (given.of_maker("mechanism beyond the casing", beyond, "mm"),)
        figures.append(given.figure("mechanism-beyond", beyond, uses=uses))
    return tuple(figures)


def _casing_beyond(given: Given) -> Figure:
    """How far the casing stands beyond the duct on each side, as the document gives it."""
    beyond = None if given.tested is None else given.tested.casing_beyond_mm
    if beyond is None:
        lacking = given.evidence_lacks("casing_beyond_mm", "How far the casing stands beyond the duct")
        return given.lacking("casing-beyond", (lacking,))
    each = [said(side) for side in beyond]
    if len(set(each)) == 1:
        text, value = f"{each[0]} mm all round", float(beyond[0])
        return given.figure("casing-beyond", value, text=text, uses=(given.of_test("casing beyond the duct", text),))
    text = "left {}, right {}, top {}, bottom {} mm".format(*each)
    return given.figure("casing-beyond", text=text, uses=(given.of_test("casing beyond the duct", text),))


def geometry_problems(given: Given) -> tuple[str, ...]:
    """What of damper and casing can't be: a closed blade outside its own casing."""
    product = given.product
    if product is None or product.casing_length_mm is None or product.blade_from_end_mm is None:
        return ()
    if 0 <= product.blade_from_end_mm <= product.casing_length_mm:
        return ()
    return (
        (
            f"The closed blade stands {mm_text(product.blade_from_end_mm)} from the casing's end, outside its "
            f"length of {mm_text(product.casing_length_mm)} ({product.origin})."
        ),
    )


def _cure(given: Given, products: tuple[str, ...]) -> Figure:
    """The longest curing time of the seal's products; to be settled as soon as one has none stated."""
    longest, uses, missing = 0.0, [], []
    for name in products:
        facts = given.seals.get(plain(name))
        if facts is None or facts.cure_h is None:
            missing.append(Missing(f"seal/{name}/cure", f"The curing time of {name}", Party.FIRESTOPPER))
            continue
        uses.append(Used(f"curing time of {name}", said(facts.cure_h, "h"), facts.origin))
        longest = max(longest, facts.cure_h)
    if missing or not products:
        if not products:
            missing = [given.evidence_lacks("seal.products", "The names of the seal products")]
        return given.lacking("seal-cure", missing, uses=tuple(uses))
    text = "none" if longest == 0 else ""
    return given.figure("seal-cure", longest, text=text, uses=tuple(uses))


def seal_figures(given: Given) -> tuple[Figure, ...]:
    """The seal as tested; depth, faces and layers as stated where they are, held against the test."""
    tested, installation = given.tested, given.penetration.installation
    if tested is None:
        return ()
    seal = tested.seal
    figures = []
    uses = (given.of_test("seal products", seal.products), *used("seal as stated", installation.seal_products))
    if seal.products:
        figures.append(given.figure("seal-product", text=" + ".join(seal.products), uses=uses))
    else:
        lacking = given.evidence_lacks("seal.products", "The names of the seal products")
        figures.append(given.lacking("seal-product", (lacking,), uses=uses))
    figures.append(_seal_depth(given))
    for key, fact, value, words in (
        ("seal-faces", installation.seal_faces, seal.faces, "On how many faces the seal was tested"),
        ("seal-layers", installation.seal_layers, seal.layers, "How many layers the tested seal has"),
    ):
        if value is None:
            lacking = given.evidence_lacks(key.replace("-", "."), words)
            figures.append(given.lacking(key, (lacking,), uses=used("as stated", fact)))
            continue
        uses = (given.of_test(key.replace("-", " "), value), *used("as stated", fact))
        figures.append(given.figure(key, float(value), limit=f"as tested: {value}", uses=uses))
    figures.append(_cure(given, seal.products))
    figures.append(given.figure("fixing", text=str(tested.fixing), uses=(given.of_test("fixing", tested.fixing),)))
    return tuple(figures)


def _seal_depth(given: Given) -> Figure:
    tested, fact = given.tested, given.penetration.installation.seal_depth_mm
    if tested is None or tested.seal.depth_mm is None:
        lacking = given.evidence_lacks("seal.depth_mm", "The tested depth of the seal")
        return given.lacking("seal-depth", (lacking,), uses=used("depth as stated", fact, "mm"))
    window = tested.seal.depth_mm
    limit, use = window_words(window), given.of_test("seal depth", window_words(window))
    if not isinstance(fact, Known):
        if window.least is None:
            return given.lacking("seal-depth", (fact.missing,), uses=(use,), limit=limit)
        note = "The least depth that was tested; none is stated."
        return given.figure("seal-depth", window.least, limit=limit, uses=(use,), note=note)
    holds = (window.least is None or fact.value >= window.least) and (window.most is None or fact.value <= window.most)
    verdict = Verdict.PASS if holds else Verdict.FAIL
    uses = (*used("depth as stated", fact, "mm"), use)
    return given.figure("seal-depth", fact.value, limit=limit, verdict=verdict, uses=uses)
