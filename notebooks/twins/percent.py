"""Cells as text in the percent form that jupytext reads and writes for Rust, and back.

A line `// %%` begins a cell of code, `// %% [markdown]` one of words, each line behind `// `; tags follow as
`tags=["worked"]`. The kernel's commands (`:dep`) stand behind `// ` too, so that the file is Rust.
"""

from __future__ import annotations

import json
import re
from dataclasses import dataclass
from typing import Any

MARK = re.compile(r"// %%(?P<kind> \[markdown\])?(?: tags=(?P<tags>\[.*\]))? *")
LIKE_A_MARK = re.compile(r"//\s*%%")
COMMAND = re.compile(r":[a-zA-Z]")
COMMAND_BEHIND = re.compile(r"// ?(?=:[a-zA-Z])")
EDGE = "// ---"


class Trouble(Exception):
    """A notebook without a twin, or a twin that is none; the message says where."""


@dataclass(frozen=True)
class Cell:
    kind: str
    source: str
    tags: tuple[str, ...] = ()


def cells_of(notebook: dict[str, Any]) -> list[Cell]:
    """The cells of a notebook; of their metadata the tags."""
    found = []
    for number, cell in enumerate(notebook["cells"], 1):
        kind, metadata = cell["cell_type"], dict(cell["metadata"])
        source = cell["source"] if isinstance(cell["source"], str) else "".join(cell["source"])
        tags = tuple(metadata.pop("tags", ()))
        # What the front end keeps for itself is not worth a review.
        metadata = {key: value for key, value in metadata.items() if key not in ("collapsed", "scrolled", "jupyter")}
        if kind not in ("code", "markdown") or metadata:
            what = f"metadata {', '.join(metadata)}" if metadata else f"type {kind}"
            raise Trouble(f"cell {number}: {what} has no place in the twin; remove it")
        found.append(Cell(kind, source, tags))
    return found


def text(cells: list[Cell], kernel: dict[str, str]) -> str:
    """The twin, its head as jupytext writes it."""
    head = ["---", "jupyter:", "  jupytext:", "    text_representation:", "      extension: .rs"]
    head += ["      format_name: percent", "  kernelspec:"]
    head += [f"    {key}: {kernel[key]}" for key in ("display_name", "language", "name")] + ["---"]
    parts = ["\n".join(f"// {line}" for line in head)]
    for number, cell in enumerate(cells, 1):
        mark = "// %%" + (" [markdown]" if cell.kind == "markdown" else "")
        if cell.tags:
            mark += f" tags={json.dumps(list(cell.tags), ensure_ascii=False)}"
        lines = cell.source.split("\n") if cell.source else []
        if lines and not (lines[0].strip() and lines[-1].strip()):
            raise Trouble(f"cell {number} begins or ends with an empty line; remove it")
        parts.append("\n".join([mark, *(written(cell.kind, line, number) for line in lines)]))
    return "\n\n".join(parts) + "\n"


def written(kind: str, line: str, number: int) -> str:
    if line != line.rstrip() and not (kind == "markdown" and line.strip()):
        raise Trouble(f"cell {number}: a space at the end of a line; remove it: {line.strip()[:60]!r}")
    if kind == "markdown":
        return f"// {line}" if line else "//"
    if COMMAND.match(line):
        return f"// {line}"
    if LIKE_A_MARK.match(line) or COMMAND_BEHIND.match(line) or line == EDGE:
        raise Trouble(f"cell {number}: the remark `{line[:60]}` would be taken for a mark of the twin; reword it")
    return line


def read(content: str) -> list[Cell]:
    """The cells of a twin; raises `Trouble` with the line."""
    lines = content.removesuffix("\n").split("\n")
    start = 0
    if lines[0] == EDGE:
        if EDGE not in lines[1:]:
            raise Trouble(f"line 1: the head has no end (`{EDGE}`)")
        start = lines.index(EDGE, 1) + 1
    found: list[tuple[Cell, int, list[str]]] = []
    for number, line in enumerate(lines[start:], start + 1):
        if LIKE_A_MARK.match(line):
            found.append((marked(line, number), number, []))
        elif found:
            found[-1][2].append(line)
        elif line.strip():
            raise Trouble(f"line {number}: it stands before the first cell (`// %%`)")
    if not found:
        raise Trouble("it has no cell (`// %%`)")
    return [filled(cell, number, inside) for cell, number, inside in found]


def marked(line: str, number: int) -> Cell:
    mark = MARK.fullmatch(line)
    if not mark:
        known = '`// %%`, `// %% [markdown]`, or tags=["..."] after it'
        raise Trouble(f"line {number}: `{line[:60]}` is no mark; write {known}")
    try:
        tags = json.loads(mark["tags"] or "[]")
    except ValueError:
        tags = None
    if not isinstance(tags, list) or not all(isinstance(tag, str) for tag in tags):
        raise Trouble(f'line {number}: tags are a list of texts: tags=["worked"]')
    return Cell("markdown" if mark["kind"] else "code", "", tuple(tags))


def filled(cell: Cell, number: int, lines: list[str]) -> Cell:
    while lines and not lines[-1].strip():
        lines.pop()
    if cell.kind == "markdown":
        for below, line in enumerate(lines, number + 1):
            if line != "//" and not line.startswith("// "):
                raise Trouble(f"line {below}: words stand behind `// `; code begins with a line `// %%`")
        lines = [line[3:] for line in lines]
    else:
        lines = [COMMAND_BEHIND.sub("", line) for line in lines]
    return Cell(cell.kind, "\n".join(lines), cell.tags)
