"""Lesson 12's panels: wishes become a run sheet to print; a symptom becomes its likeliest causes."""

from __future__ import annotations

import base64
import math
from functools import lru_cache
from types import SimpleNamespace
from typing import Any

import ipywidgets as widgets

from splashkit import faults, runsheet, store, units
from splashkit import rig as rigs
from splashkit.look import escape
from splashkit.panels.base import Panel
from splashkit.panels.controls import Control, Number, Pick, inside
from splashkit.panels.table import Markup, html_table
from splashkit.spoken import Spoken

PHASES = (("on the column's way up", "rising"), ("at the column's top", "top"), ("on its way down", "falling"))
RIGS = (
    ("my own, as saved", "own"),
    ("invented: one flash, small camera", "small"),
    ("invented: two flashes, full frame", "large"),
)
LOSSES = (("not measured yet: leave a box", -1.0), ("nothing: the bare flash", 0.0),
          *((f"{stops} stop{'' if stops == 1 else 's'}", float(stops)) for stops in (1, 2, 3, 4)))  # fmt: skip
FILES = {"pdf": ("run_sheet.pdf", "application/pdf"), "html": ("run_sheet.html", "text/html")}
LESSONS = {
    "01": "01_how_dark.ipynb", "02": "02_flash_duration.ipynb", "03": "03_shutter.ipynb",
    "04": "04_who_fires_whom.ipynb", "05": "05_sharp_enough.ipynb", "06": "06_fall.ipynb",
    "07": "07_first_splash.ipynb", "08": "08_gap_and_height.ipynb", "09": "09_in_the_bowl.ipynb",
    "10": "10_lights.ipynb", "11": "11_test_frames.ipynb",
}  # fmt: skip
_ms = units.format_quantity


def _blank(value: float, least: float) -> float | None:
    """Read a number too small to be one as not known."""
    return None if value < least else value


@lru_cache(maxsize=16)
def _invented(which: str) -> tuple[rigs.Rig, runsheet.Wishes]:
    return runsheet.small_demo() if which == "small" else runsheet.large_demo()


def _wishes(which: str) -> dict[str, Any]:
    """Give an invented rig's wishes as controls."""
    wishes = _invented(which)[1]
    return {
        "which": which, "phase": wishes.phase, "blur": wishes.blur, "depth": wishes.depth, "paper": wishes.paper,
        "system": wishes.units, "elevation": wishes.elevation, "lights": wishes.lights, "nearest": wishes.nearest,
        "second": wishes.second_guide_number or 0.0, "size": wishes.backlight_size or 0.0,
        "loss": -1.0 if wishes.loss is None else wishes.loss,
    }  # fmt: skip


class RunSheet(Panel):
    """Wishes; the sheet as it will be printed; buttons that save it as PDF or HTML."""

    title = "Your run sheet"
    lead = "Say what you want to catch. Your saved rig gives the rest; what it does not know becomes an empty box."
    presets = {
        "Invented: small camera": lambda: _wishes("small"),
        "Invented: full frame": lambda: _wishes("large"),
        "Two drops at the top": {"phase": "top", "blur": 1.5e-4, "depth": 5e-3},
        "Easier: more blur, less depth": {"blur": 3e-4, "depth": 3e-3},
        "More than the light allows": {"blur": 1e-5, "depth": 2e-2},
    }
    legend_words = (
        ("Empty box", "a number that nobody has measured yet: write it in by hand"),
        ("Z", "the delay at which the first drop just touches the water; all other delays count from it"),
        ("Look from, to", "the band in which the model's number may lie: search all of it"),
        ("Dashes in the drawing", "things whose size or distance is not known: they stand where they fit"),
        ("Cross on the axis", "the focus target, at the height of the meeting"),
        ("Thick bar under the drawing", "the scale"),
        ("Order", "the rows of the search, from first to last: the gap before the light"),
    )

    def __init__(self, rig: Any = None, after: Any = None, **start: Any) -> None:
        # in this panel a blank stays a blank, so the rig is not filled up from the demo rig
        self._given = rig
        super().__init__(rigs.load_or_demo()[0] if rig is None else rig, after, **start)

    def make_controls(self, rig: Any) -> list[Control]:
        """Make the controls."""
        return [
            Pick("which", "Rig", RIGS, "own"),
            Pick("phase", "The drops meet", PHASES, "top"),
            Number("blur", "Motion blur allowed", "m", 5e-6, 1e-3, 1.5e-4, display="mm", log=True, per_double=3,
                   quantity="motion blur allowed on the drop"),
            Number("depth", "Depth that must be sharp", "m", 1e-3, 5e-2, 5e-3, display="mm", step=1.0),
            Number("elevation", "Camera looks down by", "rad", 0.0, math.pi / 9, math.radians(8), display="°",
                   step=1.0, quantity="angle by which the camera looks down"),
            Pick("lights", "Flash units", (("one, behind", 1), ("two, behind and in front", 2)), 1),
            Number("second", "Guide number in front, 0 if unknown", "m", 0.0, 120.0, 0.0, step=2.0, display="m",
                   quantity="guide number of the front light"),
            Number("size", "Lit area behind, 0 if unknown", "m", 0.0, 1.5, 0.0, display="cm", step=5.0,
                   quantity="width of the lit area behind"),
            Pick("loss", "The diffuser takes", LOSSES, -1.0),
            Number("nearest", "Nearest place for the flash", "m", 0.1, 2.0, 0.3, display="cm", step=5.0),
            Pick("paper", "Paper", tuple(runsheet.PAPERS), "A4"),
            Pick("system", "Lengths in", (("millimetres", "metric"), ("inches", "imperial")),
                 self.start("units", "metric")),
        ]  # fmt: skip

    def make_figures(self) -> list[Any]:
        """Make the preview."""
        from splashkit.figures.runsheet import SheetPreview

        return [SheetPreview()]

    def compute(self, state: Any) -> Any:
        """Write the sheet."""
        told, rig = "", self._given
        if state.which != "own":
            rig, told = _invented(state.which)[0], "This rig is invented."
        elif rig is None:
            rig, told = rigs.load_or_demo()
        wishes = runsheet.Wishes(
            phase=state.phase, blur=state.blur, depth=state.depth, paper=state.paper, units=state.system,
            elevation=state.elevation, lights=state.lights, nearest=state.nearest,
            farthest=max(1.2, 1.5 * state.nearest), second_guide_number=_blank(state.second, 1.0),
            backlight_size=_blank(state.size, 0.02), loss=_blank(state.loss, 0.0),
        )  # fmt: skip
        found = runsheet.numbers(rig, wishes)
        return SimpleNamespace(sheet=runsheet.sheet(rig, wishes, found), numbers=found, told=told, rig=rig)

    def say(self, state: Any, result: Any) -> tuple[str, str]:
        """Say the settings that matter most, what is still blank, and whether the wishes fit."""
        return f"{result.told} {self._timer(result)} {self._camera(result)}".strip(), self._verdict(result)

    def _timer(self, result: Any) -> str:
        found = result.numbers
        if found.meeting is None:
            return f"No gap yet: {inside(found.no_meeting)}"
        gap = f"Set the gap to {_ms(round(float(found.meeting.gap.value), 3), 's')}"
        light = found.after(found.meeting.delay).value
        setting = found.setting(light)
        if setting is None:
            return f"{gap}. The delay is Z + {_ms(round(light, 3), 's')}: find Z with the first drop alone."
        if setting < 0:
            return f"{gap}. The light would have to be called before the valve: use an open shutter."
        return f"{gap} and the delay to {_ms(round(setting, 3), 's')}."

    def _camera(self, result: Any) -> str:
        found = result.numbers
        if found.settings is None or found.lights[0].distance is None:
            return "Camera and flash settings wait for more of your numbers."
        best = found.settings.chosen
        away = units.format_measure(found.lights[0].distance, "m", result.sheet.units, 2)
        return (
            f"Set {units.format_aperture(best.f_number)}, ISO {best.iso:.0f} and {units.format_power(best.power)} "
            f"power, with the back light {away} behind the drop."
        )

    def _verdict(self, result: Any) -> str:
        blanks = len(result.sheet.missing)
        if result.sheet.unmet:
            return f"Not all wishes fit: {result.numbers.settings.changes[0].sentence}"
        if blanks:
            first = rigs.BY_NAME[result.sheet.missing[0]].question
            one = "1 number of the rig is not measured yet and stays an empty box"
            many = f"{blanks} numbers of the rig are not measured yet and stay empty boxes"
            return f"{one if blanks == 1 else many}. Measure first what the form of lesson 00 calls “{first}”."
        if result.numbers.meeting is None:
            return "Do not print it yet: without a gap there is nothing to search."
        if result.rig.invented:
            return "All numbers of the rig are there, but invented: type your own in lesson 00 before you print."
        return "All numbers of the rig are there: print it, and take a pencil."

    def alt(self, state: Any, result: Any) -> str:
        """Say the sheet in words."""
        from splashkit.figures.runsheet import texts

        sheet = result.sheet
        parts = (sheet.timer, sheet.liquid, sheet.camera, sheet.light)
        lines = [line for part in parts for line in (f"{part.title}:", *texts(part.lines))]
        return f"{sheet.title}. {sheet.wish} {sheet.drawing} {' '.join(lines)}"

    # saving

    def _open(self, start: dict[str, Any]) -> None:
        self._saved = Spoken()
        super()._open(start)
        buttons = []
        for kind, words in (("pdf", "Save as PDF"), ("html", "Save as HTML page")):
            button = widgets.Button(description=words, tooltip=f"{words}, into your own folder")
            button.on_click(lambda _, kind=kind: self.save(kind))
            buttons.append(button)
        row = widgets.HBox(buttons).add_class("splash-row")
        self.children = [*self.children, row, self._saved]
        self._watch(self._forget)

    def _forget(self) -> None:
        # what was saved before no longer is what is shown
        self._saved.value = ""

    def sheet_bytes(self, kind: str) -> bytes:
        """Give the sheet shown as the bytes of a file; ``kind`` is ``'pdf'`` or ``'html'``."""
        if kind == "pdf":
            from splashkit.figures.runsheet import to_pdf

            return to_pdf(self.result.sheet)
        from splashkit.figures.runsheet_html import to_html

        return to_html(self.result.sheet)

    def save(self, kind: str = "pdf") -> str:
        """Save the sheet in the learner's folder and offer it as a download; gives what was said."""
        if self.result is None:
            return self._tell("There is no sheet yet: see the sentence above.", "splash-refused")
        name, media = FILES[kind]
        data = self.sheet_bytes(kind)
        try:
            target = store.folder() / name
            store.write(target, data)
            said, look = f"Saved in {target}.", ""
        except ValueError as problem:
            said, look = f"Not saved. {problem} The link still holds the sheet.", "splash-refused"
        coded = base64.b64encode(data).decode("ascii")
        link = f'<a style="text-decoration:underline" download="{name}" href="data:{media};base64,{coded}">'
        return self._tell(said, look, f"{link}Download it as {name}</a>")

    def _tell(self, words: str, look: str = "", more: str = "") -> str:
        self._saved.value = f'<div class="splash-sentence {look}">{escape(words)} {more}</div>'
        return words


class FaultFinder(Panel):
    """A symptom; its likeliest causes in order, the test that tells them apart, the remedy and the lesson."""

    title = "Fault finder"
    lead = "Pick what the frame shows. Do the first test before you change anything."
    legend_words = (
        ("Order", "the likeliest cause first: common practice, no source"),
        ("How to tell", "a test that changes this cause and none of the others"),
        ("Lesson", "where it is explained; the link opens that lesson"),
    )

    def make_controls(self, rig: Any) -> list[Control]:
        """Make the control."""
        return [Pick("symptom", "What the frame shows", faults.symptoms(), "all_late")]

    def compute(self, state: Any) -> Any:
        """Look the symptom up."""
        return faults.fault(state.symptom)

    def photos(self, state: Any, result: Any) -> list[str]:
        """Give the table of causes as markup."""
        rows = [
            (str(number), one.cause, one.test, one.remedy, self._link(one.lesson))
            for number, one in enumerate(result.causes, 1)
        ]
        return [html_table(("Order", "Likely cause", "How to tell", "Do this", "Lesson"), rows, look="width:100%")]

    def _link(self, lesson: str) -> str | Markup:
        name = LESSONS.get(lesson)
        if name is None:
            return lesson
        look = 'style="text-decoration:underline" target="_blank" rel="noopener"'
        return Markup(f'<a {look} href="{name}" aria-label="Lesson {escape(lesson)}">{escape(lesson)}</a>')

    def say(self, state: Any, result: Any) -> tuple[str, str]:
        """Say how many causes there are and which test comes first."""
        first, count = result.causes[0], len(result.causes)
        many = f"{count} likely causes" if count > 1 else "1 likely cause"
        return f"{result.symptom}: {many}. The likeliest: {first.cause}", f"How to tell: {first.test}"
