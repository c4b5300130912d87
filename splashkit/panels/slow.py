"""Lesson 00's first panel: two drops and the water in slow motion, one recorded frame at a time."""

from __future__ import annotations

from functools import lru_cache
from types import SimpleNamespace
from typing import Any

import numpy as np

from splashkit import drops, flash, picture, splash, sync, units
from splashkit.figures.base import jpeg_bytes, photo_html
from splashkit.panels import pair as two
from splashkit.panels.base import Panel
from splashkit.panels.controls import Control, Number

PIXELS = (600, 400)
FIELDS = (0.036, 0.048, 0.06, 0.072, 0.108)  # width of what the frame shows [m]
BEFORE, AFTER = -0.02, 0.15  # first and last moment, from the first drop's touch [s]


@lru_cache(maxsize=8)
def film_of(pair: two.Pair) -> Any:
    """Plan a meeting at the column's top, and make its scene; refuses where there is none."""
    planned = two.plan(pair)
    met = planned.meeting
    contact = float(met.time - met.moment)
    second = drops.fall(drops.fall_height(pair.nozzle_height, pair.second), pair.second, pair.release_speed)
    scene = picture.collision(
        pair.first, float(met.splash.speed), float(planned.gap.value) + float(second.time) - contact, pair.second,
        float(second.speed), two.liquid(pair.liquid), made=met.splash, sheet=planned.sheet,
        look=picture.Look(cloudiness=0.9) if pair.liquid == "milk" else None,
    )  # fmt: skip
    needed = float(met.splash.column_peak_height.value) + 2.5 * pair.second
    wide = next((field for field in FIELDS if 0.46 * field >= needed), FIELDS[-1])
    start, met_at = float(met.splash.column_start.value), float(met.moment)
    return SimpleNamespace(
        pair=pair, scene=scene, splash=met.splash, sheet=planned.sheet, wide=wide, speed=float(met.splash.speed),
        start=start, met=met_at, crown=0.62 * start, full=met_at + float(planned.sheet.full_time.value),
        gone=met_at + float(planned.sheet.end_time.value),
    )  # fmt: skip


class SlowMotion(Panel):
    """One control, the moment; the recorded frame, and its name."""

    title = "Two drops in slow motion"
    lead = "Press the six buttons from left to right. Then drag the slider, or step with − and +."
    legend_words = (
        ("Photograph", "what a camera records at this moment, computed from drops, water and light"),
        ("Bright background", "a white sheet behind the bowl, lit by the flash from behind"),
        ("Darker half below", "the water, with what it mirrors"),
    )

    def make_controls(self, rig: Any) -> list[Control]:
        """Make the control, and a button for each act."""
        self.film = self._film()
        film, pair = self.film, self.film.pair
        acts = {
            words: round(moment, 4)
            for words, moment in (
                ("1. The first drop", -0.5 * pair.first / film.speed - 0.004),
                ("2. The crown", 0.45 * film.crown),
                ("3. The crater", 0.5 * (film.crown + film.start)),
                ("4. The column", 0.5 * (film.start + film.met)),
                ("5. The meeting", film.met - 0.0005),
                ("6. The sheet", film.full),
            )
        }
        self.presets = {words: {"moment": moment} for words, moment in acts.items()}
        start = acts["6. The sheet"]
        return [Number("moment", "Time since the first touch", "s", BEFORE, AFTER, start, display="ms")]

    def _film(self) -> Any:
        liquid = "milk" if self.start("liquid", "water") == "milk" else "water"
        pair = two.Pair(
            self.start("nozzle_height", 0.25), self.start("first_diameter", 4e-3), self.start("second_diameter", 4e-3),
            liquid, self.start("bowl_depth", 0.05), self.start("release_speed", 0.1),
        )  # fmt: skip
        try:
            return film_of(pair)
        except ValueError:  # a rig that makes no meeting: lesson 08 says why
            return film_of(two.Pair(0.25, 4e-3, 4e-3, "water", 0.05, 0.0))

    def compute(self, state: Any) -> Any:
        """Say which act it is."""
        film, t = self.film, state.moment
        act = int(np.searchsorted([0, film.crown, film.start, film.met, film.gone], t, side="right"))
        return SimpleNamespace(film=film, moment=t, act=act)

    def photos(self, state: Any, result: Any) -> list[str]:
        """Record the frame at this moment."""
        film = result.film
        camera = picture.Camera(magnification=0.036 / film.wide, aim=(0.0, 0.2 * film.wide), pixels=PIXELS,
                                elevation=np.radians(8))  # fmt: skip
        light = flash.light_curve("quench", 1 / 64)
        shot = picture.record(film.scene, camera, light, sync.Shutter(1 / 125, 3.5e-3), moment=result.moment)
        return [photo_html(jpeg_bytes(shot.screen()), f"Recorded frame. {self.sentence}", "", *PIXELS)]

    def say(self, state: Any, result: Any) -> tuple[str, str]:
        """Say what is there."""
        film, t, act = result.film, result.moment, result.act
        if act == 0:
            away = film.speed * -t
            out = 0.48 * film.wide  # the frame's upper edge, about
            return (
                f"{_ms(-t)} before the touch the first drop is {_mm(away)} above the water"
                f"{', still above the frame' if away > out else ''}. "
                f"It falls at {units.format_quantity(film.speed, 'm/s', 2)}.", "The first drop is on its way.",
            )  # fmt: skip
        after = f"{_ms(t)} after the first touch"
        if t == 0:
            return "The lowest point of the first drop reaches the water.", "This is the touch: the clock starts here."
        if act == 1:
            return f"{after}, the water stands up round the place where the drop went in.", "This is the crown."
        if act == 2:
            deep = max(-float(splash.column_height(film.splash, t).value), 1e-4)
            return (
                f"{after}, the crown has sunk. It leaves a hole {_mm(deep)} deep, "
                "below the level: this low camera sees only its mouth.", "This is the crater, and now it closes.",
            )  # fmt: skip
        if act == 3 and film.met - t < 1e-3:
            return (
                f"{after}, the second drop is about to touch the top of the column: {_soon(film.met - t)} from now.",
                "This is the meeting.",
            )  # fmt: skip
        if act == 3:
            high = max(float(splash.column_height(film.splash, t).value), 0.0)
            return (
                f"{after}, the crater has closed and thrown up a jet of water, {_mm(high)} high. "
                f"The second drop comes to meet it, {_ms(film.met - t)} from now.", "This is the column.",
            )  # fmt: skip
        if act == 4:
            wide = 2 * float(film.sheet.radius(t - film.met).value)
            return (
                f"{after}, the second drop has hit the top of the column, and both spread out flat, {_mm(wide)} wide.",
                "This is the sheet, and this is the picture." if t < film.full + 0.6 * (film.gone - film.full)
                else "The sheet is sinking: too late.",
            )  # fmt: skip
        return f"{after}, the sheet has broken up.", "It is over: the next try begins."


def _soon(value: float) -> str:
    return f"{1e3 * value:.1f} ms" if value >= 0.5e-4 else "less than 0.1 ms"


def _ms(value: float) -> str:
    return units.format_quantity(float(value), "s")


def _mm(value: float) -> str:
    return units.format_quantity(float(value), "m", 2)
