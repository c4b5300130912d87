"""How long the bowl takes to lie still again: waves between its walls and what damps them."""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np

from splashkit.checks import Number, Range, broadcast, of_kind
from splashkit.estimate import Estimate
from splashkit.splash.given import liquid_or_water
from splashkit.splash.impact import DENSITY, DIAMETER, GRAVITY, SPEED, TENSION, VISCOSITY

BOWL_RADIUS = Range("bowl radius", "m", 0.02, 0.5, "give metres: a 20 cm wide bowl has a radius of 0.1")
BOWL_DEPTH = Range("depth of the liquid", "m", 3e-3, 0.5, "give metres: 4 cm is 0.04")
STILL = Range("wave height that counts as still", "m", 1e-6, 2e-3, "give metres: 0.05 mm is 5e-5")

# zeros of the Bessel function J1: a round bowl's ring-shaped waves have k R = one of these
RING_ZEROS = np.array([3.8317059702, 7.0155866698, 10.1734681351, 13.3236919363, 16.4706300509, 19.6158585105])
SLOSH_ZERO = 1.8411837813  # first zero of J1', the bowl rocking from side to side

COMMON_WAIT = Estimate(10.0, 5.0, 20.0, "common practice, no source: wait ten seconds, longer for a large clean bowl")
BUMPED_WAIT = 30.0  # s to add after bumping the table; common practice, no source

_WAVE_SHARE = 1 / 3  # share of the drop's energy that leaves as waves (derived here from the crater's size)


class Wave(NamedTuple):
    """One standing wave of the bowl: ``wavelength`` [m], ``frequency`` [Hz], ``decay_time`` to 1/e [s]."""

    wavelength: Any
    frequency: Any
    decay_time: Any


class Ripples(NamedTuple):
    """What one drop leaves in the bowl: ``height`` of the ripples at the start [m] and their :class:`Wave`."""

    height: Any
    wave: Wave


def bowl_wave(
    bowl_radius: Number,
    bowl_depth: Number,
    liquid: Any = None,
    wavenumber_zero: Number = float(RING_ZEROS[0]),
    film: bool = True,
    gravity: float = 9.80665,
) -> Wave:
    r"""Return one standing wave of a round bowl: length, frequency and how fast it dies.

    .. math:: \omega^2 = \left(g k + \tfrac{\sigma k^3}{\rho}\right)\tanh kH,\qquad
              \gamma = 2\nu k^2 + \gamma_{walls} + \gamma_{film},\quad
              \gamma_{film} = \tfrac12\sqrt{\tfrac{\nu\omega}{2}}\,k\coth kH

    Parameters
    ----------
    bowl_radius : float or array
        Inner radius of the bowl [m].
    bowl_depth : float or array
        Depth of the liquid [m].
    liquid : Liquid or None
        The liquid; None is water at 20 degC [any].
    wavenumber_zero : float or array
        Wavenumber times bowl radius: one of ``RING_ZEROS``, or ``SLOSH_ZERO`` for rocking [1].
    film : bool
        Whether a skin of surfactant or dirt lies on the surface; tap water and milk have one [word].
    gravity : float
        Local gravity [m/s2].

    Returns
    -------
    Wave
        Wavelength, frequency and the time to fall to 1/e.

    Raises
    ------
    ValueError
        If a value lies outside its range.

    Notes
    -----
    Valid for small waves in a round bowl with upright walls, water to 10 mPa s. The wall term is for
    ring-shaped waves and is only near for rocking. Contact-line friction at the rim is left out; it
    makes real decay faster, a brimful bowl slower: take the times within a factor of two.

    Examples
    --------
    >>> wave = bowl_wave(0.10, 0.04)
    >>> round(wave.wavelength * 1e3), float(round(wave.frequency, 1)), round(wave.decay_time)
    (164, 3.0, 11)

    References
    ----------
    Lamb, Hydrodynamics (waves, art. 351 film; from memory); wall term derived here from the loss in the
    oscillating boundary layer, the idea of Case & Parkinson 1957, J. Fluid Mech. 2 (from memory).
    """
    liquid = liquid_or_water(liquid)
    of_kind(film, bool, "film on the surface", "say True or False")
    radius, depth = BOWL_RADIUS(bowl_radius), BOWL_DEPTH(bowl_depth)
    zero = Range("wavenumber times bowl radius", "1", 0.5, 400.0, "use one of RING_ZEROS")(wavenumber_zero)
    gravity = GRAVITY.one(gravity)
    radius, depth, zero = (a[()] for a in broadcast(bowl_radius=radius, bowl_depth=depth, wavenumber_zero=zero))
    density, tension = DENSITY(liquid.density.value), TENSION(liquid.surface_tension.value)
    viscosity = VISCOSITY(liquid.viscosity.value) / density
    k = zero / radius
    kh = np.minimum(k * depth, 300.0)  # sinh overflows beyond; the wave no longer feels the floor there
    omega = np.sqrt((gravity * k + tension * k**3 / density) * np.tanh(kh))
    layer = 0.5 * np.sqrt(viscosity * omega / 2)
    # side wall and bottom, both over the wave's energy
    side = 2 * radius * k**2 * (np.sinh(2 * kh) / (4 * k) - kh / (2 * k))
    walls = layer * (side + k**2 * radius**2) / (k * np.sinh(kh) * np.cosh(kh) * radius**2)
    rate = 2 * viscosity * k**2 + walls + (layer * k / np.tanh(kh) if film else 0.0)
    return Wave(2 * np.pi / k, omega / (2 * np.pi), 1 / rate)


def drop_ripples(
    bowl_radius: Number,
    bowl_depth: Number,
    diameter: Number = 4e-3,
    speed: Number = 2.2,
    liquid: Any = None,
    film: bool = True,
    gravity: float = 9.80665,
) -> Ripples:
    r"""Return the ripples one drop leaves in a round bowl: how high they start, and the wave that lasts.

    .. math:: a_0 = \sqrt{\frac{2E/3}{\rho g \pi R_b^2}},\qquad E = \frac{\pi}{12}\rho d^3 v^2

    Parameters
    ----------
    bowl_radius : float or array
        Inner radius of the bowl [m].
    bowl_depth : float or array
        Depth of the liquid [m].
    diameter : float or array
        Drop diameter [m].
    speed : float or array
        Impact speed [m/s].
    liquid : Liquid or None
        The liquid; None is water at 20 degC [any].
    film : bool
        Whether a skin lies on the surface; tap water and milk have one [word].
    gravity : float
        Local gravity [m/s2].

    Returns
    -------
    Ripples
        Height at the start and the wave, as from :func:`bowl_wave`.

    Raises
    ------
    ValueError
        If a value lies outside its range.

    Notes
    -----
    Valid as :func:`resting_time`, which is built on it. A third of the drop's energy is taken to go into
    ring waves six crater depths long, or as long as the bowl allows, spread evenly over the bowl.

    Examples
    --------
    >>> ripples = drop_ripples(0.10, 0.04)
    >>> float(round(ripples.height * 1e3, 2)), round(ripples.wave.wavelength * 1e3)
    (0.42, 48)

    References
    ----------
    Energy shared over the bowl: derived here. Decay: :func:`bowl_wave`.
    """
    liquid = liquid_or_water(liquid)
    d, v = DIAMETER(diameter), SPEED(speed)
    radius, depth = BOWL_RADIUS(bowl_radius), BOWL_DEPTH(bowl_depth)
    radius, depth, d, v = (a[()] for a in broadcast(bowl_radius=radius, bowl_depth=depth, diameter=d, speed=v))
    gravity = GRAVITY.one(gravity)
    density = DENSITY(liquid.density.value)
    energy = np.pi / 12 * density * d**3 * v**2
    height = np.sqrt(2 * _WAVE_SHARE * energy / (density * gravity * np.pi * radius**2))
    # ring waves about six crater depths long carry most of what lasts; a crater is about two drops deep. They come in
    # a band, whose middle need not be a ring wave of the bowl itself; none is longer than the bowl's first
    zero = np.maximum(2 * np.pi * radius / (12.0 * d), RING_ZEROS[0])
    return Ripples(height, bowl_wave(radius, depth, liquid, zero, film, gravity))


def resting_time(
    bowl_radius: Number,
    bowl_depth: Number,
    diameter: Number = 4e-3,
    speed: Number = 2.2,
    liquid: Any = None,
    film: bool = True,
    still: Number = 5e-5,
    gravity: float = 9.80665,
) -> Estimate:
    r"""Return how long to wait until the bowl lies still after one drop.

    .. math:: t = \tau\,\ln\frac{a_0}{a_{still}},\qquad a_0 = \sqrt{\frac{2E/3}{\rho g \pi R_b^2}}

    Parameters
    ----------
    bowl_radius : float or array
        Inner radius of the bowl [m].
    bowl_depth : float or array
        Depth of the liquid [m].
    diameter : float or array
        Drop diameter [m].
    speed : float or array
        Impact speed [m/s].
    liquid : Liquid or None
        The liquid; None is water at 20 degC [any].
    film : bool
        Whether a skin lies on the surface; tap water and milk have one [word].
    still : float or array
        Wave height that counts as still [m].
    gravity : float
        Local gravity [m/s2].

    Returns
    -------
    Estimate
        Waiting time; the band is a factor of two.

    Raises
    ------
    ValueError
        If a value lies outside its range.

    Notes
    -----
    Valid for small round bowls, water to 10 mPa s, within a factor of two. A third of the drop's energy
    is taken to go into ring waves six crater depths long. The rule people use is
    ``COMMON_WAIT``, ten seconds (common practice, no source); after bumping the table add
    ``BUMPED_WAIT`` (common practice, no source). A level wrong by 0.1 mm moves the arrival by only 0.05 ms.
    What matters is the tilt of the surface.

    Examples
    --------
    >>> wait = resting_time(0.10, 0.04)
    >>> bool(3 < wait.value < 15), float(wait.high / wait.low)
    (True, 4.0)

    References
    ----------
    Decay and start: :func:`drop_ripples`; derived here.
    """
    still = STILL(still)
    ripples = drop_ripples(bowl_radius, bowl_depth, diameter, speed, liquid, film, gravity)
    height, still = broadcast(the_other_inputs=ripples.height, still=still)
    time = (ripples.wave.decay_time * np.maximum(np.log(height / still), 0.0))[()]
    return Estimate(time, time / 2, time * 2, "contact with the rim damps more, a brimful bowl less: a factor of two")
