"""The shot log: ``shots.csv``, one row a frame, opens in any spreadsheet.

Heights are of a drop's middle or a column's top above the still surface. In memory everything is
SI; in the file every column names its unit. A row is one line. Columns this version does not know
stay as they are. A damaged file is reported by line and field and never written to: new rows go
beside it, in ``shots.new.csv``, and both are read.
"""

from __future__ import annotations

import csv
import io
import itertools
import math
import re
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, NamedTuple

from splashkit import store
from splashkit.checks import require
from splashkit.rig import CHAINS, Rig
from splashkit.units import format_quantity

FILE_NAME = "shots.csv"
SEEN = ("early", "late", "nothing", "hit")
SURFACES = ("calm", "crown", "column", "sheet", "ripples")
# what a slow-motion clip can show, in the order it happens on most rigs
CLIP_EVENTS = ("signal", "first_release", "second_release", "first_contact", "column_start", "column_top", "meeting")


class Column(NamedTuple):
    """One known column: its name in Python, its header, factor to SI (0 for words) and what is allowed in SI."""

    name: str
    header: str
    factor: float
    unit: str
    low: float
    high: float


COLUMNS = (
    Column("time", "time", 0.0, "", 0, 0),
    Column("chain", "chain", 0.0, "", 0, 0),
    Column("nozzle_height", "nozzle_height_mm", 1e-3, "m", 0.02, 3.0),
    Column("first_opening", "first_opening_ms", 1e-3, "s", 0.5e-3, 1.0),
    Column("second_opening", "second_opening_ms", 1e-3, "s", 0.5e-3, 1.0),
    Column("gap", "gap_ms", 1e-3, "s", 0.0, 2.0),
    Column("delay", "delay_ms", 1e-3, "s", 0.0, 10.0),
    Column("waited", "waited_s", 1.0, "s", 0.0, 86400.0),
    Column("first_height", "first_height_mm", 1e-3, "m", -0.1, 3.0),
    Column("column_height", "column_height_mm", 1e-3, "m", 0.0, 0.5),
    Column("second_height", "second_height_mm", 1e-3, "m", -0.1, 3.0),
    Column("seen", "seen", 0.0, "", 0, 0),
    Column("surface", "surface", 0.0, "", 0, 0),
    Column("clip_rate", "clip_frames_per_s", 1.0, "frames/s", 1.0, 1e6),
    Column("clip_events", "clip_events", 0.0, "", 0, 0),
    Column("picture", "picture", 0.0, "", 0, 0),
    Column("note", "note", 0.0, "", 0, 0),
)
_BY_HEADER = {column.header: column for column in COLUMNS}
_CHOICES = {"chain": CHAINS, "seen": SEEN, "surface": SURFACES}
_THOUSANDS = re.compile(r"[+-]?[1-9]\d{0,2},\d{3}")  # as some spreadsheets write 1234
MOST_PROBLEMS = 50  # a file with more is another file; the rest is not read
MOST_COLUMNS = 1000
_RISKY = ("=", "+", "-", "@", "\t", "'")  # a spreadsheet would take such text for a formula


@dataclass(frozen=True)
class Shot:
    """One frame: what was set, what was seen. SI; None or empty where it was not noted."""

    delay: float | None = None
    gap: float | None = None
    chain: str = ""
    nozzle_height: float | None = None
    first_opening: float | None = None
    second_opening: float | None = None
    waited: float | None = None
    first_height: float | None = None
    column_height: float | None = None
    second_height: float | None = None
    seen: str = ""
    surface: str = ""
    clip_rate: float | None = None
    clip_events: Mapping[str, float] = field(default_factory=dict)
    time: str = ""
    picture: str = ""
    note: str = ""
    extra: Mapping[str, str] = field(default_factory=dict)

    def __post_init__(self) -> None:
        for column in COLUMNS:
            value = getattr(self, column.name)
            if column.name == "clip_events":
                _check_events(value, self.clip_rate)
            elif column.factor:
                if value is not None:
                    object.__setattr__(self, column.name, _number(column, value))
            else:
                require(isinstance(value, str), f"shot's {column.name}", repr(value)[:40], "text", "write words")
                value = " ".join(store.letters(value).replace("\0", "").split())
                if len(value) > store.LONGEST_TEXT:  # the file could be written, but not read again
                    most = f"at most {store.LONGEST_TEXT} letters long"
                    require(False, f"shot's {column.name}", f"{len(value)} letters", most, "shorten it")
                object.__setattr__(self, column.name, value)
        for name, allowed in _CHOICES.items():
            value = getattr(self, name)
            require(
                not value or value in allowed,
                f"entry '{name}'",
                repr(store.shown(value)),
                f"one of {', '.join(allowed)}, or blank",
                "pick one of these words",
            )


class Log(NamedTuple):
    """What was read: the shots, and a sentence for every line that could not be read."""

    shots: tuple[Shot, ...]
    problems: tuple[str, ...]


class _Sheet(NamedTuple):
    header: list[str]
    rows: list[list[str]]
    shots: list[Shot]
    problems: list[str]
    delimiter: str


def path() -> Path:
    """Return where the log is kept."""
    return store.place(FILE_NAME)


def check_entry(shot: Shot, rig: Rig) -> None:
    """Refuse what cannot be, before it is logged: the sentence names what contradicts what."""
    height = shot.nozzle_height if shot.nozzle_height is not None else rig.nozzle_height
    for name in ("first_height", "column_height", "second_height"):
        seen = getattr(shot, name)
        require(
            height is None or seen is None or seen < height,
            name.replace("_", " "),
            format_quantity(seen or 0.0, "m"),
            f"below the nozzle, which hangs {format_quantity(height or 0.0, 'm')} above the surface",
            "measure from the still surface up, and check the scale",
        )
    opening = shot.first_opening if shot.first_opening is not None else rig.first_opening
    require(
        opening is None or shot.gap is None or shot.gap > opening,
        "gap",
        format_quantity(shot.gap or 0.0, "s"),
        f"longer than the first valve opening of {format_quantity(opening or 0.0, 's')}",
        "the valve must close before it can open again: lengthen the gap or shorten the opening",
    )
    pair = shot.first_height is not None and shot.second_height is not None
    require(
        not pair or (shot.second_height or 0.0) > (shot.first_height or 0.0),
        "second drop's height",
        format_quantity(shot.second_height or 0.0, "m"),
        "above the first drop's, which left earlier",
        "swap the two heights",
    )
    require(
        shot.seen != "nothing" or all(getattr(shot, n) is None for n in ("first_height", "second_height")),
        "entry 'seen'",
        "nothing, beside a height",
        "blank, early, late or hit when a height is given",
        "remove the height or change the word",
    )


def to_row(shot: Shot, header: list[str], decimal: str = ".") -> list[str]:
    """Write a shot as cells for the columns of a file."""
    cells = []
    for name in header:
        column = _BY_HEADER.get(name.strip())
        value: Any = getattr(shot, column.name) if column else shot.extra.get(name, "")
        if column is None:
            cells.append(value)
        elif column.name == "clip_events":
            cells.append(" ".join(f"{event}={frame:g}" for event, frame in value.items()))
        elif column.factor:
            text = "" if value is None else f"{value / column.factor:.10g}"
            cells.append(text.replace(".", decimal))
        else:
            cells.append("'" + value if value.startswith(_RISKY) else value)
    return cells


def append(shot: Shot) -> str:
    """Save one more shot; return a sentence that says where it went."""
    target = path()
    with store.locked(target):
        new, problem = _with_shot(target, shot)
        if problem is None:
            store.replace(target, new)
            return f"Saved as one row of {target.name}."
    other = store.beside(target)
    with store.locked(other):
        new, second = _with_shot(other, shot)
        if second is not None:
            raise store.SaveProblem(f"{problem} {second} To fix it: move {other.name} away; nothing was overwritten.")
        store.replace(other, new)
    return f"{problem} Your new row is saved beside it, in {other.name}."


def correct(old: Shot, new: Shot | None) -> str:
    """Replace one logged shot by a mended one, or take it out (None). The version before is kept."""
    target = path()
    with store.locked(target):
        sheet = _parse(target, store.read(target))
        if sheet.problems:
            raise store.SaveProblem(f"{sheet.problems[0]} Until then no row can be changed.")
        if old not in sheet.shots:
            raise store.SaveProblem("The row to change is not in the log any more. To fix it: load the log again.")
        index = len(sheet.shots) - 1 - sheet.shots[::-1].index(old)
        shots = [*sheet.shots[:index], *([new] if new else []), *sheet.shots[index + 1 :]]
        store.replace(target, _rewritten(sheet, shots))
    return "Changed." if new else "Taken out."


def load() -> Log:
    """Read the log, and what was saved beside it; never raises for a damaged line, but names it."""
    shots: list[Shot] = []
    problems: list[str] = []
    for target in (path(), store.beside(path())):
        try:
            sheet = _parse(target, store.read(target))
        except ValueError as problem:
            problems.append(str(problem))
            continue
        shots += sheet.shots
        problems += sheet.problems
    return Log(tuple(shots), tuple(problems))


def to_bytes(shots: tuple[Shot, ...] | list[Shot]) -> bytes:
    """Write shots as the bytes of a ``shots.csv``, for download."""
    header = [column.header for column in COLUMNS]
    header += [key for key in dict.fromkeys(key for shot in shots for key in shot.extra) if key not in header]
    return _encode([header, *(to_row(shot, header) for shot in shots)], ",")


def from_bytes(data: bytes, name: str = FILE_NAME) -> Log:
    """Read the bytes of a ``shots.csv``, as uploaded."""
    sheet = _parse(Path(name), data)
    return Log(tuple(sheet.shots), tuple(sheet.problems))


def download() -> bytes:
    """Return the log as it stands on the disk, byte for byte; an empty one has its columns' names only."""
    return store.read(path()) or to_bytes([])


def upload(data: bytes) -> str:
    """Put an uploaded log in place of the one on the disk, which is kept as the version before."""
    problems = from_bytes(data, "The uploaded file").problems
    if problems:
        what = problems[0].split(" To fix it")[0]
        raise store.SaveProblem(f"{what} Nothing was changed. To fix it: mend that place and upload the file again.")
    target = path()
    with store.locked(target):
        sheet_problem = _damage(target)
        if sheet_problem:
            store.replace(store.beside(target), data)
            return f"{sheet_problem} The upload is saved beside it, as {store.beside(target).name}."
        store.replace(target, data)
    return f"Uploaded as {target.name}. The one before it is {target.name}.previous."


def _damage(target: Path) -> str:
    try:
        problems = _parse(target, store.read(target)).problems
    except store.Damaged as problem:
        return str(problem)
    return problems[0] if problems else ""


def _with_shot(target: Path, shot: Shot) -> tuple[bytes, str | None]:
    """Return the file's new bytes, or the sentence that says why it must not be written."""
    try:
        data = store.read(target)
        if data is None or not data.strip():
            return to_bytes([shot]), None
        sheet = _parse(target, data)
    except store.Damaged as problem:
        return b"", str(problem)
    if sheet.problems:
        return b"", sheet.problems[0]
    row = to_row(shot, sheet.header, _decimal(sheet))
    wanted = to_row(shot, [column.header for column in COLUMNS])
    missing = [c.header for c, cell in zip(COLUMNS, wanted, strict=True) if cell and c.header not in sheet.header]
    missing += [key for key in shot.extra if key not in sheet.header]
    if missing:  # somebody took columns out: put back those this row needs
        return _rewritten(sheet._replace(header=sheet.header + missing), [*sheet.shots, shot]), None
    return data + _encode([row], sheet.delimiter), None


def _rewritten(sheet: _Sheet, shots: list[Shot]) -> bytes:
    decimal = _decimal(sheet)
    return _encode([sheet.header, *(to_row(shot, sheet.header, decimal) for shot in shots)], sheet.delimiter)


def _decimal(sheet: _Sheet) -> str:
    numbers = (
        cell
        for row in sheet.rows[:50]
        for head, cell in zip(sheet.header, row, strict=False)  # columns may just have been put back
        if head in _BY_HEADER and _BY_HEADER[head].factor
    )
    return "," if sheet.delimiter == ";" and not any("." in number for number in numbers) else "."


def _encode(rows: list[list[str]], delimiter: str) -> bytes:
    text = io.StringIO()
    csv.writer(text, delimiter=delimiter, lineterminator="\r\n").writerows(rows)
    return text.getvalue().encode()


def _parse(target: Path, data: bytes | None) -> _Sheet:
    if data is None or not data.strip():
        return _Sheet([], [], [], [], ",")
    text = store.decode(target, data)
    first = re.split(r"[\r\n]", text, maxsplit=1)[0]
    delimiter = max(",;\t", key=first.count)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
    sheet = _Sheet([], [], [], [], delimiter)
    try:
        header = [cell.strip() for cell in next(reader)]
        sheet.header.extend(header)
        _check_header(target, header)
        columns = [_BY_HEADER.get(name) for name in header]
        for row in reader:
            if len(sheet.problems) == MOST_PROBLEMS:
                why = "and what follows it cannot be read either; it was not looked at"
                sheet.problems.append(str(store.Damaged(target, reader.line_num, None, why)))
                break
            if any(row):
                _read_row(target, reader.line_num, row, header, columns, sheet)
    except csv.Error as problem:
        sheet.problems.append(str(store.Damaged(target, max(reader.line_num, 1), None, f"is garbled ({problem})")))
    if not text.endswith(("\n", "\r")) and not sheet.problems:
        why = "breaks off without a line's end: the last row may be cut short"
        advice = "look at the last row, then press Enter at its end and save"
        sheet.problems.append(str(store.Damaged(target, reader.line_num, None, why, advice)))
    return sheet


def _check_header(target: Path, header: list[str]) -> None:
    if not any(name in header for name in ("delay_ms", "clip_events")):
        raise store.Damaged(target, 1, None, "does not hold the names of a shot log's columns, such as delay_ms")
    if len(header) > MOST_COLUMNS:
        raise store.Damaged(target, 1, None, f"names {len(header)} columns; a log has some {len(COLUMNS)}")
    twice = next((name for name, times in Counter(header).items() if name and times > 1), None)
    if twice is not None:
        raise store.Damaged(target, 1, twice, "stands twice among the columns")


def _read_row(
    target: Path, line: int, row: list[str], header: list[str], columns: list[Column | None], sheet: _Sheet
) -> None:
    if len(row) != len(header):
        if not "".join(row).strip():
            return
        why = f"has {len(row)} cells where the first line names {len(header)} columns"
        sheet.problems.append(str(store.Damaged(target, line, None, why)))
        return
    values: dict[str, Any] = {}
    extra: dict[str, str] = {}
    name = ""
    try:
        for name, column, cell in zip(header, columns, row, strict=True):
            if not cell:
                continue
            if column is None:
                extra[name] = cell
            elif column.factor:
                values[column.name] = _from_cell(column, cell, sheet.delimiter)
            elif column.name == "clip_events":
                values[column.name] = _events_from(cell)
            else:
                values[column.name] = cell[1:] if cell[0] == "'" and cell[1:].startswith(_RISKY) else cell
        name = ""
        shot = Shot(**values, extra=extra)
    except ValueError as problem:
        why = f"is wrong: {str(problem).split(' To fix it')[0].rstrip('.')}"
        sheet.problems.append(str(store.Damaged(target, line, name or None, why)))
        return
    sheet.rows.append(row)
    sheet.shots.append(shot)


def _from_cell(column: Column, cell: str, delimiter: str) -> float:
    if delimiter == "," and "," in cell and _THOUSANDS.fullmatch(cell.strip()):
        raise ValueError(f"the cell holds '{store.shown(cell)}', which may be a thousand or a decimal comma")
    try:
        value = math.nan if "_" in cell else float(cell.strip().replace(",", "."))
    except ValueError:
        value = math.nan
    if not math.isfinite(value):
        raise ValueError(f"the cell holds '{store.shown(cell)}', not a number")
    return value * column.factor


def _number(column: Column, value: Any) -> float:
    plain = isinstance(value, (int, float)) and not isinstance(value, bool)
    number = float(value) if plain or hasattr(value, "dtype") else math.nan
    if not column.low <= number <= column.high:
        low, high = format_quantity(column.low, column.unit), format_quantity(column.high, column.unit)
        given = format_quantity(number, column.unit) if plain else repr(value)[:40]
        raise ValueError(
            f"The {column.name.replace('_', ' ')} must be from {low} to {high}; got {given}. "
            "To fix it: check the number and its unit, or leave it blank."
        )
    return float(f"{number:.10g}")  # as many digits as the file keeps


def _events_from(cell: str) -> dict[str, float]:
    events: dict[str, float] = {}
    for part in cell.replace(";", " ").split():
        name, mark, frame = part.partition("=")
        if not mark or name in events:
            raise ValueError(f"the cell holds '{store.shown(part)}', not one event=frame of each kind")
        try:
            events[name] = float(frame)
        except ValueError:
            raise ValueError(f"the cell holds '{store.shown(part)}', not event=frame") from None
    return events


def _check_events(events: Mapping[str, float], rate: float | None) -> None:
    if not events:
        return
    unknown = [event for event in events if event not in CLIP_EVENTS]
    require(
        not unknown,
        "clip event",
        ", ".join(map(store.shown, unknown[:3])),
        f"one of {', '.join(CLIP_EVENTS)}",
        "pick these words",
    )
    require(rate is not None, "clip's frame rate", "a blank", "given beside its events", "enter frames per second")
    for event, frame in events.items():
        good = isinstance(frame, (int, float)) and not isinstance(frame, bool) and 0 <= frame <= 1e9
        require(good, f"frame number of {event}", repr(frame)[:40], "a number from 0", "count frames from the start")
    chains = (
        ("signal", "first_release", "first_contact", "column_start", "column_top"),
        ("signal", "first_release", "second_release", "meeting"),
        ("column_start", "meeting"),
    )
    for chain in chains:
        known = [(event, events[event]) for event in chain if event in events]
        for (before, early), (after, late) in itertools.pairwise(known):
            require(
                late >= early,
                f"frame number of {after}",
                f"{late:g}, before {before} at {early:g}",
                f"at or after that of {before}",
                "count the frames again, or swap the two",
            )
