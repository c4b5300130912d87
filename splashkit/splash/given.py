"""A liquid given whole, or left out for water."""

from __future__ import annotations

from typing import Any

from splashkit import liquids
from splashkit.checks import of_kind


def liquid_or_water(liquid: Any) -> liquids.Liquid:
    """Return the liquid, or water at 20 degC for None; refuse anything else with the one sentence."""
    if liquid is None:
        return liquids.water()
    of_kind(liquid, liquids.Liquid, "liquid", "call liquids.water() or another function of splashkit.liquids")
    return liquid  # type: ignore[no-any-return]
