"""Lesson 05: what is sharp enough?"""

from __future__ import annotations

import math

from splashkit import lens, units, workings
from splashkit.exercises.base import Prediction, Question, words

CIRCLE = 30e-6  # m, the blur circle photographers use for a 36 x 24 mm picture: common practice, no source

PREDICTION = Prediction(
    "At half life size and f/11 the sheet is sharp in the middle, and soft at its near and far edges. You close the "
    "lens as far as it goes, to f/45, and turn up the ISO to make up for the light. What happens?",
    (
        ("All of it gets sharper: closing down gives depth.", False,
         "Closing gives depth, but light spreads behind a small opening. What was sharpest is hit first."),
        ("Nothing changes but the brightness: the flash decides the sharpness.", False,
         "The flash decides the smear of what moves. Depth and diffraction come from the aperture."),
        ("The edges get sharper, and the middle gets softer than it was.", True,
         "The edges gain depth. The middle had nothing to gain, and diffraction now softens it."),
        ("All of it gets softer, edges and middle alike.", False,
         "At f/45 the middle is softer. But the edges were so far out of focus that they still gain."),
    ),
)  # fmt: skip

_PIXELS = Question(
    level=1,
    draw=lambda random, rig: {
        "speed": random.choice([1.8, 2.2, 2.6]),
        "duration": random.choice([25e-6, 50e-6, 80e-6]),
        "scale": random.choice([0.4, 0.5, 0.8]),
        "pitch": random.choice([4e-6, 5e-6, 6e-6]),
    },
    text=lambda q: (
        f"A drop falls at {words(q.speed, 'm/s')}. The flash has t0.1 = {words(q.duration, 's')}, the magnification is "
        f"{units.format_number(q.scale)}, and a pixel is {words(q.pitch, 'm')} wide. Over how many pixels is the drop "
        "smeared?"
    ),
    answer=lambda q: q.speed * q.duration * q.scale / q.pitch,
    unit="1",
    quantity="smear in pixels",
    slips=(
        (lambda q: q.speed * q.duration / q.pitch, "That is for life size. Your picture is smaller: use the "
                                                   "magnification."),
        (lambda q: q.speed * q.duration / q.scale / q.pitch, "You divided by the magnification. It makes the image "
                                                             "smaller here, so multiply."),
        (lambda q: q.speed * q.duration * q.scale * 1e6, "That is the smear on the sensor, in µm. Divide it by the "
                                                         "width of a pixel."),
    ),
    hint="First the way of the drop, then its image on the sensor, then how many pixels fit in.",
    right=lambda q: "On the screen, one or two would look sharp.",
    worked=lambda q: (
        workings.get("blur").html(speed=q.speed, duration=q.duration)
        + f"<p>On the sensor: times the magnification, {words(q.speed * q.duration * q.scale, 'm')}. "
        f"Divided by {words(q.pitch, 'm')}: {units.format_number(q.speed * q.duration * q.scale / q.pitch)} pixels.</p>"
    ),
)  # fmt: skip

_TARGET = Question(
    level=2,
    draw=lambda random, rig: {"height": random.choice([25e-3, 30e-3, 40e-3]), "angle": random.choice([10, 15, 20])},
    text=lambda q: (
        f"You focus on a nail's head that just touches the water, in the middle of the bowl. The camera looks down by "
        f"{q.angle}°. Drop and column meet {words(q.height, 'm')} above that nail. How far in front of the focused "
        "plane do they meet?"
    ),
    answer=lambda q: -float(lens.focus_offset(q.height, 0.0, math.radians(q.angle))),
    unit="m",
    display="mm",
    quantity="distance in front of the focused plane",
    slips=(
        (lambda q: q.height * math.cos(math.radians(q.angle)), "That is the height as the camera sees it. Asked is how "
                                                               "much nearer it is: take the sine."),
        (lambda q: q.height * math.tan(math.radians(q.angle)), "That is measured level with the water. Asked is the "
                                                               "distance along the lens's axis: take the sine."),
        (lambda q: q.height * math.sin(q.angle), "Your calculator counts in radians. Set it to degrees."),
        (lambda q: q.height, "Only a part of the height leads toward the camera: its sine."),
        (lambda q: -q.height * math.sin(math.radians(q.angle)), "The number is right. In the formula a minus says in "
         "front. Asked is how far in front, so leave the sign away."),
    ),
    hint="A camera that looks straight down would be the whole height nearer; a level one, not at all.",
    right=lambda q: "Put the focus target at the height of the meeting, and this is gone.",
    worked=lambda q: (
        workings.get("focus_offset").html(behind=0.0, rise=q.height, elevation=math.radians(q.angle))
        + "<p>The minus sign says: in front.</p>"
    ),
)  # fmt: skip

_DEPTH = Question(
    level=3,
    draw=lambda random, rig: {
        "depth": random.choice([4e-3, 5e-3, 6e-3]),
        "scale": random.choice([0.4, 0.6]),  # at a half, a lost square looks like a lost factor of two
        "pupils": random.choice([0.7, 1.0, 1.4]),
    },
    text=lambda q: (
        f"You want {words(q.depth, 'm')} of depth at magnification {units.format_number(q.scale)}, with a blur of at "
        f"most {words(CIRCLE, 'm')} on the sensor. The lens has a pupil ratio of {units.format_number(q.pupils)}. "
        "Which f-number do you set? Use the formula for the sharp depth close up."
    ),
    answer=lambda q: q.depth * q.scale**2 / (2 * CIRCLE * (1 + q.scale / q.pupils)),
    unit="1",
    quantity="f-number",
    slips=(
        (lambda q: q.depth * q.scale**2 / (2 * CIRCLE), "That is the aperture the lens works at. You set a smaller "
                                                        "number on it."),
        (lambda q: q.depth * q.scale**2 / (CIRCLE * (1 + q.scale / q.pupils)), "Depth counts in front and behind: a "
                                                                               "factor of two is missing."),
        (lambda q: q.depth * q.scale**2 / (2 * CIRCLE * (1 + q.scale)), "You left out the pupil ratio."),
        (lambda q: q.depth * q.scale**2 / (2 * CIRCLE * (1 + q.scale * q.pupils)), "The pupil ratio divides the "
                                                                                   "magnification."),
        (lambda q: q.depth * q.scale / (2 * CIRCLE * (1 + q.scale / q.pupils)), "The magnification counts twice: it "
                                                                                "is squared."),
    ),
    hint="Solve depth = 2 N c (1 + m/P) / m² for N.",
    tolerance=0.075,  # the nearest third of a stop is right too, as it is marked on a lens
    right=lambda q: "Take the nearest mark. Then look in the panel whether diffraction leaves you that much.",
    worked=lambda q: workings.get("depth_close_up").html(
        unknown="aperture", depth=q.depth, circle=CIRCLE, magnification=q.scale, pupil_ratio=q.pupils
    ),
)  # fmt: skip

QUESTIONS = (_PIXELS, _TARGET, _DEPTH)
