"""The thick edge of a film: half a ring with a bead wherever a finger stands."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from splashkit.picture.facets import facet_index
from splashkit.picture.fringe import beads
from splashkit.picture.ink import TINY, View, blend, single, unit


@dataclass(frozen=True)
class Rim:
    """Half of a film's thick edge: the far half (painted first) or the near half, with its beads."""

    film: Any
    near: bool
    name: str = ""
    reflects: bool = False

    @property
    def side(self) -> float:
        """Distance of the axis to the right [m]."""
        return float(self.film.side)

    def fastest(self, t: Any) -> Any:
        """Speed of the rim [m/s]."""
        return self.film.fastest(t)

    def window(self, low: float, high: float) -> tuple[float, float]:
        """Times from and to which it can be seen."""
        return self.film.start, self.film.end

    def extent(self, t: Any, sine: float = 0.36) -> tuple[Any, Any, Any]:
        """Half width, lowest and highest point at each instant; the halves meet at the rim's height."""
        radius, height, thick = self.film.rim(t)
        reach, out = self.film.points(t)
        outer = sine * radius + 2 * thick
        return (
            np.where(self.film.there(t), radius * (1.02 + out) + 2 * thick, -1.0),
            height - (outer if self.near else 0),
            height + reach + (0 if self.near else outer),
        )

    def paint(self, work: Any, x: Any, z: Any, t: Any, view: View) -> None:
        """Paint a bent tube: dark along both edges, bright along its middle, like a drop drawn out."""
        radius, height, thick = self.film.rim(t)
        x = x - np.float32(self.film.side)
        wide = single(radius)
        bead = beads(x / wide, self.film.beads, self.near)
        reach, out = self.film.points(t)
        inverse = 1 / (wide * (1 + np.float32(out) * (bead - np.float32(0.3))))
        flat = single(1 / np.maximum(radius * view.sine, 0.5 * thick))
        tube = single(thick) * (np.float32(0.8) + np.float32(0.5) * bead)
        up = single(z - height) - single(reach) * bead
        # the ring is the ellipse in which across and up are one; its slope turns offsets into distances
        across, along = x * inverse, up * flat
        ring = np.sqrt(across * across + along * along) + np.float32(1e-6)
        across *= inverse
        along *= flat
        steep = np.sqrt(across * across + along * along) + np.float32(TINY)
        off = (ring - 1) * ring / steep
        # beside the ring's ends that distance comes out too short
        far = np.maximum(np.abs(off), np.abs(x) - wide * np.float32(1 + out))
        cover = unit((tube - far) * np.float32(1 / view.pixel) + np.float32(0.5))
        half = unit(up * np.float32(-1 / view.pixel if self.near else 1 / view.pixel) + np.float32(0.5))
        cover *= half * single(self.film.fade(t))
        if view.hidden is not None:
            cover *= 1 - view.hidden
        off /= tube * steep
        place = facet_index(off * across, off * along)
        shade = view.thin.take(place, axis=0, mode="clip")
        if view.mirror is not None:
            shade = shade * np.float32(view.mirror[0]) + view.mirror[1]
        blend(work, cover, shade)
