"""Each lesson as a learner meets it who has no mouse, cannot see it, or needs it large.

A lesson is opened once, in one JupyterLab, and serves all tests of this module; the walk by keyboard comes first.
They look at our own outputs only. What JupyterLab draws around them is not ours to mend.
"""

import time

import pytest
from tools import access, lessons
from tools.browser import Lesson, audit, figure_words, notes, sentence

PRESENT = [pytest.param(path.name, id=path.stem) for path in lessons.present()]
WINDOW = {"width": 1400, "height": 1000}


def serious(findings):
    return [f"{f['impact']}: {f['help']}: {f['where']}" for f in findings if f["impact"] in ("serious", "critical")]


def theme(page, name):
    page.evaluate("name => window.jupyterapp.commands.execute('apputils:change-theme', {theme: name})", name)
    light = "true" if name.endswith("Light") else "false"
    page.wait_for_function(f"() => document.body.dataset.jpThemeLight === '{light}'")
    page.wait_for_timeout(200)


class Visit:
    """A lesson, opened and run, and the walk through it; opened again where the browser has crashed."""

    def __init__(self, name, tab, jupyter):
        self.name, self.tab, self.jupyter, self._walk = name, tab, jupyter, None

    @property
    def walk(self):
        if self._walk is None or self._walk.page is not self.tab.page:
            self.jupyter.shut_kernels()
            self._walk = self.start()
        return self._walk

    def start(self):
        for name in ("progress.json", "rig.json", "shots.csv"):  # what another lesson left
            (self.jupyter.root / name).unlink(missing_ok=True)
        page = self.tab.page
        page.set_viewport_size(WINDOW)
        lesson = Lesson(page, self.jupyter).open(self.name)
        page.add_style_tag(content=access.PAINTED)
        if not page.evaluate("() => window.jupyterapp.shell.leftCollapsed"):
            page.keyboard.press("Control+b")  # the list of files closes: drawings get their full width
        walk = access.Walk(lesson).run_all()
        notes.append(f"{self.name}: {time.perf_counter() - lesson.opened_at:.1f} s from opening to all cells run")
        return walk

    def end(self):
        if self._walk and self.tab.alive():
            self._walk.lesson.close()


@pytest.fixture(scope="module", params=PRESENT)
def visit(request, tab, jupyter):
    visit = Visit(request.param, tab, jupyter)
    yield visit
    visit.end()


@pytest.fixture
def walked(visit):
    """The walk through the lesson, in a window of the usual size."""
    walk = visit.walk
    walk.page.set_viewport_size(WINDOW)
    return walk


@pytest.fixture
def shown(walked):
    """The same, every panel open."""
    walked.lesson.uncover()
    return walked


@pytest.fixture
def page(walked):
    return walked.page


def test_by_keyboard_alone(walked, page):
    """Predict, every control of every panel, exercise, working: one round with Tab."""
    # code is folded: a caption and the three dots, no wall of code
    assert page.locator(".jp-InputPlaceholder").count() > 0
    walked.go()
    assert not walked.wrong, "\n".join(walked.wrong)
    assert {"answered", "opened", "radio"} <= walked.tried
    assert walked.changed and all(walked.changed.values()), f"no move changed words and figure: {walked.changed}"
    assert not page.locator(".splash-done:visible").count(), "a button that is done with stays in the way"
    assert walked.lesson.errors() == []


def test_panels_speak(shown):
    """Every panel has a sentence, and its figures carry the result in words."""
    panels = shown.lesson.panels()
    assert panels, "no panel with a figure and a sentence"
    for panel in panels:
        assert len(sentence(panel)) > 20
        assert all(len(words) > 20 for words in figure_words(panel)), "a figure's name must carry its result"


def test_to_a_screen_reader(shown, page):
    """Names, headings, tables, formulas; and the place that speaks stays while its words change."""
    cdp = page.context.new_cdp_session(page)
    try:
        wrong, speaking = access.misread(page, cdp)
        assert not wrong, "\n".join(wrong)
        assert speaking, "nothing speaks"
        said = "[...document.querySelectorAll('.splash-sentence')].map(e => e.textContent).join()"
        before = page.evaluate(f"() => {said}")
        for step in page.locator(f"{access.CARD}:has(.splash-sentence) .splash-more:visible").all():
            step.focus()
            shown.press("Enter")
            if page.evaluate(f"() => {said}") != before:  # not every setting changes the words
                break
        _, later = access.misread(page, cdp)
    finally:
        cdp.detach()
    moved = [card for card in speaking if later[card][1] != speaking[card][1]]
    assert moved, "no words changed"
    assert {card: place for card, (place, _) in later.items()} == {card: place for card, (place, _) in speaking.items()}


def test_audit(shown, page, axe):
    """No serious finding of axe-core, in the light theme and, for what colours do, in the dark one."""
    findings = audit(page, axe, access.CARD)
    found = serious(findings)
    notes.append(f"{shown.lesson.name}: audit found {len(findings) - len(found)} minor, {len(found)} serious")
    assert not found, "\n".join(found)
    small = page.evaluate(access.SMALL, access.SMALLEST)
    assert not small, f"smaller than 11 pt: {small}"
    theme(page, "JupyterLab Dark")
    try:
        dark = serious(audit(page, axe, access.CARD, only="color-contrast"))
    finally:
        theme(page, "JupyterLab Light")
    assert not dark, "in the dark theme:\n" + "\n".join(dark)


@pytest.mark.parametrize(("width", "zoom"), [(640, 2), (800, 1)], ids=["1280 px at 200 %", "800 px"])
def test_in_a_small_window(width, zoom, shown, page):
    """A window of 1280 px at 200 % has half as many CSS pixels each way: nothing is cut, all can be read."""
    page.set_viewport_size({"width": width, "height": 500})
    page.wait_for_timeout(300)
    cut = page.evaluate(access.CUT)
    small = page.evaluate(access.SMALL, access.SMALLEST / zoom) if zoom > 1 else []
    assert not cut, f"cut off or spilling out: {cut}"
    assert not small, f"smaller than at 100 %: {small}"


def test_with_forced_colours_and_no_motion(shown, page):
    """Buttons keep an edge, figures keep their own colours, and nothing moves by itself."""
    page.emulate_media(forced_colors="active", reduced_motion="reduce")
    try:
        edges, papers, motions = page.evaluate(FORCED)
    finally:
        page.emulate_media(forced_colors="none", reduced_motion="no-preference")
    assert not edges, f"buttons without an edge: {edges}"
    assert papers == ["none"]
    assert motions == 0


FORCED = """() => {
    const all = s => [...document.querySelectorAll('.splash-card ' + s)], look = e => getComputedStyle(e);
    return [
        all('button').filter(e => look(e).borderStyle === 'none').map(e => e.textContent),
        [...new Set(all('.splash-figure').map(e => look(e).forcedColorAdjust))],
        document.getAnimations().filter(a => a.effect?.target?.closest?.('.splash-card')).length,
    ];
}"""
