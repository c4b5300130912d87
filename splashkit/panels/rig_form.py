"""Lesson 00's form: one rig's measured numbers. A blank is not measured yet; only the button saves."""

from __future__ import annotations

import base64
import contextlib
from dataclasses import replace
from typing import Any

import ipywidgets as widgets

from splashkit import rig as rigs
from splashkit import store, units
from splashkit.card import Card
from splashkit.look import CSS, escape
from splashkit.spoken import Spoken

# what matters most, in the order in which a newcomer can measure it; the rest waits behind a button
FIRST = (
    "nozzle_height", "first_diameter", "second_diameter", "bowl_depth", "liquid", "liquid_temperature", "chain", "link",
    "exposure_time", "sync_speed", "flash_kind", "flash_power",
)  # fmt: skip
LATER = ("valve_delay", "valve_delay_spread", "release_speed", "shutter_lag", "shutter_lag_spread")
GROUPS = {
    "water": "Drops and water", "timing": "Times that a test measures", "camera": "Camera and room", "flash": "Flash",
    "text": "Reading",
}  # fmt: skip
_TIMES = "Times that a test measures: lesson 11 shows how (a spread is one standard deviation)"
NOT_YET, NOT_CHOSEN = "not measured yet", "not chosen yet"
_WORDS = {
    "front": "front curtain", "rear": "rear curtain", "open": "open shutter, timer fires the flash",
    "quench": "cuts the flash short", "voltage": "charges to a lower voltage", "capacitor": "switches capacitors off",
    "glycerol_water": "glycerol and water", "thickened_water": "thickened water",
}  # fmt: skip
# shorter than the rig's own questions, so that each stands above its box in one line
_LABELS = {
    "chain": "Who fires the flash", "sync_speed": "Sync speed", "flash_power": "Flash power, such as 1/32",
    "nozzle_height": "Nozzle height: tip to still water", "curtain_travel": "Curtain travel: time across the frame",
    "valve_delay": "Valve delay: signal to release", "valve_delay_spread": "Spread of the valve delay",
    "shutter_lag": "Shutter lag: signal to front curtain", "shutter_lag_spread": "Spread of the shutter lag",
    "flash_guide_number": "Guide number, full power, ISO 100", "flash_t01": "Measured t0.1 at that power",
    "pupil_ratio": "Pupil ratio: rear over front, 1 if unknown",
    "magnification": "Magnification: size on sensor over real",
    "room_illuminance": "Light left in the room", "bowl_radius": "Inner radius of the bowl",
    "latitude": "Latitude, for the pull of gravity", "weighed_mass": "Mass of drops weighed together",
}  # fmt: skip
# settings that are written as they are marked
_MARKED = {
    "exposure_time": "shutter", "sync_speed": "shutter", "aperture": "aperture", "iso": "iso", "flash_power": "power",
}  # fmt: skip
_SHOWN = {"us": "µs", "degC": "°C", "m_per_s": "m/s", "deg": "degrees"}


def _unit(entry: Any) -> str:
    key = entry.key[len(entry.name) + 1 :]
    return _SHOWN.get(key, key)


class Field:
    """One entry of the rig: a box or a list, and what it means in SI."""

    def __init__(self, entry: Any) -> None:
        self.entry = entry
        self._shown: tuple[str, Any] = ("", None)
        style = {"description_width": "initial"}
        words = _LABELS.get(entry.name, entry.question)
        if entry.factor:
            unit = _unit(entry)
            label = f"{words} ({unit})" if unit else words
            self.box: Any = widgets.Text(description=label, placeholder=NOT_YET, continuous_update=False, style=style)
        else:
            options = [(NOT_CHOSEN, ""), *((_WORDS.get(word, word), word) for word in entry.check.options)]
            self.box = widgets.Dropdown(description=words, options=options, value="", style=style)
        self.widget = widgets.HBox([self.box]).add_class("splash-control")

    def show(self, value: Any) -> None:
        """Show a value in SI; None is a blank."""
        if value is None:
            text = ""
        elif self.entry.name in _MARKED:
            text = units.format_mark(value, _MARKED[self.entry.name])
        elif self.entry.factor:
            text = units.format_number(value / self.entry.factor, 6)
        else:
            text = str(value)
        self.box.value = text
        self._shown = text, value

    def read(self) -> Any:
        """Read the value in SI, None for a blank; refuses in one sentence."""
        text = str(self.box.value).strip()
        if not text:
            return None
        if text == self._shown[0]:
            return self._shown[1]  # untouched: no digit is lost by showing it
        if not self.entry.factor:
            return self.entry.check(text)
        unit, quantity = self.entry.check.unit, self.entry.check.quantity
        if self.entry.name in _MARKED:
            value = units.parse_mark(text, _MARKED[self.entry.name], quantity)
            if _MARKED[self.entry.name] == "shutter" and text.isdecimal() and value > self.entry.check.high:
                raise ValueError(
                    f"The {quantity} must be a time; got {text}, which is {text} seconds. A camera that shows {text} "
                    f"means 1/{text}. To fix it: write 1/{text}."
                )
            return float(self.entry.check(value))
        bare = _unit(self.entry) if unit in ("s", "m", "kg") else ""
        return float(self.entry.check(units.parse_quantity(text, unit, quantity, bare=bare)))


class MyRig(Card):
    """The form. ``rig`` is what it holds now; ``sentence`` is what it last said."""

    def __init__(self) -> None:
        super().__init__()
        self.fields = {entry.name: Field(entry) for entry in rigs.ENTRIES}
        self.name = widgets.Text(description="Name of this rig", style={"description_width": "initial"})
        self.sentence = ""
        self._base, self._disk, self._busy = rigs.Rig(), rigs.Rig(), False
        self._words, self._file = Spoken(), widgets.HTML()
        self._more = widgets.Button(description="Show all other numbers")
        self._rest = widgets.VBox(layout=widgets.Layout(display="none"))
        self._make()
        self.open_saved()
        for field in self.fields.values():
            field.box.observe(self._moved, "value")
        self.name.observe(self._moved, "value")

    def _make(self) -> None:
        head = widgets.HTML(
            f'{CSS}<div class="splash-title" role="heading" aria-level="3">My rig</div>'
            '<p class="splash-lead">Write what you have measured; leave the rest blank. A blank stays a blank: lessons '
            "then start from the invented demo rig there. Nothing is saved before you press Save.</p>"
        )
        named = [widgets.HBox([self.name]).add_class("splash-control")]
        first = self._grid([*named, *(self.fields[name].widget for name in FIRST)])
        times = self._grid([self.fields[name].widget for name in LATER])
        rest: list[Any] = []
        for group, words in GROUPS.items():
            names = [e.name for e in rigs.ENTRIES if e.group == group and e.name not in (*FIRST, *LATER)]
            if names:
                rest += [self._heading(words), self._grid([self.fields[name].widget for name in names])]
        self._rest.children = rest
        self._more.on_click(lambda _: self.show_all(self._rest.layout.display == "none"))
        save = widgets.Button(description="Save my rig")
        save.on_click(lambda _: self.save())
        again = widgets.Button(description="Read the saved rig again")
        again.on_click(lambda _: self.open_saved())
        blank = widgets.Button(description="Make all blank")
        blank.on_click(lambda _: self.show(rigs.Rig()))
        self.upload = widgets.FileUpload(
            accept=".json", multiple=False, description="Read a rig.json from this computer",
            layout=widgets.Layout(width="auto"),
        )  # fmt: skip
        self.upload.observe(self._uploaded, "value")
        self.children = [
            head, first, self._heading(_TIMES), times,
            widgets.HBox([self._more]).add_class("splash-row"), self._rest,
            widgets.HBox([save, again, blank]).add_class("splash-row"), self._words,
            widgets.HBox([self.upload, self._file]).add_class("splash-row"),
        ]  # fmt: skip

    def _grid(self, children: list[Any]) -> widgets.Widget:
        return widgets.Box(children).add_class("splash-controls")

    def _heading(self, words: str) -> widgets.Widget:
        return widgets.HTML(f'<div role="heading" aria-level="4"><strong>{escape(words)}</strong></div>')

    def show_all(self, shown: bool = True) -> None:
        """Open or close the less important numbers."""
        self._rest.layout.display = None if shown else "none"
        self._more.description = "Hide the other numbers" if shown else "Show all other numbers"

    # what a lesson and a test use

    @property
    def rig(self) -> Any:
        """The rig as written now; refuses with one sentence for the first entry that cannot be."""
        values = {name: field.read() for name, field in self.fields.items()}
        liquid = values["liquid"]
        parameters = self._base.liquid_parameters if liquid == self._base.liquid else {}
        made = replace(self._base, **values, name=self.name.value, liquid_parameters=parameters)
        # what the form does not show (a note, keys of a newer version) stays; numbers one has changed are one's own
        return made if made == self._base else replace(made, invented=False)

    def show(self, rig: Any) -> None:
        """Put a rig's numbers into the form; nothing is saved."""
        self._base, self._busy = rig, True
        self.name.value = rig.name
        for name, field in self.fields.items():
            field.show(getattr(rig, name))
        self._busy = False
        self._tell()

    def open_saved(self) -> None:
        """Read the saved rig; a damaged file is said and left as it is."""
        try:
            found = rigs.load()
        except ValueError as problem:
            self.show(rigs.Rig())
            self._say(f"{problem} The form is blank.", wrong=True)
            return
        self._disk = found or rigs.Rig()
        self.show(self._disk)
        if found is None:
            self._say("No rig is saved yet: every lesson uses the invented demo rig. Write your first number.")

    def save(self) -> str:
        """Save the rig as written; refused numbers are named and nothing is saved."""
        try:
            rig = self.rig
            said = rigs.save(rig, since=self._disk)
        except ValueError as problem:
            self._say(f"Not saved. {problem}", wrong=True)
            return self.sentence
        with contextlib.suppress(ValueError):  # a damaged file was left as it is
            rig = self._disk = rigs.load() or rig  # with what another open lesson saved since this form was read
        self.show(rig)
        self._say(f"{said} {self._count(rig)}", wrong="cannot be read" in said)
        self._offer(rig)
        return self.sentence

    def read_file(self, data: bytes, name: str = rigs.FILE_NAME) -> None:
        """Put an uploaded file into the form; a damaged one is said and changes nothing."""
        try:
            found = rigs.from_bytes(data, store.shown(name))
        except ValueError as problem:
            self._say(str(problem), wrong=True)
            return
        self.show(found)
        self._say(f"Read {store.shown(name)}. {self._count(found)} Nothing is saved yet: press Save to keep it.")

    # the machine

    def _uploaded(self, change: Any) -> None:
        for file in change["new"] or ():
            self.read_file(bytes(file["content"]), str(file["name"]))

    def _moved(self, _: Any) -> None:
        if not self._busy:
            self._tell()

    def _tell(self) -> None:
        try:
            rig = self.rig
        except ValueError as problem:
            self._say(str(problem), wrong=True)
            self._file.value = ""
            return
        changed = rig != self._base
        self._say(self._count(rig) + (" Not saved yet." if changed else ""))
        self._offer(rig)

    def _count(self, rig: Any) -> str:
        all_of = len(rigs.ENTRIES)
        known = all_of - len(rig.blanks)
        missing = [self.fields[name].box.description for name in (*FIRST[:2], *LATER[::3]) if name in rig.blanks]
        wish = f" Measure next: {missing[0]}." if missing else ""
        return f"{known} of {all_of} entries are yours, {all_of - known} are blank.{wish}"

    def _offer(self, rig: Any) -> None:
        data = base64.b64encode(rigs.to_bytes(rig)).decode("ascii")
        self._file.value = (
            f'<a style="text-decoration:underline" download="{rigs.FILE_NAME}" '
            f'href="data:application/json;base64,{data}">'
            "Download these numbers as rig.json</a>"
        )

    def _say(self, words: str, wrong: bool = False) -> None:
        self.sentence = words
        look = " splash-refused" if wrong else ""
        self._words.value = f'<div class="splash-sentence{look}">{escape(words)}</div>'
