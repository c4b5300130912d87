"""Lesson 12: my first shoot."""

from __future__ import annotations

from splashkit import units
from splashkit.exercises.base import Prediction, Question, words

PREDICTION = Prediction(
    "The first evening. All is set as the sheet says. The first frame shows still water and nothing else. What do you "
    "do next?",
    (
        ("Move gap, delay and flash power a little each, and try again.", False,
         "If it then works you do not know why. If it does not, you know no more than before."),
        ("Switch the second drop off, and move the delay alone until the first drop just touches the water.", True,
         "One drop and one number. When they agree, every other delay on the sheet is right by the same amount."),
        ("Move the gap in small steps until the two drops meet.", False,
         "They may meet already, while the light comes at another time. First make the light show one drop."),
        ("Shoot the same settings again, a few times: drops scatter, and one frame proves nothing.", False,
         "Drops scatter by a few milliseconds. A frame without any drop is off by tens of them, and stays so."),
    ),
)  # fmt: skip

_ZERO = Question(
    level=1,
    draw=lambda random, rig: {
        "model": random.choice([0.150, 0.158, 0.171]), "off": random.choice([-6e-3, 4e-3, 9e-3]),
        "after": random.choice([0.062, 0.067, 0.074]),
    },
    text=lambda q: (
        f"The sheet gives Z = {words(q.model, 's')} and the delay as Z + {words(q.after, 's')}. With the first drop "
        f"alone you find that it just touches at a delay of {words(q.model + q.off, 's')}. Which delay do you set for "
        "the collision?"
    ),
    answer=lambda q: q.model + q.off + q.after,
    unit="s",
    display="ms",
    quantity="delay",
    slips=(
        (lambda q: q.model + q.after, "That counts from the model's Z. Yours is measured: count from it."),
        (lambda q: q.model - q.off + q.after, "The correction goes the other way: your Z is the measured one."),
        (lambda q: q.model + q.off - q.after, "The collision comes after the first touch: add."),
        (lambda q: q.after, "That is the time after the touch. The timer counts from the first valve's signal."),
    ),
    tolerance=0.004,
    hint="Take your own Z and add what the sheet adds to it.",
    right=lambda q: "Every other delay on the sheet moves by the same amount.",
    worked=lambda q: (
        f"<p>Measured Z {words(q.model + q.off, 's')}, plus {words(q.after, 's')}: "
        f"{words(q.model + q.off + q.after, 's')}.</p>"
    ),
)  # fmt: skip

_TOUCH = Question(
    level=2,
    draw=lambda random, rig: {
        "height": random.choice([6e-3, 9e-3, 14e-3]), "speed": random.choice([1.9, 2.1, 2.5]),
    },
    text=lambda q: (
        f"You let the first drop fall alone. A frame shows the drop's lowest point {words(q.height, 'm')} above the "
        f"water. It falls at {words(q.speed, 'm/s')}. By how much must the delay grow for the drop to just touch?"
    ),
    answer=lambda q: q.height / q.speed,
    unit="s",
    display="ms",
    quantity="change of the delay",
    slips=(
        (lambda q: -q.height / q.speed, "The drop is still above the water: the light came too early. Make the delay "
                                        "longer."),
        (lambda q: q.height * q.speed, "You multiplied. Time is distance over speed."),
        (lambda q: q.speed / q.height * 1e-6, "Upside down: time is distance over speed."),
        (lambda q: (2 * q.height / 9.81) ** 0.5, "That is a fall from rest. This drop is already fast."),
    ),
    hint="Over so short a way the speed hardly changes: time is distance over speed.",
    right=lambda q: "One frame and one sum can replace ten frames of trying.",
    worked=lambda q: (
        f"<p>{words(q.height, 'm')} at {words(q.speed, 'm/s')} takes {words(q.height / q.speed, 's')}.</p>"
    ),
)  # fmt: skip

_EVENING = Question(
    level=3,
    draw=lambda random, rig: {
        "low": random.choice([50, 55]), "steps": random.choice([6, 7, 8]), "step": 5,
        "each": random.choice([3, 4]), "rest": random.choice([8, 10, 12]), "hand": random.choice([4, 6]),
    },
    text=lambda q: (
        f"You search the gap from {q.low} ms to {q.low + q.steps * q.step} ms in steps of {q.step} ms, both ends "
        f"included. At each gap you take {q.each} frames. A frame costs {q.rest} s of rest and {q.hand} s of handling. "
        "How long does the search take?"
    ),
    answer=lambda q: float((q.steps + 1) * q.each * (q.rest + q.hand)),
    unit="s",
    display="min",
    quantity="time of the search",
    slips=(
        (lambda q: float(q.steps * q.each * (q.rest + q.hand)), "You counted the steps. There is one gap more than "
                                                                "there are steps between."),
        (lambda q: float((q.steps + 1) * (q.rest + q.hand)), "You took one frame at each gap."),
        (lambda q: float((q.steps + 1) * q.each * q.rest), "You left out the handling."),
        (lambda q: 60.0 * (q.steps + 1) * q.each, "That is the number of frames. Each takes its time."),
    ),
    tolerance=0.01,
    hint="Count the gaps, both ends included; times frames at each; times seconds a frame.",
    right=lambda q: "That is short. Patience between frames costs less than frames that scatter.",
    worked=lambda q: (
        f"<p>{q.steps + 1} gaps of {q.each} frames are {(q.steps + 1) * q.each} frames. At {q.rest + q.hand} s each "
        f"that is {(q.steps + 1) * q.each * (q.rest + q.hand)} s, or "
        f"{units.format_number((q.steps + 1) * q.each * (q.rest + q.hand) / 60)} min.</p>"
    ),
)  # fmt: skip

QUESTIONS = (_ZERO, _TOUCH, _EVENING)
