# SPDX-License-Identifier: Apache-2.0
"""Register sheets, findings as JSON, the report as HTML."""
