"""The fault finder is complete: every symptom the course promises, each with causes, test, remedy and lesson."""

import re

import pytest

from splashkit import faults
from splashkit.flash import durations

PROMISED = [
    ("black_band", "band"), ("two_edges", "two edges"), ("ghost_above", "above"), ("ghost_below", "below"),
    ("streak", "streak"), ("all_late", "same amount"), ("scatter", "shot to shot"), ("off_axis", "one side"),
    ("tall_thin_column", "tall and thin"), ("short_fat_column", "short and fat"), ("bubbles", "Bubbles"),
    ("no_drop", "No drop"), ("empty_water", "empty water"), ("black_frame", "black"), ("restless", "Rings"),
]  # fmt: skip
LESSONS = {f"{number:02d}" for number in range(13)}


@pytest.mark.parametrize(("key", "words"), PROMISED)
def test_every_promised_symptom_is_there(key, words):
    assert words in faults.fault(key).symptom


@pytest.mark.parametrize("fault", faults.FAULTS, ids=lambda fault: fault.key)
def test_every_cause_is_complete_and_they_differ(fault):
    assert len(fault.causes) >= 2
    for part in ("cause", "test", "remedy"):
        texts = [getattr(cause, part) for cause in fault.causes]
        assert all(re.fullmatch(r"[A-Z].*[.?]", text) for text in texts)
    assert len({cause.test for cause in fault.causes}) == len(fault.causes), "two causes with one test are one cause"
    assert {cause.lesson for cause in fault.causes} <= LESSONS


def test_keys_are_unique_and_listed():
    assert len(faults.BY_KEY) == len(faults.FAULTS)
    assert [key for _, key in faults.symptoms()] == list(faults.BY_KEY)


def test_a_clogged_valve_is_found_and_rinsed():
    found = faults.search("clogged")
    assert found[0].key == "no_drop"
    assert "Rinse with warm water" in found[0].causes[0].remedy and "thickener" in found[0].causes[0].remedy


def test_with_the_flash_off_a_dark_room_shows_nothing():
    """Only room light is left then, so only its own faults may stay; the rest must be gone."""
    for found in faults.FAULTS:
        for cause in found.causes:
            said = cause.test.lower()
            if "flash off" in said and "gone" not in said:
                assert re.search(r"light|lamp", cause.cause), (found.key, cause.test)


def test_the_streak_of_a_lower_voltage_does_not_get_shorter():
    """The lamp law of Goncz 1965: at an eighth of the power the light lasts root eight times as long."""
    cause = next(cause for cause in faults.fault("streak").causes if "voltage" in cause.cause)
    assert durations("voltage", 1 / 8)[1] / durations("voltage", 1.0)[1] == pytest.approx(8**0.5, rel=1e-6)
    assert "or longer" in cause.test and "alike" not in cause.test


def test_search_ranks_the_symptom_first():
    assert faults.search("bubbles")[0].key == "bubbles"
    assert faults.search("no such thing at all") == ()
    assert len(faults.search("")) == len(faults.FAULTS)
    with pytest.raises(ValueError, match="symptom must be one of"):
        faults.fault("<script>")
