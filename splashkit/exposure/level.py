"""The frame's level: the flash and the room's light together."""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np

from splashkit.checks import Number, Range, checked
from splashkit.exposure.close_up import close_up_loss
from splashkit.exposure.guide_number import flash_stops
from splashkit.exposure.ranges import RANGES
from splashkit.exposure.room import ambient_under_flash


class FrameLevel(NamedTuple):
    """Recorded level of a mid-grey subject: 1 is correct, 2 is one stop over, 0 is black.

    ``ambient_per_second`` is the ambient level gathered by each second of open shutter.
    """

    flash: Any
    ambient: Any
    total: Any
    ambient_per_second: Any


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
    flash levels. White clips at ``CLIP_LEVEL``, 7.8 times mid-grey, as ISO 12232 ties 78/S to 10/S.

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
