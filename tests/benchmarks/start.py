"""Starting: imports, a lesson's cells, memory; each in a fresh Python, against its dependencies alone."""

from __future__ import annotations

import json
from collections.abc import Iterator

from benchmarks.timed import ROOT, Growth, Row, in_new_processes

NEEDS = """
import IPython.core.interactiveshell, ipykernel.ipkernel, ipywidgets, matplotlib.figure, numpy
import matplotlib.backends.backend_svg, PIL.Image
"""
LESSON = """
from IPython.core.interactiveshell import InteractiveShell
shell = InteractiveShell.instance()
for cell in {cells!r}:
    shell.run_cell(cell).raise_error()
"""
COMMIT = "box = exercises.predict({!r}); box.choice.index = 0; _ = box.commit()"
OPEN = """
from splashkit import panels
panel = panels.flash_duration()
"""
WALK = """
slider, power = panel.controls["speed"].slider, panel.controls["power"].choice
for move in range({moves}):
    slider.value = 5 + move % 40
    power.index = move % len(power.options)
"""
CORE = "import splashkit.drops, splashkit.flash, splashkit.timing, splashkit.odds"
FIRST = "\nfrom splashkit.panels.flash import FlashDuration\nfrom splashkit.figures.flash import LightCurveFigure"


def lesson(number: str) -> str:
    """Give code that runs a lesson's cells one after the other and commits its prediction."""
    (path,) = (ROOT / "lessons").glob(f"{number}_*.ipynb")
    cells = json.loads(path.read_text(encoding="utf-8"))["cells"]
    sources = ["".join(one["source"]) for one in cells if one["cell_type"] == "code"]
    return LESSON.format(cells=[*sources, COMMIT.format(number)])


def run(quick: bool) -> Iterator[Row | Growth]:
    """Compare in fresh processes; nothing here grows."""
    numbers = ("02",) if quick else ("02", "08", "11")
    moves = 20 if quick else 400
    codes = {
        "nothing": "", "alone": "import splashkit", "numpy": "import numpy", "core": CORE, "needs": NEEDS,
        "panel": NEEDS + FIRST, "opened": NEEDS + OPEN, "walked": NEEDS + OPEN + WALK.format(moves=moves),
        **{number: NEEDS + lesson(number) for number in numbers},
    }  # fmt: skip
    if quick:
        del codes["panel"], codes["opened"]
    # the first turn writes the byte code, which belongs to installing
    found = dict(zip(codes, in_new_processes(*codes.values(), turns=2 if quick else 6), strict=True))
    start = found["nothing"][0]
    took, holds = ({name: one[at] for name, one in found.items()} for at in (0, 1))
    imports = {"alone": ("import splashkit", 1.3), "core": ("import of drops, flash, timing, odds", 4)}
    for name, (words, most) in imports.items():
        yield Row(words, took[name] - start, floor=took["numpy"] - start, floor_name="import numpy", most=most)
    below = "imports of its needs"
    steps = {"panel": ("import of the first panel", 2), "opened": ("first panel open", 3)}
    steps |= {number: (f"all cells of lesson {number}", 5) for number in numbers}
    for name, (words, most) in steps.items():
        if name in took:
            yield Row(words, took[name] - start, floor=took["needs"] - start, floor_name=below, most=most)
    if not holds["needs"]:
        return  # this system does not tell how much memory a process holds
    yield Row("memory: drops, flash, timing, odds", holds["core"], floor=holds["numpy"], floor_name="import numpy",
              unit="MB", most=1.5)  # fmt: skip
    memory = {"opened": "first panel open", "walked": f"after {2 * moves} moves"}
    memory |= {number: f"lesson {number} run" for number in numbers}
    for name, words in memory.items():
        if name not in holds:
            continue
        yield Row(f"memory: {words}", holds[name], floor=holds["needs"], floor_name=below, unit="MB", most=2)
