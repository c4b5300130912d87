"""Lesson 08's panels: two drops and a column in one height-time diagram, and the map of outcomes."""

from __future__ import annotations

from collections.abc import Callable
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

LOWEST, HIGHEST = 0.08, 0.8  # nozzle heights people build [m]; house choice
HEIGHTS = tuple(float(h) for h in np.linspace(LOWEST, HIGHEST, 25))
GAPS = tuple(float(g) for g in np.linspace(0.001, 0.22, 293))
CHECKED = (155.0, 920.0)  # Weber numbers of the cases behind splashkit.splash
_FIELD = (0.048, 0.072, 0.108)  # width of what the frame shows [m]
_PIXELS = (480, 320)


def ms(value: Any, digits: int = 3) -> str:
    """Write a time as words."""
    return units.format_quantity(float(value), "s", digits)


def _height_control(panel: Panel) -> Control:
    height = panel.start("nozzle_height", 0.25)
    return Number("nozzle_height", "Nozzle height", "m", LOWEST, HIGHEST, height, display="mm", step=5)


@cache
def _light() -> Any:
    return flash.light_curve("quench", 1 / 64)


@lru_cache(maxsize=24)
def frame(pair: two.Pair, gap: float, light: float) -> bytes | None:
    """Record what the camera would see when the light comes; None when the second drop would land first."""
    met = two.diagram(pair, gap).meeting
    splash, contact = met.splash, float(met.time - met.moment)
    second = drops.fall(drops.fall_height(pair.nozzle_height, pair.second), pair.second, pair.release_speed)
    late = gap + float(second.time) - contact
    if late < 1e-3:
        return None
    scene = picture.collision(
        pair.first, float(splash.speed), late, pair.second, float(second.speed), two.liquid(pair.liquid), made=splash,
        sheet=met.sheet() if met.code in two.MEETS else None,
        look=picture.Look(cloudiness=0.9) if pair.liquid == "milk" else None,
    )  # fmt: skip
    needed = float(splash.column_peak_height.value) + 2 * pair.second
    wide = next((field for field in _FIELD if 0.48 * field >= needed), _FIELD[-1])
    camera = picture.Camera(
        magnification=0.036 / wide, aim=(0.0, 0.2 * wide), elevation=np.radians(6), pixels=_PIXELS,
    )  # fmt: skip
    shot = picture.record(scene, camera, _light(), sync.Shutter(1 / 125, 3.5e-3), moment=light - contact)
    return jpeg_bytes(shot.screen())


class GapAndHeight(Panel):
    """Height, gap, light, drops, liquid; the height-time diagram, its meeting, and the recorded frame."""

    title = "Gap, height and light"
    lead = "First make the drops meet: move the gap. Then make the light come when the sheet is full: move the delay."
    legend_words = (
        ("Solid blue line", "the lowest point of the first drop"),
        ("Dashed orange line", "the lowest point of the second drop"),
        ("Green line", "the water on the axis: crater below the level, column above it"),
        ("Green shade", "where that line may run, by the model's own band"),
        ("Ring", "where the second drop meets the water"),
        ("Bracket at the top left", "the gap: from letting go of the first drop to letting go of the second"),
        ("Dotted upright line", "the moment of the light"),
        ("Thick orange bar", "when the sheet is near its fullest; the thin ends show the band of that"),
        ("Left photograph", "what the camera records with these settings"),
        ("Right photograph", "the same drops, with gap and light as the model plans them"),
    )

    def make_controls(self, rig: Any) -> list[Control]:
        """Make the controls."""
        self.presets = {
            "1. Set the gap: meet at the top": lambda: self._plan("top", light=False),  # type: ignore[dict-item]
            "2. Set the light: fullest sheet": self._light_on_sheet,  # type: ignore[dict-item]
            "Meet on the way up": lambda: self._plan("rising"),  # type: ignore[dict-item]
            "Meet on the way down": lambda: self._plan("falling"),  # type: ignore[dict-item]
        }
        return [
            _height_control(self),
            Number("gap", "Gap", "s", 5e-3, 0.25, 0.025, display="ms", quantity="gap between the drops"),
            Number("light", "Delay to the light", "s", 0.05, 0.9, 0.24, display="ms"),
            *two.drops_controls(self),
        ]

    def _button(self, words: str, values: Any) -> widgets.Button:
        if not callable(values):
            return super()._button(words, values)
        button = widgets.Button(description=words, tooltip=words)
        button.on_click(lambda _: self.press(values))
        return button

    def press(self, find: Callable[[], dict[str, float]]) -> None:
        """Set what a button finds, or say why it cannot."""
        try:
            found = find()
        except ValueError as refusal:
            self._refuse(str(refusal), "splash-refused")
        else:
            self.set(**found)

    def _now(self) -> Any:
        return SimpleNamespace(**{name: control.read() for name, control in self.controls.items()})

    def _plan(self, phase: str, light: bool = True) -> dict[str, float]:
        plan = two.plan(two.pair_of(self._now()), phase)
        found = {"gap": round(float(plan.gap.value), 4)}
        return found | {"light": round(float(plan.delay.value), 4)} if light else found

    def _light_on_sheet(self) -> dict[str, float]:
        state = self._now()
        met = two.diagram(two.pair_of(state), state.gap).meeting
        return {"light": round(float(met.time + met.sheet().full_time.value), 4)}

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
        sheet = met.sheet() if meets else None
        if sheet is not None:
            warnings = tuple(dict.fromkeys((*warnings, *sheet.warnings)))
        return SimpleNamespace(
            pair=pair, drawn=drawn, met=met, meets=meets, plan=plan, sheet=sheet, warnings=warnings,
            window=timing.sheet_window(sheet) if meets else None, contact=float(met.time - met.moment),
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
            jpeg = frame(result.pair, gap, light)
            if jpeg is None:
                continue
            caption = f"{words}: gap {ms(gap)}, light at {ms(light)}"
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
        if not result.meets:
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
            return (
                f"They miss: make the gap {longer}. "
                f"The model looks for it between {ms(plan.gap.low, 2)} and {ms(plan.gap.high, 2)}."
            )
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

    def relations(self, state: Any, result: Any) -> list[tuple[Any, dict[str, float]]]:
        """Show the gap of this meeting (or of the planned one), and the light's delay."""
        if result.meets:
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


class OutcomeMap(Panel):
    """Outcome over gap and nozzle height, for the chosen drops; the setting marked."""

    title = "What the second drop meets, for every gap and height"
    lead = "The white cross is your setting. Raise the nozzle and keep the cross in the area 'top'."
    legend_words = (
        ("Areas with words", "what the second drop meets; each has its own hatch"),
        ("Thick black line", "the gap that meets the column at its top, by the model"),
        ("Dotted black lines", "the band of that gap: the column may come early or late"),
        ("White cross", "the present setting"),
        ("Long-dashed grey line", "beyond it the model was not checked against real splashes"),
    )

    def make_controls(self, rig: Any) -> list[Control]:
        """Make the controls."""
        gap = Number("gap", "Gap", "s", 5e-3, 0.22, 0.068, display="ms", quantity="gap between the drops")
        return [_height_control(self), gap, *two.drops_controls(self)]

    def make_figures(self) -> list[Any]:
        """Make the map."""
        from splashkit.figures.gap import OutcomeMapFigure

        return [OutcomeMapFigure()]

    def compute(self, state: Any) -> Any:
        """Map the outcomes, and find the present one."""
        pair = two.pair_of(state)
        anywhere = pair._replace(nozzle_height=0.0)  # the map is the same at every height of the nozzle
        edges, best, inside = map_parts(anywhere)
        met = two.meeting(pair, state.gap)
        return SimpleNamespace(
            key=anywhere, heights=np.array(HEIGHTS), gaps=np.array(GAPS), edges=edges, best=best, inside=inside,
            met=met, nozzle_height=state.nozzle_height, gap=state.gap, plan=two.plan(pair),
        )  # fmt: skip

    def say(self, state: Any, result: Any) -> tuple[str, str]:
        """Say the outcome here, and what height does to gap and light."""
        plan = result.plan
        numbers = (
            f"From {units.format_quantity(state.nozzle_height, 'm')} with a gap of {ms(state.gap)} the second drop "
            f"{two.SAYS[int(result.met.code)]}. The gap for the top is {plan.gap.text('s')} here; the fullest sheet "
            f"comes {ms(plan.delay.value)} after the first drop let go. {two.careful(result.met.warnings)}"
        ).strip()
        return numbers, self._verdict(result)

    def _verdict(self, result: Any) -> str:
        gap, best = result.gap, result.plan.gap
        if int(result.met.code) == 4:
            return "The cross is in the area 'top'."
        if float(best.low) <= gap <= float(best.high):
            return "Inside the band: on a real rig this may well be the top."
        return f"Outside the band: make the gap {'longer' if gap < float(best.low) else 'shorter'}."

    def relations(self, state: Any, result: Any) -> list[tuple[Any, dict[str, float]]]:
        """Show the planned gap."""
        met = result.plan.meeting
        fall = float(drops.fall_height(state.nozzle_height, state.second))
        numbers = {"column_time": float(met.moment), "height": fall, "meeting_height": float(met.height)}
        return [("meeting_gap", numbers | {"gravity": 9.80665})]


@lru_cache(maxsize=16)
def map_parts(pair: two.Pair) -> tuple[list[Any], Any, tuple[float | None, float | None]]:
    """Give for each outcome the gap at which it ends, the best gap, and the heights between which it was checked."""
    code = np.asarray(two.outcomes(pair, HEIGHTS, GAPS).code)
    gaps = np.append(GAPS, np.inf)
    edges = [gaps[np.sum(code <= one, axis=1)] for one in range(len(timing.OUTCOMES))]
    best = two.plan_line(pair, HEIGHTS)
    weber = np.asarray(best.meeting.splash.weber)
    known = (weber >= CHECKED[0]) & (weber <= CHECKED[1])
    if not known.any():
        return edges, best.gap, (None, None)
    first, last = int(np.argmax(known)), len(known) - 1 - int(np.argmax(known[::-1]))
    low, high = (HEIGHTS[first] if first else None), (HEIGHTS[last] if last < len(known) - 1 else None)
    return edges, best.gap, (low, high)
