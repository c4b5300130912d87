"""A sheet of questions for a room: same seed, same numbers, on paper or on the screen."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from splashkit import rig as rigs
from splashkit.exercises import base
from splashkit.look import escape


@dataclass(frozen=True)
class Sheet:
    """Questions and answers of one seed; shows itself in a notebook, saves itself as a page to print."""

    seed: int
    items: tuple[tuple[str, int, str, tuple[str, ...], str], ...]  # lesson, number, text, options, answer

    def _repr_html_(self) -> str:
        return f"<h2>Questions (seed {self.seed})</h2>{self._list(False)}<h2>Answers</h2>{self._list(True)}"

    def _list(self, answers: bool) -> str:
        rows = []
        for lesson, number, text, options, answer in self.items:
            listed = "".join(f"<li>{escape(option)}</li>" for option in options)
            body = escape(answer) if answers else escape(text) + (f"<ol type='a'>{listed}</ol>" if listed else "")
            rows.append(f"<p><strong>{lesson}.{number}</strong> {body}</p>")
        return "".join(rows)

    def save(self, path: str | Path) -> Path:
        """Write the sheet as a page to print; answers start on a page of their own."""
        page = (
            "<!DOCTYPE html><html lang='en'><head><meta charset='utf-8'><title>Questions</title><style>body{font:12pt "
            "sans-serif;max-width:42em;margin:2em auto}h2+p{margin-top:0}.new{break-before:page}</style></head><body>"
            f"<h1>Questions</h1><p>Seed {self.seed}</p>{self._list(False)}<h1 class='new'>Answers</h1>"
            f"<p>Seed {self.seed}</p>{self._list(True)}</body></html>"
        )
        target = Path(path)
        target.write_text(page, encoding="utf-8")
        return target


def question_sheet(seed: int, lessons: Sequence[str | int] | None = None) -> Sheet:
    """Draw the questions of some lessons (all that have any, if not said) from a seed.

    The numbers come from the seed and the demo rig, never from anyone's own rig, so that a whole
    room gets the same. ``question(lesson, which, seed=seed)`` shows the same question on the screen.
    """
    chosen = [base.lesson_name(one) for one in lessons] if lessons is not None else [
        name for name in base.LESSONS if base.has_questions(name)
    ]  # fmt: skip
    items = []
    for name in chosen:
        for number, question in enumerate(base.lesson(name).QUESTIONS, start=1):
            q = question.numbers(f"{seed}:{name}:{number}:0", rigs.demo())
            options: tuple[str, ...] = ()
            if isinstance(question, base.ChoiceQuestion):
                options = tuple(text for text, _, _ in question.options(q))
                answer = next(f"{text.rstrip('.')}. {why}" for text, right, why in question.options(q) if right)
            else:
                answer = question.written(q)
            items.append((name, number, question.text(q), options, answer))
    return Sheet(seed, tuple(items))
