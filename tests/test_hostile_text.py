"""What a stored name or note says is shown as text, in every panel, question and page; nothing in it is ever run."""

import html.parser
import json

import ipywidgets as widgets
import pytest

from splashkit import log, panels, rig, runsheet
from splashkit.figures import runsheet_html

EVIL = """<script>alert(1)</script><img src=x onerror=alert(2)> "' onmouseover=alert(3) </title></textarea>&lt;b&gt;"""
PLAIN = "alert(1)"


class Markup(html.parser.HTMLParser):
    """Collects what a browser would run, and the words it would show."""

    def __init__(self, text):
        super().__init__(convert_charrefs=True)
        self.runs, self.words = [], ""
        self.feed(text)
        self.close()

    def handle_starttag(self, tag, attributes):
        if tag in ("script", "iframe", "object", "embed", "form", "base", "link"):
            self.runs.append(f"<{tag}>")
        for name, value in attributes:
            if name.startswith("on") or (value or "").strip().lower().startswith("javascript:"):
                self.runs.append(f"{tag} {name}={value}")

    handle_startendtag = handle_starttag

    def handle_data(self, data):
        self.words += data


def all_markup(widget):
    """Every piece of markup under a widget, and its static copy."""
    if isinstance(widget, (widgets.HTML, widgets.HTMLMath)):
        yield widget.value
    for child in getattr(widget, "children", ()):
        yield from all_markup(child)
    if hasattr(widget, "static_html"):
        yield widget.static_html()


def assert_harmless(pieces):
    for piece in pieces:
        assert not Markup(piece).runs, piece[:400]


@pytest.fixture
def home(tmp_path, monkeypatch):
    monkeypatch.setenv("SPLASHKIT_HOME", str(tmp_path))
    return tmp_path


@pytest.fixture
def evil_files(home):
    rig.save(rig.demo().with_values(name=EVIL, note=EVIL, invented=False))
    for _ in range(3):
        log.append(log.Shot(delay=0.2, gap=0.07, seen="late", note=EVIL))
    return home


def test_the_check_can_fail():
    for bad in ("<script>x</script>", "<img src=x onerror=f()>", '<a href=" JavaScript:f()">', "<SCRIPT/>", "<iframe>"):
        with pytest.raises(AssertionError):
            assert_harmless([f"<div>{bad}</div>"])
    assert_harmless(["<div>&lt;script&gt; on=1</div>"])


@pytest.mark.parametrize("name", panels.PANELS)
def test_stored_words_are_text_in_every_panel(name, evil_files):
    panel = getattr(panels, name)()
    assert_harmless(all_markup(panel))


def test_the_note_is_really_shown_in_the_log(evil_files):
    book = panels.shot_log()
    words = " ".join(Markup(piece).words for piece in all_markup(book))
    assert PLAIN in words, "the table shows notes, as text"


def test_the_name_is_really_shown_on_the_run_sheet(evil_files):
    page = runsheet_html.to_html(runsheet.sheet(rig.load()))
    found = Markup(page.decode() if isinstance(page, bytes) else page)
    assert PLAIN in found.words and not found.runs


@pytest.mark.parametrize("name", panels.PANELS)
@pytest.mark.parametrize("damage", ["not json", "strange key", "strange value"])
def test_words_of_a_damaged_rig_file_are_text(name, damage, home):
    text = {
        "not json": "{" + EVIL,
        "strange key": json.dumps({EVIL: EVIL, "nozzle_height_mm": EVIL}),
        "strange value": json.dumps({"version": EVIL, "name": [EVIL], "nozzle_height_mm": EVIL}),
    }[damage]
    rig.path().parent.mkdir(parents=True, exist_ok=True)
    rig.path().write_text(text, encoding="utf-8")
    assert_harmless(all_markup(getattr(panels, name)()))


@pytest.mark.parametrize("name", ["shot_log", "practice"])
def test_words_of_a_damaged_log_are_text(name, home):
    log.append(log.Shot(delay=0.2, gap=0.07, seen="late"))
    with open(log.path(), "a", encoding="utf-8", newline="") as file:
        file.write(f'"{EVIL.replace(chr(34), chr(34) * 2)}",{EVIL},,,\r\n')
    assert_harmless(all_markup(getattr(panels, name)()))


@pytest.mark.parametrize("name", [n for n in panels.PANELS if n not in ("my_rig",)])
def test_a_rig_handed_over_is_text_too(name, home):
    assert_harmless(all_markup(getattr(panels, name)(rig=rig.demo().with_values(name=EVIL, note=EVIL))))


ODD = {
    "other scripts": "😀 水滴 عربى é́́́ 𝕏𝔘 \U0010ffff",
    "control": "tab\tnew\nline\x00\x1b[31m\x85\u2028\u202eback\ufffc",
    "formula": r"$\frac{x}$ $$ \alpha {0} %s %(x)s C:\new",
}


@pytest.mark.filterwarnings("error")  # a warning would stand red under the panel
@pytest.mark.parametrize("kind", ODD)
def test_any_name_can_be_printed(kind, home):
    rig.save(rig.demo().with_values(name=ODD[kind], note=ODD[kind], invented=False))
    log.append(log.Shot(delay=0.2, gap=0.07, seen="late", note=ODD[kind]))
    sheet = panels.run_sheet()
    for form in ("pdf", "html"):
        assert sheet.save(form).startswith("Saved")
    for name in ("shot_log", "timeline", "my_rig"):
        assert "our mistake" not in getattr(panels, name)().sentence
