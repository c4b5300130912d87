"""A million falls in one call."""

import time

import numpy as np

from splashkit import drops

FALLS, SECONDS = 1_000_000, 0.3


def test_a_million_falls():
    """Heights and diameters all different; counted in processor seconds, so that a busy machine does not matter."""
    random = np.random.default_rng(1)
    height, diameter = random.uniform(0.1, 1.5, FALLS), random.uniform(2e-3, 6e-3, FALLS)
    spent = []
    for _ in range(3):
        start = time.process_time()
        drops.fall(height, diameter)
        spent.append(time.process_time() - start)
    print(f"a million falls: {min(spent):.3f} s of processor time")
    assert min(spent) < SECONDS
