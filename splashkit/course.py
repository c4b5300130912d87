"""The learner's own copy of the lessons: given once, refreshed when untouched, never lost.

A small list beside the copies remembers what was given. A lesson that still holds what was given
is brought up to date. A lesson the learner changed is left alone until a newer one comes; then the
changed one is kept under a dated name. Running a lesson is no change: only the text of its cells counts.
"""

from __future__ import annotations

import contextlib
import datetime
import errno
import hashlib
import json
import os
from dataclasses import dataclass
from pathlib import Path

from splashkit import store

LIST = ".splashkit-lessons.json"
PACKAGE = Path(__file__).resolve().parent


class CourseProblem(Exception):
    """The lessons could not be found or copied, said in one sentence."""


@dataclass(frozen=True)
class Copied:
    """What one copying did, by file name."""

    folder: Path
    new: tuple[str, ...] = ()
    refreshed: tuple[str, ...] = ()
    kept: tuple[tuple[str, str], ...] = ()  # (lesson, the name its changed version now has)
    list_was_damaged: bool = False

    def sentences(self) -> list[str]:
        """Say it to the learner."""
        said = []
        if self.new:
            said.append(f"Your lessons are in {self.folder}.")
        if self.refreshed:
            said.append(f"Brought up to date: {', '.join(self.refreshed)}.")
        if self.list_was_damaged and self.kept:
            said.append("The list of what you were given was damaged, so nothing could be taken as unchanged.")
        said += [f"You had changed {name}. Your version is kept as {dated}." for name, dated in self.kept]
        return said


def source() -> Path:
    """Find the lessons that came with the library: in the wheel, or beside the package in a checkout."""
    for folder in (PACKAGE / "_lessons", PACKAGE.parent / "lessons"):
        if first_lesson(folder):
            return folder
    raise CourseProblem(
        "The lessons must come with the library, but none were found beside it. "
        "To fix it: install splashkit again from its own folder with 'pip install .'."
    )


def in_checkout() -> bool:
    """Tell whether the library runs from its own repository, not installed."""
    return source() == PACKAGE.parent / "lessons"


def first_lesson(folder: Path) -> str | None:
    """Name the lesson that the course opens with, if the folder holds it."""
    found = sorted(folder.glob("00_*.ipynb"))
    return found[0].name if found else None


def copy_lessons(folder: Path, today: datetime.date | None = None) -> Copied:
    """Copy the lessons into a folder, or bring its copies up to date.

    Raises :class:`CourseProblem` with one sentence when the folder cannot be written; what was in
    the folder before is then still there.
    """
    shipped = source()
    if folder.exists() and folder.resolve() == shipped.resolve():
        return Copied(folder)  # the checkout's own lessons: nothing to copy
    try:
        folder.mkdir(parents=True, exist_ok=True)
        with store.locked(folder):  # a second start at the same moment must not take our new lesson for a changed one
            return _copy(shipped, folder, today or datetime.date.today())
    except OSError as problem:
        raise CourseProblem(_sentence(folder, problem)) from problem
    except store.SaveProblem as problem:
        cause = problem.__cause__
        raise CourseProblem(_sentence(folder, cause) if isinstance(cause, OSError) else str(problem)) from problem


def _copy(shipped: Path, folder: Path, today: datetime.date) -> Copied:
    given, damaged = _read_list(folder / LIST)
    new, refreshed, kept = [], [], []
    now: dict[str, str] = dict(given)
    try:
        for file in sorted(p for p in shipped.iterdir() if p.is_file() and not p.name.startswith(".")):
            mine, data = folder / file.name, file.read_bytes()
            wanted = fingerprint(file.name, data)
            here = fingerprint(file.name, mine.read_bytes()) if mine.exists() else None
            if here is None:
                _put(mine, data)
                new.append(file.name)
            elif here != wanted and here == given.get(file.name):
                _put(mine, data)
                refreshed.append(file.name)
            elif here != wanted and wanted != given.get(file.name):
                dated = _dated(mine, today)
                _put(mine, data, keep_as=dated)
                kept.append((file.name, dated.name))
            now[file.name] = wanted
    finally:
        if now != given or damaged:  # also after a failure half-way: what was copied is remembered
            _put(folder / LIST, json.dumps({"files": now}, indent=1, sort_keys=True).encode())
    return Copied(folder, tuple(new), tuple(refreshed), tuple(kept), damaged)


def fingerprint(name: str, data: bytes) -> str:
    """Hash what a learner could have changed: for a notebook, its cells' text and not their outputs."""
    if name.endswith(".ipynb"):
        with contextlib.suppress(ValueError, KeyError, TypeError, AttributeError):
            cells = json.loads(data)["cells"]
            text = [[cell["cell_type"], "".join(cell["source"])] for cell in cells if "".join(cell["source"]).strip()]
            data = json.dumps(text).encode()
    return hashlib.sha256(data).hexdigest()


def _read_list(path: Path) -> tuple[dict[str, str], bool]:
    """Read what was given before, and whether that list was damaged."""
    if not path.exists():
        return {}, False
    try:
        files = json.loads(path.read_bytes())["files"]
        return {str(name): str(digest) for name, digest in files.items()}, False
    except (OSError, ValueError, KeyError, TypeError, AttributeError):
        return {}, True


def _put(path: Path, data: bytes, keep_as: Path | None = None) -> None:
    """Write a whole file or nothing; first give the file that is there another name, if asked."""
    temporary = path.with_name(f".{path.name}.{os.getpid()}.new")
    try:
        with open(temporary, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        if keep_as is not None:
            os.rename(path, keep_as)
        os.replace(temporary, path)
    except OSError:
        with contextlib.suppress(OSError):
            temporary.unlink()
        raise


def _dated(path: Path, today: datetime.date) -> Path:
    """Find a free name for a changed lesson, such as ``02_flash.kept-2026-03-01.ipynb``."""
    number = 1
    while True:
        extra = "" if number == 1 else f"-{number}"
        name = path.with_name(f"{path.stem}.kept-{today.isoformat()}{extra}{path.suffix}")
        if not name.exists():
            return name
        number += 1


def _sentence(folder: Path, problem: OSError) -> str:
    if problem.errno in (errno.ENOSPC, errno.EDQUOT):
        why = "the disk is full"
    elif problem.errno in (errno.EROFS, errno.EACCES, errno.EPERM):
        why = "you may not write there"
    elif problem.errno in (errno.ENOTDIR, errno.EEXIST, errno.EISDIR):
        why = "a file and a folder are in each other's place"
    else:
        why = (problem.strerror or str(problem)).lower()
    return (
        f"The lessons could not be copied to {folder}: {why}. "
        "To fix it: free some space, or name another folder with --dir."
    )
