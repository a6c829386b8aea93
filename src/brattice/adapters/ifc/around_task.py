# SPDX-License-Identifier: Apache-2.0
"""The child task `ifc.around`: the bodies of what is neither barrier nor service and stands near given places."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from brattice.adapters.child.registry import Say
from brattice.adapters.child.wire import Json, Reply
from brattice.adapters.ifc.opening import SortedProduct, open_model
from brattice.adapters.ifc.shapes import shapes_of

__all__ = ["bodies_around"]


def bodies_around(request: Json, folder: Path, say: Say) -> Reply:
    """Gross bodies in `request["files"]`, with `request["origin_m"]` subtracted first, that meet a box [mm].

    The value is `{"meshes": [[file by its place in the request, number, points, triangles] …]}`; the arrays are as
    those of `ifc.read`. Each of `request["boxes"]` has its six limits: three low, three high.
    """
    offset = tuple(float(part) for part in request["origin_m"])
    origin = (offset[0], offset[1], offset[2])
    boxes = np.array(request["boxes"], dtype=np.float64).reshape(-1, 6)
    points: list[NDArray[np.float64]] = []
    triangles: list[NDArray[np.int64]] = []
    items: list[NDArray[np.int64]] = []
    sizes: list[list[int]] = []
    for at, name in enumerate(request["files"] if len(boxes) else []):
        room = folder / f"model-{at}"
        room.mkdir()
        opened = open_model(str(name), room)
        wanted = [one.product for one in opened.products if _is_wanted(one)]
        say(f"looking round the penetrations: {len(wanted)} other elements")
        for step, verts, faces, item in shapes_of(opened.file, wanted, origin, say):
            if len(faces) == 0 or not np.all(np.isfinite(verts)):
                continue
            places = verts * 1000.0
            low, high = places.min(axis=0), places.max(axis=0)
            if not bool(np.any(np.all(boxes[:, :3] <= high, axis=1) & np.all(boxes[:, 3:] >= low, axis=1))):
                continue
            points.append(places)
            triangles.append(faces)
            items.append(item)
            sizes.append([at, step, len(verts), len(faces)])
    arrays: dict[str, NDArray[Any]] = {
        "points": np.concatenate(points) if points else np.zeros((0, 3)),
        "triangles": np.concatenate(triangles) if triangles else np.zeros((0, 3), dtype=np.int64),
        "items": np.concatenate(items) if items else np.zeros(0, dtype=np.int64),
    }
    return Reply({"meshes": sizes}, arrays)


def _is_wanted(one: SortedProduct) -> bool:
    """Whether it has a body of its own that is looked at; the part of a whole with a body stands in that whole."""
    product = one.product
    if not one.kind.is_obstacle or one.circular or product.Representation is None:
        return False
    if not product.is_a("IfcBuildingElementPart"):
        return True
    wholes = [relation.RelatingObject for relation in getattr(product, "Decomposes", None) or ()]
    return not any(
        getattr(whole, "Representation", None) is not None or whole.is_a("IfcWall") or whole.is_a("IfcSlab")
        for whole in wholes
    )
