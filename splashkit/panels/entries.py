"""Entries that may be blank: what a log and a measuring aid need besides the controls of ``controls.py``.

``Blank``   a text box for one number that may stay empty; heights may be written in pixels, "1200 px"
``Words``   a text box for words
``Row``     a text box for several numbers, one a frame
``Ruler``   the three numbers of a ruler frame, and what turns pixels into metres with them
"""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Any, NamedTuple

import ipywidgets as widgets

from splashkit import measure, units
from splashkit.checks import Range, require
from splashkit.panels.controls import Control, inside

MOST_IN_A_ROW = 60
_MARKS = Range("distance of the two ruler marks", "m", 1e-4, 2.0, "read it off the ruler, such as 20 mm")


class Pixels(NamedTuple):
    """A place in the frame, in pixels from its top edge, or a length in pixels."""

    number: float


class _Text(Control):
    """A text box with a label above it."""

    def __init__(self, name: str, label: str, text: str = "", hint: str = "") -> None:
        super().__init__(name, label)
        self.box = widgets.Text(
            value=text, description=label, placeholder=hint, continuous_update=False,
            style={"description_width": "initial"},
        )  # fmt: skip
        self.widget = widgets.HBox([self.box]).add_class("splash-control")
        self.box.observe(self.changed, "value")

    def set(self, value: Any) -> None:
        self.box.value = "" if value is None else str(value)

    def asked(self) -> Any:
        return self.box.value

    def words(self) -> str:
        return self.box.value or "blank"


class Words(_Text):
    """A text box for words; they are kept as written and shown as text, never as markup."""

    def __init__(self, name: str, label: str, wide: bool = False) -> None:
        super().__init__(name, label)
        if wide:
            self.box.layout.max_width, self.box.layout.flex = "none", "1 1 100%"

    def read(self) -> str:
        return " ".join(str(self.box.value).split())


class Blank(_Text):
    """One number that may be blank (None). With ``pixels`` also "1200 px", given back as :class:`Pixels`.

    ``check`` is what may be written, where that can be told from the box alone.
    """

    def __init__(self, name: str, label: str, unit: str, display: str = "", value: float | None = None, *,
                 pixels: bool = False, quantity: str = "", check: Range | None = None) -> None:  # fmt: skip
        shown = f"{label} ({display or unit})" if (display or unit) not in ("", "1") else label
        super().__init__(name, shown, hint="blank")
        self.unit, self.display, self.pixels = unit, display or ("" if unit == "1" else unit), pixels
        self.quantity = quantity or (check.quantity if check else inside(label))
        self.check = replace(check, display=display) if check else None
        self.factor = units.parse_quantity("1", unit, bare=display)
        self._kept: tuple[str, Any] = ("", None)
        self.set(value)

    def read(self) -> Any:
        text = str(self.box.value).strip()
        if not text:
            return None
        if text == self._kept[0]:  # as it was put in: showing it loses no digit
            kept = self._kept[1]
            return kept if self.check is None or isinstance(kept, Pixels) else float(self.check(kept))
        pixels = re.fullmatch(r"(.*?)\s*(?:px|pixels?)", text)
        if pixels and self.pixels:
            return Pixels(units.parse_quantity(pixels[1], "1", self.quantity))
        value = units.parse_quantity(text, self.unit, self.quantity, bare=self.display)
        return float(self.check(value)) if self.check else value

    def set(self, value: Any) -> None:
        if isinstance(value, Pixels):
            text = f"{value.number:g} px"
        elif isinstance(value, (int, float)) and not isinstance(value, bool) and abs(value) < 1e300:
            text = units.format_number(value / self.factor, 6)
        else:
            text, value = ("" if value is None else str(value)), None
        self._kept = (text, value) if value is not None else ("", None)
        self.box.value = text


class Row(_Text):
    """Several numbers, one a frame, written with spaces or semicolons between them; a tuple in SI."""

    def __init__(self, name: str, label: str, check: Range, display: str, values: tuple[float, ...]) -> None:
        super().__init__(name, f"{label} ({display})")
        self.check, self.display, self.quantity = replace(check, display=display), display, check.quantity
        self.factor = units.parse_quantity("1", check.unit, bare=display)
        self.box.layout.max_width, self.box.layout.flex = "none", "1 1 100%"
        self.set(values)

    def read(self) -> tuple[float, ...]:
        parts = [part.rstrip(",") for part in re.split(r"[\s;]+", str(self.box.value).strip()) if part.rstrip(",")]
        require(
            0 < len(parts) <= MOST_IN_A_ROW, f"row of the {self.quantity}", f"{len(parts)} numbers",
            f"1 to {MOST_IN_A_ROW} numbers", "write one number a frame, with spaces between them",
        )  # fmt: skip
        read = units.parse_quantity
        return tuple(float(self.check(read(p, self.check.unit, self.quantity, bare=self.display))) for p in parts)

    def set(self, value: Any) -> None:
        plain = isinstance(value, (tuple, list))
        self.box.value = "   ".join(units.format_number(v / self.factor, 5) for v in value) if plain else str(value)


class Ruler:
    """A ruler frame: pixels between two marks, their distance, and the row of the still surface."""

    def __init__(self) -> None:
        self.controls: list[Control] = [
            Blank("ruler_pixels", "Pixels between two ruler marks", "1"),
            Blank("ruler_length", "Distance of the two marks", "m", "mm", check=_MARKS),
            Blank("surface_row", "Pixel row of the still surface", "1"),
        ]

    @staticmethod
    def scale(state: Any) -> float:
        """Give pixels a metre; refuses when the ruler frame is not filled in."""
        known = state.ruler_pixels is not None and state.ruler_length is not None
        require(
            known, "ruler", "a blank", "given before a height in pixels",
            "photograph a ruler where the drops fall, and fill in its two boxes",
        )  # fmt: skip
        return float(measure.scale_from_ruler(0.0, state.ruler_pixels, state.ruler_length))

    @classmethod
    def height(cls, value: Any, state: Any) -> float | None:
        """Give a height in metres from what was written: metres, or a pixel row counted from the top."""
        if not isinstance(value, Pixels):
            return None if value is None else float(value)
        scale = cls.scale(state)
        require(
            state.surface_row is not None, "pixel row of the still surface", "a blank",
            "given before a height in pixels", "read the row where a drop would touch, in the ruler frame",
        )  # fmt: skip
        return float(measure.height_from_pixels(value.number, state.surface_row, scale))

    @classmethod
    def length(cls, value: Any, state: Any) -> float | None:
        """Give a length in metres from metres or from a length in pixels."""
        if not isinstance(value, Pixels):
            return None if value is None else float(value)
        return value.number / cls.scale(state)
