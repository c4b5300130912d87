"""The mixing sheet: how much of what, on a kitchen scale, for a wanted viscosity."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from splashkit.checks import Choice, Number, Range, require
from splashkit.estimate import Estimate
from splashkit.liquids.glycerol import TEMPERATURE, glycerol_density, glycerol_viscosity, viscosity_stray
from splashkit.units import format_number, format_quantity

VISCOSITY = Range("wanted viscosity", "Pa s", 0.0, 20.0, "give Pa s: 5 mPa s is 0.005", open_low=True)
VOLUME = Range("volume of the mix", "m3", 0.0, 0.1, "give cubic metres: 1 litre is 0.001", open_low=True)
PIPE_VOLUME = Range("volume of the pipe", "m3", 0.0, 0.01, "give cubic metres: 50 mL is 5e-5")
PIPE_HOLDS = Choice("what the pipe holds", ("nothing", "water"))
PURITY = Range("glycerol in the bottle", "1", 0.5, 1.0, "give the share by mass on the label: 86 % is 0.86")
SCALE = Range("scale step", "kg", 0.0, 0.1, "give kilograms: a kitchen scale that shows 1 g is 0.001")


@dataclass(frozen=True)
class Mix:
    """A mixing sheet: masses [kg], the mix they give, and one sentence that says it."""

    bottle: float  # mass to weigh from the glycerol bottle [kg]
    water: float  # mass of water to weigh [kg]
    mass_fraction: float  # pure glycerol in the finished mix [1]
    volume: float  # finished mix, pipe included [m3]
    temperature: float  # [degC]
    viscosity: Estimate  # [Pa s]
    sentence: str

    @property
    def bottle_grams(self) -> float:
        """Glycerol from the bottle [g]."""
        return 1e3 * self.bottle

    @property
    def water_grams(self) -> float:
        """Water [g]."""
        return 1e3 * self.water


def glycerol_fraction_for(viscosity: Number, temperature: Number = 20.0) -> float:
    """Return the share of glycerol by mass that gives a wanted viscosity.

    .. math:: C \\text{ such that } \\mu(C, t) = \\mu

    Parameters
    ----------
    viscosity : float
        Wanted viscosity [Pa s].
    temperature : float
        Temperature of the bowl [degC].

    Returns
    -------
    float
        Share by mass [1].

    Raises
    ------
    ValueError
        If the viscosity is below that of water or above that of glycerol at this temperature.

    Notes
    -----
    Valid as `glycerol_viscosity`, whose inverse it is.

    Examples
    --------
    >>> round(glycerol_fraction_for(0.006), 3)
    0.5

    References
    ----------
    Cheng 2008, turned round here.
    """
    wanted, t = VISCOSITY.one(viscosity), TEMPERATURE.one(temperature)
    low, high = 0.0, 1.0
    thin, thick = (float(glycerol_viscosity(end, t)) for end in (low, high))
    require(
        thin <= wanted <= thick,
        "wanted viscosity",
        format_quantity(wanted, "Pa s"),
        f"from {format_quantity(thin, 'Pa s', 4)} (water) to {format_quantity(thick, 'Pa s')} (glycerol) "
        f"at {format_number(t)} °C",
        "choose one in between, or change the temperature",
    )
    for _ in range(50):
        middle = (low + high) / 2
        low, high = (middle, high) if glycerol_viscosity(middle, t) < wanted else (low, middle)
    return (low + high) / 2


def mix_for_viscosity(
    viscosity: Number,
    volume: Number,
    temperature: Number = 20.0,
    pipe_volume: Number = 0.0,
    pipe_holds: str = "nothing",
    glycerol_purity: Number = 1.0,
    scale_step: Number = 0.001,
) -> Mix:
    """Return how much glycerol and water to weigh for a wanted viscosity.

    .. math:: m = \\rho(C) (V + V_{pipe}), \\quad m_{bottle} = C m / p, \\quad
              m_{water} = m - m_{bottle} - m_{in\\,pipe}

    Parameters
    ----------
    viscosity : float
        Wanted viscosity [Pa s].
    volume : float
        Mix wanted in bowl and bottle, pipe not counted [m3].
    temperature : float
        Temperature at which it will be used [degC].
    pipe_volume : float
        Liquid that the pipe and the valve hold [m3].
    pipe_holds : str
        ``'nothing'``, or ``'water'`` that is run out into the mix and stirred in [word].
    glycerol_purity : float
        Glycerol in the bottle by mass; the rest is water [1].
    scale_step : float
        Smallest step the scale shows, for the band [kg].

    Returns
    -------
    Mix
        Masses, the viscosity with its band, and a sentence.

    Raises
    ------
    ValueError
        If an input is outside its range, the bottle is too weak, or the pipe alone holds more water than the mix needs.

    Notes
    -----
    Valid from 0 to 40 °C. Weigh, do not measure by jug: 50 % by volume is 55.8 % by mass. The band holds the formula
    and one step of the scale on each weighing.

    Examples
    --------
    >>> mix = mix_for_viscosity(0.006, 0.001, pipe_volume=5e-5)
    >>> round(mix.bottle_grams), round(mix.water_grams)
    (591, 591)

    References
    ----------
    Cheng 2008 (viscosity); Volk & Kaehler 2018 (density); the sheet derived here.
    """
    t, room, pipe = TEMPERATURE.one(temperature), VOLUME.one(volume), PIPE_VOLUME.one(pipe_volume)
    purity, step = PURITY.one(glycerol_purity), SCALE.one(scale_step)
    held = PIPE_HOLDS(pipe_holds)
    share = glycerol_fraction_for(viscosity, t)
    total = float(glycerol_density(share, t)) * (room + pipe)
    bottle = share * total / purity
    in_pipe = float(glycerol_density(0.0, t)) * pipe if held == "water" else 0.0
    water = total - bottle - in_pipe
    require(
        bottle <= total,
        "glycerol in the bottle",
        f"{format_number(100 * purity)} %",
        f"at least {format_number(100 * share)} % for this viscosity",
        "buy a stronger bottle or ask for a thinner mix",
    )
    require(
        water >= 0,
        "volume of the pipe",
        format_quantity(pipe, "m3"),
        "smaller than the water the mix needs",
        "run the water out of the pipe first and set pipe_holds to 'nothing'",
    )
    doubt = min(step / total * (1 + share), 1.0)
    ends = glycerol_viscosity(np.clip([share - doubt, share + doubt], 0.0, 1.0), t)
    stray = float(viscosity_stray(t))
    value = float(glycerol_viscosity(share, t))
    result = Estimate(
        value, float(ends[0]) * (1 - stray), float(ends[1]) * (1 + stray), "Cheng 2008 and one step of the scale"
    )
    words = (
        f"Weigh {_grams(bottle)} from the glycerol bottle and {_grams(water)} of water. Stir until no streaks show. "
    )
    words += f"That makes {format_quantity(room + pipe, 'm3')} of {format_number(100 * share)} % glycerol by mass, "
    words += f"{result.text('Pa s')} at {format_number(t)} °C."
    if pipe > 0 and held == "water":
        words += f" The {format_quantity(pipe, 'm3')} of water in the pipe is counted: run it out into the mix first."
    elif pipe > 0:
        words += f" Of this, {format_quantity(pipe, 'm3')} fills the pipe."
    return Mix(bottle, water, share, room + pipe, t, result, words)


def _grams(mass: float) -> str:
    return f"{1e3 * mass:.0f} g" if mass >= 0.01 else f"{1e3 * mass:.1f} g"
