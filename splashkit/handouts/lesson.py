"""One lesson, run once and turned into the body of a page."""

from __future__ import annotations

import json
import os
import re
import tempfile
from pathlib import Path
from typing import Any

import nbformat
from nbclient import NotebookClient

from splashkit import course
from splashkit.exercises import base, question_sheet
from splashkit.handouts import page, widgets
from splashkit.look import escape

CELL_LIMIT = 300  # [s] for one cell: a slow machine, not a target
# a panel that waits for a prediction opens; on paper the learner commits with a pencil
OPEN = "from splashkit import exercises\nexercises.predict({number!r}).committed = True"
NOTE = "*This is the paper form of the lesson. Its panels stand at their start settings.*"
HIDDEN = "splashkit-hidden"


def run(notebook: Any, folder: Path, seed: int) -> dict[str, Any]:
    """Run a notebook as a learner without a rig would, and give the state of its widgets."""
    with tempfile.TemporaryDirectory() as home:
        # the kernel keeps its seed with the progress; a version of its own, so that nobody's is read or touched
        progress = {"version": 1, "seed": seed, "lessons": {}}
        Path(home, "progress.json").write_text(json.dumps(progress), encoding="utf-8")
        given = dict(os.environ, SPLASHKIT_HOME=home)
        if course.in_checkout():
            given["PYTHONPATH"] = os.pathsep.join(filter(None, [str(course.PACKAGE.parent), given.get("PYTHONPATH")]))
        client = NotebookClient(
            notebook, timeout=CELL_LIMIT, kernel_name="python3", extra_arguments=["--log-level=40"],
            resources={"metadata": {"path": str(folder)}},
        )  # fmt: skip
        client.execute(env=given)
    held = notebook.metadata.get("widgets", {}).get("application/vnd.jupyter.widget-state+json", {})
    return dict(held.get("state", {}))


def opened(notebook: Any, number: str) -> Any:
    """Put a cell in front that opens the panels waiting for the lesson's prediction."""
    if base.has_questions(number):
        cell = nbformat.v4.new_code_cell(OPEN.format(number=number), metadata={"tags": [HIDDEN]})
        notebook.cells.insert(1, cell)
    return notebook


def page_body(source: Path, seed: int = 1) -> tuple[str, str]:
    """Give heading and body of one lesson's page."""
    number, pieces, solutions = source.name[:2], [], []
    notebook = opened(nbformat.read(source, as_version=4), number)
    state = run(notebook, source.parent, seed)
    for cell in notebook.cells:
        tags = cell.metadata.get("tags", [])
        if HIDDEN in tags:
            continue
        if cell.cell_type == "markdown":
            # how to run the cells is of no use on paper
            text = re.sub(r"^.*\*\*Run > Run All Cells\*\*.*$", NOTE, cell.source, flags=re.M)
            pieces.append(page.markdown(text))
            continue
        if "visible" in tags:
            pieces.append(f"<pre>{escape(cell.source)}</pre>")
        for output in cell.outputs:
            markup, worked = widgets.output(output, state)
            pieces.append(markup)
            solutions += worked
    pieces.append(_end(number, seed, solutions))
    heading = re.search(r"^# +(.+)$", notebook.cells[0].source, re.M)
    return (heading[1] if heading else source.stem), "\n".join(pieces)


def _end(number: str, seed: int, solutions: list[str]) -> str:
    """Give what a learner turns to last: what the prediction was worth, answers and worked solutions."""
    if not base.has_questions(number):
        return ""
    right = next((text, why) for text, right, why in base.lesson(number).PREDICTION.options if right)
    parts = [
        '<h2 class="new">Answers</h2><p class="screen">They are folded, so that you guess first.</p>'
        f"<details><summary>What happens: the prediction</summary><p><strong>{escape(right[0])}</strong> "
        f"{escape(right[1])}</p></details>"
    ]
    items = question_sheet(seed, [number]).items
    for (_, which, _, _, answer), worked in zip(items, solutions, strict=True):
        parts.append(
            f"<details><summary>Question {which}</summary><p><strong>Answer: {escape(answer)}</strong></p>"
            f'<div class="splash-card">{worked}</div></details>'
        )
    return "".join(parts)


def timeline_body() -> tuple[str, str]:
    """Give heading and body of the page with the whole chain on one axis."""
    from splashkit import panels, rig

    made = panels.timeline(rig=rig.demo())
    legend = "".join(f"<dt>{escape(seen)}</dt><dd>{escape(means)}</dd>" for seen, means in made.legend_words)
    heading = "The timeline: from the valve's click to the picture"
    return heading, (
        f"<h1>{escape(heading)}</h1><p>The numbers are those of an invented rig. Write your own beside them.</p>"
        f"{widgets.bare(made.static_html())}<h2>What the lines mean</h2><dl>{legend}</dl>"
        f'<h2 class="turn">Your own rig</h2><p>A square is 20 ms, so the whole width is half a second. Draw the '
        "bars of your rig: where does each begin, and where does it end? A number that nobody has measured stays a "
        f"question mark.</p>{_empty_timeline()}"
    )


def _empty_timeline() -> str:
    """Give the rows of the timeline with nothing in them: space to draw."""
    from splashkit.figures.timeline import ROWS

    squares = "<td></td>" * 25
    names = ("Milliseconds", *(words.format(open="open", flash="its light") for _, words in ROWS))
    rows = "".join(f'<tr><th scope="row">{escape(words)}</th>{squares}</tr>' for words in names)
    return f'<table class="draw">{rows}</table>'
