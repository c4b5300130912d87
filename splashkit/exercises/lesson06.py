"""Lesson 06: how long does a drop fall?"""

from __future__ import annotations

import math
from typing import Any

from splashkit import drops, units, workings
from splashkit.drops.numbers import STANDARD_GRAVITY as G
from splashkit.exercises.base import Prediction, Question, words

PREDICTION = Prediction(
    "A drop of 4 mm falls from a nozzle 1 m above the bowl. You work out the fall with the formula from school, "
    "without air, and set the light to that time. Where is the drop in the picture?",
    (
        ("It just touches the water: a drop is too heavy for air to matter.", False,
         "It is heavy, but it also gets fast, and drag grows with speed. The picture shows it in the air."),
        ("It hangs above the water, by several times its own size.", True,
         "Air holds it back by some milliseconds. At its speed, that is many drop diameters."),
        ("It hangs above the water, by less than its own size.", False,
         "The direction is right. But a few milliseconds at this speed are many drop diameters."),
        ("It is already under water, and the crown stands.", False,
         "That would need a drop that falls faster than in empty space. Air can only hold it back."),
    ),
)  # fmt: skip


def _milliseconds(seconds: float) -> str:
    return f"{units.format_number(seconds * 1e3, 4)} ms"


_LATE = Question(
    level=1,
    draw=lambda random, rig: {
        "speed": random.choice([1.7, 2.2, 2.5, 2.7, 3.3]),
        "more": random.choice([2e-3, 3e-3, 5e-3]),
    },
    text=lambda q: (
        f"Your drop reaches the water at {words(q.speed, 'm/s')}. Since the last frame the level in the bowl has sunk "
        f"by {words(q.more, 'm')}. How much later does the drop touch?"
    ),
    answer=lambda q: q.more / q.speed,
    unit="s",
    display="ms",
    quantity="time by which the drop is later",
    slips=(
        (lambda q: q.more * q.speed, "You multiplied. A time is a distance over a speed."),
        (lambda q: math.sqrt(2 * q.more / G), "That is a fall from rest through the extra height. The drop is already "
                                              "fast when it gets there."),
        (lambda q: q.speed / q.more * 1e-6, "You divided the speed by the height. Turn it over."),
        (lambda q: q.more / q.speed / 2, "That takes twice the speed. The drop hardly speeds up in so short a way."),
    ),
    hint="The drop passes the extra height at its landing speed.",
    right=lambda q: "The higher the nozzle, the faster the drop, and the less a millimetre costs.",
    worked=lambda q: workings.get("height_cost").html(height_change=q.more, speed=q.speed),
)  # fmt: skip

_VACUUM = Question(
    level=2,
    draw=lambda random, rig: {
        "height": random.choice([0.16, 0.20, 0.24]),
        "diameter": random.choice([4e-3, 4.5e-3, 5e-3]),
    },
    text=lambda q: (
        f"The nozzle's tip is {words(q.height, 'm')} above the still water. A drop of {words(q.diameter, 'm')} lets go "
        "with its top at the tip. Its lowest point must touch. How long does it fall, if you leave out the air? Give "
        "milliseconds to one decimal; gravity is 9.807 m/s²."
    ),
    answer=lambda q: math.sqrt(2 * (q.height - q.diameter) / G),
    unit="s",
    display="ms",
    quantity="time of the fall",
    tolerance=0.002,
    slips=(
        (lambda q: math.sqrt(2 * q.height / G), "You took the whole height. The drop hangs below the tip and touches "
                                                "with its lowest point: one diameter less."),
        (lambda q: math.sqrt(2 * (q.height - q.diameter / 2) / G), "You took off half a diameter. Top at the tip, then "
                                                                   "lowest point at the water: that is a whole one."),
        (lambda q: math.sqrt(2 * (q.height - q.diameter) / 10), "You rounded gravity to 10. That is a millisecond or "
                                                                "two: too much here."),
        (lambda q: math.sqrt((q.height - q.diameter) / G), "You lost the factor 2 under the root."),
    ),
    hint="First the way from where the lowest point starts to the water. Then the root of twice the way over gravity.",
    right=lambda q: "That is the rule of contact of this course: height of the tip less one diameter.",
    worked=lambda q: (
        f"<p>Way: {words(q.height, 'm')} less {words(q.diameter, 'm')}, which is "
        f"{words(q.height - q.diameter, 'm', 4)}.</p>"
        + workings.get("fall_in_vacuum").html(digits=4, height=q.height - q.diameter, gravity=G)
    ),
)  # fmt: skip


def _draw_miss(random: Any, rig: Any) -> dict[str, float]:
    height = random.choice([0.6, 0.8, 1.0])
    diameter = random.choice([3e-3, 4e-3, 5e-3])
    time, speed = drops.fall(drops.fall_height(height, diameter), diameter)
    # as they are read in the question, so that the sum in the solution adds up
    return {"height": height, "diameter": diameter, "time": round(float(time), 4), "speed": round(float(speed), 2)}


def _early(q: Any) -> float:
    return float(q.time - round(math.sqrt(2 * (q.height - q.diameter) / G), 4))


_MISS = Question(
    level=3,
    draw=_draw_miss,
    text=lambda q: (
        f"A drop of {words(q.diameter, 'm')} from a nozzle {words(q.height, 'm')} up really touches after "
        f"{_milliseconds(q.time)}, at {words(q.speed, 'm/s')}. You set the light by the formula without air. How high "
        "above the water is the drop's lowest point in your picture? Gravity is 9.807 m/s²."
    ),
    answer=lambda q: q.speed * _early(q),
    unit="m",
    display="mm",
    quantity="height above the water",
    tolerance=0.04,
    slips=(
        (lambda q: q.speed * (q.time - math.sqrt(2 * q.height / G)), "You fell through the whole height. The lowest "
                                                                     "point starts one diameter lower."),
        (lambda q: G * _early(q) ** 2 / 2, "That is a fall from rest in that time. The drop is already at full speed."),
        (_early, "That is how much too early the light comes, in ms. Times the speed it is a height."),
        (lambda q: q.speed * _early(q) / 2, "You halved the speed. At the end of its fall the drop has all of it."),
    ),
    hint="Work out the fall without air. How much too early is it? How far does the drop move in that time?",
    right=lambda q: f"That is {units.format_number(q.speed * _early(q) / q.diameter, 2)} times its own diameter.",
    worked=lambda q: (
        workings.get("fall_in_vacuum").html(digits=4, height=q.height - q.diameter, gravity=G)
        + f"<p>The drop touches at {_milliseconds(q.time)}, so the light is {words(_early(q), 's')} early. "
        f"At {words(q.speed, 'm/s')} the drop moves {words(q.speed * _early(q), 'm')} in that time. (It still speeds "
        "up a little; that changes the answer by about one per cent.)</p>"
    ),
)  # fmt: skip

QUESTIONS = (_LATE, _VACUUM, _MISS)
