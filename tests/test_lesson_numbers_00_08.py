"""Every number that lessons 00 and 08 state in prose, computed again and found in the text."""

import re

import numpy as np
import pytest
from tools import lessons

from splashkit import drops, panels, rig, splash, timing, workings


def text(number):
    path = next(path for path in lessons.present() if path.name.startswith(number))
    return " ".join(lessons.prose_of(path).split())


DEMO = rig.demo()


def plan(**more):
    return timing.gap_for_meeting(
        DEMO.nozzle_height, DEMO.first_diameter, bowl_depth=DEMO.bowl_depth, release_speed=DEMO.release_speed, **more
    )


def test_small_changes_as_quoted():
    found = {
        one.quantity: one
        for one in timing.sensitivities(DEMO.nozzle_height, DEMO.first_diameter, release_speed=DEMO.release_speed)
    }
    height, size = found["nozzle height"], found["drop diameter"]
    said = (
        f"one millimetre more height moves the meeting by about {1e3 * height.touch.value:.2f} ms "
        f"and the gap by only {1e3 * height.gap.value:.2f} ms"
    )
    assert said in text("08")
    assert f"moves the gap by about {1e3 * size.gap.value:.1f} ms" in text("08")
    # "hardly matters": one degree less than a tenth of a millisecond; "the meeting but not the gap"
    assert abs(found["temperature"].gap.value) < 1e-4 and abs(found["temperature"].touch.value) < 1e-4
    speed = found["release speed"]
    assert abs(speed.gap.value) < 0.02 * abs(speed.touch.value)


def test_the_band_as_quoted():
    gap = plan().gap
    assert f"the gap for the top lies between {1e3 * gap.low:.0f} and {1e3 * gap.high:.0f} ms" in text("08")


def test_the_window_as_quoted():
    window = timing.sheet_window(plan().sheet, 0.8)
    said = f"from about {1e3 * window.opens.value:.0f} ms to about {1e3 * window.closes.value:.0f} ms after the touch"
    assert said in text("08") and "four fifths" in text("08")


def test_formula_and_panel_differ_by_less_than_half_a_millisecond():
    made = plan()
    formula = workings.get("meeting_gap").value(
        column_time=float(made.meeting.moment),
        height=float(drops.fall_height(DEMO.nozzle_height, DEMO.first_diameter)),
        meeting_height=float(made.meeting_height.value),
        gravity=9.80665,
    )
    assert "differ by less than half a millisecond" in text("08")
    assert abs(formula - float(made.gap.value)) < 0.5e-3


def test_the_sheet_is_a_guess_within_a_factor_of_two():
    size = plan().sheet.radius_max
    assert "within a factor of two" in text("08")
    assert 1.3 < max(size.high / size.value, size.value / size.low) < 2


def test_one_line_example_runs_as_shown():
    assert "0.25 m and drops of 4 mm" in text("08")
    assert timing.gap_for_meeting(nozzle_height=0.25, diameter=0.004).gap.text("s") == "68.1 ms (50.8 to 87 ms)"


def test_prediction_of_lesson_08_holds():
    """A few centimetres more: the light must move much more than the gap, from any usual nozzle height."""
    for height in (0.2, 0.25, 0.3, 0.35):
        low, high = (timing.gap_for_meeting(h, 4e-3, release_speed=0.1) for h in (height, height + 0.03))
        light, gap = float(high.delay.value - low.delay.value), float(high.gap.value - low.gap.value)
        assert light > 0 and abs(gap) < 0.25 * light


def test_why_drop_size_rules():
    """A larger drop digs deeper, and its column comes later."""
    made = splash.first_drop(np.array([3.5e-3, 4e-3, 4.5e-3]), 2.1)
    assert np.all(np.diff(made.crater_depth.value) > 0) and np.all(np.diff(made.column_start.value) > 0)


def test_only_the_first_drop_moves_the_map_much():
    usual, height = float(plan().gap.value), DEMO.nozzle_height
    second = float(plan(second_diameter=3e-3).gap.value)
    first = float(timing.gap_for_meeting(height, 3e-3, second_diameter=4e-3, release_speed=0.1).gap.value)
    assert abs(second - usual) < 0.1 * abs(first - usual)


def test_the_walk_of_the_ring_starts_on_flat_water():
    """'It starts on flat water ... climbs the column ... turns round at the top', with the panel as it opens."""
    panel = panels.gap_and_height(rig=DEMO)
    opened = panel.result
    assert opened.met.height == 0 and "They miss: make the gap shorter" in panel.sentence
    # the light finds a little of the column, and the second drop in the air
    assert 1e-3 < np.interp(opened.light, opened.drawn.time, opened.drawn.liquid.value) < 5e-3
    assert -0.01 < opened.after < -0.004
    heights = []
    for gap in np.arange(opened.gap, 0.035, -0.002):
        panel.set(gap=float(gap))
        heights.append(float(panel.result.met.height))
    top = int(np.argmax(heights))
    assert heights[top] > 0.015 and 5 < top < len(heights) - 5
    assert np.all(np.diff(heights[: top + 1]) >= 0) and np.all(np.diff(heights[top:]) < 0)


def test_lesson_00_where_the_time_goes():
    """The prediction: the fall is longest; water, camera and flash follow."""
    made = panels.timeline(rig=DEMO).result
    fall, water = float(made.plan.first_contact), float(made.plan.meeting.moment)
    assert fall > made.chain.mean and fall > 2 * water and made.duration < 1e-3


def test_the_slow_motion_of_lesson_00_fits_into_a_tenth_of_a_second():
    assert "less than a tenth of a second goes by" in text("00")
    assert 0.05 < panels.slow_motion(rig=DEMO).film.full < 0.1


def test_lesson_00_refuses_a_long_rear_curtain_exposure():
    panel = panels.timeline(rig=DEMO, chain="rear")
    refused = []
    for exposure in (1 / 10, 1 / 8, 1 / 5, 1 / 4, 0.5):
        panel.set(exposure_time=exposure)
        refused.append("Not possible" in panel._words.value)
    assert not refused[0] and refused[-1] and refused == sorted(refused)


@pytest.mark.parametrize("number", ["00", "08"])
def test_no_other_number_with_a_unit_is_stated(number):
    """A number with a unit in the prose is one that a test above computes, or one of these choices."""
    # 1/250 s in lesson 00 is a usual sync speed (common practice, no source)
    allowed = {
        "00": {"250 s"},
        "08": {"0.52 ms", "0.05 ms", "1.8 ms", "87 ms", "3 ms", "11 ms", "0.25 m", "4 mm", "4 ms"},
    }
    found = set(re.findall(r"\d+(?:\.\d+)? (?:ms|mm|m|s|µs|%|°C)\b", text(number)))
    assert found <= allowed[number], found - allowed[number]
