"""A practice rig: a hidden rig to try on before anything gets wet.

Its numbers are drawn from a seed that is shown at the end. Its physics is deliberately not the
adviser's: its own drag law, another shape of rise and fall, stages of the column that do not scale
together, a second valve stroke that differs from the first, a slipstream, a lag that drifts, drops
that vary, a ruler that reads a little wrong, and ripples for those who do not wait.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any, NamedTuple

import numpy as np

from splashkit import flash, picture, sync, tries
from splashkit.checks import Choice, Range
from splashkit.log import Shot
from splashkit.odds import HIT_WINDOW
from splashkit.picture import bodies as body
from splashkit.picture import films, hollow
from splashkit.rig import CHAINS, Rig, demo

_SEED = Range("seed", "1", 0, 2**31, "give a whole number")
_GAP = Range("gap", "s", 0.0, 2.0, "give seconds: 70 ms is 0.07")
_DELAY = Range("delay", "s", 0.0, 10.0, "give seconds from the first valve signal")
_WAITED = Range("time waited", "s", 0.0, 86400.0, "give seconds since the last drops")
_CHAIN = Choice("chain", CHAINS)

UNKNOWN_AT_FIRST = ("shutter_lag", "shutter_lag_spread", "valve_delay", "valve_delay_spread", "release_speed")


@dataclass(frozen=True)
class Hidden:
    """What the learner is to find out, and what nobody could know. SI."""

    shutter_lag: float
    valve_delay: float
    release_speed: float
    column_time: float
    column_height: float
    jitter: float
    size_spread: float
    # below: how this rig's physics differs from any model
    height_error: float  # the nozzle hangs this much higher than was measured
    terminal_speed: float
    gravity: float
    start_factor: float
    peak_factor: float
    end_factor: float
    rise_shape: float
    fall_shape: float
    second_stroke: float  # the second stroke of the valve is this much later than the first
    magnetism: float  # and this much more when the gap is short
    slipstream: float  # the second drop falls in the first one's wake: this share faster
    drift: float  # the lag creeps by this from frame to frame
    ruler: float  # scale error of heights
    settling_time: float

    def text(self) -> str:
        """Write the hidden numbers the learner was after as words."""
        words = (
            f"shutter lag {self.shutter_lag * 1e3:.0f} ms, valve delay {self.valve_delay * 1e3:.1f} ms, "
            f"release speed {self.release_speed:.2f} m/s, column {100 * (self.column_time - 1):+.0f} % in time and "
            f"{100 * (self.column_height - 1):+.0f} % in height, scatter of the light {self.jitter * 1e3:.1f} ms"
        )
        return words.replace("-", "−")


class Bodies(NamedTuple):
    """Where everything was at the light's moment, for a picture. NaN where a body is not there; SI."""

    first_height: float  # middle of the first drop above the still surface
    first_diameter: float
    first_speed: float  # downwards
    second_height: float
    second_diameter: float
    second_speed: float
    column_height: float
    column_speed: float  # upwards
    crater_depth: float
    since_contact: float
    since_meeting: float
    meeting_height: float
    met: bool
    ripples: float  # amplitude of what was left on the water


class Tried(NamedTuple):
    """One practice frame: what to draw, what a person would log, and whether it was a hit."""

    bodies: Bodies
    shot: Shot
    hit: bool
    light_after_meeting: float


class Practice:
    """A rig that hides its numbers. ``rig`` is what the learner knows; ``hidden`` is for afterwards."""

    def __init__(self, seed: int, rig: Rig | None = None, chain: str = "front"):
        self.seed, self.chain = int(_SEED(seed)), _CHAIN(chain)
        known = (rig or demo()).filled()
        self.rig = known.with_values(**dict.fromkeys(UNKNOWN_AT_FIRST), chain=self.chain, name="practice rig")
        self.bench = tries.bench(self.rig)
        self.frames = 0
        self._random = np.random.default_rng([self.seed, 1])
        self.hidden = self._draw(np.random.default_rng([self.seed, 0]))

    def camera(self) -> picture.Camera:
        """Return the camera of the practice frames: the rig's scale, the still surface near the lower edge."""
        rig = self.rig
        sensor = (float(rig.sensor_width or 0.036), float(rig.sensor_height or 0.024))
        scale = float(rig.magnification or 0.5)
        aim = (0.5 - tries.SURFACE_IN_FRAME) * sensor[1] / scale
        return picture.Camera(
            magnification=scale,
            aim=(0.0, aim),
            elevation=0.12,  # from a little above, so that rings and crater show; heights shrink by 0.7 %
            sensor=sensor,
            pixels=(640, round(640 * sensor[1] / sensor[0])),
            f_number=float(rig.aperture or 11.0),
        )

    def record(self, tried: Tried, light: Any = None, shutter: Any = None, ambient: float = 0.0) -> picture.Frame:
        """Record one frame; without a light, that of a short flash."""
        light = flash.exponential(40e-6) if light is None else light
        shutter = sync.Shutter(1 / 125, 3e-3) if shutter is None else shutter
        # rings that were left from the drops before are drawn as those of an older splash
        moment = 0.3 if tried.bodies.ripples > 1e-4 and not self._shows_splash(tried) else tried.bodies.since_contact
        return picture.record(self.scene(tried, moment), self.camera(), light, shutter, moment=moment, ambient=ambient)

    @staticmethod
    def _shows_splash(tried: Tried) -> bool:
        return tried.bodies.since_contact > 0

    def scene(self, tried: Tried, moment: float) -> picture.Scene:
        """Return the scene of one frame, with the light at ``moment`` on its clock."""
        b, bench = tried.bodies, self.bench
        bodies: list[Any] = []
        crater = bench.curve["depth"]
        touch, meet = moment - b.since_contact, moment - b.since_meeting
        risen = math.isfinite(b.column_height)
        sheet = b.met and 0 <= b.since_meeting < bench.sheet_time
        if tried.shot.surface == "crown":
            end = touch + bench.curve["start"] * self.hidden.column_time * self.hidden.start_factor
            crown = films.Crown(
                start=touch, end=max(end, moment + 1e-3), height_max=crater / 2, radius_max=1.1 * crater
            )
            far, near = films.layers(crown)
            deepest = bench.curve["deepest"] * self.hidden.column_time
            bodies += [hollow.Hollow(crown, crater, deepest, touch, crown.end), far, *near]
        if risen or sheet:
            # the tip stands still in the picture: while the flash lasts it moves less than a tenth of a millimetre
            bodies.append(
                body.Column(
                    start=moment - 0.05, peak_time=moment, end=moment + 0.05, radius=bench.column_radius,
                    peak_height=b.column_height if risen else b.meeting_height, foot=1.05 * crater,
                    cap=None if risen else (meet, b.meeting_height, -0.25), sheet_gone=meet + bench.sheet_time,
                )
            )  # fmt: skip
        for height, size, speed, name in (
            (b.first_height, b.first_diameter, b.first_speed, "first drop"),
            (b.second_height, b.second_diameter, b.second_speed, "second drop"),
        ):
            if math.isfinite(height):
                bodies.append(body.Drop(size, speed, height, moment, acceleration=self.hidden.gravity, name=name))
        if sheet:
            film = films.Sheet(
                start=meet, end=meet + bench.sheet_time, height=b.meeting_height, drop_diameter=b.second_diameter,
                full_time=bench.sheet_time / 3,
            )  # fmt: skip
            far, near = films.layers(film)
            bodies += [far, *near]
        surface = picture.Surface(float(self.rig.bowl_radius or 0.1), max(moment, 0.0))
        return picture.Scene(tuple(bodies), surface, words="a practice frame")

    def _draw(self, random: np.random.Generator) -> Hidden:
        even, bell = random.uniform, random.normal
        return Hidden(
            shutter_lag=0.0 if self.chain == "open" else even(0.0, 0.250),
            valve_delay=even(0.005, 0.025),
            release_speed=even(0.0, 0.3),
            column_time=even(0.8, 1.2),
            column_height=even(0.8, 1.2) * math.exp(bell(0.0, 0.12)),
            jitter=0.5e-3,
            size_spread=even(0.002, 0.015),
            height_error=bell(0.0, 0.7e-3),
            terminal_speed=even(7.0, 11.0),
            gravity=even(9.78, 9.83),
            start_factor=math.exp(bell(0.0, 0.03)),
            peak_factor=math.exp(bell(0.0, 0.12)),
            end_factor=math.exp(bell(0.0, 0.15)),
            rise_shape=even(0.75, 1.15),
            fall_shape=even(1.5, 2.6),
            second_stroke=bell(0.0, 0.3e-3),
            magnetism=even(-1.0e-3, 1.0e-3),
            slipstream=even(0.0, 0.004),
            drift=bell(0.0, 0.03e-3),
            ruler=bell(0.0, 0.015),
            settling_time=even(3.0, 8.0),
        )

    def shoot(self, gap: float, delay: float, waited: float = 60.0) -> Tried:
        """Take one frame."""
        gap, delay, waited = float(_GAP(gap)), float(_DELAY(delay)), float(_WAITED(waited))
        h, bench, random = self.hidden, self.bench, self._random
        self.frames += 1
        ripples = math.exp(-waited / h.settling_time) if self.frames > 1 else 0.0
        size = random.normal(0.0, h.size_spread, 2)
        release_one = h.valve_delay + random.normal(0.0, 0.1e-3)
        stroke = h.second_stroke + h.magnetism * math.exp(-gap / 0.03)
        release_two = gap + h.valve_delay + stroke + random.normal(0.0, 0.1e-3)
        lag = h.shutter_lag + h.drift * self.frames
        light = delay + bench.offsets[self.chain] + lag + random.normal(0.0, h.jitter)
        nozzle = bench.nozzle_height + h.height_error
        one, two = bench.first_diameter * (1 + size[0]), bench.second_diameter * (1 + size[1])
        contact = release_one + self._fall_time(nozzle - one, 0.0)
        late = h.column_time * (1 + 0.9 * size[0]) * (1 + 0.05 * ripples * random.normal())
        tall = h.column_height * (1 + 1.0 * size[0]) * (1 + 0.3 * ripples * random.normal())
        meeting, top = self._meeting(release_two, nozzle - two, contact, late, tall)
        met = top >= tries.LOWEST_MEETING * bench.second_diameter
        miss = light - meeting
        column, column_speed = self._column(light - contact, late, tall)
        bodies = Bodies(
            *self._drop(light - release_one, nozzle, one, light < contact, 0.0),
            *self._drop(light - release_two, nozzle, two, miss < 0, h.slipstream),
            column_height=column if column > 0 and miss < 0 else math.nan,
            column_speed=column_speed,
            crater_depth=self._crater(light - contact, late),
            since_contact=light - contact,
            since_meeting=miss,
            meeting_height=top,
            met=bool(met),
            ripples=1e-3 * ripples,
        )
        hit = bool(met and abs(miss) <= HIT_WINDOW)
        return Tried(bodies, self._observed(bodies, hit, gap, delay, waited), hit, miss)

    def _distance(self, time: float, slipstream: float) -> tuple[float, float]:
        """Quadratic drag from a thrown start, in closed form; a slipstream weakens the drag's worth of time."""
        h = self.hidden
        end = h.terminal_speed
        start = math.atanh(h.release_speed / end)
        x = h.gravity * max(time, 0.0) / end + start
        distance = end**2 / h.gravity * (math.log(math.cosh(x)) - math.log(math.cosh(start)))
        return distance * (1 + slipstream), end * math.tanh(x) * (1 + slipstream)

    def _fall_time(self, distance: float, slipstream: float) -> float:
        time = math.sqrt(2 * distance / self.hidden.gravity)
        for _ in range(8):
            fallen, speed = self._distance(time, slipstream)
            time += (distance - fallen) / max(speed, 0.05)
        return time

    def _drop(
        self, time: float, nozzle: float, diameter: float, there: bool, slipstream: float
    ) -> tuple[float, float, float]:
        if time < 0 or not there:
            return math.nan, diameter, math.nan
        fallen, speed = self._distance(time, slipstream)
        return nozzle - diameter / 2 - fallen, diameter, speed

    def _column(self, time: float, late: float, tall: float) -> tuple[float, float]:
        """A sine rise to a power and a fall to a power: neither is the adviser's shape."""
        h, curve = self.hidden, self.bench.curve
        start = curve["start"] * late * h.start_factor
        peak = start + (curve["peak"] - curve["start"]) * late * h.peak_factor
        end = peak + (curve["end"] - curve["peak"]) * late * h.end_factor

        def height(t: float) -> float:
            if not start < t < end:
                return 0.0
            if t < peak:
                return float(
                    tall * curve["height"] * math.sin(math.pi / 2 * (t - start) / (peak - start)) ** h.rise_shape
                )
            return float(tall * curve["height"] * (1 - ((t - peak) / (end - peak)) ** h.fall_shape))

        return height(time), (height(time + 1e-4) - height(time - 1e-4)) / 2e-4

    def _crater(self, time: float, late: float) -> float:
        curve = self.bench.curve
        end = curve["start"] * late
        return curve["depth"] * math.sin(math.pi * time / end) if 0 < time < end else 0.0

    def _meeting(self, release: float, path: float, contact: float, late: float, tall: float) -> tuple[float, float]:
        """Step the second drop down until it touches the column or the surface; then halve the step."""
        slip = self.hidden.slipstream

        def touched(moment: float) -> bool:
            fallen, _ = self._distance(moment - release, slip)
            return path - fallen <= self._column(moment - contact, late, tall)[0]

        high = release + self._fall_time(path, slip)
        low = max(high - 0.04, release)
        steps = np.linspace(low, high, 41)
        first = next((i for i, moment in enumerate(steps) if touched(float(moment))), 40)
        low, high = float(steps[max(first - 1, 0)]), float(steps[first])
        for _ in range(25):
            middle = 0.5 * (low + high)
            low, high = (low, middle) if touched(middle) else (middle, high)
        return high, self._column(high - contact, late, tall)[0]

    def _observed(self, bodies: Bodies, hit: bool, gap: float, delay: float, waited: float) -> Shot:
        """What a careful person would write down: heights to half a millimetre, and words."""
        top = self.bench.view_top

        def read(height: float) -> float | None:
            if not height < top:
                return None
            seen = height * (1 + self.hidden.ruler) + self._random.normal(0.0, 0.5e-3)
            return max(round(seen * 2e3) / 2e3, 0.0)

        first, second = read(bodies.first_height), read(bodies.second_height)
        column = read(bodies.column_height) if bodies.column_height > 0.5e-3 else None
        miss = bodies.since_meeting
        if miss > 0:
            fresh = miss < self.bench.sheet_time
            surface = "sheet" if bodies.met and fresh else "ripples"
        elif bodies.since_contact < 0:
            surface = "calm"
        elif column is not None:
            surface = "column"
        else:
            risen = bodies.since_contact > self.bench.curve["peak"] * self.hidden.column_time
            surface = "ripples" if risen else "crown"
        nothing = surface == "calm" and first is None and second is None
        seen = "hit" if hit else "nothing" if nothing else "early" if miss < 0 else "late"
        return Shot(
            gap=gap, delay=delay, waited=waited, chain=self.chain, first_height=first, column_height=column,
            second_height=second, seen=seen, surface=surface, nozzle_height=self.bench.nozzle_height, note="practice",
        )  # fmt: skip
