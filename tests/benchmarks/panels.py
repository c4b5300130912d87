"""Panels: how soon the figures follow a control, against the usual interactive pyplot figure of the same artists."""

from __future__ import annotations

import base64
import io
import json
from collections.abc import Iterator
from functools import partial
from typing import Any
from unittest import mock

import matplotlib as mpl

mpl.use("Agg")
import matplotlib.pyplot as plt

from benchmarks.timed import Growth, Row, middle, walk
from splashkit import panels
from splashkit.figures import base

# panel: the control that moves, step by step, from the panel's own start
WALKS = {
    "flash_duration": "power",
    "curtains": "speed",
    "gap_and_height": "gap",
    "dark_room": "illuminance",
    "sharpness": "target_height",
    "falling": "height",
}


def anew(kind: type, result: Any) -> str:
    """Draw a figure as ``interact`` with the inline back end does at each move.

    A fresh pyplot figure, the same axes and artists, PNG with a tight bounding box, closed.
    """
    with mock.patch.object(base, "Figure", lambda figsize, dpi: plt.figure(figsize=figsize)):
        drawn = kind()
    drawn.update(result)
    return png(drawn.figure, tight=True, last=True)


def png(figure: Any, tight: bool = False, last: bool = False) -> str:
    out = io.BytesIO()
    figure.savefig(out, format="png", dpi=plt.rcParams["figure.dpi"], bbox_inches="tight" if tight else None)
    if last:
        plt.close(figure)
    return base64.b64encode(out.getvalue()).decode("ascii")


class Anew:
    """A panel's figure drawn the usual way, in place of one of ours."""

    def __init__(self, figure: Any) -> None:
        self.kind = type(figure)

    def html(self, result: Any, alt: str) -> str:
        return f'<img alt="{alt}" src="data:image/png;base64,{anew(self.kind, result)}">'


def places(control: Any, count: int) -> list[float]:
    """Give the places of a control step by step, as a hand moves it: forth from where it stands, and back."""
    if hasattr(control, "options"):
        every = [value for _, value in control.options]
        first = every.index(control.read())
    else:
        every = [control.grid(index) for index in range(control.slider.max + 1)]
        first = control.slider.value
    forth = (every[first:] + every[:first][::-1])[:count]
    return [*forth, *forth[-2::-1]]


def results_of(panel: Any, control: str, steps: list[float]) -> list[Any]:
    """Give what the panel computes at each step; no photograph is recorded."""
    found = []
    with mock.patch.object(type(panel), "photos", lambda self, state, result: []):
        for place in steps:
            panel.set(**{control: place})
            found.append(panel.result)
        panel.reset()
    return found


def move_to(panel: Any, control: str, place: float) -> None:
    panel.set(**{control: place})


def run(quick: bool) -> Iterator[Row | Growth]:
    """Walk each panel: its figures alone, then the whole panel; nothing here grows."""
    plt.rcParams["figure.max_open_warning"] = 0
    for name in list(WALKS)[: 2 if quick else None]:
        ours, theirs = getattr(panels, name)(), getattr(panels, name)()
        theirs._figures = [Anew(figure) for figure in theirs._figures]
        control = WALKS[name]
        steps = places(ours.controls[control], 4 if quick else 15)
        yield from figures_of(name, [type(figure) for figure in ours._figures], results_of(ours, control, steps))
        moves = [partial(move_to, panel, control) for panel in (ours, theirs)]
        yield Row(f"{name}: whole panel", *middle(walk(steps, *moves)), "same panel, pyplot figures",
                  "physics, sentence and photographs are ours on both sides", least=1.5)  # fmt: skip
        for panel in (ours, theirs):
            panel.close()


def figures_of(name: str, kinds: list[type], results: list[Any]) -> Iterator[Row]:
    """Draw a panel's figures for one result after the other, in three ways."""
    figures, kept = ([kind() for kind in kinds] for _ in range(2))
    markup = [figure.html(results[0], "") for figure in figures]  # the panel has opened
    new_axes = []

    def move(result: Any) -> None:
        before = sum(figure.still_draws for figure in figures)
        for figure in figures:
            figure.html(result, "")
        new_axes.append(sum(figure.still_draws for figure in figures) > before)

    def draw_anew(result: Any) -> None:
        for kind in kinds:
            anew(kind, result)

    def draw_kept(result: Any) -> None:
        for figure in kept:
            figure.update(result)
            png(figure.figure)

    draw_kept(results[0])
    times = walk(results[1:], move, draw_anew, draw_kept, lambda result: json.dumps(markup))
    ours, fresh, again, floor = middle(times)
    what, below = f"{name}: {len(kinds)} figure{'s' if len(kinds) > 1 else ''}", "JSON of the markup sent"
    peer = "pyplot figure drawn anew", "as interact with the inline back end does at each move"
    yield Row(what, ours, fresh, *peer, floor, below, wanted=25, least=10)
    yield Row(what, ours, again, "pyplot figure kept, data set", "the careful way: set the data, draw all to PNG",
              floor, below, least=4)  # fmt: skip
    if any(new_axes):
        ours, fresh, _, floor = middle(row for row, new in zip(times, new_axes, strict=True) if new)
        what = f"{name}: the {sum(new_axes)} of {len(times)} steps with new axes"
        yield Row(what, ours, fresh, *peer, floor, below, least=2)
