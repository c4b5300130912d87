"""Frames to the first hit on random practice rigs: following the advice, and sweeping blindly.

Run: python tests/benchmarks/bench_advice.py [rigs] [first seed] [front] [open]
A hit is light within 1.5 ms of the moment at which the second drop touches a standing column.
The rigs hide their lags, and their physics is not the adviser's (splashkit/practice.py).
"""

from __future__ import annotations

import json
import resource
import sys
import time
from dataclasses import replace

import numpy as np

from splashkit import tries
from splashkit.advice import advise
from splashkit.belief import Belief
from splashkit.log import Shot
from splashkit.odds import HIT_WINDOW
from splashkit.practice import Practice

LONGEST = 40
SWEEP_STEP = 2 * HIT_WINDOW
TRUTHS = ("shutter_lag", "valve_delay", "release_speed", "column_time", "column_height")


def logged(shot: Shot, observer: str, frame: int) -> Shot:
    """What three kinds of people write down of the same frame."""
    if observer == "words only":
        return Shot(gap=shot.gap, delay=shot.delay, chain=shot.chain, seen=shot.seen)
    if observer == "second entry wrong" and frame == 2:
        other = {"early": "late", "late": "early", "nothing": "late"}.get(shot.seen, "early")
        slipped = {
            name: height + 0.012
            for name in ("first_height", "column_height", "second_height")
            if (height := getattr(shot, name)) is not None
        }
        return replace(shot, seen=other, surface="", **slipped)
    return shot


def follow_advice(seed: int, chain: str, observer: str = "careful") -> dict:
    """Follow the advice to the first hit; note whether the 90 % ranges hold the truth, and the odds promised."""
    rig = Practice(seed, chain=chain)
    belief = Belief(rig.rig, seed=seed)
    promised, got, took = [], [], []
    for frame in range(1, LONGEST + 1):
        start = time.process_time()
        advice = advise(belief)
        took.append(time.process_time() - start)
        tried = rig.shoot(advice.gap, advice.delay)
        promised.append(advice.odds)
        got.append(tried.hit)
        start = time.process_time()
        belief.add(logged(tried.shot, observer, frame))
        took[-1] += time.process_time() - start
        if tried.hit:
            break
    held = {}
    for name in TRUTHS:
        if name == "shutter_lag" and chain == "open":
            continue
        band = belief.estimate(name)
        held[name] = band.low <= getattr(rig.hidden, name) <= band.high
    if chain != "open":
        low, high = np.quantile(belief.members[tries.LAG] - belief.members[tries.VALVE], [0.05, 0.95])
        held["lag less valve delay"] = low <= rig.hidden.shutter_lag - rig.hidden.valve_delay <= high
    return {
        "frames": len(got) if tried.hit else LONGEST + 1,
        "held": held,
        "promised": promised,
        "got": got,
        "took": took,
    }


def sweep_blindly(seed: int, chain: str) -> int:
    """Sweep the delay in steps as wide as the hit window over all it could be, at the books' gap; then other gaps."""
    rig = Practice(seed, chain=chain)
    middle = np.array([[0.0], [0.015], [0.1], [1.0], [1.0], [5e-4], [0.01]])
    book = rig.bench.curve["peak"] * 0.9
    moment = float(tries.events(rig.bench, middle, book).meeting[0])
    start = moment + 0.005 - rig.bench.offsets[chain] - (0.0 if chain == "open" else 0.250) - 0.02
    end = moment + 0.025 - rig.bench.offsets[chain] + 0.02
    frames = 0
    for factor in (1.0, 0.85, 1.15, 0.7, 1.3, 1.0, 0.85, 1.15):
        for delay in np.arange(max(start, 0.0), end, SWEEP_STEP):
            frames += 1
            if rig.shoot(book * factor, float(delay)).hit:
                return frames
    return frames + 1


def halve(seed: int, chain: str) -> int:
    """Halve the range of delays by 'too early' and 'too late' alone, at the books' gap; start over with another gap."""
    rig = Practice(seed, chain=chain)
    middle = np.array([[0.0], [0.015], [0.1], [1.0], [1.0], [5e-4], [0.01]])
    book = rig.bench.curve["peak"] * 0.9
    moment = float(tries.events(rig.bench, middle, book).meeting[0]) - rig.bench.offsets[chain]
    frames, shift = 0, 0.0
    for factor in (1.0, 0.85, 1.15, 0.7, 1.3) * 3:
        low = max(moment - 0.02 - (0.0 if chain == "open" else 0.25) + shift, 0.0)
        high = moment + 0.05 + shift
        while high - low > 1e-3:
            delay = 0.5 * (low + high)
            tried = rig.shoot(book * factor, delay)
            frames += 1
            if tried.hit:
                return frames
            low, high = (delay, high) if tried.light_after_meeting < 0 else (low, delay)
    return frames + 1


def summary(frames: list[int]) -> str:
    f = np.array(frames)
    share = (f <= LONGEST).mean()
    most = np.quantile(f, 0.9, method="higher")
    return f"median {np.median(f):5.1f}   90 % within {most:5.0f}   worst {f.max():4d}   within {LONGEST}: {share:6.1%}"


def main(rigs: int = 500, first: int = 0, *chains: str) -> None:
    out = {}
    for chain in chains or ("front", "open"):
        runs = [follow_advice(seed, chain) for seed in range(first, first + rigs)]
        frames = [run["frames"] for run in runs]
        name = "shutter lag 0-250 ms unknown" if chain == "front" else "open shutter in the dark"
        print(f"\n{name}, {rigs} rigs, frames to the first hit")
        print(f"  following the advice   {summary(frames)}", flush=True)
        fewer = max(rigs // 5, 1)
        for observer in ("words only", "second entry wrong"):
            other = [follow_advice(seed, chain, observer)["frames"] for seed in range(first, first + fewer)]
            print(f"  ... {observer:18s} {summary(other)}   ({fewer} rigs)", flush=True)
        print(f"  halving by early/late  {summary([halve(s, chain) for s in range(first, first + rigs)])}")
        print(f"  blind sweep            {summary([sweep_blindly(s, chain) for s in range(first, first + rigs)])}")
        for held in runs[0]["held"]:
            print(f"  90 % range of {held:20s} holds the truth on {np.mean([run['held'][held] for run in runs]):6.1%}")
        promised = np.concatenate([run["promised"] for run in runs])
        got = np.concatenate([run["got"] for run in runs])
        for low, high in ((0, 0.1), (0.1, 0.3), (0.3, 0.5), (0.5, 0.7), (0.7, 1.01)):
            part = (promised >= low) & (promised < high)
            if part.any():
                print(f"  promised {promised[part].mean():5.0%}, got {got[part].mean():5.0%} ({part.sum()} frames)")
        took = np.concatenate([run["took"] for run in runs])
        print(f"  advice and learning: median {np.median(took) * 1e3:.0f} ms, slowest {took.max() * 1e3:.0f} ms")
        out[chain] = {"median": float(np.median(frames)), "within_90": float(np.quantile(frames, 0.9, method="higher"))}
    out["memory_MB"] = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print(f"\nmemory at most {out['memory_MB']:.0f} MB\n{json.dumps(out)}")


if __name__ == "__main__":
    main(*(int(word) for word in sys.argv[1:3]), *sys.argv[3:])
