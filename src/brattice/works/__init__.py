# SPDX-License-Identifier: Apache-2.0
"""Duties and the programme. (Empty until the programme is built.)"""
