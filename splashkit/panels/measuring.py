"""Lesson 11's measuring aids for times: lag, curtains, valve. Each can put what it found into the learner's rig."""

from __future__ import annotations

from contextlib import suppress
from types import SimpleNamespace
from typing import Any

import ipywidgets as widgets
import numpy as np

from splashkit import chains, drops, measure, units
from splashkit import rig as rigs
from splashkit.checks import Range, require
from splashkit.panels.base import Panel
from splashkit.panels.controls import Control, Number, inside
from splashkit.panels.entries import Blank, Row, Ruler

_DELAYS = Range("delays", "s", 0.0, 10.0, "write milliseconds, such as 51 or 51,5")
_SHARES = Range("open shares", "1", 0.0, 1.0, "write per cent of the frame, 0 to 100")
_HEIGHTS = Range("heights", "m", -0.05, 3.0, "write millimetres above the still water")
_SEEN = Range("height seen", "m", high=3.0, advice="measure up from the still water, and check the unit")
LEAST_SHIFT = 1e-5  # s: a valve's own scatter is ten times that
words = units.format_quantity


def _tenths(time: float) -> str:
    """Write a time in milliseconds to a tenth, so that times which stand side by side add up."""
    return f"{units.format_number(round(1e3 * time, 1), 6)} ms"


def _entry(name: str, value: float) -> str:
    question, unit = rigs.BY_NAME[name].question.split(",")[0], getattr(rigs.BY_NAME[name].check, "unit", "1")
    said = units.format_power(value) if name == "flash_power" else words(value, unit)
    return f"{inside(question)}: {said}"


class Aid(Panel):
    """What the aids share: a lead with numbered steps, and a button that keeps the result."""

    steps: tuple[str, ...] = ()

    def _open(self, start: dict[str, Any]) -> None:
        keep = widgets.Button(description="Put this into my rig", tooltip="Save the result in the file of my rig")
        keep.on_click(lambda _: self.keep())
        self._kept_words = widgets.HTML()
        super()._open(start)
        how = "".join(f"<li>{step}</li>" for step in self.steps)
        head, controls, row, picture, note, sentence = self.children
        row.children = (*row.children, keep)
        self.children = [head, widgets.HTML(f"<ol>{how}</ol>"), controls, row, sentence, picture, note]

    def found(self, result: Any) -> dict[str, float]:
        """Name the rig's entries that the result gives, in SI."""
        raise NotImplementedError

    def keep(self) -> str:
        """Save what was found in the learner's rig; entries she has measured otherwise stay."""

        def save() -> dict[str, Any]:
            self.compute(self._read())  # refuses, in its own words, what cannot be kept
            values = self.found(self.result)
            mine = rigs.load() or rigs.Rig()
            said = rigs.save(mine.with_values(**values), since=mine)
            listed = ", ".join(_entry(name, value) for name, value in values.items())
            self._kept, self._drawn = f"Kept in your rig: {listed}. {said}", None
            return {}

        self.press(save)
        return self.sentence

    def _read(self) -> Any:
        return SimpleNamespace(**{name: control.read() for name, control in self.controls.items()})

    _kept = ""

    def _spoken(self, numbers: str, verdict: str) -> tuple[str, str]:
        kept, self._kept = self._kept, ""
        return (f"{numbers} {kept}".strip(), verdict)

    def _height(self) -> Control:
        return Number("nozzle_height", "Nozzle to water", "m", 0.05, 1.5, self.start("nozzle_height", 0.25),
                      display="mm", quantity="nozzle height")  # fmt: skip

    def _diameter(self) -> Control:
        return Number("diameter", "Drop diameter", "m", 1e-3, 8e-3, self.start("first_diameter", 4e-3),
                      display="mm", step=0.1, quantity="drop diameter")  # fmt: skip


class MeasureLag(Aid):
    """The shutter's lag from one frame of the falling first drop."""

    title = "Shutter lag, from one falling drop"
    lead = "The numbers are an invented example: write yours over them. Heights may be in pixels, such as 1200 px."
    steps = (
        "Front curtain, one drop only. Measure nozzle height and drop size first.",
        "Choose a delay that catches the drop in the air, well below the nozzle.",
        "Read the height of the drop's middle above the still water.",
    )
    legend_words = (
        ("Blue line", "the fall of the drop's middle: the clock"),
        ("Blue dot", "where your frame shows the drop: this is the moment of the light"),
        ("Green bar", "the delay that you set"),
        ("Orange bar", "what is left over: the lag from the camera's signal to the light"),
    )

    def make_controls(self, rig: Any) -> list[Control]:
        """Make the controls."""
        return [
            Blank("seen", "Drop's middle above the water", "m", "mm", 0.020, pixels=True, check=_SEEN),
            Number("delay", "Delay set", "s", 0.0, 0.6, 0.1505, display="ms", quantity="delay"),
            self._height(),
            self._diameter(),
            Number("valve", "Valve's signal to release", "s", 0.0, 0.05, self.start("valve_delay", 0.012),
                   display="ms", step=0.5, quantity="time from the valve's signal to release"),
            Number("speed", "Speed at release", "m/s", 0.0, 0.6, self.start("release_speed", 0.1), step=0.01),
            *Ruler().controls,
        ]  # fmt: skip

    def make_figures(self) -> list[Any]:
        """Make the figure."""
        from splashkit.figures.measuring import LagFigure

        return [LagFigure()]

    def compute(self, state: Any) -> Any:
        """Read the drop's height as a moment, and take the delay off."""
        seen = Ruler.height(state.seen, state)
        require(seen is not None, "height seen", "a blank", "a number", "measure up from the still water")
        height = float(seen or 0.0)
        lag = measure.lag_from_drop(height, state.delay, state.nozzle_height, state.diameter, state.valve, state.speed)
        known = chains.light_chain("front", 0.0, curtain_travel=self.start("curtain_travel", 3.5e-3),
                                   link=self.start("link", "cable")).mean  # fmt: skip
        fallen = float(drops.fall(state.nozzle_height - state.diameter / 2 - height, state.diameter, state.speed).time)
        whole = float(drops.fall(state.nozzle_height - state.diameter, state.diameter, state.speed).time)
        time = np.linspace(0.0, whole, 60)
        path = drops.position(time, state.diameter, state.speed).distance
        return SimpleNamespace(
            lag=lag, shutter=float(lag.value) - known, known=known, fallen=fallen, seen=height, delay=state.delay,
            valve=state.valve, light=state.delay + float(lag.value), time=np.append(0.0, state.valve + time),
            height=state.nozzle_height - state.diameter / 2 - np.append(0.0, path),
            delay_words=f"delay set, {_tenths(state.delay)}",
            lag_words=f"lag, {_tenths(float(lag.value))}",
        )  # fmt: skip

    def found(self, result: Any) -> dict[str, float]:
        """Give the shutter lag alone."""
        require(result.shutter >= 0, "shutter lag", words(result.shutter, "s"), "0 or more",
                "check the delay, and which drop it was")  # fmt: skip
        return {"shutter_lag": result.shutter}

    def say(self, state: Any, result: Any) -> tuple[str, str]:
        """Say the lag, with and without the curtain."""
        numbers = (
            f"The drop is {words(result.seen, 'm')} above the water. It let go after {_tenths(state.valve)} and "
            f"fell for {_tenths(result.fallen)}, so the light came {_tenths(result.light)} after the valve's "
            "signal."
        )
        measured = self.rig.valve_delay is not None and not self.rig.invented
        leans = "" if measured else " It leans on the valve's delay: measure that too, then this once more."
        return self._spoken(numbers, (
            f"Camera's signal to the light: {result.lag.text('s')}. Without curtain, cable and flash the shutter lag "
            f"is {words(result.shutter, 's')}.{leans}"
        ))  # fmt: skip

    def relations(self, state: Any, result: Any) -> list[tuple[Any, dict[str, float]]]:
        """Show the sum."""
        return [("lag_from_frame", {"valve_delay": state.valve, "fall_time": result.fallen, "delay": state.delay})]


class MeasureCurtains(Aid):
    """Lag and curtain travel from frames in which the first curtain still covers a part."""

    title = "Lag and curtain travel, from a row of frames"
    lead = "The numbers are an invented example: write yours over them, with spaces between the frames."
    steps = (
        "Let the timer fire the flash, not the camera. Shutter at the sync speed or slower. No drops needed.",
        "Find the delay at which the frame turns from black to open. Take frames in steps of half a millisecond there.",
        "In each frame read how much is open, in per cent, from the side that opens first.",
    )
    legend_words = (
        ("Dots with bars", "your frames, with the error of reading an edge"),
        ("Line", "the straight fit: an even curtain"),
        ("Ring", "where the line starts: the shutter's lag"),
    )

    def make_controls(self, rig: Any) -> list[Control]:
        """Make the controls."""
        return [
            Row("delays", "Delay of the flash, one a frame", _DELAYS, "ms", (0.0655, 0.066, 0.0665, 0.067, 0.0675)),
            Row("shares", "Open part, one a frame", _SHARES, "%", (0.13, 0.31, 0.42, 0.58, 0.73)),
            Number("error", "Error of reading an edge", "1", 0.005, 0.1, 0.02, display="%", step=0.5),
        ]

    def make_figures(self) -> list[Any]:
        """Make the figure."""
        from splashkit.figures.measuring import EdgeFigure

        return [EdgeFigure()]

    def compute(self, state: Any) -> Any:
        """Fit the straight line."""
        fit = measure.curtain_from_series(np.array(state.delays), np.array(state.shares), state.error)
        lag, travel = fit.first, fit.second
        moments = 1e3 * np.array(state.delays)
        ends = (1e3 * lag.value, max(float(moments.max()), 1e3 * lag.value))
        line = tuple((x - 1e3 * lag.value) / (1e3 * travel.value) * 100 for x in ends)
        return SimpleNamespace(
            lag=lag, travel=travel, x=moments, y=100 * np.array(state.shares), error=100 * state.error,
            line=(ends, line), crossing=(ends[0], 0.0, f"lag {words(lag.value, 's')}"),
        )  # fmt: skip

    def found(self, result: Any) -> dict[str, float]:
        """Give lag and travel."""
        return {"shutter_lag": result.lag.value, "curtain_travel": result.travel.value}

    def say(self, state: Any, result: Any) -> tuple[str, str]:
        """Say both, with bands."""
        numbers = f"{len(state.delays)} frames. The curtain starts {result.lag.text('s')} after the camera's signal."
        return self._spoken(numbers, f"It takes {result.travel.text('s')} across the frame.")

    def relations(self, state: Any, result: Any) -> list[tuple[Any, dict[str, float]]]:
        """Show the line at its middle."""
        return [("curtain_edge", {"lag": result.lag.value, "share": 0.5, "travel": result.travel.value})]


class MeasureValve(Aid):
    """Valve delay and release speed from frames of the first drop at several delays."""

    title = "Valve delay and release speed, from several delays"
    lead = "The numbers are an invented example: write yours over them, with spaces between the frames."
    steps = (
        "Open shutter in the dark, the timer fires the flash: no shutter lag can spoil this.",
        "Spread four or more delays over the whole fall, from just below the nozzle to just above the water.",
        "In each frame read the height of the drop's middle above the still water. Nozzle height counts as much.",
    )
    legend_words = (
        ("Dots with bars", "your frames: how far the drop fell, less the fall of an ideal drop from the signal on"),
        ("Line", "the straight fit; its slope and level hold both unknowns"),
    )

    def make_controls(self, rig: Any) -> list[Control]:
        """Make the controls."""
        return [
            Row("moments", "Valve's signal to the light, one a frame", _DELAYS, "ms", (0.05, 0.09, 0.13, 0.17, 0.21)),
            Row("heights", "Drop's middle above the water, one a frame", _HEIGHTS, "mm",
                (0.2370, 0.2110, 0.1680, 0.1110, 0.0385)),
            self._height(),
            self._diameter(),
            Number("error", "Error of reading a height", "m", 0.1e-3, 3e-3, 0.5e-3, display="mm", step=0.1),
        ]  # fmt: skip

    def make_figures(self) -> list[Any]:
        """Make the figure."""
        from splashkit.figures.measuring import StraightFallFigure

        return [StraightFallFigure()]

    def gravity(self) -> float:
        """Give the pull at the rig's latitude: half the difference from equator to pole is a millisecond here."""
        latitude = self.start("latitude", None)
        return 9.80665 if latitude is None else float(drops.normal_gravity(np.radians(latitude)))

    def compute(self, state: Any) -> Any:
        """Fit the straight line."""
        t, z = np.array(state.moments), np.array(state.heights)
        gravity = self.gravity()
        pull = gravity * (1 - measure.BUOYANCY)
        fit = measure.valve_from_heights(t, z, state.nozzle_height, state.diameter, state.error, gravity)
        valve, speed = fit.first, fit.second
        # the same frames under a nozzle that hangs one reading error away: all points shift together
        shifts = []
        for side in (-1, 1):
            with suppress(ValueError):  # from there no drop could fall so
                nozzle = state.nozzle_height + side * state.error
                moved = measure.valve_from_heights(t, z, nozzle, state.diameter, state.error, gravity)
                shifts.append(abs(moved.first.value - valve.value))
        later = np.maximum(t - valve.value, 0.0)
        real = drops.position(later, state.diameter, max(speed.value, 0.0), gravity=gravity).distance
        lost = speed.value * later + 0.5 * pull * later**2 - real  # the air's share, put back
        rest = state.nozzle_height - state.diameter / 2 - z + lost - 0.5 * pull * t**2
        slope = speed.value - pull * valve.value
        level = pull * valve.value**2 / 2 - speed.value * valve.value
        ends = float(t.min()), float(t.max())
        return SimpleNamespace(
            valve=valve, speed=speed, shift=max(shifts, default=0.0), x=1e3 * t, y=1e3 * rest,
            error=1e3 * state.error, crossing=None,
            line=(tuple(1e3 * x for x in ends), tuple(1e3 * (slope * x + level) for x in ends)),
        )  # fmt: skip

    def found(self, result: Any) -> dict[str, float]:
        """Give valve delay and release speed."""
        require(result.valve.value >= 0, "valve delay", words(result.valve.value, "s"), "0 or more",
                "check heights and delays: the drop cannot start before its signal")  # fmt: skip
        return {"valve_delay": result.valve.value, "release_speed": result.speed.value}

    def say(self, state: Any, result: Any) -> tuple[str, str]:
        """Say both, with bands."""
        shift = f"by up to {words(result.shift, 's', 2)}" if result.shift >= LEAST_SHIFT else "nothing to speak of"
        numbers = (
            f"{len(state.moments)} frames. The drop lets go {result.valve.text('s')} after the valve's signal. "
            f"If the nozzle hangs {units.format_number(1e3 * state.error)} mm higher or lower than typed, that changes "
            f"{shift}."
        )
        return self._spoken(numbers, f"It starts with {result.speed.text('m/s')}.")

    def relations(self, state: Any, result: Any) -> list[tuple[Any, dict[str, float]]]:
        """Show the line at the last frame."""
        if result.valve.value < 0:
            return []
        return [("straight_fall", {"speed": result.speed.value, "gravity": self.gravity(),
                                   "valve_delay": result.valve.value, "moment": max(state.moments)})]  # fmt: skip
