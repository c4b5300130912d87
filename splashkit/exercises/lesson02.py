"""Lesson 02: how long is a flash?"""

from __future__ import annotations

import math

from splashkit import units, workings
from splashkit.exercises.base import Prediction, Question, words

PREDICTION = Prediction(
    "Two flash units are turned down from full power to 1/8. One cuts its flash short. The other charges its "
    "capacitor to a lower voltage. A falling drop is lit by each in turn. What happens to the two pictures?",
    (
        ("Both freeze the drop better than at full power.", False,
         "Only the unit that cuts its flash gets shorter. At a lower voltage the tube burns longer, not shorter."),
        ("The first freezes the drop better; the second smears it as much or more.", True,
         "A cut flash stops early. At a lower voltage the tube burns longer, so the drop smears more."),
        ("Both are as sharp as before, only darker.", False,
         "The light also lasts another time: shorter where the flash is cut, longer where the voltage is lowered."),
        ("The second freezes the drop better; the first smears it.", False,
         "It is the other way round. A cut flash is short. At a lower voltage the tube burns longer."),
    ),
)  # fmt: skip


def _fraction(duration: float) -> str:
    return units.format_shutter(1 / float(f"{1 / duration:.2g}"))


_SMEAR = Question(
    level=1,
    draw=lambda random, rig: {
        "speed": random.choice([1.8, 2.2, 2.4, 2.8, 3.1]),
        "t01": 1 / random.choice([800, 1000, 1200]),
        "t05": 1 / random.choice([3000, 3600, 4000]),
    },
    text=lambda q: (
        f"A flash at full power has t0.5 = {units.format_shutter(q.t05)} and t0.1 = {units.format_shutter(q.t01)}. "
        f"A drop falls at {words(q.speed, 'm/s')}. How long is the smear that the camera can see?"
    ),
    answer=lambda q: q.speed * q.t01,
    unit="m",
    display="mm",
    quantity="smear",
    slips=(
        (lambda q: q.speed * q.t05, "That is the way made during t0.5. Light down to a tenth of the peak still "
                                    "shows: take t0.1."),
        (lambda q: q.t01 / q.speed, "You divided the time by the speed. The way is speed times time."),
        (lambda q: q.speed * (q.t01 - q.t05), "The two durations are not to be subtracted: t0.1 holds t0.5 inside it."),
    ),
    hint="Light down to a tenth of the peak still shows. The way is speed times time.",
    right=lambda q: "t0.1 is the number to look for on a data sheet; t0.5 flatters.",
    worked=lambda q: workings.get("blur").html(speed=q.speed, duration=q.t01),
)  # fmt: skip

_CLOSER = Question(
    level=2,
    draw=lambda random, rig: {
        "distance": random.choice([0.6, 0.8, 1.0]),
        "power": random.choice([1 / 2, 1 / 4, 1 / 8]),
        "stops": random.choice([3, 5]),  # with two or four, a division by the number would do as well
    },
    text=lambda q: (
        f"At {units.format_power(q.power)} power and {100 * q.distance:.0f} cm from the drop your bare flash unit "
        "gives the right exposure, but the drop is smeared. You turn it down to "
        f"{units.format_power(q.power / 2**q.stops)} and leave the camera as it is. How far from the drop must the "
        "unit stand now?"
    ),
    answer=lambda q: q.distance / 2 ** (q.stops / 2),
    unit="m",
    display="cm",
    quantity="distance",
    slips=(
        (lambda q: q.distance / 2**q.stops, "You halved the distance for each stop. But half the distance gives two "
                                            "stops at once."),
        (lambda q: q.distance * 2 ** (q.stops / 2), "Farther off there is less light. The weaker flash must come "
                                                    "closer."),
        (lambda q: q.distance / q.stops, "You divided by the number of stops. Half the distance gives two stops."),
        (lambda q: q.distance, "There it is too dark now: each step down in power is one stop less."),
    ),
    hint="Count the steps of power: each is one stop. Half the distance gives two stops back.",
    right=lambda q: "That near, it must be kept dry: cover it, or shoot past the edge of a screen.",
    worked=lambda q: (
        f"<p>From {units.format_power(q.power)} to {units.format_power(q.power / 2**q.stops)} there are {q.stops} "
        f"steps, so {2**q.stops} times the light must be won back. The light grows with the square of the nearness: "
        f"take the root of {2**q.stops}, which is {units.format_number(2 ** (q.stops / 2))}.</p>"
        f"<p>{100 * q.distance:.0f} cm / {units.format_number(2 ** (q.stops / 2))} = "
        f"{units.format_number(100 * q.distance / 2 ** (q.stops / 2))} cm</p>"
    ),
)  # fmt: skip

_LONGEST = Question(
    level=3,
    draw=lambda random, rig: {
        "speed": random.choice([2.0, 2.4, 2.7, 3.0]),
        "diameter": random.choice([3e-3, 4e-3, 5e-3]),
        "share": random.choice([0.01, 0.02]),
    },
    text=lambda q: (
        f"A drop of {words(q.diameter, 'm')} falls at {words(q.speed, 'm/s')}. You want its smear to stay within "
        f"{100 * q.share:.0f} % of its diameter. What is the longest t0.1 you can use?"
    ),
    answer=lambda q: q.share * q.diameter / q.speed,
    unit="s",
    display="µs",
    quantity="flash duration",
    slips=(
        (lambda q: q.share * q.diameter / 2 / q.speed, "You took the radius. The smear is set against the diameter."),
        (lambda q: q.diameter / q.speed, "That is the time for a whole diameter. Take only the share asked for."),
        (lambda q: q.share * q.diameter * q.speed, "You multiplied by the speed. Time is way divided by speed."),
        (lambda q: q.share * q.diameter / q.speed / (math.log(10) / math.log(2)), "That would be a t0.5 that goes with "
         "it. Asked is t0.1."),
    ),
    hint="First the smear allowed, in mm. Then the time the drop takes for it.",
    right=lambda q: f"That is {_fraction(q.share * q.diameter / q.speed)}. Look for it in the "
                    "panel's right figure.",
    worked=lambda q: (
        f"<p>Smear allowed: {words(q.share * q.diameter, 'm')}. The relation, solved for the duration:</p>"
        + workings.get("blur").html(unknown="duration", blur=q.share * q.diameter, speed=q.speed)
    ),
)  # fmt: skip

QUESTIONS = (_SMEAR, _CLOSER, _LONGEST)
