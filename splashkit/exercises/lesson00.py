"""Lesson 00: what happens between the valve's click and the picture?"""

from __future__ import annotations

from splashkit import drops
from splashkit.exercises.base import ChoiceQuestion, Prediction, Question, words

PREDICTION = Prediction(
    "A valve lets two drops go. A picture is taken of the umbrella of water that the second one makes. What takes "
    "most of the time between the valve's first click and the picture?",
    (
        ("The camera: its shutter needs the longest.", False,
         "The camera's lag runs while the drops are still falling. Most of the time belongs to the fall."),
        ("The water: the splash and its column need the longest.", False,
         "The column needs a good deal less time than the first drop needs to fall."),
        ("The fall of the first drop.", True,
         "Falling takes longest. A nozzle a little higher therefore shifts all that comes after."),
        ("The flash: it must charge and burn.", False,
         "The flash was charged before. It burns for a tiny part of the wait: that is why it freezes the water."),
    ),
)  # fmt: skip

_SUM = Question(
    level=1,
    draw=lambda random, rig: {
        "valve": random.choice([8e-3, 10e-3, 12e-3]),
        "fall": random.choice([196e-3, 216e-3, 236e-3]),
        "column": random.choice([54e-3, 60e-3, 66e-3]),
        "sheet": random.choice([6e-3, 7e-3, 8e-3]),
    },
    text=lambda q: (
        f"After its signal the valve needs {words(q.valve, 's')} to let the drop go. The drop falls for "
        f"{words(q.fall, 's')}. The column meets the second drop {words(q.column, 's')} later, and the sheet is full "
        f"{words(q.sheet, 's')} after that. When must the light come, counted from the valve's first signal?"
    ),
    answer=lambda q: q.valve + q.fall + q.column + q.sheet,
    unit="s",
    display="ms",
    quantity="moment of the light",
    tolerance=0.005,
    slips=(
        (lambda q: q.fall + q.column + q.sheet, "That counts from the release. The valve's own delay is missing."),
        (lambda q: q.valve + q.fall + q.column, "That is the meeting. The sheet is full a little later."),
        (lambda q: q.valve + q.fall, "That is when the first drop touches the water. Column and sheet come after."),
    ),
    hint="Add up the four times.",
    right=lambda q: "Each part has a lesson of its own.",
    worked=lambda q: (
        f"<p>{words(q.valve, 's')} + {words(q.fall, 's')} + {words(q.column, 's')} + {words(q.sheet, 's')} = "
        f"{words(q.valve + q.fall + q.column + q.sheet, 's')}</p>"
    ),
)  # fmt: skip

_SIGNAL = Question(
    level=2,
    draw=lambda random, rig: {
        "light": random.choice([280e-3, 294e-3, 310e-3]),
        "lag": random.choice([45e-3, 65e-3, 85e-3]),
        "travel": random.choice([3e-3, 4e-3]),
    },
    text=lambda q: (
        f"The light must come {words(q.light, 's')} after the valve's first signal. The front curtain fires the flash. "
        f"The camera's lag is {words(q.lag, 's')}, and then its curtain takes {words(q.travel, 's')} across the frame. "
        "When must the timer fire the camera?"
    ),
    answer=lambda q: q.light - q.lag - q.travel,
    unit="s",
    display="ms",
    quantity="moment of the camera's signal",
    tolerance=0.005,
    slips=(
        (lambda q: q.light + q.lag + q.travel, "You added. The camera needs its signal before the light, not after."),
        (lambda q: q.light - q.lag, "The curtain's travel is missing: the flash waits until the whole frame is open."),
        (lambda q: q.light, "The camera is slow: fired then, the picture comes too late by its whole lag."),
        (lambda q: q.light - q.lag + q.travel, "The curtain runs after the lag, so it comes off too."),
        (lambda q: q.lag + q.travel, "That is what passes between the camera's signal and the light. Take it off the "
                                     "moment of the light."),
    ),
    hint="Go back from the light: take off whatever passes between the camera's signal and the light.",
    right=lambda q: "What is slow must be told early. Lesson 04 asks which chain is the steadiest.",
    worked=lambda q: (
        f"<p>{words(q.light, 's')} − {words(q.lag, 's')} − {words(q.travel, 's')} = "
        f"{words(q.light - q.lag - q.travel, 's')}</p>"
    ),
)  # fmt: skip

_DROP = 4e-3


def _fall(nozzle: float) -> float:
    return float(drops.fall(drops.fall_height(nozzle, _DROP), _DROP).time)


_NOZZLE = ChoiceQuestion(
    level=3,
    draw=lambda random, rig: {
        "before": random.choice([0.25, 0.3, 0.35]),
        "sunk": random.choice([0.02, 0.03]),
    },
    text=lambda q: (
        f"Yesterday the nozzle stood {words(q.before, 'm')} above the water, and every frame caught the full sheet. "
        f"Overnight the arm has sunk by {words(q.sunk, 'm')}. Nobody touched the timer. What do today's frames show?"
    ),
    options=lambda q: (
        ("The same moment as yesterday.", False,
         "The timer starts at the valve, not at the water. The way down is shorter today; the light does not know it."),
        ("An earlier moment: the second drop has not yet arrived.", False,
         "The other way round. A shorter fall brings the water sooner, and the light comes when it came yesterday."),
        ("A later moment: the sheet is past its widest.", True,
         f"The drops land {words(_fall(q.before) - _fall(q.before - q.sunk), 's', 2)} sooner, the light does not. "
         "A sheet changes a lot in that time."),
        ("No sheet at all: the drops miss each other.", False,
         "Both falls are shorter by almost the same time, so the second drop still meets the column."),
    ),
    hint="Which times of the sum change when the way down gets shorter, and does the light change with them?",
    worked=lambda q: (
        f"<p>A drop of {words(_DROP, 'm')} falls for {words(_fall(q.before), 's')} from a nozzle at "
        f"{words(q.before, 'm')}, and for {words(_fall(q.before - q.sunk), 's')} from one at "
        f"{words(q.before - q.sunk, 'm')}. The splash comes sooner by the difference; the light comes when it always "
        "came, which is too late by as much.</p>"
    ),
)  # fmt: skip

QUESTIONS = (_SUM, _SIGNAL, _NOZZLE)
