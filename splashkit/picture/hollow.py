"""The crater: a bowl in the water's surface, as wide as the crown's foot, seen from a little above.

Only what a camera above the level can see is painted: its far wall and, from high enough, its floor. Each facet shows
the light it mirrors and what comes up out of the water; light that crosses the bowl twice is left out.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from splashkit.picture.facets import facet_index
from splashkit.picture.ink import TINY, View, blend, single, unit
from splashkit.splash import forms


@dataclass(frozen=True)
class Hollow:
    """A paraboloid: ``crown`` says how wide it is, the splash model's curve how deep, until the column comes."""

    crown: Any
    depth: float
    deepest: float
    start: float
    end: float
    side: float = 0.0
    name: str = ""
    reflects: bool = False

    def deep(self, t: Any) -> Any:
        """Depth of its floor below the level [m]."""
        late = np.minimum(np.maximum(t - self.start, 0), self.end - self.start)
        return -forms.surface_height(late, self.depth, self.deepest, self.end - self.start, 0.0, np.inf, np.inf, 1.0)

    def wide(self, t: Any) -> Any:
        """Radius at the level [m]."""
        return self.crown.base(np.maximum(t, self.crown.start))

    def there(self, t: Any) -> Any:
        """Whether it is there at each instant."""
        return (t > self.start) & (t < self.end)

    def fastest(self, t: Any) -> Any:
        """Speed of its edge [m/s]."""
        step = 2e-4
        return np.where(self.there(t), np.abs(self.wide(t + step) - self.wide(t - step)) / (2 * step), 0.0)

    def window(self, low: float, high: float) -> tuple[float, float]:
        """Times from and to which it can be seen."""
        return self.start, self.end

    def extent(self, t: Any, sine: float = 0.36) -> tuple[Any, Any, Any]:
        """Half width, lowest and highest point at each instant, as its opening looks."""
        wide = self.wide(t)
        return np.where(self.there(t), wide, -1.0), -wide * sine, wide * sine

    def paint(self, work: Any, x: Any, z: Any, t: Any, view: View) -> None:
        """Find the spot of the bowl that each pixel of its opening looks at, and the facet there."""
        sine = np.float32(max(view.sine, 1e-3))
        wide, deep = single(self.wide(t)), single(self.deep(t))
        x, up = x - np.float32(self.side), single(z)
        far = up / sine
        ring = np.sqrt(x * x + far * far) + np.float32(TINY)
        # distance to the edge of the opening, to first order
        steep = np.sqrt(x * x + (far / sine) ** 2) / ring
        cover = unit((wide - ring) / (np.maximum(steep, 1) * np.float32(view.pixel)) + np.float32(0.5))
        # a shallow dent is hardly seen
        cover *= unit(deep / np.float32(0.1 * self.depth)) * single(self.there(t))
        bend = deep / (wide * wide)
        rest = deep + up - bend * x * x
        away = 2 * rest / (sine + np.sqrt(np.maximum(sine * sine + 4 * bend * rest, 0)) + np.float32(TINY))
        # where it meets the level the bowl's lip is round: there it shows what the level water shows
        steep = 4 * bend * np.maximum(1 - (x * x + away * away) / (wide * wide), 0)
        nx, ny = -steep * x, -steep * away
        long = 1 / np.sqrt(1 + nx * nx + ny * ny)
        cosine = np.float32(np.sqrt(1 - view.sine**2))
        place = facet_index(nx * long, (ny * sine + cosine) * long)
        blend(work, cover, view.water.take(place, axis=0, mode="clip"))
