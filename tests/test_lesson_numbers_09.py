"""Every number that the prose of lesson 09 quotes is computed here and found in its text."""

import math
import re
from pathlib import Path

import numpy as np
import pytest
from tables import read
from tools import lessons

from splashkit import drops, liquids, panels, rig, splash, timing
from splashkit.splash import bands, constants

TEXT = re.sub(r"\s+", " ", lessons.prose_of(Path(lessons.LESSONS) / "09_in_the_bowl.ipynb"))
WATER, MILK = liquids.water(), liquids.milk()
WEIGHED = liquids.glycerol_water(mass_fraction=0.5)
BY_JUG = liquids.glycerol_water(volume_fraction=0.5)


def gap(liquid):
    return 1e3 * float(timing.gap_for_meeting(0.25, 0.004, liquid).gap.value)


def at_the_demo_rig(film):
    """The wait that the panel shows: the prose said 38 s where it says 37 s."""
    return float(panels.resting(rig=rig.demo(), film=film).result.wait.value)


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
        (gap(WATER), "68.1", "from {} to 77.5 ms"),
        (gap(MILK), "77.5", "to {} ms for drops that start at rest. A sheet"),
        (100 * float(liquids.mass_from_volume_fraction(0.5)), "55.8", "{} % by mass"),
        (1e3 * BY_JUG.viscosity.value, "8.4", "It has {} mPa s"),
        (1e3 * WEIGHED.viscosity.value, "6.0", "in place of {}"),
        (10 * BY_JUG.viscosity.value / WEIGHED.viscosity.value, "14", "so it is 40 % thicker"),
        (1e3 * liquids.glycerol_viscosity(0.6, 20), "10.9", "falls from {} to"),
        (1e3 * liquids.glycerol_viscosity(0.6, 30), "7.3", "to {} mPa s between 20 and 30 °C"),
        (100 * (liquids.glycerol_viscosity(0.6, 20) / liquids.glycerol_viscosity(0.6, 21) - 1), "4",
         "about {} % for each degree"),
        (at_the_demo_rig(film=True), "6", "about {} s with a film"),
        (at_the_demo_rig(film=False), "37", "about {} s without"),
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
    radius = np.arange(0.04, 0.2001, 0.005)
    waits = np.array([splash.resting_time(r, 0.05).value for r in radius])
    base = splash.resting_time(0.10, 0.05)
    assert np.all((waits > base.low) & (waits < base.high)), "the band's factor of two holds every bowl"
    assert np.all(np.diff(waits) < 0), "the same energy over more water"
    assert np.max(np.abs(np.diff(np.log(waits)))) < 0.05, "half a centimetre more never makes the wait jump"
    assert splash.resting_time(0.10, 0.10).value == pytest.approx(base.value, rel=0.01)
    assert "The same ripples are lower in a wide one" in TEXT
    assert 0.02 < splash.drop_ripples(0.10, 0.05).wave.wavelength < 0.06
    assert "a few centimetres long" in TEXT


# ---------------------------------------------------------------- models_and_limits.md

PAGE = (Path(lessons.LESSONS) / "models_and_limits.md").read_text(encoding="utf-8")
FITTED = {
    "crater depth": ("crater_depth", ("DEPTH_SHARE", "DEPTH_FADE")),
    "time of deepest crater": ("crater_time", ("CRATER_INERTIA",)),
    "crater width": ("crater_width", ()),
    "start of the column": ("column_start", ("WAVENUMBER",)),
    "height of the column": ("column_peak_height", ("REACH",)),
    "time of the top": ("column_peak_time", ("TOP_THIN", "TOP_THICK")),
    "end of the column": ("column_end", ("END", "END_POWER", "LEAST_END")),
    "radius of the column": ("column_radius", ("WIDEST", "WIDEST_WEBER")),
    "pinch-off of the head": ("pinch_off", ("PINCH",)),
    "sheet, largest radius": ("SHEET_BAND", ("SHEET_SPREAD",)),
    "sheet, fullest": ("SHEET_FULL_BAND", ("SHEET_FULL",)),
}


@pytest.mark.parametrize("quantity", FITTED)
def test_page_prints_the_fitted_constants_and_bands(quantity):
    band, names = FITTED[quantity]
    row = next(line for line in PAGE.splitlines() if line.startswith(f"| {quantity} |"))
    _, _, _, said, said_band, _ = (cell.strip() for cell in row.split("|"))
    values = [getattr(constants, name) for name in names]
    assert said == (", ".join(f"{value:g}" for value in values) or "none")
    low, high = getattr(constants, band) if band.isupper() else constants.BANDS[band]
    assert said_band == f"{low:g}, {high:g}"


def test_page_prints_the_calibrated_range():
    (we, we2), (fr, fr2), (bo, bo2), (re_, _) = (
        constants.CALIBRATED[name] for name in ("weber", "froude", "bond", "reynolds")
    )
    assert (
        f"Weber {we:g} to {we2:g}, Froude {fr:g} to {fr2:g}, Bond {bo:g} to {bo2:g}, Reynolds from {re_:g} up" in PAGE
    )
    low, high = constants.SWITCH_GAP
    assert f"no case lies between Weber {low:g} and {high:g}" in PAGE
    assert f"The switch is put at {constants.SWITCH_WEBER:g}" in PAGE
    assert f"Closing crown: above Weber {bands.CLOSING_WEBER:g}" in PAGE


def wide(estimate):
    return 100 * float(estimate.high / estimate.value - 1)


@pytest.mark.parametrize(
    ("value", "said"),
    [
        (wide(WATER.density), "Band: 0.1 % in density, 1 % in viscosity and in surface tension"),
        (wide(liquids.glycerol_water(mass_fraction=0.5).viscosity), "3 % in viscosity near 20 °C"),
        (wide(liquids.glycerol_water(mass_fraction=0.5, temperature=30).viscosity), "4 % elsewhere"),
        (wide(liquids.glycerol_water(mass_fraction=0.5).density), "0.1 % in density, 0.3 % outside"),
        (wide(liquids.glycerol_water(mass_fraction=0.5, temperature=10).density), "0.3 % outside its temperatures"),
        (wide(liquids.glycerol_water(mass_fraction=0.5).surface_tension), "4 % in tension"),
        (wide(MILK.viscosity), "15 % in viscosity, 30 % for cream"),
        (wide(liquids.milk(0.2).viscosity), "30 % for cream or above 30 °C"),
        (1e3 * float(MILK.surface_tension.high - MILK.surface_tension.value), "4.2 mN/m in tension"),
        (1e3 * (lambda e: float(e.high - e.value))(liquids.milk(temperature=5).surface_tension), "6.3 mN/m when cold"),
        (wide(MILK.density), "0.6 % in density"),
        (wide(liquids.milk(0.2).density), "2 % for cream"),
        (wide(liquids.ethanol_water(mass_fraction=0.4).density), "0.5 % in density; 8 % in viscosity"),
        (wide(liquids.ethanol_water(mass_fraction=0.4).viscosity), "8 % in viscosity, 15 % outside 20 to 25 °C"),
        (wide(liquids.ethanol_water(mass_fraction=0.4, temperature=30).viscosity), "15 % outside 20 to 25 °C"),
        (wide(liquids.ethanol_water(mass_fraction=0.4).surface_tension), "3 % in tension"),
        (wide(liquids.ethanol_water(mass_fraction=0.05).surface_tension), "6 % where the curve is steep"),
        (wide(drops.tip_drop_estimate(2e-3)), "Band: 3 %, twice the spread"),
        (1 + wide(splash.resting_time(0.1, 0.05)) / 100, "Band: a factor of two either way"),
    ],
)  # fmt: skip
def test_page_prints_the_bands_of_the_library(value, said):
    number = re.search(r"[\d.]+(?= (?:%|mN))", said)
    assert float(value) == pytest.approx(float(number[0]) if number else 2, rel=0.02)
    assert said in PAGE


def test_page_leaves_room_for_the_written_checks():
    begin, end = PAGE.index("<!-- checks:start -->"), PAGE.index("<!-- checks:end -->")
    assert begin < end
