# SPDX-License-Identifier: Apache-2.0
"""Workbooks made by hand, so that a test can hold what no spreadsheet program would save."""

from __future__ import annotations

import io
import zipfile
from pathlib import Path

MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
_REL = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
_PACKAGE = "http://schemas.openxmlformats.org/package/2006"
_TYPE = "application/vnd.openxmlformats-officedocument.spreadsheetml"

PARTS = {
    "[Content_Types].xml": f"""<?xml version="1.0"?><Types xmlns="{_PACKAGE}/content-types">
<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>
<Default Extension="xml" ContentType="application/xml"/>
<Override PartName="/xl/workbook.xml" ContentType="{_TYPE}.sheet.main+xml"/>
<Override PartName="/xl/worksheets/sheet1.xml" ContentType="{_TYPE}.worksheet+xml"/></Types>""",
    "_rels/.rels": f"""<?xml version="1.0"?><Relationships xmlns="{_PACKAGE}/relationships">
<Relationship Id="rId1" Type="{_REL}/officeDocument" Target="xl/workbook.xml"/></Relationships>""",
    "xl/workbook.xml": f"""<?xml version="1.0"?><workbook xmlns="{MAIN}" xmlns:r="{_REL}">
<sheets><sheet name="Schedule" sheetId="1" r:id="rId1"/></sheets></workbook>""",
    "xl/_rels/workbook.xml.rels": f"""<?xml version="1.0"?><Relationships xmlns="{_PACKAGE}/relationships">
<Relationship Id="rId1" Type="{_REL}/worksheet" Target="worksheets/sheet1.xml"/></Relationships>""",
}


def sheet_xml(rows: str, after: str = "", before: str = "") -> str:
    return f'<?xml version="1.0"?>{before}<worksheet xmlns="{MAIN}"><sheetData>{rows}</sheetData>{after}</worksheet>'


def xlsx(rows: str = "", after: str = "", **changed: str | bytes) -> bytes:
    """An archive with one sheet; `changed` replaces or adds members (their names with / as "__" and . as "_dot_")."""
    parts: dict[str, str | bytes] = {**PARTS, "xl/worksheets/sheet1.xml": sheet_xml(rows, after)}
    for name, content in changed.items():
        parts[name.replace("__", "/").replace("_dot_", ".")] = content
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in parts.items():
            archive.writestr(name, content)
    return buffer.getvalue()


def put(folder: Path, data: bytes, name: str = "s.xlsx") -> Path:
    path = folder / name
    path.write_bytes(data)
    return path


def text_cell(ref: str, text: str) -> str:
    return f'<c r="{ref}" t="inlineStr"><is><t>{text}</t></is></c>'
