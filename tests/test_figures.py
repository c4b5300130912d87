"""Two-layer figures: what is drawn when, and that the markup is fit for a page."""

import re
import xml.dom.minidom as minidom
from types import SimpleNamespace

import matplotlib as mpl
import numpy as np
import pytest
from matplotlib.figure import Figure

from splashkit.figures import style
from splashkit.figures.base import TwoLayerFigure, jpeg_bytes, photo_html
from splashkit.figures.layer import SHORT_WAY, LayerRenderer


class Wave(TwoLayerFigure):
    size = (5.0, 3.0)

    def build(self):
        self.axes = self.add_axes()
        self.axes.set(xlim=(0, 1), ylim=(-2, 2), xlabel="Time (ms)", ylabel="Light", title="Wave")
        self.axes.plot([0, 1], [0, 0], label="rest", **style.line(1))
        self.axes.legend()
        self.line = self.moving(self.axes.plot([], [], marker="o", markevery=20, **style.line(0))[0])
        self.text = self.moving(self.axes.text(0.5, 1.5, ""))

    def update(self, state):
        x = np.linspace(0, 1, 100)
        self.line.set_data(x, state.height * np.sin(6 * x))
        self.text.set_text(f"height {state.height}")
        self.axes.set_ylim(-state.range, state.range)


@pytest.fixture
def wave():
    return Wave()


def state(height=1.0, span=2.0):
    return SimpleNamespace(height=height, range=span)


def test_moving_layer_follows_and_still_layer_rests(wave):
    first, second = wave.html(state(1.0), "a"), wave.html(state(1.5), "b")
    assert first != second
    assert "height 1.5" in second and "height 1.0" not in second
    assert wave.still_draws == 1


def test_still_layer_is_drawn_again_only_when_limits_units_or_labels_change(wave):
    wave.html(state(), "a")
    still = wave.still_layer()
    assert "Time (ms)" in still and "rest" in still and ">height" not in still
    wave.html(state(span=4.0), "a")
    assert wave.still_draws == 2 and wave.still_layer() != still
    wave.html(state(span=2.0), "a")
    assert wave.still_draws == 2 and wave.still_layer() == still  # seen before: kept
    wave.axes.set_xlabel("Time (µs)")
    assert "Time (µs)" in wave.html(state(), "a")
    assert wave.still_draws == 3


def test_both_layers_have_one_size_and_the_figure_one_name(wave):
    markup = wave.html(state(), 'height 1 & "up" <2')
    boxes = re.findall(r'viewBox="([^"]*)"', markup)
    assert boxes == ["0 0 360 216"] * 2
    assert markup.count('role="img"') == 1
    assert 'aria-label="height 1 &amp; &quot;up&quot; &lt;2"' in markup
    assert markup.count('aria-hidden="true"') == 2
    assert "aspect-ratio:5/3" in markup


def test_ids_never_meet_on_one_page():
    pages = [Wave().html(state(), "a") for _ in range(3)]
    ids = [name for page in pages for name in re.findall(r' id="([^"]*)"', page)]
    assert len(ids) == len(set(ids)) and ids
    for page in pages:
        mine = set(re.findall(r' id="([^"]*)"', page))
        asked = set(re.findall(r"url\(#([^)]*)\)", page)) | set(re.findall(r'href="#([^"]*)"', page))
        assert asked and asked <= mine  # every reference finds its target in the same figure


def test_nothing_leaks_to_the_page(wave):
    markup = wave.html(state(), "a")
    assert "<style" not in markup and "<metadata" not in markup and "<!--" not in markup


def test_text_stays_text_and_is_large_enough(wave):
    markup = wave.html(state(), "a")
    sizes = [float(size) for size in re.findall(r"font(?:-size)?: (?:\w+ )*([\d.]+)px", markup)]
    assert len(sizes) > 8 and min(sizes) >= 11  # user units are points here: the box is 72 to the inch
    assert ">Light</text>" in markup


def test_same_state_gives_the_same_markup(wave):
    assert wave.html(state(), "a") == wave.html(state(), "a")


ANCHORS = {"left": "start", "center": "middle", "right": "end"}


@pytest.mark.skipif(not SHORT_WAY, reason="before 3.11 matplotlib laid words out in another way, and ours is not taken")
@pytest.mark.parametrize("upright", ["top", "center", "bottom", "baseline"])
@pytest.mark.parametrize("across", ["left", "center", "right"])
@pytest.mark.parametrize("look", [{}, {"rotation": 30, "rotation_mode": "anchor"}, {"bbox": {"pad": 2.0}}])
def test_words_written_the_short_way_stand_where_matplotlib_puts_them(across, upright, look):
    figure = Figure(figsize=(4, 2), dpi=72)
    text = figure.text(0.5, 0.5, "Gap 68 ms, y", ha=across, va=upright, fontsize=11, **look)
    places = []
    for short in (True, False):
        with mpl.rc_context({"svg.fonttype": "none"}):
            renderer = LayerRenderer(288, 144)
            if short:
                assert renderer._words(text)
            else:
                text.draw(renderer)
        found = re.search(r"<text[^>]*>", renderer.text())[0]
        assert f"text-anchor: {ANCHORS[across]}" in found
        x, y = (float(re.search(rf' {axis}="([-\d.]+)"', found)[1]) for axis in "xy")
        turned = re.search(r"rotate\((-?[\d.]+) ([\d.]+) ([\d.]+)\)", found)
        angle, about_x, about_y = (float(part) for part in turned.groups()) if turned else (0.0, x, y)
        turn = np.exp(1j * np.radians(angle))
        place = complex(about_x, about_y) + turn * complex(x - about_x, y - about_y)
        places.append((place.real, place.imag, angle))
    assert places[0] == pytest.approx(places[1], abs=0.6)  # points


def test_svg_file_is_well_formed(wave):
    document = minidom.parseString(wave.to_svg(state(), "words & more"))
    assert document.getElementsByTagName("title")[0].firstChild.data == "words & more"


def test_png_shows_the_moving_part(wave):
    low, high = wave.to_png(state(0.1), dpi=50), wave.to_png(state(1.9), dpi=50)
    assert low[:8] == b"\x89PNG\r\n\x1a\n" and low != high


def test_no_figure_is_kept_by_matplotlib(wave):
    import sys

    pyplot = sys.modules.get("matplotlib.pyplot")
    assert pyplot is None or not pyplot.get_fignums()


def test_colours_are_told_apart_without_colour():
    looks = [(str(series["linestyle"]), series["marker"]) for series in style.SERIES]
    assert len({line for line, _ in looks}) == len({mark for _, mark in looks}) == len(looks)


@pytest.mark.parametrize("colour", [style.BLUE, style.VERMILION, style.GREEN, style.PURPLE, style.GREY, style.BLACK])
def test_line_and_text_colours_stand_out_from_the_paper(colour):
    """WCAG 2.1: 3:1 for graphics (success criterion 1.4.11); formula of relative luminance from its glossary."""
    channels = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.03928 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    luminance = 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]
    assert 1.05 / (luminance + 0.05) >= 3.0


def test_photo_carries_its_words():
    data = jpeg_bytes(np.zeros((20, 30), dtype=np.uint8))
    assert data[:2] == b"\xff\xd8"
    markup = photo_html(data, 'a drop, "sharp"', "caption", 30, 20)
    assert 'alt="a drop, &quot;sharp&quot;"' in markup and "<figcaption>caption" in markup
