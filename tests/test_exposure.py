"""Exposure against the exposure standards' tables, the colour-hdri library, and its own invariants.

Checks against tables and libraries are data, in tests/outside.
"""

import math
import warnings

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from tables import assert_refuses

from splashkit import exposure as ex

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    import colour_hdri

apertures = st.floats(1, 64)
times = st.floats(1e-4, 30)
speeds = st.floats(50, 25600)
stops = st.floats(-12, 12)
meters = st.floats(0.05, 5)
scales = st.floats(0, 5)
pupils = st.floats(0.4, 2.5)


# --- an independent library -----------------------------------------------------------------------------------


@given(apertures, times, speeds)
def test_ev100_as_colour_hdri(aperture, time, iso):
    """colour-hdri: exposure_value_100."""
    assert ex.ev100_from_settings(aperture, time, iso) == pytest.approx(
        float(colour_hdri.exposure_value_100(aperture, time, iso)), abs=1e-9
    )


@given(st.floats(1e-3, 1e6))
def test_light_as_colour_hdri(light):
    """colour-hdri: luminance_to_exposure_value, illuminance_to_exposure_value."""
    assert ex.ev100_from_luminance(light) == pytest.approx(
        float(colour_hdri.luminance_to_exposure_value(light, 100)), abs=1e-9
    )
    assert ex.ev100_from_illuminance(light) == pytest.approx(
        float(colour_hdri.illuminance_to_exposure_value(light, 100)), abs=1e-9
    )


@given(st.floats(0.01, 1e4), apertures, times, st.floats(0, 4))
def test_sensor_exposure_as_colour_hdri(light, aperture, time, scale):
    """colour-hdri: focal_plane_exposure with its image distance i = f (1 + m); q 0.6516 there, 0.65 here."""
    theirs = float(colour_hdri.focal_plane_exposure(light, aperture, time, 0.05, 0.05 * (1 + scale), 0))
    ours = ex.sensor_exposure(light, aperture, time, ex.close_up_loss(scale))
    assert ours == pytest.approx(theirs * 0.65 / 0.6515750, rel=1e-6)


# --- numbers read in texts ------------------------------------------------------------------------------------


def test_marks_are_not_exact():
    """Trap: f/16 at 1/125 is called EV 15 (exposure value table); on the marks it is 14.966."""
    assert ex.exposure_value(16, 1 / 125) == pytest.approx(14.966, abs=5e-4)
    assert ex.exposure_value(16, ex.exact_mark(1 / 125, "shutter")) == 15.0
    assert ex.exposure_value(8, 1 / 500) == pytest.approx(float(ex.exposure_value(16, 1 / 125)), abs=1e-12)
    assert ex.exposure_value(1.0, 1.0) == 0


def test_sunny_sixteen():
    """f/16 at 1/ISO: 3200 cd/m2, from a meter standard quoted in public; 64 000 lx follows."""
    value = ex.ev100_from_settings(16, 1 / 100, 100)
    assert ex.luminance_from_ev100(value) == pytest.approx(3200, rel=1e-12)
    assert ex.illuminance_from_ev100(value) == pytest.approx(64000, rel=1e-12)


def test_meters_see_sixteen_percent():
    """E/L = C/K = 20 = pi/reflectance of a matt surface: 15.7 %, which is why 18 % is only roughly so (derived)."""
    share = math.pi * ex.luminance_from_ev100(10) / ex.illuminance_from_ev100(10)
    assert share == pytest.approx(0.157, abs=5e-4)


def test_two_mid_greys_are_not_mixed():
    """Trap: 10/S (ISO 12232 output sensitivity) and 8.125/S (K 12.5 meter) lie 0.30 stop apart."""
    apart = ex.stops_between(ex.sensor_level(100, "metered"), ex.sensor_level(100, "output"))
    assert apart == pytest.approx(0.2996, abs=1e-4)
    # a meter reading lands exactly on the metered level
    light = ex.luminance_from_ev100(ex.ev100_from_settings(8, 1 / 60, 400))
    assert ex.sensor_exposure(light, 8, 1 / 60) == pytest.approx(float(ex.sensor_level(400, "metered")), rel=1e-12)
    # 78/S at saturation: 18 % / sqrt 2 = 12.7 % (film-speed texts), 10/78 = 12.8 %
    assert pytest.approx(0.18 / math.sqrt(2), rel=0.01) == ex.OUTPUT_CONSTANT / ex.SATURATION_CONSTANT


def test_sensor_exposure_example():
    """colour-hdri's documented example: 4000 cd/m2, f/8, 1/250 gives 0.1629 lx s with q 0.6516."""
    assert ex.sensor_exposure(4000, 8, 1 / 250) == pytest.approx(0.16289, rel=0.0025)


def test_guide_number_examples():
    """Worked examples: 45 m at 5 m is f/9 (photographic dictionary); 24 m at 3 m is f/8, f/11 at ISO 200 (Q&A page)."""
    assert ex.guide_number_aperture(45, 5) == pytest.approx(9, rel=1e-12)
    assert ex.guide_number_aperture(24, 3) == pytest.approx(8, rel=1e-12)
    assert ex.guide_number_aperture(24, 3, iso=200) == pytest.approx(11.31, abs=0.01)
    assert ex.exact_mark(11, "aperture") == pytest.approx(float(ex.guide_number_aperture(24, 3, iso=200)), rel=1e-9)


def test_guide_number_from_light():
    """4000 cd s is 40 m with C 250 (derived); the old rule in feet, sqrt(0.05 Q S), is 0.22 stop away (from memory)."""
    metres = ex.guide_number_from_light(4000)
    old = math.sqrt(0.05 * 4000 * 100) * 0.3048
    assert metres == pytest.approx(40)
    assert 2 * math.log2(old / metres) == pytest.approx(0.22, abs=0.005)


def test_close_up_examples():
    """Photography textbook: m 0.5 takes 2 1/4 times the exposure; m 1 takes 4 times, 1/100 becomes 1/25."""
    assert ex.close_up_factor(0.5) ** 2 == 2.25
    assert ex.close_up_factor(1.0) ** 2 == 4
    assert ex.close_up_loss(1.0) == 2


def test_open_shutter_needs_a_dark_room():
    """f/11, ISO 100, 320 lx: 7.88 under at 1/250, but over at 1 s; at 1 lx 8.24 under (derived from ISO 2720)."""
    assert ex.ambient_under_flash(320, 11, 1 / 250) == pytest.approx(7.88, abs=0.005)
    assert ex.ambient_under_flash(320, 11, 1.0) == pytest.approx(-0.08, abs=0.005)
    assert ex.ambient_under_flash(1, 11, 1.0) == pytest.approx(8.24, abs=0.005)
    assert ex.ambient_to_flash_ratio(6) == pytest.approx(0.016, abs=5e-4)


def test_ghost_by_dwell_background_by_exposure():
    """Trap: 5 mm at 3 m/s dwells 1.67 ms, so over 1 s its ghost is 600 times, 9.2 stops, weaker (derived)."""
    ratio = ex.ghost_ratio(0.005, 3.0, 1.0)
    assert 1 / ratio == pytest.approx(600)
    assert -math.log2(ratio) == pytest.approx(9.2, abs=0.05)
    assert ex.ghost_ratio(0.005, 3.0, 1 / 1000) == 1
    assert ex.ghost_ratio(0.005, 0.0, 30.0) == 1
    # a longer exposure leaves the moving thing's own light as it was
    assert ex.ghost_ratio(0.005, 3.0, 2.0) * 2.0 == pytest.approx(float(ex.ghost_ratio(0.005, 3.0, 1.0)))


# --- invariants -----------------------------------------------------------------------------------------------


@given(meters, apertures, st.floats(1 / 256, 1), speeds, scales, pupils, st.floats(0, 5))
def test_guide_number_forms_agree(distance, aperture, power, iso, scale, ratio, loss):
    """The f-number, distance and power that the guide number gives each expose to zero stops."""
    rest = {"iso": iso, "magnification": scale, "pupil_ratio": ratio, "loss": loss}
    wide = ex.guide_number_aperture(40, distance, power, **rest)
    reach = ex.guide_number_distance(40, aperture, power, **rest)
    share = ex.guide_number_power(40, distance, aperture, **rest)
    if 0.5 <= wide <= 256:
        assert ex.flash_stops(40, distance, wide, power, **rest) == pytest.approx(0, abs=1e-9)
    if 0.005 <= reach <= 200:
        assert ex.flash_stops(40, reach, aperture, power, **rest) == pytest.approx(0, abs=1e-9)
    if share <= 1:
        assert ex.flash_stops(40, distance, aperture, share, **rest) == pytest.approx(0, abs=1e-9)


@given(meters, apertures, speeds)
def test_who_changes_what(distance, aperture, iso):
    """Shutter time changes ambient only, aperture and ISO both, power and distance flash only."""
    start = ex.frame_level(aperture, 0.01, iso, 100, 40, distance, 0.25)
    slower = ex.frame_level(aperture, 0.02, iso, 100, 40, distance, 0.25)
    stronger = ex.frame_level(aperture, 0.01, iso, 100, 40, distance, 0.5)
    faster = ex.frame_level(aperture, 0.01, 2 * iso, 100, 40, distance, 0.25)
    smaller = ex.frame_level(aperture * math.sqrt(2), 0.01, iso, 100, 40, distance, 0.25)
    for changed, flash, ambient in ((slower, 1, 2), (stronger, 2, 1), (faster, 2, 2), (smaller, 0.5, 0.5)):
        assert changed.flash / start.flash == pytest.approx(flash)
        assert changed.ambient / start.ambient == pytest.approx(ambient)


@given(apertures, times, speeds, st.floats(0.001, 1e4), scales, pupils)
def test_frame_level_is_the_stops(aperture, time, iso, light, scale, ratio):
    level = ex.frame_level(aperture, time, iso, light, 40, 0.5, 0.25, scale, ratio, flash_loss=1, filter_loss=2)
    flash = ex.flash_stops(40, 0.5, aperture, 0.25, iso, scale, ratio, 1) - 2
    under = ex.ambient_under_flash(light, aperture, time, iso, ex.close_up_loss(scale, ratio) + 2)
    assert math.log2(level.flash) == pytest.approx(flash, abs=1e-9)
    assert math.log2(level.ambient) == pytest.approx(-under, abs=1e-9)
    assert level.total == pytest.approx(level.flash + level.ambient)
    assert level.ambient_per_second * time == pytest.approx(level.ambient)


def test_dark_and_unlit():
    level = ex.frame_level(11, 1.0, 100, 0.0, 40, 0.5, power=0)
    assert (level.flash, level.ambient, level.total) == (0, 0, 0)
    assert ex.ambient_under_flash(0, 11, 1.0) == math.inf
    assert ex.ambient_to_flash_ratio(math.inf) == 0
    assert ex.ev100_from_illuminance(0) == -math.inf


@given(stops, stops)
def test_lights_add(first, second):
    both = ex.add_lights(first, second)
    assert 2**both == pytest.approx(2**first + 2**second)
    assert both == pytest.approx(float(ex.add_lights(second, first)))
    assert ex.add_lights(first, -math.inf) == pytest.approx(first)
    assert ex.add_lights(first, first) == pytest.approx(first + 1)


@given(apertures, times, speeds, apertures, times, speeds)
def test_reading_is_light(metered_n, metered_t, metered_s, aperture, time, iso):
    """A metered reading and the lux it stands for give the same answer."""
    lux = ex.illuminance_from_ev100(ex.ev100_from_settings(metered_n, metered_t, metered_s))
    assert ex.ambient_under_reading(metered_n, metered_t, metered_s, aperture, time, iso) == pytest.approx(
        float(ex.ambient_under_flash(lux, aperture, time, iso)), abs=1e-9
    )
    assert ex.ambient_under_reading(aperture, time, iso, aperture, time, iso) == 0


@given(st.floats(0.1, 1000), apertures, speeds, st.floats(1, 10))
def test_longest_open_time(light, aperture, iso, under):
    longest = ex.longest_open_time(light, aperture, iso, under)
    if 1e-6 <= longest <= 86400:
        assert ex.ambient_under_flash(light, aperture, longest, iso) == pytest.approx(under, abs=1e-9)


@given(stops)
def test_stops_and_factors(number_of_stops):
    assert ex.stops_between(1.0, ex.factor_from_stops(number_of_stops)) == pytest.approx(number_of_stops, abs=1e-9)
    assert ex.distance_stops(1.0, 2.0) == 2


def test_arrays_and_scalars():
    out = ex.ambient_under_flash([10, 100], np.array([[8.0], [11.0]]), 0.01)
    assert out.shape == (2, 2)
    assert out[1, 0] == pytest.approx(float(ex.ambient_under_flash(10, 11, 0.01)))
    assert isinstance(ex.flash_stops(40, 0.5, 11), float)
    assert isinstance(ex.ghost_ratio(0.004, 2.0, 0.1), float)
    assert ex.frame_level(11, [0.1, 0.2], 100, 10).total.shape == (2,)
    with pytest.raises(ValueError, match="matching shapes"):
        ex.exposure_value([8, 11], [0.1, 0.2, 0.3])


# --- bad input ------------------------------------------------------------------------------------------------

UNIT = {"guide_number": 40, "distance": 0.5, "f_number": 11, "power": 0.5, "iso": 100, "magnification": 0.5,
        "pupil_ratio": 1, "loss": 0}  # fmt: skip


def without(*names):
    return {name: value for name, value in UNIT.items() if name not in names}


CALLS = [
    (ex.stops_between, {"reference": 1, "amount": 2}),
    (ex.factor_from_stops, {"stops": 1}),
    (ex.exact_mark, {"mark": 11, "kind": "aperture"}),
    (ex.exposure_value, {"f_number": 11, "exposure_time": 0.01}),
    (ex.ev100_from_settings, {"f_number": 11, "exposure_time": 0.01, "iso": 100}),
    (ex.ev100_from_illuminance, {"illuminance": 100}),
    (ex.illuminance_from_ev100, {"ev100": 7}),
    (ex.ev100_from_luminance, {"luminance": 100}),
    (ex.luminance_from_ev100, {"ev100": 7}),
    (ex.sensor_exposure, {"luminance": 10, "f_number": 11, "exposure_time": 0.01, "loss": 0}),
    (ex.sensor_level, {"iso": 100, "kind": "output"}),
    (ex.ambient_under_flash, {"illuminance": 10, "f_number": 11, "exposure_time": 0.01, "iso": 100, "loss": 0}),
    (
        ex.ambient_under_reading,
        {
            "metered_f_number": 4,
            "metered_time": 0.1,
            "metered_iso": 100,
            "f_number": 11,
            "exposure_time": 0.1,
            "iso": 9,
        },
    ),
    (ex.longest_open_time, {"illuminance": 10, "f_number": 11, "iso": 100, "stops_under": 6}),
    (ex.ghost_ratio, {"size": 0.004, "speed": 2, "exposure_time": 0.1}),
    (ex.close_up_factor, {"magnification": 0.5, "pupil_ratio": 1}),
    (ex.close_up_loss, {"magnification": 0.5, "pupil_ratio": 1}),
    (ex.guide_number_at, {"guide_number": 40, "power": 0.5, "iso": 100}),
    (ex.guide_number_from_light, {"candela_seconds": 4000, "iso": 100}),
    (ex.flash_stops, UNIT),
    (ex.guide_number_aperture, without("f_number")),
    (ex.guide_number_distance, without("distance")),
    (ex.guide_number_power, without("power")),
    (ex.distance_stops, {"near": 0.5, "far": 1}),
    (ex.filter_stops, {"density": 0.9}),
    (ex.filter_density, {"loss": 3}),
    (
        ex.frame_level,
        {**without("loss"), "exposure_time": 0.1, "illuminance": 10, "flash_loss": 0, "filter_loss": 0},
    ),
]


@pytest.mark.parametrize(("function", "good"), CALLS, ids=lambda thing: getattr(thing, "__name__", ""))
def test_bad_input_gets_one_sentence(function, good):
    function(**good)
    assert_refuses(function, good)


def test_every_public_function_is_tried_with_bad_input():
    public = {name for name in ex.__all__ if name[0].islower()} - {"add_lights", "ambient_to_flash_ratio"}
    assert public == {function.__name__ for function, _ in CALLS}
    # for these two an infinite value means something: a light that is off, a room that is black
    assert_refuses(ex.ambient_to_flash_ratio, {"stops_under": 6, "flash_stops": 0}, bad=(-math.inf, -1e12))


@pytest.mark.parametrize("name", ["f_number", "exposure_time", "iso", "guide_number", "distance", "size"])
def test_zero_is_refused_where_it_means_nothing(name):
    calls = {
        "f_number": lambda: ex.exposure_value(0, 1),
        "exposure_time": lambda: ex.exposure_value(8, 0),
        "iso": lambda: ex.ev100_from_settings(8, 1, 0),
        "guide_number": lambda: ex.guide_number_at(0),
        "distance": lambda: ex.flash_stops(40, 0, 8),
        "size": lambda: ex.ghost_ratio(0, 1, 1),
    }
    with pytest.raises(ValueError, match="must be"):
        calls[name]()


def test_add_lights_refuses():
    for bad in ((), (math.nan,), (math.inf,), ("bright",), (1, None)):
        with pytest.raises(ValueError, match="To fix it"):
            ex.add_lights(*bad)


def test_the_sentence_says_all_four_things():
    with pytest.raises(ValueError) as caught:
        ex.exposure_value(11, -0.004)
    text = str(caught.value)
    assert text.startswith("The exposure time must be from 1 µs to 86400 s; got -4 ms.")
    assert text.endswith("To fix it: give seconds: 1/250 s is 0.004.")
