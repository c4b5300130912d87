"""One rig's numbers, in SI, with blanks where nothing was measured yet."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, fields, replace
from typing import Any

from splashkit import store
from splashkit.checks import Range, require
from splashkit.rig.entries import BY_NAME, ENTRIES
from splashkit.units import format_number, format_quantity


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
