"""The run sheet: one page for one shoot, from a rig, wishes and the models. Plain data; ``figures.runsheet`` draws it.

``sheet(rig, wishes)`` gives the content. ``BOX`` in a line is a blank to fill in by hand; ``*words*`` are bold.
"""

from splashkit.runsheet.content import BOX, Grid, Part, Sheet, sheet
from splashkit.runsheet.numbers import Light, Numbers, Sketch, numbers
from splashkit.runsheet.wishes import PAPERS, Wishes, large_demo, small_demo

__all__ = [
    "BOX",
    "PAPERS",
    "Grid",
    "Light",
    "Numbers",
    "Part",
    "Sheet",
    "Sketch",
    "Wishes",
    "large_demo",
    "numbers",
    "sheet",
    "small_demo",
]
