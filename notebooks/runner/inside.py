"""Second half of notebooks/run, in the private Python."""

from __future__ import annotations

import os
import signal
import sys
import time
from functools import partial
from pathlib import Path

import arguments
import compare
import execute
import files
import named
import page
import places
import selftest
import warm
from failure import Failure
from nbformat.sign import NotebookNotary

sys.path.append(str(places.NOTEBOOKS))
from twins import files as twins  # noqa: E402
from twins.percent import Trouble  # noqa: E402


def main() -> int:
    said = arguments.parsed(sys.argv[1:])
    for ending in (signal.SIGTERM, signal.SIGHUP):
        signal.signal(ending, interrupt)
    try:
        warm.up()
        if said.lab:
            lab(said.names)
        if said.self_test:
            return selftest.run(said.names == ["all"])
        return run(named.chosen(said.names), said.accept)
    except Failure as refused:
        print(refused)
        return 1
    except KeyboardInterrupt:
        print("\nInterrupted: kernels are gone, notebooks are whole. The next run goes on from what is made.")
        return 130


def interrupt(*_: object) -> None:
    """However a run is ended, its kernels end with it: they live in sessions of their own."""
    raise KeyboardInterrupt


def run(paths: list[Path], accept: bool) -> int:
    begin = time.monotonic()
    failures: list[Failure] = []
    runs: list[execute.Run] = []
    for path in paths:
        print(path.name, flush=True)
        try:
            failures += one(path, accept, runs)
        except Failure as refused:
            failures.append(refused)
    for failure in failures:
        print(failure)
    proved = len(paths) - len({failure.notebook for failure in failures})
    if shares := where_time_went(runs):
        print(shares)
    pages = places.PAGES.relative_to(places.ROOT)
    seconds = time.monotonic() - begin
    print(f"{proved} of {len(paths)} notebooks proved in {seconds:.0f} s; their pages lie in {pages}", flush=True)
    return 1 if failures else 0


def where_time_went(runs: list[execute.Run]) -> str | None:
    """The shares of start, compilation and execution in the runs that were completed."""
    running = [run.running_seconds for run in runs if run.running_seconds is not None]
    if not runs or len(running) < len(runs):
        return None
    start = sum(run.start_seconds for run in runs)
    cells = sum(sum(run.cell_seconds) for run in runs)
    parts = {"kernels starting": start, "compiling": max(cells - sum(running), 0.0), "running cells": sum(running)}
    total = max(start + cells, 1e-9)
    shares = [f"{name} {seconds:.1f} s ({seconds / total:.0%})" for name, seconds in parts.items()]
    return "Where the time went: " + ", ".join(shares)


def one(path: Path, accept: bool, runs: list[execute.Run]) -> list[Failure]:
    """What has changed: outputs, or the notebook against its text twin."""
    content = files.read(path)
    tell = partial(print, flush=True)
    fresh = execute.notebook(path.name, content, tell, folder=path.parent)
    runs.append(fresh)
    if accept:
        files.write(path, files.with_outputs(content, fresh.outputs))
    elif changes := changed(path.name, content, fresh):
        return changes
    where = page.write(str(path.relative_to(places.NOTEBOOKS)), files.with_outputs(content, fresh.outputs))
    seconds = sum(fresh.cell_seconds)
    done = "outputs accepted" if accept else "outputs as committed"
    print(
        f"  {len(fresh.outputs)} cells in {seconds:.1f} s, {done}; {where.relative_to(places.ROOT)}",
        flush=True,
    )
    try:
        words = twins.difference(path)
    except Trouble as trouble:
        words = str(trouble)
    return [Failure(path.name, "text twin", words)] if words else []


def changed(name: str, content: files.NotebookNode, fresh: execute.Run) -> list[Failure]:
    found = []
    for number, (cell, outputs) in enumerate(zip(files.code_cells(content), fresh.outputs), 1):
        if words := compare.difference(cell.outputs, outputs):
            found.append(Failure(name, "changed output", words, number))
    return found


def lab(options: list[str]) -> None:
    # JupyterLab shows neither figures nor equations of a notebook that it does not trust. Ours run code of this
    # very folder.
    for path in named.chosen([]):
        NotebookNotary().sign(files.read(path))
    settings = [f"--ServerApp.root_dir={places.NOTEBOOKS}", "--KernelSpecManager.ensure_native_kernel=False"]
    command = [str(places.PYTHON), "-m", "jupyterlab", *settings, *options]
    os.execve(command[0], command, places.private(dict(os.environ)))


if __name__ == "__main__":
    sys.exit(main())
