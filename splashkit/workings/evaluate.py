"""Reads a formula once and turns it into a plain function of its named quantities.

Only numbers, names, ``+ - * / **`` and the functions listed by the caller are known; anything else in the
text is refused, so no text is ever run as a program. The same reading serves NumPy and SymPy.
"""

from __future__ import annotations

import ast
import math
import operator
from collections.abc import Callable, Mapping
from functools import reduce
from typing import Any

import numpy as np

Values = Mapping[str, Any]
Formula = Callable[[Values], Any]


def _largest(*values: Any) -> Any:
    return reduce(np.maximum, values)


def _smallest(*values: Any) -> Any:
    return reduce(np.minimum, values)


NUMPY: Mapping[str, Any] = {
    "sqrt": np.sqrt, "log": np.log, "log2": np.log2, "exp": np.exp, "acosh": np.arccosh, "cosh": np.cosh,
    "atanh": np.arctanh, "tanh": np.tanh, "sin": np.sin, "cos": np.cos, "tan": np.tan, "atan": np.arctan,
    "asin": np.arcsin, "acos": np.arccos, "Abs": np.abs, "Max": _largest, "Min": _smallest, "pi": math.pi, "E": math.e,
}  # fmt: skip

_OPERATORS: Mapping[type, Callable[[Any, Any], Any]] = {
    ast.Add: operator.add, ast.Sub: operator.sub, ast.Mult: operator.mul, ast.Div: operator.truediv,
    ast.Pow: operator.pow,
}  # fmt: skip


def read(text: str, known: Mapping[str, Any] = NUMPY, number: Callable[[Any], Any] = float) -> Formula:
    """Read a formula; ``known`` holds functions and constants, ``number`` makes the numbers written in it."""
    return _part(ast.parse(text, mode="eval").body, known, number)


def _part(node: ast.expr, known: Mapping[str, Any], number: Callable[[Any], Any]) -> Formula:
    match node:
        case ast.Constant(value=int() | float() as written) if not isinstance(written, bool):
            constant = number(written)
            return lambda values: constant
        case ast.Name(id=name):
            return lambda values: values[name] if name in values else known[name]
        case ast.UnaryOp(op=ast.USub(), operand=inner):
            negated = _part(inner, known, number)
            return lambda values: -negated(values)
        case ast.BinOp(left=left, op=sign, right=right) if type(sign) in _OPERATORS:
            do, first, second = _OPERATORS[type(sign)], _part(left, known, number), _part(right, known, number)
            return lambda values: do(first(values), second(values))
        case ast.Call(func=ast.Name(id=name), args=inner, keywords=[]) if callable(known.get(name)):
            function, parts = known[name], [_part(one, known, number) for one in inner]
            return lambda values: function(*(part(values) for part in parts))
    raise ValueError(
        f"The formula must be made of numbers, names, + - * / ** and known functions; got {ast.unparse(node)[:60]!r}. "
        "To fix it: write it with these."
    )
