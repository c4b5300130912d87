"""Relations of the bowl: shares and masses of a mix, and the wait until the water is still."""

from __future__ import annotations

from splashkit.workings.base import Relation, Symbol

_SHARE = Symbol("mass_share", "C", "share of glycerol by mass", "1", 0.0, 1.0)

GLYCEROL_BY_MASS = Relation(
    name="glycerol_by_mass",
    title="From a recipe by the jug to one for the scale",
    equation="mass_share = volume_share * glycerol_density "
    "/ (volume_share * glycerol_density + (1 - volume_share) * water_density)",
    symbols=(
        _SHARE,
        Symbol("volume_share", "phi", "share of glycerol by volume, before mixing", "1", 0.0, 1.0),
        Symbol("glycerol_density", "rho_g", "density of glycerol", "kg/m3", 1240.0, 1275.0),
        Symbol("water_density", "rho_w", "density of water", "kg/m3", 990.0, 1000.5),
    ),
    source="derived here: mass is density times volume",
    alone="it is what a share by mass means; tested against liquids.mass_from_volume_fraction",
)

MIX_BOTTLE = Relation(
    name="mix_bottle",
    title="How much to weigh from the glycerol bottle",
    equation="bottle = mass_share * density * (volume + pipe_volume) / purity",
    symbols=(
        Symbol("bottle", "m", "mass to weigh from the bottle", "kg", 0.0, 20.0),
        _SHARE,
        Symbol("density", "rho", "density of the finished mix", "kg/m3", 990.0, 1275.0),
        Symbol("volume", "V", "volume wanted in the bowl and the tank", "m3", 1e-6, 0.01),
        Symbol("pipe_volume", "V_pipe", "volume that the pipe and the valve hold", "m3", 0.0, 1e-3),
        Symbol("purity", "p", "share of glycerol in the bottle, by mass", "1", 0.5, 1.0),
    ),
    source="derived here: mass is density times volume",
    alone="mass is density times volume; tested against liquids.mix_for_viscosity",
)

RESTING_TIME = Relation(
    name="resting_time",
    title="How long until the bowl is still",
    equation="time = decay_time * log(height / still)",
    symbols=(
        Symbol("time", "t", "waiting time", "s", 0.0, 600.0),
        Symbol("decay_time", "tau", "time in which the ripples fall to 37 %", "s", 0.05, 200.0),
        Symbol("height", "a", "height of the ripples just after the splash", "m", 1e-5, 1e-2),
        Symbol("still", "a_still", "height that counts as still", "m", 1e-6, 2e-3),
    ),
    source="derived here: ripples lose the same share in each second",
    alone="it is what dying away evenly means; tested against splash.resting_time",
    where=lambda height, still, **_: height > still,
)

RELATIONS = (GLYCEROL_BY_MASS, MIX_BOTTLE, RESTING_TIME)
