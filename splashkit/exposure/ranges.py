"""What exposure may be asked about, said once, and the constants of the exposure standards."""

from __future__ import annotations

import numpy as np

from splashkit.checks import Choice, Range

# ISO 2720:1974: K from 10.6 to 13.4, C (flat receptor) from 240 to 400; the common values are used here
REFLECTED_CONSTANT = 12.5  # K [cd s/m2 at ISO 1]
INCIDENT_CONSTANT = 250.0  # C [lx s at ISO 1]
# ISO 12232: sensor exposure at saturation, and at the mid-grey of the standard output sensitivity [lx s at ISO 1]
SATURATION_CONSTANT = 78.0
OUTPUT_CONSTANT = 10.0
CLIP_LEVEL = SATURATION_CONSTANT / OUTPUT_CONSTANT  # white clips at this many times mid-grey: 2.96 stops over
LENS_CONSTANT = 0.65  # ISO 12232: q = (pi/4) 0.90 0.98 cos(10 deg)^4 = 0.6516, rounded there to 0.65
DARK_ENOUGH = 6.0  # stops under at which the room no longer shows: 5 to 7 by common practice, no source

RANGES = {
    "f_number": Range("f-number", "1", 0.5, 256, "give the number on the lens, such as 11"),
    "exposure_time": Range("exposure time", "s", 1e-6, 86400, "give seconds: 1/250 s is 0.004"),
    "iso": Range("ISO speed", "1", 1, 1e7, "give the ISO setting, such as 100"),
    "illuminance": Range("light on the subject", "lx", 0, 1e10, "give lux: a lit room has about 100 to 500"),
    "bright_illuminance": Range("light on the subject", "lx", 0, 1e10, "give lux above 0, such as 100", open_low=True),
    "luminance": Range("brightness of the subject", "cd/m2", 0, 1e10, "give cd/m2 above 0, such as 10", open_low=True),
    "ev100": Range("exposure value at ISO 100", "EV", -30, 30, "give a number such as 7 for a lit room"),
    "guide_number": Range("guide number", "m", 0.01, 1000, "give metres at ISO 100; feet are divided by 3.28"),
    "distance": Range("distance from flash to subject", "m", 0.005, 200, "give metres: 40 cm is 0.4"),
    "power": Range("flash power", "1", 0, 1, "give the share of full power: 1/16 is 0.0625", open_low=True),
    "power_or_off": Range("flash power", "1", 0, 1, "give the share of full power, or 0 for a flash that is off"),
    "magnification": Range("magnification", "1", 0, 20, "give image size over subject size, such as 0.5"),
    "pupil_ratio": Range("pupil ratio", "1", 0.05, 20, "give exit pupil over entrance pupil; 1 if unknown"),
    "loss": Range("light loss", "stop", 0, 60, "give stops lost, 0 or more"),
    "stops": Range("number of stops", "stop", -60, 60, "give stops, such as -2"),
    "stops_or_none": Range("level of a light", "stop", -np.inf, 60, "give stops over correct", infinite=True),
    "density": Range("filter density", "1", 0, 18, "give the optical density: an 8 times filter is 0.9"),
    "size": Range("size of the moving thing", "m", 0, 10, "give metres: a 4 mm drop is 0.004", open_low=True),
    "speed": Range("speed", "m/s", 0, 1000, "give metres a second, such as 2.2"),
    "candela_seconds": Range("light of the flash", "cd s", 0, 1e9, "give candela-seconds above 0", open_low=True),
    "amount": Range("amount of light", "1", 0, advice="give a number above 0", open_low=True),
    "mark": Range("marked value", "1", 1e-5, 1e7, "give the number as it is marked, such as 11"),
}
MARK_KINDS = Choice("kind of mark", ("aperture", "shutter", "iso"))
MARK_STEPS = Choice("step of the marks", ("third", "half", "full"))
GREY_KINDS = Choice("kind of sensor level", ("saturation", "output", "metered"))
