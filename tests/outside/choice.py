"""The power choice from outside: its answers to invented situations, recomputed by other people's libraries alone.

Speed: scipy's integration with Clift's drag of the fluids library. Exposure: ISO 2720's incident-light equation and the
exposure value of ISO 12232 as colour-hdri writes them. Depth of field and working f-number: rays traced by the
raytracing library through two thick lenses round a stop. Airy's disc: the first zero of scipy's Bessel function. Light
time: the table of the teaching model. Every combination of marks is tried; nothing of ours is called on that side.
"""

import copy
import math
from functools import cache, cached_property

import colour_hdri
import numpy as np
import raytracing as rt
from fluids import drag
from scipy import integrate, optimize, special
from tables import number, read

from outside import LIBRARY, near, source, within
from outside.water import AIR, AIR_VISCOSITY, WATER, G
from splashkit import drops, settings
from splashkit.units import APERTURES, ISO_SPEEDS

GLASS, CIRCLE, WAVELENGTH = 1.5168, 30e-6, 550e-9
LENSES = {
    "symmetric": (0.120, 0.020, 0.020, 0.120),
    "telephoto-like": (0.100, 0.020, 0.020, -0.150),
    "retrofocus-like": (-0.200, 0.020, 0.020, 0.060),
}
MARKS = [mark for mark in APERTURES if 4 <= mark <= 32]
ISOS = [mark for mark in ISO_SPEEDS if 100 <= mark <= 1600]
AIRY = 2 * special.jn_zeros(1, 1)[0] / math.pi  # diameter of the first dark ring over wavelength and f-number


class Lens:
    """A lens known only by its rays."""

    def __init__(self, front, before, behind, rear):
        self.front = rt.Space(d=before) * self.glass(front)
        self.whole = self.glass(rear) * rt.Space(d=behind) * self.front
        back = self.glass(rear) * rt.Space(d=behind)
        self.focal = -1 / self.whole.C
        exit_at = -back.B / back.D
        self.pupils = abs(back.A + exit_at * back.C) * abs(self.front.A)  # exit pupil over entrance pupil

    @staticmethod
    def glass(focal):
        radius = 2 * focal * (GLASS - 1)
        return rt.ThickLens(n=GLASS, R1=radius, R2=-radius, thickness=0.006)

    def focus(self, scale):
        """Distances of subject and sensor for a magnification, by search on traced rays."""

        def image(distance):
            return -(self.whole.A * distance + self.whole.B) / (self.whole.C * distance + self.whole.D)

        def size(distance):
            return abs(self.whole.A + image(distance) * self.whole.C) - scale

        infinity = -self.whole.D / self.whole.C  # from here rays leave parallel
        distance = optimize.brentq(size, infinity + 0.01 * self.focal, infinity + 500 * self.focal, xtol=1e-15)
        return distance, image(distance)

    def traced(self, scale, f_number):
        """Working f-number, and depth of field for our blur circle."""
        subject, sensor = self.focus(scale)
        stop = abs(self.front.A) * self.focal / (2 * f_number)

        def edge(distance):
            slope = stop / abs(self.front.A * distance + self.front.B)
            return (self.whole.A * distance + self.whole.B) * slope, (self.whole.C * distance + self.whole.D) * slope

        def beyond(distance):
            height, slope = edge(distance)
            return 2 * abs(height + sensor * slope) - CIRCLE

        ends = [optimize.brentq(beyond, subject, subject * k, xtol=1e-16) for k in (0.4, 3.0)]
        return 1 / (2 * abs(edge(subject)[1])), ends[1] - ends[0]


@cache
def lens(name):
    return Lens(*LENSES[name])


@cache
def speed_at_water(height, diameter):
    """By scipy, with the drag of a library."""

    def rate(_, state):
        v = max(state[1], 1e-9)
        pull = 0.75 * drag.Clift(AIR * v * diameter / AIR_VISCOSITY) * AIR / WATER * v**2 / diameter
        return [state[1], G * (1 - AIR / WATER) - pull]

    def landed(_, state):
        return state[0] - height

    landed.terminal = True
    return float(integrate.solve_ivp(rate, (0, 5), [0, 0], events=landed, rtol=1e-9, atol=1e-12).y[1, -1])


TIMES = {number(row["power"]): 1e-6 * number(row["t0.1_us"]) for row in read("flash_quench_power_vs_duration")}


class Situation:
    """One wish and its gear; what is right for it, worked out outside; and our answer."""

    def __init__(self, draw):
        self.height, self.diameter = draw.uniform(0.1, 0.8), draw.uniform(3e-3, 5e-3)
        self.speed = speed_at_water(self.height, self.diameter)
        self.glass = draw.choice(sorted(LENSES))
        self.scale = draw.uniform(0.25, 1.0)
        self.blur, self.depth = 10 ** draw.uniform(-4.4, -3.2), 10 ** draw.uniform(-3.0, -2.1)
        self.level, self.loss = draw.uniform(-1, 1), draw.uniform(0, 2)
        self.guide, self.near, self.far = 10 ** draw.uniform(0.3, 1.8), draw.uniform(0.1, 0.4), draw.uniform(0.5, 1.5)
        self.disc = 1.5 * CIRCLE

    @cached_property
    def plan(self):
        return settings.choose_settings(*self.asked)

    @cached_property
    def asked(self):
        made = lens(self.glass)
        wish = settings.Wish(self.blur, self.speed, self.depth, self.scale, self.level)
        gear = settings.Gear(
            self.guide, "quench", self.loss, tuple(TIMES), tuple(MARKS), tuple(ISOS), self.near, self.far,
            made.focal, made.pupils, CIRCLE, self.disc,
        )  # fmt: skip
        return wish, gear

    # the other side

    @cached_property
    def seen(self):
        """Working f-number and depth of each mark."""
        return np.array([lens(self.glass).traced(self.scale, mark) for mark in MARKS]).T

    def over(self, distance, power, working, iso):
        """Stops over correct: the light that falls there, against what these settings need."""
        at_one_metre = colour_hdri.average_illuminance(self.guide, 1, 100)  # what a guide number says of full power
        falls = at_one_metre * power * 2.0**-self.loss / distance**2
        needed = colour_hdri.exposure_value_100(working, 1, iso)
        return colour_hdri.illuminance_to_exposure_value(falls, 100) - needed

    def rooms(self):
        """For every combination of power, mark and ISO: the stops to spare in each limit."""
        working = self.seen[0][None, :, None]
        power, iso = np.array(list(TIMES))[:, None, None], np.array(ISOS, float)[None, None, :]
        time = np.array(list(TIMES.values()))[:, None, None]
        least = optimize.brentq(lambda n: lens(self.glass).traced(self.scale, n)[1] - self.depth, 0.1, 200)
        marks = np.array(MARKS)[None, :, None]
        found = {
            "motion": np.log2(self.blur / (self.speed * time)),
            "depth": 2 * np.log2(marks / least),
            "diffraction": 2 * np.log2(self.disc / (AIRY * WAVELENGTH * working)),
            "light": self.over(self.near, power, working, iso) - self.level,
            "bright": self.level - self.over(self.far, power, working, iso),
        }
        return dict(zip(found, np.broadcast_arrays(*found.values()), strict=True))

    def meeting(self, slack=0.0, without=()):
        """Which combinations meet the wish, some limits left out."""
        rooms = self.rooms()
        return np.all([room >= -slack for name, room in rooms.items() if name not in without], axis=0), rooms

    def spare(self, limit):
        """Stops by which one limit could be tightened alone."""
        met, rooms = self.meeting(without=("light", "bright") if limit in ("light", "bright") else (limit,))
        return float(rooms[limit][met].max())

    def of_mark(self, mark):
        return self.seen[:, MARKS.index(mark)]

    def helped(self, changes):
        """Whether some setting meets the wish after these changes, but for a thousandth of a stop."""
        names = {
            "motion_blur": "blur",
            "depth": "depth",
            "diffraction": "disc",
            "loss": "loss",
            "magnification": "scale",
        }
        other = copy.copy(self)
        other.__dict__.pop("seen", None)
        vars(other).update({names[change.quantity]: change.after for change in changes})
        return bool(other.meeting(1e-3)[0].any())


@cache
def situations():
    draw = np.random.default_rng(2720)
    return [Situation(draw) for _ in range(60)]


def case(row):
    return situations()[row["situation"]]


NAMES = ("motion", "depth", "diffraction", "light", "bright")
WORDS = {"motion": "motion blur", "depth": "depth", "diffraction": "softness", "light": "light", "bright": "distance"}
EVERY = tuple({"situation": n} for n in range(60))
whole = source(
    "settings", LIBRARY, EVERY, "every combination, by scipy, fluids, colour-hdri and the raytracing library"
)
light = source("settings", LIBRARY, EVERY, "ISO 2720 and ISO 12232 by colour-hdri, rays by the raytracing library")
rays = source("settings", LIBRARY, EVERY, "rays through two thick lenses by the raytracing library")
speed = source("settings", LIBRARY, EVERY, "scipy's integration with Clift's drag of the fluids library")
bessel = source("settings", LIBRARY, EVERY, "first zero of the Bessel function of scipy, traced f-number")
TRACED = within(5e-5, "thick lenses, as in the lens room")


def possible(row):
    return case(row).plan.possible


def margin(row, limit):
    return next((m.stops for m in case(row).plan.margins if m.limit == limit), math.nan)


CHOICE = [
    speed("speed of the drop", "m/s", lambda r: case(r).speed,
          lambda r: drops.fall(case(r).height, case(r).diameter).speed, within(0.005, "drag laws in use differ")),
    speed("motion blur of the chosen power", "mm", lambda r: 1e3 * case(r).speed * TIMES[case(r).plan.chosen.power],
          lambda r: 1e3 * case(r).plan.chosen.motion_blur, within(1e-5, "six digits printed in the table of times")),
    rays("depth of the chosen aperture", "mm", lambda r: 1e3 * case(r).of_mark(case(r).plan.chosen.f_number)[1],
         lambda r: 1e3 * case(r).plan.chosen.depth, TRACED),
    bessel("Airy disc of the chosen aperture", "µm",
           lambda r: 1e6 * AIRY * WAVELENGTH * case(r).of_mark(case(r).plan.chosen.f_number)[0],
           lambda r: 1e6 * case(r).plan.chosen.diffraction, within(4e-4, "2.44 is rounded from 2.43934")),
    light("exposure at the chosen distance", "stops",
          lambda r: case(r).over(case(r).plan.chosen.distance, case(r).plan.chosen.power,
                                 case(r).of_mark(case(r).plan.chosen.f_number)[0], case(r).plan.chosen.iso),
          lambda r: case(r).level, near(1e-4, "thick lenses, as in the lens room")),
    whole("settings that meet the wish", "settings", lambda r: case(r).meeting()[0].sum(),
          lambda r: len(case(r).plan.settings), near(0.0, "counted")),
    *(whole(f"room to tighten the {WORDS[name]}", "stops", lambda r, name=name: case(r).spare(name),
            lambda r, name=name: margin(r, name), near(1e-3, "2.44 is rounded from 2.43934"), where=possible)
      for name in NAMES),
    whole("changes that help an impossible wish, told together", "answers",
          lambda r: case(r).helped(case(r).plan.changes),
          lambda r: True, near(0.0, "it can then be met"), where=lambda r: not possible(r)),
    whole("changes that help an impossible wish, each alone", "changes",
          lambda r: sum(case(r).helped([change]) for change in case(r).plan.alternatives),
          lambda r: len(case(r).plan.alternatives), near(0.0, "it can then be met"), where=lambda r: not possible(r)),
]  # fmt: skip

CHECKS = CHOICE
