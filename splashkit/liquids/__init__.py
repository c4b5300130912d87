"""Liquids people use: density, viscosity and surface tension, each with its source and its band."""

from splashkit.liquids.basics import Liquid
from splashkit.liquids.dairy import milk
from splashkit.liquids.water_and_air import (
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
