"""Every public physics function, found by looking, with one good set of arguments for each."""

import dataclasses
import importlib
import inspect
import re
from functools import cache

import numpy as np

from splashkit import chains, flash, liquids, picture, rig, settings, splash, sync

ROOMS = (
    "exposure", "flash", "sync", "lens", "lights", "settings", "liquids", "drops", "splash", "timing", "chains", "odds",
    "measure", "picture",
)  # fmt: skip

# a good value for each parameter, by its name: SI, and in the range of every function that has it
GOOD = {
    "afterglow": 5e-6, "air_density": 1.2, "air_viscosity": 1.8e-5, "altitude": 200.0, "ambient": 0.01,
    "amplitude": 0.1, "angle": 0.5, "back_distance": 0.6, "back_guide_number": 40.0, "back_level": 0.0,
    "back_loss": 1.0, "back_size": 0.3, "behind": 0.004, "blur": 3e-5, "blur_circle": 3e-5, "bore": 1.5e-3,
    "bowl_depth": 0.05, "bowl_radius": 0.1, "bright_share": 0.75, "burn": 0.012, "candela_seconds": 300.0,
    "closing_speed": 2.5, "column_radius": 1e-3, "confidence": 0.9, "count": 100.0, "curtain_travel": 3e-3,
    "cut": 1e-4, "damping": 1.0, "decay": 1e-3, "delay": 0.1, "density": 998.0, "density_uncertainty": 0.002,
    "depth": 5e-3, "diameter": 4e-3, "discharge_coefficient": 0.61, "distance": 0.5, "drag_coefficient": 0.45,
    "drop_diameter": 4e-3, "duration": 5e-3, "duty": 0.3, "edge_error": 0.02, "elevation": 0.3, "energy": 0.8,
    "ev100": 8.0, "exposure_time": 1 / 200, "f_number": 11.0, "fall_time": 0.22, "fall_time_spread": 1e-4, "far": 1.2,
    "fat": 0.035, "feed_length": 0.05, "field": 0.06, "filter_loss": 1.0, "first_pixel": 500.0, "flash_after": 0.004,
    "flash_delays": [0.0, 0.001, 0.002, 0.003], "edges": [0.1, 0.4, 0.7, 1.0], "flash_duration": 1e-4,
    "flash_level": 1.0, "flash_loss": 1.0, "flash_start": 3e-3, "flash_stops": 0.5, "flash_time": 0.01,
    "focal_length": 0.1, "format_size": 0.024, "fraction": 0.4, "frame_height": 0.024, "frames": 400,
    "frequency": 4e4, "front_distance": 0.8, "front_guide_number": 40.0, "front_level": -1.0, "front_loss": 1.0,
    "front_size": 0.2, "gap": 0.069, "gap_spread": 1e-3, "gap_window": 5e-3, "glow": 0.2, "glycerol_purity": 0.99,
    "gravity": 9.81, "guide_number": 40.0, "half_angle": 0.5, "head": 0.3, "height": 0.02, "height_error": 5e-4,
    "heights": [0.020, 0.021, 0.019, 0.0205], "illuminance": 100.0, "image_speed": 1.5,
    "incidence": 0.6, "index": 1.333,
    "iso": 200.0, "keepers": 3, "lag": 0.05, "latitude": 0.8, "length": 0.02, "length_error": 5e-5,
    "light_moments": [0.08, 0.12, 0.16, 0.2], "light_spread": 1e-3, "light_time": 5e-5, "light_window": 1.5e-3,
    "linear": 0.4, "liquid_density": 998.0, "loss": 1.0, "lowest_tension": 0.033, "luminance": 50.0,
    "magnification": 0.6, "margin": 5e-4, "mark": 8.0, "mass": 3.3e-3, "mass_error": 1e-5, "mass_fraction": 0.5,
    "mass_uncertainty": 2e-5, "meeting_height": 0.01, "metered_f_number": 4.0, "metered_iso": 400.0,
    "metered_time": 1 / 30, "mode": 2.0, "moment": 0.0, "near": 0.5, "nozzle_height": 0.25, "odds": 0.1, "offset": 1e-3,
    "opening": 0.03, "opening_time": 2e-3, "closing_time": 2e-3, "total_time": 0.01, "phase": 0.3, "pipe_volume": 2e-5,
    "pixel": 1200.0, "pixel_pitch": 4e-6, "power": 0.25, "powers": 0.25, "pressure": 8e4, "pupil_ratio": 1.2,
    "ratio": 0.6, "release_speed": 0.1, "reynolds": 500.0, "rise": 2e-5, "row": 0.4, "samples": 50, "scale": 1e5,
    "radius": 0.01,
    "scale_step": 1e-3, "second_diameter": 3.5e-3, "second_pixel": 2500.0, "second_speed": 2.0, "seed": 3,
    "share": 0.8, "sharp": 3e-3, "shear_rate": 500.0, "shutter_lag": 0.05, "shutter_lag_spread": 1e-3, "sigma": 1e-4,
    "side": 0.0, "size": 0.02, "slit_speed": 8.0, "slit_width": 5e-3, "speed": 2.2, "spread": 1e-3, "still": 5e-5,
    "stops": 1.5, "stops_under": 5.0, "streak": 4.5e-3, "surface_pixel": 3200.0, "surface_tension": 0.0727,
    "target_height": 0.01, "tau": 2e-3, "temperature": 22.0, "time": 0.05, "time_unit": 1e-4, "timing_error": 5e-4,
    "tip_radius": 1.5e-3, "turn_off": 0.2, "valve_delay": 0.012, "valve_delay_spread": 2e-4, "viscosity": 1e-3,
    "volume": 3e-8, "volume_fraction": 0.4, "wavelength": 550e-9, "wavenumber_zero": 3.83, "weber_air": 0.5,
    "width": 0.3, "window": 1.5e-3, "wobble": 0.05, "wobble_frequency": 40.0, "wobble_phase": 0.0, "x": 0.7,
    "density_of_filter": 0.9, "reference": 2.0, "amount": 8.0, "acceleration": 0.0, "light_moment": 0.2,
    "nozzle_heights": [0.2, 0.3], "gaps": [0.05, 0.07, 0.09],
    "kind": "quench", "level": "t0.1", "control": "quench", "direction": "against", "orientation": "landscape",
    "step": "third", "colour": "blue", "pipe_holds": "water", "link": "cable", "shape": "bell", "film": True,
}  # fmt: skip

# parameters that mean something else in one function
SPECIAL = {
    "chains.light_chain": {"kind": "front"},
    "drops.fall": {"height": 0.3},
    "drops.fall_constant_drag": {"height": 0.3},
    "drops.fall_in_vacuum": {"height": 0.3},
    "drops.valve_drop_volume": {"head": 0.3},
    "drops.weigh_drops": {"count": 100},
    "drops.wobble_at": {"phase": 0.2},
    "exposure.ghost_ratio": {"size": 4e-3, "exposure_time": 0.1},
    "chains.front_rear_difference": {"exposure_time": 0.02},
    "exposure.exact_mark": {"kind": "aperture"},
    "exposure.filter_stops": {"density": 0.9},
    "exposure.sensor_level": {"kind": "output"},
    "lens.aperture_for_depth": {"blur_circle": 2e-5},
    "liquids.glycerol_fraction_for": {"viscosity": 6e-3},
    "liquids.mix_for_viscosity": {"viscosity": 6e-3, "volume": 1e-3, "pipe_volume": 1e-5},
    "lights.rim_zones": {"height": 0.4},
    "measure.height_from_pixels": {},
    "measure.lag_from_drop": {"delay": 0.13, "height": 0.05},
    "measure.valve_from_heights": {"heights": [0.219, 0.181, 0.127, 0.058]},  # as a drop falls
    "sync.dark_band_fraction": {"delay": 1e-4},
    "sync.flash_time": {"mode": "front", "delay": 0.0},
    "sync.row_light_share": {},
    "sync.slit_efficiency": {"gap": 1e-3},
    "sync.sync_limit": {"delay": 1e-4},
    "lights.penumbra": {"gap": 0.02, "size": 0.2},
    "timing.gap_for_meeting": {"phase": "rising", "meeting_height": None},
    "timing.sensitivities": {"phase": "rising"},
    "picture.falling_drop": {"wobble": 0.0, "height": 0.05},
    "picture.edge_width": {"side": "top"},
    "splash.sheet": {"offset": 5e-4},
    "lens.blur_budget": {},
    "odds.hit_odds": {},
    "liquids.glycerol_water": {"volume_fraction": None},
    "liquids.ethanol_water": {"volume_fraction": None},
    "liquids.air_viscosity": {},
    "exposure.distance_stops": {},
    "flash.pulsed_burn": {},
}


@cache
def objects():
    """What functions take besides numbers and words, by parameter name."""
    water = liquids.water()
    camera = picture.Camera(0.5, pixels=(120, 80), softness=False)
    frame = picture.record(picture.falling_drop(4e-3, 2.2), camera, flash.rectangular(1e-5), sync.Shutter(1 / 125))
    return {
        "liquid": water, "curve": flash.exponential(1e-3), "light": flash.exponential(1e-3),
        "shutter": sync.Shutter(1 / 125), "model": liquids.PowerLaw(0.1, 0.5), "splash": splash.first_drop(4e-3, 2.2),
        "sheet": splash.sheet(4e-3, 2.5), "chain": chains.light_chain("open"), "rig": rig.demo(),
        "valve": chains.light_chain("open"), "frame": frame, "camera": camera, "scene": picture.falling_drop(),
        "lighting": picture.Lighting(), "look": picture.Look(), "made": None, "liquid_at": liquids.water,
        "wish": settings.Wish(3e-4, 2.0, 4e-3, 0.5), "gear": settings.Gear(40.0), "changes": (),
        "spreads": [1e-3, 5e-4],
    }  # fmt: skip


def numeric(parameter):
    """Tell whether a parameter may be an array: annotated Number, or anything."""
    return str(parameter.annotation).startswith(("Number", "Any"))


class Function:
    """A public function with good arguments."""

    def __init__(self, room, name, call):
        self.room, self.name, self.call = room, f"{room}.{name}", call
        self.parameters = inspect.signature(call).parameters

    def good(self):
        found = {}
        for name, parameter in self.parameters.items():
            if parameter.kind is parameter.VAR_POSITIONAL:
                continue
            special = SPECIAL.get(self.name, {})
            if name in special:
                found[name] = special[name]
            elif self.name.startswith("odds.simulate") and name == "light":
                found[name] = objects()["chain"]
            elif name in objects():
                found[name] = objects()[name]
            elif name in GOOD:
                found[name] = GOOD[name]
            elif parameter.default is parameter.empty:
                raise LookupError(f"{self.name} takes {name}: give it a good value in tests/everything.py")
        return found

    def several(self):
        """Good values for a parameter such as ``*stops``."""
        if not any(parameter.kind is parameter.VAR_POSITIONAL for parameter in self.parameters.values()):
            return ()
        return (objects()["chain"],) if self.name == "chains.jitter_budget" else (1.0, 2.0)

    def arrays(self):
        """Names of the parameters that may be arrays and have a number in the good arguments."""
        good = self.good()
        return [n for n, p in self.parameters.items() if n in good and numeric(p) and isinstance(good[n], float)]

    def __call__(self, **more):
        """Call it with the good arguments, some of them replaced."""
        return self.bare(*self.several(), **{**self.good(), **more})

    def bare(self, *args, **more):
        with np.errstate(all="ignore"):
            return self.call(*args, **more)

    def __repr__(self):
        return self.name


@cache
def functions():
    found = []
    for room in ROOMS:
        module = importlib.import_module(f"splashkit.{room}")
        for name, thing in vars(module).items():
            own = getattr(thing, "__module__", "").startswith(f"splashkit.{room}")
            if not name.startswith("_") and callable(thing) and not inspect.isclass(thing) and own:
                found.append(Function(room, name, thing))
    return tuple(found)


def leaves(result, path=""):
    """Every number in a result, with its place in it: estimates, tuples and records are opened."""
    if isinstance(result, (bool, np.bool_)) or result is None or isinstance(result, (str, bytes)) or callable(result):
        return
    if isinstance(result, (int, float, np.number, np.ndarray)):
        if np.asarray(result).dtype.kind in "fiu":
            yield path, result
    elif dataclasses.is_dataclass(result):
        for field in dataclasses.fields(result):
            yield from leaves(getattr(result, field.name), f"{path}.{field.name}")
    elif isinstance(result, tuple):
        names = getattr(result, "_fields", range(len(result)))
        for name, part in zip(names, result, strict=True):
            yield from leaves(part, f"{path}.{name}")


SENTENCE = re.compile(r"The .+ must be .+; got .+\. To fix it: .+\.", re.S)


def unit_in_docstring(call, name):
    """The unit a docstring gives for a parameter: the brackets after its words."""
    text = inspect.getdoc(call)
    part = re.search(r"^Parameters\n-+\n(.*?)(?=^\w+\n-+\n)", text, re.M | re.S)[1]
    for block in re.split(r"\n(?=\S)", part):
        names, _, words = block.partition(" : ")
        if name in re.split(r",\s*", names):
            return re.findall(r"\[([^\]]+)\]", words)[-1]
    return None
