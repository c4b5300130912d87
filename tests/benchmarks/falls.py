"""Falls: a million in one call, against integrating drop by drop and against stepping an array through time."""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import partial
from typing import Any

import numpy as np
from fluids.drag import drag_sphere, integrate_drag_sphere
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from benchmarks.timed import Growth, Row, agrees, growth, race, scaled
from splashkit import drops

WATER, AIR, VISCOSITY, TENSION, G = 998.2, 1.204, 1.82e-5, 0.07274, 9.80665
PULL = G * (1 - AIR / WATER)
STEP = 5e-3  # [s] of the array peer; half of it changes its results by less than our own error


def draw(count: int) -> tuple[Any, Any]:
    """Give heights and diameters that are all different."""
    random = np.random.default_rng(1)
    return random.uniform(0.1, 1.5, count), random.uniform(2e-3, 6e-3, count)


def flattened(reynolds: Any, weber: Any) -> Any:
    """Give the library's drag law, written again as a user would."""
    return (0.332 + 3.36 / reynolds**0.5 + 37.8 / reynolds) * (1 + weber * weber / 75)


def one_by_scipy(height: float, d: float, law: Any, rtol: float, atol: float) -> tuple[float, float]:
    """Let one drop fall by an adaptive integration; ``law`` gives the drag of Reynolds and Weber number."""

    def rate(_: float, state: Any) -> list[float]:
        v = max(float(state[1]), 1e-9)
        c = law(AIR * v * d / VISCOSITY, AIR * v * v * d / TENSION)
        return [v, PULL - 0.75 * c * AIR / WATER * v * v / d]

    def landed(_: float, state: Any) -> float:
        return float(state[0]) - height

    landed.terminal = True  # type: ignore[attr-defined]
    path = solve_ivp(rate, (0, 5), [0.0, 0.0], events=landed, rtol=rtol, atol=atol)
    return path.t[-1], path.y[1, -1]


def one_by_fluids(height: float, d: float) -> tuple[float, float]:
    """Let one drop fall by the library's own integration, a rigid sphere, up to the time at which it has fallen."""

    def at(time: float) -> Any:
        return integrate_drag_sphere(D=d, rhop=WATER, rho=AIR, mu=VISCOSITY, t=time, V=1e-9, distance=True)

    landing = brentq(lambda time: at(time)[1] - height, 0.9 * math.sqrt(2 * height / G), 1.0, xtol=1e-6)
    return landing, at(landing)[0]


def checked_law(reynolds: float, weber: float) -> Any:
    """Give our own law through the checks that each public function makes."""
    return drops.drag_coefficient(reynolds, weber)


def array_by_steps(height: Any, d: Any, step: float = STEP) -> tuple[Any, Any]:
    """Let an array of drops fall by Runge and Kutta's fourth-order steps; the last step is shared out by a parabola."""

    def gain(v: Any) -> Any:
        v = np.maximum(v, 1e-9)
        return PULL - 0.75 * flattened(AIR * v * d / VISCOSITY, AIR * v * v * d / TENSION) * AIR / WATER * v * v / d

    fallen, v, time = (np.zeros(len(height)) for _ in range(3))
    while True:
        a = gain(v)
        b = gain(v + step / 2 * a)
        c = gain(v + step / 2 * b)
        e = gain(v + step * c)
        change = step / 6 * (a + 2 * b + 2 * c + e)
        path = step * v + step * step / 6 * (a + b + c)
        on = fallen + path < height
        if not on.any():
            break
        fallen, v, time = (np.where(on, x + more, x) for x, more in ((fallen, path), (v, change), (time, step)))
    left = height - fallen
    part = 2 * left / (v + np.sqrt(v * v + 2 * (change / step) * left))
    return time + part, v + change / step * part


# each takes a height and a diameter; how far its results may differ from ours; why it is the peer
EACH = {
    "scipy solve_ivp, each drop, default": (
        partial(one_by_scipy, law=flattened, rtol=1e-3, atol=1e-6), 2e-3,
        "the plainest way; its error is about ours",
    ),
    "scipy solve_ivp, each drop, 1e-9": (
        partial(one_by_scipy, law=flattened, rtol=1e-9, atol=1e-12), 2e-3,
        "an accuracy at which nobody has to think about the tolerance",
    ),
    "scipy 1e-9 with our checked drag law": (
        partial(one_by_scipy, law=checked_law, rtol=1e-9, atol=1e-12), 2e-3,
        "what the tests lean on, and what one writes who has the library but not its fall",
    ),
    "fluids: its integration, each drop": (
        one_by_fluids, 0.05, "the library's own way; it gives place and speed at a time, so the landing is searched",
    ),
    "fluids: its drag in scipy, each drop": (
        partial(one_by_scipy, law=lambda reynolds, weber: drag_sphere(reynolds), rtol=1e-6, atol=1e-9), 0.05,
        "its drag law of a rigid sphere in the usual integrator",
    ),
}  # fmt: skip


def run(quick: bool) -> Iterator[Row | Growth]:
    """Compare, then grow."""
    count, few = (100_000, 6) if quick else (1_000_000, 40)
    height, d = draw(count)
    ours = np.array(drops.fall(height, d))
    out = np.empty_like(height), np.empty_like(height)

    def touch() -> None:
        np.copyto(out[0], height)
        np.copyto(out[1], d)

    taken, floor = race(lambda: drops.fall(height, d), touch, quick=quick)
    what, below = f"{count:,} falls".replace(",", " "), "read inputs, write results"
    for name, (fall, apart, why) in EACH.items():
        if quick and "1e-9" not in name:
            continue

        def each(turns: int, fall: Any = fall) -> Any:
            return np.array([fall(*one) for one in zip(height[:turns].tolist(), d[:turns].tolist(), strict=True)]).T

        agrees(each(few), ours[:, :few], apart)
        peer = scaled(each, 1, few, count)
        yield Row(what, taken, peer, name, f"{why}; timed on {few}, scaled", floor, below, wanted=20_000, least=1_000)
    some = 20_000
    agrees(array_by_steps(height[:some], d[:some]), ours[:, :some], 2e-3)
    peer = race(lambda: array_by_steps(height[:some], d[:some]), quick=quick)[0] * count / some
    why = f"the way of somebody who knows NumPy; timed on {some}, which fit the processor's cache, scaled"
    yield Row(what, taken, peer, "NumPy: all drops stepped in time", why, floor, below, least=8)
    sizes = (1_000, 10_000, 100_000, 400_000) if quick else (1_000, 10_000, 100_000, 1_000_000)
    yield growth("falls", "drops", sizes, lambda n: partial(drops.fall, height[:n], d[:n]), 0.5, 1.3, quick)
