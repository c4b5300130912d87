"""Heavy use of a lesson, done inside its kernel: all that a learner can press, move and answer.

from tools import use
use.everything()
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import ipywidgets as widgets
from ipywidgets.widgets.widget import _instances

from splashkit.exercises.base import ChoiceQuestion
from splashkit.exercises.boxes import PredictionBox, QuestionBox
from splashkit.panels.base import Panel, _shown


def held(kind: type) -> list[Any]:
    """All widgets of a kind that the kernel holds."""
    return [one for one in list(_instances.values()) if isinstance(one, kind)]


def panels_shown() -> list[Panel]:
    """The panels on the page: the one shown last of each kind, since a cell run again has a new one."""
    return [one for one in _shown.values() if isinstance(one, Panel)]


def inside(widget: Any) -> Iterator[Any]:
    """A widget and all that it holds."""
    yield widget
    for child in getattr(widget, "children", ()):
        yield from inside(child)


def commit() -> None:
    """Commit each prediction, which opens the panels that wait for it."""
    for box in held(PredictionBox):
        if not box.committed:
            box.choice.index = 0
            box.commit()


def every_control(panel: Panel) -> None:
    """Move each slider to both ends and back, choose each entry of each list, tick and untick."""
    for control in list(panel.controls.values()):
        for name in ("slider", "choice", "box"):
            part = getattr(control, name, None)
            if hasattr(part, "max"):
                was = part.value
                for value in (part.min, part.max, was):
                    part.value = value
            elif hasattr(part, "options"):
                was = part.index
                for index in [*range(len(part.options)), was]:
                    part.index = index
            elif isinstance(part, widgets.Checkbox):
                for _ in range(2):
                    part.value = not part.value


def every_button(panel: Panel) -> None:
    """Press each button: the presets, Reset, the steps, and the panel's own."""
    for button in [one for one in inside(panel) if isinstance(one, widgets.Button)]:
        button.click()


def every_answer(box: QuestionBox, rounds: int = 3) -> None:
    """Answer wrongly, with nonsense and rightly, then take other numbers."""
    for _ in range(rounds):
        if isinstance(box.question, ChoiceQuestion):
            for index in range(len(box.answer.options)):
                box.answer.index = index
                box.check()
        else:
            unit = box.question.unit.replace("1", "")
            for text in ("7", "nonsense", f"{box.question.answer(box.numbers):.6g} {unit}"):
                box.answer.value = text
        box.redraw()


def everything() -> None:
    """Use all that the lesson shows, once."""
    commit()
    for panel in panels_shown():
        every_control(panel)
        every_button(panel)
    for box in held(QuestionBox):
        every_answer(box)
