"""A predicted number with its error band: what every model of water returns."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, NamedTuple

from splashkit.units import format_quantity

MOST_DIGITS = 5


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
        if self.low == self.value == 0 < self.high:
            return f"less than {format_quantity(self.high, unit)}"  # not told from none: all that is known
        return self.words(lambda value, digits: format_quantity(value, unit, digits))

    def words(self, write: Callable[[float, int], str], digits: int = 3) -> str:
        """Write a single estimate with its band by ``write(value, digits)``, with digits enough to show the band.

        A band too narrow for that is written as ``'4 mm, to within 0.03 µm'``.
        """
        value, low, high = (float(number) for number in (self.value, self.low, self.high))
        for count in range(digits, max(digits, MOST_DIGITS) + 1):
            middle, least, most = (write(number, count) for number in (value, low, high))
            if (low == value or least != middle) and (high == value or most != middle):
                if low == 0 or least.split(" ")[-1] == most.split(" ")[-1]:
                    least = least.split(" ")[0]
                return f"{middle} ({least} to {most})"
        return f"{write(value, digits)}, to within {write(max(value - low, high - value), 2)}"

    def contains(self, value: Any) -> Any:
        """Tell whether a measured value lies inside the band."""
        return (self.low <= value) & (value <= self.high)
