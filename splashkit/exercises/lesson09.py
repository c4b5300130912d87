"""Lesson 09: what is in the bowl?"""

from __future__ import annotations

import math

from splashkit import liquids, units, workings
from splashkit.exercises.base import Prediction, Question, words

PREDICTION = Prediction(
    "You empty the bowl and the pipe, and fill both with whole milk in place of water. Drops of the same size fall "
    "from the same height. When does the column stand at its top?",
    (
        ("Earlier, because milk is thicker and stops sooner.", False,
         "Milk is twice as thick as water, but so little thickness hardly matters here. It pulls less at its surface, "
         "and that makes the crater close later."),
        ("At the same moment, because milk is almost as heavy as water.", False,
         "The weight is indeed nearly the same. But the surface helps to close the crater, and milk's pulls less."),
        ("Later, because the surface of milk pulls less.", True,
         "Surface tension helps to close the crater. Milk has about a quarter less of it, so the column comes later."),
        ("At the same moment; only the colour and the edges look different.", False,
         "Colour changes nothing that anyone has measured. But milk's surface pulls less, and the column comes later."),
    ),
)  # fmt: skip

WARM = 20.0  # degC, of all exercises


def _pure() -> tuple[float, float]:
    return float(liquids.glycerol_density(1.0, WARM)), float(liquids.glycerol_density(0.0, WARM))


def _percent(share: float) -> str:
    return f"{units.format_number(100 * share)} %"


_BY_JUG = Question(
    level=1,
    draw=lambda random, rig: {"share": random.choice([0.3, 0.4, 0.5, 0.6])},
    text=lambda q: (
        f"A recipe says {_percent(q.share)} glycerol by volume, measured before mixing. You have a scale and no jug. "
        f"Glycerol has {words(_pure()[0], 'kg/m3', 4)}, water {words(_pure()[1], 'kg/m3')}. What share by mass, "
        "in %, is the same mix?"
    ),
    answer=lambda q: float(liquids.mass_from_volume_fraction(q.share, WARM)),
    unit="1",
    display="%",
    quantity="share by mass",
    tolerance=0.015,
    slips=(
        (lambda q: q.share, "That is the share by volume once more. Glycerol is heavier, so its share by mass is "
                            "larger."),
        (lambda q: q.share * _pure()[1] / (q.share * _pure()[1] + (1 - q.share) * _pure()[0]),
         "You swapped the two densities: glycerol is the heavy one."),
        (lambda q: q.share * _pure()[0] / _pure()[1], "You compared with the mass of plain water. Divide by the mass "
                                                      "of the whole mix."),
        (lambda q: 1 - float(liquids.mass_from_volume_fraction(q.share, WARM)), "That is the share of water."),
    ),
    hint="Take one litre in all. Find the mass of the glycerol and of the water in it, then divide.",
    right=lambda q: (
        f"The mix has {words(float(liquids.glycerol_water(volume_fraction=q.share).viscosity.value), 'Pa s')}; "
        f"{_percent(q.share)} by mass would have "
        f"{words(float(liquids.glycerol_water(mass_fraction=q.share).viscosity.value), 'Pa s')}."
    ),
    worked=lambda q: workings.get("glycerol_by_mass").html(
        volume_share=q.share, glycerol_density=_pure()[0], water_density=_pure()[1]
    ),
)  # fmt: skip


def _weighed(share: float, volume: float, pipe: float, purity: float) -> float:
    return share * float(liquids.glycerol_density(share, WARM)) * (volume + pipe) / purity


_WEIGH = Question(
    level=2,
    draw=lambda random, rig: {
        # chosen so that no two slips come to the same mass
        "share": random.choice([0.5, 0.6]),
        "volume": random.choice([5e-4, 6e-4]),
        "pipe": random.choice([3e-5, 4e-5]),
        "purity": random.choice([0.8, 0.85]),
    },
    text=lambda q: (
        f"You want {words(q.volume, 'm3')} of {_percent(q.share)} glycerol by mass in bowl and tank. The empty pipe "
        f"takes {words(q.pipe, 'm3')} more. The mix has "
        f"{words(float(liquids.glycerol_density(q.share, WARM)), 'kg/m3', 4)}. The bottle holds "
        f"{_percent(q.purity)} glycerol; the rest is water. How much do you weigh from the bottle?"
    ),
    answer=lambda q: _weighed(q.share, q.volume, q.pipe, q.purity),
    unit="kg",
    display="g",
    quantity="mass from the bottle",
    tolerance=0.01,
    slips=(
        (lambda q: _weighed(q.share, q.volume, 0.0, q.purity), "You left out the pipe: it drinks from the same mix."),
        (lambda q: _weighed(q.share, q.volume, q.pipe, 1.0), "You took the bottle as pure. It holds water too, so "
                                                             "weigh more from it."),
        (lambda q: _weighed(q.share, q.volume, q.pipe, 1 / q.purity), "You multiplied by the strength of the bottle. "
                                                                      "A weaker bottle must give more: divide."),
        (lambda q: q.share * 1000 * (q.volume + q.pipe) / q.purity, "You took one gram a millilitre. The mix is "
                                                                    "heavier than water."),
        (lambda q: _weighed(1.0, q.volume, q.pipe, 1.0) * q.share / q.purity, "You took the density of pure glycerol. "
                                                                              "Take that of the mix."),
    ),
    hint="First the mass of the whole mix, pipe included. Then the glycerol in it. Then what the bottle must give.",
    right=lambda q: "The mixing sheet says the same, and the water to add.",
    worked=lambda q: workings.get("mix_bottle").html(
        mass_share=q.share, density=float(liquids.glycerol_density(q.share, WARM)), volume=q.volume,
        pipe_volume=q.pipe, purity=q.purity,
    ),
)  # fmt: skip

_GRAVITY = 9.81


def _start(depth: float, tension: float, density: float) -> float:
    return float(
        workings.get("column_start").value(gravity=_GRAVITY, depth=depth, surface_tension=tension, density=density)
    )


def _no_skin(depth: float) -> float:
    return math.pi / math.sqrt(_GRAVITY * 3.1 / depth)


_LATER = Question(
    level=3,
    draw=lambda random, rig: {
        "depth": random.choice([7e-3, 8e-3, 9e-3]),
        "tension": random.choice([0.040, 0.045, 0.050]),
    },
    text=lambda q: (
        f"A crater is {words(q.depth, 'm')} deep in water (surface tension {words(0.0727, 'N/m')}, density "
        f"{words(998.0, 'kg/m3')}). You add a trace of soap. Surface tension falls to {words(q.tension, 'N/m')}; "
        f"depth and density stay. Gravity is {words(_GRAVITY, 'm/s2')}. How much later does the column pass the level?"
    ),
    answer=lambda q: _start(q.depth, q.tension, 998.0) - _start(q.depth, 0.0727, 998.0),
    unit="s",
    display="ms",
    quantity="shift of the column's start",
    tolerance=0.06,
    slips=(
        (lambda q: _start(q.depth, q.tension, 998.0), "That is the whole time in soapy water. Take off the time in "
                                                      "clean water."),
        (lambda q: _no_skin(q.depth) - _start(q.depth, 0.0727, 998.0), "You took surface tension away altogether. "
                                                                       "Soap only lowers it."),
        (lambda q: _start(q.depth, 0.0727, 998.0) * (math.sqrt(0.0727 / q.tension) - 1), "You let surface tension do "
         "all the work. Gravity helps to close the crater, and it has not changed."),
        (lambda q: _start(q.depth, 0.0727, 998.0) * (0.0727 / q.tension - 1), "You took the time as one over the "
         "tension. It goes by a root, and gravity helps."),
    ),
    hint="Use the relation of the first panel twice, with k = 3.1 / depth, and subtract. Keep four digits.",
    right=lambda q: "Later and wider: the top and the gap move by more than the start does.",
    worked=lambda q: (
        "<p>In clean water:</p>"
        + workings.get("column_start").html(gravity=_GRAVITY, depth=q.depth, density=998.0, surface_tension=0.0727)
        + "<p>With soap:</p>"
        + workings.get("column_start").html(gravity=_GRAVITY, depth=q.depth, density=998.0, surface_tension=q.tension)
        + f"<p>The difference is {words(_start(q.depth, q.tension, 998.0) - _start(q.depth, 0.0727, 998.0), 's')}.</p>"
    ),
)  # fmt: skip

QUESTIONS = (_BY_JUG, _WEIGH, _LATER)
