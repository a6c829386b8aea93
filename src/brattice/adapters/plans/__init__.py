# SPDX-License-Identifier: Apache-2.0
"""Plans of others laid under the levels of a job, their grid reference, and marks placed on them by hand."""

from brattice.adapters.plans.marks import MARK_COLUMNS, MARKS_FILE, MarkRow, add_mark, read_marks
from brattice.adapters.plans.sheets import PLANS_FILE, PLANS_FOLDER, PlanFile, read_plan_files
from brattice.adapters.plans.survey import SurveyRead, read_survey

__all__ = [
    "MARKS_FILE",
    "MARK_COLUMNS",
    "PLANS_FILE",
    "PLANS_FOLDER",
    "MarkRow",
    "PlanFile",
    "SurveyRead",
    "add_mark",
    "read_marks",
    "read_plan_files",
    "read_survey",
]
