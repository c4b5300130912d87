"""Liquids people use: density, viscosity and surface tension, each with its source and its band."""

from splashkit.liquids.altered import dyed, with_detergent
from splashkit.liquids.basics import Liquid
from splashkit.liquids.dairy import milk
from splashkit.liquids.glycerol import glycerol_density, glycerol_viscosity, glycerol_water, mass_from_volume_fraction
from splashkit.liquids.mixing import Mix, glycerol_fraction_for, mix_for_viscosity
from splashkit.liquids.spirit import ethanol_water
from splashkit.liquids.thick import Carreau, Cross, PowerLaw, pinch_of_xanthan, thickened
from splashkit.liquids.water_and_air import (
    air_density,
    air_viscosity,
    water,
    water_density,
    water_surface_tension,
    water_viscosity,
)

__all__ = [
    "Carreau",
    "Cross",
    "Liquid",
    "Mix",
    "PowerLaw",
    "air_density",
    "air_viscosity",
    "dyed",
    "ethanol_water",
    "glycerol_density",
    "glycerol_fraction_for",
    "glycerol_viscosity",
    "glycerol_water",
    "mass_from_volume_fraction",
    "milk",
    "mix_for_viscosity",
    "pinch_of_xanthan",
    "thickened",
    "water",
    "water_density",
    "water_surface_tension",
    "water_viscosity",
    "with_detergent",
]
