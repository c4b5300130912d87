"""Lights against Fresnel and Snell tables, traced rays, integrated light, and their own invariants.

Checks against tables and libraries are data, in tests/outside.
"""

import math

import numpy as np
import pytest
import raytracing as rt
from hypothesis import given
from hypothesis import strategies as st
from scipy import integrate
from tables import assert_refuses

from splashkit import exposure, lights

indices = st.floats(1.05, 2.5)
angles = st.floats(0, math.pi / 2)
sizes = st.floats(0.01, 2)
distances = st.floats(0.05, 5)


# --- independent traces and sums ------------------------------------------------------------------------------


def refract(direction, normal, ratio):
    """Bend a ray at a surface by the vector form of Snell's law; the normal faces the ray."""
    cosine = -direction @ normal
    under = 1 - ratio**2 * (1 - cosine**2)
    return ratio * direction + (ratio * cosine - math.sqrt(under)) * normal


@given(st.floats(0.01, 0.999), st.floats(1.1, 1.9))
def test_rim_by_tracing_a_ray_backwards(height, index):
    """A ray traced from a far camera through a ball by vectors leaves it at the half-angle the formula gives."""
    place = np.array([math.sqrt(1 - height**2), height])  # camera on the right, looking to the left
    ray = refract(np.array([-1.0, 0.0]), place, 1 / index)
    second = place + ray * (-2 * (place @ ray))
    assert second @ second == pytest.approx(1)
    out = refract(ray, -second, index)
    turned = math.atan2(abs(out[1]), -out[0])
    assert lights.half_angle_for_rim(height, index) == pytest.approx(turned, abs=1e-7)
    if turned <= math.pi / 2:
        assert lights.bright_radius(turned, index) == pytest.approx(height, abs=1e-6)


@pytest.mark.parametrize("index", [1.333, 1.36, 1.5])
def test_ball_lens_by_ray_matrices(index):
    """The raytracing library sends a parallel ray through two curved surfaces."""
    radius = 0.002
    ball = [
        rt.DielectricInterface(n1=1, n2=index, R=radius),
        rt.Space(d=2 * radius, n=index),
        rt.DielectricInterface(n1=index, n2=1, R=-radius),
    ]
    ray = rt.Ray(y=1e-6, theta=0)
    for element in ball:
        ray = element * ray
    found = lights.ball_lens(2 * radius, index)
    assert found.from_surface == pytest.approx(-ray.y / ray.theta, rel=1e-9)
    assert found.from_centre == pytest.approx(found.from_surface + radius)


@pytest.mark.parametrize(("size", "away"), [(0.05, 1.0), (0.6, 0.5), (1.2, 0.3)])
def test_disc_by_adding_up_its_rings(size, away):
    """Illuminance of an evenly bright disc, each ring added with both cosines and the inverse square (scipy)."""

    def ring(r):
        square = r * r + away * away
        return 2 * math.pi * r * (away / math.sqrt(square)) ** 2 / square

    total, _ = integrate.quad(ring, 0, size / 2)
    point = math.pi * (size / 2) ** 2 / away**2
    assert lights.disc_over_point(size, away) == pytest.approx(total / point, rel=1e-9)


# --- numbers read in texts and identities ---------------------------------------------------------------------


def test_fresnel_identities():
    """Trap: at 45 degrees R_p = R_s^2 exactly; at Brewster's angle R_p = 0; at 0 ((n-1)/(n+1))^2 (optics texts)."""
    slanting = lights.reflectance(math.pi / 4)
    assert slanting.p == pytest.approx(slanting.s**2, rel=1e-12)
    square = 1.333**2
    brewster = lights.reflectance(lights.brewster_angle())
    assert brewster.p == pytest.approx(0, abs=1e-15)
    assert brewster.s == pytest.approx(((square - 1) / (square + 1)) ** 2, rel=1e-12)
    assert lights.reflectance(0.0).s == pytest.approx((0.333 / 2.333) ** 2, rel=1e-12)
    assert lights.reflectance(math.pi / 2).unpolarised == pytest.approx(1)
    assert math.degrees(lights.brewster_angle()) == pytest.approx(53.12, abs=0.005)
    assert math.degrees(lights.critical_angle()) == pytest.approx(48.607, abs=5e-4)


@given(angles, indices)
def test_reflection_is_a_share(angle, index):
    found = lights.reflectance(angle, index)
    assert 0 <= found.p <= found.s + 1e-12 <= 1 + 2e-12
    # a ray turned round takes the same path: the same share from inside
    back = lights.reflectance(lights.refraction_angle(angle, index), 1 / index)
    assert back.s == pytest.approx(float(found.s), abs=1e-6)
    assert back.p == pytest.approx(float(found.p), abs=1e-6)


def test_dark_rim_numbers():
    """Bright out to 0.334, 0.595, 0.768, 0.911, 0.974 at 10, 20, 30, 45, 60 degrees; nothing gained past 82.8."""
    found = lights.bright_radius(np.radians([10, 20, 30, 45, 60]))
    assert found == pytest.approx([0.334, 0.595, 0.768, 0.911, 0.974], abs=5e-4)
    assert math.degrees(lights.full_backlight_angle()) == pytest.approx(82.8, abs=0.05)
    assert lights.bright_radius(lights.full_backlight_angle()) == pytest.approx(1)
    assert lights.bright_radius(math.pi / 2) == 1


@given(st.floats(0.01, 1.4), st.floats(1.01, 1.5), indices)
def test_smaller_backlight_thicker_rim(alpha, factor, index):
    """Trap: a smaller backlight draws a thicker dark edge."""
    small, large = lights.bright_radius(alpha / factor, index), lights.bright_radius(alpha, index)
    assert small < large or large == 1
    assert 0 <= small <= large <= 1


def test_softbox_and_strip():
    """A square box darkens all sides alike; an upright strip darkens the sides more than top and bottom."""
    box = lights.rim_zones(0.4, 0.4, 0.5, 0.004)
    assert box.dark_across == box.dark_upright
    strip = lights.rim_zones(0.1, 0.8, 0.5, 0.004)
    assert strip.dark_across > box.dark_across > strip.dark_upright
    assert strip.dark_width_across == pytest.approx(strip.dark_across * 0.002)
    nearer = lights.rim_zones(0.4, 0.4, 0.25, 0.004)
    assert nearer.dark_across < box.dark_across
    # as seen from the drop only size over distance counts
    assert lights.rim_zones(0.8, 0.8, 1.0, 0.004).dark_across == pytest.approx(box.dark_across)


def test_ball_lens_numbers():
    """2.0015 radii from the centre, 1.0015 outside (optiland trace, n 1.333)."""
    found = lights.ball_lens(2.0e-3)
    assert found.from_centre * 1e3 == pytest.approx(2.0015, abs=5e-5)
    assert found.from_surface * 1e3 == pytest.approx(1.0015, abs=5e-5)


def test_source_numbers():
    """0.6 m at 0.5 m with a 20 mm gap: 24 mm; 0.05 m at 1 m: 1 mm. Inverse square is 25 % high at 2 R, 1 % at 5 D."""
    assert lights.penumbra(0.6, 0.5, 0.02).width == pytest.approx(0.024)
    assert lights.penumbra(0.05, 1.0, 0.02).width == pytest.approx(0.001)
    assert 1 / lights.disc_over_point(1.0, 1.0) == pytest.approx(1.25)
    assert 1 / lights.disc_over_point(1.0, 5.0) == pytest.approx(1.01)


@given(sizes, distances)
def test_half_angle_and_distance_are_inverse(size, away):
    assert lights.distance_for_half_angle(size, lights.apparent_half_angle(size, away)) == pytest.approx(away)


@given(sizes, distances, distances)
def test_falloff(size, first, second):
    """No light falls off faster than a point; a point follows the inverse square; far away all do."""
    real = lights.disc_falloff_stops(first, second, size)
    point = exposure.distance_stops(first, second)
    assert lights.disc_falloff_stops(first, second, 0.0) == pytest.approx(float(point), abs=1e-12)
    assert abs(real) <= abs(point) + 1e-12
    there = 2 * math.log2(second / first) + math.log2(
        lights.disc_over_point(size, first) / lights.disc_over_point(size, second)
    )
    assert real == pytest.approx(there, abs=1e-9)


@given(st.floats(0.001, 0.008), sizes, distances)
def test_highlight(drop, size, away):
    """Mirror equation 1/s' = -1/s - 2/R for a convex mirror: image size is S s'/s (optics texts)."""
    image = 1 / (1 / away + 4 / drop)
    assert lights.highlight_size(drop, size, away) == pytest.approx(size * image / away)
    # a far small light: half the radius times its angle
    assert lights.highlight_size(drop, 0.01, 50.0) == pytest.approx(drop / 4 * 0.01 / 50, rel=1e-4)


@given(distances, distances, st.floats(4, 22), st.floats(-3, 1), st.floats(-3, 1))
def test_two_lights_reach_their_levels(back_at, front_at, aperture, back_level, front_level):
    plan = lights.two_light_plan(
        40, back_at, 30, front_at, aperture, 200, 0.5, 1.2, back_level, front_level, 1.0, 2.0, 0.4, 0.6, 0.05
    )
    for power, number, away, level, loss in (
        (plan.back_power, 40, back_at, back_level, 1.0),
        (plan.front_power, 30, front_at, front_level, 2.0),
    ):
        if power <= 1:
            found = exposure.flash_stops(number, away, aperture, power, 200, 0.5, 1.2, loss)
            assert found == pytest.approx(level, abs=1e-9)
    assert plan.ratio == pytest.approx(front_level - back_level)
    assert 2**plan.together == pytest.approx(2**back_level + 2**front_level)
    assert plan.back_falloff == pytest.approx(float(lights.disc_falloff_stops(back_at, back_at + 0.05, 0.4)))
    assert plan.front_falloff > 0


def test_arrays_and_scalars():
    assert isinstance(lights.bright_radius(0.3), float)
    assert isinstance(lights.reflectance(0.3).s, float)
    assert isinstance(lights.two_light_plan(40, 0.5, 40, 0.5, 11).back_power, float)
    assert lights.reflectance([0.1, 1.5], np.array([[1.333], [1 / 1.333]])).p.shape == (2, 2)
    with pytest.raises(ValueError, match="matching shapes"):
        lights.penumbra([1, 2], [1, 2, 3], 0.1)


# --- bad input ------------------------------------------------------------------------------------------------

TWO = {"back_guide_number": 40, "back_distance": 0.5, "front_guide_number": 40, "front_distance": 0.5, "f_number": 11,
       "iso": 100, "magnification": 0.5, "pupil_ratio": 1, "back_level": 0, "front_level": -1, "back_loss": 0,
       "front_loss": 0, "back_size": 0.1, "front_size": 0.1, "depth": 0.1}  # fmt: skip
CALLS = [
    (lights.refraction_angle, {"angle": 0.5, "index": 1.333}),
    (lights.critical_angle, {"index": 1.333}),
    (lights.brewster_angle, {"index": 1.333}),
    (lights.reflectance, {"angle": 0.5, "index": 1.333}),
    (lights.full_backlight_angle, {"index": 1.333}),
    (lights.bright_radius, {"half_angle": 0.5, "index": 1.333}),
    (lights.half_angle_for_rim, {"bright_share": 0.5, "index": 1.333}),
    (lights.rim_zones, {"width": 0.2, "height": 0.6, "distance": 0.5, "drop_diameter": 0.004, "index": 1.333}),
    (lights.ball_lens, {"drop_diameter": 0.004, "index": 1.333}),
    (lights.highlight_size, {"drop_diameter": 0.004, "size": 0.6, "distance": 0.5}),
    (lights.apparent_half_angle, {"size": 0.6, "distance": 0.5}),
    (lights.distance_for_half_angle, {"size": 0.6, "half_angle": 0.5}),
    (lights.penumbra, {"size": 0.6, "distance": 0.5, "gap": 0.02}),
    (lights.disc_over_point, {"size": 0.6, "distance": 0.5}),
    (lights.disc_falloff_stops, {"near": 0.5, "far": 1, "size": 0.6}),
    (lights.two_light_plan, TWO),
]


@pytest.mark.parametrize(("function", "good"), CALLS, ids=lambda thing: getattr(thing, "__name__", ""))
def test_bad_input_gets_one_sentence(function, good):
    function(**good)
    assert_refuses(function, good)


def test_every_public_function_is_tried_with_bad_input():
    assert {name for name in lights.__all__ if name[0].islower()} == {function.__name__ for function, _ in CALLS}


def test_what_cannot_be_is_refused():
    for call in (
        lambda: lights.brewster_angle(1.0),
        lambda: lights.bright_radius(2.0),
        lambda: lights.half_angle_for_rim(1.1),
        lambda: lights.distance_for_half_angle(0.6, 0.0),
        lambda: lights.apparent_half_angle(0.6, 0.0),
        lambda: lights.reflectance(-0.1),
    ):
        with pytest.raises(ValueError, match="To fix it"):
            call()
