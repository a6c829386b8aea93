# SPDX-License-Identifier: Apache-2.0
"""Hypothesis profiles: the ordinary one is repeatable; `make soak` searches longer and from fresh seeds."""

import os

from hypothesis import HealthCheck, settings

settings.register_profile("ordinary", deadline=None, derandomize=True, max_examples=100)
settings.register_profile(
    "soak", deadline=None, max_examples=5000, suppress_health_check=[HealthCheck.too_slow], print_blob=True
)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "ordinary"))
