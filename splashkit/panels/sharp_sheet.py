"""Lesson 05's photographs of a whole sheet: each part of it blurred by its own distance from the focused plane.

The recorded frame blurs by one plane alone. A sheet is as deep as it is wide, so its parts are recorded one by one,
sharp, and blurred each by its distance: far edge, middle with the column, near edge. Light that passes one part goes
on to the next, so what each part lets through is multiplied.
"""

from __future__ import annotations

import math
from dataclasses import replace
from functools import lru_cache
from typing import Any, NamedTuple

import numpy as np

from splashkit import flash, lens, picture, sync
from splashkit.picture.column import Column
from splashkit.picture.films import Sheet, layers
from splashkit.picture.paint import soften

GROWN = 0.05  # s: so long ago the sheet was made; slow enough that only its own speed moves it
BELL = 0.35  # how far the edge hangs below the middle, as a share of the radius: drawn, not predicted
STEPS = 4  # distances at which an edge is blurred; in between they are mixed
LEAST, MOST = 0.25, 40.0  # pixels: a smaller spread cannot be seen, and a larger one leaves nothing to see
SHUTTER = sync.Shutter(0.5, kind="open")
FIRES = 0.1  # s after the shutter opened


class Wanted(NamedTuple):
    """What the photographs depend on, in SI."""

    radius: float
    height: float
    diameter: float
    speed: float
    duration: float
    offset: float  # of the middle, behind the focused plane
    bowl: float
    f_number: float
    magnification: float
    pupil_ratio: float
    focal_length: float
    elevation: float


@lru_cache(maxsize=32)
def photograph(wanted: Wanted, field: float, pixels: tuple[int, int]) -> bytes:
    """Record the sheet in a frame so wide [m], its edge at the middle of the frame, as JPEG bytes."""
    from splashkit.figures.base import jpeg_bytes

    # lens and focus change nothing in the sharp parts: they are kept while these are moved
    bare = wanted._replace(offset=0.0, f_number=11.0, pupil_ratio=1.0, focal_length=0.1)
    far, middle, near = _sharp(bare, field, pixels)
    camera = far.camera
    out = far.plate * soften(_through(middle), _spread(wanted, wanted.offset, camera))
    # a ring lies deepest before and behind the axis; at its sides it is as near as the middle
    reach = np.sqrt(np.maximum(1 - (camera.sideways() / wanted.radius) ** 2, 0)) * STEPS
    for frame, way in ((far, 1.0), (near, -1.0)):
        part, mixed = _through(frame), 0.0
        for step in range(STEPS + 1):
            away = wanted.offset + way * step / STEPS * wanted.radius * math.cos(wanted.elevation)
            weight = np.maximum(1 - np.abs(reach - step), 0).astype(np.float32)
            mixed = mixed + weight * soften(part, _spread(wanted, away, camera))
        out *= mixed
    return jpeg_bytes(replace(far, linear=out).screen())


@lru_cache(maxsize=4)
def _sharp(wanted: Wanted, field: float, pixels: tuple[int, int]) -> tuple[picture.Frame, ...]:
    """Record far edge, middle and near edge, each alone and sharp."""
    long = min(max(field * wanted.magnification, 1.6e-3), 0.2)  # what a camera of ours may have
    camera = picture.Camera(
        wanted.magnification, sensor=(long, long * pixels[1] / pixels[0]), pixels=pixels, elevation=wanted.elevation,
        aim=(0.0, wanted.height), softness=False,
    )  # fmt: skip
    return tuple(_recorded(bodies, camera, wanted) for bodies in _parts(wanted))


def _parts(wanted: Wanted) -> tuple[tuple[Any, ...], ...]:
    """The bodies of far edge, middle and near edge at the moment zero."""
    radius, size = wanted.radius, wanted.diameter
    hang = max(BELL * radius, 0.16 * size)
    sag = (hang - 0.16 * size) / GROWN
    sink = max(wanted.speed - sag, 0.0)
    top = wanted.height + hang
    sheet = Sheet(
        start=-GROWN, end=5 * GROWN, height=top - 0.1 * size + sink * GROWN, drop_diameter=size, radius_max=radius,
        full_time=GROWN, sink=sink, sag=sag, beads=float(np.clip(2 * math.pi * radius / 3.5e-3, 6, 40)), sheds=False,
    )  # fmt: skip
    far, (wall, near, fringe) = layers(sheet)
    column = Column(
        start=-2 * GROWN, peak_time=0.0, end=2 * GROWN, peak_height=top, radius=0.22 * size, foot=0.3 * top,
        cap=(-GROWN, top, 0.0),
    )  # fmt: skip
    edge = (near, fringe) if radius > 1.5 * size else (near,)  # on a sheet that small, fingers are only lumps
    return (far,), (column, wall), edge


def _recorded(bodies: tuple[Any, ...], camera: picture.Camera, wanted: Wanted) -> picture.Frame:
    pulse = flash.exponential(wanted.duration / math.log(10))  # t0.1 of an even fading flash is so many time constants
    scene = picture.Scene(bodies, picture.Surface(wanted.bowl))
    return picture.record(scene, camera, pulse, SHUTTER, moment=0.0, flash_time=FIRES)


def _through(frame: picture.Frame) -> Any:
    return frame.linear / np.maximum(frame.plate, 1e-6)


def _spread(wanted: Wanted, away: float, camera: picture.Camera) -> float:
    """Spread of defocus and diffraction in pixels, as the recorded frame counts it."""
    lensed = wanted.f_number, wanted.magnification, wanted.pupil_ratio
    disc = lens.defocus_blur(away, wanted.focal_length, *lensed)
    width = np.hypot(disc / 4, 0.17 * lens.airy_diameter(*lensed))
    return min(max(float(width) / (camera.pixel * wanted.magnification), LEAST), MOST)
