# SPDX-License-Identifier: Apache-2.0
"""The outside: models, sheets, evidence, projects, reports; units are converted here and nowhere else."""
