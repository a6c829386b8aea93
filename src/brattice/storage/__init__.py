# SPDX-License-Identifier: Apache-2.0
"""The register on a database, behind one port. (Empty until the register is built.)"""
