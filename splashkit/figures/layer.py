"""Writes one layer of a figure as SVG: matplotlib's own renderer, with words measured once for all layers.

Words cost more than lines. Matplotlib measures each one anew for each renderer, and a layer has a renderer of its
own; so measures are kept here. In the moving layer plain words are written without the general layout at all.
"""

from __future__ import annotations

import io
from functools import lru_cache
from typing import Any

import numpy as np
from matplotlib.backends.backend_svg import RendererSVG
from matplotlib.colors import to_hex, to_rgba
from matplotlib.font_manager import findfont, get_font
from matplotlib.text import Text
from matplotlib.textpath import text_to_path

_ANCHORS = {"left": "start", "center": "middle", "right": "end"}


@lru_cache(maxsize=4096)
def _size(words: str, font: Any, ismath: Any) -> tuple[float, float, float]:
    """Measure words: width, height, and how far they reach below the line [points]."""
    width, height, down = text_to_path.get_text_width_height_descent(words, font, ismath)
    return float(width), float(height), float(down)


@lru_cache(maxsize=64)
def _heights(font: Any) -> tuple[float, float, float]:
    """Give how far a face reaches above and below the line, and the gap between lines [points]."""
    face = get_font(findfont(font))
    table = face.get_sfnt_table("OS/2")
    scale = font.get_size_in_points() / face.get_sfnt_table("head")["unitsPerEm"]
    return table["sTypoAscender"] * scale, -table["sTypoDescender"] * scale, table["sTypoLineGap"] * scale


class LayerRenderer(RendererSVG):
    """One layer, ``width`` x ``height`` points."""

    def __init__(self, width: float, height: float) -> None:
        self.out = io.StringIO()
        super().__init__(width, height, self.out, image_dpi=144)

    def text(self) -> str:
        """End the layer and give its SVG."""
        self.finalize()
        return self.out.getvalue()

    def get_text_width_height_descent(self, s: str, prop: Any, ismath: Any) -> tuple[float, float, float]:
        """Measure a text, once for all layers."""
        return _size(s, prop.copy(), ismath)

    def _get_font_height_metrics(self, prop: Any) -> tuple[float, float, float]:
        # matplotlib 3.11 asks for this before it opens the font's tables, for each text of each layer
        return _heights(prop.copy())

    def draw_artist(self, artist: Any) -> None:
        """Draw an artist; plain words the short way."""
        if type(artist) is not Text or not self._words(artist):
            artist.draw(self)

    def _words(self, text: Text) -> bool:
        """Write one level or anchored line of words, on its box if it has one; False where it takes more than that."""
        words, turned, across, upright = text.get_text(), text.get_rotation(), text.get_ha(), text.get_va()
        plain = text.get_alpha() is None and text.get_weight() == "normal" and text.get_style() == "normal"
        anchored = turned == 0 or (text.get_rotation_mode() == "anchor" and text.get_bbox_patch() is None)
        if "\n" in words or "$" in words or not plain or not anchored or upright == "center_baseline":
            return False
        x, y = text.get_transform().transform(text.get_position())
        if not words or not np.isfinite(x + y):
            return True
        y = self.height - y
        width, height, down = self.get_text_width_height_descent(words, text.get_fontproperties(), False)
        least_up, least_down, _ = self._get_font_height_metrics(text.get_fontproperties())
        up, down = max(height - down, least_up), max(down, least_down)
        drop = {"top": up, "bottom": -down, "center": (up - down) / 2}.get(upright, 0.0)  # from the anchor to the line
        box = text.get_bbox_patch()
        if box is not None:
            self._box(box, x - {"left": 0.0, "center": 0.5, "right": 1.0}[across] * width, y + drop - up, width,
                      up + down)  # fmt: skip
        style = f"font: {text.get_fontsize():g}px 'sans-serif'; text-anchor: {_ANCHORS[across]}"
        place = {"x": f"{x:.2f}", "y": f"{y + drop:.2f}"}
        if turned:
            place["transform"] = f"rotate({-turned:.4g} {x:.2f} {y:.2f})"
        self.writer.element("text", words, attrib={"style": f"{style}; fill: {to_hex(text.get_color())}", **place})
        return True

    def _box(self, box: Any, x: float, y: float, width: float, height: float) -> None:
        pad = box.get_boxstyle().pad * box.get_mutation_scale()
        *colour, alpha = to_rgba(box.get_facecolor())
        sides = {"x": x - pad, "y": y - pad, "width": width + 2 * pad, "height": height + 2 * pad}
        style = f"fill: {to_hex(colour)}; fill-opacity: {alpha:g}"
        self.writer.element("rect", attrib={**{name: f"{side:.2f}" for name, side in sides.items()}, "style": style})
