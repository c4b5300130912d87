"""One vocabulary: whatever technical word a lesson uses, the glossary has it, in the course's own words."""

import ast
import re
from pathlib import Path

import pytest
from tools import lessons

from splashkit import odds, panels

GLOSSARY = lessons.LESSONS / "glossary.md"
# a word that a photographer who does not program may not know (a pattern): the entry that explains it
TECHNICAL = {
    r"afterglow": "Afterglow",
    r"ambient": "Ambient light",
    r"room light": "Room light",
    r"f-number|aperture": "Aperture",
    r"back ?light|lit from behind": "Back light",
    r"\bband\b|\bbands\b": "Band",
    r"\bbond number": "Bond number",
    r"\bbulb\b": "Bulb",
    r"capacitor": "Capacitor-switched unit",
    r"close-up (?:loss|factor)|bellows": "Close-up loss",
    r"\bchains?\b": "Chain",
    r"\bcolumn": "Column",
    r"crater": "Crater",
    r"\bcrown": "Crown",
    r"curtain": "Curtain",
    r"curtain(?:'s|s')? travel": "Curtain travel",
    r"defocus|out of focus": "Defocus",
    r"dark edge": "Dark edge",
    r"\bdelay\b": "Delay",
    r"demo rig|invented rig": "Demo rig",
    r"\bdensity\b|\bdensities\b": "Density",
    r"depth of field": "Depth of field",
    r"diffraction": "Diffraction",
    r"diffuser": "Diffuser",
    r"\bdrag\b": "Drag",
    r"drag coefficient": "Drag coefficient",
    r"drip loop": "Drip loop",
    r"\bdwell": "Dwell",
    r"\bexposure\b": "Exposure",
    r"exposure value|\bEV\b": "Exposure value (EV)",
    r"fall-?off": "Falloff",
    r"flash duration": "Flash duration",
    r"flash power": "Flash power",
    r"focal[- ]plane": "Focal-plane shutter",
    r"focal length": "Focal length",
    r"\bfroude\b": "Froude number",
    r"front curtain": "Front curtain sync",
    r"\bgap\b": "Gap",
    r"\bghost": "Ghost",
    r"glycerol": "Glycerol",
    r"guide number": "Guide number",
    r"high-speed sync": "High-speed sync",
    r"\bhits?\b": "Hit",
    r"illuminance|\blux\b|\blx\b": "Illuminance",
    r"\bISO\b(?! \d{4})": "ISO setting",
    r"jitter": "Jitter",
    r"\bkeepers?\b": "Keeper",
    r"front light": "Front light",
    r"\blag\b|\blags\b": "Lag",
    r"magnification": "Magnification",
    r"meeting height|height of the meeting": "Meeting height",
    r"nozzle": "Nozzle",
    r"\bodds\b": "Odds",
    r"open flash|open shutter": "Open flash",
    r"optocoupler|isolator": "Isolator",
    r"pilot light": "Pilot light",
    r"pinch(?:es|ed)?[- ]off": "Pinch-off",
    r"\bpixels?\b": "Pixel",
    r"practice rig": "Practice rig",
    r"pulsed burn": "Pulsed burn",
    r"pupil": "Pupil ratio",
    r"quench": "Quench-controlled unit",
    r"rear curtain": "Rear curtain sync",
    r"refractive index|index of 1\.333|index of water": "Refractive index",
    r"\bresting\b|come to rest": "Resting time",
    r"residual-current": "Residual-current device",
    r"\breynolds\b": "Reynolds number",
    r"\bripples?\b": "Ripples",
    r"run sheet": "Run sheet",
    r"\bscatters?\b": "Scatter",
    r"shutter lag": "Shutter lag",
    r"slant|squash": "Slant, squash, stretch",
    r"\bslit\b": "Slit",
    r"\bsmears?\b": "Smear",
    r"softbox": "Softbox",
    r"\bspread\b(?= of| in| from|:)": "Spread",
    r"stabiliser": "Stabiliser",
    r"standard deviation": "Standard deviation",
    r"\bstops?\b(?= of light|s? (?:above|below|more|less))": "Stop",
    r"surface tension": "Surface tension",
    r"sync speed": "Sync speed",
    r"t0\.1": "t0.1",
    r"t0\.5": "t0.5",
    r"thicken": "Thickener",
    r"valve'?s? delay": "Valve delay",
    r"valve'?s? opening": "Valve opening",
    r"viscosity": "Viscosity",
    r"umbrella": "Umbrella",
    r"voltage-controlled": "Voltage-controlled unit",
    r"\bweber\b": "Weber number",
    r"\bwobble": "Wobble",
    r"xanthan": "Thickener",
    r"\bZ\b": "Z",
}


def entries():
    """Every entry with its section and its words."""
    section, found = "", []
    for line in GLOSSARY.read_text(encoding="utf-8").splitlines():
        if heading := re.match(r"## +(.+)", line):
            section = heading[1]
        elif entry := re.match(r"\*\*(.+?)\.\*\* +(.+)", line):
            found.append((section, entry[1], entry[2]))
    return found


NAMES = [name for _, name, _ in entries()]


def labels(widget):
    """Every label, choice and text inside a widget."""
    for child in getattr(widget, "children", ()):
        yield from labels(child)
    yield getattr(widget, "description", "")
    yield from (str(text) for text in getattr(widget, "_options_labels", ()))
    if not getattr(widget, "children", ()) and hasattr(widget, "placeholder"):  # text made of markup
        yield re.sub(r"<style.*?</style>|<[^>]+>", " ", str(getattr(widget, "value", "")), flags=re.S)


@pytest.fixture(scope="module")
def spoken(tmp_path_factory):
    """What learners read: lessons, pages, and words of each panel and its controls as it opens."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("SPLASHKIT_HOME", str(tmp_path_factory.mktemp("home")))
        said = {path.name: "\n".join([lessons.title(lessons.read(path)), lessons.prose_of(path)])
                for path in lessons.present()}  # fmt: skip
        said |= {path.name: lessons.prose_of(path) for path in lessons.LESSONS.glob("*.md") if path != GLOSSARY}
        for name in panels.PANELS:
            panel = getattr(panels, name)()
            words = [getattr(panel, "title", ""), getattr(panel, "lead", ""), getattr(panel, "sentence", "")]
            words += [f"{seen} {means}" for seen, means in getattr(panel, "legend_words", ())]
            said[name] = "\n".join([*words, *labels(panel)])
    return said


@pytest.mark.parametrize("pattern", TECHNICAL)
def test_a_technical_word_in_use_is_in_the_glossary(pattern, spoken):
    where = [name for name, text in spoken.items() if re.search(pattern, text, re.I)]
    if where:
        assert TECHNICAL[pattern] in NAMES, f"used in {', '.join(where[:4])}"


def test_every_entry_is_used_in_the_course(spoken):
    text = "\n".join(spoken.values()).lower()
    for _, name, words in entries():
        if re.fullmatch(r"See \*.+\*\.", words):  # a word people bring along, led to the course's own
            continue
        patterns = [p for p, entry in TECHNICAL.items() if entry == name] or [re.escape(re.sub(r" \(.*\)", "", name))]
        assert any(re.search(p, text, re.I) for p in patterns), f"nothing in the course says {name!r}"


def test_words_in_italics_have_their_own_entry():
    known = {name.lower() for name in NAMES} | {f"{name.lower()}s" for name in NAMES}
    for _, name, words in entries():
        for word in re.findall(r"(?<!\*)\*([^*]+)\*(?!\*)", words):
            assert word.lower() in known, f"{name}: *{word}*"


def test_entries_stand_in_order_and_once():
    assert len(set(NAMES)) == len(NAMES)
    sections = {section: [n for s, n, _ in entries() if s == section] for section, _, _ in entries()}
    for names in sections.values():
        assert names == sorted(names, key=str.lower)


def test_every_paragraph_below_a_heading_is_an_entry():
    body = GLOSSARY.read_text(encoding="utf-8").partition("\n## ")[2].partition("\n")[2]
    blocks = [block.strip() for block in re.split(r"\n\s*\n", body) if block.strip()]
    assert all(re.match(r"\*\*.+?\.\*\* |## ", block) for block in blocks)


def test_the_window_of_a_hit_is_the_one_that_odds_are_counted_with():
    assert odds.HIT_WINDOW == 1.5e-3
    assert "within one and a half milliseconds of the meeting" in GLOSSARY.read_text(encoding="utf-8")


def texts_of(path):
    """Give the words of a module that a learner may read: its texts without the docstrings."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    silent = {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr)}
    texts = [node for node in ast.walk(tree) if isinstance(node, ast.Constant) and id(node) not in silent]
    return " ".join(str(node.value) for node in texts)


def test_a_curtain_has_one_name():
    """The front curtain was the first one in the rig's form, in a formula, a verdict, a legend and the fault finder."""
    package = Path(panels.__file__).parents[1]
    rooms = [package / name for name in ("panels", "exercises", "workings", "runsheet", "figures", "rig")]
    modules = [package / "faults.py", package / "chains.py", *(path for room in rooms for path in room.glob("*.py"))]
    assert len(modules) > 100
    texts = {path.name: texts_of(path) for path in modules}
    texts |= {path.name: path.read_text(encoding="utf-8") for path in lessons.LESSONS.glob("[01]*.ipynb")}
    assert [name for name, text in texts.items() if re.search(r"(first|second) curtain", text)] == []
