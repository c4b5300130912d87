"""What stands on every run sheet alike: cautions, the short fault finder, the columns of the log."""

from __future__ import annotations

from typing import NamedTuple

from splashkit.units import format_number

BOX = "[____]"
# What a frame shows, and the one thing to change; the key names the fault whose lesson says why, "" is the list of
# lesson 11. Should a page ever have no room for all, the last ones are left out and named: first come the times.
SHORT_FAULTS = (
    ("empty_water", "Calm, empty water", "Far too early. First drop only, 30 ms more delay until a drop shows."),
    ("", "First drop in the air", "Too early. Its height tells: {fall}."),
    ("", "Crown or crater", "Early: 20 to 50 ms more delay."),
    ("", "Rings alone", "Too late: less delay. Rings before any drop: wait longer."),
    ("", "Column tallest later, or sooner",
     "Row 3: gap and delay longer, or shorter, by as much."),
    ("no_collision", "No umbrella, ever",
     "Second drop in the crater: longer gap. Column sunk: shorter. 5 ms, the delay with it."),
    ("off_axis", "Drop misses sideways", "Plumb the nozzle, dry its rim. Leave the times."),
    ("all_late", "All late or early alike", "Find Z again: level, height or lag has changed."),
    ("scatter", "Each frame differs", "Wait longer. Focus by hand and leave it, or open shutter."),
    ("black_band", "Black band at a side", "Use the sync speed or slower."),
    ("two_edges", "Two edges, one faint", "Room light: darken, expose shorter."),
    ("streak", "The drop is a streak", "Less flash power, and nearer."),
    ("dark", "Too dark", "Flash closer, wider aperture, higher ISO."),
)  # fmt: skip
LOG_ROWS = 30
CAUTIONS = (
    "*Flash units* hold a charge that can kill, also when off: never open one. Have an old unit's trigger voltage "
    "measured, by someone who knows how, before it meets a camera. Out of splash reach; on batteries or behind a "
    "residual-current device.",
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


def fault_grid(speed: float | None = None, system: str = "metric") -> Grid:
    """Give the fault finder in short: what one sees, and what to change; ``speed`` of the first drop at the water."""
    step, unit = (25.4, "in") if system == "imperial" else (1.0, "mm")  # of a millimetre: as the log's heights are
    near = f"about {format_number(2 / step, 1)}" if speed is None else format_number(speed / step, 2)
    fall = f"1 ms more for each {near} {unit}"
    rows = tuple((seen, do.format(fall=fall)) for _, seen, do in SHORT_FAULTS)
    title = "Fault finder: read the frame, change one thing"
    return Grid(title, ("The frame shows", "Do this"), rows, (0.30, 0.70))


def log_grid(system: str) -> Grid:
    """Give the log's columns; its rows are empty."""
    high = "Height (in)" if system == "imperial" else "Height (mm)"
    head = ("No.", "Gap (ms)", "Delay (ms)", "Rest (s)", high, "Early", "Late", "Nothing", "Hit", "Keep", "Note")
    shares = (0.06, 0.09, 0.10, 0.08, 0.11, 0.065, 0.055, 0.085, 0.05, 0.06, 0.245)
    return Grid("Log, one line a frame (type it into lesson 11 afterwards)", head, (), shares)
