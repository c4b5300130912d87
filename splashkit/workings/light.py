"""Relations of light: flash, shutter."""

from __future__ import annotations

from typing import Any

from splashkit.workings.base import Relation, Symbol

_TAU = Symbol("tau", "tau", "time constant: the light falls to 37 % in this time", "s", 1e-5, 5e-3)
_EXPOSURE = Symbol("exposure_time", "T", "exposure time of each row", "s", 1 / 8000, 1 / 60)
_TRAVEL = Symbol("curtain_travel", "t_c", "time a curtain takes across the frame", "s", 1e-3, 8e-3)
_FRAME = Symbol("frame_height", "H", "height of the frame on the sensor", "m", 4e-3, 60e-3)
_APERTURE = Symbol("aperture", "N", "f-number set", "1", 1.0, 64.0)
_ISO = Symbol("iso", "S", "ISO setting", "1", 50.0, 25600.0)
_LUX = Symbol("illuminance", "E", "room light that falls on the subject", "lx", 1e-2, 2000.0)
_OPEN = Symbol("exposure_time", "t", "time the shutter is open", "s", 1e-3, 30.0)
_SCALE = Symbol("magnification", "m", "magnification", "1", 0.05, 2.0)
_PUPILS = Symbol("pupil_ratio", "P", "pupil ratio: the lens's rear opening over its front opening", "1", 0.3, 3.0)
_WAVELENGTH = Symbol("wavelength", "lambda", "wavelength of the light", "m", 400e-9, 700e-9)


def _exponential_t05(tau: float) -> Any:
    from splashkit import flash

    return flash.exponential(tau).t05


def _exponential_t01(tau: float) -> Any:
    from splashkit import flash

    return flash.exponential(tau).t01


def _light_left_out(tau: float, power: float) -> Any:
    # the cut that lets out the share p of an exponential flash: its own cumulative light must say p there
    from splashkit import flash

    curve = flash.exponential(tau)
    low, high = 0.0, 60.0 * tau
    for _ in range(100):
        middle = (low + high) / 2
        low, high = (middle, high) if float(curve.cumulative(middle)) < power else (low, middle)
    return (low + high) / 2


def _slit_width(frame_height: float, exposure_time: float, curtain_travel: float) -> Any:
    from splashkit import sync

    return sync.slit_width(exposure_time, curtain_travel, frame_height)


def _slit_speed(frame_height: float, curtain_travel: float) -> Any:
    from splashkit import sync

    return sync.slit_speed(curtain_travel, frame_height)


def _dark_band(curtain_travel: float, delay: float, exposure_time: float) -> Any:
    from splashkit import sync

    return sync.dark_band_fraction(exposure_time, curtain_travel, delay)


def _row_share(exposure_time: float, curtain_travel: float) -> Any:
    from splashkit import sync

    return sync.burn_share(exposure_time, curtain_travel)


def _squash(speed: float, magnification: float, slit_speed: float) -> Any:
    from splashkit import sync

    return sync.squash(speed * magnification, slit_speed)


def _ambient_under(aperture: float, exposure_time: float, iso: float, illuminance: float) -> Any:
    from splashkit import exposure

    return exposure.ambient_under_flash(illuminance, aperture, exposure_time, iso)


def _open_time(aperture: float, iso: float, illuminance: float, stops: float) -> Any:
    from splashkit import exposure

    return exposure.longest_open_time(illuminance, aperture, iso, stops)


def _ghost(size: float, speed: float, exposure_time: float) -> Any:
    from splashkit import exposure

    return exposure.ghost_ratio(size, speed, exposure_time)


def _working_aperture(aperture: float, magnification: float, pupil_ratio: float) -> Any:
    from splashkit import lens

    return lens.effective_aperture(aperture, magnification, pupil_ratio)


def _depth_close_up(aperture: float, circle: float, magnification: float, pupil_ratio: float) -> Any:
    from splashkit import lens

    return lens.depth_of_field_close_up(aperture, magnification, pupil_ratio, circle)


def _airy(wavelength: float, working: float) -> Any:
    from splashkit import lens

    return lens.airy_diameter(working, 0.0, 1.0, wavelength)


def _best_aperture(magnification: float, depth: float, wavelength: float, pupil_ratio: float) -> Any:
    from splashkit import lens

    return lens.best_aperture(depth, magnification, pupil_ratio, wavelength).f_number


def _focus_offset(behind: float, rise: float, elevation: float) -> Any:
    from splashkit import lens

    return lens.focus_offset(rise, behind, elevation)


HALF_DURATION = Relation(
    name="half_duration",
    title="Flash duration t0.5 of a flash that dies away evenly",
    equation="duration = tau * log(2)",
    symbols=(Symbol("duration", "t_0.5", "time above half of the peak", "s", 1e-6, 1e-2), _TAU),
    source="derived here from the definition of t0.5 by peak (ISO 2827, through texts that quote it)",
    same_as=_exponential_t05,
)

TENTH_DURATION = Relation(
    name="tenth_duration",
    title="Flash duration t0.1 of a flash that dies away evenly",
    equation="duration = tau * log(10)",
    symbols=(Symbol("duration", "t_0.1", "time above a tenth of the peak", "s", 1e-6, 2e-2), _TAU),
    source="derived here from the definition of t0.1 by peak (ISO 2827, through texts that quote it)",
    same_as=_exponential_t01,
)

QUENCH_CUT = Relation(
    name="quench_cut",
    title="When a quench-controlled flash is cut",
    equation="cut = -tau * log(1 - power)",
    symbols=(
        Symbol("cut", "t_cut", "time from first light to the cut", "s", 1e-8, 5e-2),
        _TAU,
        Symbol("power", "p", "share of full power", "1", 1 / 256, 0.99),
    ),
    source="derived here for an exponential flash with an instant rise",
    same_as=_light_left_out,
)

BLUR = Relation(
    name="blur",
    title="How far the drop moves while the light is on",
    equation="blur = speed * duration",
    symbols=(
        Symbol("blur", "b", "smear on the drop", "m", 1e-8, 1e-1),
        Symbol("speed", "v", "speed of the drop", "m/s", 0.05, 10.0),
        Symbol("duration", "t_0.1", "flash duration t0.1", "s", 1e-6, 1e-2),
    ),
    source="derived here",
    alone="distance is speed times time; tested against its own inverse",
    turned={"duration": "blur/speed"},
)

SLIT_WIDTH = Relation(
    name="slit_width",
    title="Width of the slit between the curtains",
    equation="slit = frame_height * Min(1, exposure_time / curtain_travel)",
    symbols=(Symbol("slit", "a", "width of the slit on the sensor", "m", 1e-5, 60e-3), _FRAME, _EXPOSURE, _TRAVEL),
    source="two curtains of one even speed (S. Ray, Scientific Photography and Applied Imaging, ch. 7)",
    same_as=_slit_width,
)

DARK_BAND = Relation(
    name="dark_band",
    title="Part of the frame a short flash leaves dark",
    equation="band = Max(0, (curtain_travel + delay - exposure_time) / curtain_travel)",
    symbols=(
        Symbol("band", "b", "dark part of the frame", "1", 0.0, 1.0),
        _TRAVEL,
        Symbol("delay", "d", "delay from the trigger to the first light", "s", 0.0, 1e-4),
        _EXPOSURE,
    ),
    source="two curtains of one even speed (S. Ray, Scientific Photography and Applied Imaging, ch. 7)",
    same_as=_dark_band,
)

BURN_SHARE = Relation(
    name="row_share",
    title="Share of a long burn that each row receives",
    equation="share = exposure_time / (exposure_time + curtain_travel)",
    symbols=(Symbol("share", "eta", "share of the light each row receives", "1", 0.0, 1.0), _EXPOSURE, _TRAVEL),
    source="derived here for a burn just long enough",
    same_as=_row_share,
)

SLIT_SPEED = Relation(
    name="slit_speed",
    title="Speed of the slit over the sensor",
    equation="slit_speed = frame_height / curtain_travel",
    symbols=(Symbol("slit_speed", "w", "speed of the slit on the sensor", "m/s", 0.1, 100.0), _FRAME, _TRAVEL),
    source="derived here from two curtains of one even speed",
    same_as=_slit_speed,
)

SQUASH = Relation(
    name="squash",
    title="How a slit squashes a falling drop (camera level)",
    equation="squash = 1 / (1 + speed * magnification / slit_speed)",
    symbols=(
        Symbol("squash", "s", "recorded height over true height", "1", 0.05, 1.0),
        Symbol("speed", "v", "speed of the drop", "m/s", 0.05, 6.0),
        Symbol("magnification", "m", "magnification", "1", 0.05, 2.0),
        Symbol("slit_speed", "w", "speed of the slit on the sensor", "m/s", 3.0, 30.0),
    ),
    source="derived here; that slits deform what moves: Abney 1893",
    same_as=_squash,
)

AMBIENT_UNDER = Relation(
    name="ambient_under",
    title="How far under the room is with the flash off",
    equation="stops = log2(250 * aperture**2 / (illuminance * iso * exposure_time))",
    symbols=(
        Symbol("stops", "n", "number of stops under", "stop", -40.0, 40.0),
        _APERTURE,
        _LUX,
        _ISO,
        _OPEN,
    ),
    source="ISO 2720:1974, through secondary texts, with the meter constant 250 lx s",
    same_as=_ambient_under,
)

OPEN_TIME = Relation(
    name="open_time",
    title="How long the shutter may stay open",
    equation="exposure_time = 250 * aperture**2 / (illuminance * iso * 2**stops)",
    symbols=(
        Symbol("exposure_time", "t", "longest time the shutter may be open", "s", 1e-9, 1e7),
        _APERTURE,
        _LUX,
        _ISO,
        Symbol("stops", "n", "number of stops the room must stay under", "stop", 0.0, 12.0),
    ),
    source="derived here from ISO 2720:1974",
    same_as=_open_time,
)

GHOST = Relation(
    name="ghost",
    title="The ghost of a moving drop, against a still background",
    equation="share = Min(1, size / (speed * exposure_time))",
    symbols=(
        Symbol("share", "r", "share of the room light that the drop can stop or send", "1", 0.0, 1.0),
        Symbol("size", "d", "diameter of the drop", "m", 1e-3, 8e-3),
        Symbol("speed", "v", "speed of the drop", "m/s", 0.1, 6.0),
        _OPEN,
    ),
    source="derived here: the drop covers one spot only while it passes",
    same_as=_ghost,
)

WORKING_APERTURE = Relation(
    name="working_aperture",
    title="The aperture the lens really works at",
    equation="working = aperture * (1 + magnification / pupil_ratio)",
    symbols=(
        Symbol("working", "N_eff", "working f-number", "1", 1.0, 1500.0),
        _APERTURE,
        _SCALE,
        _PUPILS,
    ),
    source="paraxial optics; derived here",
    same_as=_working_aperture,
)

DEPTH_CLOSE_UP = Relation(
    name="depth_close_up",
    title="Depth that looks sharp, close up",
    equation="depth = 2 * aperture * circle * (1 + magnification / pupil_ratio) / magnification**2",
    symbols=(
        Symbol("depth", "Z", "whole depth that looks sharp", "m", 1e-7, 10.0),
        _APERTURE,
        Symbol("circle", "c", "largest blur allowed on the sensor", "m", 1e-6, 1e-4),
        _SCALE,
        _PUPILS,
    ),
    source="derived here; the exact form is in splashkit.lens",
    same_as=_depth_close_up,
    turned={"aperture": "depth*magnification**2/(2*circle*(magnification/pupil_ratio + 1))"},
)

AIRY = Relation(
    name="airy",
    title="Blur by diffraction, on the sensor",
    equation="disc = 2.44 * wavelength * working",
    symbols=(
        Symbol("disc", "a", "disc that a point becomes", "m", 1e-7, 1e-2),
        _WAVELENGTH,
        Symbol("working", "N_eff", "working f-number", "1", 1.0, 250.0),
    ),
    source="textbook optics (from memory)",
    same_as=_airy,
)

ALL_BLUR = Relation(
    name="all_blur",
    title="All blurs together, on the sensor",
    equation="together = sqrt(motion**2 + defocus**2 + diffraction**2 + pixel**2)",
    symbols=(
        Symbol("together", "b", "whole blur", "m", 1e-7, 1.0),
        Symbol("motion", "b_motion", "blur by motion", "m", 1e-7, 0.1),
        Symbol("defocus", "b_focus", "blur by lying out of focus", "m", 1e-7, 0.1),
        Symbol("diffraction", "a", "blur by diffraction", "m", 1e-7, 1e-3),
        Symbol("pixel", "p", "width of a pixel", "m", 1e-6, 2e-5),
    ),
    source="sum of squares of independent blurs: common practice, no source",
    alone="it is a sum of squares; tested against lens.blur_budget",
)

BEST_APERTURE = Relation(
    name="best_aperture",
    title="The aperture that draws a wanted depth best",
    equation="aperture = magnification * sqrt(depth / (4.88 * wavelength)) / (1 + magnification / pupil_ratio)",
    symbols=(
        Symbol("aperture", "N", "f-number set", "1", 0.01, 2000.0),
        _SCALE,
        Symbol("depth", "Z", "depth wanted sharp, focused in its middle", "m", 1e-4, 0.1),
        _WAVELENGTH,
        _PUPILS,
    ),
    source="derived here: least sum of squares of the defocus and diffraction discs",
    same_as=_best_aperture,
)

FOCUS_OFFSET = Relation(
    name="focus_offset",
    title="How far a point lies behind the focused plane",
    equation="offset = behind * cos(elevation) - rise * sin(elevation)",
    symbols=(
        Symbol("offset", "delta", "distance behind the focused plane, negative in front", "m", -1.0, 1.0),
        Symbol("behind", "y", "distance of the point behind the focus target", "m", -0.05, 0.05),
        Symbol("rise", "h", "height of the point above the focus target", "m", -0.1, 0.1),
        Symbol("elevation", "e", "angle by which the camera looks down", "rad", 0.0, 1.5),
    ),
    source="geometry; derived here",
    same_as=_focus_offset,
)

RELATIONS = (
    HALF_DURATION,
    TENTH_DURATION,
    QUENCH_CUT,
    BLUR,
    SLIT_WIDTH,
    SLIT_SPEED,
    DARK_BAND,
    BURN_SHARE,
    SQUASH,
    AMBIENT_UNDER,
    OPEN_TIME,
    GHOST,
    WORKING_APERTURE,
    DEPTH_CLOSE_UP,
    AIRY,
    ALL_BLUR,
    BEST_APERTURE,
    FOCUS_OFFSET,
)
