"""What the frames say about a rig: a cloud of possible rigs, thinned by every frame.

Each member of the cloud is one full set of unknowns. A frame weighs the members by how well they
would have shown it; members that would not are replaced by ones that would, moved about a little
so that the cloud stays a cloud. One wrong entry cannot ruin it: every frame has a small chance of
being a slip of the pen. What the frames cannot tell stays as wide as it was.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any, NamedTuple

import numpy as np

from splashkit import tries
from splashkit.estimate import Estimate
from splashkit.likelihood import clip_likelihood, frame_fits, frame_likelihood, frames_from
from splashkit.log import Shot
from splashkit.rig import Rig
from splashkit.tries import HEIGHT, JITTER, SIZE, TIME, UNKNOWNS

MEMBERS = 2000
MOVES = 4
ANEW = 0.35  # share of the members that draw one unknown anew at a move
LATEST_FRAMES = 60  # older frames add little, and rigs drift
BLOCK = 8  # frames judged at a time: half a megabyte of work each
DOUBT = 0.8  # chance of a slip from which a frame is named; house choice


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

    def doubtful(self) -> list[Shot]:
        """Return the frames that are more likely a slip of the pen than true, by all that the others say."""
        found = []
        for shot in self.shots:
            frames = frames_from(self.bench, [shot])
            if len(frames):
                meant, slip = frame_fits(self.bench, frames, self.members)
                if np.mean(1 / (1 + np.exp(np.clip(meant - slip, -60.0, 60.0)))) > DOUBT:
                    found.append(shot)
        return found

    def likelihood(self, shots: list[Shot], members: Any) -> Any:
        """Return the log-likelihood of shots for members, summed over the shots."""
        total = np.zeros(members.shape[1])
        for start in range(0, len(shots), BLOCK):
            frames = frames_from(self.bench, shots[start : start + BLOCK])
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
