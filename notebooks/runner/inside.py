"""Second half of notebooks/run, in the private Python."""

from __future__ import annotations

import os
import sys
import time
from pathlib import Path

import arguments
import compare
import execute
import files
import page
import places
import selftest
import warm
from failure import Failure


def main() -> int:
    said = arguments.parsed(sys.argv[1:])
    try:
        warm.up()
        if said.lab:
            lab(said.names)
        if said.self_test:
            return selftest.run()
        return run(files.chosen(said.names), said.accept)
    except Failure as refused:
        print(refused)
        return 1


def run(paths: list[Path], accept: bool) -> int:
    begin = time.monotonic()
    failures: list[Failure] = []
    for path in paths:
        print(path.name, flush=True)
        try:
            failures += one(path, accept)
        except Failure as refused:
            failures.append(refused)
    for failure in failures:
        print(failure)
    proved = len(paths) - len({failure.notebook for failure in failures})
    print(f"{proved} of {len(paths)} notebooks proved in {time.monotonic() - begin:.0f} s", flush=True)
    return 1 if failures else 0


def one(path: Path, accept: bool) -> list[Failure]:
    """The outputs that have changed."""
    content = files.read(path)
    fresh = execute.notebook(path.name, content, lambda line: print(line, flush=True))
    if accept:
        files.write(path, files.with_outputs(content, fresh.outputs))
    elif changes := changed(path.name, content, fresh):
        return changes
    where = page.write(path.name, files.with_outputs(content, fresh.outputs))
    seconds = sum(fresh.cell_seconds)
    done = "outputs accepted" if accept else "outputs as committed"
    print(
        f"  {len(fresh.outputs)} cells in {seconds:.1f} s, {done}; {where.relative_to(places.ROOT)}",
        flush=True,
    )
    return []


def changed(name: str, content: files.NotebookNode, fresh: execute.Run) -> list[Failure]:
    found = []
    for number, (cell, outputs) in enumerate(zip(files.code_cells(content), fresh.outputs), 1):
        if words := compare.difference(cell.outputs, outputs):
            found.append(Failure(name, "changed output", words, number))
    return found


def lab(options: list[str]) -> None:
    settings = [f"--ServerApp.root_dir={places.NOTEBOOKS}", "--KernelSpecManager.ensure_native_kernel=False"]
    command = [str(places.PYTHON), "-m", "jupyterlab", *settings, *options]
    os.execve(command[0], command, places.private(dict(os.environ)))


if __name__ == "__main__":
    sys.exit(main())
