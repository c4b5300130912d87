"""Liquids people use: density, viscosity and surface tension, each with its source and its band."""

from splashkit.liquids.basics import Liquid
from splashkit.liquids.milk import milk
from splashkit.liquids.water import (
    air_density,
    air_viscosity,
    water,
    water_density,
    water_surface_tension,
    water_viscosity,
)

__all__ = [
    "Liquid",
    "air_density",
    "air_viscosity",
    "milk",
    "water",
    "water_density",
    "water_surface_tension",
    "water_viscosity",
]
