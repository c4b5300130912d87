"""The practice rig: reproducible, not the adviser's own model, and its picture shows what its data say."""

import math

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from splashkit import rig, tries
from splashkit.log import check_entry
from splashkit.practice import Practice

SEEDS = range(40_000, 40_030)


def test_same_seed_same_rig_and_frames():
    one, two = Practice(7), Practice(7)
    assert one.hidden == two.hidden != Practice(8).hidden
    assert [one.shoot(0.07, 0.2).shot for _ in range(3)] == [two.shoot(0.07, 0.2).shot for _ in range(3)]
    assert "shutter lag" in one.hidden.text()


def test_hidden_numbers_cover_what_was_asked_and_the_learner_does_not_see_them():
    hidden = [Practice(seed).hidden for seed in range(400)]
    lags, valves, times = (
        np.array([getattr(h, n) for h in hidden]) for n in ("shutter_lag", "valve_delay", "column_time")
    )
    for values, low, high in ((lags, 0, 0.25), (valves, 0.005, 0.025), (times, 0.8, 1.2)):
        assert low <= values.min() < low + 0.05 * (high - low)
        assert high - 0.05 * (high - low) < values.max() <= high
    assert all(h.jitter == 0.5e-3 for h in hidden)
    assert Practice(1).rig.shutter_lag is None and Practice(1).rig.valve_delay is None
    assert Practice(1, chain="open").hidden.shutter_lag == 0


def test_its_fall_is_quadratic_drag():
    """Against an ordinary differential equation solved by scipy."""
    practice = Practice(3)
    h = practice.hidden
    solved = solve_ivp(
        lambda _, s: [s[1], h.gravity * (1 - (s[1] / h.terminal_speed) ** 2)], (0, 0.22), [0, h.release_speed],
        rtol=1e-10, atol=1e-12,
    )  # fmt: skip
    distance, speed = practice._distance(0.22, 0.0)
    assert (distance, speed) == pytest.approx(tuple(solved.y[:, -1]), rel=1e-7)
    assert practice._fall_time(distance, 0.0) == pytest.approx(0.22)


def test_it_is_not_the_adviser_s_model():
    """Best time and height scales put in, the columns still differ, by about what the bands of the models allow."""
    rest = []
    for seed in SEEDS:
        practice = Practice(seed)
        t = np.linspace(0.02, 0.13, 111)
        real = np.array(
            [practice._column(moment, practice.hidden.column_time, practice.hidden.column_height)[0] for moment in t]
        )
        best = min(
            float(np.sqrt(np.mean((practice.bench.column(t, scale, high)[0] - real) ** 2)))
            for scale in np.linspace(0.7, 1.35, 27)
            for high in np.linspace(0.6, 1.5, 19)
        )
        rest.append(best / real.max())
    assert 0.03 < np.median(rest) < 0.3


def test_meeting_is_where_drop_and_column_touch():
    for seed in SEEDS:
        practice = Practice(seed, chain="open")
        tried = practice.shoot(0.065, 0.25)
        b = tried.bodies
        assert b.met == (b.meeting_height >= tries.LOWEST_MEETING * practice.bench.second_diameter)
        assert tried.hit == (b.met and abs(b.since_meeting) <= 1.5e-3)
        assert tried.light_after_meeting == b.since_meeting


@pytest.mark.parametrize("seed", SEEDS)
def test_what_is_logged_is_what_was_there(seed):
    practice = Practice(seed, chain="open")
    top = practice.bench.view_top
    for delay in np.linspace(0.15, 0.36, 25):
        tried = practice.shoot(0.07, float(delay))
        b, shot = tried.bodies, tried.shot
        check_entry(shot, practice.rig)
        assert (shot.first_height is not None) == (b.first_height < top)
        assert (shot.second_height is not None) == (b.second_height < top)
        assert (shot.seen == "hit") == tried.hit
        if shot.first_height is not None:
            assert shot.first_height == pytest.approx(b.first_height, rel=0.06, abs=2.5e-3)
            assert shot.surface == "calm"
        if shot.seen == "nothing":
            assert b.since_contact < 0 and not b.first_height < top
        if b.since_meeting > 1.5e-3:
            assert shot.seen == "late" and shot.surface in ("sheet", "ripples")
        if b.since_contact > 0 and b.since_meeting < 0:
            assert math.isnan(b.first_height) and shot.surface in ("crown", "column", "ripples")


def test_those_who_do_not_wait_get_ripples_and_scatter():
    def heights(waited):
        practice = Practice(4, chain="open")
        found = [practice.shoot(0.09, 0.292, waited).bodies for _ in range(80)]
        assert found[0].ripples == 0, "the first frame finds the water at rest"
        return np.nanstd([b.column_height for b in found[1:]]), found[1].ripples

    (rough, ripples), (still, none) = heights(0.5), heights(60.0)
    assert ripples > 5e-4 and none < 1e-7
    assert rough > 1.5 * still


@pytest.mark.parametrize("bad", [{"gap": -1}, {"delay": math.nan}, {"waited": "x"}])
def test_bad_settings_are_named(bad):
    with pytest.raises(ValueError, match=r"must be .*; got .*To fix it: "):
        Practice(1).shoot(**{"gap": 0.07, "delay": 0.2, **bad})
    with pytest.raises(ValueError, match="seed must be"):
        Practice(-1)
    with pytest.raises(ValueError, match="chain must be"):
        Practice(1, chain="side")


def darkest_rows(frame):
    """Rows in which the frame differs from the empty plate, as heights above the water."""
    change = np.abs(np.asarray(frame.linear) - np.asarray(frame.plate)).sum(axis=1)
    heights = frame.camera.heights()
    return heights[change > 0.02 * change.max()]


def test_the_picture_shows_the_first_drop_where_the_data_say():
    practice = Practice(5, chain="open")
    for delay in np.arange(0.19, 0.23, 0.002):
        tried = practice.shoot(0.07, float(delay))
        height = tried.bodies.first_height
        if 0.008 < height < 0.034:
            rows = darkest_rows(practice.record(tried))
            rows = rows[rows > 0.003]  # without its mirror image
            assert 0.5 * (rows.min() + rows.max()) == pytest.approx(height, abs=0.4e-3)
            assert rows.max() - rows.min() == pytest.approx(tried.bodies.first_diameter, abs=0.5e-3)
            return
    pytest.fail("no frame of the first drop alone")


def test_every_kind_of_frame_can_be_recorded():
    practice = Practice(5, chain="open")
    seen = set()
    for delay in np.arange(0.18, 0.37, 0.006):
        tried = practice.shoot(0.067, float(delay), waited=1.0)
        frame = practice.record(tried)
        seen.add(tried.shot.surface)
        assert np.isfinite(frame.linear).all() and frame.screen().ndim == 2
        if tried.bodies.since_contact < 0 and tried.shot.seen != "nothing":
            assert len(darkest_rows(frame))
    assert {"calm", "crown", "column", "sheet", "ripples"} <= seen


def test_a_learner_s_own_rig_can_be_practised_on():
    mine = rig.Rig(nozzle_height=0.4, first_diameter=0.005, magnification=0.3)
    practice = Practice(1, mine)
    assert practice.bench.nozzle_height == 0.4
    assert practice.shoot(0.08, 0.3).shot.nozzle_height == 0.4
