"""The mixing sheet: mass kept, viscosity reached, pipe counted, bottle strength minded.

Checks against tables and libraries are data, in tests/outside.
"""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tables import assert_refuses

from splashkit import liquids

viscosities = st.floats(1.6e-3, 0.4)  # what some share reaches from 5 to 35 °C: pure glycerol has 0.406 at 35 °C
volumes = st.floats(1e-4, 5e-3)
temperatures = st.floats(5, 35)


@given(viscosities, volumes, temperatures, st.floats(0, 1e-4))
def test_the_mix_is_what_was_asked_for(viscosity, volume, temperature, pipe):
    mix = liquids.mix_for_viscosity(viscosity, volume, temperature, pipe)
    made = liquids.glycerol_water(mass_fraction=mix.bottle / (mix.bottle + mix.water), temperature=temperature)
    assert made.viscosity.value == pytest.approx(viscosity, rel=1e-6)
    assert (mix.bottle + mix.water) / made.density.value == pytest.approx(volume + pipe, rel=1e-6)
    assert mix.viscosity.contains(viscosity)
    assert mix.viscosity.low <= made.viscosity.low * (1 + 1e-9)  # the scale only ever widens the band


@given(viscosities, st.floats(0.5, 1.0))
def test_a_weaker_bottle_brings_its_own_water(viscosity, purity):
    pure = liquids.mix_for_viscosity(viscosity, 1e-3)
    if pure.mass_fraction > purity:
        with pytest.raises(ValueError, match="glycerol in the bottle must be at least"):
            liquids.mix_for_viscosity(viscosity, 1e-3, glycerol_purity=purity)
        return
    mix = liquids.mix_for_viscosity(viscosity, 1e-3, glycerol_purity=purity)
    assert mix.bottle * purity == pytest.approx(pure.bottle, rel=1e-9)
    assert mix.bottle + mix.water == pytest.approx(pure.bottle + pure.water, rel=1e-9)


def test_water_in_the_pipe_is_counted():
    empty = liquids.mix_for_viscosity(0.005, 1e-3, 20.0, 5e-5)
    full = liquids.mix_for_viscosity(0.005, 1e-3, 20.0, 5e-5, pipe_holds="water")
    assert full.bottle == empty.bottle
    assert empty.water_grams - full.water_grams == pytest.approx(0.05 * 998.05, abs=0.01)  # 50 mL of water, in grams
    assert "fills the pipe" in empty.sentence and "is counted" in full.sentence


def test_the_sentence_says_it_all():
    mix = liquids.mix_for_viscosity(0.006, 1e-3)
    assert mix.sentence.startswith(
        f"Weigh {mix.bottle_grams:.0f} g from the glycerol bottle and {mix.water_grams:.0f} g"
    )
    assert "1 L" in mix.sentence and "20 °C" in mix.sentence and "by mass" in mix.sentence


def test_a_coarse_scale_widens_the_band():
    fine, coarse = (liquids.mix_for_viscosity(0.01, 2e-4, scale_step=step).viscosity for step in (1e-5, 5e-3))
    assert coarse.high - coarse.low > 1.3 * (fine.high - fine.low)


@pytest.mark.parametrize("viscosity", [0.9e-3, 2.0])
def test_impossible_wishes_are_refused(viscosity):
    with pytest.raises(ValueError, match=r"wanted viscosity must be from .* \(water\) to .* \(glycerol\)"):
        liquids.mix_for_viscosity(viscosity, 1e-3)


def test_a_pipe_fuller_than_the_mix():
    with pytest.raises(ValueError, match="volume of the pipe must be smaller"):
        liquids.mix_for_viscosity(0.2, 1e-4, pipe_volume=1e-3, pipe_holds="water")


GOOD = {
    "viscosity": 0.005,
    "volume": 1e-3,
    "temperature": 20.0,
    "pipe_volume": 5e-5,
    "pipe_holds": "water",
    "glycerol_purity": 0.99,
    "scale_step": 1e-3,
}


def test_refuses():
    assert_refuses(liquids.mix_for_viscosity, GOOD)
    assert_refuses(liquids.glycerol_fraction_for, {"viscosity": 0.005, "temperature": 20.0})


def test_thicker_than_glycerol_is_refused():
    """0.4375 Pa s is no mix at 35 °C, where pure glycerol has 0.406."""
    with pytest.raises(ValueError, match=r"at 35 °C; got 438 mPa s\. To fix it: choose one in between"):
        liquids.mix_for_viscosity(0.4375, 1e-3, 35.0)
