"""Every number of ours that has a counterpart outside the project, through one test.

The checks are data, in ``tests/outside``; ``python tests/tools/checks_table.py`` writes them up.
"""

import collections
import csv
import sys
from pathlib import Path

import outside
import pytest
import tables

sys.path.insert(0, str(Path(__file__).parent / "tools"))
import checks_table

CHECKS = outside.all_checks()
ROOMS = {
    *["exposure", "flash", "sync", "lens", "lights", "picture", "settings", "liquids", "drops", "splash"],
    *["timing", "chains", "odds", "measure"],
}
# tables of words rather than numbers, which tests of their own read
WORDS = {"xanthan_published"}


@pytest.mark.parametrize("check", CHECKS, ids=lambda check: check.name)
def test_agrees_with_the_outside(check):
    assert check.points, "no row is left to compare"
    missed = [
        f"{p.case}: ours {p.ours:.8g}, theirs {p.theirs:.8g} {check.unit}, apart {p.difference:.3g}, "
        f"allowed {p.tolerance:.3g}"
        for p in check.points
        if not p.holds
    ]
    assert not missed, f"{check.quantity} against {check.source}:\n" + "\n".join(missed[:10])


def test_enough_points_from_outside():
    """At least 250 published or library-computed points; every room has some, from more than its own algebra."""
    points = collections.Counter()
    for check in CHECKS:
        points[check.kind] += len(check.points)
    assert set(points) <= set(outside.KINDS)
    assert points[outside.PUBLISHED] + points[outside.MEMORY] + points[outside.LIBRARY] >= 250
    assert {check.room for check in CHECKS} == ROOMS
    alone = {check.room for check in CHECKS if check.kind != outside.APART}
    assert {"chains"} == ROOMS - alone  # sums of delays have no library; their variances are drawn in test_chains


def test_every_table_is_used():
    used = {check.table for check in CHECKS if isinstance(check.table, str)}
    assert used | WORDS == {path.stem for path in tables.PUBLISHED.glob("*.csv")}


def test_every_table_names_its_source():
    for path in sorted(tables.PUBLISHED.glob("*.csv")):
        lines = path.read_text(encoding="utf-8").splitlines()
        assert lines[0].startswith("# ") and len(lines[0]) > 20, path.name
        rows = list(csv.reader(line for line in lines if not line.startswith("#")))
        assert len({len(row) for row in rows}) == 1, f"{path.name} has rows of different length"


@pytest.mark.parametrize("check", [c for c in CHECKS if not c.rule.why or not c.source or not c.unit], ids=str)
def test_every_check_says_why_and_from_where(check):
    pytest.fail(f"{check.name} lacks its unit, its source or the reason for its tolerance")


def test_a_wrong_number_is_noticed():
    for kind, size in (("within", 0.01), ("near", 0.01), ("printed", 3)):
        check = outside.Check(
            "room", "quantity", "1", lambda row: 1.02 * row["x"], "x", outside.Rule(kind, size, "test"),
            outside.APART, "source", ({"x": "1.00"},),
        )  # fmt: skip
        assert not check.points[0].holds


def test_the_table_in_the_lessons_is_up_to_date():
    page = checks_table.PAGE.read_text(encoding="utf-8")
    assert checks_table.put_in(page) == page, "run: python tests/tools/checks_table.py"
