"""How often a frame catches the meeting, and how many frames to budget.

The light comes within a window about the meeting, or it misses. With a scatter that follows the
bell curve the odds have a closed form; a million simulated frames give the same number and keep
working where the closed form stops.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any, NamedTuple

import numpy as np

from splashkit.chains import MAKE_CHAIN, Chain
from splashkit.checks import Choice, Range, broadcast, of_kind, require

HIT_WINDOW = 1.5e-3  # [s] light within this of the meeting counts as a hit; a choice of this course

_SPREAD = Range("spread", "s", 0.0, 10.0, "give one standard deviation in seconds")
_WINDOW = Range("window", "s", 0.0, 1.0, "give half the window's width in seconds", open_low=True)
_OFFSET = Range("offset", "s", -10.0, 10.0, "give seconds late (+) or early (-)")
_ODDS = Range("odds of a hit", "1", 1e-6, 1.0, "give a share: one in a hundred is 0.01")
_KEEPERS = Range("keepers wanted", "1", 1, 10000, "give a whole number of frames you want to keep")
_CONFIDENCE = Range("confidence", "1", 0.0, 1.0, "give a share: 90 % is 0.9", open_low=True, open_high=True)
_FRAMES = Range("simulated frames", "1", 1, 20_000_000, "a million frames are plenty")
_SHAPE = Choice("shape of the scatter", ("bell", "even"), "choose the bell curve or an even spread")

# Chebyshev fit of the complementary error function, relative error below 1.2e-7 everywhere
# (Press et al., Numerical Recipes, 2nd edition, section 6.2; coefficients from memory, checked against scipy)
_ERFC = (-1.26551223, 1.00002368, 0.37409196, 0.09678418, -0.18628806, 0.27886807, -1.13520398, 1.48851587,
         -0.82215223, 0.17087277)  # fmt: skip


class Tally(NamedTuple):
    """Result of simulated frames: share of hits, its standard error, and how many were simulated."""

    odds: float
    error: float
    frames: int


def bell_below(x: Any) -> Any:
    r"""Return the share of a bell curve below a value given in standard deviations.

    .. math:: \Phi(x) = \tfrac12 \mathrm{erfc}(-x/\sqrt2)

    Parameters
    ----------
    x : float or array
        Distance from the middle in standard deviations [1].

    Returns
    -------
    float or array
        Share below it [1].

    Raises
    ------
    ValueError
        If a value is not a finite number.

    Notes
    -----
    Valid everywhere, to 1.2e-7 of the value.

    Examples
    --------
    >>> [round(float(share), 3) for share in bell_below([0.0, 1.6449])]
    [0.5, 0.95]

    References
    ----------
    Press et al., Numerical Recipes, 2nd edition, section 6.2 (from memory).
    """
    return _bell_below(Range("distance in standard deviations", "1")(x))


def _bell_below(x: Any) -> Any:
    z = np.minimum(np.abs(x) * math.sqrt(0.5), 30.0)
    t = 1.0 / (1.0 + 0.5 * z)
    total = np.full_like(t, _ERFC[-1])
    for coefficient in _ERFC[-2::-1]:
        total = total * t + coefficient
    tail = 0.5 * t * np.exp(total - z * z)
    return np.where(np.asarray(x) > 0, 1.0 - tail, tail)[()]


def hit_odds(spread: Any, window: Any = HIT_WINDOW, offset: Any = 0.0) -> Any:
    r"""Return the odds that the light falls inside the window.

    .. math:: P = \Phi\!\left(\frac{w - o}{s}\right) - \Phi\!\left(\frac{-w - o}{s}\right)

    Parameters
    ----------
    spread : float or array
        Standard deviation of light against meeting [s].
    window : float or array
        Half the width of the window: light within this of its middle is a hit [s].
    offset : float or array
        How far the light's average lies from the window's middle [s].

    Returns
    -------
    float or array
        The odds, 0 to 1 [1].

    Raises
    ------
    ValueError
        If a value is out of range.

    Notes
    -----
    Valid for scatter that follows the bell curve. A spread of zero hits always or never.

    Examples
    --------
    >>> [round(float(odds), 3) for odds in hit_odds([0.0005, 0.003, 0.0005], offset=[0.0, 0.0, 0.002])]
    [0.997, 0.383, 0.159]

    References
    ----------
    Normal distribution, textbook.
    """
    s, w, o = broadcast(spread=_SPREAD(spread), window=_WINDOW(window), offset=_OFFSET(offset))
    sure = np.where(np.abs(o) <= w, 1.0, 0.0)
    safe = np.maximum(s, 1e-12)
    return np.where(s > 1e-12, _bell_below((w - o) / safe) - _bell_below((-w - o) / safe), sure)[()]


def meeting_and_light_odds(gap_spread: Any, gap_window: Any, light_spread: Any, light_window: Any = HIT_WINDOW) -> Any:
    r"""Return the odds that the drops meet and the light catches it, when the two scatter independently.

    .. math:: P = P_{meet} \, P_{light}

    Parameters
    ----------
    gap_spread, gap_window : float or array
        Scatter of the gap, and half the range of gaps in which the drop meets a standing column [s].
    light_spread, light_window : float or array
        Scatter of the light, and half the time during which the collision shows [s].

    Returns
    -------
    float or array
        The odds, 0 to 1 [1].

    Raises
    ------
    ValueError
        If a value is out of range.

    Notes
    -----
    Valid when gap and light have no common cause of scatter.

    Examples
    --------
    >>> round(float(meeting_and_light_odds(0.05, 0.015, 0.05, 0.0025)), 4)
    0.0094

    References
    ----------
    Product rule of independent chances, textbook.
    """
    return hit_odds(gap_spread, gap_window) * hit_odds(light_spread, light_window)


def hand_dripped_odds() -> float:
    """Return the odds when a hand drips the drops and a finger fires the light: about one in a hundred.

    Returns
    -------
    float
        The odds [1].

    Raises
    ------
    ValueError
        Never.

    Notes
    -----
    Valid as an order of magnitude only. Assumed: a hand repeats an interval and a finger a moment to about 50 ms;
    the column stands for gaps within 15 ms of the best; the collision shows for 5 ms. Half or twice the windows gives
    1 in 420 to 1 in 28, half or twice the scatter 1 in 840 to 1 in 16. All are as plausible.

    Examples
    --------
    >>> round(1 / hand_dripped_odds())
    106

    References
    ----------
    Common practice, no source: about one good frame in a hundred by hand. The inputs are assumed here.
    """
    return float(meeting_and_light_odds(0.050, 0.015, 0.050, 0.0025))


def simulate_hits(
    light: Chain,
    valve: Chain,
    frames: int = 1_000_000,
    window: float = HIT_WINDOW,
    offset: float = 0.0,
    shape: str = "bell",
    seed: int = 1,
) -> Tally:
    """Simulate frames stage by stage and count how many catch the meeting.

    Parameters
    ----------
    light, valve : Chain
        The chains that lead to the light and to the drop; only their spreads matter [s].
    frames : int
        How many frames to simulate [1].
    window : float
        Half the width of the window of a hit [s].
    offset : float
        How far the light's average lies from the meeting [s].
    shape : str
        ``'bell'`` curve, or ``'even'`` spread with the same standard deviation [word].
    seed : int
        Starting number of the random numbers; the same one gives the same frames [1].

    Returns
    -------
    Tally
        Share of hits, standard error, number of frames.

    Raises
    ------
    ValueError
        If a value is out of range.

    Notes
    -----
    Valid for any number of stages. The standard error is that of counting: sqrt(p (1 - p) / n).

    Examples
    --------
    >>> from splashkit.chains import Chain, Stage
    >>> light = Chain("open", (Stage("flash", 0.0, 0.0005),))
    >>> tally = simulate_hits(light, Chain("valve", (Stage("valve", 0.012, 0.0),)), frames=100_000)
    >>> bool(abs(tally.odds - hit_odds(0.0005)) < 5 * tally.error)
    True

    References
    ----------
    Monte Carlo counting, textbook.
    """
    count, half, middle = int(_FRAMES.one(frames)), _WINDOW.one(window), _OFFSET.one(offset)
    for chain, words in ((light, "chain of the light"), (valve, "chain of the valve")):
        of_kind(chain, Chain, words, MAKE_CHAIN)
    spreads = [stage.spread for chain in (light, valve) for stage in chain.stages if stage.spread > 0]
    shape = _SHAPE(shape)
    random = np.random.default_rng(int(Range("seed", "1", 0, 2**63 - 1, "give a whole number").one(seed)))
    hits = 0
    for start in range(0, count, 250_000):  # in pieces, so that memory stays small
        size = min(250_000, count - start)
        late = np.full(size, middle)
        for spread in spreads:
            if shape == "bell":
                late += spread * random.standard_normal(size)
            else:
                late += spread * math.sqrt(12) * (random.random(size) - 0.5)
        hits += int(np.count_nonzero(np.abs(late) <= half))
    share = hits / count
    return Tally(share, math.sqrt(max(share * (1 - share), 1 / count) / count), count)


def frames_to_budget(odds: float, keepers: int = 1, confidence: float = 0.9) -> int:
    r"""Return how many frames to plan for so many keepers, at a given confidence.

    .. math:: \min N: \; \sum_{k=0}^{n-1} \binom{N}{k} p^k (1-p)^{N-k} \le 1 - c

    Parameters
    ----------
    odds : float
        Odds of a hit in one frame [1].
    keepers : int
        Good frames wanted [1].
    confidence : float
        How sure to be, as a share [1].

    Returns
    -------
    int
        Frames to shoot.

    Raises
    ------
    ValueError
        If a value is out of range.

    Notes
    -----
    Valid while the odds stay the same from frame to frame.

    Examples
    --------
    >>> frames_to_budget(0.01), frames_to_budget(0.5, 3), frames_to_budget(1.0, 3)
    (230, 9, 3)

    References
    ----------
    Binomial distribution, textbook.
    """
    p, n, sure = _ODDS.one(odds), int(_KEEPERS.one(keepers)), _CONFIDENCE.one(confidence)
    if p == 1.0:
        return n
    low, high = n - 1, n
    while _share_with_fewer(high, n, p) > 1 - sure:
        low, high = high, 2 * high
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (middle, high) if _share_with_fewer(middle, n, p) > 1 - sure else (low, middle)
    return high


def chance_of_keepers(odds: float, frames: int, keepers: int = 1) -> float:
    """Return the chance of at least so many keepers in so many frames.

    Parameters
    ----------
    odds : float
        Odds of a hit in one frame [1].
    frames : int
        Frames shot [1].
    keepers : int
        Good frames wanted [1].

    Returns
    -------
    float
        The chance [1].

    Raises
    ------
    ValueError
        If a value is out of range.

    Notes
    -----
    Valid while the odds stay the same from frame to frame.

    Examples
    --------
    >>> round(chance_of_keepers(0.01, 100), 3)
    0.634

    References
    ----------
    Binomial distribution, textbook.
    """
    p, n, count = _ODDS.one(odds), int(_KEEPERS.one(keepers)), int(_FRAMES.one(frames))
    if count < n:
        return 0.0
    return 1.0 if p == 1.0 else 1.0 - _share_with_fewer(count, n, p)


def _share_with_fewer(frames: int, keepers: int, p: float) -> float:
    k = np.arange(keepers, dtype=float)
    ratios = np.log((frames - k[1:] + 1) / k[1:]) if keepers > 1 else np.empty(0)
    logs = np.concatenate(([0.0], np.cumsum(ratios))) + k * math.log(p) + (frames - k) * math.log1p(-p)
    return float(min(np.exp(logs).sum(), 1.0))


def worth_of_spreads(spreads: Sequence[float], window: float = HIT_WINDOW) -> tuple[float, ...]:
    """Return the odds that would be reached if each spread in turn were taken away.

    Parameters
    ----------
    spreads : sequence of float
        Standard deviations of the stages [s].
    window : float
        Half the width of the window of a hit [s].

    Returns
    -------
    tuple of float
        Odds without the first stage's scatter, without the second's, and so on [1].

    Raises
    ------
    ValueError
        If a value is out of range.

    Notes
    -----
    Valid for independent bell-curve scatter. The largest of the results shows what is worth mending first.

    Examples
    --------
    >>> [round(odds, 2) for odds in worth_of_spreads([0.003, 0.0005])]
    [1.0, 0.38]

    References
    ----------
    Derived here.
    """
    if isinstance(spreads, (list, tuple)) and not spreads:
        return ()
    given = _SPREAD(list(spreads) if isinstance(spreads, tuple) else spreads)
    require(np.ndim(given) == 1, "spreads", "something else", "a row of numbers", "give a list such as [0.003, 0.0005]")
    squares = np.square(given)
    rest = np.sqrt(np.maximum(squares.sum() - squares, 0.0))
    return tuple(float(odds) for odds in hit_odds(rest, _WINDOW.one(window)))
