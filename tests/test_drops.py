"""Falling drops against Gunn & Kinzer, the fluids library, an adaptive integration, closed forms and own invariants.

Checks against tables and libraries are data, in tests/outside.
"""

import numpy as np
import pytest
import scipy.constants
import sympy
from fluids import drag
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp
from tables import assert_refuses, read

from splashkit import drops

WATER, TENSION, AIR, AIR_VISCOSITY, G = 998.2, 0.07274, 1.204, 1.82e-5, 9.80665

diameters = st.floats(0.5e-3, 8e-3)
heights = st.floats(0.001, 3.0)
starts = st.floats(0.0, 3.0)


def integrated(height, diameter, start=0.0, density=WATER, tension=TENSION, air=AIR, viscosity=AIR_VISCOSITY, g=G):
    """Fall by adaptive integration of the same equation, written anew from the docstring of drops.fall."""

    def change(_, state):
        v = max(state[1], 1e-12)
        c = drops.drag_coefficient(min(air * v * diameter / viscosity, 2e4), min(air * v**2 * diameter / tension, 12.0))
        return [v, g * (1 - air / density) - 0.75 * c * air / density * v**2 / diameter]

    def landed(_, state):
        return state[0] - height

    landed.terminal = True
    path = solve_ivp(change, (0, 40), [0.0, start], events=landed, rtol=1e-9, atol=1e-13)
    return path.t[-1], path.y[1, -1]


# --- published and library values -----------------------------------------------------------------------------


def test_a_rigid_sphere_would_be_far_too_fast():
    """The trap: the standard sphere law misses a 5 mm drop by 29 % (fluids library against Gunn & Kinzer)."""
    row = next(row for row in read("terminal_speed") if row["D_mm"] == "5.0")
    sphere = drag.v_terminal(5e-3, WATER, AIR, AIR_VISCOSITY, Method="Clift")
    assert sphere / float(row["v_GK"]) == pytest.approx(1.294, abs=0.002)
    assert drops.terminal_speed(5e-3) / float(row["v_GK"]) == pytest.approx(1, abs=0.01)


def test_gravity_is_the_same_north_and_south():
    assert drops.normal_gravity(-0.7, 300.0) == drops.normal_gravity(0.7, 300.0)


def test_standard_gravity():
    """3rd CGPM 1901, as in scipy.constants; the defaults use it."""
    assert scipy.constants.g == G
    assert drops.fall(0.4, 0.004) == drops.fall(0.4, 0.004, gravity=scipy.constants.g)


# --- the equation itself --------------------------------------------------------------------------------------


@pytest.mark.parametrize("diameter", [0.5e-3, 1e-3, 2e-3, 4e-3, 6e-3, 8e-3])
@pytest.mark.parametrize("start", [0.0, 0.3, 1.0, 3.0])
def test_the_closed_form_solves_the_equation(diameter, start):
    """Against scipy's adaptive integration, written independently: 0.1 % up to 3 m, 0.15 % above."""
    for height, within in ((0.001, 1e-3), (0.05, 1e-3), (0.4, 1e-3), (1.0, 1e-3), (3.0, 1e-3), (10.0, 1.5e-3)):
        time, speed = drops.fall(height, diameter, start)
        exact_time, exact_speed = integrated(height, diameter, start)
        assert time == pytest.approx(exact_time, rel=within)
        assert speed == pytest.approx(exact_speed, rel=within)


@pytest.mark.parametrize(
    ("density", "tension", "air", "viscosity", "g"),
    [
        (1031.0, 0.0524, 1.2, 1.82e-5, 9.81),  # milk
        (1154.0, 0.067, 1.2, 1.82e-5, 9.81),  # glycerol and water
        (935.0, 0.0307, 1.2, 1.82e-5, 9.81),  # spirit
        (998.2, 0.0727, 0.95, 1.75e-5, 9.78),  # a cool room high in the mountains
    ],
)
def test_other_liquids_and_air(density, tension, air, viscosity, g):
    for height in (0.1, 0.4, 1.5):
        for diameter in (2e-3, 4e-3, 6e-3):
            time, speed = drops.fall(
                height, diameter, liquid_density=density, surface_tension=tension, air_density=air,
                air_viscosity=viscosity, gravity=g,
            )  # fmt: skip
            exact = integrated(height, diameter, 0.0, density, tension, air, viscosity, g)
            assert (time, speed) == pytest.approx(exact, rel=1e-3)


def test_terminal_speed_solves_the_balance():
    for diameter in np.linspace(0.5e-3, 8e-3, 16):
        v = drops.terminal_speed(diameter)
        c = drops.drag_coefficient(AIR * v * diameter / AIR_VISCOSITY, AIR * v**2 * diameter / TENSION)
        assert 0.75 * c * AIR / WATER * v**2 / diameter == pytest.approx(G * (1 - AIR / WATER), rel=1e-10)


def test_a_long_fall_ends_at_terminal_speed():
    diameter = np.array([0.5e-3, 1e-3, 2e-3, 3e-3])
    assert drops.fall(30.0, diameter).speed == pytest.approx(drops.terminal_speed(diameter), rel=5e-3)
    assert drops.fall(30.0, 0.5e-3).speed == pytest.approx(drops.terminal_speed(0.5e-3), rel=1e-5)


def test_faster_than_terminal_slows_down():
    assert drops.terminal_speed(0.5e-3) < drops.fall(0.3, 0.5e-3, 3.0).speed < 3.0


def test_far_faster_than_terminal_in_thick_air_is_still_a_number():
    """A release at ten times terminal speed once guessed a climbing drop: not a number. Against scipy, to 1 %."""
    air = (1123.0, 0.092, 0.09, 7.4e-5, 1.87)
    names = ("liquid_density", "surface_tension", "air_density", "air_viscosity", "gravity")
    found = drops.fall(4.6, 5.4e-4, 2.8, **dict(zip(names, air, strict=True)))
    assert tuple(found) == pytest.approx(integrated(4.6, 5.4e-4, 2.8, *air), rel=0.01)


def test_without_air_sympy_agrees():
    """SymPy's own solution of h = v0 t + g t²/2, and its speed."""
    h, v0, g, t = sympy.symbols("h v_0 g t", positive=True)
    roots = sympy.solve(sympy.Eq(h, v0 * t + g * t**2 / 2), t)
    time = next(root for root in roots if root.subs({h: 1, v0: 1, g: 10}) > 0)
    exact = sympy.lambdify((h, v0, g), [time, v0 + g * time])
    for height in (0.01, 0.4, 3.0):
        for start in (0.0, 0.5, 3.0):
            wanted = exact(height, start, G)
            assert drops.fall_in_vacuum(height, start) == pytest.approx(wanted, rel=1e-12)
            # the real fall tends to it as the air goes; a tenth of a gram a cubic metre still takes 2e-5 over 3 m
            almost = drops.fall(height, 0.004, start, air_density=1e-4, air_viscosity=1e-8)
            assert almost == pytest.approx(wanted, rel=3e-5)


def test_constant_drag_sympy_agrees():
    """SymPy checks that the closed form fulfils dv/dt = g' - g' v²/vt² and h(0) = 0."""
    t, terminal, pull = sympy.symbols("t v_t g", positive=True)
    height = terminal**2 / pull * sympy.log(sympy.cosh(pull * t / terminal))
    speed = sympy.diff(height, t)
    left_over = sympy.diff(speed, t) - pull * (1 - speed**2 / terminal**2)
    assert sympy.simplify(left_over.rewrite(sympy.exp)) == 0
    assert height.subs(t, 0) == 0
    value = sympy.lambdify((t, terminal, pull), [height, speed])
    g = G * (1 - AIR / WATER)
    limit = np.sqrt(4 * g * WATER * 0.004 / (3 * AIR * 0.45))
    for moment in (0.01, 0.3, 1.0):
        distance, wanted = value(moment, limit, g)
        assert drops.fall_constant_drag(distance, 0.004, 0.45) == pytest.approx((moment, wanted), rel=1e-9)


# --- invariants -----------------------------------------------------------------------------------------------


@given(heights, diameters, starts, st.floats(1.001, 1.5))
def test_higher_takes_longer_and_air_holds_back(height, diameter, start, factor):
    time, speed = drops.fall(height, diameter, start)
    vacuum = drops.fall_in_vacuum(height, start)
    assert time >= vacuum.time and speed <= vacuum.speed
    assert drops.fall(height * factor, diameter, start).time > time
    assert speed <= max(start, drops.terminal_speed(diameter)) * 1.001


@given(st.floats(0.0, 0.9), diameters, starts)
def test_position_is_the_inverse_of_fall(time, diameter, start):
    distance, speed = drops.position(time, diameter, start)
    back = drops.fall(distance, diameter, start)
    assert back.time == pytest.approx(time, rel=1e-6, abs=1e-6)
    assert back.speed == pytest.approx(speed, rel=1e-9)


@given(heights, diameters)
def test_scalars_and_arrays_agree(height, diameter):
    one = drops.fall(height, diameter)
    many = drops.fall(np.full((2, 3), height), diameter)
    assert isinstance(one.time, float) and many.time.shape == (2, 3)
    assert np.all(many.time == one.time) and np.all(many.speed == one.speed)


def test_long_arrays_are_worked_in_pieces_without_a_seam():
    height = np.linspace(0.05, 3.5, 20001)[:, None]
    diameter = np.array([2e-3, 5e-3])
    together = drops.fall(height, diameter)
    assert together.time.shape == (20001, 2)
    for row in (0, 4095, 8191, 8192, 20000):
        apart = drops.fall(height[row, 0], diameter)
        assert np.allclose(together.time[row], apart.time, rtol=1e-12)
    assert np.all(np.diff(together.time, axis=0) > 0)


def test_a_height_of_nothing():
    assert drops.fall(0.0, 0.004, 1.2) == (0.0, 1.2)
    assert drops.fall_in_vacuum(0.0) == (0.0, 0.0)
    assert drops.position(0.0, 0.004) == (0.0, 0.0)


def test_contact_convention():
    """Centre half a diameter below the tip at release, half a diameter above the surface at contact."""
    assert drops.fall_height(0.4, 0.005) == pytest.approx(0.395)
    with pytest.raises(ValueError, match="nozzle height must be above one drop diameter"):
        drops.fall_height(0.004, 0.005)


def test_what_air_costs():
    """A 4 mm drop from 1 m comes 9.4 ms late, a 2 mm drop from 1.5 m 41 ms, 4 mm from 0.1 m 0.5 ms (fluids, Clift)."""
    for height, diameter, late in ((1.0, 4e-3, 9.4e-3), (1.5, 2e-3, 41e-3), (0.1, 4e-3, 0.5e-3)):
        delay = drops.fall(height, diameter).time - drops.fall_in_vacuum(height).time
        assert delay == pytest.approx(late, rel=0.05)


@pytest.mark.parametrize("law", ["Clift", "Clift_Gauvin", "Barati", "Cheng", "Morrison"])
@pytest.mark.parametrize("diameter", [0.5e-3, 0.7e-3, 1e-3, 1.5e-3])
def test_the_band_of_a_small_drop_holds_the_laws_of_spheres(diameter, law):
    """Drag laws of the fluids library, integrated by scipy: small drops stay round, so the laws hold as they are."""

    def rate(_, state):
        v = max(state[1], 1e-3)
        c = drag.drag_sphere(AIR * v * diameter / AIR_VISCOSITY, Method=law)
        return [v, G * (1 - AIR / WATER) - 0.75 * c * AIR / WATER * v * v / diameter]

    heights = (0.02, 0.2, 0.5, 1.5)
    landed = [lambda _, state, h=h: state[0] - h for h in heights]
    landed[-1].terminal = True
    path = solve_ivp(rate, (0, 5), [0.0, 0.0], events=landed, rtol=1e-7, atol=1e-10)
    for height, time, state in zip(heights, path.t_events, path.y_events, strict=True):
        guess = drops.fall_estimate(height + diameter, diameter, wobble=0.0)
        late, fast = guess.time.high / guess.time.value - 1, guess.speed.high / guess.speed.value - 1
        assert time[0] == pytest.approx(guess.time.value, rel=late), f"{law}, {height} m"
        assert state[0][1] == pytest.approx(guess.speed.value, rel=fast), f"{law}, {height} m"


def test_the_estimate_warns_beyond_the_measurements():
    small, large = drops.fall_estimate(0.4, 0.005), drops.fall_estimate(0.4, 0.007)
    assert small.warnings == () and any("5.8 mm" in sentence for sentence in large.warnings)
    width = [(guess.speed.high - guess.speed.low) / guess.speed.value for guess in (small, large)]
    assert width[1] > 1.5 * width[0]
    assert any("break up" in words for words in drops.fall_estimate(3.0, 0.0058, surface_tension=0.023).warnings)
    for guess in (small, large):
        assert guess.time.low < guess.time.value < guess.time.high


@given(st.floats(0.02, 2.0), diameters, starts, st.floats(0.0, 0.3))
def test_the_estimate_holds_its_own_value(height, diameter, start, wobble):
    guess = drops.fall_estimate(height, diameter, start, wobble)
    assert guess.time.contains(guess.time.value) and guess.speed.contains(guess.speed.value)
    assert guess.time.low >= 0


@given(st.floats(0.1, 10), st.floats(1e-3, 8e-3), st.floats(500, 1500), st.floats(0.02, 0.08), st.floats(5e-4, 1))
def test_numbers_fit_together(speed, diameter, density, tension, viscosity):
    we = drops.weber(speed, diameter, density, tension)
    re = drops.reynolds(speed, diameter, density, viscosity)
    assert drops.ohnesorge(diameter, density, viscosity, tension) == pytest.approx(np.sqrt(we) / re, rel=1e-12)
    product = drops.froude(speed, diameter) * drops.bond(diameter, density, tension)
    assert product == pytest.approx(we, rel=1e-12)


@given(st.floats(1e-4, 0.1))
def test_spheres_there_and_back(diameter):
    assert drops.sphere_diameter(drops.sphere_volume(diameter)) == pytest.approx(diameter, rel=1e-12)


# --- bad input ------------------------------------------------------------------------------------------------

AROUND = {
    "liquid_density": WATER,
    "surface_tension": TENSION,
    "air_density": AIR,
    "air_viscosity": 1.8e-5,
    "gravity": G,
}
GOOD = [
    (drops.fall, {"height": 0.4, "diameter": 0.004, "release_speed": 0.0, **AROUND}),
    (drops.position, {"time": 0.2, "diameter": 0.004, "release_speed": 0.0, **AROUND}),
    (drops.fall_estimate, {"nozzle_height": 0.4, "diameter": 0.004, "release_speed": 0.0, "wobble": 0.05, **AROUND}),
    (drops.terminal_speed, {"diameter": 0.004, **AROUND}),
    (drops.fall_height, {"nozzle_height": 0.4, "diameter": 0.004}),
    (drops.drag_coefficient, {"reynolds": 500.0, "weber_air": 1.0}),
    (drops.fall_in_vacuum, {"height": 0.4, "release_speed": 0.0, "gravity": G}),
    (
        drops.fall_constant_drag,
        {
            "height": 0.4,
            "diameter": 0.004,
            "drag_coefficient": 0.5,
            "liquid_density": WATER,
            "air_density": AIR,
            "gravity": G,
        },
    ),
    (drops.weber, {"speed": 2.0, "diameter": 0.004, "density": WATER, "surface_tension": TENSION}),
    (drops.reynolds, {"speed": 2.0, "diameter": 0.004, "density": WATER, "viscosity": 1e-3}),
    (drops.froude, {"speed": 2.0, "diameter": 0.004, "gravity": G}),
    (drops.ohnesorge, {"diameter": 0.004, "density": WATER, "viscosity": 1e-3, "surface_tension": TENSION}),
    (drops.bond, {"diameter": 0.004, "density": WATER, "surface_tension": TENSION, "gravity": G}),
    (drops.sphere_volume, {"diameter": 0.004}),
    (drops.sphere_diameter, {"volume": 3e-8}),
    (drops.normal_gravity, {"latitude": 0.8, "altitude": 100.0}),
]


@pytest.mark.parametrize(("function", "good"), GOOD, ids=lambda value: getattr(value, "__name__", ""))
def test_refuses(function, good):
    function(**good)
    assert_refuses(function, good)


def test_arrays_that_do_not_fit():
    with pytest.raises(ValueError, match="matching shapes"):
        drops.fall(np.ones(3), np.full(2, 0.004))
