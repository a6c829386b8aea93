# SPDX-License-Identifier: Apache-2.0
"""`report.html`: one file that asks nothing of any network; every text from outside is text."""

from __future__ import annotations

import base64
import hashlib
from importlib import resources

from jinja2 import DictLoader, Environment, StrictUndefined
from markupsafe import Markup

from brattice.adapters.drawing import SVG_CSS, SVG_HATCHES
from brattice.adapters.report.page import IN_ONE_FILE, Links, page_of
from brattice.adapters.text import visible_text
from brattice.usecases.report_model import Report
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

__all__ = ["read_part", "report_html", "template_environment", "tidy"]


def read_part(name: str) -> str:
    """The text of one of the files beside this one."""
    return resources.files("brattice.adapters.report").joinpath(name).read_text("utf-8")


def _shown(value: object) -> object:
    """What the template prints: markup that we made stays, every other text has its acting characters shown."""
    return value if isinstance(value, Markup) else visible_text(value) if isinstance(value, str) else value


def _hash(text: str) -> str:
    digest = hashlib.sha256(text.encode("utf-8")).digest()
    return f"'sha256-{base64.b64encode(digest).decode('ascii')}'"


def template_environment(links: Links) -> Environment:
    """The templates of the report, whose links lead where `links` say; what comes from outside is text."""
    environment = Environment(
        loader=DictLoader({name: read_part(name) for name in ("report.html", "sections.html", "parts.html")}),
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
    style, script = (
        tidy(f"{read_part('parts.css')}\n{read_part('report.css')}\n{SVG_CSS}"),
        tidy(read_part("report.js")),
    )
    environment = template_environment(IN_ONE_FILE)
    policy = (
        f"default-src 'none'; style-src {_hash(style)}; script-src {_hash(script)}; base-uri 'none'; form-action 'none'"
    )
    text = environment.get_template("report.html").render(
        page=page_of(report),
        report=report,
        style=Markup(style),  # noqa: S704 - our own file
        script=Markup(script),  # noqa: S704 - our own file
        policy=Markup(policy),  # noqa: S704 - our own text; quotes have to stay
        hatches=Markup(SVG_HATCHES),  # noqa: S704 - our own text
    )
    return tidy(text).encode("utf-8") + b"\n"


def tidy(text: str) -> str:
    """The text without empty lines and blanks at the ends of lines."""
    lines = (line.rstrip() for line in text.split("\n"))
    return "\n".join(line for line in lines if line)
