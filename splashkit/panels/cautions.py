"""A model's warnings as a learner reads them: at most two, in plain words, the gravest first.

The whole list, with its dimensionless numbers, stays in ``warnings`` of what ``splashkit.splash`` returns.
"""

from __future__ import annotations

import re
from collections.abc import Iterable

MOST = 2
_OUTSIDE = re.compile(r"^This (.+?) than in the cases behind the model \(.*?\)\..*$")
_NUMBERS = re.compile(r" \([^()]*(?:Weber|Froude|Bond|Reynolds) number[^()]*\)")
# words of a warning, the gravest first; the others follow
_GRAVE = (
    "To fix it", "too thin to make", "do not expect a column", "too shallow", "no column at all", "catch a bubble",
    "crown may close", "crown is less", "beyond the checked", "closing speed",
)  # fmt: skip


def plain(warnings: Iterable[str]) -> list[str]:
    """Word warnings plainly, the gravest first: those of leaving the checked cases become one."""
    sides, rest = [], []
    for warning in dict.fromkeys(warnings):
        found = _OUTSIDE.match(warning)
        if found:
            sides.append(f"the {found[1]}")
        else:
            rest.append(_NUMBERS.sub("", warning))
    if sides:
        listed = sides[0] if len(sides) == 1 else f"{', '.join(sides[:-1])} and {sides[-1]}"
        rest.append(f"This is beyond the checked cases ({listed}): take the numbers as a guess.")
    return sorted(rest, key=_grave)


def few(warnings: Iterable[str]) -> str:
    """Write the two gravest warnings as one run of sentences."""
    return " ".join(plain(warnings)[:MOST])


def _grave(warning: str) -> int:
    return next((place for place, words in enumerate(_GRAVE) if words in warning), len(_GRAVE))
