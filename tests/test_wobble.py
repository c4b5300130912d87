"""Wobble against Rayleigh and Lamb's formulas worked out elsewhere, symbolic surface shapes and own invariants.

Checks against tables and libraries are data, in tests/outside.
"""

import math

import numpy as np
import pytest
import sympy
from hypothesis import example, given
from hypothesis import strategies as st
from tables import assert_refuses

from splashkit import drops

WATER, TENSION, VISCOSITY = 998.2, 0.07274, 1.0016e-3

diameters = st.floats(1e-3, 8e-3)
times = st.floats(0, 1)


@given(diameters, st.integers(2, 12), st.floats(500, 1500), st.floats(0.02, 0.08))
def test_rayleigh_exactly(diameter, mode, density, tension):
    """omega² = n (n - 1)(n + 2) sigma / (rho R³), Rayleigh 1879: to 1e-6 and better."""
    omega = math.sqrt(mode * (mode - 1) * (mode + 2) * tension / (density * (diameter / 2) ** 3))
    assert drops.wobble_frequency(diameter, density, tension, mode) == pytest.approx(omega / (2 * math.pi), rel=1e-12)


def test_a_drop_still_wobbles_on_impact():
    """A 4 mm drop from 1 m: about 20 swings, 56 % of the amplitude left (Lamb's formulas)."""
    landing = drops.wobble_at(drops.fall(1.0, 0.004).time, 0.004)
    assert landing.cycles == pytest.approx(19.8, abs=0.1)
    assert landing.share == pytest.approx(0.56, abs=0.005)


def test_aspect_ratio_is_that_of_the_shape():
    """SymPy's second Legendre polynomial at pole and equator."""
    landing = drops.wobble_at(0.0, 0.004, amplitude=0.1)
    pole, equator = (1 + 0.1 * sympy.legendre(2, x) for x in (1, 0))
    assert landing.aspect_ratio == pytest.approx(float(pole / equator), rel=1e-12)
    assert landing.reach == pytest.approx(0.1 * 0.002)
    half = drops.wobble_at(0.5 / drops.wobble_frequency(0.004), 0.004, amplitude=0.1)
    assert half.aspect_ratio < 1 and half.phase == pytest.approx(math.pi)


@example(0.0, 0.004, 0.1, -1e-39)
@given(times, diameters, st.floats(0, 0.3), st.floats(-6, 6))
def test_wobble_stays_inside_its_amplitude(time, diameter, amplitude, phase):
    shape = drops.wobble_at(time, diameter, amplitude, phase)
    assert 0 < shape.share <= 1 and 0 <= shape.phase < 2 * math.pi
    assert (1 - amplitude) / (1 + amplitude / 2) - 1e-12 <= shape.aspect_ratio
    assert shape.aspect_ratio <= (1 + amplitude) / (1 - amplitude / 2) + 1e-12
    assert abs(shape.reach) <= amplitude * diameter / 2 * (1 + 1e-12)


@given(diameters, st.floats(1.01, 3))
def test_larger_drops_wobble_slower_and_longer(diameter, factor):
    assert drops.wobble_frequency(diameter * factor) == pytest.approx(
        drops.wobble_frequency(diameter) * factor**-1.5, rel=1e-9
    )
    assert drops.wobble_damping_time(diameter * factor) == pytest.approx(
        drops.wobble_damping_time(diameter) * factor**2, rel=1e-9
    )


def test_syrup_does_not_wobble():
    """Chandrasekhar 1959 (from memory): below omega R²/nu of 3.69 the drop creeps back without swinging."""
    radius = 0.002
    limit = math.sqrt(8 * TENSION * WATER * radius) / 3.69
    drops.wobble_damping_time(0.004, viscosity=limit * 0.999)
    with pytest.raises(ValueError, match="viscosity must be low enough for the drop to swing"):
        drops.wobble_damping_time(0.004, viscosity=limit * 1.001)


def test_air_flattening():
    assert drops.air_flattening(0.005, drops.terminal_speed(0.005)) == pytest.approx(drops.air_flattening(0.005))
    assert drops.air_flattening(0.005, 0.0) == 1.0
    with pytest.raises(ValueError, match="speed must be at most the terminal speed"):
        drops.air_flattening(0.005, 12.0)


def test_a_table_top_drop_is_nearly_round():
    """Less than 3 % flattening of 4 mm drops from 0.5 m (derived here from the curve above)."""
    assert 0.97 < drops.air_flattening(0.004, drops.fall(0.5, 0.004).speed) < 1


def test_arrays():
    shape = drops.wobble_at(np.linspace(0, 0.4, 5)[:, None], np.array([3e-3, 4e-3]), 0.1)
    assert shape.aspect_ratio.shape == (5, 2)
    assert isinstance(drops.wobble_frequency(0.004), float)


LIQUID = {"density": WATER, "surface_tension": TENSION}
GOOD = [
    (drops.wobble_frequency, {"diameter": 0.004, **LIQUID, "mode": 2, "air_density": 1.2}),
    (drops.wobble_damping_time, {"diameter": 0.004, **LIQUID, "viscosity": VISCOSITY, "mode": 2}),
    (
        drops.wobble_at,
        {"time": 0.3, "diameter": 0.004, "amplitude": 0.1, "phase": 0.0, **LIQUID, "viscosity": VISCOSITY},
    ),
    (drops.air_flattening, {"diameter": 0.004}),
]


@pytest.mark.parametrize(("function", "good"), GOOD, ids=lambda value: getattr(value, "__name__", ""))
def test_refuses(function, good):
    function(**good)
    assert_refuses(function, good)


def test_modes_are_whole():
    with pytest.raises(ValueError, match=r"wobble mode must be a whole number from 2 to 12; got 2\.5"):
        drops.wobble_frequency(0.004, mode=2.5)
