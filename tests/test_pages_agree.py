"""README, DEVELOPERS and the workshop guide say what is there: names, minutes, commands, measured numbers."""

import csv
import re
import subprocess
import sys
from importlib import import_module

import pytest
from tools import lessons

from splashkit import __main__ as opener
from splashkit import panels
from splashkit.panels.base import Panel

ROOT = lessons.LESSONS.parent
GUIDE = lessons.LESSONS / "workshop_guide.md"
PAGES = [ROOT / "README.md", ROOT / "DEVELOPERS.md", GUIDE]
LENGTHS = {"Two hours": 120, "Half a day": 240, "A full day": 420}


def text(path):
    return path.read_text(encoding="utf-8")


def section(heading):
    return re.search(rf"^##+ {re.escape(heading)}\n(.*?)(?=^##? |\Z)", text(GUIDE), re.M | re.S)[1]


def rows(part):
    return [[cell.strip() for cell in line.strip("|").split("|")] for line in part.splitlines() if line[:1] == "|"][2:]


@pytest.fixture(scope="module")
def said(tmp_path_factory):
    """Every preset, list and button of every panel, and every heading and bold word of the lessons."""
    words = set()
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("SPLASHKIT_HOME", str(tmp_path_factory.mktemp("home")))
        for name in panels.PANELS:
            panel = getattr(panels, name)()
            if isinstance(panel, Panel):
                words |= set(panel.presets)
    return words


@pytest.mark.parametrize("plan", LENGTHS)
def test_minutes_of_a_plan_add_up(plan):
    at = 0
    for start, minutes, *_ in rows(section(plan)):
        assert int(start) == at
        at += int(minutes)
    assert at == LENGTHS[plan]


@pytest.mark.parametrize("plan", LENGTHS)
def test_a_plan_names_buttons_and_lessons_that_exist(plan, said):
    numbers = {path.name[:2] for path in lessons.present()}
    for _, _, _, show in rows(section(plan)):
        for button in re.findall(r"\*\*(.+?)\*\*", show):
            assert button in said, f"no panel has a button {button!r}"
        assert set(re.findall(r"lesson (\d\d)", show)) <= numbers


@pytest.mark.parametrize("plan", LENGTHS)
def test_a_plan_starts_with_the_cautions_and_has_breaks(plan):
    what = [row[2] for row in rows(section(plan))]
    assert "autions" in what[0]
    breaks = [(int(row[0]), int(row[1])) for row in rows(section(plan)) if re.match("Break|Lunch", row[2])]
    ends = [0, *(start + minutes for start, minutes in breaks)]
    starts = [*(start for start, _ in breaks), LENGTHS[plan]]
    assert breaks and max(start - end for end, start in zip(ends, starts, strict=True)) <= 125


def test_risk_notes_hold_every_caution():
    notes = section("Risk notes").lower()
    wanted = ["charge", "residual-current", "low-voltage", "drip loop", "trigger", "short range", "alcohol", "stain"]
    wanted += ["three flashes a second", "allergic", "drunk", "slippery", "glass", "way out", "venue", "licensed"]
    wanted += ["local electrical codes"]
    assert [word for word in wanted if word not in notes] == []


@pytest.mark.parametrize(
    "page", ["README.md", *(f"lessons/{name}" for name in ("00_start_here.ipynb", "12_first_shoot.ipynb", GUIDE.name))]
)
def test_each_list_of_cautions_has_every_matter(page):
    words = (lessons.prose_of(ROOT / page) if page.endswith(".ipynb") else text(ROOT / page)).lower()
    matters = ["charge", "residual-current", "drip loop", "old", "lamp|pilot", "bursts?|hot glass", "paper and film"]
    matters += ["short range", "three flashes a second", "alcohol", "stain", "drunk", "slippery", "way out", "licensed"]
    assert [matter for matter in matters if not re.search(matter, words)] == []


def test_readme_asks_the_questions_of_the_lessons():
    asked = dict(re.findall(r"^\| (\d\d) \| (.+?) \|", text(ROOT / "README.md"), re.M))
    for path in lessons.present():
        assert asked[path.name[:2]] == lessons.title(lessons.read(path))


@pytest.mark.parametrize("page", [pytest.param(page, id=page.name) for page in PAGES])
def test_files_that_a_page_names_exist(page):
    for name in re.findall(r"`([\w./-]+/[\w./-]*|\w[\w-]*\.(?:md|toml|ipynb))`", text(page)):
        if name.startswith("splashkit/lessons") or "NN" in name:  # in the learner's home; a name to fill in
            continue
        places = [ROOT / name, page.parent / name, ROOT / "splashkit" / name, ROOT / "tests" / name,
                  lessons.LESSONS / name]  # fmt: skip
        assert any(place.exists() for place in places), name
    for target in re.findall(r"(?<!!)\[[^\]]*\]\(([^)\s]+)\)", text(page)):
        assert target.startswith("https://") or (page.parent / target.partition("#")[0]).is_file(), target


@pytest.mark.parametrize("page", [pytest.param(page, id=page.name) for page in PAGES])
def test_commands_that_a_page_names_are_understood(page):
    for words in re.findall(r"-m splashkit([^\n`.'&]*)", text(page)):
        given = words.split("--  ")[0].split()
        if given[:1] == ["handouts"]:
            opener.handouts_parser().parse_args(given[1:])
        else:
            opener.parser().parse_args(given[: given.index("--")] if "--" in given else given)


def test_the_link_form_opens_lesson_00():
    link = re.search(r"https://mybinder\.org/v2/\S+", text(ROOT / "README.md"))[0]
    assert (ROOT / link.partition("urlpath=lab/tree/")[2]).is_file()


def test_numbers_of_the_hub_are_those_measured():
    """tests/benchmarks/class_load.csv holds what tests/benchmarks/class_load.py printed."""
    with open(ROOT / "tests" / "benchmarks" / "class_load.csv", encoding="utf-8") as file:
        measured = {row["what"]: row["value"] for row in csv.DictReader(line for line in file if line[0] != "#")}
    words = re.sub(r"\s+", " ", section("How much memory and CPU for twenty people"))
    for what, value in measured.items():
        assert value in words, f"{what} was measured as {value}; the guide does not say so"


MODELS = lessons.LESSONS / "models_and_limits.md"
ROOMS = ("exposure", "flash", "sync", "lens", "lights", "settings", "liquids", "drops", "splash", "timing", "chains",
         "odds", "measure", "belief", "advice", "practice", "picture")  # fmt: skip


@pytest.mark.parametrize("room", ROOMS)
def test_each_room_has_its_models_on_the_page(room):
    """The page of "every model and its limits" had no word on exposure, lights, settings, odds or what frames tell."""
    prose = text(MODELS).split("<!-- checks:start -->")[0]
    named = [name for spans in re.findall(r"\(`([^)]*)`", prose) for name in spans.split("`")]
    mine = {name.partition(".")[2] for name in named if name.startswith(f"{room}.")}
    assert mine, f"no model of {room} has an entry"
    assert all(hasattr(import_module(f"splashkit.{room}"), name) for name in mine), mine


@pytest.mark.parametrize("tool", ["checks_table.py", "pins.py", "lessons.py"])
def test_asking_a_tool_for_help_changes_nothing(tool):
    """checks_table and pins took --help for an order: the one wrote the page, the other asked the network."""
    command = [sys.executable, str(ROOT / "tests" / "tools" / tool), "--help"]
    answer = subprocess.run(command, capture_output=True, text=True, timeout=60, cwd=ROOT, check=True)
    assert tool in answer.stdout and "wrote" not in answer.stdout and "==" not in answer.stdout
