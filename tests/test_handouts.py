"""Hand-outs: pages that need no kernel and no network, and say what the lesson says."""

import html.parser
import re
import sys

import pytest
from tools import lessons
from tools.browser import browser_path, missing

from splashkit import __main__ as opener
from splashkit import exercises, handouts, panels
from splashkit.exercises import base
from splashkit.handouts import lesson, page, widgets

PRESENT = [pytest.param(path, id=path.stem) for path in lessons.present()]
SEED = 7
INLINE = {"strong", "em", "b", "i", "a", "code", "span", "sub", "sup", "mi", "mo", "mn"}
VOID = {"meta", "img", "br", "hr", "input", "path", "link"}


class Reader(html.parser.HTMLParser):
    """Collects text, attributes and unbalanced tags."""

    def __init__(self, markup):
        super().__init__()
        self.text, self.tags, self.open, self.unbalanced = "", [], [], []
        self.feed(markup)
        self.text = re.sub(r"\s+", " ", self.text)

    def handle_starttag(self, tag, attributes):
        self.text += " " * (tag not in INLINE)
        self.tags.append((tag, dict(attributes)))
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag, attributes):
        self.tags.append((tag, dict(attributes)))

    def handle_endtag(self, tag):
        self.text += " " * (tag not in INLINE)
        if tag in ("p", "li", "td", "th", "tr", "dt", "dd") and tag not in self.open:
            self.unbalanced.append(tag)
        elif tag not in VOID:
            while self.open and self.open[-1] != tag:
                self.unbalanced.append(self.open.pop())
            if self.open:
                self.open.pop()

    def handle_data(self, data):
        if not self.open or self.open[-1] not in ("style", "script"):
            self.text += data


@pytest.fixture(scope="module")
def written(tmp_path_factory):
    """Every page, written once."""
    folder = tmp_path_factory.mktemp("handouts")
    return folder, {path.name: path.read_text(encoding="utf-8") for path in handouts.write(folder, seed=SEED)}


@pytest.mark.slow
def test_every_lesson_and_page_is_there_and_the_index_leads_to_it(written):
    _, pages = written
    wanted = {f"{path.stem}.html" for path in [*lessons.present(), *lessons.LESSONS.glob("*.md")]}
    assert pages.keys() == wanted | {"timeline.html", "index.html"}
    assert all(f'href="{name}"' in pages["index.html"] for name in wanted | {"timeline.html"})


@pytest.mark.slow
def test_pages_need_no_network_and_no_kernel(written):
    _, pages = written
    for name, text in pages.items():
        read = Reader(text)
        assert read.unbalanced == [], name
        assert not re.search(r"@import|url\(['\"]?http", text)
        for tag, attributes in read.tags:
            assert tag not in ("link", "iframe", "object"), name
            assert "src" not in attributes or attributes["src"].startswith("data:"), name
            target = attributes.get("href", "#")
            if not target.startswith(("#", "https://", "data:")):
                file, _, anchor = target.partition("#")
                assert file in pages, f"{name} leads to {target}"
                assert not anchor or f'id="{anchor}"' in pages[file], f"{name} leads to {target}"
            if tag == "img":
                assert len(attributes.get("alt", "")) > 0, name
            if attributes.get("role") == "img":
                assert len(attributes.get("aria-label", "")) > 20, name
        for word in ("Cells in the menu above", "Traceback", "model_id", "VBox(", "$"):
            assert word not in read.text, f"{name} holds {word!r}"


@pytest.mark.slow
@pytest.mark.parametrize("path", PRESENT)
def test_lesson_is_whole_on_paper(path, written, monkeypatch, tmp_path):
    monkeypatch.setenv("SPLASHKIT_HOME", str(tmp_path))  # as in the kernel: no rig, no log
    text = written[1][f"{path.stem}.html"]
    read = Reader(text)
    notebook = lessons.read(path)
    code = "\n".join(lessons.source(cell) for cell in notebook["cells"] if cell["cell_type"] == "code")
    assert lessons.title(notebook) in read.text
    for heading in list(lessons.sections(notebook))[1:]:
        assert heading in read.text
    # every panel called in the lesson is a picture with its sentence
    called = [name for name in re.findall(r"panels\.(\w+)\(", code) if name in panels.PANELS and name != "my_rig"]
    made = {name: getattr(panels, name)() for name in dict.fromkeys(called) if "legend" not in name}
    for name, panel in made.items():
        if hasattr(panel, "sentence") and hasattr(panel, "static_html"):
            assert panel.title in read.text, name
            assert re.sub(r"\s+", " ", panel.sentence) in read.text, name
    if not base.has_questions(path.name[:2]):
        return
    module = base.lesson(path.name[:2])
    for option, right, why in module.PREDICTION.options:
        assert option in read.text
        assert not right or why in read.text
    front, _, answers = read.text.partition("Answers They are folded")
    items = exercises.question_sheet(SEED, [path.name[:2]]).items
    for _, number, question, options, answer in items:
        assert re.sub(r"\s+", " ", question) in front
        assert all(option in front for option in options)
        assert f"Question {number} Answer: {re.sub(r' +', ' ', answer)}" in answers
    assert text.count('class="space"') == len(items), "space to write"
    assert "Worked solution" not in front


@pytest.mark.slow
def test_pdf_shows_what_is_folded(written):
    """Printed by the browser, read back by pypdf."""
    pypdf = pytest.importorskip("pypdf")
    browser = browser_path()
    if browser is None:
        missing("no browser found, so no PDF", "SPLASHKIT_REQUIRE_BROWSER")
    folder, pages = written
    name = next(name for name in pages if name.startswith("10"))
    assert opener.print_pdf(browser, folder / name) == ""
    printed = [one.extract_text() for one in pypdf.PdfReader(folder / name.replace(".html", ".pdf")).pages]
    first = next(number for number, words in enumerate(printed) if words.lstrip().startswith("Answers"))
    assert not any("Answer:" in words for words in printed[:first]), "the guide says which pages to keep back"
    assert sum("Answer:" in words for words in printed[first:]) > 1, "more than one, so the guide must not say 'page'"
    name = next(name for name in pages if name.startswith("02"))
    assert opener.print_pdf(browser, folder / name) == ""
    read = pypdf.PdfReader(folder / name.replace(".html", ".pdf"))
    text = re.sub(r"\s+", " ", " ".join(one.extract_text() for one in read.pages))
    assert 3 <= len(read.pages) <= 9
    for item in exercises.question_sheet(SEED, ["02"]).items:
        assert f"Answer: {item[4]}" in text
    assert opener.print_pdf(browser, folder / "timeline.html") == ""
    both = [one.extract_text() for one in pypdf.PdfReader(folder / "timeline.pdf").pages]
    assert len(both) == 2 and "Your own rig" in both[1]  # one sheet: the example, and the same rows to draw into
    assert opener.print_pdf(browser, folder / "glossary.html") == ""
    assert len(pypdf.PdfReader(folder / "glossary.pdf").pages) <= 4


# ---------------------------------------------------------------- the command


@pytest.fixture
def quick(monkeypatch, tmp_path):
    """The command with the running of lessons taken out."""
    monkeypatch.setattr(lesson, "page_body", lambda source, seed: ("A lesson", "<h1>A lesson</h1>"))
    monkeypatch.setenv("SPLASHKIT_HOME", str(tmp_path / "home"))
    return tmp_path


def test_without_a_browser_one_sentence_says_so(quick, capsys, monkeypatch):
    monkeypatch.setenv("SPLASHKIT_BROWSER", str(quick / "none"))
    assert opener.main(["handouts", "02"]) == 0
    said = capsys.readouterr().out
    assert "02_flash_duration.html" in said
    assert "no PDF files" in said
    assert (quick / "home" / "handouts" / "index.html").is_file()


def test_a_browser_that_fails_is_said(quick, capsys, monkeypatch):
    monkeypatch.setattr(opener, "find_browser", lambda: str(quick / "none"))
    assert opener.main(["handouts", "--dir", str(quick / "out"), "02"]) == 0
    assert "made no PDF of 02_flash_duration.html" in capsys.readouterr().out


@pytest.mark.skipif(sys.platform == "win32", reason="the browser of this test is a shell script")
@pytest.mark.parametrize(("crashes", "made"), [(1, True), (2, False)])
def test_a_browser_that_crashes_once_is_asked_again(crashes, made, tmp_path):
    browser = tmp_path / "browser"
    browser.write_text(
        f'#!/bin/sh\nn=$(cat {tmp_path}/n); echo $((n + 1)) > {tmp_path}/n; [ "$n" -ge {crashes} ] || exit 139\n'
        'for word; do case $word in --print-to-pdf=*) echo pdf > "${word#*=}";; esac; done\n'
    )
    browser.chmod(0o755)
    (tmp_path / "n").write_text("0")
    said = opener.print_pdf(str(browser), tmp_path / "page.html")
    assert (tmp_path / "page.pdf").is_file() == made
    assert said == "" if made else "made no PDF of page.html" in said


@pytest.mark.parametrize(
    ("given", "needle"),
    [(["14"], "from 00 to 12"), (["soup"], "from 00 to 12")],
)
def test_a_lesson_that_is_none_is_refused(given, needle, quick, capsys):
    assert opener.main(["handouts", *given]) == 1
    assert needle in capsys.readouterr().err


def test_a_folder_that_cannot_be_is_said(quick, capsys):
    (quick / "file").write_text("x")
    assert opener.main(["handouts", "--no-pdf", "--dir", str(quick / "file"), "02"]) == 1
    assert "another --dir" in capsys.readouterr().err


@pytest.mark.parametrize("seed", ["-1", "x", "1.5", "9" * 40])
def test_a_seed_that_is_none_is_refused(seed, capsys):
    with pytest.raises(SystemExit):
        opener.main(["handouts", f"--seed={seed}"])
    assert "the seed must be" in capsys.readouterr().err


# ---------------------------------------------------------------- parts


def test_figures_say_how_wide_they_are_so_that_two_share_a_row_of_the_page():
    made = widgets.bare(panels.light_placing().static_html())
    assert made.count("--wide:") == made.count('class="splash-figure"') == 3
    assert 'style="--wide:273.6pt;max-width:273.6pt;' in made and "var(--wide" in page.STYLE


def test_formula_is_a_picture_with_words():
    made = page.markdown(r"Speed $v_0$ costs $\frac{a}{b}$ and \$ stays.")
    assert made.count("<img") == 2
    assert 'alt="v_0"' in made
    assert 'alt="(a)/(b)"' in made


def test_links_between_lessons_lead_to_pages():
    body = page.markdown("[on](03_shutter.ipynb) [word](glossary.md#Slit) [far](https://example.org/a.md)")
    made = page.whole("Links", body + "<a href='04_who_fires_whom.ipynb'>in a panel</a>")
    assert "href='04_who_fires_whom.html'" in made
    assert 'href="03_shutter.html"' in made
    assert 'href="glossary.html#Slit"' in made
    assert 'href="https://example.org/a.md"' in made


def test_walker_keeps_words_and_leaves_tools():
    def model(kind, **state):
        return {"model_name": kind, "state": state}

    state = {
        "top": model("VBoxModel", children=[f"IPY_MODEL_{n}" for n in ("a", "b", "c", "d", "e", "f")]),
        "a": model("HTMLModel", value="<style>.x{}</style><p>A question</p><a download='x' href='data:,'>file</a>"),
        "b": model("TextModel", description="Answer (mm)", value=""),
        "c": model("RadioButtonsModel", _options_labels=["more < less", "less"], index=None),
        "d": model("ButtonModel", description="Check"),
        "e": model("HTMLModel", value="<details><summary>Worked solution</summary><b>42</b></details>"),
        "f": model("HTMLModel", value='<div role="status">No rig is saved yet</div>'),
    }
    markup, solutions = widgets.output({"data": {widgets.VIEW: {"model_id": "top"}}}, state)
    assert solutions == ["<b>42</b>"]
    assert "A question" in markup and "Answer (mm)" in markup and "more &lt; less" in markup
    assert not any(word in markup for word in ("Check", "42", "style", "download", "No rig"))


def test_words_of_a_lesson_are_never_markup():
    assert "<b>" not in widgets.output({"data": {"text/plain": "<b>"}}, {})[0]
