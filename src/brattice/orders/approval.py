# SPDX-License-Identifier: Apache-2.0
"""What an approval is an approval of: the content of a submittal as a short mark, and whether it is still the same.

The mark is of the product, the wall type as it is built up, every tested installation that is used with all that its
document says, and the documents. It is short enough to be copied by hand, and no secret: it tells a change, no forger.
"""

from __future__ import annotations

import hashlib
from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping
from dataclasses import MISSING, Field, fields, is_dataclass
from datetime import date
from enum import Enum

from brattice.building.words import plain
from brattice.details.detail import InstallationDetail
from brattice.findings import Known, Origin, Unknown
from brattice.orders.decisions import SubmittalDecision
from brattice.orders.words import has_no_damper

__all__ = ["SubmittalKey", "content_of", "contents", "submittal_key", "void_because"]

SubmittalKey = tuple[str, str, str]

_PART = 4
_NOT_CONTENT = frozenset({"origin", "other_revisions", "id"})
"""Where a value stands, what other documents say, and by which name the job calls it change nothing of it."""


def submittal_key(detail: InstallationDetail) -> SubmittalKey | None:
    """Maker, product and wall type; None where one of them is not known."""
    code, damper = detail.penetration.barrier.wall_type_code, detail.penetration.damper
    if not isinstance(code, Known):
        return None
    if detail.tested is not None:
        return detail.tested.maker, detail.tested.product, code.value
    if isinstance(damper.maker, Known) and isinstance(damper.product, Known):
        return damper.maker.value, damper.product.value, code.value
    return None


def _is_default(field: Field[object], value: object) -> bool:
    return field.default is not MISSING and value == field.default


def _said(value: object) -> str:
    """A value as one text, the same for the same content wherever it stands; fields that nobody stated are left out."""
    if isinstance(value, Known):
        return _said(value.value)
    if value is None or isinstance(value, Unknown | Origin):
        return "-"
    if isinstance(value, Enum):
        return repr(str(value.value))
    if isinstance(value, bool | date):
        return str(value)
    if isinstance(value, int | float):
        return repr(float(value))
    if isinstance(value, str):
        return repr(" ".join(value.split()))
    if isinstance(value, frozenset):
        return f"{{{','.join(sorted(map(_said, value)))}}}"
    if isinstance(value, tuple):
        return f"[{','.join(map(_said, value))}]"
    if is_dataclass(value) and not isinstance(value, type):
        stated = [
            f"{field.name}={_said(found)}"
            for field in fields(value)
            if field.name not in _NOT_CONTENT and not _is_default(field, found := getattr(value, field.name))
        ]
        return f"({','.join(stated)})"
    raise TypeError(f"no content can be told of {type(value).__name__}")


def content_of(details: Iterable[InstallationDetail]) -> str:
    """The mark of what the submittal of these penetrations says is to be built: `"3f2a-91c0"`.

    Their order, number and places change nothing; a wall type, tested installation or document that says something
    else does, and so does one more or one fewer of them.
    """
    told: set[str] = set()
    for detail in details:
        wall, tested, product = detail.penetration.barrier.wall_type, detail.tested, detail.product
        told.add(f"wall {_said(wall)}")
        if tested is not None:
            told.add(f"tested {tested.id!r} {_said(tested)}")
        if product is not None and product.document:
            told.add(f"stated in {_said(product.document)}")
    mark = hashlib.sha256("\n".join(sorted(told)).encode("utf-8")).hexdigest()[: 2 * _PART]
    return f"{mark[:_PART]}-{mark[_PART:]}"


def contents(
    details: Mapping[str, InstallationDetail], without: Collection[str] = ()
) -> dict[tuple[str, ...], tuple[str, tuple[InstallationDetail, ...]]]:
    """The mark and the details of every submittal, by its key in plain letters.

    Penetrations without a damper, those in `without` and those whose product or wall type is not known are in none.
    """
    groups: dict[tuple[str, ...], list[InstallationDetail]] = defaultdict(list)
    for _, detail in sorted(details.items()):
        key = None if has_no_damper(detail, without) else submittal_key(detail)
        if key is not None:
            groups[tuple(map(plain, key))].append(detail)
    return {key: (content_of(mine), tuple(mine)) for key, mine in groups.items()}


def void_because(decision: SubmittalDecision | None, content: str) -> str:
    """Why a decision that lets order does not hold for a content; "" where it holds, and for one that does not.

    A rejection stands until somebody decides again.
    """
    if decision is None or not decision.status.may_order or decision.content == content:
        return ""
    if not decision.content:
        return f"It does not say which content was approved; the content is {content} now."
    return (
        f"It was given for content {decision.content}; since then the wall type, a tested installation or a document "
        f"changed, and the content is {content}. It has to be submitted again."
    )
