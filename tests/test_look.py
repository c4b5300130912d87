"""A number and its unit stay on one line; the words do not change."""

import re

import pytest

from splashkit import panels
from splashkit.look import escape, together

SPAN = re.compile(r"<span class=\"splash-kept\">(.*?)</span>")


@pytest.mark.parametrize(
    ("text", "kept"),
    [
        ("From 250 mm, a 4 mm drop at 2.16 m/s.", ["250 mm", "4 mm", "2.16 m/s"]),
        ("it is at 1/250 s and f/16.5. It", ["250 s"]),
        ("216 ms (214 to 216 ms)", ["216 ms", "216 ms"]),
        ("−0.31 ms, 17 % as high, 20 °C and 3 stops", ["−0.31 ms", "17 %", "20 °C", "3 stops"]),
        ("frame 3 shows 2 drops in 5 minutes", []),
        ("a <b> 5 mm & more", ["5 mm"]),
    ],
)
def test_a_number_stays_with_its_unit(text, kept):
    markup = together(escape(text))
    assert SPAN.findall(markup) == kept
    assert SPAN.sub(r"\1", markup) == escape(text)


def test_a_panel_says_it_so():
    panel = panels.falling()
    assert SPAN.findall(panel._words.value)[:2] == ["250 mm", "4 mm"]
    assert "<span" not in panel.sentence
