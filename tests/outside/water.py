"""Water from outside: liquids, drops, splash."""

import csv
import math
from dataclasses import replace
from functools import cache
from pathlib import Path

import chemicals
import numpy as np
from fluids import core, drag
from iapws import IAPWS95
from iapws._iapws import _Tension
from scipy import integrate, special

from outside import APART, LIBRARY, MEMORY, OWN_RUNS, PUBLISHED, inside, near, printed, source, within
from splashkit import drops, liquids, splash
from splashkit.estimate import Estimate
from splashkit.liquids import glycerol
from splashkit.splash import bands, constants, forms

DATA = Path(splash.__file__).parents[1] / "data"
WATER, TENSION, VISCOSITY, AIR, AIR_VISCOSITY, G = 998.2, 0.07274, 1.0016e-3, 1.204, 1.82e-5, 9.80665
SPHERE_LAWS = ("CliftGauvin", "Clift", "SN", "BL", "Morrison")


def exact(value):
    return Estimate(value, value, value, "test")


def liquid_of(density, viscosity, tension):
    properties = {"density": density, "viscosity": viscosity, "surface_tension": tension}
    return replace(liquids.water(), **{name: exact(value) for name, value in properties.items()})


def own_table(name):
    """Read a table that travels with the package."""
    with open(DATA / name, newline="", encoding="utf-8") as file:
        return tuple(csv.DictReader(line for line in file if not line.startswith("#")))


# --- liquids ----------------------------------------------------------------------------------------------------

water = source("liquids", LIBRARY, "water_5_40C", "IAPWS-95, R12-08 and R1-76 by the iapws library")
between = source(
    "liquids", LIBRARY, tuple({"T_C": t} for t in (0.5, 7.0, 12.5, 22.0, 33.0, 40.0, 60.0)),
    "iapws and chemicals libraries, asked between the rows",
)  # fmt: skip
tension = source(
    "liquids", PUBLISHED,
    tuple({"T_C": t, "mN_m": s} for t, s in ((20.0, 72.75), (25.0, 72.01), (30.0, 71.21), (35.0, 70.42),
                                             (40.0, 69.52))),
    "Vázquez, Alvarez & Navaza 1995, J. Chem. Eng. Data 40:611, Table 1",
)  # fmt: skip
old = source(
    "liquids", MEMORY, ({"T_C": 20.0, "mPa_s": 1.0087}, {"T_C": 25.0, "mPa_s": 0.8949}),
    "International Critical Tables 1928",
)  # fmt: skip
air = source("liquids", LIBRARY, "air", "Lemmon et al. 2000, Lemmon & Jacobsen 2004 by the chemicals library")
segur = source("liquids", PUBLISHED, "glycerol_viscosity", "Segur & Oberstar 1951, Ind. Eng. Chem. 43:2117")
cheng = source("liquids", PUBLISHED, "glycerol_viscosity", "Cheng 2008, Ind. Eng. Chem. Res. 47:3285, formula")
bosart = source("liquids", PUBLISHED, "glycerol_density", "Bosart & Snoddy 1927")
volk = source("liquids", PUBLISHED, "glycerol_density", "Volk & Kähler 2018, Exp. Fluids 59:75, formula")
bakshi = source("liquids", PUBLISHED, "milk", "Bakshi & Smith 1984, J. Dairy Sci. 67:1157, formula of the abstract")
bertsch = source("liquids", PUBLISHED, "milk", "Bertsch 1983, J. Dairy Res. 50:259, formula of the abstract")
ethanol = source("liquids", MEMORY, "ethanol_surface_tension", "Vázquez, Alvarez & Navaza 1995, Table 2")


def share(row):
    return row["mass_pct"] / 100


def kelvin(row):
    return row["T_C"] + 273.15


@cache
def state(t):
    return IAPWS95(T=t + 273.15, P=0.101325)


SHORT = "shorter formulas than the library's"
LIQUIDS = [
    water("density of water", "kg/m³", "rho_kg_m3", lambda r: liquids.water_density(r["T_C"]), within(1e-3, SHORT)),
    water("viscosity of water", "Pa s", "mu_Pa_s", lambda r: liquids.water_viscosity(r["T_C"]), within(1e-3, SHORT)),
    water("surface tension of water", "N/m", "sigma_N_m", lambda r: liquids.water_surface_tension(r["T_C"]),
          within(1e-3, "printed to four digits")),
    between("density of water", "kg/m³", lambda r: state(r["T_C"]).rho, lambda r: liquids.water_density(r["T_C"]),
            within(1e-4, SHORT)),
    between("density of water", "kg/m³", lambda r: chemicals.iapws95_rho(kelvin(r), 101325.0),
            lambda r: liquids.water_density(r["T_C"]), within(1e-4, SHORT)),
    between("viscosity of water", "Pa s", lambda r: state(r["T_C"]).mu, lambda r: liquids.water_viscosity(r["T_C"]),
            within(1e-3, SHORT)),
    between("viscosity of water", "Pa s", lambda r: chemicals.mu_IAPWS(kelvin(r), state(r["T_C"]).rho),
            lambda r: liquids.water_viscosity(r["T_C"]), within(1e-3, SHORT)),
    between("surface tension of water", "N/m", lambda r: _Tension(kelvin(r)),
            lambda r: liquids.water_surface_tension(r["T_C"]), within(1e-9, "the same formula")),
    between("surface tension of water", "N/m", lambda r: chemicals.sigma_IAPWS(kelvin(r)),
            lambda r: liquids.water_surface_tension(r["T_C"]), within(1e-9, "the same formula")),
    tension("surface tension of water", "mN/m", "mN_m", lambda r: 1e3 * liquids.water_surface_tension(r["T_C"]),
            near(0.09, "their scatter round the IAPWS formula")),
    tension(
        "band of that surface tension",
        "mN/m",
        "mN_m",
        lambda r: scaled(liquids.water(r["T_C"]).surface_tension, 1e3),
        inside("the stated band"),
    ),
    old("viscosity of water", "mPa s", "mPa_s", lambda r: scaled(liquids.water(r["T_C"]).viscosity, 1e3),
        inside("old handbooks are 0.5 to 0.7 % high")),
    air("density of air", "kg/m³", "rho_dry", lambda r: liquids.air_density(r["T_C"]), within(5e-4, SHORT)),
    air("density of air", "kg/m³", "rho_cipm_dry", lambda r: liquids.air_density(r["T_C"]),
        within(5e-4, SHORT), kind=MEMORY, source="CIPM-2007"),
    air("viscosity of air", "Pa s", "mu_Pa_s", lambda r: liquids.air_viscosity(r["T_C"]), within(5e-4, SHORT)),
    *(segur(f"viscosity of glycerol and water, {t} °C", "mPa s", f"SO_{t}",
            lambda r, t=t: 1e3 * glycerol.glycerol_viscosity(share(r), float(t)),
            within(0.03 if t == 20 else 0.036, "Cheng's formula against the measurements"))
      for t in (0, 10, 20, 30, 40)),
    *(segur(f"band of that viscosity, {t} °C", "mPa s", f"SO_{t}",
            lambda r, t=t: scaled(liquids.glycerol_water(mass_fraction=share(r), temperature=float(t)).viscosity, 1e3),
            inside("the stated band")) for t in (0, 10, 20, 30, 40)),
    *(cheng(f"viscosity of glycerol and water, {t} °C", "mPa s", f"Cheng_{t}",
            lambda r, t=t: 1e3 * glycerol.glycerol_viscosity(share(r), float(t)), printed(3, "the same formula"))
      for t in (20, 25, 30)),
    segur("share of glycerol for a viscosity", "%", "mass_pct",
          lambda r: 100 * liquids.glycerol_fraction_for(r["SO_20"] * 1e-3, 20.0),
          near(1.2, "3 % in viscosity is 1.2 % of the mix"), where=lambda r: 0 < r["mass_pct"] < 100),
    *(bosart(f"density of glycerol and water, {t} °C", "kg/m³", f"BS_{t}",
             lambda r, t=t: glycerol.glycerol_density(share(r), float(t)),
             within(1e-3, "Volk & Kähler's fit")) for t in (20, 25, 30)),
    *(volk(f"density of glycerol and water, {t} °C", "kg/m³", f"VK_{t}",
           lambda r, t=t: glycerol.glycerol_density(share(r), float(t)),
           near(0.006, "the last digit printed")) for t in (20, 25, 30)),
    bakshi("viscosity of milk", "mPa s", "mu_mPa_s", lambda r: 1e3 * milk(r).viscosity.value,
           near(0.6e-4, "the last digit printed")),
    bertsch("surface tension of milk", "mN/m", "sigma_mN_m", lambda r: 1e3 * milk(r).surface_tension.value,
            near(0.6e-3, "the last digit printed")),
    *(ethanol(f"surface tension of ethanol and water, {t} °C", "mN/m", f"sigma_{t}",
              lambda r, t=t: 1e3 * liquids.ethanol_water(mass_fraction=share(r), temperature=float(t))
              .surface_tension.value, printed(4, "the table itself")) for t in (20, 25)),
]  # fmt: skip


def scaled(estimate, factor):
    return Estimate(factor * estimate.value, factor * estimate.low, factor * estimate.high, estimate.why)


def milk(row):
    return liquids.milk(row["fat_pct"] / 100, row["T_C"])


# --- drops ------------------------------------------------------------------------------------------------------

falls = source("drops", LIBRARY, "fall_cases", "scipy's integration with the drag laws of the fluids library")
vacuum = source("drops", APART, "fall_cases", "closed forms without air and with constant drag")
gunn = source("drops", PUBLISHED, "terminal_speed", "Gunn & Kinzer 1949, J. Meteorol. 6:243, Table 2")
beard = source("drops", PUBLISHED, "terminal_speed", "Beard 1976, J. Atmos. Sci. 33:851")
chuang = source("drops", PUBLISHED, "terminal_speed", "Beard & Chuang 1987, J. Atmos. Sci. 44:1509")
sphere = source(
    "drops", LIBRARY, tuple({"Re": float(re)} for re in (30, 40, 70, 100, 200, 400, 700, 1000, 2000, 4000)),
    "Clift, Grace & Weber 1978 by the fluids library",
)  # fmt: skip
moving = source(
    "drops", LIBRARY,
    tuple({"h_m": h, "D_mm": d} for h, d in ((0.1, 2), (0.4, 4), (1.0, 5), (1.5, 2))),
    "integrate_drag_sphere of the fluids library, Clift's law",
)  # fmt: skip
numbers = source("drops", LIBRARY, "dimensionless", "fluids.core, with the diameter as length")
gravity = source("drops", LIBRARY, "normal_gravity", "boule 0.6.0, WGS84")
valve = source("drops", APART, "valve_volume", "Torricelli and the frictionless start-up")
harkins = source("drops", MEMORY, "harkins_brown", "Harkins & Brown 1919, J. Am. Chem. Soc. 41:499")
tate = source("drops", APART, "drop_size_tate", "drop-weight balance solved apart")
rayleigh = source("drops", APART, "drop_oscillation", "Rayleigh 1879; Lamb 1932, arts. 275 and 355")

DRAG = "drag laws in use differ by 0.4 %"
LAST = "the last digit printed"


def drop(row):
    return row["D_mm"] * 1e-3


@cache
def library_fall(height, diameter):
    time = drops.fall(height, diameter).time
    speed, distance = drag.integrate_drag_sphere(
        D=diameter, rhop=WATER, rho=AIR, mu=AIR_VISCOSITY, t=time, V=0, Method="Clift", distance=True
    )
    return speed, distance


def valve_of(row, **more):
    return drops.valve_drop_volume(row["t_ms"] * 1e-3, row["d_mm"] * 1e-3, row["h_m"], **more)


def tip(row):
    return drops.tip_drop_volume(row["r_mm"] * 1e-3)


def guess(row):
    return drops.fall_estimate(row["h_m"] + drop(row), drop(row))


DROPS = [
    *(falls(f"fall time, {law} drag", "s", f"t_{law}", lambda r: drops.fall(r["h_m"], drop(r)).time,
            within(0.005, DRAG)) for law in SPHERE_LAWS),
    *(falls(f"speed of arrival, {law} drag", "m/s", f"v_{law}", lambda r: drops.fall(r["h_m"], drop(r)).speed,
            within(0.005, DRAG)) for law in SPHERE_LAWS),
    *(falls(f"band of the fall time, {law} drag", "s", f"t_{law}", lambda r: guess(r).time,
            inside("the stated band")) for law in SPHERE_LAWS),
    *(falls(f"band of the speed, {law} drag", "m/s", f"v_{law}", lambda r: guess(r).speed,
            inside("the stated band")) for law in SPHERE_LAWS),
    vacuum("fall time without air", "s", "t_vac", lambda r: drops.fall_in_vacuum(r["h_m"]).time, printed(5)),
    vacuum("speed without air", "m/s", "v_vac", lambda r: drops.fall_in_vacuum(r["h_m"]).speed, printed(5)),
    vacuum("fall time, constant drag", "s", "t_quad045",
           lambda r: drops.fall_constant_drag(r["h_m"], drop(r), 0.45).time, near(0.6e-6, LAST)),
    vacuum("speed, constant drag", "m/s", "v_quad045",
           lambda r: drops.fall_constant_drag(r["h_m"], drop(r), 0.45).speed, near(0.6e-6, LAST)),
    gunn("terminal speed", "m/s", "v_GK", lambda r: drops.terminal_speed(drop(r)),
         within(0.013, "what the docstring states"), where=lambda r: r["D_mm"] >= 0.5),
    beard("terminal speed", "m/s", "v_Beard", lambda r: drops.terminal_speed(drop(r)),
          within(0.02, "two sets of measurements"), where=lambda r: r["D_mm"] >= 1),
    chuang("flattening in air", "1", "axis_ratio_BeardChuang", lambda r: drops.air_flattening(drop(r)),
           near(0.6e-4, LAST), where=lambda r: r["D_mm"] >= 1),
    sphere("drag coefficient of a sphere", "1", lambda r: drag.Clift(r["Re"]),
           lambda r: drops.drag_coefficient(r["Re"]), within(0.04, "the spread of the laws themselves")),
    moving("distance fallen in a time", "m", lambda r: library_fall(r["h_m"], drop(r))[1], lambda r: r["h_m"],
           within(0.005, DRAG)),
    moving("speed after a time", "m/s", lambda r: library_fall(r["h_m"], drop(r))[0],
           lambda r: drops.fall(r["h_m"], drop(r)).speed, within(0.005, DRAG)),
    numbers("Weber number", "1", "We", lambda r: drops.weber(r["V_m_s"], drop(r), WATER, TENSION)),
    numbers("Weber number", "1", lambda r: core.Weber(r["V_m_s"], drop(r), WATER, TENSION),
            lambda r: drops.weber(r["V_m_s"], drop(r), WATER, TENSION), within(1e-12, "the same formula")),
    numbers("Reynolds number", "1", "Re", lambda r: drops.reynolds(r["V_m_s"], drop(r), WATER, VISCOSITY)),
    numbers("Froude number", "1", "Fr_squared=V^2/(gD)", lambda r: drops.froude(r["V_m_s"], drop(r))),
    numbers("root of the Froude number", "1", "Fr=V/sqrt(gD)",
            lambda r: math.sqrt(drops.froude(r["V_m_s"], drop(r)))),
    numbers("Froude number", "1", lambda r: core.Froude(r["V_m_s"], drop(r), squared=True),
            lambda r: drops.froude(r["V_m_s"], drop(r)), within(1e-12, "the same formula")),
    numbers("Ohnesorge number", "1", "Oh", lambda r: drops.ohnesorge(drop(r), WATER, VISCOSITY, TENSION)),
    numbers("Bond number", "1", "Bo", lambda r: drops.bond(drop(r), WATER - AIR, TENSION)),
    gravity("gravity at a latitude and height", "m/s²", "g_WGS84_formula_freeair",
            lambda r: drops.normal_gravity(math.radians(r["lat_deg"]), r["height_m"]), near(1e-8, LAST)),
    gravity("gravity at a latitude and height", "m/s²", "g_WGS84",
            lambda r: drops.normal_gravity(math.radians(r["lat_deg"]), r["height_m"]),
            near(5e-6, "the free-air step is 4e-6 off the exact form at 1000 m")),
    valve("drop from a valve, no start-up", "µL", "V_uL", lambda r: 1e9 * valve_of(r, feed_length=0.0),
          near(1e-4, LAST)),
    valve("flow of a valve", "mL/s", "Q_mL_s",
          lambda r: 1e6 * valve_of(r, feed_length=0.0) / (r["t_ms"] * 1e-3), near(1e-5, LAST)),
    valve("diameter of a drop of that volume", "mm", "Deq_mm",
          lambda r: 1e3 * drops.sphere_diameter(valve_of(r, feed_length=0.0)), near(1e-4, LAST)),
    valve("drop from a valve", "µL", "V_startup_uL", lambda r: 1e9 * valve_of(r), near(1e-4, LAST)),
    *(valve("band of the drop from a valve", "µL", column,
            lambda r: scaled(drops.valve_drop_estimate(r["t_ms"] * 1e-3, r["d_mm"] * 1e-3, r["h_m"]), 1e9),
            inside("with and without start-up")) for column in ("V_uL", "V_startup_uL")),
    harkins("drop-weight factor", "1", "f_LO", lambda r: drops.drop_weight_factor(r["x"]),
            printed(4, "the same quadratic"), kind=APART, source="quadratic credited to Heertjes et al. 1971"),
    harkins("drop-weight factor", "1", "f_HB_memory", lambda r: drops.drop_weight_factor(r["x"]),
            within(0.015, "a quadratic through the table")),
    harkins("drop-weight factor", "1", "f_LCP_memory", lambda r: drops.drop_weight_factor(r["x"]),
            within(0.015, "two fits of one table"), source="Lee, Chan & Pogaku 2008"),
    tate("drop from a tip", "µL", "V_LO_uL", lambda r: 1e9 * tip(r), near(1e-3, LAST)),
    tate("diameter of a drop from a tip", "mm", "d_LO_mm", lambda r: 1e3 * drops.sphere_diameter(tip(r)),
         near(1e-4, LAST)),
    tate("tip radius over the root of the volume", "1", "x_LO",
         lambda r: r["r_mm"] * 1e-3 / np.cbrt(tip(r)), near(1e-4, LAST)),
    *(tate("band of the drop from a tip", "µL", column,
           lambda r: scaled(drops.tip_drop_estimate(r["r_mm"] * 1e-3), 1e9), inside("other corrections"))
      for column in ("V_LCP_uL", "V_HBtab_uL")),
    *(rayleigh(f"wobble frequency, mode {mode}", "Hz", column,
               lambda r, mode=mode: drops.wobble_frequency(drop(r), mode=mode), near(0.6e-4, LAST))
      for mode, column in ((2, "f2_Hz"), (3, "f3_Hz"), (4, "f4_Hz"))),
    rayleigh("wobble frequency in air", "Hz", "f2_air_Hz",
             lambda r: drops.wobble_frequency(drop(r), air_density=AIR), near(0.6e-4, LAST)),
    rayleigh("wobble period", "ms", "T2_ms", lambda r: 1e3 / drops.wobble_frequency(drop(r)), near(0.6e-4, LAST)),
    rayleigh("wobble damping time", "s", "tau2_s", lambda r: drops.wobble_damping_time(drop(r)), near(0.6e-5, LAST)),
    rayleigh("wobble damping time, mode 3", "s", "tau3_s", lambda r: drops.wobble_damping_time(drop(r), mode=3),
             near(0.6e-5, LAST)),
    rayleigh("swings in a damping time, as an angle", "1", "omega2_tau2",
             lambda r: 2 * math.pi * drops.wobble_frequency(drop(r)) * drops.wobble_damping_time(drop(r)), printed(5)),
    rayleigh("share left after one swing", "1", "decay_per_period",
             lambda r: drops.wobble_at(1 / drops.wobble_frequency(drop(r)), drop(r)).share, near(1e-5, LAST)),
]  # fmt: skip

# --- splash -----------------------------------------------------------------------------------------------------

WORTHINGTON = "worthington1908_seriesI_7.36mm_40cm_water_into_milkwater.csv"
STAGES = {  # what the plate shows, and the moment it belongs to
    "4": ("crown highest", "crown_time"), "10": ("rebound begins", "column_start"),
    "11": ("steep cone", "column_start"), "15": ("column highest", "column_peak_time"),
    "18": ("lump left", "column_end"), "19": ("column vanished", "column_end"),
    "20a": ("second column", "second_column_start"),
}  # fmt: skip
SPARKS = tuple(row for row in own_table(WORTHINGTON) if row["plate"] in STAGES)
BATHS = {"water": liquids.water(), "milk": liquids.milk(), "milk and water": liquid_of(1010.0, 1.5e-3, 0.060)}

PLAIN = liquid_of(WATER, VISCOSITY, 0.0728)
BY_EYE = {
    "water": PLAIN, "milk": liquid_of(1030.0, 2e-3, 0.0524), "gly50": liquid_of(1126.0, 6e-3, 0.0685),
}  # fmt: skip
BY_EYE_COLUMNS = {
    "R_mm": "crater_depth", "t_craterL": "crater_time", "t_emerge": "column_start", "t_pinch": "pinch_off",
    "H_mm": "column_peak_height", "t_top": "column_peak_time", "t_gone": "column_end",
}  # fmt: skip


@cache
def spark(bath):
    return splash.first_drop(7.36e-3, drops.fall(0.40, 7.36e-3).speed, BATHS[bath])


def by_eye(row):
    return splash.first_drop(row["d_mm"] * 1e-3, row["V"], BY_EYE[row["liquid"]])


def opening(row):
    b = 4 / row["bond"]
    whole, _ = integrate.quad(lambda y: math.sqrt(y**3 / ((1 - y**4) + b * (1 - y**2))), 0, 1, limit=400)
    return math.sqrt(4 * constants.CRATER_INERTIA * 8e-3 / G) * whole


sparks = source("splash", PUBLISHED, SPARKS, "Worthington 1908, A Study of Splashes, Series I")
depths = source("splash", PUBLISHED, "published_text_values", "Hobbs & Osheroff 1967, Science 158:1184, abstract")
reference = source("splash", APART, "impact_timeline_reference_cases", "simple models with constants set by eye")
crater = source(
    "splash", LIBRARY, tuple({"bond": bond} for bond in (1e9, 30.0, 5.0, 1.0)), "scipy's quadrature of the same balance"
)
zeros = source("splash", LIBRARY, tuple({"zero": n} for n in range(6)), "zeros of Bessel functions by scipy")
sheets = source(
    "splash", OWN_RUNS, ({"We": 455.0, "diameters": 2.06}, {"We": 186.0, "diameters": 1.38}),
    "two clean collision runs, not published",
)  # fmt: skip
theories = source(
    "splash", MEMORY, ({"factor": 0.060}, {"factor": 0.18}), "Villermaux & Bossa 2011 and Rozhkov et al. 2002"
)


def sheet_at(weber):
    return splash.sheet(4e-3, math.sqrt(weber * 0.0728 / (WATER * 4e-3)), PLAIN).radius_max


LIMITS = {"25": bands.DEEP_BOWL, "7": bands.SHALLOW_BOWL, "3": bands.EMPTY_BOWL, "5": bands.CROWN_BOWL}
SPLASH = [
    *(sparks(f"moments of a splash in {bath}", "s", "t_s",
             lambda r, bath=bath: getattr(spark(bath), STAGES[r.get("plate")][1]),
             inside("the stated band; the liquid was milk mixed with water")) for bath in BATHS),
    depths("depths at which a bowl is shallow", "mm", "value", lambda r: 1e3 * LIMITS[r.get("value")],
           printed(why="taken over"), where=lambda r: r.get("source").startswith("Hobbs")),
    reference("Weber number", "1", "We", lambda r: by_eye(r).weber, within(2e-3, "four digits printed")),
    reference("Froude number", "1", "Fr", lambda r: by_eye(r).froude, within(2e-3, "four digits printed")),
    *(reference(what.replace("_", " "), "ms" if column[0] == "t" else "mm", column,
                lambda r, what=what: scaled(getattr(by_eye(r), what), 1e3), inside("the stated band"))
      for column, what in BY_EYE_COLUMNS.items()),
    crater("time of the deepest crater", "s", opening,
           lambda r: forms.deepest_time(8e-3, WATER, WATER * G * 8e-3**2 / r["bond"], G),
           within(1e-4, "a closed approximation of the integral")),
    zeros("ring waves of a round bowl", "1", lambda r: special.jn_zeros(1, 6)[r["zero"]],
          lambda r: splash.RING_ZEROS[r["zero"]], within(1e-9, "constants")),
    sheets("largest radius of the sheet", "drop diameters", "diameters",
           lambda r: scaled(sheet_at(r["We"]), 1 / 4e-3), inside("the stated band")),
    theories("largest radius of the sheet", "drop diameters", lambda r: r["factor"] * 300**0.5,
             lambda r: scaled(sheet_at(300.0), 1 / 4e-3), inside("the theories differ by a factor of three")),
]  # fmt: skip

CHECKS = [*LIQUIDS, *DROPS, *SPLASH]
