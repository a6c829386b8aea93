# SPDX-License-Identifier: Apache-2.0
"""Data as TOML text, for tests that change a file."""

from __future__ import annotations

import json
from datetime import date
from typing import Any

__all__ = ["toml_text"]


def _value(value: Any) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, str):
        return json.dumps(value)
    if isinstance(value, list):
        return f"[{', '.join(map(_value, value))}]"
    if isinstance(value, dict):
        return "{" + ", ".join(f"{key} = {_value(item)}" for key, item in value.items()) + "}"
    return repr(value)


def toml_text(data: dict[str, Any]) -> str:
    """Plain keys first, then each list of tables with inline values."""
    lines = [f"{key} = {_value(value)}" for key, value in data.items() if key not in {"document", "installation"}]
    for name in ("document", "installation"):
        for table in data.get(name, ()):
            lines.append(f"[[{name}]]")
            lines += [f"{key} = {_value(value)}" for key, value in table.items()]
    return "\n".join(lines) + "\n"
