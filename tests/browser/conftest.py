"""A real browser over a real JupyterLab: both on this machine only, both shut off from its user's settings."""

from __future__ import annotations

import os
import shutil
import subprocess
import tarfile
from pathlib import Path

import pytest
from tools import lessons, servers
from tools.browser import CRASHED, Lesson, Tab, browser_path, flags, missing, notes

AXE = "axe-core@4"
VIEWPORT = {"width": 1400, "height": 1000}


def pytest_terminal_summary(terminalreporter):
    if notes:
        terminalreporter.section("real browser")
        for line in notes:
            terminalreporter.write_line(line)


def pytest_collection_modifyitems(items):
    here = Path(__file__).parent
    for item in items:
        if here in item.path.parents:
            item.add_marker(pytest.mark.browser)
            # a browser that dies says nothing about the course: one more try, and the summary tells of it
            item.add_marker(pytest.mark.flaky(reruns=1, only_rerun=[CRASHED]))


def pytest_runtest_logreport(report):
    if report.outcome == "rerun":
        notes.append(f"the browser crashed, and was started again: {report.nodeid} ({report.when})")


@pytest.fixture(scope="session")
def chromium():
    """Where the browser is; without one, everything here is skipped, or fails, before anything starts."""
    path = browser_path()
    if path is None:
        named = os.environ.get("SPLASHKIT_BROWSER")
        missing(f"no browser found ({named or 'Chromium, Chrome or Edge'})", "SPLASHKIT_REQUIRE_BROWSER")
    return path


@pytest.fixture(scope="session")
def jupyter(chromium, tmp_path_factory):
    """One JupyterLab for all browser tests, over a copy of the lessons."""
    folder = tmp_path_factory.mktemp("jupyter")
    root = folder / "learner"
    shutil.copytree(lessons.LESSONS, root / "lessons")
    environment = servers.isolated(folder / "machine", SPLASHKIT_HOME=str(root))
    environment["PYTHONPATH"] = os.pathsep.join([str(lessons.LESSONS.parent), environment.get("PYTHONPATH", "")])
    environment["JUPYTER_CONFIG_PATH"] = str(lessons.LESSONS.parent / "splashkit/jupyter")  # as the command does
    # the page's own model of the notebook is what says that every cell has run
    with servers.lab(root, folder, environment, "--LabApp.expose_app_in_browser=True") as server:
        yield server


@pytest.fixture(scope="module")
def tab(chromium, jupyter):
    """A browser's page that may reach this machine's JupyterLab and nothing else; notebooks come and go in it.

    One per module: Playwright's loop must not be running when other tests need their own.
    """
    from playwright.sync_api import sync_playwright

    abroad = []

    def gate(route):
        if route.request.url.startswith((jupyter.url, "data:", "blob:")):
            route.continue_()
        else:
            abroad.append(route.request.url)
            route.abort()

    with sync_playwright() as playwright:
        opened = Tab(lambda: playwright.chromium.launch(executable_path=chromium, args=flags(), headless=True), gate)
        yield opened
        opened.close()
    assert not abroad, f"the page asked for something outside this machine: {abroad}"


@pytest.fixture
def page(tab):
    """The page of JupyterLab, in its usual size, for one test."""
    tab.page.set_viewport_size(VIEWPORT)
    return tab.page


@pytest.fixture
def blank(tab):
    """An empty page, to put markup in."""
    context = tab.page.context.browser.new_context()
    yield context.new_page()
    context.close()


@pytest.fixture
def lesson(page, jupyter):
    (jupyter.root / "progress.json").unlink(missing_ok=True)  # a prediction made in another test would stand
    opened = Lesson(page, jupyter)
    yield opened
    opened.close()
    jupyter.shut_kernels()


@pytest.fixture(scope="session")
def axe(tmp_path_factory):
    """The text of the accessibility audit's script, from the npm registry."""
    npm = shutil.which("npm")
    if npm is None:
        missing("no npm, so no accessibility audit", "SPLASHKIT_REQUIRE_AUDIT")
    folder = tmp_path_factory.mktemp("axe")
    got = subprocess.run([npm, "pack", AXE, "--silent"], cwd=folder, capture_output=True, text=True, timeout=300)
    packed = next(folder.glob("axe-core-*.tgz"), None)
    if packed is None:
        missing(
            f"npm gave no axe-core, so no accessibility audit ({got.stderr.strip()[-200:]})", "SPLASHKIT_REQUIRE_AUDIT"
        )
    with tarfile.open(packed) as held:
        return held.extractfile("package/axe.min.js").read().decode("utf-8")
