"""Start a Jupyter server on this machine, shut off from the machine's own Jupyter settings, and stop it again."""

from __future__ import annotations

import contextlib
import json
import os
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

LABEXTENSIONS = Path(__file__).parents[2] / "splashkit" / "labextensions"
START_LIMIT = 60.0  # seconds: a cold disk and a busy machine included


@dataclass(frozen=True)
class Server:
    """One running server. ``url`` ends in a slash."""

    url: str
    token: str
    hostname: str
    root: Path

    def get(self, path: str, token: bool = True) -> tuple[int, str]:
        """Fetch one page; return its status and final address."""
        query = f"{'&' if '?' in path else '?'}token={self.token}" if token else ""
        try:
            with urllib.request.urlopen(self.url + path + query, timeout=30) as answer:
                return answer.status, answer.url
        except urllib.error.HTTPError as refused:
            return refused.code, refused.url

    def shut_kernels(self) -> None:
        """End the kernels that this server's notebooks started."""
        headers = {"Authorization": f"token {self.token}"}
        with urllib.request.urlopen(urllib.request.Request(self.url + "api/sessions", headers=headers)) as answer:
            sessions = json.load(answer)
        for session in sessions:
            address = f"{self.url}api/sessions/{session['id']}"
            urllib.request.urlopen(urllib.request.Request(address, headers=headers, method="DELETE")).close()


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


def isolated(folder: Path, **extra: str) -> dict[str, str]:
    """An environment whose Jupyter reads no settings of this machine's user and writes only in ``folder``."""
    given = {k: v for k, v in os.environ.items() if not k.startswith(("JUPYTER", "IPYTHON", "SPLASHKIT_HOME"))}
    for name in ("HOME", "JUPYTER_CONFIG_DIR", "JUPYTER_DATA_DIR", "JUPYTER_RUNTIME_DIR", "IPYTHONDIR"):
        place = folder / name.lower()
        place.mkdir(parents=True, exist_ok=True)
        given[name] = str(place)
    given |= {"SPLASHKIT_HOME": str(folder / "splashkit_home"), "PYTHONUNBUFFERED": "1"}
    # containers and CI often run as root, which Jupyter refuses unless told; nothing else is set here
    settings = {"ServerApp": {"allow_root": True}}
    (folder / "jupyter_config_dir" / "jupyter_server_config.json").write_text(json.dumps(settings))
    return given | extra


@contextlib.contextmanager
def running(command: list[str], environment: dict[str, str], folder: Path) -> Iterator[Server]:
    """Start the command, wait until its server answers, and end that one process afterwards."""
    log = folder / "server.log"
    with open(log, "wb") as output:
        process = subprocess.Popen(command, env=environment, cwd=folder, stdout=output, stderr=subprocess.STDOUT)
    try:
        yield _wait(process, Path(environment["JUPYTER_RUNTIME_DIR"]), log)
    finally:
        process.terminate()
        try:
            process.wait(15)
        except subprocess.TimeoutExpired:
            process.kill()
            process.wait()


def _wait(process: subprocess.Popen[bytes], runtime: Path, log: Path) -> Server:
    ends = time.monotonic() + START_LIMIT
    while time.monotonic() < ends:
        if process.poll() is not None:
            break
        for file in runtime.glob("jpserver-*.json"):
            with contextlib.suppress(ValueError, OSError):
                said = json.loads(file.read_text())
                server = Server(said["url"], said["token"], said["hostname"], Path(said["root_dir"]))
                if server.get("api/status")[0] == 200:
                    return server
        time.sleep(0.1)
    raise AssertionError(f"no server within {START_LIMIT:.0f} s; it said:\n{log.read_text()[-4000:]}")


def lab(
    root: Path, folder: Path, environment: dict[str, str], *extra: str
) -> contextlib.AbstractContextManager[Server]:
    """A JupyterLab over a folder, from this interpreter."""
    command = [sys.executable, "-m", "jupyterlab", "--no-browser", f"--ServerApp.port={free_port()}"]
    command.append(f"--LabApp.extra_labextensions_path={LABEXTENSIONS}")
    return running([*command, f"--ServerApp.root_dir={root}", *extra], environment, folder)
