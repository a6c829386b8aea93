# SPDX-License-Identifier: Apache-2.0
"""The places of a building as CSV: one row a place, the columns of `brattice penetrations`.

Numbers are plain, with a full stop. Texts from the models are made visible and can't act as a formula; the columns
of GlobalIds are left as they are, since no GlobalId begins with what a spreadsheet program would act on.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable

from brattice.adapters.text import csv_text, one_line
from brattice.building.place import BuildingModel, Layer, Place
from brattice.quantities import number_text

__all__ = ["COLUMNS", "places_csv"]

COLUMNS = (
    "key",
    "kind",
    "storey",
    "barrier_guids",
    "layers",
    "element_guids",
    "service",
    "shape",
    "width_mm",
    "height_mm",
    "x_m",
    "y_m",
    "z_m",
    "thickness_mm",
    "angle_deg",
    "rating_text",
    "rating_min",
    "opening_guid",
    "damper_guid",
    "queries",
)

STOREY_MISMATCH = "storey-mismatch"
"""The word in `queries` for a place that the model's containment puts on another storey than its height does."""


def places_csv(model: BuildingModel) -> str:
    """The whole table as text, lines ended by "\\n"; the same building gives the same text."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(COLUMNS)
    for place in model.places:
        writer.writerow(_row(place))
    return out.getvalue()


def _row(place: Place) -> list[str]:
    x, y, z = place.centre_m or (None, None, None)
    damper = "" if place.damper is None else place.damper.guid
    opening = "" if place.opening is None else place.opening.guid
    return [
        place.key,
        place.kind.value,
        _text(place.storey),
        _guids(layer.barrier_guid for layer in place.layers),
        ";".join(_layer(layer) for layer in place.layers if layer.centre_m is not None),
        _guids(place.element_guids),
        place.service.value,
        "" if place.shape is None else place.shape.value,
        _number(place.width_mm, 1),
        _number(place.height_mm, 1),
        _number(x, 4),
        _number(y, 4),
        _number(z, 4),
        _number(place.thickness_mm if place.layers else None, 1),
        _number(place.angle_deg, 1),
        _text(place.rating_text),
        "" if place.rating_min is None else str(place.rating_min),
        _guids([opening] if opening else []),
        _guids([damper] if damper else []),
        " ".join(_reasons(place)),
    ]


def _reasons(place: Place) -> list[str]:
    reasons = list(dict.fromkeys(query.reason.value for query in place.queries))
    return [*reasons, STOREY_MISMATCH] if place.storey_said else reasons


def _layer(layer: Layer) -> str:
    x, y, z = layer.centre_m or (0.0, 0.0, 0.0)
    return ":".join(
        [_guid(layer.barrier_guid), _number(layer.thickness_mm, 2), *(_number(part, 4) for part in (x, y, z))]
    )


def _number(value: float | None, decimals: int) -> str:
    return "" if value is None else number_text(value, decimals)


def _text(value: str) -> str:
    return csv_text(one_line(value))


def _guids(guids: Iterable[str]) -> str:
    return " ".join(_guid(guid) for guid in guids)


def _guid(guid: str) -> str:
    """A GlobalId as it is when it is one; anything else is text like any other, kept in one piece."""
    if guid.isascii() and all(char.isalnum() or char in "_$" for char in guid):
        return guid
    return csv_text(one_line(guid)).replace(" ", "_").replace(":", "_").replace(";", "_")
