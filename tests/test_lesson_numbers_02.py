"""Each number in the prose of lesson 02 is what the library says."""

import itertools

import pytest
from tools import lessons

from splashkit import drops, flash, units

DROP = 4e-3
SPEED = float(drops.fall(drops.fall_height(0.25, DROP), DROP).speed)
KINDS = {"quench": "cuts its flash", "voltage": "lowers its voltage", "capacitor": "switches capacitors"}
SHOWN = [("quench", 1), ("quench", 1 / 2), ("quench", 1 / 16), ("quench", 1 / 128)]
SHOWN += [("voltage", 1), ("voltage", 1 / 8), ("capacitor", 1 / 8)]


@pytest.fixture(scope="module")
def text():
    return lessons.prose_of(next(path for path in lessons.present() if path.name.startswith("02")))


def said(number, digits=2):
    return f"{float(f'{number:.{digits - 1}e}'):g}"


@pytest.mark.parametrize(("kind", "power"), SHOWN)
def test_table(text, kind, power):
    curve = flash.light_curve(kind, power)
    smear = SPEED * curve.t01
    percent = 100 * smear / DROP
    row = (
        f"| {KINDS[kind]}, {units.format_power(power)} | {units.format_quantity(curve.t05, 's')} | "
        f"{units.format_quantity(curve.t01, 's')} | {said(1e3 * smear)} mm | "
        f"{percent:.0f} % |"
    )
    short = row.replace(f"| {percent:.0f} % |", f"| {said(percent)} % |")
    assert row in text or short in text, (row, short)


def test_first_step(text):
    full, half = (flash.light_curve("quench", power) for power in (1, 1 / 2))
    assert f"falls by only {100 * (1 - half.t05 / full.t05):.0f} %" in text
    assert f"its t0.1 becomes {full.t01 / half.t01:.1f} times shorter" in text


def test_ratio_of_the_durations(text):
    even = flash.exponential(1e-3)
    assert f"it is {even.t01 / even.t05:.1f} times as long as t0.5" in text
    law, block = flash.lamp_law(1e-3), flash.rectangular(1e-3)
    assert f"anything from {block.t01 / block.t05:.0f} to {law.t01 / law.t05:.1f}" in text


def test_lower_steps(text):
    assert "each halving of power shortens the flash by about half" in text
    powers = [1 / 2, 1 / 4, 1 / 8, 1 / 16]
    _, t01 = flash.durations("quench", powers)
    assert all(1.7 < a / b < 2.5 for a, b in itertools.pairwise(t01))
    _, low = flash.durations("quench", [1 / 64, 1 / 128])
    assert low[0] / low[1] < 1.7


def test_band(text):
    estimate = flash.duration_estimate("quench", 1 / 64)
    assert f"a factor of {estimate.high / estimate.value:.1f} either way" in text


def test_first_step_in_the_panel(text):
    full, half = (flash.light_curve("quench", power) for power in (1, 1 / 2))
    assert "shrinks to less than a third" in text and 1 / 4 < half.t01 / full.t01 < 1 / 3
    assert "the other hardly moves" in text and half.t05 / full.t05 > 0.85


def test_price_of_low_power(text):
    """Light falls with the square of the distance from a small bare source (from memory)."""
    stops, closer = 4, 80 / 20
    assert "From 1/4 down to 1/64 is four stops, so go from 80 cm to 20 cm" in text
    assert (1 / 4) / (1 / 64) == 2**stops == closer**2
    assert f"One stop alone needs {2**-0.5:.1f} of the distance" in text
