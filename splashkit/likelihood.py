"""How well a frame fits a possible rig: what was noted of it, against what the rig would have shown.

Every number here is a log-likelihood, one row a frame and one column a member of the cloud. One wrong entry
cannot ruin it: every frame has a small chance of being a slip of the pen.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

import numpy as np

from splashkit import tries
from splashkit.log import Shot
from splashkit.odds import HIT_WINDOW
from splashkit.tries import HEIGHT, JITTER, SIZE, SPEED, TIME, VALVE, Bench

SAME_NOZZLE = 2e-3  # frames from a nozzle farther off than this belong to another set-up [m]
SLIP = 0.01  # chance that an entry is wrong; house choice
READING = 0.7e-3  # how well a height is read off a frame [m]; house choice
MODEL_HEIGHT = 0.10  # share of the column's height by which its shape may differ from the model's
MODEL_TIME = 0.7e-3  # how far a meeting may lie from the model's moment for one column [s]
BLANK_CAREFUL, BLANK_BRIEF = 0.15, 0.6  # chance that something in the frame was not written down


@dataclass(frozen=True)
class Frames:
    """The logged frames as columns of numbers, one row a frame; NaN where nothing was noted."""

    gap: Any
    delay: Any
    camera: Any
    offset: Any
    first: Any
    column: Any
    second: Any
    seen: tuple[str, ...]
    surface: tuple[str, ...]
    careful: Any

    def __len__(self) -> int:
        return len(self.seen)


def frames_from(bench: Bench, shots: Iterable[Shot]) -> Frames:
    """Turn logged shots into columns; left out are rows that say nothing, and those of another nozzle height."""
    rows = [s for s in shots if s.delay is not None and s.gap is not None and _says_something(s)]
    rows = [s for s in rows if s.nozzle_height is None or abs(s.nozzle_height - bench.nozzle_height) <= SAME_NOZZLE]
    kinds = [shot.chain or bench.chain for shot in rows]

    def column(values: list[Any]) -> Any:
        return np.array([np.nan if value is None else value for value in values], dtype=float)[:, None]

    heights = [[getattr(s, name) for s in rows] for name in ("first_height", "column_height", "second_height")]
    careful = [bool(s.surface) or any(h[i] is not None for h in heights) for i, s in enumerate(rows)]
    return Frames(
        gap=column([s.gap for s in rows]),
        delay=column([s.delay for s in rows]),
        camera=column([0.0 if kind == "open" else 1.0 for kind in kinds]),
        offset=column([bench.offsets[kind] for kind in kinds]),
        first=column(heights[0]),
        column=column(heights[1]),
        second=column(heights[2]),
        seen=tuple(s.seen for s in rows),
        surface=tuple(s.surface for s in rows),
        careful=np.array(careful, dtype=bool)[:, None],
    )


def _says_something(shot: Shot) -> bool:
    heights = (shot.first_height, shot.column_height, shot.second_height)
    return bool(shot.seen or shot.surface or any(height is not None for height in heights))


def _below(x: Any) -> Any:
    """A fast stand-in for the bell curve's sum, within 0.01 of it and with wider tails."""
    return 1.0 / (1.0 + np.exp(np.clip(-1.702 * x, -60.0, 60.0)))


def frame_likelihood(bench: Bench, frames: Frames, members: Any) -> Any:
    """Return log-likelihoods, one row a frame and one column a member, with the chance of a slip mixed in."""
    return np.logaddexp(*frame_fits(bench, frames, members))


def frame_fits(bench: Bench, frames: Frames, members: Any) -> tuple[Any, Any]:
    """Return log-likelihoods of each frame as it was meant, and as a slip of the pen."""
    jitter = np.hypot(members[JITTER], bench.known_spread)
    scale, high, speed = members[TIME], members[HEIGHT], members[SPEED]
    happens = tries.events(bench, members, frames.gap)
    light = tries.relative_light(bench, members, frames.delay, frames.camera, frames.offset)
    log_like = np.zeros(light.shape)
    junk = np.zeros((len(frames), 1))
    # a drop's height pins the light's own moment in this frame: update it, then judge the rest
    spread2 = np.broadcast_to(jitter**2, light.shape)
    for which, height, release in (("first", frames.first, 0.0), ("second", frames.second, frames.gap)):
        noted = np.isfinite(height)
        if noted.any():
            rows = noted[:, 0]
            at = np.where(noted, height, bench.view_top / 2)[rows]
            shift = release[rows] if isinstance(release, np.ndarray) else release
            own = bench.time_at_height(which, at, speed)
            pace = np.maximum(bench.speed(own, speed), 0.05)  # a drop still at the nozzle tells next to nothing
            error2 = (READING / pace) ** 2 + (0.25e-3**2 if which == "second" else 0.0)
            total = spread2[rows] + error2
            miss = own + shift - light[rows]
            log_like[rows] += -0.5 * (miss**2 / total + np.log(total)) - np.log(pace) - 0.919
            share = spread2[rows] / total
            light, spread2 = light.copy(), spread2.copy()
            light[rows] += share * miss
            spread2[rows] *= 1 - share
            junk[rows] -= np.log(bench.view_top)
    spread = np.sqrt(spread2)
    since = light - happens.contact
    top, slope = bench.column(since, scale, high)
    scatter = members[SIZE] * np.maximum(since, 0.0)  # larger drops make later columns: time goes about with size
    noted = np.isfinite(frames.column)
    if noted.any():
        error2 = READING**2 + (MODEL_HEIGHT * bench.curve["height"] * high) ** 2 + slope**2 * (spread2 + scatter**2)
        miss = np.where(noted, frames.column, 0.0) - top
        log_like += np.where(noted, -0.5 * (miss**2 / error2 + np.log(error2)) - 0.919, 0.0)
        junk -= np.where(noted, np.log(bench.view_top), 0.0)
    log_like += _log_words(bench, frames, happens, light, spread, scatter)
    words = sum(np.array([bool(word) for word in column])[:, None] for column in (frames.seen, frames.surface))
    junk -= words * np.log(4.0)
    return np.log(1 - SLIP) + log_like, np.log(SLIP) + junk


def _log_words(bench: Bench, frames: Frames, happens: Any, light: Any, spread: Any, scatter: Any) -> Any:
    """Judge the words: what was there, what was not, and early, late or hit."""
    loose = np.sqrt(spread**2 + scatter**2 + MODEL_TIME**2)

    def after(event: Any, width: Any = spread) -> Any:
        return _below((light - event) / width)

    touched, started = after(happens.contact), after(happens.column_start, loose)
    done, ended = after(happens.meeting, loose), after(happens.column_end, 2 * loose)
    in_first = after(happens.enters) * (1 - touched)
    in_second = after(happens.second_enters) * (1 - done)
    standing = started * (1 - ended) * (1 - done)
    sheet = np.where(happens.met, done * (1 - after(happens.meeting + bench.sheet_time, 2e-3)), 0.0)
    blank = np.where(frames.careful, BLANK_CAREFUL, BLANK_BRIEF)
    total = np.zeros(light.shape)
    for there, height in ((in_first, frames.first), (in_second, frames.second), (standing, frames.column)):
        # a noted body needs no second judgement: its height already is one, save for the column's being there
        unseen = 1 - there * (1 - blank)
        seen = there if height is frames.column else np.maximum(there, 0.3)
        total += np.log(np.where(np.isfinite(height), seen, unseen) + 1e-9)
    window = HIT_WINDOW
    surfaces = {
        "calm": 1 - touched,
        "crown": touched * (1 - started) * (1 - done),
        "column": started * (1 - ended) * (1 - done),
        "sheet": sheet,
        "ripples": np.clip(np.maximum(done, ended) - 0.7 * sheet, 0.0, 1.0),
    }
    early = 1 - after(happens.meeting - window, loose)
    late = after(happens.meeting + window, loose)
    hit = np.where(happens.met, np.clip(1 - early - late, 0.0, 1.0), 0.0)
    nothing = (1 - in_first) * (1 - in_second) * (1 - standing) * (1 - sheet)
    seen_words = {"early": early, "late": late, "hit": hit, "nothing": nothing}
    for words, chances in ((frames.seen, seen_words), (frames.surface, surfaces)):
        for word in set(words) - {""}:
            rows = np.array([w == word for w in words])
            total[rows] += np.log(chances[word][rows] + 1e-9)
    return total


def clip_likelihood(bench: Bench, shots: Iterable[Shot], members: Any) -> Any:
    """Return the log-likelihood of every slow-motion clip: times between events, each known to half a frame."""
    rows = []
    for shot in shots:
        if len(shot.clip_events) < 2 or not shot.clip_rate:
            continue
        gap = shot.gap if shot.gap is not None else 0.0
        happens = tries.events(bench, members, gap)
        zero = np.zeros(members.shape[1])
        moments = {
            "signal": (-members[VALVE], 0.2e-3),
            "first_release": (zero, 0.5e-3),
            "second_release": (zero + gap, 0.5e-3),
            "first_contact": (happens.contact, 0.1e-3),
            "column_start": (happens.column_start, 1.0e-3),
            "column_top": (happens.column_peak, 3.0e-3),
            "meeting": (happens.meeting, MODEL_TIME),
        }
        known = [name for name in shot.clip_events if shot.gap is not None or name not in ("second_release", "meeting")]
        if len(known) < 2:
            continue
        frame = 1.0 / shot.clip_rate
        seen = np.array([shot.clip_events[name] * frame for name in known])[:, None]
        ours = np.stack([moments[name][0] for name in known])
        late = np.array([name in ("column_start", "column_top", "meeting") for name in known])[:, None]
        error2 = frame**2 / 12 + np.array([moments[name][1] for name in known])[:, None] ** 2
        error2 = error2 + late * (members[SIZE] * np.maximum(ours - happens.contact, 0.0)) ** 2
        weight = 1 / error2
        miss = seen - ours
        miss = miss - (weight * miss).sum(axis=0) / weight.sum(axis=0)  # where the clip starts is unknown
        fit = -0.5 * (weight * miss**2 - np.log(weight)).sum(axis=0) - 0.5 * np.log(weight.sum(axis=0))
        fit -= 0.919 * (len(known) - 1)
        rows.append(np.logaddexp(np.log(1 - SLIP) + fit, np.log(SLIP) - (len(known) - 1) * np.log(0.1)))
    return np.array(rows).reshape(-1, members.shape[1])
