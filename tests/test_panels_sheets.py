"""The panels that are nothing but recorded frames: slow motion (00), the sheet of units (02), four ways (03)."""

import base64
import io
import itertools
import re

import numpy as np
import pytest
from matplotlib.backends.backend_agg import RendererAgg
from PIL import Image

from splashkit import drops, flash, panels, rig, splash, sync


@pytest.fixture(autouse=True)
def own_folder(tmp_path, monkeypatch):
    monkeypatch.setenv("SPLASHKIT_HOME", str(tmp_path))


def frames(panel):
    """The photographs as arrays of 0 (black) to 255."""
    found = re.findall(r"data:image/jpeg;base64,([\w+/=]+)", panel._photos.value)
    return [np.asarray(Image.open(io.BytesIO(base64.b64decode(data))).convert("L"), float) for data in found]


def words(panel):
    return re.findall(r'alt="([^"]+)"', panel._photos.value)


# slow motion


def test_each_button_shows_the_act_it_names():
    panel = panels.slow_motion()
    names = ["first drop is on its way", "crown", "crater", "column", "column", "sheet"]
    assert len(panel.presets) == len(names)
    seen = []
    for values, name in zip(panel.presets.values(), names, strict=True):
        panel.press(values)
        assert name in panel.sentence
        assert words(panel) == [f"Recorded frame. {panel.sentence}"]
        seen.append(frames(panel)[0])
    for one, other in itertools.pairwise(seen):
        assert np.abs(one - other).max() > 60, "two acts look alike"


def test_it_opens_on_the_sheet_and_says_its_width():
    panel = panels.slow_motion()
    film = panel.film
    assert panel.state.moment == pytest.approx(film.full, abs=1e-4)
    width = 2e3 * float(film.sheet.radius(panel.state.moment - film.met).value)
    assert float(re.search(r"([\d.]+) mm wide", panel.sentence)[1]) == pytest.approx(width, rel=0.05)
    assert panel.sentence.endswith("this is the picture.")


def test_the_column_has_the_height_of_the_splash_model():
    panel = panels.slow_motion(moment=0.05)
    height = 1e3 * float(splash.column_height(panel.film.splash, 0.05).value)
    assert float(re.search(r"([\d.]+) mm high", panel.sentence)[1]) == pytest.approx(height, rel=0.05)


def test_every_step_changes_the_sentence():
    panel = panels.slow_motion()
    said = panel.sentence
    panel.controls["moment"].step(1)
    assert panel.sentence != said


def test_the_end_is_said_too():
    assert "It is over" in panels.slow_motion(moment=0.15).sentence


def test_a_rig_that_makes_no_meeting_still_shows_the_film():
    low = rig.demo().with_values(nozzle_height=0.03, first_diameter=2e-3, second_diameter=2e-3)
    panel = panels.slow_motion(rig=low)
    assert panel.film.pair.nozzle_height == 0.25 and "sheet" in panel.sentence


# the sheet of units and powers


def test_smears_are_speed_times_t01():
    panel = panels.flash_sheet(speed=2.0)
    assert panel.result.smear["voltage"][2] == pytest.approx(2.0 * flash.light_curve("voltage", 1 / 8).t01)
    assert "from 4.8 mm to 96 µm where the flash is cut short" in panel.sentence
    assert len(words(panel)) == 12 and "lower voltage, 1/8 power" in words(panel)[6]


def test_low_power_is_seen_to_freeze_in_the_first_row_and_the_third_only():
    shown = frames(panels.flash_sheet())
    # a sharp drop has a dark ring, a smeared one a grey veil
    darkest = np.array([np.percentile(frame, 1) for frame in shown]).reshape(3, 4)
    assert (np.diff(darkest[0]) < 0).all() and (np.diff(darkest[2]) < 0).all()
    assert (np.diff(darkest[1]) > 0).all()


# four ways


def outline(frame):
    """Height and width of what is darker than the background by a third."""
    dark = frame < 0.67 * np.median(frame)
    tall, wide = np.flatnonzero(dark.any(axis=1)), np.flatnonzero(dark.any(axis=0))
    return np.ptp(tall) + 1, np.ptp(wide) + 1


def test_the_burn_at_its_fastest_is_flat_and_the_weak_flash_is_round():
    panel = panels.four_ways()
    shown = frames(panel)
    fast, weak = outline(shown[2]), outline(shown[3])
    slit = float(sync.slit_speed(panel.result.travel))
    squash = 1 / (1 + panel.state.speed / slit)
    assert fast[0] / fast[1] == pytest.approx(squash, rel=0.06)
    assert weak[0] / weak[1] == pytest.approx(1, rel=0.04)
    assert np.percentile(shown[0], 1) > np.percentile(shown[1], 1) > np.percentile(shown[3], 1) + 30


def test_lit_times_and_smears():
    panel = panels.four_ways()
    lit = [way.lit for way in panel.result.ways]
    assert lit[:3] == [1 / 250, 1 / 500, 1 / 8000] and lit[3] == pytest.approx(19.3e-6, rel=0.01)
    demo = rig.demo()
    fall = drops.fall(drops.fall_height(demo.nozzle_height, demo.first_diameter), demo.first_diameter)
    assert panel.state.speed == pytest.approx(float(fall.speed), abs=0.01)
    assert "6.5 times as long" in panel.sentence


def test_the_slow_motion_says_what_its_button_promises():
    """ "5. The meeting" said "This is the column", and a drop above the frame was only "on its way"."""
    panel = panels.slow_motion()
    for words, values in panel.presets.items():
        panel.press(values)
        assert f"his is {words[3:].lower()}" in panel.sentence or words == "1. The first drop", panel.sentence
    panel.set(moment=0.0)
    assert "This is the touch" in panel.sentence
    panel.set(moment=-0.02)
    assert "still above the frame" in panel.sentence
    panel.set(moment=-0.004)
    assert "above the frame" not in panel.sentence and "on its way" in panel.sentence


def test_no_signal_stands_on_the_word_of_another():
    """With the rear curtain and a long exposure the camera's triangle hid "valve" or "valve again"."""
    panel = panels.timeline(chain="rear")
    figure = panel._figures[0]
    seen = 0
    for exposure_time, lag in itertools.product((1 / 60, 1 / 15, 1 / 10, 1 / 5), (0.0, 0.03, 0.065)):
        panel.set(exposure_time=exposure_time, shutter_lag=lag)
        if "Not possible" in panel._words.value:
            continue
        drawn = RendererAgg(648, 360, figure.figure.dpi)
        names = ("valve", "valve again", "camera")
        shown = [word for word in figure.axes.texts if word.get_text() in names and word.get_visible()]
        boxes = [word.get_window_extent(drawn) for word in shown]
        assert len(boxes) == 3
        points = figure.axes.transData.transform(figure.signals.get_xydata())
        inside = 5.5 * figure.figure.dpi / 72
        for box in boxes:
            for x, y in points:
                assert not (box.x0 - inside < x < box.x1 + inside and box.y0 < y < box.y1), (exposure_time, lag)
        assert not any(a.overlaps(b) for i, a in enumerate(boxes) for b in boxes[:i]), (exposure_time, lag)
        seen += 1
    assert seen > 6
