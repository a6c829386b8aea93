# SPDX-License-Identifier: Apache-2.0
"""The geometry kernel, used in one way only: gross solids, world coordinates, one thread, an offset for far places.

Openings are not subtracted: a duct that lies wholly in an opening would clash with nothing. The kernel
`hybrid-cgal-simple-opencascade` gives the answers of the default one and is several times faster; the others drop
or mangle shapes without an error. More threads gain nothing.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

import ifcopenshell.geom
import numpy as np
from numpy.typing import NDArray

__all__ = ["FAR_M", "KERNEL", "far_offset_m", "gross_settings", "shapes_of", "tree_of"]

KERNEL = "hybrid-cgal-simple-opencascade"
TREE = "opencascade.trianglebvh"

FAR_M = 10_000.0
"""How far from the origin a model may lie before an offset is subtracted first [m]."""

_OFFSET_STEP_M = 1000.0

_ANGULAR_DEFLECTION = 0.35
"""How coarsely a circle may be drawn [rad]: at least 18 sides, so that it is known for a circle afterwards."""


def gross_settings(offset_m: tuple[float, float, float]) -> Any:
    """The kernel's settings: gross solids in world coordinates, `offset_m` subtracted."""
    settings = ifcopenshell.geom.settings()
    settings.set("use-world-coords", True)
    settings.set("disable-opening-subtractions", True)
    settings.set("no-normals", True)
    settings.set("mesher-angular-deflection", _ANGULAR_DEFLECTION)
    settings.set("apply-default-materials", False)
    if any(offset_m):
        settings.set("model-offset", tuple(-part for part in offset_m))
    return settings


def far_offset_m(places: list[NDArray[np.float64]]) -> tuple[float, float, float]:
    """What to subtract first [m]: nothing near the origin, else whole kilometres next to the middle of the places.

    National-grid coordinates are hundreds of kilometres; triangles at such numbers lose the millimetre.
    """
    if not places:
        return (0.0, 0.0, 0.0)
    middle = np.median(np.array(places), axis=0)
    if float(np.abs(middle).max()) <= FAR_M:
        return (0.0, 0.0, 0.0)
    x, y, z = (float(np.round(part / _OFFSET_STEP_M) * _OFFSET_STEP_M) for part in middle)
    return (x, y, z)


def _iterator(file: Any, products: list[Any], offset_m: tuple[float, float, float]) -> Any:
    return ifcopenshell.geom.iterator(gross_settings(offset_m), file, 1, include=products, geometry_library=KERNEL)


def shapes_of(
    file: Any, products: list[Any], offset_m: tuple[float, float, float], say: Callable[[str], None]
) -> Iterator[tuple[int, NDArray[np.float64], NDArray[np.int64], NDArray[np.int64]]]:
    """Number in the file, points [m], triangles and item of each triangle, for every product with a shape."""
    if not products:
        return
    iterator = _iterator(file, products, offset_m)
    done: set[int] = set()
    try:
        more = iterator.initialize()
        while more:
            shape = iterator.get()
            done.add(int(shape.id))
            if len(done) % 500 == 0:
                say(f"{len(done)} of {len(products)} shapes")
            yield (int(shape.id), *_arrays(shape.geometry))
            more = bool(iterator.next())
    except RuntimeError:  # one bad element ends the iterator: the others are asked for one by one
        settings = gross_settings(offset_m)
        for product in products:
            if product.id() in done:
                continue
            try:
                shape = ifcopenshell.geom.create_shape(settings, product, geometry_library=KERNEL)
            except RuntimeError:
                continue
            yield (product.id(), *_arrays(shape.geometry))


def _arrays(geometry: Any) -> tuple[NDArray[np.float64], NDArray[np.int64], NDArray[np.int64]]:
    points = np.array(geometry.verts, dtype=np.float64).reshape(-1, 3)
    triangles = np.array(geometry.faces, dtype=np.int64).reshape(-1, 3)
    items = np.array(geometry.item_ids, dtype=np.int64)
    if len(items) != len(triangles):
        items = np.zeros(len(triangles), dtype=np.int64)
    return points, triangles, items


def tree_of(file_and_products: list[tuple[Any, list[Any]]], offset_m: tuple[float, float, float]) -> Any:
    """The kernel's search tree over the gross solids of several files."""
    tree = ifcopenshell.geom.tree(backend=TREE)
    for file, products in file_and_products:
        if products:
            tree.add_iterator(_iterator(file, products, offset_m))
    return tree
