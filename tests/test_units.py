"""What people write, read into SI and written back: against Python's exact fractions and the definitions of units."""

import math
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from splashkit import units

# SI brochure, 9th edition, table 7: prefixes; the inch of 1959, 25.4 mm exactly
EXACT = {
    ("s", "ns"): Fraction(1, 10**9), ("s", "µs"): Fraction(1, 10**6), ("s", "us"): Fraction(1, 10**6),
    ("s", "ms"): Fraction(1, 1000), ("s", "s"): Fraction(1), ("s", "min"): Fraction(60),
    ("m", "µm"): Fraction(1, 10**6), ("m", "mm"): Fraction(1, 1000), ("m", "cm"): Fraction(1, 100),
    ("m", "m"): Fraction(1), ("m", "in"): Fraction(254, 10**4), ("m", "ft"): 12 * Fraction(254, 10**4),
    ("m/s", "mm/s"): Fraction(1, 1000), ("m/s", "cm/s"): Fraction(1, 100), ("m/s", "mm/ms"): Fraction(1),
    ("m3", "L"): Fraction(1, 1000), ("m3", "mL"): Fraction(1, 10**6), ("m3", "µL"): Fraction(1, 10**9),
    ("m3", "cm3"): Fraction(1, 10**6), ("kg", "g"): Fraction(1, 1000), ("kg", "mg"): Fraction(1, 10**6),
    ("Pa s", "mPa s"): Fraction(1, 1000), ("Pa s", "cP"): Fraction(1, 1000), ("N/m", "mN/m"): Fraction(1, 1000),
    ("Hz", "kHz"): Fraction(1000), ("1", "%"): Fraction(1, 100),
}  # fmt: skip


@given(
    kind=st.sampled_from(sorted(EXACT)),
    whole=st.integers(0, 10**6),
    tail=st.text("0123456789", max_size=4),
    mark=st.sampled_from(".,"),
    blank=st.sampled_from(["", " ", "\u00a0", "\u202f", "\u3000", "\t"]),
)
@settings(max_examples=300, deadline=None)
def test_decimals_are_read_exactly(kind, whole, tail, mark, blank):
    unit, word = kind
    wanted = (Fraction(whole) + (Fraction(int(tail), 10 ** len(tail)) if tail else 0)) * EXACT[kind]
    got = units.parse_quantity(f"{whole}{mark}{tail}{blank}{word}" if tail else f"{whole}{blank}{word}", unit)
    assert got == pytest.approx(float(wanted), rel=1e-15, abs=0)


@given(top=st.integers(1, 10**6), bottom=st.integers(1, 10**6))
def test_fractions_are_read_exactly(top, bottom):
    assert units.parse_quantity(f"{top}/{bottom}", "s", bare="ms") == float(Fraction(top, bottom))
    assert units.parse_quantity(f" {top} / {bottom} ms", "s") == pytest.approx(top / bottom / 1000, rel=1e-15)


@given(value=st.floats(1e-9, 1e6), unit=st.sampled_from(["s", "m", "m/s", "kg", "m3", "Hz", "1"]))
@settings(max_examples=300, deadline=None)
def test_what_is_written_is_read_back(value, unit):
    for sign in (1, -1):
        back = units.parse_quantity(units.format_quantity(sign * value, unit, 6), unit)
        assert back == pytest.approx(sign * value, rel=1e-5)


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("1e5", 100.0), ("1E3", 1.0), ("5e-3 s", 5e-3), ("+5 ms", 5e-3), ("−5 ms", -5e-3), (".5", 5e-4), ("5.", 5e-3),
        ("٣ ms", 3e-3), ("١٢٫٥ ms", 12.5e-3), ("１２．５　ｍｓ", 12.5e-3), ("１／２５０", 4e-3), ("५ ms", 5e-3),
        ("5 μs", 5e-6), ("5 µs", 5e-6), ("5 us", 5e-6), ("\u200e5\u200b ms\ufeff", 5e-3), ("\n5\n", 5e-3),
        ("0" * 5000, 0), (5, 5e-3), (5.5, 5.5e-3),
    ],
)  # fmt: skip
def test_other_keyboards(text, value):
    assert units.parse_quantity(text, "s", bare="ms") == pytest.approx(value, rel=1e-15)


@pytest.mark.parametrize(
    "text",
    ["", " ", "1/0", "0/0", "1e400", "9" * 5000, "1/1e-320", "inf", "nan", "0x10", "1_000", "1,000.5", "1'000",
     "12 345", "³", "½", "1½", "10³", "10^3", "--5", "1//2", "1/2/3", "5 Ms", "5 MS", "5 m s", "5 <b>", "5\x00", "5\n6",
     "<script>", "\u202e5 ms", "😀", "e5", "1e", "1.5.2", "x" * 5000, True, None, b"5", math.nan, 10**400, [5]],
)  # fmt: skip
def test_what_is_no_number_gets_the_one_sentence(text):
    with pytest.raises(ValueError, match=r"^The delay must be .*; got '.*'\. To fix it: .*\.$") as caught:
        units.parse_quantity(text, "s", "delay")
    assert len(str(caught.value)) < 260 and str(caught.value).isprintable()


@given(text=st.text(max_size=30), unit=st.sampled_from(["s", "m", "1", "degC", "furlong"]))
@settings(max_examples=400, deadline=None)
def test_any_text_is_a_number_or_the_sentence(text, unit):
    try:
        assert math.isfinite(units.parse_quantity(text, unit))
    except ValueError as problem:
        assert "To fix it" in str(problem) and str(problem).isprintable()


@pytest.mark.parametrize("given", ['10"', "10 ″", "10”", "10 in", "10 inches"])
def test_inches_are_read_with_their_mark(given):
    assert units.parse_quantity(given, "m", bare="mm") == pytest.approx(0.254)


def test_an_angle_is_asked_for_in_degrees():
    with pytest.raises(ValueError, match="such as 47°; got '47 N'"):
        units.parse_quantity("47 N", "rad", "latitude", bare="°")


def test_inches_ounces_and_degrees_of_the_usa():
    """The inch is 25.4 mm, the gallon 231 cubic inches and 128 fluid ounces; 0 °C is 32 °F and 100 °C is 212 °F."""
    ounce = 231 * 0.0254**3 / 128
    for many in (0.5, 3.0, 31.0):
        assert units.format_measure(many * ounce, "m3", "imperial") == f"{units.format_number(many)} fl oz"
    assert units.format_measure(64 * ounce, "m3", "imperial") == "2 qt"
    assert units.format_measure(0.254, "m", "imperial") == "10 in"
    assert units.format_measure(0.004, "m", "imperial") == "4 mm", "drops stay in millimetres"
    assert [units.format_measure(t, "degC", "imperial") for t in (0, 100, -40)] == ["32 °F", "212 °F", "-40 °F"]
    assert units.format_measure(0.01, "s", "imperial") == "10 ms"
    with pytest.raises(ValueError, match="metric, imperial; got 'furlongs'"):
        units.format_measure(1.0, "m", "furlongs")


def test_numbers_that_are_none():
    assert units.format_number(math.nan) == units.format_quantity(math.nan, "s") == "not a number"
    assert units.format_number(-math.inf) == "minus infinity" and "infinity" in units.format_quantity(math.inf, "s")


@given(value=st.floats(-1e300, 1e300), digits=st.integers(1, 9))
def test_a_number_keeps_its_digits(value, digits):
    written = units.format_number(value, digits)
    assert abs(float(written) - value) <= 0.51 * 10.0 ** (1 - digits) * abs(value) + 1e-323
    assert len(written) < 22


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: units.format_shutter(0), "above 0 s"),
        (lambda: units.format_shutter(math.nan), "above 0 s"),
        (lambda: units.format_power(0), "above 0 and at most 1"),
        (lambda: units.format_power(1.5), "above 0 and at most 1"),
        (lambda: units.format_aperture(-1), "f-number must be above 0"),
        (lambda: units.parse_mark("f/0", "aperture"), "f-number must be above 0"),
        (lambda: units.parse_mark("ISO 0", "iso"), "ISO setting must be above 0"),
        (lambda: units.parse_mark("ISO 200", "aperture"), "f-number must be a number"),
        (lambda: units.parse_mark("f/8", "iso", "speed of the film"), "speed of the film must be a number"),
        (lambda: units.format_mark(8, "stops"), "shutter, aperture, iso, power"),
        (lambda: units.nearest_mark(1e6, units.APERTURES), "value to match with a mark"),
        (lambda: units.nearest_mark(math.nan, units.APERTURES), "value to match with a mark"),
        (lambda: units.options(units.APERTURES, "stops"), "shutter, aperture, iso, power"),
    ],
)
def test_marks_that_cannot_be(call, words):
    with pytest.raises(ValueError, match=words) as caught:
        call()
    assert "To fix it" in str(caught.value)


def test_every_mark_is_its_own_nearest():
    for ladder in (units.APERTURES, units.SHUTTER_TIMES, units.ISO_SPEEDS, units.FLASH_POWERS):
        assert [units.nearest_mark(mark, ladder) for mark in ladder] == list(ladder)


@pytest.mark.parametrize(
    ("kind", "ladder"),
    [("aperture", units.APERTURES), ("shutter", units.SHUTTER_TIMES), ("iso", units.ISO_SPEEDS),
     ("power", units.FLASH_POWERS)],
)  # fmt: skip
def test_every_mark_is_read_as_it_is_written(kind, ladder):
    read = [units.parse_mark(label, kind) for label, _ in units.options(ladder, kind)]
    assert read == pytest.approx(list(ladder), rel=1e-12)


@pytest.mark.parametrize(
    ("text", "kind", "value"),
    [("F11", "aperture", 11), (" f / 5,6", "aperture", 5.6), ("ｆ／８", "aperture", 8), ("8", "aperture", 8),
     ("iso400", "iso", 400), ("ISO 1600", "iso", 1600), ("200", "iso", 200), ("4 ms", "shutter", 0.004)],
)  # fmt: skip
def test_marks_as_people_write_them(text, kind, value):
    assert units.parse_mark(text, kind) == pytest.approx(value)


def test_nothing_is_written_as_any_other_number():
    assert [units.format_quantity(angle, "rad") for angle in (0, math.pi / 2)] == ["0°", "90°"]
    assert units.format_quantity(0, "s") == "0 ms"
