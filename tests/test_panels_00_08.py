"""Panels of lessons 00 and 08, driven in process: words against figures, and the rig's file."""

import json
import re
from dataclasses import replace
from itertools import product

import numpy as np
import pytest

from splashkit import drops, panels, rig, splash, timing
from splashkit.panels import gap_map
from splashkit.panels import pair as two


@pytest.fixture(autouse=True)
def own_folder(tmp_path, monkeypatch):
    monkeypatch.setenv("SPLASHKIT_HOME", str(tmp_path))
    return tmp_path


def test_the_two_buttons_lead_to_the_picture_from_anywhere():
    panel = panels.gap_and_height()
    for height, size, liquid in product((0.15, 0.25, 0.5), (3e-3, 4e-3, 5e-3), ("water", "milk")):
        panel.set(nozzle_height=height, first=size, second=size, liquid=liquid, gap=0.02, light=0.1)
        assert "They miss" in panel.sentence
        panel.press(lambda: panel._plan("top", light=False))
        assert "at its top" in panel.sentence and "Now the light" in panel.sentence
        panel.press(panel._light_on_sheet)
        assert "this is the picture" in panel.sentence, panel.sentence


@pytest.mark.parametrize(("phase", "words"), [("rising", "while it rises"), ("falling", "while it falls")])
def test_meet_on_the_way(phase, words):
    panel = panels.gap_and_height()
    panel.press(lambda: panel._plan(phase))
    assert words in panel.sentence and "this is the picture" in panel.sentence


def test_a_button_that_cannot_says_why():
    panel = panels.gap_and_height()
    panel.controls["first"].box.value = "lemons"
    panel.press(panel._light_on_sheet)
    assert "first drop's diameter must be a number" in panel.sentence
    panel.reset()
    panel.set(gap=0.01)
    panel.press(panel._light_on_sheet)
    assert "To fix it: set the gap first" in panel.sentence


def test_the_ring_stands_where_both_drops_are():
    """The figure's ring against both drops' own falls, computed apart."""
    panel = panels.gap_and_height(gap=0.06)
    state, met = panel.state, panel.result.met
    fall = drops.fall(
        drops.fall_height(state.nozzle_height, state.second) - met.height, state.second, state.release_speed
    )
    assert float(met.time) == pytest.approx(state.gap + float(fall.time), abs=2e-5)
    x, y = panel._figures[1].ring.get_data()
    assert (x[0], y[0]) == pytest.approx((float(met.time) * 1e3, float(met.height) * 1e3))
    second = panel._figures[1].second.get_data()
    assert (second[0][-1], second[1][-1]) == pytest.approx((x[0], y[0]))


def test_sentence_agrees_with_the_window():
    panel = panels.gap_and_height(gap=0.068)
    touch, window = float(panel.result.met.time), panel.result.window
    for moment, words in (
        (touch - 0.01, "too early"),
        (touch + 0.3 * float(window.opens.value), "just begun"),
        (touch + float(window.best.value), "this is the picture"),
        (touch + 1.2 * float(window.closes.value), "too late"),
    ):
        panel.set(light=moment)
        assert words in panel.sentence, panel.sentence


def test_two_frames_side_by_side_and_words_for_each():
    panel = panels.gap_and_height(gap=0.03)
    shown = panel._photos.value
    assert shown.count("<img") == 2 and shown.count("<figcaption>") == 2
    assert all(len(words) > 20 for words in re.findall(r'alt="([^"]*)"', shown))
    pictures = re.findall(r"base64,([^\"]+)", shown)
    assert pictures[0] != pictures[1]
    panel.press(lambda: panel._plan("top"))
    pictures = re.findall(r"base64,([^\"]+)", panel._photos.value)
    assert pictures[0] == pictures[1]  # the planned settings give the planned picture


def test_the_frame_shows_nothing_before_the_drop_and_water_after():
    early, full = (two.Pair(0.25, 4e-3, 4e-3, "water", 0.05, 0.1), 0.0682)
    from splashkit.panels.gap import frame

    assert frame(early, full, 0.06) != frame(early, full, 0.282)
    slow_first = two.Pair(0.8, 2e-3, 7e-3, "water", 0.05, 0.0)
    assert frame(slow_first, 0.005, 0.3) is None  # the large second drop overtakes the small first one


def test_a_miss_says_what_its_photograph_leaves_out():
    """The caption carries the frame's own note; before the second drop lands, only a loose head is left out."""
    panel = panels.gap_and_height()
    caption = lambda: re.findall(r"<figcaption>(.*?)</figcaption>", panel._photos.value)[0]  # noqa: E731
    assert "They miss" in panel.sentence and "loose head" in caption() and "crown is drawn" not in caption()
    panel.set(light=float(panel.result.met.time) + 5e-3)
    assert "only the crown is drawn" in caption()
    panel.set(gap=0.025, light=0.29)
    assert "made of the open crater is not drawn" in caption()


def test_small_changes_follow_the_panel():
    panel = panels.gap_and_height()
    table = panel.small_changes()
    before = table.text
    assert "nozzle height" in before and "0.52" in before
    panel.set(gap=0.05)
    assert table.text == before
    panel.set(nozzle_height=0.4)
    assert table.text != before


def test_map_agrees_with_the_meeting_at_every_mark():
    panel = panels.outcome_map()
    random = np.random.default_rng(3)
    state = panel.result
    for _ in range(40):
        row = int(random.integers(len(state.heights)))
        gap = float(random.uniform(0.01, 0.2))
        code = int(np.searchsorted([edge[row] for edge in state.edges], gap, side="right"))
        met = timing.meeting(state.heights[row], gap, 4e-3, bowl_depth=0.05, release_speed=0.1)
        assert code == int(met.code)
    assert state.best.value[0] < state.best.value[-1]


def test_the_map_has_kinks_where_its_legend_says():
    """The band of the best gap steps only where a bubble may be caught or the kind of column is unknown."""
    assert any("Kinks" in seen for seen, _ in gap_map.OutcomeMap.legend_words)
    best = panels.outcome_map().result.best
    wide = np.log(best.high / best.low)
    heights = np.array(gap_map.HEIGHTS)
    speed = drops.fall(drops.fall_height(heights, 4e-3), 4e-3, 0.1).speed
    made = splash.first_drop(4e-3, speed, bowl_depth=0.05)
    special = made.entrains_bubble.astype(int) + 2 * made.between_kinds
    steps = np.abs(np.diff(wide)) > 0.1
    assert steps.sum() >= 3 and np.all(steps[np.diff(special) != 0])


def test_map_marks_the_setting_and_keeps_its_areas():
    panel = panels.outcome_map()
    figure = panel._figures[0]
    area = figure.areas[4].get_xy()
    panel.set(gap=0.09, nozzle_height=0.4)
    assert [v[0] for v in figure.mark.get_data()] == pytest.approx([90, 400])
    assert np.array_equal(figure.areas[4].get_xy(), area)
    panel.set(first=5e-3)
    assert figure.areas[4].get_xy()[:, 0].max() > area[:, 0].max() + 1
    assert figure.still_draws == 1


@pytest.mark.parametrize("name", ["sync_speed", "exposure_time"])
def test_a_shutter_time_as_the_camera_shows_it_is_explained(name):
    """A camera shows 250 for 1/250 s; "got 250 s, measure it again" helped nobody."""
    form = panels.my_rig()
    form.fields[name].box.value = "250"
    assert form.sentence.endswith("A camera that shows 250 means 1/250. To fix it: write 1/250.")
    form.fields[name].box.value = "1/250"
    assert "1 of" in form.sentence


def test_slow_motion_counts_down_to_the_meeting_in_tenths():
    film = panels.slow_motion()
    film.press(film.presets["5. The meeting"])
    assert "column: 0.5 ms from now" in film.sentence
    film.set(moment=film.film.met - 2e-5)
    assert "less than 0.1 ms from now" in film.sentence


def test_slow_motion_names_the_crater_that_its_photograph_shows():
    """The hole closes while the slider moves: its depth in words is that of the liquid on the axis at that moment."""
    film = panels.slow_motion()
    start = film.film.start
    said = []
    for moment in (0.65 * start, 0.8 * start, 0.95 * start):
        film.set(moment=moment)
        said.append(float(re.search(r"a hole ([\d.]+) mm deep", film.sentence)[1]))
        floor = -1e3 * float(splash.column_height(film.film.splash, film.state.moment).value)
        assert said[-1] == pytest.approx(floor, rel=0.06)
    assert said[0] > 2 * said[2]


def test_timeline_adds_up():
    panel = panels.timeline()
    for chain in ("front", "rear", "open"):
        panel.set(chain=chain)
        made = panel.result
        assert made.delay + made.chain.mean == pytest.approx(made.light)
        assert made.light == pytest.approx(made.valve + float(made.plan.delay.value))
        row = {(bar.row, bar.look): bar for bar in made.bars}
        assert row["sheet", "sheet"].start == pytest.approx(row["second", "fall"].end)
        assert row["water", "crater"].start == pytest.approx(row["first", "fall"].end)
        shutter = row["open", "open"]
        assert shutter.start < made.light < shutter.end
        assert all(bar.earliest <= bar.end <= bar.latest for bar in made.bars)
    assert "camera" not in [name for name, _ in made.signals]


@pytest.mark.parametrize(("seconds", "shown"), [(2.0, 0.5), (30.0, 0.5), (1 / 4000, 1 / 250), (1 / 60, 1 / 60)])
def test_timeline_opens_with_any_shutter_time_of_a_rig(seconds, shown):
    """With 2 s, usual for open flash, the first figure of the course stayed empty and listed all marks."""
    panel = panels.timeline(rig=replace(rig.demo(), chain="open", exposure_time=seconds))
    assert panel.state.exposure_time == pytest.approx(shown) and "Not possible" not in panel._words.value
    assert panel.sentence.startswith("From the valve's signal to the light")


def test_the_flash_of_lesson_02_starts_as_the_rig_has_it():
    for kind, words in (("voltage", "lowers its voltage"), ("capacitor", "switches capacitors off")):
        assert words in panels.flash_duration(rig=replace(rig.demo(), flash_kind=kind)).sentence


def test_timeline_refuses_what_cannot_be_fired_in_time():
    panel = panels.timeline(chain="rear", exposure_time=0.5)
    assert "must be at least the chain's" in panel.sentence and "To fix it" in panel.sentence


# ---------------------------------------------------------------- my rig


def test_form_opens_blank_and_saves_only_on_the_button(own_folder):
    form = panels.my_rig()
    assert form.rig == rig.Rig() and "No rig is saved yet" in form.sentence
    form.fields["nozzle_height"].box.value = "30 cm"
    assert "Not saved yet" in form.sentence and not (own_folder / "rig.json").exists()
    form.fields["chain"].box.value = "open"
    form.save()
    assert rig.load().nozzle_height == pytest.approx(0.3) and rig.load().chain == "open"
    assert rig.load().shutter_lag is None and rig.load().invented is False


@pytest.mark.parametrize(
    ("name", "text", "words"),
    [
        ("nozzle_height", "lemons", "must be a number"),
        ("shutter_lag", "6500", "must be from 0 ms to 2000 ms"),
        ("nozzle_height", "-5", "must be from"),
        ("iso", "<script>", "must be a number"),
    ],
)
def test_refused_values_are_said_and_not_saved(own_folder, name, text, words):
    form = panels.my_rig()
    form.fields[name].box.value = text
    assert words in form.sentence and "<script>" not in form._words.value
    assert form.save().startswith("Not saved.") and not (own_folder / "rig.json").exists()
    form.fields[name].box.value = ""
    assert "Saved in" in form.save()


@pytest.mark.parametrize(
    ("name", "text", "value"),
    [("aperture", "f/11", 11), ("aperture", "F5,6", 5.6), ("iso", "ISO 400", 400), ("flash_power", "1/32", 1 / 32)],
)
def test_settings_are_read_as_they_are_marked(name, text, value):
    form = panels.my_rig()
    form.fields[name].box.value = text
    assert getattr(form.rig, name) == pytest.approx(value)


def test_demo_rig_survives_the_form_digit_by_digit():
    form = panels.my_rig()
    form.read_file(rig.to_bytes(rig.demo()))
    assert form.rig == rig.demo()
    form.fields["nozzle_height"].box.value = "260"
    assert form.rig.invented is False and form.rig.nozzle_height == pytest.approx(0.26)


def test_unknown_keys_and_notes_stay(own_folder):
    held = {"splashkit_rig": 1, "note": "third shelf", "nozzle_height_mm": 410.0, "future_key": [1, 2]}
    (own_folder / "rig.json").write_text(json.dumps(held))
    form = panels.my_rig()
    assert form.fields["nozzle_height"].box.value == "410"
    form.fields["iso"].box.value = "200"
    form.save()
    kept = json.loads((own_folder / "rig.json").read_text())
    assert kept["future_key"] == [1, 2] and kept["note"] == "third shelf" and kept["iso"] == 200


@pytest.mark.parametrize("held", ['{"nozzle_height_mm": 25', '{"nozzle_height_mm": "high"}', "", "\x00"])
def test_a_damaged_file_is_said_and_never_overwritten(own_folder, held):
    path = own_folder / "rig.json"
    path.write_text(held)
    form = panels.my_rig()
    assert "cannot be read" in form.sentence and "splash-refused" in form._words.value
    form.fields["nozzle_height"].box.value = "250"
    assert "rig.new.json" in form.save()
    assert path.read_text() == held
    assert rig.from_bytes((own_folder / "rig.new.json").read_bytes()).nozzle_height == pytest.approx(0.25)


def test_an_uploaded_file_fills_the_form_and_is_not_saved(own_folder):
    form = panels.my_rig()
    form.read_file(b'{"splashkit_rig": 1, "nozzle_height_mm": 410}', "theirs.json")
    assert form.rig.nozzle_height == pytest.approx(0.41) and not (own_folder / "rig.json").exists()
    form.read_file(b'{"nozzle_height_mm": "<i>"}', "<b>.json")
    assert "cannot be read" in form.sentence and "<b>" not in form._words.value
    assert form.rig.nozzle_height == pytest.approx(0.41)


def test_download_holds_what_is_written():
    import base64

    form = panels.my_rig()
    form.fields["bowl_depth"].box.value = "5 cm"
    data = base64.b64decode(re.search(r"base64,([^\"]+)", form._file.value)[1])
    assert rig.from_bytes(data).bowl_depth == pytest.approx(0.05)


def test_panels_start_from_the_saved_rig():
    form = panels.my_rig()
    form.fields["nozzle_height"].box.value = "410"
    form.fields["shutter_lag"].box.value = "52"
    form.save()
    assert panels.gap_and_height().state.nozzle_height == pytest.approx(0.41)
    timeline = panels.timeline()
    assert (timeline.state.nozzle_height, timeline.state.shutter_lag) == pytest.approx((0.41, 0.052))


def test_each_box_has_a_label_of_its_own():
    form = panels.my_rig()
    labels = [field.box.description for field in form.fields.values()]
    assert len(set(labels)) == len(labels) and all(labels)
    assert max(map(len, labels)) < 48  # one line above its box
    assert all(label[0].isupper() for label in labels)


def test_a_miss_inside_the_band_is_no_plain_miss():
    """At a gap of 94 ms it said "They miss", and then that the gap lies between 22 ms and 110 ms."""
    panel = panels.gap_and_height(rig=rig.demo().filled(), nozzle_height=0.08, gap=0.094)
    low, high = (float(end) for end in (panel.result.plan.gap.low, panel.result.plan.gap.high))
    assert not panel.result.meets and low < 0.094 < high
    assert "By the middle of the band they miss" in panel.sentence and "on a real rig they may meet" in panel.sentence
    panel.set(gap=high + 0.01)
    assert "They miss: make the gap shorter." in panel.sentence and "may meet" not in panel.sentence


def test_the_right_light_does_not_strike_out_the_words_beside_its_bar():
    figure = panels.gap_and_height(rig=rig.demo().filled())._figures[1]
    assert figure.window_words.get_bbox_patch() is not None
    assert figure.window_words.get_zorder() > figure.lamp.get_zorder()
