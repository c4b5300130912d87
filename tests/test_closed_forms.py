"""The closed forms derived again by SymPy from the equation each one solves."""

import math

import numpy as np
import pytest
import sympy as sp

from splashkit import drops, exposure, flash, lens, lights, sync

t, x, tau, T = sp.symbols("t x tau T", positive=True)


def running_sum(light, end=sp.oo):
    """The share of the light that is out by time x, integrated symbolically."""
    return sp.integrate(light, (t, 0, x)) / sp.integrate(light, (t, 0, end))


@pytest.mark.parametrize(
    ("curve", "light", "numbers"),
    [
        (flash.exponential(1e-3), sp.exp(-t / tau), {tau: 1e-3}),
        (flash.rectangular(1e-3), sp.Integer(1), None),
        (flash.sawtooth(1e-3), t / T, None),
        (flash.lamp_law(2e-3), (1 + t / tau) ** -3, {tau: 2e-3}),
        (flash.critically_damped(1e-4), t**2 / tau**2 * sp.exp(-2 * t / tau), {tau: 1e-4}),
        (flash.double_exponential(2e-5, 1e-3), (1 - sp.exp(-t / 2e-5)) * sp.exp(-t / tau), {tau: 1e-3}),
    ],
    ids=["exponential", "rectangular", "sawtooth", "lamp law", "critically damped", "double exponential"],
)
def test_running_sum_of_a_flash(curve, light, numbers):
    if numbers is None:
        numbers, total = {T: 1e-3}, running_sum(light, T)
    else:
        total = running_sum(light)
    share = sp.lambdify(x, total.subs(numbers))
    for when in np.linspace(0.02, 0.98, 12) * min(curve.end, 3 * curve.t01):
        assert float(curve.cumulative(when)) == pytest.approx(float(share(when)), abs=2e-6)


@pytest.mark.parametrize("level", [sp.Rational(1, 2), sp.Rational(1, 10)])
def test_times_above_a_level(level):
    lamp = sp.solve(sp.Eq((1 + t / tau) ** -3, level), t)
    assert len(lamp) == 1
    wanted = float(lamp[0].subs(tau, 2e-3))
    got = flash.lamp_law(2e-3).t05 if level == sp.Rational(1, 2) else flash.lamp_law(2e-3).t01
    assert got == pytest.approx(wanted, rel=1e-9)


def test_cut_for_a_power_without_a_rise():
    power = sp.symbols("p", positive=True)
    cut = sp.solve(sp.Eq(1 - sp.exp(-t / tau), power), t)[0]
    for share in (0.9, 0.25, 1 / 64):
        wanted = float(cut.subs({power: share, tau: 1e-3}))
        assert flash.quench_cut(share, rise=1e-14, decay=1e-3) == pytest.approx(wanted, rel=1e-6)


def test_start_up_of_a_valve_solves_its_equation():
    """u = U tanh(U t / 2L) solves L du/dt = g h - u²/2 with U² = 2 g h; its integral is the distance run."""
    U, L = sp.symbols("U L", positive=True)
    u = U * sp.tanh(U * t / (2 * L))
    assert sp.simplify(L * sp.diff(u, t) - (U**2 - u**2) / 2) == 0
    run = 2 * L * sp.log(sp.cosh(U * t / (2 * L)))
    assert sp.simplify(sp.diff(run, t) - u) == 0
    speed, feed, opening, bore = math.sqrt(2 * 9.80665 * 0.3), 0.05, 0.03, 1.5e-3
    distance = float(run.subs({U: speed, L: feed, t: opening}))
    volume = drops.valve_drop_volume(opening, bore, 0.3, feed, discharge_coefficient=0.61)
    assert volume == pytest.approx(0.61 * math.pi / 4 * bore**2 * distance, rel=1e-12)


def test_distances_follow_from_newtons_equation():
    f, m = sp.symbols("f m", positive=True)
    s = sp.symbols("s", positive=True)  # subject to lens; image at m s
    subject = sp.solve(sp.Eq(1 / s + 1 / (m * s), 1 / f), s)[0]
    numbers = {f: 0.1, m: 0.6}
    assert lens.subject_distance(0.1, 0.6) == pytest.approx(float(subject.subs(numbers)), rel=1e-12)
    assert lens.image_distance(0.1, 0.6) == pytest.approx(float((m * subject).subs(numbers)), rel=1e-12)
    least = sp.solve(sp.diff(subject + m * subject, m), m)
    assert [float(root.subs(f, 1)) for root in least if root.is_positive] == [1.0]
    assert lens.subject_to_sensor(0.1, 1.0) == pytest.approx(0.4, rel=1e-12)


def test_best_aperture_is_where_the_sum_of_squares_is_least():
    N, Z, m, wave = sp.symbols("N Z m lambda", positive=True)
    together = (sp.Rational(244, 100) * wave * N) ** 2 + (Z * m**2 / (2 * N)) ** 2
    best = next(root for root in sp.solve(sp.diff(together, N), N) if root.is_positive)
    numbers = {Z: 5e-3, m: 0.5, wave: 550e-9}
    assert lens.best_aperture(5e-3, 0.5).effective == pytest.approx(float(best.subs(numbers)), rel=1e-4)


def test_depth_of_field_by_similar_triangles():
    """Cones through the entrance pupil: blur c = D m x / (s ± x), with D the pupil and s the distance to it."""
    D, s, m, c = sp.symbols("D s m c", positive=True)
    far = sp.solve(sp.Eq(D * m * x / (s + x), c), x)[0]
    near = sp.solve(sp.Eq(D * m * x / (s - x), c), x)[0]
    f, scale, stop, pupil, circle = 0.1, 0.6, 11.0, 1.2, 3e-5
    numbers = {D: f / stop, s: lens.entrance_pupil_distance(f, scale, pupil), m: scale, c: circle}
    depth = lens.depth_of_field(f, stop, scale, pupil, circle)
    assert depth.far == pytest.approx(float(far.subs(numbers)), rel=1e-9)
    assert depth.near == pytest.approx(float(near.subs(numbers)), rel=1e-9)


def test_length_of_a_drop_under_a_slit():
    """A point at height y is seen when the slit, at w t, meets the moving point, at y ∓ u t."""
    y, u, w = sp.symbols("y u w", positive=True)
    against = sp.solve(sp.Eq(w * t, y - u * t), t)[0]
    along = sp.solve(sp.Eq(w * t, y + u * t), t)[0]
    numbers = {u: 1.5, w: 8.0}
    assert sync.squash(1.5, 8.0) == pytest.approx(float((w * sp.diff(against, y)).subs(numbers)), rel=1e-12)
    assert sync.stretch(1.5, 8.0) == pytest.approx(float((w * sp.diff(along, y)).subs(numbers)), rel=1e-12)


def test_light_of_a_disc_by_integration():
    """A Lambertian disc of radius R, integrated ring by ring, over the same light at its middle."""
    R, d, r = sp.symbols("R d r", positive=True)
    disc = sp.integrate(2 * sp.pi * r * d**2 / (r**2 + d**2) ** 2, (r, 0, R))
    share = sp.simplify(disc / (sp.pi * R**2 / d**2))
    assert lights.disc_over_point(0.2, 0.5) == pytest.approx(float(share.subs({R: 0.1, d: 0.5})), rel=1e-12)


def test_brewster_and_critical_angle():
    a, n = sp.symbols("a n", positive=True)
    p = (n**2 * sp.cos(a) - sp.sqrt(n**2 - sp.sin(a) ** 2)).subs(n, sp.Rational(1333, 1000))
    assert lights.brewster_angle() == pytest.approx(float(sp.nsolve(p, a, 0.9)), rel=1e-12)
    assert lights.critical_angle() == pytest.approx(float(sp.asin(1 / sp.Rational(1333, 1000))), rel=1e-12)


def test_exposure_value_of_a_light():
    """N²/t = E S / C (ISO 2720): the light solved for, and the stops between."""
    E, S, C, ev = sp.symbols("E S C EV", positive=True)
    light = sp.solve(sp.Eq(2**ev, E * S / C), E)[0]
    numbers = {ev: 8, S: 100, C: 250}
    assert exposure.illuminance_from_ev100(8) == pytest.approx(float(light.subs(numbers)), rel=1e-12)
    assert exposure.ev100_from_illuminance(float(light.subs(numbers))) == pytest.approx(8, abs=1e-12)


def test_surface_of_a_drop_and_its_numbers():
    """Weight of a ball is its volume times density; the Ohnesorge number is the root of Weber over Reynolds."""
    assert drops.sphere_volume(4e-3) == pytest.approx(
        float(sp.integrate(sp.pi * (0.002**2 - t**2), (t, -sp.Float(0.002), sp.Float(0.002)))), rel=1e-9
    )
    v, d, rho, mu, sigma = 2.2, 4e-3, 998.0, 1e-3, 0.0727
    ratio = math.sqrt(drops.weber(v, d, rho, sigma)) / drops.reynolds(v, d, rho, mu)
    assert drops.ohnesorge(d, rho, mu, sigma) == pytest.approx(ratio, rel=1e-12)
