# SPDX-License-Identifier: Apache-2.0
"""The job folder: `brattice.toml`, the ledger of permanent ids, the output folder."""

from brattice.adapters.project.job_file import JOB_FILE, JobRead, job_path, read_job, read_job_text
from brattice.adapters.project.ledger_file import LEDGER_COLUMNS, LEDGER_FILE, ledger_text, read_ledger, save_ledger
from brattice.adapters.project.new_job import create_job, job_template
from brattice.adapters.project.outputs import MANIFEST, OutputFolder, output_folder, read_manifest

__all__ = [
    "JOB_FILE",
    "LEDGER_COLUMNS",
    "LEDGER_FILE",
    "MANIFEST",
    "JobRead",
    "OutputFolder",
    "create_job",
    "job_path",
    "job_template",
    "ledger_text",
    "output_folder",
    "read_job",
    "read_job_text",
    "read_ledger",
    "read_manifest",
    "save_ledger",
]
