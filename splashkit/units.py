"""Text and ladders: the only place that reads what people write and writes what they read.

Inside the library every number is SI. People write ``1/125 s``, ``f/8``, ``ISO 400``,
``50 µs`` or ``0,05 ms``; this module turns that into SI and back.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from typing import NamedTuple

_PREFIXED: dict[str, tuple[tuple[float, str], ...]] = {
    "s": ((1.0, "s"), (1e-3, "ms"), (1e-6, "µs"), (1e-9, "ns")),
    "m": ((1.0, "m"), (1e-3, "mm"), (1e-6, "µm")),
    "m3": ((1e-3, "L"), (1e-6, "mL"), (1e-9, "µL")),
    "kg": ((1.0, "kg"), (1e-3, "g"), (1e-6, "mg")),
    "Pa s": ((1.0, "Pa s"), (1e-3, "mPa s")),
    "N/m": ((1e-3, "mN/m"),),
    "Hz": ((1e3, "kHz"), (1.0, "Hz")),
    "F": ((1e-3, "mF"), (1e-6, "µF")),
    "H": ((1e-3, "mH"), (1e-6, "µH")),
    "m2/s": ((1e-6, "mm²/s"),),
    "kg/m3": ((1.0, "kg/m³"),),
    "m/s2": ((1.0, "m/s²"),),
    "rad": ((math.pi / 180, "°"),),
    "degC": ((1.0, "°C"),),
    "1": ((1.0, ""),),
    "stop": ((1.0, "stops"),),
}

# what people may write after a number, by the SI unit asked for
_WRITTEN: dict[str, dict[str, float]] = {
    "s": {
        "s": 1,
        "sec": 1,
        "second": 1,
        "seconds": 1,
        "ms": 1e-3,
        "milliseconds": 1e-3,
        "µs": 1e-6,
        "us": 1e-6,
        "ns": 1e-9,
        "min": 60,
        "minute": 60,
        "minutes": 60,
    },
    "m": {
        "m": 1,
        "cm": 1e-2,
        "mm": 1e-3,
        "µm": 1e-6,
        "um": 1e-6,
        "in": 0.0254,
        "inch": 0.0254,
        "inches": 0.0254,
        "ft": 0.3048,
    },
    "m/s": {"m/s": 1, "mm/s": 1e-3, "cm/s": 1e-2, "mm/ms": 1},
    "m3": {"m3": 1, "L": 1e-3, "l": 1e-3, "mL": 1e-6, "ml": 1e-6, "µL": 1e-9, "uL": 1e-9, "ul": 1e-9, "cm3": 1e-6},
    "kg": {"kg": 1, "g": 1e-3, "mg": 1e-6},
    "Pa s": {"Pa s": 1, "mPa s": 1e-3, "cP": 1e-3},
    "N/m": {"N/m": 1, "mN/m": 1e-3},
    "Hz": {"Hz": 1, "kHz": 1e3},
    "lx": {"lx": 1, "lux": 1},
    "degC": {"°C": 1, "degC": 1, "C": 1},
    "rad": {"rad": 1, "°": math.pi / 180, "deg": math.pi / 180, "degrees": math.pi / 180},
    "1": {"": 1, "%": 1e-2, "x": 1, "×": 1},
    "stop": {"stop": 1, "stops": 1, "EV": 1},
    "fps": {"fps": 1, "frames/s": 1},
}

_EXAMPLES = {"s": "1/20000, 50 µs or 0.05 ms", "m": "25 cm or 4 mm", "m/s": "2.2 m/s", "1": "0.5 or 50 %"}

# letters that mean the same: full-width forms of East Asian keyboards, the Arabic decimal mark, minus and micro signs;
# and the marks without width that copied text brings along
_OTHERWISE: dict[int, int | None] = {0xFF01 + n: 0x21 + n for n in range(94)}
_OTHERWISE |= str.maketrans("\u3000٫−μ", " ,-µ", "\u200b\u200e\u200f\u2060\ufeff")

_NUMBER = r"[+-]?(?:\d+(?:[.,]\d*)?|[.,]\d+)(?:[eE][+-]?\d+)?"


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


def format_number(value: float, digits: int = 3) -> str:
    """Write a number to a few significant digits without exponents where a person would.

    Parameters
    ----------
    value : float
        The number [1].
    digits : int
        Significant digits to keep [1].

    Returns
    -------
    str
        Such as ``'0.0125'``, ``'35'`` or ``'8690'``.

    Raises
    ------
    ValueError
        Never for a float; infinite and undefined values are written as words.

    Notes
    -----
    Valid for every float. Integers keep all their digits up to a million.

    Examples
    --------
    >>> format_number(0.0349), format_number(8690.4), format_number(2.0)
    ('0.0349', '8690', '2')

    References
    ----------
    House style; no outside source.
    """
    value = float(value)
    if math.isnan(value):
        return "not a number"
    if math.isinf(value):
        return "infinity" if value > 0 else "minus infinity"
    if value == 0:
        return "0"
    magnitude = math.floor(math.log10(abs(value)))
    if magnitude >= 6 or magnitude < -5:
        mantissa, exponent = f"{value:.{digits - 1}e}".split("e")
        return f"{mantissa.rstrip('0').rstrip('.') if '.' in mantissa else mantissa}e{int(exponent)}"
    text = f"{value:.{max(digits - 1 - magnitude, 0)}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def format_quantity(value: float, unit: str, digits: int = 3) -> str:
    """Write an SI value with the prefix a photographer would use.

    Parameters
    ----------
    value : float
        The value in SI [any unit].
    unit : str
        The SI unit, such as ``'s'``, ``'m'``, ``'m/s'`` or ``'1'`` for a plain number [word].
    digits : int
        Significant digits to keep [1].

    Returns
    -------
    str
        Such as ``'35 ms'``, ``'4 mm'`` or ``'2.18 m/s'``.

    Raises
    ------
    ValueError
        Never; an unknown unit is written as it stands.

    Notes
    -----
    Valid for every float.

    Examples
    --------
    >>> format_quantity(0.0349, "s"), format_quantity(0.25, "m"), format_quantity(5e-5, "s")
    ('34.9 ms', '250 mm', '50 µs')

    References
    ----------
    Prefixes as in ISO 80000-1 (from memory).
    """
    value = float(value)
    if math.isnan(value):
        return "not a number"
    steps = _PREFIXED.get(unit, ((1.0, unit),))
    if not math.isfinite(value) or value == 0:
        name = steps[min(1, len(steps) - 1)][1] if value == 0 else steps[0][1]
        return f"{format_number(value, digits)} {name}".strip()
    # half a digit of grace, so that 999.9996 µs is written 1 ms
    grace = 1 - 0.5 * 10.0**-digits
    factor, name = next(((f, n) for f, n in steps if abs(value) >= f * grace), steps[-1])
    join = "" if name == "°" else " "
    return f"{format_number(value / factor, digits)}{join}{name}".strip()


def format_measure(value: float, unit: str, system: str = "metric", digits: int = 3) -> str:
    """Write a length, an amount or a temperature for a tape, a jug and a thermometer, in inches where asked.

    Parameters
    ----------
    value : float
        The value in SI; degC for a temperature [any unit].
    unit : str
        The SI unit; lengths, amounts and temperatures are turned, all others stay [word].
    system : str
        ``'metric'`` or ``'imperial'`` [word].
    digits : int
        Significant digits to keep [1].

    Returns
    -------
    str
        Such as ``'250 mm'`` or ``'9.84 in'``.

    Raises
    ------
    ValueError
        If the system is neither of the two.

    Notes
    -----
    Valid for every float. Lengths under a fifth of an inch, such as drops and blurs, stay in millimetres.

    Examples
    --------
    >>> format_measure(0.25, "m"), format_measure(0.25, "m", "imperial"), format_measure(20, "degC", "imperial")
    ('250 mm', '9.84 in', '68 °F')

    References
    ----------
    The inch is 25.4 mm (ISO 31-1, from memory); the fluid ounce is that of the USA, 29.5735 mL, and 32 are a quart.
    """
    if system not in ("metric", "imperial"):
        raise ValueError(
            f"The units to show must be one of metric, imperial; got {system!r}. To fix it: pick one of these words."
        )
    if system == "imperial":
        if unit == "m" and abs(value) >= 0.2 * 0.0254:
            return f"{format_number(value / 0.0254, digits)} in"
        if unit == "m3":
            ounces = value / 29.5735e-6
            return (
                f"{format_number(ounces / 32, digits)} qt" if ounces >= 32 else f"{format_number(ounces, digits)} fl oz"
            )
        if unit == "degC":
            return f"{format_number(1.8 * value + 32, digits)} °F"
    return format_quantity(value, unit, digits)


def parse_quantity(text: str, unit: str, quantity: str = "value", bare: str = "") -> float:
    """Read what a person wrote into SI.

    Parameters
    ----------
    text : str
        What was written: ``'1/20000'``, ``'50 µs'``, ``'0,05 ms'``, ``'25 cm'`` [text].
    unit : str
        The SI unit wanted, and the one taken when none is written [word].
    quantity : str
        What the number is, for the error sentence [text].
    bare : str
        The unit meant by a number written alone, such as ``'cm'``; the SI unit if empty. A fraction
        such as 1/250 is always in the SI unit [word].

    Returns
    -------
    float
        The value in SI [unit].

    Raises
    ------
    ValueError
        If the text is not a number, a fraction, or a number with a fitting unit.

    Notes
    -----
    Valid for finite numbers. A comma is always a decimal comma; blanks inside a number are
    refused rather than guessed.

    Examples
    --------
    >>> parse_quantity("1/20000", "s"), parse_quantity("0,05 ms", "s"), parse_quantity("25 cm", "m")
    (5e-05, 5e-05, 0.25)
    >>> parse_quantity("30", "m", bare="cm")
    0.3

    References
    ----------
    House style; unit symbols as in ISO 80000-1 (from memory).
    """
    if isinstance(text, (int, float)) and not isinstance(text, bool):
        text = repr(text)
    table = _WRITTEN.get(unit, {unit: 1.0})
    cleaned = str(text).translate(_OTHERWISE).strip()
    match = re.fullmatch(rf"({_NUMBER})(?:\s*/\s*({_NUMBER}))?\s*(.*)", cleaned)
    word = (match[3].strip() or ("" if match[2] else bare)) if match else ""
    factor = table.get(word, None if word else 1.0) if match else None
    value = math.nan
    if match and factor is not None:
        top = float(match[1].replace(",", "."))
        bottom = float(match[2].replace(",", ".")) if match[2] else 1.0
        value = top / bottom * factor if bottom else math.nan
    if not math.isfinite(value):
        examples = _EXAMPLES.get(unit, f"2 {next(iter(table))}".strip())
        shown = "".join(letter if letter.isprintable() else "?" for letter in cleaned[:41])
        shown = shown if len(shown) <= 40 else shown[:37] + "..."
        raise ValueError(
            f"The {quantity} must be a number with a unit such as {examples}; got '{shown}'. "
            "To fix it: write one number, a fraction like 1/250 if you wish, then the unit."
        )
    return value


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
    number = re.sub(rf"^\s*(?:{mark.before})\s*(?=[\d.,+-])", "", str(text).translate(_OTHERWISE), flags=re.IGNORECASE)
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
