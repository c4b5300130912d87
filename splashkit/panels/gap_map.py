"""Lesson 08's second panel: what the second drop meets, for every gap and nozzle height."""

from __future__ import annotations

from functools import lru_cache
from types import SimpleNamespace
from typing import Any

import numpy as np

from splashkit import drops, units
from splashkit.panels import pair as two
from splashkit.panels.base import Panel
from splashkit.panels.controls import Control, Number
from splashkit.panels.pair import HIGHEST, LOWEST, ms

HEIGHTS = tuple(float(h) for h in np.linspace(LOWEST, HIGHEST, 25))
LONGEST = 0.22  # the longest gap shown [s]
CHECKED = (155.0, 920.0)  # Weber numbers of the cases behind splashkit.splash


class OutcomeMap(Panel):
    """Outcome over gap and nozzle height, for the chosen drops; the setting marked."""

    title = "What the second drop meets, for every gap and height"
    lead = "The white cross is your setting. Raise the nozzle and keep the cross in the area 'top'."
    legend_words = (
        ("Areas with words", "what the second drop meets; each has its own hatch"),
        ("Thick black line", "the gap that meets the column at its top, by the model"),
        ("Dotted black lines", "the band of that gap: the column may come early or late"),
        (
            "Kinks in the dotted lines",
            "where they stand wider apart the model has no cases to go by: the crater may catch a "
            "bubble, or the column may be thin or thick",
        ),
        ("White cross", "the present setting"),
        ("Long-dashed grey line", "beyond it the model was not checked against real splashes"),
    )

    def make_controls(self, rig: Any) -> list[Control]:
        """Make the controls."""
        gap = Number("gap", "Gap", "s", 5e-3, LONGEST, 0.068, display="ms", quantity="gap between the drops")
        return [two.height_control(self), gap, *two.drops_controls(self)]

    def make_figures(self) -> list[Any]:
        """Make the map."""
        from splashkit.figures.gap import OutcomeMapFigure

        return [OutcomeMapFigure()]

    def compute(self, state: Any) -> Any:
        """Map the outcomes, and find the present one."""
        pair = two.pair_of(state)
        try:
            plan, refused = two.plan(pair), ""
        except ValueError as problem:
            plan, refused = None, str(problem)
        anywhere = pair._replace(nozzle_height=0.0)  # the map is the same at every height of the nozzle
        edges, best, inside = map_parts(anywhere)
        met = two.meeting(pair, state.gap)
        return SimpleNamespace(
            key=anywhere, heights=np.array(HEIGHTS), longest=LONGEST, edges=edges, best=best, inside=inside,
            met=met, nozzle_height=state.nozzle_height, gap=state.gap, plan=plan, refused=refused,
        )  # fmt: skip

    def say(self, state: Any, result: Any) -> tuple[str, str]:
        """Say the outcome here, and what height does to gap and light."""
        plan = result.plan
        best = result.refused if plan is None else (
            f"The gap for the top is {plan.gap.text('s')} here; the fullest sheet comes {ms(plan.delay.value)} after "
            "the first drop let go."
        )  # fmt: skip
        numbers = (
            f"From {units.format_quantity(state.nozzle_height, 'm')} with a gap of {ms(state.gap)} the second drop "
            f"{two.SAYS[int(result.met.code)]}. {best} {two.careful(result.met.warnings)}"
        )
        return numbers.strip(), self._verdict(result)

    def _verdict(self, result: Any) -> str:
        if int(result.met.code) == 4:
            return "The cross is in the area 'top'."
        if result.plan is None:
            return ""
        gap, best = result.gap, result.plan.gap
        if float(best.low) <= gap <= float(best.high):
            return "Inside the band: on a real rig this may well be the top."
        return f"Outside the band: make the gap {'longer' if gap < float(best.low) else 'shorter'}."

    def relations(self, state: Any, result: Any) -> list[tuple[Any, dict[str, float]]]:
        """Show the planned gap."""
        if result.plan is None:
            return []
        met = result.plan.meeting
        fall = float(drops.fall_height(state.nozzle_height, state.second))
        numbers = {"column_time": float(met.moment), "height": fall, "meeting_height": float(met.height)}
        return [("meeting_gap", numbers | {"gravity": 9.80665})]


@lru_cache(maxsize=16)
def map_parts(pair: two.Pair) -> tuple[Any, Any, tuple[float | None, float | None]]:
    """Give the gap at which each outcome ends, the best gap, and the heights between which it was checked."""
    found = two.edges(pair, HEIGHTS)
    ends = [*found.ends, np.full(len(HEIGHTS), np.inf)]
    known = (found.weber >= CHECKED[0]) & (found.weber <= CHECKED[1]) & ~np.isnan(found.best.value)
    if not known.any():
        return ends, found.best, (None, None)
    first, last = int(np.argmax(known)), len(known) - 1 - int(np.argmax(known[::-1]))
    low, high = (HEIGHTS[first] if first else None), (HEIGHTS[last] if last < len(known) - 1 else None)
    return ends, found.best, (low, high)
