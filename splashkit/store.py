"""Writing files so that nothing saved is ever lost.

A save goes to a temporary file, is forced to the disk, and only then takes the file's name.
The version before it stays beside it as ``<name>.previous``. Whoever pulls the plug at any step
finds either the old file whole or the new file whole.

Two open lessons may save at once: each holds a lock of the operating system while it writes.
Such a lock ends with the process that holds it, so it cannot go stale. The empty
``<name>.lock`` file that stays behind holds nothing and may be deleted.
"""

from __future__ import annotations

import contextlib
import errno
import hashlib
import json
import os
import shutil
import tempfile
import time
from collections.abc import Callable, Iterator
from pathlib import Path

if os.name == "nt":
    import msvcrt
else:
    import fcntl

LOCK_WAIT = 10.0  # [s] how long a save waits for another one; a save takes some milliseconds
LONGEST_TEXT = 32_767  # letters of a name or a note: what a spreadsheet's cell holds
LARGEST_FILE = 8_000_000  # [bytes] some eighty thousand frames; more is not ours


class SaveProblem(ValueError):
    """A file that could not be read or written, said in one sentence."""


class Damaged(ValueError):
    """A file that does not hold what it should: says which line, which field, and what to do."""

    def __init__(self, path: Path | str, line: int | None, field: str | None, problem: str, advice: str = ""):
        self.path, self.line, self.field, self.problem = Path(path), line, field, problem
        where = f"line {line}" if line else "the file"
        if field:
            where += f", field '{shown(field)}'"
        advice = advice or (
            f"mend that place in a text editor, or go back to {self.path.name}.previous; "
            "the file is left as it is and never overwritten"
        )
        super().__init__(f"{self.path.name} cannot be read: {where} {problem}. To fix it: {advice}.")


def shown(text: object, longest: int = 40) -> str:
    """Shorten what a file held so that it fits in a sentence, without control characters."""
    plain = "".join(letter if letter.isprintable() else "?" for letter in str(text))
    return plain if len(plain) <= longest else plain[: longest - 3] + "..."


def letters(text: str) -> str:
    """Put a question mark for half a letter, as a page may send it; a file cannot hold one."""
    return text.encode("utf-8", "replace").decode()


def folder() -> Path:
    """Return the learner's own folder: ``SPLASHKIT_HOME``, or ``splashkit`` in the home folder."""
    chosen = os.environ.get("SPLASHKIT_HOME", "").strip()
    return Path(chosen).expanduser() if chosen else Path.home() / "splashkit"


def place(name: str) -> Path:
    """Return where a file of the learner's is: in her folder, or where a link of that name there points."""
    path = folder() / name
    # a link is followed by hand, so that a save renews the file it points to and not the link
    return Path(os.path.realpath(path)) if path.is_symlink() else path


def read(path: Path | str) -> bytes | None:
    """Return the bytes of a file, or None when there is none. Readers need no lock."""
    path = Path(path)
    try:
        if path.exists() and not path.is_file():
            raise SaveProblem(f"{path} must be a file; it is a folder or a device. To fix it: move it away.")
        with open(path, "rb") as file:
            data = file.read(LARGEST_FILE + 1)
    except FileNotFoundError:
        return None
    except OSError as problem:
        raise SaveProblem(_sentence("read", path, problem)) from problem
    if len(data) > LARGEST_FILE:
        why = f"is larger than {LARGEST_FILE // 1_000_000} MB"
        raise Damaged(path, None, None, why, "check that it is the right file, and move old rows elsewhere")
    return data


def decode(path: Path | str, data: bytes) -> str:
    """Read bytes as UTF-8 text, with or without a byte-order mark; report any other encoding by line."""
    advice = "open it in a text editor or spreadsheet and save it again as UTF-8"
    start = data[:200]
    if start[:2] in (b"\xff\xfe", b"\xfe\xff") or 0 < len(start) // 3 <= start.count(0) < len(start) * 0.8:
        raise Damaged(path, 1, None, "starts as UTF-16 text, not UTF-8", advice)
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as problem:
        line = data.count(b"\n", 0, problem.start) + 1
        raise Damaged(path, line, None, f"holds the byte 0x{data[problem.start]:02x}, not UTF-8 text", advice) from None
    if "\0" in text:
        line = text.count("\n", 0, text.index("\0")) + 1
        raise Damaged(path, line, None, "holds empty (zero) bytes, as after a disk fault")
    return text


def check_letters(path: Path | str, held: object) -> None:
    """Refuse what JSON can spell but no file can hold: half of a letter that is written as two, such as \\ud800."""
    try:
        json.dumps(held, ensure_ascii=False).encode()
    except UnicodeEncodeError as problem:
        half = ascii(problem.object[problem.start])[1:-1]
        raise Damaged(path, None, None, f"holds half a letter, {half}, as after a copy that was cut") from None


@contextlib.contextmanager
def locked(path: Path | str) -> Iterator[None]:
    """Hold the lock of a file while the block runs; wait for another holder, but not for ever."""
    path = Path(path)
    handle = _open_lock(path)
    try:
        deadline = time.monotonic() + LOCK_WAIT
        while not _try_lock(handle):
            if time.monotonic() > deadline:
                raise SaveProblem(
                    f"{path.name} is being written by another open lesson for more than {LOCK_WAIT:.0f} s. "
                    "To fix it: close or restart the other lesson, then save again."
                )
            time.sleep(0.01)
        yield
    finally:
        os.close(handle)  # closing lets the lock go, on every system


def write(path: Path | str, data: bytes) -> None:
    """Write a whole file at once, keeping the version before it as ``<name>.previous``."""
    with locked(path):
        replace(path, data)


def change(path: Path | str, make: Callable[[bytes | None], bytes]) -> None:
    """Read, change and write a file under one lock, so that two writers lose nothing."""
    with locked(path):
        replace(path, make(read(path)))


def replace(path: Path | str, data: bytes) -> None:
    """Put new bytes in a file's place; the caller holds the lock."""
    path = Path(path)
    if len(data) > LARGEST_FILE:
        raise SaveProblem(
            f"{path.name} must be at most {LARGEST_FILE // 1_000_000} MB; with this it would be larger. Nothing was "
            "changed. To fix it: move the file to another folder, and go on with an empty one."
        )
    temporary = path.with_name(f".{path.name}.{os.getpid()}.new")
    try:
        there = path.exists()
        if there and not os.access(path, os.W_OK):  # its folder would let us, but somebody closed the file
            raise PermissionError(errno.EACCES, os.strerror(errno.EACCES))
        _write_and_sync(temporary, data)
        if there:
            with contextlib.suppress(OSError):  # a disk without modes
                shutil.copymode(path, temporary)
            _keep_previous(path)
        os.replace(temporary, path)
        _sync_folder(path.parent)
    except OSError as problem:
        for rest in (temporary, _old_name(path)):
            with contextlib.suppress(OSError):
                os.unlink(rest)
        raise SaveProblem(_sentence("save", path, problem)) from problem


def beside(path: Path | str) -> Path:
    """Return the name for new data when the file itself is damaged: ``rig.new.json`` for ``rig.json``."""
    path = Path(path)
    return path.with_name(f"{path.stem}.new{path.suffix}")


def _write_and_sync(path: Path, data: bytes) -> None:
    handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_TRUNC | getattr(os, "O_BINARY", 0), 0o644)
    try:
        rest = memoryview(data)
        while rest:
            rest = rest[os.write(handle, rest) :]
        os.fsync(handle)
    finally:
        os.close(handle)


def _keep_previous(path: Path) -> None:
    previous, link = path.with_name(f"{path.name}.previous"), _old_name(path)
    with contextlib.suppress(FileNotFoundError):
        os.unlink(link)  # left by a killed process that had our number
    try:
        os.link(path, link)
    except OSError as problem:
        if problem.errno == errno.ENOSPC:
            raise
        _write_and_sync(link, path.read_bytes())  # a disk without links: copy
    os.replace(link, previous)


def _old_name(path: Path) -> Path:
    return path.with_name(f".{path.name}.{os.getpid()}.old")


def _sync_folder(path: Path) -> None:
    if os.name == "nt":  # Windows cannot open a folder; its rename is journalled
        return
    handle = os.open(path, os.O_RDONLY)
    try:
        # some network disks refuse to sync a folder; the file itself is safe by then
        with contextlib.suppress(OSError):
            os.fsync(handle)
    finally:
        os.close(handle)


def _open_lock(path: Path) -> int:
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        handle = os.open(path.with_name(f"{path.name}.lock"), os.O_RDWR | os.O_CREAT, 0o644)
    except OSError as problem:
        raise SaveProblem(_sentence("save", path, problem)) from problem
    try:
        _try_lock(handle, probe=True)
    except OSError:  # a disk without locks: hold the lock in this machine's temporary folder
        os.close(handle)
        name = hashlib.sha256(str(path.resolve()).encode()).hexdigest()[:16]
        handle = os.open(Path(tempfile.gettempdir()) / f"splashkit-{name}.lock", os.O_RDWR | os.O_CREAT, 0o600)
    return handle


def _try_lock(handle: int, probe: bool = False) -> bool:
    try:
        if os.name == "nt":
            os.lseek(handle, 0, os.SEEK_SET)
            msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)  # type: ignore[attr-defined,unused-ignore]
            if probe:
                os.lseek(handle, 0, os.SEEK_SET)
                msvcrt.locking(handle, msvcrt.LK_UNLCK, 1)  # type: ignore[attr-defined,unused-ignore]
        else:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
            if probe:
                fcntl.flock(handle, fcntl.LOCK_UN)
    except OSError as problem:
        if problem.errno in (errno.EACCES, errno.EAGAIN, errno.EDEADLK):
            return False
        raise
    return True


def _sentence(action: str, path: Path, problem: OSError) -> str:
    reasons = {
        errno.ENOSPC: ("the disk is full", "free some space, then save again; what was saved before is still there"),
        getattr(errno, "EDQUOT", -1): ("your share of the disk is used up", "free some space, then save again"),
        errno.EROFS: ("the folder is read-only", "set SPLASHKIT_HOME to a folder you may write in"),
        errno.EACCES: ("it is not allowed there, or another program holds the file", "close it elsewhere, or set "
                       "SPLASHKIT_HOME to a folder you may write in"),
        errno.ENOTDIR: ("a file is in the place of the folder", "move it, or set SPLASHKIT_HOME to a folder"),
        errno.EEXIST: ("a file is in the place of the folder", "move it, or set SPLASHKIT_HOME to a folder"),
        errno.ENAMETOOLONG: ("the folder's name is too long", "set SPLASHKIT_HOME to a shorter one"),
    }  # fmt: skip
    reasons[errno.EPERM] = reasons[errno.EACCES]
    why, advice = reasons.get(problem.errno or 0, (problem.strerror or str(problem), "check the disk and its folder"))
    return f"Could not {action} {path}: {why}. To fix it: {advice}."
