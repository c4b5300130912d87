"""The live working: a relation with a panel's present numbers put in, rewritten as they change."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import ipywidgets as widgets

from splashkit import workings
from splashkit.card import Card
from splashkit.look import CSS


class Working(Card):
    """Shows one or more relations with numbers; ``update`` takes pairs (relation or its name, numbers in SI)."""

    def __init__(self, pairs: Iterable[tuple[Any, dict[str, float]]] = (), waiting: str = "") -> None:
        self._words = widgets.HTML()
        super().__init__([widgets.HTML(CSS), self._words])
        self.update(pairs)
        self._words.value = self._words.value or waiting

    def update(self, pairs: Iterable[tuple[Any, dict[str, float]]]) -> None:
        """Write the relations again with new numbers."""
        made = []
        for relation, numbers in pairs:
            one = workings.get(relation) if isinstance(relation, str) else relation
            made.append(one.html("", 3, **numbers))
        self._words.value = "".join(made)

    @property
    def text(self) -> str:
        """The markup, for tests."""
        return str(self._words.value)
