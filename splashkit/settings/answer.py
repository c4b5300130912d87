"""The answer to a wish in plain sentences: what to set, what gives first, what one more stop costs, what is missing."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np

from splashkit.checks import of_kind
from splashkit.settings.solve import (
    TOLERANCE,
    Change,
    Setting,
    Table,
    change_for,
    round_safely,
    settings_from,
    smaller_magnification,
    spare,
    tabulate,
)
from splashkit.settings.wish import Gear, Wish
from splashkit.units import APERTURES, format_aperture, format_number, format_power, format_quantity

LIMITS = {
    "motion": "motion blur",
    "depth": "depth",
    "diffraction": "softness from a small aperture",
    "dark": "light",
    "bright": "room to move the flash away",
}
FAULTS = {
    "motion": "no power allowed freezes the motion enough",
    "depth": "no aperture allowed gives the depth",
    "diffraction": "every aperture allowed is too soft from diffraction",
    "dark": "the flash is too weak, even at its nearest",
    "bright": "the flash is too strong, even at its farthest",
}


class Margin(NamedTuple):
    """How far one limit could be tightened, alone, before nothing is left [stop]."""

    limit: str
    stops: float
    sentence: str


class Cost(NamedTuple):
    """What one more stop of light costs when it is taken in one way, and whether the wish still holds."""

    way: str
    allowed: bool
    sentence: str


@dataclass(frozen=True)
class Plan:
    """The answer to a wish. ``chosen`` is the best setting, or the nearest miss when nothing meets the wish."""

    possible: bool
    chosen: Setting
    settings: tuple[Setting, ...]
    binds: str
    margins: tuple[Margin, ...]
    costs: tuple[Cost, ...]
    changes: tuple[Change, ...]
    alternatives: tuple[Change, ...]
    reasons: tuple[str, ...]


def choose_settings(wish: Wish, gear: Gear) -> Plan:
    """Find every setting that meets a wish, or the smallest change that makes it possible.

    .. math:: v\\,t_{0.1}(p) \\le b, \\; Z(N) \\ge Z_w, \\; a(N) \\le a_{max}, \\;
              d_{min} \\le \\frac{G \\sqrt{p S/100}}{N (1 + m/P)} \\le d_{max}

    Parameters
    ----------
    wish : Wish
        Motion blur and depth on the subject, its speed, the magnification, the level [SI, stop].
    gear : Gear
        Flash unit, marks allowed, distances allowed, lens [SI].

    Returns
    -------
    Plan
        Chosen setting, all settings, what gives first, costs, changes, and the reasons in words [SI, stop].

    Raises
    ------
    ValueError
        If a wish or a piece of gear is out of range; an impossible wish is answered, not refused.

    Notes
    -----
    Valid where the guide number is, for one unit in a dark room. The best setting has the lowest ISO,
    then the least blur. Misses are compared in stops of light; the smallest sum is the nearest wish.

    Examples
    --------
    >>> plan = choose_settings(Wish(motion_blur=3e-4, speed=2.0, depth=0.004, magnification=0.5), Gear(40))
    >>> plan.possible, plan.chosen.iso
    (True, 100.0)

    References
    ----------
    Guide number of ISO 1230:1992 (from memory), depth of field and Airy disc; the search is derived here.
    """
    _check(wish, gear)
    table = tabulate(wish, gear)
    missed = table.missed()
    met = missed == 0
    if met.any():
        settings = settings_from(table, gear, met)
        margins = _margins(table)
        tightest = min(margins, key=lambda margin: margin.stops)
        best = settings[0]
        reasons = (*_describe(best, wish, gear), f"What gives first: {tightest.sentence}")
        return Plan(True, best, settings, tightest.limit, margins, _costs(best, wish, gear), (), (), reasons)
    nearest = settings_from(table, gear, missed <= missed.min() + TOLERANCE)[0]
    changes = _smallest(table, missed, wish, gear)
    worst = max(changes, key=lambda change: change.stops).quantity
    binds = {"motion_blur": "motion", "loss": "light"}.get(worst, worst)
    alternatives = _alone(table, wish, gear)
    if alternatives and alternatives[0].stops < sum(change.stops for change in changes):
        changes = alternatives[:1]
    changes, alternatives = ([_in_words(change, gear) for change in some] for some in (changes, alternatives))
    several = "These changes together make it possible." if len(changes) > 1 else "The smallest change that helps:"
    reasons = (
        f"No setting meets the whole wish: {_why(table)}.",
        f"The nearest is {_name(nearest)}, with the flash {_distance(nearest, gear)} from the drop.",
        f"{several} {' '.join(change.sentence for change in changes)}",
    )
    if gear.unit != "quench" and gear.light_times is None:
        other = tabulate(wish, replace(gear, unit="quench"))
        if (other.missed() == 0).any():
            reasons += ("A unit that cuts its light off early, quench-controlled, could do it as it stands.",)
    return Plan(False, nearest, (), binds, (), (), tuple(changes), tuple(alternatives), reasons)


def with_changes(wish: Wish, gear: Gear, changes: Iterable[Change]) -> tuple[Wish, Gear]:
    """Put changes into a wish and its gear, so that it can be asked again.

    Parameters
    ----------
    wish : Wish
        The wish that could not be met [SI].
    gear : Gear
        Its gear [SI].
    changes : iterable of Change
        All of a plan's ``changes``, or one of its ``alternatives`` [SI].

    Returns
    -------
    tuple of Wish and Gear
        The new question [SI].

    Raises
    ------
    ValueError
        If a changed value is out of range.

    Notes
    -----
    Valid for the changes that ``choose_settings`` gives.

    Examples
    --------
    >>> wish, gear = Wish(1e-6, 2.0, 0.005, 0.5), Gear(40)
    >>> again = with_changes(wish, gear, choose_settings(wish, gear).changes)
    >>> choose_settings(*again).possible
    True

    References
    ----------
    House rule; no outside source.
    """
    _check(wish, gear)
    of_kind(changes, (list, tuple), "changes", "take the changes of a plan")
    for change in changes:
        of_kind(change, Change, "change", "take the changes of a plan")
        if change.quantity == "loss":
            gear = replace(gear, loss=change.after)
        elif change.quantity == "diffraction":
            gear = replace(gear, diffraction=change.after)
        else:
            wish = replace(wish, **{change.quantity: change.after})
    return wish, gear


def _smallest(table: Table, missed: np.ndarray, wish: Wish, gear: Gear) -> list[Change]:
    spot = np.unravel_index(np.argmin(missed), missed.shape)
    stops = {name: float(np.broadcast_to(miss, missed.shape)[spot]) for name, miss in table.excess.items()}
    return [change_for(name, miss, wish, gear) for name, miss in stops.items() if miss > TOLERANCE]


def _alone(table: Table, wish: Wish, gear: Gear) -> list[Change]:
    """List the changes each of which is enough by itself, smallest first."""
    found = [
        change_for(name, -room, wish, gear) for name in LIMITS if np.isfinite(room := spare(table, name)) and room < 0
    ]
    scale = smaller_magnification(wish, gear)
    if scale is not None:
        found.append(Change("magnification", wish.magnification, scale, 2 * np.log2(wish.magnification / scale)))
    return sorted(found, key=lambda change: change.stops)


def _why(table: Table) -> str:
    """Name the limits that no setting meets even alone, or else the ones that pull against each other."""
    alone = [FAULTS[name] for name, stops in table.excess.items() if np.min(stops) > TOLERANCE]
    if alone:
        return _listed(alone)
    together = [f"the {LIMITS[name]}" for name in LIMITS if np.isfinite(spare(table, name))]
    return f"{_listed(together)} pull against each other" if len(together) > 1 else "its limits exclude each other"


def _listed(words: list[str]) -> str:
    return " and ".join([", ".join(words[:-1]), words[-1]] if len(words) > 1 else words)


def _margins(table: Table) -> tuple[Margin, ...]:
    """Say how many stops each limit could still be tightened by, alone."""
    rooms = [(name, spare(table, name)) for name in LIMITS]
    return tuple(
        Margin("light" if name == "dark" else name, room, f"the {LIMITS[name]}, with {_stops(room)} to spare.")
        for name, room in rooms
        if np.isfinite(room)  # a subject at rest sets no limit on motion blur
    )


def _costs(best: Setting, wish: Wish, gear: Gear) -> tuple[Cost, ...]:
    """Say what one more stop of light costs when taken from power, aperture, ISO or distance."""
    power = best.power * 2
    if power > 1:
        costs = [Cost("power", False, "Power: it already stands at full.")]
    else:
        times = replace(gear, powers=(power,), light_times=None).durations()
        if gear.light_times is not None:  # between measured powers the time follows a straight line in stops
            order = np.argsort(gear.powers)
            known = np.log2(np.array(gear.powers)[order]), np.log2(np.array(gear.light_times)[order])
            times = np.exp2(np.interp(np.log2([power]), *known))
        blur = float(times[0]) * wish.speed
        allowed = np.log2(blur / wish.motion_blur) <= TOLERANCE if blur else True
        text = f"motion blur goes from {_mm(best.motion_blur)} to {_mm(blur)}"
        costs = [Cost("power", allowed, f"Power {format_power(power)}: {text}{_verdict(allowed, 'more')}")]
    opened = best.f_number / 2**0.5
    opened = min(APERTURES, key=lambda mark: abs(np.log2(mark / opened)))
    deep = float(tabulate(wish, replace(gear, apertures=(opened,))).depth[0, 0, 0])
    allowed = opened >= min(gear.apertures) and deep >= wish.depth
    text = f"depth goes from {_mm(best.depth)} to {_mm(deep)}"
    costs.append(Cost("aperture", allowed, f"Aperture {format_aperture(opened)}: {text}{_verdict(allowed, 'less')}"))
    allowed = best.iso * 2 <= max(gear.isos) * 1.01
    costs.append(Cost("iso", allowed, f"ISO {best.iso * 2:.0f}: more noise{_verdict(allowed, 'more')}"))
    nearer = best.distance / 2**0.5
    allowed = nearer >= gear.nearest
    text = f"the flash comes from {_reach(best.distance)} to {_reach(nearer)}"
    costs.append(Cost("distance", allowed, f"Distance: {text}{_verdict(allowed, 'nearer')}"))
    return tuple(costs)


def _describe(best: Setting, wish: Wish, gear: Gear) -> tuple[str, ...]:
    return (
        f"Set {_name(best)}, with the flash {_distance(best, gear)} from the drop.",
        f"The light lasts {format_quantity(best.light_time, 's')}. "
        f"At {format_quantity(wish.speed, 'm/s')} that is {_mm(best.motion_blur)} of motion blur; "
        f"you allow {_mm(wish.motion_blur)}.",
        f"A depth of {_mm(best.depth)} looks sharp; you want {_mm(wish.depth)}.",
        f"Diffraction draws a point {_length(best.diffraction)} wide on the sensor; "
        f"you allow {_length(float(gear.diffraction or 0))}.",
    )


def _in_words(change: Change, gear: Gear) -> Change:
    before, after = change.before, change.after
    if change.quantity != "loss":
        sizes = {
            "motion_blur": f"Allow {_mm(after)} of motion blur instead of {_mm(before)}",
            "depth": f"Ask for {_mm(after)} of depth instead of {_mm(before)}",
            "diffraction": f"Allow a diffraction disc of {_length(after)} instead of {_length(before)}",
            "magnification": f"Frame wider, at magnification {format_number(after)} instead of {format_number(before)}",
        }
        return change._replace(sentence=f"{sizes[change.quantity]} ({_ratio(before, after)}).")
    if after > before:
        return change._replace(sentence=f"Take {_stops(change.stops)} of light away, with a filter or by distance.")
    factor = 2 ** ((before - after) / 2)
    number = format_quantity(round_safely(gear.guide_number * factor, np.ceil), "m")
    near = _reach(round_safely(gear.nearest / factor, np.floor))
    iso = format_number(round_safely(max(gear.isos) * factor**2, np.ceil))
    return change._replace(
        sentence=f"Find {_stops(before - after)} more light. "
        f"A guide number of {number} instead of {format_quantity(gear.guide_number, 'm')} gives it. "
        f"So does the flash at {near} instead of {_reach(gear.nearest)}, or ISO {iso} instead of {max(gear.isos):.0f}."
    )


def _ratio(before: float, after: float) -> str:
    if after > 3 * before:
        return f"{format_number(after / before, 2)} times as much"
    return f"{format_number(abs(after / before - 1) * 100, 2)} % {'more' if after > before else 'less'}"


def _name(setting: Setting) -> str:
    return f"{format_power(setting.power)} power, {format_aperture(setting.f_number)} and ISO {setting.iso:.0f}"


def _distance(setting: Setting, gear: Gear) -> str:
    return _reach(min(max(setting.distance, gear.nearest), gear.farthest))


def _length(value: float) -> str:
    return format_quantity(value, "m")


def _mm(value: float) -> str:
    """Write a length at the drop, in the unit that people set it in."""
    return format_quantity(value, "m") if value >= 0.9995 else f"{format_number(1e3 * value)} mm"


def _reach(value: float) -> str:
    """Write a distance of the flash."""
    return format_quantity(value, "m") if value >= 1 else f"{format_number(100 * value)} cm"


def _stops(value: float) -> str:
    shown = format_number(value, 2)
    return f"{shown} stop" if value <= 1 else f"{shown} stops"


def _verdict(allowed: bool, how: str) -> str:
    return "." if allowed else f", {how} than you allow."


def _check(wish: Wish, gear: Gear) -> None:
    of_kind(wish, Wish, "wish", "build a settings.Wish first")
    of_kind(gear, Gear, "gear", "build a settings.Gear first")
