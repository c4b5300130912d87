"""How small an opening can be: the disc diffraction makes, and the aperture between too shallow and too soft."""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np

from splashkit.checks import Number, checked
from splashkit.lens.ranges import RANGES, WAVELENGTH

AIRY = 2.44  # diameter of the first dark ring in units of wavelength times f-number: textbook value, 2 x 1.21967


class BestAperture(NamedTuple):
    """The f-number to set, the working f-number it becomes, and the blurs on the sensor there [m]."""

    f_number: Any
    effective: Any
    defocus: Any
    airy: Any
    together: Any


def airy_diameter(
    f_number: Number, magnification: Number = 0.0, pupil_ratio: Number = 1.0, wavelength: Number = WAVELENGTH
) -> Any:
    """Return the disc that diffraction makes of a point, on the sensor.

    .. math:: a = 2.44 \\, \\lambda N (1 + m/P)

    Parameters
    ----------
    f_number : float or array
        F-number set, as for a far subject [1].
    magnification : float or array
        Image size over subject size [1].
    pupil_ratio : float or array
        Exit pupil over entrance pupil diameter [1].
    wavelength : float or array
        Wavelength of the light [m].

    Returns
    -------
    float or array
        Diameter of the first dark ring on the sensor [m].

    Raises
    ------
    ValueError
        If a value is out of range.

    Notes
    -----
    Valid for a round aperture and a well-made lens. Half of the light's peak is left at 0.42 of this width.

    Examples
    --------
    >>> round(float(airy_diameter(11, 0.5)) * 1e6, 2)
    22.14

    References
    ----------
    Textbook optics (from memory).
    """
    aperture, scale, pupils, length = checked(
        {**RANGES, "magnification": RANGES["any_magnification"]},
        f_number=f_number, magnification=magnification, pupil_ratio=pupil_ratio, wavelength=wavelength,
    )  # fmt: skip
    return AIRY * length * aperture * (1 + scale / pupils)


def best_aperture(
    depth: Number, magnification: Number, pupil_ratio: Number = 1.0, wavelength: Number = WAVELENGTH
) -> BestAperture:
    """Return the aperture that draws a wanted depth as sharply as it can be drawn.

    .. math:: N_{eff} = m \\sqrt{Z / (4.88 \\lambda)}

    Parameters
    ----------
    depth : float or array
        Total depth wanted, focused in its middle [m].
    magnification : float or array
        Image size over subject size [1].
    pupil_ratio : float or array
        Exit pupil over entrance pupil diameter [1].
    wavelength : float or array
        Wavelength of the light [m].

    Returns
    -------
    BestAperture
        F-number to set, working f-number, defocus at the ends, diffraction, and both together [1, m].

    Raises
    ------
    ValueError
        If a value is out of range.

    Notes
    -----
    Valid for close work, as a rule of thumb: more stopping down blurs everything, less blurs the ends.

    Examples
    --------
    >>> best = best_aperture(0.010, 0.5)
    >>> round(float(best.f_number), 2), round(float(best.together) * 1e6, 1)
    (20.35, 57.9)

    References
    ----------
    Least root-sum-square of defocus disc and Airy disc; derived here.
    """
    wanted, scale, pupils, length = checked(
        RANGES, depth=depth, magnification=magnification, pupil_ratio=pupil_ratio, wavelength=wavelength
    )
    working = scale * np.sqrt(wanted / (2 * AIRY * length))
    airy = AIRY * length * working
    defocus = wanted * scale**2 / (2 * working)
    return BestAperture(working / (1 + scale / pupils), working, defocus, airy, np.hypot(airy, defocus))
