"""The next try: choosing it and learning from it, for thousands of possible rigs; and reading a long log."""

from __future__ import annotations

import csv
import io
import math
import statistics
from collections.abc import Callable, Iterator
from functools import partial
from typing import Any

import numpy as np

from benchmarks.bench_advice import follow_advice, halve, sweep_blindly
from benchmarks.timed import Growth, Row, growth, race, scaled
from splashkit import advice, log, rig, tries
from splashkit.belief import Belief
from splashkit.log import Shot
from splashkit.odds import HIT_WINDOW
from splashkit.practice import UNKNOWN_AT_FIRST, Practice

BLANK = rig.demo().with_values(**dict.fromkeys(UNKNOWN_AT_FIRST))


def one_rig(bench: tries.Bench, unknowns: list[float], gap: float) -> tuple[float, float, bool]:
    """Return the delay one possible rig needs, its scatter, and whether the drops meet: plain arithmetic."""
    lag, valve, start, scale, high, jitter, size = unknowns
    g, k, table = bench.pull, bench.drag, bench.table_height
    step = bench.table_time[1]

    def fallen(t: float) -> float:
        return t * (start + t * (g / 2 - k * (start**2 / 2 + t * (start * g / 3 + t * g**2 / 12))))

    def pace(t: float) -> float:
        return start + t * (g - k * (start**2 + t * (start * g + t * g**2 / 3)))

    def time_to(s: float) -> float:
        t = 2 * s / (start + math.sqrt(start**2 + 2 * g * s) + 1e-9)
        for _ in range(3):
            t -= (fallen(t) - s) / max(pace(t), 0.05)
        return t

    def column(t: float) -> tuple[float, float]:
        place = t / scale / step
        if not 0 <= place < len(table) - 1:
            return 0.0, 0.0
        at = int(place)
        rise = table[at + 1] - table[at]
        slope = bench.table_slope
        steep = slope[at] + (place - at) * (slope[at + 1] - slope[at])
        return (table[at] + (place - at) * rise) * high, steep * high / scale

    contact = time_to(bench.nozzle_height - bench.first_diameter)
    path = bench.nozzle_height - bench.second_diameter
    meeting = gap + time_to(path - 0.5 * bench.curve["height"] * high)
    for _ in range(6):
        top, rising = column(meeting - contact)
        missing = path - fallen(max(meeting - gap, 0.0)) - top
        meeting += min(max(missing / max(pace(meeting - gap) + rising, 0.5), -0.02), 0.02)
    met = column(meeting - contact)[0] >= tries.LOWEST_MEETING * bench.second_diameter
    delay = meeting + valve - lag - bench.offsets[bench.chain]
    scatter = 0.3 * size * max(meeting - contact, 0.0)
    return delay, math.hypot(math.hypot(jitter, bench.known_spread), scatter), met


def loop(belief: Belief, gaps: list[float], delays: list[list[float]], rigs: int) -> list[list[float]]:
    """Return the odds of a hit at every gap and delay, averaged over the possible rigs, one after the other."""
    bench, members = as_lists(belief.bench), belief.members[:, :rigs].T.tolist()
    root, found = math.sqrt(0.5), []
    for gap, row in zip(gaps, delays, strict=True):
        hits = [0.0] * len(row)
        for unknowns in members:
            needed, spread, met = one_rig(bench, unknowns, gap)
            if met:
                near = root / spread
                for at, delay in enumerate(row):
                    late = delay - needed
                    hits[at] += 0.5 * (math.erf((late + HIT_WINDOW) * near) - math.erf((late - HIT_WINDOW) * near))
        found.append([hit / len(members) for hit in hits])
    return found


def as_lists(bench: tries.Bench) -> tries.Bench:
    """Give the bench with its tables as lists, which plain loops read fastest."""
    tables = ("table_time", "table_height", "table_slope")
    return tries.Bench(**{**vars(bench), **{name: vars(bench)[name].tolist() for name in tables}})


def adviser(members: int) -> Callable[[], Any]:
    belief = Belief(BLANK, members=members)
    return lambda: advice.advise(belief)


def learner(members: int) -> Callable[[], Any]:
    shot = Practice(5).shoot(0.075, 0.2).shot

    def learn() -> Any:
        belief = Belief(BLANK, members=members)
        belief.add(shot)
        return belief

    return learn


def a_log(rows: int) -> bytes:
    return log.to_bytes([Shot(delay=0.2 + 1e-6 * i, gap=0.07, first_height=0.012, seen="late") for i in range(rows)])


def by_dict_reader(data: bytes) -> list[dict[str, Any]]:
    """Read the rows, and the numbers in them as numbers: what one writes who needs no checks."""
    words = {column.header for column in log.COLUMNS if not column.factor}
    return [
        {key: cell if key in words or not cell else float(cell) for key, cell in row.items()}
        for row in csv.DictReader(io.StringIO(data.decode("utf-8-sig")))
    ]


def run(quick: bool) -> Iterator[Row | Growth]:
    """Compare, then grow."""
    few = 20 if quick else 100
    belief = Belief(BLANK)
    gaps = advice._gaps(belief)
    need = advice.needs(belief, gaps, belief.members)
    delays = advice._delays(need)
    table = np.stack([advice._odds_row(need, row, delays[row], HIT_WINDOW) for row in range(len(gaps))])
    whole = loop(belief, gaps.tolist(), delays.tolist()[:1] * len(gaps), 200)
    part = advice.needs(belief, gaps, belief.members[:, :200])
    assert np.abs(advice._odds(part, delays[0], HIT_WINDOW) - whole).max() < 2e-3, "the peer's odds differ"
    peer = scaled(lambda rigs: loop(belief, gaps.tolist(), delays.tolist(), rigs), 2, few, belief.members.shape[1])
    late = np.broadcast_to(need.delay[:, None, :], (*table.shape, need.delay.shape[1])).copy()

    def one_ahead() -> Any:
        happens = advice.needs(belief, gaps, belief.members)
        return [advice._odds_row(happens, row, delays[row], HIT_WINDOW) for row in range(len(gaps))]

    ours, whole, floor = race(one_ahead, lambda: advice.advise(belief), lambda: np.tanh(late), quick=quick)
    weighed, below = f"{table.size} tries, {belief.members.shape[1]} rigs", "one tanh a rig and try"
    why = f"each try for each rig in plain arithmetic, one frame ahead; timed on {few} rigs, scaled"
    yield Row(f"odds of {weighed}", ours, peer, "plain loop over rigs", why, floor, below, least=5)
    yield Row(f"advice, two frames ahead: {weighed}", whole, peer, "plain loop, one frame ahead",
              "the same loop, which does the smaller half of what ours does", floor, below, least=1)  # fmt: skip
    rows = 1_000 if quick else 10_000
    data = a_log(rows)
    ours, peer, floor = race(
        lambda: log.from_bytes(data), lambda: by_dict_reader(data),
        lambda: list(csv.reader(io.StringIO(data.decode("utf-8-sig")))), quick=quick,
    )  # fmt: skip
    yield Row(f"log of {rows} frames read", ours, peer, "csv.DictReader and float", "the plain way, without any check",
              floor, "csv.reader alone", least=0.1)  # fmt: skip
    if not quick:
        yield from hits(20)
    sizes = (250, 500, 1_000, 2_000) if quick else (1_000, 2_000, 4_000, 8_000)
    yield growth("advice", "possible rigs", sizes, adviser, 0.3, 1.3, quick)
    yield growth("learning a frame", "possible rigs", sizes, learner, 0.2, 1.3, quick)
    lengths = (30, 100, 300, 1_000) if quick else (10, 100, 1_000, 10_000)
    yield growth("reading a log", "rows", lengths, lambda n: partial(log.from_bytes, a_log(n)), 0.5, 1.3, quick)


def hits(rigs: int) -> Iterator[Row]:
    """Count frames to the first hit on hidden rigs; ``bench_advice.py`` does 500 and says more."""
    ours = statistics.mean(follow_advice(seed, "front")["frames"] for seed in range(rigs))
    for way, name in ((sweep_blindly, "blind sweep"), (halve, "halving by early and late")):
        theirs = statistics.mean(way(seed, "front") for seed in range(rigs))
        yield Row(f"frames to the first hit, mean of {rigs} hidden rigs", ours, theirs, name,
                  "what one does without an adviser", 1.0, "one frame", unit="frames", least=1.5)  # fmt: skip
