"""Settings as they are marked on cameras, lenses and flash units: the ladders, written and read."""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from typing import NamedTuple

from splashkit.units.quantities import OTHERWISE, format_number, format_quantity, parse_quantity


def _ladder(values: str) -> tuple[float, ...]:
    return tuple(_fraction(word) for word in values.split())


def _fraction(text: str) -> float:
    top, _, bottom = text.partition("/")
    return float(top) / float(bottom) if bottom else float(top)


# Customary marked series in third stops (ISO 516, 517 and 5800 give the exact powers of two;
# the marks are common practice, no source)
SHUTTER_TIMES = _ladder(
    "1/8000 1/6400 1/5000 1/4000 1/3200 1/2500 1/2000 1/1600 1/1250 1/1000 1/800 1/640 1/500 1/400 1/320 1/250 "
    "1/200 1/160 1/125 1/100 1/80 1/60 1/50 1/40 1/30 1/25 1/20 1/15 1/13 1/10 1/8 1/6 1/5 1/4 0.3 0.4 0.5 0.6 0.8 "
    "1 1.3 1.6 2 2.5 3.2 4 5 6 8 10 13 15 20 25 30"
)
APERTURES = _ladder(
    "1 1.1 1.2 1.4 1.6 1.8 2 2.2 2.5 2.8 3.2 3.5 4 4.5 5 5.6 6.3 7.1 8 9 10 11 13 14 16 18 20 22 25 29 32 36 40 45 64"
)
ISO_SPEEDS = _ladder(
    "50 64 80 100 125 160 200 250 320 400 500 640 800 1000 1250 1600 2000 2500 3200 4000 5000 6400 8000 10000 12800 "
    "16000 20000 25600"
)
FLASH_POWERS = _ladder("1/1 1/2 1/4 1/8 1/16 1/32 1/64 1/128 1/256")


def format_shutter(exposure_time: float) -> str:
    """Write an exposure time as it is marked on a camera.

    Parameters
    ----------
    exposure_time : float
        Exposure time [s].

    Returns
    -------
    str
        Such as ``'1/250 s'`` or ``'2 s'``.

    Raises
    ------
    ValueError
        If the time is not above zero.

    Notes
    -----
    Valid for every time above zero; times of 0.3 s and longer are written in seconds.

    Examples
    --------
    >>> format_shutter(0.004), format_shutter(0.5)
    ('1/250 s', '0.5 s')

    References
    ----------
    Customary marks (common practice, no source); the series is that of ISO 516 (from memory).
    """
    if not exposure_time > 0:
        raise ValueError(
            f"The exposure time must be above 0 s; got {format_quantity(exposure_time, 's')}. "
            "To fix it: give seconds, such as 1/250."
        )
    if exposure_time >= 0.29:
        return f"{format_number(exposure_time)} s"
    return f"1/{format_number(1 / exposure_time)} s"


def format_power(power: float) -> str:
    """Write a flash power as the fraction marked on the unit.

    Parameters
    ----------
    power : float
        Share of full power [1].

    Returns
    -------
    str
        Such as ``'1/16'``.

    Raises
    ------
    ValueError
        If the power is not above zero and at most one.

    Notes
    -----
    Valid for shares above 0 and up to 1.

    Examples
    --------
    >>> format_power(0.0625), format_power(1)
    ('1/16', '1/1')

    References
    ----------
    Customary marks (common practice, no source).
    """
    if not 0 < power <= 1:
        raise ValueError(
            f"The flash power must be above 0 and at most 1; got {format_number(power)}. "
            "To fix it: give the share of full power, such as 1/16."
        )
    return f"1/{format_number(1 / power)}"


def format_aperture(f_number: float) -> str:
    """Write an f-number as it is marked on a lens.

    Parameters
    ----------
    f_number : float
        The f-number [1].

    Returns
    -------
    str
        Such as ``'f/11'``.

    Raises
    ------
    ValueError
        If the f-number is not above zero.

    Notes
    -----
    Valid for every f-number above zero.

    Examples
    --------
    >>> format_aperture(5.6)
    'f/5.6'

    References
    ----------
    The mark is that of ISO 517 (from memory).
    """
    if not f_number > 0:
        raise ValueError(
            f"The f-number must be above 0; got {format_number(f_number)}. To fix it: give a number such as 11."
        )
    return f"f/{format_number(f_number)}"


def format_mark(value: float, kind: str) -> str:
    """Write a setting as it is marked on camera, lens or flash.

    Parameters
    ----------
    value : float
        The setting [s for a shutter, else 1].
    kind : str
        ``'shutter'``, ``'aperture'``, ``'iso'`` or ``'power'`` [word].

    Returns
    -------
    str
        Such as ``'1/250 s'``, ``'f/11'``, ``'ISO 200'`` or ``'1/16'``.

    Raises
    ------
    ValueError
        If the kind is not one of the four, or the setting not above zero.

    Notes
    -----
    Valid for every setting above zero.

    Examples
    --------
    >>> format_mark(200, "iso"), format_mark(11, "aperture")
    ('ISO 200', 'f/11')

    References
    ----------
    Customary marks (common practice, no source).
    """
    return _mark(kind).write(value)


def parse_mark(text: str, kind: str, quantity: str = "") -> float:
    """Read a setting, written as it is marked or as a plain number.

    Parameters
    ----------
    text : str
        Such as ``'1/250'``, ``'f/11'``, ``'F11'``, ``'ISO 200'`` or ``'11'`` [text].
    kind : str
        ``'shutter'``, ``'aperture'``, ``'iso'`` or ``'power'`` [word].
    quantity : str
        What the setting is, for the error sentence; by default as the kind says [text].

    Returns
    -------
    float
        The setting as marked [s for a shutter, else 1].

    Raises
    ------
    ValueError
        If the kind is not one of the four, or the text holds no such setting above zero.

    Notes
    -----
    Valid for every setting above zero.

    Examples
    --------
    >>> parse_mark("f/5,6", "aperture"), parse_mark("ISO 400", "iso"), parse_mark("1/250", "shutter")
    (5.6, 400.0, 0.004)

    References
    ----------
    Customary marks (common practice, no source).
    """
    mark = _mark(kind)
    number = re.sub(rf"^\s*(?:{mark.before})\s*(?=[\d.,+-])", "", str(text).translate(OTHERWISE), flags=re.IGNORECASE)
    value = parse_quantity(number, mark.unit, quantity or mark.quantity)
    mark.write(value)
    return value


def nearest_mark(value: float, ladder: tuple[float, ...]) -> float:
    """Return the mark of a ladder that lies nearest in stops.

    Parameters
    ----------
    value : float
        The exact value [same unit as the ladder].
    ladder : tuple of float
        The marks, such as :data:`SHUTTER_TIMES` [same unit as the value].

    Returns
    -------
    float
        One of the marks.

    Raises
    ------
    ValueError
        If the value lies beyond the ladder's ends by more than half a stop.

    Notes
    -----
    Valid from half a stop below the lowest mark to half a stop above the highest, where a stop
    is a factor of two in the value.

    Examples
    --------
    >>> nearest_mark(11.3, APERTURES)
    11.0

    References
    ----------
    House rule; no outside source.
    """
    low, high = min(ladder) * 2**-0.5, max(ladder) * 2**0.5
    if not low <= value <= high:
        raise ValueError(
            f"The value to match with a mark must be from {format_number(low)} to {format_number(high)}; "
            f"got {format_number(value)}. To fix it: choose a setting inside the marks."
        )
    return min(ladder, key=lambda mark: abs(math.log(mark / value)))


def options(ladder: tuple[float, ...], kind: str) -> tuple[tuple[str, float], ...]:
    """Return a ladder as the (label, value) pairs a drop-down list wants.

    Parameters
    ----------
    ladder : tuple of float
        The marks, such as :data:`APERTURES` [any unit].
    kind : str
        ``'shutter'``, ``'aperture'``, ``'iso'`` or ``'power'`` [word].

    Returns
    -------
    tuple
        Pairs of label and value.

    Raises
    ------
    ValueError
        If the kind is not one of the four.

    Notes
    -----
    Valid for the ladders of this module.

    Examples
    --------
    >>> options((0.5, 0.25), "power")
    (('1/2', 0.5), ('1/4', 0.25))

    References
    ----------
    Customary marks (common practice, no source).
    """
    write = _mark(kind).write
    return tuple((write(mark), mark) for mark in ladder)


def _format_iso(speed: float) -> str:
    if not speed > 0:
        raise ValueError(
            f"The ISO setting must be above 0; got {format_number(speed)}. To fix it: give a number such as 200."
        )
    return f"ISO {speed:.0f}"


class _Mark(NamedTuple):
    """One kind of mark: its quantity and unit, what stands before the number, and how it is written."""

    quantity: str
    unit: str
    before: str
    write: Callable[[float], str]


_MARKS = {
    "shutter": _Mark("exposure time", "s", "", format_shutter),
    "aperture": _Mark("f-number", "1", r"f\s*/?", format_aperture),
    "iso": _Mark("ISO setting", "1", "iso", _format_iso),
    "power": _Mark("flash power", "1", "", format_power),
}


def _mark(kind: str) -> _Mark:
    if kind not in _MARKS:
        raise ValueError(
            f"The kind of mark must be one of {', '.join(_MARKS)}; got {kind!r}. To fix it: pick one of these words."
        )
    return _MARKS[kind]
