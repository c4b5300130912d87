"""Lesson 00's first panel: the whole chain from the valve's click to the light, on one axis."""

from __future__ import annotations

from functools import lru_cache
from types import SimpleNamespace
from typing import Any, NamedTuple

from splashkit import chains, flash, timing, units
from splashkit.panels.base import Panel
from splashkit.panels.controls import Control, Ladder, Number, Pick
from splashkit.panels.pair import no_meeting

CHAINS = (
    ("Timer fires the camera, front curtain fires the flash", "front"),
    ("Timer fires the camera, rear curtain fires the flash", "rear"),
    ("Shutter stays open in the dark, timer fires the flash", "open"),
)
SHUTTER_TIMES = tuple(time for time in units.SHUTTER_TIMES if 1 / 250 <= time <= 0.5)
_BEFORE, _AFTER = 0.04, 0.06  # how long an open shutter is shown before the first signal and after the light [s]


class Bar(NamedTuple):
    """One stage: its row and look in the figure, its words, start and end, and the band of its end [s]."""

    row: str
    look: str
    words: str
    start: float
    end: float
    earliest: float
    latest: float


def _bar(row: str, look: str, words: str, start: float, end: float, *band: float) -> Bar:
    low, high = band or (end, end)
    return Bar(row, look, words, float(start), float(end), float(low), float(high))


@lru_cache(maxsize=64)
def _flash_duration(power: float) -> float:
    return float(flash.light_curve("quench", power).t01)


@lru_cache(maxsize=32)
def _plan(height: float, diameter: float, release_speed: float) -> Any:
    try:
        return timing.gap_for_meeting(height, diameter, release_speed=release_speed)
    except ValueError as problem:
        raise ValueError(no_meeting(diameter, height)) from problem


def ms(value: Any, digits: int = 3) -> str:
    """Write a time as words."""
    return units.format_quantity(float(value), "s", digits)


class Timeline(Panel):
    """The trigger chain, nozzle height, drop, lag, exposure; every stage as a bar, the light as a line."""

    title = "From the valve's click to the picture"
    lead = "Each row is one part of the chain, with the lesson that explains it. Change something: what moves with it?"
    legend_words = (
        ("Triangles", "the timer's signals: valve, valve again, then camera or flash"),
        ("Short hatched start of a drop's bar (purple)", "the valve opens and lets the drop go"),
        ("Long piece of a drop's bar (light blue)", "a drop falls"),
        ("Dotted piece, then full piece (green)", "the crater, then the column"),
        ("Bar beside 'sheet of water' (orange)", "the sheet, from the meeting of drop and column until it is gone"),
        ("Striped bar (white)", "shutter lag: the camera has its signal, but nothing moves yet"),
        ("Short end of the camera's bar (red)", "the front curtain runs across the frame"),
        ("Pale long bar (grey)", "the shutter is open: any light in the room counts now"),
        ("Dotted upright line", "the light; the flash itself is thinner than the line"),
        ("Thin black lines", "how early or late the end of the bar above may come"),
    )

    def make_controls(self, rig: Any) -> list[Control]:
        """Make the controls."""
        # an open flash waits for seconds, and how long changes nothing here: the panel opens all the same
        exposure = min(max(self.start("exposure_time", 0.1), SHUTTER_TIMES[0]), SHUTTER_TIMES[-1])
        exposure = units.nearest_mark(exposure, SHUTTER_TIMES)
        return [
            Pick("chain", "Who fires whom", CHAINS, self.start("chain", "front")),
            Number("nozzle_height", "Nozzle height", "m", 0.08, 0.8, self.start("nozzle_height", 0.25), display="mm",
                   step=5),
            Number("diameter", "Diameter of both drops", "m", 2e-3, 7e-3, self.start("first_diameter", 4e-3),
                   display="mm", step=0.1, quantity="drop diameter"),
            Number("shutter_lag", "Shutter lag", "s", 0.0, 0.25, self.start("shutter_lag", 0.065), display="ms"),
            Ladder("exposure_time", "Shutter time", SHUTTER_TIMES, "shutter", exposure),
            Ladder("flash_power", "Flash power", units.FLASH_POWERS, "power", self.start("flash_power", 1 / 32)),
        ]  # fmt: skip

    def make_figures(self) -> list[Any]:
        """Make the figure."""
        from splashkit.figures.timeline import TimelineFigure

        return [TimelineFigure()]

    def compute(self, state: Any) -> Any:
        """Put every stage on one clock that starts with the first valve signal."""
        valve = self.start("valve_delay", 0.012)
        spread = self.start("valve_delay_spread", 0.0004)
        release = self.start("release_speed", 0.1)
        plan = _plan(state.nozzle_height, state.diameter, release)
        chain = chains.light_chain(
            state.chain, state.shutter_lag, self.start("shutter_lag_spread", 0.0005),
            self.start("curtain_travel", 0.0035), state.exposure_time, self.start("link", "cable"),
        )  # fmt: skip
        light = valve + float(plan.delay.value)
        delay = float(chains.delay_setting(chain, light))
        scatter = (chain.spread**2 + spread**2) ** 0.5
        made = SimpleNamespace(plan=plan, chain=chain, kind=state.chain, valve=valve, light=light, delay=delay,
                               gap=float(plan.gap.value), scatter=scatter, duration=_flash_duration(state.flash_power),
                               exposure=state.exposure_time)  # fmt: skip
        made.open = "stays open" if state.chain == "open" else f"open {units.format_shutter(state.exposure_time)}"
        made.flash = f"lit {ms(made.duration, 2)}"
        made.bars = [*self._water(made, spread), *self._camera(made)]
        fires = "flash" if state.chain == "open" else "camera"
        made.signals = [("valve", 0.0), ("valve again", made.gap), (fires, delay)]
        return made

    def _water(self, made: Any, spread: float) -> list[Bar]:
        plan, valve, gap = made.plan, made.valve, made.gap
        splash, touch = plan.meeting.splash, valve + float(plan.touch.value)
        contact = valve + float(plan.first_contact)

        def band(estimate: Any, start: float) -> tuple[float, float]:
            return start + float(estimate.low), start + float(estimate.high)

        start, end = splash.column_start, splash.column_end
        gone = plan.sheet.end_time
        scatter = 2 * spread
        return [
            _bar("first", "valve", "", 0, valve, valve - scatter, valve + scatter),
            _bar("first", "fall", f"falls {ms(contact - valve)}", valve, contact, contact - scatter, contact + scatter),
            _bar("water", "crater", "", contact, contact + float(start.value), *band(start, contact)),
            _bar("water", "column", "", contact + float(start.value), contact + float(end.value), *band(end, contact)),
            _bar("second", "valve", "", gap, gap + valve, gap + valve - scatter, gap + valve + scatter),
            _bar("second", "fall", f"falls {ms(touch - gap - valve)}", gap + valve, touch, *band(plan.touch, valve)),
            _bar("sheet", "sheet", "", touch, touch + float(gone.value), *band(gone, touch)),
        ]

    def _camera(self, made: Any) -> list[Bar]:
        stages = {stage.name: stage for stage in made.chain.stages}
        flash_bar = _bar("flash", "flash", "", made.light, made.light + made.duration)
        if made.kind == "open":
            opens, closes = -_BEFORE, made.light + _AFTER
            return [_bar("open", "open", "", opens, closes), flash_bar]
        lag = stages["shutter lag"]
        opens = made.delay + made.chain.stages[0].mean + lag.mean
        travel = self.start("curtain_travel", 0.0035)
        return [
            _bar("camera", "lag", "", made.delay, opens, opens - 2 * lag.spread, opens + 2 * lag.spread),
            _bar("camera", "travel", "", opens, opens + travel),
            _bar("open", "open", "", opens, opens + travel + made.exposure),
            flash_bar,
        ]

    def say(self, state: Any, result: Any) -> tuple[str, str]:
        """Say how long each part takes, when the timer must act, and how short the picture is."""
        plan = result.plan
        fall, water = float(plan.first_contact), float(plan.meeting.moment)
        fires = "flash" if result.kind == "open" else "camera"
        numbers = (
            f"From the valve's signal to the light: {ms(result.light)} ({ms(result.valve + float(plan.delay.low))} to "
            f"{ms(result.valve + float(plan.delay.high))}). The valve takes {ms(result.valve)} of it, the "
            f"fall {ms(fall)}, crater and column {ms(water, 2)}, and the sheet {ms(plan.sheet.full_time.value, 2)}. "
            f"The timer sends the second drop at {ms(result.gap)} and fires the {fires} at {ms(result.delay)}: from "
            f"there {ms(result.chain.mean)} pass until the light. Shot to shot, water and light miss each other by "
            f"{1e3 * result.scatter:.1f} ms or less in two frames of three."
        )
        parts = f"{float(f'{result.light / result.duration:.2g}'):.0f}"
        return numbers, f"The picture itself takes {ms(result.duration, 2)}: one part in {parts} of the wait."

    def alt(self, state: Any, result: Any) -> str:
        """Say what the figure shows."""
        plan = result.plan
        return (
            f"Timeline: the first drop touches the water at {ms(result.valve + float(plan.first_contact))}, the second "
            f"meets the column at {ms(result.valve + float(plan.touch.value))}, light at {ms(result.light)}."
        )

    def relations(self, state: Any, result: Any) -> list[tuple[Any, dict[str, float]]]:
        """Show how the light's moment adds up."""
        plan = result.plan
        parts = {"column_time": float(plan.meeting.moment), "sheet_time": float(plan.sheet.full_time.value)}
        return [("light_delay", {"first_fall": float(plan.first_contact), **parts})]
