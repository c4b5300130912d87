"""The run sheet on paper: two pages of PDF, or one page as a picture for the screen. Black on white, 9 pt and up.

Places are in points from the page's top left corner. All texts are measured before anything is drawn, so
the drawing takes the height that is left. Lines come closer and the two columns below share the width anew until
everything fits; should that not do, the last rows of the fault finder are left out and the page names them.
"""

from __future__ import annotations

import io
import re
from collections.abc import Iterable
from functools import lru_cache
from typing import Any, NamedTuple

import matplotlib as mpl
from matplotlib.backends.backend_pdf import PdfPages

from splashkit.figures.board import BOX_WIDTH, INK, SETTINGS, Board, width_of
from splashkit.figures.setup_drawing import draw
from splashkit.look import escape
from splashkit.runsheet import BOX, PAPERS, Grid, Part, Sheet

HEAD, TITLE = 11.0, 16.0  # points
PAD, GAP, MARGIN = 1.8, 7.0, 30.0
LEADINGS = (11.4, 11.0, 10.6, 10.3)  # distance of lines: the widest with which everything fits
RULE = "#777777"
DRAWING_LEAST = 175.0
LOWER_SHARES = (0.5, 0.52, 0.54, 0.56, 0.58, 0.6, 0.62, 0.64)  # of the width, for the fault finder
POINTS = 72 / 0.0254  # of a metre
_MEASURE = re.compile(r"(\d|\]) (ms|s|mm|in|m|lx|%|stops?|mL|L|kg|g|qt|fl oz|µs|°[CF]|frames|keepers|up)\b")


def words_of(line: str) -> list[tuple[str, str, bool]]:
    """Cut a line into words with their style, and whether a blank comes before: ``*bold*`` and boxes."""
    found: list[tuple[str, str, bool]] = []
    blank = False
    line = _MEASURE.sub("\\1\u00a0\\2", line)
    for number, piece in enumerate(line.split("*")):
        for part in re.split(rf"({re.escape(BOX)}|[ \n]+)", piece):
            if part.strip():
                found.append((part, "box" if part == BOX else "bold" if number % 2 else "", blank))
            blank = (bool(part) and not part.strip()) or (blank and not part)
    return found


@lru_cache(maxsize=1024)
def wrapped(line: str, width: float) -> list[list[tuple[float, str, str]]]:
    """Break a line to a width: rows of (place, text, style). Most lines stay as they were, so they are kept."""
    rows: list[list[tuple[float, str, str]]] = [[]]
    x, blank = 0.0, width_of(" ")
    pieces = words_of(line)
    for place, (word, style, before) in enumerate(pieces):
        step = blank if before and x > 0 else 0.0
        wide = width_of(word, style)
        # what hangs on without a blank, such as a full stop after a bold word, must not start a row
        tail = 0.0
        for hanging, other, apart in pieces[place + 1 :]:
            if apart:
                break
            tail += width_of(hanging, other)
        if x > 0 and before and x + step + wide + tail > width:
            rows.append([])
            x, step = 0.0, 0.0
        rows[-1].append((x + step, word, style))
        x += step + wide
    return rows


class _Page(Board):
    """One page, written from the top."""

    lowest: float  # how far down the text reaches, in points

    def __init__(self, paper: str, leading: float = LEADINGS[0]) -> None:
        super().__init__(*(side * POINTS for side in PAPERS[paper]))
        self.leading, self.lowest = leading, 0.0
        self.inner = self.width - 2 * MARGIN

    def rectangle(self, x: float, y: float, width: float, height: float, line: float = 0.8) -> None:
        self.area([(x, y), (x + width, y), (x + width, y + height), (x, y + height)], line=line)

    def rule(self, x: float, y: float, width: float, line: float = 0.6, colour: str = RULE, down: float = 0.0) -> None:
        self.line([(x, y), (x + width, y + down)], line, colour=colour)

    def row(self, x: float, y: float, row: list[tuple[float, str, str]]) -> None:
        """Write one row; neighbours of one style go together, so that the page holds few pieces."""
        run: list[str] = []
        start = end = 0.0
        kind = ""
        for place, word, style in [*row, (0.0, "", "end")]:
            if run and (style != kind or abs(place - end) > 6):
                self.text(x + start, y, "".join(run), bold=kind == "bold")
                run = []
            if style == "box":
                self.rectangle(x + place + 1.5, y - 8.2, BOX_WIDTH - 3, 10.4)
            elif style != "end":
                if run and place > end + 0.5:
                    run.append(" ")
                if not run:
                    start = place
                run.append(word)
                end = place + width_of(word, style)
            kind = style

    def heading(self, x: float, y: float, width: float, title: str) -> float:
        """Write a heading over a rule; gives where the text below may start."""
        self.text(x, y + HEAD, title, HEAD, bold=True)
        self.rule(x, y + HEAD + 3.2, width, 0.9, INK)
        return y + HEAD + 5.0

    def part(self, part: Part, x: float, y: float, width: float) -> float:
        """Write a headed list; gives its lower edge."""
        y = self.heading(x, y, width, part.title)
        for line in part.lines:
            for row in wrapped(line, width):
                y += self.leading
                self.row(x, y - 2.4, row)
            y += PAD
        return y

    def grid(self, grid: Grid, x: float, y: float, width: float) -> float:
        """Write a table; gives its lower edge."""
        y = self.heading(x, y, width, grid.title)
        head = tuple(f"*{word}*" if word else "" for word in grid.head)
        for cells in (head, *grid.rows):
            deepest, left = 0, x
            for cell, share in zip(cells, grid.shares, strict=True):
                rows = wrapped(cell, share * width - 6)
                for number, row in enumerate(rows):
                    self.row(left, y + (number + 1) * self.leading - 2.0, row)
                deepest, left = max(deepest, len(rows)), left + share * width
            y += deepest * self.leading + 1.6
            self.rule(x, y, width)
        return y

    def part_height(self, part: Part, width: float) -> float:
        """Measure a headed list."""
        return HEAD + 5.0 + sum(len(wrapped(line, width)) * self.leading + PAD for line in part.lines)

    def grid_height(self, grid: Grid, width: float) -> float:
        """Measure a table."""
        head = tuple(f"*{word}*" if word else "" for word in grid.head)
        rows = [
            max(len(wrapped(cell, share * width - 6)) for cell, share in zip(cells, grid.shares, strict=True))
            for cells in (head, *grid.rows)
        ]
        return HEAD + 5.0 + sum(deepest * self.leading + 1.6 for deepest in rows)


def first_page(sheet: Sheet) -> _Page:
    """Lay out the run sheet itself."""
    for leading in LEADINGS:
        page = _Page(sheet.paper, leading)
        bands = _bands(page, sheet)
        if bands.head + bands.least() <= bands.end:
            break
    return _write(page, sheet, bands)


class _Bands(NamedTuple):
    """Heights of a page's bands; how the lowest one is cut; and where the first band starts and the last must end."""

    top: float  # timer and liquid, beside the drawing
    middle: float  # camera and light
    search: float
    lower: float  # fault finder, beside the cautions
    faults: float  # width of the fault finder
    head: float
    end: float

    def least(self) -> float:
        """Give the height that all four need."""
        return max(self.top, DRAWING_LEAST) + self.middle + self.search + self.lower + 3 * GAP


def _bands(page: _Page, sheet: Sheet, faults: Grid | None = None) -> _Bands:
    column = (page.inner - 14) / 2
    lower, share = min(
        (max(page.grid_height(faults or sheet.faults, part * (page.inner - 14)),
             page.part_height(sheet.cautions, (1 - part) * (page.inner - 14))), part)
        for part in LOWER_SHARES
    )  # fmt: skip
    return _Bands(
        page.part_height(sheet.timer, column) + GAP + page.part_height(sheet.liquid, column),
        max(page.part_height(sheet.camera, column), page.part_height(sheet.light, column)),
        page.grid_height(sheet.sweep, page.inner), lower, share * (page.inner - 14),
        _header_end(page, sheet), page.height - MARGIN + 8,
    )  # fmt: skip


def _left_out(sheet: Sheet, kept: int) -> Grid:
    """Give the fault finder with its first rows, and in its title what the page has no room for."""
    faults = sheet.faults
    gone = ", ".join(row[0].lower() for row in faults.rows[kept:])
    more = (("*Not on this page*", f"{gone}: see lesson 11."),) if gone else ()
    return faults._replace(rows=faults.rows[:kept] + more)


def _write(page: _Page, sheet: Sheet, bands: _Bands) -> _Page:
    left, column = MARGIN, (page.inner - 14) / 2
    right = left + column + 14
    y = _header(page, sheet)
    faults, kept = sheet.faults, len(sheet.faults.rows)
    while kept and y + bands.least() > bands.end:
        kept -= 1
        faults = _left_out(sheet, kept)
        bands = _bands(page, sheet, faults)
    first = max(bands.top, page.height - MARGIN - y - bands.middle - bands.search - bands.lower - 3 * GAP)

    draw(page, sheet.sketch, sheet.units, column, first - 2, left, y + 2)
    lower = page.part(sheet.timer, right, y, column)
    page.part(sheet.liquid, right, lower + GAP, column)
    y += first + GAP
    page.part(sheet.camera, left, y, column)
    page.part(sheet.light, right, y, column)
    y = page.grid(sheet.sweep, left, y + bands.middle + GAP, page.inner) + GAP
    faults_end = page.grid(faults, left, y, bands.faults)
    right, column = left + bands.faults + 14, page.inner - bands.faults - 14
    page.lowest = max(faults_end, page.part(sheet.cautions, right, y, column))
    return page


def _header_end(page: _Page, sheet: Sheet) -> float:
    """Measure the header: where the page's parts start."""
    lines = len(wrapped(sheet.wish, page.inner)) * (page.leading + 1.5) + (page.leading + 2) * sheet.invented
    return MARGIN + TITLE * 0.8 + lines + 10


def _header(page: _Page, sheet: Sheet) -> float:
    y = MARGIN + TITLE * 0.8
    page.text(MARGIN, y, sheet.title, TITLE, bold=True)
    page.text(page.width - MARGIN - 112, y, "Date")
    page.rule(page.width - MARGIN - 86, y + 2, 86, 0.8, INK)
    for row in wrapped(sheet.wish, page.inner):
        y += page.leading + 1.5
        page.row(MARGIN, y, row)
    if sheet.invented:
        y += page.leading + 2
        page.text(MARGIN, y, "Invented demo numbers: nothing on this sheet was measured.", bold=True)
        page.rectangle(MARGIN - 4, y - 9.4, width_of("Invented demo numbers: nothing on this sheet was measured.",
                                                     "bold") + 8, 13, 1.0)  # fmt: skip
    return y + 10


def second_page(sheet: Sheet) -> _Page:
    """Lay out the log: empty lines to fill in by hand, and what to write down of each frame."""
    page = _Page(sheet.paper)
    y = MARGIN + TITLE * 0.8
    page.text(MARGIN, y, sheet.title, TITLE, bold=True)
    y = page.heading(MARGIN, y + 8, page.inner, sheet.log.title)
    below = GAP + page.part_height(sheet.after, page.inner)
    height = (page.height - MARGIN - y - 18 - below) / (sheet.log_rows + 1)
    edges = [MARGIN]
    for share in sheet.log.shares:
        edges.append(edges[-1] + share * page.inner)
    for x, word in zip(edges, sheet.log.head, strict=False):
        page.text(x + 3, y + 13, word)
    lower = y + 18 + (sheet.log_rows + 1) * height - height
    for number in range(sheet.log_rows + 1):
        page.rule(MARGIN, y + 18 + number * height, page.inner, 0.6, INK)
    for x in edges:
        page.rule(x, y, 0.0, 0.6, INK, down=lower - y)
    page.text(MARGIN, lower + 13, "Early, late, nothing, hit, keep: tick one or two. Note: what you changed, what the "
              "frame shows.")  # fmt: skip
    page.lowest = page.part(sheet.after, MARGIN, lower + 13 + GAP, page.inner)
    return page


def to_pdf(sheet: Sheet) -> bytes:
    """Give both pages as the bytes of a PDF file."""
    out = io.BytesIO()
    with mpl.rc_context(SETTINGS):
        facts = {"Title": sheet.title, "Creator": "splashkit", "CreationDate": None}
        with PdfPages(out, metadata=facts) as pages:
            for page in (first_page(sheet), second_page(sheet)):
                pages.savefig(page.figure())
    return out.getvalue()


def to_svg(sheet: Sheet, page: int = 0) -> str:
    """Give one page as an SVG element, for the screen."""
    return (first_page, second_page)[page](sheet).svg()


def drawing_svg(sheet: Sheet, width: float = 420.0, height: float = 300.0) -> str:
    """Give the setup drawing alone as an SVG element."""
    board = Board(width, height)
    draw(board, sheet.sketch, sheet.units, width, height)
    return board.svg()


class SheetPreview:
    """The first page as a panel's figure: it has ``html(state, alt)`` as a two-layer figure has."""

    enlarged = 1.16  # so that the sheet's 10 points are above 11 on the screen
    size = (8.5 * enlarged, 11.69 * enlarged)

    def html(self, state: Any, alt: str) -> str:
        """Draw the page and give it as markup, with its words for people who cannot see it."""
        wide, high = (side * POINTS for side in PAPERS[state.sheet.paper])
        drawn = to_svg(state.sheet).replace("<svg", '<svg aria-hidden="true" focusable="false"', 1)
        return (
            f'<div class="splash-figure" role="img" aria-label="{escape(alt)}" '
            f'style="max-width:{self.enlarged * wide:g}pt;aspect-ratio:{wide:g}/{high:g}">{drawn}</div>'
        )


def texts(lines: Iterable[str]) -> list[str]:
    """Give lines without their marks."""
    return [line.replace("*", "").replace(BOX, "____") for line in lines]
