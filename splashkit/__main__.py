"""``python -m splashkit``: copy the lessons into the learner's folder and open JupyterLab on the first."""

from __future__ import annotations

import argparse
import importlib.util
import os
import subprocess
import sys
from pathlib import Path

from splashkit import course, store


def parser() -> argparse.ArgumentParser:
    """Describe the command in plain words."""
    made = argparse.ArgumentParser(
        prog="python -m splashkit",
        description="Opens the course in your web browser. The first time, it copies the lessons into your own folder. "
        "A lesson that you changed is never overwritten. To stop, press Ctrl-C in this window.",
        epilog="Anything after a lone -- goes to JupyterLab as it is.",
    )
    made.add_argument(
        "--dir",
        metavar="FOLDER",
        help="your folder, for the lessons, your rig and your shots (now: SPLASHKIT_HOME if set, else ~/splashkit)",
    )
    made.add_argument("--port", type=_port, metavar="NUMBER", help="the port on this computer (Jupyter picks one)")
    made.add_argument("--no-browser", action="store_true", help="only print the address, open no browser window")
    return made


def _port(text: str) -> int:
    if text.isdecimal() and 1 <= int(text) <= 65535:
        return int(text)
    raise argparse.ArgumentTypeError(f"the port must be a whole number from 1 to 65535; got {text!r}")


def command(home: Path, lesson: str, options: argparse.Namespace, rest: list[str]) -> list[str]:
    """Build the JupyterLab command; token and address stay as Jupyter sets them."""
    words = [sys.executable, "-m", "jupyterlab", f"--ServerApp.root_dir={home}"]
    words.append(f"--LabApp.default_url=/lab/tree/lessons/{lesson}")
    if options.port is not None:
        words.append(f"--ServerApp.port={options.port}")
    if options.no_browser:
        words.append("--no-browser")
    return words + rest


def environment(home: Path) -> dict[str, str]:
    """Tell the kernels where the learner's files are, and in a checkout where the library is."""
    given = dict(os.environ, SPLASHKIT_HOME=str(home))
    if course.in_checkout():
        given["PYTHONPATH"] = os.pathsep.join(filter(None, [str(course.PACKAGE.parent), given.get("PYTHONPATH")]))
    return given


def run(words: list[str], given: dict[str, str]) -> int:
    """Become JupyterLab, or on Windows wait for it, so that Ctrl-C reaches it and nothing else."""
    if os.name != "nt":
        os.execve(words[0], words, given)
    with subprocess.Popen(words, env=given) as running:
        while True:
            try:
                return running.wait()
            except KeyboardInterrupt:
                continue


def main(arguments: list[str] | None = None) -> int:
    """Copy, then open. Returns the exit status."""
    given = sys.argv[1:] if arguments is None else arguments
    own = given[: given.index("--")] if "--" in given else given
    options, rest = parser().parse_args(own), given[len(own) + 1 :]
    home = Path(os.path.abspath(Path(options.dir).expanduser() if options.dir else store.folder()))
    lessons = home / "lessons"
    try:
        for sentence in course.copy_lessons(lessons).sentences():
            print(sentence)
    except course.CourseProblem as problem:
        print(problem, file=sys.stderr)
        if not course.first_lesson(lessons):
            return 1
        print("The lessons already there open as they are.", file=sys.stderr)
    lesson = course.first_lesson(lessons)
    if importlib.util.find_spec("jupyterlab") is None:
        print("JupyterLab must be installed. To fix it: pip install jupyterlab.", file=sys.stderr)
        return 1
    print("JupyterLab opens in your web browser. To stop it, press Ctrl-C here.", flush=True)
    return run(command(home, lesson or "", options, rest), environment(home))


if __name__ == "__main__":
    sys.exit(main())
