"""A browser that crashes costs a test its first try, not the run."""

import re

import pytest
from tools.browser import CRASHED


def test_a_crashed_page_is_opened_anew(tab, lesson):
    from playwright.sync_api import Error

    before = tab.page
    with pytest.raises(Error):
        before.goto("chrome://crash")
    with pytest.raises(Error, match=CRASHED):
        before.evaluate("() => true")
    assert not tab.alive()
    assert tab.page is not before
    lesson.page = tab.page
    lesson.open("00_start_here.ipynb").run_all()
    assert lesson.errors() == []


def test_a_browser_that_went_is_started_anew(tab):
    tab.page.goto("about:blank")
    tab.browser.close()
    assert not tab.alive()
    assert tab.page.evaluate("() => 6 * 7") == 42


@pytest.mark.parametrize("words", ["Page.evaluate: Timeout 60000ms exceeded", "assert 3 == 4"])
def test_what_is_no_crash_is_not_tried_again(words):
    assert not re.search(CRASHED, words)
