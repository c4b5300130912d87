"""How long a slider takes to a new figure, beside the usual way. Run it: python tests/benchmarks/bench_panels.py

The usual way is what ``ipywidgets.interact`` with pyplot does on each move: a fresh figure with the same
axes and artists, shown as PNG by the inline back end (tight bounding box), then closed. Both run here
in one process, alternating. Counted is the processor's time for this process, which is the waiting time
on a machine with nothing else to do. Wanted: median at most 10 ms, and at least 25 times faster.
"""

import io
import os
import statistics
import tempfile
import time

os.environ.setdefault("SPLASHKIT_HOME", tempfile.mkdtemp())

import matplotlib

matplotlib.use("Agg")
import matplotlib.pyplot as plt
import numpy as np

from splashkit import panels
from splashkit.figures.flash import DurationFigure, LightCurveFigure

MOVES = 30


def usual_way(panel) -> bytes:
    """Draw the panel's two diagrams as an interact callback would: everything anew."""
    result = panel.result
    figure, (left, right) = plt.subplots(1, 2, figsize=(8.1, 3.3), layout="constrained")
    curve = result.curve
    times = np.linspace(curve.start, 1.25 * curve.t01, 320)
    left.plot(times * 1e6, curve.intensity(times))
    left.fill_between(times * 1e6, curve.intensity(times), alpha=0.2)
    left.plot(times * 1e6, result.full.intensity(times), ":")
    left.hlines([0.1, 0.5], 0, [curve.t01 * 1e6, curve.t05 * 1e6])
    left.text(curve.t05 * 1e6, 0.5, f"t0.5 = {curve.t05:.3g}")
    left.text(curve.t01 * 1e6, 0.1, f"t0.1 = {curve.t01:.3g}")
    left.set(xlabel="Time (µs)", ylabel="Light", title="Light of one flash")
    left.grid(True)
    for kind, durations in result.durations.items():
        right.loglog(result.ladder, durations, label=kind)
    right.plot([result.power], [curve.t01], "o")
    right.set(xlabel="Power", ylabel="t0.1 (s)", title="Duration against power")
    right.legend()
    right.grid(True)
    out = io.BytesIO()
    figure.savefig(out, format="png", bbox_inches="tight")  # as the inline back end does
    plt.close(figure)
    return out.getvalue()


def timed(work) -> float:
    begin = time.process_time()
    work()
    return (time.process_time() - begin) * 1e3


def main() -> None:
    begin = time.process_time()
    panel = panels.flash_duration()
    opened = (time.process_time() - begin) * 1e3
    slider = panel.controls["speed"].slider
    power = panel.controls["power"].choice
    figures = [LightCurveFigure(), DurationFigure()]
    for figure in figures:
        figure.html(panel.result, "first")
    usual_way(panel)
    ours, diagrams, theirs = [], [], []
    for move in range(MOVES):
        ours.append(timed(lambda place=5 + move: setattr(slider, "value", place)))
        diagrams.append(timed(lambda: [figure.html(panel.result, "moved") for figure in figures]))
        theirs.append(timed(lambda: usual_way(panel)))
    marks = [mark for _, mark in power.options]
    first = [timed(lambda mark=mark: setattr(power, "value", mark)) for mark in marks]
    again = [timed(lambda mark=mark: setattr(power, "value", mark)) for mark in marks]
    middle = statistics.median
    ratio, bare = middle(theirs) / middle(ours), middle(theirs) / middle(diagrams)
    print(f"panel opens in                              {opened:7.0f} ms")
    print(f"slider to new page text, whole panel        {middle(ours):7.1f} ms  (two diagrams, photograph, sentence)")
    print(f"two diagrams alone                          {middle(diagrams):7.1f} ms")
    print(f"power step, first time (axes change)        {middle(first):7.1f} ms")
    print(f"power step, seen before                     {middle(again):7.1f} ms")
    print(f"fresh pyplot figure, as interact does it    {middle(theirs):7.1f} ms")
    print(f"ratio, whole panel                          {ratio:7.0f} x")
    print(f"ratio, diagrams against diagrams            {bare:7.0f} x")
    print("reached" if middle(ours) <= 10 and bare >= 25 else "NOT reached", "(<= 10 ms and >= 25 times)")


if __name__ == "__main__":
    main()
