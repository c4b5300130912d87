"""Questions with computed answers, and what each answer is told.

To add exercises to a lesson: make ``splashkit/exercises/lessonNN.py`` with

``PREDICTION``  a :class:`Prediction`: the question, and options ``(text, right, why)``
``QUESTIONS``   a tuple of three, one a level: :class:`Question` (a number) or :class:`ChoiceQuestion`

A :class:`Question` draws its numbers with ``draw(random, rig)``, which gives a dictionary; every
other function gets them as attributes, ``q.speed``. The answer is computed from them, in SI:

    Question(
        level=1,
        draw=lambda random, rig: {"speed": random.choice([2.0, 2.4, 3.0]), "duration": 1e-4},
        text=lambda q: f"A drop falls at {words(q.speed, 'm/s')} ... How far does it move?",
        answer=lambda q: q.speed * q.duration, unit="m", display="mm", quantity="smear",
        slips=((lambda q: q.speed / q.duration, "You divided. Distance is speed times time."),),
        hint="Distance is speed times time.",
        worked=lambda q: workings.get("blur").html(speed=q.speed, duration=q.duration),
    )

A bare number in the box is in ``display``, which its label names; "1/20000", "50 µs" and "0,05 ms" are
read too. Thousandfold slips are found without being listed. A listed slip that comes within the
tolerance of the right answer is skipped, so no right answer is ever called a slip.
"""

from __future__ import annotations

import random
import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cache
from importlib import import_module, util
from types import SimpleNamespace
from typing import Any, NamedTuple

from splashkit import units

LEVELS = {1: "to warm up", 2: "at the bench", 3: "to think about"}
LESSONS = tuple(f"{number:02d}" for number in range(13))
words = units.format_quantity
Numbers = Any  # the drawn numbers, as attributes


class Feedback(NamedTuple):
    """What an answer is told. ``right`` is None when the answer could not be read."""

    right: bool | None
    words: str


KINDS = {
    "s": "a time", "m": "a length", "m/s": "a speed", "kg": "a mass", "stop": "a number of stops", "1": "a number",
    "rad": "an angle",
}  # fmt: skip


def _bare(given: str, unit: str) -> str:
    """Take off what people write round a number: 'about', an f-number's 'f/', 'times', 'pixels'; read 'per cent'."""
    text = re.sub(r"^(?:about|ca\.?|[~≈=])\s*", "", given.strip(), flags=re.I)
    text = re.sub(r"\s*per ?cent$", " %", text, flags=re.I)
    if unit != "1":
        return text
    return re.sub(r"(?<=[\d.,])\s*(?:times|fold|pixels?|px)\.?$", "", re.sub(r"^[fF]\s*/?\s*(?=[\d.,])", "", text))


def _same(value: float, other: float, tolerance: float) -> bool:
    return abs(value - other) <= tolerance * max(abs(other), 1e-30)


@dataclass(frozen=True)
class Question:
    """A question whose answer is a number."""

    level: int
    draw: Callable[[random.Random, Any], dict[str, Any]]
    text: Callable[[Numbers], str]
    answer: Callable[[Numbers], float]
    unit: str
    quantity: str
    hint: str
    worked: Callable[[Numbers], str]
    display: str = ""
    slips: Sequence[tuple[Callable[[Numbers], float], str]] = ()
    right: Callable[[Numbers], str] = lambda q: ""
    tolerance: float = 0.03
    write: Callable[[float], str] | None = None  # how the answer is written, where no unit says it

    def numbers(self, seed: str, rig: Any) -> Numbers:
        """Draw the numbers of this question; the same seed and rig give the same numbers."""
        return SimpleNamespace(**self.draw(random.Random(seed), rig))

    def check(self, given: str, q: Numbers) -> Feedback:
        """Read an answer and say what it is worth."""
        text = _bare(given, self.unit)
        try:
            value = units.parse_quantity(text, self.unit, self.quantity, bare=self.display)
        except ValueError:
            return Feedback(None, f"{self._unread(text)} Hint: {self.hint}")
        wanted = float(self.answer(q))
        if _same(value, wanted, self.tolerance):
            return Feedback(True, f"Right: {self.written(q)}. {self.right(q)}".strip())
        if any(
            _same(value, wanted * factor, 0.005) for factor in (1e3, 1e-3)
        ):  # before a slip that lies near by chance
            return Feedback(False, f"{self._size(value, wanted)} Hint: {self.hint}")
        heard = []
        for slip, message in self.slips:
            wrong = float(slip(q))
            # one that lies far from the right answer is known by fewer digits
            reach = max(self.tolerance, min(0.01, 0.2 * abs(wrong - wanted) / max(abs(wanted), 1e-30)))
            if not _same(wrong, wanted, self.tolerance) and _same(value, wrong, reach):
                heard.append((abs(value - wrong), message))
        if heard:  # two slips may lie side by side: the nearer one was made
            return Feedback(False, min(heard, key=lambda one: one[0])[1])
        return Feedback(False, f"{self._size(value, wanted)} Hint: {self.hint}")

    def written(self, q: Numbers) -> str:
        """Write the answer in the unit the box asks for, with as many digits as an answer needs."""
        wanted, digits = float(self.answer(q)), 4 if self.tolerance < 0.005 else 3
        if self.write:
            return self.write(wanted)
        if not self.display:
            return words(wanted, self.unit, digits)
        one = units.parse_quantity("1", self.unit, bare=self.display)
        return f"{units.format_number(wanted / one, digits)} {self.display}"

    def _unread(self, text: str) -> str:
        example = f"12 {self.display}".strip() if self.display or self.unit != "s" else "1/2000"
        if self.write:  # an invented number, written as the answer would be
            example = self.write(0.05)
        if not text:
            return f"Write a number first, like {example}."
        for unit, kind in KINDS.items():
            try:
                units.parse_quantity(text, unit)
            except ValueError:
                continue
            if unit != self.unit:
                return f"That is {kind}. Asked is {KINDS.get(self.unit, self.unit)}: write it like {example}."
        return f"I could not read that as a number. Write it like {example}."

    def _size(self, value: float, wanted: float) -> str:
        if value * wanted < 0:
            return "The sign is the wrong way round."
        for factor, out in ((1e3, "thousand"), (1e6, "million")):
            if _same(value, wanted * factor, self.tolerance) or _same(value, wanted / factor, self.tolerance):
                return f"The digits are right, but the unit is a {out} out: look for milli or micro."
        if _same(value, wanted * 100, self.tolerance) or _same(value, wanted / 100, self.tolerance):
            return "The digits are right, but a hundred out: look for a % sign or for cm."
        if _same(value, wanted * 10, self.tolerance) or _same(value, wanted / 10, self.tolerance):
            return "The digits are right, but a zero is lost or too many."
        if _same(value, wanted, 0.15):
            digits = "four" if self.tolerance < 0.005 else "three"
            return f"Close, but not close enough: go over the sum, and keep {digits} digits on the way."
        return "Not yet: that is too large." if value > wanted else "Not yet: that is too small."


@dataclass(frozen=True)
class ChoiceQuestion:
    """A question with options: ``(text, right, why)`` each."""

    level: int
    draw: Callable[[random.Random, Any], dict[str, Any]]
    text: Callable[[Numbers], str]
    options: Callable[[Numbers], Sequence[tuple[str, bool, str]]]
    hint: str
    worked: Callable[[Numbers], str]

    def numbers(self, seed: str, rig: Any) -> Numbers:
        """Draw the numbers of this question; the same seed and rig give the same numbers."""
        return SimpleNamespace(**self.draw(random.Random(seed), rig))

    def check(self, given: str, q: Numbers) -> Feedback:
        """Say what the chosen option is worth."""
        for text, right, why in self.options(q):
            if text == given:
                return Feedback(right, f"{'Right.' if right else 'No.'} {why}")
        return Feedback(None, f"Choose one of the answers first. Hint: {self.hint}")


@dataclass(frozen=True)
class Prediction:
    """What the learner commits to before a panel speaks: options are ``(text, right, why)``."""

    question: str
    options: Sequence[tuple[str, bool, str]]

    def check(self, given: str) -> Feedback:
        """Say what the chosen option is worth."""
        for text, right, why in self.options:
            if text == given:
                return Feedback(right, f"{'You predicted it.' if right else 'Not what happens.'} {why}")
        return Feedback(None, "Choose one first. A guess is welcome: nobody is counting.")


AnyQuestion = Question | ChoiceQuestion


def lesson_name(lesson: str | int) -> str:
    """Write a lesson's number as its two digits; refuse what is no lesson."""
    name = f"{lesson:02d}" if isinstance(lesson, int) and not isinstance(lesson, bool) else str(lesson).strip().zfill(2)
    if name not in LESSONS:
        raise ValueError(f"The lesson must be from 00 to 12; got {lesson!r}. To fix it: write it as '02'.")
    return name


@cache
def lesson(number: str | int) -> Any:
    """Give the module with a lesson's questions."""
    name = lesson_name(number)
    if not has_questions(name):
        raise ValueError(f"The lesson must be one with exercises; got {name}. To fix it: choose another lesson.")
    return import_module(f"splashkit.exercises.lesson{name}")


def has_questions(name: str) -> bool:
    """Tell whether a lesson has exercises."""
    return util.find_spec(f"splashkit.exercises.lesson{name}") is not None


def find(number: str | int, which: int) -> AnyQuestion:
    """Give one question of a lesson."""
    questions = lesson(number).QUESTIONS
    if isinstance(which, bool) or which not in range(1, len(questions) + 1):
        raise ValueError(
            f"The question must be from 1 to {len(questions)}; got {which!r}. To fix it: write it as a whole number."
        )
    found: AnyQuestion = questions[which - 1]
    return found
