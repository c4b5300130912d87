"""Read the tables of tests/published, and compare to as many digits as they print."""

import csv
import math
import re
from pathlib import Path

import pytest

PUBLISHED = Path(__file__).parent / "published"


def read(name):
    """Return a table's rows as dicts of text; lines starting with # are its sources."""
    lines = (PUBLISHED / f"{name}.csv").read_text(encoding="utf-8").splitlines()
    return list(csv.DictReader(line for line in lines if not line.startswith("#")))


def number(text):
    """Read a number or a fraction such as 1/125."""
    top, _, bottom = text.partition("/")
    return float(top) / float(bottom or 1)


def assert_same(value, text, digits=6):
    """Fail unless the value rounds to what is printed: half a unit in the last digit, at the printed precision."""
    wanted = number(text)
    if wanted == 0:
        assert abs(value) < 1e-12
        return
    unit = 10.0 ** (math.floor(math.log10(abs(wanted))) - digits + 1)
    assert abs(value - wanted) <= 0.5 * unit * (1 + 1e-6), f"{value!r} is not {text}"


SENTENCE = re.compile(r"The .+ must be .+; got .+\. To fix it: .+\.")
NEVER = (math.nan, "far", None, True, 1j, [1.0, None], object())


def assert_refuses(function, good, bad=(math.inf, -1e12), skip=()):
    """Fail unless the function refuses each bad value, for each number it takes, with the one sentence."""
    for name in good:
        if name in skip:
            continue
        for value in (*NEVER, *bad):
            with pytest.raises(ValueError) as caught:
                function(**{**good, name: value})
            assert SENTENCE.fullmatch(str(caught.value)), f"{name}={value!r}: {caught.value}"
            assert "\n" not in str(caught.value)
