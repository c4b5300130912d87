"""How sharp a frame is: the trail of what moves, and every blur together.

Blur is counted on the sensor unless said otherwise; divide by the magnification for the subject.
"""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np

from splashkit.checks import Number, checked
from splashkit.lens.depth import defocus_blur
from splashkit.lens.diffraction import airy_diameter
from splashkit.lens.ranges import RANGES, WAVELENGTH


class Blur(NamedTuple):
    """One blur on the sensor [m], on the subject [m], in pixels, and as a share of the drop's diameter."""

    sensor: Any
    subject: Any
    pixels: Any
    share: Any


class BlurBudget(NamedTuple):
    """Every blur in a frame, each as a :class:`Blur`, and their root-sum-square."""

    motion: Blur
    defocus: Blur
    diffraction: Blur
    pixel: Blur
    together: Blur

    @property
    def largest(self) -> Any:
        """Name the part that blurs most: the one to work on first."""
        names = np.array(["motion", "defocus", "diffraction", "pixel"])
        sizes = np.stack(np.broadcast_arrays(*(part.sensor for part in self[:4])))
        found = names[np.argmax(sizes, axis=0)]
        return str(found) if np.ndim(found) == 0 else found


def motion_blur(speed: Number, light_time: Number, magnification: Number = 1.0) -> Any:
    """Return the trail a moving thing draws on the sensor while the light lasts.

    .. math:: b = v \\, t \\, m

    Parameters
    ----------
    speed : float or array
        Speed across the view at that instant [m/s].
    light_time : float or array
        Time the light lasts: t0.1 for the trail that is seen [s].
    magnification : float or array
        Image size over subject size; 1 gives the trail on the subject [1].

    Returns
    -------
    float or array
        Length of the trail [m].

    Raises
    ------
    ValueError
        If a value is out of range.

    Notes
    -----
    Valid for steady speed while the light lasts. With t0.5 in place of t0.1 a full-power flash looks better than it is.

    Examples
    --------
    >>> round(float(motion_blur(3.132, 1 / 20000, 0.5)) * 1e6, 1)
    78.3

    References
    ----------
    Derived here.
    """
    pace, time, scale = checked(RANGES, speed=speed, light_time=light_time, magnification=magnification)
    return pace * time * scale


def blur_in_units(blur: Number, magnification: Number, pixel_pitch: Number, drop_diameter: Number) -> Blur:
    """Say one blur in the four ways people judge it.

    .. math:: b, \\quad b/m, \\quad b/\\mathrm{pitch}, \\quad b/(m d)

    Parameters
    ----------
    blur : float or array
        Blur on the sensor [m].
    magnification : float or array
        Image size over subject size [1].
    pixel_pitch : float or array
        Distance between pixels [m].
    drop_diameter : float or array
        Diameter of the drop [m].

    Returns
    -------
    Blur
        On the sensor, on the subject, in pixels, as a share of the drop [m, m, 1, 1].

    Raises
    ------
    ValueError
        If a value is out of range.

    Notes
    -----
    Valid for any blur. Sharp is: up to 30 µm for a print, 1 to 2 pixels on the screen, 1 to 3 % of the drop.

    Examples
    --------
    >>> blur = blur_in_units(80e-6, 0.5, 4e-6, 0.005)
    >>> round(float(blur.pixels), 3), round(float(blur.share), 3)
    (20.0, 0.032)

    References
    ----------
    Definitions; the limits are common practice, no source.
    """
    size, scale, pitch, drop = checked(
        RANGES, blur=blur, magnification=magnification, pixel_pitch=pixel_pitch, drop_diameter=drop_diameter
    )
    return Blur(size + 0.0, size / scale, size / pitch, size / (scale * drop))


def blur_budget(
    speed: Number,
    light_time: Number,
    offset: Number,
    focal_length: Number,
    f_number: Number,
    magnification: Number,
    pixel_pitch: Number,
    drop_diameter: Number,
    pupil_ratio: Number = 1.0,
    wavelength: Number = WAVELENGTH,
) -> BlurBudget:
    """Return every blur in a frame and all of them together.

    .. math:: b = \\sqrt{b_{motion}^2 + b_{defocus}^2 + a^2 + \\mathrm{pitch}^2}

    Parameters
    ----------
    speed : float or array
        Speed across the view at that instant [m/s].
    light_time : float or array
        Time the light lasts, t0.1 [s].
    offset : float or array
        Distance of the thing behind the focus plane, negative in front [m].
    focal_length : float or array
        Focal length at this focus [m].
    f_number : float or array
        F-number set, as for a far subject [1].
    magnification : float or array
        Image size over subject size [1].
    pixel_pitch : float or array
        Distance between pixels [m].
    drop_diameter : float or array
        Diameter of the drop [m].
    pupil_ratio : float or array
        Exit pupil over entrance pupil diameter [1].
    wavelength : float or array
        Wavelength of the light [m].

    Returns
    -------
    BlurBudget
        Motion, defocus, diffraction, pixel and all together; ``largest`` names the worst [m].

    Raises
    ------
    ValueError
        If a value is out of range.

    Notes
    -----
    Valid as a rough sum of independent blurs: good for deciding what to work on, not for a lens test.

    Examples
    --------
    >>> budget = blur_budget(2.2, 50e-6, 0.001, 0.1, 11, 0.5, 4e-6, 0.004)
    >>> budget.largest, round(float(budget.together.pixels), 1)
    ('motion', 15.3)

    References
    ----------
    Root-sum-square of independent blurs: common practice, no source.
    """
    sizes = (
        motion_blur(speed, light_time, magnification),
        defocus_blur(offset, focal_length, f_number, magnification, pupil_ratio),
        airy_diameter(f_number, magnification, pupil_ratio, wavelength),
        RANGES["pixel_pitch"](pixel_pitch),
    )
    names = ("motion", "defocus", "airy", "pixel")
    sizes = checked(dict.fromkeys(names, RANGES["blur"]), **dict(zip(names, sizes, strict=True)))
    together = np.sqrt(sum(size**2 for size in sizes))
    return BlurBudget(*(blur_in_units(size, magnification, pixel_pitch, drop_diameter) for size in (*sizes, together)))
