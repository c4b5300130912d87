"""The rig's rooms from outside: timing, chains, odds, measure."""

import math
from functools import cache

import numpy as np
from fluids import drag
from scipy import integrate, optimize, stats

from outside import APART, LIBRARY, inside, near, source, within
from outside.water import AIR, AIR_VISCOSITY, BY_EYE, WATER, G, scaled
from splashkit import chains, measure, odds, timing

# --- timing -----------------------------------------------------------------------------------------------------

gaps = source("timing", APART, "impact_timeline_reference_cases", "simple models with constants set by eye")
arrival = source(
    "timing", LIBRARY,
    tuple({"nozzle_m": h, "D_mm": d} for h in (0.15, 0.25, 0.4, 0.6, 1.0) for d in (3.0, 4.0, 5.0)),
    "scipy's integration with Clift's drag of the fluids library",
)  # fmt: skip
PHASES = (("rising", "gap_early", "Vrel_early"), ("top", "gap_top", "Vrel_top"))


def plan(row, phase):
    return plan_of(row["h_cm"] * 1e-2, row["d_mm"] * 1e-3, row["liquid"], phase)


@cache
def plan_of(height, diameter, liquid, phase):
    return timing.gap_for_meeting(height + diameter, diameter, BY_EYE[liquid], phase=phase, fraction=0.25)


@cache
def fallen_time(height, diameter):
    """Time to fall this far, by scipy, with the drag of a library."""

    def rate(_, state):
        speed = max(state[1], 1e-9)
        cd = drag.Clift(AIR * speed * diameter / AIR_VISCOSITY)
        return [state[1], G * (1 - AIR / WATER) - 0.75 * cd * AIR / WATER * speed**2 / diameter]

    def landed(_, state):
        return state[0] - height

    landed.terminal = True
    return integrate.solve_ivp(rate, (0, 5), [0, 0], events=landed, rtol=1e-9, atol=1e-12).t[-1]


TIMING = [
    *(gaps(f"gap, meeting {'early' if phase == 'rising' else 'at the top'}", "ms", column,
           lambda r, phase=phase: scaled(plan(r, phase).gap, 1e3), inside("the stated band"))
      for phase, column, _ in PHASES),
    *(gaps(f"closing speed, meeting {'early' if phase == 'rising' else 'at the top'}", "m/s", column,
           lambda r, phase=phase: plan(r, phase).meeting.closing_speed,
           within(0.25, "the tip was steeper with the shape set by eye")) for phase, _, column in PHASES),
    gaps("first contact", "ms", "t_fall", lambda r: 1e3 * plan(r, "top").first_contact,
         within(0.01, "they used a simpler fall")),
    arrival("first contact", "s", lambda r: fallen_time(r["nozzle_m"] - r["D_mm"] * 1e-3, r["D_mm"] * 1e-3),
            lambda r: timing.gap_for_meeting(r["nozzle_m"], r["D_mm"] * 1e-3).first_contact,
            within(0.005, "drag laws in use differ by 0.4 %")),
]  # fmt: skip

# --- chains -----------------------------------------------------------------------------------------------------

rear = source("chains", APART, "front_rear_curtain", "sums of the assumed delays")


def lag(row, mode):
    # table: release lag 50 ms, curtain travel 3 ms, rear signal 0.5 ms before the second curtain; no link, no trigger
    made = chains.light_chain(mode, 0.050, curtain_travel=0.003, exposure_time=row["t"], margin=0.5e-3)
    return made.mean - chains.light_chain("open").mean


CHAINS = [
    rear("flash at the front curtain", "ms", "front_latency_ms", lambda r: 1e3 * lag(r, "front")),
    rear("flash at the rear curtain", "ms", "rear_latency_ms", lambda r: 1e3 * lag(r, "rear")),
    rear("rear less front", "ms", "difference_ms", lambda r: 1e3 * float(chains.front_rear_difference(r["t"], 0.003))),
    rear("fall from rest meanwhile", "mm", "drop_mm_from_rest",
         lambda r: 9.81 * (lag(r, "rear") - lag(r, "front")) ** 2 / 2 * 1e3),
]  # fmt: skip

# --- odds -------------------------------------------------------------------------------------------------------

bell = source("odds", LIBRARY, tuple({"x": n / 2} for n in range(-12, 13)), "scipy.stats.norm")
hits = source(
    "odds", LIBRARY,
    tuple({"spread": s, "window": w, "offset": o} for s in (5e-4, 2e-3, 1e-2) for w in (5e-4, 1.5e-3, 5e-3)
          for o in (0.0, 1e-3)),
    "scipy.stats.norm",
)  # fmt: skip
frames = source(
    "odds",
    LIBRARY,
    tuple({"p": p, "wanted": n} for p in (0.005, 0.05, 0.3, 0.8) for n in (1, 3, 10, 40)),
    "scipy.stats.binom",
)


def chance(row):
    s, w, o = row["spread"], row["window"], row["offset"]
    return stats.norm.cdf((w - o) / s) - stats.norm.cdf((-w - o) / s)


@cache
def enough(p, wanted):
    """The least number of frames with nine chances in ten, by counting up with scipy."""
    many = optimize.brentq(lambda n: stats.binom.sf(wanted - 1, round(n), p) - 0.9, wanted, 20 * wanted / p, xtol=0.5)
    first = max(wanted, round(many) - 3)
    return next(n for n in range(first, first + 20) if stats.binom.sf(wanted - 1, n, p) >= 0.9)


ODDS = [
    bell("bell curve", "1", lambda r: stats.norm.cdf(r["x"]), lambda r: odds.bell_below(r["x"]),
         near(1.2e-7, "a rational approximation")),
    hits("odds of a hit", "1", chance, lambda r: odds.hit_odds(r["spread"], r["window"], r["offset"]),
         near(3e-7, "a rational approximation")),
    frames("frames for some keepers", "frames", lambda r: enough(r["p"], r["wanted"]),
           lambda r: odds.frames_to_budget(r["p"], r["wanted"], 0.9), near(0.0, "a whole number")),
    frames("chance of some keepers in a hundred frames", "1", lambda r: stats.binom.sf(r["wanted"] - 1, 100, r["p"]),
           lambda r: odds.chance_of_keepers(r["p"], 100, r["wanted"]), near(1e-9, "the same sum")),
]  # fmt: skip

# --- measure ----------------------------------------------------------------------------------------------------

seen = source(
    "measure", LIBRARY,
    tuple({"lag_ms": lag, "delay_ms": wait} for lag in (20.0, 83.5, 120.0) for wait in (80.0, 90.0, 100.0)),
    "a drop's place by the fluids library",
)  # fmt: skip
scatter = source(
    "measure",
    LIBRARY,
    tuple({"frames": n, "end": end} for n in (3, 4, 5, 7, 20) for end in ("low", "high")),
    "chi-square of scipy.stats",
)


def lag_seen(row):
    """The lag measured from a picture whose drop a library placed."""
    valve, delay, diameter = 0.012, row["delay_ms"] * 1e-3, 4e-3
    _, distance = drag.integrate_drag_sphere(
        D=diameter, rhop=WATER, rho=AIR, mu=AIR_VISCOSITY, t=delay + row["lag_ms"] * 1e-3 - valve, V=0.1,
        Method="Clift", distance=True,
    )  # fmt: skip
    height = 0.25 - diameter / 2 - distance
    return 1e3 * measure.lag_from_drop(height, delay, 0.25, diameter, valve, 0.1).value


def heights(count):
    return 0.02 + 1e-3 * np.random.default_rng(count).standard_normal(count)


def chi_square_end(row):
    free = row["frames"] - 1
    half = stats.chi2.ppf(0.95 if row["end"] == "low" else 0.05, free)
    return 1e3 * math.sqrt(free * np.var(heights(row["frames"]), ddof=1) / half) / 2


MEASURE = [
    seen("lag from one drop", "ms", "lag_ms", lag_seen, near(0.3, "drag laws differ; a tenth of a pixel")),
    *(scatter(f"ends of the scatter's band, {words}", "ms", chi_square_end,
              lambda r: 1e3 * getattr(measure.scatter_from_heights(heights(r["frames"]), 2.0, 1e-9), r["end"]),
              within(size, "Wilson & Hilferty's form of chi-square, wide for few frames"),
              where=lambda r, low=low, high=high: low <= r["frames"] < high)
      for words, low, high, size in (("3 frames", 3, 4, 0.14), ("4 frames", 4, 5, 0.04), ("5 to 20", 5, 99, 0.02))),
]  # fmt: skip

CHECKS = [*TIMING, *CHAINS, *ODDS, *MEASURE]
