"""Timing in one place, and the two things a benchmark gives: a row of the table, and a growth.

What is counted is the processor's time of this process. Those that are compared take turns in the same
process, and the least time counts, so a machine with other work to do changes little.
"""

from __future__ import annotations

import math
import os
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

ROOT = Path(__file__).resolve().parents[2]


@dataclass(frozen=True)
class Row:
    """One comparison. ``ours``, ``peer`` and ``floor`` are in one unit; the ratio is how many times we are better."""

    what: str
    ours: float
    peer: float | None = None
    peer_name: str = ""
    why: str = ""  # why that is the peer: one line
    floor: float | None = None
    floor_name: str = ""
    unit: str = "s"
    wanted: float | None = None  # ratio to reach
    least: float | None = None  # ratio that the test asserts, with a wide margin
    within: float | None = None  # times the floor to stay within
    most: float | None = None  # times the floor that the test asserts

    @property
    def ratio(self) -> float | None:
        return None if self.peer is None else self.peer / self.ours

    @property
    def over_floor(self) -> float | None:
        return None if self.floor is None else self.ours / self.floor

    def reached(self) -> bool | None:
        """Tell whether the wanted numbers are reached; None where none is wanted."""
        return self._holds(self.wanted, self.within) if self.wanted or self.within else None

    def holds(self) -> bool:
        """Tell whether the asserted numbers hold."""
        return self._holds(self.least, self.most)

    def _holds(self, least: float | None, most: float | None) -> bool:
        enough = least is None or (self.ratio or 0.0) >= least
        return enough and (most is None or (self.over_floor or math.inf) <= most)


@dataclass(frozen=True)
class Growth:
    """How the time grows with the work: times for rising sizes, and the power of the size that fits them best."""

    what: str
    size: str  # what the sizes count
    sizes: tuple[float, ...]
    times: tuple[float, ...]
    low: float  # the test asserts that the exponent is from here
    high: float  # to here

    @property
    def exponent(self) -> float:
        return float(np.polyfit(np.log(self.sizes), np.log(self.times), 1)[0])

    def holds(self) -> bool:
        return self.low <= self.exponent <= self.high


def spent(work: Callable[[], Any], times: int = 1) -> float:
    """Return the processor's time for one call [s]."""
    begin = time.process_time()
    for _ in range(times):
        work()
    return (time.process_time() - begin) / times


def race(*works: Callable[[], Any], quick: bool = False) -> list[float]:
    """Let works take turns; return each one's least time [s]. Short works are repeated so that a turn can be timed."""
    turn, turns = (0.004, 3) if quick else (0.02, 7)
    for work in works:
        work()  # fills the caches
    counts = [max(1, math.ceil(turn / max(spent(work), 1e-7))) for work in works]
    taken = [[spent(work, count) for work, count in zip(works, counts, strict=True)] for _ in range(turns)]
    return [min(column) for column in zip(*taken, strict=True)]


def walk(steps: Iterable[Any], *works: Callable[[Any], Any]) -> list[list[float]]:
    """Let works take turns at each step of a walk; return a row of times for each step [s]."""
    return [[spent(lambda work=work, step=step: work(step)) for work in works] for step in steps]


def middle(rows: Iterable[Sequence[float]]) -> list[float]:
    """Return the middle of each column."""
    return [statistics.median(column) for column in zip(*rows, strict=True)]


def growth(
    what: str, size: str, sizes: Sequence[float], work_of: Callable[[Any], Callable[[], Any]], low: float, high: float,
    quick: bool = False,
) -> Growth:  # fmt: skip
    """Time the work at each size, the sizes taking turns."""
    times = race(*(work_of(one) for one in sizes), quick=quick)
    return Growth(what, size, tuple(float(one) for one in sizes), tuple(times), low, high)


def scaled(work: Callable[[int], Any], few: int, many: int, whole: int) -> float:
    """Return what a loop of ``whole`` turns would take, from a short and a longer one [s]; its start counts once."""
    short, long = (min(spent(lambda count=count: work(count)) for _ in range(2)) for count in (few, many))
    return short + (long - short) / (many - few) * (whole - few)


def agrees(theirs: Any, ours: Any, apart: float) -> None:
    """Fail unless both do the same job: the largest relative difference is checked."""
    most = float(np.abs(np.asarray(theirs) / ours - 1).max())
    assert most < apart, f"the peer's result differs by {most:.2%}"


_ENDING = """
import os as _o, time as _t
_s = _t.process_time()
_m = int(open("/proc/self/statm").read().split()[1]) * _o.sysconf("SC_PAGE_SIZE") if _o.path.exists("/proc") else 0
print("took", _s, _m / 1e6)
"""


def in_new_processes(*codes: str, turns: int) -> list[tuple[float, float]]:
    """Run pieces of code in fresh Pythons by turns; return the least processor time [s] and memory [MB] of each.

    The time counts from the process's start, the interpreter's own start included. Memory is what stays
    resident at the end, 0 on systems that do not tell.
    """
    found: list[list[tuple[float, float]]] = [[] for _ in codes]
    with tempfile.TemporaryDirectory() as home:
        given = dict(os.environ, SPLASHKIT_HOME=home)
        given["PYTHONPATH"] = os.pathsep.join([str(ROOT), os.environ.get("PYTHONPATH", "")])
        for _ in range(turns):
            for code, taken in zip(codes, found, strict=True):
                command = [sys.executable, "-c", code + _ENDING]
                told = subprocess.run(command, capture_output=True, text=True, env=given, cwd=ROOT / "lessons")
                if told.returncode:
                    raise RuntimeError(told.stderr[-2000:])
                seconds, megabytes = told.stdout.rsplit("took", 1)[1].split()
                taken.append((float(seconds), float(megabytes)))
    return [(min(s for s, _ in one), min(m for _, m in one)) for one in found]
