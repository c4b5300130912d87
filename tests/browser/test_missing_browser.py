"""Without a browser the tests say so; where one is required, they fail."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
ONE = "tests/browser/test_access.py::test_audit_finds_what_it_should"


@pytest.mark.parametrize(("required", "status"), [("", 0), ("1", 1)])
def test_missing_browser_is_said_out_loud(required, status, tmp_path):
    nowhere = {"SPLASHKIT_BROWSER": str(tmp_path / "none"), "SPLASHKIT_REQUIRE_BROWSER": required}
    command = [sys.executable, "-m", "pytest", ONE, "-p", "no:cacheprovider"]
    run = subprocess.run(command, cwd=ROOT, env=dict(os.environ, **nowhere), capture_output=True, text=True)
    assert run.returncode == status, run.stdout + run.stderr
    assert ("SKIPPED: no browser found" if status == 0 else "SPLASHKIT_REQUIRE_BROWSER=1 asks for it") in run.stdout
