"""Writes one layer of a figure as SVG: matplotlib's own renderer, with words measured once for all layers.

Words cost more than lines. Matplotlib measures each one anew for each renderer, and a layer has a renderer of its
own; so measures are kept here. In the moving layer plain words are written without the general layout at all.
"""

from __future__ import annotations

import io
from functools import lru_cache
from typing import Any

import matplotlib
import numpy as np
from matplotlib.backends.backend_svg import RendererSVG
from matplotlib.colors import to_hex, to_rgba
from matplotlib.font_manager import findfont, get_font
from matplotlib.text import Text
from matplotlib.textpath import text_to_path

# only since 3.11 does matplotlib lay words out by how far a face reaches, as the short way does
SHORT_WAY = matplotlib.__version_info__ >= (3, 11)
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
        if not SHORT_WAY or type(artist) is not Text or not self._words(artist):
            artist.draw(self)

    def _words(self, text: Text) -> bool:
        """Write level or anchored words, on their box if they have one; False where it takes more than that."""
        lines, turned, across, upright = text.get_text().split("\n"), text.get_rotation(), text.get_ha(), text.get_va()
        plain = text.get_alpha() is None and text.get_weight() == "normal" and text.get_style() == "normal"
        box, font = text.get_bbox_patch(), text.get_fontproperties()
        anchored = turned == 0 or (text.get_rotation_mode() == "anchor" and box is None and len(lines) == 1)
        if "$" in text.get_text() or not plain or not anchored or upright == "center_baseline":
            return False
        x, y = text.get_transform().transform(text.get_position())
        if not text.get_text() or not np.isfinite(x + y):
            return True
        sizes = [self.get_text_width_height_descent(line, font, False) for line in lines]
        least_up, least_down, between = self._get_font_height_metrics(font)
        between = between if len(lines) > 1 else 0.0
        up = max(least_up, *(height - down for _, height, down in sizes)) + between / 2
        down = max(least_down, *(down for _, _, down in sizes)) + between / 2
        tall = len(lines) * (up + down)
        top = self.height - y - {"top": 0.0, "bottom": tall, "center": tall / 2, "baseline": tall - down}[upright]
        if box is not None:
            wide = max(width for width, _, _ in sizes)
            self._box(box, x - {"left": 0.0, "center": 0.5, "right": 1.0}[across] * wide, top, wide, tall)
        style = f"font: {text.get_fontsize():g}px 'sans-serif'; text-anchor: {_ANCHORS[across]}"
        style += f"; fill: {to_hex(text.get_color())}"
        for number, line in enumerate(lines):
            base = top + up + number * (up + down)
            place = {"x": f"{x:.2f}", "y": f"{base:.2f}", "style": style}
            if turned:
                place["transform"] = f"rotate({-turned:.4g} {x:.2f} {self.height - y:.2f})"
            self.writer.element("text", line, attrib=place)
        return True

    def _box(self, box: Any, x: float, y: float, width: float, height: float) -> None:
        pad = box.get_boxstyle().pad * box.get_mutation_scale()
        *colour, alpha = to_rgba(box.get_facecolor())
        sides = {"x": x - pad, "y": y - pad, "width": width + 2 * pad, "height": height + 2 * pad}
        style = f"fill: {to_hex(colour)}; fill-opacity: {alpha:g}"
        self.writer.element("rect", attrib={**{name: f"{side:.2f}" for name, side in sides.items()}, "style": style})
