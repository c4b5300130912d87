"""What leads from page to page in JupyterLab, and the harness itself."""

import pytest
from tools import lessons
from tools.browser import ASKED, KERNEL, figure_words, move_by_keyboard, notes, sentence


def test_the_home_key_leads_back_to_the_top(lesson, page):
    """After Run All Cells JupyterLab stands at the last cell; the lessons say which key leads back."""
    place = "document.querySelector('.jp-WindowedPanel-outer').scrollTop"
    lesson.open("06_fall.ipynb").run_all()
    page.wait_for_function(f"() => {place} > 500")
    page.keyboard.press("Home")
    page.wait_for_function(f"() => {place} === 0")


def test_links_lead_on_and_back(lesson, page):
    """Previous, index and next links open their notebooks inside JupyterLab."""
    here, *others = [path.name for path in lessons.present()]
    if not others:
        pytest.skip("needs two lessons")
    lesson.open(here)
    current = "() => window.jupyterapp.shell.currentWidget?.context?.path"
    for link, wanted in ((" →", others[0]), ("Index", here)):
        page.locator(".jp-NotebookPanel:visible .jp-MarkdownOutput a", has_text=link).first.click()
        page.wait_for_function(f"wanted => ({current})() === wanted", arg=f"lessons/{wanted}")


def test_a_cell_run_again_lets_go_of_its_former_panel(lesson, page):
    """JupyterLab names the cell that runs; so the panel that it showed before is closed, and the new one works."""
    held = f"async () => Object.keys((await {KERNEL}.requestCommInfo({{}})).content.comms).length"
    lesson.open("06_fall.ipynb").run_all()
    before = page.evaluate(held)
    for _ in range(3):
        lesson.run_all()
    assert page.evaluate(held) < 1.5 * before  # four times the widgets if none were closed
    page.keyboard.press("Home")
    page.get_by_role("button", name="Show without predicting").first.wait_for()
    [panel, *_] = lesson.uncover().panels()
    move_by_keyboard(panel, page)
    assert lesson.errors() == []


PAGES = {
    anchor[0]: path.name for path in lessons.LESSONS.glob("*.md") if (anchor := sorted(lessons.anchors(path))[-1:])
}


@pytest.mark.parametrize(("anchor", "name"), [pytest.param(a, n, id=n) for a, n in PAGES.items()])
def test_links_reach_a_heading_of_a_page(anchor, name, jupyter, lesson, page):
    """A link such as glossary.md#sync opens the page as text to read, scrolled to that heading."""
    path = jupyter.root / "lessons" / "scratch.ipynb"
    lessons.write(path, lessons.make([("md", f"[there]({name}#{anchor})")]))
    try:
        lesson.open(path.name)
        page.locator(".jp-MarkdownOutput a", has_text="there").click()
        heading = page.locator(
            f'.jp-MarkdownViewer [data-jupyter-id="{anchor}"], .jp-MarkdownViewer [id="{anchor}"]'
        ).first
        heading.wait_for()
        page.wait_for_timeout(1000)
        assert heading.evaluate(
            "e => { const r = e.getBoundingClientRect(); return r.top >= 0 && r.bottom <= innerHeight }"
        ), "the page opened, but not at the heading"
    finally:
        path.unlink()


# ---------------------------------------------------------------- the harness itself, on notebooks made here

STUB = """
import ipywidgets as w
shown, box = w.HTML(), w.VBox()
box.add_class('splash-card')
more = w.Button(description='more: Gap between the drops')
seen = [60]
def draw():
    shown.value = (
        f"<svg role='img' aria-label='The second drop meets the column after {seen[0]} ms' width='20'></svg>"
        f"<div role='status' class='splash-sentence'>The gap between the drops is now {seen[0]} ms.</div>"
    )
def step(_):
    seen[0] += 1
    draw()
more.on_click(step)
draw()
box.children = [more, shown]
box
"""
STILL = STUB.replace("    draw()\n", "    pass\n")
BROKEN = {
    "an exception": "raise ValueError('no such drop')",
    "a warning": "import sys; print('beware', file=sys.stderr)",
    "a lost widget": "from IPython.display import display\n"
    "display({'application/vnd.jupyter.widget-view+json': {'model_id': 'gone', 'version_major': 2}}, raw=True)",
}


@pytest.fixture
def scratch(jupyter):
    """Write a notebook of one cell beside the lessons; it is removed afterwards."""
    path = jupyter.root / "lessons" / "scratch.ipynb"

    def write(code):
        lessons.write(path, lessons.make([("md", "# Scratch"), ("code", "# Panel: scratch\n" + code)]))
        return path.name

    yield write
    path.unlink(missing_ok=True)


def test_harness_moves_a_panel(scratch, lesson, page):
    lesson.open(scratch(STUB)).run_all()
    assert lesson.errors() == []
    [panel] = lesson.panels()
    assert "more: Gap" in move_by_keyboard(panel, page)
    assert "61 ms" in sentence(panel)
    assert "61 ms" in figure_words(panel)[0]


def test_harness_notices_a_panel_that_stays_still(scratch, lesson, page):
    lesson.open(scratch(STILL)).run_all()
    [panel] = lesson.panels()
    with pytest.raises(AssertionError, match="no control changed"):
        move_by_keyboard(panel, page, settle=0.5)


@pytest.mark.parametrize("code", [pytest.param(code, id=name) for name, code in BROKEN.items()])
def test_harness_notices(code, scratch, lesson):
    lesson.open(scratch(code)).run_all()
    lesson.page.wait_for_timeout(500)
    assert lesson.errors() != []


def test_harness_closes_a_notebook_that_changes_as_it_closes(scratch, lesson):
    """A kernel's late word changes a notebook while it is being closed; JupyterLab must not ask to save it."""
    late = """() => {
        const {sessionContext, context} = window.jupyterapp.shell.currentWidget;
        const shut = sessionContext.shutdown.bind(sessionContext);
        sessionContext.shutdown = async () => { await shut(); context.model.dirty = true };
    }"""
    lesson.open(scratch(STUB)).page.evaluate(late)
    lesson.close()
    assert lesson.page.evaluate(ASKED) == ""
    assert lesson.open("06_fall.ipynb").page.evaluate(ASKED) == ""


def test_harness_leaves_a_question_behind(scratch, lesson):
    """Should JupyterLab ask something all the same, the next lesson opens in a page loaded anew, and it is told."""
    ask = "() => { window.jupyterapp.commands.execute('help:about'); }"
    lesson.open(scratch(STUB)).page.evaluate(ask)
    lesson.page.locator(".jp-Dialog").wait_for()
    lesson.close()
    said = notes.pop()
    assert "opened anew" in said
    assert "JupyterLab" in said
    assert lesson.open("06_fall.ipynb").page.evaluate(ASKED) == ""
