# SPDX-License-Identifier: Apache-2.0
"""Make a new job folder: `brattice.toml` with comments, and the folders it needs. Nothing is overwritten."""

from __future__ import annotations

import json
import shutil
import tempfile
from collections.abc import Mapping, Sequence
from datetime import date
from pathlib import Path

from brattice.adapters.project.job_file import JOB_FILE
from brattice.adapters.text import one_line
from brattice.errors import Fault, InputError

__all__ = ["create_job", "job_template"]

_FOLDERS = ("models", "schedule", "evidence", "out")

_TEMPLATE = """\
# A job of Brattice. Every key is named here; an unknown key is an error. Lines that begin with #: are examples:
# take the #: away and fill them in. Paths are relative to this folder and stay inside it.

schema = 1
name = {name}

# Which rules are asked: they hold for one jurisdiction, one edition and one date. The date is also that on which
# documents are looked at, unless a command is given another.
jurisdiction = "England"
edition = {edition}
as_of = {as_of}
purpose = "non-residential"  # or "residential"

# Sheets: `brattice template schedule FILE` and `brattice template wall-types FILE` write empty ones.
schedules = {schedules}
wall_type_sheets = {wall_type_sheets}
evidence = ["evidence"]

# Where several tested installations hold, the maker named first comes first.
maker_order = []

# Say so when names and data are invented; it is printed on every output.
invented = false

# Models, each with what it models: architecture, structure, services …
#: [[model]]
#: path = "models/architecture.ifc"
#: role = "architecture"

# What the rating texts of the models mean. What is not mapped here and not certain by itself stays unknown.
# criteria: "E", "EI", "RE", "REI" or "unrated" (with minutes = 0).
#: [[rating]]
#: text = "1HR"
#: minutes = 60
#: criteria = "EI"

# The wall types that the type names of model elements mean.
#: [model_wall_types]
#: "Interior partition 123" = "W3"

# A wall type may stand here, in place of a row in the sheet. What is not stated becomes a query.
#: [[wall_type]]
#: code = "W3"
#: kind = "flexible wall"
#: thickness_mm = 125
#: board_type = "the board as its maker names it"
#: board_thickness_mm = 12.5
#: board_layers = [2, 2]
#: stud_size_mm = 70
#: stud_spacing_mm = 600
#: rating = "EI 60"
#: revision = "P01"

# What the fire strategy says of evacuation and alarm: "unaided, all at once" or "unaided, by compartment".
#: [escape]
#: evacuation = "unaided, all at once"
#: alarm_l1 = true

# A demand of the fire strategy above the code's. Without storeys, roles, wall_types or penetrations: everywhere.
#: [[demand]]
#: document = "Fire strategy"
#: revision = "C02"
#: roles = ["protected corridor"]
#: class = "EI 60 S"
#: actuation = ["smoke detection"]

# An override that lowers what is asked. Every key is needed, and it is shown on every output. Penetrations are named
# by permanent id or by the schedule's reference, here and below.
#: [[lowered]]
#: penetrations = ["P-0012"]
#: class = "E 60"
#: person = "Full name"
#: role = "fire engineer"
#: document = "Letter 14"
#: revision = "A"
#: date = 2026-03-01
#: why = "the reason in one sentence"

# A deviation that a named person accepted. It is a state of its own and never counted as within scope. It holds for
# the values that it states, in the words of the finding (have, need); once they change, the finding is open again.
#: [[deviation]]
#: penetrations = ["P-0013"]
#: codes = ["gap-fails"]
#: accepted = [
#:   {{ code = "gap-fails", have = "left 28 mm from the duct", need = "30 to 60 mm on every side, from the duct" }},
#: ]
#: person = "Full name"
#: role = "fire engineer"
#: document = "Note 3"
#: revision = "A"
#: date = 2026-03-01
#: conditions = ""

# What a technical submittal came back with: "A" approved, "B" approved with comments, "C" rejected, to be submitted
# again. Nothing is ordered before A or B. `content` is the mark that the submittal shows: when the wall type, a tested
# installation or a document changes, the mark does too, and the approval no longer holds.
#: [[submittal]]
#: maker = "the maker as its evidence names it"
#: product = "the product as its evidence names it"
#: wall_type = "W3"
#: status = "B"
#: content = "3f2a-91c0"
#: person = "Full name"
#: role = "architect"
#: document = "Submittal return 7, revision A"
#: date = 2026-03-01
#: comments = "what has to be done"

# Dampers that somebody lets be ordered before their submittal is approved. It is printed on each line of the order.
# With a product it is about that one alone: where another is chosen later, it lets nothing out.
#: [[order_override]]
#: penetrations = ["P-0015"]
#: product = "the product as its evidence names it"
#: person = "Full name"
#: role = "project manager"
#: document = "Letter 15"
#: date = 2026-03-01
#: why = "the reason in one sentence"

# A choice made by hand.
#: [[pin]]
#: penetration = "P-0014"
#: installation = "the id of a tested installation"
#: why = "the reason in one sentence"

# Missing facts that this job asks of another party than the usual one.
#: [[party]]
#: facts = ["seal-products", "wall-type/*/rating"]
#: ask = "principal contractor"

# The dates on which documents must stand.
#: [dates]
#: order = 2026-04-01
#: placed_on_market = 2026-05-01
#: installation = 2026-06-01
#: handover = 2026-12-01

# How far things on this site may come out, each ± mm, for choosing openings; without it common practice holds.
#: [site_tolerances]
#: opening_mm = 10
#: damper_mm = 2
#: position_mm = 5
#: centring_mm = 3
#: plumb_mm = 5

# What the title blocks of issued sheets say. What is not stated stays empty, to be signed by hand.
#: [title_block]
#: owner = "the firm that draws"
#: project = "1234"
#: department = "Ductwork"
#: drawn = "Full name"
#: checked = "Full name"
#: approved = "Full name"

# Each penetration has a sketch of its own. With true, those that are alike in every number share one standard detail
# with a table of where it is used.
#: [sketches]
#: standard_details = true

# Somebody compared a data row with the document itself.
#: [[confirmation]]
#: row = "the id of the row"
#: version = 1
#: who = "Full name"
#: when = 2026-03-01
#: copy = "which copy of the document"
"""


def _quoted(text: str) -> str:
    """A TOML basic string; its escapes are those of JSON."""
    return json.dumps(one_line(text), ensure_ascii=False)


def job_template(
    name: str,
    edition: str,
    as_of: date,
    schedules: Sequence[str] = ("schedule/schedule.xlsx",),
    wall_type_sheets: Sequence[str] = ("schedule/wall-types.xlsx",),
) -> str:
    """The text of a new `brattice.toml` that names these schedules and sheets of wall types."""
    return _TEMPLATE.format(
        name=_quoted(name),
        edition=_quoted(edition),
        as_of=as_of.isoformat(),
        schedules=f"[{', '.join(map(_quoted, schedules))}]",
        wall_type_sheets=f"[{', '.join(map(_quoted, wall_type_sheets))}]",
    )


def create_job(folder: str | Path, toml: str, files: Mapping[str, bytes]) -> Path:
    """Make a job folder with this `brattice.toml` and these files (relative names); all of it or nothing.

    Raises `InputError` when something that is not an empty folder is already there: nothing is overwritten.
    """
    target = Path(folder)
    if target.is_symlink() or (target.exists() and not (target.is_dir() and not any(target.iterdir()))):
        raise InputError(Fault(str(folder), "", "something that is already there", "a new name, or an empty folder"))
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        beside = Path(tempfile.mkdtemp(prefix=f".{target.name}.", dir=target.parent))
    except OSError as error:
        raise InputError(
            Fault(str(folder), "", f"a place that can't be written ({error.strerror})", "another")
        ) from error
    try:
        for name in _FOLDERS:
            (beside / name).mkdir()
        (beside / JOB_FILE).write_bytes(toml.encode("utf-8"))  # the same bytes on every platform
        for name, data in files.items():
            (beside / name).write_bytes(data)
        beside.chmod(0o755)
        if target.exists():
            target.rmdir()
        beside.rename(target)
    except BaseException:
        shutil.rmtree(beside, ignore_errors=True)  # ours alone: made a moment ago, under a name of its own
        raise
    return target
