# SPDX-License-Identifier: Apache-2.0
"""Styles, scripts and fonts: a closed list, each with a version in its address, all from this machine."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from importlib import resources

__all__ = ["Asset", "load_assets"]

_TEXT = {
    "css": "text/css; charset=utf-8",
    "js": "text/javascript; charset=utf-8",
    "ttf": "font/ttf",
    "svg": "image/svg+xml",
}
_OWN = ("site.css", "site.js", "icon.svg")
_OTHERS = {
    "htmx.js": ("js_lib_htmx", "static/htmx/htmx.min.js"),
    "lato.ttf": ("font_lato", "files/Lato-Regular.ttf"),
    "lato-bold.ttf": ("font_lato", "files/Lato-Bold.ttf"),
}


@dataclass(frozen=True)
class Asset:
    """One file that pages load: its bytes, what kind it is, and a version made of its bytes."""

    data: bytes
    kind: str
    version: str


def _asset(name: str, data: bytes) -> Asset:
    return Asset(data, _TEXT[name.rpartition(".")[2]], hashlib.sha256(data).hexdigest()[:12])


def load_assets(styles: str) -> dict[str, Asset]:
    """Every file that pages load, by name; `styles` are those of the report's markup."""
    found = {"parts.css": _asset("parts.css", styles.encode("utf-8"))}
    for name in _OWN:
        found[name] = _asset(name, resources.files("brattice.web.static").joinpath(name).read_bytes())
    for name, (package, path) in _OTHERS.items():
        found[name] = _asset(name, resources.files(package).joinpath(path).read_bytes())
    fonts = "".join(
        f'@font-face{{font-family:"Page";font-weight:{weight};font-display:swap;src:url("{name}?v={found[name].version}")}}'
        for name, weight in (("lato.ttf", 400), ("lato-bold.ttf", 700))
    )
    found["site.css"] = _asset("site.css", fonts.encode() + b"\n" + found["site.css"].data)
    return found
