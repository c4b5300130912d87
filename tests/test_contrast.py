"""What figures draw stands out: words 4.5 to 1, lines and marks 3 to 1 (WCAG 2.2, criteria 1.4.3 and 1.4.11).

Figures bring their own white paper, so the same numbers hold in the light and in the dark theme.
"""

import matplotlib as mpl
import numpy as np
import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.colors import to_rgba
from matplotlib.text import Text

from splashkit import panels
from splashkit.figures.style import RC
from splashkit.look import BLACK, BLUE, GRID, INK, PAPER, SKY
from splashkit.panels.base import Panel

WORDS, LINES = 4.5, 3.0
# they tell nothing by themselves: the grid, the lines between the rows of a timeline, the dots of a shaded area
FAINT = {GRID.lower(), "#eef1f4", "#b4bec7"}


def luminance(colour):
    """Relative luminance of sRGB colours (WCAG 2.2, definitions)."""
    colour = np.asarray(colour, float)
    linear = np.where(colour <= 0.04045, colour / 12.92, ((colour + 0.055) / 1.055) ** 2.4)
    return linear @ np.array([0.2126, 0.7152, 0.0722])


def contrast(one, other):
    first, second = luminance(one), luminance(other)
    return (np.maximum(first, second) + 0.05) / (np.minimum(first, second) + 0.05)


def rgb(colour):
    return np.array(to_rgba(colour)[:3])


def pale_words(figure):
    """Words that do not stand out from what is drawn under them, as an image shows it."""
    canvas = FigureCanvasAgg(figure)
    texts = [one for one in figure.findobj(Text) if one.get_visible() and one.get_text().strip()]
    colours = [one.get_color() for one in texts]
    with mpl.rc_context(RC):
        canvas.draw()
        boxes = [one.get_window_extent(canvas.get_renderer()) for one in texts]
        for one in texts:
            one.set_color("none")  # the paper that some words bring along stays
        canvas.draw()
        for one, colour in zip(texts, colours, strict=True):
            one.set_color(colour)
    image = np.asarray(canvas.buffer_rgba())[:, :, :3] / 255.0
    height = image.shape[0]
    for one, box in zip(texts, boxes, strict=True):
        (left, right), (top, bottom) = (box.x0, box.x1), (height - box.y1, height - box.y0)
        under = image[max(int(top), 0) : int(bottom), max(int(left), 0) : int(right)].reshape(-1, 3)
        if len(under) < 4:
            continue
        # a line may cross a word here and there: most of what is under it counts
        found = np.percentile(contrast(rgb(one.get_color()), under), 15)
        if found < WORDS:
            yield f"{one.get_text()!r}: {found:.1f}"


def pale_lines(figure):
    """Lines that do not stand out from the paper."""
    for axes in figure.axes:
        for line in axes.lines:
            drawn = line.get_visible() and line.get_linestyle() != "None" and line.get_linewidth() > 0
            colour = mpl.colors.to_hex(line.get_color())
            if not drawn or colour in FAINT or line.get_path_effects():
                continue
            alpha = (1.0 if line.get_alpha() is None else line.get_alpha()) * to_rgba(line.get_color())[3]
            if alpha < 0.5:  # a band, beside its own line
                continue
            found = contrast(alpha * rgb(colour) + (1 - alpha) * rgb(PAPER), rgb(PAPER))
            if found < LINES:
                yield f"{line.get_label()} {colour}: {found:.1f}"


@pytest.mark.parametrize("name", [name for name in panels.PANELS if issubclass(getattr(panels, name), Panel)])
def test_words_and_lines_of_figures_stand_out(name, monkeypatch, tmp_path):
    monkeypatch.setenv("SPLASHKIT_HOME", str(tmp_path))
    panel = getattr(panels, name)()
    for one in panel._figures:
        if hasattr(one, "figure"):
            kind = type(one).__name__
            assert not list(pale_words(one.figure)), kind
            assert not list(pale_lines(one.figure)), kind


def test_the_check_finds_what_it_should():
    figure = mpl.figure.Figure()
    axes = figure.add_axes((0.1, 0.1, 0.8, 0.8))
    axes.plot([0, 1], [0, 1], color=SKY, label="sky")
    axes.plot([0, 1], [1, 0], color=BLUE)
    axes.text(0.2, 0.7, "pale", color=SKY)
    axes.text(0.6, 0.7, "dark", color=BLACK)
    assert [found.split(":")[0] for found in pale_words(figure)] == ["'pale'"]
    assert list(pale_lines(figure)) == ["sky #56b4e9: 2.3"]


@pytest.mark.parametrize("paper", [PAPER, "#e6dbbe", "#c4e4f7", "#dadbdd", "#e3edec"])
def test_words_in_a_series_colour_are_dark_enough_on_every_tint(paper):
    assert min(contrast(rgb(ink), rgb(paper)) for ink in INK.values()) >= WORDS
