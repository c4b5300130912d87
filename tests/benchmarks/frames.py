"""The recorded frame against adding it up step by step; how its cost grows with pixels and with pulses."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from typing import Any

from brute_frame import brute_force

from benchmarks.timed import Growth, Row, growth, race, scaled
from splashkit import flash, picture, sync
from splashkit.figures.photograph import to_jpeg

CORNER = picture.collision(4e-3, 2.18, gap=0.069)
SIDE_ON = picture.Camera(0.9, aim=(0.0, 9e-3), elevation=math.radians(6), softness=False)
LEVEL = picture.Camera(1.0, softness=False)
BURN = flash.pulsed_burn(1 / 1000 + 3e-3, 40e3)
SLIT, SLOW = sync.Shutter(1 / 1000, 3e-3), sync.Shutter(1 / 125, 3e-3)
DROP = picture.falling_drop(4e-3, 2.2)
SHORT, FULL = flash.quench_controlled(1 / 64), flash.quench_controlled(1.0)
IN_BURN = {"flash_time": 0.0, "flash_level": 4.0}

# what: scene, camera, light, shutter, the rest; and the fewest steps of 50, 100, 200, 400, 1000 that bring brute force
# everywhere within 1/255 of what it gives with 2000
CASES: dict[str, tuple[Any, ...]] = {
    "drop, low power": (DROP, LEVEL, SHORT, SLOW, {"flash_time": 3e-3}, 50),
    "drop, full power": (DROP, LEVEL, FULL, SLOW, {"flash_time": 3e-3}, 200),
    "drop, room light": (DROP, LEVEL, None, SLOW, {"flash_time": 3e-3, "ambient": 1.0}, 200),
    "drop, 40 kHz burn": (DROP, LEVEL, BURN, SLIT, {**IN_BURN, "moment": -2e-3}, 400),
    "collision, low power": (CORNER, SIDE_ON, SHORT, SLOW, {"flash_time": 3e-3, "moment": CORNER.met + 4e-3}, 50),
    "collision, 40 kHz burn": (CORNER, SIDE_ON, BURN, SLIT, {**IN_BURN, "moment": CORNER.met + 2e-3}, 400),
}
QUICK = ("drop, low power", "collision, 40 kHz burn")
STEPS = 2000
BRUTE = (
    f"brute force, {STEPS} steps",
    "as the tests use it: each step painted whole, so many that none need be counted; some timed, scaled",
)
FEWEST = (
    "brute force, fewest steps",
    "50 to 400, for who knows beforehand how few bring each pixel within 1/255; nobody does; some timed, scaled",
)


def record(case: tuple[Any, ...]) -> Any:
    scene, camera, light, shutter, more, _ = case
    return picture.record(scene, camera, light, shutter, **more)


def brute(case: tuple[Any, ...], steps: int) -> Any:
    scene, camera, light, shutter, more, _ = case
    return brute_force(scene, camera, light, shutter, steps=steps, **more)


def of_size(scale: float) -> Callable[[], Any]:
    camera = picture.Camera(1.0, pixels=(int(640 * scale), int(427 * scale)), softness=False)
    return lambda: picture.record(DROP, camera, SHORT, SLOW)


def at_rate(rate: float) -> Callable[[], Any]:
    light = flash.pulsed_burn(1 / 1000 + 3e-3, rate)
    return lambda: picture.record(DROP, LEVEL, light, SLIT, flash_time=0.0, flash_level=4.0, moment=-2e-3)


def run(quick: bool) -> Iterator[Row | Growth]:
    """Compare each kind of frame, then grow."""
    few, many = (2, 6) if quick else (10, 50)
    for name in QUICK if quick else CASES:
        case = CASES[name]
        done = record(case)
        frame, jpeg = race(lambda case=case: record(case), lambda done=done: to_jpeg(done), quick=quick)
        what, below = f"frame: {name}", "writing the JPEG"

        def loop(steps: int, case: tuple[Any, ...] = case) -> Any:
            return brute(case, steps)

        yield Row(what, frame, scaled(loop, few, many, STEPS), *BRUTE, jpeg, below, wanted=300, least=60)
        if not quick:
            yield Row(what, frame, scaled(loop, few, many, case[-1]), *FEWEST, jpeg, below, least=10)
    scales = (0.25, 0.5, 0.75, 1.0) if quick else (0.5, 1, 2, 4)
    pixels = [int(640 * scale) * int(427 * scale) for scale in scales]
    times = race(*(of_size(scale) for scale in scales), quick=quick)
    yield Growth("frame of one drop", "pixels", tuple(pixels), tuple(times), 0.0, 1.3)
    rates = (5e3, 20e3, 40e3, 80e3)
    yield growth("frame in a pulsed burn", "pulses a second", rates, at_rate, -0.3, 0.3, quick)
