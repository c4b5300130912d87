"""Measuring how light lies over a frame: its lines, the band that a curtain left dark, the ghost of room light."""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np

from splashkit.checks import Range
from splashkit.picture.frame import Frame
from splashkit.picture.readout import darkness, drop_in, row_height

SHARP = Range("height of the sharp image", "m", 0, 0.1, "give metres, such as the drop's 0.004")


class GhostSeen(NamedTuple):
    """Contrast of what shows above and below the sharp image, as a share of the plate."""

    above: float
    below: float


def line_levels(frame: Frame) -> Any:
    """Return how bright each line of the sensor came out, relative to the brightest, in picture order.

    .. math:: l_r = \\mathrm{median}_c\\, I(r, c) / \\max

    Parameters
    ----------
    frame : Frame
        Any frame [any].

    Returns
    -------
    array
        One level per row, or per column of a portrait picture.

    Raises
    ------
    ValueError
        If it is not a frame.

    Notes
    -----
    Valid for a background that is even to within the panel's own fall-off, which is divided out by the plate's
    middle line.

    Examples
    --------
    >>> from splashkit import flash, picture, sync
    >>> shot = picture.record(
    ...     picture.falling_drop(), picture.Camera(), flash.rectangular(1e-5), sync.Shutter(1 / 125)
    ... )
    >>> line_levels(shot).size
    427

    References
    ----------
    House definition; derived here.
    """
    darkness(frame)
    linear = frame.linear if frame.linear.ndim == 2 else frame.linear.mean(axis=2)
    levels = np.median(linear, axis=1 if frame.camera.lines_are_rows else 0)
    return levels / max(float(levels.max()), 1e-30)


def dark_band_share(frame: Frame) -> float:
    """Measure which share of the frame a closed curtain left dark.

    .. math:: b = \\#\\{r : l_r < \\tfrac12\\} / \\#r

    Parameters
    ----------
    frame : Frame
        Any frame [any].

    Returns
    -------
    float
        Share of the lines below half of the brightest, 0 to 1.

    Raises
    ------
    ValueError
        If it is not a frame.

    Notes
    -----
    Valid for a panel that falls off by less than half inside the frame.

    Examples
    --------
    >>> from splashkit import flash, picture, sync
    >>> shot = picture.record(
    ...     picture.falling_drop(), picture.Camera(), flash.rectangular(1e-5), sync.Shutter(1 / 500, 3e-3)
    ... )
    >>> round(dark_band_share(shot), 2)
    0.33

    References
    ----------
    House definition; derived here.
    """
    levels = line_levels(frame)
    return float(np.mean(levels < 0.5))


def ghost_contrast(frame: Frame, sharp: float) -> GhostSeen:
    """Measure the ghost that room light leaves above and below the sharp image.

    .. math:: c = 1 - I / I_{plate}

    Parameters
    ----------
    frame : Frame
        A frame with one drop in it [any].
    sharp : float
        Height of the sharp image, such as the drop's diameter [m].

    Returns
    -------
    GhostSeen
        Strongest darkening of the plate above and below, at least half a drop away from the sharp image.

    Raises
    ------
    ValueError
        If the frame is empty.

    Notes
    -----
    Valid for an opaque drop much darker in its sharp image than in its ghost.

    Examples
    --------
    >>> from splashkit import flash, picture, sync
    >>> ink = picture.Look(colour=(0, 0, 0))
    >>> shot = picture.record(
    ...     picture.falling_drop(2e-3, 2, look=ink),
    ...     picture.Camera(),
    ...     flash.rectangular(1e-5),
    ...     sync.Shutter(1 / 60, 1e-3, "leaf"),
    ...     ambient=0.5,
    ... )
    >>> seen = ghost_contrast(shot, 2e-3)
    >>> round(seen.below, 3), seen.above < 0.001  # 0.5 x (1 ms / 16.7 ms) / 1.5
    (0.02, True)

    References
    ----------
    House definition; derived here.
    """
    missing = darkness(frame)
    drop_in(frame)
    row, column = np.unravel_index(int(np.argmax(missing)), missing.shape)
    profile = missing[:, column]
    # the sharp image is the stretch above half of the peak around the darkest place
    strong = profile > 0.5 * profile[row]
    top = row - int(np.argmax(~strong[row::-1])) if not strong[: row + 1].all() else 0
    bottom = row + int(np.argmax(~strong[row:])) if not strong[row:].all() else profile.size
    away = int(np.ceil(0.5 * SHARP.one(sharp) / row_height(frame)))
    above, below = profile[: max(top - away, 0)], profile[bottom + away :]
    return GhostSeen(float(np.max(above, initial=0.0)), float(np.max(below, initial=0.0)))
