"""When things meet: gaps, delays, what a gap does, and how it changes."""

from splashkit.timing.meeting import OUTCOMES, Meeting, meeting
from splashkit.timing.plan import Plan, gap_for_meeting

__all__ = ["OUTCOMES", "Meeting", "Plan", "gap_for_meeting", "meeting"]
