# SPDX-License-Identifier: Apache-2.0
"""The record's own rules. (Empty until the register is built.)"""
