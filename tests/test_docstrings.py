"""Every public function of the physics modules says what it computes, in one form."""

import importlib
import inspect
import re

import pytest

PHYSICS = [
    "units", "exposure", "flash", "sync", "lens", "lights", "settings", "liquids", "drops", "splash", "timing", "rig",
    "chains", "odds", "measure",
    "picture",
]  # fmt: skip
SECTIONS = ["Parameters", "Returns", "Raises", "Notes", "Examples", "References"]


def public_functions():
    for name in PHYSICS:
        try:
            module = importlib.import_module(f"splashkit.{name}")
        except ModuleNotFoundError:
            continue
        for attribute, thing in vars(module).items():
            if attribute.startswith("_") or not callable(thing) or inspect.isclass(thing):
                continue
            if getattr(thing, "__module__", "").startswith(f"splashkit.{name}"):
                yield pytest.param(thing, id=f"{name}.{attribute}")


def section(text, name):
    found = re.search(rf"^{name}\n-+\n(.*?)(?=^\w[\w ]*\n-{{3,}}\n|\Z)", text, re.M | re.S)
    return found[1] if found else None


@pytest.mark.parametrize("function", list(public_functions()))
def test_docstring_is_complete(function):
    text = inspect.getdoc(function) or ""
    assert text, "no docstring"
    summary = text.split("\n\n")[0]
    assert summary.endswith("."), f"the first paragraph must be one sentence: {summary!r}"
    parameters = list(inspect.signature(function).parameters)
    wanted = SECTIONS if parameters else [s for s in SECTIONS if s != "Parameters"]
    missing = [name for name in wanted if section(text, name) is None]
    assert not missing, f"missing sections {missing}"
    if parameters:
        described = re.findall(r"^(\*{0,2}[\w, *]+) : ", section(text, "Parameters"), re.M)
        names = [name.strip(" *") for group in described for name in group.split(",")]
        assert names == parameters, f"docstring has {names}, signature has {parameters}"
        blocks = re.split(r"^\*{0,2}[\w, *]+ : ", section(text, "Parameters"), flags=re.M)[1:]
        for block in blocks:
            assert re.search(r"\[[^\]]+\]", block), f"no [unit] in {block!r}"
    assert "Valid" in section(text, "Notes"), "Notes must state the validity range ('Valid ...')"
    assert ">>>" in section(text, "Examples"), "no doctest"
