"""Measuring aids recover what was put in, and their 90 % bands hold it as often as they say."""

import numpy as np
import pytest
from scipy import stats
from scipy.integrate import solve_ivp

from splashkit import drops, measure
from splashkit.estimate import Estimate


def fallen(time, diameter, speed):
    """Distance fallen by an independent integration: sphere drag of Schiller and Naumann (from memory), scipy."""

    def rate(_, state):
        v = state[1]
        reynolds = 1.204 * max(v, 1e-9) * diameter / 1.82e-5
        drag = 24 / reynolds * (1 + 0.15 * reynolds**0.687) if reynolds < 1000 else 0.44
        return [v, 9.80665 * (1 - 1.204 / 998.2) - 0.75 * drag * 1.204 / 998.2 * v**2 / diameter]

    return solve_ivp(rate, (0, time), [0, speed], rtol=1e-9, atol=1e-9).y[0, -1]


def test_lag_from_one_drop_against_an_independent_fall():
    lag, valve, delay = 0.0835, 0.012, 0.13
    height = 0.25 - 0.002 - fallen(delay + lag - valve, 0.004, 0.1)
    found = measure.lag_from_drop(height, delay, 0.25, 0.004, valve, 0.1)
    assert found.value == pytest.approx(lag, abs=0.3e-3)
    assert found.low < lag < found.high


def test_lag_band_holds_ninety_per_cent():
    random = np.random.default_rng(2)
    lag, delay = 0.08, 0.13
    true = 0.25 - 0.002 - float(drops.position(delay + lag - 0.012, 0.004).distance)
    held = 0
    for _ in range(600):
        jitter = random.normal(0, 0.4e-3)
        seen = 0.25 - 0.002 - float(drops.position(delay + lag - 0.012 + jitter, 0.004).distance)
        seen += random.normal(0, 0.6e-3)
        band = measure.lag_from_drop(seen, delay, 0.25, 0.004, 0.012, 0, 0.6e-3, 0.4e-3)
        held += band.low <= lag <= band.high
    low, high = stats.binom.ppf([0.001, 0.999], 600, 0.9)
    assert low <= held <= high
    assert 0.01 < true < 0.2


def test_valve_and_release_speed_against_an_independent_fall():
    moments = np.linspace(0.06, 0.2, 9)
    heights = [0.25 - 0.002 - fallen(t - 0.0125, 0.004, 0.22) for t in moments]
    found = measure.valve_from_heights(moments, heights, 0.25, 0.004)
    assert found.first.value == pytest.approx(0.0125, abs=0.4e-3)
    assert found.second.value == pytest.approx(0.22, abs=0.01)


@pytest.mark.parametrize(("height", "diameter", "speed"), [(0.8, 1e-3, 0.1), (1.2, 1e-3, 0.3), (1.5, 2e-3, 0.1)])
def test_valve_is_found_where_air_brakes_a_small_drop_hard(height, diameter, speed):
    """Near its final speed a drop falls far short of the ideal fall: the fit must begin with the air put back."""
    end = float(drops.fall(height - 1.5 * diameter, diameter, speed).time)
    moments = np.linspace(0.15, 1.0, 6) * end
    path = drops.position(moments, diameter, speed).distance
    assert path[-1] < 0.9 * (speed * end + 0.5 * 9.8 * end**2)
    found = measure.valve_from_heights(moments + 0.012, height - diameter / 2 - path, height, diameter)
    assert found.first.value == pytest.approx(0.012, abs=0.1e-3)
    assert found.second.value == pytest.approx(speed, abs=2e-3)


def test_valve_bands_hold_ninety_per_cent_and_short_spans_stay_wide():
    random = np.random.default_rng(4)
    held, widths = np.zeros(2), []
    moments = np.linspace(0.06, 0.2, 9)
    truth = 0.25 - 0.002 - drops.position(moments - 0.0125, 0.004, 0.3).distance
    for _ in range(300):
        found = measure.valve_from_heights(moments, truth + random.normal(0, 0.4e-3, 9), 0.25, 0.004, 0.4e-3)
        held += [found.first.contains(0.0125), found.second.contains(0.3)]
        widths.append(found.second.high - found.second.low)
    low, high = stats.binom.ppf([0.0005, 0.9995], 300, 0.9)
    # when a fit is worse than the stated error the band widens, so it may hold the truth more often, not less
    assert (held >= low).all() and (held <= 300).all() and held.min() <= high + 15
    late = moments[-3:] + np.array([-0.004, -0.002, 0.0])
    heights = 0.25 - 0.002 - drops.position(late - 0.0125, 0.004, 0.3).distance
    narrow = measure.valve_from_heights(late, heights, 0.25, 0.004, 0.4e-3)
    assert narrow.second.high - narrow.second.low > 3 * np.median(widths)


def test_valve_bands_count_a_wrong_nozzle_height():
    random = np.random.default_rng(5)
    moments = np.linspace(0.06, 0.2, 9)
    held = np.zeros(2)
    for _ in range(300):
        hung = 0.25 + random.normal(0, 0.5e-3)  # the true nozzle; the learner types 0.25
        seen = hung - 0.002 - drops.position(moments - 0.0125, 0.004, 0.3).distance + random.normal(0, 0.4e-3, 9)
        found = measure.valve_from_heights(moments, seen, 0.25, 0.004, 0.4e-3)
        held += [found.first.contains(0.0125), found.second.contains(0.3)]
    low, high = stats.binom.ppf([0.0005, 0.9995], 300, 0.9)
    assert (held >= low).all() and held.min() <= high + 15


def test_curtain_series():
    random = np.random.default_rng(1)
    held = np.zeros(2)
    for _ in range(300):
        delays = np.linspace(0.0505, 0.0527, 8)
        edges = np.clip((delays - 0.050) / 0.003 + random.normal(0, 0.02, 8), 0, 1)
        found = measure.curtain_from_series(delays, edges, 0.02)
        held += [found.first.contains(0.050), found.second.contains(0.003)]
    assert (held > stats.binom.ppf(0.0005, 300, 0.9)).all()
    assert found.second.value == pytest.approx(0.003, rel=0.15)


def test_weighing():
    # a 4 mm ball of water at 20 degC weighs 33.45 mg: pi/6 x 64 mm3 x 0.9982 mg/mm3
    found = measure.drop_from_weighing(100 * 33.45e-6, 100)
    assert found.value == pytest.approx(4e-3, rel=1e-4)
    # and the library's own ball agrees
    assert drops.sphere_volume(found.value) * 998.2 == pytest.approx(33.45e-6, rel=1e-6)
    many = measure.drop_from_weighing(np.array([1e-3, 2e-3]), 50)
    assert many.value[1] / many.value[0] == pytest.approx(2 ** (1 / 3))


def test_blur_gives_the_duration_back():
    found = measure.flash_duration_from_blur(4e-3 + 2.2 * 400e-6, 4e-3, 2.2)
    assert found.value == pytest.approx(400e-6)
    assert found.low < 400e-6 < found.high
    frozen = measure.flash_duration_from_blur(3.95e-3, 4e-3, 2.2)
    assert frozen.value == 0 and frozen.low == 0 and frozen.high > 0


def test_a_band_from_nought_is_said_in_one_unit():
    """The upper end of a frozen drop is 1.645 times the error of two lengths, over the speed."""
    frozen = measure.flash_duration_from_blur(3.95e-3, 4e-3, 2.0)
    assert frozen.high == pytest.approx(1.645 * np.sqrt(2) * 0.05e-3 / 2.0)
    assert frozen.text("s") == "less than 58.2 µs"
    assert Estimate(20e-6, 0.0, 78.2e-6).text("s") == "20 µs (0 to 78.2 µs)"
    assert Estimate(0.9e-3, 0.8e-3, 1.2e-3).text("s") == "900 µs (800 µs to 1.2 ms)"
    assert Estimate(0.0, 0.0, 0.0).text("s") == "0 ms (0 to 0 ms)"


@pytest.mark.parametrize(
    ("band", "said"),
    [
        ((0.004, 0.003998, 0.004004), "4 mm (3.998 to 4.004 mm)"),
        ((0.4164, 0.41551, 0.41733), "416.4 ms (415.5 to 417.3 ms)"),
        ((0.033, 0.033, 0.0735), "33 ms (33 to 73.5 ms)"),  # the lower end is the value itself
        ((0.00782, 0.00782 - 3e-8, 0.00782 + 2e-8), "7.82 mm, to within 0.03 µm"),
    ],
)
def test_a_band_has_digits_enough_to_be_seen(band, said):
    """A diameter was said to be '4 mm (4 to 4 mm)'."""
    assert Estimate(*band).text("m" if "mm" in said else "s") == said
    assert Estimate(0.16, 0.158, 0.162).words(lambda x, n: f"{x:.{n}g} s", 2) == "0.16 s (0.158 to 0.162 s)"


def test_heights_no_drop_can_have_are_refused():
    """Frames of a fall from 25 cm under a nozzle typed as 1.5 m, gave a valve delay and a speed of 0 to 0 m/s."""
    moments = np.linspace(0.06, 0.2, 9)
    heights = np.array([0.25 - 0.002 - fallen(t - 0.0125, 0.004, 0.22) for t in moments])
    for nozzle in (1.5, 0.8, 0.27):
        with pytest.raises(ValueError, match=r"^The heights seen must be .*To fix it: check the nozzle's height"):
            measure.valve_from_heights(moments, heights, nozzle, 0.004)
    rest = np.array([0.25 - 0.002 - fallen(t - 0.0125, 0.004, 0.0) for t in moments])  # let go at rest: no refusal
    for seed in range(40):
        seen = rest + np.random.default_rng(seed).normal(0, 0.4e-3, 9)
        found = measure.valve_from_heights(moments, seen, 0.25, 0.004, 0.4e-3)
        assert found.second.high > 0 and found.first.low < found.first.high


def test_the_lowest_frame_of_a_valve_row_may_be_misread_a_little():
    moments = np.array([0.08, 0.12, 0.16, 0.2165])
    heights = [0.25 - 0.002 - fallen(t - 0.0125, 0.004, 0.22) for t in moments]
    assert 0.0015 < heights[-1] < 0.0045  # the last one hangs just above its touch
    heights[-1] -= 0.001
    assert measure.valve_from_heights(moments, heights, 0.25, 0.004).first.value == pytest.approx(0.0125, abs=3e-3)


def test_scatter_band_against_chi_square():
    heights = np.array([0.0200, 0.0212, 0.0191, 0.0206, 0.0195, 0.0201, 0.0209])
    found = measure.scatter_from_heights(heights, 2.0, 1e-9)
    ends = np.sqrt(6 * np.var(heights, ddof=1) / stats.chi2.ppf([0.95, 0.05], 6)) / 2.0
    assert (found.low, found.high) == pytest.approx(tuple(ends), rel=0.02)
    assert measure.scatter_from_heights([0.02, 0.02, 0.02], 2.0).value == 0


def test_ruler_and_pixels():
    scale = measure.scale_from_ruler(500, 2500, 0.02)
    assert float(measure.height_from_pixels(1200, 3200, scale)) == pytest.approx(0.02)
    assert measure.height_from_pixels(np.array([3200, 3300]), 3200, scale) == pytest.approx([0, -0.001])


@pytest.mark.parametrize(
    "call",
    [
        lambda: measure.lag_from_drop(0.26, 0.1, 0.25, 0.004),
        lambda: measure.lag_from_drop(0.02, 0.4, 0.25, 0.004),
        lambda: measure.lag_from_drop("x", 0.1, 0.25, 0.004),
        lambda: measure.lag_from_drop(-0.005, 0.15, 0.25, 0.004),  # under water
        lambda: measure.lag_from_drop(0.0019, 0.15, 0.25, 0.004),  # touching it
        lambda: measure.scale_from_ruler(5, 5, 0.02),
        lambda: measure.curtain_from_series([0.05, 0.051], [0.1, 0.2]),
        lambda: measure.curtain_from_series([0.05, 0.051, 0.052], [0.5, 0.3, 0.1]),
        lambda: measure.curtain_from_series([0.05, 0.05, 0.05], [0.5, 0.3, 0.1]),
        lambda: measure.curtain_from_series([0.05, 0.051, 0.052], [0.5, 0.3]),
        lambda: measure.valve_from_heights([0.1, 0.12, 0.14], [0.1, 0.12, 0.15], 0.25, 0.004),
        lambda: measure.valve_from_heights([0.1, 0.12, 0.14], [0.3, 0.2, 0.1], 0.25, 0.004),
        lambda: measure.valve_from_heights([0.1, 0.1, 0.1], [0.2, 0.2, 0.2], 0.25, 0.004),
        lambda: measure.valve_from_heights([0.1, 0.15, 0.23], [0.21, 0.13, -0.005], 0.25, 0.004),
        lambda: measure.drop_from_weighing(-1, 10),
        lambda: measure.flash_duration_from_blur(0.002, 0.004, 2),
        lambda: measure.scatter_from_heights([0.02, 0.021], 2),
    ],
)
def test_bad_input_is_named(call):
    with pytest.raises(ValueError, match=r"must be .*; got .*\. To fix it: "):
        call()
