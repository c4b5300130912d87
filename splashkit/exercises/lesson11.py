"""Lesson 11: what do my test frames say?"""

from __future__ import annotations

from typing import Any

from splashkit import workings
from splashkit.exercises.base import Prediction, Question, words

PREDICTION = Prediction(
    "You have a new rig. You know neither its shutter lag nor its valve's delay. Your first frame shows calm, empty "
    "water. How do you find the collision in the fewest frames?",
    (
        ("Keep the settings and shoot a hundred frames: one of them will hit.", False,
         "The settings are wrong by far more than they scatter. A hundred equal frames tell hardly more than one."),
        ("Go through the delays in steps of two milliseconds until the collision shows.", False,
         "That finds it in the end. But an unknown lag makes it dozens of steps, and each needs calm water."),
        ("Take large steps until a drop shows, read its height, and work out the rest.", True,
         "A falling drop is a clock. One height tells when the light came, to a millisecond. Two or three more frames "
         "settle the rest."),
        ("First measure lag and valve delay separately, each with its own test.", False,
         "It works, but costs frames. The timing needs only their difference, and one frame of a drop tells that."),
    ),
)  # fmt: skip


def _fallen(q: Any) -> float:
    return float(workings.get("fall_in_vacuum").value(height=q.nozzle - 0.002 - q.seen, gravity=9.81))


_LAG = Question(
    level=1,
    draw=lambda random, rig: {
        "nozzle": random.choice([0.20, 0.25, 0.30]),
        "seen": random.choice([0.012, 0.018, 0.025]),
        "delay": random.choice([0.125, 0.135, 0.145]),
        "valve": random.choice([0.010, 0.012, 0.015]),
    },
    text=lambda q: (
        f"The nozzle hangs {words(q.nozzle, 'm')} above the water. Your frame shows the first drop, its middle "
        f"{words(q.seen, 'm')} above the water: to get there it fell for {words(_fallen(q), 's', 4)}. The valve lets "
        f"go {words(q.valve, 's')} after its signal, and your delay was {words(q.delay, 's')}. How long is the lag "
        "from the camera's signal to the light?"
    ),
    answer=lambda q: q.valve + _fallen(q) - q.delay,
    unit="s",
    display="ms",
    quantity="lag",
    tolerance=0.01,
    slips=(
        (lambda q: _fallen(q) - q.delay, "You left the valve out: the drop lets go a little after its signal."),
        (lambda q: _fallen(q) - q.valve - q.delay, "The valve's delay makes the light's moment later, so it is added."),
        (lambda q: q.valve + _fallen(q), "That is the light's moment. The camera was only fired when the delay was "
                                         "over: take it off."),
        (lambda q: q.valve + _fallen(q) + q.delay, "You added the delay. It was already over when the camera was "
                                                   "fired: take it off."),
    ),
    hint="Valve's delay plus fall is the light's moment. The delay you set is a part of it; the lag is the rest.",
    right=lambda q: "One frame, and the largest unknown of a new rig is known to a millisecond.",
    worked=lambda q: workings.get("lag_from_frame").html(valve_delay=q.valve, fall_time=_fallen(q), delay=q.delay),
)  # fmt: skip


def _grown(q: Any) -> float:
    size = workings.get("drop_from_weighing").value
    before, after = (float(size(mass=m, density=998.0, count=q.count)) for m in (q.before, q.after))
    return (after - before) * 1e4 * q.per_tenth


_WEIGHED = Question(
    level=2,
    draw=lambda random, rig: {
        "count": 100,
        "before": random.choice([3.0e-3, 3.2e-3, 3.4e-3]),
        "after": random.choice([3.9e-3, 4.2e-3, 4.5e-3]),
        "per_tenth": random.choice([1.3e-3, 1.4e-3, 1.5e-3]),
    },
    text=lambda q: (
        f"Last week {q.count} drops of water weighed {words(q.before, 'kg')}; today they weigh {words(q.after, 'kg')}. "
        f"Each tenth of a millimetre of diameter makes the meeting {words(q.per_tenth, 's')} later. Water weighs "
        "998 kg/m³. How much later do your drops meet?"
    ),
    answer=_grown,
    unit="s",
    display="ms",
    quantity="change of the meeting",
    slips=(
        (lambda q: (q.after / q.before - 1) * 4e-3 * 1e4 * q.per_tenth, "You let the diameter grow as the mass does. "
         "Mass grows with the cube of the diameter: take cube roots."),
        (lambda q: _grown(q) / q.per_tenth * 1e-3, "That is the growth in tenths of a millimetre. Multiply by what one "
                                                   "tenth changes."),
        (lambda q: 2 ** (1 / 3) * _grown(q), "Your ball is too large: its mass is density times π/6 times the "
                                             "diameter's cube."),
        (lambda q: _grown(q) / 2, "You took radii. The change is given for the diameter."),
    ),
    hint="Diameter before and after from the scale, their difference in tenths of a millimetre, times the change each.",
    right=lambda q: "The cube root is kind: a scale that is 3 % wrong makes the diameter only 1 % wrong.",
    worked=lambda q: (
        workings.get("drop_from_weighing").html(mass=q.before, density=998.0, count=q.count)
        + workings.get("drop_from_weighing").html(mass=q.after, density=998.0, count=q.count)
        + f"<p>The difference in tenths of a millimetre, times {words(q.per_tenth, 's')}, is "
        f"{words(_grown(q), 's')}.</p>"
    ),
)  # fmt: skip


def _frames(q: Any, sure: float = 0.9) -> float:
    return float(workings.get("frames_to_budget").value(confidence=sure, odds=q.odds))


_BUDGET = Question(
    level=3,
    draw=lambda random, rig: {
        "odds": random.choice([0.02, 0.03, 0.04]),
        "better": random.choice([0.3, 0.4]),
        "wait": random.choice([30, 40, 45]),  # s, rest and handling
    },
    text=lambda q: (
        f"Your odds are {100 * q.odds:.0f} % a frame, and each frame takes {q.wait} s, with the rest of the water in "
        f"it. You want to be 90 % sure of one keeper. Steadying the light would lift the odds to "
        f"{100 * q.better:.0f} %. How many minutes of shooting would that save you? (Do not round the frames.)"
    ),
    answer=lambda q: (_frames(q) - _frames(_with(q, q.better))) * q.wait,
    unit="s",
    display="min",
    quantity="time saved",
    slips=(
        (lambda q: (1 / q.odds - 1 / q.better) * q.wait, "One over the odds is the average wait. To be 90 % sure "
                                                              "takes more than twice as long."),
        (lambda q: (_frames(q) - _frames(_with(q, q.better))) * 60, "Those are frames. Each takes less than a minute."),
        (lambda q: _frames(q) * q.wait, "That is the whole time at the old odds. Take the time at the new odds "
                                             "off."),
        (lambda q: (0.9 / q.odds - 0.9 / q.better) * q.wait, "Odds do not add up frame by frame. What multiplies "
                                                                  "is the chance of no hit at all."),
    ),
    hint="The chance of no hit in N frames is (1 − p) to the power N. Set it to one tenth, for both odds.",
    right=lambda q: "And each further keeper saves time again: a steadier light soon pays for itself.",
    worked=lambda q: (
        workings.get("frames_to_budget").html(confidence=0.9, odds=q.odds)
        + workings.get("frames_to_budget").html(confidence=0.9, odds=q.better)
        + f"<p>The difference is {_frames(q) - _frames(_with(q, q.better)):.1f} frames, at {q.wait} s each "
        f"{(_frames(q) - _frames(_with(q, q.better))) * q.wait / 60:.0f} minutes.</p>"
    ),
)  # fmt: skip


def _with(q: Any, odds: float) -> Any:
    return type(q)(**{**vars(q), "odds": odds})


QUESTIONS = (_LAG, _WEIGHED, _BUDGET)
