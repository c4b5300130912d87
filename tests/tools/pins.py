"""Renew the pins of binder/requirements.txt, with one command:

    python tests/tools/pins.py

It asks pip which newest versions of the run-time dependencies fit together on the Python of
binder/runtime.txt, and writes those five. Nothing is installed. Only names and versions are written.
"""

from __future__ import annotations

import argparse
import json
import re
import subprocess
import sys
import tempfile
import tomllib
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
PINS = ROOT / "binder" / "requirements.txt"
HEAD = "# The run-time dependencies, pinned. Renew: python tests/tools/pins.py\n"


def wanted() -> list[str]:
    return tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]["dependencies"]


def python() -> str:
    return (ROOT / "binder" / "runtime.txt").read_text(encoding="utf-8").strip().removeprefix("python-")


def resolve() -> dict[str, str]:
    """Let pip choose versions for Linux and that Python."""
    command = [sys.executable, "-m", "pip", "install", "--quiet", "--dry-run", "--ignore-installed", "--report", "-"]
    with tempfile.TemporaryDirectory() as nowhere:
        command += ["--python-version", python(), "--only-binary", ":all:", "--target", nowhere, *wanted()]
        run = subprocess.run(command, check=True, stdout=subprocess.PIPE, text=True)
    return {i["metadata"]["name"].lower(): i["metadata"]["version"] for i in json.loads(run.stdout)["install"]}


def main() -> None:
    argparse.ArgumentParser(description="Renew the pins of binder/requirements.txt.").parse_args()
    versions = resolve()
    names = [re.match(r"[\w-]+", requirement)[0] for requirement in wanted()]
    PINS.write_text(HEAD + "".join(f"{name}=={versions[name]}\n" for name in names), encoding="utf-8")
    print(PINS.read_text(encoding="utf-8"), end="")


if __name__ == "__main__":
    main()
