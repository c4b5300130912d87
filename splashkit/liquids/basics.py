"""What a liquid is here: three properties with their bands, and the plain words that go with them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from splashkit.checks import Range
from splashkit.estimate import Estimate


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


def band(value: Any, share: float, why: str) -> Estimate:
    """Put a symmetric band of a share of the value round a value."""
    return Estimate(value, value * (1 - share), value * (1 + share), why)


def room(low: float, high: float) -> Range:
    """Return the range of temperatures of one model."""
    return Range("temperature", "degC", low, high, "give degrees Celsius: a room is about 20")
