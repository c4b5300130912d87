"""How deep looks sharp: the aperture at work close up, and the disc a point off the focus plane becomes.

Blur is counted on the sensor; divide by the magnification for the subject.
"""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np

from splashkit.checks import Number, checked
from splashkit.lens.geometry import require_in_front
from splashkit.lens.ranges import BLUR_CIRCLE, RANGES


class DepthOfField(NamedTuple):
    """Depth that looks sharp in front of and behind the focus target, and both together [m]."""

    near: Any
    far: Any
    total: Any


def effective_aperture(f_number: Number, magnification: Number, pupil_ratio: Number = 1.0) -> Any:
    """Return the f-number the lens really works at when focused close.

    .. math:: N_{eff} = N (1 + m/P)

    Parameters
    ----------
    f_number : float or array
        F-number set, as for a far subject [1].
    magnification : float or array
        Image size over subject size [1].
    pupil_ratio : float or array
        Exit pupil over entrance pupil diameter [1].

    Returns
    -------
    float or array
        Working f-number [1].

    Raises
    ------
    ValueError
        If a value is out of range.

    Notes
    -----
    Valid for paraxial optics. Some cameras already show this number when focused close: do not apply it twice.

    Examples
    --------
    >>> float(effective_aperture(8, 1))
    16.0

    References
    ----------
    Derived here and ray traced; pupil ratio as in van Walree, Derivation of the DOF equations.
    """
    aperture, scale, pupils = checked(
        {**RANGES, "magnification": RANGES["any_magnification"]},
        f_number=f_number, magnification=magnification, pupil_ratio=pupil_ratio,
    )  # fmt: skip
    return aperture * (1 + scale / pupils)


def depth_of_field(
    focal_length: Number,
    f_number: Number,
    magnification: Number,
    pupil_ratio: Number = 1.0,
    blur_circle: Number = BLUR_CIRCLE,
) -> DepthOfField:
    """Return the depth that looks sharp around the focus target.

    .. math:: \\mathrm{near} = \\frac{c\\,s_e}{m f/N + c}, \\quad \\mathrm{far} = \\frac{c\\,s_e}{m f/N - c}

    Parameters
    ----------
    focal_length : float or array
        Focal length at this focus [m].
    f_number : float or array
        F-number set, as for a far subject [1].
    magnification : float or array
        Image size over subject size [1].
    pupil_ratio : float or array
        Exit pupil over entrance pupil diameter [1].
    blur_circle : float or array
        Largest defocus disc allowed on the sensor [m].

    Returns
    -------
    DepthOfField
        Near, far and total depth; far is infinite beyond the hyperfocal setting [m].

    Raises
    ------
    ValueError
        If a value is out of range.

    Notes
    -----
    Valid for paraxial optics, without diffraction. The far side is always the deeper one.

    Examples
    --------
    >>> depth = depth_of_field(0.1, 8, 1)
    >>> round(float(depth.near) * 1e3, 5), round(float(depth.far) * 1e3, 5)
    (0.47885, 0.48115)

    References
    ----------
    Derived here from similar triangles at the entrance pupil, ray traced; van Walree, Derivation of the DOF equations.
    """
    focal, aperture, scale, pupils, circle = checked(
        RANGES, focal_length=focal_length, f_number=f_number, magnification=magnification, pupil_ratio=pupil_ratio,
        blur_circle=blur_circle,
    )  # fmt: skip
    reach = focal * (1 / scale + 1 / pupils)
    opening = scale * focal / aperture
    near = circle * reach / (opening + circle)
    with np.errstate(divide="ignore"):
        far = circle * reach / np.maximum(opening - circle, 0.0)
    return DepthOfField(near, far, near + far)


def depth_of_field_close_up(
    f_number: Number, magnification: Number, pupil_ratio: Number = 1.0, blur_circle: Number = BLUR_CIRCLE
) -> Any:
    """Return the total depth that looks sharp, in the short form for close work.

    .. math:: Z = 2 N c (1 + m/P) / m^2

    Parameters
    ----------
    f_number : float or array
        F-number set, as for a far subject [1].
    magnification : float or array
        Image size over subject size [1].
    pupil_ratio : float or array
        Exit pupil over entrance pupil diameter [1].
    blur_circle : float or array
        Largest defocus disc allowed on the sensor [m].

    Returns
    -------
    float or array
        Total depth [m].

    Raises
    ------
    ValueError
        If a value is out of range.

    Notes
    -----
    Valid where N c is far below m f, so for magnifications above about 0.2. The focal length drops out.

    Examples
    --------
    >>> round(float(depth_of_field_close_up(8, 0.5)) * 1e3, 4)
    2.88

    References
    ----------
    Limit of :func:`depth_of_field`; derived here.
    """
    aperture, scale, pupils, circle = checked(
        RANGES, f_number=f_number, magnification=magnification, pupil_ratio=pupil_ratio, blur_circle=blur_circle
    )
    return 2 * aperture * circle * (1 + scale / pupils) / scale**2


def aperture_for_depth(
    focal_length: Number,
    depth: Number,
    magnification: Number,
    pupil_ratio: Number = 1.0,
    blur_circle: Number = BLUR_CIRCLE,
) -> Any:
    """Return the f-number at which a wanted depth just looks sharp.

    .. math:: N = \\frac{m^2 Z}{c \\left( q + \\sqrt{q^2 + m^2 Z^2 / f^2} \\right)}, \\quad q = 1 + m/P

    Parameters
    ----------
    focal_length : float or array
        Focal length at this focus [m].
    depth : float or array
        Total depth wanted [m].
    magnification : float or array
        Image size over subject size [1].
    pupil_ratio : float or array
        Exit pupil over entrance pupil diameter [1].
    blur_circle : float or array
        Largest defocus disc allowed on the sensor [m].

    Returns
    -------
    float or array
        F-number to set; it may lie beyond what the lens offers [1].

    Raises
    ------
    ValueError
        If a value is out of range.

    Notes
    -----
    Valid for paraxial optics, without diffraction: look at :func:`best_aperture` beside it.

    Examples
    --------
    >>> round(float(aperture_for_depth(0.072, 2.880128e-3, 0.5)), 4)
    8.0

    References
    ----------
    The depth of field formula solved for the f-number; derived here.
    """
    focal, wanted, scale, pupils, circle = checked(
        RANGES, focal_length=focal_length, depth=depth, magnification=magnification, pupil_ratio=pupil_ratio,
        blur_circle=blur_circle,
    )  # fmt: skip
    factor = 1 + scale / pupils
    return scale**2 * wanted / (circle * (factor + np.sqrt(factor**2 + (scale * wanted / focal) ** 2)))


def defocus_blur(
    offset: Number, focal_length: Number, f_number: Number, magnification: Number, pupil_ratio: Number = 1.0
) -> Any:
    """Return the disc a point off the focus plane becomes on the sensor.

    .. math:: b = m \\frac{f}{N} \\frac{|\\delta|}{s_e + \\delta}

    Parameters
    ----------
    offset : float or array
        Distance behind the focus plane, negative in front [m].
    focal_length : float or array
        Focal length at this focus [m].
    f_number : float or array
        F-number set, as for a far subject [1].
    magnification : float or array
        Image size over subject size [1].
    pupil_ratio : float or array
        Exit pupil over entrance pupil diameter [1].

    Returns
    -------
    float or array
        Diameter of the disc on the sensor [m].

    Raises
    ------
    ValueError
        If a value is out of range, or the point lies behind the entrance pupil.

    Notes
    -----
    Valid for paraxial optics, without diffraction.

    Examples
    --------
    >>> round(float(defocus_blur(0.002, 0.1, 11, 0.5)) * 1e6, 1)
    30.1

    References
    ----------
    Similar triangles at the entrance pupil; derived here and ray traced.
    """
    shift, focal, aperture, scale, pupils = checked(
        RANGES, offset=offset, focal_length=focal_length, f_number=f_number, magnification=magnification,
        pupil_ratio=pupil_ratio,
    )  # fmt: skip
    reach = focal * (1 / scale + 1 / pupils)
    require_in_front(shift, reach)
    return scale * focal / aperture * np.abs(shift) / (reach + shift)
