"""Each number in the prose of lessons 10 and 12 is what the library says."""

import math

import numpy as np
import pytest
from tools import lessons

from splashkit import exposure, faults, flash, lights, panels, runsheet, settings, splash
from splashkit.exercises import base
from splashkit.splash import series


def prose(start):
    return lessons.prose_of(next(path for path in lessons.present() if path.name.startswith(start)))


def right(lesson):
    (option,) = [option for option in base.lesson(lesson).PREDICTION.options if option[1]]
    return option[0]


def test_edges_in_lesson_10():
    text = prose("10")
    large, small = (lights.rim_zones(side, side, 0.5, 4e-3) for side in (0.6, 0.2))
    angles = [math.degrees(float(lights.apparent_half_angle(side, 0.5))) for side in (0.6, 0.2)]
    assert f"A softbox of 60 cm, half a metre behind, is seen out to {angles[0]:.0f}°" in text
    assert f"The outer {100 * float(large.dark_across):.0f} % of the drop's radius is then dark" in text
    assert f"Make it 20 cm wide, and the drop sees {angles[1]:.0f}°" in text
    assert f"Now {100 * float(small.dark_across):.0f} % is dark" in text
    full = math.degrees(float(lights.full_backlight_angle()))
    assert f"Past {full:.0f}° on each side nothing would be gained" in text
    assert right("10").startswith("It gets thicker") and small.dark_across > large.dark_across


def test_front_light_in_lesson_10():
    text = prose("10")
    spot = 1e3 * float(lights.highlight_size(4e-3, 0.3, 0.6))
    assert f"{spot:.2f} mm wide for a light of 30 cm at 60 cm" in text
    assert f"Water mirrors only {100 * float(lights.reflectance(0.0).unpolarised):.0f} %" in text
    bare, soft = (float(lights.disc_falloff_stops(0.5, 0.6, size)) for size in (0.0, 0.6))
    assert f"From a bare flash at 50 cm to 10 cm farther, {bare:.2f} stop is lost" in text
    assert f"From a softbox of 60 cm at the same place it is {soft:.2f} stop" in text
    assert f"a stop less is {math.sqrt(2):.1f} times as far" in text


def test_trades_in_lesson_10():
    text = prose("10")
    assert f"half the distance gives {-float(exposure.distance_stops(0.5, 0.25)):.0f} stops" in text
    assert f"At magnification 0.5 that loss is {float(exposure.close_up_loss(0.5)):.2f} stops" in text
    times = {kind: flash.durations(kind, np.array([1.0, 1 / 32]))[1] for kind in flash.UNITS}
    full, low = times["quench"]
    assert f"from {1e3 * full:.1f} ms at full power to {1e6 * low:.0f} µs at 1/32" in text
    assert times["capacitor"][1] < times["capacitor"][0] and "switches capacitors off gets faster too" in text
    assert f"at 1/32 it lasts {1e3 * times['voltage'][1]:.0f} ms" in text and times["voltage"][1] > full


def test_powers_of_the_opening_are_too_long_in_lesson_10():
    """Near 1/10 a drop at 2.2 m/s smears over a quarter of a millimetre; the sentence gives both durations."""
    text, panel = prose("10"), panels.light_placing()
    powers = [float(power) for power in (panel.result.plan.back_power, panel.result.plan.front_power)]
    assert powers == pytest.approx([0.1, 0.1], rel=0.35) and "opens with powers near 1/10" in text
    lasts = flash.durations("quench", powers)[1]
    assert 2.2 * lasts.mean() == pytest.approx(0.25e-3, rel=0.1) and "a quarter of a millimetre" in text
    assert all(f"{1e6 * time:.0f} µs" in panel.sentence for time in lasts)


def test_one_line_and_tries_in_lesson_10():
    plan = settings.choose_settings(settings.Wish(1e-4, 2.2, 4e-3, 0.5), settings.Gear(36))
    assert plan.possible and "0.1 mm of blur at 2.2 m/s, 4 mm of depth" in prose("10")
    choice = panels.power_choice()
    choice.press(choice.presets["Deep and frozen"])
    assert "magnification" in choice.result.plan.changes[0].quantity
    choice.press(choice._change)
    assert choice.result.plan.possible
    # the table tells the kinds apart where the tries start
    choice.reset()
    choice.press(choice.presets["A frozen drop"])
    fits = {kind: plan.possible for kind, plan in choice.result.others.items()}
    assert fits == {"quench": True, "capacitor": True, "voltage": False}


def test_cautions_stand_in_lesson_12_and_on_the_sheet():
    """Each kind of danger of the course's list is named in both."""
    on_sheet, text = " ".join(runsheet.sheet(runsheet.small_demo()[0]).cautions.lines), prose("12")
    for both in ("charge", "never open", "residual-current", "splash reach", "low-voltage isolated", "rip loop",
                 "off the floor", "trigger voltage", "hot glass bursts",
                 "three flashes a second", "epileptic fits", "lcohol", "flame",
                 "stain", "allergic", "from the bowl is drunk", "lass", "clear way out",
                 "electrical codes"):  # fmt: skip
        assert both in on_sheet and both in text, both


def test_thick_liquids_in_lesson_12():
    """The one run at 6 mPa s: its top came late, and its column was no shorter than that of water on the same grid."""
    late = [
        mark for mark in splash.simulated_landmarks() if mark.run == "gw50_10" and mark.words == "column at its top"
    ]
    assert late[0].residual > 0
    heights = {row["name"]: float(row["H_mm"]) for row in series.table("sim_axisym_summary.csv")}
    assert heights["gw50_10"] > heights["A10"]
    text = prose("12")
    assert "the column was at its top later than the model says" in text and "shorter, later column" not in text


def test_lesson_12_says_what_the_sheet_does():
    text = prose("12")
    assert "A second page holds empty log lines" in text
    rows = runsheet.sheet(runsheet.small_demo()[0]).sweep.rows
    assert [row[1].split()[0].strip(",") for row in rows[:4]] == ["Delay", "Delay", "Gap", "Delay"]
    assert "set the timer to no second drop. Move the delay until the drop just touches" in text
    assert right("12").startswith("Switch the second drop off")
    assert all(fault.causes for fault in faults.FAULTS)


@pytest.mark.parametrize(("start", "names"), [("10", ("light_placing", "power_choice")),
                                              ("12", ("run_sheet", "fault_finder"))])  # fmt: skip
def test_minutes_are_honest(start, names):
    """Reading at 180 words a minute, a minute a control, two an exercise: within four minutes."""
    controls = sum(len(getattr(panels, name)().controls) for name in names)
    minutes = len(prose(start).split()) / 180 + controls + 2 * 3
    said = int(prose(start).split("**Minutes**")[1].split()[0])
    assert abs(said - minutes) <= 4, (start, minutes)


@pytest.mark.parametrize("name", ["10", "12"])
def test_questions_have_answers_that_differ_from_their_slips(name):
    """For many drawings: the answer is finite, judged right, and at least two slips are told apart."""
    for question in base.lesson(name).QUESTIONS:
        for seed in range(20):
            q = question.numbers(str(seed), None)
            assert question.text(q) and question.worked(q)
            wanted = float(question.answer(q))
            unit = "" if question.unit == "1" else question.unit
            assert np.isfinite(wanted) and question.check(f"{wanted:.6g} {unit}", q).right
            told = [float(slip(q)) for slip, _ in question.slips]
            assert sum(abs(value / wanted - 1) > question.tolerance for value in told) >= 2
