"""The gap and the delay for a wished meeting."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from splashkit import drops
from splashkit.checks import Choice, Number, Range, broadcast, require
from splashkit.estimate import Estimate
from splashkit.splash import Sheet, forms
from splashkit.splash.column import leaned_curve
from splashkit.splash.sheet import COLUMN_RADIUS
from splashkit.timing.curve import Setup, fall_to, moment_of_gap, table
from splashkit.timing.meeting import Meeting, describe, setup
from splashkit.units import format_quantity

FRACTION = Range("share of the rise or fall", "1", 0.0, 1.0, "0 is the start of the rise or fall, 1 its end")
PHASE = Choice("meeting phase", ("rising", "top", "falling"))
MEETING_HEIGHT = Range("meeting height", "m", 0.0, 0.5, "give metres above the still level: 15 mm is 0.015")

# the splash may run early or late, and its column low or high, in any mixture
EARLY, LOW = np.repeat([-1.0, 0.0, 1.0], 3), np.tile([-1.0, 0.0, 1.0], 3)
_RELEASE_ERROR = 5e-3  # share of a fall's time; the fall model's own error, nearly the same for both drops


@dataclass(frozen=True)
class Plan:
    """Settings for a wished meeting. All times in s; the delays count from the first drop's release.

    ``gap`` is the release of the second drop after the first. ``touch`` is when drop and column touch,
    once the gap is set. ``delay`` is the release to the light, for the sheet at its fullest.
    """

    gap: Estimate
    touch: Estimate
    delay: Estimate
    first_contact: Any
    meeting_height: Estimate
    meeting: Meeting
    sheet: Sheet
    warnings: tuple[str, ...]


def gap_for_meeting(
    nozzle_height: Number,
    diameter: Number,
    liquid: Any = None,
    phase: str = "top",
    fraction: Number = 0.5,
    meeting_height: Number | None = None,
    second_diameter: Number | None = None,
    release_speed: Number = 0.0,
    bowl_depth: Number | None = None,
    gravity: float = 9.80665,
) -> Plan:
    r"""Return the gap between two drops, and the delay to the light, for a wished meeting.

    .. math:: \Delta = t_{fall,1} + t_{meet} - t_{fall,2}\bigl(h - z(t_{meet})\bigr)

    Parameters
    ----------
    nozzle_height : float or array
        Nozzle tip above the still surface [m].
    diameter : float or array
        First drop's diameter [m].
    liquid : Liquid or None
        Liquid of drops and bowl; None is water at 20 degC [any].
    phase : str
        'rising', 'top' or 'falling': how the column moves when they meet [word].
    fraction : float or array
        Share of the rise (or fall) that is over when they meet; not used at the top [1].
    meeting_height : float, array or None
        Wished height of the touch above the still level; takes the place of ``fraction`` [m].
    second_diameter : float, array or None
        Second drop's diameter; None is the same as the first [m].
    release_speed : float or array
        Downward speed of both drops at release [m/s].
    bowl_depth : float, array or None
        Depth of the liquid; None is a deep bowl [m].
    gravity : float
        Local gravity [m/s2].

    Returns
    -------
    Plan
        Gap, moment of the touch, delay to the light, meeting height, sheet.

    Raises
    ------
    ValueError
        If a value lies outside its range, or the wished height lies above the column's top.

    Notes
    -----
    Valid where :func:`splashkit.splash.first_drop` is; its warnings come along. The band of the gap is
    the splash's: when the column will really be there. The bands of touch and delay hold once that gap
    is set, and are narrow: the second drop's own fall then tells when it arrives. Spread of the valve
    and lags of the camera are not in here.

    Examples
    --------
    >>> plan = gap_for_meeting(0.25, 4e-3)
    >>> round(plan.gap.value * 1e3), round(plan.touch.value * 1e3)
    (68, 286)

    References
    ----------
    Kinematics derived here; fall, splash and sheet as in their modules.
    """
    phase = PHASE(phase)
    made = setup(nozzle_height, diameter, liquid, second_diameter, release_speed, bowl_depth, gravity)
    share = FRACTION(fraction)
    wished = None if meeting_height is None else MEETING_HEIGHT(meeting_height)
    broadcast(fraction=share, meeting_height=0 if wished is None else wished, the_other_inputs=made.splash.weber)
    if wished is not None:
        share = _share_of_height(made.splash.curve(), phase, wished)
        phase = "falling" if phase == "falling" else "rising"
    gap, met, spread = meet(made, phase, share)
    height = met.height

    # all leaned splashes at once, on an axis of their own in front
    front = (9, *(1,) * np.ndim(gap))
    leaned = leaned_curve(made.splash, EARLY.reshape(front), LOW.reshape(front))
    then = _moment(leaned, phase, share)
    heights = forms.surface_height(then, **leaned)
    _below_nozzle(made, heights)
    gaps = made.first.time + then - fall_to(made, heights).time
    touches = made.first.time + moment_of_gap(table(made, leaned), gap)
    fall_error = 0.5 * _RELEASE_ERROR * made.first.time  # the two falls err alike; half of it is left over
    touch = Estimate(
        met.time,
        np.min(touches, axis=0) - fall_error,
        np.max(touches, axis=0) + fall_error,
        "the second drop's fall, to a column that may stand lower or higher",
    )
    full = spread.full_time
    return Plan(
        gap=Estimate(gap, np.min(gaps, axis=0), np.max(gaps, axis=0), "the bands of the column's times and height"),
        touch=touch,
        delay=Estimate(
            touch.value + full.value,
            touch.low + full.low,
            touch.high + full.high,
            "touch, and time of the fullest sheet",
        ),
        first_contact=made.first.time,
        meeting_height=Estimate(height, np.min(heights, axis=0), np.max(heights, axis=0), "the column's height"),
        meeting=met,
        sheet=spread,
        warnings=tuple(dict.fromkeys(met.warnings + spread.warnings)),
    )


def meet(made: Setup, phase: str, share: Any) -> tuple[Any, Meeting, Sheet]:
    """Return the gap that makes drop and column meet so, what then happens, and its sheet; no bands yet."""
    curve, splash = made.splash.curve(), made.splash
    require(
        splash.column_radius.value >= COLUMN_RADIUS.low,
        "first drop",
        " at ".join(
            format_quantity(float(np.min(x)), unit) for x, unit in ((splash.diameter, "m"), (splash.speed, "m/s"))
        ),
        "large and fast enough to throw up a column",
        "raise the nozzle, or take larger drops",
    )
    moment = _moment(curve, phase, share)
    height = forms.surface_height(moment, **curve)[()]
    _below_nozzle(made, height)
    gap = made.first.time + moment - fall_to(made, height).time
    met = describe(made, moment)
    require(
        met.closing_speed >= 0.2,
        "closing speed of drop and column",
        format_quantity(float(np.min(met.closing_speed)), "m/s"),
        "at least 0.2 m/s",
        "meet the column earlier in its fall, or raise the nozzle",
    )
    return gap, met, met.sheet()


def _below_nozzle(made: Setup, heights: Any) -> None:
    """Refuse a column that may reach the second drop before it is let go."""
    room = np.asarray(drops.fall_height(made.nozzle_height, made.second_diameter))
    require(
        np.asarray(heights) < room,
        "nozzle height",
        format_quantity(float(np.min(made.nozzle_height)), "m"),
        f"above the column, which may reach {format_quantity(float(np.max(heights)), 'm')}, with room for a drop",
        "raise the nozzle, or take smaller drops",
    )


def _share_of_height(curve: dict[str, Any], phase: str, wished: Any) -> Any:
    """Return the share of the rise or fall at which the tip passes a height."""
    relative = wished / curve["height"]
    require(
        relative <= 1,
        "meeting height",
        format_quantity(float(np.max(wished)), "m"),
        f"at most the column's top, {format_quantity(float(np.min(curve['height'])), 'm')}",
        "choose a lower meeting, or a larger or faster first drop",
    )
    return np.sqrt(1 - relative) if phase == "falling" else 1 - (1 - relative) ** (1 / curve["power"])


def _moment(curve: dict[str, Any], phase: str, share: Any) -> Any:
    """Return the time after first contact of a share of the rise or fall."""
    if phase == "top":
        return curve["peak"] + 0.0 * share
    first, last = ("start", "peak") if phase == "rising" else ("peak", "end")
    # a hair inside, so that the ends of the column still count as column
    return curve[first] + np.clip(share, 1e-9, 1 - 1e-9) * (curve[last] - curve[first])
