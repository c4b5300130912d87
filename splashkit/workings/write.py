"""Writes a formula given as Python text for people: as MathML, as LaTeX, or as plain words.

The text that is shown is the very text SymPy reads, so what the learner sees is what runs. The
same formula is written twice: with letters, and with the present numbers in their place.
MathML is drawn by the browser itself: no download, no flicker, and screen readers read it.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Callable, Mapping

from splashkit import units

GREEK = {
    "alpha": "α", "beta": "β", "gamma": "γ", "delta": "δ", "Delta": "Δ", "epsilon": "ε", "eta": "η", "theta": "θ",
    "lambda": "λ", "mu": "µ", "nu": "ν", "pi": "π", "rho": "ρ", "sigma": "σ", "tau": "τ", "phi": "φ", "omega": "ω",
}  # fmt: skip
FUNCTIONS = {"log": "ln", "Max": "max", "Min": "min", "acosh": "arcosh", "cosh": "cosh", "tanh": "tanh", "sin": "sin",
             "cos": "cos", "tan": "tan", "atan": "arctan", "asin": "arcsin", "Abs": "abs", "log2": "log2"}  # fmt: skip
SUM, PRODUCT, POWER, ATOM = 1, 2, 3, 4  # how tightly a piece holds together

Piece = tuple[str, int]
Leaf = Callable[[str], Piece]


class Words:
    """Plain text, for sentences, tests and alternative texts."""

    times, minus, plus = " × ", " − ", " + "

    @property
    def inside(self) -> Words:
        """The style inside roots and exponents."""
        return self

    def letter(self, letter: str) -> str:
        stem, _, low = letter.partition("_")
        return GREEK.get(stem, stem) + GREEK.get(low, low)

    def number(self, text: str) -> str:
        return text.replace("-", "−")

    def brackets(self, inside: str) -> str:
        return f"({inside})"

    def ratio(self, top: Piece, bottom: Piece) -> Piece:
        return f"{self.tight(top, PRODUCT)} / {self.tight(bottom, POWER)}", PRODUCT

    def power(self, base: Piece, exponent: Piece) -> Piece:
        return f"{self.tight(base, ATOM)}^{self.tight(exponent, ATOM)}", POWER

    def root(self, inside: Piece) -> Piece:
        return f"√({inside[0]})", ATOM

    def e_to(self, inside: Piece) -> Piece:
        return f"exp({inside[0]})", ATOM

    def function(self, name: str, inside: list[Piece]) -> Piece:
        return f"{name}({', '.join(text for text, _ in inside)})", ATOM

    def tight(self, piece: Piece, wanted: int) -> str:
        return piece[0] if piece[1] >= wanted else self.brackets(piece[0])

    def equals(self, left: str, right: str) -> str:
        return f"{left} = {right}"

    def about(self, left: str, right: str) -> str:
        return f"{left} = {right}"


class MathML(Words):
    """Presentation MathML (the core that browsers draw)."""

    times, minus, plus = "<mo>×</mo>", "<mo>−</mo>", "<mo>+</mo>"

    @property
    def inside(self) -> Words:
        return LevelMathML()

    def letter(self, letter: str) -> str:
        stem, _, low = letter.partition("_")
        plain = f"<mi>{GREEK.get(stem, stem)}</mi>"
        return f"<msub>{plain}<mtext>{GREEK.get(low, low)}</mtext></msub>" if low else plain

    def number(self, text: str) -> str:
        value, _, unit = text.replace("-", "−").partition(" ")
        return f"<mn>{value}</mn>" + (f"<mtext>\u00a0{unit}</mtext>" if unit else "")

    def brackets(self, inside: str) -> str:
        return f"<mrow><mo>(</mo>{inside}<mo>)</mo></mrow>"

    def ratio(self, top: Piece, bottom: Piece) -> Piece:
        return f"<mfrac><mrow>{top[0]}</mrow><mrow>{bottom[0]}</mrow></mfrac>", POWER

    def power(self, base: Piece, exponent: Piece) -> Piece:
        return f"<msup><mrow>{self.tight(base, ATOM)}</mrow><mrow>{exponent[0]}</mrow></msup>", POWER

    def root(self, inside: Piece) -> Piece:
        return f"<msqrt>{inside[0]}</msqrt>", ATOM

    def e_to(self, inside: Piece) -> Piece:
        return f"<msup><mi>e</mi><mrow>{inside[0]}</mrow></msup>", POWER

    def function(self, name: str, inside: list[Piece]) -> Piece:
        listed = "<mo>,</mo>".join(text for text, _ in inside)
        sign = "<msub><mi>log</mi><mn>2</mn></msub>" if name == "log2" else f"<mi>{name}</mi>"
        return f"{sign}<mo>&#x2061;</mo>{self.brackets(listed)}", ATOM

    def equals(self, left: str, right: str) -> str:
        return (
            f'<math xmlns="http://www.w3.org/1998/Math/MathML" displaystyle="true">'
            f"<mrow>{left}<mo>=</mo>{right}</mrow></math>"
        )


class LevelMathML(MathML):
    """Inside a root or exponent a ratio stays on one line: not every system has a font with tall root signs."""

    def ratio(self, top: Piece, bottom: Piece) -> Piece:
        return f"{self.tight(top, PRODUCT)}<mo>/</mo>{self.tight(bottom, POWER)}", PRODUCT


class LaTeX(Words):
    """LaTeX, for people who paste a formula elsewhere."""

    times, minus, plus = r" \times ", " - ", " + "

    def letter(self, letter: str) -> str:
        stem, _, low = letter.partition("_")
        plain = f"\\{stem}" if stem in GREEK else stem
        return f"{plain}_{{\\mathrm{{{low}}}}}" if low else plain

    def number(self, text: str) -> str:
        value, _, unit = text.partition(" ")
        unit = unit.replace("µ", r"\mu ").replace("%", r"\%").replace("²", "^2").replace("³", "^3")
        unit = unit.replace("°", r"{}^{\circ}")
        return value + (rf"\,\mathrm{{{unit}}}" if unit else "")

    def brackets(self, inside: str) -> str:
        return rf"\left({inside}\right)"

    def ratio(self, top: Piece, bottom: Piece) -> Piece:
        return rf"\frac{{{top[0]}}}{{{bottom[0]}}}", POWER

    def power(self, base: Piece, exponent: Piece) -> Piece:
        return f"{{{self.tight(base, ATOM)}}}^{{{exponent[0]}}}", POWER

    def root(self, inside: Piece) -> Piece:
        return rf"\sqrt{{{inside[0]}}}", ATOM

    def e_to(self, inside: Piece) -> Piece:
        return f"e^{{{inside[0]}}}", POWER

    def function(self, name: str, inside: list[Piece]) -> Piece:
        known = name in ("ln", "max", "min", "cosh", "tanh", "sin", "cos", "tan", "arctan", "arcsin")
        listed = ", ".join(text for text, _ in inside)
        return (rf"\{name}" if known else rf"\operatorname{{{name}}}") + self.brackets(listed), ATOM


STYLES: Mapping[str, Words] = {"words": Words(), "mathml": MathML(), "latex": LaTeX()}


def write(formula: str, leaf: Leaf, style: Words) -> str:
    """Write a formula; ``leaf`` says how each named quantity appears."""
    return _piece(ast.parse(formula, mode="eval").body, leaf, style)[0]


def is_sum(formula: str) -> bool:
    """Say whether a formula only adds and takes away."""
    return re.fullmatch(r"\w+(?: [+-] \w+)+", formula) is not None


def letters(letter_of: Mapping[str, str], style: Words) -> Leaf:
    """Show each quantity as its letter."""
    return lambda name: (style.letter(letter_of.get(name, name)), ATOM)


def numbers(values: Mapping[str, float], unit_of: Mapping[str, str], style: Words, digits: int = 3) -> Leaf:
    """Show each quantity as its number with its unit."""

    def leaf(name: str) -> Piece:
        if name not in values:
            return style.letter(name), ATOM
        text = units.format_quantity(values[name], unit_of[name], digits)
        # a number with a unit, or a negative one, wants brackets when raised to a power or taken away
        return style.number(text), POWER if " " in text and values[name] >= 0 else (SUM if values[name] < 0 else ATOM)

    return leaf


def _piece(node: ast.expr, leaf: Leaf, style: Words) -> Piece:
    def go(part: ast.expr) -> Piece:
        return _piece(part, leaf, style)

    match node:
        case ast.Constant(value=int() | float() as value):
            return style.number(units.format_number(float(value), 6)), ATOM
        case ast.Name(id="pi"):
            return style.letter("pi"), ATOM
        case ast.Name(id=name):
            return leaf(name)
        case ast.UnaryOp(op=ast.USub(), operand=inner):
            return style.minus.strip() + style.tight(go(inner), PRODUCT), SUM
        case ast.BinOp(left=left, op=ast.Add(), right=right):
            return go(left)[0] + style.plus + style.tight(go(right), PRODUCT), SUM
        case ast.BinOp(left=left, op=ast.Sub(), right=right):
            return go(left)[0] + style.minus + style.tight(go(right), PRODUCT), SUM
        case ast.BinOp(left=left, op=ast.Mult(), right=right):
            first = go(left)
            # a leading minus need not be bracketed
            start = first[0] if isinstance(left, ast.UnaryOp) else style.tight(first, PRODUCT)
            return start + style.times + style.tight(go(right), PRODUCT), PRODUCT
        case ast.BinOp(left=left, op=ast.Div(), right=right):
            return style.ratio(go(left), go(right))
        case ast.BinOp(left=left, op=ast.Pow(), right=right):
            return style.power(go(left), _piece(right, leaf, style.inside))
        case ast.Call(func=ast.Name(id="sqrt"), args=[inner]):
            return style.root(_piece(inner, leaf, style.inside))
        case ast.Call(func=ast.Name(id="exp"), args=[inner]):
            return style.e_to(_piece(inner, leaf, style.inside))
        case ast.Call(func=ast.Name(id=name), args=inner):
            return style.function(FUNCTIONS.get(name, name), [go(one) for one in inner])
    raise ValueError(f"The formula must be made of + - * / ** and known functions; got {ast.dump(node)[:60]}.")
