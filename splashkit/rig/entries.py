"""Every number and word of a rig: its name, its key in the file, what it may be, and what to ask."""

from __future__ import annotations

from typing import NamedTuple

from splashkit.checks import Choice, Range


class Entry(NamedTuple):
    """One number or word of a rig: its name in Python, its key in the file, its check, and what to ask."""

    name: str
    key: str
    factor: float  # SI value = factor times the value in the file; 0 for words
    check: Range | Choice
    group: str
    question: str


_SPOKEN = {"mm": "mm", "ms": "ms", "us": "µs", "g": "g"}  # refusals speak in the unit of the file and of the box


def _number(
    name: str, unit_key: str, factor: float, unit: str, low: float, high: float, group: str, question: str
) -> Entry:
    key = f"{name}_{unit_key}" if unit_key else name
    advice = f"measure it again or leave it blank; the file's key is {key}"
    display = _SPOKEN.get(unit_key, "")
    check = Range(name.replace("_", " "), unit, low, high, advice, display=display)
    return Entry(name, key, factor, check, group, question)


def _word(name: str, options: tuple[str, ...], group: str, question: str) -> Entry:
    return Entry(name, name, 0.0, Choice(name.replace("_", " "), options), group, question)


CHAINS = ("front", "rear", "open")
LINKS = ("cable", "radio")
FLASH_KINDS = ("quench", "voltage", "capacitor")
LIQUIDS = ("water", "milk", "glycerol_water", "thickened_water", "other")
# Ranges: what can be built on a table; far-out values are typing slips. House choice, no source.
ENTRIES: tuple[Entry, ...] = (
    _number("nozzle_height", "mm", 1e-3, "m", 0.02, 3.0, "water", "Nozzle tip to the still surface"),
    _number("bowl_depth", "mm", 1e-3, "m", 0.001, 1.0, "water", "Depth of the liquid in the bowl"),
    _number("bowl_radius", "mm", 1e-3, "m", 0.01, 1.0, "water", "Inner radius of the bowl at the surface"),
    _number("first_diameter", "mm", 1e-3, "m", 0.5e-3, 8e-3, "water", "Diameter of the first drop"),
    _number("second_diameter", "mm", 1e-3, "m", 0.5e-3, 8e-3, "water", "Diameter of the second drop"),
    _number("weighed_mass", "g", 1e-3, "kg", 1e-6, 1.0, "water", "Mass of the drops weighed together"),
    _number("weighed_drops", "", 1.0, "1", 1, 10000, "water", "How many drops were weighed"),
    _number("first_opening", "ms", 1e-3, "s", 0.5e-3, 1.0, "water", "Valve opening time for the first drop"),
    _number("second_opening", "ms", 1e-3, "s", 0.5e-3, 1.0, "water", "Valve opening time for the second drop"),
    _number("valve_delay", "ms", 1e-3, "s", 0.0, 0.5, "timing", "Valve signal to the drop's release, mean"),
    _number("valve_delay_spread", "ms", 1e-3, "s", 0.0, 0.1, "timing", "Valve delay, standard deviation"),
    _number("release_speed", "m_per_s", 1.0, "m/s", 0.0, 3.0, "water", "Speed of the drop as it lets go"),
    _number("shutter_lag", "ms", 1e-3, "s", 0.0, 2.0, "timing", "Camera signal to the front curtain's start, mean"),
    _number("shutter_lag_spread", "ms", 1e-3, "s", 0.0, 0.5, "timing", "Shutter lag, standard deviation"),
    _word("chain", CHAINS, "timing", "Who fires the flash: front or rear curtain, or the timer on an open shutter"),
    _word("link", LINKS, "timing", "How the signal travels"),
    _number("exposure_time", "s", 1.0, "s", 1e-5, 60.0, "camera", "Shutter time"),
    _number("sync_speed", "s", 1.0, "s", 1e-4, 0.2, "camera", "Shortest exposure with the whole frame open"),
    _number("curtain_travel", "ms", 1e-3, "s", 1e-4, 0.1, "camera", "Time one curtain takes across the frame"),
    _word("flash_kind", FLASH_KINDS, "flash", "How the flash makes less light"),
    _number("flash_guide_number", "m", 1.0, "m", 1.0, 200.0, "flash", "Guide number at full power, ISO 100, in metres"),
    _number("flash_power", "", 1.0, "1", 1 / 512, 1.0, "flash", "Share of full power"),
    _number("flash_t01", "us", 1e-6, "s", 1e-7, 0.05, "flash", "Measured flash duration t0.1 at that power"),
    _number("sensor_width", "mm", 1e-3, "m", 3e-3, 0.1, "camera", "Sensor width"),
    _number("sensor_height", "mm", 1e-3, "m", 2e-3, 0.1, "camera", "Sensor height"),
    _number("pixels_wide", "", 1.0, "1", 100, 100000, "camera", "Pixels across the sensor's width"),
    _number("pixels_high", "", 1.0, "1", 100, 100000, "camera", "Pixels across the sensor's height"),
    _number("magnification", "", 1.0, "1", 1e-3, 10.0, "camera", "Size on the sensor over size in the bowl"),
    _number("aperture", "", 1.0, "1", 0.7, 64.0, "camera", "The f-number set on the lens"),
    _number("iso", "", 1.0, "1", 25, 409600, "camera", "ISO setting"),
    _number("focal_length", "mm", 1e-3, "m", 5e-3, 1.0, "camera", "Focal length marked on the lens"),
    _number("pupil_ratio", "", 1.0, "1", 0.1, 10.0, "camera", "Exit pupil over entrance pupil; 1 if unknown"),
    _word("liquid", LIQUIDS, "water", "What is in the bowl"),
    _number("liquid_temperature", "degC", 1.0, "degC", 0.0, 60.0, "water", "Temperature of the liquid"),
    _number("room_illuminance", "lx", 1.0, "lx", 0.0, 1e5, "camera", "Light left in the room while shooting"),
    _number("latitude", "deg", 1.0, "1", -90.0, 90.0, "water", "Latitude, for the local pull of gravity"),
    _word("units", ("metric", "imperial"), "text", "Units to show"),
)  # fmt: skip
BY_NAME = {entry.name: entry for entry in ENTRIES}
BY_KEY = {entry.key: entry for entry in ENTRIES}
