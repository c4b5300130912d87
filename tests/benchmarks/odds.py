"""Odds: simulated frames and the closed form, against plain loops and against drawing the random numbers alone."""

from __future__ import annotations

import math
import random
from collections.abc import Iterator
from functools import partial
from typing import Any

import numpy as np

from benchmarks.timed import Growth, Row, agrees, growth, race, scaled
from splashkit import odds
from splashkit.chains import light_chain, valve_chain

LIGHT = light_chain("front", shutter_lag=0.060, shutter_lag_spread=1e-3)
VALVE = valve_chain(0.012, 0.3e-3, 0.288, 0.5e-3)
SPREADS = [stage.spread for chain in (LIGHT, VALVE) for stage in chain.stages if stage.spread > 0]
WINDOW = odds.HIT_WINDOW


def loop(frames: int) -> float:
    """Simulate frame by frame, stage by stage."""
    draw, hits = random.Random(1).gauss, 0
    for _ in range(frames):
        late = 0.0
        for spread in SPREADS:
            late += draw(0.0, spread)
        hits += abs(late) <= WINDOW
    return hits / frames


def at_once(frames: int) -> float:
    """Simulate all frames in one array, a column a stage."""
    drawn = np.random.default_rng(1).normal(0.0, SPREADS, (frames, len(SPREADS)))
    return float((np.abs(drawn.sum(axis=1)) <= WINDOW).mean())


def draw_alone(frames: int) -> None:
    generator = np.random.default_rng(1)
    for start in range(0, frames, 250_000):
        for _ in SPREADS:
            generator.standard_normal(min(250_000, frames - start))


def closed_form_loop(spreads: Any, offsets: Any) -> list[float]:
    def below(x: float) -> float:
        return 0.5 * math.erfc(-x * math.sqrt(0.5))

    return [below((WINDOW - o) / s) - below((-WINDOW - o) / s) for s, o in zip(spreads, offsets, strict=True)]


def run(quick: bool) -> Iterator[Row | Growth]:
    """Compare, then grow."""
    frames, few = (100_000, 2_000) if quick else (1_000_000, 20_000)
    simulate = partial(odds.simulate_hits, LIGHT, VALVE)
    agrees(loop(20_000), simulate(frames).odds, 0.03)
    agrees(at_once(frames), simulate(frames).odds, 0.02)
    ours, array, floor = race(
        lambda: simulate(frames), lambda: at_once(frames), lambda: draw_alone(frames), quick=quick
    )
    what, below = f"{frames:,} simulated frames".replace(",", " "), "drawing the random numbers"
    yield Row(what, ours, scaled(loop, 10, few, frames), "plain loop",
              f"what one writes first: a loop over frames and stages; timed on {few}, scaled", floor, below,
              least=10, within=5, most=5)  # fmt: skip
    yield Row(what, ours, array, "NumPy: one array", "the way of somebody who knows NumPy; it holds all frames at once",
              floor, below, least=0.7, within=5, most=5)  # fmt: skip
    count = 10_000 if quick else 1_000_000
    generator = np.random.default_rng(1)
    spreads, offsets = generator.uniform(2e-4, 5e-3, count), generator.uniform(-4e-3, 4e-3, count)
    first = closed_form_loop(spreads[:1000].tolist(), offsets[:1000].tolist())
    assert np.abs(np.array(first) - odds.hit_odds(spreads, offset=offsets)[:1000]).max() < 1e-6
    ours, floor = race(
        lambda: odds.hit_odds(spreads, offset=offsets), lambda: (np.exp(spreads), np.exp(offsets)), quick=quick
    )
    peer = scaled(lambda n: closed_form_loop(spreads[:n].tolist(), offsets[:n].tolist()), 10, 2000, count)
    yield Row(f"{count:,} closed forms of the odds".replace(",", " "), ours, peer, "plain loop with math.erfc",
              "the closed form for one rig after the other", floor, "two exponentials each", least=1.5)  # fmt: skip
    sizes = (1_000, 10_000, 30_000, 100_000) if quick else (1_000, 10_000, 100_000, 1_000_000)
    yield growth("simulated frames", "frames", sizes, lambda n: partial(simulate, n), 0.5, 1.3, quick)
    yield growth(
        "closed form of the odds", "rigs", (100, 1_000, 5_000, 10_000) if quick else sizes,
        lambda n: partial(odds.hit_odds, spreads[:n], offset=offsets[:n]), 0.3, 1.3, quick,
    )  # fmt: skip
