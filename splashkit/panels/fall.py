"""Lesson 06's panel: how long a drop falls, and what height, air, wobble and place on Earth change."""

from __future__ import annotations

import math
from types import SimpleNamespace
from typing import Any

import numpy as np

from splashkit import drops, units
from splashkit.drops.numbers import STANDARD_GRAVITY
from splashkit.panels.base import Panel
from splashkit.panels.controls import Control, Number, Tick

words = units.format_quantity
_POINTS = 60
SMALL = 1e-4  # s: a smaller difference drowns in the band of the fall, which is milliseconds


def _ms(time: float) -> str:
    return f"{units.format_number(1e3 * time, 2)} ms"  # one unit for all times of the sentence


class Falling(Panel):
    """Height, drop size, push, wobble, latitude; time of contact, the miss without air, the cost of a millimetre."""

    title = "How long does a drop fall?"
    lead = "Set your nozzle's height and your drop. Watch the time of contact, then what one millimetre costs."
    presets = {
        "Low nozzle, 10 cm": {"height": 0.10, "diameter": 4e-3, "release_speed": 0.0},
        "High nozzle, 1 m": {"height": 1.0, "diameter": 4e-3, "release_speed": 0.0},
        "Small drop from 1 m": {"height": 1.0, "diameter": 2e-3, "release_speed": 0.0},
    }
    legend_words = (
        ("Solid blue line", "height of the drop's lowest point above the water, with air"),
        ("Dashed orange line", "the same drop without air; it is always early"),
        ("Drop shapes on the line", "how long or flat the drop is at that moment, drawn much too large"),
        ("Dotted black line", "contact: the lowest point touches the still water"),
        ("Right figure, solid outline", "the drop to scale when the light is timed with air: it just touches"),
        ("Right figure, dashed outline", "the drop to scale when the light is timed without air"),
        ("Upright bar with its length", "how far above the water that drop still is"),
    )

    def make_controls(self, rig: Any) -> list[Control]:
        """Make the controls."""
        latitude = math.radians(self.start("latitude", 50.0))
        return [
            Number("height", "Nozzle height", "m", 0.05, 2.0, self.start("nozzle_height", 0.25), display="mm",
                   step=5, advice="measure from the nozzle's tip to the still water"),
            Number("diameter", "Drop diameter", "m", 1e-3, 8e-3, self.start("first_diameter", 4e-3), display="mm",
                   step=0.1),
            Number("release_speed", "Speed at release", "m/s", 0.0, 2.0, self.start("release_speed", 0.0), step=0.05,
                   advice="0 is a drop that lets go by itself; a valve under pressure gives it more"),
            Number("wobble", "Wobble at release", "1", 0.0, 0.3, 0.1, display="%", step=1.0,
                   advice="give the swing of top and bottom as a share of the radius"),
            Number("latitude", "Latitude", "rad", -math.pi / 2, math.pi / 2, latitude, display="°", step=1.0,
                   advice="0° is the equator, 90° a pole"),
            Tick("local", "Use the gravity of this latitude", rig.latitude is not None),
        ]  # fmt: skip

    def make_figures(self) -> list[Any]:
        """Make the two figures."""
        from splashkit.figures.falling import FallFigure, MissFigure

        return [FallFigure(), MissFigure()]

    def compute(self, state: Any) -> Any:
        """Compute both falls, the shape at contact, and the cost of a millimetre."""
        d, push = state.diameter, state.release_speed
        gravity = float(drops.normal_gravity(state.latitude)) if state.local else STANDARD_GRAVITY
        distance = float(drops.fall_height(state.height, d))
        vacuum = float(drops.fall_in_vacuum(distance, push, gravity).time)
        first = drops.fall(distance, d, push, gravity=gravity)
        landing = drops.wobble_at(float(first.time), d, state.wobble)
        fallen = drops.fall_estimate(state.height, d, push, float(state.wobble * landing.share), gravity=gravity)
        time, speed = float(fallen.time.value), float(fallen.speed.value)
        distances = distance - np.array([0.5e-3, -0.5e-3])
        millimetre = float(np.diff(drops.fall(distances, d, push, gravity=gravity).time)[0])
        standard = float(drops.fall(distance, d, push).time)
        times = np.linspace(0, time, _POINTS)
        marks = np.linspace(0, time, 7)
        where = drops.position(np.concatenate([times, marks, [vacuum]]), d, push, gravity=gravity).distance
        heights = np.maximum(distance - where, 0.0)
        free = np.linspace(0, vacuum, _POINTS)

        def swing(moments: Any) -> Any:
            return 2 * drops.wobble_at(moments, d, state.wobble).reach / d

        return SimpleNamespace(
            distance=distance, time=fallen.time, speed=speed, vacuum=vacuum, early=time - vacuum,
            miss=float(heights[-1]), millimetre=millimetre, gravity=gravity, local_change=time - standard,
            landing=landing, touch_shift=float(landing.reach) / speed, diameter=d,
            path=(times, heights[:_POINTS]), marks=(marks, heights[_POINTS:-1], swing(marks)),
            vacuum_path=(free, np.maximum(distance - push * free - gravity * free**2 / 2, 0.0)),
            swing=float(swing(time)), vacuum_swing=float(swing(vacuum)), warnings=fallen.warnings,
        )  # fmt: skip

    def say(self, state: Any, result: Any) -> tuple[str, str]:
        """Say time, miss, cost of a millimetre, shape and verdict."""
        numbers = (
            f"From {words(state.height, 'm')}, a drop of {words(state.diameter, 'm')} touches the water after "
            f"{result.time.text('s')}, at {words(result.speed, 'm/s')}. Without air it would be there "
            f"{_ms(result.early)} sooner: a light timed that way finds it still {words(result.miss, 'm', 2)} above the "
            "water. One millimetre more height costs "
            f"{_ms(result.millimetre)}. {self._shape(state, result)}"
        )
        if state.local:
            later = "later" if result.local_change >= 0 else "earlier"
            numbers += (
                f" At {words(abs(state.latitude), 'rad')} latitude gravity is {result.gravity:.3f} m/s²: contact comes "
                f"{_ms(abs(result.local_change))} {later} than under standard gravity."
            )
        return numbers, " ".join([self._verdict(result), *result.warnings])

    def _shape(self, state: Any, result: Any) -> str:
        if state.wobble == 0:
            return "It lands as a ball."
        turns = units.format_number(float(result.landing.cycles), 2 if result.landing.cycles < 100 else 3)
        names = ("long", "halfway from long to flat", "flat", "halfway from flat to long")
        name = names[round(float(result.landing.phase) / (math.pi / 2)) % 4]
        swings = f"On the way it swings {turns} times to flat and back, and it lands {name}."
        if abs(result.touch_shift) < SMALL:
            return f"{swings} That moves the touch by less than 0.1 ms."
        when = "earlier" if result.touch_shift >= 0 else "later"
        return f"{swings} So it touches {_ms(abs(result.touch_shift))} {when} than a ball would."

    def _verdict(self, result: Any) -> str:
        share = result.miss / result.diameter
        if share < 0.25:
            return "Air hardly matters here: timed without it, the drop hangs less than a quarter of its size too high."
        if share < 1:
            return "Air shows: timed without it, the drop hangs less than its own size too high."
        size = units.format_number(share, 2)
        return f"Air matters: timed without it, the drop hangs {size} times its own size too high."

    def alt(self, state: Any, result: Any) -> str:
        """Say what the figures show."""
        return (
            f"Height against time: contact after {words(result.time.value, 's')} with air, {words(result.vacuum, 's')} "
            f"without. Beside it, to scale, the drop {words(result.miss, 'm', 2)} above the water at the time "
            "without air."
        )

    def relations(self, state: Any, result: Any) -> list[tuple[Any, dict[str, float]]]:
        """Show the fall without air, the cost of a millimetre, and the wobble."""
        fall = {"height": result.distance, "gravity": result.gravity}
        pushed = ("fall_with_push", {**fall, "release_speed": state.release_speed})
        water = {"surface_tension": drops.drag.WATER_SURFACE_TENSION, "density": drops.drag.WATER_DENSITY}
        return [
            pushed if state.release_speed else ("fall_in_vacuum", fall),
            ("height_cost", {"height_change": 1e-3, "speed": result.speed}),
            ("wobble_frequency", {**water, "diameter": state.diameter}),
        ]
