"""Every number of ours that is checked against a number from outside, as data.

One :class:`Check` compares one quantity of ours with one column of one source. A source is a table in
``tests/published`` or a library that is asked on the spot. ``tests/test_published.py`` runs them all and
``tests/tools/checks_table.py`` writes the table in ``lessons/models_and_limits.md``. To add a check, add a
line to ``light.py``, ``choice.py``, ``water.py`` or ``rig.py`` here.

``ours`` is given a row and returns our value in the table's own unit, or an ``Estimate`` where the rule is
``inside``. A tolerance is one of

``printed(6)``            equal to what is printed: half a unit in the sixth digit
``within(0.02, why)``     relative, with the reason for its size
``near(0.05, why)``       absolute, in the table's unit
``inside(why)``           the outside value lies in our own stated band
"""

import math
import warnings
from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from typing import Any, NamedTuple

import tables

PUBLISHED = "published"
MEMORY = "published, from memory"
LIBRARY = "library"
APART = "worked out apart"  # the same theory, computed independently and kept as a table
OWN_RUNS = "own simulation"
KINDS = (PUBLISHED, MEMORY, LIBRARY, APART, OWN_RUNS)


class Row(dict):
    """A row of a table: numbers are read as numbers, fractions too; ``row.get`` gives the text."""

    def __getitem__(self, name):
        value = super().__getitem__(name)
        if not isinstance(value, str):
            return value
        try:
            return tables.number(value)
        except ValueError:
            return value


class Rule(NamedTuple):
    """How far apart two numbers may be, and why."""

    kind: str
    size: float
    why: str


def printed(digits=6, why="the same theory"):
    return Rule("printed", digits, why)


def within(relative, why):
    return Rule("within", relative, why)


def near(absolute, why):
    return Rule("near", absolute, why)


def inside(why):
    return Rule("inside", math.nan, why)


class Point(NamedTuple):
    """One number of ours beside one from outside, in one unit."""

    quantity: str
    source: str
    case: str
    ours: float
    theirs: float
    tolerance: float

    @property
    def difference(self):
        return 0.0 if self.ours == self.theirs else abs(self.ours - self.theirs)  # two infinities are equal

    @property
    def holds(self):
        return self.difference <= self.tolerance


@dataclass(frozen=True)
class Check:
    """One quantity of one room beside one column of one source."""

    room: str
    quantity: str
    unit: str
    ours: Callable[[Row], Any]
    theirs: str | Callable[[Row], float]
    rule: Rule
    kind: str
    source: str
    table: str | tuple[dict, ...]  # a file of tests/published, or cases a library is asked for
    where: Callable[[Row], bool] = lambda row: True

    @property
    def name(self):
        column = self.theirs if isinstance(self.theirs, str) else self.kind
        return f"{self.room}: {self.quantity}, {self.table if isinstance(self.table, str) else 'computed'}, {column}"

    def rows(self):
        found = tables.read(self.table) if isinstance(self.table, str) else self.table
        column = self.theirs if isinstance(self.theirs, str) else None
        return [row for row in map(Row, found) if self.where(row) and (column is None or row.get(column) != "")]

    @cached_property
    def points(self):
        return [self._point(row) for row in self.rows()]

    def _point(self, row):
        theirs = float(row[self.theirs] if isinstance(self.theirs, str) else self.theirs(row))
        ours = self.ours(row)
        if self.rule.kind == "inside":
            allowed = float(ours.high - ours.value if theirs > ours.value else ours.value - ours.low)
            ours = ours.value
        elif self.rule.kind == "within":
            allowed = self.rule.size * abs(theirs)
        elif self.rule.kind == "near":
            allowed = self.rule.size
        elif theirs == 0:
            allowed = 1e-12
        else:
            unit = 10.0 ** (math.floor(math.log10(abs(theirs))) - self.rule.size + 1)
            allowed = 0.5 * unit * (1 + 1e-6)
        case = ", ".join(f"{name} {row.get(name)}" for name in list(row)[:3])
        return Point(self.quantity, self.source, case, float(ours), theirs, allowed)


def source(room, kind, table, words):
    """Make a shorthand for the checks of one source."""

    def check(quantity, unit, theirs, ours, rule=None, **more):
        given = {"room": room, "kind": kind, "source": words, **more}
        return Check(
            quantity=quantity, unit=unit, theirs=theirs, ours=ours, rule=rule or printed(), table=table, **given
        )

    return check


def all_checks():
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        from outside import choice, light, rig, water

    return [*light.CHECKS, *choice.CHECKS, *water.CHECKS, *rig.CHECKS]
