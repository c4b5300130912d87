"""The learner's copy of the lessons, and the command that opens the course."""

import datetime
import errno
import json
import os
import subprocess
import sys
import threading
from pathlib import Path

import pytest

from splashkit import __main__ as opener
from splashkit import course, store

DAY = datetime.date(2026, 3, 1)
FIRST, SECOND = "00_start_here.ipynb", "02_flash.ipynb"


def notebook(text, outputs=()):
    cell = {"cell_type": "code", "source": [text], "outputs": list(outputs), "metadata": {}}
    return json.dumps({"cells": [cell], "metadata": {}, "nbformat": 4, "nbformat_minor": 5})


@pytest.fixture
def shipped(tmp_path, monkeypatch):
    """Lessons as they come with a library, in a made-up checkout."""
    folder = tmp_path / "library" / "lessons"
    folder.mkdir(parents=True)
    (folder / FIRST).write_text(notebook("start"))
    (folder / SECOND).write_text(notebook("flash"))
    (folder / "glossary.md").write_text("# Glossary")
    monkeypatch.setattr(course, "PACKAGE", tmp_path / "library" / "splashkit")
    return folder


@pytest.fixture
def mine(shipped, tmp_path):
    """A learner's folder after the first start."""
    folder = tmp_path / "mine" / "lessons"
    course.copy_lessons(folder, DAY)
    return folder


def names(folder):
    return sorted(p.name for p in folder.iterdir())


def test_first_start_copies_everything_once(shipped, mine):
    assert names(mine) == sorted([course.LIST, FIRST, SECOND, "glossary.md"])
    assert all((mine / name).read_bytes() == (shipped / name).read_bytes() for name in names(shipped))
    again = course.copy_lessons(mine, DAY)
    assert (again.new, again.refreshed, again.kept) == ((), (), ())
    assert again.sentences() == []


def test_untouched_lesson_is_refreshed(shipped, mine):
    (shipped / SECOND).write_text(notebook("flash, better"))
    assert course.copy_lessons(mine, DAY).refreshed == (SECOND,)
    assert (mine / SECOND).read_text() == notebook("flash, better")


def test_running_a_lesson_is_no_change(shipped, mine):
    ran = [{"output_type": "stream", "name": "stdout", "text": "hello"}]
    (mine / SECOND).write_text(notebook("flash", ran))
    (shipped / SECOND).write_text(notebook("flash, better"))
    assert course.copy_lessons(mine, DAY).refreshed == (SECOND,)


def test_changed_lesson_is_left_alone_until_a_newer_one_comes(shipped, mine):
    (mine / SECOND).write_text(notebook("my notes"))
    assert course.copy_lessons(mine, DAY).kept == ()
    assert (mine / SECOND).read_text() == notebook("my notes")
    (shipped / SECOND).write_text(notebook("flash, better"))
    result = course.copy_lessons(mine, DAY)
    dated = "02_flash.kept-2026-03-01.ipynb"
    assert result.kept == ((SECOND, dated),)
    assert (mine / dated).read_text() == notebook("my notes")
    assert (mine / SECOND).read_text() == notebook("flash, better")
    assert dated in " ".join(result.sentences())


def test_two_kept_on_one_day_are_both_kept(shipped, mine):
    for number in (1, 2):
        (mine / SECOND).write_text(notebook(f"notes {number}"))
        (shipped / SECOND).write_text(notebook(f"flash {number}"))
        course.copy_lessons(mine, DAY)
    assert (mine / "02_flash.kept-2026-03-01.ipynb").read_text() == notebook("notes 1")
    assert (mine / "02_flash.kept-2026-03-01-2.ipynb").read_text() == notebook("notes 2")


@pytest.mark.parametrize("text", ["", "{", "[]", "null", '{"files": 3}', '{"files": {"a": 1}}', "\x00\xff"])
def test_damaged_list_loses_nothing(shipped, mine, text):
    (mine / course.LIST).write_text(text)
    (mine / SECOND).write_text(notebook("my notes"))
    (shipped / SECOND).write_text(notebook("flash, better"))
    result = course.copy_lessons(mine, DAY)
    assert [(mine / dated).read_text() for _, dated in result.kept] == [notebook("my notes")]
    assert course.copy_lessons(mine, DAY).sentences() == []
    assert json.loads((mine / course.LIST).read_text())["files"].keys() >= {FIRST, SECOND}


@pytest.mark.parametrize("text", ["", "{", '{"cells": 3}', "my own text", "\x00"])
def test_lesson_that_is_no_notebook_counts_as_changed(shipped, mine, text):
    (mine / SECOND).write_text(text)
    (shipped / SECOND).write_text(notebook("flash, better"))
    result = course.copy_lessons(mine, DAY)
    assert (mine / result.kept[0][1]).read_text() == text


def test_deleted_lesson_comes_back(shipped, mine):
    (mine / SECOND).unlink()
    assert course.copy_lessons(mine, DAY).new == (SECOND,)


def test_own_files_beside_the_lessons_stay(shipped, mine):
    (mine / "my own.ipynb").write_text("mine")
    course.copy_lessons(mine, DAY)
    assert (mine / "my own.ipynb").read_text() == "mine"


def test_checkout_is_not_copied_onto_itself(shipped):
    before = names(shipped)
    assert course.copy_lessons(shipped, DAY).sentences() == []
    assert names(shipped) == before


@pytest.mark.parametrize(
    ("number", "words"), [(errno.ENOSPC, "disk is full"), (errno.EROFS, "may not write"), (errno.EIO, "input/output")]
)
def test_failing_disk_is_one_sentence_and_loses_nothing(shipped, mine, monkeypatch, number, words):
    (mine / SECOND).write_text(notebook("my notes"))
    (shipped / SECOND).write_text(notebook("flash, better"))
    before = {name: (mine / name).read_bytes() for name in names(mine)}

    def refuse(*_):
        raise OSError(number, os.strerror(number))

    monkeypatch.setattr(os, "fsync", refuse)
    with pytest.raises(course.CourseProblem, match="could not be copied") as caught:
        course.copy_lessons(mine, DAY)
    assert words in str(caught.value)
    assert {name: (mine / name).read_bytes() for name in names(mine)} == before


@pytest.mark.skipif(sys.platform != "linux", reason="limits the size of a file, as Linux can")
def test_disk_that_ends_half_way_through_a_file(shipped, mine):
    (mine / SECOND).write_text(notebook("my notes"))
    (shipped / SECOND).write_text(notebook("flash" * 5000))
    code = (
        "import resource, signal, sys; from pathlib import Path; from splashkit import course;"
        "signal.signal(signal.SIGXFSZ, signal.SIG_IGN); resource.setrlimit(resource.RLIMIT_FSIZE, (4096, 4096));"
        "course.PACKAGE = Path(sys.argv[1]);"
        "course.copy_lessons(Path(sys.argv[2]))"
    )
    words = [sys.executable, "-B", "-c", code, str(course.PACKAGE), str(mine)]
    run = subprocess.run(words, capture_output=True, text=True, cwd=Path(__file__).parents[1])
    assert "CourseProblem: The lessons could not be copied" in run.stderr
    assert (mine / SECOND).read_text() == notebook("my notes")
    assert names(mine) == sorted([course.LIST, FIRST, SECOND, "glossary.md"])


def test_two_starts_at_one_moment_keep_what_was_changed(shipped, mine):
    """Two JupyterLabs are opened on one folder, by two impatient clicks."""
    for number in range(40):
        (mine / SECOND).write_text(notebook(f"my notes {number}"))
        (shipped / SECOND).write_text(notebook(f"flash {number}"))
        gate, failed = threading.Barrier(3), []

        def start(gate=gate, failed=failed):
            gate.wait()
            try:
                course.copy_lessons(mine, DAY)
            except Exception as problem:
                failed.append(problem)

        both = [threading.Thread(target=start) for _ in range(3)]
        for one in both:
            one.start()
        for one in both:
            one.join()
        assert not failed, failed
        assert (mine / SECOND).read_text() == notebook(f"flash {number}")
    kept = {file.read_text() for file in mine.glob("*.kept-*")}
    assert kept == {notebook(f"my notes {number}") for number in range(40)}


def test_a_start_that_waits_too_long_is_one_sentence(shipped, mine, monkeypatch):
    monkeypatch.setattr(store, "LOCK_WAIT", 0.1)
    with store.locked(mine), pytest.raises(course.CourseProblem, match=r"written by another.*To fix it"):
        course.copy_lessons(mine, DAY)


@pytest.mark.parametrize("name", ["my drops", "Tröpfchen äöü", "水滴", "100 % #1 & <b>", "-rf", "a'b"])
def test_a_folder_of_any_name(shipped, tmp_path, started, name):
    home = tmp_path / name
    assert opener.main([f"--dir={home}"]) == 0
    assert f"--ServerApp.root_dir={home}" in started[0][0]
    assert (home / "lessons" / SECOND).is_file() and started[0][1]["SPLASHKIT_HOME"] == str(home)


@pytest.mark.skipif(os.name == "nt", reason="links need rights on Windows")
def test_lessons_behind_a_link(shipped, tmp_path):
    (tmp_path / "disk").mkdir()
    (tmp_path / "lessons").symlink_to(tmp_path / "disk")
    course.copy_lessons(tmp_path / "lessons", DAY)
    (tmp_path / "disk" / SECOND).unlink()
    (tmp_path / "disk" / SECOND).symlink_to(tmp_path / "gone")  # a link to nowhere in a lesson's place
    course.copy_lessons(tmp_path / "lessons", DAY)
    assert (tmp_path / "lessons" / SECOND).read_text() == notebook("flash")


def test_a_folder_in_a_lessons_place(shipped, mine):
    (mine / SECOND).unlink()
    (mine / SECOND).mkdir()
    (mine / SECOND / "keep").write_text("mine")
    with pytest.raises(course.CourseProblem, match="in each other's place"):
        course.copy_lessons(mine, DAY)
    assert (mine / SECOND / "keep").read_text() == "mine"


def test_a_file_in_the_folders_place(shipped, tmp_path):
    (tmp_path / "taken").write_text("a file")
    with pytest.raises(course.CourseProblem, match="in each other's place"):
        course.copy_lessons(tmp_path / "taken", DAY)


def test_library_without_lessons(tmp_path, monkeypatch):
    monkeypatch.setattr(course, "PACKAGE", tmp_path / "nothing")
    with pytest.raises(course.CourseProblem, match="install splashkit again"):
        course.source()


# ---------------------------------------------------------------- the command


@pytest.fixture
def started(monkeypatch):
    """Catch the JupyterLab command instead of running it."""
    calls = []

    def run(words, given):
        calls.append((words, given))
        return 0

    monkeypatch.setattr(opener, "run", run)
    return calls


def test_opens_on_the_first_lesson(shipped, tmp_path, started):
    home = tmp_path / "my folder"
    assert (
        opener.main(["--dir", str(home), "--no-browser", "--port", "9123", "--", "--ServerApp.quit_button=False"]) == 0
    )
    [(words, given)] = started
    assert words[:3] == [sys.executable, "-m", "jupyterlab"]
    assert f"--LabApp.default_url=/lab/tree/lessons/{FIRST}" in words
    assert f"--ServerApp.root_dir={home}" in words
    assert f"--LabApp.extra_labextensions_path={course.PACKAGE / 'labextensions'}" in words
    assert words[-3:] == ["--ServerApp.port=9123", "--no-browser", "--ServerApp.quit_button=False"]
    assert given["SPLASHKIT_HOME"] == str(home)
    assert given["JUPYTER_CONFIG_PATH"].split(os.pathsep)[-1] == str(course.PACKAGE / "jupyter")
    # token and address stay as Jupyter sets them
    assert not [word for word in words if "token" in word or "password" in word or "ip=" in word]


def test_folder_is_splashkit_home_unless_named(shipped, tmp_path, started, monkeypatch):
    monkeypatch.setenv("SPLASHKIT_HOME", str(tmp_path / "set"))
    opener.main([])
    assert (tmp_path / "set" / "lessons" / FIRST).is_file()
    monkeypatch.delenv("SPLASHKIT_HOME")
    monkeypatch.setenv("HOME", str(tmp_path / "home"))
    monkeypatch.setenv("USERPROFILE", str(tmp_path / "home"))
    opener.main([])
    assert (tmp_path / "home" / "splashkit" / "lessons" / FIRST).is_file()


def test_unwritable_folder_still_opens_what_is_there(shipped, mine, started, monkeypatch, capsys):
    def refuse(*_):
        raise OSError(errno.EROFS, os.strerror(errno.EROFS))

    monkeypatch.setattr(os, "fsync", refuse)
    (mine / SECOND).unlink()
    assert opener.main(["--dir", str(mine.parent)]) == 0
    assert "may not write" in capsys.readouterr().err
    assert len(started) == 1
    assert opener.main(["--dir", str(mine.parent / "empty")]) == 1
    assert len(started) == 1


@pytest.mark.parametrize("port", ["0", "65536", "-1", "8888.5", "eight", ""])
def test_bad_port_is_one_sentence(shipped, started, port, capsys):
    with pytest.raises(SystemExit):
        opener.main([f"--port={port}"])
    assert "whole number from 1 to 65535" in capsys.readouterr().err
    assert not started


def test_unknown_word_is_refused(shipped, started):
    with pytest.raises(SystemExit):
        opener.main(["--prot", "8888"])
    assert not started


def test_help_is_plain_and_quick(shipped, capsys):
    with pytest.raises(SystemExit) as left:
        opener.main(["--help"])
    assert left.value.code == 0
    said = " ".join(capsys.readouterr().out.split())
    assert "never overwritten" in said and "--no-browser" in said and "Ctrl-C" in said


def test_copy_only_opens_nothing(shipped, tmp_path, started, capsys):
    """On a hub Jupyter runs already."""
    assert opener.main(["--dir", str(tmp_path / "hub"), "--copy-only"]) == 0
    assert FIRST in capsys.readouterr().out
    assert (tmp_path / "hub" / "lessons" / FIRST).is_file()
    assert started == []
