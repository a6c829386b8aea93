# SPDX-License-Identifier: Apache-2.0
"""What a job issued: numbered folders with a hashed manifest each, every one chained to the one before."""

from brattice.adapters.issued.folder import ISSUED, IssueFolder, IssueRead, issue_folder, read_issues

__all__ = ["ISSUED", "IssueFolder", "IssueRead", "issue_folder", "read_issues"]
