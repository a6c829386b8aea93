# SPDX-License-Identifier: Apache-2.0
"""Pages and the JSON interface. (Empty until the local page is built.)"""
