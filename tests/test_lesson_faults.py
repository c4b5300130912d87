"""A lesson run out of order, in the middle, twice, or again after its kernel was killed: one sentence, nothing lost."""

import ast
import json
import os
import random
import re
import signal
import textwrap
import time

import ipywidgets as widgets
import pytest
from tools import lessons, servers

from splashkit import exercises
from splashkit.exercises import record
from splashkit.panels import base as panels_base

PRESENT = [pytest.param(path, id=path.stem) for path in lessons.present()]
RUN_FIRST = re.compile(r"This cell takes its numbers from the panel “(.+)”\. Run that panel's cell first")


@pytest.fixture(autouse=True)
def new_kernel(tmp_path, monkeypatch):
    """What a kernel that has just started knows: nothing."""
    monkeypatch.setenv("SPLASHKIT_HOME", str(tmp_path))
    monkeypatch.setattr(panels_base, "_shown", {})
    monkeypatch.setattr(exercises, "_predictions", {})
    monkeypatch.setattr(record, "_memory", None)


def code_of(path):
    return [lessons.source(cell) for cell in lessons.read(path)["cells"] if cell["cell_type"] == "code"]


def run_cell(text, names):
    """Run a cell as IPython does: the last line is shown."""
    tree = ast.parse(text)
    last = tree.body.pop()
    assert isinstance(last, ast.Expr), "every cell of a lesson shows something"
    exec(compile(tree, "cell", "exec"), names)
    shown = eval(compile(ast.Expression(last.value), "cell", "eval"), names)
    if hasattr(shown, "_repr_mimebundle_"):
        assert shown._repr_mimebundle_()
    return shown


def words_of(widget):
    """All text a widget shows."""
    if isinstance(widget, str):
        return widget
    own = getattr(widget, "value", "") if isinstance(widget, widgets.HTML) else ""
    inner = " ".join(words_of(child) for child in getattr(widget, "children", ()))
    return re.sub(r"<style.*?</style>", "", f"{own} {inner}", flags=re.S)


def follows_a_panel(text):
    return ".formulas()" in text or ".changes()" in text


@pytest.mark.parametrize("path", PRESENT)
def test_each_cell_alone_last_one_first(path):
    """The common case: a lesson opened in the middle, and one cell run."""
    cells = code_of(path)
    titles = set()
    for text in reversed(cells):
        shown = run_cell(text, {})
        said = words_of(shown)
        assert said.strip(), text
        found = RUN_FIRST.search(said)
        assert bool(found) == follows_a_panel(text), text
        titles |= {found[1]} if found else set()
        if "after=" in text:
            assert "run its cell first" in said and shown.covered
    held = {panel.title for panel in panels_base._shown.values()}
    assert titles <= held, "each panel named is one of this lesson's"
    # the panels stand now: what was missing fills when the cells are run again
    for text in filter(follows_a_panel, cells):
        assert not RUN_FIRST.search(words_of(run_cell(text, {}))), text


@pytest.mark.parametrize("path", PRESENT)
def test_cells_shuffled_and_twice_in_one_kernel(path):
    draw, cells = random.Random(path.name), code_of(path)
    cells += draw.sample(cells, 4)
    draw.shuffle(cells)
    names, shown = {}, {}
    for text in cells:
        shown[text] = run_cell(text, names)
    box = exercises.predict(path.name[:2])
    assert shown[next(text for text in cells if re.search(r"^exercises\.predict", text, re.M))] is box
    followers = {text: run_cell(text, names) for text in cells if follows_a_panel(text)}
    for text, view in followers.items():
        assert "fills in when the panel" in words_of(view) or len(words_of(view)) > 80, text
    waiting = [panel for panel in panels_base._shown.values() if panel.covered]
    assert waiting
    box.choice.index = 0
    box.commit()
    for panel in waiting:
        assert not panel.covered and panel.sentence, panel.title
    for text, view in followers.items():
        assert "fills in" not in words_of(view) and len(words_of(view)) > 80, text


def test_a_panel_run_before_its_prediction_waits_for_it():
    from splashkit import panels

    panel = panels.flash_duration(after=exercises.predict("02"))
    box = exercises.predict(2)
    assert panel.covered
    box.choice.index = 1
    box.commit()
    assert not panel.covered and exercises.predict("02").committed


def test_formulas_follow_the_panel_shown_last():
    from splashkit import panels

    first, second = panels.flash_duration(), panels.flash_duration()
    for panel in (first, second):
        panel._repr_mimebundle_()
    view = panels.flash_duration.formulas()
    before = view.text
    first.press(next(iter(first.presets.values())))
    assert view.text == before
    second.set(power=1 / 4)
    assert view.text != before


def test_a_prediction_made_before_stands(tmp_path, monkeypatch):
    box = exercises.predict("03")
    box.choice.index = 1
    told = box.commit()
    kept = (tmp_path / "progress.json").read_bytes()
    monkeypatch.setattr(exercises, "_predictions", {})  # a new kernel
    again = exercises.predict("03")
    assert again.committed and again.choice.index == 1 and again.choice.disabled and again.feedback == told
    assert "You predicted this before" in words_of(again)
    assert again.commit() == told and (tmp_path / "progress.json").read_bytes() == kept


@pytest.mark.parametrize("choice", ["words of an older version", "", None, 3, ["a"], {"a": 1}])
def test_a_stored_prediction_that_is_no_option_is_asked_again(choice, tmp_path):
    held = {"version": 1, "seed": 7, "lessons": {"03": {"prediction": {"choice": choice, "right": True}}}}
    (tmp_path / "progress.json").write_text(json.dumps(held))
    assert not exercises.predict("03").committed


# ---------------------------------------------------------------- a real kernel


class Kernel:
    """A real kernel on a learner's folder."""

    def __init__(self, folder):
        from jupyter_client import KernelManager

        given = servers.isolated(folder)
        given["PYTHONPATH"] = os.pathsep.join([str(lessons.LESSONS.parent), os.environ.get("PYTHONPATH", "")])
        self.manager = KernelManager(kernel_name="python3")
        self.manager.start_kernel(env=given, cwd=str(folder))
        self.client = self.manager.client()
        self.client.start_channels()
        self.client.wait_for_ready(timeout=60)

    def run(self, code, value=""):
        """Run code: no error, nothing on stderr. Gives the value of an expression, by way of JSON."""
        heard = []
        ask = {"value": f"__import__('json').dumps({value})"} if value else {}
        told = self.client.execute_interactive(
            textwrap.dedent(code), timeout=60, user_expressions=ask, output_hook=heard.append
        )
        for message in heard:
            assert message["msg_type"] != "error", message["content"]
            assert message["content"].get("name") != "stderr", message["content"]
        assert told["content"]["status"] == "ok", told["content"]
        self.heard = "".join(m["content"]["text"] for m in heard if m["msg_type"] == "stream")
        return (
            json.loads(ast.literal_eval(told["content"]["user_expressions"]["value"]["data"]["text/plain"]))
            if value
            else None
        )

    def kill(self):
        os.kill(self.manager.provisioner.pid, signal.SIGKILL)

    def close(self):
        self.client.stop_channels()
        self.manager.shutdown_kernel(now=True)


@pytest.mark.slow
@pytest.mark.skipif(os.name == "nt", reason="SIGKILL is not on Windows")
def test_kernel_killed_in_the_middle_of_a_lesson(tmp_path):
    cells = code_of(lessons.LESSONS / "11_test_frames.ipynb")
    first, second = Kernel(tmp_path), None
    try:
        for text in cells[: len(cells) // 2]:
            first.run(text)
        seen = first.run(
            """
            from splashkit import exercises, log, panels, rig
            box = exercises.predict("11")
            box.choice.index = 0
            box.commit()
            asked = exercises.question("11", 1)
            asked.answer.value = f"{asked.question.answer(asked.numbers):.6g} {asked.question.unit}"
            form = panels.my_rig()
            form.fields["nozzle_height"].box.value = "314 mm"
            form.name.value = "the shed"
            form.save()
            for number in range(5):
                log.append(log.Shot(delay=0.2 + number / 1000, gap=0.07, seen="late", note=f"frame {number}"))
            """,
            "[asked.feedback.right, box.committed, form.sentence]",
        )
        assert seen[:2] == [True, True] and "Saved" in seen[2]
        # and then killed while it logs one frame after the other
        first.client.execute(
            "for number in range(5, 10**6):\n"
            "    log.append(log.Shot(delay=0.2, gap=0.07, note=f'frame {number}'))\n"
            "    print(number, flush=True)"
        )
        said = 0
        ends = time.monotonic() + 60
        while said < 20 and time.monotonic() < ends:
            message = first.client.get_iopub_msg(timeout=60)
            if message["msg_type"] == "stream":
                said = max([said, *map(int, message["content"]["text"].split())])  # a newline may come alone
        first.kill()
        assert said >= 20
        second = Kernel(tmp_path)
        for text in cells:
            second.run(text)
        found = second.run(
            """
            from splashkit import log, panels, rig
            from splashkit.exercises import record
            from splashkit.panels import base
            mine, words = rig.load_or_demo()
            frames = log.load()
            box = exercises.predict("11")
            held = record.load()[0]["lessons"]["11"]
            """,
            "dict(height=mine.nozzle_height, name=mine.name, words=words, problems=frames.problems, held=held, "
            "notes=[s.note for s in frames.shots], committed=box.committed, told=box._told.value, "
            "covered=[p.title for p in base._shown.values() if p.covered], shown=len(base._shown))",
        )
        assert found["height"] == 0.314 and found["name"] == "the shed" and "your own rig.json" in found["words"]
        assert found["problems"] == [], "every row is whole"
        assert found["notes"] == [f"frame {number}" for number in range(len(found["notes"]))], "in their order"
        assert len(found["notes"]) > said, "each frame that was said to be saved is there"
        assert found["held"]["questions"]["1"] == {"right": True, "tries": 1}
        assert found["held"]["prediction"]["choice"]
        assert found["committed"] and "You predicted this before" in found["told"]
        assert found["shown"] >= 4 and found["covered"] == [], "the panels are open"
        again = cells * 2  # and once more, in any order, in this kernel
        random.Random(11).shuffle(again)
        for text in again:
            second.run(text)
    finally:
        first.close()
        if second:
            second.close()
