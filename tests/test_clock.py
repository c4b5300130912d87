"""The computer's clock is wrong, jumps, or changes its zone: nothing is lost, rows stay in order, backups are right."""

import datetime
import os
import random
import time

import pytest

from splashkit import course, log, rig, store
from splashkit.exercises import record
from splashkit.panels import frame_entry

# noon today, then: an empty battery, the two ends of 32-bit time, a typing slip, summer time's repeated hour, the end
MOMENTS = [
    datetime.datetime(2026, 11, 25, 12),
    datetime.datetime(1970, 1, 1),
    datetime.datetime(2038, 1, 19, 3, 14, 8),
    datetime.datetime(1901, 12, 13, 20, 45, 52),
    datetime.datetime(2206, 11, 25, 12),
    datetime.datetime(2026, 10, 25, 2, 30, fold=0),
    datetime.datetime(2026, 10, 25, 2, 30, fold=1),
    datetime.datetime(2026, 3, 29, 2, 30),
    datetime.datetime(9999, 12, 31, 23, 59, 59),
    datetime.datetime(1, 1, 1),
]
AGES = [0, 2**31, 4_102_444_800, -86_400, 1_000_000_000]  # [s] 1970, 2038, 2100, 1969, 2001


@pytest.fixture(autouse=True)
def home(tmp_path, monkeypatch):
    monkeypatch.setenv("SPLASHKIT_HOME", str(tmp_path / "home"))
    return tmp_path / "home"


@pytest.fixture
def clock(monkeypatch):
    """Set the wall clock that Python programs ask."""

    def at(moment):
        class Then(datetime.datetime):
            @classmethod
            def now(cls, tz=None):
                return moment

        monkeypatch.setattr(frame_entry, "datetime", Then)
        seconds = (moment - datetime.datetime(1970, 1, 1)).total_seconds()
        monkeypatch.setattr(time, "time", lambda: seconds)
        monkeypatch.setattr(time, "time_ns", lambda: int(seconds * 1e9))

    return at


def touch(home, age):
    """Give every file, backups and locks included, one age."""
    for file in home.iterdir():
        os.utime(file, (age, age))


def frame(number):
    return frame_entry.stamped(log.Shot(delay=0.2, gap=0.07, seen="late", note=f"frame {number}"))


def test_the_ages_used_here_can_be_set(home):
    home.mkdir()
    (home / "x").touch()
    touch(home, AGES[2])
    assert (home / "x").stat().st_mtime == AGES[2] > time.time(), "the file is from the future"


def test_frames_stay_in_the_order_they_were_logged(home, clock):
    for number, moment in enumerate(MOMENTS):
        clock(moment)
        before = log.download() if number else None
        log.append(frame(number))
        touch(home, AGES[number % len(AGES)])
        if number:
            assert (home / "shots.csv.previous").read_bytes() == before, "the version before, whatever its age"
    found = log.load()
    assert not found.problems
    assert [s.note for s in found.shots] == [f"frame {number}" for number in range(len(MOMENTS))]
    assert [s.time for s in found.shots] == [moment.isoformat(timespec="seconds") for moment in MOMENTS]
    log.correct(found.shots[3], None)
    assert [s.note for s in log.load().shots] == [s.note for s in found.shots if s is not found.shots[3]]


def test_backups_go_by_order_and_not_by_age(home, clock):
    draw = random.Random(8)
    rig.save(rig.demo().with_values(note="save 0"))
    for number in range(1, 20):
        clock(draw.choice(MOMENTS))
        for file in home.iterdir():
            age = draw.choice(AGES)
            os.utime(file, (age, age))
        rig.save(rig.demo().with_values(note=f"save {number}"))
        assert rig.load().note == f"save {number}"
        kept = rig.from_bytes((home / "rig.json.previous").read_bytes())
        assert kept.note == f"save {number - 1}"
    (home / "rig.json").write_bytes(b"{")  # damaged, and the newest of all by its age
    os.utime(home / "rig.json", (AGES[2], AGES[2]))
    assert rig.load_or_demo()[0].note == "save 18"


def test_progress_survives(home, clock):
    seed = record.seed()
    for number, moment in enumerate(MOMENTS):
        clock(moment)
        assert record.note_question("02", 1 + number % 3, right=number > 5) == ""
        touch(home, AGES[number % len(AGES)])
    held, problem = record.load()
    assert problem == "" and held["seed"] == seed
    assert [held["lessons"]["02"]["questions"][str(n)]["right"] for n in (1, 2, 3)] == [True, True, True]


@pytest.mark.skipif(not hasattr(time, "tzset"), reason="Windows sets its zone elsewhere")
def test_zones_and_summer_time(home, monkeypatch):
    zones = ["UTC", "Pacific/Kiritimati", "America/St_Johns", "Etc/GMT+12", "Europe/Berlin", "nowhere/at_all", ""]
    try:
        for number, zone in enumerate(zones):
            monkeypatch.setenv("TZ", zone)
            time.tzset()
            log.append(frame(number))
            rig.save(rig.demo().with_values(note=zone))
            assert rig.load().note == zone
    finally:
        monkeypatch.undo()
        time.tzset()
    monkeypatch.setenv("SPLASHKIT_HOME", str(home))
    found = log.load()
    assert not found.problems and [s.note for s in found.shots] == [f"frame {n}" for n in range(len(zones))]


def test_a_lock_is_waited_for_by_a_clock_that_only_runs_forward(clock, monkeypatch):
    """The wall clock jumps far ahead, or back, while a save waits for another one."""
    monkeypatch.setattr(store, "LOCK_WAIT", 0.3)
    real = time.sleep
    jumps = iter([MOMENTS[4], MOMENTS[1]] * 1000)

    def asleep(seconds):
        clock(next(jumps))
        real(seconds)

    monkeypatch.setattr(time, "sleep", asleep)
    start = time.monotonic()
    with store.locked(rig.path()), pytest.raises(ValueError, match="another open lesson"):
        rig.save(rig.demo())
    assert 0.3 <= time.monotonic() - start < 5
    assert rig.save(rig.demo()).startswith("Saved")


def test_changed_lessons_are_all_kept_when_the_clock_goes_back(tmp_path, monkeypatch):
    shipped, mine = tmp_path / "library" / "lessons", tmp_path / "home" / "lessons"
    shipped.mkdir(parents=True)
    monkeypatch.setattr(course, "PACKAGE", tmp_path / "library" / "splashkit")
    (shipped / "00_start.ipynb").write_text("given 0")
    days = [
        datetime.date(2026, 3, 1),
        datetime.date(1970, 1, 1),
        datetime.date(2026, 3, 1),
        datetime.date(9999, 12, 31),
    ]
    course.copy_lessons(mine, days[0])
    for number, day in enumerate(days, 1):
        (mine / "00_start.ipynb").write_text(f"my words {number}")
        (shipped / "00_start.ipynb").write_text(f"given {number}")
        touch(mine, AGES[number % len(AGES)])
        touch(shipped, AGES[-number])
        assert len(course.copy_lessons(mine, day).kept) == 1
        assert (mine / "00_start.ipynb").read_text() == f"given {number}"
    kept = sorted(file.read_text() for file in mine.glob("*.kept-*"))
    assert kept == [f"my words {number}" for number in range(1, 5)]
