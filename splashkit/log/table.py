"""Shots as the text of a spreadsheet, there and back: commas or semicolons, decimal points or commas.

Columns this version does not know stay as they are. What cannot be read is named by line and field.
"""

from __future__ import annotations

import csv
import io
import math
import re
from collections import Counter
from pathlib import Path
from typing import Any, NamedTuple

from splashkit import store
from splashkit.log.shot import COLUMNS, Column, Shot

_BY_HEADER = {column.header: column for column in COLUMNS}
_THOUSANDS = re.compile(r"[+-]?[1-9]\d{0,2},\d{3}")  # as some spreadsheets write 1234
MOST_PROBLEMS = 50  # a file with more is another file; the rest is not read
MOST_COLUMNS = 1000
_RISKY = ("=", "+", "-", "@", "\t", "'")  # a spreadsheet would take such text for a formula


class Table(NamedTuple):
    """What was read of a file: its columns, its rows as they stand, their shots, and what was wrong."""

    header: list[str]
    rows: list[list[str]]
    shots: list[Shot]
    problems: list[str]
    delimiter: str


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


def rewritten(sheet: Table, shots: list[Shot]) -> bytes:
    decimal = decimal_mark(sheet)
    return encode([sheet.header, *(to_row(shot, sheet.header, decimal) for shot in shots)], sheet.delimiter)


def decimal_mark(sheet: Table) -> str:
    numbers = (
        cell
        for row in sheet.rows[:50]
        for head, cell in zip(sheet.header, row, strict=False)  # columns may just have been put back
        if head in _BY_HEADER and _BY_HEADER[head].factor
    )
    return "," if sheet.delimiter == ";" and not any("." in number for number in numbers) else "."


def encode(rows: list[list[str]], delimiter: str) -> bytes:
    text = io.StringIO()
    csv.writer(text, delimiter=delimiter, lineterminator="\r\n").writerows(rows)
    return text.getvalue().encode()


def parse(target: Path, data: bytes | None) -> Table:
    if data is None or not data.strip():
        return Table([], [], [], [], ",")
    text = store.decode(target, data)
    first = re.split(r"[\r\n]", text, maxsplit=1)[0]
    delimiter = max(",;\t", key=first.count)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
    sheet = Table([], [], [], [], delimiter)
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
    target: Path, line: int, row: list[str], header: list[str], columns: list[Column | None], sheet: Table
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
