# SPDX-License-Identifier: Apache-2.0
"""What is drawn: the storey plan and the section of one penetration; each dimension text is made here, once."""
