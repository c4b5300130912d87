"""Saving loses nothing: killed at every step, full disk, read-only folder, two writers, damaged files."""

import errno
import json
import os
import signal
import subprocess
import sys
import textwrap
import threading
import time
from pathlib import Path

import pytest

from splashkit import log, rig, store
from splashkit.exercises import record

ROOT = Path(__file__).resolve().parents[1]
STEPS = ("open", "write", "fsync", "close", "chmod", "replace", "link", "unlink")


@pytest.fixture(autouse=True)
def home(tmp_path, monkeypatch):
    monkeypatch.setenv("SPLASHKIT_HOME", str(tmp_path / "home"))
    return tmp_path / "home"


def child(code, home):
    """Run a piece of Python in a process of its own."""
    return subprocess.run(
        [sys.executable, "-c", textwrap.dedent(code)],
        env={**os.environ, "SPLASHKIT_HOME": str(home), "PYTHONPATH": str(ROOT)},
        capture_output=True,
        text=True,
        timeout=120,
    )


# counts the calls into the system that a save makes, and kills the process at the one asked for; the library is
# loaded once, and each save is made by a fork of its own, which ends with the number of calls if nobody kills it
KILLER = """
    import os, signal, sys
    from splashkit import log, rig
    def save(at, when, what):
        calls = 0
        def watched(name, real):
            def call(*args, **kwargs):
                nonlocal calls
                calls += 1
                if calls == at and when == "before":
                    os.kill(os.getpid(), signal.SIGKILL)
                if calls == at and when == "halfway" and name == "write":
                    real(args[0], bytes(args[1])[: len(args[1]) // 2])
                    os.kill(os.getpid(), signal.SIGKILL)
                mine = calls
                try:
                    return real(*args, **kwargs)
                finally:
                    if mine == at and when == "after":
                        os.kill(os.getpid(), signal.SIGKILL)
            return call
        for name in STEPS:
            setattr(os, name, watched(name, getattr(os, name)))
        if what == "rig":
            rig.save(rig.demo().with_values(note="new"))
        else:
            log.append(log.Shot(delay=0.3, gap=0.07, seen="early", note="new"))
        return calls
    for line in sys.stdin:
        at, when, what = line.split()
        fork = os.fork()
        if not fork:
            ended = 255
            try:
                ended = save(int(at), when, what)
            finally:
                os._exit(ended)
        print(os.waitstatus_to_exitcode(os.waitpid(fork, 0)[1]), flush=True)
""".replace("STEPS", repr(STEPS))


@pytest.fixture
def saver(home):
    with subprocess.Popen(
        [sys.executable, "-c", textwrap.dedent(KILLER)],
        env={**os.environ, "SPLASHKIT_HOME": str(home), "PYTHONPATH": str(ROOT)},
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    ) as process:
        yield process


@pytest.mark.skipif(os.name == "nt", reason="neither SIGKILL nor fork is on Windows")
@pytest.mark.parametrize("what", ["rig", "shots"])
def test_killed_at_any_step_loses_nothing(home, saver, what):
    old_shots = [log.Shot(delay=0.2 + 0.001 * i, gap=0.07, seen="late") for i in range(3)]
    rig.save(rig.demo().with_values(note="older"))
    rig.save(rig.demo().with_values(note="old"))
    for shot in old_shots:
        log.append(shot)
    whole = {path.name: path.read_bytes() for path in home.iterdir()}

    def saved(at, when):
        """Save in a fork and return how that ended: a signal below zero, or the number of calls."""
        print(at, when, what, file=saver.stdin, flush=True)
        return int(saver.stdout.readline())

    calls = saved(999, "before")
    assert 9 <= calls < 99, (
        "the watch must see open, write, fsync, close, chmod, link, replace twice, fsync of the folder"
    )
    seen = set()
    for at in range(1, calls + 1):
        for when in ("before", "halfway", "after"):
            for path in home.iterdir():
                path.unlink()
            for name, data in whole.items():
                (home / name).write_bytes(data)
            ended = saved(at, when)
            assert ended == -signal.SIGKILL or (when == "halfway" and ended == calls)
            loaded, sentence = rig.load_or_demo()
            assert "your own" in sentence, sentence
            assert loaded.note in ("old", "new")
            found = log.load()
            assert not found.problems
            assert list(found.shots[:3]) == old_shots
            assert [s.note for s in found.shots[3:]] in ([], ["new"])
            seen.add((loaded.note, len(found.shots)))
            previous = home / ("rig.json.previous" if what == "rig" else "shots.csv.previous")
            kept = previous.read_bytes()
            (rig if what == "rig" else log).from_bytes(kept)  # the version before is whole as well
            # and the next save works, whatever the killed one left behind
            assert log.append(log.Shot(delay=0.5, gap=0.07, note="next")).startswith("Saved")
            assert "Saved" in rig.save(loaded)
    assert len(seen) == 2, "both outcomes, old and new, must have been met"


WRITER = """
    import sys
    from splashkit import log
    for i in range(int(sys.argv[2])):
        log.append(log.Shot(delay=0.2, gap=0.07, note=f"{sys.argv[1]} {i}"))
"""


def test_two_writers_lose_no_row(home):
    processes = [
        subprocess.Popen(
            [sys.executable, "-c", textwrap.dedent(WRITER), name, "40"],
            env={**os.environ, "SPLASHKIT_HOME": str(home), "PYTHONPATH": str(ROOT)},
        )
        for name in ("one", "two", "three")
    ]
    assert [process.wait(120) for process in processes] == [0, 0, 0]
    found = log.load()
    assert not found.problems
    assert sorted(s.note for s in found.shots) == sorted(f"{n} {i}" for n in ("one", "two", "three") for i in range(40))
    for name in ("one", "two", "three"):  # each writer's rows are in its own order
        assert [s.note for s in found.shots if s.note.startswith(name)] == [f"{name} {i}" for i in range(40)]


def test_two_threads_lose_no_row():
    def work(name):
        for i in range(20):
            log.append(log.Shot(delay=0.2, gap=0.07, note=f"{name} {i}"))

    threads = [threading.Thread(target=work, args=(name,)) for name in "ab"]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len(log.load().shots) == 40


def test_a_lock_left_by_a_dead_process_does_not_hold(home):
    home.mkdir()
    (home / "rig.json.lock").write_bytes(b"left behind")
    os.utime(home / "rig.json.lock", (0, 0))
    start = time.monotonic()
    assert rig.save(rig.demo()).startswith("Saved")
    assert time.monotonic() - start < 5


def test_a_living_holder_is_waited_for_then_named(home, monkeypatch):
    monkeypatch.setattr(store, "LOCK_WAIT", 0.2)
    with store.locked(rig.path()), pytest.raises(ValueError, match="another open lesson"):
        rig.save(rig.demo())
    assert rig.save(rig.demo()).startswith("Saved")


@pytest.mark.parametrize("step", ["write", "fsync", "replace", "link"])
@pytest.mark.parametrize("number", [errno.ENOSPC, errno.EIO])
def test_a_disk_that_refuses_is_named_and_nothing_is_lost(home, monkeypatch, step, number):
    rig.save(rig.demo().with_values(note="old"))
    rig.save(rig.demo().with_values(note="old"))
    if step == "link" and number == errno.EIO:
        pytest.skip("a link that fails for another reason than space is copied instead")

    def refuse(*args, **kwargs):
        raise OSError(number, os.strerror(number))

    with monkeypatch.context() as patch:
        patch.setattr(os, step, refuse)
        with pytest.raises(ValueError, match=r"Could not save .*To fix it"):
            rig.save(rig.demo().with_values(note="new"))
    assert rig.load().note == "old"
    assert not [path for path in home.iterdir() if path.name.endswith(".new")], "no rubbish is left"


def test_a_disk_without_links_keeps_the_version_before_by_copying(home, monkeypatch):
    rig.save(rig.demo().with_values(note="old"))

    def refuse(*args, **kwargs):
        raise OSError(errno.EPERM, "no links here")

    monkeypatch.setattr(os, "link", refuse)
    rig.save(rig.demo().with_values(note="new"))
    assert rig.from_bytes((home / "rig.json.previous").read_bytes()).note == "old"
    assert rig.load().note == "new"


def test_a_disk_without_locks_still_keeps_two_writers_apart(monkeypatch):
    if os.name == "nt":
        pytest.skip("locks of the other kind")
    import fcntl

    real, refused = fcntl.flock, []

    def refuse_first(handle, how):
        if Path(f"/proc/self/fd/{handle}").resolve().name.endswith("rig.json.lock"):
            refused.append(handle)
            raise OSError(errno.ENOLCK, "no locks here")
        return real(handle, how)

    if not Path("/proc/self/fd").exists():
        pytest.skip("needs /proc to see which file is locked")
    monkeypatch.setattr(fcntl, "flock", refuse_first)
    monkeypatch.setattr(store, "LOCK_WAIT", 0.2)
    with store.locked(rig.path()), pytest.raises(ValueError, match="another open lesson"):
        rig.save(rig.demo())
    assert refused


def test_a_really_full_disk(tmp_path, monkeypatch):
    if os.name == "nt" or os.geteuid() != 0:
        pytest.skip("NOT TESTED: a really full disk needs root, to mount a small one")
    small = tmp_path / "small"
    small.mkdir()
    mounted = subprocess.run(["mount", "-t", "tmpfs", "-o", "size=64k", "tmpfs", str(small)], capture_output=True)
    if mounted.returncode:
        pytest.skip(f"NOT TESTED: a really full disk could not be mounted here ({mounted.stderr.decode().strip()})")
    try:
        monkeypatch.setenv("SPLASHKIT_HOME", str(small))
        saved = 0
        with pytest.raises(ValueError, match="the disk is full"):
            for i in range(4000):
                log.append(log.Shot(delay=0.2, gap=0.07, note=f"row {i} " + "x" * 200))
                saved += 1
        assert saved > 10
        found = log.load()
        assert not found.problems
        assert [s.note.split(" x")[0] for s in found.shots] == [f"row {i}" for i in range(saved)]
    finally:
        subprocess.run(["umount", str(small)], check=True)


def test_a_read_only_folder(tmp_path, monkeypatch):
    if os.name == "nt":
        pytest.skip("folder modes are not Windows")
    home = tmp_path / "locked"
    monkeypatch.setenv("SPLASHKIT_HOME", str(home))
    rig.save(rig.demo().with_values(note="old"))
    home.chmod(0o555)
    try:
        if os.geteuid() == 0:  # root may write anywhere, so be somebody else
            code = "import os; from splashkit import rig\nrig.load()\nos.setuid(65534)\ntry: rig.save(rig.demo())\n"
            code += "except ValueError as problem: print(problem)\nprint(rig.load().note)"
            for folder in (tmp_path, tmp_path.parent, tmp_path.parent.parent):  # pytest's own, closed to others
                folder.chmod(folder.stat().st_mode | 0o55)
            (home / "rig.json.lock").chmod(0o444)
            said = child(code, home)
            assert "Could not save" in said.stdout and "To fix it" in said.stdout, said
            assert said.stdout.strip().endswith("old"), said.stderr
        else:
            with pytest.raises(ValueError, match="Could not save"):
                rig.save(rig.demo())
            assert rig.load().note == "old"
    finally:
        home.chmod(0o755)


def test_a_file_where_the_folder_should_be(tmp_path, monkeypatch):
    (tmp_path / "file").write_text("here first")
    monkeypatch.setenv("SPLASHKIT_HOME", str(tmp_path / "file"))
    with pytest.raises(ValueError, match="Could not save"):
        rig.save(rig.demo())
    assert (tmp_path / "file").read_text() == "here first"
    assert rig.load_or_demo()[0].invented


def test_a_folder_where_the_file_should_be(home):
    (home / "rig.json").mkdir(parents=True)
    loaded, sentence = rig.load_or_demo()
    assert loaded.invented and "folder or a device" in sentence
    assert log.load() == ((), ())


def test_short_writes_are_finished(home, monkeypatch):
    real = os.write
    monkeypatch.setattr(os, "write", lambda handle, data: real(handle, bytes(data)[:7]))
    rig.save(rig.demo())
    assert json.loads((home / "rig.json").read_text(encoding="utf-8"))["nozzle_height_mm"] == 250


# ---------------------------------------------------------------- odd places


@pytest.mark.skipif(os.name == "nt", reason="links need rights on Windows")
def test_a_link_is_followed_and_stays(home, tmp_path):
    """Such as a rig kept in a folder that is carried between computers."""
    shared = tmp_path / "shared"
    shared.mkdir()
    home.mkdir()
    for name in ("rig.json", "shots.csv", "progress.json"):
        (home / name).symlink_to(shared / f"her {name}")
    for note in ("old", "new"):
        assert rig.save(rig.demo().with_values(note=note)).startswith("Saved")
        log.append(log.Shot(delay=0.2, gap=0.07, note=note))
        assert record.note_question("02", 1, right=note == "new") == ""
    assert all((home / name).is_symlink() for name in ("rig.json", "shots.csv", "progress.json"))
    assert rig.from_bytes((shared / "her rig.json").read_bytes()).note == "new" == rig.load().note
    assert [s.note for s in log.from_bytes((shared / "her shots.csv").read_bytes()).shots] == ["old", "new"]
    assert record.load()[0]["lessons"]["02"]["questions"]["1"] == {"right": True, "tries": 2}
    (shared / "her rig.json").write_bytes(b"{")
    assert rig.load_or_demo()[0].note == "old", "the version before it is found beside the file itself"


@pytest.mark.skipif(os.name == "nt", reason="links need rights on Windows")
def test_a_link_to_nowhere_or_to_itself(home, tmp_path):
    home.mkdir()
    (home / "rig.json").symlink_to(tmp_path / "gone" / "rig.json")
    assert rig.load_or_demo()[0].invented
    assert rig.save(rig.demo().with_values(note="kept")).startswith("Saved")
    assert rig.from_bytes((tmp_path / "gone" / "rig.json").read_bytes()).note == "kept"
    (home / "shots.csv").symlink_to(home / "shots.csv")
    found = log.load()
    assert found.shots == () and "To fix it" in found.problems[0]
    with pytest.raises(ValueError, match="To fix it"):
        log.append(log.Shot(delay=0.2, gap=0.07))


@pytest.mark.parametrize(
    "name", ["my drops", "Tröpfchen äöü", "水滴", "a" * 200, "quote's & <b>", "-rf", ".hidden", "a;b,c"]
)
def test_a_folder_of_any_name(tmp_path, monkeypatch, name):
    monkeypatch.setenv("SPLASHKIT_HOME", str(tmp_path / name))
    assert str(tmp_path / name) in rig.save(rig.demo())
    assert log.append(log.Shot(delay=0.2, gap=0.07, seen="hit")).startswith("Saved")
    assert rig.load() == rig.demo() and len(log.load().shots) == 1


@pytest.mark.skipif(os.name == "nt", reason="file modes are not Windows")
def test_a_private_file_stays_private(home):
    rig.save(rig.demo())
    (home / "rig.json").chmod(0o600)
    rig.save(rig.demo())
    assert (home / "rig.json").stat().st_mode & 0o777 == 0o600


@pytest.mark.skipif(os.name == "nt", reason="file modes are not Windows")
def test_a_file_closed_for_writing_is_not_overwritten(home, tmp_path):
    """A teacher closes the rig of the room; its folder would still allow a new file in its place."""
    rig.save(rig.demo().with_values(note="the room's"))
    (home / "rig.json").chmod(0o444)
    (home / "rig.json.lock").chmod(0o666)
    home.chmod(0o777)
    code = """
        import os
        from splashkit import rig
        rig.load()
        if os.geteuid() == 0:
            os.setuid(65534)
        try:
            print(rig.save(rig.demo().with_values(note="mine")))
        except ValueError as problem:
            print(problem)
        print(rig.load().note)
    """
    for folder in (tmp_path, tmp_path.parent, tmp_path.parent.parent):  # pytest's own, closed to others
        folder.chmod(folder.stat().st_mode | 0o55)
    said = child(code, home)
    assert "Could not save" in said.stdout and "To fix it" in said.stdout, said
    assert said.stdout.strip().endswith("the room's")


def test_a_closed_file_is_asked_for_by_its_own_rights(home, monkeypatch):
    """As above, for those who may write everything, as in a container."""
    rig.save(rig.demo().with_values(note="the room's"))
    monkeypatch.setattr(os, "access", lambda path, mode: Path(path).name != "rig.json")
    with pytest.raises(ValueError, match="not allowed there"):
        rig.save(rig.demo().with_values(note="mine"))
    assert rig.load().note == "the room's"
    assert sorted(p.name for p in home.iterdir()) == ["rig.json", "rig.json.lock"]


def test_a_folder_in_the_place_of_the_version_before(home):
    rig.save(rig.demo().with_values(note="old"))
    (home / "rig.json.previous").mkdir()
    with pytest.raises(ValueError, match="Could not save"):
        rig.save(rig.demo().with_values(note="new"))
    assert rig.load().note == "old"
    assert sorted(p.name for p in home.iterdir()) == ["rig.json", "rig.json.lock", "rig.json.previous"]


def test_a_file_that_would_grow_too_large_is_not_written(home, monkeypatch):
    """Else the next start could not read it."""
    for _ in range(3):
        log.append(log.Shot(delay=0.2, gap=0.07))
    whole = (home / "shots.csv").read_bytes()
    monkeypatch.setattr(store, "LARGEST_FILE", len(whole) + 10)
    with pytest.raises(ValueError, match=r"at most .*Nothing was changed.*To fix it"):
        log.append(log.Shot(delay=0.2, gap=0.07, note="one too many"))
    assert (home / "shots.csv").read_bytes() == whole and len(log.load().shots) == 3


# ---------------------------------------------------------------- foreign, huge and hostile files

WORDS = "Größe “ß” £5 – Tröpfchen"
TEXTS = {
    "rig.json": rig.to_bytes(rig.demo().with_values(note=WORDS, invented=False)).decode(),
    "shots.csv": log.to_bytes([log.Shot(delay=0.2, gap=0.07, note=WORDS)]).decode(),
    "progress.json": json.dumps({"version": 1, "seed": 7, "lessons": {}, "words": WORDS}, ensure_ascii=False),
}
READS = {
    "rig.json": lambda: (rig.load_or_demo()[0].note == WORDS, rig.load_or_demo()[1]),
    "shots.csv": lambda: (bool(log.load().shots), " ".join(log.load().problems)),
    "progress.json": lambda: (record.load()[0]["seed"] == 7, record.load()[1]),
}
WRITES = {
    "rig.json": lambda: rig.save(rig.demo().with_values(note="mine")),
    "shots.csv": lambda: log.append(log.Shot(delay=0.3, gap=0.07)),
    "progress.json": lambda: record.note_question("02", 1, right=True),
}
GOOD = {
    "UTF-8": lambda text: text.encode(),
    "with a byte-order mark": lambda text: text.encode("utf-8-sig"),
    "lines of Windows": lambda text: text.replace("\r\n", "\n").replace("\n", "\r\n").encode(),
    "lines of Unix": lambda text: text.replace("\r\n", "\n").encode(),
    "lines of an old Macintosh": lambda text: text.replace("\r\n", "\n").replace("\n", "\r").encode(),
    "empty lines behind": lambda text: text.encode() + b"\r\n\n \n",
}
FOREIGN = {
    "UTF-16": lambda text: text.encode("utf-16"),
    "UTF-16 of the other kind": lambda text: b"\xfe\xff" + text.encode("utf-16-be"),
    "UTF-16 without a mark": lambda text: text.encode("utf-16-le"),
    "UTF-16 without a mark, the other kind": lambda text: text.encode("utf-16-be"),
    "UTF-32": lambda text: text.encode("utf-32"),
    "Latin-1": lambda text: text.replace("“", "'").replace("”", "'").replace("–", "-").encode("latin-1"),
    "Windows-1252": lambda text: text.encode("cp1252"),
    "the old IBM letters": lambda text: text.encode("cp437", "replace"),
    "Shift-JIS": lambda text: text.replace(WORDS, "水滴と光").encode("shift-jis"),
    "zero bytes behind": lambda text: text.encode() + bytes(512),
    "zero bytes all over": lambda text: bytes(len(text)),
    "a picture": lambda text: b"\x89PNG\r\n\x1a\n" + bytes(range(256)) * 20,
    "a zip": lambda text: b"PK\x03\x04" + bytes(range(256)) * 20,
}


@pytest.fixture
def no_memory(monkeypatch):
    monkeypatch.setattr(record, "_memory", None)


@pytest.mark.parametrize("name", TEXTS)
@pytest.mark.parametrize("kind", GOOD)
def test_files_as_other_programs_save_them(home, name, kind, no_memory):
    home.mkdir()
    (home / name).write_bytes(GOOD[kind](TEXTS[name]))
    right, _ = READS[name]()
    assert right
    said = WRITES[name]()
    assert "cannot be read" not in said and READS[name]()[1] in ("", "These numbers come from your own rig.json.")


@pytest.mark.parametrize("name", TEXTS)
@pytest.mark.parametrize("kind", FOREIGN)
def test_foreign_letters_are_named_and_the_file_stays(home, name, kind, no_memory):
    home.mkdir()
    data = FOREIGN[kind](TEXTS[name])
    (home / name).write_bytes(data)
    right, problem = READS[name]()
    assert not right or name == "shots.csv"
    assert f"{name} cannot be read: line " in problem and "To fix it" in problem, problem
    assert problem.isprintable() and len(problem) < 400
    if "UTF-16" in kind:
        assert "UTF-16" in problem
    assert WRITES[name](), "and the next save says so as well"
    assert (home / name).read_bytes() == data


MILLION = 1_000_000
HUGE = {
    "nested 10 000 deep": b"[" * 10_000 + b"]" * 10_000,
    "objects 10 000 deep": b'{"a":' * 10_000 + b"1" + b"}" * 10_000,
    "50 MB of zeros": bytes(50 * MILLION),
    "50 MB of one letter": b"x" * (50 * MILLION),
    "8 MB of empty lines": b"\n" * (8 * MILLION),
    "8 MB of commas": b"," * (8 * MILLION),
    "8 MB of rows too short": b"delay_ms,gap_ms,seen\n" + b"1,2\n" * (2 * MILLION - 10),
    "8 MB of rows too wrong": b"delay_ms,gap_ms,seen\n" + b"1,2,maybe\n" * (MILLION // 2),
    "a million columns": b"delay_ms," + b",".join(b"%d" % i for i in range(MILLION)) + b"\n",
    "an open quotation mark": b'delay_ms,note\n1,"' + b"a\n" * (3 * MILLION),
    "a number of a million digits": b'{"seed": ' + b"9" * MILLION + b', "lessons": {}}',
    "half a letter": b'{"seed": 7, "lessons": {}, "note": "\\ud800", "\\udc00": 1}',
    "a key a thousand times": b"{" + b",".join(b'"iso": 100' for _ in range(1000)) + b"}",
}


@pytest.mark.parametrize("kind", HUGE)
def test_huge_and_hostile_files_take_little_and_stay(home, kind, no_memory):
    home.mkdir()
    start = time.process_time()
    for name in TEXTS:
        (home / name).write_bytes(HUGE[kind])
        _, problem = READS[name]()
        said = WRITES[name]()
        assert problem.isprintable() and len(problem) < 60 * 400 and len(said) < 900
        assert (home / name).read_bytes() == HUGE[kind] or (name == "shots.csv" and not HUGE[kind].strip())
        (home / name).unlink()
    assert time.process_time() - start < 20, "no more than some seconds each, on a slow machine"
