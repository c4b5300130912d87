"""Fit the splash constants again from the open tables, and print how well they predict.

Run from the checkout, with the test extras installed (scipy)::

    python tests/refit/refit_splash.py

It reads splashkit/data/sim_axisym_*.csv (own simulation, not published) and the timings of
Worthington's Series I (1908), fits the forms in ``splashkit.splash.forms`` and prints, for each
constant: the value once picked by eye, the fitted value, the leave-one-condition-out error, the
share of left-out conditions that the band holds, and the band (log half-widths). To take new values
over, copy them into ``splashkit/splash/constants.py``; ``tests/test_splash.py`` fails until both agree.

How it fits. Each run is reduced to one number a quantity; the fit minimises the squared log error, with
every condition (diameter, speed, liquid) weighing the same however many grids or pool depths it was
run with. Leaving out means leaving out the whole condition. B (the bubble-catching window, another
regime) is excluded. The band is the two-sided 90 % band of Student's t for
the leave-one-out errors, or the disagreement of the sources where that is larger. Stages are fitted in the order
in which they run, so that a later error includes the earlier ones: depth, start, then all that hangs on them.
"""

from __future__ import annotations

import csv
from collections.abc import Callable
from pathlib import Path
from typing import Any, NamedTuple

import numpy as np
from scipy.optimize import minimize
from scipy.stats import t as student

from splashkit.splash import forms

DATA = Path(__file__).parents[2] / "splashkit" / "data"
GRAVITY = 9.80665
LIQUIDS = {  # density, tension, viscosity: header of sim_axisym_summary.csv
    "water": (998.2, 0.0728, 1.0016e-3),
    "milk": (1030.0, 0.047, 2.0e-3),
    "gw50": (1126.0, 0.069, 6.0e-3),
}
EXCLUDED = {"B"}


class Fit(NamedTuple):
    """One or two constants of one form: fitted values, out-of-sample log error, and the band."""

    name: str
    constants: dict[str, float]
    by_eye: dict[str, float]
    error: float  # root mean square log error of left-out conditions
    worst: float
    low: float  # band, log half-widths
    high: float
    outer: str  # what widened the band beyond the leave-one-out error, if anything
    left_out: dict[str, float]

    def covered(self) -> float:
        """Return the share of left-out conditions that the band holds."""
        return float(np.mean([-self.low <= error <= self.high for error in self.left_out.values()]))


def rows(name: str) -> list[dict[str, str]]:
    """Read one table, its comment lines left out."""
    with open(DATA / name, newline="", encoding="utf-8") as file:
        return list(csv.DictReader(line for line in file if not line.startswith("#")))


def condition(name: str) -> str:
    """Return the condition a run belongs to: grids and pool depths of one drop are one condition."""
    head = name.split("_")[0]
    return "A" if head in ("A10", "A11", "S") else head


class Runs(NamedTuple):
    """The runs as columns, SI; absent numbers are nan. ``worthington`` marks the measured series."""

    condition: np.ndarray
    columns: dict[str, np.ndarray]

    def __getitem__(self, name: str) -> np.ndarray:
        return self.columns[name]


def load() -> Runs:
    """Gather the simulated runs and the open spark series."""
    names, made = [], []
    for row in rows("sim_axisym_summary.csv"):
        kind = condition(row["name"])
        if kind in EXCLUDED:
            continue
        density, tension, viscosity = LIQUIDS.get(kind, LIQUIDS["water"])
        value = {key: float(text) if text else np.nan for key, text in row.items() if key != "name"}
        names.append(kind)
        made.append(
            {
                "diameter": value["d_mm"] * 1e-3,
                "speed": value["V_m_s"],
                "density": density,
                "tension": tension,
                "viscosity": viscosity,
                "depth": value["R_mm"] * 1e-3,
                "deepest": (value["pl0_ms"] + value["pl1_ms"]) / 2e3,
                "start": value["te_ms"] * 1e-3,
                "height": value["H_mm"] * 1e-3,
                "peak": value["tH_ms"] * 1e-3,
                "pinch": value["tp_ms"] * 1e-3,
                "end": value["tg_ms"] * 1e-3,
                "radius": value["rj_mm"] * 1e-3,
            }
        )
    # Worthington 1908, Series I: start between plates 10 and 11 (64, 73 ms: rebound in the hollow, steep cone),
    # greatest height 116 ms, gone between 197 and 217 ms. Milk mixed with water: tension taken as 60 mN/m,
    # between milk and water; it hardly matters for so large a drop. Speed of a 40 cm fall as in run W2.
    names.append("1908")
    made.append(
        {
            "diameter": 7.36e-3, "speed": 2.738, "density": 1010.0, "tension": 0.060, "viscosity": 1.5e-3,
            "start": 0.0685, "peak": 0.116, "end": 0.207,
        }
    )  # fmt: skip
    keys = made[0].keys()
    columns = {key: np.array([run.get(key, np.nan) for run in made]) for key in keys}
    d, v = columns["diameter"], columns["speed"]
    columns["weber"] = columns["density"] * v**2 * d / columns["tension"]
    columns["froude"] = v**2 / (GRAVITY * d)
    columns["bond"] = columns["density"] * GRAVITY * d**2 / columns["tension"]
    return Runs(np.array(names), columns)


def best(model: Callable[..., Any], data: np.ndarray, weight: np.ndarray, guess: list[float]) -> np.ndarray:
    """Return the constants of least weighted squared log error."""
    found = minimize(
        lambda constants: np.sum(weight * np.log(data / model(*constants)) ** 2),
        guess,
        method="Nelder-Mead",
        options={"xatol": 1e-8, "fatol": 1e-13, "maxiter": 8000, "maxfev": 8000},
    )
    return np.asarray(found.x)


def _up(band: float) -> float:
    """Round a band up to the next hundredth."""
    return float(np.ceil(band * 100 - 1e-9) / 100)


def fit(
    name: str,
    runs: Runs,
    column: str,
    model: Callable[..., Any],
    by_eye: dict[str, float],
    guess: list[float],
    sources: tuple[float, float, str] = (0.0, 0.0, ""),
) -> Fit:
    """Fit one form, predict each condition from the others, and set the band."""
    data = runs[column]
    known = np.isfinite(data)
    groups = runs.condition
    counts = {group: int(np.sum(known & (groups == group))) for group in set(groups[known])}
    weight = np.array([1 / counts.get(group, 1) for group in groups])

    def fitted(use: np.ndarray) -> np.ndarray:
        return best(lambda *c: model(*c)[use], data[use], weight[use], guess)

    errors = {}
    for group in sorted(counts):
        test = known & (groups == group)
        constants = fitted(known & (groups != group))
        errors[group] = float(np.mean(np.log(data[test] / model(*constants)[test])))
    spread = np.array(list(errors.values()))
    error = float(np.sqrt(np.mean(spread**2)))
    band = float(student.ppf(0.95, len(spread) - 1)) * error
    low, high, why = sources
    outer = why if low > band or high > band else ""
    constants = dict(zip(by_eye, fitted(known), strict=True))
    low, high = _up(max(band, low)), _up(max(band, high))
    return Fit(name, constants, by_eye, error, float(np.abs(spread).max()), low, high, outer, errors)


def refit() -> dict[str, Fit]:
    """Fit every form in the order in which they run."""
    runs = load()
    d, rho, sigma = runs["diameter"], runs["density"], runs["tension"]
    weber, froude, bond = runs["weber"], runs["froude"], runs["bond"]
    out: dict[str, Fit] = {}

    def add(*given: Any, **more: Any) -> dict[str, float]:
        made = fit(*given, **more)
        out[made.name] = made
        return made.constants

    # Share of the energy by source: half (Engel, second-hand) to 0.85 (Worthington's fifty drop volumes)
    held = add(
        "crater_depth", runs, "depth",
        lambda share, fade: forms.crater_depth(d, froude, bond, share, fade),
        {"DEPTH_SHARE": 0.55, "DEPTH_FADE": 0.0}, [0.55, 0.2], (0.12, 0.15, "Engel 1966, Worthington 1908"),
    )  # fmt: skip
    depth = forms.crater_depth(d, froude, bond, held["DEPTH_SHARE"], held["DEPTH_FADE"])
    # Lherm et al. 2022 as quoted: 0.664 (d/V) Fr^0.61 for the mean radius, later than ours by up to a fifth
    add(
        "crater_time", runs, "deepest",
        lambda inertia: forms.deepest_time(depth, rho, sigma, GRAVITY, inertia),
        {"CRATER_INERTIA": 0.36}, [0.35], (0.15, 0.20, "Lherm et al. 2022; by-eye band"),
    )  # fmt: skip
    # 1908: rebound seen in the hollow at 64 ms, steep cone at 73 ms; both ends belong inside
    number = add(
        "column_start", runs, "start",
        lambda wavenumber: forms.column_start(depth, rho, sigma, GRAVITY, wavenumber),
        {"WAVENUMBER": 3.06}, [3.1], (0.12, 0.18, "the 1908 sparks, cone at 73 ms"),
    )["WAVENUMBER"]  # fmt: skip
    start = forms.column_start(depth, rho, sigma, GRAVITY, number)
    add(
        "column_peak_height", runs, "height",
        lambda reach: forms.column_peak_height(depth, rho, sigma, GRAVITY, reach),
        {"REACH": 2.5}, [3.2], (0.40, 0.40, "grids differ by a quarter; no measured height could be read"),
    )  # fmt: skip
    radius = add(
        "column_radius", runs, "radius",
        lambda widest, bend: forms.column_radius(depth, weber, widest, bend),
        {"WIDEST": 0.26, "WIDEST_WEBER": np.nan}, [0.43, 1000.0], (0.25, 0.25, "grids differ by a quarter"),
    )  # fmt: skip
    add(
        "column_peak_time", runs, "peak",
        lambda thin, thick: forms.column_peak_time(start, weber, thin, thick),
        {"TOP_THIN": 1.7, "TOP_THICK": 0.6}, [1.7, 0.6], (0.28, 0.22, "the 1908 sparks, top at 116 ms"),
    )  # fmt: skip
    add(
        "column_end", runs, "end",
        lambda end, power: forms.column_end(start, bond, end, power),
        {"END": 2.6, "END_POWER": 0.0}, [2.7, 0.1], (0.20, 0.25, "stages of the 1908 sparks; by-eye band"),
    )  # fmt: skip
    wide = forms.column_radius(depth, weber, *radius.values())
    add(
        "pinch_off", runs, "pinch",
        lambda growth: forms.pinch_off(start, wide, rho, sigma, growth),
        {"PINCH": 5.6}, [4.5], (0.30, 0.30, "by-eye band"),
    )  # fmt: skip
    return out


class Shape(NamedTuple):
    """Exponents of one stretch of the height curve and its left-out error as a share of the size."""

    constants: dict[str, float]
    by_eye: dict[str, float]
    error: float


def shapes() -> dict[str, Shape]:
    """Fit the exponents of the height curve to the time tables, each with its own run's sizes and times."""
    summary = {row["name"]: row for row in rows("sim_axisym_summary.csv")}
    series: dict[str, list[tuple[float, float]]] = {}
    for row in rows("sim_axisym_jet_height_vs_time.csv"):
        series.setdefault(row["name"], []).append((float(row["t_ms"]), float(row["z_axis_mm"])))

    def stretch(kind: str, name: str) -> tuple[np.ndarray, np.ndarray]:
        run = {key: float(text) if text else np.nan for key, text in summary[name].items() if key != "name"}
        time, z = np.array(series[name]).T
        deepest = (run["pl0_ms"] + run["pl1_ms"]) / 2
        if kind == "opening":  # the first fifth shows the top of the drop itself, not the crater's floor
            u, y = 1 - time / deepest, 1 + z / run["R_mm"]
            use = (u > 0) & (u < 0.8)
        elif kind == "closing":
            u, y = (time - deepest) / (run["te_ms"] - deepest), 1 + z / run["R_mm"]
            use = (u > 0) & (u < 1)
        else:
            u, y = 1 - (time - run["te_ms"]) / (run["tH_ms"] - run["te_ms"]), 1 - z / run["H_mm"]
            use = (u > 0) & (u < 1)
        return u[use], y[use]

    def loss(power: float, kind: str, name: str) -> float:
        u, y = stretch(kind, name)
        return float(np.mean((y - u**power) ** 2))

    groups: dict[str, dict[str, list[str]]] = {"opening": {}, "closing": {}, "thin": {}, "thick": {}}
    for name in series:
        kind = "thick" if float(summary[name]["We"]) > 490 else "thin"
        for stage in ("opening", "closing", kind):
            groups[stage].setdefault(condition(name), []).append(name)

    def power(stage: str, leave: str = "") -> float:
        kind = stage if stage in ("opening", "closing") else "rise"
        used = [name for group, names in groups[stage].items() if group != leave for name in names]
        found = minimize(lambda p: sum(loss(p[0], kind, name) for name in used), [2.0], method="Nelder-Mead")
        return float(found.x[0])

    def error(stage: str) -> float:
        kind = stage if stage in ("opening", "closing") else "rise"
        missed = [loss(power(stage, group), kind, name) for group, names in groups[stage].items() for name in names]
        return float(np.sqrt(np.mean(missed)))

    thin = power("thin")
    return {
        "opening": Shape({"OPENING": power("opening")}, {"OPENING": np.nan}, error("opening")),
        "closing": Shape({"CLOSING": power("closing")}, {"CLOSING": np.nan}, error("closing")),
        "rise, thin": Shape({"RISE_THIN": thin}, {"RISE_THIN": 2.0}, error("thin")),
        "rise, thick": Shape({"RISE_THICK": power("thick") - thin}, {"RISE_THICK": 0.0}, error("thick")),
    }


# from memory: R_max = c sqrt(We) d; Villermaux & Bossa 2011; Wang & Bourouiba 2017; Rozhkov et al. 2002
SHEET_THEORIES = {"V&B 2011": 0.060, "W&B 2017": 0.135, "Rozhkov 2002": 0.18}
SHEET_TIMES = {"V&B 2011": 1 / 3, "W&B 2017": 0.43}
# closing Weber number, and the time in units of tau up to which the run may be used (header of the table)
SHEET_RUNS = {"col28": (455.0, 0.9), "col28s": (186.0, 2.0), "col32": (414.0, 2.0), "colW": (650.0, 0.339)}


class SheetFit(NamedTuple):
    """One constant of the sheet, its error and its band from runs and theories together."""

    constant: str
    value: float
    by_eye: float
    error: float
    low: float
    high: float


def sheet_fit() -> dict[str, SheetFit]:
    """Fit the size and the time of the sheet: runs, two of them lower bounds, against theories from memory."""
    series: dict[str, list[tuple[float, float]]] = {}
    for row in rows("sim_axisym_collision_sheet.csv"):
        series.setdefault(row["case"], []).append((float(row["t_over_tau"]), float(row["rmax_over_d"])))
    spread, full = {}, {}
    for name, (weber, until) in SHEET_RUNS.items():
        time, radius = np.array([point for point in series[name] if point[0] <= until]).T
        spread[name] = (radius.max() - 0.5) / np.sqrt(weber)
        if name != "colW":  # torn by the grid before its maximum
            full[name] = float(time[radius > 0.98 * radius.max()].mean())
    sizes = np.log(list(spread.values()))
    left = [sizes[i] - np.delete(sizes, i).mean() for i in range(len(sizes))]
    error = float(np.sqrt(np.mean(np.square(left))))
    size = float(np.exp(sizes.mean()))
    own = float(student.ppf(0.95, len(sizes) - 1)) * error
    # the theories at a usual closing Weber number, as growth beyond the drop's own radius
    growth = [np.log((c * np.sqrt(300) - 0.5) / (size * np.sqrt(300))) for c in SHEET_THEORIES.values()]
    # the runs cannot shed drops, so they are late; the theories are early: the middle of both
    late, early = np.log([*full.values()]), np.log([*SHEET_TIMES.values()])
    middle = float((late.mean() + early.mean()) / 2)
    return {
        "sheet size": SheetFit(
            "SHEET_SPREAD", size, 0.09, error, _up(max(own, -min(growth))), _up(max(own, max(growth)))
        ),
        "sheet time": SheetFit(
            "SHEET_FULL", float(np.exp(middle)), 0.5, float(late.std(ddof=1)), _up(middle - early.min()),
            _up(late.max() - middle),
        ),
    }  # fmt: skip


def alternatives() -> list[tuple[str, str, float]]:
    """Return forms that were tried and not taken, with their left-out errors, next to the one taken."""
    runs = load()
    d, rho, sigma = runs["diameter"], runs["density"], runs["tension"]
    v, weber, froude, bond = runs["speed"], runs["weber"], runs["froude"], runs["bond"]
    taken = refit()
    depth = forms.crater_depth(d, froude, bond, *taken["crater_depth"].constants.values())
    start = forms.column_start(depth, rho, sigma, GRAVITY, *taken["column_start"].constants.values())
    wide = forms.column_radius(depth, weber, *taken["column_radius"].constants.values())
    height = forms.column_peak_height(depth, rho, sigma, GRAVITY, *taken["column_peak_height"].constants.values())
    switch = np.clip((weber - 430) / 130, 0, 1)
    tried: list[tuple[str, str, str, Callable[..., Any], list[float]]] = [
        ("crater_depth", "one share for all", "depth", lambda a: forms.crater_depth(d, froude, bond, a, 0), [0.5]),
        ("crater_depth", "a d Fr^(1/4)", "depth", lambda a: a * d * froude**0.25, [0.6]),
        ("crater_time", "a (d/V) Fr^0.61", "deepest", lambda a: a * d / v * froude**0.61, [0.6]),
        ("crater_time", "a start", "deepest", lambda a: a * start, [0.5]),
        ("column_start", "a sqrt(R/g)", "start", lambda a: a * np.sqrt(depth / GRAVITY), [1.3]),
        ("column_peak_height", "a R", "height", lambda a: a * depth, [2.5]),
        ("column_radius", "(a + b switch) R", "radius", lambda a, b: depth * (a + b * switch), [0.14, 0.12]),
        ("column_radius", "a R We^b", "radius", lambda a, b: a * depth * (weber / 400) ** b, [0.16, 0.8]),
        (
            "column_peak_time", "start + earlier of a free rise and b pinching times", "peak",
            lambda a, b: start
            + np.minimum(a * np.sqrt(2 * height / GRAVITY), b * np.sqrt(rho * wide**3 / sigma)), [0.9, 6.0],
        ),
        ("column_peak_time", "start (1 + a We^b)", "peak", lambda a, b: start * (1 + a * (weber / 400) ** b), [1, 1]),
        ("column_end", "a start", "end", lambda a: a * start, [2.7]),
        ("column_end", "(a + b switch) start", "end", lambda a, b: start * (a + b * switch), [2.6, 0.3]),
    ]  # fmt: skip
    out = []
    for name, words, column, model, guess in tried:
        letters = dict.fromkeys("ab"[: len(guess)], np.nan)
        out.append((name, words, fit(name, runs, column, model, letters, guess).error))
    return out


def main() -> None:
    """Print the table."""
    print(f"{'constant':<16}{'by eye':>9}{'refit':>9}{'LOO rms':>9}{'worst':>8}{'held':>7}   band (log), what set it")
    for fitted in refit().values():
        for index, (constant, value) in enumerate(fitted.constants.items()):
            line = f"{constant:<16}{fitted.by_eye[constant]:>9.3g}{value:>9.4g}"
            if index == 0:
                line += f"{fitted.error:>9.3f}{fitted.worst:>8.3f}{fitted.covered():>7.0%}   "
                line += f"-{fitted.low:.3f} +{fitted.high:.3f}  "
                line += fitted.outer or "leave-one-out"
            print(line)
        print("    left out:", ", ".join(f"{group} {error:+.3f}" for group, error in fitted.left_out.items()))
    for made in sheet_fit().values():
        print(
            f"{made.constant:<16}{made.by_eye:>9.3g}{made.value:>9.4g}{made.error:>9.3f}           "
            f"-{made.low:.3f} +{made.high:.3f}  theories from memory and runs"
        )
    for label, shape in shapes().items():
        for constant, value in shape.constants.items():
            print(f"{constant:<16}{shape.by_eye[constant]:>9.3g}{value:>9.4g}{shape.error:>9.3f}           {label}")
    taken = refit()
    print("forms not taken (left-out error, beside that of the form taken):")
    for name, words, error in alternatives():
        print(f"    {name:<20}{words:<54}{error:>7.3f}  ({taken[name].error:.3f})")


if __name__ == "__main__":
    main()
