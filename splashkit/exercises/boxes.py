"""What the learner sees of an exercise: a question box, a prediction, the progress table."""

from __future__ import annotations

import base64
from collections.abc import Callable
from typing import Any

import ipywidgets as widgets

from splashkit.card import Card
from splashkit.exercises import base, record
from splashkit.look import CSS, escape
from splashkit.spoken import Spoken, own_id

DONE = "Your prediction is made: read on"


def _heading(text: str) -> str:
    return f'{CSS}<div class="splash-title" role="heading" aria-level="3">{escape(text)}</div>'


def _asked(question: str, mark: str) -> str:
    # radio buttons are named by it: splashkit-access, in labextensions
    return f'<p class="splash-asked" id="{mark}">{escape(question)}</p>'


def _told(feedback: base.Feedback, extra: str = "") -> str:
    look = {True: "splash-yes", False: "splash-no", None: "splash-no"}[feedback.right]
    sign = {True: "✓", False: "✗", None: "?"}[feedback.right]
    more = f"<br>{escape(extra)}" if extra else ""
    return f'<div class="{look}"><span aria-hidden="true">{sign}</span> {escape(feedback.words)}{more}</div>'


class QuestionBox(Card):
    """One question: text, answer, check button, feedback, folded worked solution, other numbers."""

    def __init__(self, lesson: str, which: int, seed: int | None = None, rig: Any = None) -> None:
        self.lesson, self.which, self.question = lesson, which, base.find(lesson, which)
        self._own = seed is None
        self._seed = record.seed() if seed is None else seed
        self._rig, self._round, self._mark = rig, 0, own_id("asked")
        self._last: str | None = None
        self.feedback = base.Feedback(None, "")
        self._text, self._told, self._solution = widgets.HTML(), Spoken(), widgets.HTML()
        if isinstance(self.question, base.ChoiceQuestion):
            self.answer: Any = widgets.RadioButtons(options=[], value=None)
        else:
            unit = self.question.display or self.question.unit
            label = f"Your answer ({unit})" if unit != "1" else "Your answer"
            self.answer = widgets.Text(
                description=label, continuous_update=False, style={"description_width": "initial"}
            )
            self.answer.observe(lambda _: self.check(), "value")
        self._check = widgets.Button(description="Check", tooltip="Check the answer")
        self._other = widgets.Button(description="Other numbers", tooltip="The same question with other numbers")
        self._check.on_click(lambda _: self.check())
        self._other.on_click(lambda _: self.redraw())
        answer = widgets.HBox([self.answer]).add_class("splash-control")
        actions = widgets.HBox([self._check, self._other]).add_class("splash-actions")
        super().__init__([self._text, answer, actions, self._told, self._solution])
        self._draw()

    def _draw(self) -> None:
        self.numbers = self.question.numbers(f"{self._seed}:{self.lesson}:{self.which}:{self._round}", self._rig)
        self._last = None
        level = base.LEVELS[self.question.level]
        asked = _asked(self.question.text(self.numbers), self._mark)
        self._text.value = _heading(f"Question {self.which}, {level}") + asked
        self._told.value = ""
        worked = self.question.worked(self.numbers)
        self._solution.value = f"<details><summary>Worked solution</summary>{worked}</details>"
        if isinstance(self.question, base.ChoiceQuestion):
            self.answer.options = [text for text, _, _ in self.question.options(self.numbers)]
            self.answer.value = None

    def redraw(self) -> None:
        """Ask the same with other numbers."""
        self._round += 1
        if isinstance(self.answer, widgets.Text):
            self._last = ""
            self.answer.value = ""
        self._draw()

    def check(self) -> base.Feedback:
        """Judge the answer, once for each answer given."""
        given = self.answer.value or ""
        if given == self._last:
            return self.feedback
        self._last = given
        self.feedback = self.question.check(given, self.numbers)
        problem = ""
        if self.feedback.right is not None and self._own:
            problem = record.note_question(self.lesson, self.which, self.feedback.right)
        self._told.value = _told(self.feedback, problem)
        return self.feedback


class PredictionBox(Card):
    """Options and a commit button; a panel made with ``after=`` this one opens on the commit.

    A prediction made before, in an earlier kernel, stands: it is shown, and its panel is open.
    """

    def __init__(self, lesson: str) -> None:
        self.lesson, self.prediction = lesson, base.lesson(lesson).PREDICTION
        self.committed = False
        self.feedback = base.Feedback(None, "")
        self._waiting: list[Callable[[], None]] = []
        self.choice = widgets.RadioButtons(options=[text for text, _, _ in self.prediction.options], value=None)
        self._button = widgets.Button(description="This is my prediction", tooltip="Commit, then see what happens")
        self._button.on_click(lambda _: self.commit())
        self._told = Spoken()
        text = widgets.HTML(_heading("Predict") + _asked(self.prediction.question, own_id("asked")))
        self._actions = widgets.HBox([self._button]).add_class("splash-actions")
        super().__init__([text, self.choice, self._actions, self._told])
        before = record.prediction(lesson)
        if before in self.choice.options:
            self.choice.value = before
            self._settle("You predicted this before, so the panel below is open.")
            self._actions.layout.display = "none"  # nobody has pressed it, so no focus is on it

    def on_commit(self, listener: Callable[[], None]) -> None:
        """Call the listener once the learner has committed."""
        self._waiting.append(listener)

    def commit(self) -> base.Feedback:
        """Take the choice as final, tell what it is worth, and open the panel that waits."""
        if self.committed:
            return self.feedback
        self.feedback = self.prediction.check(self.choice.value or "")
        if self.feedback.right is None:
            self._told.value = _told(self.feedback)
            return self.feedback
        self._settle(record.note_prediction(self.lesson, self.choice.value, self.feedback.right))
        for listener in self._waiting:
            listener()
        return self.feedback

    def _settle(self, extra: str) -> None:
        self.feedback = self.prediction.check(self.choice.value)
        self.committed = True
        self.choice.disabled = True
        # a button that is switched off lets go of the keyboard's focus; style takes this one away when it is left
        self._button.description = DONE
        self._actions.add_class("splash-done")
        self._told.value = _told(self.feedback, extra)


class ProgressTable(Card):
    """What is done, lesson by lesson; the file to take along, and to bring back on a hub that forgets."""

    def __init__(self) -> None:
        self._table, self._file, self._told = widgets.HTML(), widgets.HTML(), Spoken()
        again = widgets.Button(description="Bring up to date", tooltip="Read again what you have done")
        again.on_click(lambda _: self.refresh())
        self.uploader = widgets.FileUpload(
            accept=".json", multiple=False, description="Put a progress.json from this computer in its place",
            layout=widgets.Layout(width="auto"),
        )  # fmt: skip
        self.uploader.observe(self._uploaded, "value")
        super().__init__(
            [self._table, widgets.HBox([again, self.uploader]).add_class("splash-row"), self._file, self._told]
        )
        self.refresh()

    def refresh(self) -> None:
        """Read the file again and show it."""
        held, problem = record.load()
        self._table.value = _rows(held, problem)
        data = base64.b64encode(record.to_bytes(held)).decode("ascii")
        self._file.value = (
            f'<a style="text-decoration:underline" download="{record.FILE_NAME}" '
            f'href="data:application/json;base64,{data}">Download your progress as {record.FILE_NAME}</a>'
        )

    def upload(self, data: bytes) -> str:
        """Put an uploaded file in the place of the one on the disk; a damaged one changes nothing."""
        try:
            said, look = record.upload(data), "splash-yes"
        except ValueError as problem:
            said, look = f"Nothing is changed. {problem}", "splash-no"
        self._told.value = f'<div class="{look}">{escape(said)}</div>'
        self.refresh()
        return said

    def _uploaded(self, change: Any) -> None:
        for file in change["new"] or ():
            self.upload(bytes(file["content"]))


def _rows(held: Any, problem: str) -> str:
    rows = ""
    for name in base.LESSONS:
        if not base.has_questions(name):
            continue
        known = held["lessons"].get(name, {})
        cells = [_predicted(known.get("prediction"))]
        count = len(base.lesson(name).QUESTIONS)
        cells += [_answered(known.get("questions", {}).get(str(which))) for which in range(1, count + 1)]
        rows += f'<tr><th scope="row">Lesson {name}</th>{"".join(f"<td>{cell}</td>" for cell in cells)}</tr>'
    head = "".join(
        f'<th scope="col">{word}</th>' for word in ("Lesson", "Prediction", "Question 1", "Question 2", "Question 3")
    )
    note = f"<p>{escape(problem)}</p>" if problem else ""
    return f"{_heading('What you have done')}<table><thead><tr>{head}</tr></thead><tbody>{rows}</tbody></table>{note}"


def _predicted(known: Any) -> str:
    if not known:
        return "not yet"
    return "as it happens" if known.get("right") else "surprised"


def _answered(known: Any) -> str:
    if not known:
        return "not yet"
    tries = int(known.get("tries", 0))
    times = "first try" if tries == 1 else f"{tries} tries"
    return (
        f"✓ done, {times}" if known.get("right") else f"{times}, still open" if tries > 1 else "tried once, still open"
    )
