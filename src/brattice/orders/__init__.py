# SPDX-License-Identifier: Apache-2.0
"""Order schedule, builders' work schedule, submittal. (Empty until the orders are built.)"""
