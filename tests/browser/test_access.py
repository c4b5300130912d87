"""The checks of access find what they should; what happens to the keyboard's focus when a panel opens."""

from tools import access, lessons
from tools.browser import audit


def test_audit_finds_what_it_should(blank, axe):
    blank.set_content(
        "<main class='splash-card'><button></button><img src='data:,'>"
        "<p style='color:#999;background:#aaa'>pale</p></main>"
    )
    assert {"button-name", "image-alt", "color-contrast"} <= {f["id"] for f in audit(blank, axe, access.CARD)}


def test_size_checks_find_what_they_should(blank):
    blank.set_content(
        "<main class='splash-card' style='width:200px'><p style='font-size:9px'>tiny</p>"
        "<svg width='100' height='50' viewBox='0 0 200 100'><text x='5' y='50' font-size='20'>drawn</text></svg>"
        "<button style='width:400px;font-size:15px'>too wide</button>"
        "<button style='width:50px;overflow:hidden;white-space:nowrap'>words that are cut</button></main>"
    )
    assert blank.evaluate(access.SMALL, access.SMALLEST) == [
        "9 px: tiny",
        "10 px: drawn",
        "13.3 px: words that are cut",
    ]
    assert blank.evaluate(access.CUT) == [
        "scrolls sideways, P: tiny",
        "BUTTON: too wide",
        "cut, BUTTON: words that are cut",
    ]


def test_the_reading_finds_what_it_should(blank):
    blank.set_content(
        "<main class='jp-Notebook'><h1>One</h1><h4 id='twice'>Four</h4><div class='splash-card'><button></button>"
        "<button>Press</button><button>Press</button><span role='img' aria-label='A picture'></span>"
        "<input aria-label='Height' id='twice'><input type='radio' aria-label='Sooner'>"
        "<div role='radiogroup' aria-label='When?'><input type='radio' aria-label='Later'></div>"
        "<div role='status'>Words.</div></div></main>"
    )
    cdp = blank.context.new_cdp_session(blank)
    wrong, speaking = access.misread(blank, cdp)
    assert wrong == [
        "heading 'Four' jumps from level 1 to 4",
        "card 0: a button is called ''",
        "card 0: two are called 'Press'",
        "card 0: an image is called 'A picture'",
        "card 0: no group asks what 'Sooner' answers",
        "card 0: no image tells a number: ['A picture']",
        "the id 'twice' is empty or given twice",
        "the page does not say its language",
    ]
    assert [words for _, words in speaking.values()] == ["Words."]


def test_showing_a_panel_without_predicting_keeps_the_focus(jupyter, lesson, page):
    """The pressed button stays under the focus and says what happened; left, it is gone."""
    path = jupyter.root / "lessons" / "scratch.ipynb"
    code = "# Panel\nfrom splashkit import exercises, panels\npanels.flash_duration(after=exercises.predict('02'))"
    lessons.write(path, lessons.make([("md", "# Scratch"), ("code", code)]))
    try:
        lesson.open(path.name).run_all()
        button = page.get_by_role("button", name="Show without predicting")
        button.focus()
        button.evaluate("e => { window.here = e }")
        page.keyboard.press("Enter")
        page.locator(".splash-sentence").wait_for()
        assert page.evaluate("() => document.activeElement === window.here")
        assert "is open" in page.evaluate("() => window.here.textContent")
        below = page.get_by_role("button", name="Camera flash at full power")
        place = below.bounding_box()
        page.keyboard.press("Tab")
        assert page.evaluate("() => document.activeElement.tagName") == "SELECT"
        assert not page.locator(".splash-done:visible").count()
        # what moves between press and release of the mouse is not pressed: the first press in each panel was lost
        assert below.bounding_box() == place
    finally:
        path.unlink()


def test_radio_buttons_are_a_group_named_by_what_they_ask(jupyter, lesson, page):
    """A screen reader says the question with the first answer; new numbers keep it; arrows stay in the group."""
    path = jupyter.root / "lessons" / "scratch.ipynb"
    questions = "# Cell\nfrom splashkit import exercises\nexercises."
    control = "# Cell\nimport ipywidgets\nfrom splashkit.look import CSS\nfrom splashkit.panels.controls import Radio\n"
    control += "parts = [ipywidgets.HTML(CSS), Radio('way', 'Which way', ['up', 'down'], 'up').widget]\n"
    control += "ipywidgets.VBox(parts).add_class('splash-card')"
    cells = [("md", "# Scratch"), *(("code", questions + call) for call in ("predict('02')", "question('00', 3)"))]
    cells.append(("code", control))
    lessons.write(path, lessons.make(cells))
    try:
        lesson.open(path.name).run_all()
        asked = [words.text_content() for words in page.locator(".splash-asked").all()]
        assert len(asked) == 2 and all(words.endswith("?") for words in asked)
        for name in [*asked, "Which way"]:
            page.get_by_role("radiogroup", name=name, exact=True).wait_for()
        first, second, _ = page.get_by_role("radiogroup").all()
        second.get_by_role("radio").first.focus()
        for _ in range(second.get_by_role("radio").count()):  # once round
            page.keyboard.press("ArrowDown")
        assert second.get_by_role("radio").first.evaluate("e => e.checked && e === document.activeElement")
        assert not first.locator(":checked").count()
        page.get_by_role("button", name="Other numbers").click()
        page.wait_for_function("e => !e.querySelector(':checked')", arg=second.element_handle())
        asked[1] = page.locator(".splash-asked").nth(1).text_content()
        page.get_by_role("radiogroup", name=asked[1], exact=True).wait_for()
        assert len(set(second.get_by_role("radio").evaluate_all("all => all.map(e => e.name)"))) == 1
    finally:
        path.unlink()


def test_keys_with_ctrl_still_reach_jupyterlab(lesson, page):
    """From inside a panel too."""
    lesson.open("02_flash_duration.ipynb").run_all()
    page.get_by_role("button", name="This is my prediction").focus()
    page.evaluate(
        "() => { window.ran = []; window.jupyterapp.commands.commandExecuted.connect((_, c) => window.ran.push(c.id)) }"
    )
    page.keyboard.press("Control+s")
    page.wait_for_function("() => window.ran.includes('docmanager:save')")
