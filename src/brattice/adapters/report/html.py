# SPDX-License-Identifier: Apache-2.0
"""`report.html`: one file that asks nothing of any network; every text from outside is text."""

from __future__ import annotations

import base64
import hashlib
from collections.abc import Iterator
from dataclasses import dataclass, replace
from importlib import resources

from jinja2 import DictLoader, Environment, StrictUndefined
from markupsafe import Markup

from brattice.adapters.drawing import SVG_CSS, SVG_HATCHES
from brattice.adapters.report.page import (
    IN_ONE_FILE,
    Links,
    Views,
    anchors_of,
    front_of,
    page_of,
    with_penetrations,
    with_plans,
)
from brattice.adapters.text import visible_text
from brattice.usecases.report_model import PenetrationReport, Report
from brattice.usecases.states import STATES
from brattice.usecases.words import (
    actuation_asked,
    class_asked,
    code_words,
    count_words,
    document_words,
    fact_words,
    how_known_words,
    needed_words,
    row_value_words,
    standing_words,
)

__all__ = [
    "MOST_IN_ONE",
    "PARTS_FOLDER",
    "REPORT_FILE",
    "Part",
    "read_part",
    "report_files",
    "report_html",
    "template_environment",
    "tidy",
]

REPORT_FILE = "report.html"
PARTS_FOLDER = "report"
MOST_IN_ONE = 1_000
"""Penetrations that one file shows; a report of more is written as an index and parts by storey."""

_MOST_IN_PART = 500
_IN_INDEX = Links("", "#r", "#decisions", "#values")
_IN_PART = Links("#", f"../{REPORT_FILE}#r", f"../{REPORT_FILE}#decisions", f"../{REPORT_FILE}#values")


@dataclass(frozen=True)
class Part:
    """A part of a large report: its file beside the index, storey, first and last id, how many and how many open."""

    file: str
    title: str
    storey: str
    first: str
    last: str
    count: int
    open_count: int


def read_part(name: str) -> str:
    """The text of one of the files beside this one."""
    return resources.files("brattice.adapters.report").joinpath(name).read_text("utf-8")


def _shown(value: object) -> object:
    """What the template prints: markup that we made stays, every other text has its acting characters shown."""
    if type(value) is str:
        return value if value.isprintable() else visible_text(value)
    return value if isinstance(value, Markup) else visible_text(value) if isinstance(value, str) else value


def _hash(text: str) -> str:
    digest = hashlib.sha256(text.encode("utf-8")).digest()
    return f"'sha256-{base64.b64encode(digest).decode('ascii')}'"


def template_environment(links: Links) -> Environment:
    """The templates of the report, whose links lead where `links` say; what comes from outside is text."""
    environment = Environment(
        loader=DictLoader(
            {name: read_part(name) for name in ("report.html", "part.html", "sections.html", "parts.html")}
        ),
        autoescape=True,
        undefined=StrictUndefined,
        finalize=_shown,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
    environment.globals |= {
        "actuation_asked": actuation_asked,
        "class_asked": class_asked,
        "code_words": code_words,
        "count_words": count_words,
        "document_words": document_words,
        "fact_words": fact_words,
        "how_known_words": how_known_words,
        "needed_words": needed_words,
        "row_value_words": row_value_words,
        "standing_words": standing_words,
        "to": links,
    }
    return environment


def report_html(report: Report) -> bytes:
    """The report as the bytes of one HTML file.

    The policy in its head allows the one style and the one script in it, by their hashes, and nothing else: no
    request, no form, no frame. Without the script everything but filter, search and zoom works.
    """
    environment = template_environment(IN_ONE_FILE)
    return _document(environment, "report.html", page=page_of(report), report=report, listed=())


def report_files(report: Report) -> Iterator[tuple[str, bytes]]:
    """The report as files by their names: one, or beyond `MOST_IN_ONE` penetrations an index and parts by storey."""
    if len(report.penetrations) <= MOST_IN_ONE:
        yield REPORT_FILE, report_html(report)
        return
    anchors = anchors_of(report)
    parts = _parts(report)
    leads = {
        item.penetration.id: f"{part.file}#{anchors[item.penetration.id]}" for part, items in parts for item in items
    }
    views = Views(report, _IN_INDEX, anchors=leads)
    page = with_plans(front_of(views), views)
    environment = template_environment(_IN_INDEX)
    listed = tuple(part for part, _ in parts)
    yield REPORT_FILE, _document(environment, "report.html", page=page, report=report, listed=listed)
    environment = template_environment(_IN_PART)
    for part, items in parts:
        here = replace(report, penetrations=items, queries=(), settle_first=(), plans=())
        views = Views(here, _IN_PART, anchors=anchors, draw_all=False)
        page = with_penetrations(front_of(views), views)
        yield part.file, _document(environment, "part.html", page=page, report=here, part=part)


def _parts(report: Report) -> tuple[tuple[Part, tuple[PenetrationReport, ...]], ...]:
    """The penetrations by storey, in the order of storeys by name and of ids, at most `_MOST_IN_PART` together."""
    by_storey: dict[str, list[PenetrationReport]] = {}
    for item in report.penetrations:
        by_storey.setdefault(fact_words(item.penetration.location.storey), []).append(item)
    parts: list[tuple[Part, tuple[PenetrationReport, ...]]] = []
    openness = {spec.state: spec.open for spec in STATES}
    for storey, items in sorted(by_storey.items()):
        for first in range(0, len(items), _MOST_IN_PART):
            some = tuple(items[first : first + _MOST_IN_PART])
            number = len(parts) + 1
            part = Part(
                f"{PARTS_FOLDER}/part-{number:03}.html",
                f"Part {number}",
                storey,
                some[0].penetration.id,
                some[-1].penetration.id,
                len(some),
                sum(openness[item.state] for item in some),
            )
            parts.append((part, some))
    return tuple(parts)


def _document(environment: Environment, name: str, **told: object) -> bytes:
    """A whole document of a template, with the one style and script that its policy allows."""
    style, script = (
        tidy(f"{read_part('parts.css')}\n{read_part('report.css')}\n{SVG_CSS}"),
        tidy(read_part("report.js")),
    )
    policy = (
        f"default-src 'none'; style-src {_hash(style)}; script-src {_hash(script)}; base-uri 'none'; form-action 'none'"
    )
    text = environment.get_template(name).render(
        style=Markup(style),  # noqa: S704 - our own file
        script=Markup(script),  # noqa: S704 - our own file
        policy=Markup(policy),  # noqa: S704 - our own text; quotes have to stay
        hatches=Markup(SVG_HATCHES),  # noqa: S704 - our own text
        **told,
    )
    return tidy(text).encode("utf-8") + b"\n"


def tidy(text: str) -> str:
    """The text without empty lines and blanks at the ends of lines."""
    lines = (line.rstrip() for line in text.split("\n"))
    return "\n".join(line for line in lines if line)
