"""The table, the run as JSON, and the change against an earlier run."""

from __future__ import annotations

import datetime
import json
import os
import platform
from collections.abc import Iterable, Sequence
from dataclasses import asdict
from typing import Any

import numpy as np

from benchmarks.timed import Growth, Row

HEAD = ("what", "ours", "peer", "peer's", "ratio", "wanted", "floor", "floor's", "times it", "within", "asserted", "")


def table(rows: Sequence[Row]) -> str:
    """Write all comparisons as one plain table, then one line on each peer."""
    lines = [HEAD]
    for row in rows:
        reached = {None: "", True: "reached", False: "NOT reached"}[row.reached()]
        asserted = [f">= {row.least:g}" if row.least else "", f"floor <= {row.most:g}" if row.most else ""]
        lines.append((
            row.what, value(row.ours, row.unit), row.peer_name, value(row.peer, row.unit), short(row.ratio),
            short(row.wanted, ">= "), row.floor_name, value(row.floor, row.unit), short(row.over_floor),
            short(row.within, "<= "), ", ".join(filter(None, asserted)), reached,
        ))  # fmt: skip
    why = dict.fromkeys(f"  {row.peer_name}: {row.why}." for row in rows if row.why)
    return "\n".join([aligned(lines), "", "Why these peers", *why])


def growths(found: Sequence[Growth]) -> str:
    """Write how each grows: the time at four sizes, and the exponent."""
    lines = [("what", "size in", "time at each of four sizes", "exponent", "asserted")]
    for one in found:
        steps = ", ".join(f"{size:g}: {value(time, 's')}" for size, time in zip(one.sizes, one.times, strict=True))
        lines.append((one.what, one.size, steps, f"{one.exponent:.2f}", f"{one.low:g} to {one.high:g}"))
    return aligned(lines)


def aligned(lines: Sequence[Sequence[str]]) -> str:
    widths = [max(map(len, column)) for column in zip(*lines, strict=True)]
    rule = ["-" * width for width in widths]
    return "\n".join(
        " | ".join(cell.ljust(width) for cell, width in zip(line, widths, strict=True)).rstrip()
        for line in (lines[0], rule, *lines[1:])
    )


def value(number: float | None, unit: str) -> str:
    if number is None:
        return ""
    if unit != "s":
        return f"{number:.3g} {unit}"
    factor, name = next(pair for pair in ((1, "s"), (1e-3, "ms"), (1e-6, "µs")) if number >= pair[0] or pair[0] == 1e-6)
    return f"{short(number / factor)} {name}"


def short(number: float | None, before: str = "") -> str:
    if number is None:
        return ""
    digits = 2 if abs(number) < 10 else 1 if abs(number) < 100 else 0
    return before + (f"{number:,.{digits}f}".replace(",", " ") if before == "" else f"{number:,.6g}".replace(",", " "))


def to_json(found: Iterable[Row | Growth], quick: bool) -> str:
    """Write a run with the circumstances it was made in."""
    rows, grown = [], []
    for one in found:
        if isinstance(one, Row):
            rows.append({**asdict(one), "ratio": one.ratio, "over_floor": one.over_floor, "reached": one.reached()})
        else:
            grown.append({**asdict(one), "exponent": one.exponent})
    made: dict[str, Any] = {
        "date": datetime.datetime.now(datetime.UTC).isoformat(timespec="seconds"),
        "python": platform.python_version(),
        "numpy": np.__version__,
        "processors": os.cpu_count(),
        "quick": quick,
        "rows": rows,
        "growth": grown,
    }
    return json.dumps(made, indent=1, ensure_ascii=False)


def read(text: str) -> dict[str, Any]:
    """Read a run back."""
    found: dict[str, Any] = json.loads(text)
    return found


def compared(before: dict[str, Any], after: dict[str, Any]) -> str:
    """Write each ratio, distance from the floor and exponent, then and now; times are not compared."""
    lines = [("what", "peer", "ratio then", "now", "change", "times floor then", "now", "change")]
    earlier = {(row["what"], row["peer_name"]): row for row in before["rows"]}
    for row in after["rows"]:
        old = earlier.pop((row["what"], row["peer_name"]), {})
        cells = [row["what"], row["peer_name"]]
        for name in ("ratio", "over_floor"):
            then, now = old.get(name), row[name]
            cells += [short(then), short(now), f"{now / then - 1:+.0%}" if then and now else ""]
        lines.append(tuple(cells))
    grown = [("growth of", "exponent then", "now")]
    exponents = {one["what"]: one["exponent"] for one in before["growth"]}
    for one in after["growth"]:
        then = exponents.get(one["what"])
        grown.append((one["what"], "" if then is None else f"{then:.2f}", f"{one['exponent']:.2f}"))
    made = "{date}, Python {python}, NumPy {numpy}, {processors} processors"
    notes = [f"then: {made.format(**before)}", f"now:  {made.format(**after)}"]
    if earlier:
        notes.append(f"{len(earlier)} rows of the earlier run were not run now.")
    if before["quick"] != after["quick"]:
        notes.append("One of the two runs was a quick one: its sizes differ, and so may its ratios.")
    return "\n".join([*notes, "", aligned(lines), "", aligned(grown)])
