"""Checks of what is given whole: a liquid, a splash, one number where arrays make no sense."""

from __future__ import annotations

from typing import Any

import numpy as np

from splashkit import liquids
from splashkit.checks import Range, require


def liquid_or_water(liquid: Any) -> liquids.Liquid:
    """Return the liquid, or water at 20 degC for None; refuse anything else with the one sentence."""
    if liquid is None:
        return liquids.water()
    of_kind(liquid, liquids.Liquid, "liquid", "call liquids.water() or another function of splashkit.liquids")
    return liquid  # type: ignore[no-any-return]


def of_kind(value: Any, kind: type, quantity: str, advice: str) -> None:
    """Refuse a value that is not of the kind that a function of this library returns."""
    require(isinstance(value, kind), quantity, type(value).__name__, f"a {kind.__name__}", advice)


def one_number(value: Any, allowed: Range) -> float:
    """Check a value that must be a single number."""
    checked = allowed(value)
    require(
        np.ndim(checked) == 0,
        allowed.quantity,
        f"{np.size(checked)} numbers",
        "one number",
        "give one number; call again for another",
    )
    return float(checked)
