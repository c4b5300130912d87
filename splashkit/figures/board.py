"""A page in points from its top left corner: words, lines and shapes, kept as plain data and drawn in two ways.

For the screen the pieces become SVG text at once; for paper they become matplotlib artists, which take a hundred
times longer but make a PDF with its face inside. Black on white.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from pathlib import Path
from typing import Any, NamedTuple

import matplotlib as mpl
from matplotlib import font_manager
from matplotlib.figure import Figure
from matplotlib.ft2font import FT2Font, LoadFlags
from matplotlib.lines import Line2D
from matplotlib.patches import Polygon

from splashkit.look import escape

# A book face: at 10 points it is as easy to read as a sans of 9, and a fifth narrower. It comes with matplotlib;
# on the screen the usual book face has the same widths.
FACE = "STIXGeneral"
FAMILY = [FACE, "DejaVu Sans"]  # the second for letters of other scripts in a name
SCREEN = "'Times New Roman', Times, 'Liberation Serif', STIXGeneral, serif"
TEXT = 10.0  # points
BOX_WIDTH = 36.0
INK = "#000000"
SETTINGS = {"pdf.fonttype": 42, "font.family": FAMILY}
Points = Sequence[tuple[float, float]]


def _know_face() -> None:
    """Tell matplotlib of the face in its own folder: a stale font cache, shared by environments, may have lost it."""
    if FACE not in font_manager.fontManager.get_font_names():
        for file in sorted(Path(mpl.get_data_path(), "fonts/ttf").glob(f"{FACE}*.ttf")):
            font_manager.fontManager.addfont(file)


_know_face()


@lru_cache(maxsize=4)
def _advances(weight: str) -> tuple[FT2Font, dict[str, float]]:
    found = font_manager.findfont(font_manager.FontProperties(family=FACE, weight=weight))
    return font_manager.get_font(found), {}


def width_of(text: str, style: str = "", size: float = TEXT) -> float:
    """Measure a piece of text in points, by the advances of its letters without hinting."""
    if style == "box":
        return BOX_WIDTH
    font, known = _advances("bold" if style == "bold" else "normal")
    for letter in set(text) - known.keys():
        if not font.get_char_index(ord(letter)):  # of another script: about as wide as it is high
            known[letter] = 1.0
            continue
        font.set_size(100, 72)
        known[letter] = font.load_char(ord(letter), flags=LoadFlags.NO_HINTING).linearHoriAdvance / 65536 / 100
    return size * sum(known[letter] for letter in text)


@lru_cache(maxsize=1)
def _letters() -> frozenset[int]:
    """The letters that the faces for paper hold, thin and bold."""

    def held(weight: str) -> set[int]:
        faces = (font_manager.FontProperties(family=name, weight=weight) for name in FAMILY)
        return {letter for face in faces for letter in font_manager.get_font(font_manager.findfont(face)).get_charmap()}

    return frozenset(held("normal") & held("bold"))


def on_paper(text: str) -> str:
    """Put an empty box where the faces for paper lack a letter, as in a name with a picture sign."""
    return "".join(letter if ord(letter) in _letters() else "□" for letter in text)


class Words(NamedTuple):
    """Words on a line; ``place`` is left, middle or right of it."""

    z: int
    x: float
    y: float
    text: str
    size: float
    bold: bool
    place: str


class Shape(NamedTuple):
    """A line through points, or with ``closed`` an area; dashes count in line widths."""

    z: int
    points: Points
    closed: bool
    fill: str
    edge: str
    line: float
    dashes: tuple[float, ...]


class Board:
    """Pieces on a page; those with a higher ``z`` lie above, others in the order in which they came."""

    def __init__(self, width: float, height: float) -> None:
        self.width, self.height = width, height
        self.pieces: list[Words | Shape] = []

    def text(self, x: float, y: float, text: str, size: float = TEXT, bold: bool = False, place: str = "left",
             z: int = 3) -> None:  # fmt: skip
        """Write words with their foot at ``y``."""
        self.pieces.append(Words(z, x, y, text, size, bold, place))

    def line(self, points: Points, line: float = 0.9, dashes: tuple[float, ...] = (), colour: str = INK,
             z: int = 2) -> None:  # fmt: skip
        """Draw a line through points."""
        self.pieces.append(Shape(z, points, False, "none", colour, line, dashes))

    def area(self, points: Points, fill: str = "none", edge: str = INK, line: float = 0.9,
             dashes: tuple[float, ...] = (), z: int = 1) -> None:  # fmt: skip
        """Draw an area with or without an edge."""
        self.pieces.append(Shape(z, points, True, fill, edge, line, dashes))

    def sorted(self) -> list[Words | Shape]:
        """Give the pieces from the lowest to the highest."""
        return sorted(self.pieces, key=lambda piece: piece.z)

    def figure(self) -> Figure:
        """Give the page as a matplotlib figure, for paper."""
        figure = Figure(figsize=(self.width / 72, self.height / 72), dpi=72)
        for piece in self.sorted():
            if isinstance(piece, Words):
                figure.text(piece.x / self.width, 1 - piece.y / self.height, on_paper(piece.text), fontsize=piece.size,
                            ha=piece.place, va="baseline", color=INK, fontweight="bold" if piece.bold else "normal",
                            parse_math=False, zorder=piece.z)  # fmt: skip
                continue
            points = [(x / self.width, 1 - y / self.height) for x, y in piece.points]
            look: dict[str, Any] = {"linewidth": piece.line, "linestyle": (0, piece.dashes) if piece.dashes else "-",
                                    "transform": figure.transFigure, "zorder": piece.z}  # fmt: skip
            if piece.closed:
                artist: Any = Polygon(points, facecolor=piece.fill, edgecolor=piece.edge, joinstyle="miter", **look)
            else:
                artist = Line2D(*zip(*points, strict=True), color=piece.edge, solid_capstyle="butt", **look)
            figure.add_artist(artist)
        return figure

    def svg(self) -> str:
        """Give the page as an SVG element, for the screen."""
        box = f'width="{self.width:g}pt" height="{self.height:g}pt" viewBox="0 0 {self.width:g} {self.height:g}"'
        drawn = "\n".join(_words(piece) if isinstance(piece, Words) else _shape(piece) for piece in self.sorted())
        paper = f'<rect width="{self.width:g}" height="{self.height:g}" fill="#ffffff"/>'
        return f'<svg xmlns="http://www.w3.org/2000/svg" {box} stroke-linejoin="miter">\n{paper}\n{drawn}\n</svg>'


def _shape(piece: Shape) -> str:
    path = " L ".join(f"{x:.2f} {y:.2f}" for x, y in piece.points)
    stroke = "" if piece.edge == "none" else f' stroke="{piece.edge}" stroke-width="{piece.line:g}"'
    dashes = (
        f' stroke-dasharray="{" ".join(f"{part * piece.line:g}" for part in piece.dashes)}"' if piece.dashes else ""
    )
    return f'<path d="M {path}{" z" if piece.closed else ""}" fill="{piece.fill}"{stroke}{dashes}/>'


_PLACES = {"left": "start", "center": "middle", "right": "end"}


@lru_cache(maxsize=2048)
def _words(piece: Words) -> str:
    # held to its width on paper, whatever book face the screen has in its place
    wide = width_of(piece.text, "bold" if piece.bold else "", piece.size)
    style = f"font: {'bold ' if piece.bold else ''}{piece.size:g}px {SCREEN}; text-anchor: {_PLACES[piece.place]}"
    return (
        f'<text x="{piece.x:.2f}" y="{piece.y:.2f}" textLength="{wide:.1f}" lengthAdjust="spacingAndGlyphs" '
        f'style="{style}">{escape(piece.text)}</text>'
    )
