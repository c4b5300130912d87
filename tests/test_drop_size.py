"""Drop size from valve, tip and scale, against the drop-weight tables, closed forms and own invariants.

Checks against tables and libraries are data, in tests/outside.
"""

import math

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp
from tables import assert_refuses, read

from splashkit import drops

WATER, TENSION, G = 998.2, 0.07274, 9.80665

openings = st.floats(1e-3, 0.5)
bores = st.floats(0.5e-3, 5e-3)
heads = st.floats(0.02, 1.0)
feeds = st.floats(0.005, 1.0)


# --- valve ----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("opening", [0.003, 0.03, 0.3])
def test_start_up_solves_the_unsteady_flow(opening):
    """scipy integrates L du/dt = g h - u²/2, the unsteady Bernoulli equation of the feed tube."""
    bore, head, feed = 1.5e-3, 0.25, 0.08
    flow = solve_ivp(
        lambda t, y: [y[1], (G * head - y[1] ** 2 / 2) / feed], (0, opening), [0, 0], rtol=1e-10, atol=1e-14
    )
    volume = 0.61 * math.pi / 4 * bore**2 * flow.y[0, -1]
    assert drops.valve_drop_volume(opening, bore, head, feed) == pytest.approx(volume, rel=1e-7)


@given(openings, bores, heads, feeds)
def test_speed_times_time_overestimates(opening, bore, head, feed):
    started = drops.valve_drop_volume(opening, bore, head, feed)
    ideal = drops.valve_drop_volume(opening, bore, head, 0.0)
    assert 0 < started < ideal
    # a long opening loses one fixed helping: hole x 2 L ln 2
    lost = 0.61 * math.pi / 4 * bore**2 * 2 * feed * math.log(2)
    assert ideal - started <= lost * (1 + 1e-9)


@given(openings, bores, heads, st.one_of(st.just(0.0), feeds))
def test_valve_opening_is_the_inverse(opening, bore, head, feed):
    volume = drops.valve_drop_volume(opening, bore, head, feed)
    assume(1e-12 < volume < 1e-3)
    assert drops.valve_opening(volume, bore, head, feed) == pytest.approx(opening, rel=1e-6)


@given(openings, bores, heads, feeds)
def test_longer_opening_gives_more(opening, bore, head, feed):
    volumes = drops.valve_drop_volume(np.array([opening, opening * 1.1]), bore, head, feed)
    assert volumes[1] > volumes[0] * 1.09  # at least in step with time, because the flow is still growing


# --- tip ------------------------------------------------------------------------------------------------------


def test_tates_law_is_an_upper_bound():
    for row in read("drop_size_tate"):
        assert drops.tip_drop_volume(float(row["r_mm"]) * 1e-3) < float(row["V_Tate_uncorrected_uL"]) * 1e-9


@pytest.mark.parametrize("radius", [0.5e-3, 0.9e-3, 8e-3])
def test_tips_outside_the_correction_are_refused(radius):
    with pytest.raises(ValueError, match=r"wetted tip radius must be from 0\.9\d\d to .* mm for this liquid; got"):
        drops.tip_drop_volume(radius)


@given(st.floats(1.0e-3, 5e-3), st.floats(800, 1200), st.floats(0.04, 0.075))
def test_tip_balance_holds(radius, density, tension):
    try:
        volume = drops.tip_drop_volume(radius, density, tension)
    except ValueError as refusal:
        assert "for this liquid" in str(refusal)
        return
    factor = drops.drop_weight_factor(radius / np.cbrt(volume))
    assert density * G * volume == pytest.approx(2 * math.pi * radius * tension * factor, rel=1e-9)


# --- scale ----------------------------------------------------------------------------------------------------


def test_weighing_a_hundred_drops():
    """100 balls of 4 mm and 998.2 kg/m3 weigh 3.345 g (geometry)."""
    mass = 100 * 998.2 * math.pi / 6 * 0.004**3
    found = drops.weigh_drops(mass, 100)
    assert found.diameter.value == pytest.approx(0.004, rel=1e-12)
    share = math.hypot(2e-5 / mass, 0.002)
    assert found.volume.high / found.volume.value - 1 == pytest.approx(share, rel=1e-9)
    assert found.diameter.high / found.diameter.value - 1 == pytest.approx(share / 3, rel=1e-9)


def test_the_uncertainty_of_weighing_against_chance():
    """The quoted band against a hundred thousand weighings drawn at random."""
    random = np.random.default_rng(3)
    mass, doubt = 3.3e-3, 5e-5
    masses = random.normal(mass, doubt, 100_000)
    densities = WATER * random.normal(1, 0.01, 100_000)
    diameters = np.cbrt(6 / math.pi * masses / (100 * densities))
    found = drops.weigh_drops(mass, 100, WATER, doubt, 0.01)
    assert found.diameter.high - found.diameter.value == pytest.approx(diameters.std(), rel=0.03)


@given(st.integers(10, 500), st.floats(1e-3, 6e-3))
def test_more_drops_weigh_surer(count, diameter):
    def width(n):
        found = drops.weigh_drops(n * drops.sphere_volume(diameter) * WATER, n, mass_uncertainty=1e-6)
        return (found.diameter.high - found.diameter.low) / found.diameter.value

    assert width(2 * count) <= width(count)


# --- bad input ------------------------------------------------------------------------------------------------

VALVE = {"bore": 0.0015, "head": 0.2, "feed_length": 0.05, "gravity": G}
GOOD = [
    (drops.valve_drop_volume, {"opening": 0.05, **VALVE, "discharge_coefficient": 0.6}),
    (drops.valve_drop_estimate, {"opening": 0.05, **VALVE}),
    (drops.valve_opening, {"volume": 3e-8, **VALVE, "discharge_coefficient": 0.6}),
    (drops.drop_weight_factor, {"ratio": 0.5}),
    (drops.tip_drop_volume, {"tip_radius": 0.002, "density": WATER, "surface_tension": TENSION, "gravity": G}),
    (drops.tip_drop_estimate, {"tip_radius": 0.002, "density": WATER, "surface_tension": TENSION, "gravity": G}),
    (
        drops.weigh_drops,
        {"mass": 3e-3, "count": 100, "density": WATER, "mass_uncertainty": 1e-5, "density_uncertainty": 0.01},
    ),
]


@pytest.mark.parametrize(("function", "good"), GOOD, ids=lambda value: getattr(value, "__name__", ""))
def test_refuses(function, good):
    function(**good)
    assert_refuses(function, good)


@pytest.mark.parametrize("change", [{"count": 99.5}, {"mass_uncertainty": 1e-2}])
def test_weighing_refuses(change):
    with pytest.raises(ValueError, match="To fix it"):
        drops.weigh_drops(**{"mass": 3e-3, "count": 100, **change})
