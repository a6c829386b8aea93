# SPDX-License-Identifier: Apache-2.0
"""Neutral drawings in millimetres of paper: what is drawn, text boxes from given font metrics, labels apart."""
