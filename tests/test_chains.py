"""Chains of delays against the table of front and rear curtain, and the sums of variances.

Checks against tables and libraries are data, in tests/outside.
"""

import numpy as np
import pytest

from splashkit import chains, rig
from splashkit.chains import Chain, Stage


def test_spreads_add_as_squares():
    # variance of a sum of independent numbers, checked by drawing them
    chain = Chain("front", (Stage("a", 0.010, 0.003), Stage("b", 0.020, 0.004)))
    random = np.random.default_rng(1)
    drawn = sum(random.normal(stage.mean, stage.spread, 400_000) for stage in chain.stages)
    assert abs(chain.mean - drawn.mean()) < 5 * 0.005 / 400_000**0.5
    assert chain.spread == pytest.approx(0.005)
    assert abs(chain.spread / drawn.std() - 1) < 0.005


def test_jitter_budget_shares_sum_to_one_and_rank():
    shares = chains.jitter_budget(chains.rig_chain(rig.demo()), chains.valve_chain(0.012, 0.0004, 0.227, 0.0003))
    assert sum(share.share for share in shares) == pytest.approx(1)
    assert [s.share for s in shares] == sorted((s.share for s in shares), reverse=True)
    assert shares[0].name == "shutter lag"
    quiet = chains.jitter_budget(Chain("open", (Stage("flash", 0.1, 0.0),)))
    assert quiet[0].share == 0


def test_open_shutter_takes_lag_and_its_scatter_out():
    still = chains.light_chain("open", shutter_lag=0.2, shutter_lag_spread=0.01)
    assert still.mean < 0.2e-3 and still.spread < 0.1e-3
    assert not [stage for stage in still.stages if "shutter" in stage.name or "curtain" in stage.name]


def test_radio_costs_a_millisecond():
    # 0.2-2 ms: common practice, no source
    more = chains.light_chain("open", link="radio").mean - chains.light_chain("open").mean
    assert 0.2e-3 < more < 2e-3


@pytest.mark.parametrize("kind", rig.CHAINS)
def test_setting_and_moment_are_inverse(kind):
    chain = chains.light_chain(kind, 0.06, 0.001, exposure_time=0.02)
    moments = np.array([0.2, 0.3])
    assert chains.light_moment(chain, chains.delay_setting(chain, moments)) == pytest.approx(moments)
    assert kind in chains.MEANINGS and "delay" in chains.MEANINGS[kind].lower()
    assert all(stage.name in chain.text() for stage in chain.stages)


def test_light_wanted_too_soon_is_named():
    slow = chains.light_chain("rear", 0.06, exposure_time=1.0)
    with pytest.raises(
        ValueError, match=r"moment of the light must be at least .*got 300 ms.*shorten the shutter time"
    ):
        chains.delay_setting(slow, 0.3)


def test_bad_input_is_named():
    with pytest.raises(ValueError, match=r"exposure time must be .*To fix it"):
        chains.light_chain("front", 0.05, curtain_travel=0.003, exposure_time=0.001)
    with pytest.raises(ValueError, match="shutter lag must be measured"):
        chains.rig_chain(rig.demo().with_values(shutter_lag=None))
    with pytest.raises(ValueError, match="chain must be one of"):
        chains.rig_chain(rig.demo().with_values(chain=None))
    with pytest.raises(ValueError, match="exposure time must be"):
        chains.front_rear_difference(0.002, 0.003)
    with pytest.raises(ValueError, match="jitter budget must be"):
        chains.jitter_budget()
    # on the open shutter a blank lag does not matter
    assert chains.rig_chain(rig.demo().with_values(shutter_lag=None, chain="open")).kind == "open"
