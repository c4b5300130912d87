"""A pair of drops: the controls and the cached physics that lesson 08's two panels share."""

from __future__ import annotations

from functools import cache, lru_cache
from typing import Any, NamedTuple

import ipywidgets as widgets

from splashkit import liquids, timing, units
from splashkit.card import Card
from splashkit.look import CSS, escape
from splashkit.panels.cautions import few
from splashkit.panels.controls import Control, Number, Pick
from splashkit.panels.table import html_table

LOWEST, HIGHEST = 0.08, 0.8  # nozzle heights people build [m]; house choice
LIQUIDS = (
    ("Water at 20 °C", "water"),
    ("Water at 5 °C", "cold water"),
    ("Milk at 20 °C", "milk"),
    ("Water with 40 % glycerol by mass", "glycerol"),
)
_MADE = {
    "water": lambda t: liquids.water(t),
    "cold water": lambda t: liquids.water(t),
    "milk": lambda t: liquids.milk(temperature=t),
    "glycerol": lambda t: liquids.glycerol_water(mass_fraction=0.4, temperature=t),
}
_OF_RIG = {"water": "water", "milk": "milk", "glycerol_water": "glycerol"}

# what a meeting is called in a sentence, by the place in timing.OUTCOMES
SAYS = (
    "arrives before the first one",
    "falls into the opening crater",
    "arrives while the crater closes, before there is a column",
    "meets the column while it rises",
    "meets the column at its top",
    "meets the column while it falls",
    "arrives when the column is gone",
)
MEETS = (3, 4, 5)


class Pair(NamedTuple):
    """What decides a meeting besides the gap: heights and sizes in SI, the liquid by its name in ``LIQUIDS``."""

    nozzle_height: float
    first: float
    second: float
    liquid: str
    bowl_depth: float
    release_speed: float


@cache
def liquid(name: str) -> Any:
    """Make each liquid once."""
    return _MADE[name](temperature(name))


def temperature(name: str) -> float:
    """Give the temperature of a liquid of the list [degC]."""
    return 5.0 if name == "cold water" else 20.0


def _settings(pair: Pair) -> dict[str, Any]:
    return {
        "diameter": pair.first, "second_diameter": pair.second, "liquid": liquid(pair.liquid),
        "bowl_depth": pair.bowl_depth, "release_speed": pair.release_speed,
    }  # fmt: skip


@lru_cache(maxsize=64)
def plan(pair: Pair, phase: str = "top", fraction: float = 0.5) -> Any:
    """Plan the gap and the light for a meeting; refuses in the learner's words where there is none."""
    try:
        return timing.gap_for_meeting(pair.nozzle_height, phase=phase, fraction=fraction, **_settings(pair))
    except ValueError as problem:
        if phase != "top":
            raise
        raise ValueError(no_meeting(pair.first, pair.nozzle_height)) from problem


def no_meeting(diameter: float, nozzle_height: float) -> str:
    """Say that drops and height do not go together."""
    drop, height = units.format_quantity(diameter, "m"), units.format_quantity(nozzle_height, "m")
    return (
        f"Nozzle height and drops must make a column that the second drop can meet; got {drop} drops from {height}. "
        "To fix it: raise the nozzle, or change the size of the drops."
    )


@lru_cache(maxsize=64)
def diagram(pair: Pair, gap: float) -> Any:
    """Draw up heights against time; moving only the light costs nothing."""
    return timing.height_time_diagram(pair.nozzle_height, gap, samples=200, **_settings(pair))


@lru_cache(maxsize=64)
def meeting(pair: Pair, gap: float) -> Any:
    """Tell what the second drop meets."""
    return timing.meeting(pair.nozzle_height, gap, **_settings(pair))


@lru_cache(maxsize=32)
def sensitivities(pair: Pair) -> Any:
    """Tell what small changes do, for two drops of the first one's size."""
    return timing.sensitivities(
        pair.nozzle_height, pair.first, temperature(pair.liquid), _MADE[pair.liquid], release_speed=pair.release_speed
    )


@lru_cache(maxsize=16)
def edges(pair: Pair, heights: tuple[float, ...]) -> Any:
    """Find the edges of the outcomes; the pair's own nozzle height does not matter."""
    return timing.outcome_edges(heights, **_settings(pair))


def ms(value: Any, digits: int = 3) -> str:
    """Write a time as words."""
    return units.format_quantity(float(value), "s", digits)


def height_control(panel: Any) -> Control:
    """Make the control for the nozzle's height."""
    height = panel.start("nozzle_height", 0.25)
    return Number("nozzle_height", "Nozzle height", "m", LOWEST, HIGHEST, height, display="mm", step=5)


def drops_controls(panel: Any) -> list[Control]:
    """Make the controls for what falls: two drops, liquid, bowl, speed at release."""
    first = panel.start("first_diameter", 4e-3)
    return [
        Number("first", "First drop", "m", 2e-3, 7e-3, first, display="mm", step=0.1, quantity="first drop's diameter"),
        Number("second", "Second drop", "m", 2e-3, 7e-3, panel.start("second_diameter", first), display="mm", step=0.1,
               quantity="second drop's diameter"),
        Pick("liquid", "Liquid", LIQUIDS, _OF_RIG.get(panel.start("liquid", "water"), "water")),
        Number("bowl_depth", "Depth of the liquid", "m", 5e-3, 0.15, panel.start("bowl_depth", 0.05), display="mm"),
        Number("release_speed", "Speed at release", "m/s", 0.0, 1.0, panel.start("release_speed", 0.1), step=0.01),
    ]  # fmt: skip


def pair_of(state: Any) -> Pair:
    """Read the pair from a panel's state."""
    return Pair(state.nozzle_height, state.first, state.second, state.liquid, state.bowl_depth, state.release_speed)


def careful(warnings: Any) -> str:
    """Write the gravest of a model's warnings, in plain words."""
    return f"Careful: {few(warnings)}" if warnings else ""


class SmallChanges(Card):
    """A table that follows a panel: what one small step of each quantity does to gap and touch."""

    def __init__(self, panel: Any) -> None:
        self._panel, self._words = panel, widgets.HTML(f"{CSS}{panel.waiting()}")
        self._shown: Pair | None = None
        super().__init__([self._words])
        panel._watch(self._update)

    @property
    def text(self) -> str:
        """The markup, for tests."""
        return str(self._words.value)

    def _update(self) -> None:
        pair = pair_of(self._panel.state)
        if pair == self._shown:
            return
        self._shown = pair
        try:
            found = sensitivities(pair)
        except ValueError as refusal:
            self._words.value = f"{CSS}<p>{escape(str(refusal))}</p>"
            return
        rows = [(one.quantity, one.step, _change(one.gap), _change(one.touch)) for one in found]
        of = f"{units.format_quantity(pair.first, 'm')} drops from {units.format_quantity(pair.nozzle_height, 'm')}"
        self._words.value = (
            f'{CSS}<div class="splash-title" role="heading" aria-level="3">What small changes do: {escape(of)}</div>'
            f"{html_table(('One more of', 'step', 'changes the gap by', 'moves the meeting by'), rows, named=True)}"
            "<p>Both drops change together; the meeting stays at the column's top.</p>"
        )


def _change(estimate: Any) -> str:
    if estimate.value == 0 and estimate.high > 0:
        return f"not in the model; within ±{units.format_number(1e3 * estimate.high, 2)} ms"
    value = 1e3 * estimate.value
    if abs(value) < 0.01:
        return "nothing to speak of"
    return f"{value:+.2f} ms".replace("-", "−")
