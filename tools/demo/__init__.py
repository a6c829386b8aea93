# SPDX-License-Identifier: Apache-2.0
"""The demo job: an invented building, its models, schedule and evidence, with faults planted on purpose.

`python -m tools.demo FOLDER` writes `FOLDER/job` (a job folder for `brattice check`) and `FOLDER/truth` (what is in it
by construction). Every name of a building, maker or product in it is invented.
"""
