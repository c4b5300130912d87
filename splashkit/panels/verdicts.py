"""What counts as sharp, said once for every panel that shows a smear."""

from __future__ import annotations

# The smear as a share of the drop (common practice, no source)
FROZEN, SHARP, SOFT = 0.01, 0.03, 0.10


def of_smear(share: float) -> str:
    """Say in words how a drop looks whose smear covers this share of it."""
    if share <= FROZEN:
        return "Frozen: nobody will see the smear."
    if share <= SHARP:
        return "Sharp: only a close look shows the smear."
    if share <= SOFT:
        return "Soft: the edge of the drop is smeared."
    return "Streaked: the drop leaves a trail."
