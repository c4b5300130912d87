"""What a quantity may be, said once: ranges as data, and the one error sentence.

Every public function passes its inputs through a :class:`Range`. A value outside it is
refused with a sentence that names the quantity, what was given with its unit, what is
allowed, and what to do. Nothing is clamped.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from splashkit.units import format_number, format_quantity, parse_quantity

Number = Any  # a real number or an array of them: scalar in gives scalar out
MOST_DIMENSIONS = 16  # of an array; half of what NumPy can broadcast, so that two can be laid across each other


@dataclass(frozen=True)
class Range:
    """The allowed range of one quantity, callable on a value or an array of values.

    ``Range("drop diameter", "m", 0.5e-3, 8e-3, "give metres: a 4 mm drop is 0.004")``
    returns the value as float (or float array) or raises ``ValueError``.
    Ends are included unless ``open_low`` or ``open_high`` is set.
    """

    quantity: str
    unit: str
    low: float = -np.inf
    high: float = np.inf
    advice: str = "check the number and its unit"
    open_low: bool = False
    open_high: bool = False
    infinite: bool = False  # True where an infinite value means something, such as focus at infinity
    display: str = ""  # the unit on the label of a box, such as cm or %, for a sentence that stands beside it

    def __call__(self, value: Number) -> Any:
        try:
            raw = np.asarray(value)
            plain = raw.dtype.kind in "fiuO" and raw.size > 0 and raw.ndim <= MOST_DIMENSIONS and value is not None
            # 0-d arrays come back as plain numpy floats, so scalar in gives scalar out
            array = raw.astype(float)[()] if plain else None
        except Exception:  # whatever it is, it is no number
            array = None
        if array is None:
            raise ValueError(self._sentence(shown(value), "a number"))
        if self._holds(array.min(), array.max()):  # least and largest settle it quickly; a NaN is both, and fails
            return array
        bad = np.isnan(array) | (array < self.low) | (array > self.high)
        if not self.infinite:
            bad = bad | np.isinf(array)
        if self.open_low:
            bad = bad | (array <= self.low)
        if self.open_high:
            bad = bad | (array >= self.high)
        first = float(np.asarray(array)[np.asarray(bad)].flat[0])
        raise ValueError(self._sentence(self._told(first), self.allowed()))

    def _holds(self, least: Any, largest: Any) -> bool:
        above = least > self.low if self.open_low else least >= self.low
        below = largest < self.high if self.open_high else largest <= self.high
        return bool(above and below and (self.infinite or (np.isfinite(least) and np.isfinite(largest))))

    def one(self, value: Number) -> float:
        """Check a value that must be a single number, where arrays make no sense."""
        checked = self(value)
        if np.ndim(checked):
            count = np.size(checked)
            raise ValueError(self._sentence(f"{count} number{'s' if count != 1 else ''} in a row", "one number"))
        return float(checked)

    def allowed(self) -> str:
        """Say the allowed range in words."""
        low, high = self._written(self.low), self._written(self.high)
        above = "above" if self.open_low else "at least"
        below = "below" if self.open_high else "at most"
        if np.isinf(self.low) and np.isinf(self.high):
            return "a finite number"
        if np.isinf(self.high):
            return f"{above} {low}"
        if np.isinf(self.low):
            return f"{below} {high}"
        if self.open_low or self.open_high:
            return f"{above} {low} and {below} {high}"
        return f"from {low} to {high}"

    def _written(self, value: float, digits: int = 3) -> str:
        if self.display in ("", "1"):
            return format_quantity(value, self.unit, digits)
        number = format_number(value / parse_quantity("1", self.unit, bare=self.display), digits)
        return f"{number}{'' if self.display == '°' else ' '}{self.display}"

    def _told(self, value: float) -> str:
        """Write a refused value with digits enough to tell it from the ends of the range."""
        ends = self._written(self.low), self._written(self.high)
        written = (self._written(value, digits) for digits in range(3, 17))
        return next((text for text in written if text not in ends), ends[value > self.low])

    def _sentence(self, given: str, allowed: str) -> str:
        return f"The {self.quantity} must be {allowed}; got {given}. To fix it: {self.advice}."


@dataclass(frozen=True)
class Choice:
    """The allowed words for one setting, callable on a value."""

    quantity: str
    options: tuple[str, ...]
    advice: str = "pick one of these words"

    def __call__(self, value: Any) -> str:
        if isinstance(value, str) and value in self.options:
            return value
        listed = ", ".join(repr(option) for option in self.options)
        raise ValueError(f"The {self.quantity} must be one of {listed}; got {shown(value)}. To fix it: {self.advice}.")


def require(condition: Any, quantity: str, given: str, allowed: str, advice: str) -> None:
    """Raise the one error sentence when a rule that joins several quantities is broken."""
    # plain truths skip NumPy: a long log asks this a hundred thousand times, and old NumPy has no all() of a word
    holds = bool(condition) if isinstance(condition, (bool, str)) else np.all(condition)
    if not holds:
        raise ValueError(f"The {quantity} must be {allowed}; got {given}. To fix it: {advice}.")


def of_kind(value: Any, kind: type | tuple[type, ...], quantity: str, advice: str) -> None:
    """Refuse a thing that is not what a function of this library returns."""
    names = " or ".join(one.__name__ for one in (kind if isinstance(kind, tuple) else (kind,)))
    require(isinstance(value, kind), quantity, type(value).__name__, f"a {names}", advice)


def broadcast(**values: Any) -> tuple[Any, ...]:
    """Broadcast checked values together, with one clear sentence when their shapes do not fit."""
    try:
        return tuple(np.broadcast_arrays(*values.values()))
    except ValueError:
        shapes = ", ".join(f"{name.replace('_', ' ')} {np.shape(value)}" for name, value in values.items())
        raise ValueError(
            f"The arrays given together must be of matching shapes; got {shapes}. "
            "To fix it: give single numbers, or arrays of one shape."
        ) from None


def checked(ranges: Mapping[str, Range], **values: Any) -> tuple[Any, ...]:
    """Pass each named value through its range, then broadcast them together."""
    return broadcast(**{name: ranges[name](value) for name, value in values.items()})


def shown(value: Any) -> str:
    """Write any value for a sentence: on one line, not long, whatever it is."""
    try:
        text = " ".join(repr(value).split())
    except Exception:
        text = f"a {type(value).__name__}"
    return text if len(text) <= 60 else text[:57] + "..."
