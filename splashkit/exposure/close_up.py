"""What focusing close takes away from every light."""

from __future__ import annotations

from typing import Any

import numpy as np

from splashkit.checks import Number, checked
from splashkit.exposure.ranges import RANGES


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
