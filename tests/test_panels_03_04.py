"""Panels of lessons 03 and 04: every control, and what they show and say against tables and frames."""

import base64
import io
import itertools
import re

import numpy as np
import pytest
from matplotlib.backends.backend_agg import RendererAgg
from matplotlib.colors import to_rgba
from matplotlib.path import Path
from PIL import Image
from tables import assert_same, number, read

from splashkit import chains, panels, rig, sync, units
from splashkit.figures import style
from splashkit.panels import shutter, trigger
from splashkit.panels.controls import Number, Tick
from splashkit.picture import levels, readout

NAMES = ("curtains", "trigger_chains")
JUNK = ("", "abc", "-", "1/0", "nan", "1e99", "12 kg")


def make(name, **start):
    return getattr(panels, name)(rig=rig.demo(), **start)


def settings(control):
    if isinstance(control, Number):
        low, high = control.range.low, control.range.high
        return [low, high, control.grid(control._count // 2), control.grid(control._count // 7)]
    return [True, False] if isinstance(control, Tick) else [value for _, value in control.options]


def shown(panel):
    return "".join(view.value for view in panel._view)


def sound(panel):
    """Nothing undefined reached figure or words, and the photographs are there."""
    assert panel.result is not None and "our mistake" not in panel.sentence, panel.sentence
    assert not re.search(r"\bnan\b|\binf\b|infinity|not a number", panel.sentence), panel.sentence
    assert "nan" not in re.sub(r'aria-label="[^"]*"', "", shown(panel)).lower()
    assert "data:image/jpeg" in panel._photos.value
    if not hasattr(panel, "_followed"):  # one view follows the panel; more of them would all be written at each step
        panel._followed = panel.working()
    assert "<math" in panel._followed.text or not panel.relations(panel.state, panel.result)


def refused_by_physics(panel):
    """Upside down, a drop faster than the slit: the one corner that has no picture."""
    return panel.sentence.startswith("The image speed on the sensor must be below the slit speed")


@pytest.mark.parametrize("name", NAMES)
def test_each_control_to_both_ends_and_back(name):
    panel = make(name)
    before = shown(panel), panel.sentence
    for control in panel.controls.values():
        for value in settings(control):
            panel.set(**{control.name: value})
            assert "Not possible" not in panel._words.value, panel.sentence
            sound(panel)
        panel.reset()
    assert (shown(panel), panel.sentence) == before
    for values in panel.presets.values():
        panel.set(**values)
        sound(panel)


@pytest.mark.parametrize("name", NAMES)
def test_junk_in_every_box_is_one_sentence(name):
    panel = make(name)
    for control in panel.controls.values():
        if isinstance(control, Number):
            for junk in JUNK:
                control.box.value = junk or " "
                assert re.fullmatch(r"The .+ must be .+; got .+\. To fix it: .+\.", panel.sentence), panel.sentence
            panel.reset()
            assert "Not possible" not in panel._words.value


@pytest.mark.parametrize("name", NAMES)
def test_a_walk_over_all_settings(name):
    random, panel = np.random.default_rng(4), make(name)
    names = list(panel.controls)
    refused = 0
    for _ in range(150):
        control = panel.controls[names[random.integers(len(names))]]
        choice = settings(control)
        value = control.grid(int(random.integers(control._count + 1))) if isinstance(control, Number) else None
        panel.set(**{control.name: choice[random.integers(len(choice))] if value is None else value})
        if refused_by_physics(panel):
            refused += 1
            continue
        sound(panel)
    assert refused < 60


def test_a_drop_that_outruns_the_slit_is_explained():
    panel = make("curtains")
    panel.set(held="inverted", speed=6.0, magnification=2.0, travel=8e-3)
    assert refused_by_physics(panel) and "lower speed or magnification" in panel.sentence


# lesson 03 against tests/published/focal_plane_shutter.csv and pulse_train.csv: derived for curtains of even speed,
# travel 3 ms over 24 mm, drop at 3 m/s, independently of this package

SLIT_ROWS = [row for row in read("focal_plane_shutter") if number(row["t"]) >= 1 / 8000]


@pytest.mark.parametrize("row", SLIT_ROWS, ids=lambda row: f"{row['t']}-m{row['m']}")
def test_panel_agrees_with_the_shutter_table(row):
    panel = make("curtains")
    exposure = number(row["t"])
    panel.set(exposure=exposure, travel=3e-3, speed=3.0, magnification=number(row["m"]), light="burn")
    result = panel.result
    assert_same(result.usual_share, row["eta"])
    assert float(np.mean(result.shares)) == pytest.approx(number(row["eta"]), rel=0.02)  # pulses counted one by one
    assert_same(1e3 * result.slit, row["slit_mm"])
    assert_same(result.length, row["squash_against"])
    assert_same(1e3 * result.streak * number(row["m"]), row["blur_against_mm"])
    if result.slit < 0.0239:
        assert f"A slit {units.format_quantity(1e-3 * number(row['slit_mm']), 'm', 2)} wide" in panel.sentence
    panel.set(held="inverted")
    assert_same(panel.result.length, row["stretch_with"])
    panel.set(held="portrait_left")
    assert_same(np.degrees(panel.result.slant), row["skew_deg"])
    assert_same(1e3 * panel.result.streak * number(row["m"]), row["blur_across_mm"])
    panel.set(held="landscape", light="low")
    assert_same(panel.result.dark, row["dark_band_fraction"])
    assert ("dark band" in panel.sentence) == (number(row["dark_band_fraction"]) > 0)


@pytest.mark.parametrize("row", read("pulse_train"), ids=lambda row: f"{row['pulse_Hz']}-{row['t']}")
def test_panel_agrees_with_the_pulse_table(row):
    frequency, exposure = float(row["pulse_Hz"]), number(row["t"])
    if not 5e3 <= frequency <= 100e3 or not 1 / 8000 <= exposure <= 1 / 60:
        pytest.skip("beyond the panel's controls")
    panel = make("curtains")
    panel.set(frequency=frequency, exposure=exposure, travel=3e-3, light="burn")
    assert panel.result.banding == pytest.approx(number(row["ripple_pp"]), abs=1e-6)
    banded = number(row["ripple_pp"]) > 0.005
    assert (f"{row['min_pulses']} or {row['max_pulses']} pulses" in panel.sentence) == banded


# lesson 03: what the sentence says is what the recorded frame shows


def own_frame(panel):
    state, result = panel.state, panel.result
    level = 1 / result.usual_share if state.light == "burn" else 1.0
    own = (state.held, state.speed, state.magnification, panel.diameter)
    return shutter.frame(state.light, state.exposure, state.travel, state.frequency, *own, level)


@pytest.mark.parametrize("exposure", [1 / 320, 1 / 400, 1 / 500])
def test_frame_has_the_dark_band_that_the_sentence_names(exposure):
    panel = make("curtains", light="low", exposure=exposure)
    assert levels.dark_band_share(own_frame(panel)) == pytest.approx(panel.result.dark, abs=0.01)


@pytest.mark.parametrize(("held", "side"), [("landscape", "bottom"), ("inverted", "top"), ("portrait_left", "right"),
                                            ("portrait_right", "left")])  # fmt: skip
def test_the_black_side_is_where_the_sentence_says(held, side):
    panel = make("curtains", light="low", exposure=1 / 500, held=held)
    assert f"at the {side} of the picture" in panel.sentence
    light = own_frame(panel).linear
    edge = {"bottom": light[-1], "top": light[0], "right": light[:, -1], "left": light[:, 0]}
    assert edge[side].max() < 1e-6 and min(float(edge[other].min()) for other in edge if other != side) < 0.5
    opposite = {"bottom": "top", "top": "bottom", "right": "left", "left": "right"}[side]
    assert edge[opposite].min() > 0.2


def corners(words, drawn):
    """Corners of a written text, turned as it is (matplotlib's own extent is the upright box around it)."""
    angle = np.radians(words.get_rotation())
    words.set_rotation(0)
    box = words.get_window_extent(drawn)
    words.set_rotation(np.degrees(angle))
    place = words.get_transform().transform(words.get_position())
    turn = np.array([[np.cos(angle), np.sin(angle)], [-np.sin(angle), np.cos(angle)]])
    return (box.corners()[[0, 1, 3, 2, 0]] - place) @ turn + place


def on_each_other(figure):
    """Pairs of words in a figure that touch."""
    drawn = RendererAgg(72 * figure.size[0], 72 * figure.size[1], figure.figure.dpi)
    shown = [word for axes in figure.figure.axes for word in axes.texts if word.get_visible() and word.get_text()]
    paths = [Path(corners(word, drawn)) for word in shown]
    assert len(shown) > 3
    return [
        (one.get_text(), other.get_text())
        for (one, here), (other, there) in itertools.combinations(zip(shown, paths, strict=True), 2)
        if here.intersects_path(there, filled=True)
    ]


@pytest.mark.parametrize("light", ["low", "full", "burn", "day"])
@pytest.mark.parametrize("held", ["landscape", "inverted", "portrait_left"])
def test_no_label_of_the_curtains_stands_on_another(light, held):
    """At 1/60 s "drop" stood on "front curtain", and at 1/2500 s "shut again" on "rear curtain"."""
    panel = make("curtains", light=light, held=held)
    times = [1 / 60, 1 / 160, 1 / 320, 1 / 1250, 1 / 2500, 1 / 8000]
    for exposure, speed, travel in itertools.product(times, (0.1, 2.2, 6.0), (1e-3, 3.5e-3, 8e-3)):
        panel.set(exposure=exposure, speed=speed, travel=travel)
        assert panel.state.exposure == pytest.approx(exposure, rel=0.01)
        assert on_each_other(panel._figures[0]) == [], (exposure, speed, travel)


@pytest.mark.parametrize("moment", [0.02, 0.06, 0.12, 0.24, 0.5, 1.0])
def test_the_line_of_the_wanted_light_does_not_run_through_words(moment):
    """Words that it meets are drawn after it, on paper that hides it. At 60 ms it crossed two lines of words."""
    panel = make("trigger_chains", moment=moment)
    figure = panel._figures[0]
    assert on_each_other(figure) == []
    drawn = RendererAgg(72 * figure.size[0], 72 * figure.size[1], figure.figure.dpi)
    (x, low), (_, high) = figure.axes.transData.transform(figure.wanted.get_xydata())
    met = 0
    for words in figure.axes.texts:
        box = words.get_window_extent(drawn)
        assert box.x0 > 0 and box.x1 < 72 * figure.size[0], words.get_text()
        if box.x0 < x < box.x1 and box.y0 < high and box.y1 > low:
            behind = words.get_bbox_patch()
            assert behind is not None and behind.get_facecolor() == to_rgba(style.PAPER), words.get_text()
            assert figure._moving.index(words) > figure._moving.index(figure.wanted)
            met += 1
    assert met or moment > 0.2


@pytest.mark.parametrize("held", ["landscape", "inverted"])
def test_frame_is_squashed_or_stretched_as_the_sentence_says(held):
    panel = make("curtains", exposure=1 / 8000, magnification=1.5, held=held)
    ratio = readout.height_to_width(own_frame(panel))
    assert ratio == pytest.approx(panel.result.length, rel=0.03)


def test_frame_leans_as_the_sentence_says():
    panel = make("curtains", exposure=1 / 8000, magnification=1.5, held="portrait_left")
    assert abs(readout.slant(own_frame(panel))) == pytest.approx(panel.result.slant, abs=np.radians(1))


def test_brightening_makes_up_for_the_lost_light_and_no_more():
    panel = make("curtains", exposure=1 / 1000)

    def mean():
        data = re.findall(r"base64,([^\"]+)", panel._photos.value)[1]
        return float(np.asarray(Image.open(io.BytesIO(base64.b64decode(data)))).mean())

    weak = make("curtains", exposure=1 / 250, light="low")
    bright = mean()
    panel.set(brighten=False)
    assert mean() < 0.6 * bright
    panel.set(brighten=True)
    panel = weak
    assert bright == pytest.approx(mean(), rel=0.05)


def test_the_sync_time_is_the_shortest_mark_that_works():
    for travel in (1e-3, 2.5e-3, 3.5e-3, 8e-3):
        time = shutter.sync_time(travel)
        panel = make("curtains", light="low", exposure=time, travel=travel)
        assert panel.result.dark == 0 and panel.result.lowest > 0.9
        faster = max(mark for mark in shutter.TIMES if mark < time)
        panel.set(exposure=faster)
        assert panel.result.dark > 0 or panel.result.lowest < 0.9


# lesson 04


@pytest.mark.parametrize("row", read("front_rear_curtain"), ids=lambda row: row["t"])
def test_panel_agrees_with_the_curtain_table(row):
    """Derived table: lag 50 ms, travel 3 ms, margin 0.5 ms; link and flash delays come on top of both."""
    exposure = number(row["t"])
    if exposure > 1:
        pytest.skip("beyond the panel's control")
    panel = panels.trigger_chains(rig=rig.demo().with_values(curtain_travel=3e-3), lag=0.05, exposure=exposure,
                                  moment=1.0)  # fmt: skip
    small = chains.LINK_DELAYS["cable"][0] + chains.FLASH_DELAY[0]
    front, rear = panel.result.chains["front"], panel.result.chains["rear"]
    assert_same(1e3 * (1.0 - front.needed - small), row["front_latency_ms"])
    assert_same(1e3 * (1.0 - rear.needed - small), row["rear_latency_ms"])
    assert_same(1e3 * (front.needed - rear.needed), row["difference_ms"])


def test_each_chain_set_right_brings_the_light_when_it_is_wanted():
    panel = make("trigger_chains")
    for one in panel.result.chains.values():
        assert one.light == pytest.approx(panel.state.moment, abs=1e-12) and one.late == pytest.approx(0, abs=1e-12)
        assert one.set_to == pytest.approx(float(chains.delay_setting(one.chain, panel.state.moment)))


def test_lag_moves_two_chains_and_shutter_time_moves_one():
    panel = make("trigger_chains")
    before = {kind: one.needed for kind, one in panel.result.chains.items()}
    panel.set(lag=panel.state.lag + 0.02)
    moved = {kind: before[kind] - one.needed for kind, one in panel.result.chains.items()}
    assert moved == pytest.approx({"front": 0.02, "rear": 0.02, "open": 0.0})
    panel.reset()
    panel.set(exposure=1 / 60)
    moved = {kind: before[kind] - one.needed for kind, one in panel.result.chains.items()}
    assert moved == pytest.approx({"front": 0.0, "rear": 1 / 60 - 0.1, "open": 0.0})


def test_bulb_has_no_rear_curtain_and_says_so():
    panel = make("trigger_chains", bulb=True)
    assert panel.result.chains["rear"].light is None and trigger.BULB_REAR in panel.sentence
    sound(panel)


def test_a_lag_longer_than_the_fall_asks_for_the_camera_first():
    panel = make("trigger_chains", lag=0.25)
    early = -panel.result.chains["front"].needed
    assert early == pytest.approx(0.25 - 0.065 - 0.1494, abs=1e-4)
    assert re.search(r"Front curtain: no delay is short enough; .+ before the valve\.", panel.sentence)


def frame_of(panel, kind):
    state, one = panel.state, panel.result.chains[kind]
    level = 1 / (1 + state.room)
    ambient = level * state.room * one.exposure / state.exposure
    return trigger.frame(kind, one.exposure, panel.travel, one.late, level, ambient, panel.speed, panel.diameter)


def test_ghost_lies_below_with_the_front_curtain_and_above_with_the_rear():
    panel = make("trigger_chains", exposure=1 / 125, room=1.0)
    centre = 0.5 * (trigger.PIXELS[1] - 1)
    reach = 12  # pixels, a little more than half of the sharp drop's radius
    for kind, below in (("front", True), ("rear", False)):
        shot = frame_of(panel, kind)
        ghost = np.abs(shot.linear - shot.plate)[:, trigger.PIXELS[0] // 2 - reach : trigger.PIXELS[0] // 2 + reach]
        far = int(0.8 * 2 * panel.diameter / shot.camera.pixel)  # 1.6 drop diameters off
        under, over = ghost[int(centre) + far].max(), ghost[int(centre) - far].max()
        assert (under > 5 * over) if below else (over > 5 * under)
        behind, ahead = panel._ghost(panel.result.chains[kind])
        assert (ahead > behind) == below


def test_the_same_delay_in_another_chain_misses_by_what_the_sentence_says():
    panel = make("trigger_chains")
    panel.set(**panel.presets["Same delay, other chain"])
    late = float(chains.front_rear_difference(1 / 60, panel.travel))
    assert panel.result.chains["rear"].late == pytest.approx(late)
    below = late * panel.speed - panel.diameter / 2 - 0.5 * 24e-3 / trigger.SCALE
    told = re.search(r"the drop was ([\d.]+) mm below its lower edge", panel._photos.value)
    # the words round to 0.1 mm, count from the last pixel's middle, and from the middle of the flash's light
    slack = 0.05e-3 + 0.5 * 36e-3 / trigger.PIXELS[0] / trigger.SCALE + panel.speed * trigger.weak_flash().t01
    assert 1e-3 * float(told[1]) == pytest.approx(below, abs=slack)


def test_open_shutter_repeats_best_and_radio_costs_more_than_cable():
    panel = make("trigger_chains", lag_spread=2e-3)
    spread = {kind: one.spread for kind, one in panel.result.chains.items()}
    assert spread["open"] < 0.05 * spread["front"] and "shutter lag" in panel.sentence
    panel.set(link="radio")
    assert panel.result.chains["open"].spread > spread["open"]
    assert panel.result.chains["open"].needed < panel.state.moment - 1e-3


def test_the_slit_never_outruns_its_own_speed():
    """The sync module and the panel mean the same slit: 24 mm in one travel."""
    panel = make("curtains", travel=3e-3)
    assert panel.result.slit_speed == float(sync.slit_speed(3e-3)) == pytest.approx(8.0)
