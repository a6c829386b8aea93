# SPDX-License-Identifier: Apache-2.0
"""Periodic tests: what is due, what failed. (Empty until the register is built.)"""
