"""How figures look: one dictionary of matplotlib settings, a few named line styles.

Text is 11 pt and up. Every figure stands on its own white card, so it reads the same in light
and dark themes. Give each line its own style, marker or direct label besides its colour.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from splashkit.look import AMBER, BLACK, BLUE, GREEN, GREY, GRID, ORANGE, PAPER, PURPLE, SKY, VERMILION

TEXT = 11  # points, the smallest text in any figure
FONT_STACK = "'Helvetica Neue', Helvetica, Arial, 'Liberation Sans', 'DejaVu Sans', sans-serif"

RC: dict[str, Any] = {
    "svg.fonttype": "none",
    "font.family": "sans-serif",
    "font.sans-serif": ["DejaVu Sans"],
    "font.size": TEXT,
    "axes.titlesize": 12,
    "axes.labelsize": TEXT,
    "xtick.labelsize": TEXT,
    "ytick.labelsize": TEXT,
    "legend.fontsize": TEXT,
    "axes.titlelocation": "left",
    "axes.titleweight": "normal",
    "axes.titley": 1.0,  # fixed: finding it anew at each drawing costs a tenth of the still layer
    "axes.edgecolor": GREY,
    "axes.labelcolor": BLACK,
    "axes.linewidth": 0.8,
    "axes.grid": True,
    "axes.axisbelow": True,
    "axes.spines.top": False,
    "axes.spines.right": False,
    "axes.unicode_minus": True,
    "grid.color": GRID,
    "grid.linewidth": 0.8,
    "text.color": BLACK,
    "xtick.color": GREY,
    "ytick.color": GREY,
    "xtick.labelcolor": BLACK,
    "ytick.labelcolor": BLACK,
    "lines.linewidth": 2.2,
    "lines.solid_capstyle": "round",
    "legend.frameon": False,
    "figure.facecolor": PAPER,
    "axes.facecolor": PAPER,
    "savefig.facecolor": PAPER,
    "path.simplify": True,
    "path.simplify_threshold": 0.2,
}

# colour with its own line style and marker: use the three together
SERIES: tuple[dict[str, Any], ...] = (
    {"color": BLUE, "linestyle": "-", "marker": "o"},
    {"color": VERMILION, "linestyle": (0, (6, 2)), "marker": "s"},
    {"color": GREEN, "linestyle": (0, (1.5, 1.5)), "marker": "^"},
    {"color": PURPLE, "linestyle": (0, (7, 2, 1.5, 2)), "marker": "D"},
)


def line(index: int, **more: Any) -> dict[str, Any]:
    """Give colour and line style of the series with this index, without its marker."""
    chosen = SERIES[index % len(SERIES)]
    return {"color": chosen["color"], "linestyle": chosen["linestyle"], **more}


def round_up(value: float, steps: tuple[float, ...] = (1.0, 1.5, 2.0, 3.0, 4.0, 5.0, 7.0, 10.0)) -> float:
    """Give the next round number above a value, so that axes follow in few steps."""
    decade = 10.0 ** np.floor(np.log10(value))
    return float(next(decade * step for step in steps if decade * step >= value * 0.999))


def around(low: float, high: float) -> tuple[float, float]:
    """Give round limits that hold a span with a little room, so that axes follow in few steps."""
    room = max(high - low, 1e-9 * max(abs(low), abs(high), 1.0))
    step = round_up(room / 8, (1.0, 2.0, 5.0, 10.0))
    return float(step * np.floor(low / step - 0.3)), float(step * np.ceil(high / step + 0.3))


__all__ = [
    "AMBER",
    "BLACK",
    "BLUE",
    "FONT_STACK",
    "GREEN",
    "GREY",
    "GRID",
    "ORANGE",
    "PAPER",
    "PURPLE",
    "RC",
    "SERIES",
    "SKY",
    "TEXT",
    "VERMILION",
    "around",
    "line",
    "round_up",
]
