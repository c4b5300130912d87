"""``python -m splashkit``: copy the lessons into the learner's folder and open JupyterLab on the first.

``python -m splashkit handouts`` writes the lessons as pages to print instead. Starting another program,
JupyterLab or the browser that makes the PDF files, is the work of this module alone.
"""

from __future__ import annotations

import argparse
import importlib.util
import os
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

from splashkit import course, store

BROWSERS = [
    *["chromium", "chromium-browser", "google-chrome", "google-chrome-stable", "chrome", "msedge", "microsoft-edge"],
    "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome",
    "/Applications/Chromium.app/Contents/MacOS/Chromium",
    "/Applications/Microsoft Edge.app/Contents/MacOS/Microsoft Edge",
    r"C:\Program Files\Google\Chrome\Application\chrome.exe",
    r"C:\Program Files (x86)\Microsoft\Edge\Application\msedge.exe",
]
PRINT_LIMIT = 120  # [s] for one page on a slow machine


def parser() -> argparse.ArgumentParser:
    """Describe the command in plain words."""
    made = argparse.ArgumentParser(
        prog="python -m splashkit",
        description="Opens the course in your web browser. The first time, it copies the lessons into your own folder. "
        "A lesson that you changed is never overwritten. To stop, press Ctrl-C in this window.",
        epilog="Anything after a lone -- goes to JupyterLab as it is. "
        "To print the lessons: python -m splashkit handouts --help",
    )
    made.add_argument(
        "--dir",
        metavar="FOLDER",
        help="your folder, for the lessons, your rig and your shots (now: SPLASHKIT_HOME if set, else ~/splashkit)",
    )
    made.add_argument("--port", type=_port, metavar="NUMBER", help="the port on this computer (Jupyter picks one)")
    made.add_argument("--copy-only", action="store_true", help="only copy the lessons, as on a hub where Jupyter runs")
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
    # installed, JupyterLab finds it by itself; a checkout has to say where it is
    words.append(f"--LabApp.extra_labextensions_path={course.PACKAGE / 'labextensions'}")
    if options.port is not None:
        words.append(f"--ServerApp.port={options.port}")
    if options.no_browser:
        words.append("--no-browser")
    return words + rest


def environment(home: Path) -> dict[str, str]:
    """Tell the kernels where the learner's files are, and in a checkout where the library is."""
    given = dict(os.environ, SPLASHKIT_HOME=str(home))
    # settings for this start alone: no question about news, and no look for news or updates on the network
    settings = str(course.PACKAGE / "jupyter")
    given["JUPYTER_CONFIG_PATH"] = os.pathsep.join(filter(None, [given.get("JUPYTER_CONFIG_PATH"), settings]))
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


def handouts_parser() -> argparse.ArgumentParser:
    """Describe the hand-outs in plain words."""
    made = argparse.ArgumentParser(
        prog="python -m splashkit handouts",
        description="Writes each lesson as a page to read and print, with its panels as pictures, and the glossary, "
        "the timeline and the workshop guide. With a Chromium, Chrome or Edge on the machine, as PDF files too.",
    )
    made.add_argument("lessons", nargs="*", metavar="LESSON", help="the lessons wanted, such as 02 03 (all if none)")
    made.add_argument(
        "--dir", metavar="FOLDER", help="where to write (now: the folder handouts in your own splashkit folder)"
    )
    made.add_argument(
        "--seed", type=_seed, default=1, metavar="NUMBER",
        help="draws the questions; a question sheet with the same seed asks the same (now: 1)",
    )  # fmt: skip
    made.add_argument("--no-pdf", action="store_true", help="only the HTML pages")
    return made


def _seed(text: str) -> int:
    if text.isdecimal() and len(text) <= 9:
        return int(text)
    raise argparse.ArgumentTypeError(f"the seed must be a whole number of at most nine digits; got {text!r}")


def find_browser() -> str | None:
    """Find the browser that makes PDF files: the one SPLASHKIT_BROWSER names, or the first of those known."""
    named = os.environ.get("SPLASHKIT_BROWSER")
    if named:
        return shutil.which(named)
    return next((found for name in BROWSERS if (found := shutil.which(name))), None)


def print_pdf(browser: str, source: Path) -> str:
    """Print one page beside itself as PDF. Returns what went wrong, in a sentence, or nothing."""
    target = source.with_suffix(".pdf")
    with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as profile:
        words = [browser, "--headless", "--disable-gpu", "--no-first-run", "--disable-background-networking"]
        words += ["--disable-component-update", "--disable-sync", "--disable-quic", f"--user-data-dir={profile}"]
        if hasattr(os, "geteuid") and os.geteuid() == 0:
            words.append("--no-sandbox")  # no browser runs its sandbox as root
        words += ["--no-pdf-header-footer", f"--print-to-pdf={target}", source.as_uri()]
        target.unlink(missing_ok=True)
        for _ in range(2):  # now and then a browser crashes; not twice in a row, unless something is wrong
            try:
                subprocess.run(words, capture_output=True, timeout=PRINT_LIMIT, check=False)
            except (OSError, subprocess.TimeoutExpired) as problem:
                why = type(problem).__name__
                return f"The browser made no PDF of {source.name} ({why}); the HTML page prints as well."
            if target.is_file():
                return ""
    return f"The browser made no PDF of {source.name}; the HTML page prints as well."


def write_handouts(arguments: list[str]) -> int:
    """Write the hand-outs. Returns the exit status."""
    options = handouts_parser().parse_args(arguments)
    folder = Path(os.path.abspath(Path(options.dir).expanduser() if options.dir else store.folder() / "handouts"))
    if importlib.util.find_spec("nbconvert") is None:
        print("JupyterLab must be installed. To fix it: pip install jupyterlab.", file=sys.stderr)
        return 1
    from splashkit import handouts

    browser = None if options.no_pdf else find_browser()
    problems = []
    try:
        for path in handouts.write(folder, options.lessons, options.seed):
            print(path.name, flush=True)
            failed = print_pdf(browser, path) if browser and path.name != "index.html" else ""
            problems += [failed] if failed else []
    except (ValueError, course.CourseProblem) as refusal:
        print(refusal, file=sys.stderr)
        return 1
    except OSError as problem:
        print(f"Could not write the hand-outs: {problem.strerror}. To fix it: give another --dir.", file=sys.stderr)
        return 1
    print(f"The hand-outs are in {folder}. Open index.html there.")
    if not options.no_pdf and browser is None:
        print(
            "No Chromium, Chrome or Edge was found, so there are no PDF files; every browser can print the HTML pages."
        )
    for sentence in problems:
        print(sentence)
    return 0


def main(arguments: list[str] | None = None) -> int:
    """Copy, then open; or write the hand-outs. Returns the exit status."""
    given = sys.argv[1:] if arguments is None else arguments
    if given[:1] == ["handouts"]:
        return write_handouts(given[1:])
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
    if options.copy_only:
        print(f"Open {lesson} in {lessons}.")
        return 0
    if importlib.util.find_spec("jupyterlab") is None:
        print("JupyterLab must be installed. To fix it: pip install jupyterlab.", file=sys.stderr)
        return 1
    print("JupyterLab opens in your web browser. To stop it, press Ctrl-C here.", flush=True)
    return run(command(home, lesson or "", options, rest), environment(home))


if __name__ == "__main__":
    sys.exit(main())
