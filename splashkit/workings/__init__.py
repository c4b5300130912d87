"""Workings: the key relations, shown with numbers put in and solvable for any unknown.

``workings.get("quench_cut")`` gives one :class:`~splashkit.workings.base.Relation`;
``workings.names()`` lists them all. How to add one: see ``workings/base.py``.
"""

from __future__ import annotations

from functools import cache
from importlib import import_module

from splashkit.workings.base import Relation, Symbol

MODULES = ("light", "slit", "chains", "lens", "lights", "water", "bowl", "frames")  # each holds RELATIONS, a tuple


@cache
def _all() -> dict[str, Relation]:
    found: dict[str, Relation] = {}
    for module in MODULES:
        for relation in import_module(f"splashkit.workings.{module}").RELATIONS:
            if relation.name in found:
                raise RuntimeError(f"two relations are called {relation.name}")
            found[relation.name] = relation
    return found


def names() -> tuple[str, ...]:
    """List the names of all relations."""
    return tuple(_all())


def get(name: str) -> Relation:
    """Give the relation with this name."""
    if name not in _all():
        raise ValueError(
            f"The relation must be one of {', '.join(_all())}; got {name!r}. To fix it: use one of these names."
        )
    return _all()[name]


__all__ = ["Relation", "Symbol", "get", "names"]
