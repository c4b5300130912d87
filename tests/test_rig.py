"""A rig round-trips, keeps what it does not know, and a damaged file is named by line and field."""

import dataclasses
import json
import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from splashkit import rig, store
from splashkit.checks import Range


@pytest.fixture(autouse=True)
def home(tmp_path, monkeypatch):
    monkeypatch.setenv("SPLASHKIT_HOME", str(tmp_path))
    return tmp_path


def number(entry):
    check = entry.check
    if isinstance(check, Range):
        return st.none() | st.floats(check.low, check.high).map(lambda value: float(f"{value:.6g}")).filter(
            lambda value: check.low <= value <= check.high
        )
    return st.none() | st.sampled_from(check.options)


@given(values=st.fixed_dictionaries({entry.name: number(entry) for entry in rig.ENTRIES}), note=st.text(max_size=40))
@settings(max_examples=100, deadline=None)
def test_every_rig_round_trips(values, note):
    try:
        made = rig.Rig(note=note, extra={"my_own_mm": 3, "list": [1, {"a": None}]}, **values)
    except ValueError as problem:
        assert "nozzle height" in str(problem)
        return
    data = rig.to_bytes(made)
    back = rig.from_bytes(data)
    assert back.extra == made.extra
    for entry in rig.ENTRIES:
        one, other = getattr(made, entry.name), getattr(back, entry.name)
        assert one == other or math.isclose(one, other, rel_tol=1e-11), entry.name
    assert rig.to_bytes(back) == data, "a second round changes nothing"
    assert made.filled().blanks == () or set(made.filled().blanks) <= {
        "weighed_mass", "weighed_drops", "flash_t01", "latitude",
    }  # fmt: skip


def test_every_number_names_its_unit_in_the_file():
    for entry in rig.ENTRIES:
        if isinstance(entry.check, Range) and entry.check.unit != "1":
            assert entry.key != entry.name, f"{entry.key} has no unit"


def test_entries_and_fields_are_the_same():
    names = {field.name for field in dataclasses.fields(rig.Rig)}
    assert names == set(rig.BY_NAME) | {"name", "note", "invented", "liquid_parameters", "extra"}


def test_a_blank_is_never_invented():
    made = rig.Rig(nozzle_height=0.3)
    rig.save(made)
    back, sentence = rig.load_or_demo()
    assert back.shutter_lag is None and not back.invented
    assert "your own" in sentence
    assert back.filled().shutter_lag == rig.demo().shutter_lag


def test_unknown_keys_survive_a_save(home):
    (home / "rig.json").write_text('{"nozzle_height_mm": 300, "shed_temperature_degC": 8, "old": {"a": [1]}}')
    rig.save(rig.load().with_values(bowl_depth=0.06))
    held = json.loads((home / "rig.json").read_text())
    assert held["shed_temperature_degC"] == 8 and held["old"] == {"a": [1]} and held["bowl_depth_mm"] == 60


GOOD = rig.to_bytes(rig.demo())

DAMAGED = [
    (b"", 1, None),
    (b"[1, 2]", 1, None),
    (b'{"nozzle_height_mm": "tall"}', 1, "nozzle_height_mm"),
    (b'{\n "iso": 100,\n "aperture": NaN}', 3, None),
    (b'{\n "iso": 1e999}', 2, "iso"),
    (b'{\n "iso": 200,\n "iso": 400}', 2, "iso"),
    (b'{\n "nozzle_height_mm": -3}', 2, "nozzle_height_mm"),
    (b'{\n "bowl_depth_mm": true}', 2, "bowl_depth_mm"),
    (b'{\n "bowl_depth_mm": [1]}', 2, "bowl_depth_mm"),
    (b'{\n "chain": "sideways"}', 2, "chain"),
    (b'{\n "chain": {"x": 1}}', 2, "chain"),
    (b'{\n "liquid_parameters": 3}', 2, "liquid_parameters"),
    (b'{\n "invented": "yes"}', 2, "invented"),
    (b'{\n "name": 7}', 2, "name"),
    (b'{\n "iso": ' + b"9" * 6000 + b"}", None, None),
    (b'{\n "iso": 1' + b"0" * 400 + b"}", 2, "iso"),
    (b"[" * 100_000, None, None),
    (b'{"a":' * 50_000, None, None),
    (b'{\n "note": "\xe9t\xe9"}', 2, None),
    ('{"note": "été"}'.encode("utf-16"), 1, None),
    (b'{\n "iso": 100\0}', 2, None),
    (b'{\n "iso": 100,\n "aperture": 11', 3, "aperture"),
    (b"x" * 1_100_000, None, None),
    (b'{"nozzle_height_mm": 200, "liquid": ["water"]}', 1, "liquid"),
]  # fmt: skip


@pytest.mark.parametrize(("data", "line", "field"), DAMAGED, ids=range(len(DAMAGED)))
def test_damage_is_named_and_never_overwritten(home, data, line, field):
    (home / "rig.json").write_bytes(data)
    if data == b"{}":
        return
    with pytest.raises(store.Damaged) as caught:
        rig.load()
    problem = caught.value
    if data[:1] == b"{":
        assert (problem.line, problem.field) == (line, field), str(problem)
    assert "rig.json cannot be read" in str(problem) and "To fix it: " in str(problem)
    assert len(str(problem)) < 600
    loaded, sentence = rig.load_or_demo()
    assert loaded.invented and "rig.json cannot be read" in sentence
    said = rig.save(rig.demo().with_values(note="kept", invented=False))
    assert "beside it as rig.new.json" in said
    assert (home / "rig.json").read_bytes() == data
    loaded, sentence = rig.load_or_demo()
    assert loaded.note == "kept" and "rig.new.json is used" in sentence


def test_without_a_file_beside_it_the_version_before_is_used(home):
    rig.save(rig.demo().with_values(note="first"))
    rig.save(rig.demo().with_values(note="second"))
    (home / "rig.json").write_bytes(b'{"note": ')
    loaded, sentence = rig.load_or_demo()
    assert loaded.note == "first" and "rig.json.previous is used" in sentence


def test_a_file_cut_at_any_byte_is_named_or_whole():
    for length in range(len(GOOD)):
        try:
            back = rig.from_bytes(GOOD[:length])
        except store.Damaged as problem:
            assert "To fix it" in str(problem)
        else:
            assert back == rig.demo(), "only the last line's end may be missing"
            assert length >= len(GOOD) - 1


@pytest.mark.parametrize("prefix", [b"", b"\xef\xbb\xbf"])
def test_byte_order_mark_and_line_ends_do_not_matter(prefix):
    assert rig.from_bytes(prefix + GOOD.replace(b"\n", b"\r\n")) == rig.demo()


@given(data=st.binary(max_size=300) | st.text(max_size=200).map(lambda text: text.encode("utf-8", "replace")))
@settings(max_examples=300, deadline=None)
def test_any_bytes_give_a_rig_or_the_one_sentence(data):
    try:
        rig.from_bytes(data)
    except store.Damaged as problem:
        assert str(problem).isprintable() or "\n" not in str(problem)


def test_script_in_a_name_stays_text():
    evil = "<script>alert(1)</script> =cmd|'/c calc'!A1"
    assert rig.from_bytes(rig.to_bytes(rig.Rig(name=evil, note=evil))).name == evil


@pytest.mark.parametrize(
    ("values", "word"),
    [
        ({"nozzle_height": 5.0}, "nozzle height"),
        ({"iso": "fast"}, "iso"),
        ({"chain": "middle"}, "chain"),
        ({"first_diameter": float("nan")}, "first diameter"),
        ({"iso": [100.0, 200.0]}, "iso"),
        ({"note": 3}, "note"),
    ],
)
def test_impossible_numbers_are_named(values, word):
    with pytest.raises(ValueError, match=f"The .*{word}.* must be .*; got .*To fix it: "):
        rig.Rig(**values)
    with pytest.raises(ValueError, match="must be"):
        rig.demo().with_values(**values)


def test_unknown_entry_is_named():
    with pytest.raises(ValueError, match="colour"):
        rig.demo().with_values(colour=3)
    with pytest.raises(ValueError, match="rig entry"):
        rig.describe(rig.demo(), "colour")
    assert all(rig.describe(rig.demo(), entry.name) for entry in rig.ENTRIES)


def test_upload(home):
    rig.save(rig.demo().with_values(note="mine"))
    other = rig.demo().with_values(note="uploaded")
    assert rig.upload(rig.to_bytes(other)) == other == rig.load()
    assert rig.from_bytes((home / "rig.json.previous").read_bytes()).note == "mine"
    with pytest.raises(ValueError, match="The uploaded file cannot be read: line 1"):
        rig.upload(b'{"iso": "x"}')
    assert rig.load() == other


# ---------------------------------------------------------------- two lessons on one rig


def test_a_form_opened_earlier_does_not_undo_what_was_saved_since(home):
    """Lesson 00 stays open while an aid of lesson 11 keeps a lag; then the form is saved."""
    from splashkit import panels

    form = panels.my_rig()
    form.fields["nozzle_height"].box.value = "300 mm"
    assert "Saved" in form.save()
    rig.save(rig.load().with_values(shutter_lag=0.055, note="from lesson 11"))
    form.fields["bowl_depth"].box.value = "60 mm"
    said = form.save()
    assert "What was saved elsewhere meanwhile stays: shutter lag." in said
    assert rig.load().shutter_lag == 0.055 and rig.load().bowl_depth == 0.06 and rig.load().note == "from lesson 11"
    assert form.fields["shutter_lag"].box.value == "55", "and the form shows it"
    form.fields["shutter_lag"].box.value = ""
    assert "meanwhile" not in form.save()
    assert rig.load().shutter_lag is None, "what is changed in the form itself is what counts"


def test_a_blank_form_and_an_upload_replace_everything(home):
    from splashkit import panels

    rig.save(rig.demo().with_values(note="mine", invented=False))
    form = panels.my_rig()
    form.read_file(rig.to_bytes(rig.Rig(nozzle_height=0.5, note="uploaded")))
    form.save()
    assert rig.load() == rig.Rig(nozzle_height=0.5, note="uploaded")
    form.show(rig.Rig())
    form.save()
    assert rig.load() == rig.Rig()


def test_two_forms_keep_the_changes_of_both(home):
    start = rig.demo()
    rig.save(start)
    for changes in ({"iso": 400.0}, {"aperture": 8.0}, {"liquid": "milk", "liquid_parameters": {"fat": 3.5}}):
        rig.save(start.with_values(**changes), since=start)
    held = rig.load()
    assert (held.iso, held.aperture, held.liquid, held.liquid_parameters) == (400, 8, "milk", {"fat": 3.5})
    rig.save(start.with_values(liquid="glycerol_water"), since=start)
    assert rig.load().liquid == "glycerol_water"
    assert rig.load().liquid_parameters == {}, "the parameters of milk do not pass to another liquid"


@pytest.mark.parametrize("name", ["name", "note"])
def test_a_text_that_could_not_be_read_again_is_refused_before(home, name):
    rig.save(rig.demo())
    longest = "x" * store.LONGEST_TEXT
    rig.save(rig.demo().with_values(**{name: longest}))
    assert getattr(rig.load(), name) == longest
    with pytest.raises(ValueError, match=rf"rig's {name} must be at most .*To fix it"):
        rig.demo().with_values(**{name: longest + "x"})
    with pytest.raises(ValueError, match="rig's file must be at most 1 MB"):
        rig.save(rig.Rig(extra={"mine": "x" * rig.LARGEST_FILE}))
    assert getattr(rig.load(), name) == longest
    with pytest.raises(store.Damaged, match=f"line 1, field '{name}' holds 32768 letters"):
        rig.from_bytes(json.dumps({name: longest + "x"}).encode())


def test_half_a_letter_becomes_a_question_mark(home):
    """A page may send half of a letter that is written as two; no file can hold it."""
    rig.save(rig.demo().with_values(name="drop \ud83d", note="\udc00"))
    assert (rig.load().name, rig.load().note) == ("drop ?", "?")
