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
         "Only the unit that cuts its flash gets shorter. At a lower voltage the lamp burns longer, not shorter."),
        ("The first freezes the drop better; the second smears it as much or more.", True,
         "A cut flash stops early. At a lower voltage the lamp burns longer, so the drop smears more."),
        ("Both are as sharp as before, only darker.", False,
         "The light also lasts another time: shorter where the flash is cut, longer where the voltage is lowered."),
        ("The second freezes the drop better; the first smears it.", False,
         "It is the other way round. A cut flash is short. At a lower voltage the lamp burns longer."),
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

_CUT = Question(
    level=2,
    draw=lambda random, rig: {"tau": random.choice([0.6e-3, 0.8e-3, 1.0e-3]), "power": random.choice([1 / 2, 1 / 4])},
    text=lambda q: (
        f"A flash dies away evenly: each {words(q.tau, 's')} it falls to 37 % of what it was. The unit is set to "
        f"{units.format_power(q.power)} power and cuts the flash when that share of the light is out. "
        "How long after first light does it cut?"
    ),
    answer=lambda q: -q.tau * math.log(1 - q.power),
    unit="s",
    display="µs",
    quantity="time of the cut",
    slips=(
        (lambda q: q.tau * q.power, "You took the light as even. It weakens all the time, so its share takes longer."),
        (lambda q: -q.tau * math.log(q.power), "That is when the light has fallen to that share of its peak. Asked is "
                                               "when that share of all the light is out."),
        (lambda q: -q.tau * math.log10(1 - q.power), "You took the logarithm to base 10. The natural one (ln) belongs "
                                                     "here."),
    ),
    hint="After the time t, the share 1 − e^(−t/τ) of all the light is out. τ is the time given.",
    right=lambda q: "Halving the power again shortens it to less than half at first, then to just half.",
    worked=lambda q: workings.get("quench_cut").html(tau=q.tau, power=q.power),
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

QUESTIONS = (_SMEAR, _CUT, _LONGEST)
