"""Odds and budgets against scipy's distributions and against counting."""

import math
import time

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from splashkit import odds
from splashkit.chains import Chain, Stage


def test_bell_curve_against_scipy():
    x = np.linspace(-12, 12, 4001)
    ours, theirs = odds.bell_below(x), stats.norm.cdf(x)
    assert np.max(np.abs(ours - theirs)) < 1.2e-7
    assert np.max(np.abs(ours / theirs - 1)[x < 0]) < 1.3e-7


@given(spread=st.floats(1e-5, 0.1), window=st.floats(1e-5, 0.1), offset=st.floats(-0.1, 0.1))
@settings(max_examples=200, deadline=None)
def test_hit_odds_against_scipy(spread, window, offset):
    theirs = stats.norm.cdf((window - offset) / spread) - stats.norm.cdf((-window - offset) / spread)
    ours = odds.hit_odds(spread, window, offset)
    assert abs(ours - theirs) < 3e-7
    assert ours >= odds.hit_odds(spread, 0.9 * window, offset) - 1e-9
    assert float(odds.hit_odds(np.array([spread]), window, offset)[0]) == float(ours)


def test_no_scatter_hits_always_or_never():
    assert list(odds.hit_odds(0.0, 0.0015, [0.0, 0.0015, 0.0016])) == [1, 1, 0]


# textbook: 68.27, 95.45 and 99.73 % lie within one, two and three standard deviations
@pytest.mark.parametrize(("times", "share"), [(1, 0.6827), (2, 0.9545), (3, 0.9973)])
def test_one_two_three_standard_deviations(times, share):
    assert float(odds.hit_odds(0.0005, times * 0.0005)) == pytest.approx(share, abs=5e-5)


def chain(*spreads):
    return Chain("open", tuple(Stage(str(i), 0.01, spread) for i, spread in enumerate(spreads)))


@pytest.mark.parametrize(("spreads", "offset"), [((0.0005, 0.0003), 0.0), ((0.003, 0.001), 0.002), ((0.02, 0.0), 0.0)])
def test_simulated_frames_agree_with_the_formula(spreads, offset):
    tally = odds.simulate_hits(chain(spreads[0]), chain(spreads[1]), offset=offset, seed=5)
    formula = odds.hit_odds(math.hypot(*spreads), offset=offset)
    assert abs(tally.odds - formula) < 4 * tally.error
    assert tally == odds.simulate_hits(chain(spreads[0]), chain(spreads[1]), offset=offset, seed=5)


def test_even_scatter_has_its_own_odds():
    # an even spread of standard deviation s reaches sqrt(3) s either way
    tally = odds.simulate_hits(chain(0.003), chain(), shape="even")
    assert abs(tally.odds - 0.0015 / (math.sqrt(3) * 0.003)) < 4 * tally.error


def test_a_million_frames_in_half_a_second():
    spreads = [0.0005, 0.0002, 0.00005, 0.00002]
    best = min(_seconds(lambda: odds.simulate_hits(chain(*spreads), chain(0.0004))) for _ in range(3))
    drawing = min(
        _seconds(lambda: [np.random.default_rng(1).standard_normal(10**6) for _ in range(5)]) for _ in range(3)
    )
    assert best < 0.5
    assert best < 5 * drawing


def _seconds(work):
    start = time.process_time()
    work()
    return time.process_time() - start


@given(p=st.floats(1e-3, 0.999), n=st.integers(1, 60), sure=st.sampled_from([0.5, 0.8, 0.9, 0.99]))
@settings(max_examples=200, deadline=None)
def test_budget_against_scipy(p, n, sure):
    frames = odds.frames_to_budget(p, n, sure)
    assert stats.binom.sf(n - 1, frames, p) >= sure - 1e-9
    assert frames == n or stats.binom.sf(n - 1, frames - 1, p) < sure + 1e-9
    assert odds.chance_of_keepers(p, frames, n) == pytest.approx(stats.binom.sf(n - 1, frames, p), abs=1e-9)


def test_budget_is_fast_for_rare_hits_and_many_keepers():
    assert _seconds(lambda: odds.frames_to_budget(1e-4, 1000)) < 0.5
    assert odds.frames_to_budget(1e-6) == math.ceil(math.log(0.1) / math.log1p(-1e-6))
    assert odds.chance_of_keepers(0.3, 2, 3) == 0
    assert odds.chance_of_keepers(1.0, 3, 3) == 1


def test_by_hand_about_one_in_a_hundred():
    # common practice, no source: about one good frame in a hundred when a hand drips and a finger fires
    assert 1 / 200 < odds.hand_dripped_odds() < 1 / 50
    # and with a timer in place of the hand, the same windows give nearly every frame
    assert odds.meeting_and_light_odds(0.0005, 0.015, 0.0005, 0.0025) > 0.99


def test_worth_of_spreads():
    spreads = [0.003, 0.001, 0.0005]
    worth = odds.worth_of_spreads(spreads)
    assert worth[0] == pytest.approx(float(odds.hit_odds(math.hypot(0.001, 0.0005))), rel=1e-6)
    assert worth[0] > worth[1] > worth[2]
    assert odds.worth_of_spreads([]) == ()


@pytest.mark.parametrize(
    "call",
    [
        lambda: odds.hit_odds(-1),
        lambda: odds.hit_odds(0.001, 0.0),
        lambda: odds.hit_odds([0.001, 0.002], [0.1, 0.2, 0.3]),
        lambda: odds.frames_to_budget(0.0),
        lambda: odds.frames_to_budget(0.5, 0),
        lambda: odds.frames_to_budget(0.5, 1, 1.0),
        lambda: odds.simulate_hits(chain(0.1), chain(), frames=0),
        lambda: odds.simulate_hits(chain(0.1), chain(), shape="odd"),
        lambda: odds.bell_below("x"),
    ],
)
def test_bad_input_is_named(call):
    with pytest.raises(ValueError, match=r"must be .*; got .*\. To fix it: "):
        call()
