"""Soap and dye: only what is known is changed, and the rest is said in words."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from splashkit.checks import Number, Range, require, shown
from splashkit.estimate import Estimate
from splashkit.liquids.basics import Liquid, is_liquid
from splashkit.units import format_quantity

LOWEST_TENSION = Range("lowest surface tension", "N/m", 0.015, 0.08, "give N/m: washing-up liquid gives about 0.033")


def with_detergent(liquid: Liquid, lowest_tension: Number = 0.033) -> Liquid:
    """Return a liquid with a drop of washing-up liquid in it.

    .. math:: \\sigma_{lowest} \\le \\sigma \\le \\sigma_{liquid}

    Parameters
    ----------
    liquid : Liquid
        What the soap is stirred into [Liquid].
    lowest_tension : float or array
        Tension of the soapy surface at rest, the least it can be; 0.033 is an illustration [N/m].

    Returns
    -------
    Liquid
        Its surface tension is the stated lower bound, its band reaches up to the clean liquid.

    Raises
    ------
    ValueError
        If the liquid is not one of this library, or the tension is outside its range or above the clean liquid's.

    Notes
    -----
    Valid as a bound, not as a value: the surface of a drop is milliseconds old, and soap needs time to get there.
    Between the moment of splash and the resting bowl the tension is somewhere in the band.

    Examples
    --------
    >>> from splashkit.liquids import water
    >>> with_detergent(water()).surface_tension.text("N/m")
    '33 mN/m (33 to 73.5 mN/m)'

    References
    ----------
    One student report of 33.45 mN/m by drop weight (illustration only); pure sodium dodecyl sulfate comes to 38 to
    39 mN/m (from memory). No dose curve of a household product was found.
    """
    liquid = is_liquid(liquid)
    lowest = LOWEST_TENSION(lowest_tension)
    clean = liquid.surface_tension
    require(
        lowest <= clean.value,
        "lowest surface tension",
        format_quantity(float(np.max(lowest)), "N/m"),
        f"at most that of the clean liquid, {format_quantity(float(np.min(clean.value)), 'N/m')}",
        "soap lowers the tension; give a smaller number",
    )
    return replace(
        liquid,
        name=f"{liquid.name} with detergent",
        surface_tension=Estimate(
            lowest, lowest, clean.high + 0 * lowest, "lower bound at rest, clean liquid for a fresh surface"
        ),
        warnings=(
            *liquid.warnings,
            "Soapy tension is a lower bound: a fresh surface is milliseconds old and pulls harder.",
            "Soap makes foam: skim the bubbles off, and wait until the last is gone.",
        ),
    )


def dyed(liquid: Liquid, colour: str = "dyed") -> Liquid:
    """Return a liquid with food colour in it: the same numbers under another name.

    .. math:: \\rho, \\mu, \\sigma \\text{ unchanged}

    Parameters
    ----------
    liquid : Liquid
        What the dye is stirred into [Liquid].
    colour : str
        Word put before the name [text].

    Returns
    -------
    Liquid
        Same properties; a note says that no effect is claimed.

    Raises
    ------
    ValueError
        If the liquid is not one of this library or the colour is not a word.

    Notes
    -----
    Valid for a few drops of watery food colour. Some dyes come in glycol or alcohol; many of those lower the tension.

    Examples
    --------
    >>> from splashkit.liquids import milk
    >>> dyed(milk(), "blue").name
    'blue milk'

    References
    ----------
    No effect was found in any source and none is claimed; common practice, no source.
    """
    liquid = is_liquid(liquid)
    require(isinstance(colour, str), "colour", shown(colour), "a word", "write it in quotes, such as 'blue'")
    return replace(
        liquid,
        name=f"{colour} {liquid.name}",
        notes=(
            *liquid.notes,
            "A few drops of food colour have no effect that anyone has measured; none is claimed here.",
            "Dye stains, and some people are allergic: gloves, and nothing from the bowl is drunk.",
        ),
    )
