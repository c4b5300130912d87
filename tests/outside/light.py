"""Light and camera from outside: exposure, flash, sync, lens, lights, picture."""

import math
from functools import cache
from itertools import pairwise

import colour
import colour_hdri
import numpy as np
from scipy import integrate
from tables import number

from outside import APART, LIBRARY, MEMORY, PUBLISHED, near, printed, source, within
from splashkit import exposure as ex
from splashkit import flash, lens, lights, picture, sync

# --- exposure ---------------------------------------------------------------------------------------------------

FOOT = 0.3048
light = source("exposure", LIBRARY, "ev100_luminance_illuminance", "ISO 2720:1974, K 12.5 and C 250, by colour-hdri")
ev = source("exposure", LIBRARY, "ev_settings", "colour-hdri 0.2.6 on the marks")
marks = source("exposure", PUBLISHED, "exposure_scales", "powers of two of ISO 516, 517 and 5800")
under = source("exposure", APART, "ambient_vs_flash", "ISO 2720 with C 250, f/11, ISO 100")
bellows = source("exposure", APART, "effective_aperture", "N (1 + m/P), as optiland 0.6.3 and rayoptics 0.9.8 trace it")
guide = source("exposure", MEMORY, "guide_number", "guide number N d of ISO 1230:1992")
grey = source("exposure", APART, "nd_filters", "optical density, by definition")
KINDS = {"f_number": "aperture", "time_s": "shutter", "iso_speed": "iso"}
P = printed(5, "the pupil ratio is printed to six digits")


def mark(row):
    return ex.exact_mark(row["nominal"], KINDS[row["quantity"]], row["step"])


def settings(row):
    return row["N_nominal"], row["t_nominal"]


def dark(row):
    return ex.ambient_under_flash(row["illuminance_lx"], 11, row["t"])


EXPOSURE = [
    light("luminance of an exposure value", "cd/m²", "luminance_cd_m2", lambda r: ex.luminance_from_ev100(r["EV100"])),
    light("illuminance of an exposure value", "lx", "illuminance_lx", lambda r: ex.illuminance_from_ev100(r["EV100"])),
    light("the same in foot-candles", "fc", "illuminance_fc",
          lambda r: ex.illuminance_from_ev100(r["EV100"]) * FOOT**2),
    light("luminance in foot-lamberts", "fL", "luminance_fL",
          lambda r: ex.luminance_from_ev100(r["EV100"]) * math.pi * FOOT**2),
    light("exposure value of a luminance", "stops", lambda r: colour_hdri.luminance_to_exposure_value(
        r["luminance_cd_m2"], 100), lambda r: ex.ev100_from_luminance(r["luminance_cd_m2"]),
        near(1e-9, "the same formula")),
    light("exposure value of an illuminance", "stops", lambda r: colour_hdri.illuminance_to_exposure_value(
        r["illuminance_lx"], 100), lambda r: ex.ev100_from_illuminance(r["illuminance_lx"]),
        near(1e-9, "the same formula")),
    ev("exposure value of settings", "stops", "EV_settings", lambda r: ex.exposure_value(*settings(r))),
    ev("exposure value at ISO 100", "stops", "EV100", lambda r: ex.ev100_from_settings(*settings(r), r["ISO"])),
    ev("exposure of the sensor", "lx s", "H_per_L_q0.65", lambda r: ex.sensor_exposure(1.0, *settings(r))),
    ev("exposure of the sensor", "lx s", "H_per_L_colourhdri", lambda r: ex.sensor_exposure(1.0, *settings(r)),
       within(2.5e-3, "q is 0.6516 in the library, 0.65 in the standard")),
    marks("exact value of a mark", "1", "exact", mark),
    marks("rounding of a mark", "stops", "error_stops", lambda r: (2 if r["quantity"] == "f_number" else 1)
          * math.log2(r["nominal"] / mark(r)), near(5e-7, "the last digit printed")),
    under("exposure value the room needs", "stops", "EV100_needed",
          lambda r: ex.ev100_from_illuminance(r["illuminance_lx"])),
    under("exposure value set", "stops", "EV_settings", lambda r: ex.exposure_value(11, r["t"])),
    under("room light under the flash", "stops", "ambient_stops_under", dark, near(5e-5, "the last digit printed")),
    under("room light over flash", "1", "ambient_to_flash_ratio", lambda r: ex.ambient_to_flash_ratio(dark(r))),
    bellows("close-up factor", "1", "bellows_factor_N", lambda r: ex.close_up_factor(r["m"], r["pupil_ratio_P"]), P),
    bellows("close-up loss", "stops", "loss_stops", lambda r: ex.close_up_loss(r["m"], r["pupil_ratio_P"]),
            near(1e-5, "the pupil ratio is printed to six digits")),
    guide("guide number", "m", "GN_m", lambda r: ex.guide_number_at(40, r["power"], r["ISO"])),
    *(guide(f"aperture at {distance} m", "1", f"N_at_{distance}m",
            lambda r, distance=distance: ex.guide_number_aperture(40, distance, r["power"], r["ISO"]))
      for distance in (1, 0.5, 0.25)),
    grey("stops of a grey filter", "stops", "stops", lambda r: ex.filter_stops(r["density"])),
    grey("light through a grey filter", "1", "transmittance", lambda r: 2 ** -ex.filter_stops(r["density"])),
    grey("factor of a grey filter", "1", "factor", lambda r: 2 ** ex.filter_stops(r["density"])),
    grey("density for some stops", "1", "density", lambda r: ex.filter_density(ex.filter_stops(r["density"])),
         within(1e-12, "there and back")),
]  # fmt: skip

# --- flash ------------------------------------------------------------------------------------------------------

shapes = source("flash", APART, "flash_pulse_shapes", "times by peak as in ISO 2827:1988, summed with scipy")
quench = source("flash", APART, "flash_quench_power_vs_duration", "the teaching model computed apart")
circuit = source("flash", APART, "flash_lamp_circuit_model", "the lamp circuit solved by scipy")
burn = source("flash", APART, "pulse_train", "pulses counted")
SHAPES = {
    "exponential": flash.exponential(1e-3), "sawtooth": flash.sawtooth(1e-3), "triangle": flash.triangle(1e-3),
    "gaussian": flash.gaussian(1e-4), "lamp law": flash.lamp_law(2e-3, 1e-3),
    "double": flash.double_exponential(20e-6, 1e-3, 3e-4), "quench": flash.light_curve("quench", 1 / 16),
    "voltage": flash.light_curve("voltage", 1 / 4), "capacitor": flash.light_curve("capacitor", 1 / 64),
}  # fmt: skip
summed = source(
    "flash", LIBRARY, tuple({"shape": name, "share of its length": n / 8} for name in SHAPES for n in range(1, 8)),
    "scipy's quadrature of the light itself",
)  # fmt: skip


@cache
def shape(name):
    if name.startswith("double"):
        return flash.double_exponential(float(name.split("=")[1]), 1.0)
    if name.startswith("lamp RLC"):
        return flash.lamp_pulse(float(name.split("=")[1].split()[0]), 1.0)
    makers = {
        "exp": flash.exponential, "hyp": flash.lamp_law, "rec": flash.rectangular, "saw": flash.sawtooth,
        "sym": flash.triangle, "gau": flash.gaussian, "lin": flash.critically_damped,
    }  # fmt: skip
    return makers[name[:3]](1.0)


def whole(row):
    """The table stops its lamp sums after 300 units of time, where light is still left (1 % at alpha 6)."""
    return shape(row["shape"]).cumulative(300.0) if is_lamp(row) else 1.0


def is_lamp(row):
    return row["shape"].startswith("lamp RLC")


def has_tail(row):
    return row["shape"].startswith("hyperbolic")


def plain(row):
    return not is_lamp(row) and not has_tail(row)


def edge(row):
    curve = shape(row["shape"])
    return curve.time_at_share(0.9 * whole(row)) - curve.time_at_share(0.1 * whole(row))


SIX = within(5.5e-6, "six digits printed")
SUMS = within(1e-3 + 5.5e-6, "the table's lamp pulses are sums over steps")


def sums(stop):
    """The table's hyperbola stops near 400, its lamp pulses at 300 units of time."""
    return within(stop + 5.5e-6, "the table stops its long tail")


def middle(row):
    curve = SHAPES[row["shape"]]
    return curve, curve.start + row["share of its length"] * min(curve.t01 * 1.5, curve.end - curve.start)


@cache
def light_of(name):
    curve = SHAPES[name]
    return quadrature(curve, curve.start, curve.end)


def quadrature(curve, start, end):
    """Sum the light piece by piece, so that no steep start is overlooked."""
    ends = np.unique(np.clip([start, *np.geomspace(1e-9, 1, 25), curve.peak_time, curve.t01, end], start, end))
    return sum(integrate.quad(lambda t: float(curve.intensity(t)), a, b, limit=200)[0] for a, b in pairwise(ends))


def pulses(row):
    """Light of rows that open all over a burn's length, in pulses."""
    frequency, time = row["pulse_Hz"], row["t"]
    made = flash.pulsed_burn(time + 0.003, frequency)
    opens = np.linspace(0, 0.003 - 1 / frequency, 4001)
    return made.share_between(opens, opens + time) / made.share_between(0, 1 / frequency)


SHAPE_COLUMNS = (
    ("t0.5", "half-light time", lambda r: shape(r["shape"]).t05),
    ("t0.1", "tenth-light time", lambda r: shape(r["shape"]).t01),
    ("ratio_t01_t05", "tenth over half", lambda r: shape(r["shape"]).t01 / shape(r["shape"]).t05),
    ("frac05", "light above half", lambda r: shape(r["shape"]).share_inside(0.5) / whole(r)),
    ("frac01", "light above a tenth", lambda r: shape(r["shape"]).share_inside(0.1) / whole(r)),
    ("edge_10_90", "softness of an edge", edge),
)
TAIL = {"t0.5": SIX, "t0.1": SIX, "ratio_t01_t05": SIX, "frac05": sums(1e-5), "frac01": sums(1e-5),
        "edge_10_90": sums(5e-5)}  # fmt: skip
FLASH = [
    *(shapes(f"{words} of a shape", "1", column, ours, SIX, where=plain) for column, words, ours in SHAPE_COLUMNS),
    *(shapes(f"{words} of the hyperbola", "1", column, ours, TAIL[column], where=has_tail)
      for column, words, ours in SHAPE_COLUMNS),
    *(shapes(f"{words} of a lamp pulse", "1", column, ours, SUMS, where=is_lamp)
      for column, words, ours in SHAPE_COLUMNS),
    quench("moment of the cut", "µs", "t_cut_us", lambda r: 1e6 * flash.quench_cut(r["power"]), SIX),
    quench("half-light time", "µs", "t0.5_us", lambda r: 1e6 * flash.quench_controlled(r["power"]).t05, SIX),
    quench("tenth-light time", "µs", "t0.1_us", lambda r: 1e6 * flash.quench_controlled(r["power"]).t01, SIX),
    quench("one over the half-light time", "1/s", "one_over_t05",
           lambda r: 1 / flash.quench_controlled(r["power"]).t05, SIX),
    quench("one over the tenth-light time", "1/s", "one_over_t01",
           lambda r: 1 / flash.quench_controlled(r["power"]).t01, SIX),
    quench("tenth over half", "1", "ratio", lambda r: flash.quench_controlled(r["power"]).t01
           / flash.quench_controlled(r["power"]).t05, SIX),
    quench("softness of an edge", "µs", "edge_10_90_us",
           lambda r: 1e6 * flash.quench_controlled(r["power"]).edge_time(), SIX),
    quench("moment of the cut without a rise", "µs", "no_rise_cut_us",
           lambda r: 1e6 * flash.quench_cut(r["power"], rise=1e-12), SIX, where=lambda r: r["power"] < 1),
    circuit("moment of the cut", "µs", "quench_t_cut_us", lambda r: 1e6 * flash.lamp_circuit(r["power"]).end,
            within(1e-4, "steps of two solvers")),
    *(circuit(f"{words}, {way}", "µs", f"{short}_{column}_us",
              lambda r, name=name, mode=mode: 1e6 * getattr(flash.lamp_circuit(r["power"], mode), name),
              within(1e-3, "steps of two solvers"))
      for way, short, mode in (("cut short", "quench", "quench"), ("lower voltage", "volt", "voltage"))
      for words, column, name in (("half-light time", "t05", "t05"), ("tenth-light time", "t01", "t01"))),
    circuit("light at a lower voltage", "1", "volt_light_fraction",
            lambda r: flash.lamp_circuit(r["power"], "voltage").energy, SIX),
    circuit("cut of the lamp law", "µs", "analytic_cut_us", lambda r: 1e6 * flash.lamp_cut(r["power"], 2e-3), SIX),
    summed("light out by a moment", "1", lambda r: quadrature(middle(r)[0], middle(r)[0].start, middle(r)[1])
           / light_of(r["shape"]), lambda r: middle(r)[0].cumulative(middle(r)[1]),
           near(1e-5, "a millionth of the light lies outside a curve's ends")),
    burn("fewest pulses on a row", "1", "min_pulses", lambda r: pulses(r).min(), near(1e-9, "counting")),
    burn("most pulses on a row", "1", "max_pulses", lambda r: pulses(r).max(), near(1e-9, "counting")),
    burn("ripple between rows", "1", "ripple_pp", lambda r: np.ptp(pulses(r)) / r["pulses_per_row"],
         near(1e-6, "six digits printed")),
]  # fmt: skip

# --- sync -------------------------------------------------------------------------------------------------------

TRAVEL = 3e-3  # the tables assume 3 ms over 24 mm
SLIT = sync.slit_speed(TRAVEL)
curtain = source("sync", APART, "focal_plane_shutter", "two curtains of one even speed, derived apart")
trains = source("sync", APART, "pulse_train", "pulses counted")
rear = source("sync", APART, "front_rear_curtain", "sums of the assumed delays")
ives = source(
    "sync", PUBLISHED, ({"gap": 1e-3, "share": 6 / 7}, {"gap": 4e-3, "share": 0.6}),
    "H. E. Ives 1920, Airplane Photography",
)  # fmt: skip
rows = source(
    "sync",
    LIBRARY,
    tuple({"row": n / 8, "at": at} for n in range(9) for at in (0.5e-3, 2e-3, 4e-3)),
    "scipy's quadrature of the light between a row's opening and closing",
)


def image_speed(row):
    return 3.0 * row["m"]


SHORT_FLASH = flash.exponential(1e-3)
ROW_SHUTTER = sync.Shutter(2e-3, TRAVEL)


def row_light(row):
    opens, closes = ROW_SHUTTER.open_interval(row["row"])
    start, end = max(opens - row["at"], 0.0), max(closes - row["at"], 0.0)
    return integrate.quad(lambda t: math.exp(-t / 1e-3) / 1e-3, start, end)[0]


SYNC = [
    curtain("speed of the image", "m/s", "image_speed_m_s", image_speed),
    curtain("width of the slit", "mm", "slit_mm", lambda r: 1e3 * sync.slit_width(r["t"], TRAVEL)),
    curtain("time fully open", "ms", "fully_open_ms", lambda r: 1e3 * sync.fully_open_time(r["t"], TRAVEL)),
    curtain("time fully open, by the shutter", "ms", "fully_open_ms",
            lambda r: 1e3 * np.ptp(sync.Shutter(r["t"], TRAVEL).fully_open), where=lambda r: r["fully_open_ms"] > 0),
    curtain("dark band", "1", "dark_band_fraction", lambda r: sync.dark_band_fraction(r["t"], TRAVEL)),
    curtain("burn needed", "ms", "burn_needed_ms", lambda r: 1e3 * sync.burn_needed(r["t"], TRAVEL)),
    curtain("whole run of the shutter", "ms", "burn_needed_ms",
            lambda r: 1e3 * np.ptp(sync.Shutter(r["t"], TRAVEL).span)),
    curtain("share of a burn", "1", "eta", lambda r: sync.burn_share(r["t"], TRAVEL)),
    curtain("stops lost in a burn", "stops", "eta_stops", lambda r: sync.burn_stops(r["t"], TRAVEL)),
    curtain("guide number in a burn", "1", "GN_multiplier", lambda r: sync.burn_guide_number_factor(r["t"], TRAVEL)),
    curtain("image speed over slit speed", "1", "u_over_w", lambda r: image_speed(r) / SLIT),
    curtain("slant", "degrees", "skew_deg", lambda r: math.degrees(sync.slant_angle(image_speed(r), SLIT))),
    curtain("squash", "1", "squash_against", lambda r: sync.squash(image_speed(r), SLIT)),
    curtain("stretch", "1", "stretch_with", lambda r: sync.stretch(image_speed(r), SLIT)),
    *(curtain(f"blur in the slit, {way}", "mm", f"blur_{way}_mm",
              lambda r, way=way: 1e3 * sync.blur_in_slit(image_speed(r), r["t"], SLIT, way))
      for way in ("across", "against")),
    curtain("shift over the frame", "mm", "displacement_over_frame_mm",
            lambda r: 1e3 * sync.frame_shift(image_speed(r), TRAVEL)),
    trains("pulses a row", "1", "pulses_per_row", lambda r: sync.pulses_per_row(r["pulse_Hz"], r["t"]).mean),
    trains("fewest pulses", "1", "min_pulses", lambda r: sync.pulses_per_row(r["pulse_Hz"], r["t"]).fewest),
    trains("most pulses", "1", "max_pulses", lambda r: sync.pulses_per_row(r["pulse_Hz"], r["t"]).most),
    trains("banding", "1", "ripple_pp", lambda r: sync.banding(r["pulse_Hz"], r["t"])),
    trains("banding of short pulses", "1", "ripple_pp", lambda r: sync.banding(r["pulse_Hz"], r["t"], duty=1e-9)),
    trains("pitch of the dots on the drop", "µm", "pitch_subject_um",
           lambda r: 1e6 * sync.pulse_pitch(3.0, r["pulse_Hz"])),
    trains("pitch of the dots on the sensor", "µm", "pitch_sensor_um_m0.5",
           lambda r: 1e6 * sync.pulse_pitch(1.5, r["pulse_Hz"])),
    rear("flash at the front curtain", "ms", "front_latency_ms",
         lambda r: 1e3 * sync.flash_time("front", r["t"], TRAVEL)),
    rear("flash at the rear curtain", "ms", "rear_latency_ms",
         lambda r: 1e3 * sync.flash_time("rear", r["t"], TRAVEL)),
    rear("rear less front", "ms", "difference_ms", lambda r: 1e3 * sync.rear_less_front(r["t"], TRAVEL)),
    rear("fall from rest meanwhile", "mm", "drop_mm_from_rest",
         lambda r: 9.81 * sync.rear_less_front(r["t"], TRAVEL) ** 2 / 2 * 1e3),
    ives("efficiency of a slit", "1", "share", lambda r: sync.slit_efficiency(1e-3, r["gap"], 6)),
    rows("light on a row", "1", row_light,
         lambda r: sync.row_light_share(SHORT_FLASH, ROW_SHUTTER, r["row"], r["at"]), near(1e-6, "the curve's ends")),
]  # fmt: skip

# --- lens -------------------------------------------------------------------------------------------------------

aperture = source("lens", APART, "effective_aperture", "N (1 + m/P), as optiland 0.6.3 and rayoptics 0.9.8 trace it")
macro = source("lens", APART, "macro_optics", "closed forms of a thin lens, 0.030 mm, 550 nm")
traced = source("lens", LIBRARY, "paraxial_checks", "two lenses round a stop traced with optiland 0.6.3")
best = source("lens", APART, "optimum_aperture", "equal defocus and Airy discs, 550 nm")
blur = source("lens", APART, "motion_blur", "speed times light time, without drag")
corner = source(
    "lens", PUBLISHED,
    tuple({"angle": a, "percent": p} for a, p in ((10, 94.1), (20, 78.0), (30, 56.2), (40, 34.4), (50, 17.1))),
    "H. E. Ives 1920, Airplane Photography, table of cos⁴",
)  # fmt: skip
CIRCLE = 0.030e-3


def close(row):
    return row["N"], row["m"], row["P"]


def depth(row):
    return lens.depth_of_field(row["f_mm"] * 1e-3, row["N"], row["m"], row["P"], CIRCLE)


def traced_depth(row):
    return lens.depth_of_field(row["f_formula"] * 1e-3, row["N"], row["m_set"], row["P"], CIRCLE)


def fall_speed(row):
    return math.sqrt(2 * 9.81 * row["fall_m"])


def smear(row):
    sensor = lens.motion_blur(fall_speed(row), number(row.get("t_us")) * 1e-6, row["m"])
    return lens.blur_in_units(sensor, row["m"], 4e-6, 0.005)


def sharpest(row):
    return lens.best_aperture(row["depth_Z_mm"] * 1e-3, row["m"])


def macro_check(quantity, unit, column, ours):
    """The pupil ratio 1.30909 is printed to six digits, so those rows are good to five."""
    return (
        macro(quantity, unit, column, ours, where=lambda r: r["P"] != 1.30909),
        macro(quantity, unit, column, ours, P, where=lambda r: r["P"] == 1.30909),
    )


LENS = [
    aperture("effective aperture", "1", "N_eff_for_N11",
             lambda r: lens.effective_aperture(11, r["m"], r["pupil_ratio_P"]), P),
    macro("subject to lens", "mm", "subject_dist_mm", lambda r: 1e3 * lens.subject_distance(r["f_mm"] * 1e-3, r["m"])),
    macro("subject to sensor", "mm", "subject_image_mm",
          lambda r: 1e3 * lens.subject_to_sensor(r["f_mm"] * 1e-3, r["m"])),
    macro("width of view", "mm", "fov_w_mm", lambda r: 1e3 * lens.field_of_view(0.036, r["m"])),
    macro("height of view", "mm", "fov_h_mm", lambda r: 1e3 * lens.field_of_view(0.024, r["m"])),
    *macro_check("effective aperture", "1", "N_eff", lambda r: lens.effective_aperture(*close(r))),
    *macro_check("depth before the subject", "mm", "dof_near_mm", lambda r: 1e3 * depth(r).near),
    *macro_check("depth behind the subject", "mm", "dof_far_mm", lambda r: 1e3 * depth(r).far),
    *macro_check("depth of field", "mm", "dof_total_mm", lambda r: 1e3 * depth(r).total),
    *macro_check("depth of field, short form", "mm", "dof_simple_mm",
                 lambda r: 1e3 * lens.depth_of_field_close_up(*close(r), CIRCLE)),
    *macro_check("Airy disc on the sensor", "µm", "airy_sensor_um", lambda r: 1e6 * lens.airy_diameter(*close(r))),
    *macro_check("Airy disc on the subject", "µm", "airy_subject_um",
                 lambda r: 1e6 * lens.airy_diameter(*close(r)) / r["m"]),
    traced("effective aperture", "1", "N_eff_traced",
           lambda r: lens.effective_aperture(r["N"], r["m_set"], r["P"])),
    traced("depth before the subject", "mm", "dof_near_traced", lambda r: 1e3 * traced_depth(r).near),
    traced("depth behind the subject", "mm", "dof_far_traced", lambda r: 1e3 * traced_depth(r).far),
    traced("depth of field", "mm", "dof_traced", lambda r: 1e3 * traced_depth(r).total),
    *(best(words, unit, column, ours) for words, unit, column, ours in (
        ("best effective aperture", "1", "N_eff_opt", lambda r: sharpest(r).effective),
        ("best mark", "1", "N_marked_opt_P1", lambda r: sharpest(r).f_number),
        ("its Airy disc", "µm", "airy_um", lambda r: 1e6 * sharpest(r).airy),
        ("its defocus", "µm", "defocus_um", lambda r: 1e6 * sharpest(r).defocus),
        ("both together", "µm", "rss_um", lambda r: 1e6 * sharpest(r).together))),
    blur("speed without air", "m/s", "v_m_s", fall_speed),
    *(blur(words, unit, column, ours) for words, unit, column, ours in (
        ("motion blur on the drop", "µm", "blur_subject_um", lambda r: 1e6 * smear(r).subject),
        ("motion blur on the sensor", "µm", "blur_sensor_um", lambda r: 1e6 * smear(r).sensor),
        ("motion blur in pixels", "pixels", "blur_px_4um", lambda r: smear(r).pixels),
        ("motion blur in drop diameters", "%", "blur_pct_of_5mm", lambda r: 100 * smear(r).share))),
    corner("light off the middle", "%", "percent", lambda r: 100 * lens.natural_falloff(math.radians(r["angle"])),
           near(0.051, "one decimal printed, 56.25 as 56.2")),
]  # fmt: skip

# --- lights and picture -----------------------------------------------------------------------------------------

fresnel = source("lights", LIBRARY, "fresnel_water", "Fresnel's equations, equal to the tmm 0.2.0 library")
within_water = source("lights", APART, "fresnel_water_inside", "Fresnel's equations from water to air")
rim = source("lights", APART, "drop_backlight_rim", "Snell's law through a ball, far camera")
lamp = source("lights", APART, "source_geometry", "geometry and the Lambertian disc")


def bounced(row, index=None):
    angle = math.radians(row["angle_deg"])
    return lights.reflectance(angle) if index is None else lights.reflectance(angle, index)


def bent(row):
    return lights.refraction_angle(math.radians(row["angle_deg"]))


def rim_share(row):
    return lights.bright_radius(math.radians(row["backlight_half_angle_deg"]))


BREWSTER = "53.12"  # all but zero: what is left depends on the angle's last digit
LIGHTS = [
    fresnel("reflection, s", "1", "R_s", lambda r: bounced(r).s),
    fresnel("reflection, p", "1", "R_p", lambda r: bounced(r).p, where=lambda r: r.get("angle_deg") != BREWSTER),
    fresnel("reflection, p, where it is least", "1", "R_p", lambda r: bounced(r).p,
            within(1e-4, "what is left depends on the angle's last digit"),
            where=lambda r: r.get("angle_deg") == BREWSTER),
    fresnel("reflection", "1", "R_unpolarised", lambda r: bounced(r).unpolarised),
    fresnel("light let in", "1", "T_unpolarised", lambda r: 1 - bounced(r).unpolarised),
    fresnel("angle in the water", "degrees", "refracted_deg", lambda r: math.degrees(bent(r))),
    fresnel("place on a ball", "1", "b_over_R", lambda r: math.sin(math.radians(r["angle_deg"]))),
    fresnel("turn through a ball", "degrees", "dev_transmitted_deg",
            lambda r: math.degrees(2 * (math.radians(r["angle_deg"]) - bent(r)))),
    fresnel("backlight needed for a rim", "degrees", "dev_transmitted_deg",
            lambda r: math.degrees(lights.half_angle_for_rim(math.sin(math.radians(r["angle_deg"]))))),
    *(within_water(f"reflection inside, {words}", "1", column,
                   lambda r, name=name: getattr(bounced(r, 1 / 1.333), name))
      for words, column, name in (("s", "R_s", "s"), ("p", "R_p", "p"), ("both", "R_unpolarised", "unpolarised"))),
    rim("bright part of a drop", "1", "bright_radius_over_R", rim_share),
    rim("angle at its edge", "degrees", "incidence_deg", lambda r: math.degrees(math.asin(rim_share(r))),
        near(5e-5, "the last digit printed")),
    rim("dark rim", "1", "dark_rim_width_over_R", lambda r: 1 - rim_share(r), near(5e-7, "the last digit printed")),
    rim("backlight for that rim", "degrees", "backlight_half_angle_deg",
        lambda r: math.degrees(lights.half_angle_for_rim(rim_share(r))), near(6e-6, "there and back")),
    lamp("angle of a source", "degrees", "full_angle_deg",
         lambda r: math.degrees(lights.penumbra(r["S_m"], r["d_m"], r["g_m"]).full_angle)),
    lamp("apparent size of a source", "degrees", "full_angle_deg",
         lambda r: math.degrees(2 * lights.apparent_half_angle(r["S_m"], r["d_m"]))),
    lamp("soft edge of a shadow", "mm", "penumbra_mm",
         lambda r: 1e3 * lights.penumbra(r["S_m"], r["d_m"], r["g_m"]).width),
    lamp("disc over point", "1", "disc_over_point", lambda r: lights.disc_over_point(r["S_m"], r["d_m"])),
    lamp("point over disc", "%", "point_overestimate_pct",
         lambda r: 100 * (1 / lights.disc_over_point(r["S_m"], r["d_m"]) - 1)),
]  # fmt: skip

screen = source(
    "picture", LIBRARY, tuple({"light": n / 50} for n in range(51)), "IEC 61966-2-1 by the colour-science library"
)
SIX_OF_ROOM = within(6e-6, "six digits printed")
PICTURE = [
    fresnel("reflection of a facet", "1", "R_unpolarised",
            lambda r: picture.fresnel(math.radians(r["angle_deg"])), SIX_OF_ROOM, room="picture"),
    rim("bright part of a drop", "1", "bright_radius_over_R",
        lambda r: picture.bright_radius(math.radians(r["backlight_half_angle_deg"])), SIX_OF_ROOM, room="picture"),
    screen("screen value of a light", "1", lambda r: colour.models.eotf_inverse_sRGB(r["light"]),
           lambda r: picture.display_curve(np.array(r["light"])), near(2e-5, "held in single precision")),
]  # fmt: skip

CHECKS = [*EXPOSURE, *FLASH, *SYNC, *LENS, *LIGHTS, *PICTURE]
