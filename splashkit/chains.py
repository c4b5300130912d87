"""Who fires whom: the chain of delays from the timer's signal to the light.

A chain is a list of named stages, each with a mean and a spread (one standard deviation).
Means add. Spreads add as squares, because the stages know nothing of each other; so the
largest one rules, and halving a small one buys nothing.

Three chains are in use. The timer fires the camera, and the front or the rear curtain fires
the flash; or the shutter already stands open in the dark and the timer fires the flash itself.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, NamedTuple

import numpy as np

from splashkit.checks import Choice, Range, of_kind, require
from splashkit.rig import CHAINS, LINKS, Rig
from splashkit.units import format_quantity

# Common practice, no source: mean and spread of what lies between a signal and its effect
LINK_DELAYS = {"cable": (20e-6, 5e-6), "radio": (1.0e-3, 0.2e-3)}
FLASH_DELAY = (0.1e-3, 0.02e-3)  # trigger to first light [s]
CURTAIN_SPREAD = 0.05e-3  # how well a curtain repeats its travel [s]
REAR_MARGIN = 0.5e-3  # the rear-curtain signal comes this long before the second curtain starts [s]

_CHAIN = Choice("chain", CHAINS, "choose front curtain, rear curtain or open shutter")
_LINK = Choice("link", LINKS)
_LAG = Range("shutter lag", "s", 0.0, 2.0, "give seconds: 65 ms is 0.065")
_SPREAD = Range("spread", "s", 0.0, 0.5, "give one standard deviation in seconds: 0.5 ms is 0.0005")
_TRAVEL = Range("curtain travel", "s", 1e-4, 0.1, "give seconds: 3 ms is 0.003")
_EXPOSURE = Range("exposure time", "s", 1e-5, 60.0, "give seconds: 1/60 is 0.0167")
_MARGIN = Range("rear margin", "s", 0.0, 0.05, "give seconds: half a millisecond is 0.0005")
_DELAY = Range("delay", "s", 0.0, 60.0, "give seconds from the first valve signal")


class Stage(NamedTuple):
    """One named delay: how long it takes on average, and how well it repeats (standard deviation)."""

    name: str
    mean: float
    spread: float
    why: str = ""


MAKE_CHAIN = "call chains.light_chain or chains.valve_chain"


@dataclass(frozen=True)
class Chain:
    """A row of delays from one signal to one effect."""

    kind: str
    stages: tuple[Stage, ...]

    @property
    def mean(self) -> float:
        """Sum of the stages' means [s]."""
        return float(sum(stage.mean for stage in self.stages))

    @property
    def spread(self) -> float:
        """Root of the sum of the stages' squared spreads [s]."""
        return float(np.sqrt(sum(stage.spread**2 for stage in self.stages)))

    def text(self) -> str:
        """Write the chain as one line of stages with their times."""
        parts = (
            f"{s.name} {format_quantity(s.mean, 's')} (spread {format_quantity(s.spread, 's', 2)})" for s in self.stages
        )
        return " → ".join(parts)


class Share(NamedTuple):
    """One stage's part of the whole scatter."""

    name: str
    spread: float
    share: float  # of the variance, 0..1


MEANINGS = {
    "front": (
        "The delay runs from the first valve signal to the camera's signal. The light comes later by the shutter lag "
        "and the curtain's travel: take both off. The exposure time does not shift the light."
    ),
    "rear": (
        "The delay runs from the first valve signal to the camera's signal. The light comes at the end of the "
        "exposure: change the exposure time and every delay changes with it."
    ),
    "open": (
        "The delay runs from the first valve signal to the flash's own signal. The shutter stands open before the "
        "first drop falls, so neither its lag nor its scatter counts. The room must be dark."
    ),
}


def light_chain(
    kind: str,
    shutter_lag: float = 0.0,
    shutter_lag_spread: float = 0.0,
    curtain_travel: float = 0.003,
    exposure_time: float = 0.1,
    link: str = "cable",
    margin: float = REAR_MARGIN,
) -> Chain:
    r"""Return the stages between the delay's end and the flash's first light.

    .. math:: t_{front} = t_{link} + lag + t_c + t_{flash}, \quad t_{rear} = t_{link} + lag + T - m + t_{flash}

    Parameters
    ----------
    kind : str
        ``'front'``, ``'rear'`` or ``'open'`` [word].
    shutter_lag, shutter_lag_spread : float
        Camera signal to the first curtain's start, mean and standard deviation; unused on an open shutter [s].
    curtain_travel : float
        Time the first curtain takes to uncover the frame [s].
    exposure_time : float
        Shutter setting, for the rear curtain [s].
    link : str
        ``'cable'`` or ``'radio'`` [word].
    margin : float
        How long before the second curtain starts the rear signal comes [s].

    Returns
    -------
    Chain
        Named stages with mean and spread.

    Raises
    ------
    ValueError
        If a value is out of range, or the exposure is too short for the whole frame to be open.

    Notes
    -----
    Valid for curtains (front, rear) and for any shutter that stands open (open). Link and flash delays are
    typical values: replace them by measured ones where it matters.

    Examples
    --------
    >>> chain = light_chain("front", 0.050, 0.0005, curtain_travel=0.003)
    >>> round(chain.mean * 1e3, 2), round(chain.spread * 1e3, 3)
    (53.12, 0.503)

    References
    ----------
    Derived here; lags and link delays are common practice, no source. ISO 15781:2019 defines how lags are measured.
    """
    kind, link = _CHAIN(kind), _LINK(link)
    lag, spread = _LAG.one(shutter_lag), _SPREAD.one(shutter_lag_spread)
    travel, exposure, margin = _TRAVEL.one(curtain_travel), _EXPOSURE.one(exposure_time), _MARGIN.one(margin)
    typical = "typical, common practice, no source"
    stages = [Stage(f"{link} link", *LINK_DELAYS[link], typical)]
    if kind != "open":
        require(
            exposure >= travel + (margin if kind == "rear" else 0.0),
            "exposure time",
            format_quantity(exposure, "s"),
            f"at least the curtain's travel of {format_quantity(travel, 's')}, so that the whole frame is open",
            "use the sync speed or a longer exposure",
        )
        stages.append(Stage("shutter lag", lag, spread, "your rig's"))
    if kind == "front":
        stages.append(Stage("front curtain's travel", travel, CURTAIN_SPREAD, typical))
    if kind == "rear":
        stages.append(Stage("exposure up to the rear signal", exposure - margin, CURTAIN_SPREAD, typical))
    stages.append(Stage("flash trigger", *FLASH_DELAY, typical))
    return Chain(kind, tuple(stages))


def rig_chain(rig: Rig) -> Chain:
    """Return the chain to the light of one rig.

    Parameters
    ----------
    rig : Rig
        The rig; its chain, and its lag unless the shutter stands open, must be known [mixed units].

    Returns
    -------
    Chain
        Named stages with mean and spread.

    Raises
    ------
    ValueError
        If the rig does not say which chain it uses, or its lag is not measured yet.

    Notes
    -----
    Valid for every rig with these entries filled.

    Examples
    --------
    >>> from splashkit import rig
    >>> rig_chain(rig.demo()).kind
    'front'

    References
    ----------
    Derived here.
    """
    of_kind(rig, Rig, "rig", "call rig.load or rig.demo")
    kind = _CHAIN(rig.chain)
    known = {
        "shutter_lag": rig.shutter_lag if kind != "open" else 0.0,
        "shutter_lag_spread": rig.shutter_lag_spread or 0.0,
        "curtain_travel": rig.curtain_travel if rig.curtain_travel is not None else 0.003,
        "exposure_time": rig.exposure_time if rig.exposure_time is not None else 0.1,
    }
    require(
        known["shutter_lag"] is not None,
        "shutter lag",
        "a blank",
        "measured",
        "measure it from one falling-drop frame (lesson 11), or use the open shutter",
    )
    return light_chain(kind, **known, link=rig.link or "cable")  # type: ignore[arg-type]


def valve_chain(
    valve_delay: float, valve_delay_spread: float, fall_time: float, fall_time_spread: float = 0.0
) -> Chain:
    """Return the stages between a valve's signal and its drop's first touch of the water.

    Parameters
    ----------
    valve_delay, valve_delay_spread : float
        Valve signal to the drop's release, mean and standard deviation [s].
    fall_time, fall_time_spread : float
        Time of the fall, mean and standard deviation [s].

    Returns
    -------
    Chain
        Two named stages.

    Raises
    ------
    ValueError
        If a value is out of range.

    Notes
    -----
    Valid for single drops; the fall's spread comes from drop size and release speed.

    Examples
    --------
    >>> round(valve_chain(0.012, 0.0004, 0.227).mean, 3)
    0.239

    References
    ----------
    Derived here.
    """
    check = Range("valve or fall time", "s", 0.0, 5.0, "give seconds")
    return Chain(
        "valve",
        (
            Stage("valve", check.one(valve_delay), _SPREAD.one(valve_delay_spread), "your rig's"),
            Stage("fall", check.one(fall_time), _SPREAD.one(fall_time_spread), "model of the fall"),
        ),
    )


def delay_setting(chain: Chain, light_moment: Any) -> Any:
    """Return the delay to set so that the light comes at a wanted moment.

    Parameters
    ----------
    chain : Chain
        The chain to the light, from :func:`light_chain` [s].
    light_moment : float or array
        Wanted moment of the first light, from the first valve signal [s].

    Returns
    -------
    float or array
        The delay to set on the timer [s].

    Raises
    ------
    ValueError
        If the light is wanted sooner than the chain can bring it.

    Notes
    -----
    Valid for all three chains. With a rear curtain and a long exposure the camera may have to be
    fired before the valve: that is refused, with what to do.

    Examples
    --------
    >>> round(float(delay_setting(light_chain("front", 0.050), 0.290)), 5)
    0.23688

    References
    ----------
    Derived here.
    """
    of_kind(chain, Chain, "chain", MAKE_CHAIN)
    moment = _DELAY(light_moment)
    earliest = np.min(moment) - chain.mean
    require(
        earliest >= 0,
        "moment of the light",
        format_quantity(float(np.min(moment)), "s"),
        f"at least the chain's {format_quantity(chain.mean, 's')} after the first valve signal",
        "shorten the shutter time (rear curtain), raise the nozzle, or use an open shutter",
    )
    return moment - chain.mean


def light_moment(chain: Chain, delay: Any) -> Any:
    """Return when the light comes for a set delay.

    Parameters
    ----------
    chain : Chain
        The chain to the light [s].
    delay : float or array
        Delay set on the timer, from the first valve signal [s].

    Returns
    -------
    float or array
        Moment of the first light, from the first valve signal [s].

    Raises
    ------
    ValueError
        If the delay is below zero or above a minute.

    Notes
    -----
    Valid for all three chains.

    Examples
    --------
    >>> round(float(light_moment(light_chain("open"), 0.290)), 5)
    0.29012

    References
    ----------
    Derived here.
    """
    of_kind(chain, Chain, "chain", MAKE_CHAIN)
    return _DELAY(delay) + chain.mean


def jitter_budget(*chains: Chain) -> tuple[Share, ...]:
    r"""Return each stage's share of the whole scatter, largest first.

    .. math:: s = \sqrt{\sum_i s_i^2}, \quad share_i = s_i^2 / s^2

    Parameters
    ----------
    *chains : Chain
        The chains that meet: usually the valve's and the light's [s].

    Returns
    -------
    tuple of Share
        Name, spread and share of the variance of each stage.

    Raises
    ------
    ValueError
        If no chain is given.

    Notes
    -----
    Valid while the stages scatter independently of each other.

    Examples
    --------
    >>> shares = jitter_budget(light_chain("front", 0.05, 0.003), valve_chain(0.012, 0.0004, 0.227))
    >>> shares[0].name, round(shares[0].share, 2)
    ('shutter lag', 0.98)

    References
    ----------
    Sum of variances, textbook.
    """
    stages = [stage for chain in chains for stage in chain.stages]
    require(len(stages) > 0, "jitter budget", "no stages", "made of at least one chain", "give the chains that meet")
    whole = sum(stage.spread**2 for stage in stages)
    shares = [Share(s.name, s.spread, s.spread**2 / whole if whole else 0.0) for s in stages]
    return tuple(sorted(shares, key=lambda share: -share.spread))


def front_rear_difference(exposure_time: Any, curtain_travel: Any, margin: Any = REAR_MARGIN) -> Any:
    r"""Return how much later the light comes with the rear curtain than with the front curtain.

    .. math:: \Delta = T - t_c - m

    Parameters
    ----------
    exposure_time : float or array
        Shutter setting [s].
    curtain_travel : float or array
        Time a curtain takes across the frame [s].
    margin : float or array
        How long before the second curtain starts the rear signal comes [s].

    Returns
    -------
    float or array
        The difference [s].

    Raises
    ------
    ValueError
        If a value is out of range or the frame is never wholly open.

    Notes
    -----
    Valid for set exposure times. On bulb the rear signal comes when the shutter is let go: unusable for timing.

    Examples
    --------
    >>> round(float(front_rear_difference(1 / 8, 0.003)) * 1e3, 1)
    121.5

    References
    ----------
    Derived here.
    """
    exposure, travel, before = _EXPOSURE(exposure_time), _TRAVEL(curtain_travel), _MARGIN(margin)
    require(
        np.all(exposure >= travel + before),
        "exposure time",
        format_quantity(float(np.min(exposure)), "s"),
        "at least the curtain's travel plus the rear margin",
        "use the sync speed or a longer exposure",
    )
    return exposure - travel - before
