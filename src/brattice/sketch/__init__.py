# SPDX-License-Identifier: Apache-2.0
"""What is drawn of a job: storey plans, the cut through one barrier, the face of one opening.

Every dimension text is made here, once (`texts`), so that no drawing can disagree with another.
"""
