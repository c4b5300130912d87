"""What stands on every run sheet alike: cautions, the short fault finder, the columns of the log."""

from __future__ import annotations

from typing import NamedTuple

from splashkit import faults

BOX = "[____]"
SHORT_FAULTS = (
    "empty_water", "black_band", "two_edges", "streak", "dark", "all_late", "scatter", "no_collision", "off_axis"
)  # fmt: skip
LOG_ROWS = 30
CAUTIONS = (
    "*Flash units* hold a charge when off: never open one. Measure an old unit's trigger voltage before it meets a "
    "camera. Out of splash reach; on batteries or behind a residual-current device.",
    "*Valve and pump*: low-voltage isolated supply, drip loops, cables off the floor. *Pilot lamps* off: hot "
    "glass bursts.",
    "*Eyes*: never fire close to them. Under three flashes a second, and warn the room: flashing can set off "
    "epileptic fits.",
    "*Liquids*: no alcohol near flash or flame. Dyes stain; some people are allergic. Nothing from the bowl is drunk.",
    "*Room*: wet floor, glass; a clear way out in the dark. Local electrical codes, venue rules and licensed people "
    "decide.",
)


class Part(NamedTuple):
    """A headed list of lines."""

    title: str
    lines: tuple[str, ...]


class Grid(NamedTuple):
    """A table: heads, rows of cells, and each column's share of the width. An empty cell is a cell to fill in."""

    title: str
    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    shares: tuple[float, ...]


def fault_grid() -> Grid:
    """Give the fault finder in short: what one sees, and the remedy of the likeliest cause."""
    rows = []
    for key in SHORT_FAULTS:
        found = faults.fault(key)
        rows.append((found.symptom, found.causes[0].remedy))
    return Grid("Fault finder in short", ("What you see", "Do this"), tuple(rows),
                (0.40, 0.60))  # fmt: skip


def log_grid(system: str) -> Grid:
    """Give the log's columns; its rows are empty."""
    high = "Height (in)" if system == "imperial" else "Height (mm)"
    head = ("No.", "Gap (ms)", "Delay (ms)", "Rest (s)", high, "Early", "Late", "Nothing", "Hit", "Keep", "Note")
    shares = (0.06, 0.09, 0.10, 0.08, 0.11, 0.065, 0.055, 0.085, 0.05, 0.06, 0.245)
    return Grid("Log, one line a frame (type it into lesson 11 afterwards)", head, (), shares)
