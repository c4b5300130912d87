"""Panel: controls, one plain physics call, figure, and a sentence with the result in words.

To add a panel: make ``splashkit/panels/<idea>.py`` with a subclass of :class:`Panel`, and name it in
``splashkit/panels/__init__.py``. Write these parts:

``title``, ``lead``      heading, and one line on what to try (plain text)
``make_controls(rig)``   a list of controls; start values from the rig by ``self.start("name", default)``
``presets``              ``{"Button text": {"control": value in SI}}``; one press is one draw. Instead of the
                         values, a function that finds them; its ``ValueError`` is shown as the sentence
``compute(state)``       the physics: ``state.<control name>`` in SI; returns one object. Let ``ValueError`` pass
``make_figures()``       a list of :class:`~splashkit.figures.base.TwoLayerFigure`; each gets what compute returned
``photos(state, r)``     optional: a list of markup from ``figures.base.photo_html`` shown beside the figures
``say(state, r)``        the sentence: a string, or a pair (numbers, verdict); the verdict is set in bold
``alt(state, r)``        optional: words for the figures; the sentence if not written
``legend_words``         pairs (what you see, what it means)
``relations(state, r)``  optional: pairs (relation, numbers in SI) for the live working

What the base does: reads the controls, skips when nothing changed, draws, catches. A ``ValueError``
shows as its sentence, and the old figure goes pale with a note. Any other exception shows one line
that the mistake is ours. In tests: ``panel.set(gap=0.07)``, then ``panel.sentence`` and ``panel.result``.

A lesson's cells run in any order, each by itself: ``panels.flash_duration.legend()`` needs no panel, and
``panels.flash_duration.formulas()`` takes the one shown last, or says which cell to run first.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from types import SimpleNamespace
from typing import Any

import ipywidgets as widgets

from splashkit.card import Card, close
from splashkit.look import CSS, escape, together
from splashkit.panels.controls import Control
from splashkit.spoken import Spoken

Preset = Mapping[str, Any] | Callable[[], Mapping[str, Any]]
MISTAKE = (
    "This is our mistake, not yours: the panel stopped with {}. Change a setting or press Reset, and please report it."
)
STALE = "The picture above still shows the last settings that made sense."
RUN_FIRST = "This cell takes its numbers from the panel “{}”. Run that panel's cell first, then this one again."
OPENED = "The panel is open: go on to its settings"
WAITING = "This fills in when the panel “{}” is open."
_shown: dict[type, Any] = {}  # the panel of each kind that a lesson shows last


def find_rig(rig: Any = None) -> Any:
    """Give the rig asked for, else the learner's saved rig, else the demo rig (whatever is wrong with the file)."""
    if rig is not None:
        return rig
    from splashkit import rig as rigs

    found, _ = rigs.load_or_demo()
    return found.filled()


def rig_trouble() -> str:
    """Say what is wrong with the learner's rig file and what is used instead; nothing if it is sound or not there."""
    from splashkit import rig as rigs

    try:
        rigs.load()
    except ValueError:
        return rigs.load_or_demo()[1]
    return ""


class Panel(Card):
    """Base of every panel; see the module's words above."""

    title = ""
    lead = ""
    presets: Mapping[str, Preset] = {}
    legend_words: Sequence[tuple[str, str]] = ()
    photos_room = "300px"  # the least width beside the figures that photographs are put into

    def __init_subclass__(cls, **more: Any) -> None:
        super().__init_subclass__(**more)
        # ipywidgets has many inner names; one hidden by accident breaks the widget far from here
        taken = sorted(name for name in vars(cls) if hasattr(Card, name) and not name.startswith("__"))
        if taken:
            raise TypeError(f"{cls.__name__} must not redefine {', '.join(taken)}: ipywidgets uses that name")

    def __init__(self, rig: Any = None, after: Any = None, **start: Any) -> None:
        super().__init__()
        self.rig, self._file_trouble = find_rig(rig), "" if rig is not None else rig_trouble()
        self.sentence = ""
        self.result: Any = None
        self.state: SimpleNamespace | None = None
        self.draws = 0
        self._hold = 0
        self._drawn: tuple[Any, ...] | None = None
        self._watchers: list[Callable[[], None]] = []
        self._figures: list[Any] = []
        self.controls: dict[str, Control] = {}
        if after is None or getattr(after, "committed", True):
            self._open(start)
        else:
            self._cover(after, start)

    # what a subclass writes

    def make_controls(self, rig: Any) -> list[Control]:
        """Make the controls."""
        raise NotImplementedError

    def compute(self, state: Any) -> Any:
        """Do the physics."""
        raise NotImplementedError

    def make_figures(self) -> list[Any]:
        """Make the figures, once."""
        return []

    def photos(self, state: Any, result: Any) -> list[str]:
        """Give recorded frames as markup."""
        return []

    def say(self, state: Any, result: Any) -> str | tuple[str, str]:
        """Say the result in words, with its numbers and a verdict."""
        raise NotImplementedError

    def alt(self, state: Any, result: Any) -> str:
        """Say what the figures show."""
        return self.sentence

    def relations(self, state: Any, result: Any) -> list[tuple[Any, dict[str, float]]]:
        """Name the relations behind the result, with the numbers to put in."""
        return []

    # what a lesson and a test use

    def set(self, **values: Any) -> None:
        """Set controls by name, in SI; one draw for all."""
        unknown = sorted(set(values) - set(self.controls))
        if unknown:
            raise ValueError(
                f"The setting of a panel must be one of {', '.join(self.controls)}; got {', '.join(unknown)}. "
                "To fix it: use one of these names."
            )
        with self.one_draw():
            for name, value in values.items():
                self.controls[name].set(value)

    def reset(self) -> None:
        """Go back to the settings the panel opened with; one draw."""
        self.set(**self._start)

    def working(self) -> widgets.Widget:
        """Give the formula behind the result with the panel's present numbers put in; it follows the panel."""
        from splashkit.panels.working import Working

        view = Working(waiting=self.waiting())
        self._watch(lambda: view.update(self.relations(self.state, self.result)))
        return view

    def waiting(self) -> str:
        """Give the words that stand beside a panel as long as it is covered."""
        return f'<p role="status">{escape(WAITING.format(self.title))}</p>' if self.covered else ""

    @classmethod
    def formulas(cls) -> widgets.Widget:
        """Give the working of the panel of this kind that the lesson shows, or say which cell to run first."""
        return cls.of_shown(lambda panel: panel.working())

    @classmethod
    def of_shown(cls, make: Callable[[Any], widgets.Widget]) -> widgets.Widget:
        """Make what goes with the panel of this kind shown last; without one, a sentence that says so."""
        if cls in _shown:
            return make(_shown[cls])
        words = f'{CSS}<p role="status">{escape(RUN_FIRST.format(cls.title))}</p>'
        return Card([widgets.HTML(words)])

    @classmethod
    def legend(cls) -> widgets.Widget:
        """Give the legend in words: each thing seen, and what it means."""
        rows = "".join(f"<dt>{escape(seen)}</dt><dd>{escape(means)}</dd>" for seen, means in cls.legend_words)
        return Card([widgets.HTML(f"{CSS}<dl>{rows}</dl>")])

    def static_html(self) -> str:
        """Give title, figures and sentence as they stand, for people with no kernel: export, print, reopened files."""
        if self.covered:
            copy = type(self)(rig=self.rig, **(self._waiting or {}))
            try:
                return copy.static_html()
            finally:
                close(copy)  # ipywidgets keeps every open widget, and this one is never shown
        views = "".join(view.value for view in self._view) + self._photos.value
        return (
            f'{CSS}<div class="splash-card"><div class="splash-title">{escape(self.title)}</div>'
            f'<div class="splash-static">{views}</div>{self._words.value}</div>'
        )

    def _repr_mimebundle_(self, **more: Any) -> dict[str, Any]:
        before = _shown.get(type(self), self)
        if before is not self:
            # an old panel is left behind: ipywidgets and IPython keep it, with 2 MB of figures;
            # it makes new ones should it still be in sight and be moved
            before._figures = []
        _shown[type(self)] = self
        # the picture and sentence travel with the saved notebook, for a reader without a kernel
        bundle: dict[str, Any] = super()._repr_mimebundle_(**more)
        bundle["text/plain"] = self.sentence or self.title
        bundle["text/html"] = self.static_html()
        return bundle

    def _let_go(self) -> None:
        for control in self.controls.values():  # some are out of sight
            close(control.widget)
        super()._let_go()

    def start(self, name: str, default: Any) -> Any:
        """Give the rig's number of this name, or the default where the rig has none."""
        value = getattr(self.rig, name, None)
        return default if value is None else value

    @contextmanager
    def one_draw(self) -> Iterator[None]:
        """Hold drawing until the end of the block."""
        self._hold += 1
        try:
            yield
        finally:
            self._hold -= 1
            self.refresh()

    # the machine

    def _cover(self, after: Any, start: dict[str, Any]) -> None:
        words = widgets.HTML(
            f'{CSS}<div class="splash-title" role="heading" aria-level="3">{escape(self.title)}</div>'
            '<div class="splash-cover">This panel opens when you have made your prediction above. '
            "If you see no question there, run its cell first.</div>"
        )
        button = widgets.Button(description="Show without predicting")
        actions = widgets.HBox([button]).add_class("splash-actions")
        self._covering = words, actions
        button.on_click(lambda _: self.uncover())
        after.on_commit(self.uncover)
        self._waiting: dict[str, Any] | None = start
        self.children = [words, actions]

    @property
    def covered(self) -> bool:
        """Tell whether the panel still waits for the prediction."""
        return not self.controls

    def uncover(self) -> None:
        """Open the panel, once."""
        if self.gone or not self.covered:
            return
        head, actions = self._covering
        with self.hold_sync():
            self._open(self._waiting or {})
            # the pressed button keeps its place, and so the keyboard's focus; style takes it away when it is left
            new, *others = self.children
            head.value, actions.children[0].description = new.value, OPENED
            actions.add_class("splash-done")
            self.children = [head, actions, *others]
        close(new)

    def _open(self, start: dict[str, Any]) -> None:
        made = self.make_controls(self.rig)
        self.controls = {control.name: control for control in made}
        self._start = {control.name: control.asked() for control in made}
        self._figures = self.make_figures()
        for control in made:
            control.on_change(self.refresh)
        room = {"width": "auto", "min_width": "0", "margin": "0"}  # side by side where there is room
        flexes = [f"0 1 {figure.size[0] * 72:g}pt" for figure in self._figures]
        self._view = [widgets.HTML(layout={"flex": flex, **room}) for flex in flexes]
        self._photos = widgets.HTML(layout={"flex": f"1 1 {self.photos_room}", **room})
        self._words = Spoken()
        head = widgets.HTML(
            f'{CSS}<div class="splash-title" role="heading" aria-level="3">{escape(self.title)}</div>'
            + "".join(
                f'<p class="splash-lead">{escape(words)}</p>' for words in (self.lead, self._file_trouble) if words
            )
        )
        controls = widgets.Box([control.widget for control in made]).add_class("splash-controls")
        buttons = [self._button(words, values) for words, values in self.presets.items()]
        buttons.append(self._button("Reset", None))
        row = widgets.HBox(buttons).add_class("splash-row")
        self._picture = widgets.HBox(self._view).add_class("splash-view")
        self._stale_note = widgets.HTML()
        self.children = [head, controls, row, self._picture, self._stale_note, self._words]
        if start:
            self.set(**start)
        else:
            self.refresh()

    def press(self, preset: Preset) -> None:
        """Set what a preset holds or finds; one draw. If it finds nothing, say why."""
        try:
            found = preset() if callable(preset) else preset
        except ValueError as refusal:
            self._refuse(str(refusal), "splash-refused")
        else:
            self.set(**found)

    def _button(self, words: str, values: Preset | None) -> widgets.Button:
        button = widgets.Button(description=words, tooltip="Back to the start settings" if values is None else words)
        button.on_click(lambda _: self.reset() if values is None else self.press(values))
        return button

    def _watch(self, watcher: Callable[[], None]) -> None:
        self._watchers.append(watcher)
        if self.result is not None:
            watcher()

    def refresh(self) -> None:
        """Read, compute, draw and say; nothing if nothing changed."""
        if self._hold or not self.controls:
            return
        try:
            state = SimpleNamespace(**{name: control.read() for name, control in self.controls.items()})
            key = tuple(vars(state).values())
            if key == self._drawn:
                return
            self._drawn = key
            result = self.compute(state)
            words = self.say(state, result)
            numbers, verdict = words if isinstance(words, tuple) else (words, "")
            self.sentence = f"{numbers} {verdict}".strip()
            alt = self.alt(state, result)
            self._figures = self._figures or self.make_figures()
            drawn = [figure.html(result, alt) for figure in self._figures]
            photos = "".join(self.photos(state, result))
        except ValueError as refusal:
            self._refuse(str(refusal), "splash-refused")
            return
        except Exception as mistake:
            self._refuse(MISTAKE.format(type(mistake).__name__), "splash-mistake")
            return
        self.state, self.result = state, result
        self.draws += 1
        for view, markup in zip(self._view, drawn, strict=True):
            view.value = markup
        self._photos.value = f'<div class="splash-photos">{photos}</div>' if photos else ""
        wanted = (*self._view, self._photos) if photos else tuple(self._view)
        if self._picture.children != wanted:
            self._picture.children = wanted
        self._pale(False)
        strong = f" <strong>{together(escape(verdict))}</strong>" if verdict else ""
        self._words.value = f'<div class="splash-sentence">{together(escape(numbers))}{strong}</div>'
        for watcher in self._watchers:
            watcher()

    def _refuse(self, sentence: str, look: str) -> None:
        self._drawn = None
        self.sentence = sentence
        self._pale(self.result is not None)
        self._words.value = (
            f'<div class="splash-sentence {look}"><strong>Not possible.</strong> {together(escape(sentence))}</div>'
        )

    def _pale(self, pale: bool) -> None:
        if pale:
            self._picture.add_class("splash-stale")
        else:
            self._picture.remove_class("splash-stale")
        self._stale_note.value = f'<div class="splash-stale-note">{STALE}</div>' if pale else ""
