"""What the learner has done, kept in her own folder as ``progress.json``. It never leaves the machine.

The file is written whole or not at all (see ``store``). A damaged file is left as it is: from then on
progress is kept only until the kernel stops, and a sentence says so.
"""

from __future__ import annotations

import copy
import json
import random
from collections.abc import Callable
from pathlib import Path
from typing import Any

from splashkit import store

FILE_NAME = "progress.json"
_memory: dict[str, Any] | None = None  # used when the file cannot be


def _fresh() -> dict[str, Any]:
    return {"version": 1, "seed": random.SystemRandom().randrange(1, 10**6), "lessons": {}}


def _sound(lesson: Any) -> bool:
    """Tell whether one lesson's notes are what this module writes."""
    if not isinstance(lesson, dict) or not isinstance(lesson.get("prediction", {}), dict):
        return False
    questions = lesson.get("questions", {})
    return isinstance(questions, dict) and all(
        isinstance(question, dict) and isinstance(question.get("tries", 0), int) for question in questions.values()
    )


def _parse(data: bytes | None, source: Path | None = None) -> dict[str, Any]:
    if data is None:
        return _fresh()
    advice = "move the file away to start afresh; it is left as it is"
    if source is not None:
        advice = "choose the file that this page gave you"
    source = source or store.place(FILE_NAME)
    text = store.decode(source, data)
    try:
        held = json.loads(text)
        whole = isinstance(held, dict) and isinstance(held.get("lessons"), dict) and isinstance(held.get("seed"), int)
        whole = whole and all(map(_sound, held["lessons"].values()))
    except (ValueError, RecursionError):  # not JSON, or a number of thousands of digits, or nested too deeply
        whole = False
    if not whole:
        raise store.Damaged(
            source, None, None, "does not hold progress", advice,
        )  # fmt: skip
    store.check_letters(source, held)
    return dict(held)


def load() -> tuple[dict[str, Any], str]:
    """Give what is known, and a sentence if the file could not be used."""
    global _memory
    try:
        return _known(store.read(store.place(FILE_NAME))), ""
    except ValueError as problem:
        _memory = _memory or _fresh()
        return _memory, str(problem)


def _known(data: bytes | None) -> dict[str, Any]:
    """What the file holds; without one, what could not be saved so far."""
    return _parse(data) if data is not None or _memory is None else _memory


def _change(edit: Callable[[dict[str, Any]], None]) -> str:
    global _memory

    def make(data: bytes | None) -> bytes:
        held = copy.deepcopy(_known(data))
        edit(held)
        return to_bytes(held)

    try:
        store.change(store.place(FILE_NAME), make)
        _memory = None
        return ""
    except ValueError as problem:
        held, damaged = load()
        if damaged or store.read(store.place(FILE_NAME)) is None:
            _memory = held
            edit(held)
        return f"Your progress is not saved. {problem}"


def to_bytes(held: dict[str, Any]) -> bytes:
    """Write progress as the bytes of ``progress.json``, for saving or for download."""
    return json.dumps(held, indent=1, ensure_ascii=False).encode()


def upload(data: bytes) -> str:
    """Save an uploaded ``progress.json`` in the place of the one on the disk, which is kept as the version before."""
    held = _parse(data, Path("The uploaded file"))
    store.write(store.place(FILE_NAME), to_bytes(held))
    done = sum(bool(one.get("right")) for lesson in held["lessons"].values()
               for one in lesson.get("questions", {}).values())  # fmt: skip
    return f"Your progress is back: {done} question{'' if done == 1 else 's'} done. Run the lesson again to use it."


def seed() -> int:
    """Give this learner's own seed, drawn once and kept, so that her numbers stay hers."""
    held, problem = load()
    if not problem and store.read(store.place(FILE_NAME)) is None:
        drawn = held["seed"]
        _change(lambda new: new.update(seed=drawn))
        held, _ = load()
    return int(held["seed"])


def prediction(lesson: str) -> str:
    """Give what the learner predicted for a lesson before, in an option's words; nothing if she has not."""
    held, _ = load()
    return str(held["lessons"].get(lesson, {}).get("prediction", {}).get("choice", ""))


def note_question(lesson: str, which: int, right: bool) -> str:
    """Note one try at a question; gives a sentence if it could not be saved."""

    def edit(held: dict[str, Any]) -> None:
        questions = held["lessons"].setdefault(lesson, {}).setdefault("questions", {})
        one = questions.setdefault(str(which), {"right": False, "tries": 0})
        if not one.get("right"):
            one["tries"] = int(one.get("tries", 0)) + 1
        one["right"] = bool(one.get("right")) or right

    return _change(edit)


def note_prediction(lesson: str, choice: str, right: bool) -> str:
    """Note the first prediction of a lesson; gives a sentence if it could not be saved."""
    return _change(
        lambda held: (
            held["lessons"].setdefault(lesson, {}).setdefault("prediction", {"choice": choice, "right": right}) and None
        )
    )
