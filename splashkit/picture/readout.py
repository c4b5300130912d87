"""Measuring a frame as one would on a screen: widths, lengths, slant; from its pixels alone.

A frame is set against its empty plate (the same shot with nothing in it), as one divides by a flat field. What is
darker than the plate is the drop. A drop of ink (``Look(colour=(0, 0, 0))``) against a narrow backlight is measured
best: a clear one is bright inside, so only its outline and its slant can be trusted, and a wide panel mirrors in the
last per cent of the rim. Lengths are on the subject, in metres.
"""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np

from splashkit.checks import Choice, require, shown
from splashkit.picture.frame import Frame

SIDE = Choice("edge of the drop", ("top", "bottom", "left", "right"))


class Size(NamedTuple):
    """Height and width of the drop's image [m], and where its middle lies, in pixels from the top left."""

    height: float
    width: float
    middle: tuple[float, float]


def darkness(frame: Frame) -> Any:
    """Share of the plate's light that is missing, 0 where nothing is."""
    require(isinstance(frame, Frame), "frame", shown(frame), "a recorded frame", "use picture.record first")
    linear, plate = frame.linear, frame.plate
    if linear.ndim == 3:
        linear, plate = linear.mean(axis=2), plate.mean(axis=2)
    dark = plate < 1e-3 * max(float(plate.max()), 1e-12)
    return np.where(dark, 0.0, 1 - linear / np.where(dark, 1.0, plate)).astype(float)


def drop_in(frame: Frame) -> tuple[Any, tuple[float, float]]:
    missing = darkness(frame)
    weight = np.where(np.abs(missing) > 0.02 * np.abs(missing).max(), np.abs(missing), 0.0)
    total = float(weight.sum())
    require(
        total > 0 and np.abs(missing).max() > 1e-3, "frame", "an empty one", "one with a drop in it",
        "see frame.note for where the drop was",
    )  # fmt: skip
    rows, columns = weight.shape
    middle = float(weight.sum(axis=1) @ np.arange(rows) / total), float(weight.sum(axis=0) @ np.arange(columns) / total)
    return missing, middle


def _profile(missing: Any, at: float, down: bool) -> Any:
    """Darkness along a line through the drop, between the two nearest lines of pixels."""
    size = missing.shape[1 if down else 0]
    low = int(np.clip(np.floor(at), 0, size - 2))
    part = at - low
    first, second = (missing[:, low], missing[:, low + 1]) if down else (missing[low], missing[low + 1])
    return first + part * (second - first)


def _rise(profile: Any, level: float) -> float:
    """Place where a profile first passes a level, between pixels."""
    k = int(np.argmax(profile >= level))
    if k == 0:
        return 0.0
    before, after = float(profile[k - 1]), float(profile[k])
    return k - 1 + (level - before) / (after - before)


def _crossings(profile: Any, share: float) -> tuple[float, float]:
    """First and last place where a profile passes a share of its peak."""
    level = share * float(profile.max())
    return _rise(profile, level), profile.size - 1 - _rise(profile[::-1], level)


def row_height(frame: Frame) -> float:
    return frame.camera.pixel / float(np.cos(frame.camera.elevation))


def size(frame: Frame) -> Size:
    """Measure the height and the width of the drop's image, at half of its darkness.

    .. math:: h = y_2 - y_1 \\quad \\text{where the darkness passes half of its peak}

    Parameters
    ----------
    frame : Frame
        A frame with one drop in it [any].

    Returns
    -------
    Size
        Height, width and middle.

    Raises
    ------
    ValueError
        If the frame is empty.

    Notes
    -----
    Valid for one drop that blurs by less than its own size.

    Examples
    --------
    >>> from splashkit import flash, picture, sync
    >>> ink = picture.Look(colour=(0, 0, 0))
    >>> shot = picture.record(
    ...     picture.falling_drop(4e-3, 2, look=ink),
    ...     picture.Camera(),
    ...     flash.rectangular(1e-5),
    ...     sync.Shutter(1 / 125),
    ...     lighting=picture.Lighting(half_angle=0.05),
    ... )
    >>> round(size(shot).height * 1e3, 1), round(size(shot).width * 1e3, 1)
    (4.0, 4.0)

    References
    ----------
    House definition; derived here.
    """
    missing, (_, column) = drop_in(frame)
    top, bottom = _crossings(_profile(missing, column, True), 0.5)
    # the row through the middle of the outline, not of the darkness
    left, right = _crossings(_profile(missing, 0.5 * (top + bottom), False), 0.5)
    return Size(
        (bottom - top) * row_height(frame),
        (right - left) * frame.camera.pixel,
        (0.5 * (top + bottom), 0.5 * (left + right)),
    )


def height_to_width(frame: Frame) -> float:
    """Measure how much the drop is squashed or stretched: its height over its width.

    .. math:: q = h / w

    Parameters
    ----------
    frame : Frame
        A frame with one drop in it [any].

    Returns
    -------
    float
        1 for a round drop, below 1 squashed, above 1 stretched.

    Raises
    ------
    ValueError
        If the frame is empty.

    Notes
    -----
    Valid for one drop that blurs by less than its own size.

    Examples
    --------
    >>> from splashkit import flash, picture, sync
    >>> shot = picture.record(
    ...     picture.falling_drop(4e-3, 2), picture.Camera(), flash.rectangular(1e-5), sync.Shutter(1 / 125)
    ... )
    >>> round(height_to_width(shot), 2)
    1.0

    References
    ----------
    House definition; derived here.
    """
    measured = size(frame)
    return measured.height / measured.width


def edge_width(frame: Frame, side: str = "top") -> float:
    """Measure how soft an edge of the drop is: from 10 to 90 % of the darkness inside.

    .. math:: e = |y_{90} - y_{10}|

    Parameters
    ----------
    frame : Frame
        A frame with one dark drop in it [any].
    side : str
        ``'top'``, ``'bottom'``, ``'left'`` or ``'right'`` [word].

    Returns
    -------
    float
        Width of the edge on the subject [m].

    Raises
    ------
    ValueError
        If the frame is empty or the side is not one of the four.

    Notes
    -----
    Valid for an opaque drop that blurs by less than its own size. A sharp edge measures about one pixel.

    Examples
    --------
    >>> from splashkit import flash, picture, sync
    >>> ink = picture.Look(colour=(0, 0, 0))
    >>> shot = picture.record(
    ...     picture.falling_drop(4e-3, 2, look=ink), picture.Camera(), flash.rectangular(1e-3), sync.Shutter(1 / 125)
    ... )
    >>> round(edge_width(shot, "top") * 1e3, 1)  # 0.8 of 2 m/s x 1 ms
    1.6

    References
    ----------
    House definition; derived here.
    """
    SIDE(side)
    missing, (row, column) = drop_in(frame)
    down = side in ("top", "bottom")
    profile = _profile(missing, column if down else row, down)
    if side in ("bottom", "right"):
        profile = profile[::-1]
    # full darkness: the median of the darkest tenth, so that one bright speck does not matter
    full = float(np.median(np.sort(profile)[-max(3, int(0.1 * np.sum(profile > 0.5 * profile.max()))) :]))
    pixels = _rise(profile, 0.9 * full) - _rise(profile, 0.1 * full)
    return pixels * (row_height(frame) if down else frame.camera.pixel)


def streak_length(frame: Frame) -> float:
    """Measure the length of a streak along the fall, at half of its darkness.

    .. math:: s = y_2 - y_1, \\qquad s = \\max(d, vT) \\text{ for even light}

    Parameters
    ----------
    frame : Frame
        A frame with one drop in it [any].

    Returns
    -------
    float
        Length on the subject [m].

    Raises
    ------
    ValueError
        If the frame is empty.

    Notes
    -----
    Valid for an opaque drop that stays inside the frame. Below its own size the drop's height is returned.

    Examples
    --------
    >>> from splashkit import flash, picture, sync
    >>> ink = picture.Look(colour=(0, 0, 0))
    >>> shot = picture.record(
    ...     picture.falling_drop(2e-3, 2, 8e-3, look=ink),
    ...     picture.Camera(),
    ...     flash.rectangular(4e-3),
    ...     sync.Shutter(1 / 60),
    ... )
    >>> round(streak_length(shot) * 1e3, 1)
    8.0

    References
    ----------
    House definition; derived here.
    """
    missing, (_, column) = drop_in(frame)
    top, bottom = _crossings(_profile(missing, column, True), 0.5)
    return (bottom - top) * row_height(frame)


def slant(frame: Frame) -> float:
    """Measure how far a drop leans: the angle by which level lines through it have turned.

    .. math:: \\tan\\theta = \\mu_{xy} / \\mu_{xx}

    Parameters
    ----------
    frame : Frame
        A frame with one drop in it [any].

    Returns
    -------
    float
        Angle, positive when the right side is lower [rad].

    Raises
    ------
    ValueError
        If the frame is empty.

    Notes
    -----
    Valid for a round drop sheared along the fall, as a slit that crosses it sideways does. Each column of pixels is
    taken from its outermost dark place to the other.

    Examples
    --------
    >>> from splashkit import flash, picture, sync
    >>> shot = picture.record(
    ...     picture.falling_drop(4e-3, 2), picture.Camera(), flash.rectangular(1e-5), sync.Shutter(1 / 125)
    ... )
    >>> abs(slant(shot)) < 0.01
    True

    References
    ----------
    Second moments of an area; derived here.
    """
    missing, _ = drop_in(frame)
    level = 0.5 * float(missing.max())
    columns = np.flatnonzero(missing.max(axis=0) >= level)
    spans = np.array([_columns_span(missing[:, c], level) for c in columns])
    x = (columns - columns.mean()) * frame.camera.pixel
    middle, length = spans.mean(axis=1) * row_height(frame), spans[:, 1] - spans[:, 0]
    x = x - np.average(x, weights=length)
    return float(np.arctan(np.average(x * middle, weights=length) / np.average(x * x, weights=length)))


def _columns_span(column: Any, level: float) -> tuple[float, float]:
    return _rise(column, level), column.size - 1 - _rise(column[::-1], level)


def bright_share(frame: Frame) -> float:
    """Measure how far out a clear drop is filled with light, as a share of its radius.

    .. math:: b/R

    Parameters
    ----------
    frame : Frame
        A sharp frame of one clear drop [any].

    Returns
    -------
    float
        Bright radius over radius, along the level line through the middle.

    Raises
    ------
    ValueError
        If the frame is empty.

    Notes
    -----
    Valid for a drop that stands sharp, some hundred pixels wide, lit from behind by a panel of 10-50 degrees
    half-angle.

    Examples
    --------
    >>> from splashkit import flash, picture, sync
    >>> shot = picture.record(
    ...     picture.falling_drop(4e-3, 2), picture.Camera(3.0), flash.rectangular(1e-6), sync.Shutter(1 / 125),
    ...     lighting=picture.Lighting(half_angle=0.5236),
    ... )
    >>> round(bright_share(shot), 2)
    0.77

    References
    ----------
    House definition; derived here.
    """
    measured = size(frame)
    missing = darkness(frame)
    profile = _profile(missing, measured.middle[0], False)
    middle, radius = measured.middle[1], 0.5 * measured.width / frame.camera.pixel
    reach: list[float] = []
    for part in (profile[: int(middle) + 1][::-1], profile[int(middle) + 1 :]):
        inside = part[: int(radius) + 1]
        start = middle - int(middle) if not reach else int(middle) + 1 - middle
        floor = float(np.median(inside[: max(3, int(0.1 * radius))]))
        reach.append(start + _rise(inside, 0.5 * (floor + float(inside.max()))))
    return float(np.mean(reach) / radius)
