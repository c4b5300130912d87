"""The meeting of two drops: there and back again, limits, orders, and what people ask of it.

Checks against tables and libraries are data, in tests/outside.
"""

import math
import time
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import optimize

from splashkit import drops, liquids, splash, timing
from splashkit.estimate import Estimate
from splashkit.splash import forms

PUBLISHED = Path(__file__).parent / "published"

heights = st.floats(0.12, 1.0)
sizes = st.floats(3e-3, 6.5e-3)


def exact(value):
    return Estimate(value, value, value, "test")


def some_liquid(density, viscosity, tension):
    return replace(liquids.water(), density=exact(density), viscosity=exact(viscosity), surface_tension=exact(tension))


@settings(max_examples=60, deadline=None)
@given(heights, sizes, st.sampled_from(["rising", "falling", "top"]), st.floats(0.02, 0.98))
def test_gap_and_meeting_are_each_others_inverse(height, size, phase, fraction):
    # a column may sink faster than a slow second drop follows; such a meeting is refused
    try:
        plan = timing.gap_for_meeting(height, size, phase=phase, fraction=fraction)
    except ValueError as error:
        assert "closing speed" in str(error)
        return
    back = timing.meeting(height, plan.gap.value, size)
    assert back.time == pytest.approx(plan.touch.value, abs=2e-5)
    assert back.height == pytest.approx(plan.meeting_height.value, abs=5e-5)
    if phase != "top":
        assert back.fraction == pytest.approx(fraction, abs=5e-3)


def test_meeting_is_where_a_root_finder_puts_it():
    # scipy's brentq on the height of the second drop's lowest point against the liquid on the axis
    height, size, gap = 0.32, 4.4e-3, 0.061
    made = splash.first_drop(size, drops.fall(drops.fall_height(height, size), size).speed)
    first = drops.fall(drops.fall_height(height, size), size).time

    def above(when):
        fallen = drops.position(when - gap, size).distance
        return float(drops.fall_height(height, size) - fallen - splash.column_height(made, when - first).value)

    root = optimize.brentq(above, first, gap + first, xtol=1e-9)
    met = timing.meeting(height, gap, size)
    assert met.time == pytest.approx(root, abs=2e-6)
    assert met.height == pytest.approx(splash.column_height(made, root - first).value, abs=2e-6)
    fallen = drops.position(root - gap, size)
    assert met.second_speed == pytest.approx(fallen.speed, rel=1e-4)
    assert met.closing_speed == pytest.approx(fallen.speed + splash.column_speed(made, root - first).value, rel=1e-3)


def test_gap_is_longer_than_the_meeting_time_by_the_height_over_the_speed():
    # derived: gap = meeting time after first contact + what the shorter fall saves, z / V for small z
    plan = timing.gap_for_meeting(0.25, 4e-3)
    saved = plan.gap.value - plan.meeting.moment
    mean_speed = (plan.meeting.second_speed + plan.meeting.splash.speed) / 2
    assert saved == pytest.approx(plan.meeting_height.value / mean_speed, rel=0.01)
    assert 4e-3 < saved < 10e-3


def test_outcomes_come_in_order_of_the_gap():
    gaps = np.linspace(0, 0.25, 2001)
    met = timing.meeting(0.25, gaps, 4e-3)
    seen = [code for i, code in enumerate(met.code) if i == 0 or met.code[i - 1] != code]
    assert seen == [1, 2, 3, 4, 5, 6]
    assert [timing.OUTCOMES[code] for code in met.code] == list(met.outcome)
    assert np.all(np.diff(met.time) >= 0)
    top = met.code == timing.OUTCOMES.index("at its top")
    assert np.all(met.height[top] >= 0.949 * met.splash.column_peak_height.value)
    assert met.closing_speed[met.code == 3].min() > met.closing_speed[met.code == 5].max()
    # much later nothing is left of the first drop: it lands on the level, its own fall after its own release
    assert met.time[-1] == pytest.approx(gaps[-1] + drops.fall(drops.fall_height(0.25, 4e-3), 4e-3).time, rel=1e-6)
    # a larger second drop's lowest point starts lower, so it may land first
    assert str(timing.meeting(0.25, 0.0, 4e-3, second_diameter=6e-3).outcome) == "before the first drop"


def test_head_that_is_off_is_told():
    late = timing.gap_for_meeting(0.25, 4e-3, phase="falling", fraction=0.2).meeting
    early = timing.gap_for_meeting(0.25, 4e-3, phase="rising", fraction=0.2).meeting
    assert late.head_is_off and not early.head_is_off


@settings(max_examples=30, deadline=None)
@given(heights, sizes)
def test_later_phases_need_longer_gaps(height, size):
    shares = np.linspace(0.05, 0.95, 12)
    rising = timing.gap_for_meeting(height, size, phase="rising", fraction=shares)
    top = timing.gap_for_meeting(height, size, phase="top")
    assert np.all(np.diff(rising.gap.value) > 0)
    assert top.gap.value > rising.gap.value[-1]
    assert np.all(np.diff(rising.meeting_height.value) > 0)
    for plan in (rising, top):
        for estimate in (plan.gap, plan.touch, plan.delay, plan.meeting_height):
            assert np.all((estimate.low <= estimate.value) & (estimate.value <= estimate.high))
        # once the gap is set, the touch is far surer than the gap was
        assert np.all(plan.touch.high - plan.touch.low < plan.gap.high - plan.gap.low)
        assert np.all(plan.delay.value > plan.touch.value)


def test_gap_and_delay_grow_with_the_nozzle_height():
    nozzle = np.linspace(0.12, 0.9, 60)
    plan = timing.gap_for_meeting(nozzle, 4e-3)
    assert np.all(np.diff(plan.gap.value) > 0)
    assert np.all(np.diff(plan.touch.value) > 0)
    # the fall carries the change: per millimetre the touch moves several times as far as the gap
    assert np.all(np.diff(plan.touch.value) > 2 * np.diff(plan.gap.value))


def test_wished_height_is_met_on_either_side():
    up = timing.gap_for_meeting(0.4, 5e-3, phase="rising", meeting_height=0.015)
    down = timing.gap_for_meeting(0.4, 5e-3, phase="falling", meeting_height=0.015)
    assert up.meeting_height.value == pytest.approx(0.015) == down.meeting_height.value
    assert up.gap.value < timing.gap_for_meeting(0.4, 5e-3).gap.value < down.gap.value
    with pytest.raises(ValueError, match="meeting height must be at most the column's top"):
        timing.gap_for_meeting(0.4, 5e-3, phase="rising", meeting_height=0.2)


def test_band_of_the_touch_covers_columns_that_are_low_or_late():
    plan = timing.gap_for_meeting(0.25, 4e-3)
    late = plan.meeting.splash.column_start.high / plan.meeting.splash.column_start.value
    soap = some_liquid(998.2, 1e-3, 0.0728 / late**4)  # a weaker skin makes the whole splash later
    met = timing.meeting(0.25, plan.gap.value, 4e-3, soap)
    assert plan.touch.low <= met.time <= plan.touch.high


def test_diagram_agrees_with_the_meeting():
    drawn = timing.height_time_diagram(0.3, 0.07, 4e-3, samples=1500)
    assert drawn.first[0] == pytest.approx(0.3 - 4e-3)
    assert np.nanmin(drawn.first) == pytest.approx(0, abs=6e-4)
    assert np.nanmin(drawn.second) == pytest.approx(drawn.meeting.height, abs=6e-4)
    assert np.isnan(drawn.second[drawn.time < 0.0699]).all() and np.isnan(drawn.first[-1])
    assert drawn.liquid.value.max() == pytest.approx(drawn.meeting.splash.column_peak_height.value, rel=1e-3)
    assert np.all(drawn.liquid.value[drawn.time < np.nanmax(drawn.time[~np.isnan(drawn.first)])] == 0)
    # the second drop is above the liquid until they touch
    flying = ~np.isnan(drawn.second) & (drawn.time < drawn.meeting.time - 1e-4)
    assert np.all(drawn.second[flying] > drawn.liquid.value[flying])


def test_map_is_the_meeting_cell_by_cell_and_quick():
    nozzle, gaps = np.linspace(0.1, 0.8, 200), np.linspace(0.0, 0.25, 200)
    timing.outcome_map(nozzle, gaps, 4e-3)
    best = math.inf
    for _ in range(3):
        begin = time.perf_counter()
        drawn = timing.outcome_map(nozzle, gaps, 4e-3)
        best = min(best, time.perf_counter() - begin)
    print(f"map of 200 x 200: {best * 1e3:.0f} ms")
    assert drawn.code.shape == drawn.height.shape == (200, 200)
    assert best < 0.25
    assert set(np.unique(drawn.code)) == {1, 2, 3, 4, 5, 6}
    for i, j in ((0, 0), (40, 60), (150, 80), (199, 199), (100, 55)):
        one = timing.meeting(float(nozzle[i]), float(gaps[j]), 4e-3)
        assert one.code == drawn.code[i, j]
        assert one.height == pytest.approx(drawn.height[i, j], abs=1e-9)
    assert np.all(np.diff(drawn.code, axis=1) >= -1)  # only rising, top, falling: 3, 4, 5; never back by more


@pytest.mark.parametrize("size", [2e-3, 4e-3, 7e-3])
def test_edges_are_where_the_meeting_changes(size):
    """Just before and just after each edge, a meeting solved by itself gives the two outcomes beside it."""
    nozzle = np.linspace(0.1, 0.8, 8)
    found = timing.outcome_edges(nozzle, size, release_speed=0.1, bowl_depth=0.04)
    assert np.all(np.diff(found.ends, axis=0) >= 0)
    for row, height in enumerate(nozzle):
        for code, end in enumerate(ends[row] for ends in found.ends):
            sides = [end - 1e-5, end + 1e-5]
            if sides[0] > 0:
                met = timing.meeting(height, sides, size, release_speed=0.1, bowl_depth=0.04)
                assert met.code[0] <= code < met.code[1]
        try:
            planned = timing.gap_for_meeting(height, size, release_speed=0.1, bowl_depth=0.04).gap[:3]
        except ValueError:  # too thin a column for a sheet: the line breaks off
            planned = (math.nan,) * 3
        assert [ours[row] for ours in found.best[:3]] == pytest.approx(planned, rel=1e-12, nan_ok=True)


def test_edges_have_no_best_gap_where_the_column_reaches_the_nozzle():
    with pytest.raises(ValueError, match="To fix it"):
        timing.gap_for_meeting(0.03, 7e-3)
    assert np.isnan(timing.outcome_edges([0.03, 0.3], 7e-3).best.value).tolist() == [True, False]


def test_arrays_equal_scalars():
    nozzle, gap, size = np.array([0.2, 0.3, 0.5]), np.array([0.05, 0.06, 0.09]), np.array([4e-3, 4.5e-3, 5e-3])
    many = timing.meeting(nozzle, gap, size)
    plans = timing.gap_for_meeting(nozzle, size, phase="rising", fraction=0.4)
    for i in range(3):
        one = timing.meeting(float(nozzle[i]), float(gap[i]), float(size[i]))
        assert np.ndim(one.time) == 0
        assert (one.time, one.height) == pytest.approx((many.time[i], many.height[i]), rel=1e-12)
        plan = timing.gap_for_meeting(float(nozzle[i]), float(size[i]), phase="rising", fraction=0.4)
        for estimate, row in ((plan.gap, plans.gap), (plan.touch, plans.touch), (plan.delay, plans.delay)):
            assert estimate[:3] == pytest.approx([row.value[i], row.low[i], row.high[i]], rel=1e-9)


def test_sensitivities():
    found = {one.quantity: one for one in timing.sensitivities(0.25, 4e-3)}
    for one in found.values():
        print(
            f"{one.quantity} per {one.step}: gap {one.gap.value * 1e3:+.3f} ms, touch {one.touch.value * 1e3:+.3f} ms"
        )
    # a fall slows the arrival by 1 mm / V, and by what half the fall's extra speed gives back: sqrt(1 / 2 g h)
    speed = float(drops.fall(drops.fall_height(0.25, 4e-3), 4e-3).speed)
    assert found["nozzle height"].touch.value == pytest.approx(1e-3 / speed, rel=0.2)
    # the slopes are those of the plan
    plus, minus = (timing.gap_for_meeting(0.25, d).gap.value for d in (4.05e-3, 3.95e-3))
    assert found["drop diameter"].gap.value == pytest.approx(plus - minus, rel=1e-6)
    # weaker skin, later column; warmth weakens the skin
    assert found["surface tension"].gap.value < 0 < found["temperature"].gap.value
    assert found["viscosity"].gap.value == 0 and found["viscosity"].gap.high > 0
    # a drop that starts with speed v is early by nearly v / g
    assert found["release speed"].touch.value == pytest.approx(-0.01 / 9.80665, rel=0.06)


def test_sheet_window_brackets_the_fullest():
    made = timing.gap_for_meeting(0.25, 4e-3).sheet
    window = timing.sheet_window(made, 0.8)
    for edge in (window.opens, window.closes):
        assert made.radius(edge.value).value == pytest.approx(0.8 * made.radius_max.value, rel=1e-3)
    assert window.opens.value < made.full_time.value == window.best.value < window.closes.value
    narrow = timing.sheet_window(made, 0.95)
    assert window.opens.value < narrow.opens.value < narrow.closes.value < window.closes.value
    # the shape in units of its own fullest time, checked with scipy on Villermaux & Bossa's cubic (from memory)
    share = (0.8 * made.radius_max.value - 2e-3) / (made.radius_max.value - 2e-3)
    root = optimize.brentq(lambda u: 2.25 * u * (1 - u / 3) ** 2 - share, 0, 1)
    assert window.opens.value / made.full_time.value == pytest.approx(root, rel=1e-4)


def test_early_hits_are_faster_and_make_larger_sheets():
    early = timing.gap_for_meeting(0.25, 4e-3, phase="rising", fraction=0.15)
    top = timing.gap_for_meeting(0.25, 4e-3)
    assert early.meeting.closing_speed > 1.2 * top.meeting.closing_speed
    assert early.sheet.radius_max.value > top.sheet.radius_max.value
    with pytest.raises(ValueError, match="for a sheet"):
        timing.meeting(0.25, 0.3, 4e-3).sheet()


def test_warnings_come_along():
    plan = timing.gap_for_meeting(0.12, 3e-3, bowl_depth=0.01)
    assert any("bubble" in sentence for sentence in plan.warnings)
    assert any("shallow" in sentence for sentence in plan.warnings)
    assert timing.gap_for_meeting(0.25, 4e-3).warnings == ()


def test_table_follows_the_curve():
    # the table's straight pieces against the curve itself, half-way between its moments
    plan = timing.gap_for_meeting(0.25, 4e-3)
    curve = plan.meeting.splash.curve()
    gaps = np.linspace(0.0, 0.15, 777)
    met = timing.meeting(0.25, gaps, 4e-3)
    seconds = drops.fall(drops.fall_height(0.25, 4e-3) - met.height, 4e-3).time
    assert plan.first_contact + met.moment - seconds == pytest.approx(gaps, abs=5e-6)
    assert met.height == pytest.approx(forms.surface_height(met.moment, **curve))


GOOD = {
    timing.meeting: {"nozzle_height": 0.25, "gap": 0.06, "diameter": 4e-3, "second_diameter": 4e-3,
                     "release_speed": 0.0, "bowl_depth": 0.03, "gravity": 9.81},
    timing.gap_for_meeting: {"nozzle_height": 0.25, "diameter": 4e-3, "fraction": 0.5, "meeting_height": 0.01,
                             "second_diameter": 4e-3, "release_speed": 0.0, "bowl_depth": 0.03, "gravity": 9.81},
    timing.height_time_diagram: {"nozzle_height": 0.25, "gap": 0.06, "diameter": 4e-3, "samples": 100},
    timing.outcome_map: {"nozzle_heights": 0.25, "gaps": 0.06, "diameter": 4e-3},
    timing.outcome_edges: {"nozzle_height": 0.25, "diameter": 4e-3},
    timing.sensitivities: {"nozzle_height": 0.25, "diameter": 4e-3, "temperature": 20.0},
}  # fmt: skip


@pytest.mark.parametrize("bad", [-1.0, math.nan, math.inf, 1e6, "4 mm", True])
def test_bad_input_gives_the_one_sentence(bad):
    for function, good in GOOD.items():
        phase = {"phase": "rising"} if function is timing.gap_for_meeting else {}
        function(**good, **phase)
        for name in good:
            with pytest.raises(ValueError, match=r"^The .* must be .*; got .*\. To fix it: .*\.$"):
                function(**{**good, **phase, name: bad})


def test_wrong_words_and_shapes_are_refused():
    with pytest.raises(ValueError, match="meeting phase must be one of 'rising', 'top', 'falling'"):
        timing.gap_for_meeting(0.25, 4e-3, phase="peak")
    with pytest.raises(ValueError, match="matching shapes"):
        timing.meeting(np.full(3, 0.25), np.full(2, 0.06), 4e-3)
    for wrong in ("water", 4.0, {}):
        with pytest.raises(ValueError, match="The liquid must be a Liquid"):
            timing.meeting(0.25, 0.06, 4e-3, wrong)
    with pytest.raises(ValueError, match="must be one number"):
        timing.height_time_diagram(np.array([0.2, 0.3]), 0.06, 4e-3)
    with pytest.raises(ValueError, match="The sheet must be a Sheet"):
        timing.sheet_window(4e-3)
    with pytest.raises(ValueError, match="share of the fullest sheet"):
        timing.sheet_window(splash.sheet(4e-3, 2.2), 1.5)


@pytest.mark.parametrize(
    ("height", "drop", "words"),
    [(0.05, 6e-3, "nozzle height must be above the column"), (0.03, 7e-3, "nozzle height must be above the column"),
     (0.10, 1.5e-3, "first drop must be large and fast enough")],
)  # fmt: skip
def test_what_cannot_meet_is_said_of_what_one_can_set(height, drop, words):
    """A column's band that reaches the nozzle, or a thread of a column: never a fall of a negative height."""
    with pytest.raises(ValueError, match=words) as refusal:
        timing.gap_for_meeting(height, drop)
    assert "got -" not in str(refusal.value) and "give metres" not in str(refusal.value)
