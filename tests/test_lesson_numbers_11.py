"""Each number in the prose of lesson 11 is what the library says."""

import math
import re

import numpy as np
import pytest
from tools import lessons

from splashkit import drops, log, measure, odds, panels, rig, workings
from splashkit.exercises import lesson11


@pytest.fixture(autouse=True)
def own_folder(tmp_path, monkeypatch):
    monkeypatch.setenv("SPLASHKIT_HOME", str(tmp_path))


@pytest.fixture(scope="module")
def text():
    return lessons.prose_of(next(path for path in lessons.present() if path.name.startswith("11")))


def test_the_drop_as_a_clock(text):
    demo = rig.demo()
    path = drops.fall_height(demo.nozzle_height, demo.first_diameter)
    speed = float(drops.fall(path, demo.first_diameter, demo.release_speed).speed)
    assert 2.0 < speed < 2.5 and "more than two millimetres in a millisecond" in text
    assert 0.5e-3 / speed == pytest.approx(0.25e-3, rel=0.15) and "half a millimetre" in text
    assert "to a quarter of a millisecond" in text


def test_odds_in_the_prose(text):
    assert odds.HIT_WINDOW == 1.5e-3 and "within one and a half milliseconds of the meeting" in text
    assert odds.hit_odds(0.5e-3) > 0.99 and "scatters by half a millisecond, nearly every frame" in text
    assert odds.hit_odds(3e-3) == pytest.approx(0.4, abs=0.03) and "scatters by three, about two in five" in text
    assert f"At odds of 10 % you plan {odds.frames_to_budget(0.1)} frames" in text
    assert f"At 50 % you plan {odds.frames_to_budget(0.5)}." in text
    assert f"you plan {odds.frames_to_budget(0.01)}." in text
    assert odds.hand_dripped_odds() == pytest.approx(0.01, rel=0.1) and "one frame in a hundred" in text


@pytest.mark.parametrize("chance", [0.005, 0.02, 0.1, 0.37, 0.5, 0.9])
def test_the_formula_rounded_up_is_the_library_s_plan(chance):
    frames = float(workings.get("frames_to_budget").value(confidence=0.9, odds=chance))
    assert math.ceil(frames - 1e-9) == odds.frames_to_budget(chance)


def test_hopeless_odds_show_one_in_two_hundred(text):
    panel = panels.practice(seed=3, delay=0.5)
    [(_, numbers)] = panel.relations(panel.state, panel.result)
    assert numbers["odds"] == 1 / 200 and "one in two hundred" in text


def test_in_one_line_is_the_prose(text):
    said = measure.lag_from_drop(0.020, 0.150, 0.25, 0.004, valve_delay=0.012).text("s")
    assert re.match(r"79 ms", said)
    assert "middle at 20 mm, delay 150 ms, nozzle at 0.25 m, a drop of 4 mm, valve delay 12 ms" in text


def test_lag_and_valve_trade_places(text):
    """Five milliseconds more of each: no frame changes, which the prose says."""
    from splashkit import tries
    from splashkit.belief import Belief

    bench = tries.bench(rig.demo())
    members = Belief(rig.demo().with_values(shutter_lag=None, valve_delay=None)).members[:, :50]
    later = members.copy()
    later[tries.LAG] += 5e-3
    later[tries.VALVE] += 5e-3
    light = [tries.relative_light(bench, m, 0.2, 1.0, 0.0) for m in (members, later)]
    assert light[0] == pytest.approx(light[1]) and "five milliseconds slower, and the camera five milliseconds" in text


def test_words_on_the_buttons_and_lists(text):
    """Every bold name under Try is something that the panels have."""
    game, book = panels.practice(seed=1), panels.shot_log()
    names = {*game.presets, *book.presets, "Read it for me"}
    names |= {control.label for panel in (game, book) for control in panel.controls.values()}
    tried = text.split("## Try")[1].split("## Explain")[0]
    own = ("Caution.", "What does haste cost?", "No ruler, no heights?")  # headings in the text
    for bold in re.findall(r"\*\*(.+?)\*\*", tried):
        assert any(bold.rstrip(".").lower() in name.lower() for name in names) or bold in own, bold


def test_files_named_in_the_prose(text):
    assert log.FILE_NAME == "shots.csv" and "shots.csv.previous" in text


def test_one_option_of_the_prediction_is_right():
    assert [right for _, right, _ in lesson11.PREDICTION.options].count(True) == 1


def test_steps_of_two_milliseconds_over_an_unknown_lag_are_dozens():
    from splashkit.belief import BLANK_PRIORS

    prior = BLANK_PRIORS["shutter_lag"]
    assert (prior.high - prior.low) / 0.002 > 24
    assert any("two milliseconds" in option and "dozens" in why for option, _, why in lesson11.PREDICTION.options)


def test_haste_scatters_the_column_and_a_hit_lasts_4_ms(text):
    """What the tries promise: 6 ms before a hit the column's heights scatter with haste; 4 ms after it is a picture."""
    from splashkit import practice

    game = practice.Practice(5, rig.demo(), "front")
    hit = next(d / 1e3 for d in range(0, 400, 2) if game.shoot(0.06, d / 1e3, 60.0).hit)
    heights = {}
    for wait in (60.0, 1.0):
        seen = [game.shoot(0.06, hit - 6e-3, wait).shot.column_height for _ in range(12)]
        heights[wait] = np.std([height for height in seen if height])
    assert heights[1.0] > 3 * heights[60.0] and "Take 6 ms off the delay of a hit" in text
    assert all(game.shoot(0.06, hit + 4e-3, 60.0).shot.surface == "sheet" for _ in range(5))
    assert "Add 4 ms to the delay by hand" in text
    # a hit may be an umbrella of any age: then 6 ms are not enough
    sheet = [d for d in range(0, 400, 2) if game.shoot(0.06, d / 1e3, 60.0).shot.surface == "sheet"]
    assert 12 < sheet[-1] - sheet[0] <= 24 and "While an umbrella still stands there, take off 2 ms more" in text


def test_each_measurement_says_where_it_is_made():
    from splashkit import advice
    from splashkit.panels.frames_log import HOW

    assert set(HOW) <= set(advice.AIDS) and "slow-motion clip" in advice.AIDS["column_time"] + HOW["column_time"]
    one = advice.Advice(0.06, 0.2, 0.95, 0.95, "Why: 0.9 ms.", 1).text()
    assert "Plan 1 frame for" in one
    assert advice._width(942e-6) == "0.94 ms"
