"""Every lesson: stored clean, to the template, with sound links and prose, and it runs without an error."""

import os
import shutil
import time

import nbformat
import pytest
from tools import lessons

PRESENT = lessons.present()
PAGES = sorted(lessons.LESSONS.glob("*.md"))
RUN_LIMIT = 90.0  # seconds for the whole course on two cores
spent: dict[str, float] = {}


def by_name(paths):
    return [pytest.param(path, id=path.stem) for path in paths]


@pytest.mark.parametrize("rule", lessons.RULES)
@pytest.mark.parametrize("path", by_name(PRESENT))
def test_lesson_keeps_the_rule(path, rule):
    found = lessons.RULES[rule](path)
    assert not found, "\n".join(found)


@pytest.mark.parametrize("rule", lessons.PAGE_RULES)
@pytest.mark.parametrize("path", by_name(PAGES))
def test_page_keeps_the_rule(path, rule):
    found = lessons.RULES[rule](path)
    assert not found, "\n".join(found)


@pytest.mark.parametrize("path", by_name(PRESENT))
def test_minutes_are_those_it_takes(path, tmp_path, monkeypatch):
    """Stated minutes agree within 30 % with reading speed (180 words a minute), controls and exercises."""
    monkeypatch.setenv("SPLASHKIT_HOME", str(tmp_path))
    estimate = lessons.estimated_minutes(path)
    assert lessons.stated_minutes(path) == pytest.approx(estimate, rel=0.3), f"it takes about {estimate:.0f} minutes"


@pytest.mark.parametrize("path", by_name(PRESENT))
def test_lesson_is_a_valid_notebook(path):
    nbformat.validate(nbformat.read(path, as_version=4))


def test_only_lessons_and_pages_are_stored():
    strays = [p.name for p in lessons.LESSONS.glob("*.ipynb") if p not in PRESENT]
    assert not strays, f"lessons are named NN_words.ipynb; found {strays}"
    folders = [p.name for p in lessons.LESSONS.iterdir() if p.is_dir() and not p.name.startswith(".")]
    assert not folders, f"the learner's copy is one flat folder; found {folders}"


@pytest.fixture(scope="module")
def copied(tmp_path_factory):
    """A copy of the lessons folder, away from the checkout."""
    folder = tmp_path_factory.mktemp("course") / "lessons"
    shutil.copytree(lessons.LESSONS, folder)
    return folder


@pytest.mark.parametrize("path", by_name(PRESENT))
def test_lesson_runs(path, copied, tmp_path, monkeypatch):
    from nbclient import NotebookClient

    for name in ("JUPYTER_CONFIG_DIR", "JUPYTER_DATA_DIR", "JUPYTER_RUNTIME_DIR", "IPYTHONDIR", "SPLASHKIT_HOME"):
        monkeypatch.setenv(name, str(tmp_path / name.lower()))
    # the kernel starts outside the checkout, so it is told where this copy of the library is
    monkeypatch.setenv("PYTHONPATH", os.pathsep.join([str(lessons.LESSONS.parent), os.environ.get("PYTHONPATH", "")]))
    notebook = nbformat.read(copied / path.name, as_version=4)
    started = time.perf_counter()
    client = NotebookClient(notebook, timeout=60, kernel_name="python3", resources={"metadata": {"path": str(copied)}})
    client.execute()
    spent[path.stem] = time.perf_counter() - started
    outputs = [output for cell in notebook.cells if cell.cell_type == "code" for output in cell.outputs]
    assert outputs, "the lesson shows nothing"
    for output in outputs:
        assert output.output_type != "error", output
        assert not (output.output_type == "stream" and output.name == "stderr"), output.text
    state = str(notebook.metadata.get("widgets", ""))
    assert "Traceback" not in state + str(outputs)


def test_course_runs_in_time():
    if len(spent) < len(PRESENT) or not PRESENT:
        pytest.skip("needs every lesson to have run in this session")
    assert sum(spent.values()) < RUN_LIMIT, f"the course took {sum(spent.values()):.0f} s: {spent}"


# ---------------------------------------------------------------- the tools themselves

DRAFT = """\
%% md
# 03 · Does it hold?
Choose **Run > Run All Cells** in the menu above.
%% code
# Panel: the times on the dial
from splashkit import units
units.SHUTTER_TIMES
%% visible
from splashkit import units
units.SHUTTER_TIMES
"""


def draft_notebook():
    return lessons.make(lessons.from_text(DRAFT))


def test_build_is_stable_and_nbformat_writes_the_same():
    notebook = draft_notebook()
    assert lessons.dump(notebook) == lessons.dump(draft_notebook())
    assert lessons.dump(notebook) == nbformat.writes(nbformat.from_dict(notebook)) + "\n"
    assert lessons.from_text(lessons.to_text(notebook)) == lessons.from_text(DRAFT)


def test_clean_restores_what_jupyterlab_changes():
    notebook = draft_notebook()
    stored = lessons.dump(notebook)
    notebook["metadata"] |= {"widgets": {"state": {}}}
    notebook["cells"][1] |= {"execution_count": 3, "outputs": [{"output_type": "stream"}], "id": "abc"}
    notebook["cells"][1]["metadata"] = {"collapsed": True, "tags": []}
    notebook["cells"].append({"cell_type": "code", "source": [], "metadata": {}, "outputs": [], "id": "x"})
    assert lessons.dump(notebook) != stored
    assert lessons.dump(lessons.clean(notebook)) == stored


def test_captions_fold_and_visible_cells_stay_open():
    folded, visible = draft_notebook()["cells"][1:]
    assert folded["metadata"] == {"jupyter": {"source_hidden": True}, "tags": ["hide-input"]}
    assert "jupyter" not in visible["metadata"]


@pytest.mark.parametrize(
    ("rule", "cell", "needle"),
    [
        ("code", "%% code\n# Caption\nfor i in range(3):\n    print(i)", "only imports"),
        ("code", "%% code\n# Caption\nf = lambda x: x", "only imports"),
        ("code", "%% code\n# Caption\n[x for x in (1, 2)]", "only imports"),
        ("code", "%% code\nprint(1)", "caption"),
        ("alone", "%% code\n# Caption\npanel.working()", "panel must come from the cell itself"),
        ("alone", "%% visible\nunits.SHUTTER_TIMES", "units must come from the cell itself"),
        ("code", "%% code\n# Caption\na = 1\nb = 2\nc = 3\nd = 4\ne = 5", "5 lines"),
        ("code", "%% code\n# Caption\n%matplotlib inline", "not plain Python"),
        ("links", "%% md\n[gone](99_gone.ipynb)", "no such file"),
        ("links", "%% md\n[up](../README.md)", "leads out"),
        ("links", "%% md\n[here](#no-such-heading)", "no heading"),
        ("links", "%% md\n[bad](http://example.org)", "https"),
        ("images", "%% md\n![](drop.png)", "describe"),
        ("images", "%% md\n<img src='x.png'>", "no alt"),
        ("prose", "%% md\n" + "This sentence goes on " * 12 + ".", "words in one sentence"),
        ("template", "%% md\n## Predict", "first two cells"),
        ("exercises", "%% md\n## Exercises\n%% code\n# Exercise 2: wrong number\nprint(1)", "needs 3"),
    ],
)
def test_each_rule_can_fail(rule, cell, needle, tmp_path):
    (tmp_path / "README.md").touch()
    folder = tmp_path / "lessons"
    folder.mkdir()
    path = folder / "03_draft.ipynb"
    lessons.write(path, lessons.make(lessons.from_text(DRAFT + cell)))
    assert needle in "\n".join(lessons.RULES[rule](path))
