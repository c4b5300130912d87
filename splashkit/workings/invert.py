"""Turning a relation round: a formula for one of its quantities, where a short one exists.

SymPy's general solver can search for minutes on roots and fractional powers. Two cases cover the
course and take milliseconds: the quantity stands in one place (peel what is around it, step by step), or
the relation is a ratio of polynomials in it of second degree at most. For the rest the caller searches
the range by number.
"""

from __future__ import annotations

from typing import Any


def solutions(expression: Any, subject: Any, unknown: str) -> list[Any]:
    """Give the formulas for the unknown; an empty list where none of the two ways leads there."""
    import sympy

    wanted = next((symbol for symbol in expression.free_symbols if symbol.name == unknown), None)
    if wanted is None or expression.has(sympy.Max, sympy.Min, sympy.Abs):
        return []
    places = sum(1 for part in sympy.preorder_traversal(expression) if part == wanted)
    if places == 1:
        peeled = _peel(expression, subject, wanted)
        return [] if peeled is None else [peeled]
    if expression.is_rational_function(wanted):
        top = sympy.numer(sympy.together(expression - subject))
        polynomial = sympy.Poly(top, wanted)
        if polynomial.degree() <= 2:
            return [sympy.simplify(root) for root in sympy.roots(polynomial)]
    return []


def _peel(left: Any, right: Any, wanted: Any) -> Any:
    import sympy

    inverse = {
        sympy.log: sympy.exp, sympy.exp: sympy.log, sympy.acosh: sympy.cosh, sympy.cosh: sympy.acosh,
        sympy.sin: sympy.asin, sympy.cos: sympy.acos, sympy.tan: sympy.atan, sympy.atan: sympy.tan,
        sympy.asin: sympy.sin, sympy.tanh: sympy.atanh,
    }  # fmt: skip
    while left != wanted:
        inner = next(part for part in left.args if part.has(wanted))
        others = [part for part in left.args if part is not inner]
        if left.is_Add:
            right = right - sympy.Add(*others)
        elif left.is_Mul:
            right = right / sympy.Mul(*others)
        elif left.is_Pow and inner is left.base:
            right = right ** (1 / left.exp)
        elif left.is_Pow:
            right = sympy.log(right) / sympy.log(left.base)
        elif left.func in inverse:
            right = inverse[left.func](right)
        else:
            return None
        left = inner
    return right
