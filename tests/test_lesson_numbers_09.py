"""Every number that the prose of lesson 09 quotes is computed here and found in its text."""

import math
import re
from pathlib import Path

import pytest
from tables import read
from tools import lessons

from splashkit import liquids, splash, timing

TEXT = re.sub(r"\s+", " ", lessons.prose_of(Path(lessons.LESSONS) / "09_in_the_bowl.ipynb"))
WATER, MILK = liquids.water(), liquids.milk()
WEIGHED = liquids.glycerol_water(mass_fraction=0.5)
BY_JUG = liquids.glycerol_water(volume_fraction=0.5)


def gap(liquid):
    return 1e3 * float(timing.gap_for_meeting(0.25, 0.004, liquid).gap.value)


def layer(liquid):
    """How far rubbing spreads from a wall while the crater opens and closes [mm]: the root of viscosity times time."""
    start = float(splash.first_drop(0.004, 2.18).column_start.value)
    return 1e3 * math.sqrt(liquid.viscosity.value / liquid.density.value * start)


@pytest.mark.parametrize(
    ("value", "said", "words"),
    [
        (1e3 * MILK.surface_tension.value, "52", "Its surface tension is {} mN/m where water has 73"),
        (1e3 * WATER.surface_tension.value, "73", "mN/m where water has {}"),
        (gap(MILK) - gap(WATER), "9", "grows by {} ms"),
        (gap(WATER), "68", "from {} to 78 ms"),
        (gap(MILK), "78", "from 68 to {} ms"),
        (100 * float(liquids.mass_from_volume_fraction(0.5)), "55.8", "{} % by mass"),
        (1e3 * BY_JUG.viscosity.value, "8.4", "It has {} mPa s"),
        (1e3 * WEIGHED.viscosity.value, "6.0", "in place of {}"),
        (10 * BY_JUG.viscosity.value / WEIGHED.viscosity.value, "14", "so it is 40 % thicker"),
        (1e3 * liquids.glycerol_viscosity(0.6, 20), "10.9", "falls from {} to"),
        (1e3 * liquids.glycerol_viscosity(0.6, 30), "7.3", "to {} mPa s between 20 and 30 °C"),
        (100 * (liquids.glycerol_viscosity(0.6, 20) / liquids.glycerol_viscosity(0.6, 21) - 1), "4",
         "about {} % for each degree"),
        (splash.resting_time(0.10, 0.05).value, "6", "about {} s with a film"),
        (splash.resting_time(0.10, 0.05, film=False).value, "37", "about {} s without"),
        (layer(WATER), "0.2", "it reaches a fifth of a millimetre in water"),
        (layer(WEIGHED), "0.4", "it reaches less than half a millimetre"),
        (1e3 * splash.first_drop(0.004, 2.18).crater_depth.value, "8", "The crater is eight millimetres deep"),
        (1e3 * splash.impact.VISCOSITY.high, "30", "above {} mPa s it gives none"),
        (100 * (MILK.viscosity.high / MILK.viscosity.value - 1), "15", "{} % in thickness"),
        (1e3 * (MILK.surface_tension.high - MILK.surface_tension.value), "4", "{} mN/m in tension"),
        (splash.BUMPED_WAIT, "30", "add half a minute"),
        (splash.COMMON_WAIT.value, "10", "a few seconds, ten or so"),
    ],
)  # fmt: skip
def test_number_in_the_prose(value, said, words):
    digits = len(said.partition(".")[2])
    assert f"{float(value):.{digits}f}" == said
    assert words.format(said) in TEXT


def test_half_glycerol_by_weight_is_six_times_as_thick():
    assert WEIGHED.viscosity.value / WATER.viscosity.value == pytest.approx(6, rel=0.01)
    assert "six times as thick as water" in TEXT


def test_milk_is_twice_as_thick_and_pulls_a_quarter_less():
    from splashkit.exercises import lesson09

    said = " ".join(why for _, _, why in lesson09.PREDICTION.options)
    assert MILK.viscosity.value / WATER.viscosity.value == pytest.approx(2, rel=0.05)
    assert 1 - MILK.surface_tension.value / WATER.surface_tension.value == pytest.approx(0.25, abs=0.04)
    assert "twice as thick" in said and "a quarter less" in said


def test_weight_and_skin_share_the_closing_of_the_crater():
    k = 3.1 / float(splash.first_drop(0.004, 2.18).crater_depth.value)
    weight, skin = 9.80665 * k, WATER.surface_tension.value / WATER.density.value * k**3
    assert 0.4 < weight / (weight + skin) < 0.6
    assert "share the work about evenly" in TEXT


def test_glycerol_is_a_quarter_heavier():
    assert liquids.glycerol_density(1.0) / liquids.glycerol_density(0.0) == pytest.approx(1.25, abs=0.02)
    assert "a quarter heavier than water" in TEXT


def test_xanthan_standard_is_that_of_the_rule():
    """US 21 CFR 172.695(d)(2)."""
    row = next(row for row in read("xanthan_published") if row["quantity"] == "min_viscosity")
    assert (row["value"], row["unit"]) == ("600", "mPa s") and row["condition"].startswith("1 % w/w xanthan + 1 % KCl")
    assert "one per cent, with some salt, for at least 600 mPa s" in TEXT


def test_the_run_at_six_missed_by_five_and_seventeen_per_cent():
    start, top = (timing.sensitivity._VISCOSITY_ERROR[key] * 5 for key in ("start", "peak"))
    assert (round(100 * start), round(100 * top)) == (5, 17)
    assert "missed the start of the column by 5 % and its top by 17 %" in TEXT
    splashed = splash.first_drop(0.004, 2.18)
    assert splashed.column_start.high / splashed.column_start.value > 1.05
    assert splashed.column_peak_time.low / splashed.column_peak_time.value < 1 - 0.17


def test_guess_begins_above_six():
    reynolds = [float(splash.first_drop(0.004, 2.18, liquids.glycerol_water(mass_fraction=share)).reynolds)
                for share in (0.5, 0.53)]  # fmt: skip
    assert reynolds[0] > 1600 > reynolds[1]
    assert 1e3 * liquids.glycerol_viscosity(0.5) == pytest.approx(6, abs=0.1)
    assert "Above about 6 mPa s the panel calls its numbers a guess" in TEXT


def test_mixing_sheet_is_good_to_four_per_cent():
    mix = liquids.mix_for_viscosity(0.004, 8e-4, 20.0, 4e-5)
    for end in (mix.viscosity.low, mix.viscosity.high):
        assert abs(end / mix.viscosity.value - 1) == pytest.approx(0.04, abs=0.005)
    two = liquids.glycerol_viscosity(mix.mass_fraction, 22.0) / liquids.glycerol_viscosity(mix.mass_fraction, 20.0)
    assert 0.05 < 1 - two < 0.085  # "twice that"
    assert "good to about 4 %" in TEXT and "two degrees out costs twice that" in TEXT


def test_the_bowl_hardly_changes_the_wait():
    base = splash.resting_time(0.10, 0.05).value
    for radius, depth in ((0.05, 0.05), (0.20, 0.05), (0.10, 0.10)):
        assert splash.resting_time(radius, depth).value == pytest.approx(base, rel=0.2)
    assert 0.02 < splash.drop_ripples(0.10, 0.05).wave.wavelength < 0.06
    assert "a few centimetres long" in TEXT
