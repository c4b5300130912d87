"""Each number in the prose of lessons 03 and 04 is what the library says."""

import re

import pytest
from tools import lessons

from splashkit import chains, panels, rig, sync, units
from splashkit.exercises import base, lesson03, lesson04


def prose(start):
    return lessons.prose_of(next(path for path in lessons.present() if path.name.startswith(start)))


def row(text, start):
    """The line of a table that begins with these words."""
    return next(line for line in text.splitlines() if line.startswith(f"| {start}"))


def mm(value, digits=2):
    return f"{units.format_number(1e3 * value, digits)} mm"


@pytest.fixture
def curtains():
    return panels.curtains(rig=rig.demo())


def test_the_example_of_lesson_03_is_the_demo_rig_in_the_panel(curtains):
    text = prose("03")
    demo = rig.demo()
    assert mm(demo.first_diameter) + " across" in text and f"fallen {100 * demo.nozzle_height:g} cm" in text
    assert f"curtains take {units.format_quantity(curtains.state.travel, 's')}" in text
    assert f"magnification is {curtains.state.magnification:g}" in text and curtains.state.held == "landscape"


def test_what_people_report_and_what_the_model_says(curtains):
    text = prose("03")
    line = row(text, "One flash works up to 1/250 s")
    curtains.set(light="low", exposure=1 / 250)
    low = curtains.result
    assert low.dark == 0 and low.sync == 1 / 250
    assert f"all open for {1e3 * float(sync.fully_open_time(1 / 250, curtains.state.travel)):.1f} ms" in line
    curtains.set(exposure=1 / 400)
    assert f"At 1/400 s, {units.format_number(100 * curtains.result.dark, 2)} %" in line

    curtains.set(light="burn", exposure=1 / 500)
    line = row(text, "High-speed sync at high power")
    assert "1/500 s each row is lit for 2 ms" in line and curtains.state.exposure == 2e-3
    assert f"smear is {mm(curtains.result.streak)}, {units.format_number(100 * curtains.result.share, 2)} %" in line

    line = row(text, "The lowest power in the dark")
    assert f"bright for {units.format_quantity(low.curve.t01, 's', 2)}" in line
    assert f"smear is {mm(low.streak, 1)}, {units.format_number(100 * low.share, 2)} %" in line

    curtains.set(light="day", exposure=1 / 250)
    line = row(text, "1/250 s in daylight")
    fallen = curtains.state.speed / 250
    assert "In 4 ms" in line and f"falls {mm(fallen)}, more than twice its size" in line
    assert 2 < fallen / curtains.diameter < 3
    assert f"smear is {mm(curtains.result.streak)}" in line


def test_the_fastest_burn_in_lesson_03(curtains):
    text = prose("03")
    curtains.set(light="burn", exposure=1 / 8000)
    result = curtains.result
    times = units.format_number(curtains.state.exposure / result.low, 2)
    assert f"lights each row for {units.format_quantity(1 / 8000, 's')}, {times} times as long" in text
    stops = units.format_number(-float(sync.burn_stops(1 / 8000, curtains.state.travel)), 2)
    assert f"gets {units.format_number(100 * result.usual_share)} % of the burn: {stops} stops are gone" in text
    assert "curtain travel of 3.5 ms" in text and curtains.state.travel == pytest.approx(3.5e-3)


def test_the_opening_story_of_lesson_03_holds(curtains):
    """Grey smear at 1/250 s by daylight, flat and soft at 1/8000 s in a burn, sharp by the weak flash."""
    curtains.set(light="day", exposure=1 / 250)
    assert "Streaked" in curtains.sentence
    curtains.set(light="burn", exposure=1 / 8000)
    assert "Soft" in curtains.sentence and curtains.result.length < 0.8
    curtains.set(light="low", exposure=1 / 250)
    assert re.search("Sharp|Frozen", curtains.sentence)


def test_every_mention_of_a_preset_is_a_button():
    for start, name in (("03", "curtains"), ("04", "trigger_chains")):
        panel = getattr(panels, name)(rig=rig.demo())
        labels = {control.label for control in panel.controls.values()} | set(panel.presets)
        words = {option for control in panel.controls.values() for option, _ in getattr(control, "options", ())}
        tried = prose(start).split("## Try")[1].split("## Explain")[0]
        for bold in re.findall(r"\*\*(.+?)\*\*", tried):
            known = any(bold.lower() in label.lower() for label in labels | words)
            assert known, f"lesson {start} names {bold!r}, which the panel does not have"


def test_delays_of_lesson_04():
    text = prose("04")
    panel = panels.trigger_chains(rig=rig.demo())
    made = panel.result.chains
    assert f"light wanted at {units.format_quantity(panel.state.moment, 's')}" in text
    assert panel.state.exposure == 0.1
    assert f"front curtain needs {1e3 * made['front'].needed:.1f} ms" in text
    assert f"needs {1e3 * made['rear'].needed:.1f} ms at 1/10 s" in text
    assert f"open flash needs {1e3 * made['open'].needed:.1f} ms" in text
    assert f"scatters by {units.format_number(1e3 * made['front'].spread, 2)} ms with the camera" in text
    assert f"which is {mm(made['front'].spread * panel.speed)} of fall" in text
    assert f"open flash it scatters by {units.format_number(1e3 * made['open'].spread, 2)} ms" in text
    panel.set(exposure=1 / 60)
    assert f"and {1e3 * panel.result.chains['rear'].needed:.1f} ms at 1/60 s" in text
    difference = float(chains.front_rear_difference(1 / 60, panel.travel))
    assert f"At 1/60 s the rear curtain is {1e3 * difference:.1f} ms later" in text
    assert f"at 1 s it is {1e3 * float(chains.front_rear_difference(1.0, panel.travel)):.0f} ms later" in text
    assert abs(float(chains.front_rear_difference(1 / 250, panel.travel))) < 1e-9  # "hardly differ"


def test_story_and_assumptions_of_lesson_04():
    text = prose("04")
    panel = panels.trigger_chains(rig=rig.demo())
    assert panel.touch - panel.valve == pytest.approx(0.2, rel=0.15) and "a fifth of a second" in text
    assert panel.touch - panel.state.moment == pytest.approx(0.01, abs=5e-4) and "one hundredth of a second" in text
    link = {name: units.format_number(1e3 * mean) for name, (mean, _) in chains.LINK_DELAYS.items()}
    flash = units.format_number(1e3 * chains.FLASH_DELAY[0])
    assert f"{link['cable']} ms for a cable, {link['radio']} ms for a radio link, {flash} ms for the flash" in text
    assert chains.REAR_MARGIN == 0.5e-3 and "half a millisecond" in text
    bulb = panel.presets["Bulb with 250 ms of lag"]
    assert bulb["lag"] == 0.25 and "allowance of 250 ms" in text
    panel.set(**bulb)
    assert panel.result.chains["front"].needed < 0  # the camera first
    from splashkit.panels import trigger

    assert trigger.OPEN_TIME == 1.0 and "stand open for a second" in text


def test_in_one_line_of_lesson_04_is_the_prose():
    delay = chains.delay_setting(chains.light_chain("front", 0.065, curtain_travel=0.0035), 0.218)
    assert units.format_quantity(delay, "s", 4) == "149.4 ms"
    assert f"lag of {1e3 * rig.demo().shutter_lag:g} ms" in prose("04")


@pytest.mark.parametrize("module", [lesson03, lesson04])
def test_one_option_of_the_prediction_is_right(module):
    assert [right for _, right, _ in module.PREDICTION.options].count(True) == 1


def test_dark_frame_measures_the_curtains():
    """Exercise 3 of lesson 03: the share printed in the question leads back to the travel asked for."""
    for seed in range(20):
        q = base.find("03", 3).numbers(str(seed), rig.demo())
        black = float(re.search(r"leaves ([\d.]+) %", base.find("03", 3).text(q))[1]) / 100
        assert q.exposure / (1 - black) == pytest.approx(q.travel, rel=0.01)
        assert black == pytest.approx(float(sync.dark_band_fraction(q.exposure, q.travel)), abs=6e-4)
