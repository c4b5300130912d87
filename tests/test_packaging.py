"""The wheel and the source archive hold all that a learner needs, and run outside the checkout."""

import json
import os
import re
import shutil
import socket
import subprocess
import sys
import sysconfig
import tarfile
import tomllib
import urllib.request
import zipfile
from pathlib import Path

import pytest
from tools import lessons, servers

ROOT = Path(__file__).resolve().parents[1]
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
FIVE = {"jupyterlab", "ipywidgets", "numpy", "matplotlib", "sympy"}
DATA = [p.relative_to(ROOT).as_posix() for p in (ROOT / "splashkit").rglob("*") if p.suffix in (".csv", ".json")]
SOURCES = [p.relative_to(ROOT).as_posix() for p in (ROOT / "splashkit").rglob("*.py")]

slow = pytest.mark.slow


def run(*words, **options):
    done = subprocess.run([str(w) for w in words], capture_output=True, text=True, **options)
    assert done.returncode == 0, f"{' '.join(map(str, words))}\n{done.stdout}\n{done.stderr}"
    return done.stdout


def build(folder, kind, out):
    run(sys.executable, "-m", "hatchling", "build", "-t", kind, "-d", out, cwd=folder)
    return next(out.glob("*.whl" if kind == "wheel" else "*.tar.gz"))


@pytest.fixture(scope="module")
def checkout(tmp_path_factory):
    """A copy of the files that the repository holds."""
    folder = tmp_path_factory.mktemp("checkout") / "splashkit"
    skip = shutil.ignore_patterns(".git", ".venv", "__pycache__", ".*_cache", ".hypothesis", ".ipynb_checkpoints")
    shutil.copytree(ROOT, folder, ignore=skip)
    return folder


@pytest.fixture(scope="module")
def wheel(checkout, tmp_path_factory):
    return build(checkout, "wheel", tmp_path_factory.mktemp("wheel"))


@pytest.fixture(scope="module")
def archive(checkout, tmp_path_factory):
    return build(checkout, "sdist", tmp_path_factory.mktemp("sdist"))


@pytest.fixture(scope="module")
def fresh(wheel, tmp_path_factory):
    """A new virtual environment with the wheel in it; the five dependencies are lent by this one."""
    home = tmp_path_factory.mktemp("fresh")
    run(sys.executable, "-m", "venv", "--without-pip", home / "venv")
    python = home / "venv" / ("Scripts/python.exe" if os.name == "nt" else "bin/python")
    run(sys.executable, "-m", "pip", "--python", python, "install", "--no-deps", "--no-index", "-q", wheel)
    site = Path(run(python, "-c", "import sysconfig; print(sysconfig.get_path('purelib'))").strip())
    (site / "lent.pth").write_text(sysconfig.get_path("purelib") + "\n")
    return python


def lent():
    """Tell Jupyter where this environment keeps its pages and widgets, which a .pth file does not carry."""
    share = Path(sys.prefix) / "share" / "jupyter"
    return {"JUPYTERLAB_DIR": str(share / "lab"), "JUPYTER_PATH": str(share)}


def test_run_time_dependencies_are_the_five():
    names = {re.match(r"[\w-]+", requirement)[0] for requirement in PROJECT["dependencies"]}
    assert names == FIVE
    assert set(PROJECT["optional-dependencies"]) == {"test", "dev"}


@slow
def test_wheel_holds_the_course(wheel):
    names = set(zipfile.ZipFile(wheel).namelist())
    assert {f"splashkit/_lessons/{p.name}" for p in lessons.LESSONS.iterdir() if p.is_file()} <= names
    assert any(name.startswith("splashkit/_lessons/00_") for name in names)
    assert {"splashkit/py.typed", "splashkit/LICENSE", *DATA, *SOURCES} <= names
    assert any(name.endswith(".dist-info/licenses/splashkit/LICENSE") for name in names)
    # what JupyterLab looks for in the environment's own folder: keys and radio buttons in a panel
    shared = "share/jupyter/labextensions/splashkit-access/"
    assert {shared + "package.json", shared + "static/remoteEntry.js"} <= {n.partition("/data/")[2] for n in names}
    ours = rf"splashkit(/|-[\d.]+\.dist-info/|-[\d.]+\.data/data/{shared})"
    assert not [name for name in names if not re.match(ours, name)]
    assert not [name for name in names if "__pycache__" in name or "checkpoint" in name]


@slow
def test_source_archive_builds_the_same_wheel(archive, wheel, tmp_path):
    with tarfile.open(archive) as held:
        held.extractall(tmp_path, filter="data")
    folder = next(tmp_path.iterdir())
    for name in ("README.md", "DEVELOPERS.md", "tests/test_packaging.py", "binder/requirements.txt", "lessons"):
        assert (folder / name).exists(), name
    again = build(folder, "wheel", tmp_path / "again")
    first, second = (zipfile.ZipFile(w) for w in (wheel, again))
    assert sorted(first.namelist()) == sorted(second.namelist())
    assert all(first.read(n) == second.read(n) for n in first.namelist() if not n.endswith("RECORD"))


@slow
def test_installed_library_is_the_wheel(fresh, tmp_path):
    code = "import json, splashkit; from splashkit import course; print(json.dumps([splashkit.__file__, "
    code += "str(course.source()), course.in_checkout(), splashkit.__version__]))"
    file, source, in_checkout, version = json.loads(run(fresh, "-c", code, cwd=tmp_path))
    environment = fresh.parents[1]
    assert Path(file).is_relative_to(environment) and Path(source).is_relative_to(environment)
    assert not in_checkout
    assert re.fullmatch(r"\d+\.\d+\.\d+\S*", version)
    assert len(list(Path(source).glob("*.ipynb"))) == len(lessons.present())


@slow
def test_installed_library_reads_its_data(fresh, tmp_path):
    """Every module imports from the wheel, so that no file it reads at import is missing."""
    names = [s.removesuffix(".py").replace("/", ".").removesuffix(".__init__") for s in SOURCES if "__main__" not in s]
    run(fresh, "-c", "import sys, importlib; [importlib.import_module(n) for n in sys.argv[1:]]", *names, cwd=tmp_path)


@slow
def test_help_works_from_the_wheel(fresh, tmp_path):
    assert "--no-browser" in run(fresh, "-m", "splashkit", "--help", cwd=tmp_path)


def listening(port):
    """The addresses of this machine at which a port listens, as Linux writes them; elsewhere nothing is known."""
    rows = [row.split() for name in ("tcp", "tcp6") for row in read_lines(f"/proc/net/{name}")[1:]]
    return {row[1].split(":")[0] for row in rows if row[3] == "0A" and int(row[1].split(":")[1], 16) == port}


def read_lines(path):
    return Path(path).read_text().splitlines() if Path(path).exists() else []


def test_the_look_at_sockets_sees_an_open_door():
    with socket.socket() as door:
        door.bind(("0.0.0.0", 0))
        door.listen()
        if Path("/proc/net/tcp").exists():
            assert listening(door.getsockname()[1]) == {"00000000"}


@slow
def test_command_opens_lesson_00_on_localhost_with_a_token(fresh, tmp_path):
    home, port = tmp_path / "a learner's folder", servers.free_port()
    command = [fresh, "-m", "splashkit", "--no-browser", "--dir", home, "--port", port]
    environment = servers.isolated(tmp_path / "machine", **lent())
    with servers.running([str(w) for w in command], environment, tmp_path) as server:
        assert server.url.endswith(f":{port}/")
        assert server.hostname in ("localhost", "127.0.0.1")
        assert listening(port) <= {"0100007F", "00000000000000000000000001000000"}, "others than this machine may call"
        assert len(server.token) > 20
        assert server.root == home
        first = lessons.present()[0].name
        status, address = server.get("")
        assert status == 200 and address.startswith(f"{server.url}lab/tree/lessons/{first}")
        assert server.get(f"api/contents/lessons/{first}")[0] == 200
        asked = f"{server.url}lab/api/settings/@jupyterlab/apputils-extension:notification?token={server.token}"
        with urllib.request.urlopen(asked, timeout=30) as answer:
            notices = json.load(answer)["schema"]["properties"]
        assert notices["fetchNews"]["default"] == "false", "JupyterLab would ask about news, over lesson 00"
        assert notices["checkForUpdates"]["default"] is False, "JupyterLab would look for updates on the network"
        for closed in ("api/contents/lessons", "api/kernels", "api/sessions", "lab", f"files/lessons/{first}"):
            for guess in ("", "?token=guessed"):
                status, address = server.get(closed + guess, token=False)
                assert status == 403 or address.startswith(f"{server.url}login"), f"{closed}{guess} is open to anybody"
    log = (tmp_path / "server.log").read_text()
    assert f"/lab/tree/lessons/{first}?token=" in log, "the address to open is not printed"
    assert "Traceback" not in log
    assert sorted(p.name for p in (home / "lessons").glob("*.ipynb")) == [p.name for p in lessons.present()]
