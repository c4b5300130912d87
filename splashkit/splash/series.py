"""The open series beside the model: what was seen, what the model says, and the difference, shown."""

from __future__ import annotations

import csv
from importlib import resources
from typing import Any, NamedTuple

import numpy as np

from splashkit import drops
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


class HeightSeries(NamedTuple):
    """One simulated run: time after first contact [s] and height of the liquid on the axis [m]."""

    name: str
    diameter: float
    speed: float
    weber: float
    time: Any
    height: Any


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
        run = summary[name]
        time, height = np.array(pairs).T
        made.append(HeightSeries(name, float(run["d_mm"]) * 1e-3, float(run["V_m_s"]), float(run["We"]), time, height))
    return tuple(made)
