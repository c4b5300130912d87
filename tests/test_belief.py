"""What frames say about a rig: the forward model against the library's, the cloud against exact sums."""

import time
import tracemalloc
from dataclasses import replace

import numpy as np
import pytest

from splashkit import drops, rig, splash, sync, timing, tries
from splashkit.advice import advise
from splashkit.belief import BLANK_PRIORS, Belief, priors
from splashkit.likelihood import frame_likelihood, frames_from
from splashkit.log import SEEN, SURFACES, Shot
from splashkit.practice import UNKNOWN_AT_FIRST
from splashkit.runsheet.numbers import numbers
from splashkit.runsheet.wishes import Wishes
from splashkit.tries import HEIGHT, LAG, TIME, UNKNOWNS, VALVE

BLANK = rig.demo().with_values(**dict.fromkeys(UNKNOWN_AT_FIRST))
BENCH = tries.bench(BLANK)


def members(count=1, **values):
    start = {
        "shutter_lag": 0.08, "valve_delay": 0.015, "release_speed": 0.1, "column_time": 1.0, "column_height": 1.0,
        "jitter": 0.5e-3, "size_spread": 0.01,
    }  # fmt: skip
    return np.tile(np.array([[{**start, **values}[name]] for name in UNKNOWNS]), (1, count))


def narrowed(belief, name):
    """How much of an unknown's first width is left: near 1 the frames could not tell it."""
    fresh = Belief(belief.rig, members=4000).members
    row = UNKNOWNS.index(name)
    left, first = (np.ptp(np.quantile(cloud[row], [0.05, 0.95])) for cloud in (belief.members, fresh))
    return left / first


# the library's own fall, read the other way
@pytest.mark.parametrize("nozzle", [0.1, 0.25, 0.5])
@pytest.mark.parametrize("speed", [0.0, 0.3])
def test_fall_agrees_with_the_library(nozzle, speed):
    bench = tries.bench(BLANK.with_values(nozzle_height=nozzle))
    moments = np.linspace(0.02, float(bench.time_to(nozzle - 0.004, speed)), 12)
    theirs = drops.position(moments, 0.004, speed)
    # 0.3 ms at 2 m/s is 0.6 mm, the reading error of a height
    assert np.max(np.abs(bench.distance(moments, speed) - theirs.distance)) < 0.6e-3
    assert np.max(np.abs(bench.speed(moments, speed) / theirs.speed - 1)) < 0.01
    assert bench.time_to(bench.distance(moments, speed), speed) == pytest.approx(moments, abs=1e-6)


@pytest.mark.parametrize("gap", [0.045, 0.055, 0.065, 0.075, 0.085])
def test_meeting_agrees_with_timing(gap):
    theirs = timing.meeting(0.25, gap, 4e-3, release_speed=0.1, bowl_depth=0.05)
    ours = tries.events(BENCH, members(), gap)
    assert float(ours.meeting[0]) == pytest.approx(float(theirs.time), abs=0.3e-3)
    assert float(ours.meeting_height[0]) == pytest.approx(float(theirs.height), abs=0.6e-3)


def test_column_is_the_library_s():
    fallen = drops.fall(0.246, 0.004)
    made = splash.first_drop(4e-3, float(fallen.speed), None, 0.05)
    t = np.linspace(0.036, 0.085, 30)
    ours, slope = BENCH.column(t, 1.0, 1.0)
    assert ours == pytest.approx(np.maximum(splash.column_height(made, t).value, 0), abs=0.2e-3)
    assert slope == pytest.approx(splash.column_speed(made, t).value, abs=0.1)


def test_chains_agree_with_sync():
    for kind in rig.CHAINS:
        theirs = sync.flash_time(kind, 0.1, 0.0035, lag=0.0)
        extra = BENCH.offsets["open"]
        assert BENCH.offsets[kind] == pytest.approx(float(theirs) + extra, abs=1e-9)


def test_a_column_that_is_not_there_is_not_met():
    early, late = tries.events(BENCH, members(), 0.02), tries.events(BENCH, members(), 0.2)
    assert not early.met[0] and not late.met[0]
    assert late.meeting[0] == pytest.approx(0.2 + float(BENCH.time_to(0.246, 0.1)), abs=1e-6)


def test_likelihood_of_a_drop_height_peaks_at_the_right_lag():
    """Against an exact sum over the scatter, done here by brute force for one frame."""
    lag = np.linspace(0.05, 0.11, 601)
    cloud = members(601)
    cloud[LAG] = lag
    delay = float(BENCH.time_at_height("first", 0.015, 0.1)) - BENCH.offsets["front"] - 0.08 + 0.015
    frames = frames_from(BENCH, [Shot(delay=delay, gap=0.07, first_height=0.015)])
    ours = np.exp(frame_likelihood(BENCH, frames, cloud)[0])
    jitter = np.hypot(0.5e-3, BENCH.known_spread)
    steps = np.linspace(-6, 6, 4001) * jitter
    weights = np.exp(-0.5 * (steps / jitter) ** 2)
    moment = delay + BENCH.offsets["front"] + lag[:, None] - 0.015 + steps
    height = 0.25 - 0.002 - BENCH.distance(moment, 0.1)
    exact = (np.exp(-0.5 * ((height - 0.015) / 0.7e-3) ** 2) * weights).sum(axis=1)
    core = exact > 0.02 * exact.max()
    assert lag[np.argmax(ours)] == pytest.approx(lag[np.argmax(exact)], abs=2e-4)
    ratio = (ours / ours.max())[core] / (exact / exact.max())[core]
    assert np.all(np.abs(ratio - 1) < 0.12)


def grid_truth(shots, lags, valves):
    """Exact joint belief over lag and valve delay with all else known: a plain sum over a grid."""
    lag, valve = np.meshgrid(lags, valves, indexing="ij")
    cloud = members(lag.size)
    cloud[LAG], cloud[VALVE] = lag.ravel(), valve.ravel()
    log = frame_likelihood(BENCH, frames_from(BENCH, shots), cloud).sum(axis=0)
    return np.exp(log - log.max()).reshape(lag.shape)


def test_cloud_agrees_with_a_grid():
    """Quantiles of four clouds, averaged: one cloud scatters by about a twentieth of the width."""
    tight = {
        "release_speed": 0.1, "column_time": 0.0, "column_height": 0.0, "jitter": np.log(5e-4),
        "size_spread": np.log(0.01),
    }  # fmt: skip
    shots = [
        Shot(delay=0.140, gap=0.07, seen="nothing", surface="calm"),
        Shot(delay=0.160, gap=0.07, first_height=0.0195, seen="early", surface="calm"),
    ]
    levels, found = [0.05, 0.25, 0.5, 0.75, 0.95], []
    for seed in range(4):
        belief = Belief(BLANK, members=4000, seed=seed)
        for name, middle in tight.items():
            index = UNKNOWNS.index(name)
            belief.priors[index] = belief.priors[index]._replace(middle=middle, spread=1e-3)
        belief.members = belief._from_prior(4000)
        belief.add(*shots)
        found.append(np.quantile(belief.members, levels, axis=1))
    lags, valves = np.linspace(0, 0.25, 1001), np.linspace(0.005, 0.025, 41)
    weight = grid_truth(shots, lags, valves)
    for row, axis, values in ((LAG, 1, lags), (VALVE, 0, valves)):
        share = weight.sum(axis=axis)
        exact = np.interp(levels, np.cumsum(share) / share.sum(), values)
        ours = np.mean(found, axis=0)[:, row]
        assert ours == pytest.approx(exact, abs=0.07 * (exact[-1] - exact[0]))


def careful(lag, valve, delay, gap=0.07):
    """A noiseless frame of the adviser's own model."""
    cloud = members(shutter_lag=lag, valve_delay=valve)
    light = float(tries.relative_light(BENCH, cloud, delay, 1.0, BENCH.offsets["front"])[0])
    height = 0.25 - 0.002 - float(BENCH.distance(light, 0.1))
    assert 0.002 < height < BENCH.view_top
    return Shot(delay=delay, gap=gap, first_height=height, seen="early", surface="calm")


def test_first_drop_frames_fix_the_difference_and_leave_the_parts_wide():
    """Frames only ever show lag less valve delay: the two alone must stay as wide as that allows."""
    belief = Belief(BLANK)
    belief.add(*(careful(0.08, 0.012, delay) for delay in (0.129, 0.134, 0.140)))
    # the release speed is open too, so that even the difference is known to the fall's own doubt only ...
    difference = belief.members[LAG] - belief.members[VALVE]
    assert 0.01 < np.ptp(np.quantile(difference, [0.05, 0.95])) < 0.05
    # ... while the delay that puts the light on the first touch, all that matters, is sharp
    touch = tries.events(BENCH, belief.members, 0.07).contact - difference
    assert np.ptp(np.quantile(touch, [0.05, 0.95])) < 2e-3
    assert narrowed(belief, "valve_delay") > 0.8
    assert narrowed(belief, "column_height") > 0.8
    assert narrowed(belief, "column_time") > 0.8
    assert narrowed(belief, "shutter_lag") < 0.3


def test_one_wrong_entry_is_survived():
    frames = [careful(0.08, 0.012, delay) for delay in (0.129, 0.134, 0.140, 0.137)]
    wrong = Shot(delay=0.138, gap=0.07, first_height=0.037, seen="late", surface="calm")
    for place in range(len(frames) + 1):
        belief = Belief(BLANK, seed=place)
        belief.add(*frames[:place], wrong, *frames[place:])
        found = belief.estimate("shutter_lag")
        assert found.low < 0.08 < found.high, f"wrong entry at {place}: {found}"
        assert found.high - found.low < 0.06


def test_a_clip_tells_when_the_column_rises():
    cloud = members(column_time=1.15)
    happens = tries.events(BENCH, cloud, 0.07)
    rate = 240.0
    start, contact, top = (float(x[0]) for x in (happens.column_start, happens.contact, happens.column_peak))
    events = {
        "first_contact": round(contact * rate),
        "column_start": round(start * rate),
        "column_top": round(top * rate),
    }
    belief = Belief(BLANK)
    belief.add(Shot(clip_rate=rate, clip_events=events))
    found = belief.estimate("column_time")
    assert found.low < 1.15 < found.high
    assert narrowed(belief, "column_time") < 0.6
    assert narrowed(belief, "shutter_lag") > 0.9, "a clip without the light says nothing of the shutter"
    slow = Belief(BLANK)
    slow.add(Shot(clip_rate=30.0, clip_events={k: round(v * 30 / 240) for k, v in events.items()}))
    assert narrowed(slow, "column_time") > narrowed(belief, "column_time")


def test_the_signal_in_a_clip_tells_the_valve_delay():
    cloud = members(valve_delay=0.018)
    contact = float(tries.events(BENCH, cloud, 0.07).contact[0])
    belief = Belief(BLANK)
    events = {"signal": 100.0, "first_release": 100 + 0.018 * 960, "first_contact": 100 + (0.018 + contact) * 960}
    belief.add(Shot(clip_rate=960.0, clip_events=events))
    found = belief.estimate("valve_delay")
    assert found.low < 0.018 < found.high and found.high - found.low < 0.004


def test_a_bare_clip_or_an_empty_row_changes_nothing():
    belief = Belief(BLANK)
    before = np.quantile(belief.members, [0.05, 0.5, 0.95], axis=1)
    belief.add(Shot(delay=0.2, gap=0.07), Shot(clip_rate=240.0, clip_events={"first_contact": 3}), Shot(note="tea"))
    after = np.quantile(belief.members, [0.05, 0.5, 0.95], axis=1)
    assert after == pytest.approx(before, rel=0.15, abs=0.01)


def test_same_log_same_belief():
    one, two = Belief(BLANK, seed=3), Belief(BLANK, seed=3)
    shots = [careful(0.08, 0.012, 0.129), careful(0.08, 0.012, 0.140)]
    one.add(*shots)
    two.add(shots[0])
    two.add(shots[1])
    assert np.array_equal(one.members, two.members)


def test_measured_numbers_narrow_the_start_and_blanks_do_not():
    assert priors(BLANK)["shutter_lag"] == BLANK_PRIORS["shutter_lag"]
    known = Belief(rig.demo())
    assert known.estimate("shutter_lag").low < rig.demo().shutter_lag < known.estimate("shutter_lag").high
    assert known.estimate("shutter_lag").high - known.estimate("shutter_lag").low < 0.02
    assert Belief(BLANK).estimate("shutter_lag").high > 0.2


def test_members_stay_inside_their_ranges():
    belief = Belief(BLANK)
    belief.add(*(careful(0.08, 0.012, delay) for delay in (0.129, 0.140)))
    for row, prior in zip(belief._walking(belief.members), belief.priors, strict=True):
        assert row.min() >= prior.low - 1e-9 and row.max() <= prior.high + 1e-9
    assert np.isfinite(belief.members).all()
    assert belief.members[TIME].min() > 0 and belief.members[HEIGHT].min() > 0


def test_learning_is_fast_even_with_a_long_log():
    belief = Belief(BLANK)
    shots = [careful(0.08, 0.012, delay) for delay in np.linspace(0.128, 0.141, 60)]
    belief.add(*shots[:10])
    start = time.process_time()
    belief.add(shots[10])
    assert time.process_time() - start < 0.3
    belief.shots = shots
    assert len(belief.shots) == 60
    start = time.process_time()
    belief.add(shots[0])
    assert time.process_time() - start < 2.0
    assert len(belief.shots) == 60


def test_a_whole_log_at_once_says_the_same_as_one_by_one():
    shots = [careful(0.08, 0.012, delay) for delay in (0.129, 0.134, 0.140)]
    wrong = Shot(delay=0.138, gap=0.07, first_height=0.037, seen="late", surface="calm")
    slow, fast = Belief(BLANK), Belief(BLANK)
    slow.add(*shots, wrong)
    fast.add_log([*shots, wrong])
    truth = float(BENCH.time_at_height("first", 0.002, 0.1)) + 0.012 - 0.08
    for belief in (slow, fast):
        touch = tries.events(BENCH, belief.members, 0.07).contact + belief.members[VALVE] - belief.members[LAG]
        assert np.quantile(touch, 0.5) == pytest.approx(truth, abs=2e-3)
    fast.add_log([])
    assert len(fast.shots) == 4


def test_a_log_of_ten_thousand_frames_is_learned_in_seconds():
    shots = [careful(0.08, 0.012, float(delay)) for delay in np.linspace(0.128, 0.141, 100)] * 100
    belief = Belief(BLANK)
    start = time.process_time()
    belief.add_log(shots)
    assert time.process_time() - start < 5
    assert len(belief.shots) == 60
    assert belief.estimate("shutter_lag").contains(0.08)


def test_frames_of_another_nozzle_height_are_left_out():
    shots = [careful(0.08, 0.012, delay) for delay in (0.129, 0.134)]
    other = [replace(shot, nozzle_height=0.30) for shot in shots]
    same = [replace(shot, nozzle_height=0.251) for shot in shots]
    assert len(frames_from(BENCH, other)) == 0
    assert len(frames_from(BENCH, same)) == 2


# gravity at the equator and the poles: GRS80 (Moritz 2000), 9.780327 and 9.832186 m/s2; less the buoyancy in air
@pytest.mark.parametrize(("latitude", "gravity"), [(0.0, 9.780327), (90.0, 9.832186), (-90.0, 9.832186)])
def test_latitude_sets_the_pull(latitude, gravity):
    bench = tries.bench(BLANK.with_values(latitude=latitude))
    assert bench.pull == pytest.approx(gravity * (1 - 1.204 / 998.2), abs=2e-5)


def test_latitude_moves_the_first_touch():
    """The time of a fall goes with one over the root of gravity: the same two values of GRS80."""
    equator, pole = (
        float(
            tries.events(tries.bench(BLANK.with_values(latitude=latitude)), members(release_speed=0.0), 0.068).contact[
                0
            ]
        )
        for latitude in (0.0, 90.0)
    )
    assert equator / pole == pytest.approx(np.sqrt(9.832186 / 9.780327), abs=1e-4)


@pytest.mark.parametrize(
    ("liquid", "shares", "warm"),
    [("milk", {}, 5.0), ("glycerol_water", {"mass_fraction": 0.4}, 20.0), ("glycerol_water", {}, 20.0)],
)
def test_the_liquid_is_that_of_the_run_sheet(liquid, shares, warm):
    mine = rig.demo().with_values(
        liquid=liquid, liquid_parameters=shares, liquid_temperature=warm, latitude=60.0, release_speed=0.4
    )
    sheet = numbers(mine, Wishes()).meeting
    ours = tries.bench(mine)
    assert ours.curve["start"] == pytest.approx(float(sheet.meeting.splash.column_start.value), rel=1e-6)
    assert ours.sheet_time == pytest.approx(float(sheet.sheet.end_time.value), rel=1e-6)
    assert ours.curve["peak"] == pytest.approx(float(sheet.meeting.splash.column_peak_time.value), rel=1e-6)


def test_a_liquid_too_thick_for_the_splash_still_gets_advice():
    thick = rig.demo().with_values(liquid="glycerol_water", liquid_parameters={"mass_fraction": 0.8})
    assert np.isfinite(advise(Belief(thick, members=500)).delay)


def any_rig(random):
    values = {}
    for entry in rig.ENTRIES:
        if random.random() < 0.5:
            low, high = getattr(entry.check, "low", 0), getattr(entry.check, "high", 0)
            if not entry.factor:
                values[entry.name] = str(random.choice(entry.check.options))
            else:
                values[entry.name] = (
                    float(np.exp(random.uniform(np.log(low), np.log(high))))
                    if low > 0
                    else float(random.uniform(low, high))
                )
    values["first_diameter"] = float(random.uniform(0.001, 0.008))
    values["nozzle_height"] = float(random.uniform(0.021, 3.0))
    return rig.Rig(**values)


def any_shot(random, gap, delay):
    def maybe(high):
        return float(random.uniform(0, high)) if random.random() < 0.4 else None

    return Shot(
        gap=gap, delay=delay, chain=str(random.choice(["", *rig.CHAINS])), first_height=maybe(0.2),
        column_height=maybe(0.1), second_height=maybe(0.2), seen=str(random.choice(["", *SEEN])),
        surface=str(random.choice(["", *SURFACES])),
    )  # fmt: skip


@pytest.mark.filterwarnings("error")
@pytest.mark.parametrize("seed", range(12))
def test_any_rig_and_any_entries_give_finite_advice(seed):
    random = np.random.default_rng(seed)
    belief = Belief(any_rig(random), members=500)
    for _ in range(4):
        found = advise(belief)
        assert np.isfinite([found.gap, found.delay, found.odds]).all()
        assert 0 <= found.odds <= 1 and found.delay >= 0
        belief.add(any_shot(random, found.gap, found.delay))
        assert np.isfinite(belief.members).all()


@pytest.mark.parametrize("seed", [700, 709, 716])
def test_a_slip_of_the_pen_is_named_and_no_true_frame(seed):
    """A delay written 60 ms wrong, after four true frames of the practice rig: that row, and no other."""
    from dataclasses import replace

    from splashkit import advice, practice, rig
    from splashkit.belief import Belief

    game = practice.Practice(seed, rig.demo(), "front")
    true, gap, delay = Belief(game.rig), 0.06, 0.2
    for _ in range(5):
        true.add(game.shoot(gap, delay, 60.0).shot)
        advised = advice.advise(true)
        gap, delay = advised.gap, advised.delay
    assert true.doubtful() == []
    wrong = replace(true.shots[-1], delay=true.shots[-1].delay + 0.06)
    told = Belief(game.rig)
    told.add(*true.shots[:-1], wrong)
    assert [shot is wrong for shot in told.doubtful()] == [True]


def test_a_long_log_needs_no_more_memory_than_a_short_one():
    """Frames are judged a few at a time; all at once, sixty would take 31 MB."""
    shots = [Shot(gap=0.06, delay=0.2 + 0.0005 * step, column_height=0.01 + 0.0002 * step) for step in range(60)]
    mind = Belief(BLANK)
    peaks = []
    for count in (10, 60):
        tracemalloc.start()
        mind.likelihood(shots[:count], mind.members)
        peaks.append(tracemalloc.get_traced_memory()[1])
        tracemalloc.stop()
    assert peaks[1] < 1.3 * peaks[0]
