"""The shot log: round trips, spreadsheets, damage named by line and field, speed."""

import csv
import gc
import io
import time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from splashkit import log, rig, store
from splashkit.log import Shot


@pytest.fixture(autouse=True)
def home(tmp_path, monkeypatch):
    monkeypatch.setenv("SPLASHKIT_HOME", str(tmp_path))
    return tmp_path


SHOT = Shot(delay=0.2105, gap=0.07, chain="front", first_height=0.0125, seen="early", surface="calm", note="one")


@given(
    delay=st.none() | st.integers(0, 10**7).map(lambda n: n / 10**7),
    height=st.none() | st.integers(0, 3000).map(lambda n: n / 10**4),
    note=st.text(max_size=60),
    seen=st.sampled_from(("", *log.SEEN)),
    events=st.dictionaries(st.sampled_from(log.CLIP_EVENTS[:1] + log.CLIP_EVENTS[3:4]), st.integers(5, 9), max_size=2),
)
@settings(max_examples=200, deadline=None)
def test_every_shot_round_trips(delay, height, note, seen, events):
    if events.get("signal", 0) > events.get("first_contact", 9):
        events = {}
    shot = Shot(delay=delay, second_height=height, note=note, seen=seen, clip_rate=240.0, clip_events=events)
    back = log.from_bytes(log.to_bytes([shot, SHOT]))
    assert back.problems == ()
    assert back.shots[-1] == SHOT
    assert back.shots[0] == shot


@pytest.mark.parametrize("note", ["=1+1", "+4", "-4", "@SUM(A1)", "'=1", "'quoted'", "''", "=cmd|'/c calc'!A1"])
def test_no_cell_starts_as_a_formula_and_the_text_comes_back(note):
    data = log.to_bytes([Shot(delay=0.2, note=note)])
    cells = [cell for row in csv.reader(io.StringIO(data.decode())) for cell in row]
    assert not [cell for cell in cells if cell[:1] in "=+-@" and cell]
    assert log.from_bytes(data).shots[0].note == note


def test_append_adds_bytes_and_changes_none(home):
    log.append(SHOT)
    first = (home / "shots.csv").read_bytes()
    log.append(SHOT)
    assert (home / "shots.csv").read_bytes().startswith(first)
    assert (home / "shots.csv.previous").read_bytes() == first


def test_unknown_columns_survive(home):
    (home / "shots.csv").write_text("mood,delay_ms,gap_ms,lamp\r\ngood,200,70,left\r\n", encoding="utf-8")
    log.append(Shot(delay=0.21, gap=0.07, extra={"mood": "bad"}))
    assert (home / "shots.csv").read_text(encoding="utf-8").splitlines()[:2] == [
        "mood,delay_ms,gap_ms,lamp",
        "good,200,70,left",
    ]
    shots = log.load().shots
    assert shots[0].extra == {"mood": "good", "lamp": "left"} and shots[1].extra == {"mood": "bad"}
    log.append(SHOT)  # needs columns that were taken out: they come back, nothing else changes
    shots = log.load().shots
    assert shots[0].extra == {"mood": "good", "lamp": "left"} and shots[2] == SHOT


@pytest.mark.parametrize("mark", [",", ";", "\t"])
def test_a_column_is_put_back_in_every_kind_of_spreadsheet(home, mark):
    (home / "shots.csv").write_text(f"delay_ms{mark}mine\n200{mark}x\n", encoding="utf-8")
    log.append(Shot(delay=0.2105, gap=0.07, note="new", extra={"lamp": "left"}))
    found = log.load()
    assert not found.problems and [s.delay for s in found.shots] == [0.2, 0.2105]
    assert found.shots[0].extra == {"mine": "x"} and found.shots[1].extra == {"lamp": "left"}


@pytest.mark.parametrize("bom", [b"", b"\xef\xbb\xbf"])
@pytest.mark.parametrize(("mark", "comma"), [(",", "."), (";", ","), (";", "."), ("\t", ".")])
def test_a_spreadsheet_of_another_country_saves_it_again(home, bom, mark, comma):
    text = mark.join(["delay_ms", "gap_ms", "note", "mine"]) + "\n"
    text += mark.join(["210" + comma + "5", "70", "Größe", "x"]) + "\n"
    (home / "shots.csv").write_bytes(bom + text.encode())
    log.append(Shot(delay=0.2207, gap=0.07))
    found = log.load()
    assert found.problems == ()
    assert [s.delay for s in found.shots] == [0.2105, 0.2207]
    last = (home / "shots.csv").read_text(encoding="utf-8-sig").splitlines()[-1]
    assert last.startswith(f"220{comma}7{mark}70")


HEAD = b"delay_ms,gap_ms,seen,note\n200,70,early,first\n"
DAMAGED = [
    (HEAD + b"two hundred,70,late,x\n", "line 3, field 'delay_ms'"),
    (HEAD + b"200,nan,late,x\n", "line 3"),
    (HEAD + b"200,1e999,late,x\n", "line 3"),
    (HEAD + b"200,70,perhaps,x\n", "line 3"),
    (HEAD + b"200,70\n", "line 3 has 2 cells"),
    (HEAD + b"200,70,late,x,y\n", "line 3 has 5 cells"),
    (HEAD + b'200,70,late,"x\n', "line 3"),
    (HEAD + b'200,70,late,"x"y\n', "line 3"),
    (HEAD + b"200,70,late,\xe9\n", "line 3"),
    (HEAD + b"200,70,late,x\0\n", "line 3"),
    (HEAD + b"200,70,la", "line 3"),
    (HEAD + b"200,70,late,xx", "line 3 breaks off"),
    (HEAD + b"-5,70,late,x\n", "line 3"),
    (b"a,b,c\n1,2,3\n", "line 1"),
    (b"delay_ms,delay_ms\n1,2\n", "line 1, field 'delay_ms'"),
    (HEAD.decode().encode("utf-16"), "line 1"),
    (b"\x89PNG\r\n\x1a\n" + bytes(200), "line"),
    (HEAD + b"200,70,late," + b"x" * 200_000 + b"\n", "line 3"),
    (b"clip_frames_per_s,clip_events\n240,first_contact=9 signal=10\n", "line 2"),
    (b"clip_frames_per_s,clip_events\n240,first_contact\n", "line 2, field 'clip_events'"),
    (b"clip_frames_per_s,clip_events\n240,first_contact=soon\n", "line 2, field 'clip_events'"),
    (b"clip_frames_per_s,clip_events\n240,first_contact=1 first_contact=2\n", "line 2"),
]  # fmt: skip


@pytest.mark.parametrize(("data", "where"), DAMAGED, ids=range(len(DAMAGED)))
def test_damage_is_named_and_never_overwritten(home, data, where):
    (home / "shots.csv").write_bytes(data)
    found = log.load()
    assert len(found.problems) == 1 and where in found.problems[0], found.problems
    assert "To fix it" in found.problems[0] and len(found.problems[0]) < 400
    if data.startswith(HEAD) and b"\xe9" not in data and b"\0" not in data:
        assert found.shots[0].note == "first", "whole rows are still read"
    said = log.append(SHOT)
    assert "beside it, in shots.new.csv" in said
    assert (home / "shots.csv").read_bytes() == data
    assert log.load().shots[-1] == SHOT
    with pytest.raises(ValueError, match="cannot be read"):
        log.correct(SHOT, None)


def test_a_file_cut_at_any_byte_loses_only_the_cut_row():
    data = log.to_bytes([Shot(delay=0.2 + i / 1000, gap=0.07, seen="early", note=f"row, {i}") for i in range(4)])
    ends = [i + 1 for i, byte in enumerate(data) if byte == 10]
    for length in range(ends[0], len(data) + 1):
        found = log.from_bytes(data[:length])
        whole = sum(end <= length for end in ends[1:])
        assert len(found.shots) >= whole
        assert [s.note for s in found.shots[:whole]] == [f"row, {i}" for i in range(whole)]
        assert bool(found.problems) == (data[length - 1 : length] not in (b"\r", b"\n"))


@given(data=st.binary(max_size=300) | st.text(max_size=200).map(lambda t: HEAD + t.encode("utf-8", "replace")))
@settings(max_examples=300, deadline=None)
def test_any_bytes_give_a_log_or_a_sentence(data):
    try:
        log.from_bytes(data)
    except ValueError as problem:
        assert "To fix it" in str(problem)


def test_correct_replaces_one_row_and_keeps_the_rest():
    wrong = Shot(delay=0.2, gap=0.07, seen="late", note="wrong")
    for shot in (SHOT, wrong, SHOT):
        log.append(shot)
    log.correct(wrong, Shot(delay=0.2, gap=0.07, seen="early", note="mended"))
    assert [s.note for s in log.load().shots] == ["one", "mended", "one"]
    log.correct(SHOT, None)
    assert [s.note for s in log.load().shots] == ["one", "mended"]
    with pytest.raises(ValueError, match="not in the log"):
        log.correct(wrong, None)


def test_a_note_that_could_not_be_read_again_is_refused_before(home):
    longest = '"' * store.LONGEST_TEXT
    for note in ("short", longest, "é" * store.LONGEST_TEXT):
        log.append(Shot(delay=0.2, gap=0.07, note=note))
    with pytest.raises(ValueError, match=r"shot's note must be at most .*To fix it"):
        Shot(delay=0.2, note=longest + "x")
    found = log.load()
    assert not found.problems and [len(s.note) for s in found.shots] == [5, store.LONGEST_TEXT, store.LONGEST_TEXT]


@pytest.mark.parametrize("cell", ["1_0", "1,234", "+12,345", "1,234.5", "1'234", "1 234", "nan", "inf", "0x1F", "1/0"])
def test_a_number_with_two_meanings_is_not_guessed(cell):
    data = f'delay_ms,gap_ms,note\r\n"{cell}",70,x\r\n'.encode()
    found = log.from_bytes(data)
    assert found.shots == () and "line 2, field 'delay_ms'" in found.problems[0], found


@pytest.mark.parametrize(
    ("mark", "cell", "value"),
    [(";", "1,234", 1.234e-3), (",", "0,234", 0.234e-3), (",", "210,5", 0.2105), (",", "٣", 3e-3)],
)
def test_a_decimal_comma_is_read_where_it_can_be_nothing_else(mark, cell, value):
    found = log.from_bytes(f'delay_ms{mark}gap_ms\n"{cell}"{mark}70\n'.encode())
    assert not found.problems and found.shots[0].delay == pytest.approx(value)


def test_ten_thousand_frames_load_in_a_second(home):
    shots = [
        Shot(delay=0.2 + i * 1e-6, gap=0.07, chain="front", first_height=0.012, seen="early", surface="calm", note="n")
        for i in range(10_000)
    ]
    (home / "shots.csv").write_bytes(log.to_bytes(shots))
    gc.freeze()  # what thousands of tests before this one left in memory is not the log's to sweep
    try:
        start = time.process_time()
        found = log.load()
        assert time.process_time() - start < 1.0
        assert len(found.shots) == 10_000 and found.shots[-1] == shots[-1]
        start = time.process_time()
        log.append(SHOT)
        assert time.process_time() - start < 1.0
    finally:
        gc.unfreeze()


@pytest.mark.parametrize(
    ("values", "words"),
    [
        ({"first_height": 0.3}, "below the nozzle"),
        ({"column_height": 0.26}, "below the nozzle"),
        ({"gap": 0.02}, "longer than the first valve opening"),
        ({"first_height": 0.02, "second_height": 0.01}, "above the first drop's"),
        ({"seen": "nothing", "first_height": 0.02}, "nothing, beside a height"),
    ],
)
def test_impossible_entries_are_named_before_they_are_saved(values, words):
    good = {"delay": 0.2, "gap": 0.07}
    log.check_entry(Shot(**good), rig.demo())
    with pytest.raises(ValueError, match=words):
        log.check_entry(Shot(**{**good, **values}), rig.demo())


@pytest.mark.parametrize(
    ("values", "words"),
    [
        ({"clip_rate": 240, "clip_events": {"first_contact": 10, "column_start": 9}}, "column_start.*9, before"),
        ({"clip_rate": 240, "clip_events": {"first_release": 10, "second_release": 2}}, "second_release"),
        ({"clip_events": {"first_contact": 10}}, "frame rate"),
        ({"clip_rate": 240, "clip_events": {"splash": 10}}, "clip event"),
        ({"clip_rate": 240, "clip_events": {"signal": -1}}, "frame number"),
        ({"seen": "maybe"}, "seen"),
        ({"delay": -0.1}, "delay"),
        ({"delay": "soon"}, "delay"),
        ({"delay": float("nan")}, "delay"),
        ({"gap": True}, "gap"),
        ({"note": 3}, "note"),
    ],
)
def test_a_shot_that_cannot_be_is_named(values, words):
    with pytest.raises(ValueError, match=f"(?s).*{words}.*To fix it"):
        Shot(**values)


def test_download_and_upload(home):
    assert log.from_bytes(log.download()) == ((), ())
    log.append(SHOT)
    data = log.download()
    assert data == (home / "shots.csv").read_bytes()
    log.append(SHOT)
    assert "Uploaded" in log.upload(data)
    assert (home / "shots.csv").read_bytes() == data
    assert len(log.from_bytes((home / "shots.csv.previous").read_bytes()).shots) == 2
    with pytest.raises(ValueError, match=r"The uploaded file.*line 3.*Nothing was changed"):
        log.upload(HEAD + b"x,70,late,y\n")
    assert (home / "shots.csv").read_bytes() == data
    (home / "shots.csv").write_bytes(HEAD + b"200,70\n")
    assert "beside it" in log.upload(data)
    assert (home / "shots.csv").read_bytes() == HEAD + b"200,70\n"
    (home / "shots.csv").write_bytes(b"\xff\xfe")  # not a log at all
    assert "beside it" in log.upload(data)
    assert (home / "shots.csv").read_bytes() == b"\xff\xfe"
