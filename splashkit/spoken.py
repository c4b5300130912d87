"""Words that a screen reader reads out when they change.

A screen reader speaks what changes inside a place that it knows already; a place that is itself taken away
and put back is silent in some of them. An HTML widget puts its whole content back at every change. So the
place stays in a widget of its own, which is written once, and *owns* the words (``aria-owns``), which stand in
the next one. Both are plain markup: nothing has to run in the page.
"""

from __future__ import annotations

import itertools
import uuid

import ipywidgets as widgets

_PAGE = uuid.uuid4().hex[:6]  # keeps ids apart when two kernels write on one page
_COUNT = itertools.count(1)


def own_id(kind: str) -> str:
    """Give an id that no other part of the page has."""
    return f"splash-{kind}-{_PAGE}-{next(_COUNT)}"


class Spoken(widgets.VBox):
    """Markup in ``value``, like an HTML widget; each new value is read out once, after what is being said."""

    def __init__(self, value: str = "") -> None:
        self._mark = own_id("said")
        self._markup, self._words = "", widgets.HTML()
        super().__init__([widgets.HTML(f'<div role="status" aria-owns="{self._mark}"></div>'), self._words])
        self.add_class("splash-spoken")
        self.value = value

    @property
    def value(self) -> str:
        """The markup shown."""
        return self._markup

    @value.setter
    def value(self, markup: str) -> None:
        self._markup = markup
        self._words.value = f'<div id="{self._mark}">{markup}</div>'
