"""Every benchmark in one table: ours, the peer, the ratio, the physical floor, and how each grows with its work.

    python tests/benchmarks                        all of it, some minutes
    python tests/benchmarks falls odds             these only
    python tests/benchmarks --quick                small sizes, as the test runs them
    python tests/benchmarks --json run.json        write the run as well
    python tests/benchmarks --compare run.json     print the change against an earlier run

The ratio is the peer's time over ours. The floor is what no way of doing it could leave out. Times are the
least processor time; those compared take turns in one process. Only ratios are asserted, with wide margins.
"""

from __future__ import annotations

import argparse
import os
import sys
import tempfile
from importlib import import_module
from pathlib import Path

sys.path[0] = str(Path(__file__).resolve().parents[1])
os.environ.setdefault("SPLASHKIT_HOME", tempfile.mkdtemp())

from benchmarks import THEMES, report  # noqa: E402
from benchmarks.timed import Growth, Row  # noqa: E402


def main() -> int:
    parser = argparse.ArgumentParser(prog="tests/benchmarks", description=__doc__.splitlines()[0])
    parser.add_argument("themes", nargs="*", metavar="theme", help=f"one or more of {', '.join(THEMES)}; all if none")
    parser.add_argument("--quick", action="store_true", help="small sizes")
    parser.add_argument("--json", type=Path, metavar="FILE", help="write the run to this file")
    parser.add_argument("--compare", type=Path, metavar="FILE", help="compare with the run in this file")
    asked = parser.parse_intermixed_args()
    if unknown := sorted(set(asked.themes) - set(THEMES)):
        parser.error(f"no benchmark is called {', '.join(unknown)}; there are {', '.join(THEMES)}")
    found: list[Row | Growth] = []
    for theme in asked.themes or THEMES:
        print(f"{theme} ...", file=sys.stderr, flush=True)
        found += import_module(f"benchmarks.{theme}").run(asked.quick)
    print(report.table([one for one in found if isinstance(one, Row)]))
    if grown := [one for one in found if isinstance(one, Growth)]:
        print(f"\n{report.growths(grown)}")
    wanted = [one.reached() for one in found if isinstance(one, Row) and one.reached() is not None]
    if wanted:
        print(f"\nOf {len(wanted)} wanted numbers {sum(wanted)} are reached.")
    written = report.to_json(found, asked.quick)
    if asked.compare:
        earlier = report.read(asked.compare.read_text(encoding="utf-8"))
        print(f"\n{report.compared(earlier, report.read(written))}")
    if asked.json:
        asked.json.write_text(written + "\n", encoding="utf-8")
    missed = [one.what for one in found if not one.holds()]
    print(f"\nasserted but not held: {', '.join(missed)}" if missed else "\nAll that is asserted holds.")
    return 1 if missed else 0


if __name__ == "__main__":
    raise SystemExit(main())
