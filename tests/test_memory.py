"""Memory of a learner's kernel: lessons run in kernels of their own, all controls, buttons and answers used."""

import ast
import json
from pathlib import Path

import nbformat
import pytest
from benchmarks.class_load import MEMORY_LIMIT, Learner, memory
from tools import lessons

WORST = ("08", "11")  # a map and recorded frames; seven panels
HEAVY = ("sympy", "matplotlib.pyplot", "scipy")


@pytest.mark.slow
@pytest.mark.skipif(not Path("/proc/self/smaps_rollup").exists(), reason="only Linux tells how much a process holds")
@pytest.mark.parametrize("number", WORST)
def test_a_kernel_stays_small_after_heavy_use(number, tmp_path):
    """RSS counts shared pages in full: what a container of one's own is charged. Run All once more stays inside too."""
    path = next(path for path in lessons.present() if path.name.startswith(number))
    cells = [cell for cell in nbformat.read(path, as_version=4).cells if cell.cell_type == "code"]
    learner = Learner(path, str(tmp_path))
    try:
        learner.run("from tools import use")
        for _ in range(2):
            for cell in cells:
                learner.run(cell.source, cell=cell.id)
            learner.run("use.everything()")
            shared, whole = memory(learner.pid)
            assert shared <= whole < MEMORY_LIMIT
        assert learner.run("import sys", f"[name for name in {HEAVY!r} if name in sys.modules]") == "[]"
        draws = json.loads(learner.run("", "[one.draws for one in use.panels_shown()]"))
        assert draws and min(draws) > 2, "nothing was used"
    finally:
        learner.close()


def test_no_cache_grows_with_what_is_typed():
    """A cache without a bound may hold names, but not numbers, which a learner types."""
    unbounded = []
    for path in sorted((lessons.LESSONS.parent / "splashkit").rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.FunctionDef) and any(ast.unparse(one) == "cache" for one in node.decorator_list):
                kinds = {ast.unparse(part.annotation) for part in node.args.args if part.annotation}
                if not kinds <= {"str", "str | int", "bool"}:
                    unbounded.append(f"{path.name}: {node.name}")
    assert not unbounded
