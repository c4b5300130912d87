"""Lesson 03's panel: two curtains in motion, the light, and the drop as it is recorded."""

from __future__ import annotations

from functools import lru_cache
from types import SimpleNamespace
from typing import Any

import numpy as np

from splashkit import drops, flash, picture, sync, units
from splashkit.panels import verdicts
from splashkit.panels.base import Panel
from splashkit.panels.controls import Control, Ladder, Number, Pick, Tick

LIGHTS = (
    ("pulsed burn (high-speed sync)", "burn"),
    ("one flash at lowest power (1/128)", "low"),
    ("one flash at full power", "full"),
    ("daylight, no flash", "day"),
)
NAMES = {"burn": "a pulsed burn", "low": "one weak flash", "full": "one full flash", "day": "daylight"}
HELD = (
    ("level (landscape)", "landscape"),
    ("upright, its top to the left", "portrait_left"),
    ("upright, its top to the right", "portrait_right"),
    ("upside down", "inverted"),
)
DIRECTIONS = {"landscape": "against", "inverted": "with", "portrait_left": "across", "portrait_right": "across"}
# sync names an upright camera by where its grip points: the top goes left when the grip goes up
SIDES = {"landscape": "landscape", "inverted": "inverted", "portrait_left": "portrait_grip_up",
         "portrait_right": "portrait_grip_down"}  # fmt: skip
TIMES = tuple(time for time in units.SHUTTER_TIMES if time <= 1 / 60)
POWERS = {"low": 1 / 128, "full": 1.0}
PIXELS = (480, 320)
ROWS = np.linspace(0, 1, 241)


@lru_cache(maxsize=64)
def one_flash(light: str) -> Any:
    """Make the light of one flash once."""
    return flash.light_curve("quench", POWERS[light])


@lru_cache(maxsize=64)
def burn(exposure: float, travel: float, frequency: float) -> Any:
    """Make a burn that lasts from the first row's opening to the last row's closing."""
    return flash.pulsed_burn(sync.burn_needed(exposure, travel), frequency)


def sync_time(travel: float) -> float:
    """Give the shortest marked shutter time that shows every row the whole lowest-power flash."""
    limit = float(sync.sync_limit(travel, one_flash("low").t01))
    return min(time for time in units.SHUTTER_TIMES if time >= limit)


def frame(
    light: str, exposure: float, travel: float, frequency: float, held: str, speed: float, scale: float,
    diameter: float, level: float,
) -> picture.Frame:  # fmt: skip
    """Record one frame, with the drop in its middle."""
    camera = picture.Camera(magnification=scale, orientation=held, pixels=PIXELS)
    shutter, scene = sync.Shutter(exposure, travel), picture.falling_drop(diameter, speed)
    if light in POWERS:
        return picture.record(scene, camera, one_flash(light), shutter, flash_level=level)
    # the drop passes the middle of the frame when the middle row is halfway through its light
    curve = burn(exposure, travel, frequency) if light == "burn" else None
    return picture.record(scene, camera, curve, shutter, moment=-0.5 * (exposure + travel), flash_time=0.0,
                          flash_level=level, ambient=0.0 if light == "burn" else level)  # fmt: skip


@lru_cache(maxsize=32)
def recorded(*settings: Any) -> bytes:
    """Give a frame as JPEG bytes; the one by weak flash stays the same while other controls move."""
    from splashkit.figures.base import jpeg_bytes

    return jpeg_bytes(frame(*settings).screen())


class Curtains(Panel):
    """Shutter time, light and camera; slit, light of each row, squash, streak and dark band."""

    title = "Two curtains and a moving drop"
    lead = "Choose a shorter shutter time. Then change the light, and turn the camera."
    presets = {
        "One flash at sync speed": {"light": "low", "exposure": 1 / 250, "held": "landscape"},
        "One flash, shutter too fast": {"light": "low", "exposure": 1 / 400, "held": "landscape"},
        "High-speed sync at 1/500": {"light": "burn", "exposure": 1 / 500, "held": "landscape"},
        "High-speed sync at 1/8000": {"light": "burn", "exposure": 1 / 8000, "held": "landscape"},
        "Daylight at 1/250": {"light": "day", "exposure": 1 / 250, "held": "landscape"},
    }
    legend_words = (
        ("White stripe", "the open slit: each row is open from the front curtain until the rear curtain comes"),
        ("Solid blue and dashed red lines", "front and rear curtain; the time between them is the shutter time"),
        ("Orange", "the light: a thin line for one flash, a veil for a pulsed burn or daylight"),
        ("Dotted black line", "rows that are shut again when the flash fires: they stay black"),
        ("Purple band between dash-dotted lines", "where the image of the drop is at each instant"),
        ("Dark purple", "the part of the drop's way that is recorded"),
        ("Lower strip", "the light against time, each pulse a tooth"),
        ("Right strip", "the share of the light that each row gets"),
        ("Photographs", "the same drop twice: by one weak flash at the sync speed, and with your settings"),
    )  # fmt: skip

    def make_controls(self, rig: Any) -> list[Control]:
        """Make the controls."""
        height, self.diameter = self.start("nozzle_height", 0.5), self.start("first_diameter", 4e-3)
        speed = float(drops.fall(drops.fall_height(height, self.diameter), self.diameter).speed)
        travel = min(max(self.start("curtain_travel", 3e-3), 1e-3), 8e-3)
        return [
            Ladder("exposure", "Shutter time", TIMES, "shutter", 1 / 2000),
            Pick("light", "Light", LIGHTS, "burn"),
            Pick("held", "Camera held", HELD, "landscape"),
            Number("speed", "Speed of the drop", "m/s", 0.1, 6.0, round(speed, 2), step=0.1),
            # life size, whatever the rig's own: the shape must be seen
            Number("magnification", "Magnification", "1", 0.2, 2.0, 1.0, step=0.05),
            Number("travel", "Curtain travel", "s", 1e-3, 8e-3, travel, display="ms", step=0.1),
            Number("frequency", "Pulses a second", "Hz", 5e3, 100e3, 40e3, display="kHz", log=True,
                   quantity="rate of pulses"),
            Tick("brighten", "Make up for the light lost in a burn (higher ISO)", True),
        ]  # fmt: skip

    def make_figures(self) -> list[Any]:
        """Make the figure."""
        from splashkit.figures.curtains import CurtainFigure

        return [CurtainFigure()]

    def compute(self, state: Any) -> Any:
        """Compute what each row gets, and what becomes of the drop."""
        exposure, travel, direction = state.exposure, state.travel, DIRECTIONS[state.held]
        image, slit = state.speed * state.magnification, float(sync.slit_speed(travel))
        shutter = sync.Shutter(exposure, travel)
        slow = state.light in ("burn", "day")
        curve: Any = one_flash(state.light) if state.light in POWERS else None
        shares = np.ones_like(ROWS)
        if state.light == "burn":
            curve = burn(exposure, travel, state.frequency)
            shares = sync.row_light_share(curve, shutter, ROWS, 0.0)
        elif curve is not None:
            shares = sync.row_light_share(curve, shutter, ROWS)
        usual = float(sync.burn_share(exposure, travel)) if state.light == "burn" else float(shares[-1])
        dark = 0.0 if slow else float(sync.dark_band_fraction(exposure, travel))
        if slow:
            streak = float(sync.blur_in_slit(image, exposure, slit, direction)) / state.magnification
        else:
            streak = state.speed * curve.t01
        pulses = sync.pulses_per_row(state.frequency, exposure)
        return SimpleNamespace(
            exposure=exposure, travel=travel, light=state.light, curve=curve, frequency=state.frequency,
            flash_start=travel, duty=flash.burn.DUTY, pulses=state.frequency * (exposure + travel), rows=ROWS,
            shares=shares, usual_share=usual,
            first_side=sync.dark_band_side(SIDES[state.held]), dark=dark, lit=(dark, 1.0),
            drift={"against": 1, "with": -1, "across": 0}[direction] * image / sync.FRAME_HEIGHT,
            half=0.5 * self.diameter * state.magnification / sync.FRAME_HEIGHT,
            middle=0.5 * (exposure + travel) if slow else travel, direction=direction, image=image, slit_speed=slit,
            slit=float(sync.slit_width(exposure, travel)), streak=streak, share=streak / self.diameter,
            length=float(sync.length_factor(image, slit, direction)), slant=float(sync.slant_angle(image, slit)),
            row_pulses=pulses, banding=float(sync.banding(state.frequency, exposure)) if state.light == "burn" else 0.0,
            lowest=float(shares.min()), sync=sync_time(travel), low=one_flash("low").t01,
        )  # fmt: skip

    def photos(self, state: Any, result: Any) -> list[str]:
        """Record the drop twice: by one weak flash at the sync speed, and as set."""
        from splashkit.figures.base import photo_html

        own = (state.held, state.speed, state.magnification, self.diameter)
        best = recorded("low", result.sync, state.travel, 40e3, *own, 1.0)
        level = 1 / result.usual_share if state.light == "burn" and state.brighten else 1.0
        mine = recorded(state.light, state.exposure, state.travel, state.frequency, *own, level)
        size = PIXELS if state.held in ("landscape", "inverted") else PIXELS[::-1]
        lost = "" if level == 1 else f", brightened by {units.format_number(np.log2(level), 2)} stops"
        first = f"One weak flash at {units.format_shutter(result.sync)}"
        second = f"Yours: {NAMES[state.light]} at {units.format_shutter(state.exposure)}{lost}"
        return [photo_html(best, f"Recorded frame. {first}: a sharp round drop.", first, *size),
                photo_html(mine, f"Recorded frame. {second}. {self._drop(state, result)}", second, *size)]  # fmt: skip

    def say(self, state: Any, result: Any) -> tuple[str, str]:
        """Say slit, light, shape and smear."""
        if state.light in POWERS:
            return self._say_flash(state, result)
        row = units.format_quantity(state.exposure, "s")
        if result.slit < 0.999 * sync.FRAME_HEIGHT:
            numbers = (f"A slit {units.format_quantity(result.slit, 'm', 2)} wide crosses the frame in "
                       f"{units.format_quantity(state.travel, 's')} and lights each row for {row}.")  # fmt: skip
        else:
            numbers = f"The whole frame is open for a moment; each row is lit for {row}."
        if state.light == "burn":
            stops = -float(sync.burn_stops(state.exposure, state.travel))
            numbers += (f" A row gets {units.format_number(100 * result.usual_share)} % of the burn, "
                        f"{units.format_number(stops, 2)} stops less than from one flash.")  # fmt: skip
        numbers += f" {self._drop(state, result)}{self._bands(result)}"
        times = units.format_number(state.exposure / result.low, 2)
        verdict = f"{verdicts.of_smear(result.share)} Each row is lit {times} times as long as by the weak flash."
        return numbers, verdict

    def _say_flash(self, state: Any, result: Any) -> tuple[str, str]:
        lit = units.format_quantity(result.curve.t01, "s", 2)
        numbers = (f"The flash is bright for {lit}: the drop moves {units.format_quantity(result.streak, 'm', 2)}, "
                   f"{units.format_number(100 * result.share, 2)} % of its diameter.")  # fmt: skip
        if result.dark > 0:
            numbers += (f" When it fires, {units.format_number(100 * result.dark, 2)} % of the rows are shut again, "
                        f"at the {result.first_side} of the picture.")  # fmt: skip
            verdict = "A dark band: the shutter is too fast for one flash."
            return numbers, f"{verdict} Use {units.format_shutter(result.sync)} or slower."
        numbers += f" The whole frame is open for {units.format_quantity(state.exposure - state.travel, 's', 2)}."
        if result.lowest < 0.97:
            numbers += (f" The rows shut first get only {units.format_number(100 * result.lowest, 2)} % of the light, "
                        f"at the {result.first_side}.")  # fmt: skip
        return numbers, verdicts.of_smear(result.share)

    def _drop(self, state: Any, result: Any) -> str:
        streak = (f"{units.format_quantity(result.streak, 'm', 2)} "
                  f"({units.format_number(100 * result.share, 2)} % of its diameter)")  # fmt: skip
        if state.light in POWERS:
            return f"The drop keeps its shape and is smeared over {streak}."
        shape = {
            "against": f"squashed to {units.format_number(100 * result.length, 2)} % of its height",
            "with": f"stretched to {units.format_number(100 * result.length, 2)} % of its height",
            "across": f"slanted by {units.format_quantity(result.slant, 'rad', 2)}",
        }[result.direction]
        return f"The drop is {shape} and smeared over {streak}."

    def _bands(self, result: Any) -> str:
        if result.banding < 0.005:
            return ""
        few, most = int(result.row_pulses.fewest), int(result.row_pulses.most)
        return (f" Rows get {few} or {most} pulses: bands of "
                f"{units.format_number(100 * result.banding, 2)} % in brightness.")  # fmt: skip

    def alt(self, state: Any, result: Any) -> str:
        """Say what the figure shows."""
        lit = f"each row gets {units.format_number(100 * result.usual_share)} % of the light"
        if result.dark > 0:
            lit = f"{units.format_number(100 * result.dark, 2)} % of the rows are shut again and stay black"
        return (f"Rows of the frame against time at {units.format_shutter(state.exposure)}, curtain travel "
                f"{units.format_quantity(state.travel, 's')}, with {NAMES[state.light]}: {lit}. "
                f"{self._drop(state, result)}")  # fmt: skip

    def relations(self, state: Any, result: Any) -> list[tuple[Any, dict[str, float]]]:
        """Show row light, squash and smear, or the dark band, with the present numbers."""
        if state.light in POWERS:
            pairs: list[tuple[Any, dict[str, float]]] = [
                ("sync_limit", {"curtain_travel": state.travel, "duration": float(result.curve.t01)}),
                ("dark_band", {"curtain_travel": state.travel, "delay": 0.0, "exposure_time": state.exposure}),
                ("blur", {"speed": state.speed, "duration": float(result.curve.t01)}),
            ]
            return pairs
        moving = {"speed": state.speed, "magnification": state.magnification, "slit_speed": result.slit_speed}
        shape, smear = {"against": ("squash", "streak_level"), "with": ("stretch", "streak_inverted"),
                        "across": ("slant", "streak_upright")}[result.direction]  # fmt: skip
        lit = {"speed": state.speed, "exposure_time": state.exposure}
        pairs = [(smear, lit if smear == "streak_upright" else {**moving, **lit}),
                 ("slit_speed", {"frame_height": sync.FRAME_HEIGHT, "curtain_travel": state.travel}),
                 (shape, moving)]  # fmt: skip
        if state.light == "burn":
            pairs.insert(0, ("row_share", {"exposure_time": state.exposure, "curtain_travel": state.travel}))
        return pairs
