"""Controls with real names: what a panel is set by.

Each control knows its name in the state, its words, and its value in SI. The learner sees her own
units; display and SI are converted here and nowhere else in the panels.

``Number``  a text box with label and unit, − and + buttons, and a slider for the mouse
``Ladder``  a drop-down list of marks (shutter, aperture, ISO, power), by ``units.options``
``Pick``    a drop-down list of named things
``Tick``    a check box
``Radio``   radio buttons under a visible group label

About names for screen readers. A slider's handle in ipywidgets 8 has no accessible name and none
can be given from Python. The box is therefore the real control: it has label and unit, takes what a
person writes ("30", "30 cm", "1/20000", "0,05 ms") and sits in the tab order with its two step
buttons. The slider is its twin for mouse and touch; its handle is hidden from keyboard and screen
reader by style (``visibility``), so nobody meets an unnamed thing. ipywidgets gives no role to a
group of radio buttons; the script in ``labextensions`` gives it one, named by the visible label. Where that
is not installed, each option must be clear by itself.

A number that is out of range stays in the box as written and is refused with the one sentence of its
:class:`~splashkit.checks.Range`. ipywidgets' bounded boxes would move it to the end in silence.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from typing import Any

import ipywidgets as widgets

from splashkit import units
from splashkit.checks import Range

Listener = Callable[[], None]
LISTED = 9  # so many marks are named in a refusal; of a longer list, its ends


def inside(label: str) -> str:
    """Write a label or a sentence as it stands inside another; names such as ISO keep their capitals."""
    return label if label[1:2].isupper() else label[0].lower() + label[1:]


class Control:
    """What every control offers: ``name``, ``label``, ``widget``, ``read()``, ``set(value)``, ``words()``."""

    widget: widgets.DOMWidget

    def __init__(self, name: str, label: str) -> None:
        self.name, self.label = name, label
        self._listeners: list[Listener] = []

    def on_change(self, listener: Listener) -> None:
        """Call the listener after each change, by whatever hand."""
        self._listeners.append(listener)

    def changed(self, *_: Any) -> None:
        """Tell all listeners."""
        for listener in self._listeners:
            listener()

    def read(self) -> Any:
        """Give the value in SI; ``ValueError`` with the one sentence if it is not allowed."""
        raise NotImplementedError

    def set(self, value: Any) -> None:
        """Put a value in (SI), even one that will be refused on reading."""
        raise NotImplementedError

    def asked(self) -> Any:
        """Give what was asked for, allowed or not."""
        raise NotImplementedError

    def refused(self) -> bool:
        """Tell whether what was asked for is not allowed."""
        try:
            self.read()
        except ValueError:
            return True
        return False

    def words(self) -> str:
        """Write the value as a person would."""
        raise NotImplementedError


class Number(Control):
    """A number with unit: box, step buttons and slider.

    ``display`` is the unit on the label, ``step`` the grid of the slider in that unit; with
    ``log=True`` the slider runs in equal ratios (``stops_each`` positions a factor of two).
    """

    def __init__(self, name: str, label: str, unit: str, low: float, high: float, value: float, *, display: str = "",
                 step: float = 1.0, log: bool = False, per_double: int = 6, advice: str = "",
                 quantity: str = "") -> None:  # fmt: skip
        super().__init__(name, label)
        self.unit, self.display, self.bare = unit, display or unit, display
        self.factor = units.parse_quantity("1", unit, bare=display)
        shown = f"{label} ({self.display})" if self.display not in ("", "1") else label
        quantity = quantity or inside(label)
        advice = advice or "write a number inside this range, or use the slider"
        self.range = Range(quantity, unit, low, high, advice, display=display)
        self.quantity, self._log = quantity, log
        if log:
            self._count = max(1, math.ceil(math.log2(high / low) * per_double))
        else:
            self._count = max(1, round((high - low) / (step * self.factor)))
        self.box = widgets.Text(description=shown, continuous_update=False, style={"description_width": "initial"})
        self.slider = widgets.IntSlider(min=0, max=self._count, readout=False, tooltip=label)
        self.slider.add_class("splash-slider")
        self.less = self._button("less", -1)
        self.more = self._button("more", +1)
        self.widget = widgets.HBox([self.box, self.less, self.more, self.slider])
        self.widget.add_class("splash-control")
        self._busy = False
        self._value: float | None = None
        self.set(value)
        self.box.observe(self._box_moved, "value")
        self.slider.observe(self._slider_moved, "value")

    def _button(self, word: str, step: int) -> widgets.Button:
        # the words are the button's name for a screen reader; style shows a − or + in their place
        button = widgets.Button(description=f"{word}: {self.label}", tooltip=f"{self.label}: one step {word}")
        button.add_class("splash-step").add_class(f"splash-{word}")
        button.on_click(lambda _: self.step(step))
        return button

    def step(self, steps: int) -> None:
        """Go one or more grid steps up or down; ends at the ends."""
        # grid values are rounded to be read, so a place may miss its whole number a little
        place = self._place(self._value if self._value is not None else self.grid(self.slider.value))
        whole = math.floor(place + 0.05) if steps > 0 else math.ceil(place - 0.05)
        self.set(self.grid(min(max(whole + steps, 0), self._count)))
        self.changed()

    def grid(self, index: int) -> float:
        """Give the value (SI) at a slider position."""
        low, high = self.range.low, self.range.high
        if index <= 0 or index >= self._count:
            return low if index <= 0 else high
        share = index / self._count
        if self._log:
            return float(f"{low * (high / low) ** share / self.factor:.3g}") * self.factor
        return float(f"{(low + (high - low) * share) / self.factor:.6g}") * self.factor

    def _place(self, value: float) -> float:
        low, high = self.range.low, self.range.high
        inside = min(max(value, low), high)
        share = math.log(inside / low) / math.log(high / low) if self._log else (inside - low) / (high - low)
        return share * self._count

    def read(self) -> float:
        if self._value is None:
            units.parse_quantity(self.box.value, self.unit, self.quantity, bare=self.bare)
        # typed in the display unit, an end of the range may miss it by a rounding error
        value = self._value
        for end in (self.range.low, self.range.high):
            if value is not None and math.isclose(value, end, rel_tol=1e-9, abs_tol=1e-15):
                value = end
        return float(self.range(value))

    def set(self, value: Any) -> None:
        try:
            number = float(value)
        except (TypeError, ValueError, OverflowError):
            self._write(str(value), None)
            return
        self._write(units.format_number(number / self.factor, 5), number)

    def asked(self) -> Any:
        return self.box.value if self._value is None else self._value

    def words(self) -> str:
        return units.format_quantity(self._value, self.unit) if self._value is not None else self.box.value

    def _write(self, text: str, value: float | None) -> None:
        self._busy = True
        try:
            self._value = value
            self.box.value = text
            if value is not None and not math.isnan(value):
                self.slider.value = round(self._place(value))
        finally:
            self._busy = False

    def _box_moved(self, change: Any) -> None:
        if self._busy:
            return
        try:
            value = units.parse_quantity(change["new"], self.unit, self.quantity, bare=self.bare)
        except ValueError:
            self._value = None  # the text stays; read() says what is wrong with it
        else:
            self.set(value)
        self.changed()

    def _slider_moved(self, change: Any) -> None:
        if not self._busy:
            self.set(self.grid(change["new"]))
            self.changed()


class Pick(Control):
    """A drop-down list: options are words, or pairs of words and value."""

    def __init__(self, name: str, label: str, options: Sequence[Any], value: Any) -> None:
        super().__init__(name, label)
        self.options = tuple((option, option) if isinstance(option, str) else tuple(option) for option in options)
        self._refused: Any = None
        self.widget = self._make(value)
        self.widget.add_class("splash-control")
        self.choice.observe(self._moved, "value")

    def _make(self, value: Any) -> widgets.DOMWidget:
        self.choice = widgets.Dropdown(
            options=self.options, value=value, description=self.label, style={"description_width": "initial"}
        )
        return widgets.HBox([self.choice])

    def read(self) -> Any:
        if self._refused is not None:
            marks = [words for words, _ in self.options]
            allowed = f"one of {', '.join(marks)}" if len(marks) <= LISTED else f"a mark from {marks[0]} to {marks[-1]}"
            raise ValueError(
                f"The {inside(self.label).removeprefix('the ')} must be {allowed}; got {self._given()}. "
                "To fix it: pick one from the list."
            )
        return self.choice.value

    def _given(self) -> str:
        return repr(self._refused)

    def set(self, value: Any) -> None:
        for _, option in self.options:
            numbers = isinstance(option, float) and isinstance(value, (int, float)) and abs(value) < 1e300
            close = numbers and math.isclose(option, value)
            if close or (type(option) is type(value) and option == value):
                self._refused, self.choice.value = None, option
                return
        self._refused = value

    def asked(self) -> Any:
        return self.choice.value if self._refused is None else self._refused

    def words(self) -> str:
        return next((words for words, option in self.options if option == self.choice.value), "")

    def _moved(self, _: Any) -> None:
        self._refused = None
        self.changed()


class Ladder(Pick):
    """A drop-down list of marks: ``kind`` is shutter, aperture, iso or power (see ``units.options``)."""

    def __init__(self, name: str, label: str, ladder: Sequence[float], kind: str, value: float) -> None:
        marks = tuple(float(mark) for mark in ladder)
        try:
            nearest = units.nearest_mark(value, marks)
        except ValueError:
            nearest = None
        super().__init__(name, label, units.options(marks, kind), marks[0] if nearest is None else nearest)
        self._kind = kind
        if nearest is None:
            self._refused = value  # shown as the one sentence when the panel opens

    def _given(self) -> str:
        try:
            return units.options((self._refused,), self._kind)[0][0]
        except (ValueError, TypeError, OverflowError):  # not even a mark
            return super()._given()


class Radio(Pick):
    """Radio buttons under a visible group label; use where all options should be seen at once."""

    def _make(self, value: Any) -> widgets.DOMWidget:
        self.choice = widgets.RadioButtons(
            options=self.options, value=value, description=self.label, style={"description_width": "initial"}
        )
        return self.choice


class Tick(Control):
    """A check box."""

    def __init__(self, name: str, label: str, value: bool = False) -> None:
        super().__init__(name, label)
        self.box = widgets.Checkbox(value=value, description=label, indent=False)
        self.widget = widgets.HBox([self.box])
        self.widget.add_class("splash-control")
        self._refused: Any = None
        self.box.observe(self._moved, "value")

    def read(self) -> bool:
        if self._refused is not None:
            raise ValueError(
                f"The setting '{self.label}' must be on or off; got {self._refused!r}. To fix it: give True or False."
            )
        return bool(self.box.value)

    def set(self, value: Any) -> None:
        if isinstance(value, bool):
            self._refused, self.box.value = None, value
        else:
            self._refused = value

    def asked(self) -> Any:
        return bool(self.box.value) if self._refused is None else self._refused

    def words(self) -> str:
        return "on" if self.box.value else "off"

    def _moved(self, _: Any) -> None:
        self._refused = None
        self.changed()
