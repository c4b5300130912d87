"""The recorded frame the slow way: the whole picture painted at each of many equal steps of time.

It shares with the library only what a scene looks like at one instant; how light, shutter and motion are put
together is written out here again, plainly.
"""

from itertools import pairwise

import numpy as np

from splashkit import picture
from splashkit.picture.backdrop import backdrop
from splashkit.picture.paint import Painter, Task
from splashkit.picture.scene import Surface


def brute_force(scene, camera, light, shutter, *, moment=0.0, flash_time, flash_level=1.0, ambient=0.0, steps=2000):
    """Add the frame up over ``steps`` equal steps of each light's time."""
    lighting = picture.Lighting()
    painter = Painter(scene, camera, lighting)
    water = None if scene.surface is None else Surface(scene.surface.bowl_radius, round(max(moment, 0.0), 3))
    behind = backdrop(camera, lighting, scene.look, water)
    opens, closes = (np.asarray(edge) - flash_time for edge in shutter.open_interval(camera.lines()))
    frame = np.zeros(behind.shape)
    lights = []
    if light is not None:
        lights.append((light.cumulative, light.start, light.end, flash_level))
    if ambient:
        lights.append((lambda t: t / shutter.exposure_time, opens.min(), closes.max(), ambient))
    for cumulative, start, end, level in lights:
        first, last = max(start, opens.min()), min(end, closes.max())
        edges = np.linspace(first, last, steps + 1)
        for before, after in pairwise(edges):
            weight = cumulative(np.clip(after, opens, closes)) - cumulative(np.clip(before, opens, closes))
            weight = level * picture.WHITE * weight
            instant = np.array([moment + 0.5 * (before + after)])
            frame_now = painted(painter, behind, instant)
            frame += (weight[:, None] if camera.lines_are_rows else weight[None, :]) * frame_now
    return frame


def painted(painter, behind, instant):
    """The whole picture at one instant: column first, then the rest in order, then fingers and droplets."""
    work, hidden = behind.copy(), np.zeros(behind.shape, dtype=np.float32)
    every, below = slice(0, behind.shape[0]), slice(int(np.argmax(painter.z < 0)), behind.shape[0])
    across = slice(0, behind.shape[1])
    for slow in (True, False):
        tasks = []
        for mirrored in (True, False) if painter.mirror is not None else (False,):
            for body in painter.scene.bodies:
                there = body.extent(instant, painter.view.sine)[0][0] >= 0
                kind = type(body).__name__
                if there and kind != "Fringe" and (kind == "Column") is slow and (body.reflects or not mirrored):
                    tasks.append(Task(body, mirrored, below if mirrored else every, across, instant))
        painter.paint(work, (0, 0), tasks, hidden)
    painter.lay(work, painter.specks(instant.reshape(1, 1), hidden))
    return work


def differences(fast, slow):
    """Mean and largest difference in 1/255 of a full sensor; where the sensor is full both are."""
    apart = 255 * np.abs(np.minimum(fast, 1) - np.minimum(slow, 1))
    return float(apart.mean()), float(apart.max())
