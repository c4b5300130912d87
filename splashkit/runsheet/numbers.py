"""All numbers of a run sheet, from the rig, the wishes and the models. What cannot be known yet is None."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any, NamedTuple

import numpy as np

from splashkit import chains, drops, exposure, flash, lens, lights, odds, settings, splash, timing
from splashkit.estimate import Estimate
from splashkit.rig import Rig
from splashkit.runsheet.wishes import HALF, Wishes
from splashkit.tries import rig_liquid
from splashkit.units import APERTURES, FLASH_POWERS, ISO_SPEEDS

FULL_FRAME = 0.036  # [m] the sensor width that a blur circle of 30 µm goes with
FRONT_LEVEL = -1.0  # [stop] the front light under the back light: common practice, no source
KEEPERS = 5


class Light(NamedTuple):
    """One flash unit: its place, power and distance (None is a blank), and how wide its lit area is."""

    place: str  # 'back' or 'front'
    power: float | None
    distance: float | None
    size: float | None


class Sketch(NamedTuple):
    """What the drawing needs, from the side. SI; None is drawn without its number. Sideways 0 is the drops' axis."""

    nozzle_height: float | None
    bowl_radius: float | None
    bowl_depth: float | None
    target_height: float | None
    elevation: float
    camera_distance: float | None
    lights: tuple[Light, ...]


@dataclass(frozen=True)
class Numbers:
    """The numbers; times in s. ``after`` times count from the first drop's contact, settings from its signal."""

    rig: Rig
    wishes: Wishes
    liquid: Any
    meeting: timing.Plan | None
    no_meeting: str
    chain: chains.Chain | None
    no_chain: str
    zero: float | None
    settings: settings.Plan | None
    circle: float | None
    aperture: float | None
    working: float | None
    lights: tuple[Light, ...]
    rim: float | None
    rest: Estimate | None
    budget: int | None
    odds: float | None
    open_time: float | None
    sketch: Sketch

    def after(self, moment: Estimate) -> Estimate:
        """Count a moment from the first drop's contact with the water instead of its release."""
        start = float(self.meeting.first_contact) if self.meeting is not None else math.nan
        value, low, high = (float(time) - start for time in (moment.value, moment.low, moment.high))
        return Estimate(value, low, high, moment.why)

    def setting(self, after_contact: float) -> float | None:
        """Turn a moment after first contact into a delay on the timer."""
        return None if self.zero is None else self.zero + after_contact


def numbers(rig: Rig, wishes: Wishes) -> Numbers:
    """Work out everything a sheet says. Nothing is invented: an unknown entry makes what depends on it None."""
    liquid = rig_liquid(rig)
    meeting, no_meeting = _meeting(rig, wishes, liquid)
    chain, no_chain = _chain(rig)
    zero = None
    if meeting is not None and chain is not None and rig.valve_delay is not None:
        zero = rig.valve_delay + float(meeting.first_contact) - chain.mean
    chosen, circle = _settings(rig, wishes, meeting)
    aperture = _aperture(rig, wishes, chosen, circle)
    working = None
    if aperture is not None and rig.magnification is not None:
        working = float(lens.effective_aperture(aperture, rig.magnification, rig.pupil_ratio or 1.0))
    placed = _lights(rig, wishes, chosen)
    back = placed[0]
    rim = None
    if back.distance is not None and back.size is not None and rig.second_diameter is not None:
        rim = float(lights.rim_zones(back.size, back.size, back.distance, rig.second_diameter).dark_across)
    chance, budget = _odds(rig, chain)
    iso = chosen.chosen.iso if chosen is not None else rig.iso
    open_time = None
    if rig.room_illuminance and aperture is not None and iso is not None and rig.magnification is not None:
        open_time = float(
            exposure.longest_open_time(
                rig.room_illuminance, aperture, iso, exposure.DARK_ENOUGH
            ) * (1 + rig.magnification / (rig.pupil_ratio or 1.0)) ** 2
        )  # fmt: skip
    return Numbers(
        rig, wishes, liquid, meeting, no_meeting, chain, no_chain, zero, chosen, circle, aperture, working, placed, rim,
        _rest(rig, meeting, liquid), budget, chance, open_time, _sketch(rig, wishes, meeting, placed),
    )  # fmt: skip


def _meeting(rig: Rig, wishes: Wishes, liquid: Any) -> tuple[timing.Plan | None, str]:
    needed = {"nozzle_height": "the nozzle's height", "first_diameter": "the first drop's size"}
    missing = [words for name, words in needed.items() if getattr(rig, name) is None]
    if missing:
        return None, f"Measure first: {' and '.join(missing)}."
    gravity = 9.80665 if rig.latitude is None else float(drops.normal_gravity(math.radians(rig.latitude)))
    try:
        plan = timing.gap_for_meeting(
            rig.nozzle_height, rig.first_diameter, liquid, wishes.phase, HALF, None, rig.second_diameter,
            rig.release_speed or 0.0, rig.bowl_depth, gravity,
        )  # fmt: skip
    except ValueError as problem:
        return None, f"{problem} Larger drops or a higher nozzle make a column to meet."
    return plan, ""


def _chain(rig: Rig) -> tuple[chains.Chain | None, str]:
    """Give the chain to the light, or what must be measured first."""
    needed = {"front": ("shutter_lag", "curtain_travel"), "rear": ("shutter_lag", "exposure_time"), "open": ()}
    if rig.chain is None:
        return None, "choose who fires the flash"
    missing = [name.replace("_", " ") for name in needed[rig.chain] if getattr(rig, name) is None]
    if missing:
        return None, f"measure the {' and '.join(missing)}"
    try:
        return chains.rig_chain(rig), ""
    except ValueError as problem:
        return None, str(problem)


def _settings(rig: Rig, wishes: Wishes, meeting: timing.Plan | None) -> tuple[settings.Plan | None, float | None]:
    circle = None if rig.sensor_width is None else lens.ranges.BLUR_CIRCLE * rig.sensor_width / FULL_FRAME
    scale, number, kind = rig.magnification, rig.flash_guide_number, rig.flash_kind
    if scale is None or number is None or kind is None or circle is None or meeting is None:
        return None, circle
    powers = FLASH_POWERS[:8]
    try:
        wish = settings.Wish(
            motion_blur=wishes.blur, speed=float(meeting.meeting.second_speed), depth=wishes.depth,
            magnification=scale,
        )  # fmt: skip
        gear = settings.Gear(
            guide_number=number, unit=kind, loss=wishes.loss or 0.0, powers=powers,
            apertures=tuple(mark for mark in APERTURES if 2.8 <= mark <= 22),
            isos=tuple(mark for mark in ISO_SPEEDS if 100 <= mark <= max(wishes.highest_iso, 100)),
            nearest=wishes.nearest, farthest=wishes.farthest,
            focal_length=rig.focal_length or 0.1,  # depth hangs on it by a thousandth this close: see the tests
            pupil_ratio=rig.pupil_ratio or 1.0, blur_circle=circle, light_times=light_times(rig, powers),
        )  # fmt: skip
    except ValueError:
        return None, circle
    return settings.choose_settings(wish, gear), circle


def light_times(rig: Rig, powers: tuple[float, ...]) -> tuple[float, ...] | None:
    """Scale the model of this kind of unit by the one duration measured; None where none was measured."""
    if rig.flash_t01 is None or rig.flash_power is None or rig.flash_kind is None:
        return None
    model = flash.durations(rig.flash_kind, np.array([*powers, rig.flash_power]))[1]
    return tuple((model[:-1] * rig.flash_t01 / model[-1]).tolist())


def _aperture(rig: Rig, wishes: Wishes, chosen: settings.Plan | None, circle: float | None) -> float | None:
    if chosen is not None:
        return chosen.chosen.f_number
    if circle is None or rig.magnification is None:
        return rig.aperture
    needed = float(
        lens.aperture_for_depth(
            rig.focal_length or 0.1, wishes.depth, rig.magnification, rig.pupil_ratio or 1.0, circle
        )
    )
    return next((mark for mark in APERTURES if mark >= needed * 0.99), APERTURES[-1])


def _lights(rig: Rig, wishes: Wishes, chosen: settings.Plan | None) -> tuple[Light, ...]:
    power = distance = None
    if chosen is not None:
        power = chosen.chosen.power
        distance = min(max(chosen.chosen.distance, wishes.nearest), wishes.farthest)
    back = Light("back", power, distance, wishes.backlight_size)
    if wishes.lights == 1:
        return (back,)
    away = None
    if chosen is not None and wishes.second_guide_number is not None:
        # the same power as the back light, so that both freeze alike; its level is set by its distance
        best = chosen.chosen
        away = float(
            exposure.guide_number_distance(
                wishes.second_guide_number, best.f_number, best.power, best.iso, rig.magnification or 0.0,
                rig.pupil_ratio or 1.0,
            ) * 2 ** (-FRONT_LEVEL / 2)
        )  # fmt: skip
    return back, Light("front", power, away, None)


def _odds(rig: Rig, chain: chains.Chain | None) -> tuple[float | None, int | None]:
    known = rig.valve_delay_spread is not None and (rig.chain == "open" or rig.shutter_lag_spread is not None)
    if chain is None or not known:
        return None, None
    chance = float(odds.hit_odds(float(np.hypot(chain.spread, rig.valve_delay_spread or 0.0))))
    return chance, odds.frames_to_budget(max(chance, 1e-3), KEEPERS)


def _rest(rig: Rig, meeting: timing.Plan | None, liquid: Any) -> Estimate | None:
    if meeting is None or rig.bowl_radius is None or rig.bowl_depth is None:
        return None
    try:
        return splash.resting_time(
            rig.bowl_radius, rig.bowl_depth, rig.first_diameter or 0.0, float(meeting.meeting.splash.speed), liquid
        )
    except ValueError:
        return None


def _sketch(rig: Rig, wishes: Wishes, meeting: timing.Plan | None, placed: tuple[Light, ...]) -> Sketch:
    away = None
    if rig.focal_length is not None and rig.magnification is not None:
        away = float(lens.subject_to_sensor(rig.focal_length, rig.magnification))
    target = None if meeting is None else float(meeting.meeting_height.value)
    return Sketch(rig.nozzle_height, rig.bowl_radius, rig.bowl_depth, target, wishes.elevation, away, placed)
