"""How long a learner waits: from opening a lesson in a warm JupyterLab to its first panel, at work."""

import os
import time

import pytest
from tools import lessons
from tools.browser import KERNEL, notes

LIMIT = 3.0  # seconds
TRIES = 3  # the best one counts: a busy machine only ever adds time
LESSONS = [path.name for path in lessons.present() if path.name[:2] in ("02", "06", "08")]
OPEN = "name => { window.jupyterapp.commands.execute('docmanager:open', {path: 'lessons/' + name}) }"
READY = f"name => window.jupyterapp.shell.currentWidget?.context?.path === 'lessons/' + name && {KERNEL}?.status"
RUN = "() => { window.jupyterapp.commands.execute('notebook:run-all-cells') }"
# outputs count as changes; a question about saving would stand in the way
CLEAN = "() => { window.jupyterapp.shell.currentWidget.context.model.dirty = false }"
CLOSE = "() => { window.jupyterapp.commands.execute('application:close') }"
STOP = "() => window.jupyterapp.shell.currentWidget.sessionContext.shutdown().then(() => null)"


def first_panel(lesson, page, name):
    """Seconds from opening to the sentence of the first panel, the button on its cover pressed at once."""
    since = time.perf_counter()
    page.evaluate(OPEN, name)
    page.wait_for_function(READY, arg=name)
    page.evaluate(RUN)
    button = page.locator(".jp-NotebookPanel:visible").get_by_role("button", name="Show without predicting").first
    button.wait_for()
    button.focus()
    page.keyboard.press("Enter")
    page.locator(".jp-NotebookPanel:visible .splash-sentence").first.wait_for()
    took = time.perf_counter() - since
    lesson.wait_idle()
    page.evaluate(STOP)
    page.evaluate(CLEAN)
    page.evaluate(CLOSE)
    page.wait_for_timeout(500)
    return took


@pytest.mark.slow
@pytest.mark.parametrize("name", LESSONS)
def test_first_panel_soon_after_opening(name, lesson, page):
    lesson.open("00_start_here.ipynb").run_all()  # JupyterLab and the part for panels are loaded
    took = [first_panel(lesson, page, name)]
    while min(took) >= LIMIT and len(took) < TRIES:
        took.append(first_panel(lesson, page, name))
    notes.append(f"{name}: first panel {min(took):.1f} s after opening (tries: {', '.join(f'{t:.1f}' for t in took)})")
    if min(took) >= LIMIT and os.getloadavg()[0] > os.cpu_count():
        pytest.skip(f"other work fills this machine: {min(took):.1f} s says nothing")
    assert min(took) < LIMIT
