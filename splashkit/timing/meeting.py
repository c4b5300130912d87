"""Two drops: the gap and delay that make them meet, and what a given gap does.

Time 0 is the first drop's release unless a name says otherwise. Heights count from the still level.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from splashkit import drops
from splashkit.checks import Number, Range, broadcast, require
from splashkit.splash import Sheet, Splash, first_drop, forms, sheet
from splashkit.splash.given import liquid_or_water
from splashkit.splash.impact import GRAVITY
from splashkit.timing.curve import Setup, moment_of_gap, table

NOZZLE_HEIGHT = Range("nozzle height", "m", 0.02, 2.0, "give metres: 40 cm is 0.4")
DIAMETER = Range("drop diameter", "m", 1e-3, 8e-3, "give metres: a 4 mm drop is 0.004")
RELEASE_SPEED = Range("release speed", "m/s", 0.0, 3.0, "give metres a second, downwards; 0 for a drop that lets go")
GAP = Range("gap between the drops", "s", 0.0, 2.0, "give seconds: 70 ms is 0.07")
# what may happen, in the order of growing gap
OUTCOMES = (
    "before the first drop",
    "hits the crater",
    "before the column",
    "rising",
    "at its top",
    "falling",
    "after it is gone",
)
TOP = 0.95  # "at its top": within five per cent of the greatest height


@dataclass(frozen=True)
class Meeting:
    """What happens at a gap. ``time`` counts from the first release, ``moment`` from first contact; SI.

    ``outcome`` is one of :data:`OUTCOMES`; ``code`` is its place there. ``fraction`` is the share of the
    rise (or, falling, of the fall) that is over.
    """

    code: Any
    outcome: Any
    time: Any
    moment: Any
    height: Any
    fraction: Any
    second_speed: Any
    tip_speed: Any
    closing_speed: Any
    head_is_off: Any
    second_diameter: Any
    splash: Splash
    warnings: tuple[str, ...]

    def sheet(self, offset: Number = 0.0) -> Sheet:
        """Return the sheet of this meeting, for an offset of the second drop's path [m]."""
        met = (self.code >= 3) & (self.code <= 5)
        require(
            met,
            "outcome of the meeting",
            ", ".join(sorted({str(word) for word in np.atleast_1d(self.outcome)})),
            "rising, at its top or falling, for a sheet",
            "choose a gap from gap_for_meeting",
        )
        return sheet(
            self.second_diameter, self.closing_speed, self.splash.liquid, offset, self.splash.column_radius.value
        )


def setup(
    nozzle_height: Number,
    diameter: Number,
    liquid: Any,
    second_diameter: Number | None,
    release_speed: Number,
    bowl_depth: Number | None,
    gravity: float,
) -> Setup:
    """Check and broadcast what both drops share, and let the first one fall."""
    liquid, gravity = liquid_or_water(liquid), GRAVITY.one(gravity)
    height, first, speed = NOZZLE_HEIGHT(nozzle_height), DIAMETER(diameter), RELEASE_SPEED(release_speed)
    second = first if second_diameter is None else DIAMETER(second_diameter)
    height, first, second, speed = (
        array[()]
        for array in broadcast(nozzle_height=height, diameter=first, second_diameter=second, release_speed=speed)
    )
    air = {
        "liquid_density": liquid.density.value,
        "surface_tension": liquid.surface_tension.value,
        "gravity": gravity,
    }
    fallen = drops.fall(drops.fall_height(height, first), first, speed, **air)
    splash = first_drop(first, fallen.speed, liquid, bowl_depth, gravity)
    return Setup(height, second, speed, fallen, splash, air)


def judge(s: Splash, moment: Any, height: Any) -> Any:
    """Return the outcome's code for moments after first contact and heights on the axis there."""
    top = height >= TOP * s.column_peak_height.value
    steps = [
        moment < 0,
        moment < s.crater_time.value,
        moment < s.column_start.value,
        top,
        moment < s.column_peak_time.value,
        moment < s.column_end.value,
    ]
    return np.select(steps, [0, 1, 2, 4, 3, 5], 6)


def meeting(
    nozzle_height: Number,
    gap: Number,
    diameter: Number,
    liquid: Any = None,
    second_diameter: Number | None = None,
    release_speed: Number = 0.0,
    bowl_depth: Number | None = None,
    gravity: float = 9.80665,
) -> Meeting:
    r"""Tell where and when the second drop meets the water for a given gap.

    .. math:: \Delta = t_{fall,1} + t - t_{fall,2}\bigl(h - z(t)\bigr)\quad\text{solved for } t

    Parameters
    ----------
    nozzle_height : float or array
        Nozzle tip above the still surface [m].
    gap : float or array
        Release of the second drop after the first [s].
    diameter : float or array
        First drop's diameter [m].
    liquid : Liquid or None
        Liquid of drops and bowl; None is water at 20 degC [any].
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
    Meeting
        Outcome in a word, time, height, share of the rise or fall, closing speed.

    Raises
    ------
    ValueError
        If a value lies outside its range or shapes do not fit.

    Notes
    -----
    Valid where :func:`splashkit.splash.first_drop` is; its warnings come along. Contact is the moment
    the lowest point touches, as in :func:`splashkit.drops.fall_height`. A head that pinched off flies
    above the column and may be met first; ``head_is_off`` tells.

    Examples
    --------
    >>> str(meeting(0.25, 0.068, 4e-3).outcome)
    'at its top'

    References
    ----------
    Kinematics derived here; fall and splash as in their modules.
    """
    gap = GAP(gap)
    made = setup(nozzle_height, diameter, liquid, second_diameter, release_speed, bowl_depth, gravity)
    broadcast(gap=gap, the_other_inputs=made.splash.weber)
    return describe(made, moment_of_gap(table(made, made.splash.curve()), gap))


def describe(made: Setup, moment: Any) -> Meeting:
    """Tell all about a touch at a moment after first contact."""
    splash = made.splash
    curve = splash.curve()
    height = forms.surface_height(moment, **curve)[()]
    tip = forms.surface_speed(moment, **curve)[()]
    distance = drops.fall_height(made.nozzle_height, made.second_diameter) - height
    second = drops.fall(distance, made.second_diameter, made.release_speed, **made.air)
    code = judge(splash, moment, height)
    rise = (moment - splash.column_start.value) / (splash.column_peak_time.value - splash.column_start.value)
    fall = (moment - splash.column_peak_time.value) / (splash.column_end.value - splash.column_peak_time.value)
    fraction = np.where(moment < splash.column_peak_time.value, np.clip(rise, 0, 1), np.clip(fall, 0, 1))
    return Meeting(
        code=code[()],
        outcome=np.asarray(OUTCOMES)[code],
        time=moment + made.first.time,
        moment=moment,
        height=height,
        fraction=fraction[()],
        second_speed=second.speed,
        tip_speed=tip,
        closing_speed=second.speed + tip,
        head_is_off=(moment > splash.pinch_off.value) & (moment < splash.column_end.value),
        second_diameter=made.second_diameter,
        splash=splash,
        warnings=splash.warnings,
    )
