"""Checks of `notebooks/run` as its user starts it: ended in the middle, as JupyterLab, from a path with a space."""

from __future__ import annotations

import json
import os
import re
import shutil
import signal
import socket
import subprocess
import tempfile
import time
import urllib.error
import urllib.request
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import places

PATIENCE = 120.0
LONG = 1200.0
"""Seconds; the long one for a run that compiles everything."""


@contextmanager
def started(root: Path, *words: str) -> Iterator[subprocess.Popen[str]]:
    """A run in a group of its own, so that a signal reaches it as from a terminal. None is left behind."""
    command = [str(root / "notebooks" / "run"), *words]
    pipes = {"stdout": subprocess.PIPE, "stderr": subprocess.STDOUT}
    with subprocess.Popen(command, text=True, start_new_session=True, **pipes) as process:
        try:
            yield process
        finally:
            if process.poll() is None:
                os.killpg(process.pid, signal.SIGKILL)


def line_with(process: subprocess.Popen[str], pattern: str) -> re.Match[str] | None:
    """Reads until a line has the pattern."""
    assert process.stdout
    for line in process.stdout:
        if found := re.search(pattern, line):
            return found
    return None


def kernels() -> set[int]:
    """Processes of our kernel. Elsewhere than on Linux none are found, and none missed."""
    found = set()
    for folder in Path("/proc").glob("[0-9]*"):
        try:
            if os.readlink(folder / "exe").split(" (deleted)")[0] == str(places.KERNEL):
                found.add(int(folder.name))
        except OSError:
            continue
    return found


def ended_by(ending: signal.Signals) -> str:
    """A run that is ended while a cell compiles says so, and its kernel is gone."""
    before = kernels()
    notebook = sorted(places.NOTEBOOKS.glob("[0-9][0-9]_*.ipynb"))[0]
    content = notebook.read_bytes()
    with started(places.ROOT, notebook.stem) as process:
        if not line_with(process, r"^  kernel "):
            return "it ends before a kernel is there"
        time.sleep(1.0)
        os.killpg(process.pid, ending)
        assert process.stdout
        words = process.stdout.read()
        code = process.wait(PATIENCE)
    left = kernels() - before
    if code != 130 or "Interrupted" not in words or "Traceback" in words:
        return f"exit code {code}, it says: {words}"
    if left:
        return f"kernels are left: {left}"
    return "" if notebook.read_bytes() == content else "the notebook has changed"


def patiently(ask: Callable[[], bytes]) -> bytes:
    """The address is told before anybody answers there."""
    end = time.monotonic() + PATIENCE
    while True:
        try:
            return ask()
        except urllib.error.URLError:
            if time.monotonic() > end:
                raise
            time.sleep(0.5)


def lab() -> str:
    """JupyterLab starts though its usual port is taken, offers our kernel, starts one, and ends."""
    before = kernels()
    with socket.socket() as taken:
        try:
            taken.bind(("127.0.0.1", 8888))
            taken.listen()
        except OSError:
            pass  # Somebody else has taken it.
        options = ["--", "--no-browser", "--ip=127.0.0.1"] + (["--allow-root"] if os.getuid() == 0 else [])
        with started(places.ROOT, "--lab", *options) as process:
            address = line_with(process, r"(http://127\.0\.0\.1:(\d+)/)lab\?token=(\w+)")
            if not address or address[2] == "8888":
                return f"no address of its own: {address and address[0]}"

            def ask(path: str, method: str = "GET", told: dict[str, str] | None = None) -> bytes:
                data = json.dumps(told).encode() if told else None
                headers = {"Authorization": f"token {address[3]}"}
                request = urllib.request.Request(address[1] + path, data, headers, method=method)
                with urllib.request.urlopen(request, timeout=PATIENCE) as answer:
                    return answer.read()

            offered = json.loads(patiently(lambda: ask("api/kernelspecs")))
            if places.KERNEL_NAME not in offered["kernelspecs"]:
                return f"kernels offered: {list(offered['kernelspecs'])}"
            if b"JupyterLab" not in ask("lab"):
                return "no page"
            notebook = sorted(places.NOTEBOOKS.glob("[0-9][0-9]_*.ipynb"))[0]
            cells = json.loads(ask(f"api/contents/{notebook.name}"))["content"]["cells"]
            if not all(cell["metadata"]["trusted"] for cell in cells if cell["cell_type"] == "code"):
                return "it does not trust our notebooks, so that their figures are missing"
            kernel = json.loads(ask("api/kernels", "POST", {"name": places.KERNEL_NAME}))
            ask(f"api/kernels/{kernel['id']}", "DELETE")
            os.killpg(process.pid, signal.SIGTERM)
            process.communicate(timeout=PATIENCE)
    return f"kernels are left: {kernels() - before}" if kernels() - before else ""


NOTEBOOK = {
    "cells": [
        {"cell_type": "code", "id": "first", "metadata": {}, "execution_count": 1, "outputs": [], "source": ""},
        {"cell_type": "code", "id": "second", "metadata": {}, "execution_count": 2, "outputs": [], "source": ""},
    ],
    "metadata": {"kernelspec": {"display_name": "", "language": "rust", "name": places.KERNEL_NAME}},
    "nbformat": 4,
    "nbformat_minor": 5,
}


def space() -> str:
    """A copy under a path with a space works from nothing; an edit of its library counts at the next start."""
    listed = subprocess.run(["git", "ls-files", "-z"], cwd=places.ROOT, text=True, capture_output=True)
    if listed.returncode:
        return "git does not list the files"
    with tempfile.TemporaryDirectory() as folder:
        root = Path(folder) / "with a space"
        for name in filter(None, listed.stdout.split("\0")):
            if (places.ROOT / name).is_file():
                (root / name).parent.mkdir(parents=True, exist_ok=True)
                shutil.copy2(places.ROOT / name, root / name)
        for path in (root / "notebooks").glob("[0-9][0-9]_*.ipynb"):
            path.unlink()
        library = (root / "src" / "lib.rs").read_text()
        for value in (7, 8):
            told = f"/// Edited.\npub fn edited() -> u32 {{\n    {value}\n}}\n"
            (root / "src" / "lib.rs").write_text(f"{library}\n{told}")
            NOTEBOOK["cells"][0]["source"] = (
                ':dep shaftwork = { path = "..", default-features = false, features = ["notebook"] }'
            )
            NOTEBOOK["cells"][1]["source"] = f"assert_eq!(shaftwork::edited(), {value});"
            (root / "notebooks" / "01_copy.ipynb").write_text(json.dumps(NOTEBOOK))
            subprocess.run([str(root / "notebooks" / "twin"), "01"], capture_output=True)
            with started(root, "01") as process:
                words, _ = process.communicate(timeout=LONG)
            if process.returncode or "1 of 1 notebooks proved" not in words:
                return f"edit {value}: {words}"
            outside = re.search(r"it builds in (.+)", words)
            if not outside:
                return f"it does not say where it builds: {words}"
        # The folder outside is swept by the next run of any copy, once this copy is gone.
        made = Path(outside[1])
    places.sweep()
    return f"{made} is left" if made.exists() else ""
