# SPDX-License-Identifier: Apache-2.0
"""The drawing under a plan as pictures, one a sheet: cut, turned and scaled to lie under the plan, in grey.

Drawings come from outside: they are opened in a child process with limits on memory, time and pixels.
"""

from __future__ import annotations

import math
import tempfile
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from brattice.adapters.child import Limits, run_task
from brattice.adapters.child.registry import Say
from brattice.adapters.child.wire import Json, Reply
from brattice.building.plan import Underlay
from brattice.errors import Fault, InputError
from brattice.geometry.similarity import Similarity
from brattice.sketch.sheets import PlanSheet

__all__ = ["underlay_pictures", "underlay_task"]

_DPI = 150.0
_MM = 25.4
_MOST_PIXELS = 80_000_000
_LIMITS = Limits(memory_bytes=3 * 1024**3, seconds=120.0, deaths=1)


def underlay_pictures(folder: Path, underlay: Underlay, sheets: Sequence[PlanSheet]) -> list[bytes]:
    """A PNG for the frame of each sheet, in their order. Raises `InputError` where the drawing can't be opened."""
    per_mm = _DPI / _MM
    to_building = Similarity(*underlay.to_building)
    jobs, dpi = [], 36.0
    for sheet in sheets:
        frame, scale = sheet.drawing.frame, sheet.drawing.denominator / 1000
        size = (round(frame.width * per_mm), round(frame.height * per_mm))

        def source(
            px: float, py: float, sheet: PlanSheet = sheet, scale: float = scale, high: float = frame.height
        ) -> tuple[float, float]:
            east = sheet.corner_m[0] + px / per_mm * scale
            north = sheet.corner_m[1] + (high - py / per_mm) * scale
            x, y = to_building.back((east, north))
            return x, -y

        (x0, y0), (x1, y1), (x2, y2) = source(0, 0), source(1, 0), source(0, 1)
        jobs.append({"size": size, "affine": [x1 - x0, x2 - x0, x0, y1 - y0, y2 - y0, y0]})
        dpi = max(dpi, min(300.0, _DPI * to_building.scale / scale))
    with tempfile.TemporaryDirectory(prefix="brattice-plan-") as name:
        request = {
            "path": str(folder / underlay.file),
            "file": underlay.file,
            "page": underlay.page,
            "is_pdf": underlay.is_pdf,
            "dpi": dpi,
            "jobs": jobs,
            "out": name,
        }
        run_task("print.underlay", request, subject=underlay.file, limits=_LIMITS)
        return [Path(name, f"{number}.png").read_bytes() for number in range(len(jobs))]


def underlay_task(request: Json, folder: Path, say: Say) -> Reply:
    """The child task `print.underlay`: the pictures of `request["jobs"]` from the drawing at `request["path"]`."""
    from PIL import Image

    Image.MAX_IMAGE_PIXELS = _MOST_PIXELS
    picture, per_unit = _opened(request)
    for number, job in enumerate(request["jobs"]):
        affine = [float(part) * per_unit for part in job["affine"]]
        made = picture.transform(
            tuple(job["size"]), Image.Transform.AFFINE, affine, Image.Resampling.BILINEAR, fillcolor=255
        )
        made.point([128 + value // 2 for value in range(256)]).save(Path(request["out"], f"{number}.png"))
    return Reply({"pictures": len(request["jobs"])})


def _opened(request: Json) -> tuple[Any, float]:
    """The drawing in grey, and its pixels in a unit of its sheet."""
    import pypdfium2
    from PIL import Image

    file, expected = str(request["file"]), "a PDF, PNG or JPG that opens"
    if not request["is_pdf"]:
        try:
            with Image.open(request["path"], formats=("PNG", "JPEG")) as image:
                if image.width * image.height > _MOST_PIXELS:
                    raise InputError(Fault(file, "", f"more than {_MOST_PIXELS:,} pixels", "a smaller picture"))
                return _grey(image), 1.0
        except (OSError, ValueError, SyntaxError, Image.DecompressionBombError) as error:
            raise InputError(Fault(file, "", f"a picture that can't be opened ({error})", expected)) from error
    try:
        pdf = pypdfium2.PdfDocument(request["path"])
        count = len(pdf)
        if not 1 <= request["page"] <= count:
            raise InputError(Fault(file, "", f"no page {request['page']} (it has {count})", "a page that it has"))
        page = pdf[int(request["page"]) - 1]
        width, height = page.get_size()
        dpi = float(request["dpi"])
        most = math.sqrt(_MOST_PIXELS / max(1.0, width * height)) * 72
        dpi = min(dpi, most)
        return _grey(page.render(scale=dpi / 72).to_pil()), dpi / _MM
    except pypdfium2.PdfiumError as error:
        raise InputError(Fault(file, "", f"a PDF that can't be opened ({error})", expected)) from error


def _grey(image: Any) -> Any:
    """On white paper, in shades of grey."""
    from PIL import Image

    if image.mode in {"RGBA", "LA", "P", "PA"}:
        over = image.convert("RGBA")
        paper = Image.new("RGBA", over.size, (255, 255, 255, 255))
        image = Image.alpha_composite(paper, over)
    return image.convert("L")
