"""A card: what one cell of a lesson shows.

A cell that runs again shows a new card in the old one's place. ipywidgets keeps every widget that it has ever
made, and IPython every result of a cell; so a card closes the one before it and leaves an empty husk. JupyterLab
names the cell that runs; where no name is told, nothing is closed.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import ipywidgets as widgets
from IPython import get_ipython

_shown: dict[str, tuple[Card, str]] = {}  # the card that a cell shows, and the run that showed it


def running() -> tuple[str, str]:
    """Name the cell that runs, and this run of it; nothing where that is not told."""
    asked: Any = getattr(get_ipython(), "get_parent", dict)()
    return str(asked.get("metadata", {}).get("cellId", "")), str(asked.get("header", {}).get("msg_id", ""))


def close(widget: Any) -> None:
    """Close a widget and all inside it."""
    for child in getattr(widget, "children", ()):
        close(child)
    for part in (getattr(widget, "style", None), widget.layout, widget):
        if part is not None:
            part.close()


class Card(widgets.VBox):
    """A box with the course's look; see the module's words above."""

    children: Any  # ipywidgets has no types

    def __init__(self, children: Sequence[Any] = ()) -> None:
        super().__init__(children)
        self.add_class("splash-card")
        self._bare = {*vars(self), "_bare"}

    @property
    def gone(self) -> bool:
        """Tell whether the card's cell has run again, so that nobody sees this one."""
        return self.comm is None

    def _repr_mimebundle_(self, **more: Any) -> Any:
        cell, run = running()
        if cell:
            former, former_run = _shown.get(cell, (self, run))
            if former is not self and former_run != run:  # one run may show two
                former._let_go()
            _shown[cell] = self, run
        return super()._repr_mimebundle_(**more)

    def _let_go(self) -> None:
        close(self)
        for value in list(vars(self).values()):  # what is out of sight just now
            if isinstance(value, widgets.DOMWidget) and not isinstance(value, Card):
                close(value)
        self.children = ()
        for name in set(vars(self)) - self._bare:
            delattr(self, name)
