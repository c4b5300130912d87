"""The rules of the house: who imports whom, what is never called, how long a module is, what an import costs."""

import ast
import graphlib
import os
import statistics
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]
PACKAGE = ROOT / "splashkit"
MODULES = sorted(PACKAGE.rglob("*.py"))
TOP = {"README.md", "DEVELOPERS.md", "pyproject.toml", "lessons", "splashkit", "tests", "binder"}

TEXT = {"units", "checks", "estimate"}
LIGHT = {"exposure", "flash", "sync", "lens", "lights", "settings"}
WATER = {"liquids", "drops", "splash"}
RIG = {"rig", "log", "chains", "odds", "tries", "likelihood", "belief", "advice", "practice", "measure", "faults"}
PHYSICS = TEXT | LIGHT | WATER | {"timing"} | RIG | {"picture"}
FILES, LOOK, SHOWN = {"store"}, {"look"}, {"card", "spoken"}
ANY = PHYSICS | FILES | LOOK | {"workings", "runsheet", "figures"}

# room: (rooms of the house it may use besides itself, packages it may use besides the standard library)
ROOMS = {
    **dict.fromkeys(TEXT, (TEXT, {"numpy"})),
    **dict.fromkeys(LIGHT, (TEXT | LIGHT, {"numpy"})),
    "liquids": (TEXT, {"numpy"}),
    "drops": (TEXT | {"liquids"}, {"numpy"}),
    "splash": (TEXT | {"liquids", "drops"}, {"numpy"}),
    "timing": (TEXT | LIGHT | WATER, {"numpy"}),
    **dict.fromkeys(RIG, (TEXT | LIGHT | WATER | FILES | RIG | {"timing"}, {"numpy"})),
    "picture": (TEXT | LIGHT | WATER | {"timing"}, {"numpy"}),
    "practice": (PHYSICS | FILES, {"numpy"}),
    "workings": (PHYSICS | LOOK, {"numpy", "sympy"}),
    "runsheet": (PHYSICS, {"numpy"}),
    "figures": (PHYSICS | LOOK | {"runsheet"}, {"numpy", "matplotlib", "PIL"}),
    "exercises": (PHYSICS | FILES | LOOK | SHOWN | {"workings"}, {"numpy", "sympy", "ipywidgets"}),
    "panels": (ANY | SHOWN, {"numpy", "sympy", "matplotlib", "ipywidgets"}),
    "store": (set(), set()),
    "look": (set(), set()),
    "card": (set(), {"ipywidgets", "IPython"}),
    "spoken": (set(), {"ipywidgets"}),
    "course": (FILES, set()),
    # runs notebooks and reads Markdown with what JupyterLab brings along
    "handouts": (ANY | {"course", "exercises", "panels"}, {"matplotlib", "nbformat", "nbclient", "nbconvert"}),
    "__main__": ({"course", "handouts"} | FILES, set()),
    "__init__": (set(), set()),
}
# what the package never uses, and the one exception
FORBIDDEN_MODULES = {
    *["pickle", "shelve", "marshal", "dill", "ctypes", "multiprocessing", "pty", "code", "pyplot"],
    *["socket", "ssl", "urllib", "http", "ftplib", "smtplib", "requests", "asyncio", "subprocess"],
}
ALLOWED_AFTER_ALL = {("__main__", "subprocess")}
FORBIDDEN_CALLS = {
    *["eval", "exec", "compile", "__import__", "system", "popen", "spawnv", "input"],
    *["sympify", "parse_expr", "lambdify"],  # SymPy runs the text it is given
}
LINES_MOST = 300  # lines of code and comments of one module; docstrings are not counted
IMPORT_RATIO = 1.3


def room_of(path):
    return path.relative_to(PACKAGE).with_suffix("").parts[0]


def imports(tree):
    """Every module named in an import, at the top or inside a function."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, "imports name the whole path: from splashkit.units import ..."
            if node.module == "splashkit":
                yield from (f"splashkit.{alias.name}" for alias in node.names)
            else:
                yield node.module
                yield from (f"{node.module}.{alias.name}" for alias in node.names)


def stray_imports(tree, room):
    rooms, packages = ROOMS[room]
    for name in imports(tree):
        top, *rest = name.split(".")
        if top == "splashkit":
            if rest and rest[0] not in rooms | {room, "__version__"}:
                yield f"{room} may not use splashkit.{rest[0]}"
        elif top not in packages and top not in sys.stdlib_module_names:
            yield f"{room} may not use {top}"
        for part in {top, name.split(".")[-1]} & FORBIDDEN_MODULES:
            if (room, part) not in ALLOWED_AFTER_ALL:
                yield f"{room} may not use {name}"


def stray_calls(tree):
    for node in ast.walk(tree):
        if isinstance(node, ast.Call):
            name = node.func.id if isinstance(node.func, ast.Name) else getattr(node.func, "attr", "")
            method = isinstance(node.func, ast.Attribute)
            # re.compile is a method; only the bare builtins and the shell calls are meant
            if name in FORBIDDEN_CALLS and not (method and name in ("compile", "eval", "exec", "input")):
                yield f"line {node.lineno}: {name}() is not for this house"
            yield from (f"line {node.lineno}: shell=True" for word in node.keywords if word.arg == "shell")


def modules():
    return [pytest.param(path, id=str(path.relative_to(PACKAGE).with_suffix(""))) for path in MODULES]


@pytest.mark.parametrize("path", modules())
def test_imports_run_one_way(path):
    assert room_of(path) in ROOMS, f"{room_of(path)} has no place in the table of rooms in DEVELOPERS.md and here"
    assert not sorted(set(stray_imports(ast.parse(path.read_text(encoding="utf-8")), room_of(path))))


def test_rooms_make_no_circle():
    """Rooms of one row may use each other, but only one way."""
    graph = {}
    for path in MODULES:
        tree = ast.parse(path.read_text(encoding="utf-8"))
        top = ast.Module([n for n in tree.body if isinstance(n, ast.Import | ast.ImportFrom)], [])
        used = {name.split(".")[1] for name in imports(top) if name.startswith("splashkit.")}
        graph.setdefault(room_of(path), set()).update(used & ROOMS.keys() - {room_of(path)})
    assert list(graphlib.TopologicalSorter(graph).static_order())  # raises CycleError, which names the circle


@pytest.mark.parametrize("path", modules())
def test_nothing_runs_text_or_a_shell(path):
    assert not list(stray_calls(ast.parse(path.read_text(encoding="utf-8"))))


@pytest.mark.parametrize(
    ("room", "line"),
    [
        ("drops", "import scipy"),
        ("drops", "from splashkit import splash"),
        ("drops", "def f():\n    import matplotlib"),
        ("figures", "import ipywidgets"),
        ("figures", "from matplotlib import pyplot"),
        ("figures", "import matplotlib.pyplot as plt"),
        ("figures", "from splashkit.panels import base"),
        ("store", "import subprocess"),
        ("rig", "import urllib.request"),
        ("rig", "import pickle"),
        ("units", "from splashkit.drops.fall import fall"),
    ],
)
def test_the_import_rule_can_fail(room, line):
    assert list(stray_imports(ast.parse(line), room))


@pytest.mark.parametrize(
    "line", ["sympy.sympify('1')", "eval('1')", "exec('1')", "os.system('ls')", "f(shell=True)", "__import__('os')"]
)
def test_the_call_rule_can_fail(line):
    assert list(stray_calls(ast.parse(line)))


def code_lines(text):
    """Count lines that are neither blank nor inside a docstring."""
    inside = set()
    for node in ast.walk(ast.parse(text)):
        body = getattr(node, "body", None)
        if isinstance(body, list) and body and isinstance(body[0], ast.Expr):
            value = body[0].value
            if isinstance(value, ast.Constant) and isinstance(value.value, str):
                inside |= set(range(value.lineno, value.end_lineno + 1))
    return sum(1 for n, line in enumerate(text.splitlines(), 1) if line.strip() and n not in inside)


@pytest.mark.parametrize("path", modules())
def test_module_holds_one_concept(path):
    length = code_lines(path.read_text(encoding="utf-8"))
    assert length <= LINES_MOST, f"{length} lines without docstrings: split it by concept"


def test_top_of_the_repository():
    git = subprocess.run(["git", "ls-files", "-z"], cwd=ROOT, capture_output=True, text=True)
    if git.returncode == 0 and git.stdout:
        found = {name.split("/")[0] for name in git.stdout.split("\0") if name}
    else:  # an unpacked source archive
        found = {path.name for path in ROOT.iterdir()} - {"PKG-INFO", "dist", "build"}
    assert {name for name in found if not name.startswith(".")} == TOP


def test_physics_needs_numpy_only():
    """Importing every physics room in a fresh interpreter loads none of the heavy packages."""
    names = [m for m in sorted(PHYSICS) if (PACKAGE / f"{m}.py").exists() or (PACKAGE / m / "__init__.py").exists()]
    code = "import sys, importlib\nfor m in sys.argv[1:]: importlib.import_module('splashkit.' + m)\n"
    code += "print({'matplotlib', 'sympy', 'ipywidgets', 'IPython', 'PIL', 'scipy'} & set(sys.modules))"
    run = subprocess.run([sys.executable, "-c", code, *names], cwd=ROOT, capture_output=True, text=True, check=True)
    assert run.stdout.strip() == "set()"


def seconds(statement):
    """Time one import inside a fresh interpreter, without the start of Python itself."""
    code = f"import time; t = time.perf_counter(); {statement}; print(time.perf_counter() - t)"
    plain = {name: value for name, value in os.environ.items() if not name.startswith("COV")}
    run = [sys.executable, "-c", code]
    return float(subprocess.run(run, cwd=ROOT, env=plain, capture_output=True, text=True, check=True).stdout)


def test_import_costs_no_more_than_numpy():
    loaded = "import splashkit, sys; print({'matplotlib', 'sympy', 'ipywidgets'} & set(sys.modules))"
    run = subprocess.run([sys.executable, "-c", loaded], cwd=ROOT, capture_output=True, text=True, check=True)
    assert run.stdout.strip() == "set()"
    # the best of several: a busy machine only ever adds time
    ours = min(seconds("import splashkit") for _ in range(5))
    numpy = min(seconds("import numpy") for _ in range(5))
    physics = statistics.median(seconds("import splashkit.units, splashkit.checks") for _ in range(3))
    print(f"import: splashkit {ours * 1e3:.0f} ms, numpy {numpy * 1e3:.0f} ms, units and checks {physics * 1e3:.0f} ms")
    assert ours <= IMPORT_RATIO * numpy
