"""The next try: which gap and delay to set, the odds, and one sentence that says why.

The order people use: first find the light, then the gap so that the drops meet, then the light on
the meeting. The advice looks two frames ahead: odds of a hit now, plus what this frame would teach
for the next one.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, NamedTuple

import numpy as np

from splashkit import tries
from splashkit.belief import Belief
from splashkit.odds import HIT_WINDOW, frames_to_budget
from splashkit.tries import LAG, SIZE, TIME, UNKNOWNS, VALVE
from splashkit.units import format_number, format_quantity

STEP = 0.1e-3  # timers are set in tenths of a millisecond; house choice
MANY = 3  # times the frames that luck alone would ask for: beyond it the settings are in doubt; house choice
LEARNING = 0.9  # worth of a hit in the next frame against one in this
TELLING = 0.02  # worth of one unit of entropy, for the frames after that; tried on rigs kept out of the benchmark

AIDS = {
    "shutter_lag": "the shutter's lag, from one frame of a falling drop",
    "valve_delay": "the valve's delay, from frames at several delays",
    "release_speed": "the release speed, from frames at several delays",
    "column_time": "when the column rises, from a slow-motion clip",
    "column_height": "the column's height, from one frame with a ruler",
    "jitter": "the scatter of the light, from ten frames at one setting",
    "size_spread": "the drops' size, by weighing",
}


@dataclass(frozen=True)
class Advice:
    """What to set next, the odds of a hit with it, and why."""

    gap: float
    delay: float
    odds: float
    odds_of_meeting: float
    reason: str
    frames_for_one: int | None

    def words(self) -> str:
        """Write what to set, the odds and the reason as one line."""
        return (
            f"Set the gap to {format_quantity(self.gap, 's', 4)} and the delay to "
            f"{format_quantity(self.delay, 's', 4)}: {_share(self.odds)} odds of a hit. {self.reason}"
        )

    def text(self) -> str:
        """Write the advice as one line, with the frames to plan for one keeper."""
        return f"{self.words()}{budget_words(self.odds, self.frames_for_one, 1)}"


class Worth(NamedTuple):
    """What knowing one unknown would do to the odds."""

    name: str
    odds_now: float
    odds_then: float
    text: str


class _Needs(NamedTuple):
    """For some gaps (rows) and all members (columns): delay needed, scatter, and whether the drops meet."""

    delay: Any
    spread: Any
    met: Any
    happens: Any


def needs(belief: Belief, gaps: Any, members: Any) -> _Needs:
    """Return the delay each possible rig would need so that the light falls on the meeting."""
    bench = belief.bench
    happens = tries.events(bench, members, np.asarray(gaps, dtype=float)[:, None])
    camera = 0.0 if bench.chain == "open" else 1.0
    delay = happens.meeting + members[VALVE] - camera * members[LAG] - bench.offsets[bench.chain]
    jitter = np.hypot(members[tries.JITTER], bench.known_spread)
    scatter = members[SIZE] * np.maximum(happens.meeting - happens.contact, 0.0) * 0.3
    return _Needs(delay, np.hypot(jitter, scatter), happens.met, happens)


def odds_at(belief: Belief, gap: float, delay: float, window: float = HIT_WINDOW) -> float:
    """Return the odds that a frame at these settings catches the meeting."""
    need = needs(belief, [gap], belief.members)
    return float(_odds(need, np.array([delay]), window)[0, 0])


def frames_for(
    belief: Belief, gap: float, delay: float, keepers: int = 1, sure: float = 0.9, window: float = HIT_WINDOW
) -> int | None:
    """Return how many frames at these settings give so many keepers, as surely as asked; None where more do not help.

    Scatter differs from frame to frame, but what is not known yet is the same in all of them: a rig that these
    settings miss by far, they miss every time. So the chance is worked out for each possible rig, then averaged.
    """
    need = needs(belief, [gap], belief.members)
    each = np.clip(_chances(need, 0, np.array([delay]), window)[0], 1e-9, 1 - 1e-9)
    log_hit, log_miss = np.log(each), np.log1p(-each)
    below = np.arange(keepers)[:, None]

    def short(frames: int) -> float:
        """Chance of fewer keepers than wanted, the binomial sum averaged over the rigs."""
        ways = np.concatenate(([0.0], np.cumsum(np.log((frames - below[:-1, 0]) / (below[:-1, 0] + 1.0)))))
        logs = ways[:, None] + below * log_hit + (frames - below) * log_miss
        return float(np.exp(logs).sum(axis=0).mean())

    low, high = keepers - 1, MANY * frames_to_budget(float(each.mean()), keepers, sure)
    if short(high) > 1 - sure:
        return None
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (middle, high) if short(middle) > 1 - sure else (low, middle)
    return high


def budget_words(odds: float, frames: int | None, keepers: int) -> str:
    """Say how many frames to plan at these settings; nothing while a hit would be sheer luck."""
    if odds <= 0.02:
        return ""
    if frames is None:
        return " Take it once: if it misses, it will most likely miss again. What it shows moves the next try."
    wanted = "one keeper" if keepers == 1 else f"{keepers} keepers"
    return f" Plan {frames} frame{'' if frames == 1 else 's'} for {wanted} at 90 %."


def advise(belief: Belief, window: float = HIT_WINDOW, gap: float | None = None) -> Advice:
    """Return the settings for the next frame; a ``gap`` given stays as it is."""
    members = belief.members
    gaps = np.array([gap]) if gap is not None else _gaps(belief)
    need = needs(belief, gaps, members)
    delays = _delays(need)
    odds = np.stack([_odds_row(need, row, delays[row], window) for row in range(len(gaps))])
    best = np.unravel_index(np.argmax(odds), odds.shape)
    score = odds.copy()
    if odds[best] < 0.6:
        score = score + LEARNING * (1 - odds) * _next_odds(belief, need, delays, window)
    row, at = np.unravel_index(np.argmax(score), score.shape)
    chosen_gap, delay = (round(float(value) / STEP) * STEP for value in (gaps[row], max(delays[row, at], 0.0)))
    chance = odds_at(belief, chosen_gap, delay, window)
    meeting = float(need.met[row].mean())
    reason = _reason(belief, need, int(row), chance, float(odds[best]), meeting)
    budget = frames_for(belief, chosen_gap, delay, window=window) if chance > 0.02 else None
    return Advice(chosen_gap, delay, chance, meeting, reason, budget)


def worth_measuring(belief: Belief, window: float = HIT_WINDOW) -> tuple[Worth, ...]:
    """Return what each unknown costs: the odds now, and the odds if it were known, best first."""
    now = advise(belief, window).odds
    gaps = _gaps(belief)
    found = []
    for index, name in enumerate(UNKNOWNS):
        order = np.argsort(belief.members[index])
        slices = np.array_split(order, 8)
        then = []
        for part in slices:
            need = needs(belief, gaps, belief.members[:, part])
            delays = np.quantile(need.delay, np.linspace(0.02, 0.98, 25), axis=1).T
            then.append(max(float(_odds_row(need, r, delays[r], window).max()) for r in range(len(gaps))))
        known = max(float(np.mean(then)), now)
        text = f"Measuring {AIDS[name]}, would lift the odds from {_share(now)} to {_share(known)}."
        found.append(Worth(name, now, known, text))
    return tuple(sorted(found, key=lambda worth: -worth.odds_then))


def _gaps(belief: Belief) -> Any:
    """Return gaps worth trying: from early on the rise to well into the fall of the likely columns."""
    bench, members = belief.bench, belief.members
    scale = float(np.median(members[TIME]))
    curve = bench.curve
    start, peak, end = (curve[name] * scale for name in ("start", "peak", "end"))
    moments = np.array([*(start + (peak - start) * np.array([0.35, 0.6, 0.8, 1.0])), peak + 0.25 * (end - peak)])
    return np.maximum(moments + 0.004, bench.shortest_gap)


def _delays(need: _Needs) -> Any:
    """Return delays worth trying for each gap: dense where hits are likely, sparse where only the light is sought."""
    delays = []
    for row in range(len(need.delay)):
        likely = need.delay[row][need.met[row]] if need.met[row].sum() > 50 else need.delay[row]
        near = np.quantile(likely, np.linspace(0.03, 0.97, 21))
        low, high = np.quantile(need.delay[row], [0.0, 1.0])
        wide = np.linspace(low - 0.08, high + 0.03, 23)
        delays.append(np.concatenate([near, wide]))
    return np.maximum(np.array(delays), 0.0)


def _odds(need: _Needs, delays: Any, window: float) -> Any:
    return np.stack([_odds_row(need, row, delays, window) for row in range(len(need.delay))])


def _odds_row(need: _Needs, row: int, delays: Any, window: float) -> Any:
    return _chances(need, row, delays, window).mean(axis=1)


def _chances(need: _Needs, row: int, delays: Any, window: float) -> Any:
    """Return each possible rig's odds of a hit: a row for each delay, a column for each rig."""
    late = np.asarray(delays)[:, None] - need.delay[row]
    spread = need.spread[row]
    hits = _edge((late + window) / spread) - _edge((late - window) / spread)
    return hits * need.met[row]


def _edge(x: Any) -> Any:
    return 0.5 * (1 + np.tanh(x * (0.7978846 + 0.0356774 * x * x)))  # the bell curve's sum within 0.0003


def _next_odds(belief: Belief, need: _Needs, delays: Any, window: float) -> Any:
    """Return the odds of a hit in the frame after, averaged over what this frame may show."""
    bench, members = belief.bench, belief.members[:, ::2]
    camera = 0.0 if bench.chain == "open" else 1.0
    heights = [(s.first_height, s.column_height, s.second_height) for s in belief.shots]
    careful = not belief.shots or any(height is not None for three in heights for height in three)
    careful = careful or any(shot.surface for shot in belief.shots)
    random = np.random.default_rng(7)
    count = members.shape[1]
    result = np.empty(delays.shape)
    for row in range(len(need.delay)):
        h = type(need.happens)(*(np.broadcast_to(v, need.delay.shape)[row, ::2] for v in need.happens))
        needed, met = need.delay[row, ::2], need.met[row, ::2]
        reach = np.maximum(window - 0.5 * need.spread[row, ::2].mean(), 0.3 * window)
        jitter = need.spread[row, ::2] * random.standard_normal(count)
        order = np.argsort(needed)
        for at, delay in enumerate(delays[row]):
            light = tries.relative_light(bench, members, delay, camera, bench.offsets[bench.chain]) + jitter
            outcome = _outcome(bench, h, members, light) if careful else _words(h, light, window)
            result[row, at] = _best_after(outcome[order], needed[order], met[order], reach)
            result[row, at] += TELLING * _surprise(outcome)
    return result


def _surprise(outcome: Any) -> float:
    """Return how evenly the pictures share the rigs (entropy): worth something beyond the next frame."""
    _, counts = np.unique(outcome, return_counts=True)
    share = counts / counts.sum()
    return float(-(share * np.log(share)).sum())


def _words(h: Any, light: Any, window: float) -> Any:
    """Return early, hit or late as a number: all that some people write down."""
    return np.where(light < h.meeting - window, 0, np.where(light > h.meeting + window, 2, 1))


def _outcome(bench: tries.Bench, h: Any, members: Any, light: Any) -> Any:
    """Return a number for what the frame would show: the same number means the same picture."""
    touched, started, done = light > h.contact, light > h.column_start, light > h.meeting
    # heights are read to about a millimetre: 0.5 ms of fall, 3 mm of a column whose shape is only roughly known
    own = np.floor((light - h.enters) / 0.5e-3)
    first = (light > h.enters) & ~touched
    second = (light > h.second_enters) & ~done
    top, _slope = bench.column(light - h.contact, members[TIME], members[tries.HEIGHT])
    code = np.where(light < h.enters, 0, 1000)
    code = np.where(first, 2000 + own, code)
    code = np.where(touched, 3000, code)
    code = np.where(started & (top > 0), 4000 + np.floor(top / 3e-3), code)
    code = np.where(second, 100000 + 100 * np.floor((light - h.second_enters) / 0.5e-3) + code % 100, code)
    code = np.where(done, 7000, code)
    return np.where(done & h.met & (light < h.meeting + bench.sheet_time), 8000, code)


def _best_after(outcome: Any, needed: Any, met: Any, reach: float) -> float:
    """Return the share of rigs the next frame would hit: for each picture, the fullest window of needed delays."""
    # one line for all pictures: shift each picture's needed delays far away from the others'
    _, which = np.unique(outcome, return_inverse=True)
    line = needed + which * 100.0
    order = np.argsort(line, kind="stable")
    line, good = line[order], met[order].astype(float)
    total = np.concatenate([[0.0], np.cumsum(good)])
    inside = total[np.searchsorted(line, line + 2 * reach)] - total[:-1]
    return float(
        np.maximum.reduceat(inside, np.flatnonzero(np.r_[True, which[order][1:] != which[order][:-1]])).sum()
    ) / len(needed)


def _reason(belief: Belief, need: _Needs, row: int, chance: float, best: float, meeting: float) -> str:
    lag = belief.members[LAG] if belief.bench.chain != "open" else 0.0
    light = need.happens.contact + belief.members[VALVE] - lag
    light_width = float(np.diff(np.quantile(light, [0.05, 0.95]))[0])
    width = float(np.diff(np.quantile(need.delay[row], [0.05, 0.95]))[0])
    if light_width > 0.02:
        return (
            f"Why: the light may still fall anywhere within {_width(light_width)}, and this delay is "
            "the likeliest to show a drop or the column, which pins it."
        )
    if meeting < 0.75:
        return "Why: first make the drops meet; this gap is the likeliest to find the column standing."
    if chance < 0.2 or chance < 0.5 * best:
        return f"Why: the needed delay is known to {_width(width)} only; this frame tells most about it."
    return f"Why: the drops should meet, the needed delay is known to {_width(width)}, and this is its middle."


def _width(time: float) -> str:
    return f"{format_number(1e3 * time, 2)} ms"  # as the timer shows it


def _share(odds: float) -> str:
    return f"{100 * odds:.0f} %" if odds >= 0.095 or odds == 0 else f"{100 * odds:.1f} %"
