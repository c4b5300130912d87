"""A class on one machine: real kernels, each with a lesson's panel open, each learner moving a control now and then.

    python tests/benchmarks/class_load.py                      twenty learners, a minute, a move every five seconds
    python tests/benchmarks/class_load.py --learners 10 --seconds 30 --lesson 03
    python tests/benchmarks/class_load.py --memory             memory of one kernel of each lesson, all of it used
    python tests/benchmarks/class_load.py --fixed              what each learner costs besides the kernel

A move is the message that the browser sends when a number box changes. The answer counts from that message to
the kernel's word that it rests again; by then figure and sentence have been sent back. Drawing in the browser
happens on the learner's own machine and is not counted, nor is the network between them.

Memory is PSS: the kernel's own pages, and its share of those that several kernels use together. RSS counts
shared pages in full for every kernel, so twenty RSS added up say too much. Both are printed.
"""

from __future__ import annotations

import argparse
import json
import os
import queue
import random
import statistics
import sys
import tempfile
import threading
import time
from pathlib import Path

import nbformat
from jupyter_client.manager import KernelManager

ROOT = Path(__file__).resolve().parents[2]
LESSONS = ROOT / "lessons"
P95_LIMIT, MEMORY_LIMIT = 0.5, 160.0  # [s], [MB]
# commit the prediction, so that the panels open
OPEN = "box = exercises.predict({!r}); box.choice.index = 0; _ = box.commit()"
USE = "from tools import use; use.everything()"


class Learner:
    """One kernel with one lesson run in it."""

    def __init__(self, lesson: Path, home: str) -> None:
        self.lesson = lesson
        self.manager = KernelManager(kernel_name="python3")
        given = dict(os.environ, SPLASHKIT_HOME=home)
        given["PYTHONPATH"] = os.pathsep.join([str(ROOT), str(ROOT / "tests"), os.environ.get("PYTHONPATH", "")])
        self.manager.start_kernel(env=given, cwd=str(LESSONS), extra_arguments=["--log-level=40"])
        self.client = self.manager.client()
        self.client.start_channels()
        self.client.wait_for_ready(timeout=120)
        self.pid = self.manager.provisioner.pid
        self.took: list[float] = []
        self.opened = 0.0

    def run(self, code: str, value: str = "", cell: str = "") -> str:
        """Run code, as JupyterLab does where a cell is named; give back an expression's value as text."""
        self.client.session.metadata = {"cellId": cell} if cell else {}
        expressions = {"value": value} if value else {}
        told = self.client.execute_interactive(
            code, timeout=300, user_expressions=expressions, output_hook=lambda message: None
        )
        if told["content"]["status"] != "ok":
            raise SystemExit(f"{self.lesson.name}: {told['content']['evalue']}")
        return told["content"]["user_expressions"]["value"]["data"]["text/plain"] if value else ""

    def open(self) -> None:
        """Run the whole lesson, then commit the prediction."""
        for cell in nbformat.read(self.lesson, as_version=4).cells:
            if cell.cell_type == "code":
                self.run(cell.source, cell=cell.id)
        if "predict(" in self.lesson.read_text(encoding="utf-8"):
            self.run(OPEN.format(self.lesson.name[:2]))

    def grip(self) -> None:
        """Take hold of the sliders of the lesson's first panel."""
        code = (
            "import json\nfrom splashkit.panels.base import Panel, _shown\n"
            "_p = next(w for w in _shown.values() if isinstance(w, Panel) and w.controls)\n"
            "_s = [c.slider for c in _p.controls.values() if getattr(c, 'slider', None) is not None]"
        )
        told = self.run(code, "json.dumps([[s.comm.comm_id, s.min, s.max] for s in _s])")
        self.sliders = json.loads(told.strip("'"))

    def move(self, random_: random.Random) -> float:
        """Move one slider as the browser does, and wait for the answer."""
        name, least, most = random_.choice(self.sliders)
        data = {"method": "update", "state": {"value": random_.randint(least, most)}, "buffer_paths": []}
        message = self.client.session.msg("comm_msg", {"comm_id": name, "data": data})
        begin = time.perf_counter()
        self.client.shell_channel.send(message)
        answered = 0
        while True:
            told = self.client.get_iopub_msg(timeout=60)
            if told["parent_header"].get("msg_id") != message["header"]["msg_id"]:
                continue
            answered += told["msg_type"] == "comm_msg"
            if told["msg_type"] == "status" and told["content"]["execution_state"] == "idle":
                break
        if not answered:
            raise SystemExit("a move was not answered by the panel")
        return time.perf_counter() - begin

    def close(self) -> None:
        self.client.stop_channels()
        self.manager.shutdown_kernel(now=True)


def memory(pid: int) -> tuple[float, float]:
    """PSS and RSS of a process in MB (Linux); RSS alone where the system does not tell PSS."""
    held = {}
    for line in Path(f"/proc/{pid}/smaps_rollup").read_text().splitlines()[1:]:
        name, _, rest = line.partition(":")
        held[name] = float(rest.split()[0]) * 1024 / 1e6
    return held["Pss"], held["Rss"]


def used_cpu(pid: int) -> float:
    """CPU time that a process has used, in seconds."""
    fields = Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


def busy_machine() -> float:
    """Processor time that all processes of the machine have used, in seconds."""
    fields = [int(text) for text in Path("/proc/stat").read_text().splitlines()[0].split()[1:9]]
    return (sum(fields) - fields[3] - fields[4]) / os.sysconf("SC_CLK_TCK")


def find(number: str) -> Path:
    return next(LESSONS.glob(f"{number}_*.ipynb"))


def together(threads: list[threading.Thread]) -> None:
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()


def class_load(count: int, seconds: float, every: float, lesson: str, seed: int) -> bool:
    with tempfile.TemporaryDirectory() as home:
        print(f"{count} kernels, lesson {lesson}; load of the machine before: {os.getloadavg()[0]:.1f}", flush=True)
        begin = time.perf_counter()
        learners = [Learner(find(lesson), f"{home}/{number}") for number in range(count)]
        started = time.perf_counter() - begin

        def sit_down(learner: Learner) -> None:
            since = time.perf_counter()
            learner.open()
            learner.opened = time.perf_counter() - since
            learner.grip()

        together([threading.Thread(target=sit_down, args=(learner,)) for learner in learners])
        opened = sorted(learner.opened for learner in learners)
        time.sleep(5)  # the rush to the seats is over
        all_before, since = busy_machine(), time.perf_counter()
        busy_before = sum(used_cpu(learner.pid) for learner in learners)
        problems: queue.Queue[BaseException] = queue.Queue()
        ends = time.monotonic() + seconds + 5

        def sit(learner: Learner, number: int) -> None:
            own = random.Random(f"{seed}:{number}")
            try:
                time.sleep(own.uniform(0, every))  # nobody starts at once
                while time.monotonic() < ends:
                    learner.took.append(learner.move(own))
                    time.sleep(own.uniform(0.5, 1.5) * every)
            except BaseException as problem:
                problems.put(problem)

        threads = [threading.Thread(target=sit, args=pair) for pair in zip(learners, range(count), strict=True)]
        together(threads)
        busy = sum(used_cpu(learner.pid) for learner in learners) - busy_before
        others, took_all = busy_machine() - all_before - busy, time.perf_counter() - since
        held = [memory(learner.pid) for learner in learners]
        for learner in learners:
            learner.close()
        if not problems.empty():
            raise problems.get()
    took = sorted(t for learner in learners for t in learner.took)
    p95 = took[max(0, -(-95 * len(took) // 100) - 1)]
    pss, rss = [p for p, _ in held], [r for _, r in held]
    print(f"twenty kernels started one after the other    {started:7.1f} s".replace("twenty", str(count)))
    print(f"all press Run All Cells at once, median       {statistics.median(opened):7.1f} s")
    print(f"all press Run All Cells at once, longest      {opened[-1]:7.1f} s")
    print(f"moves answered                                {len(took):7d}")
    print(f"answer, median                                {statistics.median(took) * 1e3:7.0f} ms")
    print(f"answer, 95th percentile                       {p95 * 1e3:7.0f} ms")
    print(f"answer, longest                               {took[-1] * 1e3:7.0f} ms")
    print(f"processor used by all kernels                 {100 * busy / took_all:7.0f} % of one core")
    print(f"processor used by everything else             {100 * others / took_all:7.0f} % of one core")
    print(f"cores                                         {os.cpu_count():7d}")
    print(
        f"memory of one kernel, PSS                     {statistics.mean(pss):7.0f} MB (RSS {statistics.mean(rss):.0f})"
    )
    print(f"memory of all kernels, PSS                    {sum(pss):7.0f} MB")
    reached = p95 < P95_LIMIT
    print("reached" if reached else "NOT reached", f"(95th percentile < {P95_LIMIT:g} s)")
    return reached


def memory_table(only: str) -> bool:
    reached = True
    print("lesson                      after Run All      after use       (MB; PSS, RSS in brackets)")
    for path in sorted(LESSONS.glob(f"{only}_*.ipynb")):
        with tempfile.TemporaryDirectory() as home:
            learner = Learner(path, home)
            try:
                for cell in nbformat.read(path, as_version=4).cells:
                    if cell.cell_type == "code":
                        learner.run(cell.source)
                ran = memory(learner.pid)
                learner.run(USE)
                used = memory(learner.pid)
            finally:
                learner.close()
        reached &= max(ran[1], used[1]) < MEMORY_LIMIT
        print(f"{path.stem:26s} {ran[0]:6.0f} ({ran[1]:.0f})   {used[0]:6.0f} ({used[1]:.0f})", flush=True)
    print("reached" if reached else "NOT reached", f"(RSS of one kernel < {MEMORY_LIMIT:g} MB)")
    return reached


def fixed_cost() -> bool:
    """A learner on a hub has a Jupyter server of her own; this is what it takes, with nothing open."""
    sys.path.insert(0, str(ROOT / "tests"))
    from tools import servers

    with tempfile.TemporaryDirectory() as home:
        folder = Path(home)
        environment = servers.isolated(folder)
        with servers.lab(folder, folder, environment) as server:
            server.get("lab")
            name = next(Path(environment["JUPYTER_RUNTIME_DIR"]).glob("jpserver-*.json"))
            pss, rss = memory(int(name.stem.split("-")[1]))
    print(f"one Jupyter server, nothing open              {pss:7.0f} MB PSS (RSS {rss:.0f})")
    return True


def main() -> int:
    made = argparse.ArgumentParser(description="A class on one machine.")
    made.add_argument("--learners", type=int, default=20)
    made.add_argument("--seconds", type=float, default=60.0)
    made.add_argument("--every", type=float, default=5.0)
    made.add_argument("--lesson", default="")
    made.add_argument("--seed", type=int, default=1)
    made.add_argument("--memory", action="store_true")
    made.add_argument("--fixed", action="store_true")
    asked = made.parse_args()
    if asked.memory:
        return not memory_table(asked.lesson or "[0-9][0-9]")
    if asked.fixed:
        return not fixed_cost()
    return not class_load(asked.learners, asked.seconds, asked.every, asked.lesson or "02", asked.seed)


if __name__ == "__main__":
    sys.exit(main())
