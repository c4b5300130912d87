"""Lesson 08's first panel: two drops and a column in one height-time diagram, with the recorded frame."""

from __future__ import annotations

from functools import cache, lru_cache
from types import SimpleNamespace
from typing import Any

import ipywidgets as widgets
import numpy as np

from splashkit import drops, flash, picture, sync, timing, units
from splashkit.figures.base import jpeg_bytes, photo_html
from splashkit.panels import pair as two
from splashkit.panels.base import Panel
from splashkit.panels.controls import Control, Number
from splashkit.panels.pair import ms

_FIELD = (0.048, 0.072, 0.108)  # width of what the frame shows [m]
_PIXELS = (480, 320)


@cache
def _light() -> Any:
    return flash.light_curve("quench", 1 / 64)


@lru_cache(maxsize=len(_FIELD))
def _camera(wide: float) -> picture.Camera:
    return picture.Camera(
        magnification=0.036 / wide, aim=(0.0, 0.2 * wide), elevation=np.radians(6), pixels=_PIXELS,
    )  # fmt: skip


@lru_cache(maxsize=64)
def frame(pair: two.Pair, gap: float, light: float) -> tuple[bytes, str] | None:
    """Record the frame at the light, with its note; None when the second drop would land first."""
    before = _before_camera(pair, gap)
    if before is None:
        return None
    scene, camera, contact = before
    shot = picture.record(scene, camera, _light(), sync.Shutter(1 / 125, 3.5e-3), moment=light - contact)
    return jpeg_bytes(shot.screen()), shot.note


@lru_cache(maxsize=2)  # yours and the planned one; as the light moves they stay
def _before_camera(pair: two.Pair, gap: float) -> tuple[picture.Scene, picture.Camera, float] | None:
    """Set up the scene and the camera; with them, when the first drop touches the water."""
    met = two.meeting(pair, gap)
    splash, contact = met.splash, float(met.time - met.moment)
    second = drops.fall(drops.fall_height(pair.nozzle_height, pair.second), pair.second, pair.release_speed)
    late = gap + float(second.time) - contact
    if late < 1e-3:
        return None
    scene = picture.collision(
        pair.first, float(splash.speed), late, pair.second, float(second.speed), two.liquid(pair.liquid), made=splash,
        sheet=sheet_of(met) if met.code in two.MEETS else None,
        look=picture.Look(cloudiness=0.9) if pair.liquid == "milk" else None,
    )  # fmt: skip
    needed = float(splash.column_peak_height.value) + 2 * pair.second
    wide = next((field for field in _FIELD if 0.48 * field >= needed), _FIELD[-1])
    return scene, _camera(wide), contact


def sheet_of(met: Any) -> Any:
    """Give the sheet of a meeting, or None where the column is too thin to carry one."""
    try:
        return met.sheet()
    except ValueError:
        return None


class GapAndHeight(Panel):
    """Height, gap, light, drops, liquid; the height-time diagram, its meeting, and the recorded frame."""

    title = "Gap, height and light"
    lead = "First make the drops meet: move the gap. Then make the light come when the sheet is full: move the delay."
    legend_words = (
        ("Solid blue line", "the lowest point of the first drop"),
        ("Dashed orange line", "the lowest point of the second drop"),
        ("Green line of dashes and dots", "the water on the axis: crater below the level, column above it"),
        ("Green shade", "where that line may run, by the model's own band"),
        ("Ring", "where the second drop meets the water"),
        ("Bracket at the top left", "the gap: from letting go of the first drop to letting go of the second"),
        ("Dotted upright line", "the moment of the light"),
        ("Thick orange bar", "when the sheet is near its fullest; the thin ends show the band of that"),
        (
            "Left photograph",
            "what the camera records with these settings; from so low a camera a crater hides below the level",
        ),
        ("Right photograph", "the same drops, with gap and light as the model plans them"),
    )

    def make_controls(self, rig: Any) -> list[Control]:
        """Make the controls."""
        self.presets = {
            "1. Set the gap: meet at the top": lambda: self._plan("top", light=False),
            "2. Set the light: fullest sheet": self._light_on_sheet,
            "Meet on the way up": lambda: self._plan("rising"),
            "Meet on the way down": lambda: self._plan("falling"),
        }
        height, own = two.height_control(self), two.drops_controls(self)
        gap, light = self._miss(two.Pair(*(control.asked() for control in (height, *own))))
        return [
            height,
            Number("gap", "Gap", "s", 5e-3, 0.25, gap, display="ms", quantity="gap between the drops"),
            Number("light", "Delay to the light", "s", 0.05, 0.9, light, display="ms"),
            *own,
        ]

    @staticmethod
    def _miss(pair: two.Pair) -> tuple[float, float]:
        """Give gap and light to open with: the second drop still hangs in the air over a column almost gone."""
        try:
            met = two.diagram(pair, 0.1).meeting
            second = drops.fall(drops.fall_height(pair.nozzle_height, pair.second), pair.second, pair.release_speed)
        except ValueError:  # the panel's sentence will say why
            return 0.094, 0.302
        contact, gone = float(met.time - met.moment), float(met.splash.column_end.value)
        gap, light = contact + gone + 3e-3 - float(second.time), contact + gone - 4e-3
        return round(min(max(gap, 5e-3), 0.25), 3), round(min(max(light, 0.05), 0.9), 3)

    def _now(self) -> Any:
        return SimpleNamespace(**{name: control.read() for name, control in self.controls.items()})

    def _plan(self, phase: str, light: bool = True) -> dict[str, float]:
        plan = two.plan(two.pair_of(self._now()), phase)
        found = {"gap": round(float(plan.gap.value), 4)}
        return found | {"light": round(float(plan.delay.value), 4)} if light else found

    def _light_on_sheet(self) -> dict[str, float]:
        state = self._now()
        met = two.diagram(two.pair_of(state), state.gap).meeting
        sheet = sheet_of(met) if met.code in two.MEETS else None
        if sheet is None:
            raise ValueError("The drops must meet before a light can be set; got a miss. To fix it: set the gap first.")
        return {"light": round(float(met.time + sheet.full_time.value), 4)}

    def make_figures(self) -> list[Any]:
        """Make the two figures."""
        from splashkit.figures.gap import MeetingFigure, WholeFallFigure

        return [WholeFallFigure(), MeetingFigure()]

    def compute(self, state: Any) -> Any:
        """Let both drops fall, and find where they meet."""
        pair = two.pair_of(state)
        drawn = two.diagram(pair, state.gap)
        met = drawn.meeting
        meets = int(met.code) in two.MEETS
        try:
            plan, warnings = two.plan(pair), met.warnings
        except ValueError as refusal:
            plan, warnings = None, (*met.warnings, str(refusal))
        sheet = sheet_of(met) if meets else None
        if sheet is not None:
            warnings = tuple(dict.fromkeys((*warnings, *sheet.warnings)))
        elif meets:
            thick = units.format_quantity(2 * float(met.splash.column_radius.value), "m", 2)
            warnings = (*warnings, f"The column is only {thick} thick here: too thin to make a sheet.")
        return SimpleNamespace(
            pair=pair, drawn=drawn, met=met, meets=meets, plan=plan, sheet=sheet, warnings=warnings,
            window=timing.sheet_window(sheet) if sheet is not None else None, contact=float(met.time - met.moment),
            nozzle_height=state.nozzle_height, gap=state.gap, light=state.light, after=state.light - float(met.time),
        )  # fmt: skip

    def photos(self, state: Any, result: Any) -> list[str]:
        """Record the frame with these settings, and beside it the frame with the planned ones."""
        shown = [("Your settings", result.gap, result.light)]
        if result.plan is not None:
            planned = round(float(result.plan.gap.value), 4), round(float(result.plan.delay.value), 4)
            shown.append(("Same drops, as the model plans them", *planned))
        made = []
        for words, gap, light in shown:
            recorded = frame(result.pair, gap, light)
            if recorded is None:
                continue
            jpeg, note = recorded
            caption = f"{words}: gap {ms(gap)}, light at {ms(light)}." + (f" {note}" if note else "")
            seen = self._seen(result) if words == "Your settings" else "the sheet at its fullest"
            made.append(photo_html(jpeg, f"{words}. {seen}", caption, *_PIXELS))
        return made

    def say(self, state: Any, result: Any) -> tuple[str, str]:
        """Say what the drops do, what the light finds, and what to move next."""
        met = result.met
        high = f", {units.format_quantity(float(met.height), 'm')} above the water" if result.meets else ""
        numbers = (
            f"With a gap of {ms(state.gap)} from {units.format_quantity(state.nozzle_height, 'm')} the second drop "
            f"{two.SAYS[int(met.code)]}{high}, {ms(met.time)} after the first one let go. "
            f"{self._seen(result)} {two.careful(result.warnings)}"
        )
        return numbers.strip(), self._verdict(result)

    def _seen(self, result: Any) -> str:
        light, after = result.light, result.after
        when = f"The light comes at {ms(light)}"
        if light < result.contact:
            return f"{when}, {ms(result.contact - light, 2)} before the first drop touches the water."
        if after < 0:
            stands = float(np.interp(light, result.drawn.time, result.drawn.liquid.value))
            water = f"a column {units.format_quantity(stands, 'm', 2)} high" if stands > 0 else "a crater"
            return f"{when}, {ms(-after, 2)} before the second drop arrives: it finds {water}."
        if result.sheet is None:
            return f"{when}, {ms(after, 2)} after the second drop arrives: it finds broken water, and no sheet."
        if after > float(result.sheet.end_time.value):
            return f"{when}, {ms(after, 2)} after they meet: the sheet is gone."
        wide = 2 * float(result.sheet.radius(after).value)
        return f"{when}, {ms(after, 2)} after they meet, on a sheet {units.format_quantity(wide, 'm', 2)} wide."

    def _verdict(self, result: Any) -> str:
        plan, window = result.plan, result.window
        if not result.meets:
            if plan is None:
                return "They miss."
            longer = "longer" if result.gap < float(plan.gap.value) else "shorter"
            ends = f"between {ms(plan.gap.low, 2)} and {ms(plan.gap.high, 2)}"
            if float(plan.gap.low) <= result.gap <= float(plan.gap.high):
                return (
                    f"By the middle of the band they miss: make the gap {longer}. "
                    f"But the band runs {ends}, so on a real rig they may meet."
                )
            return f"They miss: make the gap {longer}. The model looks for it {ends}."
        if window is None:
            return "They meet, but no sheet comes of it: raise the nozzle, or take larger drops."
        if result.after < 0:
            return "They meet. Now the light: it comes too early, make the delay longer."
        if result.after < float(window.opens.value):
            return "They meet, and the sheet has just begun: a little more delay."
        if result.after > float(window.closes.value):
            return "They meet. Now the light: it comes too late, make the delay shorter."
        return "They meet, and the light finds the sheet near its fullest: this is the picture."

    def alt(self, state: Any, result: Any) -> str:
        """Say what the figures show."""
        met = result.met
        return (
            f"Height against time: the first drop touches the water at {ms(result.contact)}; "
            f"the second {two.SAYS[int(met.code)]} at {ms(met.time)}. {self._seen(result)}"
        )

    def small_changes(self) -> widgets.Widget:
        """Give the table of what one millimetre, a tenth of a millimetre, a degree do; it follows the panel."""
        return two.SmallChanges(self)

    @classmethod
    def changes(cls) -> widgets.Widget:
        """Give that table for the panel that the lesson shows, or say which cell to run first."""
        return cls.of_shown(lambda panel: panel.small_changes())

    def relations(self, state: Any, result: Any) -> list[tuple[Any, dict[str, float]]]:
        """Show the gap of this meeting (or of the planned one), and the light's delay."""
        if result.sheet is not None:
            met, sheet = result.met, result.sheet
        elif result.plan is not None:
            met, sheet = result.plan.meeting, result.plan.sheet
        else:
            return []
        liquid = two.liquid(result.pair.liquid)
        fall = float(drops.fall_height(result.nozzle_height, result.pair.second))
        full = {
            "density": float(liquid.density.value), "surface_tension": float(liquid.surface_tension.value),
            "diameter": result.pair.second,
        }  # fmt: skip
        return [
            ("meeting_gap", {"column_time": float(met.moment), "height": fall, "meeting_height": float(met.height),
                             "gravity": 9.80665}),
            ("sheet_full_time", full),
            ("light_delay", {"first_fall": result.contact, "column_time": float(met.moment),
                             "sheet_time": float(sheet.full_time.value)}),
        ]  # fmt: skip
