"""The open series beside the model: what was seen, what the model says, and the difference, shown."""

from __future__ import annotations

import csv
from importlib import resources
from typing import Any, NamedTuple

import numpy as np

from splashkit import drops, liquids
from splashkit.estimate import Estimate
from splashkit.splash.given import liquid_or_water
from splashkit.splash.impact import first_drop

_SPARKS = "worthington1908_seriesI_7.36mm_40cm_water_into_milkwater.csv"
SPARK_DIAMETER, SPARK_HEIGHT = 7.36e-3, 0.40  # m; his figures

_STAGES = (
    ("4", "crown at its highest", "crown_time"),
    ("10", "column begins in the hollow", "column_start"),
    ("11", "column a steep cone", "column_start"),
    ("15", "column at its greatest height", "column_peak_time"),
    ("18", "a lump is left in a hollow", "column_end"),
    ("19", "column has vanished", "column_end"),
    ("20a", "second column starts", "second_column_start"),
)


class Stage(NamedTuple):
    """One stage of the sparks: time seen [s], the model's estimate [s], and seen less model [s]."""

    plate: str
    words: str
    seen: float
    model: Estimate
    residual: float
    inside: bool


# what the runs were made of: density, viscosity, surface tension (header of the table)
_RUN_LIQUIDS = {
    "water": (998.2, 1.0016e-3, 0.0728),
    "milk": (1030.0, 2.0e-3, 0.047),
    "gw50": (1126.0, 6.0e-3, 0.069),
}
_RUN_WORDS = {"water": "water", "milk": "milk of low surface tension", "gw50": "half glycerol, half water"}
# words, unit, column of the table, name in Splash, factor to SI
_LANDMARKS = (
    ("crater deepest", "m", "R_mm", "crater_depth", 1e-3),
    ("column passes the level", "s", "te_ms", "column_start", 1e-3),
    ("height of the column", "m", "H_mm", "column_peak_height", 1e-3),
    ("column at its top", "s", "tH_ms", "column_peak_time", 1e-3),
    ("column gone", "s", "tg_ms", "column_end", 1e-3),
)


class HeightSeries(NamedTuple):
    """One simulated run: time after first contact [s] and height of the liquid on the axis [m]."""

    name: str
    diameter: float
    speed: float
    weber: float
    time: Any
    height: Any
    liquid: liquids.Liquid


class Landmark(NamedTuple):
    """One number of a simulated run beside the model, SI: ``residual`` is seen less model."""

    run: str
    words: str
    unit: str
    seen: float
    model: Estimate
    residual: float
    inside: bool


def table(name: str) -> list[dict[str, str]]:
    """Read one of the package's own tables, its comment lines left out."""
    text = resources.files("splashkit").joinpath("data", name).read_text(encoding="utf-8")
    return list(csv.DictReader(line for line in text.splitlines() if not line.startswith("#")))


def spark_stages(liquid: Any = None) -> tuple[Stage, ...]:
    r"""Return the stages of the 1908 spark series beside the model.

    .. math:: \text{residual} = t_{seen} - t_{model}

    Parameters
    ----------
    liquid : Liquid or None
        Liquid for the model; the bowl held milk mixed with water in an unstated share; None is water [any].

    Returns
    -------
    tuple of Stage
        Plate, words, time seen, the model's estimate, residual, and whether it lies in the band.

    Raises
    ------
    ValueError
        If the liquid is not a Liquid.

    Notes
    -----
    Valid for this one series: water drops of 7.36 mm from 40 cm, each plate another drop, times good to
    2 ms. The series took part in the fit, so agreement here is no independent proof.

    Examples
    --------
    >>> [stage.plate for stage in spark_stages() if not stage.inside]
    []

    References
    ----------
    A. M. Worthington, A Study of Splashes, Longmans 1908, Series I (public domain).
    """
    speed = drops.fall(SPARK_HEIGHT, SPARK_DIAMETER).speed
    made = first_drop(SPARK_DIAMETER, speed, liquid_or_water(liquid))
    seen = {row["plate"]: float(row["t_s"]) for row in table(_SPARKS)}
    stages = []
    for plate, words, name in _STAGES:
        model: Estimate = getattr(made, name)
        residual = float(seen[plate] - model.value)
        stages.append(Stage(plate, words, seen[plate], model, residual, bool(model.contains(seen[plate]))))
    return tuple(stages)


def simulated_heights() -> tuple[HeightSeries, ...]:
    r"""Return the simulated heights on the axis against time, to draw beside the model.

    .. math:: z(t)

    Returns
    -------
    tuple of HeightSeries
        One a run: name, drop diameter, speed, Weber number, times, heights.

    Raises
    ------
    ValueError
        Never, unless the package's table is damaged.

    Notes
    -----
    Valid as they are: axisymmetric, spherical drop, clean surface; heights move 10-25 % with the grid.
    They took part in the fit.

    Examples
    --------
    >>> len(simulated_heights())
    9

    References
    ----------
    Own simulation (axisymmetric two-phase flow), not published.
    """
    summary = {row["name"]: row for row in table("sim_axisym_summary.csv")}
    points: dict[str, list[tuple[float, float]]] = {}
    for row in table("sim_axisym_jet_height_vs_time.csv"):
        points.setdefault(row["name"], []).append((float(row["t_ms"]) * 1e-3, float(row["z_axis_mm"]) * 1e-3))
    made = []
    for name, pairs in points.items():
        diameter, speed = _drop_of(summary[name])
        time, height = np.array(pairs).T
        weber = float(summary[name]["We"])
        made.append(HeightSeries(name, diameter, speed, weber, time, height, _liquid_of(name)))
    return tuple(made)


def simulated_landmarks() -> tuple[Landmark, ...]:
    r"""Return every number of every simulated run beside the model.

    .. math:: \text{residual} = x_{seen} - x_{model}

    Returns
    -------
    tuple of Landmark
        Run, words, unit, number seen, the model's estimate, residual, and whether it lies in the band.

    Raises
    ------
    ValueError
        Never, unless the package's table is damaged.

    Notes
    -----
    Valid as :func:`simulated_heights`. All runs but the two called B took part in the fit, so that all lie
    inside the bands proves little. The two B catch a bubble under the crater: their columns stay at half of
    the model's height or less, and only a band that is widened for such drops holds them.

    Examples
    --------
    >>> low = [mark.run for mark in simulated_landmarks() if mark.residual < -0.3 * mark.model.value]
    >>> low
    ['B_10', 'B_11']

    References
    ----------
    Own simulation (axisymmetric two-phase flow), not published.
    """
    made = []
    for run in table("sim_axisym_summary.csv"):
        splash = first_drop(*_drop_of(run), _liquid_of(run["name"]))
        for words, unit, column, name, factor in _LANDMARKS:
            if run[column]:
                seen, model = float(run[column]) * factor, getattr(splash, name)
                inside = bool(model.contains(seen))
                made.append(Landmark(run["name"], words, unit, seen, model, float(seen - model.value), inside))
    return tuple(made)


def _drop_of(run: dict[str, str]) -> tuple[float, float]:
    return float(run["d_mm"]) * 1e-3, float(run["V_m_s"])


def _liquid_of(name: str) -> liquids.Liquid:
    """Give the liquid a run was made of, taken as exact."""
    kind = name.split("_")[0]
    kind = kind if kind in _RUN_LIQUIDS else "water"
    density, viscosity, tension = (Estimate(value, value, value, "set in the run") for value in _RUN_LIQUIDS[kind])
    return liquids.Liquid(_RUN_WORDS[kind], density, viscosity, tension)
