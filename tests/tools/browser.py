"""Find a browser, and handle a lesson in it as a learner does: menu, keyboard, roles and names."""

from __future__ import annotations

import os
import re
import time

import pytest

from splashkit.__main__ import find_browser

FLAGS = [
    *["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking"],
    *["--disable-component-update", "--disable-sync"],
]
SHARED = 1 << 30  # bytes of shared memory that a browser may want
LIMIT = 60_000  # milliseconds for anything to appear: a busy machine, not a target
CRASHED = r"(Page|Target) crashed|browser has been closed"  # what Playwright says once the browser is gone
notes: list[str] = []  # said at the end of the test run


def browser_path() -> str | None:
    """The browser to use: the one named, or the first one found."""
    return find_browser()


def flags() -> list[str]:
    """What to start the browser with; where shared memory is small it must keep its pages on disk."""
    try:
        held = os.statvfs("/dev/shm")
        small = held.f_bavail * held.f_frsize < SHARED
    except (OSError, AttributeError):
        small = True
    return [*FLAGS, "--disable-dev-shm-usage"] if small else FLAGS


def missing(what: str, variable: str) -> None:
    """Skip out loud; or fail, where the variable says that it must be there."""
    if os.environ.get(variable) == "1":
        pytest.fail(f"{what}, and {variable}=1 asks for it", pytrace=False)
    if what not in notes:
        notes.append(f"SKIPPED: {what}")
    pytest.skip(what)


class Tab:
    """A page in a browser; a new one, or a new browser, where the old one has crashed."""

    def __init__(self, launch, gate):
        self.launch, self.gate = launch, gate
        self.browser = self._page = None

    @property
    def page(self):
        if not self.alive():
            self.close()
            self.browser = self.launch()
            context = self.browser.new_context()
            context.route(re.compile(".*"), self.gate)
            self._page = context.new_page()
            self._page.set_default_timeout(LIMIT)
        return self._page

    def alive(self):
        try:
            return self._page is not None and self._page.evaluate("() => true")
        except Exception as error:
            if re.search(CRASHED, str(error)):
                return False
            raise

    def close(self):
        if self.browser:
            self.browser.close()


class Lesson:
    """A notebook open in JupyterLab, as a learner handles it."""

    def __init__(self, page, jupyter):
        self.page, self.jupyter = page, jupyter
        self.opened_at, self.name = 0.0, ""

    def open(self, name):
        """Open a notebook; the first time, JupyterLab with it."""
        self.opened_at, self.name = time.perf_counter(), name
        if self.page.evaluate("() => !window.jupyterapp"):
            self.page.goto(f"{self.jupyter.url}lab/tree/lessons/{name}?reset&token={self.jupyter.token}")
        else:
            self.page.evaluate(OPEN, f"lessons/{name}")
        self.page.wait_for_function(f"name => {CURRENT} === 'lessons/' + name", arg=name)
        self.page.locator(".jp-Notebook .jp-Cell").first.wait_for()
        self.page.wait_for_function(f"() => {{ const s = {KERNEL}; return s && s.status === 'idle' }}")
        return self

    def close(self):
        """Close all that is open, and end the kernels; what was changed is let go, and nothing stands in the way."""
        closed = self.page.evaluate(f"async () => {{ if (window.jupyterapp) {CLOSE_ALL}; return {CLOSED} }}")
        if not closed:  # a question nobody answers would hold up every test to come: start anew
            notes.append(f"JupyterLab was opened anew, it asked: {self.page.evaluate(ASKED)}")
            self.page.goto("about:blank")

    def run_all(self):
        """Choose Run > Run All Cells in the menu, and wait until every cell has run."""
        self.page.get_by_role("menuitem", name="Run", exact=True).click()
        self.page.locator('.lm-Menu-itemLabel:text-is("Run All Cells")').click()
        return self.wait_idle()

    def wait_idle(self):
        """Wait until each code cell has its number and the kernel rests; a cell that fails ends the run."""
        ended = f"() => {{ {CELLS}; return (counts.every(Boolean) || bad.length) && {KERNEL}.status === 'idle' }}"
        self.page.wait_for_function(ended)
        return self

    def uncover(self):
        """Open, by keyboard, the panels that wait for a prediction."""
        waiting = self.page.get_by_role("button", name="Show without predicting")
        while (left := waiting.count()) > 0:
            waiting.first.focus()
            self.page.keyboard.press("Enter")
            self.page.wait_for_function(
                "n => [...document.querySelectorAll('button')]"
                ".filter(b => b.textContent.includes('Show without predicting')).length < n",
                arg=left,
            )
        return self

    def panels(self):
        """Every panel: a card that has both a figure and a sentence."""
        cards = self.page.locator(".splash-card")
        return cards.filter(has=self.page.locator(".splash-sentence")).filter(has=self.page.get_by_role("img")).all()

    def errors(self):
        """Whatever looks like an error anywhere in the notebook, as text."""
        found = self.page.evaluate(f"() => {{ {CELLS}; return bad }}")
        text = self.page.locator(".jp-Notebook").inner_text()
        words = [
            "Traceback",
            "Error displaying widget",
            "Error creating widget",
            "This is our mistake",
            "Loading widget",
        ]
        found += [word for word in words if word in text]
        selectors = ['[data-mime-type="application/vnd.jupyter.stderr"]', ".jp-mod-error", ".splash-mistake"]
        found += [s for s in selectors if self.page.locator(f".jp-Notebook {s}").count()]
        return found


# pieces of the page's own model (JupyterLab shows it only because the test server asks for it)
KERNEL = "window.jupyterapp?.shell?.currentWidget?.sessionContext?.session?.kernel"
CURRENT = "window.jupyterapp?.shell?.currentWidget?.context?.path"
OPEN = """async path => {
    const opened = await window.jupyterapp.commands.execute('docmanager:open', {path});
    if (opened) window.jupyterapp.shell.activateById(opened.id);  // also where the page itself has lost the focus
}"""
CLOSE_ALL = """{
    for (const one of [...window.jupyterapp.shell.widgets('main')]) {
        if (one.sessionContext?.session) await one.sessionContext.shutdown().catch(() => null);
        if (one.context?.model) one.context.model.dirty = false;  // last: a kernel's late word makes it dirty again
        one.close();
    }
}"""
ASKED = "() => [...document.querySelectorAll('.jp-Dialog')].map(d => d.innerText).join(' / ')"
CLOSED = "!document.querySelector('.jp-Dialog')"
CELLS = """
    const cells = [...window.jupyterapp.shell.currentWidget.content.model.cells].filter(c => c.type === 'code');
    const counts = cells.map(c => c.executionCount);
    const bad = cells.flatMap(c => c.outputs.toJSON()).filter(o => o.output_type === 'error' || o.name === 'stderr')
        .map(o => o.evalue || String(o.text));
"""


def sentence(panel):
    # not inner_text: JupyterLab leaves cells out of view unpainted, and they would read as empty
    said = panel.locator(".splash-sentence")
    return ((said.last.text_content() if said.count() else "") or "").strip()


def figure_words(panel):
    images = panel.get_by_role("img").all()  # figures have a label, photographs an alternative text
    return [image.get_attribute("aria-label") or image.get_attribute("alt") or "" for image in images]


def move_by_keyboard(panel, page, settle=3.0):
    """Move controls of a panel by keyboard, one after the other, until sentence and figure both change.

    Returns what was moved. Step buttons come first, then drop-down lists and check boxes.
    """
    before = sentence(panel), figure_words(panel)
    steps = [(button, "Enter") for button in panel.get_by_role("button", name=re.compile(r"^\W*more: ")).all()]
    lists = [(choice, "ArrowDown") for choice in panel.get_by_role("combobox").all()]
    ticks = [(box, "Space") for box in panel.get_by_role("checkbox").all()]
    for control, key in [*steps, *lists, *ticks]:
        if not control.is_visible() or not control.is_enabled():
            continue
        control.focus()
        page.keyboard.press(key)
        ends = time.monotonic() + settle
        while time.monotonic() < ends:
            after = sentence(panel), figure_words(panel)
            if after[0] != before[0] and after[1] != before[1]:
                return control.evaluate("e => e.textContent || e.labels?.[0]?.textContent || e.tagName")
            time.sleep(0.05)
    raise AssertionError(f"no control changed both the sentence and the figure; they still say {before}")


def audit(page, axe, selector, only=""):
    """Run the audit on the parts of the page that the selector names: id, impact, help and place of each finding."""
    if page.evaluate("() => !window.axe"):
        page.evaluate(axe)
    script = """
        async ([selector, only]) => {
            const wanted = only ? {runOnly: [only]} : {};
            const {violations} = await axe.run({include: [[selector]]}, {resultTypes: ['violations'], ...wanted});
            const places = v => v.nodes.map(n => n.html.slice(0, 160)).slice(0, 5);
            return violations.map(v => ({id: v.id, impact: v.impact, help: v.help, where: places(v)}));
        }"""
    return page.evaluate(script, [selector, only])
