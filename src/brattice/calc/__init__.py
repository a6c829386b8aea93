# SPDX-License-Identifier: Apache-2.0
"""One formula family a module; floats in, floats out, units in the names. (Empty until they are built.)"""
