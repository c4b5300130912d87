"""The recorded frame, measured from its pixels, against closed forms, published tables and plain counting."""

import dataclasses
import math
import tracemalloc

import numpy as np
import pytest
from brute_frame import brute_force, differences
from hypothesis import given, settings
from hypothesis import strategies as st
from tables import SENTENCE, number, read

from splashkit import flash, picture, sync
from splashkit.picture import facets, paint
from splashkit.picture.frame import DRAWN

INK = picture.Look(colour=(0, 0, 0))
# a narrow panel and no key light: nothing shines inside the ink, so edges can be measured
PLAIN = picture.Lighting(half_angle=0.05, key=0)
TRAVEL = 3e-3  # as in focal_plane_shutter.csv
FREEZE = flash.rectangular(1e-6)


def camera(magnification=0.5, **more):
    return picture.Camera(magnification, **{"pixels": (1280, 854), "softness": False, **more})


def burned(orientation, exposure, magnification=0.5, speed=3.0, light=None, **more):
    """A drop that passes the middle of the frame as the slit does, under a burn that outlasts the slit."""
    burn = exposure + TRAVEL
    return picture.record(
        picture.falling_drop(4e-3, speed, look=INK),
        camera(magnification, orientation=orientation, **more),
        light or flash.rectangular(burn),
        sync.Shutter(exposure, TRAVEL),
        flash_time=0.0,
        flash_level=burn / exposure,
        moment=-burn / 2,
        lighting=PLAIN,
    )


ROWS = [row for row in read("focal_plane_shutter") if number(row["t"]) <= 1 / 2000]
IDS = [f"{row['t']}-m{row['m']}" for row in ROWS]


# more blur than a fifth of the drop narrows its outline too, so its height over its width is another number
FASTEST = [row for row in ROWS if number(row["t"]) <= 1 / 4000]


@pytest.mark.parametrize("row", FASTEST, ids=lambda row: f"{row['t']}-m{row['m']}")
@pytest.mark.parametrize(("orientation", "column"), [("landscape", "squash_against"), ("inverted", "stretch_with")])
def test_level_camera_squashes_and_inverted_stretches(orientation, column, row):
    """focal_plane_shutter.csv (derived there, curtain travel 3 ms over 24 mm, drop at 3 m/s)."""
    shot = burned(orientation, number(row["t"]), float(row["m"]))
    assert picture.height_to_width(shot) == pytest.approx(float(row[column]), rel=0.01)
    assert abs(picture.slant(shot)) < 0.01


@pytest.mark.parametrize("row", ROWS, ids=IDS)
class TestSlit:
    """focal_plane_shutter.csv, motion across the slit's travel and blur."""

    @pytest.mark.parametrize(("orientation", "sign"), [("portrait_right", 1), ("portrait_left", -1)])
    def test_portrait_camera_slants(self, row, orientation, sign):
        shot = burned(orientation, number(row["t"]), float(row["m"]))
        assert math.degrees(picture.slant(shot)) == pytest.approx(sign * float(row["skew_deg"]), rel=0.01)

    def test_edges_are_as_soft_as_the_slit_leaves_them(self, row):
        """0.8 of the blur of even light: u T across the slit's travel, u T/(1 + u/w) against it; within a pixel."""
        scale, exposure = float(row["m"]), number(row["t"])
        pixel = camera(scale).pixel
        for orientation, blur in (("portrait_right", "blur_across_mm"), ("landscape", "blur_against_mm")):
            wanted = float(row[blur]) * 1e-3 / scale
            if wanted > 2e-3:  # more blur than half the drop leaves no full darkness to measure from
                continue
            shot = burned(orientation, exposure, scale)
            for side in ("top", "bottom"):
                assert picture.edge_width(shot, side) == pytest.approx(math.hypot(0.8 * wanted, 0.8 * pixel), abs=pixel)


@pytest.mark.parametrize("orientation", picture.ORIENTATIONS)
def test_turning_the_scan_round_is_turning_the_camera_round(orientation):
    other = {"landscape": "inverted", "inverted": "landscape", "portrait_left": "portrait_right",
             "portrait_right": "portrait_left"}[orientation]  # fmt: skip
    one = burned(orientation, 1 / 4000, scan="down")
    assert np.allclose(one.linear, burned(other, 1 / 4000).linear, atol=1e-6)


def test_a_pulsed_burn_deforms_as_an_even_one():
    """To the pitch of its dots, v/f, drawn out as the drop is."""
    exposure = 1 / 4000
    for orientation, wanted in (("landscape", 1 / (1 + 0.1875)), ("inverted", 1 / (1 - 0.1875))):
        seen = picture.size(burned(orientation, exposure, light=flash.pulsed_burn(exposure + TRAVEL, 40e3)))
        assert seen.height == pytest.approx(wanted * seen.width, abs=wanted * 3.0 / 40e3 + 0.5 * camera().pixel)


@pytest.mark.parametrize("row", [r for r in read("focal_plane_shutter") if r["m"] == "0.5"], ids=lambda r: r["t"])
def test_dark_band_above_sync(row):
    """A short flash as the first curtain arrives; focal_plane_shutter.csv, to one line of the sensor."""
    shot = picture.record(
        picture.falling_drop(), camera(), FREEZE, sync.Shutter(number(row["t"]), TRAVEL), flash_time=TRAVEL - 1e-7
    )
    share = picture.dark_band_share(shot)
    assert share == pytest.approx(float(row["dark_band_fraction"]), abs=1.01 / 854)
    if share > 0:
        dark = np.flatnonzero(picture.line_levels(shot) < 0.5)
        assert dark.max() == 853, "in a level picture the band lies at the bottom"


def test_banding_of_a_slow_pulse_train():
    """pulse_train.csv: 20 kHz at 1/8000 s gives 2 or 3 pulses a row, 40 % peak to peak if dark in between."""
    exposure = 1 / 8000
    count = math.ceil(20e3 * (exposure + TRAVEL)) + 1
    period, width = 1 / 20e3, 1e-6

    def lit(t):
        whole = np.floor(t / period)
        return (whole + np.clip((t - whole * period) / width, 0, 1)) / count

    train = flash.LightCurve(
        "pulse train", count * period, width, count * width, lambda t: ((t % period) < width) * 1.0, lit
    )
    shot = picture.record(
        picture.falling_drop(height=0.5), camera(), train, sync.Shutter(exposure, TRAVEL), flash_time=0.0,
        lighting=picture.Lighting(fall_off=0),
    )  # fmt: skip
    row = next(r for r in read("pulse_train") if r["pulse_Hz"] == "20000" and number(r["t"]) == exposure)
    levels = picture.line_levels(shot)
    peak_to_peak = (levels.max() - levels.min()) / (exposure * 20e3 / math.ceil(exposure * 20e3))
    assert peak_to_peak == pytest.approx(float(row["ripple_pp"]), rel=0.01)


@pytest.mark.parametrize(
    ("light", "edge"),
    [
        (flash.rectangular(6e-4), 0.8 * 6e-4),
        (flash.triangle(6e-4), 0.5528 * 6e-4),
        (flash.sawtooth(6e-4), 0.6325 * 6e-4),
        (flash.exponential(2e-4), 2.1972 * 2e-4),
        (flash.gaussian(2e-4), 2.5631 * 2e-4),
    ],
    ids=["rectangular", "triangle", "sawtooth", "exponential", "gaussian"],
)
def test_edges_of_a_single_flash(light, edge):
    """10-90 % widths of flash_pulse_shapes.csv (computed from the shapes), times the speed; within a pixel."""
    shot = picture.record(
        picture.falling_drop(6e-3, 2.0, look=INK), camera(), light, sync.Shutter(1 / 30), lighting=PLAIN
    )
    pixel = shot.camera.pixel
    for side in ("top", "bottom"):
        assert picture.edge_width(shot, side) == pytest.approx(2.0 * edge, abs=pixel)
    # sideways nothing moves; the round outline smeared along the fall is this much narrower at half its length
    sagitta = 3e-3 - math.sqrt(9e-6 - edge**2)
    assert picture.edge_width(shot, "left") < 1.7 * pixel + sagitta


@pytest.mark.parametrize("orientation", ["landscape", "portrait_left"])
def test_streak_of_even_light_is_speed_times_time(orientation):
    shot = picture.record(
        picture.falling_drop(2e-3, 3.0, 7.5e-3, look=INK), camera(orientation=orientation), flash.rectangular(5e-3),
        sync.Shutter(1 / 30), lighting=PLAIN,
    )  # fmt: skip
    assert picture.streak_length(shot) == pytest.approx(3.0 * 5e-3, abs=shot.camera.pixel)


@pytest.mark.parametrize("orientation", ["landscape", "portrait_right"])
@pytest.mark.parametrize("acceleration", [0.0, 9.8])
def test_ghost_is_weaker_by_the_dwell_ratio(orientation, acceleration):
    """Room light: what moves is seen for d/v of the time T (derived). The ghost's middle, to 1 %."""
    size, speed, exposure, room = 3e-3, 2.0, 1 / 60, 0.4
    shot = picture.record(
        picture.falling_drop(size, speed, 8e-3, acceleration, look=INK), camera(orientation=orientation), FREEZE,
        sync.Shutter(exposure, 1e-4, "leaf"), ambient=room, lighting=PLAIN,
    )  # fmt: skip
    seen = picture.ghost_contrast(shot, size)
    below = -10e-3 if orientation == "landscape" else -20e-3
    there = math.sqrt(speed**2 + 2 * acceleration * (8e-3 - (4e-3 if acceleration else below)))
    wanted = room * (size / there) / exposure / (1 + room)
    # with gravity the ghost thins out as the drop speeds up: its strongest place is nearest to the sharp image
    assert seen.below == pytest.approx(wanted, rel=0.01 if not acceleration else 0.03)
    assert seen.above < 1e-3


def test_front_curtain_puts_the_ghost_ahead_and_rear_curtain_behind():
    exposure = 1 / 60
    shutter = sync.Shutter(exposure, 1e-4, "leaf")
    scene = picture.falling_drop(3e-3, 1.5, look=INK)
    for fires, ahead in ((shutter.span[0], True), (shutter.span[1] - 1e-5, False)):
        shot = picture.record(scene, camera(), FREEZE, shutter, flash_time=fires, ambient=0.4, lighting=PLAIN)
        seen = picture.ghost_contrast(shot, 3e-3)
        assert (seen.below > 0.01) is ahead
        assert (seen.above > 0.01) is not ahead


@pytest.mark.parametrize(
    "row", [r for r in read("drop_backlight_rim") if 10 <= float(r["backlight_half_angle_deg"]) <= 50]
)
def test_bright_part_seen_in_a_drop(row):
    """drop_backlight_rim.csv (Snell on a sphere): measured in the frame to 1 % of the radius."""
    shot = picture.record(
        picture.falling_drop(), picture.Camera(3.5), FREEZE, sync.Shutter(1 / 125),
        lighting=picture.Lighting(half_angle=math.radians(float(row["backlight_half_angle_deg"])), key=0),
    )  # fmt: skip
    assert picture.bright_share(shot) == pytest.approx(float(row["bright_radius_over_R"]), abs=0.01)


def test_the_widest_backlight_leaves_no_rim():
    assert picture.bright_radius(math.radians(82.9)) == 1.0


def test_exposure_darkens_and_clips():
    dark, right, bright = (
        picture.record(picture.falling_drop(), picture.Camera(), FREEZE, sync.Shutter(1 / 125), flash_level=level)
        for level in (1 / 64, 1.0, 4.0)
    )
    assert np.median(dark.screen()) < 40 < 150 < np.median(right.screen()) < 240
    assert np.mean(bright.screen() == 255) > 0.9
    assert np.median(dark.linear) * 64 == pytest.approx(np.median(right.linear), rel=1e-5)


def test_light_of_two_sources_adds():
    scene, view, shutter = picture.falling_drop(wobble=0.1), picture.Camera(), sync.Shutter(1 / 125)
    both = picture.record(scene, view, FREEZE, shutter, ambient=0.3).linear
    one = picture.record(scene, view, FREEZE, shutter).linear
    other = picture.record(scene, view, None, shutter, ambient=0.3, flash_time=shutter.curtain_travel).linear
    assert np.allclose(both, one + other, atol=1e-5)


@settings(max_examples=25, deadline=None)
@given(
    level=st.floats(0.05, 4), exposure=st.floats(1 / 8000, 1 / 30), side=st.floats(-5e-3, 5e-3),
    orientation=st.sampled_from(picture.ORIENTATIONS), power=st.sampled_from([1.0, 0.25, 1 / 64]),
)  # fmt: skip
def test_a_frame_never_shines_more_than_its_lights(level, exposure, side, orientation, power):
    scene = picture.falling_drop(4e-3, 3.0, side=side)
    view = picture.Camera(0.5, orientation, pixels=(96, 64))
    shot = picture.record(
        scene, view, flash.quench_controlled(power), sync.Shutter(exposure), flash_level=level,
        lighting=picture.Lighting(key=0),
    )  # fmt: skip
    assert shot.linear.shape == view.shape
    assert np.all(shot.linear >= -1e-6)
    assert np.all(shot.linear <= level * picture.WHITE * 1.02)


def test_magnification_is_true_to_scale():
    for scale in (0.3, 1.0, 2.0):
        shot = picture.record(
            picture.falling_drop(4e-3, 2.0, look=INK), camera(scale), FREEZE, sync.Shutter(1 / 125), lighting=PLAIN
        )
        assert picture.size(shot).width == pytest.approx(4e-3, abs=shot.camera.pixel)


def test_wobble_keeps_the_volume():
    flat = picture.falling_drop(4e-3, 2.0, wobble=-0.2, look=INK)
    shot = picture.record(flat, camera(1.5), FREEZE, sync.Shutter(1 / 125), lighting=PLAIN)
    seen = picture.size(shot)
    assert seen.height == pytest.approx(0.8 * 4e-3, rel=0.01)
    assert seen.height * seen.width**2 == pytest.approx(4e-3**3, rel=0.015)


def test_defocus_spreads_an_edge_by_the_disc_of_the_lens():
    """A disc of width b: 10-90 % of its edge is 0.6880 b (its chord area, integrated here)."""
    from splashkit import lens

    view = picture.Camera(1.0, pixels=(1280, 854), focus_offset=8e-3, f_number=8)
    shot = picture.record(
        picture.falling_drop(6e-3, 2.0, look=INK), view, FREEZE, sync.Shutter(1 / 125), lighting=PLAIN
    )
    disc = float(lens.defocus_blur(8e-3, view.focal_length, 8, 1.0))
    x = np.linspace(-0.5, 0.5, 20001)
    area = np.cumsum(np.sqrt(0.25 - x * x))
    wide = np.interp(0.9, area / area[-1], x) - np.interp(0.1, area / area[-1], x)
    # the frame uses a bell of the same spread; its 10-90 % is 2.563/4 of the disc
    assert picture.edge_width(shot, "left") == pytest.approx(disc * wide, rel=0.08)
    sharp = picture.record(
        picture.falling_drop(6e-3, 2.0, look=INK), dataclasses.replace(view, focus_offset=0.0), FREEZE,
        sync.Shutter(1 / 125), lighting=PLAIN,
    )  # fmt: skip
    assert picture.edge_width(sharp, "left") < 1.7 * view.pixel


class TestCollision:
    view = picture.Camera(0.9, aim=(0.0, 9e-3), elevation=math.radians(6))
    scene = picture.collision(4e-3, 2.18, gap=0.069)

    def shot(self, late, bare=False, **more):
        scene = self.scene
        if bare:  # without fingers and droplets
            bodies = tuple(body for body in scene.bodies if type(body).__name__ != "Fringe")
            scene = dataclasses.replace(scene, bodies=bodies)
        return picture.record(scene, self.view, FREEZE, sync.Shutter(1 / 125), moment=scene.met + late, **more)

    def test_drop_and_column_touch_when_they_meet(self):
        column = next(b for b in self.scene.bodies if getattr(b, "name", "") == "column")
        second = next(b for b in self.scene.bodies if getattr(b, "name", "") == "second drop")
        met = self.scene.met
        assert second.centre(met) - 2e-3 == pytest.approx(float(column.tip(met)), abs=5e-5)

    def test_the_sheet_measures_what_the_model_says(self):
        film = next(b for b in self.scene.bodies if type(b).__name__ == "Sheet")
        late = 6e-3
        shot, before = self.shot(late, bare=True), self.shot(-1e-3, bare=True)
        change = np.abs(shot.linear - before.linear)
        z = self.view.heights()
        _, height, thick = film.rim(np.array(self.scene.met + late))
        near = np.abs(z - float(height)) < 2 * float(thick)
        wide = np.flatnonzero(change[near].max(axis=0) > 0.05)
        measured = (wide[-1] - wide[0] + 1) * self.view.pixel / 2
        radius = float(film.rim(np.array(self.scene.met + late))[0])
        assert measured == pytest.approx(radius + float(thick), rel=0.08)

    def test_slow_drop_misses(self):
        missed = picture.collision(4e-3, 2.18, gap=0.5)
        assert missed.met is None
        assert "miss" in missed.words

    @pytest.mark.parametrize(("gap", "crowns", "columns"), [(0.02, 1, 0), (0.11, 2, 1)])
    def test_a_miss_draws_no_column_out_of_a_crater_that_was_hit(self, gap, crowns, columns):
        """The rule of the scene: into the crater, no column; on flat water, a crown of its own; both are said."""
        missed = picture.collision(4e-3, 2.18, gap=gap)
        names = [getattr(body, "name", "") or type(body).__name__ for body in missed.bodies]
        assert (names.count("Crown"), names.count("column")) == (crowns, columns)
        *before, (_, after) = missed.untold
        assert len(before) == columns  # the head of a column that was left alone
        for late, said in ((-1e-3, ""), (2e-3, after)):
            shot = picture.record(missed, self.view, FREEZE, sync.Shutter(1 / 125), moment=gap + late)
            assert shot.note == " ".join(
                [
                    *(sentence for _, sentence in before),
                    *([said] if late > 0 else []),
                    *([DRAWN] if late > 0 or not columns else []),
                ]
            )

    def test_after_the_sheet_the_column_ends_in_a_round_head(self):
        """The end narrows to a point on the axis, with no flat cut; while the sheet stands it does not."""
        film = next(b for b in self.scene.bodies if type(b).__name__ == "Sheet")
        column = next(b for b in self.scene.bodies if getattr(b, "name", "") == "column")
        late = film.end - self.scene.met + 1e-3
        shot, plate = self.shot(late, bare=True).linear, self.shot(late).plate
        z = self.view.heights()
        tip = float(column.tip(self.scene.met + late))
        widths = []
        for down in (0.1e-3, 0.4e-3, 1.6e-3):
            seen = np.flatnonzero(np.abs(shot - plate)[np.argmin(np.abs(z - tip + down))] > 0.05)
            widths.append(float(seen[-1] - seen[0]) * self.view.pixel)
        assert widths[0] < widths[1] < widths[2] and widths[0] < 0.65 * widths[2], widths

    def test_portrait_shows_the_same_instant(self):
        """A single short flash: turning the camera only crops."""
        level = self.shot(3e-3).linear
        turned = picture.record(
            self.scene, dataclasses.replace(self.view, orientation="portrait_left"), FREEZE, sync.Shutter(1 / 125),
            moment=self.scene.met + 3e-3, lighting=picture.Lighting(),
        ).linear  # fmt: skip
        middle = turned[320 - 213 : 320 + 214]
        assert middle.shape == (427, 427)
        part = level[:, 320 - 213 : 320 + 214]
        # half a pixel apart, so compare what is not an edge
        assert np.median(np.abs(middle - part)) < 0.02


class TestNotes:
    def test_a_drop_out_of_the_frame_is_said_so(self):
        for height, word in ((60e-3, "above its top edge"), (-60e-3, "below its lower edge")):
            shot = picture.record(picture.falling_drop(height=height), picture.Camera(), FREEZE, sync.Shutter(1 / 125))
            assert word in shot.note
            assert f"{60 - 2 - 24:.0f} mm" in shot.note.replace("34.", "34 "), shot.note
            assert np.array_equal(shot.linear, shot.plate)
        shot = picture.record(picture.falling_drop(side=0.1), picture.Camera(), FREEZE, sync.Shutter(1 / 125))
        assert "right edge" in shot.note

    def test_a_black_frame_says_why(self):
        scene, view, shutter = picture.falling_drop(), picture.Camera(), sync.Shutter(1 / 125)
        assert "no flash" in picture.record(scene, view, None, shutter).note
        assert "after the shutter had closed" in picture.record(scene, view, FREEZE, shutter, flash_time=1.0).note
        assert "before the shutter opened" in picture.record(scene, view, FREEZE, shutter, flash_time=-1.0).note
        assert picture.record(scene, view, FREEZE, shutter).note == ""


@pytest.mark.parametrize(
    "make",
    [
        lambda: picture.Camera(0.0),
        lambda: picture.Camera(math.nan),
        lambda: picture.Camera(1.0, "sideways"),
        lambda: picture.Camera(1.0, pixels=(640, 3)),
        lambda: picture.Camera(1.0, pixels=(640.5, 427)),
        lambda: picture.Camera(1.0, sensor=(-1.0, 0.024)),
        lambda: picture.Camera(1.0, elevation=1.0),
        lambda: picture.Camera(1.0, focus_offset=2.0),
        lambda: picture.falling_drop(0.0),
        lambda: picture.falling_drop(4.0),
        lambda: picture.falling_drop(4e-3, math.inf),
        lambda: picture.falling_drop(4e-3, "fast"),
        lambda: picture.falling_drop(4e-3, wobble=2),
        lambda: picture.collision(4e-3, 2.0, gap=-1),
        lambda: picture.collision(4e-3, 0.0),
        lambda: picture.Lighting(half_angle=0),
        lambda: picture.Lighting(key=-1),
        lambda: picture.Look(colour=(1, 2, 1)),
        lambda: picture.Look(cloudiness=2),
        lambda: picture.Surface(0.0),
        lambda: picture.fresnel(2.0),
        lambda: picture.bright_radius(-0.1),
        lambda: picture.record(picture.falling_drop(), picture.Camera(), FREEZE, "open"),
        lambda: picture.record(picture.falling_drop(), picture.Camera(), "bright", sync.Shutter(1 / 125)),
        lambda: picture.record(
            picture.falling_drop(), picture.Camera(), FREEZE, sync.Shutter(1 / 125), ambient=-1
        ),
        lambda: picture.record(
            picture.falling_drop(), picture.Camera(), FREEZE, sync.Shutter(1 / 125), moment=math.nan
        ),
        lambda: picture.edge_width("a picture"),
    ],
)  # fmt: skip
def test_impossible_things_are_refused_by_name(make):
    with pytest.raises(ValueError) as caught:
        make()
    assert SENTENCE.fullmatch(str(caught.value)), str(caught.value)


def test_an_empty_frame_has_nothing_to_measure():
    shot = picture.record(picture.falling_drop(height=0.5), picture.Camera(), FREEZE, sync.Shutter(1 / 125))
    with pytest.raises(ValueError, match="with a drop in it"):
        picture.size(shot)


def test_memory_stays_small():
    tracemalloc.start()
    shutter = sync.Shutter(1 / 500)
    scene = TestCollision.scene
    picture.record(
        scene, TestCollision.view, flash.pulsed_burn(6e-3, 40e3), shutter, flash_time=0.0, moment=scene.met, ambient=0.2
    ).screen()
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert peak < 150e6


SLOW = sync.Shutter(1 / 125, TRAVEL)
SLIT = sync.Shutter(1 / 1000, TRAVEL)
AGAINST = {
    "low power": (picture.falling_drop(), FREEZE, SLOW, {"flash_time": TRAVEL}),
    "full dump": (picture.falling_drop(), flash.quench_controlled(1.0), SLOW, {"flash_time": TRAVEL}),
    "wobble": (picture.falling_drop(wobble=0.2), flash.voltage_controlled(1 / 8), SLOW, {"flash_time": TRAVEL}),
    "room light": (
        picture.falling_drop(acceleration=9.8), None, SLOW, {"flash_time": TRAVEL, "ambient": 1.0, "moment": -1e-3},
    ),
    "burn": (
        picture.falling_drop(), flash.pulsed_burn(4e-3, 40e3), SLIT,
        {"flash_time": 0.0, "flash_level": 4.0, "moment": -2e-3},
    ),
    "burn on the collision": (
        TestCollision.scene, flash.pulsed_burn(4e-3, 40e3), SLIT,
        {"flash_time": 0.0, "flash_level": 4.0, "moment": TestCollision.scene.met + 2e-3},
    ),
    "crown": (
        TestCollision.scene, FREEZE, SLOW, {"flash_time": TRAVEL, "moment": 8e-3, "ambient": 0.1},
    ),
}  # fmt: skip


@pytest.mark.parametrize("right, up, half", [(-0.8, 0.7, 0.23), (0.3, -0.2, 0.9), (2.4, 0.1, 0.4)])
def test_key_light_shows_where_the_mirror_law_says(right, up, half):
    """Every facet mirrors the view about its normal; it shows the lamp if that ray meets the lamp's square."""
    lit, dark = (picture.Lighting(key=key, key_direction=(right, up), key_half_angle=half) for key in (1, 0))
    spot = facets.solid_table(lit, INK) - facets.solid_table(dark, INK)
    side = np.linspace(-facets.REACH, facets.REACH, facets.TABLE)
    x, y = (part.ravel() for part in np.meshgrid(side, side))
    inside = np.hypot(x, y) < 0.98  # nearer the rim one facet stands for several
    x, y, spot = x[inside], y[inside], spot[inside]
    z = np.sqrt(1 - x * x - y * y)
    ray = np.stack([2 * z * x, 2 * z * y, 2 * z * z - 1])
    lamp = np.array([math.sin(right) * math.cos(up), math.sin(up), math.cos(right) * math.cos(up)])
    level = np.cross([0, 1, 0], lamp) / math.hypot(lamp[0], lamp[2])
    ahead = lamp @ ray
    beside, above = (axis @ ray / np.maximum(ahead, 1e-9) / math.tan(half) for axis in (level, np.cross(lamp, level)))
    edge = np.clip(((beside**4 + above**4) ** 0.25 - 0.35) / (1.3 - 0.35), 0, 1)  # a square with soft sides
    wanted = 70 * picture.fresnel(np.arcsin(np.hypot(x, y))) * (1 - edge * edge * (3 - 2 * edge)) * (ahead > 0)
    assert wanted.max() > 1
    assert np.abs(spot - wanted).max() < 0.01 * wanted.max()


def test_slices_worked_out_together_are_as_one_by_one(monkeypatch):
    """Fingers and droplets of a whole burn; those of the crown come to their end in the middle of it."""
    scene = TestCollision.scene
    crown = next(body for body in scene.bodies if type(body).__name__ == "Fringe")
    view = picture.Camera(0.9, "portrait_left", aim=(0.0, 9e-3), elevation=0.105, pixels=(240, 160))
    shots = []
    for together in (1, 8):
        monkeypatch.setattr(paint, "TOGETHER", together)
        for moment in (scene.met + 1e-3, crown.window(-1, 1)[1] - 0.5e-3):
            shots.append(
                picture.record(scene, view, flash.rectangular(4e-3), SLIT, flash_time=0.0, moment=moment).linear
            )
    assert np.array_equal(shots[0], shots[2]) and np.array_equal(shots[1], shots[3])


@pytest.mark.parametrize("orientation", ["landscape", "portrait_left"])
@pytest.mark.parametrize("name", AGAINST)
def test_brute_force_agrees(name, orientation):
    """A half-size frame added up over 300 equal steps of time: mean below 1/255, largest below 3/255."""
    scene, light, shutter, more = AGAINST[name]
    water = scene.surface is not None
    view = picture.Camera(
        0.9 if water else 1.0, orientation, aim=(0.0, 9e-3 if water else 0.0), elevation=0.105 if water else 0.0,
        pixels=(320, 214), softness=False,
    )  # fmt: skip
    slow = brute_force(scene, view, light, shutter, steps=300, **more)
    mean, largest = differences(picture.record(scene, view, light, shutter, **more).linear, slow)
    assert mean < 0.2  # most of the frame is background, so a stricter mean
    assert largest < 3
