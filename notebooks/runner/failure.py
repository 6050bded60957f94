"""Why a notebook is refused, and where."""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path

import proof

COLOUR = re.compile("\x1b\\[[\\d;]*m")


@dataclass
class Failure(Exception):
    """Cells and lines count from 1, cells among the code cells only."""

    notebook: str
    kind: str
    message: str
    cell: int | None = None
    line: int | None = None

    def __str__(self) -> str:
        place = self.notebook
        if self.cell is not None:
            place += f", cell {self.cell}"
        if self.line is not None:
            place += f", line {self.line}"
        return f"{place}: {self.kind}: {self.message}"


@dataclass
class Cell:
    number: int
    source: str


def compile_error(notebook: str, cell: Cell, words: str, picture: list[str]) -> Failure:
    """`picture` is the kernel's drawing of the place; its first numbered line is the one at fault."""
    text = COLOUR.sub("", "\n".join(picture)).replace(proof.statement(cell.number), "")
    line = re.search(r"^ *(\d+) │", text, re.MULTILINE)
    kind = "stopped" if words.startswith("Subprocess terminated") else "compile error"
    return Failure(notebook, kind, text if line else words, cell.number, int(line[1]) if line else None)


def unfinished(notebook: str, cells: list[Cell], stderr: str, folder: Path) -> Failure:
    """The last of `cells` did not reach its end; `folder` is where the kernel compiled it."""
    cell = cells[-1]
    panic = re.search(
        r"^thread .* panicked at (\S+?):(\d+):\d+:\n(.*?)(?:\nstack backtrace:|\Z)", stderr, re.S | re.M
    )
    if not panic:
        return error_returned(notebook, cell, stderr)
    file, row, message = panic.groups()
    if file != "src/lib.rs":
        return Failure(notebook, "panic", f"{message.strip()} (raised at {file}, line {row})", cell.number)
    code = (folder / "src" / "lib.rs").read_text().splitlines()
    # A function may come from an earlier cell; the cell that fails is the one that calls it.
    for origin in [cell, *reversed(cells[:-1])]:
        line = line_of(origin, code, int(row))
        if line:
            break
    else:
        return Failure(notebook, "panic", message.strip(), cell.number)
    asserts = re.match(r"\s*(debug_)?assert", origin.source.split("\n")[line - 1])
    kind = "failed assertion" if asserts or message.startswith("assertion ") else "panic"
    if origin is not cell:
        message = f"{message.strip()} (raised in cell {origin.number}, line {line})"
        return Failure(notebook, kind, message, cell.number)
    return Failure(notebook, kind, message.strip(), cell.number, line)


def error_returned(notebook: str, cell: Cell, stderr: str) -> Failure:
    """The kernel does not say which `?` it was; where only one line has any, that is the one."""
    source = [re.sub(r"//.*", "", line) for line in cell.source.split("\n")]
    lines = [number for number, line in enumerate(source, 1) if "?" in line]
    message = stderr.strip() or "no text"
    if len(lines) == 1:
        return Failure(notebook, "error from `?`", message, cell.number, lines[0])
    message += f" (in line {', '.join(map(str, lines))}; `cargo test --test notebooks` tells which)"
    return Failure(notebook, "error from `?`", message, cell.number)


def line_of(cell: Cell, code: list[str], row: int) -> int | None:
    """The cell's line that is line `row` of the compiled code, if one is."""
    wanted = bare(code[row - 1], cell)
    own = [number for number, line in enumerate(cell.source.split("\n"), 1) if line.strip() == wanted]
    if len(own) < 2:
        return own[0] if own else None
    rows = [number for number, line in enumerate(code, 1) if bare(line, cell) == wanted]
    return own[rows.index(row)] if len(rows) == len(own) else None


def bare(line: str, cell: Cell) -> str:
    return line.replace(proof.statement(cell.number), "").strip()
