"""Lesson 10: where do the lights go?"""

from __future__ import annotations

import math

from splashkit import exposure, lights, units, workings
from splashkit.exercises.base import Prediction, Question, words

PREDICTION = Prediction(
    "A drop falls in front of a white softbox that stands close behind it. You change the softbox for one a third as "
    "wide, at the same place, and set the exposure again. What happens to the dark edge of the drop?",
    (
        ("It gets thinner: a smaller light casts a smaller shadow.", False,
         "The edge is no shadow. It is where the drop shows you what lies past the light, and now more does."),
        ("It stays as it is: the edge belongs to the drop, the light only makes it brighter or darker.", False,
         "The drop bends the same rays as before. But fewer of them still end on the light."),
        ("It gets thicker: the bright part shrinks with the light.", True,
         "The bright part is a small picture of the light itself. A smaller light makes a smaller picture."),
        ("It goes away: a small light is a harder light, and hard light has no soft edge.", False,
         "Hard and soft are about shadows. A clear drop shows the light itself, seen through the drop."),
    ),
)  # fmt: skip

_ANGLE = Question(
    level=1,
    draw=lambda random, rig: {
        "size": random.choice([0.3, 0.4, 0.6, 0.8]), "distance": random.choice([0.35, 0.5, 0.7]),
    },
    text=lambda q: (
        f"A softbox {_cm(q.size)} wide stands {_cm(q.distance)} behind the drop, square to it. How far "
        "out to each side, as an angle, does the drop see light?"
    ),
    answer=lambda q: float(lights.apparent_half_angle(q.size, q.distance)),
    unit="rad",
    display="°",
    quantity="half-angle of the light",
    slips=(
        (lambda q: math.atan(q.size / q.distance), "You took the whole width. To each side there is half of it."),
        (lambda q: 2 * math.atan(q.size / 2 / q.distance), "That is the angle from edge to edge. Asked is one side."),
        (lambda q: math.atan(2 * q.distance / q.size), "That is the other angle of the triangle: swap the two sides."),
        (lambda q: math.asin(min(q.size / 2 / q.distance, 1.0)), "The distance is a side of the right angle, not the "
                                                                 "long side: take the tangent."),
    ),
    hint="Half the width over the distance is the tangent of the angle.",
    right=lambda q: f"The drop is bright out to {_share(q)} of its radius.",
    worked=lambda q: workings.get("light_half_angle").html(size=q.size, distance=q.distance),
)  # fmt: skip


def _share(q: object) -> str:
    angle = lights.apparent_half_angle(q.size, q.distance)  # type: ignore[attr-defined]
    return f"{units.format_number(100 * float(lights.bright_radius(angle)), 2)} %"


def _cm(length: float) -> str:
    return f"{units.format_number(100 * length)} cm"


def _power(q: object, **changed: float) -> float:
    given = {"distance": q.distance, "f_number": q.aperture, "iso": q.iso, "magnification": q.scale}  # type: ignore[attr-defined]
    return float(exposure.guide_number_power(q.number, **{**given, **changed}))  # type: ignore[attr-defined]


_POWER = Question(
    level=2,
    draw=lambda random, rig: {
        "number": random.choice([28.0, 36.0, 44.0]), "distance": random.choice([0.4, 0.5, 0.7]),
        "aperture": random.choice([11.0, 16.0]), "iso": random.choice([200.0, 400.0]),
        "scale": random.choice([0.4, 0.5]),
    },
    text=lambda q: (
        f"A bare flash with guide number {words(q.number, 'm')} (full power, ISO 100) stands {_cm(q.distance)} "
        f"from the drop. You work at {units.format_aperture(q.aperture)}, ISO {q.iso:.0f} and magnification "
        f"{units.format_number(q.scale)}, with a pupil ratio of 1. Which power exposes correctly? Write it as a "
        "fraction, such as 1/40."
    ),
    answer=lambda q: _power(q),
    unit="1",
    quantity="flash power",
    slips=(
        (lambda q: _power(q, magnification=0.0), "You left out the close-up loss: focused this near, the lens works "
                                                 "at a smaller aperture than it says."),
        (lambda q: math.sqrt(_power(q)), "Light falls with the square of the distance: square the ratio."),
        (lambda q: _power(q, iso=100.0), "You left the ISO at 100. Twice the ISO needs half the power."),
        (lambda q: _power(q) * (q.iso / 100) ** 2, "A higher ISO needs less power: divide by it."),
        (lambda q: 1 / _power(q), "That is upside down: the power is a share of full power, below one."),
    ),
    tolerance=0.04,
    write=units.format_power,
    hint="Distance times working aperture, over the guide number; square it; then divide by ISO over 100.",
    right=lambda q: "Set the nearest mark, then move the flash a little.",
    worked=lambda q: workings.get("light_power").html(
        level=0.0, distance=q.distance, aperture=q.aperture, magnification=q.scale, pupil_ratio=1.0,
        guide_number=q.number, iso=q.iso,
    ) + f"<p>As a fraction that is {units.format_power(_power(q))}.</p>",
)  # fmt: skip


def _place(size: float, bright: float) -> float:
    return float(lights.distance_for_half_angle(size, lights.half_angle_for_rim(bright)))


_PLACE = Question(
    level=3,
    draw=lambda random, rig: {"size": random.choice([0.4, 0.5, 0.6]), "dark": random.choice([0.2, 0.25, 0.3])},
    text=lambda q: (
        f"You want a dark edge over the outer {units.format_number(100 * q.dark)} % of a drop's radius. Your softbox "
        f"is {_cm(q.size)} wide. How far behind the drop must it stand? (The refractive index of water is 1.333; the "
        "curve in the first panel does without it.)"
    ),
    answer=lambda q: _place(q.size, 1 - q.dark),
    unit="m",
    display="cm",
    quantity="distance of the softbox",
    slips=(
        (lambda q: _place(q.size, q.dark), "You made that share bright, not dark: start from the rest of the radius."),
        (lambda q: 2 * _place(q.size, 1 - q.dark), "You took the whole width. Half of it lies to each side."),
        (lambda q: q.size / 2 / math.tan(float(lights.half_angle_for_rim(1 - q.dark)) / 2), "A ray is bent twice, "
         "going in and coming out: the light's half-angle is twice that of one bend."),
        (lambda q: q.size / 2 / math.tan(math.asin(1 - q.dark)), "The drop bends the ray: it does not go straight on."),
    ),
    hint="Find your dark edge on the curve of the first panel, and read off size over distance. Or set the panel's "
         "width and height, and move the light until the sentence says your share.",
    right=lambda q: "Measure it from the drop, not from the bowl's edge.",
    worked=lambda q: (
        workings.get("bright_share").html(unknown="half_angle", share=1 - q.dark, index=lights.WATER_INDEX)
        + workings.get("light_half_angle").html(
            unknown="distance", size=q.size, half_angle=float(lights.half_angle_for_rim(1 - q.dark))
        )
    ),
)  # fmt: skip

QUESTIONS = (_ANGLE, _POWER, _PLACE)
