"""Text and ladders: the only place that reads what people write and writes what they read.

Inside the library every number is SI. People write ``1/125 s``, ``f/8``, ``ISO 400``,
``50 µs`` or ``0,05 ms``; this room turns that into SI and back.
"""

from splashkit.units.marks import (
    APERTURES,
    FLASH_POWERS,
    ISO_SPEEDS,
    SHUTTER_TIMES,
    format_aperture,
    format_mark,
    format_power,
    format_shutter,
    nearest_mark,
    options,
    parse_mark,
)
from splashkit.units.quantities import format_measure, format_number, format_quantity, parse_quantity

__all__ = [
    "APERTURES",
    "FLASH_POWERS",
    "ISO_SPEEDS",
    "SHUTTER_TIMES",
    "format_aperture",
    "format_mark",
    "format_measure",
    "format_number",
    "format_power",
    "format_quantity",
    "format_shutter",
    "nearest_mark",
    "options",
    "parse_mark",
    "parse_quantity",
]
