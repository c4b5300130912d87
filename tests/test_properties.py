"""Properties of every public physics function: arrays, bad input, order, units."""

import collections
import datetime
import decimal
import fractions
import math

import everything
import numpy as np
import pytest
from everything import SENTENCE, leaves
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from splashkit import units
from splashkit.checks import require

FUNCTIONS = everything.functions()
every_function = pytest.mark.parametrize("function", FUNCTIONS, ids=repr)

# numbers that are undefined by design, and say so in the docstring: where a drop is not there yet, or any more
# undefined on purpose, and said so: a drop that has not left yet, the best gap where no sheet comes of any
NOT_THERE = {("timing.height_time_diagram", ".first"), ("timing.height_time_diagram", ".second")}
NOT_THERE |= {("timing.outcome_edges", f".best.{part}") for part in ("value", "low", "high")}


def undefined(function, result):
    return [
        path
        for path, value in leaves(result)
        if np.any(np.isnan(np.asarray(value, dtype=float))) and (function.name, path) not in NOT_THERE
    ]


def test_all_rooms_are_looked_at():
    count = collections.Counter(function.room for function in FUNCTIONS)
    assert set(count) == set(everything.ROOMS) and sum(count.values()) > 200


@every_function
def test_a_good_call_gives_defined_numbers(function):
    assert not undefined(function, function())


# --- arrays -----------------------------------------------------------------------------------------------------

FACTORS = np.array([1.0, 0.97, 1.04])


def is_whole(function, name):
    return name in ("mode", "count", "mark") or (function.name == "liquids.mix_for_viscosity")


VECTORS = [
    pytest.param(function, name, id=f"{function}-{name}")
    for function in FUNCTIONS
    for name in function.arrays()
    if not is_whole(function, name)
]


@pytest.mark.parametrize(("function", "name"), VECTORS)
def test_array_equals_scalars(function, name):
    """Every number of the result, for an array of three, is what three single calls give."""
    values = function.good()[name] * FACTORS
    try:
        together = dict(leaves(function(**{name: values})))
    except ValueError as refusal:  # where one number is all that makes sense, the docstring says float
        assert "one number" in str(refusal) or "single" in str(refusal), refusal
        assert function.name in ONE_AT_A_TIME
        return
    assert function.name not in ONE_AT_A_TIME
    for place, value in enumerate(values):
        for path, alone in leaves(function(**{name: float(value)})):
            assert np.ndim(alone) == 0, f"{path} of a single call is an array"
            several = np.asarray(together[path])
            if several.ndim:
                several = several[place]
            assert several == pytest.approx(alone, rel=1e-9, abs=1e-300, nan_ok=True), path


# scenes and frames are of one case
ONE_AT_A_TIME = {"picture.collision", "picture.falling_drop", "picture.record", "liquids.glycerol_fraction_for"}


@pytest.mark.parametrize("function", [f for f in FUNCTIONS if f.arrays()], ids=repr)
@settings(max_examples=15, deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much])
@given(data=st.data())
def test_any_numbers_give_defined_results_or_the_sentence(function, data):
    """Up to a thousand times less or more of everything: numbers, or one sentence; the same for a list of one."""
    good = function.good()
    given_now = {
        name: good[name] * data.draw(st.floats(-3, 3).map(lambda power: 10**power), name) for name in function.arrays()
    }
    try:
        result = function(**given_now)
    except ValueError as refusal:
        assert SENTENCE.fullmatch(str(refusal)), str(refusal)
        return
    assert not undefined(function, result)


# --- hostile input ----------------------------------------------------------------------------------------------


class Rude:
    def __float__(self):
        raise RuntimeError("no")

    def __repr__(self):
        raise RuntimeError("no")


def deep(depth):
    nest = 1.0
    for _ in range(depth):
        nest = [nest]
    return nest


HOSTILE = (
    math.nan, math.inf, -math.inf, -1.0, 0, 0.0, -0.0, 5e-324, 1e-300, 1e308, -1e308, 10**400, -(10**400), None, True,
    np.bool_(True), 1j, "far", "", "1e5", "<script>alert(1)</script>", "9" * 5000, "a\nb", b"\xff", bytearray(b"1"),
    [], [1.0, None], [[1], [2, 3]], ["x"], {}, {"a": 1}, {1, 2}, object(), Rude(), int, type, range(3), deep(40),
    (x for x in (1, 2)), decimal.Decimal("NaN"), decimal.Decimal("0.1"), fractions.Fraction(1, 3),
    datetime.timedelta(1), datetime.date(2020, 1, 1), np.array([]), np.array(["a"]), np.array([None]),
    np.array([True]), np.array([np.nan, 1.0]), np.array([1e-300, 1e300]), np.ones((2, 3, 2)), np.array(1 + 1j),
    np.array(0, dtype="M8[s]"), np.ma.masked, np.float32(0.3), np.int8(3), memoryview(b"ab"), NotImplemented,
)  # fmt: skip


@every_function
def test_hostile_input_gives_numbers_or_the_one_sentence(function):
    """Each parameter of each function meets each of these; see the count below."""
    wrong = []
    for name in function.good():
        for value in HOSTILE:
            if (function.name, name) == ("timing.sensitivities", "liquid_at") and callable(value):
                continue  # any function of a temperature may be given
            shown = f"{name}={type(value).__name__}"
            try:
                result = function(**{name: value})
            except ValueError as refusal:
                if not SENTENCE.fullmatch(str(refusal)) or "\n" in str(refusal):
                    wrong.append(f"{shown}: {refusal}")
            except Exception as error:
                wrong.append(f"{shown}: {type(error).__name__} {error}")
            else:
                wrong += [f"{shown}: {path} is undefined" for path in undefined(function, result)]
    assert not wrong, "\n".join(wrong[:10])


def test_there_are_ten_thousand_hostile_inputs():
    assert len(HOSTILE) * sum(len(function.good()) for function in FUNCTIONS) > 10_000


NEARLY_A_QUANTITY = r"[-+]?[0-9.,]{0,6}(e[-+]?\d{1,4})?/?\d{0,3} ?(µs|ms|s|m|cm|in)?"
READERS = {
    "parse_quantity": lambda text: units.parse_quantity(text, "m"),
    "parse_quantity of a time": lambda text: units.parse_quantity(text, "s", "delay", "ms"),
    "parse_mark of an aperture": lambda text: units.parse_mark(text, "aperture"),
    "parse_mark of an ISO": lambda text: units.parse_mark(text, "iso"),
}


@pytest.mark.parametrize("reader", READERS.values(), ids=READERS)
@given(st.one_of(st.text(max_size=30), st.from_regex(NEARLY_A_QUANTITY)))
@settings(max_examples=300, deadline=None)
def test_any_text_is_read_or_refused_in_a_sentence(reader, text):
    try:
        assert math.isfinite(reader(text))
    except ValueError as refusal:
        assert SENTENCE.fullmatch(str(refusal)), str(refusal)


# --- order: more of this gives more (or less) of that ---------------------------------------------------------------

UP, DOWN = 1, -1
ORDER = """
exposure.exposure_value            f_number +  exposure_time -
exposure.ev100_from_settings       f_number +  exposure_time -  iso -
exposure.ev100_from_illuminance    illuminance +
exposure.ev100_from_luminance      luminance +
exposure.illuminance_from_ev100    ev100 +
exposure.luminance_from_ev100      ev100 +
exposure.sensor_exposure           luminance +  f_number -  exposure_time +  loss -
exposure.ambient_under_flash       illuminance -  f_number +  exposure_time -  iso -  loss +
exposure.ambient_to_flash_ratio    stops_under -
exposure.longest_open_time         illuminance -  f_number +  iso -  stops_under -
exposure.ghost_ratio               size +  speed -  exposure_time -
exposure.distance_stops            near -  far +
exposure.filter_stops              density +
exposure.filter_density            loss +
exposure.factor_from_stops         stops +
exposure.stops_between             reference -  amount +
exposure.close_up_factor           magnification +  pupil_ratio -
exposure.close_up_loss             magnification +  pupil_ratio -
exposure.guide_number_at           guide_number +  power +  iso +
exposure.guide_number_aperture     guide_number +  distance -  power +  iso +  magnification -  loss -
exposure.guide_number_distance     guide_number +  f_number -  power +  iso +  magnification -  loss -
exposure.guide_number_power        guide_number -  distance +  f_number +  iso -  loss +
exposure.guide_number_from_light   candela_seconds +  iso +
exposure.flash_stops               guide_number +  distance -  f_number -  power +  iso +  loss -
flash.quench_cut                   power +  decay +
flash.lamp_cut                     power +  tau +
sync.burn_needed                   exposure_time +  curtain_travel +
sync.burn_share                    exposure_time +  burn -
sync.burn_stops                    exposure_time +  burn -
sync.burn_guide_number_factor      exposure_time +
sync.pulse_pitch                   speed +  frequency -
sync.blur_in_slit                  image_speed +  exposure_time +
sync.frame_shift                   image_speed +  curtain_travel +
sync.slant_angle                   image_speed +  slit_speed -
sync.slit_speed                    curtain_travel -  frame_height +
sync.squash                        image_speed -  slit_speed +
sync.stretch                       image_speed +  slit_speed -
sync.flash_time                    lag +  curtain_travel +
sync.rear_less_front               exposure_time +  curtain_travel -  margin -
sync.fully_open_time               exposure_time +  curtain_travel -
sync.leaf_efficiency               total_time +  opening_time -  closing_time -
sync.slit_efficiency               slit_width +  gap -  f_number +
sync.soft_edge_fraction            flash_duration +  curtain_travel -
sync.sync_limit                    curtain_travel +  flash_duration +  delay +
lens.entrance_pupil_distance       focal_length +  magnification -
lens.field_of_view                 format_size +  magnification -
lens.image_distance                focal_length +  magnification +
lens.magnification_for_field       format_size +  field -
lens.magnification_from_distance   focal_length +  distance -
lens.natural_falloff               angle -
lens.subject_distance              focal_length +  magnification -
lens.airy_diameter                 f_number +  magnification +  pupil_ratio -  wavelength +
lens.aperture_for_depth            depth +  blur_circle -
lens.defocus_blur                  offset +  f_number -  magnification +
lens.depth_of_field                f_number +  magnification -  blur_circle +
lens.depth_of_field_close_up       f_number +  magnification -  blur_circle +
lens.effective_aperture            f_number +  magnification +  pupil_ratio -
lens.motion_blur                   speed +  light_time +  magnification +
lens.focus_lean                    height +
lens.hidden_by_rim                 height +  elevation -
lights.apparent_half_angle         size +  distance -
lights.disc_over_point             size -  distance +
lights.distance_for_half_angle     size +  half_angle -
lights.penumbra                    size +  distance -  gap +
lights.brewster_angle              index +
lights.critical_angle              index -
lights.bright_radius               half_angle +
lights.half_angle_for_rim          bright_share +
lights.highlight_size              drop_diameter +  size +  distance -
lights.refraction_angle            angle +  index -
liquids.glycerol_density           mass_fraction +  temperature -
liquids.glycerol_viscosity         mass_fraction +  temperature -
liquids.glycerol_fraction_for      viscosity +  temperature +
liquids.mass_from_volume_fraction  volume_fraction +
liquids.air_density                temperature -  pressure +
liquids.air_viscosity              temperature +
liquids.water_density              temperature -
liquids.water_surface_tension      temperature -
liquids.water_viscosity            temperature -
drops.drag_coefficient             reynolds -  weber_air +
drops.terminal_speed               diameter +  liquid_density +  gravity +  air_density -
drops.fall_height                  nozzle_height +  diameter -
drops.bond                         diameter +  density +  surface_tension -  gravity +
drops.froude                       speed +  diameter -  gravity -
drops.ohnesorge                    diameter -  density -  viscosity +  surface_tension -
drops.reynolds                     speed +  diameter +  density +  viscosity -
drops.weber                        speed +  diameter +  density +  surface_tension -
drops.sphere_diameter              volume +
drops.sphere_volume                diameter +
drops.normal_gravity               latitude +  altitude -
drops.tip_drop_volume              tip_radius +  density -  surface_tension +  gravity -
drops.valve_drop_volume            opening +  bore +  head +  feed_length -  discharge_coefficient +  gravity +
drops.valve_opening                volume +  bore -  head -  feed_length +
drops.air_flattening               diameter -
drops.wobble_damping_time          diameter +  viscosity -
drops.wobble_frequency             diameter -  density -  surface_tension +
chains.front_rear_difference       exposure_time +  curtain_travel -  margin -
odds.bell_below                    x +
odds.hit_odds                      spread -  window +  offset -
odds.meeting_and_light_odds        gap_spread -  gap_window +  light_spread -  light_window +
odds.chance_of_keepers             odds +
measure.scale_from_ruler           length -
picture.bright_radius              half_angle +
picture.display_curve              linear +
"""
# of a result with several numbers, the one that is meant
FIRST = {
    "drops.fall": ".time", "lens.depth_of_field": ".total", "lights.penumbra": ".width",
}  # fmt: skip
RECORDS = """
drops.fall.time            height +  release_speed -  air_density +  gravity -
drops.fall.speed           height +  release_speed +  air_density -  gravity +  diameter +
drops.position.distance    time +  release_speed +  diameter +
drops.fall_in_vacuum.time  height +  gravity -
drops.fall_in_vacuum.speed height +  gravity +
drops.wobble_at.share      time -  viscosity -  diameter +
splash.first_drop.crater_depth.value         diameter +  speed +
splash.first_drop.column_start.value         diameter +  speed +
splash.first_drop.column_peak_height.value   diameter +
splash.sheet.radius_max.value                closing_speed +
splash.sheet.full_time.value                 diameter +
splash.bowl_wave.frequency                   bowl_depth +  bowl_radius -
timing.gap_for_meeting.gap.value             nozzle_height +
timing.gap_for_meeting.first_contact         nozzle_height +  release_speed -
lens.best_aperture.f_number                  depth +  magnification +
lens.blur_in_units.pixels                    blur +  pixel_pitch -
lens.blur_budget.together.sensor             speed +  light_time +  offset +
"""


def orders():
    for line in filter(str.strip, (ORDER + RECORDS).splitlines()):
        name, *pairs = line.split()
        room, call, *path = name.split(".")
        function = next(f for f in FUNCTIONS if f.name == f"{room}.{call}")
        wanted = "".join(f".{part}" for part in path) or FIRST.get(function.name, "")
        for parameter, sign in zip(pairs[::2], pairs[1::2], strict=True):
            yield pytest.param(function, wanted, parameter, UP if sign == "+" else DOWN, id=f"{name} {parameter}{sign}")


@pytest.mark.parametrize(("function", "path", "name", "sign"), list(orders()))
def test_order(function, path, name, sign):
    """Ten steps from 0.87 to 1.15 times a good value, with the other numbers at three different levels."""
    good = function.good()
    others = [other for other in function.arrays() if other not in (name, "mode")]
    for level in (1.0, 0.93, 1.06):
        rest = {other: good[other] * level for other in others}
        seen = []
        for factor in np.linspace(0.87, 1.15, 10):
            result = function(**{**rest, name: good[name] * factor})
            seen.append(float(dict(leaves(result))[path]))
        steps = np.diff(seen) * sign
        assert np.all(steps >= 0) and steps.sum() > 0, f"at {level}: {seen}"


# --- units: numbers mean the same in millimetres and minutes ---------------------------------------------------------

# exponents of length, time, mass; a function with no constant of nature inside must scale with its units
DIMENSIONS = {
    "m": (1, 0, 0), "s": (0, 1, 0), "m/s": (1, -1, 0), "Hz": (0, -1, 0), "kg": (0, 0, 1), "kg/m3": (-3, 0, 1),
    "Pa s": (-1, -1, 1), "N/m": (0, -2, 1), "m/s2": (1, -2, 0), "m3": (3, 0, 0), "1": (0, 0, 0), "rad": (0, 0, 0),
}  # fmt: skip
SCALES = {
    "exposure.ghost_ratio": "1", "sync.blur_in_slit": "m", "sync.burn_guide_number_factor": "1",
    "sync.burn_needed": "s", "sync.burn_share": "1",
    "sync.pulse_pitch": "m", "sync.banding": "1", "sync.frame_shift": "m",
    "sync.length_factor": "1", "sync.slant_angle": "rad", "sync.slit_speed": "m/s", "sync.slit_width": "m",
    "sync.squash": "1", "sync.stretch": "1", "sync.dark_band_fraction": "1", "sync.fully_open_time": "s",
    "sync.leaf_efficiency": "1", "sync.slit_efficiency": "1", "sync.soft_edge_fraction": "1", "sync.sync_limit": "s",
    "lens.entrance_pupil_distance": "m", "lens.field_at_offset": "m", "lens.field_of_view": "m",
    "lens.image_distance": "m", "lens.magnification_for_field": "1", "lens.magnification_from_distance": "1",
    "lens.subject_distance": "m", "lens.subject_to_sensor": "m", "lens.airy_diameter": "m",
    "lens.aperture_for_depth": "1", "lens.defocus_blur": "m", "lens.depth_of_field_close_up": "m",
    "lens.motion_blur": "m", "lights.apparent_half_angle": "rad", "lights.disc_over_point": "1",
    "lights.distance_for_half_angle": "m", "lights.highlight_size": "m", "drops.fall_height": "m", "drops.bond": "1",
    "drops.froude": "1", "drops.ohnesorge": "1", "drops.reynolds": "1", "drops.weber": "1",
    "drops.sphere_diameter": "m", "drops.sphere_volume": "m3", "drops.tip_drop_volume": "m3",
    "drops.valve_drop_volume": "m3", "drops.valve_opening": "s", "drops.terminal_speed": "m/s",
    "drops.wobble_damping_time": "s", "drops.wobble_frequency": "Hz", "odds.hit_odds": "1",
    "odds.meeting_and_light_odds": "1", "chains.front_rear_difference": "s",
}  # fmt: skip


def unit_of(function, name):
    found = everything.unit_in_docstring(function.call, name)
    return DIMENSIONS.get(found)


@pytest.mark.parametrize("name", SCALES)
def test_units_scale(name):
    """Measured in units 3 % shorter, 2 % quicker and 4 % lighter, every result is the same thing."""
    function = next(f for f in FUNCTIONS if f.name == name)
    new = np.array([1 / 0.97, 1 / 0.98, 1 / 0.96])

    def factor(exponents):
        return float(np.prod(new ** np.array(exponents)))

    good = function.good()
    changed = {}
    for parameter in function.arrays():
        dimension = unit_of(function, parameter)
        assert dimension is not None, f"{parameter} has no unit that is known here"
        changed[parameter] = good[parameter] * factor(dimension)
    assert any(changed[parameter] != good[parameter] for parameter in changed)
    assert function(**changed) == pytest.approx(function() * factor(DIMENSIONS[SCALES[name]]), rel=1e-9)


def test_a_word_may_be_the_condition():
    """An entry that is filled in: NumPy 1 cannot ask all() of a word."""
    require("filled in", "note", "nothing", "filled in", "write a word")
    with pytest.raises(ValueError, match="The note must be filled in; got nothing"):
        require("", "note", "nothing", "filled in", "write a word")
