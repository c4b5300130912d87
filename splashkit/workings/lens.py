"""Relations of the lens: depth, diffraction, and all blurs together."""

from __future__ import annotations

from typing import Any

from splashkit.workings.base import Relation, Symbol

_APERTURE = Symbol("aperture", "N", "f-number set", "1", 1.0, 64.0)
_SCALE = Symbol("magnification", "m", "magnification", "1", 0.05, 2.0)
_PUPILS = Symbol("pupil_ratio", "P", "pupil ratio: the lens's rear opening over its front opening", "1", 0.3, 3.0)
_WAVELENGTH = Symbol("wavelength", "lambda", "wavelength of the light", "m", 400e-9, 700e-9)


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
        Symbol("depth", "D", "whole depth that looks sharp", "m", 1e-7, 10.0),
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
        Symbol("depth", "D", "depth wanted sharp, focused in its middle", "m", 1e-4, 0.1),
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
    WORKING_APERTURE,
    DEPTH_CLOSE_UP,
    AIRY,
    ALL_BLUR,
    BEST_APERTURE,
    FOCUS_OFFSET,
)
