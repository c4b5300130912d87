"""How a body of water is laid over the picture: its outline, the facet each pixel looks at, its shade.

A body is described by Q(z, t): the square of its radius at height z, let run below zero past its ends.
From Q follow, without any special case, the distance of a pixel to the outline (so edges are smooth over
one pixel), and the normal of the facet a pixel looks at (so one table of facets shades everything).
``x`` is a row of distances from the frame's axis, ``z`` a column of heights, ``t`` the instant of each line,
shaped to go with them. Painting changes ``work`` in place. Heights count from the still water; SI.
"""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np

from splashkit.picture.facets import facet_index

TINY = 1e-12


class View(NamedTuple):
    """What painting needs to know: pixel width on the subject, slope of the view, tables of facets, mirror."""

    pixel: float
    sine: float
    solid: Any = None  # shade of solid facets
    film: tuple[Any, ...] = ()  # what facets of a film take from the light behind them, and their own light
    mirror: tuple[float, Any] | None = None  # strength of the reflection in the water, and what else shows there
    small: Any = None  # shade of solid facets, averaged for fingers and droplets
    thin: Any = None  # shade of solid facets, averaged for tubes a few pixels thick
    upright: Any = None  # shade of solid facets that stand, which see what is behind them at their own height
    water: Any = None  # shade of facets of the water's surface
    hidden: Any = None  # what a nearer body covers
    edge: float = -np.inf  # height at which the water's far edge shows


def single(values: Any) -> Any:
    """Positions are worked out in double precision, pixels in single."""
    return np.asarray(values, dtype=np.float32)


def unit(values: Any) -> Any:
    """Hold values between 0 and 1; quicker than np.clip on small arrays."""
    return np.minimum(np.maximum(values, np.float32(0)), np.float32(1))


def blend(work: Any, cover: Any, shade: Any) -> None:
    """Lay a shade over the picture where it covers."""
    if work.ndim == 3:
        cover = cover[..., None]
    work += cover * (shade - work)


def outline(x: Any, q: Any, slope: Any, pixel: float, soft: Any = 1.0) -> Any:
    """Share of each pixel inside the body, from the distance to its outline to first order."""
    x2 = x * x
    far = np.sqrt(4 * x2 + slope * slope) + np.float32(TINY)
    cover = (q - x2) / far
    cover *= np.float32(1 / pixel) / single(soft)
    cover += np.float32(0.5)
    return unit(cover)


def facets(x: Any, q: Any, slope: Any) -> Any:
    """Place in the facet table of what each pixel looks at."""
    long = 1 / np.sqrt(np.maximum(q + 0.25 * slope * slope, np.float32(TINY)))
    return facet_index(x * long, -0.5 * slope * long)


def ink_solid(
    x: Any, q: Any, slope: Any, view: View, z: Any, keep: Any = None, upright: bool = False
) -> tuple[Any, Any]:
    """What a refracting body, or its mirror image in the water, covers, and with which shade."""
    soft = 1.0 if view.mirror is None else 1.5 + 0.12 * z / view.pixel
    cover = outline(x, q, slope, view.pixel, soft)
    if keep is not None:
        cover *= keep
    place = facets(x, q, slope)
    if upright and view.upright is not None:
        shade = view.upright.take(place, axis=0, mode="clip")
        dim = 1 - np.float32(0.36) * unit(np.float32(0.5) + single(view.edge - z) / np.float32(2.5e-3))
        shade *= dim if shade.ndim == 2 else dim[..., None]
    else:
        shade = view.solid.take(place, axis=0, mode="clip")
    if view.mirror is not None:
        shade = shade * np.float32(view.mirror[0]) + view.mirror[1]
    return cover, shade
