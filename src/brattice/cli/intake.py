# SPDX-License-Identifier: Apache-2.0
"""Schedules on their way into a job: read, mapped by eye, and the next revision of each; old files are always kept."""

from __future__ import annotations

import difflib
import shutil
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from functools import lru_cache
from pathlib import Path

from brattice.adapters.files import only_run_in, write_file
from brattice.adapters.foreign import (
    MAPPING_KEYS,
    ColumnProposal,
    Mapping,
    Proposal,
    Settled,
    SettledColumn,
    heading_rows_at,
    is_own_form,
    mapping_beside,
    mapping_of,
    mapping_text,
    propose,
    read_book,
    read_mapping,
    stated_as_read,
)
from brattice.adapters.foreign.headings import HeadingRows, find_heading_rows, heading_key, stated_order, stated_unit
from brattice.adapters.foreign.values import SIZE_ORDERS, cell_text, needs_unit
from brattice.adapters.foreign.words import COMPOUND
from brattice.adapters.project import read_job
from brattice.adapters.rows import shipped_book
from brattice.adapters.sheets import SCHEDULE
from brattice.adapters.text import one_line
from brattice.adapters.workbook import Sheet, Workbook, column_letter, read_table_file, without_added
from brattice.classes import ClassSteps
from brattice.errors import Fault, InputError
from brattice.web.forms import Upload
from brattice.web.intake import (
    ColumnView,
    KeyChoice,
    MappingGiven,
    MappingView,
    MeaningView,
    ReadingView,
    ScheduleCard,
    ScheduleStep,
    SheetView,
    UnreadView,
)

__all__ = ["INCOMING", "KEPT", "Earlier", "Intake"]

INCOMING = "incoming"
"""Where a newer file waits inside the job until somebody has said how it is read."""

KEPT = "kept"
"""Where the files that were replaced are kept, beside the schedules, with the date in their names."""

_MOST_KNOWN = 100
_SHOWN_ROWS, _SHOWN_CELLS, _TOP_ROWS, _TOP_COLUMNS, _TEXT = 8, 40, 12, 12, 60


@lru_cache(maxsize=1)
def _steps() -> ClassSteps:
    return ClassSteps.from_book(shipped_book())


@lru_cache(maxsize=1)
def _keys() -> tuple[KeyChoice, ...]:
    """The keys in the order of the schedule, whole sizes before their figures."""
    found: list[KeyChoice] = []
    for column in SCHEDULE.columns:
        for key, stem in COMPOUND.items():
            if column.key == f"{stem}_width_mm":
                words = column.heading.removesuffix(" width [mm]")
                found.append(KeyChoice(key, f"{words} size, whole, in one cell", column.group, "length", order=True))
        unit = "length" if needs_unit(column.key) else "time" if column.key == "rating" else ""
        found.append(KeyChoice(column.key, column.heading.removesuffix(" [mm]"), column.group, unit))
    return tuple(item for item in found if item.key in MAPPING_KEYS)


def _dated(path: Path, on: date) -> Path:
    """A free name with the date for a file that is kept: `fire.xlsx` is kept as `kept/fire.2026-03-02.xlsx`."""
    folder = path.parent / KEPT
    count, target = 1, folder / f"{path.stem}.{on.isoformat()}{path.suffix}"
    while target.exists() or target.is_symlink():
        count += 1
        target = folder / f"{path.stem}.{on.isoformat()}-{count}{path.suffix}"
    return target


@dataclass(frozen=True)
class Earlier:
    """A file that was replaced: where it is, the mapping that was kept with it, the schedule that it was."""

    file: Path
    mapping: Path | None
    schedule: str


class Intake:
    """The schedules of a job folder. What is read is read in a child process, and held until the file changes."""

    def __init__(self, folder: Path, today: Callable[[], date]) -> None:
        self._folder = folder
        self._today = today
        self._held: tuple[tuple[str, int, int], Workbook] | None = None
        self._own: dict[tuple[str, int, int], bool] = {}

    def _paths(self) -> tuple[str, ...]:
        return tuple(sorted(read_job(self._folder).job.schedules))

    def _path(self, number: int) -> str:
        paths = self._paths()
        if not 1 <= number <= len(paths):
            raise KeyError(number)
        return paths[number - 1]

    def _incoming(self, path: str) -> Path:
        return self._folder / INCOMING / Path(path).name

    def _book(self, path: Path, file: str) -> Workbook:
        try:
            found = path.stat()
        except OSError as error:
            raise InputError(Fault(file, "", f"a file that can't be read ({error.strerror})", "a schedule")) from error
        mark = (str(path), found.st_size, found.st_mtime_ns)
        held = self._held
        self._own = self._own if len(self._own) < _MOST_KNOWN else {}
        if held is None or held[0] != mark:
            held = self._held = (mark, without_added(read_table_file(path, file=file)))
        self._own[mark] = is_own_form(held[1])
        return held[1]

    def _is_own(self, path: Path, file: str) -> bool:
        """Whether a file is of our own form; what was looked at once is not read again until it changes."""
        try:
            found = path.stat()
            known = self._own.get((str(path), found.st_size, found.st_mtime_ns))
        except OSError:
            known = None
        return is_own_form(self._book(path, file)) if known is None else known

    def cards(self, *, look: bool = True) -> tuple[ScheduleCard, ...]:
        """Every schedule of the job, sorted by path. Raises `InputError` where the job file can't be read.

        Without a look into the files, one that has no mapping is taken for one of our own form.
        """
        return tuple(self._card(number, path, look=look) for number, path in enumerate(self._paths(), start=1))

    def _card(self, number: int, path: str, *, look: bool) -> ScheduleCard:
        whole = self._folder / path
        kept = sorted((whole.parent / KEPT).glob(f"{whole.stem}.*{whole.suffix}"))
        names = tuple(item.relative_to(self._folder).as_posix() for item in kept if item.is_file())
        if self._incoming(path).is_file():
            return ScheduleCard(number, path, ScheduleStep.INCOMING, "", names)
        if mapping_beside(whole).exists():
            return ScheduleCard(number, path, ScheduleStep.MAPPED, "", names)
        try:
            step = ScheduleStep.OURS if not look or self._is_own(whole, path) else ScheduleStep.TO_MAP
        except InputError as error:
            return ScheduleCard(number, path, ScheduleStep.BROKEN, str(error), names)
        return ScheduleCard(number, path, step, "", names)

    def put(self, number: int, upload: Upload) -> str:
        """Let a newer file of a schedule wait until it is taken; gives the schedule's path. Raises `InputError`."""
        path = self._path(number)
        ending = Path(path).suffix.casefold().removeprefix(".")
        if str(upload.kind) != ending:
            expected = f"the next revision in the same form, .{ending} (save it so in your spreadsheet program)"
            raise InputError(Fault(upload.name, "", f"a file that ends in .{upload.kind}", expected))
        target = self._incoming(path)
        with only_run_in(self._folder):
            try:
                target.parent.mkdir(exist_ok=True)
                write_file(target, upload.data)
            except OSError as error:
                raise InputError(_unwritable(self._folder, error)) from error
        try:
            self._book(target, upload.name)
        except InputError:
            target.unlink(missing_ok=True)
            raise
        return path

    def earlier(self, name: str) -> Earlier:
        """A kept file by its path in the job, with the mapping that it was read by. Raises `InputError`."""
        for card in self.cards(look=False):
            if name in card.kept:
                beside = mapping_beside(self._folder / name)
                return Earlier(self._folder / name, beside if beside.is_file() else None, card.path)
        raise InputError(Fault(name, "", "no file that is kept of an earlier revision", "one of those that are"))

    def drop(self, number: int) -> None:
        """Put a waiting file aside: it is kept, dated, beside the schedules; the schedule stays as it is."""
        path = self._path(number)
        waiting = self._incoming(path)
        with only_run_in(self._folder):
            if waiting.is_file():
                kept = _dated(self._folder / path, self._today())
                kept = kept.with_name(f"{kept.stem} (not taken){kept.suffix}")
                kept.parent.mkdir(exist_ok=True)
                waiting.replace(kept)
                _tidy(waiting.parent)

    # -- the mapping as it is shown

    def view(self, number: int, given: MappingGiven | None = None) -> MappingView:
        """A schedule with its mapping: as somebody chose it, else as it stands, else as it is proposed.

        Raises `KeyError` for a number that no schedule has, `InputError` where the file can't be read at all.
        """
        path = self._path(number)
        waiting = self._incoming(path).is_file()
        book = self._book(self._incoming(path) if waiting else self._folder / path, path)
        beside = mapping_beside(self._folder / path)
        faults: list[Fault] = []
        saved: Mapping | None = None
        if beside.exists():
            try:
                saved = read_mapping(beside, beside.relative_to(self._folder).as_posix())
            except InputError as error:
                faults += error.faults if given is None else ()  # what is chosen now takes its place
        ours = is_own_form(book) and saved is None
        chosen = given or self._first_look(book, saved)
        sheet = book.sheet(chosen.sheets[:1]) or next(iter(book.sheets), None)
        if sheet is None:
            raise InputError(Fault(path, "", "no sheet", "a workbook with a schedule in it"))
        headings = heading_rows_at(sheet, chosen.first, chosen.count)
        columns, said = self._columns(book, sheet, headings, chosen, saved, given)
        gone = _gone(saved, headings) if saved is not None else ()
        reading = None
        if given is None or columns:
            reading, more = self._reading(book, path, chosen, columns)
            faults += more
        return MappingView(
            number=number,
            path=path,
            incoming=waiting,
            ours=ours,
            saved=saved is not None,
            sheets=_sheets(book, chosen.sheets or (sheet.name,)),
            first=headings.first,
            count=headings.count,
            hidden_rows=chosen.hidden_rows,
            merged_cells=chosen.merged_cells,
            formulas=chosen.formulas,
            totals=chosen.totals,
            notes=chosen.notes,
            repeated_headings=chosen.repeated_headings,
            columns=columns,
            gone=gone,
            said=said,
            faults=tuple(faults) if not ours else (),
            keys=_keys(),
            reading=None if ours else reading,
            top=_top(sheet),
            keeps=_dated(self._folder / path, self._today()).relative_to(self._folder).as_posix() if waiting else "",
        )

    def _first_look(self, book: Workbook, saved: Mapping | None) -> MappingGiven:
        """What is chosen before anybody chose: what the saved mapping says, else what is proposed."""
        sheets: tuple[str, ...] = ()
        first, count = 1, 1
        if saved is not None:
            table = saved.table
            visible = tuple(item.name for item in book.sheets if not item.hidden)
            sheets = tuple(name for name in table.sheets if book.sheet([name]) is not None) or visible[:1]
            sheet = book.sheet(sheets[:1])
            wanted = {heading_key(column.heading) for column in table.column}
            first = _first_of(sheet, table.heading_rows, wanted) if sheet is not None else 1
            return MappingGiven(
                sheets,
                first,
                table.heading_rows,
                table.hidden_rows,
                table.merged_cells,
                table.formulas,
                table.skip.totals,
                table.skip.notes,
                table.skip.repeated_headings,
                (),
            )
        try:
            proposal = propose(book, _steps())
            sheets = (proposal.sheet,)
            first, count = proposal.headings.first, proposal.headings.count
        except InputError:
            fullest = max(
                (item for item in book.sheets if not item.hidden), key=lambda item: len(item.cells), default=None
            )
            sheets = () if fullest is None else (fullest.name,)
            first = next((number for number, _ in fullest.rows()), 1) if fullest is not None else 1
        return MappingGiven(
            sheets, first, count, "read", "fill down", "not read", totals=True, notes=True, repeated_headings=True,
            columns=(),
        )  # fmt: skip

    def _columns(
        self,
        book: Workbook,
        sheet: Sheet,
        headings: HeadingRows,
        chosen: MappingGiven,
        saved: Mapping | None,
        given: MappingGiven | None,
    ) -> tuple[tuple[ColumnView, ...], tuple[str, ...]]:
        """Every heading with its choice: given by somebody, else of the saved mapping, else proposed."""
        proposal: Proposal = propose(book, _steps(), sheet.name, headings)
        same = given is not None and (given.shown_sheet, given.shown_first, given.shown_count) == (
            sheet.name,
            headings.first,
            headings.count,
        )
        mine = {heading_key(item.heading): item for item in given.columns} if given is not None and same else {}
        known: dict[str, SettledColumn] = {}
        if saved is not None:
            table = saved.table
            known = {
                heading_key(item.heading): SettledColumn(item.heading, item.key, item.unit, item.order)
                for item in table.column
            } | {heading_key(item): SettledColumn(item, "") for item in table.kept_as_text}
        found: list[ColumnView] = []
        taken = {item.key for item in known.values() if item.key}
        for column in proposal.columns:
            key = heading_key(column.heading)
            is_new = saved is not None and key not in known
            if key in mine:
                choice = mine[key]
                found.append(_settled_view(column, choice.key, choice.unit, choice.order, is_new=is_new))
            elif key in known:
                item = known[key]
                found.append(_settled_view(column, item.key, item.unit, item.order, is_new=False))
            else:
                found.append(_proposed_view(column, taken, is_new=is_new))
        return tuple(found), tuple(proposal.notes)

    def _reading(
        self, book: Workbook, path: str, chosen: MappingGiven, columns: Sequence[ColumnView]
    ) -> tuple[ReadingView | None, list[Fault]]:
        """What is read with what is chosen; where it can't be, what is wrong."""
        keys = [column.key for column in columns if column.key]
        if not keys:
            return None, [Fault(path, "", "no heading mapped", "at least the one that names each penetration")]
        try:
            mapping = mapping_of(_text_of(path, chosen, columns).encode(), mapping_beside(Path(path)).as_posix())
            read = read_book(book, mapping, _steps())
        except InputError as error:
            return None, list(error.faults)
        words = {item.key: item.words for item in _keys()}
        unread = [
            UnreadView(
                f"{row.origin.place.partition(',')[0] + ', ' if row.sheet and len(chosen.sheets) > 1 else ''}"
                f"{', '.join(item.origin.cells) or f'row {row.number}'}",
                item.heading,
                item.found,
                item.expected,
            )
            for row in sorted(read.rows, key=lambda row: (row.sheet, row.number))
            for item in row.unread
        ]
        passed = [(item.number, item.why, item.text) for sheet in read.sheets for item in sheet.passed]
        shown = sorted(read.rows, key=lambda row: (row.sheet, row.number))[:_SHOWN_ROWS]
        return (
            ReadingView(
                count=len(read.rows),
                heads=tuple(words[key] for key in keys),
                rows=tuple(
                    (row.number, tuple(one_line(text, _TEXT) for text in stated_as_read(row, keys))) for row in shown
                ),
                unread_count=len(unread),
                unread=tuple(unread[:_SHOWN_CELLS]),
                passed_count=len(passed),
                passed=tuple(passed[:_SHOWN_CELLS]),
                notes=read.notes,
            ),
            [],
        )

    # -- taking it

    def save(self, number: int, given: MappingGiven) -> MappingView | None:
        """Keep a mapping, and take the waiting file in place of the old one, which is kept with its date.

        Gives None when all is kept; else the mapping with what is wrong, and nothing is written. Raises `InputError`
        where the folder can't be written or another run works on the job.
        """
        view = self.view(number, given)
        changed = given.shown_sheet != next((item.name for item in view.sheets if item.chosen), "")
        moved = (given.shown_first, given.shown_count) != (view.first, view.count)
        if not view.ours and (view.faults or changed or moved or view.reading is None):
            return view
        self._keep(view.path, None if view.ours else _text_of(view.path, given, view.columns))
        return None

    def take_own(self, number: int) -> None:
        """Take a waiting file of our own form in place of the old one, which is kept with its date."""
        self._keep(self._path(number), None)

    def _keep(self, path: str, text: str | None) -> None:
        whole, waiting = self._folder / path, self._incoming(path)
        beside = mapping_beside(whole)
        self._held = None  # a large sheet is not kept in mind beside the check that comes now
        with only_run_in(self._folder):
            try:
                incoming = waiting.is_file()
                if incoming:
                    kept = _dated(whole, self._today())
                    _copy(whole, kept)
                    if beside.exists():  # the file and how it was read are kept together
                        _copy(beside, mapping_beside(kept))
                elif beside.exists() and (text is None or beside.read_bytes() != text.encode("utf-8")):
                    _copy(beside, _dated(beside, self._today()))
                if incoming:
                    waiting.replace(whole)
                    _tidy(waiting.parent)
                if text is None:
                    beside.unlink(missing_ok=True)
                else:
                    write_file(beside, text.encode("utf-8"))
            except OSError as error:
                raise InputError(_unwritable(self._folder, error)) from error


def _unwritable(folder: Path, error: OSError) -> Fault:
    return Fault(str(folder), "", f"a folder that can't be written ({error.strerror or error})", "one that can")


def _copy(source: Path, target: Path) -> None:
    target.parent.mkdir(exist_ok=True)
    shutil.copyfile(source, target)


def _tidy(folder: Path) -> None:
    if not any(folder.iterdir()):
        folder.rmdir()


def _first_of(sheet: Sheet, count: int, wanted: set[str]) -> int:
    """The row in which the headings of a mapping begin; where none stands there, where headings are found."""
    best, first = 0, 0
    for number in range(1, min(60, max((cell.row for cell in sheet.cells), default=1)) + 1):
        texts = heading_rows_at(sheet, number, count).texts.values()
        found = len(wanted & {heading_key(text) for text in texts})
        if found > best:
            best, first = found, number
    if first:
        return first
    rows = find_heading_rows(sheet)
    return rows.first if rows is not None else 1


def _sheets(book: Workbook, chosen: Iterable[str]) -> tuple[SheetView, ...]:
    wanted = {name.strip().casefold() for name in chosen}
    return tuple(
        SheetView(
            sheet.name, len({cell.row for cell in sheet.cells}), sheet.hidden, sheet.name.strip().casefold() in wanted
        )
        for sheet in book.sheets
        if sheet.cells
    )


def _top(sheet: Sheet) -> tuple[tuple[int, tuple[str, ...]], ...]:
    """The first rows of a sheet as they stand there, so that a person sees where the headings are."""
    found: list[tuple[int, tuple[str, ...]]] = []
    for number, cells in sheet.rows():
        if len(found) == _TOP_ROWS:
            break
        last = min(_TOP_COLUMNS, max(cells))
        texts = (one_line(cell_text(cells[at]), 30) if at in cells else "" for at in range(1, last + 1))
        found.append((number, tuple(texts)))
    return tuple(found)


def _settled_view(column: ColumnProposal, key: str, unit: str, order: str, *, is_new: bool) -> ColumnView:
    return ColumnView(
        column_letter(column.column),
        column.heading,
        key,
        unit,
        order,
        None,
        "",
        _others(column),
        tuple(one_line(text, 40) for text in column.examples),
        is_new=is_new,
    )


def _others(column: ColumnProposal) -> tuple[MeaningView, ...]:
    said = [MeaningView(item.key, item.score, item.why) for item in column.others]
    if column.key:
        said.insert(0, MeaningView(column.key, column.score, column.why))
    return tuple(said)


def _proposed_view(column: ColumnProposal, taken: set[str], *, is_new: bool) -> ColumnView:
    key = column.key if column.key not in taken or column.key == "remarks" else ""
    score = column.score if key else max((item.score for item in column.others), default=0.0)
    why = column.why or next((item.why for item in column.others), "no word of the trade stands in it")
    unit = column.unit if not key or needs_unit(key) or (key == "rating" and column.unit in {"min", "h"}) else ""
    if key and needs_unit(key) and not unit:
        unit = "in cells"
    return ColumnView(
        column_letter(column.column),
        column.heading,
        key,
        unit,
        (column.order or SIZE_ORDERS[0]) if key in COMPOUND else "",
        score,
        why,
        _others(column),
        tuple(one_line(text, 40) for text in column.examples),
        is_open=not key and bool(column.others),
        is_new=is_new,
    )


def _gone(saved: Mapping, headings: HeadingRows) -> tuple[tuple[str, str, str], ...]:
    """The headings of a mapping that a file has no longer, with what may be their new name."""
    there = {heading_key(text): text for text in headings.texts.values()}
    known = {heading_key(column.heading) for column in saved.table.column}
    new = {key: text for key, text in there.items() if key not in known}
    found = []
    for column in saved.table.column:
        key = heading_key(column.heading)
        if key not in there:
            near = difflib.get_close_matches(key, new, n=1, cutoff=0.5)
            found.append((column.heading, column.key, new[near[0]] if near else ""))
    return tuple(found)


def _text_of(path: str, chosen: MappingGiven, columns: Sequence[ColumnView]) -> str:
    """The mapping file of what is chosen; unit and order stand only where the key takes them."""
    settled: list[SettledColumn] = []
    for column in columns:
        if not column.key:
            continue
        unit = column.unit if needs_unit(column.key) or column.key == "rating" else ""
        if column.key == "rating" and unit not in {"min", "h"}:
            unit = ""
        if needs_unit(column.key) and not unit:
            unit = stated_unit(column.heading) or "in cells"
        order = column.order if column.key in COMPOUND else ""
        if column.key in COMPOUND and not order:
            order = stated_order(column.heading) or SIZE_ORDERS[0]
        settled.append(SettledColumn(column.heading, column.key, unit, order))
    kept = tuple(dict.fromkeys(column.heading for column in columns if not column.key))
    mapped = {heading_key(column.heading) for column in settled}
    return mapping_text(
        path,
        Settled(
            tuple(name for name in chosen.sheets if name),
            chosen.count,
            chosen.hidden_rows,
            chosen.merged_cells,
            chosen.formulas,
            chosen.totals,
            chosen.notes,
            chosen.repeated_headings,
            tuple(settled),
            tuple(heading for heading in kept if heading_key(heading) not in mapped),
        ),
    )
