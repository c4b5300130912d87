"""What a liquid is here: three properties with their bands, and the plain words that go with them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from splashkit.checks import Range, require
from splashkit.estimate import Estimate
from splashkit.units import format_number


@dataclass(frozen=True)
class Liquid:
    """A liquid in the bowl or the pipe; density [kg/m3], viscosity [Pa s], surface tension [N/m].

    ``warnings`` are plain sentences a learner must see; ``notes`` are good to know. ``newtonian`` is False when the
    viscosity depends on how fast the liquid is sheared, so that one number cannot describe it.
    """

    name: str
    density: Estimate
    viscosity: Estimate
    surface_tension: Estimate
    temperature: Any = 20.0  # degC
    newtonian: bool = True
    notes: tuple[str, ...] = ()
    warnings: tuple[str, ...] = ()


def band(value: Any, share: Any, why: str) -> Estimate:
    """Put a symmetric band of a share of the value round a value."""
    return Estimate(value, value * (1 - share), value * (1 + share), why)


def room(low: float, high: float) -> Range:
    """Return the range of temperatures of one model."""
    return Range("temperature", "degC", low, high, "give degrees Celsius: a room is about 20")


def one_of(quantity: str, **given: Any) -> bool:
    """Tell whether the first of two ways to say a share was used; refuse both or neither."""
    used = [name for name, value in given.items() if value is not None]
    names = " or ".join(given)
    require(
        len(used) == 1,
        quantity,
        " and ".join(used) or "nothing",
        f"given once, as {names}",
        "say mass_fraction=0.5 if you weighed it, volume_fraction=0.5 if you used a jug",
    )
    return used[0] == next(iter(given))


def percent(share: Any) -> str:
    """Write a share for a liquid's name."""
    return f"{format_number(100 * float(share))} %" if np.ndim(share) == 0 else "several shares of"


def is_liquid(liquid: Any) -> Liquid:
    """Pass a Liquid on; refuse anything else."""
    require(
        isinstance(liquid, Liquid),
        "liquid",
        type(liquid).__name__,
        "a liquid of this library",
        "start from one, such as liquids.water(20)",
    )
    return liquid  # type: ignore[no-any-return]
