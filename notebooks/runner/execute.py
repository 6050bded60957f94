"""Runs the cells of one notebook in a kernel of its own."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

from nbformat import NotebookNode

import compare
import failure
import files
import places
import proof
from failure import Cell, Failure
from session import Kernel, KernelDied, Reply, TooLong

FIRST_LIMIT = 1200.0
CELL_LIMIT = 120.0
"""Seconds. The first cell may have to compile the library; no other is meant to keep its reader waiting."""

QUIET = 1.0
"""Seconds without a message after which nothing more is expected."""


@dataclass
class Run:
    start_seconds: float = 0.0
    running_seconds: float | None = None
    """What the cells themselves took; the rest of their time is compilation. Not known on every system."""
    cell_seconds: list[float] = field(default_factory=list)
    outputs: list[list[NotebookNode]] = field(default_factory=list)


def notebook(
    name: str,
    content: NotebookNode,
    tell: Callable[[str], None],
    limit: float = CELL_LIMIT,
    folder: Path = places.NOTEBOOKS,
) -> Run:
    """Outputs of all cells; raises `Failure` at the first that did not do what it should.

    Relative paths of the notebook are read from `folder`.
    """
    run = Run()
    cells: list[Cell] = []
    log = places.LOGS / f"{Path(name).stem}.log"
    try:
        with Kernel(log, folder=folder) as kernel:
            run.start_seconds = kernel.start_seconds
            tell(f"  kernel  {kernel.start_seconds:6.1f} s")
            for number, node in enumerate(files.code_cells(content), 1):
                cells.append(Cell(number, node.source))
                reply = cell(name, kernel, cells, FIRST_LIMIT if number == 1 else limit)
                run.outputs.append(reply.outputs)
                run.cell_seconds.append(reply.seconds)
                tell(f"  cell {number:2} {reply.seconds:6.1f} s")
            refuse_stderr(name, kernel.late(QUIET / 3), None)
            run.running_seconds = kernel.seconds_running_cells()
    except KernelDied as error:
        raise Failure(name, "stopped", str(error), cells[-1].number if cells else None) from None
    return run


def cell(name: str, kernel: Kernel, cells: list[Cell], limit: float) -> Reply:
    """Runs the last of `cells`."""
    this = cells[-1]
    if not this.source.strip():
        return Reply()
    try:
        reply = kernel.run(proof.with_proof(this.source, this.number), limit)
    except TooLong:
        raise Failure(name, "stopped", f"still running after {limit:.0f} s", this.number) from None
    for output in reply.outputs:
        if output.output_type == "error":
            raise failure.compile_error(name, this, output.evalue, output.traceback)
    answer = kernel.run(proof.ASK, limit).outputs
    ended = proof.ended(answer, this.number)
    # Text on stderr may come with the answer, or later still.
    late = [output for output in answer if output.output_type == "stream"]
    if not ended:
        late += kernel.late(QUIET)
        raise failure.unfinished(name, cells, stderr(reply.outputs + late), build_folder(kernel))
    refuse_stderr(name, reply.outputs + late, this.number)
    if line := compare.not_a_number(reply.outputs):
        raise Failure(name, "not a number", line, this.number)
    return reply


def refuse_stderr(name: str, outputs: list[NotebookNode], number: int | None) -> None:
    if text := stderr(outputs).strip():
        raise Failure(name, "text on stderr", text, number)


def stderr(outputs: list[NotebookNode]) -> str:
    return "".join(output.text for output in outputs if output.get("name") == "stderr")


def build_folder(kernel: Kernel) -> Path:
    """Where the kernel compiles."""
    answer = kernel.run(":last_compile_dir", CELL_LIMIT).outputs
    return Path("".join(map(proof.plain, answer)).strip())
