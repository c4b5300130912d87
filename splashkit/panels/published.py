"""Lesson 07's second panel: every open series beside the model, with the differences in a table."""

from __future__ import annotations

from functools import cache
from types import SimpleNamespace
from typing import Any

import numpy as np

from splashkit import liquids, splash, units
from splashkit.panels.base import Panel
from splashkit.panels.controls import Control, Pick, Tick
from splashkit.panels.splash import about
from splashkit.panels.table import html_table

words = units.format_quantity


@cache
def runs() -> dict[str, Any]:
    """Give the simulated runs with a curve, by name."""
    return {run.name: run for run in splash.simulated_heights()}


@cache
def landmarks() -> tuple[Any, ...]:
    """Give every number of every run beside the model, once."""
    return splash.simulated_landmarks()


@cache
def stages(milk: bool) -> tuple[Any, ...]:
    """Give the stages of 1908 beside the model for one guess of the bowl's liquid."""
    return splash.spark_stages(liquids.milk() if milk else liquids.water())


def _run_words(run: Any) -> str:
    return f"{words(run.diameter, 'm')}, {words(run.speed, 'm/s')}, {run.liquid.name}"


class PublishedSplash(Panel):
    """The 1908 sparks, one simulated run and all runs beside the model; residuals in tables."""

    title = "The model beside what was seen"
    lead = "Choose a run. Read the tables: each line says by how much the model is off."
    legend_words = (
        ("Pale bar with blue stroke", "what the model says for that stage: its band and its middle"),
        ("Orange cross", "the time given in the book of 1908; each plate is another drop"),
        ("Blue line with shading", "the model's height in the middle of the bowl, with its band"),
        ("Orange dots", "the same height in our simulation"),
        ("Grey rings", "all numbers of all runs; left of the blue line the run was less than the model"),
        ("Orange diamonds", "the numbers of the run you chose"),
        (
            "Tables",
            "seen or simulated, model with band, and the first less the second; 'outside' marks what the band does "
            "not hold",
        ),
    )

    def make_controls(self, rig: Any) -> list[Control]:
        """Make the controls."""
        options = tuple((_run_words(run), name) for name, run in runs().items())
        return [
            Pick("run", "Simulated run", options, options[0][1]),
            Tick("milk", "Take the bowl of 1908 as milk, not water (it held both, mixed)"),
        ]

    def make_figures(self) -> list[Any]:
        """Make the three figures."""
        from splashkit.figures.published import ResidualFigure, RunFigure, SparkFigure

        return [SparkFigure(), RunFigure(), ResidualFigure()]

    def _open(self, start: dict[str, Any]) -> None:
        super()._open(start)
        self._photos.layout.flex = "1 1 560px"  # the tables need a row of their own

    def compute(self, state: Any) -> Any:
        """Compute the model beside the series."""
        run = runs()[state.run]
        made = splash.first_drop(run.diameter, run.speed, run.liquid)
        times = np.linspace(0, max(float(made.column_end.high), float(run.time[-1])), 181)
        height = splash.column_height(made, times)
        seen = splash.column_height(made, run.time)
        # the first moments show the drop's own top, not the water
        use = run.time > 0.2 * float(made.crater_time.value)
        return SimpleNamespace(
            run=run, times=times, height=height, stages=stages(state.milk), landmarks=landmarks(),
            inside=float(np.mean(seen.contains(run.height)[use])),
        )  # fmt: skip

    def say(self, state: Any, result: Any) -> tuple[str, str]:
        """Say how far the model is off, at its worst too."""
        top = next(stage for stage in result.stages if stage.plate == "15")
        crown = next(stage for stage in result.stages if stage.plate == "4")
        late = 100 * -top.residual / float(top.model.value)
        held = sum(stage.inside for stage in result.stages)
        worst = max(result.landmarks, key=lambda mark: abs(mark.residual / float(mark.model.value)))
        inside = sum(mark.inside for mark in result.landmarks)
        numbers = (
            f"1908: {held} of {len(result.stages)} stages lie in the band. The top of the column came "
            f"{words(-top.residual, 's', 2)} ({late:.0f} %) before the model's, the top of the crown "
            f"{words(-crown.residual, 's', 2)} before. Simulations: {inside} of {len(result.landmarks)} numbers lie in "
            f"their bands; the worst is off by {100 * abs(worst.residual / float(worst.model.value)):.0f} % "
            f"({worst.words}, run {worst.run}). The chosen run stays in the band for {100 * result.inside:.0f} % of "
            "its length."
        )
        return numbers, "The model was fitted to these series: agreement here is no independent proof. Measure yours."

    def photos(self, state: Any, result: Any) -> list[str]:
        """Print the residuals."""
        sparks = [(f"{stage.plate}: {stage.words}", stage, "s") for stage in result.stages]
        marks = [(mark.words, mark, mark.unit) for mark in result.landmarks if mark.run == result.run.name]
        return [
            _table("Sparks of 1908 (plate: stage)", sparks, "Seen"),
            _table(f"Run {result.run.name}: {_run_words(result.run)}", marks, "Simulated"),
        ]

    def alt(self, state: Any, result: Any) -> str:
        """Say what the figures show."""
        stages_said = "; ".join(f"{stage.words}: seen {words(stage.seen, 's')}, model {words(stage.model.value, 's')}"
                                for stage in result.stages)  # fmt: skip
        return (
            f"Stages of 1908 beside the model: {stages_said}. Simulated run {_run_words(result.run)}: "
            f"{100 * result.inside:.0f} % of its length in the band."
        )


def _table(title: str, rows: list[tuple[str, Any, str]], seen: str) -> str:
    cells = []
    for name, item, unit in rows:
        sign = "+" if item.residual >= 0 else "−"
        percent = round(100 * abs(item.residual) / float(item.model.value))
        share = f"{sign}{percent} %" if percent else "0 %"
        # in ms or mm, as the columns beside it
        off = f"{sign}{units.format_number(1e3 * abs(item.residual), 2)} m{unit} ({share})"
        off += "" if item.inside else ", outside"
        cells.append((name, words(item.seen, unit), about(item.model, unit), off))
    head = ("Stage", seen, "Model (band)", f"{seen} less model")
    return html_table(head, cells, title, caption_look="text-align:left;font-weight:600;padding:8px 0 2px")
