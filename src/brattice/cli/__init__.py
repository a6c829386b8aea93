# SPDX-License-Identifier: Apache-2.0
"""Commands, and the one place where the parts are wired together."""
