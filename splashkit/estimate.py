"""A predicted number with its error band: what every model of water returns."""

from __future__ import annotations

from typing import Any, NamedTuple

from splashkit.units import format_quantity


class Estimate(NamedTuple):
    """A prediction with the band that the sources and models allow.

    ``value``, ``low`` and ``high`` are floats or arrays of one shape, in SI units.
    ``why`` says in a few words where the band comes from.
    """

    value: Any
    low: Any
    high: Any
    why: str = ""

    def text(self, unit: str) -> str:
        """Write a single estimate as words, such as ``'35 ms (31 to 39 ms)'``, or ``'less than 56 µs'``."""
        low, high = format_quantity(self.low, unit), format_quantity(self.high, unit)
        if self.low == self.value == 0 < self.high:
            return f"less than {high}"  # not told from none: the upper end is all that is known
        if self.low == 0 or low.split(" ")[-1] == high.split(" ")[-1]:
            low = low.split(" ")[0]
        return f"{format_quantity(self.value, unit)} ({low} to {high})"

    def contains(self, value: Any) -> Any:
        """Tell whether a measured value lies inside the band."""
        return (self.low <= value) & (value <= self.high)
