# SPDX-License-Identifier: Apache-2.0
"""`python -m brattice.cli`: the program, also where its folder is not among those that the terminal looks in."""

from brattice.cli.main import run

__all__: list[str] = []

if __name__ == "__main__":
    run()
