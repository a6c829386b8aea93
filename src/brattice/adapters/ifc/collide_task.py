# SPDX-License-Identifier: Apache-2.0
"""The child task `ifc.collide`: which service element meets which barrier, asked of the kernel's own tree.

All files of the building are open in this one child, since the tree must know both sides of a pair.
"""

from __future__ import annotations

from pathlib import Path

from brattice.adapters.child.registry import Say
from brattice.adapters.child.wire import Json, Reply
from brattice.adapters.ifc.opening import Opened, open_model
from brattice.adapters.ifc.shapes import tree_of

__all__ = ["collide_models"]


def collide_models(request: Json, folder: Path, say: Say) -> Reply:
    """Find the colliding pairs in `request["files"]`, with `request["origin_m"]` subtracted first.

    The value is `{"pairs": [[file of barrier, its number, file of service, its number] …]}`, files by their place in
    the request.
    """
    offset = tuple(float(part) for part in request["origin_m"])
    origin = (offset[0], offset[1], offset[2])
    opened: list[Opened] = []
    for at, name in enumerate(request["files"]):
        room = folder / f"model-{at}"
        room.mkdir()
        opened.append(open_model(str(name), room))
    say("testing which ducts meet which barriers")
    barriers, services, of_file = [], [], {}
    batches = []
    for at, model in enumerate(opened):
        shaped = {product.id() for product in model.with_shape()}
        chosen = []
        for one in model.products:
            if one.product.id() not in shaped:
                continue
            if one.kind.barrier is not None:
                barriers.append(one.product)
            elif one.kind.service is not None:
                services.append(one.product)
            else:
                continue
            of_file[one.product.file_pointer(), one.product.id()] = at
            chosen.append(one.product)
        batches.append((model.file, chosen))
    pairs = set()
    if barriers and services:
        tree = tree_of(batches, origin)
        for clash in tree.clash_collision_many(barriers, services, allow_touching=False):
            a, b = clash.a, clash.b
            pairs.add((of_file[a.file_pointer(), a.id()], a.id(), of_file[b.file_pointer(), b.id()], b.id()))
    return Reply({"pairs": sorted(list(pair) for pair in pairs)})
