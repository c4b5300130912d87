"""When each row of the frame sees light: the shutter as an interval for every row.

Rows are counted along the travel of the curtains, from 0 (uncovered first) to 1. Time 0 is the start of the
first curtain. In a picture held level the row uncovered first is the bottom one, because the image stands
on its head on the sensor (Simon, Vakulya and Ratosi, Sensors 22(5) 1871, 2022, figure 11).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from splashkit.checks import Number, broadcast
from splashkit.flash.curve import LightCurve, one
from splashkit.sync.ranges import CURTAIN_TRAVEL, EXPOSURE_TIME, FLASH_START, KIND, ROW, TRAVEL, check_kind


@dataclass(frozen=True)
class Shutter:
    """A shutter: how long each row is open, and how long the opening takes to cross the frame.

    ``exposure_time`` [s] is the time each row is open. ``curtain_travel`` [s] is the time a curtain takes
    over the frame, the readout time of an electronic shutter, or the opening time of a leaf shutter (which
    closes as fast). ``kind`` is one of:

    - ``"focal_plane"``: two curtains at one even speed;
    - ``"electronic"``: rows read out one after another, the same algebra;
    - ``"leaf"``: blades in the lens; all rows at once; the exposure time is the effective one, counted
      from half open to half closed;
    - ``"open"``: held open in the dark; all rows at once; time 0 is when it is open, travel plays no part.
    """

    exposure_time: float
    curtain_travel: float = CURTAIN_TRAVEL
    kind: str = "focal_plane"

    def __post_init__(self) -> None:
        object.__setattr__(self, "exposure_time", one(EXPOSURE_TIME, self.exposure_time))
        object.__setattr__(self, "curtain_travel", one(TRAVEL, self.curtain_travel))
        KIND(self.kind)

    def open_interval(self, row: Number) -> tuple[Any, Any]:
        """Return when a row opens and when it closes [s], for one row or an array of rows from 0 to 1."""
        place = ROW(row)
        if self.kind == "open":
            opens = 0.0 * place
        elif self.kind == "leaf":
            opens = 0.0 * place + self.curtain_travel / 2
        else:
            opens = self.curtain_travel * place
        return opens, opens + self.exposure_time

    @property
    def fully_open(self) -> tuple[float, float] | None:
        """From when to when [s] the whole frame is open at once, or None if it never is."""
        first = 0.0 if self.kind == "open" else self.curtain_travel
        return (first, self.exposure_time) if self.exposure_time > first else None

    @property
    def span(self) -> tuple[float, float]:
        """From the first row's opening to the last row's closing [s]: how long a burn must last."""
        return float(self.open_interval(0.0)[0]), float(self.open_interval(1.0)[1])


def row_light_share(curve: LightCurve, shutter: Shutter, row: Number, flash_start: Number | None = None) -> Any:
    """Return the share of a flash's light that falls while a row is open.

    .. math:: s(r) = F(t_{close}(r) - t_f) - F(t_{open}(r) - t_f)

    Parameters
    ----------
    curve : LightCurve
        The flash, with F the share of its light out so far [curve].
    shutter : Shutter
        The shutter [shutter].
    row : float or array
        Place along the curtain travel, 0 uncovered first, to 1 [1].
    flash_start : float, array or None
        First light after the first curtain starts, t_f; None for the arrival of the first curtain [s].

    Returns
    -------
    float or array
        Share of the flash's own light, from 0 to 1 [1].

    Raises
    ------
    ValueError
        If the curve or the shutter is something else, or a number lies out of range.

    Notes
    -----
    Valid for a curtain of even speed. Without a start the flash begins when the first curtain arrives (time
    0 for an open shutter). A pulsed burn wants ``flash_start=0``, before the slit sets out. Rows shut first
    lose the tail of a long flash.

    Examples
    --------
    >>> from splashkit.flash import exponential
    >>> round(float(row_light_share(exponential(0.000434294), Shutter(0.004, 0.003), 0.0)), 3)
    0.9

    References
    ----------
    Derived here.
    """
    check_kind(curve, LightCurve, "flash", "flash.light_curve('quench', 0.5)")
    check_kind(shutter, Shutter, "shutter", "sync.Shutter(0.004)")
    opens, closes = shutter.open_interval(row)
    arrival = 0.0 if shutter.kind == "open" else shutter.curtain_travel
    opens, closes, start = broadcast(
        row=opens, closing=closes, flash_start=FLASH_START(arrival if flash_start is None else flash_start)
    )
    return (curve.cumulative(closes - start) - curve.cumulative(opens - start))[()]
