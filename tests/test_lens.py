"""Lens against traced lenses, closed-form tables, an independent ray tracer, and its own invariants.

Checks against tables and libraries are data, in tests/outside.
"""

import math

import numpy as np
import pytest
import raytracing as rt
from hypothesis import example, given
from hypothesis import strategies as st
from tables import assert_refuses, assert_same, read

from splashkit import exposure, lens

apertures = st.floats(1.4, 32)
scales = st.floats(0.1, 5)
pupils = st.floats(0.4, 2.5)
focals = st.floats(0.02, 0.3)
circles = st.floats(2e-6, 40e-6)


# --- published tables -----------------------------------------------------------------------------------------


def test_traced_lenses():
    """Two thin lenses round a stop, traced with optiland 0.6.3: near, far, total depth and working f-number."""
    for row in read("paraxial_checks"):
        focal, ratio, scale, aperture = (float(row[name]) for name in ("f_formula", "P", "m_set", "N"))
        depth = lens.depth_of_field(focal * 1e-3, aperture, scale, ratio, 0.030e-3)
        assert_same(lens.effective_aperture(aperture, scale, ratio), row["N_eff_traced"])
        assert_same(depth.near * 1e3, row["dof_near_traced"])
        assert_same(depth.far * 1e3, row["dof_far_traced"])
        assert_same(depth.total * 1e3, row["dof_traced"])
        # trap: the common form without the pupil ratio is 21 % low and 13 % high for the last two lenses at m 1
        plain = 2 * aperture * 0.030 * (1 + scale) / scale**2
        assert_same(plain, row["dof_P1"])
        if scale == 1 and ratio != 1:
            assert plain / (depth.total * 1e3) - 1 == pytest.approx(-0.21 if ratio < 1 else 0.13, abs=0.005)


def test_airy_numbers():
    """550 nm, f/11: 14.76, 22.14 and 29.52 µm at m 0, 0.5 and 1 (textbook 2.44 lambda N)."""
    assert lens.airy_diameter(11, [0, 0.5, 1]) * 1e6 == pytest.approx([14.76, 22.14, 29.52], abs=0.005)
    # 2.44 is twice the first zero of the Bessel function J1 over pi (mathematical constant 3.831706)
    assert lens.airy_diameter(1.0, wavelength=550e-9) / 550e-9 == pytest.approx(2 * 3.8317059702 / math.pi, rel=5e-4)


def test_motion_numbers():
    """0.5 m fall without drag, 3.132 m/s: at 1/20 000 s 157 µm, 19.6 pixels of 4 µm at m 0.5, 3.1 % of 5 mm."""
    speed = math.sqrt(2 * 9.81 * 0.5)
    blur = lens.blur_in_units(lens.motion_blur(speed, 1 / 20000, 0.5), 0.5, 4e-6, 0.005)
    assert blur.subject * 1e6 == pytest.approx(157, abs=0.5)
    assert blur.pixels == pytest.approx(19.6, abs=0.05)
    assert blur.share == pytest.approx(0.031, abs=5e-4)
    assert lens.motion_blur(speed, 1 / 1000) / 0.005 == pytest.approx(0.63, abs=0.005)


# --- an independent ray tracer --------------------------------------------------------------------------------
# The raytracing library (ray matrices, on PyPI) traces rays through thick glass lenses round a stop.
# Focal length, pupils, magnification, depth and working f-number below are read off its rays, by no formula of ours.

GLASS = 1.5168


def singlet(focal, thickness=0.006):
    """A symmetric thick glass lens of about this focal length."""
    radius = 2 * focal * (GLASS - 1)
    return rt.ThickLens(n=GLASS, R1=radius, R2=-radius, thickness=thickness)


LENSES = {
    "symmetric": (0.120, 0.020, 0.020, 0.120),
    "telephoto-like": (0.100, 0.020, 0.020, -0.150),
    "retrofocus-like": (-0.200, 0.020, 0.020, 0.060),
}


class Traced:
    """A lens whose every property is found by sending rays through it."""

    def __init__(self, front, before, behind, rear):
        self.front = [singlet(front), rt.Space(d=before)]
        self.rear = [rt.Space(d=behind), singlet(rear)]

    @staticmethod
    def send(elements, y, theta):
        ray = rt.Ray(y=y, theta=theta)
        for element in elements:
            ray = element * ray
        return ray.y, ray.theta

    def whole(self, y, theta):
        return self.send([*self.front, *self.rear], y, theta)

    def measure(self, stop_radius, scale, circle):
        """Return focal length, f-number, pupil ratio, working f-number and depth, all from rays."""
        # a far axial point: the ray that just passes the stop, its height at the front and its slope behind
        height = stop_radius / self.send(self.front, 1.0, 0.0)[0]
        focal = -height / self.whole(height, 0.0)[1]
        # pupils: where rays through the middle of the stop seem to cross the axis, and how large its edge looks there
        back_y, back_slope = self.send(self.rear, 0.0, 1e-3)
        exit_at = -back_y / back_slope  # behind the last surface
        edge_y, edge_slope = self.send(self.rear, stop_radius, 0.0)
        exit_radius = abs(edge_y + exit_at * edge_slope)
        # a far point's ray that just passes the stop enters the front lens at the entrance pupil's height
        entrance_radius = abs(height)

        # the subject distance that gives the magnification: bisection on the traced image
        def image(distance):
            y, slope = self.whole(1e-3 * distance, 1e-3)
            off_y, off_slope = self.whole(1e-3, 0.0)
            place = -y / slope
            return place, abs(off_y + place * off_slope) / 1e-3

        # from the front focal point, where rays leave parallel, the image only gets smaller as the subject recedes
        at_lens, one_off = self.whole(0.0, 1e-3)[1], self.whole(1e-3, 1e-3)[1]
        focus = at_lens / (at_lens - one_off)
        near, far = focal * 0.01, focal * 500
        for _ in range(200):
            beyond = math.sqrt(near * far)
            distance = focus + beyond
            near, far = (beyond, far) if image(distance)[1] > scale else (near, beyond)
        sensor, traced_scale = image(distance)
        assert traced_scale == pytest.approx(scale, rel=1e-9)

        def edge_ray(subject):
            """Trace the ray from the axis that grazes the stop; return its height and slope behind the lens."""
            slope = 1e-3
            slope *= stop_radius / self.send(self.front, subject * slope, slope)[0]
            return self.whole(subject * slope, slope)

        working = 1 / (2 * abs(edge_ray(distance)[1]))

        def disc(subject):
            y, slope = edge_ray(subject)
            return 2 * abs(y + sensor * slope)

        def limit(inside, outside):
            for _ in range(200):
                middle = (inside + outside) / 2
                inside, outside = (middle, outside) if disc(middle) <= circle else (inside, middle)
            return inside

        near_depth = distance - limit(distance, distance * 0.5)
        far_depth = limit(distance, distance * 3) - distance
        ratio = exit_radius / entrance_radius
        return focal, focal / (2 * entrance_radius), ratio, working, near_depth, far_depth


@pytest.mark.parametrize("name", LENSES)
@pytest.mark.parametrize("scale", [0.25, 0.5, 1.0, 2.0])
@pytest.mark.parametrize("stop", [0.003, 0.008])
def test_ray_tracer_agrees(name, scale, stop):
    """Working f-number and depth of field to 4 digits and better."""
    circle = 30e-6
    focal, aperture, ratio, working, near, far = Traced(*LENSES[name]).measure(stop / 2, scale, circle)
    assert (ratio < 0.9) == (name == "telephoto-like") and (ratio > 1.1) == (name == "retrofocus-like")
    depth = lens.depth_of_field(focal, aperture, scale, ratio, circle)
    assert lens.effective_aperture(aperture, scale, ratio) == pytest.approx(working, rel=5e-5)
    assert depth.near == pytest.approx(near, rel=5e-5)
    assert depth.far == pytest.approx(far, rel=5e-5)
    # leaving the pupil ratio out is visibly wrong for the two others
    if name != "symmetric" and scale >= 1:
        assert abs(lens.effective_aperture(aperture, scale) / working - 1) > 0.05


# --- invariants -----------------------------------------------------------------------------------------------


@given(focals, apertures, scales, pupils, circles)
@example(focal=0.25, aperture=1.5, scale=5.0, ratio=2.0, circle=2e-6)  # 0.84 µm was refused by aperture_for_depth
def test_depth_is_where_the_disc_reaches_the_circle(focal, aperture, scale, ratio, circle):
    depth = lens.depth_of_field(focal, aperture, scale, ratio, circle)
    args = (focal, aperture, scale, ratio)
    assert lens.defocus_blur(-depth.near, *args) == pytest.approx(circle, rel=1e-7)
    assert lens.defocus_blur(depth.far, *args) == pytest.approx(circle, rel=1e-7)
    assert depth.far > depth.near > 0
    assert depth.near + depth.far == pytest.approx(float(depth.total))
    opening = scale * focal / aperture
    assert depth.far / depth.near == pytest.approx((opening + circle) / (opening - circle))
    exact = 2 * aperture * circle * (1 + scale / ratio) / (scale**2 - (aperture * circle / focal) ** 2)
    assert depth.total == pytest.approx(exact)
    assert lens.aperture_for_depth(focal, depth.total, scale, ratio, circle) == pytest.approx(aperture, rel=1e-7)
    assert lens.depth_of_field_close_up(aperture, scale, ratio, circle) <= depth.total


def test_beyond_the_hyperfocal_setting():
    depth = lens.depth_of_field(0.024, 16, 0.001)
    assert depth.far == math.inf and math.isfinite(depth.near)


@given(focals, st.floats(0.05, 4))
def test_distances_belong_together(focal, scale):
    """Lens equation 1/s + 1/s' = 1/f, and 4 f at m 1 as the least distance."""
    subject, image = lens.subject_distance(focal, scale), lens.image_distance(focal, scale)
    assert 1 / subject + 1 / image == pytest.approx(1 / focal)
    assert image / subject == pytest.approx(scale)
    assert lens.magnification_from_distance(focal, subject) == pytest.approx(scale)
    assert lens.subject_to_sensor(focal, scale) >= 4 * focal * (1 - 1e-12)
    assert lens.entrance_pupil_distance(focal, scale) == pytest.approx(float(subject))
    assert lens.magnification_for_field(0.036, lens.field_of_view(0.036, scale)) == pytest.approx(scale)


@given(focals, scales, pupils, st.floats(-0.01, 0.1))
def test_field_grows_behind_the_target(focal, scale, ratio, offset):
    there = lens.field_at_offset(0.036, scale, focal, offset, ratio)
    here = lens.field_of_view(0.036, scale)
    assert lens.field_at_offset(0.036, scale, focal, 0.0, ratio) == pytest.approx(float(here))
    assert (there > here) == (offset > 0) or abs(offset) < 1e-9


@given(st.floats(1e-4, 0.05), scales, pupils)
def test_best_aperture_is_best(depth, scale, ratio):
    best = lens.best_aperture(depth, scale, ratio)
    assert best.airy == pytest.approx(float(best.defocus))
    assert best.effective == pytest.approx(float(best.f_number * exposure.close_up_factor(scale, ratio)))
    for factor in (0.9, 1.1):
        assert math.hypot(best.airy * factor, best.defocus / factor) > best.together


@given(apertures, scales, pupils)
def test_close_up_is_one_relation(aperture, scale, ratio):
    """The working f-number of the lens and the light lost in exposure are the same thing."""
    stops = 2 * math.log2(lens.effective_aperture(aperture, scale, ratio) / aperture)
    assert stops == pytest.approx(float(exposure.close_up_loss(scale, ratio)), abs=1e-9)
    assert lens.effective_aperture(aperture, 0.0, ratio) == aperture


@given(st.floats(0, 5), st.floats(1e-6, 1e-3), st.floats(-0.005, 0.005), apertures, st.floats(0.1, 2))
def test_budget_adds_up(speed, light, offset, aperture, scale):
    budget = lens.blur_budget(speed, light, offset, 0.1, aperture, scale, 4e-6, 0.004)
    parts = budget[:4]
    assert budget.together.sensor == pytest.approx(math.sqrt(sum(part.sensor**2 for part in parts)))
    assert getattr(budget, budget.largest).sensor == max(part.sensor for part in parts)
    for part in budget:
        assert part.subject * scale == pytest.approx(float(part.sensor))
        assert part.pixels * 4e-6 == pytest.approx(float(part.sensor))
        assert part.share * 0.004 == pytest.approx(float(part.subject))
    assert budget.pixel.pixels == 1


def test_budget_over_arrays():
    budget = lens.blur_budget([0.0, 3.0], 1e-3, 0.0, 0.1, 11, 0.5, 4e-6, 0.004)
    assert list(budget.largest) == ["diffraction", "motion"]
    assert budget.together.sensor.shape == (2,)


@given(st.floats(0, 1.5), st.floats(-0.1, 0.1), st.floats(-0.1, 0.1))
def test_camera_height(elevation, height, behind):
    """The depth of a point is its distance along the lens axis: checked by rotating its coordinates."""
    axis = np.array([math.cos(elevation), -math.sin(elevation)])  # away and down
    assert lens.focus_offset(height, behind, elevation) == pytest.approx(float(axis @ [behind, height]), abs=1e-12)
    lean = lens.focus_lean(height, elevation)
    if abs(lean) < 10:
        assert lens.focus_offset(height, lean, elevation) == pytest.approx(0, abs=1e-9)
    view = lens.view_from(elevation)
    assert view.surface**2 + view.upright**2 == pytest.approx(1)


@given(st.floats(0, 1.5), st.floats(0, 0.1), st.floats(0, 0.05))
def test_depth_span_holds_every_point(elevation, height, radius):
    """The span is that of the four corners of the splash's outline: brute force."""
    corners = [lens.focus_offset(h, y, elevation) for h in (0, height) for y in (-radius, radius)]
    assert lens.depth_span(height, radius, elevation) == pytest.approx(max(corners) - min(corners), abs=1e-12)


def test_level_and_steep_cameras():
    level = lens.view_from(0.0)
    assert (level.surface, level.upright) == (0, 1)
    assert lens.depth_span(0.05, 0.0, 0.0) == 0
    assert lens.focus_offset(0.05, 0.0, 0.0) == 0
    # with the rim 1 cm above the water, a lower camera loses more of the surface
    assert lens.hidden_by_rim(0.01, 0.1) > lens.hidden_by_rim(0.01, 0.3) > 0
    assert lens.hidden_by_rim(0.0, 0.1) == 0
    # the field of view at the meeting height holds the target in its middle
    assert lens.meeting_in_frame(0.03, 0.08, 0.2, 0.03) == 0.5
    assert lens.meeting_in_frame(0.05, 0.08, 0.2, 0.03) > 0.5
    assert lens.surface_in_frame(0.048, math.pi / 2) == pytest.approx(0.048)


def test_arrays_and_scalars():
    assert isinstance(lens.airy_diameter(11, 0.5), float)
    assert isinstance(lens.depth_of_field(0.1, 8, 0.5).total, float)
    assert isinstance(lens.blur_in_units(1e-5, 0.5, 4e-6, 0.004).sensor, float)
    assert lens.depth_of_field(0.1, [8, 11], np.array([[0.5], [1.0]])).far.shape == (2, 2)
    with pytest.raises(ValueError, match="matching shapes"):
        lens.field_of_view([0.036, 0.024], [1, 2, 3])


# --- bad input ------------------------------------------------------------------------------------------------

BASE = {"focal_length": 0.1, "f_number": 11, "magnification": 0.5, "pupil_ratio": 1}


def base(*names, **more):
    return {**{name: BASE[name] for name in names}, **more}


CALLS = [
    (lens.field_of_view, base("magnification", format_size=0.036)),
    (lens.field_at_offset, base("focal_length", "magnification", "pupil_ratio", format_size=0.036, offset=0.01)),
    (lens.magnification_for_field, {"format_size": 0.036, "field": 0.07}),
    (lens.magnification_from_distance, base("focal_length", distance=0.3)),
    (lens.subject_distance, base("focal_length", "magnification")),
    (lens.image_distance, base("focal_length", "magnification")),
    (lens.subject_to_sensor, base("focal_length", "magnification")),
    (lens.entrance_pupil_distance, base("focal_length", "magnification", "pupil_ratio")),
    (lens.natural_falloff, {"angle": 0.1}),
    (lens.effective_aperture, base("f_number", "magnification", "pupil_ratio")),
    (lens.depth_of_field, {**BASE, "blur_circle": 3e-5}),
    (lens.depth_of_field_close_up, base("f_number", "magnification", "pupil_ratio", blur_circle=3e-5)),
    (lens.aperture_for_depth, base("focal_length", "magnification", "pupil_ratio", depth=0.005, blur_circle=3e-5)),
    (lens.defocus_blur, {**BASE, "offset": 0.001}),
    (lens.airy_diameter, base("f_number", "magnification", "pupil_ratio", wavelength=550e-9)),
    (lens.best_aperture, base("magnification", "pupil_ratio", depth=0.005, wavelength=550e-9)),
    (lens.motion_blur, base("magnification", speed=2, light_time=1e-4)),
    (lens.blur_in_units, base("magnification", blur=1e-5, pixel_pitch=4e-6, drop_diameter=0.004)),
    (
        lens.blur_budget,
        {**BASE, "speed": 2, "light_time": 1e-4, "offset": 0, "pixel_pitch": 4e-6, "drop_diameter": 0.004,
         "wavelength": 5e-7},
    ),
    (lens.view_from, {"elevation": 0.2}),
    (lens.focus_offset, {"height": 0.01, "behind": 0.01, "elevation": 0.2}),
    (lens.focus_lean, {"height": 0.01, "elevation": 0.2}),
    (lens.depth_span, {"height": 0.01, "radius": 0.01, "elevation": 0.2}),
    (lens.surface_in_frame, {"field": 0.05, "elevation": 0.2}),
    (lens.hidden_by_rim, {"height": 0.01, "elevation": 0.2}),
    (lens.meeting_in_frame, {"height": 0.01, "field": 0.05, "elevation": 0.2, "target_height": 0.03}),
]  # fmt: skip


@pytest.mark.parametrize(("function", "good"), CALLS, ids=lambda thing: getattr(thing, "__name__", ""))
def test_bad_input_gets_one_sentence(function, good):
    function(**good)
    assert_refuses(function, good)


def test_every_public_function_is_tried_with_bad_input():
    public = {name for name in lens.__all__ if name[0].islower()}
    assert public == {function.__name__ for function, _ in CALLS}


def test_what_cannot_be_is_refused():
    with pytest.raises(ValueError, match="longer than the focal length"):
        lens.magnification_from_distance(0.1, 0.09)
    with pytest.raises(ValueError, match="entrance pupil"):
        lens.defocus_blur(-0.4, 0.1, 11, 0.5)
    with pytest.raises(ValueError, match="tilt it"):
        lens.surface_in_frame(0.05, 0.0)
    with pytest.raises(ValueError, match="f-number must be"):
        lens.airy_diameter(0)
