"""Lesson 11's second panel: the learner's own shot log, what it tells, and advice from her own frames."""

from __future__ import annotations

import base64
from types import SimpleNamespace
from typing import Any

import ipywidgets as widgets

from splashkit import advice, log, store
from splashkit import rig as rigs
from splashkit.belief import Belief
from splashkit.look import escape
from splashkit.panels import frame_entry as entry
from splashkit.panels.base import Panel
from splashkit.panels.controls import Control
from splashkit.panels.known import SEEN_WORDS, Known, figure_state, summary, what_stood
from splashkit.panels.practice_rig import ms
from splashkit.panels.table import html_table

ROWS_SHOWN = 15
HOW = {  # where a measurement is made, for those without an aid of their own
    "column_time": "Film one splash, and write its times under 'Show: events of a slow-motion clip'.",
    "column_height": "Log one frame with the column's height in its box.",
    "jitter": "Take ten frames at one setting, with a height in each, and log them all.",
}
HIDDEN_AT_FIRST = ("shutter_lag", "shutter_lag_spread", "valve_delay", "valve_delay_spread", "release_speed")


def own_rig() -> tuple[rigs.Rig, str]:
    """Give the learner's rig with its blanks, or the invented one with its timing blanked, and what to say of it."""
    found, problem = rigs.load_or_demo()
    if found.invented:
        blank = found.with_values(**dict.fromkeys(HIDDEN_AT_FIRST))
        return blank, problem or "No rig of yours is saved, so sizes and heights are invented: lesson 00 has the form."
    return found, problem


class ShotLog(Panel):
    """Add a frame, see the log, ask for advice, mend or take out a row, download and upload; advice writes nothing."""

    title = "My shot log"
    lead = (
        "One row a frame: what you set, and what you saw. Leave blank what you did not note. "
        "Heights count from the still water up, to a drop's middle or the column's top."
    )
    legend_words = (
        ("Marks", "your frames at their gap and delay; the kind of mark says what was seen"),
        ("Cross", "a frame logged without a word"),
        ("Plus sign", "the settings in the two boxes now"),
        ("Pale bar", "what your rig's numbers and common practice allowed before any frame: 90 % of it"),
        ("Dark bar", "what your frames leave possible; the upright tick is the middle"),
        ("Broken grey bar, 'not told'", "your frames have hardly narrowed this: measure it another way"),
    )

    def __init__(self, rig: Any = None, after: Any = None, **start: Any) -> None:
        self._given, self._table, self._file, self._told_words = rig, widgets.HTML(), widgets.HTML(), ("", "")
        super().__init__(rig, after, **start)

    def make_controls(self, rig: Any) -> list[Control]:
        """Make the controls and the buttons, and read the log."""
        self.presets = {
            "Save this frame": self._save,
            "Ask for advice": self._advise,
            "Set what was advised": self._follow,
            "What would help most?": self._help,
            "Take this row out": self._take_out,
        }
        self.groups = entry.groups()
        self._read_disk()
        made = [control for group in self.groups.values() for control in group]
        next(control for control in made if control.name == "row").on_change(self._row_picked)
        return made

    def make_figures(self) -> list[Any]:
        """Make the two figures."""
        from splashkit.figures.belief import BeliefFigure, TriedFigure

        return [TriedFigure(), BeliefFigure()]

    def _open(self, start: dict[str, Any]) -> None:
        super()._open(start)
        head, _, row, picture, note, words = self.children
        boxes = []
        for name, group in self.groups.items():
            grid = widgets.Box([control.widget for control in group]).add_class("splash-controls")
            if name in entry.FOLDED:
                grid.layout.display = "none"
                button = widgets.Button(description=f"Show: {name}")
                button.on_click(lambda pressed, grid=grid, name=name: _fold(pressed, grid, name))
                boxes.append(widgets.HBox([button]).add_class("splash-row"))
            boxes.append(grid)
        self.uploader = widgets.FileUpload(
            accept=".csv", multiple=False, description="Put a shots.csv from this computer in the log's place",
            layout=widgets.Layout(width="auto"),
        )  # fmt: skip
        self.uploader.observe(self._uploaded, "value")
        files = widgets.HBox([self.uploader]).add_class("splash-row")
        self._picture.layout.margin = "12px 0 0"
        self.children = [head, *boxes, row, words, picture, note, self._table, self._file, files]

    # the log on the disk

    def _read_disk(self) -> None:
        self._rig: rigs.Rig
        self._rig, self._rig_words = (self._given, "") if self._given is not None else own_rig()
        held = log.load()
        self.shots, self.problems = list(held.shots), held.problems
        try:
            self.known = Known(Belief(self._rig))
        except ValueError as refusal:  # such as drops too small for the splash: frames are logged all the same
            self.known = Known(Belief(rigs.demo().with_values(**dict.fromkeys(HIDDEN_AT_FIRST))))
            self._rig_words = f"{refusal} Until then the advice is that of the invented rig.".strip()
        self.known.belief.add_log(self.shots)
        self.advised: advice.Advice | None = None

    def _again(self) -> None:
        """Read the log again and renew the list of rows."""
        self._read_disk()
        picked = self.controls["row"]
        picked.options = entry.row_options(self.shots)  # type: ignore[attr-defined]
        picked.choice.options = picked.options  # type: ignore[attr-defined]
        picked.set(0)

    def _clear(self) -> None:
        for name in entry.CLEARED:
            self.controls[name].set("")

    def _told(self, numbers: str, verdict: str = "", **found: Any) -> dict[str, Any]:
        self._told_words, self._drawn = (numbers, verdict), None
        return found

    def _state(self) -> Any:
        return SimpleNamespace(**{name: control.read() for name, control in self.controls.items()})

    def _save(self) -> dict[str, Any]:
        state = self._state()
        shot = entry.shot_of(state, self._rig)
        old = self.shots[state.row - 1] if state.row else None
        with self.one_draw():
            said = log.correct(old, entry.merged(old, shot)) if old is not None else log.append(entry.stamped(shot))
            self._again()
            self._clear()
            stood = what_stood(shot) or "no height"
            self._told(f"{said} It holds gap {ms(state.gap)}, delay {ms(state.delay)}, "
                       f"{SEEN_WORDS[shot.seen] or 'no word'}, {stood}.", self._count())  # fmt: skip
        return {}

    def _take_out(self) -> dict[str, Any]:
        row = self.controls["row"].read()
        if not row:
            return self._told("No row is chosen.", "Choose one in the list 'Row'; the last version of the log is kept.")
        with self.one_draw():
            said = log.correct(self.shots[row - 1], None)
            self._again()
            self._clear()
            self._told(f"Row {row}: {said} The log before this change is kept in {log.FILE_NAME}.previous.",
                       self._count())  # fmt: skip
        return {}

    def upload(self, data: bytes) -> None:
        """Put an uploaded log in the place of the one on the disk; a damaged one changes nothing."""

        def read() -> dict[str, Any]:
            said = log.upload(data)
            with self.one_draw():
                self._again()
                self._told(said, self._count())
            return {}

        self.press(read)

    def _uploaded(self, change: Any) -> None:
        for file in change["new"] or ():
            self.upload(bytes(file["content"]))

    # advice

    def _advise(self) -> dict[str, Any]:
        self.advised = advice.advise(self.known.belief)
        keepers = int(self.controls["keepers"].read())
        found = self.advised
        frames = None
        if found.odds > 0.02:
            frames = advice.frames_for(self.known.belief, found.gap, found.delay, keepers)
        budget = advice.budget_words(found.odds, frames, keepers)
        count = len(self.shots)
        start = f"From your {count} frame{'' if count == 1 else 's'}" if count else "Before any frame of yours"
        return self._told(
            f"{start}: {found.words()}{budget}{self._doubts()}", "Press 'Set what was advised' to fill them in."
        )

    def _doubts(self) -> str:
        doubted = self.known.belief.doubtful()
        rows = [str(row) for row, shot in enumerate(self.shots, 1) if any(shot is one for one in doubted)]
        if not rows:
            return ""
        named = f"Row {rows[0]} does" if len(rows) == 1 else f"Rows {', '.join(rows)} do"
        return f" {named} not fit the others, and counts for little: look at the picture again."

    def _follow(self) -> dict[str, Any]:
        if self.advised is None:
            self._advise()
        assert self.advised is not None
        gap, delay = self.advised.gap, self.advised.delay
        return self._told(f"Set as advised: gap {ms(gap)}, delay {ms(delay)}.", "Shoot it, and write what you see.",
                          gap=gap, delay=delay, row=0)  # fmt: skip

    def _help(self) -> dict[str, Any]:
        best = advice.worth_measuring(self.known.belief)[0]
        if best.odds_then < best.odds_now + 0.02:
            return self._told("No single measurement would lift the odds by much now.", "Take the next advised frame.")
        return self._told(best.text, HOW.get(best.name, "The measuring aids below show how."))

    # what is shown

    def compute(self, state: Any) -> Any:
        """Check the frame in the boxes, and put together what the log tells."""
        talk, self._told_words = self._told_words, ("", "")
        shot = entry.shot_of(state, self._rig) if not talk[0] else log.Shot()
        marks = [(s.delay, s.gap, s.seen) for s in self.shots if s.delay is not None and s.gap is not None]
        made = figure_state(self.known.bars(state.gap), marks, state.gap, state.delay)
        made.talk, made.shot = talk, shot
        self._table.value = self._rows()
        self._file.value = self._link()
        return made

    def _row_picked(self) -> None:
        """Put a logged row into the boxes, to be mended."""
        row = self.controls["row"].asked() if self.controls else 0
        if isinstance(row, int) and 0 < row <= len(self.shots):
            self._hold += 1  # the row's own change draws
            for name, value in entry.boxes_of(self.shots[row - 1]).items():
                self.controls[name].set(value)
            self._hold -= 1

    def say(self, state: Any, result: Any) -> tuple[str, str]:
        """Say what just happened, or what the boxes hold."""
        if result.talk[0]:
            return result.talk
        shot = result.shot
        seen = ", ".join(part for part in (SEEN_WORDS[shot.seen], what_stood(shot)) if part)
        what = f"row {state.row}, changed:" if state.row else "a new row:"
        numbers = f"In the boxes: {what} gap {ms(state.gap)}, delay {ms(state.delay)}; {seen or 'nothing noted yet'}."
        said = " ".join(part for part in (numbers, self._trouble(), self._rig_words) if part)
        return said, f"Not saved yet. {self._count()}"

    def _trouble(self) -> str:
        more = f" ({len(self.problems)} such lines.)" if len(self.problems) > 1 else ""
        return f"{self.problems[0]}{more}" if self.problems else ""

    def _count(self) -> str:
        count = len(self.shots)
        return f"The log holds {count} frame{'' if count == 1 else 's'}."

    def alt(self, state: Any, result: Any) -> str:
        """Say what the figures show."""
        return (
            f"{self._count()} Settings in the boxes: gap {ms(state.gap)}, delay {ms(state.delay)}. "
            f"Known of this rig, 90 % ranges: {summary(result.bars)}."
        )

    def _rows(self) -> str:
        """Write the latest rows as a table."""
        if not self.shots:
            return "<p>The log is empty.</p>"
        rows = []
        for number, shot in list(enumerate(self.shots, 1))[-ROWS_SHOWN:]:
            gap, delay = ("" if value is None else ms(value) for value in (shot.gap, shot.delay))
            events = len(shot.clip_events)
            clip = f"{events} event{'' if events == 1 else 's'}" if events else ""
            cells = (gap, delay, SEEN_WORDS[shot.seen], what_stood(shot), clip, shot.note[:80])
            rows.append((str(number), *cells))
        less = f" (the last {ROWS_SHOWN} of {len(self.shots)} rows)" if len(self.shots) > ROWS_SHOWN else ""
        head = ("Row", "Gap", "Delay", "Word", "What stood", "Clip", "Note")
        return html_table(head, rows, f"Log{less}", named=True)

    @staticmethod
    def _link() -> str:
        try:
            data = base64.b64encode(log.download()).decode("ascii")
        except (OSError, store.SaveProblem) as problem:
            return f"<p>{escape(str(problem))}</p>"
        return (
            f'<a style="text-decoration:underline" download="{log.FILE_NAME}" href="data:text/csv;base64,{data}">'
            f"Download the log as {log.FILE_NAME}, for any spreadsheet</a>"
        )


def _fold(button: Any, grid: Any, name: str) -> None:
    hidden = grid.layout.display == "none"
    grid.layout.display = "" if hidden else "none"
    button.description = f"{'Hide' if hidden else 'Show'}: {name}"
