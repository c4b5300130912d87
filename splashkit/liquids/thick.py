"""Thickened liquids: their viscosity changes with how fast they are stirred."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from splashkit.checks import Number, Range, require
from splashkit.estimate import Estimate
from splashkit.liquids.basics import Liquid, is_liquid
from splashkit.units import format_number, format_quantity

SHEAR_RATE = Range("shear rate", "1/s", 0.0, 1e7, "give 1/s: speed over diameter at landing, about 500", open_low=True)
CONSISTENCY = Range("consistency", "Pa s^n", 0.0, 1e3, "take K from your own measurement", open_low=True)
INDEX = Range(
    "flow index", "1", 0.0, 2.0, "n is 1 for water, below 1 for liquids that thin when stirred", open_low=True
)
PLATEAU = Range("viscosity at rest", "Pa s", 0.0, 1e4, "give Pa s: water is 0.001", open_low=True)
FLOOR = Range("viscosity at fast stirring", "Pa s", 0.0, 1e4, "give Pa s; at least that of water, 0.001")
TIME_CONSTANT = Range("time constant", "s", 0.0, 1e5, "give seconds, from your own measurement", open_low=True)
POWER = Range("Cross exponent", "1", 0.0, 2.0, "give m, from your own measurement", open_low=True)

_HOLDS_NO_MORE = (
    "Thickened liquids have no single viscosity. What is computed from one, such as the fading of the wobble, is "
    "only rough.",
    "Threads of thickened liquid stretch and break late, so pinch-off and small droplets are not predicted.",
)


@dataclass(frozen=True)
class PowerLaw:
    """Viscosity K g^(n-1) at shear rate g; K and n from your own measurement."""

    consistency: float
    index: float

    def __post_init__(self) -> None:
        CONSISTENCY(self.consistency)
        INDEX(self.index)

    def viscosity(self, shear_rate: Number) -> Any:
        """Return the viscosity [Pa s] at a shear rate [1/s]."""
        return self.consistency * SHEAR_RATE(shear_rate) ** (self.index - 1)


def _ordered(rest: float, fast: float) -> None:
    require(
        FLOOR(fast) <= PLATEAU(rest),
        "viscosity at fast stirring",
        format_quantity(fast, "Pa s"),
        f"at most the viscosity at rest, {format_quantity(rest, 'Pa s')}",
        "swap the two, or check the units",
    )


@dataclass(frozen=True)
class Cross:
    """Viscosity fast + (rest - fast) / (1 + (k g)^m) at shear rate g; all four from your own measurement."""

    rest: float
    fast: float
    time_constant: float
    exponent: float

    def __post_init__(self) -> None:
        _ordered(self.rest, self.fast)
        TIME_CONSTANT(self.time_constant)
        POWER(self.exponent)

    def viscosity(self, shear_rate: Number) -> Any:
        """Return the viscosity [Pa s] at a shear rate [1/s]."""
        stirred = (self.time_constant * SHEAR_RATE(shear_rate)) ** self.exponent
        return self.fast + (self.rest - self.fast) / (1 + stirred)


@dataclass(frozen=True)
class Carreau:
    """Viscosity fast + (rest - fast) (1 + (l g)^2)^((n-1)/2) at shear rate g; all four from your own measurement."""

    rest: float
    fast: float
    time_constant: float
    index: float

    def __post_init__(self) -> None:
        _ordered(self.rest, self.fast)
        TIME_CONSTANT(self.time_constant)
        INDEX(self.index)

    def viscosity(self, shear_rate: Number) -> Any:
        """Return the viscosity [Pa s] at a shear rate [1/s]."""
        stirred = 1 + (self.time_constant * SHEAR_RATE(shear_rate)) ** 2
        return self.fast + (self.rest - self.fast) * stirred ** ((self.index - 1) / 2)


def thickened(liquid: Liquid, model: PowerLaw | Cross | Carreau, shear_rate: Number = 500.0) -> Liquid:
    """Return a liquid thickened by a known law of your own measuring.

    .. math:: \\mu = K g^{n - 1} \\quad \\text{or} \\quad
              \\mu = \\mu_\\infty + \\frac{\\mu_0 - \\mu_\\infty}{1 + (k g)^m} \\quad \\text{or} \\quad
              \\mu = \\mu_\\infty + (\\mu_0 - \\mu_\\infty) [1 + (\\lambda g)^2]^{(n - 1)/2}

    Parameters
    ----------
    liquid : Liquid
        What the thickener is stirred into [Liquid].
    model : PowerLaw or Cross or Carreau
        Viscosity against shear rate, with your own parameters [model].
    shear_rate : float or array
        Rate of shear at which the viscosity is quoted; landing speed over diameter is about 500 [1/s].

    Returns
    -------
    Liquid
        Marked as not Newtonian; the band runs from ten times to a tenth of the shear rate.

    Raises
    ------
    ValueError
        If the liquid, the model or the shear rate is not one of those allowed.

    Notes
    -----
    Valid inside the shear rates that the parameters were measured over. Density and surface tension are left as they
    were: no source was found for their change.

    Examples
    --------
    >>> from splashkit.liquids import water
    >>> thick = thickened(water(), PowerLaw(consistency=0.1, index=0.5))
    >>> thick.viscosity.text("Pa s"), thick.newtonian
    ('4.47 mPa s (1.41 to 14.1 mPa s)', False)

    References
    ----------
    Forms of the power law, Cross 1965 and Carreau 1972 (from memory); parameters are the user's.
    """
    liquid = is_liquid(liquid)
    require(
        isinstance(model, (PowerLaw, Cross, Carreau)),
        "thickener model",
        type(model).__name__,
        "a PowerLaw, Cross or Carreau",
        "give one with your own parameters, or use pinch_of_xanthan",
    )
    rate = SHEAR_RATE(shear_rate)
    value = model.viscosity(rate)
    ends = [model.viscosity(np.clip(rate * step, 1e-9, SHEAR_RATE.high)) for step in (0.1, 10.0)]
    low, high = np.minimum(*ends), np.maximum(*ends)
    warnings = [*liquid.warnings, *_HOLDS_NO_MORE]
    if np.any(low < liquid.viscosity.value):
        warnings.append("At fast shear this law falls below the liquid without thickener, which is not possible.")
    text = format_number(float(np.max(rate)))
    return replace(
        liquid,
        name=f"thickened {liquid.name}",
        viscosity=Estimate(value, low, high, f"your law at {text} 1/s; band from ten times to a tenth of that rate"),
        newtonian=False,
        warnings=tuple(warnings),
    )


def pinch_of_xanthan(liquid: Liquid) -> Liquid:
    """Return a liquid with "a pinch of xanthan", of which only the kind of change is known.

    .. math:: \\mu > \\mu_{liquid}

    Parameters
    ----------
    liquid : Liquid
        What the pinch is stirred into [Liquid].

    Returns
    -------
    Liquid
        Marked as not Newtonian; its viscosity is that of the liquid as a lower bound, with no upper one.

    Raises
    ------
    ValueError
        If the liquid is not one of this library.

    Notes
    -----
    Valid as words, not as a number: common practice, no source. Xanthan thickens water a lot at rest and much less
    when stirred fast, so it thins as it splashes. It thins little with warmth, where glycerol thins a lot; salt
    weakens it. Its threads break late. Nobody has published what a pinch does to a column: smoother ones are common
    practice, no source; whether they come out taller is not known. Measure with a flow cup, then use `thickened`.

    Examples
    --------
    >>> from splashkit.liquids import water
    >>> pinch_of_xanthan(water()).name
    'water with a pinch of xanthan'

    References
    ----------
    The dose: common practice, no source. The kind of change: US 21 CFR 172.695; Whitcomb & Macosko 1978, J. Rheol.
    22:493; Smolka & Belmonte 2006, J. Non-Newton. Fluid Mech. 137:103.
    """
    liquid = is_liquid(liquid)
    base = liquid.viscosity
    return replace(
        liquid,
        name=f"{liquid.name} with a pinch of xanthan",
        viscosity=Estimate(
            base.value, base.low, np.full_like(base.high, np.inf)[()], "at least the plain liquid; no source for more"
        ),
        newtonian=False,
        notes=(*liquid.notes, "The pinch is common practice, no source: stir, let it stand, and judge by test frames."),
        warnings=(
            *liquid.warnings,
            "How thick a pinch makes it is unknown: the viscosity used is that of the plain liquid, a lower bound.",
            *_HOLDS_NO_MORE,
        ),
    )
