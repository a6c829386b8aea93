# SPDX-License-Identifier: Apache-2.0
"""IFC models: opened in a child process only, read into site objects and gross meshes in millimetres."""

from brattice.adapters.ifc.source import IfcModels

__all__ = ["IfcModels"]
