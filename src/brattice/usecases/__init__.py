# SPDX-License-Identifier: Apache-2.0
"""What a user does, and the report model that every output is made from."""
