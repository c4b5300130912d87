"""Shutters and slits against derived tables, published examples and plain brute force.

Checks against tables and libraries are data, in tests/outside.
"""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import integrate
from scipy.optimize import brentq
from tables import SENTENCE

from splashkit import flash, sync

TRAVEL = 3e-3  # the tables assume 3 ms over 24 mm
times = st.floats(1e-4, 1.0)
travels = st.floats(1e-4, 0.05)
speeds = st.floats(0.01, 7.9)


# ---- published examples


def test_slit_efficiency_of_ives():
    """H. E. Ives, Airplane Photography (1920): f/6, slit 1, gap 1 gives 6/7; gap 4 gives 60 %."""
    assert sync.slit_efficiency(1e-3, [1e-3, 4e-3], 6) == pytest.approx([6 / 7, 0.6])
    assert sync.slit_efficiency(1e-3, 0, 6) == 1


def test_leaf_efficiency():
    """An old dictionary has a lens shutter at 1/100 s lose half: a triangle of opening and closing does."""
    assert sync.leaf_efficiency(0.01, 0.005, 0.005) == pytest.approx(0.5)
    assert sync.leaf_efficiency(0.01, 0, 0) == 1


def test_sync_limit_at_a_usual_sync_time():
    """A usual sync time of 1/250 s, by a photographic society's page, bounds the travel below 4 ms."""
    assert sync.sync_limit(3e-3, 1e-3) == pytest.approx(1 / 250)
    assert sync.sync_limit(3e-3, 0.5e-3, 0.2e-3) == pytest.approx(3.7e-3)


def test_long_pulse_at_sync_loses_its_tail():
    """Exponential flash with t0.1 of 1 ms, travel 3 ms (algebra): at 4 ms 90 %, at 5 ms 99 %, in the first row."""
    pulse = flash.exponential(1e-3 / math.log(10))
    for exposure, share, stops in ((4e-3, 0.9, -0.152), (5e-3, 0.99, -0.014)):
        kept = sync.row_light_share(pulse, sync.Shutter(exposure, TRAVEL), 0.0)
        assert kept == pytest.approx(share, rel=1e-9)
        assert math.log2(kept) == pytest.approx(stops, abs=5e-4)


def test_side_of_the_dark_band():
    """Level, a picture is exposed from bottom to top (Simon et al., Sensors 22(5) 1871, 2022, fig. 11)."""
    assert sync.dark_band_side("landscape") == "bottom"
    assert sync.dark_band_side("inverted") == "top"
    # turned against the clock, seen from behind, the right-hand grip goes up and the bottom to the right
    assert sync.dark_band_side("portrait_grip_up") == "right"
    assert sync.dark_band_side("portrait_grip_down") == "left"


# ---- the shutter


@given(exposure=times, travel=travels)
def test_rows_open_one_after_another_for_one_time(exposure, travel):
    shutter = sync.Shutter(exposure, travel)
    row = np.linspace(0, 1, 11)
    opens, closes = shutter.open_interval(row)
    assert closes - opens == pytest.approx(np.full(11, exposure))
    assert opens == pytest.approx(row * travel)
    assert all(np.ndim(value) == 0 for value in shutter.open_interval(0.5))
    electronic = sync.Shutter(exposure, travel, "electronic").open_interval(row)
    assert np.array_equal(electronic[0], opens) and np.array_equal(electronic[1], closes)


@given(exposure=times, travel=travels, kind=st.sampled_from(["focal_plane", "electronic"]))
def test_fully_open_is_when_every_row_is_open(exposure, travel, kind):
    shutter = sync.Shutter(exposure, travel, kind)
    opens, closes = shutter.open_interval(np.linspace(0, 1, 101))
    if opens.max() < closes.min():
        assert shutter.fully_open == pytest.approx((opens.max(), closes.min()))
        assert sync.fully_open_time(exposure, travel) == pytest.approx(closes.min() - opens.max(), abs=1e-12)
    else:
        assert shutter.fully_open is None


def test_leaf_shutter_counts_from_half_open_to_half_closed():
    """Against the area of a trapezium: straight ramps of 2 ms, 10 ms from first light to last."""
    shutter = sync.Shutter(0.008, 0.002, "leaf")
    moments = np.linspace(0, 0.01, 100_001)
    opening = np.clip(np.minimum(moments / 0.002, (0.01 - moments) / 0.002), 0, 1)
    opens, closes = shutter.open_interval(np.array([0.0, 0.4, 1.0]))
    assert closes - opens == pytest.approx(np.full(3, integrate.trapezoid(opening, moments)), rel=1e-6)
    assert shutter.fully_open == pytest.approx((moments[opening >= 1][0], moments[opening >= 1][-1]))
    assert sync.leaf_efficiency(0.01, 0.002, 0.002) == pytest.approx(0.8)


def test_open_shutter_gives_every_row_every_flash():
    shutter = sync.Shutter(2.0, kind="open")
    row = np.linspace(0, 1, 5)
    assert np.array_equal(shutter.open_interval(row)[0], np.zeros(5))
    assert shutter.fully_open == (0.0, 2.0)
    share = sync.row_light_share(flash.light_curve("quench", 1 / 16), shutter, row, 1.0)
    assert share == pytest.approx(np.ones(5), abs=1e-9)


# ---- one flash


@given(exposure=times, travel=travels, delay=st.floats(0, 0.01))
def test_dark_band_by_looking_at_the_rows(exposure, travel, delay):
    """Brute force: 20 001 rows, each asked whether it is open at the moment of a very short flash."""
    rows = np.linspace(0, 1, 20_001)
    opens, closes = sync.Shutter(exposure, travel).open_interval(rows)
    moment = travel + delay
    dark = ~((opens <= moment) & (moment <= closes))
    assert sync.dark_band_fraction(exposure, travel, delay) == pytest.approx(dark.mean(), abs=2e-4)
    first, last = sync.lit_rows(sync.Shutter(exposure, travel), moment)
    if (~dark).sum() > 1:  # one row alone may be lit or not by the last digit
        assert (first, last) == pytest.approx((rows[~dark].min(), rows[~dark].max()), abs=2e-4)


def test_flash_too_early_leaves_the_far_rows_dark():
    shutter = sync.Shutter(0.01, TRAVEL)
    assert sync.lit_rows(shutter, 1.5e-3) == pytest.approx((0.0, 0.5))
    first, last = sync.lit_rows(shutter, -1e-3)
    assert first > last
    leaf = sync.Shutter(0.01, TRAVEL, "leaf")
    assert sync.lit_rows(leaf, 0.005) == (0.0, 1.0)
    first, last = sync.lit_rows(leaf, 0.5)
    assert first > last


def test_a_very_short_flash_gives_the_band():
    shutter, rows = sync.Shutter(1 / 1000, TRAVEL), np.linspace(0, 1, 6001)
    share = sync.row_light_share(flash.rectangular(1e-9), shutter, rows)
    assert (share < 0.5).mean() == pytest.approx(sync.dark_band_fraction(1 / 1000, TRAVEL), abs=3e-4)
    assert share[0] == 0 and share[-1] == pytest.approx(1)


def test_band_edge_is_soft_over_the_flash():
    duration, shutter = 0.3e-3, sync.Shutter(1 / 1000, TRAVEL)
    rows = np.linspace(0, 1, 30_001)
    share = sync.row_light_share(flash.rectangular(duration), shutter, rows)
    grey = ((share > 1e-6) & (share < 1 - 1e-6)) & (rows < 0.9)
    assert grey.mean() == pytest.approx(sync.soft_edge_fraction(duration, TRAVEL), abs=1e-3)


@given(
    exposure=st.floats(2e-4, 0.05), travel=travels, power=st.sampled_from([1, 1 / 4, 1 / 64]), start=st.floats(0, 0.02)
)
@settings(max_examples=40, deadline=None)
def test_row_light_share_by_sampling(exposure, travel, power, start):
    """Brute force: the light of 200 000 instants, counted while the row is open."""
    curve, shutter = flash.light_curve("quench", power), sync.Shutter(exposure, travel)
    moments = (np.arange(200_000) + 0.5) / 200_000 * curve.end
    light = curve.intensity(moments)
    rows = np.array([0.0, 0.3, 1.0])
    opens, closes = shutter.open_interval(rows)
    at = start + moments
    counted = [light[(at >= a) & (at <= b)].sum() / light.sum() for a, b in zip(opens, closes, strict=True)]
    assert sync.row_light_share(curve, shutter, rows, start) == pytest.approx(counted, abs=2e-4)


@given(exposure=times, travel=travels, power=st.sampled_from([1, 1 / 2, 1 / 16]))
def test_at_the_sync_limit_every_row_keeps_nearly_all(exposure, travel, power):
    curve = flash.light_curve("quench", power)
    shortest = sync.sync_limit(travel, curve.t01)
    share = sync.row_light_share(curve, sync.Shutter(shortest, travel), np.linspace(0, 1, 9))
    # what a full flash holds before and after t0.1: 9 %, see flash_pulse_shapes.csv
    assert share.min() > 0.9


# ---- pulsed burn


@given(exposure=times, travel=travels)
def test_burn_lights_every_row_alike(exposure, travel):
    needed = sync.burn_needed(exposure, travel)
    share = sync.row_light_share(
        flash.rectangular(needed), sync.Shutter(exposure, travel), np.linspace(0, 1, 7), flash_start=0.0
    )
    assert share == pytest.approx(np.full(7, sync.burn_share(exposure, travel)), rel=1e-9)
    assert sync.burn_share(exposure, travel, 2 * needed) == pytest.approx(sync.burn_share(exposure, travel) / 2)
    assert 2 ** sync.burn_stops(exposure, travel) == pytest.approx(sync.burn_guide_number_factor(exposure, travel) ** 2)


@given(
    frequency=st.floats(1e4, 1e5), exposure=st.floats(1e-4, 2e-3), duty=st.floats(0.05, 0.95), glow=st.floats(0, 0.9)
)
@settings(max_examples=60, deadline=None)
def test_banding_by_cutting_rows_out_of_a_burn(frequency, exposure, duty, glow):
    """Brute force: the light of 20 001 rows of a burn that outlasts them."""
    burn = flash.pulsed_burn(exposure + 3e-3, frequency, duty, glow)
    rows = np.linspace(0, 1, 20_001)
    light = sync.row_light_share(burn, sync.Shutter(exposure, 3e-3 - 1 / frequency), rows, 0.0)
    mean = exposure * (glow + (1 - glow) * duty) / burn.area
    assert np.ptp(light) / mean == pytest.approx(sync.banding(frequency, exposure, duty, glow), abs=0.02)


def test_low_frequency_leaves_rows_without_a_pulse():
    count = sync.pulses_per_row(4000, 1 / 8000)
    assert (count.mean, count.fewest, count.most) == (0.5, 0, 1)
    assert sync.banding(4000, 1 / 8000) == pytest.approx(2.0)


# ---- the moving slit


def meeting_row(place, image, slit, direction):
    """Brute force: on which place of the sensor a point of the image is met by the slit, found by a root search."""
    sign = {"against": -1.0, "with": 1.0}[direction]
    return slit * brentq(lambda t: place + sign * image * t - slit * t, 0, 100)


@given(image=speeds, direction=st.sampled_from(["against", "with"]))
def test_length_along_the_slit_by_root_search(image, direction):
    """Two ends of a thing 1 mm long, each recorded where the slit meets it."""
    slit = 8.0
    recorded = meeting_row(0.013, image, slit, direction) - meeting_row(0.012, image, slit, direction)
    assert sync.length_factor(image, slit, direction) == pytest.approx(recorded / 1e-3, rel=1e-6)


@given(image=speeds, exposure=st.floats(1e-4, 1e-2), direction=st.sampled_from(["against", "with"]))
def test_streak_by_root_search(image, exposure, direction):
    """A point is lit from the first curtain's passing to the second's; the streak is its way in between."""
    slit, place = 8.0, 0.012
    sign = {"against": -1.0, "with": 1.0}[direction]
    opened = brentq(lambda t: slit * t - place - sign * image * t, 0, 100)
    shut = brentq(lambda t: slit * (t - exposure) - place - sign * image * t, opened, 1000)
    streak = sync.blur_in_slit(image, exposure, slit, direction)
    assert streak == pytest.approx(image * (shut - opened), rel=1e-6)


@given(image=speeds, exposure=times)
def test_without_travel_time_nothing_is_distorted(image, exposure):
    slit = sync.slit_speed(1e-12)
    for direction in ("against", "with", "across"):
        assert sync.length_factor(image, slit, direction) == pytest.approx(1, abs=1e-8)
        assert sync.blur_in_slit(image, exposure, slit, direction) == pytest.approx(image * exposure, rel=1e-8)
    assert sync.slant_angle(image, slit) < 1e-8
    assert sync.frame_shift(image, 1e-12) < 1e-10
    opens, _ = sync.Shutter(exposure, 1e-12).open_interval(np.array([0.0, 1.0]))
    assert np.ptp(opens) <= 1e-12


def test_a_still_thing_is_neither_squashed_nor_blurred():
    assert sync.squash(0, 8) == sync.stretch(0, 8) == 1
    assert sync.slant_angle(0, 8) == 0 and sync.blur_in_slit(0, 0.01, 8, "with") == 0


# ---- who fires whom


@given(exposure=st.floats(4e-3, 5), travel=st.floats(1e-3, 3e-3), lag=st.floats(0, 0.2), delay=st.floats(0, 0.01))
def test_front_rear_open(exposure, travel, lag, delay):
    front = sync.flash_time("front", exposure, travel, lag, delay)
    rear = sync.flash_time("rear", exposure, travel, lag, delay)
    assert rear - front == pytest.approx(sync.rear_less_front(exposure, travel), abs=1e-9)
    assert sync.flash_time("open", exposure, travel, lag, delay) == delay
    # both find the whole frame open if there is time for it
    window = sync.Shutter(exposure, travel).fully_open
    if exposure > travel + 1e-3:
        assert window[0] <= front - lag - delay + 1e-12 and rear - lag - delay <= window[1]


@given(speed=st.floats(0, 5), exposure=times, share=st.floats(0, 1))
def test_ghost_is_the_way_before_and_after_the_flash(speed, exposure, share):
    ghost = sync.ghost_lengths(speed, exposure, share * exposure)
    assert ghost.behind + ghost.ahead == pytest.approx(speed * exposure)
    assert ghost.behind == pytest.approx(share * speed * exposure)


def test_ghost_ahead_for_front_behind_for_rear():
    front, rear = (sync.ghost_lengths(3.0, 1 / 8, after) for after in (3e-3, 1 / 8 - 0.5e-3))
    assert front.ahead > 10 * front.behind and rear.behind > 10 * rear.ahead


# ---- arrays, and bad input

CURVE, SHUTTER = flash.exponential(1e-4), sync.Shutter(0.004)
GOOD = {
    sync.fully_open_time: {"exposure_time": 0.004, "curtain_travel": 0.003},
    sync.sync_limit: {"curtain_travel": 0.003, "flash_duration": 1e-3, "delay": 1e-4},
    sync.dark_band_fraction: {"exposure_time": 0.002, "curtain_travel": 0.003, "delay": 1e-4},
    sync.lit_rows: {"shutter": SHUTTER, "flash_start": 0.003},
    sync.dark_band_side: {"orientation": "landscape"},
    sync.soft_edge_fraction: {"flash_duration": 1e-3, "curtain_travel": 0.003},
    sync.leaf_efficiency: {"total_time": 0.01, "opening_time": 0.002, "closing_time": 0.002},
    sync.slit_efficiency: {"slit_width": 1e-3, "gap": 1e-3, "f_number": 8},
    sync.burn_needed: {"exposure_time": 0.001, "curtain_travel": 0.003},
    sync.burn_share: {"exposure_time": 0.001, "curtain_travel": 0.003, "burn": 0.01},
    sync.burn_stops: {"exposure_time": 0.001, "curtain_travel": 0.003, "burn": 0.01},
    sync.burn_guide_number_factor: {"exposure_time": 0.001, "curtain_travel": 0.003, "burn": 0.01},
    sync.pulses_per_row: {"frequency": 4e4, "exposure_time": 1 / 8000},
    sync.banding: {"frequency": 2e4, "exposure_time": 1 / 8000, "duty": 0.2, "glow": 0.1},
    sync.pulse_pitch: {"speed": 3, "frequency": 4e4},
    sync.slit_speed: {"curtain_travel": 0.003, "frame_height": 0.024},
    sync.slit_width: {"exposure_time": 0.001, "curtain_travel": 0.003, "frame_height": 0.024},
    sync.slant_angle: {"image_speed": 1.5, "slit_speed": 8},
    sync.squash: {"image_speed": 1.5, "slit_speed": 8},
    sync.stretch: {"image_speed": 1.5, "slit_speed": 8},
    sync.length_factor: {"image_speed": 1.5, "slit_speed": 8, "direction": "with"},
    sync.blur_in_slit: {"image_speed": 1.5, "exposure_time": 0.001, "slit_speed": 8, "direction": "against"},
    sync.frame_shift: {"image_speed": 1.5, "curtain_travel": 0.003},
    sync.flash_time: {
        "mode": "rear", "exposure_time": 0.1, "curtain_travel": 0.003, "lag": 0.05, "delay": 1e-3, "margin": 5e-4,
    },
    sync.rear_less_front: {"exposure_time": 0.1, "curtain_travel": 0.003, "margin": 5e-4},
    sync.ghost_lengths: {"speed": 3, "exposure_time": 0.1, "flash_after": 0.01},
    sync.row_light_share: {"curve": CURVE, "shutter": SHUTTER, "row": 0.5, "flash_start": 0.003},
    sync.Shutter: {"exposure_time": 0.004, "curtain_travel": 0.003, "kind": "leaf"},
}  # fmt: skip
MAY_BE_ZERO = {"delay", "gap", "opening_time", "closing_time", "glow", "speed", "image_speed", "lag", "margin",
               "flash_after", "row", "flash_start"}  # fmt: skip
MAY_BE_BELOW_ZERO = {"flash_start"}
MAY_BE_NONE = {"burn", "flash_start"}
WORDS_AND_THINGS = {"kind", "mode", "direction", "orientation", "curve", "shutter"}


def bad_calls():
    for function, good in GOOD.items():
        for name in good:
            bad = [math.nan, math.inf, -math.inf, "quick", True, 1j, object(), [0.5, math.nan]]
            bad += [] if name == "slit_speed" else [1e12]
            bad += [] if name in MAY_BE_ZERO else [0]
            bad += [] if name in MAY_BE_BELOW_ZERO else [-1.0]
            bad += [] if name in MAY_BE_NONE and function is not sync.lit_rows else [None]
            for value in bad:
                yield pytest.param(function, {**good, name: value}, id=f"{function.__name__}-{name}-{value!r:.20}")


@pytest.mark.parametrize(("function", "arguments"), list(bad_calls()))
def test_bad_input_gets_the_one_sentence(function, arguments):
    with pytest.raises(ValueError) as caught:
        function(**arguments)
    assert SENTENCE.fullmatch(str(caught.value)), str(caught.value)


def test_every_public_function_is_in_the_bad_input_table():
    public = {getattr(sync, name) for name in sync.__all__ if callable(getattr(sync, name))}
    assert public - {sync.Ghost, sync.PulseCount} == set(GOOD)


@pytest.mark.parametrize(
    "call",
    [
        lambda: SHUTTER.open_interval(1.01),
        lambda: SHUTTER.open_interval(math.nan),
        lambda: sync.Shutter([0.004, 0.005]),
        lambda: sync.leaf_efficiency(0.01, 0.006, 0.005),
        lambda: sync.burn_share(0.001, 0.003, 0.0039),
        lambda: sync.burn_share([0.001, 0.002], 0.003, [0.1, 0.1, 0.1]),
        lambda: sync.stretch(8, 8),
        lambda: sync.stretch([1, 9], 8),
        lambda: sync.blur_in_slit(9, 0.001, 8, "with"),
        lambda: sync.blur_in_slit([1, 2], [0.1, 0.2, 0.3], 8, "across"),
        lambda: sync.blur_in_slit([1, 2], 0.1, [8, 8, 8], "across"),
        lambda: sync.blur_in_slit(1, [0.1, 0.2], [8, 8, 8], "against"),
        lambda: sync.flash_time("rear", 0.001, margin=0.002),
        lambda: sync.flash_time("front", [0.1, 0.2], [0.003, 0.003, 0.003]),
        lambda: sync.ghost_lengths(3, 0.01, 0.02),
        lambda: sync.row_light_share(CURVE, SHUTTER, [0.1, 0.2], [0.1, 0.2, 0.3]),
    ],
)
def test_rules_between_quantities_get_the_one_sentence(call):
    with pytest.raises(ValueError) as caught:
        call()
    assert SENTENCE.fullmatch(str(caught.value)), str(caught.value)


@pytest.mark.parametrize("function", [f for f in GOOD if f not in (sync.Shutter, sync.dark_band_side)])
def test_scalar_in_scalar_out_array_in_array_out(function):
    good = GOOD[function]
    numbers = {name for name in good if name not in WORDS_AND_THINGS}
    alone = np.array(function(**good))
    assert alone.ndim <= 1  # a number, or a few of them
    results = function(**good)
    for value in results if isinstance(results, tuple) else (results,):
        assert np.ndim(value) == 0 and isinstance(value, float)
    together = function(**{name: np.full((2, 3), value) if name in numbers else value for name, value in good.items()})
    for value, single in zip(
        together if isinstance(together, tuple) else (together,),
        results if isinstance(results, tuple) else (results,),
        strict=True,
    ):
        assert value.shape == (2, 3) and np.all(value == single)
