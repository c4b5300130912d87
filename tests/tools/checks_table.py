"""Write the table of all outside checks into lessons/models_and_limits.md.

    python tests/tools/checks_table.py            rewrite the table
    python tests/tools/checks_table.py --all      print every single point: ours, theirs, difference, tolerance

The checks themselves are in tests/outside; the test that the table is up to date is in tests/test_published.py.
"""

from __future__ import annotations

import argparse
import math
import re
import sys
import warnings
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
PAGE = ROOT / "lessons" / "models_and_limits.md"
START, END = "<!-- checks:start -->", "<!-- checks:end -->"
PART = re.compile(rf"{START}.*?{END}", re.S)

ROOM_NAMES = {
    "exposure": "Exposure", "flash": "Flash", "sync": "Shutter and trigger", "lens": "Lens", "lights": "Light on water",
    "picture": "The recorded frame", "settings": "Power choice", "liquids": "Liquids", "drops": "Drops",
    "splash": "Splash", "timing": "Gap and delay", "chains": "Chains of delays", "odds": "Odds",
    "measure": "Measuring aids",
}  # fmt: skip


def checks():
    for folder in (ROOT, ROOT / "tests"):
        if str(folder) not in sys.path:
            sys.path.insert(0, str(folder))
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import outside

        return outside.all_checks()


def percent(share):
    """Two digits, and nothing below a millionth: what lies there differs from machine to machine."""
    if share < 1e-6:
        return "none"
    return f"{100 * share:.2g} %" if share < 0.995 else f"{100 * share:.0f} %"


def plain(number):
    return "none" if number < 1e-9 else f"{number:.2g}"


def worst(check):
    """The largest difference of a check, in the words of its rule."""
    finite = [p for p in check.points if math.isfinite(p.theirs)]
    if check.rule.kind == "near":
        found = plain(max(p.difference for p in finite))
        return found if found == "none" else f"{found} {check.unit}".removesuffix(" 1")
    return percent(largest_share(check))


def largest_share(check):
    """Relative to each number; where the tolerance is absolute, to the largest number of the table."""
    numbers = [p for p in check.points if math.isfinite(p.theirs)]
    if check.rule.kind == "near":
        return max(p.difference for p in numbers) / max(abs(p.theirs) for p in numbers)
    return max((p.difference / abs(p.theirs) for p in numbers if p.theirs != 0), default=0.0)


def allowed(check):
    rule = check.rule
    return {
        "printed": f"{rule.size} printed digits",
        "within": percent(rule.size) if rule.size >= 1e-6 else f"{rule.size:.0e}",
        "near": f"{rule.size:g} {check.unit}".removesuffix(" 1"),
        "inside": "our own band",
    }[rule.kind]


def grid(heads, rows):
    yield "| " + " | ".join(heads) + " |"
    yield "|---" * len(heads) + "|"
    for row in rows:
        yield "| " + " | ".join(str(cell).replace("|", "\\|") for cell in row) + " |"


def table():
    """Write the summary: a row for each source, and under the fold a row for each quantity and source."""
    found = checks()
    count = {kind: sum(len(c.points) for c in found if c.kind == kind) for kind in dict.fromkeys(c.kind for c in found)}
    total = ", ".join(f"{number} {kind}" for kind, number in count.items())
    sources = {}
    for check in found:
        judged = "our own band" if check.rule.kind == "inside" else "stated tolerance"
        sources.setdefault((check.room, check.source, check.kind, judged), []).append(check)
    rows = [
        (
            ROOM_NAMES[room],
            words,
            kind,
            sum(len(c.points) for c in group),
            percent(max(map(largest_share, group))),
            judged,
        )
        for room in ROOM_NAMES
        for (at, words, kind, judged), group in sources.items()
        if at == room
    ]
    lines = [
        f"{sum(count.values())} numbers of ours stand beside numbers from outside: {total}.",
        "*Worked out apart* means the same theory, computed by other code. It finds slips, not wrong theory.",
        "*Our own band*: the source is expected to differ, and must lie inside the band that we state.",
        "",
        *grid(("part", "source", "kind", "points", "largest difference", "held against"), rows),
        "",
        "Each quantity beside each source, with what is allowed and why, stands under the fold.",
        "Every single point is printed by `python tests/tools/checks_table.py --all`.",
        "",
        "<details><summary>Every quantity</summary>",
    ]
    for room, words in ROOM_NAMES.items():
        cells = (
            (c.quantity, c.source, len(c.points), worst(c), f"{allowed(c)}: {c.rule.why}")
            for c in found
            if c.room == room
        )
        lines += ["", f"**{words}**", ""]
        lines += grid(("quantity", "source", "points", "largest difference", "allowed, and why"), cells)
    return "\n".join([*lines, "", "</details>"])


def put_in(page):
    """Return the page with the table between the two comments."""
    return PART.sub(lambda _: f"{START}\n\n{table()}\n\n{END}", page)


def every_point():
    yield "room\tquantity\tunit\tsource\tcase\tours\ttheirs\tdifference\ttolerance"
    for check in checks():
        for p in check.points:
            numbers = "\t".join(f"{x:.7g}" for x in (p.ours, p.theirs, p.difference, p.tolerance))
            yield f"{check.room}\t{p.quantity}\t{check.unit}\t{p.source}\t{p.case}\t{numbers}"


if __name__ == "__main__":
    asked = argparse.ArgumentParser(description="Renew the table of outside checks in lessons/models_and_limits.md.")
    asked.add_argument("--all", action="store_true", help="print every single point, and write nothing")
    if asked.parse_args().all:
        print("\n".join(every_point()))
    else:
        PAGE.write_text(put_in(PAGE.read_text(encoding="utf-8")), encoding="utf-8")
        print(f"wrote {PAGE.relative_to(ROOT)}")
