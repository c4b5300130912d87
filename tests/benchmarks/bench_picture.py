"""The recorded frame against adding it up step by step; how its cost grows; its memory.

Run: python tests/benchmarks/bench_picture.py [--quick]
Prints one JSON object. Times are medians of processor seconds, in ms, from settings to JPEG bytes.
"""

from __future__ import annotations

import json
import math
import statistics
import sys
import time
import tracemalloc
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from brute_frame import brute_force, differences

from splashkit import flash, picture, sync
from splashkit.figures.photograph import to_jpeg

STEPS = 400 if "--quick" in sys.argv else 2000
CORNER = picture.collision(4e-3, 2.18, gap=0.069)
SIDE_ON = picture.Camera(0.9, aim=(0.0, 9e-3), elevation=math.radians(6), softness=False)
LEVEL = picture.Camera(1.0, softness=False)
BURN = flash.pulsed_burn(1 / 1000 + 3e-3, 40e3)
SLIT = sync.Shutter(1 / 1000, 3e-3)
SLOW = sync.Shutter(1 / 125, 3e-3)
DROP = picture.falling_drop(4e-3, 2.2)

CASES = {
    "one drop, low power": (DROP, LEVEL, flash.quench_controlled(1 / 64), SLOW, {"flash_time": 3e-3}),
    "one drop, full dump": (DROP, LEVEL, flash.quench_controlled(1.0), SLOW, {"flash_time": 3e-3}),
    "one drop, room light": (DROP, LEVEL, None, SLOW, {"flash_time": 3e-3, "ambient": 1.0}),
    "one drop, 40 kHz burn": (
        DROP, LEVEL, BURN, SLIT, {"flash_time": 0.0, "flash_level": 4.0, "moment": -2e-3},
    ),
    "collision, low power": (
        CORNER, SIDE_ON, flash.quench_controlled(1 / 64), SLOW, {"flash_time": 3e-3, "moment": CORNER.met + 4e-3},
    ),
    "collision, 40 kHz burn": (
        CORNER, SIDE_ON, BURN, SLIT, {"flash_time": 0.0, "flash_level": 4.0, "moment": CORNER.met + 2e-3},
    ),
}  # fmt: skip


def timed(work, repeats=15):
    """Median of processor time and of wall time [ms], after one call that fills the caches."""
    work()
    processor, wall = [], []
    for _ in range(repeats):
        started, clock = time.process_time(), time.perf_counter()
        work()
        processor.append(time.process_time() - started)
        wall.append(time.perf_counter() - clock)
    return round(1e3 * statistics.median(processor), 2), round(1e3 * statistics.median(wall), 2)


def measure(case):
    """One case against brute force."""
    scene, camera, light, shutter, more = case
    screen, wall = timed(lambda: to_jpeg(picture.record(scene, camera, light, shutter, **more)))
    frame, _ = timed(lambda: picture.record(scene, camera, light, shutter, **more))
    started = time.process_time()
    slow = brute_force(scene, camera, light, shutter, steps=STEPS, **more)
    brute = 1e3 * (time.process_time() - started) * 2000 / STEPS
    mean, largest = differences(picture.record(scene, camera, light, shutter, **more).linear, slow)
    return {
        "to_screen_ms": screen,
        "to_screen_wall_ms": wall,
        "frame_ms": frame,
        "brute_force_ms": round(brute),
        "ratio": round(brute / frame),
        "mean_difference_255": round(mean, 4),
        "largest_difference_255": round(largest, 2),
    }


def main():
    result = {"steps": STEPS, "cases": {}}
    for name, case in CASES.items():
        result["cases"][name] = measure(case)
        print(name, result["cases"][name], file=sys.stderr)

    growth = {}
    for scale in (0.5, 1, 2, 3):
        camera = picture.Camera(1.0, pixels=(int(640 * scale), int(427 * scale)), softness=False)
        growth[f"{camera.pixels[0]}x{camera.pixels[1]}"] = timed(
            lambda camera=camera: picture.record(DROP, camera, CASES["one drop, low power"][2], SLOW), 7
        )[0]
    result["pixels_ms"] = growth
    pulses = {}
    for rate in (5e3, 20e3, 40e3, 80e3):
        light = flash.pulsed_burn(1 / 1000 + 3e-3, rate)
        pulses[f"{rate / 1e3:g} kHz"] = timed(
            lambda light=light: picture.record(DROP, LEVEL, light, SLIT, **CASES["one drop, 40 kHz burn"][4])
        )[0]
    even = flash.rectangular(1 / 1000)  # one flash that lasts as long as a row of the burn
    pulses["one flash as long as a row"] = timed(lambda: picture.record(DROP, LEVEL, even, SLOW))[0]
    result["burn_ms"] = pulses

    tracemalloc.start()
    scene, camera, light, shutter, more = CASES["collision, 40 kHz burn"]
    to_jpeg(picture.record(scene, camera, light, shutter, **more))
    result["peak_memory_mb"] = round(tracemalloc.get_traced_memory()[1] / 1e6, 1)
    tracemalloc.stop()
    print(json.dumps(result, indent=1))


if __name__ == "__main__":
    main()
