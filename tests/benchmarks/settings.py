"""The solved power choice against trying every combination, and its growth with the number of marks."""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import partial

import numpy as np

from benchmarks.timed import Growth, Row, growth, race
from splashkit import settings
from splashkit.lens import aperture_for_depth
from splashkit.settings import Gear, Wish
from splashkit.settings.solve import tabulate

WISH = Wish(motion_blur=3e-4, speed=2.0, depth=0.004, magnification=0.5)
LIMITS = ("motion", "depth", "diffraction", "dark")


def gear_of(each: int) -> Gear:
    """Give gear with so many marks of each kind."""
    ends = {"powers": (1 / 128, 1), "apertures": (2.8, 22), "isos": (100, 1600)}
    return Gear(40, **{name: tuple(np.geomspace(*pair, each).tolist()) for name, pair in ends.items()})


def least_aperture(wish: Wish, gear: Gear) -> float:
    given = gear.focal_length, wish.depth, wish.magnification, gear.pupil_ratio, gear.blur_circle
    return float(aperture_for_depth(*given))


def tried(wish: Wish, gear: Gear, closed: float, limit: str = "", stops: float = 0.0) -> list[tuple[float, ...]]:
    """Try every combination, leaving each at the first limit missed; one limit may be tighter by some stops."""
    tight = {name: stops if name == limit else 0.0 for name in LIMITS}
    blur, closed = wish.motion_blur * 2 ** -tight["motion"], closed * 2 ** (tight["depth"] / 2)
    disc, nearest = gear.diffraction * 2 ** (-tight["diffraction"] / 2), gear.nearest * 2 ** (tight["dark"] / 2)
    farthest = gear.farthest if limit != "dark" else math.inf  # light taken away helps what was too bright
    working = 1 + wish.magnification / gear.pupil_ratio
    reach = gear.guide_number / working * 2 ** (-(gear.loss + wish.level) / 2)
    found = []
    for power, lasts in zip(gear.powers, gear.durations().tolist(), strict=True):
        if wish.speed * lasts > blur:
            continue
        for f_number in gear.apertures:
            if f_number < closed or 2.44 * 550e-9 * f_number * working > disc:
                continue
            for iso in gear.isos:
                if nearest <= reach * math.sqrt(power * iso / 100) / f_number <= farthest:
                    found.append((power, f_number, iso))
    return found


def margins(wish: Wish, gear: Gear) -> list[float]:
    """Find by halving how far each limit could be tightened alone, to a hundredth of a stop."""
    closed, rooms = least_aperture(wish, gear), []
    for name in LIMITS:
        low, high = 0.0, 20.0
        while high - low > 0.01:
            middle = 0.5 * (low + high)
            low, high = (middle, high) if tried(wish, gear, closed, name, middle) else (low, middle)
        rooms.append(low)
    return rooms


def answer(wish: Wish, gear: Gear) -> tuple[list[tuple[float, ...]], list[float]]:
    return tried(wish, gear, least_aperture(wish, gear)), margins(wish, gear)


def misses(wish: Wish, gear: Gear) -> list[float]:
    """Add up for every combination the stops by which it misses each limit."""
    closed, log2 = least_aperture(wish, gear), math.log2
    working = 1 + wish.magnification / gear.pupil_ratio
    reach = gear.guide_number / working * 2 ** (-(gear.loss + wish.level) / 2)
    found = []
    for power, lasts in zip(gear.powers, gear.durations().tolist(), strict=True):
        for f_number in gear.apertures:
            for iso in gear.isos:
                distance = reach * math.sqrt(power * iso / 100) / f_number
                over = (
                    log2(wish.speed * lasts / wish.motion_blur), 2 * log2(closed / f_number),
                    2 * log2(2.44 * 550e-9 * f_number * working / gear.diffraction),
                    2 * log2(gear.nearest / distance), 2 * log2(distance / gear.farthest),
                )  # fmt: skip
                found.append(sum(stops for stops in over if stops > 0))
    return found


def run(quick: bool) -> Iterator[Row | Growth]:
    """Compare, then grow."""
    gear = Gear(40)
    count = len(gear.powers) * len(gear.apertures) * len(gear.isos)
    plan, (found, rooms) = settings.choose_settings(WISH, gear), answer(WISH, gear)
    assert sorted(found) == sorted((s.power, s.f_number, s.iso) for s in plan.settings)
    told = {margin.limit: margin.stops for margin in plan.margins}
    assert np.allclose(rooms, [told["light" if name == "dark" else name] for name in LIMITS], atol=0.011)
    assert np.allclose(misses(WISH, gear), tabulate(WISH, gear).missed().ravel(), atol=1e-3)
    out = np.ones(count)
    table, all_misses, whole, by_trying, floor = race(
        lambda: tabulate(WISH, gear).missed(), lambda: misses(WISH, gear), lambda: settings.choose_settings(WISH, gear),
        lambda: answer(WISH, gear), lambda: [np.log2(out) for _ in range(5)], quick=quick,
    )  # fmt: skip
    below = "five logarithms each"
    yield Row(f"stops missed by {count} combinations", table, all_misses, "plain loop over combinations",
              "the same five limits in plain arithmetic, what is alike taken out of the loops", floor, below,
              least=2)  # fmt: skip
    yield Row(f"power choice among {count} combinations", whole, by_trying, "tried in turn, margins by halving",
              "left at the first limit missed; it knows no costs, nothing for an impossible wish, no sentence", floor,
              below, least=0.15)  # fmt: skip
    sizes = (8, 12, 16, 24) if quick else (8, 16, 32, 64)
    grown = growth("", "", sizes, lambda n: partial(settings.choose_settings, WISH, gear_of(n)), 0, 0, quick)
    yield Growth("power choice", "combinations", tuple(n**3 for n in sizes), grown.times, 0.1, 1.3)
