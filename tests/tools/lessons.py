"""Write, clean and check the lesson notebooks. The .ipynb files in lessons/ are the only stored source.

    python tests/tools/lessons.py build draft.txt lessons/02_flash_duration.ipynb   plain text to notebook
    python tests/tools/lessons.py text lessons/02_flash_duration.ipynb draft.txt    notebook back to plain text
    python tests/tools/lessons.py clean                                             all of lessons/, or the files named
    python tests/tools/lessons.py links                                             rewrite links and the index
    python tests/tools/lessons.py check                                             say what breaks the template
    python tests/tools/lessons.py prose                                             sentence lengths of each lesson
    python tests/tools/lessons.py minutes                                           stated minutes beside estimated ones

The plain text is cells after cells. A line that starts with ``%%`` opens a cell::

    %% md
    # 02 · How long is a flash?
    Choose **Run > Run All Cells** in the menu above...
    %% code
    # Panel: light against time (click ••• for the code)
    from splashkit import panels
    panels.flash_duration()
    %% visible
    from splashkit import flash
    flash.light_curve("quench", 1 / 64).t01

- ``%% md`` is prose, ``%% code`` a code cell, ``%% visible`` a code cell that stays open.
- A code cell starts with a caption comment and is folded: JupyterLab shows the caption and ``•••``.
- A code cell names in an import what it uses, and uses nothing from another cell: any cell can be run first.
- A line ``@links`` in prose becomes the previous/index/next line, made from the lessons present.
- Cell ids come from the content, so the same text always gives the same file.

The parts that each lesson has, in order, are the data in ``TEMPLATE`` and ``SPECIAL`` below.
After editing a notebook in JupyterLab, run ``clean``: it removes outputs and counts and folds the captions again.
"""

from __future__ import annotations

import ast
import builtins
import copy
import hashlib
import json
import re
import statistics
import sys
from pathlib import Path
from urllib.parse import unquote

LESSONS = Path(__file__).resolve().parents[2] / "lessons"
RUN_ALL = "Run > Run All Cells"
WAY_BACK = "press the **Home** key"  # JupyterLab leaves the reader at the last cell after running all
TEMPLATE = [
    "Predict",
    "Try",
    "Explain",
    "In one line",
    "Where this stops being true",
    "Exercises",
    "Legend",
    "Sources",
    "Next question",
]
# lessons that vary: the first orders the shoot and the last puts it together
SPECIAL = {
    "00": ["Predict", "Try", "Exercises", "Legend", "Sources", "Next question"],
    "12": ["Try", "Exercises", "Legend", "Sources"],
}
OPENING = ["**Goals**", "**Needs**", "**Minutes**"]  # the second cell, with three goals and the links
EXERCISES = 3
CODE_LINES = 4
WORDS_MEAN, WORDS_MOST = 20, 40
READ, EXERCISE, PREDICTION, FORM = 180, 2.0, 1.0, 3.0  # words a minute; minutes each
CONTROLS_MOST = 10  # minutes: nobody tries more than ten controls of one panel in one sitting
AIDS = {"measure_lag", "measure_curtains", "measure_valve", "weigh_drops", "measure_flash"}  # the learner picks one

METADATA = {
    "kernelspec": {"display_name": "Python 3 (ipykernel)", "language": "python", "name": "python3"},
    "language_info": {"name": "python"},
}
FOLDED = {"jupyter": {"source_hidden": True}, "tags": ["hide-input"]}
VISIBLE = {"tags": ["visible"]}


# ---------------------------------------------------------------- writing


def read(path: Path) -> dict:
    return json.loads(Path(path).read_text(encoding="utf-8"))


def write(path: Path, notebook: dict) -> None:
    Path(path).write_text(dump(notebook), encoding="utf-8", newline="\n")


def dump(notebook: dict) -> str:
    """The one way a notebook is written: as nbformat and JupyterLab write it."""
    return json.dumps(notebook, indent=1, ensure_ascii=False, sort_keys=True) + "\n"


def source(cell: dict) -> str:
    return "".join(cell["source"])


def captioned(text: str) -> bool:
    return text.lstrip().startswith("#")


def make(cells: list[tuple[str, str]]) -> dict:
    """Make a clean notebook from (kind, text) pairs; kind is md, code or visible."""
    made, seen = [], {}
    for kind, text in cells:
        lines = [line.rstrip() for line in text.strip("\n").split("\n")]
        text = "\n".join(lines)
        digest = hashlib.sha256(f"{kind == 'md'}\n{text}".encode()).hexdigest()[:10]
        seen[digest] = seen.get(digest, 0) + 1
        cell = {"id": digest if seen[digest] == 1 else f"{digest}-{seen[digest]}", "source": text.splitlines(True)}
        if kind == "md":
            cell |= {"cell_type": "markdown", "metadata": {}}
        else:
            metadata = VISIBLE if kind == "visible" else FOLDED if captioned(text) else {}
            cell |= {"cell_type": "code", "execution_count": None, "metadata": metadata, "outputs": []}
        made.append(cell)
    return copy.deepcopy({"cells": made, "metadata": METADATA, "nbformat": 4, "nbformat_minor": 5})


def parts(notebook: dict) -> list[tuple[str, str]]:
    """Take a notebook, in whatever state, back to (kind, text) pairs."""
    pairs = []
    for cell in notebook["cells"]:
        kind = "md"
        if cell["cell_type"] == "code":
            kind = "visible" if "visible" in cell["metadata"].get("tags", []) else "code"
        pairs.append((kind, source(cell)))
    return pairs


def clean(notebook: dict) -> dict:
    """Strip outputs, counts and stray metadata, fold captioned cells, renew ids."""
    return make([(kind, text) for kind, text in parts(notebook) if text.strip()])


def from_text(text: str) -> list[tuple[str, str]]:
    cells: list[tuple[str, list[str]]] = []
    for number, line in enumerate(text.splitlines(), 1):
        if line.startswith("%%"):
            kind = line[2:].strip()
            if kind not in ("md", "code", "visible"):
                raise SystemExit(f"line {number}: a cell opens with '%% md', '%% code' or '%% visible', not {line!r}")
            cells.append((kind, []))
        elif cells:
            cells[-1][1].append(line)
        elif line.strip():
            raise SystemExit(f"line {number}: text before the first '%%' line")
    return [(kind, "\n".join(lines).strip("\n")) for kind, lines in cells if "".join(lines).strip()]


def to_text(notebook: dict) -> str:
    return "\n".join(f"%% {kind}\n{text}\n" for kind, text in parts(notebook))


def present(folder: Path = LESSONS) -> list[Path]:
    """The numbered lessons of a folder, in order."""
    return sorted(Path(folder).glob("[0-9][0-9]_*.ipynb"))


def title(notebook: dict) -> str:
    found = re.search(r"^# +(.*)$", source(notebook["cells"][0]), re.M) if notebook["cells"] else None
    return re.sub(r"^\d+\s*[.·:]\s*", "", found[1]).strip() if found else ""


def links_line(path: Path) -> str:
    """The previous/index/next line of one lesson, from the lessons beside it."""
    path = Path(path)
    names = sorted({*present(path.parent), path})
    at = names.index(path)
    pieces = []
    if at > 0:
        pieces.append(f"[← {title(read(names[at - 1]))}]({names[at - 1].name})")
    pieces.append(f"[Index]({names[0].name})")
    if at + 1 < len(names):
        pieces.append(f"[{title(read(names[at + 1]))} →]({names[at + 1].name})")
    return " · ".join(pieces)


def index_row(row: re.Match, folder: Path) -> str:
    """One row of the index, ``| 02 | question | minutes |``: linked, with the lesson's own words, if it is present."""
    found = next(iter(sorted(Path(folder).glob(f"{row[1]}_*.ipynb"))), None)
    if found is None:
        return row[0]
    notebook = read(found)
    minutes = re.search(r"\*\*Minutes\*\*\D{0,4}(\d+)", "\n".join(text for _, text in parts(notebook)))
    return f"| {row[1]} | [{title(notebook)}]({found.name}) | {minutes[1] if minutes else '–'} |"


def with_links(path: Path, notebook: dict) -> dict:
    line, folder = links_line(path), Path(path).parent
    pattern = re.compile(r"^(@links|.*\[Index\]\([^)]*\).*)$", re.M)
    rows = re.compile(r"^\| (\d\d) \| (.+?) \| (.+?) \|$", re.M)
    cells = [(kind, pattern.sub(lambda _: line, text) if kind == "md" else text) for kind, text in parts(notebook)]
    if Path(path).name.startswith("00"):
        cells = [(k, rows.sub(lambda row: index_row(row, folder), text) if k == "md" else text) for k, text in cells]
    return make(cells)


# ---------------------------------------------------------------- checking: each rule gives a list of plain sentences


def sections(notebook: dict) -> dict[str, list[dict]]:
    """Cells under each ``##`` heading, in order; a cell belongs to the last heading it holds."""
    found: dict[str, list[dict]] = {"": []}
    now = ""
    for cell in notebook["cells"]:
        if cell["cell_type"] == "markdown":
            for heading in re.findall(r"^## +(.+?) *$", source(cell), re.M):
                now = heading
                found.setdefault(now, [])
        found[now].append(cell)
    return found


def rule_stored_clean(path: Path) -> list[str]:
    stored = Path(path).read_text(encoding="utf-8")
    return [] if stored == dump(clean(read(path))) else ["not stored clean: run `python tests/tools/lessons.py clean`"]


def rule_template(path: Path) -> list[str]:
    notebook, bad = read(path), []
    cells = notebook["cells"]
    if len(cells) < 3 or any(cell["cell_type"] != "markdown" for cell in cells[:2]):
        return ["the first two cells must be prose: the title with how to run, then goals, needs, minutes and links"]
    first, second = source(cells[0]), source(cells[1])
    number = path.name[:2]
    if not re.search(rf"^# {number} · .+\?$", first, re.M):
        bad.append(f"the first cell needs a title line '# {number} · ...?' that asks a question")
    if RUN_ALL not in first:
        bad.append(f"the first cell must say how to run: '{RUN_ALL}'")
    if WAY_BACK not in first:
        bad.append(f"the first cell must say how to get back up after running: '{WAY_BACK}'")
    bad += [f"the second cell lacks {word}" for word in OPENING if word not in second]
    goals = re.findall(r"^[-*\d.]+ +\S", second.partition("**Goals**")[2].partition("**Needs**")[0], re.M)
    if len(goals) != 3:
        bad.append(f"the second cell lists {len(goals)} goals, not 3")
    if not re.search(r"\*\*Minutes\*\*\D{0,4}\d+", second):
        bad.append("the second cell must give a number of **Minutes**")
    if links_line(path) not in second:
        bad.append("the previous/index/next line is missing or old: put @links there and run `lessons.py links`")
    wanted = SPECIAL.get(number, TEMPLATE)
    headings = list(sections(notebook))[1:]
    if [heading for heading in headings if heading in wanted] != wanted:
        bad.append(f"sections must be, in this order, {wanted}; found {headings}")
    return bad


def rule_index_is_whole(path: Path) -> list[str]:
    """Lesson 00 is the index: it links to every other lesson present."""
    if not path.name.startswith("00"):
        return []
    text = "\n".join(source(cell) for cell in read(path)["cells"])
    return [f"the index does not link to {other.name}" for other in present(path.parent)[1:] if other.name not in text]


def rule_exercises(path: Path) -> list[str]:
    cells = [cell for cell in sections(read(path)).get("Exercises", []) if cell["cell_type"] == "code"]
    captions = [source(cell).splitlines()[0] for cell in cells]
    numbered = [c for n, c in enumerate(captions, 1) if re.match(rf"# Exercise {n}\b", c)]
    if len(cells) != EXERCISES or len(numbered) != EXERCISES:
        return [f"'## Exercises' needs {EXERCISES} code cells captioned '# Exercise 1: ...' and on; found {captions}"]
    return []


def rule_code(path: Path) -> list[str]:
    """Code cells hold calls and assignments only: all logic lives in the library."""
    notebook, bad = read(path), []
    allowed = (ast.Expr, ast.Assign, ast.Import, ast.ImportFrom)
    logic = (ast.Lambda, ast.ListComp, ast.SetComp, ast.DictComp, ast.GeneratorExp, ast.IfExp, ast.NamedExpr, ast.Await)
    for cell in notebook["cells"]:
        if cell["cell_type"] != "code":
            continue
        text = source(cell)
        where = repr(text.splitlines()[0])
        if "visible" not in cell["metadata"].get("tags", []) and not captioned(text):
            bad.append(f"{where}: start the cell with a caption comment, or mark it visible")
        lines = [line for line in text.splitlines() if line.strip() and not captioned(line)]
        if len(lines) > CODE_LINES:
            bad.append(f"{where}: {len(lines)} lines of code, at most {CODE_LINES}")
        try:
            tree = ast.parse(text)
        except SyntaxError as error:
            bad.append(f"{where}: not plain Python ({error.msg})")
            continue
        if any(not isinstance(node, allowed) for node in tree.body) or any(
            isinstance(n, logic) for n in ast.walk(tree)
        ):
            bad.append(f"{where}: only imports, assignments and calls belong in a lesson; put the logic in the library")
    visible = [c for c in sections(notebook).get("In one line", []) if "visible" in c["metadata"].get("tags", [])]
    if "In one line" in SPECIAL.get(path.name[:2], TEMPLATE) and not visible:
        bad.append("'## In one line' needs a visible code cell")
    if any(len([x for x in source(c).splitlines() if x.strip() and not x.startswith(("#", "from "))]) != 1
           for c in visible):  # fmt: skip
        bad.append("the visible cell under '## In one line' holds its import and exactly one line of code")
    return bad


def rule_alone(path: Path) -> list[str]:
    """A learner opens a lesson in the middle and runs one cell: nothing it needs may come from another cell."""
    bad = []
    for cell in read(path)["cells"]:
        if cell["cell_type"] == "code":
            try:
                tree = ast.parse(source(cell))
            except SyntaxError:  # rule_code says so
                continue
            known = set(dir(builtins))
            for node in ast.walk(tree):
                if isinstance(node, ast.ImportFrom):
                    known |= {name.asname or name.name for name in node.names}
            used = [node for node in ast.walk(tree) if isinstance(node, ast.Name)]
            known |= {node.id for node in used if isinstance(node.ctx, ast.Store)}
            missing = sorted({node.id for node in used} - known)
            if missing:
                bad.append(f"{source(cell).splitlines()[0]!r}: {', '.join(missing)} must come from the cell itself")
    return bad


def prose_of(path: Path) -> str:
    if path.suffix == ".md":
        return path.read_text(encoding="utf-8")
    return "\n\n".join(source(cell) for cell in read(path)["cells"] if cell["cell_type"] == "markdown")


def anchors(path: Path) -> set[str]:
    """Heading anchors as JupyterLab makes them: the heading's words joined by hyphens, case kept."""
    headings = re.findall(r"^#{1,6} +(.+?) *$", prose_of(path), re.M)
    return {re.sub(r"[*_`]|\[([^\]]*)\]\([^)]*\)", r"\1", heading).replace(" ", "-") for heading in headings}


def rule_links(path: Path) -> list[str]:
    bad = []
    for target in re.findall(r"(?<!!)\[[^\]]*\]\(\s*<?([^)\s>]+)", prose_of(path)):
        if re.match(r"https://[\w.-]+\.[a-z]+(/\S*)?$", target):
            continue
        if ":" in target.split("/")[0]:
            bad.append(f"link {target}: use https or a relative path")
            continue
        file, _, anchor = unquote(target).partition("#")
        aim = (path.parent / file).resolve() if file else path
        if not aim.is_file():
            bad.append(f"link {target}: no such file")
        elif path.parent.resolve() not in aim.resolve().parents:
            bad.append(f"link {target}: leads out of the lessons folder, which is all a learner has")
        elif anchor and aim.suffix in (".md", ".ipynb") and anchor not in anchors(aim):
            bad.append(f"link {target}: no heading makes that anchor (JupyterLab keeps case: #Two-words)")
    return bad


def rule_images(path: Path) -> list[str]:
    text, bad = prose_of(path), []
    for alt, target in re.findall(r"!\[([^\]]*)\]\(([^)\s]+)", text):
        if len(alt.split()) < 3:
            bad.append(f"image {target}: describe what it shows in a few words")
        if not target.startswith("data:") and not (path.parent / unquote(target)).is_file():
            bad.append(f"image {target}: no such file")
    for tag in re.findall(r"<img\b[^>]*>", text):
        if not re.search(r'\balt="[^"]+"', tag):
            bad.append(f"{tag}: no alt text")
    return bad


def sentences(path: Path) -> list[str]:
    """The sentences of the prose: tables, code, headings and link lines left out, a formula counts as one word."""
    text = re.sub(r"```.*?```|<style.*?</style>|\$\$.*?\$\$", "", prose_of(path), flags=re.S)
    text = re.sub(r"</?(?:details|summary|p|li|ul|ol|br|div|td|tr)\b[^>]*>", "\n\n", text)
    text = re.sub(r"`[^`]*`|\$[^$\n]+\$", "X", text)
    text = re.sub(r"!?\[([^\]]*)\]\([^)]*\)", r"\1", text)
    text = re.sub(r"<[^>]+>|[*_]{1,2}(?=\S)|(?<=\S)[*_]{1,2}", "", text)
    blocks, block = [], ""
    for line in [*text.splitlines(), ""]:
        bullet = re.match(r"\s*(?:[-*+]|\d+\.)\s+", line)
        if not line.strip() or bullet or line.startswith(("#", "|", ">")) or "Index" in line:
            blocks.append(block)
            block = ""
        if line.startswith(("#", "|")) or "Index" in line:
            continue
        block += " " + line[bullet.end() if bullet else 0 :].strip(" >")
    blocks.append(block)
    found = [s for b in blocks for s in re.split(r"(?<=[.!?])[\"”)]?\s+(?=[A-Z0-9“\"(])", b.strip())]
    return [s for s in found if len(re.findall(r"[A-Za-z]{2,}", s)) >= 2]


def words(sentence: str) -> int:
    return len(re.findall(r"\w[\w.,’'/%°×-]*", sentence))


def rule_prose(path: Path) -> list[str]:
    found = sentences(path)
    bad = [f"{words(s)} words in one sentence: {s[:100]}..." for s in found if words(s) > WORDS_MOST]
    if found and statistics.mean(map(words, found)) > WORDS_MEAN:
        bad.append(f"sentences average {statistics.mean(map(words, found)):.1f} words, at most {WORDS_MEAN}")
    return bad


def stated_minutes(path: Path) -> int:
    return int(re.search(r"\*\*Minutes\*\*\D{0,4}(\d+)", prose_of(path))[1])


def estimated_minutes(path: Path) -> float:
    """Reading at READ words a minute, a minute a control, and the exercises: what a lesson takes in one sitting."""
    from splashkit import panels  # only here: the other rules need no library

    code = "\n".join(source(cell) for cell in read(path)["cells"] if cell["cell_type"] == "code")
    names = [name for name in dict.fromkeys(re.findall(r"panels\.(\w+)\(", code)) if name in panels.PANELS]
    made = {name: getattr(panels, name)() for name in names}
    text = re.sub(r"<[^>]+>|\]\([^)]*\)", " ", prose_of(path))
    for panel in made.values():
        text += " ".join(f" {seen} {means}" for seen, means in getattr(panel, "legend_words", ()))
        text += f" {getattr(panel, 'lead', '')} {getattr(panel, 'sentence', '')}"
    minutes = words(text) / READ + EXERCISE * EXERCISES + PREDICTION * ("exercises.predict(" in code)
    tried = {name: min(len(getattr(panel, "controls", ())), CONTROLS_MOST) for name, panel in made.items()}
    minutes += sum(tried[name] or FORM for name in names if name not in AIDS)
    return minutes + max((tried[name] for name in names if name in AIDS), default=0)


RULES = {name[5:]: rule for name, rule in list(globals().items()) if name.startswith("rule_")}
PAGE_RULES = ["links", "images", "prose"]  # those that also hold for the .md pages beside the lessons


# ---------------------------------------------------------------- command line


def main(arguments: list[str]) -> int:
    verb, given = (arguments or [""])[0], [Path(a) for a in arguments[1:]]
    lessons = given or present()
    if verb == "build" and len(given) == 2:
        notebook = make(from_text(given[0].read_text(encoding="utf-8")))
        write(given[1], with_links(given[1].resolve(), notebook))
    elif verb == "text" and 1 <= len(given) <= 2:
        text = to_text(read(given[0]))
        given[1].write_text(text, encoding="utf-8") if len(given) == 2 else print(text)
    elif verb == "clean":
        for path in lessons:
            write(path, clean(read(path)))
    elif verb == "links":
        for path in lessons:
            write(path, with_links(path.resolve(), read(path)))
    elif verb == "check":
        lessons = given or [*lessons, *sorted(LESSONS.glob("*.md"))]
        rules = {p: RULES if p.suffix == ".ipynb" else PAGE_RULES for p in lessons}
        found = [f"{p.name}: {s}" for p in lessons for rule in rules[p] for s in RULES[rule](p.resolve())]
        print("\n".join(found) or f"{len(lessons)} files, nothing to mend")
        return bool(found)
    elif verb == "prose":
        for path in lessons:
            lengths = [words(s) for s in sentences(path)]
            print(f"{path.name}: {len(lengths)} sentences, mean {statistics.mean(lengths):.1f}, most {max(lengths)}")
    elif verb == "minutes":
        for path in lessons:
            print(f"{path.name}: stated {stated_minutes(path)}, estimated {estimated_minutes(path):.0f}")
    else:
        print(__doc__)
        return 0 if verb in ("-h", "--help", "help") else 2
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
