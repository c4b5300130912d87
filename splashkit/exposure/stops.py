"""Counting light in stops: factors, marks, grey filters, distance, and adding lights."""

from __future__ import annotations

from typing import Any

import numpy as np

from splashkit.checks import Number, checked, require
from splashkit.exposure.ranges import MARK_KINDS, MARK_STEPS, RANGES


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
