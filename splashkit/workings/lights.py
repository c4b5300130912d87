"""Relations of placing lights: how large a light looks, the bright part of a drop, power and falloff."""

from __future__ import annotations

from typing import Any

from splashkit.workings.base import Relation, Symbol

_SIZE = Symbol("size", "S", "width of the light, in the direction looked at", "m", 0.03, 1.5)
_HALF = Symbol("half_angle", "alpha", "half-angle under which the drop sees the light", "rad", 0.01, 1.4)


def _half_angle(size: float, distance: float) -> Any:
    from splashkit import lights

    return lights.apparent_half_angle(size, distance)


def _bright_share(index: float, half_angle: float) -> Any:
    from splashkit import lights

    return lights.bright_radius(half_angle, index)


def _light_power(
    level: float, distance: float, aperture: float, magnification: float, pupil_ratio: float, guide_number: float,
    iso: float,
) -> Any:  # fmt: skip
    from splashkit import lights

    made = lights.two_light_plan(
        guide_number, distance, guide_number, distance, aperture, iso, magnification, pupil_ratio, back_level=level
    )
    return made.back_power


def _light_falloff(near: float, size: float, depth: float) -> Any:
    from splashkit import lights

    return lights.disc_falloff_stops(near, near + depth, size)


HALF_ANGLE = Relation(
    name="light_half_angle",
    title="How large the drop sees the light",
    equation="half_angle = atan(size / (2 * distance))",
    symbols=(_HALF, _SIZE, Symbol("distance", "d", "distance from light to drop", "m", 0.05, 2.0)),
    source="geometry",
    same_as=_half_angle,
    turned={"distance": "size/(2*tan(half_angle))"},
)

BRIGHT_SHARE = Relation(
    name="bright_share",
    title="How far out the drop is bright",
    equation="share = index * sin(half_angle / 2) / sqrt(index**2 + 1 - 2 * index * cos(half_angle / 2))",
    symbols=(
        Symbol("share", "b", "bright radius as a share of the drop's radius", "1", 0.0, 1.0),
        Symbol("index", "n", "refractive index of the liquid", "1", 1.33, 1.47),
        _HALF,
    ),
    source="Snell's law through a ball, seen from afar; derived here",
    same_as=_bright_share,
    turned={"half_angle": ""},
)

LIGHT_POWER = Relation(
    name="light_power",
    title="The power that gives a light its level",
    equation=(
        "power = 2**level * (distance * aperture * (1 + magnification / pupil_ratio) / guide_number)**2 * 100 / iso"
    ),
    symbols=(
        Symbol("power", "p", "share of full power", "1", 1e-7, 1e5),
        Symbol("level", "n", "number of stops to give: wanted over correct, plus lost on the way", "stop", -4.0, 2.0),
        Symbol("distance", "d", "distance from light to drop", "m", 0.05, 3.0),
        Symbol("aperture", "N", "f-number set", "1", 2.0, 32.0),
        Symbol("magnification", "m", "magnification", "1", 0.05, 2.0),
        Symbol("pupil_ratio", "P", "pupil ratio: the lens's rear opening over its front opening", "1", 0.3, 3.0),
        Symbol("guide_number", "G", "guide number at full power and ISO 100", "m", 5.0, 100.0),
        Symbol("iso", "S", "ISO setting", "1", 50.0, 6400.0),
    ),
    source="guide number of ISO 1230:1992 (from memory), with close-up loss; derived here",
    same_as=_light_power,
)

LIGHT_FALLOFF = Relation(
    name="light_falloff",
    title="How much darker the far side of the scene is",
    equation="stops = log2(((near + depth)**2 + (size / 2)**2) / (near**2 + (size / 2)**2))",
    symbols=(
        Symbol("stops", "n", "number of stops lost", "stop", 0.0, 12.0),
        Symbol("near", "d", "distance from light to drop", "m", 0.05, 2.0),
        Symbol("depth", "t", "depth of the scene behind the drop", "m", 0.01, 0.5),
        _SIZE,
    ),
    source="illuminance of an evenly bright disc, photometry textbooks; derived here",
    same_as=_light_falloff,
)

RELATIONS = (HALF_ANGLE, BRIGHT_SHARE, LIGHT_POWER, LIGHT_FALLOFF)
