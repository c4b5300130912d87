"""What a lens, a sensor and a camera position may be, said once for the rooms of ``lens``."""

from __future__ import annotations

import numpy as np

from splashkit.checks import Range

WAVELENGTH = 550e-9  # green, where the eye sees best [m]
BLUR_CIRCLE = 30e-6  # for a 36 x 24 mm picture: common practice, no source [m]

RANGES = {
    "focal_length": Range("focal length", "m", 0.003, 3, "give metres: a 100 mm lens is 0.1"),
    "f_number": Range("f-number", "1", 0.5, 256, "give the number on the lens, such as 11"),
    "magnification": Range("magnification", "1", 1e-4, 20, "give image size over subject size, such as 0.5"),
    "any_magnification": Range("magnification", "1", 0, 20, "give image size over subject size, or 0 for far away"),
    "pupil_ratio": Range("pupil ratio", "1", 0.05, 20, "give exit pupil over entrance pupil; 1 if unknown"),
    "blur_circle": Range("largest blur allowed on the sensor", "m", 1e-7, 1e-3, "give metres: 30 µm is 0.00003"),
    "wavelength": Range("wavelength", "m", 300e-9, 1200e-9, "give metres: green light is 550e-9"),
    "format_size": Range("size of the sensor", "m", 1e-3, 0.5, "give metres: a 36 mm wide sensor is 0.036"),
    "field": Range("width of the view", "m", 1e-4, 100, "give metres: 7 cm is 0.07"),
    "pixel_pitch": Range("pixel pitch", "m", 2e-7, 1e-3, "give metres: 4 µm is 0.000004"),
    "distance": Range("distance to the subject", "m", 1e-3, 1000, "give metres: 40 cm is 0.4"),
    "speed": Range("speed", "m/s", 0, 1000, "give metres a second, such as 2.2"),
    "light_time": Range("time the light lasts", "s", 0, 86400, "give seconds: 50 µs is 0.00005"),
    "drop_diameter": Range("drop diameter", "m", 1e-4, 0.05, "give metres: a 4 mm drop is 0.004"),
    "depth": Range("depth wanted sharp", "m", 1e-7, 10, "give metres: 5 mm is 0.005"),
    "offset": Range("distance behind the focus plane", "m", -10, 1000, "give metres; nearer things are negative"),
    "blur": Range("blur on the sensor", "m", 0, np.inf, "give metres: 30 µm is 0.00003"),
    "angle": Range("angle off the lens axis", "rad", 0, np.pi / 2, "give radians: 20° is 0.349", open_high=True),
    "elevation": Range("height angle of the camera", "rad", 0, np.pi / 2, "give radians: 15° is 0.262; level is 0"),
    "tilted": Range("height angle of the camera", "rad", 0, np.pi / 2, "tilt it: 15° is 0.262", open_low=True),
    "leaning": Range("height angle of the camera", "rad", 0, np.pi / 2, "give less than 90°", open_high=True),
    "height": Range("height", "m", -2, 10, "give metres: 3 cm is 0.03"),
    "tall": Range("height", "m", 0, 10, "give metres, 0 or more: 3 cm is 0.03"),
    "behind": Range("distance behind the focus target", "m", -10, 10, "give metres; nearer things are negative"),
    "radius": Range("radius of the splash", "m", 0, 5, "give metres: 2 cm is 0.02"),
}
