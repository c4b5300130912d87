"""The fitted numbers of the splash, and how far each prediction may be off.

Every number here is what ``tests/refit/refit_splash.py`` prints, rounded to three digits; a test
holds the two together. The cases behind them: eleven conditions of our own axisymmetric two-phase
flow simulation (not published) and the open spark series of Worthington 1908. A band is a log
half-width: 0.10 means from ``value / 1.105`` to ``value * 1.105``. It is the 90 % band of predicting
a condition that was left out of the fit, or the disagreement of the sources where that is larger.
Real splashes came out later at the start and earlier at the top than the runs, so those bands lean that way.
"""

from __future__ import annotations

# share of the drop's energy found in the deepest crater at a Froude number of 120, and how it fades
DEPTH_SHARE = 0.57
DEPTH_FADE = 0.208
# how much of the full hemisphere's inertia moves while the crater opens
CRATER_INERTIA = 0.31
# the closing crater as half a wave period: wavenumber times crater depth
WAVENUMBER = 3.1
# column: height in crater depths before surface tension takes its share
REACH = 3.2
# column radius in crater depths: widest, and the Weber number at which it bends over
WIDEST = 0.433
WIDEST_WEBER = 997.0
# time of the top in units of the start: thin column, and what a thick one adds
TOP_THIN = 1.73
TOP_THICK = 0.488
# end of the column in units of the start at a Bond number of 3, and its power
END = 2.74
END_POWER = 0.139
# the least end over the time of the top among our runs (5.08 mm, 1.115); far outside them the two forms would cross
LEAST_END = 1.12
# e-folds times the numerical factor of the fastest pinching wave
PINCH = 4.5
# shape of the curves: opening and closing of the crater, rise of a thin column and what a thick one adds
OPENING = 2.29
CLOSING = 2.34
RISE_THIN = 1.6
RISE_THICK = 0.467
# sheet: radius per drop diameter per root of the Weber number; time of fullest in capillary times
SHEET_SPREAD = 0.0833
SHEET_FULL = 0.557

# thin and thick columns: no case lies between these Weber numbers, so the switch sits in the middle
SWITCH_GAP = (417.0, 559.0)
SWITCH_WEBER = 490.0
SWITCH_WIDTH = 40.0

# log half-widths (low side, high side)
BANDS: dict[str, tuple[float, float]] = {
    "crater_depth": (0.12, 0.15),
    "crater_time": (0.15, 0.20),
    "crater_width": (0.25, 0.25),
    "column_start": (0.12, 0.18),
    "column_radius": (0.25, 0.25),
    "column_peak_height": (0.4, 0.4),
    "column_peak_time": (0.28, 0.22),
    "column_end": (0.20, 0.25),
    "pinch_off": (0.30, 0.30),
}

# sheet: log half-widths of its growth beyond the drop, and of the time of fullest
SHEET_BAND = (0.99, 0.65)
SHEET_FULL_BAND = (0.52, 0.46)

# where the fitted cases end; beyond, the numbers come with a warning and a wider band
CALIBRATED: dict[str, tuple[float, float]] = {
    "weber": (155.0, 920.0),
    "froude": (70.0, 280.0),
    "bond": (1.2, 8.9),
    "reynolds": (1600.0, float("inf")),
}
