"""binder/: read as the public build tool reads it, and built for real in a bare virtual environment."""

import json
import os
import re
import shutil
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.version import Version
from tools import lessons, servers

ROOT = Path(__file__).resolve().parents[1]
BINDER = ROOT / "binder"
FIRST = "00_start_here.ipynb"


def pins():
    lines = (BINDER / "requirements.txt").read_text(encoding="utf-8").splitlines()
    return [line for line in lines if line.strip() and not line.startswith("#")]


def test_pins_are_the_run_time_dependencies_at_one_version():
    wanted = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]["dependencies"]
    # a path, an option or an index address here would spoil the cached layer, or tie us to one machine
    assert all(re.fullmatch(r"[a-z]+==\d+(\.\d+)+", pin) for pin in pins())
    versions = dict(pin.split("==") for pin in pins())
    requirements = {r.name: r for r in map(Requirement, wanted)}
    assert versions.keys() == requirements.keys()
    assert all(requirements[name].specifier.contains(Version(version)) for name, version in versions.items())


def test_scripts_stop_at_the_first_error_and_can_run():
    assert (BINDER / "postBuild").read_text().splitlines()[0] == "#!/bin/bash"
    assert re.search(r"^set -e$", (BINDER / "postBuild").read_text(), re.M)
    assert (BINDER / "start").read_text().rstrip().splitlines()[-1] == 'exec "$@"'
    if os.name != "nt":
        assert all(os.access(BINDER / name, os.X_OK) for name in ("postBuild", "start"))
    assert not (ROOT / ".binder").exists(), "the build tool refuses two such folders"


def test_opens_on_a_lesson_that_exists():
    assert f"/lab/tree/lessons/{FIRST}" in (BINDER / "postBuild").read_text()
    assert (lessons.LESSONS / FIRST).is_file()


def test_build_tool_reads_it_as_a_python_repository(monkeypatch):
    """repo2docker's own detection, without a container engine (oracle: jupyter-repo2docker)."""
    app = pytest.importorskip("repo2docker.app", reason="jupyter-repo2docker cannot be imported here")
    monkeypatch.chdir(ROOT)
    tool = app.Repo2Docker()
    found = next(pack for kind in tool.buildpacks if (pack := kind(base_image=tool.base_image)).detect())
    assert type(found).__name__ == "PythonBuildPack"
    assert found.binder_dir == "binder"
    assert found.python_version == (BINDER / "runtime.txt").read_text().strip().removeprefix("python-")
    assert found.get_post_build_scripts() == ["binder/postBuild"]
    assert found.get_start_script().endswith("binder/start")
    # third-party pins go into a layer of their own, which the next commit reuses
    assert "binder/requirements.txt" in found.get_preassemble_script_files()
    found.platform = "linux/amd64"
    dockerfile = found.render({})
    assert "binder/postBuild" in dockerfile and "requirements.txt" in dockerfile


@pytest.mark.slow
@pytest.mark.skipif(os.name == "nt", reason="postBuild is a bash script, as on the build service")
def test_built_in_a_bare_environment_it_runs_a_lesson(tmp_path):
    venv, repository = tmp_path / "venv", tmp_path / "home"
    skip = shutil.ignore_patterns(".git", ".venv", "__pycache__", ".*_cache", ".hypothesis", ".ipynb_checkpoints")
    shutil.copytree(ROOT, repository, ignore=skip)
    machine = servers.isolated(tmp_path / "machine", HOME=str(repository), NB_PYTHON_PREFIX=str(venv))
    machine |= {"PATH": f"{venv / 'bin'}{os.pathsep}{machine['PATH']}"}
    machine.pop("SPLASHKIT_HOME")  # binder/start sets it
    machine.pop("PYTHONPATH", None)

    def run(*words):
        done = subprocess.run([str(w) for w in words], cwd=repository, env=machine, capture_output=True, text=True)
        assert done.returncode == 0, f"{words}\n{done.stdout[-2000:]}\n{done.stderr[-4000:]}"

    run(sys.executable, "-m", "venv", venv)
    run(venv / "bin" / "pip", "install", "-q", "--disable-pip-version-check", "-r", "binder/requirements.txt")
    run("binder/postBuild")
    lesson = repository / "lessons" / FIRST
    run("jupyter", "execute", "--inplace", "--timeout=60", lesson)
    outputs = [o for cell in json.loads(lesson.read_text())["cells"] for o in cell.get("outputs", [])]
    assert outputs and not [o for o in outputs if o["output_type"] == "error"]
    command = ["binder/start", "jupyter", "lab", "--no-browser", f"--port={servers.free_port()}"]
    command[0] = str(repository / "binder" / "start")
    with servers.running(command, machine, repository) as server:
        status, address = server.get("")
        assert status == 200 and f"/lab/tree/lessons/{FIRST}" in address
