"""One rig's measured numbers, typed once: every lesson starts from them.

A blank (None) means "not measured yet" and is never invented. In memory every number is SI;
in ``rig.json`` every key names its unit, such as ``nozzle_height_mm``. Keys this version does
not know are kept and written back.
"""

from __future__ import annotations

import contextlib
import json
import re
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, field, fields, replace
from pathlib import Path
from typing import Any, NamedTuple

from splashkit import store
from splashkit.checks import Choice, Range, require
from splashkit.units import format_number, format_quantity

FILE_NAME = "rig.json"
LARGEST_FILE = 1_000_000  # [bytes] a rig is some 2 kB


class Entry(NamedTuple):
    """One number or word of a rig: its name in Python, its key in the file, its check, and what to ask."""

    name: str
    key: str
    factor: float  # SI value = factor times the value in the file; 0 for words
    check: Range | Choice
    group: str
    question: str


def _number(
    name: str, unit_key: str, factor: float, unit: str, low: float, high: float, group: str, question: str
) -> Entry:
    key = f"{name}_{unit_key}" if unit_key else name
    advice = f"measure it again or leave it blank; the file's key is {key}"
    return Entry(name, key, factor, Range(name.replace("_", " "), unit, low, high, advice), group, question)


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
    _number("shutter_lag", "ms", 1e-3, "s", 0.0, 2.0, "timing", "Camera signal to the first curtain's start, mean"),
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
_BY_KEY = {entry.key: entry for entry in ENTRIES}


@dataclass(frozen=True)
class Rig:
    """One rig's numbers in SI; None where it has not been measured yet."""

    name: str = ""
    note: str = ""
    invented: bool = False
    nozzle_height: float | None = None
    bowl_depth: float | None = None
    bowl_radius: float | None = None
    first_diameter: float | None = None
    second_diameter: float | None = None
    weighed_mass: float | None = None
    weighed_drops: float | None = None
    first_opening: float | None = None
    second_opening: float | None = None
    valve_delay: float | None = None
    valve_delay_spread: float | None = None
    release_speed: float | None = None
    shutter_lag: float | None = None
    shutter_lag_spread: float | None = None
    chain: str | None = None
    link: str | None = None
    exposure_time: float | None = None
    sync_speed: float | None = None
    curtain_travel: float | None = None
    flash_kind: str | None = None
    flash_guide_number: float | None = None
    flash_power: float | None = None
    flash_t01: float | None = None
    sensor_width: float | None = None
    sensor_height: float | None = None
    pixels_wide: float | None = None
    pixels_high: float | None = None
    magnification: float | None = None
    aperture: float | None = None
    iso: float | None = None
    focal_length: float | None = None
    pupil_ratio: float | None = None
    liquid: str | None = None
    liquid_temperature: float | None = None
    liquid_parameters: Mapping[str, Any] = field(default_factory=dict)
    room_illuminance: float | None = None
    latitude: float | None = None
    units: str | None = None
    extra: Mapping[str, Any] = field(default_factory=dict)

    def __post_init__(self) -> None:
        for entry in ENTRIES:
            value = getattr(self, entry.name)
            if value is not None:
                require(
                    getattr(value, "ndim", 0) == 0 and not isinstance(value, (list, tuple)),
                    entry.name.replace("_", " "),
                    repr(value)[:40],
                    "a single value",
                    "give one number or word",
                )
                checked = entry.check(value)
                object.__setattr__(self, entry.name, float(checked) if entry.factor else checked)
        for name in ("name", "note"):
            require(
                isinstance(getattr(self, name), str),
                f"rig's {name}",
                repr(getattr(self, name))[:40],
                "text",
                "write words",
            )
            object.__setattr__(self, name, store.letters(getattr(self, name)))
            require(
                len(getattr(self, name)) <= store.LONGEST_TEXT,
                f"rig's {name}",
                f"{len(getattr(self, name))} letters",
                f"at most {store.LONGEST_TEXT} letters long",
                "shorten it",
            )

    @property
    def blanks(self) -> tuple[str, ...]:
        """Names of the entries not measured yet."""
        return tuple(entry.name for entry in ENTRIES if getattr(self, entry.name) is None)

    def filled(self) -> Rig:
        """Return a rig whose blanks are taken from the demo rig, for panels to start from."""
        start = demo()
        wanted = {name: getattr(start, name) for name in self.blanks if not name.startswith("weighed")}
        if self.liquid is None:
            wanted["liquid_parameters"] = start.liquid_parameters
        return replace(self, **wanted)

    def with_values(self, **values: Any) -> Rig:
        """Return a copy with some entries changed (SI; None makes a blank)."""
        unknown = [name for name in values if name not in {f.name for f in fields(self)}]
        require(not unknown, "rig entry", ", ".join(unknown), "one of the rig's names", "see splashkit.rig.ENTRIES")
        return replace(self, **values)


def demo() -> Rig:
    """Return an invented rig, so that every lesson opens on real-looking numbers.

    Returns
    -------
    Rig
        A complete rig with ``invented`` set; no number in it was measured.

    Raises
    ------
    ValueError
        Never.

    Notes
    -----
    Valid as a starting point only: replace it by your own numbers.

    Examples
    --------
    >>> demo().invented, demo().blanks
    (True, ('weighed_mass', 'weighed_drops', 'flash_t01', 'latitude'))

    References
    ----------
    Invented for this course; lags of the size that is common practice, no source.
    """
    return Rig(
        name="demo rig (invented)", note="Every number here is invented. Replace it by yours.", invented=True,
        nozzle_height=0.25, bowl_depth=0.05, bowl_radius=0.10, first_diameter=4e-3, second_diameter=4e-3,
        first_opening=0.040, second_opening=0.040, valve_delay=0.012, valve_delay_spread=0.0004, release_speed=0.10,
        shutter_lag=0.065, shutter_lag_spread=0.0005, chain="front", link="cable", exposure_time=0.1,
        sync_speed=1 / 200, curtain_travel=0.0035, flash_kind="quench", flash_guide_number=36.0, flash_power=1 / 32,
        sensor_width=0.036, sensor_height=0.024, pixels_wide=6000, pixels_high=4000, magnification=0.5, aperture=11.0,
        iso=200, focal_length=0.1, pupil_ratio=1.0, liquid="water", liquid_temperature=20.0, room_illuminance=1.0,
        units="metric",
    )  # fmt: skip


def path() -> Path:
    """Return where the rig is kept.

    Returns
    -------
    pathlib.Path
        ``rig.json`` in the learner's folder.

    Raises
    ------
    ValueError
        Never.

    Notes
    -----
    Valid on every system; ``SPLASHKIT_HOME`` chooses another folder.

    Examples
    --------
    >>> path().name
    'rig.json'

    References
    ----------
    House rule; no outside source.
    """
    return store.place(FILE_NAME)


def to_bytes(rig: Rig) -> bytes:
    """Write a rig as the bytes of ``rig.json``, for saving or for download.

    Parameters
    ----------
    rig : Rig
        The rig, in SI [mixed units].

    Returns
    -------
    bytes
        UTF-8 JSON text with the unit in every key.

    Raises
    ------
    ValueError
        Never for a rig that could be made.

    Notes
    -----
    Valid for every rig; numbers keep 12 significant digits.

    Examples
    --------
    >>> b'"nozzle_height_mm": 250.0' in to_bytes(demo())
    True

    References
    ----------
    House rule; no outside source.
    """
    held: dict[str, Any] = {"splashkit_rig": 1, "name": rig.name, "note": rig.note}
    if rig.invented:
        held["invented"] = True
    for entry in ENTRIES:
        value = getattr(rig, entry.name)
        # a blank is written too, so that a person sees in the file what is still to be measured
        held[entry.key] = value if value is None or not entry.factor else _rounded(value / entry.factor)
        if entry.name == "liquid" and rig.liquid_parameters:
            held["liquid_parameters"] = dict(rig.liquid_parameters)
    held |= {key: value for key, value in rig.extra.items() if key not in held}
    return (json.dumps(held, indent=1, ensure_ascii=False, allow_nan=False) + "\n").encode()


def from_bytes(data: bytes, name: str = FILE_NAME) -> Rig:
    """Read a rig from the bytes of a ``rig.json``, as saved or as uploaded.

    Parameters
    ----------
    data : bytes
        The file's content [UTF-8 text].
    name : str
        The file's name, for the sentence when something is wrong [text].

    Returns
    -------
    Rig
        The rig in SI; unknown keys are in ``extra``.

    Raises
    ------
    ValueError
        ``store.Damaged``, naming the line and the field.

    Notes
    -----
    Valid for files up to 1 MB.

    Examples
    --------
    >>> from_bytes(to_bytes(demo())) == demo()
    True

    References
    ----------
    House rule; no outside source.
    """
    if len(data) > LARGEST_FILE:
        raise store.Damaged(name, None, None, "is larger than 1 MB and cannot be a rig", "choose another file")
    text = store.decode(name, data)
    if not text.strip():
        raise store.Damaged(name, 1, None, "is empty")

    def pairs(found: list[tuple[str, Any]]) -> dict[str, Any]:
        twice = next((key for key, times in Counter(key for key, _ in found).items() if times > 1), None)
        if twice is not None:
            raise store.Damaged(name, _line_of(text, twice), twice, "is written twice")
        return dict(found)

    def refuse(word: str) -> Any:
        raise store.Damaged(name, _line_of_word(text, word), None, f"holds {word}, which is not a number")

    try:
        held = json.loads(text, object_pairs_hook=pairs, parse_constant=refuse)
    except json.JSONDecodeError as problem:
        raise store.Damaged(name, problem.lineno, _key_before(text, problem.pos), f"breaks off or is garbled "
                            f"({problem.msg.lower()})") from None  # fmt: skip
    except RecursionError:
        raise store.Damaged(name, None, None, "is nested too deeply to be a rig", "choose another file") from None
    except store.Damaged:
        raise
    except ValueError:
        raise store.Damaged(name, None, None, "holds a number of thousands of digits") from None
    store.check_letters(name, held)
    if not isinstance(held, dict):
        raise store.Damaged(name, 1, None, "does not start with { as a rig file does")
    return _rig_from(held, text, name)


def load() -> Rig | None:
    """Read the learner's rig.

    Returns
    -------
    Rig or None
        None when no rig has been saved yet.

    Raises
    ------
    ValueError
        If the file is damaged or cannot be read; the sentence names line and field.

    Notes
    -----
    Valid at any time, also while another lesson is saving.

    Examples
    --------
    >>> loaded = load()  # None before the first save

    References
    ----------
    House rule; no outside source.
    """
    data = store.read(path())
    return None if data is None else from_bytes(data, FILE_NAME)


def load_or_demo() -> tuple[Rig, str]:
    """Read the learner's rig, or the demo rig when there is none, with a sentence that says which.

    Returns
    -------
    tuple of Rig and str
        The rig, and what to tell the learner. Blanks are left blank: ``rig.filled()`` fills them.

    Raises
    ------
    ValueError
        Never: what is wrong with the file is in the sentence.

    Notes
    -----
    Valid always. A damaged file is left alone; what was saved beside it, or the version before, is used.

    Examples
    --------
    >>> rig, sentence = load_or_demo()

    References
    ----------
    House rule; no outside source.
    """
    try:
        found = load()
        if found is not None:
            return found, f"These numbers come from your own {FILE_NAME}."
        problem = "No rig is saved yet."
    except ValueError as error:
        problem = str(error)
        for other in (store.beside(path()), path().with_name(f"{path().name}.previous")):
            with contextlib.suppress(ValueError):
                data = store.read(other)
                if data is not None:
                    return from_bytes(data, other.name), f"{problem} Until then {other.name} is used."
    return demo(), f"{problem} These numbers are an invented demo rig: type your own in lesson 00."


def save(rig: Rig, since: Rig | None = None) -> str:
    """Save the learner's rig, keeping the version before it.

    Parameters
    ----------
    rig : Rig
        The rig, in SI [mixed units].
    since : Rig, optional
        The rig that was read before the changes: what another lesson has saved since then stays [mixed units].

    Returns
    -------
    str
        A sentence that says where it went.

    Raises
    ------
    ValueError
        If the disk refuses; nothing saved before is lost.

    Notes
    -----
    Valid while other lessons are open. A damaged file is never overwritten: the new rig goes beside
    it as ``rig.new.json``.

    Examples
    --------
    >>> sentence = save(demo())  # doctest: +SKIP

    References
    ----------
    House rule; no outside source.
    """
    require(
        len(to_bytes(rig)) <= LARGEST_FILE,
        "rig's file",
        "more",
        "at most 1 MB",
        "keep long notes in a file of their own",
    )
    target = path()
    stays: tuple[str, ...] = ()
    with store.locked(target):
        try:
            old = store.read(target)
            if old is not None:
                rig, stays = _merged(from_bytes(old, FILE_NAME), rig, since)
        except store.Damaged as problem:
            store.replace(store.beside(target), to_bytes(rig))
            return f"{problem} Your new numbers are saved beside it as {store.beside(target).name}."
        store.replace(target, to_bytes(rig))
    kept = f" The version before it is {target.name}.previous." if old is not None else ""
    if stays:
        kept += f" What was saved elsewhere meanwhile stays: {', '.join(stays)}."
    return f"Saved in {target}.{kept}"


def upload(data: bytes) -> Rig:
    """Save an uploaded ``rig.json`` as the learner's rig, keeping the version before it.

    Parameters
    ----------
    data : bytes
        The file's content [UTF-8 text].

    Returns
    -------
    Rig
        The rig that is now saved.

    Raises
    ------
    ValueError
        If the upload is damaged, naming line and field; then nothing is changed.

    Notes
    -----
    Valid for files up to 1 MB. For download use :func:`to_bytes`.

    Examples
    --------
    >>> rig = upload(to_bytes(demo()))  # doctest: +SKIP

    References
    ----------
    House rule; no outside source.
    """
    rig = from_bytes(data, "The uploaded file")
    save(rig)
    return rig


def _merged(disk: Rig, new: Rig, since: Rig | None) -> tuple[Rig, tuple[str, ...]]:
    """Put what changed since a rig was read into the one on the disk; name what somebody else changed there."""
    if since is None:
        return new, ()
    names = [field.name for field in fields(Rig)]
    if new.liquid != since.liquid:
        names.remove("liquid_parameters")  # they belong to the liquid chosen
    stays = [name for name in names if getattr(new, name) == getattr(since, name) != getattr(disk, name)]
    words = tuple(name.replace("_", " ") for name in stays if name in BY_NAME)
    return replace(new, **{name: getattr(disk, name) for name in stays}), words


def _rig_from(held: dict[str, Any], text: str, name: str) -> Rig:
    values: dict[str, Any] = {}
    extra: dict[str, Any] = {}
    for key, value in held.items():
        if key in _BY_KEY and value is not None:
            entry = _BY_KEY[key]
            try:
                if isinstance(value, (list, dict)):
                    raise ValueError("it holds several values, not one")
                if entry.factor:
                    plain = isinstance(value, (int, float)) and not isinstance(value, bool)
                    value = _rounded(value * entry.factor) if plain else value
                values[entry.name] = entry.check(value)
            except (ValueError, OverflowError) as problem:
                problem_text = str(problem).split(" To fix it")[0].rstrip(".")
                raise store.Damaged(name, _line_of(text, key), key, f"is wrong: {problem_text}") from None
        elif key in ("name", "note", "invented", "liquid_parameters"):
            wanted = {"invented": bool, "liquid_parameters": dict}.get(key, str)
            if not isinstance(value, wanted):
                raise store.Damaged(name, _line_of(text, key), key, f"must hold {_KINDS[wanted]}")
            if isinstance(value, str) and len(value) > store.LONGEST_TEXT:
                why = f"holds {len(value)} letters, more than {store.LONGEST_TEXT}"
                raise store.Damaged(name, _line_of(text, key), key, why)
            values[key] = value
        elif key not in _BY_KEY and key != "splashkit_rig":
            extra[key] = value
    return Rig(**values, extra=extra)


_KINDS: dict[type, str] = {bool: "true or false", dict: "named parameters", str: "text"}


def _rounded(value: float) -> float:
    return float(f"{value:.12g}")


def _line_of(text: str, key: str) -> int | None:
    found = re.search(re.escape(json.dumps(key, ensure_ascii=False)) + r"\s*:", text)
    return text.count("\n", 0, found.start()) + 1 if found else None


def _line_of_word(text: str, word: str) -> int | None:
    found = re.search(rf"[:,\[]\s*{re.escape(word)}", text)
    return text.count("\n", 0, found.end()) + 1 if found else None


def _key_before(text: str, position: int) -> str | None:
    found = re.findall(r'"([^"\n]{1,60})"\s*:', text[:position])
    return found[-1] if found else None


def describe(rig: Rig, name: str) -> str:
    """Write one entry of a rig as words.

    Parameters
    ----------
    rig : Rig
        The rig [mixed units].
    name : str
        Name of the entry, such as ``'nozzle_height'`` [word].

    Returns
    -------
    str
        Such as ``'250 mm'``, or ``'not measured yet'``.

    Raises
    ------
    ValueError
        If the rig has no such entry.

    Notes
    -----
    Valid for every entry of ``ENTRIES``.

    Examples
    --------
    >>> describe(demo(), "nozzle_height"), describe(demo(), "flash_t01")
    ('250 mm', 'not measured yet')

    References
    ----------
    House rule; no outside source.
    """
    require(name in BY_NAME, "rig entry", store.shown(name), "one of the rig's names", "see splashkit.rig.ENTRIES")
    value = getattr(rig, name)
    check = BY_NAME[name].check
    if value is None:
        return "not measured yet"
    if isinstance(check, Range):
        return format_quantity(value, check.unit) if check.unit != "1" else format_number(value, 6)
    return str(value)
