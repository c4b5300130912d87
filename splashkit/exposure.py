"""How bright the frame gets: from the room's light and from the flash, counted in stops.

A stop is a factor of two in light. Zero stops is a mid-grey recorded as mid-grey.
"""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np

from splashkit.checks import Choice, Number, Range, checked, require

# ISO 2720:1974: K from 10.6 to 13.4, C (flat receptor) from 240 to 400; the common values are used here
REFLECTED_CONSTANT = 12.5  # K [cd s/m2 at ISO 1]
INCIDENT_CONSTANT = 250.0  # C [lx s at ISO 1]
# ISO 12232: sensor exposure at saturation, and at the mid-grey of the standard output sensitivity [lx s at ISO 1]
SATURATION_CONSTANT = 78.0
OUTPUT_CONSTANT = 10.0
LENS_CONSTANT = 0.65  # ISO 12232: q = (pi/4) 0.90 0.98 cos(10 deg)^4 = 0.6516, rounded there to 0.65
DARK_ENOUGH = 6.0  # stops under at which the room no longer shows: 5 to 7 by common practice, no source

RANGES = {
    "f_number": Range("f-number", "1", 0.5, 256, "give the number on the lens, such as 11"),
    "exposure_time": Range("exposure time", "s", 1e-6, 86400, "give seconds: 1/250 s is 0.004"),
    "iso": Range("ISO speed", "1", 1, 1e7, "give the ISO setting, such as 100"),
    "illuminance": Range("light on the subject", "lx", 0, 1e7, "give lux: a lit room has about 100 to 500"),
    "bright_illuminance": Range("light on the subject", "lx", 0, 1e7, "give lux above 0, such as 100", open_low=True),
    "luminance": Range("brightness of the subject", "cd/m2", 0, 1e7, "give cd/m2 above 0, such as 10", open_low=True),
    "ev100": Range("exposure value at ISO 100", "EV", -30, 30, "give a number such as 7 for a lit room"),
    "guide_number": Range("guide number", "m", 0.01, 1000, "give metres at ISO 100; feet are divided by 3.28"),
    "distance": Range("distance from flash to subject", "m", 0.005, 200, "give metres: 40 cm is 0.4"),
    "power": Range("flash power", "1", 0, 1, "give the share of full power: 1/16 is 0.0625", open_low=True),
    "power_or_off": Range("flash power", "1", 0, 1, "give the share of full power, or 0 for a flash that is off"),
    "magnification": Range("magnification", "1", 0, 20, "give image size over subject size, such as 0.5"),
    "pupil_ratio": Range("pupil ratio", "1", 0.05, 20, "give exit pupil over entrance pupil; 1 if unknown"),
    "loss": Range("light loss", "stop", 0, 60, "give stops lost, 0 or more"),
    "stops": Range("number of stops", "stop", -60, 60, "give stops, such as -2"),
    "stops_or_none": Range("level of a light", "stop", -np.inf, 60, "give stops over correct", infinite=True),
    "density": Range("filter density", "1", 0, 18, "give the optical density: an 8 times filter is 0.9"),
    "size": Range("size of the moving thing", "m", 0, 10, "give metres: a 4 mm drop is 0.004", open_low=True),
    "speed": Range("speed", "m/s", 0, 1000, "give metres a second, such as 2.2"),
    "candela_seconds": Range("light of the flash", "cd s", 0, 1e9, "give candela-seconds above 0", open_low=True),
    "amount": Range("amount of light", "1", 0, advice="give a number above 0", open_low=True),
    "mark": Range("marked value", "1", 1e-5, 1e7, "give the number as it is marked, such as 11"),
}
MARK_KINDS = Choice("kind of mark", ("aperture", "shutter", "iso"))
MARK_STEPS = Choice("step of the marks", ("third", "half", "full"))
GREY_KINDS = Choice("kind of sensor level", ("saturation", "output", "metered"))


class FrameLevel(NamedTuple):
    """Recorded level of a mid-grey subject: 1 is correct, 2 is one stop over, 0 is black.

    ``ambient_per_second`` is the ambient level gathered by each second of open shutter.
    """

    flash: Any
    ambient: Any
    total: Any
    ambient_per_second: Any


def stops_between(reference: Number, amount: Number) -> Any:
    """Say how many stops one amount of light lies above another.

    .. math:: n = \\log_2(\\mathrm{amount} / \\mathrm{reference})

    Parameters
    ----------
    reference : float or array
        The light to compare with [any unit of light].
    amount : float or array
        The light in question [the same unit].

    Returns
    -------
    float or array
        Stops above the reference; negative when there is less light [stop].

    Raises
    ------
    ValueError
        If either amount is not above zero.

    Notes
    -----
    Valid for amounts of light, times and ISO speeds; an f-number enters as its inverse square.

    Examples
    --------
    >>> float(stops_between(1.0, 8.0))
    3.0

    References
    ----------
    Definition of the stop.
    """
    first, second = checked(
        {"reference": RANGES["amount"], "amount": RANGES["amount"]}, reference=reference, amount=amount
    )
    return np.log2(second) - np.log2(first)


def factor_from_stops(stops: Number) -> Any:
    """Turn stops into the factor of light they stand for.

    .. math:: \\mathrm{factor} = 2^{n}

    Parameters
    ----------
    stops : float or array
        Stops more light; negative for less [stop].

    Returns
    -------
    float or array
        Factor of light [1].

    Raises
    ------
    ValueError
        If the stops lie beyond 60 either way.

    Notes
    -----
    Valid from -60 to 60 stops.

    Examples
    --------
    >>> float(factor_from_stops(-2))
    0.25

    References
    ----------
    Definition of the stop.
    """
    return np.exp2(RANGES["stops"](stops))


def exact_mark(mark: Number, kind: str, step: str = "third") -> Any:
    """Return the exact value behind a mark on a camera or lens.

    .. math:: N = 2^{k/2s}, \\quad t = 2^{-k/s}, \\quad S = 100 \\cdot 2^{k/s}

    Parameters
    ----------
    mark : float or array
        The value as marked: 11, 1/125 or 400 [f-number, s or ISO].
    kind : str
        ``'aperture'``, ``'shutter'`` or ``'iso'`` [word].
    step : str
        ``'third'``, ``'half'`` or ``'full'`` stops [word].

    Returns
    -------
    float or array
        The exact power of two that the mark rounds [as the mark].

    Raises
    ------
    ValueError
        If the mark is out of range or a word is unknown.

    Notes
    -----
    Valid for the customary marks. They differ from the exact values by up to 0.14 stop.
    A camera may use either; a difference this small does not show.

    Examples
    --------
    >>> float(exact_mark(1 / 125, "shutter")), round(float(exact_mark(11, "aperture")), 3)
    (0.0078125, 11.314)

    References
    ----------
    Series of ISO 516, 517 and 5800 (from memory); marks are common practice.
    """
    value = RANGES["mark"](mark)
    kind = MARK_KINDS(kind)
    steps = {"third": 3, "half": 2, "full": 1}[MARK_STEPS(step)] * (2 if kind == "aperture" else 1)
    base = 100.0 if kind == "iso" else 1.0
    return base * np.exp2(np.round(steps * np.log2(value / base)) / steps)


def exposure_value(f_number: Number, exposure_time: Number) -> Any:
    """Return the exposure value of a pair of camera settings.

    .. math:: EV = \\log_2(N^2 / t)

    Parameters
    ----------
    f_number : float or array
        F-number [1].
    exposure_time : float or array
        Exposure time [s].

    Returns
    -------
    float or array
        Exposure value; one more is half the light [EV].

    Raises
    ------
    ValueError
        If a setting is out of range.

    Notes
    -----
    Valid for f/0.5 to f/256 and 1 µs to a day. Marks are used as they stand, so f/16 at
    1/125 s gives 14.966 where photographers say 15.

    Examples
    --------
    >>> round(float(exposure_value(16, 1 / 125)), 3)
    14.966

    References
    ----------
    APEX system, ASA PH2.5-1960 as told by Kerr, APEX, issue 7, 2007.
    """
    aperture, time = checked(RANGES, f_number=f_number, exposure_time=exposure_time)
    return 2 * np.log2(aperture) - np.log2(time)


def ev100_from_settings(f_number: Number, exposure_time: Number, iso: Number = 100.0) -> Any:
    """Name the light that a set of camera settings asks for, as the exposure value at ISO 100.

    .. math:: EV_{100} = \\log_2(N^2 / t) - \\log_2(S / 100)

    Parameters
    ----------
    f_number : float or array
        F-number [1].
    exposure_time : float or array
        Exposure time [s].
    iso : float or array
        ISO speed [1].

    Returns
    -------
    float or array
        Exposure value at ISO 100 [EV].

    Raises
    ------
    ValueError
        If a setting is out of range.

    Notes
    -----
    Valid for the ranges of the settings. A metered reading is turned into light this way.

    Examples
    --------
    >>> round(float(ev100_from_settings(8, 1 / 250, 400)), 4)
    11.9658

    References
    ----------
    ISO 2720:1974, through secondary texts.
    """
    aperture, time, speed = checked(RANGES, f_number=f_number, exposure_time=exposure_time, iso=iso)
    return 2 * np.log2(aperture) - np.log2(time) - np.log2(speed / 100)


def ev100_from_illuminance(illuminance: Number) -> Any:
    """Turn the light that falls on the subject into the exposure value at ISO 100.

    .. math:: EV_{100} = \\log_2(100 E / C), \\quad C = 250

    Parameters
    ----------
    illuminance : float or array
        Light falling on the subject [lx].

    Returns
    -------
    float or array
        Exposure value at ISO 100; minus infinity in total darkness [EV].

    Raises
    ------
    ValueError
        If the light is below zero or not a number.

    Notes
    -----
    Valid up to ten million lux. Meters use C from 240 to 400, so two meters may differ by 0.7 stop.

    Examples
    --------
    >>> float(ev100_from_illuminance(320))
    7.0

    References
    ----------
    ISO 2720:1974, through secondary texts; C = 250 is the common value.
    """
    light = RANGES["illuminance"](illuminance)
    with np.errstate(divide="ignore"):
        return np.log2(light * (100 / INCIDENT_CONSTANT))


def illuminance_from_ev100(ev100: Number) -> Any:
    """Turn an exposure value at ISO 100 into the light that falls on the subject.

    .. math:: E = (C / 100) \\, 2^{EV_{100}}

    Parameters
    ----------
    ev100 : float or array
        Exposure value at ISO 100 [EV].

    Returns
    -------
    float or array
        Light falling on the subject [lx].

    Raises
    ------
    ValueError
        If the exposure value is beyond 30 either way.

    Notes
    -----
    Valid from EV -30 to 30, with C = 250.

    Examples
    --------
    >>> float(illuminance_from_ev100(7))
    320.0

    References
    ----------
    ISO 2720:1974, through secondary texts; C = 250 is the common value.
    """
    return INCIDENT_CONSTANT / 100 * np.exp2(RANGES["ev100"](ev100))


def ev100_from_luminance(luminance: Number) -> Any:
    """Turn the brightness of a mid-toned surface into the exposure value at ISO 100.

    .. math:: EV_{100} = \\log_2(100 L / K), \\quad K = 12.5

    Parameters
    ----------
    luminance : float or array
        Brightness of the surface [cd/m2].

    Returns
    -------
    float or array
        Exposure value at ISO 100 [EV].

    Raises
    ------
    ValueError
        If the brightness is not above zero.

    Notes
    -----
    Valid up to ten million cd/m2. Meters use K from 10.6 to 13.4.

    Examples
    --------
    >>> float(ev100_from_luminance(4096))
    15.0

    References
    ----------
    ISO 2720:1974, through secondary texts; K = 12.5 is the common value.
    """
    return np.log2(RANGES["luminance"](luminance) * (100 / REFLECTED_CONSTANT))


def luminance_from_ev100(ev100: Number) -> Any:
    """Turn an exposure value at ISO 100 into the brightness of a mid-toned surface.

    .. math:: L = (K / 100) \\, 2^{EV_{100}}

    Parameters
    ----------
    ev100 : float or array
        Exposure value at ISO 100 [EV].

    Returns
    -------
    float or array
        Brightness of the surface [cd/m2].

    Raises
    ------
    ValueError
        If the exposure value is beyond 30 either way.

    Notes
    -----
    Valid from EV -30 to 30, with K = 12.5.

    Examples
    --------
    >>> float(luminance_from_ev100(0))
    0.125

    References
    ----------
    ISO 2720:1974, through secondary texts; K = 12.5 is the common value.
    """
    return REFLECTED_CONSTANT / 100 * np.exp2(RANGES["ev100"](ev100))


def sensor_exposure(luminance: Number, f_number: Number, exposure_time: Number, close_up: Number = 0.0) -> Any:
    """Return the light that reaches the sensor behind a lens.

    .. math:: H = q L t / N^2 \\cdot 2^{-n}

    Parameters
    ----------
    luminance : float or array
        Brightness of the subject [cd/m2].
    f_number : float or array
        F-number set for a far subject [1].
    exposure_time : float or array
        Exposure time [s].
    close_up : float or array
        Stops lost by focusing close and by filters [stop].

    Returns
    -------
    float or array
        Exposure of the sensor [lx s].

    Raises
    ------
    ValueError
        If a value is out of range.

    Notes
    -----
    Valid near the axis, for a lens that passes 90 % of the light; q = 0.65.

    Examples
    --------
    >>> round(float(sensor_exposure(4000, 8, 1 / 250)), 4)
    0.1625

    References
    ----------
    ISO 12232:2006, as quoted in the colour-hdri library.
    """
    light, aperture, time, lost = checked(
        {**RANGES, "close_up": RANGES["loss"]},
        luminance=luminance, f_number=f_number, exposure_time=exposure_time, close_up=close_up,
    )  # fmt: skip
    return LENS_CONSTANT * light * time / aperture**2 * np.exp2(-lost)


def sensor_level(iso: Number, kind: str = "output") -> Any:
    """Return the sensor exposure that an ISO speed ties to white, to mid-grey, or to a meter.

    .. math:: H = 78/S, \\quad 10/S, \\quad q K / S = 8.125/S

    Parameters
    ----------
    iso : float or array
        ISO speed [1].
    kind : str
        ``'saturation'`` (clipped white), ``'output'`` (mid-grey of the file) or ``'metered'``
        (where a K = 12.5 meter puts its reading) [word].

    Returns
    -------
    float or array
        Exposure of the sensor [lx s].

    Raises
    ------
    ValueError
        If the ISO speed is out of range or the word is unknown.

    Notes
    -----
    Valid for cameras that follow ISO 12232. The two mid-greys lie 0.30 stop apart: do not mix them.

    Examples
    --------
    >>> float(sensor_level(100, "saturation")), float(sensor_level(100)), float(sensor_level(100, "metered"))
    (0.78, 0.1, 0.08125)

    References
    ----------
    ISO 12232:2006, through secondary texts; the metered level is derived here.
    """
    constants = {
        "saturation": SATURATION_CONSTANT,
        "output": OUTPUT_CONSTANT,
        "metered": LENS_CONSTANT * REFLECTED_CONSTANT,
    }
    return constants[GREY_KINDS(kind)] / RANGES["iso"](iso)


def ambient_under_flash(
    illuminance: Number, f_number: Number, exposure_time: Number, iso: Number = 100.0, loss: Number = 0.0
) -> Any:
    """Say how many stops too dark the frame is with the flash off.

    .. math:: n = \\log_2(N^2/t) - \\log_2(S/100) - \\log_2(100 E / C) + \\mathrm{loss}

    Parameters
    ----------
    illuminance : float or array
        Room light falling on the subject [lx].
    f_number : float or array
        F-number set [1].
    exposure_time : float or array
        Exposure time [s].
    iso : float or array
        ISO speed [1].
    loss : float or array
        Stops lost by filters and by focusing close [stop].

    Returns
    -------
    float or array
        Stops under; negative when the room alone is too bright, infinite in total darkness [stop].

    Raises
    ------
    ValueError
        If a value is out of range.

    Notes
    -----
    Valid for a subject that stays put while the shutter is open. When the flash is set to be
    correct in spite of the close-up loss, the room is under by that loss too.

    Examples
    --------
    >>> round(float(ambient_under_flash(320, 11, 1 / 250)), 2), round(float(ambient_under_flash(320, 11, 1.0)), 2)
    (7.88, -0.08)

    References
    ----------
    ISO 2720:1974, through secondary texts; derived here.
    """
    light, aperture, time, speed, lost = checked(
        RANGES, illuminance=illuminance, f_number=f_number, exposure_time=exposure_time, iso=iso, loss=loss
    )
    return ev100_from_settings(aperture, time, speed) - ev100_from_illuminance(light) + lost


def ambient_under_reading(
    metered_f_number: Number,
    metered_time: Number,
    metered_iso: Number,
    f_number: Number,
    exposure_time: Number,
    iso: Number = 100.0,
) -> Any:
    """Say how many stops too dark the room is at your settings, from what the camera's meter asked for.

    .. math:: n = EV_{100}(\\mathrm{set}) - EV_{100}(\\mathrm{metered})

    Parameters
    ----------
    metered_f_number : float or array
        F-number of the metered reading [1].
    metered_time : float or array
        Exposure time of the metered reading [s].
    metered_iso : float or array
        ISO speed of the metered reading [1].
    f_number : float or array
        F-number set for the picture [1].
    exposure_time : float or array
        Exposure time set [s].
    iso : float or array
        ISO speed set [1].

    Returns
    -------
    float or array
        Stops under [stop].

    Raises
    ------
    ValueError
        If a setting is out of range.

    Notes
    -----
    Valid when the reading was taken through the same lens, focused at the same distance, so that
    the close-up loss is in both.

    Examples
    --------
    >>> round(float(ambient_under_reading(2.8, 1 / 30, 800, 11, 1 / 125, 100)), 1)
    9.0

    References
    ----------
    Derived here from the exposure value.
    """
    chosen, asked = checked(
        {"chosen": RANGES["stops"], "asked": RANGES["stops"]},
        chosen=ev100_from_settings(f_number, exposure_time, iso),
        asked=ev100_from_settings(metered_f_number, metered_time, metered_iso),
    )
    return chosen - asked


def ambient_to_flash_ratio(stops_under: Number, flash_stops: Number = 0.0) -> Any:
    """Return how much light the room adds, as a share of the flash's.

    .. math:: r = 2^{-n - f}

    Parameters
    ----------
    stops_under : float or array
        Stops by which the room alone is under [stop].
    flash_stops : float or array
        Stops by which the flash alone is over correct [stop].

    Returns
    -------
    float or array
        Room light over flash light [1].

    Raises
    ------
    ValueError
        If a value is not a number.

    Notes
    -----
    Valid for a subject that stays put. At 6 stops under the room adds 1.6 %.

    Examples
    --------
    >>> float(ambient_to_flash_ratio(6))
    0.015625

    References
    ----------
    Derived here.
    """
    under = Range("stops under", "stop", -60, np.inf, "give stops, such as 6", infinite=True)
    dark, flash = checked({"under": under, "flash": RANGES["stops"]}, under=stops_under, flash=flash_stops)
    return np.exp2(-dark - flash)


def longest_open_time(
    illuminance: Number, f_number: Number, iso: Number = 100.0, stops_under: Number = DARK_ENOUGH
) -> Any:
    """Say how long the shutter may stay open before the room shows.

    .. math:: t = C N^2 / (E S \\, 2^{n})

    Parameters
    ----------
    illuminance : float or array
        Room light falling on the subject [lx].
    f_number : float or array
        F-number set [1].
    iso : float or array
        ISO speed [1].
    stops_under : float or array
        How far under the room must stay [stop].

    Returns
    -------
    float or array
        Longest exposure time [s].

    Raises
    ------
    ValueError
        If a value is out of range, or the light is zero.

    Notes
    -----
    Valid for a still background; a falling drop passes a spot far more quickly.

    Examples
    --------
    >>> round(float(longest_open_time(1, 11, 100, 6)), 2)
    4.73

    References
    ----------
    Derived here from ISO 2720:1974; six stops is common practice, no source.
    """
    light, aperture, speed, under = checked(
        {**RANGES, "illuminance": RANGES["bright_illuminance"], "stops_under": RANGES["stops"]},
        illuminance=illuminance, f_number=f_number, iso=iso, stops_under=stops_under,
    )  # fmt: skip
    return INCIDENT_CONSTANT * aperture**2 / (light * speed * np.exp2(under))


def ghost_ratio(size: Number, speed: Number, exposure_time: Number) -> Any:
    """Return how strongly a moving thing's ghost shows, against a still thing in the same room light.

    .. math:: r = \\min(1, \\; d / (v T))

    Parameters
    ----------
    size : float or array
        Length of the thing along its motion [m].
    speed : float or array
        Its speed [m/s].
    exposure_time : float or array
        Time the shutter is open [s].

    Returns
    -------
    float or array
        Share of a still thing's ambient light, 1 at rest [1].

    Raises
    ------
    ValueError
        If a value is out of range.

    Notes
    -----
    Valid for a thing that crosses the spot at steady speed. The background gathers room light for
    the whole exposure, so it decides how dark the room must be.

    Examples
    --------
    >>> round(1 / float(ghost_ratio(0.005, 3, 1.0)))
    600

    References
    ----------
    Derived here.
    """
    length, pace, time = checked(RANGES, size=size, speed=speed, exposure_time=exposure_time)
    return length / np.maximum(pace * time, length)


def close_up_factor(magnification: Number, pupil_ratio: Number = 1.0) -> Any:
    """Return the factor by which focusing close raises the working f-number.

    .. math:: N_{eff} / N = 1 + m / P

    Parameters
    ----------
    magnification : float or array
        Image size over subject size [1].
    pupil_ratio : float or array
        Exit pupil over entrance pupil diameter [1].

    Returns
    -------
    float or array
        Factor on the f-number [1].

    Raises
    ------
    ValueError
        If a value is out of range.

    Notes
    -----
    Valid for any lens whose f-number is the one for a far subject. Some cameras already show the
    working f-number when focused close: then do not apply this again.

    Examples
    --------
    >>> float(close_up_factor(1.0)), round(float(close_up_factor(1.0, 0.65625)), 5)
    (2.0, 2.52381)

    References
    ----------
    Paraxial optics; derived here and ray traced; pupil ratio as in van Walree, Derivation of the DOF equations.
    """
    scale, pupils = checked(RANGES, magnification=magnification, pupil_ratio=pupil_ratio)
    return 1 + scale / pupils


def close_up_loss(magnification: Number, pupil_ratio: Number = 1.0) -> Any:
    """Return the light lost by focusing close.

    .. math:: n = 2 \\log_2(1 + m / P)

    Parameters
    ----------
    magnification : float or array
        Image size over subject size [1].
    pupil_ratio : float or array
        Exit pupil over entrance pupil diameter [1].

    Returns
    -------
    float or array
        Stops lost [stop].

    Raises
    ------
    ValueError
        If a value is out of range.

    Notes
    -----
    Valid as :func:`close_up_factor` is.

    Examples
    --------
    >>> float(close_up_loss(1.0))
    2.0

    References
    ----------
    Paraxial optics; derived here and ray traced.
    """
    return 2 * np.log2(close_up_factor(magnification, pupil_ratio))


def guide_number_at(guide_number: Number, power: Number = 1.0, iso: Number = 100.0) -> Any:
    """Return the guide number at a power and an ISO speed.

    .. math:: G = G_{100} \\sqrt{p \\, S / 100}

    Parameters
    ----------
    guide_number : float or array
        Guide number at full power and ISO 100 [m].
    power : float or array
        Share of full power [1].
    iso : float or array
        ISO speed [1].

    Returns
    -------
    float or array
        Guide number [m].

    Raises
    ------
    ValueError
        If a value is out of range.

    Notes
    -----
    Valid for a unit whose light follows its power setting. Every stop is a factor of 1.414.

    Examples
    --------
    >>> float(guide_number_at(40, 1 / 16))
    10.0

    References
    ----------
    ISO 1230:1992 (from memory).
    """
    number, share, speed = checked(RANGES, guide_number=guide_number, power=power, iso=iso)
    return number * np.sqrt(share * speed / 100)


def guide_number_from_light(candela_seconds: Number, iso: Number = 100.0) -> Any:
    """Turn the light a flash sends along its axis into a guide number.

    .. math:: G = \\sqrt{Q S / C}

    Parameters
    ----------
    candela_seconds : float or array
        Light sent along the axis [cd s].
    iso : float or array
        ISO speed [1].

    Returns
    -------
    float or array
        Guide number [m].

    Raises
    ------
    ValueError
        If a value is out of range.

    Notes
    -----
    Valid for a source small against its distance; C = 250. An older rule in feet comes out 0.22 stop higher.

    Examples
    --------
    >>> float(guide_number_from_light(4000))
    40.0

    References
    ----------
    Derived here from ISO 2720:1974.
    """
    light, speed = checked(RANGES, candela_seconds=candela_seconds, iso=iso)
    return np.sqrt(light * speed / INCIDENT_CONSTANT)


def flash_stops(
    guide_number: Number,
    distance: Number,
    f_number: Number,
    power: Number = 1.0,
    iso: Number = 100.0,
    magnification: Number = 0.0,
    pupil_ratio: Number = 1.0,
    loss: Number = 0.0,
) -> Any:
    """Say how many stops over correct the flash alone makes the frame.

    .. math:: n = 2 \\log_2 \\frac{G \\sqrt{p S/100}}{d N (1 + m/P)} - \\mathrm{loss}

    Parameters
    ----------
    guide_number : float or array
        Guide number at full power and ISO 100 [m].
    distance : float or array
        Flash to subject [m].
    f_number : float or array
        F-number set, as for a far subject [1].
    power : float or array
        Share of full power [1].
    iso : float or array
        ISO speed [1].
    magnification : float or array
        Image size over subject size [1].
    pupil_ratio : float or array
        Exit pupil over entrance pupil diameter [1].
    loss : float or array
        Stops lost in diffuser, softbox and filters, as you measured them [stop].

    Returns
    -------
    float or array
        Stops over correct; negative is too dark [stop].

    Raises
    ------
    ValueError
        If a value is out of range.

    Notes
    -----
    Valid for a unit that is small against its distance, lighting a matt subject from the front.
    Close up, bare, or as a backlight it misses: take a test frame and put the difference in the loss.

    Examples
    --------
    >>> round(float(flash_stops(40, 0.5, 11, 1 / 32, 100, 0.5)), 2)
    -0.44

    References
    ----------
    Guide number of ISO 1230:1992 (from memory); close-up factor derived here and ray traced.
    """
    distance, aperture, number, factor, lost = checked(
        {**RANGES, "number": RANGES["amount"], "factor": RANGES["amount"]},
        distance=distance, f_number=f_number, number=guide_number_at(guide_number, power, iso),
        factor=close_up_factor(magnification, pupil_ratio), loss=loss,
    )  # fmt: skip
    return 2 * np.log2(number / (distance * aperture * factor)) - lost


def guide_number_aperture(
    guide_number: Number,
    distance: Number,
    power: Number = 1.0,
    iso: Number = 100.0,
    magnification: Number = 0.0,
    pupil_ratio: Number = 1.0,
    loss: Number = 0.0,
) -> Any:
    """Return the f-number to set so that the flash exposes correctly.

    .. math:: N = \\frac{G \\sqrt{p S/100} \\, 2^{-\\mathrm{loss}/2}}{d (1 + m/P)}

    Parameters
    ----------
    guide_number : float or array
        Guide number at full power and ISO 100 [m].
    distance : float or array
        Flash to subject [m].
    power : float or array
        Share of full power [1].
    iso : float or array
        ISO speed [1].
    magnification : float or array
        Image size over subject size [1].
    pupil_ratio : float or array
        Exit pupil over entrance pupil diameter [1].
    loss : float or array
        Stops lost in diffuser, softbox and filters [stop].

    Returns
    -------
    float or array
        F-number to set [1].

    Raises
    ------
    ValueError
        If a value is out of range.

    Notes
    -----
    Valid as :func:`flash_stops` is. The answer may lie beyond what a lens offers.

    Examples
    --------
    >>> round(float(guide_number_aperture(45, 5)), 6)
    9.0

    References
    ----------
    Guide number of ISO 1230:1992 (from memory); close-up factor derived here and ray traced.
    """
    over = flash_stops(guide_number, distance, 1.0, power, iso, magnification, pupil_ratio, loss)
    return np.exp2(over / 2)


def guide_number_distance(
    guide_number: Number,
    f_number: Number,
    power: Number = 1.0,
    iso: Number = 100.0,
    magnification: Number = 0.0,
    pupil_ratio: Number = 1.0,
    loss: Number = 0.0,
) -> Any:
    """Return the distance at which the flash exposes correctly.

    .. math:: d = \\frac{G \\sqrt{p S/100} \\, 2^{-\\mathrm{loss}/2}}{N (1 + m/P)}

    Parameters
    ----------
    guide_number : float or array
        Guide number at full power and ISO 100 [m].
    f_number : float or array
        F-number set, as for a far subject [1].
    power : float or array
        Share of full power [1].
    iso : float or array
        ISO speed [1].
    magnification : float or array
        Image size over subject size [1].
    pupil_ratio : float or array
        Exit pupil over entrance pupil diameter [1].
    loss : float or array
        Stops lost in diffuser, softbox and filters [stop].

    Returns
    -------
    float or array
        Flash to subject [m].

    Raises
    ------
    ValueError
        If a value is out of range.

    Notes
    -----
    Valid as :func:`flash_stops` is. Very near, the unit is no longer a point and the answer is too bright a promise.

    Examples
    --------
    >>> round(float(guide_number_distance(40, 11, 1 / 32, 100, 0.5)), 3)
    0.429

    References
    ----------
    Guide number of ISO 1230:1992 (from memory); close-up factor derived here and ray traced.
    """
    over = flash_stops(guide_number, 1.0, f_number, power, iso, magnification, pupil_ratio, loss)
    return np.exp2(over / 2)


def guide_number_power(
    guide_number: Number,
    distance: Number,
    f_number: Number,
    iso: Number = 100.0,
    magnification: Number = 0.0,
    pupil_ratio: Number = 1.0,
    loss: Number = 0.0,
) -> Any:
    """Return the share of full power that exposes correctly.

    .. math:: p = \\left( \\frac{d N (1 + m/P)}{G} \\right)^2 \\frac{100}{S} \\, 2^{\\mathrm{loss}}

    Parameters
    ----------
    guide_number : float or array
        Guide number at full power and ISO 100 [m].
    distance : float or array
        Flash to subject [m].
    f_number : float or array
        F-number set, as for a far subject [1].
    iso : float or array
        ISO speed [1].
    magnification : float or array
        Image size over subject size [1].
    pupil_ratio : float or array
        Exit pupil over entrance pupil diameter [1].
    loss : float or array
        Stops lost in diffuser, softbox and filters [stop].

    Returns
    -------
    float or array
        Share of full power; above 1 means the unit is too weak [1].

    Raises
    ------
    ValueError
        If a value is out of range.

    Notes
    -----
    Valid as :func:`flash_stops` is. A share above 1 is an honest answer, not a setting.

    Examples
    --------
    >>> float(guide_number_power(40, 0.5, 20))
    0.0625

    References
    ----------
    Guide number of ISO 1230:1992 (from memory); close-up factor derived here and ray traced.
    """
    return np.exp2(-flash_stops(guide_number, distance, f_number, 1.0, iso, magnification, pupil_ratio, loss))


def distance_stops(near: Number, far: Number) -> Any:
    """Return the stops lost when a small light moves away.

    .. math:: n = 2 \\log_2(d_2 / d_1)

    Parameters
    ----------
    near : float or array
        First distance [m].
    far : float or array
        Second distance [m].

    Returns
    -------
    float or array
        Stops lost; negative when the light came nearer [stop].

    Raises
    ------
    ValueError
        If a distance is out of range.

    Notes
    -----
    Valid for a source smaller than a fifth of its distance, within 1 %; see ``lights`` for larger ones.

    Examples
    --------
    >>> float(distance_stops(0.5, 1.0))
    2.0

    References
    ----------
    Inverse square law.
    """
    first, second = checked({"near": RANGES["distance"], "far": RANGES["distance"]}, near=near, far=far)
    return 2 * np.log2(second / first)


def add_lights(*stops: Number) -> Any:
    """Add the levels of several lights that fall on the same spot.

    .. math:: n = \\log_2 \\sum_i 2^{n_i}

    Parameters
    ----------
    *stops : float or array
        Each light's level over correct; minus infinity for a light that is off [stop].

    Returns
    -------
    float or array
        Level of all together [stop].

    Raises
    ------
    ValueError
        If no light is given or a level is not a number.

    Notes
    -----
    Valid for lights that reach the same part of the subject. Two equal lights make one stop more.

    Examples
    --------
    >>> float(add_lights(-1, -1))
    0.0

    References
    ----------
    Light adds; derived here.
    """
    require(len(stops) > 0, "number of lights", "0", "at least 1", "give each light's level in stops")
    names = {f"light_{i + 1}": level for i, level in enumerate(stops)}
    levels = checked(dict.fromkeys(names, RANGES["stops_or_none"]), **names)
    total = levels[0]
    for level in levels[1:]:
        total = np.logaddexp2(total, level)
    return total[()] if isinstance(total, np.ndarray) else total


def filter_stops(density: Number) -> Any:
    """Turn the optical density of a grey filter into stops.

    .. math:: n = D / \\log_{10} 2

    Parameters
    ----------
    density : float or array
        Optical density [1].

    Returns
    -------
    float or array
        Stops lost [stop].

    Raises
    ------
    ValueError
        If the density is out of range.

    Notes
    -----
    Valid for a filter that is grey at all colours of the flash.

    Examples
    --------
    >>> round(float(filter_stops(0.9)), 2)
    2.99

    References
    ----------
    Definition of optical density.
    """
    return RANGES["density"](density) / np.log10(2)


def filter_density(loss: Number) -> Any:
    """Turn the stops a grey filter takes into its optical density.

    .. math:: D = n \\log_{10} 2

    Parameters
    ----------
    loss : float or array
        Stops lost [stop].

    Returns
    -------
    float or array
        Optical density [1].

    Raises
    ------
    ValueError
        If the loss is out of range.

    Notes
    -----
    Valid for a filter that is grey at all colours of the flash.

    Examples
    --------
    >>> round(float(filter_density(3)), 3)
    0.903

    References
    ----------
    Definition of optical density.
    """
    return RANGES["loss"](loss) * np.log10(2)


def frame_level(
    f_number: Number,
    exposure_time: Number,
    iso: Number = 100.0,
    illuminance: Number = 0.0,
    guide_number: Number = 40.0,
    distance: Number = 0.5,
    power: Number = 1.0,
    magnification: Number = 0.0,
    pupil_ratio: Number = 1.0,
    flash_loss: Number = 0.0,
    filter_loss: Number = 0.0,
) -> FrameLevel:
    """Return how bright a mid-grey subject is recorded, by the flash and by the room.

    .. math:: \\mathrm{flash} = 2^{n_f}, \\quad \\mathrm{ambient} = 2^{-n_a}

    Parameters
    ----------
    f_number : float or array
        F-number set, as for a far subject [1].
    exposure_time : float or array
        Exposure time [s].
    iso : float or array
        ISO speed [1].
    illuminance : float or array
        Room light falling on the subject [lx].
    guide_number : float or array
        Guide number at full power and ISO 100 [m].
    distance : float or array
        Flash to subject [m].
    power : float or array
        Share of full power, 0 for a flash that is off [1].
    magnification : float or array
        Image size over subject size [1].
    pupil_ratio : float or array
        Exit pupil over entrance pupil diameter [1].
    flash_loss : float or array
        Stops lost in diffuser, softbox and flash filters [stop].
    filter_loss : float or array
        Stops lost in filters on the lens, which dim flash and room alike [stop].

    Returns
    -------
    FrameLevel
        Levels by flash, by room, by both, and by the room in each second; 1 is correct [1].

    Raises
    ------
    ValueError
        If a value is out of range.

    Notes
    -----
    Valid as :func:`flash_stops` and :func:`ambient_under_flash` are. For two units add their
    flash levels. A file clips at 7.8 times mid-grey, as ISO 12232 ties 78/S to 10/S.

    Examples
    --------
    >>> level = frame_level(11, 1 / 125, 100, 320, guide_number=40, distance=0.5, power=1 / 32)
    >>> round(float(level.flash), 2), round(float(level.ambient), 4)
    (1.65, 0.0085)

    References
    ----------
    ISO 2720:1974 and ISO 1230:1992, through secondary texts; derived here.
    """
    share = RANGES["power_or_off"](power)
    close_up = close_up_loss(magnification, pupil_ratio)
    # light goes straight with power, so an unlit flash is simply zero times the full one
    full = flash_stops(guide_number, distance, f_number, 1.0, iso, magnification, pupil_ratio, flash_loss)
    under = ambient_under_flash(illuminance, f_number, 1.0, iso)
    full, under, share, close, lens_filter, time = checked(
        {"full": RANGES["stops"], "under": Range("stops under", "stop", infinite=True), "share": RANGES["power_or_off"],
         "close_up": RANGES["loss"], "filter_loss": RANGES["loss"], "exposure_time": RANGES["exposure_time"]},
        full=full, under=under, share=share, close_up=close_up, filter_loss=filter_loss, exposure_time=exposure_time,
    )  # fmt: skip
    flash = share * np.exp2(full - lens_filter)
    each_second = np.exp2(-under - close - lens_filter)
    ambient = each_second * time
    return FrameLevel(flash, ambient, flash + ambient, each_second)
