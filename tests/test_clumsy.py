"""What a clumsy learner, teacher or machine does: one clear sentence each, and nothing lost."""

import os
import random
import re
from pathlib import Path

import pytest

from splashkit import exercises, log, panels, rig, store
from splashkit.exercises import record
from splashkit.panels.base import Panel

PANELS = [name for name in panels.PANELS if issubclass(getattr(panels, name), Panel)]


@pytest.fixture(autouse=True)
def home(tmp_path, monkeypatch):
    monkeypatch.setenv("SPLASHKIT_HOME", str(tmp_path))
    monkeypatch.setattr(record, "_memory", None)
    return tmp_path


def words_of(widget):
    return f"{getattr(widget, 'value', '')} " + " ".join(words_of(child) for child in getattr(widget, "children", ()))


@pytest.mark.parametrize("name", PANELS)
def test_a_panel_says_that_the_rig_file_is_damaged(name, home):
    """It shows the rig of before, or the invented one: without a word nobody would notice."""
    (home / "rig.json").write_text('{"nozzle_height_mm": 250,, }')
    panel = getattr(panels, name)()
    assert "rig.json cannot be read: line 1" in words_of(panel) and "invented demo rig" in words_of(panel)
    assert "our mistake" not in panel.sentence
    if name in ("timeline", "shot_log"):
        (home / "rig.json").unlink()
        assert "cannot be read" not in words_of(getattr(panels, name)())
        (home / "rig.json").write_text("{")
        assert "cannot be read" not in words_of(getattr(panels, name)(rig=rig.demo()))


ENDS = [
    {"first_diameter": 0.5e-3},
    {"first_diameter": 8e-3},
    {"nozzle_height": 0.02},
    {"shutter_lag": 2.0, "chain": "open"},
]


@pytest.mark.parametrize("ends", ENDS, ids=str)
def test_a_log_opens_on_any_rig_that_can_be_saved(ends, home):
    """Drops too small for the splash: the frame is logged with the learner's own numbers all the same."""
    rig.save(rig.demo().with_values(invented=False, **ends))
    book = panels.shot_log()
    assert "our mistake" not in book.sentence
    if ends.get("first_diameter") == 0.5e-3:
        assert (
            "drop diameter must be from 1 mm" in book.sentence and "advice is that of the invented rig" in book.sentence
        )
    book.set(seen="late", delay=0.2, gap=0.07)
    book.press(book.presets["Save this frame"])
    assert log.load().shots[0].nozzle_height == rig.load().nozzle_height


# ---------------------------------------------------------------- a folder that cannot be written


@pytest.fixture
def closed(monkeypatch):
    """A disk on which no new file can be made."""
    real = os.open

    def refuse(path, flags, *more, **named):
        if flags & os.O_CREAT:
            raise OSError(30, os.strerror(30))
        return real(path, flags, *more, **named)

    monkeypatch.setattr(os, "open", refuse)


def test_a_session_on_a_closed_disk_keeps_what_it_can(closed, home):
    assert len({record.seed() for _ in range(5)}) == 1, "the numbers of a question stay as long as the kernel runs"
    box = exercises.question("02", 1)
    box.answer.value = f"{float(box.question.answer(box.numbers)):.6g} {box.question.unit}"
    assert box.feedback.right and "read-only" in words_of(box) and "not saved" in words_of(box)
    predicted = exercises.predict("02")
    predicted.choice.index = 0
    predicted.commit()
    assert predicted.committed and "read-only" in words_of(predicted)
    held, problem = record.load()
    assert held["lessons"]["02"]["questions"]["1"] == {"right": True, "tries": 1} and problem == ""
    assert record.prediction("02") == predicted.choice.value
    assert "✓ done" in words_of(exercises.progress())
    assert list(home.iterdir()) == []


def test_what_could_not_be_saved_is_saved_as_soon_as_it_can(home, monkeypatch):
    with monkeypatch.context() as patch:
        patch.setattr(os, "fsync", lambda _: (_ for _ in ()).throw(OSError(28, "full")))
        seed = record.seed()
        assert "the disk is full" in record.note_question("02", 1, right=True)
    assert record.note_question("03", 2, right=False) == ""
    held = record._parse((home / "progress.json").read_bytes())
    assert held["seed"] == seed and set(held["lessons"]) == {"02", "03"}
    (home / "progress.json").unlink()  # and one who moves the file away starts afresh
    assert record.load()[0]["lessons"] == {}


@pytest.mark.parametrize("name", ["my_rig", "shot_log", "run_sheet", "measure_lag"])
def test_saving_on_a_closed_disk_is_one_sentence(name, closed):
    panel = getattr(panels, name)()
    if name == "my_rig":
        said = panel.save()
    elif name == "shot_log":
        panel.set(seen="late")
        panel.press(panel.presets["Save this frame"])
        said = panel.sentence
    else:
        said = panel.save() if name == "run_sheet" else panel.keep()
    assert "the folder is read-only" in said and "SPLASHKIT_HOME" in said
    assert "our mistake" not in said


# ---------------------------------------------------------------- random sequences over the three files


def damaged(data, draw):
    """What editors, spreadsheets, disks and hands do to a file."""
    cut = draw.randrange(len(data) + 1)
    ways = (
        lambda: data[:cut],
        lambda: data[:cut] + bytes([draw.randrange(256)]) + data[cut + 1 :],
        lambda: data[:cut] + bytes(draw.randrange(256) for _ in range(4)) + data[cut:],
        lambda: data.replace(b",", b";"),
        lambda: data.replace(b"\r\n", b"\n"),
        lambda: data + draw.choice([b"\n\n", b" ", b"x", b'"', b"\0", b",,,,\n", b"\r"]),
        lambda: data + data,
        lambda: b"",
    )
    return draw.choice(ways)()


def some_shot(draw, number):
    odd = draw.choice(["", "a,b", 'q"q', "é", ";x", "=1", "'", " x ", "\t", "\r\n", "\u2028"])
    more = (
        {"extra": {draw.choice(["mood", "lamp"]): draw.choice(["a", "b,c", "", "d;e"])}} if draw.random() < 0.3 else {}
    )
    gap = draw.choice([None, 0.07])
    return log.Shot(delay=draw.randrange(1, 5000) / 1000, gap=gap, note=f"{number} {odd}", **more)


@pytest.mark.parametrize("seed", range(25))
def test_any_sequence_ends_in_files_that_hold_the_last_thing_saved(seed, home):
    draw = random.Random(seed)
    for number in range(30):
        try:
            kind = draw.choice(["append", "append", "append", "rig", "progress", "damage", "correct", "upload"])
            if kind == "append":
                shot = some_shot(draw, number)
                log.append(shot)
                found = [s for s in log.load().shots if s.note == shot.note]
                assert found and (found[-1].delay, found[-1].gap) == (shot.delay, shot.gap)
                assert all(found[-1].extra.get(key, "") == value for key, value in shot.extra.items())
            elif kind == "correct" and log.load().shots:
                old = draw.choice(log.load().shots)
                before = [s.note for s in log.load().shots]
                log.correct(old, log.Shot(delay=0.1, note=old.note))
                assert [s.note for s in log.load().shots] == before, "every other row stays, in its place"
            elif kind == "rig":
                rig.save(rig.demo().with_values(note=f"rig {number}"))
                assert rig.load_or_demo()[0].note == f"rig {number}"
            elif kind == "progress":
                record.note_question("02", 1 + number % 3, right=draw.random() < 0.5)
                assert "02" in record.load()[0]["lessons"]
            elif kind == "upload":
                log.upload(log.download())
            elif kind == "damage":
                file = draw.choice([*home.glob("*.csv"), *home.glob("*.json")] or [None])
                if file:
                    file.write_bytes(damaged(file.read_bytes(), draw))
                problems = [*log.load().problems, rig.load_or_demo()[1], record.load()[1]]
                assert all(problem.isprintable() for problem in problems)
        except ValueError as refusal:
            assert re.search(r"To fix it: |Until then no row can be changed", str(refusal)), refusal


def test_two_logs_of_one_name_in_different_folders_do_not_meet(tmp_path, monkeypatch):
    for name in ("one", "two"):
        monkeypatch.setenv("SPLASHKIT_HOME", str(tmp_path / name))
        log.append(log.Shot(delay=0.2, gap=0.07, note=name))
    assert [s.note for s in log.load().shots] == ["two"]
    assert store.folder() == Path(tmp_path / "two")
