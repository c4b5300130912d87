"""Two-layer figures: the still part is drawn once, the moving part again and again.

To add a figure: make ``splashkit/figures/<idea>.py`` with a subclass of :class:`TwoLayerFigure`.

1. ``size`` is width and height in inches; at 100 % the figure shows at that size.
2. ``build(self)`` makes axes (``self.add_axes(left=..., bottom=...)``, margins in inches) and every
   artist, once. Wrap each artist that will change in ``self.moving(...)``, which returns it.
   Text of 11 pt and up; each line has a style or a direct label of its own besides its colour.
3. ``update(self, state)`` sets data on the moving artists. It may set limits and labels too: the
   still layer notices and is drawn again. If anything else of the still layer changes, put a
   value that changes with it into ``self.still_extra``.

``state`` is whatever the panel's ``compute`` returned. Areas that move are Polygons
(``axes.fill([], [])[0]`` with ``set_xy``). No pyplot anywhere: no global figure list to leak.

``figure.html(state, alt)`` gives the markup for a page, ``to_svg`` and ``to_png`` the hand-outs.
Measured here, one axis: both layers about 10 ms, the moving layer alone about 1 ms.
"""

from __future__ import annotations

import base64
import io
import itertools
import re
import uuid
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from types import MappingProxyType
from typing import Any

import matplotlib as mpl
from matplotlib.artist import Artist
from matplotlib.axes import Axes
from matplotlib.colors import to_hex
from matplotlib.figure import Figure

from splashkit.figures.layer import LayerRenderer
from splashkit.figures.style import FONT_STACK, RC
from splashkit.look import INK, escape, together

_LONG = re.compile(r"(?<=\d\d\.\d\d)\d+")  # a hundredth of a point is enough for a coordinate above ten
KEPT = 24  # still layers kept, so that going back and forth between two ranges draws nothing again
_PAGE = uuid.uuid4().hex[:6]  # keeps ids apart when two kernels write on one page
_COUNT = itertools.count(1)
_DROP = re.compile(r"<metadata>.*?</metadata>|<!--.*?-->|<defs>\s*<style[^>]*>.*?</style>\s*</defs>", re.S)
_GROUP_ID = re.compile(r'<g id="[^"]*"')
_FONT = re.compile(r"(font(?:-family)?:(?: ?(?:normal|italic|oblique|bold|\d{3}))* ?(?:[\d.]+px)?) '[^;\"]*")


class TwoLayerFigure:
    """A persistent matplotlib figure whose moving artists are drawn apart from the rest."""

    size: tuple[float, float] = (7.2, 3.8)

    def __init__(self) -> None:
        self.prefix = f"splash{_PAGE}n{next(_COUNT)}"
        self.still_draws = 0
        self.still_extra: Any = None
        self._moving: list[Artist] = []
        self._stills: dict[Any, str] = {}
        self._legend: tuple[Any, str] = ((), "")
        with mpl.rc_context(RC):
            self.figure = Figure(figsize=self.size, dpi=72)
            self.build()
        held = [*self.figure.texts, *(words for axes in self.figure.axes for words in axes.texts)]
        for axes in self.figure.axes:
            held += [axes.xaxis.label, axes.yaxis.label, *(legend.get_texts() if (legend := axes.get_legend()) else ())]
        for words in held:  # in a series' colour: darker, so that they can be read; tick labels are black
            words.set_color(INK.get(to_hex(words.get_color()).upper(), words.get_color()))
        for axes in self.figure.axes:
            axes.set_autoscale_on(False)

    # what a subclass writes

    def build(self) -> None:
        """Make axes and artists, once."""
        raise NotImplementedError

    def update(self, state: Any) -> None:
        """Set the data of the moving artists from the state."""
        raise NotImplementedError

    # what a subclass uses

    def add_axes(
        self, left: float = 0.8, bottom: float = 0.6, right: float = 0.2, top: float = 0.35, **more: Any
    ) -> Axes:
        """Add axes with margins in inches from the figure's edges."""
        width, height = self.size
        box = (left / width, bottom / height, (width - left - right) / width, (height - bottom - top) / height)
        return self.figure.add_axes(box, **more)

    def moving(self, *artists: Any) -> Any:
        """Register artists that change with the state; returns them."""
        for artist in artists:
            self._moving.append(artist)
        return artists[0] if len(artists) == 1 else artists

    # what a panel uses

    def html(self, state: Any, alt: str) -> str:
        """Update and give the figure as markup for a page; ``alt`` says in words what it shows."""
        self.update(state)
        width, height = self.size
        style = f"max-width:{width * 72:g}pt;aspect-ratio:{width:g}/{height:g}"
        return (
            f'<div class="splash-figure" role="img" aria-label="{escape(alt)}" style="{style}">'
            f"{self.still_layer()}{self.moving_layer()}</div>"
        )

    def to_svg(self, state: Any, alt: str = "") -> str:
        """Give the whole figure as one SVG document, to save as a file."""
        self.update(state)
        box = f'viewBox="0 0 {self.size[0] * 72:g} {self.size[1] * 72:g}"'
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" {box} '
            f'width="{self.size[0] * 72:g}pt" height="{self.size[1] * 72:g}pt" role="img">'
            f"<title>{escape(alt)}</title>{self.still_layer()}{self.moving_layer()}</svg>"
        )

    def to_png(self, state: Any, dpi: float = 200) -> bytes:
        """Give the whole figure as a PNG file's bytes, for print."""
        self.update(state)
        out = io.BytesIO()
        with mpl.rc_context(RC):
            self.figure.savefig(out, format="png", dpi=dpi)
        return out.getvalue()

    def still_layer(self) -> str:
        """Give axes, labels, grid and legend as SVG; drawn again only when one of them changed."""
        key = self._key()
        if key not in self._stills:
            if len(self._stills) >= KEPT:
                self._stills.pop(next(iter(self._stills)))
            legends = [legend for axes in self.figure.axes if (legend := axes.get_legend())]
            hidden = [*self._moving, *legends]
            shown = [artist.get_visible() for artist in hidden]
            for artist in hidden:
                artist.set_visible(False)
            try:
                body = self._render(self.figure.draw, "s", RC)
            finally:
                for artist, visible in zip(hidden, shown, strict=True):
                    artist.set_visible(visible)
            self._stills[key] = self._svg(body + self._legends(legends))
            self.still_draws += 1
        return self._stills[key]

    def moving_layer(self) -> str:
        """Give the moving artists as a transparent SVG of the same size."""

        def draw(renderer: LayerRenderer) -> None:
            for artist in sorted(self._moving, key=lambda one: one.get_zorder()):
                if artist.get_visible():
                    renderer.draw_artist(artist)

        return self._svg(self._render(draw, "m"))

    def _legends(self, legends: list[Any]) -> str:
        # legends stand above the axes and do not follow their limits: drawn once
        words = tuple(text.get_text() for legend in legends for text in legend.get_texts())
        if words != self._legend[0]:

            def draw(renderer: LayerRenderer) -> None:
                for legend in legends:
                    legend.draw(renderer)

            self._legend = words, self._render(draw, "l", RC)
        return self._legend[1]

    def _render(self, draw: Any, layer: str, looks: Mapping[str, Any] = MappingProxyType({})) -> str:
        with _settings({**looks, "svg.fonttype": "none", "svg.hashsalt": self.prefix + layer, "path.simplify": True}):
            renderer = LayerRenderer(self.size[0] * 72, self.size[1] * 72)
            draw(renderer)
            text = renderer.text()
        return self._clean(text, layer)

    def _clean(self, text: str, layer: str) -> str:
        # A style sheet inside an inline SVG would reach the whole page, and matplotlib's group names
        # (axes_1, line2d_1 ...) repeat from figure to figure: both go. Names that are pointed at stay,
        # with this figure's own prefix.
        body = _DROP.sub("", text[text.index(">", text.index("<svg")) + 1 : text.rindex("</svg>")])
        body = _GROUP_ID.sub("<g", body)
        mark = f"{self.prefix}{layer}-"
        body = (
            body.replace(' id="', f' id="{mark}').replace("url(#", f"url(#{mark}").replace('href="#', f'href="#{mark}')
        )
        body = _LONG.sub("", body)
        return _FONT.sub(lambda found: f"{found[1]} {FONT_STACK}", body)

    def _svg(self, body: str) -> str:
        box = f"0 0 {self.size[0] * 72:g} {self.size[1] * 72:g}"
        return (
            f'<svg viewBox="{box}" aria-hidden="true" focusable="false" '
            f'style="stroke-linejoin:round;stroke-linecap:butt">{body}</svg>'
        )

    def _key(self) -> Any:
        parts: list[Any] = [self.still_extra]  # must be hashable
        for axes in self.figure.axes:
            parts.append((axes.get_xlim(), axes.get_ylim(), axes.get_xscale(), axes.get_yscale(), axes.get_xlabel(),
                          axes.get_ylabel(), axes.get_title(loc="left"), axes.get_title()))  # fmt: skip
            legend = axes.get_legend()
            if legend is not None:
                parts.append(tuple(text.get_text() for text in legend.get_texts()))
        return tuple(parts)


@contextmanager
def _settings(wanted: Mapping[str, Any]) -> Iterator[None]:
    # rc_context copies every setting and costs more than drawing the moving layer
    before = {key: mpl.rcParams[key] for key in wanted}
    mpl.rcParams.update(wanted)
    try:
        yield
    finally:
        mpl.rcParams.update(before)


def photo_html(jpeg: bytes, alt: str, caption: str = "", width: int = 640, height: int = 427) -> str:
    """Give a recorded frame (JPEG bytes) as markup, with its words for people who cannot see it."""
    data = base64.b64encode(jpeg).decode("ascii")
    words = f"<figcaption>{together(escape(caption))}</figcaption>" if caption else ""
    room = f"max-width:{width}px;flex:1 1 {0.55 * width:.0f}px"  # two stand side by side where there is room
    return (
        f'<figure class="splash-photo" style="{room}"><img src="data:image/jpeg;base64,{data}" '
        f'alt="{escape(alt)}" width="{width}" height="{height}">{words}</figure>'
    )


def jpeg_bytes(pixels: Any, quality: int = 88) -> bytes:
    """Encode an array of 8-bit pixels (rows x columns, or rows x columns x 3) as JPEG for the screen."""
    from PIL import Image

    out = io.BytesIO()
    Image.fromarray(pixels).save(out, format="JPEG", quality=quality)
    return out.getvalue()
