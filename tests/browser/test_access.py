"""Access: an audit of every panel by axe-core, both themes, 200 % zoom, sizes of text, a walk by keyboard.

They look at our own outputs only. What JupyterLab draws around them is not ours to mend.
"""

import pytest
from tools import lessons
from tools.browser import audit, figure_words, notes, sentence

PRESENT = [pytest.param(path.name, id=path.stem) for path in lessons.present()]
CARD = ".splash-card"
SMALLEST = 11 * 96 / 72 - 0.1  # [CSS px] 11 pt, less a rounding
WALKED = "02_flash_duration.ipynb"


def serious(findings):
    return [f"{f['impact']}: {f['help']}: {f['where']}" for f in findings if f["impact"] in ("serious", "critical")]


def theme(page, name):
    page.evaluate("name => window.jupyterapp.commands.execute('apputils:change-theme', {theme: name})", name)
    light = "true" if name.endswith("Light") else "false"
    page.wait_for_function(f"() => document.body.dataset.jpThemeLight === '{light}'")
    page.wait_for_timeout(300)


@pytest.mark.parametrize("name", PRESENT)
def test_panels_pass_the_audit(name, lesson, page, axe):
    lesson.open(name)
    page.keyboard.press("Control+b")  # the list of files closes: drawings get their full width
    lesson.run_all().uncover().wait_idle()
    findings = audit(page, axe, CARD)
    found = serious(findings)
    notes.append(f"{name}: audit found {len(findings) - len(found)} minor, {len(found)} serious")
    assert not found, "\n".join(found)
    small = page.evaluate(SMALL, SMALLEST)
    assert not small, f"smaller than 11 pt: {small}"
    theme(page, "JupyterLab Dark")
    try:
        dark = serious(audit(page, axe, CARD))
    finally:
        theme(page, "JupyterLab Light")
    assert not dark, "in the dark theme:\n" + "\n".join(dark)


@pytest.mark.parametrize("name", PRESENT)
def test_lesson_at_200_percent(name, browser, jupyter, lesson, page):
    """A window of 1400 by 1000 at 200 % has half as many CSS pixels each way: nothing may be cut off or overlap."""
    page.set_viewport_size({"width": 700, "height": 500})
    lesson.open(name)
    page.keyboard.press("Control+b")  # the list of files closes
    lesson.run_all().uncover().wait_idle()
    page.wait_for_timeout(500)
    cut = page.evaluate(CUT)
    assert not cut, f"cut off or spilling out: {cut}"


def test_audit_finds_what_it_should(page, axe):
    page.set_content(
        "<main class='splash-card'><button></button><img src='data:,'>"
        "<p style='color:#999;background:#aaa'>pale</p></main>"
    )
    assert {"button-name", "image-alt", "color-contrast"} <= {f["id"] for f in audit(page, axe, CARD)}


def test_size_checks_find_what_they_should(page):
    page.set_content(
        "<main class='splash-card' style='width:200px'><p style='font-size:9px'>tiny</p>"
        "<svg width='100' height='50' viewBox='0 0 200 100'><text x='5' y='50' font-size='20'>drawn</text></svg>"
        "<button style='width:400px;font-size:15px'>too wide</button></main>"
    )
    assert page.evaluate(SMALL, SMALLEST) == ["9 px: tiny", "10 px: drawn"]
    assert page.evaluate(CUT) == ["BUTTON: too wide"]


def test_a_lesson_by_keyboard_alone(lesson, page):
    """Predict, panel, exercise: no mouse, and each stop inside our parts has a name and shows where the focus is."""
    lesson.open(WALKED)
    keys, stops = page.keyboard, []
    keys.press("Control+Shift+KeyC")  # the list of commands
    page.locator(".lm-CommandPalette-input:focus").wait_for()
    keys.type("Run All Cells")
    page.locator(".lm-CommandPalette-item.lm-mod-active", has_text="Run All Cells").wait_for()
    keys.press("Enter")
    page.wait_for_timeout(300)
    lesson.wait_idle()

    def tab_to(words, limit=120):
        """Press Tab until the focus is on something whose name holds these words."""
        for _ in range(limit):
            keys.press("Tab")
            stop = page.evaluate(STOP)
            if stop["ours"]:
                stops.append(stop)
            if stop["ours"] and words in stop["name"]:
                return stop
        raise AssertionError(f"no Tab leads to {words!r}; it led to {[s['name'] for s in stops]}")

    tab_to("", 120)  # the first stop of ours is the prediction
    assert page.evaluate("document.activeElement.type") == "radio"
    keys.press("Space")
    keys.press("ArrowDown")
    tab_to("This is my prediction")
    keys.press("Enter")
    panel = page.locator(CARD).filter(has=page.get_by_role("img")).first
    panel.wait_for()
    lesson.wait_idle()
    before = sentence(panel), figure_words(panel)
    tab_to("Speed of the drop")
    keys.press("Control+a")
    keys.type("3,5 m/s")
    keys.press("Enter")
    page.wait_for_function(
        "was => [...document.querySelectorAll('.splash-sentence')].every(e => e.textContent.trim() !== was)",
        arg=before[0],
    )
    assert figure_words(panel) != before[1]
    assert "3.5" in sentence(panel)
    tab_to("Reset")
    keys.press("Enter")
    page.wait_for_function(
        "was => [...document.querySelectorAll('.splash-sentence')].some(e => e.textContent.trim() === was)",
        arg=before[0],
    )
    tab_to("Your answer")
    keys.type("soup")
    keys.press("Enter")
    page.locator(".splash-no", has_text="could not read").wait_for()
    tab_to("Worked solution")
    keys.press("Enter")
    assert page.evaluate("document.activeElement.parentElement.open") is True
    for stop in stops:
        assert stop["name"], f"a stop without a name: {stop}"
        assert stop["shown"], f"nothing shows the focus: {stop}"
    assert lesson.errors() == []


SAID = "[...document.querySelectorAll('.splash-sentence')]"
# what the focus is on: its name, whether it is ours, whether one sees it there
STOP = """() => {
    const e = document.activeElement, look = getComputedStyle(e);
    const label = e.labels?.[0]?.textContent, by = e.getAttribute('aria-labelledby');
    const name = e.getAttribute('aria-label') || (by && document.getElementById(by)?.textContent) || label
        || e.textContent || e.title || '';
    const shown = look.outlineStyle !== 'none' && parseFloat(look.outlineWidth) > 0 || look.boxShadow !== 'none';
    return {name: name.trim(), ours: !!e.closest('.splash-card'), tag: e.tagName, type: e.type || '', shown};
}"""
# words of ours that are painted smaller than wanted; a drawing may be scaled
SMALL = """least => {
    const found = [];
    for (const card of document.querySelectorAll('.splash-card')) {
        const walker = document.createTreeWalker(card, NodeFilter.SHOW_TEXT);
        while (walker.nextNode()) {
            const words = walker.currentNode.textContent.trim(), e = walker.currentNode.parentElement;
            if (!words || e.closest('style,script,math,sub,sup,title,desc') || !e.getClientRects().length) continue;
            let size = parseFloat(getComputedStyle(e).fontSize);
            const drawing = e.closest('svg');
            if (drawing) {
                const matrix = e.getScreenCTM?.();
                if (matrix) size *= Math.hypot(matrix.a, matrix.b);
                // a baseline shift inside a drawing is an index, like sub and sup
                if (e.tagName === 'tspan' && e.getAttribute('dy')) continue;
            }
            if (size > 0 && size < least) found.push(`${Math.round(size)} px: ${words.slice(0, 40)}`);
        }
    }
    return [...new Set(found)];
}"""
# controls and text of ours that stick out of their card
CUT = """() => {
    const found = [];
    for (const card of document.querySelectorAll('.splash-card')) {
        const edge = card.getBoundingClientRect();
        if (!edge.width) continue;
        for (const e of card.querySelectorAll('button,input,select,label,p,summary,.splash-figure,.splash-photo')) {
            const box = e.getBoundingClientRect();
            if (!box.width || !box.height || e.closest('svg')) continue;
            const scrolls = e.closest('.splash-step-row,[style*="overflow"]');
            if (!scrolls && (box.right > edge.right + 1 || box.left < edge.left - 1))
                found.push(`${e.tagName}: ${(e.textContent || e.className).trim().slice(0, 40)}`);
        }
    }
    return [...new Set(found)];
}"""
