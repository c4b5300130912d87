"""A relation: one formula with its symbols in words, read by SymPy, shown with numbers put in.

To add a relation: put a :class:`Relation` into ``light.py`` or ``water.py`` here (or a new module named
in ``workings/__init__.py``) and list it in that module's ``RELATIONS``:

    Relation(
        name="slit_width", title="Width of the slit",
        equation="slit = frame_height * exposure_time / curtain_travel",
        symbols=(
            Symbol("slit", "a", "width of the slit on the sensor", "m", 1e-5, 0.1),
            Symbol("exposure_time", "T", "exposure time of each row", "s", 1e-4, 4e-3),
            ...
        ),
        source="...",
        same_as=lambda **q: sync.slit_width(...),   # the numeric function; tested equal over the whole range
    )

``symbols`` give: keyword, letter ("t_0.1", "tau"), words, SI unit, lowest and highest value.
``same_as`` imports its module inside; a relation without one must say why in ``alone``.
SymPy is imported on the first solving, not before: showing a formula needs no SymPy at all. It takes
half a second and 30 MB, so a form that a lesson itself shows turned round is written down in ``turned``.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any, NamedTuple

import numpy as np

from splashkit import units
from splashkit.checks import Range
from splashkit.look import escape
from splashkit.workings import evaluate, write


class Symbol(NamedTuple):
    """One quantity of a relation."""

    name: str
    letter: str
    words: str
    unit: str
    low: float
    high: float


def _always(**_: Any) -> bool:
    return True


@dataclass(frozen=True, eq=False)
class Relation:
    """One formula: shown, computed, and solved for any of its quantities."""

    name: str
    title: str
    equation: str
    symbols: tuple[Symbol, ...]
    source: str
    same_as: Callable[..., Any] | None = None
    alone: str = ""
    where: Callable[..., bool] = _always  # a rule that joins several quantities, such as z < h
    # quantity: its formula as SymPy gives it, or nothing where it has no closed form
    turned: Mapping[str, str] = field(default_factory=dict)

    @property
    def subject(self) -> str:
        """The keyword of the quantity on the left."""
        return self.equation.split("=", 1)[0].strip()

    @property
    def formula(self) -> str:
        """The right-hand side, as Python text."""
        return self.equation.split("=", 1)[1].strip()

    @cached_property
    def inputs(self) -> tuple[str, ...]:
        """The keywords on the right."""
        return tuple(symbol.name for symbol in self.symbols if symbol.name != self.subject)

    def symbol(self, name: str) -> Symbol:
        """Give the symbol with this keyword."""
        for symbol in self.symbols:
            if symbol.name == name:
                return symbol
        raise ValueError(
            f"The quantity of '{self.title}' must be one of {', '.join(s.name for s in self.symbols)}; got {name!r}. "
            "To fix it: use one of these words."
        )

    # computing

    @cached_property
    def _function(self) -> evaluate.Formula:
        return evaluate.read(self.formula)

    def value(self, **known: Any) -> Any:
        """Compute the left-hand side from all quantities on the right (numbers or arrays)."""
        self._complete(known, self.inputs)
        return self._function(known)

    def solve_for(self, unknown: str, **known: float) -> float:
        """Find any one quantity from all the others; refuses when none in its range fits."""
        target = self.symbol(unknown)
        wanted = tuple(symbol.name for symbol in self.symbols if symbol.name != unknown)
        self._complete(known, wanted)
        # a NumPy number divides by zero to infinity, which no range holds, where a plain one raises
        known = {
            name: Range(self.symbol(name).words, self.symbol(name).unit, advice="write a number")(known[name])
            for name in wanted
        }
        with np.errstate(all="ignore"):
            if unknown == self.subject:
                found = [float(self.value(**{name: known[name] for name in self.inputs}))]
                found = [value for value in found if math.isfinite(value)]
            else:
                found = [value for value in self._candidates(unknown, known) if target.low <= value <= target.high]
        if not found:
            low, high = (units.format_quantity(end, target.unit) for end in (target.low, target.high))
            raise ValueError(
                f"The {target.words} must be from {low} to {high}; got no value there that fits the other numbers. "
                f"To fix it: change one of the others ({', '.join(self.symbol(name).words for name in wanted)})."
            )
        return found[0]

    def solved(self, unknown: str) -> str | None:
        """Give the formula solved for a quantity, as Python text; None where no closed form is found."""
        if unknown == self.subject:
            return self.formula
        forms = self._forms(unknown)
        # a form too long to read is of no use: the relation as it stands says more
        return forms[0][0] if len(forms) == 1 and len(forms[0][0]) < 120 else None

    def _forms(self, unknown: str) -> list[tuple[str, evaluate.Formula]]:
        cache = self.__dict__.setdefault("_solved", {})
        if unknown not in cache:
            written = self.turned.get(unknown)
            texts = self._solve(unknown) if written is None else [written] if written else []
            cache[unknown] = [(text, evaluate.read(text)) for text in texts]
        return list(cache[unknown])

    def _solve(self, unknown: str) -> list[str]:
        import sympy

        from splashkit.workings.invert import solutions

        subject = sympy.Symbol(self.subject, positive=self.symbol(self.subject).low >= 0)
        answers = solutions(self.expression(), subject, unknown)
        return [str(sympy.sstr(answer)) for answer in answers]

    def expression(self) -> Any:
        """Give the right-hand side as a SymPy expression."""
        import sympy

        names = {symbol.name: sympy.Symbol(symbol.name, positive=symbol.low >= 0) for symbol in self.symbols}
        known = {name: getattr(sympy, name) for name in evaluate.NUMPY if name != "log2"}
        known["log2"] = lambda x: sympy.log(x) / sympy.log(2)
        return evaluate.read(self.formula, known, sympy.sympify)(names)

    def _candidates(self, unknown: str, known: dict[str, float]) -> list[float]:
        forms = self._forms(unknown)
        if forms:  # a formula; otherwise a search over the range
            found = [function(known) for _, function in forms]
            real = [float(value) for value in found if np.isreal(value) and np.isfinite(value)]
            # squaring while solving can bring in answers that do not fit the relation itself
            return [value for value in real if self._fits(unknown, value, known)]
        return self._bisect(unknown, known)

    def _fits(self, unknown: str, value: float, known: dict[str, float]) -> bool:
        numbers = {**{name: known[name] for name in self.inputs if name != unknown}, unknown: value}
        return math.isclose(float(self.value(**numbers)), known[self.subject], rel_tol=1e-6, abs_tol=1e-12)

    def _bisect(self, unknown: str, known: dict[str, float]) -> list[float]:
        target = self.symbol(unknown)
        goal = known[self.subject]
        rest = {name: known[name] for name in self.inputs if name != unknown}

        def miss(x: Any) -> Any:
            return self.value(**{**rest, unknown: x}) - goal

        wide = target.low > 0 and target.high / target.low > 50
        steps = (np.geomspace if wide else np.linspace)(target.low, target.high, 801)
        values = np.broadcast_to(miss(steps), steps.shape)
        change = np.nonzero(np.sign(values[:-1]) * np.sign(values[1:]) <= 0)[0]
        if not len(change):
            return []
        low, high = float(steps[change[0]]), float(steps[change[0] + 1])
        for _ in range(80):
            middle = (low + high) / 2
            if np.sign(miss(low)) * np.sign(miss(middle)) <= 0:
                high = middle
            else:
                low = middle
        return [(low + high) / 2]

    def difference(self, count: int = 200, seed: int = 0) -> float:
        """Give the largest relative difference from the numeric function over the whole range."""
        if self.same_as is None:
            raise ValueError(f"'{self.title}' stands alone: {self.alone}.")
        random = np.random.default_rng(seed)
        worst, done = 0.0, 0
        while done < count:
            numbers = {name: self._draw(random, self.symbol(name)) for name in self.inputs}
            if not self.where(**numbers):
                continue
            done += 1
            ours, theirs = float(self.value(**numbers)), float(self.same_as(**numbers))
            worst = max(worst, abs(ours - theirs) / max(abs(ours), abs(theirs), 1e-30) if ours != theirs else 0.0)
        return worst

    def _draw(self, random: Any, symbol: Symbol) -> float:
        if symbol.low > 0 and symbol.high / symbol.low > 50:
            return float(math.exp(random.uniform(math.log(symbol.low), math.log(symbol.high))))
        return float(random.uniform(symbol.low, symbol.high))

    # showing

    def show(self, style: str = "latex", unknown: str = "", digits: int = 3, **numbers: float) -> list[str]:
        """Write the steps: the formula, the same with numbers put in, and the result with its unit.

        ``style`` is ``'latex'``, ``'mathml'`` or ``'words'``. With ``unknown`` the formula is solved for
        that quantity first (where a closed form exists). Numbers are written with so many ``digits``.
        """
        hand = write.STYLES[style]
        target = unknown or self.subject
        text = self.solved(target) if target != self.subject else self.formula
        result = self.solve_for(target, **{name: value for name, value in numbers.items() if name != target})
        letter_of = {symbol.name: symbol.letter for symbol in self.symbols}
        unit_of = {symbol.name: symbol.unit for symbol in self.symbols}
        left = hand.letter(letter_of[target])
        if text is not None and write.is_sum(text):  # the reader adds up: what stands there must give the result
            sizes = [abs(value) for value in numbers.values() if value]
            step = 10.0 ** (math.floor(math.log10(max(sizes, default=1.0))) - 3)
            if sizes and min(sizes) < step / 2:  # a small part that is there must not stand as nothing
                step /= 10
            if abs(result) > 10 * step:
                numbers = {name: step * round(value / step) for name, value in numbers.items()}
                result, digits = step * round(result / step), 6
        end = hand.equals(left, hand.number(units.format_quantity(result, unit_of[target], digits)))
        if text is None:  # no closed form: show the relation as it stands, then the number found
            name = hand.letter(letter_of[self.subject])
            return [hand.equals(name, write.write(self.formula, write.letters(letter_of, hand), hand)), end]
        first = hand.equals(left, write.write(text, write.letters(letter_of, hand), hand))
        second = hand.equals(left, write.write(text, write.numbers(numbers, unit_of, hand, digits), hand))
        return [first, second, end]

    def html(self, unknown: str = "", digits: int = 3, **numbers: float) -> str:
        """Give the steps and the words for each letter as markup for a page."""
        steps = self.show("mathml", unknown, digits, **numbers)
        plain = self.show("words", unknown, digits, **numbers)
        rows = "".join(f'<div class="splash-step-row">{step}</div>' for step in steps)
        hand = write.STYLES["mathml"]
        words = "".join(
            f'<li><math xmlns="http://www.w3.org/1998/Math/MathML">{hand.letter(symbol.letter)}</math> '
            f"is the {escape(symbol.words)}</li>"
            for symbol in self.symbols
        )
        return (
            f'<div class="splash-working" data-plain="{escape(plain[-1])}"><strong>{escape(self.title)}</strong>'
            f"{rows}<ul>{words}</ul></div>"
        )

    def _complete(self, known: dict[str, Any], wanted: tuple[str, ...]) -> None:
        for name in known:
            self.symbol(name)
        missing = [self.symbol(name).words for name in wanted if name not in known]
        if missing:
            raise ValueError(
                f"The numbers for '{self.title}' must be complete; got no {', '.join(missing)}. "
                "To fix it: give each of them in SI."
            )
