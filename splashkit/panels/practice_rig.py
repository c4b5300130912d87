"""Lesson 11's first panel: a hidden rig to practise on. Set gap and delay, take a frame, read it, ask for advice."""

from __future__ import annotations

import secrets
from dataclasses import replace
from typing import Any

import ipywidgets as widgets

from splashkit import advice, practice, units
from splashkit import rig as rigs
from splashkit.belief import Belief
from splashkit.figures.base import jpeg_bytes, photo_html
from splashkit.log import Shot
from splashkit.panels.base import Panel
from splashkit.panels.controls import Control, Number, Pick, Tick
from splashkit.panels.known import SEEN_WORDS, Known, figure_state, summary, what_stood
from splashkit.panels.table import html_table

RESTING, HASTY = 60.0, 1.0  # waited between frames [s]: until the water is calm, or hardly at all
PHOTO = (450, 300)
ROWS_SHOWN = 12
CHAINS = (
    ("Front curtain: with a hidden shutter lag", "front"),
    ("Open shutter in the dark: no shutter lag", "open"),
)
ANSWERS = {"Too early": "early", "Too late": "late", "Nothing there": "nothing", "The collision": "hit"}
# why a frame is what it is, by the word and what the water shows
_WHY = {
    ("nothing", "calm"): "Empty, calm water: not even the first drop has come into view. Too early by far.",
    ("early", "calm"): "The first drop is still in the air: too early.",
    ("early", "crown"): "The first drop has just landed, and there is no column yet: too early.",
    ("early", "column"): "The column stands, and the second drop has not landed: too early.",
    ("early", "ripples"): "The column is gone, and the second drop has not landed: too early, and the gap is too long.",
    ("late", "sheet"): "The umbrella is there, some milliseconds old: this is the picture.",
    ("late", "ripples"): "The drops are gone and the column has sunk, so all is over: too late.",
    ("hit", "sheet"): "The umbrella, just born: this is the picture.",
}


def ms(value: float) -> str:
    """Write a setting of the timer, to a tenth of a millisecond."""
    return f"{units.format_number(1e3 * value, 4)} ms"


def by_eye(shot: Shot) -> str:
    """Say what anyone can see in the frame, without heights."""
    return what_stood(shot, heights=False)


def shown_as(shot: Shot) -> str:
    """Give the word for a frame: an umbrella some milliseconds old is the picture too, and not too late."""
    return "hit" if shot.surface == "sheet" else shot.seen


def why(shot: Shot) -> str:
    """Say what the frame means."""
    return _WHY.get(
        (shot.seen, shot.surface),
        "The drops are about to touch, which counts. A few milliseconds more show the umbrella.",
    )


class PracticeRig(Panel):
    """A hidden rig, its frames, their log, what they tell, and advice. A ``seed`` gives a whole class the same rig."""

    title = "Practice rig"
    lead = (
        "This rig hides its lags. Set gap and delay, press 'Take a frame', and hunt for the collision. "
        "Both times count from the first valve signal."
    )
    legend_words = (
        ("Photograph", "the last frame: what the camera recorded when the light came"),
        ("Circle", "a frame of empty, calm water"),
        ("Triangle pointing left", "a frame in which the light came before the drops met"),
        ("Triangle pointing right", "a frame in which the light came after they met"),
        ("Star among the frames", "a frame with the collision"),
        ("Plus sign", "the settings for your next frame"),
        ("Pale bar", "what was possible before any frame: 90 % of it, each bar stretched to the same length"),
        ("Dark bar", "what is still possible now, on the same scale; the upright tick is the middle"),
        ("Broken grey bar, 'not told'", "the frames have hardly narrowed this: they cannot tell it"),
        ("Star on a bar", "the hidden number, shown at the end"),
    )

    def __init__(self, rig: Any = None, after: Any = None, seed: int | None = None, chain: str = "front",
                 **start: Any) -> None:  # fmt: skip
        self._seed, self._chain = seed, chain
        self._table, self._answers = widgets.HTML(), widgets.HBox()
        super().__init__(rig, after, **start)

    def make_controls(self, rig: Any) -> list[Control]:
        """Make the controls, the buttons, and a first hidden rig."""
        self.presets = {
            "Take a frame": self._take,
            "Ask for advice": self._advise,
            "Set what was advised": self._follow,
            "Show what is hidden": self._reveal,
            "New rig": self._anew,
        }
        self._begin(self._chain)
        return [
            Number("gap", "Gap", "s", 5e-3, 0.25, 0.06, display="ms", quantity="gap between the drops"),
            Number("delay", "Delay", "s", 0.0, 0.5, 0.2, display="ms"),
            Pick("chain", "Who fires the flash (a change gives a new rig)", CHAINS, self._chain),
            Tick("wait", "Let the water come to rest before each frame", True),
        ]

    def make_figures(self) -> list[Any]:
        """Make the two figures."""
        from splashkit.figures.belief import BeliefFigure, TriedFigure

        return [TriedFigure(), BeliefFigure()]

    def _open(self, start: dict[str, Any]) -> None:
        buttons = []
        for words in (*ANSWERS, "Read it for me"):
            button = widgets.Button(description=words, tooltip=f"The last frame: {words}")
            button.on_click(lambda pressed: self.answer(pressed.description))
            buttons.append(button)
        self._answers.children = buttons
        self._answers.add_class("splash-row")
        self._answers.layout.margin = "12px 0 10px"
        super()._open(start)
        self._photos.layout.order = "-1"  # the photograph comes first
        head, controls, row, picture, note, words = self.children
        self.children = [head, controls, row, words, self._answers, picture, note, self._table]

    # the game; each button is a preset that may find new settings

    def _begin(self, chain: str) -> None:
        seed = secrets.randbelow(1_000_000) if self._seed is None else self._seed
        # on the invented rig, not the learner's: her own measured numbers would spoil the riddle
        self.game = practice.Practice(seed, rigs.demo(), chain)
        self.known = Known(Belief(self.game.rig))
        self.tried: list[practice.Tried] = []
        self.shots: list[Shot] = []
        self.pending = False  # a frame is taken and nothing is written down yet
        self.advised: advice.Advice | None = None
        self.revealed, self.caught = False, 0
        self._talk, self._photo = ("", ""), ""
        self._answers.layout.display = "none"

    def _told(self, numbers: str, verdict: str = "", **found: Any) -> dict[str, Any]:
        self._talk, self._drawn = (numbers, verdict), None
        return found

    def _take(self) -> dict[str, Any]:
        gap, delay, wait = (self.controls[name].read() for name in ("gap", "delay", "wait"))
        self._write_down()
        tried = self.game.shoot(gap, delay, RESTING if wait else HASTY)
        self.tried.append(tried)
        self.pending, self.advised = True, None
        number = len(self.tried)
        words = f"Frame {number}, with gap {ms(gap)} and delay {ms(delay)}"
        jpeg = jpeg_bytes(self.game.record(tried).screen())
        self._photo = photo_html(jpeg, f"Frame {number}: {by_eye(tried.shot)}", words, *PHOTO)
        self._answers.layout.display = ""
        unrest = " The water was still moving when the drops fell." if tried.bodies.ripples > 1e-4 else ""
        if tried.hit or tried.shot.surface == "sheet":
            self._write_down()
            self.caught = self.caught or number
            return self._told(f"{words}. {why(tried.shot)}{unrest}", self._score())
        return self._told(f"{words}.{unrest}", "What does it show? Press one of the answers below.")

    def answer(self, words: str) -> None:
        """Take the learner's word for the last frame, or read it for her."""
        self.press(lambda: self._answer(words))

    def _answer(self, words: str) -> dict[str, Any]:
        if not self.tried:
            return self._told("There is no frame yet.", "Press 'Take a frame' first.")
        shot, number = self.tried[-1].shot, len(self.tried)
        if words not in ANSWERS:
            self._write_down(shot)
            return self._told(f"Frame {number}, read with a ruler: {what_stood(shot)}. {why(shot)}", self._next())
        said = ANSWERS[words]
        shown = "hit" if self.tried[-1].hit else shown_as(shot)
        right = said == shown or (said, shown) == ("early", "nothing") or (said == shot.seen == "late")
        if not right:
            then = "It is not written down yet: answer again." if self.pending else self._next()
            return self._told(f"Not '{words.lower()}'. The frame shows {by_eye(shot)}. {why(shot)}", then)
        if self.pending:
            # only a word is written down, as most people do: heights would tell more
            brief = replace(shot, first_height=None, column_height=None, second_height=None, surface="", seen=said)
            self._write_down(shot if shown == "hit" else brief)
        return self._told(
            f"Right. {why(shot)} Written down: '{SEEN_WORDS[shown_as(self.shots[-1])]}'.",
            self._score() if shown == "hit" else "A measured height tells more: try 'Read it for me'.",
        )

    def _write_down(self, shot: Shot | None = None) -> None:
        """Put the last frame into the log; without words of her own, as a careful reader would."""
        if self.pending:
            self.shots.append(shot or self.tried[-1].shot)
            self.known.belief.add(self.shots[-1])
        elif shot is not None and self.shots and self.shots[-1] != shot:
            self.shots[-1] = shot  # better read than before: learn it all again
            self.known = Known(Belief(self.game.rig))
            self.known.belief.add(*self.shots)
        else:
            return
        self.pending, self.advised = False, None

    def _advise(self) -> dict[str, Any]:
        read = f"Frame {len(self.tried)} was read for you: {what_stood(self.tried[-1].shot)}. " if self.pending else ""
        self._write_down()
        self.advised = advice.advise(self.known.belief)
        return self._told(f"{read}Advice for frame {len(self.tried) + 1}. {self.advised.text()}",
                          "Press 'Set what was advised', then 'Take a frame'.")  # fmt: skip

    def _follow(self) -> dict[str, Any]:
        if self.advised is None:
            self._advise()
        assert self.advised is not None
        gap, delay = self.advised.gap, self.advised.delay
        return self._told(f"Set as advised: gap {ms(gap)}, delay {ms(delay)}.", "Now press 'Take a frame'.",
                          gap=gap, delay=delay)  # fmt: skip

    def _reveal(self) -> dict[str, Any]:
        self._write_down()
        self.revealed = True
        return self._told(f"Hidden were: {self.game.hidden.text()}. The rig's number is {self.game.seed}. "
                          "The stars on the bars show them.", self._score())  # fmt: skip

    def _anew(self) -> dict[str, Any]:
        if self._seed is not None:
            self._seed += 1
        self._begin(self.game.chain)
        # the old settings would tell of the old rig, or hit by chance
        return self._told("A new rig, with other hidden numbers.", "No frame taken yet.", gap=0.06, delay=0.2)

    def _score(self) -> str:
        used = f"{len(self.tried)} frame{'' if len(self.tried) == 1 else 's'} used"
        if self.caught:
            then = "Press 'New rig' to play again." if self.revealed else "Press 'Show what is hidden', or 'New rig'."
            return f"The collision was caught with frame {self.caught}. {then}"
        return f"{used}, and the collision is not caught yet."

    def _next(self) -> str:
        return self._score() if self.caught else "Change gap or delay, or ask for advice."

    # what is shown

    def compute(self, state: Any) -> Any:
        """Put together the frames so far and what they tell."""
        if state.chain != self.game.chain:
            self._begin(state.chain)
            self._talk = ("A new rig, with another chain.", "No frame taken yet.")
        talk, self._talk = self._talk, ("", "")
        bars = self.known.bars(state.gap, self.game.hidden if self.revealed else None)
        marks = [(s.delay or 0.0, s.gap or 0.0, shown_as(s)) for s in self.shots]
        if self.pending:
            last = self.tried[-1].shot
            marks.append((last.delay or 0.0, last.gap or 0.0, ""))
        made = figure_state(bars, marks, state.gap, state.delay)
        made.talk = talk
        return made

    def photos(self, state: Any, result: Any) -> list[str]:
        """Show the last frame, and write the log below."""
        self._table.value = self._rows()
        return [self._photo] if self._photo else []

    def say(self, state: Any, result: Any) -> tuple[str, str]:
        """Say what just happened; after a change of the settings, say them."""
        if result.talk[0]:
            return result.talk
        numbers = f"Next frame: gap {ms(state.gap)}, delay {ms(state.delay)}."
        return numbers, "Press 'Take a frame'." if not self.tried else self._score()

    def alt(self, state: Any, result: Any) -> str:
        """Say what the figures show."""
        return (
            f"Frames so far: {len(self.tried)}. Next frame: gap {ms(state.gap)}, delay {ms(state.delay)}. "
            f"Known of this rig, 90 % ranges: {summary(result.bars)}."
        )

    def _rows(self) -> str:
        if not self.shots:
            return ""
        rows = []
        for number, shot in list(enumerate(self.shots, 1))[-ROWS_SHOWN:]:
            cells = (ms(shot.gap or 0.0), ms(shot.delay or 0.0), f"{shot.waited or 0.0:g} s",
                     SEEN_WORDS[shown_as(shot)], what_stood(shot) or "not measured")  # fmt: skip
            rows.append((str(number), *cells))
        return html_table(("Frame", "Gap", "Delay", "Waited", "Word", "What stood"), rows, "Your log", named=True)

    def relations(self, state: Any, result: Any) -> list[tuple[Any, dict[str, float]]]:
        """Show how many frames the odds of the advice ask for."""
        odds = advice.odds_at(self.known.belief, state.gap, state.delay)
        return [("frames_to_budget", {"confidence": 0.9, "odds": min(max(odds, 0.005), 0.95)})]
