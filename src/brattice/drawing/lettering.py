# SPDX-License-Identifier: Apache-2.0
"""The letters that drawings count by: fields of reference, revision indices."""

__all__ = ["LETTERS"]

LETTERS = "ABCDEFGHJKLMNPQRSTUVWXYZ"
"""I and O are left out, since they read as figures: usual in technical drawing (ISO 5457 for the fields of reference;
ISO 7200 knows the field of the revision index; both from memory)."""
