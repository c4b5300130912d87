"""Lesson 02's panel: how long a flash lasts, by the way the unit makes less light."""

from __future__ import annotations

from functools import cache, lru_cache
from types import SimpleNamespace
from typing import Any

from splashkit import drops, flash, picture, sync, units
from splashkit.panels import verdicts
from splashkit.panels.base import Panel
from splashkit.panels.controls import Control, Ladder, Number, Pick

KINDS = (
    ("cuts the flash short (quench)", "quench"),
    ("charges to a lower voltage", "voltage"),
    ("switches capacitors off", "capacitor"),
)
NAMES = {"quench": "a unit that cuts its flash short", "voltage": "a unit that lowers its voltage",
         "capacitor": "a unit that switches capacitors off"}  # fmt: skip

# The frame beside the figures: a dark room, the shutter open, life size and a half
CAMERA = picture.Camera(magnification=1.5, pixels=(360, 240), aim=(0.0, -3e-3))
SHUTTER = sync.Shutter(0.5, kind="open")
FIRES = 0.1  # s after the shutter opened
BESIDE_FULL = 1 / 32  # the power shown beside a flash at full power


@lru_cache(maxsize=64)
def light_curve(kind: str, power: float) -> Any:
    """Make each light curve once; a curve depends on nothing else."""
    return flash.light_curve(kind, power)


@cache
def all_durations() -> dict[str, tuple[float, ...]]:
    """Give t0.1 at each marked power for each kind of unit."""
    return {kind: tuple(float(light_curve(kind, p).t01) for p in units.FLASH_POWERS) for _, kind in KINDS}


@lru_cache(maxsize=64)
def _band(kind: str, power: float) -> Any:
    return flash.duration_estimate(kind, power)


@lru_cache(maxsize=48)
def _recorded(kind: str, power: float, diameter: float, speed: float) -> tuple[bytes, str]:
    """Record the drop with a flash: JPEG bytes, and what is seen."""
    from splashkit.figures.base import jpeg_bytes

    scene = picture.falling_drop(diameter, speed)
    frame = picture.record(scene, CAMERA, light_curve(kind, power), SHUTTER, flash_time=FIRES)
    return jpeg_bytes(frame.screen()), scene.words


class FlashDuration(Panel):
    """Kind of unit, power, speed and size of the drop; light curve, durations, smear."""

    title = "How long is a flash?"
    lead = "Lower the power step by step. Then change how the unit makes less light."
    presets = {
        "Camera flash at full power": {"kind": "quench", "power": 1.0},
        "Camera flash at 1/32": {"kind": "quench", "power": 1 / 32},
        "Voltage-controlled unit at 1/8": {"kind": "voltage", "power": 1 / 8},
    }
    legend_words = (
        ("Solid blue line with shaded area", "the light of this flash, as a share of its own peak"),
        ("Dotted grey line", "the same unit at full power"),
        ("Bar at 0.5", "t0.5: how long the light is above half of its peak"),
        ("Bar at 0.1", "t0.1: how long it is above a tenth; this is what smears the drop"),
        ("Right figure", "t0.1 at each power: solid for units that cut the flash short, dashed for lower voltage, "
                         "dotted for fewer capacitors"),
        ("Ring", "the present setting"),
        ("Left photograph", "the drop as the camera records it: the light of this flash added up over time"),
        ("Right photograph", "the same drop by the same unit at full power; beside full power, at 1/32. "
                             "The flash stands so near or far that both are equally bright"),
    )  # fmt: skip

    def make_controls(self, rig: Any) -> list[Control]:
        """Make the controls."""
        height, diameter = self.start("nozzle_height", 0.5), self.start("first_diameter", 4e-3)
        speed = float(drops.fall(drops.fall_height(height, diameter), diameter).speed)
        return [
            Pick("kind", "How the unit makes less light", KINDS, self.start("flash_kind", "quench")),
            Ladder("power", "Flash power", units.FLASH_POWERS, "power", self.start("flash_power", 1 / 16)),
            Number("speed", "Speed of the drop", "m/s", 0.1, 6.0, round(speed, 2), step=0.1),
            Number("diameter", "Drop diameter", "m", 1e-3, 8e-3, diameter, display="mm", step=0.1),
        ]

    def make_figures(self) -> list[Any]:
        """Make the two figures."""
        from splashkit.figures.flash import DurationFigure, LightCurveFigure

        return [LightCurveFigure(), DurationFigure()]

    def compute(self, state: Any) -> Any:
        """Compute duration and smear."""
        curve = light_curve(state.kind, state.power)
        full = light_curve(state.kind, 1.0)
        smear = state.speed * curve.t01
        return SimpleNamespace(
            kind=state.kind, power=state.power, curve=curve, full=full, smear=smear, share=smear / state.diameter,
            change=full.t01 / curve.t01, ladder=units.FLASH_POWERS, durations=all_durations(),
        )  # fmt: skip

    def photos(self, state: Any, result: Any) -> list[str]:
        """Record the drop with this flash."""
        from splashkit.figures.base import photo_html

        beside = 1.0 if state.power < 1 else BESIDE_FULL
        shown = []
        for power, caption in (
            (state.power, f"Your settings: {units.format_power(state.power)} power"),
            (beside, f"The same unit at {'full' if beside == 1 else units.format_power(beside)} power"),
        ):
            jpeg, seen = _recorded(state.kind, power, state.diameter, state.speed)
            smear = units.format_quantity(state.speed * light_curve(state.kind, power).t01, "m", 2)
            words = f"{caption}. Recorded frame: {seen}, smeared over {smear}."
            shown.append(photo_html(jpeg, words, caption, *CAMERA.pixels))
        return shown

    def say(self, state: Any, result: Any) -> tuple[str, str]:
        """Say duration, smear and verdict."""
        t01 = result.curve.t01
        band = _band(state.kind, state.power)
        low, high = (units.format_quantity(float(end), "s", 2) for end in (band.low, band.high))
        numbers = (
            f"At {units.format_power(state.power)} power, {NAMES[state.kind]} is bright for "
            f"{units.format_quantity(t01, 's')} (t0.1, about {units.format_shutter(1 / float(f'{1 / t01:.2g}'))}; "
            f"your unit: {low} to {high}). "
            f"At {units.format_quantity(state.speed, 'm/s')} the drop moves "
            f"{units.format_quantity(result.smear, 'm', 2)} in that time: "
            f"{units.format_number(100 * result.share, 2)} % of its diameter."
        )
        return numbers, f"{verdicts.of_smear(result.share)} {self._against_full(state.power, result.change)}".strip()

    def _against_full(self, power: float, change: float) -> str:
        if power == 1:
            return ""
        if change > 1.05:
            return f"The flash is {units.format_number(change, 2)} times shorter than at full power."
        if change < 0.95:
            return f"The flash is {units.format_number(1 / change, 2)} times longer than at full power."
        return "The flash is as long as at full power."

    def alt(self, state: Any, result: Any) -> str:
        """Say what the figures show."""
        curve = result.curve
        return (
            f"Light against time at {units.format_power(state.power)} power: above half of its peak for "
            f"{units.format_quantity(curve.t05, 's')}, above a tenth for {units.format_quantity(curve.t01, 's')}."
        )

    def relations(self, state: Any, result: Any) -> list[tuple[Any, dict[str, float]]]:
        """Show the smear, and the durations of the plain exponential flash it is compared with."""
        return [("blur", {"speed": state.speed, "duration": float(result.curve.t01)})]
