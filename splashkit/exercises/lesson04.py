"""Lesson 04: front curtain, rear curtain, open flash: who fires whom?"""

from __future__ import annotations

import math

from splashkit import units, workings
from splashkit.exercises.base import Prediction, Question, words

PREDICTION = Prediction(
    "Your camera is moody: its shutter lag varies by a few milliseconds from frame to frame. You photograph the same "
    "falling drop ten times in a dark room. In which chain does the drop stay in one place?",
    (
        ("Front curtain: the flash fires as soon as the frame is open, before anything can go wrong.", False,
         "The frame opens late when the lag is long, and the flash waits for it. The whole lag is in that chain."),
        ("Rear curtain: by the end of the exposure, the lag has evened out.", False,
         "A late start makes a late end. The whole lag is in that chain, and the shutter time on top."),
        ("Open flash: the timer fires the flash itself, on a shutter that already stands open.", True,
         "The shutter opened long before. Its lag is over and plays no part; cable and flash are steady."),
        ("In none: the flash is as unsteady as the camera.", False,
         "From its trigger to its light a flash varies by millionths of a second. The camera is the moody part."),
    ),
)  # fmt: skip


def _ms(time: float) -> str:
    return f"{units.format_number(1e3 * time)} ms"  # 0.9 ms, to be added to 1.6 ms without a change of unit


_SET = Question(
    level=1,
    draw=lambda random, rig: {
        "moment": random.choice([0.22, 0.25, 0.28, 0.31]),
        "lag": random.choice([0.045, 0.06, 0.075]),
        "travel": random.choice([3e-3, 4e-3]),
        "small": 0.1e-3,
    },
    text=lambda q: (
        f"You want the light {words(q.moment, 's')} after the valve's signal. The timer fires the camera, and the "
        f"front curtain fires the flash. Shutter lag {words(q.lag, 's')}, curtain travel {words(q.travel, 's')}, cable "
        f"and flash together {_ms(q.small)}. Which delay do you set on the timer?"
    ),
    answer=lambda q: q.moment - q.lag - q.travel - q.small,
    unit="s",
    display="ms",
    quantity="delay",
    slips=(
        (lambda q: q.moment - q.lag - q.small, "You left the curtain out: the flash waits until it has crossed."),
        (lambda q: q.moment + q.lag + q.travel + q.small, "You added the lag. The camera must be fired earlier, so "
                                                          "its delays come off."),
        (lambda q: q.moment - q.travel - q.small, "You left the shutter lag out, the longest part of all."),
        (lambda q: q.moment - q.small, "That is for open flash: with the camera in the chain, lag and curtain come "
                                       "off too."),
        (lambda q: q.lag + q.travel + q.small, "That is what passes between the camera's signal and the light. Take it "
                                               "off the moment you want."),
    ),
    tolerance=0.002,
    hint="Everything between the timer's signal and the light comes off the moment you want.",
    right=lambda q: "Change the lens or the mode, and the lag may change: look again.",
    worked=lambda q: (
        "<p>From the camera's signal to the light:</p>"
        + workings.get("front_light").html(link=0.0, shutter_lag=q.lag, curtain_travel=q.travel, flash_delay=q.small)
        + f"<p>The delay to set is {words(q.moment, 's')} less that: "
        f"{words(q.moment - q.lag - q.travel - q.small, 's', 4)}.</p>"
    ),
)  # fmt: skip

_LATER = Question(
    level=2,
    draw=lambda random, rig: {
        "exposure": random.choice([1 / 60, 1 / 30, 1 / 15, 1 / 8]),
        "travel": random.choice([3e-3, 3.5e-3]),
        "margin": 0.5e-3,
    },
    text=lambda q: (
        f"With the front curtain all fits. Now you switch to the rear curtain and leave the timer alone. The shutter "
        f"time is {units.format_shutter(q.exposure)}, the curtain travel {words(q.travel, 's')}, and the flash fires "
        f"{_ms(q.margin)} before the rear curtain starts. How much later does the light come?"
    ),
    answer=lambda q: q.exposure - q.travel - q.margin,
    unit="s",
    display="ms",
    quantity="time by which the light is late",
    slips=(
        (lambda q: q.exposure, "The front curtain's flash was late too, by the curtain's travel. Compare the two."),
        (lambda q: q.exposure - q.margin, "The front curtain's flash was late too, by the curtain's travel."),
        (lambda q: q.exposure + q.travel - q.margin, "The rear curtain's flash fires before that curtain travels, so "
                                                     "no travel is added."),
        (lambda q: q.exposure - q.travel, "Close: the flash also fires a little before the rear curtain starts."),
    ),
    tolerance=0.003,  # the margin left out must not pass
    hint="Count both from the start of the front curtain: one flash at its arrival, the other near the end.",
    right=lambda q: f"A drop at 2.2 m/s falls {words(2.2 * (q.exposure - q.travel - q.margin), 'm', 2)} in that time.",
    worked=lambda q: workings.get("rear_less_front").html(
        exposure_time=q.exposure, curtain_travel=q.travel, margin=q.margin
    ),
)  # fmt: skip

_SPREAD = Question(
    level=3,
    draw=lambda random, rig: {
        "lag": random.choice([0.8e-3, 1.2e-3, 1.6e-3]),
        "valve": random.choice([0.7e-3, 0.9e-3]),
        "speed": random.choice([2.0, 2.2, 2.5]),
    },
    text=lambda q: (
        f"The shutter lag scatters by {_ms(q.lag)} and the valve by {_ms(q.valve)}; neither knows of the "
        f"other. The drop falls at {words(q.speed, 'm/s')}. By how much does its place in the frame scatter, "
        "measured on the drop's way? (All are spreads: one standard deviation.)"
    ),
    answer=lambda q: q.speed * math.hypot(q.lag, q.valve),
    unit="m",
    display="mm",
    quantity="scatter of the drop's place",
    slips=(
        (lambda q: q.speed * (q.lag + q.valve), "You added the spreads. Late and early often cancel: add their "
                                                "squares, then take the root."),
        (lambda q: q.speed * q.lag, "You took the lag alone. The valve scatters too."),
        (lambda q: q.speed * q.valve, "You took the valve alone. The shutter lag scatters too."),
        (lambda q: math.hypot(q.lag, q.valve), "That is the scatter in time, in ms. Times the drop's speed it is a "
                                               "way."),
        (lambda q: q.speed * abs(q.lag - q.valve), "You subtracted the spreads. Two sources never make less scatter."),
        (lambda q: q.speed * (q.lag + q.valve) / 2, "You took the mean. Two sources scatter more than either alone."),
    ),
    hint="Square both spreads, add, take the root. Then speed times time.",
    right=lambda q: f"With open flash only the valve is left: {words(q.speed * q.valve, 'm', 2)}.",
    worked=lambda q: (
        f"<p>Spreads add as squares: √(({_ms(q.lag)})² + ({_ms(q.valve)})²) = "
        f"{_ms(math.hypot(q.lag, q.valve))}.</p><p>Times {words(q.speed, 'm/s')} makes "
        f"{words(q.speed * math.hypot(q.lag, q.valve), 'm')}.</p>"
    ),
)  # fmt: skip

QUESTIONS = (_SET, _LATER, _SPREAD)
