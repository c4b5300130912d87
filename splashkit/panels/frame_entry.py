"""One frame's entries in the shot log: the boxes, and the row that they make."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime
from typing import Any

from splashkit import log
from splashkit.checks import require
from splashkit.log import Shot
from splashkit.panels.controls import Control, Number, Pick
from splashkit.panels.entries import Blank, Ruler, Words

ROWS_OFFERED = 30
HEIGHTS = ("first_height", "column_height", "second_height")
EVENTS = {
    "signal": "Frame of the valve's signal", "first_release": "Frame of the first release",
    "second_release": "Frame of the second release", "first_contact": "Frame of the first touch",
    "column_start": "Frame in which a column shows", "column_top": "Frame of the column's top",
    "meeting": "Frame of the meeting",
}  # fmt: skip
FOLDED = ("a ruler frame, for heights in pixels", "events of a slow-motion clip")
# emptied after a save, because the next frame shows something else
CLEARED = (*HEIGHTS, "seen", "surface", "note", *(f"clip_{name}" for name in EVENTS))
CHAINS = (
    ("as in my rig", ""), ("front curtain", "front"), ("rear curtain", "rear"),
    ("open shutter, timer fires the flash", "open"),
)  # fmt: skip
SEEN = (("not said", ""), ("too early", "early"), ("too late", "late"), ("nothing there", "nothing"),
        ("the collision", "hit"))  # fmt: skip
SURFACE = (("not said", ""), ("calm", "calm"), ("a crown round a crater", "crown"), ("a column", "column"),
           ("the umbrella", "sheet"), ("rings or broken water", "ripples"))  # fmt: skip


def groups() -> Mapping[str, list[Control]]:
    """Make the boxes, by group; the groups named in ``FOLDED`` open on a button."""
    return {
        "frame": [
            Number("gap", "Gap", "s", 0.0, 0.5, 0.07, display="ms", quantity="gap between the drops"),
            Number("delay", "Delay", "s", 0.0, 1.0, 0.2, display="ms"),
            Pick("seen", "What the frame shows", SEEN, ""),
            Pick("surface", "The water", SURFACE, ""),
            Blank("first_height", "First drop's height", "m", "mm", pixels=True),
            Blank("column_height", "Column's height", "m", "mm", pixels=True),
            Blank("second_height", "Second drop's height", "m", "mm", pixels=True),
            Blank("waited", "Waited before this frame", "s", quantity="wait before this frame"),
            Pick("chain", "Who fires the flash", CHAINS, ""),
            Words("note", "Note"),
            Pick("row", "Row", [("a new row", 0)], 0),
            Number("keepers", "Keepers wanted", "1", 1, 50, 3, quantity="number of keepers wanted"),
        ],
        FOLDED[0]: Ruler().controls,
        FOLDED[1]: [
            Blank("clip_rate", "Frames a second", "1", quantity="clip's frame rate"),
            *(Blank(f"clip_{name}", words, "1") for name, words in EVENTS.items()),
        ],
    }


def shot_of(state: Any, rig: Any) -> Shot:
    """Make the row from the boxes; what cannot be is refused in a sentence before it is saved."""
    events = {name: getattr(state, f"clip_{name}") for name in EVENTS}
    seen_heights: Any = {name: Ruler.height(getattr(state, name), state) for name in HEIGHTS}
    shot = Shot(
        gap=state.gap, delay=state.delay, chain=state.chain, waited=state.waited, seen=state.seen,
        surface=state.surface, note=state.note, clip_rate=state.clip_rate,
        clip_events={name: frame for name, frame in events.items() if frame is not None},
        nozzle_height=rig.nozzle_height, first_opening=rig.first_opening, second_opening=rig.second_opening,
        **seen_heights,
    )  # fmt: skip
    log.check_entry(shot, rig)
    return shot


def stamped(shot: Shot) -> Shot:
    """Add the time of day; refuse a row that says nothing."""
    said = shot.seen or shot.surface or shot.clip_events or any(getattr(shot, name) is not None for name in HEIGHTS)
    require(
        said, "new row", "none of these", "a frame with a word, a height or a clip",
        "choose what the frame shows, or write a height",
    )  # fmt: skip
    return replace(shot, time=datetime.now().isoformat(timespec="seconds"))


def merged(old: Shot, new: Shot) -> Shot:
    """Mend a row: what the boxes hold, with the rest of the old row kept."""
    kept = {name: getattr(old, name) for name in ("time", "picture", "extra", "nozzle_height", "first_opening",
                                                   "second_opening")}  # fmt: skip
    return replace(new, **kept)


def boxes_of(shot: Shot) -> dict[str, Any]:
    """Give what the boxes hold for a logged row."""
    names = ("seen", "surface", "waited", "chain", "note", "clip_rate", *HEIGHTS)
    held: dict[str, Any] = {name: getattr(shot, name) for name in names}
    held |= {f"clip_{name}": shot.clip_events.get(name) for name in EVENTS}
    held |= {name: value for name in ("gap", "delay") if (value := getattr(shot, name)) is not None}
    return held


def row_options(shots: list[Shot]) -> tuple[tuple[str, int], ...]:
    """Give the list of rows that can be mended."""
    made = [("a new row", 0)]
    for number in range(len(shots), max(len(shots) - ROWS_OFFERED, 0), -1):
        shot = shots[number - 1]
        settings = ", ".join(f"{name} {1e3 * value:g} ms" for name, value in (("gap", shot.gap), ("delay", shot.delay))
                             if value is not None)  # fmt: skip
        made.append((f"change row {number}: {settings or 'a clip'}", number))
    return tuple(made)
