"""Lesson 03: does a fast shutter speed freeze the drop?"""

from __future__ import annotations

import math

from splashkit import units, workings
from splashkit.exercises.base import Prediction, Question, words

PREDICTION = Prediction(
    "The same falling drop is taken twice. Once at 1/8000 s with high-speed sync, where the flash flickers tens of "
    "thousands of times a second. Once at 1/250 s in a dark room, with one flash at its lowest power. How does the "
    "drop look at 1/8000 s, beside the other?",
    (
        ("Sharper, because 1/8000 s is so much shorter than 1/250 s.", False,
         "In the dark the shutter time does not count. The weak flash is on for a far shorter time than 1/8000 s."),
        ("Sharper, because each flicker is only a few millionths of a second long.", False,
         "Each row is lit by several pulses, one after another. It is lit for 1/8000 s in all, and the drop moves on."),
        ("Softer, and flatter than it is.", True,
         "Each row is lit for longer than the weak flash lasts. And the rows are lit one after another, while the drop "
         "falls on."),
        ("As a row of drops, one below the other, one for each flicker.", False,
         "Between two pulses the drop moves a few hundredths of a millimetre. They run together into one smear."),
    ),
)  # fmt: skip

_BURN = Question(
    level=1,
    draw=lambda random, rig: {
        "exposure": random.choice([1 / 500, 1 / 1000, 1 / 2000, 1 / 4000]),
        "travel": random.choice([2.5e-3, 3e-3, 3.5e-3]),
    },
    text=lambda q: (
        f"Your curtains take {words(q.travel, 's')} to cross the frame. You use high-speed sync at "
        f"{units.format_shutter(q.exposure)}, and the flash burns just long enough. What share of the burn's light "
        "does each row get, in %?"
    ),
    answer=lambda q: q.exposure / (q.exposure + q.travel),
    unit="1",
    display="%",
    quantity="share of the light",
    slips=(
        (lambda q: q.exposure / q.travel, "The flash must also burn while the last rows are still open. It burns for "
                                          "the shutter time and the curtain travel together."),
        (lambda q: q.travel / (q.exposure + q.travel), "That is the share a row does not get."),
        (lambda q: math.sqrt(q.exposure / (q.exposure + q.travel)), "That is the factor for the guide number. Asked "
                                                                    "is the share of the light."),
    ),
    hint="A row is open for the shutter time. The flash burns for the shutter time plus the curtain travel.",
    right=lambda q: f"That is {units.format_number(-math.log2(q.exposure / (q.exposure + q.travel)), 2)} stops less "
                    "than the same light in one flash.",
    worked=lambda q: (
        workings.get("row_share").html(exposure_time=q.exposure, curtain_travel=q.travel)
        + f"<p>In per cent: {units.format_number(100 * q.exposure / (q.exposure + q.travel))} %.</p>"
    ),
)  # fmt: skip

_SMEAR = Question(
    level=2,
    draw=lambda random, rig: {
        "speed": random.choice([1.8, 2.2, 2.6, 3.0]),
        "scale": random.choice([0.5, 0.7]),  # at life size the magnification could be forgotten unseen
        "slit": random.choice([7.0, 8.0, 9.0]),
        "exposure": random.choice([1 / 1000, 1 / 2000, 1 / 4000]),
    },
    text=lambda q: (
        f"A drop falls at {words(q.speed, 'm/s')}. The camera is level, at magnification {q.scale:g}, and its slit "
        f"runs over the sensor at {words(q.slit, 'm/s')}. You use high-speed sync at "
        f"{units.format_shutter(q.exposure)}. How long is the smear on the drop?"
    ),
    answer=lambda q: q.speed * q.exposure / (1 + q.speed * q.scale / q.slit),
    unit="m",
    display="mm",
    quantity="smear",
    slips=(
        (lambda q: q.speed * q.exposure, "That would be right for a slit that runs across the motion. Here the drop's "
                                         "image meets the slit, and passes it sooner."),
        (lambda q: q.speed * q.exposure / (1 + q.speed / q.slit), "On the sensor the drop's image moves at its speed "
                                                                  "times the magnification."),
        (lambda q: q.speed * q.exposure / (1 - q.speed * q.scale / q.slit), "That is for a camera held upside down. "
                                                                            "Level, the two run against each other."),
        (lambda q: q.scale * q.speed * q.exposure / (1 + q.speed * q.scale / q.slit), "That is the smear on the "
                                                                                      "sensor. Asked is the drop."),
    ),
    tolerance=0.02,
    hint="Speed times shutter time, divided by 1 plus image speed over slit speed.",
    right=lambda q: "No pulse length comes into it: what counts is how long a row is lit.",
    worked=lambda q: workings.get("streak_level").html(
        speed=q.speed, exposure_time=q.exposure, magnification=q.scale, slit_speed=q.slit
    ),
)  # fmt: skip

_BAND = Question(
    level=3,
    draw=lambda random, rig: {
        "travel": random.choice([2.4e-3, 2.8e-3, 3.2e-3, 3.6e-3]),
        "exposure": random.choice([1 / 640, 1 / 500]),
    },
    text=lambda q: (
        f"You want to know your curtains. At {units.format_shutter(q.exposure)} one weak flash, fired as the front "
        f"curtain arrives, leaves {100 * (1 - q.exposure / q.travel):.1f} % of the frame black. How long do the "
        "curtains take to cross the frame?"
    ),
    answer=lambda q: q.travel,
    unit="s",
    display="ms",
    quantity="curtain travel",
    slips=(
        (lambda q: q.exposure / (1 - q.exposure / q.travel), "You divided the shutter time by the black part. The lit "
                                                             "part is what was uncovered during the shutter time."),
        (lambda q: q.exposure * (2 - q.exposure / q.travel), "You added the black part of the shutter time. The black "
                                                             "part is a share of the travel, not of the shutter time."),
        (lambda q: q.exposure, "That is the shutter time. It only takes the slit across the lit part."),
        (lambda q: q.exposure**2 / q.travel, "You multiplied by the lit part. But the way across the whole frame takes "
                                             "longer than the shutter time: divide."),
    ),
    hint="During the shutter time a curtain covers the lit part of the frame. How long for all of it?",
    right=lambda q: "One frame with a black band has measured your curtains.",
    worked=lambda q: (
        "<p>The lit part is the share of the travel that a curtain makes during the shutter time. So the travel is "
        f"{words(q.exposure, 's', 4)} divided by {q.exposure / q.travel:.3f}, which is {words(q.travel, 's')}. Put "
        "back into the relation, it gives the black part again:</p>"
        + workings.get("dark_band").html(curtain_travel=q.travel, delay=0.0, exposure_time=q.exposure)
    ),
)  # fmt: skip

QUESTIONS = (_BURN, _SMEAR, _BAND)
