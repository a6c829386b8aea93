# SPDX-License-Identifier: Apache-2.0
"""Pages set by Typst: our templates, one JSON file with everything that is printed, equal bytes for equal input.

Nothing from outside ever becomes part of a template: texts and drawings stand in the JSON file and are printed as
text. The typesetter runs in a child process: it holds on to its memory and caches as long as its process lives, so
that a program which prints twice would grow; memory and time are bounded, and nothing of the machine's fonts, packages
or clock gets in.
"""

from __future__ import annotations

import json
import tempfile
from collections.abc import Mapping
from importlib import resources
from pathlib import Path
from typing import Any, Final, Literal

from brattice.adapters.child import Limits, run_task
from brattice.adapters.child.registry import Say
from brattice.adapters.child.wire import Json, Reply
from brattice.adapters.print.fonts import font_folder, printable
from brattice.errors import Fault, InputError, OwnFault

__all__ = ["STANDARDS", "Drawn", "printable_data", "typeset", "typeset_task"]

STANDARDS: Final[tuple[Literal["a-2a"], Literal["ua-1"]]] = ("a-2a", "ua-1")
"""What every file claims to be: PDF/A-2a (kept for good) and PDF/UA-1 (accessible). The compiler checks for both."""

_TEMPLATES = ("house.typ", "report.typ", "plans.typ", "orders.typ", "submittal.typ", "sheets.typ")
_DATA, _PAGES = "data.json", "pages.pdf"
_LIMITS = Limits(memory_bytes=6 * 1024**3, seconds=600.0, deaths=1)


class Drawn(str):
    """A drawing as SVG: its texts were made printable by its writer, and it is no text itself."""

    __slots__ = ()


def printable_data(value: Any) -> Any:
    """The data of a template with every text in it made printable."""
    if isinstance(value, Drawn):
        return str(value)
    if isinstance(value, str):
        return printable(value)
    if isinstance(value, Mapping):
        return {str(key): printable_data(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [printable_data(item) for item in value]
    return value


def typeset(
    template: str, data: Mapping[str, Any], *, epoch: int, subject: str, files: Mapping[str, bytes] | None = None
) -> bytes:
    """The pages of a template as the bytes of a PDF file.

    Parameters
    ----------
    template : its name without ending
    data : what it prints; texts are made printable here
    epoch : the one time in the file [s since 1970]
    subject : what is printed, for messages
    files : pictures that the data names, by name

    Raises
    ------
    InputError : the pages need more memory or time than they may
    OwnFault : the template can't be set
    """
    with tempfile.TemporaryDirectory(prefix="brattice-print-") as name:
        folder = Path(name)
        for part in _TEMPLATES:
            source = resources.files("brattice.adapters.print").joinpath("templates", part)
            (folder / part).write_bytes(source.read_bytes())
        (folder / _DATA).write_text(json.dumps(printable_data(data), ensure_ascii=False, allow_nan=False), "utf-8")
        for part, content in (files or {}).items():
            (folder / part).write_bytes(content)
        request = {"folder": str(folder), "template": f"{template}.typ", "epoch": epoch}
        try:
            answer = run_task("print.typeset", request, subject=subject, limits=_LIMITS).value
        except InputError as error:
            found = f"pages that can't be set ({error.faults[0].found})"
            raise InputError(
                Fault(subject, "", found, "fewer pages in one file, or a machine with more memory")
            ) from error
        if answer["wrong"]:
            raise OwnFault(f"{subject} can't be set: {answer['wrong']}")
        return (folder / _PAGES).read_bytes()


def typeset_task(request: Json, folder: Path, say: Say) -> Reply:
    """The child task `print.typeset`: set the template in `request["folder"]` there."""
    import typst

    place = Path(request["folder"])
    try:
        pages = typst.compile(
            str(place / request["template"]),
            root=str(place),
            font_paths=[str(font_folder())],
            ignore_system_fonts=True,
            package_path=str(place / "none"),
            package_cache_path=str(place / "none"),
            pdf_standards=list(STANDARDS),
            timestamp=int(request["epoch"]),
        )
    except typst.TypstError as error:
        return Reply({"wrong": str(getattr(error, "diagnostic", "") or error)[:2000]})
    assert pages is not None
    (place / _PAGES).write_bytes(pages)
    return Reply({"wrong": ""})
