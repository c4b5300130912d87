"""Numbers with units: SI inside, what people read and write outside."""

from __future__ import annotations

import math
import re

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
        '"': 0.0254,
        "″": 0.0254,
        "”": 0.0254,
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
_EXAMPLES = {"s": "1/20000, 50 µs or 0.05 ms", "m": "25 cm or 4 mm", "m/s": "2.2 m/s", "1": "0.5 or 50 %", "rad": "47°"}
# letters that mean the same: full-width forms of East Asian keyboards, the Arabic decimal mark, minus and micro signs;
# and the marks without width that copied text brings along
OTHERWISE: dict[int, int | None] = {0xFF01 + n: 0x21 + n for n in range(94)}
OTHERWISE |= str.maketrans("\u3000٫−μ", " ,-µ", "\u200b\u200e\u200f\u2060\ufeff")
_NUMBER = r"[+-]?(?:\d+(?:[.,]\d*)?|[.,]\d+)(?:[eE][+-]?\d+)?"


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
        factor, name = 1.0, steps[min(1, len(steps) - 1)][1] if value == 0 else steps[0][1]
    else:
        grace = 1 - 0.5 * 10.0**-digits  # half a digit, so that 999.9996 µs is written 1 ms
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
    cleaned = str(text).translate(OTHERWISE).strip()
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
