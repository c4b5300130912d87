"""One frame: what was set, what was seen, and what cannot be."""

from __future__ import annotations

import itertools
import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, NamedTuple

from splashkit import store
from splashkit.checks import require
from splashkit.rig import CHAINS, Rig
from splashkit.units import format_number, format_quantity

SEEN = ("early", "late", "nothing", "hit")
SURFACES = ("calm", "crown", "column", "sheet", "ripples")
# what a slow-motion clip can show, in the order it happens on most rigs
CLIP_EVENTS = ("signal", "first_release", "second_release", "first_contact", "column_start", "column_top", "meeting")


class Column(NamedTuple):
    """One known column: its name in Python, its header, factor to SI (0 for words) and what is allowed in SI."""

    name: str
    header: str
    factor: float
    unit: str
    low: float
    high: float


COLUMNS = (
    Column("time", "time", 0.0, "", 0, 0),
    Column("chain", "chain", 0.0, "", 0, 0),
    Column("nozzle_height", "nozzle_height_mm", 1e-3, "m", 0.02, 3.0),
    Column("first_opening", "first_opening_ms", 1e-3, "s", 0.5e-3, 1.0),
    Column("second_opening", "second_opening_ms", 1e-3, "s", 0.5e-3, 1.0),
    Column("gap", "gap_ms", 1e-3, "s", 0.0, 2.0),
    Column("delay", "delay_ms", 1e-3, "s", 0.0, 10.0),
    Column("waited", "waited_s", 1.0, "s", 0.0, 86400.0),
    Column("first_height", "first_height_mm", 1e-3, "m", -0.1, 3.0),
    Column("column_height", "column_height_mm", 1e-3, "m", 0.0, 0.5),
    Column("second_height", "second_height_mm", 1e-3, "m", -0.1, 3.0),
    Column("seen", "seen", 0.0, "", 0, 0),
    Column("surface", "surface", 0.0, "", 0, 0),
    Column("clip_rate", "clip_frames_per_s", 1.0, "frames/s", 1.0, 1e6),
    Column("clip_events", "clip_events", 0.0, "", 0, 0),
    Column("picture", "picture", 0.0, "", 0, 0),
    Column("note", "note", 0.0, "", 0, 0),
)
_CHOICES = {"chain": CHAINS, "seen": SEEN, "surface": SURFACES}


@dataclass(frozen=True)
class Shot:
    """One frame: what was set, what was seen. SI; None or empty where it was not noted."""

    delay: float | None = None
    gap: float | None = None
    chain: str = ""
    nozzle_height: float | None = None
    first_opening: float | None = None
    second_opening: float | None = None
    waited: float | None = None
    first_height: float | None = None
    column_height: float | None = None
    second_height: float | None = None
    seen: str = ""
    surface: str = ""
    clip_rate: float | None = None
    clip_events: Mapping[str, float] = field(default_factory=dict)
    time: str = ""
    picture: str = ""
    note: str = ""
    extra: Mapping[str, str] = field(default_factory=dict)

    def __post_init__(self) -> None:
        for column in COLUMNS:
            value = getattr(self, column.name)
            if column.name == "clip_events":
                _check_events(value, self.clip_rate)
            elif column.factor:
                if value is not None:
                    object.__setattr__(self, column.name, _number(column, value))
            else:
                require(isinstance(value, str), f"shot's {column.name}", repr(value)[:40], "text", "write words")
                value = " ".join(store.letters(value).replace("\0", "").split())
                if len(value) > store.LONGEST_TEXT:  # the file could be written, but not read again
                    most = f"at most {store.LONGEST_TEXT} letters long"
                    require(False, f"shot's {column.name}", f"{len(value)} letters", most, "shorten it")
                object.__setattr__(self, column.name, value)
        for name, allowed in _CHOICES.items():
            value = getattr(self, name)
            require(
                not value or value in allowed,
                f"entry '{name}'",
                repr(store.shown(value)),
                f"one of {', '.join(allowed)}, or blank",
                "pick one of these words",
            )


def check_entry(shot: Shot, rig: Rig) -> None:
    """Refuse what cannot be, before it is logged: the sentence names what contradicts what."""
    height = shot.nozzle_height if shot.nozzle_height is not None else rig.nozzle_height
    for name in ("first_height", "column_height", "second_height"):
        seen = getattr(shot, name)
        require(
            height is None or seen is None or seen < height,
            name.replace("_", " "),
            format_quantity(seen or 0.0, "m"),
            f"below the nozzle, which hangs {format_quantity(height or 0.0, 'm')} above the surface",
            "measure from the still surface up, and check the scale",
        )
    opening = shot.first_opening if shot.first_opening is not None else rig.first_opening
    require(
        opening is None or shot.gap is None or shot.gap > opening,
        "gap",
        format_quantity(shot.gap or 0.0, "s"),
        f"longer than the first valve opening of {format_quantity(opening or 0.0, 's')}",
        "the valve must close before it can open again: lengthen the gap or shorten the opening",
    )
    pair = shot.first_height is not None and shot.second_height is not None
    require(
        not pair or (shot.second_height or 0.0) > (shot.first_height or 0.0),
        "second drop's height",
        format_quantity(shot.second_height or 0.0, "m"),
        "above the first drop's, which left earlier",
        "swap the two heights",
    )
    require(
        shot.seen != "nothing" or all(getattr(shot, n) is None for n in ("first_height", "second_height")),
        "entry 'seen'",
        "nothing, beside a height",
        "blank, early, late or hit when a height is given",
        "remove the height or change the word",
    )


def _number(column: Column, value: Any) -> float:
    plain = isinstance(value, (int, float)) and not isinstance(value, bool)
    number = float(value) if plain or hasattr(value, "dtype") else math.nan
    if not column.low <= number <= column.high:
        low, high = _written(column, column.low), _written(column, column.high)
        given = _written(column, number) if plain else repr(value)[:40]
        raise ValueError(
            f"The {column.name.replace('_', ' ')} must be from {low} to {high}; got {given}. "
            "To fix it: check the number and its unit, or leave it blank."
        )
    return float(f"{number:.10g}")  # as many digits as the file keeps


def _written(column: Column, value: float) -> str:
    """Write a value in the column's own unit, which is that of its box too."""
    unit = column.unit if column.factor == 1 else column.header.rpartition("_")[2]
    return f"{format_number(value / column.factor)} {unit}"


def _check_events(events: Mapping[str, float], rate: float | None) -> None:
    if not events:
        return
    unknown = [event for event in events if event not in CLIP_EVENTS]
    require(
        not unknown,
        "clip event",
        ", ".join(map(store.shown, unknown[:3])),
        f"one of {', '.join(CLIP_EVENTS)}",
        "pick these words",
    )
    require(rate is not None, "clip's frame rate", "a blank", "given beside its events", "enter frames per second")
    for event, frame in events.items():
        good = isinstance(frame, (int, float)) and not isinstance(frame, bool) and 0 <= frame <= 1e9
        require(good, f"frame number of {event}", repr(frame)[:40], "a number from 0", "count frames from the start")
    chains = (
        ("signal", "first_release", "first_contact", "column_start", "column_top"),
        ("signal", "first_release", "second_release", "meeting"),
        ("column_start", "meeting"),
    )
    for chain in chains:
        known = [(event, events[event]) for event in chain if event in events]
        for (before, early), (after, late) in itertools.pairwise(known):
            require(
                late >= early,
                f"frame number of {after}",
                f"{late:g}, before {before} at {early:g}",
                f"at or after that of {before}",
                "count the frames again, or swap the two",
            )
