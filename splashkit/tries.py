"""One try, for thousands of possible rigs at once: when each body is where, and what the frame shows.

Times count from the first drop's release. A drop's height is that of its middle, a column's that of
its top, above the still surface. ``Bench`` holds what is the same in every try; the unknowns are
rows of an array, one column a possible rig.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any, NamedTuple

import numpy as np

from splashkit import drops, liquids
from splashkit.chains import light_chain
from splashkit.estimate import Estimate
from splashkit.rig import Rig
from splashkit.splash import forms
from splashkit.splash.constants import SHEET_FULL
from splashkit.splash.impact import VISCOSITY, first_drop

# rows of the array of unknowns
UNKNOWNS = ("shutter_lag", "valve_delay", "release_speed", "column_time", "column_height", "jitter", "size_spread")
LAG, VALVE, SPEED, TIME, HEIGHT, JITTER, SIZE = range(7)

LOWEST_MEETING = 0.75  # the column must stand this many drop diameters high to be met; a choice of this course
SURFACE_IN_FRAME = 0.2  # the still surface lies this share of the frame's height above its lower edge; ours


@dataclass(frozen=True)
class Bench:
    """What is the same in every try on one rig (SI), with the splash's curve as a table."""

    nozzle_height: float
    first_diameter: float
    second_diameter: float
    view_top: float
    pull: float  # gravity less buoyancy [m/s2]
    drag: float  # drag deceleration over speed squared [1/m]
    curve: dict[str, float]
    column_radius: float
    table_time: Any
    table_height: Any
    table_slope: Any
    sheet_time: float
    offsets: dict[str, float]  # delay's end to light without the shutter's lag, by chain
    known_spread: float  # scatter of the stages that are known
    chain: str
    shortest_gap: float

    def distance(self, time: Any, speed: Any) -> Any:
        """Distance fallen at a time since release; exact to first order in the drag."""
        t, g, k = np.maximum(time, 0.0), self.pull, self.drag
        return t * (speed + t * (g / 2 - k * (speed**2 / 2 + t * (speed * g / 3 + t * g**2 / 12))))

    def speed(self, time: Any, speed: Any) -> Any:
        """Speed at a time since release."""
        t, g, k = np.maximum(time, 0.0), self.pull, self.drag
        return speed + t * (g - k * (speed**2 + t * (speed * g + t * g**2 / 3)))

    def time_to(self, distance: Any, speed: Any) -> Any:
        """Time since release at which a distance has been fallen."""
        s = np.maximum(distance, 0.0)
        time = 2 * s / (speed + np.sqrt(speed**2 + 2 * self.pull * s) + 1e-9)
        for _ in range(3):
            time = time - (self.distance(time, speed) - s) / np.maximum(self.speed(time, speed), 0.05)
        return time

    def centre_path(self, which: str) -> tuple[float, float]:
        """Return the height of a drop's middle at release, and its diameter."""
        diameter = self.first_diameter if which == "first" else self.second_diameter
        return self.nozzle_height - diameter / 2, diameter

    def time_at_height(self, which: str, height: Any, speed: Any) -> Any:
        """Time since its own release at which a drop's middle is at a height."""
        top, _ = self.centre_path(which)
        return self.time_to(top - np.asarray(height), speed)

    def column(self, time: Any, time_scale: Any, height_scale: Any) -> tuple[Any, Any]:
        """Height and speed of the column's top at a time after first contact; 0 where none stands."""
        u = time / time_scale
        height = np.interp(u, self.table_time, self.table_height, left=0.0, right=0.0)
        slope = np.interp(u, self.table_time, self.table_slope, left=0.0, right=0.0)
        return height * height_scale, slope * height_scale / time_scale


class Events(NamedTuple):
    """When things happen in one try, from the first drop's release."""

    enters: Any  # the first drop comes into view
    contact: Any
    column_start: Any
    column_peak: Any
    column_end: Any
    second_enters: Any
    meeting: Any  # the second drop touches column or surface
    met: Any  # True where it meets a standing column
    meeting_height: Any


def rig_liquid(rig: Rig) -> Any:
    """Return the liquid a rig names, where the library has it; otherwise water of that temperature."""
    temperature = rig.liquid_temperature if rig.liquid_temperature is not None else 20.0
    shares = {key: value for key, value in rig.liquid_parameters.items() if key in ("mass_fraction", "volume_fraction")}
    try:
        if rig.liquid == "milk":
            return liquids.milk(temperature=temperature)
        if rig.liquid == "glycerol_water" and len(shares) == 1:
            return liquids.glycerol_water(**shares, temperature=temperature)
    except ValueError:  # outside that liquid's own sources: water, as the run sheet says too
        pass
    return liquids.water(temperature)


def bench(rig: Rig) -> Bench:
    """Prepare a rig's fixed part; blanks are taken from the demo rig."""
    push = rig.release_speed or 0.0  # only her own: a blank makes no harder splash
    rig = rig.filled()
    liquid = rig_liquid(rig)
    if liquid.viscosity.value > VISCOSITY.high:  # beyond the splash model: its column is a guess that frames put right
        most = Estimate(VISCOSITY.high, VISCOSITY.high, VISCOSITY.high, "the thickest the splash model takes")
        liquid = replace(liquid, viscosity=most)
    height, diameter = float(rig.nozzle_height or 0), float(rig.first_diameter or 0)
    density, tension = float(liquid.density.value), float(liquid.surface_tension.value)
    gravity = float(drops.normal_gravity(np.radians(rig.latitude))) if rig.latitude is not None else 9.80665
    pull = gravity * (1 - 1.204 / density)
    path = height - diameter
    air = {"liquid_density": density, "surface_tension": tension, "gravity": gravity}
    dropped = drops.fall(path, diameter, **air)
    landing = drops.fall(path, diameter, push, **air) if push else dropped
    time = float(dropped.time)
    # the drag that makes the first-order path take exactly as long as the library's fall
    drag = (pull * time**2 / 2 - path) / (pull**2 * time**4 / 12)
    splash = first_drop(diameter, float(landing.speed), liquid, rig.bowl_depth, gravity)
    curve = {name: float(value) for name, value in splash.curve().items()}
    table_time = np.linspace(0.0, curve["end"] * 1.001, 500)
    table = np.maximum(forms.surface_height(table_time, **curve), 0.0)
    capillary = float(forms.capillary_time(float(rig.second_diameter or 0), density, tension))
    chains = {
        kind: light_chain(
            kind,
            curtain_travel=rig.curtain_travel or 0.003,
            exposure_time=max(rig.exposure_time or 0.1, (rig.curtain_travel or 0.003) + 0.001),
            link=rig.link or "cable",
        )
        for kind in ("front", "rear", "open")
    }
    kind = rig.chain or "front"
    field = float(rig.sensor_height or 0.024) / float(rig.magnification or 0.5)
    return Bench(
        nozzle_height=height,
        first_diameter=diameter,
        second_diameter=float(rig.second_diameter or diameter),
        view_top=min(field * (1 - SURFACE_IN_FRAME), height - diameter),
        pull=pull,
        drag=drag,
        curve=curve,
        column_radius=float(splash.column_radius.value),
        table_time=table_time,
        table_height=table,
        table_slope=np.gradient(table, table_time),
        sheet_time=3 * SHEET_FULL * capillary,  # the sheet is back at three times its fullest moment
        offsets={name: chain.mean for name, chain in chains.items()},
        known_spread=float(np.hypot(chains[kind].spread, rig.valve_delay_spread or 0.0)),
        chain=kind,
        shortest_gap=(rig.first_opening or 0.0) + 0.001,
    )


def events(bench: Bench, unknowns: Any, gap: Any) -> Events:
    """Return when things happen for every possible rig; ``gap`` broadcasts against the rigs."""
    speed, scale, high = unknowns[SPEED], unknowns[TIME], unknowns[HEIGHT]
    _, first = bench.centre_path("first")
    second_top, second = bench.centre_path("second")
    enters = bench.time_at_height("first", bench.view_top, speed)
    contact = bench.time_at_height("first", first / 2, speed)
    view = bench.time_at_height("second", bench.view_top, speed)
    # the second drop's lowest point meets the column's top: Newton, starting at a half-high column
    gap = np.asarray(gap)
    path = second_top - second / 2
    meeting = gap + bench.time_to(path - 0.5 * bench.curve["height"] * high, speed)
    for _ in range(6):
        column, slope = bench.column(meeting - contact, scale, high)
        own = meeting - gap
        missing = path - bench.distance(own, speed) - column
        meeting = meeting + np.clip(missing / np.maximum(bench.speed(own, speed) + slope, 0.5), -0.02, 0.02)
    column, _ = bench.column(meeting - contact, scale, high)
    met = (column >= LOWEST_MEETING * second) & (gap > 0)
    start, peak, end = (contact + scale * bench.curve[name] for name in ("start", "peak", "end"))
    return Events(enters, contact, start, peak, end, gap + view, meeting, met, column)


def relative_light(bench: Bench, unknowns: Any, delay: Any, camera: Any, offset: Any) -> Any:
    """Return the light's moment from the first drop's release; ``camera`` is 0 on an open shutter, else 1."""
    return delay + offset + camera * unknowns[LAG] - unknowns[VALVE]
