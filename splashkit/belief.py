"""What the frames say about a rig: a cloud of possible rigs, thinned by every frame.

Each member of the cloud is one full set of unknowns. A frame weighs the members by how well they
would have shown it; members that would not are replaced by ones that would, moved about a little
so that the cloud stays a cloud. One wrong entry cannot ruin it: every frame has a small chance of
being a slip of the pen. What the frames cannot tell stays as wide as it was.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any, NamedTuple

import numpy as np

from splashkit import tries
from splashkit.estimate import Estimate
from splashkit.log import Shot
from splashkit.odds import HIT_WINDOW
from splashkit.rig import Rig
from splashkit.tries import HEIGHT, JITTER, LAG, SIZE, SPEED, TIME, UNKNOWNS, VALVE, Bench

MEMBERS = 2000
MOVES = 4
ANEW = 0.35  # share of the members that draw one unknown anew at a move
SAME_NOZZLE = 2e-3  # frames from a nozzle farther off than this belong to another set-up [m]
LATEST_FRAMES = 60  # older frames add little, and rigs drift
SLIP = 0.01  # chance that an entry is wrong; house choice
DOUBT = 0.8  # chance of a slip from which a frame is named; house choice
READING = 0.7e-3  # how well a height is read off a frame [m]; house choice
MODEL_HEIGHT = 0.10  # share of the column's height by which its shape may differ from the model's
MODEL_TIME = 0.7e-3  # how far a meeting may lie from the model's moment for one column [s]
BLANK_CAREFUL, BLANK_BRIEF = 0.15, 0.6  # chance that something in the frame was not written down


class Prior(NamedTuple):
    """What is believed of one unknown before any frame: a bell curve cut off at both ends, or level if spread is 0."""

    low: float
    high: float
    middle: float = 0.0
    spread: float = 0.0


# Ranges before anything is measured: common practice, no source, for lags and spreads; the column's
# from the splash models' own bands (time about 10 %, height about 25 %)
BLANK_PRIORS: Mapping[str, Prior] = {
    "shutter_lag": Prior(0.0, 0.250),
    "valve_delay": Prior(0.005, 0.025),
    "release_speed": Prior(0.0, 0.6, 0.0, 0.25),
    "column_time": Prior(np.log(0.65), np.log(1.5), 0.0, 0.13),
    "column_height": Prior(np.log(0.5), np.log(2.0), 0.0, 0.22),
    "jitter": Prior(np.log(0.1e-3), np.log(5e-3), np.log(0.7e-3), 0.8),
    "size_spread": Prior(np.log(1e-3), np.log(0.08), np.log(0.01), 0.8),
}
_LOGGED = (TIME, HEIGHT, JITTER, SIZE)  # these walk in their logarithm


def priors(rig: Rig, chain: str | None = None) -> dict[str, Prior]:
    """Return what is believed before any frame: a rig's own numbers where measured, broad ranges where blank."""
    found = dict(BLANK_PRIORS)
    if rig.shutter_lag is not None:
        near = max(0.003, 0.03 * rig.shutter_lag)
        found["shutter_lag"] = Prior(0.0, rig.shutter_lag + 0.05, rig.shutter_lag, near)
    if rig.valve_delay is not None:
        found["valve_delay"] = Prior(0.0, rig.valve_delay + 0.02, rig.valve_delay, max(0.001, 0.1 * rig.valve_delay))
    if rig.release_speed is not None:
        found["release_speed"] = Prior(0.0, 3.0, rig.release_speed, max(0.03, 0.2 * rig.release_speed))
    if rig.shutter_lag_spread:
        low, high = BLANK_PRIORS["jitter"][:2]
        found["jitter"] = Prior(low, high, float(np.clip(np.log(rig.shutter_lag_spread), low, high)), 0.4)
    if (chain or rig.chain) == "open":
        low, high = BLANK_PRIORS["jitter"][:2]
        found["jitter"] = Prior(low, high, np.log(0.4e-3), 0.7)
    return found


@dataclass(frozen=True)
class Frames:
    """The logged frames as columns of numbers, one row a frame; NaN where nothing was noted."""

    gap: Any
    delay: Any
    camera: Any
    offset: Any
    first: Any
    column: Any
    second: Any
    seen: tuple[str, ...]
    surface: tuple[str, ...]
    careful: Any

    def __len__(self) -> int:
        return len(self.seen)


def frames_from(bench: Bench, shots: Iterable[Shot]) -> Frames:
    """Turn logged shots into columns; left out are rows that say nothing, and those of another nozzle height."""
    rows = [s for s in shots if s.delay is not None and s.gap is not None and _says_something(s)]
    rows = [s for s in rows if s.nozzle_height is None or abs(s.nozzle_height - bench.nozzle_height) <= SAME_NOZZLE]
    kinds = [shot.chain or bench.chain for shot in rows]

    def column(values: list[Any]) -> Any:
        return np.array([np.nan if value is None else value for value in values], dtype=float)[:, None]

    heights = [[getattr(s, name) for s in rows] for name in ("first_height", "column_height", "second_height")]
    careful = [bool(s.surface) or any(h[i] is not None for h in heights) for i, s in enumerate(rows)]
    return Frames(
        gap=column([s.gap for s in rows]),
        delay=column([s.delay for s in rows]),
        camera=column([0.0 if kind == "open" else 1.0 for kind in kinds]),
        offset=column([bench.offsets[kind] for kind in kinds]),
        first=column(heights[0]),
        column=column(heights[1]),
        second=column(heights[2]),
        seen=tuple(s.seen for s in rows),
        surface=tuple(s.surface for s in rows),
        careful=np.array(careful, dtype=bool)[:, None],
    )


def _says_something(shot: Shot) -> bool:
    heights = (shot.first_height, shot.column_height, shot.second_height)
    return bool(shot.seen or shot.surface or any(height is not None for height in heights))


def _below(x: Any) -> Any:
    """A fast stand-in for the bell curve's sum, within 0.01 of it and with wider tails."""
    return 1.0 / (1.0 + np.exp(np.clip(-1.702 * x, -60.0, 60.0)))


def frame_likelihood(bench: Bench, frames: Frames, members: Any) -> Any:
    """Return log-likelihoods, one row a frame and one column a member, with the chance of a slip mixed in."""
    return np.logaddexp(*_frame_fits(bench, frames, members))


def _frame_fits(bench: Bench, frames: Frames, members: Any) -> tuple[Any, Any]:
    """Return log-likelihoods of each frame as it was meant, and as a slip of the pen."""
    lag, jitter = members[LAG], np.hypot(members[JITTER], bench.known_spread)
    scale, high, speed = members[TIME], members[HEIGHT], members[SPEED]
    happens = tries.events(bench, members, frames.gap)
    light = frames.delay + frames.offset + frames.camera * lag - members[VALVE]
    log_like = np.zeros(light.shape)
    junk = np.zeros((len(frames), 1))
    # a drop's height pins the light's own moment in this frame: update it, then judge the rest
    spread2 = np.broadcast_to(jitter**2, light.shape)
    for which, height, release in (("first", frames.first, 0.0), ("second", frames.second, frames.gap)):
        noted = np.isfinite(height)
        if noted.any():
            rows = noted[:, 0]
            at = np.where(noted, height, bench.view_top / 2)[rows]
            shift = release[rows] if isinstance(release, np.ndarray) else release
            own = bench.time_at_height(which, at, speed)
            pace = np.maximum(bench.speed(own, speed), 0.05)  # a drop still at the nozzle tells next to nothing
            error2 = (READING / pace) ** 2 + (0.25e-3**2 if which == "second" else 0.0)
            total = spread2[rows] + error2
            miss = own + shift - light[rows]
            log_like[rows] += -0.5 * (miss**2 / total + np.log(total)) - np.log(pace) - 0.919
            share = spread2[rows] / total
            light, spread2 = light.copy(), spread2.copy()
            light[rows] += share * miss
            spread2[rows] *= 1 - share
            junk[rows] -= np.log(bench.view_top)
    spread = np.sqrt(spread2)
    since = light - happens.contact
    top, slope = bench.column(since, scale, high)
    scatter = members[SIZE] * np.maximum(since, 0.0)  # larger drops make later columns: time goes about with size
    noted = np.isfinite(frames.column)
    if noted.any():
        error2 = READING**2 + (MODEL_HEIGHT * bench.curve["height"] * high) ** 2 + slope**2 * (spread2 + scatter**2)
        miss = np.where(noted, frames.column, 0.0) - top
        log_like += np.where(noted, -0.5 * (miss**2 / error2 + np.log(error2)) - 0.919, 0.0)
        junk -= np.where(noted, np.log(bench.view_top), 0.0)
    log_like += _log_words(bench, frames, happens, light, spread, scatter)
    words = sum(np.array([bool(word) for word in column])[:, None] for column in (frames.seen, frames.surface))
    junk -= words * np.log(4.0)
    return np.log(1 - SLIP) + log_like, np.log(SLIP) + junk


def _log_words(bench: Bench, frames: Frames, happens: Any, light: Any, spread: Any, scatter: Any) -> Any:
    """Judge the words: what was there, what was not, and early, late or hit."""
    loose = np.sqrt(spread**2 + scatter**2 + MODEL_TIME**2)

    def after(event: Any, width: Any = spread) -> Any:
        return _below((light - event) / width)

    touched, started = after(happens.contact), after(happens.column_start, loose)
    done, ended = after(happens.meeting, loose), after(happens.column_end, 2 * loose)
    in_first = after(happens.enters) * (1 - touched)
    in_second = after(happens.second_enters) * (1 - done)
    standing = started * (1 - ended) * (1 - done)
    sheet = np.where(happens.met, done * (1 - after(happens.meeting + bench.sheet_time, 2e-3)), 0.0)
    blank = np.where(frames.careful, BLANK_CAREFUL, BLANK_BRIEF)
    total = np.zeros(light.shape)
    for there, height in ((in_first, frames.first), (in_second, frames.second), (standing, frames.column)):
        # a noted body needs no second judgement: its height already is one, save for the column's being there
        unseen = 1 - there * (1 - blank)
        seen = there if height is frames.column else np.maximum(there, 0.3)
        total += np.log(np.where(np.isfinite(height), seen, unseen) + 1e-9)
    window = HIT_WINDOW
    surfaces = {
        "calm": 1 - touched,
        "crown": touched * (1 - started) * (1 - done),
        "column": started * (1 - ended) * (1 - done),
        "sheet": sheet,
        "ripples": np.clip(np.maximum(done, ended) - 0.7 * sheet, 0.0, 1.0),
    }
    early = 1 - after(happens.meeting - window, loose)
    late = after(happens.meeting + window, loose)
    hit = np.where(happens.met, np.clip(1 - early - late, 0.0, 1.0), 0.0)
    nothing = (1 - in_first) * (1 - in_second) * (1 - standing) * (1 - sheet)
    seen_words = {"early": early, "late": late, "hit": hit, "nothing": nothing}
    for words, chances in ((frames.seen, seen_words), (frames.surface, surfaces)):
        for word in set(words) - {""}:
            rows = np.array([w == word for w in words])
            total[rows] += np.log(chances[word][rows] + 1e-9)
    return total


def clip_likelihood(bench: Bench, shots: Iterable[Shot], members: Any) -> Any:
    """Return the log-likelihood of every slow-motion clip: times between events, each known to half a frame."""
    rows = []
    for shot in shots:
        if len(shot.clip_events) < 2 or not shot.clip_rate:
            continue
        gap = shot.gap if shot.gap is not None else 0.0
        happens = tries.events(bench, members, gap)
        zero = np.zeros(members.shape[1])
        moments = {
            "signal": (-members[VALVE], 0.2e-3),
            "first_release": (zero, 0.5e-3),
            "second_release": (zero + gap, 0.5e-3),
            "first_contact": (happens.contact, 0.1e-3),
            "column_start": (happens.column_start, 1.0e-3),
            "column_top": (happens.column_peak, 3.0e-3),
            "meeting": (happens.meeting, MODEL_TIME),
        }
        known = [name for name in shot.clip_events if shot.gap is not None or name not in ("second_release", "meeting")]
        if len(known) < 2:
            continue
        frame = 1.0 / shot.clip_rate
        seen = np.array([shot.clip_events[name] * frame for name in known])[:, None]
        ours = np.stack([moments[name][0] for name in known])
        late = np.array([name in ("column_start", "column_top", "meeting") for name in known])[:, None]
        error2 = frame**2 / 12 + np.array([moments[name][1] for name in known])[:, None] ** 2
        error2 = error2 + late * (members[SIZE] * np.maximum(ours - happens.contact, 0.0)) ** 2
        weight = 1 / error2
        miss = seen - ours
        miss = miss - (weight * miss).sum(axis=0) / weight.sum(axis=0)  # where the clip starts is unknown
        fit = -0.5 * (weight * miss**2 - np.log(weight)).sum(axis=0) - 0.5 * np.log(weight.sum(axis=0))
        fit -= 0.919 * (len(known) - 1)
        rows.append(np.logaddexp(np.log(1 - SLIP) + fit, np.log(SLIP) - (len(known) - 1) * np.log(0.1)))
    return np.array(rows).reshape(-1, members.shape[1])


class Belief:
    """The cloud of possible rigs. ``members`` has one row an unknown and one column a possible rig."""

    def __init__(self, rig: Rig, chain: str | None = None, members: int = MEMBERS, seed: int = 1):
        self.rig, self.bench = rig, tries.bench(rig.with_values(chain=chain) if chain else rig)
        self.priors = [priors(rig, chain)[name] for name in UNKNOWNS]
        self.random = np.random.default_rng(seed)
        self.shots: list[Shot] = []
        self.members = self._from_prior(members)

    def add(self, *shots: Shot) -> None:
        """Learn from one or more frames or clips, in the order they were taken."""
        for shot in shots:
            self.shots = [*self.shots[-(LATEST_FRAMES - 1) :], shot]
            self._learn(1)

    def add_log(self, shots: Iterable[Shot]) -> None:
        """Learn from a whole log at once: quicker than one by one, and only the latest frames count."""
        latest = list(shots)[-LATEST_FRAMES:]
        self.shots = [*self.shots, *latest][-LATEST_FRAMES:]
        if latest:
            self._learn(min(len(latest), len(self.shots)))

    def estimate(self, name: str) -> Estimate:
        """Return one unknown's middle value and its 90 % range."""
        row = self.members[UNKNOWNS.index(name)]
        low, middle, high = np.quantile(row, [0.05, 0.5, 0.95])
        return Estimate(float(middle), float(low), float(high), f"{len(self.shots)} frames and the models' bands")

    def narrowed(self, name: str) -> float:
        """Return how much of an unknown's first width is left, 0 to 1: near 1 the frames could not tell."""
        index = UNKNOWNS.index(name)
        fresh = self._draw(self.priors[index], 4000, np.random.default_rng(0))
        fresh = np.exp(fresh) if index in _LOGGED else fresh
        first = np.diff(np.quantile(fresh, [0.05, 0.95]))[0]
        return float(min(np.diff(np.quantile(self.members[index], [0.05, 0.95]))[0] / first, 1.0))

    def doubtful(self) -> list[Shot]:
        """Return the frames that are more likely a slip of the pen than true, by all that the others say."""
        found = []
        for shot in self.shots:
            frames = frames_from(self.bench, [shot])
            if len(frames):
                meant, slip = _frame_fits(self.bench, frames, self.members)
                if np.mean(1 / (1 + np.exp(np.clip(meant - slip, -60.0, 60.0)))) > DOUBT:
                    found.append(shot)
        return found

    def likelihood(self, shots: list[Shot], members: Any) -> Any:
        """Return the log-likelihood of shots for members, summed over the shots."""
        frames = frames_from(self.bench, shots)
        total = np.zeros(members.shape[1])
        if len(frames):
            total += frame_likelihood(self.bench, frames, members).sum(axis=0)
        clips = clip_likelihood(self.bench, shots, members)
        return total + clips.sum(axis=0)

    def _learn(self, count: int) -> None:
        """Take in the latest shots by steps small enough that the cloud never collapses."""
        old, new = self.shots[:-count], self.shots[-count:]
        done = 0.0
        fits = np.stack([self.likelihood(old, self.members), self.likelihood(new, self.members)])
        while done < 1.0:
            step = self._step(fits[1], 1.0 - done)
            kept = self._resampled(np.exp(step * (fits[1] - fits[1].max())))
            self.members, fits = self.members[:, kept], fits[:, kept]
            done = min(done + step, 1.0)
            for _ in range(MOVES if done == 1.0 else 1):
                fits = self._move(old, new, done, fits)

    def _step(self, latest: Any, rest: float) -> float:
        """Return the largest share of the evidence that leaves a third of the cloud standing."""
        low, high = 0.0, rest
        for _ in range(18):
            weights = np.exp(high * (latest - latest.max()))
            if weights.sum() ** 2 / (weights**2).sum() > 0.33 * len(latest):
                low = high
                if high == rest:
                    return rest
            else:
                rest = high
            high = 0.5 * (low + rest)
        return max(low, 1e-6)

    def _resampled(self, weights: Any) -> Any:
        """Choose members in proportion to their weight, evenly spaced (systematic resampling)."""
        count = len(weights)
        places = (self.random.random() + np.arange(count)) / count
        return np.minimum(np.searchsorted(np.cumsum(weights / weights.sum()), places), count - 1)

    def _move(self, old: list[Shot], new: list[Shot], share: float, fits: Any) -> Any:
        """Move every member along the difference of two others, where prior and frames allow (Metropolis)."""
        walk = self._walking(self.members)
        count = walk.shape[1]
        one, two = self.random.integers(count, size=(2, count))
        stretch = np.where(self.random.random(count) < 0.15, 1.0, 0.65 * self.random.lognormal(0.0, 0.4, count))
        # only some of the unknowns move at a time, so that a well-known one does not hold the others still
        free = self.random.random(walk.shape) >= self.random.choice([0.0, 0.5], size=count)
        low, high = (np.array([getattr(prior, end) for prior in self.priors])[:, None] for end in ("low", "high"))
        step = stretch * (walk[:, one] - walk[:, two]) + 1e-4 * (high - low) * self.random.standard_normal(walk.shape)
        fresh = walk + step * free
        # some members draw one unknown anew instead: what the frames cannot tell must stay as wide as it was
        anew, which = self.random.random(count) < ANEW, self.random.integers(len(walk), size=count)
        for row, prior in enumerate(self.priors):
            drawn = anew & (which == row)
            fresh[:, drawn] = walk[:, drawn]
            fresh[row, drawn] = self._draw(prior, int(drawn.sum()), self.random)
        members = self._standing(np.clip(fresh, low, high))
        fresh_fits = np.stack([self.likelihood(old, members), self.likelihood(new, members)])
        gain = (fresh_fits[0] - fits[0]) + share * (fresh_fits[1] - fits[1])
        # drawing from the prior already weighs by it
        gain = gain + np.where(anew, 0.0, self._prior_fit(fresh) - self._prior_fit(walk))
        taken = np.log(self.random.random(count)) < gain
        self.members = np.where(taken, members, self.members)
        return np.where(taken, fresh_fits, fits)

    def _prior_fit(self, walk: Any) -> Any:
        total = np.zeros(walk.shape[1])
        for row, prior in zip(walk, self.priors, strict=True):
            slack = 1e-12 * (prior.high - prior.low)  # members at the very edge are inside
            total += np.where((row >= prior.low - slack) & (row <= prior.high + slack), 0.0, -np.inf)
            if prior.spread:
                total += -0.5 * ((row - prior.middle) / prior.spread) ** 2
        return total

    def _from_prior(self, count: int) -> Any:
        return self._standing(np.stack([self._draw(prior, count, self.random) for prior in self.priors]))

    @staticmethod
    def _draw(prior: Prior, count: int, random: Any) -> Any:
        if not prior.spread:
            return random.uniform(prior.low, prior.high, count)
        drawn = random.normal(prior.middle, prior.spread, 20 * count + 50)
        drawn = drawn[(drawn >= prior.low) & (drawn <= prior.high)]
        return drawn[:count] if len(drawn) >= count else random.uniform(prior.low, prior.high, count)

    @staticmethod
    def _walking(members: Any) -> Any:
        walk = members.copy()
        walk[list(_LOGGED)] = np.log(walk[list(_LOGGED)])
        return walk

    @staticmethod
    def _standing(walk: Any) -> Any:
        members = walk.copy()
        members[list(_LOGGED)] = np.exp(members[list(_LOGGED)])
        return members
