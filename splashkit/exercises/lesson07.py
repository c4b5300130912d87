"""Lesson 07: what does the first drop do to the water?"""

from __future__ import annotations

import math
from typing import Any

from splashkit import drops, splash, units, workings
from splashkit.drops.numbers import STANDARD_GRAVITY as G
from splashkit.exercises.base import Prediction, Question, words

PREDICTION = Prediction(
    "A drop of 4 mm falls 25 cm into a bowl of still water. The column that rises in the middle is to be caught at its "
    "highest. How long after the drop's first touch must the light fire?",
    (
        ("At once: the water jumps up as the drop goes in.", False,
         "What jumps up at once is the crown, a ring round a growing crater. The column comes later."),
        ("After about a hundredth of a second, when the crown is highest.", False,
         "That is the crown's time. In the middle there is a deep crater then, and no column at all."),
        ("After about six hundredths of a second, once the crater has closed.", True,
         "The crater opens, closes, and only then throws the column up. All that takes time."),
        ("After about half a second, when everything has calmed down.", False,
         "By then the column has long fallen back, and rings run over the bowl."),
    ),
)  # fmt: skip

_CROWN = Question(
    level=1,
    draw=lambda random, rig: {
        "diameter": random.choice([3e-3, 4e-3, 5e-3]),
        "speed": random.choice([2.0, 2.2, 2.7]),
        "times": random.choice([2.6, 4.0, 9.0]),
    },
    text=lambda q: (
        f"One source says that the crown stands highest {units.format_number(q.times)} times diameter over speed "
        f"after contact. Your drop is {words(q.diameter, 'm')} and lands at {words(q.speed, 'm/s')}. When is that?"
    ),
    answer=lambda q: q.times * q.diameter / q.speed,
    unit="s",
    display="ms",
    quantity="time of the crown",
    slips=(
        (lambda q: q.diameter / q.speed, "That is one time of diameter over speed: the drop's own way in."),
        (lambda q: q.times * q.diameter / 2 / q.speed, "You took the radius. The rule is written with the diameter."),
    ),
    hint="Diameter over speed is the time the drop needs to pass its own length. Take it so many times.",
    right=lambda q: "Another source would give you another number. Try a few delays.",
    worked=lambda q: (
        f"<p>Diameter over speed: {words(q.diameter / q.speed, 's')}. Times {units.format_number(q.times)}: "
        f"{words(q.times * q.diameter / q.speed, 's')}.</p>"
    ),
)  # fmt: skip


def _draw_scaled(random: Any, rig: Any) -> dict[str, float]:
    diameter = random.choice([4e-3, 5e-3])
    lower, upper = random.choice([(0.20, 0.25), (0.25, 0.30), (0.20, 0.30)])
    time, speeds = drops.fall(drops.fall_height([lower, upper], diameter), diameter)
    tops = [float(splash.first_drop(diameter, speed).column_peak_time.value) for speed in speeds]
    share = random.choice([0.82, 0.85, 1.15])
    seen = round(tops[0] * share * 1e3) / 1e3
    return {"diameter": diameter, "lower": lower, "upper": upper, "model": round(tops[0], 3), "seen": seen,
            "then": round(tops[1], 3), "fall": round(float(time[1]), 3)}  # fmt: skip


_SCALED = Question(
    level=2,
    draw=_draw_scaled,
    text=lambda q: (
        f"Your drops are {words(q.diameter, 'm')}. From {words(q.lower, 'm')} the model puts the column's top "
        f"{words(q.model, 's')} after contact. Your frames show it at {words(q.seen, 's')}. You raise the nozzle to "
        f"{words(q.upper, 'm')}. The fall then takes {words(q.fall, 's')}, and the model's top is "
        f"{words(q.then, 's')} after contact. Correct the splash by what you saw. How long after the drop's release "
        "should the light fire?"
    ),
    answer=lambda q: q.fall + q.then * q.seen / q.model,
    unit="s",
    display="ms",
    quantity="delay",
    tolerance=0.006,
    slips=(
        (lambda q: q.fall + q.then, "You took the model as it stands. Your own frames know better."),
        (lambda q: (q.fall + q.then) * q.seen / q.model, "You corrected the fall too. Only the splash was off."),
        (lambda q: q.then * q.seen / q.model, "That is counted from contact. Add the fall."),
        (lambda q: q.fall + q.then * q.model / q.seen, "You corrected the wrong way round: seen over model."),
        (lambda q: q.fall + q.seen, "That is the old height's top. The column takes longer from higher up."),
    ),
    hint="Scale the model's new time by seen over model. Then add the fall.",
    right=lambda q: "One measured frame is worth more than any formula here.",
    worked=lambda q: (
        f"<p>Seen over model: {units.format_number(q.seen / q.model)}. Corrected top: "
        f"{words(q.then * q.seen / q.model, 's')} after contact. With the fall of {words(q.fall, 's')}: "
        f"{words(q.fall + q.then * q.seen / q.model, 's', 4)} after release.</p>"
    ),
)  # fmt: skip

_DENSITY, _TENSION = 998.0, 0.0727


def _start(depth: float, wavenumber: float = 3.1, tension: float = _TENSION) -> float:
    k = wavenumber / depth
    return math.pi / math.sqrt(G * k + tension / _DENSITY * k**3)


_START = Question(
    level=3,
    draw=lambda random, rig: {"depth": random.choice([7e-3, 8e-3, 9e-3, 10e-3])},
    text=lambda q: (
        f"A crater in water is {words(q.depth, 'm')} deep at its deepest. The column starts after half a period of the "
        "wave that fits it: k is 3.1 over the depth, and the time is π over the root of g·k + (σ/ρ)·k³. Take g = "
        f"9.807 m/s², σ = {_TENSION * 1e3:.1f} mN/m, ρ = {_DENSITY:.0f} kg/m³. When does the column start?"
    ),
    answer=lambda q: _start(q.depth),
    unit="s",
    display="ms",
    quantity="start of the column",
    slips=(
        (lambda q: 2 * _start(q.depth), "That is the whole period, back to a crater. Half of it is asked."),
        (lambda q: _start(q.depth, tension=0.0), "You left out surface tension. It closes a small crater sooner."),
        (lambda q: _start(q.depth) / math.pi, "You lost the π: half a swing is π, not 1."),
        (lambda q: _start(q.depth, 1.0), "You took k as one over the depth. It is 3.1 over the depth."),
    ),
    hint="Work in metres and newtons. First k, then both terms under the root: they are of the same size.",
    right=lambda q: "Both terms matter here. That is why soap and milk delay the column.",
    worked=lambda q: workings.get("column_start").html(
        gravity=G, depth=q.depth, surface_tension=_TENSION, density=_DENSITY
    ),
)  # fmt: skip

QUESTIONS = (_CROWN, _SCALED, _START)
