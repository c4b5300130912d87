"""The log on the disk, and for download and upload.

A damaged file is never written to: new rows go beside it, in ``shots.new.csv``, and both are read.
"""

from __future__ import annotations

from pathlib import Path
from typing import NamedTuple

from splashkit import store
from splashkit.log.shot import COLUMNS, Shot
from splashkit.log.table import decimal_mark, encode, parse, rewritten, to_row

FILE_NAME = "shots.csv"


class Log(NamedTuple):
    """What was read: the shots, and a sentence for every line that could not be read."""

    shots: tuple[Shot, ...]
    problems: tuple[str, ...]


def path() -> Path:
    """Return where the log is kept."""
    return store.place(FILE_NAME)


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
        sheet = parse(target, store.read(target))
        if sheet.problems:
            raise store.SaveProblem(f"{sheet.problems[0]} Until then no row can be changed.")
        if old not in sheet.shots:
            raise store.SaveProblem("The row to change is not in the log any more. To fix it: load the log again.")
        index = len(sheet.shots) - 1 - sheet.shots[::-1].index(old)
        shots = [*sheet.shots[:index], *([new] if new else []), *sheet.shots[index + 1 :]]
        store.replace(target, rewritten(sheet, shots))
    return "Changed." if new else "Taken out."


def load() -> Log:
    """Read the log, and what was saved beside it; never raises for a damaged line, but names it."""
    shots: list[Shot] = []
    problems: list[str] = []
    for target in (path(), store.beside(path())):
        try:
            sheet = parse(target, store.read(target))
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
    return encode([header, *(to_row(shot, header) for shot in shots)], ",")


def from_bytes(data: bytes, name: str = FILE_NAME) -> Log:
    """Read the bytes of a ``shots.csv``, as uploaded."""
    sheet = parse(Path(name), data)
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
        problems = parse(target, store.read(target)).problems
    except store.Damaged as problem:
        return str(problem)
    return problems[0] if problems else ""


def _with_shot(target: Path, shot: Shot) -> tuple[bytes, str | None]:
    """Return the file's new bytes, or the sentence that says why it must not be written."""
    try:
        data = store.read(target)
        if data is None or not data.strip():
            return to_bytes([shot]), None
        sheet = parse(target, data)
    except store.Damaged as problem:
        return b"", str(problem)
    if sheet.problems:
        return b"", sheet.problems[0]
    row = to_row(shot, sheet.header, decimal_mark(sheet))
    wanted = to_row(shot, [column.header for column in COLUMNS])
    missing = [c.header for c, cell in zip(COLUMNS, wanted, strict=True) if cell and c.header not in sheet.header]
    missing += [key for key in shot.extra if key not in sheet.header]
    if missing:  # somebody took columns out: put back those this row needs
        return rewritten(sheet._replace(header=sheet.header + missing), [*sheet.shots, shot]), None
    return data + encode([row], sheet.delimiter), None
