"""Exercises: predict, three questions a lesson, progress, and a sheet for a room.

In a lesson: ``exercises.predict("02")``, ``exercises.question("02", 1)``, and in lesson 00
``exercises.progress()``. A teacher: ``exercises.question_sheet(seed=7, lessons=["02", "03"])``.
How to add questions: see ``exercises/base.py``.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from splashkit.exercises.boxes import PredictionBox, ProgressTable, QuestionBox
    from splashkit.exercises.sheet import Sheet

_predictions: dict[tuple[str, Path], PredictionBox] = {}


def question(lesson: str | int, which: int, seed: int | None = None) -> QuestionBox:
    """Show one question. Without a seed the numbers are the learner's own; with one, the room's."""
    from splashkit import rig as rigs
    from splashkit.exercises import base, boxes

    rig = rigs.demo() if seed is not None else rigs.load_or_demo()[0].filled()
    return boxes.QuestionBox(base.lesson_name(lesson), which, seed, rig)


def predict(lesson: str | int) -> PredictionBox:
    """Ask for the lesson's prediction. A panel waits for it: ``panels.flash_duration(after=exercises.predict("02"))``.

    Each call gives the same box, so that the order in which a lesson's cells run does not matter.
    """
    from splashkit import store
    from splashkit.exercises import base, boxes

    asked = base.lesson_name(lesson), store.folder()
    if asked not in _predictions:
        _predictions[asked] = boxes.PredictionBox(asked[0])
    return _predictions[asked]


def progress() -> ProgressTable:
    """Show what the learner has done so far, with the file to take along and to bring back."""
    from splashkit.exercises import boxes

    return boxes.ProgressTable()


def question_sheet(seed: int, lessons: Sequence[str | int] | None = None) -> Sheet:
    """Draw the questions of some lessons from a seed, with answers, to show or to print."""
    from splashkit.exercises import sheet

    return sheet.question_sheet(seed, lessons)


__all__ = ["predict", "progress", "question", "question_sheet"]
