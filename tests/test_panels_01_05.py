"""The panels of lessons 01 and 05: their numbers against tables, hand sums and the recorded frame itself."""

import base64
import io
import math
import re

import numpy as np
import pytest
from matplotlib.backends.backend_agg import RendererAgg
from PIL import Image

from splashkit import exposure, lens, panels, picture, rig, sync, workings
from splashkit.panels import sharp as module


@pytest.fixture(autouse=True)
def own_folder(tmp_path, monkeypatch):
    monkeypatch.setenv("SPLASHKIT_HOME", str(tmp_path))


@pytest.fixture
def room():
    return panels.dark_room()


@pytest.fixture
def sharp():
    return panels.sharpness()


# lesson 01


def test_stops_under_by_hand(room):
    """EV 7 is 320 lx (ISO 2720, C = 250): f/11 and 1/250 s ask for EV 14.9; focusing to m = 0.5 takes 1.17 stops."""
    room.set(illuminance=320.0, exposure_time=1 / 60, aperture=11.0, iso=100.0)
    asked = 2 * math.log2(11) + math.log2(60)
    assert room.result.under == pytest.approx(asked - 7 + 2 * math.log2(1.5), abs=1e-9)


def test_it_opens_with_the_room_in_the_picture(room):
    """The lesson's story: lamp on, one second; the frame with the flash off is far from black."""
    assert (room.state.illuminance, room.state.exposure_time) == (100.0, 1.0)
    assert "background" in room._photos.value and 'alt="Recorded frame, flash off: black' not in room._photos.value
    assert room.result.under < 2
    own = panels.dark_room(rig=rig.Rig(room_illuminance=2.0, exposure_time=0.5))
    assert (own.state.illuminance, own.state.exposure_time) == (2.0, 0.5)


def test_a_reading_counts_halvings(room):
    """The camera asks for 4 s, the shot has 1/4 s at the same lens and ISO: four halvings."""
    room.set(source="meter", metered_time=4.0, metered_aperture=11.0, metered_iso=200.0, exposure_time=1 / 4,
             aperture=11.0, iso=200.0)  # fmt: skip
    assert room.result.under == pytest.approx(4, abs=1e-9) and "4 stops under" in room.sentence
    assert room.result.longest == pytest.approx(4 / 2**exposure.DARK_ENOUGH)


def test_who_changes_what(room):
    """Shutter: room only. Aperture and ISO: both alike. Power and distance: flash only."""

    def change(**values):
        room.reset()
        before = room.result.flash, room.result.now[0]
        room.set(**values)
        return room.result.flash - before[0], room.result.now[0] - before[1]

    assert change(exposure_time=2.0) == pytest.approx((0, 1))
    flash, background = change(aperture=22.0)
    assert flash == pytest.approx(-2) and background == pytest.approx(-2)
    assert change(iso=800.0) == pytest.approx((2, 2))
    assert change(power=1 / 8) == pytest.approx((2, 0))
    assert change(distance=1.1) == pytest.approx((-2, 0))


def test_ghost_of_the_drop_does_not_grow(room):
    room.set(exposure_time=1.0)
    one = room.result.now
    room.set(exposure_time=8.0)
    assert room.result.now[0] - one[0] == pytest.approx(3) and room.result.now[1] == pytest.approx(one[1])


def test_ghosts_are_those_of_the_recorded_frame():
    """The share the panel states is what the drop takes from the frame, row by row: no shared formula."""
    diameter, speed, time, ambient = 4e-3, 2.0, 0.1, 0.5
    dark = picture.Lighting(key=0.0)
    camera = picture.Camera(magnification=1.0, pixels=(480, 320), softness=False)
    scene = picture.falling_drop(diameter, speed, look=picture.Look(colour=(0.0, 0.0, 0.0)))
    shot = picture.record(scene, camera, None, sync.Shutter(time, kind="open"), moment=-time / 2, flash_time=0.0,
                          ambient=ambient, lighting=dark)  # fmt: skip
    middle = shot.camera.shape[0] // 2, shot.camera.shape[1] // 2
    lost = 1 - np.ravel(shot.linear[middle])[0] / np.ravel(shot.plate[middle])[0]
    assert lost == pytest.approx(float(exposure.ghost_ratio(diameter, speed, time)), rel=0.04)


def test_longest_time_sits_on_the_line_six_under(room):
    for lux in (0.3, 1.0, 20.0):
        room.set(illuminance=lux)
        seen = float(np.interp(math.log(room.result.longest), np.log(room.result.times), room.result.background))
        assert seen == pytest.approx(-exposure.DARK_ENOUGH, abs=1e-6)


@pytest.mark.parametrize(
    ("under", "word"), [(9, "Dark:"), (6, "Just dark"), (3, "Not dark"), (1, "Too bright"), (-2, "Far too bright")]
)
def test_verdict_follows_the_stops(room, under, word):
    room.set(exposure_time=1.0, illuminance=1.0)
    room.set(illuminance=2 ** (room.result.under - under))
    assert room.result.under == pytest.approx(under) and word in room.sentence


def test_a_wrong_flash_is_not_taken_for_a_dark_room(room):
    """Closed to f/64 the lit kitchen looked "just dark", though it lay 1.7 stops under the flash as before."""
    start = room.sentence
    room.set(aperture=64.0)
    assert "too weak" in room.sentence and "1.7 stops under the flash" in room.sentence and "dark:" not in room.sentence
    room.set(aperture=11.0, power=1.0)
    assert "too strong" in room.sentence and "6.7 stops under the flash" in room.sentence
    room.set(power=1 / 256)
    assert "1.3 stops over the flash" in room.sentence
    room.reset()
    assert room.sentence == start and "Too bright" in start


def test_an_empty_frame_says_where_the_drop_is(sharp):
    sharp.set(height=0.03, target_height=0.0, elevation=math.radians(15))
    whole, close = sharp.photos(sharp.state, sharp.result)
    assert "The whole frame: the drop is above it" in whole and "above" not in close
    sharp.set(height=0.0, target_height=0.06)
    assert "The whole frame: the drop is below it" in sharp.photos(sharp.state, sharp.result)[0]
    sharp.set(height=0.03, target_height=0.03)
    assert ">The whole frame<" in sharp.photos(sharp.state, sharp.result)[0]


@pytest.mark.parametrize("aperture", [2.8, 11.0, 32.0, 64.0])
@pytest.mark.parametrize("iso", [50.0, 200.0, 25600.0])
def test_words_in_the_figure_lie_apart(room, aperture, iso):
    """Closed to f/64, "flash" stood on "just black"; the longest time ran out of the figure."""
    for lux in (0.01, 1.0, 10.0, 100.0, 500.0):
        room.set(illuminance=lux, aperture=aperture, iso=iso)
        figure = room._figures[0]
        pen = RendererAgg(*(round(side * figure.figure.dpi) for side in figure.size), figure.figure.dpi)
        words = [word for word in figure.axes.texts if word.get_visible() and word.get_text()]
        boxes = [word.get_window_extent(pen).padded(-1) for word in words]
        edge = figure.axes.get_window_extent(pen).padded(2)
        assert len(boxes) > 3
        for at, box in enumerate(boxes):
            assert edge.x0 < box.x0 and box.x1 < edge.x1 and edge.y0 < box.y0 and box.y1 < edge.y1, words[at]
            assert not any(box.overlaps(other) for other in boxes[:at]), (lux, words[at])


def test_the_tail_of_a_flash_stays_free_of_its_label():
    """The words t0.1 stood on the tail that they are about."""
    flash = panels.flash_duration(kind="quench", power=1.0)
    figure = flash._figures[0]
    pen = RendererAgg(*(round(side * figure.figure.dpi) for side in figure.size), figure.figure.dpi)
    box = figure.tenth_text.get_window_extent(pen)
    tail = figure.axes.transData.transform(np.column_stack(figure.light.get_data()))
    beside = tail[(tail[:, 0] > box.x0) & (tail[:, 0] < box.x1)]
    assert len(beside) > 5 and np.all(beside[:, 1] < box.y0)


def test_frames_on_and_off(room):
    room.set(illuminance=1.0, exposure_time=0.1)
    views = room.photos(room.state, room.result)
    assert len(views) == 2 and "Flash on" in views[0] and "Flash off" in views[1]
    assert "flash off: black" in views[1] and "black" not in views[0]
    room.set(illuminance=2000.0, exposure_time=30.0)
    assert all("white" in view for view in room.photos(room.state, room.result))


def test_only_the_asked_room_controls_show(room):
    def shown(name):
        return room.controls[name].widget.layout.display != "none"

    assert shown("illuminance") and not shown("metered_iso")
    room.set(source="meter")
    assert not shown("illuminance") and shown("metered_iso") and shown("metered_time")
    room.reset()
    assert shown("illuminance") and not shown("metered_aperture")


# lesson 05


def test_focus_on_the_water_misses_the_meeting(sharp):
    """30 mm at 15°: 30 sin 15° = 7.76 mm nearer, from a table of sines (0.2588)."""
    sharp.set(height=0.03, target_height=0.0, target_behind=0.0, elevation=math.radians(15))
    assert sharp.result.offset == pytest.approx(-0.03 * 0.2588, rel=1e-3)
    assert "7.8 mm in front of the focused plane" in sharp.sentence
    sharp.set(elevation=0.0)
    assert sharp.result.offset == 0 and "in the focused plane" in sharp.sentence


def test_parts_and_sum(sharp):
    result = sharp.result
    parts = [result.blurs[name].sensor for name in ("motion", "defocus", "diffraction", "pixel")]
    assert result.blurs["together"].sensor == pytest.approx(math.sqrt(sum(part**2 for part in parts)))
    assert workings.get("all_blur").value(motion=parts[0], defocus=parts[1], diffraction=parts[2],
                                          pixel=parts[3]) == pytest.approx(result.blurs["together"].sensor)  # fmt: skip
    assert parts[0] == pytest.approx(sharp.state.speed * sharp.state.duration * sharp.state.magnification)


def test_lowest_point_of_the_curve_is_the_best_aperture(sharp):
    """The curve's least value, found by search, against the closed form (thin depth: within 3 %)."""
    sharp.set(part="sheet", radius=0.012, elevation=0.0)
    result = sharp.result
    fine = np.geomspace(8, 64, 4001)
    budget = lens.blur_budget(sharp.state.speed, sharp.state.duration, result.offset, result.focal, fine, 0.5,
                              result.pitch, result.diameter, 1.0)  # fmt: skip
    assert fine[np.argmin(budget.together.sensor)] == pytest.approx(result.best, rel=0.03)
    drawn = result.f_numbers[np.argmin(result.curves["together"])]
    assert abs(math.log2(drawn / result.best)) < 0.15


def test_the_band_drawn_is_the_depth(sharp):
    """Edges of the band blur by the circle exactly; the drawn polygon has that width square to the plane."""
    result = sharp.result
    for offset in (-result.near, result.far):
        blur = lens.defocus_blur(offset, result.focal, result.f_number, 0.5, 1.0)
        assert float(blur) == pytest.approx(30e-6, rel=1e-9)
    figure = sharp._figures[0]
    corners = figure.band.get_xy()[:4]
    away = np.array([math.cos(result.elevation), -math.sin(result.elevation)])
    depth = (corners[2] - corners[1]) @ away
    assert depth == pytest.approx(1e3 * (result.near + result.far), rel=1e-9)


def test_side_view_is_to_scale(sharp):
    for height in (0.0, 0.03, 0.08):
        sharp.set(height=height)
        axes = sharp._figures[0].axes
        box = axes.get_position()
        wide, high = box.width * sharp._figures[0].size[0], box.height * sharp._figures[0].size[1]
        (left, right), (low, top) = axes.get_xlim(), axes.get_ylim()
        assert (right - left) / wide == pytest.approx((top - low) / high, rel=1e-6)
        assert top > 1e3 * height + 2 and low < 0


def test_verdict_names_the_largest_part(sharp):
    sharp.set(duration=2e-3)
    assert "Motion blurs most" in sharp.sentence and "Blurred" in sharp.sentence
    sharp.set(duration=5e-6, aperture=64.0)
    assert "Diffraction blurs most" in sharp.sentence
    sharp.set(aperture=2.8, target_behind=0.01)
    assert "Defocus blurs most" in sharp.sentence


def test_closing_down_sharpens_the_edge_and_softens_the_middle(sharp):
    """The prediction of the lesson, seen in the sheet enlarged: the steepest step of the column, and of both edges."""

    def steepest():
        found = re.findall(r"data:image/jpeg;base64,([\w+/=]+)", sharp._photos.value)
        close = np.asarray(Image.open(io.BytesIO(base64.b64decode(found[1]))).convert("L"), float)
        beside = np.abs(np.diff(close[:, 40:120], axis=0))  # left of the column: the bell, the far edge, the near edge
        half = close.shape[0] // 2
        return np.abs(np.diff(close, axis=1)).max(), beside[half:].max(), beside[54:half].max()

    sharp.press(sharp.presets["Whole sheet, f/11"])
    sharp.set(duration=5e-6)
    open_middle, *open_edges = steepest()
    sharp.press(sharp.presets["Whole sheet, f/45"])
    sharp.set(duration=5e-6)
    closed_middle, *closed_edges = steepest()
    assert all(b > 1.3 * a for a, b in zip(open_edges, closed_edges, strict=True))
    assert closed_middle < 0.7 * open_middle
    # the focus behind the middle: the far edge is drawn sharper than the near one
    sharp.set(aperture=11.0, target_behind=0.008)
    _, near, far = steepest()
    assert far > 1.5 * near


def test_the_enlarged_drop_gets_softer_with_its_blur(sharp):
    """The steepest step in the recorded drop falls as the blur grows."""

    def steepest():
        captured = {}
        original = picture.record

        def keep(*given, **named):
            captured["frame"] = original(*given, **named)
            return captured["frame"]

        picture.record = keep
        module._recorded.cache_clear()  # a photograph seen before is not recorded again
        try:
            sharp.photos(sharp.state, sharp.result)
        finally:
            picture.record = original
        return float(np.abs(np.diff(captured["frame"].linear, axis=1)).max())

    sharp.set(duration=5e-6, aperture=8.0)
    crisp = steepest()
    sharp.set(target_behind=0.012)
    soft = steepest()
    sharp.set(target_behind=0.02)
    assert crisp > 1.5 * soft > 1.5 * steepest()


def test_meeting_out_of_the_frame_is_said(sharp):
    sharp.set(magnification=2.0, target_height=0.0, height=0.08)
    assert "The meeting point is out of the frame." in sharp.sentence


def test_radius_shows_only_for_the_sheet(sharp):
    radius = sharp.controls["radius"].widget.layout
    assert radius.display == "none"
    sharp.set(part="sheet")
    assert radius.display != "none"


def test_a_slip_does_not_hide_with_its_box(sharp, room):
    sharp.set(part="sheet")
    sharp.controls["radius"].box.value = "junk"
    assert "radius of the sheet must be" in sharp.sentence
    sharp.set(part="drop")
    assert "in the focused plane" in sharp.sentence
    room.controls["illuminance"].box.value = "junk"
    assert "light on the subject must be" in room.sentence
    room.set(source="meter")
    assert "stops under" in room.sentence


@pytest.mark.parametrize("given", [{"aperture": 16.0, "iso": 100.0}, {"flash_power": 1 / 8}, {"magnification": 1.0}])
def test_the_dark_room_opens_with_the_flash_right_for_a_rig_of_ones_own(given):
    """No entry of a rig holds the distance; the demo's would let lesson 01 open on a wrong flash."""
    own = rig.demo().with_values(name="mine", invented=False, **given)
    panel = panels.dark_room(rig=own)
    assert abs(panel.result.flash) < 0.1
    assert "Set the flash right" not in panel.sentence
    assert panels.dark_room(rig=rig.demo()).state.distance == 0.55
