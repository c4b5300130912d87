"""What is behind the bodies: the panel out of focus, and the water's surface with its rings."""

from __future__ import annotations

from functools import lru_cache
from typing import Any

import numpy as np

from splashkit.picture.camera import Camera
from splashkit.picture.optics import fresnel
from splashkit.picture.scene import Surface
from splashkit.picture.shade import Lighting, Look, water_glow


@lru_cache(maxsize=2)  # 1 MB each
def backdrop(camera: Camera, lighting: Lighting, look: Look, surface: Surface | None) -> Any:
    """Return the luminance behind the bodies: the panel out of focus, and the water's surface with its rings."""
    x = camera.sideways()[None, :].astype(np.float32)
    z = camera.heights()[:, None].astype(np.float32)
    wide, high = camera.field
    half = np.float32(0.5 * np.hypot(wide, high))
    middle = np.float32(camera.aim[1])

    def panel(z: Any) -> Any:
        # the frame sees the middle three quarters of the panel, its upper part a little brighter
        u, v = 0.75 * (x - np.float32(camera.aim[0])) / half, 0.75 * (z - middle) / half
        far = u * u + v * v
        glow = np.float32(lighting.backlight) * (
            1 - np.float32(lighting.fall_off) * far * (np.float32(0.7) - np.float32(0.3) * v)
        )
        return np.maximum(glow, np.float32(lighting.surround))

    picture = panel(z) + np.zeros_like(x)
    if surface is not None:
        sine = float(max(np.sin(camera.elevation), 0.012))
        edge = np.float32(surface.bowl_radius * sine)
        seen = float(fresnel(np.pi / 2 - np.arcsin(sine)))
        soft = np.float32(max(0.10 * float(edge), 1.5 * camera.pixel))
        row = slice(int(np.searchsorted(-z[:, 0], -(edge + 4 * soft))), None)
        near = z[row]
        if near.size:
            ground = np.float32(-1 / sine) * near
            far = np.sqrt(x * x + ground * ground) + np.float32(1e-4)
            rings = np.zeros_like(far)
            if surface.rings_for > 0:
                front = 0.28 * surface.rings_for
                for length, size in ((0.0105, 0.16), (0.0058, 0.07)):
                    wave = np.float32(2 * np.pi / length) * (far - np.float32(front))
                    rings += np.float32(size) * np.sin(wave)
                rings *= (
                    (ground / far)
                    * np.exp(-far / np.float32(0.045))
                    * np.clip((np.float32(front + 0.01) - far) / np.float32(0.01), 0, 1)
                    * np.clip((far - np.float32(0.004)) / np.float32(0.01), 0, 1)
                )
            mirrored = panel(2 * edge - near)
            deep = np.float32(water_glow(lighting, look))
            water = np.float32(seen) * mirrored * (1 + rings) + np.float32(1 - seen) * deep
            share = np.clip((edge - near) / (2 * soft) + np.float32(0.5), 0, 1)
            share = share * share * (3 - 2 * share)
            # the far wall of the bowl: a soft dark line
            line = np.float32(0.22) * np.exp(-(((near - edge) / (np.float32(1.3) * soft)) ** 2))
            picture[row] = (picture[row] * (1 - share) + water * share) * (1 - line)
    picture = np.ascontiguousarray(picture, dtype=np.float32)
    picture.setflags(write=False)
    return picture
