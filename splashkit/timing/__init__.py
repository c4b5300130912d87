"""When things meet: gaps, delays, what a gap does, and how it changes."""

from splashkit.timing.edges import OutcomeEdges, outcome_edges
from splashkit.timing.meeting import OUTCOMES, Meeting, meeting
from splashkit.timing.plan import Plan, gap_for_meeting
from splashkit.timing.sensitivity import Sensitivity, sensitivities
from splashkit.timing.views import (
    Diagram,
    OutcomeMap,
    Window,
    height_time_diagram,
    outcome_map,
    sheet_window,
)

__all__ = [
    "OUTCOMES",
    "Diagram",
    "Meeting",
    "OutcomeEdges",
    "OutcomeMap",
    "Plan",
    "Sensitivity",
    "Window",
    "gap_for_meeting",
    "height_time_diagram",
    "meeting",
    "outcome_edges",
    "outcome_map",
    "sensitivities",
    "sheet_window",
]
