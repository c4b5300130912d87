"""Lesson 10's second panel: wishes become power, distance, aperture and ISO; what gives first; what a stop costs."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from types import SimpleNamespace
from typing import Any

import numpy as np

from splashkit import drops, lens, settings, units
from splashkit.panels.base import Panel
from splashkit.panels.controls import Control, Ladder, Number, Pick
from splashkit.panels.table import html_table
from splashkit.settings.solve import TOLERANCE, settings_from, spare, tabulate

KINDS = (
    ("cuts its flash short (quench)", "quench"),
    ("charges to a lower voltage", "voltage"),
    ("switches capacitors off", "capacitor"),
)
ORDER = ("motion", "depth", "diffraction", "dark", "bright")
FULL_FRAME = 0.036  # m, the sensor width that a blur circle of 30 µm goes with
words = units.format_quantity


@lru_cache(maxsize=64)
def plan_for(wish: settings.Wish, gear: settings.Gear) -> settings.Plan:
    """Solve each question once."""
    return settings.choose_settings(wish, gear)


@lru_cache(maxsize=128)
def best_of(wish: settings.Wish, gear: settings.Gear) -> Any:
    """Give the best setting, or the nearest miss, without asking what would have to change."""
    table = tabulate(wish, gear)
    missed = table.missed()
    possible = bool((missed == 0).any())
    chosen = missed == 0 if possible else missed <= missed.min() + TOLERANCE
    return SimpleNamespace(possible=possible, chosen=settings_from(table, gear, chosen)[0])


class PowerChoice(Panel):
    """Wishes and gear; the settings that meet them, or the reason and the smallest change."""

    title = "Which power, which distance, which aperture?"
    lead = "Tighten one wish at a time until nothing fits. Then press the button with the smallest change."
    legend_words = (
        ("Green dot", "a power and an aperture that meet every wish; the flash's distance is then fixed"),
        ("Other marks", "what stops that setting most: cross motion, triangle up depth, diamond diffraction, triangle "
                        "down too little light, square too much"),
        ("Black ring", "the setting chosen: lowest ISO, then the least blur; or the nearest miss"),
        ("Bar to the right", "how far that wish could be tightened alone before nothing fits"),
        ("Hatched bar to the left", "how many stops are missing, when only that wish gives way"),
        ("First table", "what one more stop of light costs, taken in four ways"),
        ("Second table", "the same wish with each kind of flash unit"),
    )  # fmt: skip

    def make_controls(self, rig: Any) -> list[Control]:
        """Make the controls."""
        scale = min(max(self.start("magnification", 0.5), 0.05), 2.0)
        self.presets = {  # the framing too: the smallest change may have widened it
            "A frozen drop": {"blur": 1e-4, "depth": 4e-3, "magnification": scale},
            "Deep and frozen": {"blur": 5e-5, "depth": 1.5e-2, "magnification": scale},
            "Take the smallest change": self._change,
        }
        diameter = self.start("first_diameter", 4e-3)
        speed = float(drops.fall(drops.fall_height(self.start("nozzle_height", 0.25), diameter), diameter).speed)
        self.focal, self.pupils = self.start("focal_length", 0.1), self.start("pupil_ratio", 1.0)
        self.circle = lens.ranges.BLUR_CIRCLE * self.start("sensor_width", FULL_FRAME) / FULL_FRAME
        number = min(max(self.start("flash_guide_number", 36.0), 5.0), 200.0)
        return [
            Pick("unit", "The unit makes less light", KINDS, self.start("flash_kind", "quench")),
            Number("blur", "Motion blur allowed", "m", 1e-6, 1e-2, 1e-4, display="mm", log=True, per_double=3),
            Number("speed", "Speed of the drop", "m/s", 0.1, 6.0, round(speed, 2), step=0.1),
            Number("depth", "Depth wanted sharp", "m", 1e-4, 5e-2, 4e-3, display="mm", step=0.5),
            Number("magnification", "Magnification", "1", 0.01, 2.0, scale, step=0.05),
            Number("softness", "Diffraction disc allowed on the sensor", "m", 2e-6, 5e-4, 1.5 * self.circle,
                   display="µm", step=1.0),
            Number("guide_number", "Guide number at full power", "m", 5.0, 200.0, number, display="m", step=1.0),
            Number("loss", "Lost in the diffuser", "stop", -12.0, 12.0, 2.0, step=0.5, display="stops",
                   quantity="light lost in the diffuser", advice="more units together count as negative"),
            Number("nearest", "Nearest place for the flash", "m", 0.05, 2.0, 0.3, display="cm", step=5.0),
            Number("farthest", "Farthest place for the flash", "m", 0.05, 5.0, 1.2, display="cm", step=5.0),
            Ladder("iso", "Highest ISO you accept", units.ISO_SPEEDS[3:], "iso", 1600.0),
        ]  # fmt: skip

    def make_figures(self) -> list[Any]:
        """Make the two figures."""
        from splashkit.figures.lights_plan import MarginFigure, SettingsMap

        return [SettingsMap(), MarginFigure()]

    def _question(self, state: Any) -> tuple[settings.Wish, settings.Gear]:
        wish = settings.Wish(state.blur, state.speed, state.depth, state.magnification)
        gear = settings.Gear(
            state.guide_number, state.unit, state.loss, nearest=state.nearest, farthest=state.farthest,
            isos=tuple(mark for mark in units.ISO_SPEEDS if 100 <= mark <= state.iso), focal_length=self.focal,
            pupil_ratio=self.pupils, blur_circle=self.circle, diffraction=state.softness,
        )  # fmt: skip
        return wish, gear

    def compute(self, state: Any) -> Any:
        """Solve, and say for every power and aperture what stops it."""
        wish, gear = self._question(state)
        plan = plan_for(wish, gear)
        table = tabulate(wish, gear)
        at = gear.isos.index(plan.chosen.iso)
        shape = table.distance.shape
        excess = np.stack([np.broadcast_to(table.excess[name], shape)[:, :, at] for name in ORDER])
        worst = np.where(excess.max(axis=0) <= TOLERANCE, "fits", np.array(ORDER)[excess.argmax(axis=0)])
        return SimpleNamespace(
            plan=plan, wish=wish, gear=gear, powers=gear.powers, apertures=gear.apertures, worst=worst,
            chosen=plan.chosen, iso=plan.chosen.iso, margins=tuple((name, spare(table, name)) for name in ORDER),
            others={kind: plan if kind == gear.unit else best_of(wish, replace(gear, unit=kind)) for _, kind in KINDS},
        )  # fmt: skip

    def _change(self) -> dict[str, Any]:
        """Find the controls that the smallest change moves; refuse when nothing needs to change."""
        if self.result is None or self.result.plan.possible:
            raise ValueError(
                "The wish must be one that does not fit; got one that does. To fix it: ask for more first."
            )
        wish, gear = settings.with_changes(self.result.wish, self.result.gear, self.result.plan.changes)
        return {"blur": wish.motion_blur, "depth": wish.depth, "magnification": wish.magnification,
                "loss": gear.loss, "softness": gear.diffraction}  # fmt: skip

    def photos(self, state: Any, result: Any) -> list[str]:
        """Give two tables as markup: what a stop costs, and the three kinds of unit."""
        made = []
        if result.plan.possible:
            costs = [(cost.sentence, "yes" if cost.allowed else "no") for cost in result.plan.costs]
            made.append(html_table(("One more stop of light, taken from", "Still fits"), costs, look="flex:1 1 300px"))
        rows = []
        for name, kind in KINDS:
            plan = result.others[kind]
            best = plan.chosen
            smear = units.format_number(1e3 * best.motion_blur, 2)
            told = (f"{units.format_power(best.power)}, {units.format_aperture(best.f_number)}, ISO {best.iso:.0f}; "
                    f"blur {smear} mm")  # fmt: skip
            here = " (chosen)" if kind == state.unit else ""
            rows.append((name + here, "fits" if plan.possible else "does not fit", told))
        made.append(html_table(("A unit that", "The wish", "Best, or nearest"), rows, look="flex:1 1 380px"))
        return made

    def say(self, state: Any, result: Any) -> tuple[str, str]:
        """Say the setting with its numbers, and what gives first; or the reason and the smallest change."""
        reasons = result.plan.reasons
        if result.plan.possible:
            return " ".join(reasons[:-1]), reasons[-1]
        return " ".join(reasons[:2]), " ".join(reasons[2:])

    def alt(self, state: Any, result: Any) -> str:
        """Say what the figures show."""
        fits = int(np.count_nonzero(result.worst == "fits"))
        spares = ", ".join(f"{name} {units.format_number(stops, 2)}" for name, stops in result.margins
                           if np.isfinite(stops))  # fmt: skip
        best = result.chosen
        return (
            f"{fits} of {result.worst.size} settings fit at ISO {result.iso:.0f}; ring at "
            f"{units.format_power(best.power)} and {units.format_aperture(best.f_number)}. Stops to spare: {spares}."
        )

    def relations(self, state: Any, result: Any) -> list[tuple[Any, dict[str, float]]]:
        """Show the blur, the depth and the power of the chosen setting."""
        best = result.chosen
        return [
            ("blur", {"speed": state.speed, "duration": best.light_time}),
            ("depth_close_up", {"aperture": best.f_number, "circle": self.circle, "magnification": state.magnification,
                                "pupil_ratio": self.pupils}),
            ("light_power", {"level": state.loss, "distance": best.distance, "aperture": best.f_number,
                             "magnification": state.magnification, "pupil_ratio": self.pupils,
                             "guide_number": state.guide_number, "iso": best.iso}),
        ]  # fmt: skip
